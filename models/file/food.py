"""The food of a week file: batches and larder items made plain, by the file and the tables.

Where the file says what a batch is made of, the tables say the rest; where it states a
figure itself, that figure holds. Faults are told with the line they are on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import chain, count

from models.file.entries import WeekFile
from models.file.facts import Facts, Unclear, food_packs, no_figure, one_of, own_food
from models.file.food_entries import BatchEntry, IngredientEntry, ItemEntry
from models.file.kitchen import StepFault, steps_of
from models.file.own_table import MOST
from models.file.parts import Contradicted
from models.foods.food import Food, Foods, UnknownFood
from models.foods.recipe import Cooked, Ingredient, Recipe, cooked
from models.foods.storage import Storage, caution_keys, is_perishable, proposed, storage, watched
from models.week.cook import cooked_in, payable
from models.week.kitchen import Step
from models.week.week import (
    Batch,
    Contents,
    FoodPack,
    FridgeLife,
    Helping,
    LarderItem,
    Sizes,
    Texture,
)
from models.words.document import Document
from models.words.errors import InputError, nearest
from models.words.names import plain as plain_name
from models.words.names import words
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
MILLIGRAM = Decimal("0.001")


class FoodReader:
    """Reads what is cooked and what is bought; `fail` knows the lines."""

    document: Document
    entry: WeekFile
    facts: Facts
    days: tuple[date, ...]
    packs: Mapping[str, tuple[FoodPack, ...]]
    larder: dict[str, LarderItem]
    loose_names: dict[tuple[object, ...], str]

    def fail(self, path: tuple[object, ...], what: str, mend: str) -> InputError:
        """Make the error about a place in the file."""
        return InputError(self.document.where(path), what, mend)

    def unclear(self, path: tuple[object, ...], wrong: Unclear) -> InputError:
        """Place what is unclear below an entry of the file."""
        return self.fail((*path, *wrong.steps), wrong.what, wrong.mend)

    def look_up(self, name: str, known: Iterable[str], path: tuple[object, ...], what: str) -> None:
        """Refuse a name that is not among those known."""
        names = list(known)
        if name not in names:
            raise self.fail(path, f"there is no {what} named {name!r}", nearest(name, names))

    # -- what the tables say ----------------------------------------------------

    def read_facts(self, own: Iterable[Food]) -> Facts:
        """Take the tables as this file uses them: its guidance, cups, prices and own foods."""
        week = self.entry.week
        if week.guidance is None and self.entry.batches:
            raise self.fail(
                ("week",),
                "it does not say whose fridge lives the dates follow",
                "Write 'guidance: us' under 'week', or uk, or strictest: whom you follow where "
                "you cook. It is never assumed.",
            )
        mine = [*own, *(self._own_food(name) for name in self.entry.foods)]
        foods = Foods(mine)
        packs: dict[str, tuple[FoodPack, ...]] = {}
        sold: dict[str, Food] = {}
        for name in self.entry.prices:
            food, found = self._packs(name, foods)
            if food.name in packs:
                raise self.fail(
                    ("prices", name),
                    f"{food.name!r} has a price already",
                    "Name it once; list its packs there.",
                )
            packs[food.name], sold[food.name] = found, food
        prices = {name: min(one.price / one.edible for one in all_) for name, all_ in packs.items()}
        facts = Facts(foods, week.cups, week.guidance or "", prices, week.protein_quality)
        self.packs = {
            name: tuple(replace(one, keeps=facts.rest_keeps(sold[name])) for one in all_)
            for name, all_ in packs.items()
        }
        return facts

    def _own_food(self, name: str) -> Food:
        entry = self.entry.foods[name]
        path = ("foods", name)
        kept = "" if entry.keeps_as is None else self.kept(entry.keeps_as, path).name
        self.holdable(entry.nutrition, (*path, "nutrition"))
        return own_food(name, entry, kept)

    def holdable(self, nutrition: Mapping[str, Quantity], path: tuple[object, ...]) -> None:
        """Refuse figures that 100 g of food cannot hold."""
        known = {tag: magnitude(held, NUTRIENTS[tag].unit) for tag, held in nutrition.items()}
        mend = "State what 100 g of it hold, as the label does."
        for tag, most in {**MOST, "CHOAVL": 100}.items():
            if known.get(tag, Decimal(0)) > most:
                name = NUTRIENTS[tag].name
                raise self.fail(path, f"100 g cannot hold so much {name} (at most {most})", mend)
        starch = max(known.get("CHOAVL", Decimal(0)), known.get("CHOCDF", Decimal(0)))
        total = starch + known.get("PROCNT", Decimal(0)) + known.get("FAT", Decimal(0))
        if total > 105:
            raise self.fail(path, f"these come to {plain(total)} g in 100 g", mend)

    def _packs(self, name: str, foods: Foods) -> tuple[Food, tuple[FoodPack, ...]]:
        path = ("prices", name)
        try:
            food = foods.find(name)
            return food, food_packs(food, self.entry.prices[name], self.entry.week.cups)
        except UnknownFood as wrong:
            raise self.fail(path, wrong.what, wrong.mend) from None
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None

    def kept(self, name: str, path: tuple[object, ...]) -> Storage:
        """Find a storage class."""
        try:
            return Facts.kept(name)
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None

    def recipe(
        self, entries: list[IngredientEntry] | None, path: tuple[object, ...]
    ) -> Recipe | None:
        """Read ingredients; None where there are none."""
        if entries is None:
            return None
        try:
            return self.facts.recipe(entries)
        except Unclear as wrong:
            raise self.unclear((*path, "ingredients"), wrong) from None

    def contents(
        self,
        recipe: Recipe | None,
        entry: BatchEntry | ItemEntry,
        path: tuple[object, ...],
    ) -> Contents:
        """Say what is in a food for those who must not have something."""
        try:
            return self.facts.contents(
                recipe, entry.allergens, entry.foods, entry.free_of, entry.suits
            )
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None
        except Contradicted as wrong:
            raise self.fail((*path, wrong.key), wrong.what, wrong.mend) from None

    # -- food -----------------------------------------------------------------

    def batch(self, name: str, entry: BatchEntry) -> Batch:
        """Make a batch of its entry."""
        path = ("batches", name)
        self.dates(name, entry)
        recipe = self.recipe(entry.ingredients, path)
        if recipe is None and "nutrition" not in entry.model_fields_set:
            raise self.fail(
                path,
                f"{name!r} says neither what it is made of nor what is in a portion",
                "List 'ingredients', or state 'nutrition' of one portion.",
            )
        whole = self.portions(name, entry, "yield", entry.yield_)
        portion, weighs = self.portion(name, entry, whole, recipe)
        nutrition, partial = self.facts.stated(entry.nutrition), frozenset[str]()
        if recipe is not None:
            nutrition, partial = self.facts.nutrition(recipe, Decimal(1) / whole, nutrition)
        life = self.life(entry, recipe, path)
        cost = entry.cost
        if recipe is not None and cost is None:
            cost = recipe.cost
        unpriced = () if entry.cost is not None else (name,) if recipe is None else recipe.unpriced
        batch = Batch(
            name=name,
            made=entry.made,
            portions=whole,
            pieces=fits(entry.yield_, PIECE),
            portion=portion,
            nutrition=nutrition,
            nutrition_source=_sources(entry, recipe),
            cost=payable(cost or Decimal(0)),
            life=life,
            freezer=self.freezer(name, entry, whole, life.classes),
            freezer_takes_all=entry.freezes is True and entry.freezer is None,
            texture=entry.texture,
            room=entry.room,
            contents=self.contents(recipe, entry, path),
            chilled=entry.chilled,
            portion_said="" if weighs is None else weighs.said(Decimal(1)),
            partial=partial,
            unpriced=unpriced,
            recipe=recipe,
            cautions=caution_keys(life.classes, recipe.foods if recipe is not None else ()),
            exact_cost=cost or Decimal(0),
            weighs=weighs,
            sizes=self.sizes(name, entry, whole),
            steps=self.steps(name, entry),
            limits=entry.given(),
        )
        if entry.cook is not None:
            batch = cooked_in(batch, self.portions(name, entry, "cook", entry.cook))
        return replace(
            batch,
            frozen=None if entry.frozen is None else self.frozen(batch, entry.frozen[1]),
            gone=self.gone(batch, entry.gone[1]),
        )

    def steps(self, name: str, entry: BatchEntry) -> tuple[Step, ...]:
        """Read how a batch is cooked."""
        try:
            return steps_of(entry.steps, self.entry.kitchen)
        except StepFault as wrong:
            path = ("batches", name, "steps", *wrong.steps)
            raise self.fail(path, wrong.what, wrong.mend) from None

    def sizes(self, name: str, entry: BatchEntry, whole: int) -> Sizes | None:
        """Read how much of a batch may be cooked."""
        said = entry.sizes
        if said is None:
            return None
        path = ("batches", name, "sizes")
        by = 1 if said.by is None else said.by[1]
        least = max(1, -(-whole // 2)) if said.least is None else max(1, said.least[0])
        most = self.few_enough(2 * whole if said.most is None else said.most[1], path)
        if by < 1 or most // by * by < least:
            raise self.fail(
                path, f"no multiple of {by} lies between {least} and {most}", "Widen the sizes."
            )
        names = {line.what for line in entry.ingredients or ()}
        split = frozenset(plain_name(one) for one in said.split)
        for at, one in enumerate(said.split):
            if one != "all" and not any(words(one) <= words(what) for what in names):
                raise self.fail(
                    (*path, "split", at),
                    f"no ingredient of {name!r} is {one!r}",
                    "Name one as its line does, or write: all.",
                )
        return Sizes(least, most, by, None if "all" in said.split else split, stated=True)

    def frozen(self, batch: Batch, frozen: int) -> int:
        """Refuse that more was frozen than the freezer takes."""
        if frozen > batch.freezer:
            raise self.fail(
                ("batches", batch.name, "frozen"),
                f"{frozen} were frozen, and the freezer takes {batch.freezer} of {batch.name!r}",
                "Mend 'frozen', or 'freezes' and 'freezer'.",
            )
        return frozen

    def gone(self, batch: Batch, gone: int) -> int:
        """Refuse that more is gone than there was."""
        if gone > batch.portions:
            raise self.fail(
                ("batches", batch.name, "gone"),
                f"{gone} are gone, and there were {batch.portions} of {batch.name!r}",
                "Mend 'gone'.",
            )
        return gone

    def dates(self, name: str, entry: BatchEntry) -> None:
        """Refuse a batch that is made too late or too long ago."""
        path = ("batches", name)
        if entry.made >= self.days[-1]:
            raise self.fail(
                (*path, "made"),
                f"{name!r} is made on {entry.made}, too late for the last lunch on {self.days[-1]}",
                "A batch is packed from the day after it is made; mend the date.",
            )
        if (self.days[0] - entry.made).days > 60:
            raise self.fail(
                (*path, "made"),
                f"{name!r} is made {(self.days[0] - entry.made).days} days before the week",
                "Mend the date of the batch or of the week.",
            )

    def life(
        self, entry: BatchEntry, recipe: Recipe | None, path: tuple[object, ...]
    ) -> FridgeLife:
        """Give how long a batch keeps, looked up or stated."""
        try:
            classes = self.facts.classes(entry.keeps_as, recipe)
            if entry.fridge_life is None and recipe is None and entry.keeps_as is None:
                raise Unclear(
                    "it says neither what it keeps as nor how long it keeps",
                    "Write 'keeps_as: leftovers, plant' (or another storage class), list its "
                    "'ingredients', or state 'fridge_life: 2'.",
                )
            return self.facts.life(
                classes, entry.fridge_life, entry.life_source, own_risk=entry.own_risk
            )
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None

    def freezer(self, name: str, entry: BatchEntry, count: int, classes: tuple[str, ...]) -> int:
        """Count the portions that the freezer takes."""
        freezes = entry.freezes
        if freezes is None:
            freezes = all(storage()[one].freezes_well for one in classes)
            if freezes and entry.freezer is None:
                # What nobody asked to freeze is not frozen.
                return 0
        if freezes:
            return count if entry.freezer is None else entry.freezer[1]
        if entry.freezer is not None and entry.freezer[1] > 0:
            raise self.fail(
                ("batches", name, "freezer"),
                f"the freezer takes portions of {name!r}, but it does not freeze",
                "Write 'freezes: yes', or remove 'freezer'.",
            )
        return 0

    def portion(
        self, name: str, entry: BatchEntry, count: int, recipe: Recipe | None
    ) -> tuple[Quantity, Cooked | None]:
        """Give the mass of a portion, and what it was worked out from where nobody stated it."""
        path = ("batches", name)
        weighs = None if recipe is None else cooked(recipe)
        if entry.portion is not None:
            mass = _to_milligram(entry.portion)
            if weighs is not None:
                self.possible(name, count * magnitude(mass, GRAM), weighs.least, weighs.most)
            return mass, None
        if weighs is None:
            raise self.fail(
                path, "'portion' is missing", "Add the mass of one piece or portion: 45 g."
            )
        return _to_milligram(quantity(weighs.grams / count, GRAM)), weighs

    def possible(self, name: str, mass: Decimal, least: Decimal, most: Decimal) -> None:
        """Refuse a yield that the ingredients cannot come to."""
        path = ("batches", name, "yield")
        if mass > most:
            raise self.fail(
                path,
                f"it comes to {plain(mass, 0)} g, heavier than its ingredients can get "
                f"({plain(most, 0)} g with the water that dried foods take up)",
                "Mend the yield or the portion, or list what is missing, water too.",
            )
        if mass < least:
            raise self.fail(
                path,
                f"it comes to {plain(mass, 0)} g, lighter than its ingredients without any "
                f"water ({plain(least, 0)} g)",
                "Mend the yield or the portion, or the amounts of the ingredients.",
            )

    def portions(self, name: str, entry: BatchEntry, key: str, amount: Quantity) -> int:
        """Count the whole portions that a batch comes to, or how many are cooked of it."""
        path = ("batches", name, key)
        for unit in (PIECE, PORTION):
            if fits(amount, unit):
                number = magnitude(amount, unit)
                if number != number.to_integral_value():
                    raise self.fail(
                        path, f"{sayable(amount)} is no whole number", "Round it to whole ones."
                    )
                return self.few_enough(int(number), path)
        if entry.portion is None:
            raise self.fail(
                ("batches", name),
                "'portion' is missing",
                "Add the mass of one portion: 60 g. A yield by mass does not tell it.",
            )
        one = magnitude(entry.portion, GRAM)
        mass = magnitude(amount, GRAM)
        whole = mass // one
        nearest = round(mass / one)
        # A milligram for each portion is what rounding a portion can come to.
        if nearest and abs(nearest * one - mass) <= nearest * MILLIGRAM:
            return self.few_enough(nearest, path)
        raise self.fail(
            path,
            f"{sayable(amount)} does not come to whole portions of {sayable(entry.portion)}",
            f"Write {plain(max(whole, Decimal(1)) * one, 3)} g or {plain((whole + 1) * one, 3)} g, "
            "or another mass for 'portion'.",
        )

    def few_enough(self, portions: int, path: tuple[object, ...]) -> int:
        """Refuse more portions than a week is planned with."""
        if portions > MOST_PORTIONS:
            raise self.fail(
                path,
                f"it comes to {portions} portions",
                f"A batch has at most {MOST_PORTIONS}; check the yield and the portion.",
            )
        return portions

    def item(self, name: str, entry: ItemEntry) -> LarderItem:
        """Make a larder item of its entry."""
        path = ("larder", name)
        unit = next(unit for unit in (GRAM, MILLILITRE, PIECE) if fits(entry.pack, unit))
        per = entry.per if entry.per is not None else quantity(1 if unit == PIECE else 100, unit)
        if not fits(per, unit):
            raise self.fail(
                (*path, "per"),
                f"{sayable(per)} does not measure what the pack of {sayable(entry.pack)} does",
                f"Say it in {unit}s as the pack is.",
            )
        food, recipe = self.described(name, entry)
        mass = quantity(1, GRAM) if unit == GRAM else None
        if unit == PIECE and entry.piece is not None:
            mass = _to_milligram(entry.piece)
        if mass is None and food is not None:
            mass = _to_milligram(quantity(self.unit_mass(food, unit, path), GRAM))
        kept = self.item_classes(entry, food, recipe, path)
        # A whole pear is never opened; a bag of leaves is.
        raw = food is not None and food.state == "raw" and food.group != "leaves"
        opened, opened_said, risk = self.opened(entry, kept, path, raw=raw)
        if opened is not None:
            self.weighable(unit, mass, path)
        nutrition, partial = self.facts.stated(entry.nutrition), frozenset[str]()
        price: Decimal | None = entry.price
        unpriced: tuple[str, ...] = (name,)
        if recipe is not None:
            # The recipe of a food of the table is 100 g of it, any other comes to one pack.
            pack = magnitude(entry.pack, unit)
            packs = Decimal(1)
            if food is not None and mass is not None:
                packs = pack * magnitude(mass, GRAM) / 100
            share = magnitude(per, unit) / pack * packs
            nutrition, partial = self.facts.nutrition(recipe, share, nutrition)
            if price is None and recipe.cost is not None:
                price, unpriced = recipe.cost * packs, recipe.unpriced
        return LarderItem(
            name=name,
            unit=unit,
            pack=entry.pack,
            price=payable(price or Decimal(0)),
            opened_life=opened,
            use_by=entry.use_by,
            mass=mass,
            per=per,
            nutrition=nutrition,
            nutrition_source=_sources(entry, recipe),
            texture=entry.texture,
            room=entry.room,
            contents=self.contents(recipe, entry, path),
            chilled=entry.chilled,
            opened_said=opened_said,
            risk=risk,
            partial=partial,
            unpriced=() if entry.price is not None else unpriced,
            recipe=recipe,
            cautions=caution_keys(
                [one.name for one in kept], recipe.foods if recipe is not None else ()
            ),
            of_food=food is not None,
            shop=entry.shop or ("" if food is None else food.shop),
        )

    def there(self, name: str, said: str) -> tuple[str, Decimal | None]:
        """Read how much of something is in the cupboard: of an item in its unit, else in g."""
        path = ("cupboard", name)
        item = self.larder.get(name)
        try:
            key = name if item is not None else self.facts.foods.find(name).name
            if said.strip().casefold() == "plenty":
                return key, None
            if item is None:
                return key, self.facts.weigh(said, self.facts.foods.find(name))
        except UnknownFood as wrong:
            raise self.fail(path, wrong.what, wrong.mend) from None
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None
        try:
            amount = parse(said)
        except ValueError:
            amount = None
        if amount is None or not fits(amount, item.unit):
            raise self.fail(
                path, f"{said!r} is no amount of it", f"Write it in {item.unit}s, or: plenty."
            )
        return key, magnitude(amount, item.unit)

    def weighable(self, unit: str, mass: Quantity | None, path: tuple[object, ...]) -> None:
        """Refuse what spoils and could not be weighed when it is left over."""
        if unit == MILLILITRE and mass is None:
            raise self.fail(
                (*path, "pack"),
                "what spoils once opened must be given by mass or in pieces",
                "Write the pack in g, so that what is left over can be weighed.",
            )
        if unit == PIECE and mass is None:
            raise self.fail(
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
            raise self.fail(path, "it says both 'food' and 'ingredients'", "Keep one of the two.")
        try:
            found = self.facts.foods.find(entry.food)
            return found, self.facts.hundred(found)
        except UnknownFood as wrong:
            raise self.fail((*path, "food"), wrong.what, wrong.mend) from None

    def unit_mass(self, food: Food, unit: str, path: tuple[object, ...]) -> Decimal:
        """Give the mass in g of a millilitre or of one piece."""
        try:
            return one_of(food, "mL" if unit == MILLILITRE else "", self.entry.week.cups)
        except Unclear as wrong:
            mend = "Add 'piece: 60 g' (or so)." if unit == PIECE else wrong.mend
            raise self.fail(path, wrong.what, mend) from None

    def item_classes(
        self,
        entry: ItemEntry,
        food: Food | None,
        recipe: Recipe | None,
        path: tuple[object, ...],
    ) -> list[Storage]:
        """Find the storage classes of a larder item: named, of the food it is, or of a mixture.

        The shortest life holds: a name does not talk away what is in it.
        """
        named = [] if entry.keeps_as is None else [self.kept(entry.keeps_as, path)]
        inside: list[str] = []
        if food is not None:
            own = [food.storage] if food.storage in storage() else []
            kind = watched(food)
            inside = own if kind is None else [*own, kind]
            if named:
                # A name does not talk away what the food is.
                inside = [*own, *proposed((food,))] if is_perishable(food) else []
        elif recipe is not None:
            inside = list(self.facts.classes(entry.keeps_as, recipe))
        more = [storage()[one] for one in inside]
        return [*named, *(one for one in more if one not in named)]

    def opened(
        self, entry: ItemEntry, kept: list[Storage], path: tuple[object, ...], *, raw: bool
    ) -> tuple[int | None, str, str]:
        """Give how long a pack keeps once opened, who says so, and the risk."""
        try:
            if not kept and entry.food is not None and entry.opened_life is None:
                # A food of the user's own may have none; then nobody but the user knows.
                raise no_figure(entry.food)
            return self.facts.opened(kept, entry.opened_life, raw=raw, own_risk=entry.own_risk)
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None

    def loose(self, dish: str, line: Ingredient, at: int) -> Helping:
        """Make a larder item of what a dish lists among its ingredients, weighed out in g."""
        path = ("dishes", dish, "ingredients", at)
        if line.name in self.entry.larder:
            raise self.fail(
                path,
                f"{line.name!r} is a larder item too",
                "Put it under 'goes_in', or name the food in another way.",
            )
        if is_perishable(line.food):
            raise self.fail(
                path,
                f"{line.food.name!r} does not keep in the cupboard",
                "Make it a batch, or a larder item with its pack under 'goes_in'.",
            )
        # The same food with another label read is another item, under a name of its own.
        food = line.food
        known = (food.allergens, food.cereals, food.allergens_settled, food.families, line.suits)
        key = (food.name, *known)
        taken = {*self.loose_names.values(), *self.entry.larder}
        ways = chain([line.name], (f"{line.name} ({number})" for number in count(2)))
        fresh = next(name for name in ways if name not in taken)
        name = self.loose_names.setdefault(key, fresh)
        amount = quantity(max(MILLIGRAM, round(line.grams, 3)), GRAM)
        if name not in self.larder:
            hundred = self.facts.hundred(food)
            hundred = Recipe(
                (replace(hundred.ingredients[0], food=food, suits=line.suits),),
                hundred.cost,
                hundred.unpriced,
            )
            nutrition, partial = self.facts.nutrition(hundred, Decimal(1), {})
            self.larder[name] = LarderItem(
                name=name,
                unit=GRAM,
                pack=quantity(100, GRAM),
                price=payable(hundred.cost or Decimal(0)),
                opened_life=None,
                use_by=None,
                mass=quantity(1, GRAM),
                per=quantity(100, GRAM),
                nutrition=nutrition,
                nutrition_source=hundred.source,
                texture=Texture.PLAIN,
                room=None,
                contents=self.facts.contents(hundred, None, ()),
                chilled=False,
                partial=partial,
                unpriced=(name,) if hundred.unpriced else (),
                recipe=hundred,
                cautions=caution_keys((), hundred.foods),
                loose=True,
            )
        return Helping(name, amount)


def _to_milligram(mass: Quantity) -> Quantity:
    return quantity(max(MILLIGRAM, round(magnitude(mass, GRAM), 3)), GRAM)


def _sources(entry: BatchEntry | ItemEntry, recipe: Recipe | None) -> str:
    if recipe is None:
        return entry.nutrition_source
    said = ", ".join(NUTRIENTS[tag].name for tag in entry.nutrition)
    return f"{recipe.source}; {said}: {entry.nutrition_source}" if said else recipe.source
