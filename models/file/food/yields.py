"""What a batch comes to: whole portions, the mass of each, and how much else may be cooked."""

from __future__ import annotations

from decimal import Decimal

from models.file.food.shared import MILLIGRAM, FoodReader, to_milligram
from models.file.food_entries import BatchEntry
from models.foods.recipe import Cooked, Recipe, cooked, keeps_water
from models.week.week import MOST_PORTIONS, Sizes
from models.words.document import Steps
from models.words.names import plain_name, words
from models.words.numbers import plain
from models.words.units import (
    GRAM,
    PIECE,
    PORTION,
    Quantity,
    fits,
    magnitude,
    quantity,
    sayable,
)

USUAL = {PIECE: 50, PORTION: 250}
"""Grams of a piece and of a portion of which nobody said more: common practice, no source."""


def portions_of(
    reader: FoodReader, name: str, entry: BatchEntry, key: str, amount: Quantity
) -> int:
    """Count the whole portions that a batch comes to, or how many are cooked of it.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.
    key
        "yield" or "cook", the key of the amount.
    amount
        Pieces, portions or a mass.

    Returns
    -------
    Whole portions, at most `MOST_PORTIONS`.

    Raises
    ------
    InputError
        When it comes to no whole portions, to too many, or nobody said what one weighs.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> read_week("minimal").batches["rice and beans"].portions
    6
    """
    path = ("batches", name, key)
    for unit in (PIECE, PORTION):
        if fits(amount, unit):
            number = magnitude(amount, unit)
            if number != number.to_integral_value():
                raise reader.faults.at(
                    path, f"{sayable(amount)} is no whole number", "Round it to whole ones."
                )
            return few_enough(reader, int(number), path)
    if entry.portion is None:
        raise reader.faults.at(
            ("batches", name),
            "'portion' is missing",
            "Add the mass of one portion: 60 g. A yield by mass does not tell it.",
            missing="portion",
        )
    portion = magnitude(entry.portion, GRAM)
    mass = magnitude(amount, GRAM)
    nearest = round(mass / portion)
    # A milligram for each portion is what rounding a portion can come to.
    if nearest and abs(nearest * portion - mass) <= nearest * MILLIGRAM:
        return few_enough(reader, nearest, path)
    below = mass // portion
    less, more = max(below, Decimal(1)) * portion, (below + 1) * portion
    raise reader.faults.at(
        path,
        f"{sayable(amount)} does not come to whole portions of {sayable(entry.portion)}",
        f"Write {plain(less, 3)} g or {plain(more, 3)} g, or another mass for 'portion'.",
    )


def few_enough(reader: FoodReader, portions: int, path: Steps) -> int:
    """Give a number of portions that a week may be planned with, or refuse it.

    Parameters
    ----------
    reader
        File and tables.
    portions
        Whole portions.
    path
        Keys that lead to what says so.

    Returns
    -------
    The same number.

    Raises
    ------
    InputError
        When there are more than `MOST_PORTIONS`.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("1200 g, portion: 200 g", "30 kg, portion: 10 g")
    >>> print(every_fault("mine.yaml", text)[1][0].what)
    it comes to 3000 portions
    """
    if portions > MOST_PORTIONS:
        raise reader.faults.at(
            path,
            f"it comes to {portions} portions",
            f"A batch has at most {MOST_PORTIONS}; check the yield and the portion.",
        )
    return portions


