"""Liking: how much the eaters like what they get."""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum the points of the dishes; eaters of one group like the same.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Points, which may be below 0.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> total(program.board).value(solved.counts)
    2
    """
    total = Sum()
    for slot in board.slots:
        for dish, liking in board.week.eaters[slot.eaters[0]].likes.items():
            total.plus(board.times(slot, dish), liking)
    return total


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Sum how much the eaters like their dishes.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    Decimal
        Whole points, which may be below 0; a dish of which nobody said anything has 0.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> value(week, solved.packed)
    Decimal('2')
    """
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
