"""Standard streams that somebody closed, or that have no room: told in a line, never a fault."""

from __future__ import annotations

import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from .command import BAD_INPUT, DONE, arguments, environment

pytestmark = pytest.mark.skipif(
    not Path("/dev/full").exists(), reason="no device here that is always full"
)


@pytest.mark.parametrize(
    ("words", "streams", "code", "told"),
    [
        (("food", "dried lentils"), ">/dev/full", BAD_INPUT, "it cannot be written: no space left"),
        (("food", "--help"), ">/dev/full", BAD_INPUT, "it cannot be written: no space left"),
        (("food", "dried lentils"), ">&-", BAD_INPUT, "it cannot be written: it is closed"),
        (("check", "-"), "<&-", BAD_INPUT, "clearfridge: standard input: it is empty"),
        (("food", "dried lentils"), ">/dev/null 2>&-", DONE, ""),
        (("no-such-command",), "2>/dev/full", BAD_INPUT, ""),
    ],
)
def test_a_stream_that_is_closed_or_full(
    words: tuple[str, ...], streams: str, code: int, told: str
) -> None:
    ran = subprocess.run(
        ["sh", "-c", f"{shlex.join(arguments(*words))} {streams}"],
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == code
    assert told in ran.stderr
    assert len(ran.stderr.splitlines()) == (2 if told else 0)


def test_what_is_opened_later_does_not_take_the_place_of_a_closed_stream(tmp_path: Path) -> None:
    code = (
        "from optimiser.cli import streams; streams.prepare(); "
        "import os; print(open('new.txt', 'w').fileno(), file=__import__('sys').stderr)"
    )
    ran = subprocess.run(
        ["sh", "-c", f"{shlex.join([sys.executable, '-c', code])} <&- >&-"],
        env=environment(),
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert int(ran.stderr) > 2
