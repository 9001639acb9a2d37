"""Usable protein of food that the tables know, put to the second solver.

The random weeks state their figures, of which 78 % are digested. Here batches list ingredients and
larder items name foods: what of each is digested stands in `plain.DIGESTED`, written from the
source and not from the table of the program.
"""

from __future__ import annotations

from collections import Counter
from copy import deepcopy
from dataclasses import replace
from itertools import chain, count
from random import Random
from typing import Any

import pytest

from models.file.reading import week_of
from optimiser.rules import rules_of
from optimiser.solve import cpsat
from optimiser.solve.levelwise import Levelwise
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import by_stages
from tests import weeks
from tests.depth import sized
from tests.optimiser.asking import of_theme
from tests.oracle import highs
from tests.oracle.plain import DIGESTED
from tests.oracle.test_second_solver import assert_is_sound, solved_week, values_of
from tests.weeks import SMALL, WeekData

WEEKS = sized(6, 40)
READY = ("quark", "cheddar cheese", "peanut butter, smooth, salted", "sunflower seeds, shelled")
"""What may stand in a larder as it is."""
STATED = ("nutrition", "allergens", "free_of", "foods", "room", "chilled", "opened_life", "per")

OTHERS = ("floors", "week_floors", "ceilings", "week_ceilings", "daily_protein", "must_not")
"""What would leave few weeks to plan beside usable protein."""


def of_foods(data: WeekData, dice: Random) -> WeekData:
    """Say of a week what its food is made of, and ask for usable protein."""
    for batch in data["batches"].values():
        many, word = batch["yield"].split()
        if word != "g":
            portions = int(many)
            listed = dice.sample([*DIGESTED], dice.randint(1, 3))
            made = {
                name: value for name, value in batch.items() if name not in (*STATED, "portion")
            }
            made["own_risk"] = "yes"
            made["ingredients"] = [f"{portions * dice.randint(20, 90)} g {name}" for name in listed]
            batch.clear()
            batch.update(made)
    for item in data["larder"].values():
        if item["pack"].endswith(" g") and dice.random() < 0.8:
            kept = {name: item[name] for name in ("pack", "price", "texture")}
            item.clear()
            item.update(kept, food=dice.choice(READY))
    for eater in data["eaters"].values():
        for other in OTHERS:
            eater.pop(other, None)
        eater["floors"] = {"usable_protein": f"{dice.choice((0.3, 0.8, 1.5, 3, 5))} g"}
    return data


def test_what_is_digested_of_each_food_is_held_by_another_solver() -> None:
    outcomes = Counter[str]()
    themes = (of_theme(SMALL, theme, WEEKS, 62, earlier=True) for theme in ("", "nutrition"))
    for at, drawn in enumerate(chain(*themes)):
        data = of_foods(deepcopy(drawn), Random(at))
        week, solved = solved_week(data)
        held = {rule.key for rule in rules_of(week) if rule.family == "usable protein"}
        assert len(held) == 10 * len({lunch.eater for lunch in week.lunches})
        assert values_of(week, solved) == highs.best(week).values, data
        assert_is_sound(week, solved)
        eaters = {name: replace(eater, floors=()) for name, eater in week.eaters.items()}
        without = highs.best(replace(week, eaters=eaters))
        outcomes["binds" if values_of(week, solved) != without.values else "free"] += 1
        outcomes[solved.status] += 1
    assert outcomes["optimal"] > WEEKS * 0.8, outcomes
    assert outcomes["binds"] > WEEKS * 0.4, outcomes


def test_parts_that_the_relaxation_does_not_tell_apart_come_to_an_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of this week it says that nothing is left over, in each of thousands of parts."""
    drawn = of_theme(SMALL, "nutrition", 52, 62, earlier=True)[51]
    program = Program(week_of(weeks.document_of(of_foods(deepcopy(drawn), Random(131)))))
    questions, stop, ask = count(1), Stop(), Levelwise._solve

    def asked(*given: Any, **options: Any) -> cpsat.Solution:
        stop.asked = next(questions) > 1000
        return ask(*given, **options)

    monkeypatch.setattr(Levelwise, "_solve", asked)
    settled = Levelwise(program, stop=stop).settle()
    _, values, _ = by_stages(program)
    reached = [
        level.reached(sums) for level, sums in zip(program.levels, settled.sums, strict=False)
    ]
    # The order of the file may stay open where eaters are several.
    assert reached[:7] == [value.value for value in values][:7]
