"""Laws that need no second judge: what says the same is as good, what allows less is no better.

Each random week is written anew in a way of which it is known what becomes of its best values: keys
in another order, other names, units and dates, food and eaters that take no part, a limit drawn
tighter, twice of everything. A slip that every model of the project has in common shows here.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import chain
from random import Random
from typing import Any

from models.file.reading import week_of
from models.file.yamltext import parse
from models.words.priorities import PRIORITY_NAMES, TIE_BREAK, ranked
from optimiser.priorities import PRIORITIES
from optimiser.solve.week import solve_week
from tests.depth import sized
from tests.households import Household
from tests.optimiser.asking import drawn
from tests.oracle.test_every_sentence import in_an_order_of_its_own
from tests.weeks import SMALL, TINY, Size, WeekData, document_of

WEEKS = sized(3, 60)
"""Of each theme and size."""
TIGHTER = sized(2, 8)
"""Limits drawn tighter, of each week."""

HOUSEHOLDS = sized(1, 30)

Values = dict[str, Fraction]


def best_of(data: WeekData) -> Values | None:
    """Plan a week for the proven best of every priority; None where there is no plan."""
    _, solved = solve_week(week_of(document_of(data)))
    assert solved.status in {"optimal", "infeasible"}
    # Only the order of the file may stay open, among alike eaters.
    assert all(value.proven for value in solved.values if value.name != TIE_BREAK)
    values = {value.name: Fraction(value.value) for value in solved.values if value.proven}
    return None if solved.packed is None else values


def random_weeks(shift: int, *sizes: Size) -> Iterator[tuple[WeekData, Random]]:
    """Draw weeks, every other one in an order of priorities that names all, and dice for each."""
    for size in sizes:
        for at, data in enumerate(drawn(size, WEEKS, shift, earlier=True)):
            mixed = in_an_order_of_its_own(data, at) if at % 2 else data
            yield deepcopy(mixed), Random(at)


def households() -> Iterator[tuple[WeekData, Random]]:
    """Draw small households, which hang together as real weeks do, in any order of priorities."""
    for at in range(HOUSEHOLDS):
        dice = Random(at)
        size = dice.choice(((2, 3, 6, 2), (1, 5, 8, 3), (3, 3, 5, 2)))
        order = dice.sample(ranked(PRIORITY_NAMES), len(PRIORITY_NAMES) - 1)
        read: Any = parse("household", Household(*size, at).text(tuple(order))).data
        yield {**read, "boxes": {}}, dice


def mapped(thing: Any, change: Callable[[str], str]) -> Any:
    """Change every text, be it a key or not."""
    if isinstance(thing, dict):
        return {change(key): mapped(value, change) for key, value in thing.items()}
    if isinstance(thing, list):
        return [mapped(value, change) for value in thing]
    return change(thing) if isinstance(thing, str) else thing


# -- what says the same ---------------------------------------------------------------

ORDERED = {"priorities", "compartments", "pots", "elsewhere"}
"""Lists whose order says something; of two entries of `elsewhere` for a lunch the later holds."""


def order(thing: Any, dice: Random) -> Any:
    """Bring keys, and lists that mean no order, into any other."""
    if isinstance(thing, dict):
        keys = dice.sample(list(thing), len(thing))
        return {key: thing[key] if key in ORDERED else order(thing[key], dice) for key in keys}
    if isinstance(thing, list):
        return [order(value, dice) for value in dice.sample(thing, len(thing))]
    return thing


NAMED = ("eaters", "choices", "dishes", "boxes")
FOODS = ("batches", "larder")


def names(data: WeekData, dice: Random) -> WeekData:
    """Give everything another name; that of a food keeps its word, which says what is in it."""
    new = {
        name: f"{chr(ord('z') - at)}{dice.randint(10, 99)}{f' {name}' if part in FOODS else ''}"
        for part in (*NAMED, *FOODS)
        for at, name in enumerate(data.get(part, ()))
    }
    # A list of foods and allergens that are unwanted names no thing of the week.
    kept = {"allergens", "foods"}

    def renamed(thing: Any) -> Any:
        if isinstance(thing, dict):
            return {
                new.get(key, key): value if key in kept else renamed(value)
                for key, value in thing.items()
            }
        if isinstance(thing, list):
            return [renamed(value) for value in thing]
        return new.get(thing, thing) if isinstance(thing, str) else thing

    return {key: renamed(part) for key, part in data.items()}


OTHER_UNITS = {
    "g": (("kg", "0.001"), ("mg", "1000")),
    "mg": (("g", "0.001"),),
    "kg": (("g", "1000"),),
    "mL": (("L", "0.001"), ("cL", "0.1")),
    "L": (("mL", "1000"),),
    "kcal": (("kJ", "4.184"),),
}
AMOUNT = re.compile(r"([\d.]+) (g|mg|kg|mL|L|kcal)")


def units(data: WeekData, dice: Random) -> WeekData:
    """Write every amount in another unit, to the same."""

    def other(text: str) -> str:
        found = AMOUNT.fullmatch(text)
        if found is None:
            return text
        unit, times = dice.choice(OTHER_UNITS[found[2]])
        return f"{Decimal(found[1]) * Decimal(times):f} {unit}"

    changed: WeekData = mapped(data, other)
    return changed


def dates(data: WeekData, dice: Random) -> WeekData:
    """Move everything by whole weeks, perhaps into another year."""
    weeks = dice.choice((1, -1, 5, 66))

    def later(text: str) -> str:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
            return text
        return (date.fromisoformat(text) + timedelta(weeks=weeks)).isoformat()

    changed: WeekData = mapped(data, later)
    return changed


def unused(data: WeekData, dice: Random) -> WeekData:
    """Add food, a box and a choice of which nothing is ever eaten, and a dish nobody can have."""
    nutrition = next(iter(data["batches"].values()))["nutrition"]
    gone = {"gone": "2 portions", "cost": Decimal(0), "chilled": "no", "nutrition": nutrition}
    made = {"made": data["week"]["starts"], "yield": "2 portions", "portion": "70 g"}
    life = {"fridge_life": "2 to 4", "own_risk": "yes", "room": "70 mL"}
    item = {"pack": "1 piece", "piece": "50 g", "price": Decimal(3), "chilled": "no"}
    item |= {"opened_life": Decimal(1), "nutrition": nutrition, "room": "50 mL"}
    data["batches"] = {**data["batches"], "eaten up": made | gone | life}
    data["larder"] = {**data["larder"], "on the shelf": item, "in the dish": dict(item)}
    data["choices"] = {
        **data.get("choices", {}),
        "never": [{"on the shelf": "1 piece"}, {"in the dish": "1 piece"}],
    }
    data["dishes"]["Never"] = {
        "kind": dice.choice(("bread", "another")),
        "takes": {"eaten up": Decimal(dice.choice((1, 2)))},
        "goes_in": {"in the dish": "1 piece"},
        "choices": ["never"],
    }
    data["boxes"]["spare"] = {"compartments": ["900 mL"]}
    return data


def absent(data: WeekData, dice: Random) -> WeekData:
    """Add somebody who is never there, as alike to the first eater or with wishes of their own."""
    alike = dict(next(iter(data["eaters"].values())))
    vast = {"protein": "999 g"}
    data["eaters"]["Nobody"] = dice.choice((alike, {"floors": vast, "week_floors": vast}))
    days = [{"day": day, "eater": "Nobody"} for day in data["week"]["days"]]
    data["no_lunch"] = [*data.get("no_lunch", []), *days]
    return data


SAME = (order, names, units, dates, unused, absent)


def without_tie_break(values: Values | None) -> Values | None:
    """Leave out the order of the file, which may be another."""
    return values and {name: value for name, value in values.items() if name != TIE_BREAK}


def test_a_week_said_otherwise_is_as_good() -> None:
    planned = 0
    for data, dice in chain(random_weeks(50, TINY, SMALL), households()):
        best = best_of(data)
        planned += best is not None
        # All at once, or each alone where there is time to.
        for laws in (SAME, *sized(0, 1) * [(law,) for law in SAME]):
            other = deepcopy(data)
            for law in laws:
                other = law(other, dice)
            assert other != data or laws == (order,)
            again, told = best_of(other), [law.__name__ for law in laws]
            assert without_tie_break(again) == without_tie_break(best), (told, data)
    assert planned > 5 * WEEKS


# -- what allows less, and twice of everything ------------------------------------------


def rank(values: Values | None, times: int = 1) -> tuple[bool, list[Fraction]]:
    """Rank what a week comes to, so many times: the less the better, without a plan the worst."""
    named = (values or {}).items()
    reached = [
        (-value if PRIORITIES[name].most else value) * times
        for name, value in named
        if name != TIE_BREAK
    ]
    return values is None, reached


def stepped(text: str, tenths: int) -> str:
    """Move an amount by tenths of it."""
    number, _, unit = text.partition(" ")
    return f"{Decimal(number) * (10 + tenths) / 10:f} {unit}"


ONE = Decimal(1)
BOUNDS = {"floors": 1, "ceilings": -1, "week_floors": 1, "week_ceilings": -1}
MOST = ("most_times", "same_choice", "batch_running")


def tighter(data: WeekData) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Give limits of a week file by their keys, each with a value that allows less."""
    variety = data.get("variety", {})
    for key in MOST:
        yield ("variety", key), max(ONE, variety.get(key, 4) - ONE)
    yield ("variety", "days_between"), variety.get("days_between", 0) + ONE
    for name, eater in data["eaters"].items():
        for key, tenths in BOUNDS.items():
            for nutrient, amount in eater.get(key, {}).items():
                yield ("eaters", name, key, nutrient), stepped(amount, tenths)
        if "must_not" not in eater:
            yield ("eaters", name, "must_not"), {"foods": ["beans"]}
        if "box" not in eater:
            yield ("eaters", name, "box"), "tin"
    for name, batch in data["batches"].items():
        low, _, high = batch["fridge_life"].partition(" to ")
        # Of an earlier week's batch less is there on the first day where it keeps less long.
        if high and not {"own_risk", "earlier"} & batch.keys():
            yield ("batches", name, "fridge_life"), f"{low} to {max(int(low), int(high) - 1)}"
        if "freezer" in batch and "frozen" not in batch:
            yield ("batches", name, "freezer"), "0"
        yield ("batches", name, "eaten_within"), max(0 * ONE, batch.get("eaten_within", 3) - ONE)
    for name, box in data["boxes"].items():
        yield ("boxes", name, "compartments"), [stepped(x, -2) for x in box["compartments"]]
    for name, dish in data["dishes"].items():
        if "same_as" not in dish:
            yield ("dishes", name, "most"), max(ONE, dish.get("most", 3) - ONE)


