"""`--seconds` bounds the whole of a command, and what was not reached is told."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest

import optimiser
from models.answers.plan import AnswerPart
from models.file.reading import ready_text, week_of
from models.file.yamltext import parse
from optimiser.explain.foils import Foils, VerdictKind
from optimiser.explain.relaxed import Relaxed
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.week import solve_week

LIMIT = 0.02
SLACK = 6.0
"""Seconds that a busy machine may take to build what is not asked any more."""


def test_every_command_ends_in_time_and_says_what_it_did_not_reach() -> None:
    plan = optimiser.plan("family", reasons=False)
    batch, day = next(iter(plan.batches)), plan.days[1].isoformat()
    asked: dict[str, Callable[[], AnswerPart]] = {
        "why": lambda: optimiser.why("family", seconds=LIMIT),
        "size": lambda: optimiser.size("family", seconds=LIMIT),
        "others": lambda: optimiser.others("family", seconds=LIMIT),
        "what-if": lambda: optimiser.what_if(
            "family", yields=f"{batch.batch}=2..{batch.portions + 9}", seconds=LIMIT
        ),
        "trade-off": lambda: optimiser.trade_off("family", "cost", "repeats", seconds=LIMIT),
        "mend": lambda: optimiser.mend("family", "cost <= 1", seconds=LIMIT),
        "page": lambda: optimiser.page(plan, seconds=LIMIT),
        "change": lambda: optimiser.change(plan, day, ate=f"{batch.batch}=3", seconds=LIMIT),
    }
    for name, ask in asked.items():
        began = time.monotonic()
        answer = ask()
        assert time.monotonic() - began < LIMIT + SLACK, name
        assert getattr(answer, "late"), name  # noqa: B009 - answers of many kinds
        if name != "page":
            told = " ".join(optimiser.render(answer).split())
            words = ("time limit struck", "in time", "found out in time", "within the time limit")
            assert any(part in told for part in words), (name, told)


def test_a_stop_is_late_only_where_something_stayed_open() -> None:
    stop = Stop()
    with stop.within(0.0):
        assert not stop.late
        assert stop.over
    assert stop.late
    asked = Stop()
    asked.now()
    with asked.within(0.0):
        assert asked.over
    assert not asked.late
    calm = Stop()
    with calm.within(60):
        assert not calm.over
        assert 44 < (calm.share or 0) <= 45
    assert (calm.share, calm.late) == (None, False)


def test_when_time_is_up_no_relaxation_is_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """A relaxation knows no clock: 220 dishes of a household took 92 s after the time was up."""
    two = ready_text("minimal").replace("eaters: {", "eaters: {Max: {}, ")
    week = week_of(parse("week", two))
    program, solved = solve_week(week)
    stop = Stop()
    foils = Foils(program, solved, stop)
    row = foils.dish(foils.slot("Ilse", week.days[0]), next(iter(week.dishes)))
    assert foils.relaxed is not None
    monkeypatch.setattr(Relaxed, "_least", lambda *_: pytest.fail("a relaxation was begun"))
    with stop.within(0.0):
        assert foils.verdict([row]).kind is VerdictKind.OPEN
        assert foils.ask([row]).status is Status.UNKNOWN
    assert stop.late
