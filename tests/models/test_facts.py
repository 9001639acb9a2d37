"""What the tables say of a week's food: how long it keeps, at whose risk, what it costs.

A date that is too late makes somebody ill. So what is published is never stretched in
silence: whoever wants more days says so, and every sheet that shows the date says it too.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from models.answers.plan import PlanFile
from models.file.carried import entry_of
from models.file.food_entries import FoodEntry
from models.file.tables import own_food
from models.foods.facts import KEEPS_FROM
from models.foods.food import Food, table
from models.foods.storage import LEFTOVERS, cautions, storage
from models.week.week import Batch, LarderItem
from models.words.errors import InputError
from models.words.guidance import GUIDANCES
from optimiser.checking import check as understood
from optimiser.checking import remarks
from optimiser.planning import plan_week
from optimiser.report import check, plan
from optimiser.rules import rules_of
from tests.cases import each

from .kitchen import edited, line_of, refusal, week_from

MADE = date(2026, 11, 29)
DAYS = "mon, tue, wed, thu, fri, sat, sun"

COOKED = """\
week: {{starts: 2026-11-30, days: [{days}], guidance: {guidance}, cups: us}}
eaters: {{Ada: {{}}}}
batches:
  pot:
    made: 2026-11-29
    yield: {portions} portions
    portion: 50 g
{entry}
larder:
  apple: {{food: apple, pack: 1 piece, price: 0.40}}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1}}}}
  Apple: {{kind: fruit, goes_in: {{apple: 1 piece}}}}
