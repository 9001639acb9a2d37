"""What the tables say of the food a week file describes.

Recipes are read and priced here, storage classes found, lives taken from the guidance the
week names. Everything ends as plain figures with their sources; faults are raised as
`Unclear`, which knows nothing of files, and the reader says where they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from models.foods.digested import least
from models.foods.figures import AMINO_ACIDS
from models.foods.food import Food, Foods
from models.foods.lines import Unread, weigh_amount
from models.foods.parts import (
    Contents,
    Contradicted,
    as_called,
    freed,
    gluten_free,
    is_of_oats,
    none_contradicted,
    parts_of,
    read_label,
    stated_part,
)
from models.foods.recipe import Ingredient, Recipe, Total, hundred, ingredients
from models.foods.storage import (
    AT_HOME,
    LEFTOVERS,
    LONGEST_AT_HOME,
    PLANT,
    Keeping,
    Storage,
    at_home,
    class_names,
    holds,
    proposed,
    storage,
    strictest,
)
from models.words.allergens import cereals_with
from models.words.errors import nearest, suggestion
from models.words.names import plain_name
from models.words.numbers import counted
from models.words.nutrients import PROTEIN
from models.words.protein import COUNTED, SHARES
from models.words.units import GRAM, Quantity, magnitude, quantity

KEEPS_FROM = 14
"""Days once opened from which a pack is taken to outlast the week."""
AMOUNTS = (PROTEIN, *AMINO_ACIDS)
FREE = "none"
"""Where in the shop what costs nothing stands."""


class Unclear(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """Something that a week file says of food and that cannot be made sense of.

    Parameters
    ----------
    what
        What is wrong, in words that go on from the place.
    mend
        What to write instead, a whole sentence.
    steps
        Where it is, as keys below the entry that was read.
    hangs_on
        The setting of the week that would mend it: "cups"; else empty.
    """

    def __init__(
        self, what: str, mend: str, steps: tuple[str | int, ...] = (), *, hangs_on: str = ""
    ) -> None:
        self.what = what
        self.mend = mend
        self.steps = steps
        self.hangs_on = hangs_on
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class FridgeLife:
    """Days a batch keeps at 5 °C or below, counted from the day it is made.

    Attributes
    ----------
    low
        Lower end of the published range: later than this is a wish broken.
    high
        Upper end: later than this is never planned.
    source
        Who says so; "mine" when the user does.
    classes
        Storage classes it falls under, the one that decides first.
    stated
        True when the user stated the days.
    risk
        What the guidance publishes, where the days are longer than that at the user's own
        risk; else empty.
    """

    low: int
    high: int
    source: str
    classes: tuple[str, ...] = ()
    stated: bool = True
    risk: str = ""


@dataclass(frozen=True, slots=True)
class Pack:
    """What decides how long an opened pack keeps.

    Attributes
    ----------
    own
        Storage classes of what is in it.
    named
        The one that the file gives it, if any.
    raw
        True for what is whole, as a pear: it is never opened.
    home
        True for what is stirred together at home.
    """

    own: Sequence[Storage]
    named: Sequence[Storage] = ()
    raw: bool = False
    home: bool = False


@dataclass(frozen=True, slots=True)
class Opened:
    """A life once opened, and the class it is of."""

    of: Storage
    life: Keeping

    @property
    def account(self) -> str:
        """Its days, the class and who says so."""
        return f"{counted(self.life.high, 'day')} as {self.of.name}: {self.life.source}"


@dataclass(frozen=True, slots=True)
class FoodPack:
    """A pack that an ingredient is sold in.

    Attributes
    ----------
    label
        What it holds, as written.
    bought, edible
        Grams in it, with and without what is thrown away.
    keeps
        Days the rest keeps once it is opened; None: past the week, or not known.
    keeps_days
        The same, however many; None: not known.
    """

    label: str
    bought: Decimal
    edible: Decimal
    price: Decimal
    keeps: int | None = None
    keeps_days: int | None = None


@dataclass(frozen=True, slots=True)
class RecipeLine:
    """One line of a recipe as it is written.

    Attributes
    ----------
    what
        Amount and food: "400 g onions".
    refuse, drained
        Shares, 0 to 1, that are thrown away and that stay once drained; None as the table says.
    allergens
        Those its label names, where somebody has read it.
    free_of, suits
        Families it is free of and ways of eating it suits, by its label.
    ready
        True where its label calls it ready to eat.
    """

    what: str
    refuse: Decimal | None = None
    drained: Decimal | None = None
    allergens: frozenset[str] | None = None
    free_of: Sequence[str] = ()
    suits: Sequence[str] = ()
    ready: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """The tables as one week file uses them.

    Attributes
    ----------
    foods
        The foods of the program and of the user.
    cups
        Which cup and spoons are meant, of `models.foods.measures.CUPS`; None when nobody said.
    guidance
        Whose fridge lives hold: "us", "uk" or "strictest".
    prices
        Food to the price of a gram of it, as it goes in, in the week's currency.
    pick
        What is taken of a range in a line: "middle" or "most".

    Examples
    --------
    >>> from models.foods.food import builtin
    >>> facts = Facts(builtin("uk"), "metric", "uk", {"leek, raw": Decimal("0.004")})
    >>> facts.recipe([RecipeLine("250 g leek")]).cost
    Decimal('1.000')
    """

    foods: Foods
    cups: str | None
    guidance: str
    prices: Mapping[str, Decimal]
    pick: str = "middle"

    # -- recipes ------------------------------------------------------------------

    def recipe(self, lines: Sequence[RecipeLine]) -> Recipe:
        """Read and price a recipe.

        Parameters
        ----------
        lines
            As they are written.

        Returns
        -------
        Recipe
            A line of it may become several ingredients: "salt and pepper".

        Raises
        ------
        Unclear
            With the line of the recipe it is about.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> recipe = facts.recipe([RecipeLine("salt and pepper")])
        >>> [part.food.name for part in recipe.ingredients]
        ['table salt', 'black pepper, ground']
        """
        parts: list[Ingredient] = []
        for at, line in enumerate(lines):
            try:
                for part in ingredients(
                    line.what, self.foods, self.cups, line.refuse, line.drained, self.pick
                ):
                    labelled = _labelled(as_called(part), line.allergens)
                    read = read_label(labelled, line.free_of, line.suits)
                    parts.append(replace(read, ready=line.ready))
            except Contradicted as wrong:
                raise Unclear(wrong.what, wrong.mend, (at,)) from None
            except Unread as wrong:
                raise _unclear(wrong, (at,)) from None
        return self._priced(parts)

    def _priced(self, parts: Sequence[Ingredient]) -> Recipe:
        priced = [self.price(part) for part in parts]
        known = [price for price in priced if price is not None]
        unpriced = [part.name for part, price in zip(parts, priced, strict=True) if price is None]
        return Recipe(
            tuple(parts),
            sum(known, Decimal(0)) if known else None,
            tuple(dict.fromkeys(unpriced)),
        )

    def price(self, line: Ingredient) -> Decimal | None:
        """Price one line.

        Parameters
        ----------
        line
            A line of a recipe, read.

        Returns
        -------
        Decimal or None
            In the week's currency; None when nobody said what it costs.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {"leek, raw": Decimal("0.004")})
        >>> facts.price(hundred(facts.foods.find("leek")))
        Decimal('0.400')
        """
        if line.food.shop == FREE or not line.grams:
            return Decimal(0)
        per_gram = self.prices.get(line.food.name)
        return None if per_gram is None else per_gram * line.grams

    def nutrition(
        self, recipe: Recipe, share: Decimal, stated: Mapping[str, Quantity]
    ) -> tuple[Mapping[str, Quantity], frozenset[str]]:
        """Work out the nutrients of a share of a recipe, and of which they are an "at least".

        What the user stated goes before what ingredients come to.

        Parameters
        ----------
        recipe
            The whole of it.
        share
            How much of the whole: 0.25 for a portion of four.
        stated
            Tagname to what a share holds by the user's own words.

        Returns
        -------
        tuple of mapping and frozenset
            Tagname to amount, of what is known at all; and the tagnames of sums that lack a part.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> recipe = facts.recipe([RecipeLine("400 g dry red lentils")])
        >>> amounts, partial = facts.nutrition(recipe, Decimal(1) / 4, {})
        >>> round(magnitude(amounts["PROCNT"], GRAM), 1), sorted(partial)
        (Decimal('23.9'), [])
        """
        amounts: dict[str, Quantity] = {}
        partial: set[str] = set()
        totals = recipe.totals()
        for tag, nutrient in COUNTED.items():
            total: Total | None = totals.get(tag)
            if tag in stated:
                amounts[tag] = stated[tag]
            elif total is not None:
                amounts[tag] = quantity(total.amount * share, nutrient.unit)
                if not total.complete:
                    partial.add(tag)
        return amounts, frozenset(partial)

    @staticmethod
    def stated(nutrition: Mapping[str, Quantity]) -> Mapping[str, Quantity]:
        """Work out what stated amino acids suffice for, beside what is stated.

        A food that nobody named is taken to be digested as the least digestible one is.

        Parameters
        ----------
        nutrition
            Tagname to amount, as stated.

        Returns
        -------
        mapping
            The same, with the shares of `models.words.protein.SHARES` that are known, in g.

        Examples
        --------
        >>> known = Facts.stated({"PROCNT": quantity(10, GRAM)})
        >>> [tag for tag in known if tag != "PROCNT"]
        ['usable:PROCNT']
        """
        amounts = {tag: magnitude(nutrition[tag], GRAM) for tag in AMOUNTS if tag in nutrition}
        shares = {tag: share.of(amounts, least().share) for tag, share in SHARES.items()}
        known = {tag: quantity(grams, GRAM) for tag, grams in shares.items() if grams is not None}
        return {**nutrition, **known}

    def hundred(self, food: Food) -> Recipe:
        """Make a recipe of 100 g of a food of the table.

        Parameters
        ----------
        food
            A food of any table.

        Returns
        -------
        One line of 100 g as it is eaten, at the week's price; without one its cost is None.
        """
        return self._priced([hundred(food)])

    # -- allergens ----------------------------------------------------------------

    def contents(
        self,
        recipe: Recipe | None,
        allergens: frozenset[str] | None,
        foods: Iterable[str],
        free_of: Iterable[str] = (),
        suits: Iterable[str] = (),
    ) -> Contents:
        """Gather what is in a food, from its recipe and from what the user states.

        Parameters
        ----------
        recipe
            What it is made of; None where that was not said.
        allergens
            Groups of Regulation (EU) No 1169/2011 in all of it by its label; None where nobody
            read one.
        foods
            What is in it by the user's own words.
        free_of, suits
            Families it is free of and ways of eating it suits, by its label.

        Returns
        -------
        Its `allergens` are None where nobody has settled them.

        Raises
        ------
        Unclear
            When the user leaves out an allergen that an ingredient holds for certain.
        Contradicted
            When its label leaves out what a part of it is.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> contents = facts.contents(facts.recipe([RecipeLine("200 g cottage cheese")]), None, ())
        >>> sorted(contents.known)
        ['milk']
        """
        named = frozenset(word.casefold() for word in foods)
        stated = tuple(stated_part(word) for word in sorted(named))
        # Who says that celery is in it says the allergen too.
        implied = frozenset().union(*(part.allergens for part in stated))
        allergens = None if allergens is None else allergens | implied
        free, suited = freed(free_of), frozenset(suits)
        if recipe is not None and "gluten" in free:
            recipe = replace(recipe, ingredients=tuple(map(gluten_free, recipe.ingredients)))
        if recipe is None:
            none_contradicted(stated, free, suited)
            return Contents(allergens, named, implied, parts=stated, free_of=free, suits=suited)
        parts = (*parts_of(recipe, allergens), *stated)
        none_contradicted(parts, free, suited)
        label = (True, free, suited)
        words = named | frozenset(word.casefold() for word in recipe.words)
        certain = frozenset().union(
            *(food.allergens for food in recipe.foods if food.allergens_settled)
        )
        if allergens is not None:
            self._none_denied(recipe, certain - allergens)
            cereals = cereals_with(recipe.cereals, allergens)
            return Contents(allergens, words, allergens, (), cereals, parts, *label)
        unsettled = recipe.unsettled
        held = recipe.allergens | implied
        known = None if unsettled else held
        return Contents(known, words, held, unsettled, recipe.cereals, parts, *label)

    def _none_denied(self, recipe: Recipe, denied: frozenset[str]) -> None:
        for group in sorted(denied):
            line = next(part for part in recipe.ingredients if group in part.food.allergens)
            raise Unclear(
                f"{line.text!r} holds {group}, which 'allergens' leaves out",
                f"Add {group}, or name another food in the ingredients"
                f"{_GLUTEN_FREE if group == 'gluten' and is_of_oats(line.food) else ''}.",
                ("allergens",),
            )

    # -- storage ------------------------------------------------------------------

    @staticmethod
    def kept(name: str, *, home: bool = False) -> Storage:
        """Find a storage class by one of its names.

        Parameters
        ----------
        name
            As the file has it.
        home
            True where it has to be one of what is made at home: then those are offered.

        Returns
        -------
        The class with all that is published of it, each figure with its source.

        Raises
        ------
        Unclear
            When there is none, with the nearest.

        Examples
        --------
        >>> Facts.kept("leftovers, plant").home
        True
        """
        class_name = class_names().get(plain_name(name))
        if class_name is None:
            classes = [kept for kept in storage().values() if kept.home or not home]
            known = [word for kept in classes for word in (kept.name, *kept.names)]
            if home and nearest(name, known) is None:
                known = [kept.name for kept in classes]
            what = f"there is no storage class named {name!r}"
            raise Unclear(what, suggestion(name, known), ("keeps_as",))
        return storage()[class_name]

    def classes(
        self, keeps_as: str | None, recipe: Recipe | None, *, uncooked: bool = False
    ) -> tuple[str, ...]:
        """Name the storage classes of a batch: named, or proposed from its ingredients.

        Parameters
        ----------
        keeps_as
            The class that the file names; None where it names none.
        recipe
            What the batch is made of; None where that was not said.
        uncooked
            True where its steps are told and none of them cooks.

        Returns
        -------
        tuple of str
            At least one; the shortest life of them holds.

        Raises
        ------
        Unclear
            When the one named is of what is bought, not of what is made at home.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.classes(None, facts.recipe([RecipeLine("300 g brown rice")]))
        ('cooked rice',)
        """
        inside = () if recipe is None else proposed(recipe.foods, uncooked=uncooked)
        if keeps_as is None:
            return inside or (LEFTOVERS,)
        named = self.kept(keeps_as, home=True)
        if not named.home:
            raise Unclear(
                f"{named.name!r} is of what is bought, not of what is made at home",
                "Name a class of what is made at home, as 'keeps_as: leftovers, plant', or leave "
                "it out and list 'ingredients'.",
                ("keeps_as",),
            )
        # A name for the whole does not talk away what is in it.
        if named.bought and named.caution:
            inside = (*inside, PLANT)
            return (named.name, *dict.fromkeys(name for name in inside if name != named.name))
        return (named.name, *(name for name in inside if name != named.name and holds(name)))

    def published(self, classes: Sequence[str]) -> Keeping | None:
        """Find the shortest life that the guidance publishes for any of the classes.

        Parameters
        ----------
        classes
            Names of storage classes.

        Returns
        -------
        Keeping or None
            Never longer than what is made at home keeps; None where nothing is published.
        """
        lives = [storage()[name].fridge(self.guidance, cooked=True) for name in classes]
        shortest = strictest(life for life in lives if life is not None)
        return None if shortest is None else at_home(shortest)

    def life(
        self,
        classes: tuple[str, ...],
        stated: tuple[int, int] | None,
        source: str,
        *,
        own_risk: bool,
        inside: tuple[str, ...] = (),
    ) -> FridgeLife:
        """Work out the life of a batch in the fridge.

        Parameters
        ----------
        classes
            Storage classes it falls under.
        stated
            Lower and upper days by the user's own words; None where nobody said.
        source
            Who says so, where days are stated.
        own_risk
            True where the user takes the risk of days longer than published.
        inside
            Classes that its ingredients fall under, where `classes` were named otherwise.

        Returns
        -------
        FridgeLife
            Days counted from the day it is made.

        Raises
        ------
        Unclear
            When none is published and none stated, or it is longer than published, by its days
            or by the class named, and the user has not taken the risk.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.life(("cooked rice",), None, "", own_risk=False).high
        1
        """
        kept = self.published(classes)
        classes = self._deciding(classes, kept)
        limit = self._limit(classes, kept, inside)
        if stated is not None:
            life = FridgeLife(*stated, source, classes)
        elif kept is not None:
            source = f"{kept.source}, as {classes[0]}"
            life = FridgeLife(kept.low, kept.high, source, classes, stated=False)
        else:
            raise Unclear(
                f"{self.guidance} publishes no fridge life for {classes[0]!r}",
                "State it: 'fridge_life: 2' with 'life_source', or follow 'strictest'.",
            )
        if life.high <= limit.high:
            return life
        if own_risk:
            return replace(life, risk=limit.source)
        days, risk = counted(life.high, "day"), "or add 'own_risk: yes'; every sheet will say so."
        if stated is not None:
            what = f"{days} is longer than is published, {limit.source}"
            raise Unclear(what, f"Write {limit.high} or less, {risk}", ("fridge_life",))
        raise Unclear(
            f"as {classes[0]!r} it would keep {days}, longer than what is in it, {limit.source}",
            f"Leave 'keeps_as' out, state 'fridge_life: {limit.high}' or less, {risk}",
            ("keeps_as",),
        )

    def _limit(
        self, classes: tuple[str, ...], kept: Keeping | None, inside: tuple[str, ...]
    ) -> Keeping:
        """Give the longest without a risk, in words with its class: by any guidance, if by none."""
        if kept is None:
            lives = [
                storage()[name].fridge(whose, cooked=True)
                for name in classes
                for whose in ("us", "uk")
            ]
            kept = strictest(life for life in lives if life is not None)
        bound = self.published(inside)
        if bound is not None and (kept is None or bound.high < kept.high):
            classes, kept = self._deciding(inside, bound), bound
        if kept is None:
            return Keeping(0, LONGEST_AT_HOME, f"{counted(LONGEST_AT_HOME, 'day')}: {AT_HOME}")
        kept = at_home(kept)
        source = f"{counted(kept.high, 'day')} as {classes[0]}: {kept.source}"
        return Keeping(kept.low, kept.high, source)

    def _deciding(self, classes: tuple[str, ...], kept: Keeping | None) -> tuple[str, ...]:
        """Put the class whose life decides first."""
        if kept is None:
            return classes
        lives = {name: storage()[name].fridge(self.guidance, cooked=True) for name in classes}
        return tuple(sorted(classes, key=lambda name: life.high if (life := lives[name]) else 999))

    def opened(
        self, pack: Pack, stated: int | str | None, *, own_risk: bool
    ) -> tuple[int | None, str, str]:
        """Work out how many days a pack keeps once opened.

        Parameters
        ----------
        pack
            What decides it.
        stated
            Days by the user's own words, or "keeps"; None where nobody said.
        own_risk
            True where the user takes the risk of days longer than published.

        Returns
        -------
        tuple
            Days, None where it outlasts the week; who says so, empty where the user does; what the
            guidance publishes where the days are longer than that, else empty.

        Raises
        ------
        Unclear
            When nothing is published for what spoils, or it is longer than published, by its
            days or by the class named, and the user has not taken the risk.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.opened(Pack(()), 3, own_risk=False)
        (3, '', '')
        """
        if stated is None:
            return self._opened_by_class(pack, own_risk=own_risk)
        limit = self._shortest(pack, [*pack.named, *pack.own], bound=True)
        days = None if stated == "keeps" else int(stated)
        if limit is None or (days is not None and days <= limit.life.high):
            return within_a_week(days), "", ""
        spoils = limit.of.cold and limit.of.bought
        if days is None and limit.life.high >= KEEPS_FROM and not spoils:
            return None, "", ""
        if not own_risk:
            raise Unclear(
                f"{stated if days is None else counted(days, 'day')} once opened is longer than is "
                f"published, {limit.account}",
                f"Write {limit.life.high} or less, or add 'own_risk: yes'; every sheet will say "
                "so.",
                ("opened_life",),
            )
        return within_a_week(days), "", limit.account

    def _opened_by_class(self, pack: Pack, *, own_risk: bool) -> tuple[int | None, str, str]:
        """Give the days that its classes say; a class that is named may only shorten them."""
        deciding = pack.named or pack.own
        inside = self._shortest(pack, pack.own, bound=True) if pack.named else None
        unsaid = [kept for kept in deciding if self._must_be_said(kept, raw=pack.raw)]
        if inside is None and not own_risk:
            unsaid += [kept for kept in pack.own if self._must_be_said(kept, raw=pack.raw)]
        if unsaid:
            raise no_figure(unsaid[0].name, bought=unsaid[0].bought)
        shortest = self._shortest(pack, deciding)
        risk = ""
        if inside is not None and (shortest is None or shortest.life.high > inside.life.high):
            if not own_risk:
                days = "" if shortest is None else f" {counted(shortest.life.high, 'day')}"
                raise Unclear(
                    f"as {deciding[0].name!r} it would keep{days} once opened, longer than what it "
                    f"is, {inside.account}",
                    f"Leave 'keeps_as' out, state 'opened_life: {inside.life.high}' or less, or "
                    "add 'own_risk: yes'; every sheet will say so.",
                    ("keeps_as",),
                )
            risk = inside.account
        if shortest is None:
            return None, "", risk
        return (
            within_a_week(shortest.life.high),
            f"{shortest.life.source}, as {shortest.of.name}",
            risk,
        )

    def _shortest(
        self, pack: Pack, classes: Sequence[Storage], *, bound: bool = False
    ) -> Opened | None:
        """Give the life once opened that ends first.

        Where it is but a `bound`, days from when it was bought count: it ends by then.
        """
        lives = [(kept, self._once_opened(kept, pack)) for kept in classes]
        if bound and not pack.raw:
            lives += [(kept, kept.us) for kept in classes if kept.bought]
        known = [Opened(kept, life) for kept, life in lives if life is not None]
        return min(known, key=lambda opened: opened.life.high, default=None)

    def weigh(self, text: str, food: Food) -> Decimal:
        """Weigh an amount of a food as it is bought, in g.

        Parameters
        ----------
        text
            "300 g", "2 pieces".
        food
            The food.

        Returns
        -------
        A mass as it is written; pieces with what is thrown away of them, more than as eaten.

        Raises
        ------
        Unclear
            When it cannot be made grams.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.weigh("1.5 kg", facts.foods.find("leek"))
        Decimal('1500.0')
        """
        try:
            weighed = weigh_amount(text, food, self.cups, self.foods.region)
        except Unread as wrong:
            mend = f"{wrong.mend} Or: plenty."
            raise Unclear(wrong.what, mend, hangs_on=wrong.hangs_on) from None
        # A piece is weighed as it is eaten, a mass as it lies there.
        if food.refuse and not weighed.written:
            return weighed.grams / (1 - food.refuse / 100)
        return weighed.grams

    def rest_keeps(self, food: Food) -> int | None:
        """Work out how many days the rest of an opened pack keeps.

        Parameters
        ----------
        food
            What is in the pack.

        Returns
        -------
        int or None
            None: not known.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.rest_keeps(facts.foods.find("pearl barley")) is None
        True
        """
        own = [storage()[food.storage]] if food.storage in storage() else []
        rest = self._shortest(Pack(own), own, bound=True)
        return None if rest is None else rest.life.high

    def opened_days(self, pack: Pack, stated: int | str | None) -> int | None:
        """Work out how many days a pack keeps once opened, however many; None where not known.

        Parameters
        ----------
        pack
            What decides it.
        stated
            Days by the user's own words, or "keeps"; None where nobody said.

        Returns
        -------
        0 or more; None as well for what keeps however long it is open.

        Examples
        --------
        >>> from models.foods.food import builtin
        >>> facts = Facts(builtin("uk"), "metric", "uk", {})
        >>> facts.opened_days(Pack(()), 30)
        30
        """
        if stated is not None:
            return None if stated == "keeps" else int(stated)
        shortest = self._shortest(pack, pack.named or pack.own)
        return None if shortest is None else shortest.life.high

    def _once_opened(self, kept: Storage, pack: Pack) -> Keeping | None:
        """Give the life once opened; what is bought cooked keeps as if it were cooked at home.

        A whole apple is never opened, and days from when a pack was bought say nothing of it
        once it is open.
        """
        if kept.opened is not None or pack.raw or kept.bought:
            return kept.opened
        life = kept.fridge(self.guidance) if self.guidance else None
        life = life or kept.any_fridge()
        return life if life is None or not pack.home else at_home(life)

    @staticmethod
    def _must_be_said(kept: Storage, *, raw: bool) -> bool:
        """Tell whether nobody says how long something that spoils keeps once opened."""
        if raw or kept.opened is not None or kept.name in _KEEPS_WITHOUT_A_FIGURE:
            return False
        return kept.cold if kept.bought else kept.any_fridge() is None


_KEEPS_WITHOUT_A_FIGURE = {"cupboard", "frozen vegetables and fruit"}


def within_a_week(days: int | None) -> int | None:
    """Take a pack that keeps for two weeks once opened as one that keeps.

    Parameters
    ----------
    days
        It keeps once opened; None where it keeps.

    Returns
    -------
    The same days below `KEEPS_FROM`; None from there on.

    Examples
    --------
    >>> within_a_week(3), within_a_week(KEEPS_FROM)
    (3, None)
    """
    return days if days is not None and days < KEEPS_FROM else None


def no_figure(name: str, *, bought: bool = False, cold: bool = True) -> Unclear:
    """Make the fault of a food of which nobody published how long it keeps once opened.

    Parameters
    ----------
    name
        Of the food or of its storage class.
    bought
        True where days are published that count from the day it is bought.
    cold
        False where nobody said either whether it has to stay cold.

    Returns
    -------
    To be raised, about the entry `opened_life`, with how to write that.

    Examples
    --------
    >>> no_figure("cottage cheese").what
    'nothing is published on how long cottage cheese keeps once opened'
    """
    only = "; what there is counts from the day it is bought" if bought else ""
    chilled = "" if cold else " and 'chilled: yes'"
    return Unclear(
        f"nothing is published on how long {name} keeps once opened{only}",
        f"Write 'opened_life: 2' (days, its label's){chilled}; "
        "'opened_life: keeps' only for what needs no fridge once opened.",
        ("opened_life",),
    )


_GLUTEN_FREE = ", or write 'free_of: [gluten]' where its label says gluten-free"


def _unclear(wrong: Unread, steps: tuple[str | int, ...] = ()) -> Unclear:
    """Make a finding about a line one about the entry that it stands in."""
    return Unclear(wrong.what, wrong.mend, steps, hangs_on=wrong.hangs_on)


def _labelled(line: Ingredient, allergens: frozenset[str] | None) -> Ingredient:
    """Take what its label says of allergens in place of the table's usual recipe."""
    if allergens is None:
        return line
    food = line.food
    if food.allergens_settled and food.allergens - allergens:
        missing = ", ".join(sorted(food.allergens - allergens))
        oats = _GLUTEN_FREE if is_of_oats(food) else ""
        raise Contradicted(
            f"{food.name!r} holds {missing}, which 'allergens' leaves out",
            f"Add {missing}{oats}, or name another food.",
            "allergens",
        )
    read = replace(
        food,
        allergens=allergens,
        check_label=False,
        allergens_known=True,
        cereals=cereals_with(food.cereals, allergens),
    )
    return replace(line, food=read)


