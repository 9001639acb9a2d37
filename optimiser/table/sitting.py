"""What goes on at the table: the open file, its week or its faults, and what is asked of it."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from models.answers.plan import PlanFile
from models.file import yamltext
from models.file.editing import NewValue, Path, edited
from models.file.every_fault import every_fault
from models.file.reading import week_of
from models.words.errors import InputError
from optimiser.interface import asked
from optimiser.table import lived
from optimiser.table.opened import OpenFile
from optimiser.table.worker import Failed, Key, Worker

if TYPE_CHECKING:
    from models.answers.check import CheckFile
    from models.answers.plan import AnswerPart
    from models.foods.food import Food
    from models.week.week import Week

OUTDATED = "the week was changed meanwhile, in another window or file"
LOOK = "Look at it as it is now, and try again; nothing was written."


class Sitting:
    """One file that is open, and all that the windows on it share."""

    def __init__(self, file: OpenFile, foods: Iterable[Food] = ()) -> None:
        self.file = file
        self.foods = tuple(foods)
        self.worker = Worker()
        self.lock = threading.RLock()
        self.closing = False
        self._shown: tuple[str, PlanFile] | None = None
        self._shown_before: PlanFile | None = None
        self._marked_at: str | None = None
        self._read: tuple[str, Week | None, list[InputError]] | None = None
        self._checked: tuple[str, CheckFile] | None = None
        self._lived: tuple[str, tuple[PlanFile, ...]] | None = None

    # -- the week ----------------------------------------------------------------------

    @property
    def is_new(self) -> bool:
        """Whether there is no week yet."""
        return not self.file.text.strip()

    @property
    def week(self) -> Week | None:
        """The week of the text as it is; None where it has faults."""
        return self._week()[1]

    @property
    def readable(self) -> Week:
        """The week; refused where it has faults, since nothing in it can be changed then."""
        if self.week is None:
            raise InputError(self.file.name, "this file has faults", "Mend them first.")
        return self.week

    @property
    def checked(self) -> CheckFile:
        """What `check` says of the week; refused where it has faults."""
        with self.lock:
            digest = self.file.digest
            if self._checked is None or self._checked[0] != digest:
                self._checked = (digest, asked.check(self.readable))
            return self._checked[1]

    @property
    def faults(self) -> list[InputError]:
        """What `check` finds wrong with the text."""
        return self._week()[2]

    def _week(self) -> tuple[str, Week | None, list[InputError]]:
        with self.lock:
            digest = self.file.digest
            if self._read is None or self._read[0] != digest:
                self._read = (digest, *self._judged(self.file.text))
            return self._read

    def read(self, text: str) -> Week:
        """Read another text of the file, which is not written.

        Parameters
        ----------
        text
            All of it.

        Returns
        -------
        Week
            With the foods that this file is read with.

        Raises
        ------
        InputError
            When it has a fault.
        """
        return week_of(yamltext.parse(self.file.name, text), self.foods)

    def _judged(self, text: str) -> tuple[Week | None, list[InputError]]:
        """Read a text, or find all that is wrong with it."""
        try:
            return self.read(text), []
        except InputError as fault:
            faults = every_fault(self.file.name, text, self.foods)[1]
            return None, faults or [fault]

    # -- the week that runs ------------------------------------------------------------

    @property
    def lived(self) -> tuple[PlanFile, ...]:
        """The plans of this week, each with a change more; empty where none was told of."""
        with self.lock:
            digest, week, _ = self._week()
            if self._lived is None or self._lived[0] != digest:
                plans = () if week is None else lived.kept(self.file.held.path, week)
                self._lived = (digest, plans)
            return self._lived[1]

    @property
    def digest(self) -> str:
        """Digest of all that is shown: the text, and what was told of the week that runs."""
        with self.lock:
            seals = "".join(plan.seal for plan in self.lived)
            mark = f"-{hashlib.sha256(seals.encode()).hexdigest()[:8]}" if seals else ""
            return f"{self.file.digest}{mark}"

    def live(self, plan: PlanFile, what: str, on: str | None) -> None:
        """Keep the plan of the week that runs, after a change, beside the file.

        Parameters
        ----------
        plan
            The changed plan.
        what
            What went otherwise, as a cook says it.
        on
            As of `change`.

        Raises
        ------
        InputError
            When it cannot be kept, or the week is not what the cook saw; nothing has changed then.
        """
        with self.lock:
            self.see(on)
            before = self.plan
            if not isinstance(before, PlanFile):
                raise InputError(self.file.name, "there is no plan yet", "Wait until there is one.")
            path, at = self.file.held.path, max(1, len(self.lived))
            if not self.lived:
                lived.keep_first(path, before)
            self.file.keep(lived.beside(path, plan, at), lived.saved(plan), what)
            self._anew()

    def _anew(self) -> None:
        """Drop what is looked for: it is of a week that was another."""
        self._lived = None
        self.worker.forget()

    # -- what is asked -----------------------------------------------------------------

    def ask(
        self, question: Key, work: Callable[[Week], AnswerPart], *, first: bool = False
    ) -> AnswerPart | Failed | None:
        """Give the answer to a question about the week as it is, or have it looked for.

        Parameters
        ----------
        question
            What tells it from others.
        work
            What answers it, of the week.
        first
            Whether it goes before what else is wanted.

        Returns
        -------
        AnswerPart | Failed | None
            None while it is looked for, and where the file has faults.
        """
        week = self.week
        if week is None:
            return None
        return self.worker.ask((self.digest, *question), lambda: work(week), first=first)

    @property
    def plan(self) -> PlanFile | Failed | None:
        """The plan of the week as it is; None while it is looked for."""
        if self.lived:
            return self._note(self.lived[-1])
        answer = self.ask(("plan",), lambda week: asked.plan(week, reasons=False), first=True)
        if isinstance(answer, PlanFile):
            return self._note(answer)
        return answer if isinstance(answer, Failed) else None

    @property
    def before(self) -> PlanFile | None:
        """The plan that was shown before the last change; None where there was none."""
        with self.lock:
            now = self._shown is not None and self._shown[0] == self.digest
            return self._shown_before if now or self._shown is None else self._shown[1]

    def marked(self, at: str) -> PlanFile | None:
        """Give the plan from which what is shown differs, until another screen is looked at.

        Parameters
        ----------
        at
            The path of the screen.

        Returns
        -------
        PlanFile or None
            None where nothing is to be marked, and where there were no lunches before.
        """
        with self.lock:
            if self._marked_at is None:
                self._marked_at = at
            elif self._marked_at != at:
                self._shown_before = None
            before = self.before
            return before if before is not None and before.is_planned else None

    def _note(self, plan: PlanFile) -> PlanFile:
        """Keep which plan was shown before the one that is shown now."""
        with self.lock:
            digest = self.digest
            if self._shown is None or self._shown[0] != digest:
                self._shown_before = None if self._shown is None else self._shown[1]
                self._marked_at = None
            self._shown = digest, plan
            return plan

    # -- what is changed ---------------------------------------------------------------

    def change(
        self, edits: Iterable[tuple[Path, NewValue]], what: str, on: str | None = None
    ) -> None:
        """Change the week file in some places, if what comes of it is a week.

        Parameters
        ----------
        edits
            Keys that lead to a place, and what is to stand there.
        what
            What the change is, as a cook says it.
        on
            The digest of the text that the cook saw; None where that does not matter.

        Raises
        ------
        InputError
            When the text would have a fault, or is not what the cook saw; nothing was written then.
        """
        with self.lock:
            try:
                text = edited(self.file.text, edits)
            except KeyError as place:
                told = f"{place} cannot be changed from here: it is written elsewhere in the file"
                raise InputError(self.file.name, told, "Change it in the file.") from None
            self.write(text, what, on)

    def write(self, text: str, what: str, on: str | None = None) -> None:
        """Write another text of the week file, if it is a week.

        Parameters
        ----------
        text
            All of it.
        what
            What the change is, as a cook says it.
        on
            As of `change`.

        Raises
        ------
        InputError
            As of `change`.
        """
        with self.lock:
            self.see(on)
            if text != self.file.text:
                week, faults = self._judged(text)
                if week is None:
                    faults[0].also = tuple(faults[1:])
                    raise faults[0]
                self.file.write(text, what)
                self._read = (self.file.digest, week, [])
                self._anew()

    def undo(self, on: str | None = None) -> None:
        """Undo the last change.

        Parameters
        ----------
        on
            As of `change`.

        Raises
        ------
        InputError
            When something else was written meanwhile.
        """
        self._step(on, self.file.undo)

    def redo(self, on: str | None = None) -> None:
        """Do again what was undone last.

        Parameters
        ----------
        on
            As of `change`.

        Raises
        ------
        InputError
            When something else was written meanwhile.
        """
        self._step(on, self.file.redo)

    def _step(self, on: str | None, step: Callable[[], None]) -> None:
        with self.lock:
            self.see(on)
            step()
            self._anew()

    def take(self) -> None:
        """Take what something else wrote into the file."""
        with self.lock:
            self.file.take()
            self._anew()

    def see(self, on: str | None) -> None:
        """Refuse where the cook saw another week, or another text stands on disk.

        Parameters
        ----------
        on
            As of `change`.

        Raises
        ------
        InputError
            In that case.
        """
        if (on is not None and on != self.digest) or self.file.otherwise:
            raise InputError(self.file.name, OUTDATED, LOOK)

    def close(self) -> None:
        """End all that is looked for."""
        self.closing = True
        self.worker.close()
