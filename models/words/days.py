"""Days as a reader sees them, wherever they are named."""

from __future__ import annotations

from datetime import date


def day_name(day: date) -> str:
    """Write a date as it is read at a glance.

    >>> day_name(date(2026, 11, 30))
    'Mon 30 Nov'
    """
    return f"{day:%a} {day.day} {day:%b}"


def weekday(day: date) -> str:
    """Write the day of the week in full.

    >>> weekday(date(2026, 11, 30))
    'Monday'
    """
    return f"{day:%A}"
