"""A part of the page: where it is, its template, what it shows, and what is done there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from models.file.editing import NewValue, Path

if TYPE_CHECKING:
    from models.words.errors import InputError
    from optimiser.table.sitting import Sitting

Fields = Mapping[str, str]
"""What the address or a form says, by name."""
Data = Mapping[str, Any]
"""What a mapping of the week file holds."""
Edits = list[tuple[Path, NewValue]]
"""Changes of the week file: keys that lead to a place, and what is to stand there."""
Act = Callable[["Sitting", Fields], str | None]
"""Does something, and gives the path to show then, or None for the part with what the form says; it
may be refused by an `InputError`."""


@dataclass(frozen=True, slots=True)
class TakenFile:
    """A file to take along.

    Attributes
    ----------
    name
        What it is called behind the name of the week file.
    kind
        Its media type.
    shown
        Whether it opens, to be printed; else it is saved.
    """

    name: str
    kind: str
    text: str
    shown: bool = False


@dataclass(frozen=True, slots=True)
class PagePart:
    """One part.

    Attributes
    ----------
    path
        Where it is; what stands in braces is a name of what is asked.
    name
        What it is called among the others; empty where it is not among them.
    template
        Its file in `templates/`.
    show
        Gives what the template names.
    fact
        What one wants to know of it before one goes there.
    acts
        What can be done there, by the path that a form is sent to.
    files
        What can be taken along from there, by its path.
    """

    path: str
    name: str
    template: str
    show: Callable[[Sitting, Fields], dict[str, Any]]
    fact: Callable[[Sitting], str] = lambda sitting: ""
    acts: Mapping[str, Act] = field(default_factory=dict)
    files: Mapping[str, Callable[[Sitting, Fields], TakenFile]] = field(default_factory=dict)


def back(asked: Fields) -> str:
    """Give the path that a form came from.

    Parameters
    ----------
    asked
        What it says.

    Returns
    -------
    str
        A path of ours; the week where it says none.

    Examples
    --------
    >>> back({"back": "/volumes"}), back({"back": "//elsewhere.example"}), back({})
    ('/volumes', '/', '/')
    """
    path = asked.get("back", "/")
    ours = path.startswith("/") and not path.startswith("//") and "\\" not in path
    return path if ours else "/"


class Refusals:
    """What was refused, each fault beside the field that it is of, as `check` tells it.

    Parameters
    ----------
    fault
        Why something was refused, with what else was found; None where nothing was.
    form
        The form that was sent; empty where it says nothing of itself, and any field may be meant.
    """

    def __init__(self, fault: InputError | None, form: str = "") -> None:
        self.form = form
        faults = () if fault is None else (fault, *fault.also)
        self.rest = list({each.text: each for each in faults}.values())
        """What stands beside no field."""
        self._any = fault is not None

    def __bool__(self) -> bool:
        """Tell whether anything was refused."""
        return self._any

    def beside(
        self, form: str, title: str, keys: Sequence[str] = (), *, exact: bool = False
    ) -> InputError | None:
        """Give the fault that is of a field, where there is one; it then stands there alone.

        Parameters
        ----------
        form
            The form that the field is in.
        title
            What the field is called.
        keys
            Keys that lead to what it sets.
        exact
            Whether what lies below those keys is of another field.

        Returns
        -------
        InputError or None
            The first that names the field, or a place that those keys lead to.

        Examples
        --------
        >>> from models.words.errors import InputError, Where
        >>> fault = InputError(Where("week.yaml", 3, ("eaters", "Bo", "floors")), "no", "Mend it.")
        >>> refusals = Refusals(fault, "who")
        >>> refusals.beside("who", "First day"), len(refusals.rest)
        (None, 1)
        >>> refusals.beside("who", "Bo", ["Bo", "floors"]) is fault, refusals.rest
        (True, [])
        """
        for fault in self.rest if self.form in ("", form) else ():
            path = [str(step) for step in fault.where.path]
            led = path[-len(keys) :] == list(keys) if exact else set(keys) <= set(path)
            if str(fault.where) == title or (keys and led):
                self.rest.remove(fault)
                return fault
        return None
