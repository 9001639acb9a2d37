"""The week as it travels in a plan: what it was read from, with the own foods it uses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from models.foods.families import written
from models.foods.food import Food
from models.foods.recipe import HUNDRED
from models.week.week import Week
from models.words.names import plain_name
from models.words.nutrients import NUTRIENTS


def carried(week: Week) -> dict[str, Any]:
    """Make the document of a week as it travels in a plan.

    Foods of own tables that it uses are written into it, so that it can be read without them.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    dict of str to Any
        A week document as JSON has it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> set(carried(week)["dishes"]) == set(week.dishes)
    True
    """
    data = week.source.as_json()
    own = _foods_used(week, data)
    return {**data, "foods": {**data.get("foods", {}), **own}} if own else data


def _foods_used(week: Week, data: Mapping[str, Any]) -> dict[str, Any]:
    stated = data.get("foods", {})
    recipes = [batch.recipe for batch in week.batches.values()]
    recipes += [item.recipe for item in week.larder.values()]
    names = {food.name for recipe in recipes if recipe is not None for food in recipe.foods}
    priced = {plain_name(str(name)) for name in data.get("prices", {})}
    names |= {
        food.name
        for food in (week.own_foods.values() if priced else ())
        if priced & {plain_name(name) for name in (food.name, *food.aliases)}
    }
    return {
        name: entry_of(food)
        for name in sorted(names)
        if name not in stated and (food := week.own_foods.get(name)) is not None
    }


def entry_of(food: Food) -> dict[str, object]:
    """Write a food of an own table as a week file states one, so that it travels with it.

    Parameters
    ----------
    food
        A food of a table.

    Returns
    -------
    As JSON has it, amounts for 100 g with their units; what the food leaves open is left out.

    Examples
    --------
    >>> from models.foods.food import find
    >>> entry = entry_of(find("leeks"))
    >>> "protein" in entry["nutrition"], entry["allergens"]
    (True, 'none')
    """
    entry: dict[str, object] = {
        "nutrition": {
            NUTRIENTS[tag].name: f"{amount:f} {NUTRIENTS[tag].symbol}"
            for tag, amount in food.nutrients.items()
        },
        "also": list(food.aliases),
        "cereals": sorted(food.cereals),
        "shop": food.shop,
        "check_label": food.check_label,
        "measures": {name: f"{mass:f} g" for name, mass in food.measures.items()},
        "source": food.source,
        "source_id": food.source_id,
        "group": food.group,
        "state": food.state,
    }
    if food.allergens_known:
        entry["allergens"] = sorted(food.allergens) or "none"
    if food.stated is not None:
        entry["families"] = written(food.stated).split(";")
    if food.density is not None:
        entry["density"] = str(food.density)
    for key, share in (("refuse", food.refuse), ("water", food.water)):
        if share is not None and share < HUNDRED:
            entry[key] = f"{share:f} %"
    if food.storage:
        entry["keeps_as"] = food.storage
    return entry
