"""What a week file says of a batch once some of it was frozen: how much, when, and thawed in vain.

Frozen later than it was made, a portion was kept in the fridge until then: so no later than its
use-by (UK Food Standards Agency: freeze food up to its use-by date).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from models.file.faults import Faults
from models.file.food_entries import BatchEntry
from models.week.week import Batch
from models.words.days import DAY_NAMES, day_name


def as_frozen(batch: Batch, entry: BatchEntry, days: Sequence[date], faults: Faults) -> Batch:
    """Set apart what went into the freezer, and what came out of it in vain.

    Parameters
    ----------
    batch
        The batch, with what is gone of it.
    entry
        What the file says.
    days
        Of the week.
    faults
        Makes errors.

    Returns
    -------
    Batch
        Nothing is set apart where the file says nothing: how much to freeze is to be decided.

    Raises
    ------
    InputError
        When more was frozen than the freezer takes or than there was, or at no such day.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> read_week("demo").batches["pea soup"].frozen is None
    True
    """
    stated = entry.frozen, entry.frozen_later, entry.thawed[1]
    if not batch.earlier and stated == (None, [], 0):
        return batch
    at_once = 0 if entry.frozen is None else entry.frozen[1]
    _room_for(batch, at_once, ("frozen",), faults)
    later: dict[date, int] = {}
    for at, lot in enumerate(entry.frozen_later):
        place = ("frozen_later", at)
        _room_for(batch, lot.portions[1], (*place, "portions"), faults)
        day = _day(lot.day, days)
        _in_time(batch, day, days[-1], (*place, "day"), faults)
        later[day] = later.get(day, 0) + lot.portions[1]
    there = batch.portions - batch.gone - entry.thawed[1]
    if there < 0:
        raise faults.at(
            ("batches", batch.name, "thawed"),
            f"{entry.thawed[1]} are thawed and {batch.gone} gone, and there were {batch.portions} "
            f"of {batch.name!r}",
            "Mend 'thawed' or 'gone'.",
        )
    lots = [(batch.made, at_once), *sorted(later.items())]
    # What is gone and was frozen is not in the freezer any more: of the last that went in.
    lots = without_last(lots, sum(number for _, number in lots) - there)
    return replace(
        batch,
        frozen=sum(number for _, number in lots),
        frozen_later=tuple(lot for lot in lots[1:] if lot[1]),
        thawed=entry.thawed[1],
    )


def without_last(lots: Sequence[tuple[date, int]], portions: int) -> list[tuple[date, int]]:
    """Take portions out of what was frozen last; none where the number is below nought.

    Parameters
    ----------
    lots
        Days and the portions frozen on them, in order.
    portions
        How many to take.

    Returns
    -------
    Every day again, in the same order, with what is left of it, 0 or more.

    Examples
    --------
    >>> [number for _, number in without_last([(date.min, 2), (date.max, 3)], 4)]
    [1, 0]
    """
    left: list[tuple[date, int]] = []
    for day, number in reversed(lots):
        gone = min(number, max(0, portions))
        portions -= gone
        left.insert(0, (day, number - gone))
    return left


def without_first(lots: Sequence[tuple[date, int]], portions: int) -> list[tuple[date, int]]:
    """Take portions out of what was frozen first.

    Parameters
    ----------
    lots
        Days and the portions frozen on them, in order.
    portions
        How many to take.

    Returns
    -------
    Every day again, in the same order, with what is left of it, 0 or more.

    Examples
    --------
    >>> [number for _, number in without_first([(date.min, 2), (date.max, 3)], 4)]
    [0, 1]
    """
    return without_last(list(lots)[::-1], portions)[::-1]


def _day(day: date | str, days: Sequence[date]) -> date:
    if isinstance(day, date):
        return day
    span = range((days[-1] - days[0]).days + 1)
    within = (days[0] + timedelta(days=ahead) for ahead in span)
    before = (days[0] - timedelta(days=back) for back in range(1, 8))
    return next(when for when in (*within, *before) if DAY_NAMES[when.weekday()] == day)


def _room_for(batch: Batch, portions: int, path: tuple[str | int, ...], faults: Faults) -> None:
    """Refuse that more was frozen at once than the freezer takes."""
    if portions > batch.freezer:
        raise faults.at(
            ("batches", batch.name, *path),
            f"{portions} were frozen, and the freezer takes {batch.freezer} of {batch.name!r}",
            f"Mend '{path[0]}', or 'freezes' and 'freezer'.",
        )


def _in_time(
    batch: Batch, day: date, last: date, path: tuple[str | int, ...], faults: Faults
) -> None:
    """Refuse what was frozen before it was made, past its use-by, or will be after the week."""
    why = ""
    if day <= batch.made:
        why = f"it is made on {day_name(batch.made)}: 'frozen' says what was frozen that day"
    elif day > batch.use_by:
        why = f"from the fridge it is used by {day_name(batch.use_by)}"
    elif day > last:
        why = f"the week ends on {day_name(last)}"
    if why:
        raise faults.at(
            ("batches", batch.name, *path),
            f"{batch.name!r} was not frozen on {day_name(day)}: {why}",
            "Mend the date.",
            hangs_on="days",
        )
