"""Where the faults of a week file are: findings become messages with the line they are about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from models.file.kitchen import StepFault
from models.foods.facts import Unclear
from models.foods.food import UnknownFood
from models.foods.parts import Contradicted
from models.words.document import Document, Steps
from models.words.errors import InputError, suggestion

_SECTIONS = {
    "batch": "batches",
    "larder item": "larder",
    "choice": "choices",
    "dish": "dishes",
    "eater": "eaters",
    "box": "boxes",
}
"""Where a file says what there is of a kind."""


@dataclass(frozen=True, slots=True)
class Faults:
    """Makes the errors about one document."""

    document: Document

    def at(
        self, path: Steps, what: str, mend: str, *, missing: str = "", hangs_on: str = ""
    ) -> InputError:
        """Make the error about a place in the document.

        Parameters
        ----------
        path
            Keys that lead to the place; the last may be missing there.
        what, mend
            What is wrong there, and what to do about it.
        missing, hangs_on
            As `InputError` has them.

        Returns
        -------
        To be raised; with line and column where the document has them.
        """
        where = self.document.where(path)
        return InputError(where, what, mend, missing=missing, hangs_on=hangs_on)

    def look_up(
        self, name: str, known: Iterable[str], path: Steps, what: str, *, hangs_on: str = ""
    ) -> None:
        """Refuse a name that is not among those known; `what` says what it should name.

        Parameters
        ----------
        name
            The name.
        known
            What there is.
        path
            Keys that lead to the name.
        what
            What it should name, as "larder item".
        hangs_on
            As `InputError` has it; where empty, the section in which such things are named.

        Raises
        ------
        InputError
            When it is not there, with the nearest.
        """
        names = list(known)
        if name not in names:
            why = f"there is no {what} named {name!r}"
            section = hangs_on or _SECTIONS.get(what, "")
            raise self.at(path, why, suggestion(name, names), hangs_on=section)

    @contextmanager
    def placed(self, path: Steps) -> Iterator[None]:
        """Place what is found to be unclear inside, at or below an entry of the document.

        Parameters
        ----------
        path
            Keys that lead to the entry.

        Returns
        -------
        A context for `with` that gives nothing.

        Raises
        ------
        InputError
            When what is read inside is unclear, contradicted, no food or no step.
        """
        try:
            yield
        except Unclear as finding:
            place, hangs_on = (*path, *finding.steps), finding.hangs_on
            raise self.at(place, finding.what, finding.mend, hangs_on=hangs_on) from None
        except StepFault as finding:
            raise self.at((*path, *finding.steps), finding.what, finding.mend) from None
        except Contradicted as finding:
            raise self.at((*path, finding.key), finding.what, finding.mend) from None
        except UnknownFood as finding:
            raise self.at(path, finding.what, finding.mend) from None
