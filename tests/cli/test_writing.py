"""What is written: whole or not at all, by one at a time, and never over what was read."""

from __future__ import annotations

import contextlib
import errno
import os
import resource
import stat
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from optimiser.interface import asked, sheets, whole
from tests.depth import sized

from .command import CODE, INTERRUPTED, one_message, run, spawn
from .conftest import Made

CHANGE = ("change", "plan.json", "--today", "wed", "--no-lunch", "thu")


@pytest.fixture
def folder(made: Made, tmp_path: Path) -> Path:
    (tmp_path / "plan.json").write_bytes(made.plan.read_bytes())
    (tmp_path / "week.yaml").write_bytes(made.week.read_bytes())
    return tmp_path


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@pytest.mark.parametrize("mode", [0o600, 0o664, 0o444])
def test_a_file_keeps_its_mode_and_a_read_only_one_stays(mode: int, folder: Path) -> None:
    (folder / "old.txt").write_text("old", encoding="utf-8")
    for name, words in {
        "plan.json": (*CHANGE, "--in-place"),
        "old.txt": ("shop", "plan.json", "-o", "old.txt", "--force"),
    }.items():
        (folder / name).chmod(mode)
        was = (folder / name).read_bytes()
        ran = run(*words, folder=folder)
        assert stat.S_IMODE((folder / name).stat().st_mode) == mode
        if mode == 0o444:
            one_message(ran, name, "it is read-only")
        assert ((folder / name).read_bytes() == was) == (mode == 0o444)


def test_a_link_stays_a_link_whatever_writes(folder: Path) -> None:
    (folder / "far").mkdir()
    for name, words in {
        "in place": (*CHANGE[:1], "far/in place", *CHANGE[2:], "--in-place"),
        "plan": ("plan", "week.yaml", "--no-reasons", "--save", "to plan"),
        "shop": ("shop", "plan.json", "-o", "to shop", "--force"),
    }.items():
        file, link = folder / "far" / name, folder / f"to {name}"
        file.write_bytes((folder / "plan.json").read_bytes())
        link.symlink_to(file)
        run(*words, folder=folder).done()
        assert link.is_symlink(), name
        assert file.read_bytes() != (folder / "plan.json").read_bytes(), name
    assert sorted(held(folder / "far")) == ["in place", "plan", "shop"]
    (folder / "nowhere").symlink_to("gone")
    one_message(run("shop", "plan.json", "-o", "nowhere", "--force", folder=folder), "nowhere")


def test_what_is_read_is_not_written_over(folder: Path) -> None:
    (folder / "link").symlink_to("plan.json")
    os.link(folder / "plan.json", folder / "same")
    was = held(folder)
    for words in (
        ("shop", "plan.json", "-o", "./plan.json", "--force"),
        ("page", "plan.json", "-o", "link", "--force"),
        ("calendar", "link", "-o", "plan.json", "--force"),
        ("prep", "same", "--svg", "plan.json", "--force"),
        ("plan", "week.yaml", "--after", "plan.json", "--save", "same"),
    ):
        one_message(run(*words, folder=folder), "it is what the command reads")
        assert held(folder) == was, words


def meanwhile(room: Any, name: str, patched: pytest.MonkeyPatch, act: Callable[[], object]) -> None:
    """Let something happen while a command works."""
    real = getattr(room, name)

    def slow(*given: Any, **ways: Any) -> Any:
        act()
        return real(*given, **ways)

    patched.setattr(room, name, slow)


