"""What a plan cautions against: whose dates they are, what is at one's own risk, what spoils.

A caution that is left out is missed by nobody until somebody is ill, so each is asked for in
a week that needs it, and in one that does not.
"""

from __future__ import annotations

import pytest

from models.foods.storage import cautions as known
from models.week.cautions import cautions
from models.words.guidance import at_own_risk

from .kitchen import edited, week_from

FILE = """\
week: {starts: 2026-11-30, guidance: us}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 8 portions, portion: 60 g, nutrition: {}, keeps_as: dal}
larder:
  leaves: {pack: 90 g, keeps_as: cut leafy greens}
dishes: {Bowl: {kind: grain, takes: {beans: 1}, goes_in: {leaves: 30 g}}}
"""
BARE = """\
week: {starts: 2026-11-30}
eaters: {Ada: {}}
larder: {apple: {pack: 1 piece}}
dishes: {Apple: {kind: fruit, goes_in: {apple: 1 piece}}}
"""


def said(text: str, *, thawing: bool = False) -> list[str]:
    """Give the cautions of a week."""
    return list(cautions(week_from(text), thawing=thawing))


def one(found: list[str], start: str) -> str:
    """Give the one caution that begins so."""
    (text,) = [text for text in found if text.startswith(start)]
    return text


def test_what_holds_for_every_week() -> None:
    for text in (FILE, BARE):
        found = said(text)
        assert found[0].startswith("When in doubt, throw it out.")
        assert found[-1].endswith("read every label.")
        assert one(found, "Keep the fridge at 5 °C or below")
        assert one(found, "Reheat to 74 °C")
        assert one(found, "Days are counted as dates.")


@pytest.mark.parametrize(
    ("guidance", "whose"),
    [
        ("us", "United States (USDA FSIS)"),
        ("uk", "United Kingdom (FSA, NHS, Food Standards Scotland)"),
        ("strictest", "the shorter of the United States and the United Kingdom"),
    ],
)
def test_whose_dates_they_are(guidance: str, whose: str) -> None:
    found = said(edited(FILE, "guidance: us", f"guidance: {guidance}"))
    assert f"Use-by dates follow {whose}; your local codes come first." in found


def test_a_week_without_batches_has_no_dates() -> None:
    assert not any("Use-by dates" in text or "How long" in text for text in said(BARE))


def test_what_is_stated_is_told_from_what_was_looked_up() -> None:
    assert not any("not looked up" in text for text in said(FILE))
    text = edited(FILE, "keeps_as: dal", "fridge_life: 1 to 3, life_source: my aunt")
    assert (
        "How long these keep is as your file states, not looked up: beans (3 days: my aunt)."
        in said(text)
    )
    text = edited(FILE, "keeps_as: dal", "fridge_life: 1")
    assert (
        "How long these keep is as your file states, not looked up: beans (1 day: mine)."
        in said(text)
    )


def test_what_is_longer_than_published_is_at_ones_own_risk() -> None:
    assert not any("own risk" in text for text in said(FILE))
    text = edited(FILE, "keeps_as: dal", "keeps_as: dal, fridge_life: 3 to 6, own_risk: yes")
    found = said(text)
    assert found[1] == one(found, "At your own risk: ")
    assert found[1].startswith(
        "At your own risk: beans is planned for up to 6 days. Published: 4 days as soups and "
        "stews: 3 - 4 Days (USDA FSIS"
    )
    assert found[1].endswith(").")


@pytest.mark.parametrize(("days", "kept"), [("5", "5 days"), ("keeps", "without a limit")])
def test_packs_kept_longer_than_published_are_at_ones_own_risk(days: str, kept: str) -> None:
    text = edited(
        FILE,
        "keeps_as: cut leafy greens",
        f"keeps_as: cut leafy greens, opened_life: {days}, own_risk: yes",
    )
    found = one(said(text), "At your own risk: ")
    assert found.startswith(f"At your own risk: leaves is kept {kept} once opened. Published: 2 ")


def test_the_words_beside_a_date_at_ones_own_risk() -> None:
    assert at_own_risk("") == ""
    assert at_own_risk("2 days") == ", at your own risk (published: 2 days)"


def test_thawing_has_a_caution_of_its_own() -> None:
    assert one(said(FILE, thawing=True), "Freeze on the day of cooking")
    assert not any("Freeze on the day" in text for text in said(FILE))


def test_no_fridge_at_lunch_has_a_caution_of_its_own() -> None:
    text = edited(FILE, "eaters:", "elsewhere: [{day: tue, fridge: no}]\neaters:")
    assert one(said(text), "Without a fridge at lunch")
    assert not any("Without a fridge at lunch" in caution for caution in said(FILE))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("keeps_as: dal", "keeps_as: cooked rice"),
        ("keeps_as: dal", "keeps_as: dal, foods: [brown rice]"),
        ("keeps_as: cut leafy greens", "foods: [Rice noodles]"),
        ("keeps_as: dal", "keeps_as: dal, ingredients: ['500 g basmati rice, boiled']"),
    ],
)
def test_rice_has_a_caution_wherever_it_is_named(old: str, new: str) -> None:
    text, source = known()["rice"]
    assert f"{text} ({source})" in said(edited(FILE, old, new))
    assert f"{text} ({source})" not in said(FILE)


def test_rice_is_a_word_and_not_a_part_of_one() -> None:
    text = edited(FILE, "keeps_as: dal", "keeps_as: dal, foods: [licorice, priced ham]")
    assert not any("cereus" in caution for caution in said(text))


def test_foods_that_need_care_bring_their_caution_along() -> None:
    for made, key in (
        ("500 g dried kidney beans", "kidney beans"),
        ("500 g prawns, boiled", "shellfish"),
    ):
        text, source = known()[key]
        recipe = edited(FILE, "keeps_as: dal", f'ingredients: ["{made}"]')
        assert f"{text} ({source})" in said(recipe)
        assert f"{text} ({source})" not in said(FILE)
