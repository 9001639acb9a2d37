"""A larder item of a week file made plain: its pack, its mass, its price, how long it keeps."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from models.file.food.cold import stays_cold, warm_risk
from models.file.food.shared import FoodReader, sources, to_milligram
from models.file.food.uncooked import never_raw, no_raw
from models.file.food_entries import ItemEntry
from models.foods.facts import (
    Pack,
    Unclear,
    mass_of_one,
    no_figure,
)
from models.foods.food import Food
from models.foods.parts import as_called
from models.foods.raw import named_raw
from models.foods.recipe import Recipe, hundred
from models.foods.storage import (
    Storage,
    caution_keys,
    storage,
    watched,
)
from models.week.cook import payable
from models.week.week import LarderItem
from models.words.document import Steps
from models.words.units import (
    GRAM,
    MILLILITRE,
    PIECE,
    Quantity,
    fits,
    magnitude,
    quantity,
    sayable,
)


def item_of(reader: FoodReader, name: str, entry: ItemEntry) -> LarderItem:
    """Make a larder item of its entry.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the item.
    entry
        What the file says of it.

    Returns
    -------
    Figures for `per`, an amount in the unit of its pack; the price for a pack.

    Raises
    ------
    InputError
        When file and tables do not tell enough of it, or contradict each other.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> apple = read_week("minimal").larder["apple"]
    >>> apple.unit, sayable(apple.mass), str(apple.price)
    ('piece', '182 g', '0.4000')
    """
    path = ("larder", name)
    unit = next(unit for unit in (GRAM, MILLILITRE, PIECE) if fits(entry.pack, unit))
    per = _per(reader, entry, unit, path)
    food, recipe = _described(reader, name, entry)
    mass = _mass_of_unit(reader, entry, unit, food, path)
    reader.roomy(entry.room, mass, magnitude(per, unit), path, "per")
    _eaten_as_sold(reader, name, entry, recipe, path)
    pack = _item_pack(reader, entry, food, recipe, path)
    kept = list({of.name: of for of in (*pack.named, *pack.own)}.values())
    opened, opened_source, risk = _opened(reader, entry, pack, path)
    if opened is not None:
        _weighable(reader, unit, mass, path)
    recipes = _recipes_in_pack(entry, unit, mass if food is not None else None)
    share = magnitude(per, unit) / magnitude(entry.pack, unit) * recipes
    nutrition, partial = reader.facts.stated(entry.nutrition), frozenset[str]()
    if recipe is not None:
        nutrition, partial = reader.facts.nutrition(recipe, share, nutrition)
    price, unpriced = _pack_price(name, entry, recipe, recipes)
    return LarderItem(
        name=name,
        unit=unit,
        pack=entry.pack,
        price=payable(price),
        opened_life=opened,
        use_by=entry.use_by,
        mass=mass,
        per=per,
        nutrition=nutrition,
        nutrition_source=sources(entry, recipe),
        texture=entry.texture,
        room=entry.room,
        contents=reader.contents(recipe, entry, path),
        chilled=stays_cold(reader, name, entry, kept),
        warm_risk=warm_risk(reader, entry, kept, path),
        keeps_days=reader.facts.opened_days(pack, entry.opened_life),
        opened_source=opened_source,
        risk=risk,
        partial=partial,
        unpriced=unpriced,
        recipe=recipe,
        cautions=caution_keys([of.name for of in kept], recipe.foods if recipe is not None else ()),
        of_food=food is not None,
        shop=entry.shop or ("" if food is None else food.shop),
    )


def _per(reader: FoodReader, entry: ItemEntry, unit: str, path: Steps) -> Quantity:
    """Read the amount that figures and room are stated for: else a piece, or 100 g or mL."""
    per = entry.per if entry.per is not None else quantity(1 if unit == PIECE else 100, unit)
    if not fits(per, unit):
        raise reader.faults.at(
            (*path, "per"),
            f"{sayable(per)} does not measure what the pack of {sayable(entry.pack)} does",
            f"Say it in {unit}s as the pack is.",
        )
    return per


def _mass_of_unit(
    reader: FoodReader, entry: ItemEntry, unit: str, food: Food | None, path: Steps
) -> Quantity | None:
    """Work out the mass of a gram, a piece or a millilitre of an item; None when not known."""
    if unit == GRAM:
        return quantity(1, GRAM)
    if unit == PIECE and entry.piece is not None:
        return to_milligram(entry.piece)
    if food is None:
        return None
    return to_milligram(quantity(_unit_mass(reader, food, unit, path), GRAM))


def _eaten_as_sold(
    reader: FoodReader, name: str, entry: ItemEntry, recipe: Recipe | None, path: Steps
) -> None:
    """Refuse an item that has to be cooked: by what is in it, else by its name."""
    if recipe is not None:
        ready = entry.ready_to_eat
        lines = [replace(line, ready=line.ready or ready) for line in recipe.ingredients]
        never_raw(reader, lines, (*path, "ingredients" if entry.food is None else "food"))
    elif not entry.ready_to_eat:
        no_raw(reader, name, named_raw(name), path)


def _weighable(reader: FoodReader, unit: str, mass: Quantity | None, path: Steps) -> None:
    """Refuse what spoils and could not be weighed when it is left over."""
    if unit == MILLILITRE and mass is None:
        raise reader.faults.at(
            (*path, "pack"),
            "what spoils once opened must be given by mass or in pieces",
            "Write the pack in g, so that what is left over can be weighed.",
        )
    if unit == PIECE and mass is None:
        raise reader.faults.at(
            path,
            "the mass of one piece is missing",
            "Add 'piece: 60 g' (or so), so that what is left over can be weighed.",
        )


def _described(
    reader: FoodReader, name: str, entry: ItemEntry
) -> tuple[Food | None, Recipe | None]:
    """Find the food of the table an item is, or read what it is made of."""
    path = ("larder", name)
    if entry.food is None:
        return None, reader.recipe(entry.ingredients, path)
    if entry.ingredients is not None:
        what = "it says both 'food' and 'ingredients'"
        raise reader.faults.at(path, what, "Keep one of the two.")
    with reader.faults.placed((*path, "food")):
        plain = hundred(reader.facts.foods.find(entry.food))
        food = as_called(replace(plain, name=entry.food)).food
        known = reader.facts.hundred(food)
        called = replace(known.ingredients[0], name=entry.food)
        return food, replace(known, ingredients=(called,))


def _unit_mass(reader: FoodReader, food: Food, unit: str, path: Steps) -> Decimal:
    """Look up the mass in g of a millilitre or of one piece."""
    try:
        milli = "mL" if unit == MILLILITRE else ""
        return mass_of_one(food, milli, reader.entry.week.cups, reader.facts.foods.region)
    except Unclear as wrong:
        if unit == PIECE:
            mend = "Add 'piece: 60 g' (or so)."
            raise reader.faults.at(path, wrong.what, mend) from None
        raise reader.faults.at(path, wrong.what, wrong.mend, hangs_on=wrong.hangs_on) from None


def _item_pack(
    reader: FoodReader,
    entry: ItemEntry,
    food: Food | None,
    recipe: Recipe | None,
    path: Steps,
) -> Pack:
    """Find the storage classes of a larder item: named, and of the food or mixture it is."""
    named: list[Storage] = []
    if entry.keeps_as is not None:
        with reader.faults.placed(path):
            named = [reader.facts.kept(entry.keeps_as)]
    inside: list[str] = []
    if food is not None:
        inside = [food.storage] if food.storage in storage() else []
        kind = watched(food)
        inside += [] if kind is None else [kind]
    elif recipe is not None:
        inside = list(reader.facts.classes(None, recipe, uncooked=True))
    # A whole pear is never opened; a bag of leaves is.
    raw = food is not None and food.state == "raw" and food.group != "leaves"
    own = [storage()[class_name] for class_name in dict.fromkeys(inside)]
    return Pack(own, named, raw, home=food is None and recipe is not None)


def _opened(
    reader: FoodReader, entry: ItemEntry, pack: Pack, path: Steps
) -> tuple[int | None, str, str]:
    """Work out how long a pack keeps once opened, who says so, and the risk."""
    with reader.faults.placed(path):
        unclassed = not pack.own and not pack.named
        if unclassed and entry.food is not None and entry.opened_life is None:
            # A food of the user's own may have none; then nobody but the user knows.
            raise no_figure(entry.food, cold=entry.chilled is not None)
        return reader.facts.opened(pack, entry.opened_life, own_risk=entry.own_risk)


def _recipes_in_pack(entry: ItemEntry, unit: str, of_food: Quantity | None) -> Decimal:
    """Count how often a pack holds the recipe of its item.

    That of a food of the table, which has a mass by the unit, is of 100 g; any other comes to one
    pack.
    """
    if of_food is None:
        return Decimal(1)
    return magnitude(entry.pack, unit) * magnitude(of_food, GRAM) / 100


def _pack_price(
    name: str, entry: ItemEntry, recipe: Recipe | None, recipes: Decimal
) -> tuple[Decimal, tuple[str, ...]]:
    """Price a pack as far as prices are known, and name what that leaves out."""
    if entry.price is not None:
        return entry.price, ()
    if recipe is None or recipe.cost is None:
        return Decimal(0), (name,)
    return recipe.cost * recipes, recipe.unpriced
