"""Kitchen measures: from "1 cup dried lentils" to grams, and how that came about.

Which cup and spoon are meant is a setting of the week file. Volume becomes mass only through
a measure of the food itself or its density; a count only through the mass of one. What the
table does not know is an error that says what to write instead, never a guess.

Sources: measures for labels, 21 CFR 101.9(b)(5)(viii) (cup 240 mL, tablespoon 15 mL,
teaspoon 5 mL, fluid ounce 30 mL); US customary measures, NIST SP 811 appendix B.8 (cup
236.5882 mL, tablespoon 14.78676 mL, teaspoon 4.928922 mL, fluid ounce 29.57353 mL, of
exactly 3.785411784 L to the gallon, NIST Handbook 44 appendix C); the metric cup of 250 mL
and the tablespoon of 20 mL are common practice in Commonwealth countries, no source; with
them the fluid ounce is the imperial one (NIST SP 811: 28.41306 mL).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from models.foods.food import Food
from models.words.numbers import plain
from models.words.units import GRAM, MILLILITRE, fits, magnitude, parse

# A gallon of 3.785411784 L holds 16 cups, 256 tablespoons, 768 teaspoons, 128 fluid ounces.
GALLON = Decimal("3785.411784")
_US = {
    "cup": GALLON / 16,
    "tbsp": GALLON / 256,
    "tsp": GALLON / 768,
    "floz": GALLON / 128,
}
_IMPERIAL_OUNCE = Decimal("28.4130625")

CUPS: Mapping[str, Mapping[str, Decimal]] = {
    "label": {"cup": Decimal(240), "tbsp": Decimal(15), "tsp": Decimal(5), "floz": Decimal(30)},
    "us": _US,
    "metric": {
        "cup": Decimal(250),
        "tbsp": Decimal(15),
        "tsp": Decimal(5),
        "floz": _IMPERIAL_OUNCE,
    },
    "metric-20": {
        "cup": Decimal(250),
        "tbsp": Decimal(20),
        "tsp": Decimal(5),
        "floz": _IMPERIAL_OUNCE,
    },
}
"""Setting to the mL in each measure."""

SAID = {
    "label": "label measures (21 CFR 101.9)",
    "us": "US customary measures (NIST SP 811)",
    "metric": "metric measures",
    "metric-20": "metric measures, tablespoon of 20 mL",
}


def cups_said(cups: str) -> str:
    """Say which cup and spoons are meant."""
    sizes = CUPS[cups]
    return (
        f"{SAID[cups]}: cup {plain(sizes['cup'], 1)} mL, tablespoon {plain(sizes['tbsp'], 1)} mL, "
        f"teaspoon {plain(sizes['tsp'], 1)} mL"
    )


_VOLUMES = {
    "cup": "cup",
    "cups": "cup",
    "tbsp": "tbsp",
    "tbsps": "tbsp",
    "tablespoon": "tbsp",
    "tablespoons": "tbsp",
    "tsp": "tsp",
    "tsps": "tsp",
    "teaspoon": "tsp",
    "teaspoons": "tsp",
    "floz": "floz",
}
_SIZES = {"small": "small", "medium": "medium", "large": "large"}
_COUNTS = {
    word: name
    for name, words in {
        "piece": "piece pieces pc",
        "slice": "slice slices",
        "clove": "clove cloves",
        "stalk": "stalk stalks stick sticks rib ribs",
        "head": "head heads",
        "leaf": "leaf leaves",
        "sprig": "sprig sprigs",
        "spear": "spear spears",
        "bunch": "bunch bunches",
        "tin": "tin tins can cans",
    }.items()
    for word in words.split()
}
_HOLDERS = {"tin", "pack", "jar", "packs", "jars", "carton", "cartons", "bag", "bags", "tins"} | {
    "can",
    "cans",
    "block",
    "blocks",
    "packet",
    "packets",
}
_VAGUE = {"pinch", "pinches", "handful", "handfuls", "dash", "dashes", "knob", "some", "drizzle"}
_PARTS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅐": "1/7",
    "⅑": "1/9",
    "⅒": "1/10",
}
HEAVIEST = 100_000
"""Grams of one ingredient."""

_NUMBER = r"[0-9]{1,6} [0-9]{1,3}/[0-9]{1,3}|[0-9]{1,3}/[0-9]{1,3}|[0-9]{1,6}(?:\.[0-9]{1,4})?"
_LINE = re.compile(rf"({_NUMBER})\s*(.*)", re.DOTALL)
_EACH = re.compile(rf"[x×]\s*({_NUMBER})\s*([A-Za-z]+)\b\.?\s*(.*)", re.DOTALL)
_HOLDS = re.compile(rf"([A-Za-z]+)\s*\(\s*({_NUMBER})\s*([A-Za-z]+)\.?\s*\)\s*(.*)", re.DOTALL)


class BadAmount(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """An amount that cannot be read, or cannot be made grams."""

    def __init__(self, what: str, mend: str) -> None:
        self.what = what
        self.mend = mend
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount as written, before it is known of what.

    Attributes
    ----------
    number
        How many of `unit`.
    unit
        "g" or "mL" (then `number` counts those), a volume such as "cup", a household
        measure such as "clove", or empty for a bare count.
    size
        "small", "medium", "large", or empty.
    holder
        True when the grams are those of a whole tin or pack as bought.
    count
        How many tins or packs that is.
    """

    number: Decimal
    unit: str
    size: str = ""
    holder: bool = False
    count: Decimal | None = field(default=None, compare=False)

    @property
    def by_cup(self) -> bool:
        """Tell whether it depends on which cup and spoons are meant."""
        return self.unit in _US


