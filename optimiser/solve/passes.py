"""Passes over the columns of a week: each counts more than the one before, and is bounded by it.

A pass goes through the lunches in order. Its state is a state of the pass before and what its own
counters have come to; a step is one column. What is still to come at the least from a state of the
pass before is known, so a step is left out where it leads beyond what is asked for. Backwards the
pass then works out what is still to come from its own states, exactly. The first counts little and
keeps all its states; the last counts everything, and what it says is so.

Counters lie side by side in words of 62 bits, each with a guard above it that an addition beyond
its most sets: a step is one addition, and it is allowed where no guard is set.

Bounds from a coarser state space: Christofides, Mingozzi and Toth, State-space relaxation
procedures for the computation of bounds to routing problems, Networks 11, 1981.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from optimiser.solve.columns import Counter, Ints, Machine, spread
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
        to, price = to[:, moves], price[:, moves]
        begins = np.arange(len(to) + 1) * len(moves)
        kind = np.tile(np.arange(len(moves)), len(to))
        made.kinds.append(kinds.ravel())
        made.steps.append(Steps(begins, kind, to.ravel(), price.ravel()))
    return made


def _both(slow: Ints, fast: Ints) -> Ints:
    both = slow[:, None, :, None] + fast[None, :, None, :]
    return both.reshape(slow.shape[0] * fast.shape[0], slow.shape[1] * fast.shape[1])


class CounterWords:
    """Counters side by side in words of 62 bits.

    Parameters
    ----------
    counters
        What is counted.
    columns
        How many columns each lunch has.

    Attributes
    ----------
    begun, guards
        The words in which nothing is counted yet, and the bits in them that stand for too much.
    adds
        For each lunch, what each of its columns adds: a row of words.

    Raises
    ------
    TooMuchWorkError
        When one is too large for a word.
    """

    def __init__(self, counters: Sequence[Counter], columns: Sequence[int]) -> None:
        self._counters, places = counters, np.zeros((len(counters), 2), np.int64)
        width = np.array([x.reach.bit_length() + 1 for x in counters], np.int64)
        if width.max(initial=0) > _BITS:
            raise TooMuchWorkError
        word = bit = 0
        for at, bits in enumerate(width.tolist()):
            if bit + bits > _BITS:
                word, bit = word + 1, 0
            places[at] = word, bit
            bit += bits
        self._word, self._bit = places.T
        self._into = (np.arange(word + 1) == self._word[:, None]) << self._bit[:, None]
        guard = 1 << (width - 1)
        # One beyond its most sets the guard.
        self._nothing = guard - 1 - np.array([x.reach for x in counters], np.int64)
        self._mask = 2 * guard - 1
        self.begun, self.guards = (self._nothing @ self._into)[None], guard @ self._into
        self.adds: list[Ints] = [
            np.array([x.weights[at] for x in counters], np.int64).reshape(-1, many).T @ self._into
            for at, many in enumerate(columns)
        ]
        self._still = [[sum(x.tops[at:]) for at in range(len(x.weights) + 1)] for x in counters]

    def settle(self, at: int, words: Ints) -> Ints:
        """Forget what lunches from one on cannot bring to where it binds or costs.

        Parameters
        ----------
        at
            The lunch that comes next.
        words
            States, a row each; changed in place.

        Returns
        -------
        Ints
            What is due for counters to which no lunch adds any more.
        """
        due = np.zeros(len(words), np.int64)
        for place, (x, still) in enumerate(zip(self._counters, self._still, strict=True)):
            ended, begun = not still[at], still[at] < still[0]
            if not (begun or ended) or (at > 1 and not still[at - 1]):
                continue
            word, bit = self._word[place], self._bit[place]
            count = ((words[:, word] >> bit) & self._mask[place]) - self._nothing[place]
            if ended:
                due += x.cost * np.maximum(0, -((x.free - count) // x.step))
            else:
                count[count > min(x.free, x.most) - still[at]] = 0
            words[:, word] -= count << bit
        return due


def refine(
    coarse: Pass, words: CounterWords, costs: Sequence[Ints], until: int, work: StepsLeft
) -> Pass:
    """Make the pass that counts more than one before it.

    Parameters
    ----------
    coarse
        The pass before.
    words
        What this one counts besides.
    costs
        For each lunch, the cost of each of its columns.
    until
        Weeks that come to more are left out.
    work
        Steps that may be looked at.

    Returns
    -------
    Pass
        The pass.

    Raises
    ------
    TooMuchWorkError
        When there are more steps than that.

    Examples
    --------
    >>> costs = [np.array([0, 5]), np.array([0, 5])]
    >>> coarse = ground([], costs)
    >>> coarse.reckon(costs, np.zeros(1, np.int64))
    >>> once = CounterWords([Counter(1, depth=1, free=1, weights=(np.array([1, 0]),) * 2)], [2, 2])
    >>> refine(coarse, once, costs, 9, StepsLeft(99)).rest[0].tolist()
    [5]
    """
    made, state, counted = Pass(), np.zeros(1, np.int64), words.begun
    made.first.append(np.zeros(1, np.int64))
    for at, cost in enumerate(costs):
        first, before = made.first[at], coarse.steps[at]
        alike, kinds = _alike(coarse.kinds[at], words.adds[at])
        coarse_kind, adds = coarse.kinds[at][alike], words.adds[at][alike]
        cheapest = least(kinds, cost, len(alike))
        # What the pass before knows of a step is enough to leave most of them out.
        which, step = _each_of(before.begins, state, work)
        ahead = first[which] + coarse.come(at)[step]
        made.beyond = min(made.beyond, _above(ahead, until))
        which, step = which[ahead <= until], step[ahead <= until]
        begins = np.searchsorted(coarse_kind, np.arange(len(coarse.cost[at]) + 1))
        pair, kind = _each_of(begins, before.kind[step], work)
        which, step = which[pair], step[pair]
        come = first[which] + cheapest[kind] + before.price[step]
        new = counted[which] + adds[kind]
        ahead = come + coarse.rest[at + 1][before.after[step]]
        fits = ((new & words.guards) == 0).all(axis=1)
        made.beyond = min(made.beyond, _above(ahead[fits], until))
        fits &= ahead <= until
        which, step, kind, come, new = (of[fits] for of in (which, step, kind, come, new))
        due = words.settle(at + 1, new)
        alike, after = _alike(before.after[step], new)
        begins = np.searchsorted(which, np.arange(len(first) + 1))
        made.kinds.append(kinds)
        made.steps.append(Steps(begins, kind, after, before.price[step] + due))
        made.first.append(least(after, come + due, len(alike)))
        state, counted = before.after[step][alike], new[alike]
    made.reckon(costs, coarse.rest[-1][state])
    return made


def _above(ahead: Ints, until: int) -> int:
    """Give the least of what lies beyond and is possible at all."""
    return int(ahead[(ahead > until) & (ahead < NEVER // 2)].min(initial=NEVER))


def _each_of(begins: Ints, rows: Ints, work: StepsLeft) -> tuple[Ints, Ints]:
    """Give for each row what lies between where it begins and the next: which row, and what."""
    many = begins[rows + 1] - begins[rows]
    work.spend(int(many.sum()))
    return spread(begins[rows], many)


def _alike(first: Ints, more: Ints) -> tuple[Ints, Ints]:
    """Find equal rows: the first of each in their order, and for every row which it is."""
    order = np.lexsort((*more.T, first))
    new = np.ones(len(order), bool)
    new[1:] = first[order][1:] != first[order][:-1]
    new[1:] |= (more[order][1:] != more[order][:-1]).any(axis=1)
    number = np.empty(len(order), np.int64)
    number[order] = np.cumsum(new) - 1
    return order[new], number
