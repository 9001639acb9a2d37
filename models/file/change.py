"""What goes otherwise in a week that runs: read, judged, and written into the week document.

A cook says it in a few words; by what the plan had until today it is known what is eaten, what is
in the fridge and what is in the freezer. The week document says the rest with what a week file
has for it: `no_lunch`, `eaters`, `gone` and `frozen`.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from pydantic import TypeAdapter, ValidationError

from models.answers.plan import ChangeLine, GonePortions, Joining, NotNeeded
from models.file.scalars import Name
from models.file.stocks import Stock, on, portions_of, really_frozen, stocks
from models.file.told import day_of, froze_of, many_of, no_number
from models.week.packed import PackedWeek
from models.week.week import Batch, NoLunch, Week
from models.words.days import day_name
from models.words.errors import InputError, spelt, suggestion
from models.words.numbers import counted

CALLED_OFF = "called off"
"""Why a lunch is called off that the plan had."""


@dataclass(frozen=True, slots=True)
class Told:
    """What was typed of a week that goes otherwise.

    Attributes
    ----------
    today
        From which day on it is planned again; None where nothing was typed.
    no_lunch
        Lunches that are off: "thu", or "Ann@thu" for one eater.
    ate, dropped
        Portions that are gone besides lunches: "leek bake=2".
    joined
        Who eats too: "Sam@fri".
    fewest_changes
        True where few changed lunches go before little left over.
    froze
        What was really frozen: "stew=2", or "stew=2@wed" for what was frozen on one day.

    Examples
    --------
    >>> Told("wed", no_lunch=["thu"], ate=["leek bake=2"]).joined
    ()
    """

    today: str | None
    no_lunch: Sequence[str] = ()
    ate: Sequence[str] = ()
    dropped: Sequence[str] = ()
    joined: Sequence[str] = ()
    fewest_changes: bool = False
    froze: Sequence[str] = ()


# -- what was typed ----------------------------------------------------------------


def today_of(week: Week, text: str | None, earlier: Sequence[ChangeLine]) -> date:
    """Read from which day on a week is to be planned again.

    Parameters
    ----------
    week
        The week.
    text
        The day, as `day_of` reads it; None where nothing was typed.
    earlier
        How the week was changed before.

    Returns
    -------
    A date from the first day of the week to the last, with a lunch or without.

    Raises
    ------
    InputError
        When it is not said, is no day of the week, or lies before a change that was made.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> today_of(week, week.days[-1].isoformat(), []) == week.days[-1]
    True
    """
    if text is None:
        raise InputError(
            "--today",
            "from which day on is not said",
            "Say it, as in --today wed: lunches before that day are eaten.",
        )
    today = day_of(week, text, "--today")
    last = max((line.today for line in earlier), default=today)
    if today < last:
        raise InputError(
            "--today",
            f"{day_name(today)} lies before {day_name(last)}, when this plan was last changed",
            f"Say {last.isoformat()} or later.",
        )
    return today


def change_of(
    week: Week, packed: PackedWeek, told: Told, earlier: Sequence[ChangeLine] = ()
) -> ChangeLine:
    """Read and judge what went otherwise.

    Parameters
    ----------
    week
        The week that was planned.
    packed
        Its plan.
    told
        What was typed.
    earlier
        How it was changed before.

    Returns
    -------
    ChangeLine
        Dates, names and numbers as the week has them.

    Raises
    ------
    InputError
        When it makes no sense in this week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> told = Told("tue", ate=["rice and beans=2"])
    >>> change = change_of(read_week("minimal"), PackedWeek((), ()), told)
    >>> f"{change.today:%A}", change.ate[0].portions
    ('Tuesday', 2)
    """
    today = today_of(week, told.today, earlier)
    lunches = _Lunches.of(week)
    off = [_called_off(week, lunches, today, text) for text in told.no_lunch]
    joined = [_joined(week, lunches, today, text) for text in told.joined]
    for joining in joined:
        if any((other.eater, other.date) == (joining.eater, joining.date) for other in off):
            raise InputError(
                "--joined", f"{joining.eater} is both off and joined", "Leave one of the two out."
            )
    froze = [froze_of(week, packed, today, text) for text in told.froze]
    week = really_frozen(week, packed, froze)
    there = stocks(week, packed, today, earlier)
    ate = [_gone(week, there, today, text, "--ate") for text in told.ate]
    dropped = [_gone(week, there, today, text, "--dropped") for text in told.dropped]
    _enough(week, there, today, [*ate, *dropped], "--dropped" if dropped else "--ate")
    return ChangeLine(
        today=today,
        no_lunch=off,
        ate=ate,
        dropped=dropped,
        froze=froze,
        joined=joined,
        fewest_changes=told.fewest_changes,
    )


@dataclass(slots=True)
class _Lunches:
    """Who has a lunch when, as the changes are read one after another."""

    eaters: list[str]
    there: set[tuple[str, date]] = field(default_factory=set)

    @classmethod
    def of(cls, week: Week) -> _Lunches:
        return cls([*week.eaters], {(lunch.eater, lunch.day) for lunch in week.lunches})


def _not_past(day: date, today: date, option: str) -> None:
    if day < today:
        raise InputError(
            option,
            f"{day_name(day)} is past: today is {day_name(today)}",
            "Name that day or a later one; what is eaten stands.",
        )


def _called_off(week: Week, lunches: _Lunches, today: date, text: str) -> NotNeeded:
    option = "--no-lunch"
    whom, at, day_typed = text.rpartition("@")
    day = day_of(week, day_typed, option)
    _not_past(day, today, option)
    eater = spelt(whom, lunches.eaters) if at else None
    if at and eater is None:
        raise InputError(
            option, f"there is no eater named {whom!r}", suggestion(whom, lunches.eaters)
        )
    names = lunches.eaters if eater is None else [eater]
    off = {(name, day) for name in names} & lunches.there
    if not off:
        who = "nobody" if eater is None else eater
        no = "a lunch" if eater is None else "no lunch"
        raise InputError(
            option, f"{who} has {no} on {day_name(day)}", "It is off already; leave it out."
        )
    lunches.there -= off
    return NotNeeded(date=day, eater=eater)


def _joined(week: Week, lunches: _Lunches, today: date, text: str) -> Joining:
    option = "--joined"
    whom, at, day_typed = text.rpartition("@")
    if not at or not whom.strip():
        raise InputError(option, f"{text!r} is no eater on a day", "Write it as in Sam@fri.")
    day = day_of(week, day_typed, option)
    _not_past(day, today, option)
    if day not in week.days:
        raise InputError(
            option, f"nobody has a lunch on {day_name(day)} in this week", "Name another day."
        )
    known = spelt(whom, lunches.eaters)
    name = _guest(whom, option) if known is None else known
    if (name, day) in lunches.there:
        raise InputError(option, f"{name} has a lunch on {day_name(day)} as it is", "Leave it out.")
    if known is None:
        lunches.eaters.append(name)
    lunches.there.add((name, day))
    return Joining(date=day, eater=name, new=known is None)


def _guest(name: str, option: str) -> str:
    try:
        return str(TypeAdapter(Name).validate_python(name))
    except ValidationError as wrong:
        what = wrong.errors(include_url=False)[0]["msg"]
        raise InputError(option, what, "Write a name of a word or a few.") from None


def _gone(
    week: Week, there: Mapping[str, Stock], today: date, text: str, option: str
) -> GonePortions:
    batch, portions = many_of(week, today, text, option)
    if not portions:
        raise no_number(text, option)
    return GonePortions(batch=batch, portions=portions)


def _enough(
    week: Week,
    there: Mapping[str, Stock],
    today: date,
    gone: Sequence[GonePortions],
    option: str,
) -> None:
    for name in dict.fromkeys(part.batch for part in gone):
        number, stock, word = portions_of(gone, name), there[name], week.batches[name].portion_word
        if number > stock.there:
            places = f"{stock.fridge + stock.thawed} in the fridge, {stock.freezer} in the freezer"
            raise InputError(
                option,
                f"{counted(number, word)} of {name} cannot be gone: {stock.there} are there on the "
                f"morning of {day_name(today)} ({places})",
                f"Say {stock.there} at the most." if stock.there else "Leave it out.",
            )


# -- the week document --------------------------------------------------------------


def gone_of(line: ChangeLine) -> dict[str, int]:
    """Count what is gone besides lunches, by batch.

    Parameters
    ----------
    line
        A change of a week.

    Returns
    -------
    dict of str to int
        Batch to portions that were eaten otherwise or dropped.

    Examples
    --------
    >>> gone = GonePortions(batch="pea soup", portions=1)
    >>> gone_of(ChangeLine(today=date(2026, 12, 2), ate=[gone], dropped=[gone]))
    {'pea soup': 2}
    """
    portions: dict[str, int] = {}
    for part in (*line.ate, *line.dropped):
        portions[part.batch] = portions.get(part.batch, 0) + part.portions
    return portions


def written(
    data: Mapping[str, Any], week: Week, line: ChangeLine, left: Mapping[str, Stock]
) -> dict[str, Any]:
    """Write a change into the week document of a plan.

    Parameters
    ----------
    data
        The document, which stays as it is.
    week
        The week it says.
    line
        The change.
    left
        What is left of every batch, after what is gone.

    Returns
    -------
    dict of str to Any
        A new document as JSON has it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> left = stocks(week, PackedWeek((), ()), week.days[0])
    >>> gone = GonePortions(batch="rice and beans", portions=1)
    >>> line = ChangeLine(today=week.days[0], dropped=[gone])
    >>> written(week.source.as_json(), week, line, left)["batches"]["rice and beans"]["gone"]
    1
    """
    new = copy.deepcopy(dict(data))
    no_lunch, guests = _no_lunch(new.get("no_lunch", []), week, line)
    for name in guests:
        new["eaters"][name] = {}
    if no_lunch:
        new["no_lunch"] = no_lunch
    else:
        new.pop("no_lunch", None)
    gone = gone_of(line)
    for key, entry in new.get("batches", {}).items():
        batch = week.batches[" ".join(key.split())]
        if batch.name in gone:
            entry["gone"] = batch.gone + gone[batch.name]
        _freeze(entry, batch, left[batch.name], line.today)
    return new


def _freeze(entry: dict[str, Any], batch: Batch, stock: Stock, today: date) -> None:
    """Write down what of a batch was frozen when; of what does not freeze there is nothing."""
    known = batch.frozen is not None or (batch.freezer > 0 and batch.made < today)
    if stock.lots is None or not (known or stock.frozen):
        return
    entry["frozen"] = on(stock.lots, batch.made)
    later = [(day, many) for day, many in stock.lots if day > batch.made and many]
    parts = {
        "frozen_later": [{"day": day.isoformat(), "portions": many} for day, many in later],
        "thawed": stock.in_vain,
    }
    for key, value in parts.items():
        if value:
            entry[key] = value
        else:
            entry.pop(key, None)
    at_once = max((many for _, many in stock.lots), default=0)
    if at_once > batch.freezer and not batch.earlier:
        # It was done: so there was room, and it does freeze.
        entry |= {"freezes": "yes", "freezer": at_once}


@dataclass(frozen=True, slots=True)
class _Entry:
    """An entry of `no_lunch`, as it stands there and as it was read."""

    entry: dict[str, Any]
    off: NoLunch


def _entry(day: date, eater: str | None, why: str) -> _Entry:
    entry: dict[str, Any] = {"day": day.isoformat()}
    entry |= {"eater": eater} if eater is not None else {}
    entry |= {"why": why} if why else {}
    return _Entry(entry, NoLunch(day, eater, why))


def _no_lunch(
    stands: Sequence[dict[str, Any]], week: Week, line: ChangeLine
) -> tuple[list[dict[str, Any]], list[str]]:
    """Give all entries of `no_lunch`, and the guests there are."""
    entries = [_Entry(entry, off) for entry, off in zip(stands, week.no_lunch, strict=True)]
    entries += [_entry(off.date, off.eater, CALLED_OFF) for off in line.no_lunch]
    eaters, guests = [*week.eaters], []
    for joining in line.joined:
        if joining.new:
            guests.append(joining.eater)
            others = [day for day in week.days if day != joining.date]
            entries += [_entry(day, joining.eater, "") for day in others]
            eaters.append(joining.eater)
        entries = [left for entry in entries for left in _but(entry, joining, eaters)]
    return [entry.entry for entry in entries], guests


def _but(entry: _Entry, joining: Joining, eaters: Sequence[str]) -> list[_Entry]:
    """Take one lunch out of an entry; one that is for all eaters becomes one for each other."""
    off = entry.off
    if off.day != joining.date or off.eater not in (None, joining.eater):
        return [entry]
    if off.eater == joining.eater:
        return []
    return [_entry(off.day, name, off.why) for name in eaters if name != joining.eater]


def guests_of(lines: Iterable[ChangeLine]) -> list[str]:
    """Name the guests of whom the week knew nothing.

    Parameters
    ----------
    lines
        Changes of a week.

    Returns
    -------
    In the order of the changes; empty where all who joined are in the week.

    Examples
    --------
    >>> sam = Joining(date=date(2026, 12, 4), eater="Sam", new=True)
    >>> guests_of([ChangeLine(today=date(2026, 12, 2), joined=[sam])])
    ['Sam']
    """
    return [joining.eater for line in lines for joining in line.joined if joining.new]
