"""What a week file says of all but food: the week, eaters, places, dishes, boxes and wishes.

Each model is one mapping of the file. Its descriptions are what an editor shows through the
JSON Schema. What one entry says of another is judged afterwards, in reading.py.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from pydantic import (
    BeforeValidator,
    Field,
    WithJsonSchema,
)

from models.file.food_entries import (
    BatchEntry,
    FoodEntry,
    HeldEntries,
    Ingredients,
    ItemEntry,
    Prices,
)
from models.file.instead import avoided_meant
from models.file.scalars import (
    Allergens,
    Clock,
    Cups,
    Day,
    DayOrDate,
    Days,
    Diet,
    Entry,
    Floors,
    FoodName,
    Guidance,
    Helpings,
    HowMany,
    HowOften,
    Liking,
    Mass,
    Minutes,
    Name,
    NameOrNames,
    Nutrients,
    OneHelping,
    Packs,
    Percent,
    Pick,
    Range,
    Room,
    Stuff,
    Text,
    Values,
    WeekDays,
    YesNo,
    Zone,
    uncut,
)
from models.words.families import DIETS
from models.words.needs import STANDARDS
from models.words.nutrients import NAMES
from models.words.priorities import DEFAULT_ORDER, PRIORITY_NAMES


class WeekEntry(Entry):
    """Which week it is."""

    like = "Write it as '{starts: 2026-11-30, days: mon-fri}'."

    name: Text = Field(default="", description="A name for the week, printed at the top.")
    note: Text = Field(default="", description="A remark, printed under the name.")
    starts: Day = Field(description="The date of the first day, as 2026-11-30.")
    days: WeekDays = Field(
        default=["mon", "tue", "wed", "thu", "fri"],
        min_length=1,
        max_length=7,
        description="Days with lunches, as mon-fri or [mon, wed]. Monday to Friday unless said.",
    )
    currency: Text = Field(default="", description="How prices are written, as EUR.")
    guidance: Guidance | None = Field(
        default=None,
        description="Whose fridge lives the dates follow; needed with batches.",
    )
    cups: Cups | None = Field(
        default=None,
        description="Which cup and spoons are meant: label, us, metric or metric-20. Needed where "
        "an ingredient is measured by them.",
    )
    pick: Pick = Field(
        default="middle",
        description="What is taken of a range in an ingredient, as of 5-6 carrots: the middle, "
        "with a remark, or the most.",
    )


class PlaceEntry(Entry):
    """What the place where lunch is eaten offers."""

    like = "Write it as '{fridge: yes, microwave: no}'."

    fridge: YesNo = Field(default=True, description="Is there a fridge?")
    microwave: YesNo = Field(default=False, description="Is there a microwave?")
    cold_packs: Packs = Field(
        default=0, description="Cold packs that travel in an insulated bag with the lunch."
    )


class ElsewhereEntry(PlaceEntry):
    """A day, or one eater's day, spent elsewhere."""

    day: DayOrDate = Field(description="The day.")
    eater: Name | None = Field(default=None, description="Only this eater; all when left out.")


class NoLunchEntry(Entry):
    """A lunch that is not needed."""

    like = "Write it as '{day: fri}'."

    day: DayOrDate = Field(description="The day.")
    eater: Name | None = Field(default=None, description="Only this eater; all when left out.")
    why: Text = Field(default="", description="A reason to print, as 'bank holiday'.")


class DailyProtein(Entry):
    """A daily need of protein and the share of it that lunch must carry.

    Standards are for people in good health: ask a dietitian or doctor for anyone else.
    """

    standard: Annotated[str, WithJsonSchema({"enum": list(STANDARDS)})] | None = Field(
        default=None, description="A named standard, per kg of body mass."
    )
    body_mass: Mass | None = Field(default=None, description="Needed with a standard: 64 kg.")
    need: Mass | None = Field(default=None, description="Your own figure a day instead: 60 g.")
    need_per_kg: Mass | None = Field(
        default=None,
        description="Your own figure per kg: 1.0 g. With a standard that gives a range, the "
        "figure that is taken of it; its lower end where left out.",
    )
    lunch_share: Percent = Field(description="The share of the day that lunch carries: 35 %.")


