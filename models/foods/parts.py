"""What a food is made of for those who must not have something, and what a label says of it.

A label settles what may be in a food; it cannot talk away what the food is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from models.foods.families import Families, derived, with_allergens
from models.foods.food import Food
from models.foods.recipe import Ingredient, Recipe
from models.words.families import ALLERGEN_OF, DIETS, OF_ALLERGEN, family, groups
from models.words.names import split

OTHERS = "others"
_OF_SEVERAL = frozenset(
    {"bread", "drinks", "oils", "own", "pasta", "sauces", "spices", "store cupboard", "sweet", ""}
)


@dataclass(frozen=True, slots=True)
class Part:
    """One food that a batch or an item is made of, for those who must not have something.

    Attributes
    ----------
    families
        What it belongs to, and what may be in it.
    allergens
        Groups of law in it, as far as known.
    names
        What it is called, lower case.
    plain
        True for what is one thing, as ham is; false for what is made of several.
    label
        True where recipes differ, so that only the label tells.
    suits
        Ways of eating that its label says it suits.
    free_of
        Families and words that its label says it is free of.
    """

    name: str
    families: Families
    allergens: frozenset[str]
    names: frozenset[str]
    plain: bool
    label: bool
    suits: frozenset[str] = frozenset()
    free_of: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in a food, for those who must not have something.

    Attributes
    ----------
    allergens
        Groups of Regulation (EU) No 1169/2011 Annex II, or None when others may be in it.
    foods
        Names of foods in it, lower case.
    held
        Groups that are in it for certain, whatever else may be.
    unsettled
        What would have to be settled, where `allergens` is None: the foods whose label or
        recipe nobody has read.
    cereals
        Which cereals the gluten is of; empty where nobody said.
    parts
        The foods it is made of, as far as anyone said.
    told
        False where nobody said what is in it.
    free_of
        Families and words that someone read it is free of; "others" for all but its parts.
    suits
        Ways of eating that someone read it suits.
    """

    allergens: frozenset[str] | None
    foods: frozenset[str]
    held: frozenset[str] = frozenset()
    unsettled: tuple[str, ...] = ()
    cereals: frozenset[str] = frozenset()
    parts: tuple[Part, ...] = ()
    told: bool = False
    free_of: frozenset[str] = frozenset()
    suits: frozenset[str] = frozenset()

    @property
    def known(self) -> frozenset[str]:
        """Groups that are in it for certain."""
        return self.held if self.allergens is None else self.allergens


