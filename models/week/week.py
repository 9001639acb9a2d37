"""The week as plain frozen data: what every later room reads and none changes.

Amounts are quantities with units. Dates are dates. Names are the user's own and
serve as keys; the order of mappings is the order of the file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, time, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from models.foods.facts import FoodPack, FridgeLife
from models.foods.food import Food
from models.foods.parts import Contents
from models.foods.recipe import Cooked, Recipe
from models.week.kitchen import Kitchen, Step
from models.words.document import Document
from models.words.errors import InputError, suggestion
from models.words.units import Quantity

if TYPE_CHECKING:
    from models.week.knobs import Knob

Nutrition = Mapping[str, Quantity]
"""Tagname to amount. A tagname that is absent is not known, which is not zero."""


MOST_PORTIONS = 2_000
"""Of one batch."""
MONTH = timedelta(days=30)
"""As the food table counts them."""


class Texture(StrEnum):
    """What a food does to its neighbour in a box."""

    PLAIN = "plain"
    WET = "wet"
    CRISP = "crisp"


@dataclass(frozen=True, slots=True)
class Times:
    """Times of the day, local.

    Attributes
    ----------
    zone
        IANA name of the time zone, or None where times are wherever one is.
    morning, evening
        When lunch is packed and when tubs are moved to the fridge.
    """

    zone: str | None = None
    morning: time = time(7)
    evening: time = time(20)


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much of a batch may be cooked, in portions.

    Attributes
    ----------
    by
        Only multiples of this.
    split
        Names of ingredients that need not stay whole tins, packs or eggs; None for all.
    stated
        False where nobody said it: half the yield to twice.
    """

    least: int
    most: int
    by: int = 1
    split: frozenset[str] | None = frozenset()
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Batch:
    """Something cooked in bulk, dished out in whole portions.

    Attributes
    ----------
    portion
        Mass of one.
    portion_source
        How that mass was worked out; empty when it was stated.
    recipe_source
        Where the recipe comes from, by the file's own words.
    partial
        Tagnames of which `nutrition` is an "at least".
    cost
        Of the whole batch, as far as known.
    unpriced
        What the cost leaves out; the batch itself when nobody gave any.
    recipe
        What it is made of, where that was said.
    cautions
        Keys of the cautions that go with it.
    frozen
        Portions that went into the freezer, whenever; None while that is still to be decided.
    frozen_later
        The day and the portions of those that did so after the day it was made, in order.
    gone
        Portions that are gone without having been a lunch.
    thawed
        Portions that were thawed and are in no lunch: neither in the fridge nor in the freezer.
    exact_cost
        The cost before it was rounded to a cent.
    weighs
        What all of it weighs, where the mass of a portion comes from that.
    whole
        The batch as its recipe yields it, where more or less than that is cooked.
    sizes
        How much of it may be cooked; None where nobody said.
    steps
        How it is cooked.
    warm_risk
        What asks for it to stay cold, where it travels warm at the user's own risk; else empty.
    limits
        Numbers that the file states and one rule each reads, by key.
    earlier
        True where it was cooked in an earlier week: nothing of it is bought, cooked, frozen or
        paid again, and `frozen` of it are in the freezer.
    freezer_months
        (lower, upper) months it keeps its quality in the freezer; None where nobody publishes any.
    freezes
        True where the file says that it freezes well, or all of its storage classes do.
    """

    name: str
    made: date
    portions: int
    pieces: bool
    portion: Quantity
    nutrition: Nutrition
    nutrition_source: str
    cost: Decimal
    life: FridgeLife
    freezer: int
    freezer_takes_all: bool
    texture: Texture
    room: Quantity | None
    contents: Contents
    chilled: bool
    portion_source: str = ""
    recipe_source: str = ""
    partial: frozenset[str] = frozenset()
    unpriced: tuple[str, ...] = ()
    recipe: Recipe | None = None
    cautions: tuple[str, ...] = ()
    frozen: int | None = None
    gone: int = 0
    exact_cost: Decimal = Decimal(0)
    weighs: Cooked | None = None
    whole: Batch | None = None
    sizes: Sizes | None = None
    steps: tuple[Step, ...] = ()
    warm_risk: str = ""
    limits: Mapping[str, int] = field(default_factory=dict)
    earlier: bool = False
    freezer_months: tuple[int, int] | None = None
    freezes: bool = False
    frozen_later: tuple[tuple[date, int], ...] = ()
    thawed: int = 0

    @property
    def in_fridge(self) -> int:
        """How many portions were kept in the fridge, or still are; all where nothing is known."""
        return max(0, self.portions - self.gone - self.thawed - (self.frozen or 0))

    @property
    def lots(self) -> tuple[tuple[date, int], ...]:
        """The days on which some were frozen, and how many; none where nothing is known.

        Examples
        --------
        >>> from models.file.reading import read_week
        >>> read_week("demo").batches["pea soup"].lots
        ()
        """
        at_once = (self.frozen or 0) - sum(portions for _, portions in self.frozen_later)
        return tuple(lot for lot in ((self.made, at_once), *self.frozen_later) if lot[1] > 0)

    @property
    def first_day(self) -> date:
        """The first date it can be packed for: the day after it is made.

        Examples
        --------
        >>> from models.file.reading import read_week
        >>> batch = read_week("demo").batches["pea soup"]
        >>> batch.made, batch.first_day, batch.use_by
        (datetime.date(2026, 11, 30), datetime.date(2026, 12, 1), datetime.date(2026, 12, 4))
        """
        return self.made + timedelta(days=1)

    @property
    def use_by(self) -> date:
        """The last date a portion kept in the fridge may be eaten."""
        return self.made + timedelta(days=self.life.high)

    @property
    def fresh_until(self) -> date:
        """The last date at the lower end of its fridge life."""
        return self.made + timedelta(days=self.life.low)

    @property
    def thaws_from(self) -> date:
        """The first date a portion from the freezer may be eaten.

        What is frozen on the day it is made thaws on the evening of the next at the earliest.
        While the rest is fresh thawing gains nothing, so none is planned; what is frozen already,
        of this week or an earlier, may be all that there is.
        """
        soonest = self.first_day + timedelta(days=1)
        done = self.earlier or self.frozen is not None
        return soonest if done else max(soonest, self.fresh_until + timedelta(days=1))

    @property
    def frozen_best_by(self) -> date | None:
        """The last date at the lower end of its months in the freezer."""
        return None if self.freezer_months is None else self.made + MONTH * self.freezer_months[0]

    @property
    def frozen_until(self) -> date | None:
        """The last date on which it has its quality from the freezer."""
        return None if self.freezer_months is None else self.made + MONTH * self.freezer_months[1]

    @property
    def portion_word(self) -> str:
        """What one portion is called."""
        return "piece" if self.pieces else "portion"


