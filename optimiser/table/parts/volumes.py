"""How much of each batch: other volumes weighed before they are taken, and the best of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from models.answers.plan import AnswerPart, PlanFile
from models.answers.size import SizeFile
from models.answers.whatif import WhatIfFile, WhatIfRow
from models.file.editing import NewValue, Path
from models.week.week import Batch, Week
from models.words.errors import InputError
from models.words.numbers import counted
from optimiser.interface import asked
from optimiser.report.phrases import money, tenths
from optimiser.report.size import left_of
from optimiser.table.part import Data, Fields, PagePart
from optimiser.table.sitting import Sitting
from optimiser.table.worker import Failed

NEAR = 2
"""So many portions more and fewer are planned while the cook looks."""
LONGEST = 6
"""Characters of a number that is typed."""


def _batches(week: Week | None) -> list[Batch]:
    return [] if week is None else [b for b in week.batches.values() if not b.earlier]


def _tried(week: Week | None, fields: Fields) -> dict[str, str]:
    """Read which volumes are tried: those that differ from what is cooked."""
    tried = {}
    for at, batch in enumerate(_batches(week)):
        text = fields.get(f"v{at}", "").strip()[:LONGEST]
        if text and text != str(batch.portions):
            tried[batch.name] = text
    return tried


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    if sitting.lived:
        # What is cooked is cooked.
        return {"batches": []}
    week, plan = sitting.week, sitting.plan
    tried = _tried(week, fields)
    near = {batch.name: _near(sitting, batch) for batch in _batches(week)}
    answer: AnswerPart | Failed | None = _ready(near, tried)
    if tried and answer is None:
        yields = [f"{name}={text}" for name, text in tried.items()]
        key = ("volumes", *yields)
        answer = sitting.ask(key, lambda week: asked.what_if(week, yields=yields), first=True)
    best = sitting.ask(("best",), asked.size) if "best" in fields else None
    return {
        "batches": [
            {
                "name": batch.name,
                "at": at,
                "word": f"{batch.portion_word}s",
                "now": batch.portions,
                "value": tried.get(batch.name, str(batch.portions)),
                "most": max(2 * batch.portions, batch.portions + 4),
                "near": [] if near[batch.name] is None else list(_rows(near[batch.name], batch)),
            }
            for at, batch in enumerate(_batches(week))
        ],
        "tried": [f"{name}: {text}" for name, text in tried.items()],
        "outcome": _outcome(answer, plan, week),
        "wants_best": "best" in fields,
        "best": _best(best),
    }


def _near(sitting: Sitting, batch: Batch) -> WhatIfFile | None:
    """Have neighbouring volumes planned while the cook looks."""
    low, high = max(1, batch.portions - NEAR), batch.portions + NEAR
    text = f"{batch.name}={low}..{high}"
    answer = sitting.ask(("volumes", text), partial(_what_if, text))
    return answer if isinstance(answer, WhatIfFile) else None


def _ready(near: Mapping[str, WhatIfFile | None], tried: Data) -> WhatIfFile | None:
    """Give the answer that is there already, where a single batch is tried a little otherwise."""
    name, text = next(iter(tried.items()), ("", ""))
    answer = near.get(name)
    if answer is None or len(tried) > 1:
        return None
    rows = [row for row in answer.rows if f"{row.values[0]:.0f}" == text]
    return answer.model_copy(update={"rows": rows}) if rows else None


def _what_if(text: str, week: Week) -> WhatIfFile:
    return asked.what_if(week, yields=text)


def _rows(answer: WhatIfFile | None, batch: Batch) -> Iterator[dict[str, Any]]:
    for row in () if answer is None else answer.rows:
        yield {
            "value": f"{row.values[0]:.0f}",
            "now": row.values[0] == batch.portions,
            "left": _left(row),
        }


def _left(row: WhatIfRow) -> str:
    if row.left_over is None:
        return "no week"
    return f"{row.left_over:.0f} g over" if row.left_over else "nothing over"


def _outcome(
    answer: AnswerPart | Failed | None, plan: object, week: Week | None
) -> dict[str, Any] | None:
    """Say what the week with the tried volumes comes to; None while it is planned."""
    if isinstance(answer, Failed):
        return {"lines": [answer.what, answer.mend], "changes": [], "possible": False}
    if not isinstance(answer, WhatIfFile) or not answer.rows:
        return None
    row = answer.rows[0]
    if row.left_over is None:
        rules = [rule.sentence for rule in row.conflict]
        return {"lines": ["No week keeps every rule:", *rules], "changes": [], "possible": False}
    lines = [f"Left over: {row.left_over:.0f} g" if row.left_over else "Nothing is left over"]
    if row.cost:
        least = "" if row.cost_complete else "at least "
        lines.append(f"Costs {least}{money(answer.currency, row.cost)}")
    if row.margin is not None:
        margin = f"{tenths(row.margin.grams)} g protein above the floor"
        lines.append(f"{row.margin.lunch} comes nearest to its floor: {margin}")
    shape = next((shape.dishes for shape in answer.shapes if shape.letter == row.shape), [])
    return {"lines": lines, "changes": list(_changes(shape, plan, week)), "possible": True}


def _changes(dishes: list[str], plan: object, week: Week | None) -> Iterator[dict[str, str]]:
    """Name the lunches that would have another dish."""
    if not isinstance(plan, PlanFile) or week is None:
        return
    mark = " " if len(week.eaters) == 1 else ": "
    was = {}
    for line in plan.lunches:
        whose = "" if len(week.eaters) == 1 else f", {line.eater}"
        was[f"{line.date:%a}{whose}"] = line.dish
    for text in dishes:
        where, _, dish = text.partition(mark)
        if was.get(where) != dish:
            yield {"where": where, "dish": dish, "was": was.get(where, "nothing")}


def _best(answer: AnswerPart | Failed | None) -> dict[str, Any] | None:
    if isinstance(answer, Failed):
        return {"lines": [], "left": answer.what, "better": False}
    if not isinstance(answer, SizeFile):
        return None
    return {
        "lines": [
            {
                "name": line.batch,
                "cook": counted(line.cook, line.word),
                "was": line.was,
                "other": line.cook != line.was,
                "because": "; ".join(line.because),
            }
            for line in answer.batches
        ],
        "left": f"Left over then: {left_of(answer)}." if answer.batches else "No week is possible.",
        "better": any(line.cook != line.was for line in answer.batches),
    }


def _cook(sitting: Sitting, fields: Fields) -> str:
    """Cook what was tried."""
    week = sitting.week
    batches = {batch.name: batch for batch in _batches(week)}
    edits: list[tuple[Path, NewValue]] = []
    told = []
    for name, text in _tried(week, fields).items():
        if not text.isdecimal():
            raise InputError(name, f"{text!r} is not a whole number", "Write how many portions.")
        many = counted(int(text), batches[name].portion_word)
        edits.append((("batches", name, "cook"), many))
        told.append(f"{many} of {name}")
    sitting.change(edits, f"cook {', '.join(told)}", fields.get("on"))
    return "/volumes"


def _cook_best(sitting: Sitting, fields: Fields) -> str:
    """Cook what `size` chose."""
    answer = sitting.ask(("best",), asked.size)
    if not isinstance(answer, SizeFile) or not answer.text:
        raise InputError(sitting.file.name, "how much to cook is not known yet", "Ask again.")
    sitting.write(answer.text, "as much of each batch as is best", fields.get("on"))
    return "/volumes"


def _fact(sitting: Sitting) -> str:
    number = len(_batches(sitting.week))
    return "" if not number else f"of {number} batches" if number > 1 else "of the batch"


PART = PagePart(
    "/volumes",
    "How much to cook",
    "volumes_part.html",
    _show,
    _fact,
    {"/volumes/cook": _cook, "/volumes/best": _cook_best},
)
