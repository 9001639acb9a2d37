"""Sheets that are plain lists: what is in the freezer, and that each list is found everywhere."""

from __future__ import annotations

import doctest
import json
import re
from collections import Counter
from datetime import date, timedelta
from importlib import import_module
from typing import Any

import pytest
from playwright.sync_api import Browser
from rich.cells import cell_len

import optimiser
from models.answers.freezer import FreezerFile
from models.foods.storage import storage
from models.words.days import day_name
from optimiser.cli import COMMANDS
from optimiser.report.listing import html, listing_of
from optimiser.sheets import lists
from tests.cli.command import run

from .browser import BROKEN
from .hostile import HOSTILE, NASTY

STEW: dict[str, Any] = {
    "made": "2026-11-29",
    "yield": "14 portions",
    "portion": "300 g",
    "nutrition": {},
    "keeps_as": "soups and stews",
    "fridge_life": "1 day",
    "freezes": True,
    "allergens": ["celery"],
    "free_of": "others",
}


def week(**stew: Any) -> dict[str, Any]:
    """Give a week of two eaters with a stew that is frozen for later days."""
    return {
        "week": {"starts": "2026-11-30", "days": ["mon", "tue", "wed"], "guidance": "us"},
        "eaters": {"Ann": {}, "Bo": {}},
        "batches": {"stew": STEW | stew},
        "dishes": {"Stew": {"kind": "pot", "takes": {"stew": "2 to 3"}}},
    }


def frozen(of: dict[str, Any] | str) -> FreezerFile:
    answer = optimiser.freezer(of)
    assert isinstance(answer, FreezerFile)
    return answer


# -- what is in the freezer -----------------------------------------------------------------------


def test_what_is_frozen_is_what_the_plan_freezes_and_thaws() -> None:
    plan = optimiser.plan(week(), reasons=False)
    there = optimiser.freezer(plan)
    freeze = Counter({(x.batch, x.for_day): x.portions for x in plan.moves if x.move == "freeze"})
    assert freeze, "the week is made so that something is frozen"
    listed = Counter({(tub.batch, tub.for_day): tub.portions for tub in there.tubs})
    assert listed == freeze
    thaw = {(x.batch, x.for_day): x.date for x in plan.moves if x.move == "thaw"}
    assert {(tub.batch, tub.for_day): tub.move for tub in there.tubs} == thaw
    for tub in there.tubs:
        assert (tub.frozen, tub.eat_by) == (date(2026, 11, 29), tub.for_day)
        assert tub.grams == 300 * tub.portions
        assert tub.eaters == ["Ann", "Bo"]
    labels = [label for label in optimiser.labels(plan).labels if label.where == "freezer"]
    assert sum(tub.tubs for tub in there.tubs) == len(labels)
    assert there.batches == plan.batches
    assert [tub.for_day for tub in there.tubs] == sorted(tub.for_day for tub in there.tubs)


def test_what_is_for_no_day_is_spare_and_comes_last() -> None:
    some = week(frozen="12 portions", **{"yield": "20 portions"})
    some["dishes"]["Stew"]["takes"] = {"stew": "2"}
    there = frozen(some)
    assert sum(tub.portions for tub in there.tubs) == 12
    *others, spare = there.tubs
    assert all(tub.for_day is not None for tub in others)
    assert (spare.for_day, spare.move, spare.eat_by, spare.eaters) == (None, None, None, [])
    # FoodKeeper data set 193, soups and stews: 2 to 3 months, of 30 days.
    assert storage()["soups and stews"].freezer_months == (2, 3)
    assert spare.best_by == date(2026, 11, 29) + timedelta(days=60)
    text = " ".join(optimiser.render(there, width=200).split())
    assert "within a day of thawing; best by 28 Jan 2027 spare" in text


@pytest.mark.parametrize(
    ("keeps_as", "days"), [("cooked quinoa", 180), ("bakes and gratins", None)]
)
def test_how_long_it_keeps_its_quality_is_the_table_s(keeps_as: str, days: int | None) -> None:
    batch = optimiser.read_week(week(keeps_as=keeps_as)).batches["stew"]
    assert batch.frozen_best_by == (None if days is None else batch.made + timedelta(days=days))


def test_the_door_says_what_how_many_when_and_for_which_day() -> None:
    there = frozen(week())
    text = optimiser.render(there)
    for tub in there.tubs:
        assert tub.for_day is not None
        assert tub.move is not None
        tubs = f" in {tub.tubs} tubs" if tub.tubs > 1 else ""
        said = [
            "stew",
            f"{tub.portions} portions, {tub.grams:.0f} g{tubs}",
            day_name(tub.frozen),
            day_name(tub.move),
            day_name(tub.for_day),
            f"{tub.for_day:%a} (Ann, Bo)",
        ]
        wide = " ".join(optimiser.render(there, width=200).split())
        assert " ".join(said) in wide
    assert "stew: contains celery" in text
    assert "Mind: if reheated: 74 °C (165 °F), only once." in text
    assert "not frozen again" in text
    assert max(map(cell_len, text.splitlines())) <= 80


