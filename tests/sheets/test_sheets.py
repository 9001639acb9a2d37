"""Lists, labels, cards and calendar: their totals agree, and no name is more than a name."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import Any, TypeAlias

import icalendar
import msgspec_schemaorg.models as vocabulary
import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser
from pypdf import PdfReader

import optimiser
from models.answers.labels import LabelFile
from models.answers.pack import CardFile
from models.answers.plan import PlanFile
from models.answers.share import ShareFile
from models.file.planfile import embedded_week
from models.file.reading import read_document, ready_text, ready_weeks, week_of
from models.file.yamltext import parse
from models.foods.facts import FoodPack
from models.week.buying import cheapest
from models.week.sums import volume
from models.week.week import Texture, Week
from models.words.units import GRAM, MILLILITRE, magnitude
from optimiser.auditing import packed_of
from optimiser.planning import plan_week
from optimiser.report import shop as shop_report
from optimiser.report.calendar import as_ical, is_ours
from optimiser.report.label_sheet import SHEETS, sheet
from optimiser.report.labels import lines
from optimiser.report.safe import cell, markdown
from optimiser.report.share import as_json_ld
from optimiser.report.share import text as share_text
from optimiser.sheets import lists
from optimiser.sheets.calendar import diary
from optimiser.sheets.labels import labels
from optimiser.sheets.pack import cards
from optimiser.sheets.prep import prep
from optimiser.sheets.share import duration, recipes, share
from optimiser.sheets.shop import shopping
from optimiser.solve.week import solve_week
from tests.depth import sized
from tests.published.claims import Cases, claim

from ..cli.command import Ran, call, one_message, run
from ..optimiser.asking import drawn
from ..weeks import SMALL, document_of
from .hostile import HOSTILE, NASTY

Capture: TypeAlias = pytest.CaptureFixture[str]
READY = [name for name in ready_weeks() if name not in {"impossible", "canteen"}]
NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def plan_of(name: str) -> tuple[PlanFile, Week, Any]:
    document = read_document(name) if name != "hostile" else parse("week.yaml", HOSTILE)
    week = week_of(document)
    plan = plan_week(week, reasons=False)
    return plan, week, packed_of(plan, week)


class _Planned(dict[str, tuple[PlanFile, Week, Any]]):
    """Each week planned once, when a test first asks for it."""

    def __missing__(self, name: str) -> tuple[PlanFile, Week, Any]:
        self[name] = plan_of(name)
        return self[name]


NAMES = (*READY, "hostile")
PLANS = _Planned()


# -- one total, many sheets ------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_grams_are_the_same_on_every_paper(name: str) -> None:
    plan, week, packed = PLANS[name]
    on_cards: dict[tuple[date, str, str], float] = defaultdict(float)
    items: dict[str, float] = defaultdict(float)
    for card in cards(week, packed).cards:
        for place in card.places:
            for part in place.parts:
                if part.what in week.batches:
                    on_cards[card.date, card.eater, part.what] += part.amount
                else:
                    items[part.what] += part.amount
    in_plan = {
        (line.date, line.eater, part.batch): part.grams
        for line in plan.lunches
        for part in line.batches
        if part.portions
    }
    assert on_cards == pytest.approx(in_plan)
    # A batch is what is eaten and what is left over; the labels say where all of it is.
    left = {one.batch: one.grams for one in plan.left_over.batches}
    on_labels: dict[str, float] = defaultdict(float)
    for label in labels(week, packed).labels:
        on_labels[label.batch] += label.grams
    for batch in week.batches:
        eaten = sum(grams for (_, _, one), grams in in_plan.items() if one == batch)
        assert on_labels[batch] == pytest.approx(eaten + left.get(batch, 0))
        assert on_labels[batch] == pytest.approx(
            float(week.batches[batch].portions * magnitude(week.batches[batch].portion, GRAM))
        )
    # What goes into lunches as it is bought is what the list asks for.
    found = shopping(week, packed)
    bought = [line for part in found.parts for line in part.lines] + found.there
    listed = {line.name: line.need for line in bought if line.uses[0].what == "lunches"}
    straight = {
        item: amount
        for item, amount in items.items()
        if week.larder[item].recipe is None or week.larder[item].of_food
    }
    assert listed == pytest.approx(straight)


@pytest.mark.parametrize("name", NAMES)
def test_the_list_agrees_with_the_recipes_to_the_gram(name: str) -> None:
    _, week, packed = PLANS[name]
    found = shopping(week, packed)
    need: dict[str, Fraction] = defaultdict(Fraction)
    for batch in week.batches.values():
        for line in () if batch.recipe is None else batch.recipe.ingredients:
            if line.food.shop != "none":
                need[line.food.name] += Fraction(line.bought)
    listed = {
        line.food: line
        for line in [one for part in found.parts for one in part.lines] + found.there
        if line.food
    }
    for food, grams in need.items():
        own = sum(one.amount for one in listed[food].uses if one.what in week.batches)
        assert own == pytest.approx(float(grams), abs=1e-4)
        assert sum(one.amount for one in listed[food].uses) == pytest.approx(
            listed[food].need, abs=1e-4
        )


def test_what_dishes_list_is_bought_for_all_its_days_together() -> None:
    mornings = """
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us, cups: label}
place: {fridge: yes, microwave: yes}
eaters: {Me: {}}
larder: {bread: {food: rye bread, pack: 10 pieces, piece: 50 g}}
dishes: {Bread and grain: {goes_in: {bread: 1 piece}, ingredients: [60 g couscous]}}
"""
    bought = optimiser.shop(mornings)
    (line,) = [line for part in bought.parts for line in part.lines if "couscous" in line.name]
    assert line.need == 180
    assert [(use.what, use.amount) for use in line.uses] == [("lunches", 180)]
    assert "need 180 g for lunches" in optimiser.render(bought)


def test_a_line_that_names_two_foods_to_taste_is_written_once() -> None:
    seasoned = """
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: label}
place: {fridge: yes, microwave: yes}
eaters: {Me: {}}
batches:
  beans:
    yield: 2 portions
    ingredients: [600 g tinned kidney beans, 1 tbsp olive oil, salt and pepper, 1 tbsp olive oil]
