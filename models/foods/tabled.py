"""The tables that come with the program, as mappings of their rows.

They are CSV files, so that a reader can open them and see each figure beside its source.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import models.foods.tables

TABLES = Path(models.foods.tables.__file__).parent


def rows(name: str) -> Iterator[dict[str, str]]:
    """Read a table of the program, a mapping of column to cell for each row.

    Parameters
    ----------
    name
        Of a file in `tables`.

    Returns
    -------
    In the order of the file; every cell is text.

    Examples
    --------
    >>> next(rows("yields.csv")).keys() >= {"raw", "cooked", "factor", "source"}
    True
    """
    with (TABLES / name).open(encoding="utf-8", newline="") as stream:
        yield from csv.DictReader(stream)
