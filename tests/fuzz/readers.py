"""The five readers of a stranger's text, and what has to be true of any text that they are given.

It is read, or refused by the one error that says where, what and how to mend it; nothing else is
raised, nothing that is said steers a terminal, and 64 kB take no more than two seconds of the
processor. What is read, written and read again is the same.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from traceback import extract_tb

from models.file.draft import Frame, draft
from models.file.every_fault import every_fault
from models.file.planfile import plan_of, read_plan
from models.file.reading import text_of, week_of
from models.file.recipes.reading import named_apart, read_recipes
from models.file.yamltext import parse
from models.file.yamlwriting import yaml_of
from models.foods.lines import Line, Unread, read_line
from models.foods.lines.reading import HEAVIEST
from models.words.document import document_of
from models.words.errors import InputError
from models.words.text import LONGEST_TEXT, read_text, unprintable
from optimiser.auditing import audit
from optimiser.checking import check
from optimiser.interface.given import own_foods
from optimiser.report import check as check_report
from optimiser.report import plan as plan_report
from tests.cli.command import no_control
from tests.hostile import SORTS
from tests.plans.saved import TWO, plan

SECONDS, BYTES = 2.0, 64_000
"""Most processor time for a text of so many bytes."""
FRAME = Frame(date(2026, 11, 30), ("mon", "tue", "wed"), "us", "label")


def _week(path: str) -> None:
    source, text = text_of(path)
    try:
        document = parse(source, text)
        week = week_of(document)
    except InputError:
        every_fault(source, text)
        raise
    data = document.as_json()
    travelled = document_of(json.loads(json.dumps(data)), "again")
    assert week_of(travelled) == week, "it is another week once it travelled in a plan"
    written = yaml_of(data)
    assert week_of(parse("again", written)) == week, "it is another week once it is written"
    no_control(written + check_report.text(check(week)))


def _line(path: str) -> None:
    _, text = read_text(path)
    if len(text) > LONGEST_TEXT or unprintable(text):
        return  # Whoever has such a line refuses it before it is read.
    for cups, region in (("metric", "uk"), ("us", "us"), (None, "us")):
        first, second = (_read(text, cups, region) for _ in range(2))
        assert first == second, "read twice, it is another line"
        if isinstance(first, Line):
            assert first.items, "it holds nothing"
            assert all(0 <= item.grams <= HEAVIEST for item in first.items), (
                "it weighs what no line does"
            )


def _read(text: str, cups: str | None, region: str) -> Line | tuple[str, str]:
    try:
        return read_line(text, cups=cups, region=region)
    except Unread as fault:
        assert all((fault.what, fault.mend)), "it is refused without a word"
        return fault.what, fault.mend


def _plan(path: str) -> None:
    made = read_plan(path)
    written = made.model_dump_json()
    again = plan_of("again", written)
    assert again == made, "it is another plan once it is written"
    assert again.model_dump_json() == written, "it is written otherwise the second time"
    faults = audit(made)
    no_control("".join(f"{fault.where}{fault.what}" for fault in faults))
    if not faults:
        no_control(plan_report.text(made))


def _recipe(path: str) -> None:
    text = draft(named_apart(read_recipes(path, "us", "label")), FRAME)
    no_control(text)
    try:
        week_of(parse("draft", text))
    except InputError as fault:
        raise AssertionError("its own draft is refused") from fault


def _table(path: str) -> None:
    assert own_foods(path) == own_foods(path), "read twice, it is another table"


def _small() -> bytes:
    return plan("minimal").model_dump_json().encode()


@dataclass(frozen=True)
class Reader:
    """A reader: what its file is called, texts to begin with, and what asks it."""

    file: str
    seeds: Callable[[], tuple[bytes, ...]]
    asked: Callable[[str], None]


READERS = {
    "week": Reader("week.yaml", lambda: (*SORTS["week"].texts(), TWO.encode()), _week),
    "line": Reader("line.txt", lambda: SORTS["line"].texts()[::8], _line),
    "plan": Reader("plan.json", lambda: (*SORTS["plan"].texts(), _small()), _plan),
    "recipe": Reader("page.html", SORTS["recipe"].texts, _recipe),
    "table": Reader("own.csv", SORTS["table"].texts, _table),
}


def wrong_with(name: str, text: bytes, folder: Path, seconds: float = SECONDS) -> str:
    """Give a text to a reader; say in a line what is wrong with how it ended, or nothing."""
    reader = READERS[name]
    path = folder / reader.file
    path.write_bytes(text)
    begun = time.process_time()
    try:
        reader.asked(str(path))
    except InputError as fault:
        for told in (fault, *fault.also):
            if not (str(told.where) and told.what and told.mend):
                return f"it is refused without where, what or how to mend it: {told!r}"
            try:
                no_control(f"{told.where}{told.what}{told.mend}")
            except AssertionError as steering:
                return f"its refusal steers a terminal: {steering}"
    except Exception as fault:  # noqa: BLE001 - whatever it is, it is a find
        inner = extract_tb(fault.__traceback__)[-1]
        return f"{type(fault).__name__} at {Path(inner.filename).name}:{inner.name}: {fault}"[:300]
    if len(text) <= BYTES and time.process_time() - begun > seconds:
        return "it is slow"
    return ""
