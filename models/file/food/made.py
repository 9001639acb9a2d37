"""When a batch is made: in time for a lunch, and not too long ago."""

from __future__ import annotations

from datetime import date, timedelta

from models.file.food.shared import FoodReader
from models.file.food_entries import BatchEntry
from models.words.days import DAY_NAMES

LONGEST_AGO, LONGEST_FROZEN = 60, 730
"""Days before a week that a batch is made at the most; one of an earlier week."""


def made_on(reader: FoodReader, entry: BatchEntry) -> date:
    """Read the date a batch is made: where nobody said, the day before the week.

    A day of the week is the one on which it can still be packed, else the last before it.

    Parameters
    ----------
    reader
        File and tables.
    entry
        What the file says of the batch.

    Returns
    -------
    A date, perhaps too late or too long ago: `in_time` refuses those.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal").replace("made: 2026-11-29, ", ""))
    >>> (week.days[0] - week.batches["rice and beans"].made).days
    1
    """
    before = reader.days[0] - timedelta(days=1)
    if entry.made is None:
        return before
    if isinstance(entry.made, date):
        return entry.made
    length = (reader.days[-1] - reader.days[0]).days
    within = (reader.days[0] + timedelta(days=ahead) for ahead in range(length))
    earlier = (before - timedelta(days=back) for back in range(7))
    return next(day for day in (*within, *earlier) if DAY_NAMES[day.weekday()] == entry.made)


def in_time(reader: FoodReader, name: str, entry: BatchEntry) -> None:
    """Refuse a batch that is made too late or too long ago.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.

    Raises
    ------
    InputError
        When it is made on the last day or later, or more days before the week than may be.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("made: 2026-11-29", "made: 2026-12-02")
    >>> print(every_fault("mine.yaml", text)[1][0].what)
    'rice and beans' is made on 2026-12-02, too late for the last lunch on 2026-12-02
    """
    path, made = ("batches", name), made_on(reader, entry)
    if made >= reader.days[-1]:
        raise reader.faults.at(
            (*path, "made"),
            f"{name!r} is made on {made}, too late for the last lunch on {reader.days[-1]}",
            f"Write a date before {reader.days[-1]}: it is packed from the day after on.",
            hangs_on="days",
        )
    if (reader.days[0] - made).days > (LONGEST_FROZEN if entry.earlier else LONGEST_AGO):
        raise reader.faults.at(
            (*path, "made"),
            f"{name!r} is made {(reader.days[0] - made).days} days before the week",
            "Mend the date of the batch or of the week.",
            hangs_on="days",
        )
