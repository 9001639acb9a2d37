"""Weeks that are solved for the tables of speed: by the program, by an earlier one, by HiGHS.

    PYTHONPATH=. python tests/bench/weeks.py WEEK us|HiGHS SECONDS

prints the CPU seconds that solving it took, with the rows built but without reading the file, the
priorities proven by then, and all priorities; it is ended after so many CPU seconds. A week is a
ready one by name, a file, or "4,5,12,3,1": eaters, days, dishes, batches and seed of
`tests.households`, and groups of alike ones where that is asked for. A week file has seven days at
most. Of more, all batches are made before the first day, what keeps no longer is frozen, and what
may come so often may come as often in each week.

An earlier copy of the program is asked by this file too, so all that it may lack is imported late.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from dataclasses import replace
from datetime import timedelta
from math import ceil

from models.file.reading import read_week, week_of
from models.file.yamltext import parse
from models.week.week import Lunch, Week
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import solve_week

GRACE = 2.0
"""CPU seconds in which a solver has to end that is told to."""


def week_named(name: str) -> Week:
    """Read a week; eaters that are all alike are one entry with a count."""
    if "," not in name:
        return read_week(name)
    from tests.households import DAYS, Household  # noqa: PLC0415

    household = Household.named(name)
    data = json.loads(household.text())
    if household.groups == 1:
        data["eaters"] = {"Office": data["eaters"]["E1"] | {"count": household.eaters}}
    week = week_of(parse(name, json.dumps(data)))
    return week if household.days <= len(DAYS) else lengthened(week, household.days)


def lengthened(week: Week, days: int) -> Week:
    """Give a week more days than a file can, with all that keeps no longer frozen."""
    span = tuple(week.days[0] + timedelta(days=ahead) for ahead in range(days))
    place = week.lunches[0].place
    often = {
        limit: ceil(getattr(week.variety, limit) * days / len(week.days))
        for limit in ("most_times", "same_choice")
    }
    return replace(
        week,
        days=span,
        variety=replace(week.variety, **often),
        lunches=tuple(Lunch(eater, day, place) for day in span for eater in week.eaters),
        batches={
            name: replace(batch, freezer=batch.portions) for name, batch in week.batches.items()
        },
    )


def by_us(week: Week, end: float) -> tuple[int, int]:
    """Solve a week: priorities proven, and all of them; 0 of 0 where it cannot be."""
    stop = Stop()

    def end_late() -> None:
        while time.process_time() < end:
            time.sleep(0.02)
        stop.now()

    threading.Thread(target=end_late, daemon=True).start()
    _, solved = solve_week(week, stop=stop)
    if solved.status == "infeasible":
        return 0, 0
    return sum(value.proven for value in solved.values), len(week.priorities)


def by_highs(week: Week, end: float) -> tuple[int, int]:
    """Solve the same rows with HiGHS, one priority after another; alike eaters are counted."""
    from optimiser.board.board import alike  # noqa: PLC0415
    from tests.published.rows_in_highs import least  # noqa: PLC0415

    program = Program(week, alike(week))
    sheet, levels = program.board.sheet, program.levels
    for proven, level in enumerate(levels):
        left = end - time.process_time()
        try:
            answer = least(sheet.bounds, sheet.rows, level.total, whole=True, seconds=left)
        except TimeoutError:
            return proven, len(levels)
        if answer is None:
            return 0, 0
        sheet.bound(level.total, high=round(answer.value))
        _proven.append(level.name)
    return len(levels), len(levels)


_proven: list[str] = []


def give_up(week: Week, began: float, end: float) -> None:
    """End a solver that does not look up from its work: HiGHS may go on for minutes."""
    while time.process_time() < end:
        time.sleep(0.1)
    print(time.process_time() - began, len(_proven), len(week.priorities), flush=True)
    os._exit(0)


def main() -> None:
    """Solve one week and print what it took."""
    name, solver, seconds = sys.argv[1:]
    week = week_named(name)
    began = time.process_time()
    late = began + float(seconds) + GRACE
    threading.Thread(target=give_up, args=(week, began, late), daemon=True).start()
    proven, levels = {"us": by_us, "HiGHS": by_highs}[solver](week, began + float(seconds))
    print(time.process_time() - began, proven, levels)


if __name__ == "__main__":
    main()
