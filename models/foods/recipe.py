"""What goes into a batch, a dish or a pack, and what that adds up to.

Cooking moves water, not protein: nutrients are summed over the ingredients as they go in,
whatever the batch weighs afterwards. A figure that one ingredient lacks makes the sum an
"at least". All of it can be printed line by line.

Sources: yield factors of dried foods, tables/yields.csv (protein of the raw and of the boiled
food); that a batch weighs at most a tenth more than that, a quarter more where dried food was
boiled alone in much water, that pasta, dried food and potatoes boiled alone keep what they take up,
and that a soup or a stew keeps the liquid listed, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from models.foods.digested import digested
from models.foods.food import Food, Foods, yields
from models.foods.lines import LineItem, Unread, read_line
from models.words.allergens import cereals_of
from models.words.names import words
from models.words.numbers import plain
from models.words.protein import COUNTED, SHARES

HUNDRED = Decimal(100)
_AS_BOUGHT = ("as bought", "unpeeled", "unprepared")
CARBOHYDRATE, WITH_FIBRE, FIBRE = "CHOAVL", "CHOCDF", "FIBTG"


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One line of a recipe.

    Attributes
    ----------
    text
        The line as written.
    name
        The name of the food in it, as written.
    food
        The food it means.
    grams
        What goes in: edible, drained, in g.
    how
        How that came about; empty where it was written.
    bought
        What has to be bought for it, in g, with what is thrown away.
    count
        How many tins, packs or eggs it is, where it is whole ones; None for what is measured.
    suits
        Ways of eating that its label says it suits.
    free_of
        Families, or else words, that its label says it is free of.
    ready
        True where its label calls it ready to eat.
    remarks
        What was taken in reading it, in sentences without a full stop.
    """

    text: str
    name: str
    food: Food
    grams: Decimal
    how: str
    bought: Decimal
    count: Decimal | None = None
    suits: frozenset[str] = frozenset()
    free_of: frozenset[str] = frozenset()
    ready: bool = False
    remarks: tuple[str, ...] = ()

    def nutrient(self, tag: str) -> Decimal | None:
        """Work out what it holds of a nutrient, in the nutrient's unit.

        Parameters
        ----------
        tag
            INFOODS tagname.

        Returns
        -------
        Decimal or None
            None when not known.

        Examples
        --------
        >>> from models.foods.food import find
        >>> hundred(find("egg, whole, fresh")).nutrient("PROCNT")
        Decimal('12.56')
        """
        known = per_hundred(self.food, tag)
        return None if known is None else known * self.grams / HUNDRED


def per_hundred(food: Food, tag: str) -> Decimal | None:
    """Look up what 100 g of a food hold of a nutrient.

    Carbohydrate as Regulation (EU) No 1169/2011 has it leaves out fibre: where the table has
    only the total by difference, fibre is taken off.

    Parameters
    ----------
    food
        A food of any table.
    tag
        INFOODS tagname, or one of `models.words.protein.SHARES`.

    Returns
    -------
    Decimal or None
        In the nutrient's unit; None when not measured.

    Examples
    --------
    >>> from models.foods.food import find
    >>> per_hundred(find("egg, whole, fresh"), "PROCNT")
    Decimal('12.56')
    """
    if tag in SHARES:
        return SHARES[tag].of(food.nutrients, digested(food).share)
    known = food.nutrients.get(tag)
    if known is None and tag == CARBOHYDRATE:
        total, fibre = food.nutrients.get(WITH_FIBRE), food.nutrients.get(FIBRE)
        if total is not None and fibre is not None:
            return max(Decimal(0), total - fibre)
    return known


def _all_per_hundred(food: Food) -> dict[str, Decimal]:
    """Look up all that is counted: what the table has as it is, and what is worked out of it."""
    held = {tag: amount for tag, amount in food.nutrients.items() if tag in COUNTED}
    worked_out = {tag: per_hundred(food, tag) for tag in (CARBOHYDRATE, *SHARES)}
    return held | {tag: amount for tag, amount in worked_out.items() if amount is not None}


@dataclass(frozen=True, slots=True)
class Total:
    """An amount in the nutrient's unit; not `complete` means "at least"."""

    amount: Decimal
    complete: bool


