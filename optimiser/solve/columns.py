"""A week of one eater as columns and counters, read off the rows of its program.

A column is one whole lunch. Rows of one lunch say which columns there are; a row over several
lunches is a counter. A count of no lunch is told by the shape of the rows it stands in: what is
left of something, a charge, or the packs of an item. No rule is known by name, and a count of any
other shape makes the week one that passes are not for.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from optimiser.board.rows import Row, Sum
from optimiser.solve.counters import (
    Charge,
    Counter,
    Ints,
    Machine,
    NotForPassesError,
    from_zero,
    machine_of_packs,
    reach_of,
)
from optimiser.solve.lunches import LunchWays, own_counts
from optimiser.solve.program import Level, Program, fold

LARGEST = 2**56
"""Most that the priorities may span as one number."""


@dataclass(frozen=True, slots=True)
class _Left:
    """A count of what is left of something, as the lunches eat of it."""

    count: int
    weights: list[Ints]
    there: int


@dataclass(frozen=True, slots=True)
class _Priced:
    """A sum over the counts of a program, as columns, charges and machines add to it."""

    constant: int
    costs: list[Ints]
    charges: list[int]
    machines: list[int]


class WeekColumns:
    """The columns of each lunch of a week, what they cost, and what they are counted by.

    Parameters
    ----------
    program
        The program of a week of one eater.
    levels
        Priorities of it, what matters most first.

    Attributes
    ----------
    stage
        The priorities as one sum.
    costs
        For each lunch, what each of its columns adds to that sum.
    constant
        What it is before any lunch.
    dishes
        For each lunch, the number of the dish of each column, in the order of the file.

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

    def __init__(self, program: Program, levels: Sequence[Level]) -> None:
        self.program = program
        board = program.board
        if any(slot.size > 1 for slot in board.slots) or board.may_buy or not board.slots:
            raise NotForPassesError("lunches are counted together, or may be bought")
        self._owner = {count: slot.at for slot in board.slots for count in own_counts(board, slot)}
        self._of_sides = {count for of in board.option_counts for count in of.values()}
        self._of_sides |= {count for of in board.extra_counts for count in of.values()}
        self._costly = {count for level in levels for count in level.total.terms}
        # What is left of a batch is never a matter of one lunch: there may be less of it.
        apart = self._costly | set(board.left_counts.values())
        parts = _Parts(program.rows, self._owner, apart)
        self._lunches = [
            LunchWays(board, slot, parts.of_slot[slot.at], parts.helpers[slot.at])
            for slot in board.slots
        ]
        self._see_columns()
        self.counters: list[Counter] = []
        self.charges: list[Charge] = []
        self.machines: list[Machine] = []
        self._left: list[_Left] = []
        for row in parts.several:
            self._count(row)
        for counts, rows in parts.others:
            self._take(counts, rows)
        self._drop_idle()
        numbers = {name: at for at, name in enumerate(program.week.dishes)}
        self.dishes = [
            lunch.times((count, numbers[x.dish]) for x, count in of.items())
            for lunch, of in zip(self._lunches, board.serving_counts, strict=True)
        ]
        self.stage = fold([self._narrowed(level) for level in levels])
        if self.stage.weights[0] * (self.stage.levels[0].span + 1) > LARGEST:
            raise NotForPassesError("the priorities span too much for one number")
        priced = self._priced(self.stage.total)
        self.constant, self.costs = priced.constant, priced.costs
        self.charges = [
            replace(x, cost=cost) for x, cost in zip(self.charges, priced.charges, strict=True)
        ]
        self.machines = [
            replace(x, price=[of * cost for of in x.price])
            for x, cost in zip(self.machines, priced.machines, strict=True)
        ]

    def _priced(self, total: Sum) -> _Priced:
        """Say a sum over the counts in terms of columns."""
        terms = total.terms
        costs = [lunch.times(terms.items()) for lunch in self._lunches]
        for left in self._left:
            cost = terms.get(left.count, 0)
            costs = [have - cost * of for have, of in zip(costs, left.weights, strict=True)]
        counts = [*(x.counts for x in self.charges), *(x.counts for x in self.machines)]
        each = [{terms.get(count, 0) for count in of} for of in counts]
        if any(len(of) != 1 or min(of) < 0 for of in each):
            raise NotForPassesError("what is to be small is wanted large, or on some days")
        prices = [of.pop() for of in each]
        return _Priced(
            total.constant + sum(terms.get(x.count, 0) * x.there for x in self._left),
            costs,
            prices[: len(self.charges)],
            prices[len(self.charges) :],
        )

    def _narrowed(self, level: Level) -> Level:
        """Give a priority with the ends that columns can reach: nearer than those of its counts."""
        priced, constant = self._priced(level.total), level.total.constant
        low = priced.constant + sum(int(of.min()) for of in priced.costs)
        high = priced.constant + sum(int(of.max()) for of in priced.costs)
        high += sum(cost * x.most for cost, x in zip(priced.charges, self.charges, strict=True))
        high += sum(cost * x.most for cost, x in zip(priced.machines, self.machines, strict=True))
        low = constant + (low - constant) // level.step * level.step
        return replace(level, low=low, high=high)

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
        values = [0] * len(self.program.board.sheet.bounds)
        for lunch, column in zip(self._lunches, columns, strict=True):
            for count, value in lunch.counts(column):
                values[count] = value
        return values

    def _see_columns(self) -> None:
        if not all(len(lunch.table) for lunch in self._lunches):
            raise NotForPassesError("a lunch has no column")

    # -- what counts them -----------------------------------------------------------

    def _weights(self, terms: Iterable[tuple[int, int]]) -> list[Ints]:
        known = list(terms)
        return [lunch.times(known) for lunch in self._lunches]

    def _depth(self, terms: Iterable[tuple[int, int]]) -> int:
        return 2 if any(count in self._of_sides for count, _ in terms) else 1

    def _count(self, row: Row) -> None:
        """Make counters of a row over several lunches: one for each of its ends."""
        weights, depth = self._weights(row.terms), self._depth(row.terms)
        if row.high is not None:
            self._add(weights, row.high, depth)
        if row.low is not None:
            self._add([-of for of in weights], -row.low, depth)

    def _add(self, weights: list[Ints], most: int, depth: int, batch: str = "") -> None:
        weights, shift = from_zero(weights)
        most -= shift
        step = int(np.gcd.reduce(np.concatenate(weights))) or 1
        self.counters.append(
            Counter([of // step for of in weights], most // step, depth, batch, shift, step)
        )

    def _take(self, counts: list[int], rows: list[Row]) -> None:
        """Make what they are of counts that are of no lunch, by the shape of their rows."""
        board = self.program.board
        items = {
            name
            for name, opened in board.opened_counts.items()
            if not set(counts).isdisjoint(opened.values())
        }
        if len(items) == 1:
            self.machines.append(self._pack(items.pop(), counts, rows))
            return
        if len(counts) != 1 or len(rows) != 1:
            raise NotForPassesError("a count of no lunch is neither what is left nor a charge")
        (count,), (row,) = counts, rows
        low, top = board.sheet.bounds[count]
        own = dict(row.terms)[count]
        rest = self._weights((other, weight) for other, weight in row.terms if other != count)
        if low == 0 and own == 1 and row.low is not None and row.low == row.high:
            batch = next((x for x, at in board.left_counts.items() if at == count), "")
            self._add(rest, row.high, 0 if batch else self._depth(row.terms), batch)
            if sum(int(of.min()) for of in rest) < row.high - top:
                self._add([-of for of in rest], top - row.high, 1)
            self._left.append(_Left(count, rest, row.high))
        elif low == 0 and own > 0 and row.high is None and row.low is not None:
            weights, shift = from_zero([-of for of in rest])
            self.charges.append(Charge(weights, -row.low - shift, own, (count,)))
            if self.charges[-1].most > top:
                raise NotForPassesError("a count may not be as large as the lunches make it")
        else:
            raise NotForPassesError("a count of no lunch is neither what is left nor a charge")

    def _drop_idle(self) -> None:
        """Leave out columns that no counter allows, counters that bind nothing, and doubles."""
        kept = []
        for at, lunch in enumerate(self._lunches):
            fits = np.ones(len(lunch.table), bool)
            for counter in self.counters:
                fits &= counter.weights[at] <= counter.most
            lunch.keep(fits)
            kept.append(fits)
        self._see_columns()

        def pick(of: list[Ints]) -> list[Ints]:
            return [each[fits] for each, fits in zip(of, kept, strict=True)]

        self._left = [replace(x, weights=pick(x.weights)) for x in self._left]
        tightest: dict[tuple[bytes, ...], Counter] = {}
        stocks: list[Counter] = []
        for each in self.counters:
            now = replace(each, weights=pick(each.weights))
            key = tuple(of.tobytes() for of in now.weights)
            if now.batch:
                stocks.append(now)
            elif sum(int(of.max()) for of in now.weights) > now.most and (
                key not in tightest or now.most < tightest[key].most
            ):
                tightest[key] = now
        self.counters = [*stocks, *tightest.values()]
        charges = [replace(x, weights=pick(x.weights)) for x in self.charges]
        self.charges = [
            x for x in charges if reach_of(x, tightest) > x.free and x.counts[0] in self._costly
        ]
        self.machines = [replace(x, use=pick(x.use)) for x in self.machines]

    # -- packs ----------------------------------------------------------------------

    def _pack(self, name: str, counts: list[int], rows: list[Row]) -> Machine:
        """Make the machine of an item whose packs spoil: opened as late as can be."""
        board, item = self.program.board, self.program.week.larder[name]
        kept, opened = board.unspoilt[name], board.opened_counts[name]
        flows = set(counts) - {kept, *opened.values()}
        held = any(row.terms == ((kept, 1),) and row.high == 0 for row in rows)
        rules = {row.rule for row in rows} - {None}
        if not held or item.opened_life is None or flows & self._costly or len(rules) != 1:
            raise NotForPassesError(f"packs of {name} are not opened as they otherwise are")
        weights = self._weights(
            term for slot in board.slots for term in board.used(slot, name).terms.items()
        )
        days = [slot.day for slot in board.slots]
        machine = machine_of_packs(weights, days, board.pack(name), item.opened_life)
        return replace(machine, counts=tuple(opened.values()))


class _Parts:
    """The rows of a program by what they are over: one lunch, several, or counts of none."""

    def __init__(
        self, rows: Sequence[Row], owner: Mapping[int, int], apart: Container[int]
    ) -> None:
        if any(row.when is not None for row in rows):
            raise NotForPassesError("a row holds only sometimes")
        self.of_slot: dict[int, list[Row]] = defaultdict(list)
        self.helpers: dict[int, list[int]] = defaultdict(list)
        self.several: list[Row] = []
        self.others: list[tuple[list[int], list[Row]]] = []
        group: dict[int, list[int]] = {}
        over: list[tuple[Row, set[int], list[int]]] = []
        for row in rows:
            loose = [count for count, _ in row.terms if count not in owner]
            slots = {owner[count] for count, _ in row.terms if count in owner}
            over.append((row, slots, loose))
            _join(group, loose)
        by_group: dict[int, list[Row]] = defaultdict(list)
        slots_of: dict[int, set[int]] = defaultdict(set)
        for row, slots, loose in over:
            if loose:
                by_group[id(group[loose[0]])].append(row)
                slots_of[id(group[loose[0]])] |= slots
            elif len(slots) == 1:
                self.of_slot[slots.pop()].append(row)
            elif slots:
                self.several.append(row)
            elif (row.low or 0) > 0 or (row.high or 0) < 0:
                raise NotForPassesError("a row that no week keeps")
        for counts in {id(counts): counts for counts in group.values()}.values():
            slots = slots_of[id(counts)]
            if len(slots) == 1 and not any(count in apart for count in counts):
                at = slots.pop()
                self.helpers[at] += counts
                self.of_slot[at] += by_group[id(counts)]
            else:
                self.others.append((counts, by_group[id(counts)]))


def _join(group: dict[int, list[int]], counts: list[int]) -> None:
    """Put counts that share a row into one group."""
    together = list(dict.fromkeys(x for count in counts for x in group.get(count, [count])))
    for count in together:
        group[count] = together
