"""Timetables in general: tasks on shared things, one after another, as early or late as wanted.

Written straight into CP-SAT's model message, as `cpsat` does and for its reasons; here
with intervals. One worker and a fixed seed: the same tasks give the same timetable. Job shops of
the literature are the special case of things that hold one task at a time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model_helper as binding

from optimiser.solve.cpsat import Status

WORK = 30.0
"""Most work for one solve, in CP-SAT's own unit."""
TIDYING = 3.0
"""Most work for an aim that only makes neat."""
_FAR = 2**40


@dataclass(frozen=True, slots=True)
class Task:
    """Something that takes time.

    Attributes
    ----------
    least, most
        How long it lasts.
    windows
        Spans of which one holds it whole.
    uses
        How much of each thing it takes up.
    optional
        May it be left out?
    ways
        Where more of a thing makes it shorter, every way to do it: how long it then lasts, and
        what it takes up in place of `uses`. It is none that may be left out.
    """

    name: str
    least: int
    most: int
    windows: tuple[tuple[int, int], ...]
    uses: Mapping[str, int]
    optional: bool = False
    ways: tuple[tuple[int, Mapping[str, int]], ...] = ()


@dataclass(frozen=True, slots=True)
class Link:
    """One task comes after another, so long after its end.

    Attributes
    ----------
    most
        None where it may be any time later.
    over
        How long after that end it is over at the latest; None where that does not matter.
    """

    before: str
    after: str
    least: int = 0
    most: int | None = None
    over: int | None = None


@dataclass(frozen=True, slots=True)
class Clearing:
    """Tasks that leave something behind, and what clears it away before it matters.

    Each of `leaving` is followed by one of the clearing tasks, and each of `minding` ends before
    it begins, or begins after that clearing: a board for raw meat, washed before the salad.

    Attributes
    ----------
    leaving
        Each task that leaves something, with the clearing task that is named after it; that of
        another does as well, where it comes later.
    minding
        Tasks that what is left behind would harm.
    soon
        How long after its end the clearing begins at the latest.
    """

    leaving: Mapping[str, str]
    minding: tuple[str, ...]
    soon: int


@dataclass(frozen=True, slots=True)
class Aim:
    """Something to make as small as can be.

    Attributes
    ----------
    ends, starts
        Tasks whose ends, or starts, are added up, each with a weight.
    last
        Tasks of which the last end counts.
    first
        Tasks of which the first start counts; it is made as late as can be.
    done
        Optional tasks, of which few are to be done.
    tidy
        True for what only makes a timetable neat: it gets little work, and needs no proof.
    """

    ends: tuple[tuple[str, int], ...] = ()
    starts: tuple[tuple[str, int], ...] = ()
    last: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    tidy: bool = False


@dataclass(frozen=True, slots=True)
class Scheduled:
    """What came of it.

    Attributes
    ----------
    status
        Optimal where every aim that is not only tidy is proven.
    times
        Start and end of each task that is done; None where there is no timetable.
    values
        What each aim reached.
    """

    status: Status
    times: Mapping[str, tuple[int, int]] | None
    values: tuple[int, ...] = ()


