"""The program's rows handed to HiGHS, so that a solver of another make can judge them.

HiGHS counts in floating point. Whatever it finds in whole numbers is therefore held
against every row again in exact arithmetic before a test may rely on it.
"""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.week import Week
from optimiser.board.rows import Row, Sum

_OPTIONS: dict[str, bool | int | float] = {
    "output_flag": False,
    # One process may not mix numbers of threads.
    "threads": 1,
    "random_seed": 1,
    # The default gap would let HiGHS stop a ten-thousandth short of the optimum.
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 1e-7,
    "mip_feasibility_tolerance": 1e-9,
    "primal_feasibility_tolerance": 1e-9,
    "dual_feasibility_tolerance": 1e-9,
}


@dataclass(frozen=True, slots=True)
class Least:
    """The least value of a sum, and counts that reach it."""

    value: float
    counts: list[float]

    def whole(self) -> list[int]:
        """Give the counts as the whole numbers they stand for."""
        return [round(count) for count in self.counts]


def week_from(text: str) -> Week:
    """Read a week from text through the same door as a user's file."""
    return week_of(parse("published", text))


def least(
    bounds: Sequence[tuple[int, int]],
    rows: Sequence[Row],
    total: Sum,
    *,
    whole: bool,
    seconds: float = math.inf,
) -> Least | None:
    """Make a sum as small as the rows allow; None when they contradict.

    Parameters
    ----------
    whole
        True for whole numbers, False for the linear relaxation.
    seconds
        How many of the processor it may take.

    Raises
    ------
    TimeoutError
        When it is not known by then.
    """
    solver = highspy.Highs()
    for option, value in _OPTIONS.items():
        solver.setOptionValue(option, value)
    end = time.process_time() + seconds

    def end_late(kind: object, text: str, known: object, answer: Any, data: object) -> None:
        answer.user_interrupt = time.process_time() > end

    if seconds < math.inf:
        solver.setCallback(end_late, None)
        solver.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
        solver.startCallback(highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt)
    solver.passModel(_model(bounds, rows, total, whole=whole))
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status == highspy.HighsModelStatus.kInterrupt:
        raise TimeoutError
    assert status == highspy.HighsModelStatus.kOptimal, status
    counts = [float(count) for count in solver.getSolution().col_value]
    if whole:
        broken = broken_rows(bounds, rows, [round(count) for count in counts])
        assert not broken, f"HiGHS breaks {broken[:3]} once rounded"
    return Least(float(solver.getInfo().objective_function_value) + total.constant, counts)


def _model(
    bounds: Sequence[tuple[int, int]],
    rows: Sequence[Row],
    total: Sum,
    *,
    whole: bool,
) -> highspy.HighsLp:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(bounds), len(rows)
    cost = np.zeros(len(bounds))
    for count, weight in total.terms.items():
        cost[count] = weight
    model.col_cost_ = cost
    model.col_lower_ = np.array([low for low, _ in bounds], dtype=float)
    model.col_upper_ = np.array([high for _, high in bounds], dtype=float)
    free = highspy.kHighsInf
    model.row_lower_ = np.array([-free if row.low is None else row.low for row in rows])
    model.row_upper_ = np.array([free if row.high is None else row.high for row in rows])
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(row.terms) for row in rows)], dtype=np.int32)
    model.a_matrix_.index_ = np.array([at for row in rows for at, _ in row.terms], dtype=np.int32)
    model.a_matrix_.value_ = np.array([by for row in rows for _, by in row.terms], dtype=float)
    if whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(bounds)
    return model


def broken_rows(
    bounds: Sequence[tuple[int, int]], rows: Sequence[Row], counts: Sequence[int]
) -> list[str]:
    """List, in exact arithmetic, what whole-number counts break."""
    broken = [
        f"bounds of count {at}"
        for at, (low, high) in enumerate(bounds)
        if not low <= counts[at] <= high
    ]
    for at, row in enumerate(rows):
        value = Sum(row.terms).value(list(counts))
        if (row.low is not None and value < row.low) or (row.high is not None and value > row.high):
            broken.append(f"row {at} of {row.rule}")
    return broken
