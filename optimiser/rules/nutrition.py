"""Floors and ceilings: least and most of a nutrient, in each lunch or over the week."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import ClassVar

from models.week import sums
from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Bound, Week
from models.words.days import day_name
from models.words.giving import FLOORS
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS, SALT_PER_SODIUM, USABLE, printed
from models.words.units import Quantity, magnitude
from optimiser.board import scale
from optimiser.board.board import Board, Slot
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, OfEater, Rule


def step_of(number: Decimal) -> Decimal:
    """Give a round step of about a twentieth: 1 of 24, 20 of 750.

    Parameters
    ----------
    number
        A bound.

    Returns
    -------
    Decimal
        1, 2 or 5 times a power of ten, no more than a twentieth of the bound; 1 for a bound of 0.

    Examples
    --------
    >>> step_of(Decimal(24)), step_of(Decimal(750))
    (Decimal('1'), Decimal('20'))
    """
    rough = abs(number) / 20
    if rough == 0:
        return Decimal(1)
    ten = Decimal(10) ** rough.adjusted()
    return next(digit * ten for digit in (5, 2, 1) if digit * ten <= rough)


@dataclass(frozen=True)
class _NutrientRule(OfEater):
    """What floors and ceilings share: whose, of what, how much, over how long."""

    nutrient: str
    amount: Quantity
    weekly: bool
    note: str
    guidance: str = ""

    @property
    def name(self) -> str:
        """The nutrient as it is printed."""
        return printed(self.nutrient, self.guidance)[0]

    @property
    def subject(self) -> str:
        """Nutrient and eater."""
        span = " over the week" if self.weekly else ""
        return f"{self.name} of {self.eater}{span}"

    @property
    def source(self) -> str:
        """How a computed figure came about."""
        return self.note

    @property
    def number(self) -> Decimal:
        """The amount in the nutrient's own unit."""
        return magnitude(self.amount, NUTRIENTS[self.nutrient].unit)

    def numbers(self) -> dict[str, str | float]:
        """Give the amount in the nutrient's own unit: 5 µg would be said as 0 g."""
        amount = f"{plain(self.number, 3)} {NUTRIENTS[self.nutrient].symbol}"
        return {**super().numbers(), "amount": amount}

    def _edit(self, what: str, was: Bound) -> Edit:
        nutrient = NUTRIENTS[self.nutrient]
        place, name, unit = self.nutrient, nutrient.name, nutrient.symbol
        factor = Decimal(1)
        if was.as_salt:
            place = name = "salt"
            unit, factor = "g", SALT_PER_SODIUM / 1000
        before = f"{plain(magnitude(was.amount, nutrient.unit) * factor, 3)} {unit}"
        after = f"{plain(self.number * factor, 3)} {unit}"
        key = f"week_{what}s" if self.weekly else f"{what}s"
        return Edit(
            ("eaters", self.eater, key, place),
            after,
            before,
            f"{self.eater}'s {what} of {name} at {after}, not {before}",
        )

    def say(self, number: Decimal) -> str:
        """Write an amount of the nutrient."""
        _, unit, factor = printed(self.nutrient, self.guidance)
        return f"{plain(number) if factor == 1 else plain(number * factor, 2)} {unit}"

    def lack(self, number: Decimal) -> str:
        """Write what lacks, be it ever so little."""
        amount = self.say(number)
        return f"under 0.1{amount[1:]}" if amount.startswith("0 ") else amount

    def lunches(self, board: Board, *, up: bool) -> Iterator[tuple[Slot, Sum]]:
        """Give the content of each slot where the bound is on each lunch."""
        if not self.weekly:
            for slot in board.slots_for(self.eater):
                yield slot, board.nutrient(slot, self.nutrient, up=up)

    def over_week(self, board: Board, *, up: bool) -> Iterator[tuple[Sum, int]]:
        """Give the content of the week where the bound is on it, and the eaters it is for."""
        if self.weekly:
            week = Sum()
            for slot in board.slots_for(self.eater):
                week.plus(board.nutrient(slot, self.nutrient, up=up))
            yield week, len(board.group_of(self.eater))

    def contents(self, week: Week, packed: PackedWeek) -> Iterator[tuple[str, Decimal]]:
        """Give each content that is bounded, with the place it is for."""
        lunches = packed.of(self.eater)
        if self.weekly:
            yield f"the week, {self.eater}", self._content(week, lunches)
            return
        for lunch in lunches:
            yield f"{day_name(lunch.day)}, {self.eater}", self._content(week, [lunch])

    def _content(self, week: Week, lunches: Iterable[PackedLunch]) -> Decimal:
        unit = NUTRIENTS[self.nutrient].unit
        contents = (sums.nutrient(week, lunch, self.nutrient).amount for lunch in lunches)
        return sum((magnitude(content, unit) for content in contents), Decimal(0))

    def _span(self) -> str:
        return "over the week" if self.weekly else "in each lunch"


