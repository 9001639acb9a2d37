"""A disk that fails under every command, at each file that it opens, and a result that has no room.

Whatever fails is told in two lines with what to do, and ends with code 2; what stands in the
folder is then what stood there before, or what the command writes when all goes well.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from optimiser import cli
from optimiser.solve import parallel
from optimiser.table.serving import TableServer
from tests.depth import sized

from . import command
from .command import Ran, run
from .conftest import Made

TODAY = ("--today", "wed", "--no-lunch", "thu")
EVERY: tuple[tuple[str, ...], ...] = (
    ("plan", "week.yaml", "--no-reasons", "--after", "past", "--save", "new"),
    ("plan", "week.yaml", "--no-reasons", "--keep", "plan.json"),
    ("plan", "weeks", "-o", "plans", "--no-reasons", "--foods", "own.csv"),
    ("why", "week.yaml", "mon"),
    ("mend", "week.yaml"),
    ("change", "plan.json", *TODAY, "-o", "new"),
    ("change", "plan.json", *TODAY, "--in-place"),
    ("next", "plan.json", "-o", "new"),
    ("what-if", "week.yaml", "--yield", "beans=4", "--svg", "new"),
    ("size", "week.yaml", "-o", "new"),
    ("others", "week.yaml", "-n", "1", "--equal", "0", "--save", "new", "--week", "1"),
    ("trade-off", "week.yaml", "cost", "minutes", "--svg", "new"),
    ("shop", "plan.json", "-o", "new"),
    ("prep", "demo", "--svg", "new"),
    ("labels", "plan.json", "-o", "new"),
    ("pack", "plan.json", "-o", "new"),
    ("calendar", "plan.json", "-o", "new"),
    ("page", "plan.json", "--no-sliders", "--no-verdicts", "-o", "new"),
    ("share", "plan.json", "-o", "new"),
    ("freezer", "plan.json", "-o", "new"),
    ("check", "week.yaml", "--foods", "own.csv"),
    ("audit", "plan.json", "--week", "week.yaml"),
    ("new", "new.yaml", "--from", "recipe.txt"),
    ("open", "week.yaml", "--no-browser", "--foods", "own.csv"),
    ("food", "our lentils", "--foods", "own.csv"),
    ("schema",),
)
SHEETS = {"shop", "prep", "labels", "pack", "calendar", "share", "freezer"}
TROUBLES = (errno.ENOENT, errno.EACCES, errno.EIO, errno.ENOSPC)
RECIPE = "Lentil soup\n\nServes 4\n\nIngredients\n200 g red lentils\n1 onion\n1 L water\n"
LOGS = {"planned.jsonl", "summary.csv", "summary.parquet"}
"""Of a folder these say what came of each week, so they differ where one could not be read."""


STAMP = re.compile(rb"(DTSTAMP|X-CLEARFRIDGE-DIGEST):.*")
"""When a calendar was written."""


class Disk:
    """Counts the files of a folder that are opened, and fails at one of them."""

    def __init__(self) -> None:
        self.folder: Path | None = None
        self.opened = 0
        self.fails_at = -1
        self.trouble = 0

    def __call__(self, event: str, given: tuple[Any, ...]) -> None:
        if self.folder is None or event != "open" or not isinstance(given[0], str):
            return
        if Path(self.folder, given[0]).resolve().is_relative_to(self.folder):
            self.opened += 1
            if self.opened == self.fails_at:
                raise OSError(self.trouble, os.strerror(self.trouble), given[0])

    @contextmanager
    def failing(self, folder: Path, at: int = -1, trouble: int = 0) -> Iterator[None]:
        self.folder, self.opened, self.fails_at, self.trouble = folder.resolve(), 0, at, trouble
        try:
            yield
        finally:
            self.folder = None


DISK = Disk()
sys.addaudithook(DISK)


@pytest.fixture(scope="module")
def eaten(made: Made, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The plan of the same week seven days before."""
    folder = tmp_path_factory.mktemp("eaten")
    text = re.sub(
        r"\d{4}-\d\d-\d\d",
        lambda found: str(date.fromisoformat(found[0]) - timedelta(days=7)),
        made.week.read_text(encoding="utf-8"),
    )
    (folder / "week.yaml").write_text(text, encoding="utf-8")
    run("plan", "week.yaml", "--no-reasons", "--save", "plan.json", folder=folder).done()
    return (folder / "plan.json").read_bytes()


