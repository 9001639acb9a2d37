"""What is told to change nothing is still there, and functions are copied with their meaning."""

from __future__ import annotations

import csv
import inspect
import re
from importlib import import_module
from pathlib import Path

from tests.mutants.__main__ import EQUIVALENT, uncached
from tests.mutants.typed import own


def source(function: str) -> str:
    """Give the text of a function, of a method too, on one line."""
    parts = function.split(".")
    at = next(at for at in range(len(parts), 0, -1) if is_module(parts[:at]))
    thing = import_module(".".join(parts[:at]))
    for part in parts[at:]:
        thing = getattr(thing, part)
    return " ".join(inspect.getsource(inspect.unwrap(thing)).split())


def is_module(parts: list[str]) -> bool:
    path = Path(*parts)
    return path.with_suffix(".py").exists() or (path / "__init__.py").exists()


def test_what_is_told_to_change_nothing_is_there_and_has_a_reason() -> None:
    with EQUIVALENT.open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    told = [(row["function"], row["was"], row["becomes"]) for row in rows]
    assert len(set(told)) == len(told)
    assert [row for row in rows if not row["why"]] == []
    gone = [
        (row["function"], row["was"])
        for row in rows
        if " ".join(re.sub(r"^def\(", "(", row["was"]).split()) not in source(row["function"])
    ]
    assert gone == []


CACHED = '''\
@cache
def twice(
    number: int,
) -> int:
    """Double it."""

    return 2 * number


@lru_cache(maxsize=8)
def once(number: int) -> int:
    return number
'''

CALLED = '''\
def twice(
    number: int,
) -> int:
    """Double it."""

    return 2 * number


twice = cache(twice)  # type: ignore


def once(number: int) -> int:
    return number
once = lru_cache(maxsize=8)(once)  # type: ignore


'''


def test_a_cache_above_a_function_is_a_call_below_it() -> None:
    assert uncached(CACHED) == CALLED
    assert uncached("@property\ndef one() -> int:\n    return 1\n").startswith("@property")


WRITTEN = """\
class Tray:
    def xǁTrayǁ__init____mutmut_orig(self): self.grams = 1
    def xǁTrayǁ__init____mutmut_1(self): self.grams = None
    def xǁTrayǁhalf__mutmut_orig(self): return self.grams / 2
    def xǁTrayǁhalf__mutmut_1(self): return self.grams / 3
    def xǁTrayǁhalf__mutmut_2(self): return self.grams / ""
    def plain(self): return self.grams / 4
"""


def test_a_fault_is_that_of_the_mutant_that_made_it(tmp_path: Path) -> None:
    file = tmp_path / "tray.py"
    file.write_text(WRITTEN, encoding="utf-8")

    def fault(line: int, message: str) -> dict[str, object]:
        return {"file": str(file), "line": line, "message": message}

    made = [fault(3, "None is no int"), fault(6, "no division by str")]
    follows = [fault(line, "None / int") for line in (4, 5, 6, 7)]
    assert own([*made, *follows]) == made
