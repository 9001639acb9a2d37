"""The order of the file, always last: of weeks that are as good it takes one and the same."""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum steps down the file: later dishes on earlier days, and later options, cost more.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Whole steps, 0 or more.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> total(program.board).value(solved.counts)
    3
    """
    total = Sum()
    days = board.week.days
    for slot in board.slots:
        for rank, dish in enumerate(board.week.dishes):
            total.plus(board.times(slot, dish), rank * (len(days) - days.index(slot.day)))
        for choice in board.week.choices.values():
            for rank, option in enumerate(choice.options):
                total.plus(board.chosen(slot, choice.name, option.item), rank)
    return total


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Count the steps down the file.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    Decimal
        Whole steps: a dish's rank from 0 times the days left, its own among them, and the rank of
        each option.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> [lunch.dish for lunch in solved.packed.lunches]
    ['Rice, beans and cheese', 'Rice, beans and apple', 'Rice, beans and apple']
    >>> value(week, solved.packed)
    Decimal('3')
    """
    ranks = {name: at for at, name in enumerate(week.dishes)}
    last = len(week.days)
    total = 0
    for lunch in packed.lunches:
        total += ranks[lunch.dish] * (last - week.days.index(lunch.day))
        for choice, item in lunch.options.items():
            options = [option.item for option in week.choices[choice].options]
            total += options.index(item)
    return Decimal(total)


PRIORITY = Priority(
    name=TIE_BREAK,
    title="order of the file",
    unit="steps",
    total=total,
    value=value,
    lost="the order of the file would be kept less",
    lost_by="the order of the file would be kept less, by {number} {unit}",
    change="of the order of the file",
    column="steps",
)
