"""Amounts with units, for a kitchen and nothing else.

A small type of our own: a number of decimals, so that 0.1 g ten times is 1 g, and a unit that a
cook writes (no furlongs, no amperes). Thousands of amounts are read for a week, and pint takes
longer to load than a week to plan. So pint stands at the edge, for who wants to reckon on with
it (`Quantity.in_pint`), and a test holds the two against each other.

Sources of the factors: ounce and pound, NIST Handbook 44 appendix C (28.349 523 125 g,
453.592 37 g, exact; NIST SP 811 appendix B.8 prints them rounded); kilocalorie,
thermochemical, NIST SP 811 appendix B.8 (4.184 kJ).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Final

from models.words.errors import nearest
from models.words.numbers import plain

if TYPE_CHECKING:
    import pint
    from pint.facets.plain import PlainQuantity


@dataclass(frozen=True, slots=True)
class KitchenUnit:
    """What is counted.

    Attributes
    ----------
    name
        In full, as "gram".
    measures
        What it is a unit of, as "mass".
    factor
        How many of the base unit of its kind it is.
    """

    name: str
    measures: str
    factor: Decimal


# Measured; unit; how many of the first unit of its kind; its other names.
_TABLE: Final = (
    ("mass", "gram", "1", "g grams gramme grammes"),
    ("mass", "kilogram", "1000", "kg kilograms kilo kilos"),
    ("mass", "milligram", "0.001", "mg milligrams"),
    ("mass", "microgram", "0.000001", "ug mcg µg micrograms"),
    ("mass", "ounce", "28.349523125", "oz ounces"),
    ("mass", "pound", "453.59237", "lb lbs pounds"),
    ("volume", "litre", "1", "L l litres liter liters"),
    ("volume", "millilitre", "0.001", "mL ml millilitres milliliter milliliters"),
    ("volume", "centilitre", "0.01", "cL cl"),
    ("volume", "decilitre", "0.1", "dL dl"),
    ("energy", "kilojoule", "1", "kJ kj kilojoules"),
    ("energy", "kilocalorie", "4.184", "kcal kilocalories"),
    ("piece", "piece", "1", "pc pieces"),
    ("portion", "portion", "1", "portions serving servings"),
    ("time", "minute", "1", "min minutes"),
    ("time", "day", "1440", "d days"),
)
_UNITS: Final = {
    called: KitchenUnit(name, measures, Decimal(factor))
    for measures, name, factor, others in _TABLE
    for called in (name, *others.split())
}


def _unit(called: str) -> KitchenUnit | None:
    return _UNITS.get(called) or _UNITS.get(called.removesuffix("s"))


class OtherMeasureError(ValueError):
    """A mass was taken for a volume, or the like: a fault of the program."""


@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """So many of a unit.

    Attributes
    ----------
    magnitude
        How many.
    unit
        Of what.

    Raises
    ------
    OtherMeasureError
        Where what is added or compared measures something else.

    Examples
    --------
    >>> total = quantity(60, GRAM) + 2 * quantity(1, "kg")
    >>> total == quantity(2060, GRAM), str(total), total > quantity(1, "lb")
    (True, '2060 gram', True)
    """

    magnitude: Decimal
    unit: KitchenUnit

    def m_as(self, unit: str) -> Decimal:
        """Give the number of another unit in it, not rounded.

        Parameters
        ----------
        unit
            A unit known here, as "gram".

        Returns
        -------
        Of the same amount; exact but for the 28 digits of a decimal.

        Raises
        ------
        OtherMeasureError
            When the unit measures something else, as mL does than g.
        KeyError
            When the unit is not known.
        """
        return self._times(_UNITS[unit])

    def in_pint(self) -> PlainQuantity[Decimal]:
        """Give it as a quantity of pint, of a registry that holds these units and no others.

        Returns
        -------
        Same number, same unit; the registry is one of its own, so pint's shared one stays as it is.

        Examples
        --------
        >>> str(quantity(2, "lb").in_pint().to("gram"))
        '907.18474 gram'
        """
        return _registry().Quantity(self.magnitude, self.unit.name)

    def _times(self, unit: KitchenUnit) -> Decimal:
        if unit is self.unit or unit == self.unit:
            return self.magnitude
        if unit.measures != self.unit.measures:
            raise OtherMeasureError(f"{self.unit.measures} is no {unit.measures}")
        return self.magnitude * self.unit.factor / unit.factor

    @property
    def _base(self) -> Decimal:
        return self.magnitude * self.unit.factor

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.magnitude + other._times(self.unit), self.unit)

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.magnitude - other._times(self.unit), self.unit)

    def __mul__(self, times: Decimal | int) -> Quantity:
        return Quantity(self.magnitude * times, self.unit)

    __rmul__ = __mul__

    def __truediv__(self, parts: Decimal | int) -> Quantity:
        return Quantity(self.magnitude / parts, self.unit)

    def __lt__(self, other: Quantity) -> bool:
        return self.magnitude < other._times(self.unit)

    def __le__(self, other: Quantity) -> bool:
        return self.magnitude <= other._times(self.unit)

    def __gt__(self, other: Quantity) -> bool:
        return other < self

    def __ge__(self, other: Quantity) -> bool:
        return other <= self

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return self.unit.measures == other.unit.measures and self._base == other._base

    def __hash__(self) -> int:
        return hash((self.unit.measures, self._base))

    def __bool__(self) -> bool:
        return bool(self.magnitude)

    def __str__(self) -> str:
        return f"{self.magnitude} {self.unit.name}"


@cache
def _registry() -> pint.UnitRegistry[Decimal]:
    # Never pint's registry of the whole application, which is not ours to fill.
    import pint  # noqa: PLC0415 - half a second of which planning needs none

    lines, bases = [], dict[str, str]()
    for measures, name, factor, others in _TABLE:
        base = bases.setdefault(measures, name)
        meaning = f"[{measures}]" if name == base else f"{factor} * {base}"
        lines.append(" = ".join((name, meaning, *others.split())))
    return pint.UnitRegistry(lines, non_int_type=Decimal)


GRAM, MILLILITRE, PIECE, PORTION = "gram", "millilitre", "piece", "portion"

_AMOUNT = re.compile(r"\s*([0-9]{1,9}(?:\.[0-9]{1,6})?)\s*([A-Za-zµ]{1,20})\s*")


def quantity(number: Decimal | int, unit: str) -> Quantity:
    """Make a quantity of `number` times `unit`.

    Parameters
    ----------
    number
        How many.
    unit
        Of what: a unit known here, as "gram" or "mL".

    Returns
    -------
    In that unit, not brought to another.

    Raises
    ------
    ValueError
        When the unit is not known.

    Examples
    --------
    >>> quantity(60, GRAM) + quantity(1, "kg") == quantity(1060, GRAM)
    True
    """
    known = _unit(unit)
    if known is None:
        raise ValueError(f"{unit!r} is not a unit known here")
    return Quantity(Decimal(number), known)


_SPELT = ("portions", "pieces")
_COUNTED = frozenset(
    ("slice", "tin", "can", "jar", "loaf", "loave", "egg", "roll", "ball", "tub", "pot", "bag")
)


def parse(text: str) -> Quantity:
    """Read an amount as a cook writes it: "1.2 kg", "20 pieces", "60 g".

    Parameters
    ----------
    text
        Number and unit.

    Returns
    -------
    0 or more, in the unit that is written.

    Raises
    ------
    ValueError
        With a sentence that says what is wrong and what would be right.

    Examples
    --------
    >>> magnitude(parse("1.2 kg"), GRAM)
    Decimal('1200')
    """
    match = _AMOUNT.fullmatch(text)
    if match is None:
        if re.fullmatch(r"\s*[0-9]+,[0-9]+\s*[A-Za-zµ]+\s*", text):
            raise ValueError(f"{text!r} has a comma; write the decimals after a point")
        raise ValueError(f"{text!r} is not an amount; write a number and a unit, as in '60 g'")
    number, unit = match.groups()
    if _unit(unit) is None:
        if unit.casefold().removesuffix("s") in _COUNTED:
            raise ValueError(
                f"{unit!r} is not a unit known here; count pieces, and say what one weighs: "
                "'pack: 20 pieces', 'piece: 40 g'; or weigh it in g"
            )
        meant = nearest(unit, _SPELT)
        near = f"did you mean {meant!r}?" if meant else "use one such as g, kg, mL or pieces"
        raise ValueError(f"{unit!r} is not a unit known here; {near}")
    try:
        return quantity(Decimal(number), unit)
    except InvalidOperation as fault:  # pragma: no cover - the pattern admits no such number
        raise ValueError(f"{number!r} is not a number") from fault


def fits(amount: Quantity, unit: str) -> bool:
    """Tell whether `amount` can be said in `unit`.

    Parameters
    ----------
    amount
        An amount.
    unit
        A unit.

    Returns
    -------
    True where both measure the same: mass, volume, energy, pieces, portions or time.

    Raises
    ------
    KeyError
        When the unit is not known.

    Examples
    --------
    >>> fits(parse("2 pieces"), GRAM), fits(parse("1 oz"), GRAM)
    (False, True)
    """
    return amount.unit.measures == _UNITS[unit].measures


def magnitude(amount: Quantity, unit: str) -> Decimal:
    """Convert an amount to the number of `unit` in it.

    Parameters
    ----------
    amount
        An amount.
    unit
        In what it is to be said.

    Returns
    -------
    Decimal
        Rounded to 12 decimals.

    Raises
    ------
    OtherMeasureError
        When the two do not measure the same thing.

    Examples
    --------
    >>> magnitude(parse("2 lb"), GRAM)
    Decimal('907.18474')
    """
    return _magnitude(amount.magnitude, amount.unit.name, unit)


@lru_cache(maxsize=16_384)
def _magnitude(number: Decimal, said_in: str, unit: str) -> Decimal:
    # Factors such as 1 / 4.184 do not end; what they leave in the last digits is no food.
    return round(quantity(number, said_in).m_as(unit), 12).normalize() + 0


def sayable(amount: Quantity) -> str:
    """Write an amount as a cook says it: "1 piece", "60 g", "650 mL".

    Parameters
    ----------
    amount
        Grams, millilitres, pieces or portions, in any unit.

    Returns
    -------
    In g, mL, pieces or portions: one decimal of g and mL, two of the others.

    Examples
    --------
    >>> sayable(parse("0.65 L")), sayable(parse("1 pc"))
    ('650 mL', '1 piece')
    """
    if fits(amount, GRAM):
        return f"{plain(magnitude(amount, GRAM))} g"
    if fits(amount, MILLILITRE):
        return f"{plain(magnitude(amount, MILLILITRE))} mL"
    for unit in (PIECE, PORTION):
        if fits(amount, unit):
            number = magnitude(amount, unit)
            return f"{plain(number, 2)} {unit if number == 1 else unit + 's'}"
    return str(amount)  # pragma: no cover - the file holds no other dimension here
