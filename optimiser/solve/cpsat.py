"""CP-SAT: rows in, values and a proof out.

The model is handed over as CP-SAT's own model message through the binding that
ortools' Python layer stands on. That layer would import pandas, which takes longer
than planning a week; a test holds the two against each other. One worker and a
fixed seed make the same rows give the same plan.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from ortools.sat.python import cp_model_helper as binding

from optimiser.board.rows import Row, Sheet, Sum
from optimiser.solve.limits import NO_LIMIT, Limit, Stop

Model: TypeAlias = binding.CpModelProto
"""Counts and rows as CP-SAT takes them."""

_NO_LOW, _NO_HIGH = -(2**62), 2**62
LARGE = 2000
"""From so many counts on a week of several eaters is made simpler more than once."""


class Status(StrEnum):
    """What is known when the solver stops."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNKNOWN = "unknown"


_STATUS = {
    binding.CpSolverStatus.OPTIMAL: Status.OPTIMAL,
    binding.CpSolverStatus.FEASIBLE: Status.FEASIBLE,
    binding.CpSolverStatus.INFEASIBLE: Status.INFEASIBLE,
    binding.CpSolverStatus.UNKNOWN: Status.UNKNOWN,
}


@dataclass(frozen=True, slots=True)
class Solution:
    """What a solve came to.

    Attributes
    ----------
    values
        Value of each count, or None when there is no solution.
    bound
        The objective is proven to be no smaller than this.
    work
        What it took, in CP-SAT's own unit, which does not depend on the machine.
    """

    status: Status
    values: list[int] | None
    bound: int
    work: float = 0.0


UNTOLD = Solution(Status.UNKNOWN, None, _NO_LOW)
"""Time was up before anything was looked at."""
NONE = Solution(Status.INFEASIBLE, None, _NO_LOW)
"""There is none, and somebody else has proven it."""


def model_of(sheet: Sheet, dropped: Collection[str] = ()) -> binding.CpModelProto:
    """Write a sheet's counts and rows as a CP-SAT model, without the rules dropped.

    Parameters
    ----------
    sheet
        Counts and rows.
    dropped
        Keys of rules whose rows are left out.

    Returns
    -------
    binding.CpModelProto
        Counts are its variables, in their order; it has no objective.

    Examples
    --------
    >>> sheet = Sheet()
    >>> apples = sheet.count(9, "apples")
    >>> sheet.bound(Sum([(apples, 1)]), low=2, rule="at least two")
    >>> solve(model_of(sheet), Sum([(apples, 1)])).values
    [2]
    >>> solve(model_of(sheet, {"at least two"}), Sum([(apples, 1)])).values
    [0]
    """
    model = binding.CpModelProto()
    for low, high in sheet.bounds:
        model.variables.add().domain.extend([low, high])
    _add_rows(model, (row for row in sheet.rows if row.rule not in dropped))
    return model


def _add_rows(model: binding.CpModelProto, rows: Iterable[Row]) -> None:
    for row in rows:
        constraint = model.constraints.add()
        if row.when is not None:
            constraint.enforcement_literal.append(row.when)
        linear = constraint.linear
        linear.vars.extend([count for count, _ in row.terms])
        linear.coeffs.extend([weight for _, weight in row.terms])
        linear.domain.extend(
            [
                _NO_LOW if row.low is None else row.low,
                _NO_HIGH if row.high is None else row.high,
            ]
        )


