"""Freshness: how long past its best-by day food from the fridge is eaten."""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum days past best-by over portions that were not frozen.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Portion-days, 0 or more; what is thawed counts none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> total(program.board).value(solved.counts)
    3
    """
    total = Sum()
    for name, batch in board.week.batches.items():
        for slot in board.slots:
            late = (slot.day - batch.fresh_until).days
            if late > 0:
                total.plus(board.portions(slot, name), late)
                total.plus(board.thawed(slot, name), -late)
    return total


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Sum days over portions: portions from the fridge times days past the fresh end.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    Decimal
        Whole portion-days, 0 or more.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> value(week, solved.packed)
    Decimal('3')
    """
    total = 0
    for lunch in packed.lunches:
        for part in lunch.portions:
            late = (lunch.day - week.batches[part.batch].fresh_until).days
            total += max(0, late) * (part.portions - part.thawed)
    return Decimal(total)


PRIORITY = Priority(
    name="freshness",
    title="days past best-by",
    unit="days",
    total=total,
    value=value,
    lost="more would be eaten after its best-by day",
    lost_by="portions would be {number} more {unit} past best-by, added up",
    change="past best-by",
    column="past",
)
