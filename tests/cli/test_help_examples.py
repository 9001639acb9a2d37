"""The example that each command's --help shows runs as it stands."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
import typer.main

from models.file import reading
from models.file.reading import ready_text
from optimiser.cli import app, load
from tests.cli.command import run
from tests.cli.week import WEEK

SLOW = {"page", "trade-off", "size", "others"}
"""Their examples plan a week many times over: here a small one stands for the demo."""


def examples() -> list[tuple[str, str]]:
    """Give the examples of each command without the program's name."""
    load()
    group = typer.main.get_command(app)
    commands = getattr(group, "commands", {})
    shown = [
        (name, " ".join(text.split()).removeprefix("Example: clearfridge "))
        for name, command in commands.items()
        for text in (command.epilog or "").split("\n\n")
    ]
    assert {name for name, _ in shown} == set(commands)
    return shown


def test_the_example_of_every_help_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    small = tmp_path / "small"
    small.mkdir()
    (small / "demo.yaml").write_text(WEEK, encoding="utf-8")
    (tmp_path / "week.yaml").write_text(ready_text("demo"), encoding="utf-8")
    (tmp_path / "weeks").mkdir()
    (tmp_path / "weeks" / "first.yaml").write_text(ready_text("minimal"), encoding="utf-8")
    run("plan", "week.yaml", "--no-reasons", "--save", "plan.json", folder=tmp_path).done()
    shown = examples()
    assert len(shown) >= 20
    for name, text in shown:
        words = shlex.split(text.split(" > ")[0])
        assert words[0] == name, text
        # A new week is written where none is yet.
        folder = tmp_path / "empty" if name == "new" else tmp_path
        folder.mkdir(exist_ok=True)
        with monkeypatch.context() as patched:
            # It would run until somebody stops it.
            patched.setattr("optimiser.table.serving.TableServer.run", lambda *_, **__: None)
            patched.setattr("optimiser.solve.parallel.workers", lambda: 1)
            if name in SLOW:
                patched.setattr(reading, "_READY", small)
            ran = run(*words, folder=folder)
        assert ran.code == 0, (name, ran.err)
    assert (tmp_path / "week.html").exists()


def test_help_speaks_no_python_and_says_every_exit_code(tmp_path: Path) -> None:
    from optimiser.cli.app import Exit  # noqa: PLC0415

    names = sorted({name for name, _ in examples()})
    for words in ([], *([name] for name in names)):
        said = " ".join(run(*words, "--help", folder=tmp_path).out.replace("│", " ").split())
        for word in ("<bool>", "<str>", "<int", "<float", "<path>"):
            assert word not in said, (words, word)
        assert "Exit codes: 0 " in said, words
    every = " ".join(run("--help", folder=tmp_path).out.split())
    assert all(f"{code:d} " in every.partition("Exit codes: ")[2] for code in Exit)