@dataclass(frozen=True, slots=True)
class Recipe:
    """Ingredients together.

    Attributes
    ----------
    ingredients
        In the order of the lines.
    cost
        What they cost as far as prices are known, in the week's currency; None when none is.
    unpriced
        Ingredients without a price.

    Examples
    --------
    >>> from models.foods.food import find
    >>> recipe = Recipe((hundred(find("leek")), hundred(find("cottage cheese"))))
    >>> recipe.mass, sorted(recipe.allergens)
    (Decimal('200'), ['milk'])
    """

    ingredients: tuple[Ingredient, ...]
    cost: Decimal | None = None
    unpriced: tuple[str, ...] = ()

    def times(self, share: Decimal) -> Recipe:
        """Scale the recipe to a share of it.

        Parameters
        ----------
        share
            Above 0; 1 is all of it.

        Returns
        -------
        Grams, counts and cost times the share, not rounded, and said so line by line.

        Examples
        --------
        >>> from models.foods.food import find
        >>> Recipe((hundred(find("leek")),)).times(Decimal("2.5")).mass
        Decimal('250.0')
        """
        lines = tuple(
            replace(
                line,
                grams=line.grams * share,
                bought=line.bought * share,
                count=None if line.count is None else line.count * share,
                how=_joined(line.how, f"x {share:.3f} of the recipe") if share != 1 else line.how,
            )
            for line in self.ingredients
        )
        cost = None if self.cost is None else self.cost * share
        return Recipe(lines, cost, self.unpriced)

    @property
    def foods(self) -> tuple[Food, ...]:
        """The foods, in the order of the lines."""
        return tuple(line.food for line in self.ingredients)

    @property
    def mass(self) -> Decimal:
        """What goes in, in g."""
        return sum((line.grams for line in self.ingredients), Decimal(0))

    @property
    def source(self) -> str:
        """Where the figures come from, each source once."""
        sources = dict.fromkeys(line.food.source for line in self.ingredients)
        return f"ingredients ({', '.join(sources)})"

    def totals(self) -> Mapping[str, Total]:
        """Sum every nutrient of which any ingredient gives a figure.

        Returns
        -------
        mapping
            Tagname to the sum, with whether every ingredient gave its figure.

        Examples
        --------
        >>> from models.foods.food import find
        >>> Recipe((hundred(find("egg, whole, fresh")),)).totals()["PROCNT"]
        Total(amount=Decimal('12.56'), complete=True)
        """
        sums: dict[str, Decimal] = {}
        times: dict[str, int] = {}
        for line in self.ingredients:
            for tag, amount in _all_per_hundred(line.food).items():
                sums[tag] = sums.get(tag, Decimal(0)) + amount * line.grams / HUNDRED
                times[tag] = times.get(tag, 0) + 1
        lines = len(self.ingredients)
        return {tag: Total(sums[tag], times[tag] == lines) for tag in COUNTED if tag in sums}

    @property
    def allergens(self) -> frozenset[str]:
        """Groups of EU law in it, as far as known."""
        return frozenset().union(*(food.allergens for food in self.foods))

    @property
    def cereals(self) -> frozenset[str]:
        """Which cereals the gluten in it is of; none where one food does not say."""
        return cereals_of((food.allergens, food.cereals) for food in self.foods)

    @property
    def unsettled(self) -> tuple[str, ...]:
        """Foods whose allergens are not settled by the table, each once."""
        return tuple(dict.fromkeys(food.name for food in self.foods if not food.allergens_settled))

    @property
    def words(self) -> frozenset[str]:
        """All names of what is in it, for those who must not have something."""
        names = [name for food in self.foods for name in (food.name, *food.aliases)]
        return frozenset([*names, *(line.name for line in self.ingredients)])


# -- mass ----------------------------------------------------------------------------


_POURED = frozenset({"water", "stock", "broth", "milk", "juice", "wine", "beer", "cider"})
_DRAINED = frozenset({"water", "stock", "broth"})
"""Liquids that what is boiled in them is drained of, or that boil away: no one eats plain water."""
_SEASONING = frozenset({"spices", "herbs", "oils"})
_SLACK, _WET = Decimal("1.1"), Decimal("1.25")
_BOILS_PASTA = 4
"""Times the mass of pasta from which water listed with it is what it was boiled in."""
_WATERY = words(
    "soup broth stew casserole congee jook porridge gruel dal dhal dahl curry chilli chowder "
    "minestrone ramen pho laksa goulash gumbo hotpot khichdi pottage polenta risotto stock tagine"
)


