"""Runs the command, in a process of its own or in this one, and says what came of it."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from optimiser import cli

CODE = "from optimiser.cli import main; main()"
HANG_SECONDS = 60
"""Only a guard against hanging; how fast the command is, is measured elsewhere."""

DONE, NO_PLAN, BAD_INPUT, NO_TIME, INTERRUPTED = 0, 1, 2, 3, 130

# Whatever the machine that runs the tests says about colour and width stays outside.
_LEFT_OUT = ("NO_COLOR", "FORCE_COLOR", "CLICOLOR_FORCE", "PY_COLORS", "GITHUB_ACTIONS", "COLUMNS")


@dataclass(frozen=True)
class Ran:
    """What came of one run."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """What was printed as JSON; nothing else may be printed beside it."""
        return json.loads(self.out)

    def done(self) -> Ran:
        """See that all went well, and silently on the error side."""
        assert (self.code, self.err) == (DONE, ""), self
        return self


def environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in _LEFT_OUT}
    return kept | {"PYTHONDONTWRITEBYTECODE": "1"} | more


def arguments(*words: str | Path, code: str = CODE) -> list[str]:
    return [sys.executable, "-c", code, *(str(word) for word in words)]


def run(
    *words: str | Path,
    folder: Path,
    stdin: str | bytes | None = None,
    more: Mapping[str, str] | None = None,
) -> Ran:
    """Run the command in this process, in `folder`, as if it had a process of its own."""
    assert not any(name.startswith("PYTHON") for name in more or ()), "that takes `spawn`"
    with pytest.MonkeyPatch.context() as patched:
        for name in _LEFT_OUT:
            patched.delenv(name, raising=False)
        for name, value in (more or {}).items():
            patched.setenv(name, value)
        patched.chdir(folder)
        out, err = _Stream(), _Stream()
        patched.setattr(sys, "argv", ["clearfridge", *(str(word) for word in words)])
        patched.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(_bytes(stdin)), "utf-8"))
        patched.setattr(sys, "stdout", out)
        patched.setattr(sys, "stderr", err)
        return Ran(_code(), out.text, err.text)


def spawn(
    *words: str | Path,
    folder: Path,
    stdin: str | bytes | None = None,
    seconds: float = HANG_SECONDS,
    more: Mapping[str, str] | None = None,
    code: str = CODE,
) -> Ran:
    """Run the command in a process of its own: slower, for what only a process shows.

    `seconds` is no more than a guard: a run that hangs fails the test.
    """
    try:
        ran = subprocess.run(
            arguments(*words, code=code),
            input=_bytes(stdin),
            capture_output=True,
            cwd=folder,
            env=environment(**(more or {})),
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        pytest.fail(f"it hangs: {words}")
    return Ran(ran.returncode, ran.stdout.decode(), ran.stderr.decode())


class _Stream(io.TextIOWrapper):
    """What is written to a pipe, kept."""

    def __init__(self) -> None:
        super().__init__(io.BytesIO(), "utf-8", newline="\n")

    @property
    def text(self) -> str:
        self.flush()
        self.seek(0)
        return self.read()


def _bytes(text: str | bytes | None) -> bytes:
    return text.encode() if isinstance(text, str) else text or b""


def _code() -> int:
    try:
        cli.main()
    except SystemExit as left:
        assert left.code is None or isinstance(left.code, int)
        return left.code or 0
    return 0


def call(*words: str | Path, capsys: pytest.CaptureFixture[str]) -> Ran:
    """Run the command in this process: quicker, where no process of its own is needed."""
    before = sys.argv
    sys.argv = ["clearfridge", *(str(word) for word in words)]
    capsys.readouterr()
    try:
        code = _code()
    finally:
        sys.argv = before
    out, err = capsys.readouterr()
    return Ran(code, out, err)


def one_message(ran: Ran, *parts: str) -> None:
    """See that a run was refused with one message of two lines, and nothing else."""
    assert "Traceback" not in ran.err, ran.err
    assert ran.code == BAD_INPUT, ran
    assert ran.out == ""
    assert ran.err.startswith("clearfridge: ")
    lines = ran.err.split("\n")
    assert len(lines) == 3, ran.err
    assert not lines[1].startswith("clearfridge: "), "a second message"
    assert lines[2] == ""
    no_control(ran.err)
    # `check` tells the column as well, which test_every_fault.py holds.
    told = re.sub(r"(line \d+), column \d+", r"\1", ran.err)
    for part in parts:
        assert part in told, ran.err


def no_control(text: str) -> None:
    """See that a text cannot steer a terminal."""
    controls = {
        letter
        for letter in text
        if letter != "\n" and (ord(letter) < 32 or 127 <= ord(letter) < 160)
    }
    assert not controls, f"control characters {controls!r}"


def columns(text: str) -> int:
    """Measure the widest line in columns of a terminal."""
    return max(cell_len(line) for line in text.split("\n"))
