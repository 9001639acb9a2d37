"""The week file as pydantic models: the edge where a stranger's text is judged.

Each model is one mapping of the file. Its descriptions are what an editor shows
through the JSON Schema. Cross-references are judged afterwards, in reading.py.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Annotated, Any
from zoneinfo import available_timezones

import pint
from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from models.foods.measures import CUPS, SAID
from models.week.kitchen import NOTHING, RAW, READY
from models.week.week import Texture
from models.words.allergens import CEREALS, allergens
from models.words.allergens import WORDS as ALLERGEN_WORDS
from models.words.document import Written
from models.words.guidance import GUIDANCES
from models.words.needs import STANDARDS
from models.words.nutrients import NAMES, NUTRIENTS, SALT_PER_SODIUM, tagname
from models.words.priorities import DEFAULT_ORDER, PRIORITY_NAMES
from models.words.units import (
    GRAM,
    MILLILITRE,
    PIECE,
    PORTION,
    Quantity,
    fits,
    magnitude,
    parse,
    quantity,
)

DAY_NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FULL_NAMES = dict(
    zip(
        DAY_NAMES,
        ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
        strict=True,
    )
)


def nearest(word: str, known: tuple[str, ...] | list[str]) -> str:
    """End a message with the known word that is nearest, or with all of them."""
    folded = {item.casefold(): item for item in known}
    close = difflib.get_close_matches(word.casefold(), list(folded), n=1, cutoff=0.6)
    if close:
        return f"Did you mean {folded[close[0]]!r}?"
    if not known:
        return "There are none here."
    some = ", ".join(sorted(known)[:12])
    return f"Known here: {some}{', ...' if len(known) > 12 else ''}."


RENAMED = {"skip": "It is called 'no_lunch' now."}
"""What to say of a key that files of earlier versions have."""


def fault(what: str, mend: str) -> PydanticCustomError:
    """Make an error whose message says what is wrong and whose context how to mend it."""
    return PydanticCustomError("cook", "{what}", {"what": what, "mend": mend})


class Entry(BaseModel):
    """A mapping of the file that takes no unknown key."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    @model_validator(mode="before")
    @classmethod
    def _keys_are_known(cls, data: object) -> object:
        if data is None:
            raise fault("nothing is said here", "Fill it in or remove the key.")
        if not isinstance(data, dict):
            raise fault(
                f"{_short(data)} stands where a mapping of names belongs",
                "Write 'key: value' lines here, one for each thing it has.",
            )
        known = [field.alias or name for name, field in cls.model_fields.items()]
        for key in data:
            if key not in known:
                raise PydanticCustomError(
                    "cook",
                    "{what}",
                    {
                        "what": f"unknown key {key!r}",
                        "mend": RENAMED.get(key) or nearest(str(key), known),
                        "key": key,
                    },
                )
            if data[key] is None:
                context = {
                    "what": f"{key!r} says nothing",
                    "mend": "Fill it in or remove the line.",
                    "key": key,
                }
                raise PydanticCustomError("cook", "{what}", context)
        return data


def _short(data: object) -> str:
    if isinstance(data, list):
        return "a list"
    if isinstance(data, dict):
        return "a mapping"
    text = str(data)
    return repr(text if len(text) <= 40 else text[:37] + "...")


def _amount(
    what: str,
    units: tuple[str, ...],
    most: dict[str, int],
    example: str,
    *,
    zero: bool = False,
    exact: bool = False,
) -> Callable[[object], Quantity]:
    def read(data: object) -> Quantity:
        if isinstance(data, pint.Quantity):
            return data
        if isinstance(data, Decimal):
            raise fault(f"{data} has no unit", f"Write {what} with its unit, as in {example!r}.")
        if not isinstance(data, str):
            raise fault(f"{_short(data)} is not an amount", f"Write it as in {example!r}.")
        if data.strip().startswith("-"):
            raise fault(f"{data!r} is negative", f"Write {what} above nothing: {example!r}.")
        try:
            amount = parse(data)
        except ValueError as wrong:
            raise fault(str(wrong), f"Write {what} as in {example!r}.") from None
        unit = next((unit for unit in units if fits(amount, unit)), None)
        if unit is None:
            raise fault(f"{data!r} does not measure {what}", f"Write it as in {example!r}.")
        number = magnitude(amount, unit) if exact else round(magnitude(amount, unit), 3)
        if number == 0 and not zero:
            raise fault(f"{data!r} is nothing", f"Write {what} above nothing, as in {example!r}.")
        if number > most[unit]:
            raise fault(
                f"{data!r} is more than a kitchen holds ({most[unit]} {unit}s at the most)",
                f"Check the number and the unit; {what} reads like {example!r}.",
            )
        # Kept to a thousandth of the unit, the finest step that the program counts in.
        return quantity(number, unit)

    return read


