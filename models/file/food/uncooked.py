"""What must be cooked before it is eaten is refused where nothing cooks it."""

from __future__ import annotations

from collections.abc import Sequence

from models.file.food.shared import FoodReader
from models.file.food_entries import BatchEntry
from models.foods.food import Food
from models.foods.raw import MustCook, has_lectin, raw_kind, to_cook
from models.foods.recipe import Ingredient, Recipe
from models.week.kitchen import Step
from models.words.document import Steps
from models.words.names import words

_BOILED = words("boil boiled boiling")
_EATEN_RAW = {"raw meat", "raw fish", "raw shellfish"}
"""What a label may call ready to eat and that stays raw; egg that it calls so is pasteurised."""


def is_cooked(
    reader: FoodReader, steps: Sequence[Step], recipe: Recipe | None, path: Steps
) -> None:
    """Refuse steps none of which cooks what may not be eaten raw.

    Parameters
    ----------
    reader
        File and tables.
    steps
        How the batch is cooked; empty where that is not said.
    recipe
        What it is made of; None where that is not said.
    path
        Keys that lead to the batch.

    Raises
    ------
    InputError
        When steps are told and what has to be cooked is not, or beans are in a slow cooker alone.
    """
    if recipe is None:
        return
    if not is_uncooked(steps):
        _boiled_hard(reader, steps, recipe, path)
        return
    for line in recipe.ingredients:
        why = to_cook(line, reader.facts.guidance)
        if why is not None:
            raise reader.faults.at(
                (*path, "steps"),
                f"no step cooks, and {line.text!r} is {why.kind}, which has to be cooked "
                f"before it is eaten ({why.source})",
                "Add the step that cooks it, as '- {do: bake until done, lasts: 25 min, "
                f"hands: no, oven: 200 °C}}'{_or_label(why)}.",
            )


def _boiled_hard(reader: FoodReader, steps: Sequence[Step], recipe: Recipe, path: Steps) -> None:
    """Refuse beans of the kidney bean's kin that only what never boils cooks."""
    cooking = [step for step in steps if step.cooks]
    hot = [step for step in cooking if not step.slow_cooks or words(step.work) & _BOILED]
    if len(hot) == len(cooking):
        return
    for line in recipe.ingredients:
        why = to_cook(line, reader.facts.guidance)
        if why is None or not has_lectin(line.food.name, line.food.state):
            continue
        others = [other.food for other in recipe.ingredients if other is not line]
        if all(_is_of_others(step, line, others) for step in hot):
            raise reader.faults.at(
                (*path, "steps"),
                "a slow cooker does not get hot enough, nor an oven below 100 °C, for "
                f"{line.text!r}, and no other step cooks it ({why.source})",
                "Add before it '- {do: boil hard in fresh water, lasts: 30 min, rings: 1}', or "
                "use tinned ones.",
            )


def _is_of_others(step: Step, line: Ingredient, others: Sequence[Food]) -> bool:
    """Tell whether a step names other food of the batch and not this: fry the onions."""
    work = words(step.work)
    if work & (words(line.food.name) | words("bean pulse everything all")):
        return False
    return any(work & (words(food.name) - words("raw dry")) for food in others)


def keeps_raw(
    reader: FoodReader, entry: BatchEntry, steps: Sequence[Step], recipe: Recipe | None, path: Steps
) -> None:
    """Refuse to look up how long raw meat or fish keeps that nobody cooks.

    Parameters
    ----------
    reader
        File and tables.
    entry
        What the file says of the batch.
    steps
        How it is cooked; empty where that is not said.
    recipe
        What it is made of; None where that is not said.
    path
        Keys that lead to the batch.

    Raises
    ------
    InputError
        When it is to keep longer than a day, or nobody said how long, without `own_risk`.
    """
    if recipe is None or not is_uncooked(steps):
        return
    lines = (line for line in recipe.ingredients if raw_kind(line.food) in _EATEN_RAW)
    raw = next((line.text for line in lines), None)
    if raw is None or entry.own_risk:
        return
    if entry.fridge_life is None or entry.fridge_life[1] > 1:
        raise reader.faults.at(
            (*path, "fridge_life"),
            f"no step cooks {raw!r}, and nobody publishes that such food keeps longer than "
            "the day after",
            "Write 'fridge_life: 1', or add a step that cooks it; or take 'own_risk: yes'.",
        )


def never_raw(reader: FoodReader, lines: Sequence[Ingredient], path: Steps) -> None:
    """Refuse what goes in as it is and must not be eaten so.

    Parameters
    ----------
    reader
        File and tables.
    lines
        Lines of a recipe, read.
    path
        Keys that lead to them.

    Raises
    ------
    InputError
        When a line has to be cooked before it is eaten.
    """
    for line in lines:
        no_raw(reader, line.food.name, to_cook(line, reader.facts.guidance), path)


def no_raw(reader: FoodReader, name: str, why: MustCook | None, path: Steps) -> None:
    """Refuse a food for why it has to be cooked, if it has to be.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the food.
    why
        Why it has to be cooked; None where it need not be.
    path
        Keys that lead to it.

    Raises
    ------
    InputError
        When it has to be cooked.
    """
    if why is not None:
        raise reader.faults.at(
            path,
            f"{name!r} is {why.kind}, which has to be cooked before it is eaten ({why.source})",
            "Cook it: list it under 'ingredients' of a batch. Or name it as it is eaten, "
            f"as boiled, smoked or tinned{_or_label(why)}.",
        )


def is_uncooked(steps: Sequence[Step]) -> bool:
    """Tell whether steps are stated and none of them cooks.

    Parameters
    ----------
    steps
        How a batch is cooked; empty where that is not said.

    Returns
    -------
    False where no steps are told: then it counts as cooked.
    """
    return bool(steps) and not any(step.cooks for step in steps)


def _or_label(why: MustCook) -> str:
    if not why.label_settles:
        return ""
    return ", or add 'ready_to_eat: yes' where its label says so"
