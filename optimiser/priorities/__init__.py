"""All priorities, one room each. A new priority is a new file, a line here and its name in models.

The name stands in `models/words/priorities.py` too, because the week file has to know it.
"""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.priorities import PRIORITY_NAMES
from optimiser.priorities import (
    cost,
    file_order,
    freshness,
    left_over,
    liking,
    minutes,
    packs_opened,
    repeats,
    thawed,
)
from optimiser.priorities.base import MONEY, Priority

ROOMS = (
    left_over,
    repeats,
    freshness,
    thawed,
    liking,
    cost,
    minutes,
    packs_opened,
    file_order,
)

PRIORITIES: dict[str, Priority] = {room.PRIORITY.name: room.PRIORITY for room in ROOMS}

if tuple(PRIORITIES) != PRIORITY_NAMES:
    raise ImportError("models/words/priorities.py names other priorities than there are rooms")

__all__ = ["MONEY", "PRIORITIES", "Priority", "values"]


def values(week: Week, packed: PackedWeek) -> dict[str, Decimal]:
    """Give the value of every priority that there is, whatever matters in the week.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    dict of str to Decimal
        Name to value, in the priority's unit.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> set(values(week, solved.packed)) == set(PRIORITIES)
    True
    """
    return {name: priority.value(week, packed) for name, priority in PRIORITIES.items()}
