"""Who eats and when, and what the place offers: short forms over the file, each an edit of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from models.file import draft
from models.file.editing import NewValue, Path
from models.week.week import Week
from models.words.days import DAY_NAMES, day_name
from models.words.errors import InputError
from models.words.numbers import plain
from models.words.nutrients import PROTEIN, tagname
from models.words.units import magnitude
from optimiser.table.part import Fields, PagePart
from optimiser.table.sitting import Sitting

YES, NO = "yes", "no"


def _week(sitting: Sitting) -> Week:
    if sitting.week is None:
        raise InputError(sitting.file.name, "this file has faults", "Mend them first.")
    return sitting.week


def _data(week: Week, key: str) -> Any:
    return week.source.as_json().get(key)


def _floor(week: Week, name: str) -> str | None:
    """Give the floor of protein that the file states for an eater, in g; None where none."""
    held = (_data(week, "eaters")[name] or {}).get("floors") or {}
    if not any(tagname(key) == PROTEIN for key in held):
        return None
    bounds = (x for x in week.eaters[name].floors if x.nutrient == PROTEIN and not x.weekly)
    floor = next(bounds)
    return plain(magnitude(floor.amount, "gram"), 3)


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    week = sitting.week
    if week is None:
        return {"who": [], "known": False}
    place = _data(week, "place") or {}
    return {
        "known": True,
        "starts": week.days[0].isoformat(),
        "when": ", ".join(DAY_NAMES[day.weekday()] for day in week.days),
        "fridge": _is_yes(place.get("fridge", YES)),
        "microwave": _is_yes(place.get("microwave", NO)),
        "who": [
            {"at": at, "name": name, "floor": _floor(week, name)}
            for at, name in enumerate(week.eaters)
        ],
        "off": [
            {
                "at": at,
                "text": f"{day_name(off.day)}{f', {off.eater}' if off.eater else ''}"
                f"{f': {off.why}' if off.why else ''}",
            }
            for at, off in enumerate(week.no_lunch)
        ],
        "choices": [{"value": day.isoformat(), "title": day_name(day)} for day in week.days],
    }


def _is_yes(value: object) -> bool:
    return str(value).casefold() in ("yes", "true")


def _when(sitting: Sitting, fields: Fields) -> str:
    """Set the days, and what the place offers."""
    week = _week(sitting)
    edits: list[tuple[Path, NewValue]] = []
    days = list(draft.days_of(fields.get("when", "")))
    if days != [DAY_NAMES[day.weekday()] for day in week.days]:
        edits.append((("week", "days"), days))
    if (starts := fields.get("starts", "").strip()) != week.days[0].isoformat():
        edits.append((("week", "starts"), starts))
    place = _data(week, "place")
    for key, usual in (("fridge", YES), ("microwave", NO)):
        value = fields.get(key, NO)
        if value not in (YES, NO):
            raise InputError(key, "that cannot be chosen", "Choose yes or no.")
        if _is_yes(value) != _is_yes((place or {}).get(key, usual)):
            edits.append((("place", key), value))
    if place is None and edits and edits[-1][0][0] == "place":
        # Of what is not there yet all is written at once.
        stated = {str(path[-1]): value for path, value in edits if path[0] == "place"}
        kept = [edit for edit in edits if edit[0][0] != "place"]
        edits = [*kept, (("place",), {key: str(value) for key, value in stated.items()})]
    sitting.change(edits, "days and place", fields.get("on"))
    return "/who"


def _eaters(sitting: Sitting, fields: Fields) -> str:
    """Set how much protein each lunch has at least, and take one eater more."""
    week, edits = _week(sitting), list[tuple[Path, NewValue]]()
    for at, name in enumerate(week.eaters):
        typed = fields.get(f"floor{at}", "").strip()
        if typed and typed != _floor(week, name):
            edits.append(_floor_edit(_data(week, "eaters")[name], name, f"{typed} g"))
    more = fields.get("name", "").strip()
    if more in week.eaters:
        raise InputError("the form", f"{more!r} eats already", "Write another name.")
    if more:
        floor = fields.get("floor", "").strip()
        new: Mapping[str, Any] = {"floors": {"protein": f"{floor} g"}} if floor else {}
        edits.append((("eaters", more), new))
    sitting.change(edits, "who eats", fields.get("on"))
    return "/who"


def _floor_edit(entry: Any, name: str, amount: str) -> tuple[Path, NewValue]:
    """Say where in the file the floor of an eater goes."""
    if not entry:
        return ("eaters", name), {"floors": {"protein": amount}}
    floors = entry.get("floors")
    if not floors:
        return ("eaters", name, "floors"), {"protein": amount}
    there = next((key for key in floors if tagname(key) == PROTEIN), "protein")
    return ("eaters", name, "floors", there), amount


def _off(sitting: Sitting, fields: Fields) -> str:
    """Note a lunch that is not needed."""
    week = _week(sitting)
    day = next((day for day in week.days if day.isoformat() == fields.get("day")), None)
    eater = fields.get("eater", "")
    if day is None or (eater and eater not in week.eaters):
        raise InputError("the form", "there is no such lunch", "Choose one of those offered.")
    entry: dict[str, str] = {"day": DAY_NAMES[day.weekday()]}
    entry |= {"eater": eater} if eater else {}
    edit: tuple[Path, NewValue] = (("no_lunch", len(week.no_lunch)), entry)
    if _data(week, "no_lunch") is None:
        edit = (("no_lunch",), [entry])
    sitting.change([edit], f"no lunch on {day_name(day)}", fields.get("on"))
    return "/who"


def _needed(sitting: Sitting, fields: Fields) -> str:
    """Need a lunch again."""
    week, at = _week(sitting), fields.get("at", "")
    if not at.isdecimal() or int(at) >= len(week.no_lunch):
        raise InputError("the form", "there is no such day off", "Look again.")
    day = day_name(week.no_lunch[int(at)].day)
    sitting.change([(("no_lunch", int(at)), None)], f"lunch on {day} again", fields.get("on"))
    return "/who"


def _fact(sitting: Sitting) -> str:
    return "" if sitting.week is None else ", ".join(sitting.week.eaters)


PART = PagePart(
    "/who",
    "Who eats and when",
    "who.html",
    _show,
    _fact,
    {"/who/when": _when, "/who/eaters": _eaters, "/who/off": _off, "/who/needed": _needed},
)
