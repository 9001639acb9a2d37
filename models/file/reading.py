"""From a week file to a week: names are looked up, dates set, nonsense refused.

pydantic judges each entry by itself; what one entry says of another is judged
here. Either way the user gets one message with the line it is about.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import ValidationError

import scenarios
from models.file.dishes import DishReader
from models.file.eaters import EaterReader
from models.file.entries import (
    PlaceEntry,
    WeekFile,
    WhatIfEntry,
)
from models.file.faults import Faults
from models.file.food.batches import batch_of
from models.file.food.cupboard import in_the_cupboard
from models.file.food.larder import item_of
from models.file.food.loose import loose_of
from models.file.food.shared import FoodReader
from models.file.kitchen import kitchen_of
from models.file.knobs import floor_of, lunches_knob, yield_of
from models.file.tables import TableReader
from models.file.taken import taken
from models.foods.food import Food
from models.week.knobs import Knob
from models.week.week import (
    Box,
    Dish,
    Eater,
    Lunch,
    NoLunch,
    Place,
    Times,
    Variety,
    Week,
    WishedLunch,
)
from models.words.days import DAY_NAMES, day_matches
from models.words.document import Document, Plain, Steps, document_of
from models.words.errors import InputError, Where
from models.words.numbers import counted
from models.words.priorities import PRIORITY_NAMES, TIE_BREAK, ranked
from models.words.text import no_week, read_text, unprintable

MOST_LUNCHES = 2_000
WISH = re.compile(r"\s*(.+)\s+on\s+(\S+)(?:\s+for\s+(.+?))?\s*", re.IGNORECASE)
"""A dish, a day, and whose lunch it is to be."""
MOST_FAULTS = 2_000

_OF_DAYS = ("elsewhere", "no_lunch")
_READY = Path(scenarios.__file__).parent


def ready_weeks() -> tuple[str, ...]:
    """List the names of the weeks that come with the program.

    Returns
    -------
    In the order of the alphabet.

    Examples
    --------
    >>> "starter" in ready_weeks()
    True
    """
    return tuple(sorted(path.stem for path in _READY.glob("*.yaml")))


def ready_text(name: str) -> str:
    """Read the text of a ready week.

    Parameters
    ----------
    name
        One of `ready_weeks()`.

    Returns
    -------
    YAML, to the letter.

    Examples
    --------
    >>> "batches:" in ready_text("starter")
    True
    """
    return (_READY / f"{name}.yaml").read_text(encoding="utf-8")


def read_document(file: str) -> Document:
    """Read a week file, a ready week by its name, or standard input for "-".

    Parameters
    ----------
    file
        Path of a week file, name of a ready week, or "-".

    Returns
    -------
    Document
        Plain data, with the line of each thing.

    Raises
    ------
    InputError
        When it cannot be read or is not YAML.

    Examples
    --------
    >>> document = read_document("starter")
    >>> document.name, "dishes" in document.data
    ('starter', True)
    """
    from models.file.yamltext import parse  # noqa: PLC0415 - a plan that was saved is no YAML

    return parse(*text_of(file))


def text_of(file: str) -> tuple[str, str]:
    """Read the text of a week file, a ready week by its name, or standard input for "-".

    Parameters
    ----------
    file
        Path of a week file, name of a ready week, or "-".

    Returns
    -------
    tuple of str and str
        What to call it in messages, and the text.

    Raises
    ------
    InputError
        When it cannot be read.

    Examples
    --------
    >>> name, text = text_of("minimal")
    >>> name, "eaters:" in text
    ('minimal', True)
    """
    return (file, ready_text(file)) if file in ready_weeks() else read_text(file)


def read_week(file: str, own: Iterable[Food] = ()) -> Week:
    """Read a week from its file.

    Parameters
    ----------
    file
        Path of a week file, name of a ready week ("demo"), or "-" for standard input.
    own
        Foods of the user's own tables, which go before those of the program.

    Returns
    -------
    Week
        Judged as a whole: dates set, names looked up, amounts with their units.

    Raises
    ------
    InputError
        With the line, what is wrong there and how to mend it.

    Examples
    --------
    >>> read_week("demo").source.name
    'demo'
    """
    return week_of(read_document(file), own)


def week_of(document: Document | Mapping[str, Any], own: Iterable[Food] = ()) -> Week:
    """Make a week of what a file says.

    Parameters
    ----------
    document
        A document that has been read, or the same as plain Python data: mappings, lists, text,
        numbers and dates. Of plain data a fault is placed by its keys, without a line.
    own
        Foods of the user's own tables, which go before those of the program.

    Returns
    -------
    Judged as a whole: dates set, names looked up, amounts with their units.

    Raises
    ------
    InputError
        With the place, what is wrong there and how to mend it.

    Examples
    --------
    >>> from datetime import date
    >>> week = week_of({
    ...     "week": {"starts": date(2026, 11, 30), "days": ["mon"]},
    ...     "eaters": {"Ann": {}},
    ...     "larder": {"apple": {"pack": "4 pieces", "chilled": "no", "allergens": "none"}},
    ...     "dishes": {"fruit": {"kind": "cold", "goes_in": {"apple": "2 pieces"}}},
    ... })
    >>> [lunch.eater for lunch in week.lunches]
    ['Ann']
    """
    if isinstance(document, Mapping):
        document = document_of(document)
    if not isinstance(document.data, dict):
        raise InputError(
            Where(document.name, 1),
            "this is not a week file: it must be 'key: value' lines",
            "Start from a ready one: clearfridge new FILE",
        )
    if str(document.data.get("format", "")).startswith("clearfridge "):
        raise no_week(document.name)
    try:
        entry = WeekFile.model_validate(document.data)
    except ValidationError as wrong:
        raise explain(document, wrong) from None
    week = _WeekReader(entry, Faults(document)).week(tuple(own))
    # Names and texts were judged with what they are for; this is for all else that travels on.
    _refuse_unprintable(document, document.data, ())
    return week


def _refuse_unprintable(document: Document, data: Plain, path: Steps) -> None:
    entries = data.items() if isinstance(data, dict) else ()
    for step, value in enumerate(data) if isinstance(data, list) else entries:
        _refuse_unprintable(document, value, (*path, step))
        if isinstance(step, str):
            _refuse_unprintable(document, step, (*path, step))
    if isinstance(data, str) and (wrong := unprintable(data)):
        raise InputError(document.where(path), wrong, "Write printable text only.")


def read_again(week: Week, document: Document) -> Week:
    """Make a week of a document that was changed, with the own tables that `week` was read with.

    Parameters
    ----------
    week
        The week as it was read.
    document
        Its document, changed.

    Returns
    -------
    Judged anew as a whole; nothing of the old week is kept but its own tables.

    Raises
    ------
    InputError
        When the changed document has a fault.

    Examples
    --------
    >>> week = read_week("starter")
    >>> read_again(week, week.source).dishes == week.dishes
    True
    """
    return week_of(document, week.tables)


def explain(
    document: Document, wrong: ValidationError, schema: str = "clearfridge schema"
) -> InputError:
    """Turn pydantic's findings into one message about the first place that is wrong.

    Parameters
    ----------
    document
        What was read.
    wrong
        What pydantic says of it.
    schema
        The command that says how such a file is to be.

    Returns
    -------
    To be raised; how many more places are wrong stands in its mend, and all of them in `also`.

    Raises
    ------
    InputError
        Without a place, where more are wrong than anybody would mend.

    Examples
    --------
    >>> from models.file.yamltext import parse
    >>> document = parse("mine.yaml", "week: {}")
    >>> try:
    ...     WeekFile.model_validate(document.data)
    ... except ValidationError as wrong:
    ...     fault = explain(document, wrong)
    >>> fault.what, len(fault.also)
    ("'starts' is missing", 3)
    """
    if wrong.error_count() > MOST_FAULTS:
        what = f"{wrong.error_count():,} places in it are wrong"
        raise InputError(document.name, what, f"See what belongs here with: {schema}")
    places = [_place(document, dict(item)) for item in wrong.errors(include_url=False)]
    places.sort(key=lambda pair: (pair[0].line or 0, pair[0].column or 0))
    # What may be one thing or another is found wrong as either, in the same words.
    told_once = dict.fromkeys(
        (where, *_words(item, schema), _missing(item)) for where, item in places
    )
    each = [InputError(where, what, mend, missing=key) for where, what, mend, key in told_once]
    first = each[0]
    more = counted(len(each) - 1, "more fault")
    told = f" (At least {more} in this file after this one.)" if each[1:] else ""
    fault = InputError(first.where, first.what, first.mend + told)
    fault.also = tuple(each)
    return fault


_AS_IN = {
    "week": "{starts: 2026-11-30, guidance: uk, cups: metric}",
    "eaters": "{Ann: {}}",
    "dishes": "{Stew: {takes: {stew: 1}}}",
    "starts": "2026-11-30",
    "yield": "6 portions",
    "pack": "250 g",
    "do": "chop the onions",
    "lasts": "10 min",
    "compartments": "[650 mL]",
    "lunch_share": "35 %",
    "price": "1.20",
    "day": "mon",
    "portion": "30 g",
    "what": "400 g onions",
}
"""What a key that has to be there may say."""
_OF_EACH = {
    "takes": "1",
    "goes_in": "1 piece",
    "likes": "1",
    "eaters": "{}",
    "batches": "{yield: 6 portions}",
    "larder": "{pack: 250 g}",
    "cupboard": "plenty",
    "extras": "{portion: 1 piece}",
}
"""What may stand behind each name, where a list of names was written."""


def _each(item: Mapping[str, Any], key: str) -> str:
    """Give what may stand in a list, where there is none."""
    given = item.get("input")
    if isinstance(given, dict):
        parts = [f"{name}: {value}" for name, value in given.items()]
        whole = key in _OF_DAYS or "day" in given
        return f"{{{', '.join(parts) if whole else '}, {'.join(parts)}}}"
    if isinstance(given, str) and given:
        each = given.split(",")
    elif example := _AS_IN.get(key, "").strip("[]"):
        each = [example]
    else:
        each = ["mon", "tue"] if key in (*_OF_DAYS, "days") else ["a", "b"]
    return ", ".join(
        f"{{day: {entry.strip()}}}" if key in _OF_DAYS else entry.strip() for entry in each
    )


def _named(item: Mapping[str, Any]) -> str:
    """Say how names with what belongs to them are written."""
    key, given = str(item["loc"][-1]), item.get("input")
    if isinstance(given, list) and all(isinstance(entry, dict) for entry in given):
        return "Leave out the '-' before each name."
    names = [name.strip() for name in given.split(",")] if isinstance(given, str) else given
    if key in _OF_EACH and isinstance(names, list) and all(isinstance(name, str) for name in names):
        each = ", ".join(f"{name}: {_OF_EACH[key]}" for name in names)
        return f"Write '{key}: {{{each}}}'."
    return "Write each name with a colon, and below it, further in, what belongs to it."


def _place(document: Document, item: dict[str, Any]) -> tuple[Where, dict[str, Any]]:
    path = tuple(item["loc"])
    key = (item.get("ctx") or {}).get("key")
    if key is not None:
        path = (*path, key)
    return document.where(path), item


def _missing(item: dict[str, Any]) -> str:
    """Name the key that has to be there and is not; empty where the finding is another."""
    return str(item["loc"][-1]) if item["type"] == "missing" else ""


def _words(item: dict[str, Any], schema: str) -> tuple[str, str]:
    context = item.get("ctx") or {}
    key = str(item["loc"][-1]) if item["loc"] else ""
    if item.get("input") is None and (cut := re.fullmatch(r"(.*\S) ([0-9].*)", key)):
        return f"a colon is missing in {key!r}", f"Write '{cut[1]}: {cut[2]}'."
    if item["type"] == "cook":
        return str(context["what"]), str(context["mend"])
    if missing := _missing(item):
        example = _AS_IN.get(missing)
        mend = f"Add it here, as in '{missing}: {example}'." if example else "Add it here."
        return f"{missing!r} is missing", mend
    value = json.dumps(item.get("input"), default=str, ensure_ascii=False)
    value = value if len(value) <= 40 else value[:37] + "..."
    if item["type"] == "dict_type":
        return f"{value} stands where names belong", _named(item)
    if item["type"] == "list_type":
        return f"{value} stands where a list belongs", f"Write '{key}: [{_each(item, key)}]'."
    return f"{value} does not fit here: {item['msg'][:1].lower()}{item['msg'][1:]}", (
        f"See what belongs here with: {schema}"
    )


@dataclass(frozen=True, slots=True)
class _WeekReader:
    """Builds a week from a file's entries; others read its food, its dishes and its eaters."""

    entry: WeekFile
    faults: Faults

    def week(self, own: tuple[Food, ...]) -> Week:
        entry, faults = self.entry, self.faults
        days = self.days()
        facts, packs = TableReader(faults, entry).tables(own)
        food = FoodReader(faults, entry, facts, days)
        bought = {name: item_of(food, name, item) for name, item in entry.larder.items()}
        batches = {name: batch_of(food, name, batch) for name, batch in entry.batches.items()}
        loose = loose_of(food, entry.dishes)
        larder = {**bought, **loose.items}
        dish = DishReader(faults, bought, batches)
        choices = {name: dish.choice(name, options) for name, options in entry.choices.items()}
        dishes = {
            name: dish.dish(name, item, choices, loose) for name, item in entry.dishes.items()
        }
        self.each_is_taken(dishes)
        self.same_dishes(dishes)
        eater = EaterReader(faults, facts.foods, dishes, boxes := self.boxes(), batches, larder)
        no_lunch = tuple(self.no_lunch(days))
        week = Week(
            name=entry.week.name,
            note=entry.week.note,
            guidance=facts.guidance,
            currency=entry.week.currency,
            days=days,
            eaters={each.name: each for name in entry.eaters for each in self.eaters(eater, name)},
            no_lunch=no_lunch,
            lunches=self.lunches(days, no_lunch),
            batches=batches,
            larder=larder,
            choices=choices,
            dishes=dishes,
            boxes=boxes,
            variety=self.variety({dish.kind for dish in dishes.values()}),
            priorities=self.priorities(),
            cups=entry.week.cups,
            own_foods=facts.foods.own,
            packs=packs,
            kitchen=kitchen_of(entry.kitchen),
            times=self.times(),
            cupboard=dict(
                in_the_cupboard(food, name, held, larder) for name, held in entry.cupboard.items()
            ),
            lately=self.lately(),
            wishes=self.wishes(days, dishes),
            source=faults.document,
            tables=own,
            taken=tuple(taken(entry, batches)),
        )
        kept = {name: self.what_if(week, name, item) for name, item in entry.what_ifs.items()}
        return replace(week, what_ifs=kept) if kept else week

    def boxes(self) -> dict[str, Box]:
        return {
            name: Box(name, tuple(box.compartments), tuple(box.pots))
            for name, box in self.entry.boxes.items()
        }

    def times(self) -> Times:
        morning, evening = self.entry.times.morning, self.entry.times.evening
        return Times(
            self.entry.times.zone, time.fromisoformat(morning), time.fromisoformat(evening)
        )

    def lately(self) -> dict[str, tuple[str, ...]]:
        for name in self.entry.lately:
            self.faults.look_up(name, self.entry.eaters, ("lately", name), "eater")
        # A dish that is not offered any more may have been eaten all the same.
        return {name: tuple(dishes) for name, dishes in self.entry.lately.items()}

    def wishes(self, days: tuple[date, ...], dishes: Mapping[str, Dish]) -> tuple[WishedLunch, ...]:
        wanted: dict[WishedLunch, int] = {}
        for at, text in enumerate(self.entry.wishes):
            path = ("wishes", at)
            match = WISH.fullmatch(text)
            if match is None:
                mend = "Write it as in 'Soup and toast on tue', or '... on tue for Ada'."
                raise self.faults.at(path, f"{text!r} is no dish on a day", mend)
            dish, day_told, eater = match.groups()
            self.faults.look_up(dish, dishes, path, "dish", hangs_on="dishes")
            day = next((day for day in days if day_matches(day, day_told)), None)
            if eater is not None:
                self.faults.look_up(eater, self.entry.eaters, path, "eater")
                if len(self.named(eater)) > 1:
                    what = f"{eater!r} is {len(self.named(eater))} eaters by one entry"
                    mend = "Wish it for anybody, or give one of them an entry of their own."
                    raise self.faults.at(path, what, mend)
            wish = WishedLunch(dish, self.day(day_told, days, path) if day is None else day, eater)
            if wanted.setdefault(wish, at) != at:
                raise self.faults.at(path, f"{text!r} is wished twice", "Leave one of them out.")
        return tuple(wanted)

    def same_dishes(self, dishes: Mapping[str, Dish]) -> None:
        """Refuse a dish that is another way of one that is none, or is another way itself."""
        for name, dish in dishes.items():
            if not dish.same_as:
                continue
            path = ("dishes", name, "same_as")
            self.faults.look_up(dish.same_as, dishes, path, "dish")
            if dish.same_as == name or dishes[dish.same_as].same_as:
                what = f"{dish.same_as!r} is another way of a dish itself"
                raise self.faults.at(path, what, "Name the dish that both are ways of.")
            if dish.most is not None:
                what = f"how often {name!r} comes is a matter of {dish.same_as!r}"
                mend = f"Write 'most' with {dish.same_as!r}, or leave 'same_as' out."
                raise self.faults.at((*path[:-1], "most"), what, mend)

    def each_is_taken(self, dishes: Mapping[str, Dish]) -> None:
        """Refuse a batch that no dish takes."""
        taken = {take.batch for dish in dishes.values() for take in dish.takes}
        mend = "Name it under 'takes' of a dish, or remove the batch."
        each = [
            self.faults.at(("batches", name), f"no dish takes {name!r}", mend, hangs_on="dishes")
            for name, entry in self.entry.batches.items()
            # Of what an earlier week left there may be too little for any dish.
            if name not in taken and not entry.earlier
        ]
        if each:
            each[0].also = tuple(each)
            raise each[0]

    def what_if(self, week: Week, name: str, entry: WhatIfEntry) -> tuple[Knob, ...]:
        """Read a what-if that is kept in the file."""
        path = ("what_ifs", name)

        knobs = [
            self.knob(partial(yield_of, week, batch, values), (*path, "yield", batch))
            for batch, values in entry.yield_.items()
        ]
        for eater, floors in entry.floors.items():
            for nutrient, values in floors.items():
                turned = partial(floor_of, week, eater, nutrient, values)
                knobs.append(self.knob(turned, (*path, "floors", eater, nutrient)))
        if entry.lunches is not None:
            turned = partial(lunches_knob, week, entry.lunches)
            knobs.append(self.knob(turned, (*path, "lunches")))
        if not knobs:
            raise self.faults.at(path, "nothing is turned", "Write as in 'yield: {NAME: 8..20}'.")
        return tuple(knobs)

    def knob(self, turned: Callable[[str | Where], Knob], path: Steps) -> Knob:
        """Read a knob; its line, which takes a look at the whole text, is found for a fault."""
        try:
            return turned("")
        except InputError:
            return turned(self.faults.document.where(path))

    # -- days -----------------------------------------------------------------

    def days(self) -> tuple[date, ...]:
        starts, wanted = self.entry.week.starts, self.entry.week.days
        if starts.year < 1970 or starts.year > 9000:
            raise self.faults.at(
                ("week", "starts"), f"{starts} is no week to cook for", "Mend the year."
            )
        if DAY_NAMES[starts.weekday()] not in wanted:
            raise self.faults.at(
                ("week", "starts"),
                f"{starts} is a {starts:%A}, which is not among the days of this week",
                f"Start on a {', '.join(wanted)}, or add {DAY_NAMES[starts.weekday()]} to 'days'.",
            )
        if len(set(wanted)) < len(wanted):
            raise self.faults.at(("week", "days"), "a day is named twice", "Name each day once.")
        span = (starts + timedelta(days=ahead) for ahead in range(7))
        return tuple(day for day in span if DAY_NAMES[day.weekday()] in wanted)

    def day(self, name: str | date, days: tuple[date, ...], path: Steps) -> date:
        for day in days:
            if name in (day, DAY_NAMES[day.weekday()]):
                return day
        raise self.faults.at(
            path,
            f"{name} is not a day of this week",
            f"Its days are {', '.join(_called(day, name) for day in days)}.",
            hangs_on="days",
        )

    def named(self, name: str) -> list[str]:
        """Give the names of those who eat by an entry: its own, or "Office 1", "Office 2"."""
        count = self.entry.eaters[name].count
        if count == 1:
            return [name]
        names = [f"{name} {number}" for number in range(1, count + 1)]
        for other in names:
            if other in self.entry.eaters:
                raise self.faults.at(
                    ("eaters", other),
                    f"{other!r} is one of the {count} of {name!r} already",
                    "Give one of the two entries another name.",
                )
        return names

    def eaters(self, reader: EaterReader, name: str) -> list[Eater]:
        """Make all who eat by an entry."""
        eater, names = reader.eater(name, self.entry.eaters[name]), self.named(name)
        if len(names) == 1:
            return [eater]
        return [replace(eater, name=each, group=name) for each in names]

    def those(self, name: str | None) -> list[str]:
        """Give all who eat by an entry, or by any."""
        entries = self.entry.eaters if name is None else [name]
        return [each for entry in entries for each in self.named(entry)]

    def no_lunch(self, days: tuple[date, ...]) -> Iterable[NoLunch]:
        for at, off in enumerate(self.entry.no_lunch):
            if off.eater is not None:
                path = ("no_lunch", at, "eater")
                self.faults.look_up(off.eater, self.entry.eaters, path, "eater")
            yield NoLunch(self.day(off.day, days, ("no_lunch", at, "day")), off.eater, off.why)

    def lunches(self, days: tuple[date, ...], no_lunch: tuple[NoLunch, ...]) -> tuple[Lunch, ...]:
        everywhere = _place_of(self.entry.place)
        places: dict[tuple[date, str], Place] = {}
        for at, other in enumerate(self.entry.elsewhere):
            path = ("elsewhere", at)
            if other.eater is not None:
                self.faults.look_up(other.eater, self.entry.eaters, (*path, "eater"), "eater")
            for name in self.those(other.eater):
                places[self.day(other.day, days, (*path, "day")), name] = _place_of(other, path)
        not_needed = {(off.day, name) for off in no_lunch for name in self.those(off.eater)}
        lunches = tuple(
            Lunch(name, day, places.get((day, name), everywhere))
            for day in days
            for name in self.those(None)
            if (day, name) not in not_needed
        )
        if not lunches:
            raise self.faults.at(("no_lunch",), "no lunch is left", "Leave at least one to plan.")
        if len(lunches) > MOST_LUNCHES:
            raise self.faults.at(
                ("eaters",), f"{len(lunches)} lunches are too many", f"Plan up to {MOST_LUNCHES}."
            )
        return lunches

    # -- wishes ---------------------------------------------------------------

    def variety(self, kinds: set[str]) -> Variety:
        entry = self.entry.variety
        for at, group in enumerate(entry.kinds_apart):
            for kind in group:
                path = ("variety", "kinds_apart", at)
                self.faults.look_up(kind, kinds, path, "kind of dish", hangs_on="dishes")
        return Variety(
            most_times=entry.most_times,
            days_between=entry.days_between,
            kinds_apart=self.kinds_apart(),
            same_choice=entry.same_choice,
            batch_running=entry.batch_running,
        )

    def kinds_apart(self) -> tuple[frozenset[str], ...]:
        known: list[frozenset[str]] = []
        for at, group in enumerate(map(frozenset, self.entry.variety.kinds_apart)):
            if group in known:
                kinds = " and ".join(sorted(group))
                path = ("variety", "kinds_apart", at)
                raise self.faults.at(path, f"{kinds} is named twice", "Keep one of the two.")
            known.append(group)
        return tuple(known)

    def priorities(self) -> tuple[str, ...]:
        named = self.entry.priorities
        for at, name in enumerate(named):
            self.faults.look_up(name, PRIORITY_NAMES, ("priorities", at), "priority")
        if len(set(named)) < len(named):
            raise self.faults.at(("priorities",), "a priority is named twice", "Name each once.")
        return (*ranked(named), TIE_BREAK)


def _called(day: date, like: str | date) -> str:
    return day.isoformat() if isinstance(like, date) else DAY_NAMES[day.weekday()]


def _place_of(entry: PlaceEntry, told_at: Steps = ("place",)) -> Place:
    return Place(entry.fridge, entry.microwave, entry.cold_packs, told_at)
