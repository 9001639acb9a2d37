"""What goes into the freezer and comes out of it, and on which day a hand is needed.

Frozen on the day it is made, a tub for each day it is for; moved to the fridge the evening before
it is eaten.
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
        The day they are eaten.
    """

    day: date
    move: Literal["freeze", "thaw"]
    batch: str
    portions: int
    for_day: date


def evening_before(day: date) -> date:
    """Find the day on whose evening what is eaten on `day` leaves the freezer.

    Parameters
    ----------
    day
        The day of the lunch.

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
    thawed: Counter[tuple[str, date]] = Counter()
    for lunch in packed.lunches:
        for part in lunch.portions:
            thawed[part.batch, lunch.day] += part.thawed
    both: list[Move] = [
        move
        for name, batch in week.batches.items()
        for day in sorted({lunch.day for lunch in packed.lunches})
        if (portions := thawed[name, day])
        for move in (
            Move(batch.made, "freeze", name, portions, day),
            Move(evening_before(day), "thaw", name, portions, day),
        )
        if move.move == "thaw" or not batch.earlier
    ]
    return sorted(both, key=lambda move: (move.day, move.move))
