"""Plans that take a while are made once and read by many tests."""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from .command import Ran, spawn
from .week import WEEK


@dataclass(frozen=True)
class Made:
    """A week, the plan that was saved for it, and what was printed."""

    folder: Path
    week: Path
    plan: Path
    ran: Ran

    @property
    def text(self) -> str:
        return self.plan.read_text(encoding="utf-8")

    def data(self) -> Any:
        """Give the plan as data of its own, to be edited."""
        return copy.deepcopy(json.loads(self.text))


def make(folder: Path, text: str, *words: str, seed: str = "0") -> Made:
    """Plan a week and keep the plan."""
    week, plan = folder / "week.yaml", folder / "plan.json"
    week.write_text(text, encoding="utf-8")
    ran = spawn(
        "plan", week.name, "--save", plan.name, *words, folder=folder, more={"PYTHONHASHSEED": seed}
    )
    return Made(folder, week, plan, ran)


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The week of these tests, planned; nobody may change its files."""
    planned = make(tmp_path_factory.mktemp("made"), WEEK, "--full")
    planned.ran.done()
    return planned


@pytest.fixture(scope="session")
def made_again(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The same week planned by another process that hashes otherwise, printed as JSON."""
    planned = make(tmp_path_factory.mktemp("again"), WEEK, "--json", seed="4711")
    planned.ran.done()
    return planned
