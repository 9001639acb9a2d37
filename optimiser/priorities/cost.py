"""Cost: batches whole, packs that spoil whole, of packs that keep the share that is used."""

from __future__ import annotations

from models.week import sums
from optimiser.board import scale
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import MONEY, Priority


def total(board: Board) -> Sum:
    """Sum it in hundredths of a cent.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        What the batches cost is its constant, whatever is eaten.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> total(program.board).value(solved.counts)
    13800
    """
    batches = sum((scale.money(batch.cost) for batch in board.week.batches.values()), 0)
    total = Sum(constant=batches)
    for slot in board.slots:
        total.plus(board.kept_cost(slot))
    for name, opened in board.opened_counts.items():
        for packs in opened.values():
            total.add(packs, scale.money(board.week.larder[name].price))
    return total


PRIORITY = Priority(
    name="cost",
    title="cost",
    unit=MONEY,
    total=total,
    value=sums.cost,
    lost="the week would cost more",
    lost_by="the week would cost {number} more",
    change="of cost",
    per_unit=scale.PER_MONEY,
    digits=2,
)
