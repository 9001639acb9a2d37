"""The command `clearfridge`: thin, and importing no more than a command needs.

A file for each command; its name is the command's in every part of the house.
"""

from __future__ import annotations

from importlib import import_module

from optimiser.cli.app import app, main
from optimiser.sheets.lists import names

__all__ = ["app", "main"]

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
    "food",
    "schema",
)
COMMANDS = (*_FIRST, *names(), *_LAST)
"""In the order in which help lists them; those of the plain lists find themselves."""

for _command in (*_FIRST, "lists", *_LAST):
    import_module(f"optimiser.cli.{_command}")
