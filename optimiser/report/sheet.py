"""The one sheet for the fridge door: days, what goes where, what to thaw tonight, use-by dates."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from models.answers.labels import Label
from models.answers.page import PageFile
from models.words.days import day_name
from models.words.guidance import GUIDANCES
from optimiser.report.days import days
from optimiser.report.labels import for_days
from optimiser.report.numbers import names_of
from optimiser.report.phrases import several_eat

ROOMY, AIRY = (46, 30), (24, 16)
"""Lines up to which the sheet of one eater, and that of several, is set larger, and largest, and is
one page still."""
WIDE = 62
"""Letters of a line of one eater's sheet, as it is set larger."""
ALL = 104
"""Of the lines of all who eat, side by side."""
CAUTION = "Fridge at 5 °C or below. What you doubt, do not eat."
_SHORT = {"compartment ": "", "beside the box": "beside", "to carry": "carry"}


def sheet(page: PageFile) -> dict[str, Any]:
    """Give what stands on the sheet.

    Parameters
    ----------
    page
        What the page shows.

    Returns
    -------
    dict of str to Any
        What the template of the sheet needs: days and tubs as text ready to print, the number of
        columns, the foot.

    Examples
    --------
    >>> from optimiser import page
    >>> answer = sheet(page("minimal", sliders=False, verdicts=False))
    >>> answer["columns"], len(answer["days"]), len(answer["tubs"])
    (1, 4, 1)
    """
    several = several_eat(page.plan)
    shown, tubs = [_day(day) for day in days(page)], list(_tubs(page))
    guidance = GUIDANCES.get(page.plan.guidance, page.plan.guidance)
    dates = f"Dates by {guidance}; your local codes come first. " if guidance else ""
    return {
        "several": several,
        "columns": min(4, len(names_of(page.plan))) if several else 1,
        "days": shown,
        "size": _size(page, shown, tubs),
        "tubs": tubs,
        "foot": f"{dates}{CAUTION}",
    }


def _day(day: dict[str, Any]) -> dict[str, Any]:
    lunches = [
        {**lunch, "places": [_place(place) for place in lunch["places"]]}
        for lunch in day["lunches"]
    ]
    return {**day, "lunches": lunches}


def _size(page: PageFile, shown: list[dict[str, Any]], tubs: list[dict[str, str]]) -> str:
    """Say how large the letters may be, by the lines that there are."""
    eaters = len(names_of(page.plan))
    wide = WIDE if eaters == 1 else ALL // min(4, eaters)
    lines = 1.2 * len(tubs)
    for day in shown:
        texts = ["; ".join(day[key]) for key in ("tonight", "eve", "shop") if day[key]]
        texts += [day["cook"]["what"] + "; ".join(day["freeze"])] if day["cook"] else []
        lines += 0.8 + sum(-(-len(text) // (WIDE if eaters == 1 else ALL)) for text in texts)
        heights = [_height(lunch, wide) for lunch in day["lunches"]]
        rows = (heights[at : at + 4] for at in range(0, len(heights), 4))
        lines += sum(map(max, rows))
    sort = int(eaters > 1)
    return "airy" if lines <= AIRY[sort] else "roomy" if lines <= ROOMY[sort] else ""


def _height(lunch: dict[str, Any], wide: int) -> float:
    """Count the lines of a lunch, of which its name is larger."""
    name = lunch["dish"] + lunch["min"]
    places = sum(-(-len(part["text"]) // wide) for part in lunch["places"])
    return 1.3 * -(-len(name) // (wide // (2 if wide == WIDE else 1))) + places


def _place(place: dict[str, Any]) -> dict[str, str]:
    name = place["place"]
    for long, short in _SHORT.items():
        name = name.replace(long, short)
    # The number of a compartment alone says nothing on paper.
    name = f"no. {name}" if re.fullmatch(r"\d+", name) else name
    return {"name": name, "text": "; ".join(place["parts"])}


def _tubs(page: PageFile) -> Iterator[dict[str, str]]:
    """Give a row for tubs that are alike but for their number."""
    together: dict[tuple[Any, ...], list[Label]] = {}
    for label in page.labels.labels:
        frozen = label.where == "freezer"
        key = (label.batch, label.where, label.use_by, tuple(label.days) if frozen else ())
        together.setdefault(key, []).append(label)
    for tubs in together.values():
        first = tubs[0]
        spare_frozen = first.where == "freezer" and not first.days
        count = len(tubs)
        yield {
            "batch": first.batch,
            "where": first.where,
            "portions": str(sum(tub.portions for tub in tubs))
            + (f" in {count} tubs" if count > 1 else ""),
            "for": for_days(tubs) or "spare",
            "move": "" if first.move is None else f"{first.move:%a}",
            "use_by": "a day after thawing" if spare_frozen else day_name(first.use_by),
        }