@dataclass(frozen=True, slots=True)
class LarderItem:
    """A bought food that goes in as it is.

    Attributes
    ----------
    unit
        "gram", "millilitre" or "piece": what its amounts are counted in.
    pack
        Amount in one pack, in that unit.
    price
        Price of one pack.
    opened_life
        Days it keeps once opened, or None when it keeps (or is frozen).
    use_by
        Last date it may be eaten even unopened, or None.
    mass
        Mass of one unit, for saying in grams what is left over.
    per
        The amount that `nutrition` and `room` are stated for.
    opened_source
        Who says how long it keeps once opened; empty when the user does.
    risk
        As in `FridgeLife`.
    partial, unpriced, recipe, cautions
        As in `Batch`; a recipe comes to one pack, or is 100 g of the food it is.
    of_food
        True for an item that is one food of the table.
    loose
        True for what a dish lists among its ingredients: weighed out, with no pack of its own.
    shop
        Part of the shop; empty where nobody said.
    warm_risk
        As in `Batch`.
    keeps_days
        Days it keeps once opened, where they are known, however many.
    """

    name: str
    unit: str
    pack: Quantity
    price: Decimal
    opened_life: int | None
    use_by: date | None
    mass: Quantity | None
    per: Quantity
    nutrition: Nutrition
    nutrition_source: str
    texture: Texture
    room: Quantity | None
    contents: Contents
    chilled: bool
    opened_source: str = ""
    risk: str = ""
    partial: frozenset[str] = frozenset()
    unpriced: tuple[str, ...] = ()
    recipe: Recipe | None = None
    cautions: tuple[str, ...] = ()
    of_food: bool = False
    loose: bool = False
    shop: str = ""
    warm_risk: str = ""
    keeps_days: int | None = None


@dataclass(frozen=True, slots=True)
class Helping:
    """An amount of one larder item that goes into one lunch."""

    item: str
    amount: Quantity


@dataclass(frozen=True, slots=True)
class Choice:
    """A "one of these" place: a dish that names it takes exactly one option."""

    name: str
    options: tuple[Helping, ...]


