"""A week of one eater as columns, and what they are counted by, read off the rows of its program.

A column is one whole lunch: every count of it, as the rows over that lunch alone allow them. Any
other row is a counter, to which each column adds. Counts of no lunch are told by the shape of their
rows, and there are three: what is *left* of something is what the lunches do not eat of it; a
*charge* is as large as they make it; *packs* that spoil are opened as the audit opens them
(`models.week.sums.draw`), so that no rule is written twice. No rule is known by name, and a count
of any other shape makes the week one that passes are not for.

How much is cooked may be a column too: that of a lunch before all others, which takes from a batch
what is cooked less.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from models.week.sums import draw
from optimiser.board.rows import Row, Sum
from optimiser.solve.program import Level, Program, fold

Ints: TypeAlias = NDArray[np.int64]
MOST_COLUMNS = 20_000
"""Ways a lunch can be; of more the solver is asked."""
LARGEST = 2**56
"""Most that the priorities may span as one number."""
_MANY = 20
"""A count that only helps and has more values than this takes the first that its rows allow."""


class NotForPassesError(ValueError):
    """A week that has a count or a size that columns cannot tell."""


@dataclass(frozen=True, slots=True)
class Counter:
    """A sum over lunches that no week may bring beyond its most, and that may cost.

    Attributes
    ----------
    most
        No week comes to more in all.
    depth
        In which pass it begins to count: 0 what is left over costs, 1 dishes and portions, 2 sides.
    free, step, count, cost
        What is beyond the free is a charge: for each begun step of it this count of the program is
        1 more, which costs so much. There is none where the count is -1.
    weights
        For each lunch, what each of its columns adds, 0 or more.
    """

    most: int
    depth: int
    free: int = LARGEST
    step: int = 1
    count: int = -1
    cost: int = 0
    weights: tuple[Ints, ...] = ()

    @property
    def tops(self) -> list[int]:
        """The most that each lunch can add."""
        return [int(of.max(initial=0)) for of in self.weights]

    @property
    def reach(self) -> int:
        """The most that it can come to."""
        return min(self.most, sum(self.tops))


@dataclass(frozen=True, slots=True)
class Machine:
    """Something beside the counters that has a state: an item of which packs are open.

    Attributes
    ----------
    use
        For each lunch, which move each of its columns makes.
    to, price
        For each lunch, by state and move, the state after it and what it costs.
    counts
        The counts of the program that it costs: packs opened, each by its day.
    """

    use: list[Ints]
    to: list[Ints]
    price: list[Ints]
    counts: tuple[int, ...] = ()


# -- packs ----------------------------------------------------------------------------

Rests: TypeAlias = tuple[tuple[date, int], ...]
"""What open packs hold, by the last lunch that each can go to."""


def machine_of_packs(weights: list[Ints], days: list[date], size: int, life: int) -> Machine:
    """Make the machine of packs that spoil, each opened as late as can be.

    Parameters
    ----------
    weights
        For each lunch, what each of its columns uses, 0 or more.
    days
        The date of each lunch, in order.
    size
        What a pack holds, in the same steps.
    life
        Days that a pack keeps once it is opened.

    Returns
    -------
    Machine
        A move costs the packs that it opens.

    Examples
    --------
    >>> days = [date(2026, 11, 30), date(2026, 12, 1)]
    >>> machine = machine_of_packs([np.array([0, 1])] * 2, days, 2, 1)
    >>> [price.tolist() for price in machine.price]
    [[[0, 1]], [[0, 1], [0, 0]]]
    """
    using = [day for day, of in zip(days, weights, strict=True) if of.max(initial=0)]
    states: dict[Rests, int] = {(): 0}
    machine = Machine([], [], [])
    for day, of in zip(days, weights, strict=True):
        last = max((x for x in using if day < x <= day + timedelta(days=life)), default=day)
        amounts, use = np.unique(of, return_inverse=True)
        after: dict[Rests, int] = {}
        moves = [
            _moved(rests, amount, size, day, last)
            for rests in states
            for amount in amounts.tolist()
        ]
        to = [after.setdefault(left, len(after)) for left, _ in moves]
        machine.use.append(use.ravel())
        machine.to.append(np.array(to, np.int64).reshape(len(states), -1))
        machine.price.append(np.array([packs for _, packs in moves]).reshape(len(states), -1))
        states = after
    return machine


def _moved(rests: Rests, amount: int, size: int, day: date, last: date) -> tuple[Rests, int]:
    """Use so much on a day; give what can still be used of what is open, and the packs opened."""
    kept, packs, more = draw(rests, amount, size, lambda until: until < day)
    left: dict[date, int] = defaultdict(int)
    for until, some in [*kept, (last, more)]:
        if some and until > day:
            left[until] += some
    return tuple(sorted(left.items())), packs


# -- the ways of a lunch --------------------------------------------------------------


def _ways(rows: Ints, most: Ints, bounds: Ints, servings: int, helpers: int) -> Ints:
    """Find all ways a lunch can be: one serving, then count by count what its rows leave room for.

    `rows` and `bounds` are by count, servings first and helpers last: counts that no other rows
    know, as which compartments of a box hold what is wet. Any of their values will do.
    """
    lows, highs = bounds.T
    least = np.minimum(rows * lows[:, None], rows * highs[:, None])
    # What each row takes at the least from a count on to the end.
    still = np.vstack([least[::-1].cumsum(axis=0)[::-1], np.zeros_like(least[:1])])
    room = most - rows[:servings]
    fits = (room >= still[servings]).all(axis=1)
    table, room, origin = np.eye(servings, dtype=np.int64)[fits], room[fits], np.arange(fits.sum())
    for at in range(servings, len(rows)):
        weight, spare = rows[at], room - still[at + 1]
        up, down = weight > 0, weight < 0
        high = (spare[:, up] // weight[up]).min(axis=1, initial=highs[at])
        low = (-(spare[:, down] // -weight[down])).max(axis=1, initial=lows[at])
        if highs[at] - lows[at] > _MANY and at >= len(rows) - helpers:
            if (rows[at + 1 :, weight != 0] != 0).any():
                raise NotForPassesError("a row of one lunch has more than one count of its own")
            high = np.minimum(low, high)
        many = np.maximum(0, high - low + 1)
        if many.sum() > MOST_COLUMNS:
            raise NotForPassesError("a lunch has too many ways")
        which, value = spread(low, many)
        room = room[which] - value[:, None] * weight
        origin = origin[which]
        if at < len(rows) - helpers:
            table, origin = np.column_stack([table[which], value]), np.arange(len(which))
    ways: Ints = table[np.unique(origin)]
    return ways


def spread(begins: Ints, many: Ints) -> tuple[Ints, Ints]:
    """Give for each place so many numbers in a row.

    Parameters
    ----------
    begins, many
        By place the first number, and how many.

    Returns
    -------
    tuple of Ints and Ints
        The place of each number, and the number.

    Examples
    --------
    >>> [of.tolist() for of in spread(np.array([5, 0]), np.array([2, 1]))]
    [[0, 0, 1], [5, 6, 0]]
    """
    which = np.repeat(np.arange(len(many)), many)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(many) - many - begins, many)


# -- the week -------------------------------------------------------------------------


class WeekColumns:
    """The columns of each lunch of a week, what they cost, and what they are counted by.

    Parameters
    ----------
    program
        The program of a week of one eater.
    levels
        Priorities of it, what matters most first.
    there
        Volumes to tell apart, each by the portions there are of some batches, no more than the
        program knows; they are the columns of a lunch before all others. None when left out.

    Attributes
    ----------
    stage
        The priorities as one sum.
    costs
        For each lunch, what each of its columns adds to that sum.
    counters, machines
        What the columns are counted by.
    volumes
        Which of the volumes each column of the first lunch is; those no week can have are left out.

    Raises
    ------
    NotForPassesError
        Where the week is none that columns can tell.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("minimal"))
    >>> [len(of) for of in WeekColumns(program, program.levels).costs]
    [4, 4, 4]
    """

    def __init__(
        self, program: Program, levels: Sequence[Level], there: Sequence[Mapping[str, int]] = ()
    ) -> None:
        self.program, board = program, program.board
        if board.counts_alike or board.may_buy or not board.slots:
            raise NotForPassesError("lunches are counted together, or may be bought")
        kinds = (board.serving_counts, board.option_counts, board.extra_counts, board.thaw_counts)
        # Dishes share the count of an option.
        self._own = [
            list(dict.fromkeys(count for of in kinds for count in of[slot.at].values()))
            for slot in board.slots
        ]
        self._sides = [count for of in kinds[1:3] for each in of for count in each.values()]
        self._costly = {count for level in levels for count in level.total.terms}
        self._rows, self._most = _upper(program.rows, len(board.sheet.bounds))
        tables: list[Ints] = []
        if there:
            names, size = list(there[0]), len(board.sheet.bounds)
            lefts = [board.left_counts[name] for name in names]
            self._rows = np.hstack([self._rows, self._rows[:, lefts]])
            self._own.insert(0, list(range(size, size + len(names))))
            portions = np.array([[of[name] for name in names] for of in there], np.int64)
            tables.append(portions.max(axis=0) - portions)
        self._counted: dict[int, Counter] = {}
        self.volumes = np.arange(len(there))
        self._left: dict[int, Sum] = {}
        self._packs: list[str] = []
        self._tables = [*tables, *self._parted(len(tables))]
        self.counters = self._weighed()
        self.machines = [self._machine(name) for name in self._packs]
        self.stage = fold([self._narrowed(level) for level in levels])
        if self.stage.weights[0] * (self.stage.levels[0].span + 1) > LARGEST:
            raise NotForPassesError("the priorities span too much for one number")
        total = self.stage.total.terms
        self.costs = self._of(total)
        self.counters = [replace(x, cost=total.get(x.count, 0)) for x in self.counters]
        self.machines = [
            replace(x, price=[of * total.get(x.counts[0], 0) for of in x.price])
            for x in self.machines
        ]

    def _of(self, terms: Mapping[int, int]) -> list[Ints]:
        """Work a sum out for each column of each lunch; what is of no lunch counts nothing."""
        weights = ([terms.get(count, 0) for count in own] for own in self._own)
        return [of @ np.array(by, np.int64) for of, by in zip(self._tables, weights, strict=True)]

    def counts(self, columns: Iterable[int]) -> list[int]:
        """Write columns as the counts of the program, as far as lunches tell them.

        Parameters
        ----------
        columns
            A column for each lunch.

        Returns
        -------
        list of int
            A value for each count of a lunch, 0 for all others.
        """
        values = [0] * self._rows.shape[1]
        for own, table, column in zip(self._own, self._tables, columns, strict=True):
            for count, value in zip(own, table[column].tolist(), strict=True):
                values[count] = value
        return values[: len(self.program.board.sheet.bounds)]

    def dishes(self) -> list[Ints]:
        """Tell the dish of each column.

        Returns
        -------
        list of Ints
            For each lunch the number of the dish of each column, in the order of the file.
        """
        numbers = {name: at for at, name in enumerate(self.program.week.dishes)}
        servings = self.program.board.serving_counts
        return self._of({count: numbers[x.dish] for of in servings for x, count in of.items()})

    # -- rows -----------------------------------------------------------------------

    def _parted(self, first: int) -> list[Ints]:
        """Take every row for what it is over: one lunch, several, or counts of none."""
        board, servings = self.program.board, [len(x) for x in self.program.board.serving_counts]
        over = np.array([self._rows[:, own].any(axis=1) for own in self._own]).T
        # What is left of a batch is never a matter of one lunch: there may be less of it.
        apart = self._costly.union(board.left_counts.values())
        of_lunch: dict[int, list[int]] = defaultdict(list)
        helpers: dict[int, list[int]] = defaultdict(list)
        for counts, rows in self._joined():
            lunches = np.flatnonzero(over[rows].any(axis=0)).tolist()
            if len(lunches) == 1 and apart.isdisjoint(counts):
                of_lunch[lunches[0]] += rows
                helpers[lunches[0]] += counts
            elif counts:
                self._take(counts, rows)
            elif lunches:
                (row,), (most,) = rows, self._most[rows].tolist()
                depth = 1 + int(self._rows[row, self._sides].any())
                self._counted[row] = Counter(most, depth)
            elif self._most[rows].min() < 0:
                raise NotForPassesError("a row that no week keeps")
        bounds, tables = np.array(board.sheet.bounds, np.int64), []
        for at, own in enumerate(self._own[first:], first):
            # Those of many values come last: no other count of their rows is open then.
            more = sorted(helpers[at], key=lambda count: bounds[count, 1] - bounds[count, 0])
            order, rows = [*own, *more], of_lunch[at]
            given = self._rows[np.ix_(rows, order)].T, self._most[rows], bounds[order]
            tables.append(_ways(*given, servings[at - first], len(more)))
        return tables

    def _joined(self) -> list[tuple[tuple[int, ...], list[int]]]:
        """Give rows together that share counts of no lunch, with those counts; the others alone."""
        loose = np.ones(self._rows.shape[1], bool)
        loose[[count for own in self._own for count in own]] = False
        open_counts = [tuple(np.flatnonzero(row).tolist()) for row in self._rows * loose]
        group: dict[int, tuple[int, ...]] = {}
        for counts in open_counts:
            joined = dict.fromkeys(x for count in counts for x in group.get(count, (count,)))
            group |= dict.fromkeys(joined, tuple(joined))
        rows: dict[tuple[tuple[int, ...], int], list[int]] = defaultdict(list)
        for at, counts in enumerate(open_counts):
            rows[(group[counts[0]], -1) if counts else ((), at)].append(at)
        return [(counts, of) for (counts, _), of in rows.items()]

    def _take(self, counts: Sequence[int], rows: Sequence[int]) -> None:
        """Make what they are of counts that are of no lunch, by the shape of their rows."""
        board = self.program.board
        for name, opened in board.opened_counts.items():
            if not set(counts).isdisjoint(opened.values()):
                over = [x for x in self.program.rows if not set(counts).isdisjoint(dict(x.terms))]
                if len({x.rule for x in over} - {None}) != 1:
                    raise NotForPassesError(f"packs of {name} are not opened as they otherwise are")
                self._packs.append(name)
                return
        (count, *more), (row, *others) = counts, rows
        (low, top), own = board.sheet.bounds[count], int(self._rows[row, count])
        most, depth = int(self._most[row]), 1 + int(self._rows[row, self._sides].any())
        # A row that has to come to exactly so much is there twice, once for each end.
        ends = [-self._most[at] for at in others if (self._rows[at] == -self._rows[row]).all()]
        if not more and not low and not others and own < 0:
            self._counted[row] = Counter(most - own * top, 1, most, -own, count)
        elif not more and not low and own == len(others) == 1 and ends == [most]:
            depth = 0 if count in board.left_counts.values() else depth
            self._counted |= {row: Counter(most, depth), others[0]: Counter(top - most, 1)}
            # The row less what it comes to is nothing: taken off, it says the count in others.
            terms = np.flatnonzero(self._rows[row]).tolist()
            weights = self._rows[row, terms].tolist()
            self._left[count] = Sum(zip(terms, weights, strict=True), -most)
        else:
            raise NotForPassesError("a count of no lunch is neither what is left nor a charge")

    # -- what counts columns ----------------------------------------------------------

    def _weighed(self) -> list[Counter]:
        """Weigh the columns: none that a counter forbids, and no counter that binds nothing."""
        rows, every = self._rows[list(self._counted)], [x.most for x in self._counted.values()]
        weights: list[Ints] = []
        for counts, table in zip(self._own, self._tables, strict=True):
            # Few of the counts of a lunch stand in a row, and whole numbers are multiplied slowly.
            by_count, used = np.ascontiguousarray(table.T), rows[:, counts]
            each_row = [of[of != 0] @ by_count[of != 0] for of in used]
            weights.append(np.array(each_row, np.int64).reshape(len(rows), len(table)).T)
        fits = [np.zeros(1, bool)]
        while not all(of.all() for of in fits):
            if not all(len(of) for of in weights):
                raise NotForPassesError("a lunch has no column")
            # Whatever the other lunches are: of fewer columns the least may be more.
            room = np.array(every, np.int64) - sum(of.min(axis=0) for of in weights)
            fits = [(of - of.min(axis=0) <= room).all(axis=1) for of in weights]
            self.volumes = self.volumes[fits[0]] if len(self.volumes) else self.volumes
            self._tables = [of[fit] for of, fit in zip(self._tables, fits, strict=True)]
            weights = [of[fit] for of, fit in zip(weights, fits, strict=True)]
        made: dict[tuple[object, ...], Counter] = {}
        for number, each in enumerate(self._counted.values()):
            own = [of[:, number] for of in weights]
            shift = sum(int(of.min()) for of in own)
            own = [of - of.min() for of in own]
            now = replace(each, most=each.most - shift, free=each.free - shift)
            if each.count not in self._costly:
                by = int(np.gcd.reduce(np.concatenate(own))) or 1
                now, own = Counter(now.most // by, each.depth), [of // by for of in own]
            now = replace(now, weights=tuple(own))
            key: tuple[object, ...] = tuple(of.tobytes() for of in own)
            # Of equal weights one counter is enough: the tightest, with the charge of one of them.
            if key in made and min(now.count, made[key].count) < 0:
                both = (now, made[key])
                most, depth = min(x.most for x in both), min(x.depth for x in both)
                now = replace(max(both, key=lambda x: x.count), most=most, depth=depth)
            elif key in made:
                key = (*key, now.count)
            made[key] = now
        return [x for x in made.values() if x.most < sum(x.tops) or x.reach > x.free]

    def _machine(self, name: str) -> Machine:
        """Make the machine of an item whose packs spoil."""
        board, used = self.program.board, Sum()
        for slot in board.slots:
            used.plus(board.used(slot, name))
        days = [slot.day for slot in board.slots]
        days = days[:1] * (len(self._own) - len(days)) + days
        life = self.program.week.larder[name].opened_life or 0
        machine = machine_of_packs(self._of(used.terms), days, board.pack(name), life)
        return replace(machine, counts=tuple(board.opened_counts[name].values()))

    def _narrowed(self, level: Level) -> Level:
        """Give a priority over what columns know, with the ends that they can reach."""
        terms, constant = level.total.terms, level.total.constant
        total = Sum(terms.items(), constant)
        for count, nothing in self._left.items():
            total.plus(nothing, -terms.get(count, 0))
        costs = self._of(total.terms)
        low = total.constant + sum(int(of.min()) for of in costs)
        high = total.constant + sum(int(of.max()) for of in costs)
        steps = [max(0, -((x.free - x.reach) // x.step)) for x in self.counters]
        dear: list[tuple[tuple[int, ...], int]]
        dear = [((x.count,), most) for x, most in zip(self.counters, steps, strict=True)]
        dear += [(x.counts, sum(int(of.max()) for of in x.price)) for x in self.machines]
        for counts, most in dear:
            price, *others = {terms.get(count, 0) for count in counts}
            if price < 0 or others:
                raise NotForPassesError("what is to be small is wanted large, or on some days")
            high += price * most
        low = constant + (low - constant) // level.step * level.step
        return replace(level, total=total, low=low, high=high)


def _upper(rows: Iterable[Row], counts: int) -> tuple[Ints, Ints]:
    """Write rows as a table, by row and count, and the most that each may be: one for each end."""
    table: list[Ints] = []
    most: list[int] = []
    for row in rows:
        if row.when is not None:
            raise NotForPassesError("a row holds only sometimes")
        for sign, end in ((1, row.high), (-1, row.low)):
            if end is not None:
                table.append(np.zeros(counts, np.int64))
                most.append(sign * end)
                for count, weight in row.terms:
                    table[-1][count] = sign * weight
    return np.array(table).reshape(-1, counts), np.array(most, np.int64)
