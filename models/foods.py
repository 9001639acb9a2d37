"""The food table: composition, measures, allergens and storage, each with its source.

Found by the names people type: plural or singular, words in another order, British or
American, small slips. A name that could mean several foods is refused with the nearest
ones, never guessed.

Sources: composition and measures, USDA National Nutrient Database for Standard
Reference, Release 26 (figures by their food number; names are ours); storage, USDA FSIS
FoodKeeper data set and the UK sources named in each row; allergens, groups of
Regulation (EU) No 1169/2011 Annex II, for compound foods as the usual recipe has them.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from rapidfuzz import fuzz, process

import models.tables
from models.errors import InputError
from models.nutrients import NUTRIENTS
from models.units import Quantity, quantity

TABLES = Path(models.tables.__file__).parent

# Columns of the table that are nutrients are headed by their INFOODS tagname. WATER is in
# the table for mass balances and is no nutrient of a lunch.
_TAGS = ("ENERC", "PROCNT", "FAT", "CHOCDF", "FIBTG", "SUGAR", "NA")
_GROUPS = {"tree nuts": "nuts"}
SLIP = 90
"""Likeness, of 100, from which a name counts as a slip of one food's name."""
CLEAR = 4
"""How much less alike every other food must be for that."""


@dataclass(frozen=True, slots=True)
class Storage:
    """How long a class of food keeps, as published.

    Attributes
    ----------
    us, uk
        Days in the fridge as (lower, upper) end, counted from the day after the day it is
        made; None where nothing is published. The lower end may be missing.
    us_said, uk_said
        The published words and who says so.
    caution
        A caution of its own, or empty.
    """

    name: str
    us: tuple[int | None, int] | None
    us_said: str
    uk: tuple[int | None, int] | None
    uk_said: str
    freezes_well: bool | None
    caution: str


@dataclass(frozen=True, slots=True)
class Food:
    """One food of the table.

    Attributes
    ----------
    nutrients
        Tagname to amount in 100 g edible portion; what was not measured is absent.
    measures
        Household measure, as "cup" or "cup:chopped", to grams.
    density
        Grams in a millilitre, or None.
    refuse
        Share of the food as bought that is thrown away, in percent, or None.
    allergens
        Groups of EU law in it.
    check_label
        True where recipes differ, so that only the label tells.
    """

    name: str
    aliases: tuple[str, ...]
    group: str
    shop: str
    state: str
    source: str
    source_id: str
    nutrients: Mapping[str, Quantity]
    measures: Mapping[str, Decimal]
    density: Decimal | None
    refuse: Decimal | None
    allergens: frozenset[str]
    check_label: bool
    storage: str
    note: str


@cache
def table() -> Mapping[str, Food]:
    """Read the food table: our name for a food to the food, in the order of the table."""
    return {row["key"]: _food(row) for row in _rows("foods.csv")}


@cache
def storage() -> Mapping[str, Storage]:
    """Read the storage classes by name."""
    return {row["key"]: _storage(row) for row in _rows("storage.csv")}


@cache
def protein_quality() -> Mapping[str, tuple[tuple[str, str, str], ...]]:
    """Give published scores of protein quality: food to (measure, value, source)."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    for row in _rows("protein_quality.csv"):
        source = row["source"] + (" (from memory)" if row["from_memory"] == "yes" else "")
        found.setdefault(row["food_key"], []).append((row["measure"], row["value"], source))
    return {name: tuple(scores) for name, scores in found.items()}


@cache
def cautions() -> Mapping[str, tuple[str, str]]:
    """Give cautions by key: the text and who says so."""
    return {row["key"]: (row["text"], row["source"]) for row in _rows("cautions.csv")}


def _rows(name: str) -> Iterator[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as stream:
        yield from csv.DictReader(stream)


def _food(row: dict[str, str]) -> Food:
    words = [word.strip() for word in row["allergens_eu"].split(";")]
    groups = {_GROUPS.get(word.split(":")[0], word.split(":")[0]) for word in words}
    pairs = (pair.split("=") for pair in row["measures"].split(";") if pair)
    return Food(
        name=row["key"],
        aliases=tuple(alias for alias in row["aliases"].split(";") if alias),
        group=row["group"],
        shop=row["shop"],
        state=row["state"],
        source=row["source"],
        source_id=row["source_id"],
        nutrients={
            tag: quantity(Decimal(row[tag]), NUTRIENTS[tag].unit) for tag in _TAGS if row[tag]
        },
        measures={name: Decimal(grams) for name, grams in pairs},
        density=Decimal(row["density"]) if row["density"] else None,
        refuse=Decimal(row["refuse"]) if row["refuse"] else None,
        allergens=frozenset(groups - {"none", "check label"}),
        check_label="check label" in groups,
        storage=row["storage_class"],
        note=row["note"],
    )


def _storage(row: dict[str, str]) -> Storage:
    return Storage(
        name=row["key"],
        us=_days(row["us_fridge_low"], row["us_fridge_high"]),
        us_said=_said(row["us_text"], row["us_source"]),
        uk=_days(row["uk_fridge_low"], row["uk_fridge_high"]),
        uk_said=_said(row["uk_text"], row["uk_source"]),
        freezes_well={"yes": True, "no": False}.get(row["freezes_well"]),
        caution=row["caution"],
    )


def _days(low: str, high: str) -> tuple[int | None, int] | None:
    return (int(low) if low else None, int(high)) if high else None


def _said(text: str, source: str) -> str:
    return f"{text} ({source})" if source else text


# -- names ---------------------------------------------------------------------------


def find(name: str) -> Food:
    """Find the food that a name means.

    Raises
    ------
    InputError
        When it means none or several, with the nearest foods.
    """
    names = _names()
    plain = _plain(name)
    if plain in names:
        return table()[names[plain]]
    near = _nearest(plain)
    if near and near[0][1] >= SLIP and (len(near) == 1 or near[0][1] - near[1][1] >= CLEAR):
        return table()[near[0][0]]
    raise InputError(
        f"food {name!r}",
        "the table has no single food of that name",
        f"Write one of: {'; '.join(food for food, _ in near[:6])}."
        if near
        else "See the names in models/tables/foods.csv.",
    )


def _nearest(plain: str) -> list[tuple[str, float]]:
    """List the most alike foods, the best name of each, the most alike first."""
    best: dict[str, float] = {}
    for found, likeness, _ in process.extract(
        plain, list(_names()), scorer=fuzz.token_sort_ratio, limit=40, score_cutoff=45
    ):
        food = _names()[found]
        best[food] = max(best.get(food, 0.0), likeness)
    for found, food in _names().items():
        # Whoever types "lentils" wants to see every sort of them.
        if set(plain.split()) <= set(found.split()):
            best[food] = max(best.get(food, 0.0), 80.0)
    return sorted(best.items(), key=lambda pair: (-pair[1], pair[0]))


@cache
def _names() -> dict[str, str]:
    """Every name as `_plain` makes it, to the food it means."""
    names: dict[str, str] = {}
    for food in table().values():
        for name in (food.name, *food.aliases):
            names.setdefault(_plain(name), food.name)
    return names


def _plain(name: str) -> str:
    """Bring a name to the form in which names are compared: words singular, in order."""
    words = "".join(letter if letter.isalnum() else " " for letter in name.casefold()).split()
    return " ".join(sorted(_singular(word) for word in words))


def _singular(word: str) -> str:
    # The same cut is made on both sides, so it need not be grammar.
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("oes", "ches", "shes", "sses", "xes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word
