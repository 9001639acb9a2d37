"""Lunches that were counted together for alike eaters, dealt out to each of them.

The counted program says how often each lunch comes to a group, never to whom. Here whole weeks of
one eater are sought that add up to just that: what each may eat is asked of a program of that
eater alone, with the rules of the week, so that no rule is written twice. Weeks are taken off one
after another, each such that what is left can still be kept by those who are left, as far as
rows can tell. Where that ends nowhere, a relaxation over the weeks seen so far asks for the week
that it lacks most. If there is none that helps, its duals say why no dealing can be: a row that
every sum of such weeks keeps and these counts break (Farkas, 1902; columns made as they are
needed: Gilmore and Gomory, A linear programming approach to the cutting-stock problem, Operations
Research 9, 1961). It goes back to the counted program.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from models.week.week import Week
from optimiser.board.board import Board
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.solve import cpsat
from optimiser.solve.certificate import UNIT
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Stop
from optimiser.solve.program import Program
from optimiser.solve.relaxation import Relaxation

WORK = 0.5
"""Most work, in CP-SAT's own unit, for one week of one eater."""
SEEN = 400
"""Most weeks of one eater to look at before it is left open whether they can add up."""
FINE = 2**10
"""Duals are rounded to parts of this many: any whole numbers give a true row."""


@dataclass(frozen=True, slots=True)
class Dealt:
    """What of a group's lunches was dealt.

    Attributes
    ----------
    shares
        Weeks that add up to what was counted, or to a part of it.
    left
        How many eaters are left without one.
    against
        A row of the counted program that every plan keeps and these counts do not.
    """

    shares: list[Hand]
    left: int = 0
    against: Row | None = None


@dataclass(frozen=True, slots=True)
class Hand:
    """A week of one eater, and how many have it.

    Attributes
    ----------
    times
        Eaters, 1 or more.
    values
        Of every count of the program of one eater.
    """

    times: int
    values: list[int]


class Dealer:
    """Deals what was counted for a group out to its eaters.

    Parameters
    ----------
    program
        The counted program of a week.
    group
        One of its groups.
    stop
        Ends the search for what speaks against a dealing.

    Attributes
    ----------
    single
        The program of one of them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve
    >>> program = Program(read_week("minimal"))
    >>> dealer = Dealer(program, program.board.groups[0])
    >>> dealt = dealer.deal(solve(program).counts)
    >>> [share.times for share in dealt.shares], dealt.left
    ([1], 0)
    """

    def __init__(self, program: Program, group: tuple[str, ...], stop: Stop | None = None) -> None:
        self.week, self.group = program.week, group
        self._stop = Stop() if stop is None else stop
        theirs = of_one(program.week, group[0])
        self.single = Program(theirs, board=Board(theirs, (group[:1],), by_dish=True))
        own = self.single.board.counted(group[:1])
        self._theirs = {own[what]: at for what, at in program.board.counted(group).items()}
        self._again = {own[what] for what in own if what[0] is None}

    def deal(self, counts: Sequence[int]) -> Dealt:
        """Find whole weeks that add up to what was counted.

        Parameters
        ----------
        counts
            The value of each count of the counted program.

        Returns
        -------
        Dealt
            Nobody is left where it was found; else it says what speaks against it, where that is
            known.
        """
        need = {at: counts[of] for at, of in self._theirs.items()}
        table = _Table(self.single.board.sheet, need, self._again, len(self.group))
        taken = table.taken_off()
        if not taken.left:
            return taken
        shares, lacking = table.combined(self._stop)
        if shares is not None:
            return Dealt(shares)
        return taken if lacking is None else replace(taken, against=self._cut(lacking, need))

    def fix(self, board: Board, shares: Sequence[Hand]) -> None:
        """Hold on a board what was dealt to the first of the group, who are one of its groups.

        Parameters
        ----------
        board
            A board of the same week.
        shares
            Weeks for as many eaters as that group has.
        """
        eaters = self.group[: sum(share.times for share in shares)]
        own, total = self.single.board.counted(self.group[:1]), Sum()
        for what, at in board.counted(eaters).items():
            total.add(at, sum(share.times * share.values[own[what]] for share in shares))
        for at in board.counted(eaters).values():
            times = total.terms.get(at, 0)
            board.sheet.bounds[at] = (times, times)

    def _cut(self, against: Sum, need: Mapping[int, int]) -> Row | None:
        """Write a row that all whole groups of such eaters keep.

        It is bounded over every week of one of them, what is not needed among it: that counts
        against, as little as suffices.
        """
        model = cpsat.model_of(self.single.board.sheet)
        heaviest = max(map(abs, against.terms.values()))
        unneeded = Sum((at, 1) for at, times in need.items() if not times)
        for more in (0, 1, 4, 16):
            total = Sum(against.terms.items()).plus(unneeded, -more * heaviest)
            answer = cpsat.solve(model, Sum().plus(total, -1), limit=Limit(work=WORK))
            most = -answer.bound * len(self.group)
            if answer.values is not None and _worth(total, need) > most:
                terms = tuple((self._theirs[at], weight) for at, weight in total.terms.items())
                return Row(terms, None, most, None)
        return None


