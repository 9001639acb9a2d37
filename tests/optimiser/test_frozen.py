"""What was frozen and what is gone: who owns which rule, and what is said of how many are where."""

from __future__ import annotations

from copy import deepcopy
from decimal import Decimal
from random import Random

from models.file.reading import week_of
from optimiser.explain.foils import Foils
from optimiser.rules import rules_of
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
