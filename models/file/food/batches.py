"""A batch of a week file made plain: what it is, by the file first and then by the tables.

Where the file says what a batch is made of, the tables say the rest; where it states a
figure itself, that figure holds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from models.file.food.cold import warm_risk
from models.file.food.left import as_cooked
from models.file.food.lives import freezer_takes, freezes_well, life_of, unsaid
from models.file.food.made import in_time, made_on
from models.file.food.shared import FoodReader, sources
from models.file.food.uncooked import is_cooked, is_uncooked, keeps_raw
from models.file.food.yields import portion_of, portions_of, sizes_of
from models.file.food_entries import BatchEntry
from models.file.kitchen import steps_of
from models.foods.recipe import Recipe
from models.foods.storage import (
    caution_keys,
    months_frozen,
    storage,
)
from models.week.cook import payable
from models.week.kitchen import Step
from models.week.week import Batch
from models.words.document import Steps
from models.words.units import (
    PIECE,
    Quantity,
    fits,
)


def batch_of(reader: FoodReader, name: str, entry: BatchEntry) -> Batch:
    """Make a batch of its entry.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.

    Returns
    -------
    Mass of a portion in g and figures for one portion, in as many portions as are cooked.

    Raises
    ------
    InputError
        When it cannot be cooked, kept, frozen or eaten as the file says.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> pot = read_week("minimal").batches["rice and beans"]
    >>> pot.made.isoformat(), pot.portions, pot.life.high
    ('2026-11-29', 6, 4)
    """
    path = ("batches", name)
    in_time(reader, name, entry)
    recipe = reader.recipe(entry.ingredients, path)
    whole = portions_of(reader, name, entry, "yield", entry.yield_)
    portion, weighs, weighed = portion_of(reader, name, entry, whole, recipe)
    # Room is not held against a mass that is only the usual one.
    usual = entry.portion is None and recipe is None
    reader.roomy(entry.room, None if usual else portion, Decimal(1), path, "portion")
    nutrition, partial = _portion_nutrition(reader, entry, recipe, whole)
    steps = _steps(reader, entry, recipe, path)
    life = life_of(reader, entry, recipe, path, uncooked=is_uncooked(steps))
    cost, unpriced = _batch_cost(name, entry, recipe)
    batch = Batch(
        name=name,
        made=made_on(reader, entry),
        portions=whole,
        pieces=fits(entry.yield_, PIECE),
        portion=portion,
        nutrition=nutrition,
        nutrition_source=sources(entry, recipe),
        cost=payable(cost),
        life=life,
        freezer=freezer_takes(reader, name, entry, whole, life.classes),
        freezer_takes_all=entry.freezes is True and entry.freezer is None,
        earlier=entry.earlier,
        freezer_months=_months(entry, life.classes),
        freezes=freezes_well(entry, life.classes),
        texture=entry.texture,
        room=entry.room,
        contents=reader.contents(recipe, entry, path),
        chilled=entry.chilled,
        warm_risk=warm_risk(reader, entry, [storage()[name] for name in life.classes], path),
        portion_source=weighed,
        recipe_source=entry.source,
        partial=partial,
        unpriced=unpriced,
        recipe=recipe,
        cautions=_cautions(entry, recipe, life.classes),
        exact_cost=cost,
        weighs=weighs,
        sizes=sizes_of(reader, name, entry, whole),
        steps=steps,
        limits=entry.given(),
    )
    return as_cooked(reader, batch, entry)


def _portion_nutrition(
    reader: FoodReader, entry: BatchEntry, recipe: Recipe | None, whole: int
) -> tuple[Mapping[str, Quantity], frozenset[str]]:
    """Work out what a portion holds, and of which nutrients it is an "at least"."""
    stated, partial = reader.facts.stated(entry.nutrition), frozenset[str]()
    if recipe is None:
        nutrition = stated
    else:
        nutrition, partial = reader.facts.nutrition(recipe, Decimal(1) / whole, stated)
    if entry.not_read:
        # A line that could not be read may hold more of all but what the file states.
        partial = frozenset(nutrition) - frozenset(entry.nutrition)
    return nutrition, partial


def _steps(
    reader: FoodReader, entry: BatchEntry, recipe: Recipe | None, path: Steps
) -> tuple[Step, ...]:
    """Read how a batch is cooked; refuse steps that leave raw what may not be eaten so."""
    with reader.faults.placed((*path, "steps")):
        steps = steps_of(entry.steps, reader.entry.kitchen)
    is_cooked(reader, steps, recipe, path)
    keeps_raw(reader, entry, steps, recipe, path)
    return steps


def _batch_cost(
    name: str, entry: BatchEntry, recipe: Recipe | None
) -> tuple[Decimal, tuple[str, ...]]:
    """Price a batch as far as prices are known, and name what that leaves out."""
    if entry.earlier:
        # It was paid in the week that cooked it.
        return Decimal(0), ()
    if entry.cost is not None:
        return entry.cost, ()
    if recipe is None:
        return Decimal(0), (name,)
    return recipe.cost or Decimal(0), recipe.unpriced


def _cautions(
    entry: BatchEntry, recipe: Recipe | None, classes: tuple[str, ...]
) -> tuple[str, ...]:
    """Name what is cautioned against, by what the batch keeps as and what is in it."""
    # Of what nobody described the shortest life is taken, and no food is cautioned against.
    kept = () if unsaid(entry, recipe) else classes
    return caution_keys(kept, () if recipe is None else recipe.foods)


def _months(entry: BatchEntry, classes: Sequence[str]) -> tuple[int, int] | None:
    if entry.freezer_months is not None:
        return entry.freezer_months, entry.freezer_months
    return months_frozen(classes)
