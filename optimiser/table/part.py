"""A part of the page: where it is, its template, what it shows, and what is done there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from models.words.errors import InputError
    from optimiser.table.sitting import Sitting

Fields = Mapping[str, str]
"""What the address or a form says, by name."""
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


def refused(fault: InputError) -> dict[str, Any]:
    """Give a fault in the words of `check`.

    Parameters
    ----------
    fault
        Why something was refused.

    Returns
    -------
    dict of str to Any
        Where, what, and how to mend it; `at` has the keys that lead there.

    Examples
    --------
    >>> from models.words.errors import InputError
    >>> refused(InputError("week.yaml", "it is empty", "Write a week into it."))["what"]
    'it is empty'
    """
    keys = str(fault.where).partition("(")[2].rstrip(")").split(" > ")
    return {"where": str(fault.where), "what": fault.what, "mend": fault.mend, "at": keys}
