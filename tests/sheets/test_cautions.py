"""A caution stands on every sheet that it belongs to, and never comes from a saved plan file."""

from __future__ import annotations

import json
from html import unescape
from pathlib import Path

import pytest

import optimiser
from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.cautions import bearing, known, on_sheet
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.paging import page
from optimiser.planning import plan_week
from optimiser.report import labels as label_report
from optimiser.report import pack as pack_report
from optimiser.report import prep as prep_report
from optimiser.report.freezer import listing
from optimiser.report.page import html
from optimiser.report.share import text as share_text
from optimiser.sheets.calendar import diary
from optimiser.sheets.labels import labels
from optimiser.sheets.lists.freezer import freezer
from optimiser.sheets.pack import cards
from optimiser.sheets.prep import prep
from optimiser.sheets.share import share
from optimiser.solve.week import solve_week
from optimiser.written import cautions_said
from tests.cli.command import BAD_INPUT, NO_PLAN, run

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: label}
eaters: {Ada: {}}
batches:
  trout and rice:
    made: 2026-11-29
    yield: 400 g
    portion: 100 g
    ingredients: [100 g smoked salmon, "250 g white rice, long-grain, boiled", 50 g honey]
    steps:
      - {do: mix, lasts: 5 min}
  bean pot:
    made: 2026-11-29
    yield: 400 g
    portion: 100 g
    ingredients: ["160 g dried cannellini beans", 240 g water]
    steps:
      - {do: put to soak, lasts: 5 min}
      - {do: boil hard, lasts: 30 min, rings: 1}
      - {do: cook in the slow cooker, lasts: 8 h to 12 h, hands: no}
dishes:
  Bowl: {kind: a, takes: {trout and rice: 1 to 4}, microwave: yes}
  Pot: {kind: b, takes: {bean pot: 1 to 4}}
