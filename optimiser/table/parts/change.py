"""The week that runs goes otherwise: a lunch is off, portions are gone, less was frozen.

What is told is planned again by `change` and shown before it counts; then its plan is kept beside
the week file, which stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from models.answers.change import ChangeFile, MovedLunch
from models.answers.plan import AnswerPart, PlanFile
from models.week.week import Week
from models.words.days import day_name
from models.words.errors import InputError
from optimiser.interface import asked
from optimiser.report.change import more_said, spare_said
from optimiser.report.console import rendered, unglued
from optimiser.report.nearest import gives_way
from optimiser.report.phrases import several_eat, sourced, to_do
from optimiser.report.plan import changes_said
from optimiser.table.part import Fields, PagePart
from optimiser.table.showing import planned, stands
from optimiser.table.sitting import Sitting
from optimiser.table.worker import Failed

KINDS = {"ate": "were eaten", "dropped": "were spilt or spoilt", "froze": "were really frozen"}
ASKED = ("off", "many", "batch", "kind", "guest", "on_day", "few")
"""Fields of the form, besides the day from which it is planned again."""
WIDE = 2_000
"""Columns of a line that is not to be wrapped here."""
MANY, OFF, GUEST = "How many", "The lunch that is off", "Who eats too"
_PLACES = {"--today": "Planned again from", "--no-lunch": OFF, "--joined": GUEST}
_PLACES |= {"--ate": MANY, "--dropped": MANY, "--froze": MANY}


def _told(plan: PlanFile, fields: Fields) -> tuple[str, dict[str, str]]:
    """Read what is told, as `change` takes it; the same form says nothing twice."""
    day = fields.get("from", "") or _today(plan).isoformat()
    told = {"no_lunch": fields["off"]} if fields.get("off") else {}
    number, kind = fields.get("many", "").strip(), fields.get("kind", "")
    if number:
        if kind not in KINDS:
            raise InputError(MANY, "that cannot be chosen", "Choose one of those offered.")
        told[kind] = f"{fields.get('batch', '')}={number}"
    if guest := fields.get("guest", "").strip():
        told["joined"] = f"{guest}@{fields.get('on_day', '')}"
    return day, told


def _today(plan: PlanFile) -> date:
    """Give today, where it is of the week; else the day of the last change, or the first."""
    last = max((line.today for line in plan.changes), default=plan.days[0])
    return next((day for day in plan.days if day == date.today() and day >= last), last)


def _ask(sitting: Sitting, fields: Fields) -> AnswerPart | Failed | None:
    plan = planned(sitting)
    if plan is None:
        return None
    day, told = _told(plan, fields)
    few = fields.get("few") == "yes"
    key = ("change", day, f"{few}", *(f"{name}:{text}" for name, text in told.items()))

    def work(week: Week) -> ChangeFile:
        return asked.change(
            plan,
            day,
            no_lunch=told.get("no_lunch", ()),
            ate=told.get("ate", ()),
            dropped=told.get("dropped", ()),
            froze=told.get("froze", ()),
            joined=told.get("joined", ()),
            fewest_changes=few,
        )

    return sitting.ask(key, work, first=True)


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    plan, week = planned(sitting), sitting.week
    answer: AnswerPart | Failed | None = None
    if plan is None or week is None:
        return {"days_left": []}
    fault, is_told = None, any(name in fields for name in ASKED)
    try:
        if is_told and not any(_told(plan, fields)[1].values()):
            mend = "Choose the lunch that is off, write a number, or who eats too."
            raise InputError(OFF, "nothing is told yet", mend)
        answer = _ask(sitting, fields) if is_told else None
        if isinstance(answer, Failed):
            raise _fault(answer)
    except InputError as refusal:
        fault = refusal
    since = max((line.today for line in plan.changes), default=plan.days[0])
    days = [(day.isoformat(), day_name(day)) for day in plan.days if day >= since]
    return {
        "days_left": days,
        "guest_days": days,
        "names": list(week.eaters),
        "from_day": fields.get("from", _today(plan).isoformat()),
        "offs": [("", "none"), *_lunches(plan, week, since)],
        "told": {name: fields.get(name, "") for name in ASKED},
        "kinds": KINDS.items(),
        "batches": [(name, name) for name in week.batches],
        "is_told": is_told,
        "answer": _answer(answer, plan) if isinstance(answer, ChangeFile) else None,
        "instead": answer.plan if isinstance(answer, ChangeFile) else None,
        "fault": fault,
    }


def _lunches(plan: PlanFile, week: Week, since: date) -> list[tuple[str, str]]:
    """Give the lunches that can be off, as `change` takes them and as they are read."""
    several = len(week.eaters) > 1
    lunches: list[tuple[str, str]] = []
    for day in (day for day in plan.days if day >= since):
        eaters = [line.eater for line in plan.lunches if line.date == day]
        if several and len(eaters) > 1:
            lunches.append((day.isoformat(), f"{day_name(day)}, for everybody"))
        lunches += [
            (f"{eater}@{day.isoformat()}", f"{day_name(day)}{f', {eater}' if several else ''}")
            for eater in eaters
        ]
    return lunches


def _fault(failed: Failed) -> InputError:
    return InputError(_PLACES.get(failed.where, failed.where), failed.what, failed.mend)


def _answer(answer: ChangeFile, was: PlanFile) -> dict[str, Any]:
    near = rendered([*gives_way(answer.plan, full=True)], width=WIDE) if answer.plan.nearest else ""
    return {
        "planned": answer.plan.is_planned,
        "stands": stands(answer.plan),
        "conflict": [sourced(rule) for rule in answer.conflict],
        "gives": [" ".join(line.split()) for line in near.splitlines() if line.strip()],
        "moves": [_move(move, several=several_eat(answer.plan)) for move in answer.moves],
        "freezer": [*_freezer(answer.plan, was)] if answer.plan.is_planned else [],
        "do": [unglued(spare_said(spare)) for spare in answer.spare],
        "buy": [more_said(more) for more in answer.to_buy],
    }


def _freezer(plan: PlanFile, was: PlanFile) -> Iterator[str]:
    """Say what is still to freeze and to thaw otherwise than was planned before."""
    since = plan.changes[-1].today
    now, old = ([move for move in to_do(each) if move[0] >= since] for each in (plan, was))
    for day, text in now:
        if (day, text) not in old:
            yield f"{day_name(day)}: {unglued(text)}"
    for day, text in old:
        if (day, text) not in now:
            yield f"No more on {day_name(day)}: {unglued(text)}"


def _move(move: MovedLunch, *, several: bool) -> dict[str, str]:
    return {
        "where": f"{day_name(move.date)}{f', {move.eater}' if several else ''}",
        "becomes": move.becomes,
        "was": move.was,
        "why": "" if move.why is None else unglued(move.why.text),
    }


def _take(sitting: Sitting, fields: Fields) -> str:
    """Let it count: keep the changed plan beside the file."""
    sitting.see(fields.get("on"))
    answer = _ask(sitting, fields)
    if isinstance(answer, Failed):
        raise _fault(answer)
    if not isinstance(answer, ChangeFile) or not answer.plan.is_planned:
        raise InputError(sitting.file.name, "there is no plan for that", "Look at it first.")
    (*_, line) = changes_said(answer.plan)
    sitting.live(answer.plan, unglued(line), fields.get("on"))
    return "/change"


def _fact(sitting: Sitting) -> str:
    plan = planned(sitting)
    lines = [] if plan is None else [unglued(line) for line in changes_said(plan)]
    return lines[-1] if lines else "a lunch is off, portions are gone"


PART = PagePart(
    "/change", "When it goes otherwise", "change.html", _show, _fact, {"/change/take": _take}
)
