"""One lunch: why it is as it is, what every other dish there would cost, and taking one.

What is taken or held becomes a wish of the week file, which every command heeds.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from models.answers.plan import LunchLine, PlanFile, RuleLine
from models.answers.why import Answer, LunchWhy, WhyFile
from models.file.editing import NewValue, Path
from models.week.week import Week, WishedLunch
from models.words.days import DAY_NAMES, day_name
from models.words.errors import InputError
from optimiser.interface import asked
from optimiser.report.console import unglued
from optimiser.report.phrases import amounts_said, money, sides_said, sourced
from optimiser.report.verdicts import grouped
from optimiser.report.why import paid_said
from optimiser.table.part import Fields, PagePart
from optimiser.table.showing import lunch_path
from optimiser.table.sitting import Sitting


def _lunch_of(sitting: Sitting, fields: Fields) -> tuple[date, str]:
    """Read whose lunch and on which day; refuse one that the week has not."""
    week, eater = sitting.week, fields.get("eater", "")
    if week is None:
        raise InputError(sitting.file.name, "this file has faults", "Mend them first.")
    day = next((day for day in week.days if day.isoformat() == fields.get("day")), None)
    if day is None or not any((lunch.day, lunch.eater) == (day, eater) for lunch in week.lunches):
        raise InputError(sitting.file.name, "there is no such lunch in this week", "Take another.")
    return day, eater


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    day, eater = _lunch_of(sitting, fields)
    line = _planned(sitting.plan, day, eater)
    other = fields.get("with", "")
    path = lunch_path(day, eater)
    shown: dict[str, Any] = {
        "where": f"{day_name(day)}, {eater}" if _several(sitting) else day_name(day),
        "lunch": None if line is None else _lunch(sitting.plan, line),
        "wished": ", ".join(wish.dish for _, wish in _wishes_at(sitting.week, day, eater)),
        "to": path,
        "reasons": None,
        "groups": [],
        "other": None,
        "asked_for": other,
    }
    if line is None or sitting.lived:
        # Of a week that runs nothing is wished for any more.
        return shown
    key = (day.isoformat(), eater)
    if other:
        answer = sitting.ask(
            ("with", *key, other), lambda week: asked.why(week, day, eater=eater, not_=other)
        )
        shown["other"] = _with(answer) if isinstance(answer, WhyFile) else None
        if answer is not None and not isinstance(answer, WhyFile):
            shown["asked_for"] = ""
    answer = sitting.ask(("why", *key), lambda week: asked.why(week, day, eater=eater))
    if isinstance(answer, WhyFile) and answer.lunches:
        why = answer.lunches[0]
        shown["reasons"] = [unglued(reason.text) for reason in why.reasons]
        shown["groups"] = list(_groups(why, path))
    return shown


def _several(sitting: Sitting) -> bool:
    return sitting.week is not None and len(sitting.week.eaters) > 1


def _planned(plan: object, day: date, eater: str) -> LunchLine | None:
    if not isinstance(plan, PlanFile):
        return None
    lines = (line for line in plan.lunches if (line.date, line.eater) == (day, eater))
    return next(lines, None)


def _lunch(plan: object, line: LunchLine) -> dict[str, Any]:
    made = plan if isinstance(plan, PlanFile) else None
    return {
        "dish": line.dish,
        "parts": [] if made is None else [amounts_said(made, part) for part in line.batches],
        "sides": sides_said(line),
        "cost": "" if made is None or not line.cost else money(made.currency, line.cost),
        "minutes": line.minutes,
    }


def _groups(why: LunchWhy, path: str) -> Iterator[dict[str, Any]]:
    """Put other dishes with the same price together; of those no week has, say why."""
    answers = {answer.what: answer for answer in why.dishes}
    for group in grouped(why):
        dishes = [answers[name] for name in group["dishes"]]
        impossible = dishes[0].verdict == "impossible"
        yield {
            "text": "No week has these there" if impossible else _price(dishes[0]),
            "impossible": impossible,
            "dishes": [
                {"name": answer.what, "why": [sourced(rule) for rule in answer.rules]}
                for answer in dishes
            ],
        }


def _price(answer: Answer) -> str:
    text = answer.text or "not found out in time"
    return text[:1].upper() + text[1:]


def _with(why: WhyFile) -> dict[str, Any] | None:
    """Give the week with another dish there: its price, what changes, what stands in the way."""
    answer = why.answer
    if answer is None:
        return None
    lost = f"priority:{answer.loss.priority}" if answer.loss else ""
    return {
        "text": answer.text[:1].upper() + answer.text[1:],
        "possible": answer.verdict != "impossible",
        "rules": [sourced(rule) for rule in _without(answer.rules, lost)],
        "changes": [
            {
                "where": f"{day_name(lunch.date)}{f', {lunch.eater}' if why.eaters[1:] else ''}",
                "then": lunch.would_be,
                "was": lunch.was,
            }
            for lunch in why.others
        ],
        "paid": [f"{paid.item}: {paid_said(why, paid)}" for paid in why.paid],
    }


def _without(rules: list[RuleLine], key: str) -> list[RuleLine]:
    return [rule for rule in rules if rule.key != key]


# -- wishes ------------------------------------------------------------------------------


def _wishes_at(week: Week | None, day: date, eater: str) -> list[tuple[int, WishedLunch]]:
    """Give what is wished for one lunch, with its place in the list."""
    if week is None:
        return []
    # Of one eater alone nobody says whose lunch it is.
    whom = (eater,) if len(week.eaters) > 1 else (eater, None)
    return [
        (at, wish) for at, wish in enumerate(week.wishes) if wish.day == day and wish.eater in whom
    ]


def _take(sitting: Sitting, fields: Fields) -> str:
    """Wish for a dish at a lunch, in the place of what was wished there before."""
    day, eater = _lunch_of(sitting, fields)
    dish, week = fields.get("dish", ""), sitting.week
    whose = f" for {eater}" if _several(sitting) else ""
    text = f"{dish} on {DAY_NAMES[day.weekday()]}{whose}"
    there = _wishes_at(week, day, eater)
    listed = [] if week is None else week.source.as_json().get("wishes")
    at = there[0][0] if there else len(listed or ())
    edit: tuple[Path, NewValue] = (("wishes", at), text)
    if listed is None:
        edit = (("wishes",), [text])
    others: list[tuple[Path, NewValue]] = [(("wishes", other), None) for other, _ in there[1:]]
    sitting.change([edit, *others], f"{dish} on {day_name(day)}{whose}", fields.get("on"))
    return lunch_path(day, eater)


def _let_go(sitting: Sitting, fields: Fields) -> str:
    """Wish for nothing there any more."""
    day, eater = _lunch_of(sitting, fields)
    there = _wishes_at(sitting.week, day, eater)
    edits: list[tuple[Path, NewValue]] = [(("wishes", at), None) for at, _ in there]
    sitting.change(edits, f"no wish for {day_name(day)}", fields.get("on"))
    return lunch_path(day, eater)


PART = PagePart(
    "/lunch/{day}/{eater}",
    "",
    "lunch.html",
    _show,
    acts={"/lunch/{day}/{eater}/take": _take, "/lunch/{day}/{eater}/let-go": _let_go},
)
