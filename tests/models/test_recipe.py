"""What goes into a batch and what that adds up to: nothing lost, nothing made, nothing hidden.

Sums are held against the rows of the food table as they stand in its file.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from decimal import Decimal
from functools import cache
from math import ceil
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.foods import store
from models.foods.figures import COLUMNS, TRACE
from models.foods.food import Food, Foods, builtin, groups_of, table
from models.foods.lines import Unread
from models.foods.parts import Contents
from models.foods.recipe import Ingredient, Recipe, cooked, ingredients, per_hundred
from models.foods.tabled import rows
from models.week.week import Batch, Week
from models.words.errors import InputError
from models.words.nutrients import NUTRIENTS
from models.words.protein import COUNTED
from models.words.units import Quantity, magnitude
from tests.depth import sized

from .kitchen import line_of, refusal, week_from

WEEK = """\
week: {{starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}}
eaters: {{Ada: {{}}}}
{more}batches:
  pot:
    made: 2026-11-29
    yield: {portions} portions
{extra}    ingredients:
{lines}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1}}}}
"""


def file_of(*lines: str, portions: int = 4, extra: str = "", more: str = "") -> str:
    """Write a week with one batch of ingredients; each line is text or a mapping."""
    written = [line if line.startswith("{") else json.dumps(line) for line in lines]
    return WEEK.format(
        portions=portions,
        extra=f"    {extra}\n" if extra else "",
        lines="\n".join(f"      - {line}" for line in written),
        more=f"{more}\n" if more else "",
    )


def pot(week: Week) -> Batch:
    return week.batches["pot"]


def made_of(*lines: str, portions: int = 4, extra: str = "", more: str = "") -> Batch:
    return pot(week_from(file_of(*lines, portions=portions, extra=extra, more=more)))


def refused(*lines: str, extra: str = "", portions: int = 4) -> InputError:
    return refusal(file_of(*lines, extra=extra, portions=portions))


def exact(amount: Quantity, tag: str) -> Decimal:
    """Give the number as it is kept, without rounding."""
    return Decimal(amount.m_as(COUNTED[tag].unit))


def read(
    text: str, *, refuse: str | None = None, drained: str | None = None, cups: str = "us"
) -> Ingredient:
    shares = (None if one is None else Decimal(one) for one in (refuse, drained))
    (part,) = ingredients(text, builtin("us"), cups, *shares)
    return part


# -- one line ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "food", "prepared_away"),
    [
        ("100 g onions, chopped", "onion, raw", True),
        ("100 g lentils, green or brown, dry", "lentils, green or brown, dry", False),
        ("100 g lentils, green or brown, dry, rinsed well", "lentils, green or brown, dry", True),
        ("100 g dry lentils", "lentils, green or brown, dry", False),
        ("100 g Dried Green Lentils", "lentils, green or brown, dry", False),
        ("100 g carot, grated", "carrot, raw", True),
    ],
)
def test_the_name_is_the_longest_that_is_a_food(
    line: str, food: str, *, prepared_away: bool
) -> None:
    found = read(line)
    assert (found.food.name, found.grams, found.how) == (food, Decimal(100), "")
    assert found.text == line
    assert (found.name != line.removeprefix("100 g ")) is prepared_away


@pytest.mark.parametrize("name", ["chickpeas", "kidney beans"])
def test_a_name_of_several_foods_is_refused_with_them(name: str) -> None:
    with pytest.raises(Unread) as caught:
        read(f"1 cup {name}")
    assert "may be dry, boiled or tinned" in caught.value.what
    assert caught.value.mend.startswith("Write one of: ")
    assert caught.value.mend.count(";") > 0


def test_what_is_weighed_as_bought_loses_what_the_table_throws_away() -> None:
    # SR26 11352: a quarter of a potato is peel and eyes.
    for said in ("as bought", "As bought", "unpeeled", "unprepared"):
        found = read(f"500 g potatoes, {said}")
        assert (found.grams, found.bought) == (Decimal(375), Decimal(500)), said
        assert found.how == "25 % is thrown away"


def test_what_is_weighed_ready_is_bought_with_what_is_thrown_away() -> None:
    found = read("300 g potatoes, peeled")
    assert (found.grams, found.how) == (Decimal(300), "")
    assert found.bought == Decimal(400)
    assert read("300 g olive oil").bought == 300


def test_refuse_that_is_said_goes_before_the_table() -> None:
    found = read("500 g potatoes", refuse="0.1")
    assert (found.grams, found.bought) == (Decimal(450), Decimal(500))
    assert found.how == "10 % is thrown away"
    assert read("500 g potatoes, as bought", refuse="0.1").grams == 450
    assert read("500 g potatoes", refuse="0").grams == 500


def test_refuse_that_nobody_knows_is_not_guessed() -> None:
    foods = Foods([replace(table()["rolled oats"], name="gruel", aliases=(), refuse=None)])
    with pytest.raises(Unread) as caught:
        ingredients("100 g gruel, as bought", foods, "label")
    assert "how much of 'gruel' is thrown away" in caught.value.what
    assert "refuse: 10 %" in caught.value.mend
    assert read("100 g rolled oats, as bought", refuse="0.2").grams == 80


def test_what_is_drained_is_what_stays() -> None:
    found = read("2 x 400 g tins chickpeas, tinned, drained", drained="0.6")
    assert (found.grams, found.bought) == (Decimal(480), Decimal(800))
    assert found.how == "60 % stays once drained"


def test_drained_and_refuse_both_count() -> None:
    found = read("1000 g potatoes", refuse="0.2", drained="0.5")
    assert (found.grams, found.bought) == (Decimal(400), Decimal(1000))
    assert found.how == "50 % stays once drained; 20 % is thrown away"


@pytest.mark.parametrize(
    ("line", "bought"),
    [
        ("2 x 400 g tins chickpeas, tinned, drained", 800),
        ("1 tin (400 g) red kidney beans, tinned, drained", 400),
        ("2 x 400 g tins butter beans, drained", 800),
    ],
)
def test_the_mass_of_a_tin_is_no_drained_mass(line: str, bought: int) -> None:
    found = read(line)
    assert found.bought == bought
    assert found.grams < found.bought * Decimal("0.65")
    assert any("g in the tin" in remark for remark in found.remarks)


def test_a_tin_of_what_is_eaten_with_its_liquid_is_its_mass() -> None:
    assert read("2 x 400 g tins chopped tomatoes").grams == 800
    assert read("240 g chickpeas, tinned, drained").grams == 240


# -- allergens of a line -------------------------------------------------------------

STOCK = "chicken stock cube"


def test_a_label_that_was_read_settles_what_recipes_leave_open() -> None:
    open_one = made_of("10 g chicken stock cube", "200 g carrots")
    assert table()[STOCK].check_label
    assert open_one.contents.allergens is None
    assert open_one.contents.unsettled == (STOCK,)
    settled = made_of(f"{{what: 10 g {STOCK}, allergens: [celery, milk]}}", "200 g carrots")
    assert settled.contents.allergens == frozenset({"celery", "milk"})
    assert settled.contents.unsettled == ()
    none = made_of(f"{{what: 10 g {STOCK}, allergens: none}}", "200 g carrots")
    assert none.contents.allergens == frozenset()


def test_a_label_may_add_to_what_a_food_holds_for_certain_and_not_take_away() -> None:
    more = made_of("{what: 100 g rolled oats, allergens: [gluten, milk]}")
    assert more.contents.allergens == frozenset({"gluten", "milk"})
    text = file_of("200 g carrots", "{what: 100 g rolled oats, allergens: [milk]}  # here")
    wrong = refusal(text)
    assert wrong.where.line == line_of(text)
    assert "'rolled oats' holds gluten, which 'allergens' leaves out" in wrong.what
    assert "Add gluten" in wrong.mend


def test_a_label_of_one_line_says_nothing_of_another() -> None:
    batch = made_of("{what: 10 g mustard, allergens: [mustard]}", "10 g chicken stock cube")
    assert batch.contents.allergens is None
    assert batch.contents.unsettled == (STOCK,)
    assert batch.contents.known >= {"mustard"}


# -- sums ----------------------------------------------------------------------------


def test_a_figure_that_one_ingredient_lacks_makes_the_sum_at_least() -> None:
    lentils, carrot = table()["red lentils, split, dry"], table()["carrot, raw"]
    assert "SUGAR" not in lentils.nutrients
    batch = made_of("200 g red lentils, split, dry", "100 g carrots")
    assert batch.partial == {"SUGAR"}
    assert exact(batch.nutrition["SUGAR"], "SUGAR") == carrot.nutrients["SUGAR"] / 4
    total = Recipe((read("200 g red lentils, split, dry"), read("100 g carrots"))).totals()
    assert not total["SUGAR"].complete
    assert total["PROCNT"].complete


def test_a_figure_that_all_ingredients_lack_is_not_known() -> None:
    batch = made_of("200 g red lentils, split, dry")
    assert "SUGAR" not in batch.nutrition
    assert not batch.partial
    assert "ID" not in batch.nutrition


def test_a_figure_that_is_stated_goes_before_the_sum_and_is_whole() -> None:
    batch = made_of(
        "200 g red lentils, split, dry",
        "100 g carrots",
        extra="nutrition: {protein: 9 g, sugar: 3 g}\n    nutrition_source: the lab",
    )
    assert magnitude(batch.nutrition["PROCNT"], "gram") == 9
    assert magnitude(batch.nutrition["SUGAR"], "gram") == 3
    assert not batch.partial
    assert "the lab" in batch.nutrition_source
    assert "USDA SR28" in batch.nutrition_source


def own(carbohydrate: str | None, fibre: str | None, stated: str | None = None) -> Food:
    known = {"CHOCDF": carbohydrate, "FIBTG": fibre, "CHOAVL": stated}
    return replace(
        table()["water"],
        name="gruel",
        nutrients={tag: Decimal(one) for tag, one in known.items() if one is not None},
    )


@pytest.mark.parametrize(
    ("carbohydrate", "fibre", "stated", "available"),
    [
        ("60.08", "30.5", None, "29.58"),
        ("10", "0", None, "10"),
        ("10", "10.9", None, "0"),  # rounding of two figures never makes it negative
        ("10", None, None, None),
        (None, "3", None, None),
        ("10", "3", "8", "8"),
    ],
)
def test_carbohydrate_leaves_out_fibre(
    carbohydrate: str | None, fibre: str | None, stated: str | None, available: str | None
) -> None:
    # Regulation (EU) No 1169/2011, Annex I: carbohydrate is what is metabolised by man.
    found = per_hundred(own(carbohydrate, fibre, stated), "CHOAVL")
    assert found == (None if available is None else Decimal(available))


def test_carbohydrate_of_a_batch_is_total_less_fibre_line_by_line() -> None:
    batch = made_of("200 g dried green lentils", "100 g carrots", portions=2)
    whole = Decimal("200") * (Decimal("63.35") - Decimal("10.7")) / 100
    carrot = table()["carrot, raw"].nutrients
    whole += carrot["CHOCDF"] - carrot["FIBTG"]
    assert exact(batch.nutrition["CHOAVL"], "CHOAVL") * 2 == whole


# -- mass ----------------------------------------------------------------------------


def test_dried_food_weighs_what_it_boils_to_and_the_rest_what_goes_in() -> None:
    # tables/yields.csv: green lentils 2.73 (protein of SR28 16069 and 16070).
    batch = made_of("200 g dried green lentils", "100 g carrots", portions=5)
    assert magnitude(batch.portion, "gram") * 5 == Decimal(200) * Decimal("2.73") + 100
    assert "about 646 g in all" in batch.portion_source
    assert "lentils, green or brown, dry x 2.73" in batch.portion_source
    assert "weigh it and write 'portion'" in batch.portion_source


def test_a_mass_that_was_weighed_is_kept() -> None:
    batch = made_of("200 g dried green lentils", extra="portion: 130 g")
    assert magnitude(batch.portion, "gram") == 130
    assert batch.portion_source == ""


def test_a_mass_that_was_weighed_changes_no_nutrient() -> None:
    light = made_of("200 g dried green lentils", extra="portion: 60 g")
    heavy = made_of("200 g dried green lentils", extra="portion: 150 g")
    assert light.nutrition == heavy.nutrition


def test_the_bounds_of_a_mass_are_of_its_ingredients() -> None:
    lines = (read("200 g dried green lentils"), read("100 g olive oil"), read("50 g water"))
    found = cooked(Recipe(lines))
    swollen = Decimal(200) * Decimal("2.73")
    # The water listed is part of what the lentils take up.
    assert found.grams == swollen + 100
    assert found.most == (swollen + 100) * Decimal("1.1")
    # Water may boil away and fat may run out: dry matter without fat is what must stay.
    dry = Decimal(200) * (100 - Decimal("8.26") - Decimal("1.06")) / 100
    assert found.least == dry * Decimal("0.9")
    assert found.swollen == ("lentils, green or brown, dry x 2.73",)


@pytest.mark.parametrize("portion", ["45", "100", "150"])
def test_a_yield_that_can_be_is_taken(portion: str) -> None:
    batch = made_of("200 g dried green lentils", extra=f"portion: {portion} g")
    assert magnitude(batch.portion, "gram") == Decimal(portion)


@pytest.mark.parametrize(
    ("portion", "what", "mend"),
    [
        ("151", "heavier than its ingredients can get (601 g", "list what is missing, water too"),
        ("400", "comes to 1600 g, heavier", "Mend the yield or the portion"),
        ("39", "lighter than its ingredients without any water (163 g)", "Mend the yield"),
        ("1", "comes to 4 g, lighter", "the amounts of the ingredients"),
    ],
)
def test_a_yield_that_cannot_be_is_refused_on_its_line(portion: str, what: str, mend: str) -> None:
    text = file_of("200 g dried green lentils", extra=f"portion: {portion} g")
    wrong = refusal(text)
    assert wrong.where.line == line_of(text, "yield:")
    assert wrong.where.path == ("batches", "pot", "yield")
    assert what in wrong.what
    assert mend in wrong.mend


def test_a_yield_by_mass_is_held_against_the_ingredients_too() -> None:
    text = file_of("200 g dried green lentils", extra="portion: 100 g")
    heavy = text.replace("yield: 4 portions", "yield: 800 g")
    assert "heavier" in refusal(heavy).what
    assert pot(week_from(text.replace("yield: 4 portions", "yield: 600 g"))).portions == 6


def test_water_that_is_listed_makes_room_for_a_soup() -> None:
    lines = ("200 g dried green lentils", "1 L water")
    soup = made_of(*lines, extra="portion: 290 g\n    keeps_as: soup")
    assert magnitude(soup.portion, "gram") == 290
    wrong = refusal(file_of(*lines, extra="portion: 290 g"))
    assert wrong.where.path == ("batches", "pot", "yield")
    assert "1160 g with water that boils off or is poured away: without it about 546" in wrong.what
    assert "Write what it weighs once drained." in wrong.mend
    assert "'keeps_as: soup'" in wrong.mend


# Lines, what they come to and the most they can, in g; factors of tables/yields.csv by hand.
POURED = (
    # A cup of 170 g: 170 x 3.21 boiled; with all of its 472 g of water it is no more than 642 g.
    (("1 cup quinoa", "2 cups water"), 546, 642),
    (("1 cup quinoa", "2 cups water", "1 g salt", "9 g olive oil"), 556, 652),
    # Too little water listed: the grain takes up its fill all the same.
    (("100 g quinoa", "100 g water"), 321, 353),
    (("200 g pasta, dry", "2 kg water", "10 g salt"), 460, 575),
    (("400 g spaghetti", "4 kg water"), 900, 1125),
    (("100 g white rice", "1 kg water"), 265, 331),
    (("500 g potatoes", "1.5 kg water", "5 g salt"), 505, 631),
    (("100 g bulgur wheat", "1 kg water"), 399, 499),
    # Pasta in a sauce: what it was boiled in is poured away, the sauce stays.
    (("200 g pasta, dry", "2 kg water", "300 g tomatoes"), 750, 937),
    # Pasta cooked in its sauce takes up what there is.
    (("200 g pasta, dry", "500 g water", "300 g tomatoes"), 1000, 1100),
    (("100 g quinoa", "250 g vegetable stock"), 326, 358),
    # A stew keeps what it was given beyond what the lentils take up: 200 x 1.73 is 346.
    (("200 g dried green lentils", "200 g carrots", "1 kg water"), 1400, 1540),
    (("200 g dried green lentils", "200 g carrots", "100 g water"), 746, 821),
    (("100 g white rice", "1 kg whole milk", "50 g sugar"), 1150, 1265),
    (("500 g carrots", "500 g water"), 1000, 1100),
    # Water in a name makes no liquid of it.
    (("100 g quinoa", "100 g tuna, tinned in water"), 421, 463),
)


def test_water_counts_once_whether_taken_up_or_boiled_off() -> None:
    for lines, grams, most in POURED:
        found = cooked(Recipe(tuple(read(line) for line in lines)))
        assert round(found.grams) == pytest.approx(grams, abs=1), lines
        assert round(found.most) == pytest.approx(most, abs=1), lines


def test_a_yield_with_its_water_counted_twice_is_refused() -> None:
    lines = ("1 cup quinoa", "2 cups water")
    assert magnitude(made_of(*lines, extra="portion: 160 g").portion, "gram") == 160
    wrong = refusal(file_of(*lines, extra="portion: 255 g"))
    assert "comes to 1020 g, heavier than its ingredients can get (642 g" in wrong.what
    said = made_of(*lines).portion_source
    assert "about 546 g in all" in said
    assert "without 97 g of water that boils off or is poured away, 642 g with it" in said
    assert "heavier" in refused("200 g dried green lentils", extra="portion: 350 g").what


# -- what has to be written ------------------------------------------------------------


def test_a_fault_is_told_on_the_line_of_its_ingredient() -> None:
    text = file_of("100 g carrots", "{what: 2 glops of gruel}  # here", "50 g onion")
    wrong = refusal(text)
    assert wrong.where.line == line_of(text)
    assert wrong.where.path == ("batches", "pot", "ingredients", 1)


# -- conservation ----------------------------------------------------------------------


@cache
def published() -> dict[str, dict[str, Decimal]]:
    """Read the figures for 100 g as they stand in the table on disk."""
    found = {}
    for row in store.everyday():
        cells = zip(COLUMNS, row["figures"].replace(TRACE, "0").split(","), strict=False)
        found[row["name"]] = {tag: Decimal(one) for tag, one in cells if one and tag in NUTRIENTS}
    return found


def figure(food: str, tag: str) -> Decimal | None:
    known = published()[food]
    if tag == "CHOAVL" and tag not in known and {"CHOCDF", "FIBTG"} <= set(known):
        return max(Decimal(0), known["CHOCDF"] - known["FIBTG"])
    return known.get(tag)


@cache
def allergens_published() -> dict[str, tuple[frozenset[str], bool]]:
    return {row["key"]: groups_of(row["allergens_eu"]) for row in rows("everyday.csv")}


@cache
def swelling() -> dict[str, Decimal]:
    return {row["raw"]: Decimal(row["factor"]) for row in rows("yields.csv")}


# A name that a region gives to another food: American tomato puree is British passata.
ELSEWHERE = {
    "us": {"tomato puree": "passata"},
    "uk": {
        "plain flour": "plain flour, british",
        "strong white bread flour": "strong white flour, british",
        "wholemeal flour": "wholemeal flour, british",
        "double cream": "double cream, british",
        "single cream": "single cream, british",
        "whipping cream": "whipping cream, british",
    },
}


def test_every_everyday_food_is_read_by_its_own_name() -> None:
    for region, elsewhere in ELSEWHERE.items():
        foods = builtin(region)
        for name in published():
            (part,) = ingredients(f"100 g {name}", foods, "us")
            assert part.food.name == elsewhere.get(name, name), (region, name)


Lines = list[tuple[str, Decimal]]

LINES: st.SearchStrategy[Lines] = st.lists(
    st.tuples(
        st.sampled_from(sorted(published().keys() - ELSEWHERE["us"].keys())),
        st.decimals(Decimal(1), Decimal(500), places=1),
    ),
    min_size=1,
    max_size=9,
)
PORTIONS = st.integers(1, 60)


def batch_of(lines: Lines, portions: int) -> Batch:
    """Read a real week file with a batch of these foods."""
    return made_of(*(f"{grams:f} g {food}" for food, grams in lines), portions=portions)


@settings(max_examples=sized(30, 200))
@given(LINES, PORTIONS)
def test_portions_hold_what_went_in(lines: Lines, portions: int) -> None:
    batch = batch_of(lines, portions)
    for tag in NUTRIENTS:
        known = [(figure(food, tag), grams) for food, grams in lines]
        went_in = sum((one * grams / 100 for one, grams in known if one is not None), Decimal(0))
        if all(one is None for one, _ in known):
            assert tag not in batch.nutrition
            assert tag not in batch.partial
            continue
        came_out = exact(batch.nutrition[tag], tag) * portions
        assert abs(came_out - went_in) <= went_in * Decimal("1e-9"), tag
        assert (tag in batch.partial) == any(one is None for one, _ in known), tag


@settings(max_examples=40)
@given(LINES, PORTIONS)
def test_allergens_are_those_of_all_ingredients(lines: Lines, portions: int) -> None:
    contents = batch_of(lines, portions).contents
    found = [allergens_published()[food] for food, _ in lines]
    union = frozenset().union(*(groups for groups, _ in found))
    assert contents.known == union
    open_ones = {food for food, _ in lines if allergens_published()[food][1]}
    assert set(contents.unsettled) == open_ones
    assert contents.allergens == (None if open_ones else union)


LIQUID = r"^[^,]*\b(water|stock|broth|milk|juice|wine|beer|cider)\b"


@settings(max_examples=40)
@given(LINES, PORTIONS)
def test_portions_weigh_together_what_the_batch_weighs(lines: Lines, portions: int) -> None:
    batch = batch_of(lines, portions)
    whole = poured = Decimal(0)
    for food, grams in lines:
        whole += grams * (swelling().get(food, Decimal(1)) if "dry" in states()[food] else 1)
        poured += grams if re.search(LIQUID, food) else 0
    weighed = magnitude(batch.portion, "gram") * portions
    # A portion is kept to a milligram. Liquid may be taken up, and so count for nothing.
    spare = portions * Decimal("0.0005")
    assert whole - poured - spare <= weighed <= whole + spare
    assert batch.portion_source


@cache
def states() -> dict[str, str]:
    return {row["key"]: row["state"] for row in rows("everyday.csv")}


def alike(contents: Contents) -> Contents:
    """Leave out in which order foods are named."""
    return replace(contents, unsettled=tuple(sorted(contents.unsettled)))


@settings(max_examples=25)
@given(LINES, PORTIONS, st.randoms(use_true_random=False))
def test_the_order_of_the_lines_does_not_matter(
    lines: Lines, portions: int, random: Random
) -> None:
    shuffled = list(lines)
    random.shuffle(shuffled)
    one, other = batch_of(lines, portions), batch_of(shuffled, portions)
    assert one.partial == other.partial
    assert alike(one.contents) == alike(other.contents)
    assert set(one.life.classes) == set(other.life.classes)
    assert (one.life.low, one.life.high) == (other.life.low, other.life.high)
    for tag, amount in one.nutrition.items():
        there = exact(amount, tag)
        assert abs(exact(other.nutrition[tag], tag) - there) <= there * Decimal("1e-9")


@settings(max_examples=25)
@given(LINES, st.integers(1, 30))
def test_twice_the_recipe_in_twice_the_portions_is_the_same_portion(
    lines: Lines, portions: int
) -> None:
    one = batch_of(lines, portions)
    two = batch_of([(food, grams * 2) for food, grams in lines], portions * 2)
    assert one.portion == two.portion
    for tag, amount in one.nutrition.items():
        there = exact(amount, tag)
        assert abs(exact(two.nutrition[tag], tag) - there) <= there * Decimal("1e-9")


@settings(max_examples=25)
@given(
    LINES,
    PORTIONS,
    st.sampled_from(sorted(published())),
)
def test_one_ingredient_more_takes_nothing_away(lines: Lines, portions: int, food: str) -> None:
    before, after = batch_of(lines, portions), batch_of([*lines, (food, Decimal(50))], portions)
    assert before.contents.known <= after.contents.known
    assert set(before.contents.unsettled) <= set(after.contents.unsettled)
    assert before.partial <= after.partial
    assert set(before.cautions) <= set(after.cautions)
    assert after.portion >= before.portion
    slack = 1 - Decimal("1e-9")
    for tag, amount in before.nutrition.items():
        assert exact(after.nutrition[tag], tag) >= exact(amount, tag) * slack


@settings(max_examples=40)
@given(LINES)
def test_the_least_and_the_most_lie_around_the_guess(lines: Lines) -> None:
    found = cooked(Recipe(tuple(read(f"{grams:f} g {food}") for food, grams in lines)))
    assert 0 <= found.least <= found.grams <= found.most


def test_each_food_of_the_table_is_found_by_its_own_name() -> None:
    for food in published():
        (found,) = ingredients(f"7 g {food}", builtin(), "us")
        assert (found.food.name, found.grams) == (food, Decimal(7))


def test_a_thing_that_many_portions_share_is_kept_exactly() -> None:
    # 1 g of salt in 60 portions: what rounds away in one is 60 times as much in all.
    batch = made_of("1 g table salt", portions=60)
    sodium = exact(batch.nutrition["NA"], "NA")
    assert abs(sodium * 60 - table()["table salt"].nutrients["NA"] / 100) < Decimal("1e-9")
    assert ceil(magnitude(batch.portion, "gram") * 1000) == 17