def _text_schema(example: str, pattern: str = r"^\s*[0-9]+(\.[0-9]+)?\s*[A-Za-zµ]+\s*$") -> Any:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": [example]})


_MOST = {GRAM: 100_000, MILLILITRE: 100_000, PIECE: 2_000, PORTION: 2_000}

Mass = Annotated[
    Quantity,
    BeforeValidator(_amount("a mass", (GRAM,), _MOST, "60 g", exact=True)),
    _text_schema("60 g"),
]
Room = Annotated[
    Quantity,
    BeforeValidator(_amount("a room", (MILLILITRE,), _MOST, "650 mL", zero=True)),
    _text_schema("650 mL"),
]
Yield = Annotated[
    Quantity,
    BeforeValidator(_amount("a yield", (PIECE, PORTION, GRAM), _MOST, "18 pieces", exact=True)),
    _text_schema("18 pieces"),
]
Stuff = Annotated[
    Quantity,
    BeforeValidator(_amount("an amount", (GRAM, MILLILITRE, PIECE), _MOST, "30 g")),
    _text_schema("30 g"),
]


def _yes_no(data: object) -> bool:
    if isinstance(data, bool):
        return data
    if isinstance(data, str) and data.casefold() in {"yes", "no"}:
        return data.casefold() == "yes"
    raise fault(f"{_short(data)} is neither yes nor no", "Write yes or no.")


YesNo = Annotated[
    bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})
]


def _decimal(data: object) -> Decimal | None:
    """Read a number, also one that travelled as text to keep its digits."""
    if isinstance(data, Decimal):
        return data
    if isinstance(data, int) and not isinstance(data, bool):
        return Decimal(data)
    if isinstance(data, str) and re.fullmatch(r"-?[0-9]{1,12}(\.[0-9]{1,9})?", data):
        return Decimal(data)
    return None


def _whole(least: int, most: int) -> Callable[[object], int]:
    def read(data: object) -> int:
        exact = _decimal(data)
        if exact is None or exact != exact.to_integral_value():
            raise fault(f"{_short(data)} is not a whole number", f"Write one, {least} to {most}.")
        number = int(exact)
        if not least <= number <= most:
            raise fault(f"{number} is out of range", f"Write a whole number, {least} to {most}.")
        return number

    return read


def _span(least: int, most: int) -> Any:
    return WithJsonSchema({"type": "integer", "minimum": least, "maximum": most})


Times = Annotated[int, BeforeValidator(_whole(1, 100)), _span(1, 100)]
Days = Annotated[int, BeforeValidator(_whole(0, 60)), _span(0, 60)]
Minutes = Annotated[int, BeforeValidator(_whole(0, 600)), _span(0, 600)]
Packs = Annotated[int, BeforeValidator(_whole(0, 20)), _span(0, 20)]
Liking = Annotated[int, BeforeValidator(_whole(-5, 5)), _span(-5, 5)]
Helpings = Annotated[int, BeforeValidator(_whole(1, 1_000_000)), _span(1, 1_000_000)]


def _money(data: object) -> Decimal:
    price = _decimal(data)
    if price is None:
        raise fault(f"{_short(data)} is not a price", "Write a bare number, as in 4.20.")
    if not 0 <= price <= 100_000:
        raise fault(f"{price} is no price", "Write a number from 0 to 100000, as in 4.20.")
    exponent = price.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -4:
        raise fault(f"{price} has more than four decimals", "Round it to hundredths of a cent.")
    return price


# A number may also travel as text, so that none of its digits is lost.
_DIGITS = {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}
Money = Annotated[
    Decimal,
    BeforeValidator(_money),
    WithJsonSchema({"anyOf": [{"type": "number", "minimum": 0}, _DIGITS]}),
]


LONGEST_NAME = 60
LONGEST_TEXT = 300
# Control characters, half characters, private use, and what breaks a line.
_UNPRINTABLE = frozenset({"Cc", "Cs", "Co", "Zl", "Zp"})


def _clean(data: object, longest: int) -> str:
    if isinstance(data, Written):
        return data.text
    if isinstance(data, (Decimal, int)) and not isinstance(data, bool):
        return str(data)
    if not isinstance(data, str):
        raise fault(f"{_short(data)} is not a name", "Write a word or a few.")
    for letter in data:
        if unicodedata.category(letter) in _UNPRINTABLE:
            raise fault(
                f"a control character is in this name (U+{ord(letter):04X})",
                "Write printable text only.",
            )
    name = " ".join(data.split())
    if len(name) > longest:
        raise fault(
            f"{name[:20] + '...'!r} is longer than {longest} characters",
            "Shorten it.",
        )
    return name


def _name(data: object) -> str:
    return _clean(data, LONGEST_NAME)


def _text(data: object) -> str:
    return _clean(data, LONGEST_TEXT)