"""
APPLE = "  Apple: {kind: fruit, goes_in: {apple: 1 piece}}\n"
CHICKPEAS = 'ingredients: ["200 g chickpeas, boiled"]'
STATED = "nutrition: {protein: 4 g}"


def cooked(
    *entry: str, guidance: str = "us", days: str = "mon, tue, wed", portions: int = 4
) -> str:
    """Write a week with one batch."""
    lines = "\n".join(f"    {line}" for line in entry)
    return COOKED.format(guidance=guidance, days=days, entry=lines, portions=portions)


def batch_of(*entry: str, guidance: str = "us") -> Batch:
    return week_from(cooked(*entry, guidance=guidance)).batches["pot"]


def refused(*entry: str, guidance: str = "us") -> InputError:
    """Refuse a week for a fault on the line marked "# here"."""
    text = cooked(*entry, guidance=guidance)
    wrong = refusal(text)
    assert wrong.where.line == line_of(text, "# here" if "# here" in text else "  pot:")
    return wrong


def planned(text: str) -> PlanFile:
    made = plan_week(week_from(text), reasons=False)
    assert made.status == "optimal"
    return made


def flat(text: str) -> str:
    """Give a paper as one line, so that it does not matter where lines were broken."""
    return " ".join(text.split())


# -- whose dates -----------------------------------------------------------------------


def test_whose_dates_they_are_is_never_assumed() -> None:
    text = cooked(CHICKPEAS).replace(", guidance: us", "")
    wrong = refusal(text)
    assert wrong.where.line == 1
    assert "whose fridge lives the dates follow" in wrong.what
    assert all(name in wrong.mend for name in GUIDANCES)
    assert "never assumed" in wrong.mend


def test_a_week_without_batches_needs_no_guidance() -> None:
    week = week_from(
        "week: {starts: 2026-11-30}\neaters: {Ada: {}}\n"
        "larder: {apple: {food: apple, pack: 1 piece}}\n"
        "dishes: {Apple: {kind: fruit, goes_in: {apple: 1 piece}}}\n"
    )
    assert week.guidance == ""


@pytest.mark.parametrize(("guidance", "low", "high"), [("us", 3, 4), ("uk", 2, 2)])
def test_a_range_is_a_wish_at_its_lower_end_and_a_limit_at_its_upper(
    guidance: str, low: int, high: int
) -> None:
    batch = batch_of(CHICKPEAS, guidance=guidance)
    assert batch.fresh_until == MADE + timedelta(days=low)
    assert batch.use_by == MADE + timedelta(days=high)
    assert (batch.life.low, batch.life.high, batch.life.stated) == (low, high, False)


def test_the_wish_of_a_mixture_is_the_earliest_of_all_in_it() -> None:
    # Rice alone 4 to 6 days in the US, what it is mixed with 3 to 4.
    rice = batch_of('ingredients: ["200 g white rice, long-grain, boiled"]')
    assert (rice.life.low, rice.life.high) == (4, 6)
    mixed = batch_of('ingredients: ["100 g white rice, long-grain, boiled", 100 g onion]')
    assert (mixed.life.low, mixed.life.high) == (3, 4)


def test_the_paper_shows_both_dates_and_who_says_so() -> None:
    text = cooked(CHICKPEAS)
    shown = flat(check.text(understood(week_from(text))))
    assert "dates by United States (USDA FSIS)" in shown
    assert "Wed 2 Dec Thu 3 Dec" in shown
    assert "keeps 3 to 4 days (3 - 4 Days (USDA FSIS storage times), as cooked pulses)" in shown
    data = understood(week_from(text)).model_dump(mode="json")["batches"]["pot"]
    assert (data["fresh_until"], data["use_by"]) == ("2026-12-02", "2026-12-03")
    assert data["storage_classes"] == ["cooked pulses"]
    assert data["own_risk"] == ""


# -- days that are stated --------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "low", "high"),
    [("0", 0, 0), ("1", 1, 1), ("2", 2, 2), ("1 to 3", 1, 3), ("3 to 4", 3, 4), ("4", 4, 4)],
)
def test_to_keep_it_shorter_is_free(said: str, low: int, high: int) -> None:
    batch = batch_of(CHICKPEAS, f"fridge_life: {said}")
    assert (batch.life.low, batch.life.high) == (low, high)
    assert (batch.life.stated, batch.life.risk, batch.life.source) == (True, "", "mine")
    named = batch_of(CHICKPEAS, f"fridge_life: {said}", "life_source: my aunt")
    assert named.life.source == "my aunt"


@pytest.mark.parametrize(
    ("guidance", "said", "published"),
    [
        ("us", "5", "5 days is longer than is published, 4 days as cooked pulses"),
        ("us", "3 to 5", "5 days is longer than is published, 4 days as cooked pulses"),
        ("us", "60", "60 days is longer than is published, 4 days as cooked pulses"),
        ("uk", "3", "3 days is longer than is published, 2 days as cooked pulses"),
        ("strictest", "3", "3 days is longer than is published, 2 days as cooked pulses"),
    ],
)
def test_to_keep_it_longer_is_refused_with_who_publishes_what(
    guidance: str, said: str, published: str
) -> None:
    wrong = refused(CHICKPEAS, f"fridge_life: {said}  # here", guidance=guidance)
    assert wrong.what.startswith(published)
    assert storage()["cooked pulses"].fridge(guidance) is not None
    assert wrong.what.endswith("storage times)" if guidance == "us" else "48 hours)")
    assert f"Write {2 if guidance != 'us' else 4} or less" in wrong.mend
    assert "'own_risk: yes'" in wrong.mend


def test_rice_is_kept_a_day_in_the_uk_whatever_its_file_says() -> None:
    rice = 'ingredients: ["200 g white rice, long-grain, raw", 100 g onion]'
    wrong = refused(rice, "keeps_as: vegan leftovers", "fridge_life: 2  # here", guidance="uk")
    assert "1 day as cooked rice" in wrong.what
    assert "Write 1 or less" in wrong.mend


def test_days_stated_at_no_risk_are_not_said_to_be() -> None:
    batch = batch_of(CHICKPEAS, "fridge_life: 4", "own_risk: yes")
    assert batch.life.risk == ""
    unstated = batch_of(CHICKPEAS, "own_risk: yes")
    assert (unstated.life.high, unstated.life.risk) == (4, "")


RISKY = cooked(CHICKPEAS, "fridge_life: 3 to 6", "own_risk: yes", "life_source: my aunt")
PUBLISHED = "4 days as cooked pulses: 3 - 4 Days (USDA FSIS storage times)"


def test_at_ones_own_risk_it_may_be_kept_longer() -> None:
    batch = week_from(RISKY).batches["pot"]
    assert (batch.life.low, batch.life.high) == (3, 6)
    assert batch.use_by == MADE + timedelta(days=6)
    assert batch.life.risk == PUBLISHED


def test_every_paper_that_shows_the_date_says_at_whose_risk() -> None:
    week = week_from(RISKY)
    said = f"at your own risk (published: {PUBLISHED})"

    shown = flat(check.text(understood(week)))
    assert f"keeps 3 to 6 days (my aunt), {said}" in shown
    assert f"eat it by Sat 5 Dec, {said}" in shown
    assert "At your own risk: pot keeps longer here" in shown

    data = understood(week).model_dump(mode="json")
    assert data["batches"]["pot"]["own_risk"] == PUBLISHED
    (rule,) = [one for one in data["rules"] if "eat it by" in one["sentence"]]
    assert rule["sentence"].endswith(said)
    assert rule["source"] == "my aunt"
    assert any(PUBLISHED in remark for remark in data["remarks"])

    made = planned(RISKY)
    assert made.batches[0].own_risk == PUBLISHED
    assert made.batches[0].use_by == MADE + timedelta(days=6)
    (caution,) = [one for one in made.cautions if one.startswith("At your own risk")]
    assert "pot is planned for up to 6 days" in caution
    assert PUBLISHED in caution

    paper = flat(plan.text(made, full=True))
    assert "use by Sat 5 Dec at your own risk" in paper
    assert PUBLISHED in paper


def test_a_clash_of_rules_says_at_whose_risk() -> None:
    entry = ('ingredients: ["350 g chickpeas, boiled"]', "fridge_life: 5", "own_risk: yes")
    text = edited(cooked(*entry, days=DAYS, portions=7), APPLE, "")
    made = plan_week(week_from(text))
    assert made.status == "infeasible"
    (rule,) = [one for one in made.conflict if "eat it by" in one.sentence]
    assert PUBLISHED in rule.sentence
    assert "at your own risk" in flat(plan.text(made, full=True))


def test_no_paper_speaks_of_risk_where_there_is_none() -> None:
    text = cooked(CHICKPEAS, "fridge_life: 2")
    made = planned(text)
    assert made.batches[0].own_risk == ""
    for paper in (
        check.text(understood(week_from(text))),
        plan.text(made, full=True),
        made.model_dump_json(),
    ):
        assert "own risk" not in paper


# -- guidance without a figure -----------------------------------------------------------

SLAW = (STATED, "keeps_as: coleslaw")


def test_a_guidance_that_publishes_nothing_is_not_filled_in_from_the_other() -> None:
    assert storage()["coleslaw"].uk is None
    wrong = refused(*SLAW, guidance="uk")
    assert "uk publishes no fridge life for 'coleslaw'" in wrong.what
    assert "'fridge_life: 2' with 'life_source'" in wrong.mend
    assert "'strictest'" in wrong.mend
    for guidance, days in (("us", (3, 5)), ("strictest", (2, 2))):
        batch = batch_of(*SLAW, guidance=guidance)
        assert (batch.life.low, batch.life.high) == days


def test_days_are_stated_then_and_held_to_what_anybody_publishes() -> None:
    assert batch_of(*SLAW, "fridge_life: 5", guidance="uk").life.risk == ""
    wrong = refused(*SLAW, "fridge_life: 6  # here", guidance="uk")
    assert "5 days as coleslaw: 3 - 5 Days (USDA FSIS" in wrong.what
    risky = batch_of(*SLAW, "fridge_life: 6", "own_risk: yes", guidance="uk")
    assert "5 days as coleslaw" in risky.life.risk


@pytest.mark.parametrize("guidance", list(GUIDANCES))
@pytest.mark.parametrize("name", ["sandwiches, filled", "home-canned food, opened"])
def test_what_nobody_publishes_has_to_be_said(guidance: str, name: str) -> None:
    assert storage()[name].any_fridge() is None
    if guidance == "strictest":
        # It takes what is made at home for leftovers.
        assert batch_of(STATED, f"keeps_as: {name}", guidance=guidance).life.high == 2
        return
    wrong = refused(STATED, f"keeps_as: {name}", guidance=guidance)
    assert f"{guidance} publishes no fridge life for {name!r}" in wrong.what
    batch = batch_of(STATED, f"keeps_as: {name}", "fridge_life: 1", guidance=guidance)
    assert (batch.life.high, batch.life.source) == (1, "mine")


@pytest.mark.parametrize(("guidance", "days"), [("us", 4), ("uk", 1), ("strictest", 1)])
def test_a_batch_of_which_nothing_is_said_keeps_as_short_as_anything_cooked(
    guidance: str, days: int
) -> None:
    batch = batch_of(STATED, guidance=guidance)
    assert batch.life.high == days
    assert not batch.life.stated
    cooked = [one for name, one in storage().items() if name.startswith(("cooked", "leftovers"))]
    lives = [life.high for one in cooked if (life := one.fridge(guidance, cooked=True))]
    assert days == min(lives)


def test_what_may_be_anything_is_held_to_leftovers() -> None:
    batch = batch_of(STATED, "fridge_life: 4")
    assert (batch.life.high, batch.life.classes) == (4, (LEFTOVERS,))
    assert "4 days as leftovers" in refused(STATED, "fridge_life: 5  # here").what
    assert "2 days as leftovers" in refused(STATED, "fridge_life: 3  # here", guidance="uk").what


def test_a_class_that_is_none_is_refused_with_the_nearest() -> None:
    wrong = refused(STATED, "keeps_as: cooked ryce  # here")
    assert "no storage class named 'cooked ryce'" in wrong.what
    assert wrong.mend == "Did you mean 'cooked rice'?"


# -- once opened -------------------------------------------------------------------------

BOUGHT = """\
week: {{starts: 2026-11-30, days: [mon, tue, wed]{guidance}, cups: us}}
eaters: {{Ada: {{}}}}
larder:
  it:
    pack: 100 g
    price: 1
{entry}
dishes:
  Bowl: {{kind: bowl, goes_in: {{it: 20 g}}}}
