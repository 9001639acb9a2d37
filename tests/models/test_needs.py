"""A daily need of protein becomes the floor of a lunch, with a note of where it comes from.

The standards themselves are held against what is published in `tests/published`.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from models.week.week import Bound
from models.words.errors import InputError
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
            "WHO/FAO/UNU 2007, TRS 935: 0.83 g per kg and day for healthy adults, 64 kg, of which "
            "lunch carries 35 %",
        ),
        # 0.75 x 70.5 x 0.4
        (
            "standard: uk-1991, body_mass: 70500 g, lunch_share: 40%",
            "21.15",
            "UK COMA 1991: 0.75 g per kg and day for healthy adults, 70.5 kg, of which lunch "
            "carries 40 %",
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
    standard = STANDARDS[name]
    assert str(standard.per_kilo) in standard.source
    bound = floor(f"standard: {name}, body_mass: 100 kg, lunch_share: 100 %")
    assert magnitude(bound.amount, "gram") == 100 * standard.per_kilo + standard.more
    assert bound.note.startswith(standard.source)
    assert "for " in bound.note
    # Whoever is not simply a healthy adult is told whom to ask first.
    assert ("ask a" in bound.note) == (standard.whom != "healthy adults")


@pytest.mark.parametrize("name", ["prot-age-2013", "espen-2014", "acsm-2016"])
def test_of_a_range_the_lower_end_is_taken_unless_the_file_says_which(name: str) -> None:
    standard = STANDARDS[name]
    low = floor(f"standard: {name}, body_mass: 100 kg, lunch_share: 100 %")
    assert magnitude(low.amount, "gram") == 100 * standard.per_kilo
    assert f"the lower end, {standard.per_kilo} g, is taken" in low.note
    own = floor(f"standard: {name}, need_per_kg: 1.2 g, body_mass: 50 kg, lunch_share: 50 %")
    assert magnitude(own.amount, "gram") == 30
    assert "; 1.2 g is taken" in own.note


REFUSED = [
    ("standard: who-2007, body_mass: 29.9 kg", "29.9 kg is too little", "Ask a dietitian"),
    ("standard: acsm-2016, body_mass: 20 kg", "20 kg is too little", "Ask a dietitian"),
    ("need_per_kg: 1.5 g, body_mass: 12 kg", "12 kg is too little", "write the need that they"),
    ("standard: acsm-2016, need_per_kg: 2.1 g, body_mass: 70 kg", "outside 1.2 to 2.0", "inside"),
    ("standard: espen-2014, need_per_kg: 0.9 g, body_mass: 70 kg", "outside 1.0 to 1.2", "inside"),
    ("standard: who-2007, need_per_kg: 1 g, body_mass: 70 kg", "one way", "just one of them"),
    ("standard: who-2007, need: 50 g, body_mass: 70 kg", "one way", "just one of them"),
]


@pytest.mark.parametrize(("need", "what", "mend"), REFUSED)
def test_what_no_standard_covers_is_refused(need: str, what: str, mend: str) -> None:
    with pytest.raises(InputError) as caught:
        floor(f"{need}, lunch_share: 35 %")
    assert what in caught.value.what
    assert mend in caught.value.mend


def test_thirty_kilograms_and_a_need_in_grams_are_taken() -> None:
    assert floor("standard: who-2007, body_mass: 30 kg, lunch_share: 100 %")
    assert magnitude(floor("need: 19 g, lunch_share: 100 %").amount, "gram") == 19


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
    floors = [(bound.nutrient, bound.weekly) for bound in week.eaters["Ada"].floors]
    assert floors == [("FIBTG", False), ("PROCNT", True), ("PROCNT", False)]
