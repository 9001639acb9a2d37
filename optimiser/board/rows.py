"""An integer program as plain rows: counts, and bounds on their weighted sums.

Rules write rows; who solves them is no concern of theirs. Every row carries the
key of the rule that wrote it, so that a rule can be left out or held to account.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field


class Sum:
    """A weighted sum of counts, and a constant. Weights are whole numbers."""

    __slots__ = ("constant", "terms")

    def __init__(self, terms: Iterable[tuple[int, int]] = (), constant: int = 0) -> None:
        self.terms: dict[int, int] = {}
        self.constant = constant
        for count, weight in terms:
            self.add(count, weight)

    def add(self, count: int, weight: int = 1) -> Sum:
        """Add `weight` times the count with this index.

        Parameters
        ----------
        count
            Index of a count.
        weight
            Any whole number.

        Returns
        -------
        Sum
            The sum itself, changed.
        """
        if weight:
            self.terms[count] = self.terms.get(count, 0) + weight
        return self

    def plus(self, other: Sum, weight: int = 1) -> Sum:
        """Add `weight` times another sum.

        Parameters
        ----------
        other
            Another sum, which stays as it is.
        weight
            Any whole number.

        Returns
        -------
        Sum
            The sum itself, changed.
        """
        for count, factor in other.terms.items():
            self.add(count, weight * factor)
        self.constant += weight * other.constant
        return self

    def value(self, values: list[int]) -> int:
        """Work the sum out for the values of all counts.

        Parameters
        ----------
        values
            One for each count of the sheet, by index.

        Returns
        -------
        int
            In the steps of the weights.
        """
        return self.constant + sum(weight * values[at] for at, weight in self.terms.items())


@dataclass(frozen=True, slots=True)
class Row:
    """A bound on a sum: low <= sum <= high; None is no bound.

    Attributes
    ----------
    rule
        Key of the rule that wrote it, or None for what the words themselves mean.
    when
        Index of a count of 0 or 1; the row holds only where it is 1. None: it always holds.
    """

    terms: tuple[tuple[int, int], ...]
    low: int | None
    high: int | None
    rule: str | None
    when: int | None = None

    @classmethod
    def of(
        cls,
        total: Sum,
        *,
        low: int | None = None,
        high: int | None = None,
        rule: str | None = None,
    ) -> Row:
        """Make the row that keeps a sum within bounds; its constant moves to the bounds.

        Parameters
        ----------
        total
            The sum to be bounded.
        low, high
            The least and most it may be, its constant among it; None is no bound.
        rule
            Key of the rule that asks for it.

        Returns
        -------
        Row
            It always holds.
        """
        shift = total.constant
        return cls(
            tuple(total.terms.items()),
            None if low is None else low - shift,
            None if high is None else high - shift,
            rule,
        )


@dataclass(slots=True)
class Sheet:
    """The counts and rows of a program, in the order they were written."""

    bounds: list[tuple[int, int]] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def count(self, high: int, name: str, low: int = 0) -> int:
        """Make a whole number from `low` to `high`; give its index.

        Parameters
        ----------
        high, low
            The most and least it may be.
        name
            What it counts, for whoever reads the program.

        Returns
        -------
        int
            Its index, from 0 in the order of making.
        """
        self.bounds.append((low, high))
        self.names.append(name)
        return len(self.bounds) - 1

    def bound(
        self,
        total: Sum,
        *,
        low: int | None = None,
        high: int | None = None,
        rule: str | None = None,
    ) -> None:
        """Write a row that keeps a sum within bounds; without a rule it says what words mean.

        Parameters
        ----------
        total
            The sum to be bounded.
        low, high
            The least and most it may be; None is no bound.
        rule
            Key of the rule that asks for it.
        """
        self.rows.append(Row.of(total, low=low, high=high, rule=rule))

    def reach(self, total: Sum) -> tuple[int, int]:
        """Give the least and most a sum can be, by the bounds of its counts alone.

        Parameters
        ----------
        total
            A sum of counts of this sheet.

        Returns
        -------
        tuple of int and int
            Least and most, ends included; rows may keep it from both.
        """
        low = high = total.constant
        for at, weight in total.terms.items():
            ends = (weight * self.bounds[at][0], weight * self.bounds[at][1])
            low += min(ends)
            high += max(ends)
        return low, high
