"""The food of a week file: batches and larder items made plain, by the file and the tables.

Where the file says what a batch is made of, the tables say the rest; where it states a
figure itself, that figure holds. Faults are told with the line they are on.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import chain, count

from models.file.entries import DishEntry, WeekFile
from models.file.faults import Faults
from models.file.food_entries import BatchEntry, HeldEntry, IngredientEntry, ItemEntry
from models.file.kitchen import steps_of
from models.foods.facts import (
    Facts,
    FridgeLife,
    Pack,
    RecipeLine,
    Unclear,
    mass_of_one,
    no_figure,
)
from models.foods.food import Food
from models.foods.parts import Contents, as_called
from models.foods.raw import MustCook, named_raw, raw_kind, to_cook
from models.foods.recipe import Cooked, Ingredient, Recipe, cooked, hundred
from models.foods.storage import (
    LEFTOVERS,
    Storage,
    caution_keys,
    months_frozen,
    storage,
    watched,
)
from models.week.cook import cooked_in, payable
from models.week.kitchen import Step
from models.week.week import Batch, Helping, LarderItem, Shelved, Sizes, Texture
from models.words.days import DAY_NAMES
from models.words.document import Steps
from models.words.names import plain_name, words
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS
from models.words.units import (
    GRAM,
    MILLILITRE,
    PIECE,
    PORTION,
    Quantity,
    fits,
    magnitude,
    parse,
    quantity,
    sayable,
)

MOST_PORTIONS = 2_000
LONGEST_AGO, LONGEST_FROZEN = 60, 730
"""Days before a week that a batch is made at the most; one of an earlier week."""
USUAL = {PIECE: 50, PORTION: 250}
"""Grams of a piece and of a portion of which nobody said more: common practice, no source."""
COOKED = ("cooked rice", LEFTOVERS, "cooked shellfish")
"""What a batch of which nobody said anything may hold: the shortest of their lives is taken."""
MILLIGRAM = Decimal("0.001")
LEAST_ROOM = Decimal("0.6")
"""Millilitres that a gram takes at the least: honey, among the densest of foods, takes 0.7 (USDA
SR28 19296, 339 g a cup); common practice, no source."""


@dataclass(frozen=True, slots=True)
class Loose:
    """What dishes list of the food table: weighed out, with no pack of its own.

    Attributes
    ----------
    items
        A larder item for each food, by a name that no other item has.
    recipes, helpings
        By dish: its ingredients as a recipe, and the same as helpings of those items.
    """

    items: Mapping[str, LarderItem]
    recipes: Mapping[str, Recipe]
    helpings: Mapping[str, tuple[Helping, ...]]


@dataclass(frozen=True, slots=True)
class FoodReader:
    """Reads what is cooked, what is bought and what dishes add, by the tables.

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

    # -- what all food shares ---------------------------------------------------

    def recipe(self, entries: Sequence[IngredientEntry] | None, path: Steps) -> Recipe | None:
        """Read ingredients; None where there are none."""
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
        """Gather what is in a food for those who must not have something."""
        with self.faults.placed(path):
            contents = self.facts.contents(
                recipe, entry.allergens, entry.foods, entry.free_of, entry.suits
            )
        if isinstance(entry, BatchEntry) and entry.not_read and entry.allergens is None:
            unsettled = (*contents.unsettled, *entry.not_read)
            return replace(contents, allergens=None, unsettled=unsettled, told=False)
        return contents

    # -- batches ----------------------------------------------------------------

    def batch(self, name: str, entry: BatchEntry) -> Batch:
        """Make a batch of its entry."""
        path = ("batches", name)
        self.dates(name, entry)
        recipe = self.recipe(entry.ingredients, path)
        whole = self.portions(name, entry, "yield", entry.yield_)
        portion, weighs, weighed = self.portion(name, entry, whole, recipe)
        # Room is not held against a mass that is only the usual one.
        usual = entry.portion is None and recipe is None
        self.roomy(entry.room, None if usual else portion, Decimal(1), path, "portion")
        nutrition, partial = self.portion_nutrition(entry, recipe, whole)
        steps = self.steps(name, entry)
        self.is_cooked(steps, recipe, path)
        self.keeps_raw(entry, steps, recipe, path)
        life = self.life(entry, recipe, path, uncooked=_is_uncooked(steps))
        cost, unpriced = _batch_cost(name, entry, recipe)
        batch = Batch(
            name=name,
            made=self.made(entry),
            portions=whole,
            pieces=fits(entry.yield_, PIECE),
            portion=portion,
            nutrition=nutrition,
            nutrition_source=_sources(entry, recipe),
            cost=payable(cost),
            life=life,
            freezer=self.freezer(name, entry, whole, life.classes),
            freezer_takes_all=entry.freezes is True and entry.freezer is None,
            earlier=entry.earlier,
            freezer_months=_months(entry, life.classes),
            texture=entry.texture,
            room=entry.room,
            contents=self.contents(recipe, entry, path),
            chilled=entry.chilled,
            warm_risk=self.warm_risk(entry, [storage()[name] for name in life.classes], path),
            portion_source=weighed,
            recipe_source=entry.source,
            partial=partial,
            unpriced=unpriced,
            recipe=recipe,
            cautions=caution_keys(life.classes, recipe.foods if recipe is not None else ()),
            exact_cost=cost,
            weighs=weighs,
            sizes=self.sizes(name, entry, whole),
            steps=steps,
            limits=entry.given(),
        )
        return self.as_cooked(batch, entry)

    def portion_nutrition(
        self, entry: BatchEntry, recipe: Recipe | None, whole: int
    ) -> tuple[Mapping[str, Quantity], frozenset[str]]:
        """Work out what a portion holds, and of which nutrients it is an "at least"."""
        stated, partial = self.facts.stated(entry.nutrition), frozenset[str]()
        if recipe is None:
            nutrition = stated
        else:
            nutrition, partial = self.facts.nutrition(recipe, Decimal(1) / whole, stated)
        if entry.not_read:
            # A line that could not be read may hold more of all but what the file states.
            partial = frozenset(nutrition) - frozenset(entry.nutrition)
        return nutrition, partial

    def as_cooked(self, batch: Batch, entry: BatchEntry) -> Batch:
        """Cook as many portions as the file says; set apart what is frozen and what is gone."""
        if entry.cook is not None:
            batch = cooked_in(batch, self.portions(batch.name, entry, "cook", entry.cook))
        if entry.earlier:
            frozen = 0 if entry.frozen is None else entry.frozen[1]
            return self.earlier(batch, frozen, entry.gone[1])
        return replace(
            batch,
            frozen=None if entry.frozen is None else self.frozen(batch, entry.frozen[1]),
            gone=self.gone(batch, entry.gone[1]),
        )

    def earlier(self, batch: Batch, frozen: int, gone: int) -> Batch:
        """Say what is left of a batch of an earlier week: what is frozen, what is still good."""
        path = ("batches", batch.name)
        why = ""
        if batch.made >= self.days[0]:
            why = f"this one begins on {self.days[0]}"
        elif self.entry.batches[batch.name].made is None:
            why = "when it was made is not said"
        if why:
            raise self.faults.at(
                (*path, "earlier"),
                f"{batch.name!r} is of an earlier week, and {why}",
                "Write under 'made' the date that is on its label.",
            )
        if self.gone(batch, gone) + frozen > batch.portions:
            raise self.faults.at(
                (*path, "frozen"),
                f"{frozen} are frozen and {gone} gone, and there were {batch.portions} of "
                f"{batch.name!r}",
                "Mend 'frozen' or 'gone'.",
            )
        if batch.use_by < self.days[0]:
            # What was kept in the fridge is past its date.
            gone = batch.portions - frozen
        # What is in the freezer has its room there.
        room = 0 if self.entry.batches[batch.name].freezes is False else frozen
        batch = replace(batch, freezer=room, freezer_takes_all=False, gone=gone, whole=None)
        return replace(batch, frozen=self.frozen(batch, frozen))

    def steps(self, name: str, entry: BatchEntry) -> tuple[Step, ...]:
        """Read how a batch is cooked."""
        with self.faults.placed(("batches", name, "steps")):
            return steps_of(entry.steps, self.entry.kitchen)

    def is_cooked(self, steps: Sequence[Step], recipe: Recipe | None, path: Steps) -> None:
        """Refuse steps none of which cooks what may not be eaten raw."""
        if recipe is None or not _is_uncooked(steps):
            return
        for line in recipe.ingredients:
            why = to_cook(line, self.facts.guidance)
            if why is not None:
                raise self.faults.at(
                    (*path, "steps"),
                    f"no step cooks, and {line.text!r} is {why.kind}, which has to be cooked "
                    f"before it is eaten ({why.source})",
                    "Add the step that cooks it, as '- {do: bake until done, lasts: 25 min, "
                    f"hands: no, oven: 200 °C}}'{_or_label(why)}.",
                )

    def keeps_raw(
        self, entry: BatchEntry, steps: Sequence[Step], recipe: Recipe | None, path: Steps
    ) -> None:
        """Refuse to look up how long raw meat or fish keeps that nobody cooks."""
        if recipe is None or not _is_uncooked(steps):
            return
        lines = (line for line in recipe.ingredients if raw_kind(line.food) in _EATEN_RAW)
        raw = next((line.text for line in lines), None)
        if raw is None or entry.own_risk:
            return
        if entry.fridge_life is None or entry.fridge_life[1] > 1:
            raise self.faults.at(
                (*path, "fridge_life"),
                f"no step cooks {raw!r}, and nobody publishes that such food keeps longer than "
                "the day after",
                "Write 'fridge_life: 1', or add a step that cooks it; or take 'own_risk: yes'.",
            )

    def never_raw(self, lines: Sequence[Ingredient], path: Steps) -> None:
        """Refuse what goes in as it is and must not be eaten so."""
        for line in lines:
            self.no_raw(line.food.name, to_cook(line, self.facts.guidance), path)

    def no_raw(self, name: str, why: MustCook | None, path: Steps) -> None:
        """Refuse a food for why it has to be cooked, if it has to be."""
        if why is not None:
            raise self.faults.at(
                path,
                f"{name!r} is {why.kind}, which has to be cooked before it is eaten ({why.source})",
                "Cook it: list it under 'ingredients' of a batch. Or name it as it is eaten, "
                f"as boiled, smoked or tinned{_or_label(why)}.",
            )

    def warm_risk(self, entry: BatchEntry | ItemEntry, kept: list[Storage], path: Steps) -> str:
        """Name the class that keeps cold what the file does not; empty where none does.

        Refuses it, unless the user takes the risk.
        """
        cold = next((storage_class for storage_class in kept if storage_class.cold), None)
        if cold is None or entry.chilled is not False:
            return ""
        if not entry.own_risk:
            raise self.faults.at(
                (*path, "chilled"),
                f"what keeps as {cold.name} has to stay cold until it is eaten "
                f"({cold.cold_source})",
                "Write 'chilled: yes', or add 'own_risk: yes'; every paper will say so.",
            )
        return f"{cold.name} stays cold: {cold.cold_source}"

    def sizes(self, name: str, entry: BatchEntry, whole: int) -> Sizes | None:
        """Read how much of a batch may be cooked."""
        wanted = entry.sizes
        if wanted is None:
            return None
        path = ("batches", name, "sizes")
        # Each is read as a range of which the outer end counts.
        by = 1 if wanted.by is None else wanted.by[1]
        half_rounded_up = (whole + 1) // 2
        least = max(1, half_rounded_up if wanted.least is None else wanted.least[0])
        most = self.few_enough(2 * whole if wanted.most is None else wanted.most[1], path)
        if by < 1 or most - most % by < least:
            raise self.faults.at(
                path, f"no multiple of {by} lies between {least} and {most}", "Widen the sizes."
            )
        names = {line.what for line in entry.ingredients or ()}
        split = frozenset(plain_name(ingredient) for ingredient in wanted.split)
        for at, ingredient in enumerate(wanted.split):
            if ingredient != "all" and not any(words(ingredient) <= words(what) for what in names):
                raise self.faults.at(
                    (*path, "split", at),
                    f"no ingredient of {name!r} is {ingredient!r}",
                    "Name one as its line does, or write: all.",
                )
        return Sizes(least, most, by, None if "all" in wanted.split else split, stated=True)

    def frozen(self, batch: Batch, frozen: int) -> int:
        """Refuse that more was frozen than the freezer takes."""
        if frozen > batch.freezer:
            raise self.faults.at(
                ("batches", batch.name, "frozen"),
                f"{frozen} were frozen, and the freezer takes {batch.freezer} of {batch.name!r}",
                "Mend 'frozen', or 'freezes' and 'freezer'.",
            )
        return frozen

    def gone(self, batch: Batch, gone: int) -> int:
        """Refuse that more is gone than there was."""
        if gone > batch.portions:
            raise self.faults.at(
                ("batches", batch.name, "gone"),
                f"{gone} are gone, and there were {batch.portions} of {batch.name!r}",
                "Mend 'gone'.",
            )
        return gone

    def made(self, entry: BatchEntry) -> date:
        """Read the date a batch is made: where nobody said, the day before the week.

        A day of the week is the one on which it can still be packed, else the last before it.
        """
        before = self.days[0] - timedelta(days=1)
        if entry.made is None:
            return before
        if isinstance(entry.made, date):
            return entry.made
        length = (self.days[-1] - self.days[0]).days
        within = (self.days[0] + timedelta(days=ahead) for ahead in range(length))
        earlier = (before - timedelta(days=back) for back in range(7))
        return next(day for day in (*within, *earlier) if DAY_NAMES[day.weekday()] == entry.made)

    def dates(self, name: str, entry: BatchEntry) -> None:
        """Refuse a batch that is made too late or too long ago."""
        path, made = ("batches", name), self.made(entry)
        if made >= self.days[-1]:
            raise self.faults.at(
                (*path, "made"),
                f"{name!r} is made on {made}, too late for the last lunch on {self.days[-1]}",
                "A batch is packed from the day after it is made; mend the date.",
            )
        if (self.days[0] - made).days > (LONGEST_FROZEN if entry.earlier else LONGEST_AGO):
            raise self.faults.at(
                (*path, "made"),
                f"{name!r} is made {(self.days[0] - made).days} days before the week",
                "Mend the date of the batch or of the week.",
            )

    def life(
        self, entry: BatchEntry, recipe: Recipe | None, path: Steps, *, uncooked: bool
    ) -> FridgeLife:
        """Work out how long a batch keeps, looked up or stated."""
        with self.faults.placed(path):
            classes = self.facts.classes(entry.keeps_as, recipe, uncooked=uncooked)
            if self.unsaid(entry, recipe):
                classes = COOKED
            elif entry.not_read:
                classes = tuple(dict.fromkeys((*classes, *COOKED)))
            inside: tuple[str, ...] = ()
            if recipe is not None and entry.keeps_as is not None:
                # The class that is named is held against those of what is in it.
                inside = self.facts.classes(None, recipe, uncooked=uncooked)
            return self.facts.life(
                classes,
                entry.fridge_life,
                entry.life_source,
                own_risk=entry.own_risk,
                inside=inside,
            )

    @staticmethod
    def unsaid(entry: BatchEntry, recipe: Recipe | None) -> bool:
        """Tell whether nothing says how long a batch keeps."""
        return entry.fridge_life is None and recipe is None and entry.keeps_as is None

    def freezer(self, name: str, entry: BatchEntry, count: int, classes: tuple[str, ...]) -> int:
        """Count the portions that the freezer takes."""
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
            raise self.faults.at(
                ("batches", name, "freezer"),
                f"the freezer takes portions of {name!r}, but it does not freeze",
                "Write 'freezes: yes', or remove 'freezer'.",
            )
        return 0

    def portion(
        self, name: str, entry: BatchEntry, count: int, recipe: Recipe | None
    ) -> tuple[Quantity, Cooked | None, str]:
        """Work out the mass of a portion; where nobody stated it, of what and how it was got."""
        weighs = None if recipe is None else cooked(recipe)
        if entry.portion is not None:
            mass = _to_milligram(entry.portion)
            if weighs is not None:
                self.possible(name, count * magnitude(mass, GRAM), weighs.least, weighs.most)
            return mass, None, ""
        if weighs is not None:
            mass = _to_milligram(quantity(weighs.grams / count, GRAM))
            return mass, weighs, weighs.describe(Decimal(1))
        unit = PIECE if fits(entry.yield_, PIECE) else PORTION
        mass = quantity(USUAL[unit], GRAM)
        source = f"not known: {sayable(mass)} a {unit} is taken, common practice"
        return mass, None, f"{source}; weigh one and write 'portion'"

    def possible(self, name: str, mass: Decimal, least: Decimal, most: Decimal) -> None:
        """Refuse a yield that the ingredients cannot come to."""
        path = ("batches", name, "yield")
        if mass > most:
            raise self.faults.at(
                path,
                f"it comes to {plain(mass, 0)} g, heavier than its ingredients can get "
                f"({plain(most, 0)} g with the water listed or taken up by dried foods, whichever "
                "is more)",
                "Mend the yield or the portion, or list what is missing, water too.",
            )
        if mass < least:
            raise self.faults.at(
                path,
                f"it comes to {plain(mass, 0)} g, lighter than its ingredients without any "
                f"water ({plain(least, 0)} g)",
                "Mend the yield or the portion, or the amounts of the ingredients.",
            )

    def roomy(
        self, room: Quantity | None, mass: Quantity | None, number: Decimal, path: Steps, key: str
    ) -> None:
        """Refuse room that a number of pieces of a mass cannot go into, however dense they are."""
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

    def portions(self, name: str, entry: BatchEntry, key: str, amount: Quantity) -> int:
        """Count the whole portions that a batch comes to, or how many are cooked of it."""
        path = ("batches", name, key)
        for unit in (PIECE, PORTION):
            if fits(amount, unit):
                number = magnitude(amount, unit)
                if number != number.to_integral_value():
                    raise self.faults.at(
                        path, f"{sayable(amount)} is no whole number", "Round it to whole ones."
                    )
                return self.few_enough(int(number), path)
        if entry.portion is None:
            raise self.faults.at(
                ("batches", name),
                "'portion' is missing",
                "Add the mass of one portion: 60 g. A yield by mass does not tell it.",
                missing="portion",
            )
        portion = magnitude(entry.portion, GRAM)
        mass = magnitude(amount, GRAM)
        nearest = round(mass / portion)
        # A milligram for each portion is what rounding a portion can come to.
        if nearest and abs(nearest * portion - mass) <= nearest * MILLIGRAM:
            return self.few_enough(nearest, path)
        below = mass // portion
        less, more = max(below, Decimal(1)) * portion, (below + 1) * portion
        raise self.faults.at(
            path,
            f"{sayable(amount)} does not come to whole portions of {sayable(entry.portion)}",
            f"Write {plain(less, 3)} g or {plain(more, 3)} g, or another mass for 'portion'.",
        )

    def few_enough(self, portions: int, path: Steps) -> int:
        """Refuse more portions than a week is planned with."""
        if portions > MOST_PORTIONS:
            raise self.faults.at(
                path,
                f"it comes to {portions} portions",
                f"A batch has at most {MOST_PORTIONS}; check the yield and the portion.",
            )
        return portions

    # -- larder items -------------------------------------------------------------

    def item(self, name: str, entry: ItemEntry) -> LarderItem:
        """Make a larder item of its entry."""
        path = ("larder", name)
        unit = next(unit for unit in (GRAM, MILLILITRE, PIECE) if fits(entry.pack, unit))
        per = self.per(entry, unit, path)
        food, recipe = self.described(name, entry)
        mass = self.mass_of_unit(entry, unit, food, path)
        self.roomy(entry.room, mass, magnitude(per, unit), path, "per")
        self.eaten_as_sold(name, entry, recipe, path)
        pack = self.item_pack(entry, food, recipe, path)
        kept = list({of.name: of for of in (*pack.named, *pack.own)}.values())
        opened, opened_source, risk = self.opened(entry, pack, path)
        if opened is not None:
            self.weighable(unit, mass, path)
        recipes = _recipes_in_pack(entry, unit, mass if food is not None else None)
        share = magnitude(per, unit) / magnitude(entry.pack, unit) * recipes
        nutrition, partial = self.facts.stated(entry.nutrition), frozenset[str]()
        if recipe is not None:
            nutrition, partial = self.facts.nutrition(recipe, share, nutrition)
        price, unpriced = _pack_price(name, entry, recipe, recipes)
        return LarderItem(
            name=name,
            unit=unit,
            pack=entry.pack,
            price=payable(price),
            opened_life=opened,
            use_by=entry.use_by,
            mass=mass,
            per=per,
            nutrition=nutrition,
            nutrition_source=_sources(entry, recipe),
            texture=entry.texture,
            room=entry.room,
            contents=self.contents(recipe, entry, path),
            chilled=self.chilled(name, entry, kept),
            warm_risk=self.warm_risk(entry, kept, path),
            keeps_days=self.facts.opened_days(pack, entry.opened_life),
            opened_source=opened_source,
            risk=risk,
            partial=partial,
            unpriced=unpriced,
            recipe=recipe,
            cautions=caution_keys(
                [of.name for of in kept], recipe.foods if recipe is not None else ()
            ),
            of_food=food is not None,
            shop=entry.shop or ("" if food is None else food.shop),
        )

    def per(self, entry: ItemEntry, unit: str, path: Steps) -> Quantity:
        """Read the amount that figures and room are stated for: else a piece, or 100 g or mL."""
        per = entry.per if entry.per is not None else quantity(1 if unit == PIECE else 100, unit)
        if not fits(per, unit):
            raise self.faults.at(
                (*path, "per"),
                f"{sayable(per)} does not measure what the pack of {sayable(entry.pack)} does",
                f"Say it in {unit}s as the pack is.",
            )
        return per

    def mass_of_unit(
        self, entry: ItemEntry, unit: str, food: Food | None, path: Steps
    ) -> Quantity | None:
        """Work out the mass of a gram, a piece or a millilitre of an item; None when not known."""
        if unit == GRAM:
            return quantity(1, GRAM)
        if unit == PIECE and entry.piece is not None:
            return _to_milligram(entry.piece)
        if food is None:
            return None
        return _to_milligram(quantity(self.unit_mass(food, unit, path), GRAM))

    def eaten_as_sold(
        self, name: str, entry: ItemEntry, recipe: Recipe | None, path: Steps
    ) -> None:
        """Refuse an item that has to be cooked: by what is in it, else by its name."""
        if recipe is not None:
            ready = entry.ready_to_eat
            lines = [replace(line, ready=line.ready or ready) for line in recipe.ingredients]
            self.never_raw(lines, (*path, "ingredients" if entry.food is None else "food"))
        elif not entry.ready_to_eat:
            self.no_raw(name, named_raw(name), path)

    def in_the_cupboard(
        self, name: str, entries: Sequence[HeldEntry], larder: Mapping[str, LarderItem]
    ) -> tuple[str, tuple[Shelved, ...]]:
        """Read how much of something is there already.

        Returns
        -------
        The larder item with what is there of it in its own unit, or else the food of the table
        with its grams.
        """
        item = larder.get(name)
        with self.faults.placed(("cupboard", name)):
            food = self.facts.foods.find(name) if item is None else None
        held = [
            Shelved(self.amount_held(name, entry.amount, item, food), entry.use_by)
            for entry in entries
        ]
        return name if food is None else food.name, tuple(held)

    def amount_held(
        self, name: str, amount: str, item: LarderItem | None, food: Food | None
    ) -> Decimal | None:
        """Read one amount of what is there; None for plenty."""
        if amount.casefold() == "plenty":
            return None
        if food is not None:
            with self.faults.placed(("cupboard", name)):
                return self.facts.weigh(amount, food)
        if item is None:  # pragma: no cover - what is neither is refused before
            raise ValueError(f"{name} is neither an item nor a food")
        try:
            held = parse(amount)
        except ValueError:
            held = None
        if held is None or not fits(held, item.unit):
            raise self.faults.at(
                ("cupboard", name),
                f"{amount!r} is no amount of it",
                f"Write it in {item.unit}s, or: plenty.",
            )
        return magnitude(held, item.unit)

    def weighable(self, unit: str, mass: Quantity | None, path: Steps) -> None:
        """Refuse what spoils and could not be weighed when it is left over."""
        if unit == MILLILITRE and mass is None:
            raise self.faults.at(
                (*path, "pack"),
                "what spoils once opened must be given by mass or in pieces",
                "Write the pack in g, so that what is left over can be weighed.",
            )
        if unit == PIECE and mass is None:
            raise self.faults.at(
                path,
                "the mass of one piece is missing",
                "Add 'piece: 60 g' (or so), so that what is left over can be weighed.",
            )

    def described(self, name: str, entry: ItemEntry) -> tuple[Food | None, Recipe | None]:
        """Find the food of the table an item is, or read what it is made of."""
        path = ("larder", name)
        if entry.food is None:
            return None, self.recipe(entry.ingredients, path)
        if entry.ingredients is not None:
            what = "it says both 'food' and 'ingredients'"
            raise self.faults.at(path, what, "Keep one of the two.")
        with self.faults.placed((*path, "food")):
            plain = hundred(self.facts.foods.find(entry.food))
            food = as_called(replace(plain, name=entry.food)).food
            return food, self.facts.hundred(food)

    def unit_mass(self, food: Food, unit: str, path: Steps) -> Decimal:
        """Look up the mass in g of a millilitre or of one piece."""
        try:
            milli = "mL" if unit == MILLILITRE else ""
            return mass_of_one(food, milli, self.entry.week.cups, self.facts.foods.region)
        except Unclear as wrong:
            if unit == PIECE:
                mend = "Add 'piece: 60 g' (or so)."
                raise self.faults.at(path, wrong.what, mend) from None
            raise self.faults.at(path, wrong.what, wrong.mend, hangs_on=wrong.hangs_on) from None

    def item_pack(
        self,
        entry: ItemEntry,
        food: Food | None,
        recipe: Recipe | None,
        path: Steps,
    ) -> Pack:
        """Find the storage classes of a larder item: named, and of the food or mixture it is."""
        named: list[Storage] = []
        if entry.keeps_as is not None:
            with self.faults.placed(path):
                named = [self.facts.kept(entry.keeps_as)]
        inside: list[str] = []
        if food is not None:
            inside = [food.storage] if food.storage in storage() else []
            kind = watched(food)
            inside += [] if kind is None else [kind]
        elif recipe is not None:
            inside = list(self.facts.classes(None, recipe, uncooked=True))
        # A whole pear is never opened; a bag of leaves is.
        raw = food is not None and food.state == "raw" and food.group != "leaves"
        own = [storage()[class_name] for class_name in dict.fromkeys(inside)]
        return Pack(own, named, raw, home=food is None and recipe is not None)

    def chilled(self, name: str, entry: ItemEntry, kept: list[Storage]) -> bool:
        """Tell whether a larder item has to stay cold, as its class or its label says."""
        if entry.chilled is not None:
            return entry.chilled
        if kept:
            return any(storage_class.cold for storage_class in kept)
        named = None if entry.food or entry.nutrition else self.facts.foods.exact(name)
        of_table = f"Write 'food: {name}' in it, if it is {named.name}. Or w" if named else "W"
        raise self.faults.at(
            ("larder", name),
            f"{name!r} says neither what it keeps as nor whether it has to stay cold",
            f"{of_table}rite 'chilled: yes', or 'chilled: no' where its label lets it stand "
            "outside the fridge once opened; or name its storage class, as 'keeps_as: bread'.",
        )

    def opened(self, entry: ItemEntry, pack: Pack, path: Steps) -> tuple[int | None, str, str]:
        """Work out how long a pack keeps once opened, who says so, and the risk."""
        with self.faults.placed(path):
            unclassed = not pack.own and not pack.named
            if unclassed and entry.food is not None and entry.opened_life is None:
                # A food of the user's own may have none; then nobody but the user knows.
                raise no_figure(entry.food)
            return self.facts.opened(pack, entry.opened_life, own_risk=entry.own_risk)

    # -- what dishes add ----------------------------------------------------------

    def loose(self, dishes: Mapping[str, DishEntry]) -> Loose:
        """Gather what dishes list among their ingredients, a larder item for each food."""
        items: dict[str, LarderItem] = {}
        recipes: dict[str, Recipe] = {}
        helpings: dict[str, tuple[Helping, ...]] = {}
        names: dict[Hashable, str] = {}
        for dish, entry in dishes.items():
            recipe = self.recipe(entry.ingredients, ("dishes", dish))
            if recipe is None:
                continue
            amounts: dict[str, Quantity] = {}
            written = [part.what for part in entry.ingredients or ()]
            for line in recipe.ingredients:
                at = written.index(line.text)
                self.may_be_loose(line, ("dishes", dish, "ingredients", at))
                labelled = _as_labelled(line)
                if labelled not in names:
                    names[labelled] = self.free_name(line.name, items)
                    items[names[labelled]] = self.loose_item(names[labelled], line)
                name, amount = names[labelled], _to_milligram(quantity(line.grams, GRAM))
                amounts[name] = amounts[name] + amount if name in amounts else amount
            recipes[dish] = recipe
            helpings[dish] = tuple(Helping(name, amount) for name, amount in amounts.items())
        return Loose(items, recipes, helpings)

    def may_be_loose(self, line: Ingredient, path: Steps) -> None:
        """Refuse what is a larder item, or spoils: a dish has it from a pack or a batch."""
        if line.name in self.entry.larder:
            raise self.faults.at(
                path,
                f"{line.name!r} is a larder item too",
                "Put it under 'goes_in', or name the food in another way.",
            )
        if not line.grams:
            raise self.faults.at(
                path,
                f"{line.text!r} does not say how much",
                "A dish weighs out what it lists: write an amount in front.",
            )
        self.never_raw([line], path)
        name, kept = line.food.name, storage().get(line.food.storage)
        if kept is None or kept.cold or watched(line.food) is not None:
            spoils = f"{name!r} has to stay cold and spoils once opened"
            raise self.faults.at(
                path,
                f"it is not known how {name!r} keeps" if kept is None else spoils,
                f'Make it a larder item with its pack, as \'"{line.name}": {{food: '
                f"\"{line.name}\", pack: 200 g, opened_life: 2}}', and write 'goes_in: "
                f'{{"{line.name}": {plain(line.grams, 0)} g}}\'; or make it a batch.',
            )

    def free_name(self, name: str, items: Mapping[str, LarderItem]) -> str:
        """Find a name that no larder item has: this, or with a number behind it."""
        names = chain([name], (f"{name} ({number})" for number in count(2)))
        return next(free for free in names if free not in items and free not in self.entry.larder)

    def loose_item(self, name: str, line: Ingredient) -> LarderItem:
        """Make the larder item of what a dish lists, 100 g of it for a pack."""
        weighed = self.facts.hundred(line.food)
        known = replace(weighed.ingredients[0], food=line.food, suits=line.suits)
        weighed = replace(weighed, ingredients=(known,))
        nutrition, partial = self.facts.nutrition(weighed, Decimal(1), {})
        return LarderItem(
            name=name,
            unit=GRAM,
            pack=quantity(100, GRAM),
            price=payable(weighed.cost or Decimal(0)),
            opened_life=None,
            use_by=None,
            mass=quantity(1, GRAM),
            per=quantity(100, GRAM),
            nutrition=nutrition,
            nutrition_source=weighed.source,
            texture=Texture.PLAIN,
            room=None,
            contents=self.facts.contents(weighed, None, ()),
            chilled=False,
            partial=partial,
            unpriced=(name,) if weighed.unpriced else (),
            recipe=weighed,
            cautions=caution_keys((), weighed.foods),
            loose=True,
        )


