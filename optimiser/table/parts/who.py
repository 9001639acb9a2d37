"""Who eats and when, and what the place offers: short forms over the file, each an edit of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from models.file.editing import NewValue, Path
from models.file.instead import SEVERAL, avoided
from models.file.leaving import leaving_eater
from models.week.week import Week
from models.words.allergens import allergens
from models.words.days import DAY_NAMES, day_name
from models.words.errors import InputError
from models.words.guidance import GUIDANCES
from models.words.numbers import listed, plain
from models.words.nutrients import PROTEIN, tagname
from models.words.units import magnitude
from optimiser.table.part import Data, Edits, Fields, PagePart
from optimiser.table.parts.start import CUPS, days_typed
from optimiser.table.sitting import Sitting

YES, NO = "yes", "no"
MORE = "One more eater"
"""What a form calls who is not in the file yet."""
PLACES = (
    ("fridge", "A fridge where lunch is eaten", YES),
    ("microwave", "A microwave there", NO),
)
"""What a place may offer: its key, what it is called, and what holds where nothing is stated."""


def _data(week: Week, key: str) -> Any:
    return week.source.as_json().get(key)


def _eaters_of(week: Week) -> dict[str, Any]:
    """Give who eats as the file has it: many may be one entry."""
    return {name: entry or {} for name, entry in _data(week, "eaters").items()}


def _floor(week: Week, name: str) -> str | None:
    """Give the floor of protein that the file states for an eater, in g; None where none."""
    held = _eaters_of(week)[name].get("floors") or {}
    stated = any(tagname(key) == PROTEIN for key in held)
    return plain(_least(week, name), 3) if stated else None


def _least(week: Week, name: str) -> Decimal:
    """Give the g of protein that a lunch of an eater with a floor has at least."""
    eater = next(each for each in week.eaters.values() if name in (each.name, each.group))
    bounds = (x for x in eater.floors if x.nutrient == PROTEIN and not x.weekly)
    return magnitude(next(bounds).amount, "gram")


def _floor_note(week: Week, name: str, entry: Data) -> str:
    """Say below the floor in grams what an empty one comes to."""
    if _floor(week, name) is not None:
        return "at least; 0 asks for none"
    if entry.get("daily_protein"):
        return f"about {plain(_least(week, name), 1)} g, from daily_protein in the file"
    return "no floor in grams"


def _must_not(entry: Data) -> str:
    held = entry.get("must_not") or {}
    words = [*(held.get("allergens") or ()), *(held.get("foods") or ())]
    return ", ".join([*words, *([held["diet"]] if held.get("diet") else [])])


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    week = sitting.week
    if week is None:
        return {"known": False}
    place, settings = _data(week, "place") or {}, _data(week, "week")
    return {
        "known": True,
        "one_more": MORE,
        "starts": week.days[0].isoformat(),
        "when": ", ".join(DAY_NAMES[day.weekday()] for day in week.days),
        "places": [
            (key, title, YES if _is_yes(place.get(key, usual)) else NO)
            for key, title, usual in PLACES
        ],
        "guidance": settings.get("guidance", ""),
        "guidances": _offered(GUIDANCES, settings.get("guidance")),
        "cups": settings.get("cups", ""),
        "cups_of": _offered(CUPS, settings.get("cups")),
        "who": [
            {
                "name": name,
                "title": f"{name}, {entry['count']} alike" if "count" in entry else name,
                "floor": _floor(week, name),
                "note": _floor_note(week, name, entry),
                "must_not": _must_not(entry),
            }
            for name, entry in _eaters_of(week).items()
        ],
        "off": [
            {
                "at": at,
                "text": f"{day_name(off.day)}{f', {off.eater}' if off.eater else ''}"
                f"{f': {off.why}' if off.why else ''}",
            }
            for at, off in enumerate(week.no_lunch)
        ],
        "choices": [(day.isoformat(), day_name(day)) for day in week.days],
        "names": [("", "everybody"), *((name, name) for name in _eaters_of(week))],
    }


def _offered(words: Data, now: str | None) -> dict[str, str]:
    """Offer the words of a setting; that nothing is stated, where that is so now."""
    return {**({} if now else {"": "not stated"}), **words}


def _is_yes(value: object) -> bool:
    return str(value).casefold() in ("yes", "true")


def _when(sitting: Sitting, fields: Fields) -> str:
    """Set the days, whose fridge lives and spoons, and what the place offers."""
    week = sitting.readable
    edits: Edits = []
    days = list(days_typed("Days with lunch", fields.get("when", "")))
    if days != [DAY_NAMES[day.weekday()] for day in week.days]:
        edits.append((("week", "days"), days))
    if (starts := fields.get("starts", "").strip()) != week.days[0].isoformat():
        edits.append((("week", "starts"), starts))
    settings = _data(week, "week")
    edits += [
        (("week", key), typed)
        for key in ("guidance", "cups")
        if (typed := fields.get(key)) and typed != settings.get(key)
    ]
    sitting.change([*edits, *_placed(week, fields)], "days and place", fields.get("on"))
    return "/who"


def _placed(week: Week, fields: Fields) -> Edits:
    place = _data(week, "place")
    stated = {}
    for key, title, usual in PLACES:
        value = fields.get(key, NO)
        if value not in (YES, NO):
            raise InputError(title, "that cannot be chosen", "Choose yes or no.")
        if _is_yes(value) != _is_yes((place or {}).get(key, usual)):
            stated[key] = value
    if place is None and stated:
        # Of what is not there yet all is written at once.
        return [(("place",), stated)]
    return [(("place", key), value) for key, value in stated.items()]


def _eaters(sitting: Sitting, fields: Fields) -> str:
    """Set what each lunch has at least and must not have, and take one eater more."""
    week, edits = sitting.readable, Edits()
    for at, (name, entry) in enumerate(_eaters_of(week).items()):
        title = f"{name} must not have"
        stated = _stated(
            fields.get(f"floor{at}", ""),
            fields.get(f"not{at}"),
            title,
            _floor(week, name) or "",
            _must_not(entry),
        )
        if stated and not entry:
            edits.append((("eaters", name), stated))
        elif stated:
            edits += _into(entry, name, stated)
    more = fields.get("name", "").strip()
    if more in week.eaters:
        raise InputError(f"{MORE}, name", f"{more!r} eats already", "Write another name.")
    if more:
        stated = _stated(fields.get("floor", ""), fields.get("not"), f"{MORE}, must not have")
        edits.append((("eaters", more), stated))
    sitting.change(edits, "who eats", fields.get("on"))
    return "/who"


def _stated(
    floor: str, words: str | None, title: str, floor_was: str = "", words_were: str = ""
) -> dict[str, Any]:
    """Give what was typed of an eater, where it differs from what stands there."""
    floor, stated = floor.strip(), dict[str, Any]()
    if floor and floor != floor_was:
        stated["floors"] = {"protein": f"{floor} g"}
    if words is not None and words.strip() != words_were:
        stated["must_not"] = _avoided(words, title)
    return stated


def _avoided(text: str, title: str) -> dict[str, Any]:
    """Read what someone must not have: allergens, foods and families, a way of eating."""
    words, diets = avoided(SEVERAL.split(text))
    if diets[1:]:
        mend = "Write one way of eating, and beside it foods."
        raise InputError(title, f"{listed(diets)} cannot be stated at once", mend)
    held = {
        "allergens": [word for word in words if allergens(word) is not None],
        "foods": [word for word in words if allergens(word) is None],
        "diet": diets[0] if diets else "",
    }
    return {key: value for key, value in held.items() if value}


def _into(entry: Data, name: str, stated: dict[str, Any]) -> Edits:
    """Say where in the file it goes what was typed of an eater."""
    edits: Edits = []
    for key, value in stated.items():
        held = entry.get(key)
        if key == "floors" and held:
            there = next((each for each in held if tagname(each) == PROTEIN), "protein")
            edits.append((("eaters", name, key, there), value["protein"]))
        else:
            edits.append((("eaters", name, key), value or None))
    return edits


def _out(sitting: Sitting, fields: Fields) -> str:
    """Let one eat no more."""
    week, name = sitting.readable, fields.get("out", "")
    if name not in _eaters_of(week):
        raise InputError("the form", "nobody of that name eats", "Look again.")
    edits = [(path, None) for path in leaving_eater(week, name).paths]
    sitting.change(edits, f"{name} eats no more", fields.get("on"))
    return "/who"


def _off(sitting: Sitting, fields: Fields) -> str:
    """Note a lunch that is not needed."""
    week = sitting.readable
    day = next((day for day in week.days if day.isoformat() == fields.get("day")), None)
    eater = fields.get("eater", "")
    if day is None or (eater and eater not in _eaters_of(week)):
        raise InputError("No lunch on", "there is no such lunch", "Choose one of those offered.")
    entry: dict[str, str] = {"day": DAY_NAMES[day.weekday()]}
    entry |= {"eater": eater} if eater else {}
    edit: tuple[Path, NewValue] = (("no_lunch", len(week.no_lunch)), entry)
    if _data(week, "no_lunch") is None:
        edit = (("no_lunch",), [entry])
    sitting.change([edit], f"no lunch on {day_name(day)}", fields.get("on"))
    return "/who"


def _needed(sitting: Sitting, fields: Fields) -> str:
    """Need a lunch again."""
    week, at = sitting.readable, fields.get("at", "")
    if not at.isdecimal() or int(at) >= len(week.no_lunch):
        raise InputError("the form", "there is no such day off", "Look again.")
    day = day_name(week.no_lunch[int(at)].day)
    sitting.change([(("no_lunch", int(at)), None)], f"lunch on {day} again", fields.get("on"))
    return "/who"


def _fact(sitting: Sitting) -> str:
    return "" if sitting.week is None else ", ".join(_eaters_of(sitting.week))


PART = PagePart(
    "/who",
    "Who eats and when",
    "who.html",
    _show,
    _fact,
    {
        "/who/when": _when,
        "/who/eaters": _eaters,
        "/who/out": _out,
        "/who/off": _off,
        "/who/needed": _needed,
    },
)
