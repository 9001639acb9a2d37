"""Blanks around what stands in quotes mean nothing, in whatever command reads it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli import test_every_priority as every_command
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


def test_however_pieces_are_written_every_command_says_the_same(tmp_path: Path) -> None:
    week = every_command.WEEK.format(order="left_over, cost")
    names = {"WEEK": "week.yaml", "NAME": "cost", "OTHER": "left_over", "GOAL": "cost <= 4"}
    told: dict[str, dict[str, str]] = {}
    for pieces in ("4 pieces", "4 pc"):
        folder = tmp_path / pieces
        folder.mkdir()
        text = week.replace("yield: 4 portions", f"yield: {pieces}")
        (folder / "week.yaml").write_text(text, encoding="utf-8")
        told[pieces] = {}
        for questions in every_command.ASKED.values():
            for words in questions:
                ran = run(*(names.get(word, word) for word in words), folder=folder)
                assert ran.err == "", words
                lines = [x for x in ran.out.splitlines() if not x.startswith(CHANGING)]
                told[pieces][" ".join(words)] = "\n".join(lines)
    assert told["4 pc"] == told["4 pieces"]
    for words in ("plan WEEK --bends", "labels WEEK", "pack WEEK"):
        assert "piece" in told["4 pc"][words], words
        assert "portion" not in told["4 pc"][words], words


CHANGING = ("DTSTAMP", "X-CLEARFRIDGE-DIGEST")
"""What a calendar says of when it was written."""
