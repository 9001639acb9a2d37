"""Everyday words for allergens reach the groups of the law, and other words reach none.

A word that is taken for another, or quietly for none, puts on the table what somebody
must not have. The groups themselves are held against the law in `tests/published`.
"""

from __future__ import annotations

import pytest

from models.week.dishes import held_by
from models.words.allergens import (
    EU_FOURTEEN,
    PINE_NUTS,
    US_NINE,
    US_WORDS,
    WORDS,
    allergens,
    say,
    us_nine,
)
from tests.cases import each

from .kitchen import refusal, week_from


@each("group", EU_FOURTEEN)
def test_a_group_stands_for_itself(group: str) -> None:
    assert allergens(group) == frozenset({group})


@each("word", WORDS)
def test_every_word_stands_for_groups_of_the_law(word: str) -> None:
    groups = allergens(word)
    assert groups
    # Pine nuts are in no group of EU law, and reached only by words that mean them.
    if groups - set(EU_FOURTEEN):
        assert word.replace("-", "").replace(" ", "").removesuffix("s") in {"treenut", "pinenut"}
    assert groups <= {*EU_FOURTEEN, PINE_NUTS}


@pytest.mark.parametrize("word", ["Milk", "MILK", " milk ", "Tree  Nuts", "tree\tnuts"])
def test_case_and_spaces_do_not_matter(word: str) -> None:
    assert allergens(word) in (frozenset({"milk"}), frozenset({"nuts", "pine nuts"}))
    assert allergens(word) == allergens(" ".join(word.lower().split()))


@each(
    ("word", "groups"),
    [
        ("egg", {"eggs"}),
        ("dairy", {"milk"}),
        ("soy", {"soya"}),
        ("spelt", {"gluten"}),
        ("walnuts", {"nuts"}),
        ("peanut", {"peanuts"}),
        ("shellfish", {"crustaceans", "molluscs"}),
        ("sulfites", {"sulphites"}),
        ("tree nut", {"nuts", "pine nuts"}),
        ("pine nuts", {"pine nuts"}),
    ],
)
def test_a_word_a_cook_uses(word: str, groups: set[str]) -> None:
    assert allergens(word) == frozenset(groups)


@pytest.mark.parametrize(
    "word", ["", "coconut", "nutmeg", "none", "butternut", "eggplant", "milky"]
)
def test_a_word_that_only_looks_like_one_is_none(word: str) -> None:
    assert allergens(word) is None


def test_peanuts_are_no_tree_nuts() -> None:
    assert allergens("peanuts") == frozenset({"peanuts"})
    assert allergens("nuts") == frozenset({"nuts"})


def test_the_nine_are_named_in_the_words_of_the_fourteen() -> None:
    assert set(US_NINE) <= set(EU_FOURTEEN)
    assert len(set(US_NINE)) == 9


# -- the nine of US law ------------------------------------------------------------------


@each(
    ("groups", "cereals", "nine"),
    [
        (set(), set(), []),
        ({"milk"}, set(), ["milk"]),
        ({"eggs", "fish", "sesame", "peanuts"}, set(), ["eggs", "fish", "peanuts", "sesame"]),
        ({"crustaceans", "soya"}, set(), ["crustacean shellfish", "soybeans"]),
        # Groups of EU law of which US law knows nothing.
        ({"celery", "mustard", "sulphites", "lupin", "molluscs"}, set(), []),
        # Gluten is wheat only where it is of a wheat; rye, barley and oats are none.
        ({"gluten"}, {"wheat"}, ["wheat"]),
        ({"gluten"}, {"spelt"}, ["wheat"]),
        ({"gluten"}, {"khorasan wheat"}, ["wheat"]),
        ({"gluten"}, {"barley"}, []),
        ({"gluten"}, {"rye"}, []),
        ({"gluten"}, {"oats"}, []),
        ({"gluten"}, {"barley", "rye", "oats"}, []),
        ({"gluten"}, {"barley", "spelt"}, ["wheat"]),
        ({"gluten"}, {"wheat", "oats"}, ["wheat"]),
        # Where nobody said of which cereal, it may be wheat.
        ({"gluten"}, set(), ["wheat"]),
        ({"nuts"}, set(), ["tree nuts"]),
        ({"pine nuts"}, set(), ["tree nuts"]),
        ({"nuts", "pine nuts"}, set(), ["tree nuts"]),
        ({"milk", "pine nuts", "gluten"}, {"oats"}, ["milk", "tree nuts"]),
    ],
)
def test_the_nine_of_what_is_in_a_food(
    groups: set[str], cereals: set[str], nine: list[str]
) -> None:
    assert sorted(us_nine(frozenset(groups), frozenset(cereals))) == nine


