"""A week file is understood as its writer meant it: every kind of entry, every default.

What is misread here is planned, proven best and eaten; no later test would notice.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from models.file.reading import read_document, ready_text, ready_weeks, week_of
from models.file.yamltext import parse as parse_yaml
from models.foods.facts import FridgeLife
from models.foods.storage import LEFTOVERS
from models.week import sums
from models.week.packed import PackedLunch, PackedPortions
from models.week.week import (
    Bound,
    Box,
    Choice,
    Extra,
    Helping,
    Lunch,
    NoLunch,
    Place,
    Take,
    Texture,
    Variety,
    Week,
)
from models.words.errors import InputError
from models.words.nutrients import NUTRIENTS
from models.words.units import magnitude, parse

from .kitchen import FULL, NAME, edited, week_from

MON, TUE, WED = date(2026, 11, 30), date(2026, 12, 1), date(2026, 12, 2)


@pytest.fixture(scope="module")
def week() -> Week:
    return week_from(FULL)


SHORT = """\
week: {starts: 2026-11-30}
eaters: {Ada: {}}
dishes: {Snack: {kind: snack}}
"""


def short(*lines: str) -> Week:
    return week_from(SHORT + "\n".join(lines))


# -- the week ------------------------------------------------------------------------


def test_what_is_said_of_the_week_is_kept(week: Week) -> None:
    said = (week.name, week.note, week.currency, week.guidance)
    assert said == ("A small week", "for two", "EUR", "us")


def test_days_are_in_the_order_of_the_calendar() -> None:
    text = edited(FULL, "[mon, Tuesday, wed]", "[Wednesday, MON, tue]")
    assert week_from(text).days == (MON, TUE, WED)


def test_monday_to_friday_unless_said() -> None:
    december = tuple(date(2026, 12, day) for day in (1, 2, 3, 4))
    assert short().days == (MON, *december)


def test_a_week_may_start_on_any_of_its_days_and_runs_seven_dates() -> None:
    text = SHORT.replace("{starts: 2026-11-30}", "{starts: 2026-12-02, days: [tue, wed, sun]}")
    assert week_from(text).days == (date(2026, 12, 2), date(2026, 12, 6), date(2026, 12, 8))


def test_a_week_crosses_months_and_leap_days() -> None:
    text = SHORT.replace("{starts: 2026-11-30}", "{starts: 2028-02-28, days: [mon, tue, wed]}")
    assert week_from(text).days == (date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1))


@pytest.mark.parametrize("word", ["us", "UK", "Strictest", "' us '"])
def test_guidance_is_one_of_three_words(word: str) -> None:
    text = edited(KEPT, "guidance: us", f"guidance: {word}")
    assert week_from(text).guidance == word.strip("' ").lower()


def test_a_week_without_batches_needs_no_guidance() -> None:
    assert short().guidance == ""


# -- lunches and places ----------------------------------------------------------------


def test_each_eater_has_a_lunch_on_each_day_that_is_not_skipped(week: Week) -> None:
    office = Place(fridge=True, microwave=False, cold_packs=0)
    away = Place(fridge=False, microwave=True, cold_packs=2)
    assert week.lunches == (
        Lunch("Ada", MON, office),
        Lunch("Bo", MON, office),
        Lunch("Ada", TUE, away),
        Lunch("Bo", TUE, office),
        Lunch("Ada", WED, office),
    )
    assert week.no_lunch == (NoLunch(WED, "Bo", "away"),)


def test_a_skip_without_an_eater_is_for_all() -> None:
    week = week_from(edited(FULL, "    eater: Bo\n    why", "    why"))
    assert {lunch.day for lunch in week.lunches} == {MON, TUE}


def test_a_day_elsewhere_without_an_eater_is_for_all_and_starts_from_the_defaults() -> None:
    text = edited(FULL, "  - day: tue\n    eater: Ada\n    fridge: no\n", "  - day: Tue\n")
    places = {(one.eater, one.day): one.place for one in week_from(text).lunches}
    assert places["Ada", TUE] == places["Bo", TUE]
    assert places["Bo", TUE] == Place(fridge=True, microwave=True, cold_packs=2)
    assert places["Ada", MON] == Place(fridge=True, microwave=False, cold_packs=0)


def test_a_fridge_and_no_microwave_unless_said() -> None:
    (place,) = {lunch.place for lunch in short().lunches}
    assert place == Place(fridge=True, microwave=False, cold_packs=0)


@pytest.mark.parametrize("word", ["no", "No", "NO", "false", "'no'"])
def test_no_means_no(word: str) -> None:
    (place,) = {lunch.place for lunch in short(f"place: {{fridge: {word}}}").lunches}
    assert place.fridge is False


# -- eaters --------------------------------------------------------------------------


def test_floors_and_ceilings_are_told_apart(week: Week) -> None:
    ada = week.eaters["Ada"]
    assert ada.floors == (
        Bound("PROCNT", parse("10 g"), weekly=False),
        Bound("ENERC", parse("418.4 kJ"), weekly=False),
        Bound("FIBTG", parse("3 g"), weekly=True),
    )
    # 2 g of salt are 0.8 g of sodium.
    assert ada.ceilings == (
        Bound("NA", parse("0.8 g"), weekly=False),
        Bound("ENERC", parse("5000 kcal"), weekly=True),
    )
    assert magnitude(ada.floors[1].amount, "kilocalorie") == 100


def test_what_an_eater_must_not_have_is_in_the_words_of_the_law(week: Week) -> None:
    ada = week.eaters["Ada"]
    # US law, whose words these are, counts pine nuts among tree nuts.
    assert ada.avoids_allergens == {"nuts", "pine nuts"}
    assert ada.avoids_foods == {"pork", "blue cheese"}


def test_an_eater_may_have_nothing_said(week: Week) -> None:
    bo = week.eaters["Bo"]
    assert (bo.floors, bo.ceilings, bo.likes, bo.box) == ((), (), {}, None)
    assert bo.avoids_allergens == bo.avoids_foods == frozenset()


def test_likes_and_box_are_kept(week: Week) -> None:
    assert week.eaters["Ada"].likes == {"Tart": 2, "Bowl": -1}
    assert week.eaters["Ada"].box == "tin"


# -- food ----------------------------------------------------------------------------


def test_a_batch_in_pieces(week: Week) -> None:
    farls = week.batches["farls"]
    assert (farls.portions, farls.pieces, farls.portion_word) == (8, True, "piece")
    assert farls.portion == parse("30 g")
    assert farls.cost == Decimal("4.60")
    assert farls.life == FridgeLife(3, 4, "USDA", (LEFTOVERS,))
    assert (farls.first_day, farls.fresh_until, farls.use_by) == (
        date(2026, 11, 30),
        date(2026, 12, 2),
        date(2026, 12, 3),
    )
    stated = {tag: amount for tag, amount in farls.nutrition.items() if tag in NUTRIENTS}
    assert stated == {
        "PROCNT": parse("4 g"),
        "ENERC": parse("60 kcal"),
        "NA": parse("100 mg"),
    }
    assert farls.nutrition_source == "the tub"
    assert (farls.texture, farls.room, farls.chilled) == (Texture.CRISP, parse("40 mL"), True)
    assert farls.contents.allergens == frozenset({"gluten", "eggs"})
    assert farls.contents.foods == {"oats", "egg"}


def test_the_freezer_takes_the_upper_end_of_its_range(week: Week) -> None:
    assert week.batches["farls"].freezer == 3


def test_a_batch_by_mass_with_its_defaults(week: Week) -> None:
    beans = week.batches["beans"]
    assert (beans.portions, beans.pieces, beans.portion_word) == (5, False, "portion")
    assert beans.life == FridgeLife(3, 3, "mine", (LEFTOVERS,))
    assert (beans.cost, beans.room, beans.texture) == (Decimal(0), None, Texture.PLAIN)
    assert beans.chilled is False
    # Nobody said what is in it, which is not the same as nothing.
    assert beans.contents.allergens is None
    assert "PROCNT" not in beans.nutrition
    # 0.5 g of salt are 200 mg of sodium.
    assert beans.nutrition["NA"] == parse("200 mg")


def test_what_freezes_is_frozen_whole_unless_said(week: Week) -> None:
    assert week.batches["beans"].freezer == 5


def test_what_does_not_freeze_takes_no_freezer() -> None:
    text = edited(FULL, "    freezes: yes\n    chilled: no\n", "")
    beans = week_from(text).batches["beans"]
    assert beans.freezer == 0
    assert beans.chilled is True


def test_pounds_and_ounces_come_to_whole_portions() -> None:
    text = edited(FULL, "yield: 0.3 kg\n    portion: 60 g", "yield: 3 lb\n    portion: 3 oz")
    assert week_from(text).batches["beans"].portions == 16


@pytest.mark.parametrize(
    ("said", "kept"),
    [("2 oz", "56.699 g"), ("33.3333 g", "33.333 g"), ("0.0015 g", "0.002 g")],
)
def test_amounts_are_kept_to_a_thousandth(said: str, kept: str) -> None:
    text = edited(FULL, "portion: 30 g", f"portion: {said}")
    assert week_from(text).batches["farls"].portion == parse(kept)


# -- how long food keeps -------------------------------------------------------------------

KEPT = """\
week: {starts: 2026-11-30, guidance: us}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 4 portions, portion: 60 g, nutrition: {}, fridge_life: 1}
dishes: {Bowl: {kind: grain, takes: {beans: 1}}}
"""


def life(said: str, guidance: str = "us") -> FridgeLife:
    """Read how long a batch keeps."""
    text = edited(KEPT, "fridge_life: 1", said).replace("guidance: us", f"guidance: {guidance}")
    return week_from(text).batches["beans"].life


@pytest.mark.parametrize(("guidance", "most"), [("us", 4), ("uk", 2), ("strictest", 2)])
def test_a_life_as_long_as_published_needs_nothing_more(guidance: str, most: int) -> None:
    # USDA FSIS: leftovers 3 to 4 days. UK: within two days.
    assert life(f"fridge_life: {most}", guidance) == FridgeLife(most, most, "mine", (LEFTOVERS,))


@pytest.mark.parametrize(("guidance", "most"), [("us", 4), ("uk", 2), ("strictest", 2)])
def test_a_longer_life_is_read_at_ones_own_risk_with_what_is_published(
    guidance: str, most: int
) -> None:
    with pytest.raises(InputError, match=f"{most + 1} days is longer than is published"):
        life(f"fridge_life: {most + 1}", guidance)
    longer = life(f"fridge_life: 2 to {most + 1}, own_risk: yes", guidance)
    assert (longer.low, longer.high, longer.stated) == (2, most + 1, True)
    assert longer.risk.startswith(f"{most} days as {LEFTOVERS}: ")


def test_own_risk_changes_nothing_where_there_is_none() -> None:
    assert life("fridge_life: 3 to 4, own_risk: yes") == life("fridge_life: 3 to 4")


@pytest.mark.parametrize(
    ("guidance", "low", "high"), [("us", 4, 6), ("uk", 1, 1), ("strictest", 1, 1)]
)
def test_a_life_left_out_is_that_of_its_storage_class(guidance: str, low: int, high: int) -> None:
    # USDA FSIS FoodKeeper: cooked rice 4 to 6 days. NHS: no more than one day.
    rice = life("keeps_as: cooked rice", guidance)
    assert (rice.low, rice.high) == (low, high)
    assert (rice.classes, rice.stated, rice.risk) == (("cooked rice",), False, "")
    assert rice.source.endswith(", as cooked rice")


def test_a_class_with_a_longer_life_allows_it() -> None:
    # FDA Food Code: 7 days with the day of making counted.
    assert life("keeps_as: date-marked ready-to-eat food, fridge_life: 6").risk == ""
    assert life("keeps_as: cooked rice, fridge_life: 6").risk == ""


# -- what it costs ---------------------------------------------------------------------------


def test_what_has_no_price_is_named(week: Week) -> None:
    # The beans and the oil of the file give none; nothing is not the same as free.
    unpriced = {name: batch.unpriced for name, batch in week.batches.items()}
    unpriced |= {name: item.unpriced for name, item in week.larder.items()}
    assert {name for name, missing in unpriced.items() if missing} == {"beans", "oil"}
    assert (unpriced["beans"], unpriced["oil"]) == (("beans",), ("oil",))
    assert sums.unpriced(week) == ("beans", "oil")


def test_what_costs_nothing_is_priced() -> None:
    text = edited(FULL, "    pack: 0.25 L\n", "    pack: 0.25 L\n    price: 0\n")
    assert sums.unpriced(week_from(text)) == ("beans",)


def test_a_lunch_without_a_price_is_told_from_others(week: Week) -> None:
    farls, beans = PackedPortions("farls", 2, 0), PackedPortions("beans", 1, 0)
    none = PackedPortions("beans", 0, 0)
    bowl = PackedLunch("Bo", MON, "Bowl", (), {}, {})
    tart = PackedLunch("Ada", MON, "Tart", (farls, beans), {"side": "apple"}, {})
    assert sums.unpriced(week, [bowl]) == ()
    assert sums.unpriced(week, [replace(bowl, extras={"oil": 1})]) == ("oil",)
    assert sums.unpriced(week, [tart]) == ("beans", "oil")
    assert sums.unpriced(week, [replace(tart, portions=(farls, none))]) == ("oil",)


def test_a_larder_item_by_mass(week: Week) -> None:
    leaves = week.larder["leaves"]
    assert (leaves.unit, leaves.pack, leaves.per) == ("gram", parse("90 g"), parse("30 g"))
    assert (leaves.price, leaves.opened_life, leaves.use_by) == (
        Decimal("1.2"),
        3,
        date(2026, 12, 5),
    )
    assert leaves.mass == parse("1 g")
    assert leaves.contents.allergens == frozenset()
    assert (leaves.texture, leaves.room, leaves.chilled) == (Texture.CRISP, parse("100 mL"), True)


def test_a_larder_item_in_pieces_counts_for_one_piece(week: Week) -> None:
    apple = week.larder["apple"]
    assert (apple.unit, apple.per, apple.mass) == ("piece", parse("1 piece"), parse("150 g"))
    assert (apple.opened_life, apple.use_by, apple.room) == (None, None, None)
    assert apple.contents.allergens is None
    assert apple.chilled is False


def test_a_larder_item_by_volume_counts_for_a_hundred_millilitres(week: Week) -> None:
    oil = week.larder["oil"]
    assert (oil.unit, oil.per, oil.mass) == ("millilitre", parse("100 mL"), None)
    assert oil.pack == parse("250 mL")


def test_a_larder_item_by_mass_counts_for_a_hundred_grams() -> None:
    assert short("larder: {rice: {pack: 1 kg, chilled: no}}").larder["rice"].per == parse("100 g")


def test_allergens_left_out_are_not_none() -> None:
    week = short(
        "larder:",
        "  a: {pack: 1 piece, chilled: no}",
        "  b: {pack: 1 piece, chilled: no, allergens: none}",
        "  c: {pack: 1 piece, chilled: no, allergens: []}",
        "  d: {pack: 1 piece, chilled: no, allergens: [None]}",
        "  e: {pack: 1 piece, chilled: no, allergens: Milk}",
    )
    known = [item.contents.allergens for item in week.larder.values()]
    assert known == [None, frozenset(), frozenset(), frozenset(), frozenset({"milk"})]


# -- dishes --------------------------------------------------------------------------


def test_a_dish(week: Week) -> None:
    tart = week.dishes["Tart"]
    # No more can be taken than there is: the file says up to 20 of 8.
    assert tart.takes == (Take("farls", 2, 8), Take("beans", 1, 1))
    assert tart.goes_in == (Helping("leaves", parse("30 g")), Helping("oil", parse("10 mL")))
    assert tart.choices == ("side",)
    assert tart.extras == (Extra(Helping("apple", parse("0.5 pieces")), 2),)
    assert (tart.kind, tart.minutes, tart.microwave, tart.most) == ("bread", 6, True, 2)


def test_a_dish_with_its_defaults(week: Week) -> None:
    bowl = week.dishes["Bowl"]
    assert (bowl.takes, bowl.goes_in, bowl.choices) == ((), (), ())
    assert bowl.extras == (Extra(Helping("oil", parse("5 mL")), 1),)
    assert (bowl.minutes, bowl.microwave, bowl.most) == (0, False, None)


@pytest.mark.parametrize(
    ("said", "low", "high"),
    [
        ("3", 3, 3),
        ("0 to 2", 0, 2),
        ("2-4", 2, 4),
        ("2 - 4", 2, 4),
        ("2 \u2013 4", 2, 4),
        ("2..4", 2, 4),
        ("2to4", 2, 4),
        ("1 to 3 pieces", 1, 3),
        ("'3'", 3, 3),
    ],
)
def test_a_range_is_read(said: str, low: int, high: int) -> None:
    text = edited(FULL, "farls: 2 to 20", f"farls: {said}")
    assert week_from(text).dishes["Tart"].takes[0] == Take("farls", low, high)


def test_a_choice_keeps_the_order_of_its_options(week: Week) -> None:
    assert week.choices["side"] == Choice(
        "side", (Helping("apple", parse("1 piece")), Helping("leaves", parse("15 g")))
    )


def test_a_box(week: Week) -> None:
    assert week.boxes["tin"] == Box("tin", (parse("500 mL"), parse("200 mL")), (parse("60 mL"),))


# -- wishes --------------------------------------------------------------------------


def test_variety(week: Week) -> None:
    assert week.variety == Variety(
        most_times=3,
        days_between=1,
        kinds_apart=(frozenset({"bread"}), frozenset({"grain", "bread"})),
        same_choice=2,
        batch_running=2,
    )


def test_no_variety_unless_said() -> None:
    assert short().variety == Variety(None, 0, (), None, None)


def test_the_order_of_the_file_always_comes_last(week: Week) -> None:
    assert week.priorities == ("liking", "left_over", "file_order")
    assert short("priorities: []").priorities == ("file_order",)


def test_the_priorities_unless_said() -> None:
    assert short().priorities == (
        "left_over",
        "repeats",
        "freshness",
        "thawed",
        "liking",
        "cost",
        "minutes",
        "file_order",
    )


# -- names ---------------------------------------------------------------------------


def test_spaces_in_a_name_do_not_matter() -> None:
    week = week_from(edited(FULL, "{Tart: 2, Bowl: -1}", '{" Tart  ": 2, Bowl: -1}'))
    assert week.eaters["Ada"].likes == {"Tart": 2, "Bowl": -1}


def test_a_name_may_be_a_number() -> None:
    text = edited(FULL, "foods: [Oats, egg]", "foods: [7, 1.50]")
    assert week_from(text).batches["farls"].contents.foods == {"7", "1.50"}


def test_the_language_of_a_name_does_not_matter() -> None:
    text = FULL.replace("Tart", "\u5f01\u5f53").replace("farls", "Kl\u00f6\u00dfchen")
    week = week_from(text)
    assert list(week.dishes) == ["\u5f01\u5f53", "Bowl"]
    assert list(week.batches) == ["Kl\u00f6\u00dfchen", "beans"]


# -- the week that travels in a plan ---------------------------------------------------


def again(text: str) -> tuple[Week, Week]:
    """Read a file, and read it as it travels in a plan."""
    document = parse_yaml(NAME, text)
    carried = json.loads(json.dumps(document.as_json()), parse_float=Decimal, parse_int=Decimal)
    return week_of(document), week_of(replace(document, data=carried))


def test_a_week_is_the_same_after_it_has_travelled_in_a_plan() -> None:
    here, there = again(FULL)
    assert here == there


def named(number: str) -> str:
    """Give a box and a kind of dish a number for a name."""
    text = FULL.replace("box: tin", f"box: {number}").replace("  tin:", f"  {number}:")
    return edited(text, "kind: grain", f"kind: {number}").replace(
        "[grain, bread]", f"[{number}, bread]"
    )


@pytest.mark.parametrize("number", ["7", "1.0", "1.10"])
def test_a_name_that_is_a_number_travels_unchanged(number: str) -> None:
    here, there = again(named(number))
    assert here == there


def test_a_number_is_one_name_before_and_after_the_colon() -> None:
    assert week_from(named("007")).eaters["Ada"].box == "007"


# -- ready weeks -----------------------------------------------------------------------


def test_every_ready_week_can_be_read() -> None:
    assert {"demo", "starter"} <= set(ready_weeks())
    for name in ready_weeks():
        document = read_document(name)
        assert week_of(document).lunches
        assert document.name == name
        assert ready_text(name).startswith("#"), "a ready week begins with what it is"
