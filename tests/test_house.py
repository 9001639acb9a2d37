"""The counts of rooms, arrows and circles, on a house built for it and on our own."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys
from configparser import ConfigParser
from pathlib import Path
from types import ModuleType

import pytest

from optimiser import priorities, rules

from .house import arrows_of, circles_of

ROOT = Path(__file__).parent.parent


def test_circles_are_rooms_that_all_lead_to_each_other() -> None:
    arrows = {
        "a": {"b"},
        "b": {"c"},
        "c": {"a"},
        "d": {"a", "e"},
        "e": {"f"},
        "f": {"e"},
        "g": {"d"},
    }
    assert circles_of(arrows) == {frozenset("abc"), frozenset("ef")}
    assert circles_of({"a": {"b", "c"}, "b": {"c"}, "c": set()}) == set()


def test_a_small_house_is_counted(tmp_path: Path) -> None:
    files = {
        "models/__init__.py": "",
        "models/words.py": "",
        "models/week/__init__.py": "from models import words",
        "optimiser/__init__.py": "from optimiser import plan",
        "optimiser/plan.py": "import models.week.packed\nfrom optimiser import rules",
        "optimiser/rules/__init__.py": "from optimiser.rules import box",
        "optimiser/rules/box.py": "from models.words import *\nfrom optimiser.plan import x",
        "models/week/packed.py": "from models.week import x",
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert counted(tmp_path)[-2:] == [
        "circle: optimiser.plan, optimiser.rules",
        "rooms 4, arrows 5, circles 1",
    ]


def test_our_own_house_has_no_circle() -> None:
    assert circles_of(arrows_of(ROOT)) == set()


def test_every_room_is_one_that_a_report_may_read_or_may_not() -> None:
    walls = ConfigParser()
    walls.read(ROOT / ".importlinter")
    barred = set(walls["importlinter:contract:reports"]["forbidden_modules"].split())
    above = {"optimiser.cli", "optimiser.interface", "optimiser.report"}
    # What is said of a priority stands in its room.
    read = {"models.answers", "models.words", "optimiser.priorities"}
    assert barred | above | read == set(arrows_of(ROOT))


@pytest.mark.parametrize(
    ("floor", "what", "listed"),
    [(rules, "rules", rules.FAMILIES), (priorities, "PRIORITY", priorities.ROOMS)],
)
def test_no_room_of_a_rule_or_a_priority_is_left_out(
    floor: ModuleType, what: str, listed: tuple[ModuleType, ...]
) -> None:
    names = [f"{floor.__name__}.{module.name}" for module in pkgutil.iter_modules(floor.__path__)]
    rooms = [room for room in map(importlib.import_module, names) if hasattr(room, what)]
    assert set(rooms) == set(listed)


def counted(folder: Path) -> list[str]:
    words = [sys.executable, "-m", "tests.house", str(folder)]
    ran = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    return ran.stdout.splitlines()
