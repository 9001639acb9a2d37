"""How much of the protein of a food is digested.

Source: true digestibility of protein in man, in FAO/WHO, Protein quality evaluation, FAO Food and
Nutrition Paper 51 (1991), from FAO/WHO/UNU, Technical Report Series 724 (1985), table 40; the
figures from memory. A food that is not in it counts as the lowest of its kind, so that nothing is
promised that is not there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

from models.foods.food import Food
from models.foods.tabled import rows


@dataclass(frozen=True, slots=True)
class Digested:
    """A published share.

    Attributes
    ----------
    share
        0 to 1.
    source
        The food that was measured, and who says so.
    """

    share: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class _PublishedShare:
    kinds: frozenset[str]
    cereals: frozenset[str]
    words: re.Pattern[str]
    digested: Digested

    def fits(self, names: tuple[str, ...], kind: str, cereals: frozenset[str]) -> bool:
        if self.kinds and kind not in self.kinds:
            return False
        if self.cereals and cereals != self.cereals:
            return False
        return any(self.words.search(name.casefold()) for name in names)


@cache
def _table() -> tuple[_PublishedShare, ...]:
    return tuple(
        _PublishedShare(
            frozenset(filter(None, row["kinds"].split(";"))),
            frozenset(filter(None, row["cereals"].split(";"))),
            re.compile(row["words"]),
            Digested(Decimal(row["digested"]) / 100, f"as {row['as']}, {row['source']}"),
        )
        for row in rows("digestibility.csv")
    )


def least() -> Digested:
    """Look up the share that counts where nobody knows the food.

    Returns
    -------
    From 0 to 1, with its source: the lowest of single foods in FAO/WHO 1991, beans.

    Examples
    --------
    >>> least().share
    Decimal('0.78')
    """
    return _table()[-1].digested


def digested(food: Food) -> Digested:
    """Look up the share of its protein that is digested, and who says so.

    Parameters
    ----------
    food
        A food of any table; one that the source has not counts as the lowest of its kind.

    Returns
    -------
    Digested
        A share from 0 to 1.

    Examples
    --------
    >>> from models.foods.food import table
    >>> digested(table()["egg, whole, fresh"]).share
    Decimal('0.97')
    """
    return _digested((food.name, *food.aliases), food.group, food.cereals)


@lru_cache(maxsize=4_096)
def _digested(names: tuple[str, ...], kind: str, cereals: frozenset[str]) -> Digested:
    return next(row.digested for row in _table() if row.fits(names, kind, cereals))
