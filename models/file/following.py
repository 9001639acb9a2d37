"""The document of the week after: the same week seven days on, with what this one leaves.

What an earlier week cooked and is still good stands there as a batch of its own, with its old date,
so that what is in it and how long it keeps stay exact. Batches of the week are to be chosen anew.
"""

from __future__ import annotations

import copy
import itertools
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from models.week.week import Batch, Dish, Shelved, Week
from models.words.errors import spelt
from models.words.numbers import counted, plain
from models.words.text import LONGEST_NAME
from models.words.units import GRAM, MILLILITRE, PIECE

A_WEEK = timedelta(days=7)
LONGEST_OF = 36
"""Characters of a batch's name that the name of a dish has room for."""
THIS_TIME = ("gone", "frozen", "frozen_later", "thawed", "cook")
"""What a week file says of a batch once it is cooked, and of this time alone."""
SYMBOLS = {GRAM: "g", MILLILITRE: "mL"}
NOT_AGAIN = ("sizes", "freezer", "freezes")
"""What it says for the prep day."""


@dataclass(frozen=True, slots=True)
class Remains:
    """What is left of a batch when its week is over, and still good.

    Attributes
    ----------
    batch
        As the week has it.
    name
        What it is called from now on.
    fridge
        Portions there.
    lots
        Days and the portions frozen on them that are in the freezer still.
    """

    batch: Batch
    name: str
    fridge: int
    lots: tuple[tuple[date, int], ...] = ()

    @property
    def freezer(self) -> int:
        """Portions there."""
        return sum(portions for _, portions in self.lots)

    @property
    def there(self) -> int:
        """Portions in all."""
        return self.fridge + self.freezer


def called(batch: Batch, taken: Collection[str]) -> str:
    """Give a batch of an earlier week a name that no other has.

    Parameters
    ----------
    batch
        The batch.
    taken
        Names of the other batches.

    Returns
    -------
    At most `LONGEST_NAME` letters, ending in its date; of an earlier week its name as it is.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> called(read_week("demo").batches["pea soup"], [])
    'pea soup of 30 Nov'
    """
    if batch.earlier:
        return batch.name
    ending = f" of {batch.made.day} {batch.made:%b}"
    of_year = f"{ending} {batch.made.year}"
    return _fitting(batch.name, of_year if f"{batch.name}{ending}" in taken else ending, taken)


def _fitting(name: str, ending: str, taken: Collection[str]) -> str:
    """Join a name and its ending; what is too long is cut at a word, what is taken numbered."""
    for number in itertools.count(1):
        tail = ending if number == 1 else f" {number}{ending}"
        room = LONGEST_NAME - len(tail)
        start = name if len(name) <= room else name[:room].rsplit(" ", 1)[0].removesuffix(" and")
        if f"{start}{tail}" not in taken:
            return f"{start}{tail}"
    raise AssertionError("numbers have no end")


def copied(dish: Dish, remains: Remains, taken: Collection[str] = ()) -> str:
    """Name a dish that takes what an earlier week left.

    Parameters
    ----------
    dish
        The dish that takes the batch as this week cooked it.
    remains
        What is left of the batch.
    taken
        Names of other dishes.

    Returns
    -------
    At most `LONGEST_NAME` letters, the batch in brackets at the end.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("demo")
    >>> rest = Remains(week.batches["pea soup"], "pea soup of 30 Nov", 0, ((date.min, 1),))
    >>> copied(week.dishes["Soup and bake"], rest)
    'Soup and bake (pea soup of 30 Nov)'
    """
    batch = remains.batch
    of = remains.name if len(remains.name) <= LONGEST_OF else f"of {batch.made.day} {batch.made:%b}"
    return _fitting(dish.name, f" ({of})", taken)


def copies(week: Week, remains: Remains) -> list[tuple[Dish, int, int]]:
    """List the dishes that what is left of a batch suffices for, with the portions they take.

    In each of them what is left takes the place of this batch alone, beside what else the dish
    takes: a portion that is too little by itself goes with others.

    Parameters
    ----------
    week
        The week that cooked it.
    remains
        What is left.

    Returns
    -------
    list of tuple of Dish, int and int
        The dish, least and most portions. Empty for a batch that has its dishes already.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("demo")
    >>> rest = Remains(week.batches["pea soup"], "pea soup of 30 Nov", 0, ((date.min, 1),))
    >>> [(dish.name, most) for dish, _, most in copies(week, rest)]
    [('Soup and toast', 1), ('Soup and bake', 1)]
    """
    if remains.batch.earlier:
        return []
    old = {name for name, batch in week.batches.items() if batch.earlier}
    return [
        (dish, take.least, min(take.most, remains.there))
        for dish in week.dishes.values()
        for take in dish.takes
        if take.batch == remains.batch.name
        and 0 < take.least <= remains.there
        and old.isdisjoint(other.batch for other in dish.takes)
    ]


