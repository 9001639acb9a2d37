"""Which food the words of a line mean.

An everyday name is looked up word for word, whatever the order of its parts. What says nothing
about the food (chopped, good-quality, large) is left out, then what a food may be without being
another (fresh, frozen), then the part that is used (leaves, fillet); what changes the food
(dried, smoked, tinned) has to be met by the food. A word that is known is never changed into
another: where nothing has all of them the line is refused, with the foods that come near.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from functools import cache

from models.foods import store
from models.foods.tabled import rows
from models.foods.vocabulary import (
    AGREES,
    BLOCKING,
    HARD,
    KINDS,
    NOTHING,
    OTHER_FOOD,
    OTHER_PLANT,
    PASSING,
    PORTIONS,
    SORTS,
    STATES,
    is_adverb,
)
from models.words.names import in_order, spelt, split

Words = tuple[str, ...]
MOST_NEAR = 6


@dataclass(frozen=True, slots=True)
class Hints:
    """What the rest of the line says about the state of the food.

    Attributes
    ----------
    states
        Hard states behind the commas or of the holder: tinned, cooked.
    spoon
        True where it is measured by the spoon, as dried herbs are.
    leafy
        True for sprigs, bunches and handfuls, as fresh herbs are.
    weighed
        True where its mass is given.
    unboiled
        True where it is called dry, raw, soaked or sprouted, and neither tinned nor cooked.
    """

    states: frozenset[str] = frozenset()
    spoon: bool = False
    leafy: bool = False
    weighed: bool = False
    unboiled: bool = False


NO_HINTS = Hints()


@dataclass(frozen=True, slots=True)
class Named:
    """The food that a name means.

    Attributes
    ----------
    food
        Its number in the table.
    read_as
        True where a bare name was taken in its usual meaning.
    unsaid
        Words of the line that the food does not have.
    left
        Words at the end that were left out as a part of it: leaf, clove, stick.
    """

    food: int
    read_as: bool = False
    unsaid: Words = ()
    left: Words = ()


@dataclass(slots=True)
class Unnamed(LookupError):  # noqa: N818 - a finding, not a fault of the program
    """Words that mean no food, or several.

    Attributes
    ----------
    why
        In words for a cook, without the name itself.
    near
        Foods that come near.
    """

    name: str
    why: str
    near: tuple[str, ...] = field(default=())


def named(phrase: str, region: str, hints: Hints) -> Named:
    """Find the food that a phrase means.

    Parameters
    ----------
    phrase
        The words for the food, without the amount: "chopped fresh flat-leaf parsley".
    region
        uk or us, for names that mean something else there.
    hints
        What the rest of the line tells.

    Returns
    -------
    Everyday foods go before all others; what was guessed or left out is said with it.

    Raises
    ------
    Unnamed
        When they mean none, or several that differ much.

    Examples
    --------
    >>> store.row(named("finely chopped leeks", "uk", NO_HINTS).food)["name"]
    'leek, raw'
    """
    phrase = phrase.replace("%", " per cent ")
    words = tuple(split(phrase))
    if not words:
        raise Unnamed(phrase, "no food is named")
    if any(pair <= {*words} for pair in _ANOTHER):
        raise Unnamed(phrase, "is not in the table")
    if any(pair <= {*words} for pair in _POISON) and "oil" not in words:
        raise Unnamed(phrase, "is poisonous and no food here")
    for tried in tries(phrase):
        meant = _everyday(tried, words, region, hints)
        if meant is not None:
            return meant
    if len(words) > 1 and words[-1] == "pasta":
        meant = _shape(phrase, words, region, hints)
        if meant is not None:
            return meant
    if set(words) & _DRINKS and set(words) & _MILKED and not set(words) & _WITH_MILK:
        raise Unnamed(phrase, "is not in the table", _PLANT_DRINKS)
    return _other(phrase, region, unboiled=hints.unboiled or is_unboiled(words))


def _shape(phrase: str, words: Words, region: str, hints: Hints) -> Named | None:
    """Find "rigatoni pasta" by the name of its shape alone."""
    shape = re.sub(r"(?i)\s+pastas?\b", "", phrase)
    meant = next(
        filter(None, (_everyday(some, words, region, hints) for some in tries(shape))), None
    )
    return meant if meant is not None and store.row(meant.food)["kind"] == "pasta" else None


_DRINKS, _WITH_MILK = frozenset(split("milk drink")), frozenset(split("with in made water shake"))
_MILKED = frozenset(split("oat hemp pea cashew hazelnut coconut spelt flax macadamia plant nut"))
_PLANT_DRINKS = ("almond milk, unsweetened", "rice milk, unsweetened", "soya milk, unsweetened")
"""Drinks of plants that the table has; none is taken for another, for they differ in allergens."""


_ANOTHER = tuple(
    frozenset(split(pair))
    for pair in ("chilli crisp", "chilli crispy", "powdered egg", "egg powder")
)
"""Foods that are called by another of them: chillies in oil, with soya and peanuts; dried egg."""
_POISON = tuple(
    frozenset(split(pair))
    for pair in ("apricot kernel", "peach kernel", "bitter almond", "rhubarb leaf", "green potato")
)
"""What nobody should eat however it is cooked at home (UK FSA on apricot kernels, from memory)."""


_POISONOUS = frozenset(word for pair in _POISON for word in pair)


# -- everyday names ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Try:
    """Some of the words: which states, parts and other words are left out of them."""

    words: Words
    states: frozenset[str] = frozenset()
    left: Words = ()
    unsaid: Words = ()


def tries(phrase: str) -> Iterator[Try]:
    """Try the words of a phrase, then fewer and fewer of them.

    Parameters
    ----------
    phrase
        The words for the food, without the amount.

    Returns
    -------
    iterator of Try
        All words first, the bare kind of food last.

    Examples
    --------
    >>> [" ".join(tried.words) for tried in tries("chopped leeks")][:2]
    ['chopped leek', 'chopped leek']
    """
    words = tuple(split(phrase))
    core = _telling(phrase)
    states = frozenset(STATES[word] for word in words if word in STATES)
    yield Try(words)
    if "minced" in words:
        yield Try(tuple("mince" if word == "minced" else word for word in words))
    # Steamed, poached and braised are cooked, uncooked is raw, whichever word a name has.
    alike = {word: STATES[word] for word in words if STATES.get(word) in _ALIKE}
    if any(word != state for word, state in alike.items()):
        yield Try(tuple(alike.get(word, word) for word in _telling(phrase)))
    yield Try(tuple(word for word in words if STATES.get(word) not in PASSING))
    if "of" in words:
        # "Butterflied leg of lamb" is a leg of lamb, and the name has its "of".
        yield Try(_telling(phrase, kept=_OF))
    if not core:
        return
    yield Try(core)
    lasting = tuple(word for word in core if STATES.get(word) not in PASSING)
    yield Try(lasting)
    yield Try(tuple(word for word in lasting if STATES.get(word) != "hot"))
    soft = tuple(word for word in lasting if word not in STATES or STATES[word] in HARD)
    yield Try(soft)
    bare = tuple(word for word in soft if word not in STATES)
    yield Try(bare, states & HARD)
    for some in (core, lasting, soft, bare):
        missing = frozenset(STATES[word] for word in words if word in STATES and word not in some)
        for cut in _without_portions(some):
            yield Try(cut, missing & HARD, some[len(cut) :])
    for some in (soft, bare):
        missing = frozenset(STATES[word] for word in words if word in STATES and word not in some)
        for cut in (some, *_without_portions(some)):
            plain = tuple(word for word in cut if word not in KINDS)
            another = any(pair <= {*cut} for pair in OTHER_FOOD) or cut[-1:] == ("bitter",)
            if plain and plain != cut and not another:
                unsaid = tuple(word for word in cut if word in KINDS)
                yield Try(plain, missing & HARD, some[len(cut) :], unsaid)


_ALIKE = frozenset({"cooked", "raw", "roast"})
_OF = frozenset({"of"})


def _telling(phrase: str, kept: frozenset[str] = frozenset()) -> Words:
    """Give the words of a phrase that may say which food it is: no adverbs, no "chopped"."""
    return tuple(word for _, word in telling_pairs(phrase, kept))


def telling_pairs(phrase: str, kept: frozenset[str] = frozenset()) -> list[tuple[str, str]]:
    """Select the words of a phrase that may tell which food it is: no adverbs, no "chopped".

    Parameters
    ----------
    phrase
        The words for the food, without the amount.
    kept
        Words that stay whatever they say.

    Returns
    -------
    list of pairs
        Each word as it is spelt, and in the singular.

    Examples
    --------
    >>> telling_pairs("finely chopped leeks")
    [('leeks', 'leek')]
    """
    pairs = zip(spelt(phrase), split(phrase), strict=True)
    return [
        (spelling, word)
        for spelling, word in pairs
        if word in kept or not _says_nothing(spelling, word)
    ]


def is_telling(word: str) -> bool:
    """Tell whether a word says something that the reading of names, or a rule of families, knows.

    Parameters
    ----------
    word
        One word, singular.

    Returns
    -------
    True for what changes a food (vegan), for states, parts and kinds, and for names of families.

    Examples
    --------
    >>> is_telling("vegan"), is_telling("marmande")
    (True, False)
    """
    return (
        any(word in some for some in (NOTHING, STATES, KINDS, PORTIONS, SORTS, _of_families()))
        or bool(re.fullmatch(BLOCKING, word))
        or word in _POISONOUS
    )


@cache
def _of_families() -> frozenset[str]:
    named = (row["words"] for row in rows("families.csv"))
    listed = (row["name"] for row in rows("strangers.csv"))
    return frozenset(word for cell in (*named, *listed) for word in split(cell))


def _says_nothing(spelling: str, word: str) -> bool:
    return word in NOTHING or word.isdigit() or is_adverb(spelling)


def _without_portions(words: Words) -> Iterator[Words]:
    cut = words
    while len(cut) > 1 and cut[-1] in PORTIONS and frozenset(cut[-2:]) not in OTHER_PLANT:
        cut = cut[:-1]
        yield cut


def _everyday(tried: Try, words: Words, region: str, hints: Hints) -> Named | None:
    if not tried.words:
        return None
    unboiled = hints.unboiled or is_unboiled(words)
    fresh = hints.leafy or bool(_FRESH & set(words))
    hinted = [*sorted(hints.states - {"drained"})]
    hinted += ["fresh"] if fresh and "dried" not in words else []
    hinted += ["dried"] if hints.spoon and not fresh else []
    of_pulses = [state for state in ("dried", "dry") if unboiled and state not in hinted]
    # What is called raw may be fresh: only where the bare name is of boiled ones it is the dry one.
    fresh_first = {"raw", "uncooked"} & {*words} and not _DRY & {*words, *hints.states}
    for state in (*hinted, "", *of_pulses) if fresh_first else (*hinted, *of_pulses, ""):
        naming = exactly(
            (*((state,) if state else ()), *tried.words), region, " ".join(tried.words)
        )
        if naming is None:
            continue
        row = store.row(naming.food)
        if row["kind"] == "pulses" and unboiled:
            # What is not boiled is never taken for what is: it is poisonous, and weighs a third.
            if row["state"] in _BOILED:
                continue
        elif state in of_pulses or (
            state in _STATED and state not in hints.states and row["kind"] != "herbs"
        ):
            continue
        if not _meets(row, tried.states) or ("fresh" in words and _is_dry_pasta(row)):
            continue
        if naming.mark == "~" and row["kind"] == "meat" and {*tried.left} & _CUTS_OF_MEAT:
            continue  # pork medallions are no pork shoulder, which mere pork is taken for
        meant = _settled(naming, tried, region, hints, settled=bool(state))
        return _without_liquid(meant, row) if "drained" in hints.states else meant
    return None


def is_unboiled(words: Iterable[str]) -> bool:
    """Tell whether words call a food dry, raw, soaked or sprouted, and neither tinned nor cooked.

    Parameters
    ----------
    words
        Words of a line, singular.

    Returns
    -------
    False as well where no word tells either way.

    Examples
    --------
    >>> is_unboiled(["kidney", "bean", "raw"]), is_unboiled(["dried", "bean", "cooked"])
    (True, False)
    """
    called = frozenset(words)
    boiled = any(STATES.get(word) in {"cooked", "tinned"} for word in called)
    drained = "drained" in called and "soaked" not in called
    return bool(called & _UNBOILED) and not boiled and not drained


_CUTS_OF_MEAT = frozenset(
    split(
        "leg thigh breast haunch saddle medallion escalope supreme rib filet fillet cheek "
        "heart tail ear tip crown"
    )
)


def _stated(state: str, words: Words, region: str) -> store.Naming | None:
    """Find what a name means with a state before it: dried, cooked, tinned."""
    return exactly((state, *words), region, " ".join((state, *words)))


def _without_liquid(meant: Named, row: store.Cells) -> Named:
    """Take the food as it is drained, where the table has it both ways."""
    drained = " ".join(sorted(split(row["name"].replace("with liquid", "drained"))))
    namings = [naming for naming in store.namings(drained) if row["name"].endswith("with liquid")]
    return replace(meant, food=namings[0].food) if namings else meant


def exactly(words: Words, region: str, typed: str) -> store.Naming | None:
    """Find what exactly these words mean in a region; None where it is nothing.

    Parameters
    ----------
    words
        All of them, singular.
    region
        uk or us; a meaning of the region goes before one that holds everywhere.
    typed
        Them as typed: the last says what sort of food it is, but for parts and behind "of".

    Returns
    -------
    Of several the region's own, then an unmarked one, then that in the order of the words, then
    the lower number: a beef roast is raw, roast beef is not.

    Examples
    --------
    >>> naming = exactly(("raw", "leek"), "uk", "leek, raw")
    >>> store.row(naming.food)["name"] if naming else None
    'leek, raw'
    """
    last = split(typed)[-1:]
    namings = [
        naming
        for naming in store.namings(" ".join(sorted(words)))
        if naming.region in ("", region)
        and (in_order(typed, naming.name) or set(last) <= PORTIONS or " of " in naming.name)
    ]
    order = split(typed)
    namings.sort(
        key=lambda naming: (
            naming.region == "",
            naming.mark != "",
            split(naming.name) != order,
            naming.food,
        )
    )
    return namings[0] if namings else None


def _meets(row: store.Cells, states: frozenset[str]) -> bool:
    """Tell whether a food has every hard state that the line names and the name does not."""
    has = {*split(row["name"]), *split(row["state"])}
    return all(AGREES[state] & has for state in states)


def _is_dry_pasta(row: store.Cells) -> bool:
    return bool(row["kind"] == "pasta" and row["state"] == "dry")


_FRESH = frozenset(split("fresh leaf chopped minced crushed sliced picked torn snipped"))
_DRY = frozenset(split("dried dry soaked"))
_UNBOILED = frozenset(split("dried dry raw uncooked unprepared soaked sprouted"))
_BOILED = frozenset({"cooked", "tinned"})
_STATED = frozenset({"dried", "fresh"})
_DECIDES = (("dried", "dried"), ("cooked", "cooked"), ("tinned", "tinned"))


def _settled(
    naming: store.Naming, tried: Try, region: str, hints: Hints, *, settled: bool
) -> Named:
    """Settle a bare name that may be dry, boiled or tinned; words decide, then the unit."""
    if naming.mark == "?" and not settled:
        for state, word in _DECIDES:
            if state in hints.states:
                other = _stated(word, tried.words, region)
                if other is not None:
                    return Named(other.food, unsaid=tried.unsaid, left=tried.left)
        if not hints.weighed and not hints.states & {"drained", "tinned"}:
            name = naming.name
            near = tuple(
                store.row(form.food)["name"]
                for form in (
                    _stated(word, tried.words, region) for word in ("dried", "cooked", "tinned")
                )
                if form is not None
            )
            raise Unnamed(name, "may be dry, boiled or tinned, and these differ much", near)
    read_as = naming.mark in ("~", "?") and not settled
    return Named(naming.food, read_as, tried.unsaid, tried.left)


# -- all other foods -----------------------------------------------------------------

_AMERICAN: dict[str, Words] = {
    british: tuple(split(american))
    for british, american in {
        "aubergine": "eggplant",
        "courgette": "zucchini",
        "coriander": "coriander",
        "mince": "ground",
        "prawn": "shrimp",
        "beetroot": "beets",
        "swede": "rutabaga",
        "rocket": "arugula",
        "sweetcorn": "corn",
        "biscuit": "cookies",
        "treacle": "molasses",
        "sultana": "raisins",
        "tinned": "canned",
        "dried": "dried",
        "chilli": "peppers",
        "haricot": "navy",
        "porridge": "oatmeal",
    }.items()
}
_AMERICAN_TOO = frozenset({"biscuit"})
"""British words that mean another food in America."""
# Words of a description that say it is the plain one.
_PLAIN = frozenset(
    split(
        "raw fresh all commercial varieties year round average plain regular mature unprepared "
        "uncooked type types flesh only includes include commodity and or with without salt skin "
        "peel white enriched unenriched cooking whole retail common immature seeds unspecified as "
        "purchased added edible portion in sodium domestic granulated medium kernels separable of "
        "grade trimmed drained to the spices nuts fish beverages cheese vegetable kernel mixed "
        "species wild farmed lean fat meat"
    )
)
_UNLIKE = frozenset(
    split(
        "low reduced free light nonfat lowfat fried breaded sweetened candied "
        "salted smoked instant mix concentrate powder dehydrated juice drink bar "
        "homemade separable giblets gizzard tallow frozen canned dried pickled oil flour "
        "cooked boiled roasted braised prepared"
    )
)
_ANOTHER_FOOD = frozenset(split("imitation substitute meatless vegetarian vegan babyfood"))
"""Words of a description that make it another food, unless they are asked for."""
_SPREAD, _SHARE = Decimal(40), Decimal("0.5")


def _other(phrase: str, region: str, *, unboiled: bool) -> Named:
    """Find a food of the second tier that has every word of the name, and no rival unlike it.

    What is called raw or dry is never taken for one that is cooked.
    """
    core = _telling(phrase, kept=SORTS) or tuple(split(phrase))
    asked = [american for word in core if word != "fresh" for american in _american(word, region)]
    described = store.described(asked)
    if not described:
        blocked = re.search(BLOCKING, phrase, re.IGNORECASE)
        why = f"nothing {blocked[0]} of that name is there" if blocked else "is not in the table"
        raise Unnamed(phrase, why)
    scored = sorted(
        (_extra(terms, set(asked)) + 2 * _strange(name, asked), len(name), at, name, figures)
        for at, name, terms, _, figures in described
        if not (_ANOTHER_FOOD & {*terms.split()}) - {*asked}
        if not asked or (asked[-1] in _ends(name) and set(asked) & _first(name))
        if not (unboiled and _HEATED & {*split(name)})
    )
    if not scored:
        raise Unnamed(phrase, "is not in the table")
    best = scored[0][0]
    rivals = [rival for rival in scored if rival[0] <= best + 1][:12]
    near = tuple(rival[3] for rival in rivals[:MOST_NEAR])
    if best > _MOST_EXTRA:
        raise Unnamed(phrase, "is not in the table", near)
    if _unlike(rival[4] for rival in rivals):
        raise Unnamed(phrase, "may be several foods", near)
    return Named(scored[0][2], read_as=best > 0)


_MOST_EXTRA = 3
_HEATED = frozenset(split("cooked boiled microwaved canned baked roasted grilled fried"))


# First words of a description that only say on which shelf it stands.
_SHELVES = frozenset(
    split(
        "spices nuts seeds fish crustaceans mollusks beverages beverage alcoholic cheese candies "
        "game meat syrups sugars oil fat leavening agents seaweed fungi beans lentils vegetables "
        "snacks"
    )
)


def _first(name: str) -> frozenset[str]:
    """Give the words of a description that say what it is: of its first part, or its second."""
    parts = [split(part) for part in name.replace("(", ",").split(",")]
    shelf = len(parts) > 1 and all(word in _SHELVES for word in parts[0])
    return frozenset(word for part in parts[: 2 if shelf else 1] for word in part)


def _strange(name: str, asked: Iterable[str]) -> int:
    """Count the words of the first part that nobody asked for: ice cream with wafers."""
    head = split(name.replace("(", ",").partition(",")[0])
    return sum(word not in asked and word not in _PLAIN and word not in _SHELVES for word in head)


def _ends(name: str) -> frozenset[str]:
    """Give the last word of each part of a description: peanut is none of "Peanut butter"."""
    parts = (split(part) for part in name.replace("(", ",").split(","))
    ends = (words[-1:] for words in parts if words[:1] not in (["with"], ["without"]))
    return frozenset(word for end in ends for word in end)


def _american(word: str, region: str) -> Words:
    if region == "us" and word in _AMERICAN_TOO:
        return (word,)
    return _AMERICAN.get(word, (word,))


def _extra(words: str, asked: set[str]) -> int:
    """Count what a description says beyond the name; plain words count nothing."""
    more = set(words.split()) - asked - _PLAIN
    return sum(3 if word in _UNLIKE else 1 for word in more)


def _unlike(figures: Iterable[str]) -> bool:
    """Tell whether foods differ so much in energy that a cook would not take one for another."""
    energies: list[Decimal] = []
    for row in figures:
        cells = row.split(",")
        try:
            energies.append(Decimal(cells[1]))
        except (InvalidOperation, IndexError):
            continue
    if len(energies) < 2:
        return False
    return max(energies) - min(energies) > max(_SPREAD, _SHARE * min(energies))
