"""What is measured can still be built: a measurement that ends in an error is noticed here."""

from __future__ import annotations

from models.file.reading import read_week
from models.words.nutrients import NUTRIENTS
from models.words.units import magnitude

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
