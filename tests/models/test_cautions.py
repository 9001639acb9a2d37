"""What a plan cautions against: whose dates they are, what is at one's own risk, what spoils.

A caution that is left out is missed by nobody until somebody is ill, so each is asked for in
a week that needs it, and in one that does not.
"""

from __future__ import annotations

import pytest

from models.week.cautions import Caution, SheetName, bearing, keys_of, known, on_sheet
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.words.errors import InputError
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
larder: {apple: {pack: 1 piece, chilled: no}}
dishes: {Apple: {kind: fruit, goes_in: {apple: 1 piece}}}
"""


def said(text: str, sheet: SheetName = "plan") -> list[str]:
    """Give the cautions of a week."""
    return [caution.sourced for caution in on_sheet(bearing(week_from(text)), sheet)]


def row(key: str, guidance: str = "us") -> Caution:
    """Give a row of the table."""
    return next(caution for caution in known(guidance) if caution.key == key)


def keys(*lines: str, more: str = "") -> tuple[str, ...]:
    """Name the cautions of a batch made of ingredients that come to about 200 g."""
    listed = ", ".join(f'"{line}"' for line in lines)
    old = "yield: 8 portions, portion: 60 g, nutrition: {}, keeps_as: dal"
    new = f"yield: 4 portions, portion: 50 g, ingredients: [{listed}], keeps_as: dal{more}"
    return keys_of(week_from(edited(FILE, old, new)).batches["beans"])


def one(texts: list[str], start: str) -> str:
    """Give the one caution that begins so."""
    (text,) = [text for text in texts if text.startswith(start)]
    return text


def test_what_holds_for_every_week() -> None:
    for text in (FILE, BARE):
        cautions = said(text)
        assert cautions[0].startswith("What you doubt, do not eat.")
        assert "read every label" in cautions[-1]
        assert one(cautions, "Keep the fridge at 5 °C or below")
        assert one(cautions, "Reheat to 74 °C")
        assert one(cautions, "Days are counted as dates.")


@pytest.mark.parametrize(
    ("guidance", "whose"),
    [
        ("us", "United States (USDA FSIS)"),
        ("uk", "United Kingdom (FSA, NHS, Food Standards Scotland)"),
        ("strictest", "the shorter of the United States and the United Kingdom"),
    ],
)
def test_whose_dates_they_are(guidance: str, whose: str) -> None:
    cautions = said(edited(FILE, "guidance: us", f"guidance: {guidance}"))
    assert f"Use-by dates follow {whose}; your local codes come first." in cautions


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
    cautions = said(text)
    assert cautions[1] == one(cautions, "At your own risk: ")
    assert cautions[1].startswith(
        "At your own risk: beans is planned for up to 6 days. Published: 4 days as soups and "
        "stews: 3 - 4 Days (USDA FSIS"
    )
    assert cautions[1].endswith(").")


@pytest.mark.parametrize(("days", "kept"), [("5", "5 days"), ("keeps", "past the week")])
def test_packs_kept_longer_than_published_are_at_ones_own_risk(days: str, kept: str) -> None:
    text = edited(
        FILE,
        "keeps_as: cut leafy greens",
        f"keeps_as: cut leafy greens, opened_life: {days}, own_risk: yes",
    )
    caution = one(said(text), "At your own risk: ")
    assert caution.startswith(f"At your own risk: leaves is kept {kept} once opened. Published: 2 ")


def test_the_words_beside_a_date_at_ones_own_risk() -> None:
    assert at_own_risk("") == ""
    assert at_own_risk("2 days") == ", at your own risk (published: 2 days)"


def test_thawing_has_a_caution_of_its_own() -> None:
    text = edited(FILE, "keeps_as: dal", "keeps_as: dal, freezes: yes")
    week = week_from(text)
    lunches = [
        PackedLunch("Ada", day, "Bowl", (PackedPortions("beans", 1, thawed),), {}, {})
        for day, thawed in zip(week.days, (0, 0, 0, 0, 1), strict=True)
    ]
    frozen = PackedWeek(tuple(lunches), ())
    assert any(caution.key == "thawed" for caution in bearing(week, frozen))
    fresh = PackedWeek(tuple(lunches[:4]), ())
    assert not any(caution.key == "thawed" for caution in bearing(week, fresh))


def test_no_fridge_at_lunch_has_a_caution_of_its_own() -> None:
    text = edited(FILE, "eaters:", "elsewhere: [{day: tue, fridge: no}]\neaters:")
    assert one(said(text), "Without a fridge at lunch")
    assert not any("Without a fridge at lunch" in caution for caution in said(FILE))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("keeps_as: dal", "keeps_as: cooked rice"),
        ("keeps_as: dal", "keeps_as: dal, foods: [brown rice]"),
        ("keeps_as: cut leafy greens", "chilled: yes, foods: [Rice noodles]"),
        ("keeps_as: dal", "keeps_as: dal, ingredients: ['500 g basmati rice, boiled']"),
    ],
)
def test_rice_has_a_caution_wherever_it_is_named(old: str, new: str) -> None:
    text, source = row("rice").text, row("rice").source
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
        text, source = row(key).text, row(key).source
        recipe = edited(FILE, "keeps_as: dal", f'ingredients: ["{made}"]')
        assert f"{text} ({source})" in said(recipe)
        assert f"{text} ({source})" not in said(FILE)


# -- every caution bears somewhere, and stands on every sheet that it belongs to ------------


@pytest.mark.parametrize(
    ("food", "key"),
    [
        ("200 g smoked salmon", "listeria"),
        ("200 g smoked mackerel", "listeria"),
        ("200 g brie", "listeria"),
        ("200 g blue cheese", "listeria"),
        ("200 g ham", "listeria"),
        ("200 g liver pate", "listeria"),
        ("200 g honey", "honey"),
        ("200 g egg", "egg"),
        ("200 g prawns, boiled", "shellfish"),
        ("200 g alfalfa sprouts, raw", "sprouts"),
        ("200 g red kidney beans, dry", "kidney beans"),
        ("200 g dried cannellini beans", "kidney beans"),
        ("200 g chicken liver, raw", "liver"),
        ("200 g swordfish, raw", "large fish"),
        ("200 g white rice, long-grain, boiled", "rice"),
    ],
)
def test_a_food_brings_its_caution(food: str, key: str) -> None:
    assert key in keys(food)


@pytest.mark.parametrize(
    "food",
    [
        "200 g salmon, farmed, baked",
        "200 g cheddar cheese",
        "200 g chicken breast, skinless, grilled",
        "200 g cottage cheese",
        "200 g egg, hard-boiled",
        "200 g red kidney beans, boiled",
        "200 g carrot",
        "200 g tuna in water, tinned, drained",
        # Honey mustard is another name of it, and not what was asked for.
        "200 g mustard",
    ],
)
def test_a_food_that_is_safe_brings_none(food: str) -> None:
    assert keys(food) == ()


def test_garlic_or_herbs_lie_in_oil_only_where_there_is_much_of_it() -> None:
    much = ("120 g olive oil", "20 g garlic", "60 g basil")
    little = ("5 g olive oil", "10 g garlic", "190 g carrot")
    assert "garlic or herbs in oil" in keys(*much)
    assert "garlic or herbs in oil" not in keys(*little)


STEPS = ", steps: [{do: mix, lasts: 5 min}, {do: bake, lasts: 9 min, hands: no, oven: 200 °C}]"


def test_raw_egg_that_nothing_cooks_is_told_from_egg_that_is_baked() -> None:
    assert keys("200 g egg", more=STEPS) == ("raw apart", "egg")
    raw = STEPS.replace(", oven: 200 °C", "")
    assert {"raw egg", "still raw"} <= set(keys("200 g egg", more=raw))
    # A mousse: the fire was under the chocolate, and the egg goes in once that is out.
    mousse = STEPS.replace("{do: mix,", "{do: melt the chocolate, rings: 1,").replace(
        "bake, lasts: 9 min, hands: no, oven: 200 °C", "fold in the beaten eggs, lasts: 9 min"
    )
    assert {"raw egg", "still raw"} <= set(
        keys("200 g egg", "100 g dark chocolate, 70 per cent and over", more=mousse)
    )
    # Where nobody said how it is cooked, nothing is claimed.
    assert keys("200 g egg") == ("raw apart", "egg")


SLOW = ", steps: [{do: cook in the slow cooker, lasts: 8 h, hands: no}]"


@pytest.mark.parametrize(
    ("food", "bears"),
    [
        # FDA, Bad Bug Book, 2nd edition 2012, phytohaemagglutinin, as quoted by Kansas State
        # University Extension (2017): red kidney beans most, white kidney (cannellini) beans a
        # third of it; soak five hours, boil thirty minutes in fresh water.
        ("red kidney beans, dry", True),
        ("dried cannellini beans", True),
        ("white beans, dry", True),
        ("haricot beans, dry", True),
        ("black turtle beans, dry", True),
        ("red kidney beans, tinned, drained", False),
        ("white beans, boiled", False),
        ("chickpeas, dry", False),
        ("mung beans, dry", False),
    ],
)
def test_beans_in_a_slow_cooker(food: str, bears: bool) -> None:
    if bears:
        # It is not hot enough alone: a step has to boil them before.
        with pytest.raises(InputError) as caught:
            keys(f"200 g {food}", "50 g water", more=SLOW)
        assert "a slow cooker does not get hot enough" in caught.value.what
        assert "'- {do: boil hard in fresh water, lasts: 30 min, rings: 1}'" in caught.value.mend
    for first in ("boil hard, lasts: 30 min, rings: 1", "boil 30 minutes in a pot, lasts: 30 min"):
        both = SLOW.replace("[{do", f"[{{do: {first}}}, {{do")
        assert ("slow cooker" in keys(f"200 g {food}", "50 g water", more=both)) == bears
    boiled = SLOW.replace("cook in the slow cooker", "boil hard").replace("no}", "no, rings: 1}")
    assert "slow cooker" not in keys(f"200 g {food}", more=boiled)


def test_nothing_raw_stands_in_a_slow_cooker_before_it_begins() -> None:
    # FDA and USDA FSIS: perishable food is kept cold until it is cooked, from memory.
    steps = "steps: [{do: add the chicken, lasts: 5 min}, {do: cook on low (slow cooker), lasts: "
    more = f"yield: 8 portions, {steps}4 h, hands: no}}]"
    week = week_from(edited(FILE, "yield: 8 portions", more))
    gaps = [step.gap for step in week.batches["beans"].steps]
    assert gaps == [(0, None), (0, 0)]


def test_tinned_beans_by_a_short_name_are_boiled() -> None:
    line = "2 (15 oz) cans great northern beans, drained"
    assert "slow cooker" not in keys(line, "50 g water", more=SLOW)


def test_what_is_bought_but_not_packed_is_not_cautioned_against() -> None:
    text = edited(
        FILE,
        "  leaves: {",
        "  spread: {food: smoked salmon, pack: 100 g, opened_life: 1}\n  leaves: {",
    )
    week = week_from(text)
    assert any(caution.key == "listeria" for caution in bearing(week))
    assert not any(caution.key == "listeria" for caution in bearing(week, PackedWeek((), ())))


@pytest.mark.parametrize(
    ("guidance", "heat", "other"),
    [
        # USDA FSIS: 165 °F; UK FSA: steaming hot, 70 °C for 2 minutes (seen in quotation).
        ("us", "74 °C", "70 °C"),
        ("uk", "70 °C in the middle for 2 minutes", "74 °C"),
        # Of two the hotter.
        ("strictest", "74 °C", "70 °C"),
    ],
)
def test_reheating_is_said_as_the_guidance_has_it_and_once_only(
    guidance: str, heat: str, other: str
) -> None:
    cautions = said(edited(FILE, "guidance: us", f"guidance: {guidance}"))
    reheat = one(cautions, "Reheat ")
    assert heat in reheat
    assert "only once" in reheat
    assert not any(other in text for text in cautions)


def test_a_need_worked_out_is_said_to_be_for_healthy_people() -> None:
    need = "daily_protein: {standard: uk-1991, body_mass: 64 kg, lunch_share: 5 %}"
    text = edited(FILE, "Ada: {}", f"Ada: {{{need}}}")
    assert any("for people in good health" in caution for caution in said(text))
    assert not any("for people in good health" in caution for caution in said(FILE))


def test_every_row_has_all_it_needs_and_a_sheet() -> None:
    sheets = {"plan", "glance", "prep", "label", "pack", "page", "share"}
    for guidance in ("us", "uk", "strictest"):
        rows = known(guidance)
        assert len({row.key for row in rows}) == len(rows)
        for caution in rows:
            assert caution.short
            assert caution.text
            assert caution.source
            assert caution.sheets
            assert caution.sheets <= sheets
    assert {caution.key for caution in known("us")} == {caution.key for caution in known("uk")}
    assert known("") == known("strictest")


def test_what_heat_does_not_mend_is_left_out_in_pregnancy_whatever_is_done() -> None:
    text = """\
week: {starts: 2026-11-30, days: [mon], guidance: uk}
eaters: {Ada: {daily_protein: {standard: STANDARD, body_mass: 65 kg, lunch_share: 5 %}}}
batches:
  pate: {made: 2026-11-29, yield: 2 portions, ingredients: ["200 g chicken liver", "100 g ham"]}
dishes: {Toast: {kind: a, takes: {pate: 1}}}
"""
    for standard, called in (
        ("who-2007-pregnancy-2", "leave pate out, and ask"),
        ("prot-age-2013", "leave pate out unless steaming hot"),
    ):
        week = week_from(text.replace("STANDARD", standard))
        (told,) = [caution.text for caution in bearing(week) if caution.key == "at risk"]
        assert called in told, standard
