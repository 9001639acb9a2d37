"""How single values of a week file are read: amounts, ranges, dates, names, shares and lists.

Each is a type for pydantic: what it takes, what it refuses and how to mend that, and what an
editor shows of it. `Entry` is what every mapping of them has in common.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache, partial
from itertools import pairwise
from typing import Annotated, Any, ClassVar
from zoneinfo import available_timezones

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from models.file.instead import (
    amount_meant,
    clock_meant,
    date_meant,
    number_in,
    range_meant,
    zone_meant,
)
from models.foods.measures import CUP_SETTINGS, CUPS, PICKS
from models.words.allergens import CEREALS, EU_FOURTEEN, allergens
from models.words.allergens import WORDS as ALLERGEN_WORDS
from models.words.days import DAY_NAMES, FULL_NAMES, NoDays, day_of_week, days_of_week, write_day
from models.words.document import number_of
from models.words.errors import did_you_mean, nearest, suggestion
from models.words.families import DIETS, WITHIN
from models.words.guidance import GUIDANCES
from models.words.numbers import listed
from models.words.nutrients import NAMES, NUTRIENTS, SALT_PER_SODIUM, USABLE, tagname
from models.words.text import LONGEST_NAME, LONGEST_TEXT, quoted, unprintable
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

RENAMED = {"skip": "It is called 'no_lunch' now."}
"""What to say of a key that files of earlier versions have."""


def fault(what: str, mend: str, key: object = None) -> PydanticCustomError:
    """Make an error whose message says what is wrong and whose context how to mend it.

    Parameters
    ----------
    what
        What is wrong.
    mend
        How to mend it.
    key
        The key of the mapping it is about, where it is about one.

    Returns
    -------
    To be raised within a validator of pydantic.

    Examples
    --------
    >>> fault("this is no day", "Write mon to sun.").message()
    'this is no day'
    """
    about = {} if key is None else {"key": key}
    return PydanticCustomError("cook", "{what}", {"what": what, "mend": mend, **about})


class Entry(BaseModel):
    """A mapping of the file that takes no unknown key."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )

    belongs: ClassVar[Mapping[str, str]] = {}
    """What to say of a key that belongs elsewhere."""
    called: ClassVar[Mapping[str, str]] = {}
    """What cooks call a key here, to the key: common practice, no source."""
    like: ClassVar[str] = ""
    """What to write where something else than names stands."""

    @classmethod
    def likened(cls, data: object) -> str:
        """Say what to write instead of what is no mapping; empty where nobody knows.

        Parameters
        ----------
        data
            What stands there.

        Returns
        -------
        A sentence, or nothing.

        Examples
        --------
        >>> Entry.likened("soup")
        ''
        """
        return cls.like

    @model_validator(mode="before")
    @classmethod
    def _keys_are_known(cls, data: object) -> object:
        if data is None:
            raise fault("nothing is said here", "Fill it in or remove the key.")
        if not isinstance(data, dict):
            raise fault(
                f"{short(data)} stands where a mapping of names belongs",
                cls.likened(data) or "Write 'key: value' lines here, one for each thing it has.",
            )
        known = _keys_of(cls)
        for key in data:
            if key not in known:
                if data[key] is None:
                    _refuse_comma(data, key, cls)
                mend = cls.belongs.get(key) or RENAMED.get(key)
                meant = _folded(key) if _folded(key) in cls.called else ""
                mend = mend or (meant and did_you_mean(cls.called[meant]))
                mend = mend or suggestion(str(key), known)
                raise fault(f"unknown key {key!r}", mend, key)
            if data[key] is None:
                raise fault(f"{key!r} says nothing", "Fill it in or remove the line.", key)
            _refuse_key_inside(data[key], key, cls)
        return data


@cache
def _keys_of(of: type[Entry]) -> tuple[str, ...]:
    return tuple(field.alias or name for name, field in of.model_fields.items())


def _folded(key: object) -> str:
    return re.sub(r"[\s-]+", "_", str(key).strip().casefold())


CUT_SHORT = "a comma cuts "