def test_every_one_of_the_nine_is_named_once() -> None:
    nine = us_nine(frozenset({*EU_FOURTEEN, PINE_NUTS}), frozenset())
    assert sorted(nine) == [
        *("crustacean shellfish", "eggs", "fish", "milk", "peanuts", "sesame", "soybeans"),
        *("tree nuts", "wheat"),
    ]


def test_a_word_of_us_law_means_at_least_its_group() -> None:
    # The reports compare both; whoever avoids the word of US law must be kept from all of it.
    assert set(US_WORDS.values()) <= set(EU_FOURTEEN)
    for word, group in US_WORDS.items():
        assert group in (allergens(word) or ())
    for group in US_NINE:
        (name,) = us_nine(frozenset({group}), frozenset())
        assert US_WORDS.get(name, name) == group


def test_what_is_said_of_a_food_names_the_cereals_of_its_gluten() -> None:
    groups = frozenset({"milk", "gluten", "eggs"})
    assert say(groups, frozenset()) == "eggs, gluten, milk"
    assert say(groups, frozenset({"wheat", "barley"})) == "eggs, gluten (barley, wheat), milk"
    assert say(frozenset({"milk"}), frozenset()) == "milk"
    assert say(frozenset(), frozenset()) == ""


PINE_NUT_FILE = """\
week: {starts: 2026-11-30}
eaters: {Ada: {must_not: {allergens: [WORD]}}}
larder: {pesto: {pack: 1 kg, chilled: no, allergens: [pine nuts]}}
dishes: {Pasta: {kind: pasta, goes_in: {pesto: 20 g}}}
"""


@pytest.mark.parametrize(("word", "kept_away"), [("tree nuts", True), ("nuts", False)])
def test_pine_nuts_are_tree_nuts_and_no_nuts_of_eu_law(word: str, kept_away: bool) -> None:
    week = week_from(PINE_NUT_FILE.replace("WORD", word))
    held = week.larder["pesto"].contents.allergens
    assert held == frozenset({"pine nuts"})
    assert bool(week.eaters["Ada"].avoids_allergens & held) is kept_away


FILE = """\
week: {starts: 2026-11-30}
eaters: {Ada: {must_not: {allergens: [shellfish]}}}
larder: {bisque: {pack: 1 kg, chilled: no, allergens: [Crustacean shellfish]}}
dishes: {Soup: {kind: soup, goes_in: {bisque: 200 g}}}
"""


def test_a_file_says_them_in_any_of_these_words() -> None:
    week = week_from(FILE)
    assert week.eaters["Ada"].avoids_allergens == {"crustaceans", "molluscs"}
    assert week.larder["bisque"].contents.allergens == frozenset({"crustaceans"})


def test_a_word_that_is_none_is_refused_and_never_dropped() -> None:
    fault = refusal(FILE.replace("[shellfish]", "[milk, crustacaens]"))
    assert fault.what == "'crustacaens' is not one of the fourteen allergens of EU law"
    assert fault.mend == "Did you mean 'crustaceans'?"
    assert fault.where.line == 2


MIXED = """\
week: {starts: 2026-11-30, guidance: us}
eaters: {Ada: {}}
foods:
  our mix: {nutrition: {}, allergens: [wheat]}
batches:
  soup:
    made: 2026-11-29
    yield: 2 portions
    ingredients: ["200 g pearl barley, dry", LINE]
    WHOLE
dishes: {Bowl: {kind: soup, takes: {soup: 1}}}
"""


@pytest.mark.parametrize(
    ("line", "whole"),
    [
        ("10 g our mix", ""),
        ("{what: 10 g chicken stock cube, allergens: [celery, wheat]}", ""),
        ("10 g chicken stock cube", "allergens: [celery, wheat]"),
    ],
    ids=["an own food", "a label", "the whole"],
)
def test_wheat_that_is_stated_is_not_lost_beside_barley(line: str, whole: str) -> None:
    # The barley is known to be barley; what the cook states may be of any cereal.
    week = week_from(MIXED.replace("LINE", line).replace("WHOLE", whole))
    held = week.batches["soup"].contents
    assert "gluten" in held.known
    assert "wheat" in us_nine(held.known, held.cereals)
    dish = held_by(week, week.dishes["Bowl"])
    assert "wheat" in us_nine(dish.always, dish.cereals)


def test_barley_alone_is_no_wheat() -> None:
    week = week_from(MIXED.replace("LINE", "300 g water").replace("WHOLE", ""))
    held = week.batches["soup"].contents
    assert (held.known, held.cereals) == (frozenset({"gluten"}), frozenset({"barley"}))
    assert us_nine(held.known, held.cereals) == ()
