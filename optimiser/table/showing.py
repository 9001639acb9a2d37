"""What every screen shows: the week as a grid of days and eaters, and how it stands with it.

It reads answers and nothing else, in the words of the reports.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from datetime import date
from typing import Any
from urllib.parse import quote

from models.answers.plan import LunchLine, PlanFile
from models.week.week import Week
from models.words.days import day_name
from models.words.errors import InputError
from models.words.nutrients import PROTEIN
from optimiser.report.console import UNNAMED, unglued
from optimiser.report.page import verdict
from optimiser.report.phrases import (
    bought_said,
    count_of,
    eaters_of,
    no_lunch_said,
    several_eat,
    sides_said,
    tenths,
    thawed_said,
    totals_said,
)
from optimiser.report.plan import changes_said
from optimiser.table.sitting import Sitting
from optimiser.table.worker import Failed

BAR = 120
"""Width of the longest bar, in units of its drawing."""
_COUNT = re.compile(r"(?<=[0-9]) (?=[a-z])")


def frame(sitting: Sitting, at: str, instead: PlanFile | None = None) -> dict[str, Any]:
    """Give what stands around every part of the page.

    Parameters
    ----------
    sitting
        What goes on.
    at
        The path of what is asked for: the lunch it names is marked.
    instead
        A plan that is asked about and does not count yet: shown in place of the one that does.

    Returns
    -------
    dict of str to Any
        What the template needs: title, grid, how it stands, undo and redo, faults.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser.table.opened import opened
    >>> with TemporaryDirectory() as folder:
    ...     around = frame(Sitting(opened(f"{folder}/week.yaml")), "/")
    >>> around["file"], around["days"], around["undo"]
    ('week.yaml', [], None)
    """
    with sitting.lock:
        otherwise = _otherwise(sitting)
        plan, before = sitting.plan, sitting.before
        file = sitting.file
        shown = plan if isinstance(plan, PlanFile) else before
        busy = sitting.worker.is_wanted((sitting.digest, "plan"))
        marked = None if busy else sitting.marked(at)
        if instead is not None and instead.is_planned and isinstance(plan, PlanFile):
            shown, marked, plan = instead, plan, instead
        else:
            instead = None
        return {
            "file": file.name,
            "new": sitting.is_new,
            "on": sitting.digest,
            "runs": []
            if not sitting.lived
            else [unglued(line) for line in changes_said(sitting.lived[-1])],
            "title": _title(sitting.week),
            "dates": _dates(sitting.week),
            "undo": file.past[-1].what if file.past else None,
            "redo": file.undone[-1].what if file.undone else None,
            "otherwise": otherwise,
            "faults": [] if sitting.is_new else sitting.faults,
            "busy": busy,
            "doing": sitting.worker.doing or "planning the week",
            "old": busy and shown is not None,
            "asked": instead is not None,
            "stopped": instead is None
            and isinstance(plan, PlanFile)
            and plan.interrupted
            and not sitting.lived,
            "stands": stands(plan),
            "conflict": plan.conflict if isinstance(plan, PlanFile) else [],
            "eaters": eaters_of(shown) if shown is not None and several_eat(shown) else [],
            "days": [] if shown is None else list(grid(shown, marked, at, _wishes(sitting.week))),
        }


def planned(sitting: Sitting) -> PlanFile | None:
    """Give the plan of the week as it is.

    Parameters
    ----------
    sitting
        What goes on.

    Returns
    -------
    PlanFile or None
        None while it is looked for, and where there is none.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser.table.opened import opened
    >>> with TemporaryDirectory() as folder:
    ...     planned(Sitting(opened(f"{folder}/week.yaml")))
    """
    plan = sitting.plan
    return plan if isinstance(plan, PlanFile) and plan.is_planned else None


def _otherwise(sitting: Sitting) -> dict[str, Any] | None:
    """Give the lines in which the file on disk differs, or why that cannot be told; else None."""
    try:
        if not sitting.file.otherwise:
            return None
        return {"fault": None, "lines": sitting.file.changed_lines()}
    except InputError as fault:
        return {"fault": fault, "lines": []}


def _title(week: Week | None) -> str:
    return UNNAMED if week is None or not week.name else week.name


def _dates(week: Week | None) -> str:
    if week is None:
        return ""
    first, last = week.days[0], week.days[-1]
    return f"{day_name(first)} to {day_name(last)} {last.year}"


def stands(plan: PlanFile | Failed | None) -> str:
    """Say in a line or two how it stands with the week.

    Parameters
    ----------
    plan
        Its plan, why there is no answer, or None while it is looked for.

    Returns
    -------
    str
        Sentences; empty while it is looked for.

    Examples
    --------
    >>> from optimiser import plan
    >>> stands(plan("minimal", reasons=False))
    'Nothing is left over. Proven the best week. At least 1.38, no packing times given.'
    """
    if plan is None:
        return ""
    if isinstance(plan, Failed):
        return f"{plan.where}: {plan.what}. {plan.mend}"
    if not plan.is_planned:
        none = plan.status == "infeasible"
        return "No week keeps every rule." if none else "No week was found before it was stopped."
    totals = totals_said(plan)
    return f"{verdict(plan)} {totals[:1].upper()}{totals[1:]}."


def _wishes(week: Week | None) -> frozenset[tuple[date, str | None, str]]:
    wishes = () if week is None else week.wishes
    return frozenset((wish.day, wish.eater, wish.dish) for wish in wishes)


def grid(
    plan: PlanFile,
    before: PlanFile | None = None,
    at: str = "",
    wishes: Collection[tuple[date, str | None, str]] = (),
) -> Iterator[dict[str, Any]]:
    """Give the days of a plan, each with the lunch of every eater.

    Parameters
    ----------
    plan
        The plan.
    before
        The plan that was shown before it: lunches that differ are marked.
    at
        The path of the lunch that is looked at.
    wishes
        What is wished: the day, whose lunch or anyone's, and the dish.

    Yields
    ------
    dict of str to Any
        What the template needs of a day, as text ready to print.

    Examples
    --------
    >>> from optimiser import plan
    >>> day = next(grid(plan("minimal", reasons=False)))
    >>> day["title"], day["boxes"][0]["dish"], day["boxes"][0]["changed"]
    ('Mon 30 Nov', 'Rice, beans and cheese', '')
    """
    scale = max([*_proteins(plan), 1.0])
    for day in plan.days:
        lines = {line.eater: line for line in plan.lunches if line.date == day}
        yield {
            "date": day.isoformat(),
            "title": day_name(day),
            "weekday": f"{day:%a}",
            "number": f"{day.day} {day:%b}",
            "boxes": [
                _box(plan, lines[eater], scale, before)
                | {
                    "here": lunch_path(day, eater) == at,
                    "wished": any(
                        (day, whom, lines[eater].dish) in wishes for whom in (eater, None)
                    ),
                }
                if eater in lines
                else _no_box(eater, day, before)
                for eater in eaters_of(plan)
            ],
            "off": [*no_lunch_said(plan, day), *bought_said(plan, day)],
        }


def _proteins(plan: PlanFile) -> Iterator[float]:
    for line in plan.lunches:
        if PROTEIN in line.nutrients:
            held = line.nutrients[PROTEIN]
            yield max(held.amount, held.floor or 0.0)


def _no_box(eater: str, day: date, before: PlanFile | None) -> dict[str, Any]:
    old = () if before is None else before.lunches
    gone = next((line.dish for line in old if (line.date, line.eater) == (day, eater)), "")
    return {"eater": eater, "dish": "", "gone": gone}


def _box(plan: PlanFile, line: LunchLine, scale: float, before: PlanFile | None) -> dict[str, Any]:
    return {
        "eater": line.eater,
        "dish": line.dish,
        "link": lunch_path(line.date, line.eater),
        "parts": [_whole(part) for part in _portions(plan, line)],
        "sides": _whole(", ".join(sides_said(line))),
        "frozen": any(part.from_freezer for part in line.batches),
        "protein": _protein(line, scale),
        "changed": "" if before is None else changed(line, before),
    }


def _whole(text: str) -> str:
    """Keep each number on one line with what it counts."""
    return _COUNT.sub("\N{NO-BREAK SPACE}", text)


def _portions(plan: PlanFile, line: LunchLine) -> list[str]:
    return [
        f"{count_of(plan, part.portions, part.batch)} {part.batch}{thawed_said(part)}"
        for part in line.batches
    ]


def _protein(line: LunchLine, scale: float) -> dict[str, Any] | None:
    held = line.nutrients.get(PROTEIN)
    if held is None:
        return None
    return {
        "amount": f"{'' if held.complete else 'at least '}{tenths(held.amount)} g protein",
        "asked": "" if held.floor is None else f"at least {tenths(held.floor)} g",
        "kept": held.floor is None or held.amount >= held.floor,
        "width": round(BAR * held.amount / scale),
        "mark": None if held.floor is None else round(BAR * held.floor / scale),
    }


def lunch_path(day: date, eater: str) -> str:
    """Give the path of a lunch.

    Parameters
    ----------
    day
        Its date.
    eater
        Whose it is.

    Returns
    -------
    str
        Fit for an address.

    Examples
    --------
    >>> lunch_path(date(2026, 12, 1), "Ann B/C")
    '/lunch/2026-12-01/Ann%20B%2FC'
    """
    return f"/lunch/{day.isoformat()}/{quote(eater, safe='')}"


def changed(line: LunchLine, before: PlanFile) -> str:
    """Say what a lunch was in the plan before, where it was otherwise.

    Parameters
    ----------
    line
        The lunch.
    before
        The plan before.

    Returns
    -------
    str
        A few words; empty where nothing changed.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> line = made.lunches[0]
    >>> changed(line, made), changed(line.model_copy(update={"dish": "Soup"}), made)
    ('', 'was Rice, beans and cheese')
    """
    was = next(
        (old for old in before.lunches if (old.date, old.eater) == (line.date, line.eater)), None
    )
    if was is None:
        return "new"
    if was.dish != line.dish:
        return f"was {was.dish}"
    if (was.batches, was.choices, was.extras) != (line.batches, line.choices, line.extras):
        return f"was {', '.join([*_portions(before, was), *sides_said(was)])}"
    return ""
