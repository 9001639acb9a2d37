"""The food table on disk: foods.db, opened when first asked and read only where asked.

Everyday foods are found by their names, all others of the releases by the words of their
descriptions. Nothing is kept in memory but the foods that were asked for.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

import models.foods.tables

PATH = Path(models.foods.tables.__file__).parent / "foods.db"
Cells = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Naming:
    """What a name means.

    Attributes
    ----------
    food
        Number of the food in the table.
    mark
        "~" where the bare name means the usual thing, "?" where only other words decide.
    region
        uk or us where the name means this only there, else empty.
    name
        The name as the table has it.
    """

    food: int
    mark: str
    region: str
    name: str


@cache
def _opened() -> sqlite3.Connection:
    # Read only: the table is part of the program.
    table = sqlite3.connect(f"file:{PATH}?mode=ro&immutable=1", uri=True, check_same_thread=False)
    table.row_factory = sqlite3.Row
    return table


@lru_cache(maxsize=16_384)
def namings(plain: str) -> tuple[Naming, ...]:
    """List what a name in its plain form means, in every region.

    Parameters
    ----------
    plain
        A name as `plain_name` brings it.

    Returns
    -------
    Each region and food once; empty where it is no name.

    Examples
    --------
    >>> len(namings("leek")) > 0
    True
    """
    rows = _opened().execute("SELECT food, mark, region, name FROM names WHERE plain = ?", (plain,))
    return tuple(Naming(*row) for row in rows)


def row(number: int) -> Cells:
    """Read one food as the table has it.

    Parameters
    ----------
    number
        In the table of this program.

    Returns
    -------
    Column to cell, amounts for 100 g as eaten.

    Examples
    --------
    >>> row(1)["id"]
    1
    """
    return dict(_opened().execute("SELECT * FROM foods WHERE id = ?", (number,)).fetchone())


def called(name: str) -> int | None:
    """Find the number of the food of exactly this name; None where there is none.

    Parameters
    ----------
    name
        As the table has it; of an everyday food in whatever letters.

    Returns
    -------
    From 1 on; an everyday food goes before another of that name.

    Examples
    --------
    >>> number = called("leek, raw")
    >>> row(number)["name"] if number else None
    'leek, raw'
    """
    answer = _opened().execute(
        "SELECT id FROM foods WHERE name IN (?, ?) ORDER BY id LIMIT 1", (name, name.casefold())
    )
    row = answer.fetchone()
    return None if row is None else int(row["id"])


def everyday() -> Iterable[Cells]:
    """Read the foods of the first tier, in the order of the table.

    Returns
    -------
    Column to cell, amounts for 100 g as eaten; a row is read when it is asked for.

    Examples
    --------
    >>> all(food["tier"] == 1 for food in everyday())
    True
    """
    for row in _opened().execute("SELECT * FROM foods WHERE tier = 1 ORDER BY id"):
        yield dict(row)


@cache
def every_word() -> frozenset[str]:
    """Give every word of the descriptions of other foods, in its plain form.

    Returns
    -------
    Read once: a look at one word in the database takes as long.

    Examples
    --------
    >>> "leek" in every_word(), "lekk" in every_word()
    (True, False)
    """
    each = _opened().execute("SELECT words FROM foods WHERE tier = 2")
    return frozenset(word for (words,) in each for word in words.split())


def described(words: Iterable[str]) -> list[tuple[int, str, str, str, str]]:
    """List other foods with all of some words in their description.

    Parameters
    ----------
    words
        In their plain form.

    Returns
    -------
    list of tuple
        Number, description, words, source and figures of each.

    Examples
    --------
    >>> all("leek" in words for _, _, words, _, _ in described(["leek"]))
    True
    """
    asked = sorted(
        {word for word in words if word.isalnum()}, key=lambda asked: (-len(asked), asked)
    )
    if not asked:
        return []
    wanted = " AND ".join("words LIKE ?" for _ in asked)
    return (
        _opened()
        .execute(
            f"SELECT id, name, words, source, figures FROM foods WHERE tier = 2 AND {wanted}",  # noqa: S608
            [f"% {word} %" for word in asked],
        )
        .fetchall()
    )


def numbered(source: str, number: str) -> Cells | None:
    """Find a food by its release and its number there.

    Parameters
    ----------
    source
        Name of the release.
    number
        In that release.

    Returns
    -------
    mapping or None
        The cells of its row, an everyday food before others.

    Examples
    --------
    >>> lentils = numbered("USDA SR28", "16069")
    >>> lentils["kind"] if lentils else None
    'pulses'
    """
    row = (
        _opened()
        .execute(
            "SELECT * FROM foods WHERE number = ? AND source LIKE ? ORDER BY tier, id",
            (number, f"%{source}%"),
        )
        .fetchone()
    )
    return None if row is None else dict(row)
