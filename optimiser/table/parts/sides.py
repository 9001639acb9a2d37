"""Sides and boxes: what may come beside a dish, and what lunch travels in, as short forms."""

from __future__ import annotations

from typing import Any

from models.file.editing import NewValue, Path
from models.week.week import Week
from models.words.errors import InputError
from optimiser.table.part import Fields, PagePart
from optimiser.table.sitting import Sitting

AT = "/sides"


def _week(sitting: Sitting) -> Week:
    if sitting.week is None:
        raise InputError(sitting.file.name, "this file has faults", "Mend them first.")
    return sitting.week


def _data(week: Week, key: str) -> dict[str, Any]:
    return week.source.as_json().get(key) or {}


def _listed(rooms: Any) -> str:
    return ", ".join(map(str, rooms if isinstance(rooms, list) else [rooms] if rooms else []))


def _rooms(text: str) -> list[str]:
    return [room.strip() for room in text.split(",") if room.strip()]


def _extras(week: Week) -> list[tuple[str, str, str, str]]:
    """Give each side that may come: of which dish, what, how much at a time, how often at most."""
    return [
        (dish, item, str(extra["portion"]), str(extra.get("most", 1)))
        for dish, entry in _data(week, "dishes").items()
        for item, extra in (entry.get("extras") or {}).items()
    ]


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    week = sitting.week
    if week is None:
        return {"known": False}
    boxes = _data(week, "boxes")
    return {
        "known": True,
        "sent": fields.get("form", ""),
        "given": fields,
        "extras": _extras(week),
        "dishes": list(_data(week, "dishes")),
        "larder": list(_data(week, "larder")),
        "boxes": [
            (name, _listed(box["compartments"]), _listed(box.get("pots")))
            for name, box in boxes.items()
        ],
        "carry": [
            (eater, (entry or {}).get("box") or "")
            for eater, entry in _data(week, "eaters").items()
        ],
    }


def _sides(sitting: Sitting, fields: Fields) -> str:
    """Set how much comes of each side and how often, and let one more come."""
    week, edits = _week(sitting), list[tuple[Path, NewValue]]()
    for at, (dish, item, portion, most) in enumerate(_extras(week)):
        path: Path = ("dishes", dish, "extras", item)
        for key, stands in (("portion", portion), ("most", most)):
            typed = fields.get(f"{key}{at}", "").strip()
            if typed and typed != stands:
                edits.append(((*path, key), typed))
    dish, item = fields.get("dish", ""), fields.get("item", "")
    if item:
        portion, most = fields.get("portion", "").strip(), fields.get("most", "").strip() or "1"
        if dish not in week.dishes:
            raise InputError("the form", "there is no such dish", "Choose one of those offered.")
        new: NewValue = {"portion": portion, "most": most}
        edits.append((("dishes", dish, "extras", item), new))
    sitting.change(edits, "sides", fields.get("on"))
    return AT


def _boxes(sitting: Sitting, fields: Fields) -> str:
    """Set the room of each box, take one more, and say who carries which."""
    week, edits = _week(sitting), list[tuple[Path, NewValue]]()
    for at, (name, box) in enumerate(_data(week, "boxes").items()):
        for key in ("compartments", "pots"):
            typed, stands = fields.get(f"{key}{at}"), _listed(box.get(key))
            if typed is not None and _rooms(typed) != _rooms(stands):
                edits.append((("boxes", name, key), _rooms(typed)))
    more, rooms = fields.get("name", "").strip(), _rooms(fields.get("compartments", ""))
    if more in week.boxes:
        raise InputError("the form", f"there is a box {more!r} already", "Write another name.")
    if more:
        pots = _rooms(fields.get("pots", ""))
        new: NewValue = {"compartments": rooms} | ({"pots": pots} if pots else {})
        edits.append((("boxes", more), new))
    for at, (eater, entry) in enumerate(_data(week, "eaters").items()):
        box = fields.get(f"box{at}", "")
        if box and box != ((entry or {}).get("box") or ""):
            edits.append(
                (("eaters", eater, "box"), box) if entry else (("eaters", eater), {"box": box})
            )
    sitting.change(edits, "boxes", fields.get("on"))
    return AT


def _fact(sitting: Sitting) -> str:
    return "" if sitting.week is None else ", ".join(sitting.week.boxes)


PART = PagePart(
    AT,
    "Sides and boxes",
    "sides.html",
    _show,
    _fact,
    {f"{AT}/sides": _sides, f"{AT}/boxes": _boxes},
)
