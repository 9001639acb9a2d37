"""What was frozen and what is gone: who owns which rule, and what is said of how many are where."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from random import Random

import pytest

from models.file.reading import week_of
from optimiser.board.rows import Row
from optimiser.explain.foils import Foils
from optimiser.rules import rules_of
from optimiser.rules.freezer import Freezer
from optimiser.rules.fridge import Fridge
from optimiser.solve.program import Program
from optimiser.solve.week import solve, solve_week
from tests.depth import sized
from tests.optimiser.asking import Question, drawn
from tests.oracle import plain
from tests.oracle.test_second_solver import values_of
from tests.weeks import TINY, Dice, WeekData, document_of

FROZEN: WeekData = {
    "week": {"starts": "2026-11-30", "days": ["mon", "tue", "wed", "thu"], "guidance": "us"},
    "eaters": {"Ada": {}},
    "batches": {
        "beans": {
            "made": "2026-11-29",
            "yield": "5 portions",
            "portion": "100 g",
            "nutrition": {"protein": "5 g"},
            "fridge_life": "2 to 3",
            "freezes": "yes",
            "frozen": "3 portions",
        }
    },
    "larder": {"oats": {"pack": "90 g", "chilled": "no"}},
    "dishes": {
        "Bowl": {"kind": "grain", "takes": {"beans": Decimal(3)}},
        "Oats": {"kind": "oats", "goes_in": {"oats": "30 g"}},
    },
}
"""Two portions are in the fridge, good till Wednesday, and three may be thawed from then on."""


def test_the_freezer_owns_the_days_of_thawing() -> None:
    # Three on Monday: two are in the fridge, and what is frozen is not thawed so early.
    week = week_of(document_of(FROZEN))
    foils = Foils(*solve_week(week))
    early = foils.dish(foils.slot("Ada", week.days[0]), "Bowl")
    assert [rule.key for rule in foils.conflict([early])] == ["freezer:beans", "fridge:beans"]
    for left_out in ("freezer:beans", "fridge:beans"):
        question = Question(week, without=[left_out])
        assert question.force("Ada", week.days[0], "Bowl").possible(), left_out
    assert Question(week).force("Ada", week.days[3], "Bowl").possible()


def test_what_is_gone_is_not_said_to_be_there() -> None:
    def said(**more: object) -> str:
        data = deepcopy(FROZEN)
        data["batches"]["beans"] |= more
        (rule,) = (
            rule for rule in rules_of(week_of(document_of(data))) if isinstance(rule, Fridge)
        )
        return rule.sentence()

    assert said() == "2 portions of beans went into the fridge and 3 into the freezer"
    # Four went into the fridge, of which one is gone.
    gone = {"frozen": "1 portion", "gone": "1 portion"}
    assert said(**gone) == (
        "1 portion of beans is gone; of the others 3 went into the fridge and 1 into the freezer"
    )
    assert said(gone="2 portions").startswith("2 portions of beans are gone; of the others 0 went")


def test_what_was_thawed_for_no_lunch_is_said_and_is_not_there() -> None:
    data = deepcopy(FROZEN)
    data["batches"]["beans"] |= {"frozen": "1 portion", "thawed": "2 portions"}
    (rule,) = (rule for rule in rules_of(week_of(document_of(data))) if isinstance(rule, Fridge))
    assert rule.sentence().startswith("2 portions of beans are thawed and in no lunch; ")
    assert rule.portions == 2


def test_of_several_lots_no_more_is_thawed_than_was_frozen_by_then() -> None:
    week = week_of(document_of(FROZEN))
    (rule,) = (rule for rule in rules_of(week) if isinstance(rule, Freezer))
    made = week.batches["beans"].made
    lots = replace(rule, portions=3, lots=((made, 1), (made + timedelta(days=2), 2)))
    rest = [other for other in rules_of(week) if other.key not in (rule.key, "fridge:beans")]
    program = Program(week, rules=[*rest, lots])
    early, late = program.board.slots[1], program.board.slots[3]
    assert late.day == made + timedelta(days=4)
    for slot, number, possible in ((early, 1, True), (early, 2, False), (late, 3, True)):
        row = Row.of(program.board.thawed(slot, "beans"), low=number)
        assert (solve(program, extra=[row]).packed is not None) is possible, (slot.day, number)


@pytest.mark.parametrize("free", ["takes_all", "earlier"])
def test_where_all_of_it_may_be_frozen_no_room_is_the_end(free: str) -> None:
    week = week_of(document_of(FROZEN))
    (rule,) = (rule for rule in rules_of(week) if isinstance(rule, Freezer))
    small = replace(rule, portions=1, takes_all=False)
    late = Program(week).board.slots[3]
    for freezer, possible in ((small, False), (replace(small, **{free: True}), True)):
        rest = [other for other in rules_of(week) if other.key != rule.key]
        program = Program(week, rules=[*rest, freezer])
        row = Row.of(program.board.thawed(late, "beans"), low=3)
        assert (solve(program, extra=[row]).packed is not None) is possible


def running(data: WeekData, dice: Dice) -> WeekData:
    """Cook other numbers of portions, and say of some what was frozen and what is gone."""
    data = deepcopy(data)
    for name, batch in data["batches"].items():
        whole = week_of(document_of(data)).batches[name]
        cook = max(1, whole.portions + dice.whole(-2, 2))
        if dice.often(5):
            batch["cook"] = f"{cook} portions"
        if dice.often(6) and whole.freezer:
            batch["frozen"] = f"{dice.whole(0, min(whole.freezer, cook))} portions"
        if dice.often(4):
            batch["gone"] = f"{dice.whole(0, 1)} portions"
    return data


def test_weeks_that_run_are_those_that_are_counted_out() -> None:
    planned = impossible = 0
    for at, data in enumerate(drawn(TINY, sized(6, 60), 77)):
        week = week_of(document_of(running(data, Dice(Random(at).randbytes(40)))))
        try:
            best = plain.best(week, 20_000)
        except plain.TooManyError:
            continue
        solved = solve(Program(week))
        assert values_of(week, solved) == best, at
        planned += best is not None
        impossible += best is None
    assert planned >= sized(6, 60)
    assert impossible >= sized(2, 20)