@dataclass(frozen=True)
class Floor(_NutrientRule):
    """At least so much of a nutrient."""

    family: ClassVar[str] = "floor"
    gives: ClassVar[str] = FLOORS

    def sentence(self) -> str:
        """Say the least amount."""
        return f"{self.eater} needs {self.say(self.number)} {self.name} {self._span()}"

    def post(self, board: Board) -> None:
        """Bound contents, rounded down, from below."""
        floor = scale.up(self.amount, NUTRIENTS[self.nutrient].unit)
        for slot, total in self.lunches(board, up=False):
            board.at_least(slot, total, floor, self.key)
        for total, eaters in self.over_week(board, up=False):
            board.sheet.bound(total, low=floor * eaters, rule=self.key)

    def give(self, board: Board) -> Sum:
        """Count the thousandths of it that lack."""
        floor, broken = scale.up(self.amount, NUTRIENTS[self.nutrient].unit), Sum()
        for slot, total in self.lunches(board, up=False):
            broken.plus(board.short_of(total, floor, self.key, slot))
        for total, eaters in self.over_week(board, up=False):
            broken.plus(board.short_of(total, floor * eaters, self.key))
        return broken

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Sum the nutrient."""
        for where, content in self.contents(week, packed):
            if content < self.number:
                short = scale.lacking(content, self.number)
                floor = f"the floor is {self.say(self.number)}"
                yield self.fault(
                    where,
                    f"{self.say(content)} {self.name}, {floor}",
                    short,
                    f"{self.lack(self.number - content)} short of {self.name}: "
                    f"{self.say(content)}, {floor}",
                )

    def weaker(self) -> tuple[Rule, ...]:
        """Ask for a step less, where the figure is the user's own."""
        step = step_of(self.number)
        if self.note or self.number - step <= 0:
            return ()
        return (replace(self, amount=self.amount / self.number * (self.number - step)),)

    def edit(self, week: Week) -> Edit:
        """State the lower floor."""
        was = next(
            bound
            for bound in week.eaters[self.eater].floors
            if (bound.nutrient, bound.weekly) == (self.nutrient, self.weekly)
        )
        return self._edit("floor", was)


@dataclass(frozen=True)
class Ceiling(_NutrientRule):
    """At most so much of a nutrient."""

    family: ClassVar[str] = "ceiling"

    def sentence(self) -> str:
        """Say the most."""
        return f"{self.eater} has at most {self.say(self.number)} {self.name} {self._span()}"

    def post(self, board: Board) -> None:
        """Bound contents, rounded up, from above."""
        ceiling = scale.down(self.amount, NUTRIENTS[self.nutrient].unit)
        for slot, total in self.lunches(board, up=True):
            board.at_least(slot, Sum().plus(total, -1), -ceiling, self.key)
        for total, eaters in self.over_week(board, up=True):
            board.sheet.bound(total, high=ceiling * eaters, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Sum the nutrient."""
        for where, content in self.contents(week, packed):
            if content > self.number:
                yield self.fault(
                    where,
                    f"{self.say(content)} {self.name}, the ceiling is {self.say(self.number)}",
                )

    def weaker(self) -> tuple[Rule, ...]:
        """Allow a step more."""
        step = step_of(self.number)
        return (replace(self, amount=self.amount / self.number * (self.number + step)),)

    def edit(self, week: Week) -> Edit:
        """State the higher ceiling."""
        was = next(
            bound
            for bound in week.eaters[self.eater].ceilings
            if (bound.nutrient, bound.weekly) == (self.nutrient, self.weekly)
        )
        return self._edit("ceiling", was)


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each floor and ceiling of each eater; who is away all week has no weekly floor.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        By eater, floors before ceilings; a floor of usable protein has a room of its own.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(*(rule.sentence() for rule in rules(read_week("minimal"))))
    Ilse needs 18 g protein in each lunch
    """
    there = {lunch.eater for lunch in week.lunches}
    for eater in week.eaters.values():
        for bound in eater.floors:
            if bound.nutrient != USABLE and (eater.name in there or not bound.weekly):
                yield Floor(*_parts(week, eater.name, bound))
        for bound in eater.ceilings:
            yield Ceiling(*_parts(week, eater.name, bound))


def _parts(week: Week, eater: str, bound: Bound) -> tuple[str, str, Quantity, bool, str, str]:
    # What the file bounds as salt is said as salt.
    guidance = "uk" if bound.as_salt else week.guidance
    return eater, bound.nutrient, bound.amount, bound.weekly, bound.note, guidance
