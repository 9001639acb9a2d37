"""Served: how often something more is beside a dish, where a mended week asks for it.

No week asks for it: what a dish has beside it stands in its extras.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Fault, Rule


@dataclass(frozen=True)
class Served(Rule):
    """An extra of a dish comes with it up to so many times, or just so many."""

    family: ClassVar[str] = "side"
    dish: str
    item: str
    most: int
    always: bool

    @property
    def subject(self) -> str:
        """Item and dish."""
        return f"{self.item} with {self.dish}"

    def sentence(self) -> str:
        """Say how much more there is."""
        return f"{self.item} comes with {self.dish} up to {self.most} times more"

    def post(self, board: Board) -> None:
        """Bound what is added by how often the dish comes."""
        for slot in board.slots:
            added = Sum([(board.extra_counts[slot.at][self.dish, self.item], 1)])
            added.plus(board.times(slot, self.dish), -self.most)
            board.sheet.bound(added, low=0 if self.always else None, high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count it in each lunch of the dish."""
        for lunch in packed.lunches:
            times = lunch.extras.get(self.item, 0)
            if lunch.dish == self.dish and (
                times > self.most or (self.always and times < self.most)
            ):
                where = f"{day_name(lunch.day)}, {lunch.eater}"
                yield self.fault(where, f"{times} times {self.item} with {self.dish}")
