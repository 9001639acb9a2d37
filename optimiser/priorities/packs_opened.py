"""Packs opened: how many packs of the larder the week opens, those that keep among them.

For who has little room for what is open. What a dish weighs out of a cupboard has no pack.
"""

from __future__ import annotations

from decimal import Decimal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum the packs opened: of what spoils day by day, of what keeps as many as hold its use.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Whole packs, at its least what `value` counts; of what a dish weighs out there are none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> board = Program(read_week("minimal")).board
    >>> board.sheet.reach(total(board))
    (0, 8)
    """
    total = Sum()
    for opened in board.opened_counts.values():
        for packs in opened.values():
            total.add(packs)
    for name, item in board.week.larder.items():
        if item.opened_life is None and not item.loose:
            total.plus(_packs_that_keep(board, name))
    return total


def _packs_that_keep(board: Board, name: str) -> Sum:
    """Count packs that hold all that is used of an item; none where no dish uses it."""
    used = Sum()
    for slot in board.slots:
        used.plus(board.used(slot, name))
    if not used.terms:
        return Sum()
    size = board.pack(name)
    packs = board.sheet.count(-(-board.sheet.reach(used)[1] // size), f"packs of {name}")
    board.sheet.bound(Sum([(packs, size)]).plus(used, -1), low=0)
    return Sum([(packs, 1)])


def value(week: Week, packed: PackedWeek) -> Decimal:
    """Count the packs opened.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    Decimal
        Whole packs, 0 or more.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> [(pack.item, pack.packs) for pack in solved.packed.packs]
    [('hard cheese', 1), ('apple', 1), ('apple', 1)]
    >>> value(week, solved.packed)
    Decimal('3')
    """
    return Decimal(sum(pack.packs for pack in packed.packs))


PRIORITY = Priority(
    name="packs_opened",
    title="packs opened",
    unit="packs",
    total=total,
    value=value,
    lost="more packs would be opened",
    lost_by="{number} more {unit} would be opened",
    change="opened",
    column="opened",
)
