"""The allergens that law names, and the words people use for them.

Sources: Regulation (EU) No 1169/2011, Annex II (fourteen groups); for the United
States, FALCPA 2004 with the FASTER Act 2021 (nine). The US nine lie inside the EU
fourteen but for pine nuts, which US law counts among tree nuts.
"""

from __future__ import annotations

from collections.abc import Iterable

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

PINE_NUTS = "pine nuts"
"""No group of Annex II, but a tree nut by US law (FDA's list of tree nuts, from memory)."""

_US_NAMES = {
    "crustaceans": "crustacean shellfish",
    "nuts": "tree nuts",
    PINE_NUTS: "tree nuts",
    "gluten": "wheat",
    "soya": "soybeans",
}
US_WORDS = {
    "crustacean shellfish": "crustaceans",
    "tree nuts": "nuts",
    "wheat": "gluten",
    "soybeans": "soya",
}
"""Words of US law to the group of EU law that means the same, or nearly."""
CEREALS = ("wheat", "spelt", "khorasan wheat", "rye", "barley", "oats")
# Spelt and khorasan are wheats; rye, barley and oats are not among the nine.
WHEATS = frozenset({"wheat", "spelt", "khorasan wheat"})


def cereals_with(known: frozenset[str], stated: frozenset[str]) -> frozenset[str]:
    """Settle the cereals of gluten where someone stated allergens beside what the table says.

    "Gluten" that is stated may be of any cereal, so wheat is not ruled out by it.

    Parameters
    ----------
    known
        Cereals that the table names.
    stated
        Groups of Annex II that someone stated.

    Returns
    -------
    All of `known`, where gluten is stated and wheat is among them; else none.

    Examples
    --------
    >>> cereals_with(frozenset({"rye"}), frozenset({"gluten"}))
    frozenset()
    >>> cereals_with(frozenset({"wheat"}), frozenset({"gluten"}))
    frozenset({'wheat'})
    """
    return known if "gluten" in stated and known & WHEATS else frozenset()


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
        ("seafood", "fish crustaceans molluscs"),
        ("egg", "eggs"),
        ("peanut", "peanuts"),
        ("soy", "soya"),
        ("soybeans", "soya"),
        ("soyabeans", "soya"),
        ("dairy", "milk"),
        ("lactose", "milk"),
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

# What people call them besides: kinds of one group, and the group in the languages next door. Who
# names a kind is guarded against the whole group, as law names no less than that.
_WORDS |= {
    word: frozenset({group})
    for group, words in (
        ("gluten", "wheat gluten, wheatgerm, coeliac disease, coeliac, celiac disease, celiac"),
        ("gluten", "blé, froment, Weizen, trigo, frumento, glutine, orge, Gerste, seigle, Roggen"),
        ("crustaceans", "crustacea, prawn, king prawn, shrimp, crab, lobster, crayfish, crawfish"),
        ("crustaceans", "langoustine, scampi, crustacés, crevette, Krebstiere, Garnele, Garnelen"),
        ("crustaceans", "crustáceos, gambas, crostacei, gamberi"),
        ("molluscs", "mollusk, mussel, clam, oyster, scallop, squid, octopus, cuttlefish, cockle"),
        ("molluscs", "whelk, abalone, calamari, mollusques, moules, Weichtiere, Muscheln"),
        ("molluscs", "moluscos, molluschi"),
        (
            "eggs",
            "hen's egg, hens egg, hen egg, egg white, egg yolk, whole egg, raw egg, oeuf, œuf",
        ),
        ("eggs", "Ei, Eier, huevo, uovo, uova"),
        ("fish", "finfish, fin fish, poisson, Fisch, pescado, pesce"),
        ("peanuts", "groundnut, ground nut, monkey nut, arachide, arachides, cacahuète, Erdnuss"),
        ("peanuts", "Erdnüsse, cacahuete, cacahuetes, maní"),
        ("soya", "soya bean, soy bean, soja, sojas"),
        (
            "milk",
            "cow's milk, cows milk, cow milk, goat's milk, goats milk, sheep's milk, whole milk",
        ),
        (
            "milk",
            "milk product, dairy product, dairy food, milk protein, casein, whey, lait, Milch",
        ),
        ("milk", "Laktose, leche, latte, lactosa, lattosio, lait de vache, Kuhmilch"),
        ("nuts", "pecan, pistachio, macadamia, brazil, filbert, fruits à coque, noix, Nuss, Nüsse"),
        ("nuts", "Schalenfrüchte, nueces, frutos secos, frutta a guscio"),
        ("celery", "celeriac, céleri, Sellerie, apio, sedano"),
        ("mustard", "mustard seed, moutarde, Senf, mostaza, senape"),
        ("sesame", "sésame, Sesam, sésamo, sesamo"),
        ("sulphites", "sulfite, sulfur dioxide, so2, E220"),
        ("lupin", "lupine, lupini, altramuces, Lupinen"),
    )
    for word in words.split(", ")
}
_WORDS |= dict.fromkeys(
    ("fruits de mer", "marisco", "mariscos", "Meeresfrüchte", "frutti di mare", "sea food"),
    frozenset({"fish", "crustaceans", "molluscs"}),
)
_WORDS |= dict.fromkeys(("shell fish", "Schalentiere"), frozenset({"crustaceans", "molluscs"}))
_TREE_NUTS = ("tree nuts", "tree nut", "tree-nuts", "tree-nut", "treenuts", "treenut")
_WORDS = {word.casefold(): groups for word, groups in _WORDS.items()}

