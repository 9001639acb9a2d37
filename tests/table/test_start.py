"""From nothing to a week: what is pasted is read at once, and is the file once that is asked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import optimiser

from .window import WRONG, Window, beside, shown

SOUP = """Pea soup
Serves 6

Ingredients
300 g dried split peas
2 onions
1 glug of mystery

Method
Boil 1 h.
"""
SALAD = "Bean salad\n8 portions\n2 x 400 g tins kidney beans, drained\n200 g feta\n"
PAGE = """<html><script type="application/ld+json">{"@type": "Recipe", "name": "Lentil stew",
"recipeYield": "6", "recipeIngredient": ["300 g dried lentils", "1 onion"]}</script></html>"""


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Window]:
    opened = Window(tmp_path / "week.yaml")
    yield opened
    opened.sitting.close()


def test_where_there_is_no_file_it_asks_what_is_cooked(empty: Window) -> None:
    text = empty.look()
    assert "There is no week in week.yaml yet" in text
    assert "What do you cook?" in text
    assert "Bread, cheese, leaves and grain beside what you cook are added" in text
    assert not empty.file.exists()


def test_each_line_is_read_as_check_reads_it_and_nothing_is_written(empty: Window) -> None:
    text = empty.do("/start/read", r0=SOUP, r1=SALAD)
    for line in ("split peas, dry 300 g 71.5 g protein", "onion, raw 220 g 2.4 g protein"):
        assert line in text
    assert "1 glug of mystery not read: 'mystery' is not in the table." in text
    assert "Bean salad, 8 portions" in text
    assert "feta cheese 200 g" in text
    assert not empty.file.exists()


def test_what_is_known_of_allergens_is_told_beside_what_is_not(empty: Window) -> None:
    stew = "Stew\n4 portions\n400 g chopped tomatoes\n60 g flaked almonds\n30 g red chilli sauce"
    text = empty.do("/start/read", r0=stew)
    assert "contains nuts; allergens not settled: red chilli sauce" in text
    plain = "Stew\n4 portions\n400 g chopped tomatoes\n200 g carrots"
    assert "no allergens" in empty.do("/start/read", r0=plain)


def test_a_line_that_is_not_read_is_no_part_of_the_sums_and_that_is_told(empty: Window) -> None:
    beans = "Beans\n4 portions\n110 g onions\n500 g zorgle beans"
    text = empty.do("/start/read", r0=beans)
    assert "4 portions of 27.5 g and their share of what is not read" in text
    empty.do("/start/make", r0=beans, starts="2026-11-30")
    assert "its portions weigh what the other lines" in " ".join(
        optimiser.check(str(empty.file)).remarks
    )
    assert "27.5 g and their share of what is not read" in empty.look("/food")
    assert "their share" not in empty.do("/start/read", r0="Beans\n4 portions\n110 g onions")


def test_what_is_made_is_a_week_that_plans(empty: Window) -> None:
    fields = {"r0": SOUP, "r1": SALAD, "eaters": "Ann, Bob", "days": "mon-wed", "protein": "9"}
    empty.do("/start/make", starts="2026-11-30", **fields)
    week = optimiser.read_week(str(empty.file))
    assert [*week.batches] == ["Pea soup", "Bean salad"]
    assert [*week.eaters] == ["Ann", "Bob"]
    assert [day.isoformat() for day in week.days] == ["2026-11-30", "2026-12-01", "2026-12-02"]
    assert "9 g" in empty.look()
    for eater in week.eaters:
        mine = [lunch.dish for lunch in optimiser.plan(week).lunches if lunch.eater == eater]
        assert len({*mine}) == len(mine) == 3
    # Who has a week sees it, and may go back to none.
    assert "What do you cook?" not in empty.look("/start")
    empty.do("/undo")
    assert "There is no week" in empty.look()


def test_a_saved_page_becomes_lines_that_can_be_changed(empty: Window) -> None:
    got = empty.client.post(
        "/start/read",
        data={"on": empty.sitting.file.digest, "r0": SOUP},
        files={"file": ("stew.html", PAGE.encode(), "text/html")},
        headers={"origin": empty.base},
    )
    assert "Lentil stew\nServes 6\n\nIngredients\n300 g dried lentils\n1 onion" in got.text
    assert "Lentil stew, 6 portions" in got.text


@pytest.mark.parametrize(
    ("fields", "what", "field"),
    [
        ({}, "there is nothing to cook yet", "r0"),
        ({"r0": SOUP, "days": "fri-mon"}, "are no days", "start-days"),
        ({"r0": SOUP, "starts": "soon"}, "'soon' is not a date", "start-starts"),
        ({"r0": SOUP, "guidance": "mars"}, "that cannot be chosen", ""),
        ({"r0": SOUP, "protein": "much"}, "much g", "start-protein"),
        ({"r0": "Soup"}, "no recipe", "r0"),
        ({"r0": SOUP, "r1": "Soup"}, "no recipe", "r1"),
    ],
)
def test_what_cannot_be_made_says_why_and_writes_nothing(
    empty: Window, fields: dict[str, str], what: str, field: str
) -> None:
    page = empty.sent("/start/make", WRONG, form="start", **fields)
    assert what in (beside(page, field) if field else shown(page))
    assert page.count('class="refused"') + page.count('id="refusal"') == 1
    assert not empty.file.exists()
