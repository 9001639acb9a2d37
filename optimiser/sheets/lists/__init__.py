"""Sheets that are plain lists: each is a module here with a function of its name.

That, its answer in `models.answers` and its columns in `optimiser.report`, under the same name, is
all that a list needs: the command line, the Python interface and the page find it by itself.
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart
    from models.week.packed import PackedWeek
    from models.week.week import Week

    Maker = Callable[[Week, PackedWeek], AnswerPart]


def names() -> tuple[str, ...]:
    """Name the lists there are.

    Returns
    -------
    tuple[str, ...]
        In the order of the alphabet.

    Examples
    --------
    >>> "freezer" in names()
    True
    """
    return tuple(sorted(module.name for module in iter_modules(__path__)))


def maker(name: str) -> Maker:
    """Give the function that makes a list of a week and its plan.

    Parameters
    ----------
    name
        One of `names()`.

    Returns
    -------
    Callable
        It takes a week and what is packed of it, and gives the answer of that list.

    Examples
    --------
    >>> maker("freezer").__name__
    'freezer'
    """
    return cast("Maker", getattr(import_module(f"{__name__}.{name}"), name))


def about(name: str) -> str:
    """Say in a sentence or two what a list is, without importing what makes it.

    Help lists all commands, and must not wait for what only one of them needs.

    Parameters
    ----------
    name
        One of `names()`.

    Returns
    -------
    str
        The first paragraph of the docstring, in one line.

    Examples
    --------
    >>> about("freezer").partition(":")[0]
    'List what is in the freezer'
    """
    source = Path(__file__).with_name(f"{name}.py").read_text(encoding="utf-8")
    made = (node for node in ast.parse(source).body if isinstance(node, ast.FunctionDef))
    docstring = ast.get_docstring(next(node for node in made if node.name == name)) or ""
    return " ".join(docstring.partition("\n\n")[0].split())
