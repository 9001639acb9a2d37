"""Other good weeks, and every best compromise between two priorities.

Each other week is as good as the plan in the first priorities and, by proof, as far as can be
from the plan and from those before it; of such weeks it is the best in the other priorities. A
compromise is found by the epsilon-constraint method.
"""

from __future__ import annotations

from collections.abc import Iterator

from models.answers.others import OthersFile, OtherWeek, WeekLunch
from models.answers.tradeoff import Point, TradeOffFile
from models.week import sums
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.errors import InputError
from models.words.priorities import ranked
from optimiser.board.rows import Row, Sum
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_WEEK, Say, Stop, silent
from optimiser.solve.program import Level, Program
from optimiser.solve.week import Solved, at_most, counts_of, solve, solve_week
from optimiser.written import lunch_said, number, portions_said

EQUAL = 2
"""In how many priorities other weeks are as good, where nobody says."""


class _Apart:
    """Looks for weeks as far apart as can be."""

    def __init__(self, week: Week, program: Program, solved: Solved, equal: int) -> None:
        counts = counts_of(program, solved)
        if counts is None or solved.packed is None:
            raise ValueError("there is no plan to differ from")
        self.week = week
        self.counts = counts
        self.chosen: list[PackedWeek] = [solved.packed]
        self.equal = ranked(week.priorities)[:equal]
        self.levels = [level for level in program.levels if level.name in self.equal]

    def next(self, stop: Stop, seconds: float | None) -> tuple[bool, Solved] | None:
        """Give the week farthest from those chosen; None when none differs in any lunch.

        First the nearest of those chosen is as far away as can be, then all of them together.
        With the week comes whether that is proven.
        """
        # A program of its own: its rows stay when the priorities are solved.
        program = Program(self.week)
        rows = [at_most(level, self.counts) for level in self.levels]
        apart = [different(program, packed) for packed in self.chosen]
        nearest = program.board.sheet.count(len(self.week.lunches), "lunches apart")
        rows += [Row.of(Sum([(nearest, -1)]).plus(distance), low=0) for distance in apart]
        every = Sum()
        for distance in apart:
            every.plus(distance)
        proven = True
        for far in (Sum([(nearest, 1)]), every):
            model = cpsat.model_of(program.board.sheet)
            least = Sum().plus(far, -1)
            answer = cpsat.solve(model, least, extra=rows, limit=ONE_WEEK, stop=stop)
            if answer.values is None or far.value(answer.values) == 0:
                return None
            proven = proven and answer.status is Status.OPTIMAL
            rows.append(Row.of(far, low=far.value(answer.values)))
        solved = solve(program, extra=rows, seconds=seconds, stop=stop)
        if solved.packed is None:
            return None
        self.chosen.append(solved.packed)
        return proven, solved


def different(program: Program, packed: PackedWeek) -> Sum:
    """Count the lunches whose dish is not the one of a packed week.

    Parameters
    ----------
    program
        A program of single eaters.
    packed
        A packed week.

    Returns
    -------
    Sum
        Lunches that only one of the two has do not count.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> different(program, solved.packed).value(solved.counts)
    0
    >>> different(program, solved.packed).value([0] * len(solved.counts))
    3
    """
    dishes = {(lunch.eater, lunch.day): lunch.dish for lunch in packed.lunches}
    total = Sum()
    for slot in program.board.slots:
        dish = dishes.get((slot.eaters[0], slot.day))
        if dish is not None:
            total.constant += slot.size
            total.plus(program.board.times(slot, dish), -1)
    return total


def others(
    week: Week,
    count: int,
    *,
    equal: int | None = None,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Say = silent,
) -> tuple[OthersFile, list[Solved]]:
    """Find weeks as good as the plan in the first priorities and as different as can be.

    Parameters
    ----------
    week
        The week.
    count
        How many.
    equal
        In how many priorities, from the first; `EQUAL` when left out.
    seconds
        Time limit for each plan.
    stop
        Ends the search early; what is found by then is given.
    say
        Is told what is being done.

    Returns
    -------
    tuple of OthersFile and list of Solved
        The plan and the other weeks, and each as it was solved.

    Raises
    ------
    InputError
        When the week has not so many priorities.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> answer, plans = others(read_week("starter"), 1)
    >>> answer.weeks[0].differs, len(answer.weeks) == len(plans)
    (0, True)
    """
    order = ranked(week.priorities)
    equal = min(EQUAL, len(order)) if equal is None else equal
    if not 0 <= equal <= len(order):
        raise InputError(
            "--equal", f"the week has {len(order)} priorities", f"Name 0 to {len(order)}."
        )
    stop = Stop() if stop is None else stop
    say("looking for the best week")
    program, solved = solve_week(week, seconds=seconds, stop=stop)
    answer = OthersFile(
        name=week.name, currency=week.currency, status=solved.status.value, equal=order[:equal]
    )
    if solved.packed is None:
        return answer.model_copy(update={"interrupted": stop.asked}), []
    search = _Apart(week, program, solved, equal)
    weeks, plans = [_line(week, 0, solved, solved.packed, proven=True)], [solved]
    exhausted = False
    while len(weeks) <= count and not stop.over:
        say(f"looking for other weeks, {len(weeks) - 1} found")
        more = search.next(stop, seconds)
        if more is None:
            exhausted = not stop.over
            break
        proven, other = more
        weeks.append(_line(week, len(weeks), other, solved.packed, proven=proven))
        plans.append(other)
    done = {"weeks": weeks, "exhausted": exhausted, "interrupted": stop.asked}
    return answer.model_copy(update=done), plans