def _refuse_comma(data: Mapping[object, object], key: object, of: type[Entry]) -> None:
    """Refuse a list without brackets, a text or a number with a comma, that a mapping has cut."""
    keys = list(data)
    at = keys.index(key)
    value = data[keys[at - 1]] if at else None
    bare = isinstance(value, list) and all(isinstance(part, str) for part in value)
    if value is None or isinstance(value, dict) or (isinstance(value, list) and not bare):
        return
    cut = [str(more) for more in keys[at:] if data[more] is None]
    if str(key).isdecimal() and not isinstance(value, str):
        raise fault(f"{CUT_SHORT}the number", f"Write '{keys[at - 1]}: {value}.{key}'.", key)
    whole = ", ".join([*map(str, value if isinstance(value, list) else [value]), *cut])
    _refuse_key_inside(whole, keys[at - 1], of, key)
    field = of.model_fields.get(str(keys[at - 1]))
    if field is not None and "list" not in str(field.annotation):
        mend = f"Write '{keys[at - 1]}: \"{whole}\"'."
        raise fault(f"{CUT_SHORT}the text", mend, key)
    raise fault(f"{CUT_SHORT}the list", f"Write '{keys[at - 1]}: [{whole}]'.", key)


def _refuse_key_inside(value: object, key: object, of: type[Entry], place: object = None) -> None:
    """Refuse "200 g, price 2.50": another key behind a comma, its colon missing."""
    if not isinstance(value, str) or "," not in value:
        return
    field = next((it for name, it in of.model_fields.items() if key in (it.alias, name)), None)
    if field is None or "str" in str(field.annotation):
        return
    keys = {**{name: name for name in _keys_of(of)}, **of.called}
    parts = [part.strip() for part in value.split(",")]
    pairs = [re.fullmatch(r"(\S+?):? +(\S.*)", part) for part in parts[1:]]
    each = [f"{keys[pair[1]]}: {pair[2]}" for pair in pairs if pair and pair[1] in keys]
    if each and len(each) == len(pairs):
        mend = f"Write each by itself: {listed([*map(repr, (f'{key}: {parts[0]}', *each))])}."
        raise fault(f"{CUT_SHORT}one key from the next, and a colon is missing", mend, place or key)


def short(data: object) -> str:
    """Write into a message what stands in a file, cut where it is long.

    Parameters
    ----------
    data
        What stands there, as YAML has it.

    Returns
    -------
    A few words, or the text as `quoted` writes it.

    Examples
    --------
    >>> short("soup"), short(["soup"])
    ("'soup'", 'a list')
    """
    if isinstance(data, list):
        return "a list"
    if isinstance(data, dict):
        return "a mapping"
    return quoted(str(data))


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
        if not isinstance(data, (str, Decimal)):
            what_is = f"{short(data)} is not an amount" if data is not None else "no amount is said"
            raise fault(what_is, f"Write it as in {example!r}.")
        # What was meant is looked for where something is wrong: of a right amount nobody asks.
        meant = partial(amount_meant, str(data), units, example)
        if isinstance(data, Decimal):
            raise fault(f"{data} has no unit", f"Write {what} with its unit: {meant()}.")
        if data.strip().startswith("-"):
            raise fault(f"{data!r} is negative", f"Write {what} above nothing: {meant()}.")
        try:
            amount = parse(data)
        except ValueError as wrong:
            raise fault(str(wrong), f"Write {what} as in {meant()}.") from None
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
    BeforeValidator(_amount("a yield", (PORTION, PIECE, GRAM), _MOST, "18 pieces", exact=True)),
    _text_schema("18 pieces"),
]
Stuff = Annotated[
    Quantity,
    BeforeValidator(_amount("an amount", (GRAM, MILLILITRE, PIECE), _MOST, "30 g")),
    _text_schema("30 g"),
]


def uncut(data: object) -> object:
    """Refuse a list in which a comma cuts a number: [1,2 L].

    Parameters
    ----------
    data
        What stands where a list belongs.

    Returns
    -------
    The same.

    Raises
    ------
    PydanticCustomError
        With the number as it was meant.

    Examples
    --------
    >>> uncut(["1 L", "2 L"])
    ['1 L', '2 L']
    """
    pairs = pairwise(data) if isinstance(data, list) else ()
    for at, (whole, part) in enumerate(pairs):
        # [650, 350 mL] are two rooms, the first without its unit.
        small = isinstance(whole, Decimal) and whole < 100
        if small and isinstance(part, str) and re.match("[0-9]{1,2}(?![0-9])", part):
            raise fault(f"{CUT_SHORT}the number", f"Write '{whole}.{part}'.", at)
    return data