Name = Annotated[str, BeforeValidator(_name), StringConstraints(min_length=1)]
Text = Annotated[str, BeforeValidator(_text)]
# Published tables name foods at length.
FoodName = Annotated[str, BeforeValidator(_text), StringConstraints(min_length=1)]


def _date(data: object) -> date:
    if isinstance(data, str):
        try:
            return date.fromisoformat(data.strip())
        except ValueError:
            pass
    raise fault(f"{_short(data)} is not a date", "Write it as year-month-day: 2026-11-30.")


Day = Annotated[date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]


def _weekday(data: object) -> str:
    if isinstance(data, str):
        word = data.strip().casefold()
        for name in DAY_NAMES:
            if word in (name, _FULL_NAMES[name]):
                return name
    raise fault(f"{_short(data)} is not a day", f"Write one of {', '.join(DAY_NAMES)}.")


Weekday = Annotated[str, BeforeValidator(_weekday), WithJsonSchema({"enum": list(DAY_NAMES)})]


def _range(data: object) -> tuple[int, int]:
    if isinstance(data, tuple) and len(data) == 2:
        return int(data[0]), int(data[1])
    text = str(data).strip() if isinstance(data, (str, Decimal)) else ""
    match = re.fullmatch(r"([0-9]{1,4})(?:\s*(?:to|-|–|\.\.)\s*([0-9]{1,4}))?(\s+[a-z]+)?", text)
    if match is None or (match[3] or "").strip() not in {
        "",
        "piece",
        "pieces",
        "portion",
        "portions",
        "day",
        "days",
    }:
        raise fault(f"{_short(data)} is not a range", "Write one number or two: 3 or 3 to 5.")
    low = int(match[1])
    high = int(match[2]) if match[2] else low
    if low > high:
        raise fault(f"{text!r} runs downwards", f"Write the smaller first: {high} to {low}.")
    return low, high


_RANGE_SCHEMA = WithJsonSchema(
    {
        "anyOf": [
            {"type": "integer", "minimum": 0},
            {"type": "string", "pattern": r"^[0-9]+(\s*(to|-|–|\.\.)\s*[0-9]+)?( [a-z]+)?$"},
        ],
        "examples": ["3 to 5"],
    }
)
Range = Annotated[tuple[int, int], BeforeValidator(_range), _RANGE_SCHEMA]


def _life(data: object) -> tuple[int, int]:
    low, high = _range(data)
    if high > 60:
        raise fault(
            f"{high} days is longer than any cooked food keeps", "Write days, as in 3 to 4."
        )
    return low, high


Life = Annotated[tuple[int, int], BeforeValidator(_life), _RANGE_SCHEMA]


def _percent(data: object) -> Decimal:
    if isinstance(data, str):
        match = re.fullmatch(r"\s*([0-9]{1,3}(?:\.[0-9]+)?)\s*%\s*", data)
        if match is not None and 0 < Decimal(match[1]) <= 100:
            return Decimal(match[1]) / 100
    raise fault(f"{_short(data)} is not a share", "Write a percentage, as in 35 %.")


Percent = Annotated[
    Decimal,
    BeforeValidator(_percent),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9.]+\s*%$", "examples": ["35 %"]}),
]


def _share(data: object) -> Decimal:
    if isinstance(data, Decimal) and not isinstance(data, Written):
        return data
    if isinstance(data, str):
        match = re.fullmatch(r"\s*([0-9]{1,2}(?:\.[0-9]+)?)\s*%\s*", data)
        if match is not None:
            return Decimal(match[1]) / 100
    raise fault(f"{_short(data)} is not a share below 100 %", "Write a percentage, as in 10 %.")


Share = Annotated[
    Decimal,
    BeforeValidator(_share),
    WithJsonSchema({"type": "string", "pattern": r"^\s*[0-9.]+\s*%\s*$", "examples": ["10 %"]}),
]


def _one_of(known: dict[str, str], what: str) -> Callable[[object], str]:
    def read(data: object) -> str:
        word = data.strip().casefold() if isinstance(data, str) else ""
        if word not in known:
            ways = "; ".join(f"{name}: {said}" for name, said in known.items())
            raise fault(f"{_short(data)} is no {what} known here", f"Write one of {ways}.")
        return word

    return read


Guidance = Annotated[
    str,
    BeforeValidator(_one_of(GUIDANCES, "guidance")),
    WithJsonSchema({"enum": list(GUIDANCES)}),
]
Cups = Annotated[
    str,
    BeforeValidator(_one_of(SAID, "setting for cups and spoons")),
    WithJsonSchema({"enum": list(CUPS)}),
]
Measure = Annotated[
    str,
    BeforeValidator(_one_of({"pdcaas": "PDCAAS", "diaas": "DIAAS"}, "score of protein")),
    WithJsonSchema({"enum": ["PDCAAS", "DIAAS"]}),
]


