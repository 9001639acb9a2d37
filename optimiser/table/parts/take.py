"""Take it along: the sheet for the door, labels, the list, the calendar, recipes, the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from models.answers.page import PageFile
from models.answers.plan import AnswerPart, PlanFile
from models.words.errors import InputError
from optimiser.interface import asked, sheets
from optimiser.interface.told import render
from optimiser.report.label_sheet import SHEETS
from optimiser.report.label_sheet import sheet as label_sheet
from optimiser.report.shop import as_markdown
from optimiser.table.part import Fields, PagePart, TakenFile
from optimiser.table.sitting import Sitting
from optimiser.table.worker import Failed

HTML, TEXT, ICAL, MARKDOWN = "text/html", "text/plain", "text/calendar", "text/markdown"
USUAL_LABELS = "a4-21"


@dataclass(frozen=True, slots=True)
class Offering:
    """Something to take along: what it is called, what it is good for, and how it is written."""

    title: str
    note: str
    write: Callable[[PlanFile, Fields], TakenFile]


def _sheet(plan: PlanFile, fields: Fields) -> TakenFile:
    answer = sheets.page(plan, sliders=False, verdicts=False)
    return TakenFile("sheet.html", HTML, render(answer, on_paper=True), shown=True)


def _labels(plan: PlanFile, fields: Fields) -> TakenFile:
    kind = fields.get("kind", USUAL_LABELS)
    if kind not in SHEETS:
        raise InputError("labels", f"there is no sheet {kind[:20]!r}", f"Take {', '.join(SHEETS)}.")
    written = label_sheet(sheets.labels(plan), kind, lines=True)
    return TakenFile("labels.html", HTML, written, shown=True)


def _calendar(plan: PlanFile, fields: Fields) -> TakenFile:
    return TakenFile("calendar.ics", ICAL, render(sheets.calendar(plan)))


def _list(plan: PlanFile, fields: Fields) -> TakenFile:
    return TakenFile("to-buy.md", MARKDOWN, as_markdown(sheets.shop(plan)))


def _recipes(plan: PlanFile, fields: Fields) -> TakenFile:
    return TakenFile("recipes.md", MARKDOWN, render(sheets.share(plan)))


def _saved(plan: PlanFile, fields: Fields) -> TakenFile:
    return TakenFile("plan.json", "application/json", plan.sealed().model_dump_json(indent=2))


SHEETS_OFFERED = {
    "sheet": Offering("The sheet for the fridge door", "one page, to print", _sheet),
    "labels": Offering("Labels for the tubs", "to print on a sheet of 21, or to cut", _labels),
    "list": Offering("What to buy", "with boxes to tick, as Markdown", _list),
    "calendar": Offering("The calendar", "cook, thaw, pack: for your phone's calendar", _calendar),
    "recipes": Offering("The recipes", "of the batches, as Markdown", _recipes),
    "plan": Offering("The plan itself", "for change, next and audit in a shell", _saved),
}


def _plan_of(sitting: Sitting) -> PlanFile:
    plan = sitting.plan
    if not isinstance(plan, PlanFile) or not plan.is_planned:
        what = "there is no plan to take along yet"
        raise InputError(sitting.file.name, what, "Wait until it is planned, or mend the week.")
    return plan


def _taken(name: str) -> Callable[[Sitting, Fields], TakenFile]:
    def take(sitting: Sitting, fields: Fields) -> TakenFile:
        return SHEETS_OFFERED[name].write(_plan_of(sitting), fields)

    return take


def _asked_page(sitting: Sitting) -> AnswerPart | Failed | None:
    running = sitting.lived[-1] if sitting.lived else None
    return sitting.ask(("page",), lambda week: sheets.page(running or asked.plan(week)))


def _page(sitting: Sitting, fields: Fields) -> TakenFile:
    answer = _asked_page(sitting)
    if not isinstance(answer, PageFile):
        what = "the page is not made yet"
        raise InputError(sitting.file.name, what, "Wait until it says that it is.")
    return TakenFile("page.html", HTML, render(answer))


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    plan = sitting.plan
    planned = isinstance(plan, PlanFile) and plan.is_planned
    wanted = planned and "page" in fields
    page = None
    if wanted:
        page = _asked_page(sitting)
    return {
        "planned": planned,
        "sheets": [
            {"name": name, "title": each.title, "note": each.note, "shown": name in SHOWN}
            for name, each in SHEETS_OFFERED.items()
        ],
        "wants_page": wanted,
        "page_made": isinstance(page, PageFile),
    }


SHOWN = ("sheet", "labels")
"""What opens to be printed; the others are saved."""

PART = PagePart(
    "/take",
    "Take it along",
    "take.html",
    _show,
    lambda sitting: "sheet, labels, list, calendar",
    files={
        **{f"/take/{name}": _taken(name) for name in SHEETS_OFFERED},
        "/take/page": _page,
    },
)