def named_copies(
    week: Week, remains: Sequence[Remains]
) -> list[tuple[Remains, Dish, int, int, str]]:
    """List the dishes that take what is left of any batch, each with a name of its own.

    Parameters
    ----------
    week
        The week that cooked it.
    remains
        What is left, of all batches.

    Returns
    -------
    list of tuple of Remains, Dish, int, int and str
        What is left, the dish that took it, least and most portions, the name of the new dish.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("demo")
    >>> rest = Remains(week.batches["pea soup"], "pea soup of 30 Nov", 0, ((date.min, 1),))
    >>> [name for *_, name in named_copies(week, [rest])][0]
    'Soup and toast (pea soup of 30 Nov)'
    """
    taken = set(week.dishes)
    named: list[tuple[Remains, Dish, int, int, str]] = []
    for rest in remains:
        for dish, least, most in copies(week, rest):
            name = copied(dish, rest, taken)
            taken.add(name)
            named.append((rest, dish, least, most, name))
    return named


@dataclass(frozen=True, slots=True)
class Carried:
    """What goes from a week into the one after.

    Attributes
    ----------
    remains
        What is left of batches.
    cupboard
        What is there of larder items and foods, with the unit of each.
    lately
        What was eaten, by eater.
    guests
        Eaters of this week alone.
    """

    remains: Sequence[Remains]
    cupboard: Mapping[str, tuple[str, Sequence[Shelved]]]
    lately: Mapping[str, Sequence[str]]
    guests: Collection[str] = ()


def following(data: Mapping[str, Any], week: Week, carried: Carried) -> dict[str, Any]:
    """Write the document of the week after.

    Parameters
    ----------
    data
        The document of the week as `Document.as_json` gives it; it stays as it is.
    week
        The week it says.
    carried
        What goes over.

    Returns
    -------
    As JSON has it, a week later; what is over and guests are left out, what is left comes in.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("demo")
    >>> following(week.source.as_json(), week, Carried((), {}, {}))["batches"]["leek bake"]["made"]
    '2026-12-10'
    """
    new = copy.deepcopy(dict(data))
    new["week"]["starts"] = (week.days[0] + A_WEEK).isoformat()
    for key in ("no_lunch", "elsewhere"):
        kept = [entry for entry in new.pop(key, []) if not _of_that_week(entry, carried.guests)]
        new |= {key: kept} if kept else {}
    for guest in carried.guests:
        del new["eaters"][guest]
    for entry in new.get("larder", {}).values():
        entry.pop("use_by", None)
    _batches(new, week, carried.remains)
    _dishes(new, week, carried.remains)
    _kinds(new, {dish.kind for dish in _kept(week, carried.remains)})
    new.pop("cupboard", None)
    new.pop("lately", None)
    new.pop("wishes", None)
    cupboard = {name: _held(held, unit) for name, (unit, held) in carried.cupboard.items() if held}
    # What is there stands before what is done with it.
    lately = {
        eater: offered
        for eater, names in carried.lately.items()
        if (offered := [name for name in names if name in new["dishes"]])
    }
    ahead = {"cupboard": cupboard, "lately": lately}
    order: dict[str, Any] = {}
    for key, value in new.items():
        if key == "choices" or (key == "dishes" and "choices" not in new):
            order |= {name: stands for name, stands in ahead.items() if stands}
        order[key] = value
    return order


def is_dated(day: object) -> bool:
    """Tell whether a day is a date, and so of one week alone.

    Parameters
    ----------
    day
        What stands under `day` of an entry.

    Returns
    -------
    True for what reads as a date of ISO 8601.

    Examples
    --------
    >>> is_dated("2026-12-02"), is_dated("wed")
    (True, False)
    """
    try:
        date.fromisoformat(str(day))
    except ValueError:
        return False
    return True


def _of_that_week(entry: Mapping[str, Any], guests: Collection[str]) -> bool:
    return is_dated(entry["day"]) or entry.get("eater") in guests


def _batches(new: dict[str, Any], week: Week, remains: Sequence[Remains]) -> None:
    left = {rest.batch.name: rest for rest in remains}
    unused = without_dishes(week, remains)
    batches: dict[str, Any] = {}
    old: dict[str, Any] = {}
    for key, entry in new.get("batches", {}).items():
        batch = week.batches[key]
        if batch.name in left:
            old[left[batch.name].name] = _earlier(entry, left[batch.name])
        if not batch.earlier and batch.name not in unused:
            batches[key] = {name: value for name, value in entry.items() if name not in THIS_TIME}
            if "made" in entry:
                batches[key]["made"] = (batch.made + A_WEEK).isoformat()
    if "batches" in new:
        new["batches"] = {**batches, **old}


