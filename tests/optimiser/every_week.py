"""Every week that can be packed, counted out by hand; for weeks that are tiny."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from math import prod

from models.week.packed import PackedLunch
from models.week.week import Week

from ..oracle import plain


def every(week: Week, most: int) -> list[tuple[PackedLunch, ...]] | None:
    """List all weeks that break no rule; None where more than `most` would have to be tried."""
    ways = [list(plain.complete_lunches(week, lunch)) for lunch in week.lunches]
    if prod(len(some) for some in ways) > most:
        return None
    return list(_grown(week, ways, ()))


def _grown(
    week: Week, ways: Sequence[Sequence[PackedLunch]], so_far: tuple[PackedLunch, ...]
) -> Iterator[tuple[PackedLunch, ...]]:
    if len(so_far) == len(ways):
        if next(plain.broken_at_last(week, so_far), None) is None:
            yield so_far
        return
    for lunch in ways[len(so_far)]:
        lunches = (*so_far, lunch)
        if next(plain.broken_so_far(week, lunches), None) is None:
            yield from _grown(week, ways, lunches)


def alike(lunches: Sequence[PackedLunch]) -> Hashable:
    """Give what two lists of lunches have in common only where they are the same lunches."""
    return tuple(
        (
            lunch.eater,
            lunch.day,
            lunch.dish,
            frozenset((part.batch, part.portions, part.thawed) for part in lunch.portions)
            - {(part.batch, 0, 0) for part in lunch.portions},
            frozenset(lunch.options.items()),
            frozenset((item, times) for item, times in lunch.extras.items() if times),
        )
        for lunch in lunches
    )


def from_freezer(lunches: Sequence[PackedLunch]) -> Counter[str]:
    """Count the portions of each batch that come from the freezer."""
    portions = Counter[str]()
    for lunch in lunches:
        for part in lunch.portions:
            portions[part.batch] += part.thawed
    return portions


def from_fridge(lunches: Sequence[PackedLunch]) -> Counter[str]:
    """Count the portions of each batch that come from the fridge."""
    portions = Counter[str]()
    for lunch in lunches:
        for part in lunch.portions:
            portions[part.batch] += part.portions - part.thawed
    return portions
