"""Sides and boxes: what may come beside a dish, and what lunch travels in, as short forms."""

from __future__ import annotations

from typing import Any

from models.file.editing import NewValue, Path
from models.file.leaving import leaving_box
from models.week.week import Week
from models.words.errors import InputError, spelt
from optimiser.table.part import Edits, Fields, PagePart
from optimiser.table.sitting import Sitting

AT = "/sides"


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
        "extras": _extras(week),
        "dishes": [(name, name) for name in _data(week, "dishes")],
        "larder": list(_data(week, "larder")),
        "boxes": [
            (name, _listed(box["compartments"]), _listed(box.get("pots")))
            for name, box in boxes.items()
        ],
        "carried": [("", "any room"), *((name, name) for name in boxes)],
        "carry": [
            (eater, (entry or {}).get("box") or "")
            for eater, entry in _data(week, "eaters").items()
        ],
    }


def _sides(sitting: Sitting, fields: Fields) -> str:
    """Set how much comes of each side and how often, and let one more come."""
    week, edits = sitting.readable, Edits()
    for at, (dish, item, portion, most) in enumerate(_extras(week)):
        path: Path = ("dishes", dish, "extras", item)
        for key, stands in (("portion", portion), ("most", most)):
            typed = fields.get(f"{key}{at}", "").strip()
            if typed and typed != stands:
                edits.append(((*path, key), typed))
    edits += _one_more(week, fields)
    sitting.change(edits, "sides", fields.get("on"))
    return AT


def _one_more(week: Week, fields: Fields) -> Edits:
    """Let one side more come; what is not in the larder yet is bought by the pack."""
    typed, dish = fields.get("item", "").strip(), fields.get("dish", "")
    if not typed:
        return []
    item = spelt(typed, _data(week, "larder")) or typed
    if dish not in week.dishes:
        raise InputError("With", "there is no such dish", "Choose one of those offered.")
    new: NewValue = {
        "portion": fields.get("portion", "").strip(),
        "most": fields.get("most", "").strip() or "1",
    }
    edits: Edits = [(("dishes", dish, "extras", item), new)]
    if item not in _data(week, "larder"):
        pack = fields.get("pack", "").strip()
        if not pack:
            mend = "Write what one pack of it holds: 200 g, or 6 pieces."
            raise InputError("One pack of it", f"{item!r} is not in the larder yet", mend)
        edits.append((("larder", item), {"food": item, "pack": pack}))
    return edits


def _less(sitting: Sitting, fields: Fields) -> str:
    """Let a side come no more."""
    week, at = sitting.readable, fields.get("out", "")
    extras = _extras(week)
    if not at.isdecimal() or int(at) >= len(extras):
        raise InputError("the form", "there is no such side", "Look again.")
    dish, item, *_ = extras[int(at)]
    path: Path = ("dishes", dish, "extras", item)
    sitting.change([(path, None)], f"{dish} without {item} beside it", fields.get("on"))
    return AT


def _out(sitting: Sitting, fields: Fields) -> str:
    """Leave a box out; who carried it has any room."""
    week, name = sitting.readable, fields.get("out", "")
    if name not in week.boxes:
        raise InputError("the form", "there is no such box", "Look again.")
    edits = [(path, None) for path in leaving_box(week, name).paths]
    sitting.change(edits, f"no {name}", fields.get("on"))
    return AT


def _boxes(sitting: Sitting, fields: Fields) -> str:
    """Set the room of each box, take one more, and say who carries which."""
    week, edits = sitting.readable, Edits()
    for at, (name, box) in enumerate(_data(week, "boxes").items()):
        for key in ("compartments", "pots"):
            typed, stands = fields.get(f"{key}{at}"), _listed(box.get(key))
            if typed is not None and _rooms(typed) != _rooms(stands):
                edits.append((("boxes", name, key), _rooms(typed)))
    more, rooms = fields.get("name", "").strip(), _rooms(fields.get("compartments", ""))
    if more in week.boxes:
        raise InputError("Its name", f"there is a box {more!r} already", "Write another name.")
    if more:
        pots = _rooms(fields.get("pots", ""))
        new: NewValue = {"compartments": rooms} | ({"pots": pots} if pots else {})
        edits.append((("boxes", more), new))
    for at, (eater, entry) in enumerate(_data(week, "eaters").items()):
        box, stands = fields.get(f"box{at}"), (entry or {}).get("box") or ""
        if box is not None and box != stands:
            path: Path = ("eaters", eater, "box") if entry else ("eaters", eater)
            edits.append((path, (box or None) if entry else {"box": box}))
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
    {
        f"{AT}/sides": _sides,
        f"{AT}/less": _less,
        f"{AT}/boxes": _boxes,
        f"{AT}/out": _out,
    },
)
