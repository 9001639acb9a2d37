"""A daily need of protein becomes the floor of a lunch, with a note of where it comes from.

The standards themselves are held against what is published in `tests/published`.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from models.week.week import Bound
from models.words.needs import STANDARDS
from models.words.units import magnitude

from .kitchen import week_from


def floor(need: str) -> Bound:
    """Read the floor that a daily need becomes."""
    week = week_from(
        f"""\
week: {{starts: 2026-11-30}}
eaters: {{Ada: {{daily_protein: {{{need}}}}}}}
dishes: {{Snack: {{kind: snack}}}}
"""
    )
    (bound,) = week.eaters["Ada"].floors
    return bound


@pytest.mark.parametrize(
    ("need", "grams", "note"),
    [
        # 0.83 x 64 x 0.35
        (
            "standard: who-2007, body_mass: 64 kg, lunch_share: 35 %",
            "18.592",
            "WHO/FAO/UNU 2007, TRS 935: 0.83 g per kg and day, 64 kg, of which lunch carries 35 %",
        ),
        # 0.75 x 70.5 x 0.4
        (
            "standard: uk-1991, body_mass: 70500 g, lunch_share: 40%",
            "21.15",
            "UK COMA 1991: 0.75 g per kg and day, 70.5 kg, of which lunch carries 40 %",
        ),
        # 1.2 x 80 x 0.333
        (
            "need_per_kg: 1.2 g, body_mass: 80 kg, lunch_share: 33.3 %",
            "31.968",
            "1.2 g per kg and day, 80 kg, of which lunch carries 33.3 %",
        ),
        ("need: 60 g, lunch_share: 35 %", "21", "60 g a day, of which lunch carries 35 %"),
        ("need: 60 g, lunch_share: 100 %", "60", "60 g a day, of which lunch carries 100 %"),
        ("need: 0.06 kg, lunch_share: 0.5 %", "0.3", "60 g a day, of which lunch carries 0.5 %"),
    ],
)
def test_a_daily_need_becomes_a_floor(need: str, grams: str, note: str) -> None:
    bound = floor(need)
    assert magnitude(bound.amount, "gram") == Decimal(grams)
    assert (bound.nutrient, bound.weekly) == ("PROCNT", False)
    assert bound.note == note


@pytest.mark.parametrize("name", STANDARDS)
def test_a_standard_says_its_own_figure(name: str) -> None:
    per_kilo, source = STANDARDS[name]
    assert f"{per_kilo} g per kg and day" in source
    bound = floor(f"standard: {name}, body_mass: 100 kg, lunch_share: 100 %")
    assert magnitude(bound.amount, "gram") == 100 * per_kilo


def test_other_floors_stand_beside_it() -> None:
    week = week_from(
        """\
week: {starts: 2026-11-30}
eaters:
  Ada:
    floors: {fibre: 8 g}
    week_floors: {protein: 200 g}
    daily_protein: {need: 60 g, lunch_share: 50 %}
dishes: {Snack: {kind: snack}}
"""
    )
    found = [(bound.nutrient, bound.weekly) for bound in week.eaters["Ada"].floors]
    assert found == [("FIBTG", False), ("PROCNT", True), ("PROCNT", False)]
