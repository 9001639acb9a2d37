"""A week from nothing: recipes or lines that are pasted, read at once, and made the file.

What is shown of each line is what `check` says of the file that would be written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from models.answers.check import CheckedBatch, CheckFile, IngredientLine
from models.file import draft
from models.file.draft import DraftBatch, Frame
from models.file.editing import NewValue, Path, edited
from models.file.recipes import named_apart, pasted, recipes_in
from models.words.allergens import say
from models.words.days import day_name
from models.words.errors import InputError
from models.words.guidance import GUIDANCES
from models.words.numbers import counted
from models.words.nutrients import PROTEIN
from models.words.text import LONGEST_NAME
from optimiser.interface import asked
from optimiser.report.phrases import tenths
from optimiser.table.part import Fields, PagePart
from optimiser.table.sitting import Sitting
from optimiser.weeks.varied import varied

MOST_RECIPES = 8
MOST_EATERS = 12
THE_PASTE = "as pasted"
SAVED = "or a saved recipe page"
CUPS = {
    "label": "as labels have it",
    "us": "of the United States",
    "metric": "metric, 15 mL spoons",
    "metric-20": "metric, 20 mL spoons",
}


@dataclass(frozen=True, slots=True)
class Started:
    """The file that the form would make, and how it is understood."""

    text: str
    batches: tuple[DraftBatch, ...]
    checked: CheckFile


def _recipes(fields: Fields) -> list[str]:
    """Give the pasted texts, those of files that were chosen behind them."""
    texts = [fields[f"r{at}"] for at in range(MOST_RECIPES) if fields.get(f"r{at}", "").strip()]
    return [*texts, *texts_of_file(fields)][:MOST_RECIPES]


def texts_of_file(fields: Fields) -> list[str]:
    r"""Give the recipes of a file that was chosen, as they would be pasted.

    Parameters
    ----------
    fields
        What the form says.

    Returns
    -------
    list of str
        A text each; empty where none was chosen.

    Raises
    ------
    InputError
        When there is no recipe in it.

    Examples
    --------
    >>> texts_of_file({"file": "Pea soup\n300 g peas", "file:name": "soup.txt"})[0].splitlines()[0]
    'Pea soup'
    """
    if not fields.get("file", "").strip():
        return []
    name = fields.get("file:name", "") or "the file"
    try:
        saved = recipes_in(name, fields["file"])
    except InputError as fault:
        raise InputError(SAVED, f"{name}: {fault.what}", fault.mend) from None
    if not saved:
        mend = "Paste its title and its ingredients, a line each."
        raise InputError(SAVED, "there is no recipe in it that can be read", mend)
    texts = []
    for each in saved:
        # A number alone would not be read again.
        makes = f"Serves {each.makes}" if each.makes[:1].isdecimal() else each.makes
        lines = [each.title, makes, "", "Ingredients", *each.ingredients]
        texts.append("\n".join([*lines, "", "Method", *each.method]))
    return texts


def days_typed(title: str, text: str) -> tuple[str, ...]:
    """Read the days of a week from a field.

    Parameters
    ----------
    title
        What it is called.
    text
        What it says: "mon-fri", "mon, wed".

    Returns
    -------
    tuple of str
        Three letters each.

    Raises
    ------
    InputError
        When a part is no day, or the days run backwards.

    Examples
    --------
    >>> days_typed("Days with lunch", "mon-wed")
    ('mon', 'tue', 'wed')
    """
    try:
        return draft.days_of(text)
    except InputError as fault:
        raise InputError(title, fault.what, fault.mend) from None


def _frame(fields: Fields) -> Frame:
    guidance = fields.get("guidance", "strictest")
    cups = fields.get("cups", "label")
    if guidance not in GUIDANCES or cups not in CUPS:
        raise InputError("the form", "that cannot be chosen", "Choose one of those offered.")
    days = days_typed("Days with lunch", fields.get("days", "").strip() or "mon-fri")
    first = fields.get("starts", "").strip()
    try:
        starts = date.fromisoformat(first) if first else draft.next_start(date.today(), days)
    except ValueError:
        mend = "Write it as year-month-day: 2026-11-30."
        raise InputError("First day", f"{first[:40]!r} is not a date", mend) from None
    return Frame(starts, days, guidance, cups)


def _eaters(fields: Fields) -> list[tuple[Path, NewValue]]:
    """Read who eats, and how much protein each lunch has at least."""
    names = [name.strip()[:LONGEST_NAME] for name in fields.get("eaters", "").split(",")]
    floor = fields.get("protein", "").strip()
    names = list(dict.fromkeys(name for name in names if name))[:MOST_EATERS] or ["Me"]
    if names == ["Me"] and not floor:
        return []
    each: dict[str, Any] = {"floors": {"protein": f"{floor} g"}} if floor else {}
    return [(("eaters",), dict.fromkeys(names, each))]


def _started(texts: Sequence[str], fields: Fields) -> Started:
    frame = _frame(fields)
    known: list[DraftBatch] = []
    for at, text in enumerate(texts):
        try:
            known += pasted(THE_PASTE, text, frame.guidance, frame.cups)
        except InputError as fault:
            raise InputError(f"r{at}", fault.what, fault.mend) from None
    batches = tuple(named_apart(known))
    text = edited(draft.draft(batches, frame), _eaters(fields))
    return Started(text, batches, asked.check(text))


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    started, texts = None, list[str]()
    fault: InputError | None = None
    try:
        texts = _recipes(fields)
        started = _started(texts, fields) if texts else None
    except InputError as refusal:
        fault = refusal
        texts = texts or [fields[f"r{at}"] for at in range(MOST_RECIPES) if f"r{at}" in fields]
    more = 1 if not texts or "more" in fields else 0
    return {
        "recipes": [*texts, *([""] * more)][:MOST_RECIPES],
        "full": len(texts) + more >= MOST_RECIPES,
        "values": {
            name: fields.get(name, default)
            for name, default in (
                ("days", "mon-fri"),
                ("starts", ""),
                ("eaters", ""),
                ("protein", ""),
                ("guidance", "strictest"),
                ("cups", "label"),
            )
        },
        "guidances": GUIDANCES,
        "cups": CUPS,
        "saved": SAVED,
        "added": draft.ADDED,
        "fault": fault,
        "read": [] if started is None else list(_read(started)),
    }


def _read(started: Started) -> Iterator[dict[str, Any]]:
    """Say of each batch how every line was read, and what it comes to."""
    for batch in started.batches:
        checked = started.checked.batches[batch.name]
        yield {
            "name": batch.name,
            "makes": counted(batch.count, batch.unit.removesuffix("s")),
            "lines": [line_shown(line) for line in checked.ingredients],
            "not_read": [{"line": line, "why": why} for line, why in batch.not_read],
            "settle": batch.settle,
            "sums": sums_of(checked, lacks=bool(batch.not_read and not batch.portion)),
        }


def line_shown(line: IngredientLine) -> dict[str, str]:
    """Give a line of a recipe as it was read.

    Parameters
    ----------
    line
        As `check` answers it.

    Returns
    -------
    dict of str to str
        As written, the food, its grams, its protein, and what is to be remarked.

    Examples
    --------
    >>> from optimiser import check
    >>> line_shown(check("minimal").batches["rice and beans"].ingredients[2])["food"]
    'onion, raw'
    """
    remarks = [*line.remarks, *([] if line.allergens_settled else ["read its label for allergens"])]
    protein = line.nutrients.get(PROTEIN)
    return {
        "line": line.line,
        "food": line.food,
        "grams": f"{line.grams:.0f} g",
        "protein": "" if protein is None else f"{tenths(protein)} g",
        "how": line.how,
        "remark": "; ".join(remarks),
    }


def sums_of(batch: CheckedBatch, *, lacks: bool = False) -> list[str]:
    """Say what a batch comes to: its portions, their protein, how long it keeps, allergens.

    Parameters
    ----------
    batch
        As `check` answers it.
    lacks
        Whether its mass is worked out without lines that could not be read.

    Returns
    -------
    list of str
        A clause each.

    Examples
    --------
    >>> from optimiser import check
    >>> sums_of(check("minimal").batches["rice and beans"])[0]
    '6 portions of 200 g'
    """
    protein = batch.nutrients.get(PROTEIN)
    least = "" if protein is None or protein.complete else "at least "
    low, high = batch.keeps
    unsettled = ", ".join(batch.allergens_unsettled)
    held = say(frozenset(batch.allergens_held), frozenset(batch.cereals))
    more = " and their share of what is not read" if lacks and batch.ingredients else ""
    return [
        f"{counted(batch.portions, batch.word)} of {batch.portion}{more}",
        *([] if protein is None else [f"{least}{tenths(protein.amount)} g protein in each"]),
        f"keeps {f'{low} to ' if low != high else ''}{counted(high, 'day')} in the fridge",
        f"use by {day_name(batch.use_by)}",
        *([f"contains {held}"] if held else []),
        *([] if held or batch.allergens is None else ["no allergens"]),
        *([] if batch.allergens is not None else [f"allergens not settled: {unsettled}"]),
    ]


def _look(sitting: Sitting, fields: Fields) -> str | None:
    """Show how what was pasted is read; nothing is written."""
    return None


def _make(sitting: Sitting, fields: Fields) -> str | None:
    """Write the file."""
    texts = _recipes(fields)
    if not texts:
        mend = "Paste a recipe, or a name and its ingredients, a line each."
        raise InputError("r0", "there is nothing to cook yet", mend)
    started = _started(texts, fields)
    many = counted(len(started.batches), "batch")
    sitting.write(varied(started.text), f"a week of {many}", fields.get("on"))
    return "/"


PART = PagePart(
    "/start", "", "start.html", _show, acts={"/start/read": _look, "/start/make": _make}
)
