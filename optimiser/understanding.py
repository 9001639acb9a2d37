"""What a week file was understood to say, as data, and what is worth a remark.

A remark is no fault: the week can be planned, but not as its writer may think.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from models.nutrients import NUTRIENTS
from models.units import magnitude, sayable
from models.week import Bound, Contents, Dish, Nutrition, Week, day_name
from optimiser.rules import rules_of
from optimiser.rules.place import is_warm
from optimiser.writing import number


def remarks(week: Week) -> Iterator[str]:
    """Give what a reader should know before planning."""
    if any(not batch.life.source or batch.life.source == "mine" for batch in week.batches.values()):
        named = [b.name for b in week.batches.values() if b.life.source == "mine"]
        yield f"The fridge life is your own figure for: {', '.join(named)}."
    unknown = [b.name for b in week.batches.values() if b.contents.allergens is None]
    unknown += [i.name for i in week.larder.values() if i.contents.allergens is None]
    if unknown:
        yield f"Allergens are not known, so those who avoid any get none of: {', '.join(unknown)}."
    for batch in week.batches.values():
        late = [day for day in week.days if day > batch.use_by]
        if late:
            ways = "only from the freezer" if batch.freezer else "not at all"
            days = ", ".join(f"{day:%a}" for day in late)
            yield (
                f"{batch.name} is to be eaten by {day_name(batch.use_by)}: on {days} it comes "
                f"{ways}."
            )
    for dish in week.dishes.values():
        why = _never(week, dish)
        if why:
            yield f"{dish.name} cannot come this week: {why}."


def _never(week: Week, dish: Dish) -> str:
    if dish.microwave and not any(lunch.place.microwave for lunch in week.lunches):
        return "there is no microwave on any day"
    items = [helping.item for helping in dish.goes_in]
    chilled = any(week.larder[item].chilled for item in items) or any(
        week.batches[take.batch].chilled for take in dish.takes if take.least
    )
    if chilled and all(is_warm(lunch.place) for lunch in week.lunches):
        return "it has to stay cold, and no day offers that"
    for take in dish.takes:
        batch = week.batches[take.batch]
        if take.least and all(lunch.day < batch.first_day for lunch in week.lunches):
            return f"{batch.name} is made after every lunch"
    return ""


def as_data(week: Week) -> dict[str, Any]:
    """Give the week as it was understood, for scripts."""
    return {
        "name": week.name,
        "days": [day.isoformat() for day in week.days],
        "lunches": [
            {
                "date": lunch.day.isoformat(),
                "eater": lunch.eater,
                "fridge": lunch.place.fridge,
                "microwave": lunch.place.microwave,
                "cold_packs": lunch.place.cold_packs,
            }
            for lunch in week.lunches
        ],
        "eaters": {
            eater.name: {
                "floors": [_bound(bound) for bound in eater.floors],
                "ceilings": [_bound(bound) for bound in eater.ceilings],
                "must_not": {
                    "allergens": sorted(eater.avoids_allergens),
                    "foods": sorted(eater.avoids_foods),
                },
                "box": eater.box,
            }
            for eater in week.eaters.values()
        },
        "batches": {
            batch.name: {
                "made": batch.made.isoformat(),
                "portions": batch.portions,
                "portion": sayable(batch.portion),
                "fresh_until": batch.fresh_until.isoformat(),
                "use_by": batch.use_by.isoformat(),
                "life_source": batch.life.source,
                "freezer_portions": batch.freezer,
                "nutrients": _nutrients(batch.nutrition),
                "nutrition_source": batch.nutrition_source,
                **_contents(batch.contents),
            }
            for batch in week.batches.values()
        },
        "larder": {
            item.name: {
                "pack": sayable(item.pack),
                "price": number(item.price),
                "opened_life": item.opened_life,
                "per": sayable(item.per),
                "nutrients": _nutrients(item.nutrition),
                "nutrition_source": item.nutrition_source,
                **_contents(item.contents),
            }
            for item in week.larder.values()
        },
        "dishes": list(week.dishes),
        "rules": [
            {"key": rule.key, "sentence": rule.sentence(), "source": rule.source}
            for rule in rules_of(week)
        ],
        "priorities": list(week.priorities),
        "remarks": list(remarks(week)),
    }


def _bound(bound: Bound) -> dict[str, Any]:
    nutrient = NUTRIENTS[bound.nutrient]
    return {
        "nutrient": bound.nutrient,
        "amount": number(magnitude(bound.amount, nutrient.unit)),
        "unit": nutrient.symbol,
        "over": "week" if bound.weekly else "lunch",
        "note": bound.note,
    }


def _nutrients(nutrition: Nutrition) -> dict[str, Any]:
    return {
        tag: {
            "amount": number(magnitude(amount, NUTRIENTS[tag].unit)),
            "unit": NUTRIENTS[tag].symbol,
        }
        for tag, amount in nutrition.items()
    }


def _contents(contents: Contents) -> dict[str, Any]:
    known = contents.allergens
    return {
        "allergens": None if known is None else sorted(known),
        "foods": sorted(contents.foods),
    }
