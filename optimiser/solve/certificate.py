"""Bounds proven by whole numbers alone: anyone can add them up again, and no solver is needed.

Rows of a program, each times a whole number, add up to a bound on a sum, whatever the numbers
are; those that a linear relaxation calls duals make it a good one. The same addition says what
each count costs away from its best end, and so how far counts may go while the sum is no larger
than it is. A certificate is such numbers for one priority after another: an elementary proof.
Where one addition is not enough, the weeks fall in two by a sum that is at most so much or more,
and each half in two again: at every end an addition shows that no better week is there.

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
class Leaf:
    """An end of a tree: by these duals no week of it is better than the plan.

    Attributes
    ----------
    exact
        What they add up to, in parts of `UNIT`; above 0, what the rows ask for cannot be.
    rows, before
        The dual of each row of the program, and of each priority up to the one in question, which
        is held below its sum in the plan.
    forks
        The dual of what each fork on the way says, from the first on.
    """

    exact: int
    rows: Mapping[int, int]
    before: Mapping[int, int]
    forks: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class Fork:
    """Weeks fall in two: the sum of some counts is at most so much, or it is more.

    Attributes
    ----------
    counts, most
        The counts, and the largest sum of the first half.
    below, above
        What is shown of the two halves.
    """

    counts: tuple[int, ...]
    most: int
    below: Tree
    above: Tree

    def sides(self) -> Iterator[tuple[Tree, Row]]:
        """Give each half with what it says.

        Yields
        ------
        tuple of Tree and Row
            The half with at most so much first.

        Examples
        --------
        >>> leaf = Leaf(0, {}, {}, {})
        >>> [(row.low, row.high) for _, row in Fork((3, 4), 1, leaf, leaf).sides()]
        [(None, 1), (2, None)]
        """
        total = Sum((count, 1) for count in self.counts)
        yield self.below, Row.of(total, high=self.most)
        yield self.above, Row.of(total, low=self.most + 1)


Tree: TypeAlias = "Leaf | Fork"


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
        The dual of each row that a proof adds up, by its place.
    before
        The dual of each priority before it, held at its sum, by its place.
    tree
        What shows that the plan's value is the least, where `exact` does not.
    """

    name: str
    value: int
    exact: int
    rows: Mapping[int, int]
    before: Mapping[int, int]
    tree: Tree | None = None

    def sums(self) -> list[int]:
        """Give what all its duals are said to add up to.

        Returns
        -------
        list of int
            First `exact`, then of each end of the tree, from the first on.

        Examples
        --------
        >>> Certificate("cost", 7, UNIT, {}, {}, Leaf(3, {}, {}, {})).sums()
        [1099511627776, 3]
        """
        return [self.exact, *_said(self.tree)]


def _said(tree: Tree | None) -> Iterator[int]:
    if isinstance(tree, Fork):
        yield from (*_said(tree.below), *_said(tree.above))
    elif tree is not None:
        yield tree.exact


def better(level: Level, value: int) -> int:
    """Give the largest sum of a level that is better than a value.

    Parameters
    ----------
    level
        A level of a program.
    value
        A sum, which it need not be able to have.

    Returns
    -------
    int
        On the level's steps, below `value`.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> level = Program(read_week("starter")).levels[0]
    >>> better(level, level.low + 1) == level.low
    True
    >>> better(level, level.low) == level.low - level.step
    True
    """
    return level.low + (value - 1 - level.low) // level.step * level.step


@dataclass(frozen=True, slots=True)
class Known:
    """What is known at some place of a proof.

    Attributes
    ----------
    rows, held, forks
        Rows of the program; those that hold a priority at its sum; what forks on the way said.
    box
        How far counts may go.
    """

    rows: Sequence[Row]
    held: Sequence[Row]
    box: Box
    forks: tuple[Row, ...] = ()

    def beyond(self, fork: Row) -> Known:
        """Go into a half.

        Parameters
        ----------
        fork
            What it says.

        Returns
        -------
        Known
            With the row; where it speaks of one count, that one's range is narrowed.
        """
        box = self.box
        if len(fork.terms) == 1:
            at = fork.terms[0][0]
            low, high = box[at]
            low = low if fork.low is None else max(low, fork.low)
            high = high if fork.high is None else min(high, fork.high)
            box = [*box[:at], (low, high), *box[at + 1 :]]
        return Known(self.rows, self.held, box, (*self.forks, fork))

    def bound(
        self,
        total: Sum,
        rows: Mapping[int, int],
        held: Mapping[int, int],
        forks: Mapping[int, int] | None = None,
    ) -> LowerBound:
        """Add up a bound on a sum.

        Parameters
        ----------
        total
            The sum.
        rows, held, forks
            Duals by the place of their row.

        Returns
        -------
        LowerBound
            True of all whole counts that keep what is known.

        Raises
        ------
        IndexError
            Where a place is not there.
        """
        used = [
            (places[at], dual)
            for places, duals in ((self.rows, rows), (self.held, held), (self.forks, forks or {}))
            for at, dual in duals.items()
        ]
        # What holds only sometimes proves nothing.
        weighed = [(dual, row.terms, row.low, row.high) for row, dual in used if row.when is None]
        return bound_of(total, weighed, self.box)


def replayed(
    program: Program, certificates: Sequence[Certificate]
) -> Iterator[tuple[int, list[int]]]:
    """Add certificates up again, one after another, and give what each really proves.

    Parameters
    ----------
    program
        The program, written anew by the week's own rules.
    certificates
        Of its first priorities, in their order.

    Yields
    ------
    tuple of int and list of int
        The least that the priority can be, those before it at their values; and what the duals
        of the certificate add up to, in parts of `UNIT`, in the order of `Certificate.sums`.

    Raises
    ------
    InputError
        Where a certificate names a row, a count or a priority that is not there.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("minimal"))
    >>> first = program.levels[0]
    >>> of_nothing = Certificate(first.name, value=first.high, exact=0, rows={}, before={})
    >>> [(least, sums)] = replayed(program, [of_nothing])
    >>> least == first.low, sums == [first.low * UNIT]
    (True, True)
    """
    box = list(program.board.sheet.bounds)
    told, held = program.told, list[Row]()
    for made, level in zip(certificates, program.levels, strict=False):
        try:
            bound = Known(told, held, box).bound(level.total, made.rows, made.before)
            below = better(level, made.value)
            cut = [*held, Row.of(level.total, high=below)]
            ends = list(_ends(Known(told, cut, bound.narrowed(box, below)), made.tree))
        except IndexError as none:
            raise InputError(made.name, "its proof names a row that is not there", "") from none
        least = on_grid(level, bound.least)
        if ends and min(ends) > 0:
            least = max(least, made.value)
        yield least, [bound.exact, *ends]
        box = bound.narrowed(box, made.value)
        held.append(Row.of(level.total, high=made.value))


def _ends(known: Known, tree: Tree | None) -> Iterator[int]:
    if isinstance(tree, Fork):
        for side, row in tree.sides():
            yield from _ends(known.beyond(row), side)
    elif tree is not None:
        yield known.bound(Sum(), tree.rows, tree.before, tree.forks).exact


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
    for row in program.told:
        digested.update(repr((row.terms, row.low, row.high, row.when)).encode())
    for level in program.levels:
        total = (level.name, sorted(level.total.terms.items()), level.total.constant, level.step)
        digested.update(repr(total).encode())
    return digested.hexdigest()
