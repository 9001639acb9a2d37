"""Everyday words for allergens reach the groups of the law, and other words reach none.

A word that is taken for another, or quietly for none, puts on the table what somebody
must not have. The groups themselves are held against the law in `tests/published`.
"""

from __future__ import annotations

import pytest

from models.allergens import EU_FOURTEEN, US_NINE, WORDS, allergens

from .kitchen import refusal, week_from


@pytest.mark.parametrize("group", EU_FOURTEEN)
def test_a_group_stands_for_itself(group: str) -> None:
    assert allergens(group) == frozenset({group})


@pytest.mark.parametrize("word", WORDS)
def test_every_word_stands_for_groups_of_the_law(word: str) -> None:
    found = allergens(word)
    assert found
    assert found <= set(EU_FOURTEEN)


@pytest.mark.parametrize("word", ["Milk", "MILK", " milk ", "Tree  Nuts", "tree\tnuts"])
def test_case_and_spaces_do_not_matter(word: str) -> None:
    assert allergens(word) in (frozenset({"milk"}), frozenset({"nuts"}))
    assert allergens(word) == allergens(" ".join(word.lower().split()))


@pytest.mark.parametrize(
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


FILE = """\
week: {starts: 2026-11-30}
eaters: {Ada: {must_not: {allergens: [shellfish]}}}
larder: {bisque: {pack: 1 kg, allergens: [Crustacean shellfish]}}
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