_AVOIDS = (
    *("avoid", "avoids", "allergy", "allergies", "allergic", "allergic_to", "without", "no"),
    *("intolerance", "intolerances", "intolerant", "intolerant_to", "dislikes", "excludes"),
    *("exclude", "not", "never", "cannot_eat", "cant_eat", "must_avoid", "must_not_have"),
)


class MustNotEntry(Entry):
    """What an eater must not have."""

    like = "Write it as '{foods: [pork]}', '{allergens: [milk]}' or '{diet: vegetarian}'."

    @classmethod
    def likened(cls, data: object) -> str:
        """Say how a list of words is written here.

        Parameters
        ----------
        data
            What stands there.

        Returns
        -------
        A sentence.

        Examples
        --------
        >>> MustNotEntry.likened(["penuts", "vegan"])
        "Write 'must_not: {foods: [peanuts], diet: vegan}'."
        """
        return avoided_meant(data) or cls.like

    allergens: Allergens = Field(default=frozenset(), description="Allergens to keep away.")
    foods: list[Name] = Field(
        default=[], description="Foods and families to keep away: pork, nightshades, blue cheese."
    )
    diet: Diet | None = Field(
        default=None, description="A way of eating: vegetarian, vegan, pescatarian, halal, kosher."
    )


_BOUND = (
    "Write it under 'floors', what each lunch holds at least, or 'ceilings', at most, as in "
    "'floors: {protein: 20 g}' or 'ceilings: {energy: 600 kcal}'."
)


class EaterEntry(Entry):
    """Who eats."""

    like = "Write it as '{floors: {protein: 20 g}}'."

    belongs: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys((*NAMES, "calories", "kcal"), _BOUND),
        "diet": "It goes under must_not: {diet: vegetarian}.",
        **{eating: f"Write 'must_not: {{diet: {eating}}}'." for eating in DIETS},
        "allergens": "It goes under must_not: {allergens: [celery]}.",
        "foods": "It goes under must_not: {foods: [pork]}.",
        "days": "List the days without this eater under no_lunch, beside eaters: "
        "- {day: mon, eater: NAME}.",
    }
    called: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(_AVOIDS, "must_not"),
        "lunchbox": "box",
        "people": "count",
    }

    count: HowMany = Field(
        default=1,
        description="How many eat by this entry: they are planned by number and served by it.",
    )
    box: Name | None = Field(default=None, description="The box this eater carries.")
    floors: Floors = Field(
        default={},
        description="Least of a nutrient in each lunch; usable_protein is what its amino acids "
        "allow.",
    )
    ceilings: Nutrients = Field(default={}, description="Most of a nutrient in each lunch.")
    week_floors: Nutrients = Field(default={}, description="Least over all lunches of the week.")
    week_ceilings: Nutrients = Field(default={}, description="Most over all lunches of the week.")
    daily_protein: DailyProtein | None = Field(
        default=None, description="A floor of protein worked out from a daily need."
    )
    must_not: MustNotEntry = Field(
        default=MustNotEntry(), description="What this eater must not have."
    )
    likes: dict[Name, Liking] = Field(
        default={}, description="Dish to liking, -5 to 5; 0 when left out."
    )


class HoursEntry(Entry):
    """When hands work on the prep days of one weekday."""

    starts: Clock | None = Field(default=None, description="When hands begin; else as on others.")
    ends: Clock | None = Field(default=None, description="When hands end; else as on others.")


