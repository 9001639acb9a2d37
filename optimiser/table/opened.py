"""The week file that is open: read, changed as a whole, and never written over unseen.

A digest of what stands on disk decides. Where something else wrote there, nothing is written until
that other text was looked at and taken.
"""

from __future__ import annotations

import difflib
import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from models.words.errors import InputError
from models.words.text import read_text
from optimiser.interface.whole import Target, new_file, target, write_whole

MOST_STEPS = 200
"""Changes that can be undone."""
CANNOT = "a week cannot be kept there"
CANNOT_KEEP = "the plan cannot be kept there"
_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class TextStep:
    """A text that the file had, and what was done then, as a cook says it.

    Attributes
    ----------
    kept
        A file that was written beside it instead, and what it says; the text stayed as it was.
    """

    text: str
    what: str
    kept: tuple[Path, str] | None = None


@dataclass(slots=True)
class OpenFile:
    """The file, its text as it was last read or written here, and the steps to and fro.

    Attributes
    ----------
    held
        Where it is, and what stood there last.
    text
        What it says, without a byte order mark; empty where there is no file yet.
    past, undone
        What undo and redo lead to, the nearest last.
    """

    held: Target
    text: str
    past: list[TextStep] = field(default_factory=list)
    undone: list[TextStep] = field(default_factory=list)
    _mark: str = ""

    @property
    def name(self) -> str:
        """The name of the file, without its folder."""
        return self.held.path.name

    @property
    def digest(self) -> str:
        """Digest of the text: what answers and forms are of."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:16]

    @property
    def otherwise(self) -> bool:
        """Whether something else stands on disk than was read or written here."""
        return self._there().was != self.held.was

    def _there(self) -> Target:
        with _here():
            there = target(Path(self.held.name), CANNOT)
        if there.path != self.held.path:
            # A link that was laid meanwhile: what it leads to was never opened.
            what = "it leads to another file than the one that was opened"
            raise InputError(there.name, what, "Put the file back, or open the other.")
        return there

    def changed_lines(self, most: int = 30) -> list[str]:
        """Give the lines in which the file on disk differs, each after + or -.

        Parameters
        ----------
        most
            How many at the most.

        Returns
        -------
        list of str
            Those that went and those that came, in the order of the file.
        """
        other = "" if not self._there().there else read_text(self.held.name)[1]
        lines = difflib.unified_diff(self.text.splitlines(), other.splitlines(), n=0, lineterm="")
        kept = [line for line in lines if not line.startswith(("---", "+++", "@@"))]
        return [*kept[:most], "…"] if len(kept) > most else kept

    def take(self) -> None:
        """Read what stands on disk now, as a change that can be undone."""
        there = self._there()
        text, mark = _read(there)
        if text != self.text:
            self.past.append(TextStep(self.text, "the change from elsewhere"))
            self.undone.clear()
        self.held, self.text, self._mark = there, text, mark

    def write(self, text: str, what: str) -> None:
        """Write another text whole, as a change that can be undone.

        Parameters
        ----------
        text
            All of it.
        what
            What the change is, as a cook says it.

        Raises
        ------
        InputError
            When something else stands on disk, or it cannot be written; nothing has changed then.
        """
        was = self.text
        self._write(text)
        self.past = [*self.past, TextStep(was, what)][-MOST_STEPS:]
        self.undone.clear()

    def keep(self, path: Path, text: str, what: str) -> None:
        """Write a file beside this one, as a change that can be undone.

        Parameters
        ----------
        path
            Where; nothing stands there yet.
        text
            All of it.
        what
            As of `write`.

        Raises
        ------
        InputError
            When something stands there, or it cannot be written.
        """
        keep_beside(path, text)
        self.past = [*self.past, TextStep(self.text, what, (path, text))][-MOST_STEPS:]
        self.undone.clear()

    def undo(self) -> None:
        """Write what stood there before the last change; nothing where there is none."""
        self._step(self.past, self.undone)

    def redo(self) -> None:
        """Write again what was undone last; nothing where there is none."""
        self._step(self.undone, self.past)

    def _step(self, source: list[TextStep], goal: list[TextStep]) -> None:
        if source:
            step, was = source[-1], self.text
            if step.kept is None:
                self._write(step.text)
            elif source is self.undone:
                keep_beside(*step.kept)
            else:
                _take_away(*step.kept)
            source.pop()
            goal.append(TextStep(was, step.what, step.kept))

    def _write(self, text: str) -> None:
        with _here():
            write_whole(self.held, self._mark + text)
        self.held, self.text = self._there(), text


def opened(file: str) -> OpenFile:
    """Open a week file, or the place of one that is not there yet.

    Parameters
    ----------
    file
        Its path.

    Returns
    -------
    OpenFile
        With its text, whatever stands in it; empty where there is no file yet.

    Raises
    ------
    InputError
        When it is no file that can be read and written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     week = opened(f"{folder}/week.yaml")
    ...     week.write("week: {}", "a start")
    ...     week.name, Path(folder, "week.yaml").read_text(), week.past[0].text
    ('week.yaml', 'week: {}', '')
    """
    held = target(Path(file), CANNOT)
    text, mark = _read(held)
    return OpenFile(held, text, _mark=mark)


def keep_beside(path: Path, text: str) -> None:
    """Write a file where nothing stands yet.

    Parameters
    ----------
    path
        Where.
    text
        All of it.

    Raises
    ------
    InputError
        When something stands there, or it cannot be written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     keep_beside(Path(folder, "plan.json"), "{}")
    ...     try:
    ...         keep_beside(Path(folder, "plan.json"), "[]")
    ...     except InputError as fault:
    ...         print(fault.what)
    it is there already
    """
    with _here():
        write_whole(new_file(path, CANNOT_KEEP, else_="Move it away"), text)


@contextmanager
def _here() -> Iterator[None]:
    """Say how to mend it at the table, where no other file can be named."""
    try:
        yield
    except InputError as fault:
        if fault.mend != "Name another file.":
            raise
        closed = "read-only" in fault.what.casefold() or "permission" in fault.what.casefold()
        first = "Make the file and its folder writable" if closed else "Free space on the disk"
        mend = f"{first}, then press again; nothing was written."
        raise InputError(fault.where, fault.what, mend) from None


def _take_away(path: Path, text: str) -> None:
    """Take a file away that was written here, if it still says what was written."""
    if target(path, CANNOT_KEEP).there:
        if path.is_symlink() or path.read_text(encoding="utf-8") != text:
            what = "it was changed since it was written"
            raise InputError(str(path), what, "Move it away; nothing was undone.")
        path.unlink()


def _read(held: Target) -> tuple[str, str]:
    """Read the text, and the byte order mark before it where there is one."""
    if not held.there:
        return "", ""
    text = read_text(held.name)[1]
    marked = held.path.read_bytes()[:3] == _MARK.encode()
    if target(Path(held.name), CANNOT).was != held.was:
        what = "it was changed while it was read"
        raise InputError(held.name, what, "Open it again.")
    return text, _MARK if marked else ""
