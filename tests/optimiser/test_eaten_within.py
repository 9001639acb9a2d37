"""All of a batch within so many days: the smallest weeks in which the rule decides."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

import optimiser
from models.file.reading import week_of
from models.file.yamltext import parse
from optimiser.explain.foils import Foils
from optimiser.explain.mend import mend
from optimiser.explain.reasons import Explainer
from optimiser.explain.wishes import Wish
from optimiser.rules import faults_of, rules_of
from optimiser.solve.program import Program
from optimiser.solve.week import solve, solve_week
from tests.oracle import highs, plain
from tests.weeks import WeekData, document_of

STEW: dict[str, Any] = {
    "made": "2026-11-29",
    "yield": "4 portions",
    "portion": "100 g",
    "nutrition": {},
    "fridge_life": "4 days",
}


def week(within: int | None, *eaters: str, days: str = "mon tue wed thu", **more: Any) -> WeekData:
    """A stew, once a day or not at all, and bread for the other days."""
    limit = {} if within is None else {"eaten_within": Decimal(within)}
    return {
        "week": {"starts": "2026-11-30", "days": days.split(), "guidance": "us"},
        "eaters": {name: {} for name in eaters or ("Ada",)},
        "batches": {"stew": STEW | limit | more},
        "larder": {"bread": {"pack": "500 g", "chilled": "no"}},
        "dishes": {
            "Stew": {"kind": "pot", "takes": {"stew": Decimal(1)}},
            "Bread": {"kind": "bread", "goes_in": {"bread": "100 g"}},
        },
        "priorities": ["left_over"],
    }


# Four days of stew leave nothing; within n days of each other lie n + 1 of them.
@pytest.mark.parametrize(
    ("within", "left"), [(None, 0), (3, 0), (4, 0), (2, 100), (1, 200), (0, 300)]
)
def test_a_week_of_one_eater(within: int | None, left: int) -> None:
    read = week_of(document_of(week(within)))
    solved = solve(Program(read))
    assert [value.value for value in solved.values if value.name == "left_over"] == [left]
    assert solved.packed is not None
    days = [lunch.day for lunch in solved.packed.lunches if lunch.of("stew")]
    assert len(days) == 4 - left / 100
    assert (max(days) - min(days)).days == len(days) - 1
    reached = tuple((value.name, Fraction(value.value)) for value in solved.values)
    assert reached == highs.best(read).values == plain.best(read, 20_000)


def test_days_without_a_lunch_count() -> None:
    # Monday and Wednesday are two days apart, whatever is between.
    read = week_of(document_of(week(1, days="mon wed")))
    assert {lunch.dish for lunch in _packed(read).lunches} == {"Stew", "Bread"}
    read = week_of(document_of(week(2, days="mon wed")))
    assert {lunch.dish for lunch in _packed(read).lunches} == {"Stew"}


def test_it_binds_all_eaters_together() -> None:
    # Who is counted with others alike as well as who stands alone.
    data = week(1, "Ada", "Bo")
    for eaters in ({"Ada": {}, "Bo": {}}, {"Ada": {}, "Bo": {"likes": {"Stew": Decimal(1)}}}):
        read = week_of(document_of(data | {"eaters": eaters}))
        packed = _packed(read)
        days = {lunch.day for lunch in packed.lunches if lunch.of("stew")}
        assert len(days) == 2
        assert (max(days) - min(days)).days == 1
        # Four portions on two days: nothing is left of them.
        assert sum(lunch.of("stew") for lunch in packed.lunches) == 4


def test_thawed_portions_count_as_any() -> None:
    data = week(1, fridge_life="1 day", freezes="yes", freezer="4 portions")
    read = week_of(document_of(data))
    assert sum(lunch.of("stew") for lunch in _packed(read).lunches) == 2


def test_what_is_left_over_is_explained_by_it() -> None:
    read = week_of(document_of(week(1)))
    program, solved = solve_week(read)
    rules = Explainer(program, solved).why_not_less_left_over()
    assert [rule.key for rule in rules] == ["stock:stew", "eaten within:stew"]
    assert rules[1].sentence == "all portions of stew are eaten within 1 day of each other"


def test_a_dish_that_it_forbids_names_it() -> None:
    read = week_of(document_of(week(1)))
    program, solved = solve_week(read)
    foils = Foils(program, solved)
    rows = [foils.dish(foils.slot("Ada", day), "Stew") for day in (read.days[0], read.days[3])]
    assert [rule.key for rule in foils.conflict(rows)] == ["eaten within:stew"]


def test_it_can_be_bent_a_day_at_a_time() -> None:
    text = """
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us}
eaters: {Ada: {}}
batches:
  stew:
    made: 2026-11-29
    yield: 3 portions
    portion: 100 g
    nutrition: {}
    fridge_life: 4
    eaten_within: 0
larder: {bread: {pack: 500 g, chilled: no}}
dishes:
  Stew: {kind: pot, takes: {stew: 1}}
  Bread: {kind: bread, goes_in: {bread: 100 g}}
"""
    wanted = [Wish("Stew", day, None, f"Stew on {day}") for day in ("mon", "wed")]
    read = week_of(parse("w", text))
    (rule,) = [rule for rule in rules_of(read) if rule.family == "eaten within"]
    assert rule.sentence() == "all portions of stew are eaten on one day"
    (weaker,) = rule.weaker()
    edit = weaker.edit(read)
    assert edit is not None
    assert (edit.path, edit.value, edit.was) == (("batches", "stew", "eaten_within"), 1, "0")
    assert edit.text == "all portions of stew within 1 day of each other, not 0"
    answer = mend(read, wanted)
    changes = [[(change.path[-1], change.becomes) for change in way.changes] for way in answer.ways]
    assert changes == [[("eaten_within", "2")]]
    assert "eaten_within: 2" in answer.ways[0].text


def test_a_fault_says_how_late() -> None:
    free, bound = (week_of(document_of(week(within))) for within in (3, 1))
    packed = _packed(free)
    faults = list(faults_of(bound, packed))
    assert [(fault.rule, fault.where, fault.what) for fault in faults] == [
        ("eaten within:stew", "Wed 2 Dec", "stew 2 days after the first of it"),
        ("eaten within:stew", "Thu 3 Dec", "stew 3 days after the first of it"),
    ]
    assert plain.broken(bound, packed) == ["eaten within"]


def _packed(read: Any) -> Any:
    packed = solve_week(read)[1].packed
    assert packed is not None
    return packed


# The days of lunches that may take some come eater by eater, and not in their order.
def test_no_plan_is_said_though_the_first_eater_comes_on_the_later_day() -> None:
    text = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
place: {fridge: yes}
no_lunch: [{day: mon, eater: Ann}]
eaters: {Ann: {}, Bob: {}}
batches: {stew: {yield: 2 portions, eaten_within: 0}}
dishes: {A: {takes: {stew: 1}}}
"""
    plan = optimiser.plan(text)
    assert (plan.status, [rule.key for rule in plan.conflict]) == (
        "infeasible",
        ["eaten within:stew"],
    )
