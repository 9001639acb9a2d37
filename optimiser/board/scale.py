"""The one place where quantities become whole numbers.

Scale: thousandths of the unit named (mg of a gram, µL of a millilitre), money in
hundredths of a cent. What a lunch contains is rounded down for a floor and up for
a ceiling, a floor up, a ceiling down: a plan in whole numbers never breaks a real
bound. The error is below one thousandth of a unit for each helping in a lunch.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from models.words.units import Quantity, magnitude

PER_UNIT = 1000
PER_MONEY = 10_000


def down(amount: Quantity, unit: str, times: Decimal = Decimal(1)) -> int:
    """Scale an amount, rounding down."""
    scaled = magnitude(amount, unit) * times * PER_UNIT
    return int(scaled.to_integral_value(ROUND_FLOOR))


def up(amount: Quantity, unit: str, times: Decimal = Decimal(1)) -> int:
    """Scale an amount, rounding up."""
    scaled = magnitude(amount, unit) * times * PER_UNIT
    return int(scaled.to_integral_value(ROUND_CEILING))


def money(amount: Decimal) -> int:
    """Scale a sum of money, rounding up."""
    return int((amount * PER_MONEY).to_integral_value(ROUND_CEILING))
