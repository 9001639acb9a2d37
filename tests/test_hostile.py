"""A few files broken at random, one of each sort; `python -m tests.hostile` tries far more."""

from __future__ import annotations

from pathlib import Path

import pytest

from .depth import sized
from .hostile import SORTS, mutants, wrong_with


def test_a_broken_file_of_each_sort_is_answered_or_refused(tmp_path: Path) -> None:
    for number, (name, words, text) in enumerate(mutants(sized(len(SORTS), 300), 2)):
        folder = tmp_path / str(number)
        folder.mkdir()
        assert wrong_with(SORTS[name], words, text, folder) == "", (words, text[:2_000])


def test_what_ends_otherwise_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("optimiser.interface.asked.food", None)
    wrong = wrong_with(SORTS["line"], ("food", "LINE"), b"dried lentils", tmp_path)
    assert "fault of the program" in wrong
