"""How much to cook: what a recipe allows, and the volumes that trying all of them would choose."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product

import joblib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.answers.size import SizeFile
from models.file.reading import read_document, read_week, week_of
from models.file.yamltext import parse
from models.foods.facts import FoodPack
from models.week import sums
from models.week.cook import cooked_in, week_cooked_in
from models.week.sizes import allowed, bought, packs_rest, perishable, rest_of
from models.week.week import Week
from models.words.errors import InputError
from optimiser.priorities import PRIORITIES
from optimiser.priorities import values as values_of
from optimiser.report.size import text
from optimiser.solve import parallel
from optimiser.solve.limits import Stop
from optimiser.solve.week import Solved, solve_week
from optimiser.weeks.size import size, sized
from tests import depth

from ..weeks import TINY, document_of
from .asking import drawn
from .other_ways import Asked
from .test_golden import GOLDEN

NEVER = Decimal("inf")

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us, name: Small, cups: label}
eaters:
  Ada: {floors: {protein: 6 g}, likes: {Bowl: 1}}
batches:
  beans:
    made: 2026-11-29
    ingredients: [200 g dried haricot beans, 20 g parsley, 1 tbsp olive oil]
    keeps_as: bean salad
    yield: 6 portions
    portion: 80 g
    sizes: {least: 3, most: 9}
  farls:
    made: 2026-11-29
    ingredients: [120 g dried green lentils, 2 eggs, 60 g celery]
    yield: 8 portions
    portion: 40 g
    sizes: {least: 4, most: 12, by: 2, split: [eggs]}
prices:
  dried haricot beans: {pack: 500 g, price: 1.90}
  parsley: {pack: 25 g, price: 0.90}
  celery: [{pack: 100 g, price: 0.80}, {pack: 45 g, price: 0.50}]
  dried green lentils: {pack: 500 g, price: 2.10}
  eggs: {pack: 6 pieces, price: 2.40}
  olive oil: {pack: 500 mL, price: 6.00}
larder:
  rolls:
    {pack: 4 pieces, chilled: no, price: 1.20, allergens: none,
     nutrition: {protein: 3 g}, per: 1 piece}
dishes:
  Bowl: {kind: bowl, takes: {beans: 2 to 3}, minutes: 4}
  Roll: {kind: bread, takes: {farls: 2 to 4}, goes_in: {rolls: 1 piece}, minutes: 6}
  Plate: {kind: plate, takes: {beans: 1 to 2, farls: 2 to 3}, minutes: 5}
variety: {most_times: 1}
"""


def small(content: str = WEEK) -> Week:
    return week_of(parse("week.yaml", content))


# -- what a recipe allows ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sizes", "wanted"),
    [
        ("{least: 4, most: 12, by: 2, split: [eggs]}", [4, 6, 8, 10, 12]),
        ("{least: 4, most: 12, split: all}", list(range(4, 13))),
        # Two eggs for eight portions: one more egg for every four.
        ("{least: 4, most: 12}", [4, 8, 12]),
        ("{least: 5, most: 12}", [8, 12]),
        ("{}", [4, 8, 12, 16]),
        ("{by: 8 portions}", [8, 16]),
    ],
)
def test_a_recipe_is_cooked_in_what_it_allows(sizes: str, wanted: list[int]) -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", sizes)
    assert list(allowed(small(content).batches["farls"]).portions) == wanted


def test_without_a_word_it_is_half_to_twice_with_eggs_whole() -> None:
    batch = read_week("family").batches["buckwheat pancakes"]
    found = allowed(batch)
    # 4 eggs for 24 pieces: an egg for every six.
    assert found.portions == (12, 18, 24, 30, 36, 42, 48)
    assert any("stays whole" in one for one in found.because)
    assert any("'sizes' says otherwise" in one for one in found.because)


