"""On hand: in a week that runs, later lunches have what is in the fridge and the freezer.

It is no rule of a week but of one day in it, so no week file asks for it and it is in no list of
families: who plans the rest of a week adds it, in the place of the week's own on what was frozen.
Source: eat within 24 hours of thawing (UK Food Standards Agency), as in `freezer.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from models.week.packed import PackedPortions, PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.numbers import listed
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Fault, OfBatch


@dataclass(frozen=True, slots=True)
class Taken:
    """Portions of a batch that lunches from a day on take.

    Attributes
    ----------
    fresh
        From the fridge.
    now
        Thawed overnight, that day.
    later
        From the freezer, on later days.
    """

    fresh: int
    now: int
    later: int


def taken(packed: PackedWeek, batch: str, today: date) -> Taken:
    """Count the portions of a batch that lunches from `today` on take, by where they come from.

    Parameters
    ----------
    packed
        The packed week.
    batch
        Name of a batch.
    today
        The first day that counts.

    Returns
    -------
    Taken
        Portions taken fresh, thawed today, and thawed on later days.

    Examples
    --------
    >>> from datetime import date
    >>> taken(PackedWeek((), ()), "pea soup", date(2026, 12, 1))
    Taken(fresh=0, now=0, later=0)
    """
    parts: list[tuple[date, PackedPortions]] = [
        (lunch.day, part)
        for lunch in packed.lunches
        if lunch.day >= today
        for part in lunch.portions
        if part.batch == batch
    ]
    return Taken(
        fresh=sum(part.portions - part.thawed for _, part in parts),
        now=sum(part.thawed for day, part in parts if day == today),
        later=sum(part.thawed for day, part in parts if day > today),
    )


@dataclass(frozen=True)
class OnHand(OfBatch):
    """Lunches from a day on take no more of a batch than is in each place on its morning."""

    family: ClassVar[str] = "on hand"
    today: date
    fridge: int
    thawed: int
    freezer: int
    frozen_today: int = 0
    """Of those in the freezer, what went in today: it is not thawed by tomorrow."""
    room: int = 0
    """So many more may be frozen today."""

    def sentence(self) -> str:
        """Say how many are where."""
        places = ("in the fridge", "thawed overnight", "in the freezer")
        many = zip((self.fridge, self.thawed, self.freezer), places, strict=True)
        there = [f"{number} {place}" for number, place in many if number]
        return f"{self.batch} on {day_name(self.today)}: {listed(there) or 'none is left'}"

    def post(self, board: Board) -> None:
        """Bound what is eaten from each place."""
        fresh, now, soon, later = Sum(), Sum(), Sum(), Sum()
        for slot in board.slots:
            if slot.day >= self.today:
                thawed = board.thawed(slot, self.batch)
                fresh.plus(board.portions(slot, self.batch)).plus(thawed, -1)
                (now if slot.day == self.today else later).plus(thawed)
                if slot.day == self.today + timedelta(days=1):
                    soon.plus(thawed)
        frozen = self.freezes(board)
        fresh.plus(frozen)
        later.plus(frozen, -1)
        for total, high in (
            (fresh, self.fridge),
            (now, self.thawed),
            (soon, self.freezer - self.frozen_today),
            (later, self.freezer),
        ):
            if total.terms:
                board.sheet.bound(total, high=high, rule=self.key)

    def freezes(self, board: Board) -> Sum:
        """Count what goes from the fridge into the freezer today.

        Parameters
        ----------
        board
            The board of the week.

        Returns
        -------
        Sum
            Portions, from 0 to what is in the fridge and the freezer takes.
        """
        return board.frozen_now(self.batch, min(self.room, self.fridge))

    def frozen(self, packed: PackedWeek) -> int:
        """Count what goes into the freezer today: all that no lunch takes fresh and that fits.

        Parameters
        ----------
        packed
            The week as it is packed.

        Returns
        -------
        int
            Portions, from 0 to what is in the fridge and the freezer takes.
        """
        return max(0, min(self.room, self.fridge - taken(packed, self.batch, self.today).fresh))

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count what comes from each place."""
        lunches = taken(packed, self.batch, self.today)
        tomorrow = self.today + timedelta(days=1)
        soon = lunches.later - taken(packed, self.batch, tomorrow).later
        frozen = self.frozen(packed)
        for takes, there, place in (
            (lunches.fresh + frozen, self.fridge, "in the fridge"),
            (lunches.now, self.thawed, "thawed overnight"),
            (soon, self.freezer - self.frozen_today, "in the freezer"),
            (lunches.later, self.freezer + frozen, "in the freezer"),
        ):
            if takes > there:
                yield self.fault(self.batch, f"{takes} taken, {there} {place}")
