"""The nearest week held against HiGHS on a model of its own: what gives way, and how much.

Random weeks of every theme: where all rules can hold, nothing gives way and the plan is as it was.
The amounts are exact but for floors, which the program counts rounded to a thousandth of a unit
for each helping: there it may be a begun thousandth of a floor above the second solver.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from models.answers.plan import PlanFile
from models.file.planfile import plan_of
from models.file.reading import week_of
from models.week.week import Lunch, Week
from models.words.giving import BOUGHT, FLOORS, LEVELS, VARIETY
from optimiser.auditing import audit
from optimiser.planning import plan_week
from optimiser.report import plan as report
from optimiser.rules import rules_of
from optimiser.rules.giving import given_way, not_packed
from optimiser.solve.program import priorities_of
from optimiser.solve.week import Solved, solve, solve_week
from optimiser.weeks.nearest import Near
from tests.depth import sized
from tests.optimiser.asking import of_theme
from tests.oracle import highs
from tests.oracle.test_second_solver import solved_week
from tests.weeks import SMALL, THEMES, document_of

EACH = sized(4, 80)
HAIR = Fraction(1, 10)
"""A begun thousandth of a floor, in hundredths."""


def nearest_of(week: Week) -> tuple[Near, Solved]:
    near = Near.of(week, rules_of(week), priorities_of(week))
    return near, solve(near.program)


def broken(near: Near, solved: Solved) -> set[str]:
    assert solved.packed is not None
    week = near.program.week
    return {fault.rule for rule in near.rules for fault in rule.faults(week, solved.packed)}


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_no_week_is_nearer(theme: str) -> None:
    for at, data in enumerate(of_theme(SMALL, theme, EACH, shift=11)):
        week, plain = solved_week(data)
        near, solved = nearest_of(week)
        assert solved.status == "optimal", (theme, at)
        assert solved.packed is not None
        reached = {value.name: Fraction(value.value) for value in solved.values}
        gives = {rule.key for rule in near.rules if rule.gives}
        assert broken(near, solved) <= gives, f"nothing else gives way: {theme} {at}"
        assert len(not_packed(week, solved.packed)) == reached[BOUGHT], (theme, at)
        if plain.packed is not None:
            assert not any(reached.get(name) for name in LEVELS), (theme, at)
        try:
            best = dict(highs.nearest(week).values or ())
        except highs.TooFineError:
            continue
        hair = HAIR * sum(len(each.faults) for each in given_way(week, solved.packed, near.rules))
        assert 0 <= reached[FLOORS] - best[FLOORS] <= hair, (theme, at)
        if reached[FLOORS] == best[FLOORS]:
            assert reached == best, (theme, at)


def test_everything_that_may_give_way_is_seen_to() -> None:
    seen = set()
    for theme in THEMES:
        for data in of_theme(SMALL, theme, EACH, shift=11):
            _, solved = nearest_of(week_of(document_of(data)))
            seen |= {value.name for value in solved.values if value.name in LEVELS and value.value}
    assert seen == {BOUGHT, FLOORS, VARIETY}


# -- what `plan` makes of it -----------------------------------------------------------------


@cache
def without_a_plan() -> tuple[tuple[Week, PlanFile], ...]:
    """Random weeks of which no plan keeps every rule, with what is said of them."""
    some = []
    for theme in THEMES:
        for data in of_theme(SMALL, theme, EACH, shift=11):
            week = week_of(document_of(data))
            if solve_week(week)[1].packed is None and len(some) < sized(6, 60):
                some.append((week, plan_week(week)))
    return tuple(some)


def test_beside_the_conflict_stands_how_near_a_week_comes() -> None:
    assert len(without_a_plan()) >= sized(3, 20)
    for week, told in without_a_plan():
        assert (told.status, told.lunches) == ("infeasible", [])
        assert told.conflict
        assert told.nearest is not None
        _, solved = nearest_of(week)
        reached = {value.name: float(value.value) for value in solved.values}
        assert [line.value for line in told.nearest.levels] == [
            pytest.approx(reached[line.name]) for line in told.nearest.levels
        ]
        assert "To plan that week: --nearest" in " ".join(report.text(told).split())


def test_the_nearest_week_is_planned_where_it_is_asked_for() -> None:
    for week, told in without_a_plan():
        made = plan_week(week, nearest=True)
        assert made.status == "optimal"
        assert made.nearest is not None
        assert told.nearest is not None
        assert made.nearest.levels == told.nearest.levels
        assert made.conflict == told.conflict
        assert audit(made) == []
        assert plan_of("plan.json", made.model_dump_json()) == made
        assert all(line.kept for line in made.nearest.gave_way)
        assert all(line.packed or line.rules for line in made.nearest.bought)
        assert "No week keeps every rule." in report.text(made)


def test_a_lunch_that_cannot_be_alone_says_what_is_allowed_there() -> None:
    seen_alone = Counter[str]()
    for week, told in without_a_plan():
        assert told.nearest is not None
        lines = {(line.eater, line.date): line for line in told.nearest.alone}
        for lunch in week.lunches:
            line = lines.get((lunch.eater, lunch.day))
            try:
                allowed, best = judged_alone(week, lunch)
            except highs.TooFineError:
                continue
            if line is None:
                assert not any(best.values())
                seen_alone["can be"] += 1
            elif line.allowed:
                assert (best[BOUGHT], set(line.allowed)) == (0, allowed)
                assert best[FLOORS] > 0
                assert line.short
                seen_alone["short"] += 1
            else:
                assert best[BOUGHT] == 1
                assert not allowed
                assert line.rules
                seen_alone["none"] += 1
    assert len(seen_alone) >= sized(2, 3)


def judged_alone(week: Week, lunch: Lunch) -> tuple[set[str], dict[str, Fraction]]:
    """Give the dishes that all but floors allow at a lunch, and what it comes to, by HiGHS."""
    eater = week.eaters[lunch.eater]
    floors = tuple(bound for bound in eater.floors if not bound.weekly)
    ceilings = tuple(bound for bound in eater.ceilings if not bound.weekly)
    single = replace(
        week,
        lunches=(lunch,),
        eaters={eater.name: replace(eater, floors=floors, ceilings=ceilings)},
        priorities=(),
    )
    allowed = set()
    for dish in week.dishes:
        model = highs.Model(single, gives=True)
        model.sheet.row(highs.Line().add(model.meals[0].dish[dish]), low=1)
        if not model.sheet.impossible:
            answer = highs.Solver(model.sheet).least(highs.Line(), more=False)
            allowed |= {dish} if answer is not None else set()
    return allowed, dict(highs.nearest(single).values or ())