class _Model:
    def __init__(
        self,
        tasks: Sequence[Task],
        links: Sequence[Link],
        capacities: Mapping[str, int],
        apart: Sequence[tuple[str, str, int]],
        clearing: Clearing | None,
    ) -> None:
        self.proto = binding.CpModelProto()
        self.tasks = tasks
        self.done: dict[str, int] = {}
        self.start: dict[str, int] = {}
        self.end: dict[str, int] = {}
        self.interval: dict[str, list[tuple[int, Mapping[str, int]]]] = {}
        for task in tasks:
            self._lay(task)
        for link in links:
            self._linear(
                [(self.start[link.after], 1), (self.end[link.before], -1)], link.least, link.most
            )
            if link.over is not None:
                both = [(self.end[link.after], 1), (self.end[link.before], -1)]
                self._linear(both, None, link.over)
        for thing, capacity in capacities.items():
            self._shared(thing, capacity)
        for step, other, gap in apart:
            before = self.variable(0, 1)
            for first, second, when in ((step, other, before), (other, step, ~before)):
                terms = [(self.start[second], 1), (self.end[first], -1)]
                self._linear(terms, gap, None, when=when)
        if clearing is not None:
            self._cleared(clearing)

    def variable(self, low: int, high: int) -> int:
        """Add a variable and give its number; ~number is the negation of a literal."""
        self.proto.variables.add().domain.extend([low, high])
        return len(self.proto.variables) - 1

    def _lay(self, task: Task) -> None:
        low = min(window[0] for window in task.windows)
        high = max(window[1] for window in task.windows)
        start, end = self.variable(low, high), self.variable(low, high)
        size = self.variable(task.least, task.most)
        if task.optional:
            self.done[task.name] = self.variable(0, 1)
        if task.ways:
            chosen = [self.variable(0, 1) for _ in task.ways]
            self._exactly(chosen)
            for switch, (lasts, _) in zip(chosen, task.ways, strict=True):
                self._linear([(size, 1)], lasts, lasts, when=switch)
            self.interval[task.name] = [
                (self._interval(start, size, end, switch), uses)
                for switch, (_, uses) in zip(chosen, task.ways, strict=True)
            ]
        else:
            interval = self._interval(start, size, end, self.done.get(task.name))
            self.interval[task.name] = [(interval, task.uses)]
        self._linear([(start, 1), (size, 1), (end, -1)], 0, 0)
        self.start[task.name], self.end[task.name] = start, end
        if task.optional:
            # There is one way not to do it.
            self._linear([(start, 1)], None, low, when=~self.done[task.name])
            self._linear([(size, 1)], None, task.least, when=~self.done[task.name])
        if len(task.windows) > 1:
            chosen = [self.variable(0, 1) for _ in task.windows]
            self._exactly(chosen, self.done.get(task.name))
            for switch, (opens, closes) in zip(chosen, task.windows, strict=True):
                self._linear([(start, 1)], opens, None, when=switch)
                self._linear([(end, 1)], None, closes, when=switch)

    def _interval(self, start: int, size: int, end: int, when: int | None) -> int:
        """Add an interval, which counts where `when` holds, and give its number."""
        constraint = self.proto.constraints.add()
        if when is not None:
            constraint.enforcement_literal.append(when)
        held = constraint.interval
        for expression, index in ((held.start, start), (held.size, size), (held.end, end)):
            expression.vars.append(index)
            expression.coeffs.append(1)
        return len(self.proto.constraints) - 1

    def _exactly(self, chosen: Sequence[int], when: int | None = None) -> None:
        """Have exactly one of some literals hold, where `when` holds; else none of them."""
        terms = [(switch, 1) for switch in chosen]
        if when is None:
            self._linear(terms, 1, 1)
        else:
            self._linear([*terms, (when, -1)], 0, 0)

    def _cleared(self, clearing: Clearing) -> None:
        for name, own in clearing.leaving.items():
            clean = self.variable(0, _FAR)
            choice = {task: self.variable(0, 1) for task in clearing.leaving.values()}
            self._exactly(list(choice.values()))
            for task, chosen in choice.items():
                self._linear([(self.done[task], 1), (chosen, -1)], 0, None)
                after = [(self.start[task], 1), (self.end[name], -1)]
                self._linear(after, 0, clearing.soon, when=chosen)
                self._linear([(clean, 1), (self.end[task], -1)], 0, None, when=chosen)
            # A clearing that is done is that of the task it is named after.
            self._linear([(choice[own], 1), (self.done[own], -1)], 0, None)
            for other in clearing.minding:
                before = self.variable(0, 1)
                self._linear([(self.start[name], 1), (self.end[other], -1)], 0, None, when=before)
                self._linear([(self.start[other], 1), (clean, -1)], 0, None, when=~before)

    def _shared(self, thing: str, capacity: int) -> None:
        using = [
            (interval, uses[thing])
            for task in self.tasks
            for interval, uses in self.interval[task.name]
            if uses.get(thing)
        ]
        if not using:
            return
        held = self.proto.constraints.add().cumulative
        held.capacity.offset = capacity
        for interval, amount in using:
            held.intervals.append(interval)
            held.demands.add().offset = amount

    def _linear(
        self,
        terms: Sequence[tuple[int, int]],
        low: int | None,
        high: int | None,
        when: int | None = None,
    ) -> None:
        constraint = self.proto.constraints.add()
        if when is not None:
            constraint.enforcement_literal.append(when)
        linear = constraint.linear
        linear.vars.extend([index for index, _ in terms])
        linear.coeffs.extend([weight for _, weight in terms])
        linear.domain.extend([-_FAR if low is None else low, _FAR if high is None else high])

    def aim(self, aim: Aim) -> list[tuple[int, int]]:
        """Give an aim as a weighted sum to make small."""
        terms = [(self.end[name], weight) for name, weight in aim.ends]
        terms += [(self.start[name], weight) for name, weight in aim.starts]
        terms += [(self.done[name], 1) for name in aim.done]
        if aim.last:
            last = self.variable(0, _FAR)
            for name in aim.last:
                self._linear([(last, 1), (self.end[name], -1)], 0, None, self.done.get(name))
            terms.append((last, 1))
        if aim.first:
            first = self.variable(0, _FAR)
            for name in aim.first:
                self._linear([(self.start[name], 1), (first, -1)], 0, None)
            terms.append((first, -1))
        return terms

    def solve(
        self, terms: Sequence[tuple[int, int]], hint: list[int] | None, work: float
    ) -> object:
        """Make a sum small."""
        copy = binding.CpModelProto()
        copy.copy_from(self.proto)
        copy.objective.vars.extend([index for index, _ in terms])
        copy.objective.coeffs.extend([weight for _, weight in terms])
        if hint is not None:
            copy.solution_hint.vars.extend(range(len(hint)))
            copy.solution_hint.values.extend(hint)
        parameters = binding.SatParameters()
        parameters.num_workers = 1
        parameters.random_seed = 1
        parameters.catch_sigint_signal = False
        parameters.max_deterministic_time = work
        wrapper = binding.SolveWrapper()
        wrapper.set_parameters(parameters)
        return wrapper.solve(copy)  # type: ignore[no-untyped-call]

    def hold(self, terms: Sequence[tuple[int, int]], value: int) -> None:
        """Let a sum get no larger."""
        self._linear(terms, None, value)


