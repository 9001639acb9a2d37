"""What is there already, by larder item or by food of the table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from models.file.food.shared import FoodReader
from models.file.food_entries import HeldEntry
from models.foods.food import Food
from models.week.week import LarderItem, Shelved
from models.words.units import (
    fits,
    magnitude,
    parse,
)


def in_the_cupboard(
    reader: FoodReader, name: str, entries: Sequence[HeldEntry], larder: Mapping[str, LarderItem]
) -> tuple[str, tuple[Shelved, ...]]:
    """Read how much of something is there already.

    Parameters
    ----------
    reader
        File and tables.
    name
        Of a larder item or of a food, as written.
    entries
        What is there, each with its own date.
    larder
        All items, by name.

    Returns
    -------
    The larder item with what is there of it in its own unit, or else the food of the table
    with its grams.

    Raises
    ------
    InputError
        When it is no item and no food, or an amount is in no unit of it.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal") + "cupboard: {apple: 2 pieces}")
    >>> [(name, shelved[0].amount) for name, shelved in week.cupboard.items()]
    [('apple', Decimal('2'))]
    """
    item = larder.get(name)
    with reader.faults.placed(("cupboard", name)):
        food = reader.facts.foods.find(name) if item is None else None
    held = [
        Shelved(_amount_held(reader, name, entry.amount, item, food), entry.use_by)
        for entry in entries
    ]
    return name if food is None else food.name, tuple(held)


def _amount_held(
    reader: FoodReader, name: str, amount: str, item: LarderItem | None, food: Food | None
) -> Decimal | None:
    """Read one amount of what is there; None for plenty."""
    if amount.casefold() == "plenty":
        return None
    if food is not None:
        with reader.faults.placed(("cupboard", name)):
            return reader.facts.weigh(amount, food)
    if item is None:  # pragma: no cover - what is neither is refused before
        raise ValueError(f"{name} is neither an item nor a food")
    try:
        held = parse(amount)
    except ValueError:
        held = None
    if held is None or not fits(held, item.unit):
        raise reader.faults.at(
            ("cupboard", name),
            f"{amount!r} is no amount of it",
            f"Write it in {item.unit}s, or: plenty.",
        )
    return magnitude(held, item.unit)
