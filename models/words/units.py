"""Amounts with units, for a kitchen and nothing else.

A small registry of our own keeps start-up fast and refuses what no cook would
write (furlongs, amperes). Numbers are decimals, so 0.1 g ten times is 1 g.

Sources of the factors: ounce and pound, NIST Handbook 44 appendix C (28.349 523 125 g,
453.592 37 g, exact; NIST SP 811 appendix B.8 prints them rounded); kilocalorie,
thermochemical, NIST SP 811 appendix B.8 (4.184 kJ).
"""

from __future__ import annotations

import copyreg
import re
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any, TypeAlias

import pint
from pint.util import UnitsContainer

from models.words.errors import nearest
from models.words.numbers import plain

if TYPE_CHECKING:
    from pint.facets.plain import PlainQuantity

    Quantity: TypeAlias = PlainQuantity[Decimal]
else:
    Quantity = pint.Quantity

_DEFINITIONS = """
gram = [mass] = g = grams = gramme = grammes
kilogram = 1000 * gram = kg = kilograms = kilo = kilos
milligram = 0.001 * gram = mg = milligrams
microgram = 0.000001 * gram = ug = mcg = µg = micrograms
ounce = 28.349523125 * gram = oz = ounces
pound = 453.59237 * gram = lb = lbs = pounds
litre = [volume] = L = l = litres = liter = liters
millilitre = 0.001 * litre = mL = ml = millilitres = milliliter = milliliters
centilitre = 0.01 * litre = cL = cl
decilitre = 0.1 * litre = dL = dl
kilojoule = [energy] = kJ = kj = kilojoules
kilocalorie = 4.184 * kilojoule = kcal = kilocalories
piece = [piece] = pc = pieces
portion = [portion] = portions
day = [time] = d = days
minute = day / 1440 = min = minutes
"""

registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(
    _DEFINITIONS.splitlines(), non_int_type=Decimal
)


def _again(number: Decimal, units: tuple[tuple[str, Decimal], ...]) -> Quantity:
    return registry.Quantity(number, UnitsContainer(dict(units), non_int_type=Decimal))


def _parts(amount: Quantity) -> tuple[Any, ...]:
    return _again, (amount.magnitude, tuple(amount.unit_items()))


# An amount that comes back from another process belongs to this registry. pint would hand it to
# the registry of the whole application, which is not ours to choose.
copyreg.pickle(registry.Quantity, _parts)

GRAM, MILLILITRE, PIECE, PORTION = "gram", "millilitre", "piece", "portion"

_AMOUNT = re.compile(r"\s*([0-9]{1,9}(?:\.[0-9]{1,6})?)\s*([A-Za-zµ]{1,20})\s*")


def quantity(number: Decimal | int, unit: str) -> Quantity:
    """Make a quantity of `number` times `unit`.

    Parameters
    ----------
    number
        How many.
    unit
        Of what: a unit of this registry, as "gram" or "mL".

    Examples
    --------
    >>> quantity(60, GRAM) + quantity(1, "kg") == quantity(1060, GRAM)
    True
    """
    return registry.Quantity(Decimal(number), unit)


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
    if unit not in registry:
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

    Examples
    --------
    >>> fits(parse("2 pieces"), GRAM), fits(parse("1 oz"), GRAM)
    (False, True)
    """
    return bool(amount.check(registry.get_dimensionality(unit)))


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
    pint.DimensionalityError
        When the two do not measure the same thing.

    Examples
    --------
    >>> magnitude(parse("2 lb"), GRAM)
    Decimal('907.18474')
    """
    # Factors such as 1 / 4.184 do not end; what they leave in the last digits is no food.
    return round(Decimal(amount.m_as(unit)), 12).normalize() + 0


def sayable(amount: Quantity) -> str:
    """Write an amount as a cook says it: "1 piece", "60 g", "650 mL".

    Parameters
    ----------
    amount
        Grams, millilitres, pieces or portions, in any unit.

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
    return f"{amount:~}"  # pragma: no cover - the file holds no other dimension here
