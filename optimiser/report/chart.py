"""Charts, drawn by libraries: plotext for a terminal, pygal for SVG.

Every chart stands beside a table with the same numbers, so nothing is told by a line or a
colour alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len, set_cell_size

_CODE = re.compile(r"\x1b\[[0-9;]*m")
_LEFT_OUT = re.compile(r"<!--.*?-->|<script.*?</script>", re.DOTALL)
_UNUSED = ' xmlns:xlink="http://www.w3.org/1999/xlink"'
_HEAT = ("#3d6b4f", "#b5651d", "#4a6fa5", "#8a4f7d", "#6b6b3a", "#555555")


@dataclass(frozen=True, slots=True)
class Series:
    """Points of one sort, with the name that stands beside them."""

    name: str
    points: Sequence[tuple[float, float]]


def drawn(
    series: Sequence[Series], *, across: str, up: str, width: int = 80, height: int = 14
) -> str:
    """Draw points joined by lines for a terminal, without colour.

    Parameters
    ----------
    series
        What to draw, one or more, each with a point or more.
    across, up
        What the axes say, with the unit.
    width, height
        In characters, all told.
    """
    import plotext  # noqa: PLC0415

    plotext.clear_figure()
    # The library would shrink it to the terminal it finds, and a report is as wide anywhere.
    plotext.limit_size(width=False, height=False)
    plotext.theme("clear")
    plotext.plot_size(width, height - 1)
    for line, marker in zip(series, "*o+x#%", strict=False):
        xs, ys = zip(*line.points, strict=True)
        plotext.plot(xs, ys, marker="braille" if len(series) == 1 else marker)
        plotext.scatter(xs, ys, marker=marker, label=line.name if len(series) > 1 else None)
    everywhere = sorted({x for line in series for x, _ in line.points})
    step = max(1, -(-len(everywhere) // 10))
    ticks = everywhere[::step]
    plotext.xticks(ticks, [f"{tick:.10g}" for tick in ticks])
    heights = _round_ticks([y for line in series for _, y in line.points])
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
    first, last = math.ceil(low / step), math.floor(high / step)
    return [round(at * step, 10) for at in range(first, last + 1)]


def svg(
    series: Sequence[Series], *, title: str, across: str, up: str, dots_only: bool = False
) -> str:
    """Draw points as SVG, joined by lines unless told otherwise.

    Parameters
    ----------
    series
        What to draw.
    title, across, up
        What stands above it and beside its axes.
    dots_only
        Leave out the lines.
    """
    import pygal  # noqa: PLC0415

    chart = pygal.XY(
        stroke=not dots_only,
        x_title=across,
        y_title=up,
        show_legend=len(series) > 1,
        **_look(title),
    )
    for line in series:
        chart.add(line.name, list(line.points))
    return _plain(chart.render(is_unicode=True))


def svg_grid(
    rows: Sequence[str],
    columns: Sequence[str],
    values: Sequence[Sequence[float | None]],
    *,
    title: str,
    across: str,
    up: str,
) -> str:
    """Draw a grid of dots as SVG, the larger the more; nothing where there is no value."""
    import pygal  # noqa: PLC0415

    chart = pygal.Dot(x_title=across, y_title=up, show_legend=False, **_look(title))
    chart.x_labels = list(columns)
    for name, held in zip(rows, values, strict=True):
        chart.add(name, list(held))
    return _plain(chart.render(is_unicode=True))


def _look(title: str) -> dict[str, object]:
    from pygal.style import Style  # noqa: PLC0415

    style = Style(
        background="transparent",
        plot_background="transparent",
        foreground="#333333",
        foreground_strong="#111111",
        foreground_subtle="#777777",
        colors=_HEAT,
        font_family="system-ui, sans-serif",
        title_font_size=18,
        label_font_size=13,
        major_label_font_size=13,
        legend_font_size=13,
    )
    # No script and no address of another machine in a file that may be opened anywhere.
    return {
        "title": title,
        "style": style,
        "js": [],
        "disable_xml_declaration": True,
        "width": 720,
        "height": 400,
        "dots_size": 4,
        "include_x_axis": True,
        "no_prefix": True,
    }


def _plain(drawing: str) -> str:
    """Leave out the library's remarks, which hold a date, its script, and a name it never uses."""
    return _LEFT_OUT.sub("", drawing).replace(_UNUSED, "", 1) + "\n"


def bars(
    rows: Sequence[tuple[str, float, float, bool]],
    *,
    title: str,
    across: str,
    legend: tuple[str, str],
) -> str:
    """Draw spans as horizontal bars in SVG, the first row on top.

    Parameters
    ----------
    rows
        Name, begin, end, and whether it is of the first sort.
    title, across
        What stands above it and below its axis.
    legend
        Names of the two sorts.
    """
    import pygal  # noqa: PLC0415
    from pygal.style import Style  # noqa: PLC0415

    first = min(begin for _, begin, _, _ in rows)
    last = max(end for _, _, end, _ in rows)
    look = _look(f"{title}: green {legend[0]}, brown {legend[1]}")
    look["height"] = 120 + 26 * len(rows)
    look["truncate_label"] = -1
    # The lowest bar of each stack is room before it begins: drawn in no colour.
    look["style"] = Style(
        background="transparent",
        plot_background="transparent",
        foreground="#333333",
        foreground_strong="#111111",
        foreground_subtle="#777777",
        colors=("transparent", _HEAT[0], _HEAT[1]),
        opacity="1",
        font_family="system-ui, sans-serif",
    )
    chart = pygal.HorizontalStackedBar(x_title=across, show_legend=False, **look)
    chart.x_labels = [name for name, _, _, _ in reversed(rows)]
    chart.value_formatter = lambda value: _clock(value + first)
    step = 0.5 if last - first <= 4 else 1 if last - first <= 9 else 2
    ticks = [-(-first // step) * step - first + step * at for at in range(60)]
    chart.y_labels = [tick for tick in ticks if tick <= last - first] or [0]
    chart.add("", [begin - first for _, begin, _, _ in reversed(rows)])
    for sort, name in zip((True, False), legend, strict=True):
        lengths = [end - begin if own == sort else 0 for _, begin, end, own in reversed(rows)]
        chart.add(name, lengths)
    return _plain(chart.render(is_unicode=True))


def _clock(hours: float) -> str:
    whole, rest = divmod(round(hours * 60), 60)
    return f"{whole}:{rest:02d}"
