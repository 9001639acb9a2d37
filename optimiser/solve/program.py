"""The integer program of a week: counts, every rule's rows, priorities in order.

Still plain data: nothing here knows a solver. A strict order of priorities is kept
by weights: each level counts for more than all levels after it together. Levels fall
into as few stages as the size of such weights allows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from functools import cached_property
from math import gcd

from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Board, alike, each_alone
from optimiser.board.plates import rows_of_plates
from optimiser.board.rows import Row, Sum
from optimiser.priorities import PRIORITIES, Priority
from optimiser.rules import Rule, rules_of
from optimiser.rules.base import OfEater

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
    priority
        The priority.
    total
        The sum; for a priority of "more is better" its negative.
    low, high
        What the sum can reach by the bounds of its counts.
    step
        The sum only moves in multiples of this from `low`.
    """

    priority: Priority
    total: Sum
    low: int
    high: int
    step: int

    @property
    def name(self) -> str:
        """The priority's name."""
        return self.priority.name

    @property
    def span(self) -> int:
        """How many steps the level has from least to most."""
        return (self.high - self.low) // self.step

    def worse_by(self, steps: int) -> Decimal:
        """Give in the priority's unit how much worse so many steps of the sum are.

        Parameters
        ----------
        steps
            A difference of two sums of the level.

        Returns
        -------
        Decimal
            Exact; below 0 where it is better.
        """
        return Decimal(steps) / self.priority.per_unit

    def reached(self, steps: int) -> Decimal:
        """Give the priority's value where the sum comes to so many steps.

        Parameters
        ----------
        steps
            A sum of the level.

        Returns
        -------
        Decimal
            In the priority's unit, exact; the larger the better where more is better.
        """
        value = self.worse_by(steps)
        return (-value if self.priority.most else value) + 0

    def steps(self, value: Decimal) -> int:
        """Give the sum at which the priority has a value, rounded to the side that is better.

        Parameters
        ----------
        value
            In the priority's unit.

        Returns
        -------
        int
            No larger sum is as good as the value or better.
        """
        least = -value if self.priority.most else value
        return int((least * self.priority.per_unit).to_integral_value(ROUND_FLOOR))