@pytest.fixture
def folder(made: Made, eaten: bytes, tmp_path: Path) -> Path:
    for name, text in {
        "plan.json": made.plan.read_bytes(),
        "week.yaml": made.week.read_bytes(),
        "weeks/one.yaml": made.week.read_bytes(),
        "past/plan.json": eaten,
        "recipe.txt": RECIPE.encode(),
    }.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(text)
    table = run("food", "red lentils, dried", "--csv", folder=tmp_path).done().out
    (tmp_path / "own.csv").write_text(table.replace("red lentils", "our lentils"), encoding="utf-8")
    return tmp_path


def held(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): STAMP.sub(b"", path.read_bytes())
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name not in LOGS
    }


def ran_in(folder: Path, words: tuple[str, ...]) -> Ran:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(TableServer, "run", lambda self, browser: None)
        # In processes of its own nothing could be made to fail from here.
        patched.setattr(parallel, "workers", lambda: 1)
        return run(*words, folder=folder)


def told(ran: Ran, words: tuple[str, ...]) -> None:
    assert ran.code == command.BAD_INPUT, (words, ran)
    assert "fault of the program" not in ran.err, words
    assert "Traceback" not in ran.err, words
    assert len(ran.err.splitlines()) == 2, (words, ran.err)


def test_every_command_is_tried() -> None:
    cli.load()
    names = {each.name or each.callback.__name__ for each in cli.app.registered_commands}
    assert {words[0] for words in EVERY} == {name.replace("_", "-").strip("-") for name in names}


@pytest.mark.parametrize("words", EVERY, ids=" ".join)
def test_a_file_that_cannot_be_opened_is_told_and_nothing_is_half_done(
    words: tuple[str, ...], folder: Path
) -> None:
    fresh = folder.with_name(f"{folder.name} fresh")
    shutil.copytree(folder, fresh)
    with DISK.failing(folder):
        good = ran_in(folder, words)
    assert good.code == command.DONE, good
    opened, done, before = DISK.opened, held(folder), held(fresh)
    assert opened or words == ("schema",)
    for at in range(1, opened + 1):
        for trouble in (TROUBLES[at % len(TROUBLES)],) if sized(1, 0) else TROUBLES:
            shutil.rmtree(folder)
            shutil.copytree(fresh, folder)
            with DISK.failing(folder, at, trouble):
                ran = ran_in(folder, words)
            if ran.code == command.DONE:
                # What failed was nothing that the result needs, as a lock.
                assert held(folder) == done, (words, at)
            elif words[1] == "weeks" and ran.out:
                assert "one.yaml" in ran.out
                assert "fault of the program" not in ran.out
            else:
                told(ran, words)
            assert held(folder) in (before, done), (words, at, errno.errorcode[trouble])


@pytest.mark.parametrize("words", EVERY, ids=" ".join)
def test_a_result_for_which_there_is_no_room_is_told(words: tuple[str, ...], folder: Path) -> None:
    class Full(command._Stream):
        made = 0

        def __init__(self) -> None:
            super().__init__()
            Full.made += 1
            self.is_out = Full.made == 1

        def write(self, text: str) -> int:
            if self.is_out:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return super().write(text)

    if words[0] in SHEETS:
        # With a file to write to they say nothing.
        words = words[:2]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(command, "_Stream", Full)
        ran = ran_in(folder, words)
    told(ran, words)
    assert "standard output: it cannot be written: no space left on device" in ran.err
