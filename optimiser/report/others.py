"""Other weeks side by side, as a cook reads them."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.others import OthersFile, OtherWeek
from models.words.days import day_name
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.phrases import cut_short

WIDEST = 3
"""Weeks that stand side by side in 80 columns."""
SAME = "same"


def text(answer: OthersFile, *, colour: bool = False, width: int = 80) -> str:
    """Write other weeks, with what changes day by day.

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
        Lines wrapped at `width`, the last one ended: tables of `WIDEST` weeks at most, then how
        they differ in value.

    Examples
    --------
    >>> from optimiser import others
    >>> print(text(others("minimal", 1)).splitlines()[2])
    All are as good as the plan in left over and repeats of a dish.
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), "  other good weeks"),
        "",
    ]
    if not answer.weeks:
        no_time = answer.status == "unknown"
        parts.append(Text("No plan was found in time." if no_time else "No plan is possible."))
        return rendered(parts, colour=colour, width=width)
    equal = " and ".join(PRIORITIES[name].title for name in answer.equal)
    parts.append(Text(f"All are as good as the plan in {equal}." if equal else "Any that may be."))
    several = len({lunch.eater for lunch in answer.weeks[0].lunches}) > 1
    for at in range(0, len(answer.weeks), WIDEST):
        parts += ["", _side_by_side(answer.weeks[at : at + WIDEST], several=several)]
    parts += ["", *_values(answer), "", *_ending(answer)]
    return rendered(parts, colour=colour, width=width)


def _side_by_side(weeks: list[OtherWeek], *, several: bool) -> RenderableType:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    table.add_column("", style="dim")
    for week in weeks:
        table.add_column(_head(week))
    for at, lunch in enumerate(weeks[0].lunches):
        label = f"{lunch.date:%a}, {lunch.eater}" if several else day_name(lunch.date)
        table.add_row(Text(label), *(_cell(week, at) for week in weeks))
    return Columns(table, split=True)


def _head(week: OtherWeek) -> str:
    if not week.number:
        return "the plan"
    differ = "lunch differs" if week.differs == 1 else "lunches differ"
    return f"week {week.number}: {week.differs} {differ}"


def _cell(week: OtherWeek, at: int) -> Text:
    lunch = week.lunches[at]
    if week.number and lunch.same:
        return Text(SAME, style="dim")
    return Text(lunch.dish)


def _values(answer: OthersFile) -> Iterator[RenderableType]:
    """Say what each week reaches where they are not alike."""
    for name in answer.weeks[0].values:
        if name == TIE_BREAK or len({week.values[name] for week in answer.weeks}) == 1:
            continue
        reached = [_value(answer.currency, name, week.values[name]) for week in answer.weeks]
        by_week = ", ".join(f"{at or 'plan'}: {value}" for at, value in enumerate(reached))
        yield beside(PRIORITIES[name].title, Text(by_week), width=20)


def _value(currency: str, name: str, value: float) -> str:
    return PRIORITIES[name].number(value, currency)


def _ending(answer: OthersFile) -> Iterator[RenderableType]:
    if len(answer.weeks) == 1:
        yield Text("No other week is as good in these. Ask for fewer: --equal 1.")
    elif answer.exhausted:
        yield Text("There are no more: every other week is one of these, day for day.")
    if any(not week.proven for week in answer.weeks):
        yield Text("Not all are proven to be as different as can be: a limit struck.")
    if ended := cut_short(answer):
        yield Text(f"{ended}: there may be more.")
