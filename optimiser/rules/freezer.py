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
TO_THAW = timedelta(days=2)
"""From the day it is frozen to the first lunch: it thaws the evening between."""
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
    lots: tuple[tuple[date, int], ...] = ()
    """Day and portions of each time that some were frozen, where that is known."""

    def sentence(self) -> str:
        """Say how many portions can be frozen."""
        if self.portions == 0:
            return f"{self.batch} is not frozen"
        if self.earlier:
            when = [f"{number} on {day_name(day)}" for day, number in self.lots]
            many = counted(self.portions, self.word)
            return f"{many} of {self.batch}, cooked in an earlier week, went into the freezer" + (
                f" on {day_name(self.lots[0][0])}" if len(when) == 1 else f": {', '.join(when)}"
            )
        room = f"the freezer takes {counted(self.portions, self.word)} of {self.batch}"
        later = "".join(
            f", what was frozen on {day_name(day)} for {day_name(day + TO_THAW)}"
            for day, _ in self.lots
            if day > self.made
        )
        return f"{room}, thawed for {day_name(self.thaws_from)} at the earliest{later}"

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
        for before, there in self._there_before():
            early = Sum()
            for slot in board.slots:
                if slot.day < before:
                    early.plus(board.thawed(slot, self.batch))
            if early.terms:
                board.sheet.bound(early, high=there, rule=self.key)

    def _there_before(self) -> Iterator[tuple[date, int]]:
        """Give for each lot the day it is thawed from, and how many were frozen before it."""
        there = 0
        for day, portions in self.lots:
            if day > self.made:
                yield day + TO_THAW, there
            there += portions

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
                if lunch.day < self.made + TO_THAW:
                    yield self.fault(where, f"no evening to thaw {self.batch} after freezing it")
                elif lunch.day < self.thaws_from:
                    yield self.fault(where, f"{self.batch} is still fresh: thawing gains nothing")
        for before, there in self._there_before():
            early = sum(
                part.thawed
                for lunch in packed.lunches
                if lunch.day < before
                for part in lunch.portions
                if part.batch == self.batch
            )
            if early > there:
                what = f"{early} from the freezer before {day_name(before)}, {there} could thaw"
                yield self.fault(self.batch, what)
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
        text = f"freezer room for {room} of {self.batch}, not {was}"
        if not was:
            text = f"freeze up to {room} of {self.batch}, of which none is frozen now"
        return Edit(("batches", self.batch, "freezer"), room, counted(was, self.word), text)


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
    """One rule for each batch, and one where its months end before the week does.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the batches; a batch that is never frozen has one too, with room for 0.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(*(rule.sentence() for rule in rules(read_week("minimal"))))
    rice and beans is not frozen
    """
    for batch in week.batches.values():
        yield Freezer(
            batch.name,
            max(batch.freezer, batch.frozen or 0),
            batch.made,
            batch.thaws_from,
            batch.portion_word,
            batch.freezer_takes_all,
            batch.earlier,
            batch.lots,
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
