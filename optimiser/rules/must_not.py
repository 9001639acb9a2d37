"""What an eater must not have: allergens and foods.

A food whose allergens are not settled counts as holding all of them. A food is kept away by
its name, in whatever order and number its words stand: "egg" keeps "eggs, hard-boiled" away.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek, helpings
from models.week.week import Contents, Week
from models.words.days import day_name
from models.words.names import is_one_of
from optimiser.board.board import Board
from optimiser.rules.base import Fault, Rule


@dataclass(frozen=True)
class MustNot(Rule):
    """An eater gets nothing with one allergen or one food in it."""

    family: ClassVar[str] = "must not have"
    safety: ClassVar[bool] = True
    eater: str
    what: str
    allergen: bool

    @property
    def subject(self) -> str:
        """Eater and food."""
        kind = "" if self.allergen else " as a food"
        return f"{self.what}{kind} for {self.eater}"

    def sentence(self) -> str:
        """Say what is kept away."""
        return f"{self.eater} must not have {self.what}"

    def is_in(self, name: str, contents: Contents) -> bool:
        """Tell whether a food with this name and these contents may hold it."""
        if self.allergen:
            return contents.allergens is None or self.what in contents.allergens
        return is_one_of(self.what, contents.foods | {name.casefold()})

    def post(self, board: Board) -> None:
        """Keep every food with it out of the eater's lunches."""
        group = next(group for group in board.groups if self.eater in group)
        for slot in board.slots_of(group):
            barred = board.forbidden(slot, self.key, self.is_in)
            board.sheet.bound(barred, high=0, rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On every lunch of its eater."""
        return lunch.eater == self.eater

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at all that goes into the eater's lunches."""
        for lunch in packed.of(self.eater):
            for food in self._found(week, lunch):
                yield self.fault(
                    f"{day_name(lunch.day)}, {self.eater}", f"{food} has or may have {self.what}"
                )

    def _found(self, week: Week, lunch: PackedLunch) -> Iterator[str]:
        for part in lunch.portions:
            if part.portions and self.is_in(part.batch, week.batches[part.batch].contents):
                yield part.batch
        for helping in helpings(week, lunch):
            if self.is_in(helping.item, week.larder[helping.item].contents):
                yield helping.item


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each thing each eater must not have."""
    for eater in week.eaters.values():
        for allergen in sorted(eater.avoids_allergens):
            yield MustNot(eater.name, allergen, allergen=True)
        for food in sorted(eater.avoids_foods):
            yield MustNot(eater.name, food, allergen=False)
