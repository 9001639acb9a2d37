"""A diary as iCalendar (RFC 5545): the same thing keeps its UID, a change raises its SEQUENCE."""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from models.answers.calendar import CalendarFile, DiaryEntry

if TYPE_CHECKING:
    from icalendar import Alarm, Calendar, Component, Event

PRODUCT = "-//clearfridge//lunches 1//EN"
DIGEST = "X-CLEARFRIDGE-DIGEST"
_SPACE = uuid.UUID("5f0b6c1e-3f53-5d0c-9a35-1b8a5f1f6a10")
"""A name space of our own for UIDs (RFC 9562, version 5)."""
RINGS = ("move", "soak")
_SHOWN = ("DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "STATUS")


@dataclass(frozen=True, slots=True)
class _Before:
    """An event as it was written the last time."""

    event: Component
    sequence: int


def text(
    diary: CalendarFile,
    *,
    colour: bool = False,
    width: int = 80,
    now: datetime | None = None,
    before: str | None = None,
    alarms: bool = True,
) -> str:
    """Write a diary as `as_ical` does, now if nothing else is said; it has no colour.

    Parameters
    ----------
    diary
        The entries of a plan.
    colour, width
        Of a terminal; not used.
    now, before, alarms
        As of `as_ical`; `now` is the clock's where none is given.

    Returns
    -------
    str
        What `as_ical` gives.

    Raises
    ------
    ValueError
        When `before` is no calendar.

    Examples
    --------
    >>> from optimiser import calendar
    >>> [line for line in text(calendar("minimal")).splitlines() if line.startswith("SUMMARY:Cook")]
    ['SUMMARY:Cook: rice and beans']
    """
    now = datetime.now(UTC) if now is None else now
    return as_ical(diary, now=now, before=before, alarms=alarms)


def as_ical(
    diary: CalendarFile, *, now: datetime, before: str | None = None, alarms: bool = True
) -> str:
    """Write a diary as iCalendar.

    Parameters
    ----------
    diary
        The entries of a plan.
    now
        When it is written, with a time zone; stands in DTSTAMP.
    before
        The calendar written before this one, if any: what changed since has a higher
        SEQUENCE, what is gone is cancelled.
    alarms
        Whether what must not be forgotten in the evening, soaking and thawing, rings.

    Returns
    -------
    str
        A whole calendar: lines of at most 75 bytes, each ended by CR LF, with a digest of the rest
        in a line of its own.

    Raises
    ------
    ValueError
        When `before` is no calendar.

    Examples
    --------
    >>> from optimiser import calendar
    >>> written = as_ical(calendar("minimal"), now=datetime(2026, 11, 28, 9, tzinfo=UTC))
    >>> {line for line in written.splitlines() if line.startswith("DTSTAMP")}
    {'DTSTAMP:20261128T090000Z'}
    """
    from icalendar import Calendar  # noqa: PLC0415

    known = _events(before)
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("name", diary.name or "Lunches")
    # RFC 7986 has NAME; clients of before it know this one.
    calendar.add("x-wr-calname", diary.name or "Lunches")
    stamp = now.astimezone(UTC).replace(microsecond=0)
    for entry in diary.entries:
        event = _event(diary, entry, stamp)
        if alarms and entry.kind in RINGS:
            event.add_component(_alarm(entry))
        calendar.add_component(_numbered(event, known.pop(str(event["UID"]), None)))
    for gone in known.values():
        calendar.add_component(_cancelled(gone, stamp))
    if diary.zone is not None:
        calendar.add_missing_timezones(
            first_date=diary.days[0] - timedelta(days=366),
            last_date=diary.days[-1] + timedelta(days=366),
        )
    calendar.add(DIGEST, digest(_text(calendar)))
    return _text(calendar)


def _text(calendar: Calendar) -> str:
    return str(calendar.to_ical().decode("utf-8"))


def digest(text: str) -> str:
    """Give a digest of a calendar, whatever stands in its own line of it.

    Parameters
    ----------
    text
        A calendar as iCalendar.

    Returns
    -------
    str
        32 hexadecimal digits of SHA-256.

    Examples
    --------
    >>> len(digest("BEGIN:VCALENDAR")), digest(f"{DIGEST}:any") == digest("")
    (32, True)
    """
    lines = [line for line in text.splitlines() if not line.startswith(DIGEST)]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:32]


def is_ours(text: str) -> bool:
    """Tell whether a file is a calendar of this program that nobody has changed since.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    bool
        False too where it is no calendar, or one of another program.

    Examples
    --------
    >>> from optimiser import calendar
    >>> written = text(calendar("minimal"))
    >>> is_ours(written), is_ours(written.replace("Cook:", "Bake:"))
    (True, False)
    """
    digests = [line.partition(":")[2] for line in text.splitlines() if line.startswith(DIGEST)]
    return PRODUCT in text and digests == [digest(text)]


def _events(before: str | None) -> dict[str, _Before]:
    from icalendar import Calendar  # noqa: PLC0415

    if before is None:
        return {}
    calendar = Calendar.from_ical(before)
    return {
        str(event["UID"]): _Before(event, int(event.get("SEQUENCE", 0)))
        for event in calendar.walk("VEVENT")
    }


def _event(diary: CalendarFile, entry: DiaryEntry, stamp: datetime) -> Event:
    from icalendar import Event  # noqa: PLC0415

    event = Event()
    # What it is and which week it is of; times of the day may move.
    first = diary.days[0].isoformat()
    name = "\n".join([diary.name, first, entry.kind, entry.key, entry.day.isoformat()])
    event.add("uid", f"{uuid.uuid5(_SPACE, name)}@clearfridge")
    event.add("dtstamp", stamp)
    event.add("dtstart", _local(diary.zone, entry.begins))
    event.add("dtend", _local(diary.zone, entry.ends))
    event.add("summary", entry.title)
    if entry.text:
        event.add("description", entry.text)
    event.add("transp", "TRANSPARENT")
    event.add("status", "CONFIRMED")
    return event


def _alarm(entry: DiaryEntry) -> Alarm:
    """Give an alarm for when an entry begins (RFC 5545, 3.6.6)."""
    from icalendar import Alarm  # noqa: PLC0415

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", entry.title)
    alarm.add("trigger", timedelta())
    return alarm


def _local(zone: str | None, when: datetime | date) -> datetime | date:
    if isinstance(when, datetime) and zone is not None:
        return when.replace(tzinfo=ZoneInfo(zone))
    return when


def _numbered(event: Event, before: _Before | None) -> Event:
    sequence = 0
    if before is not None:
        sequence = before.sequence + (not _same(event, before.event))
        if sequence == before.sequence:
            # Nothing is new: the stamp of the last writing stands.
            event["DTSTAMP"] = before.event["DTSTAMP"]
    event.add("sequence", sequence)
    return event


def _same(event: Component, other: Component) -> bool:
    rings, rang = (len(each.walk("VALARM")) for each in (event, other))
    return rings == rang and _values_of(event, _SHOWN) == _values_of(other, _SHOWN)


def _values_of(event: Component, names: Iterable[str]) -> list[Any]:
    return [event[name].to_ical() if name in event else None for name in names]


def _cancelled(gone: _Before, stamp: datetime) -> Component:
    event = gone.event
    if str(event.get("STATUS", "")) == "CANCELLED":
        return event
    event.subcomponents = []
    for name in ("STATUS", "SEQUENCE", "DTSTAMP"):
        event.pop(name, None)
    event.add("dtstamp", stamp)
    event.add("status", "CANCELLED")
    event.add("sequence", gone.sequence + 1)
    return event
