"""A saved plan read back: a stranger's text, judged like that of a week file before it is used.

Whatever a plan says, a command prints; so nothing unseen, nothing that steers a terminal and no
number beyond all kitchens is let in, wherever in the file it stands.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from models.answers.plan import PlanFile
from models.file.jsontext import JsonLines, odd_place
from models.file.reading import explain, week_of
from models.week.week import Week
from models.words.document import DEEPEST, Document, Steps, document_of
from models.words.errors import InputError, Where
from models.words.text import quoted, read_text, unprintable

LARGEST_BYTES = 8_000_000
MOST_ENTRIES = 200_000
LARGEST_NUMBER = 1e13
AGAIN = "Mend it, or plan again: clearfridge plan FILE --save PLAN.json"


def read_plan(file: str) -> PlanFile:
    """Read a saved plan, or standard input for "-".

    Parameters
    ----------
    file
        Path of the plan, or "-".

    Returns
    -------
    PlanFile
        As it was written: nothing in it is counted anew.

    Raises
    ------
    InputError
        When it cannot be read or is not a plan.

    Examples
    --------
    >>> try:
    ...     read_plan("no such plan.json")
    ... except InputError as fault:
    ...     print(fault)
    no such plan.json: there is no such file
    Check the name, or start one: clearfridge new FILE
    """
    source, text = read_text(file, LARGEST_BYTES, "Name a saved plan.")
    return plan_of(source, text)


def plan_of(source: str, text: str) -> PlanFile:
    """Make a plan of the text of a plan file.

    Parameters
    ----------
    source
        What to call it in messages.
    text
        JSON, at most 8 MB and 200,000 entries: each that is wrong would be a fault of its own.

    Returns
    -------
    PlanFile
        As it was written: nothing in it is counted anew.

    Raises
    ------
    InputError
        When it is no plan, says a thing twice, or holds what cannot be printed.

    Examples
    --------
    >>> try:
    ...     plan_of("plan.json", "[]")
    ... except InputError as fault:
    ...     print(fault.what)
    this is not a plan of this program
    """
    if text.count(",") > MOST_ENTRIES:
        raise InputError(source, "it holds more entries than a plan can", AGAIN)
    data = _json(source, text)
    if not isinstance(data, dict) or data.get("format") != "clearfridge plan 1":
        raise InputError(
            source,
            "this is not a plan of this program",
            "Make one: clearfridge plan FILE --save PLAN.json",
        )
    document = Document(source, data, JsonLines(text))
    _judge(data, document, ())
    try:
        # What a number is, is a number: "2" is none. Of JSON, for there a date is text.
        made = PlanFile.model_validate_json(text, strict=True)
    except ValidationError as wrong:
        raise explain(document, wrong, schema="clearfridge schema --plan") from None
    return made.model_copy(update={"week": _Written(made.week, text)})


class _Written(dict[str, Any]):
    """The week in a plan, with the text of the plan for the lines of its faults."""

    def __init__(self, week: dict[str, Any], text: str) -> None:
        super().__init__(week)
        self.lines = JsonLines(text, "week")


def embedded_week(plan: PlanFile, source: str = "the plan") -> Week:
    """Read the week that travels in a plan.

    Parameters
    ----------
    plan
        A saved plan.
    source
        What to call it in an error.

    Returns
    -------
    Week
        With the foods of own tables that it uses, which travel with it.

    Raises
    ------
    InputError
        When the week in it has a fault.

    Examples
    --------
    >>> from models.file.reading import read_document
    >>> plan = PlanFile.model_construct(week=read_document("minimal").as_json())
    >>> embedded_week(plan).name
    'Minimal week'
    """
    week = document_of(plan.week, f"{source}, its week")
    return week_of(replace(week, lines=getattr(plan.week, "lines", {})))


def _json(source: str, text: str) -> Any:
    odd = False

    def once(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
        nonlocal odd
        mapping = dict(pairs)
        odd = odd or len(mapping) < len(pairs)
        return mapping

    def no_constant(name: str) -> None:
        nonlocal odd
        odd = True

    try:
        data = json.loads(text, parse_constant=no_constant, object_pairs_hook=once)
    except json.JSONDecodeError as wrong:
        raise InputError(
            Where(source, wrong.lineno), f"this is not JSON: {wrong.msg}", "Mend it, or plan again."
        ) from None
    except (RecursionError, ValueError):
        raise InputError(source, "this is not a plan", "Make one: plan FILE --save PLAN") from None
    place = odd_place(text) if odd else None
    if place is None:
        return data
    path, line, mark = place
    if mark.startswith('"'):
        what, mend = (
            f"{quoted(str(path[-1]))} is there twice in one mapping",
            "Keep one of the two.",
        )
    else:
        what, mend = f"this is not JSON: {mark} is no number", AGAIN
    raise InputError(Where(source, line, path), what, mend)


def _judge(data: Any, document: Document, path: Steps) -> None:
    """Refuse what no plan of this program holds, with the keys that lead to it."""
    if len(path) > DEEPEST + 1:
        raise InputError(document.where(path[:3]), "it is nested too deeply", AGAIN)
    if isinstance(data, dict):
        for name, value in data.items():
            if wrong := unprintable(name, "name"):
                raise InputError(document.where(path), f"{quoted(name)}: {wrong}", AGAIN)
            _judge(value, document, (*path, name))
    elif isinstance(data, list):
        for at, item in enumerate(data):
            _judge(item, document, (*path, at))
    elif isinstance(data, str):
        if wrong := unprintable(data):
            raise InputError(document.where(path), wrong, AGAIN)
    elif isinstance(data, (int, float)) and not abs(data) < LARGEST_NUMBER:
        what = f"{str(data)[:30]} is not a usable number"
        raise InputError(document.where(path), what, AGAIN)