def solve(
    model: binding.CpModelProto,
    objective: Sum | None,
    *,
    extra: Iterable[Row] = (),
    hint: list[int] | None = None,
    known: int | None = None,
    box: Sequence[tuple[int, int]] | None = None,
    cuts: bool = False,
    as_it_is: bool = False,
    limit: Limit = NO_LIMIT,
    stop: Stop | None = None,
) -> Solution:
    """Make an objective as small as can be, or find any solution without one.

    The model is copied, so one may be solved many times, from several threads.

    Parameters
    ----------
    model
        The counts and rows.
    objective
        What to make small.
    extra
        Rows to add.
    hint
        Values to try first.
    known
        The objective is known to be no smaller than this; reaching it ends the search.
    box
        Narrower ranges of all counts.
    cuts
        Whether cuts are to tighten the relaxation: for weeks of several eaters.
    as_it_is
        Whether to search at once: for a question that is easier than making the rows simpler.
    limit
        When to give up.
    stop
        Ends the search from another thread.

    Returns
    -------
    Solution
        Always the same for the same rows, where no time limit strikes.

    Raises
    ------
    RuntimeError
        When CP-SAT takes the model for no model.

    Examples
    --------
    >>> sheet = Sheet()
    >>> pans, pots = sheet.count(9, "pans"), sheet.count(9, "pots")
    >>> sheet.bound(Sum([(pans, 2), (pots, 3)]), low=8)
    >>> answer = solve(model_of(sheet), Sum([(pans, 1), (pots, 1)]))
    >>> answer.status.value, sum(answer.values)
    ('optimal', 3)
    """
    stop = Stop() if stop is None else stop
    if stop.over:
        return UNTOLD
    copy = binding.CpModelProto()
    copy.copy_from(model)
    _add_rows(copy, extra)
    if box is not None:
        _narrow(copy, box)
    if objective is not None:
        copy.objective.vars.extend(list(objective.terms))
        copy.objective.coeffs.extend(list(objective.terms.values()))
        if known is not None:
            copy.objective.domain.extend([known - objective.constant, _NO_HIGH])
    if hint is not None:
        copy.solution_hint.vars.extend(range(len(hint)))
        copy.solution_hint.values.extend(hint)
    wrapper = binding.SolveWrapper()
    left, large = limit.within(stop.left), cuts and len(copy.variables) >= LARGE
    wrapper.set_parameters(_parameters(left, cuts=cuts, as_it_is=as_it_is, large=large))
    stop.watch(wrapper)
    try:
        response: binding.CpSolverResponse = wrapper.solve(copy)  # type: ignore[no-untyped-call]
    finally:
        stop.forget(wrapper)
    status = _STATUS.get(response.status)
    if status not in {Status.OPTIMAL, Status.INFEASIBLE}:
        stop.note()
    if status is None:
        raise RuntimeError(f"CP-SAT refused the program: {response.status}")
    solved = status in {Status.OPTIMAL, Status.FEASIBLE}
    constant = 0 if objective is None else objective.constant
    return Solution(
        status,
        [int(value) for value in response.solution] if solved else None,
        int(response.inner_objective_lower_bound) + constant,
        response.deterministic_time,
    )


def _narrow(model: binding.CpModelProto, box: Sequence[tuple[int, int]]) -> None:
    for variable, (low, high) in zip(model.variables, box, strict=True):
        variable.domain[0], variable.domain[1] = low, high


def _parameters(limit: Limit, *, cuts: bool, as_it_is: bool, large: bool) -> binding.SatParameters:
    parameters = binding.SatParameters()
    parameters.num_workers = 1
    parameters.random_seed = 1
    parameters.catch_sigint_signal = False
    # Measured on weeks of this shape (tests/bench): the full linear relaxation finds
    # what ties choices to servings; probing costs more than it saves, and so do cuts where
    # priorities are folded.
    parameters.linearization_level = 2
    parameters.cut_level = int(cuts)
    parameters.cp_model_probing_level = 0
    parameters.cp_model_presolve = not as_it_is
    if not large:
        # Another round finds little more there and takes a third of a small solve.
        parameters.max_presolve_iterations = 1
    if limit.seconds is not None:
        parameters.max_time_in_seconds = max(0.001, limit.seconds)
    if limit.work is not None:
        parameters.max_deterministic_time = limit.work
    return parameters
