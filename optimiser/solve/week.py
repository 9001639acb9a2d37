"""A week solved: the best plan in the strict order of its priorities, with its proof."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import islice
from typing import Protocol, TypeAlias

from models.week import sums
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Board, Slot, alike
from optimiser.board.rows import Row, Sum
from optimiser.priorities import PRIORITIES
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.dealing import Dealer, Dealt
from optimiser.solve.levelwise import Levelwise
from optimiser.solve.limits import Limit, Stop
from optimiser.solve.program import Level, Program, Stage
from optimiser.solve.ties import TIES_WORK, ties

ROUNDS = 3
"""How often the counted program is asked again, with what speaks against its last answer."""
HOUSEHOLD = 8
"""So many alike eaters or fewer are planned one by one where what was counted cannot be dealt."""
TIE_WORK = 2.0
"""Work, in CP-SAT's own unit, for the order of the file where eaters are alike."""


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
        The week as packed; None without a plan, or where eaters are counted together.
    counts
        The value of every count of the program that was solved; None too where lunches were
        dealt out: `counts_of` then gives them.
    """

    status: Status
    packed: PackedWeek | None
    values: tuple[Value, ...]
    counts: list[int] | None


def solve(
    program: Program,
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    known: Mapping[str, int] | None = None,
    holds: bool = True,
    extra: Sequence[Row] = (),
) -> Solved:
    """Find the best week of a program.

    Parameters
    ----------
    program
        The program.
    seconds
        Time limit over all stages.
    stop
        Ends the search early from another thread.
    known
        Sums of the levels that no plan can fall below.
    holds
        Hold the values against the packed week; False for a program that decides more than a
        week, as how much is cooked.
    extra
        Rows to hold besides the program's own.

    Returns
    -------
    Solved
        The packed week, the value of each level with its bound, and a status: optimal only where
        every level is proven.

    Raises
    ------
    RuntimeError
        When the packed week does not have the values that were solved for: a fault of the program.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> solved = solve(Program(read_week("minimal")))
    >>> solved.status.name, all(value.proven for value in solved.values)
    ('OPTIMAL', True)
    """
    deadline = None if seconds is None else time.monotonic() + seconds
    by = by_levels if len(program.week.eaters) > 1 else by_stages
    status, values, counts = by(program, deadline, stop, known, extra)
    if counts is None:
        return Solved(status, None, (), None)
    if program.board.counts_alike:
        return Solved(status, None, tuple(values), counts)
    packed = packed_of(program, counts)
    if holds:
        values = _held_against(program, packed, values)
    return Solved(status, packed, tuple(values), counts)


Best: TypeAlias = tuple[Status, list[Value], "list[int] | None"]
"""What is known of the best week of a program, and its counts where there are any."""


def by_levels(
    program: Program,
    deadline: float | None = None,
    stop: Stop | None = None,
    known: Mapping[str, int] | None = None,
    extra: Sequence[Row] = (),
) -> Best:
    """Find the best week priority by priority: for several eaters.

    Parameters
    ----------
    program
        The program of a week.
    deadline
        A time of the monotonic clock; None for no end.
    stop
        Ends the search early from another thread.
    known
        Sums that some week has, by priority.
    extra
        Rows that have to hold besides.

    Returns
    -------
    Best
        Status, a value for each priority in order, counts; no values and no counts where no week
        was found.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("minimal"))
    >>> status, values, counts = by_levels(program)
    >>> status.value, [(value.name, str(value.value)) for value in values][:2]
    ('optimal', [('left_over', '0'), ('repeats', '1')])
    """
    search = Levelwise(program, extra=extra, known=known, deadline=deadline, stop=stop)
    settled = search.settle()
    values: list[Value] = []
    if settled.counts is None:
        return settled.status, values, None
    bounds = [*settled.sums, *([] if settled.bound is None else [settled.bound])]
    for at, level in enumerate(program.levels):
        total = level.total.value(settled.counts)
        bound = bounds[at] if at < len(bounds) else None
        reached = None if bound is None else level.reached(bound)
        values.append(Value(level.name, level.reached(total), reached, bound == total))
    return settled.status, values, settled.counts


def by_stages(
    program: Program,
    deadline: float | None = None,
    stop: Stop | None = None,
    known: Mapping[str, int] | None = None,
    extra: Sequence[Row] = (),
) -> Best:
    """Find the best week with priorities folded into few sums: for one eater.

    Parameters
    ----------
    program
        The program of a week.
    deadline
        A time of the monotonic clock; None for no end.
    stop
        Ends the search early from another thread.
    known
        Sums that some week has, by priority.
    extra
        Rows that have to hold besides.

    Returns
    -------
    Best
        Status, a value for each priority in order, counts; no values and no counts where no week
        was found.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("minimal"))
    >>> status, values, counts = by_stages(program)
    >>> status.value, [(value.name, str(value.value)) for value in values][:2]
    ('optimal', [('left_over', '0'), ('repeats', '1')])
    """
    model = cpsat.model_of(program.board.sheet)
    held: list[Row] = list(extra)
    values: list[Value] = []
    counts: list[int] | None = None
    status = Status.OPTIMAL
    for at, stage in enumerate(program.stages):
        answer = cpsat.solve(
            model,
            stage.total,
            extra=held,
            hint=counts,
            known=None if known is None else stage.folded(known),
            limit=_limit(stage, deadline, eased=known is not None),
            stop=stop,
        )
        if answer.values is None and counts is None:
            return answer.status, [], None
        if answer.values is not None:
            counts = answer.values
            values.extend(_values(stage, counts, answer.bound))
            held.extend(at_most(level, counts) for level in stage.levels)
            if known is not None and any(
                level.total.value(counts) != known[level.name] for level in stage.levels
            ):
                # Known sums bound a level only while every level before is as good as known.
                known = None
        if answer.status is not Status.OPTIMAL:
            ties = all(level.name == TIE_BREAK for level in stage.levels)
            status = Status.OPTIMAL if ties and answer.values else Status.FEASIBLE
            for rest in program.stages[at + (answer.values is not None) :]:
                values.extend(_values(rest, counts or [], None))
            break
    if counts is not None and all(value.proven for value in values):
        counts = _first_of_equal(program, model, held, counts, deadline, stop)
    return status, values, counts


def _first_of_equal(
    program: Program,
    model: cpsat.Model,
    held: list[Row],
    counts: list[int],
    deadline: float | None,
    stop: Stop | None,
) -> list[int]:
    work = TIES_WORK
    for total in ties(program.board, program.board.sheet.bounds):
        answer = cpsat.solve(
            model,
            total,
            extra=held,
            hint=counts,
            as_it_is=True,
            limit=Limit(None if deadline is None else deadline - time.monotonic(), work),
            stop=stop,
        )
        counts = counts if answer.values is None else answer.values
        work -= answer.work
        if answer.status is not Status.OPTIMAL or work <= 0:
            break
        held.append(Row.of(total, high=total.value(counts)))
    return counts


def _limit(stage: Stage, deadline: float | None, *, eased: bool) -> Limit:
    # Among alike eaters ties are many and worth little: settle them with little work.
    ties = all(level.name == TIE_BREAK for level in stage.levels)
    left = None if deadline is None else deadline - time.monotonic()
    return Limit(left, TIE_WORK if ties and eased else None)


class Asked(Protocol):
    """Anything asked of a week beside its rules, as a dish on a day."""

    @property
    def text(self) -> str:
        """What is asked, in words."""

    def rows(self, program: Program) -> list[Row]:
        """Ask for it.

        Parameters
        ----------
        program
            The program of a week.

        Returns
        -------
        list of Row
            Rows that hold exactly where it is granted.
        """


class Fewest(Protocol):
    """Anything to have as little of as can be, before the priorities of a week count."""

    def total(self, program: Program) -> Sum:
        """Sum it; counts and rows it needs are added to the program.

        Parameters
        ----------
        program
            The program of a week.

        Returns
        -------
        Sum
            In steps of its own; to be as small as can be.
        """


@dataclass(frozen=True, slots=True)
class Changed:
    """Lunches that are not as they are in a packed week."""

    packed: PackedWeek

    def total(self, program: Program) -> Sum:
        """Count them.

        Parameters
        ----------
        program
            The program of a week with the same lunches.

        Returns
        -------
        Sum
            Lunches, 0 or more.
        """
        return unlike(program.board, self.packed)


def solve_with(
    week: Week,
    asked: Sequence[Asked],
    *,
    first: Sequence[Fewest] = (),
    seconds: float | None = None,
    stop: Stop | None = None,
) -> tuple[Program, Solved]:
    """Find the best plan of a week in which more is asked than its rules do.

    Parameters
    ----------
    week
        The week.
    asked
        What is asked.
    first
        What there is to be as little of as can be before any priority, in this order.
    seconds
        Time limit.
    stop
        Ends the search early from another thread.

    Returns
    -------
    tuple of Program and Solved
        The program with what is asked on its sheet, and its best plan.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> program, again = solve_with(week, [], first=[Changed(solved.packed)])
    >>> again.packed == solved.packed
    True
    """
    if not asked and not first:
        return solve_week(week, seconds=seconds, stop=stop)
    began = time.monotonic()
    program = Program(week)
    program.board.sheet.rows.extend(row for wish in asked for row in wish.rows(program))
    for few in first:
        total = few.total(program)
        model = cpsat.model_of(program.board.sheet)
        answer = cpsat.solve(model, total, limit=Limit(seconds), stop=stop)
        if answer.values is not None:
            program.board.sheet.bound(total, high=total.value(answer.values))
    left = None if seconds is None else max(0.0, seconds - (time.monotonic() - began))
    return program, solve(program, seconds=left, stop=stop)


def unlike(board: Board, packed: PackedWeek) -> Sum:
    """Count the lunches that have not the dish and the portions they have in a packed week.

    Parameters
    ----------
    board
        A board of single eaters.
    packed
        A packed week.

    Returns
    -------
    Sum
        Lunches that only one of the two has do not count.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> unlike(program.board, solved.packed).value(solved.counts)
    0
    """
    lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
    total = Sum()
    for slot in board.slots:
        was = lunches.get((slot.eaters[0], slot.day))
        if was is None:
            continue
        total.constant += slot.size
        for serving, count in board.serving_counts[slot.at].items():
            same = all(number == was.of(batch) for batch, number in serving.portions)
            if serving.dish == was.dish and same:
                total.add(count, -1)
    return total


def solve_week(
    week: Week, *, seconds: float | None = None, stop: Stop | None = None
) -> tuple[Program, Solved]:
    """Find the best plan of a week; give it with the program of single eaters.

    Where eaters are alike, lunches that no rule tells apart are first counted together, then
    dealt out (`dealing`). The counted program is the sum of the single ones over alike eaters, so
    its best is a bound on theirs: a plan that reaches it is proven to be best without more
    search. Where these counts cannot be dealt, what speaks against it goes back as a row. Where
    that does not help either, those who are left are planned alone, with that bound; of a
    household all are.

    Parameters
    ----------
    week
        The week.
    seconds
        Time limit.
    stop
        Ends the search early from another thread; the best plan so far is given.

    Returns
    -------
    tuple of Program and Solved
        A program of single eaters, and its best plan with what is proven of it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> program, solved = solve_week(week)
    >>> solved.status.value, len(solved.packed.lunches) == len(week.lunches)
    ('optimal', True)
    """
    alone = Program(week)
    groups = alike(week)
    if all(len(group) == 1 for group in groups):
        return alone, solve(alone, seconds=seconds, stop=stop)
    return alone, _in_groups(alone, groups, seconds, stop)


def _in_groups(
    alone: Program,
    groups: tuple[tuple[str, ...], ...],
    seconds: float | None,
    stop: Stop | None,
) -> Solved:
    began = time.monotonic()

    def left() -> float | None:
        return None if seconds is None else max(0.0, seconds - (time.monotonic() - began))

    together = Program(alone.week, groups)
    dealers = [Dealer(together, group, stop) for group in groups if len(group) > 1]
    household = sum(len(dealer.group) for dealer in dealers) <= HOUSEHOLD
    against: list[Row] = []
    for _ in range(ROUNDS):
        counted = solve(together, seconds=left(), stop=stop, extra=against)
        if counted.counts is None:
            break
        hands = [(dealer, dealer.deal(counted.counts)) for dealer in dealers]
        if not any(dealt.left for _, dealt in hands):
            packed = _dealt_out(together, counted.counts, hands)
            values = _held_against(together, packed, list(counted.values))
            return Solved(counted.status, packed, tuple(values), None)
        more = [dealt.against for _, dealt in hands if dealt.against is not None]
        if household or not more:
            break
        against += more
    if counted.status is Status.INFEASIBLE or (counted.counts is None and not household):
        return counted
    known = None
    if counted.status is Status.OPTIMAL and counted.counts is not None:
        known = {level.name: level.total.value(counted.counts) for level in together.levels}
    if household:
        return solve(alone, seconds=left(), stop=stop, known=known)
    return _rest_alone(counted, known, hands, left(), stop)


def _rest_alone(
    counted: Solved,
    known: Mapping[str, int] | None,
    hands: Sequence[tuple[Dealer, Dealt]],
    seconds: float | None,
    stop: Stop | None,
) -> Solved:
    """Plan those alone to whom nothing could be dealt, all others as it was dealt to them.

    What was proven of the counted week bounds this one too, as far as it is as good.
    """
    week = hands[0][0].week
    several = {dealer.group: len(dealer.group) - hand.left for dealer, hand in hands}
    groups: list[tuple[str, ...]] = []
    for group in alike(week):
        cut = several.get(group, 0)
        groups += [group[:cut]] if cut else []
        groups += [(name,) for name in group[cut:]]
    program = Program(week, tuple(groups))
    for dealer, hand in hands:
        if hand.shares:
            dealer.fix(program.board, hand.shares)
    solved = solve(program, seconds=seconds, stop=stop, known=known)
    if solved.counts is None:
        return Solved(Status.UNKNOWN, None, (), None)
    packed = _dealt_out(program, solved.counts, hands)
    values, tight = [], True
    for value in counted.values:
        reached = PRIORITIES[value.name].value(week, packed)
        bound = value.bound if tight else None
        tight = value.proven and reached == value.value
        values.append(Value(value.name, reached, bound, tight and bound == reached))
    proven = all(value.proven for value in values if value.name != TIE_BREAK)
    return Solved(Status.OPTIMAL if proven else Status.FEASIBLE, packed, tuple(values), None)


def _dealt_out(
    program: Program, counts: list[int], hands: Sequence[tuple[Dealer, Dealt]]
) -> PackedWeek:
    """Read a packed week out of counted lunches, those of a group from what was dealt to it."""
    lunches = [
        _packed_lunch(program, slot, counts) for slot in program.board.slots if slot.size == 1
    ]
    for dealer, hand in hands:
        names = iter(dealer.group)
        for share in hand.shares:
            own = [
                _packed_lunch(dealer.single, slot, share.values)
                for slot in dealer.single.board.slots
            ]
            for name in islice(names, share.times):
                lunches += [replace(lunch, eater=name) for lunch in own]
    return _in_order(program.week, lunches)


def at_most(level: Level, counts: list[int]) -> Row:
    """Write the row that keeps a level at most as large as these counts make it.

    Parameters
    ----------
    level
        A level of a program.
    counts
        A value for each count of its sheet.

    Returns
    -------
    Row
        Over the counts of its sheet.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> level = program.levels[0]
    >>> row = at_most(level, solved.counts)
    >>> row.high + level.total.constant == level.total.value(solved.counts)
    True
    """
    return Row.of(level.total, high=level.total.value(counts))


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
                level.reached(total),
                None if bound is None else level.reached(bound),
                tight,
            )
        )
    return values


def packed_of(program: Program, counts: list[int]) -> PackedWeek:
    """Read the packed week out of the values of all counts.

    Parameters
    ----------
    program
        A program of single eaters.
    counts
        A value for each count of its sheet.

    Returns
    -------
    PackedWeek
        A lunch for each slot, in the order of the board; packs by the day they are opened.

    Raises
    ------
    ValueError
        When a lunch has not one serving, or several eaters are counted together.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> packed_of(program, solved.counts) == solved.packed
    True
    """
    lunches = [
        _packed_lunch(program, slot, counts)
        for slot in program.board.slots
        if not program.board.bought(slot).value(counts)
    ]
    return _in_order(program.week, lunches)


def counts_of(program: Program, solved: Solved) -> list[int] | None:
    """Give the counts of a plan in a program of single eaters, or of alike ones counted together.

    Parameters
    ----------
    program
        The program.
    solved
        Its plan.

    Returns
    -------
    list of int or None
        As they were solved for; where lunches were dealt out they are worked out. None without
        a plan.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program, solved = solve_week(read_week("starter"))
    >>> again = counts_of(program, replace(solved, counts=None))
    >>> packed_of(program, again) == solved.packed
    True
    """
    if solved.counts is not None or solved.packed is None:
        return solved.counts
    lunches = {(x.eater, x.day): x for x in solved.packed.lunches}
    fixed: dict[int, int] = {}
    for slot in program.board.slots:
        for eater in slot.eaters:
            for at, times in _counts_in(program.board, slot, lunches[eater, slot.day]).items():
                fixed[at] = fixed.get(at, 0) + times
    return by_stages(
        program, extra=[Row(((at, 1),), times, times, None) for at, times in fixed.items()]
    )[2]


def _counts_in(board: Board, slot: Slot, lunch: PackedLunch) -> dict[int, int]:
    """Give what one lunch adds to each count of its slot."""
    thawed = {part.batch: part.thawed for part in lunch.portions}
    added = {count: thawed.get(name, 0) for name, count in board.thaw_counts[slot.at].items()}
    for serving, count in board.serving_counts[slot.at].items():
        same = all(number == lunch.of(batch) for batch, number in serving.portions)
        added[count] = int(serving.dish == lunch.dish and same)
    for (dish, choice, item), count in board.option_counts[slot.at].items():
        # One count may serve the same option of several dishes.
        chosen = dish == lunch.dish and lunch.options.get(choice) == item
        added[count] = max(added.get(count, 0), int(chosen))
    for (dish, item), count in board.extra_counts[slot.at].items():
        added[count] = lunch.extras.get(item, 0) if dish == lunch.dish else 0
    return added


def _in_order(week: Week, lunches: Iterable[PackedLunch]) -> PackedWeek:
    """Put lunches in the order of the week, with the packs that they need."""
    packed = {(lunch.eater, lunch.day): lunch for lunch in lunches}
    keys = [(lunch.eater, lunch.day) for lunch in week.lunches]
    bare = PackedWeek(tuple(packed[key] for key in keys if key in packed), ())
    return replace(bare, packs=tuple(sums.packs_needed(week, sums.uses(week, bare))))


def _packed_lunch(program: Program, slot: Slot, counts: list[int]) -> PackedLunch:
    board = program.board
    taken = [serving for serving, at in board.serving_counts[slot.at].items() if counts[at]]
    if len(taken) != 1 or slot.size != 1:
        raise ValueError("a lunch can be read only where each eater stands alone")
    serving = taken[0]
    dish = program.week.dishes[serving.dish]
    thawed = {name: counts[at] for name, at in board.thaw_counts[slot.at].items()}
    extras = {
        extra.helping.item: counts[board.extra_counts[slot.at][dish.name, extra.helping.item]]
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
            for (name, choice, item), at in board.option_counts[slot.at].items()
            if counts[at] and name == dish.name
        },
        extras={item: times for item, times in extras.items() if times},
    )


def _held_against(program: Program, packed: PackedWeek, known: list[Value]) -> list[Value]:
    """See that the program's values are what the packed week really adds up to.

    A search that was ended may have counted packs that the lunches do not need: of what is not
    proven the week's own sum is given.
    """
    real = {x.name: x.priority.value(program.week, packed) for x in program.levels}
    rounded = {x.name for x in program.levels if x.priority.rounded}
    values = []
    for value in known:
        reached = real[value.name]
        if value.proven and value.name in rounded and reached < value.value:
            # The program's own sum is the proven one; the week's is a hair better.
            values.append(replace(value, value=reached, bound=reached))
            continue
        if value.proven and reached != value.value:
            raise RuntimeError(
                f"the program says {value.value} of {value.name}, the week {reached}"
            )
        values.append(value if value.proven else replace(value, value=reached))
    return values
