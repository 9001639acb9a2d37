"""The cautions that bear on a week, each with who says it; every sheet prints those that are its.

The program helps to plan; it is no food-safety authority. What is said here holds in general and
defers to local codes and to licensed practice. Cautions are worked out from the week, never read
from a saved plan. The texts and their sources are rows of a table.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from typing import Literal

from models.foods.families import derived
from models.foods.food import Food
from models.foods.raw import has_lectin, raw_kind, to_cook
from models.foods.recipe import Recipe
from models.foods.tabled import rows
from models.week.kitchen import handled
from models.week.packed import PackedWeek, helpings
from models.week.week import Batch, LarderItem, Week, groups_of
from models.words.guidance import GUIDANCES
from models.words.names import words
from models.words.numbers import counted, listed
from models.words.nutrients import USABLE

SheetName = Literal["plan", "glance", "prep", "label", "pack", "page", "share"]


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that bears.

    Attributes
    ----------
    key
        What it is about, as "rice".
    short
        A few words, for a label.
    text
        Whole sentences.
    source
        Who says so; empty where it is the program's own remark on the week.
    sheets
        The sheets it belongs to.
    of
        Batches and larder items that it is about; empty where it is about all.
    """

    key: str
    short: str
    text: str
    source: str
    sheets: frozenset[str]
    of: tuple[str, ...] = ()

    @property
    def sourced(self) -> str:
        """The text with its source.

        Examples
        --------
        >>> Caution("rice", "", "Cool rice fast.", "UK FSA", frozenset()).sourced
        'Cool rice fast. (UK FSA)'
        """
        return f"{self.text} ({self.source})" if self.source else self.text

    @property
    def named(self) -> str:
        """The text with its source, behind the names of what it is about; remarks name it.

        Examples
        --------
        >>> Caution("rice", "", "Cool rice fast.", "UK FSA", frozenset(), ("pilau",)).named
        'pilau: Cool rice fast. (UK FSA)'
        """
        return f"{', '.join(self.of)}: {self.sourced}" if self.of and self.source else self.sourced


def bearing(week: Week, packed: PackedWeek | None = None) -> tuple[Caution, ...]:
    """Select the cautions that bear on a week, in the order in which they are printed.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan: what is not in it is not cautioned against, and it says whether anything is
        thawed. None before there is one.

    Returns
    -------
    tuple of Caution
        Each with the batches and items that it is about; none named where it is about all.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> rice = next(caution for caution in bearing(read_week("minimal")) if caution.key == "rice")
    >>> rice.of
    ('rice and beans',)
    """
    things = _things(week, packed)
    of: dict[str, list[str]] = {}
    for thing in things:
        for key in keys_of(thing):
            of.setdefault(key, []).append(thing.name)
    general = set(_general(week, packed))
    cautions = [
        replace(row, of=tuple(of.get(row.key, ())))
        for row in known(week.guidance)
        if row.key in general or row.key in of
    ]
    # The first of all comes first; then what is of this week alone.
    return (*cautions[:1], *_own(week), *_for_people(week, of), *cautions[1:])


def on_sheet(
    cautions: Iterable[Caution], sheet: SheetName, of: Collection[str] | None = None
) -> list[Caution]:
    """Select those of a sheet; about some batches and items alone, where these are named.

    Parameters
    ----------
    cautions
        Cautions that bear on a week.
    sheet
        The sheet.
    of
        Names of batches and items; all when left out.

    Returns
    -------
    In the order given; what is about the week as a whole is about each of its parts.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> cautions = bearing(read_week("minimal"))
    >>> {caution.key for caution in on_sheet(cautions, "prep", ["hard cheese"])} & {"rice"}
    set()
    """
    return [
        caution
        for caution in cautions
        if sheet in caution.sheets and (of is None or not caution.of or set(caution.of) & set(of))
    ]


@cache
def known(guidance: str) -> tuple[Caution, ...]:
    """Read the rows of the table that hold for a guidance, the strictest where nobody said.

    Parameters
    ----------
    guidance
        A key of `GUIDANCES`; may be empty.

    Returns
    -------
    In the order of the table, each with its source.

    Examples
    --------
    >>> all(caution.source for caution in known("us"))
    True
    """
    return tuple(
        Caution(
            row["key"],
            row["short"],
            row["text"],
            row["source"],
            frozenset(row["sheets"].split(";")),
        )
        for row in rows("cautions.csv")
        if not row["guidance"] or (guidance or "strictest") in row["guidance"].split(";")
    )


