"""Values of a what-if, as they are typed and as a week file keeps them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.errors import InputError
from models.reading import read_week, ready_text, week_of
from models.whatifs import Knob, floor_knob, lunches_knob, yield_knob
from models.yamltext import parse

DEMO = read_week("demo")
FAMILY = read_week("family")


def values(said: str) -> list[int]:
    return [int(value) for value in yield_knob(DEMO, f"lentil bites={said}", "--yield").values]


@pytest.mark.parametrize(
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
    ],
)
def test_values_are_read_as_they_are_typed(said: str, wanted: list[int]) -> None:
    assert values(said) == wanted


@pytest.mark.parametrize(
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
        ("8 kg", "is no range"),
        ("1%..2%", "holds no value"),
    ],
)
def test_values_that_cannot_be_are_refused(said: str, what: str) -> None:
    with pytest.raises(InputError, match=what.replace(".", r"\.")) as caught:
        values(said)
    assert caught.value.mend


def test_a_batch_is_named_in_any_case() -> None:
    knob = yield_knob(DEMO, " Lentil  BITES =8..9", "--yield")
    assert (knob.kind, knob.name, knob.unit, knob.now) == ("yield", "lentil bites", "pieces", 15)


@pytest.mark.parametrize(
    ("said", "what", "mend"),
    [
        ("lentil bite=8", "no batch named 'lentil bite'", "lentil bites"),
        ("8..20", "is no name with values", "lentil bites=8..20"),
        ("=8", "is no name with values", ""),
        ("lentil bites=", "is no name with values", ""),
    ],
)
def test_a_batch_that_is_not_there_is_refused(said: str, what: str, mend: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        yield_knob(DEMO, said, "--yield")
    assert mend in caught.value.mend


def test_a_floor_of_the_only_eater_and_of_one_of_several() -> None:
    knob = floor_knob(DEMO, "protein=20..22", "--floor")
    assert (knob.eater, knob.nutrient, knob.unit) == ("Mira", "PROCNT", "g")
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


@given(st.text(alphabet="0123456789.%, bytoxpiecs-=", max_size=20))
def test_anything_is_values_or_a_message(said: str) -> None:
    try:
        knob = yield_knob(DEMO, f"lentil bites={said}", "--yield")
    except InputError as fault:
        assert fault.what
        assert fault.mend
    else:
        assert isinstance(knob, Knob)
        assert knob.values
        assert all(1 <= value <= 2_000 and value == int(value) for value in knob.values)


# -- kept in the file --------------------------------------------------------------------

KEPT = """
what_ifs:
  fewer: {yield: {lentil bites: 8..10}}
  grid: {yield: {lentil bites: 14, bean salad: 10..11}, floors: {Mira: {protein: 24..26 by 2}}}
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


@pytest.mark.parametrize(
    ("kept", "where", "what"),
    [
        ("what_ifs:\n  x: {yield: {lentil bite: 8}}\n", "lentil bite", "no batch named"),
        ("what_ifs:\n  x: {yield: {lentil bites: 9..8}}\n", "lentil bites", "downwards"),
        ("what_ifs:\n  x: {floors: {Mia: {protein: 8}}}\n", "Mia", "no eater named"),
        ("what_ifs:\n  x: {floors: {Mira: {protien: 8}}}\n", "protien", "is no nutrient"),
        ("what_ifs:\n  x: {lunches: 9}\n", "lunches", "cannot be"),
        ("what_ifs:\n  x: {}\n", "x", "nothing is turned"),
        ("what_ifs:\n  x: {yields: {lentil bites: 8}}\n", "yields", "unknown key"),
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