class _Table:
    """What there is to deal: how often each count has to come, and the weeks seen so far."""

    def __init__(self, sheet: Sheet, need: Mapping[int, int], again: set[int], size: int) -> None:
        self._bounds, self._model = sheet.bounds, cpsat.model_of(sheet)
        self._need, self._again, self._size = need, again, size
        self._used = {at: times for at, times in need.items() if times}
        self._rows = [
            row for row in sheet.rows if row.when is None and all(at in need for at, _ in row.terms)
        ]
        self._seen: dict[tuple[int, ...], list[int]] = {}

    def _week(
        self, wanted: Sum, box: Sequence[tuple[int, int]], rows: Sequence[Row] = ()
    ) -> cpsat.Solution:
        answer = cpsat.solve(self._model, wanted, extra=rows, box=box, limit=Limit(work=WORK))
        if answer.values is not None:
            key = tuple(answer.values[at] for at in self._used)
            self._seen.setdefault(key, answer.values)
        return answer

    # -- weeks taken off one after another ------------------------------------------

    def taken_off(self) -> Dealt:
        """Take off a week as often as it fits, then another, until nobody is left."""
        rest, left = dict(self._need), self._size
        shares: list[Hand] = []
        while left:
            values = self._fitting(rest, left)
            if values is None:
                break
            times = self._as_often(values, rest, left)
            for at in rest:
                rest[at] -= times * values[at]
            left -= times
            shares.append(Hand(times, values))
        return Dealt(shares, left)

    def _fitting(self, rest: Mapping[int, int], left: int) -> list[int] | None:
        """Find a week that leaves what those who are left can keep to, as far as rows tell."""
        box, others = list(self._bounds), left - 1
        for at, times in rest.items():
            low, high = self._bounds[at]
            # What comes again may come less often than was counted, all else just so often.
            least = low if at in self._again else max(low, times - high * others)
            box[at] = (least, min(high, times))
        rows = [
            Row(
                row.terms,
                None if row.high is None else _sum(row, rest) - row.high * others,
                None if row.low is None else _sum(row, rest) - row.low * others,
                None,
            )
            for row in self._rows
        ]
        if any(low > high for low, high in box):
            return None
        alike = Sum((at, -FINE * times // left) for at, times in rest.items() if times)
        return self._week(alike, box, rows).values

    def _as_often(self, values: Sequence[int], rest: Mapping[int, int], left: int) -> int:
        """Tell how many may have a week, so that those who are left can keep every row."""
        times = min([left, *(rest[at] // values[at] for at in rest if values[at])])
        ends = [(values[at], rest[at], *self._bounds[at]) for at in rest if at not in self._again]
        rows = [(_sum(row, values), _sum(row, rest), row.low, row.high) for row in self._rows]
        for here, whole, low, high in [*ends, *rows]:
            if high is not None and high > here:
                times = min(times, (high * left - whole) // (high - here))
            if low is not None and here > low:
                times = min(times, (whole - low * left) // (here - low))
        return max(1, times)

    # -- weeks put together ------------------------------------------------------------

    def combined(self, stop: Stop) -> tuple[list[Hand] | None, Sum | None]:
        """Look for weeks that add up; else for a sum that no weeks have as large as it is here."""
        box = [
            (low, min(high, self._need.get(at, high)))
            for at, (low, high) in enumerate(self._bounds)
        ]
        self._week(Sum((at, -times) for at, times in self._used.items()), box)
        while 0 < len(self._seen) < SEEN and not stop.over:
            lacking, before = self._lacking(), len(self._seen)
            if lacking is None:
                return self._added_up(), None
            answer = self._week(Sum().plus(lacking, -1), box)
            if answer.status is not Status.OPTIMAL:
                break
            if _worth(lacking, self._need) > -answer.bound * self._size:
                return None, lacking
            if len(self._seen) == before:
                break
        return None, None

    def _added(self) -> tuple[Sheet, Sum]:
        """Write how often each week seen is had, and what is then amiss."""
        sheet, amiss = Sheet(), Sum()
        weeks = [sheet.count(self._size, "week") for _ in self._seen]
        for at, times in self._used.items():
            seen = zip(weeks, self._seen.values(), strict=True)
            total = Sum((week, values[at]) for week, values in seen)
            ends = {"over": -1} if at in self._again else {"over": -1, "short": 1}
            for name, sign in ends.items():
                off = sheet.count(self._size * max(times, *total.terms.values(), 1), name)
                amiss.add(off)
                total.add(off, sign)
            sheet.bound(total, low=None if at in self._again else times, high=times)
        sheet.bound(Sum((week, 1) for week in weeks), low=self._size, high=self._size)
        return sheet, amiss

    def _lacking(self) -> Sum | None:
        """Weigh what the weeks seen lack; nothing where they add up, but for fractions."""
        sheet, amiss = self._added()
        relaxation = Relaxation(sheet)
        bound = relaxation.least(amiss)
        if bound is None or bound.exact * FINE <= UNIT:
            return None
        duals, _ = relaxation.duals()
        return Sum((at, duals.get(row, 0) * FINE // UNIT) for row, at in enumerate(self._used))

    def _added_up(self) -> list[Hand] | None:
        sheet, amiss = self._added()
        answer = cpsat.solve(cpsat.model_of(sheet), amiss, known=0, limit=Limit(work=WORK))
        if answer.values is None or amiss.value(answer.values):
            return None
        pairs = zip(answer.values, self._seen.values(), strict=False)
        return [Hand(times, values) for times, values in pairs if times]


def _sum(row: Row, values: Mapping[int, int] | Sequence[int]) -> int:
    return sum(weight * values[at] for at, weight in row.terms)


def _worth(total: Sum, need: Mapping[int, int]) -> int:
    return sum(weight * need[at] for at, weight in total.terms.items())


def of_one(week: Week, eater: str) -> Week:
    """Give the week of one eater alone, and of the wishes those that are for them.

    Parameters
    ----------
    week
        The week.
    eater
        One of its eaters.

    Returns
    -------
    Week
        All else as it is.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = of_one(read_week("family"), "Pip")
    >>> list(week.eaters), {lunch.eater for lunch in week.lunches}
    (['Pip'], {'Pip'})
    """
    lunches = tuple(lunch for lunch in week.lunches if lunch.eater == eater)
    # A wish for anybody asks nothing of one of many.
    wishes = tuple(wish for wish in week.wishes if wish.eater == eater)
    return replace(week, eaters={eater: week.eaters[eater]}, lunches=lunches, wishes=wishes)
