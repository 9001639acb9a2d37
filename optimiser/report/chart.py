"""Charts: plotext draws for a terminal, pygal lays out lines and grids for SVG.

Spans over a day no library draws with a name above each, so those bars are ours. Of pygal only the
geometry is kept: the style is our own, and a drawing holds no script. Every chart stands beside a
table with the same numbers, so nothing is told by a line or a colour alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from optimiser.report.console import rendered
from optimiser.report.template import filled

if TYPE_CHECKING:
    import pygal

Points = Sequence[tuple[float, float]]
"""How far across and how far up, one or more."""

_CODE = re.compile(r"\x1b\[[0-9;]*m")
_LEFT_OUT = re.compile(r"<(desc|script|style)\b.*?</\1>|<!--.*?-->", re.DOTALL)
_TOLD_BY_SCRIPT = re.compile(
    r'<g [^>]*tooltip-overlay">.*(?=</g></svg>)| reactive( tooltip-trigger)?'
)
_NOUGHT = re.compile(r'r="0(\.0)?" class="dot')
_WIDTH = 320
"""Of a drawing, in units: a letter of 12.5 is 14 px high on a phone that is 360 px wide."""
_EDGE = 18
_LETTER = 7.2
"""How wide a letter is, more or less."""
_LETTERS = 40
"""How many fit in a line of a drawing."""


def drawn(line: Points, *, across: str, up: str, width: int = 80, height: int = 14) -> str:
    """Draw points joined by a line for a terminal, without colour.

    Parameters
    ----------
    line
        What to draw.
    across, up
        What the axes say, with the unit.
    width, height
        In characters, all told.

    Returns
    -------
    str
        `height` lines of at most `width` characters, the last one not ended; the names of the axes
        stand in it.

    Examples
    --------
    >>> lines = drawn([(6, 0.0), (7, 200.0)], across="portions", up="g", width=40).splitlines()
    >>> len(lines), lines[-1].split()
    (14, ['g', 'portions'])
    """
    import plotext  # noqa: PLC0415

    plotext.clear_figure()
    # The library would shrink it to the terminal it finds, and a report is as wide anywhere.
    plotext.limit_size(width=False, height=False)
    plotext.theme("clear")
    plotext.plot_size(width, height - 1)
    xs, ys = zip(*line, strict=True)
    plotext.plot(xs, ys, marker="braille")
    plotext.scatter(xs, ys, marker="*")
    everywhere = sorted(set(xs))
    ticks = everywhere[:: max(1, -(-len(everywhere) // 10))]
    plotext.xticks(ticks, [f"{tick:.10g}" for tick in ticks])
    heights = _round_ticks(ys)
    plotext.yticks(heights, [f"{tick:.10g}" for tick in heights])
    lines = [*_CODE.sub("", plotext.build()).splitlines(), _labels(across, up, width)]
    return "\n".join(line.rstrip() for line in lines)


def _labels(across: str, up: str, width: int) -> str:
    """Set the names of the axes below; the library leaves out, or lets stick out, long ones."""
    up = _cut(up, width // 3)
    across = _cut(across, width - cell_len(up) - 2)
    room = max(cell_len(up) + 2, (width - cell_len(across)) // 2)
    return set_cell_size(up, min(room, width - cell_len(across))) + across


def _cut(text: str, most: int) -> str:
    return text if cell_len(text) <= most else set_cell_size(text, most - 1).rstrip() + "…"


def _round_ticks(values: Sequence[float]) -> list[float]:
    """Give about five round numbers from the least value to the largest."""
    low, high = min(values), max(values)
    if low == high:
        return [low]
    ten = 10.0 ** math.floor(math.log10((high - low) / 4))
    step = next(digit * ten for digit in (1, 2, 5, 10) if (high - low) / (digit * ten) <= 5)
    if all(float(value).is_integer() for value in values):
        step = max(step, 1.0)
    first, last = math.ceil(low / step), math.floor(high / step)
    return [round(at * step, 10) for at in range(first, last + 1)]


# -- drawings --------------------------------------------------------------------------


def svg(
    line: Points,
    *,
    title: str,
    across: str,
    up: str,
    joined: bool = True,
    now: float | None = None,
) -> str:
    """Draw points as SVG, joined by a line from nought up unless told otherwise.

    Between whole numbers there is nothing: from one to the next the line goes by a step.

    Parameters
    ----------
    line
        What to draw.
    title, across, up
        What stands above it, below it, and over its left side.
    joined
        Whether there is something between the points. Where there is not, what goes up need not
        begin at nought.
    now
        How far across the point lies that has a ring; None for none.

    Returns
    -------
    str
        An SVG of a fixed width with its style inside, ended by a line break.

    Examples
    --------
    >>> drawing = svg([(6, 0.0), (7, 200.0)], title="Soup", across="portions", up="left over, g")
    >>> drawing[:4], drawing.count("<circle"), ">left over, g<" in drawing
    ('<svg', 2, True)
    """
    import pygal  # noqa: PLC0415

    heights = [y for _, y in line] + [0.0] * joined
    whole = all(float(x).is_integer() for x, _ in line)
    chart = pygal.XY(
        stroke=False,
        x_labels=_apart(sorted({x for x, _ in line})),
        y_labels=_round_ticks(heights),
        value_formatter="{:.10g}".format,
        x_value_formatter=_short,
        **_look(height=180),
    )
    chart.add("", list(line))
    chart.add("", [point for point in line if point[0] == now], dots_size=8)
    if joined:
        chart.add("", _steps(line) if whole else list(line), stroke=True, show_dots=False)
    ring = ["The ring is the plan as it is."] if any(x == now for x, _ in line) else []
    return _framed(title, up, _geometry(chart), [_cut(across, _LETTERS), *ring], height=180)


def _steps(line: Points) -> list[tuple[float, float]]:
    """Go half-way at one height, then at the other."""
    steps = [line[0]]
    for (left, low), (right, high) in pairwise(line):
        steps += [((left + right) / 2, low), ((left + right) / 2, high), (right, high)]
    return steps


def _apart(ticks: Sequence[float]) -> Sequence[float]:
    """Leave out every second, or more, where they would be written over each other."""
    unit = (ticks[-1] - ticks[0]) / (_WIDTH - 4 * _EDGE)
    room = unit * _LETTER * (max(len(_short(tick)) for tick in ticks) + 1)
    thinned = (ticks[::step] for step in range(1, len(ticks) + 1))
    return next(few for few in thinned if all(b - a >= room for a, b in pairwise(few)))


def _short(value: float) -> str:
    return f"{round(value, 2):.10g}"


def svg_grid(
    rows: Sequence[str],
    columns: Sequence[str],
    values: Sequence[Sequence[float | None]],
    *,
    title: str,
    across: str,
    up: str,
    note: str = "",
) -> str:
    """Draw a grid of dots as SVG: the larger the more, a ring for nought, a blank for no value.

    Parameters
    ----------
    rows, columns
        What each row and column is called, from the top and from the left.
    values
        A row each, with a value for each column.
    title, across, up
        What stands above it, below its columns, and over the names of its rows.
    note
        What stands below all.

    Returns
    -------
    str
        An SVG of a fixed width, the higher the more rows, ended by a line break.

    Examples
    --------
    >>> values = [[0.0, 200.0], [None, 400.0]]
    >>> drawing = svg_grid(["6", "7"], ["2", "3"], values, title="Soup", across="bread", up="soup")
    >>> drawing.count("<circle"), drawing.count("dot ring")
    (3, 1)
    """
    import pygal  # noqa: PLC0415

    height = 30 + 24 * len(rows)
    step = -(-len(columns) * (max(map(cell_len, columns)) + 1) // 28)
    chart = pygal.Dot(
        x_labels=["" if at % step else _cut(name, 12) for at, name in enumerate(columns)],
        **_look(height=height),
    )
    for name, amounts in zip(rows, values, strict=True):
        # The eye compares areas, the library draws radii.
        chart.add(_cut(name, 12), [None if x is None else math.sqrt(x) for x in amounts])
    body = _NOUGHT.sub('r="3" class="dot ring', _geometry(chart))
    below = [_cut(across, _LETTERS), *_wrapped(note, _LETTERS)]
    return _framed(title, up, body, below, height=height)


def _look(*, height: int) -> dict[str, object]:
    """Give the library what it must know of our style to leave room for it."""
    from pygal.style import Style  # noqa: PLC0415

    return {
        "width": _WIDTH,
        "height": height,
        "margin": 0,
        "margin_top": 6,
        "margin_right": _EDGE,
        "show_legend": False,
        "dots_size": 3.5,
        "js": [],
        "style": Style(label_font_size=13, no_data_font_size=13),
    }


def _geometry(chart: pygal.Graph) -> str:
    drawing = _TOLD_BY_SCRIPT.sub("", _LEFT_OUT.sub("", chart.render(is_unicode=True)))
    return drawing[drawing.index("<g") : drawing.rindex("</svg>")]


def _framed(title: str, up: str, body: str, below: Sequence[str] = (), *, height: int) -> str:
    """Set what was drawn below its title, in our own style."""
    return filled(
        "chart.svg",
        title=title,
        width=_WIDTH,
        height=height,
        heads=_wrapped(title, _LETTERS - 6),
        up=_cut(up, _LETTERS),
        body=body,
        below=below,
    )


def _wrapped(text: str, width: int) -> list[str]:
    return rendered([Text(text)], width=width).split("\n")[:-1] if text else []


def bars(
    rows: Sequence[tuple[str, float, float, bool]], *, title: str, legend: tuple[str, str]
) -> str:
    """Draw spans of a day as horizontal bars in SVG, each below its name, the first row on top.

    Parameters
    ----------
    rows
        Name, begin and end in hours, and whether it is of the first sort.
    title
        What stands above it.
    legend
        Names of the two sorts.

    Returns
    -------
    str
        An SVG of a fixed width, the higher the more rows, ended by a line break.

    Examples
    --------
    >>> rows = [("Chop", 9.0, 9.5, True), ("Simmer", 9.5, 10.25, False)]
    >>> drawing = bars(rows, title="Prep day", legend=("hands", "by itself"))
    >>> drawing.index(">Chop<") < drawing.index(">Simmer<")
    True
    """
    first = min(begin for _, begin, _, _ in rows)
    span = max(end for _, _, end, _ in rows) - first
    scale = (_WIDTH - 2 * _EDGE) / span

    def at(hours: float) -> float:
        return round(_EDGE + scale * (hours - first), 1)

    step = next(step for step in (0.25, 0.5, 1, 2, 4, 24) if span / step <= 6)
    ticks = [step * at for at in range(math.ceil(first / step), int((first + span) / step) + 1)]
    drawn_rows, y = [], 0
    for name, begin, end, first_sort in rows:
        lines = _wrapped(name, _LETTERS)
        width = max(2.0, round(at(end) - at(begin), 1))
        sort = "hands" if first_sort else "alone"
        # A name begins with its bar where there is room, and else ends at the right edge.
        right = at(begin) + _LETTER * max(map(cell_len, lines)) > _WIDTH - _EDGE
        drawn_rows.append(
            {"name": lines, "y": y, "x": at(begin), "width": width, "sort": sort, "right": right}
        )
        y += 14 * len(lines) + 20
    body = filled(
        "bars.svg",
        bars=drawn_rows,
        ticks=[{"x": at(tick), "says": _clock(tick)} for tick in ticks],
        bottom=y,
        legend=legend,
        left=_EDGE,
        right=_WIDTH - _EDGE,
    )
    return _framed(title, "", body, height=y + 40)


def _clock(hours: float) -> str:
    whole, rest = divmod(round(hours * 60), 60)
    return f"{whole}:{rest:02d}"
