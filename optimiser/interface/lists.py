"""The sheets that are plain lists, as functions: one for each list there is."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from optimiser.interface.given import printed
from optimiser.sheets.lists import about, maker

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart
    from optimiser.interface.given import PlanGiven, Printed

_ABOUT = """{about}

Parameters
----------
plan
    A saved plan, or a week that is planned first.

Returns
-------
AnswerPart
    The list, as `--json` prints it; `render` writes it as text.

Raises
------
InputError
    Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

Examples
--------
>>> {name}("minimal").format
'clearfridge {name} 1'
"""


@cache
def listed(name: str) -> Callable[[PlanGiven | Printed], AnswerPart]:
    """Give the function that makes a list of whatever it is given.

    Parameters
    ----------
    name
        One of `optimiser.sheets.lists.names()`.

    Returns
    -------
    Callable
        It takes a plan or a week, as every kitchen sheet does, and has the name and the manual that
        `help` shows.

    Examples
    --------
    >>> listed("freezer").__name__
    'freezer'
    """

    def ask(plan: PlanGiven | Printed) -> AnswerPart:
        held = printed(plan)
        return maker(name)(held.week, held.packed)

    ask.__name__ = ask.__qualname__ = name
    ask.__module__ = "optimiser"
    ask.__doc__ = _ABOUT.format(about=about(name), name=name)
    return ask
