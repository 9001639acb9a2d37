"""Proofs written down: for each priority numbers that anyone can add up, in a tree where need be.

The search for the best week asks CP-SAT, whose word nobody can check. Here its plan is known, and
what remains is to show that no week is better, by relaxations alone: where one is not enough, the
weeks fall in two by how many packs are opened, how often something comes, or by one count, until
every end has a bound. How many relaxations may be asked is counted, so that a proof is the same
everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from math import floor
from typing import Final

from optimiser.board.rows import Row, Sheet, Sum
from optimiser.solve.certificate import (
    UNIT,
    Box,
    Certificate,
    Fork,
    Known,
    Leaf,
    Tree,
    better,
    on_grid,
)
from optimiser.solve.program import Level, Program
from optimiser.solve.relaxation import Relaxation
from optimiser.solve.totals import Totals, with_totals

WORK: Final = 300_000
"""So many counts times relaxations for one tree."""
MOST: Final = 300
"""The largest number of relaxations for one tree, however small the week."""
APART: Final = 1e-5
"""A count that is further than this from a whole number is broken."""


def certificates(program: Program, reached: Mapping[str, Decimal]) -> list[Certificate]:
    """Prove of each priority what relaxations can, those before it as in the plan.

    Parameters
    ----------
    program
        A program.
    reached
        What its plan reaches, for each priority's name; a search that was broken off may have
        left counts beside it that say less.

    Returns
    -------
    list of Certificate
        In the order of the priorities; fewer where the relaxation has no answer.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> reached = {value.name: value.value for value in solved.values}
    >>> all(made.exact <= made.value * UNIT for made in certificates(program, reached))
    True
    """
    told, totals = program.told, with_totals(program.board, program.plates)
    relaxation = Relaxation(totals.sheet, [level.total for level in program.levels])
    own = len(program.board.sheet.bounds)
    box, held = list(program.board.sheet.bounds), list[Row]()
    made: list[Certificate] = []
    work = min(MOST, WORK // len(totals.sheet.bounds))
    trees: _Trees | None = None
    for at, level in enumerate(program.levels):
        if relaxation.least(level.total) is None:
            break
        value = level.steps(reached[level.name])
        rows, before = relaxation.duals()
        rows = {place: dual for place, dual in rows.items() if place < len(told)}
        bound = Known(told, held, box).bound(level.total, rows, before)
        tree = None
        if on_grid(level, bound.least) < value:
            trees = trees or _Trees(program, totals, relaxation)
            cut = [*held, Row.of(level.total, high=better(level, value))]
            known = Known(told, cut, bound.narrowed(box, better(level, value)))
            tree = trees.grown(at, level, known, value, work)
        made.append(Certificate(level.name, value, bound.exact, rows, before, tree))
        box = bound.narrowed(box, value)
        held.append(Row.of(level.total, high=value))
        relaxation.within([*box, *totals.sheet.bounds[own:]])
        relaxation.ceiling(at, value)
    return made


class _Trees:
    """Grows trees over the totals of a program, then over its counts."""

    def __init__(self, program: Program, totals: Totals, relaxation: Relaxation) -> None:
        self._totals, self._relaxation = totals, relaxation
        self._own = len(program.board.sheet.bounds)
        self._rows = len(program.told)
        self._groups = (totals.packs, totals.openings, totals.servings, range(self._own))
        self._none = _None(totals.sheet, self._rows, program.levels)
        self._at, self._level, self._value = 0, program.levels[0], 0
        self._work, self._spent, self._shown = 0, 0, 0.0

    def grown(self, at: int, level: Level, known: Known, value: int, work: int) -> Tree | None:
        """Grow a tree that shows a value of a level to be the least."""
        self._at, self._level, self._value = at, level, value
        self._work, self._spent, self._shown = work, 0, 0.0
        self._none.held(at, [*known.held])
        box = [*known.box, *self._totals.sheet.bounds[self._own :]]
        return self._tree(known, box, [])

    def _tree(self, known: Known, box: Box, way: list[tuple[int, bool]]) -> Tree | None:
        self._spent += 1
        if self._is_too_much():
            return None
        self._relaxation.within(box)
        bound = self._relaxation.least(self._level.total)
        if bound is None:
            return self._leaf(known, *self._none.duals(box), way)
        if on_grid(self._level, bound.least) >= self._value:
            rows, before = self._relaxation.duals()
            return self._leaf(known, rows, before | {self._at: -UNIT}, way)
        at, value = self._broken(box)
        return None if at is None else self._fork(known, box, way, at, floor(value))

    def _is_too_much(self) -> bool:
        """Tell whether the work is done, or by what is shown so far would never do."""
        hopeless = 4 * self._spent > self._work and self._shown * 2 * self._work < self._spent
        return self._spent > self._work or hopeless

    def _broken(self, box: Box) -> tuple[int | None, float]:
        values = self._relaxation.broken(range(len(box)))
        for group in self._groups:
            off = {at: abs(values[at] - round(values[at])) for at in group}
            at = max(off, key=lambda at: (off[at], -at), default=None)
            if at is not None and off[at] > APART:
                return at, values[at]
        return None, 0.0

    def _fork(
        self, known: Known, box: Box, way: list[tuple[int, bool]], at: int, most: int
    ) -> Tree | None:
        counts = tuple(self._totals.sums[at].terms) if at in self._totals.sums else (at,)
        sides: list[Tree] = []
        for is_above, (low, high) in enumerate(((box[at][0], most), (most + 1, box[at][1]))):
            half = [*box[:at], (low, high), *box[at + 1 :]]
            row = Row.of(
                Sum((count, 1) for count in counts),
                low=low if is_above else None,
                high=None if is_above else high,
            )
            side = self._tree(known.beyond(row), half, [*way, (at, bool(is_above))])
            if side is None:
                return None
            if isinstance(side, Leaf) and len(way) not in side.forks:
                alone = known.bound(Sum(), side.rows, side.before, side.forks).exact
                if alone > 0:
                    # It shows as much without what the fork says.
                    return Leaf(alone, side.rows, side.before, side.forks)
            sides.append(side)
        return Fork(counts, most, *sides)

    def _leaf(
        self,
        known: Known,
        duals: Mapping[int, int],
        before: Mapping[int, int],
        way: list[tuple[int, bool]],
    ) -> Leaf | None:
        rows = {at: dual for at, dual in duals.items() if at < self._rows}
        forks: dict[int, int] = {}
        for place, count in enumerate(self._totals.sums, self._rows):
            # What ties a total to its counts is, times its dual, what the last fork said of it.
            dual = duals.get(place, 0)
            depths = [depth for depth, step in enumerate(way) if step == (count, dual > 0)]
            if dual and depths:
                forks[depths[-1]] = dual
        exact = known.bound(Sum(), rows, before, forks).exact
        self._shown += 0.5 ** len(way)
        return Leaf(exact, rows, before, forks) if exact > 0 else None


class _None:
    """Shows that no week is in a box: rows are stretched, and they must be, by some bound."""

    def __init__(self, sheet: Sheet, own: int, levels: tuple[Level, ...]) -> None:
        bounds = [*sheet.bounds, (0, 2**30)]
        slack = len(sheet.bounds)
        self._places: list[int] = []
        rows: list[Row] = []
        for place, row in enumerate(sheet.rows):
            if row.when is not None:
                continue
            if place >= own:
                self._places.append(place)
                rows.append(row)
                continue
            weight = _power(row)
            for low, high, sign in ((row.low, None, 1), (None, row.high, -1)):
                if (low, high) != (None, None):
                    self._places.append(place)
                    rows.append(Row((*row.terms, (slack, sign * weight)), low, high, None))
        stretched = [
            Sum([*level.total.terms.items(), (slack, -_power(Row.of(level.total)))])
            for level in levels
        ]
        self._relaxation = Relaxation(Sheet(bounds, [*sheet.names, "stretched"], rows), stretched)
        # Its duals may be any multiple: of a large one what whole numbers round off is nothing.
        self._aim = Sum([(slack, 2**20)])

    def held(self, last: int, held: list[Row]) -> None:
        """Hold the priorities up to one."""
        for at in range(last + 1):
            self._relaxation.ceiling(at, held[at].high)

    def duals(self, box: Box) -> tuple[dict[int, int], dict[int, int]]:
        """Give duals of rows and priorities by which nothing is in a box."""
        self._relaxation.within([*box, (0, 2**30)])
        self._relaxation.least(self._aim)
        duals, before = self._relaxation.duals()
        rows: dict[int, int] = {}
        for at, dual in duals.items():
            place = self._places[at]
            rows[place] = rows.get(place, 0) + dual
        return rows, before


def _power(row: Row) -> int:
    most = max((abs(weight) for _, weight in row.terms), default=1)
    return 1 << max(0, most.bit_length() - 1)
