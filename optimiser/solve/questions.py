"""Many questions about one week answered together: every volume of its batches, every dish.

A question is some columns of one lunch, of which a week has to take one: those of a dish, or what
is cooked less of the batches. Each column that is asked for bears the mark of its question, and a
machine of two states sees to it that a mark is met once; so all questions go through the same
passes. Each has a cut-off, beyond which steps are left out: it begins at the least that the pass
before knows, and is raised, farther each time, until a week is found, which then is the best.
Steps are counted; what is not settled within so many is for the solver.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from models.week.cook import week_cooked_in
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.solve.columns import Ints, Machine, NotForPassesError, WeekColumns
from optimiser.solve.limits import Stop
from optimiser.solve.passes import (
    NEVER,
    CounterWords,
    Pass,
    StepsLeft,
    TooMuchWorkError,
    ground,
    least,
    refine,
)
from optimiser.solve.program import Program
from optimiser.solve.ties import ties
from optimiser.solve.week import packed_of

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


@dataclass(frozen=True, slots=True)
class _Asked:
    """The columns of a week, some of them marked.

    Attributes
    ----------
    taken
        For each lunch, which columns there are; one may be there with a mark and without.
    marks
        For each lunch, by these columns the question from 1 on, 0 where none is asked.
    many
        How many questions there are.
    """

    columns: WeekColumns
    taken: list[Ints]
    marks: list[Ints]
    many: int

    def of(self, by_column: Sequence[Ints]) -> list[Ints]:
        """Give for each lunch what is known of its columns, for those taken."""
        return [of[taken] for of, taken in zip(by_column, self.taken, strict=True)]

    def words(self, depth: int) -> CounterWords:
        """Put the counters of one pass side by side."""
        own = [x for x in self.columns.counters if x.depth == depth]
        taken = [replace(x, weights=tuple(self.of(x.weights))) for x in own]
        return CounterWords(taken, [len(of) for of in self.taken])

    def machines(self) -> list[Machine]:
        """Give those of the week, and at last the one that sees to it that a mark is met once."""
        met = Machine([], [], [])
        for at, of in enumerate(self.marks):
            marks, use = np.unique(of, return_inverse=True)
            states = 1 if at == 0 else 2
            to, price = np.ones((2, len(marks)), np.int64), np.zeros((2, len(marks)), np.int64)
            to[0], price[1] = marks > 0, np.where(marks > 0, NEVER, 0)
            met.use.append(use.ravel())
            met.to.append(to[:states])
            met.price.append(price[:states])
        return [*(replace(x, use=self.of(x.use)) for x in self.columns.machines), met]

    def through(self, made: Pass) -> Ints:
        """Give by question the least that a week comes to in which it is met."""
        best = np.full(self.many + 1, NEVER)
        for at, marks in enumerate(self.marks):
            of_kind = np.zeros(len(made.cost[at]), np.int64)
            of_kind[made.kinds[at]] = marks
            steps = made.steps[at]
            come = made.first[at][steps.state] + made.come(at)
            best = np.minimum(best, least(of_kind[steps.kind], come, self.many + 1))
        return best[1:]

    def settled(self, known: int, stop: Stop | None) -> tuple[Ints, dict[int, Pass]]:
        """Raise the cut-offs of all questions until each is settled, in one pass, then the next.

        Parameters
        ----------
        known
            What no week comes to less than.
        stop
            Ends the passes early; what is settled by then is given.

        Returns
        -------
        tuple of Ints and dict of int to Pass
            By question what it comes to: `NEVER` where no week does, `UNKNOWN` where there was too
            much work; and the pass in which it was settled.
        """
        settled: dict[int, Pass] = {}
        costs, work = self.of(self.columns.costs), StepsLeft(MOST_STEPS, stop)
        try:
            bottom = ground(self.machines(), costs)
            states = np.arange(bottom.steps[-1].after.max() + 1)
            bottom.reckon(costs, np.where(states % 2 == 0, NEVER, 0))
            first = refine(bottom, self.words(0), costs, NEVER // 2, work)
            others = [self.words(1), self.words(2)]
        except TooMuchWorkError:
            return np.full(self.many, UNKNOWN), settled
        value = np.maximum(self.through(first), known)
        for depth in (1, 2):
            work.left = MOST_STEPS
            lows, gap, opened = value, 0, value < NEVER // 2
            cut, value = lows.copy(), np.where(opened, UNKNOWN, np.maximum(lows, NEVER))
            with suppress(TooMuchWorkError):
                while opened.any():
                    off = np.append(0, np.where(opened, cut, -NEVER))
                    now = [of - off[marks] for of, marks in zip(costs, self.marks, strict=True)]
                    made, beyond = first, NEVER
                    for each in (bottom, first):
                        each.reckon(now, each.rest[-1])
                    for words in others[:depth]:
                        made = refine(made, words, now, 0, work)
                        beyond = min(beyond, made.beyond)
                    came = self.through(made)
                    # What no week has costs `NEVER`, and stays so where a cut-off is below 0.
                    came = np.where(opened & (came < NEVER // 2), came + cut, NEVER)
                    # Where nothing was left out, what was found is the best, or there is none.
                    done = opened & ((came <= cut) | (gap == _FARTHEST) | (beyond == NEVER))
                    value[done] = np.minimum(came[done], NEVER)
                    settled |= dict.fromkeys(np.nonzero(done)[0].tolist(), made)
                    opened &= ~done
                    gap = min(_FARTHEST, max(gap * _FARTHER, gap + beyond))
                    # A week that was found need not be the best yet; the best lies no farther.
                    cut = np.minimum(lows + gap, np.maximum(came, cut))
        return value, settled


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
    >>> program = Program(read_week("minimal"))
    >>> columns = WeekColumns(program, program.levels)
    >>> best_with_each(columns, -(2**40)).shape == (3, len(program.week.dishes))
    True
    """
    dishes, many = columns.dishes(), len(columns.program.week.dishes)
    # Each column a second time, asked for.
    taken = [np.tile(np.arange(len(of)), 2) for of in dishes]
    marks = [np.append(0 * of, at * many + of + 1) for at, of in enumerate(dishes)]
    values, _ = _Asked(columns, taken, marks, len(dishes) * many).settled(best, stop)
    return values.reshape(-1, many)


