"""The week after a random week, reckoned by hand and put to the second solver.

What goes over is written here from the section "The week after" of DEVELOPERS.md and from a ledger
that is told by plans alone, never from what `next` writes. HiGHS's best of that week has to be what
the program plans of the file that `next` gave.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from copy import deepcopy
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest

from models.answers.plan import PlanFile
from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.week import Week
from models.words.errors import InputError
from optimiser.following import next_week
from optimiser.planning import plan_week
from optimiser.solve.week import solve_week
from tests.depth import sized
from tests.optimiser.asking import drawn
from tests.optimiser.test_change import Kitchen
from tests.oracle import highs
from tests.oracle.test_second_solver import assert_is_best, assert_is_sound
from tests.weeks import SMALL, WeekData, document_of

EACH = sized(4, 60)
A_WEEK = timedelta(days=7)
OF_ONE_WEEK = ("gone", "frozen", "frozen_later", "thawed", "cook")
OF_THE_PREP_DAY = ("freezes", "freezer")


def with_more_frozen(data: WeekData, dice: Random) -> WeekData:
    """Have batches frozen in part, so that something goes over."""
    data = deepcopy(data)
    first = min(week_of(document_of(data)).days)
    for batch in data["batches"].values():
        portions = re.match(r"(\d+) (portions|pieces)", batch["yield"])
        if portions and not {"earlier", *OF_ONE_WEEK} & batch.keys() and dice.random() < 0.7:
            batch |= {"made": (first - timedelta(days=1)).isoformat(), "fridge_life": "1 to 4"}
            batch |= {"freezes": "yes", "freezer": batch["yield"], "own_risk": "yes"}
            batch["frozen"] = f"{dice.randint(1, int(portions[1]) // 2)} {portions[2]}"
    if dice.random() < 0.6:
        # What is thawed is as good as fresh: so the old is eaten.
        others = data.get("priorities", ["left_over", "repeats", "cost"])
        data["priorities"] = ["freshness", *(x for x in others if x != "freshness")]
    return data


def left(week: Week, plan: PlanFile) -> dict[str, tuple[int, int]]:
    """Count what is in the fridge and still good on the first day after, and in the freezer."""
    kitchen = Kitchen.of(week, plan)
    kitchen.until(week.days[-1] + timedelta(days=1))
    first = week.days[0] + A_WEEK
    return {
        name: (ledger.fridge if week.batches[name].use_by >= first else 0, ledger.freezer)
        for name, ledger in kitchen.ledgers.items()
    }


def by_hand(data: WeekData, week: Week, rest: Mapping[str, tuple[int, int]]) -> WeekData:
    """Write the week after."""
    new = deepcopy(data)
    new["week"]["starts"] = (week.days[0] + A_WEEK).isoformat()
    for key in ("no_lunch", "elsewhere"):
        new[key] = [entry for entry in new.pop(key, []) if not re.match(r"\d{4}-", entry["day"])]
    for item in new["larder"].values():
        item.pop("use_by", None)
    there = {name: sum(portions) for name, portions in rest.items() if sum(portions)}
    batches: WeekData = {}
    for name, entry in data["batches"].items():
        batch = week.batches[name]
        if name in there:
            known = {*OF_THE_PREP_DAY, *OF_ONE_WEEK} - {"cook"}
            old = {key: value for key, value in entry.items() if key not in known}
            old |= {"made": batch.made.isoformat(), "earlier": "yes"}
            old["frozen"] = f"{rest[name][1]} portions"
            old["gone"] = f"{batch.portions - there[name]} portions"
            batches[name if batch.earlier else f"{name} of old"] = old
        if not batch.earlier:
            fresh = {key: value for key, value in entry.items() if key not in OF_ONE_WEEK}
            batches[name] = fresh | {"made": (batch.made + A_WEEK).isoformat()}
    new["batches"] = batches
    _offer(new, week, there)
    taken = {batch for dish in new["dishes"].values() for batch in dish["takes"]}
    for name in {name for name, batch in week.batches.items() if not batch.earlier} - taken:
        del new["batches"][name]
    return new


def _offer(new: WeekData, week: Week, there: Mapping[str, int]) -> None:
    """Add a dish for each that takes what is left; leave out those of what is used up."""
    earlier = {name for name, batch in week.batches.items() if batch.earlier}
    used_up = earlier - there.keys()
    kept = [x for x, dish in week.dishes.items() if not any(y.batch in used_up for y in dish.takes)]
    roots = {name: dish.get("same_as", name) for name, dish in new["dishes"].items()}
    dishes: WeekData = {}
    for name, dish in new["dishes"].items():
        takes = {take.batch: take for take in week.dishes[name].takes}
        if name not in kept:
            continue
        # Of several that were the same as one that is left out, the first stands for it.
        root = roots[name]
        head = root if root in kept else next(x for x in kept if roots[x] == root)
        dish.pop("same_as", None)
        dish.update({"same_as": head} if head != name else {})
        dishes[name] = dish
        # A dish of what is old already stays the one way to eat it.
        offered = there if not earlier & takes.keys() else {}
        for batch in week.batches:
            if batch in offered and batch in takes and 0 < takes[batch].least <= there[batch]:
                least, most = takes[batch].least, min(takes[batch].most, there[batch])
                another: dict[str, Any] = {**deepcopy(dish), "same_as": dish.get("same_as", name)}
                another.pop("most", None)
                another["takes"].pop(batch)
                another["takes"][f"{batch} of old"] = f"{least} to {most}"
                dishes[f"{name} of old {batch}"] = another
                for eater in new["eaters"].values():
                    if name in eater.get("likes", {}):
                        eater["likes"][f"{name} of old {batch}"] = eater["likes"][name]
    new["dishes"] = dishes
    for eater in new["eaters"].values():
        if "likes" in eater:
            eater["likes"] = {dish: much for dish, much in eater["likes"].items() if dish in dishes}


def froze_late(week: Week, plan: PlanFile) -> bool:
    """Tell whether something went into the freezer the day before the week after begins."""
    days: list[date] = [move.date for move in plan.moves if move.move == "freeze"]
    days += [day for batch in week.batches.values() for day, _ in batch.frozen_later]
    return any(day >= week.days[0] + A_WEEK - timedelta(days=1) for day in days)


def test_the_week_after_is_as_good_as_another_solver_finds_it() -> None:
    counted = Counter[str]()
    for at, plain in enumerate(drawn(SMALL, EACH, 63, earlier=True)):
        data = with_more_frozen(plain, Random(at))
        week = week_of(document_of(data))
        plan = plan_week(week, reasons=False)
        if plan.status != "optimal" or not plan.lunches or froze_late(week, plan):
            continue
        rest = left(week, plan)
        written = by_hand(data, week, rest)
        if not written["dishes"]:
            with pytest.raises(InputError, match="each of its dishes takes what is used up"):
                next_week(plan)
            continue
        after = week_of(parse("after", next_week(plan).text))
        own = week_of(document_of(written))
        assert after.lunches == own.lunches, at
        _, solved = solve_week(after)
        try:
            best = highs.best(own).values
        except highs.TooFineError:
            continue
        assert_is_best(after, solved, best)
        assert_is_sound(after, solved)
        counted["weeks"] += 1
        counted["carried"] += any(map(sum, rest.values()))
        counted["planned"] += solved.packed is not None
        counted["eaten"] += solved.packed is not None and any(
            after.batches[part.batch].earlier and part.portions
            for lunch in solved.packed.lunches
            for part in lunch.portions
        )
    assert counted["weeks"] > 2 * EACH, counted
    assert counted["carried"] > EACH, counted
    assert counted["planned"] > EACH, counted
    assert counted["eaten"] >= sized(1, 4), counted
