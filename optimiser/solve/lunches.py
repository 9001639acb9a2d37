"""Every way a lunch can be: columns, as the rows of that lunch alone allow them.

A column is a dish, its portions, an option of each choice, any number of extras, and what of it is
thawed. A count that only helps to write a rule down, as which compartments of a box hold what is
wet, takes whatever value the rows allow.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from optimiser.board.board import Board, Slot
from optimiser.board.rows import Row
from optimiser.solve.counters import Ints, NotForPassesError

MOST_COLUMNS = 20_000
"""Ways a lunch can be; of more the solver is asked."""
_MOST_HELPERS = 10


def own_counts(board: Board, slot: Slot) -> Iterator[int]:
    """List the counts of a lunch.

    Parameters
    ----------
    board
        A board of single eaters.
    slot
        One of its slots.

    Yields
    ------
    int
        Counts of servings, options, extras and thawed portions; of options some twice.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> board = Program(read_week("minimal")).board
    >>> own = {*own_counts(board, board.slots[0])}
    >>> own.isdisjoint(own_counts(board, board.slots[1]))
    True
    """
    for of in (board.serving_counts, board.option_counts, board.extra_counts, board.thaw_counts):
        yield from of[slot.at].values()


class LunchWays:
    """The columns of one lunch.

    Parameters
    ----------
    board
        A board of single eaters.
    slot
        One of its slots.
    rows
        Rows over its counts and its helpers alone.
    helpers
        Counts that no other rows know.

    Raises
    ------
    NotForPassesError
        When there are too many ways, or a row that helpers stand in cannot be told.
    """

    def __init__(
        self, board: Board, slot: Slot, rows: Sequence[Row], helpers: Sequence[int]
    ) -> None:
        self._bounds = board.sheet.bounds
        self._place: dict[int, int] = {}
        thaws = board.thaw_counts[slot.at]
        self.table = self._sides(board, slot)
        helped, plain = _parted(rows, helpers)
        if _parted(helped, thaws.values())[0] or len(helpers) > _MOST_HELPERS:
            raise NotForPassesError("a lunch has too many ways to lie in its box")
        late, soon = _parted(plain, thaws.values())
        self.keep(self._allowed(soon, {}) & self._helped(helped, helpers))
        for name, count in thaws.items():
            self._thaw(self.times(board.portions(slot, name).terms.items()), count)
            # A row is asked as soon as all its counts are there.
            late, soon = _parted(late, thaws.values() - self._place.keys())
            self.keep(self._allowed(soon, {}))

    def times(self, terms: Iterable[tuple[int, int]]) -> Ints:
        """StepsLeft a sum out for each column.

        Parameters
        ----------
        terms
            Counts and weights; those of other lunches count nothing.

        Returns
        -------
        Ints
            One for each column.
        """
        known = [(self._place[count], weight) for count, weight in terms if count in self._place]
        if not known:
            return np.zeros(len(self.table), np.int64)
        places, weights = zip(*known, strict=True)
        return self.table[:, list(places)] @ np.array(weights, np.int64)

    def keep(self, fits: NDArray[np.bool_]) -> None:
        """Keep some columns.

        Parameters
        ----------
        fits
            For each column, whether to keep it.
        """
        self.table = self.table[fits]

    def counts(self, column: int) -> Iterator[tuple[int, int]]:
        """Write a column as counts of the program.

        Parameters
        ----------
        column
            Its number.

        Yields
        ------
        tuple of int and int
            A count of this lunch, and its value.
        """
        for count, place in self._place.items():
            yield count, int(self.table[column, place])

    def _sides(self, board: Board, slot: Slot) -> Ints:
        """Write every serving with every option of its choices and any number of its extras."""
        at = slot.at
        ways: list[tuple[tuple[int, int], ...]] = []
        for name, dish in board.week.dishes.items():
            parts = [[(board.serving_counts[at][x], 1) for x in board.servings[name]]]
            for choice in dish.choices:
                options = board.week.choices[choice].options
                parts.append([(board.option_counts[at][name, choice, x.item], 1) for x in options])
            for extra in dish.extras:
                count = board.extra_counts[at][name, extra.helping.item]
                parts.append([(count, times) for times in range(extra.most + 1)])
            if prod(map(len, parts)) + len(ways) > MOST_COLUMNS:
                raise NotForPassesError("a lunch has too many ways")
            ways += product(*parts)
        thaws = set(board.thaw_counts[at].values())
        for count in own_counts(board, slot):
            if count not in thaws:
                self._place.setdefault(count, len(self._place))
        table = np.zeros((len(ways), len(self._place)), np.int64)
        for number, way in enumerate(ways):
            for count, times in way:
                table[number, self._place[count]] = times
        return table

    def _thaw(self, taken: Ints, count: int) -> None:
        """Let any number of the portions that are taken of a batch be thawed ones."""
        ways = np.minimum(taken, self._bounds[count][1]) + 1
        if ways.sum() > MOST_COLUMNS:
            raise NotForPassesError("a lunch has too many ways")
        thawed = np.arange(ways.sum()) - np.repeat(np.cumsum(ways) - ways, ways)
        self._place[count] = self.table.shape[1]
        self.table = np.column_stack([np.repeat(self.table, ways, axis=0), thawed])

    def _helped(self, rows: Sequence[Row], helpers: Sequence[int]) -> NDArray[np.bool_]:
        """Tell which columns rows allow with some values of helpers."""
        yes_or_no = [count for count in helpers if self._bounds[count] == (0, 1)]
        fits = np.full(len(self.table), not rows)
        for values in product((0, 1), repeat=len(yes_or_no)):
            way = dict(zip(yes_or_no, values, strict=True))
            if rows and all(_holds(row, way) for row in rows):
                fits |= self._allowed(rows, way)
        return fits

    def _allowed(self, rows: Sequence[Row], way: Mapping[int, int]) -> NDArray[np.bool_]:
        """Tell which columns rows allow, some helpers set so, each of the others at some value."""
        fits = np.ones(len(self.table), bool)
        ends: dict[int, tuple[Ints, Ints]] = {}
        for row in rows:
            fixed = sum(weight * way[count] for count, weight in row.terms if count in way)
            total = self.times(row.terms) + fixed
            free = [x for x in row.terms if x[0] not in way and x[0] not in self._place]
            if not free:
                fits &= _within(total, row)
                continue
            (count, weight), *others = free
            if others or weight <= 0:
                raise NotForPassesError("a row of one lunch has more than one count of its own")
            low, high = ends.get(count) or _ends(self._bounds[count], len(total))
            if row.low is not None:
                low = np.maximum(low, -((total - row.low) // weight))
            if row.high is not None:
                high = np.minimum(high, (row.high - total) // weight)
            ends[count] = low, high
        for low, high in ends.values():
            fits &= low <= high
        return fits


def _ends(bounds: tuple[int, int], size: int) -> tuple[Ints, Ints]:
    return np.full(size, bounds[0]), np.full(size, bounds[1])


def _parted(rows: Iterable[Row], counts: Iterable[int]) -> tuple[list[Row], list[Row]]:
    """Part rows in those over any of some counts, and the others."""
    wanted = set(counts)
    over: list[Row] = []
    others: list[Row] = []
    for row in rows:
        (others if all(count not in wanted for count, _ in row.terms) else over).append(row)
    return over, others


def _holds(row: Row, values: Mapping[int, int]) -> bool:
    """Tell whether a row over these counts alone holds; of any other nothing is told."""
    if any(count not in values for count, _ in row.terms):
        return True
    total = sum(weight * values[count] for count, weight in row.terms)
    return (row.low is None or total >= row.low) and (row.high is None or total <= row.high)


def _within(total: Ints, row: Row) -> NDArray[np.bool_]:
    fits = np.ones(len(total), bool)
    if row.low is not None:
        fits &= total >= row.low
    if row.high is not None:
        fits &= total <= row.high
    return fits
