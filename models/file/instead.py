"""What to write instead of a value that does not fit, by what stands there.

A cook who reads the value as it should be, with the own number in it, is through in one try. Where
nobody can tell what was meant there is an example, or every form it may have.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import available_timezones

from models.words.errors import nearest, suggestion
from models.words.families import diet, known_words
from models.words.names import is_slip
from models.words.numbers import listed
from models.words.units import GRAM, MILLILITRE, PIECE, PORTION, fits, parse

SEVERAL = re.compile(r",|;|&| and ")
"""What stands between words that are said of one."""
_SPELT = (
    *("one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_WORD = re.compile(rf"\b({'|'.join(_SPELT)})\b", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_BY_FOOD = {
    *("cup", "cups", "tbsp", "tsp", "tablespoon", "tablespoons", "teaspoon", "teaspoons"),
    *("packet", "packets", "pack", "packs", "bag", "bags", "jar", "jars", "bottle", "bottles"),
    *("tin", "tins", "can", "cans", "tub", "tubs", "box", "boxes", "carton", "cartons"),
    *("pint", "pints", "punnet", "punnets", "bunch", "bunches", "loaf", "loaves"),
}
"""What has a mass by its food, its size or its country alone: the number of it is none of grams."""
_WEIGHED = 50
"""From which number on a yield without a unit may be one of grams: common practice, no source."""
_ENDS = re.compile(r"([0-9.]+)\s*(?:-|–|to|or)\s*([0-9.]+)\s*([A-Za-z]*)")
_LONGER = re.compile(
    r"(?<![a-z])(weeks?|wks?|months?|years?|hours?|hrs?|h|seconds?|secs?|p|pence|c|ct|cents?)\b",
    re.IGNORECASE,
)
_DATES = ("%d/%m/%Y", "%m/%d/%Y", "%d.%m.%Y", "%d-%m-%Y", "%Y/%m/%d", "%Y.%m.%d", "%Y%m%d")
_NAMED_DATES = ("%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y")
_HOUR = re.compile(r"([0-9]{1,2})(?:[:.h]?([0-5][0-9]))?\s*([ap])?\.?(?:m\.?)?", re.IGNORECASE)


def number_in(text: str) -> str | None:
    """Find the number in a text, in digits or as a word.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    Its digits, without a sign; None where there is none, there are several, or it counts in
    something larger or smaller than days, minutes and whole coins.

    Examples
    --------
    >>> number_in("four portions"), number_in("-2"), number_in("1,5 g"), number_in("2 to 3")
    ('4', '2', '1.5', None)
    >>> number_in("1 week"), number_in("150p")
    (None, None)
    """
    text = _WORD.sub(lambda word: str(_SPELT.index(word[0].lower()) + 1), text)
    numbers = [] if _LONGER.search(text) else _NUMBER.findall(text)
    return numbers[0].replace(",", ".") if len(numbers) == 1 else None


def range_meant(text: str) -> str:
    """Write a range as it may have been meant.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    A sentence.

    Examples
    --------
    >>> range_meant("1 or 2"), range_meant("four portions"), range_meant("3 weeks")
    ('Write 1 to 2.', 'Write 4.', 'Write one number or two: 3 or 3 to 5.')
    """
    ends = re.fullmatch(r"([0-9]{1,4})[^0-9.,]+([0-9]{1,4})(?: [a-z]+)?", text)
    number = number_in(text)
    if ends is not None:
        return f"Write {ends[1]} to {ends[2]}."
    bare = re.fullmatch(r"\W*\w+( portions?| pieces?| days?)?", text)
    if bare and number is not None and number.isdecimal():
        return f"Write {number}."
    return "Write one number or two: 3 or 3 to 5."


def amount_meant(text: str, units: tuple[str, ...], example: str) -> str:
    """Write an amount as it may have been meant.

    Parameters
    ----------
    text
        What stands in the file.
    units
        In which it may be said, the likeliest first.
    example
        An amount as it should be.

    Returns
    -------
    Amounts in quotes: that of the text with a unit that fits, else its number with each unit
    there is, else the example.

    Examples
    --------
    >>> amount_meant("-30 g", ("gram",), "60 g"), amount_meant("6", ("portion", "gram"), "60 g")
    ("'30 g'", "'6 portions'")
    >>> amount_meant("piece", ("gram", "piece"), "60 g"), amount_meant("1 cup", ("gram",), "60 g")
    ("'1 piece'", "'60 g'")
    >>> amount_meant("6-8 portions", ("portion", "gram"), "60 g")
    "'6 portions' or '8 portions'"
    """
    if ends := _ENDS.fullmatch(text.strip()):
        each = (amount_meant(f"{ends[at]} {ends[3]}", units, example) for at in (1, 2))
        return listed(list(dict.fromkeys(each)), "or")
    number = number_in(text)
    rest = _WORD.sub("", _NUMBER.sub("", text)).strip(" -")
    rest = (nearest(rest, ("portion", "portions", "piece", "pieces")) or rest).split(" ")[0]
    try:
        meant = parse(f"{number or 1} {rest}")
        if any(fits(meant, unit) for unit in units):
            return repr(f"{number or 1} {rest}")
        number = None
    except ValueError:
        pass
    if number is None or not Decimal(number) or rest.casefold() in _BY_FOOD:
        return repr(example)
    own = example.rsplit(maxsplit=1)[-1]
    single = Decimal(number) == 1
    counted = {unit: unit if single else f"{unit}s" for unit in (PIECE, PORTION)}
    symbols = {GRAM: "g", MILLILITRE: "mL", **counted}
    # Who writes a bare six of what is counted or weighed has counted.
    counts = [unit for unit in units if unit in counted] if Decimal(number) < _WEIGHED else []
    fit = counts if PORTION in counts else units
    return listed([repr(f"{number} {symbols.get(unit, own)}") for unit in fit], "or")


def avoided_meant(data: object) -> str:
    """Write what someone must not have as it may have been meant.

    Parameters
    ----------
    data
        A word, or a list of them, that stands where a mapping belongs.

    Returns
    -------
    A sentence, slips of words for families and allergens mended; empty for anything else.

    Examples
    --------
    >>> avoided_meant(["penuts", "vegetarian"])
    "Write 'must_not: {foods: [peanuts], diet: vegetarian}'."
    >>> avoided_meant({"foods": ["pork"]})
    ''
    """
    texts = SEVERAL.split(data) if isinstance(data, str) else data
    if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
        return ""
    foods, diets = avoided(texts)
    parts = [f"foods: [{', '.join(foods)}]"] if foods else []
    parts += [f"diet: {eating}" for eating in diets[:1]]
    return f"Write 'must_not: {{{', '.join(parts)}}}'." if parts else ""


def avoided(texts: Iterable[str]) -> tuple[list[str], list[str]]:
    """Read what someone must not have from a few words.

    Parameters
    ----------
    texts
        A word or name each.

    Returns
    -------
    Foods, families and allergens, slips mended; and ways of eating.

    Examples
    --------
    >>> avoided(["penuts", "pork ", "vegetarian"])
    (['peanuts', 'pork'], ['vegetarian'])
    """
    words = [" ".join(text.split()) for text in texts if text.strip()]
    diets = list(dict.fromkeys(eating for word in words if (eating := diet(word)) is not None))
    return [_one_slip(word) for word in words if diet(word) is None], diets


def _one_slip(word: str) -> str:
    typed, known = word.casefold(), known_words()
    return next((meant for meant in known if typed not in known and is_slip(typed, meant)), word)


def date_meant(text: str) -> str:
    """Write a date as it may have been meant.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    A sentence, with each date that the text may be; else with an example.

    Examples
    --------
    >>> date_meant("30/11/2026"), date_meant("1 Dec 2026")
    ('Write 2026-11-30.', 'Write 2026-12-01.')
    >>> date_meant("3.4.2026"), date_meant("03/04/2026")
    ('Write 2026-04-03.', 'Write 2026-04-03 or 2026-03-04.')
    >>> date_meant("2026-11-31"), date_meant("soon")
    ('Write 2026-11-30 or 2026-12-01.', 'Write it as year-month-day: 2026-11-30.')
    """
    named = re.sub(r"(?<=[0-9])(st|nd|rd|th)\b|,| of\b", "", text).strip()
    ways = [(text.strip(), form) for form in _DATES] + [(named, form) for form in _NAMED_DATES]
    days = [day for day in (_day(written, form) for written, form in ways) if day is not None]
    if past := re.fullmatch(r"([0-9]{4})-(0[1-9]|1[0-2])-(29|30|31)", text):
        last = (day for at in range(30, 27, -1) if (day := _day(f"{text[:8]}{at}", "%Y-%m-%d")))
        year, month = divmod(int(past[1]) * 12 + int(past[2]), 12)
        days = [next(last), date(year, month + 1, 1)]
    if not days:
        return "Write it as year-month-day: 2026-11-30."
    return f"Write {listed([day.isoformat() for day in dict.fromkeys(days)], 'or')}."


def _day(text: str, form: str) -> date | None:
    try:
        return datetime.strptime(text, form).date()
    except ValueError:
        return None


def clock_meant(text: str) -> str:
    """Write a time of the day as it may have been meant.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    A sentence.

    Examples
    --------
    >>> clock_meant("9 am"), clock_meant("6.30pm"), clock_meant("noon")
    ('Write "09:00".', 'Write "18:30".', 'Write it as "07:15".')
    """
    match = _HOUR.fullmatch(text.strip())
    hour = int(match[1]) if match else 24
    if match and match[3]:
        hour = hour % 12 + (12 if match[3].lower() == "p" else 0) if 1 <= hour <= 12 else 24
    return (
        f'Write "{hour:02d}:{match[2] or "00"}".'
        if match and hour < 24
        else ('Write it as "07:15".')
    )


def zone_meant(text: str) -> str:
    """Write the time zone that may have been meant.

    Parameters
    ----------
    text
        What stands in the file, perhaps only a city.

    Returns
    -------
    A sentence.

    Examples
    --------
    >>> zone_meant("London"), zone_meant("Europe/Londn")
    ("Did you mean 'Europe/London'?", "Did you mean 'Europe/London'?")
    >>> zone_meant("my kitchen")
    'Write a region and a city, as Europe/Lisbon, or leave it out.'
    """
    known = sorted(available_timezones())
    cities = {zone.rsplit("/", 1)[-1]: zone for zone in known if "/" in zone}
    city = nearest(text.replace(" ", "_"), cities)
    if city is None and nearest(text, known) is None:
        return "Write a region and a city, as Europe/Lisbon, or leave it out."
    return suggestion(text if city is None else cities[city], known)
