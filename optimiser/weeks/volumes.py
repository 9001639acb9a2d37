"""Weeks that differ only in how much is cooked of some batches: planned together where they can be.

Of one eater's week the passes answer for every volume at once; of weeks as good in everything they
take the first, as the solver does. What they do not settle the solver is asked, week by week.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.program import priorities_of
from optimiser.solve.week import Solved, Value

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
    >>> from models.week.cook import week_cooked_in
    >>> week = read_week("minimal")
    >>> volumes = [{"rice and beans": portions} for portions in range(4, 8)]
    >>> weeks = [week_cooked_in(week, portions) for portions in volumes]
    >>> [plan.status.value for plan in solved_together(week, weeks, volumes)]
    ['optimal', 'optimal', 'optimal', 'optimal']
    """
    turned = {name for portions in volumes for name in portions}
    alone = len(week.eaters) == 1 and all(_is_cooked(week.batches[name]) for name in turned)
    if len(volumes) < FEWEST or not alone:
        return [None] * len(volumes)
    # Loading numpy takes a tenth of a second: only where there is something to pass over.
    from optimiser.solve.questions import best_weeks  # noqa: PLC0415

    return [
        None if packed is None else _solved(turned, packed)
        for turned, packed in zip(weeks, best_weeks(week, volumes, stop), strict=True)
    ]


def _is_cooked(batch: Batch) -> bool:
    """Tell whether a batch is cooked for this week, and nothing is known of it since."""
    return not (batch.earlier or batch.gone or batch.thawed) and batch.frozen is None


def _solved(week: Week, packed: PackedWeek) -> Solved:
    reached = [(priority.name, priority.value(week, packed)) for priority in priorities_of(week)]
    values = tuple(Value(name, value, value, proven=True) for name, value in reached)
    return Solved(Status.OPTIMAL, packed, values, None)
