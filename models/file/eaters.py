"""The eaters of a week file made plain: what each needs, must not have and likes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from models.file.entries import DailyProtein, EaterEntry
from models.file.faults import Faults
from models.file.scalars import read_name
from models.foods.avoided import Avoided, avoided
from models.foods.food import Foods
from models.week.week import Batch, Bound, Eater, LarderItem
from models.words.document import Steps
from models.words.needs import LEAST_BODY_MASS, STANDARDS, Standard
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS, PROTEIN
from models.words.units import GRAM, Quantity, magnitude, quantity, sayable


@dataclass(frozen=True, slots=True)
class EaterReader:
    """Reads eaters.

    Attributes
    ----------
    dishes, boxes
        Names that an eater's entry may use.
    foods
        The foods of the tables and of the file.
    """

    faults: Faults
    foods: Foods
    dishes: Collection[str]
    boxes: Collection[str]
    batches: Mapping[str, Batch]
    larder: Mapping[str, LarderItem]

    def eater(self, name: str, entry: EaterEntry) -> Eater:
        """Make an eater of its entry.

        Parameters
        ----------
        name
            Of the eater.
        entry
            What the file says of the eater.

        Returns
        -------
        Bounds in the order of the file, those on each lunch first; the floor of a daily need is
        last.

        Raises
        ------
        InputError
            When a name means nothing, a floor is above its ceiling, or a figure is missing there.
        """
        path = ("eaters", name)
        if entry.box is not None:
            self.faults.look_up(entry.box, self.boxes, (*path, "box"), "box")
        for dish in entry.likes:
            self.faults.look_up(dish, self.dishes, (*path, "likes", dish), "dish")
        written = self.written(name)
        floors = _bounds(written, "floors", entry.floors, entry.week_floors)
        if entry.daily_protein is not None:
            if PROTEIN in entry.floors:
                raise self.faults.at(
                    (*path, "daily_protein"),
                    "there is a floor of protein as well as a daily need",
                    "Keep one of the two.",
                )
            floors.append(self.protein_floor(entry.daily_protein, (*path, "daily_protein")))
        ceilings = _bounds(written, "ceilings", entry.ceilings, entry.week_ceilings)
        for ceiling in ceilings:
            self.figures_known(ceiling.nutrient, path)
            for floor in floors:
                if (floor.nutrient, floor.weekly) == (ceiling.nutrient, ceiling.weekly):
                    self.above(floor, ceiling, path)
        avoided = self.avoided(entry.must_not.foods, (*path, "must_not", "foods"))
        return Eater(
            name=name,
            floors=tuple(floors),
            ceilings=tuple(ceilings),
            avoids_allergens=entry.must_not.allergens | avoided.allergens,
            avoids_foods=avoided.foods,
            diet=entry.must_not.diet or "",
            likes=entry.likes,
            box=entry.box,
        )

    def avoided(self, words: list[str], path: Steps) -> Avoided:
        """Read the foods that someone must not have.

        Parameters
        ----------
        words
            As written.
        path
            Keys that lead to them.

        Returns
        -------
        Allergens that are no foods, and what all others are called.

        Raises
        ------
        InputError
            When a word means no allergen, no family and no food.
        """
        things: list[Batch | LarderItem] = [*self.batches.values(), *self.larder.values()]
        names = {
            word for thing in things for word in (thing.name.casefold(), *thing.contents.foods)
        }
        with self.faults.placed(path):
            return avoided(words, self.foods, frozenset(names))

    def written(self, eater: str) -> Mapping[str, Any]:
        """Give an eater's entry as it stands in the file, where salt is not sodium yet.

        Parameters
        ----------
        eater
            Name of the eater.

        Returns
        -------
        Plain data, not to be changed.
        """
        data: Any = self.faults.document.data
        return next(entry for name, entry in data["eaters"].items() if read_name(name) == eater)

    def above(self, floor: Bound, ceiling: Bound, path: Steps) -> None:
        """Refuse a floor above its ceiling.

        Parameters
        ----------
        floor, ceiling
            Of one nutrient, both on a lunch or both on the week.
        path
            Keys that lead to the eater.

        Raises
        ------
        InputError
            When the floor is above the ceiling.
        """
        nutrient = NUTRIENTS[ceiling.nutrient]
        low, high = (magnitude(bound.amount, nutrient.unit) for bound in (floor, ceiling))
        if low > high:
            raise self.faults.at(
                path,
                f"the floor of {nutrient.name} ({plain(low)} {nutrient.symbol}) is above "
                f"its ceiling ({plain(high)} {nutrient.symbol})",
                "Lower the floor or raise the ceiling.",
            )

    def figures_known(self, nutrient: str, path: Steps) -> None:
        """Refuse a ceiling where a missing figure could hide an excess.

        Parameters
        ----------
        nutrient
            Tagname of the nutrient with a ceiling.
        path
            Keys that lead to the eater.

        Raises
        ------
        InputError
            When a batch or an item has no figure of it, or one that is only "at least".
        """
        foods: tuple[tuple[str, Mapping[str, Batch] | Mapping[str, LarderItem]], ...] = (
            ("batches", self.batches),
            ("larder", self.larder),
        )
        for where, things in foods:
            for name, food in things.items():
                if nutrient not in food.nutrition or nutrient in food.partial:
                    what = NUTRIENTS[nutrient].name
                    raise self.faults.at(
                        (where, name),
                        f"it gives no {what}, but {path[1]} has a ceiling on {what}",
                        self.figures_mend(where, name, nutrient),
                    )

    def figures_mend(self, where: str, name: str, nutrient: str) -> str:
        """Say how figures that are missing come in: from the table, or of which part they lack.

        Parameters
        ----------
        where, name
            "batches" or "larder", and which of them.
        nutrient
            Tagname of the nutrient.

        Returns
        -------
        A sentence, or two.
        """
        what = NUTRIENTS[nutrient].name
        figures = f"dd '{what}' under its nutrition (0 if there is none)."
        data: Any = self.faults.document.data
        entry = data[where].get(name, {})
        named = self.foods.exact(name) if where == "larder" else None
        if named is not None and not entry.keys() & {"food", "ingredients", "nutrition"}:
            return f"Write 'food: {name}' in it, for the figures of {named.name}, or a{figures}"
        thing = self.batches.get(name) if where == "batches" else self.larder.get(name)
        foods = () if thing is None or thing.recipe is None else thing.recipe.foods
        lacking = [food.name for food in foods if food.nutrients.get(nutrient) is None]
        if lacking:
            return f"The table has none for {', '.join(dict.fromkeys(lacking))}: a{figures}"
        return f"A{figures}"

    def protein_floor(self, entry: DailyProtein, path: Steps) -> Bound:
        """Work out the floor of protein that a daily need comes to.

        Parameters
        ----------
        entry
            The daily need, said one way.
        path
            Keys that lead to it.

        Returns
        -------
        In g for each lunch, with what it is worked out from: a standard and its source, or one's
        own.

        Raises
        ------
        InputError
            When it is said two ways or not in full, or body mass or need are out of range.
        """
        ways = [way for way in (entry.standard, entry.need, entry.need_per_kg) if way is not None]
        of_range = entry.standard is not None and entry.need is None
        if len(ways) != 1 and not of_range:
            raise self.faults.at(
                path,
                "say the daily need one way",
                "Give 'standard', 'need' or 'need_per_kg', just one of them.",
            )
        if entry.need is not None:
            daily, source = entry.need, f"{sayable(entry.need)} a day"
        else:
            daily, source = self._per_mass(entry, path)
        share = entry.lunch_share
        note = f"{source}, of which lunch carries {plain(share * 100)} %"
        if entry.standard is not None and STANDARDS[entry.standard].ask:
            note += f"; {STANDARDS[entry.standard].ask} first"
        return Bound(PROTEIN, daily * share, weekly=False, note=note)

    def _per_mass(self, entry: DailyProtein, path: Steps) -> tuple[Quantity, str]:
        if entry.body_mass is None:
            mend = "Add it, as in 'body_mass: 64 kg'."
            raise self.faults.at(path, "'body_mass' is missing", mend, missing="body_mass")
        kilos = magnitude(entry.body_mass, "kilogram")
        if kilos < LEAST_BODY_MASS:
            raise self.faults.at(
                (*path, "body_mass"),
                f"{plain(kilos)} kg is too little for a need worked out for adults",
                "Ask a dietitian or a doctor, and write the need that they give: 'need: 30 g'.",
            )
        if entry.standard is None:
            per_kilo, more = magnitude(entry.need_per_kg or quantity(0, GRAM), GRAM), Decimal(0)
            origin = f"{plain(per_kilo, 2)} g per kg and day"
        else:
            self.faults.look_up(entry.standard, STANDARDS, (*path, "standard"), "standard")
            per_kilo, origin = self._of_standard(entry, STANDARDS[entry.standard], path)
            more = STANDARDS[entry.standard].more
        return quantity(per_kilo * kilos + more, GRAM), f"{origin}, {plain(kilos)} kg"

    def _of_standard(
        self, entry: DailyProtein, standard: Standard, path: Steps
    ) -> tuple[Decimal, str]:
        """Work out the figure that is taken of a standard, per kg, and name it."""
        low, high = standard.per_kilo, standard.upper or standard.per_kilo
        if entry.need_per_kg is None:
            taken = f"; the lower end, {low} g, is taken" if standard.upper else ""
            return low, f"{standard.source}{taken}"
        own = magnitude(entry.need_per_kg, GRAM)
        if standard.upper is None:
            raise self.faults.at(
                path,
                "say the daily need one way",
                "Give 'standard', 'need' or 'need_per_kg', just one of them.",
            )
        if not low <= own <= high:
            raise self.faults.at(
                (*path, "need_per_kg"),
                f"{plain(own, 2)} g per kg is outside {standard.figure} ({standard.publisher})",
                "Write a figure inside, or leave 'standard' out and state your own.",
            )
        return own, f"{standard.source}; {plain(own, 2)} g is taken"


def _bounds(
    written: Mapping[str, Any],
    what: str,
    each: Mapping[str, Quantity],
    over_week: Mapping[str, Quantity],
) -> list[Bound]:
    """Give the bounds on each lunch, then those on the week; `written` is the eater's entry."""
    bounds = []
    for key, amounts in ((what, each), (f"week_{what}", over_week)):
        salt = any(name.casefold() == "salt" for name in written.get(key, {}))
        for nutrient, amount in amounts.items():
            weekly = key != what
            bounds.append(Bound(nutrient, amount, weekly, as_salt=salt and nutrient == "NA"))
    return bounds
