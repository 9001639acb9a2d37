"""How long a search may take, how it is ended from outside, and whom it tells how far it is."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

Say = Callable[[str], None]
"""Is told what is being done, for a line of progress: "12 of 21 weeks planned"."""


def silent(text: str) -> None:
    """Tell nobody.

    Parameters
    ----------
    text
        What is being done.
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


NO_LIMIT = Limit()
ONE_QUESTION = Limit(work=6.0)
"""For one of many questions about a plan; what is not known by then is called open."""
ONE_WEEK = Limit(work=20.0)
"""For one of several other weeks, each of which is a plan of its own."""


class Solve(Protocol):
    """A solve that runs and can be ended."""

    def stop_search(self) -> object:
        """End it; the best that it has found so far stands."""


@dataclass(slots=True)
class Stop:
    """A handle by which another thread ends the solves that run."""

    asked: bool = False
    _running: set[Solve] = field(default_factory=set)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def now(self) -> None:
        """End every solve that runs or is about to."""
        with self._lock:
            self.asked = True
            for solve in self._running:
                solve.stop_search()

    def watch(self, solve: Solve) -> None:
        """Note that a solve begins."""
        with self._lock:
            self._running.add(solve)
            if self.asked:
                solve.stop_search()

    def forget(self, solve: Solve) -> None:
        """Note that a solve has ended."""
        with self._lock:
            self._running.discard(solve)