# -- what bears ------------------------------------------------------------------------


def _things(week: Week, packed: PackedWeek | None) -> list[Batch | LarderItem]:
    """Give what is cooked, and what is bought for the lunches that there are."""
    items: Iterable[LarderItem] = week.larder.values()
    if packed is not None:
        used = {helping.item for lunch in packed.lunches for helping in helpings(week, lunch)}
        items = [item for name, item in week.larder.items() if name in used]
    return [*week.batches.values(), *items]


def _general(week: Week, packed: PackedWeek | None) -> Iterator[str]:
    yield from ("general", "days", "fridge", "cooling", "reheating", "allergens")
    if week.batches:
        yield "vulnerable people"
    if groups_of(week):
        yield "catering"
    if packed is not None and any(
        part.thawed for lunch in packed.lunches for part in lunch.portions
    ):
        yield "thawed"
    if any(not lunch.place.fridge for lunch in week.lunches):
        yield "lunch bag"
    if any(bound.note for eater in week.eaters.values() for bound in eater.floors):
        yield "need"


def keys_of(thing: Batch | LarderItem) -> tuple[str, ...]:
    """Name the cautions of a batch or a bought food, in the order of the table.

    Parameters
    ----------
    thing
        A batch or a larder item.

    Returns
    -------
    Keys of `known("us")`; empty where nothing is cautioned against.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> "rice" in keys_of(read_week("minimal").batches["rice and beans"])
    True
    """
    keys = set(thing.cautions)
    foods = foods_of(thing)
    keys |= {key for food in foods for key in _of_food(food)}
    for name in (thing.name, *_stated(thing)):
        keys |= set(_of_name(name))
    lines = () if thing.recipe is None else thing.recipe.ingredients
    if any(_is_raw_milk(line.text) or _is_raw_milk(line.name) for line in lines):
        keys.add("listeria")
    if any(has_lectin(food.name, food.state) for food in foods):
        keys.add("kidney beans")
    raw = {raw_kind(food) for food in foods} - {None}
    if raw and isinstance(thing, Batch):
        keys.add("raw apart")
    if "raw egg" in raw:
        keys.add("egg")
    if thing.recipe is not None and _in_oil(thing.recipe):
        keys.add("garlic or herbs in oil")
    keys |= set(_cooked_how(thing, foods))
    return tuple(row.key for row in known("us") if row.key in keys)


def _stated(thing: Batch | LarderItem) -> frozenset[str]:
    """Give the foods that its file names beside the ingredients, which are known by more."""
    known_by = {name.casefold() for food in foods_of(thing) for name in (food.name, *food.aliases)}
    return thing.contents.foods - known_by


def foods_of(thing: Batch | LarderItem) -> tuple[Food, ...]:
    """List the foods that it is made of, as far as that was said.

    Parameters
    ----------
    thing
        A batch or a larder item.

    Returns
    -------
    Foods of its recipe, as the tables have them; empty where it has no recipe.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> [food.name for food in foods_of(read_week("minimal").larder["apple"])]
    ['apple, raw, with skin']
    """
    return () if thing.recipe is None else thing.recipe.foods


_LISTERIA = {"smoked fish", "deli meats, opened", "soft cheese"}
_SOFT = words("brie camembert gorgonzola roquefort stilton feta ricotta mozzarella")
_SMOKED = words("smoked gravlax gravadlax gravad sushi sashimi")
_LARGE_FISH = words("swordfish shark marlin")
_UNPASTEURISED = words("unpasteurised unpasteurized")
_SLICED = words("ham salami pate prosciutto chorizo pastrami sliced deli")
_IN_OIL = Decimal("0.25")
"""Share of oil in a mixture from which what is in it lies in oil (common practice, no source)."""


def _of_food(food: Food) -> Iterator[str]:
    if food.storage in _LISTERIA:
        yield "listeria"
    elif not food.storage and food.state not in {"cooked", "tinned"}:
        yield from _of_name(food.name)
    if "honey" in food.families.holds:
        yield "honey"
    yield from _in_pregnancy(food.name)


