"""Weights of pieces, tins and eggs against what is published, and the table against its sources.

Sources: Regulation (EC) No 589/2008 Article 4 (weight classes of eggs: S under 53 g, M 53 to 63 g,
L 63 to 73 g, XL 73 g and more); USDA AMS 56.218 (least net mass of a dozen in ounces: small 18,
medium 21, large 24, extra large 27, jumbo 30); USDA National Nutrient Database for Standard
Reference, Release 28 (household weights and figures, typed from the release by their numbers; 12 %
of an egg is its shell).
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from models.foods import store
from models.foods.food import numbered, rows
from models.foods.lines import read_line

from .claims import Cases, claim

_EGGS = "Regulation 589/2008: Article 4"
SHELL = Decimal("0.12")
OUNCE = Decimal("28.349523125")
CLASSES = {"small": (0, 53), "medium": (53, 63), "large": (63, 73), "extra-large": (73, 90)}
DOZENS = {"small": 18, "medium": 21, "large": 24, "extra-large": 27, "jumbo": 30}


def _grams(line: str, region: str) -> Decimal:
    cups = "us" if region == "us" else "metric"
    return read_line(line, cups=cups, region=region).items[0].grams


@claim("eggs of the European sizes weigh, in the shell, what their class does", _EGGS, within="0 g")
def test_egg_of_a_european_class_lies_in_it() -> Cases:
    for size, bounds in CLASSES.items():
        yield size, bounds, _grams(f"1 {size} egg", "uk") / (1 - SHELL)


@claim("eggs of the US sizes weigh a twelfth of the least dozen", "AMS 56.218", within="1.5 g")
def test_american_egg_weighs_a_twelfth_of_its_dozen() -> Cases:
    for size, ounces in DOZENS.items():
        yield size, ounces * OUNCE / 12 * (1 - SHELL), _grams(f"1 {size} egg", "us")


# Line of American measures to grams: household weights of SR28, by number.
HOUSEHOLD = {
    "1 cup dried green lentils": 192,  # 16069
    "1 cup long-grain white rice": 185,  # 20444
    "1 medium carrot": 61,  # 11124
    "1 large onion": 150,  # 11282
    "1 cup chopped onion": 160,  # 11282
    "1 clove garlic": 3,  # 11215
    "1 medium banana": 118,  # 09040
    "1 cup raisins": 145,  # 09298, not packed
    "1 tbsp olive oil": 13.5,  # 04053
    "1 tsp salt": 6,  # 02047
    "1 cup whole milk": 244,  # 01077
    "1 cup all-purpose flour": 125,  # 20481
    "1 cup quinoa": 170,  # 20035
    "1 cup chopped walnuts": 117,  # 12155
    "1 tbsp honey": 21,  # 19296
    "juice of 1 lemon": 48,  # 09152
    "juice of 1 lime": 44,  # 09160
    "1 cup grated parmesan": 100,  # 01032
}


@claim("grams in American measures and pieces", "SR28: household weights, by number", within="1 %")
def test_american_measure_is_the_household_weight_of_the_release() -> Cases:
    for line, grams in HOUSEHOLD.items():
        yield line, grams, _grams(line, "us")


# Number in SR28 to energy (kcal), protein, fat and fibre (g) in 100 g, typed from the release.
FIGURES = {
    "16069": (352, "24.63", "1.06", "10.7"),
    "16056": (378, "20.47", "6.04", "12.2"),
    "20444": (365, "7.13", "0.66", "1.3"),
    "01009": (404, "22.87", "33.31", "0.0"),
    "05062": (120, "22.50", "2.62", "0.0"),
    "11124": (41, "0.93", "0.24", "2.8"),
    "12155": (654, "15.23", "65.21", "6.7"),
}


@claim("energy, protein, fat and fibre of foods found by their number", "SR28: by food number")
def test_figures_are_those_of_the_release() -> Cases:
    for number, figures in FIGURES.items():
        row = store.numbered("SR28", number)
        assert row is not None
        held = numbered(int(row["id"])).nutrients
        for tag, figure in zip(("ENERC", "PROCNT", "FAT", "FIBTG"), figures, strict=True):
            yield f"{tag} of {number}", Decimal(figure), held[tag]


def test_every_row_of_both_releases_is_found_by_its_number() -> None:
    assert len(list(store.everyday())) >= 1200
    for source, number, words in (
        ("SR28", "93600", "turtle"),
        ("CoFID", "11-1146", "yorkshire pudding"),
    ):
        row = store.numbered(source, number)
        assert row is not None
        assert words in row["name"].casefold()


@pytest.mark.parametrize("table", ["pieces.csv", "poured.csv", "vague.csv", "tins.csv"])
def test_every_weight_says_where_it_is_from(table: str) -> None:
    for row in rows(table):
        assert row["source"], row
        assert min(Decimal(row[one]) for one in _WEIGHTS if one in row) > 0


_WEIGHTS = ("grams", "millilitres", "whole", "drained")


def test_bigger_sizes_weigh_more() -> None:
    for food in ("egg", "onion", "carrot", "potato", "tomato"):
        for region in ("uk", "us"):
            sizes = [_grams(f"1 {size} {food}", region) for size in ("small", "medium", "large")]
            assert all(one < other for one, other in pairwise(sizes)), (food, region)


def test_a_tin_never_drains_to_more_than_it_holds() -> None:
    for row in rows("tins.csv"):
        assert Decimal(row["drained"]) <= Decimal(row["whole"])