def _earlier(entry: Mapping[str, Any], remains: Remains) -> dict[str, Any]:
    """Write a batch as one of an earlier week: what is in it and how it was cooked stay."""
    batch = remains.batch
    word = batch.portion_word
    gone = batch.portions - remains.there
    rest = {name: value for name, value in entry.items() if name not in (*THIS_TIME, *NOT_AGAIN)}
    rest |= {"cook": entry["cook"]} if "cook" in entry else {}
    at_once = sum(portions for day, portions in remains.lots if day <= batch.made)
    later = [
        {"day": day.isoformat(), "portions": counted(portions, word)}
        for day, portions in remains.lots
        if day > batch.made
    ]
    first = {
        "made": batch.made.isoformat(),
        "earlier": "yes",
        "frozen": counted(at_once, word),
        **({"frozen_later": later} if later else {}),
        "gone": counted(gone, word),
    }
    return {**first, **{name: value for name, value in rest.items() if name not in first}}


def _kept(week: Week, remains: Sequence[Remains]) -> list[Dish]:
    """List the dishes that take nothing of an earlier week that is used up."""
    there = {rest.batch.name for rest in remains}
    used_up = {name for name, batch in week.batches.items() if batch.earlier} - there
    return [
        dish
        for dish in week.dishes.values()
        if not any(take.batch in used_up for take in dish.takes)
    ]


def without_dishes(week: Week, remains: Sequence[Remains]) -> list[str]:
    """List the batches that only dishes take which the week after has no more.

    Parameters
    ----------
    week
        The week.
    remains
        What is left of its batches.

    Returns
    -------
    Names, in the order of the file: each of these dishes takes what an earlier week cooked and is
    used up as well.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> without_dishes(read_week("demo"), [])
    []
    """
    taken = {take.batch for dish in _kept(week, remains) for take in dish.takes}
    return [name for name, batch in week.batches.items() if not (batch.earlier or name in taken)]


def _dishes(new: dict[str, Any], week: Week, remains: Sequence[Remains]) -> None:
    """Offer what is left in the dishes that take it; leave out those of what is used up."""
    more = named_copies(week, remains)
    dishes: dict[str, Any] = {}
    likes: dict[str, str] = {}
    kept = {dish.name: dish for dish in _kept(week, remains)}
    heads: dict[str, str] = {}
    for dish in kept.values():
        # Where the dish that others are the same as is left out, the first of these stands for it.
        heads.setdefault(dish.counts_as, dish.counts_as if dish.counts_as in kept else dish.name)
    for key, dish in kept.items():
        entry, head = new["dishes"][key], heads[dish.counts_as]
        if dish.same_as:
            entry = {name: value for name, value in entry.items() if name != "same_as"}
            entry |= {"same_as": head} if head != key else {}
        dishes[key] = entry
        for rest, other, least, most, name in more:
            if other.name == dish.name:
                another = _copied(entry, rest, least, most)
                dishes[name] = {**another, "same_as": head}
                likes[name] = dish.name
    new["dishes"] = dishes
    for eater in new["eaters"].values():
        liked = eater.get("likes", {})
        if liked:
            liked |= {name: liked[was] for name, was in likes.items() if was in liked}
            eater["likes"] = {name: much for name, much in liked.items() if name in dishes}


def _kinds(new: dict[str, Any], kept: Collection[str]) -> None:
    """Keep of the kinds that may not follow each other those that a dish still has."""
    variety = new.get("variety") or {}
    apart: list[Any] = []
    for entry in variety.get("kinds_apart") or ():
        several = isinstance(entry, list)
        there = [kind for kind in (entry if several else [entry]) if spelt(str(kind), kept)]
        left = there if several else there[:1]
        known = [set(other) if isinstance(other, list) else {other} for other in apart]
        if left and set(left) not in known:
            apart.append(left if several else left[0])
    if apart:
        variety["kinds_apart"] = apart
    elif variety.pop("kinds_apart", None) and not variety:
        del new["variety"]


def _copied(entry: Mapping[str, Any], rest: Remains, least: int, most: int) -> dict[str, Any]:
    many: str | int = least if least == most else f"{least} to {most}"
    takes = {
        rest.name if name == rest.batch.name else name: many if name == rest.batch.name else taken
        for name, taken in entry["takes"].items()
    }
    # How often it comes is a matter of the dish that it is another way of.
    return {k: takes if k == "takes" else v for k, v in entry.items() if k != "most"}


def _held(held: Sequence[Shelved], unit: str) -> Any:
    lots = [_lot(stock, unit) for stock in held]
    return lots[0] if len(lots) == 1 else lots


def _lot(held: Shelved, unit: str) -> Any:
    if held.amount is None:
        return "plenty"
    number = plain(held.amount, 3)
    many = "piece" if number == "1" else "pieces"
    amount = f"{number} {many if unit == PIECE else SYMBOLS[unit]}"
    if held.use_by is None:
        return amount
    return {"amount": amount, "use_by": held.use_by.isoformat()}
