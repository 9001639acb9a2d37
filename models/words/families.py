"""The families that foods belong to, what people call them, and the ways of eating.

A family is what someone avoids: pork, fish, nightshades. Most lie within wider ones: who avoids
meat avoids pork. Families that are allergens of law go by the allergen.

Sources: which animals, plants and drinks a family takes in is common practice, no source; the
ways of eating follow their everyday meaning (vegetarian: no meat, fish, gelatine or animal
rennet; vegan: nothing of animals, honey neither), from memory of ISO 23662:2021.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from models.words.allergens import WORDS as ALLERGEN_WORDS
from models.words.allergens import allergens
from models.words.names import plain_name

WITHIN: Mapping[str, tuple[str, ...]] = {
    "meat": (),
    "red meat": ("meat",),
    "pork": ("red meat",),
    "beef": ("red meat",),
    "lamb": ("red meat",),
    "goat": ("red meat",),
    "game": ("meat",),
    "offal": ("meat",),
    "poultry": ("meat",),
    "chicken": ("poultry",),
    "turkey": ("poultry",),
    "duck": ("poultry",),
    "goose": ("poultry",),
    "fish": (),
    "anchovies": ("fish",),
    "crustaceans": (),
    "molluscs": (),
    "dairy": (),
    "cheese": ("dairy",),
    "butter": ("dairy",),
    "cream": ("dairy",),
    "yoghurt": ("dairy",),
    "egg": (),
    "honey": (),
    "gelatine": (),
    "animal rennet": (),
    "alcohol": (),
    "wine": ("alcohol",),
    "beer": ("alcohol",),
    "nuts": (),
    "pine nuts": (),
    "peanuts": (),
    "coconut": (),
    "chestnuts": (),
    "seeds": (),
    "sesame": ("seeds",),
    "mustard": (),
    "pulses": (),
    "chickpeas": ("pulses",),
    "soya": ("pulses",),
    "lupin": ("pulses",),
    "nightshades": (),
    "tomatoes": ("nightshades",),
    "potatoes": ("nightshades",),
    "peppers and chillies": ("nightshades",),
    "aubergines": ("nightshades",),
    "allium": (),
    "onions": ("allium",),
    "garlic": ("allium",),
    "mushrooms": (),
    "celery": (),
    "citrus fruit": (),
    "cocoa": (),
    "gluten": (),
}
"""Each family to the wider ones that it lies in."""

OF_ALLERGEN: Mapping[str, str] = {
    "milk": "dairy",
    "eggs": "egg",
    "fish": "fish",
    "crustaceans": "crustaceans",
    "molluscs": "molluscs",
    "nuts": "nuts",
    "pine nuts": "pine nuts",
    "peanuts": "peanuts",
    "soya": "soya",
    "lupin": "lupin",
    "sesame": "sesame",
    "mustard": "mustard",
    "celery": "celery",
    "gluten": "gluten",
}
"""Groups of law to the family that is the same."""
ALLERGEN_OF: Mapping[str, str] = {family: group for group, family in OF_ALLERGEN.items()}

_ALSO: Mapping[str, str] = {
    "meat": "meats, viande, Fleisch, carne",
    "pork": "pig, pigs, swine, pork products, pig meat, porc, Schwein, cerdo, maiale",
    "beef": "cow, cattle, veal, boeuf, Rindfleisch, ternera",
    "lamb": "mutton, sheep",
    "poultry": "fowl, birds, volaille, Geflügel, aves",
    "chicken": "hen, poulet, Hähnchen, pollo",
    "game": "venison, rabbit",
    "anchovies": "anchovy",
    "honey": "honey and honeycomb",
    "gelatine": "gelatin, gelatines",
    "animal rennet": "rennet, calf rennet",
    "alcohol": "alcoholic drinks, spirits, liquor, ethanol",
    "seeds": "seed",
    "pulses": "legumes, beans and pulses, pulse",
    "chickpeas": "garbanzo beans, chick peas, gram flour",
    "nightshades": "solanaceae, nightshade",
    "potatoes": "potato",
    "tomatoes": "tomato",
    "peppers and chillies": "chillies, chilli, capsicum, capsicums, bell peppers, sweet peppers",
    "aubergines": "aubergine, eggplant",
    "allium": "alliums, onion family, alliaceous vegetables",
    "mushrooms": "mushroom, fungi",
    "citrus fruit": "citrus, citrus fruits",
    "cocoa": "chocolate",
}

_MEAT_AND_FISH = ("meat", "fish", "crustaceans", "molluscs", "gelatine", "animal rennet")
DIETS: Mapping[str, tuple[str, ...]] = {
    "vegetarian": _MEAT_AND_FISH,
    "pescatarian": ("meat", "gelatine", "animal rennet"),
    "vegan": (*_MEAT_AND_FISH, "dairy", "egg", "honey"),
    "halal": ("pork", "alcohol"),
    "kosher": ("pork", "crustaceans", "molluscs", "game"),
}
"""Each way of eating to the families that it bars."""
ONLY_IF_STATED: Mapping[str, tuple[str, ...]] = {
    "halal": ("meat", "crustaceans", "molluscs", "gelatine", "animal rennet"),
    "kosher": ("meat", "fish", "dairy", "gelatine", "animal rennet", "alcohol"),
}
"""Of ways that a table cannot judge: families that nobody gets until the file states it."""
_DIET_WORDS: Mapping[str, str] = {
    **{diet: diet for diet in DIETS},
    "veggie": "vegetarian",
    "vegetarians": "vegetarian",
    "pescetarian": "pescatarian",
    "vegans": "vegan",
    "plant-based": "vegan",
}


@cache
def _families() -> Mapping[str, str]:
    """Every name of a family in its plain form, to the family."""
    by_name = {plain_name(family): family for family in WITHIN}
    for family, also in _ALSO.items():
        by_name |= {plain_name(word): family for word in also.split(", ")}
    return by_name


@cache
def _allergen_words() -> Mapping[str, str]:
    return {plain_name(word): word for word in ALLERGEN_WORDS}


def family(word: str) -> str | None:
    """Find the family that a word means, in one or many.

    Parameters
    ----------
    word
        As people say it.

    Returns
    -------
    str or None
        A key of `WITHIN`.

    Examples
    --------
    >>> family("pigs"), family("sunshine")
    ('pork', None)
    """
    return _families().get(plain_name(word))


def groups(word: str) -> frozenset[str] | None:
    """Find the allergens that a word names, in one or many; None when it names none.

    Parameters
    ----------
    word
        As people say it.

    Returns
    -------
    Groups of Annex II, and pine nuts, as `allergens` has them.

    Examples
    --------
    >>> groups("eggs"), groups("pork")
    (frozenset({'eggs'}), None)
    """
    known = _allergen_words().get(plain_name(word))
    return None if known is None else allergens(known)


def diet(word: str) -> str | None:
    """Find the way of eating that a word means.

    Parameters
    ----------
    word
        As people say it.

    Returns
    -------
    str or None
        A key of `DIETS`.

    Examples
    --------
    >>> diet("plant-based"), diet("hungry")
    ('vegan', None)
    """
    return _DIET_WORDS.get(" ".join(word.split()).casefold())


@cache
def around(name: str) -> frozenset[str]:
    """Widen a family by all the wider ones that it lies in.

    Parameters
    ----------
    name
        A key of `WITHIN`.

    Returns
    -------
    Keys of `WITHIN`, the name itself among them.

    Examples
    --------
    >>> sorted(around("pork"))
    ['meat', 'pork', 'red meat']
    """
    return frozenset({name}).union(*(around(wider) for wider in WITHIN.get(name, ())))


def widened(names: Iterable[str]) -> frozenset[str]:
    """Widen families by all the wider ones that they lie in.

    Parameters
    ----------
    names
        Keys of `WITHIN`.

    Returns
    -------
    Keys of `WITHIN`, the names themselves among them; empty for none.

    Examples
    --------
    >>> sorted(widened(["duck", "beer"]))
    ['alcohol', 'beer', 'duck', 'meat', 'poultry']
    """
    return frozenset().union(*(around(name) for name in names))


def known_words() -> tuple[str, ...]:
    """List every word that means a family or an allergen.

    Returns
    -------
    tuple of str
        Families first, then what else they are called, then the words for allergens.

    Examples
    --------
    >>> "pork" in known_words(), "pigs" in known_words(), "sunshine" in known_words()
    (True, True, False)
    """
    also = (word for words in _ALSO.values() for word in words.split(", "))
    return (*WITHIN, *also, *ALLERGEN_WORDS)
