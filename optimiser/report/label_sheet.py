"""Labels on a sheet to print: HTML in the sheet's measures, the use-by day to be read from afar.

What does not fit on a label goes on with the next: nothing of it is cut off or left out.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from models.answers.labels import Label, LabelFile
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.report.console import UNNAMED
from optimiser.report.labels import for_days, guidance
from optimiser.report.phrases import held, unbroken
from optimiser.report.template import filled

PADDING = (1.0, 3.0)
"""Up and across inside a label, in mm, where the paper's edge is far."""
POINT = 0.3528
"""Of a typographer, in mm."""
SMALLEST, LARGEST = 6, 9
"""Of the small letters, in points."""
GAP = "\N{NO-BREAK SPACE}\N{MIDDLE DOT} "
"""Between what flows; no line begins with the dot."""
BESIDE = 20
"""What is left for where a label that is low stands, beside its name, in mm."""
WHERE, HEAD, LOW_HEAD = 5.2, 4.6 + 8.6, 3.8 + 7.4
"""Height of where it stands; of what it is and of its use-by day at 20 points; the same of a label
that is low; in mm."""
LINE, LOW_LINE = 1.16, 1.1
"""How high a line is, to its letters; that of a label that is low."""
WIDE, BOLD = 0.58, 0.66
"""How wide a letter is, to its height, and a bold one; most are narrower."""
EDGE = 4.0
"""At the edge of paper, what many printers leave bare, in mm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """Measures of a sheet of labels.

    Attributes
    ----------
    paper
        A4 or Letter.
    columns, rows
        Of labels on a sheet.
    width, height
        Of one label, in mm.
    left, top
        Margins of the sheet, in mm.
    gap
        Between columns, in mm; rows touch.
    """

    paper: str
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    gap: float

    @property
    def low(self) -> bool:
        """Whether there is no room for a line that says where it stands."""
        return self.height < 30

    @property
    def line(self) -> float:
        """How high a line of the small letters is, to the letters."""
        return LOW_LINE if self.low else LINE

    @property
    def up(self) -> float:
        """What is left bare above the text of a label, in mm."""
        return max(PADDING[0], EDGE - self.top)

    @property
    def across(self) -> float:
        """What is left bare beside it, in mm."""
        return max(PADDING[1], EDGE - self.left)

    @property
    def cells(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows


SHEETS = {
    # The grids that sheets of plain labels commonly have (common practice, no source).
    "a4-14": LabelGrid("A4", 2, 7, 99.1, 38.1, 4.65, 15.15, 2.5),
    "a4-21": LabelGrid("A4", 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
    "a4-24": LabelGrid("A4", 3, 8, 70.0, 37.0, 0.0, 0.5, 0.0),
    "letter-10": LabelGrid("letter", 2, 5, 101.6, 50.8, 3.96, 12.7, 4.78),
    "letter-30": LabelGrid("letter", 3, 10, 66.7, 25.4, 4.76, 12.7, 3.17),
}


def sheet(answer: LabelFile, kind: str, *, skip: int = 0, lines: bool = False) -> str:
    """Write labels as sheets to print.

    Parameters
    ----------
    answer
        The labels.
    kind
        A key of `SHEETS`.
    skip
        How many labels of the first sheet are used up.
    lines
        Whether to draw where to cut.

    Returns
    -------
    str
        A whole HTML page with its style inside, ended by a line break; it loads nothing.

    Examples
    --------
    >>> from optimiser import labels
    >>> html = sheet(labels("minimal"), "a4-14", skip=3)
    >>> html.count("<ul>"), html.count("aria-hidden"), html.count("rice and beans")
    (1, 3, 1)
    """
    grid = SHEETS[kind]
    cells: list[dict[str, Any] | None] = [None] * skip
    for label in answer.labels:
        cells += _cells(label, grid)
    sheets = [cells[at : at + grid.cells] for at in range(0, len(cells), grid.cells)]
    return filled(
        "labels.html",
        name=answer.name or UNNAMED,
        guidance=guidance(answer),
        grid=grid,
        low=grid.low,
        lines=lines,
        sheets=sheets,
    )


def _cells(label: Label, grid: LabelGrid) -> Iterator[dict[str, Any]]:
    """Give a label, and what of it stands on a second where one is too small."""
    wide = grid.width - 2 * grid.across - (BESIDE if grid.low else 0)
    # A name that even the smallest letters cut off above the use-by day is told whole below it.
    whole = len(label.batch) * BOLD * POINT * SMALLEST <= wide
    rows = [*([] if whole else [label.batch]), *map(unbroken, _small(label, low=grid.low))]
    sizes = range(LARGEST, SMALLEST - 1, -1)
    size = next((size for size in sizes[:-1] if _fits(rows, grid, size)), None)
    if size is None:
        # Where lines of their own have no room they flow.
        flow = [GAP.join(rows)]
        size = next((size for size in sizes if _fits(flow, grid, size)), SMALLEST)
        parts = [[text] for text in _parted(rows, grid, size)]
    else:
        parts = [rows]
    spare = label.where == "freezer" and not label.days
    for number, part in enumerate(parts):
        name = label.batch + (", continued" if number else "")
        yield {
            "frozen": label.where == "freezer",
            "where": label.where,
            "out": "" if label.move is None else f"to fridge {day_name(label.move)}",
            "title": name,
            "title_size": min(11, max(SMALLEST, int(wide / (BOLD * POINT * len(name))))),
            "until": "a day after thawing" if spare else day_name(label.use_by),
            "rows": part,
            "size": size,
        }


def _parted(rows: list[str], grid: LabelGrid, size: int) -> list[str]:
    """Part what does not fit on one label, between rows where that can be."""
    room = max(1, int(_room(grid) / (size * grid.line * POINT)))
    parts: list[str] = []
    for row in rows:
        flowing = GAP.join([*parts[-1:], row])
        if parts and _fits([flowing], grid, size):
            parts[-1] = flowing
            continue
        lines = textwrap.wrap(row, _letters(grid, size))
        parts += [" ".join(lines[at : at + room]) for at in range(0, len(lines), room)]
    return parts


def _small(label: Label, *, low: bool) -> Iterator[str]:
    """Give what stands below the use-by day, what matters most first."""
    if low and label.move is not None:
        yield f"to fridge {day_name(label.move)}"
    yield held(label)
    whom = f" ({', '.join(label.eaters)})" if label.eaters else ""
    days = for_days([label])
    yield f"for {days}{whom}" if days else "spare"
    which = f", tub {label.tub} of {label.tubs}" if label.tubs > 1 else ""
    yield f"{counted(label.portions, label.word)}, {label.grams:.0f} g{which}"
    best = "" if low or label.best_by == label.use_by else f", best by {day_name(label.best_by)}"
    yield f"made {day_name(label.made)}{best}"
    yield from label.cautions
    if label.own_risk:
        yield f"use-by at your own risk (published: {label.own_risk})"


def _fits(rows: list[str], grid: LabelGrid, size: int) -> bool:
    """Tell whether rows fit below the head."""
    lines = sum(max(1, len(textwrap.wrap(row, _letters(grid, size)))) for row in rows)
    return lines * size * grid.line * POINT <= _room(grid)


def _letters(grid: LabelGrid, size: int) -> int:
    return int((grid.width - 2 * grid.across) / (WIDE * size * POINT))


def _room(grid: LabelGrid) -> float:
    # A label that is low has where it stands beside its title. Half a millimetre is for rounding.
    head = LOW_HEAD if grid.low else HEAD + WHERE
    return grid.height - grid.up - PADDING[0] - head - 0.5