def _opened(data: object) -> int | str:
    if isinstance(data, str) and data.strip().casefold() == "keeps":
        return "keeps"
    return _whole(0, 60)(data)


OpenedDays = Annotated[
    int | str,
    BeforeValidator(_opened),
    WithJsonSchema(
        {"anyOf": [{"type": "integer", "minimum": 0, "maximum": 60}, {"const": "keeps"}]}
    ),
]


def _density(data: object) -> Decimal:
    number = _decimal(data)
    if number is None or not Decimal("0.05") <= number <= 3:
        raise fault(f"{_short(data)} is no density", "Write grams in a millilitre, as in 1.03.")
    return number


Cereal = Annotated[
    str,
    BeforeValidator(_one_of({name: name for name in CEREALS}, "cereal")),
    WithJsonSchema({"enum": list(CEREALS)}),
]
Density = Annotated[
    Decimal, BeforeValidator(_density), WithJsonSchema({"type": "number", "exclusiveMinimum": 0})
]


_NUTRIENT_SCHEMA = WithJsonSchema(
    {
        "type": "object",
        "propertyNames": {"enum": [*NAMES, *NUTRIENTS]},
        "additionalProperties": {
            "type": "string",
            "pattern": r"^\s*[0-9]+(\.[0-9]+)?\s*[A-Za-zµ]+\s*$",
            "examples": ["3.9 g"],
        },
    }
)


def _nutrition(data: object, *, exact: bool = False) -> dict[str, Quantity]:
    if not isinstance(data, dict):
        raise fault(f"{_short(data)} is no list of nutrients", "Write lines like 'protein: 3.9 g'.")
    known: dict[str, Quantity] = {}
    for name, value in data.items():
        salt = str(name).strip().casefold() == "salt"
        tag = "NA" if salt else tagname(str(name))
        if tag is None:
            raise PydanticCustomError(
                "cook",
                "{what}",
                {
                    "what": f"{name!r} is not a nutrient known here",
                    "mend": nearest(str(name), [*NAMES, *NUTRIENTS]),
                    "key": name,
                },
            )
        unit = GRAM if salt else NUTRIENTS[tag].unit
        example = f"5 {'g' if salt else NUTRIENTS[tag].symbol}"
        try:
            amount = _amount(
                str(name), (unit,), {unit: 10_000_000}, example, zero=True, exact=exact
            )(value)
        except PydanticCustomError as wrong:
            context = dict(wrong.context or {}) | {"key": name}
            raise PydanticCustomError("cook", "{what}", context) from None
        if tag in known:
            raise fault(
                f"{name!r} says {NUTRIENTS[tag].name} a second time", "Keep one of the two."
            )
        known[tag] = amount / SALT_PER_SODIUM if salt else amount
    return known


Nutrients = Annotated[dict[str, Any], BeforeValidator(_nutrition), _NUTRIENT_SCHEMA]
ExactNutrients = Annotated[
    dict[str, Any], BeforeValidator(lambda data: _nutrition(data, exact=True)), _NUTRIENT_SCHEMA
]


def _allergen_list(data: object) -> frozenset[str]:
    if isinstance(data, frozenset):
        return data
    words = [data] if isinstance(data, str) else data
    if not isinstance(words, list):
        raise fault(f"{_short(data)} is no list of allergens", "Write [milk, eggs] or none.")
    if [str(word).casefold() for word in words] == ["none"]:
        return frozenset()
    found: set[str] = set()
    for word in words:
        groups = allergens(str(word))
        if groups is None:
            raise fault(
                f"{_short(word)} is not one of the fourteen allergens of EU law",
                nearest(str(word), list(ALLERGEN_WORDS)),
            )
        found |= groups
    return frozenset(found)


Allergens = Annotated[
    frozenset[str],
    BeforeValidator(_allergen_list),
    WithJsonSchema(
        {
            "anyOf": [
                {"enum": ["none", *sorted(ALLERGEN_WORDS)]},
                {"type": "array", "items": {"enum": sorted(ALLERGEN_WORDS)}},
            ]
        }
    ),
]


def _one_helping(data: object) -> object:
    if isinstance(data, dict) and len(data) == 1:
        return data
    raise fault(
        f"{_short(data)} is not one item with its amount", "Write '- apple: 1 piece' on this line."
    )


OneHelping = Annotated[dict[Name, Stuff], BeforeValidator(_one_helping)]


class ProteinQuality(Entry):
    """Protein counted by how much of it the body can use, from published scores."""

    measure: Measure = Field(description="PDCAAS or DIAAS.")
    others: Percent = Field(
        description="What counts of protein in foods without a published score: 80 %."
    )


