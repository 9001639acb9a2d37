"""Eaten within: once a batch is begun, all of it that is eaten is eaten within so many days.

For what a cook wants out of the way once it has been started, whoever eats it. The limit is the
key `eaten_within` of a batch; what is left over then counts as left over, as always.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.giving import VARIETY
from models.words.numbers import counted
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, KeepsBatchAway, Rule

KEY = "eaten_within"


@dataclass(frozen=True)
class EatenWithin(KeepsBatchAway):
    """The last portion of a batch is eaten at most so many days after the first."""

    family: ClassVar[str] = "eaten within"
    gives: ClassVar[str] = VARIETY
    days: int

    def sentence(self) -> str:
        """Say within how many days."""
        if not self.days:
            return f"all portions of {self.batch} are eaten on one day"
        days = counted(self.days, "day")
        return f"all portions of {self.batch} are eaten within {days} of each other"

    def post(self, board: Board) -> None:
        """Let it be begun on one day at the most; only lunches soon after that day take any."""
        taking = [slot for slot in board.slots if board.portions(slot, self.batch).terms]
        begun: dict[date, int] = {}
        for day in dict.fromkeys(slot.day for slot in taking):
            begun[day] = board.sheet.count(1, f"{self.batch} begun {day}")
        board.sheet.bound(Sum((at, 1) for at in begun.values()), high=1, rule=self.key)
        for slot in taking:
            first = slot.day - timedelta(days=self.days)
            total = board.with_batch(slot, self.batch)
            for day, at in begun.items():
                if first <= day <= slot.day:
                    total.add(at, -slot.size)
            board.sheet.bound(total, high=0, rule=self.key)

    def give(self, board: Board) -> Sum:
        """Count the days by which the last of it comes too late."""
        sheet = board.sheet
        taking = [slot for slot in board.slots if board.portions(slot, self.batch).terms]
        days = sorted({slot.day for slot in taking})
        begun = {day: sheet.count(1, f"{self.batch} begun {day}") for day in days}
        sheet.bound(Sum((at, 1) for at in begun.values()), high=1, rule=self.key)
        longest = max(((day - days[0]).days for day in days), default=0)
        late = [sheet.count(1, f"{self.batch} late") for _ in range(max(0, longest - self.days))]
        for sooner, later in pairwise(late):
            sheet.bound(Sum([(later, 1), (sooner, -1)]), high=0, rule=self.key)
        for slot in taking:
            some = board.with_batch(slot, self.batch)
            before = Sum((at, -1) for day, at in begun.items() if day <= slot.day)
            sheet.bound(before.plus(some), high=0, rule=self.key)
            for day, at in begun.items():
                beyond = (slot.day - day).days - self.days
                if beyond > 0:
                    total = Sum([(at, 1), (late[beyond - 1], -1)]).plus(some)
                    sheet.bound(total, high=1, rule=self.key)
        return Sum((day, 1) for day in late)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look how long after the first day each lunch takes some."""
        taking = sorted({lunch.day for lunch in packed.lunches if lunch.of(self.batch)})
        told = self.days
        for day in taking:
            after = (day - taking[0]).days
            if after > self.days:
                what = f"{self.batch} {counted(after, 'day')} after the first of it"
                yield self.fault(day_name(day), what, after - told)
                told = after

    def weaker(self) -> tuple[Rule, ...]:
        """Allow a day more."""
        return (replace(self, days=self.days + 1),)

    def edit(self, week: Week) -> Edit:
        """State the higher number."""
        days = counted(self.days, "day")
        was = week.batches[self.batch].limits[KEY]
        text = f"all portions of {self.batch} within {days} of each other, not {was}"
        return Edit(("batches", self.batch, KEY), self.days, str(was), text)


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each batch that states a limit.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the batches; none where no batch says `eaten_within`.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "eaten_within: 2, yield:")
    >>> print(*(rule.sentence() for rule in rules(every_fault("mine.yaml", text)[0])))
    all portions of rice and beans are eaten within 2 days of each other
    """
    for batch in week.batches.values():
        if KEY in batch.limits:
            yield EatenWithin(batch.name, batch.limits[KEY])
