"""Blanks around what stands in quotes mean nothing, in whatever command reads it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.command import DONE, run
from tests.cli.week import WEEK

BLANKS = WEEK.replace("made: 2026-11-29", 'made: " 2026-11-29"')
ENDS_A_LINE = WEEK.replace("made: 2026-11-29", "made: >\n      2026-11-29\n")


@pytest.mark.parametrize("text", [BLANKS, ENDS_A_LINE], ids=["blank", "line end"])
def test_blanks_around_a_date_change_nothing(text: str, tmp_path: Path) -> None:
    assert text != WEEK
    (tmp_path / "plain.yaml").write_text(WEEK, encoding="utf-8")
    (tmp_path / "blanks.yaml").write_text(text, encoding="utf-8")
    made = {}
    for name in ("plain", "blanks"):
        words = ("plan", f"{name}.yaml", "--no-reasons", "--save", f"{name}.json")
        ran = run(*words, folder=tmp_path)
        assert (ran.code, ran.err) == (DONE, ""), name
        made[name] = (ran.out, json.loads((tmp_path / f"{name}.json").read_text("utf-8")))
    # What travels in the plan reads the same too.
    assert made["plain"] == made["blanks"]
    for words in (("check", "blanks.yaml"), ("audit", "blanks.json"), ("labels", "blanks.json")):
        ran = run(*words, folder=tmp_path)
        assert (ran.code, ran.err) == (DONE, ""), words
