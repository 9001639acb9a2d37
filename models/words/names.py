"""Names of foods as people type them, brought to a form in which they can be compared.

Two names are the same when they hold the same words: in any order, in the plural or not,
whatever the letters' case and the marks between the words.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

LONG = 6
"""Letters from which a word may have a letter wrong."""


@lru_cache(maxsize=65_536)
def plain_name(name: str) -> str:
    """Bring a name to its plain form: its words singular, in alphabetical order.

    Parameters
    ----------
    name
        As it is typed.

    Returns
    -------
    Small letters and single blanks, without commas; empty where the name holds no word.

    Examples
    --------
    >>> plain_name("Lentils, dried")
    'dried lentil'
    """
    return " ".join(sorted(split(name)))


def as_bought(name: str) -> str:
    """Call a food of the table as one who buys it does: that it is raw goes without saying.

    Parameters
    ----------
    name
        Its name in the table.

    Returns
    -------
    The name without what it ends with.

    Examples
    --------
    >>> as_bought("kale, raw"), as_bought("pearl barley, dry")
    ('kale', 'pearl barley, dry')
    """
    return name.removesuffix(", raw")


@lru_cache(maxsize=65_536)
def words(name: str) -> frozenset[str]:
    """Collect the words of a name, singular.

    Parameters
    ----------
    name
        As it is typed.

    Returns
    -------
    Each once, as `split` writes them; empty where the name holds no word.

    Examples
    --------
    >>> sorted(words("leeks and cream"))
    ['and', 'cream', 'leek']
    """
    return frozenset(split(name))


def split(name: str) -> list[str]:
    """Split a name into singular words, in the order of the name.

    Parameters
    ----------
    name
        As it is typed.

    Returns
    -------
    Small letters, without accents, in one spelling; empty where the name holds no word.

    Examples
    --------
    >>> split("soy yogurt, plain")
    ['soya', 'yoghurt', 'plain']
    """
    return list(_split(name))


@lru_cache(maxsize=16_384)
def _split(name: str) -> tuple[str, ...]:
    # A line is taken apart some seventy times, and most of its parts stood in lines before.
    return tuple(_SPELLINGS.get(word, word) for word in map(_singular, _spelt(name)))


def spelt(name: str) -> list[str]:
    """Split a name into its words as they are spelt, in small letters and without accents.

    Parameters
    ----------
    name
        As it is typed.

    Returns
    -------
    In the order of the name, letters and figures alone; empty where it holds neither.

    Examples
    --------
    >>> spelt("Crème fraîche"), spelt("goat's cheese")
    (['creme', 'fraiche'], ['goat', 'cheese'])
    """
    return list(_spelt(name))


@lru_cache(maxsize=16_384)
def _spelt(name: str) -> tuple[str, ...]:
    if not name.isascii():
        parted = unicodedata.normalize("NFKD", name.replace("’", "'"))
        name = "".join(letter for letter in parted if not unicodedata.combining(letter))
    name = _OF_ONE.sub(" ", name.casefold())
    return tuple("".join(letter if letter.isalnum() else " " for letter in name).split())


@lru_cache(maxsize=65_536)
def is_slip(typed: str, word: str) -> bool:
    """Tell whether a word is another one with one slip of the fingers in it.

    A letter left out, typed twice or changed with its neighbour; in words of six letters or
    more also a letter too many or a wrong one, but for the first and the last letter: "floury"
    is no slip of "flour", nor "custard" of "mustard".

    Parameters
    ----------
    typed
        The word as it is typed.
    word
        The word that may be meant.

    Returns
    -------
    True for exactly one slip: False for the same word.

    Examples
    --------
    >>> is_slip("letuce", "lettuce"), is_slip("custard", "mustard")
    (True, False)
    """
    at = _differs(typed, word)
    if len(typed) + 1 == len(word):
        return typed[at:] == word[at + 1 :]
    if len(typed) == len(word) + 1:
        doubled = at > 0 and typed[at] == typed[at - 1]
        inside = len(word) >= LONG and 0 < at < len(word)
        return (doubled or inside) and typed[at + 1 :] == word[at:]
    if len(typed) != len(word) or typed == word:
        return False
    swapped = typed[at : at + 2] == word[at : at + 2][::-1] and typed[at + 2 :] == word[at + 2 :]
    inside = len(word) >= LONG and 0 < at < len(word) - 1
    return swapped or (inside and typed[at + 1 :] == word[at + 1 :])


def _differs(name: str, other: str) -> int:
    """Give the place of the first letter in which two words differ."""
    pairs = enumerate(zip(name, other, strict=False))
    return next(
        (at for at, (letter, another) in pairs if letter != another), min(len(name), len(other))
    )


def is_one_of(wanted: str, names: frozenset[str]) -> bool:
    """Tell whether every word of `wanted` is in one of the names: "egg" is in "egg, boiled".

    Parameters
    ----------
    wanted
        A name.
    names
        Names that may hold all of its words.

    Returns
    -------
    False where `wanted` holds no word.

    Examples
    --------
    >>> is_one_of("egg", frozenset({"egg, boiled"})), is_one_of("", frozenset({"egg"}))
    (True, False)
    """
    asked = words(wanted)
    return bool(asked) and any(asked <= words(name) for name in names)


def is_many(name: str) -> bool:
    """Tell whether a name is in the plural, as far as its head tells: "prawns, boiled".

    Parameters
    ----------
    name
        As it is typed.

    Returns
    -------
    Of the last word before the comma; False where there is none.

    Examples
    --------
    >>> is_many("prawns, boiled"), is_many("couscous, soaked"), is_many("feta cheese")
    (True, False, False)
    """
    head = spelt(name.partition(",")[0])[-1:]
    return any(word.endswith("s") and not word.endswith(("us", "ss", "is")) for word in head)


def in_order(typed: str, name: str) -> bool:
    """Tell whether two names of the same words mean the same thing by the order of the words.

    "Lentils, dry" and "dry lentils" do, and so do "lentils dry"; "chocolate milk" is no "milk
    chocolate", for the last word says what it is.

    Parameters
    ----------
    typed
        A name as it is typed.
    name
        A name of the same words.

    Returns
    -------
    True wherever one of them has a comma, for then the order is turned on purpose.

    Examples
    --------
    >>> in_order("dry lentils", "lentils dry"), in_order("chocolate milk", "milk chocolate")
    (True, False)
    """
    if "," in typed or "," in name:
        return True
    last, of_name = split(typed)[-1:], split(name)[-1:]
    return last == of_name or not {*last, *of_name}.isdisjoint(_PREPARED)


_OF_ONE = re.compile(r"'s?\b|(?<=s)'")
_SPELLINGS = {
    "soy": "soya",
    "yogurt": "yoghurt",
    "doughnut": "donut",
    "chili": "chilli",
    "chile": "chilli",
    "chily": "chilli",
    "chilly": "chilli",
}
_HISSING = ("ch", "sh", "ss", "x")
_PLURALS = (("ies", "y"), ("ves", "f"), ("oes", "o"), *((end + "es", end) for end in _HISSING))
# Singular forms whose plural loses its "e" above: cookie, olive, knife, sloe, quiche, mousse.
_SINGULARS = (
    *(("ie", "y"), ("ve", "f"), ("fe", "f"), ("oe", "o")),
    *((end + "e", end) for end in _HISSING),
)


def _singular(word: str) -> str:
    # The same cut is made on both sides, so it need not be grammar: only one and many of a
    # word must come to the same.
    if len(word) > 4:
        for end, instead in _PLURALS:
            if word.endswith(end):
                return word[: -len(end)] + instead
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        word = word[:-1]
    if len(word) > 3:
        for end, instead in _SINGULARS:
            if word.endswith(end):
                return word[: -len(end)] + instead
    return word


_PREPARED = words(
    "baked, boiled, braised, canned, chopped, cooked, dried, drained, dry, fresh, fried, frozen, "
    "grated, grilled, ground, peeled, plain, poached, raw, roast, roasted, salted, sliced, smoked, "
    "steamed, tinned, toasted, uncooked, unsalted, unsweetened, whole"
)