def test_an_empty_freezer_says_so_and_is_no_part_of_the_page() -> None:
    plan = optimiser.plan(week(freezes=False, fridge_life="4 days"), reasons=False)
    assert "Nothing is in the freezer." in optimiser.render(optimiser.freezer(plan))
    assert "Nothing is in the freezer." in html(optimiser.freezer(plan))
    page = optimiser.page(plan, sliders=False, verdicts=False)
    assert "In the freezer" not in optimiser.render(page)


def test_the_page_has_the_list_and_a_way_to_it() -> None:
    page = optimiser.page(week(), sliders=False, verdicts=False)
    text = optimiser.render(page)
    assert text.count("In the freezer") == 3
    (link,) = re.findall(r'<a href="#(list-[0-9]+)"><b>In the freezer</b>', text)
    assert f'<section class="view" id="{link}"' in text
    section = text.partition(f'<section class="view" id="{link}"')[2].partition("</section>")[0]
    for tub in frozen(week()).tubs:
        assert tub.move is not None
        assert re.search(f"<td[^>]*>{day_name(tub.move)}</td>", section)


def test_on_a_phone_and_on_paper_no_short_word_is_broken(chromium: Browser) -> None:
    page = chromium.new_page(viewport={"width": 360, "height": 740})
    page.set_content(html(optimiser.freezer(week())))
    assert page.evaluate(BROKEN) == []
    # Letter without its margins.
    page.set_viewport_size({"width": 700, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate(BROKEN) == []
    page.close()


# -- every list -----------------------------------------------------------------------------------


def test_a_list_is_three_files_and_found_by_all() -> None:
    for name in lists.names():
        for room in ("models.answers", "optimiser.sheets.lists", "optimiser.report"):
            import_module(f"{room}.{name}")
        assert name in COMMANDS
        assert name in dir(optimiser)
        assert name in optimiser.__all__
        assert getattr(optimiser, name).__doc__.startswith(lists.about(name))
        assert lists.maker(name).__name__ == name
        manual = doctest.DocTestFinder().find(
            getattr(optimiser, name), name, module=False, globs={name: getattr(optimiser, name)}
        )
        assert doctest.DocTestRunner().run(manual[0]) == (0, 1)


@pytest.mark.parametrize("name", lists.names())
def test_the_command_writes_text_a_sheet_to_print_and_json(name: str, tmp_path: Any) -> None:
    (tmp_path / "week.yaml").write_text(json.dumps(week()), encoding="utf-8")
    answer = getattr(optimiser, name)(week())
    text = run(name, "week.yaml", folder=tmp_path).done().out
    assert text.strip() == optimiser.render(answer).strip()
    as_json = run(name, "week.yaml", "--json", folder=tmp_path).done().data
    assert type(answer).model_validate(as_json) == answer
    run(name, "week.yaml", "--as", "html", "-o", "list.html", folder=tmp_path).done()
    assert (tmp_path / "list.html").read_text(encoding="utf-8") == html(answer)
    assert lists.about(name) in " ".join(run(name, "--help", folder=tmp_path).done().out.split())


@pytest.mark.parametrize("name", lists.names())
def test_hostile_names_are_shown_and_do_nothing(name: str) -> None:
    text = HOSTILE.replace("life_source", "freezes: yes\n    frozen: 2 pieces\n    life_source")
    answer = getattr(optimiser, name)(text)
    listing = listing_of(answer)
    assert any(NASTY in cell for row in listing.rows for cell in row)
    printed = optimiser.render(answer)
    assert "".join(NASTY.split()) in "".join("".join(row[0].split()) for row in listing.rows)
    assert all(letter.isprintable() or letter == "\n" for letter in printed)
    assert max(map(cell_len, printed.splitlines())) <= 80
    sheet = html(answer)
    assert "<script" not in sheet
    assert "&lt;/script&gt;" in sheet
    assert "default-src 'none'" in sheet
    page = optimiser.render(optimiser.page(text, sliders=False, verdicts=False))
    assert page.count("<script") == 1


@pytest.mark.parametrize("name", lists.names())
@pytest.mark.parametrize("width", [40, 60, 80])
def test_a_list_keeps_to_its_width(name: str, width: int) -> None:
    long = json.dumps(week()).replace('"stew"', f'"{"barley and root " * 3}stew"')
    long = long.replace('"Ann"', '"Donaudampfschifffahrtsgesellschaftskapitaen"')
    text = optimiser.render(getattr(optimiser, name)(long), width=width)
    assert max(map(cell_len, text.splitlines())) <= width
