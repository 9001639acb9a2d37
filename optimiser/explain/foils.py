"""The one question behind every "why": whether a week with a foil is as good as the plan.

A foil is any extra demand: a dish on a day, an amount, something better than the plan has
it. (Why this rather than that: Lipton, Contrastive explanation, 1990.) The forced week is
solved in the order of the priorities and the answer ends at the first that is lost:
*impossible*, *worse* by a proven amount, or *as good*. A no is shrunk to a smallest conflict
of rules, the priorities' own bounds among them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import cached_property, partial
from typing import TYPE_CHECKING

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Slot
from optimiser.board.rows import Row, Sum
from optimiser.explain.conflicts import impossible, quickxplain, smallest_conflict
from optimiser.explain.relaxed import Relaxed
from optimiser.rules import Rule
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Limit, Stop
from optimiser.solve.parallel import Item, Result, in_threads
from optimiser.solve.program import Level, Program, Stage, fold
from optimiser.solve.week import Solved, at_most, counts_of, packed_of

if TYPE_CHECKING:
    from optimiser.solve.columns import WeekColumns


A_QUICK_NO = 0.05
"""Work, in CP-SAT's own unit, for a question whose answer is likely no."""


class VerdictKind(StrEnum):
    """What a foil comes to."""

    IMPOSSIBLE = "impossible"
    WORSE = "worse"
    AS_GOOD = "as good"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a week with a foil comes to, held against the plan.

    Attributes
    ----------
    level
        The first priority that is lost; None unless worse.
    lost
        How much of it, in the priority's unit, the way that is worse.
    exact
        True when no week with the foil loses less; else "at least" `lost`.
    counts
        The best week found with it; of `packed` there is one where it is worse or as good.
    """

    kind: VerdictKind
    level: Level | None = None
    lost: Decimal = Decimal(0)
    exact: bool = True
    counts: list[int] | None = None


class Foils:
    """Answers questions about one solved week."""

    def __init__(
        self,
        program: Program,
        solved: Solved,
        stop: Stop | None = None,
        limit: Limit = ONE_QUESTION,
    ) -> None:
        counts = counts_of(program, solved)
        if counts is None or solved.packed is None:
            raise ValueError("there is no plan to hold a foil against")
        self.program = program
        self.week: Week = program.week
        self.packed: PackedWeek = solved.packed
        self.counts: list[int] = counts
        self.stop = Stop() if stop is None else stop
        self.limit = limit
        self.proven = solved.status is Status.OPTIMAL
        self.model = cpsat.model_of(program.board.sheet)
        self.levels = [level for level in program.levels if level.name != TIE_BREAK]
        self.values = {level.name: level.total.value(self.counts) for level in program.levels}
        self.as_good = [at_most(level, self.counts) for level in self.levels]

    @cached_property
    def relaxed(self) -> Relaxed | None:
        """What the relaxation says of foils; of one eater's lunches CP-SAT tells as fast."""
        if len(self.week.eaters) == 1:
            return None
        return Relaxed(self.program, self.counts, self.levels, self.as_good)

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """The levels folded as the program folds them, without the tie-break."""
        kept = [
            [level for level in stage.levels if level.name != TIE_BREAK]
            for stage in self.program.stages
        ]
        return tuple(fold(levels) for levels in kept if levels)

    # -- foils --------------------------------------------------------------------

    def slot(self, eater: str, day: object) -> Slot:
        """Find one lunch.

        Parameters
        ----------
        eater
            Name of an eater.
        day
            A day on which they have a lunch.

        Returns
        -------
        Slot
            It holds the lunches of alike eaters too, where they are counted together.
        """
        slots = self.program.board.slots
        return next(slot for slot in slots if slot.day == day and eater in slot.eaters)

    def dish(self, slot: Slot, dish: str) -> Row:
        """Ask for a dish at a lunch.

        Parameters
        ----------
        slot
            A slot.
        dish
            Name of a dish.

        Returns
        -------
        Row
            It holds where the dish comes there once or more.
        """
        return Row.of(self.program.board.times(slot, dish), low=1)

    def without(self, slots: Iterable[Slot], dish: str) -> Row:
        """Keep a dish from some lunches.

        Parameters
        ----------
        slots
            Slots.
        dish
            Name of a dish.

        Returns
        -------
        Row
            It holds where the dish comes in none of them.
        """
        total = Sum()
        for slot in slots:
            total.plus(self.program.board.times(slot, dish))
        return Row.of(total, high=0)

    def better(self, name: str) -> list[Row]:
        """Ask for a week better in a priority, and as good in all before it.

        Parameters
        ----------
        name
            A priority, but not the order of the file.

        Returns
        -------
        list of Row
            Bounds of those before it, then its own, a step below the plan's.
        """
        level = self.level(name)
        row = Row.of(level.total, high=self.values[name] - level.step)
        return [*self.as_good[: self.levels.index(level)], row]

    def level(self, name: str) -> Level:
        """Find a priority's level.

        Parameters
        ----------
        name
            A priority of the week, or that of the order of the file.

        Returns
        -------
        Level
            With its sum and its ends.
        """
        return self.program.level(name)

    # -- answers ------------------------------------------------------------------

    def each(
        self,
        work: Callable[[Item], Result],
        items: Sequence[Item],
        tick: Callable[[int, int], None] = lambda done, of: None,
    ) -> list[Result]:
        """Do work that asks about every item: in threads where no relaxation is shared.

        Parameters
        ----------
        work
            What is done with each.
        items
            On what.
        tick
            Is told how many are done, and of how many.

        Returns
        -------
        list of Result
            The answers, in the order of the items.
        """
        if self.relaxed is None:
            return in_threads(work, items, tick)
        answers: list[Result] = []
        for item in items:
            tick(len(answers), len(items))
            answers.append(work(item))
        return answers

    def ask(self, rows: Sequence[Row], dropped: Collection[str] = ()) -> cpsat.Solution:
        """Look for any week with these rows, without the rules dropped.

        Parameters
        ----------
        rows
            What has to hold, a foil last; the plan keeps those before it.
        dropped
            Keys of rules that need not hold.

        Returns
        -------
        cpsat.Solution
            A week that keeps them, the proof that none does, or neither where a limit struck.
        """
        box = None
        if self.stop.over:
            return cpsat.UNTOLD
        if self.relaxed is not None:
            box = self.relaxed.box(rows, dropped)
            if box is None:
                return cpsat.NONE
        model = cpsat.model_of(self.program.board.sheet, dropped) if dropped else self.model
        search = partial(
            cpsat.solve,
            model,
            None,
            extra=rows,
            hint=self.counts,
            box=box,
            cuts=box is not None,
            stop=self.stop,
        )
        if dropped and box is None:
            # A rule seldom stands alone in the way, and a no is found soonest as the rows are.
            answer = search(as_it_is=True, limit=replace(self.limit, work=A_QUICK_NO))
            if answer.status is Status.INFEASIBLE:
                return answer
        return search(limit=self.limit)

    def verdict(
        self, rows: Sequence[Row], limit: Limit | None = None, first: Sum | None = None
    ) -> Verdict:
        """Solve the week with a foil until the first priority that is lost is known.

        The priorities are made best one after the other, as in preemptive goal programming,
        several at a time where they fold into one sum.

        Parameters
        ----------
        rows
            The foil.
        limit
            Most work for each solve; the foils' own when left out.
        first
            Of one eater's weeks that are equal in what is lost, that in which it is least; its
            weights are 0 or more. Any of them when left out.

        Returns
        -------
        Verdict
            Open where a limit struck before anything was known.

        Notes
        -----
        A foil is what was not to be, asked for as if it were: Lipton, Contrastive explanation,
        Royal Institute of Philosophy Supplement 27, 1990.
        """
        # A relaxation knows no clock, and of many lunches each question is a dozen of them.
        if self.stop.over:
            return Verdict(VerdictKind.OPEN)
        if not self.stages:
            return self._possible(rows)
        limit = self.limit if limit is None else limit
        if self.relaxed is not None and self.proven:
            # Of a plan that is not the best a week with the foil may be better in any priority.
            return self._by_levels(rows, self.relaxed, limit)
        return self._by_stages(rows, limit, first)

    def of_every_dish(self) -> dict[tuple[int, str], Verdict]:
        """Give the verdicts on all dishes at all lunches that the passes settle together.

        Returns
        -------
        dict of tuple of int and str to Verdict
            By the number of a slot and a dish, without a week; nothing where the week is of several
            eaters, its plan is not proven, or it is none that columns can tell.
        """
        if len(self.week.eaters) > 1 or not self.proven or not self.levels or self.stop.over:
            return {}
        # Loading numpy takes a tenth of a second: only where much is asked.
        from optimiser.solve.columns import NotForPassesError, WeekColumns  # noqa: PLC0415
        from optimiser.solve.passes import NEVER  # noqa: PLC0415
        from optimiser.solve.questions import UNKNOWN, best_with_each  # noqa: PLC0415

        try:
            columns = WeekColumns(self.program, self.levels)
        except NotForPassesError:
            return {}
        plan = columns.stage.folded(self.values)
        best = best_with_each(columns, plan - columns.stage.total.constant, self.stop)
        return {
            (at, dish): Verdict(VerdictKind.IMPOSSIBLE)
            if came == NEVER
            else self._of_folded(columns, int(came))
            for at, of in enumerate(best)
            for dish, came in zip(self.week.dishes, of, strict=True)
            if came != UNKNOWN
        }

    def _of_folded(self, columns: WeekColumns, came: int) -> Verdict:
        """Give the verdict on a week by what it comes to in all priorities."""
        for level, total in zip(
            self.levels, columns.stage.split(came + columns.stage.total.constant), strict=True
        ):
            lost = total - self.values[level.name]
            if lost:
                return Verdict(VerdictKind.WORSE, level, level.worse_by(lost))
        return Verdict(VerdictKind.AS_GOOD)

    def _by_stages(self, rows: Sequence[Row], limit: Limit, first: Sum | None) -> Verdict:
        held: list[Row] = []
        counts: list[int] = []
        for stage in self.stages:
            answer = self._best(stage, [*held, *rows], limit, first)
            if answer.status is Status.INFEASIBLE:
                return Verdict(VerdictKind.IMPOSSIBLE)
            if answer.status is not Status.OPTIMAL or answer.values is None:
                return self._by_bound(stage, answer)
            counts = answer.values
            level, lost = next(self._losses(stage, counts), (None, 0))
            if lost < 0:
                # A limit ended the search for the plan: with the foil there is a better one.
                return Verdict(VerdictKind.AS_GOOD, counts=counts)
            if level is not None:
                return Verdict(VerdictKind.WORSE, level, level.worse_by(lost), counts=counts)
            held += [at_most(level, counts) for level in stage.levels]
        return Verdict(VerdictKind.AS_GOOD, counts=counts)

    def _by_levels(self, rows: Sequence[Row], relaxed: Relaxed, limit: Limit) -> Verdict:
        """Give the verdict level by level: the relaxation names the one to begin with.

        With the priorities before it as good as the plan's there may be a week with the foil;
        with itself as good as well there is none. Where there is none before, an earlier
        priority is lost.
        """
        at, least = relaxed.first_lost(rows)
        if at == len(self.levels):
            answer = self.ask([*self.as_good, *rows])
            if answer.status is not Status.INFEASIBLE:
                kind = VerdictKind.OPEN if answer.values is None else VerdictKind.AS_GOOD
                return Verdict(kind, counts=answer.values)
            at -= 1
        for place in reversed(range(at + 1)):
            if self.stop.over:
                return Verdict(VerdictKind.OPEN)
            level, held = self.levels[place], [*self.as_good[:place], *rows]
            box = relaxed.box(held)
            if box is None:
                continue
            answer = cpsat.solve(
                self.model,
                level.total,
                extra=held,
                hint=self.counts,
                known=least if place == at else None,
                box=box,
                cuts=True,
                limit=limit,
                stop=self.stop,
            )
            if answer.values is not None:
                return self._lost(level, answer)
            if answer.status is not Status.INFEASIBLE:
                return Verdict(VerdictKind.OPEN)
        return Verdict(VerdictKind.IMPOSSIBLE)

    def _lost(self, level: Level, answer: cpsat.Solution) -> Verdict:
        exact = answer.status is Status.OPTIMAL
        lost = answer.bound - self.values[level.name]
        if lost <= 0:
            return Verdict(VerdictKind.OPEN, counts=answer.values)
        return Verdict(
            VerdictKind.WORSE, level, level.worse_by(lost), exact=exact, counts=answer.values
        )

    def _best(
        self, stage: Stage, rows: Sequence[Row], limit: Limit, first: Sum | None
    ) -> cpsat.Solution:
        """Find the best week of a stage with some rows."""
        first, bounds = first or Sum(), self.program.board.sheet.bounds
        weight = 1 + first.constant + sum(of * bounds[at][1] for at, of in first.terms.items())
        answer = cpsat.solve(
            self.model,
            Sum().plus(stage.total, weight).plus(first),
            extra=rows,
            hint=self.counts,
            # A proven plan is the best week; with a foil there is none better.
            known=stage.folded(self.values) * weight if self.proven else None,
            limit=limit,
            stop=self.stop,
        )
        return replace(answer, bound=answer.bound // weight)

    def _losses(self, stage: Stage, counts: list[int]) -> Iterator[tuple[Level, int]]:
        """Give the levels that are not as in the plan, and by how many steps they are worse."""
        for level in stage.levels:
            lost = level.total.value(counts) - self.values[level.name]
            if lost:
                yield level, lost

    def _possible(self, rows: Sequence[Row]) -> Verdict:
        """Give the verdict in a week without priorities: whether it is possible."""
        answer = self.ask(rows)
        if answer.status is Status.INFEASIBLE:
            return Verdict(VerdictKind.IMPOSSIBLE)
        kind = VerdictKind.OPEN if answer.values is None else VerdictKind.AS_GOOD
        return Verdict(kind, counts=answer.values)

    def _by_bound(self, stage: Stage, answer: cpsat.Solution) -> Verdict:
        """Say what is proven where a limit struck.

        A bound on a level holds while every level before is as good as the plan's: then the
        best week with the foil has them so too, for it has none better.
        """
        if answer.values is None:
            return Verdict(VerdictKind.OPEN)
        for level, bound in zip(stage.levels, stage.split(max(0, answer.bound)), strict=True):
            lost = bound - self.values[level.name]
            if lost > 0:
                amount = level.worse_by(lost)
                return Verdict(VerdictKind.WORSE, level, amount, exact=False, counts=answer.values)
            if lost < 0 or level.total.value(answer.values) != self.values[level.name]:
                break
        return Verdict(VerdictKind.OPEN, counts=answer.values)

    def packed_with(self, verdict: Verdict) -> PackedWeek | None:
        """Read the week that was found with a foil.

        Parameters
        ----------
        verdict
            A verdict of these foils.

        Returns
        -------
        PackedWeek or None
            None where no week was found with the foil.
        """
        return None if verdict.counts is None else packed_of(self.program, verdict.counts)

    def conflict(self, rows: Sequence[Row]) -> list[Rule]:
        """Give a smallest set of rules that forbids these rows.

        Parameters
        ----------
        rows
            What is asked besides.

        Returns
        -------
        list of Rule
            In the order of the week's rules, each needed; empty where the rows cannot be whatever
            the rules.

        Raises
        ------
        TimeoutError
            When a solve was stopped, so that nothing can be claimed.
        """
        return smallest_conflict(self.program, rows, self.stop)

    def conflict_below(
        self, rows: Sequence[Row], level: Level, *, above: bool = False
    ) -> tuple[list[Rule], list[Level]]:
        """Give a smallest set that forbids a foil without losing in `level` or one before.

        With `above` only the levels before are held, for a foil that is better in `level`.

        The bounds of the priorities count as rules: those needed are given apart.

        Parameters
        ----------
        rows
            The foil.
        level
            The priority that is not to be lost in.
        above
            Whether `level` itself is left free.

        Returns
        -------
        tuple of list of Rule and list of Level
            Rules in the order of the week's, then the levels that are needed beside them.

        Raises
        ------
        TimeoutError
            When a solve was stopped, so that nothing can be claimed.
        """
        before = self.levels[: self.levels.index(level) + (not above)]
        bounds = {level.name: self.as_good[at] for at, level in enumerate(before)}
        rules = self.conflict([*rows, *bounds.values()])
        keys = [rule.key for rule in rules]

        def clash(names: Sequence[str]) -> bool:
            held = [bounds[name] for name in names]
            return impossible(self.program, [*rows, *held], self.stop, only=keys)

        # Of the priorities, what matters least is blamed first.
        needed = quickxplain(clash, [*reversed(bounds)])
        return rules, [level for level in before if level.name in needed]