def keeps_water(called: str) -> bool:
    """Tell whether a dish keeps the water listed, by what it is called: soup, stew, porridge.

    Parameters
    ----------
    called
        Its name, and what it keeps as.

    Returns
    -------
    True where a word of the name is such a dish, in one or many.

    Examples
    --------
    >>> keeps_water("lentil soup"), keeps_water("boiled lentils")
    (True, False)
    """
    return bool(words(called) & _WATERY)


@dataclass(frozen=True, slots=True)
class Cooked:
    """What a batch weighs once cooked, in g, as far as ingredients tell.

    Attributes
    ----------
    grams
        The best guess: dried foods with a yield factor as boiled, the rest as it goes in. Liquid
        that is listed is taken up first. What is left of it stays in a soup or a stew, and not
        where the batch is dried food or potatoes, water and seasoning alone, nor where pasta lies
        in much water: there it boils off or is poured away.
    most
        It cannot weigh more.
    least
        It cannot weigh less: the dry matter without fat, as far as known.
    swollen
        Dried foods that take up water, with their factors.
    off
        Water listed that is taken to boil off or be drained.
    """

    grams: Decimal
    most: Decimal
    least: Decimal
    swollen: tuple[str, ...]
    off: Decimal = Decimal(0)

    def describe(self, share: Decimal) -> str:
        """Write what a share of it weighs, and how that was worked out.

        Parameters
        ----------
        share
            Of the whole batch; 1 is all of it.

        Returns
        -------
        A phrase, whole grams; what was boiled off and what swelled is in it.

        Examples
        --------
        >>> Cooked(Decimal(321), Decimal(400), Decimal(90), ()).describe(Decimal(1))
        "about 321 g in all, the sum of the ingredients: weigh it and write 'portion'"
        """
        swollen = f" ({', '.join(self.swollen)})" if self.swollen else ""
        without = ""
        if self.off:
            without = (
                f" without {plain(self.off * share, 0)} g of water that boils off or is poured "
                f"away, {plain((self.grams + self.off) * share, 0)} g with it"
            )
        return (
            f"about {plain(self.grams * share, 0)} g in all, the sum of the ingredients{swollen}"
            f"{without}: weigh it and write 'portion'"
        )


def cooked(recipe: Recipe, *, soup: bool = False) -> Cooked:
    """Work out what a recipe weighs once cooked.

    Parameters
    ----------
    recipe
        Ingredients with their grams as they go in.
    soup
        True for what keeps all the water listed.

    Returns
    -------
    Cooked
        A best guess with the least and the most it can be, in g.

    Examples
    --------
    >>> from models.foods.food import builtin
    >>> lines = ("100 g quinoa", "300 g water")
    >>> read = [ingredients(text, builtin(), None)[0] for text in lines]
    >>> weighs = cooked(Recipe(tuple(read)))
    >>> plain(weighs.grams, 0), plain(weighs.most, 0)
    ('321', '400')
    """
    least = taken = poured = water_listed = pasta = Decimal(0)
    swollen: dict[str, None] = {}
    for line in recipe.ingredients:
        if _swells(line.food):
            factor = yields()[line.food.name][1]
            swollen[f"{line.food.name} x {factor}"] = None
            taken += line.grams * (factor - 1)
        pasta += line.grams if line.food.group == "pasta" and line.food.state == "dry" else 0
        water = line.food.water
        if water is not None:
            fat = line.food.nutrients.get("FAT", Decimal(0))
            least += line.grams * max(Decimal(0), HUNDRED - water - fat) / HUNDRED
            poured += line.grams * water / HUNDRED if _is(line.food, _POURED) else 0
            water_listed += line.grams if line.food.name == "water" else 0
    dry = recipe.mass - poured
    boiled = [food for food in recipe.foods if _swells(food) or _is_potato(food)]
    alone = bool(boiled) and all(food in boiled or _boils_off(food) for food in recipe.foods)
    drained = pasta and water_listed > _BOILS_PASTA * pasta
    stays = Decimal(0) if alone else poured - (water_listed if drained else 0)
    grams = dry + max(taken, poured if soup else stays)
    off = max(Decimal(0), recipe.mass - grams)
    most = recipe.mass
    if not soup and (alone or drained):
        most = min(most, grams * _WET)
    return Cooked(grams, max(most, grams * _SLACK), least * Decimal("0.9"), tuple(swollen), off)


def _is_potato(food: Food) -> bool:
    return food.state == "raw" and "potato" in words(food.name)


