"""Fridge life: nothing of a batch is eaten past its use-by, and none before it is made.

A portion frozen on the day it is made stops its clock; see freezer.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.guidance import at_own_risk
from models.words.numbers import keeping
from optimiser.board.board import Board
from optimiser.rules.base import Fault, KeepsBatchAway, OfBatch, Rule


@dataclass(frozen=True)
class BatchUseBy(KeepsBatchAway):
    """A batch from the fridge is eaten by its use-by date."""

    family: ClassVar[str] = "fridge life"
    safety: ClassVar[bool] = True
    made: date
    days: int
    use_by: date
    said_by: str
    risk: str

    @property
    def source(self) -> str:
        """Who says how long it keeps."""
        return self.said_by

    def sentence(self) -> str:
        """Say the use-by date and what it comes from."""
        return (
            f"{self.batch}, made {day_name(self.made)}, {keeping(self.days)} in the fridge: "
            f"eat it by {day_name(self.use_by)}{at_own_risk(self.risk)}"
        )

    def post(self, board: Board) -> None:
        """Past the use-by, only what was frozen may be packed."""
        for slot in board.slots:
            if slot.day > self.use_by:
                fresh = board.portions(slot, self.batch).plus(board.thawed(slot, self.batch), -1)
                board.sheet.bound(fresh, high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at the date of every portion from the fridge."""
        for lunch in packed.lunches:
            for part in lunch.portions:
                fresh = part.portions - part.thawed
                if part.batch == self.batch and fresh > 0 and lunch.day > self.use_by:
                    yield self.fault(
                        f"{day_name(lunch.day)}, {lunch.eater}",
                        f"{fresh} of {self.batch} from the fridge, use by {day_name(self.use_by)}",
                    )


@dataclass(frozen=True)
class NotBeforeMade(OfBatch):
    """A batch is packed from the day after it is made."""

    family: ClassVar[str] = "made"
    # A portion packed before it is cooked is no matter of taste: never loosened.
    safety: ClassVar[bool] = True
    made: date
    first: date

    def sentence(self) -> str:
        """Say from when on it is there."""
        return (
            f"{self.batch} is made on {day_name(self.made)}: packed from {day_name(self.first)} on"
        )

    def post(self, board: Board) -> None:
        """Keep it out of earlier lunches."""
        for slot in board.slots:
            if slot.day < self.first:
                board.sheet.bound(board.portions(slot, self.batch), high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at the date of every portion."""
        for lunch in packed.lunches:
            if lunch.day < self.first and lunch.of(self.batch) > 0:
                yield self.fault(
                    f"{day_name(lunch.day)}, {lunch.eater}",
                    f"{self.batch} is only made on {day_name(self.made)}",
                )


def rules(week: Week) -> Iterator[Rule]:
    """One use-by for each batch, and one first day for each made within the week.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the batches, the first day before the use-by.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(*(rule.sentence() for rule in rules(read_week("minimal"))))
    rice and beans, made Sun 29 Nov, keeps 4 days in the fridge: eat it by Thu 3 Dec
    """
    for batch in week.batches.values():
        if any(lunch.day < batch.first_day for lunch in week.lunches):
            yield NotBeforeMade(batch.name, batch.made, batch.first_day)
        life = batch.life
        yield BatchUseBy(batch.name, batch.made, life.high, batch.use_by, life.source, life.risk)
