"""The plot of how cost grows: a panel for each thing that grows, drawn from what was measured.

pygal lays out lines and axes; the style is that of the program's own drawings, so it is read on
paper, in the dark and without colour: filled dots and a line for the program, hollow ones and
dashes for HiGHS. The table beside it has the same numbers.
"""

from __future__ import annotations

import math

from pygal import XY
from pygal.style import Style

from optimiser.report.chart import _geometry
from tests.bench.growth import PATIENCE, SIZES, Middle, middles
from tests.bench.measure import Rows

WIDE, HIGH, TOP = 280, 190, 30
CSS = """
svg { background: #f5f7f6; }
text { font: 14px system-ui, sans-serif; fill: #16201c; }
.head { font-weight: 600; }
.axis.x text { text-anchor: middle; }
.axis.y text { text-anchor: end; }
.background, .line { fill: none; }
.line { stroke: #c9d1cd; }
.line.axis { stroke: #53605a; }
.axis.x .line { stroke: none; }
.series .line { stroke: #8a1c4e; stroke-width: 6; stroke-opacity: 0.35; }
.serie-0 .line, .serie-1 .line { stroke-width: 2; stroke-opacity: 1; }
.serie-0 .dot { fill: #8a1c4e; }
.serie-1 .line { stroke: #16201c; stroke-dasharray: 5 4; }
.serie-1 .dot { fill: #f5f7f6; stroke: #16201c; stroke-width: 2; }
@media (prefers-color-scheme: dark) {
  svg { background: #14181a; }
  text { fill: #edf0ee; }
  .line { stroke: #343c3a; }
  .line.axis { stroke: #aab5af; }
  .series .line { stroke: #f08db8; }
  .serie-0 .dot { fill: #f08db8; }
  .serie-1 .line { stroke: #edf0ee; }
  .serie-1 .dot { fill: #14181a; stroke: #edf0ee; }
}
"""
LINE = '<path class="line" d="M0 0h40"/><circle class="dot" cx="20" r="4"/>'
KEY = (
    ("serie-0", LINE, "clearfridge, median"),
    ("serie-2", '<path class="line" d="M20 -9v18"/>', "least to most"),
    ("serie-1", LINE, "HiGHS, median, ended"),
    ("", "", f"after {PATIENCE['HiGHS']} s"),
    ("", "", "up: CPU seconds"),
)
TITLE = "How cost grows"
"""Of the drawing."""


def drawn(rows: Rows) -> str:
    """Draw all of it as SVG."""
    panels = {
        what: {number: middles(rows, size) for number, size in sizes.items()}
        for what, sizes in SIZES.items()
    }
    every = [t for panel in panels.values() for both in panel.values() for t in _ends(both)]
    decades = (math.floor(math.log10(min(every))), math.ceil(math.log10(max(every))))
    cells = [_panel(what, panel, *decades) for what, panel in panels.items()]
    cells.append(
        "".join(
            f'<g class="series {sort}" transform="translate(20, {TOP + 24 * at})">{mark}'
            f'<text x="50" y="5">{says}</text></g>'
            for at, (sort, mark, says) in enumerate(KEY)
        )
    )
    body = "\n".join(
        f'<g transform="translate({at % 2 * WIDE}, {at // 2 * (HIGH + TOP) + 8})">{cell}</g>'
        for at, cell in enumerate(cells)
    )
    wide, high = 2 * WIDE, -(-len(cells) // 2) * (HIGH + TOP) + 16
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}"'
        f' viewBox="0 0 {wide} {high}" role="img">\n<title>{TITLE}</title>\n'
        f"<desc>Medians, in CPU seconds, of clearfridge and of HiGHS on the same rows, as one thing"
        f" grows: {'; '.join(SIZES)}. The table beside it has the numbers.</desc>\n"
        f"<style>{CSS}</style>\n{body}\n</svg>\n"
    )


def _ends(both: dict[str, Middle]) -> list[float]:
    return [*both["now"].seconds, both["HiGHS"].median] if both else []


def _panel(what: str, panel: dict[int, dict[str, Middle]], low: int, high: int) -> str:
    there = {number: both for number, both in panel.items() if both}
    chart = XY(
        width=WIDE,
        height=HIGH,
        margin=0,
        margin_top=6,
        margin_right=18,
        show_legend=False,
        dots_size=4,
        js=[],
        logarithmic=True,
        # A little beyond the last label, which the library else leaves out.
        range=(10.0**low, 10.0**high * 1.01),
        x_labels=list(there),
        y_labels=[10.0**step for step in range(low, high + 1)],
        value_formatter="{:g}".format,
        x_value_formatter="{:g}".format,
        style=Style(label_font_size=14, no_data_font_size=14),
    )
    for side in PATIENCE:
        chart.add("", [(number, both[side].median) for number, both in there.items()])
    for number, both in there.items():
        ends = [(number, end(both["now"].seconds)) for end in (min, max)]
        chart.add("", ends, show_dots=False)
    body = _geometry(chart)
    return f'<text class="head" x="{WIDE / 2}" y="14" text-anchor="middle">{what}</text>' + (
        f'<g transform="translate(0, {TOP - 8})">{body}</g>'
    )