@dataclass(frozen=True, slots=True)
class Stage:
    """Levels folded into one objective, the first weighing most."""

    levels: tuple[Level, ...]
    weights: tuple[int, ...]
    total: Sum

    def folded(self, sums: Mapping[str, int]) -> int:
        """Fold the sums of all its levels.

        Parameters
        ----------
        sums
            What each of its levels comes to, by name.

        Returns
        -------
        int
            0 or more; of two, the smaller has the better first level that differs.
        """
        parts = zip(self.levels, self.weights, strict=True)
        return sum((sums[x.name] - x.low) // x.step * weight for x, weight in parts)

    def split(self, folded: int) -> list[int]:
        """Read the levels' sums, or bounds on them, out of a folded value.

        Parameters
        ----------
        folded
            A value of `total`, or a bound on it.

        Returns
        -------
        list of int
            One for each level, in their order.
        """
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
    priorities
        What to do well, what matters most first; the week's own when left out.
    board
        The board of the week, where something is posted on it already; made when left out.
    """

    def __init__(
        self,
        week: Week,
        groups: tuple[tuple[str, ...], ...] | None = None,
        rules: Iterable[Rule] | None = None,
        priorities: Iterable[Priority] | None = None,
        board: Board | None = None,
    ) -> None:
        self.week = week
        self.rules = {rule.key: rule for rule in (rules_of(week) if rules is None else rules)}
        self._groups = each_alone(week) if groups is None else groups
        self._wanted = priorities_of(week) if priorities is None else list(priorities)
        self._begun = board
        if board is not None:
            _ = self._written

    @cached_property
    def _written(self) -> tuple[Board, tuple[Level, ...]]:
        # Only once it is asked for: of hundreds of alike eaters nobody may ask for each alone.
        board = Board(self.week, self._groups) if self._begun is None else self._begun
        for rule in self.rules.values():
            # Rows bound whole groups: what holds of one of them says it of all.
            if not isinstance(rule, OfEater) or board.group_of(rule.eater)[0] == rule.eater:
                rule.post(board)
        return board, tuple(_level(board, priority) for priority in self._wanted)

    @property
    def board(self) -> Board:
        """The counts and rows."""
        return self._written[0]

    @property
    def levels(self) -> tuple[Level, ...]:
        """The priorities as sums, in their order."""
        return self._written[1]

    @property
    def rows(self) -> list[Row]:
        """Every row, in the order it was written."""
        return self.board.sheet.rows

    @cached_property
    def plates(self) -> list[Row]:
        """Rows that no week breaks which keeps all others: for relaxations and proofs."""
        return rows_of_plates(self.board)

    @property
    def told(self) -> list[Row]:
        """Every row, and those of plates behind them: what a proof adds up."""
        return [*self.rows, *self.plates]

    def level(self, name: str) -> Level:
        """Find the level of a priority by its name.

        Parameters
        ----------
        name
            A priority of the week, or that of the order of the file.

        Returns
        -------
        Level
            With its sum and its ends.
        """
        return next(level for level in self.levels if level.name == name)

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """All levels, folded into as few stages as fit."""
        several = len(alike(self.week)) < len(self.week.eaters)
        return tuple(fold(part) for part in _parts(self.levels, tie_apart=several))


def _level(board: Board, priority: Priority) -> Level:
    total = Sum().plus(priority.total(board), -1 if priority.most else 1)
    low, high = _reach(board, total)
    # What would not be wasted if packs kept is nothing, wherever the rules on packs hold.
    unspoilt = set(board.unspoilt.values())
    step = gcd(*(weight for at, weight in total.terms.items() if at not in unspoilt)) or 1
    # Bounds need not lie on the grid of steps; the constant does.
    low = total.constant + (low - total.constant) // step * step
    return Level(priority, total, low, high, step)


def _reach(board: Board, total: Sum) -> tuple[int, int]:
    """Bound a sum, using that each slot takes exactly its number of servings."""
    rest = Sum(total.terms.items(), total.constant)
    low = high = 0
    for kept in board.unspoilt.values():
        rest.terms.pop(kept, None)
    for slot in board.slots:
        counts = board.serving_counts[slot.at].values()
        weights = [rest.terms.pop(count, 0) for count in counts]
        weights += [rest.terms.pop(count, 0) for count in board.bought(slot).terms]
        low += min(weights, default=0) * slot.size
        high += max(weights, default=0) * slot.size
    for slot, by_option in zip(board.slots, board.option_counts, strict=True):
        # A choice is taken once in a lunch at the most, whatever dish offers it.
        ends: dict[str, tuple[int, int]] = {}
        for (_, choice, _), count in by_option.items():
            weight = rest.terms.pop(count, 0) * slot.size
            before = ends.get(choice, (0, 0))
            ends[choice] = (min(before[0], weight), max(before[1], weight))
        low += sum(end[0] for end in ends.values())
        high += sum(end[1] for end in ends.values())
    other = board.sheet.reach(rest)
    return low + other[0], high + other[1]


def priorities_of(week: Week) -> list[Priority]:
    """Give the priorities of a week, what matters most first.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    list of Priority
        As the week file orders them, the order of the file last.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> [priority.name for priority in priorities_of(week)] == list(week.priorities)
    True
    """
    return [PRIORITIES[name] for name in week.priorities]


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
    """Fold levels into one sum by exact weights.

    Parameters
    ----------
    levels
        What matters most first.

    Returns
    -------
    Stage
        Their sum with weights: a step of a level weighs more than all that the later ones span.

    Notes
    -----
    Weights that keep a strict order of goals: Sherali and Soyster, Preemptive and nonpreemptive
    multi-objective programming, Journal of Optimization Theory and Applications 39, 1983.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> first, second = Program(read_week("minimal")).levels[:2]
    >>> stage = fold([first, second])
    >>> stage.weights == (second.span + 1, 1)
    True
    """
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
