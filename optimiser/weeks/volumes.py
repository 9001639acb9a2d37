"""Weeks that differ only in how much is cooked of some batches: planned together where they can be.

Of one eater's week the passes answer for every volume at once; of weeks as good in everything they
take the first, as the solver does. What they do not settle the solver is asked, week by week.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from models.week.cook import week_cooked_in
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program, priorities_of
from optimiser.solve.ties import ties
from optimiser.solve.week import Solved, Value, packed_of

FEWEST = 4
"""Volumes from which the passes are worth their loading."""


def solved_together(
    week: Week,
    weeks: Sequence[Week],
    volumes: Sequence[Mapping[str, int]],
    stop: Stop | None = None,
) -> list[Solved | None]:
    """Plan a week for each of several volumes, as far as that can be done together.

    Parameters
    ----------
    week
        The week.
    weeks
        It with each of the volumes.
    volumes
        For each, how many portions are cooked of the batches that are turned.
    stop
        Ends the work early; what is planned by then is given.

    Returns
    -------
    list of Solved or None
        For each week its best plan, without counts; None where the solver is to be asked.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> volumes = [{"rice and beans": portions} for portions in range(4, 8)]
    >>> weeks = [week_cooked_in(week, portions) for portions in volumes]
    >>> [plan.status.value for plan in solved_together(week, weeks, volumes)]
    ['optimal', 'optimal', 'optimal', 'optimal']
    """
    best = _best(week, volumes, stop)
    return [
        None if packed is None else _solved(turned, packed)
        for turned, packed in zip(weeks, best, strict=True)
    ]


def _best(
    week: Week, volumes: Sequence[Mapping[str, int]], stop: Stop | None
) -> list[PackedWeek | None]:
    turned = sorted({name for portions in volumes for name in portions})
    alone = len(week.eaters) == 1 and all(_is_cooked(week, name) for name in turned)
    if len(volumes) < FEWEST or not alone:
        return [None] * len(volumes)
    # Loading numpy takes a tenth of a second: only where there is something to pass over.
    from optimiser.solve.columns import WeekColumns  # noqa: PLC0415
    from optimiser.solve.counters import NotForPassesError  # noqa: PLC0415
    from optimiser.solve.questions import best_weeks  # noqa: PLC0415

    there = [
        {name: portions.get(name, week.batches[name].portions) for name in turned}
        for portions in volumes
    ]
    most = {name: max(portions[name] for portions in there) for name in turned}
    program = Program(week_cooked_in(week, most))
    try:
        columns = WeekColumns(program, program.levels)
    except NotForPassesError:
        return [None] * len(volumes)
    order = list(ties(program.board, program.board.sheet.bounds))
    chosen: dict[int, PackedWeek | None] = {}
    best = best_weeks(columns, there, stop)
    for weeks in best:
        if id(weeks) not in chosen:
            alike = [columns.counts(each) for each in weeks]
            first = min(alike, key=lambda x: [total.value(x) for total in order], default=None)
            chosen[id(weeks)] = None if first is None else packed_of(program, first)
    return [chosen[id(weeks)] for weeks in best]


def _is_cooked(week: Week, name: str) -> bool:
    """Tell whether a batch is cooked for this week, and nothing is known of it since."""
    batch = week.batches[name]
    return not (batch.earlier or batch.gone or batch.thawed) and batch.frozen is None


def _solved(week: Week, packed: PackedWeek) -> Solved:
    reached = [(priority.name, priority.value(week, packed)) for priority in priorities_of(week)]
    values = tuple(Value(name, value, value, proven=True) for name, value in reached)
    return Solved(Status.OPTIMAL, packed, values, None)
