"""The list says what is taken from the shelf: pieces where they are counted, what is bought."""

from __future__ import annotations

import re

import optimiser
from optimiser.report.shop import as_markdown, buy, little, name, worth


def test_the_list_says_what_a_cook_takes_from_the_shelf() -> None:
    week = """\
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: us}
eaters: {Ada: {}}
batches:
  stew:
    ingredients:
      [300 g lentils, 3 medium onions, 2 eggs, 500 g kale, 2 tbsp oil, 1 tbsp milk, 1 tbsp milk,
      40 g butter plus a knob]
    yield: 2 portions
  bake:
    ingredients: [1 medium onion, 100 g onions, 2 eggs, 12 g salt]
    yield: 4 portions
    cook: 2 portions
dishes: {Both: {kind: pot, takes: {stew: 1 to 2, bake: 1 to 2}}}
cupboard: {eggs: 50 g}
"""
    answer = optimiser.shop(optimiser.plan(week, reasons=False))
    lines = [line for part in worth(answer) for line in part.lines]
    # Half of the bake is cooked; of onions 90 % is eaten, of kale 61 % (USDA SR28).
    assert {f"{buy(line)} {name(line)}".strip() for line in lines} == {
        "300 g lentils",
        "4 onions (483 g)",
        "3 eggs (120 g)",
        "820 g kale",
        "30 g milk",
        "55 g butter",
    }
    text = " ".join(optimiser.render(answer).split())
    # Onions are raw in the shop: that goes without saying. What a recipe says again is said once.
    assert "read as onion" not in text
    assert "for stew (1 tbsp milk, on 2 lines)" in text
    # A line that names a food twice is one line all the same.
    assert "for stew (40 g butter plus a knob)" in text
    assert not re.search(r"\S  ", as_markdown(answer))
    assert little(answer) == ["salt (6 g)", "oil (2 tbsp)"]


def test_the_list_does_not_say_how_food_is_prepared() -> None:
    week = """\
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: us, currency: EUR}
eaters: {Ada: {}}
batches:
  stew:
    ingredients:
      - 500 g potatoes, peeled and diced
      - 250 g stewing beef, cut small
      - 2 onions, finely chopped
      - 1 lemon, juice only
      - 2 x 400 g tins chickpeas, drained
      - 1 1/2 tsp salt
      - 1/2 tsp salt
      - 1 tbsp olive oil
      - 2 eggs
    yield: 2 portions
dishes: {Stew: {takes: {stew: 1 to 2}}}
prices:
  salt: {pack: 500 g, price: 0.50}
  potatoes: {pack: 2 kg, price: 2.40}
  eggs: {pack: 6 pieces, price: 2}
"""
    answer = optimiser.shop(optimiser.plan(week, reasons=False))
    text = " ".join(optimiser.render(answer).split())
    for shown in ("- 2 onions need", "- 1 lemon read", "- 2 x 400 g tins chickpeas read"):
        assert shown in text
    # What is weighed peeled says why more is bought.
    assert "peeled and diced)" in text
    assert not re.search("chopped|cut small|juice only|drained[)]", text)
    # Spoons are said as spoons, and what is only to be checked is not in the sum.
    assert little(answer) == ["salt (2 tsp)", "olive oil (1 tbsp)"]
    assert "need 2 pieces for stew (2 eggs); 4 pieces over" in text
    assert "EUR 4.40, and EUR 0.50 where you lack what is to be checked; no price" in text
    assert "olive oil" not in text.partition("to pay")[2]
