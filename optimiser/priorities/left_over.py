"""What is left over: portions that no lunch takes, and what spoils in opened packs."""

from __future__ import annotations

from models.week import sums
from models.words.units import GRAM
from optimiser.board import scale
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.priorities.base import Priority


def total(board: Board) -> Sum:
    """Sum it in millionths of a gram: thousandths of a pack times thousandths of its mass.

    Parameters
    ----------
    board
        The board of a week.

    Returns
    -------
    Sum
        As many steps as `PER_UNIT` squared are a gram.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> board = Program(read_week("minimal")).board
    >>> [at // PRIORITY.per_unit for at in board.sheet.reach(total(board))]
    [0, 1200]
    """
    total = Sum()
    for name, batch in board.week.batches.items():
        total.plus(board.wasted(name), scale.up(batch.portion, GRAM) * scale.PER_UNIT)
    for name, opened in board.opened_counts.items():
        item = board.week.larder[name]
        if item.mass is None:  # pragma: no cover - reading asks for it
            raise ValueError(f"{name} has no mass")
        mass = scale.up(item.mass, GRAM) * board.grain(name)
        total.add(board.unspoilt[name], -mass)
        for day, packs in opened.items():
            total.add(packs, board.pack(name) * mass)
            total.plus(board.used_on(day, name), -mass)
    return total


PRIORITY = Priority(
    name="left_over",
    title="left over",
    unit="g",
    total=total,
    value=sums.left_over,
    lost="food would be left over",
    lost_by="{number} {unit} more would be left over",
    change="left over",
    column="g left",
    per_unit=scale.PER_UNIT * scale.PER_UNIT,
    digits=1,
)
