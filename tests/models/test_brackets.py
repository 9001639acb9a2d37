"""Foods of one's own that differ in nothing but what stands in brackets are different foods."""

from __future__ import annotations

import pytest

from models.words.errors import InputError

from .kitchen import week_from

FOODS = """\
foods:
  relish (hot): {nutrition: {protein: 1 g}, allergens: [nuts], keeps_as: cupboard, families: none}
  relish (mild): {nutrition: {protein: 2 g}, allergens: none, keeps_as: cupboard, families: none}
"""
WEEK = """\
week: {{starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}}
eaters: {{Ada: {{}}}}
{foods}batches:
  pot: {{made: 2026-11-29, yield: 4 portions, ingredients: ["{line}", "300 g carrots"]}}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1}}}}
"""


def food_of(line: str, foods: str = FOODS) -> str:
    recipe = week_from(WEEK.format(foods=foods, line=line)).batches["pot"].recipe
    assert recipe is not None
    return recipe.ingredients[0].food.name


def test_a_line_means_the_one_whose_brackets_it_has() -> None:
    for line, food in (
        ("20 g relish (hot)", "relish (hot)"),
        ("20 g relish (mild)", "relish (mild)"),
        ("20 g hot relish", "relish (hot)"),
        ("20 g relish (mild), chopped", "relish (mild)"),
    ):
        assert food_of(line) == food, line


def test_a_line_without_brackets_means_the_one_without_and_else_is_refused_with_all() -> None:
    bare = "  relish: {nutrition: {protein: 3 g}, keeps_as: cupboard}\n"
    assert food_of("20 g relish", FOODS + bare) == "relish"
    assert food_of("20 g relish (hot)", FOODS + bare) == "relish (hot)"
    # It is never taken for a food of the table.
    with pytest.raises(InputError) as caught:
        food_of("20 g relish")
    assert "relish (hot)" in caught.value.mend
    assert "relish (mild)" in caught.value.mend


def test_brackets_that_no_other_food_has_are_a_remark() -> None:
    one = FOODS.partition("  relish (mild)")[0]
    assert food_of("20 g relish", one) == "relish (hot)"
    assert food_of("20 g relish (from the jar)", one) == "relish (hot)"