@pytest.mark.parametrize(
    ("sizes", "what"),
    [
        ("{least: 9, most: 4}", "no multiple of 1"),
        ("{by: 40}", "no multiple of 40"),
        ("{split: [onions]}", "no ingredient of 'farls' is 'onions'"),
        ("{largest: 3}", "unknown key"),
        ("{least: many}", "not a range"),
    ],
)
def test_sizes_that_cannot_be_are_refused(sizes: str, what: str) -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", sizes)
    with pytest.raises(InputError, match=what) as caught:
        small(content)
    assert caught.value.where.line is not None


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        # One for six portions, two, three and half of one.
        ("1 x 400 g tin chopped tomatoes", [6, 12]),
        ("2 x 400 g tins chopped tomatoes", [3, 6, 9, 12]),
        ("3 eggs", [4, 6, 8, 10, 12]),
        ("1/2 x 400 g tin chopped tomatoes", [12]),
        ("400 g tinned chopped tomatoes", list(range(3, 13))),
    ],
)
def test_tins_and_eggs_stay_whole(line: str, wanted: list[int]) -> None:
    batch = small(one_batch(f"[500 g carrots, {line}]", "{}")).batches["pot"]
    found = allowed(batch)
    assert list(found.portions) == wanted
    assert (f"{line!r} stays whole" in found.because) == (wanted != list(range(3, 13)))
    for portions in range(3, 13):
        counts = [one.count for one in cooked_in(batch, portions).recipe.ingredients]
        whole = all(one is None or abs(one - round(one)) < Decimal("1e-9") for one in counts)
        assert whole == (portions in wanted)


def test_what_may_be_cooked_is_that_of_the_recipe_however_much_is_cooked_now() -> None:
    batch = small().batches["farls"]
    for portions in (4, 6, 12):
        assert allowed(cooked_in(batch, portions)) == allowed(batch)


@pytest.mark.parametrize("made", ["frozen: 2 portions", "gone: 1 portion"])
def test_a_batch_that_is_made_stays_as_it_is(made: str) -> None:
    content = WEEK.replace("portion: 80 g", f"portion: 80 g\n    freezes: yes\n    {made}")
    week = small(content)
    found = size(week)
    beans = next(one for one in found.batches if one.batch == "beans")
    assert (beans.cook, beans.allowed, beans.works) == (6, [6], [6])
    assert beans.because[0].startswith("it is made")
    again = week_of(parse("written", sized(week, found)))
    _, best = solve_week(left_first(again))
    assert found.priorities == as_floats(best)


def test_a_batch_that_may_be_cooked_in_no_number_is_refused() -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", "{least: 5, most: 7}")
    with pytest.raises(InputError, match="no number of portions"):
        size(small(content))


# -- what packs leave ------------------------------------------------------------------------