dishes: {Beans: {takes: {beans: 1 to 2}}}
"""
    beans = "600 g tinned kidney beans"
    (recipe,) = optimiser.share(seasoned).recipes
    oil = "1 tbsp olive oil"
    assert recipe["recipeIngredient"] == [beans, oil, "salt and pepper", oil]
    half = seasoned.replace("portions", "portions\n    cook: 1 portion", 1)
    (recipe,) = optimiser.share(half).recipes
    assert recipe["recipeIngredient"][2] == "salt and pepper"
    assert len(recipe["recipeIngredient"]) == 4
    assert optimiser.render(optimiser.check(seasoned)).count("'salt and pepper'") == 1


def test_what_is_wanted_to_taste_is_not_said_to_be_there() -> None:
    seasoned = """
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: label}
place: {fridge: yes, microwave: yes}
eaters: {Me: {}}
batches: {beans: {yield: 1 portion, ingredients: [300 g tinned kidney beans, salt and pepper]}}
dishes: {Beans: {takes: {beans: 1}}}
"""
    bought = optimiser.shop(seasoned)
    shown = " ".join(optimiser.render(bought).split())
    assert "to taste salt, black pepper: no amount is written, so see that some is there" in shown
    assert " there salt" not in shown
    assert "There already" not in shop_report.as_markdown(bought)
    kept = optimiser.shop(seasoned + "cupboard: {salt: plenty, black pepper: 20 g}\n")
    assert "no amount" not in optimiser.render(kept)


def test_the_demo_buys_what_its_lines_say() -> None:
    _, week, packed = PLANS["demo"]
    lines_ = {
        line.food: line for part in shopping(week, packed).parts for line in part.lines if line.food
    }
    # Read off scenarios/demo.yaml by eye.
    assert lines_["dried peas, whole"].need == 120
    # Of a leek 44 % is eaten (USDA SR28 11246).
    assert lines_["leek, raw"].need == pytest.approx((80 + 200) / 0.44)
    assert lines_["pearl barley, dry"].need == 80
    assert [(one.count, one.pack) for one in lines_["pearl barley, dry"].packs] == [(1, "500 g")]
    assert lines_["pearl barley, dry"].rest == 420


@pytest.mark.parametrize("name", NAMES)
def test_packs_hold_what_is_needed_and_no_pack_is_needless(name: str) -> None:
    _, week, packed = PLANS[name]
    for part in shopping(week, packed).parts:
        for line in part.lines:
            if line.packs and not line.food:
                size = float(magnitude(week.larder[line.name].pack, week.larder[line.name].unit))
                (packs,) = line.packs
                assert packs.count * size + (line.have or 0) >= line.need - 1e-9
                if week.larder[line.name].opened_life is None:
                    assert (packs.count - 1) * size + (line.have or 0) < line.need


CUPBOARD = """
cupboard:
  pearl barley, dry: 200 g
  salt: plenty
  eggs: 1
  rye slice: 2 pieces
  radishes: 80 g