def written(data: WeekData, path: tuple[str, ...], value: Any) -> WeekData:
    """Copy a week with something else at a place."""
    other = deepcopy(data)
    *way, last = path
    place = other
    for key in way:
        place = place.setdefault(key, {})
    place[last] = value
    return other


def test_a_limit_drawn_tighter_never_makes_a_week_better() -> None:
    outcomes = Counter[str]()
    for data, dice in random_weeks(51, TINY, SMALL):
        best = best_of(data)
        every = list(tighter(data))
        for path, value in dice.sample(every, min(TIGHTER, len(every))):
            again = best_of(written(data, path, value))
            assert rank(again) >= rank(best), (path, value, data)
            outcomes["as good" if again == best else "none" if again is None else "worse"] += 1
    assert outcomes["worse"] + outcomes["none"] > WEEKS / 2, outcomes


IN_PORTIONS = ("yield", "cook", "freezer", "frozen", "gone", "thawed")


def doubled(data: WeekData) -> WeekData:
    """Cook twice of everything for twice the eaters."""
    other = deepcopy(data)
    for name, eater in data["eaters"].items():
        other["eaters"][f"{name} too"] = deepcopy(eater)
    for key in ("elsewhere", "no_lunch"):
        theirs = [x | {"eater": f"{x['eater']} too"} for x in data.get(key, ()) if "eater" in x]
        if theirs:
            other[key] = [*data[key], *theirs]
    for batch in other["batches"].values():
        batch["cost"] *= 2
        for part in (batch, *batch.get("frozen_later", ())):
            for key in (*IN_PORTIONS, "portions"):
                if key in part:
                    twice = lambda found: str(2 * int(found[0]))  # noqa: E731
                    part[key] = re.sub(r"\d+", twice, part[key])
    return other


def test_twice_the_eaters_and_batches_do_no_worse_than_two_weeks() -> None:
    outcomes = Counter[str]()
    for data, _ in random_weeks(52, *(TINY, SMALL)[: sized(1, 2)]):
        best = best_of(data)
        if best is None:
            continue
        twice = best_of(doubled(data))
        assert rank(twice) <= rank(best, times=2), data
        outcomes["better" if rank(twice) < rank(best, times=2) else "as good"] += 1
    assert outcomes["as good"] > WEEKS, outcomes
    assert outcomes["better"], outcomes