def read_amount(line: str) -> tuple[Amount, str]:
    """Split "1 1/2 cups dried lentils, rinsed" into its amount and the rest.

    Raises
    ------
    BadAmount
        When there is no number, or the unit says no amount.
    """
    text = " ".join(_spelt(line).replace("\u2044", "/").split())
    match = _LINE.match(text)
    if match is None:
        raise BadAmount(
            f"{line!r} has no amount in front", "Write a number and a unit first: 400 g onions."
        )
    number, rest = _decimal(match[1], line), match[2]
    if re.match(r"[0-9./]", rest):
        raise BadAmount(f"{line!r} has a number that cannot be read", "Write it as 1.5 or 1 1/2.")
    if re.match(r"(to|-|–)\s*[0-9]", rest):
        raise BadAmount(f"{line!r} gives a range", "Write one amount: what you will use.")
    if re.match(r",[0-9]", rest):
        raise BadAmount(f"{line!r} has a comma in its number", "Write decimals after a point.")
    if number == 0:
        raise BadAmount(f"{line!r} is nothing", "Write an amount above nothing.")
    each = _EACH.match(rest)
    if each is not None:
        return _held(number, each[1], each[2], each[3], line)
    holds = _HOLDS.match(rest)
    if holds is not None and holds[1].casefold() in _HOLDERS:
        return _held(number, holds[2], holds[3], holds[4], line)
    amount, rest = _unit(number, rest, line)
    if not rest.strip():
        raise BadAmount(f"{line!r} names no food", "Write what it is: 400 g onions.")
    return amount, rest


def _spelt(line: str) -> str:
    for letter, part in _PARTS.items():
        line = re.sub(rf"(?<=[0-9]){letter}", f" {part}", line).replace(letter, part)
    return line


def _decimal(text: str, line: str) -> Decimal:
    total = Decimal(0)
    for part in text.split():
        over, _, under = part.partition("/")
        if under and not int(under):
            raise BadAmount(f"{line!r} divides by nothing", "Mend the fraction.")
        total += Decimal(over) / int(under) if under else Decimal(over)
    return total


def _held(count: Decimal, each: str, unit: str, rest: str, line: str) -> tuple[Amount, str]:
    """Read "2 x 400 g tins of ..." and "1 tin (400 g) ..."."""
    mass = _measured(_decimal(each, line), unit)
    if mass is None:
        raise BadAmount(f"{unit!r} is no mass", "Write what one holds in g: 2 x 400 g tins.")
    first, _, after = rest.partition(" ")
    if first.casefold() in _HOLDERS:
        rest = after
    amount = Amount(count * mass.number, mass.unit, holder=True, count=count)
    return amount, _without_of(rest)


def _unit(number: Decimal, rest: str, line: str) -> tuple[Amount, str]:
    first, _, after = rest.partition(" ")
    second, _, later = after.partition(" ")
    word, after_word = first.casefold().rstrip("."), second.casefold()
    if word in _VAGUE or (word == "to" and after_word == "taste"):
        raise BadAmount(f"{first!r} is no amount", "Write grams, or 1/4 tsp, or leave it out.")
    if word in {"fl", "fluid"} and after_word.rstrip(".") in {"oz", "ounce", "ounces"}:
        return Amount(number, "floz"), _without_of(later)
    if word in _SIZES:
        return _sized(number, _SIZES[word], after)
    counted = _VOLUMES.get(word) or (_COUNTS.get(word) if after else None)
    mass = Amount(number, counted) if counted is not None else _measured(number, first)
    if mass is not None:
        return mass, _without_of(after)
    return Amount(number, ""), rest


