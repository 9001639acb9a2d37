"""`--seconds` bounds the whole of a command, and what was not reached is told."""

from __future__ import annotations

import time
from collections.abc import Callable

import optimiser
from models.answers.plan import AnswerPart
from optimiser.solve.limits import Stop

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
