"""Whatever a stranger writes into a plan file, no command prints it raw, fails or writes a file.

Every command that reads a saved plan is asked, in this process.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from models.file.planfile import LARGEST_BYTES, embedded_week, plan_of
from models.file.reading import MOST_FAULTS
from models.words.errors import InputError
from tests.cases import each
from tests.cli.command import BAD_INPUT, no_control, one_message, run

from .flips import at, field_of, paths
from .saved import plan

NEW = "new.out"
COMMANDS: dict[str, tuple[str, ...]] = {
    "audit": ("audit", "plan.json"),
    "shop": ("shop", "plan.json", "-o", NEW),
    "prep": ("prep", "plan.json"),
    "labels": ("labels", "plan.json", "-o", NEW),
    "freezer": ("freezer", "plan.json"),
    "pack": ("pack", "plan.json"),
    "calendar": ("calendar", "plan.json", "-o", NEW),
    "page": ("page", "plan.json", "-o", NEW, "--no-sliders", "--no-verdicts"),
    "share": ("share", "plan.json", "-o", NEW),
    "change": ("change", "plan.json", "--today", "tue", "-o", NEW),
    "next": ("next", "plan.json", "-o", NEW),
    "keep": ("plan", "demo", "--keep", "plan.json", "--save", NEW, "--no-reasons"),
    "after": ("plan", "demo", "--after", "plan.json", "--save", NEW, "--no-reasons"),
}
"""What reads a saved plan, and where it may, writes a file."""

STEERING = ("\x1b[31m", "\x07", "\x9b1m", "\r", "\n", "\t", "\x00", "\x7f")
UNSEEN = (
    "\u202e",
    "\u2066",
    "\u200f",
    "\u061c",
    "\u200b",
    "\u2060",
    "\ufeff",
    "\u00ad",
    "a\u200db",
)
BREAKING = ("\u2028", "\u2029", "\u0085", "\ud800", "\ue000", "\U000e0041")
HOSTILE = (*STEERING, *UNSEEN, *BREAKING)


def texts(name: str) -> dict[str, tuple[str | int, ...]]:
    """Give for each field of text one place of it; the names that are keys too."""
    data = json.loads(plan(name).model_dump_json())
    return {field_of(path): path for path in paths(data) if isinstance(at(data, path), str)}


def written(data: Any, folder: Path) -> None:
    text = data if isinstance(data, str) else json.dumps(data)
    (folder / "plan.json").write_text(text, encoding="utf-8")


def test_text_that_steers_or_hides_is_refused_in_every_field() -> None:
    """By the reader, which is the one door; which command asks is tried below."""
    tried = set()
    for name in ("wished", "two", "changed", "short"):
        text = plan(name).model_dump_json()
        for number, (field, path) in enumerate(texts(name).items()):
            if field == "format":
                continue
            data = json.loads(text)
            mark = HOSTILE[number % len(HOSTILE)]
            at(data, path[:-1])[path[-1]] += mark
            with pytest.raises(InputError) as refused:
                plan_of("plan.json", json.dumps(data))
            assert "character is in this text (U+" in refused.value.what, (field, mark)
            assert str(path[-1]) in str(refused.value.where) or isinstance(path[-1], int)
            assert refused.value.mend
            tried.add(field)
    assert len(tried) > 60


@pytest.mark.parametrize("mark", HOSTILE, ids=ascii)
def test_text_that_steers_or_hides_is_refused_in_names(mark: str) -> None:
    data = json.loads(plan("two").model_dump_json())
    data["week"]["eaters"][f"Ada{mark}"] = data["week"]["eaters"].pop("Ada")
    with pytest.raises(InputError, match="character is in this name"):
        plan_of("plan.json", json.dumps(data))


def test_every_command_that_reads_a_plan_refuses_it(tmp_path: Path) -> None:
    places: tuple[tuple[str | int, ...], ...] = (
        ("cautions", 0),
        ("lunches", 0, "dish"),
        ("week", "week", "name"),
        ("batches", 0, "source"),
    )
    for number, (command, words) in enumerate(COMMANDS.items()):
        data = json.loads(plan("two").model_dump_json())
        path, mark = places[number % len(places)], HOSTILE[number % len(HOSTILE)]
        at(data, path[:-1])[path[-1]] += mark
        written(data, tmp_path)
        ran = run(*words, folder=tmp_path)
        one_message(ran, "plan.json", "character is in this text (U+")
        assert not any(unicodedata.category(letter) == "Cf" for letter in ran.err), command
        assert [file.name for file in tmp_path.iterdir()] == ["plan.json"], command


DEEP = "[" * 60 + "]" * 60


def _twice(text: str) -> str:
    return text.replace('"interrupted":', '"name":"x","interrupted":', 1)


BROKEN: dict[str, Callable[[str], str | bytes]] = {
    "a key twice": _twice,
    "a number that is none": lambda text: text.replace('"minutes":', '"x":NaN,"minutes":', 1),
    "infinity": lambda text: text.replace('"grams":', '"grams":-Infinity,"g":', 1),
    "beyond all numbers": lambda text: text.replace('"cost":', '"cost":1e999,"c":', 1),
    "a huge number": lambda text: text.replace('"portions":', '"portions":1' + "0" * 40 + ',"p":'),
    "more digits than are read": lambda text: text.replace('"cost":', '"cost":' + "9" * 9_000, 1),
    "nested in the week": lambda text: text.replace(
        '"starts":', '"z":' + "[" * 60 + "]" * 60 + ","
    ),
    "nested without end": lambda text: text.replace('"week":', '"week":' + '{"a":' * 90_000, 1),
    "a number as text": lambda text: text.replace('"portions":1', '"portions":"1"', 1),
    "text as a number": lambda text: text.replace('"currency":"EUR"', '"currency":5', 1),
    "a list for a mapping": lambda text: text.replace('"totals":{', '"totals":[{', 1),
    "nothing": lambda text: text.replace('"currency":"EUR"', '"currency":null', 1),
    "true for one": lambda text: text.replace('"portions":1', '"portions":true', 1),
    "too large": lambda text: text + " " * LARGEST_BYTES,
    "not UTF-8": lambda text: text.encode().replace(b"Two at home", b"Two \xff\xfe home"),
    "UTF-16": lambda text: text.encode("utf-16"),
    "cut short": lambda text: text[: len(text) // 2],
    "two of them": lambda text: text + text,
}


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_plan_is_refused_and_nothing_written(how: str, tmp_path: Path) -> None:
    text = plan("two").model_dump_json()
    broken = BROKEN[how](text)
    assert broken != text
    data = broken if isinstance(broken, bytes) else broken.encode()
    (tmp_path / "plan.json").write_bytes(data)
    commands = list(COMMANDS)
    other = commands[1 + list(BROKEN).index(how) % (len(commands) - 1)]
    for command in ("audit", other):
        ran = run(*COMMANDS[command], folder=tmp_path)
        assert ran.code == BAD_INPUT, (command, ran)
        assert ran.out == ""
        assert "Traceback" not in ran.err
        no_control(ran.err)
        assert [file.name for file in tmp_path.iterdir()] == ["plan.json"]


HERE: dict[str, tuple[str, str, str]] = {
    # What stands there, what is written instead, what is said.
    "a key twice": ('"currency": "EUR",', '"currency": "x", "currency": "EUR",', "there twice"),
    "a number that is none": ('"currency": "EUR",', '"currency": NaN,', "NaN is no number"),
    "a huge number": ('"portions": 1,', '"portions": 10000000000000000,', "not a usable number"),
    "what hides": ('"currency": "EUR",', '"currency": "E\u202eUR",', "character is in this text"),
    "nothing": ('"currency": "EUR",', '"currency": null,', "null does not fit"),
    "an amount of the week": ('"portion": "200', '"portion": "many', "is not an amount"),
}


@each("how", HERE)
def test_what_is_refused_in_a_plan_stands_on_its_line(how: str) -> None:
    was, becomes, told = HERE[how]
    text = plan("two").model_dump_json(indent=2)
    broken = text.replace(was, becomes, 1)
    line = broken[: broken.index(becomes)].count("\n") + 1
    with pytest.raises(InputError, match=told) as refused:
        embedded_week(plan_of("plan.json", broken), "plan.json")
    assert refused.value.where.line == line


def test_of_more_faults_than_anybody_mends_only_the_number_is_told() -> None:
    many = f'{{"format": "clearfridge plan 1", "lunches": [{",".join(["[]"] * MOST_FAULTS)}]}}'
    with pytest.raises(InputError, match="2,009 places in it are wrong"):
        plan_of("plan.json", many)


def test_more_entries_than_any_plan_has_are_refused_before_each_is_judged() -> None:
    many = f'{{"format": "clearfridge plan 1", "lunches": [{",".join(["[]"] * 200_002)}]}}'
    with pytest.raises(InputError, match="more entries than a plan can"):
        plan_of("plan.json", many)
