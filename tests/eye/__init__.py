"""What people look at, as pictures: made by one command, and held against what was kept.

A picture is kept as a coarse grid of how light it is, sixteen steps from black to white, so that a
change of look is seen and another machine's letters are not.
"""

from __future__ import annotations

COLUMNS, ROWS = 16, 24
MOST_STEPS = 2
"""Steps that a cell may be off: letters of another machine are a little lighter."""
MOST_CELLS = 0.04
"""The share of cells that may be further off than that."""


def differs(grid: str, kept: str) -> float:
    """Give the share of cells in which two pictures differ; all of it where they are not alike.

    Parameters
    ----------
    grid, kept
        A digit to the base of sixteen for each cell, row by row.

    Examples
    --------
    >>> differs("00ff", "01ff"), differs("00ff", "0fff"), differs("0", "00")
    (0.0, 0.25, 1.0)
    """
    if len(grid) != len(kept):
        return 1.0
    off = [abs(int(one, 16) - int(other, 16)) for one, other in zip(grid, kept, strict=True)]
    return sum(steps > MOST_STEPS for steps in off) / len(off)


def changed(grids: dict[str, str], kept: dict[str, str]) -> list[str]:
    """Name the pictures that look otherwise than what was kept, that are new, and that are gone.

    Parameters
    ----------
    grids, kept
        By name.
    """
    names = sorted({*grids, *kept})
    return [name for name in names if differs(grids.get(name, ""), kept.get(name, "")) > MOST_CELLS]
