"""What is measured can still be built: a measurement that ends in an error is noticed here."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from models.file.reading import read_week
from models.foods.food import table
from models.words.nutrients import NUTRIENTS
from models.words.units import magnitude

from . import tables
from .__main__ import coarse


def test_a_coarse_week_holds_what_the_week_holds_to_a_thousandth() -> None:
    week = read_week("family")
    rounded = coarse(week)
    assert rounded.lunches == week.lunches
    for name, batch in week.batches.items():
        assert batch.nutrition.keys() & NUTRIENTS.keys() == rounded.batches[name].nutrition.keys()
        for tag, held in rounded.batches[name].nutrition.items():
            unit = NUTRIENTS[tag].unit
            assert magnitude(held, unit) == round(magnitude(batch.nutrition[tag], unit), 3), tag


def test_the_guides_know_how_many_foods_there_are_and_what_is_known_of_them() -> None:
    developers, readme = (
        (Path(__file__).parents[2] / name).read_text(encoding="utf-8")
        for name in ("DEVELOPERS.md", "README.md")
    )
    assert "\n".join(tables.lines()) in developers
    sources = Counter(food.source.partition(" ")[0] for food in table().values())
    for count in (len(table()), sources["USDA"], sources["CoFID"]):
        assert f"{count:,}" in readme, count
