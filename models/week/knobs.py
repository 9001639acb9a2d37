"""What could be otherwise in a week: one thing that is turned, and to what."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from models.words.numbers import plain


@dataclass(frozen=True, slots=True)
class Knob:
    """One thing that is turned, and to what.

    Attributes
    ----------
    kind
        "yield", "floor" or "lunches".
    name
        The batch, or the eater and the nutrient; empty for lunches.
    unit
        What the values count, in the plural.
    now
        What it is in the week file; None where a floor is not there yet.
    """

    kind: Literal["yield", "floor", "lunches"]
    name: str
    unit: str
    values: tuple[Decimal, ...]
    now: Decimal | None
    eater: str = ""
    nutrient: str = ""

    @property
    def title(self) -> str:
        """What it is called at the head of a column.

        Examples
        --------
        >>> Knob("yield", "pea soup", "portions", (Decimal(3),), Decimal(3)).title
        'pea soup, portions'
        """
        return f"{self.name}, {self.unit}" if self.name else self.unit

    def say(self, value: Decimal) -> str:
        """Write a value with its unit.

        Parameters
        ----------
        value
            One of `values`.

        Returns
        -------
        Number and unit; three decimals at the most.

        Examples
        --------
        >>> Knob("yield", "pea soup", "portions", (Decimal(3),), Decimal(3)).say(Decimal(3))
        '3 portions'
        """
        return f"{plain(value, 3)} {self.unit}"