def food_packs(
    food: Food, packs: Sequence[tuple[str, Decimal]], cups: str | None, region: str
) -> tuple[FoodPack, ...]:
    """Work out what the packs hold that a food is sold in.

    Parameters
    ----------
    food
        The food.
    packs
        What each holds, as written, and its price.
    cups
        Which cup and spoons are meant; None where that was not said.
    region
        uk or us.

    Returns
    -------
    tuple of FoodPack
        In the order of `packs`.

    Raises
    ------
    Unclear
        When a pack cannot be made grams, with its place in the list.

    Examples
    --------
    >>> from models.foods.food import find
    >>> packs = food_packs(find("leek"), [("500 g", Decimal(2))], None, "uk")
    >>> packs[0].bought, packs[0].edible < packs[0].bought
    (Decimal('500'), True)
    """
    known: list[FoodPack] = []
    for at, (content, price) in enumerate(packs):
        try:
            weighed = weigh_amount(content, food, cups, region)
        except Unread as wrong:
            raise _unclear(wrong, (at, "pack")) from None
        edible = bought = weighed.grams
        if food.refuse:
            # A pack is weighed as it is bought, with what will be thrown away.
            if weighed.written:
                edible = weighed.grams * (1 - food.refuse / 100)
            else:
                bought = weighed.grams / (1 - food.refuse / 100)
        known.append(FoodPack(content, bought, edible, price))
    return tuple(known)


def mass_of_one(food: Food, unit: str, cups: str | None, region: str) -> Decimal:
    """Look up the mass in g of 1 mL ("mL") or of one piece (empty) of a food.

    Parameters
    ----------
    food
        The food.
    unit
        "mL", or empty for a piece.
    cups
        Whose cups hold, where a cup tells how heavy it is; None: those of the table.
    region
        uk or us: which eggs and tins are meant.

    Returns
    -------
    Without what is thrown away of a piece.

    Raises
    ------
    Unclear
        When the table does not know.

    Examples
    --------
    >>> from models.foods.food import find
    >>> mass_of_one(find("egg, whole, fresh"), "", None, "us")
    Decimal('50')
    """
    try:
        return weigh_amount(f"1 {unit}".strip(), food, cups, region).grams
    except Unread as wrong:
        raise _unclear(wrong) from None