_EATEN_RAW = {"raw meat", "raw fish", "raw shellfish"}
"""What a label may call ready to eat and that stays raw; egg that it calls so is pasteurised."""


def _as_labelled(line: Ingredient) -> Hashable:
    """Give a food with all that its label says: with another label it is another item."""
    food = line.food
    told = (food.allergens, food.cereals, food.allergens_settled, food.families)
    return (food.name, *told, line.suits)


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


def _recipes_in_pack(entry: ItemEntry, unit: str, of_food: Quantity | None) -> Decimal:
    """Count how often a pack holds the recipe of its item.

    That of a food of the table, which has a mass by the unit, is of 100 g; any other comes to one
    pack.
    """
    if of_food is None:
        return Decimal(1)
    return magnitude(entry.pack, unit) * magnitude(of_food, GRAM) / 100


def _pack_price(
    name: str, entry: ItemEntry, recipe: Recipe | None, recipes: Decimal
) -> tuple[Decimal, tuple[str, ...]]:
    """Price a pack as far as prices are known, and name what that leaves out."""
    if entry.price is not None:
        return entry.price, ()
    if recipe is None or recipe.cost is None:
        return Decimal(0), (name,)
    return recipe.cost * recipes, recipe.unpriced


def _months(entry: BatchEntry, classes: Sequence[str]) -> tuple[int, int] | None:
    if entry.freezer_months is not None:
        return entry.freezer_months, entry.freezer_months
    return months_frozen(classes)


def _is_uncooked(steps: Sequence[Step]) -> bool:
    return bool(steps) and not any(step.cooks for step in steps)


def _or_label(why: MustCook) -> str:
    if not why.label_settles:
        return ""
    return ", or add 'ready_to_eat: yes' where its label says so"


def _to_milligram(mass: Quantity) -> Quantity:
    return quantity(max(MILLIGRAM, round(magnitude(mass, GRAM), 3)), GRAM)


def _sources(entry: BatchEntry | ItemEntry, recipe: Recipe | None) -> str:
    if recipe is None and not entry.nutrition:
        return "not stated"
    if recipe is None:
        return entry.nutrition_source
    stated = ", ".join(NUTRIENTS[tag].name for tag in entry.nutrition)
    source = f"{recipe.source}; {stated}: {entry.nutrition_source}"
    return source if stated else recipe.source
