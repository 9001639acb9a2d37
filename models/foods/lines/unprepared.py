"""A line of a recipe as one buys it: without what is done to the food in the kitchen.

What a shop does too stays (boned, pitted, skinless), and so does what tells one food from another.
"""

from __future__ import annotations

from models.foods.lines.written import Unwritten, Written, read_written
from models.words.names import split

_DONE = frozenset(
    split(
        "chopped sliced diced crushed grated cut torn halved quartered cubed julienned trimmed "
        "cleaned washed rinsed scrubbed cored deseeded seeded picked bashed bruised broken "
        "crumbled snipped peeled smashed zested juiced beaten mashed pureed melted softened "
        "whipped whisked warmed separated squeezed sifted toasted defrosted thawed shredded patted"
    )
)
"""What one does to food at home, whoever sells it done."""
_PARTS = frozenset(split("juice zest yolk white leaf only"))
"""What is used of a piece that is bought whole."""


def unprepared(text: str) -> str:
    """Leave out of a line what stands behind a comma, or in brackets, and is done in the kitchen.

    Parameters
    ----------
    text
        A line of a recipe.

    Returns
    -------
    str
        The line as written where nothing is left out, or it is none that can be read.

    Examples
    --------
    >>> [unprepared(text) for text in ("2 onions, finely chopped", "1 lemon, juice only")]
    ['2 onions', '1 lemon']
    >>> unprepared("250 g olives, pitted")
    '250 g olives, pitted'
    """
    try:
        line = read_written(text)
    except Unwritten:
        return text
    for before, aside, after in (
        *((", ", aside, "") for aside in line.asides),
        *((" (", comment, ")") for comment in line.comments),
    ):
        if _is_done_at_home(line, aside):
            text = text.replace(f"{before}{aside}{after}", "", 1)
    return text


def _is_done_at_home(line: Written, aside: str) -> bool:
    told = set(split(aside))
    amount = line.amounts[0] if line.amounts else None
    counted = amount is not None and amount.count is not None
    # Tins are bought with what is poured away; so much "drained" is more than that from the shelf.
    drained = counted and "drained" in told
    return bool(told & _DONE) or drained or (counted and bool(told) and told <= {*_PARTS, "and"})