class WeekEntry(Entry):
    """Which week it is."""

    name: Text = Field(default="", description="A name for the week, printed at the top.")
    note: Text = Field(default="", description="A remark, printed under the name.")
    starts: Day = Field(description="The date of the first day, as 2026-11-30.")
    days: list[Weekday] = Field(
        default=["mon", "tue", "wed", "thu", "fri"],
        min_length=1,
        max_length=7,
        description="Days with lunches. Monday to Friday unless said.",
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
    protein_quality: ProteinQuality | None = Field(
        default=None, description="Count protein by its digestibility; off when left out."
    )


class PlaceEntry(Entry):
    """What the place where lunch is eaten offers."""

    fridge: YesNo = Field(default=True, description="Is there a fridge?")
    microwave: YesNo = Field(default=False, description="Is there a microwave?")
    cold_packs: Packs = Field(
        default=0, description="Cold packs that travel in an insulated bag with the lunch."
    )


class ElsewhereEntry(PlaceEntry):
    """A day, or one eater's day, spent elsewhere."""

    day: Weekday | Day = Field(description="The day.")
    eater: Name | None = Field(default=None, description="Only this eater; all when left out.")


class NoLunchEntry(Entry):
    """A lunch that is not needed."""

    day: Weekday | Day = Field(description="The day.")
    eater: Name | None = Field(default=None, description="Only this eater; all when left out.")
    why: Text = Field(default="", description="A reason to print, as 'bank holiday'.")


class DailyProtein(Entry):
    """A daily need of protein and the share of it that lunch must carry."""

    standard: Annotated[str, WithJsonSchema({"enum": list(STANDARDS)})] | None = Field(
        default=None, description="A named standard, per kg of body mass."
    )
    body_mass: Mass | None = Field(default=None, description="Needed with a standard: 64 kg.")
    need: Mass | None = Field(default=None, description="Your own figure a day instead: 60 g.")
    need_per_kg: Mass | None = Field(default=None, description="Your own figure per kg: 1.0 g.")
    lunch_share: Percent = Field(description="The share of the day that lunch carries: 35 %.")


class MustNot(Entry):
    """What an eater must not have."""

    allergens: Allergens = Field(default=frozenset(), description="Allergens to keep away.")
    foods: list[Name] = Field(default=[], description="Foods to keep away, as in 'pork'.")


class EaterEntry(Entry):
    """Who eats."""

    box: Name | None = Field(default=None, description="The box this eater carries.")
    floors: Nutrients = Field(default={}, description="Least of a nutrient in each lunch.")
    ceilings: Nutrients = Field(default={}, description="Most of a nutrient in each lunch.")
    week_floors: Nutrients = Field(default={}, description="Least over all lunches of the week.")
    week_ceilings: Nutrients = Field(default={}, description="Most over all lunches of the week.")
    daily_protein: DailyProtein | None = Field(
        default=None, description="A floor of protein worked out from a daily need."
    )
    must_not: MustNot = Field(default=MustNot(), description="What this eater must not have.")
    likes: dict[Name, Liking] = Field(
        default={}, description="Dish to liking, -5 to 5; 0 when left out."
    )


class IngredientEntry(Entry):
    """One line of a recipe."""

    what: Text = Field(description="Amount and food: 400 g onions, 1 cup dried green lentils.")
    refuse: Share | None = Field(
        default=None, description="Share of it that is peeled off or thrown away: 10 %."
    )
    drained: Share | None = Field(
        default=None, description="Share of it that stays once it is drained: 60 %."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens its label names, or none, once you have read it."
    )


def _ingredient(data: object) -> object:
    if isinstance(data, dict) and any(value is None for value in data.values()):
        raise fault(
            "a comma cuts this line short",
            'Put quotes around what holds a comma: {what: "100 g soba noodles, dry"}.',
        )
    return {"what": data} if isinstance(data, str) else data


def _ingredients(data: object) -> object:
    if not isinstance(data, list):
        raise fault(f"{_short(data)} is no list", "Write a line for each: '- 400 g onions'.")
    if not 1 <= len(data) <= MOST_INGREDIENTS:
        raise fault(
            f"{len(data)} ingredients are too many" if data else "there are no ingredients here",
            f"List 1 to {MOST_INGREDIENTS}, a line each, or remove 'ingredients'.",
        )
    return data


MOST_INGREDIENTS = 60


IngredientLine = Annotated[
    IngredientEntry,
    BeforeValidator(_ingredient),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "examples": ["400 g onions"]},
                IngredientEntry.model_json_schema(),
            ]
        }
    ),
]
Ingredients = Annotated[list[IngredientLine], BeforeValidator(_ingredients)]


def _names_or_all(data: object) -> object:
    return ["all"] if data == "all" else data


def _clock(data: object) -> object:
    match = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])", str(data).strip())
    if match is None:
        raise fault(f"{_short(data)} is no time of the day", "Write it as 07:15 in quotes.")
    return f"{int(match[1]):02d}:{match[2]}"


