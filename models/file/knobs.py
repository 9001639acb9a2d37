"""What could be otherwise in a week: how much is cooked, a floor, how many lunches.

Values are written as a range or a list, in the command and in a week file alike. Each makes
another week, the one an edited file would say.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from models.week.knobs import Knob
from models.week.week import MOST_PORTIONS, Week
from models.words.errors import InputError, Where, suggestion
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS, tagname
from models.words.units import magnitude

MOST_VALUES = 200
_UNITS = r"(?:\s*(?:pieces?|portions?|lunch(?:es)?|days?|k?g|[mµμ]g|m?[lL]|kcal|kJ))?"
_NUMBER = r"([0-9]{1,6}(?:\.[0-9]{1,3})?)\s*(%)?"
_RANGE = re.compile(
    rf"{_NUMBER}{_UNITS}\s*(?:\.\.|to|-|–)\s*{_NUMBER}{_UNITS}(?:\s+by\s+{_NUMBER})?{_UNITS}"
)
_ONE = re.compile(rf"{_NUMBER}{_UNITS}")
_WORD = re.compile(r"[A-Za-zµμ]+")
_PORTIONS = ("piece", "pieces", "portion", "portions")
_LUNCHES = ("lunch", "lunches", "day", "days")
_WHOLE, _FINE = Decimal(1), Decimal("0.001")


# -- reading -------------------------------------------------------------------------


def yield_knob(week: Week, text: str, where: str | Where) -> Knob:
    """Read "leek bake=3..12": how much of a batch is cooked, in whole portions.

    Parameters
    ----------
    week
        The week.
    text
        Name and values.
    where
        Where it is typed, for the error.

    Returns
    -------
    Values in whole portions, in the order typed, each once.

    Raises
    ------
    InputError
        When the batch is not there or the values cannot be.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> knob = yield_knob(week, f"{next(iter(week.batches))}=6..10 by 2", "--yield")
    >>> [int(value) for value in knob.values]
    [6, 8, 10]
    """
    name, values = _halves(text, where, "leek bake=3..12")
    return yield_of(week, name, values, where)


def yield_of(week: Week, name: str, values: str, where: str | Where) -> Knob:
    """Make a knob of a batch and the values of its yield.

    Parameters
    ----------
    week
        The week.
    name
        Of a batch, as it is typed.
    values
        As they are typed: "8..20", "60%..140%", "8, 10, 14".
    where
        Where they are typed, for the error.

    Returns
    -------
    Values in whole portions, in the order typed, each once.

    Raises
    ------
    InputError
        When the batch is not there or the values cannot be.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> knob = yield_of(read_week("minimal"), "rice and beans", "50%..100%", "--yield")
    >>> [int(value) for value in knob.values], knob.unit
    ([3, 4, 5, 6], 'portions')
    """
    batch = week.batches[_one_of(name, week.batches, where, "batch")]
    if batch.earlier:
        what = f"{batch.name} was cooked in an earlier week"
        raise InputError(where, what, "Turn a batch that this week cooks.")
    now = Decimal(batch.portions)
    unit = f"{batch.portion_word}s"
    _in_units(values, _PORTIONS, unit, where)
    numbers = _whole(_values(values, now, _WHOLE, where), where, 1, MOST_PORTIONS)
    return Knob("yield", batch.name, unit, numbers, now)


def floor_knob(week: Week, text: str, where: str | Where) -> Knob:
    """Read "Jorun protein=18..26": the floor of a nutrient in each lunch of an eater.

    The eater may be left out where there is one.

    Parameters
    ----------
    week
        The week.
    text
        Eater, nutrient and values.
    where
        Where it is typed, for the error.

    Returns
    -------
    Values in the unit of the nutrient, in the order typed, each once.

    Raises
    ------
    InputError
        When the eater or the nutrient is not known or the values cannot be.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> knob = floor_knob(week, f"{next(iter(week.eaters))} protein=18..20", "--floor")
    >>> knob.nutrient, knob.unit, len(knob.values)
    ('PROCNT', 'g', 3)
    """
    name, values = _halves(text, where, "Jorun protein=18..26")
    name_words = name.split()
    for eater in sorted(week.eaters, key=len, reverse=True):
        number = len(eater.split())
        first = " ".join(name_words[:number])
        if len(name_words) > number and first.casefold() == " ".join(eater.split()).casefold():
            return floor_of(week, eater, " ".join(name_words[number:]), values, where)
    if len(week.eaters) > 1:
        raise InputError(
            where, f"{name!r} does not say whose floor", f"Begin with one of {_list(week.eaters)}."
        )
    return floor_of(week, next(iter(week.eaters)), name, values, where)


def floor_of(week: Week, eater: str, name: str, values: str, where: str | Where) -> Knob:
    """Make a knob of the floor of a nutrient and its values.

    Parameters
    ----------
    week
        The week.
    eater
        A name, as it is typed.
    name
        Of a nutrient, as it is typed.
    values
        As they are typed, in the unit of the nutrient.
    where
        Where they are typed, for the error.

    Returns
    -------
    Values in the unit of the nutrient, as typed; `now` is None where there is no floor yet.

    Raises
    ------
    InputError
        When the eater or the nutrient is not known or the values cannot be.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> knob = floor_of(read_week("minimal"), "Ilse", "protein", "18, 20", "--floor")
    >>> knob.nutrient, [int(value) for value in knob.values], int(knob.now)
    ('PROCNT', [18, 20], 18)
    """
    eater = _one_of(eater, week.eaters, where, "eater")
    tag = tagname(name)
    if tag is None:
        known = [nutrient.name for nutrient in NUTRIENTS.values()]
        raise InputError(where, f"{name.strip()!r} is no nutrient", suggestion(name.strip(), known))
    nutrient = NUTRIENTS[tag]
    of_eater = week.eaters[eater].floors
    floors = [floor for floor in of_eater if floor.nutrient == tag and not floor.weekly]
    now = magnitude(floors[0].amount, nutrient.unit) if floors else None
    _in_units(values, (nutrient.symbol,), nutrient.symbol, where)
    amounts = _values(values, now, _FINE, where)
    title = f"{nutrient.name} of {eater}"
    return Knob("floor", title, nutrient.symbol, amounts, now, eater=eater, nutrient=tag)


def lunches_knob(week: Week, values: str, where: str | Where) -> Knob:
    """Read "3..5": how many days of the week have a lunch, counted from the first.

    Parameters
    ----------
    week
        The week.
    values
        As they are typed.
    where
        Where they are typed, for the error.

    Returns
    -------
    Values in days, in the order typed, each once; none beyond the seventh day from the first.

    Raises
    ------
    InputError
        When the values cannot be.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> [int(value) for value in lunches_knob(read_week("starter"), "2..3", "--lunches").values]
    [2, 3]
    """
    now = Decimal(len(week.days))
    # More days come after the last one, up to the seventh from the first.
    most = len(week.days) + 6 - (week.days[-1] - week.days[0]).days
    _in_units(values, _LUNCHES, "lunches", where)
    numbers = _whole(_values(values, now, _WHOLE, where), where, 1, most)
    return Knob("lunches", "", "lunches", numbers, now)


def questions(
    week: Week,
    yields: Sequence[str] = (),
    floors: Sequence[str] = (),
    lunches: str | None = None,
    named: Sequence[str] = (),
) -> dict[str, tuple[Knob, ...]]:
    """Gather what is asked, by name: one question without a name, or those of the week file.

    Parameters
    ----------
    week
        The week.
    yields, floors
        As typed: "leek bake=3..12", "Ann protein=18..26".
    lunches
        Days with a lunch, as typed: "3..5"; None where they stay.
    named
        Names of what-ifs that the week file keeps; all of it keeps where nothing else is asked.

    Returns
    -------
    dict of str to tuple of Knob
        Under an empty name what was typed.

    Raises
    ------
    InputError
        When nothing is asked, the same thing twice, or what the week has not.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> asked = questions(read_week("minimal"), ["rice and beans=5..7"])
    >>> [int(value) for value in asked[""][0].values]
    [5, 6, 7]
    """
    knobs = [yield_knob(week, text, "--yield") for text in yields]
    knobs += [floor_knob(week, text, "--floor") for text in floors]
    knobs += [lunches_knob(week, lunches, "--lunches")] if lunches is not None else []
    if len({(knob.kind, knob.name) for knob in knobs}) < len(knobs):
        raise InputError("what-if", "the same thing is turned twice", "Turn each once.")
    if knobs:
        if named:
            raise InputError("--named", "it goes without other options", "Leave one out.")
        return {"": tuple(knobs)}
    kept = dict(week.what_ifs)
    for name in named:
        if name not in kept:
            raise InputError(
                "--named", f"there is no what-if {name!r}", suggestion(name, list(kept))
            )
    if not kept:
        raise InputError(
            "what-if",
            "nothing is asked, and the week file keeps no what-ifs",
            "Write as in --yield 'NAME=8..20', or keep some under 'what_ifs'.",
        )
    return {name: knobs for name, knobs in kept.items() if not named or name in named}


def _halves(text: str, where: str | Where, example: str) -> tuple[str, str]:
    name, sign, values = text.rpartition("=")
    if not sign or not name.strip() or not values.strip():
        raise InputError(where, f"{text!r} is no name with values", f"Write it as in {example!r}.")
    return name, values


def _one_of(name: str, known: Mapping[str, object], where: str | Where, what: str) -> str:
    text = " ".join(name.split())
    alike = [name for name in known if " ".join(name.split()).casefold() == text.casefold()]
    match = text if text in alike else next(iter(alike), None)
    if match is None:
        raise InputError(
            where,
            f"there is no {what} named {name.strip()!r}",
            suggestion(name.strip(), list(known)),
        )
    return match


def _list(names: Mapping[str, object]) -> str:
    return ", ".join(names)


def _in_units(text: str, known: tuple[str, ...], unit: str, where: str | Where) -> None:
    """Refuse 600 g of what is counted in portions: it would be read as 600 portions."""
    for word in _WORD.findall(text):
        other = word.replace("μ", "µ")
        if re.fullmatch(_UNITS, word) and other not in known:
            raise InputError(where, f"{text.strip()!r} is in {word}", f"Write it in {unit}.")


def _values(
    written: str, now: Decimal | None, grain: Decimal, where: str | Where
) -> tuple[Decimal, ...]:
    """Read "8..20", "8..20 by 2", "60%..140%" or "8, 10, 14"; shares are rounded to a grain."""
    text = " ".join(written.split())
    match = _RANGE.fullmatch(text)
    if match is None:
        numbers = [_single(part.strip(), written, now, grain, where) for part in text.split(",")]
    else:
        numbers = _steps(match, written, now, grain, where)
    values = tuple(dict.fromkeys(numbers))
    if not values:
        raise InputError(where, f"{written.strip()!r} holds no value", "Write a wider range.")
    if len(values) > MOST_VALUES:
        raise InputError(
            where,
            f"{written.strip()!r} holds {len(values)} values",
            f"Try {MOST_VALUES} at the most: 'by 5' takes larger steps.",
        )
    return values


def _steps(
    match: re.Match[str], written: str, now: Decimal | None, grain: Decimal, where: str | Where
) -> list[Decimal]:
    low, high = Decimal(match[1]), Decimal(match[3])
    if bool(match[2]) != bool(match[4]) or (match[6] and not match[2]):
        raise InputError(where, f"{written.strip()!r} mixes % and not", "Write all of it alike.")
    if low > high:
        mend = f"Write the smaller first: {match[3]}..{match[1]}."
        raise InputError(where, f"{written.strip()!r} runs downwards", mend)
    by = None if match[5] is None else Decimal(match[5])
    if by == 0:
        raise InputError(where, f"{written.strip()!r} takes no steps", "Write a step above 0.")
    if match[2] and by is None:
        # Every whole value between the two shares.
        ends = (_share(low, written, now, where), _share(high, written, now, where))
        low, high = ends[0].to_integral_value(ROUND_CEILING), ends[1].to_integral_value(ROUND_FLOOR)
    step = _WHOLE if by is None else by
    count = int((high - low) / step) + 1 if high >= low else 0
    if count > MOST_VALUES:
        raise InputError(
            where,
            f"{written.strip()!r} holds {count} values",
            f"Try {MOST_VALUES} at the most: 'by 5' takes larger steps.",
        )
    numbers = [low + step * at for at in range(count)]
    if match[2] and by is not None:
        return [_share(number, written, now, where).quantize(grain) for number in numbers]
    return numbers


def _single(
    part: str, written: str, now: Decimal | None, grain: Decimal, where: str | Where
) -> Decimal:
    match = _ONE.fullmatch(part)
    if match is None:
        raise InputError(
            where,
            f"{written.strip()!r} is no range",
            "Write 8..20, 8..20 by 2, 60%..140%, or a list: 8, 10, 14.",
        )
    number = Decimal(match[1])
    return _share(number, written, now, where).quantize(grain) if match[2] else number


def _share(percent: Decimal, written: str, now: Decimal | None, where: str | Where) -> Decimal:
    if now is None:
        what = f"{written.strip()!r} is a share of nothing"
        raise InputError(where, what, "Write amounts: 18..26.")
    return now * percent / 100


def _whole(
    values: tuple[Decimal, ...], where: str | Where, least: int, most: int
) -> tuple[Decimal, ...]:
    for value in values:
        if value != value.to_integral_value():
            raise InputError(where, f"{plain(value, 3)} is not a whole number", "Write 8..20.")
        if not least <= value <= most:
            mend = f"Stay between {least} and {most}."
            raise InputError(where, f"{plain(value, 3)} cannot be", mend)
    return values
