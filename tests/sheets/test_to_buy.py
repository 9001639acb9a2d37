"""A lunch for which nothing can be packed is marked on every sheet that tells of that day."""

from __future__ import annotations

import re

import optimiser
from models.file.change import Told
from models.words.giving import BUY
from optimiser.changing import change
from tests.plans.saved import plan


def test_every_sheet_of_the_day_marks_a_lunch_to_buy() -> None:
    made = plan("bought")
    assert made.nearest is not None
    bought = made.nearest.bought[0]
    cards = optimiser.pack(made)
    assert [(line.date, line.eater) for line in cards.to_buy] == [
        (line.date, line.eater) for line in made.nearest.bought
    ]
    day = optimiser.pack(made, bought.date)
    assert f"{bought.eater}: {BUY}" in optimiser.render(day)
    assert all(line.date == bought.date for line in day.to_buy)
    (entry,) = [
        entry
        for entry in optimiser.calendar(made).entries
        if entry.kind == "pack" and str(entry.begins).startswith(bought.date.isoformat())
    ]
    assert f"{bought.eater}: {BUY}" in entry.text
    for sheet in (optimiser.labels(made), optimiser.shop(made), optimiser.prep(made)):
        assert optimiser.render(sheet)


def test_a_week_that_keeps_its_rules_has_nothing_to_buy() -> None:
    assert optimiser.pack(plan("two")).to_buy == []


def test_the_page_says_what_gives_way() -> None:
    made = plan("bought")
    page = optimiser.render(optimiser.page(made, verdicts=False, sliders=False))
    assert "No week keeps every rule; in this one:" in page
    assert BUY in page


def test_what_is_frozen_on_a_day_without_cooking_stands_on_that_day() -> None:
    made = change(plan("starter"), Told("tue", no_lunch=("wed",))).plan
    page = optimiser.page(made, verdicts=False, sliders=False)
    whole, sheet = optimiser.render(page), optimiser.render(page, on_paper=True)
    for text, head in ((whole, 'id="day-2026-12-01"'), (sheet, "<h3>Tue")):
        day = text.partition(head)[2].partition("</section>")[0]
        assert "Freeze today</b> lentil curry: 2 portions for a later week" in day
    # Words that a terminal keeps on one line are so in a browser.
    assert "\ue000" not in whole
    assert "5\N{NO-BREAK SPACE}portions\N{NO-BREAK SPACE}lentil" in whole


def test_a_group_stands_under_its_one_name_with_how_many_eat_what() -> None:
    page = optimiser.page(plan("counted"), verdicts=False, sliders=False)
    whole, sheet = optimiser.render(page), optimiser.render(page, on_paper=True)
    assert re.findall(r'name="eater" value="\d"><span>([^<]*)<', whole) == ["Ada", "Bo"]
    ticks = re.findall(r'id="(box-[^"]*)"', whole)
    assert len(ticks) == len(set(ticks)) > 5
    for text in (whole, sheet):
        assert re.search(r'<p class="whose">[123] x Ada</p>', text)
        assert "Ada 2" not in text


KINDS = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: uk}
place: {fridge: yes, microwave: no}
eaters: {Me: {}}
batches:
  stew: {yield: 2 portions, ingredients: [2 onions, 300 g carrots, Juice of 1/2 lemon]}
  soup: {yield: 2 portions, ingredients: [1 red onion, 400 g split peas]}
dishes:
  Stew: {takes: {stew: 1}, kind: a}
  Soup: {takes: {soup: 1}, kind: b}
"""


def test_what_is_taken_from_the_shelf_is_named_as_the_recipes_name_it() -> None:
    told = " ".join(optimiser.render(optimiser.shop(KINDS)).split())
    assert "3 onions: 2 onions and 1 red onion (500 g)" in told
    assert "1 lemon, for its juice" in told
    sized = KINDS.replace("1 red onion", "1 large onion")
    assert "onions:" not in optimiser.render(optimiser.shop(sized))