place: {microwave: yes}
"""
SHORT = {one.key: one.short for one in known("us")}
LONG = {one.key: one.text for one in known("us")}


@pytest.fixture(scope="module")
def week() -> Week:
    return week_of(parse("week.yaml", WEEK))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_plan_says_all_of_them_in_full(week: Week) -> None:
    text = flat(optimiser.render(plan_week(week), full=True))
    for key in ("rice", "listeria", "honey", "slow cooker", "cooling", "reheating", "general"):
        assert flat(LONG[key]) in text, key
    assert flat(LONG["raw egg"]) not in text


def test_a_label_says_those_of_its_batch_in_a_few_words(week: Week) -> None:
    _, solved = solve_week(week)
    assert solved.packed is not None
    found = labels(week, solved.packed)
    for label in found.labels:
        of_trout = label.batch == "trout and rice"
        for key in ("rice", "listeria", "honey"):
            assert (SHORT[key] in label.cautions) == of_trout
        assert SHORT["reheating"] in label.cautions
    # Where nothing can be heated nothing is said of it, but for what may be eaten elsewhere.
    cold = week_of(
        parse("w", WEEK.replace("place: {microwave: yes}", "").replace(", microwave: yes", ""))
    )
    _, solved = solve_week(cold)
    assert solved.packed is not None
    for label in labels(cold, solved.packed).labels:
        spare = label.portions > sum(label.counts)
        assert (SHORT["reheating"] in label.cautions) == spare
    assert SHORT["honey"] in flat(label_report.text(found))


def test_a_card_says_those_of_its_lunch_and_how_hot(week: Week) -> None:
    _, solved = solve_week(week)
    assert solved.packed is not None
    found = cards(week, solved.packed)
    for card in found.cards:
        assert (SHORT["listeria"] in card.cautions) == (card.dish == "Bowl")
        assert bool(card.eat) == (card.dish == "Bowl")
        assert all("74 °C (165 °F), only once" in one for one in card.eat)
        assert not any("heat it until" in one for one in card.eat)
    assert any(card.dish == "Bowl" for card in found.cards)
    assert SHORT["listeria"] in flat(pack_report.text(found))


def test_the_prep_day_says_those_of_its_batches_and_of_the_night(week: Week) -> None:
    (day,) = prep(week).days
    assert f"trout and rice: {bearing_text(week, 'rice')}" in day.cautions
    assert f"bean pot: {bearing_text(week, 'slow cooker')}" in day.cautions
    (night,) = [one for one in day.cautions if "through the night" in one]
    assert night.startswith("bean pot: ")
    text = flat(prep_report.text(prep(week), chart=False))
    assert flat(LONG["slow cooker"]) in text
    assert flat(LONG["night"]) in text


def bearing_text(week: Week, key: str) -> str:
    return next(one.sourced for one in bearing(week) if one.key == key)


def test_what_cooks_by_day_needs_no_word_on_the_night() -> None:
    for steps in ("lasts: 2 h, hands: no", "lasts: 3 h, hands: no, rings: 1"):
        content = WEEK.replace("lasts: 8 h to 12 h, hands: no", steps)
        (day,) = prep(week_of(parse("week.yaml", content))).days
        assert day.possible
        assert not any("through the night" in one for one in day.cautions)
    # Beans that only soak through the night are not cooked.
    boil = "\n      - {do: boil the beans, lasts: 60 min, hands: no, rings: 1}"
    soak = WEEK.replace("cook in the slow cooker", "soak the beans")
    soak = soak.replace("8 h to 12 h, hands: no}", "8 h to 12 h, hands: no}" + boil)
    (day,) = prep(week_of(parse("week.yaml", soak))).days
    assert not any("through the night" in one for one in day.cautions)


def test_raw_egg_without_a_step_that_cooks_it_is_said_on_every_sheet() -> None:
    boil = "{do: boil the rice, lasts: 15 min, rings: 1}\n      - {do: stir the egg in"
    content = WEEK.replace("100 g smoked salmon", "100 g egg").replace("{do: mix", boil)
    egg = week_of(parse("week.yaml", content))
    for sheet in ("plan", "prep", "label", "pack", "page", "share"):
        assert any(one.key == "raw egg" for one in on_sheet(bearing(egg), sheet)), sheet
    (day,) = prep(egg).days
    assert any("No step cooks what is raw" in one for one in day.cautions)
    # Of pasteurised egg the prep day asks nothing; who eats of it is told all the same.
    label = "{what: 100 g egg, ready_to_eat: yes}"
    egg = week_of(parse("week.yaml", WEEK.replace("100 g smoked salmon", label)))
    (day,) = prep(egg).days
    assert not any("No step cooks what is raw" in one for one in day.cautions)
    assert any(one.key == "raw egg" for one in bearing(egg))


def test_the_page_and_the_recipes_say_them_too(week: Week) -> None:
    plan = plan_week(week)
    _, solved = solve_week(week)
    assert solved.packed is not None
    shown = html(page(plan, week, solved.packed, verdicts=False, sliders=False))
    for key in ("rice", "honey", "night"):
        assert LONG[key].replace("'", "&#39;") in shown, key
    assert SHORT["listeria"] in shown
    said = cautions_said(bearing(week, solved.packed), sheet="share")
    shared = share_text(share(week, solved.packed, said))
    assert flat(LONG["honey"]) in flat(shared)


@pytest.mark.parametrize("written", [[], ["Reheating is not needed."]])
def test_what_a_plan_file_says_of_cautions_is_not_believed(
    tmp_path: Path, week: Week, written: list[str]
) -> None:
    made = json.loads(plan_week(week).model_dump_json())
    made["cautions"] = written
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(made), encoding="utf-8")
    output = tmp_path / "week.html"
    for words in (
        ("share", file),
        ("page", file, "-o", output, "--no-sliders", "--no-verdicts"),
        ("audit", file),
    ):
        result = run(*words, folder=tmp_path)
        assert result.code == (NO_PLAN if words[0] == "audit" else BAD_INPUT), words
        assert "other cautions bear on this week" in flat(result.out + result.err)
        assert "Reheating is not needed" not in result.out + result.err
    assert not output.exists()


# A week with every food that is cautioned against, in a place without a fridge, for a household of
# which one is pregnant: each caution has to stand wherever it bears.
HAZARDS = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: uk, cups: metric}
place: {fridge: no, cold_packs: 2, microwave: yes}
eaters:
  Ada: {daily_protein: {standard: iom-2005-pregnancy, body_mass: 60 kg, lunch_share: 1 %}}
batches:
  fried rice:
    made: 2026-11-29
    yield: 2 portions
    freezer: 2 portions
    ingredients: [300 g white rice, 3 eggs]
    steps: [{do: boil the rice, lasts: 15 min, rings: 1}, {do: fry, lasts: 9 min, rings: 1}]
  bean pot:
    made: 2026-11-29
    yield: 2 portions
    keeps_as: stew
    ingredients: [200 g dried kidney beans]
    steps:
      - {do: boil hard, lasts: 30 min, rings: 1}
      - {do: slow cooker, lasts: 8 h, hands: no}
  tiramisu:
    made: 2026-11-29
    yield: 2 portions
    fridge_life: 2
    ingredients: [{what: 3 eggs, ready_to_eat: yes}, 200 g mascarpone]
    steps: [{do: whisk and layer, lasts: 20 min}]
  garlic oil:
    made: 2026-11-29
    yield: 2 portions
    fridge_life: 2
    ingredients: [20 g garlic, 60 g olive oil]
    steps: [{do: cover with oil, lasts: 5 min}]
  prawns:
    made: 2026-11-29
    yield: 2 portions
    ingredients: ["200 g king prawns, raw", 20 g honey]
    steps: [{do: fry, lasts: 5 min, rings: 1}]
larder:
  brie: {food: brie cheese, pack: 100 g, opened_life: 2}
  sprouts: {food: "beansprouts, raw", pack: 100 g, opened_life: 1, ready_to_eat: yes}
  melon: {food: "honeydew melon, raw", pack: 100 g, opened_life: 1}
dishes:
  All:
    kind: a
    takes: {fried rice: 1, bean pot: 1, tiramisu: 1, garlic oil: 1, prawns: 1}
    goes_in: {brie: 30 g, sprouts: 9 g, melon: 30 g}
    microwave: yes
"""
BEARS = {
    "rice": "fried rice",
    "shellfish": "prawns",
    "garlic or herbs in oil": "garlic oil",
    "raw egg": "tiramisu",
    "honey": "prawns",
    "kidney beans": "bean pot",
    "slow cooker": "bean pot",
    "listeria": "brie",
    "sprouts": "sprouts",
    "cut melon": "melon",
    "raw apart": "fried rice",
    "egg": "fried rice",
}
"""Key of a caution to a batch or item that it is about."""


