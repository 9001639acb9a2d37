"""Repeats: how often a dish comes to an eater again."""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum over groups of eaters and dishes the times beyond the first.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Whole times, at its least what `value` counts.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> total(program.board).value(solved.counts)
    1
    """
    total = Sum()
    for group in board.groups:
        for dish in board.week.dishes.values():
            if not dish.same_as:
                total.plus(board.again(group, dish.name))
    return total


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Count, over eaters, every time a dish comes again.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    Decimal
        Whole times, 0 or more; a dish that is `same_as` another counts as that.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> [lunch.dish for lunch in solved.packed.lunches]
    ['Rice, beans and cheese', 'Rice, beans and apple', 'Rice, beans and apple']
    >>> value(week, solved.packed)
    Decimal('1')
    """
    eaten = [(lunch.eater, week.dishes[lunch.dish].counts_as) for lunch in packed.lunches]
    return Decimal(len(eaten) - len(set(eaten)))


PRIORITY = Priority(
    name="repeats",
    title="repeats of a dish",
    unit="repeats",
    total=total,
    value=value,
    lost="dishes would come again more often",
    lost_by="there would be {number} more {unit} of a dish",
    change="of a dish",
    column="again",
)
