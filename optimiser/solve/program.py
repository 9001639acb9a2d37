"""The integer program of a week: counts, every rule's rows, priorities in order.

Still plain data: nothing here knows a solver. A strict order of priorities is kept
by weights: each level counts for more than all levels after it together. Levels fall
into as few stages as the size of such weights allows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import gcd

from models.week.week import Week
from models.words.priorities import PRIORITIES, TIE_BREAK
from models.words.units import GRAM
from optimiser.board import scale
from optimiser.board.board import Board, alike, each_alone
from optimiser.board.rows import Row, Sum
from optimiser.rules import Rule, rules_of

LARGEST = 2**40
"""Most that a stage's objective may span.

CP-SAT sums in 64 bits, but its linear relaxation counts in floating point, and two
stages of half the digits are solved faster than one of all of them.
"""


@dataclass(frozen=True, slots=True)
class Level:
    """One priority as a sum to make as small as can be.

    Attributes
    ----------
    name
        The priority's name.
    total
        The sum; for a priority of "more is better" its negative.
    per_unit
        Steps of the sum in one unit of the priority.
    low, high
        What the sum can reach by the bounds of its counts.
    step
        The sum only moves in multiples of this from `low`.
    """

    name: str
    total: Sum
    per_unit: int
    low: int
    high: int
    step: int

    @property
    def span(self) -> int:
        """How many steps the level has from least to most."""
        return (self.high - self.low) // self.step

    @property
    def most(self) -> bool:
        """Tell whether more of the priority is better."""
        return PRIORITIES[self.name].most


@dataclass(frozen=True, slots=True)
class Stage:
    """Levels folded into one objective, the first weighing most."""

    levels: tuple[Level, ...]
    weights: tuple[int, ...]
    total: Sum

    def folded(self, sums: Mapping[str, int]) -> int:
        """Fold the sums of all its levels."""
        parts = zip(self.levels, self.weights, strict=True)
        return sum((sums[x.name] - x.low) // x.step * weight for x, weight in parts)

    def split(self, folded: int) -> list[int]:
        """Read the levels' sums, or bounds on them, out of a folded value."""
        rest = folded
        sums: list[int] = []
        for level, weight in zip(self.levels, self.weights, strict=True):
            steps = rest // weight
            rest -= steps * weight
            sums.append(level.low + steps * level.step)
        return sums


class Program:
    """The program of a week.

    Parameters
    ----------
    week
        The week to plan.
    groups
        Groups of alike eaters to count together; each eater alone when left out.
    rules
        Rules to obey; the week's own when left out.
    """

    def __init__(
        self,
        week: Week,
        groups: tuple[tuple[str, ...], ...] | None = None,
        rules: Iterable[Rule] | None = None,
    ) -> None:
        self.week = week
        self.board = Board(week, each_alone(week) if groups is None else groups)
        self.rules = {rule.key: rule for rule in (rules_of(week) if rules is None else rules)}
        for rule in self.rules.values():
            rule.post(self.board)
        self.levels = tuple(self._level(name) for name in week.priorities)

    @property
    def rows(self) -> list[Row]:
        """Every row, in the order it was written."""
        return self.board.sheet.rows

    def measure(self, totals: Mapping[str, Sum]) -> None:
        """Take other sums for some levels, before the program is solved."""
        self.levels = tuple(
            self._measured(one.name, totals.get(one.name, one.total), one.per_unit)
            for one in self.levels
        )

    def _level(self, name: str) -> Level:
        total, per_unit = _TOTALS[name](self.board)
        if PRIORITIES[name].most:
            total = Sum().plus(total, -1)
        return self._measured(name, total, per_unit)

    def _measured(self, name: str, total: Sum, per_unit: int) -> Level:
        low, high = self._reach(total)
        step = gcd(*total.terms.values()) or 1
        # Bounds need not lie on the grid of steps; the constant does.
        low = total.constant + (low - total.constant) // step * step
        return Level(name, total, per_unit, low, high, step)

    def _reach(self, total: Sum) -> tuple[int, int]:
        """Bound a sum, using that each slot takes exactly its number of servings."""
        rest = Sum(total.terms.items(), total.constant)
        low = high = 0
        for slot in self.board.slots:
            counts = self.board.serving_counts[slot.at].values()
            weights = [rest.terms.pop(count, 0) for count in counts]
            low += min(weights, default=0) * slot.size
            high += max(weights, default=0) * slot.size
        for slot, by_option in zip(self.board.slots, self.board.option_counts, strict=True):
            # A choice is taken once in a lunch at the most, whatever dish offers it.
            ends: dict[str, tuple[int, int]] = {}
            for (_, choice, _), count in by_option.items():
                weight = rest.terms.pop(count, 0) * slot.size
                before = ends.get(choice, (0, 0))
                ends[choice] = (min(before[0], weight), max(before[1], weight))
            low += sum(end[0] for end in ends.values())
            high += sum(end[1] for end in ends.values())
        other = self.board.sheet.reach(rest)
        return low + other[0], high + other[1]

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """All levels, folded into as few stages as fit."""
        several = len(alike(self.week)) < len(self.week.eaters)
        return tuple(fold(part) for part in _parts(self.levels, tie_apart=several))


