"""What goes otherwise in a week that runs: read, judged, and written into the week document.

A cook says it in a few words; by what the plan had until today it is known what is eaten, what is
in the fridge and what is in the freezer. The week document says the rest with what a week file
has for it: `no_lunch`, `eaters`, `gone` and `frozen`.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from pydantic import TypeAdapter, ValidationError

from models.answers.plan import ChangeLine, GonePortions, Joining, NotNeeded
from models.file.scalars import Name
from models.week.packed import PackedWeek
from models.week.week import Batch, NoLunch, Week
from models.words.days import day_name, weekday
from models.words.errors import InputError, suggestion
from models.words.numbers import counted

CALLED_OFF = "called off"
"""Why a lunch is called off that the plan had."""
MOST_GONE = 4
"""Digits of a number of portions."""


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


@dataclass(frozen=True, slots=True)
class Stock:
    """Where the portions of a batch are on the morning of a day.

    Attributes
    ----------
    fridge
        Kept in the fridge since it was made.
    thawed
        Moved from the freezer to the fridge the evening before: good on that day only.
    freezer
        In the freezer.
    frozen
        How many went into it; None while that is still to be decided.
    """

    fridge: int
    thawed: int
    freezer: int
    frozen: int | None

    @property
    def there(self) -> int:
        """How many there are in all."""
        return self.fridge + self.thawed + self.freezer

    def without(self, gone: int) -> Stock:
        """Take portions away: from the fridge first, from the freezer last.

        Parameters
        ----------
        gone
            Portions, at most as many as are there.

        Examples
        --------
        >>> Stock(fridge=2, thawed=0, freezer=3, frozen=3).without(4)
        Stock(fridge=0, thawed=0, freezer=1, frozen=1)
        """
        fridge = min(gone, self.fridge)
        thawed = min(gone - fridge, self.thawed)
        freezer = gone - fridge - thawed
        # What went into the freezer and is gone cannot come to a lunch any more.
        frozen = None if self.frozen is None else self.frozen - thawed - freezer
        return Stock(self.fridge - fridge, self.thawed - thawed, self.freezer - freezer, frozen)


def stocks(
    week: Week, packed: PackedWeek, today: date, earlier: Sequence[ChangeLine] = ()
) -> dict[str, Stock]:
    """Count where the portions of every batch are on the morning of a day.

    Parameters
    ----------
    week
        The week that was planned.
    packed
        Its plan; lunches before today were eaten as it has them.
    today
        The day.
    earlier
        How the week was changed before.

    Returns
    -------
    dict of str to Stock
        By batch, in the order of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> stocks(week, PackedWeek((), ()), week.days[0])["rice and beans"].fridge
    6
    """
    unused = {line.today: line.thawed_unused for line in earlier if line.today <= today}
    stocks = {}
    for name, batch in week.batches.items():
        still_good = _portions(unused.get(today, ()), name)
        spoilt = sum(_portions(lines, name) for day, lines in unused.items() if day < today)
        stocks[name] = _stock(batch, packed, today, still_good, spoilt)
    return stocks


def _portions(lines: Iterable[GonePortions], batch: str) -> int:
    return sum(line.portions for line in lines if line.batch == batch)


def _stock(batch: Batch, packed: PackedWeek, today: date, still_good: int, spoilt: int) -> Stock:
    if batch.made > today:
        return Stock(0, 0, 0, batch.frozen)
    eaten = thawed_before = thawed_today = thawed = 0
    for lunch in packed.lunches:
        for part in lunch.portions:
            if part.batch != batch.name:
                continue
            thawed += part.thawed
            if lunch.day < today:
                eaten += part.portions - part.thawed
                thawed_before += part.thawed
            elif lunch.day == today:
                thawed_today += part.thawed
    if batch.made == today and batch.frozen is None:
        return Stock(batch.portions - batch.gone, 0, 0, None)
    frozen = thawed if batch.frozen is None else batch.frozen
    fridge = batch.portions - batch.gone - frozen - eaten
    freezer = frozen - thawed_before - thawed_today - still_good - spoilt
    # A week file may say that more is gone than was kept in the fridge.
    return Stock(max(0, fridge), thawed_today + still_good, freezer + min(0, fridge), frozen)


# -- what was typed ----------------------------------------------------------------


def day_of(week: Week, text: str, option: str) -> date:
    """Read a day between the first and the last of a week.

    Parameters
    ----------
    week
        The week.
    text
        A day of the week, in full or by three letters, or a date.
    option
        Where it is typed, for the error.

    Raises
    ------
    InputError
        When it is none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> day_of(week, week.days[0].isoformat(), "--today") == week.days[0]
    True
    """
    word = text.strip().casefold()
    span = range((week.days[-1] - week.days[0]).days + 1)
    for day in (week.days[0] + timedelta(days=ahead) for ahead in span):
        if word in {day.isoformat(), f"{day:%a}".casefold(), weekday(day).casefold()}:
            return day
    known = ", ".join(f"{day:%a}".lower() for day in week.days)
    raise InputError(
        option,
        f"{text!r} is not a day of this week",
        f"It runs from {day_name(week.days[0])} to {day_name(week.days[-1])}: {known}.",
    )


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
    there = stocks(week, packed, today, earlier)
    ate = [_gone(week, there, today, text, "--ate") for text in told.ate]
    dropped = [_gone(week, there, today, text, "--dropped") for text in told.dropped]
    _enough(week, there, today, [*ate, *dropped], "--dropped" if dropped else "--ate")
    return ChangeLine(
        today=today,
        no_lunch=off,
        ate=ate,
        dropped=dropped,
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


def _eater(eaters: Sequence[str], text: str) -> str | None:
    by_fold = {name.casefold(): name for name in eaters}
    return by_fold.get(" ".join(text.split()).casefold())


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
    eater = _eater(lunches.eaters, whom) if at else None
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
    known = _eater(lunches.eaters, whom)
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
    whole, sign, number = text.rpartition("=")
    number = number.strip()
    good = number.isascii() and number.isdigit() and len(number) <= MOST_GONE and int(number) > 0
    if not sign or not good:
        raise InputError(
            option,
            f"{text!r} is no number of portions of a batch",
            "Write it as in 'leek bake=2'.",
        )
    by_fold = {name.casefold(): name for name in week.batches}
    name = by_fold.get(" ".join(whole.split()).casefold())
    if name is None:
        raise InputError(
            option, f"there is no batch named {whole.strip()!r}", suggestion(whole, [*week.batches])
        )
    if week.batches[name].made > today:
        raise InputError(
            option,
            f"{name} is only made on {day_name(week.batches[name].made)}",
            "Before that there is none to be gone.",
        )
    return GonePortions(batch=name, portions=int(number))


def _enough(
    week: Week,
    there: Mapping[str, Stock],
    today: date,
    gone: Sequence[GonePortions],
    option: str,
) -> None:
    for name in dict.fromkeys(part.batch for part in gone):
        number, stock, word = _portions(gone, name), there[name], week.batches[name].portion_word
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
        frozen = left[batch.name].frozen
        # Of what does not freeze there is nothing to say.
        known = batch.freezer > 0 and batch.made < line.today
        if frozen is not None and (known or batch.frozen is not None):
            entry["frozen"] = frozen
    return new


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

    Examples
    --------
    >>> sam = Joining(date=date(2026, 12, 4), eater="Sam", new=True)
    >>> guests_of([ChangeLine(today=date(2026, 12, 2), joined=[sam])])
    ['Sam']
    """
    return [joining.eater for line in lines for joining in line.joined if joining.new]
