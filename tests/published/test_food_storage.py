"""Every figure on how long food keeps against the published words it was read from.

Sources:

- USDA FSIS FoodKeeper data set (with Cornell University and FMI): its texts, by number, are
  copied below and the figures of the table are reckoned from them anew. A food that names
  its own row there falls under no class that keeps longer.
- FDA, Food Code 2022, 3-501.17 (A): 7 days, "the day of preparation shall be counted as
  Day 1", stored as 6.
- UK Food Standards Agency, NHS and Food Standards Scotland: the words in each row, in days
  ("within two days") or hours ("within 24 hours"), counted from the day of cooking.

How such days become dates, and what the planner makes of them, is in `test_dates.py`.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from models.foods.food import table
from models.foods.tabled import rows
from tests.cases import each

from .claims import Cases, claim

# FoodKeeper number to its texts: "fridge" from the day it is made or ripe, "bought" from the
# day of purchase, "opened" after opening or cutting, "freezer".
FOODKEEPER = {
    1: {"bought": "1 - 2 Months", "freezer": "6 - 9 Months"},
    2: {"bought": "1 - 2 Weeks"},
    3: {"bought": "6 Months", "opened": "3 - 4 Weeks", "freezer": "6 Months"},
    4: {"bought": "12 Months"},
    5: {"bought": "1 Month", "freezer": "3 - 4 Months"},
    7: {"bought": "1 - 2 Weeks", "freezer": "6 Months"},
    9: {"bought": "2 Weeks", "opened": "1 Week", "freezer": "Not Recommended"},
    10: {"bought": "2 Weeks", "freezer": "Not Recommended"},
    14: {"bought": "10 Days", "freezer": "3 - 4 Months"},
    15: {"bought": "1 Week", "freezer": "3 - 4 Months"},
    21: {"bought": "3 - 5 Weeks", "freezer": "Not Recommended"},
    22: {"fridge": "2 - 4 Days", "freezer": "12 Months"},
    23: {"fridge": "1 Week", "freezer": "Not Recommended"},
    24: {"fridge": "3 - 4 Days", "freezer": "2 - 3 Months"},
    26: {"bought": "6 Months"},
    27: {"freezer": "3 Months"},
    29: {"freezer": "Not Recommended"},
    33: {"bought": "1 - 2 Weeks", "freezer": "1 - 2 Months"},
    41: {"bought": "3 - 5 Days", "freezer": "4 - 12 Months"},
    43: {"bought": "1 - 2 Days", "freezer": "3 - 4 Months"},
    69: {"bought": "3 - 5 Days"},
    73: {"bought": "1 - 2 Days"},
    117: {"bought": "1 - 2 Days", "freezer": "9 Months"},
    118: {"bought": "1 - 2 Days"},
    135: {"fridge": "3 - 4 Days", "freezer": "4 - 6 Months"},
    144: {"bought": "1 - 2 Days"},
    146: {"bought": "1 - 2 Days", "freezer": "2 - 3 Months"},
    148: {"fridge": "3 - 4 Days", "freezer": "1 - 2 Months"},
    151: {"bought": "1 - 3 Days", "freezer": "6 - 18 Months"},
    162: {"fridge": "3 - 4 Days", "freezer": "1 - 3 Months"},
    166: {"bought": "14 - 30 Days", "freezer": "9 - 12 Months"},
    168: {"bought": "1 Week", "freezer": "5 Months"},
    169: {"bought": "1 Year", "freezer": "Not Recommended"},
    172: {"fridge": "3 - 4 Days"},
    173: {"fridge": "3 - 4 Days", "freezer": "2 - 3 Months"},
    174: {"fridge": "3 - 4 Days", "freezer": "1 - 2 Months"},
    177: {"fridge": "3 - 5 Days", "freezer": "1 - 2 Months"},
    178: {"fridge": "4 - 6 Days", "freezer": "6 Months"},
    179: {"opened": "4 Days", "freezer": "Not Recommended"},
    180: {"fridge": "3 - 4 Days", "freezer": "3 - 4 Months"},
    181: {"bought": "3 Months", "opened": "7 Days", "freezer": "Not Recommended"},
    183: {"fridge": "7 Days", "freezer": "Not Recommended"},
    190: {"fridge": "3 - 4 Days", "freezer": "Not Recommended"},
    192: {"opened": "3 - 5 Days", "freezer": "1 - 2 Months"},
    193: {"fridge": "3 - 4 Days", "freezer": "2 - 3 Months"},
    194: {"fridge": "3 - 4 Days"},
    195: {"opened": "2 - 3 Weeks", "freezer": "3 - 5 Months"},
    196: {"opened": "3 Months", "freezer": "6 Months"},
    211: {"opened": "3 - 5 Days", "freezer": "2 - 3 Months"},
    219: {"opened": "2 - 4 Months"},
    223: {"opened": "6 - 8 Months"},
    227: {"opened": "4 Months"},
    228: {"opened": "6 - 8 Months"},
    248: {"bought": "4 - 6 Weeks"},
    249: {"fridge": "2 - 5 Days"},
    250: {"fridge": "3 - 4 Days"},
    251: {"fridge": "3 Days"},
    253: {"bought": "3 - 6 Days"},
    254: {"bought": "1 - 2 Weeks"},
    256: {"bought": "10 - 21 Days", "freezer": "Not Recommended"},
    257: {"opened": "8 Months"},
    259: {"bought": "2 Months"},
    260: {"bought": "12 Months"},
    261: {"bought": "1 Week"},
    263: {"fridge": "3 - 6 Days"},
    264: {"opened": "2 - 4 Days", "freezer": "1 Month"},
    265: {"bought": "1 Week"},
    266: {"fridge": "3 - 5 Days", "freezer": "2 Months"},
    267: {"fridge": "5 - 7 Days", "freezer": "10 - 12 Months"},
    269: {"bought": "1 - 3 Months"},
    271: {"bought": "3 - 4 Days", "freezer": "5 Months"},
    272: {"bought": "2 Weeks", "opened": "5 Days"},
    273: {"bought": "3 - 5 Days", "freezer": "8 Months"},
    274: {"bought": "1 - 2 Weeks", "freezer": "6 - 8 Months"},
    275: {"bought": "2 - 3 Days", "freezer": "10 - 12 Months"},
    276: {"bought": "3 - 5 Days", "freezer": "10 - 12 Months"},
    277: {"bought": "3 - 5 Days"},
    278: {"bought": "1 - 2 Weeks"},
    279: {"bought": "2 - 3 Weeks"},
    280: {"bought": "3 - 5 Days"},
    281: {"bought": "1 - 2 Weeks"},
    282: {"bought": "1 - 2 Days", "freezer": "8 Months"},
    283: {"bought": "4 - 6 Days"},
    284: {"bought": "4 - 7 Days"},
    285: {"bought": "3 - 14 Days", "freezer": "1 Month"},
    286: {"bought": "2 - 3 Weeks"},
    287: {"bought": "1 - 4 Days", "freezer": "10 - 12 Months"},
    288: {"bought": "7 - 10 Days", "freezer": "1 - 2 Months"},
    289: {"bought": "1 - 2 Weeks"},
    290: {"bought": "1 - 2 Weeks"},
    291: {"bought": "3 - 7 Days", "freezer": "Not Recommended"},
    292: {"bought": "3 - 7 Days", "freezer": "10 - 12 Months"},
    293: {"bought": "2 - 3 Days"},
    294: {"bought": "2 Months"},
    295: {"bought": "1 Week", "freezer": "10 - 12 Months"},
    296: {"bought": "4 - 14 Days"},
    297: {"bought": "1 - 2 Weeks"},
    298: {"bought": "3 - 5 Months"},
    299: {"bought": "10 - 14 Days"},
    300: {"bought": "3 - 7 Days"},
    301: {"bought": "2 - 3 Weeks"},
    302: {"bought": "4 - 5 Days", "freezer": "10 - 12 Months"},
    303: {"bought": "1 - 3 Months", "freezer": "10 - 12 Months"},
    306: {"freezer": "2 Months"},
    307: {"bought": "2 Weeks"},
    332: {"fridge": "1 - 2 Days", "freezer": "2 Months"},
    338: {"opened": "6 Months"},
    339: {"opened": "6 Months"},
    340: {"opened": "4 Months"},
    346: {"bought": "12 Months", "opened": "3 - 4 Months"},
    347: {"opened": "6 - 12 Months"},
    348: {"opened": "6 Months"},
    350: {"opened": "2 Months"},
    351: {"opened": "1 Year"},
    352: {"opened": "2 Weeks"},
    353: {"opened": "1 - 3 Months"},
    354: {"opened": "3 Days", "freezer": "1 Month"},
    356: {"opened": "1 - 3 Months"},
    357: {"opened": "1 Month"},
    359: {"opened": "4 Days"},
    360: {"opened": "1 Month"},
    370: {"opened": "7 - 10 Days"},
    372: {"opened": "3 - 4 Days"},
    373: {"opened": "5 - 7 Days"},
    377: {"opened": "3 - 4 Months"},
    379: {"opened": "6 Months"},
    383: {"opened": "4 - 5 Days"},
    386: {"opened": "4 - 6 Months", "freezer": "6 - 12 Months"},
    397: {"opened": "3 - 6 Months"},
    398: {"opened": "6 Months"},
    404: {"opened": "8 - 12 Days"},
    415: {"opened": "2 Days", "freezer": "Not Recommended"},
    416: {"opened": "3 Weeks"},
    420: {"fridge": "3 - 5 Days", "freezer": "Not Recommended"},
    421: {"opened": "7 - 10 Days"},
    423: {"bought": "3 - 5 Days", "freezer": "8 - 12 Months"},
    426: {"fridge": "6 - 7 Days", "freezer": "6 - 12 Months"},
    431: {"bought": "2 Weeks", "opened": "7 Days"},
    434: {"opened": "3 - 6 Months"},
    435: {"opened": "3 - 6 Months"},
    438: {"bought": "8 Months"},
    439: {"bought": "6 Months"},
    440: {"bought": "12 Months"},
    442: {"bought": "12 Months"},
    444: {"bought": "9 Months"},
    445: {"bought": "12 Months"},
    446: {"bought": "9 - 12 Months"},
    447: {"opened": "2 Months"},
    448: {"opened": "2 Months"},
    455: {"opened": "7 - 10 Days", "freezer": "8 - 12 Months"},
    457: {"fridge": "2 - 3 Days"},
    458: {"fridge": "4 - 6 Months"},
    481: {"bought": "2 - 3 Days", "freezer": "8 - 12 Months"},
    482: {"bought": "2 - 3 Days"},
    483: {"bought": "2 - 3 Days"},
    484: {"fridge": "3 - 4 Days", "freezer": "2 - 3 Months"},
    485: {"fridge": "7 Days", "opened": "3 - 4 Days"},
    486: {"fridge": "7 Days", "opened": "3 - 4 Days"},
    487: {"opened": "3 - 4 Days", "freezer": "2 - 3 Months"},
    488: {"bought": "12 Months", "opened": "3 - 4 Months"},
    489: {"bought": "12 Months", "opened": "3 - 4 Months"},
    490: {"bought": "2 Weeks", "opened": "1 Week"},
    491: {"bought": "4 Weeks"},
    495: {"bought": "3 - 4 Days"},
    496: {"bought": "5 - 15 Days"},
    497: {"bought": "3 - 4 Days"},
    499: {"opened": "2 - 3 Days"},
    500: {"bought": "9 Months"},
    501: {"opened": "5 Days"},
    504: {"bought": "12 Months"},
    505: {"bought": "7 - 9 Days", "freezer": "6 Months"},
    506: {"fridge": "2 - 3 Weeks"},
    507: {"fridge": "2 - 3 Weeks"},
    509: {"fridge": "10 Days"},
    511: {"fridge": "2 - 3 Weeks"},
    512: {"fridge": "2 - 3 Weeks"},
    513: {"fridge": "2 - 3 Weeks"},
    515: {"bought": "2 Weeks", "opened": "3 - 5 Days"},
    524: {"fridge": "30 Days"},
    536: {"fridge": "6 Days"},
    547: {"fridge": "1 Week"},
    548: {"bought": "1 Week"},
    549: {"bought": "5 - 10 Days"},
    550: {"bought": "1 - 2 Weeks"},
    551: {"freezer": "12 Months"},
    553: {"bought": "60 - 90 Days"},
    597: {"fridge": "4 - 5 Days"},
    599: {"opened": "3 - 5 Days"},
    600: {"fridge": "5 Days"},
    601: {"opened": "4 Days"},
    602: {"opened": "4 Days", "freezer": "3 Months"},
    603: {"fridge": "3 - 5 Days"},
    604: {"fridge": "6 Months"},
    611: {"fridge": "2 - 3 Days", "freezer": "3 - 4 Months"},
    616: {"opened": "4 Weeks"},
    619: {"opened": "1 - 2 Days"},
    633: {"opened": "1 - 2 Months"},
    640: {"fridge": "4 - 5 Days"},
    645: {"fridge": "5 - 7 Days", "freezer": "12 Months"},
    649: {"fridge": "1 - 2 Years"},
    653: {"fridge": "3 Months", "freezer": "9 Months"},
    661: {"fridge": "1 Week"},
    669: {"opened": "18 Months"},
    670: {"fridge": "3 - 4 Days"},
    671: {"opened": "2 Weeks"},
    673: {"opened": "3 - 4 Days"},
    674: {"fridge": "2 - 3 Weeks"},
    678: {"fridge": "3 - 7 Days"},
    680: {"fridge": "1 Year"},
    682: {"fridge": "5 - 6 Months"},
}

# Rows that foods name and that give no time in the fridge: dry goods, mostly; milk, soured
# cream: "Package use-by date"; flour, 222: "1 Yea"; tomatoes, bagels, puff pastry: freezer only.
WITHOUT_A_FIGURE = {
    *(27, 29, 212, 213, 216, 217, 220, 222, 232, 233, 236, 237, 238, 239, 240, 241, 306),
    *(333, 334, 335, 336, 337, 384, 385, 396, 449, 465, 530, 551, 575, 577, 578, 579, 580),
    *(583, 585, 586, 588, 589, 590, 591, 593, 612, 668, 684),
}
IN_THE_FRIDGE = ("fridge", "bought", "opened")

STORAGE = {row["key"]: row for row in rows("storage.csv")}
OWN_ROW = {
    row["key"]: (row["storage_class"], int(row["storage_number"]))
    for row in rows("everyday.csv")
    if row["storage_number"]
}
DAY_ONE = "the source counts the day of preparation as day 1"
NOT_FROZEN = "Not Recommended"

DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}
MONTHS = {"month": 1, "year": 12}
WORDS = {"one": 1, "two": 2, "a couple of": 2}

every_class = each("name", STORAGE)


def span(text: str, units: dict[str, int]) -> tuple[int, int]:
    """Read a range as FoodKeeper writes it: "3 - 4 Days", "1 Week"."""
    match = re.fullmatch(r"(\d+)(?: - (\d+))? (day|week|month|year)s?", text.casefold())
    assert match, text
    low, high, unit = match.groups()
    return int(low) * units[unit], int(high or low) * units[unit]


def at_most(text: str) -> int:
    """Read the one number of days or hours in a sentence; "5C" is none."""
    numbers = "|".join([r"\d+", *WORDS])
    found = re.findall(rf"\b({numbers}) (day|hour)s?\b", text.casefold())
    assert len(found) == 1, text
    number, unit = found[0]
    count = WORDS.get(number) or int(number)
    assert unit == "day" or count % 24 == 0, text
    return count if unit == "day" else count // 24


def column(note: str) -> str:
    """Tell which text of FoodKeeper a row says it was read from."""
    if "day of purchase" in note:
        return "bought"
    return "opened" if "after-opening column" in note else "fridge"


# -- figures against words --------------------------------------------------------------


@every_class
def test_a_figure_has_words_and_a_source_and_words_have_a_figure(name: str) -> None:
    row = STORAGE[name]
    for what in ("us_fridge", "uk_fridge", "opened"):
        end = what.removesuffix("_fridge")
        told = (row[f"{what}_high"], row[f"{end}_text"], row[f"{end}_source"])
        assert all(told) or not any(told), what
        assert row[f"{what}_high"] or not row[f"{what}_low"], what
    assert bool(row["thawed_high"]) == bool(row["thawed_source"])
    assert bool(row["freezer_source"]) == bool(row["freezes_well"])
    assert bool(row["freezer_months_high"]) == (row["freezes_well"] == "yes")
    assert row["us_fridge_high"] or not row["us_note"]


@claim("days in the fridge, US, are what the words say", "FoodKeeper; Food Code: 3-501.17")
def test_the_us_figure_is_what_its_words_say() -> Cases:
    for name, row in STORAGE.items():
        if row["us_text"]:
            first = 1 if DAY_ONE in row["us_note"] else 0
            low, high = (days - first for days in span(row["us_text"], DAYS))
            yield name, (low, high), (int(row["us_fridge_low"]), int(row["us_fridge_high"]))
            rounded = "weeks are 7 days, months 30" in row["us_note"]
            assert rounded == ("day" not in row["us_text"].casefold()), name


@claim(
    "days in the fridge, UK, are what the words say",
    "FSS storing; NHS rice; NHS sprouts; NHS storing; NHS eggs",
)
def test_the_uk_figure_is_what_its_words_say() -> Cases:
    for name, row in STORAGE.items():
        if row["uk_text"]:
            yield name, at_most(row["uk_text"]), int(row["uk_fridge_high"])
            assert not row["uk_fridge_low"], name


@claim("days once opened are what the words say", "FoodKeeper: after opening")
def test_the_figure_once_opened_is_what_its_words_say() -> Cases:
    for name, row in STORAGE.items():
        if row["opened_text"]:
            low, high = int(row["opened_low"]), int(row["opened_high"])
            yield name, span(row["opened_text"], DAYS), (low, high)


@claim("what was thawed is eaten within a day", "FSA defrosting: within 24 hours of thawing")
def test_the_days_after_thawing_are_what_their_words_say() -> Cases:
    for name, row in STORAGE.items():
        if row["thawed_source"]:
            assert at_most(row["thawed_source"]) == 1, name
            yield name, 1, int(row["thawed_high"])


@claim("months in the freezer are what the words say", "FoodKeeper: freezer")
def test_the_months_in_the_freezer_are_what_their_words_say() -> Cases:
    for name, row in STORAGE.items():
        if row["freezer_source"]:
            _, text = row["freezer_source"].split(": ")
            held = (row["freezer_months_low"], row["freezer_months_high"], row["freezes_well"])
            months = ("", "") if text == NOT_FROZEN else tuple(map(str, span(text, MONTHS)))
            yield name, (*months, "no" if text == NOT_FROZEN else "yes"), held


# -- words against the data set ---------------------------------------------------------


def cited() -> list[tuple[str, int, str, str]]:
    """List what the table takes from FoodKeeper: class, number, column, text."""
    found = []
    for row in STORAGE.values():
        if row["us_source_id"]:
            assert row["us_source"] == "USDA FSIS storage times"
            text = row["us_text"]
            found.append((row["key"], int(row["us_source_id"]), column(row["us_note"]), text))
        for source, kind in (
            (f"{row['opened_source']}: {row['opened_text']}", "opened"),
            (row["freezer_source"], "freezer"),
        ):
            of = re.fullmatch(r"USDA FSIS storage times (\d+): (.+)", source)
            assert of or source in {"", ": "}, row["key"]
            if of:
                found.append((row["key"], int(of[1]), kind, of[2]))
    return found


@claim("those words are those of the data set", "FoodKeeper: by number", of="texts")
def test_the_words_are_those_of_the_data_set() -> Cases:
    for name, number, kind, text in cited():
        yield f"{name}, {number} {kind}", FOODKEEPER[number][kind], text


def test_every_text_copied_is_in_use() -> None:
    assert len(FOODKEEPER) >= 200
    used = {(number, kind) for _, number, kind, _ in cited()}
    for _, number in OWN_ROW.values():
        used |= {(number, kind) for kind in IN_THE_FRIDGE if kind in FOODKEEPER.get(number, {})}
    assert used == {(number, kind) for number, texts in FOODKEEPER.items() for kind in texts}


def test_us_rows_without_a_number_are_of_the_food_code() -> None:
    for row in STORAGE.values():
        if row["us_text"] and not row["us_source_id"]:
            assert row["us_source"] == "FDA Food Code 2022, 3-501.17"


# -- classes against the rows of the foods in them ----------------------------------------


def ends(name: str) -> list[tuple[str, int]]:
    """List where the US figures of a class end: the column they are of, days."""
    row = STORAGE[name]
    found = []
    if row["us_fridge_high"]:
        found.append((column(row["us_note"]), int(row["us_fridge_high"])))
    if row["opened_high"]:
        found.append(("opened", int(row["opened_high"])))
    return found


def own_ends(number: int) -> dict[str, int]:
    """Give where the figures of a row of FoodKeeper end, by column, in days."""
    texts = FOODKEEPER.get(number, {})
    return {kind: span(texts[kind], DAYS)[1] for kind in IN_THE_FRIDGE if kind in texts}


def too_long(name: str, number: int) -> list[tuple[str, int]]:
    """List figures of a class that end after those of a row.

    A figure is held against the same column; where the row has nothing there, against its
    shortest.
    """
    own = own_ends(number)
    if not own:
        return []
    return [(kind, high) for kind, high in ends(name) if high > own.get(kind, min(own.values()))]


@claim(
    "a class keeps no longer than the row of each food in it", "FoodKeeper: by number", of="foods"
)
def test_a_class_keeps_no_longer_than_the_row_of_each_food_in_it() -> Cases:
    for food, (name, number) in OWN_ROW.items():
        assert name in STORAGE, food
        assert bool(own_ends(number)) == (number not in WITHOUT_A_FIGURE), food
        yield food, [], too_long(name, number)


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("raw leafy greens", 275),  # pak choi
        ("raw pods and spears", 282),  # sweetcorn
        ("raw root vegetables", 661),  # celeriac, another column
        ("fresh herbs", 611),  # parsley, another column
        ("cream", 15),  # single cream
        ("nuts and dried fruit, opened", 616),  # roasted nuts
        ("tomato sauce and puree, opened", 359),  # pasta sauce
    ],
)
def test_a_class_that_keeps_longer_would_show(name: str, number: int) -> None:
    assert too_long(name, number)


def test_foods_whose_class_has_a_figure_and_their_row_none_are_few() -> None:
    # Whole tomatoes keep as cherry tomatoes (600), bagels as bought bread (195).
    found = {
        food for food, (name, number) in OWN_ROW.items() if ends(name) and not own_ends(number)
    }
    assert found == {"tomato, raw", "plain bagel"}


def test_rows_named_without_a_figure_are_all_named_by_foods() -> None:
    assert {number for _, number in OWN_ROW.values()} >= WITHOUT_A_FIGURE


def test_what_is_said_to_keep_far_longer_than_a_week_does() -> None:
    cupboard = [number for name, number in OWN_ROW.values() if name == "cupboard"]
    assert len(cupboard) >= 100
    assert all(high >= 60 for number in cupboard for high in own_ends(number).values())


def test_foods_of_no_class_are_those_that_nobody_publishes_a_time_for() -> None:
    assert {row["key"] for row in rows("everyday.csv") if not row["storage_class"]} == {
        "filo pastry",
        "tempeh, plain",
        "peanut sauce, with soy sauce",
        "fresh yeast",
    }


# -- what stays cold, and what is made at home -------------------------------------------


@every_class
def test_a_class_says_whether_it_stays_cold_and_who_says_so(name: str) -> None:
    row = STORAGE[name]
    assert {row["cold"], row["home"]} <= {"yes", "no"}
    assert row["cold_source"]
    # What is made at home stays cold, but for what is too acid for anything to grow in it.
    assert row["home"] == "no" or row["cold"] == "yes" or "pH" in row["cold_source"]


def test_what_may_travel_warm_is_what_is_published_as_such() -> None:
    # FSIS, Keeping "Bag" Lunches Safe: "whole fruits and vegetables, hard cheese, unopened canned
    # meat and fish, chips, breads, crackers, peanut butter, jelly, mustard, and pickles" (seen in
    # quotation). Virginia Cooperative Extension 2806-7003: nuts, butter, margarine too; meat,
    # fish, eggs, cooked beans, rice and pasta, tofu, milk, cheese dishes, sprouts, cut melon and
    # what is made with cut vegetables must be kept cold.
    for name in ("hard cheese", "bread", "nut butter", "pickles", "butter", "soft fruit"):
        assert STORAGE[name]["cold"] == "no", name
    for name, row in STORAGE.items():
        kept_cold = "egg poultry meat fish shellfish rice pasta pulses tofu milk cream yoghurt cut"
        if set(kept_cold.split()) & set(re.findall("[a-z]+", name)):
            assert row["cold"] == "yes", name


# -- how authorities count --------------------------------------------------------------


def test_only_the_food_code_counts_the_day_of_preparation_and_is_stored_as_one_less() -> None:
    counted = [row for row in STORAGE.values() if DAY_ONE in row["us_note"]]
    assert {row["key"] for row in counted} == {"cut tomatoes", "date-marked ready-to-eat food"}
    assert counted == [row for row in STORAGE.values() if "Food Code" in row["us_source"]]
    made = date(2026, 4, 1)
    for row in counted:
        days = [made + timedelta(days=ahead) for ahead in range(at_most(row["us_text"]))]
        assert days[0] == made
        assert made + timedelta(days=int(row["us_fridge_high"])) == days[-1] == date(2026, 4, 7)


@claim(
    "leftovers keep three to four days in the US, two in the UK",
    "Leftovers: 3 to 4 days; FSS storing: two days",
)
def test_leftovers_keep_three_to_four_days_in_the_us_and_two_in_the_uk() -> Cases:
    for name in (
        "cooked pulses",
        "cooked grains",
        "cooked vegetables",
        "cooked poultry",
        "cooked fish",
        "leftovers, plant",
        "leftovers with meat, fish or egg",
        "soups and stews",
        "bakes and gratins",
    ):
        row = STORAGE[name]
        ends = (row["us_fridge_low"], row["us_fridge_high"], row["uk_fridge_high"])
        yield name, ("3", "4", "2"), ends


@claim("rice keeps a day in the UK, and warns", "NHS rice: no more than 1 day")
def test_rice_keeps_one_day_in_the_uk_and_warns() -> Cases:
    assert STORAGE["cooked rice"]["caution"] == "rice"
    yield "cooked rice", "1", STORAGE["cooked rice"]["uk_fridge_high"]


def test_nothing_keeps_longer_in_the_uk() -> None:
    for row in STORAGE.values():
        if row["us_fridge_high"] and row["uk_fridge_high"]:
            assert int(row["uk_fridge_high"]) <= int(row["us_fridge_high"]), row["key"]


def test_every_food_has_a_class_of_the_table() -> None:
    assert {food.storage for food in table().values()} <= {"", *STORAGE}
    for food in table().values():
        if food.group in {"meat", "poultry", "fish", "shellfish"} and food.state == "raw":
            assert food.storage.startswith("raw "), food.name


# -- the reading itself -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("3 - 4 Days", (3, 4)),
        ("1 Week", (7, 7)),
        ("2 - 3 Weeks", (14, 21)),
        ("1 - 2 Months", (30, 60)),
        ("1 Year", (365, 365)),
        ("7 days", (7, 7)),
    ],
)
def test_a_range_is_read_as_days(text: str, days: tuple[int, int]) -> None:
    assert span(text, DAYS) == days


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("eat leftovers within two days", 2),
        ("for a couple of days", 2),
        ("no more than 1 day until reheating", 1),
        ("at 5C or below and within 2 days", 2),
        ("eat within 24 hours of thawing", 1),
        ("within 48 hours", 2),
    ],
)
def test_a_sentence_is_read_as_days(text: str, days: int) -> None:
    assert at_most(text) == days


@pytest.mark.parametrize("text", ["Package use-by date", NOT_FROZEN, "3 - 4", "soon"])
def test_words_without_a_figure_are_not_read(text: str) -> None:
    with pytest.raises(AssertionError):
        span(text, DAYS)
    with pytest.raises(AssertionError):
        at_most(text)
