"""What is in each batch: every line as it is read, changed, and a recipe more brought in.

A line is read anew as it is typed, and the batch's sums, its life and its allergens follow; nothing
is written before it is asked for, and only what `check` takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from models.answers.check import CheckFile
from models.file import draft, yamltext
from models.file.draft import Frame
from models.file.editing import NewValue, Path, edited
from models.file.leaving import leaving_batch, needing
from models.file.recipes import named_apart, pasted
from models.week.week import Week
from models.words.errors import InputError
from models.words.numbers import counted
from optimiser.interface import asked
from optimiser.table.part import Data, Edits, Fields, PagePart
from optimiser.table.parts.start import THE_PASTE, line_shown, sums_of, texts_of_file
from optimiser.table.sitting import Sitting

SETTLED = (
    ("yield", "It makes", "12 portions, or 1200 g", "text"),
    ("portion", "One portion weighs", "worked out roughly if empty", "text"),
    ("made", "Cooked on", "the day before the week if empty", "date"),
    ("freezer", "The freezer takes", "6 portions; none if empty", "text"),
    ("cost", "All of it costs", "by the prices of what is in it if empty", "number"),
)
"""What is settled of a batch: its key, what it is called, what holds where nothing is said."""


def _entries(data: Data, name: str) -> list[Any]:
    """Give the ingredients of a batch as the file has them; none where it states figures."""
    batch = data["batches"].get(name) or {}
    return list(batch.get("ingredients") or [])


def _stated(entry: Any) -> str:
    return str(entry.get("what", "")) if isinstance(entry, Mapping) else str(entry)


def _changed(sitting: Sitting, fields: Fields) -> tuple[str, str]:
    """Write the text of the file with the lines as they are typed, and say what was changed."""
    week, name = sitting.readable, fields.get("batch", "")
    if name not in week.batches:
        raise InputError(sitting.file.name, f"there is no batch {name[:40]!r}", "Take another.")
    entries = _entries(week.source.as_json(), name)
    edits: list[tuple[Path, NewValue]] = []
    for at, entry in enumerate(entries):
        typed = fields.get(f"l{at}")
        if typed is None or typed.strip() == _stated(entry):
            continue
        path: Path = ("batches", name, "ingredients", at)
        inside: Path = (*path, "what") if isinstance(entry, Mapping) else path
        edits.append((inside, typed.strip()) if typed.strip() else (path, None))
    text = edited(sitting.file.text, edits)
    gone = sum(value is None for _, value in edits)
    if gone == len(entries) and entries:
        raise InputError(name, "nothing would be left in it", "Keep a line.")
    more = [line.strip() for line in fields.get("new", "").splitlines() if line.strip()]
    for at, line in enumerate(more, start=len(entries) - gone):
        if not entries:
            text, entries = edited(text, [(("batches", name, "ingredients"), [line])]), [line]
        else:
            text = edited(text, [(("batches", name, "ingredients", at), line)])
    lines = counted(len(edits) + len(more), "line")
    return text, f"{lines} of {name}"


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    shown: dict[str, Any] = {"batches": [], "fault": None, "recipe": ""}
    if sitting.week is None:
        return shown
    week, checked = sitting.week, sitting.checked
    tried, reading = fields.get("batch", ""), checked
    try:
        shown["recipe"] = _recipe(fields)
        if tried:
            text, _ = _changed(sitting, fields)
            reading = asked.check(sitting.read(text))
        elif shown["recipe"]:
            reading = asked.check(sitting.read(_with_recipe(sitting, fields)[0]))
    except InputError as fault:
        shown["fault"] = fault
    data = week.source.as_json()
    new = [name for name in reading.batches if name not in week.batches]
    shown["batches"] = [
        _batch(
            week, data, name, reading if name == tried else checked, fields if name == tried else {}
        )
        | {"at": at, "tried": name == tried}
        for at, name in enumerate(week.batches)
    ]
    shown["read"] = [
        {"name": name, "sums": sums_of(reading.batches[name]), "lines": _lines(reading, name)}
        for name in new
    ]
    return shown


def _batch(week: Week, data: Data, name: str, checked: CheckFile, fields: Fields) -> dict[str, Any]:
    entry, entries = data["batches"][name] or {}, _entries(data, name)
    typed = [fields.get(f"l{at}", _stated(line)) for at, line in enumerate(entries)]
    # A fault names a line by its place among those that stay.
    goes = [f"{sum(bool(text.strip()) for text in typed[:at])}" for at in range(len(typed))]
    along, lines = needing(week, name), _lines(checked, name)
    read = {line["line"]: line for line in reversed(lines)}
    return {
        "name": name,
        "typed": [
            {
                "text": text,
                "goes": place if text.strip() else "",
                "read": read.get(" ".join(text.split())),
            }
            for text, place in zip(typed, goes, strict=True)
        ],
        "along": f"Then these dishes go too: {', '.join(along)}." if along else "",
        "new": fields.get("new", ""),
        "settled": [
            (key, title, str(entry.get(key, "")), note, kind) for key, title, note, kind in SETTLED
        ],
        "sums": sums_of(
            checked.batches[name], lacks=bool(entry.get("not_read")) and "portion" not in entry
        ),
        # Those that stand in no field: of lines that were just typed, and where one became two.
        "lines": [line for line in lines if line["line"] not in map(str.strip, typed)],
    }


def _lines(checked: CheckFile, name: str) -> list[dict[str, str]]:
    return [line_shown(line) for line in checked.batches[name].ingredients]


def _read(sitting: Sitting, fields: Fields) -> str | None:
    """Show how it would be read; nothing is written."""
    return None


def _write(sitting: Sitting, fields: Fields) -> str | None:
    """Write the lines of a batch."""
    text, what = _changed(sitting, fields)
    sitting.write(text, what, fields.get("on"))
    return "/food"


def _settle(sitting: Sitting, fields: Fields) -> str:
    """Set what a batch makes, weighs and costs, when it is cooked and what of it is frozen."""
    week, name = sitting.readable, fields.get("settled", "")
    if name not in week.batches:
        raise InputError("the form", f"there is no batch {name[:40]!r}", "Look again.")
    batch = week.source.as_json()["batches"][name] or {}
    edits: Edits = [
        (("batches", name, key), typed.strip() or None)
        for key, *_ in SETTLED
        if (typed := fields.get(key)) is not None and typed.strip() != str(batch.get(key, ""))
    ]
    if any(path[-1] == "yield" and value is None for path, value in edits):
        raise InputError(
            "It makes", "how much it makes is missing", "Write 12 portions, or 1200 g."
        )
    sitting.change(edits, f"{name} settled", fields.get("on"))
    return "/food"


def _out(sitting: Sitting, fields: Fields) -> str:
    """Cook a batch no more; the dishes that cannot be without it go too."""
    week, name = sitting.readable, fields.get("out", "")
    if name not in week.batches:
        raise InputError("the form", f"there is no batch {name[:40]!r}", "Look again.")
    leaving = leaving_batch(week, name)
    if len(leaving.dishes) == len(week.dishes):
        mend = "Bring another recipe in first."
        raise InputError(name, "every dish takes it: none would be left without it", mend)
    edits = [(path, None) for path in leaving.paths]
    sitting.change(edits, f"{name} is not cooked", fields.get("on"))
    return "/food"


# -- a recipe more -------------------------------------------------------------------------


def _recipe(fields: Fields) -> str:
    """Give what was pasted, or what a file that was chosen has."""
    return "\n\n".join(texts_of_file(fields)) or fields.get("recipe", "")


def _with_recipe(sitting: Sitting, fields: Fields) -> tuple[str, str]:
    """Write the text of the file with what was pasted as a batch, and dishes that take it."""
    week = sitting.readable
    guidance, cups = week.guidance or "strictest", week.cups or "label"
    batches = [
        batch
        for batch in named_apart(pasted(THE_PASTE, _recipe(fields), guidance, cups))
        if batch.name not in week.batches
    ]
    if not batches:
        raise InputError("the recipe", "a batch of that name is there", "Give it another name.")
    days = tuple(f"{day:%a}".lower() for day in week.days)
    drafted = draft.draft(batches, Frame(week.days[0], days, guidance, cups))
    data = yamltext.parse("the draft", drafted).as_json()
    edits: list[tuple[Path, NewValue]] = [
        (("dishes", name), dish)
        for name, dish in reversed(list(data["dishes"].items()))
        if name not in week.dishes and _fits(dish, week, {batch.name for batch in batches})
    ]
    edits += [(("batches", name), batch) for name, batch in data["batches"].items()]
    names = ", ".join(batch.name for batch in batches)
    return edited(sitting.file.text, edits), names


def _fits(dish: Data, week: Week, names: set[str]) -> bool:
    """Tell whether a drafted dish takes what is new and nothing that the larder lacks."""
    takes = set(dish.get("takes") or {})
    return bool(takes) and takes <= names and set(dish.get("goes_in") or {}) <= set(week.larder)


def _bring(sitting: Sitting, fields: Fields) -> str | None:
    """Write what was pasted into the file."""
    text, names = _with_recipe(sitting, fields)
    sitting.write(text, f"{names} brought in", fields.get("on"))
    return "/food"


def _fact(sitting: Sitting) -> str:
    names: Iterator[str] = iter(sitting.week.batches if sitting.week is not None else ())
    return ", ".join(names)


PART = PagePart(
    "/food",
    "What is in it",
    "food.html",
    _show,
    _fact,
    {
        "/food/read": _read,
        "/food/write": _write,
        "/food/settle": _settle,
        "/food/out": _out,
        "/food/look": _read,
        "/food/bring": _bring,
    },
)