def _in_pregnancy(name: str) -> Iterator[str]:
    named = words(name)
    if named & {"liver", "haggis"} and "oil" not in named:
        yield "liver"
    if named & _LARGE_FISH:
        yield "large fish"


def _of_name(name: str) -> Iterator[str]:
    """Name the cautions of a food of which nothing is known but its name."""
    named, holds = words(name), derived((name,)).holds
    if "rice" in named:
        yield "rice"
    if "honey" in holds:
        yield "honey"
    yield from _in_pregnancy(name)
    smoked = bool(named & _SMOKED) and "fish" in holds | derived((name,)).may
    raw_milk = _is_raw_milk(name)
    soft = bool(named & _SOFT) or {"blue", "cheese"} <= named or {"soft", "cheese"} <= named
    sliced = bool(named & _SLICED) and "meat" in holds
    if smoked or soft or sliced or raw_milk or "pate" in named:
        yield "listeria"


def _is_raw_milk(name: str) -> bool:
    named = words(name)
    return {"raw", "milk"} <= named or bool(named & _UNPASTEURISED)


def _in_oil(recipe: Recipe) -> bool:
    """Tell whether fresh garlic or herbs lie in oil."""
    oil = sum((line.grams for line in recipe.ingredients if line.food.group == "oils"), Decimal(0))
    green = any(
        food.state == "raw" and (food.group == "herbs" or "garlic" in words(food.name))
        for food in recipe.foods
    )
    return green and oil > recipe.mass * _IN_OIL


def _not_ready(thing: Batch | LarderItem) -> list[Food]:
    """Give the foods that it is made of but for what its label calls ready to eat."""
    lines = () if thing.recipe is None else thing.recipe.ingredients
    return [line.food for line in lines if not line.ready]


def _boiled(thing: Batch | LarderItem) -> frozenset[str]:
    """Give what its lines call foods that the table has tinned or boiled."""
    lines = () if thing.recipe is None else thing.recipe.ingredients
    return frozenset(
        line.name.casefold() for line in lines if line.food.state in {"cooked", "tinned"}
    )


def _cooked_how(thing: Batch | LarderItem, foods: tuple[Food, ...]) -> Iterator[str]:
    """Name the cautions that come of how it is cooked, or of its not being cooked."""
    steps = thing.steps if isinstance(thing, Batch) else ()
    raw = handled(steps, foods)[1]
    is_known = bool(steps) or isinstance(thing, LarderItem)
    classes = thing.life.classes if isinstance(thing, Batch) else ()
    if (is_known and "raw egg" in raw) or "mayonnaise, home-made" in classes:
        yield "raw egg"
    if steps and handled(steps, _not_ready(thing))[1]:
        yield "still raw"
    if any(step.slow_cooks for step in steps) and (
        any(has_lectin(food.name, food.state) for food in foods)
        or any(has_lectin(name) for name in _stated(thing) - _boiled(thing))
    ):
        yield "slow cooker"


# -- what is of this week alone ----------------------------------------------------------


_USABLE = (
    "Usable protein is worked out for adults: amino acids of the whole lunch against the pattern "
    "of FAO 2013, by the digestibility of each food (FAO/WHO 1991). What nobody measured counts as "
    "none."
)
_EVERYWHERE = frozenset({"plan", "page", "share"})


def _own(week: Week) -> Iterator[Caution]:
    for name, eaters in groups_of(week).items():
        text = (
            f"{name}: {len(eaters)} people by one entry. What one of them must not have is not "
            "known beyond it. Ask each, give whoever avoids a food an entry of their own, and put "
            "the allergens of each dish where it is served."
        )
        short = "ask each what they must not have"
        yield Caution("group", short, text, "", _EVERYWHERE | {"glance", "prep"}, (name,))
    for key, text in (*_at_risk(week), *_use_by(week), *_to_cook(week)):
        sheets = _EVERYWHERE | {"prep"} if key == "cook" else _EVERYWHERE
        yield Caution(key, "", text, "", sheets)
    things: list[Batch | LarderItem] = [*week.batches.values(), *week.larder.values()]
    for thing in things:
        if thing.warm_risk:
            text = f"At your own risk: {thing.name} travels warm. {thing.warm_risk}."
            sheets = _EVERYWHERE | {"pack", "label"}
            yield Caution("warm", "own risk: travels warm", text, "", sheets, (thing.name,))
    floors = (bound for eater in week.eaters.values() for bound in eater.floors)
    if any(bound.nutrient == USABLE for bound in floors):
        yield Caution("protein", "", _USABLE, "", frozenset({"plan", "page"}))


