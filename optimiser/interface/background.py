"""Long work in a thread of its own, so that an interrupt ends the search and not the answer."""

from __future__ import annotations

import re
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart
    from optimiser.solve.limits import Say, Stop

Made = TypeVar("Made")
Work = Callable[["Stop", "Say"], Made]
_HANDED: ContextVar[tuple[Stop, Say] | None] = ContextVar("handed", default=None)


@contextmanager
def by_hand(stop: Stop, say: Say) -> Iterator[None]:
    """Let what this thread asks be done in it, ended by a handle of the caller's own.

    Parameters
    ----------
    stop
        Ends the search from another thread.
    say
        Is told what is being done.

    Examples
    --------
    >>> from optimiser.solve.limits import Stop
    >>> told = []
    >>> with by_hand(Stop(), told.append):
    ...     in_background(lambda stop, say: say("cooking"))
    >>> told
    ['cooking']
    """
    before = _HANDED.set((stop, say))
    try:
        yield
    finally:
        _HANDED.reset(before)


def in_background(work: Work[Made]) -> Made:
    """Do long work; on an interrupt give the best answer so far.

    Parameters
    ----------
    work
        Is given a `Stop` to end its solves by, and is to tell what it is doing.

    Returns
    -------
    Made
        What the work gave, whole or as far as it came.

    Raises
    ------
    Exception
        Whatever the work raised, on the thread that asked for it.

    Examples
    --------
    >>> in_background(lambda stop, say: 6 * 7)
    42
    """
    from optimiser.solve.limits import Stop  # noqa: PLC0415

    handed = _HANDED.get()
    if handed is not None:
        return work(*handed)
    stop = Stop()
    done: list[Made] = []
    failed: list[BaseException] = []
    doing = ["starting"]
    # An event and not Thread.join: an interrupted join takes the thread for ended.
    ended = threading.Event()

    def run() -> None:
        try:
            done.append(work(stop, lambda text: doing.__setitem__(0, text)))
        except BaseException as fault:  # noqa: BLE001 - handed on to the main thread
            failed.append(fault)
        finally:
            ended.set()

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        if not ended.wait(1.0):
            _show_until(ended, doing)
    except KeyboardInterrupt:
        stop.now()
        ended.wait()
    # It has only to return; a thread that the interpreter ends in between would take it down.
    thread.join()
    if failed:
        raise failed[0]
    return done[0]


Answered = TypeVar("Answered", bound="AnswerPart")


def in_time(work: Work[Answered], seconds: float | None) -> Answered:
    """Do long work within a time limit, all of it; of the answer it is said where time was up.

    Parameters
    ----------
    work
        As `in_background` takes it.
    seconds
        The limit; none where it is None.

    Returns
    -------
    AnswerPart
        What the work gave, as far as it came.

    Examples
    --------
    >>> from optimiser import check
    >>> in_time(lambda stop, say: check("minimal"), 60).late
    False
    >>> in_time(lambda stop, say: check("minimal") if stop.over else None, 0).late
    True
    """

    def bounded(stop: Stop, say: Say) -> Answered:
        with stop.within(seconds):
            answer = work(stop, say)
        return answer.model_copy(update={"late": is_late(stop, answer)})

    return in_background(bounded)


def is_late(stop: Stop, answer: AnswerPart) -> bool:
    """Tell whether time was up before all was answered.

    Parameters
    ----------
    stop
        That of the work.
    answer
        What came of it; a search that found nothing may end before the time does, for what would
        follow it.

    Returns
    -------
    bool
        False where somebody stopped it before the time was up.

    Examples
    --------
    >>> from optimiser import plan
    >>> from optimiser.solve.limits import Stop
    >>> made = plan("minimal", reasons=False)
    >>> is_late(Stop(), made), is_late(Stop(late=True), made)
    (False, True)
    >>> is_late(Stop(), made.model_copy(update={"status": "unknown"}))
    True
    """
    of = answer if hasattr(answer, "status") else getattr(answer, "plan", None)
    return stop.late or (getattr(of, "status", "") == "unknown" and not stop.asked)


_COUNTED = re.compile(r"([0-9]+) of ([0-9]+) ")


def _show_until(ended: threading.Event, doing: list[str]) -> None:
    if not sys.stderr.isatty():
        ended.wait()
        return
    from rich.console import Console  # noqa: PLC0415
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn  # noqa: PLC0415

    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn(bar_width=20))
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("", total=None)
        while not ended.wait(0.2):
            # "12 of 21 weeks" is a share that a bar can show.
            count = _COUNTED.match(doing[0])
            done, total = (int(count[1]), int(count[2])) if count else (0, None)
            # With a bar there is room for no more in eighty columns.
            stops = "Ctrl-C stops" if total else "Ctrl-C shows the best so far"
            text = f"{doing[0]} ({stops})"
            progress.update(task, description=text, completed=done, total=total)
