"""One food of the table as a cook reads it."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.food import FoodFile, Kept
from models.words.allergens import PINE_NUTS, say
from models.words.numbers import counted, plain
from models.words.nutrients import NUTRIENTS, PROTEIN
from optimiser.report.console import beside, rendered, words


def text(food: FoodFile, *, colour: bool = False, width: int = 80) -> str:
    """Write what the table says of a food.

    Parameters
    ----------
    food
        What is known of the food.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: a label and what the table says, figures for
        100 g.

    Examples
    --------
    >>> from optimiser import food
    >>> print(text(food("apple")).splitlines()[0])
    apple, raw, with skin  fruit, raw
    """
    parts: list[RenderableType] = [
        words(
            (food.name, "bold"), f"  {', '.join(part for part in (food.group, food.state) if part)}"
        ),
        *([Text(f"also: {', '.join(food.aliases)}", style="dim")] if food.aliases else []),
        "",
        beside("in 100 g", Text(_nutrients(food))),
        beside("source", Text(f"{food.source} {food.source_id}".strip())),
        beside("measures", Text(_measures(food))),
        beside("allergens", Text(_allergens(food))),
        beside("belongs to", Text(_families(food))),
    ]
    if food.refuse_percent is not None:
        parts.append(beside("refuse", Text(f"{plain(food.refuse_percent)} % of what is bought")))
    if food.storage is not None:
        parts.append(beside("keeps", _storage(food.storage)))
    if PROTEIN in food.nutrients and food.nutrients[PROTEIN].amount:
        share = f"{plain(food.protein_digested * 100)} % digested"
        parts.append(beside("protein", Text(f"{share}, {food.protein_digested_source}")))
    if food.note:
        parts.append(beside("note", Text(food.note)))
    parts.append(beside("licence", Text(food.licence, style="dim")))
    return rendered(parts, colour=colour, width=width)


def _nutrients(food: FoodFile) -> str:
    known = [
        f"{NUTRIENTS[tag].name} {plain(held.amount, 2)} {held.unit}"
        for tag, held in food.nutrients.items()
    ]
    return ", ".join(known) + "; what is not named was not measured"


def _measures(food: FoodFile) -> str:
    measures = [
        f"{name.replace(':', ', ')} = {plain(grams, 1 if grams >= 1 else 2)} g"
        for name, grams in food.measures_g.items()
    ]
    if food.density_g_per_ml is not None:
        measures.append(f"1 mL = {plain(food.density_g_per_ml, 3)} g")
    return "; ".join(measures) or "none: write masses"


def _allergens(food: FoodFile) -> str:
    if not food.allergens_known:
        return "not known: read the label"
    eu = say(frozenset(food.allergens) - {PINE_NUTS}, frozenset(food.cereals)) or "none"
    known = f"EU: {eu}; US: {', '.join(food.allergens_us) or 'none'}"
    return f"{known}; recipes differ, read the label" if food.check_label else known


def _families(food: FoodFile) -> str:
    families = ", ".join(food.families_narrowest) or "no family that someone may avoid"
    if food.families_may_narrowest:
        families += f"; its label tells about {', '.join(food.families_may_narrowest)}"
    return families if food.families_told else f"{families}; nobody said what else is in it"


def _storage(kept: Kept) -> RenderableType:
    lines = [f"as {kept.name}"]
    for label, life in (("US", kept.us), ("UK", kept.uk), ("once opened", kept.opened)):
        if life is not None:
            lines.append(f"{label}: {life.source}")
    if kept.thawed_days is not None:
        lines.append(f"once thawed: {counted(kept.thawed_days, 'day')}")
    if kept.freezer_months is not None:
        lines.append(f"in the freezer: {kept.freezer_source}")
    if kept.freezes_well is not None:
        lines.append("freezes well" if kept.freezes_well else "does not freeze well")
    if kept.caution is not None:
        lines.append(f"caution: {kept.caution.text} ({kept.caution.source})")
    return Group(*(Text(line) for line in lines))
