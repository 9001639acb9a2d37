"""Lunches counted for a group, dealt out to its eaters.

What is dealt has to be a plan of each eater and come to what was counted; where no dealing can be,
the row that says so must be true of every plan.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from models.file.reading import week_of
from models.week.week import Week
from optimiser.board.board import alike
from optimiser.priorities import values
from optimiser.rules import faults_of
from optimiser.solve import week as solving
from optimiser.solve.dealing import Dealer
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve, solve_week
from tests.households import Household
from tests.optimiser.test_alike import ONE_PAYS_FOR_THE_OTHER, kitchen
from tests.weeks import document_of


def crowd(size: int, data: dict[str, Any], wishes: dict[str, Any]) -> Week:
    """Give a handmade week to so many alike eaters."""
    eaters = {f"E{number}": deepcopy(wishes) for number in range(size)}
    return week_of(document_of(deepcopy(data) | {"eaters": eaters}))


def test_a_hundred_and_twenty_alike_eaters_are_planned_as_one_group() -> None:
    week = Household(120, 3, 16, 3, 2, 1).week()
    _, solved = solve_week(week)
    assert solved.packed is not None
    assert all(value.proven for value in solved.values)
    assert list(faults_of(week, solved.packed)) == []
    reached = {value.name: value.value for value in solved.values}
    assert len(solved.packed.lunches) == 360
    assert {name: values(week, solved.packed)[name] for name in reached} == reached


@pytest.mark.parametrize("rounds", [1, 4])
def test_what_cannot_be_dealt_goes_back_or_the_rest_is_planned_alone(
    rounds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Counted together a rich lunch pays for a poor one: 15 for 10 eaters, and no eater may.
    monkeypatch.setattr(solving, "ROUNDS", rounds)
    week = crowd(10, ONE_PAYS_FOR_THE_OTHER, {"week_floors": {"protein": "10 g"}})
    together = Program(week, alike(week))
    counted = solve(together)
    assert counted.counts is not None
    dealt = Dealer(together, together.board.groups[0]).deal(counted.counts)
    assert dealt.left > 0
    assert dealt.against is not None
    _, solved = solve_week(week)
    assert solved.packed is not None
    assert list(faults_of(week, solved.packed)) == []
    assert [lunch.dish for lunch in solved.packed.lunches] == ["Rich"] * 10
    assert [value.proven for value in solved.values] == [rounds > 1] * 2


def test_the_rest_alone_is_ended_with_the_whole_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solving, "ROUNDS", 1)
    week = crowd(10, ONE_PAYS_FOR_THE_OTHER, {"week_floors": {"protein": "10 g"}})
    stop, given = Stop(), list[object]()
    real = solving.solve

    def noted(program: Program, **ways: Any) -> Solved:
        given.append(ways["stop"])
        return real(program, **ways)

    monkeypatch.setattr(solving, "solve", noted)
    solve_week(week, stop=stop)
    assert len(given) > 1
    assert all(each is stop for each in given)


def test_a_row_against_a_dealing_is_kept_by_every_plan() -> None:
    week = crowd(2, ONE_PAYS_FOR_THE_OTHER, {"week_floors": {"protein": "10 g"}})
    together = Program(week, alike(week))
    counted = solve(together)
    assert counted.counts is not None
    row = Dealer(together, together.board.groups[0]).deal(counted.counts).against
    assert row is not None
    assert row.high is not None
    worth = {}
    for serving, at in together.board.serving_counts[0].items():
        worth[serving.dish] = dict(row.terms).get(at, 0)
    assert 2 * worth["Rich"] <= row.high
    assert worth["Rich"] + worth["Also rich"] <= row.high
    assert worth["Rich"] + worth["Poor"] > row.high


def test_a_wish_for_anybody_is_no_wish_for_each() -> None:
    data = kitchen(9, wishes=["Salad on tue"])
    week = crowd(9, data, {"floors": {"protein": "9 g"}, "likes": {"Salad": "-5"}})
    _, solved = solve_week(week)
    assert solved.packed is not None
    assert list(faults_of(week, solved.packed)) == []
    tuesday = [lunch.dish for lunch in solved.packed.lunches if lunch.day == week.days[1]]
    assert 0 < tuesday.count("Salad") < 9
    assert all(value.proven for value in solved.values if value.name != "file_order")


def test_repeats_are_dealt_as_few_as_were_counted() -> None:
    changes = {"priorities": ["repeats", "left_over", "liking"]}
    week = crowd(9, kitchen(9, **changes), {"floors": {"protein": "9 g"}})
    _, solved = solve_week(week)
    assert solved.packed is not None
    assert list(faults_of(week, solved.packed)) == []
    assert solved.values[0].proven
