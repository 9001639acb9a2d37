"""The command `clearfridge`: thin, and importing no more than a command needs.

A file for each command; its name is the command's in every part of the house.
"""

from __future__ import annotations

from importlib import import_module

from optimiser.cli.app import app, main

__all__ = ["app", "main"]

COMMANDS = (
    "plan",
    "why",
    "mend",
    "change",
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
    "check",
    "audit",
    "new",
    "food",
    "schema",
)
"""In the order in which help lists them."""

for _command in COMMANDS:
    import_module(f"optimiser.cli.{_command}")
