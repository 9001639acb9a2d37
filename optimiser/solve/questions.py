"""Many questions about one week answered together: every volume of its batches, every dish.

Another volume is another first state of the counters of stock. A dish asked for at a lunch is its
columns once more, with a mark that a week has to meet once. So all volumes, and all dishes, go
through the same passes. Each question has a cut-off, beyond which steps are left out: it begins at
the least that the pass before knows, and is raised, farther each time, until a week is found, which
then is the best. StepsLeft is counted; what is not settled within it is for the solver.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from optimiser.solve.columns import WeekColumns
from optimiser.solve.counters import Ints, Machine
from optimiser.solve.limits import Stop
from optimiser.solve.passes import (
    NEVER,
    CounterWords,
    Pass,
    Start,
    StepsLeft,
    TooMuchWorkError,
    ground,
    least,
    refine,
)

MOST_STEPS = 8_000_000
"""Steps that are looked at for all questions in one pass: about two seconds."""
MOST_ALIKE = 40
"""Weeks as good in everything that are told apart."""
UNKNOWN = NEVER + 1
"""What was not settled."""
_FARTHER = 16
"""How many times as far a question is looked at that was not settled."""
_FARTHEST = NEVER // 8
"""Farther than any week is."""
_FREE = -NEVER // 4
"""What a week begins with that is not cut off."""

_Look = Callable[[int, NDArray[np.bool_], Ints], tuple[Ints, int]]
"""Looks in a pass at open questions up to their cut-offs: what each comes to, what lies beyond."""


@dataclass(frozen=True, slots=True)
class _Passes:
    """The passes of a week: the first keeps all, the others are made for each round anew."""

    bottom: Pass
    first: Pass
    begun: Ints
    """By question the state of the first pass that it begins with."""
    others: list[CounterWords]
    work: StepsLeft

    def last(
        self, depth: int, begun: Ints, first: Ints, costs: Sequence[Ints]
    ) -> tuple[Pass, Ints, int]:
        """Go on to one of the others; give it, its first states and what lies beyond."""
        made, beyond = self.first, NEVER
        for words in self.others[:depth]:
            start = Start(begun, np.tile(_none(words), (len(begun), 1)), first)
            made, begun = refine(made, words, start, costs, self.work)
            beyond = min(beyond, made.beyond)
        return made, begun, beyond

    def reckon(self, costs: Sequence[Ints]) -> None:
        """Let columns cost otherwise."""
        self.bottom.reckon(costs, self.bottom.rest[-1])
        self.first.reckon(costs, self.first.rest[-1])


def _passes(
    columns: WeekColumns,
    costs: Sequence[Ints],
    machines: Sequence[Machine],
    there: Sequence[Mapping[str, int]],
    *,
    asked: bool,
    stop: Stop | None,
) -> _Passes:
    """Make the passes of columns; where one is asked for, each is there twice."""

    def taken(weights: list[Ints]) -> list[Ints]:
        return [np.tile(of, 1 + asked) for of in weights]

    counters = [replace(each, weights=taken(each.weights)) for each in columns.counters]
    charges = [replace(each, weights=taken(each.weights)) for each in columns.charges]
    stock, *others = (
        CounterWords([x for x in counters if x.depth == depth], charges if depth == 1 else [])
        for depth in range(3)
    )
    work = StepsLeft(MOST_STEPS, stop)
    bottom = ground(machines, costs)
    states = np.arange(bottom.steps[-1].after.max() + 1)
    # The last machine, of two states, is that of what is asked for: a week has to have met it.
    bottom.reckon(costs, np.where((states % 2 == 0) & asked, NEVER, 0))
    words = [stock.begun(each) for each in there]
    start = Start(
        np.zeros(len(there), np.int64),
        np.array([_none(stock) if of is None else of for of in words]).reshape(
            len(there), stock.size
        ),
        np.full(len(there), _FREE),
    )
    first, begun = refine(bottom, stock, start, costs, work)
    begun = np.where([of is None for of in words], -1, begun)
    return _Passes(bottom, first, begun, others, work)


def _none(words: CounterWords) -> Ints:
    begun = words.begun({})
    return np.zeros(words.size, np.int64) if begun is None else begun


def _settled(known: Ints, work: StepsLeft, look: _Look) -> Ints:
    """Raise the cut-offs of questions until each is settled, in one pass, then in the next.

    Parameters
    ----------
    known
        By question, what no week comes to less than.
    work
        Is given anew for each pass.
    look
        Is called for each round.

    Returns
    -------
    Ints
        What each comes to: `NEVER` where no week does, `UNKNOWN` where there was too much work.
    """
    for depth in (1, 2):
        work.left = MOST_STEPS
        known = _rounds(known, partial(look, depth))
    return known


def _rounds(known: Ints, look: Callable[[NDArray[np.bool_], Ints], tuple[Ints, int]]) -> Ints:
    unsettled, cut, gap = known < NEVER // 2, known.copy(), 0
    value = np.where(unsettled | (known == UNKNOWN), UNKNOWN, NEVER)
    with suppress(TooMuchWorkError):
        while unsettled.any():
            came, beyond = look(unsettled, cut)
            # Where nothing was left out, what was found is the best there is, or there is none.
            done = unsettled & ((came <= cut) | (gap == _FARTHEST) | (beyond == NEVER))
            value[done] = np.minimum(came[done], NEVER)
            unsettled &= ~done
            gap = min(_FARTHEST, max(gap * _FARTHER, gap + beyond))
            # A week that was found need not be the best yet, but the best lies no farther.
            cut = np.minimum(known + gap, np.maximum(came, cut))
    return value


# -- volumes --------------------------------------------------------------------------


def best_weeks(
    columns: WeekColumns, there: Sequence[Mapping[str, int]], stop: Stop | None = None
) -> list[list[list[int]]]:
    """Find the best weeks for other volumes of some batches.

    Parameters
    ----------
    columns
        The columns of the week with the most that there is of each batch.
    there
        For each question, how many portions there are of the batches that are turned.
    stop
        Ends the passes early; what is settled by then is given.

    Returns
    -------
    list of list of list of int
        For each question the weeks that are as good as can be in everything, each a column for
        every lunch; none where that was not settled, or no week is possible. Questions that come
        to the same share their list.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> program = Program(read_week("minimal"))
    >>> columns = WeekColumns(program, program.levels)
    >>> [len(weeks) for weeks in best_weeks(columns, [{"rice and beans": 6}])]
    [1]
    """
    best: dict[int, list[list[int]]] = {}
    none: list[list[int]] = []
    begun = np.full(len(there), -1)
    turned = {name for portions in there for name in portions}
    if not turned <= {counter.batch for counter in columns.counters}:
        return [none for _ in there]
    try:
        passes = _passes(columns, columns.costs, columns.machines, there, asked=False, stop=stop)
        # What is there beyond what can be eaten changes nothing: such volumes are one question.
        begun = passes.begun
        known = np.where(
            np.isin(np.arange(len(passes.first.rest[0])), begun), passes.first.rest[0], NEVER
        )

        def look(depth: int, unsettled: NDArray[np.bool_], cut: Ints) -> tuple[Ints, int]:
            which = np.nonzero(unsettled)[0]
            made, at, beyond = passes.last(depth, which, -cut[which], columns.costs)
            came = np.full(len(cut), NEVER)
            came[which] = made.rest[0][at]
            for question, state in zip(which.tolist(), at.tolist(), strict=True):
                far = cut[question] if beyond < NEVER else NEVER // 2
                if depth == 2 and came[question] <= far:
                    alike = _weeks(made, columns.costs, 0, state)
                    best[question] = list(islice(alike, MOST_ALIKE + 1))
            return came, beyond

        _settled(known, passes.work, look)
    except TooMuchWorkError:
        pass
    kept = {at: weeks for at, weeks in best.items() if len(weeks) <= MOST_ALIKE}
    return [kept.get(at, none) for at in begun.tolist()]


def _weeks(made: Pass, costs: Sequence[Ints], at: int, state: int) -> Iterator[list[int]]:
    """List the weeks from a state on that come to the least there is."""
    if at == len(costs):
        yield []
        return
    steps = made.steps[at]
    own = slice(steps.begins[state], steps.begins[state + 1])
    come = made.cost[at][steps.kind[own]] + steps.price[own]
    come += made.rest[at + 1][steps.after[own]]
    for step in np.nonzero(come == made.rest[at][state])[0] + own.start:
        kind = steps.kind[step]
        alike = (made.kinds[at] == kind) & (costs[at] == made.cost[at][kind])
        for rest in _weeks(made, costs, at + 1, int(steps.after[step])):
            for column in np.nonzero(alike)[0].tolist():
                yield [column, *rest]


# -- dishes ---------------------------------------------------------------------------


def best_with_each(columns: WeekColumns, best: int, stop: Stop | None = None) -> Ints:
    """Find what the best week with each dish at each lunch comes to.

    Parameters
    ----------
    columns
        The columns of the week.
    best
        What its best week comes to, without the constant of the columns.
    stop
        Ends the passes early; what is settled by then is given.

    Returns
    -------
    Ints
        By lunch and dish, without the constant; `NEVER` where no week has it, `UNKNOWN` where that
        was not settled.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> program = Program(read_week("minimal"))
    >>> columns = WeekColumns(program, program.levels)
    >>> best_with_each(columns, -(2**40)).shape == (3, len(program.week.dishes))
    True
    """
    dishes = len(columns.program.week.dishes)
    # Each column a second time, asked for.
    costs = [np.tile(of, 2) for of in columns.costs]
    marks = [np.append(np.zeros_like(of), of + 1) for of in columns.dishes]
    machines = [replace(x, use=[np.tile(of, 2) for of in x.use]) for x in columns.machines]
    try:
        passes = _passes(
            columns, costs, [*machines, _met(marks, dishes)], [{}], asked=True, stop=stop
        )
        known = np.maximum(_through(passes.first, marks, dishes) - _FREE, best)

        def look(depth: int, unsettled: NDArray[np.bool_], cut: Ints) -> tuple[Ints, int]:
            off = np.where(unsettled, cut, -NEVER)
            now = [of - np.append(0, off[at])[marks[at]] for at, of in enumerate(costs)]
            passes.reckon(now)
            nothing = np.zeros(1, np.int64)
            made, _, beyond = passes.last(depth, passes.begun, nothing, now)
            return np.where(unsettled, _through(made, marks, dishes) + cut, NEVER), beyond

        return _settled(known, passes.work, look)
    except TooMuchWorkError:
        return np.full((len(costs), dishes), UNKNOWN)


def _met(marks: Sequence[Ints], dishes: int) -> Machine:
    """Make the machine that sees to it that a column that is asked for comes once."""
    to = np.ones((2, dishes + 1), np.int64)
    to[0, 0] = 0
    price = np.zeros_like(to)
    price[1, 1:] = NEVER
    first = np.zeros_like(to[:1])
    first[0, 1:] = 1
    lunches = len(marks)
    return Machine(
        list(marks), [first, *[to] * (lunches - 1)], [price[:1], *[price] * (lunches - 1)]
    )


def _through(made: Pass, marks: Sequence[Ints], dishes: int) -> Ints:
    """Give by lunch and dish the least of a week that has it there, asked for."""
    best = np.full((len(marks), dishes), NEVER)
    for at, mark in enumerate(marks):
        steps = made.steps[at]
        of_kind = np.zeros(len(made.cost[at]), np.int64)
        of_kind[made.kinds[at]] = mark
        come = made.first[at][steps.state] + made.come(at)
        best[at] = least(of_kind[steps.kind], come, dishes + 1)[1:]
    return best
