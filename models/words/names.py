"""Names of foods as people type them, brought to a form in which they can be compared.

Two names are the same when they hold the same words: in any order, in the plural or not,
whatever the letters' case and the marks between the words.
"""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=65_536)
def plain(name: str) -> str:
    """Bring a name to its plain form: its words singular, in alphabetical order."""
    return " ".join(sorted(split(name)))


@lru_cache(maxsize=65_536)
def words(name: str) -> frozenset[str]:
    """Give the words of a name, singular."""
    return frozenset(split(name))


def split(name: str) -> list[str]:
    """Split a name into singular words, in the order of the name."""
    letters = "".join(letter if letter.isalnum() else " " for letter in name.casefold())
    return [_singular(word) for word in letters.split()]


def is_one_of(wanted: str, names: frozenset[str]) -> bool:
    """Tell whether every word of `wanted` is in one of the names: "egg" is in "egg, boiled"."""
    asked = words(wanted)
    return bool(asked) and any(asked <= words(name) for name in names)


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
