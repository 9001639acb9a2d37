"""How long food keeps, as published, by whose guidance.

Days are dates: n days means eaten on or before the date it is made plus n. A figure that
counts the day of making as day 1 is stored as n - 1, and the table says so. A range is a
limit at its upper end and a wish at its lower end. Nothing here is assumed: where neither
guidance publishes a figure, the user has to say one.

Sources: USDA FSIS, data set of its FoodKeeper, with Cornell University and FMI, in the table
"USDA FSIS storage times" (US); UK Food Standards Agency, NHS and Food Standards Scotland (UK); each
row of tables/storage.csv names its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from models.foods.food import Food
from models.foods.tabled import rows
from models.words.names import plain_name, words

LEFTOVERS = "leftovers with meat, fish or egg"
PLANT = "leftovers, plant"
LEAVES = "leaf salad, dressed"
CUT = "cut raw vegetables"
LONGEST_AT_HOME = 6
"""Days after the day of making that ready-to-eat food made at home is kept at the most."""
AT_HOME = "at most 7 days, day of making included (FDA Food Code 2022, 3-501.17)"


@dataclass(frozen=True, slots=True)
class Keeping:
    """Days a food keeps.

    Attributes
    ----------
    low
        Later than this is a wish broken.
    high
        Later than this is never planned.
    source
        The published words and who says so.
    """

    low: int
    high: int
    source: str


@dataclass(frozen=True, slots=True)
class Storage:
    """How long a class of food keeps.

    Attributes
    ----------
    us, uk
        In the fridge, from the day it is made; None where nothing is published.
    opened
        In the fridge once opened or cut; the one figure there is serves both guidances.
    thawed
        Days after thawing, or None.
    freezer_months
        (lower, upper) months it keeps its quality in the freezer, or None.
    freezes_well
        None where nobody says.
    caution
        Key of a caution of its own, or empty.
    bought
        True where the figure counts from the day it was bought, whole and raw.
    cold
        True where it has to stay cold until it is eaten; `cold_source` says who says so.
    home
        True where food made at home may be of this class.
    """

    name: str
    names: tuple[str, ...]
    us: Keeping | None
    uk: Keeping | None
    opened: Keeping | None
    thawed: int | None
    freezer_months: tuple[int, int] | None
    freezer_source: str
    freezes_well: bool | None
    caution: str
    bought: bool
    note: str
    cold: bool
    cold_source: str
    home: bool

    def fridge(self, guidance: str, *, cooked: bool = False) -> Keeping | None:
        """Look up the life in the fridge by a guidance.

        Of food that is `cooked` a figure from the day of purchase says nothing. The strictest
        takes what is made at home for leftovers where the United Kingdom names no other figure.

        Parameters
        ----------
        guidance
            "us", "uk" or "strictest".
        cooked
            True for what is cooked at home from it.

        Returns
        -------
        Keeping or None
            None where the guidance publishes none.

        Examples
        --------
        >>> rice = storage()["cooked rice"]
        >>> rice.fridge("us").high, rice.fridge("uk").high, rice.fridge("strictest").high
        (6, 1, 1)
        """
        us = None if cooked and self.bought else self.us
        if guidance == "strictest":
            uk = storage()[PLANT].uk if self.uk is None and self.home else self.uk
            return strictest(life for life in (us, uk) if life is not None)
        return us if guidance == "us" else self.uk

    def any_fridge(self) -> Keeping | None:
        """Give the shorter of all published lives, whoever published it.

        Returns
        -------
        None where neither the United States nor the United Kingdom publishes one.
        """
        return strictest(life for life in (self.us, self.uk) if life is not None)


def at_home(life: Keeping) -> Keeping:
    """Cut a published life off where food made at home ends, whatever its class says.

    Parameters
    ----------
    life
        As published.

    Returns
    -------
    Both ends at most `LONGEST_AT_HOME` days; a life that is cut off names that rule too.

    Examples
    --------
    >>> at_home(Keeping(7, 10, "a label")).high
    6
    """
    if life.high <= LONGEST_AT_HOME:
        return life
    return Keeping(min(life.low, LONGEST_AT_HOME), LONGEST_AT_HOME, f"{life.source}; {AT_HOME}")


def strictest(lives: Iterable[Keeping]) -> Keeping | None:
    """Find the life that ends first; its wish is the earliest of all.

    Parameters
    ----------
    lives
        Published fridge lives.

    Returns
    -------
    Keeping or None
        The shortest; None where there is none.

    Examples
    --------
    >>> strictest([Keeping(3, 4, "one"), Keeping(2, 6, "another")])
    Keeping(low=2, high=4, source='one')
    """
    all_lives = tuple(lives)
    if not all_lives:
        return None
    shortest = min(all_lives, key=lambda life: life.high)
    low = min(life.low for life in all_lives)
    return Keeping(min(low, shortest.high), shortest.high, shortest.source)


@cache
def storage() -> Mapping[str, Storage]:
    """Read the storage classes by name.

    Returns
    -------
    In the order of the table; to be read only: all who ask share it.

    Examples
    --------
    >>> storage()["cooked rice"].home
    True
    """
    return {row["key"]: _storage(row) for row in rows("storage.csv")}


@cache
def class_names() -> Mapping[str, str]:
    """Map every name of a class, in its plain form, to the class.

    Returns
    -------
    To keys of `storage()`; a class's own name goes before another's second name.

    Examples
    --------
    >>> class_names()[plain_name("cooked rice")]
    'cooked rice'
    """
    names: dict[str, str] = {}
    for kept in storage().values():
        for name in (kept.name, *kept.names):
            names.setdefault(plain_name(name), kept.name)
    for kept in storage().values():
        names[plain_name(kept.name)] = kept.name
    return names


def raw_life(food: Food) -> Keeping | None:
    """Look up how long raw meat, poultry or fish keeps in the fridge, from the day it is bought.

    Parameters
    ----------
    food
        A food of the table.

    Returns
    -------
    Keeping or None
        The shortest that anyone publishes; None of any other food.

    Examples
    --------
    >>> from models.foods.food import find
    >>> raw_life(find("chicken thigh")).high
    2
    """
    kept = storage().get(food.storage) if food.storage in RAW_CLASSES else None
    return None if kept is None else kept.any_fridge()


RAW_CLASSES = ("raw poultry", "raw meat", "raw mince", "raw fish", "raw shellfish")
"""Classes of what is bought raw and spoils soonest."""


def months_frozen(classes: Iterable[str]) -> tuple[int, int] | None:
    """Give the months that food of all of some classes keeps its quality in the freezer.

    Parameters
    ----------
    classes
        Names of storage classes.

    Returns
    -------
    tuple of int and int
        The lowest lower and the lowest upper end of those published; None where none is.

    Examples
    --------
    >>> months_frozen(["cooked grains", "cooked quinoa"])
    (1, 2)
    """
    spans = [span for name in classes if (span := storage()[name].freezer_months) is not None]
    if not spans:
        return None
    return min(low for low, _ in spans), min(high for _, high in spans)


@cache
def cautions() -> Mapping[str, tuple[str, str]]:
    """Read the cautions by key: the text and who says so.

    Returns
    -------
    In the order of the table; to be read only: all who ask share it.

    Examples
    --------
    >>> text, source = cautions()["rice"]
    >>> bool(text and source)
    True
    """
    return {row["key"]: (row["text"], row["source"]) for row in rows("cautions.csv")}


def _storage(row: dict[str, str]) -> Storage:
    months = _span(row["freezer_months_low"], row["freezer_months_high"])
    return Storage(
        name=row["key"],
        names=tuple(name for name in row["names"].split(";") if name),
        us=_keeping(row, "us", "us_fridge"),
        uk=_keeping(row, "uk", "uk_fridge"),
        opened=_keeping(row, "opened", "opened"),
        thawed=int(row["thawed_high"]) if row["thawed_high"] else None,
        freezer_months=months,
        freezer_source=row["freezer_source"],
        freezes_well={"yes": True, "no": False}.get(row["freezes_well"]),
        caution=row["caution"],
        bought="day of purchase" in row["us_note"],
        note=row["note"],
        cold=row["cold"] == "yes",
        cold_source=row["cold_source"],
        home=row["home"] == "yes",
    )


def _keeping(row: dict[str, str], whose: str, days: str) -> Keeping | None:
    span = _span(row[f"{days}_low"], row[f"{days}_high"])
    text, source = row[f"{whose}_text"], row[f"{whose}_source"]
    return None if span is None else Keeping(*span, f"{text} ({source})")


def _span(low: str, high: str) -> tuple[int, int] | None:
    return (int(low or high), int(high)) if high else None


# -- what a batch of such ingredients counts as -----------------------------------------

# What hardly counts in a batch: it decides neither the class nor the life.
_SEASONING = {"herbs", "spices", "oils", "sweet", "drinks", "store cupboard", "flour", "sauces"}
_ALONE = {
    "pulses": "cooked pulses",
    "grains": "cooked grains",
    "pasta": "cooked pasta",
    "vegetables": "cooked vegetables",
}
_ANIMAL = {"poultry": "cooked poultry", "fish": "cooked fish", "shellfish": "cooked shellfish"}
_OWN_CLASS = {"melon, whole": "cut melon", "cut melon": "cut melon", "sprouts": "sprouts"}


_OWN_GROUPS = (
    _SEASONING
    | set(_ALONE)
    | set(_ANIMAL)
    | {*("eggs", "meat", "fruit", "leaves", "nuts", "seeds", "bread", "dairy", "plant dairy")}
)
_NO_RICE = {
    *("flour", "vinegar", "noodle", "milk", "drink", "cake", "cracker", "paper", "bran", "wine")
}
_BY_NAME = {
    "cooked shellfish": {
        *("shellfish", "prawn", "shrimp", "mussel", "clam", "oyster", "crab", "lobster"),
        *("scallop", "squid", "octopus", "crayfish", "mollusk", "crustacean"),
    },
    "cut melon": {"melon", "cantaloupe", "watermelon", "honeydew"},
    "sprouts": {"sprouted", "beansprout", "alfalfa"},
}


def proposed(foods: Iterable[Food], *, uncooked: bool = False) -> tuple[str, ...]:
    """Name the classes that a batch of these foods falls under; the shortest life holds.

    Cooked rice counts whatever it is cooked with, and so do shellfish, sprouts and melon.
    Everything else of one sort is that sort cooked; mixtures are leftovers. Salad leaves are
    nothing cooked, nor is what the steps of a batch leave `uncooked`.

    Parameters
    ----------
    foods
        What it is made of.
    uncooked
        True where its steps are told and none of them cooks.

    Returns
    -------
    Keys of `storage()`, each once; empty where it is of no class that we know.

    Examples
    --------
    >>> from models.foods.food import find
    >>> proposed([find("brown rice"), find("leek")])
    ('cooked rice', 'leftovers, plant')
    """
    all_foods = tuple(foods)
    main = [food for food in all_foods if food.group not in _SEASONING]
    classes: dict[str, None] = {}
    for food in all_foods:
        kind = watched(food)
        if kind is not None:
            classes[kind] = None
        if food.group in _ANIMAL:
            classes[_ANIMAL[food.group]] = None
    raw = [kind for food in main if (kind := _cut(food)) is not None]
    if raw and (uncooked or any(_is_salad(food) for food in main)):
        classes |= dict.fromkeys(raw)
        main = [food for food in main if _cut(food) is None and food.group not in _DRY]
    whole = _as_a_whole(main)
    if whole is not None and main:
        classes[whole] = None
    return tuple(classes)


def _cut(food: Food) -> str | None:
    """Name the class of a raw vegetable, leaf or fruit once it is cut; None of any other food."""
    if food.state != "raw":
        return None
    if food.group == "vegetables" and "tomato" in words(food.name):
        return "cut tomatoes"
    if food.group == "fruit" and "tomato" not in words(food.name):
        return "cut fruit"
    return {"leaves": LEAVES, "vegetables": CUT}.get(food.group)


def _is_salad(food: Food) -> bool:
    return food.group == "leaves" and bool(words(food.name) & _SALAD)


_SALAD = words("lettuce rocket watercress cress radicchio endive chicory salad purslane lamb's")
"""Leaves that are eaten raw; spinach, chard and others are cooked as often."""
_DRY = {"nuts", "seeds", "bread"}


def _as_a_whole(main: list[Food]) -> str | None:
    if any(food.group in {*_ANIMAL, "eggs", "meat"} for food in main):
        return LEFTOVERS
    if main and all(is_rice(food) for food in main):
        return None
    if _is_dressing(main):
        return "salad dressing, home-made"
    sorts = {_sort(food) for food in main}
    return sorts.pop() if len(sorts) == 1 else PLANT


def _is_dressing(main: list[Food]) -> bool:
    """Tell whether it is lemon juice stirred with nothing but nuts, seeds or a paste of them."""
    sour = [food for food in main if food.storage == "fresh lemon juice"]
    return bool(sour) and all(food in sour or food.group in {"nuts", "seeds"} for food in main)


def _sort(food: Food) -> str:
    if "quinoa" in words(food.name):
        return "cooked quinoa"
    if {"potato"} & words(food.name):
        return "cooked potatoes"
    return _ALONE.get(food.group, PLANT)


def is_rice(food: Food) -> bool:
    """Tell whether it is rice to be cooked, or cooked; of foods of unknown sort, by the name.

    Parameters
    ----------
    food
        A food of any table.

    Returns
    -------
    False for what is only made with rice, as vinegar or noodles.

    Examples
    --------
    >>> from models.foods.food import find
    >>> is_rice(find("brown rice")), is_rice(find("rice vinegar"))
    (True, False)
    """
    named = words(food.name)
    if food.group == "grains":
        return "rice" in named
    return food.group not in _OWN_GROUPS and "rice" in named and not named & _NO_RICE


def watched(food: Food) -> str | None:
    """Name the class of a food that needs a caution of its own.

    Parameters
    ----------
    food
        A food of any table; of those without a storage class of ours the name tells.

    Returns
    -------
    str or None
        A key of `storage()`.

    Examples
    --------
    >>> from models.foods.food import find
    >>> watched(find("brown rice")), watched(find("leek"))
    ('cooked rice', None)
    """
    if is_rice(food):
        return "cooked rice"
    if food.storage in _OWN_CLASS:
        return _OWN_CLASS[food.storage]
    if food.group in _OWN_GROUPS and food.group not in {"fish", "fruit", "vegetables"}:
        return None
    # Foods of other tables have no storage class of ours: their names tell.
    named = words(food.name)
    if food.storage:
        return None
    return next((kind for kind, marks in _BY_NAME.items() if named & marks), None)


_BOILED = {"boiled", "cooked", "tinned", "canned", "drained"}


def holds(name: str) -> bool:
    """Tell whether a class holds whatever else a batch is said to keep as.

    Parameters
    ----------
    name
        A key of `storage()`.

    Returns
    -------
    True for what has a caution, for cooked poultry, fish and shellfish, and for leftovers.

    Raises
    ------
    KeyError
        When there is no such class.

    Examples
    --------
    >>> holds("cooked rice"), holds(PLANT)
    (True, False)
    """
    return bool(storage()[name].caution) or name in {*_ANIMAL.values(), LEFTOVERS}


def caution_keys(classes: Iterable[str], foods: Iterable[Food]) -> tuple[str, ...]:
    """Name the cautions that go with storage classes and foods, each once.

    Parameters
    ----------
    classes
        Names of storage classes; what names none is passed over.
    foods
        Foods in it.

    Returns
    -------
    tuple of str
        Keys of `cautions()`, in the order of the table.

    Examples
    --------
    >>> caution_keys(["cooked rice"], [])
    ('rice',)
    """
    keys: dict[str, None] = {}
    for name in classes:
        if name in storage() and storage()[name].caution:
            keys[storage()[name].caution] = None
    for food in foods:
        kept = storage().get(food.storage)
        kind = watched(food)
        if kept is not None and kept.caution:
            keys[kept.caution] = None
        if kind is not None and storage()[kind].caution:
            keys[storage()[kind].caution] = None
        named = words(food.name)
        raw = food.state not in {"cooked", "tinned"} and not named & _BOILED
        if {"kidney", "bean"} <= named and raw:
            keys["kidney beans"] = None
    return tuple(key for key in cautions() if key in keys)