class KitchenEntry(Entry):
    """What there is to cook with on a prep day, and when."""

    like = "Write it as '{oven_trays: 2, rings: 4}'."

    hands: HowOften = Field(default=1, description="Pairs of hands.")
    oven_trays: Packs = Field(default=2, description="Trays in the oven at a time; 0: no oven.")
    rings: Packs = Field(default=4, description="Rings of the hob.")
    blenders: Packs = Field(default=1, description="Blenders.")
    starts: Clock = Field(default="09:00", description="When hands begin on a prep day.")
    ends: Clock = Field(default="21:00", description="When hands end.")
    evening_from: Clock = Field(default="18:00", description="Evening before, for soaking: from.")
    evening_to: Clock = Field(default="22:00", description="Evening before, for soaking: to.")
    hot_day: YesNo = Field(
        default=False, description="Is the kitchen above 32 °C? Food then cools an hour at most."
    )
    mon: HoursEntry | None = Field(default=None, description="Hours of its own on a Monday.")
    tue: HoursEntry | None = Field(default=None, description="On a Tuesday.")
    wed: HoursEntry | None = Field(default=None, description="On a Wednesday.")
    thu: HoursEntry | None = Field(default=None, description="On a Thursday.")
    fri: HoursEntry | None = Field(default=None, description="On a Friday.")
    sat: HoursEntry | None = Field(default=None, description="On a Saturday.")
    sun: HoursEntry | None = Field(default=None, description="On a Sunday.")


class ExtraEntry(Entry):
    """An addition that may come none to so many times."""

    like = "Write it as '{portion: 1 piece, most: 2}'."

    portion: Stuff = Field(description="One addition: 15 g or 1 piece.")
    most: Helpings = Field(default=1, description="How many at the most.")


class DishEntry(Entry):
    """A way to serve lunch."""

    like = "Write it as '{takes: {stew: 1}}'."
    called: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("with", "side", "sides", "served_with"), "goes_in"),
        **dict.fromkeys(("batch", "batches", "uses"), "takes"),
    }

    kind: Name | None = Field(
        default=None,
        description="What sort of lunch it is: bread, grain, salad, soup ... Left out: one of its "
        "own.",
    )
    takes: dict[Name, Range] = Field(
        default={}, description="Batch to portions, one number or a range: 3 to 5."
    )
    goes_in: dict[Name, Stuff] = Field(default={}, description="Larder items always in it.")
    ingredients: Ingredients | None = Field(
        default=None,
        description="Foods of the table added in the morning, for one lunch: 1 tsp lemon juice.",
    )
    choices: list[Name] = Field(default=[], description="Names of the choices it offers.")
    extras: dict[Name, ExtraEntry] = Field(default={}, description="Additions, none to a most.")
    minutes: Minutes = Field(default=0, description="Minutes of work in the morning.")
    microwave: YesNo = Field(default=False, description="Does it have to be heated?")
    most: HowOften | None = Field(default=None, description="Most times a week for one eater.")
    same_as: Name | None = Field(
        default=None,
        description="The dish that it is another way of, as with what an earlier week left: for "
        "variety and repeats the two are one.",
    )


class BoxEntry(Entry):
    """What lunch travels in."""

    like = "Write it as '{compartments: [650 mL]}'."

    @classmethod
    def likened(cls, data: object) -> str:
        """Say how the room of a box is written.

        Parameters
        ----------
        data
            What stands there.

        Returns
        -------
        A sentence.

        Examples
        --------
        >>> BoxEntry.likened("900 mL")
        "Write it as '{compartments: [900 mL]}'."
        """
        measured = isinstance(data, str) and data[:1].isdecimal() and "," not in data
        return f"Write it as '{{compartments: [{data}]}}'." if measured else cls.like

    called: ClassVar[Mapping[str, str]] = dict.fromkeys(
        ("size", "volume", "capacity", "holds", "room"), "compartments"
    )

    compartments: Annotated[list[Room], BeforeValidator(uncut)] = Field(
        min_length=1, max_length=6, description="Room of each compartment."
    )
    pots: list[Room] = Field(
        default=[], max_length=6, description="Room of each small sealed cup for what is wet."
    )


class VarietyEntry(Entry):
    """How different the lunches of one eater must be."""

    like = "Write it as '{most_times: 2}'."

    most_times: HowOften | None = Field(default=None, description="Most times a dish may come.")
    days_between: Days = Field(
        default=0, description="Least days between two of the same dish; 1: not two days running."
    )
    kinds_apart: list[NameOrNames] = Field(
        default=[],
        description="Kinds that may not follow each other: bread, or [grain, pasta] together.",
    )
    same_choice: HowOften | None = Field(
        default=None, description="Most times the same option of a choice may come."
    )
    batch_running: HowOften | None = Field(
        default=None, description="Most days running on which a batch may be eaten."
    )


