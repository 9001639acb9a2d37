"""Liking: how much the eaters like what they get."""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum the points of the dishes; eaters of one group like the same."""
    total = Sum()
    for slot in board.slots:
        for dish, liking in board.week.eaters[slot.eaters[0]].likes.items():
            total.plus(board.times(slot, dish), liking)
    return total


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Sum how much the eaters like their dishes."""
    points = (week.eaters[lunch.eater].likes.get(lunch.dish, 0) for lunch in packed.lunches)
    return Decimal(sum(points))


PRIORITY = Priority(
    name="liking",
    title="liking",
    unit="points",
    total=total,
    value=value,
    lost="the week would be liked less",
    lost_by="the week would be liked less, by {number} {unit}",
    change="of liking",
    column="liked",
    most=True,
)