class Contradicted(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """A label that leaves out what a food is.

    Parameters
    ----------
    what
        What is wrong, in a sentence.
    mend
        What to write instead.
    key
        The key of the week file that says so: "allergens", "free_of" or "suits".
    """

    def __init__(self, what: str, mend: str, key: str) -> None:
        self.what = what
        self.mend = mend
        self.key = key
        super().__init__(what)


def freed(words: Iterable[str]) -> frozenset[str]:
    """Collect the families, or else the words, that something is free of.

    Parameters
    ----------
    words
        Words for families or foods.

    Returns
    -------
    Keys of `WITHIN`; small letters of a word that is no family; groups of law that are no foods.

    Examples
    --------
    >>> sorted(freed(["eggs", "swede"]))
    ['egg', 'swede']
    """
    barred: set[str] = set()
    for word in words:
        allergens = groups(word)
        if allergens is not None:
            barred |= {OF_ALLERGEN.get(group, group) for group in allergens}
        else:
            barred.add(family(word) or word.casefold())
    return frozenset(barred)


def part_of(line: Ingredient) -> Part:
    """Describe a line of a recipe for those who must not have something.

    Parameters
    ----------
    line
        A line of a recipe, read.

    Returns
    -------
    Under the name that the table has; `label` says whether one is to be read.

    Examples
    --------
    >>> from models.foods.food import find
    >>> from models.foods.recipe import hundred
    >>> part_of(hundred(find("leek"))).plain
    True
    """
    food = line.food
    names = frozenset(name.casefold() for name in (food.name, *food.aliases, line.name))
    return Part(
        name=food.name,
        families=food.families,
        allergens=food.allergens,
        names=names,
        plain=food.group not in _OF_SEVERAL,
        label=food.check_label or not food.allergens_known,
        suits=line.suits,
        free_of=line.free_of,
    )


def as_called(line: Ingredient) -> Ingredient:
    """Take along what a line calls its food where the food is wider: honey mustard is mustard.

    What the name says beyond the food may be in it, until a label is read, and so may what the line
    says that it comes with, or in a word behind a comma: baked beans with sausages, "noodles,
    sesame and honey", or "carrots, toasted almonds".

    Parameters
    ----------
    line
        A line of a recipe, read.

    Returns
    -------
    The line itself where its name says no more than the food.

    Examples
    --------
    >>> from models.foods.food import find
    >>> from models.foods.recipe import hundred
    >>> mustard = hundred(find("mustard"))
    >>> "honey" in as_called(replace(mustard, name="honey mustard")).food.families.may
    True
    """
    food = line.food
    known = food.families
    own = split(food.name)
    asides = (part.strip() for part in _JOINED.split(line.text.partition(",")[2]))
    named = (part for part in asides if _ASIDE.fullmatch(part) and not {*split(part)} & {*own})
    told = frozenset[str]().union(
        *(derived((part,)).holds for part in (line.name, *_WITH.findall(line.text), *named))
    )
    more = told - known.holds - known.may - derived((food.name,)).holds
    if not more:
        return line
    unsettled = any(family in ALLERGEN_OF for family in more)
    wider = replace(
        food,
        stated=Families(known.holds, known.may | more, known.told),
        check_label=food.check_label or unsettled,
    )
    return replace(line, food=wider)


_JOINED = re.compile(r",|&|\b(?:and|or)\b")
_ASIDE = re.compile(r"(?:(?:\w[\w-]*ed|fresh|ground) )?[^\s]+", re.IGNORECASE)
_WITH = re.compile(
    r"\b(?:with|in)\b ([^(),]*\b(?:sauces?|butter|cream|batter|breadcrumbs|flour|milk|beer)\b"
    r"|(?<=with )[^(),]+)",
    re.IGNORECASE,
)
"""What a food comes with, and in what it was cooked or lies."""


def parts_of(recipe: Recipe, allergens: frozenset[str] | None) -> tuple[Part, ...]:
    """List what a recipe is made of, each food once, whatever the order of its lines.

    Parameters
    ----------
    recipe
        Lines, read.
    allergens
        Groups of law in all of it by its label; None where nobody read one.

    Returns
    -------
    In the order of the alphabet; the label's allergens go before the table's.

    Examples
    --------
    >>> from models.foods.food import find
    >>> from models.foods.recipe import hundred
    >>> leeks = hundred(find("leek"))
    >>> [part.name for part in parts_of(Recipe((leeks, leeks)), None)]
    ['leek, raw']
    """
    parts = {_labelled(part_of(line), allergens) for line in recipe.ingredients}
    return tuple(sorted(parts, key=_order))


def _labelled(part: Part, allergens: frozenset[str] | None) -> Part:
    if allergens is None:
        return part
    left = part.allergens & allergens
    return replace(part, families=with_allergens(part.families, left, known=True), allergens=left)


def _order(part: Part) -> tuple[object, ...]:
    return part.name, part.label, sorted(part.families.may), sorted(part.names)


def stated_part(word: str) -> Part:
    """Describe a food that the user says is in it.

    Parameters
    ----------
    word
        What the user calls it.

    Returns
    -------
    As if it were all told: nothing else is in it, and no label is to be read.

    Examples
    --------
    >>> sorted(stated_part("honey").families.holds)
    ['honey']
    """
    families = derived((word,), told=True)
    return Part(
        name=word,
        families=families,
        allergens=frozenset(ALLERGEN_OF[kin] for kin in families.holds if kin in ALLERGEN_OF),
        names=frozenset({word}),
        plain=True,
        label=False,
    )


def read_label(line: Ingredient, free_of: Iterable[str], suits: Iterable[str]) -> Ingredient:
    """Take what its label says it is free of, and whom it suits.

    Parameters
    ----------
    line
        A line of a recipe, read.
    free_of
        Words for what the label says is not in it.
    suits
        Ways of eating that the label names.

    Returns
    -------
    A copy with the families left out; the line itself where the label says nothing.

    Raises
    ------
    Contradicted
        When that leaves out what the food is.

    Examples
    --------
    >>> from models.foods.food import find
    >>> from models.foods.recipe import hundred
    >>> read_label(hundred(find("leek")), [], ["vegan"]).suits
    frozenset({'vegan'})
    """
    free, diets = freed(free_of), frozenset(suits)
    if not free and not diets:
        return line
    if "gluten" in free:
        line = gluten_free(line)
    none_contradicted((part_of(line),), free, diets)
    barred = frozenset(family for diet in diets for family in DIETS[diet])
    known = line.food.families.settled(free | barred, others=OTHERS in free)
    return replace(line, food=replace(line.food, stated=known), suits=diets, free_of=free)


def is_of_oats(food: Food) -> bool:
    """Tell whether oats are the only gluten in a food: these are sold as gluten-free.

    Parameters
    ----------
    food
        A food of any table.

    Returns
    -------
    False as well where it is not known which cereal the gluten is of.

    Examples
    --------
    >>> from models.foods.food import find
    >>> is_of_oats(find("rolled oats")), is_of_oats(find("couscous"))
    (True, False)
    """
    return food.cereals == {"oats"}


def gluten_free(line: Ingredient) -> Ingredient:
    """Take the gluten out of a line of oats, whose label says that they are free of it.

    Parameters
    ----------
    line
        A line of a recipe, read.

    Returns
    -------
    A copy without gluten and its cereals; any line but one of oats as it is.

    Examples
    --------
    >>> from models.foods.food import find
    >>> from models.foods.recipe import hundred
    >>> gluten_free(hundred(find("rolled oats"))).food.allergens
    frozenset()
    """
    food = line.food
    if not is_of_oats(food):
        return line
    known = food.families
    without = Families(known.holds - {"gluten"}, known.may - {"gluten"}, known.told)
    allergens = food.allergens - {"gluten"}
    bare = replace(food, allergens=allergens, cereals=frozenset(), stated=without)
    return replace(line, food=bare)


def none_contradicted(
    parts: Iterable[Part], free_of: frozenset[str], suits: frozenset[str]
) -> None:
    """Refuse a label that leaves out what a part is for certain.

    Parameters
    ----------
    parts
        What something is made of.
    free_of
        Families that its label says are not in it.
    suits
        Ways of eating that its label names.

    Raises
    ------
    Contradicted
        With the food and what it is.

    Examples
    --------
    >>> try:
    ...     none_contradicted([stated_part("honey")], frozenset(), frozenset({"vegan"}))
    ... except Contradicted as wrong:
    ...     print(wrong)
    'honey' is honey
    """
    for part in parts:
        holds = part.families.holds
        for kin in sorted(free_of & holds):
            raise _contradicted(part, kin, "free_of", f"Take {kin!r} out of 'free_of'")
        for diet in sorted(suits):
            for kin in DIETS[diet]:
                if kin in holds:
                    raise _contradicted(part, kin, "suits", f"Take {diet!r} out of 'suits'")


def _contradicted(part: Part, family: str, key: str, mend: str) -> Contradicted:
    holds = "is" if part.plain else "holds"
    return Contradicted(f"{part.name!r} {holds} {family}", f"{mend}, or name another food.", key)