def _parts(levels: Iterable[Level], *, tie_apart: bool) -> list[list[Level]]:
    # Where eaters are alike the tie-break is hard to prove and may stay open: alone then.
    parts: list[list[Level]] = []
    size = LARGEST + 1
    for level in levels:
        alone = tie_apart and level.name == TIE_BREAK
        if alone or size * (level.span + 1) > LARGEST:
            parts.append([])
            size = 1
        parts[-1].append(level)
        size *= level.span + 1
    return parts


def fold(levels: list[Level]) -> Stage:
    """Fold levels into one sum by exact weights."""
    weights: list[int] = []
    weight = 1
    for level in reversed(levels):
        weights.insert(0, weight)
        weight *= level.span + 1
    total = Sum()
    for level, factor in zip(levels, weights, strict=True):
        for count, coefficient in level.total.terms.items():
            total.add(count, coefficient // level.step * factor)
        total.constant += (level.total.constant - level.low) // level.step * factor
    return Stage(tuple(levels), tuple(weights), total)


# -- the sums behind the priorities ----------------------------------------------

_GRAMS = scale.PER_UNIT * scale.PER_UNIT


def _left_over(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for name, batch in board.week.batches.items():
        total.plus(board.left(name), scale.up(batch.portion, GRAM) * scale.PER_UNIT)
    for name, opened in board.opened_counts.items():
        item = board.week.larder[name]
        if item.mass is None:  # pragma: no cover - reading asks for it
            raise ValueError(f"{name} has no mass")
        mass = scale.up(item.mass, GRAM) * board.grain(name)
        for day, packs in opened.items():
            total.add(packs, board.pack(name) * mass)
            total.plus(board.used_on(day, name), -mass)
    return total, _GRAMS


def _repeats(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for group in board.groups:
        for dish in board.week.dishes:
            total.plus(board.again(group, dish))
    return total, 1


def _freshness(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for name, batch in board.week.batches.items():
        for slot in board.slots:
            late = (slot.day - batch.fresh_until).days
            if late > 0:
                total.plus(board.portions(slot, name), late)
                total.plus(board.thawed(slot, name), -late)
    return total, 1


def _thawed(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for slot in board.slots:
        for name in board.week.batches:
            total.plus(board.thawed(slot, name))
    return total, 1


def _liking(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for slot in board.slots:
        for dish, liking in board.week.eaters[slot.eaters[0]].likes.items():
            total.plus(board.times(slot, dish), liking)
    return total, 1


def _cost(board: Board) -> tuple[Sum, int]:
    batches = sum((scale.money(batch.cost) for batch in board.week.batches.values()), 0)
    total = Sum(constant=batches)
    for slot in board.slots:
        total.plus(board.kept_cost(slot))
    for name, opened in board.opened_counts.items():
        for packs in opened.values():
            total.add(packs, scale.money(board.week.larder[name].price))
    return total, scale.PER_MONEY


def _minutes(board: Board) -> tuple[Sum, int]:
    total = Sum()
    for slot in board.slots:
        for dish in board.week.dishes.values():
            total.plus(board.times(slot, dish.name), dish.minutes)
    return total, 1


def _file_order(board: Board) -> tuple[Sum, int]:
    total = Sum()
    days = board.week.days
    for slot in board.slots:
        for rank, dish in enumerate(board.week.dishes):
            total.plus(board.times(slot, dish), rank * (len(days) - days.index(slot.day)))
        for choice in board.week.choices.values():
            for rank, option in enumerate(choice.options):
                total.plus(board.chosen(slot, choice.name, option.item), rank)
    return total, 1


_TOTALS: dict[str, Callable[[Board], tuple[Sum, int]]] = {
    "left_over": _left_over,
    "repeats": _repeats,
    "freshness": _freshness,
    "thawed": _thawed,
    "liking": _liking,
    "cost": _cost,
    "minutes": _minutes,
    "file_order": _file_order,
}
