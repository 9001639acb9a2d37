"""The search level by level, held against folded priorities and against the second solver.

One program goes both ways: a wrong bound of the relaxation, a count narrowed too far or a part
that was given up would show as another value, in one order of priorities or another.
"""

from __future__ import annotations

import time
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import permutations, product
from typing import Any

import pytest
from hypothesis import given, reject, seed
from hypothesis import strategies as st

from models.file.reading import read_week, week_of
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.rules import faults_of
from optimiser.solve import cpsat, levelwise
from optimiser.solve.certificate import UNIT, LowerBound
from optimiser.solve.cpsat import Status
from optimiser.solve.levelwise import Levelwise
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.relaxation import Relaxation
from optimiser.solve.week import by_levels, by_stages, packed_of, solve
from tests import weeks
from tests.depth import repeatable, sized
from tests.households import PRIORITIES, Household
from tests.optimiser.asking import keeps_every_row
from tests.oracle import highs, plain
from tests.weeks import SMALL, THEMES, TINY, WeekData, document_of

MOST_COMBINATIONS = 2_000

# -- the relaxation -----------------------------------------------------------------

numbers = st.integers(-3, 3)
three = st.tuples(numbers, numbers, numbers)


@repeatable(sized(80, 2000))
@given(
    rows=st.lists(st.tuples(three, st.integers(-4, 4), st.booleans()), max_size=4),
    aim=three,
    above=st.integers(0, 3),
)
def test_no_whole_counts_are_below_a_bound_or_lost(
    rows: list[tuple[tuple[int, int, int], int, bool]], aim: tuple[int, int, int], above: int
) -> None:
    sheet = Sheet()
    counts = [sheet.count(3, f"count {at}") for at in range(3)]
    for weights, end, least in rows:
        total = Sum(zip(counts, weights, strict=True))
        sheet.bound(total, low=end if least else None, high=None if least else end)
    total = Sum(zip(counts, aim, strict=True), constant=5)
    fitting = [
        list(values)
        for values in product(range(4), repeat=3)
        if all(
            (row.low is None or row.low <= sum(w * values[at] for at, w in row.terms))
            and (row.high is None or sum(w * values[at] for at, w in row.terms) <= row.high)
            for row in sheet.rows
        )
    ]
    bound = Relaxation(sheet).least(total)
    if bound is None:
        return
    assert all(bound.least <= total.value(values) for values in fitting)
    narrowed = bound.narrowed(sheet.bounds, bound.least + above)
    for values in fitting:
        if total.value(values) <= bound.least + above:
            assert all(low <= v <= high for v, (low, high) in zip(values, narrowed, strict=True))


def test_a_box_is_left_alone_where_nothing_is_as_small() -> None:
    assert LowerBound(3, 3 * UNIT, {0: UNIT}).narrowed([(0, 9)], most=2) == [(0, 9)]


def test_a_ceiling_holds_until_it_is_let_go() -> None:
    sheet = Sheet()
    peas, beans = sheet.count(5, "peas"), sheet.count(5, "beans")
    sheet.bound(Sum([(peas, 1), (beans, 1)]), low=4)
    few = Sum([(peas, 1)], constant=1)
    relaxation = Relaxation(sheet, [few])
    relaxation.ceiling(0, 2)
    least = relaxation.least(Sum([(beans, 1)]))
    assert least is not None
    assert least.least == 3
    relaxation.ceiling(0, None)
    least = relaxation.least(Sum([(beans, 1)]))
    assert least is not None
    assert least.least == 0


# -- random weeks -------------------------------------------------------------------


def in_order(week: Week, order: int) -> Week:
    """Put what matters in a week in another order, the order of the file last."""
    rest = [name for name in week.priorities if name != TIE_BREAK]
    mixed: list[str] = []
    while rest:
        order, at = divmod(order, len(rest))
        mixed.append(rest.pop(at))
    return replace(week, priorities=(*mixed, TIE_BREAK))


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_random_weeks_come_out_as_when_folded_and_as_by_highs(theme: str) -> None:
    planned = 0

    @seed(THEMES.index(theme))
    @repeatable(sized(9, 120))
    @given(data=weeks.files(SMALL, theme), order=st.integers(0, 40319))
    def check(data: WeekData, order: int) -> None:
        nonlocal planned
        week = in_order(week_of(document_of(data)), order)
        program = Program(week)
        status, values, counts = by_levels(program)
        folded = Program(week)
        by_fold = by_stages(folded)
        assert status is by_fold[0]
        assert [(x.name, x.value) for x in values] == [(x.name, x.value) for x in by_fold[1]]
        assert all(value.proven and value.bound == value.value for value in values)
        best = highs.best(week).values
        if counts is None:
            assert best is None
            return
        planned += 1
        assert best == tuple((value.name, Fraction(value.value)) for value in values)
        assert keeps_every_row(program.rows, counts)
        assert by_fold[2] is not None
        assert packed_of(program, counts) == packed_of(folded, by_fold[2])

    check()
    assert planned > 1


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_every_order_of_what_matters_comes_out_as_counted_out(theme: str) -> None:
    # Every order of the first few priorities, the others behind them.
    planned = 0

    @seed(THEMES.index(theme))
    @repeatable(sized(4, 40))
    @given(data=weeks.files(TINY, theme))
    def check(data: WeekData) -> None:
        nonlocal planned
        week = week_of(document_of(data))
        first = week.priorities[:-1][: sized(3, 5)]
        try:
            every = plain.reached(week, week.priorities, MOST_COMBINATIONS)
        except plain.TooManyError:
            reject()
        for order in permutations(range(len(first))):
            places = (*order, *range(len(first), len(week.priorities)))
            mixed = tuple(week.priorities[at] for at in places)
            best = min((tuple(sums[at] for at in places) for sums in every), default=())
            _, values, _ = by_levels(Program(replace(week, priorities=mixed)))
            assert [value.value for value in values] == [
                -least if name == "liking" else least
                for name, least in zip(mixed, best, strict=False)
            ]
            planned += bool(every)

    check()
    assert planned > 1


