"""What a priority is: a sum to make small or large, its value, and the words for it.

The program, the reports and the reasons work on priorities and know none of them by name, so
that one that is new is found by all of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import TypeAlias

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.numbers import plain, singular
from optimiser.board.board import Board
from optimiser.board.rows import Sum

MONEY = "money"
"""The unit of what is paid: written in the currency of the week."""

TotalOf: TypeAlias = Callable[[Board], Sum]
ValueOf: TypeAlias = Callable[[Week, PackedWeek], Decimal]


@dataclass(frozen=True, slots=True)
class Priority:
    """One thing a week should do well.

    Attributes
    ----------
    name
        The word used in files and in answers for scripts.
    title
        How a report says it.
    unit
        What its value counts, in the plural: "g", "portions", "money".
    total
        Its sum in the counts of a board, in steps.
    value
        Its value of a packed week in its unit, counted with no solver and no board.
    lost
        How it is said that it gets worse, where nobody knows by how much.
    lost_by
        How it is said that it gets worse by a number: a template of {number} and {unit}.
    change
        What a change of its value is a change of: the words after "+2 portions".
    column
        How a loss is labelled in a narrow column; empty for money.
    most
        True when more is better.
    per_unit
        Steps of `total` in one unit.
    digits
        Decimals that a loss is said with.
    rounded
        True where `total` may come to a little more than `value`, never to less.

    Examples
    --------
    >>> from optimiser.priorities import PRIORITIES
    >>> PRIORITIES["thawed"].say_loss(Decimal(1), exact=True)
    '1 more portion would be thawed'
    >>> PRIORITIES["cost"].say_loss(Decimal("1.2"), "EUR")
    'the week would cost at least EUR 1.20 more'
    >>> PRIORITIES["thawed"].amount(3)
    '3 portions'
    """

    name: str
    title: str
    unit: str
    total: TotalOf
    value: ValueOf
    lost: str
    lost_by: str
    change: str
    column: str = ""
    most: bool = False
    per_unit: int = 1
    digits: int = 0
    rounded: bool = False

    @property
    def kept(self) -> str:
        """Say the bound that a plan sets to it: the sentence of a rule."""
        return f"no worse than the plan in {self.title}"

    def units(self, number: Decimal | float) -> str:
        """Give the word for so many of its unit.

        Parameters
        ----------
        number
            How many.

        Returns
        -------
        str
            In the singular for exactly 1.
        """
        return singular(self.unit) if number == 1 else self.unit

    def number(self, value: float, currency: str = "") -> str:
        """Write a value without its unit; money in its currency.

        Parameters
        ----------
        value
            In its unit.
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            Money to two decimals behind its currency; any other number as short as it can be.
        """
        if self.unit == MONEY:
            return f"{currency} {value:.2f}".strip()
        return plain(Decimal(str(value)))

    def amount(self, value: float, currency: str = "") -> str:
        """Write a value with its unit; money in its currency.

        Parameters
        ----------
        value
            In its unit.
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            As "3 portions" or "EUR 2.60".
        """
        number = self.number(value, currency)
        return number if self.unit == MONEY else f"{number} {self.units(value)}"

    def titled(self, value: float, currency: str = "") -> str:
        """Write a value after the title, which may name the unit already.

        Parameters
        ----------
        value
            In its unit.
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            As "left over 120 g"; no unit where the title has it.
        """
        named = self.unit in self.title.split()
        amount = self.number(value, currency) if named else self.amount(value, currency)
        return f"{self.title} {amount}"

    def heading(self, currency: str = "") -> str:
        """Name it over figures that stand without a unit: "packing time, min".

        Parameters
        ----------
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            The title alone where it names the unit, or there is none.
        """
        unit = currency if self.unit == MONEY else self.unit
        return f"{self.title}, {unit}" if unit and unit not in self.title.split() else self.title

    def say_loss(self, lost: Decimal | None, currency: str = "", *, exact: bool = False) -> str:
        """Say in kitchen words what is lost.

        Parameters
        ----------
        lost
            How much, in its unit, the way that is worse; None where that is not known.
        currency
            How prices are written.
        exact
            False says "at least".

        Returns
        -------
        str
            A clause without a full stop; without a number where that is not known, or would be
            said as 0.
        """
        # "At least" is true of less, not of more: rounded down.
        lost = None if lost is None else lost.quantize(Decimal(10) ** -self.digits, ROUND_FLOOR)
        if not lost:
            return self.lost
        money = self.unit == MONEY
        number = self.number(float(lost), currency) if money else plain(lost, self.digits)
        least = "" if exact else "at least "
        return self.lost_by.format(number=f"{least}{number}", unit=self.units(lost))

    def say_change(self, change: Decimal, currency: str = "") -> str:
        """Say by how much its value changes: "+2 portions thawed"; nothing where it does not.

        Parameters
        ----------
        change
            New value less old, in its unit.
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            The number always with its sign; empty where it would be said as 0.
        """
        change = round(change, self.digits)
        if not change:
            return ""
        unit = currency if self.unit == MONEY else self.units(abs(change))
        number = f"{change:+.{self.digits}f}".removesuffix(".0")
        return " ".join(part for part in (number, unit, self.change) if part)

    def short(self, lost: float, currency: str = "") -> str:
        """Write a loss for a narrow column: "+2 thawed", "-1 liked", "+1.20 EUR".

        Parameters
        ----------
        lost
            How much, in its unit, the way that is worse.
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            A minus where more is better.
        """
        sign = "-" if self.most else "+"
        return f"{sign}{self.number(lost)} {self.column_unit(currency)}".strip()

    def column_unit(self, currency: str = "") -> str:
        """Give what a narrow column counts.

        Parameters
        ----------
        currency
            How prices are written; may be empty.

        Returns
        -------
        str
            One word, or nothing where money has no currency.
        """
        return currency if self.unit == MONEY else self.column