@dataclass(frozen=True, slots=True)
class Take:
    """How many portions of a batch a dish takes.

    Attributes
    ----------
    most
        No more than the batch comes to, but for `least`: a dish that takes at least more than
        there is keeps its least, and its stock forbids it.
    written
        The most as the file has it.
    """

    batch: str
    least: int
    most: int
    written: int = field(default=0, compare=False)

    def of(self, portions: int) -> Take:
        """Cut the range to what there is, where the batch comes to another number of portions.

        Parameters
        ----------
        portions
            How many the batch comes to.

        Returns
        -------
        A copy whose most is cut, but never below its least, nor above the most as written.

        Examples
        --------
        >>> Take("pea soup", least=1, most=3, written=4).of(2).most
        2
        """
        most = max(self.most, self.written)
        return replace(self, most=max(self.least, min(most, portions)))


@dataclass(frozen=True, slots=True)
class Extra:
    """An addition that may come none to `most` times."""

    helping: Helping
    most: int


@dataclass(frozen=True, slots=True)
class Dish:
    """A way to serve lunch.

    Attributes
    ----------
    kind
        What variety tells dishes apart by: "hot", "soup"; the user's own word.
    takes
        Portions of batches in it.
    goes_in
        Helpings that are always in it.
    choices
        Names of choices, of each of which exactly one option goes in.
    extras
        What may be added.
    minutes
        To put one lunch together.
    most
        Most times a week for one eater; None where the week alone bounds it.
    recipe
        What it adds of the food table, where it lists any.
    """

    name: str
    kind: str
    takes: tuple[Take, ...]
    goes_in: tuple[Helping, ...]
    choices: tuple[str, ...]
    extras: tuple[Extra, ...]
    minutes: int
    microwave: bool
    most: int | None
    recipe: Recipe | None = None
    same_as: str = ""

    @property
    def counts_as(self) -> str:
        """The dish that it is for variety and repeats: itself, or the one it is another way of."""
        return self.same_as or self.name


@dataclass(frozen=True, slots=True)
class Box:
    """What lunch travels in.

    Attributes
    ----------
    compartments, pots
        The room in each, in mL; pots close tight and take what is wet.
    """

    name: str
    compartments: tuple[Quantity, ...]
    pots: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True)
class Bound:
    """A least or most amount of a nutrient, over one lunch or over the week.

    Attributes
    ----------
    note
        How the figure came about when it was computed, else empty.
    as_salt
        True where the file gives sodium as salt.
    """

    nutrient: str
    amount: Quantity
    weekly: bool
    note: str = ""
    as_salt: bool = field(default=False, compare=False)


@dataclass(frozen=True, slots=True)
class Eater:
    """Who eats.

    Attributes
    ----------
    floors, ceilings
        Least and most of nutrients, over each lunch or over the week.
    avoids_allergens
        Groups of law that are no foods: sulphites.
    avoids_foods
        Families, and words that foods are called by.
    likes
        Dish to liking, -5 to 5.
    box
        Name of the box; None where its room does not matter.
    diet
        A key of `models.words.families.DIETS`, or empty.
    group
        The entry of the file that stands for so many of them, or empty.
    """

    name: str
    floors: tuple[Bound, ...]
    ceilings: tuple[Bound, ...]
    avoids_allergens: frozenset[str]
    avoids_foods: frozenset[str]
    likes: Mapping[str, int]
    box: str | None
    diet: str = ""
    group: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """What the place where lunch is eaten offers.

    Attributes
    ----------
    cold_packs
        Cold sources that travel in the insulated bag.
    told_at
        The keys of the week file that say so.
    """

    fridge: bool
    microwave: bool
    cold_packs: int
    told_at: tuple[str | int, ...] = field(default=("place",), compare=False)


@dataclass(frozen=True, slots=True)
class Lunch:
    """One eater on one date."""

    eater: str
    day: date
    place: Place


@dataclass(frozen=True, slots=True)
class NoLunch:
    """A lunch that is not needed.

    Attributes
    ----------
    eater
        None where nobody needs one that day.
    why
        In the user's words; empty where none was given.
    """

    day: date
    eater: str | None
    why: str


@dataclass(frozen=True, slots=True)
class WishedLunch:
    """A dish that is wanted on a day.

    Attributes
    ----------
    eater
        Whose lunch it is to be; None where anyone's will do.
    """

    dish: str
    day: date
    eater: str | None


@dataclass(frozen=True, slots=True)
class Variety:
    """How different the lunches of one eater must be; None of a number where nobody said.

    Attributes
    ----------
    most_times
        Most times a dish comes in the week.
    days_between
        Calendar days between two of the same dish; 0 where they may follow each other.
    kinds_apart
        Groups of kinds of which no two fall on consecutive days.
    same_choice
        Most times an option of a choice comes.
    batch_running
        Most calendar days in a row on which a batch is eaten.
    """

    most_times: int | None
    days_between: int
    kinds_apart: tuple[frozenset[str], ...]
    same_choice: int | None
    batch_running: int | None


