"""The one place where quantities become whole numbers.

Scale: thousandths of the unit named (mg of a gram, µL of a millilitre), money in
hundredths of a cent. What a lunch contains is rounded down for a floor and up for
a ceiling, a floor up, a ceiling down: a plan in whole numbers never breaks a real
bound. The error is below one thousandth of a unit for each helping in a lunch.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import ceil, floor

from models.words.units import Quantity, magnitude

PER_UNIT = 1000
PER_MONEY = 10_000


def down(amount: Quantity, unit: str, times: Fraction | Decimal = Decimal(1)) -> int:
    """Scale an amount, rounding down.

    Parameters
    ----------
    amount
        An amount.
    unit
        The unit of which thousandths are counted.
    times
        Taken so often.

    Returns
    -------
    int
        Thousandths, never more than the amount.

    Examples
    --------
    >>> from models.words.units import GRAM, parse
    >>> down(parse("0.33 oz"), GRAM), up(parse("0.33 oz"), GRAM)
    (9355, 9356)
    """
    return floor(_scaled(amount, unit, times))


def up(amount: Quantity, unit: str, times: Fraction | Decimal = Decimal(1)) -> int:
    """Scale an amount, rounding up.

    Parameters
    ----------
    amount
        An amount.
    unit
        The unit of which thousandths are counted.
    times
        Taken so often.

    Returns
    -------
    int
        Thousandths, never less than the amount.

    Examples
    --------
    >>> from models.words.units import GRAM, parse
    >>> up(parse("0.5 g"), GRAM, Decimal(3))
    1500
    """
    return ceil(_scaled(amount, unit, times))


def _scaled(amount: Quantity, unit: str, times: Fraction | Decimal) -> Fraction:
    # Exact: a third of a round amount, taken three times, is round again.
    return Fraction(magnitude(amount, unit)) * Fraction(times) * PER_UNIT


def lacking(reached: Decimal, least: Decimal) -> int:
    """Count the thousandths of a bound that lack; one that is begun counts.

    Parameters
    ----------
    reached, least
        What there is, and the least there is to be.

    Returns
    -------
    int
        From 1 to 1000 where there is less than the least, of which nothing is there at 1000; 0 or
        below where there is enough.

    Examples
    --------
    >>> lacking(Decimal(18), Decimal(24)), lacking(Decimal("23.999"), Decimal(24))
    (250, 1)
    """
    lack = (least - reached) * PER_UNIT / least
    return int(lack.to_integral_value(ROUND_CEILING))


def money(amount: Decimal) -> int:
    """Scale a sum of money, rounding up.

    Parameters
    ----------
    amount
        In the currency of the week.

    Returns
    -------
    int
        Hundredths of a cent.

    Examples
    --------
    >>> money(Decimal("2.6200001"))
    26201
    """
    return int((amount * PER_MONEY).to_integral_value(ROUND_CEILING))
