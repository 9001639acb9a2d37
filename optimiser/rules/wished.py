"""Wished: a dish that is wanted comes on its day, whatever else would be better there.

A wish of the week file is a rule like any other, so that every command means the same by it. It is
a matter of taste: where no week has it, it gives way, and `mend` can do without it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Week, WishedLunch
from models.words.days import day_name
from models.words.giving import WISHES
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, Rule


@dataclass(frozen=True)
class Wished(Rule):
    """A dish comes on a day once or more, to one eater or to any; without the wish no times."""

    family: ClassVar[str] = "wished"
    gives: ClassVar[str] = WISHES
    dish: str
    day: date
    eater: str | None
    times: int = 1

    @property
    def subject(self) -> str:
        """The dish, the day, and whose lunch it is to be."""
        whom = "" if self.eater is None else f" for {self.eater}"
        return f"{self.dish} on {day_name(self.day)}{whom}"

    def sentence(self) -> str:
        """Say the wish."""
        return f"{self.subject} is wished"

    def _meant(self, day: date, eaters: tuple[str, ...]) -> bool:
        return day == self.day and (self.eater is None or self.eater in eaters)

    def post(self, board: Board) -> None:
        """Let it come to some lunch that is meant."""
        total = Sum()
        for slot in board.slots:
            if self._meant(slot.day, slot.eaters):
                total.plus(board.times(slot, self.dish), -1)
        if self.times:
            board.sheet.bound(total, high=-self.times, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look whether any lunch that is meant has it."""
        if self.times and not any(
            self._meant(lunch.day, (lunch.eater,)) and lunch.dish == self.dish
            for lunch in packed.lunches
        ):
            yield self.fault(day_name(self.day), f"no {self.dish}, which is wished")

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On the lunches that are meant."""
        return self._meant(lunch.day, (lunch.eater,))

    def weaker(self) -> tuple[Rule, ...]:
        """Do without."""
        return (replace(self, times=0),) if self.times else ()

    def edit(self, week: Week) -> Edit:
        """Take it off the list."""
        at = week.wishes.index(WishedLunch(self.dish, self.day, self.eater))
        return Edit(("wishes", at), None, self.subject, f"without the wish for {self.subject}")


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each wish of a lunch that there is.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the wishes; none for a lunch that was called off.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal") + "wishes: ['Rice, beans and apple on mon']"
    >>> print(*(rule.sentence() for rule in rules(every_fault("mine.yaml", text)[0])))
    Rice, beans and apple on Mon 30 Nov is wished
    """
    there = {(lunch.day, eater) for lunch in week.lunches for eater in (None, lunch.eater)}
    for wish in week.wishes:
        if (wish.day, wish.eater) in there:
            yield Wished(wish.dish, wish.day, wish.eater)
