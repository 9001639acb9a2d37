"""The names, units and directions of what a week should do well.

Here and not in the program, because the week file, the plan file and the report
say them too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Priority:
    """One thing a week should do well.

    Attributes
    ----------
    name
        The word used in files and on screens.
    title
        How a report says it.
    unit
        What its value counts.
    most
        True when more is better.
    """

    name: str
    title: str
    unit: str
    most: bool = False


PRIORITIES: dict[str, Priority] = {
    item.name: item
    for item in (
        Priority("left_over", "left over", "g"),
        Priority("repeats", "repeats of a dish", "repeats"),
        Priority("freshness", "eaten after best-by", "portion-days"),
        Priority("thawed", "thawed", "portions"),
        Priority("liking", "liking", "points", most=True),
        Priority("cost", "cost", "money"),
        Priority("minutes", "packing time", "min"),
        Priority("file_order", "order of the file", "steps"),
    )
}

TIE_BREAK = "file_order"
"""Always last: it makes the plan of a file one and the same."""

DEFAULT_ORDER: tuple[str, ...] = (
    "left_over",
    "repeats",
    "freshness",
    "thawed",
    "liking",
    "cost",
    "minutes",
)


def ranked(names: Iterable[str]) -> list[str]:
    """Give the priorities that someone named, in order, without the tie-break."""
    return [name for name in names if name != TIE_BREAK]