def schedule(
    tasks: Sequence[Task],
    links: Sequence[Link],
    capacities: Mapping[str, int],
    aims: Sequence[Aim],
    apart: Sequence[tuple[str, str, int]] = (),
    clearing: Clearing | None = None,
) -> Scheduled:
    """Find the timetable that is best in each aim after those before it.

    Parameters
    ----------
    tasks
        What is to be done, each under a name of its own.
    links
        What comes after what.
    capacities
        How much there is of each thing.
    aims
        What to make small, what matters most first; one or more.
    apart
        Pairs of tasks that do not overlap, with the least time between them.
    clearing
        What is left behind, and cleared away; its clearing tasks are optional.

    Returns
    -------
    Scheduled
        Begin and end of each task that is done, in the unit of the tasks, and what each aim
        reached.

    Examples
    --------
    >>> day = ((0, 60),)
    >>> tasks = [Task("chop", 10, 10, day, {"hands": 1}), Task("fry", 15, 15, day, {"hands": 1})]
    >>> made = schedule(tasks, [Link("chop", "fry", 5, None)], {"hands": 1}, [Aim(last=("fry",))])
    >>> made.times, made.values
    ({'chop': (0, 10), 'fry': (15, 30)}, (30,))
    """
    model = _Model(tasks, links, capacities, apart, clearing)
    hint: list[int] | None = None
    values: list[int] = []
    status = Status.OPTIMAL
    times: dict[str, tuple[int, int]] | None = None
    for aim in aims:
        terms = model.aim(aim)
        if hint is not None:
            # The counts an aim adds begin where the solution in hand has them.
            hint = [*hint, *[0] * (len(model.proto.variables) - len(hint))]
        response: binding.CpSolverResponse = model.solve(  # type: ignore[assignment]
            terms, hint, TIDYING if aim.tidy else WORK
        )
        if response.status == binding.CpSolverStatus.INFEASIBLE:
            return Scheduled(Status.INFEASIBLE, None)
        if not len(response.solution):
            if not aim.tidy:
                status = Status.UNKNOWN if times is None else Status.FEASIBLE
            return Scheduled(status, times, tuple(values))
        hint = [int(value) for value in response.solution]
        if response.status != binding.CpSolverStatus.OPTIMAL and not aim.tidy:
            status = Status.FEASIBLE
        value = sum(weight * hint[index] for index, weight in terms)
        values.append(value)
        model.hold(terms, value)
        times = {
            task.name: (hint[model.start[task.name]], hint[model.end[task.name]])
            for task in tasks
            if task.name not in model.done or hint[model.done[task.name]]
        }
    return Scheduled(status, times, tuple(values))
