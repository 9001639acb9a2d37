"""What a cook reads, held byte for byte.

A report is looked at by people; here a change of a single letter shows, so that it is meant.
When it is meant, write the files anew and read the difference before keeping it:

    REWRITE_GOLDEN=1 pytest tests/optimiser/test_golden.py
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

import optimiser
from optimiser.checking import check
from optimiser.report import check as check_report

GOLDEN = Path(__file__).parent / "golden"
WIDEST = 80

TEXTS: dict[str, Callable[[], str]] = {
    "plan-demo": lambda: optimiser.render(optimiser.plan("demo")),
    "plan-demo-full": lambda: optimiser.render(optimiser.plan("demo"), full=True),
    "plan-short": lambda: optimiser.render(optimiser.plan("short")),
    "plan-starter": lambda: optimiser.render(optimiser.plan("starter")),
    "plan-impossible": lambda: optimiser.render(optimiser.plan("impossible")),
    "check-demo": lambda: check_report.text(check(optimiser.read_week("demo"))),
}


@pytest.mark.parametrize("name", TEXTS)
def test_the_text_is_as_it_was(name: str) -> None:
    text = TEXTS[name]()
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode("utf-8"))
    assert text.encode("utf-8") == path.read_bytes()


@pytest.mark.parametrize("name", TEXTS)
def test_it_fits_a_narrow_terminal(name: str) -> None:
    lines = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8").split("\n")
    assert [line for line in lines if cell_len(line) > WIDEST] == []
    assert [line for line in lines if line != line.rstrip()] == []
    # One newline at the end, and nothing that steers a terminal.
    assert lines[-1] == ""
    assert lines[-2] != ""
    assert all(line.isprintable() for line in lines)
