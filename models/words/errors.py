"""The one kind of error a user sees: where it is, what is wrong, how to mend it.

Every bad input ends here, so that the command line can print one message and
leave with code 2, and nothing has been written by then.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a user's input.

    Attributes
    ----------
    source
        Name of the file, or "standard input".
    line
        Line in it, counted from 1, where known.
    path
        The keys that lead there, outermost first.
    column
        Column in that line where the key or entry begins, counted from 1, where known.
    """

    source: str
    line: int | None = None
    path: tuple[str | int, ...] = ()
    column: int | None = field(default=None, compare=False, repr=False)

    def __str__(self) -> str:
        """Give the place as a reader would say it."""
        text = self.source
        if self.line is not None:
            text += f", line {self.line}"
            if self.column is not None:
                text += f", column {self.column}"
        if self.path:
            text += f" ({' > '.join(_step(step) for step in self.path)})"
        return text


_LONGEST_STEP = 60
"""Letters of a key, as many as a name may have, that are said of the way to a place."""


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return f"entry {step + 1}"
    return step if len(step) <= _LONGEST_STEP else f"{step[:_LONGEST_STEP]}..."


class InputError(Exception):
    """Something in a user's input that has to be mended by the user.

    Parameters
    ----------
    where
        The place; text where there is no line, as for an option of the command.
    what
        What is wrong there, in words that go on from the place.
    mend
        What to do about it, a whole sentence.

    missing
        The key that is missing at the place, if that is the fault; else empty.
    hangs_on
        The part of a week file that would mend it where the place itself says nothing wrong:
        "guidance", "cups", "days" or a section as "dishes"; else empty.

    Attributes
    ----------
    also
        What else was found to be wrong in the same look.

    Examples
    --------
    >>> print(InputError(Where("week.yaml", 3, ("week",)), "it has no day", "Name one."))
    week.yaml, line 3 (week): it has no day
    Name one.
    """

    def __init__(
        self, where: Where | str, what: str, mend: str, *, missing: str = "", hangs_on: str = ""
    ) -> None:
        self.where = Where(where) if isinstance(where, str) else where
        self.what = what
        self.mend = mend
        self.missing = missing
        self.hangs_on = hangs_on
        self.also: tuple[InputError, ...] = ()
        super().__init__(self.text)

    def __reduce__(self) -> tuple[object, ...]:
        """Travel to another process as it is told here."""
        return type(self), (self.where, self.what, self.mend), vars(self)

    @property
    def text(self) -> str:
        """The whole message on two lines: where and what, then how to mend it."""
        return f"{self.where}: {self.what}\n{self.mend}"


LIKELY, SURE = 0.6, 0.7
"""From this likeness on (difflib's ratio) a known word is suggested; of another first letter only
from the second on: 'pie' is no 'spices'."""


def nearest(word: str, known: Collection[str]) -> str | None:
    """Find the known word that is likely meant by a word nobody knows.

    Parameters
    ----------
    word
        As it is written.
    known
        What could be meant.

    Returns
    -------
    One of the known words as it is spelt there; None where none is near enough.

    Examples
    --------
    >>> nearest("dinne", ["lunch", "dinner"])
    'dinner'
    >>> nearest("pie", ["spices"]) is None
    True
    """
    folded = {item.casefold(): item for item in known}
    close = difflib.get_close_matches(word.casefold(), list(folded), n=1, cutoff=LIKELY)
    likeness = difflib.SequenceMatcher(None, word.casefold(), close[0]).ratio() if close else 0
    if close and (likeness >= SURE or close[0][:1] == word.casefold()[:1]):
        return folded[close[0]]
    return None


def spelt(text: str, known: Collection[str]) -> str | None:
    """Find a known name, small or large letters and wide blanks alike.

    Parameters
    ----------
    text
        As it is typed.
    known
        What could be meant.

    Returns
    -------
    The name as it is spelt there; None where there is none.

    Examples
    --------
    >>> spelt(" Leek  BAKE ", ["pea soup", "leek bake"])
    'leek bake'
    """
    by_fold = {name.casefold(): name for name in known}
    return by_fold.get(" ".join(text.split()).casefold())


def did_you_mean(word: str) -> str:
    """Ask whether a word is meant.

    Parameters
    ----------
    word
        As it is spelt where it is known.

    Returns
    -------
    A sentence, the word quoted.

    Examples
    --------
    >>> did_you_mean("leek")
    "Did you mean 'leek'?"
    """
    return f"Did you mean {word!r}?"


def suggestion(word: str, known: Collection[str]) -> str:
    """Write the end of a message: the known word that is nearest, or all of them.

    Parameters
    ----------
    word
        As it is written.
    known
        What could be meant; of many the first twelve are told.

    Returns
    -------
    A sentence.

    Examples
    --------
    >>> suggestion("dinne", ["lunch", "dinner"])
    "Did you mean 'dinner'?"
    >>> suggestion("x", ["lunch", "dinner"])
    'Known here: dinner, lunch.'
    """
    meant = nearest(word, known)
    if meant is not None:
        return did_you_mean(meant)
    if not known:
        return "There are none here."
    some = ", ".join(sorted(known)[:12])
    return f"Known here: {some}{', ...' if len(known) > 12 else ''}."
