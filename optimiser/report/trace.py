"""One figure as it adds up, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.trace import TraceFile, TraceLine
from models.words.numbers import counted, plain
from models.words.nutrients import NUTRIENTS
from optimiser.report.columns import Columns
from optimiser.report.console import beside, rendered, words


def text(trace: TraceFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the sum, line by line.

    Parameters
    ----------
    trace
        The figure, line by line.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: a row a line of the recipe, then the sum; of
        a stated figure, its source.

    Examples
    --------
    >>> from optimiser import trace
    >>> print(text(trace("minimal", "rice and beans")).splitlines()[0])
    rice and beans  protein
    """
    name = NUTRIENTS[trace.nutrient].name
    parts: list[RenderableType] = [words((trace.name, "bold"), f"  {name}"), ""]
    if not trace.lines or trace.stated:
        parts.append(Text(_amount(trace)))
        if trace.amount is not None:
            parts.append(Text(f"stated in the week file, source: {trace.source}"))
    else:
        parts += [_lines(trace), "", *_sum(trace)]
    return rendered(parts, colour=colour, width=width)


def _lines(trace: TraceFile) -> Columns:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
    table.add_column("ingredient")
    table.add_column("food, source and number")
    table.add_column("g", justify="right")
    table.add_column(f"{trace.unit}/100 g", justify="right")
    table.add_column(trace.unit, justify="right")
    for line in trace.lines:
        table.add_row(
            Text(_written(line)),
            Text(f"{line.food} [{line.source}]"),
            plain(line.grams, 1),
            "not known" if line.per_100_g is None else plain(line.per_100_g, 2),
            "" if line.amount is None else plain(line.amount, 2),
        )
    return Columns(table)


def _written(line: TraceLine) -> str:
    return f"{line.line} ({line.how})" if line.how else line.line


def _sum(trace: TraceFile) -> Iterator[RenderableType]:
    if trace.total is None or trace.mass is None:
        yield Text(f"No ingredient gives its {NUTRIENTS[trace.nutrient].name}.")
        return
    least = "" if trace.total_complete else "at least "
    total = f"{least}{plain(trace.total, 2)} {trace.unit} in {plain(trace.mass)} g"
    yield beside("sum", Text(total))
    yield beside("so", Text(_end(trace)))
    if trace.portions is not None:
        yield beside("mass", Text(f"{counted(trace.portions, trace.word)}: {trace.portion}"))


def _end(trace: TraceFile) -> str:
    """Say what the sum comes to, and how."""
    if trace.kind == "batch":
        return f"{_amount(trace)}, the batch divided by {trace.portions}"
    if trace.kind == "food":
        return _amount(trace)
    return f"{_amount(trace)}, of a pack of {trace.pack}"


def _amount(trace: TraceFile) -> str:
    if trace.amount is None:
        return f"{NUTRIENTS[trace.nutrient].name}: not known"
    least = "" if trace.complete else "at least "
    every = "one " if trace.kind == "batch" else ""
    return f"{least}{plain(trace.amount, 3)} {trace.unit} in {every}{trace.word}"
