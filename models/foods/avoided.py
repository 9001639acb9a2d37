"""What the words of 'must_not > foods' mean: an allergen, a family of foods, or a food.

A word that means nothing would guard nothing, so it is refused.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from models.foods.facts import Unclear
from models.foods.food import Foods
from models.words.errors import did_you_mean, nearest
from models.words.families import OF_ALLERGEN, diet, family, groups, known_words
from models.words.names import is_one_of, plain_name, spelt, words


@dataclass(frozen=True, slots=True)
class Avoided:
    """What someone must not have.

    Attributes
    ----------
    allergens
        Groups that a word names and that are no foods: sulphites.
    foods
        Families, and words that foods are called by.
    """

    allergens: frozenset[str]
    foods: frozenset[str]


def avoided(written: Iterable[str], foods: Foods, names: frozenset[str]) -> Avoided:
    """Read the words of foods that someone must not have.

    Parameters
    ----------
    written
        The words as written.
    foods
        The foods of the tables and of the file.
    names
        What batches, items and what is in them are called, lower case.

    Returns
    -------
    Allergens that are no foods, and families and words in small letters; empty for no words.

    Raises
    ------
    Unclear
        When a word means no allergen, no family and no food, with near ones.

    Examples
    --------
    >>> from models.foods.food import builtin
    >>> words = avoided(["eggs", "pigs"], builtin(), frozenset())
    >>> sorted(words.foods)
    ['egg', 'pork']
    """
    allergens: set[str] = set()
    kept: set[str] = set()
    for at, word in enumerate(written):
        named, kin = groups(word), family(word)
        if named is not None:
            kept |= {OF_ALLERGEN[group] for group in named & OF_ALLERGEN.keys()}
            allergens |= named - OF_ALLERGEN.keys()
            # Oats may be labelled gluten-free: who names them avoids these as well.
            kept |= {"oats"} & {word.casefold()}
        elif kin is not None:
            kept.add(kin)
        elif _is_called(word, frozenset(names | foods.names.keys())):
            kept.add(word.casefold())
        else:
            raise _meaningless(word, at, foods)
    return Avoided(frozenset(allergens), frozenset(kept))


def _is_called(word: str, names: frozenset[str]) -> bool:
    """Tell whether foods are called by a word; "gluten-free" would bar what need not be barred.

    "Bread and butter" is two things, unless something is called just so.
    """
    told = words(word)
    if told & _WITHOUT or diet(word) is not None:
        return False
    if told & _JOINING:
        return plain_name(word) in map(plain_name, names)
    return is_one_of(word, names)


_JOINING = words("and or of from with in")


def _means_something(word: str, foods: Foods) -> bool:
    named = is_one_of(word, frozenset(foods.names))
    return named or groups(word) is not None or family(word) is not None


_WITHOUT = words("free no not without non")


_ONE_THING = "Write one thing a line, as a shop calls it in English: pork, nuts, gluten, swede."


def _meaningless(word: str, at: int, foods: Foods) -> Unclear:
    eating = diet(word)
    without = " ".join(part for part in spelt(word) if part not in _WITHOUT | {"of", "from"})
    if eating is not None:
        mend = f"Write 'diet: {eating}' beside 'foods'."
    elif words(word) & _WITHOUT and _means_something(without, foods):
        mend = f"Write {without!r}: what stands here is what nobody puts in."
    elif len(words(word) - _JOINING) > 1 and words(word) & {"and", "or"}:
        mend = _ONE_THING
    else:
        singles = {part for name in foods.by_name for part in spelt(name)} - _WITHOUT
        # What people avoid is a family more often than one food of thousands.
        kin = nearest(word, known_words())
        near = kin or nearest(word, singles)
        mend = _ONE_THING if near is None else did_you_mean(near)
    return Unclear(
        f"{word!r} means no allergen, no family of foods and no food known here", mend, (at,)
    )