def _sized(number: Decimal, size: str, rest: str) -> tuple[Amount, str]:
    """Read "large slices of bread" and "large onions"."""
    first, _, after = rest.partition(" ")
    if first.casefold() in _COUNTS and after:
        return Amount(number, _COUNTS[first.casefold()], size), _without_of(after)
    return Amount(number, "", size), rest


def _measured(number: Decimal, unit: str) -> Amount | None:
    """Read a mass or a volume in a unit of measure; None when it is none."""
    try:
        amount = parse(f"1 {unit.rstrip('.')}")
    except ValueError:
        return None
    for name, symbol in ((GRAM, "g"), (MILLILITRE, "mL")):
        if fits(amount, name):
            return Amount(number * magnitude(amount, name), symbol)
    return None


def _without_of(rest: str) -> str:
    return rest[3:] if rest.startswith("of ") else rest


# -- to grams ------------------------------------------------------------------------


def grams(amount: Amount, food: Food, cups: str, prepared: str = "") -> tuple[Decimal, str]:
    """Turn an amount of a food into grams, and say how.

    Parameters
    ----------
    amount
        The amount.
    food
        What it is of.
    cups
        Name of the setting for cups and spoons, of `CUPS`.
    prepared
        How it is prepared ("chopped"), which may choose between measures.

    Raises
    ------
    BadAmount
        When the table has no measure for it, saying what to write.
    """
    if amount.unit == "g":
        return amount.number, ""
    if amount.unit in ("mL", *_US):
        return _poured(amount, food, cups, prepared)
    return _counted(amount, food, prepared)


def _poured(amount: Amount, food: Food, cups: str, prepared: str) -> tuple[Decimal, str]:
    millilitres = amount.number
    if amount.unit != "mL":
        millilitres = amount.number * CUPS[cups][amount.unit]
    for unit in (amount.unit, "cup", "tbsp", "tsp", "floz"):
        name = _measure(food, unit, prepared)
        if name is not None:
            mass = millilitres * food.measures[name] / _US[unit]
            return mass, f"{_say(name)} of {plain(_US[unit])} mL = {plain(food.measures[name])} g"
    if food.density is not None:
        return millilitres * food.density, f"1 mL = {plain(food.density, 3)} g"
    raise BadAmount(
        f"the table has neither a cup nor a density for {food.name!r}",
        f"Write its mass in g. {_known(food)}",
    )


def _counted(amount: Amount, food: Food, prepared: str) -> tuple[Decimal, str]:
    wanted = [amount.unit] if amount.unit else []
    if amount.size:
        # "1 large slice" is the slice that is large; "1 large onion" is the large one.
        wanted = [f"{amount.unit}:{amount.size}"] if amount.unit else [amount.size]
    elif amount.unit in ("", "piece"):
        # A whole one where there are heads; else the measure may stand in the name: a garlic
        # clove, bay leaves.
        wanted = ["head", "piece", "medium", *(one for one in food.measures if one in _NAMED)]
    for unit in wanted:
        exact = ":" in unit and unit in food.measures
        name = unit if exact else _measure(food, unit, prepared)
        if name is not None:
            one = food.measures[name]
            return amount.number * one, f"1 {_say(name)} = {plain(one, 2)} g"
    said = " ".join(part for part in (amount.size, amount.unit) if part) or "piece"
    raise BadAmount(
        f"the table does not know what one {said} {food.name!r} weighs",
        f"Write its mass in g. {_known(food)}",
    )


_NAMED = ("clove", "leaf", "stalk", "sprig", "slice", "head")


def _measure(food: Food, unit: str, prepared: str) -> str | None:
    """Choose among a food's measures of one unit: as prepared, else plain, else the only one."""
    ways = [name for name in food.measures if name.partition(":")[0] == unit]
    for name in ways:
        way = name.partition(":")[2]
        if way and re.search(rf"\b{re.escape(way)}\b", prepared.casefold()):
            return name
    for name in (unit, f"{unit}:medium"):
        if name in ways:
            return name
    # Tins of one sort come in sizes; only a table that names none means any.
    return ways[0] if len(ways) == 1 and unit != "tin" else None


def _say(name: str) -> str:
    unit, _, way = name.partition(":")
    return f"{unit}, {way}" if way else unit


def _known(food: Food) -> str:
    if not food.measures:
        return "It has no measures."
    known = ", ".join(f"{_say(name)} ({plain(one, 2)} g)" for name, one in food.measures.items())
    return f"Its measures: {known}."