def test_each_caution_stands_wherever_it_bears() -> None:
    week = week_of(parse("week.yaml", HAZARDS))
    _, solved = solve_week(week)
    assert solved.packed is not None
    packed = solved.packed
    row = {caution.key: caution for caution in bearing(week, packed)}
    assert {key: of for key, of in BEARS.items() if of not in row[key].of} == {}
    (day,) = prep(week, packed).days
    shown = html(page(plan_week(week), week, packed, verdicts=False, sliders=False))
    sheets = {
        "plan": flat(" ".join(cautions_said(bearing(week, packed)))),
        "share": flat(
            share_text(share(week, packed, cautions_said(bearing(week, packed), sheet="share")))
        ),
        "page": flat(unescape(shown)),
        "prep": flat(" ".join(day.cautions)),
    }
    short = {
        "label": flat(label_report.text(labels(week, packed))),
        "pack": flat(pack_report.text(cards(week, packed))),
    }
    wrong = [
        (key, sheet)
        for key in BEARS
        for sheet in row[key].sheets & (sheets.keys() | short.keys())
        # Nobody labels or cooks what is bought.
        if BEARS[key] in week.batches or sheet not in {"label", "prep"}
        if flat(row[key].text) not in sheets.get(sheet, "")
        and row[key].short not in short.get(sheet, "")
    ]
    assert wrong == []
    for sheet in ("plan", "share", "page"):
        assert f"tiramisu: {row['raw egg'].text}" in sheets[sheet], sheet
        assert "Ada's need of protein is that of pregnancy: leave" in sheets[sheet], sheet
    assert "Ada (pregnancy): leave it out unless steaming hot" in short["pack"]
    # The calendar reminds of them on the day of cooking and when lunch is packed.
    entries = diary(week, packed).entries
    cook, pack = (
        next(entry.text for entry in entries if entry.kind == kind) for kind in ("cook", "pack")
    )
    assert f"fried rice: {row['rice'].short}" in cook
    for key in ("rice", "raw egg", "listeria", "honey", "shellfish", "cut melon", "sprouts"):
        assert f"mind: {row[key].short}" in pack, key
    assert row["rice"].short in flat(freezer_text(week, packed))


def freezer_text(week: Week, packed: PackedWeek) -> str:
    return " ".join(listing(freezer(week, packed)).notes)