def _line(week: Week, at: int, solved: Solved, plan: PackedWeek, *, proven: bool) -> OtherWeek:
    dishes = {(lunch.eater, lunch.day): lunch.dish for lunch in plan.lunches}
    packed = solved.packed if solved.packed is not None else PackedWeek((), ())
    lunches = [
        WeekLunch(
            date=lunch.day,
            eater=lunch.eater,
            dish=lunch.dish,
            portions=portions_said(week, lunch),
            same=dishes.get((lunch.eater, lunch.day)) == lunch.dish,
        )
        for lunch in packed.lunches
    ]
    return OtherWeek(
        number=at,
        differs=sum(not lunch.same for lunch in lunches),
        proven=proven and solved.status is Status.OPTIMAL,
        lunches=lunches,
        values={value.name: number(value.value) for value in solved.values},
    )


# -- two priorities ------------------------------------------------------------------


def trade_off(
    week: Week,
    first: str,
    second: str,
    *,
    most: int = 50,
    stop: Stop | None = None,
    say: Say = silent,
) -> TradeOffFile:
    """Give every best compromise between two priorities, over all weeks that keep the rules.

    Parameters
    ----------
    week
        The week.
    first, second
        Names of two priorities of the week.
    most
        How many compromises at the most.
    stop
        Ends the search early; what is found by then is given.
    say
        Is told what is being done.

    Returns
    -------
    TradeOffFile
        Points from the best in the first to the best in the second; of two, neither is as good in
        both.

    Raises
    ------
    InputError
        When both are the same.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> answer = trade_off(read_week("starter"), "left_over", "cost")
    >>> all(near.second > far.second for near, far in zip(answer.points, answer.points[1:]))
    True
    """
    if first == second:
        raise InputError("trade-off", "that is one priority twice", "Name two of the week's.")
    stop = Stop() if stop is None else stop
    say("looking for the best week")
    program, solved = solve_week(week, stop=stop)
    reached = {value.name: number(value.value) for value in solved.values}
    answer = TradeOffFile(
        name=week.name,
        currency=week.currency,
        first=first,
        second=second,
        status=solved.status.value,
        no_prices=sums.priceless(week),
        plan=[reached[first], reached[second]] if solved.packed is not None else None,
    )
    if solved.packed is None:
        return answer.model_copy(update={"interrupted": stop.asked})
    points: list[Point] = []
    cut = False
    for point in front(program, program.level(first), program.level(second), stop):
        if len(points) == most:
            cut = True
            break
        at = (point.first, point.second)
        points.append(point.model_copy(update={"plan": at == (reached[first], reached[second])}))
        say(f"looking for compromises, {len(points)} found")
    return answer.model_copy(update={"points": points, "cut": cut, "interrupted": stop.asked})


def front(program: Program, first: Level, second: Level, stop: Stop) -> Iterator[Point]:
    """Walk along all best compromises between two priorities, the best of the first before all.

    The least of the first priority, then of the second beside it, is a compromise; the next one
    is where the second is a step better. Both come in whole steps, so none is passed over.

    Parameters
    ----------
    program
        The week.
    first, second
        Two of its priorities, as sums to make small.
    stop
        Ends the walk early from another thread.

    Yields
    ------
    Point
        A compromise with its week, which is the best in all priorities among those as good.

    Notes
    -----
    The epsilon-constraint method: Haimes, Lasdon and Wismer, On a bicriterion formulation of
    the problems of integrated system identification and system optimization, IEEE Transactions
    on Systems, Man, and Cybernetics 1, 1971.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("starter"))
    >>> points = list(front(program, program.level("left_over"), program.level("cost"), Stop()))
    >>> all(point.proven for point in points)
    True
    """
    model = cpsat.model_of(program.board.sheet)
    better: list[Row] = []
    while not stop.over:
        rows = [*better]
        proven = True
        for level in (first, second):
            answer = cpsat.solve(model, level.total, extra=rows, limit=ONE_WEEK, stop=stop)
            if answer.values is None:
                return
            proven = proven and answer.status is Status.OPTIMAL
            rows.append(at_most(level, answer.values))
        solved = solve(program, extra=rows, stop=stop)
        if solved.counts is None or solved.packed is None:
            return
        yield Point(
            first=_value(first, solved.counts),
            second=_value(second, solved.counts),
            proven=proven,
            plan=False,
            dishes=[lunch_said(program.week, lunch) for lunch in solved.packed.lunches],
            values={value.name: number(value.value) for value in solved.values},
        )
        reached = second.total.value(solved.counts)
        better = [Row.of(second.total, high=reached - second.step)]


def _value(level: Level, counts: list[int]) -> float:
    return number(level.reached(level.total.value(counts)))
