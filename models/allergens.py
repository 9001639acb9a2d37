"""The allergens that law names, and the words people use for them.

Sources: Regulation (EU) No 1169/2011, Annex II (fourteen groups); for the United
States, FALCPA 2004 with the FASTER Act 2021 (nine). The US nine are marked; all
of them lie inside the EU fourteen.
"""

from __future__ import annotations

EU_FOURTEEN: tuple[str, ...] = (
    "gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
)

# "wheat" is the US word for what Annex II lists under cereals containing gluten.
US_NINE: tuple[str, ...] = (
    "milk",
    "eggs",
    "fish",
    "crustaceans",
    "nuts",
    "peanuts",
    "gluten",
    "soya",
    "sesame",
)

# "shellfish" alone leaves open which; whoever writes it means both to be safe.
_WORDS: dict[str, frozenset[str]] = {name: frozenset({name}) for name in EU_FOURTEEN} | {
    word: frozenset(groups.split())
    for word, groups in (
        ("wheat", "gluten"),
        ("barley", "gluten"),
        ("rye", "gluten"),
        ("oats", "gluten"),
        ("spelt", "gluten"),
        ("khorasan wheat", "gluten"),
        ("kamut", "gluten"),
        ("cereals containing gluten", "gluten"),
        ("crustacean", "crustaceans"),
        ("crustacean shellfish", "crustaceans"),
        ("shellfish", "crustaceans molluscs"),
        ("egg", "eggs"),
        ("peanut", "peanuts"),
        ("soy", "soya"),
        ("soybeans", "soya"),
        ("soyabeans", "soya"),
        ("dairy", "milk"),
        ("lactose", "milk"),
        ("tree nuts", "nuts"),
        ("tree nut", "nuts"),
        ("nut", "nuts"),
        ("sesame seeds", "sesame"),
        ("almonds", "nuts"),
        ("hazelnuts", "nuts"),
        ("walnuts", "nuts"),
        ("cashews", "nuts"),
        ("pecan nuts", "nuts"),
        ("brazil nuts", "nuts"),
        ("pistachio nuts", "nuts"),
        ("macadamia nuts", "nuts"),
        ("queensland nuts", "nuts"),
        ("sulphur dioxide", "sulphites"),
        ("sulphur dioxide and sulphites", "sulphites"),
        ("sulfites", "sulphites"),
        ("mollusc", "molluscs"),
        ("mollusks", "molluscs"),
    )
}

WORDS: tuple[str, ...] = tuple(_WORDS)


def allergens(word: str) -> frozenset[str] | None:
    """Find the groups an everyday word stands for, or None when it is no allergen."""
    return _WORDS.get(" ".join(word.split()).casefold())
