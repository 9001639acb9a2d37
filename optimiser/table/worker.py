"""Questions answered in a thread of their own, so that nobody waits and any can be stopped.

An answer is kept by the digest of the text it is of, and never given for another text.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from models.words.errors import InputError
from optimiser.interface.background import by_hand
from optimiser.solve.limits import Stop

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart

Key = tuple[str, ...]
"""The digest of a text, then what is asked of it."""
Answering = Callable[[], "AnswerPart"]
MOST_KEPT = 300
"""Answers that are kept, for undo and for looking back."""


@dataclass(frozen=True, slots=True)
class Failed:
    """Why a question has no answer."""

    where: str
    what: str
    mend: str


class Worker:
    """One thread that answers what is asked, what is most wanted first."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._wanted: OrderedDict[Key, Answering] = OrderedDict()
        self._kept: OrderedDict[Key, AnswerPart | Failed] = OrderedDict()
        self._running: tuple[Key, Stop] | None = None
        self._dropped = False
        self._closed = False
        self._thread: threading.Thread | None = None
        self.doing = ""
        self.version = 0

    def answer(self, key: Key) -> AnswerPart | Failed | None:
        """Give the answer to a question, where there is one yet.

        Parameters
        ----------
        key
            By which it was asked.

        Returns
        -------
        AnswerPart | Failed | None
            None while it is not known.
        """
        with self._changed:
            return self._kept.get(key)

    def ask(self, key: Key, work: Answering, *, first: bool = False) -> AnswerPart | Failed | None:
        """Give the answer to a question, or have it looked for.

        Parameters
        ----------
        key
            Of the question.
        work
            What answers it.
        first
            Whether it goes before what else is wanted.

        Returns
        -------
        AnswerPart | Failed | None
            None while it is looked for.
        """
        with self._changed:
            running = self._running is not None and self._running[0] == key and not self._dropped
            if key not in self._kept and not running:
                self._wanted[key] = self._wanted.pop(key, work)
                self._wanted.move_to_end(key, last=not first)
                self._begin()
                self._changed.notify_all()
            return self._kept.get(key)

    def is_wanted(self, key: Key) -> bool:
        """Tell whether a question waits or is being answered.

        Parameters
        ----------
        key
            Of the question.

        Returns
        -------
        bool
            False where it was never asked, or has its answer.
        """
        with self._changed:
            return key in self._wanted or (self._running is not None and self._running[0] == key)

    @property
    def busy(self) -> bool:
        """Whether anything is looked for."""
        with self._changed:
            return self._running is not None or bool(self._wanted)

    def stop(self) -> None:
        """End what is being looked for; the best so far is its answer."""
        with self._changed:
            if self._running is not None:
                self._running[1].now()

    def forget(self) -> None:
        """Drop what is wanted and what is being looked for: it is of a text that is gone."""
        with self._changed:
            self._wanted.clear()
            self._dropped = True
            if self._running is not None:
                self._running[1].now()
            self.version += 1

    def again(self, key: Key) -> None:
        """Drop an answer, to look for it anew.

        Parameters
        ----------
        key
            Of the question.
        """
        with self._changed:
            self._kept.pop(key, None)
            self.version += 1

    def told(self) -> None:
        """Note that what is shown has changed for another reason."""
        with self._changed:
            self.version += 1

    def close(self) -> None:
        """End the thread, and what it looks for."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()
        self.forget()
        if self._thread is not None:
            self._thread.join()

    def wait(self) -> None:
        """Wait until all that is wanted is answered."""
        with self._changed:
            self._changed.wait_for(lambda: not self._wanted and self._running is None)

    def _begin(self) -> None:
        if self._thread is None and not self._closed:
            self._thread = threading.Thread(target=self._run, name="answers", daemon=True)
            self._thread.start()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._wanted or self._closed)
                if self._closed:
                    return
                key, work = self._wanted.popitem(last=False)
                stop, self._dropped = Stop(), False
                self._running, self.doing = (key, stop), ""
                self.version += 1
            answer = _answered(work, stop, lambda text: setattr(self, "doing", text))
            with self._changed:
                self._running, self.doing = None, ""
                if not self._dropped:
                    self._kept[key] = answer
                    while len(self._kept) > MOST_KEPT:
                        self._kept.popitem(last=False)
                self.version += 1
                self._changed.notify_all()


def _answered(work: Answering, stop: Stop, say: Callable[[str], None]) -> AnswerPart | Failed:
    try:
        with by_hand(stop, say):
            return work()
    except InputError as fault:
        return Failed(str(fault.where), fault.what, fault.mend)
    except Exception as fault:  # noqa: BLE001 - the room stays open, and says what went wrong
        what = f"a fault of the program, not of your file ({type(fault).__name__})"
        return Failed("the question", what, "Undo the last change, and report it.")
