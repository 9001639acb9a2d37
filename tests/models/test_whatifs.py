"""Values of a what-if, as they are typed and as a week file keeps them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.file.knobs import MOST_VALUES, floor_knob, lunches_knob, yield_knob
from models.file.reading import read_week, ready_text, week_of
from models.file.yamltext import parse
from models.week.knobs import Knob
from models.week.week import Week
from models.words.errors import InputError
from tests.cases import each

READY = read_week("demo")
DEMO = replace(
    READY,
    batches={**READY.batches, "leek bake": replace(READY.batches["leek bake"], portions=15)},
)
"""The demo with a leek bake of fifteen pieces, so that shares of it are whole and not."""

FAMILY = read_week("family")


def values(said: str) -> list[int]:
    return [int(value) for value in yield_knob(DEMO, f"leek bake={said}", "--yield").values]


@each(
    ("said", "wanted"),
    [
        ("8..12", [8, 9, 10, 11, 12]),
        ("8 .. 12", [8, 9, 10, 11, 12]),
        ("8 to 10", [8, 9, 10]),
        ("8-10", [8, 9, 10]),
        ("8..10 pieces", [8, 9, 10]),
        ("8..20 by 4", [8, 12, 16, 20]),
        ("8..15 by 4", [8, 12]),
        ("8, 10, 14", [8, 10, 14]),
        ("14, 8, 8", [14, 8]),
        ("12", [12]),
        ("15 pieces", [15]),
        # Of 15: every whole piece from 12 to 18.
        ("80%..120%", [12, 13, 14, 15, 16, 17, 18]),
        ("75%..125%", [12, 13, 14, 15, 16, 17, 18]),
        ("80%..120% by 20%", [12, 15, 18]),
        ("100%", [15]),
        ("50%, 200%", [8, 30]),
        ("10 portions", [10]),
        ("8..12 by 2 pieces", [8, 10, 12]),
        ("60%..140% by 40", [9, 15, 21]),
        # A share that is not whole is the nearest whole number of pieces.
        ("90%", [14]),
    ],
)
def test_values_are_read_as_they_are_typed(said: str, wanted: list[int]) -> None:
    assert values(said) == wanted


@each(
    ("said", "what"),
    [
        ("12..8", "runs downwards"),
        ("8..50%", "mixes %"),
        ("8..20 by 0", "no steps"),
        ("1..500", "holds 500 values"),
        ("8.5", "not a whole number"),
        ("8..9 by 0.5", "not a whole number"),
        ("0", "cannot be"),
        ("3000", "cannot be"),
        ("many", "is no range"),
        ("-3", "is no range"),
        ("8,,9", "is no range"),
        ("8..9..10", "is no range"),
        ("8 kg", "is in kg"),
        # 600 portions were meant by nobody who writes this.
        ("600..700 g", "is in g"),
        ("8 kcal", "is in kcal"),
        ("8..20 by 50%", "mixes %"),
        ("10%..90% by 0%", "no steps"),
        ("٣", "is no range"),
        ("1e3", "is no range"),
        ("8..", "is no range"),
        ("1%..2%", "holds no value"),
    ],
)
def test_values_that_cannot_be_are_refused(said: str, what: str) -> None:
    with pytest.raises(InputError, match=what.replace(".", r"\.")) as caught:
        values(said)
    assert caught.value.mend


def test_a_batch_is_named_in_any_case() -> None:
    knob = yield_knob(DEMO, " Leek  BAKE =8..9", "--yield")
    assert (knob.kind, knob.name, knob.unit, knob.now) == ("yield", "leek bake", "pieces", 15)


@pytest.mark.parametrize(
    ("said", "what", "mend"),
    [
        ("leek bak=8", "no batch named 'leek bak'", "leek bake"),
        ("8..20", "is no name with values", "leek bake=3..12"),
        ("=8", "is no name with values", ""),
        ("leek bake=", "is no name with values", ""),
    ],
)
def test_a_batch_that_is_not_there_is_refused(said: str, what: str, mend: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        yield_knob(DEMO, said, "--yield")
    assert mend in caught.value.mend


def test_a_floor_of_the_only_eater_and_of_one_of_several() -> None:
    knob = floor_knob(DEMO, "protein=20..22", "--floor")
    assert (knob.eater, knob.nutrient, knob.unit) == ("Jorun", "PROCNT", "g")
    assert (knob.values, knob.now) == ((Decimal(20), Decimal(21), Decimal(22)), Decimal(24))
    knob = floor_knob(FAMILY, "noor fibre=2.5", "--floor")
    assert (knob.eater, knob.nutrient, knob.values) == ("Noor", "FIBTG", (Decimal("2.5"),))
    with pytest.raises(InputError, match="does not say whose floor") as caught:
        floor_knob(FAMILY, "protein=20", "--floor")
    assert "Noor" in caught.value.mend
    with pytest.raises(InputError, match="is no nutrient"):
        floor_knob(DEMO, "protien=20", "--floor")
    with pytest.raises(InputError, match="a share of nothing"):
        floor_knob(DEMO, "iron=50%", "--floor")


def test_a_number_of_lunches() -> None:
    assert lunches_knob(DEMO, "3..5", "--lunches").values == (3, 4, 5)
    with pytest.raises(InputError, match="cannot be"):
        lunches_knob(DEMO, "8", "--lunches")


@pytest.mark.parametrize(
    ("said", "wanted", "now"),
    [
        # Of 8 g: no share is rounded to what it is not.
        ("fibre=101%", ["8.08"], "8"),
        ("fibre=50%, 100%", ["4", "8"], "8"),
        ("fibre=50%..100% by 25%", ["4", "6", "8"], "8"),
        ("fibre=70%..90%", ["6", "7"], "8"),
        ("protein=20..21 by 0.25 g", ["20", "20.25", "20.5", "20.75", "21"], "24"),
        ("protein=0", ["0"], "24"),
        ("PROCNT=30 g", ["30"], "24"),
        ("iron=2.5 mg", ["2.5"], None),
        ("vitamin A=90 µg, 100 μg", ["90", "100"], None),
    ],
)
def test_values_of_a_floor(said: str, wanted: list[str], now: str | None) -> None:
    knob = floor_knob(DEMO, said, "--floor")
    assert knob.values == tuple(map(Decimal, wanted))
    assert knob.now == (None if now is None else Decimal(now))


@pytest.mark.parametrize(
    ("said", "what", "mend"),
    [
        ("protein=20000 mg", "is in mg", "in g"),
        ("iron=3 g", "is in g", "in mg"),
        ("protein=3 pieces", "is in pieces", "in g"),
        ("protein=-3", "is no range", "8..20"),
        ("protien=20", "is no nutrient", "protein"),
        ("Jorun=20", "'Jorun' is no nutrient", "energy"),
        ("Mia protein=20", "'Mia protein' is no nutrient", ""),
    ],
)
def test_floors_that_cannot_be_are_refused(said: str, what: str, mend: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        floor_knob(DEMO, said, "--floor")
    assert mend in caught.value.mend


def with_eaters(*names: str) -> Week:
    (jorun,) = DEMO.eaters.values()
    return replace(DEMO, eaters={name: replace(jorun, name=name) for name in names})


@pytest.mark.parametrize(
    ("said", "eater", "nutrient"),
    [
        ("Ann protein=20", "Ann", "PROCNT"),
        ("ann marie  vitamin c=20", "Ann Marie", "VITC"),
        # Folding makes two letters of one.
        ("STRASS protein=20", "Straß", "PROCNT"),
        ("Straß protein=20", "Straß", "PROCNT"),
    ],
)
def test_whose_floor_it_is(said: str, eater: str, nutrient: str) -> None:
    knob = floor_knob(with_eaters("Ann", "Ann Marie", "Straß"), said, "--floor")
    assert (knob.eater, knob.nutrient) == (eater, nutrient)


def test_of_names_that_differ_in_case_alone_the_one_written_is_meant() -> None:
    batch = DEMO.batches["leek bake"]
    week = replace(DEMO, batches={"Farls": batch, "farls": replace(batch, portions=9)})
    assert yield_knob(week, "farls=3", "").now == 9
    assert yield_knob(week, "Farls=3", "").now == 15
    assert yield_knob(week, "FARLS=3", "").now == 15


def of_days(*ahead: int) -> Week:
    return replace(DEMO, days=tuple(DEMO.days[0] + timedelta(days=one) for one in ahead))


@pytest.mark.parametrize(
    ("ahead", "most"), [((0, 1, 2, 3, 4), 7), ((0, 2, 6), 3), ((0, 1, 4), 5), ((0,), 7)]
)
def test_no_more_lunches_than_there_are_days_after_the_last(
    ahead: tuple[int, ...], most: int
) -> None:
    week = of_days(*ahead)
    assert lunches_knob(week, f"1..{most} days", "").values == tuple(range(1, most + 1))
    assert lunches_knob(week, "100%", "").values == (len(ahead),)
    with pytest.raises(InputError, match=f"{most + 1} cannot be") as caught:
        lunches_knob(week, str(most + 1), "--lunches")
    assert f"between 1 and {most}" in caught.value.mend


READERS = [
    lambda said: yield_knob(DEMO, f"leek bake={said}", "--yield"),
    lambda said: yield_knob(DEMO, said, "--yield"),
    lambda said: floor_knob(DEMO, f"protein={said}", "--floor"),
    lambda said: floor_knob(DEMO, f"iron={said}", "--floor"),
    lambda said: floor_knob(FAMILY, said, "--floor"),
    lambda said: lunches_knob(DEMO, said, "--lunches"),
]
TYPED = st.one_of(
    st.text(alphabet="0123456789.%, bytoxpiecs-=", max_size=20),
    st.text(max_size=20),
    st.from_regex(
        r"[0-9]{1,4}(\.[0-9])?%?( ?(g|mg|pieces|lunches))?"
        r"( ?(\.\.|to|-) ?[0-9]{1,4}%?( by [0-9]%?)?)?",
        fullmatch=True,
    ),
)


@given(read=st.sampled_from(READERS), said=TYPED)
def test_anything_is_values_or_a_message(read: Callable[[str], Knob], said: str) -> None:
    try:
        knob = read(said)
    except InputError as fault:
        assert fault.what
        assert fault.mend
    else:
        assert isinstance(knob, Knob)
        assert 0 < len(knob.values) <= MOST_VALUES
        assert len(set(knob.values)) == len(knob.values)
        whole = {"yield": 2_000, "lunches": 7}.get(knob.kind)
        for value in knob.values:
            assert value >= 0
            assert whole is None or (value == int(value) and 1 <= value <= whole)


@given(low=st.integers(1, 400), more=st.integers(0, 400), by=st.integers(1, 60))
def test_a_range_is_every_step_up_to_its_end(low: int, more: int, by: int) -> None:
    wanted = list(range(low, low + more + 1, by))
    said = f"{low}..{low + more} by {by}"
    if len(wanted) > MOST_VALUES:
        with pytest.raises(InputError, match=f"holds {len(wanted)} values"):
            values(said)
    else:
        assert values(said) == wanted


@given(low=st.integers(7, 300), more=st.integers(0, 300))
def test_a_range_of_shares_is_every_whole_number_within_it(low: int, more: int) -> None:
    inside = [one for one in range(1, 200) if low * 15 <= one * 100 <= (low + more) * 15]
    if not inside:
        with pytest.raises(InputError, match="holds no value"):
            values(f"{low}%..{low + more}%")
    else:
        assert values(f"{low}%..{low + more}%") == inside


# -- kept in the file --------------------------------------------------------------------

KEPT = """
what_ifs:
  fewer: {yield: {leek bake: 8..10}}
  grid: {yield: {leek bake: 14, pea soup: 10..11}, floors: {Jorun: {protein: 24..26 by 2}}}
  days: {lunches: 3..4}