def test_of_two_at_once_the_later_is_refused(folder: Path) -> None:
    """The other one ends while this one works: what it wrote stands, in place or anew."""
    other = (*CHANGE[:4], "--ate", "beans=1")
    turns = [other]
    with pytest.MonkeyPatch.context() as patched:
        meanwhile(
            asked,
            "change",
            patched,
            lambda: turns and run(*turns.pop(), "--in-place", folder=folder).done(),
        )
        one_message(run(*CHANGE, "--in-place", folder=folder), "changed by something else")
    stands = (folder / "plan.json").read_bytes()
    assert b'"beans"' in stands
    run("audit", "plan.json", folder=folder).done()
    with pytest.MonkeyPatch.context() as patched:
        new = folder / "new.txt"
        meanwhile(sheets, "shop", patched, lambda: new.write_text("mine", encoding="utf-8"))
        ran = run("shop", "plan.json", "-o", "new.txt", folder=folder)
    one_message(ran, "new.txt: it was changed by something else")
    assert new.read_text(encoding="utf-8") == "mine"


def test_what_a_killed_run_left_is_swept_by_the_next(folder: Path) -> None:
    left = folder / f".plan.json.x1{whole.PART}"
    left.write_text("{", encoding="utf-8")
    (folder / ".mine").write_text("kept", encoding="utf-8")
    run("shop", "plan.json", "-o", "list.txt", folder=folder).done()
    assert sorted(held(folder)) == [".mine", "list.txt", "plan.json", "week.yaml"]


STOPPED_WHILE_WRITING = f"""
import os, signal
def fsync(handle, sync=os.fsync):
    for _ in range(TIMES):
        signal.raise_signal(signal.SIGTERM)
    sync(handle)
os.fsync = fsync
{CODE}
"""


@pytest.mark.parametrize("times", [1, 2])
def test_what_is_being_written_is_written_to_its_end(times: int, folder: Path) -> None:
    shop = ("shop", "plan.json", "-o", "new.txt")
    code = STOPPED_WHILE_WRITING.replace("TIMES", str(times))
    assert spawn(*shop, folder=folder, code=code).code == INTERRUPTED
    written = held(folder)
    assert sorted(written) == ["new.txt", "plan.json", "week.yaml"]
    run(*shop, "--force", folder=folder).done()
    assert held(folder) == written


