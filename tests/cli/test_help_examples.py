"""The example that each command's --help shows runs as it stands."""

from __future__ import annotations

import shlex
from pathlib import Path

import typer.main

from models.file.reading import ready_text
from optimiser.cli.app import app
from tests.cli.command import run

SLOW = {"page", "trade-off"}
"""Their examples take seconds, and their own tests run the same words."""


def examples() -> dict[str, str]:
    """Give the example of each command without the program's name."""
    import optimiser.cli  # noqa: F401, PLC0415

    group = typer.main.get_command(app)
    commands = getattr(group, "commands", {})
    shown = {name: command.epilog or "" for name, command in commands.items()}
    return {name: text.removeprefix("Example: clearfridge ") for name, text in shown.items()}


def test_the_example_of_every_help_runs(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").write_text(ready_text("demo"), encoding="utf-8")
    run("plan", "week.yaml", "--no-reasons", "--save", "plan.json", folder=tmp_path).done()
    shown = examples()
    assert len(shown) >= 20
    for name, text in shown.items():
        words = shlex.split(text.split(" > ")[0])
        assert words[0] == name, text
        if name in SLOW:
            continue
        # A new week is written where none is yet.
        folder = tmp_path / "empty" if name == "new" else tmp_path
        folder.mkdir(exist_ok=True)
        ran = run(*words, folder=folder)
        assert ran.code == 0, (name, ran.err)
