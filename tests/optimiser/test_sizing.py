"""How much to cook: what a recipe allows, and the volumes that trying all of them would choose."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models import sums
from models.errors import InputError
from models.priorities import PRIORITIES
from models.reading import read_document, read_week, week_of
from models.sizing import allowed, bought, packs_rest, rest_of
from models.volume import week_cooked_in
from models.week import FoodPack, Week
from models.yamltext import parse
from optimiser.report.size import text
from optimiser.sizing import size, sized
from optimiser.solve import solve_week

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
  bites:
    made: 2026-11-29
    ingredients: [120 g dried green lentils, 2 eggs, 60 g celery]
    yield: 8 pieces
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
  rolls: {pack: 4 pieces, price: 1.20, allergens: none, nutrition: {protein: 3 g}, per: 1 piece}
dishes:
  Bowl: {kind: bowl, takes: {beans: 2 to 3}, minutes: 4}
  Roll: {kind: bread, takes: {bites: 2 to 4}, goes_in: {rolls: 1 piece}, minutes: 6}
  Plate: {kind: plate, takes: {beans: 1 to 2, bites: 2 to 3}, minutes: 5}
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
        # Two eggs for eight pieces: one more egg for every four.
        ("{least: 4, most: 12}", [4, 8, 12]),
        ("{least: 5, most: 12}", [8, 12]),
        ("{}", [4, 8, 12, 16]),
        ("{by: 8 pieces}", [8, 16]),
    ],
)
def test_a_recipe_is_cooked_in_what_it_allows(sizes: str, wanted: list[int]) -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", sizes)
    assert list(allowed(small(content).batches["bites"]).portions) == wanted


def test_without_a_word_it_is_half_to_twice_with_tins_and_eggs_whole() -> None:
    batch = read_week("family").batches["bean stew"]
    found = allowed(batch)
    # 2 x 400 g tins for 18 portions: a tin for every nine.
    assert found.portions == (9, 18, 27, 36)
    assert any("stays whole" in one for one in found.because)
    assert any("'sizes' says otherwise" in one for one in found.because)


@pytest.mark.parametrize(
    ("sizes", "what"),
    [
        ("{least: 9, most: 4}", "no multiple of 1"),
        ("{by: 40}", "no multiple of 40"),
        ("{split: [onions]}", "no ingredient of 'bites' is 'onions'"),
        ("{largest: 3}", "unknown key"),
        ("{least: many}", "not a range"),
    ],
)
def test_sizes_that_cannot_be_are_refused(sizes: str, what: str) -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", sizes)
    with pytest.raises(InputError, match=what) as caught:
        small(content)
    assert caught.value.where.line is not None


def test_a_batch_that_may_be_cooked_in_no_number_is_refused() -> None:
    content = WEEK.replace("{least: 4, most: 12, by: 2, split: [eggs]}", "{least: 5, most: 7}")
    with pytest.raises(InputError, match="no number of portions"):
        size(small(content))


# -- what packs leave ------------------------------------------------------------------------


@settings(max_examples=150)
@given(
    need=st.integers(1, 300),
    sizes=st.lists(st.integers(5, 120), min_size=1, max_size=3, unique=True),
)
def test_packs_leave_the_least_they_can(need: int, sizes: list[int]) -> None:
    packs = tuple(FoodPack(f"{one} g", Decimal(one), Decimal(one), Decimal(1)) for one in sizes)
    ranges = [range(need // one + 2) for one in sizes]
    totals = [sum(n * one for n, one in zip(c, sizes, strict=True)) for c in product(*ranges)]
    assert rest_of(Decimal(need), packs) == min(total for total in totals if total >= need) - need


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
    first = replace(
        week, priorities=("left_over", *(x for x in week.priorities if x != "left_over"))
    )
    found = {}
    for portions in product(*(allowed(week.batches[name]).portions for name in names)):
        volumes = dict(zip(names, portions, strict=True))
        other = week_cooked_in(first, volumes)
        _, solved = solve_week(other)
        if solved.packed is None:
            continue
        values = sums.values(other, solved.packed)
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


CONTENTS = {
    "as it is": WEEK,
    "no repeats matter": WEEK.replace("most_times: 1", "most_times: 2"),
    "cost first": WEEK + "priorities: [cost, left_over]\n",
    "a floor that binds": WEEK.replace("protein: 6 g", "protein: 16 g"),
    "keeps a day": WEEK.replace("keeps_as: bean salad", "fridge_life: 2"),
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
    assert found.left_over == pytest.approx(float(best[0]), abs=0.01)
    assert [float(x) for x in every[chosen]] == pytest.approx([float(x) for x in best], abs=0.01)
    for at, one in enumerate(found.batches):
        for portions in one.allowed:
            other = every.get((*chosen[:at], portions, *chosen[at + 1 :]))
            works = other is not None and other[0] <= best[0] + Decimal("0.01")
            if portions in one.works:
                assert works
            if one.below is not None and one.below < portions < one.cook:
                assert portions in one.works
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


def test_the_week_that_is_written_reaches_what_was_promised_and_is_else_the_same() -> None:
    document = read_document("demo")
    week = week_of(document)
    found = size(week)
    written = sized(document.text, week, found)
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


def test_the_text_fits_the_terminal_and_says_how_firm_each_number_is() -> None:
    found = size(read_week("demo"))
    said = text(found)
    assert max(map(len, said.splitlines())) <= 80
    for one in found.batches:
        assert f"{one.cook} {one.word}s of {one.batch}" in said
    assert "leave no more over, the other batches as here" in said
