"""Which words of a line may name its food, and what its other words tell of it.

A name is shared in "red or white wine", hidden in "fresh, ripe figs", cut short by "in olive oil"
and changed behind the comma in "eggs, yolks only". Here the phrases to look up are given, the
likeliest first; what they mean is asked elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from models.foods import store
from models.foods.lines.weighing import GRAMS, LENGTHS
from models.foods.lines.written import Written
from models.foods.naming import Hints, is_unboiled
from models.foods.vocabulary import (
    HARD,
    KINDS,
    NOTHING,
    PORTIONS,
    SAYS_NOTHING,
    STATES,
    is_adverb,
)
from models.words.names import in_order, split

CUT = re.compile(
    r"\s+\b(?:in (?:water|brine|oil|olive oil|syrup|their|its|own|juice|natural|adobo)|from|on the|"
    r"with|that|which|soaked|wrapped in|(?:cut|broken|torn) (?:in|into|up|across)|of good|of your|"
    r"topped|for|made (?:with|from)|packed in|weighed|"
    r"(?:infused|dissolved|mixed|steeped|seasoned|blended|tossed|rubbed|spiced) (?:in|with))\b.*$",
    re.IGNORECASE,
)
"""What stands behind a name without a comma and names no food of its own."""


def phrases(written: Written) -> Iterator[str]:
    """List the phrases that may name the food, the likeliest first.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    Words as the line has them, perhaps the same more than once; none where no word is left.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> list(phrases(read_written("250 g leeks in butter")))[0]
    'leeks in butter'
    """
    name = " ".join(re.sub(SAYS_NOTHING, " ", written.name, flags=re.IGNORECASE).split())
    holder = written.amounts[-1].holder if written.amounts else ""
    other = _other(written)
    if name:
        if _SKIN_ON.search(f"{written.name} , {' , '.join(written.asides)}"):
            yield from filter(is_name, (f"skin-on {name}",))
        yield from _of_name(written, name, holder, other)
    else:
        # "skin-on, bone-in chicken thighs": the name stands behind the comma.
        aside = " ".join(re.sub(SAYS_NOTHING, " ", " ".join(written.asides[:1])).split())
        if _SKIN_ON.search(" ".join((written.name, *written.asides[:1]))):
            yield from filter(is_name, (f"skin-on {aside}",))
        yield from filter(None, (aside, other, holder))
    yield from written.comments
    if name and other and all(adds_nothing(word) for word in split(name)):
        yield CUT.sub("", other)


def _other(written: Written) -> str:
    """Give the name of what may be used instead, as far as it lends words to the first."""
    other = written.other
    if other is None:
        return ""
    if other.text not in _OR:
        # "such as" and "preferably" lead to an example, which lends nothing.
        return "" if written.name else other.name
    if other.other is not None and other.other.text in _OR:
        return f"{other.name} {other.other.name}"
    return other.name


_OR = ("or", "and/or", "alternatively")


def _of_name(written: Written, name: str, holder: str, other: str) -> Iterator[str]:
    part = _PART_OF_NAME.get(holder, "")
    if part and is_name(f"{part} of {name}"):
        yield f"{part} of {name}"
    if holder == "squeeze" and split(name)[-1:] and split(name)[-1] in _CITRUS:
        yield f"fresh {split(name)[-1]} juice"
    yield from _held_name(written, name)
    yield from _by_share(written, name)
    yield from _made_up(written, name)
    turned = tuple(_turned(written, name))
    yield from turned
    if turned and written.asides and {*split(written.asides[0])} & _PRESERVED:
        # "Walnuts, pickled" are no walnuts, whether or not the table knows pickled ones.
        return
    yield from _shared(name, other)
    beside = tuple(_beside(written, name))
    if all(adds_nothing(word) or word in KINDS for word in split(name)):
        # "cold, unsalted butter": the name stands behind the comma, or behind "or".
        yield from beside
        if other and written.other is not None:
            yield from phrases(replace(written.other, asides=written.asides))
            return
    cut = CUT.sub("", name)
    if _PART_OF.match(cut) and not is_name(cut, whole=True):
        yield from filter(is_name, (_PART_OF.sub("", cut),))
    if cut in (name, "") or is_name(name, whole=True):
        yield name
    yield from (phrase for phrase in (cut if cut != name else "", *beside[:1]) if phrase)
    yield from filter(is_name, (_MIX.sub("", name),))
    if LESS_SALT.search(name):
        yield " ".join(LESS_SALT.sub(" ", cut or name).split())


def _beside(written: Written, name: str) -> Iterator[str]:
    """Join a name with what stands behind the comma; behind the second if the first says nothing.

    "Cooked, shelled, and deveined shrimp" are shrimp.
    """
    asides = [re.sub(SAYS_NOTHING, " ", aside, flags=re.IGNORECASE) for aside in written.asides]
    if asides:
        yield " ".join(f"{name} {asides[0]}".split())
    if len(asides) > 1 and all(map(adds_nothing, split(asides[0]))):
        yield " ".join(f"{name} {' '.join(asides)}".split())


def _by_share(written: Written, name: str) -> Iterator[str]:
    """Give the name that a share tells: dark chocolate of 70 % cocoa, ground beef 85 % lean."""
    words = {*split(name)}
    told = " ".join((name, *written.asides, *written.comments))
    if "chocolate" in words and not words & _NOT_DARK:
        cocoa = _COCOA_SHARE.search(told)
        if cocoa is not None:
            yield next(kind for least, kind in _DARK if int(cocoa[1]) >= least)
    if "beef" in words and words & _MINCED:
        lean, fat = _LEAN_SHARE.search(told), _FAT_SHARE.search(told)
        if lean or fat:
            share = int(lean[1]) if lean else 100 - int(fat[1]) if fat else 0
            yield next(kind for least, kind in _MINCE if share >= least)


_NOT_DARK = frozenset(split("milk white chip spread sauce syrup biscuit cookie cake"))
_MINCED = frozenset(split("mince minced ground"))
_COCOA_SHARE = re.compile(r"(\d\d)(?:\s?(?:-|–|to)\s?\d+)?\s*(?:%|per ?cent)", re.IGNORECASE)
_LEAN_SHARE = re.compile(r"\b(\d\d)(?:/\d\d\b|\s*(?:%|per ?cent) lean)", re.IGNORECASE)
_FAT_SHARE = re.compile(r"\b(\d\d?)\s*(?:%|per ?cent) fat", re.IGNORECASE)
_DARK = (
    (70, "dark chocolate, 70 per cent and over"),
    (60, "dark chocolate, 60 to 69 per cent"),
    (0, "dark chocolate, 45 to 59 per cent"),
)
_MINCE = (
    (91, "beef mince, extra lean, raw"),
    (83, "ground beef, 15 per cent fat, raw"),
    (76, "ground beef, 20 per cent fat, raw"),
    (0, "ground beef, 30 per cent fat, raw"),
)
"""Kinds by the least share of cocoa, and of lean meat, in 100 g."""


def _made_up(written: Written, name: str) -> Iterator[str]:
    """Give the name of stock that the line says is made up of a cube, or bought: no home-made."""
    words = split(CUT.sub("", name))
    if "stock" not in words and written.other is not None:
        words += split(written.other.name)[-1:]
    told = " ".join((written.text, name, *written.asides, *written.comments))
    if words[-1:] != ["stock"] or _NO_CUBE.search(told) or not _OF_A_CUBE.search(told):
        return
    for kind in words[:-1]:
        for ready in (f"{kind} stock, ready to use", f"{kind} broth"):
            yield from filter(partial(is_name, whole=True), (ready,))


_CUBE = r"(cubes?|stock (pots?|gel|powder|granules)|bouillon|powder|granules|carton)\b"
_OF_A_CUBE = re.compile(rf"\b({_CUBE}|(ready|shop|store)[- ](made|bought)\b)", re.IGNORECASE)
_NO_CUBE = re.compile(
    r"\b(not?|never|rather than|instead of) (made )?((with|from|of) )?((an?|the) )?(stock )?"
    rf"{_CUBE}",
    re.IGNORECASE,
)


def _turned(written: Written, name: str) -> Iterator[str]:
    """Give the name whose first words stand behind the comma or in brackets: salmon, smoked."""
    if not (written.amounts or written.spare):
        return
    for aside in (*written.asides[:1], *written.comments[:1]):
        words = split(aside)
        if words == ["minced"] and is_name(f"{name} mince", whole=True):
            yield f"{name} mince"
        elif words and all(map(_tells, words)):
            kept = len(words) == 1 and words[0] in _PRESERVED
            if kept or is_name(f"{aside} {name}"):
                yield f"{aside} {name}"


def _tells(word: str) -> bool:
    """Tell whether a word behind the comma says which food it is, not what a cook does with it."""
    return STATES.get(word, "raw") in _TELLING_STATES and not (word in NOTHING or is_adverb(word))


_TELLING_STATES = HARD - {"cooked", "roast", "fried"} | {
    *("raw", "frozen", "ground", "salted", "unsalted", "skinless", "sweetened", "unsweetened"),
}
_PRESERVED = frozenset({"smoked", "pickled"})
_PART_OF = re.compile(
    r"^(fillets?|pieces?|cuts?|tails?|sides?|joints?|slices?|steaks?|loins?) of ", re.IGNORECASE
)
"""What may stand before a name as its part: fillet of cod."""
_SKIN_ON = re.compile(r"\bskin[ -]on\b|\bwith (the )?skin\b", re.IGNORECASE)
_PART_OF_NAME = {"rack": "rack", "fillet": "fillet", "stalk": "rib"}
"""Holders that are the first word of a name with "of": rack of lamb; a rib is told as a stalk."""


LESS_SALT = re.compile(
    r"\b((lower|low|reduced|less|no|without)[ -](added[ -])?(sodium|salt)([ -]added)?|"
    r"(salt|sodium)[ -]free|unsalted)\b",
    re.IGNORECASE,
)
"""Words for a kind with less salt, left out where the table has no such kind."""
_MIX = re.compile(r"\s+(spices?|seasoning|herbs?)( mix| mixture| blend| rub)?$", re.IGNORECASE)
"""What may stand behind the name of a mixture of spices: berbere spice mix."""
_SHAPES = frozenset({"round", "glass", "pot", "lump"})
_NOT_A_HOLDER = frozenset(
    {"strip", "head", "lump", "glass", "pot", "cube", "square", "round", "bottle"}
)
"""Holders that may be the first word of a name: glass noodles, pot barley, bottle gourd."""


def is_held(written: Written, phrase: str) -> bool:
    """Tell whether what looks like a holder is the first word of a name: round lettuce.

    Parameters
    ----------
    written
        A line, taken apart.
    phrase
        The words that its food was found by.

    Returns
    -------
    False where it holds the food, as a bunch does.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> written = read_written("1 round lettuce")
    >>> is_held(written, "round lettuce"), is_held(written, "lettuce")
    (True, False)
    """
    first, _, last = phrase.partition(" ")
    return (first in _SHAPES or last == "steak") and phrase in _held_name(written, written.name)


def _held_name(written: Written, name: str) -> Iterator[str]:
    """Give the name that begins with what looks like a holder: pot barley."""
    holder = written.amounts[-1].holder if written.amounts else ""
    for word in dict.fromkeys((holder, written.held.strip().casefold())):
        if word in _NOT_A_HOLDER and is_name(f"{word} {name}"):
            yield f"{word} {name}"


def _shared(name: str, other: str) -> Iterator[str]:
    """Lend the first the last words of the second: in "red or white wine" both are wine."""
    mine, theirs = split(name), other.split()
    if theirs and all(adds_nothing(word) for word in split(theirs[-1])):
        return
    while len(theirs) > 1 and split(theirs[-1])[0] in PORTIONS:
        theirs = theirs[:-1]
    for count in (1, 2, 3):
        lent = theirs[-count:]
        if len(theirs) > count - 1 and lent and split(lent[-1])[:1] != mine[-1:]:
            both = f"{name} {' '.join(lent)}"
            namings = store.namings(" ".join(sorted(split(both))))
            turned = namings and not any(in_order(both, naming.name) for naming in namings)
            if is_name(both) and not turned:
                yield both


def is_name(phrase: str, *, whole: bool = False) -> bool:
    """Tell whether a phrase is the name of an everyday food, word for word.

    Parameters
    ----------
    phrase
        Words without an amount.
    whole
        True where no word of it may be left out.

    Returns
    -------
    True in whichever region it is a name, and whatever the order of its words.

    Examples
    --------
    >>> is_name("leeks"), is_name("leeks in butter")
    (True, False)
    """
    if whole:
        return bool(store.namings(" ".join(sorted(split(phrase)))))
    words = [word for word in split(phrase) if word not in NOTHING]
    return any(
        store.namings(" ".join(sorted(some)))
        for some in (
            split(phrase),
            words,
            [word for word in words if STATES.get(word) not in ("fresh", "hot")],
        )
    )


def adds_nothing(word: str) -> bool:
    """Tell whether a word says nothing about which food it is, but perhaps its state.

    Parameters
    ----------
    word
        One word, singular.

    Returns
    -------
    True of how it is cut, of a state, and of whatever ends in "ly".

    Examples
    --------
    >>> adds_nothing("chopped"), adds_nothing("leek")
    (True, False)
    """
    return word in NOTHING or word in STATES or is_adverb(word)


def _is_bare_pepper(name: str) -> bool:
    telling = [word for word in split(name) if not adds_nothing(word)]
    return telling == ["pepper"]


def several(name: str) -> list[str]:
    """Split a list of foods.

    Parameters
    ----------
    name
        The words of a line for its foods.

    Returns
    -------
    In the order of the line, one name for one food; empty for no words.

    Examples
    --------
    >>> several("salt, pepper and oil")
    ['salt', 'black pepper', 'oil']
    """
    parts = re.split(r"\s*,\s*(?:and\s+)?|\s+(?:and|&)\s+", name)
    names = [part.strip() for part in parts if part.strip()]
    if len(names) > 1:
        names[-1] = re.sub(r"\s+(mix|mixture|blend)$", "", names[-1], flags=re.IGNORECASE)
    if any(split(food)[-1:] == ["salt"] for food in names):
        # Beside salt, pepper is the spice.
        names = ["black pepper" if _is_bare_pepper(food) else food for food in names]
    return names


_WRAPPED = re.compile(r"\bwrapped in (?:an? |some |thin |\d+ )?(.+)$", re.IGNORECASE)


def wrapped_in(written: Written) -> str:
    """Name the food that the food of a line is wrapped in.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    Its words; empty where it is wrapped in nothing, or in what is no everyday food, as foil.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> wrapped_in(read_written("8 dates, wrapped in bacon"))
    'bacon'
    >>> wrapped_in(read_written("4 corn tortillas, wrapped in foil"))
    ''
    """
    told = (_WRAPPED.search(text) for text in (written.name, *written.asides, *written.comments))
    return next((match[1] for match in told if match and is_name(match[1])), "")


_EGG = re.compile(r"\b(yolk|white)s?\s+only\b|^(yolk|white)s?$", re.IGNORECASE)


def egg_part(written: Written) -> str:
    """Name the part of an egg where the line says that only that is used.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    "egg yolk" or "egg white", in one or many as written; else empty.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> egg_part(read_written("2 eggs, yolks only")), egg_part(read_written("2 eggs"))
    ('egg yolk', '')
    """
    if split(written.name)[-1:] != ["egg"]:
        return ""
    only = next((match for aside in written.asides if (match := _EGG.search(aside))), None)
    return "" if only is None else f"egg {(only[1] or only[2]).casefold()}"


_JUICE = re.compile(r"\bjuiced?\b", re.IGNORECASE)
_ZEST = re.compile(r"\b(zest(ed)?|rind|peel)\b(?!ed| and pith removed)", re.IGNORECASE)
_CITRUS = frozenset({"lemon", "lime", "orange", "grapefruit", "clementine", "tangerine", "satsuma"})


def fruit(written: Written) -> str:
    """Name the citrus fruit of which a part is used.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    Its name, singular; where no word is a citrus fruit, the words of the line for the food.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> fruit(read_written("1 unwaxed lemon, juiced"))
    'lemon'
    """
    words = [word for word in split(written.name) if word in _CITRUS]
    return words[-1] if words else written.name


def citrus_parts(written: Written) -> tuple[str, ...]:
    """Name the parts of a citrus fruit that are used, where it is counted whole.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    "juice", then "zest"; empty where it is eaten whole or is no citrus fruit.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> citrus_parts(read_written("1 lemon, zest and juice"))
    ('juice', 'zest')
    """
    used = next((amount.part for amount in written.amounts if amount.part), "")
    counted = any(amount.count is not None and not amount.measures for amount in written.amounts)
    words = split(written.name)
    whole = bool(words) and words[-1] in _CITRUS and "preserved" not in words
    if not whole or not (used or counted):
        return ()
    if not used:
        used = " ".join(
            note for note in (*written.asides, *written.comments) if not _NOT_A_PART.search(note)
        )
    juice, zest = _JUICE.search(used), _ZEST.search(used)
    return (*(("juice",) if juice else ()), *(("zest",) if zest else ()))


_NOT_A_PART = re.compile(r"\b(peeled|removed|discarded|reserve)\b", re.IGNORECASE)


_COOKED = re.compile(r"^(cooked|boiled|ready.cooked)\b|\bcooked weight\b", re.IGNORECASE)
_TO_COOK = re.compile(
    r"\b(according|following|as|per|for|until|in|then)\b|\band (drained|cooled)\b", re.IGNORECASE
)
"""What is still to be done: cooked according to the packet."""


_OFF_A_SHELF = re.compile(r"\bfrom an? (jar|tin|can)\b", re.IGNORECASE)
_PRAWNS = frozenset(split("prawn shrimp"))
_UNCOOKED = re.compile(r"\b(deveined|unpeeled|shells?[ -](left )?(on|off|removed))\b", re.I)
"""What is done to prawns that are still to be cooked."""
_WASHED = re.compile(r"\b(washed|rinsed|cleaned|patted|spun)\b")
"""Before "dried" it says that only the water is off."""


def hints(written: Written) -> Hints:
    """Gather what the amount and the words behind the commas tell of the food.

    Parameters
    ----------
    written
        A line, taken apart.

    Returns
    -------
    Of the line alone: whether such a food is in the table is not asked.

    Examples
    --------
    >>> from models.foods.lines.written import read_written
    >>> hints(read_written("250 g chickpeas, drained")).states
    frozenset({'drained'})
    """
    asides = " ".join(written.asides).casefold()
    states = set()
    holders = {amount.holder for amount in written.amounts}
    if any(_held_name(written, written.name)):
        holders = set()
    if holders & {"tin", "jar"} or re.search(r"\b(tinned|canned)\b", asides):
        states.add("tinned")
    if re.search(r"\bdrained\b", asides):
        states.add("drained")
    if "squeezed" in asides and "juice" in split(written.name):
        states.add("fresh")
    if _OFF_A_SHELF.search(" ".join((written.name, asides, *written.comments))):
        states.add("tinned")
    if {*split(written.name)} & _PRAWNS and _UNCOOKED.search(
        " ".join((written.text, *written.comments))
    ):
        states.add("raw")
    if any(_COOKED.search(aside) and not _TO_COOK.search(aside) for aside in written.asides):
        states.add("cooked")
    if re.search(r"\b(soaked overnight|dried)\b", asides) and not _WASHED.search(asides):
        states.add("dried")
    units = {measure.unit for amount in written.amounts for measure in amount.measures}
    return Hints(
        frozenset(states),
        spoon=bool(units & {"tsp", "tbsp"}) or bool(holders & {"pinch", "dash"}),
        leafy=bool(holders & {"sprig", "bunch", "handful", "leaf", "stalk"} or units & set(LENGTHS))
        or "chopped" in asides
        or "leaves" in asides,
        weighed=bool(units & set(GRAMS)) or bool(holders & {"tin", "jar", "pack"}),
        unboiled=not states & {"tinned", "cooked"}
        and is_unboiled(split(" ".join((written.name, *written.asides, *written.comments)))),
    )
