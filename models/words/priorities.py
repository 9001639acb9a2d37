"""The names of what a week should do well, and their order where a week file gives none.

Here because the week file has to know them; what each of them is stands in
`optimiser/priorities`, a room each.
"""

from __future__ import annotations

from collections.abc import Iterable

DEFAULT_ORDER: tuple[str, ...] = (
    "left_over",
    "repeats",
    "freshness",
    "thawed",
    "liking",
    "cost",
    "minutes",
)

TIE_BREAK = "file_order"
"""Always last: it makes the plan of a file one and the same."""

ON_REQUEST: tuple[str, ...] = ("packs_opened",)
"""Those that count only where a week file names them."""

PRIORITY_NAMES: tuple[str, ...] = (*DEFAULT_ORDER, *ON_REQUEST, TIE_BREAK)


def ranked(names: Iterable[str]) -> list[str]:
    """Order the priorities that someone named, without the tie-break.

    Parameters
    ----------
    names
        Names of priorities.

    Returns
    -------
    In the order given.

    Examples
    --------
    >>> ranked(["cost", "file_order", "minutes"])
    ['cost', 'minutes']
    """
    return [name for name in names if name != TIE_BREAK]
