"""Totals of a week by which its many possible weeks can be told apart, each as a count.

No relaxation sees that packs are opened whole, nor that a dish comes a whole number of times in
a week: so the weeks that there may be are cut in parts by these totals.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from optimiser.board.board import Board
from optimiser.board.rows import Row, Sheet, Sum


@dataclass(frozen=True, slots=True)
class Totals:
    """A board's sheet with a count more for each total.

    Attributes
    ----------
    sheet
        The board's counts and rows first, in their order.
    packs
        How many packs of something are opened in the week.
    openings
        How many are opened on a day: counts of the board itself.
    servings
        How often an option or a dish comes.
    sums
        The sum that each count of a total stands for.
    """

    sheet: Sheet
    packs: list[int]
    openings: list[int]
    servings: list[int]
    sums: dict[int, Sum]

    @property
    def all(self) -> list[int]:
        """All of them, packs first."""
        return [*self.packs, *self.openings, *self.servings]


def with_totals(board: Board, extra: Iterable[Row] = ()) -> Totals:
    """Copy a board's sheet and add the totals.

    Parameters
    ----------
    board
        The board of a week, all its rules posted.
    extra
        Rows to hold besides its own.

    Returns
    -------
    Totals
        On a sheet of their own.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> board = Program(read_week("minimal")).board
    >>> totals = with_totals(board)
    >>> [totals.sheet.names[at] for at in totals.servings][:1]
    ['Rice, beans and cheese']
    """
    own = board.sheet
    sheet = Sheet(list(own.bounds), list(own.names), [*own.rows, *extra])
    totals = Totals(sheet, [], _openings(board), [], {})
    for places, sums in (
        (totals.packs, _of_packs(board)),
        (totals.servings, _of_servings(board)),
    ):
        for total, name in sums:
            low, high = sheet.reach(total)
            places.append(sheet.count(high, name, low))
            totals.sums[places[-1]] = total
            sheet.bound(Sum([(places[-1], -1)]).plus(total), low=0, high=0)
    return totals


def _openings(board: Board) -> list[int]:
    return [
        count
        for item, counts in board.opened_counts.items()
        for count in counts.values()
        if board.pack(item) > 1
    ]


def _of_packs(board: Board) -> Iterator[tuple[Sum, str]]:
    for item, by_day in board.opened_counts.items():
        if board.pack(item) > 1 and len(by_day) > 1:
            yield Sum((count, 1) for count in by_day.values()), f"{item} opened"


def _of_servings(board: Board) -> Iterator[tuple[Sum, str]]:
    for choice in board.week.choices.values():
        for option in choice.options:
            total = Sum()
            for slot in board.slots:
                total.plus(board.chosen(slot, choice.name, option.item))
            if len(total.terms) > 1:
                yield total, f"{choice.name} {option.item}"
    for dish in board.week.dishes:
        total = Sum()
        for slot in board.slots:
            total.plus(board.times(slot, dish))
        if len(total.terms) > 1:
            yield total, dish
