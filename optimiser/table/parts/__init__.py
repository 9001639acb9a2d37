"""The parts of the page, in the order in which they are listed there. A new one is a line here."""

from __future__ import annotations

from optimiser.table.part import PagePart
from optimiser.table.parts import (
    change,
    food,
    lunch,
    mend,
    sides,
    start,
    take,
    today,
    volumes,
    week,
    who,
)

PARTS: tuple[PagePart, ...] = (
    week.PART,
    lunch.PART,
    volumes.PART,
    mend.PART,
    food.PART,
    who.PART,
    sides.PART,
    today.PART,
    change.PART,
    take.PART,
    start.PART,
)
