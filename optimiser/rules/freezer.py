"""Freezer: so many portions are frozen on the day they are made, then thawed.

Source for the timing: thaw in the fridge and eat within 24 hours of thawing (UK
Food Standards Agency); freezing stops the clock and does not set it back. So a
portion is moved to the fridge the evening before the lunch it is for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, Rule


@dataclass(frozen=True)
class Freezer(Rule):
    """The freezer takes so many portions of a batch; none when it does not freeze."""

    family: ClassVar[str] = "freezer"
    prep: ClassVar[bool] = True
    batch: str
    portions: int
    made: date
    fresh_until: date
    word: str
    takes_all: bool = False

    @property
    def subject(self) -> str:
        """The batch."""
        return self.batch

    def sentence(self) -> str:
        """Say how many portions can be frozen."""
        if self.portions == 0:
            return f"{self.batch} is not frozen"
        first = max(self.fresh_until + timedelta(days=1), self.made + timedelta(days=2))
        room = f"the freezer takes {counted(self.portions, self.word)} of {self.batch}"
        return f"{room}, thawed for {day_name(first)} at the earliest"

    def post(self, board: Board) -> None:
        """Bound what comes from the freezer over the week, and keep it from days too early."""
        total = Sum()
        for slot in board.slots:
            thawed = board.thawed(slot, self.batch)
            total.plus(thawed)
            if thawed.terms and not board.week.batches[self.batch].thaws_for(slot.day):
                board.sheet.bound(thawed, high=0, rule=self.key)
        # Nobody eats more than was cooked, however much that is.
        if not self.takes_all:
            board.sheet.bound(total, high=self.portions, rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On lunches that do without the batch."""
        return lunch.of(self.batch) == 0

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count what comes from the freezer, and see that it had the time to thaw."""
        total = 0
        for lunch in packed.lunches:
            for part in lunch.portions:
                if part.batch != self.batch or part.thawed == 0:
                    continue
                where = f"{day_name(lunch.day)}, {lunch.eater}"
                total += part.thawed
                if not 0 <= part.thawed <= part.portions:
                    yield self.fault(where, f"{part.thawed} thawed of {part.portions}")
                if lunch.day <= self.fresh_until:
                    yield self.fault(where, f"{self.batch} is still fresh: thawing gains nothing")
                elif lunch.day < self.made + timedelta(days=2):
                    yield self.fault(where, f"no evening to thaw {self.batch} after freezing it")
        if total > self.portions:
            yield self.fault(
                self.batch, f"{total} {self.word}s from the freezer, it takes {self.portions}"
            )

    def weaker(self) -> tuple[Rule, ...]:
        """Room for one more, where it freezes at all."""
        if self.takes_all or not self.portions:
            return ()
        return (replace(self, portions=self.portions + 1),)

    def edit(self, week: Week) -> Edit:
        """Make room for more."""
        was = week.batches[self.batch].freezer
        room = counted(self.portions, self.word)
        return Edit(
            ("batches", self.batch, "freezer"),
            room,
            counted(was, self.word),
            f"freezer room for {room} of {self.batch}, not {was}",
        )


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each batch."""
    for batch in week.batches.values():
        yield Freezer(
            batch.name,
            batch.freezer,
            batch.made,
            batch.fresh_until,
            batch.portion_word,
            batch.freezer_takes_all,
        )