@dataclass(frozen=True, slots=True)
class Shelved:
    """Some of a thing that is in the cupboard.

    Attributes
    ----------
    amount
        Of a larder item in its own unit, of a food in g as it is bought; None for plenty.
    use_by
        The last date on which it may be eaten or cooked; None where it keeps or nobody said.
    """

    amount: Decimal | None
    use_by: date | None = None


@dataclass(frozen=True, slots=True)
class Week:
    """Everything a plan is made from.

    Attributes
    ----------
    guidance
        "us", "uk" or "strictest"; empty in a week without batches.
    cups
        Which cup and spoons are meant, or None where none are used.
    own_foods
        Foods that are not of the program's own table.
    source
        What it was read from. Two weeks that mean the same are equal wherever they stand.
    tables
        Foods of the user's own tables that it was read with.
    what_ifs
        What-ifs that are kept in the week file, by name.
    packs
        Packs of ingredients, by the name of the food.
    times
        When what is done in a day.
    kitchen
        What there is to cook with on a prep day.
    taken
        What the file leaves out and what was taken in its place, a sentence each.
    cupboard
        What is there already: by larder item in its own unit, by the name of a food in g.
    lately
        Dishes that were eaten lately, by eater.
    wishes
        Lunches that are wanted, in the order of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> week.days[0], len(week.lunches), list(week.dishes)
    (datetime.date(2026, 11, 30), 3, ['Rice, beans and cheese', 'Rice, beans and apple'])
    """

    name: str
    note: str
    guidance: str
    currency: str
    days: tuple[date, ...]
    no_lunch: tuple[NoLunch, ...]
    lunches: tuple[Lunch, ...]
    eaters: Mapping[str, Eater]
    batches: Mapping[str, Batch]
    larder: Mapping[str, LarderItem]
    choices: Mapping[str, Choice]
    dishes: Mapping[str, Dish]
    boxes: Mapping[str, Box]
    variety: Variety
    priorities: tuple[str, ...]
    cups: str | None = None
    own_foods: Mapping[str, Food] = field(default_factory=dict)
    what_ifs: Mapping[str, tuple[Knob, ...]] = field(default_factory=dict)
    packs: Mapping[str, tuple[FoodPack, ...]] = field(default_factory=dict)
    cupboard: Mapping[str, tuple[Shelved, ...]] = field(default_factory=dict)
    lately: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    wishes: tuple[WishedLunch, ...] = ()
    times: Times = field(default_factory=Times)
    kitchen: Kitchen = field(default_factory=Kitchen)
    source: Document = field(default=Document("the week", {}), compare=False)
    tables: tuple[Food, ...] = field(default=(), compare=False)
    taken: tuple[str, ...] = field(default=(), compare=False)


def eater_of(week: Week, name: str, where: str) -> str:
    """Find an eater of a week by name.

    Parameters
    ----------
    week
        The week.
    name
        As it is typed.
    where
        Where it is typed, for the error.

    Returns
    -------
    str
        The name as the week file has it.

    Raises
    ------
    InputError
        When the week has none of that name.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> name = next(iter(week.eaters))
    >>> eater_of(week, name, "--eater") == name
    True
    """
    groups = groups_of(week)
    if name in groups:
        # They are alike: the first of them speaks for all.
        return groups[name][0]
    if name not in week.eaters:
        known = [*groups, *(eater.name for eater in week.eaters.values() if not eater.group)]
        raise InputError(where, f"there is no eater named {name!r}", suggestion(name, known))
    return name


def one_by_one(week: Week, asked: str) -> None:
    """Refuse what is asked of single lunches, where a week counts eaters.

    Parameters
    ----------
    week
        The week.
    asked
        The command or option, for the error.

    Raises
    ------
    InputError
        When an entry stands for several eaters.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> one_by_one(read_week("family"), "why")
    """
    for name, eaters in groups_of(week).items():
        raise InputError(
            asked,
            f"{name!r} is {len(eaters)} eaters by one entry, and their lunches are only counted",
            "Ask it of a copy of the file without 'count', where each entry is one eater.",
        )


def groups_of(week: Week) -> dict[str, tuple[str, ...]]:
    """Give the eaters who are one entry of the file, with a number.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    dict of str to tuple of str
        By the name of the entry; nothing where each eater has an entry.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> groups_of(read_week("family"))
    {}
    """
    groups: dict[str, tuple[str, ...]] = {}
    for eater in week.eaters.values():
        if eater.group:
            groups[eater.group] = (*groups.get(eater.group, ()), eater.name)
    return groups
