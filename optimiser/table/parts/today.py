"""The morning: what goes into each box of a day, to be ticked; and on to the week after."""

from __future__ import annotations

from datetime import date
from typing import Any

from models.answers.pack import Card
from models.answers.plan import PlanFile
from models.words.days import day_name
from models.words.errors import InputError
from models.words.numbers import counted
from optimiser.interface import asked, sheets
from optimiser.table import lived
from optimiser.table.part import Fields, PagePart
from optimiser.table.showing import planned
from optimiser.table.sitting import Sitting


def _day(plan: PlanFile, fields: Fields) -> date:
    """Give the day that is asked for; else today, or the first of the week."""
    wanted = fields.get("day", date.today().isoformat())
    return next((day for day in plan.days if day.isoformat() == wanted), plan.days[0])


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    plan = planned(sitting)
    if plan is None:
        return {"cards": [], "mornings": [], "morning": "", "tick_of": "", "empty": ""}
    day, cards, empty = _day(plan, fields), list[dict[str, Any]](), ""
    try:
        answer = sheets.pack(plan, day)
        cards = [_card(card, at) for at, card in enumerate(answer.cards)]
        empty = "Buy one, or go without." if answer.to_buy else ""
    except InputError as none:
        empty = none.what
    return {
        "cards": cards,
        "empty": empty,
        "morning": day_name(day),
        # A tick is of this plan's box on this day.
        "tick_of": f"{sitting.digest}-{day.isoformat()}",
        "mornings": [
            {"value": each.isoformat(), "title": day_name(each), "here": each == day}
            for each in plan.days
        ],
    }


def _card(card: Card, at: int) -> dict[str, Any]:
    return {
        "whose": card.eater,
        "dish": card.dish,
        "before": card.before,
        "places": [
            {
                "id": f"{at}-{number}",
                "place": place.place,
                "parts": [part.text for part in place.parts],
                "note": place.note,
            }
            for number, place in enumerate(card.places)
        ],
        "notes": [*card.carry, *card.eat, *card.cautions],
        "minutes": counted(card.minutes, "minute") if card.minutes else "",
    }


def _next(sitting: Sitting, fields: Fields) -> str:
    """Keep the plan beside the week file, and write the week after into that."""
    plan = planned(sitting)
    if plan is None:
        what = "there is no plan to go on from yet"
        raise InputError(sitting.file.name, what, "Wait until it is planned, or mend the week.")
    with sitting.lock:
        following = asked.next_week(plan)
        # That it may be written is seen before anything is.
        sitting.read(following.text)
        if not sitting.lived:
            lived.keep_first(sitting.file.held.path, plan)
        sitting.write(following.text, "on to the week after", fields.get("on"))
    return "/"


PART = PagePart(
    "/today",
    "Pack a box",
    "today.html",
    _show,
    lambda sitting: "" if (plan := planned(sitting)) is None else day_name(_day(plan, {})),
    {"/today/next": _next},
)
