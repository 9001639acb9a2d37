"""How long a search may take, how it is ended from outside, and whom it tells how far it is."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Protocol

Say = Callable[[str], None]
"""Is told what is being done, for a line of progress: "12 of 21 weeks planned"."""


def silent(text: str) -> None:
    """Tell nobody.

    Parameters
    ----------
    text
        What is being done.

    Examples
    --------
    >>> silent("planning the week")
    """


@dataclass(frozen=True, slots=True)
class Limit:
    """When to give up.

    Attributes
    ----------
    seconds
        After so much time.
    work
        After so much work in CP-SAT's own unit, which does not depend on the machine.
    """

    seconds: float | None = None
    work: float | None = None

    def within(self, left: float | None) -> Limit:
        """Give it with no more seconds than are left.

        Parameters
        ----------
        left
            Seconds; None for no end.

        Returns
        -------
        Limit
            The tighter of the two in seconds; the work is as it was.
        """
        if left is None or (self.seconds is not None and self.seconds <= left):
            return self
        return replace(self, seconds=left)


NO_LIMIT = Limit()
ONE_QUESTION = Limit(work=6.0)
"""For one of many questions about a plan; what is not known by then is called open."""
ONE_WEEK = Limit(work=20.0)
"""For one of several other weeks, each of which is a plan of its own."""


SEARCH = 0.75
"""The share of the time that a search may take where questions about it follow."""


class Solve(Protocol):
    """A solve that runs and can be ended."""

    def stop_search(self) -> object:
        """End it; the best that it has found so far stands.

        Returns
        -------
        object
            Whatever the solver says to it; nobody looks at that.
        """


@dataclass(slots=True)
class Stop:
    """A handle by which another thread, or the time that a whole command has, ends solves.

    Attributes
    ----------
    asked
        Whether somebody asked for the end.
    until
        When time is up, by the clock of `time.monotonic`; None where it never is.
    late
        Whether something was not begun, or not ended, because time was up.
    """

    asked: bool = False
    until: float | None = None
    late: bool = False
    _running: set[Solve] = field(default_factory=set)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def left(self) -> float | None:
        """Seconds until time is up; None where it never is."""
        return None if self.until is None else self.until - time.monotonic()

    @property
    def share(self) -> float | None:
        """Seconds that a search may take of those that are left, where questions follow it."""
        left = self.left
        return None if left is None else max(0.0, left * SEARCH)

    @property
    def over(self) -> bool:
        """Whether nothing more is to be begun."""
        left = self.left
        up = left is not None and left <= 0
        self.late = self.late or (up and not self.asked)
        return self.asked or up

    def note(self) -> None:
        """Note that something stayed open, where it was the time that ended it."""
        self.late = self.late or (not self.asked and self.over)

    @contextmanager
    def within(self, seconds: float | None) -> Iterator[None]:
        """Let time be up so many seconds from now, until the work is done.

        Parameters
        ----------
        seconds
            How many; None leaves the end where it is.
        """
        before = self.until
        if seconds is not None:
            end = time.monotonic() + seconds
            self.until = end if before is None else min(before, end)
        try:
            yield
        finally:
            self.until = before

    def now(self) -> None:
        """End every solve that runs or is about to."""
        with self._lock:
            self.asked = True
            for solve in self._running:
                solve.stop_search()

    def watch(self, solve: Solve) -> None:
        """Note that a solve begins.

        Parameters
        ----------
        solve
            It is ended at once where somebody stopped the search before.
        """
        with self._lock:
            self._running.add(solve)
            if self.asked:
                solve.stop_search()

    def forget(self, solve: Solve) -> None:
        """Note that a solve has ended.

        Parameters
        ----------
        solve
            One that was watched.
        """
        with self._lock:
            self._running.discard(solve)
