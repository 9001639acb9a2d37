"""The usual cautions, each with who says it.

The program helps to plan; it is no food-safety authority. What is said here holds
in general and defers to local codes and to licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from models.week import Week

_GENERAL = (
    "Keep the fridge at 5 °C or below. Put cooked food in it within 2 hours "
    "(1 hour above 32 °C) in shallow tubs (USDA FSIS).",
    "Reheat until steaming hot right through, 74 °C, and only once (USDA FSIS; FSA).",
)
_FREEZER = (
    "Freeze on the day of cooking; thaw in the fridge and eat within 24 hours of thawing (FSA)."
)
_RICE = (
    "Cooked rice: cool within 1 hour, keep in the fridge no longer than 24 hours by UK advice, "
    "reheat once (FSA)."
)
_LAST = (
    "Allergens are as your file states them: read every label. When in doubt, throw it out. "
    "Local food-safety rules and your dietitian or doctor come before this plan."
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
    sources = {batch.life.source for batch in week.batches.values()}
    said = week.guidance or "; ".join(sorted(sources))
    yield f"Use-by dates follow: {said}." if said else "Use-by dates are your own."
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
    yield _LAST
