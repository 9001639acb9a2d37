"""What-ifs as a cook reads them: a row for each value, then what they come to."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from math import prod

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.whatif import KnobLine, WhatIfFile, WhatIfRow
from models.words.numbers import singular
from optimiser.report.chart import Points, drawn, svg, svg_grid
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, glued, rendered, words
from optimiser.report.phrases import cut_short, money, sourced

WIDEST_GRID = 13
"""Columns of a grid that fit 80 characters."""
MOST_SHAPES = 12


def text(answer: WhatIfFile, *, colour: bool = False, width: int = 80, chart: bool = True) -> str:
    """Write the rows of a what-if, the ranges without waste and a chart.

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
        Lines wrapped at `width`, the last one ended: a row a value, or a grid of two, then ranges
        and what is impossible.

    Examples
    --------
    >>> from optimiser import what_if
    >>> print(text(what_if("minimal", lunches="2..3")).splitlines()[4])
    3 (now)       0 g               2.5 g       1      0 >= 1.38      B
    """
    title = f"  what if: {answer.question}" if answer.question else "  what if"
    parts: list[RenderableType] = [words((answer.name or UNNAMED, "bold"), title), ""]
    if _is_grid(answer):
        parts += list(_grid(answer))
    else:
        parts.append(_table(answer))
    if answer.rows:
        parts += ["", *_ranges(answer)]
    if not _is_grid(answer):
        parts += list(_shapes(answer))
    parts += list(_forbidden(answer))
    points = _left_over(answer)
    if chart and points is not None and len({grams for _, grams in points}) > 1:
        knob = answer.knobs[0]
        chart_text = drawn(points, across=_title(knob), up="left over, g", width=width)
        parts += ["", Text(chart_text)]
    ended = cut_short(answer)
    if ended and len(answer.rows) < prod(len(knob.values) for knob in answer.knobs):
        parts += ["", Text(f"{ended}: the values after these were not planned.")]
    return rendered(parts, colour=colour, width=width)


def _title(knob: KnobLine) -> str:
    return f"{knob.name}, {knob.unit}" if knob.name else knob.unit


def _plain(number: float) -> str:
    return f"{number:.3f}".rstrip("0").rstrip(".")


def _short(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".")


# -- rows ----------------------------------------------------------------------------


def _table(answer: WhatIfFile) -> RenderableType:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
    for knob in answer.knobs:
        table.add_column(_title(knob), justify="right", max_width=16)
    for head in ("left over", "protein above floor", "repeats", "thawed", "cost"):
        table.add_column(head, justify="right")
    table.add_column("dishes", justify="right")
    for row in answer.rows:
        table.add_row(*_cells(answer, row))
    return Columns(table)


def _cells(answer: WhatIfFile, row: WhatIfRow) -> Iterator[RenderableType]:
    for knob, value in zip(answer.knobs, row.values, strict=True):
        now = " (now)" if value == knob.now else ""
        yield Text(glued(f"{_plain(value)}{now}"), style="bold" if now else "")
    if row.left_over is None:
        yield Text("no plan" if row.status == "infeasible" else "not found", style="bold")
        yield from (Text("") for _ in range(5))
        return
    late = "" if row.status == "optimal" else "?"
    yield Text(glued(f"{_short(row.left_over)} g{late}"))
    yield Text("" if row.margin is None else glued(f"{_short(row.margin.grams)} g"))
    yield Text("" if row.repeats is None else _short(row.repeats))
    yield Text("" if row.thawed is None else str(row.thawed))
    least = "" if row.cost_complete else ">= "
    if row.cost is not None and not row.cost and least:
        # Nothing has a price.
        yield Text("?")
    else:
        yield Text("" if row.cost is None else glued(f"{least}{money('', row.cost)}"))
    yield Text(row.shape or "")


# -- grids ---------------------------------------------------------------------------


def _is_grid(answer: WhatIfFile) -> bool:
    return (
        len(answer.knobs) == 2
        and all(len(knob.values) > 1 for knob in answer.knobs)
        and len(answer.knobs[1].values) <= WIDEST_GRID
    )


def _by_values(answer: WhatIfFile) -> dict[tuple[float, ...], WhatIfRow]:
    return {tuple(row.values): row for row in answer.rows}


def _grid(answer: WhatIfFile) -> Iterator[RenderableType]:
    down, across = answer.knobs
    rows = _by_values(answer)
    yield Text(f"grams left over; down: {_title(down)}; across: {_title(across)}")
    yield ""
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
    table.add_column("", justify="right", style="dim")
    for value in across.values:
        table.add_column(_plain(value), justify="right", min_width=4)
    for at in down.values:
        cells = [rows.get((at, other)) for other in across.values]
        table.add_row(_plain(at), *(_grid_cell(cell) for cell in cells))
    yield Columns(table, split=True)


def _grid_cell(row: WhatIfRow | None) -> Text:
    if row is None:
        return Text("")
    if row.left_over is None:
        return Text("no" if row.status == "infeasible" else "?")
    return Text(f"{row.left_over:.0f}", style="bold" if not row.left_over else "")


# -- what they come to -----------------------------------------------------------------


def _ranges(answer: WhatIfFile) -> Iterator[RenderableType]:
    """Say for which values a week without waste exists."""
    if len(answer.knobs) == 1:
        yield Text(_range_line(answer.rows, answer.knobs[0]))
    elif _is_grid(answer):
        yield from _grid_ranges(answer)
    else:
        number = sum(bool(row.none_left) for row in answer.rows)
        yield Text(f"Nothing left over: with {number} of {len(answer.rows)} of these.")
    open_ = sum(row.none_left is None for row in answer.rows)
    if open_:
        yield Text(f"For {open_} of them it stayed open within the time limit.")


def _range_line(rows: Sequence[WhatIfRow], knob: KnobLine) -> str:
    good = runs((row.values[0], bool(row.none_left)) for row in rows)
    if not good:
        return "Nothing left over: with none of these."
    return f"Nothing left over: with {_spans(good, knob)}{_tried(knob)}."


def _spans(good: Sequence[tuple[float, float]], knob: KnobLine) -> str:
    """Say runs of values of a knob: "1 portion of stew", "4 to 6 and 8 portions of stew"."""
    values = " and ".join(
        _plain(low) if low == high else f"{_plain(low)} to {_plain(high)}" for low, high in good
    )
    unit = singular(knob.unit) if {*good} == {(1, 1)} else knob.unit
    return f"{values} {unit} of {knob.name}" if knob.kind == "yield" else f"{values} {unit}"


def _grid_ranges(answer: WhatIfFile) -> Iterator[RenderableType]:
    """Say which values go together without waste; neighbours that are alike in one line."""
    down, across = answer.knobs
    rows = _by_values(answer)
    alike: list[tuple[list[float], list[tuple[float, float]]]] = []
    for value in sorted(down.values):
        mine = [(x, bool(rows[value, x].none_left)) for x in across.values if (value, x) in rows]
        good = runs(mine)
        if alike and alike[-1][1] == good:
            alike[-1][0].append(value)
        else:
            alike.append(([value], good))
    if not any(good for _, good in alike):
        yield Text("Nothing left over: with none of these.")
        return
    yield Text(f"Nothing left over{_tried(down, across)}:", style="bold")
    for values, good in alike:
        if good:
            first = _spans([(values[0], values[-1])], down)
            yield Text(f"{first} with {_spans(good, across)}")


def _tried(*knobs: KnobLine) -> str:
    """Say where not every value between the ends was tried."""
    return "" if all(map(_each_step, knobs)) else " (of the values tried)"


def _each_step(knob: KnobLine) -> bool:
    """Tell whether every whole value between the ends was tried."""
    if knob.kind == "floor":
        return False
    return len(knob.values) == max(knob.values) - min(knob.values) + 1


def runs(values: Iterable[tuple[float, bool]]) -> list[tuple[float, float]]:
    """Join neighbours that hold into runs, the smallest first: (first, last) of each.

    Parameters
    ----------
    values
        Numbers, each with whether it holds.

    Returns
    -------
    list of tuple of float and float
        Both ends belong to it; a number alone is both.

    Examples
    --------
    >>> runs([(8, True), (9, True), (10, False), (11, True)])
    [(8, 9), (11, 11)]
    """
    ranges: list[tuple[float, float]] = []
    before = False
    for value, holds in sorted(values):
        if holds:
            ranges[-1:] = [(ranges[-1][0], value)] if before else [*ranges[-1:], (value, value)]
        before = holds
    return ranges


def _shapes(answer: WhatIfFile) -> Iterator[RenderableType]:
    if not answer.shapes:
        return
    yield ""
    yield Text("The dishes, and where they change", style="bold")
    for shape in answer.shapes[:MOST_SHAPES]:
        dishes = "; ".join(shape.dishes)
        if len(answer.knobs) == 1:
            rows = ((row.values[0], row.shape == shape.letter) for row in answer.rows)
            where = ", ".join(
                _plain(low) if low == high else f"{_plain(low)} to {_plain(high)}"
                for low, high in runs(rows)
            )
            dishes = f"{dishes}  ({where})"
        yield beside(shape.letter, Text(dishes), width=3)
    if len(answer.shapes) > MOST_SHAPES:
        yield Text(f"and {len(answer.shapes) - MOST_SHAPES} more: --json has them all.")


def _forbidden(answer: WhatIfFile) -> Iterator[RenderableType]:
    """Say once for each set of rules which values it forbids."""
    sets: dict[tuple[str, ...], list[WhatIfRow]] = {}
    for row in answer.rows:
        if row.status == "infeasible":
            sets.setdefault(tuple(rule.key for rule in row.conflict), []).append(row)
    for rows in sets.values():
        yield ""
        between = "; " if len(answer.knobs) > 1 else ", "
        values = between.join(
            ", ".join(_plain(value) for value in row.values) for row in rows[:MOST_SHAPES]
        )
        more = f" and {len(rows) - MOST_SHAPES} more" if len(rows) > MOST_SHAPES else ""
        if not rows[0].conflict:
            yield Text(f"No plan with {values}{more}.")
            continue
        alone = len(rows[0].conflict) == 1
        cannot = "this cannot be kept" if alone else "these cannot all be kept"
        yield Text(f"No plan with {values}{more}, since {cannot}:")
        alike = zip(*(map(sourced, row.conflict) for row in rows), strict=True)
        yield Group(*(beside("-", Text(_together(sentences)), width=1) for sentences in alike))


def _together(sentences: Sequence[str]) -> str:
    """Say a rule that is turned once for all its values: "there are 2 to 5 portions"."""
    split_up = [sentence.split(" ") for sentence in dict.fromkeys(sentences)]
    if len(split_up) == 1:
        return sentences[0]
    if len({len(split) for split in split_up}) == 1:
        columns = [_many(dict.fromkeys(column)) for column in zip(*split_up, strict=True)]
        if sum(len(column) > 1 for column in columns) == 1:
            return " ".join(_ends(column) for column in columns)
    return f"{sentences[0]}, and so on"


def _many(column: Collection[str]) -> list[str]:
    """Take the plural where words differ in nothing but their number: is and are, day and days."""
    words = [*column]
    plurals = [word for word in words if word == "are" or word[:-1] in words]
    return plurals if len(words) == 2 and plurals else words


def _ends(column: Sequence[str]) -> str:
    if len(column) == 1:
        return column[0]
    return f"{column[0]} {'or' if len(column) == 2 else 'to'} {column[-1]}"


# -- charts ----------------------------------------------------------------------------


def _left_over(answer: WhatIfFile) -> Points | None:
    if len(answer.knobs) != 1:
        return None
    points = [(row.values[0], row.left_over) for row in answer.rows if row.left_over is not None]
    return sorted(points) or None


def as_svg(answer: WhatIfFile) -> str | None:
    """Draw a what-if as SVG; None where there is nothing to draw.

    One thing turned gives a line, two a grid of dots that are larger where more is left over.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str or None
        An SVG of a fixed width, ended by a line break; None where no week was planned, or more
        than two things are turned.

    Examples
    --------
    >>> from optimiser import what_if
    >>> drawing = as_svg(what_if("minimal", lunches="2..3"))
    >>> drawing[:4], drawing.count("<circle")
    ('<svg', 3)
    """
    if not any(row.left_over is not None for row in answer.rows):
        return None
    title = answer.question or f"{answer.name or UNNAMED}: what if"
    points = _left_over(answer)
    if points is not None:
        knob = answer.knobs[0]
        return svg(points, title=title, across=_title(knob), up="left over, g", now=knob.now)
    if len(answer.knobs) != 2:
        return None
    down, across_ = answer.knobs
    rows = _by_values(answer)
    values = [
        [None if (row := rows.get((value, x))) is None else row.left_over for x in across_.values]
        for value in down.values
    ]
    return svg_grid(
        [_plain(value) for value in down.values],
        [_plain(value) for value in across_.values],
        values,
        title=f"{title}: left over",
        across=_title(across_),
        up=_title(down),
        note=_note(values),
    )


def _note(values: Sequence[Sequence[float | None]]) -> str:
    amounts = [amount for row in values for amount in row]
    ring = " Ring: nothing left over." if 0 in amounts else ""
    blank = " Blank: no plan is possible." if None in amounts else ""
    return f"Large dot: much left over.{ring}{blank}"