# Whoever speaks of tree nuts, as US law does, means pine nuts too.
_WORDS |= {word: frozenset({"nuts", PINE_NUTS}) for word in _TREE_NUTS}
_WORDS |= {word: frozenset({PINE_NUTS}) for word in ("pine nuts", "pine nut")}

WORDS: tuple[str, ...] = tuple(_WORDS)


def allergens(word: str) -> frozenset[str] | None:
    """Find the groups an everyday word stands for, or None when it is no allergen.

    Parameters
    ----------
    word
        As people say it, in one or many: "shellfish".

    Returns
    -------
    frozenset of str or None
        Groups of Annex II, and pine nuts.

    Examples
    --------
    >>> sorted(allergens("Shellfish"))
    ['crustaceans', 'molluscs']
    >>> allergens("leek") is None
    True
    """
    return _WORDS.get(" ".join(word.split()).casefold())


def us_nine(groups: frozenset[str], cereals: frozenset[str]) -> tuple[str, ...]:
    """Name the major allergens of US law among groups of Annex II, in its own words.

    Parameters
    ----------
    groups
        Groups of Annex II, and pine nuts.
    cereals
        Which cereals the gluten is of; where nobody said, it counts as wheat.

    Returns
    -------
    In the order of `US_NINE`; empty where none of them is one.

    Examples
    --------
    >>> us_nine(frozenset({"gluten", "celery"}), frozenset({"rye"}))
    ()
    >>> us_nine(frozenset({"gluten", "milk"}), frozenset())
    ('milk', 'wheat')
    """
    names: dict[str, None] = {}
    for group in US_NINE:
        wheat = group != "gluten" or not cereals or bool(cereals & WHEATS)
        if wheat and (group in groups or (group == "nuts" and PINE_NUTS in groups)):
            names[_US_NAMES.get(group, group)] = None
    return tuple(names)


def say(groups: frozenset[str], cereals: frozenset[str]) -> str:
    """Write which allergens there are, by the names of EU law, the cereals of gluten named.

    Parameters
    ----------
    groups
        Groups of Annex II.
    cereals
        Which cereals the gluten is of; empty where nobody said.

    Returns
    -------
    In the order of the alphabet, with commas; empty where there are none.

    Examples
    --------
    >>> say(frozenset({"milk", "gluten"}), frozenset({"rye"}))
    'gluten (rye), milk'
    """
    which = f" ({', '.join(sorted(cereals))})" if cereals else ""
    names = [group + which if group == "gluten" else group for group in sorted(groups)]
    return ", ".join(names)


def cereals_of(foods: Iterable[tuple[frozenset[str], frozenset[str]]]) -> frozenset[str]:
    """Name the cereals of the gluten in some foods; none where one of them does not say.

    Parameters
    ----------
    foods
        Groups and cereals of each.

    Returns
    -------
    Empty as well where no food holds gluten.

    Examples
    --------
    >>> rye = (frozenset({"gluten"}), frozenset({"rye"}))
    >>> cereals_of([rye]), cereals_of([rye, (frozenset({"gluten"}), frozenset())])
    (frozenset({'rye'}), frozenset())
    """
    known = [cereals for groups, cereals in foods if "gluten" in groups]
    return frozenset().union(*known) if all(known) else frozenset()
