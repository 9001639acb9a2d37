"""One week, three ways through solvers: the answers must be one.

The program hands CP-SAT its rows through the binding beneath ortools' Python layer and
folds many priorities into one objective by weights. Here the same rows go to HiGHS, one
priority after another and unfolded, and to CP-SAT through ortools' public layer. Whatever
differs would be a fault of the handing over, of the folding, or of a solver.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

from ortools.sat.python import cp_model

from models.file.reading import read_week
from optimiser.board.rows import Row, Sum
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Level, Program, Stage
from optimiser.solve.week import Solved, at_most, solve

from .claims import Cases, claim
from .rows_in_highs import broken_rows, least


@cache
def demo() -> Program:
    """Write the program of the ready week once."""
    return Program(read_week("demo"))


@cache
def planned() -> Solved:
    """Plan the ready week once."""
    return solve(demo(), seconds=60)


def in_units(level: Level, total: int) -> Decimal:
    """Turn a level's sum into its priority's unit; more is better is counted below zero."""
    number = Decimal(total) / level.priority.per_unit
    return -number if level.priority.most else number


def steps_of(level: Level) -> Sum:
    """Shrink a level to its steps, so that floating point meets small whole numbers."""
    return Sum((at, weight // level.step) for at, weight in level.total.terms.items())


@claim("every priority of the rows of demo, one after another", "HiGHS", of="priorities")
def test_highs_finds_the_same_values_level_by_level() -> Cases:
    program = demo()
    rows: list[Row] = list(program.rows)
    by_highs: dict[str, Decimal] = {}
    for level in program.levels:
        steps = steps_of(level)
        values = least(program.board.sheet.bounds, rows, steps, whole=True)
        assert values is not None, level.name
        counts = values.whole()
        by_highs[level.name] = in_units(level, level.total.value(counts))
        # Held for all levels after it, as "without making an earlier one worse" says.
        rows.append(Row(tuple(steps.terms.items()), None, steps.value(counts), None))
    assert planned().status is Status.OPTIMAL
    assert by_highs.keys() == {value.name for value in planned().values}
    for value in planned().values:
        assert value.proven
        yield value.name, by_highs[value.name], value.value


def test_the_plan_keeps_every_row_in_exact_arithmetic() -> None:
    counts = planned().counts
    assert counts is not None
    assert not broken_rows(demo().board.sheet.bounds, demo().rows, counts)


def public_model(stage: Stage, extra: list[Row]) -> cp_model.CpModel:
    """Write the rows of the ready week and one stage through ortools' public layer."""
    model = cp_model.CpModel()
    counts: list[Any] = [
        model.new_int_var(low, high, name)
        for (low, high), name in zip(
            demo().board.sheet.bounds, demo().board.sheet.names, strict=True
        )
    ]

    def written(terms: list[tuple[int, int]]) -> Any:
        return cp_model.LinearExpr.weighted_sum(
            [counts[at] for at, _ in terms], [weight for _, weight in terms]
        )

    for row in [*demo().rows, *extra]:
        total = written(list(row.terms))
        if row.low is not None:
            model.add(total >= row.low)
        if row.high is not None:
            model.add(total <= row.high)
    model.minimize(written(list(stage.total.terms.items())) + stage.total.constant)
    return model


def by_public_layer(stage: Stage, extra: list[Row]) -> tuple[int, list[int]]:
    """Solve a stage through ortools' public layer."""
    model = public_model(stage, extra)
    solver = cp_model.CpSolver()
    # Other settings than the program's own: an optimum does not depend on them.
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 2
    solver.parameters.linearization_level = 2
    assert solver.solve(model) == cp_model.OPTIMAL
    counts = [
        solver.value(model.get_int_var_from_proto_index(at))
        for at in range(len(demo().board.sheet.bounds))
    ]
    return stage.total.value(counts), counts


def test_the_public_layer_of_ortools_finds_the_same_optima() -> None:
    model = cpsat.model_of(demo().board.sheet)
    extra: list[Row] = []
    assert demo().stages
    for stage in demo().stages:
        answer = cpsat.solve(model, stage.total, extra=extra)
        assert answer.status is Status.OPTIMAL
        assert answer.values is not None
        optimum, counts = by_public_layer(stage, extra)
        assert stage.total.value(answer.values) == answer.bound == optimum
        assert not broken_rows(demo().board.sheet.bounds, [*demo().rows, *extra], counts)
        for level in stage.levels:
            assert level.total.value(answer.values) == level.total.value(counts)
        extra.extend(at_most(level, answer.values) for level in stage.levels)


def test_the_binding_holds_every_bound_and_row_of_the_program() -> None:
    # Not only the optimum: a row lost on the way must show even where this week's plan
    # would be the same without it.
    handed = cpsat.model_of(demo().board.sheet)
    assert [tuple(count.domain) for count in handed.variables] == demo().board.sheet.bounds
    unbounded = 2**61
    found: list[tuple[dict[int, int], int | None, int | None]] = []
    for row in handed.constraints:
        low, high = row.linear.domain
        terms = dict(zip(row.linear.vars, row.linear.coeffs, strict=True))
        found.append((terms, None if low < -unbounded else low, None if high > unbounded else high))
    assert found == [(dict(row.terms), row.low, row.high) for row in demo().rows]
