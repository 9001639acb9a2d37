"""What has to stay cold until it is eaten, as its class or its label says."""

from __future__ import annotations

from models.file.food.shared import FoodReader
from models.file.food_entries import BatchEntry, ItemEntry
from models.foods.storage import (
    Storage,
)
from models.words.document import Steps


def warm_risk(
    reader: FoodReader, entry: BatchEntry | ItemEntry, kept: list[Storage], path: Steps
) -> str:
    """Name the class that keeps cold what the file does not; empty where none does.

    Refuses it, unless the user takes the risk.

    Parameters
    ----------
    reader
        File and tables.
    entry
        What the file says of a batch or an item.
    kept
        Classes that it keeps as.
    path
        Keys that lead to it.

    Returns
    -------
    The class, and who says that it stays cold.

    Raises
    ------
    InputError
        When the user does not take the risk.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "chilled: no, yield:")
    >>> [fault.what.split(" (")[0] for fault in every_fault("mine.yaml", text)[1]]
    ['what keeps as leftovers, plant has to stay cold until it is eaten']
    >>> week, _ = every_fault("mine.yaml", text.replace("yield:", "own_risk: yes, yield:"))
    >>> week.batches["rice and beans"].warm_risk.split(":")[0]
    'leftovers, plant stays cold'
    """
    cold = next((storage_class for storage_class in kept if storage_class.cold), None)
    if cold is None or entry.chilled is not False:
        return ""
    if not entry.own_risk:
        raise reader.faults.at(
            (*path, "chilled"),
            f"what keeps as {cold.name} has to stay cold until it is eaten ({cold.cold_source})",
            "Write 'chilled: yes', or add 'own_risk: yes'; every sheet will say so.",
        )
    return f"{cold.name} stays cold: {cold.cold_source}"


def stays_cold(reader: FoodReader, name: str, entry: ItemEntry, kept: list[Storage]) -> bool:
    """Tell whether a larder item has to stay cold, as its class or its label says.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of the item.
    entry
        What the file says of it.
    kept
        Classes that it keeps as.

    Returns
    -------
    As the file says; else True where one of the classes is cold.

    Raises
    ------
    InputError
        When neither file nor class says it.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("cheddar", "tofu").replace("milk", "soya")
    >>> week, _ = every_fault("mine.yaml", text.replace("chilled: yes, ", ""))
    >>> {item.recipe.foods[0].name: item.chilled for item in week.larder.values()}
    {'tofu, regular, set with calcium sulphate': True, 'apple, raw, with skin': False}
    """
    if entry.chilled is not None:
        return entry.chilled
    if kept:
        return any(storage_class.cold for storage_class in kept)
    named = None if entry.food or entry.nutrition else reader.facts.foods.exact(name)
    of_table = f"Write 'food: {name}' in it, if it is {named.name}. Or w" if named else "W"
    raise reader.faults.at(
        ("larder", name),
        f"{name!r} says neither what it keeps as nor whether it has to stay cold",
        f"{of_table}rite 'chilled: yes', or 'chilled: no' where its label lets it stand "
        "outside the fridge once opened; or name its storage class, as 'keeps_as: bread'.",
    )
