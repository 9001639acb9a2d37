"""The week as a whole: what matters and how far it is reached, what is left, what is moved when."""

from __future__ import annotations

from typing import Any

from models.answers.plan import PlanFile
from models.words.days import day_name
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.console import unglued
from optimiser.report.page import left_said
from optimiser.report.phrases import priceless, to_do
from optimiser.report.plan import proof_of, value_of
from optimiser.table.part import Fields, PagePart, back
from optimiser.table.sitting import Sitting


def _show(sitting: Sitting, asked: Fields) -> dict[str, Any]:
    plan = sitting.plan
    if not isinstance(plan, PlanFile) or not plan.is_planned:
        return {"reached": [], "left": "", "moves": [], "proven": False}
    return {
        "reached": [
            {
                "title": PRIORITIES[line.name].title,
                "amount": value_of(plan, line, line.value),
                "proven": proof_of(plan, line).partition(":")[0],
            }
            for line in plan.priorities
            if line.name != TIE_BREAK and not (line.name == "cost" and priceless(plan))
        ],
        "left": left_said(plan),
        "moves": [{"day": day_name(day), "text": unglued(text)} for day, text in to_do(plan)],
        "proven": plan.status == "optimal",
    }


def _fact(sitting: Sitting) -> str:
    plan = sitting.plan
    if not isinstance(plan, PlanFile) or not plan.is_planned:
        return ""
    return "proven best" if plan.status == "optimal" else "not proven"


def _undo(sitting: Sitting, asked: Fields) -> str:
    sitting.undo(asked.get("on"))
    return back(asked)


def _redo(sitting: Sitting, asked: Fields) -> str:
    sitting.redo(asked.get("on"))
    return back(asked)


def _stop(sitting: Sitting, asked: Fields) -> str:
    sitting.worker.stop()
    return back(asked)


def _again(sitting: Sitting, asked: Fields) -> str:
    sitting.worker.again((sitting.digest, "plan"))
    return back(asked)


def _take(sitting: Sitting, asked: Fields) -> str:
    sitting.take()
    return back(asked)


PART = PagePart(
    "/",
    "The week",
    "week.html",
    _show,
    _fact,
    {"/undo": _undo, "/redo": _redo, "/stop": _stop, "/again": _again, "/take": _take},
)
