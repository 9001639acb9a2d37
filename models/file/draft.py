"""A week file drafted from batches: dishes of what is there, so that it plans at once.

Each batch is served alone, with bread, with grain and with leaves, and each pair together. What
nobody said is written as a remark to settle; what is drafted is common practice, no source.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import combinations, pairwise

from models.file import yamltext
from models.file.reading import week_of
from models.foods.storage import LEFTOVERS, class_names, storage
from models.week.week import Week
from models.words.days import DAY_NAMES, NoDays, days_of_week
from models.words.errors import InputError
from models.words.names import words
from models.words.text import LONGEST_NAME, quoted, unprintable
from models.words.units import GRAM, magnitude

MOST_BATCHES = 12
ALL_PAIRS = 6
"""With more batches only neighbours are paired, or the dishes would be too many to look at."""
A_LUNCH = 600
"""Most grams of batches in a lunch that is drafted: common practice, no source."""
ONE_WEIGHS = {"pieces": 50, "portions": 250}
"""Grams of one where nobody said, as a week file takes it."""
SCHEMA = "week.schema.json"
ADDED = (
    "Bread, cheese, leaves and grain beside what you cook are added to start from: "
    "change what is not yours."
)
"""What a draft has that nobody asked for."""
_AMOUNT = re.compile(
    r"(?P<name>.+?)\s*,\s*(?P<count>[1-9][0-9]{0,3})\s*(?P<unit>portions?|pieces?)"
    r"(?:\s+of\s+(?P<mass>[0-9]{1,5}(?:\.[0-9]+)?\s*k?g))?"
)
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 '()-]*(?<! )")
_WORDS_OF_YAML = {"yes", "no", "on", "off", "true", "false", "null", "y", "n"}


@dataclass(frozen=True, slots=True)
class DraftStep:
    """A step of a recipe as it will be written.

    Attributes
    ----------
    do
        What is done, in the words of the recipe.
    lasts
        Minutes; None where nobody told.
    oven
        Heat in °C; None without an oven.
    rings
        Of the hob, how many it takes.
    """

    do: str
    lasts: int | None = None
    hands: bool = True
    oven: int | None = None
    rings: int = 0


@dataclass(frozen=True, slots=True)
class DraftBatch:
    """A batch to draft.

    Attributes
    ----------
    count, unit
        How many it makes: of "portions" or "pieces".
    portion
        Mass of one, as written; empty where nobody said.
    source
        Where its recipe comes from.
    ingredients
        Lines that are read.
    not_read
        Lines that are not, each with why and how to write it.
    settle
        What the reader has to settle, a sentence each.
    weighs
        Grams of one, stated or worked out of the ingredients; 0 before that is known.
    """

    name: str
    count: int
    unit: str
    portion: str = ""
    source: str = ""
    ingredients: tuple[str, ...] = ()
    not_read: tuple[tuple[str, str], ...] = ()
    steps: tuple[DraftStep, ...] = ()
    settle: tuple[str, ...] = ()
    keeps_as: str = ""
    freezes: bool = False
    weighs: int = 0


@dataclass(frozen=True, slots=True)
class Frame:
    """The week around the batches.

    Attributes
    ----------
    starts
        Date of the first day.
    days
        Days of the week with lunches, by three letters.
    guidance, cups
        Whose fridge lives and which cups the week follows.

    Examples
    --------
    >>> Frame(date(2026, 11, 30), ("mon", "tue"), "strictest", "label").days
    ('mon', 'tue')
    """

    starts: date
    days: tuple[str, ...]
    guidance: str
    cups: str


# -- what was asked for ----------------------------------------------------------------


def batch_of(text: str) -> DraftBatch:
    """Read a batch as a cook names it.

    Parameters
    ----------
    text
        Its name and what it comes to: "chilli, 12 portions", "oat bars, 18 pieces of 45 g".

    Returns
    -------
    Count and unit, and the mass of one as written; without ingredients or steps.

    Raises
    ------
    InputError
        When it does not say both.

    Examples
    --------
    >>> batch_of("rice salad, 8 portions").count
    8
    """
    asked = " ".join(text.split())
    match = _AMOUNT.fullmatch(asked)
    if match is None:
        raise InputError(
            "--batch",
            f"{quoted(text)} does not say what a batch comes to",
            'Write its name and how many it makes: --batch "chilli, 12 portions".',
        )
    name = match["name"]
    if wrong := unprintable(name, "name"):
        raise InputError("--batch", wrong, "Write printable text only.")
    if len(name) > LONGEST_NAME:
        what = f"{quoted(name)} is longer than {LONGEST_NAME} characters"
        raise InputError("--batch", what, "Shorten it.")
    if int(match["count"]) > 2_000:
        raise InputError("--batch", f"{match['count']} are too many", "Write at most 2000.")
    unit = match["unit"].removesuffix("s") + "s"
    return DraftBatch(name, int(match["count"]), unit, portion=match["mass"] or "")


def days_of(text: str) -> tuple[str, ...]:
    """Read the days of a week.

    Parameters
    ----------
    text
        "mon-fri", "mon,wed,fri".

    Returns
    -------
    Three letters each, in the order of the calendar.

    Raises
    ------
    InputError
        When a part is no day, or the days run backwards.

    Examples
    --------
    >>> days_of("mon-wed, fri")
    ('mon', 'tue', 'wed', 'fri')
    """
    try:
        return days_of_week(text)
    except NoDays as fault:
        raise InputError("--days", str(fault), fault.mend) from fault


def next_start(today: date, days: Sequence[str]) -> date:
    """Find the next date, from tomorrow on, that is the first of the days.

    Parameters
    ----------
    today
        The day it is.
    days
        Days of the week by three letters, at least one.

    Returns
    -------
    From tomorrow to a week from today.

    Examples
    --------
    >>> next_start(date(2026, 11, 26), ["mon", "tue"])
    datetime.date(2026, 11, 30)
    """
    ahead = (today + timedelta(days=more) for more in range(1, 8))
    return next(day for day in ahead if DAY_NAMES[day.weekday()] == days[0])


# -- the file --------------------------------------------------------------------------


def draft(batches: Sequence[DraftBatch], frame: Frame) -> str:
    """Write a week file of batches that plans at once.

    Parameters
    ----------
    batches
        One or more, each by another name.
    frame
        The week around them.

    Returns
    -------
    str
        YAML, with what the cook has to settle as comments.

    Raises
    ------
    InputError
        When there are too many batches, or two of a name.

    Examples
    --------
    >>> frame = Frame(date(2026, 11, 30), ("mon", "tue"), "strictest", "label")
    >>> "rice salad:" in draft([batch_of("rice salad, 8 portions")], frame)
    True
    """
    if len(batches) > MOST_BATCHES:
        what = f"{len(batches)} batches are too many"
        raise InputError("--batch", what, f"Name up to {MOST_BATCHES}.")
    names = [batch.name.casefold() for batch in batches]
    for batch in batches:
        if names.count(batch.name.casefold()) > 1:
            what = f"two batches are called {batch.name!r}"
            raise InputError("--batch", what, "Give one of them another name.")
    known = [_kept(batch, frame.guidance) for batch in batches]
    # How long each keeps and whether it freezes is read from the draft, not guessed twice.
    known, week = _readable(known, frame)
    frozen = [
        replace(
            batch,
            weighs=int(magnitude(week.batches[batch.name].portion, GRAM)),
            freezes=all(
                storage()[name].freezes_well for name in week.batches[batch.name].life.classes
            ),
        )
        for batch in known
    ]
    return _text(frozen, frame)


def _readable(batches: Sequence[DraftBatch], frame: Frame) -> tuple[list[DraftBatch], Week]:
    """Take out of a draft what the week file refuses, with a remark to settle."""
    known = list(batches)
    while True:
        document = yamltext.parse("the draft", _text(known, frame))
        try:
            return known, week_of(document)
        except InputError as fault:
            path = fault.where.path
            at = next((at for at, food in enumerate(known) if path[1:2] == (food.name,)), None)
            if path[:1] != ("batches",) or at is None:
                raise
            known[at] = _without(known[at], path[2:], fault)


def _without(batch: DraftBatch, path: tuple[str | int, ...], fault: InputError) -> DraftBatch:
    """Take the part of a batch out that is at fault, or else all that its recipe says."""
    settle = (*batch.settle, f"{fault.what}. {fault.mend}")
    if "steps" in path and batch.steps:
        return replace(batch, steps=(), settle=settle)
    if batch.ingredients and not batch.keeps_as:
        return replace(batch, keeps_as=LEFTOVERS, settle=settle)
    if batch.ingredients:
        gone = tuple((line, "see above") for line in batch.ingredients)
        return replace(batch, ingredients=(), not_read=(*gone, *batch.not_read), settle=settle)
    raise fault


def _kept(batch: DraftBatch, guidance: str) -> DraftBatch:
    """Take a storage class from the name of a batch of which nothing else is known.

    Only one that keeps no longer than leftovers with meat, fish or egg; else nothing is written,
    and the shortest life of what is cooked is taken.
    """
    if batch.ingredients:
        return batch
    named = words(batch.name)
    limit = storage()[LEFTOVERS].fridge(guidance)
    fits: list[tuple[int, str]] = []
    for alias, name in class_names().items():
        life = storage()[name].fridge(guidance, cooked=True)
        short = life is not None and limit is not None and life.high <= limit.high
        if short and not storage()[name].bought and words(alias) and words(alias) <= named:
            fits.append((life.high if life is not None else 0, name))
    return replace(batch, keeps_as=min(fits)[1]) if fits else batch


def _text(batches: Sequence[DraftBatch], frame: Frame) -> str:
    lines = [
        f"# yaml-language-server: $schema={SCHEMA}",
        "# Drafted to start from: change what is yours.",
        "#   clearfridge check THIS-FILE     shows how it was understood",
        "#   clearfridge plan THIS-FILE      finds the best week",
        f"#   clearfridge schema > {SCHEMA}     lets an editor complete and check this file",
        "",
        "week:",
        f"  starts: {frame.starts.isoformat()}",
        f"  days: [{', '.join(frame.days)}]",
        f"  guidance: {frame.guidance}    # whose fridge lives: us, uk, or strictest of the two",
        f"  cups: {frame.cups}           # label, us, metric or metric-20",
        "",
        "place: {fridge: yes, microwave: no}    # where lunch is eaten",
        "",
        "eaters:",
        "  Me: {}    # {floors: {protein: 25 g}} once ingredients or nutrition are known",
        "",
        "batches:",
        *(line for batch in batches for line in _batch(batch)),
        "",
        "# Bought as it is; the figures are the food table's.",
        "larder:",
        "  bread: {food: rye bread, pack: 10 pieces, piece: 50 g}",
        "  leaves: {food: mixed salad leaves, pack: 100 g, chilled: yes}",
        "  cheese: {food: cheddar, pack: 200 g, chilled: yes}",
        "",
        "dishes:",
        *_dishes(batches, len(frame.days)),
        "",
    ]
    return "\n".join(lines) + "\n"


def _batch(batch: DraftBatch) -> Iterator[str]:
    yield f"  {scalar(batch.name)}:"
    for sentence in batch.settle:
        yield f"    # To settle: {_remark(sentence)}"
    if batch.source:
        yield f"    source: {scalar(batch.source)}"
    yield f"    yield: {batch.count} {batch.unit}"
    if batch.portion:
        yield f"    portion: {batch.portion}"
    yield from _recipe(batch)
    if batch.keeps_as:
        yield f"    keeps_as: {scalar(batch.keeps_as)}    # by its name: say what it is"
    if batch.freezes:
        yield f"    freezer: {batch.count} {batch.unit}    # how many the freezer takes"
    if not batch.ingredients and not batch.not_read:
        yield "    # To settle: write what is in it, a line a food. Until then its allergens are"
        yield "    # unknown, and whoever must not have something gets none of it."
        yield "    # ingredients: [500 g onions, ...]"


def _recipe(batch: DraftBatch) -> Iterator[str]:
    if batch.ingredients:
        yield "    ingredients:"
        yield from (f"      - {scalar(line)}" for line in batch.ingredients)
    if batch.not_read:
        yield "    # To settle: mend each of these, and move it up to 'ingredients'."
        yield "    not_read:"
        for line, why in batch.not_read:
            yield f"      - {scalar(line)}    # {_remark(why)}"
    if batch.steps:
        yield "    steps:"
        yield from (f"      - {_step(step)}" for step in batch.steps)


def _step(step: DraftStep) -> str:
    minutes = 5 if step.lasts is None else step.lasts
    parts = [f"do: {scalar(step.do)}", f"lasts: {minutes} min"]
    if not step.hands:
        parts.append("hands: no")
    if step.oven is not None:
        parts.append(f"oven: {step.oven} °C")
    if step.rings:
        parts.append(f"rings: {step.rings}")
    told = "" if step.lasts is not None else "    # no time is told: 5 min is a guess"
    return f"{{{', '.join(parts)}}}{told}"


def _dishes(batches: Sequence[DraftBatch], days: int) -> Iterator[str]:
    taken = {"bread and cheese"}
    for batch in batches:
        most = _most(batch, -(-batch.count // days) + 1, A_LUNCH)
        takes = f"takes: {{{scalar(batch.name)}: {_span(most)}}}"
        name = _title(batch.name)
        alone = scalar(_apart(name, taken))
        yield f"  {alone}: {{kind: alone, {takes}, minutes: 3}}"
        for ending, kind, with_it in (
            ("with bread", "bread", "goes_in: {bread: 1 piece}"),
            ("with grain", "grain", "ingredients: [60 g couscous]"),
            ("with leaves", "leaf", "goes_in: {leaves: 30 g}"),
        ):
            dish = scalar(_apart(f"{name} {ending}", taken))
            yield f"  {dish}: {{kind: {kind}, {takes}, {with_it}, minutes: 5}}"
    pairs = combinations(batches, 2) if len(batches) <= ALL_PAIRS else pairwise(batches)
    for first, second in pairs:
        if first.weighs + second.weighs > A_LUNCH:
            continue
        takes = ", ".join(
            f"{scalar(batch.name)}: {_span(_most(batch, -(-batch.count // days), A_LUNCH // 2))}"
            for batch in (first, second)
        )
        name = f"{_title(first.name, _IN_PAIR)} and {_short(second.name, _IN_PAIR)}"
        pair = scalar(_apart(name, taken))
        yield f"  {pair}: {{kind: pair, takes: {{{takes}}}, minutes: 4}}"
    yield "  # For a day when no batch is left or keeps."
    yield (
        "  Bread and cheese: {kind: bread, goes_in: {bread: 2 pieces, cheese: 50 g}, minutes: 4}"
    )


def _apart(name: str, taken: set[str]) -> str:
    number, apart = 1, name
    while apart.casefold() in taken:
        number += 1
        apart = f"{name} ({number})"
    taken.add(apart.casefold())
    return apart


def _most(batch: DraftBatch, to_eat_all: int, grams: int) -> int:
    """Give the most portions of a batch in a lunch: what a box holds, whatever is left over."""
    one_weighs = batch.weighs or ONE_WEIGHS[batch.unit]
    return max(1, min(batch.count, to_eat_all, grams // max(1, one_weighs)))


def _span(most: int) -> str:
    return "1" if most == 1 else f"1 to {most}"


_ALONE, _IN_PAIR = 44, 25
"""Letters of a batch's name that fit into a dish's, beside "with leaves (2)" or another's."""
_TAIL = re.compile(r"(\s*\(| (in|with|on) ).*$", re.IGNORECASE)
"""What comes after the word for what it is: meatballs in tomato sauce."""
_HANGING = re.compile(r"^[\s,;:&)–-]*((with|and|of|or|on|the|a|an|for)\s+)*", re.IGNORECASE)
"""What a name may not begin with once it is cut: and sausage stew."""


def _title(name: str, room: int = _ALONE) -> str:
    short = _short(name, room)
    return short[:1].upper() + short[1:]


def _short(name: str, room: int) -> str:
    """Cut a name at its beginning, for the last word says what it is."""
    if len(name) <= room:
        return name
    whole = _TAIL.sub("", name) or name
    ending = whole if len(whole) <= room else whole[-room - 1 :].partition(" ")[2]
    return _HANGING.sub("", ending).strip() or name[:room].strip()


def _remark(text: str) -> str:
    """Keep a stranger's text on the line of its remark."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def scalar(text: str) -> str:
    """Write a text so that YAML reads it back letter for letter.

    Parameters
    ----------
    text
        Any printable text.

    Returns
    -------
    The text bare where YAML takes it for text, else in double quotes.

    Examples
    --------
    >>> scalar("lentil stew"), scalar("yes"), scalar("2 eggs: beaten")
    ('lentil stew', '"yes"', '"2 eggs: beaten"')
    """
    bare = _PLAIN.fullmatch(text) and text.casefold() not in _WORDS_OF_YAML
    return text if bare else json.dumps(text, ensure_ascii=False)
