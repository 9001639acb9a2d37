"""How the program ends when somebody stops it: at once, in order, and without a traceback.

The first interrupt, or a request to terminate, ends the search: what was found so far is shown and
kept. A second ends the program. While it is still being loaded there is nothing to show, and the
first one ends it.
"""

from __future__ import annotations

# ruff: noqa: E402
# Before anything else is loaded. Until all is there is nothing to show or to put in order, and an
# interrupt ends the command as the system does; who imports a library keeps their own handlers.
# What `signal` is written over is loaded with Python itself; `signal` loads ten modules more.
import _signal  # type: ignore[import-not-found]
import gc
import os
import sys

_as_command = sys.argv[0:1] != [] and os.path.basename(sys.argv[0]).startswith("clearfridge")  # noqa: PTH119
if _as_command and _signal.getsignal(_signal.SIGINT) is _signal.default_int_handler:
    _signal.signal(_signal.SIGINT, _signal.SIG_DFL)
if _as_command:
    # What is loaded stays: cycles of what was dropped are sought seldom.
    gc.set_threshold(300_000, 20, 50)

# isort: split
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

INTERRUPTED = 130
LOADING = ("ImportError", "SchemaError")
"""What modules written in C, and pydantic's core, make of an interrupt while they are loaded."""
_times = 0
_later = False


@contextmanager
def listening() -> Iterator[None]:
    """Take interrupts and requests to terminate as this program does, as long as it runs.

    Examples
    --------
    >>> before = signal.getsignal(signal.SIGTERM)
    >>> with listening():
    ...     pass
    >>> signal.getsignal(signal.SIGTERM) == before
    True
    """
    global _times  # noqa: PLW0603 - a process is stopped, not an object
    _times = 0
    before = {}
    if threading.current_thread() is threading.main_thread():
        # A terminal that is closed says so; with `nohup` nobody hears it.
        closed = (signal.SIGHUP,) if hasattr(signal, "SIGHUP") else ()
        for wanted in (signal.SIGINT, signal.SIGTERM, *closed):
            if signal.getsignal(wanted) in (signal.default_int_handler, signal.SIG_DFL):
                before[wanted] = signal.signal(wanted, _stop)
    unheard, sys.unraisablehook = sys.unraisablehook, _unheard
    try:
        yield
    finally:
        sys.unraisablehook = unheard
        for wanted, handler in before.items():
            signal.signal(wanted, handler)


def _stop(number: int, frame: FrameType | None) -> None:
    global _times  # noqa: PLW0603
    _times += 1
    if not _later:
        _obey()


def _obey() -> NoReturn:
    if _times > 1:
        _end(INTERRUPTED)
    raise KeyboardInterrupt


@contextmanager
def undisturbed() -> Iterator[None]:
    """Do something short to its end, and only then what an interrupt asks for.

    Raises
    ------
    KeyboardInterrupt
        At its end, where one came meanwhile.

    Examples
    --------
    >>> with undisturbed():
    ...     asked()
    False
    """
    global _later  # noqa: PLW0603
    if threading.current_thread() is not threading.main_thread():
        # Interrupts are raised in the main thread alone.
        yield
        return
    before, _later = _times, True
    try:
        yield
    finally:
        _later = False
    if _times > before:
        _obey()


def _unheard(told: sys.UnraisableHookArgs) -> None:
    """End an interrupt that came where Python drops what is raised, as while it puts away."""
    if isinstance(told.exc_value, KeyboardInterrupt):
        _end(INTERRUPTED)
    sys.__unraisablehook__(told)


def asked() -> bool:
    """Tell whether somebody stopped the program.

    Returns
    -------
    bool
        Since it last began to listen.

    Examples
    --------
    >>> with listening():
    ...     asked()
    False
    """
    return _times > 0


def cut_off(fault: BaseException) -> bool:
    """Tell whether a fault is what an interrupt became on its way.

    Parameters
    ----------
    fault
        What was raised.

    Returns
    -------
    bool
        A class that is being made turns it into another fault, behind which it stands; what is not
        written in Python and is being loaded, into one of its own alone (`LOADING`).

    Examples
    --------
    >>> cut_off(ImportError())
    False
    """
    if not _times:
        return False
    behind: BaseException | None = fault
    while behind is not None and not isinstance(behind, KeyboardInterrupt):
        behind = behind.__cause__ or behind.__context__
    return behind is not None or any(kind.__name__ in LOADING for kind in type(fault).__mro__)


def leave(code: str | int | None) -> NoReturn:
    """End the process with a code.

    Parameters
    ----------
    code
        The exit code, as `sys.exit` takes it.

    Raises
    ------
    SystemExit
        Where nobody stopped it; else the process ends here, for a solver that the interpreter tears
        down while it works would abort.

    Examples
    --------
    >>> try:
    ...     leave(2)
    ... except SystemExit as end:
    ...     end.code
    2
    """
    if _times and isinstance(code, int) and threading.active_count() > 1:
        _end(code)
    sys.exit(code)


def _end(code: int) -> NoReturn:
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError, RuntimeError):
            continue
    os._exit(code)
