"""Days as a reader sees them, wherever they are named."""

from __future__ import annotations

import re
from datetime import date

from models.words.errors import did_you_mean, nearest
from models.words.text import quoted

DAY_NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
FULL_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORT = 4
"""Letters up to which a word may be meant for the short name of a day."""


def day_name(day: date) -> str:
    """Write a date as it is read at a glance.

    Parameters
    ----------
    day
        The date.

    Returns
    -------
    Three letters, the day without a zero before it, three letters.

    Examples
    --------
    >>> day_name(date(2026, 11, 30))
    'Mon 30 Nov'
    """
    return f"{day:%a} {day.day} {day:%b}"


def weekday(day: date) -> str:
    """Write the day of the week in full.

    Parameters
    ----------
    day
        The date.

    Returns
    -------
    In English, with a capital.

    Examples
    --------
    >>> weekday(date(2026, 11, 30))
    'Monday'
    """
    return f"{day:%A}"


def day_of_week(word: str) -> str | None:
    """Find the short name of a day, or None.

    Parameters
    ----------
    word
        The day, in full or by three letters.

    Returns
    -------
    One of `DAY_NAMES`; None where the word is no day, whether its letters are large or small.

    Examples
    --------
    >>> day_of_week("Tuesday"), day_of_week("tue"), day_of_week("someday")
    ('tue', 'tue', None)
    """
    folded = word.casefold()
    days = zip(DAY_NAMES, FULL_NAMES, strict=True)
    return next((name for name, full in days if folded in (name, full)), None)


class NoDays(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """Text that names no days, and what to write instead."""

    def __init__(self, what: str, mend: str) -> None:
        self.mend = mend
        super().__init__(what)


def days_of_week(text: str) -> tuple[str, ...]:
    """Read the days of a week from one text.

    Parameters
    ----------
    text
        "mon-fri", "mon to fri", "mon, wed, fri".

    Returns
    -------
    tuple of str
        Their short names, in the order of the calendar.

    Raises
    ------
    NoDays
        When a part is no day, or the days run backwards.

    Examples
    --------
    >>> days_of_week("mon-wed, fri")
    ('mon', 'tue', 'wed', 'fri')
    """
    chosen: set[str] = set()
    for part in text.split(","):
        ends = [_day(end.strip()) for end in re.split(r"\s*[-–]\s*|\s+to\s+", part.strip())]
        first, last = DAY_NAMES.index(ends[0]), DAY_NAMES.index(ends[-1])
        if len(ends) > 2 or first > last:
            raise NoDays(f"{quoted(part.strip())} are no days", "Write mon-fri, or mon,wed.")
        chosen.update(DAY_NAMES[first : last + 1])
    return tuple(day for day in DAY_NAMES if day in chosen)


def _day(word: str) -> str:
    day = day_of_week(word)
    if day is None:
        several = _SEVERAL.get(" ".join(word.split()).casefold())
        mend = f"Write {several}." if several else write_day(word)
        raise NoDays(f"{quoted(word)} is not a day", mend)
    return day


_SEVERAL = {
    **dict.fromkeys(("weekday", "weekdays", "week days", "working days"), "mon-fri"),
    **dict.fromkeys(("weekend", "weekends"), "sat-sun"),
    **dict.fromkeys(("daily", "every day", "all", "all week"), "mon-sun"),
}


def write_day(word: str) -> str:
    """Write what to type where a word is no day: the nearest day, or all of them.

    Parameters
    ----------
    word
        What stands where a day is expected.

    Returns
    -------
    str
        A sentence for the end of a message.

    Examples
    --------
    >>> write_day("teusday"), write_day("mno")
    ("Did you mean 'tuesday'?", "Did you mean 'mon'?")
    >>> write_day("soon")
    'Write one of mon, tue, wed, thu, fri, sat, sun.'
    """
    short = DAY_NAMES if len(word) <= _SHORT else ()
    day = nearest(word, FULL_NAMES + short)
    if day is None or word.casefold() in _SEVERAL or day[:1] != word[:1].casefold():
        return f"Write one of {', '.join(DAY_NAMES)}."
    return did_you_mean(day)


def day_matches(day: date, text: str) -> bool:
    """Tell whether a word means a date.

    Parameters
    ----------
    day
        The date.
    text
        A word: a day of the week, in full or by three letters, or a date.

    Returns
    -------
    bool
        Whether it does, small or large letters alike.

    Examples
    --------
    >>> [day_matches(date(2026, 12, 1), word) for word in ("tue", "Tuesday", "2026-12-01", "wed")]
    [True, True, True, False]
    """
    word = text.strip().casefold()
    short = DAY_NAMES[day.weekday()]
    return word in (day.isoformat(), short, f"{day:%A}".casefold())