def _zone(data: object) -> object:
    if str(data) not in available_timezones():
        known = sorted(available_timezones())
        raise fault(f"{_short(data)} is no time zone", nearest(str(data), known))
    return data


Clock = Annotated[
    str,
    BeforeValidator(_clock),
    WithJsonSchema({"type": "string", "pattern": r"^([01]?[0-9]|2[0-3])[:.][0-5][0-9]$"}),
]
Zone = Annotated[str, BeforeValidator(_zone)]


_SPAN = re.compile(
    r"(?:(?P<h>[0-9]{1,3})\s*(?:h|hours?))?\s*(?:(?P<m>[0-9]{1,4})\s*(?:min|minutes?))?"
)


def _minutes(text: str) -> int | None:
    match = _SPAN.fullmatch(text.strip())
    if match is None or (match["h"] is None and match["m"] is None):
        return None
    return int(match["h"] or 0) * 60 + int(match["m"] or 0)


def _lasting(data: object) -> tuple[int, int]:
    """Read "25 min", "1 h 30 min", "8 to 24 hours"."""
    text = " ".join(str(data).split())
    low, to, high = text.partition(" to ")
    unit = re.search(r"[a-z]+$", text)
    if to and unit is not None and low.isdecimal():
        low = f"{low} {unit[0]}"
    least, most = _minutes(low), _minutes(high) if to else _minutes(low)
    if least is None or most is None:
        raise fault(
            f"{_short(data)} is no time", "Write 25 min, 1 h 30 min, or a range: 8 to 24 hours."
        )
    if least > most:
        raise fault(f"{text!r} runs downwards", "Write the shorter time first.")
    if most > 3 * 24 * 60:
        raise fault(f"{text!r} is longer than three days", "Write what one step takes.")
    return least, most


Lasting = Annotated[
    tuple[int, int],
    BeforeValidator(_lasting),
    WithJsonSchema({"type": "string", "examples": ["25 min", "1 h 30 min", "8 to 24 hours"]}),
]


def _degrees(data: object) -> int:
    match = re.fullmatch(r"([0-9]{2,3})\s*(?:°?\s*C)?", str(data).strip())
    if match is None or not 30 <= int(match[1]) <= 300:
        raise fault(f"{_short(data)} is no heat of an oven", "Write it in °C: 200 °C.")
    return int(match[1])


Degrees = Annotated[
    int, BeforeValidator(_degrees), WithJsonSchema({"type": "string", "examples": ["200 °C"]})
]


def _names(data: object) -> object:
    return [data] if isinstance(data, str) else data


def _touches(data: object) -> tuple[str, ...]:
    """Read what a step touches: a list, or one of it, or nothing."""
    parts = data if isinstance(data, list) else [data]
    known = (*RAW, READY)
    named = [_name(part).casefold() for part in parts]
    for name in named if named != [NOTHING] else ():
        if name not in known:
            raise fault(f"{name!r} is not what a step touches", nearest(name, [*known, NOTHING]))
    return () if named == [NOTHING] else tuple(name for name in known if name in named)


Touches = Annotated[
    tuple[str, ...],
    BeforeValidator(_touches),
    WithJsonSchema(
        {
            "anyOf": [
                {"enum": [*RAW, READY, NOTHING]},
                {"type": "array", "items": {"enum": [*RAW, READY]}},
            ]
        }
    ),
]


class StepEntry(Entry):
    """One step of a prep day."""

    do: Text = Field(description="What is done: bake the bites.")
    name: Name | None = Field(default=None, description="What other steps call it; else as 'do'.")
    lasts: Lasting = Field(description="25 min, 1 h 30 min; 8 to 24 hours where it may wait.")
    hands: YesNo = Field(default=True, description="Does it need a pair of hands all the time?")
    oven: Degrees | None = Field(default=None, description="Heat of the oven: 200 °C.")
    trays: Packs = Field(default=1, description="Trays it takes up in the oven.")
    rings: Packs = Field(default=0, description="Rings of the hob it takes up.")
    blender: YesNo = Field(default=False, description="Does it need the blender?")
    after: Annotated[list[Name], BeforeValidator(_names)] | None = Field(
        default=None, description="Steps it comes after; the one above where left out, [] for none."
    )
    gap: Lasting | None = Field(
        default=None, description="Between those and this, at least and at most: 0 to 2 hours."
    )
    touches: Touches | None = Field(
        default=None,
        description="What hands and board touch: raw poultry, ready food, nothing. Worked out "
        "from the ingredients where left out.",
    )


class KitchenEntry(Entry):
    """What there is to cook with on a prep day, and when."""

    hands: Times = Field(default=1, description="Pairs of hands.")
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


