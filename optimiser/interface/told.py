"""Any answer as text."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart


def render(answer: AnswerPart, *, colour: bool = False, width: int = 80, **ways: Any) -> str:
    """Write any answer as the command prints it; the page as HTML, the calendar as iCalendar.

    Parameters
    ----------
    answer
        What a question to a week or a kitchen sheet gave.
    colour
        Whether with the escape sequences that colour a terminal.
    width
        Columns of a line, where lines are broken.
    ways
        What else the report knows, as `chart=False` for the prep day.

    Returns
    -------
    str
        Lines that end with a line break; no escape sequence in them unless `colour`.

    Examples
    --------
    >>> from optimiser import check, read_week
    >>> read_week("demo").name in render(check("demo"))
    True
    """
    # The report of an answer has its name.
    stem = type(answer).__module__.rpartition(".")[2]
    report = import_module(f"optimiser.report.{stem}")
    if hasattr(report, "listing"):
        report = import_module("optimiser.report.listing")
    return cast(str, report.text(answer, colour=colour, width=width, **ways))