def _yes_no(data: object) -> bool:
    if isinstance(data, bool):
        return data
    if isinstance(data, str) and data.casefold() in {"yes", "no"}:
        return data.casefold() == "yes"
    raise fault(f"{short(data)} is neither yes nor no", "Write yes or no.")


YesNo = Annotated[
    bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})
]


def _decimal(data: object) -> Decimal | None:
    """Read a number, also one that travelled as text to keep its digits."""
    if isinstance(data, Decimal):
        return data
    return number_of(data) if isinstance(data, str) else None


def _whole(least: int, most: int) -> Callable[[object], int]:
    def read(data: object) -> int:
        exact = _decimal(data)
        if exact is None or exact != exact.to_integral_value():
            meant = number_in(str(data))
            fits = meant is not None and meant.isdecimal() and least <= int(meant) <= most
            mend = f"Write {meant}." if fits else f"Write a whole number, {least} to {most}."
            raise fault(f"{short(data)} is not a whole number", mend)
        number = int(exact)
        if not least <= number <= most:
            raise fault(f"{number} is out of range", f"Write a whole number, {least} to {most}.")
        return number

    return read


def _span(least: int, most: int) -> Any:
    return WithJsonSchema({"type": "integer", "minimum": least, "maximum": most})


HowOften = Annotated[int, BeforeValidator(_whole(1, 100)), _span(1, 100)]
HowMany = Annotated[int, BeforeValidator(_whole(1, 1000)), _span(1, 1000)]
Days = Annotated[int, BeforeValidator(_whole(0, 60)), _span(0, 60)]
Months = Annotated[int, BeforeValidator(_whole(1, 24)), _span(1, 24)]
Minutes = Annotated[int, BeforeValidator(_whole(0, 600)), _span(0, 600)]
Packs = Annotated[int, BeforeValidator(_whole(0, 20)), _span(0, 20)]
Liking = Annotated[int, BeforeValidator(_whole(-5, 5)), _span(-5, 5)]
Helpings = Annotated[int, BeforeValidator(_whole(1, 1_000_000)), _span(1, 1_000_000)]


def _money(data: object) -> Decimal:
    price = _decimal(data)
    if price is None:
        bare = number_in(str(data))
        if pence := re.fullmatch(r"([0-9]{1,4}) ?(?:p|pence|c|cents?)", str(data).strip().lower()):
            bare = f"{Decimal(pence[1]) / 100:.2f}"
        mend = f"Write a bare number{', as in 4.20' if bare is None else f': {bare}'}."
        raise fault(f"{short(data)} is not a price", mend)
    if not 0 <= price <= 100_000:
        example = abs(price) if abs(price) <= 100_000 else "4.20"
        raise fault(f"{price} is no price", f"Write a number from 0 to 100000, as in {example}.")
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


def _clean(data: object, longest: int) -> str:
    if isinstance(data, Decimal):
        return str(data)
    if not isinstance(data, str):
        only = data[0] if isinstance(data, list) and len(data) == 1 else None
        mend = f"Write {only!r}." if isinstance(only, str) else "Write a word or a few."
        raise fault(f"{short(data)} is not a name", mend)
    if wrong := unprintable(data, "name"):
        raise fault(wrong, "Write printable text only.")
    name = " ".join(data.split())
    if len(name) > longest:
        raise fault(
            f"{name[:20] + '...'!r} is longer than {longest} characters",
            "Shorten it.",
        )
    return name


def read_name(data: object) -> str:
    """Read a name: printable, of one line, its blanks one at a time.

    Parameters
    ----------
    data
        What stands in the file.

    Returns
    -------
    At most `LONGEST_NAME` letters.

    Raises
    ------
    PydanticCustomError
        When it is no text or number, too long, or holds what is not printed.

    Examples
    --------
    >>> read_name(" Pea   soup ")
    'Pea soup'
    """
    return _clean(data, LONGEST_NAME)


def _text(data: object) -> str:
    return _clean(data, LONGEST_TEXT)


Name = Annotated[str, BeforeValidator(read_name), StringConstraints(min_length=1)]
Text = Annotated[str, BeforeValidator(_text)]
# Published tables name foods at length.
FoodName = Annotated[str, BeforeValidator(_text), StringConstraints(min_length=1)]


