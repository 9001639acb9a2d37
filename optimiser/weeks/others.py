"""Other good weeks, and every best compromise between two priorities.

Each other week is as good as the plan in the first priorities and, by proof, as far as can be
from the plan and from those before it; of such weeks it is the best in the other priorities. A
compromise is found by epsilon-constraint: the least of one priority, then of the other, then
the other one step better.
"""

from __future__ import annotations

from collections.abc import Iterator

from models.answers.others import OthersFile, OtherWeek, Point, TradeOffFile, WeekLunch
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.errors import InputError
from models.words.priorities import ranked
from optimiser.board.rows import Row, Sum
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_WEEK, Say, Stop, silent
from optimiser.solve.program import Level, Program
from optimiser.solve.week import Solved, at_most, solve, solve_week
from optimiser.written import lunch_said, number, portions_said

EQUAL = 2
"""In how many priorities other weeks are as good, where nobody says."""


class _Apart:
    """Looks for weeks as far apart as can be."""

    def __init__(self, week: Week, program: Program, solved: Solved, equal: int) -> None:
        if solved.counts is None or solved.packed is None:
            raise ValueError("there is no plan to differ from")
        self.week = week
        self.counts = solved.counts
        self.chosen: list[PackedWeek] = [solved.packed]
        self.equal = ranked(week.priorities)[:equal]
        self.levels = [level for level in program.levels if level.name in self.equal]

    def next(self, stop: Stop, seconds: float | None) -> tuple[int, Solved] | None:
        """Give the week farthest from those chosen; None when none differs in any lunch."""
        # A program of its own: its rows stay when the priorities are solved.
        program = Program(self.week)
        rows = [at_most(level, self.counts) for level in self.levels]
        apart = [different(program, packed) for packed in self.chosen]
        nearest = program.board.sheet.count(len(self.week.lunches), "lunches apart")
        rows += [Row.of(Sum([(nearest, -1)]).plus(one), low=0) for one in apart]
        every = Sum()
        for one in apart:
            every.plus(one)
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
        return int(proven), solved


def different(program: Program, packed: PackedWeek) -> Sum:
    """Count the lunches whose dish is not the one of a packed week."""
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

    Raises
    ------
    InputError
        When the week has not so many priorities.
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
    found = OthersFile(
        name=week.name, currency=week.currency, status=solved.status.value, equal=order[:equal]
    )
    if solved.packed is None:
        return found.model_copy(update={"interrupted": stop.asked}), []
    search = _Apart(week, program, solved, equal)
    weeks, plans = [_line(week, 0, solved, solved.packed, proven=True)], [solved]
    exhausted = False
    while len(weeks) <= count and not stop.asked:
        say(f"looking for other weeks, {len(weeks) - 1} found")
        more = search.next(stop, seconds)
        if more is None:
            exhausted = not stop.asked
            break
        proven, one = more
        weeks.append(_line(week, len(weeks), one, solved.packed, proven=bool(proven)))
        plans.append(one)
    done = {"weeks": weeks, "exhausted": exhausted, "interrupted": stop.asked}
    return found.model_copy(update=done), plans


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

    Raises
    ------
    InputError
        When both are the same.
    """
    if first == second:
        raise InputError("trade-off", "that is one priority twice", "Name two of the week's.")
    stop = Stop() if stop is None else stop
    say("looking for the best week")
    program, solved = solve_week(week, stop=stop)
    reached = {value.name: number(value.value) for value in solved.values}
    found = TradeOffFile(
        name=week.name,
        currency=week.currency,
        first=first,
        second=second,
        status=solved.status.value,
        plan=[reached[first], reached[second]] if solved.packed is not None else None,
    )
    if solved.packed is None:
        return found.model_copy(update={"interrupted": stop.asked})
    points: list[Point] = []
    cut = False
    for point in _front(week, program, first, second, stop):
        if len(points) == most:
            cut = True
            break
        at = (point.first, point.second)
        points.append(point.model_copy(update={"plan": at == (reached[first], reached[second])}))
        say(f"looking for compromises, {len(points)} found")
    return found.model_copy(update={"points": points, "cut": cut, "interrupted": stop.asked})


def _front(week: Week, program: Program, first: str, second: str, stop: Stop) -> Iterator[Point]:
    levels = {level.name: level for level in program.levels}
    one, other = levels[first], levels[second]
    model = cpsat.model_of(program.board.sheet)
    rows: list[Row] = []
    while not stop.asked:
        held: list[Row] = []
        proven = True
        for level in (one, other):
            answer = cpsat.solve(
                model, level.total, extra=[*rows, *held], limit=ONE_WEEK, stop=stop
            )
            if answer.values is None:
                return
            proven = proven and answer.status is Status.OPTIMAL
            held.append(at_most(level, answer.values))
        solved = solve(program, extra=[*rows, *held], stop=stop)
        if solved.counts is None or solved.packed is None:
            return
        yield Point(
            first=_value(one, solved.counts),
            second=_value(other, solved.counts),
            proven=proven,
            plan=False,
            dishes=_dishes(week, solved.packed),
            values={value.name: number(value.value) for value in solved.values},
        )
        rows = [Row.of(other.total, high=other.total.value(solved.counts) - other.step)]


def _value(level: Level, counts: list[int]) -> float:
    return number(level.reached(level.total.value(counts)))


def _dishes(week: Week, packed: PackedWeek) -> list[str]:
    return [lunch_said(week, lunch) for lunch in packed.lunches]
