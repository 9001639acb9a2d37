"""What dishes list of the food table: weighed out in the morning, with no pack of its own."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import chain, count

from models.file.entries import DishEntry
from models.file.food.shared import FoodReader, to_milligram
from models.file.food.uncooked import never_raw
from models.foods.recipe import Ingredient, Recipe
from models.foods.storage import (
    caution_keys,
    storage,
    watched,
)
from models.week.cook import payable
from models.week.week import Helping, LarderItem, Texture
from models.words.document import Steps
from models.words.numbers import plain
from models.words.units import (
    GRAM,
    Quantity,
    quantity,
)


@dataclass(frozen=True, slots=True)
class Loose:
    """What dishes list of the food table: weighed out, with no pack of its own.

    Attributes
    ----------
    items
        A larder item for each food, by a name that no other item has.
    recipes, helpings
        By dish: its ingredients as a recipe, and the same as helpings of those items.
    """

    items: Mapping[str, LarderItem]
    recipes: Mapping[str, Recipe]
    helpings: Mapping[str, tuple[Helping, ...]]


def loose_of(reader: FoodReader, dishes: Mapping[str, DishEntry]) -> Loose:
    """Gather what dishes list among their ingredients, a larder item for each food.

    Parameters
    ----------
    reader
        File and tables.
    dishes
        What the file says of each dish.

    Returns
    -------
    In g, whole milligrams; one food with two labels is two items.

    Raises
    ------
    InputError
        When a line cannot be read, or names what has to be cooked first.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("takes:", "ingredients: [5 g salt], takes:", 1)
    >>> week, _ = every_fault("mine.yaml", text)
    >>> [name for name, item in week.larder.items() if item.loose]
    ['salt']
    """
    items: dict[str, LarderItem] = {}
    recipes: dict[str, Recipe] = {}
    helpings: dict[str, tuple[Helping, ...]] = {}
    names: dict[Hashable, str] = {}
    for dish, entry in dishes.items():
        recipe = reader.recipe(entry.ingredients, ("dishes", dish))
        if recipe is None:
            continue
        amounts: dict[str, Quantity] = {}
        written = [part.what for part in entry.ingredients or ()]
        for line in recipe.ingredients:
            at = written.index(line.text)
            _may_be_loose(reader, line, ("dishes", dish, "ingredients", at))
            labelled = _as_labelled(line)
            if labelled not in names:
                names[labelled] = _free_name(reader, line.name, items)
                items[names[labelled]] = _loose_item(reader, names[labelled], line)
            name, amount = names[labelled], to_milligram(quantity(line.grams, GRAM))
            amounts[name] = amounts[name] + amount if name in amounts else amount
        recipes[dish] = recipe
        helpings[dish] = tuple(Helping(name, amount) for name, amount in amounts.items())
    return Loose(items, recipes, helpings)


def _may_be_loose(reader: FoodReader, line: Ingredient, path: Steps) -> None:
    """Refuse what is a larder item, or spoils: a dish has it from a pack or a batch."""
    if line.name in reader.entry.larder:
        raise reader.faults.at(
            path,
            f"{line.name!r} is a larder item too",
            "Put it under 'goes_in', or name the food in another way.",
        )
    if not line.grams:
        raise reader.faults.at(
            path,
            f"{line.text!r} does not say how much",
            "A dish weighs out what it lists: write an amount in front.",
        )
    never_raw(reader, [line], path)
    name, kept = line.food.name, storage().get(line.food.storage)
    if kept is not None and not kept.cold and watched(line.food) is not None:
        raise reader.faults.at(
            path,
            f"{name!r} is cooked first, and from then on has to stay cold",
            f'Make it a batch, as \'"{line.name}": {{ingredients: '
            f'["{plain(4 * line.grams, 0)} g {line.name}"], yield: 4 portions, '
            f"freezer: 4 portions}}', and write 'takes: {{\"{line.name}\": 1}}'.",
        )
    if kept is None or kept.cold:
        spoils = f"{name!r} has to stay cold and spoils once opened"
        raise reader.faults.at(
            path,
            f"it is not known how {name!r} keeps" if kept is None else spoils,
            f'Make it a larder item with its pack, as \'"{line.name}": {{food: '
            f"\"{line.name}\", pack: 200 g, opened_life: 2}}', and write 'goes_in: "
            f'{{"{line.name}": {plain(line.grams, 0)} g}}\'; or make it a batch.',
        )


def _free_name(reader: FoodReader, name: str, items: Mapping[str, LarderItem]) -> str:
    """Find a name that no larder item has: this, or with a number behind it."""
    names = chain([name], (f"{name} ({number})" for number in count(2)))
    return next(free for free in names if free not in items and free not in reader.entry.larder)


def _loose_item(reader: FoodReader, name: str, line: Ingredient) -> LarderItem:
    """Make the larder item of what a dish lists, 100 g of it for a pack."""
    weighed = reader.facts.hundred(line.food)
    known = replace(weighed.ingredients[0], food=line.food, suits=line.suits)
    weighed = replace(weighed, ingredients=(known,))
    nutrition, partial = reader.facts.nutrition(weighed, Decimal(1), {})
    return LarderItem(
        name=name,
        unit=GRAM,
        pack=quantity(100, GRAM),
        price=payable(weighed.cost or Decimal(0)),
        opened_life=None,
        use_by=None,
        mass=quantity(1, GRAM),
        per=quantity(100, GRAM),
        nutrition=nutrition,
        nutrition_source=weighed.source,
        texture=Texture.PLAIN,
        room=None,
        contents=reader.facts.contents(weighed, None, ()),
        chilled=False,
        partial=partial,
        unpriced=(name,) if weighed.unpriced else (),
        recipe=weighed,
        cautions=caution_keys((), weighed.foods),
        loose=True,
    )


def _as_labelled(line: Ingredient) -> Hashable:
    """Give a food with all that its label says: with another label it is another item."""
    food = line.food
    told = (food.allergens, food.cereals, food.allergens_settled, food.families)
    return (food.name, *told, line.suits)
