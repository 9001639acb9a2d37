"""A name that runs from right to left stands alone: no quantity beside it changes places."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from models.words.text import isolated
from tests.cli.command import call, no_control

HEBREW, ARABIC = "\u05e1\u05dc\u05d8 \u05d9\u05e8\u05d5\u05e7", "\u062d\u0645\u0635"
WEEK = f"""\
week: {{name: "{HEBREW}", starts: 2026-11-30, days: [mon, tue], guidance: us}}
eaters: {{"{ARABIC}": {{}}}}
batches:
  "{HEBREW}":
    made: 2026-11-29
    yield: 4 portions
    portion: 100 g
    nutrition: {{protein: 5 g}}
    fridge_life: 3
    allergens: none
    steps: [{{do: boil it, lasts: 20 min}}]
larder:
  "{ARABIC}": {{pack: 100 g, price: 1, allergens: none, chilled: no}}
dishes:
  "{HEBREW} 2": {{kind: a, takes: {{"{HEBREW}": 2}}, goes_in: {{"{ARABIC}": 20 g}}}}
variety: {{most_times: 9}}
"""
TURNED = re.compile("[\u0590-\u08ff]+")
APART = re.compile("\u2068[^\u2068\u2069\n]*\u2069")


def test_each_name_is_isolated_once_and_what_stands_between_is_not() -> None:
    line = f"20 g {HEBREW}, 3 {ARABIC} (2 days)"
    assert isolated(line) == f"20 g \u2068{HEBREW}\u2069, 3 \u2068{ARABIC}\u2069 (2 days)"
    assert isolated(isolated(line)) == isolated(line)
    assert isolated("20 g caf\u00e9, 3 \u5f01\u5f53") == "20 g caf\u00e9, 3 \u5f01\u5f53"


@pytest.mark.parametrize(
    "words",
    [
        ("plan", "week.yaml"),
        ("check", "week.yaml"),
        ("why", "week.yaml", "tue"),
        *((sheet, "plan.json") for sheet in ("shop", "prep", "pack", "labels", "share", "freezer")),
        ("shop", "plan.json", "--as", "markdown"),
        ("labels", "plan.json", "--sheet", "a4-14"),
    ],
)
def test_no_sheet_prints_such_a_name_bare(
    words: tuple[str, ...],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("week.yaml").write_text(WEEK, "utf-8")
    call("plan", "week.yaml", "--save", "plan.json", capsys=capsys).done()
    ran = call(*words, capsys=capsys).done()
    no_control(ran.out)
    assert TURNED.search(ran.out)
    assert not TURNED.search(APART.sub("", ran.out)), ran.out
    # What is data stays as it was written.
    plain = call(*words[:2], *(words[2:] if words[0] == "why" else ()), "--json", capsys=capsys)
    assert "\\u2068" not in plain.done().out
    json.loads(plain.out)


def test_a_message_isolates_it_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("week.yaml").write_text(WEEK.replace("pack: 100 g", "pack: 100"), "utf-8")
    ran = call("check", "week.yaml", capsys=capsys)
    assert ran.code == 2
    assert TURNED.search(ran.err)
    assert not TURNED.search(APART.sub("", ran.err)), ran.err
