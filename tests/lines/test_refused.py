"""Who does what a refusal says is through at the first try."""

from __future__ import annotations

import pytest

from models.foods.lines import Unread, read_line

SETTLED = {
    # what is refused: the amount before what it offers, what it offers
    "1 tbsp worcester sause": ("1 tbsp", "worcestershire sauce"),
    "100g couscouse": ("100g", "couscous, uncooked"),
    "1 tbsp bazil pesto": ("1 tbsp", "basil pesto"),
    "1 x 400g tin bake beans": ("1 x 400g tin", "baked beans in tomato sauce"),
    "200g clotted creme": ("200g", "clotted cream"),
    "200g seitan": ("200g", "wheat gluten"),
    "200g vegan sausages": ("200g", "vegetarian sausage, soya"),
    "200ml hemp milk": ("200ml", "soya milk, unsweetened"),
    "8 asparagus spears, wrapped in prosciutto": ("", "100 g prosciutto"),
    "1 packet gravy mix": ("", "100 g Gravy, onion, dry, mix"),
    "1 pizza": ("", "100 g Pizza, cheese and tomato, retail"),
    "1 sleeve crackers": ("", "100 g wholewheat crackers"),
    "1 plate of rice": ("", "100 g white rice, long-grain, raw"),
    "1 barrel leeks": ("", "100 g leek, raw"),
    "1 wheel of brie": ("", "100 g brie cheese"),
    "1 jar sauce": ("", "100 g soy sauce"),
    "100g powder": ("100g", "cocoa powder"),
    "200g gnocchi": ("", "400 g boiled potatoes"),
    "200g meat": ("", "200 g beef mince"),
    "50g bottarga": ("", "50 g caviar"),
    "1 tsp house spice blend": ("", "1 tsp garam masala"),
    "chicken breasts": ("", "100 g chicken breasts"),
    "cheddar, grated": ("", "100 g cheddar"),
    "1 bottle dressing": ("", "100 g vinaigrette, home-made"),
    "4 turkey haunches": ("", "100 g whole turkey, meat and skin, raw"),
    "200g cactus": ("200g", "nopales, raw"),
}
LEFT_OUT = ("1 Parmesan rind", "1 banana leaf", "1 tsp liquid smoke", "2 marrow bones")
NEVER = {"100g vegan cheese": "cheese", "1 tin bean soup": "bean,"}
"""What no refusal offers: what was to be kept out."""


def _refusal(line: str) -> str:
    with pytest.raises(Unread) as caught:
        read_line(line)
    return caught.value.mend


def test_what_a_refusal_says_to_write_is_read() -> None:
    for line, (amount, offered) in SETTLED.items():
        assert offered in _refusal(line), line
        assert read_line(f"{amount} {offered}").items[0].grams > 0, line


def test_the_food_that_is_offered_by_its_whole_name_is_that_food() -> None:
    for name in (
        "Gravy, onion, dry, mix",
        "Game meat, elk, raw",
        "Pizza, cheese and tomato, retail",
    ):
        assert read_line(f"100 g {name}").items[0].food.name == name
    # In small letters it is what a cook writes: the everyday food.
    assert read_line("1 tsp allspice, ground").items[0].food.name == "allspice"


def test_what_is_lifted_out_again_is_to_be_left_out() -> None:
    for line in LEFT_OUT:
        assert _refusal(line).startswith("Leave"), line


def test_a_refusal_offers_nothing_that_was_kept_out() -> None:
    for line, kept_out in NEVER.items():
        assert kept_out not in _refusal(line), line
