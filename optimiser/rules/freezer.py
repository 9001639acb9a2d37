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

from models.week.packed import PackedWeek
from models.week.week import MONTH, Batch, Week
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, KeepsBatchAway, Rule

KEY = "freezer_months"
PUBLISHED = "the food table, by its storage class"


@dataclass(frozen=True)
class Freezer(KeepsBatchAway):
    """The freezer takes so many portions of a batch; none when it does not freeze."""

    family: ClassVar[str] = "freezer"
    prep: ClassVar[bool] = True
    portions: int
    made: date
    thaws_from: date
    word: str
    takes_all: bool = False
    earlier: bool = False

    def sentence(self) -> str:
        """Say how many portions can be frozen."""
        if self.portions == 0:
            return f"{self.batch} is not frozen"
        if self.earlier:
            return (
                f"{counted(self.portions, self.word)} of {self.batch}, cooked in an earlier week, "
                f"went into the freezer on {day_name(self.made)}"
            )
        room = f"the freezer takes {counted(self.portions, self.word)} of {self.batch}"
        return f"{room}, thawed for {day_name(self.thaws_from)} at the earliest"

    def post(self, board: Board) -> None:
        """Bound what comes from the freezer over the week, and keep it from days too early."""
        total = Sum()
        for slot in board.slots:
            thawed = board.thawed(slot, self.batch)
            total.plus(thawed)
            if thawed.terms and slot.day < self.thaws_from:
                board.sheet.bound(thawed, high=0, rule=self.key)
        # Nobody eats more than was cooked, however much that is.
        if not self.takes_all and not self.earlier:
            board.sheet.bound(total, high=self.portions, rule=self.key)

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
                if lunch.day < self.made + timedelta(days=2):
                    yield self.fault(where, f"no evening to thaw {self.batch} after freezing it")
                elif lunch.day < self.thaws_from:
                    yield self.fault(where, f"{self.batch} is still fresh: thawing gains nothing")
        if total > self.portions:
            thawed = counted(total, self.word)
            yield self.fault(self.batch, f"{thawed} from the freezer, it takes {self.portions}")

    def weaker(self) -> tuple[Rule, ...]:
        """Room for one more, where it freezes at all."""
        if self.takes_all or self.earlier or not self.portions:
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


@dataclass(frozen=True)
class FreezerMonths(KeepsBatchAway):
    """From the freezer a batch is eaten within the months that it keeps its quality there.

    Frozen food stays safe (USDA FSIS, Freezing and Food Safety), so this is no safety rule.
    """

    family: ClassVar[str] = "freezer months"
    made: date
    months: int
    until: date
    said_by: str

    @property
    def source(self) -> str:
        """Who says how long."""
        return self.said_by

    def sentence(self) -> str:
        """Say until when, and that it is quality that ends."""
        return (
            f"{self.batch}, made {day_name(self.made)}, keeps its quality in the freezer for "
            f"{counted(self.months, 'month')}: eat it by {day_name(self.until)} {self.until.year} "
            "(quality, not safety)"
        )

    def post(self, board: Board) -> None:
        """Keep what is thawed out of later lunches."""
        for slot in board.slots:
            if slot.day > self.until:
                board.sheet.bound(board.thawed(slot, self.batch), high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at the date of every portion from the freezer."""
        for lunch in packed.lunches:
            for part in lunch.portions:
                if part.batch == self.batch and part.thawed and lunch.day > self.until:
                    where = f"{day_name(lunch.day)}, {lunch.eater}"
                    what = f"{self.batch} from the freezer, best by {day_name(self.until)}"
                    yield self.fault(where, what)

    def weaker(self) -> tuple[Rule, ...]:
        """Allow a month more."""
        longer = replace(self, months=self.months + 1, until=self.until + MONTH, said_by="")
        return (longer,)

    def edit(self, week: Week) -> Edit:
        """State the months."""
        span = week.batches[self.batch].freezer_months
        was = "" if span is None else counted(span[1], "month")
        text = (
            f"eat {self.batch} from the freezer within {counted(self.months, 'month')}, not {was} "
            "(quality, not safety)"
        )
        return Edit(("batches", self.batch, KEY), self.months, was, text)


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each batch, and one where its months end before the week does."""
    for batch in week.batches.values():
        yield Freezer(
            batch.name,
            batch.freezer,
            batch.made,
            batch.thaws_from,
            batch.portion_word,
            batch.freezer_takes_all,
            batch.earlier,
        )
        yield from _quality(week, batch)


def _quality(week: Week, batch: Batch) -> Iterator[Rule]:
    until = batch.frozen_until
    if (
        until is not None
        and batch.freezer_months
        and any(lunch.day > until for lunch in week.lunches)
    ):
        stated = KEY in batch.limits
        months = batch.freezer_months[1]
        yield FreezerMonths(batch.name, batch.made, months, until, "" if stated else PUBLISHED)
