"""A plan that bends: what each lunch leaves over if it falls through, and which plan stands most.

That a lunch falls through is learnt on its morning: what was eaten before and what was frozen on
the prep day stand, the rest is planned again. Among plans that are equal in every priority the
one is taken in which most lunches may fall through without waste.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial

from models.week import sums
from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Slot
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.priorities import values
from optimiser.rules import Rule, rules_of
from optimiser.rules.fridge import Fridge
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Say, Stop, silent
from optimiser.solve.parallel import each
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, at_most, counts_of, packed_of, unlike

MOST_PLANS = 12
"""Equal plans that are looked at."""


@dataclass(frozen=True, slots=True)
class Bend:
    """What is left over if one lunch falls through.

    Attributes
    ----------
    more
        Grams more than the plan leaves over; None where no plan of the rest was found.
    """

    day: date
    eater: str
    more: float | None


@dataclass(frozen=True, slots=True)
class Bending:
    """A plan chosen for how it bends.

    Attributes
    ----------
    looked_at
        Equal plans that were held against each other.
    all_of_them
        True where there are no others.
    """

    solved: Solved
    bends: tuple[Bend, ...]
    looked_at: int
    all_of_them: bool


def as_packed(program: Program, packed: PackedWeek, days: Callable[[date], bool]) -> Iterator[Row]:
    """Hold some days of a program as they are in a packed week.

    Parameters
    ----------
    program
        A program of single eaters.
    packed
        The packed week.
    days
        Tells which days.

    Returns
    -------
    Iterator of Row
        Dish, portions, what is thawed, options and extras of each lunch.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import by_stages, packed_of, solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> monday, *others = solved.packed.lunches
    >>> swapped = PackedWeek((replace(monday, dish=others[0].dish), *others), ())
    >>> rows = [*as_packed(program, swapped, lambda day: day == monday.day)]
    >>> _, _, counts = by_stages(program, extra=rows)
    >>> packed_of(program, counts).lunches[0].dish == others[0].dish
    True
    """
    lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
    for slot in program.board.slots:
        lunch = lunches.get((slot.eaters[0], slot.day))
        if lunch is not None and days(slot.day):
            yield from _lunch_as_packed(program, slot, lunch)


def _lunch_as_packed(program: Program, slot: Slot, lunch: PackedLunch) -> Iterator[Row]:
    board = program.board
    for serving, count in board.serving_counts[slot.at].items():
        portions = all(number == lunch.of(batch) for batch, number in serving.portions)
        if serving.dish == lunch.dish and portions:
            yield Row.of(Sum([(count, 1)]), low=1)
    for part in lunch.portions:
        count_ = board.thaw_counts[slot.at].get(part.batch)
        if count_ is not None:
            yield Row.of(Sum([(count_, 1)]), low=part.thawed, high=part.thawed)
    for (dish, choice, item), count in board.option_counts[slot.at].items():
        if dish == lunch.dish and lunch.options.get(choice) == item:
            yield Row.of(Sum([(count, 1)]), low=1)
    for (dish, item), count in board.extra_counts[slot.at].items():
        if dish == lunch.dish:
            times = lunch.extras.get(item, 0)
            yield Row.of(Sum([(count, 1)]), low=times, high=times)


def bends(week: Week, packed: PackedWeek, stop: Stop | None = None) -> tuple[Bend, ...]:
    """Say of every lunch what is left over if it falls through.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.
    stop
        Ends the search early; what is not known by then is None.

    Returns
    -------
    tuple of Bend
        One for each lunch, in their order.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> len(bends(week, solved.packed)) == len(week.lunches)
    True
    """
    known = each(partial(_fallen, week, packed, stop), packed.lunches, stop=stop, shared=True)
    rest = packed.lunches[len(known) :]
    return (*known, *(Bend(lunch.day, lunch.eater, None) for lunch in rest))


def _fallen(week: Week, packed: PackedWeek, stop: Stop | None, lunch: PackedLunch) -> Bend:
    fallen = (lunch.eater, lunch.day)
    rest = replace(
        week,
        lunches=tuple(x for x in week.lunches if (x.eater, x.day) != fallen),
        priorities=("left_over",),
    )
    known = [*rules_of(rest), *_as_frozen(week, packed)]
    # What was frozen for this week and comes to no lunch counts as left over.
    rest, week = _all_to_eat(rest), _all_to_eat(week)
    if not rest.lunches:
        more = _all_left(week) - sums.left_over(week, packed)
        return Bend(lunch.day, lunch.eater, max(0.0, float(more)))
    program = Program(rest, rules=known)
    level = program.levels[0]
    rows = list(as_packed(program, packed, lambda day: day < lunch.day))
    model = cpsat.model_of(program.board.sheet)
    answer = cpsat.solve(model, level.total, extra=rows, limit=ONE_QUESTION, stop=stop)
    if answer.status is not Status.OPTIMAL or answer.values is None:
        return Bend(lunch.day, lunch.eater, None)
    left = sums.left_over(rest, packed_of(program, answer.values))
    more = left - sums.left_over(week, packed)
    return Bend(lunch.day, lunch.eater, max(0.0, float(more)))


def _as_frozen(week: Week, packed: PackedWeek) -> Iterator[Rule]:
    """Hold what the plan freezes to be frozen."""
    for name, batch in week.batches.items():
        if batch.frozen is None:
            frozen = sums.thawed(packed, name)
            yield Fridge(name, batch.in_fridge - frozen, frozen, batch.portion_word)


def _all_to_eat(week: Week) -> Week:
    batches = {
        name: batch if batch.earlier else replace(batch, frozen=None)
        for name, batch in week.batches.items()
    }
    return replace(week, batches=batches)


def _all_left(week: Week) -> Decimal:
    return sums.left_over(week, PackedWeek((), ()))


def stands(all_bends: tuple[Bend, ...]) -> int:
    """Count the lunches that may fall through without waste.

    Parameters
    ----------
    all_bends
        What each lunch leaves over if it falls through.

    Returns
    -------
    int
        From 0 to all of them; one of which no plan was found is not among them.

    Examples
    --------
    >>> stands((Bend(date(2026, 11, 30), "Ada", 0.0), Bend(date(2026, 12, 1), "Ada", 60.0)))
    1
    """
    return sum(bend.more == 0 for bend in all_bends)


def _worth(all_bends: tuple[Bend, ...]) -> tuple[int, int, float]:
    """Rank how a plan bends: what stands, what is known, and the least waste in all."""
    known = [bend.more for bend in all_bends if bend.more is not None]
    return stands(all_bends), len(known), -sum(known)


def bending(
    week: Week,
    program: Program,
    solved: Solved,
    *,
    stop: Stop | None = None,
    say: Say = silent,
) -> Bending:
    """Look among plans equal to one for the plan in which most lunches may fall through.

    Parameters
    ----------
    week
        The week.
    program
        Its program, as it was solved.
    solved
        Its plan, proven.
    stop
        Ends the search early; the best so far is given.
    say
        Is told what is being done.

    Returns
    -------
    Bending
        The plan, and for each lunch what the rest leaves over where it falls through that morning.

    Raises
    ------
    ValueError
        When there is no plan.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> len(bending(week, *solve_week(week)).bends) == len(week.lunches)
    True
    """
    solved = replace(solved, counts=counts_of(program, solved))
    if solved.packed is None or solved.counts is None:
        raise ValueError("there is no plan to look beside")
    stop = Stop() if stop is None else stop
    best = Bending(solved, (), 0, all_of_them=False)
    looked_at = 0
    with suppress(TimeoutError):
        for plan in _equal(program, solved, stop):
            if looked_at == MOST_PLANS:
                break
            looked_at += 1
            say(f"what if a lunch falls through, plan {looked_at}")
            plan_bends = bends(week, plan.packed or solved.packed, stop)
            if looked_at == 1 or _worth(plan_bends) > _worth(best.bends):
                best = Bending(plan, plan_bends, 0, all_of_them=False)
            if stop.over or stands(plan_bends) == len(plan_bends):
                break
        else:
            best = replace(best, all_of_them=True)
    return replace(best, looked_at=looked_at)


def _equal(program: Program, solved: Solved, stop: Stop) -> Iterator[Solved]:
    """Give plans as good in every priority, the one in hand first, then those of other portions.

    Last come those that differ only in what is thawed, chosen or added.

    Raises
    ------
    TimeoutError
        When it stayed open whether there is another.
    """
    if solved.counts is None or solved.packed is None:
        return
    yield solved
    held_ = [at_most(level, solved.counts) for level in program.levels if level.name != TIE_BREAK]
    own = program.board.sheet
    sheet = Sheet([*own.bounds], [*own.names], [*own.rows, *held_])
    seen = [solved.packed]
    for differs in (_in_portions, _at_all):
        others = [differs(program, sheet, packed) for packed in seen]
        while True:
            model = cpsat.model_of(sheet)
            answer = cpsat.solve(model, None, extra=others, limit=ONE_QUESTION, stop=stop)
            if answer.status is Status.INFEASIBLE:
                break
            if answer.values is None:
                raise TimeoutError("a question stayed open")
            counts = answer.values[: len(own.bounds)]
            packed = packed_of(program, counts)
            seen.append(packed)
            others.append(differs(program, sheet, packed))
            yield _instead(program.week, solved, packed, counts)


def _instead(week: Week, solved: Solved, packed: PackedWeek, counts: list[int]) -> Solved:
    """Put another plan in the place of one; where that is not proven it may even be better."""
    real = values(week, packed)
    reached = tuple(
        replace(value, value=real[value.name], bound=None, proven=False)
        if value.name == TIE_BREAK
        else replace(value, value=value.value if value.proven else real[value.name])
        for value in solved.values
    )
    return replace(solved, packed=packed, counts=counts, values=reached)


def _in_portions(program: Program, sheet: Sheet, packed: PackedWeek) -> Row:
    """Ask for other dishes or portions than a packed week has."""
    return Row.of(unlike(program.board, packed), low=1)


def _at_all(program: Program, sheet: Sheet, packed: PackedWeek) -> Row:
    """Ask for any difference to a packed week; counts and rows it needs go on the sheet."""
    board = program.board
    lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
    total = unlike(program.board, packed)
    for slot in board.slots:
        lunch = lunches[slot.eaters[0], slot.day]
        for (dish, choice, item), count in board.option_counts[slot.at].items():
            if dish == lunch.dish and lunch.options.get(choice) == item:
                total.add(count, -1)
                total.constant += 1
        for part in lunch.portions:
            thaw = board.thaw_counts[slot.at].get(part.batch)
            if thaw is not None:
                total.plus(_other_than(sheet, thaw, part.thawed))
        for (dish, item), count in board.extra_counts[slot.at].items():
            if dish == lunch.dish:
                total.plus(_other_than(sheet, count, lunch.extras.get(item, 0)))
    return Row.of(total, low=1)


def _other_than(sheet: Sheet, count: int, number: int) -> Sum:
    """Give a sum that is above nought only where a count is another number."""
    low, high = sheet.bounds[count]
    differs = Sum()
    if number < high:
        more = sheet.count(1, "more")
        sheet.rows.append(Row(((count, 1),), number + 1, None, None, when=more))
        differs.add(more)
    if number > low:
        less = sheet.count(1, "less")
        sheet.rows.append(Row(((count, 1),), None, number - 1, None, when=less))
        differs.add(less)
    return differs
