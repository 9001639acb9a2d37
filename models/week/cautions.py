"""The usual cautions, each with who says it.

The program helps to plan; it is no food-safety authority. What is said here holds
in general and defers to local codes and to licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from models.foods.storage import cautions as known
from models.week.week import Week
from models.words.guidance import GUIDANCES
from models.words.names import words
from models.words.numbers import counted

_FIRST = (
    "When in doubt, throw it out. Local food-safety rules, and your dietitian or doctor, come "
    "before this plan."
)
_DAYS = (
    "Days are counted as dates. Where the advice is in hours (48, or 24 for rice), it is kept "
    "only by food cooked later in the day than lunch is eaten; else write one day less."
)
_GENERAL = (
    "Keep the fridge at 5 °C or below (FDA Food Code, UK FSA; USDA FSIS says 40 °F, 4 °C). Put "
    "cooked food in it within 2 hours in shallow tubs, within 1 hour above 32 °C (USDA FSIS).",
    "Reheat to 74 °C (USDA FSIS), steaming hot right through, and only once (UK FSA).",
)
_FREEZER = (
    "Freeze on the day of cooking, a tub for each day it is for. Thaw in the fridge, eat within "
    "24 hours of thawing, best reheated (UK FSA)."
)
_ALLERGENS = (
    "Allergens are as your file and the food table state them, for the plain food or the usual "
    "recipe: read every label."
)


def cautions(week: Week, *, thawing: bool) -> Iterator[str]:
    """Give the cautions that belong to a week.

    Parameters
    ----------
    week
        The week.
    thawing
        Whether anything comes from the freezer.
    """
    yield _FIRST
    yield from _at_risk(week)
    yield from _use_by(week)
    yield _DAYS
    yield from _GENERAL
    if thawing:
        yield _FREEZER
    yield from _of_foods(week)
    if any(not lunch.place.fridge for lunch in week.lunches):
        yield (
            "Without a fridge at lunch, carry chilled food in an insulated bag with two cold "
            "packs (USDA FSIS)."
        )
    if week.protein_said:
        yield week.protein_said
    yield _ALLERGENS


def _at_risk(week: Week) -> Iterator[str]:
    for batch in week.batches.values():
        if batch.life.risk:
            yield (
                f"At your own risk: {batch.name} is planned for up to "
                f"{counted(batch.life.high, 'day')}. Published: {batch.life.risk}."
            )
    for item in week.larder.values():
        if item.risk:
            kept = (
                "without a limit" if item.opened_life is None else counted(item.opened_life, "day")
            )
            yield (
                f"At your own risk: {item.name} is kept {kept} once opened. Published: {item.risk}."
            )


def _use_by(week: Week) -> Iterator[str]:
    if not week.batches:
        return
    yield f"Use-by dates follow {GUIDANCES[week.guidance]}; your local codes come first."
    stated = [batch for batch in week.batches.values() if batch.life.stated]
    if stated:
        said = ", ".join(
            f"{batch.name} ({counted(batch.life.high, 'day')}: {batch.life.source})"
            for batch in stated
        )
        yield f"How long these keep is as your file states, not looked up: {said}."


def _of_foods(week: Week) -> Iterator[str]:
    """Give the cautions that single foods carry, in the order of the table."""
    found = {key for batch in week.batches.values() for key in batch.cautions}
    found |= {key for item in week.larder.values() for key in item.cautions}
    names = [*week.batches, *week.larder]
    names += [word for batch in week.batches.values() for word in batch.contents.foods]
    names += [word for item in week.larder.values() for word in item.contents.foods]
    if any("rice" in words(name) for name in names):
        found.add("rice")
    for key, (text, source) in known().items():
        if key in found:
            yield f"{text} ({source})"
