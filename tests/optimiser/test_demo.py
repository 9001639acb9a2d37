"""The ready weeks show what they are there to show.

The demo is what a newcomer sees first: it has to be clear of waste, and a cook who deals
out equal portions must not be. Both are counted here by hand from the figures of the file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

import optimiser
from models.answers.plan import LunchLine, PlanFile
from models.week.packed import OpenedPacks, PackedLunch, PackedPortions, PackedWeek
from models.week.sums import packs_needed, uses
from models.week.week import Dish, Week
from models.words.units import Quantity, magnitude
from optimiser.rules import faults_of


@cache
def plan_of(name: str) -> PlanFile:
    return optimiser.plan(name, reasons=False)


@cache
def week_named(name: str) -> Week:
    return optimiser.read_week(name)


# -- what is planned --------------------------------------------------------------


@pytest.mark.parametrize("name", ["demo", "short", "starter"])
def test_nothing_is_left_over_and_all_is_proven(name: str) -> None:
    plan = plan_of(name)
    assert plan.status == "optimal"
    assert not plan.interrupted
    assert plan.left_over.grams == 0
    assert plan.left_over.batches == []
    assert plan.left_over.packs == []
    assert [line.name for line in plan.priorities] == [*week_named(name).priorities]
    assert all(line.proven and line.bound == line.value for line in plan.priorities)


@pytest.mark.parametrize("name", ["demo", "short", "starter", "family"])
def test_the_audit_finds_nothing(name: str) -> None:
    assert optimiser.audit(plan_of(name)).faults == []
    assert optimiser.audit(plan_of(name), week_named(name)).faults == []


def test_all_food_of_the_family_is_eaten() -> None:
    week, plan = week_named("family"), plan_of("family")
    eaten: Counter[str] = Counter()
    for line in plan.lunches:
        for part in line.batches:
            eaten[part.batch] += part.portions
    assert eaten == {name: batch.portions for name, batch in week.batches.items()}


def foods_of(line: LunchLine) -> set[str]:
    items = {part.item for part in (*line.goes_in, *line.choices)}
    extras = {part.item for part in line.extras if part.times}
    return {part.batch for part in line.batches} | items | extras


def test_who_must_not_have_fish_gets_none() -> None:
    week = week_named("family")
    contents = {name: batch.contents for name, batch in week.batches.items()}
    contents |= {name: item.contents for name, item in week.larder.items()}
    careful = [name for name, eater in week.eaters.items() if "fish" in eater.avoids_allergens]
    assert careful == ["Tove"]
    served = {
        food
        for line in plan_of("family").lunches
        if line.eater == "Tove"
        for food in foods_of(line)
    }
    assert served
    for food in served:
        allergens = contents[food].allergens
        # What nobody has stated may hold anything.
        assert allergens is not None, food
        assert "fish" not in allergens, food
    # The file does offer some, or this would show nothing.
    assert any("fish" in (what.allergens or ()) for what in contents.values())


def test_the_impossible_week_names_what_stands_in_the_way() -> None:
    plan = optimiser.plan("impossible")
    assert plan.status == "infeasible"
    assert plan.lunches == []
    assert len(plan.conflict) >= 2
    assert len({rule.key for rule in plan.conflict}) == len(plan.conflict)


# -- a cook who deals out equal portions --------------------------------------------


def equal_portions(week: Week) -> dict[str, int]:
    """Deal out each batch in equal whole portions."""
    return {name: batch.portions // len(week.lunches) for name, batch in week.batches.items()}


def amounts_in(dish: Dish, dealt: Mapping[str, int]) -> dict[str, int]:
    """Bend equal portions to the ranges of a dish."""
    return {
        take.batch: min(max(dealt[take.batch], take.least), take.most)
        for take in dish.takes
        if take.most
    }


def greedy(week: Week) -> PackedWeek:
    """Pack as a cook does who deals out equal portions and thinks of nothing else.

    Each day brings the first dish of the file that takes all that is dealt out; where there
    is none, the one that takes most of it. Options are the first of the file.
    """
    dealt = equal_portions(week)
    left = {name: batch.portions for name, batch in week.batches.items()}
    lunches: list[PackedLunch] = []
    for lunch in week.lunches:
        today = {name: min(count, left[name]) for name, count in dealt.items()}

        def unfit(dish: Dish, today: Mapping[str, int] = today) -> int:
            amounts = amounts_in(dish, today)
            return sum(abs(count - amounts.get(name, 0)) for name, count in today.items())

        fitting = [
            dish
            for dish in week.dishes.values()
            if all(amount <= left[name] for name, amount in amounts_in(dish, today).items())
        ]
        dish = min(fitting, key=unfit)
        amounts = amounts_in(dish, today)
        for name, amount in amounts.items():
            left[name] -= amount
        lunches.append(
            PackedLunch(
                lunch.eater,
                lunch.day,
                dish.name,
                tuple(PackedPortions(name, count, 0) for name, count in amounts.items() if count),
                {name: week.choices[name].options[0].item for name in dish.choices},
                {},
            )
        )
    return with_packs(week, tuple(lunches))


def with_packs(week: Week, lunches: tuple[PackedLunch, ...]) -> PackedWeek:
    packs: tuple[OpenedPacks, ...] = tuple(packs_needed(week, uses(week, PackedWeek(lunches, ()))))
    return PackedWeek(lunches, packs)


def test_a_cook_who_deals_out_equal_portions_wastes_food_and_misses_the_floor() -> None:
    week = week_named("demo")
    yields = {name: batch.portions for name, batch in week.batches.items()}
    assert yields == {
        "barley pot": 6,
        "pea soup": 3,
        "caraway cabbage": 5,
        "leek bake": 5,
        "baked apples": 3,
    }
    # The days on which each may be eaten from the fridge, with a lunch on every day.
    days = {
        name: [day for day in week.days if batch.first_day <= day <= batch.use_by]
        for name, batch in week.batches.items()
    }
    assert {name: len(days[name]) for name in days} == {
        "barley pot": 4,
        "pea soup": 4,
        "caraway cabbage": 5,
        "leek bake": 3,
        "baked apples": 3,
    }
    # 6 over 4 days is 1 and two over, 3 over 4 none, 5 over 5 is 1, 5 over 3 is 1 and two over.
    dealt = {name: yields[name] // len(days[name]) for name in yields}
    assert list(dealt.values()) == [1, 0, 1, 1, 1]
    # 2 x 140 g of barley pot, 3 x 200 g of soup and 2 x 150 g of bake are thrown away.
    wasted = sum(
        (yields[name] - dealt[name] * len(days[name])) * grams(batch.portion)
        for name, batch in week.batches.items()
    )
    assert wasted == 1180
    # On Tuesday there is a portion of the pot and one of cabbage: 200 g, half of its protein.
    tuesday = [name for name in yields if week.days[0] in days[name] and dealt[name]]
    assert tuesday == ["barley pot", "caraway cabbage"]
    protein = sum(grams(week.batches[name].nutrition["PROCNT"]) for name in tuesday)
    assert round(protein) == 12
    told = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"throws {wasted:,} g away" in told
    assert f"packs {round(protein)} g of protein where 24 g" in told
    # Nor do two slices of rye bread mend that.
    assert protein + 2 * grams(week.larder["rye slice"].nutrition["PROCNT"]) < 24


def grams(quantity: Quantity) -> Decimal:
    return magnitude(quantity, "gram")


def grams_of(week: Week, line: LunchLine) -> Decimal:
    """Add up what a lunch weighs, pieces too."""
    parts = [part.portions * grams(week.batches[part.batch].portion) for part in line.batches]
    for part in (*line.goes_in, *line.choices):
        item = week.larder[part.item]
        one = Decimal(1) if item.unit == "gram" else grams(item.mass) if item.mass else None
        assert one is not None, part
        parts.append(Decimal(str(part.amount)) * one)
    assert not any(extra.times for extra in line.extras)
    return sum(parts, Decimal(0))


def test_each_lunch_of_the_demo_is_a_meal() -> None:
    week = week_named("demo")
    for line in plan_of("demo").lunches:
        assert 350 <= grams_of(week, line) <= 650, line.dish
        assert len(foods_of(line)) >= 2, line.dish
    # Nor can any dish be packed as one food alone.
    for dish in week.dishes.values():
        always = [take for take in dish.takes if take.least]
        assert len(always) + len(dish.goes_in) + len(dish.choices) >= 2, dish.name


def test_the_demo_has_what_it_is_there_to_show() -> None:
    week, plan = week_named("demo"), plan_of("demo")
    assert any(not line.fridge for line in plan.lunches)
    assert any(part.from_freezer for line in plan.lunches for part in line.batches)
    assert len(week.choices) >= 4
    assert len(week.dishes) <= 24
    heats = {step.oven for batch in week.batches.values() for step in batch.steps if step.oven}
    assert len(heats) == 2


@pytest.mark.parametrize("name", ["demo", "short", "starter"])
def test_such_a_cook_fails_in_each_ready_week(name: str) -> None:
    week = week_named(name)
    packed = greedy(week)
    wasted = sum(batch.portions for batch in week.batches.values()) - sum(
        lunch.of(batch) for lunch in packed.lunches for batch in week.batches
    )
    families = {fault.rule.split(":")[0] for fault in faults_of(week, packed)}
    assert wasted > 0 or families & {"floor", "fridge life"}


def test_the_plan_does_what_that_cook_does_not() -> None:
    week, plan = week_named("demo"), plan_of("demo")
    eaten: Counter[str] = Counter()
    for line in plan.lunches:
        for part in line.batches:
            eaten[part.batch] += part.portions
            batch = week.batches[part.batch]
            from_fridge = part.portions - part.from_freezer
            assert from_fridge == 0 or line.date <= batch.use_by
        for nutrient in line.nutrients.values():
            assert nutrient.floor is None or nutrient.amount >= nutrient.floor
    assert eaten == {name: batch.portions for name, batch in week.batches.items()}
    # Nor is the same dish served day after day.
    assert len({line.dish for line in plan.lunches}) == len(plan.lunches)


def test_the_floors_of_the_demo_are_in_the_plan() -> None:
    for line in plan_of("demo").lunches:
        floors = {tag: line.nutrients[tag].floor for tag in line.nutrients}
        assert sorted(floor for floor in floors.values() if floor is not None) == [8, 24]
