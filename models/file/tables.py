"""The food tables as one week file uses them: with its own foods, its prices, its guidance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from models.file.entries import WeekFile
from models.file.faults import Faults
from models.file.food_entries import FoodEntry
from models.foods.facts import (
    Facts,
    FoodPack,
    food_packs,
    within_a_week,
)
from models.foods.families import read_cell
from models.foods.food import Food, Foods, builtin
from models.foods.own_table import MOST
from models.words.document import Steps
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS
from models.words.units import (
    GRAM,
    Quantity,
    magnitude,
)


@dataclass(frozen=True, slots=True)
class TableReader:
    """Reads own foods and prices of a week file; `tables` gives the tables with them."""

    faults: Faults
    entry: WeekFile

    def tables(self, own: Iterable[Food]) -> tuple[Facts, Mapping[str, tuple[FoodPack, ...]]]:
        """Gather the tables with the file's guidance, cups, prices and own foods, and the packs.

        Parameters
        ----------
        own
            Foods of the user's own tables.

        Returns
        -------
        The tables, with prices for 1 g as eaten; and by food the packs that it is sold in.

        Raises
        ------
        InputError
            When whose fridge lives hold is not said, or a food or a price cannot be.
        """
        week = self.entry.week
        if week.guidance is None and self.entry.batches:
            raise self.faults.at(
                ("week",),
                "it does not say whose fridge lives the dates follow",
                "Write 'guidance: us' under 'week', or uk, or strictest: whom you follow where "
                "you cook. It is never assumed.",
                hangs_on="guidance",
            )
        mine = [*own, *(self.own_food(name, entry) for name, entry in self.entry.foods.items())]
        foods = Foods(mine, self.region) if mine else builtin(self.region)
        packs: dict[str, tuple[FoodPack, ...]] = {}
        sold_as: dict[str, Food] = {}
        for name, sold in self.entry.prices.items():
            path = ("prices", name)
            with self.faults.placed(path):
                food = foods.find(name)
                content = [(pack.pack, pack.price) for pack in sold]
                sizes = food_packs(food, content, week.cups, self.region)
            if food.name in packs:
                raise self.faults.at(
                    path,
                    f"{food.name!r} has a price already",
                    "Name it once; list its packs there.",
                )
            packs[food.name], sold_as[food.name] = sizes, food
        prices = {
            name: min(pack.price / pack.edible for pack in sizes) for name, sizes in packs.items()
        }
        facts = Facts(foods, week.cups, week.guidance or "", prices, week.pick)
        return facts, {
            name: tuple(replace(pack, keeps=within_a_week(days), keeps_days=days) for pack in sizes)
            for name, sizes in packs.items()
            for days in [facts.rest_keeps(sold_as[name])]
        }

    @property
    def region(self) -> str:
        """Whose tins, eggs and names are meant: where the guidance is from, else by the cups."""
        week = self.entry.week
        if week.guidance in ("us", "uk"):
            return week.guidance
        return "us" if week.cups in ("us", "label") else "uk"

    def own_food(self, name: str, entry: FoodEntry) -> Food:
        """Make a food of the user's own of its entry.

        Parameters
        ----------
        name
            What the file calls it.
        entry
            What it says of it; figures are for 100 g.

        Returns
        -------
        As a food of the table.

        Raises
        ------
        InputError
            When it holds more than 100 g can, or keeps as what there is not.
        """
        path = ("foods", name)
        with self.faults.placed(path):
            kept = "" if entry.keeps_as is None else Facts.kept(entry.keeps_as).name
        self.holdable(entry.nutrition, (*path, "nutrition"))
        return own_food(name, entry, kept)

    def holdable(self, nutrition: Mapping[str, Quantity], path: Steps) -> None:
        """Refuse figures that 100 g of food cannot hold.

        Parameters
        ----------
        nutrition
            By tagname, what 100 g hold.
        path
            Keys that lead to the figures.

        Raises
        ------
        InputError
            When one figure, or starch, protein and fat together, are more than can be.
        """
        known = {tag: magnitude(held, NUTRIENTS[tag].unit) for tag, held in nutrition.items()}
        mend = "State what 100 g of it hold, as the label does."
        for tag, most in {**MOST, "CHOAVL": 100}.items():
            if known.get(tag, Decimal(0)) > most:
                name = NUTRIENTS[tag].name
                what = f"100 g cannot hold so much {name} (at most {most})"
                raise self.faults.at(path, what, mend)
        starch = max(known.get("CHOAVL", Decimal(0)), known.get("CHOCDF", Decimal(0)))
        total = starch + known.get("PROCNT", Decimal(0)) + known.get("FAT", Decimal(0))
        if total > 105:
            raise self.faults.at(path, f"these come to {plain(total)} g in 100 g", mend)


def own_food(name: str, entry: FoodEntry, storage_class: str) -> Food:
    """Make a food of the table from what a week file says of one.

    Parameters
    ----------
    name
        What the file calls it.
    entry
        What it says of it; figures are for 100 g.
    storage_class
        The class it keeps as, or empty.

    Returns
    -------
    Figures for 100 g as eaten, in the nutrients' own units; masses in g, shares in percent.

    Examples
    --------
    >>> entry = FoodEntry.model_validate({"nutrition": {"protein": "10.5 g"}})
    >>> own_food("oat cakes", entry, "").nutrients["PROCNT"]
    Decimal('10.5')
    """
    return Food(
        name=name,
        aliases=tuple(entry.also),
        group=entry.group,
        shop=entry.shop,
        state=entry.state,
        source=entry.source,
        source_id=entry.source_id,
        nutrients={
            tag: magnitude(amount, NUTRIENTS[tag].unit) for tag, amount in entry.nutrition.items()
        },
        measures={key: magnitude(mass, GRAM) for key, mass in entry.measures.items()},
        density=entry.density,
        refuse=None if entry.refuse is None else entry.refuse * 100,
        allergens=entry.allergens or frozenset(),
        check_label=entry.check_label,
        allergens_known=entry.allergens is not None,
        storage=storage_class,
        note="",
        water=None if entry.water is None else entry.water * 100,
        cereals=frozenset(entry.cereals),
        stated=None if entry.families is None else read_cell(";".join(entry.families)),
    )
