"""Cups, spoons and ounces against the documents that define them.

A cook's cup is three different cups. A wrong one makes every figure of a recipe 1 to 6 %
wrong while every sum still adds up, so each is written out here a second time.

Sources:

- 21 CFR 101.9(b)(5)(viii), nutrition labelling of food: "a teaspoon means 5 milliliters
  (mL), a tablespoon means 15 mL, a cup means 240 mL, 1 fl oz means 30 mL, and 1 oz in weight
  means 28 g".
- NIST SP 811 (2008), appendix B.8: cup (U.S.) 2.365 882 E+02 mL, tablespoon 1.478 676 E+01
  mL, teaspoon 4.928 922 E+00 mL, fluid ounce (U.S.) 2.957 353 E+01 mL, ounce [Canadian and
  U.K. fluid (Imperial)] 2.841 306 E+01 mL.
- NIST Handbook 44, appendix C: the gallon is 231 cubic inches, of 4 quarts, 8 pints or 16
  cups; a pint has 16 fluid ounces, a fluid ounce 2 tablespoons, a tablespoon 3 teaspoons;
  the inch is 2.54 cm exactly.
- The cup of 250 mL and the tablespoon of 20 mL are common practice; no source is named.
- USDA National Nutrient Database for Standard Reference, Release 26: grams of household
  measures, which are US customary ones.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from models.foods.food import Food, builtin, table
from models.foods.lines import weigh_amount
from models.foods.measures import CUPS, describe_cups
from models.foods.recipe import ingredients
from models.words.units import magnitude, parse

from .claims import Cases, claim

PLAIN = replace(table()["water"], name="plain water", density=Decimal(1), measures={})
"""Of it, a millilitre is a gram."""

US_GALLON = 231 * Decimal("2.54") ** 3
"""Millilitres."""


def millilitres(said: str, cups: str) -> Decimal:
    """Measure by the setting named."""
    return weigh_amount(said, PLAIN, cups, "us").grams


def weighs(line: str, cups: str) -> Decimal:
    return ingredients(line, builtin("us"), cups)[0].grams


# -- the label ---------------------------------------------------------------------


@claim("teaspoon, tablespoon, cup and fluid ounce of a label, in mL", "21 CFR 101.9: (b)(5)(viii)")
def test_label_measures_are_those_of_the_regulation() -> Cases:
    for said, mean in (("1 tsp", 5), ("1 tbsp", 15), ("1 cup", 240), ("1 fl oz", 30)):
        yield said, mean, millilitres(said, "label")


@claim("an ounce and a pound that are weighed, in g, whatever the cup", "Handbook 44: appendix C")
def test_an_ounce_in_weight_is_never_the_28_g_of_the_label() -> Cases:
    # 21 CFR 101.9(b)(5)(viii) says 28 g, a rounding for printing on labels: with 28 g, a pound
    # would lack 5.6 g.
    for cups in CUPS:
        yield f"ounce, {cups}", Decimal("28.349523125"), weighs("1 oz carrots", cups)
        for pound in ("16 oz", "1 lb"):
            yield f"{pound}, {cups}", Decimal("453.59237"), weighs(f"{pound} carrots", cups)


# -- US customary measures -------------------------------------------------------------

PRINTED = [
    # NIST SP 811, appendix B.8, to its seven digits.
    ("1 cup", "236.5882"),
    ("1 tbsp", "14.78676"),
    ("1 tsp", "4.928922"),
    ("1 fl oz", "29.57353"),
]


@claim("US cup, spoons and fluid ounce, in mL, to the digits printed", "SP 811: appendix B.8")
def test_us_measures_round_to_the_digits_of_appendix_b() -> Cases:
    for said, printed in PRINTED:
        digits = Decimal(printed)
        yield said, digits, millilitres(said, "us").quantize(digits)


@claim("US cup, fluid ounce and spoons are shares of 231 cubic inches", "Handbook 44: appendix C")
def test_us_measures_are_exact_shares_of_231_cubic_inches() -> Cases:
    # Only the last digit that a decimal holds may be off.
    assert Decimal("3785.411784") == US_GALLON
    for said, shares in (("1 cup", 16), ("1 fl oz", 128), ("1 tbsp", 256), ("1 tsp", 768)):
        yield said, US_GALLON / shares, millilitres(said, "us")


@pytest.mark.parametrize("cups", ["us", "label"])
@pytest.mark.parametrize(
    ("many", "one"), [("3 tsp", "1 tbsp"), ("16 tbsp", "1 cup"), ("8 fl oz", "1 cup")]
)
def test_spoons_and_ounces_fill_the_cup_of_their_own_system(cups: str, many: str, one: str) -> None:
    # NIST Handbook 44, appendix C; the rounded measures of the label keep the same shares.
    assert abs(millilitres(many, cups) - millilitres(one, cups)) < Decimal("1e-20")


# -- metric measures -----------------------------------------------------------------


@pytest.mark.parametrize(("cups", "cup", "spoon"), [("metric", 250, 15), ("metric-20", 250, 20)])
def test_metric_measures_are_those_of_common_practice(cups: str, cup: int, spoon: int) -> None:
    assert millilitres("1 cup", cups) == cup
    assert millilitres("1 tbsp", cups) == spoon
    assert millilitres("1 tsp", cups) == 5


@claim("the fluid ounce beside metric cups is the imperial one, in mL", "SP 811: appendix B.8")
def test_the_fluid_ounce_beside_metric_cups_is_the_imperial_one() -> Cases:
    # The imperial gallon is 4.546 09 L exactly, 160 fluid ounces.
    for cups in ("metric", "metric-20"):
        ounce = millilitres("1 fl oz", cups)
        assert ounce == Decimal("4546.09") / 160
        yield cups, Decimal("28.41306"), ounce.quantize(Decimal("28.41306"))


@pytest.mark.parametrize("cups", CUPS)
def test_litres_do_not_depend_on_the_cup(cups: str) -> None:
    # The International System of Units (SI Brochure), 9th edition (2019).
    assert millilitres("1 L", cups) == 1000
    assert millilitres("2 dL", cups) == 200
    assert millilitres("5 mL", cups) == 5


def test_the_four_settings_are_printed_with_their_millilitres() -> None:
    assert set(CUPS) == {"label", "us", "metric", "metric-20"}
    assert "21 CFR 101.9" in describe_cups("label")
    assert "cup 240 mL, tablespoon 15 mL, teaspoon 5 mL" in describe_cups("label")
    assert "NIST SP 811" in describe_cups("us")
    assert "cup 236.6 mL, tablespoon 14.8 mL, teaspoon 4.9 mL" in describe_cups("us")
    assert "cup 250 mL, tablespoon 15 mL" in describe_cups("metric")
    assert "cup 250 mL, tablespoon 20 mL" in describe_cups("metric-20")


# -- what fills them -------------------------------------------------------------------

HOUSEHOLD = [
    # SR26 food number and grams of one measure, as published.
    ("1 cup dried green lentils", "16069", "192"),
    ("1 tbsp dried green lentils", "16069", "12"),
    ("1 cup quinoa, boiled", "20137", "185"),
    ("1 cup plain flour", "20481", "125"),
    ("1 cup whole milk", "01077", "244"),
    ("1 fl oz whole milk", "01077", "30.5"),
    ("1 tbsp olive oil", "04053", "13.5"),
    ("1 tsp cumin seeds", "02014", "2.1"),
    ("1 tbsp honey, runny", "19296", "21"),
    ("1 cup cheddar cheese, diced", "01009", "132"),
    ("1 cup sugar, granulated", "19335", "200"),
]


@claim("grams in a US measure of a food", "SR26: household measures, by food number")
def test_a_us_measure_weighs_what_its_source_publishes() -> Cases:
    for line, number, published in HOUSEHOLD:
        assert ingredients(line, builtin("us"), "us")[0].food.source_id == number
        yield line, Decimal(published), weighs(line, "us")


def _measured() -> list[tuple[Food, str, str]]:
    said = {"cup": "cup", "tbsp": "tbsp", "tsp": "tsp", "floz": "fl oz"}
    return [
        (food, unit, word)
        for food in table().values()
        for unit, word in said.items()
        if unit in food.measures
    ]


def test_each_food_fills_a_us_measure_with_exactly_the_grams_of_the_table() -> None:
    measured = _measured()
    assert len(measured) > 300
    for food, unit, word in measured:
        weighed = weigh_amount(f"1 {word}", food, "us", "us").grams
        assert weighed == food.measures[unit], (food.name, unit)


RATIOS = {
    # 21 CFR 101.9(b)(5)(viii) over NIST SP 811, appendix B.8.
    "cup": Decimal(240) / Decimal("236.5882"),
    "tbsp": Decimal(15) / Decimal("14.78676"),
    "tsp": Decimal(5) / Decimal("4.928922"),
    "floz": Decimal(30) / Decimal("29.57353"),
}


def test_a_label_measure_holds_more_by_the_ratio_of_the_two() -> None:
    for food, unit, word in _measured():
        ratio = weigh_amount(f"1 {word}", food, "label", "us").grams / food.measures[unit]
        # Half of the last digit printed is 0.34 millionths of the tablespoon, less of the others.
        assert abs(ratio / RATIOS[unit] - 1) < Decimal("3.5e-7"), (food.name, unit)
        assert ratio.quantize(Decimal("0.0001")) == Decimal("1.0144")


def test_the_other_cups_differ_by_their_millilitres_alone() -> None:
    us = weighs("1 cup dried green lentils", "us")
    for cups, size in (("label", "240"), ("metric", "250"), ("metric-20", "250")):
        share = weighs("1 cup dried green lentils", cups) / us
        assert abs(share - Decimal(size) * 16 / US_GALLON) < Decimal("1e-20")


def test_a_spoon_of_what_only_a_cup_was_weighed_of_is_its_share_of_the_cup() -> None:
    # SR26 20481: a cup of plain flour is 125 g, no spoon is published.
    flour = table()["plain flour"]
    assert "tbsp" not in flour.measures
    assert weighs("1 tbsp plain flour", "us") == Decimal(125) / 16
    assert weighs("1 tsp plain flour", "us") == Decimal(125) / 48
    assert weighs("100 mL plain flour", "us") == 12500 / (US_GALLON / 16)


@pytest.mark.parametrize(("said", "printed"), [("1 lb", "453.5924"), ("1 oz", "28.34952")])
def test_weighed_ounces_round_to_the_digits_of_appendix_b(said: str, printed: str) -> None:
    digits = Decimal(printed)
    assert weighs(f"{said} carrots", "label").quantize(digits) == digits
    assert magnitude(parse(said), "gram").quantize(digits) == digits
