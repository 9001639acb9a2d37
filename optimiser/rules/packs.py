"""Packs: what is opened spoils, and what is bought has a use-by of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from models.week import sums
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.guidance import at_own_risk
from models.words.numbers import keeping
from models.words.units import sayable
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Fault, Rule


@dataclass(frozen=True)
class OpenedLife(Rule):
    """An opened pack is used up within so many days, and what is left then is wasted."""

    family: ClassVar[str] = "opened life"
    safety: ClassVar[bool] = True
    item: str
    days: int
    pack: str
    said_by: str
    risk: str

    @property
    def subject(self) -> str:
        """The larder item."""
        return self.item

    @property
    def source(self) -> str:
        """Who says how long it keeps; empty where the week file does."""
        return self.said_by

    def sentence(self) -> str:
        """Say how long it keeps once opened."""
        kept = f"an opened pack of {self.item} ({self.pack}) {keeping(self.days)}"
        return kept + at_own_risk(self.risk)

    def post(self, board: Board) -> None:
        """Draw each day's use from packs that are still good on that day; the rest is waste.

        A flow from the day a pack is opened to the day it is used; with it, the
        fewest packs in whole numbers are found by the solver.
        """
        opened = board.opened_counts.get(self.item, {})
        if not opened:
            return
        size = board.pack(self.item)
        board.sheet.bound(Sum([(board.unspoilt[self.item], 1)]), high=0, rule=self.key)
        into: dict[date, Sum] = {day: Sum() for day in opened}
        for start, packs in opened.items():
            out = Sum()
            for day in opened:
                if start <= day <= start + timedelta(days=self.days):
                    top = board.sheet.reach(board.used_on(day, self.item))[1]
                    flow = board.sheet.count(top, f"{self.item} opened {start} used {day}")
                    out.add(flow)
                    into[day].add(flow)
            board.sheet.bound(out.add(packs, -size), high=0, rule=self.key)
        for day, total in into.items():
            used = board.used_on(day, self.item)
            board.sheet.bound(total.plus(used, -1), low=0, high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """See that the packs named hold enough that is still good on every day."""
        used = sums.uses(week, packed).get(self.item)
        if used:
            packs = [pack for pack in packed.packs if pack.item == self.item]
            for day in sums.covered(week.larder[self.item], used, packs):
                yield self.fault(
                    day_name(day), f"no pack of {self.item} that is still good holds enough"
                )


@dataclass(frozen=True)
class UseBy(Rule):
    """A bought food is eaten by the date on its pack."""

    family: ClassVar[str] = "use-by"
    safety: ClassVar[bool] = True
    item: str
    last: date

    @property
    def subject(self) -> str:
        """The larder item."""
        return self.item

    def sentence(self) -> str:
        """Say the date."""
        return f"{self.item} is to be eaten by {day_name(self.last)}"

    def post(self, board: Board) -> None:
        """Keep it out of later lunches."""
        for slot in board.slots:
            if slot.day > self.last:
                board.sheet.bound(board.used(slot, self.item), high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at the dates it is used on."""
        for day, amount in sums.uses(week, packed).get(self.item, {}).items():
            if day > self.last and amount > 0:
                yield self.fault(day_name(day), f"{self.item}, use by {day_name(self.last)}")


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each life once opened, one for each date on a pack.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the larder; none of an item that keeps and has no date.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(next(rule.sentence() for rule in rules(read_week("starter"))))
    an opened pack of yoghurt relish (120 g) keeps 3 days
    """
    for item in week.larder.values():
        if item.opened_life is not None:
            yield OpenedLife(
                item.name, item.opened_life, sayable(item.pack), item.opened_source, item.risk
            )
        if item.use_by is not None:
            yield UseBy(item.name, item.use_by)
