"""What an eater must not have: allergens, foods and families of foods, a way of eating.

A food that may hold it is barred like one that does, until someone has read its label; what the
guards mean is in `models.week.guards`, so that the check and the sheets say the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from models.foods.parts import Contents
from models.week.guards import Guard, Kind, guards_of, verdict
from models.week.packed import PackedLunch, PackedWeek, helpings
from models.week.week import Batch, LarderItem, Week
from models.words.days import day_name
from models.words.families import DIETS, ONLY_IF_STATED
from models.words.numbers import listed
from optimiser.board.board import Board
from optimiser.rules.base import Fault, OfEater, Rule

MOST_NAMED = 6
"""Foods that are named where a rule stands in the way."""


@dataclass(frozen=True)
class MustNot(OfEater):
    """An eater gets nothing with one allergen or one food in it, or that a way of eating bars."""

    family: ClassVar[str] = "must not have"
    safety: ClassVar[bool] = True
    what: str
    kind: Kind

    @property
    def guard(self) -> Guard:
        """What is kept away, as the guards know it."""
        return Guard(self.kind, self.what)

    @property
    def subject(self) -> str:
        """Eater and food."""
        kind = {Kind.ALLERGEN: "", Kind.FOOD: " as a food", Kind.DIET: " food alone"}[self.kind]
        return f"{self.what}{kind} for {self.eater}"

    def sentence(self) -> str:
        """Say what is kept away."""
        if self.kind is not Kind.DIET:
            return f"{self.eater} must not have {self.what}"
        sentence = f"{self.eater} eats {self.what} food: no {listed(DIETS[self.what], 'or')}"
        asked = ONLY_IF_STATED.get(self.what)
        if asked is None:
            return sentence
        return f"{sentence}; {listed(asked, 'or')} only where the file says that it suits"

    def told_of(self, week: Week) -> str:
        """Name the batches and the food of the week that it keeps away."""
        things: list[Batch | LarderItem] = [*week.batches.values(), *week.larder.values()]
        barred = [thing.name for thing in things if self.is_in(thing.name, thing.contents)]
        if barred in ([], [self.what]):
            return self.sentence()
        more = [f"{len(barred) - MOST_NAMED} more"] if len(barred) > MOST_NAMED else []
        return f"{self.sentence()}; that bars {listed([*barred[:MOST_NAMED], *more])}"

    @property
    def _barred_as(self) -> str:
        if self.kind is Kind.DIET:
            return f"is or may be no {self.what} food"
        return f"has or may have {self.what}"

    def is_in(self, name: str, contents: Contents) -> bool:
        """Tell whether a food with this name and these contents may hold it.

        Parameters
        ----------
        name
            What the batch or item is called.
        contents
            What is in it.

        Returns
        -------
        bool
            True too where it only may hold it, or nobody said.
        """
        return verdict(self.guard, name, contents).barred

    def post(self, board: Board) -> None:
        """Keep every food with it out of the eater's lunches."""
        for slot in board.slots_for(self.eater):
            barred = board.forbidden(slot, self.key, self.is_in)
            board.sheet.bound(barred, high=0, rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On every lunch of its eater."""
        return lunch.eater == self.eater

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at all that goes into the eater's lunches."""
        for lunch in packed.of(self.eater):
            for food, contents in _in_it(week, lunch):
                why = verdict(self.guard, food, contents).why
                if why:
                    yield self.fault(
                        f"{day_name(lunch.day)}, {self.eater}",
                        f"{food} {self._barred_as}: {why}",
                    )


def _in_it(week: Week, lunch: PackedLunch) -> Iterator[tuple[str, Contents]]:
    for part in lunch.portions:
        if part.portions:
            yield part.batch, week.batches[part.batch].contents
    for helping in helpings(week, lunch):
        yield helping.item, week.larder[helping.item].contents


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each thing each eater must not have.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        By eater, then in the order of `guards_of`.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("Ilse: {", "Ilse: {must_not: {allergens: [milk]}, ")
    >>> print(*(rule.sentence() for rule in rules(every_fault("mine.yaml", text)[0])))
    Ilse must not have milk
    """
    for eater in week.eaters.values():
        for guard in guards_of(eater):
            yield MustNot(eater.name, guard.what, guard.kind)
