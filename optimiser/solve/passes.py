"""Passes over the columns of a week: each counts more than the one before, and is bounded by it.

A pass goes through the lunches in order. Its state is a state of the pass before and what its own
counters have come to; a step is one column. What is still to come at the least from a state of the
pass before is known, so a step is left out where it leads beyond what a question asks for.
Backwards the pass then works out what is still to come from its own states, exactly. The first
counts little and keeps all its states; the last counts everything, and what it says is so.

Counters lie side by side in words of 62 bits, each with a guard above it that an addition beyond
its most sets: a step is one addition, and it is allowed where no guard is set.

Bounds from a coarser state space: Christofides, Mingozzi and Toth, State-space relaxation
procedures for the computation of bounds to routing problems, Networks 11, 1981.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from optimiser.solve.counters import Charge, Counter, Ints, Machine
from optimiser.solve.limits import Stop

NEVER = 2**60
"""What no week comes to."""
MOST_AT_ONCE = 3_000_000
"""Steps, for the sake of memory."""
_BITS = 62


class TooMuchWorkError(RuntimeError):
    """More steps than a question is worth."""


@dataclass(slots=True)
class StepsLeft:
    """Steps that may still be looked at, whatever the machine, unless somebody ends it."""

    left: int
    stop: Stop | None = None

    def spend(self, steps: int) -> None:
        """Take some off, which are looked at all at once.

        Parameters
        ----------
        steps
            How many.

        Raises
        ------
        TooMuchWorkError
            When there are not so many left, or it was stopped.
        """
        self.left -= steps
        stopped = self.stop is not None and self.stop.over
        if stopped or self.left < 0 or steps > MOST_AT_ONCE:
            raise TooMuchWorkError


@dataclass(frozen=True, slots=True)
class Steps:
    """The steps of a pass at one lunch, in the order of the states they lead from.

    Attributes
    ----------
    begins
        By state its first step, and the end of all.
    kind, after, price
        By step the kind of column, the state it leads to, and what it costs beside the column.
    """

    begins: Ints
    kind: Ints
    after: Ints
    price: Ints

    @property
    def state(self) -> Ints:
        """By step the state it leads from."""
        return np.repeat(np.arange(len(self.begins) - 1), np.diff(self.begins))


@dataclass(slots=True)
class Pass:
    """What a pass found.

    Attributes
    ----------
    kinds
        For each lunch, the kind of each column: those of a kind step alike.
    cost
        For each lunch, what the cheapest column of each kind costs.
    steps
        For each lunch, its steps.
    first, rest
        For each lunch and the end, by state, the least that led there and the least still to come.
    beyond
        The least by which a step was left out, `NEVER` where none was.
    """

    kinds: list[Ints] = field(default_factory=list)
    cost: list[Ints] = field(default_factory=list)
    steps: list[Steps] = field(default_factory=list)
    first: list[Ints] = field(default_factory=list)
    rest: list[Ints] = field(default_factory=list)
    beyond: int = NEVER

    def come(self, at: int) -> Ints:
        """Say what there is to come with each step.

        Parameters
        ----------
        at
            A lunch.

        Returns
        -------
        Ints
            By step of that lunch the least from there on, the column among it.
        """
        steps = self.steps[at]
        return self.cost[at][steps.kind] + steps.price + self.rest[at + 1][steps.after]

    def reckon(self, costs: Sequence[Ints], end: Ints) -> None:
        """Work out what is still to come, at what columns cost now.

        Parameters
        ----------
        costs
            For each lunch, the cost of each of its columns.
        end
            By state at the end, 0, or `NEVER` where no week may end.
        """
        pairs = zip(self.kinds, costs, strict=True)
        self.cost = [least(kinds, of, int(kinds.max(initial=-1)) + 1) for kinds, of in pairs]
        self.rest = [*([end] * (len(costs) + 1))]
        for at in reversed(range(len(costs))):
            size = len(self.steps[at].begins) - 1
            self.rest[at] = least(self.steps[at].state, self.come(at), size)


def least(places: Ints, values: Ints, size: int) -> Ints:
    """Give for each place the least of the values that are there.

    Parameters
    ----------
    places, values
        As many of the one as of the other.
    size
        How many places there are.

    Returns
    -------
    Ints
        `NEVER` where there is none, or none smaller.

    Examples
    --------
    >>> least(np.array([0, 0, 2]), np.array([5, 3, 4]), 3).tolist() == [3, NEVER, 4]
    True
    """
    table = np.full(size, NEVER)
    np.minimum.at(table, places, values)
    return table


def ground(machines: Sequence[Machine], costs: Sequence[Ints]) -> Pass:
    """Begin with what counts nothing: only machines, which are in every pass.

    Parameters
    ----------
    machines
        Of each state 0 is the first.
    costs
        For each lunch, how much each of its columns costs.

    Returns
    -------
    Pass
        Its states are those of all machines together, the last changing fastest.

    Raises
    ------
    TooMuchWorkError
        When there are too many of them.

    Examples
    --------
    >>> alone = ground([], [np.array([3, 5]), np.array([2])])
    >>> alone.reckon([np.array([3, 5]), np.array([2])], np.zeros(1, np.int64))
    >>> [of.tolist() for of in alone.rest]
    [[5], [2], [0]]
    """
    made = Pass()
    for at, of in enumerate(costs):
        to, price = np.zeros((1, 1), np.int64), np.zeros((1, 1), np.int64)
        use = np.zeros(len(of), np.int64)
        for each in machines:
            last = at + 1 == len(costs)
            size = int(each.to[at].max()) + 1 if last else len(each.to[at + 1])
            StepsLeft(MOST_AT_ONCE).spend(to.size * each.to[at].size)
            to, price = _both(to * size, each.to[at]), _both(price, each.price[at])
            use = use * each.to[at].shape[1] + each.use[at]
        moves, kinds = np.unique(use, return_inverse=True)
        made.kinds.append(kinds.ravel())
        to, price = to[:, moves], price[:, moves]
        begins = np.arange(len(to) + 1) * len(moves)
        kind = np.tile(np.arange(len(moves)), len(to))
        made.steps.append(Steps(begins, kind, to.ravel(), price.ravel()))
    return made


def _both(slow: Ints, fast: Ints) -> Ints:
    both = slow[:, None, :, None] + fast[None, :, None, :]
    return both.reshape(slow.shape[0] * fast.shape[0], slow.shape[1] * fast.shape[1])


class CounterWords:
    """Counters and charges side by side in words of 62 bits.

    Parameters
    ----------
    counters, charges
        What is counted; a charge has no most.
    """

    def __init__(self, counters: Sequence[Counter], charges: Sequence[Charge]) -> None:
        self._all: list[Counter | Charge] = [*counters, *charges]
        self._tops = [[int(of.max(initial=0)) for of in each.weights] for each in self._all]
        self._most = [
            min(each.most, sum(tops)) if isinstance(each, Counter) else sum(tops)
            for each, tops in zip(self._all, self._tops, strict=True)
        ]
        self._place: list[tuple[int, int, int]] = []
        """For each its word, its lowest bit and its width, the guard among it."""
        self.size, bit = 0, _BITS
        for most in self._most:
            width = most.bit_length() + 1
            if width > _BITS:
                raise TooMuchWorkError
            if bit + width > _BITS:
                self.size, bit = self.size + 1, 0
            self._place.append((self.size - 1, bit, width))
            bit += width
        self.guards = np.zeros(self.size, np.int64)
        for word, bit, width in self._place:
            self.guards[word] |= 1 << (bit + width - 1)

    def begun(self, there: Mapping[str, int]) -> Ints | None:
        """Give the words in which nothing is counted yet; a guard is set beyond each most.

        Parameters
        ----------
        there
            Portions of the batches of which there is less than the counters say.

        Returns
        -------
        Ints or None
            None where there is too little for any week.
        """
        words = np.zeros(self.size, np.int64)
        for each, most, (word, bit, width) in zip(self._all, self._most, self._place, strict=True):
            words[word] += ((1 << (width - 1)) - 1 - most) << bit
            if isinstance(each, Counter) and each.batch in there:
                room = each.room(there[each.batch])
                if room < 0:
                    return None
                words[word] += max(0, most - room) << bit
        return words

    def steps(self, at: int, columns: int) -> Ints:
        """Say what columns add.

        Parameters
        ----------
        at
            A lunch.
        columns
            How many columns it has.

        Returns
        -------
        Ints
            A row of words for each.
        """
        steps = np.zeros((columns, self.size), np.int64)
        for each, (word, bit, _) in zip(self._all, self._place, strict=True):
            steps[:, word] += each.weights[at] << bit
        return steps

    def settle(self, at: int, words: Ints) -> Ints:
        """Forget what lunches from one on cannot bring beyond its most.

        Parameters
        ----------
        at
            The lunch that comes next.
        words
            States, a row each; changed in place.

        Returns
        -------
        Ints
            What charges come to that end with the lunch before.
        """
        due = np.zeros(len(words), np.int64)
        for each, tops, most, (word, bit, width) in zip(
            self._all, self._tops, self._most, self._place, strict=True
        ):
            end = max([1, *(at + 1 for at, top in enumerate(tops) if top)])
            if at > end or not (any(tops[:at]) or each.__class__ is Charge or at == 0):
                continue
            count = words[:, word] >> bit
            count &= (1 << width) - 1
            count -= (1 << (width - 1)) - 1 - most
            if isinstance(each, Charge) and at == end:
                due += each.cost * np.maximum(0, -((each.free - count) // each.step))
            elif at < end:
                enough = most if isinstance(each, Counter) else each.free
                count[count > enough - sum(tops[at:])] = 0
            words[:, word] -= count << bit
        return due


@dataclass(frozen=True, slots=True)
class Start:
    """Where a pass begins: states of the one before, words, and what a week begins with."""

    coarse: Ints
    words: Ints
    first: Ints


def refine(
    coarse: Pass, words: CounterWords, start: Start, costs: Sequence[Ints], work: StepsLeft
) -> tuple[Pass, Ints]:
    """Make the pass that counts more than one before it.

    Parameters
    ----------
    coarse
        The pass before.
    words
        What this one counts besides.
    start
        Where it begins; weeks that come to more than 0, what they begin with among it, are left
        out.
    costs
        For each lunch, the cost of each of its columns.
    work
        Steps that may be looked at.

    Returns
    -------
    tuple of Pass and Ints
        The pass, and its first state for each start.

    Raises
    ------
    TooMuchWorkError
        When there are more steps than that.

    Examples
    --------
    >>> costs = [np.array([0, 5]), np.array([0, 5])]
    >>> coarse = ground([], costs)
    >>> coarse.reckon(costs, np.zeros(1, np.int64))
    >>> once = CounterWords([Counter([np.array([1, 0])] * 2, most=1, depth=1)], [])
    >>> start = Start(np.array([0]), once.begun({})[None], np.array([-9]))
    >>> made, begun = refine(coarse, once, start, costs, StepsLeft(99))
    >>> int(made.rest[0][begun[0]])
    5
    """
    made = Pass()
    words.settle(0, start.words)
    state, begun = _alike(start.coarse, start.words)
    coarse_at, counted = start.coarse[state], start.words[state]
    made.first.append(least(begun, start.first, len(state)))
    for at, cost in enumerate(costs):
        first, before = made.first[at], coarse.steps[at]
        coarse_kind, adds, kinds = _kinds(coarse.kinds[at], words, at)
        cheapest = least(kinds, cost, len(adds))
        # What the pass before knows of a step is enough to leave most of them out.
        which, step = _each_of(before.begins, coarse_at, work)
        ahead = first[which] + coarse.come(at)[step]
        made.beyond = min(made.beyond, _above(ahead))
        which, step = which[ahead <= 0], step[ahead <= 0]
        begins = np.searchsorted(coarse_kind, np.arange(len(coarse.cost[at]) + 1))
        pair, kind = _each_of(begins, before.kind[step], work)
        which, step = which[pair], step[pair]
        come = first[which] + cheapest[kind] + before.price[step]
        new = counted[which] + adds[kind]
        ahead = come + coarse.rest[at + 1][before.after[step]]
        fits = ((new & words.guards) == 0).all(axis=1)
        made.beyond = min(made.beyond, _above(ahead[fits]))
        fits &= ahead <= 0
        which, step, kind, come, new = (of[fits] for of in (which, step, kind, come, new))
        due = words.settle(at + 1, new)
        state, after = _alike(before.after[step], new)
        begins = np.searchsorted(which, np.arange(len(first) + 1))
        made.kinds.append(kinds)
        made.steps.append(Steps(begins, kind, after, before.price[step] + due))
        made.first.append(least(after, come + due, len(state)))
        coarse_at, counted = before.after[step][state], new[state]
    made.reckon(costs, coarse.rest[-1][coarse_at])
    return made, begun


def _above(ahead: Ints) -> int:
    """Give the least of what lies beyond 0 and is possible at all."""
    return int(ahead[(ahead > 0) & (ahead < NEVER // 2)].min(initial=NEVER))


def _each_of(begins: Ints, rows: Ints, work: StepsLeft) -> tuple[Ints, Ints]:
    """Give for each row what lies between where it begins and the next: which row, and what."""
    many = begins[rows + 1] - begins[rows]
    work.spend(int(many.sum()))
    which = np.repeat(np.arange(len(rows)), many)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(many) - many - begins[rows], many)


def _kinds(coarse: Ints, words: CounterWords, at: int) -> tuple[Ints, Ints, Ints]:
    """Put columns together that step alike: the kind of each in the pass before comes first."""
    adds = words.steps(at, len(coarse))
    alike, kinds = _alike(coarse, adds)
    return coarse[alike], adds[alike], kinds


def _alike(first: Ints, more: Ints) -> tuple[Ints, Ints]:
    """Find equal rows: the first of each in their order, and for every row which it is."""
    order = np.lexsort((*more.T, first))
    new = np.ones(len(order), bool)
    new[1:] = first[order][1:] != first[order][:-1]
    new[1:] |= (more[order][1:] != more[order][:-1]).any(axis=1)
    number = np.empty(len(order), np.int64)
    number[order] = np.cumsum(new) - 1
    return order[new], number
