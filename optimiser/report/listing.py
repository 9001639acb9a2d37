"""Plain lists as text, as a sheet to print and as a part of the page, all of the same columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, rendered, words
from optimiser.report.template import filled

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart


GAP = 2
"""Blanks between columns of text."""


@dataclass(frozen=True, slots=True)
class Listing:
    """A list as it is shown.

    Attributes
    ----------
    title
        What it is a list of.
    name
        Of the week.
    heads
        The heads of its columns.
    rows
        What stands below each head.
    notes
        Sentences to stand below.
    none
        What is said where there are no rows.
    """

    title: str
    name: str
    heads: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]
    notes: Sequence[str]
    none: str


def listing_of(answer: AnswerPart) -> Listing:
    """Lay an answer out as a list; the report of its name says how.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    Listing
        Its columns, rows and notes, not yet wrapped.

    Raises
    ------
    TypeError
        When the report of that name lays out anything but a list.

    Examples
    --------
    >>> from optimiser import freezer
    >>> listing_of(freezer("minimal")).title
    'in the freezer'
    """
    stem = type(answer).__module__.rpartition(".")[2]
    laid_out = import_module(f"optimiser.report.{stem}").listing(answer)
    if not isinstance(laid_out, Listing):
        raise TypeError(f"{stem} is no list")
    return laid_out


def text(answer: AnswerPart, *, colour: bool = False, width: int = 80) -> str:
    """Write a list as a table.

    Parameters
    ----------
    answer
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended; a sentence where there are no rows.

    Examples
    --------
    >>> from optimiser import freezer
    >>> print(text(freezer("minimal")).splitlines()[-1])
    Nothing is in the freezer.
    """
    listing = listing_of(answer)
    name = listing.name or UNNAMED
    parts: list[RenderableType] = [words((name, "bold"), f"  {listing.title}"), ""]
    if not listing.rows:
        return rendered([*parts, Text(listing.none)], colour=colour, width=width)
    table = Table(box=None, padding=(0, GAP, 0, 0), header_style="dim")
    for head in listing.heads:
        table.add_column(head)
    for row in listing.rows:
        table.add_row(*map(Text, row))
    parts.append(Columns(table))
    parts += ["", *map(Text, listing.notes)] if listing.notes else []
    return rendered(parts, colour=colour, width=width)


def html(answer: AnswerPart) -> str:
    """Write a list as a sheet to print.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        A whole HTML page with its style inside, ended by a line break; it loads nothing.

    Examples
    --------
    >>> from optimiser import freezer
    >>> "Nothing is in the freezer." in html(freezer("minimal"))
    True
    """
    listing = listing_of(answer)
    return filled("listing.html", list=listing, name=listing.name or UNNAMED)