def portion_of(
    reader: FoodReader, name: str, entry: BatchEntry, count: int, recipe: Recipe | None
) -> tuple[Quantity, Cooked | None, str]:
    """Work out the mass of a portion; where nobody stated it, of what and how it was got.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.
    count
        Whole portions of its yield.
    recipe
        What it is made of; None where that is not said.

    Returns
    -------
    Mass in g, above 0; where the file does not state it, the sum it is a share of, and how it came.

    Raises
    ------
    InputError
        When the ingredients cannot come to the mass that is stated.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield: 1200 g, portion: 200 g", "yield: 6 portions")
    >>> pot = every_fault("mine.yaml", text)[0].batches["rice and beans"]
    >>> sayable(pot.portion), pot.portion_source.split(" (")[0]
    ('197 g', 'about 1182 g in all, the sum of the ingredients')
    """
    soup = keeps_water(f"{name} {entry.keeps_as or ''}")
    weighs = None if recipe is None else cooked(recipe, soup=soup)
    if entry.portion is not None:
        mass = to_milligram(entry.portion)
        if weighs is not None:
            _possible(reader, name, count * magnitude(mass, GRAM), weighs)
        return mass, None, ""
    if weighs is not None:
        mass = to_milligram(quantity(weighs.grams / count, GRAM))
        return mass, weighs, weighs.describe(Decimal(1))
    unit = PIECE if fits(entry.yield_, PIECE) else PORTION
    mass = quantity(USUAL[unit], GRAM)
    source = f"not known: {sayable(mass)} a {unit} is taken, common practice"
    return mass, None, f"{source}; weigh one and write 'portion'"


def _possible(reader: FoodReader, name: str, mass: Decimal, weighs: Cooked) -> None:
    """Refuse a yield that the ingredients cannot come to."""
    path = ("batches", name, "yield")
    least, most = weighs.least, weighs.most
    if most < mass <= most + weighs.off:
        raise reader.faults.at(
            path,
            f"it comes to {plain(mass, 0)} g with water that boils off or is poured away: without "
            f"it about {plain(weighs.grams, 0)} g, {plain(most, 0)} g at the most",
            "Write what it weighs once drained. Where it keeps its water, as soup or porridge "
            "does, write 'keeps_as: soup'.",
        )
    if mass > most:
        raise reader.faults.at(
            path,
            f"it comes to {plain(mass, 0)} g, heavier than its ingredients can get "
            f"({plain(most, 0)} g with the water listed or taken up by dried foods, whichever "
            "is more)",
            "Mend the yield or the portion, or list what is missing, water too.",
        )
    if mass < least:
        raise reader.faults.at(
            path,
            f"it comes to {plain(mass, 0)} g, lighter than its ingredients without any "
            f"water ({plain(least, 0)} g)",
            "Mend the yield or the portion, or the amounts of the ingredients.",
        )


def sizes_of(reader: FoodReader, name: str, entry: BatchEntry, whole: int) -> Sizes | None:
    """Read how much of a batch may be cooked.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.
    whole
        Whole portions of its yield.

    Returns
    -------
    In whole portions, from half of the yield to twice where an end is open; None where not said.

    Raises
    ------
    InputError
        When no size lies between the ends, or a line to split is not there.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "sizes: {least: 4, most: 8}, yield:")
    >>> every_fault("mine.yaml", text)[0].batches["rice and beans"].sizes
    Sizes(least=4, most=8, by=1, split=frozenset(), stated=True)
    """
    wanted = entry.sizes
    if wanted is None:
        return None
    path = ("batches", name, "sizes")
    # Each is read as a range of which the outer end counts.
    by = 1 if wanted.by is None else wanted.by[1]
    half_rounded_up = (whole + 1) // 2
    least = max(1, half_rounded_up if wanted.least is None else wanted.least[0])
    most = few_enough(reader, 2 * whole if wanted.most is None else wanted.most[1], path)
    if by < 1 or most - most % by < least:
        raise reader.faults.at(
            path, f"no multiple of {by} lies between {least} and {most}", "Widen the sizes."
        )
    names = {line.what for line in entry.ingredients or ()}
    split = frozenset(plain_name(ingredient) for ingredient in wanted.split)
    for at, ingredient in enumerate(wanted.split):
        if ingredient != "all" and not any(words(ingredient) <= words(what) for what in names):
            raise reader.faults.at(
                (*path, "split", at),
                f"no ingredient of {name!r} is {ingredient!r}",
                "Name one as its line does, or write: all.",
            )
    return Sizes(least, most, by, None if "all" in wanted.split else split, stated=True)
