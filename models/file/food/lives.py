"""How long a batch keeps in the fridge, and how much of it the freezer takes."""

from __future__ import annotations

from models.file.food.shared import FoodReader
from models.file.food_entries import BatchEntry
from models.foods.facts import (
    FridgeLife,
)
from models.foods.recipe import Recipe
from models.foods.storage import (
    LEFTOVERS,
    storage,
)
from models.words.document import Steps

COOKED = ("cooked rice", LEFTOVERS, "cooked shellfish")
"""What a batch of which nobody said anything may hold: the shortest of their lives is taken."""


def life_of(
    reader: FoodReader, entry: BatchEntry, recipe: Recipe | None, path: Steps, *, uncooked: bool
) -> FridgeLife:
    """Work out how long a batch keeps, looked up or stated.

    Parameters
    ----------
    reader
        File and tables.
    entry
        What the file says of the batch.
    recipe
        What it is made of; None where that is not said.
    path
        Keys that lead to the batch.
    uncooked
        True where steps are told and none of them cooks.

    Returns
    -------
    In days from the day it is made, with its source; of what nobody described the shortest.

    Raises
    ------
    InputError
        When it is longer than is published without `own_risk`, or its class is not known.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> life = read_week("minimal").batches["rice and beans"].life
    >>> life.high, life.classes
    (4, ('leftovers, plant', 'cooked rice'))
    """
    with reader.faults.placed(path):
        classes = reader.facts.classes(entry.keeps_as, recipe, uncooked=uncooked)
        if unsaid(entry, recipe):
            classes = COOKED
        elif entry.not_read:
            classes = tuple(dict.fromkeys((*classes, *COOKED)))
        inside: tuple[str, ...] = ()
        if recipe is not None and entry.keeps_as is not None:
            # The class that is named is held against those of what is in it.
            inside = reader.facts.classes(None, recipe, uncooked=uncooked)
        return reader.facts.life(
            classes,
            entry.fridge_life,
            entry.life_source,
            own_risk=entry.own_risk,
            inside=inside,
        )


def unsaid(entry: BatchEntry, recipe: Recipe | None) -> bool:
    """Tell whether nothing says how long a batch keeps, nor what is in it.

    Parameters
    ----------
    entry
        What the file says of a batch.
    recipe
        What it is made of.

    Returns
    -------
    True where life, storage class and ingredients are all left out.

    Examples
    --------
    >>> four = {"yield": "4 portions"}
    >>> unsaid(BatchEntry.model_validate(four), None)
    True
    >>> unsaid(BatchEntry.model_validate({**four, "keeps_as": "soup"}), None)
    False
    """
    return entry.fridge_life is None and recipe is None and entry.keeps_as is None


def freezes_well(entry: BatchEntry, classes: tuple[str, ...]) -> bool:
    """Tell whether a batch freezes well: as the file says, or all that it keeps as does.

    Parameters
    ----------
    entry
        What the file says of a batch.
    classes
        Keys of `storage()` that it keeps as.

    Returns
    -------
    False where the file is silent and it is of no class.

    Examples
    --------
    >>> four = {"yield": "4 portions"}
    >>> freezes_well(BatchEntry.model_validate(four), ("cooked rice",))
    True
    >>> freezes_well(BatchEntry.model_validate({**four, "freezes": False}), ("cooked rice",))
    False
    """
    if entry.freezes is not None:
        return entry.freezes
    return bool(classes) and all(storage()[name].freezes_well for name in classes)


def freezer_takes(
    reader: FoodReader, name: str, entry: BatchEntry, count: int, classes: tuple[str, ...]
) -> int:
    """Count the portions that the freezer takes.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the batch.
    entry
        What the file says of it.
    count
        Whole portions of its yield.
    classes
        Keys of `storage()` that it keeps as.

    Returns
    -------
    Whole portions at the most; 0 where it does not freeze, or nobody asked.

    Raises
    ------
    InputError
        When the file wants some frozen of what does not freeze.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "freezer: 2, yield:")
    >>> every_fault("mine.yaml", text)[0].batches["rice and beans"].freezer
    2
    >>> week, _ = every_fault("mine.yaml", text.replace("freezer: 2", "freezes: yes"))
    >>> week.batches["rice and beans"].freezer
    6
    """
    asked = None if entry.freezer is None else entry.freezer[1]
    freezes = entry.freezes
    if freezes is None:
        if asked is None:
            # What nobody asked to freeze is not frozen.
            return 0
        freezes = all(storage()[class_name].freezes_well for class_name in classes)
    if freezes:
        return count if asked is None else asked
    if asked:
        raise reader.faults.at(
            ("batches", name, "freezer"),
            f"the freezer takes portions of {name!r}, but it does not freeze",
            "Write 'freezes: yes', or remove 'freezer'.",
        )
    return 0
