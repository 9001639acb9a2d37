"""Amounts in cups, spoons, pieces and tins, to grams; or a message that says what to write.

Volume becomes mass through a measure of the food, its density or what foods of its kind weigh; a
count through the mass of one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.foods.food import Food, builtin, table
from models.foods.lines import Unread, weigh_amount
from models.foods.measures import CUPS
from models.foods.recipe import Ingredient, ingredients
from tests.cases import each

CUP = Decimal("3785.411784") / 16
"""Millilitres of a US cup."""


def bare(measures: Mapping[str, int] | None = None, density: str | None = None) -> Food:
    """Make a food of which no more is known than what is named."""
    return replace(
        table()["water"],
        name="gruel",
        group="gruels",
        measures={name: Decimal(mass) for name, mass in (measures or {}).items()},
        density=None if density is None else Decimal(density),
    )


def line_of(text: str, cups: str | None = "us") -> Ingredient:
    (line,) = ingredients(text, builtin("us"), cups)
    return line


def not_read(text: str, cups: str | None = "us") -> Unread:
    with pytest.raises(Unread) as caught:
        ingredients(text, builtin("us"), cups)
    assert caught.value.what
    assert caught.value.mend
    return caught.value


def grams(text: str, food: Food, cups: str = "us") -> Decimal:
    return weigh_amount(text, food, cups, "us").grams


@each(
    ("line", "mass"),
    [
        ("2 x 400 g tins chopped tomatoes", 800),
        ("2 x 400g tins of chopped tomatoes", 800),
        ("2 \u00d7 400 g cans chopped tomatoes", 800),
        ("3 x 125 g mozzarella", 375),
        ("1 tin (400 g) chopped tomatoes", 400),
        ("2 tins (400 g) of chopped tomatoes", 800),
        ("1 Packet (200g) tofu", 200),
        ("\u00bd jar (300 g) passata", 150),
    ],
)
def test_so_many_tins_of_so_much_are_that_much(line: str, mass: int) -> None:
    assert line_of(line).grams == mass


REFUSED = [
    # As written; what is wrong; what to write.
    ("", "cannot be read", "400 g onions"),
    ("   ", "cannot be read", "400 g onions"),
    ("-5 g salt", "less than nothing", "above nothing"),
    ("1,5 cups milk", "a comma in its number", "after a point"),
    ("0 g salt", "is nothing", "above nothing"),
    ("0/3 cup milk", "is nothing", "above nothing"),
    ("0 x 400 g tins chickpeas", "is nothing", "above nothing"),
    ("1/0 cup milk", "divides by nothing", "Mend the fraction"),
    ("1 1/0 cups milk", "divides by nothing", "Mend the fraction"),
    ("2 x 1/0 g tins milk", "divides by nothing", "Mend the fraction"),
    ("2 x 400 tins chickpeas", "cannot be read", "400 g onions"),
    ("5", "names no food", "Write what it is"),
    ("1 1/2 1/2 kg carrots", "cannot be read", "1 1/2"),
    ("2 500 g carrots", "cannot be read", "2 x 500 g"),
    ("500 kg carrots", "more than a kitchen holds", "Check the number"),
]


@each(("line", "what", "mend"), REFUSED)
def test_what_is_no_amount_is_refused_with_what_to_write(line: str, what: str, mend: str) -> None:
    wrong = not_read(line)
    assert what in wrong.what
    assert mend in wrong.mend


@settings(max_examples=30)
@given(
    st.text(
        st.one_of(st.sampled_from("0123456789 ./\u00bd\u00bc,x()-gkmLcuptsoz"), st.characters()),
        max_size=60,
    )
)
def test_any_text_is_a_weighed_food_or_a_message(line: str) -> None:
    try:
        parts = ingredients(line, builtin("us"), "us")
    except Unread as wrong:
        assert wrong.what
        assert wrong.mend
    else:
        assert all(part.grams >= 0 for part in parts)


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
    with pytest.raises(Unread):
        line_of(line)


# -- to grams ------------------------------------------------------------------------


@pytest.mark.parametrize("cups", CUPS)
def test_a_mass_is_a_mass_whatever_the_food_and_the_cup(cups: str) -> None:
    assert grams("12.5 g", bare(), cups) == Decimal("12.5")


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
        ("1 cup sifted icing sugar", "100", "cup, sifted"),
        # What stands behind the comma is done once it is measured.
        ("1 cup icing sugar, sifted", "120", "cup of"),
        ("1 cup double cream, whipped", "238", "cup of"),
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
        ("2 slices multigrain bread", "multigrain bread", "56"),
        ("1 head iceberg lettuce", "iceberg lettuce, raw", "539"),
        ("1 small head iceberg lettuce", "iceberg lettuce, raw", "324"),
        ("2 flour tortillas", "flour tortilla", "94"),
    ],
)
def test_so_many_weigh_that_many_times_one(line: str, food: str, weight: str) -> None:
    found = line_of(line)
    assert (found.food.name, found.grams) == (food, Decimal(weight))
    assert found.how.startswith("1 ")


def test_volume_is_mass_through_the_measure_of_its_own_unit_first() -> None:
    food = bare({"cup": 200, "tbsp": 11}, density="0.7")
    assert grams("1 cup", food) == 200
    assert grams("1 tbsp", food) == 11


def test_volume_is_mass_through_density_where_no_measure_is_known() -> None:
    food = bare({"piece": 60}, density="1.03")
    assert weigh_amount("100 mL", food, "us", "us").how == "1 mL = 1.03 g"
    assert grams("100 mL", food) == Decimal(103)
    assert grams("1 cup", food, "label") == Decimal("247.2")
    assert grams("1 tbsp", food, "metric-20") == Decimal("20.6")


@given(st.decimals(Decimal("0.01"), Decimal(999), places=2), st.sampled_from(list(CUPS)))
def test_a_cup_and_its_millilitres_weigh_the_same(number: Decimal, cups: str) -> None:
    food = bare(density="1.03")
    poured = number * CUPS[cups]["cup"] * Decimal("1.03")
    assert abs(grams(f"{number:f} cups", food, cups) - poured) <= poured * Decimal("1e-20")


@each(
    ("line", "what"),
    [
        ("2 rolled oats", "what one piece 'rolled oats' weighs"),
        ("2 olive oil", "what one piece 'olive oil' weighs"),
        ("1 clove carrots", "what one clove 'carrot, raw' weighs"),
    ],
)
def test_what_was_never_weighed_is_not_guessed(line: str, what: str) -> None:
    wrong = not_read(line)
    assert what in wrong.what
    assert "Write its mass in g, as 100 g " in wrong.mend


def test_the_message_lists_the_measures_that_there_are() -> None:
    wrong = not_read("1 clove carrots")
    for name, weight in table()["carrot, raw"].measures.items():
        assert f"{name.replace(':', ', ')} ({weight} g)" in wrong.mend
    assert "It has no measures." in not_read("2 rolled oats").mend


def test_a_food_that_no_table_pours_is_not_guessed() -> None:
    with pytest.raises(Unread, match="one cup 'gruel'"):
        grams("1 cup", bare())


@each("said", ["300 g onions", "onions", "", "2 x 3 days", "plenty of it"])
def test_an_amount_alone_names_no_food(said: str) -> None:
    with pytest.raises(Unread, match="is no amount"):
        weigh_amount(said, table()["onion, raw"], "us", "us")


def test_spoons_need_a_setting_and_grams_do_not() -> None:
    wrong = not_read("1 cup whole milk", None)
    assert "the week does not say which" in wrong.what
    assert "'cups: label'" in wrong.mend
    assert all(name in wrong.mend for name in CUPS)
    assert line_of("244 g whole milk", None).grams == 244
    # A millilitre is one everywhere.
    assert line_of("1 L whole milk", None).grams == 1000 * Decimal(244) / CUP
