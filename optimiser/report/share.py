"""The batches as recipes for others: Markdown, and JSON-LD to put into a page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from models.answers.shop import ShopFile
from models.week.week import Week
from optimiser.report.plan import held
from optimiser.report.safe import markdown
from optimiser.report.shop import as_markdown
from optimiser.sheets.share import recipes
from optimiser.written import batch_info

_NAMES = {
    "calories": "energy",
    "proteinContent": "protein",
    "fatContent": "fat",
    "carbohydrateContent": "carbohydrate",
    "fiberContent": "fibre",
    "sugarContent": "sugar",
    "sodiumContent": "sodium",
}


def as_json_ld(week: Week) -> str:
    """Write the recipes as JSON-LD of schema.org, ready to stand in a page."""
    found = recipes(week)
    text = json.dumps(found[0] if len(found) == 1 else found, indent=2, ensure_ascii=False)
    for mark in "<>&":
        # Within a page it must not end the block it stands in.
        text = text.replace(mark, f"\\u{ord(mark):04x}")
    return text + "\n"


def as_text(week: Week, shop: ShopFile, cautions: list[str]) -> str:
    """Write the recipes and the shopping list as Markdown."""
    lines = [f"# {markdown(week.name or 'A week of lunches')}: the batches", ""]
    for recipe in recipes(week):
        lines += [*_recipe(week, recipe), ""]
    list_ = as_markdown(shop).splitlines()[2:]
    listed = (f"#{one}" if one.startswith("#") else one for one in list_)
    lines += ["# To buy", "", *listed]
    lines += ["", "# Cautions", "", *(f"- {markdown(one)}" for one in cautions)]
    return "\n".join(lines) + "\n"


def _recipe(week: Week, recipe: dict[str, Any]) -> Iterator[str]:
    batch = week.batches[recipe["name"]]
    yield f"## {markdown(recipe['name'])}"
    yield ""
    yield f"Makes {markdown(recipe['recipeYield'])}. {_keeps(week, batch.name)}"
    yield ""
    for line in recipe["recipeIngredient"]:
        yield f"- {markdown(line)}"
    if not recipe["recipeIngredient"]:
        yield "The week file does not say what goes in."
    for at, step in enumerate(recipe.get("recipeInstructions", []), start=1):
        if at == 1:
            yield ""
        yield f"{at}. {markdown(step['text'])}"
    yield ""
    nutrition = recipe["nutrition"]
    said = [f"{_NAMES[name]} {value}" for name, value in nutrition.items() if name in _NAMES]
    if said:
        yield f"In {markdown(nutrition['servingSize'])}: {', '.join(said)}."
    contents = held(batch_info(batch))
    yield f"{contents[:1].upper()}{markdown(contents[1:])}."


def _keeps(week: Week, name: str) -> str:
    life = week.batches[name].life
    days = f"{life.low} to {life.high}" if life.low != life.high else f"{life.high}"
    source = f" ({markdown(life.source)})" if life.source else ""
    freezes = "; it freezes" if week.batches[name].freezer else ""
    return f"Keeps {days} days in the fridge{source}{freezes}."
