"""Texts that were grown, one for each way a reader has to end: they end so again."""

from __future__ import annotations

import json
from math import inf
from pathlib import Path

import pytest

from models.words.document import Document
from models.words.errors import InputError

from . import readers
from .readers import READERS, wrong_with

KEPT: dict[str, list[str]] = json.loads(Path(__file__).with_name("kept.json").read_text("utf-8"))
"""By reader; each byte of a text is a letter."""


@pytest.mark.parametrize("name", READERS)
def test_what_was_grown_is_read_or_refused(name: str, tmp_path: Path) -> None:
    seeds = READERS[name].seeds()
    (tmp_path / READERS[name].file).write_bytes(seeds[-1])
    READERS[name].asked(str(tmp_path / READERS[name].file))
    for text in (*(text.encode("latin-1") for text in KEPT[name]), *seeds[:3]):
        assert wrong_with(name, text, tmp_path, seconds=inf) == "", text


@pytest.mark.parametrize(
    ("fault", "way"),
    [
        (KeyError("x"), "KeyError"),
        (InputError("", "it is wrong", "Mend it."), "without where"),
        (InputError("week.yaml", "it is wrong", ""), "without where"),
        (InputError("week.yaml", "it is \x1b[31m wrong", "Mend it."), "steers a terminal"),
        (None, "it is another week once"),
    ],
)
def test_what_ends_otherwise_is_found(
    fault: Exception | None, way: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = readers.week_of

    def wrongly(document: Document) -> object:
        if fault is not None:
            raise fault
        return document if document.name == "again" else read(document)

    monkeypatch.setattr(readers, "week_of", wrongly)
    text = READERS["week"].seeds()[-1]
    assert way in wrong_with("week", text, tmp_path, seconds=inf)


def test_what_takes_long_is_found(tmp_path: Path) -> None:
    assert wrong_with("line", b"400 g onions", tmp_path, seconds=-1) == "it is slow"
