"""The food table: composition, measures and allergens, each row with its source.

Found by the names people type: plural or singular, words in another order, British or
American, small slips. A name that could mean several foods is refused with the nearest
ones, never guessed. Numbers are plain decimals in the unit that `models.words.nutrients` names,
for 100 g edible portion: whoever uses them gives them their unit.

Sources: composition and measures, as each row names them: the USDA National Nutrient Database
for Standard Reference, Release 28, and the UK Composition of Foods Integrated Dataset 2021
(contains public sector information licensed under the Open Government Licence v3.0), figures by
their food number, names ours (tables/build.py says which is used when); allergens, groups of
Regulation (EU) No 1169/2011 Annex II, for compound foods as the usual recipe has them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, cached_property, lru_cache
from itertools import chain, product
from math import log

from models.foods import naming, store
from models.foods.families import Families, derived, read_cell, with_allergens
from models.foods.figures import COLUMNS, NUTRIENT_TAGS, TRACE, WATER
from models.foods.tabled import rows
from models.foods.vocabulary import PASSING, STATES
from models.words.errors import InputError
from models.words.names import in_order, is_slip, plain_name, spelt, split
from models.words.text import LONGEST_TEXT, quoted

_GROUPS = {"tree nuts": "nuts"}
LIKE = 75
"""Likeness, of 100, from which a food is worth suggesting for a name."""
MOST_NEAR = 6
_AS_LIKELY, _BEYOND = 0.75, 0.5
"""Share of the best likeness; what a word nobody asked for takes from it: common practice."""
SHORTEST, SHORTEST_ALONE = 2, 5
"""Letters from which a word may be a slip: beside others that are right, and by itself."""


@dataclass(frozen=True, slots=True)
class Food:
    """One food of the table.

    Attributes
    ----------
    nutrients
        Tagname to amount in 100 g edible portion, in the unit that `models.words.nutrients` gives
        it; what was not measured is absent.
    measures
        Household measure, as "cup" or "cup:chopped", to grams. Cups and spoons are US
        customary ones.
    density
        Grams in a millilitre, or None.
    refuse
        Share of the food as bought that is thrown away, in percent, or None.
    allergens
        Groups of EU law in it, as far as known.
    check_label
        True where recipes differ, so that only the label tells.
    allergens_known
        False where nobody said what allergens are in it.
    storage
        Storage class, or empty.
    water
        Grams of water in 100 g, or None.
    cereals
        Which cereals the gluten in it is of: wheat, spelt, rye, barley, oats.
    stated
        Families it belongs to, where its table says so; None where its names tell.
    """

    name: str
    aliases: tuple[str, ...]
    group: str
    shop: str
    state: str
    source: str
    source_id: str
    nutrients: Mapping[str, Decimal]
    measures: Mapping[str, Decimal]
    density: Decimal | None
    refuse: Decimal | None
    allergens: frozenset[str]
    check_label: bool
    allergens_known: bool
    storage: str
    note: str
    water: Decimal | None = None
    cereals: frozenset[str] = frozenset()
    stated: Families | None = None

    @property
    def families(self) -> Families:
        """What it belongs to and what may be in it: as stated, else as its names tell."""
        families = self.stated
        if families is None:
            families = derived((self.name, *self.aliases), self.group)
        if not self.allergens_known:
            return families
        return with_allergens(families, self.allergens, known=not self.check_label)

    @property
    def allergens_settled(self) -> bool:
        """True when nothing but the groups named can be in it."""
        return self.allergens_known and not self.check_label

    @property
    def citation(self) -> str:
        """Its source and its number there, as printed.

        Examples
        --------
        >>> find("dried brown lentils").citation
        'USDA SR28 16069'
        """
        return f"{self.source} {self.source_id}".strip()


class UnknownFood(LookupError):  # noqa: N818 - a finding, not a fault of the program
    """A name that means no food, or several.

    Parameters
    ----------
    name
        As it was typed.
    near
        Foods worth suggesting; empty where nothing is like it.

    Examples
    --------
    >>> print(UnknownFood("lek", ("leek", "leek, boiled")).mend)
    Write one of: leek; "leek, boiled".
    """

    def __init__(self, name: str, near: tuple[str, ...]) -> None:
        self.name = name
        self.near = near
        super().__init__(name)

    @property
    def what(self) -> str:
        """What is wrong, in a sentence."""
        return f"the food table has no single food named {self.name!r}"

    @property
    def mend(self) -> str:
        """How to mend it."""
        if not self.near:
            return "Nothing like it is there: state its figures under 'foods', or as an own table."
        near = (f'"{name}"' if "," in name else name for name in self.near)
        return f"Write one of: {'; '.join(near)}."


class Foods:
    """Foods to look names up in: one's own before those of the program.

    Parameters
    ----------
    own
        Foods of the user's own; each hides the program's foods that have one of its names.
    region
        uk or us, for names that mean something else there; empty where nobody said.

    Examples
    --------
    >>> Foods().find("leeks").name
    'leek, raw'
    """

    def __init__(self, own: Iterable[Food] = (), region: str = "") -> None:
        self.own = {food.name: food for food in own}
        self.region = region

    @cached_property
    def by_name(self) -> Mapping[str, Food]:
        """Every everyday food by its own name, one's own among them."""
        hidden = {plain_name(name) for food in self.own.values() for name in _names_of(food)}
        kept = {name: food for name, food in table().items() if plain_name(name) not in hidden}
        return kept | self.own

    @cached_property
    def _own_names(self) -> Mapping[str, tuple[str, ...]]:
        """Every name of one's own foods in its plain form, to the foods it means."""
        by_name: dict[str, dict[str, None]] = {}
        for food in self.own.values():
            for name in _names_of(food):
                by_name.setdefault(plain_name(name), {})[food.name] = None
        bare: dict[str, dict[str, None]] = {}
        for food in self.own.values():
            for name in _own_names_of(food):
                if plain_name(name) not in by_name:
                    bare.setdefault(plain_name(name), {})[food.name] = None
        return {name: tuple(foods) for name, foods in (*by_name.items(), *bare.items())}

    @cached_property
    def names(self) -> Mapping[str, tuple[str, ...]]:
        """Every name in its plain form, to the foods it means; own foods hide the others."""
        by_name: dict[str, dict[str, None]] = {}
        for food in self.by_name.values():
            for name in _names_of(food):
                by_name.setdefault(plain_name(name), {})[food.name] = None
        return {name: tuple(foods) for name, foods in by_name.items()} | dict(self._own_names)

    def exact(self, name: str) -> Food | None:
        """Find the one food of exactly this name, whatever order its parts stand in.

        Parameters
        ----------
        name
            As people type it.

        Returns
        -------
        Food or None
            None where it means none, or may mean several.

        Examples
        --------
        >>> foods = builtin()
        >>> foods.exact("lentils, red, dried") is foods.exact("dried red lentils")
        True
        >>> foods.exact("lek") is None
        True
        """
        own = self._own_names.get(plain_name(name), ())
        if own:
            same = (
                own_name
                for own_name in _own_names_of(self.own[own[0]])
                if plain_name(own_name) == plain_name(name)
            )
            certain = len(own) == 1 and any(in_order(name, own_name) for own_name in same)
            return self.own[own[0]] if certain else None
        meant = naming.exactly(tuple(split(name)), self.region, name)
        return numbered(meant.food) if meant is not None and meant.mark != "?" else None

    def whole(self, name: str) -> Food | None:
        """Find the food whose own name of several parts this is; one's own by any name.

        Parameters
        ----------
        name
            As people type it.

        Returns
        -------
        Food or None
            None where no food is named so, commas, "or", hyphens and all.

        Examples
        --------
        >>> foods = builtin("uk")
        >>> foods.whole("leek, raw") is foods.find("leek"), foods.whole("leek")
        (True, None)
        """
        if plain_name(name) in self._own_names:
            return self.exact(name)
        number = store.called(name) if _JOINS.search(name) else None
        return None if number is None else numbered(number)

    def named(
        self, phrase: str, hints: naming.Hints = naming.NO_HINTS
    ) -> tuple[Food, naming.Named]:
        """Find the food that the words of a line mean, one's own first.

        Parameters
        ----------
        phrase
            The words for the food, without the amount.
        hints
            What the rest of the line tells of its state.

        Returns
        -------
        tuple of Food and Named
            The food, and how its name was taken.

        Raises
        ------
        Unnamed
            When they mean none, or several that differ much.

        Examples
        --------
        >>> food, named = builtin("uk").named("finely chopped leeks")
        >>> food.name, named.unsaid
        ('leek, raw', ())
        """
        for tried in naming.tries(phrase) if self.own else ():
            own = self._own_names.get(" ".join(sorted(tried.words)), ())
            if len(own) > 1 and not tried.states:
                raise naming.Unnamed(phrase, "may be several foods of your own", own)
            if len(own) == 1 and not tried.states:
                return self.own[own[0]], naming.Named(0, unsaid=tried.unsaid, left=tried.left)
        food_named = naming.named(phrase, self.region, hints)
        return numbered(food_named.food), food_named

    def find(self, name: str) -> Food:
        """Find the food that a name means, small slips forgiven.

        Parameters
        ----------
        name
            As people type it.

        Returns
        -------
        As its table has it; a food of one's own goes before the program's.

        Raises
        ------
        UnknownFood
            When it means none or several, with the nearest foods.

        Examples
        --------
        >>> builtin("uk").find("caulifower").name
        'cauliflower head, raw'
        """
        food = self.exact(name)
        if food is not None:
            return food
        several = self._own_names.get(plain_name(name), ()) or tuple(
            numbered(listed.food).name
            for listed in store.namings(plain_name(name))
            if listed.mark != "?"
        )
        if several:
            raise UnknownFood(name, several[:MOST_NEAR])
        try:
            return self.named(name)[0]
        except naming.Unnamed as unnamed:
            slipped = self.mended(name)
            if len(slipped) == 1:
                return self.by_name[slipped[0]]
            raise UnknownFood(name, unnamed.near or self.near(name)) from None

    def near(self, name: str) -> tuple[str, ...]:
        """List foods worth suggesting for a name that means none.

        Parameters
        ----------
        name
            As people type it.

        Returns
        -------
        tuple of str
            Names, at most `MOST_NEAR`, the likeliest first.

        Examples
        --------
        >>> "leek, raw" in builtin("uk").near("lek")
        True
        """
        pairs = naming.telling_pairs(name.partition(",")[0])
        asked = ["vegetarian" if word in _MEATLESS else word for _, word in pairs]
        wanted = plain_name(name)
        near = self.mended(name) or self._of_every_word(pairs)
        if not near:
            kind = self._of_kind(asked)
            close = self._alike(wanted, _CLOSE) if len(asked) > 1 or not kind else ()
            near = tuple(dict.fromkeys((*close, *kind))) or self._alike(wanted, LIKE)
        if "vegetarian" in asked:
            near = tuple(food for food in near if "vegetarian" in split(food))
        return near[:MOST_NEAR]

    @cached_property
    def _spellings(self) -> Mapping[str, str]:
        """Every word of every name as it is spelt there, to its singular."""
        names = (name for food in self.by_name.values() for name in _names_of(food))
        pairs = (zip(spelt(name), split(name), strict=True) for name in names)
        return {word: meant for words_of_name in pairs for word, meant in words_of_name}

    @cached_property
    def _by_start(self) -> Mapping[tuple[int, str], tuple[str, ...]]:
        """Every word as it is spelt, by its length and each of its first two letters."""
        starts: dict[tuple[int, str], dict[str, None]] = {}
        for word in self._spellings:
            for letter in word[:2]:
                starts.setdefault((len(word), letter), {})[word] = None
        return {start: tuple(words) for start, words in starts.items()}

    @cached_property
    def _words(self) -> frozenset[str]:
        """Every word of every name, singular."""
        return frozenset(self._spellings.values())

    @cached_property
    def _run_together(self) -> Mapping[str, tuple[str, ...]]:
        """Every name without the spaces between its words, to the foods it means."""
        by_letters: dict[str, dict[str, None]] = {}
        for food in self.by_name.values():
            for name in _names_of(food):
                by_letters.setdefault("".join(split(name)), {})[food.name] = None
        return {name: tuple(foods) for name, foods in by_letters.items()}

    def is_strange(self, word: str) -> bool:
        """Tell whether a word tells nothing here: no name of a food has it, nor any rule.

        Parameters
        ----------
        word
            As people type it.

        Returns
        -------
        True for makers and for sorts that the table does not tell apart.

        Examples
        --------
        >>> builtin("uk").is_strange("Marmande"), builtin("uk").is_strange("Yellow")
        (True, False)
        """
        parts = [part for part in split(word) if len(part) > 1]
        return bool(parts) and not any(
            part in self._words or naming.is_telling(part) or part in store.every_word()
            for part in parts
        )

    def mended(self, name: str) -> tuple[str, ...]:
        """List the foods that a name means once its slips are mended.

        A slip never replaces a word that the table knows: those stay as they are, and only the
        letters of the others are mended.

        Parameters
        ----------
        name
            As people type it.

        Returns
        -------
        Names of foods, each once; empty where no mending helps.
        """
        every = list(zip(spelt(name), split(name), strict=True))
        telling = naming.telling_pairs(name)
        lasting = [pair for pair in telling if STATES.get(pair[1]) not in PASSING]
        for pairs in (every, telling, lasting):
            foods = self._mended(tuple(pairs))
            if foods:
                return foods
        return self._run_together.get("".join(split(name)), ())

    def _mended(self, pairs: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
        known = self._words
        if all(word in known for _, word in pairs):
            return ()
        # A short word by itself says too little to tell which one it is a slip of.
        shortest = SHORTEST if len(pairs) > 1 else SHORTEST_ALONE
        ways = [
            [word] if word in known else self._meant(typed) if len(typed) >= shortest else []
            for typed, word in pairs
        ]
        names = (plain_name(" ".join(way)) for way in product(*ways))
        return tuple(sorted({food for name in names for food in self.names.get(name, ())}))

    def _meant(self, word: str) -> list[str]:
        """List the words of the table that a word may be a slip of."""
        # One slip leaves the first letter among the first two, and the length as it is by one.
        near = (
            spelling
            for length in range(len(word) - 1, len(word) + 2)
            for spelling in self._by_start.get((length, word[:1]), ())
        )
        return sorted({self._spellings[spelling] for spelling in near if is_slip(word, spelling)})

    def _of_every_word(self, pairs: list[tuple[str, str]]) -> tuple[str, ...]:
        """List foods that share two words or more with a name, however these are misspelt."""
        ways = [{word, *self._likely(typed, word)} for typed, word in pairs]
        if all(len(way) == 1 for way in ways):
            return ()
        kind = self._of_kind([*chain.from_iterable(ways)])
        names = {food: {*chain(*map(split, _names_of(self.by_name[food])))} for food in kind}
        return tuple(food for food in kind if sum(bool(way & names[food]) for way in ways) > 1)

    def _likely(self, typed: str, word: str) -> list[str]:
        """List the words of the table that are spelt much like one it does not know."""
        from rapidfuzz import fuzz, process  # noqa: PLC0415 - only unknown names need it

        if word in self._words or naming.is_telling(word) or len(typed) < SHORTEST_ALONE:
            return []
        close = process.extract(
            typed,
            [*self._spellings, *self._words],
            scorer=fuzz.ratio,
            limit=3,
            score_cutoff=_LIKELY,
        )
        return [self._spellings.get(near, near) for near, *_ in close if near[0] == typed[0]]

    @cached_property
    def _kinds(self) -> tuple[tuple[frozenset[str], tuple[str, ...]], ...]:
        """Every name as the set of its words, with the foods it means."""
        return tuple((frozenset(name.split()), foods) for name, foods in self.names.items())

    @cached_property
    def _named(self) -> Counter[str]:
        """Every word to how many names have it."""
        return Counter(word for terms, _ in self._kinds for word in terms)

    def _of_kind(self, asked: list[str]) -> tuple[str, ...]:
        """List foods that share the words which tell most: masala rather than powder."""
        worth = {word: self._rarity(word) for word in asked}
        shared: dict[str, float] = {}
        for terms, foods in self._kinds:
            common = terms.intersection(asked)
            if common:
                score = sum(worth[word] for word in common) - _BEYOND * len(terms - common)
                shared |= {food: max(shared.get(food, 0), score) for food in foods}
        least = max(shared.values(), default=0) * _AS_LIKELY
        likely = [food for food in shared if shared[food] >= least]
        # Rice wine is nothing to suggest for rice, where the names of others have the word.
        likely = [food for food in likely if set(split(food)) & set(asked)] or likely
        # Of equals the table's order, in which the common ones come first.
        return tuple(sorted(likely, key=lambda food: (-round(shared[food], 6), self._order[food])))

    @cached_property
    def _order(self) -> Mapping[str, int]:
        """Every name to its place in the table."""
        return {name: place for place, name in enumerate(self.by_name)}

    def _rarity(self, word: str) -> float:
        """Weigh a word by how few names have it."""
        names = self._named[word]
        return log(len(self._kinds) / names) if names else 0

    def _alike(self, wanted: str, least: float) -> tuple[str, ...]:
        """List foods with a name spelt much like it: alike by `least` in 100."""
        from rapidfuzz import fuzz, process  # noqa: PLC0415 - only unknown names need it

        close = process.extract(
            wanted, list(self.names), scorer=fuzz.token_sort_ratio, limit=12, score_cutoff=least
        )
        return tuple(dict.fromkeys(food for name, _, _ in close for food in self.names[name]))


_MEATLESS = frozenset(split("vegan meatless meat-free plant-based"))
_CLOSE = 90
"""Likeness in 100 from which a name is rather a slip than one of the same kind."""
_LIKELY = 80
"""Likeness in 100 from which a word may be meant by one of five letters: beens by beans."""
_IN_BRACKETS = re.compile(r"\([^()]*\)?|\[[^\[\]]*\]?")
_JOINS = re.compile(r",| or |%|-")


def _own_names_of(food: Food) -> tuple[str, ...]:
    """Give its names, and what a line leaves of them, where brackets are remarks."""
    names = _names_of(food)
    bare = (_IN_BRACKETS.sub(" ", name).strip() for name in names)
    return (*names, *(name for name in bare if name and name not in names))


def _names_of(food: Food) -> tuple[str, ...]:
    return (food.name, *food.aliases)


@lru_cache(maxsize=4_096)
def numbered(number: int) -> Food:
    """Look up the food of a number in the table.

    Parameters
    ----------
    number
        In the table of this program.

    Returns
    -------
    As its table has it, figures for 100 g of what is eaten.

    Examples
    --------
    >>> numbered(next(iter(store.everyday()))["id"]) in table().values()
    True
    """
    return _stored(store.row(number))


def _stored(row: store.Cells) -> Food:
    allergens, check_label = groups_of(row["allergens"] or "")
    pairs = (pair.split("=") for pair in row["measures"].split(";") if pair)
    cells = zip(COLUMNS, row["figures"].split(","), strict=False)
    figures = {tag: Decimal(0) if cell == TRACE else Decimal(cell) for tag, cell in cells if cell}
    return Food(
        name=row["name"],
        aliases=tuple(alias for alias in (row["aliases"] or "").split(";") if alias),
        group=row["kind"],
        shop=row["shop"] or "",
        state=row["state"] or "",
        source=row["source"],
        source_id=row["number"],
        nutrients={tag: figures[tag] for tag in NUTRIENT_TAGS if tag in figures},
        measures={name: Decimal(grams) for name, grams in pairs},
        density=Decimal(row["density"]) if row["density"] else None,
        refuse=Decimal(row["refuse"]) if row["refuse"] else None,
        allergens=allergens,
        check_label=check_label,
        allergens_known=bool(row["allergens"]),
        storage=row["storage"] or "",
        note=row["note"] or "",
        water=figures.get(WATER),
        cereals=cereals_of(row["allergens"] or ""),
        stated=read_cell(row["families"]) if row["families"] else None,
    )


@cache
def table() -> Mapping[str, Food]:
    """Read every everyday food: our name for it to the food, in the order of the table.

    Returns
    -------
    To be read only: all who ask share it.

    Examples
    --------
    >>> table()["leek, raw"].group
    'vegetables'
    """
    return {row["name"]: numbered(int(row["id"])) for row in store.everyday()}


@cache
def builtin(region: str = "") -> Foods:
    """Give the food table that comes with the program, as a region names its foods.

    Parameters
    ----------
    region
        uk or us; empty where nobody said.

    Returns
    -------
    The same object each time it is asked for a region.

    Examples
    --------
    >>> builtin("uk").find("leek").name
    'leek, raw'
    """
    return Foods((), region)


def find(name: str, foods: Foods | None = None) -> Food:
    """Find the food that a name means in the table.

    Parameters
    ----------
    name
        As people type it.
    foods
        Where to look; the table of this program when left out.

    Returns
    -------
    As its table has it, figures for 100 g of what is eaten.

    Raises
    ------
    InputError
        When it means none or several, with the nearest foods, or is longer than any name.

    Examples
    --------
    >>> find("leek").name == find("Leeks").name
    True
    """
    if len(name) > LONGEST_TEXT:
        what = f"a name is not longer than {LONGEST_TEXT} characters"
        raise InputError(f"food {quoted(name)}", what, "Shorten it.")
    try:
        return (foods or builtin()).find(name)
    except UnknownFood as wrong:
        raise InputError(f"food {name!r}", wrong.what, wrong.mend) from None


@cache
def yields() -> Mapping[str, tuple[str, Decimal, str]]:
    """Read what 100 g of a raw food come to: food to (cooked food, factor, source).

    Returns
    -------
    Keyed by our name for the raw food; the factor is g cooked for 1 g raw, above 0.

    Examples
    --------
    >>> from models.foods.food import find
    >>> yields()[find("dried brown lentils").name][1] > 2
    True
    """
    return {
        row["raw"]: (row["cooked"], Decimal(row["factor"]), row["source"])
        for row in rows("yields.csv")
    }


def groups_of(cell: str) -> tuple[frozenset[str], bool]:
    """Read a cell of allergens: the groups named, and whether only the label tells.

    Parameters
    ----------
    cell
        Names of groups with semicolons between them.

    Returns
    -------
    Groups of Annex II, and pine nuts; empty for "none" and for an empty cell.

    Examples
    --------
    >>> groups_of("gluten:rye;check label")
    (frozenset({'gluten'}), True)
    """
    entries = [word.strip() for word in cell.split(";")]
    groups = {_GROUPS.get(word.split(":")[0], word.split(":")[0]) for word in entries}
    return frozenset(groups - {"none", "check label", ""}), "check label" in groups


def cereals_of(cell: str) -> frozenset[str]:
    """Read from a cell of allergens which cereals the gluten is of.

    Parameters
    ----------
    cell
        Names of groups with semicolons between them, "gluten:rye" for gluten of a cereal.

    Returns
    -------
    Empty where the cell names none, though it names gluten.

    Examples
    --------
    >>> cereals_of("gluten:rye;milk")
    frozenset({'rye'})
    """
    entries = (word.strip().partition(":") for word in cell.split(";"))
    return frozenset(cereal for group, _, cereal in entries if group == "gluten" and cereal)