def _swells(food: Food) -> bool:
    return food.state == "dry" and food.name in yields()


def _is(food: Food, liquids: frozenset[str]) -> bool:
    """Tell whether it is a liquid by the head of its name: tuna in water is none."""
    return food.name.partition(",")[0].partition(" in ")[0].split()[-1] in liquids


def _boils_off(food: Food) -> bool:
    """Tell whether nothing but water goes off with it: water, stock, salt, spices, oil."""
    named = words(food.name)
    return (
        food.group in _SEASONING
        or _is(food, _DRAINED)
        or "salt" in named
        or {"stock", "cube"} <= named
    )


# -- reading -------------------------------------------------------------------------


def ingredients(
    text: str,
    foods: Foods,
    cups: str | None,
    refuse: Decimal | None = None,
    drained: Decimal | None = None,
    pick: str = "middle",
) -> tuple[Ingredient, ...]:
    """Read one line of a recipe: mostly one food, several for "salt and pepper".

    Parameters
    ----------
    text
        "1 cup dried green lentils", "2 medium onions, chopped", "2 x 400 g tins ...".
    foods
        Where names are looked up.
    cups
        Setting for cups and spoons; None when the week file names none.
    refuse
        Share of what was weighed that is thrown away, 0 to 1; of the table when None and the
        line says "as bought".
    drained
        Share of what was weighed that stays when drained, 0 to 1; by the table of tins when
        None.
    pick
        Of a range: "middle" or "most".

    Returns
    -------
    tuple of Ingredient
        At least one.

    Raises
    ------
    Unread
        When it names no food, or its amount cannot be made grams.

    Examples
    --------
    >>> from models.foods.food import builtin
    >>> (line,) = ingredients("250 g leeks, sliced", builtin("uk"), None)
    >>> line.food.name, line.grams
    ('leek, raw', Decimal('250'))
    """
    line = read_line(text, cups=cups, pick=pick, foods=foods)
    if drained == 0:
        raise Unread(f"nothing of {text!r} stays", "Write the share that stays, as in 60 %.")
    if len(line.items) > 1 and (refuse is not None or drained is not None):
        raise Unread(
            f"{text!r} names several foods, and 'refuse' or 'drained' is of one",
            "Write a line for each.",
        )
    parts = [_ingredient(text, item, refuse, drained) for item in line.items]
    parts[0] = replace(parts[0], remarks=(*line.remarks, *parts[0].remarks))
    return tuple(parts)


def _ingredient(
    text: str, item: LineItem, refuse: Decimal | None, drained: Decimal | None
) -> Ingredient:
    food, how = item.food, item.how
    stated = refuse is not None or drained is not None
    mass = item.gross if stated else item.grams
    if drained is not None:
        mass *= drained
        how = _joined(how, f"{_percent(drained)} stays once drained")
    # Household measures are of what is eaten already; only what was weighed has its peel on.
    as_bought = any(word in part.casefold() for part in item.preparation for word in _AS_BOUGHT)
    if refuse is None and item.written and as_bought:
        if food.refuse is None:
            raise Unread(
                f"the table does not know how much of {food.name!r} is thrown away",
                "Weigh what goes in, or write '{what: ..., refuse: 10 %}'.",
            )
        refuse = food.refuse / HUNDRED
    bought = item.gross
    if refuse is not None:
        mass *= 1 - refuse
        how = _joined(how, f"{_percent(refuse)} is thrown away")
    elif drained is None and item.gross == item.grams and food.refuse:
        bought = mass / (1 - food.refuse / HUNDRED)
    return Ingredient(
        text,
        item.name,
        food,
        mass,
        how,
        bought,
        count=item.whole,
        remarks=() if stated else item.remarks,
    )


def _joined(how: str, more: str) -> str:
    return f"{how}; {more}" if how else more


def _percent(share: Decimal) -> str:
    return f"{share * 100:.0f} %"


def hundred(food: Food) -> Ingredient:
    """Make an ingredient of 100 g of a food.

    Parameters
    ----------
    food
        A food of any table.

    Returns
    -------
    100 g as eaten; as bought, with what is thrown away, 100 g or more.

    Examples
    --------
    >>> from models.foods.food import find
    >>> hundred(find("leek")).grams
    Decimal('100')
    """
    bought = HUNDRED / (1 - (food.refuse or Decimal(0)) / HUNDRED)
    return Ingredient(f"100 g {food.name}", food.name, food, HUNDRED, "", bought)
