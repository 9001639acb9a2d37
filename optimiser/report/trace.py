"""One figure of a batch or larder item, traced line by line to the tables."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from models.foods.recipe import Ingredient, Recipe, per_hundred
from models.week.week import Batch, LarderItem, Week
from models.words.errors import InputError, nearest
from models.words.numbers import plain
from models.words.nutrients import NAMES, NUTRIENTS, PROTEIN, Nutrient, tagname
from models.words.units import magnitude, sayable
from optimiser.report.console import beside, rendered, words


def find(week: Week, name: str) -> Batch | LarderItem:
    """Find the batch or larder item to trace.

    Raises
    ------
    InputError
        When there is none of that name.
    """
    known: dict[str, Batch | LarderItem] = {**week.larder, **week.batches}
    by_fold = {one.casefold(): one for one in known}
    found = by_fold.get(" ".join(name.split()).casefold())
    if found is None:
        raise InputError(
            "--trace", f"there is no batch or larder item named {name!r}", nearest(name, [*known])
        )
    return known[found]


def nutrient_of(name: str) -> Nutrient:
    """Find the nutrient to trace.

    Raises
    ------
    InputError
        When it is not known.
    """
    tag = tagname(name)
    if name.strip().casefold() == "salt":
        raise InputError("--nutrient", "salt is counted as sodium", "Ask for sodium: salt / 2.5.")
    if tag is None:
        raise InputError(
            "--nutrient", f"{name!r} is not a nutrient known here", nearest(name, [*NAMES])
        )
    return NUTRIENTS[tag]


def text(
    thing: Batch | LarderItem, nutrient: Nutrient, *, colour: bool = False, width: int = 80
) -> str:
    """Write the sum, line by line."""
    parts: list[RenderableType] = [words((thing.name, "bold"), f"  {nutrient.name}"), ""]
    if thing.recipe is None or (nutrient.tagname in thing.nutrition and _stated(thing, nutrient)):
        parts.append(Text(_amount(thing, nutrient)))
        if nutrient.tagname in thing.nutrition:
            parts.append(Text(f"stated in the week file, source: {thing.nutrition_source}"))
        return rendered(parts, colour=colour, width=width)
    parts += [_lines(thing.recipe, nutrient), "", *_sum(thing, thing.recipe, nutrient)]
    return rendered(parts, colour=colour, width=width)


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


def _lines(recipe: Recipe, nutrient: Nutrient) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", expand=True)
    table.add_column("ingredient", ratio=5, overflow="fold")
    table.add_column("food, source and number", ratio=6, overflow="fold")
    table.add_column("g", justify="right")
    table.add_column(f"{nutrient.symbol}/100 g", justify="right")
    table.add_column(nutrient.symbol, justify="right")
    for line in recipe.ingredients:
        per = per_hundred(line.food, nutrient.tagname)
        held = line.nutrient(nutrient.tagname)
        table.add_row(
            Text(_written(line, nutrient)),
            Text(f"{line.food.name} [{line.food.said}]"),
            plain(line.grams, 1),
            "not known" if per is None else plain(per, 2),
            "" if held is None else plain(held, 2),
        )
    return table


def _written(line: Ingredient, nutrient: Nutrient) -> str:
    said = f"{line.text} ({line.how})" if line.how else line.text
    if line.score_said and nutrient.tagname == PROTEIN:
        said += f"; protein x {plain(line.score, 3)}: {line.score_said}"
    return said


def _sum(thing: Batch | LarderItem, recipe: Recipe, nutrient: Nutrient) -> Iterator[RenderableType]:
    total = recipe.totals().get(nutrient.tagname)
    if total is None:
        yield Text(f"No ingredient gives its {nutrient.name}.")
        return
    least = "" if total.complete else "at least "
    yield beside(
        "sum", Text(f"{least}{plain(total.amount, 2)} {nutrient.symbol} in {plain(recipe.mass)} g")
    )
    yield beside("so", Text(_end(thing, nutrient)))
    if isinstance(thing, Batch):
        said = thing.portion_said or f"{sayable(thing.portion)} each, as stated"
        yield beside("mass", Text(f"{thing.portions} {thing.portion_word}s: {said}"))


def _end(thing: Batch | LarderItem, nutrient: Nutrient) -> str:
    """Say what the sum comes to, and how."""
    if isinstance(thing, Batch):
        return f"{_amount(thing, nutrient)}, the batch divided by {thing.portions}"
    if thing.of_food:
        return _amount(thing, nutrient)
    return f"{_amount(thing, nutrient)}, of a pack of {sayable(thing.pack)}"


def _amount(thing: Batch | LarderItem, nutrient: Nutrient) -> str:
    known = thing.nutrition.get(nutrient.tagname)
    if known is None:
        return f"{nutrient.name}: not known"
    least = "at least " if nutrient.tagname in thing.partial else ""
    amount = f"{least}{plain(magnitude(known, nutrient.unit), 3)} {nutrient.symbol}"
    if isinstance(thing, Batch):
        return f"{amount} in one {thing.portion_word}"
    return f"{amount} in {sayable(thing.per)}"


def as_data(thing: Batch | LarderItem, nutrient: Nutrient) -> dict[str, Any]:
    """Give the sum for scripts."""
    recipe = thing.recipe
    known = thing.nutrition.get(nutrient.tagname)
    total = None if recipe is None else recipe.totals().get(nutrient.tagname)
    return {
        "name": thing.name,
        "nutrient": nutrient.tagname,
        "unit": nutrient.symbol,
        "lines": [
            {
                "line": line.text,
                "food": line.food.name,
                "source": line.food.said,
                "grams": float(round(line.grams, 5)),
                "how": line.how,
                "per_100_g": _float(per_hundred(line.food, nutrient.tagname)),
                "amount": _float(line.nutrient(nutrient.tagname)),
                "score": _float(line.score),
                "score_source": line.score_said,
            }
            for line in (recipe.ingredients if recipe is not None else ())
        ],
        "total": None if total is None else _float(total.amount),
        "per": "portion" if isinstance(thing, Batch) else sayable(thing.per),
        "amount": None if known is None else _float(magnitude(known, nutrient.unit)),
        "complete": known is not None and nutrient.tagname not in thing.partial,
        "source": thing.nutrition_source,
    }


def _float(number: Decimal | None) -> float | None:
    return None if number is None else float(round(number, 5))