_AT_RISK = {"pregnancy": "pregnancy", "over 65": "people over 65"}
"""How the standard of a daily need names people whom germs harm most, and how they are called."""
_HARMFUL = ("listeria", "raw egg", "sprouts")
"""Keys of the cautions that are about them."""
_OF_PREGNANCY = ("liver", "large fish")
"""Keys of those that heat does not mend, for pregnancy alone."""


def _for_people(week: Week, of: Mapping[str, Sequence[str]]) -> Iterator[Caution]:
    """Name what to ask about for an eater whose need the file says is one of pregnancy or age."""
    things = tuple(dict.fromkeys(name for key in _HARMFUL for name in of.get(key, ())))
    never = tuple(dict.fromkeys(name for key in _OF_PREGNANCY for name in of.get(key, ())))
    people = {eater.group or eater.name: eater for eater in week.eaters.values()}
    for name, eater in people.items():
        notes = " ".join(bound.note for bound in eater.floors)
        if "pregnancy" in notes and never:
            text = (
                f"{name}'s need of protein is that of pregnancy: leave {listed(never)} out, "
                "and ask a midwife or doctor."
            )
            short = f"{name} (pregnancy): leave it out"
            yield Caution("at risk", short, text, "", _EVERYWHERE | {"pack"}, never)
        for who, called in _AT_RISK.items():
            heated = tuple(name for name in things if who != "pregnancy" or name not in never)
            if who in notes and heated:
                text = (
                    f"{name}'s need of protein is that of {called}: leave {listed(heated)} "
                    "out unless steaming hot, and ask a midwife, doctor or dietitian. What is "
                    f"never packed for {name} stands under 'must_not'."
                )
                short = f"{name} ({who}): leave it out unless steaming hot"
                yield Caution("at risk", short, text, "", _EVERYWHERE | {"pack"}, heated)


def _at_risk(week: Week) -> Iterator[tuple[str, str]]:
    for batch in week.batches.values():
        if batch.life.risk:
            yield (
                "own risk",
                f"At your own risk: {batch.name} is planned for up to "
                f"{counted(batch.life.high, 'day')}. Published: {batch.life.risk}.",
            )
    for item in week.larder.values():
        if item.risk:
            kept = "past the week" if item.opened_life is None else counted(item.opened_life, "day")
            yield (
                "own risk",
                f"At your own risk: {item.name} is kept {kept} once opened. "
                f"Published: {item.risk}.",
            )


def _to_cook(week: Week) -> Iterator[tuple[str, str]]:
    """Ask for cooking where a batch holds what must not be eaten raw and tells of no step."""
    for batch in week.batches.values():
        lines = () if batch.recipe is None or batch.steps else batch.recipe.ingredients
        raw = {line.name: to_cook(line, week.guidance) for line in lines}
        asked = {name: why for name, why in raw.items() if why is not None and why.harms}
        if asked:
            sources = "; ".join(dict.fromkeys(why.source for why in asked.values()))
            yield (
                "cook",
                f"The file does not say how {batch.name} is cooked: {' and '.join(asked)} must be "
                f"cooked right through before anyone eats of it. ({sources})",
            )


def _use_by(week: Week) -> Iterator[tuple[str, str]]:
    if not week.batches:
        return
    yield "dates", f"Use-by dates follow {GUIDANCES[week.guidance]}; your local codes come first."
    stated = [batch for batch in week.batches.values() if batch.life.stated]
    if stated:
        batches = ", ".join(
            f"{batch.name} ({counted(batch.life.high, 'day')}: {batch.life.source})"
            for batch in stated
        )
        yield "stated", f"How long these keep is as your file states, not looked up: {batches}."