class SizesEntry(Entry):
    """How much of a batch may be cooked."""

    least: Range | None = Field(default=None, description="At least so much: 8 pieces.")
    most: Range | None = Field(
        default=None, description="At most, what the tray or the pot holds: 24 pieces."
    )
    by: Range | None = Field(default=None, description="Only multiples of this: 6 pieces.")
    split: Annotated[list[Name], BeforeValidator(_names_or_all)] = Field(
        default=[],
        description="Ingredients that need not stay whole tins, packs or eggs: [eggs], or all.",
    )


class BatchEntry(Entry):
    """Something cooked in bulk on a prep day."""

    made: Day = Field(description="The date it is cooked. It is packed from the next day on.")
    yield_: Yield = Field(
        alias="yield", description="What it comes to: 18 pieces, 12 portions or 1200 g."
    )
    cook: Yield | None = Field(
        default=None,
        description="How much of it to cook this time, where that is not the whole yield: 14 "
        "pieces. Ingredients and cost go with it.",
    )
    steps: list[StepEntry] = Field(
        default=[], max_length=60, description="How it is cooked, for the prep day."
    )
    sizes: SizesEntry | None = Field(
        default=None, description="How much of it may be cooked, for 'size'."
    )
    portion: Mass | None = Field(
        default=None,
        description="Mass of one piece or of one portion. Left out, ingredients tell it roughly.",
    )
    ingredients: Ingredients | None = Field(
        default=None, description="What the whole batch is made of, a line each."
    )
    nutrition: Nutrients = Field(
        default={}, description="Nutrients of one piece or portion; goes before the ingredients."
    )
    nutrition_source: Text = Field(default="mine", description="Where those figures come from.")
    cost: Money | None = Field(default=None, description="What the whole batch costs.")
    keeps_as: Name | None = Field(
        default=None,
        description="Storage class, as 'cooked rice'; proposed from the ingredients if left out.",
    )
    fridge_life: Life | None = Field(
        default=None,
        description="Days it keeps in the fridge, 3 or 3 to 4; by the guidance if left out.",
    )
    life_source: Text = Field(default="mine", description="Who says so.")
    own_risk: YesNo = Field(
        default=False,
        description="Yes where the days stated here are more than the guidance gives.",
    )
    freezes: YesNo | None = Field(
        default=None, description="Does it freeze well? As its storage class if left out."
    )
    freezer: Range | None = Field(
        default=None, description="How many portions the freezer takes, as 6 portions."
    )
    frozen: Range | None = Field(
        default=None,
        description="How many portions were frozen the day it was made, once that is done.",
    )
    gone: Range = Field(
        default=(0, 0),
        description="How many portions are gone without having been a lunch: snacks, spills.",
    )
    texture: Texture = Field(default=Texture.PLAIN, description="wet, crisp or plain.")
    room: Room | None = Field(
        default=None, description="Room one portion takes in a box; none: it travels beside it."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    foods: list[Name] = Field(default=[], description="Foods in it that someone may not eat.")
    chilled: YesNo = Field(default=True, description="Must it stay cold until it is eaten?")


class ItemEntry(Entry):
    """A bought food that goes in as it is."""

    shop: Text = Field(default="", description="Part of the shop, for the shopping list.")
    pack: Stuff = Field(description="What one pack holds: 6 pieces or 500 g.")
    price: Money | None = Field(default=None, description="What one pack costs.")
    food: FoodName | None = Field(default=None, description="The food of the table that it is.")
    ingredients: Ingredients | None = Field(
        default=None, description="What one pack is made of, a line each."
    )
    keeps_as: Name | None = Field(
        default=None, description="Storage class; that of its food if left out."
    )
    opened_life: OpenedDays | None = Field(
        default=None,
        description="Days it keeps once opened, or 'keeps' (or is frozen). Left out: as its "
        "storage class says, else it keeps.",
    )
    own_risk: YesNo = Field(
        default=False,
        description="Yes where the days stated here are more than the guidance gives.",
    )
    use_by: Day | None = Field(default=None, description="Last date it may be eaten, if bought.")
    piece: Mass | None = Field(default=None, description="Mass of one piece.")
    per: Stuff | None = Field(
        default=None, description="What nutrition and room are stated for; 100 g or 1 piece."
    )
    nutrition: Nutrients = Field(default={}, description="Nutrients in that amount.")
    nutrition_source: Text = Field(default="mine", description="Where those figures come from.")
    texture: Texture = Field(default=Texture.PLAIN, description="wet, crisp or plain.")
    room: Room | None = Field(
        default=None, description="Room that amount takes in a box; none: it travels beside it."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    foods: list[Name] = Field(default=[], description="Foods in it that someone may not eat.")
    chilled: YesNo = Field(default=False, description="Must it stay cold until it is eaten?")


class ExtraEntry(Entry):
    """An addition that may come none to so many times."""

    portion: Stuff = Field(description="One addition: 15 g or 1 piece.")
    most: Helpings = Field(default=1, description="How many at the most.")


class DishEntry(Entry):
    """A way to serve lunch."""

    kind: Name = Field(description="What sort of lunch it is: bread, grain, salad, soup ...")
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
    most: Times | None = Field(default=None, description="Most times a week for one eater.")


class BoxEntry(Entry):
    """What lunch travels in."""

    compartments: list[Room] = Field(
        min_length=1, max_length=6, description="Room of each compartment."
    )
    pots: list[Room] = Field(
        default=[], max_length=6, description="Room of each small sealed cup for what is wet."
    )


def _kinds(data: object) -> object:
    return [data] if isinstance(data, str) else data


KindSet = Annotated[
    list[Name],
    BeforeValidator(_kinds),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


class VarietyEntry(Entry):
    """How different the lunches of one eater must be."""

    most_times: Times | None = Field(default=None, description="Most times a dish may come.")
    days_between: Days = Field(
        default=0, description="Least days between two of the same dish; 1: not two days running."
    )
    kinds_apart: list[KindSet] = Field(
        default=[],
        description="Kinds that may not follow each other: bread, or [grain, pasta] together.",
    )
    same_choice: Times | None = Field(
        default=None, description="Most times the same option of a choice may come."
    )
    batch_running: Times | None = Field(
        default=None, description="Most days running on which a batch may be eaten."
    )


class PriceEntry(Entry):
    """What a pack of an ingredient costs."""

    pack: Text = Field(description="What the pack holds: 500 g, 6 pieces, 1 tin.")
    price: Money = Field(description="What it costs.")


def _prices(data: object) -> object:
    return data if isinstance(data, list) else [data]


Prices = Annotated[
    list[PriceEntry],
    BeforeValidator(_prices),
    Field(min_length=1, max_length=20),
    WithJsonSchema(
        {
            "anyOf": [
                PriceEntry.model_json_schema(),
                {"type": "array", "minItems": 1, "items": PriceEntry.model_json_schema()},
            ]
        }
    ),
]


class FoodEntry(Entry):
    """A food of your own, as its label gives it."""

    nutrition: ExactNutrients = Field(description="Nutrients in 100 g.")
    also: list[FoodName] = Field(default=[], description="Other names for it.")
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    cereals: list[Cereal] = Field(
        default=[], description="Which cereals its gluten is of: wheat, oats, ..."
    )
    shop: Text = Field(default="", description="Part of the shop; 'none' where it is free.")
    check_label: YesNo = Field(
        default=False, description="Yes where recipes differ, so that more may be in it."
    )
    measures: dict[Name, Mass] = Field(
        default={}, description="Mass of a measure of it: {cup: 120 g, piece: 30 g}."
    )
    density: Density | None = Field(default=None, description="Grams in a millilitre: 1.03.")
    refuse: Share | None = Field(default=None, description="Share that is thrown away: 10 %.")
    water: Share | None = Field(default=None, description="Share of water, for mass balances.")
    keeps_as: Name | None = Field(default=None, description="Storage class.")
    source: Text = Field(default="label", description="Where the figures come from.")
    source_id: Text = Field(default="", description="Its number there.")
    group: Text = Field(default="own", description="What sort of food it is: pulses, fish, ...")
    state: Text = Field(default="", description="dry, raw, cooked or tinned.")


Values = Annotated[
    str,
    BeforeValidator(lambda data: str(data) if isinstance(data, (int, Decimal)) else data),
    WithJsonSchema(
        {"type": "string", "examples": ["8..20", "8..20 by 2", "60%..140%", "8, 10, 14"]}
    ),
]


class WhatIfEntry(Entry):
    """What could be otherwise: each value gives a week, several things every combination."""

    yield_: dict[Name, Values] = Field(
        default={}, alias="yield", description="How much of a batch is cooked, by batch: 8..20."
    )
    floors: dict[Name, dict[str, Values]] = Field(
        default={},
        description="Floors of a lunch, by eater and nutrient: {Mira: {protein: 20..26}}",
    )
    lunches: Values | None = Field(default=None, description="How many days have a lunch: 3..5.")


PriorityName = Annotated[str, WithJsonSchema({"enum": list(PRIORITY_NAMES)})]


class TimesEntry(Entry):
    """Times of the day and where the clock stands, for the calendar."""

    zone: Zone | None = Field(
        default=None, description="Time zone, as Europe/Lisbon; without one times are local."
    )
    morning: Clock = Field(default="07:00", description="When lunch is packed.")
    evening: Clock = Field(default="20:00", description="When tubs are moved to the fridge.")


class WeekFile(Entry):
    """A week of packed lunches to plan."""

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
    cupboard: dict[FoodName, Text] = Field(
        default={},
        max_length=500,
        description="What is there already, of larder items and ingredients: 300 mL, 4 pieces, "
        "or plenty.",
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
