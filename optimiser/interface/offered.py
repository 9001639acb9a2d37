"""What the package offers besides its functions: classes imported late, and the plain lists.

A module class of its own, for two functions in the package would stand in its help.
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import Any

from optimiser.interface.lists import listed
from optimiser.sheets.lists import names

CLASSES = {
    "InputError": ("models.words.errors", "InputError"),
    "NoPlanError": ("optimiser.interface.given", "NoPlanError"),
    "Plan": ("models.answers.plan", "PlanFile"),
    "Week": ("models.week.week", "Week"),
}
"""Where they are: importing them takes longer than a light question needs."""


class Offered(ModuleType):
    """A package that makes what it offers when it is asked for."""

    def __getattr__(self, name: str) -> Any:
        """Import a class, or make the function of a list."""
        if name in names():
            return listed(name)
        if name not in CLASSES:
            raise AttributeError(f"module {self.__name__!r} has no attribute {name!r}")
        module, there = CLASSES[name]
        return getattr(import_module(module), there)

    def __dir__(self) -> list[str]:
        """Name all there is, the lists too."""
        return sorted({*super().__dir__(), *names()})
