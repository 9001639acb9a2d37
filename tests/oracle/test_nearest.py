"""The nearest week held against HiGHS on a model of its own: what gives way, and how much.

Random weeks of every theme: where all rules can hold, nothing gives way and the plan is as it was.
The amounts are exact but for floors, which the program counts rounded to a thousandth of a unit
for each helping: there it may be a begun thousandth of a floor above the second solver.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from models.week.week import Week
from models.words.giving import BOUGHT, FLOORS, LEVELS, VARIETY
from optimiser.rules import rules_of
from optimiser.rules.giving import given_way, not_packed
from optimiser.solve.program import priorities_of
from optimiser.solve.week import Solved, solve
from optimiser.weeks.nearest import Near
from tests.depth import sized
from tests.optimiser.asking import of_theme
from tests.oracle import highs
from tests.oracle.test_second_solver import solved_week
from tests.weeks import SMALL, THEMES

EACH = sized(10, 80)
HAIR = Fraction(1, 10)
"""A begun thousandth of a floor, in hundredths."""

seen: Counter[str] = Counter()


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
        seen.update(name for name in (BOUGHT, FLOORS, VARIETY) if reached[name])


def test_everything_that_may_give_way_was_seen_to() -> None:
    assert set(seen) == {BOUGHT, FLOORS, VARIETY}