_DAY_EACH = "Write an entry for each day, each on a line that begins with '- {day: mon'."


def _date(data: object) -> date:
    # Nothing but year-month-day, though ISO 8601 knows weeks too: a date is written one way.
    if isinstance(data, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", data):
        try:
            return date.fromisoformat(data)
        except ValueError:
            pass
    if isinstance(data, list):
        raise fault("a list is not a day", _DAY_EACH)
    raise fault(f"{short(data)} is not a date", date_meant(str(data)))


Day = Annotated[date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]


_DAYS: dict[str, Any] = {"enum": [*DAY_NAMES, *FULL_NAMES]}


def _weekday(data: object) -> str:
    if isinstance(data, str):
        name = day_of_week(data)
        if name is not None:
            return name
    mend = _DAY_EACH if isinstance(data, list) else write_day(str(data))
    raise fault(f"{short(data)} is not a day", mend)


Weekday = Annotated[str, BeforeValidator(_weekday), WithJsonSchema(_DAYS)]


def _days(data: object) -> object:
    if not isinstance(data, str):
        return data
    try:
        return list(days_of_week(data))
    except NoDays as wrong:
        raise fault(str(wrong), wrong.mend) from wrong


WeekDays = Annotated[
    list[Weekday],
    BeforeValidator(_days),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "examples": ["mon-fri"]},
                {"type": "array", "items": _DAYS},
            ]
        }
    ),
]
"""Days of a week, as a list or as one text: mon-fri."""


def _made(data: object) -> str | date:
    day = day_of_week(data) if isinstance(data, str) else None
    if day is not None:
        return day
    if isinstance(data, list):
        raise fault("a list is not a day", _DAY_EACH)
    if isinstance(data, str) and re.search("[A-Za-z]", data):
        dated = re.search("[0-9]", data)
        mend = date_meant(data) if dated else write_day(data)
        raise fault(f"{short(data)} is neither a date nor a day", mend)
    return _date(data)


DayOrDate = Annotated[
    str | date,
    BeforeValidator(_made),
    WithJsonSchema({"anyOf": [_DAYS, {"type": "string", "format": "date"}]}),
]
"""A date, or a day of the week."""


def _range(data: object) -> tuple[int, int]:
    exact = _decimal(data)
    if exact is not None and 0 <= exact < 10_000 and exact == exact.to_integral_value():
        return int(exact), int(exact)
    text = str(data).strip() if isinstance(data, (str, Decimal)) else ""
    match = re.fullmatch(r"([0-9]{1,4})(?:\s*(?:to|-|–|\.\.)\s*([0-9]{1,4}))?(\s+[a-z]+)?", text)
    if match is None or (match[3] or "").strip() not in {
        "",
        "piece",
        "pieces",
        "portion",
        "portions",
        "serving",
        "servings",
        "day",
        "days",
    }:
        raise fault(f"{short(data)} is not a range", range_meant(text))
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


LifeInDays = Annotated[tuple[int, int], BeforeValidator(_life), _RANGE_SCHEMA]


def _percent(data: object) -> Decimal:
    if isinstance(data, str):
        match = re.fullmatch(r"\s*([0-9]{1,3}(?:\.[0-9]+)?)\s*%\s*", data)
        if match is not None and 0 < Decimal(match[1]) <= 100:
            return Decimal(match[1]) / 100
    raise fault(f"{short(data)} is not a share", "Write a percentage, as in 35 %.")


Percent = Annotated[
    Decimal,
    BeforeValidator(_percent),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9.]+\s*%$", "examples": ["35 %"]}),
]


def _share(data: object) -> Decimal:
    if isinstance(data, str):
        match = re.fullmatch(r"\s*([0-9]{1,2}(?:\.[0-9]+)?)\s*%\s*", data)
        if match is not None:
            return Decimal(match[1]) / 100
    raise fault(f"{short(data)} is not a share below 100 %", "Write a percentage, as in 10 %.")


ShareInPercent = Annotated[
    Decimal,
    BeforeValidator(_share),
    WithJsonSchema({"type": "string", "pattern": r"^\s*[0-9.]+\s*%\s*$", "examples": ["10 %"]}),
]


