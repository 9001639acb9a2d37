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

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "steps: [{do: stir, lasts: 5 min}], yield:")
    >>> print(every_fault("mine.yaml", text)[1][0].what.split(", which")[0])
    no step cooks, and '200 g dried haricot beans' is dried beans
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

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> salmon = "{what: 200 g raw salmon, ready_to_eat: yes}"
    >>> text = ready_text("minimal").replace("200 g white rice, 200 g dried haricot beans", salmon)
    >>> text = text.replace("yield: 1200 g", "steps: [{do: cut, lasts: 9 min}], yield: 600 g")
    >>> print(every_fault("mine.yaml", text)[1][0].what.split(", and")[0])
    no step cooks '200 g raw salmon'
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

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("apple, pack: 1 piece", "chicken thigh, pack: 200 g")
    >>> print(every_fault("mine.yaml", text)[1][0].what.split(", which")[0])
    'chicken thigh, skinless, raw' is raw poultry
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

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("food: apple, pack: 1 piece", "pack: 200 g")
    >>> _, faults = every_fault("mine.yaml", text.replace("apple", "raw chicken"))
    >>> print(faults[0].what.split(", which")[0])
    'raw chicken' is raw poultry
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

    Examples
    --------
    >>> is_uncooked([]), is_uncooked([Step("mix", "mix it", 5, 5)])
    (False, True)
    >>> is_uncooked([Step("bake", "bake it", 25, 25, oven=200)])
    False
    """
    return bool(steps) and not any(step.cooks for step in steps)


def _or_label(why: MustCook) -> str:
    if not why.label_settles:
        return ""
    return ", or add 'ready_to_eat: yes' where its label says so"
