"""Of weeks that are equal in every priority, one and the same: the first, lunch by lunch.

The order of the file is one number, and several weeks may have it. So that a plan does not hang
on how a solver searches, lunches are compared one after another, eater by eater and day by day:
the dish and portions that come first, then the options, then fewer extras, then fewer thawed.
Two weeks that are equal in all of these are the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from optimiser.board.board import Board, Slot
from optimiser.board.rows import Sum
from optimiser.solve.certificate import Box

TIES_WORK: Final = 0.1
"""Work, in CP-SAT's own unit, for one of several equal weeks; beyond it any of them is taken."""

SPAN: Final = 2**44
"""Most that one of the sums may come to: CP-SAT adds in 64 bits, all ranks of a lunch at once."""


def ties(board: Board, box: Box) -> Iterator[Sum]:
    """Give sums, each to be made as small as can be with those before it held.

    Parameters
    ----------
    board
        A board of single eaters.
    box
        How far its counts may still go: what is fixed has no part in it.

    Yields
    ------
    Sum
        Over the ranks of some lunches, the first weighing most; none where lunches are counted
        together.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> [total.value(solved.counts) for total in ties(program.board, program.board.sheet.bounds)]
    [49]
    >>> list(ties(program.board, [(count, count) for count in solved.counts]))
    []
    """
    if board.counts_alike:
        return
    together: list[tuple[Sum, int]] = []
    size = 1
    for slot in board.slots:
        for rank in _ranks(board, slot):
            most = _most(rank, box)
            if most and size * (most + 1) > SPAN:
                yield _folded(together)
                together, size = [], 1
            if most:
                together.append((rank, most))
                size *= most + 1
    if together:
        yield _folded(together)


def _most(rank: Sum, box: Box) -> int:
    """Give the largest rank that there may be; 0 where there is but one."""
    free = [(weight, box[at]) for at, weight in rank.terms.items() if box[at][1]]
    if all(low == high for _, (low, high) in free):
        return 0
    return max(weight * high for weight, (_, high) in free)


def _folded(ranks: list[tuple[Sum, int]]) -> Sum:
    total, weight = Sum(), 1
    for rank, most in reversed(ranks):
        total.plus(rank, weight)
        weight *= most + 1
    return total


def _ranks(board: Board, slot: Slot) -> Iterator[Sum]:
    """Rank what a lunch may be, by what counts first."""
    servings = board.serving_counts[slot.at].values()
    rank = Sum((count, at) for at, count in enumerate(servings))
    yield rank.plus(board.bought(slot), len(servings))
    for choice in board.week.choices.values():
        rank = Sum()
        for at, option in enumerate(choice.options):
            rank.plus(board.chosen(slot, choice.name, option.item), at)
        yield rank
    for counts in (board.extra_counts[slot.at], board.thaw_counts[slot.at]):
        yield from (Sum([(count, 1)]) for count in counts.values())
