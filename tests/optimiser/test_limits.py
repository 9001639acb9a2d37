"""Time that a whole command has: what is begun when it is up comes to nothing, at once.

No test waits: the clock is one that moves on only when it is told to.
"""

from __future__ import annotations

import pytest

from models.file.reading import read_week
from optimiser.board.rows import Sheet, Sum
from optimiser.planning import plan_week
from optimiser.solve import cpsat, limits
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import SEARCH, Limit, Stop


class Clock:
    """Stands still until it is moved on."""

    def __init__(self) -> None:
        self.now = 100.0

    def monotonic(self) -> float:
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(limits, "time", clock)
    return clock


def test_time_is_up_within_what_is_given_and_no_longer(clock: Clock) -> None:
    stop = Stop()
    with stop.within(10.0):
        with stop.within(60.0):
            assert stop.left == 10.0
        with stop.within(3.0):
            clock.now += 3.0
            assert stop.over
        assert stop.left == 7.0
        assert not stop.over
    assert stop.left is None
    with stop.within(None):
        assert stop.left is None


@pytest.mark.parametrize(
    ("seconds", "left", "given"), [(None, None, None), (None, 2.0, 2.0), (1.0, 2.0, 1.0), (3, 2, 2)]
)
def test_no_question_has_more_time_than_is_left(
    seconds: float | None, left: float | None, given: float | None
) -> None:
    assert Limit(seconds, 5.0).within(left) == Limit(given, 5.0)


def test_nothing_is_solved_when_time_is_up(clock: Clock) -> None:
    sheet = Sheet()
    apples = sheet.count(9, "apples")
    total, stop = Sum([(apples, 1)]), Stop()
    with stop.within(1.0):
        assert cpsat.solve(cpsat.model_of(sheet), total, stop=stop).status is Status.OPTIMAL
        clock.now += 1.0
        assert cpsat.solve(cpsat.model_of(sheet), total, stop=stop).status is Status.UNKNOWN


def test_reasons_end_with_the_time_of_the_whole_plan(
    clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    # As if a question took a second: of all that would be asked, no more than fits is.
    asked: list[float | None] = []
    real = cpsat.solve

    def slow(*things: object, **more: object) -> object:
        stop = more["stop"]
        assert isinstance(stop, Stop)
        if not stop.over:
            asked.append(stop.left)
        answer = real(*things, **more)  # type: ignore[arg-type]
        clock.now += 1.0
        return answer

    monkeypatch.setattr(cpsat, "solve", slow)
    plan = plan_week(read_week("demo"), seconds=6.0)
    assert plan.status == "optimal"
    assert len(plan.lunches) == len(read_week("demo").lunches)
    assert not plan.interrupted
    assert 2 < len(asked) <= 7
    assert all(left is not None and left > 0 for left in asked)
    within = len(asked)
    asked.clear()
    whole = plan_week(read_week("demo"), seconds=3000.0)
    assert len(asked) > within
    assert whole.lunches[0].reasons
    assert sum(len(x.reasons) for x in plan.lunches) < sum(len(x.reasons) for x in whole.lunches)


@pytest.mark.usefixtures("clock")
def test_the_search_leaves_time_for_reasons(monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[float | None] = []

    def search(week: object, *, seconds: float | None, stop: Stop) -> object:
        given.append(seconds)
        raise InterruptedError

    monkeypatch.setattr("optimiser.planning.solve_week", search)
    for reasons, share in ((True, SEARCH), (False, 1.0)):
        with pytest.raises(InterruptedError):
            plan_week(read_week("demo"), seconds=8.0, reasons=reasons)
        assert given.pop() == 8.0 * share
