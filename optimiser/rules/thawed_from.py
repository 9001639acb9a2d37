"""Thawed from: from when on what a mended week makes later may be thawed.

No week asks for it: the rule on the freezer says so of a week as it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from optimiser.board.board import Board
from optimiser.rules.base import Fault, Rule


@dataclass(frozen=True)
class ThawedFrom(Rule):
    """Nothing of a batch is thawed before a day."""

    family: ClassVar[str] = "thawed later"
    batch: str
    day: date

    @property
    def subject(self) -> str:
        """The batch."""
        return self.batch

    def sentence(self) -> str:
        """Say from when on."""
        return f"{self.batch} is thawed for {day_name(self.day)} at the earliest"

    def post(self, board: Board) -> None:
        """Keep what is thawed out of earlier lunches."""
        for slot in board.slots:
            if slot.day < self.day:
                board.sheet.bound(board.thawed(slot, self.batch), high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at what is thawed for earlier lunches."""
        for lunch in packed.lunches:
            for part in lunch.portions:
                if part.batch == self.batch and part.thawed and lunch.day < self.day:
                    where = f"{day_name(lunch.day)}, {lunch.eater}"
                    yield self.fault(where, f"{part.thawed} of {self.batch} thawed too early")
