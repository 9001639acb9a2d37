"""Of weeks equal in every priority a plan is always the same one, whichever way it was searched."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from hypothesis import given, seed
from ortools.sat.python import cp_model

from models.file.reading import read_week, week_of
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.solve import cpsat
from optimiser.solve.program import Program
from optimiser.solve.week import at_most, by_levels, by_stages, packed_of
from tests import weeks
from tests.depth import sized
from tests.optimiser.test_levelwise import repeatable
from tests.weeks import TINY, WeekData, document_of

MOST = 25
"""Beyond so many equal weeks they are not listed."""


def as_good(program: Program, counts: list[int]) -> list[list[int]]:
    """List every week that is equal in all priorities, each forbidden once it is there."""
    model = cp_model.CpModel()
    model.Proto().copy_from(cpsat.model_of(program.board.sheet))

    def total(terms: Iterable[tuple[int, int]]) -> cp_model.LinearExpr:
        pairs = list(terms)
        variables = [model.get_int_var_from_proto_index(at) for at, _ in pairs]
        return cp_model.LinearExpr.weighted_sum(variables, [weight for _, weight in pairs])

    for level in program.levels:
        row = at_most(level, counts)
        assert row.high is not None
        model.add(total(row.terms) <= row.high)
    board = program.board
    kinds = (board.serving_counts, board.option_counts, board.extra_counts, board.thaw_counts)
    decided = [at for kind in kinds for by_lunch in kind for at in by_lunch.values()]
    listed: list[list[int]] = []
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.cp_model_presolve = False
    while len(listed) <= MOST and solver.solve(model) == cp_model.OPTIMAL:
        places = range(len(board.sheet.bounds))
        listed.append([solver.value(model.get_int_var_from_proto_index(at)) for at in places])
        others = []
        for at in decided:
            others.append(model.new_bool_var(""))
            model.add(total([(at, 1)]) != listed[-1][at]).only_enforce_if(others[-1])
        model.add_bool_or(others)
    return listed


def place_of(week: Week, packed: PackedWeek) -> list[object]:
    """Say by what equal weeks are ordered, lunch by lunch, from the packed week alone."""
    lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
    place: list[object] = []
    for eater, day in ((eater, day) for eater in week.eaters for day in week.days):
        lunch = lunches.get((eater, day))
        if lunch is None:
            continue
        place.append(list(week.dishes).index(lunch.dish))
        place.append([lunch.of(take.batch) for take in week.dishes[lunch.dish].takes])
        for choice in week.choices.values():
            options = [option.item for option in choice.options]
            at = lunch.options.get(choice.name)
            place.append(0 if at is None else options.index(at))
        place.append([lunch.extras.get(x.helping.item, 0) for x in week.dishes[lunch.dish].extras])
        thawed = {part.batch: part.thawed for part in lunch.portions}
        place.append([thawed.get(name, 0) for name in week.batches])
    return place


def is_first_of_equal(week: Week) -> int:
    """Hold a plan, searched in two ways, against every week that is equal to it; count these."""
    ways = [by_stages(Program(week)), by_levels(Program(week))]
    program = Program(week)
    _, values, counts = ways[0]
    if counts is None:
        return 0
    equal = as_good(program, counts)
    if len(equal) > MOST:
        return 0
    assert all(value.proven for value in values)
    plans = [packed_of(program, found) for _, _, found in ways if found is not None]
    places = [place_of(week, packed_of(program, found)) for found in equal]
    first = packed_of(program, equal[places.index(min(places))])
    assert places.count(min(places)) == 1
    assert plans == [first, first]
    return len(equal)


@pytest.mark.parametrize(("name", "number"), [("starter", 20), ("demo", 2)])
def test_of_the_equal_weeks_of_a_ready_week_it_is_the_first(name: str, number: int) -> None:
    assert is_first_of_equal(read_week(name)) == number


def test_of_equal_random_weeks_it_is_the_first() -> None:
    numbers: list[int] = []

    @seed(4)
    @repeatable(sized(6, 200))
    @given(data=weeks.files(TINY))
    def check(data: WeekData) -> None:
        numbers.append(is_first_of_equal(week_of(document_of(data))))

    check()
    assert max(numbers) > 1
