"""Tables that cut no word: where the columns cannot hold theirs, the table gives way, not they.

Rich gives up words as soon as a table is wider than the terminal, though other columns have room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rich.console import Console, ConsoleOptions, RenderableType
from rich.measure import Measurement
from rich.padding import Padding
from rich.table import Column, Table
from rich.text import Text


@dataclass(frozen=True, slots=True)
class Columns:
    """A table as it fits.

    Attributes
    ----------
    table
        As it is where there is room; the widest columns give way first.
    split
        Where the longest words have no room beside each other: the columns in several tables, the
        first in each (True), or the rows one below the other, each cell with its head (False).
    """

    table: Table
    split: bool = False

    def __rich_console__(
        self, console: Console, options: ConsoleOptions
    ) -> Iterator[RenderableType]:
        """Lay it out in the columns that there are."""
        sizes = [_size(console, options, column) for column in self.table.columns]
        room = options.max_width
        if self.split:
            # Rows are known by their first cell: it is broken last, up to a third of the room.
            names = sizes[0]
            least = max(names.minimum, min(names.maximum, room // 3))
            sizes[0] = Measurement(least, names.maximum)
        gap = self.table.padding[1]
        if _least(sizes, gap) <= room:
            yield _of(self.table, range(len(sizes)), _widths(sizes, room, gap))
        elif self.split:
            for at, group in enumerate(_groups(sizes, room, gap)):
                if at:
                    yield ""
                yield _of(self.table, group, _widths([sizes[i] for i in group], room, gap))
        else:
            yield from _stacked(self.table)


def _size(console: Console, options: ConsoleOptions, column: Column) -> Measurement:
    """Measure the longest word and the longest cell of a column."""
    cells = [column.header, *column.cells] if column.header else [*column.cells]
    sizes = [Measurement.get(console, options, cell) for cell in cells]
    least = max(size.minimum for size in sizes)
    most = max(size.maximum for size in sizes)
    return Measurement(least, max(least, min(most, column.max_width or most)))


def _least(sizes: Sequence[Measurement], gap: int) -> int:
    return sum(size.minimum + gap for size in sizes)


def _widths(sizes: Sequence[Measurement], room: int, gap: int) -> list[int]:
    """Give each column what it takes; the widest give way, down to their longest words."""
    widths = [max(size) for size in sizes]
    least = [size.minimum for size in sizes]
    while sum(widths) + gap * len(widths) > room and widths != least:
        widest = max(width for width, word in zip(widths, least, strict=True) if width > word)
        # Columns that are as wide stay so: days of a week look alike.
        widths = [
            max(word, min(width, widest - 1)) for width, word in zip(widths, least, strict=True)
        ]
    return widths


def _groups(sizes: Sequence[Measurement], room: int, gap: int) -> Iterator[list[int]]:
    """Give the columns of each table, as many as have room, the first in all."""
    group = [0]
    for at in range(1, len(sizes)):
        if group[1:] and _least([sizes[i] for i in (*group, at)], gap) > room:
            yield group
            group = [0]
        group.append(at)
    yield group


def _of(table: Table, chosen: Sequence[int], widths: Sequence[int]) -> Table:
    """Make a table of some of the columns."""
    fitted = Table(
        box=None,
        padding=table.padding,
        header_style=table.header_style,
        show_header=table.show_header,
        expand=table.expand,
    )
    columns = [table.columns[at] for at in chosen]
    for column, width in zip(columns, widths, strict=True):
        at = len(fitted.columns)
        # A column with a ratio takes what room is left of the line.
        wide = None if table.expand and column.ratio else width
        bare = replace(column, _cells=[], max_width=None, width=wide, overflow="fold", _index=at)
        fitted.columns.append(bare)
    for cells in zip(*(column.cells for column in columns), strict=True):
        fitted.add_row(*cells)
    return fitted


def _stacked(table: Table) -> Iterator[RenderableType]:
    """Set the rows one below the other, each cell with the head of its column."""
    heads = [column.header for column in table.columns]
    counts = table.columns[0].justify == "right"
    for first, *cells in zip(*(column.cells for column in table.columns), strict=True):
        yield Text.assemble(f"{heads[0]}: ", first) if counts else first
        for head, cell in zip(heads[1:], cells, strict=True):
            if str(cell):
                line = cell if isinstance(cell, Text) else Text(str(cell))
                named = Text.assemble((f"{head}: ", "dim"), line) if str(head) else line
                yield Padding(named, (0, 0, 0, 2))
