"""What a cook types of the portions of a batch: so many of it, and what was really frozen."""

from __future__ import annotations

from datetime import date, timedelta

from models.answers.plan import FrozenPortions
from models.file.stocks import lots_of, really_frozen
from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from models.words.days import day_name, weekday
from models.words.errors import InputError, spelt, suggestion
from models.words.numbers import counted

FROZE = "--froze"
TO_THAW = timedelta(days=2)
"""From the day it is frozen to the first lunch: it thaws the evening between."""
MOST_DIGITS = 4
"""Of a number of portions."""


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

    Returns
    -------
    A date from the first day to the last, with a lunch or without.

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


def many_of(week: Week, today: date, text: str, option: str) -> tuple[str, int]:
    """Read so many portions of a batch that is made by a day.

    Parameters
    ----------
    week
        The week.
    today
        The day.
    text
        As "leek bake=2".
    option
        Where it is typed, for the error.

    Returns
    -------
    The batch as the week spells it, and whole portions, 0 or more.

    Raises
    ------
    InputError
        When it is no number of portions, or there is no such batch yet.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> many_of(week, week.days[0], "Rice and Beans = 2", "--ate")
    ('rice and beans', 2)
    """
    whole, sign, number = text.rpartition("=")
    number = number.strip()
    good = number.isascii() and number.isdigit() and len(number) <= MOST_DIGITS
    if not sign or not good:
        raise no_number(text, option)
    name = spelt(whole, week.batches)
    if name is None:
        raise InputError(
            option, f"there is no batch named {whole.strip()!r}", suggestion(whole, [*week.batches])
        )
    if week.batches[name].made > today:
        raise InputError(
            option,
            f"{name} is only made on {day_name(week.batches[name].made)}",
            "Before that there is none.",
        )
    return name, int(number)


def no_number(text: str, option: str) -> InputError:
    """Make the fault of what is no number of portions of a batch.

    Parameters
    ----------
    text
        What was typed.
    option
        Where.

    Returns
    -------
    To be raised; it says how to write one.

    Examples
    --------
    >>> no_number("stew", "--ate").what
    "'stew' is no number of portions of a batch"
    """
    return InputError(
        option, f"{text!r} is no number of portions of a batch", "Write it as in 'leek bake=2'."
    )


def froze_of(week: Week, packed: PackedWeek, today: date, text: str) -> FrozenPortions:
    """Read how much was really frozen, and see that it can have been.

    Parameters
    ----------
    week
        The week that was planned.
    packed
        Its plan.
    today
        The first day that is planned again.
    text
        As "stew=2", or "stew=2@wed". Where no day is said it is the last on which some was to be
        frozen, or the day it was made.

    Returns
    -------
    Whole portions, 0 or more, and the day, which is not after today.

    Raises
    ------
    InputError
        When it is no number of portions, or so many cannot have been frozen that day.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("demo")
    >>> told = froze_of(week, PackedWeek((), ()), week.days[1], "pea soup=2")
    >>> told.portions, told.date == week.batches["pea soup"].made
    (2, True)
    """
    typed, _, day_typed = text.rpartition("@")
    # A batch may be called a@b.
    at = "=" in typed
    name, portions = many_of(week, today, typed if at else text, FROZE)
    batch = week.batches[name]
    lots = lots_of(week, packed, name)
    if at:
        day = _frozen_on(week, batch, day_typed)
    else:
        day = max((day for day, _ in lots if day <= today), default=batch.made)
    if day > today:
        raise InputError(FROZE, f"{day_name(day)} is still to come", "Say it once it is done.")
    if portions and not batch.made <= day <= batch.use_by:
        raise InputError(
            FROZE,
            f"{name} cannot have been frozen on {day_name(day)}: made {day_name(batch.made)}, used "
            f"from the fridge by {day_name(batch.use_by)}",
            "Name another day, or leave it out.",
        )
    told = FrozenPortions(batch=name, portions=portions, date=day)
    _possible(week, packed, today, told)
    return told


def _frozen_on(week: Week, batch: Batch, typed: str) -> date:
    """Read a day: of the week, or the one the batch was made on before it."""
    word = typed.strip().casefold()
    made = batch.made
    if word in {made.isoformat(), f"{made:%a}".casefold(), weekday(made).casefold()}:
        return made
    return day_of(week, typed, FROZE)


def _possible(week: Week, packed: PackedWeek, today: date, told: FrozenPortions) -> None:
    """Refuse more than there was, and less than lunches have had from the freezer."""
    batch = really_frozen(week, packed, [told]).batches[told.batch]
    eaten = [
        (lunch.day, part)
        for lunch in packed.lunches
        if lunch.day < today
        for part in lunch.portions
        if part.batch == told.batch
    ]
    fresh = sum(part.portions - part.thawed for _, part in eaten)
    over = fresh + (batch.frozen or 0) + batch.gone + batch.thawed - batch.portions
    word, day = batch.portion_word, day_name(told.date)
    if over > 0:
        most = max(0, told.portions - over)
        raise InputError(
            FROZE,
            f"{counted(told.portions, word)} of {told.batch} cannot have been frozen on {day}: "
            f"{most} at the most, for the others were eaten, are gone or were frozen another day",
            f"Say {most} at the most.",
        )
    thawed = 0
    for lunch, part in sorted(eaten, key=lambda pair: pair[0]):
        thawed += part.thawed
        if thawed > sum(many for lot, many in batch.lots if lot + TO_THAW <= lunch):
            raise InputError(
                FROZE,
                f"{told.batch} was thawed for {day_name(lunch)} and eaten: more of it was frozen",
                "Say how many were frozen, those that are eaten too.",
            )
