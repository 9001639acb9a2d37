"""The linear relaxation of a program: counts may be broken, so it is solved in milliseconds.

What it says is a bound: no week of whole counts does better. The relaxation is solved by
GLOP, which comes with CP-SAT and keeps its basis from question to question, in floating
point; the bound is summed up again from its duals in whole numbers, and so is what follows
from it for each count, so that a proof never rests on rounding.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from optimiser.board.rows import Row, Sheet, Sum
from optimiser.solve.certificate import UNIT, Box, LowerBound, bound_of

if TYPE_CHECKING:
    from ortools.linear_solver import pywraplp


class Relaxation:
    """The relaxation of a sheet, kept warm while boxes, sums and ceilings change.

    Parameters
    ----------
    sheet
        Counts and rows; a row that holds only under a condition is left out.
    sums
        Sums whose ceilings will change.

    Examples
    --------
    >>> sheet = Sheet()
    >>> apples, pears = sheet.count(9, "apples"), sheet.count(9, "pears")
    >>> sheet.bound(Sum([(apples, 2), (pears, 3)]), low=8)
    >>> together = Sum([(apples, 1), (pears, 1)])
    >>> relaxation = Relaxation(sheet, [together])
    >>> relaxation.least(together).least  # 8/3 when pears may be broken
    3
    >>> relaxation.within([(0, 9), (0, 1)])
    >>> relaxation.least(together).least  # 1 + 5/2
    4
    """

    def __init__(self, sheet: Sheet, sums: Sequence[Sum] = ()) -> None:
        from ortools.linear_solver import pywraplp  # noqa: PLC0415 - only where rows are many

        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        # Without it the basis is kept.
        self._how = pywraplp.MPSolverParameters()
        self._how.SetIntegerParam(self._how.PRESOLVE, self._how.PRESOLVE_OFF)
        self._counts = [self._solver.NumVar(low, high, "") for low, high in sheet.bounds]
        self.box: Box = list(sheet.bounds)
        self._own = [(row, self._hold(row)) for row in sheet.rows if row.when is None]
        self._rows: list[_Held] = [held for _, held in self._own]
        self._asked: dict[Row, _Held] = {}
        self._places = [at for at, row in enumerate(sheet.rows) if row.when is None]
        self._duals: list[int] = []
        self._ceilings = [self._hold(Row.of(total)) for total in sums]
        self._rows += self._ceilings
        self._shifts = [total.constant for total in sums]
        self._aim = self._solver.Objective()
        self._aim.SetMinimization()
        self._aimed: tuple[int, ...] = ()
        self._scale = 1.0

    def _hold(self, row: Row) -> _Held:
        # Numbers near one are easier in floating point; powers of two change no digit.
        scale = _power(weight for _, weight in row.terms)
        infinity = self._solver.infinity()
        held = self._solver.Constraint(
            -infinity if row.low is None else row.low / scale,
            infinity if row.high is None else row.high / scale,
        )
        for count, weight in row.terms:
            held.SetCoefficient(self._counts[count], weight / scale)
        return _Held(held, scale, row.terms, row.low, row.high)

    def within(self, box: Box) -> None:
        """Put other ranges in place of those of all counts.

        Parameters
        ----------
        box
            The least and most of every count of the sheet.
        """
        for at, (now, new) in enumerate(zip(self.box, box, strict=True)):
            if now != new:
                self._counts[at].SetBounds(*new)
        self.box = list(box)

    def ceiling(self, at: int, most: int | None) -> None:
        """Keep one of the sums at or below a value, or let it go.

        Parameters
        ----------
        at
            Which of the sums given at first.
        most
            The largest that it may be; None lets it go.
        """
        self._bound(self._ceilings[at], None, None if most is None else most - self._shifts[at])

    @contextmanager
    def asked(self, rows: Iterable[Row], dropped: Collection[str] = ()) -> Iterator[None]:
        """Hold some rows more, and none of some rules, until the work is done.

        Parameters
        ----------
        rows
            Rows over the counts of the sheet.
        dropped
            Keys of rules.

        Examples
        --------
        >>> sheet = Sheet()
        >>> apples = Sum([(sheet.count(9, "apples"), 1)])
        >>> sheet.bound(apples, low=2, rule="at least two")
        >>> relaxation = Relaxation(sheet)
        >>> with relaxation.asked([Row.of(apples, low=1)], {"at least two"}):
        ...     relaxation.least(apples).least
        1
        >>> relaxation.least(apples).least
        2
        """
        more = []
        for row in rows:
            if row not in self._asked:
                self._asked[row] = self._hold(row)
                self._rows.append(self._asked[row])
            more.append((row, self._asked[row]))
        without = [(row, held) for row, held in self._own if row.rule in dropped]
        for row, held in more:
            self._bound(held, row.low, row.high)
        for _, held in without:
            self._bound(held, None, None)
        try:
            yield
        finally:
            for _, held in more:
                self._bound(held, None, None)
            for row, held in without:
                self._bound(held, row.low, row.high)

    def _bound(self, held: _Held, low: int | None, high: int | None) -> None:
        infinity = self._solver.infinity()
        held.low, held.high = low, high
        held.row.SetBounds(
            -infinity if low is None else low / held.scale,
            infinity if high is None else high / held.scale,
        )

    def least(self, total: Sum) -> LowerBound | None:
        """LowerBound a sum from below; nothing where the relaxation has no answer.

        Parameters
        ----------
        total
            A sum of counts of the sheet.

        Returns
        -------
        LowerBound or None
            True of whole counts within the box, whatever rounding the solver did; None where it
            has no answer.

        Notes
        -----
        From duals in whole numbers: see `certificate.py`.
        """
        for count in self._aimed:
            self._aim.SetCoefficient(self._counts[count], 0)
        self._scale = _power(total.terms.values())
        for count, weight in total.terms.items():
            self._aim.SetCoefficient(self._counts[count], weight / self._scale)
        self._aimed = tuple(total.terms)
        status = self._solver.Solve(self._how)
        if status not in (self._solver.OPTIMAL, self._solver.INFEASIBLE):
            # A basis carried along may go bad: from scratch, then.
            status = self._solver.Solve()
        if status != self._solver.OPTIMAL:
            return None
        return self._certified(total)

    def _certified(self, total: Sum) -> LowerBound:
        self._duals = [
            round(held.row.dual_value() * self._scale / held.scale * UNIT) for held in self._rows
        ]
        pairs = zip(self._duals, self._rows, strict=True)
        weighed = ((dual, held.terms, held.low, held.high) for dual, held in pairs)
        return bound_of(total, weighed, self.box)

    def duals(self) -> tuple[dict[int, int], dict[int, int]]:
        """Give the duals of the last bound.

        Returns
        -------
        tuple of dict of int to int and dict of int to int
            In parts of `UNIT`, of the rows of the sheet and of the sums with a ceiling, each by its
            place; one that has no end to hold against is left out.
        """
        own = [(at, held) for at, (_, held) in zip(self._places, self._own, strict=True)]
        duals = iter(self._duals)
        rows, ceilings = (
            {
                at: dual
                for at, held in some
                if (dual := next(duals)) and (held.low if dual > 0 else held.high) is not None
            }
            for some in (own, list(enumerate(self._ceilings)))
        )
        return rows, ceilings

    def broken(self, counts: Iterable[int]) -> dict[int, float]:
        """Give the values of some counts in the last answer.

        Parameters
        ----------
        counts
            Their indices.

        Returns
        -------
        dict of int to float
            In floating point; any may be a fraction.
        """
        return {count: self._counts[count].solution_value() for count in counts}


@dataclass(slots=True)
class _Held:
    """A row as the relaxation holds it: divided by a power of two."""

    row: pywraplp.Constraint
    scale: float
    terms: tuple[tuple[int, int], ...]
    low: int | None
    high: int | None


def _power(weights: Iterable[int]) -> float:
    return float(1 << max(0, max((abs(weight) for weight in weights), default=1).bit_length() - 1))
