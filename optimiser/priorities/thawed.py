"""Thawed: how many portions come from the freezer."""

from __future__ import annotations

from decimal import Decimal

from models.week import sums
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum the portions that come from the freezer.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        Whole portions, 0 or more.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> from optimiser.solve.program import Program
    >>> text = ready_text("minimal").replace("made: 2026-11-29", "made: 2026-11-27, freezes: yes")
    >>> board = Program(every_fault("mine.yaml", text)[0]).board
    >>> board.sheet.reach(total(board))
    (0, 6)
    """
    total = Sum()
    for slot in board.slots:
        for name in board.week.batches:
            total.plus(board.thawed(slot, name))
    return total


PRIORITY = Priority(
    name="thawed",
    title="thawed",
    unit="portions",
    total=total,
    value=lambda week, packed: Decimal(sums.thawed(packed)),
    lost="more would be thawed",
    lost_by="{number} more {unit} would be thawed",
    change="thawed",
    column="thawed",
)
