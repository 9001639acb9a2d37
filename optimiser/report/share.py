"""The batches as recipes for others: Markdown, and JSON-LD to put into a page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from models.answers.plan import BatchInfo
from models.answers.share import Keeps, ShareFile
from models.words.numbers import counted
from models.words.text import isolated
from optimiser.report.console import UNNAMED
from optimiser.report.phrases import held
from optimiser.report.safe import markdown
from optimiser.report.shop import as_markdown

_NAMES = {
    "calories": "energy",
    "proteinContent": "protein",
    "fatContent": "fat",
    "carbohydrateContent": "carbohydrate",
    "fiberContent": "fibre",
    "sugarContent": "sugar",
    "sodiumContent": "sodium",
}


_TIMES = {"prepTime": "work", "cookTime": "cooking", "totalTime": "in all"}


def as_json_ld(shared: ShareFile) -> str:
    """Write the recipes as JSON-LD of schema.org, ready to stand in a page.

    Parameters
    ----------
    shared
        What is to be shared.

    Returns
    -------
    str
        One recipe, or a list where there are several, ended by a line break; no mark in it can end
        the block of a page.

    Examples
    --------
    >>> from optimiser import share
    >>> json.loads(as_json_ld(share("minimal")))["recipeYield"]
    '6 portions'
    """
    recipes = shared.recipes[0] if len(shared.recipes) == 1 else shared.recipes
    text = json.dumps(recipes, indent=2, ensure_ascii=False)
    for mark in "<>&":
        # Within a page it must not end the block it stands in.
        text = text.replace(mark, f"\\u{ord(mark):04x}")
    return text + "\n"


def text(shared: ShareFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the recipes and the shopping list as Markdown, which has no colour and no width.

    Parameters
    ----------
    shared
        What is to be shared.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Markdown, its lines not wrapped, the last one ended: recipes, then what to buy, then
        cautions.

    Examples
    --------
    >>> from optimiser import share
    >>> print(text(share("minimal")).splitlines()[0])
    # Minimal week: the batches
    """
    lines = [f"# {markdown(shared.name or UNNAMED)}: the batches", ""]
    for recipe, keeps, batch in zip(shared.recipes, shared.keeps, shared.batches, strict=True):
        lines += [*_recipe(recipe, keeps, batch), ""]
    to_buy = as_markdown(shared.shop).splitlines()[2:]
    lines += ["# To buy", "", *(f"#{line}" if line.startswith("#") else line for line in to_buy)]
    lines += ["", "# Cautions", "", *(f"- {markdown(caution)}" for caution in shared.cautions)]
    return isolated("\n".join(lines) + "\n")


def _recipe(recipe: dict[str, Any], keeps: Keeps, batch: BatchInfo) -> Iterator[str]:
    yield f"## {markdown(recipe['name'])}"
    yield ""
    credit = f" Recipe: {markdown(recipe['creditText'])}." if "creditText" in recipe else ""
    yield f"Makes {markdown(recipe['recipeYield'])}.{credit} {_keeps(keeps)}"
    yield ""
    for line in recipe["recipeIngredient"]:
        yield f"- {markdown(line)}"
    if not recipe["recipeIngredient"]:
        yield "The week file does not say what goes in."
    if times := [f"{name} {_clock(recipe[key])}" for key, name in _TIMES.items() if key in recipe]:
        yield ""
        yield f"Time: {', '.join(times)}."
    for at, step in enumerate(recipe.get("recipeInstructions", []), start=1):
        if at == 1:
            yield ""
        yield f"{at}. {markdown(step['text'])}"
    yield ""
    nutrition = recipe["nutrition"]
    known = [f"{_NAMES[name]} {value}" for name, value in nutrition.items() if name in _NAMES]
    if known:
        yield f"In {markdown(nutrition['servingSize'])}: {', '.join(known)}."
    contents = held(batch)
    yield f"{contents[:1].upper()}{markdown(contents[1:])}."


def _clock(duration: str) -> str:
    """Say an ISO 8601 duration as a cook does: 1 h 25 min."""
    return duration.removeprefix("PT").replace("H", " h ").replace("M", " min").strip()


def _keeps(keeps: Keeps) -> str:
    low, high = keeps.days
    days = f"{low} to {counted(high, 'day')}" if low != high else counted(high, "day")
    source = f" ({markdown(keeps.source)})" if keeps.source else ""
    freezes = "; it freezes" if keeps.freezes else ""
    return f"Keeps {days} in the fridge{source}{freezes}."
