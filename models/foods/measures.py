"""Cups and spoons: which is meant is a setting of the week file.

Sources: measures for labels, 21 CFR 101.9(b)(5)(viii) (cup 240 mL, tablespoon 15 mL,
teaspoon 5 mL, fluid ounce 30 mL); US customary measures, NIST SP 811 appendix B.8 (cup
236.5882 mL, tablespoon 14.78676 mL, teaspoon 4.928922 mL, fluid ounce 29.57353 mL, of
exactly 3.785411784 L to the gallon, NIST Handbook 44 appendix C); the metric cup of 250 mL
and the tablespoon of 20 mL are common practice in Commonwealth countries, no source; with
them the fluid ounce is the imperial one (NIST SP 811: 28.41306 mL).
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from models.words.numbers import plain

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

CUP_SETTINGS = {
    "label": "label measures (21 CFR 101.9)",
    "us": "US customary measures (NIST SP 811)",
    "metric": "metric measures",
    "metric-20": "metric measures, tablespoon of 20 mL",
}

PICKS = {"middle": "half-way between its ends", "most": "its upper end"}
"""What may be taken of a range, and what that is."""


def describe_cups(cups: str) -> str:
    """Describe which cup and spoons are meant, with their millilitres and their source.

    Parameters
    ----------
    cups
        A key of `CUPS`.

    Returns
    -------
    A phrase for a list, in mL with a decimal at the most.

    Examples
    --------
    >>> describe_cups("metric")
    'metric measures: cup 250 mL, tablespoon 15 mL, teaspoon 5 mL'
    """
    sizes = CUPS[cups]
    return (
        f"{CUP_SETTINGS[cups]}: cup {plain(sizes['cup'], 1)} mL, "
        f"tablespoon {plain(sizes['tbsp'], 1)} mL, teaspoon {plain(sizes['tsp'], 1)} mL"
    )
