"""Minutes: how long it takes to put the lunches together."""

from __future__ import annotations

from decimal import Decimal

from models.week import sums
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum the minutes of the dishes.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Whole minutes, 0 or more; cooking is not in them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> total(program.board).value(solved.counts)
    19
    """
    total = Sum()
    for slot in board.slots:
        for dish in board.week.dishes.values():
            total.plus(board.times(slot, dish.name), dish.minutes)
    return total


PRIORITY = Priority(
    name="minutes",
    title="packing time",
    unit="min",
    total=total,
    value=lambda week, packed: Decimal(sums.minutes(week, packed)),
    lost="the week would take more minutes",
    lost_by="the week would take {number} {unit} more",
    change="of packing",
    column="min",
)