def test_sums_that_are_known_end_the_search_there() -> None:
    week = read_week("family")
    first = Levelwise(Program(week)).settle()
    program = Program(week)
    known = dict(zip((level.name for level in program.levels), first.sums, strict=True))
    assert Levelwise(program, known=known).settle().sums == first.sums


# -- households ---------------------------------------------------------------------

BEST = {
    # As folded priorities come to, where they come to an end, and HiGHS on the same rows.
    "2,5,5,3,1": None,
    "2,5,20,4,1": {"left_over": 0, "thawed": 8, "liking": 7, "minutes": 58, TIE_BREAK: 242},
}


@pytest.mark.parametrize("name", BEST)
def test_a_household_is_proven_within_little_work(name: str) -> None:
    week = Household.named(name).week()
    solved = solve(Program(week))
    assert solved.status is Status.OPTIMAL
    assert all(value.proven for value in solved.values)
    assert solved.packed is not None
    assert list(faults_of(week, solved.packed)) == []
    reached = {value.name: value.value for value in solved.values}
    for priority, value in (BEST[name] or {}).items():
        assert reached[priority] == Decimal(value), priority


@pytest.mark.parametrize(("name", "turns"), [("family", 3), ("2,5,5,3,2", 0)])
def test_with_ever_too_little_work_parts_and_all_as_one_come_to_the_same(
    name: str, turns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = Program(Household.named(name).week() if "," in name else read_week(name))
    whole = Levelwise(program).settle()
    asked: list[bool] = []
    ask = cpsat.solve

    def counted(*given: Any, **named: Any) -> cpsat.Solution:
        asked.append(named["hint"] is not None and named.get("known") is not None)
        return ask(*given, **named)

    monkeypatch.setattr(cpsat, "solve", counted)
    for work, much in (("WHOLE_WORK", 0.002), ("PART_WORK", 0.001), ("TURN_WORK", 0.004)):
        monkeypatch.setattr(levelwise, work, much)
    assert Levelwise(program).settle().sums == whole.sums
    assert sum(asked) >= turns
    assert asked.count(False) > 5


def test_a_week_and_its_plan_come_out_the_same_each_time() -> None:
    week = Household.named("3,4,8,3,1").week(PRIORITIES[::-1])
    once, again = (Levelwise(Program(week)).settle() for _ in range(2))
    assert once == again


# -- ended early --------------------------------------------------------------------


def test_a_search_without_time_knows_no_week() -> None:
    program = Program(read_week("family"))
    status, values, counts = by_levels(program, deadline=time.monotonic() - 1)
    assert (status, values, counts) == (Status.UNKNOWN, [], None)


def test_what_is_proven_before_an_end_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    # Ended after any of its questions: what it calls proven is what a whole search finds.
    week = Household.named("2,5,5,3,2").week()
    whole = Levelwise(Program(week)).settle()
    questions = 0
    real = cpsat.solve
    statuses: set[Status] = set()
    for last in (1, 4, 11, 1000):
        stop, questions = Stop(), 0

        def ending(*things: object, last: int = last, stop: Stop = stop, **more: object) -> object:
            nonlocal questions
            questions += 1
            answer = real(*things, **more)  # type: ignore[arg-type]
            if questions == last:
                stop.now()
            return answer

        monkeypatch.setattr(cpsat, "solve", ending)
        status, values, _ = by_levels(Program(week), stop=stop)
        statuses.add(status)
        for value, level, best in zip(values, Program(week).levels, whole.sums, strict=False):
            if value.proven:
                assert value.value == level.reached(best)
            elif value.bound is not None:
                sign = -1 if level.priority.most else 1
                assert sign * value.bound <= sign * level.reached(best)
                break
        if questions < last:
            break
    assert {Status.OPTIMAL, Status.FEASIBLE} <= statuses


def test_rows_asked_for_besides_are_held() -> None:
    program = Program(read_week("family"))
    settled = Levelwise(program).settle()
    level = program.level("thawed")
    extra = [Row.of(level.total, low=settled.sums[3] + 2)]
    again = Levelwise(Program(program.week), extra=extra).settle()
    assert again.sums[:4] >= (*settled.sums[:3], settled.sums[3] + 2)
