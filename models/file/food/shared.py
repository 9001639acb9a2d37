"""What every room that reads the food of a week file has at hand, and does alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from models.file.entries import WeekFile
from models.file.faults import Faults
from models.file.food_entries import BatchEntry, IngredientEntry, ItemEntry
from models.foods.facts import (
    Facts,
    RecipeLine,
)
from models.foods.parts import Contents
from models.foods.recipe import Recipe
from models.words.document import Steps
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS
from models.words.units import (
    GRAM,
    MILLILITRE,
    Quantity,
    magnitude,
    quantity,
    sayable,
)

MILLIGRAM = Decimal("0.001")
LEAST_ROOM = Decimal("0.6")
"""Millilitres that a gram takes at the least: honey, among the densest of foods, takes 0.7 (USDA
SR28 19296, 339 g a cup); common practice, no source."""


@dataclass(frozen=True, slots=True)
class FoodReader:
    """What is read from: the file and the tables; what is cooked, bought and added by them.

    Attributes
    ----------
    facts
        The tables as the file uses them.
    days
        The days of the week that have lunches.
    """

    faults: Faults
    entry: WeekFile
    facts: Facts
    days: tuple[date, ...]

    def recipe(self, entries: Sequence[IngredientEntry] | None, path: Steps) -> Recipe | None:
        """Read ingredients; None where there are none.

        Parameters
        ----------
        entries
            Lines as the file has them.
        path
            Keys that lead to what is made of them.

        Returns
        -------
        Lines in g, in the order of the file, with what they cost as far as known.

        Raises
        ------
        InputError
            When a line cannot be read, with the line.
        """
        if entries is None:
            return None
        lines = [
            RecipeLine(
                what=line.what,
                refuse=line.refuse,
                drained=line.drained,
                allergens=line.allergens,
                free_of=line.free_of,
                suits=line.suits,
                ready=line.ready_to_eat,
            )
            for line in entries
        ]
        with self.faults.placed((*path, "ingredients")):
            return self.facts.recipe(lines)

    def contents(
        self, recipe: Recipe | None, entry: BatchEntry | ItemEntry, path: Steps
    ) -> Contents:
        """Gather what is in a food for those who must not have something.

        Parameters
        ----------
        recipe
            What it is made of; None where that is not said.
        entry
            What the file says of it.
        path
            Keys that lead to it.

        Returns
        -------
        Its `allergens` are None where nobody has settled them, or a line of it is not read yet.

        Raises
        ------
        InputError
            When the file leaves out an allergen or a food that a part of it is.
        """
        with self.faults.placed(path):
            contents = self.facts.contents(
                recipe, entry.allergens, entry.foods, entry.free_of, entry.suits
            )
        if isinstance(entry, BatchEntry) and entry.not_read and entry.allergens is None:
            unsettled = (*contents.unsettled, *entry.not_read)
            return replace(contents, allergens=None, unsettled=unsettled, told=False)
        return contents

    def roomy(
        self, room: Quantity | None, mass: Quantity | None, number: Decimal, path: Steps, key: str
    ) -> None:
        """Refuse room that a number of pieces of a mass cannot go into, however dense they are.

        Parameters
        ----------
        room
            Room that is stated for one; None where it is not.
        mass
            Of a piece or a portion; None where it is not known.
        number
            How many of that mass the room is for.
        path, key
            Keys that lead to it, and the key that states the mass.

        Raises
        ------
        InputError
            When a gram would have less than `LEAST_ROOM` mL.
        """
        if room is None or mass is None:
            return
        grams = number * magnitude(mass, GRAM)
        if magnitude(room, MILLILITRE) >= grams * LEAST_ROOM:
            return
        raise self.faults.at(
            (*path, "room"),
            f"{plain(grams, 1)} g never go into {sayable(room)}",
            f"Write 'room: {max(1, round(grams))} mL' (a gram takes about 1 mL, never less than "
            f"{LEAST_ROOM}), or mend {key!r}; leave 'room' out for what travels beside the box.",
        )


def to_milligram(mass: Quantity) -> Quantity:
    """Round a mass to whole milligrams, and to no less than one.

    Parameters
    ----------
    mass
        0 g or more, in any unit of mass.

    Returns
    -------
    In g, three decimals, 0.001 g or more.

    Examples
    --------
    >>> sayable(to_milligram(quantity(Decimal("0.0333333"), "kilogram")))
    '33.3 g'
    >>> magnitude(to_milligram(quantity(0, GRAM)), GRAM)
    Decimal('0.001')
    """
    return quantity(max(MILLIGRAM, round(magnitude(mass, GRAM), 3)), GRAM)


def sources(entry: BatchEntry | ItemEntry, recipe: Recipe | None) -> str:
    """Name where the figures of a food are from: the tables, the file, or both.

    Parameters
    ----------
    entry
        What the file says of the food.
    recipe
        What it is made of; None where that is not said.

    Returns
    -------
    A phrase; "not stated" where there are no figures.

    Examples
    --------
    >>> cheese = {"pack": "200 g", "nutrition": {"protein": "25 g"}}
    >>> sources(ItemEntry.model_validate({**cheese, "nutrition_source": "its label"}), None)
    'its label'
    >>> sources(ItemEntry.model_validate({"pack": "200 g"}), None)
    'not stated'
    """
    if recipe is None and not entry.nutrition:
        return "not stated"
    if recipe is None:
        return entry.nutrition_source
    stated = ", ".join(NUTRIENTS[tag].name for tag in entry.nutrition)
    source = f"{recipe.source}; {stated}: {entry.nutrition_source}"
    return source if stated else recipe.source
