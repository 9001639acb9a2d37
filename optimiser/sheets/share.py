"""The batches as recipes for others: schema.org Recipe, with what a portion holds.

Source of the names: schema.org, types Recipe, NutritionInformation and HowToStep. A property
that the vocabulary lacks (fibre of another name, allergens) is said in words instead.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from models.answers.share import Keeps, ShareFile
from models.foods.recipe import Ingredient
from models.week.kitchen import Step
from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from models.words.numbers import counted, plain, spell
from models.words.nutrients import NUTRIENTS
from models.words.units import GRAM, magnitude
from optimiser.sheets.pack import WHOLE
from optimiser.sheets.shop import shopping
from optimiser.written import batch_info

_PROPERTY = {
    "ENERC": ("calories", "kilocalorie", "kcal"),
    "PROCNT": ("proteinContent", "gram", "g"),
    "FAT": ("fatContent", "gram", "g"),
    "CHOAVL": ("carbohydrateContent", "gram", "g"),
    "FIBTG": ("fiberContent", "gram", "g"),
    "SUGAR": ("sugarContent", "gram", "g"),
    "NA": ("sodiumContent", "milligram", "mg"),
}
"""INFOODS tagname to the property of schema.org NutritionInformation, with its unit."""


def share(week: Week, packed: PackedWeek, cautions: list[str]) -> ShareFile:
    """Give the batches as recipes, with how they keep and what to buy for the plan.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.
    cautions
        Those of the plan.

    Returns
    -------
    ShareFile
        A schema.org Recipe for each batch, days it keeps with their source, and the shopping list.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> file = share(week, solved.packed, [])
    >>> [recipe["name"] for recipe in file.recipes], file.keeps[0].days
    (['rice and beans'], (3, 4))
    """
    return ShareFile(
        name=week.name,
        recipes=recipes(week),
        keeps=[
            Keeps(
                days=(batch.life.low, batch.life.high),
                source=batch.life.source,
                freezes=bool(batch.freezer),
            )
            for batch in _cooked(week)
        ],
        batches=[batch_info(batch) for batch in _cooked(week)],
        shop=shopping(week, packed),
        cautions=cautions,
    )


def recipes(week: Week) -> list[dict[str, Any]]:
    """Give every batch as a schema.org Recipe, as JSON-LD has it.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    list of dict of str to Any
        In the order of the batches; none of a batch of an earlier week, which was shared with
        that.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> recipe = recipes(read_week("minimal"))[0]
    >>> recipe["name"], recipe["recipeYield"]
    ('rice and beans', '6 portions')
    """
    return [_recipe(week, batch) for batch in _cooked(week)]


def _cooked(week: Week) -> list[Batch]:
    # What an earlier week cooked was shared with that week.
    return [batch for batch in week.batches.values() if not batch.earlier]


def _recipe(week: Week, batch: Batch) -> dict[str, Any]:
    shared: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": batch.name,
        "recipeYield": counted(batch.portions, batch.portion_word),
        "recipeIngredient": ingredients(batch),
        "nutrition": {
            "@type": "NutritionInformation",
            "servingSize": f"1 {batch.portion_word} ({plain(magnitude(batch.portion, GRAM))} g)",
            **_nutrition(batch),
        },
        "keywords": "batch cooking, packed lunch",
    }
    if batch.recipe_source:
        shared["creditText"] = batch.recipe_source
    steps = instructions(batch)
    if steps:
        shared["recipeInstructions"] = [
            {"@type": "HowToStep", "position": at, "text": text}
            for at, text in enumerate(steps, start=1)
        ]
        shared |= _times(batch)
    return shared


def _times(batch: Batch) -> dict[str, str]:
    """Say how long it takes: work with hands, cooking, and all of it by the clock."""
    worked = sum(step.least for step in batch.steps if step.hands and not step.heats)
    cooked = sum(step.least for step in batch.steps if step.heats)
    times = {"prepTime": worked, "cookTime": cooked, "totalTime": elapsed(batch)}
    return {name: duration(Decimal(minutes)) for name, minutes in times.items() if minutes}


def ingredients(batch: Batch) -> list[str]:
    """Give the lines of a recipe, in grams where another share of it is cooked.

    Parameters
    ----------
    batch
        The batch.

    Returns
    -------
    list of str
        As written where the whole recipe is cooked; a line without an amount once.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> ingredients(read_week("minimal").batches["rice and beans"])[:2]
    ['200 g white rice', '200 g dried haricot beans']
    """
    lines = () if batch.recipe is None else batch.recipe.ingredients
    written = [(line, _line(line, whole=batch.whole is None)) for line in lines]
    # One line may name several foods, as 'salt and pepper to taste'.
    once = dict.fromkeys(text for line, text in written if not line.grams)
    return [text for line, text in written if line.grams or once.pop(text, "") is None]


def _line(line: Ingredient, *, whole: bool) -> str:
    return line.text if whole or not line.grams else f"{plain(line.grams)} g {line.name}"


def _nutrition(batch: Batch) -> dict[str, str]:
    amounts = {}
    for tag, (name, unit, symbol) in _PROPERTY.items():
        known = batch.nutrition.get(tag)
        # The vocabulary has no "at least": what is known in part is left out.
        if known is not None and tag not in batch.partial:
            if NUTRIENTS[tag].unit != unit:
                raise ValueError(f"{tag} is counted in {NUTRIENTS[tag].unit}, not in {unit}")
            amount = magnitude(known, unit)
            # As labels have it: from 20 on none is split.
            amounts[name] = f"{plain(amount, 0 if amount >= WHOLE else 1)} {symbol}"
    return amounts


def instructions(batch: Batch) -> list[str]:
    """Give the steps in words with their heats and times, where the week file has any.

    Parameters
    ----------
    batch
        The batch.

    Returns
    -------
    list of str
        A sentence each, in the order of the file.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> steps = "[{do: simmer all, lasts: 50 min, hands: no, rings: 1}]"
    >>> text = ready_text("minimal").replace("yield:", f"steps: {steps}, yield:")
    >>> instructions(every_fault("mine.yaml", text)[0].batches["rice and beans"])
    ['Simmer all for 50 min.']
    """
    return [_instruction(step) for step in batch.steps]


def _instruction(step: Step) -> str:
    heat = f"{step.oven} °C"
    at = "" if step.oven is None or heat in step.work else f" at {heat}"
    lasts = spell(step.least)
    if step.most != step.least:
        lasts = f"{lasts} to {spell(step.most)}"
    # What hands do takes so long; what cooks or waits is to last so long.
    time = f" for {lasts}" if step.heats or not step.hands else f" ({lasts})"
    return f"{step.work[:1].upper()}{step.work[1:]}{at}{time}."


def elapsed(batch: Batch) -> int:
    """Reckon the minutes from the first step to the end of the last, with one pair of hands.

    Each step begins as early as those before it and the hands allow, in the order of the file.

    Parameters
    ----------
    batch
        The batch.

    Returns
    -------
    int
        By the least that each step takes; 0 without steps.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> batch = read_week("demo").batches["pea soup"]
    >>> elapsed(batch), sum(step.least for step in batch.steps)
    (560, 570)
    """
    ends: dict[str, int] = {}
    hands = 0
    waiting = list(batch.steps)
    while waiting:
        step = next(step for step in waiting if ends.keys() >= {*step.after})
        waiting.remove(step)
        begins = max((ends[name] + step.gap[0] for name in step.after), default=0)
        begins = max(begins, hands) if step.hands else begins
        ends[step.name] = begins + step.least
        hands = ends[step.name] if step.hands else hands
    return max(ends.values(), default=0)


def duration(minutes: Decimal) -> str:
    """Write minutes as an ISO 8601 duration: PT1H25M.

    Parameters
    ----------
    minutes
        How many.

    Returns
    -------
    str
        Hours and minutes; seconds are left out. "PT0M" for nothing.

    Examples
    --------
    >>> duration(85)
    'PT1H25M'
    """
    whole = timedelta(minutes=int(minutes))
    hours, rest = divmod(int(whole.total_seconds()) // 60, 60)
    return f"PT{f'{hours}H' if hours else ''}{f'{rest}M' if rest or not hours else ''}"