class WhatIfEntry(Entry):
    """What could be otherwise: each value gives a week, several things every combination."""

    yield_: dict[Name, Values] = Field(
        default={}, alias="yield", description="How much of a batch is cooked, by batch: 8..20."
    )
    floors: dict[Name, dict[str, Values]] = Field(
        default={},
        description="Floors of a lunch, by eater and nutrient: {Jorun: {protein: 20..26}}",
    )
    lunches: Values | None = Field(default=None, description="How many days have a lunch: 3..5.")


PriorityName = Annotated[str, WithJsonSchema({"enum": list(PRIORITY_NAMES)})]


class TimesEntry(Entry):
    """Times of the day and where the clock stands, for the calendar."""

    like = "Write it as '{morning: \"07:15\"}'."

    zone: Zone | None = Field(
        default=None, description="Time zone, as Europe/Lisbon; without one times are local."
    )
    morning: Clock = Field(default="07:00", description="When lunch is packed.")
    evening: Clock = Field(default="20:00", description="When tubs are moved to the fridge.")


class WeekFile(Entry):
    """A week of packed lunches to plan."""

    called: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("recipes", "cooking", "cooked"), "batches"),
        **dict.fromkeys(("people", "family", "household", "persons"), "eaters"),
        **dict.fromkeys(("containers", "lunchboxes", "lunch_boxes"), "boxes"),
        **dict.fromkeys(("pantry", "shopping", "groceries"), "larder"),
        **dict.fromkeys(("meals", "lunches"), "dishes"),
    }

    week: WeekEntry = Field(description="Which week it is.")
    place: PlaceEntry = Field(default=PlaceEntry(), description="Where lunch is eaten.")
    elsewhere: list[ElsewhereEntry] = Field(default=[], description="Days at another place.")
    no_lunch: list[NoLunchEntry] = Field(default=[], description="Lunches that are not needed.")
    eaters: dict[Name, EaterEntry] = Field(min_length=1, max_length=500, description="Who eats.")
    batches: dict[Name, BatchEntry] = Field(default={}, description="What is cooked in bulk.")
    larder: dict[Name, ItemEntry] = Field(default={}, description="What is bought as it is.")
    foods: dict[FoodName, FoodEntry] = Field(
        default={}, max_length=500, description="Foods of your own; they go before the table's."
    )
    prices: dict[FoodName, Prices] = Field(
        default={}, description="What ingredients cost: a pack each, or several."
    )
    cupboard: dict[FoodName, HeldEntries] = Field(
        default={},
        max_length=500,
        description="What is there already, of larder items and ingredients: 300 mL, 4 pieces, "
        "or plenty. With the day until which it is good: {amount: 45 g, use_by: 2026-12-09}.",
    )
    wishes: list[Text] = Field(
        default=[],
        max_length=500,
        description="Lunches that are wanted: 'Soup and toast on tue', or of several eaters 'Soup "
        "and toast on tue for Ada'. They give way only where no week keeps every rule.",
    )
    lately: dict[Name, list[Name]] = Field(
        default={},
        max_length=500,
        description="Dishes that were eaten lately, by eater: 'plan --no-repeats' has none of them "
        "again where that can be.",
    )
    kitchen: KitchenEntry = Field(
        default=KitchenEntry(), description="What there is to cook with, for the prep day."
    )
    times: TimesEntry = Field(
        default=TimesEntry(), description="Times of the day, for the calendar."
    )
    choices: dict[Name, list[OneHelping]] = Field(
        default={}, description="Named 'one of these' places that dishes refer to."
    )
    dishes: dict[Name, DishEntry] = Field(min_length=1, description="The ways to serve lunch.")
    boxes: dict[Name, BoxEntry] = Field(default={}, description="What lunch travels in.")
    variety: VarietyEntry = Field(default=VarietyEntry(), description="How different days are.")
    priorities: list[PriorityName] = Field(
        default=list(DEFAULT_ORDER), description="What matters first, second and so on."
    )
    what_ifs: dict[Name, WhatIfEntry] = Field(
        default={}, max_length=50, description="What-ifs to keep, by the name they are asked by."
    )
