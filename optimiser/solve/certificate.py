"""Bounds proven by whole numbers alone: anyone can add them up again, and no solver is needed.

Rows of a program, each times a whole number, add up to a bound on a sum, whatever the numbers
are; those that a linear relaxation calls duals make it a good one. The same addition says what
each count costs away from its best end, and so how far counts may go while the sum is no larger
than it is. A certificate is such numbers for one priority after another: an elementary proof.

Sources: Neumaier and Shcherbina, Safe bounds in linear and mixed-integer linear programming,
Mathematical Programming 99, 2004; the form of a chain of steps, each checked by addition, is that
of Cheung, Gleixner and Steffy, Verifying integer programming results, IPCO 2017.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Final, TypeAlias

from models.words.errors import InputError
from optimiser.board.rows import Row, Sum
from optimiser.solve.program import Level, Program

Box: TypeAlias = "list[tuple[int, int]]"
"""The least and most of every count."""

UNIT: Final = 2**40
"""Duals are whole numbers of one part in so many."""


@dataclass(frozen=True, slots=True)
class LowerBound:
    """What a certificate, or the relaxation, says of a sum.

    Attributes
    ----------
    least
        No whole counts within the box make the sum smaller.
    exact
        The same before rounding up, in parts of `UNIT`.
    reduced
        What the sum rises at the least, in parts of `UNIT`, for each step of a count away from
        the end of its range that is best for it: up where positive, down where negative.
    """

    least: int
    exact: int
    reduced: dict[int, int]

    def narrowed(self, box: Box, most: int) -> Box:
        """Give the box without what would make the sum larger than `most`.

        Parameters
        ----------
        box
            How far counts may go; the bound holds within it.
        most
            The largest that the sum may be.

        Returns
        -------
        Box
            As long as `box`, no range wider; `box` itself where the bound lies above `most`.

        Examples
        --------
        >>> LowerBound(2, 2 * UNIT, {0: UNIT, 1: -3 * UNIT}).narrowed([(0, 9), (0, 9)], most=4)
        [(0, 2), (9, 9)]
        """
        gap = most * UNIT - self.exact
        if gap < 0:
            return box
        kept = list(box)
        for at, slope in self.reduced.items():
            low, high = kept[at]
            if slope > 0:
                kept[at] = (low, min(high, low + gap // slope))
            elif slope < 0:
                kept[at] = (max(low, high - gap // -slope), high)
        return kept


Weighed: TypeAlias = "tuple[int, tuple[tuple[int, int], ...], int | None, int | None]"
"""A dual in parts of `UNIT`, and the terms, the low and the high end of its row."""


def bound_of(total: Sum, weighed: Iterable[Weighed], box: Box) -> LowerBound:
    """Add up a bound on a sum from rows and their duals, exactly.

    Parameters
    ----------
    total
        The sum.
    weighed
        Rows with any duals; where a row has no end on the side of its dual it counts as none.
    box
        How far counts may go.

    Returns
    -------
    LowerBound
        It holds for all whole counts within the box that keep the rows, whatever the duals.

    Examples
    --------
    >>> apples, pears = 0, 1
    >>> fruit = (UNIT // 2, ((apples, 2), (pears, 3)), 8, None)
    >>> bound_of(Sum([(apples, 1), (pears, 2)]), [fruit], [(0, 9), (0, 9)]).least
    4
    """
    reduced = {count: weight * UNIT for count, weight in total.terms.items()}
    exact = total.constant * UNIT
    for dual, terms, low, high in weighed:
        end = low if dual > 0 else high
        if not dual or end is None:
            continue
        exact += dual * end
        for count, weight in terms:
            reduced[count] = reduced.get(count, 0) - dual * weight
    for count, slope in reduced.items():
        exact += slope * box[count][0 if slope > 0 else 1]
    return LowerBound(-(-exact // UNIT), exact, reduced)


def on_grid(level: Level, least: int) -> int:
    """Raise a bound to the next value that a level's sum can have.

    Parameters
    ----------
    level
        A level of a program.
    least
        A bound on its sum.

    Returns
    -------
    int
        A sum that the level can have, never below `least`.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> level = Program(read_week("starter")).levels[0]
    >>> on_grid(level, level.low - 7) == level.low
    True
    >>> on_grid(level, level.low + 1) == level.low + level.step
    True
    """
    return max(level.low, level.low - (level.low - least) // level.step * level.step)


@dataclass(frozen=True, slots=True)
class Certificate:
    """The duals of one priority.

    Attributes
    ----------
    name
        The priority.
    value
        Its sum in the plan.
    exact
        What it adds up to, in parts of `UNIT`: with all priorities before as in the plan the sum is
        no smaller.
    rows
        The dual of each row of the program, by its place.
    before
        The dual of each priority before it, held at its sum, by its place.
    """

    name: str
    value: int
    exact: int
    rows: Mapping[int, int]
    before: Mapping[int, int]


def replayed(program: Program, certificates: Sequence[Certificate]) -> Iterator[tuple[int, int]]:
    """Add certificates up again, one after another, and give what each really proves.

    Parameters
    ----------
    program
        The program, written anew by the week's own rules.
    certificates
        Of its first priorities, in their order.

    Yields
    ------
    tuple of int and int
        The least that the priority can be, those before it at their values; and what the
        certificate adds up to, in parts of `UNIT`.

    Raises
    ------
    InputError
        Where a certificate names a row or a priority that is not there.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("minimal"))
    >>> first = program.levels[0]
    >>> of_nothing = Certificate(first.name, value=first.high, exact=0, rows={}, before={})
    >>> [(least, exact)] = replayed(program, [of_nothing])
    >>> least == first.low, exact == first.low * UNIT
    (True, True)
    """
    box = list(program.board.sheet.bounds)
    held: list[Row] = []
    for certificate, level in zip(certificates, program.levels, strict=False):
        used: list[tuple[Row, int]] = []
        for rows, duals in ((program.rows, certificate.rows), (held, certificate.before)):
            if any(at >= len(rows) for at in duals):
                raise InputError(certificate.name, "its proof names a row that is not there", "")
            used += [(rows[at], dual) for at, dual in duals.items()]
        # What holds only sometimes proves nothing.
        weighed = [(dual, row.terms, row.low, row.high) for row, dual in used if row.when is None]
        bound = bound_of(level.total, weighed, box)
        yield on_grid(level, bound.least), bound.exact
        box = bound.narrowed(box, certificate.value)
        held.append(Row.of(level.total, high=certificate.value))


def digest(program: Program) -> str:
    """Tell one program from another: by all its counts, rows and priorities.

    Parameters
    ----------
    program
        A program.

    Returns
    -------
    str
        64 hexadecimal digits of SHA-256.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> digest(Program(week)) == digest(Program(week)), len(digest(Program(week)))
    (True, 64)
    """
    digested = sha256(repr(program.board.sheet.bounds).encode())
    for row in program.rows:
        digested.update(repr((row.terms, row.low, row.high, row.when)).encode())
    for level in program.levels:
        total = (level.name, sorted(level.total.terms.items()), level.total.constant, level.step)
        digested.update(repr(total).encode())
    return digested.hexdigest()
