"""What goes into the freezer and comes out of it, and on which day a hand is needed.

Frozen on the day it is made, or later where it fell over, a tub for each day it is for and one for
a later week; moved to the fridge the evening before it is eaten, what was frozen first goes first.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from models.week.packed import PackedWeek
from models.week.week import Week


@dataclass(frozen=True, slots=True)
class Move:
    """Portions of one batch for one day, put into the freezer or taken out of it.

    Attributes
    ----------
    day
        When it is done: the day of cooking, or the evening before it is eaten.
    for_day
        The day they are eaten; None where they stay in the freezer for a later week.
    """

    day: date
    move: Literal["freeze", "thaw"]
    batch: str
    portions: int
    for_day: date | None


def evening_before(day: date) -> date:
    """Find the day on whose evening what is eaten on `day` leaves the freezer.

    Parameters
    ----------
    day
        The day of the lunch.

    Returns
    -------
    The day before, whether or not it is a day of the week.

    Examples
    --------
    >>> evening_before(date(2026, 12, 1))
    datetime.date(2026, 11, 30)
    """
    return day - timedelta(days=1)


def moves(week: Week, packed: PackedWeek) -> list[Move]:
    """List what is frozen and thawed for a plan, by the day on which it is done.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    list of Move
        On one day freezing comes first; then in the order of the batches in the file and of the
        days they are for. Every portion that is thawed was frozen, so each is there twice; but
        what an earlier week froze is only thawed.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from models.week.packed import PackedLunch, PackedPortions
    >>> week = read_week("demo")
    >>> soup = (PackedPortions("pea soup", 1, 1),)
    >>> lunch = PackedLunch("Jorun", week.days[-1], "Soup and bake", soup, {}, {})
    >>> [move.move for move in moves(week, PackedWeek((lunch,), ()))]
    ['freeze', 'thaw']
    """
    both: list[Move] = []
    for name, batch in week.batches.items():
        tubs = frozen(week, packed, name)
        # What an earlier week froze is only thawed.
        new = [tub for tub in tubs if not batch.earlier or tub.frozen >= week.days[0]]
        both += [Move(tub.frozen, "freeze", name, tub.portions, tub.for_day) for tub in new]
        out: Counter[date] = Counter()
        for tub in tubs:
            if tub.for_day is not None:
                out[tub.for_day] += tub.portions
        both += [
            Move(evening_before(day), "thaw", name, portions, day) for day, portions in out.items()
        ]
    return sorted(both, key=lambda move: (move.day, move.move))


@dataclass(frozen=True, slots=True)
class Tub:
    """Portions of a batch that were frozen on one day and are for one day.

    Attributes
    ----------
    for_day
        None where they stay in the freezer.
    """

    frozen: date
    for_day: date | None
    portions: int


def frozen(week: Week, packed: PackedWeek, batch: str) -> list[Tub]:
    """Part what goes into the freezer by when it does and by the day it is for.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.
    batch
        Name of a batch.

    Returns
    -------
    list of Tub
        What is frozen first is thawed first; what stays comes last.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> frozen(read_week("demo"), PackedWeek((), ()), "pea soup")
    []
    """
    wanted: Counter[date] = Counter()
    for lunch in packed.lunches:
        wanted[lunch.day] += sum(part.thawed for part in lunch.portions if part.batch == batch)
    for_days: list[date | None] = [day for day in sorted(wanted) for _ in range(wanted[day])]
    there = week.batches[batch]
    lots = there.lots if there.frozen is not None else ((there.made, len(for_days)),)
    days = [day for day, portions in lots for _ in range(portions)]
    # A plan that was edited by hand may thaw more than was frozen; the audit says so.
    days += [there.made] * (len(for_days) - len(days))
    for_days += [None] * (len(days) - len(for_days))
    tubs = Counter(zip(days, for_days, strict=True))
    return [Tub(day, for_day, portions) for (day, for_day), portions in tubs.items()]
