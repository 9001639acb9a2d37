"""The usual cautions, each with who says it.

The program helps to plan; it is no food-safety authority. What is said here holds
in general and defers to local codes and to licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from models.week import Week

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
_RICE = (
    "Cooked rice: cool within 1 hour, keep in the fridge no longer than 24 hours by UK advice, "
    "reheat once (UK FSA, NHS)."
)
_ALLERGENS = "Allergens are as your file states them: read every label."


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
    yield from _use_by(week)
    yield _DAYS
    yield from _GENERAL
    if thawing:
        yield _FREEZER
    words = [name.casefold() for name in (*week.batches, *week.larder)]
    for batch in week.batches.values():
        words += batch.contents.foods
    for item in week.larder.values():
        words += item.contents.foods
    if any("rice" in word.split() for word in words):
        yield _RICE
    if any(not lunch.place.fridge for lunch in week.lunches):
        yield (
            "Without a fridge at lunch, carry chilled food in an insulated bag with two cold "
            "packs (USDA FSIS)."
        )
    yield _ALLERGENS


def _use_by(week: Week) -> Iterator[str]:
    if not week.batches:
        return
    longest = max(batch.life.high for batch in week.batches.values())
    named = week.guidance or "; ".join(
        sorted({batch.life.source for batch in week.batches.values()})
    )
    days = "1 day" if longest == 1 else f"{longest} days"
    yield (
        f"Use-by dates come from your file (at most {days} in the fridge), which names as its "
        f"guidance: {named}. The program has not checked that."
    )