variety: {{most_times: 3}}
"""


def bought(*entry: str, guidance: str = "us") -> str:
    lines = "\n".join(f"    {line}" for line in entry)
    whose = f", guidance: {guidance}" if guidance else ""
    return BOUGHT.format(guidance=whose, entry=lines)


def item_of(*entry: str, guidance: str = "us") -> LarderItem:
    return week_from(bought(*entry, guidance=guidance)).larder["it"]


def not_bought(*entry: str, guidance: str = "us") -> InputError:
    text = bought(*entry, guidance=guidance)
    wrong = refusal(text)
    assert wrong.where.line == line_of(text, "# here" if "# here" in text else "  it:")
    return wrong


TINNED = 'food: "chickpeas, tinned, drained"'
RICE = 'food: "white rice, long-grain, boiled"'


@each(
    ("food", "guidance", "days", "said"),
    [
        (TINNED, "us", 4, "3 - 4 Days (USDA FSIS storage times 372), as opened tin"),
        (TINNED, "uk", 4, "USDA FSIS storage times 372"),
        (TINNED, "", 4, "USDA FSIS storage times 372"),
        ("keeps_as: hummus, shop-bought", "us", 7, "as hummus, shop-bought"),
        ("keeps_as: opened tin of tuna", "us", 2, "as opened tinned fish"),
        ("food: honeydew melon", "us", 4, "2 - 4 Days"),
        # What is bought cooked keeps as if it were cooked at home.
        (RICE, "us", 6, "as cooked rice"),
        (RICE, "uk", 1, "as cooked rice"),
        (RICE, "strictest", 1, "as cooked rice"),
        (RICE, "", 1, "as cooked rice"),
        ("food: hard-boiled egg", "us", 7, "as hard-boiled eggs"),
        ("food: hard-boiled egg", "uk", 2, "as hard-boiled eggs"),
    ],
)
def test_an_opened_pack_keeps_as_published(food: str, guidance: str, days: int, said: str) -> None:
    item = item_of(food, guidance=guidance)
    assert (item.opened_life, item.risk) == (days, "")
    assert said in item.opened_source


@each("guidance", ["us", "uk", "strictest", ""])
@each("food", ["apple", "pear", "clementine", "carrots", "honeydew melon"])
def test_whole_raw_food_is_never_opened_but_melon_is_cut(food: str, guidance: str) -> None:
    item = item_of(f"food: {food}", guidance=guidance)
    assert item.opened_life == (4 if "melon" in food else None)


@pytest.mark.parametrize("food", ["tahini", "pumpkin seeds", "cheddar", "wholemeal bread"])
def test_what_keeps_two_weeks_outlasts_the_week(food: str) -> None:
    item = item_of(f"food: {food}")
    kept = storage()[table()[item.recipe.foods[0].name].storage] if item.recipe else None
    assert kept is not None
    life = kept.opened or kept.us
    assert life is not None
    assert life.high >= KEEPS_FROM
    assert item.opened_life is None
    assert item_of(f"food: {food}", "opened_life: keeps").risk == ""


@pytest.mark.parametrize(("days", "wasted"), [(13, True), (14, False), (40, False)])
def test_a_pack_that_keeps_two_weeks_is_wasted_nowhere(days: int, wasted: bool) -> None:
    text = bought("chilled: no", f"opened_life: {days}")
    sentence = f"an opened pack of it (100 g) keeps {days} days"
    assert (sentence in flat(check.text(understood(week_from(text))))) == wasted
    made = planned(text)
    assert made.left_over.grams == (40 if wasted else 0)
    assert ("it, opened" in flat(plan.text(made, full=True))) == wasted
    assert [pack.opened_life for pack in made.packs] == [days if wasted else None]


@pytest.mark.parametrize("days", [0, 1, 3, 4])
def test_to_keep_a_pack_shorter_is_free(days: int) -> None:
    item = item_of(TINNED, f"opened_life: {days}")
    assert (item.opened_life, item.risk, item.opened_source) == (days, "", "")


@pytest.mark.parametrize(
    ("food", "said", "what", "most"),
    [
        (TINNED, "5", "5 days once opened is longer than is published, 4 days as opened tin", 4),
        (TINNED, "keeps", "keeps once opened is longer than is published, 4 days as opened", 4),
        ("food: tahini", "30", "30 days once opened is longer than is published, 21 days", 21),
        (RICE, "7", "7 days once opened is longer than is published, 6 days as cooked rice", 6),
        (RICE, "keeps", "keeps once opened is longer than is published, 6 days", 6),
    ],
)
def test_to_keep_a_pack_longer_is_refused(food: str, said: str, what: str, most: int) -> None:
    wrong = not_bought(food, f"opened_life: {said}  # here")
    assert wrong.what.startswith(what)
    assert f"Write {most} or less" in wrong.mend
    assert "'own_risk: yes'" in wrong.mend


def test_what_nobody_looked_up_is_as_its_file_says() -> None:
    for said, days in (("3", 3), ("keeps", None)):
        assert item_of(f"opened_life: {said}", "chilled: no").opened_life == days
    assert item_of("nutrition: {protein: 4 g}", "chilled: no").opened_life is None


@pytest.mark.parametrize("food", ["smoked salmon", "whole milk"])
def test_what_spoils_and_nobody_publishes_has_to_be_said(food: str) -> None:
    wrong = not_bought(f"food: {food}")
    assert "nothing is published on how long" in wrong.what
    assert "'opened_life: 2' (days, its label's)" in wrong.mend
    item = item_of(f"food: {food}", "opened_life: 2")
    assert (item.opened_life, item.risk) == (2, "")


def test_every_paper_says_what_is_kept_open_at_whose_risk() -> None:
    text = bought(TINNED, "opened_life: 6", "own_risk: yes")
    week = week_from(text)
    published = "4 days as opened tin, low acid: 3 - 4 Days (USDA FSIS storage times 372)"
    assert (week.larder["it"].opened_life, week.larder["it"].risk) == (6, published)
    data = understood(week).model_dump(mode="json")
    assert data["larder"]["it"]["own_risk"] == published
    assert data["larder"]["it"]["opened_life"] == 6
    said = f"at your own risk (published: {published})"
    assert any(rule.sentence().endswith(said) for rule in rules_of(week))
    assert any(published in remark for remark in remarks(week))
    assert said in flat(check.text(understood(week)))
    made = planned(text)
    (caution,) = [one for one in made.cautions if one.startswith("At your own risk")]
    assert f"it is kept 6 days once opened. Published: {published}" in caution
    assert "At your own risk: it is kept 6 days once opened" in flat(plan.text(made, full=True))


def test_a_pack_that_is_said_to_keep_is_at_ones_own_risk_too() -> None:
    text = bought(TINNED, "opened_life: keeps", "own_risk: yes")
    item = week_from(text).larder["it"]
    assert item.opened_life is None
    assert "4 days as opened tin" in item.risk
    assert any("kept past the week once opened" in one for one in planned(text).cautions)


# -- freshness ---------------------------------------------------------------------------


def test_what_is_eaten_after_the_lower_end_is_counted_and_shown() -> None:
    # Made on Sunday, fresh for a day, good for four: Tuesday, Wednesday and Thursday are
    # 1, 2 and 3 days late, and no other dish is there.
    text = cooked(CHICKPEAS, "fridge_life: 1 to 4", days="mon, tue, wed, thu")
    text = edited(text, APPLE, "")
    made = planned(text)
    (line,) = [one for one in made.priorities if one.name == "freshness"]
    assert (line.value, line.bound, line.proven) == (6, 6, True)
    assert (made.batches[0].best_by, made.batches[0].use_by) == (
        date(2026, 11, 30),
        date(2026, 12, 3),
    )
    paper = flat(plan.text(made, full=True))
    assert "days past best-by 6 days" in paper
    assert "best by Mon 30 Nov, use by Thu 3 Dec" in paper


def test_the_published_range_is_a_wish_too() -> None:
    text = cooked(CHICKPEAS, days="mon, tue, wed, thu", portions=2)
    made = planned(text)
    (line,) = [one for one in made.priorities if one.name == "freshness"]
    # Two portions and four days: neither has to wait for Thursday.
    assert line.value == 0
    assert [one.dish for one in made.lunches][3] == "Apple"


def test_nothing_is_late_where_all_of_it_is_fresh() -> None:
    made = planned(cooked(CHICKPEAS, portions=3))
    (line,) = [one for one in made.priorities if one.name == "freshness"]
    assert line.value == 0
    assert "days past best-by 0 days" in flat(plan.text(made, full=True))


# -- cautions ----------------------------------------------------------------------------

OF_FOODS = (
    *("rice", "sprouts", "cut melon", "shellfish", "home-canned", "garlic or herbs in oil"),
    *("kidney beans", "slow cooker", "egg", "raw egg", "listeria", "honey"),
)


@pytest.mark.parametrize(
    ("entry", "key"),
    [
        ('ingredients: ["200 g white rice, long-grain, boiled"]', "rice"),
        ('ingredients: ["200 g alfalfa sprouts, raw"]', "sprouts"),
        ('ingredients: ["200 g honeydew melon, raw"]', "cut melon"),
        ('ingredients: ["200 g mussels, boiled"]', "shellfish"),
        ('ingredients: ["100 g red kidney beans, dry", 100 g water]', "kidney beans"),
        (f'{STATED}\n    keeps_as: "home-canned food, opened"\n    fridge_life: 2', "home-canned"),
        (f"{STATED}\n    keeps_as: rice salad", "rice"),
        (f"{STATED}\n    fridge_life: 2\n    foods: [fried rice]", "rice"),
    ],
)
def test_a_plan_cautions_against_what_is_in_it_and_says_who_does(entry: str, key: str) -> None:
    text, source = cautions()[key]
    made = planned(cooked(entry, days="mon, tue", portions=2))
    assert any(f"{text} ({source})" in caution for caution in made.cautions)
    assert flat(text) in flat(plan.text(made, full=True))
    others = {cautions()[one][0] for one in OF_FOODS} - {text}
    assert not any(one.startswith(tuple(others)) for one in made.cautions)


@pytest.mark.parametrize(
    ("food", "key"),
    [
        ("alfalfa sprouts, raw", "sprouts"),
        ("mussels, boiled", "shellfish"),
        ("honeydew melon", "cut melon"),
        ("white rice, long-grain, boiled", "rice"),
    ],
)
def test_a_plan_cautions_against_what_is_bought(food: str, key: str) -> None:
    text, source = cautions()[key]
    assert f"it: {text} ({source})" in planned(bought(f'food: "{food}"')).cautions


# -- what it costs -----------------------------------------------------------------------


def priced(prices: str, *lines: str, more: str = "") -> Batch:
    entry = "ingredients: [" + ", ".join(f'"{line}"' for line in lines) + "]"
    text = cooked(entry, *([more] if more else [])).replace("    portion: 50 g\n", "")
    return week_from(text + f"prices: {{{prices}}}\n").batches["pot"]


def test_a_batch_costs_what_goes_into_it() -> None:
    batch = priced(
        "chickpeas boiled: {pack: 400 g, price: 2}, olive oil: {pack: 500 mL, price: 6}",
        "200 g chickpeas, boiled",
        "50 mL olive oil",
    )
    assert (batch.cost, batch.unpriced) == (Decimal("1.6"), ())


def test_the_cheapest_pack_counts() -> None:
    packs = "[{pack: 100 g, price: 1}, {pack: 1 kg, price: 4}, {pack: 500 g, price: 3}]"
    assert priced(f"tahini: {packs}", "200 g tahini").cost == Decimal("0.8")


def test_a_pack_is_weighed_with_what_is_thrown_away() -> None:
    # SR26 11352: a quarter of a potato. A kilogram bought is 750 g that go in.
    price = "potatoes: {pack: 1 kg, price: 1.50}"
    assert priced(price, "750 g potatoes").cost == Decimal("1.5")
    assert priced(price, "1000 g potatoes, as bought").cost == Decimal("1.5")


def test_a_pack_by_the_piece_is_what_the_pieces_weigh() -> None:
    assert priced("eggs: {pack: 6 pieces, price: 2.40}", "3 eggs").cost == Decimal("1.2")
    assert priced("eggs: {pack: 6, price: 2.40}", "150 g eggs").cost == Decimal("1.2")


def test_water_is_free_and_what_has_no_price_is_named() -> None:
    batch = priced("onions: {pack: 1 kg, price: 1}", "1 L water", "90 g onion", "10 g tahini")
    assert batch.unpriced == ("tahini",)
    assert batch.cost == Decimal("0.1")
    nothing = priced("onions: {pack: 1 kg, price: 1}", "10 g tahini", "5 g tahini")
    assert (nothing.cost, nothing.unpriced) == (Decimal(0), ("tahini",))


def test_a_cost_that_is_stated_goes_before_the_prices() -> None:
    batch = priced("onions: {pack: 1 kg, price: 1}", "90 g onion", "9 g tahini", more="cost: 7")
    assert (batch.cost, batch.unpriced) == (Decimal(7), ())


def test_a_cost_is_never_rounded_down() -> None:
    batch = priced("onions: {pack: 700 g, price: 1}", "1 g onion")
    assert batch.cost >= 1 / (Decimal(700) * Decimal("0.9"))
    assert batch.cost - 1 / (Decimal(700) * Decimal("0.9")) < Decimal("0.0001")


# -- foods of one's own ------------------------------------------------------------------


def _entry(data: dict[str, object]) -> FoodEntry:
    raw: dict[str, Any] = dict(data)
    if "density" in raw:
        raw["density"] = Decimal(str(raw["density"]))
    return FoodEntry.model_validate(raw)


def test_a_food_travels_in_a_week_as_it_is() -> None:
    for food in table().values():
        entry = _entry(entry_of(food))
        there = own_food(food.name, entry, food.storage)
        assert same(there) == same(food), food.name


def same(food: Food) -> Food:
    """Leave out what a recipe does not need: where the shop has it, remarks, water's water."""
    return replace(
        food,
        shop="",
        note="",
        cereals=frozenset(),
        water=None if food.name == "water" else food.water,
    )


def test_allergens_that_nobody_stated_stay_unknown_on_the_way() -> None:
    food = replace(table()["carrot, raw"], allergens_known=False)
    assert "allergens" not in entry_of(food)
    there = own_food(food.name, _entry(entry_of(food)), "")
    assert not there.allergens_known
    assert not there.allergens_settled
    none = own_food("carrot", _entry(entry_of(table()["carrot, raw"])), "")
    assert none.allergens_settled
