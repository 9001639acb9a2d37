"""From a read week file to a plan file: solve it, explain it, write it down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from models import sums
from models.cautions import cautions
from models.packed import PackedWeek
from models.planfile import LeftOver, PackLine, PlanFile, PriorityLine, Reason, RuleLine
from models.priorities import PRIORITIES
from models.reading import as_json, week_of
from models.week import Week
from models.yamltext import Document
from optimiser.cpsat import Status, Stop
from optimiser.program import Program
from optimiser.reasons import Explainer, rule_line, smallest_conflict
from optimiser.solve import Solved, Value, solve_week
from optimiser.writing import left_over, lunch_line, number, totals

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Found:
    """All that a plan file is written from.

    Attributes
    ----------
    why
        A reason for each lunch; empty when none were asked for.
    conflict
        Why there is no plan.
    not_less
        Why not less is left over.
    """

    solved: Solved
    why: list[Reason | None]
    conflict: list[RuleLine]
    not_less: list[RuleLine]
    interrupted: bool


def plan_document(
    document: Document,
    week: Week | None = None,
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    reasons: bool = True,
    say: Say = lambda text: None,
) -> PlanFile:
    """Plan the week of a document.

    Parameters
    ----------
    document
        The week file as read.
    week
        The week it says, where that is known already.
    seconds
        Time limit for the solve; reasons come on top.
    stop
        Ends the search early from another thread; the best plan so far is given.
    reasons
        Whether to ask why.
    say
        Is told what is being done, for a progress line.

    Raises
    ------
    InputError
        When the file has a fault.
    """
    week = week_of(document) if week is None else week
    stop = Stop() if stop is None else stop
    say("looking for the best week")
    program, solved = solve_week(week, seconds=seconds, stop=stop)
    why: list[Reason | None] = []
    conflict: list[RuleLine] = []
    not_less: list[RuleLine] = []
    if reasons and not stop.asked and solved.packed is not None:
        say("asking why")
        explainer = Explainer(program, solved, stop)
        why = explainer.reasons()
        not_less = explainer.why_not_less_left_over()
    if solved.status is Status.INFEASIBLE:
        say("looking for what stands in the way")
        conflict = _conflict(program, stop)
    found = Found(solved, why, conflict, not_less, interrupted=stop.asked)
    return write(document, week, found)


def _conflict(program: Program, stop: Stop) -> list[RuleLine]:
    try:
        return [rule_line(rule) for rule in smallest_conflict(program, stop=stop)]
    except TimeoutError:
        return []


def write(document: Document, week: Week, all_found: Found) -> PlanFile:
    """Write down what was found."""
    solved, why = all_found.solved, all_found.why
    packed = solved.packed if solved.packed is not None else PackedWeek((), ())
    lunches = [
        lunch_line(week, lunch, [reason] if reason is not None else [])
        for lunch, reason in zip(packed.lunches, why or [None] * len(packed.lunches), strict=True)
    ]
    found = solved.packed is not None
    thawing = found and sums.thawed(packed) > 0
    return PlanFile(
        status=solved.status.value,
        interrupted=all_found.interrupted,
        name=week.name,
        currency=week.currency,
        days=list(week.days),
        priorities=[_priority_line(value) for value in solved.values],
        lunches=lunches,
        left_over=left_over(week, packed, all_found.not_less)
        if found
        else LeftOver(grams=0, batches=[], packs=[]),
        packs=[
            PackLine(item=pack.item, opened=pack.opened, packs=pack.packs) for pack in packed.packs
        ],
        totals=totals(week, packed) if found else {},
        conflict=all_found.conflict,
        cautions=list(cautions(week, thawing=thawing)),
        week=as_json(document),
    )


def _priority_line(value: Value) -> PriorityLine:
    priority = PRIORITIES[value.name]
    return PriorityLine(
        name=value.name,
        value=number(value.value),
        unit=priority.unit,
        better="more" if priority.most else "less",
        bound=None if value.bound is None else number(value.bound),
        proven=value.proven,
    )
