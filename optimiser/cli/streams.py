"""Standard streams as somebody left them: closed, full, or read by who has gone."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from typing import IO, Any, TextIO, cast

from models.words.errors import InputError


def prepare() -> None:
    """Put something where a standard stream is closed, and write UTF-8 whatever the locale says.

    A file that is opened later would else take the number of the closed one, and get what is
    printed.

    Examples
    --------
    >>> from io import StringIO
    >>> from unittest.mock import patch
    >>> out, told = patch("sys.stdout", StringIO()), patch("sys.stderr", StringIO())
    >>> with patch("sys.stdin", None), out, told:
    ...     prepare()
    ...     with sys.stdin as closed:
    ...         text = closed.read()
    >>> text
    ''
    """
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115, PTH123 - open to the end
    if sys.stdout is None:
        sys.stdout = cast("TextIO", _Closed())
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    # A complaint that cannot be written is no other fault than it was.
    sys.stdout = cast("TextIO", _Watched(sys.stdout, _refuse))
    sys.stderr = cast("TextIO", _Watched(sys.stderr, _silence))


class _Closed(io.TextIOBase):
    """Standard output that was closed before the program began."""

    def write(self, text: str) -> int:
        raise OSError("it is closed")


class _Watched:
    """A stream of which each failure to write is taken care of; all else is the stream's own."""

    def __init__(self, stream: IO[str], failed: Callable[[IO[str], Exception], None]) -> None:
        self.stream, self.failed = stream, failed

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)

    def write(self, text: str) -> int:
        try:
            return self.stream.write(text)
        except (OSError, ValueError) as fault:
            self.failed(self.stream, fault)
        return len(text)

    def flush(self) -> None:
        try:
            self.stream.flush()
        except (OSError, ValueError) as fault:
            self.failed(self.stream, fault)


def _silence(stream: IO[str], fault: Exception) -> None:
    """Let what a stream still holds go nowhere, so that ending does not try again."""
    try:
        number = stream.fileno()
    except (OSError, ValueError):
        return
    os.dup2(os.open(os.devnull, os.O_WRONLY), number)


def _refuse(stream: IO[str], fault: Exception) -> None:
    """End as a fault of where the result goes; quietly where whoever read it has gone."""
    _silence(stream, fault)
    if isinstance(fault, BrokenPipeError):
        sys.exit(0)
    what = (getattr(fault, "strerror", None) or str(fault)).lower()
    mend = "Send the result where there is room for it, or keep it in a file with -o or --save."
    raise InputError("standard output", f"it cannot be written: {what}", mend) from None
