"""The README shows the result first; what it shows must be what a reader gets."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import optimiser
from models.file.reading import ready_weeks

README = Path(__file__).parent.parent / "README.md"


def block(language: str) -> str:
    """Give the first block of code in a language."""
    block = re.search(rf"```{language}\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert block is not None
    return block[1]


def test_the_report_shown_is_the_one_that_is_printed() -> None:
    assert block("text") == optimiser.render(optimiser.plan("demo"))


def test_the_lines_of_python_run(capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(block("python"), "README.md", "exec"), {})
    assert "optimal 0.0" in capsys.readouterr().out


def test_the_week_shown_plans_and_leaves_nothing_over() -> None:
    plan = optimiser.plan(block("yaml"), reasons=False)
    assert plan.status == "optimal"
    assert "left over    nothing" in optimiser.render(plan)


def test_every_ready_week_is_in_the_table() -> None:
    text = README.read_text(encoding="utf-8")
    assert all(f"| `{name}` |" in text for name in ready_weeks())
