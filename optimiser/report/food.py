"""One food of the table as a cook reads it."""

from __future__ import annotations

from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from models.foods.families import narrowest
from models.foods.food import Food, protein_quality
from models.foods.licence import OGL
from models.foods.storage import Keeping, Storage, cautions, storage
from models.words.allergens import PINE_NUTS, say, us_nine
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS
from optimiser.report.console import beside, rendered, words


def text(food: Food, *, colour: bool = False, width: int = 80) -> str:
    """Write what the table says of a food."""
    parts: list[RenderableType] = [
        words((food.name, "bold"), f"  {', '.join(x for x in (food.group, food.state) if x)}"),
        *([Text(f"also: {', '.join(food.aliases)}", style="dim")] if food.aliases else []),
        "",
        beside("in 100 g", Text(_nutrients(food))),
        beside("source", Text(f"{food.source} {food.source_id}".strip())),
        beside("measures", Text(_measures(food))),
        beside("allergens", Text(_allergens(food))),
        beside("belongs to", Text(_families(food))),
    ]
    if food.refuse is not None:
        parts.append(beside("refuse", Text(f"{plain(food.refuse)} % of what is bought")))
    kept = storage().get(food.storage)
    if kept is not None:
        parts.append(beside("keeps", _storage(kept)))
    for measure, value, source in protein_quality().get(food.name, ()):
        parts.append(beside("protein", Text(f"{measure} {value}: {source}")))
    if food.note:
        parts.append(beside("note", Text(food.note)))
    parts.append(beside("licence", Text(OGL, style="dim")))
    return rendered(parts, colour=colour, width=width)


def _nutrients(food: Food) -> str:
    said = []
    for tag, nutrient in NUTRIENTS.items():
        amount = food.nutrients.get(tag)
        if amount is not None:
            number = plain(amount, 2)
            said.append(f"{nutrient.name} {number} {nutrient.symbol}")
    return ", ".join(said) + "; what is not named was not measured"


def _measures(food: Food) -> str:
    said = [
        f"{name.replace(':', ', ')} = {plain(grams, 1 if grams >= 1 else 2)} g"
        for name, grams in food.measures.items()
    ]
    if food.density is not None:
        said.append(f"1 mL = {plain(food.density, 3)} g")
    return "; ".join(said) or "none: write masses"


def _allergens(food: Food) -> str:
    if not food.allergens_known:
        return "not known: read the label"
    known = say(food.allergens - {PINE_NUTS}, food.cereals) or "none"
    us = ", ".join(us_nine(food.allergens, food.cereals)) or "none"
    said = f"EU: {known}; US: {us}"
    return f"{said}; recipes differ, read the label" if food.check_label else said


def _families(food: Food) -> str:
    found = food.families
    said = ", ".join(narrowest(found.holds)) or "no family that someone may avoid"
    may = narrowest(found.may)
    if may:
        said += f"; its label tells about {', '.join(may)}"
    return said if found.told else f"{said}; nobody said what else is in it"


def _storage(kept: Storage) -> RenderableType:
    lines = [f"as {kept.name}"]
    for label, life in (("US", kept.us), ("UK", kept.uk), ("once opened", kept.opened)):
        if life is not None:
            lines.append(f"{label}: {life.said}")
    if kept.thawed is not None:
        lines.append(f"once thawed: {kept.thawed} day{'s' if kept.thawed != 1 else ''}")
    if kept.freezer_months is not None:
        lines.append(f"in the freezer: {kept.freezer_said}")
    if kept.freezes_well is not None:
        lines.append("freezes well" if kept.freezes_well else "does not freeze well")
    if kept.caution in cautions():
        said, source = cautions()[kept.caution]
        lines.append(f"caution: {said} ({source})")
    return Group(*(Text(line) for line in lines))


def as_data(food: Food) -> dict[str, Any]:
    """Give a food for scripts."""
    kept = storage().get(food.storage)
    return {
        "name": food.name,
        "aliases": list(food.aliases),
        "group": food.group,
        "shop": food.shop,
        "state": food.state,
        "source": food.source,
        "source_id": food.source_id,
        "per": "100 g edible portion",
        "nutrients": {
            tag: {
                "amount": float(amount),
                "unit": NUTRIENTS[tag].symbol,
            }
            for tag, amount in food.nutrients.items()
        },
        "measures_g": {name: float(grams) for name, grams in food.measures.items()},
        "density_g_per_ml": None if food.density is None else float(food.density),
        "refuse_percent": None if food.refuse is None else float(food.refuse),
        "allergens": sorted(food.allergens),
        "allergens_us": list(us_nine(food.allergens, food.cereals)),
        "allergens_known": food.allergens_known,
        "check_label": food.check_label,
        "families": sorted(food.families.holds),
        "families_may": sorted(food.families.may),
        "storage": None
        if kept is None
        else {
            "class": kept.name,
            "us": _life(kept.us),
            "uk": _life(kept.uk),
            "opened": _life(kept.opened),
            "thawed_days": kept.thawed,
            "freezer_months": kept.freezer_months,
            "freezes_well": kept.freezes_well,
        },
        "note": food.note,
    }


def _life(life: Keeping | None) -> dict[str, Any] | None:
    return None if life is None else {"days": [life.low, life.high], "said": life.said}
