"""The command `clearfridge`: thin, and importing no more than a command needs.

A file for each command; its name is the command's in every part of the house.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from optimiser.cli.app import app, main
from optimiser.sheets.lists import names

if TYPE_CHECKING:
    from typer.models import CommandInfo

__all__ = ["app", "load", "main"]

_FIRST = (
    "plan",
    "why",
    "mend",
    "change",
    "next",
    "whatif",
    "size",
    "others",
    "tradeoff",
    "shop",
    "prep",
    "labels",
    "pack",
    "calendar",
    "page",
    "share",
)
_LAST = (
    "check",
    "audit",
    "new",
    "open",
    "food",
    "schema",
)
COMMANDS = (*_FIRST, *names(), *_LAST)
"""In the order in which help lists them; those of the plain lists find themselves."""

_MODULES = (*_FIRST, "lists", *_LAST)
_SPELT = {"what-if": "whatif", "trade-off": "tradeoff"}


def load(word: str = "") -> None:
    """Import one command, so that none waits for the others; all where the word names none.

    Parameters
    ----------
    word
        As it is typed.

    Examples
    --------
    >>> load("check")
    >>> "check" in {each.callback.__name__ for each in app.registered_commands}
    True
    """
    named = _SPELT.get(word, "" if word in _SPELT.values() else word)
    wanted = [name for name in _MODULES if name == named or (name == "lists" and word in names())]
    for name in wanted or _MODULES:
        import_module(f"optimiser.cli.{name}")
    app.registered_commands.sort(key=_place)


def _place(command: CommandInfo) -> int:
    """Tell where help lists a command, whichever was imported first."""
    return _MODULES.index(getattr(command.callback, "__module__", "").rpartition(".")[2])
