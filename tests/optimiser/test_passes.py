"""Passes over columns, held against the solver: what they settle is what it says.

Random weeks in random orders of priorities, every dish at every lunch and other volumes of batches;
a column that is lost, a counter that forgets too much or a cut-off too near would show as another
verdict, value or week.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import product
from types import SimpleNamespace

import pytest
from hypothesis import given, seed
from hypothesis import strategies as st

from models.file.knobs import yield_knob
from models.file.reading import read_week, week_of
from models.week.cook import week_cooked_in
from models.week.sums import draw
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.rows import Row, Sum
from optimiser.explain.foils import Foils, Verdict
from optimiser.solve import questions
from optimiser.solve.columns import (
    Counter,
    NotForPassesError,
    WeekColumns,
    _ways,
    machine_of_packs,
)
from optimiser.solve.limits import NO_LIMIT, Stop
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve_week
from optimiser.weeks.volumes import solved_together
from optimiser.weeks.whatif import what_if
from tests import weeks as drawn
from tests.depth import repeatable, sized
from tests.households import Household
from tests.optimiser.test_levelwise import in_order
from tests.weeks import SMALL, THEMES, Dice, document_of

np = pytest.importorskip("numpy")

ONE = replace(SMALL, eaters=1, lunches=4)


def one_eater(dice: Dice, theme: str, order: int, few: int) -> Week:
    """Read a random week of one eater, its priorities in some order, perhaps not all of them."""
    week = week_of(document_of(drawn._file(ONE, theme, dice, earlier=order % 2 == 1)))
    week = in_order(week, order)
    return replace(week, priorities=(*week.priorities[:-1][:few], TIE_BREAK))


def told(verdict: Verdict) -> tuple[str, str, Decimal]:
    return verdict.kind, "" if verdict.level is None else verdict.level.name, verdict.lost


def reached(solved: Solved) -> list[tuple[str, Decimal]]:
    return [(each.name, each.value) for each in solved.values]


def all_dishes(foils: Foils) -> dict[tuple[int, str], Verdict]:
    return {
        (slot.at, dish): foils.verdict([foils.dish(slot, dish)])
        for slot in foils.program.board.slots
        for dish in foils.week.dishes
    }


def test_every_dish_and_volume_of_random_weeks_is_as_the_solver_says() -> None:
    settled = {"dishes": 0, "volumes": 0}

    @seed(1)
    @repeatable(sized(10, 700))
    @given(
        dice=drawn.dice(),
        theme=st.sampled_from(THEMES),
        order=st.integers(0, 40319),
        few=st.integers(1, 9),
        more=st.integers(1, 9),
    )
    def check(dice: Dice, theme: str, order: int, few: int, more: int) -> None:
        week = one_eater(dice, theme, order, few)
        program, solved = solve_week(week)
        if solved.packed is not None:
            foils = Foils(program, solved, limit=NO_LIMIT)
            known, by_solver = foils.of_every_dish(), all_dishes(foils)
            settled["dishes"] += len(known)
            for place, verdict in known.items():
                assert told(verdict) == told(by_solver[place]), (place, week.priorities)
        asked = [{name: 1 + more % (1 + at)} for at in range(4) for name in week.batches]
        turned = [week_cooked_in(week, portions) for portions in asked]
        for other, plan in zip(turned, solved_together(week, turned, asked), strict=True):
            if plan is not None:
                settled["volumes"] += 1
                _, alone = solve_week(other)
                assert plan.packed == alone.packed
                assert reached(plan) == reached(alone)

    check()
    assert settled["dishes"] > 30
    assert settled["volumes"] > 10


# -- a week as a cook has it ----------------------------------------------------------


def test_the_demo_is_settled_whole_and_as_the_solver_says() -> None:
    week = read_week("demo")
    program, solved = solve_week(week)
    foils = Foils(program, solved, limit=NO_LIMIT)
    known = foils.of_every_dish()
    assert len(known) == 6 * len(week.dishes)
    slot = program.board.slots[3]
    for dish in ("Soup and toast", "Ham rolls", "Bake and beetroot", "Cold bake plate"):
        assert told(known[slot.at, dish]) == told(foils.verdict([foils.dish(slot, dish)]))
    asked = [{"barley pot": pot, "leek bake": bake} for pot in (4, 7, 11) for bake in (3, 6)]
    turned = [week_cooked_in(week, portions) for portions in asked]
    plans = solved_together(week, turned, asked)
    assert None not in plans
    _, alone = solve_week(turned[3])
    assert plans[3] is not None
    assert (plans[3].packed, plans[3].values) == (alone.packed, alone.values)


@pytest.mark.parametrize(
    "named", ["1,5,12,3,5", *(f"1,5,{8 + at % 5},3,{at}" for at in range(2, sized(2, 22)))]
)
def test_a_week_as_households_have_it_is_as_the_solver_says(named: str) -> None:
    """Of the first what is left of Friday is all thawed, and the freezer takes no more."""
    week = Household.named(named).week()
    program, solved = solve_week(week)
    known: dict[tuple[int, str], Verdict] = {}
    if solved.packed is not None:
        foils = Foils(program, solved, limit=NO_LIMIT)
        known, slot = foils.of_every_dish(), program.board.slots[3]
        for dish in week.dishes:
            if (slot.at, dish) in known:
                assert told(known[slot.at, dish]) == told(foils.verdict([foils.dish(slot, dish)]))
    asked = [{"dumplings": portions} for portions in (3, 4, 5, 8)]
    turned = [week_cooked_in(week, portions) for portions in asked]
    plans = solved_together(week, turned, asked)
    if named.endswith("3,5"):
        assert len(known) == 5 * len(week.dishes)
        assert None not in plans
    for other, plan in zip(turned[: sized(1, 4)], plans, strict=False):
        if plan is not None:
            # Which of equal weeks is the first the solver need not know of a week of this size.
            assert reached(plan) == reached(solve_week(other)[1])


def test_what_is_not_settled_the_solver_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    week = read_week("minimal")
    knob = yield_knob(week, "rice and beans=2..7", "--yield")
    rows = what_if(week, [knob]).rows
    asked = [{"rice and beans": portions} for portions in range(2, 8)]
    turned = [week_cooked_in(week, portions) for portions in asked]
    assert any(solved_together(week, turned, asked))
    monkeypatch.setattr(questions, "MOST_STEPS", 1)
    assert not any(solved_together(week, turned, asked))
    program, solved = solve_week(week)
    assert Foils(program, solved).of_every_dish() == {}
    assert what_if(week, [knob]).rows == rows


def test_who_stops_it_is_not_kept_waiting() -> None:
    week = read_week("minimal")
    asked = [{"rice and beans": portions} for portions in range(2, 8)]
    turned = [week_cooked_in(week, portions) for portions in asked]
    stop = Stop()
    stop.now()
    assert not any(solved_together(week, turned, asked, stop))


def test_more_equal_weeks_than_are_told_apart_are_left_to_the_solver(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    week = replace(read_week("minimal"), priorities=("left_over", TIE_BREAK))
    asked = [{"rice and beans": portions} for portions in range(4, 8)]
    turned = [week_cooked_in(week, portions) for portions in asked]
    monkeypatch.setattr(questions, "MOST_ALIKE", 0)
    assert not any(solved_together(week, turned, asked))


# -- what it is not for -----------------------------------------------------------------


def refused(program: Program, why: str) -> None:
    with pytest.raises(NotForPassesError, match=why):
        WeekColumns(program, program.levels)


def test_a_week_that_columns_cannot_tell_is_left_to_the_solver() -> None:
    family = read_week("family")
    name = next(iter(family.batches))
    assert solved_together(family, [family] * 4, [{name: 1}] * 4) == [None] * 4
    refused(Program(family, (tuple(family.eaters),)), "counted together")


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        (lambda at, new: [Row(((at, 1), (new, -1)), 0, 0, None, when=new)], "only sometimes"),
        (lambda at, new: [Row(((at, 1), (new, 1)), None, 1, None)], "no lunch|of its own"),
        (lambda at, new: [Row(((at, 1),), 2, None, None)], "no column"),
        (lambda at, new: [Row((), 1, None, None)], "no week keeps"),
    ],
    ids=["switched", "a count of several", "no way", "never"],
)
def test_a_row_that_columns_cannot_tell_is_found(rows: object, why: str) -> None:
    program = Program(read_week("minimal"))
    first, second = (next(iter(of.values())) for of in program.board.serving_counts[:2])
    new = program.board.sheet.count(1, "something new")
    made: list[Row] = rows(first, new)  # type: ignore[operator]
    program.rows.extend(made)
    if why.startswith("no lunch"):
        program.rows.append(Row.of(Sum([(second, 1), (new, 1)]), high=1))
    refused(program, why)


def test_a_batch_of_which_some_is_frozen_is_not_cooked_otherwise() -> None:
    week = read_week("minimal")
    (name,) = week.batches
    frozen = replace(week, batches={name: replace(week.batches[name], frozen=1)})
    assert solved_together(frozen, [frozen] * 4, [{name: 6}] * 4) == [None] * 4
    # Of too few what it takes is not even loaded.
    assert solved_together(week, [week] * 3, [{name: 6}] * 3) == [None] * 3


# -- ways of a lunch ------------------------------------------------------------------------


@repeatable(sized(60, 3000))
@given(data=st.data(), tops=st.lists(st.integers(0, 3), min_size=1, max_size=3))
def test_ways_of_a_lunch_are_those_that_its_rows_allow(
    data: st.DataObject, tops: list[int]
) -> None:
    """Two servings, some counts, and one that only helps, with few or with many values."""
    most_of_helper = data.draw(st.sampled_from([1, 3, 40]))
    bounds = [(0, 1), (0, 1), *((0, top) for top in tops), (0, most_of_helper)]
    weight = st.integers(-3, 3)
    rows = data.draw(
        st.lists(st.tuples(*[weight] * len(bounds), st.integers(-4, 9)), min_size=1, max_size=5)
    )
    table = np.array(rows, np.int64)
    ways = _ways(table[:, :-1].T, table[:, -1], np.array(bounds, np.int64), 2, 1)
    values = product(*(range(low, high + 1) for low, high in bounds))
    fits = {
        way[:-1]
        for way in values
        if way[0] + way[1] == 1
        and all(sum(x * y for x, y in zip(way, row, strict=False)) <= row[-1] for row in rows)
    }
    assert len(ways) == len(fits)
    assert {tuple(way) for way in ways.tolist()} == fits


# -- passes ---------------------------------------------------------------------------------


@repeatable(sized(40, 2000))
@given(data=st.data(), sizes=st.lists(st.integers(1, 4), min_size=1, max_size=4))
def test_the_best_with_each_column_is_that_of_all_weeks(
    data: st.DataObject, sizes: list[int]
) -> None:
    costs = [np.array(data.draw(numbers(size, 0, 9)), np.int64) for size in sizes]
    counters = []
    for _ in range(data.draw(st.integers(0, 4))):
        weights = tuple(np.array(data.draw(numbers(size, 0, 3)), np.int64) for size in sizes)
        most = data.draw(st.integers(max(int(of.max()) for of in weights), 9))
        made = Counter(most, data.draw(st.integers(0, 2)), weights=weights)
        if data.draw(st.booleans()):
            free, step, cost = data.draw(st.tuples(*map(st.integers, (-2, 1, 0), (6, 3, 5))))
            made = replace(made, depth=1, free=free, step=step, count=7, cost=cost)
        counters.append(made)
    marks = [np.append(0 * of, 4 * at + 1 + np.arange(len(of))) for at, of in enumerate(costs)]
    taken = [np.tile(np.arange(len(of)), 2) for of in costs]
    columns = SimpleNamespace(costs=costs, counters=counters, machines=[])
    asked = questions._Asked(columns, taken, marks, 4 * len(sizes))  # type: ignore[arg-type]
    best = [questions.NEVER] * (4 * len(sizes))
    for week in product(*map(range, sizes)):
        total = sum(int(of[x]) for of, x in zip(costs, week, strict=True))
        for each in counters:
            came = sum(int(of[x]) for of, x in zip(each.weights, week, strict=True))
            total += each.cost * max(0, -((each.free - came) // each.step))
            total = total if came <= each.most else questions.NEVER
        for at, x in enumerate(week):
            best[4 * at + x] = min(best[4 * at + x], total)
    known = data.draw(st.sampled_from([-5, min(best)]))
    assert asked.settled(known, None)[0].tolist() == best


def numbers(size: int, low: int, high: int) -> st.SearchStrategy[list[int]]:
    return st.lists(st.integers(low, high), min_size=size, max_size=size)


# -- packs --------------------------------------------------------------------------------


@repeatable(sized(60, 3000))
@given(
    uses=st.lists(st.integers(0, 7), min_size=1, max_size=5),
    gaps=st.lists(st.integers(1, 3), min_size=5, max_size=5),
    size=st.integers(1, 5),
    life=st.integers(0, 4),
)
def test_packs_are_opened_as_the_audit_opens_them(
    uses: list[int], gaps: list[int], size: int, life: int
) -> None:
    days = [date(2026, 11, 30) + timedelta(sum(gaps[:at])) for at in range(len(uses))]
    machine = machine_of_packs([np.array([0, use]) for use in uses], days, size, life)
    state, by_machine, by_audit, rests = 0, 0, 0, []
    for at, (day, use) in enumerate(zip(days, uses, strict=True)):
        move = machine.use[at][1]
        by_machine += int(machine.price[at][state, move])
        state = int(machine.to[at][state, move])
        spoilt = lambda opened, day=day: day > opened + timedelta(life)  # noqa: E731
        rests, packs, rest = draw(rests, use, size, spoilt)
        rests += [(day, rest)] if rest else []
        by_audit += packs
    assert by_machine == by_audit