# -- volumes --------------------------------------------------------------------------


def best_weeks(
    week: Week, volumes: Sequence[Mapping[str, int]], stop: Stop | None = None
) -> list[PackedWeek | None]:
    """Find the best week for each of several volumes of its batches.

    Parameters
    ----------
    week
        A week of one eater.
    volumes
        For each question, how many portions are cooked of the batches that are turned.
    stop
        Ends the passes early; what is settled by then is given.

    Returns
    -------
    list of PackedWeek or None
        For each volume, of the weeks that are as good as can be in everything the first, as the
        solver takes it; None where that was not settled, or no week is possible.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> best = best_weeks(read_week("minimal"), [{"rice and beans": x} for x in (4, 7)])
    >>> [sum(lunch.of("rice and beans") for lunch in packed.lunches) for packed in best]
    [4, 7]
    """
    turned = sorted({name for portions in volumes for name in portions})
    there = [{name: of.get(name, week.batches[name].portions) for name in turned} for of in volumes]
    most = {name: max(of[name] for of in there) for name in turned}
    program = Program(week_cooked_in(week, most))
    best: list[PackedWeek | None] = [None] * len(there)
    try:
        columns = WeekColumns(program, program.levels, there)
    except NotForPassesError:
        return best
    order = list(ties(program.board, program.board.sheet.bounds))
    taken = [np.arange(len(of)) for of in columns.costs]
    marks = [columns.volumes + 1, *(0 * of for of in taken[1:])]
    values, settled = _Asked(columns, taken, marks, len(there)).settled(-NEVER // 4, stop)
    for column, question in enumerate(columns.volumes.tolist()):
        if values[question] < NEVER:
            alike = list(islice(_weeks(settled[question], columns.costs, column), MOST_ALIKE + 1))
            if len(alike) <= MOST_ALIKE:
                counts = [columns.counts(each) for each in alike]
                first = min(counts, key=lambda x: [total.value(x) for total in order])
                best[question] = packed_of(program, first)
    return best


def _weeks(made: Pass, costs: Sequence[Ints], column: int) -> Iterator[list[int]]:
    """List the weeks that begin with a column and come to the least there is."""

    def after(at: int, state: int) -> Iterator[list[int]]:
        if at == len(costs):
            yield []
            return
        steps = made.steps[at]
        own = np.arange(steps.begins[state], steps.begins[state + 1])
        for step in own[made.come(at)[own] == made.rest[at][state]]:
            kind = steps.kind[step]
            alike = (made.kinds[at] == kind) & (costs[at] == made.cost[at][kind])
            for rest in after(at + 1, int(steps.after[step])):
                for each in np.nonzero(alike)[0].tolist():
                    yield [each, *rest]

    (begun,) = made.steps[0].after[made.steps[0].kind == made.kinds[0][column]]
    for rest in after(1, int(begun)):
        yield [column, *rest]
