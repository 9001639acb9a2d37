"""What the words of 'must_not > foods' mean: an allergen, a family of foods, or a food.

A word that means nothing would guard nothing, so it is refused.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from models.foods.facts import Unclear
from models.foods.food import Foods
from models.words.errors import did_you_mean, nearest, suggestion
from models.words.families import OF_ALLERGEN, diet, family, groups, known_words
from models.words.names import is_one_of, spelt, words


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
        elif kin is not None:
            kept.add(kin)
        elif diet(word) is None and words(word) and is_one_of(word, names | foods.names.keys()):
            kept.add(word.casefold())
        else:
            raise _meaningless(word, at, foods)
    return Avoided(frozenset(allergens), frozenset(kept))


def _meaningless(word: str, at: int, foods: Foods) -> Unclear:
    eating = diet(word)
    if eating is not None:
        mend = f"Write 'diet: {eating}' beside 'foods'."
    else:
        singles = {part for name in foods.by_name for part in spelt(name)}
        # What people avoid is a family more often than one food of thousands.
        kin = nearest(word, known_words())
        mend = suggestion(word, singles) if kin is None else did_you_mean(kin)
    return Unclear(
        f"{word!r} means no allergen, no family of foods and no food known here", mend, (at,)
    )
