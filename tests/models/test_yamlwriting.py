"""A week document is written as YAML that reads as the same week, and the same way each time."""

from __future__ import annotations

import random
from typing import Any

from models.file.reading import read_document, ready_weeks, week_of
from models.file.yamltext import parse
from models.file.yamlwriting import WIDEST, yaml_of
from models.words.document import document_of
from tests.optimiser.asking import of_theme
from tests.weeks import SMALL, THEMES


def test_what_is_written_reads_as_the_same_week() -> None:
    documents = [read_document(name) for name in ready_weeks()]
    documents += [document_of(x) for theme in THEMES for x in of_theme(SMALL, theme, 3, 5)]
    for document in documents:
        data = document.as_json()
        text = yaml_of(data)
        assert week_of(parse("written", text)) == week_of(document), text
        assert yaml_of(parse("written", text).as_json()) == text


def leaves(data: Any) -> Any:
    """Give data with all that is no mapping and no list as text."""
    if isinstance(data, dict):
        return {key: leaves(value) for key, value in data.items()}
    return [leaves(item) for item in data] if isinstance(data, list) else str(data)


def test_any_text_comes_back() -> None:
    dice = random.Random(3)
    letters = "ab 0-9.:,#'\"[]{}&*!|>%@`?~µé\\/_()+"
    odd = ["yes", "no", "null", "True", "~", "1.10", "007", "1e3", ".5", "- a", "a: b", "a #b"]
    odd += ["2026-12-01", "11:00", "0x1f", "1_000", "-1", "", "a, b", "[a]", "on", "=", "<<b"]
    odd += ["".join(dice.choices(letters, k=dice.randint(1, 12))) for _ in range(400)]
    for text in (" ".join(text.split()) for text in odd):
        for data in ({"a": {"b": text}}, {"a": [text, {"k": text}]}, {"a": {f"x{text}": "b"}}):
            again = parse("written", yaml_of(data)).as_json()
            # What is all digits is a number when it is read, with the same digits.
            assert leaves(again) == leaves(document_of(data).as_json()), data


def test_a_line_of_brackets_is_no_wider_than_a_page() -> None:
    text = yaml_of(read_document("demo").as_json())
    assert all(len(line) <= WIDEST for line in text.splitlines())
