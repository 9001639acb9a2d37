"""Amounts as a cook writes them, from "1 1/2 cups" to grams, or a message that says what to write.

Nothing is guessed: volume becomes mass only through a measure of the food or its density, a
count only through the mass of one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.foods.food import Food, UnknownFood, builtin, table
from models.foods.measures import CUPS, Amount, BadAmount, grams, read_amount
from models.foods.recipe import Ingredient, ingredient
from tests.cases import each

CUP = Decimal("3785.411784") / 16
"""Millilitres of a US cup."""


def refused(line: str) -> BadAmount:
    with pytest.raises(BadAmount) as caught:
        read_amount(line)
    assert caught.value.what
    assert caught.value.mend
    return caught.value


def bare(measures: Mapping[str, int] | None = None, density: str | None = None) -> Food:
    """Make a food of which no more is known than what is named."""
    return replace(
        table()["water"],
        name="gruel",
        measures={name: Decimal(mass) for name, mass in (measures or {}).items()},
        density=None if density is None else Decimal(density),
    )


def line_of(text: str, cups: str = "us") -> Ingredient:
    return ingredient(text, builtin(), cups)


def not_weighed(text: str, cups: str = "us") -> BadAmount:
    """Read a line whose amount is fine and whose food has no measure for it."""
    read_amount(text)
    with pytest.raises(BadAmount) as caught:
        ingredient(text, builtin(), cups)
    return caught.value


# -- reading -------------------------------------------------------------------------

READ = [
    # As written; number, unit, size; the rest.
    ("1 cup dried lentils", "1", "cup", "", "dried lentils"),
    ("2 cups of rolled oats", "2", "cup", "", "rolled oats"),
    ("1 1/2 cups dried lentils", "1.5", "cup", "", "dried lentils"),
    ("1½ cups dried lentils", "1.5", "cup", "", "dried lentils"),
    ("1 ½ cups dried lentils", "1.5", "cup", "", "dried lentils"),
    ("½ cup dried lentils", "0.5", "cup", "", "dried lentils"),
    ("3/4 tsp salt", "0.75", "tsp", "", "salt"),
    ("¾ tsp salt", "0.75", "tsp", "", "salt"),
    ("2¼ tbsp oil", "2.25", "tbsp", "", "oil"),
    ("⅛ tsp chilli", "0.125", "tsp", "", "chilli"),
    ("0.25 cup milk", "0.25", "cup", "", "milk"),
    ("1 Tablespoon olive oil", "1", "tbsp", "", "olive oil"),
    ("2 TBSP olive oil", "2", "tbsp", "", "olive oil"),
    ("1 tbsp. olive oil", "1", "tbsp", "", "olive oil"),
    ("2tbsp olive oil", "2", "tbsp", "", "olive oil"),
    ("3 teaspoons cumin", "3", "tsp", "", "cumin"),
    ("2 fl oz milk", "2", "floz", "", "milk"),
    ("2 fl. oz. of milk", "2", "floz", "", "milk"),
    ("2 fluid ounces milk", "2", "floz", "", "milk"),
    ("400g chickpeas", "400", "g", "", "chickpeas"),
    ("400 g of chickpeas", "400", "g", "", "chickpeas"),
    ("1.2 kg carrots", "1200", "g", "", "carrots"),
    ("1 lb carrots", "453.59237", "g", "", "carrots"),
    ("2 oz carrots", "56.69904625", "g", "", "carrots"),
    ("250 mL milk", "250", "mL", "", "milk"),
    ("250ml milk", "250", "mL", "", "milk"),
    ("1 L milk", "1000", "mL", "", "milk"),
    ("1.5 dl milk", "150", "mL", "", "milk"),
    ("2 eggs", "2", "", "", "eggs"),
    ("½ onion", "0.5", "", "", "onion"),
    ("2 garlic cloves", "2", "", "", "garlic cloves"),
    ("3 cloves of garlic", "3", "clove", "", "garlic"),
    ("3 cloves garlic, crushed", "3", "clove", "", "garlic, crushed"),
    ("2 sticks of celery", "2", "stalk", "", "celery"),
    ("1 large slice wholemeal bread", "1", "slice", "large", "wholemeal bread"),
    ("2 thick slices bread", "2", "", "", "thick slices bread"),
    ("1 large onion, sliced", "1", "", "large", "onion, sliced"),
    ("2 Medium onions", "2", "", "medium", "onions"),
    ("4 pieces falafel", "4", "piece", "", "falafel"),
    ("  1   cup\t dried  lentils ", "1", "cup", "", "dried lentils"),
    ("1\u00a0cup\u00a0dried lentils", "1", "cup", "", "dried lentils"),
]


@each(("line", "number", "unit", "size", "rest"), READ)
def test_an_amount_is_read(line: str, number: str, unit: str, size: str, rest: str) -> None:
    assert read_amount(line) == (Amount(Decimal(number), unit, size), rest)


@pytest.mark.parametrize(
    ("line", "number", "rest"),
    [
        ("2 x 400 g tins chickpeas", "800", "chickpeas"),
        ("2 x 400g tins of chopped tomatoes", "800", "chopped tomatoes"),
        ("2 × 400 g cans chopped tomatoes", "800", "chopped tomatoes"),
        ("3 x 125 g mozzarella", "375", "mozzarella"),
        ("1 tin (400 g) chopped tomatoes", "400", "chopped tomatoes"),
        ("2 tins (400 g) of chopped tomatoes", "800", "chopped tomatoes"),
        ("1 Packet (200g) tofu", "200", "tofu"),
        ("½ jar (300 g) passata", "150", "passata"),
    ],
)
def test_so_many_tins_of_so_much_are_that_much(line: str, number: str, rest: str) -> None:
    assert read_amount(line) == (Amount(Decimal(number), "g", holder=True), rest)


def test_a_bottle_may_hold_a_volume() -> None:
    said = read_amount("2 x 250 mL cartons orange juice")
    assert said == (Amount(Decimal(500), "mL", holder=True), "orange juice")


REFUSED = [
    # As written; what is wrong; what to write.
    ("onions", "no amount in front", "400 g onions"),
    ("", "no amount in front", "400 g onions"),
    ("   ", "no amount in front", "400 g onions"),
    ("a pinch of salt", "no amount in front", "a number and a unit first"),
    ("half an onion", "no amount in front", "a number and a unit first"),
    ("salt to taste", "no amount in front", "a number and a unit first"),
    ("-5 g salt", "no amount in front", "a number and a unit first"),
    ("٣ eggs", "no amount in front", "a number and a unit first"),
    ("1 pinch of salt", "'pinch' is no amount", "1/4 tsp"),
    ("2 handfuls spinach", "'handfuls' is no amount", "Write grams"),
    ("1 dash soy sauce", "'dash' is no amount", "Write grams"),
    ("2-3 eggs", "gives a range", "one amount"),
    ("2 - 3 eggs", "gives a range", "one amount"),
    ("2–3 eggs", "gives a range", "one amount"),
    ("2 to 3 eggs", "gives a range", "one amount"),
    ("1,5 cups milk", "a comma in its number", "after a point"),
    ("1,000 g carrots", "a comma in its number", "after a point"),
    ("0 g salt", "is nothing", "above nothing"),
    ("0 cups milk", "is nothing", "above nothing"),
    ("0/3 cup milk", "is nothing", "above nothing"),
    ("0 x 400 g tins chickpeas", "is nothing", "above nothing"),
    ("1/0 cup milk", "divides by nothing", "Mend the fraction"),
    ("1 1/0 cups milk", "divides by nothing", "Mend the fraction"),
    ("2 x 1/0 g tins milk", "divides by nothing", "Mend the fraction"),
    ("2 x 400 tins chickpeas", "'tins' is no mass", "2 x 400 g tins"),
    ("2 x 3 days tins", "'days' is no mass", "2 x 400 g tins"),
    ("5", "names no food", "Write what it is"),
]


@each(("line", "what", "mend"), REFUSED)
def test_what_is_no_amount_is_refused_with_what_to_write(line: str, what: str, mend: str) -> None:
    wrong = refused(line)
    assert what in wrong.what
    assert mend in wrong.mend


@given(
    whole=st.integers(0, 99),
    over=st.integers(0, 999),
    under=st.integers(1, 999),
    unit=st.sampled_from(["cup", "tbsp", "tsp"]),
)
def test_a_mixed_number_is_its_whole_and_its_fraction(
    whole: int, over: int, under: int, unit: str
) -> None:
    line = f"{whole} {over}/{under} {unit} milk"
    total = Decimal(whole) + Decimal(over) / under
    if total == 0:
        refused(line)
    else:
        assert read_amount(line) == (Amount(total, unit), "milk")


@given(
    thousandths=st.integers(1, 999_999_000),
    unit=st.sampled_from([("g", 1), ("kg", 1000), ("mg", Decimal("0.001"))]),
    space=st.sampled_from(["", " ", "  "]),
)
def test_a_decimal_mass_keeps_all_its_digits(
    thousandths: int, unit: tuple[str, int | Decimal], space: str
) -> None:
    number = Decimal(thousandths) / 1000
    amount, rest = read_amount(f"{number:f}{space}{unit[0]} onions")
    assert (amount, rest) == (Amount(number * unit[1], "g"), "onions")


LETTERS = st.text(
    st.one_of(st.sampled_from("0123456789 ./½¼,x×()-–gkmLcuptsoz"), st.characters()), max_size=60
)


@given(LETTERS)
def test_any_text_is_an_amount_or_a_message(line: str) -> None:
    try:
        amount, _ = read_amount(line)
    except BadAmount as wrong:
        assert wrong.what
        assert wrong.mend
    else:
        assert amount.number > 0


@settings(max_examples=30)
@given(LETTERS)
def test_any_text_is_a_weighed_food_or_a_message(line: str) -> None:
    try:
        found = line_of(line)
    except (BadAmount, UnknownFood) as wrong:
        assert wrong.what
        assert wrong.mend
    else:
        assert found.grams > 0


@each(
    "line",
    [
        "1 cup \x1b[31mlentils",
        "1 cup [red]granite[/]",
        "1 cup {0}{what}%s%n",
        "1 cup ../../etc/passwd",
        "1 cup =HYPERLINK(1)",
        f"1 cup {'x' * 300}",
        f"{'1' * 300} cups milk",
        f"{'1 ' * 150}cups milk",
        f"1 cup {'(' * 150}",
        f"1 cup {',' * 150}",
        "1 cup \ud800",
        "1 cup \u202egranite",
    ],
)
def test_a_hostile_line_is_only_a_food_that_is_not_known(line: str) -> None:
    with pytest.raises((BadAmount, UnknownFood)):
        line_of(line)


# -- to grams ------------------------------------------------------------------------


@pytest.mark.parametrize("cups", CUPS)
def test_a_mass_is_a_mass_whatever_the_food_and_the_cup(cups: str) -> None:
    assert grams(Amount(Decimal("12.5"), "g"), bare(), cups) == (Decimal("12.5"), "")


@pytest.mark.parametrize(
    ("line", "weight", "how"),
    [
        ("1 cup onion, sliced", "115", "cup, sliced"),
        ("1 cup onions, thinly Sliced", "115", "cup, sliced"),
        ("1 cup onion, chopped", "160", "cup, chopped"),
        ("1 cup onion", "160", "cup of"),
        ("1 cup cheddar cheese, diced", "132", "cup, diced"),
        ("1 cup white cabbage, shredded", "70", "cup, shredded"),
        ("1 cup white cabbage, chopped", "89", "cup, chopped"),
        ("1 cup icing sugar, sifted", "100", "cup, sifted"),
        ("1 cup double cream, whipped", "120", "cup, whipped"),
    ],
)
def test_how_it_is_prepared_chooses_the_measure(line: str, weight: str, how: str) -> None:
    found = line_of(line)
    assert found.grams == Decimal(weight)
    assert how in found.how


@each(
    ("line", "food", "weight"),
    [
        ("2 eggs", "egg, whole, fresh", "100"),
        ("1 large egg", "egg, whole, fresh", "50"),
        ("1 medium egg", "egg, whole, fresh", "44"),
        ("2 garlic cloves", "garlic, fresh", "6"),
        ("3 cloves of garlic", "garlic, fresh", "9"),
        ("2 sticks of celery", "celery sticks, raw", "80"),
        ("1 large stalk celery", "celery sticks, raw", "64"),
        ("4 mint leaves", "mint, fresh", "0.60"),
        ("1 onion", "onion, raw", "110"),
        ("½ onion", "onion, raw", "55"),
        ("1 small onion", "onion, raw", "70"),
        ("2 large onions, chopped", "onion, raw", "300"),
        ("1 large slice multigrain bread", "multigrain bread", "41"),
        ("2 slices multigrain bread", "multigrain bread", "52"),
        ("1 head iceberg lettuce", "iceberg lettuce, raw", "539"),
        ("1 small head iceberg lettuce", "iceberg lettuce, raw", "324"),
        ("1 tin chickpeas, tinned, drained", "chickpeas, tinned, drained", "253"),
        ("2 flour tortillas", "flour tortilla", "94"),
    ],
)
def test_so_many_weigh_that_many_times_one(line: str, food: str, weight: str) -> None:
    found = line_of(line)
    assert (found.food.name, found.grams) == (food, Decimal(weight))
    assert found.how.startswith("1 ")


def test_volume_is_mass_through_the_measure_of_its_own_unit_first() -> None:
    food = bare({"cup": 200, "tbsp": 11}, density="0.7")
    assert grams(Amount(Decimal(1), "cup"), food, "us")[0] == 200
    assert grams(Amount(Decimal(1), "tbsp"), food, "us")[0] == 11
    # No teaspoon was weighed: of the cup, and of no other measure.
    assert grams(Amount(Decimal(48), "tsp"), food, "us")[0].quantize(Decimal("1e-9")) == 200


def test_volume_is_mass_through_density_where_nothing_else_is_known() -> None:
    food = bare({"piece": 60}, density="1.03")
    mass, how = grams(Amount(Decimal(100), "mL"), food, "us")
    assert (mass, how) == (Decimal(103), "1 mL = 1.03 g")
    assert grams(Amount(Decimal(1), "cup"), food, "label")[0] == Decimal("247.2")
    assert grams(Amount(Decimal(1), "tbsp"), food, "metric-20")[0] == Decimal("20.6")


@given(st.decimals(Decimal("0.01"), Decimal(999), places=2), st.sampled_from(list(CUPS)))
def test_a_cup_and_its_millilitres_weigh_the_same(number: Decimal, cups: str) -> None:
    food = table()["onion, raw"]
    by_cup = grams(Amount(number, "cup"), food, cups)[0]
    poured = grams(Amount(number * CUPS[cups]["cup"], "mL"), food, cups)[0]
    assert abs(by_cup - poured) <= by_cup * Decimal("1e-20")


@each(
    ("line", "what"),
    [
        ("1 cup rolled oats", "neither a cup nor a density for 'rolled oats'"),
        ("1 tsp rolled oats", "neither a cup nor a density for 'rolled oats'"),
        ("100 mL rolled oats", "neither a cup nor a density for 'rolled oats'"),
        ("2 rolled oats", "what one piece 'rolled oats' weighs"),
        ("1 tin carrots", "what one tin 'carrot, raw' weighs"),
        ("1 bunch parsley", "what one bunch 'parsley leaf, fresh' weighs"),
        ("1 large slice wholemeal bread", "what one large slice 'wholemeal bread' weighs"),
        ("2 olive oil", "what one piece 'olive oil' weighs"),
        ("1 clove carrots", "what one clove 'carrot, raw' weighs"),
    ],
)
def test_what_was_never_weighed_is_not_guessed(line: str, what: str) -> None:
    wrong = not_weighed(line)
    assert what in wrong.what
    assert "Write its mass in g." in wrong.mend


def test_the_message_lists_the_measures_that_there_are() -> None:
    wrong = not_weighed("1 tin carrots")
    for name, weight in table()["carrot, raw"].measures.items():
        assert f"{name.replace(':', ', ')} ({weight} g)" in wrong.mend
    assert "It has no measures." in not_weighed("1 cup rolled oats").mend


def test_a_measure_that_only_one_way_is_known_of_is_taken_and_said() -> None:
    food = bare({"cup:grated": 110})
    mass, how = grams(Amount(Decimal(1), "cup"), food, "us")
    assert mass == 110
    assert "cup, grated" in how


def test_of_several_ways_none_is_guessed() -> None:
    food = bare({"cup:grated": 110, "cup:diced": 140})
    with pytest.raises(BadAmount):
        grams(Amount(Decimal(1), "cup"), food, "us")
    assert grams(Amount(Decimal(1), "cup"), food, "us", "finely diced")[0] == 140


def test_a_size_is_not_made_of_another_size() -> None:
    food = bare({"medium": 100, "slice": 20})
    for size, unit in (("large", ""), ("small", ""), ("large", "slice")):
        with pytest.raises(BadAmount):
            grams(Amount(Decimal(1), unit, size), food, "us")
    assert grams(Amount(Decimal(3), "", "medium"), food, "us")[0] == 300


def test_spoons_need_a_setting_and_grams_do_not() -> None:
    foods = builtin()
    with pytest.raises(BadAmount) as caught:
        ingredient("1 cup whole milk", foods, None)
    assert "the week does not say which" in caught.value.what
    assert "'cups: label'" in caught.value.mend
    assert all(name in caught.value.mend for name in CUPS)
    assert ingredient("244 g whole milk", foods, None).grams == 244
    assert ingredient("2 eggs", foods, None).grams == 100
    # A millilitre is one everywhere.
    litre = ingredient("1 L whole milk", foods, None).grams
    assert litre == 1000 * Decimal(244) / CUP
