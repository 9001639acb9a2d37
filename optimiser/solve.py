"""A week solved: the best plan in the strict order of its priorities, with its proof."""

from __future__ import annotations

import time
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from models import sums
from models.packed import PackedLunch, PackedPortions, PackedWeek
from models.week import Week
from optimiser import cpsat
from optimiser.cpsat import Status, Stop
from optimiser.program import Level, Program, Stage
from optimiser.servings.board import Slot, extra_key
from optimiser.servings.rows import Row


@dataclass(frozen=True, slots=True)
class Value:
    """What a plan reaches in one priority.

    Attributes
    ----------
    value
        In the priority's unit; the larger the better where more is better.
    bound
        No plan that is as good in the priorities before can do better than this;
        None when nothing is known.
    proven
        True when value and bound are one.
    """

    name: str
    value: Decimal
    bound: Decimal | None
    proven: bool


@dataclass(frozen=True, slots=True)
class Solved:
    """The outcome of solving a week.

    Attributes
    ----------
    packed
        The week as packed; None without a plan.
    counts
        The value of every count of the program that was solved.
    folded
        Each stage's folded value, as the reasons need it.
    """

    status: Status
    packed: PackedWeek | None
    values: tuple[Value, ...]
    counts: list[int] | None
    folded: tuple[int, ...]


def solve(
    program: Program,
    *,
    dropped: Collection[str] = (),
    seconds: float | None = None,
    stop: Stop | None = None,
) -> Solved:
    """Find the best week of a program in which every eater stands alone.

    Parameters
    ----------
    program
        The program.
    dropped
        Keys of rules to leave out.
    seconds
        Time limit over all stages.
    stop
        Ends the search early from another thread.
    """
    deadline = None if seconds is None else time.monotonic() + seconds
    model = cpsat.model_of(program.board.sheet, dropped)
    extra: list[Row] = []
    known: list[Value] = []
    folded: list[int] = []
    counts: list[int] | None = None
    status = Status.OPTIMAL
    for at, stage in enumerate(program.stages):
        left = None if deadline is None else deadline - time.monotonic()
        answer = cpsat.solve(model, stage.total, extra=extra, hint=counts, seconds=left, stop=stop)
        if answer.values is None:
            if at == 0:
                return Solved(answer.status, None, (), None, ())
            status = Status.FEASIBLE
            break
        counts = answer.values
        value = stage.total.value(counts)
        folded.append(value)
        known.extend(_values(stage, counts, answer.bound))
        if answer.status is not Status.OPTIMAL:
            status = Status.FEASIBLE
            break
        extra.extend(at_most(level, counts) for level in stage.levels)
    if counts is None:  # pragma: no cover - the first stage has returned by then
        raise RuntimeError("no stage was solved")
    for stage in program.stages[len(folded) :]:
        known.extend(_values(stage, counts, None))
    packed = packed_of(program, counts)
    _hold_against(program.week, packed, known)
    return Solved(status, packed, tuple(known), counts, tuple(folded))


def at_most(level: Level, counts: list[int]) -> Row:
    """Write the row that keeps a level at most as large as these counts make it."""
    value = level.total.value(counts) - level.total.constant
    return Row(tuple(level.total.terms.items()), None, value, None)


def _values(stage: Stage, counts: list[int], folded_bound: int | None) -> list[Value]:
    bounds = None if folded_bound is None else stage.split(max(0, folded_bound))
    tight = bounds is not None
    values: list[Value] = []
    for at, level in enumerate(stage.levels):
        total = level.total.value(counts)
        # A bound on a later level holds only while every level before is tight.
        bound = bounds[at] if bounds is not None and tight else None
        tight = bound == total
        values.append(
            Value(
                level.name,
                _in_units(level, total),
                None if bound is None else _in_units(level, bound),
                tight,
            )
        )
    return values


def _in_units(level: Level, total: int) -> Decimal:
    number = Decimal(total) / level.per_unit
    return (-number if level.most else number) + 0


def packed_of(program: Program, counts: list[int]) -> PackedWeek:
    """Read the packed week out of the values of all counts."""
    lunches: dict[tuple[str, object], PackedLunch] = {}
    for slot in program.board.slots:
        lunches[slot.eaters[0], slot.day] = _packed_lunch(program, slot, counts)
    ordered = tuple(lunches[lunch.eater, lunch.day] for lunch in program.week.lunches)
    bare = PackedWeek(ordered, ())
    packs = tuple(sums.packs_needed(program.week, sums.uses(program.week, bare)))
    return PackedWeek(ordered, packs)


def _packed_lunch(program: Program, slot: Slot, counts: list[int]) -> PackedLunch:
    board = program.board
    taken = [serving for serving, at in board.serving_counts[slot.at].items() if counts[at]]
    if len(taken) != 1 or slot.size != 1:
        raise ValueError("a lunch can be read only where each eater stands alone")
    serving = taken[0]
    dish = program.week.dishes[serving.dish]
    thawed = {name: counts[at] for name, at in board.thaw_counts[slot.at].items()}
    extras = {
        extra.helping.item: counts[board.extra_counts[slot.at][extra_key(extra)][0]]
        for extra in dish.extras
    }
    return PackedLunch(
        eater=slot.eaters[0],
        day=slot.day,
        dish=dish.name,
        portions=tuple(
            PackedPortions(name, count, thawed.get(name, 0))
            for name, count in serving.portions
            if count
        ),
        options={
            choice: item
            for (choice, item), at in board.option_counts[slot.at].items()
            if counts[at] and choice in dish.choices
        },
        extras={item: times for item, times in extras.items() if times},
    )


def _hold_against(week: Week, packed: PackedWeek, known: list[Value]) -> None:
    """See that the program's values are what the packed week really adds up to."""
    real = sums.values(week, packed)
    for value in known:
        if value.proven and real[value.name] != value.value:
            raise RuntimeError(
                f"the program says {value.value} of {value.name}, the week {real[value.name]}"
            )