"""


def of_file(kept: str) -> dict[str, tuple[Knob, ...]]:
    text = ready_text("demo")
    return dict(week_of(parse("week.yaml", text[: text.index("what_ifs:")] + kept)).what_ifs)


def test_questions_are_kept_in_the_file() -> None:
    found = of_file(KEPT)
    assert list(found) == ["fewer", "grid", "days"]
    assert [knob.kind for knob in found["grid"]] == ["yield", "yield", "floor"]
    assert found["grid"][0].values == (14,)
    assert found["days"][0].values == (3, 4)


@each(
    ("kept", "where", "what"),
    [
        ("what_ifs:\n  x: {yield: {leek bak: 8}}\n", "leek bak", "no batch named"),
        ("what_ifs:\n  x: {yield: {leek bake: 9..8}}\n", "leek bake", "downwards"),
        ("what_ifs:\n  x: {floors: {Mia: {protein: 8}}}\n", "Mia", "no eater named"),
        ("what_ifs:\n  x: {floors: {Jorun: {protien: 8}}}\n", "protien", "is no nutrient"),
        ("what_ifs:\n  x: {lunches: 9}\n", "lunches", "cannot be"),
        ("what_ifs:\n  x: {yield: {pea soup: 600..700 g}}\n", "pea soup", "is in g"),
        ("what_ifs:\n  x: {floors: {Jorun: {fibre: 9 mg}}}\n", "fibre", "is in mg"),
        ("what_ifs:\n  x: {yield: {leek bake: [8, 9]}}\n", "leek bake", "valid string"),
        ("what_ifs:\n  x: {lunches: yes}\n", "lunches", "is no range"),
        ("what_ifs:\n  x: {}\n", "x", "nothing is turned"),
        ("what_ifs:\n  x: {yields: {leek bake: 8}}\n", "yields", "unknown key"),
    ],
)
def test_a_question_that_cannot_be_is_refused_with_its_line(
    kept: str, where: str, what: str
) -> None:
    with pytest.raises(InputError, match=what) as caught:
        of_file(kept)
    before = ready_text("demo")
    line = before[: before.index("what_ifs:")].count("\n") + 2
    assert caught.value.where.line == line
    assert where in str(caught.value.where)
