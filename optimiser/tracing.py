"""One figure of a batch or larder item, traced line by line to the tables."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from models.answers.trace import TraceFile, TraceLine
from models.foods.recipe import Ingredient, per_hundred
from models.week.week import Batch, LarderItem, Week
from models.words.errors import InputError, spelt, suggestion
from models.words.nutrients import NAMES, NUTRIENTS, USABLE, Nutrient, tagname
from models.words.units import magnitude, sayable
from optimiser.written import number


def trace(week: Week, name: str, nutrient: str = "protein") -> TraceFile:
    """Add up one figure of a week, line by line.

    Parameters
    ----------
    week
        The week.
    name
        Of a batch or a larder item, in any case of letters.
    nutrient
        Its plain name or INFOODS tagname.

    Returns
    -------
    TraceFile
        A line for each ingredient with grams, the figure in 100 g and its source; sum and share of
        a portion.

    Raises
    ------
    InputError
        When the week has none of that name, or the nutrient is not known.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> answer = trace(week, next(iter(week.batches)))
    >>> answer.nutrient, answer.unit
    ('PROCNT', 'g')
    """
    return traced(find(week, name), nutrient_of(nutrient))


def find(week: Week, name: str) -> Batch | LarderItem:
    """Find the batch or larder item to trace.

    Parameters
    ----------
    week
        The week.
    name
        Of a batch or a larder item, in any case of letters.

    Returns
    -------
    Batch | LarderItem
        A batch goes before a larder item of the same name.

    Raises
    ------
    InputError
        When there is none of that name.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> find(read_week("minimal"), "Rice and Beans").name
    'rice and beans'
    """
    known: dict[str, Batch | LarderItem] = {**week.larder, **week.batches}
    key = spelt(name, known)
    if key is None:
        raise InputError(
            "--trace",
            f"there is no batch or larder item named {name!r}",
            suggestion(name, [*known]),
        )
    return known[key]


def nutrient_of(name: str) -> Nutrient:
    """Find the nutrient to trace.

    Parameters
    ----------
    name
        Its plain name or INFOODS tagname.

    Returns
    -------
    Nutrient
        One of `NUTRIENTS`, with its unit.

    Raises
    ------
    InputError
        When it is not known.

    Examples
    --------
    >>> nutrient_of("Protein").tagname
    'PROCNT'
    """
    tag = tagname(name)
    if name.strip().casefold() == "salt":
        raise InputError("--nutrient", "salt is counted as sodium", "Ask for sodium: salt / 2.5.")
    if tag is None:
        raise InputError(
            "--nutrient", f"{name!r} is not a nutrient known here", suggestion(name, [*NAMES])
        )
    if tag == USABLE:
        raise InputError(
            "--nutrient",
            "usable protein is worked out for a whole lunch",
            "Ask for protein, or for an amino acid: lysine.",
        )
    return NUTRIENTS[tag]


def traced(thing: Batch | LarderItem, nutrient: Nutrient) -> TraceFile:
    """Add up a nutrient of a batch or larder item.

    Parameters
    ----------
    thing
        A batch or a larder item.
    nutrient
        What to add up.

    Returns
    -------
    TraceFile
        For a portion, or for the amount that the item's figures are of; no lines where it has no
        recipe.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from models.words.nutrients import NUTRIENTS
    >>> trace = traced(read_week("minimal").batches["rice and beans"], NUTRIENTS["PROCNT"])
    >>> len(trace.lines), trace.portions, round(trace.amount, 1) == round(trace.total / 6, 1)
    (4, 6, True)
    """
    recipe = thing.recipe
    known = thing.nutrition.get(nutrient.tagname)
    total = None if recipe is None else recipe.totals().get(nutrient.tagname)
    per = sayable(thing.per) if isinstance(thing, LarderItem) else "portion"
    return TraceFile(
        name=thing.name,
        kind=_kind(thing),
        nutrient=nutrient.tagname,
        unit=nutrient.symbol,
        lines=[] if recipe is None else [_line(line, nutrient) for line in recipe.ingredients],
        total=None if total is None else number(total.amount),
        total_complete=total is not None and total.complete,
        mass=None if recipe is None else number(recipe.mass),
        portions=thing.portions if isinstance(thing, Batch) else None,
        portion=_portion(thing) if isinstance(thing, Batch) else None,
        pack=sayable(thing.pack) if isinstance(thing, LarderItem) else None,
        per=per,
        word=thing.portion_word if isinstance(thing, Batch) else per,
        amount=None if known is None else number(magnitude(known, nutrient.unit)),
        complete=known is not None and nutrient.tagname not in thing.partial,
        stated=_stated(thing, nutrient),
        source=thing.nutrition_source,
    )


def _kind(thing: Batch | LarderItem) -> Literal["batch", "food", "made"]:
    if isinstance(thing, Batch):
        return "batch"
    return "food" if thing.of_food else "made"


def _portion(batch: Batch) -> str:
    return batch.portion_source or f"{sayable(batch.portion)} each, as stated"


def _line(line: Ingredient, nutrient: Nutrient) -> TraceLine:
    return TraceLine(
        line=line.text,
        food=line.food.name,
        source=line.food.citation,
        grams=number(line.grams),
        how=line.how,
        per_100_g=_number(per_hundred(line.food, nutrient.tagname)),
        amount=_number(line.nutrient(nutrient.tagname)),
    )


def _number(exact: Decimal | None) -> float | None:
    return None if exact is None else number(exact)


def _stated(thing: Batch | LarderItem, nutrient: Nutrient) -> bool:
    """Tell whether the figure is the user's own and not the sum."""
    total = thing.recipe.totals().get(nutrient.tagname) if thing.recipe is not None else None
    known = thing.nutrition.get(nutrient.tagname)
    if total is None or known is None:
        return known is not None
    return abs(magnitude(known, nutrient.unit) - total.amount * _share(thing)) > Decimal("1e-6")


def _share(thing: Batch | LarderItem) -> Decimal:
    """Give the share of the recipe that one portion, or the amount stated, is."""
    if isinstance(thing, Batch):
        return Decimal(1) / thing.portions
    if thing.recipe is not None and thing.of_food and thing.mass is not None:
        return magnitude(thing.per, thing.unit) * magnitude(thing.mass, "gram") / 100
    return magnitude(thing.per, thing.unit) / magnitude(thing.pack, thing.unit)