@settings(max_examples=depth.sized(40, 150))
@given(
    need=st.integers(1, 300),
    sizes=st.lists(st.integers(5, 120), min_size=1, max_size=3, unique=True),
)
def test_packs_leave_the_least_they_can(need: int, sizes: list[int]) -> None:
    packs = tuple(FoodPack(f"{one} g", Decimal(one), Decimal(one), Decimal(1)) for one in sizes)
    ranges = [range(need // one + 2) for one in sizes]
    totals = [sum(n * one for n, one in zip(c, sizes, strict=True)) for c in product(*ranges)]
    assert rest_of(Decimal(need), packs) == min(total for total in totals if total >= need) - need


def one_batch(ingredients: str, prices: str, sizes: str = "{}") -> str:
    return f"""
week: {{starts: 2026-11-30, days: [mon, tue, wed], guidance: us, name: One, cups: label}}
eaters: {{Ada: {{}}}}
batches:
  pot:
    made: 2026-11-29
    ingredients: {ingredients}
    keeps_as: bean salad
    yield: 6 portions
    portion: 80 g
    sizes: {sizes}
prices: {prices}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1 to 4}}, minutes: 4}}
"""


WHOLE = [
    ("4 cucumbers", "cucumbers", "1 piece"),
    ("2 cucumbers", "cucumbers", "1 piece"),
    ("3 sticks of celery", "celery", "1 stick"),
    ("5 leeks", "leeks", "1 piece"),
    ("3 aubergines", "aubergines", "1 piece"),
]


@pytest.mark.parametrize(("line", "food", "pack"), WHOLE, ids=lambda one: one)
def test_whole_vegetables_bought_one_by_one_leave_nothing(line: str, food: str, pack: str) -> None:
    # Peel is a share of them: what one weighs as it is bought has no end.
    prices = f"{{{food}: {{pack: {pack}, price: 1.00}}}}"
    sizes = "{least: 5, most: 7, split: all}"
    week = small(one_batch(f"[500 g carrots, {line}]", prices, sizes))
    (packs,) = (packs for name, packs in perishable(week).items() if name != "carrot, raw")
    assert packs[0].bought != round(packs[0].bought, 3)
    assert packs_rest(week, {"pot": 6}) == {}
    found = size(week)
    assert (found.left_over, found.packs) == (0, [])
    (pot,) = found.batches
    assert (pot.cook, pot.works, pot.below, pot.above) == (6, [6], 5, 7)
    for leaves, portions in ((pot.below_leaves, 5), (pot.above_leaves, 7)):
        rest = sum(packs_rest(week, {"pot": portions}).values())
        assert leaves == pytest.approx(float(rest), abs=0.01)


def test_a_share_that_has_no_end_fills_its_pack() -> None:
    # Of 6 portions cooked in 7: 60 g of parsley as it is bought, 57 g picked, become 70.
    prices = "{parsley: {pack: 70 g, price: 1}}"
    week = small(one_batch("[500 g carrots, 57 g parsley]", prices, "{least: 7, most: 7}"))
    need = bought(week, {"pot": 7})["parsley leaf, fresh"]
    assert need == pytest.approx(Decimal(70))
    assert need != 70
    assert packs_rest(week, {"pot": 7}) == {}
    assert size(week).left_over == 0


def test_large_needs_take_many_packs() -> None:
    packs = [FoodPack(f"{one} g", Decimal(one), Decimal(one), Decimal(1)) for one in (45, 100)]
    assert rest_of(Decimal(10_010), tuple(packs)) == 0
    assert rest_of(Decimal(10_001), tuple(packs)) == 4
    assert rest_of(Decimal(0), tuple(packs)) == 0


@pytest.mark.parametrize("name", ["demo", "family", "starter", "short"])
def test_grams_bought_are_those_of_the_lines_whatever_is_cooked(name: str) -> None:
    week = read_week(name)
    for share in (Fraction(1), Fraction(1, 3), Fraction(7, 5)):
        portions = {
            name: max(1, round(batch.portions * share)) for name, batch in week.batches.items()
        }
        found = bought(week, portions)
        sums_: dict[str, Fraction] = {}
        for batch in week.batches.values():
            base = batch if batch.whole is None else batch.whole
            for line in () if base.recipe is None else base.recipe.ingredients:
                part = Fraction(portions[batch.name], base.portions) * Fraction(line.bought)
                sums_[line.food.name] = sums_.get(line.food.name, Fraction(0)) + part
        assert {food: float(grams) for food, grams in found.items()} == pytest.approx(
            {food: float(grams) for food, grams in sums_.items()}
        )
        assert sum(map(Fraction, found.values())) > 0 or not sums_


def test_what_is_bought_is_the_sum_of_the_lines() -> None:
    week = small()
    assert bought(week, {})["parsley leaf, fresh"] == pytest.approx(
        week.batches["beans"].recipe.ingredients[1].bought
    )
    half = bought(week, {"beans": 3})
    assert half["parsley leaf, fresh"] * 2 == pytest.approx(bought(week, {})["parsley leaf, fresh"])
    # Dried beans outlast the week: what their pack leaves is no waste.
    assert set(packs_rest(week, {})) <= {"parsley leaf, fresh", "celery sticks, raw"}


# -- the choice --------------------------------------------------------------------------------


def tried(week: Week) -> dict[tuple[int, ...], tuple[Decimal, ...]]:
    """Plan every combination of the allowed volumes, least left over first."""
    names = list(week.batches)
    first = left_first(week)
    found = {}
    for portions in product(*(allowed(week.batches[name]).portions for name in names)):
        volumes = dict(zip(names, portions, strict=True))
        other = week_cooked_in(first, volumes)
        _, solved = solve_week(other)
        if solved.packed is None:
            continue
        values = values_of(other, solved.packed)
        rest = sum(packs_rest(week, volumes).values(), Decimal(0))
        found[portions] = (
            values["left_over"] + rest,
            *(
                -values[name] if PRIORITIES[name].most else values[name]
                for name in other.priorities[1:]
                if name != "file_order"
            ),
        )
    return found


def left_first(week: Week) -> Week:
    """Put what is left over first."""
    return replace(
        week, priorities=("left_over", *(x for x in week.priorities if x != "left_over"))
    )


def as_floats(solved: Solved) -> dict[str, object]:
    return {value.name: pytest.approx(float(value.value), abs=1e-4) for value in solved.values}


def moved(week: Week, chosen: tuple[int, ...]) -> tuple[int, int]:
    """Count the batches that are cooked otherwise than the file says, and by how many portions."""
    pairs = zip(week.batches.values(), chosen, strict=True)
    ways = [abs(batch.portions - portions) for batch, portions in pairs]
    return sum(map(bool, ways)), sum(ways)


def as_near_as_can_be(
    week: Week, every: dict[tuple[int, ...], tuple[Decimal, ...]], chosen: tuple[int, ...]
) -> bool:
    """Tell whether of the volumes that are as good those nearest to the file are chosen."""
    best = pytest.approx([float(x) for x in min(every.values())], abs=0.01)
    alike = [portions for portions, values in every.items() if [float(x) for x in values] == best]
    return moved(week, chosen) == min(moved(week, portions) for portions in alike)


def test_what_works_as_well_as_the_file_says_is_left_as_it_is() -> None:
    (batch,) = size(read_week("minimal")).batches
    assert (batch.was, batch.cook) == (6, 6)
    assert batch.works == [3, 4, 5, 6, 7, 8, 9]


CONTENTS = {
    "as it is": WEEK,
    "no repeats matter": WEEK.replace("most_times: 1", "most_times: 2"),
    "cost first": WEEK + "priorities: [cost, left_over]\n",
    "a floor that binds": WEEK.replace("protein: 6 g", "protein: 16 g"),
    "keeps a day": WEEK.replace("keeps_as: bean salad", "fridge_life: 2"),
    "left over is no priority": WEEK + "priorities: [liking, minutes]\n",
    # All is eaten from the freezer, which takes all of a larger batch too.
    "from the freezer": one_batch("[500 g carrots]", "{}")
    .replace("keeps_as: bean salad", "fridge_life: 1\n    freezes: yes")
    .replace("2026-11-30, days: [mon, tue, wed]", "2026-12-02, days: [wed, thu, fri]")
    .replace("1 to 4", "3 to 4"),
    "cooked in other numbers now": WEEK.replace("80 g", "80 g\n    cook: 4 portions"),
    # Packs of parsley come out even at 5 and at 10 portions, and at none between.
    "even again": one_batch(
        "[500 g carrots, 28.5 g parsley]",
        "{parsley: {pack: 25 g, price: 1}}",
        "{least: 3, most: 12}",
    ),
    "whole tins": WEEK.replace("200 g dried haricot beans", "2 x 400 g tins chopped tomatoes"),
}


@pytest.mark.parametrize("name", CONTENTS)
def test_the_choice_is_what_trying_all_volumes_would_choose(name: str) -> None:
    week = small(CONTENTS[name])
    every = tried(week)
    found = size(week)
    if not every:
        assert (found.status, found.batches) == ("infeasible", [])
        assert found.conflict
        return
    best = min(every.values())
    chosen = tuple(one.cook for one in found.batches)
    assert found.status == "optimal"
    assert sum(one.grams for one in found.packs) == pytest.approx(
        float(sum(packs_rest(week, dict(zip(week.batches, chosen, strict=True))).values()))
    )
    assert found.left_over == pytest.approx(float(best[0]), abs=0.01)
    assert [float(x) for x in every[chosen]] == pytest.approx([float(x) for x in best], abs=0.01)
    assert as_near_as_can_be(week, every, chosen)
    for at, one in enumerate(found.batches):
        assert one.allowed == list(allowed(week.batches[one.batch]).portions)
        works = [
            portions
            for portions in one.allowed
            if every.get((*chosen[:at], portions, *chosen[at + 1 :]), (NEVER,))[0]
            <= best[0] + Decimal("0.01")
        ]
        assert one.works == works
        smaller = [x for x in one.allowed if x < one.cook and x not in works]
        larger = [x for x in one.allowed if x > one.cook and x not in works]
        assert one.below == max(smaller, default=None)
        assert one.above == min(larger, default=None)
        for end, leaves in ((one.below, one.below_leaves), (one.above, one.above_leaves)):
            if end is None:
                continue
            other = every.get((*chosen[:at], end, *chosen[at + 1 :]))
            if leaves is None:
                assert other is None
            else:
                assert other is not None
                assert leaves == pytest.approx(float(other[0]), abs=0.01)
                assert other[0] > best[0]


def test_some_of_these_weeks_come_out_even_again() -> None:
    found = size(small(CONTENTS["even again"]))
    assert found.batches[0].works == [5, 10]
    assert re.search(r"5 portions +5, 10 ", text(found))


def test_the_choice_on_random_weeks() -> None:
    """Half the recipe to twice of everything; the least that is left by a second solver."""
    told = {"infeasible": 0, "optimal": 0}
    for data in drawn(TINY, depth.sized(3, 8), 63):
        week = week_of(document_of(data))
        if any(batch.frozen is not None for batch in week.batches.values()):
            continue
        every = tried(week)
        found = size(week)
        assert found.status == ("optimal" if every else "infeasible")
        told[found.status] += 1
        if not every:
            assert found.conflict
            continue
        chosen = {one.batch: one.cook for one in found.batches}
        assert [float(x) for x in every[tuple(chosen.values())]] == pytest.approx(
            [float(x) for x in min(every.values())], abs=1e-4
        )
        assert as_near_as_can_be(week, every, tuple(chosen.values()))
        least = Asked(week_cooked_in(week, chosen)).priority("left_over")
        assert found.left_over == pytest.approx(float(least or 0), abs=1e-4)
    assert min(told.values()) > depth.sized(0, 1)


def test_where_several_batches_share_a_pack_it_is_bought_for_both() -> None:
    content = WEEK.replace("60 g celery", "12 g parsley")
    week = small(content)
    assert len(perishable(week)["parsley leaf, fresh"]) == 1
    every = tried(week)
    found = size(week)
    best = min(every.values())
    assert [float(x) for x in every[tuple(one.cook for one in found.batches)]] == pytest.approx(
        [float(x) for x in best], abs=0.01
    )


def test_it_does_not_matter_who_works(monkeypatch: pytest.MonkeyPatch) -> None:
    week = small()
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    alone = size(week)
    monkeypatch.setattr(parallel, "workers", lambda: 3)
    assert size(week) == alone
    # What holds a solver cannot be sent to processes; threads do it then too.
    with joblib.parallel_config(backend="loky", n_jobs=2):
        assert size(week) == alone


def test_a_stop_gives_what_was_chosen_without_how_firm_it_is() -> None:
    stop = Stop()

    def say(line: str) -> None:
        if "firm" in line:
            stop.now()

    found = size(small(), stop=stop, say=say)
    assert found.interrupted
    assert [one.cook for one in found.batches] == [one.cook for one in size(small()).batches]
    for one in found.batches:
        assert (one.works, one.below, one.above) == ([one.cook], None, None)
    said = text(found)
    assert "You stopped it" in said
    assert "no other" not in said
    assert "not looked" in said


def test_a_stop_before_anything_was_chosen_gives_nothing() -> None:
    stop = Stop()
    stop.now()
    found = size(small(), stop=stop)
    assert (found.status, found.batches, found.interrupted) == ("unknown", [], True)


def test_a_week_without_batches_has_nothing_to_size() -> None:
    with pytest.raises(InputError, match="no batch"):
        size(replace(small(), batches={}))


def test_every_other_byte_of_the_file_stays() -> None:
    # Remarks, quotes, a mapping on one line and a number that is cooked already.
    written = "    yield: 6 portions   # of each\n    cook: 6 portions\n"
    content = WEEK.replace("    yield: 6 portions\n", written)
    content = content.replace("name: Small", "name: 'Small'") + "# the end"
    week = small(content)
    found = size(week)
    written = sized(week, found)
    assert {one.batch: one.cook for one in found.batches} == {
        name: batch.portions for name, batch in small(written).batches.items()
    }
    numbers = {one.batch: one.cook for one in found.batches}
    assert numbers["beans"] != 6
    kept = written.replace(f"    cook: {numbers['beans']} portions\n", "    cook: 6 portions\n")
    kept = kept.replace(f"    cook: {numbers['farls']} portions\n", "")
    assert kept == content
    same = replace_cooks(found)
    assert sized(week, same) == content


def replace_cooks(found: SizeFile) -> SizeFile:
    """Give an answer in which everything is cooked as it was."""
    batches = [one.model_copy(update={"cook": one.was}) for one in found.batches]
    return found.model_copy(update={"batches": batches})


def test_the_week_that_is_written_reaches_what_was_promised_and_is_else_the_same() -> None:
    document = read_document("demo")
    week = week_of(document)
    found = size(week)
    written = sized(week, found)
    again = week_of(parse("written", written))
    assert {one.batch: one.cook for one in found.batches} == {
        name: batch.portions for name, batch in again.batches.items()
    }
    _, solved = solve_week(again)
    assert solved.packed is not None
    first = replace(again, priorities=("left_over", *again.priorities[1:]))
    _, best = solve_week(first)
    assert again.priorities[0] == "left_over"
    assert found.priorities == {
        value.name: pytest.approx(float(value.value), abs=1e-4) for value in best.values
    }
    rest = sum(one.grams for one in found.packs)
    assert found.left_over == pytest.approx(
        float(sums.left_over(again, solved.packed)) + rest, abs=0.01
    )
    kept = [line for line in written.splitlines() if not line.strip().startswith("cook:")]
    assert kept == document.text.splitlines()
    # Sized again nothing changes.
    assert all(one.cook == one.was for one in size(again).batches)


def test_the_text_is_as_it_was() -> None:
    said = text(size(small()))
    path = GOLDEN / "size-small.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        path.write_text(said, encoding="utf-8")
    assert said == path.read_text(encoding="utf-8")


def test_the_text_fits_the_terminal_and_says_how_firm_each_number_is() -> None:
    found = size(read_week("demo"))
    said = text(found)
    assert max(map(len, said.splitlines())) <= 80
    for one in found.batches:
        assert re.search(rf"^{one.batch} +{one.was} +{one.cook} {one.word}s ", said, re.MULTILINE)
    assert re.search(r"2 pieces +2 to 3 +4: 114 g left; 2 to 6", said)
    for width in (40, 50, 63):
        narrow = text(found, width=width)
        assert max(map(len, narrow.splitlines())) <= width
        for one in found.batches:
            assert f"cook {one.cook} {one.word}s," in " ".join(narrow.split())


def test_what_is_left_is_said_by_batch_and_pack() -> None:
    for week in (read_week("demo"), small(), small(CONTENTS["even again"])):
        found = size(week)
        assert found.left_over is not None
        parts = (*found.batches_left, *found.opened_left, *found.packs)
        assert found.left_over == pytest.approx(sum(part.grams for part in parts), abs=0.01)
        said = " ".join(text(found).split())
        for rest in found.batches_left:
            assert f"{rest.batch} ({rest.grams:.0f} g)" in said
