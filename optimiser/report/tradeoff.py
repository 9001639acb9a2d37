"""Compromises between two priorities, as a cook reads them."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.tradeoff import Point, TradeOffFile
from optimiser.priorities import PRIORITIES
from optimiser.report.chart import Points, drawn, svg
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, rendered, words
from optimiser.report.phrases import COST, NO_PRICES, cut_short


def text(answer: TradeOffFile, *, colour: bool = False, width: int = 80, chart: bool = True) -> str:
    """Write every best compromise between two priorities.

    Parameters
    ----------
    answer
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.
    chart
        Whether to draw a chart, where there is one.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: a row a compromise, then what is proven, then
        the chart.

    Examples
    --------
    >>> from optimiser import trade_off
    >>> print(text(trade_off("minimal", "cost", "minutes")).splitlines()[0])
    Minimal week  cost against packing time
    """
    first, other = PRIORITIES[answer.first].title, PRIORITIES[answer.second].title
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), f"  {first} against {other}"),
        "",
    ]
    if not answer.points:
        none = answer.status == "infeasible"
        parts.append(Text("No plan is possible." if none else "None was found in time."))
        return rendered(parts, colour=colour, width=width)
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for priority in (answer.first, answer.second):
        table.add_column(PRIORITIES[priority].heading(), justify="right")
    table.add_column("dishes")
    for point in answer.points:
        mark = " (the plan)" if point.plan else ""
        table.add_row(*_numbers(answer, point), Text(f"{'; '.join(point.dishes)}{mark}"))
    parts += [Columns(table), "", *_about(answer)]
    if chart and len(answer.points) > 1:
        across, up = _headings(answer)
        parts += ["", Text(drawn(_points(answer), across=across, up=up, width=width))]
    return rendered(parts, colour=colour, width=width)


def _numbers(answer: TradeOffFile, point: Point) -> Iterator[Text]:
    for name, value in ((answer.first, point.first), (answer.second, point.second)):
        proof = "" if point.proven else "?"
        yield Text(f"{PRIORITIES[name].number(value, answer.currency)}{proof}")


def _about(answer: TradeOffFile) -> Iterator[RenderableType]:
    if answer.no_prices and COST in (answer.first, answer.second):
        yield Text(f"{NO_PRICES.capitalize()}: a cost of 0.00 says nothing.")
        return
    if len(answer.points) == 1 and not answer.cut:
        yield Text("One week is the best in both.")
    elif all(point.proven for point in answer.points):
        yield Text("Each is proven: less of one of the two is more of the other.")
    if answer.plan is not None and not any(point.plan for point in answer.points):
        first = PRIORITIES[answer.first].number(answer.plan[0], answer.currency)
        other = PRIORITIES[answer.second].number(answer.plan[1], answer.currency)
        yield Text(
            f"The plan has {first} and {other}: it is none of these, for other priorities come "
            "before these two."
        )
    if answer.cut:
        yield Text("There are more: --most asks for them.")
    if ended := cut_short(answer):
        yield Text(f"{ended}: there may be more.")


def _headings(answer: TradeOffFile) -> tuple[str, str]:
    first, other = PRIORITIES[answer.first], PRIORITIES[answer.second]
    return first.heading(answer.currency), other.heading(answer.currency)


def _points(answer: TradeOffFile) -> Points:
    return [(point.first, point.second) for point in answer.points]


def as_svg(answer: TradeOffFile) -> str:
    """Draw the compromises as SVG.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        An SVG of a fixed width, ended by a line break: a dot a compromise, with no line between.

    Examples
    --------
    >>> from optimiser import trade_off
    >>> drawing = as_svg(trade_off("minimal", "cost", "minutes"))
    >>> ">Minimal week: cost against packing time<" in drawing, drawing.count("<circle")
    (True, 1)
    """
    first, other = PRIORITIES[answer.first].title, PRIORITIES[answer.second].title
    name = answer.name or UNNAMED
    across, up = _headings(answer)
    title = f"{name}: {first} against {other}"
    return svg(_points(answer), title=title, across=across, up=up, joined=False)
