"""What stands in the cupboard, with the days until which it is good, and what is drawn from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from models.week.week import Shelved


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is needed of one thing, held against what is there.

    Attributes
    ----------
    missing
        What is not there, by the day it is needed on; without the days that lack nothing.
    stays
        What is not used of what is there.
    """

    missing: Mapping[date, Decimal]
    stays: tuple[Shelved, ...]

    @property
    def lacking(self) -> Decimal:
        """What is missing in all."""
        return sum(self.missing.values(), Decimal(0))


def draw(held: Sequence[Shelved], need: Mapping[date, Decimal]) -> Drawn:
    """Take what is needed from what is there: first what has to be eaten first.

    What is good up to a day serves no later day, so each stock serves all days that an earlier one
    does: taking in that order leaves least missing.

    Parameters
    ----------
    held
        What is there, all in one unit.
    need
        What is needed on each day, in the same unit.

    Returns
    -------
    In the same unit; where it is not known how much there is, nothing lacks and all stays.

    Examples
    --------
    >>> rest = Shelved(Decimal(45), date(2026, 12, 9))
    >>> drawn = draw([rest], {date(2026, 12, 8): Decimal(30), date(2026, 12, 10): Decimal(20)})
    >>> drawn.lacking, drawn.stays[0].amount
    (Decimal('20'), Decimal('15'))
    """
    if any(stock.amount is None for stock in held):
        return Drawn({}, tuple(held))
    missing = {day: need[day] for day in sorted(need)}
    stays = []
    for stock in sorted(held, key=lambda stock: stock.use_by or date.max):
        rest = stock.amount or Decimal(0)
        for day, lacks in missing.items():
            if stock.use_by is None or day <= stock.use_by:
                taken = min(rest, lacks)
                rest -= taken
                missing[day] = lacks - taken
        stays.append(replace(stock, amount=rest))
    left = tuple(stock for stock in stays if stock.amount)
    return Drawn({day: lacks for day, lacks in missing.items() if lacks > 0}, left)


def counts(held: Sequence[Shelved], drawn: Drawn) -> Decimal | None:
    """Tell how much of what is there counts: all without a date, of the rest what serves in time.

    Parameters
    ----------
    held
        What is there.
    drawn
        What became of it.

    Returns
    -------
    Decimal or None
        In the unit of what is there; None for plenty.

    Examples
    --------
    >>> counts([Shelved(Decimal(3))], draw([Shelved(Decimal(3))], {}))
    Decimal('3')
    """
    if any(stock.amount is None for stock in held):
        return None
    there = sum((stock.amount or Decimal(0) for stock in held), Decimal(0))
    late = (stock.amount or Decimal(0) for stock in drawn.stays if stock.use_by is not None)
    return there - sum(late, Decimal(0))
