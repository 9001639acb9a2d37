"""Usable protein: enough of every amino acid in each lunch, so that grain and pulse complete it.

One rule for each amino acid, and one for the protein that is digested: whichever is short is named
when a dish cannot be. They are of one floor of the week file, and give way together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import ClassVar

from models.week import sums
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.giving import FLOORS
from models.words.numbers import plain
from models.words.nutrients import PROTEIN, USABLE
from models.words.protein import DIGESTED_SOURCE, PATTERN_SOURCE, SHARES
from models.words.units import GRAM, Quantity, magnitude, quantity
from optimiser.board import scale
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, OfEater, Rule


@dataclass(frozen=True)
class UsableProtein(OfEater):
    """Enough of one amino acid for so much usable protein."""

    family: ClassVar[str] = "usable protein"
    gives: ClassVar[str] = FLOORS
    part: str
    amount: Quantity

    @property
    def subject(self) -> str:
        """Amino acid and eater."""
        return f"{SHARES[self.part].name} of {self.eater}"

    @property
    def source(self) -> str:
        """Whose pattern it is, or whose digestibility."""
        if SHARES[self.part].tags == (PROTEIN,):
            return DIGESTED_SOURCE
        return f"{plain(SHARES[self.part].pattern)} mg in a gram: {PATTERN_SOURCE}"

    @property
    def _grams(self) -> Decimal:
        return magnitude(self.amount, GRAM)

    def numbers(self) -> dict[str, str | float]:
        """Give the floor to the thousandth of a gram."""
        return {**super().numbers(), "amount": f"{plain(self._grams, 3)} g"}

    def sentence(self) -> str:
        """Say what it must suffice for."""
        share = SHARES[self.part]
        if share.tags == (PROTEIN,):
            return f"{self.eater} needs {plain(self._grams)} g {share.name} in each lunch"
        enough = f"enough {share.name} for {plain(self._grams)} g usable protein"
        return f"{self.eater} needs {enough} in each lunch"

    def post(self, board: Board) -> None:
        """Bound what it suffices for, rounded down, from below."""
        floor = scale.up(self.amount, GRAM)
        for slot in board.slots_for(self.eater):
            board.at_least(slot, board.nutrient(slot, self.part, up=False), floor, self.key)

    def give(self, board: Board) -> Sum:
        """Count the thousandths of the floor that it does not suffice for."""
        floor, broken = scale.up(self.amount, GRAM), Sum()
        for slot in board.slots_for(self.eater):
            total = board.nutrient(slot, self.part, up=False)
            broken.plus(board.short_of(total, floor, self.key, slot))
        return broken

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Sum what it suffices for."""
        name = SHARES[self.part].name
        for lunch in packed.of(self.eater):
            enough = magnitude(sums.nutrient(week, lunch, self.part).amount, GRAM)
            if enough < self._grams:
                suffices = (
                    f"it suffices for {plain(enough)} g usable protein, the floor is "
                    f"{plain(self._grams)} g"
                )
                yield self.fault(
                    f"{day_name(lunch.day)}, {self.eater}",
                    f"{name} is short: {suffices}",
                    scale.lacking(enough, self._grams),
                    f"{plain(self._grams - enough)} g short for want of {name}: {suffices}",
                )

    def weaker(self) -> tuple[Rule, ...]:
        """Ask for a gram less."""
        if self._grams <= 1:
            return ()
        return (replace(self, amount=quantity(self._grams - 1, GRAM)),)

    def edit(self, week: Week) -> Edit:
        """State the lower floor."""
        floors = week.eaters[self.eater].floors
        was = next(bound.amount for bound in floors if bound.nutrient == USABLE)
        before, after = (f"{plain(magnitude(floor, GRAM), 3)} g" for floor in (was, self.amount))
        text = f"{self.eater}'s floor of usable protein at {after}, not {before}"
        return Edit(("eaters", self.eater, "floors", USABLE), after, before, text)


def rules(week: Week) -> Iterator[Rule]:
    """Give the rules of each eater who asks for usable protein.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        By eater, one for each of `SHARES`, all with the same floor.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("{protein: 18 g}", "{usable protein: 10 g}")
    >>> len(list(rules(every_fault("mine.yaml", text)[0]))) == len(SHARES)
    True
    """
    for eater in week.eaters.values():
        for bound in eater.floors:
            if bound.nutrient == USABLE:
                for part in SHARES:
                    yield UsableProtein(eater.name, part, bound.amount)