def _one_of(known: dict[str, str], what: str) -> Callable[[object], str]:
    def read(data: object) -> str:
        word = data.strip().casefold() if isinstance(data, str) else ""
        if word not in known:
            near = nearest(word, known)
            ways = "; ".join(f"{name}: {meaning}" for name, meaning in known.items())
            mend = did_you_mean(near) if near else f"Write one of {ways}."
            raise fault(f"{short(data)} is no {what} known here", mend)
        return word

    return read


Guidance = Annotated[
    str,
    BeforeValidator(_one_of(GUIDANCES, "guidance")),
    WithJsonSchema({"enum": list(GUIDANCES)}),
]
Cups = Annotated[
    str,
    BeforeValidator(_one_of(CUP_SETTINGS, "setting for cups and spoons")),
    WithJsonSchema({"enum": list(CUPS)}),
]

Pick = Annotated[
    str,
    BeforeValidator(_one_of(PICKS, "way to take a range")),
    WithJsonSchema({"enum": list(PICKS)}),
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
        raise fault(f"{short(data)} is no density", "Write grams in a millilitre, as in 1.03.")
    return number


Cereal = Annotated[
    str,
    BeforeValidator(_one_of({name: name for name in CEREALS}, "cereal")),
    WithJsonSchema({"enum": list(CEREALS)}),
]
Density = Annotated[
    Decimal, BeforeValidator(_density), WithJsonSchema({"type": "number", "exclusiveMinimum": 0})
]


def _offered(words: Iterable[str], also: Iterable[str]) -> dict[str, Any]:
    """Write the schema of a word: some that an editor offers, others that it lets pass."""
    others = "|".join(re.escape(word) for word in sorted(set(also)))
    return {"anyOf": [{"enum": [*words]}, {"type": "string", "pattern": f"^({others})$"}]}


def _nutrient_schema(names: Iterable[str]) -> WithJsonSchema:
    return WithJsonSchema(
        {
            "type": "object",
            "propertyNames": {"enum": [*dict.fromkeys(names)]},
            "additionalProperties": {
                "type": "string",
                "pattern": r"^\s*[0-9]+(\.[0-9]+)?\s*[A-Za-zµ]+\s*$",
                "examples": ["3.9 g"],
            },
        }
    )


_FLOOR_SCHEMA = _nutrient_schema([*NAMES, *NUTRIENTS])
_FLOORS_ALONE = (USABLE, NUTRIENTS[USABLE].name)
_NUTRIENT_SCHEMA = _nutrient_schema(
    name for name in (*NAMES, *NUTRIENTS) if name not in _FLOORS_ALONE
)


def _nutrition(data: object, *, exact: bool = False, usable: bool = False) -> dict[str, Quantity]:
    if not isinstance(data, dict):
        raise fault(f"{short(data)} is no list of nutrients", "Write lines like 'protein: 3.9 g'.")
    known: dict[str, Quantity] = {}
    for name, value in data.items():
        salt = str(name).strip().casefold() == "salt"
        tag = "NA" if salt else tagname(str(name))
        if tag is None:
            mend = suggestion(str(name), [*NAMES, *NUTRIENTS])
            raise fault(f"{name!r} is not a nutrient known here", mend, name)
        if tag == USABLE and not usable:
            raise fault(
                f"{name!r} is worked out for a whole lunch, and can only be a floor of one",
                "Write it under 'floors' of an eater, as in 'usable_protein: 20 g'.",
                name,
            )
        unit = GRAM if salt else NUTRIENTS[tag].unit
        example = f"5 {'g' if salt else NUTRIENTS[tag].symbol}"
        try:
            amount = _amount(
                str(name), (unit,), {unit: 10_000_000}, example, zero=True, exact=exact
            )(value)
        except PydanticCustomError as wrong:
            context = wrong.context or {}
            raise fault(context["what"], context["mend"], name) from None
        if tag in known:
            raise fault(
                f"{name!r} says {NUTRIENTS[tag].name} a second time", "Keep one of the two."
            )
        known[tag] = amount / SALT_PER_SODIUM if salt else amount
    return known


Nutrients = Annotated[dict[str, Any], BeforeValidator(_nutrition), _NUTRIENT_SCHEMA]
Floors = Annotated[
    dict[str, Any], BeforeValidator(lambda data: _nutrition(data, usable=True)), _FLOOR_SCHEMA
]
ExactNutrients = Annotated[
    dict[str, Any], BeforeValidator(lambda data: _nutrition(data, exact=True)), _NUTRIENT_SCHEMA
]


def _near_allergen(word: str) -> str:
    """Write which allergen is likely meant; else all of them, and where other things go."""
    near = nearest(word, list(ALLERGEN_WORDS))
    if near is not None:
        return did_you_mean(near)
    listing = ", ".join(EU_FOURTEEN)
    return f"Write some of: {listing}. Other foods go under 'foods', a way of eating under 'diet'."


def _allergen_list(data: object) -> frozenset[str]:
    words = [data] if isinstance(data, str) else data
    if not isinstance(words, list):
        raise fault(f"{short(data)} is no list of allergens", "Write [milk, eggs] or none.")
    if [str(word).casefold() for word in words] == ["none"]:
        return frozenset()
    all_groups: set[str] = set()
    for word in words:
        groups = allergens(str(word))
        if groups is None:
            raise fault(
                f"{short(word)} is not one of the fourteen allergens of EU law",
                _near_allergen(str(word)),
            )
        all_groups |= groups
    return frozenset(all_groups)


Allergens = Annotated[
    frozenset[str],
    BeforeValidator(_allergen_list),
    WithJsonSchema(
        {
            "anyOf": [
                _offered(["none", *EU_FOURTEEN], ALLERGEN_WORDS),
                {"type": "array", "items": _offered(EU_FOURTEEN, ALLERGEN_WORDS)},
            ]
        }
    ),
]


def _one_helping(data: object) -> object:
    if isinstance(data, dict) and len(data) == 1:
        return data
    raise fault(
        f"{short(data)} is not one item with its amount", "Write '- apple: 1 piece' on this line."
    )


OneHelping = Annotated[dict[Name, Stuff], BeforeValidator(_one_helping)]


def _clock(data: object) -> object:
    match = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])", str(data).strip())
    if match is None:
        raise fault(f"{short(data)} is no time of the day", clock_meant(str(data)))
    return f"{int(match[1]):02d}:{match[2]}"


