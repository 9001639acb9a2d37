"""What the relaxation says of foils: often no, in milliseconds, and else how little is left open.

Of a week of several eaters each yes or no takes CP-SAT a third of a second. The plan keeps all
rows that a foil is put to, so the relaxation is asked how near to the foil a week that keeps
them can come. Where that is not near enough the answer is no; the bound is summed up in whole
numbers and so a proof. Else the bound, and those of the priorities, narrow the counts.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import takewhile

from optimiser.board.rows import Row, Sum
from optimiser.solve.certificate import Box, LowerBound
from optimiser.solve.program import Level, Program
from optimiser.solve.relaxation import Relaxation


class Relaxed:
    """The relaxation of a planned week, kept warm from foil to foil.

    One foil at a time, in the same order each time: its bounds hang on those before.

    Parameters
    ----------
    program
        The program of the week.
    counts
        The plan.
    as_good
        The row of each priority that holds it as good as the plan has it, in their order.
    """

    def __init__(
        self, program: Program, counts: list[int], levels: Sequence[Level], as_good: Sequence[Row]
    ) -> None:
        self._counts, self._levels, self._as_good = counts, levels, as_good
        self._bounds = program.board.sheet.bounds
        self._values = [level.total.value(counts) for level in levels]
        self._relaxation = Relaxation(program.board.sheet)
        self._kept: dict[tuple[str, ...], list[Box]] = {}

    def _boxes(self, dropped: Collection[str] = ()) -> list[Box]:
        """How far counts may go while the first so many priorities are as good."""
        key = tuple(dropped)
        if key not in self._kept:
            boxes = [list(self._bounds)]
            for at, level in enumerate(self._levels):
                bound = self._least(level, boxes[-1], self._as_good[:at], dropped)
                most = self._values[at]
                boxes.append(boxes[-1] if bound is None else bound.narrowed(boxes[-1], most))
            self._kept[key] = boxes
        return self._kept[key]

    def _least(
        self, level: Level | Sum, box: Box, rows: Sequence[Row], dropped: Collection[str] = ()
    ) -> LowerBound | None:
        self._relaxation.within(box)
        with self._relaxation.asked(rows, dropped):
            return self._relaxation.least(level if isinstance(level, Sum) else level.total)

    def box(self, rows: Sequence[Row], dropped: Collection[str] = ()) -> Box | None:
        """Tell how far counts may go with some rows; nothing where no week keeps them.

        Parameters
        ----------
        rows
            What is asked, a foil last; the plan keeps those before it.
        dropped
            Keys of rules that need not hold.

        Returns
        -------
        Box or None
            Least and most of each count, by index: every week that keeps the rows, and is as good
            as the plan wherever they ask for it, lies within. None is a proof.
        """
        held = self._held(rows)
        box = self._boxes(dropped)[held]
        wanted = self._wanted(rows[-1]) if rows else None
        if wanted is not None:
            total, most = wanted
            bound = self._least(total, box, rows[:-1], dropped)
            if bound is not None:
                if bound.least > most:
                    return None
                box = bound.narrowed(box, most)
        for at in range(held):
            rest = [row for row in rows if row is not self._as_good[at]]
            bound = self._least(self._levels[at], box, rest, dropped)
            if bound is None:
                # No week at all, it seems, but that is no proof; CP-SAT will have one soon.
                break
            if bound.least > self._values[at]:
                return None
            box = bound.narrowed(box, self._values[at])
        return box

    def first_lost(self, rows: Sequence[Row]) -> tuple[int, int | None]:
        """Name the first priority that a foil costs, by the relaxation.

        Parameters
        ----------
        rows
            The foil.

        Returns
        -------
        tuple of int and int or None
            Its place, and the least it then is. No later one is the first that is lost; an earlier
            one may be. As many as there are where none is seen to be lost; -1 where no week has
            the foil.
        """
        if self.box(rows) is None:
            return -1, None
        for at, level in enumerate(self._levels):
            held = [*self._as_good[:at], *rows]
            bound = self._least(level, self._boxes()[at], held)
            if bound is None:
                return at, None
            if bound.least > self._values[at]:
                return at, bound.least
        return len(self._levels), None

    def _held(self, rows: Sequence[Row]) -> int:
        """Count the priorities that rows begin by holding as good."""
        pairs = zip(rows, self._as_good, strict=False)
        return len(list(takewhile(lambda pair: pair[0] is pair[1], pairs)))

    def _wanted(self, foil: Row) -> tuple[Sum, int] | None:
        """Give the sum that a foil wants small, and how small; nothing where the plan is so."""
        total = Sum(foil.terms)
        value = total.value(self._counts)
        if foil.high is not None and value > foil.high:
            return total, foil.high
        if foil.low is not None and value < foil.low:
            return Sum((count, -weight) for count, weight in foil.terms), -foil.low
        return None
