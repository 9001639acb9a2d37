"""How pytest goes under mutmut: nothing remembered between tests, quick ones first, with an end.

mutmut notes which functions each test reaches, and tries a mutant by those tests alone. What an
earlier test left in a cache would hide what a later one reaches, so caches are emptied before
each. Of the tests that reach a function the quickest are run, as many as take `BUDGET` together.
"""

from __future__ import annotations

import json
import os
import resource
import sys
from collections.abc import Iterator
from pathlib import Path
from time import process_time
from typing import Any

import pytest

BUDGET = float(os.environ.get("MUTANT_BUDGET", "8"))
"""Seconds of CPU for a mutant: those of its room."""
STUCK = 30 + int(BUDGET)
"""Seconds of CPU after which a mutant is taken to run for ever."""
TELLING = ("test_rule_words", "test_said", "test_rows")
"""Tests that notice most of what they reach: they come first."""
NOTED = Path("spent.json")
_spent: dict[str, float] = {}


def under_test() -> str:
    return os.environ.get("MUTANT_UNDER_TEST", "")


def pytest_sessionstart() -> None:
    if "__mutmut_" in under_test():
        # Collecting the tests, before a mutant is put in, may have filled some.
        forget()
        spent = resource.getrusage(resource.RUSAGE_SELF)
        end = int(spent.ru_utime + spent.ru_stime) + STUCK
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        most = end if hard == resource.RLIM_INFINITY else min(end, hard)
        resource.setrlimit(resource.RLIMIT_CPU, (most, hard))


def pytest_collection_modifyitems(items: list[Any]) -> None:
    if "__mutmut_" not in under_test() or not NOTED.exists():
        return
    took = json.loads(NOTED.read_text())
    telling = {item.nodeid for item in items if item.path.stem in TELLING}
    items.sort(key=lambda item: (item.nodeid not in telling, took.get(item.nodeid, 0.0)))
    kept, spent = list[Any](), 0.0
    for item in items:
        spent += took.get(item.nodeid, 0.0)
        if spent <= BUDGET or not kept:
            kept.append(item)
    items[:] = kept


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: Any) -> Iterator[None]:
    start = process_time()
    given = yield
    _spent[item.nodeid] = process_time() - start
    return given


def pytest_runtest_setup() -> None:
    if under_test() == "stats":
        forget()


def forget() -> None:
    """Empty every cache of the house and its tests."""
    for name, module in list(sys.modules.items()):
        if name.startswith(("models.", "optimiser.", "tests.")):
            for thing in list(vars(module).values()):
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()


def pytest_sessionfinish() -> None:
    if under_test() == "stats":
        NOTED.write_text(json.dumps(_spent))