def _zone(data: object) -> object:
    if str(data) not in available_timezones():
        raise fault(f"{short(data)} is no time zone", zone_meant(str(data)))
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
        number = number_in(text)
        meant = f"{number} min" if number and number.isdecimal() else "25 min, 1 h 30 min"
        raise fault(f"{short(data)} is no time", f"Write {meant}, or a range: 8 to 24 hours.")
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
        raise fault(f"{short(data)} is no heat of an oven", "Write it in °C: 200 °C.")
    return int(match[1])


Degrees = Annotated[
    int, BeforeValidator(_degrees), WithJsonSchema({"type": "string", "examples": ["200 °C"]})
]


def _as_list(data: object) -> object:
    return [data] if isinstance(data, str) else data


NameOrNames = Annotated[
    list[Name],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


FreeOf = NameOrNames
Diet = Annotated[
    str,
    BeforeValidator(
        _one_of({name: f"no {', '.join(barred)}" for name, barred in DIETS.items()}, "diet")
    ),
    WithJsonSchema({"enum": list(DIETS)}),
]
Suits = Annotated[
    list[Diet],
    BeforeValidator(_as_list),
    WithJsonSchema(
        {"anyOf": [{"enum": list(DIETS)}, {"type": "array", "items": {"enum": list(DIETS)}}]}
    ),
]


def _family_list(data: object) -> list[str]:
    words = _as_list(data)
    if not isinstance(words, list):
        raise fault(f"{short(data)} is no list of families", "Write [pork, alcohol?] or none.")
    known = [str(word).strip().casefold() for word in words]
    for word in known:
        if word != "none" and word.removesuffix("?") not in WITHIN:
            raise fault(f"{short(word)} is no family of foods", suggestion(word, list(WITHIN)))
    return known


FamilyList = Annotated[
    list[str],
    BeforeValidator(_family_list),
    WithJsonSchema({"anyOf": [{"const": "none"}, {"type": "array", "items": {"type": "string"}}]}),
]


Values = Annotated[
    str,
    BeforeValidator(lambda data: str(data) if isinstance(data, Decimal) else data),
    WithJsonSchema(
        {"type": "string", "examples": ["8..20", "8..20 by 2", "60%..140%", "8, 10, 14"]}
    ),
]