def test_a_folder_in_which_another_writes_is_waited_for_and_then_refused(folder: Path) -> None:
    import fcntl  # noqa: PLC0415

    handle = os.open(folder, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(whole, "WAIT_SECONDS", 0.05)
            ran = run("shop", "plan.json", "-o", "list.txt", folder=folder)
    finally:
        os.close(handle)
    one_message(ran, "something else is writing in this folder")


# -- faults of the disk --------------------------------------------------------------------

WRITERS: tuple[tuple[str, ...], ...] = (
    (*CHANGE, "--in-place"),
    ("plan", "week.yaml", "--no-reasons", "--save", "plan.json", "--keep", "plan.json"),
    ("shop", "plan.json", "-o", "old.txt", "--force"),
    (*CHANGE, "-o", "new"),
    ("next", "plan.json", "-o", "new"),
    ("labels", "plan.json", "-o", "new"),
    ("pack", "plan.json", "-o", "new"),
    ("freezer", "plan.json", "-o", "new"),
    ("share", "plan.json", "-o", "new"),
    ("calendar", "plan.json", "-o", "new"),
    ("prep", "plan.json", "-o", "new"),
    ("page", "plan.json", "--no-sliders", "--no-verdicts", "-o", "new"),
    ("new", "new"),
    ("size", "week.yaml", "-o", "new"),
    ("what-if", "week.yaml", "--yield", "beans=4", "--svg", "new"),
    ("trade-off", "week.yaml", "cost", "minutes", "--svg", "new"),
    ("others", "minimal", "-n", "1", "--equal", "0", "--save", "new", "--week", "1"),
)
STEPS = ((os, "fsync"), (Path, "replace"), (Path, "chmod"), (tempfile, "mkstemp"))


def full(*_: Any, **__: Any) -> Any:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("words", WRITERS[: sized(3, len(WRITERS))], ids=" ".join)
def test_a_fault_of_the_disk_leaves_all_as_it_was(words: tuple[str, ...], folder: Path) -> None:
    (folder / "old.txt").write_text("old", encoding="utf-8")
    was = held(folder)
    for room, step in STEPS:
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(room, step, full)
            ran = run(*words, folder=folder)
        one_message(ran, "it cannot be written (No space left on device)")
        assert held(folder) == was, step


@contextlib.contextmanager
def limited(size: int) -> Iterator[None]:
    """Let no file grow beyond so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize("size", [0, 1, 1_000])
def test_no_room_for_the_whole_file_leaves_all_as_it_was(size: int, folder: Path) -> None:
    was = held(folder)
    with limited(size):
        ran = run(*CHANGE, "--in-place", folder=folder)
    one_message(ran, "it cannot be written (File too large)")
    assert held(folder) == was


def test_a_small_disk_that_is_full_leaves_all_as_it_was(folder: Path) -> None:
    disk = folder / "disk"
    disk.mkdir()
    mounting = ["mount", "-t", "tmpfs", "-o", "size=16k", "none", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mounting, capture_output=True, check=False).returncode:
        pytest.skip("no disk can be mounted here")
    try:
        (disk / "fill").write_bytes(b"x" * 16_000)
        page = ("page", "plan.json", "-o", "disk/new", "--no-sliders", "--no-verdicts")
        one_message(run(*page, folder=folder), "No space left")
        assert sorted(held(disk)) == ["fill"]
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize(
    ("way", "trouble"),
    [
        ("open", FileNotFoundError(2, "gone")),
        ("open", PermissionError(13, "Permission denied")),
        ("open", IsADirectoryError(21, "Is a directory")),
        ("open", OSError(5, "Input/output error")),
        ("read", OSError(5, "Input/output error")),
        ("stat", PermissionError(13, "Permission denied")),
        ("stat", OSError(116, "Stale file handle")),
        ("iterdir", OSError(5, "Input/output error")),
    ],
)
def test_what_cannot_be_read_to_its_end_is_one_message(
    way: str, trouble: OSError, folder: Path
) -> None:
    """A file that vanishes after it was seen or that a folder replaced, or a disk that fails."""
    patched_way = "open" if way == "read" else way
    real = getattr(Path, patched_way)

    def broken(self: Path, *given: Any, **ways: Any) -> Any:
        if self.name in {"week.yaml", "plan.json", "own.csv", "own.zip", "page.html", "past"}:
            if way == "read":
                # It is there and opens, and no first byte of it can be read.
                return real(Path("/proc/self/mem"), *given, **ways)
            raise trouble
        return real(self, *given, **ways)

    if way == "read" and not Path("/proc/self/mem").exists():
        pytest.skip("there is no file here that opens and cannot be read")
    for name in ("own.csv", "own.zip", "page.html"):
        (folder / name).write_text("x", encoding="utf-8")
    (folder / "past").mkdir()
    commands: list[tuple[str, ...]] = [
        *((name, "week.yaml") for name in ("check", "plan", "size", "others", "why", "mend")),
        *((name, "plan.json") for name in ("audit", "shop", "page", "next", "change")),
        ("check", "minimal", "--foods", "own.csv"),
        ("check", "minimal", "--foods", "own.zip"),
        ("new", "new.yaml", "--from", "page.html"),
    ]
    if way == "iterdir":
        commands = [("plan", "minimal", "--no-repeats", "--after", "past")]
    for words in commands:
        more = ("-o", "new") if words[0] == "page" else ("--today", "wed") * (words[0] == "change")
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(Path, patched_way, broken)
            ran = run(*words, *more, folder=folder)
        assert (ran.code, ran.out) == (2, ""), words
        assert "fault of the program" not in ran.err, words
        assert len(ran.err.splitlines()) == 2, (words, ran.err)


def test_an_output_with_a_name_too_long_is_refused(folder: Path) -> None:
    for longer in (False, True):
        name = "n" * (whole.LONGEST_FILE_NAME + longer)
        ran = run("shop", "plan.json", "-o", name, folder=folder)
        assert (folder / name).exists() != longer
        assert ran.code == 2 * longer