"""


def test_what_is_in_the_cupboard_is_not_bought() -> None:
    document = parse("week.yaml", read_document("demo").text + CUPBOARD)
    week = week_of(document)
    packed = packed_of(plan_week(week, reasons=False), week)
    found = shopping(week, packed)
    buy = {line.name: line for part in found.parts for line in part.lines}
    there = {line.name: line for line in found.there}
    assert {"pearl barley, dry", "salt", "radishes"} <= there.keys()
    assert there["salt"].have is None
    assert buy["eggs"].have == pytest.approx(buy["eggs"].need / 3)
    assert buy["rye slice"].have == 2
    assert buy["rye slice"].rest == 2 + 10 - buy["rye slice"].need


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("  unicorn: 3 g", "unicorn"),
        ("  pearl barley, dry: some", "amount"),
        ("  rye slice: 30 g", "is no amount of it"),
        ("  eggs: 1 furlong", ""),
    ],
)
def test_a_cupboard_that_cannot_be_is_refused_with_its_line(
    line: str, what: str, tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "week.yaml"
    text = read_document("demo").text + f"cupboard:\n{line}\n"
    file.write_text(text, encoding="utf-8")
    ran = call("shop", file, capsys=capsys)
    assert (ran.code, ran.out) == (2, "")
    assert f"line {len(text.splitlines())}" in ran.err
    assert what in ran.err


packs_drawn = st.lists(
    st.tuples(st.integers(1, 60), st.integers(0, 400)).map(
        lambda pair: FoodPack(
            f"{pair[0]} g", Decimal(pair[0]), Decimal(pair[0]), Decimal(pair[1]) / 100
        )
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=sized(25, 150))
@given(need=st.integers(1, 150), packs=packs_drawn)
def test_packs_are_bought_at_least_cost(need: int, packs: list[FoodPack]) -> None:
    found = cheapest(Decimal(need), packs)
    ranges = [range(need // int(pack.bought) + 2) for pack in packs]
    every = [
        (
            sum(n * p.price for n, p in zip(counts, packs, strict=True)),
            sum(n * p.bought for n, p in zip(counts, packs, strict=True)) - need,
        )
        for counts in product(*ranges)
    ]
    assert (found.cost, found.rest) == min(one for one in every if one[1] >= 0)
    held = sum(n * p.bought for n, p in zip(found.counts, packs, strict=True))
    assert held - need == found.rest


def test_a_share_without_an_end_takes_no_pack_more() -> None:
    # Three sticks for six portions, cooked in twelve, are six sticks.
    stick = Decimal("44.9438202247")
    need = stick * 3 * (Decimal(12) / 6) + Decimal("1e-12")
    found = cheapest(need, [FoodPack("1 stick", stick, stick, Decimal("0.20"))])
    assert (found.counts, found.rest) == ((6,), 0)


# -- labels ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_dates_on_labels_are_those_of_the_plan(name: str) -> None:
    plan, week, packed = PLANS[name]
    info = {one.batch: one for one in plan.batches}
    for label in labels(week, packed).labels:
        batch = info[label.batch]
        assert label.made == batch.made
        assert label.allergens == batch.allergens
        if label.where == "fridge":
            assert (label.use_by, label.best_by) == (batch.use_by, batch.best_by)
            assert all(day <= label.use_by for day in label.days)
        else:
            # Thawed the evening before and eaten within a day (UK FSA).
            assert [label.use_by] == label.days
            assert label.move == label.use_by - timedelta(days=1)
    frozen = sum(x.portions for x in labels(week, packed).labels if x.where == "freezer")
    assert frozen == sum(part.from_freezer for x in plan.lunches for part in x.batches)


def test_a_sheet_of_labels_holds_every_label_whole_and_no_markup(
    chromium: Browser, tmp_path: Path
) -> None:
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    for name, kind in product(("hostile", "demo"), SHEETS):
        _, week, packed = PLANS[name]
        tubs = labels(week, packed)
        grid, skip = SHEETS[kind], 3
        text = sheet(tubs, kind, skip=skip, lines=True)
        assert "<script" not in text
        assert ("&lt;/script&gt;" in text) == (name == "hostile")
        page.set_content(text)
        page.emulate_media(media="print")
        cells = page.locator("li.label").evaluate_all(
            """cells => cells.map(cell => [cell.scrollHeight - cell.clientHeight,
                cell.scrollWidth - cell.clientWidth, cell.querySelector('h2').textContent,
                parseFloat(getComputedStyle(cell.querySelector('.until b')).fontSize) * 0.75,
                cell.className.includes('frozen'), cell.getBoundingClientRect().width,
                getComputedStyle(cell.querySelector('h2')).overflowY])"""
        )
        assert all(max(cell[:2]) <= 0 for cell in cells), (name, kind, cells)
        # What hangs below the line of a name is not cut off, and no line begins with a dot.
        assert all(cell[6] == "visible" for cell in cells)
        assert " \N{MIDDLE DOT}" not in text
        assert all(round(cell[3], 1) >= 20 for cell in cells)
        assert cells[0][5] == pytest.approx(grid.width / 25.4 * 96, abs=0.1)
        # What many printers leave bare at the edge of the paper stays bare.
        bare = page.locator("li.label").evaluate_all(
            """cells => cells.flatMap(cell => ["left", "top"].map(side =>
                cell.getBoundingClientRect()[side]
                + parseFloat(getComputedStyle(cell).getPropertyValue("padding-" + side))))"""
        )
        assert min(bare) >= 4 / 25.4 * 96 - 0.1, kind
        own = [cell for cell in cells if not cell[2].endswith(", continued")]
        assert len(own) == len(tubs.labels)
        assert sum(cell[4] for cell in own) == sum(x.where == "freezer" for x in tubs.labels)
        # A sheet that is nearly used up goes on with a second.
        file = tmp_path / "labels.pdf"
        page.set_content(sheet(tubs, kind, skip=grid.cells - 1))
        page.pdf(path=str(file), prefer_css_page_size=True)
        pages = PdfReader(file).pages
        assert len(pages) == 1 + -(-(len(cells) - 1) // grid.cells), (name, kind)
        width = {"A4": 595.3, "letter": 612}[grid.paper]
        assert float(pages[0].mediabox.width) == pytest.approx(width, abs=1)
    context.close()
    assert all(line.isprintable() for label in tubs.labels for line in lines(label))


def test_a_name_that_is_cut_off_is_told_whole_below() -> None:
    label = labels(*PLANS["demo"][1:]).labels[0]
    for letters, times in ((20, 1), (40, 2)):
        named = label.model_copy(update={"batch": "b" * letters})
        answer = LabelFile(name="Week", guidance="us", labels=[named])
        assert sheet(answer, "letter-30").count("b" * letters) == times
        assert sheet(answer, "letter-10").count("b" * letters) == 1


def test_a_label_that_is_passed_over_leaves_its_place_empty(tmp_path: Path) -> None:
    def sheet_of(*more: str) -> Ran:
        return run("labels", "starter", "--sheet", "a4-24", *more, folder=tmp_path)

    whole = sheet_of().done().out
    assert sheet_of("--skip", "5").done().out.count("<li aria-hidden") == 5
    assert sheet_of("--lines").done().out.count(' cut"') == whole.count('<li class="label')
    one_message(sheet_of("--skip", "24"), "24 is too many", "A sheet has 24")


# -- cards -------------------------------------------------------------------------------


def holds(week: Week, found: CardFile) -> None:
    """See that every box is packed as its rules have it."""
    for card in found.cards:
        box = week.eaters[card.eater].box
        if box is None:
            continue
        inside = [place for place in card.places if place.room is not None]
        for place in inside:
            assert place.used <= (place.room or 0) + 1e-6, (card.eater, card.date, place)
            textures = {part.texture for part in place.parts}
            if place.place.startswith("pot"):
                assert textures == {"wet"}
            else:
                assert not {"wet", "crisp"} <= textures, place
        assert len(inside) <= len(week.boxes[box].compartments) + len(week.boxes[box].pots)


@pytest.mark.parametrize("name", NAMES)
def test_a_box_is_packed_as_its_rules_have_it(name: str) -> None:
    _, week, packed = PLANS[name]
    holds(week, cards(week, packed))


def test_what_is_wet_is_said_in_spoons_where_spoons_come_to_it() -> None:
    texts = {
        part.text
        for name in ("demo", "family")
        for card in cards(*PLANS[name][1:]).cards
        for place in card.places
        for part in place.parts
    }
    # A teaspoon of mustard is 5 g (USDA SR28 02046); cottage cheese has no spoon there.
    assert {"10 g mustard (2 tsp)", "15 g mustard (3 tsp)", "100 g cottage cheese"} <= texts


def test_any_box_that_may_be_packed_is_packed_within_its_room() -> None:
    looked_at = 0
    for data in drawn(SMALL, sized(8, 60)):
        week = week_of(document_of(data))
        if all(eater.box is None for eater in week.eaters.values()):
            continue
        _, solved = solve_week(week)
        if solved.packed is None:
            continue
        found = cards(week, solved.packed)
        holds(week, found)
        for card, lunch in zip(
            found.cards, sorted(solved.packed.lunches, key=lambda one: one.day), strict=True
        ):
            if week.eaters[card.eater].box is not None:
                used = sum(place.used for place in card.places if place.room is not None)
                room = sum(volume(week, lunch, texture) for texture in Texture)
                assert used == pytest.approx(float(room), abs=1e-3)
                looked_at += 1
    assert looked_at > sized(3, 20)


def test_without_a_fridge_there_are_two_cold_sources() -> None:
    _, week, packed = PLANS["family"]
    told = "2 cold packs and an insulated bag"
    carried = {
        card.eater for card in cards(week, packed).cards if any(told in line for line in card.carry)
    }
    assert carried == {"Pip"}


# -- calendar ------------------------------------------------------------------------------


def calendar_of(name: str, before: str | None = None, plan: Any = None) -> str:
    _, week, packed = PLANS[name] if plan is None else plan
    return as_ical(diary(week, packed), now=NOW, before=before)


@claim(
    "octets in the longest line of a calendar; lines end in CRLF",
    "RFC 5545: 3.1",
    within="0 octets",
)
def test_lines_of_a_calendar_are_folded() -> Cases:
    for name in NAMES:
        text = calendar_of(name)
        assert "\n" not in text.replace("\r\n", "")
        yield name, (0, 75), max(len(line.encode()) for line in text.split("\r\n"))


@pytest.mark.parametrize("name", NAMES)
def test_two_parsers_read_the_calendar_alike(name: str) -> None:
    text = calendar_of(name)
    one = [str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(text).walk("VEVENT")]
    other = [event.summary.value for event in vobject.readOne(text).vevent_list]
    assert one == other
    _, week, packed = PLANS[name]
    assert sorted(one) == sorted(entry.title for entry in diary(week, packed).entries)
    uids = [str(x["UID"]) for x in icalendar.Calendar.from_ical(text).walk("VEVENT")]
    assert len(set(uids)) == len(uids)


def test_the_calendar_says_what_the_plan_says() -> None:
    plan, week, packed = PLANS["demo"]
    events = icalendar.Calendar.from_ical(calendar_of("demo")).walk("VEVENT")
    by_day: dict[Any, list[str]] = defaultdict(list)
    for event in events:
        begins = event["DTSTART"].dt
        day = begins.date() if isinstance(begins, datetime) else begins
        by_day[day].append(str(event["SUMMARY"]))
    assert any(title.startswith("Cook: barley pot") for title in by_day[date(2026, 11, 30)])
    for line in plan.lunches:
        assert f"Pack: {line.dish}" in by_day[line.date]
        for part in line.batches:
            if part.from_freezer and part.move_to_fridge is not None:
                assert any(part.batch in title for title in by_day[part.move_to_fridge])
    for label in labels(week, packed).labels:
        if label.where == "fridge":
            # Of what is eaten by then nobody needs to be reminded.
            is_left = any(left.batch == label.batch for left in plan.left_over.batches)
            is_eaten_then = any(
                part.batch == label.batch and part.portions > part.from_freezer
                for line in plan.lunches
                if line.date >= label.use_by
                for part in line.batches
            )
            titles = [title for title in by_day[label.use_by] if title.startswith("Use by")]
            assert any(label.batch in title for title in titles) == (is_left or is_eaten_then)


def test_cooking_has_its_clock_and_what_the_evening_must_not_forget_rings() -> None:
    plan, week, packed = PLANS["demo"]
    timed = {day.date: day for day in prep(week, packed).days}
    found = icalendar.Calendar.from_ical(calendar_of("demo"))
    assert str(found["X-WR-CALNAME"]) == plan.name
    events = {str(x["SUMMARY"]): x for x in found.walk("VEVENT")}
    for day, table in timed.items():
        (event,) = (
            x for name, x in events.items() if name[:5] == "Cook:" and x["DTSTART"].dt.date() == day
        )
        assert (event["DTSTART"].dt, event["DTEND"].dt) == (table.begins, table.ends)
    # The peas are put to soak on the evening before the pot is cooked.
    soak = events["For tomorrow: put the peas to soak"]
    assert soak["DTSTART"].dt.date() == date(2026, 11, 29)
    ringing = {name for name, event in events.items() if event.walk("VALARM")}
    thawing = {name for name in events if name.startswith("Freezer to fridge")}
    assert thawing
    assert ringing == {"For tomorrow: put the peas to soak", *thawing}
    assert all(x["TRIGGER"].dt == timedelta() for x in found.walk("VALARM"))
    quiet = as_ical(diary(week, packed), now=NOW, before=calendar_of("demo"), alarms=False)
    assert "VALARM" not in quiet
    changed = {uid for uid, (sequence, _) in numbered(quiet).items() if sequence}
    assert changed == {str(events[name]["UID"]) for name in ringing}


def test_times_stand_in_the_time_zone_of_the_week() -> None:
    text = read_document("demo").text + 'times: {zone: America/Bogota, morning: "06:45"}\n'
    week = week_of(parse("week.yaml", text))
    _, _, packed = PLANS["demo"]
    found = icalendar.Calendar.from_ical(as_ical(diary(week, packed), now=NOW))
    begins = [x["DTSTART"].dt for x in found.walk("VEVENT") if "Pack" in str(x["SUMMARY"])]
    assert {(one.hour, one.minute) for one in begins} == {(6, 45)}
    assert {one.utcoffset() for one in begins} == {timedelta(hours=-5)}
    assert [str(zone["TZID"]) for zone in found.walk("VTIMEZONE")] == ["America/Bogota"]


def numbered(text: str) -> dict[str, tuple[int, str]]:
    return {
        str(x["UID"]): (int(x["SEQUENCE"]), str(x["STATUS"]))
        for x in icalendar.Calendar.from_ical(text).walk("VEVENT")
    }


def test_written_again_unchanged_it_is_the_same_letter_by_letter() -> None:
    first = calendar_of("demo")
    _, week, packed = PLANS["demo"]
    later = NOW + timedelta(days=1)
    assert as_ical(diary(week, packed), now=later, before=first) == first


def test_what_changed_has_a_higher_number_and_what_is_gone_is_cancelled() -> None:
    first = calendar_of("demo")
    document = parse("demo", read_document("demo").text + "no_lunch: [{day: thu}]\n")
    week = week_of(document)
    plan = plan_week(week, reasons=False)
    second = calendar_of("demo", first, (plan, week, packed_of(plan, week)))
    before, after = numbered(first), numbered(second)
    assert before.keys() <= after.keys()
    old = {str(x["UID"]): x for x in icalendar.Calendar.from_ical(first).walk("VEVENT")}
    new = {str(x["UID"]): x for x in icalendar.Calendar.from_ical(second).walk("VEVENT")}
    gone = {uid for uid in before if after[uid][1] == "CANCELLED"}
    thursday = {
        uid
        for uid, x in old.items()
        if str(x["SUMMARY"]).startswith("Pack") and x["DTSTART"].dt.date() == date(2026, 12, 3)
    }
    assert thursday <= gone
    for uid in before:
        same = all(
            str(old[uid].get(key)) == str(new[uid].get(key)) for key in ("SUMMARY", "DESCRIPTION")
        )
        if uid in gone or not same:
            assert after[uid][0] == 1
        else:
            assert after[uid] == (0, "CONFIRMED")
    # A third time the lunch is back: its number goes on rising.
    third = numbered(calendar_of("demo", second))
    assert all(third[uid] == (2, "CONFIRMED") for uid in thursday)


def test_a_calendar_that_someone_changed_is_not_written_over(
    tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "week.ics"
    call("calendar", "starter", "-o", file, capsys=capsys).done()
    first = file.read_bytes().decode()
    assert is_ours(first)
    call("calendar", "starter", "-o", file, capsys=capsys).done()
    assert file.read_bytes().decode() == first
    file.write_bytes(first.replace("Pack:", "Pick:").encode())
    ran = call("calendar", "starter", "-o", file, capsys=capsys)
    assert (ran.code, "it is there already" in ran.err) == (2, True)
    assert "Pick:" in file.read_text(encoding="utf-8")
    call("calendar", "starter", "-o", file, "--force", capsys=capsys).done()
    assert "Pick:" not in file.read_text(encoding="utf-8")


# -- recipes -------------------------------------------------------------------------------


def shared(name: str) -> ShareFile:
    plan, week, packed = PLANS[name]
    return share(week, packed, plan.cautions)


@claim(
    "recipes that are shared have no word that the vocabulary has not",
    "schema.org: as the package msgspec-schemaorg has it",
    of="weeks",
)
def test_recipes_are_of_the_vocabulary() -> Cases:
    for name in NAMES:
        data = json.loads(as_json_ld(shared(name)))
        recipes = data if isinstance(data, list) else [data]
        assert {recipe.pop("@context") for recipe in recipes} <= {"https://schema.org"}
        yield name, [], [word for recipe in recipes for word in _unknown(recipe)]


def test_recipes_keep_their_times_and_heats() -> None:
    recipes = {recipe["name"]: recipe for recipe in shared("demo").recipes}
    soup, bake = recipes["pea soup"], recipes["leek bake"]
    # Put to soak 5 min, 8 h of soaking while nothing waits, leek and ham cut meanwhile, 75 min.
    assert soup["totalTime"] == "PT9H20M"
    assert (soup["prepTime"], soup["cookTime"]) == ("PT15M", "PT1H15M")
    steps = [step["text"] for step in soup["recipeInstructions"]]
    assert steps[1] == "Soak the peas for 8 h to 24 h."
    week = PLANS["demo"][1]
    hot = [step for step in week.batches["leek bake"].steps if step.oven]
    assert hot
    text = " ".join(step["text"] for step in bake["recipeInstructions"])
    for step in hot:
        assert f" at {step.oven} °C for {step.least} min." in text
    written = share_text(shared("demo"))
    assert "Time: work 15 min, cooking 1 h 15 min, in all 9 h 20 min." in written
    assert "for 8 h to 24 h." in written


def _unknown(entry: dict[str, Any]) -> Iterator[str]:
    name = entry.pop("@type")
    known = set(getattr(vocabulary, name).__struct_fields__)
    if name == "HowToStep":
        # Of its three parents in the vocabulary the package keeps one.
        known |= set(vocabulary.CreativeWork.__struct_fields__)
    yield from set(entry) - known
    for value in entry.values():
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, dict):
                yield from _unknown(one)


def test_a_recipe_says_what_a_portion_holds() -> None:
    _, week, _ = PLANS["demo"]
    found = recipes(week)[0]
    assert found["recipeYield"] == "6 portions"
    assert "180 g swede" in found["recipeIngredient"]
    protein = week.batches["barley pot"].nutrition["PROCNT"]
    said = Decimal(found["nutrition"]["proteinContent"].split()[0])
    assert said == pytest.approx(magnitude(protein, GRAM), abs=Decimal("0.05"))


@pytest.mark.parametrize(
    ("minutes", "said"), [(0, "PT0M"), (25, "PT25M"), (60, "PT1H"), (85, "PT1H25M")]
)
def test_durations_are_iso_8601(minutes: int, said: str) -> None:
    assert duration(Decimal(minutes)) == said


# -- hostile names -------------------------------------------------------------------------


def test_json_ld_cannot_end_the_block_it_stands_in() -> None:
    text = as_json_ld(shared("hostile"))
    assert "<" not in text
    assert json.loads(text)["name"] == NASTY


def test_markdown_holds_no_markup_of_a_week_file() -> None:
    answer = shared("hostile")
    found = answer.shop
    for text in (share_text(answer), shop_report.as_markdown(found)):
        assert "<script" not in re.sub(r"\\<", "", text)
        assert "](javascript" not in text.replace("\\]", "")
        # As many boxes to tick as there are things to buy.
        boxes = [line for line in text.splitlines() if line.startswith("- [ ] ")]
        assert len(boxes) == sum(len(part.lines) for part in found.parts)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-cmd", "@x", "\t=1", "=HYPERLINK(1)"])
def test_a_cell_is_never_a_formula(text: str) -> None:
    assert cell(text).startswith("'")


@pytest.mark.parametrize("text", ["-3.5", "4", "farls", "1 kg"])
def test_other_cells_stay_as_they_are(text: str) -> None:
    assert cell(text) == text


def test_what_is_not_worth_a_line_is_to_be_checked() -> None:
    text = ready_text("minimal").replace("1 medium onion,", "1 medium onion, 0.6 g black pepper,")
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    answer = shopping(week, packed)
    assert shop_report.little(answer) == ["black pepper (0.6 g)"]
    assert "that you have black pepper (0.6 g)" in optimiser.render(answer)
    written = shop_report.as_markdown(answer)
    assert written.index("Check that you have") < written.index("- [ ] black pepper")
    assert "pepper" not in written[: written.index("Check")]
    assert "black pepper" in shop_report.as_csv(answer)


def test_raw_meat_that_does_not_keep_is_bought_on_a_trip_of_its_own() -> None:
    text = ready_text("minimal").replace("days: [mon, tue, wed]", "days: [mon, tue, wed, thu, fri]")
    text = text.replace(
        "\nlarder:",
        "\n  hens: {made: 2026-12-02, keeps_as: cooked poultry, "
        "ingredients: [400 g chicken thigh], "
        "steps: [{do: roast it, lasts: 40 min, hands: no, oven: 200}], "
        "yield: 300 g, portion: 150 g}\nlarder:",
    ).replace("dishes:\n", "dishes:\n  Hens: {kind: cold, takes: {hens: 1}}\n")
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    answer = shopping(week, packed)
    bought = {line.name: line.buy_on for part in answer.parts for line in part.lines}
    # The first is cooked on Sunday and bought on Saturday; raw poultry keeps 1 to 2 days (FSIS).
    assert bought.pop("chicken thigh") == date(2026, 12, 1)
    assert set(bought.values()) == {None}
    assert "A trip more, for what does not keep raw. Tue 1 Dec: chicken thigh." in " ".join(
        optimiser.render(answer).split()
    )
    # The calendar, the page and the sheet on the fridge do not let one forget it.
    (entry,) = (entry for entry in diary(week, packed).entries if entry.kind == "buy")
    assert (entry.day, entry.title) == (date(2026, 12, 1), "Buy: chicken thigh")
    page = optimiser.page(week, sliders=False, verdicts=False)
    for on_paper in (False, True):
        assert "Buy today</b> chicken thigh" in optimiser.render(page, on_paper=on_paper)
    early = week_of(parse("week.yaml", text.replace("2026-12-02", "2026-11-29")))
    assert shop_report.trips(shopping(early, packed)) == ""


def test_a_list_as_csv_reads_back_cell_by_cell() -> None:
    _, week, packed = PLANS["hostile"]
    found = shopping(week, packed)
    rows = list(csv.DictReader(io.StringIO(shop_report.as_csv(found), newline="")))
    assert len(rows) == sum(len(part.lines) for part in found.parts)
    for row in rows:
        assert not any(str(value).startswith(("=", "+", "@")) for value in row.values())
    names = [row["name"].removeprefix("'") for row in rows]
    assert names == [" ".join(x.name.split()) for part in found.parts for x in part.lines]
    _, week, packed = PLANS["demo"]
    rows = list(csv.DictReader(io.StringIO(shop_report.as_csv(shopping(week, packed)), newline="")))
    eggs = next(row for row in rows if row["name"] == "eggs")
    assert (eggs["count"].isdecimal(), eggs["currency"]) == (True, "EUR")
    assert all(row["pack"] and row["unit"] for row in rows if row["cost"])


@given(st.text(min_size=1, max_size=40))
def test_markdown_text_is_one_line_and_opens_nothing(text: str) -> None:
    said = markdown(text)
    assert "\n" not in said
    assert not re.search(r"(?<!\\)[<\[*_`]", said.replace("\\\\", ""))


@pytest.mark.parametrize("command", ["shop", "labels", "pack", "share", "calendar", *lists.names()])
def test_no_name_steers_the_terminal(command: str, tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "week.yaml"
    file.write_text(HOSTILE, encoding="utf-8")
    out = call(command, file, capsys=capsys).done().out
    assert all(one.isprintable() or one in "\r\n" for one in out)
    if command != "calendar":
        assert all(len(line) <= 80 for line in out.splitlines()) or command == "share"


# -- the commands --------------------------------------------------------------------------

PAPERS = ["shop", "labels", "pack", "calendar", "share", *lists.names()]


@pytest.mark.parametrize("command", PAPERS)
def test_a_saved_plan_and_its_week_give_the_same_paper(
    command: str, tmp_path: Path, capsys: Capture
) -> None:
    plan = tmp_path / "plan.json"
    call("plan", "starter", "--no-reasons", "--save", plan, capsys=capsys).done()
    of_week = call(command, "starter", "--json", capsys=capsys).done()
    of_plan = call(command, plan, "--json", capsys=capsys).done()
    assert of_week.data == of_plan.data


@pytest.mark.parametrize("command", PAPERS)
def test_a_plan_that_breaks_its_week_gives_no_paper(
    command: str, tmp_path: Path, capsys: Capture
) -> None:
    plan = tmp_path / "plan.json"
    call("plan", "starter", "--no-reasons", "--save", plan, capsys=capsys).done()
    data = json.loads(plan.read_text(encoding="utf-8"))
    data["lunches"][0]["batches"][0]["portions"] += 1
    plan.write_text(json.dumps(data), encoding="utf-8")
    ran = call(command, plan, capsys=capsys)
    assert (ran.code, ran.out) == (2, "")
    assert "breaks its own week" in ran.err


@pytest.mark.parametrize("command", PAPERS)
def test_no_plan_is_no_paper(command: str, tmp_path: Path, capsys: Capture) -> None:
    new = tmp_path / "paper"
    ran = call(command, "impossible", "-o", new, capsys=capsys)
    assert ran.code == 1
    assert "No plan is possible" in ran.out
    assert not new.exists()


@pytest.mark.parametrize("command", PAPERS)
def test_a_file_that_is_there_is_kept(command: str, tmp_path: Path, capsys: Capture) -> None:
    there = tmp_path / "paper"
    there.write_text("mine", encoding="utf-8")
    ran = call(command, "starter", "-o", there, capsys=capsys)
    assert (ran.code, there.read_text(encoding="utf-8")) == (2, "mine")
    call(command, "starter", "-o", there, "--force", capsys=capsys).done()
    assert there.read_text(encoding="utf-8") != "mine"


@pytest.mark.parametrize("day", ["sat", "2026-01-01", "someday"])
def test_a_day_without_a_lunch_is_refused(day: str, capsys: Capture) -> None:
    ran = call("pack", "starter", day, capsys=capsys)
    assert (ran.code, ran.out) == (2, "")
    assert "is not a day of this week" in ran.err


def test_sheets_of_a_plan_read_back_agree_with_its_week() -> None:
    plan, week, packed = PLANS["demo"]
    again = embedded_week(plan)
    assert cards(again, packed_of(plan, again)) == cards(week, packed)
    assert magnitude(week.boxes["three-tier tin"].pots[0], MILLILITRE) == 60


def test_a_recipe_says_where_it_comes_from() -> None:
    text = ready_text("minimal").replace("yield:", "source: 'An old book, page 3', yield:", 1)
    answer = optimiser.share(text)
    (recipe,) = answer.recipes
    assert recipe["creditText"] == "An old book, page 3"
    assert "creditText" in vocabulary.Recipe.__struct_fields__
    assert "Recipe: An old book, page 3." in optimiser.render(answer)
    assert "creditText" not in optimiser.share("minimal").recipes[0]
