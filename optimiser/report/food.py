"""One food of the table as a cook reads it."""

from __future__ import annotations

from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from models.foods import Food, Storage, cautions, protein_quality, storage
from models.nutrients import NUTRIENTS
from models.units import magnitude, plain
from optimiser.report.console import beside, rendered, words


def text(food: Food, *, colour: bool = False, width: int = 80) -> str:
    """Write what the table says of a food."""
    parts: list[RenderableType] = [
        words((food.name, "bold"), f"  {food.group}, {food.state}"),
        *([Text(f"also: {', '.join(food.aliases)}", style="dim")] if food.aliases else []),
        "",
        beside("in 100 g", Text(_nutrients(food))),
        beside("source", Text(f"{food.source} {food.source_id}".strip())),
        beside("measures", Text(_measures(food))),
        beside("allergens", Text(_allergens(food))),
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
    return rendered(parts, colour=colour, width=width)


def _nutrients(food: Food) -> str:
    said = []
    for tag, nutrient in NUTRIENTS.items():
        amount = food.nutrients.get(tag)
        if amount is not None:
            number = plain(magnitude(amount, nutrient.unit), 2)
            said.append(f"{nutrient.name} {number} {nutrient.symbol}")
    return ", ".join(said) + "; what is not named was not measured"


def _measures(food: Food) -> str:
    said = [
        f"{name.replace(':', ', ')} = {plain(grams)} g" for name, grams in food.measures.items()
    ]
    if food.density is not None:
        said.append(f"1 mL = {plain(food.density, 3)} g")
    return "; ".join(said) or "none: write masses"


def _allergens(food: Food) -> str:
    known = ", ".join(sorted(food.allergens)) or "none"
    return f"{known}; recipes differ, read the label" if food.check_label else known


def _storage(kept: Storage) -> RenderableType:
    lines = [f"as {kept.name}"]
    if kept.us is not None:
        lines.append(f"US: {kept.us_said}")
    if kept.uk is not None:
        lines.append(f"UK: {kept.uk_said}")
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
                "amount": float(magnitude(amount, NUTRIENTS[tag].unit)),
                "unit": NUTRIENTS[tag].symbol,
            }
            for tag, amount in food.nutrients.items()
        },
        "measures_g": {name: float(grams) for name, grams in food.measures.items()},
        "density_g_per_ml": None if food.density is None else float(food.density),
        "refuse_percent": None if food.refuse is None else float(food.refuse),
        "allergens": sorted(food.allergens),
        "check_label": food.check_label,
        "storage": None
        if kept is None
        else {
            "class": kept.name,
            "us_days": kept.us,
            "us_said": kept.us_said,
            "uk_days": kept.uk,
            "uk_said": kept.uk_said,
            "freezes_well": kept.freezes_well,
        },
        "note": food.note,
    }
