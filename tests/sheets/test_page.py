"""The page in a real browser: no network, no errors, what it shows is what the plan says."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from models.answers.page import PageFile
from models.file.reading import read_week, ready_text, week_of
from models.file.yamltext import parse
from models.week.cook import week_cooked_in
from optimiser.auditing import packed_of
from optimiser.paging import page as gather
from optimiser.planning import plan_week
from optimiser.report.page import html, is_ours, sheet_html
from optimiser.solve.week import solve_week
from tests.cli.command import Ran, one_message, run

from .browser import BROKEN
from .hostile import HOSTILE, NASTY

LARGEST = 600_000
LONG = "Bartholomew" * 5 + "Bart."
"""A name of 60 letters without a space."""
LEFTWARD = "\N{HEBREW LETTER MEM}\N{HEBREW LETTER RESH}\N{HEBREW LETTER QOF}"
HARD = (
    ready_text("minimal")
    .replace("{Ilse: {floors: {protein: 18 g}}}", f"{{Ilse: {{}}, {LONG}: {{}}}}")
    .replace("yield: 1200 g", "yield: 2400 g")
    .replace("200 g white rice, 200 g dried", "400 g white rice, 400 g dried")
    .replace("rice and beans", LEFTWARD)
)
"""Two eaters and names that are hard to lay out."""


def gathered(text: str, *, sliders: bool = False, verdicts: bool = False) -> PageFile:
    week = week_of(parse("week.yaml", text))
    plan = plan_week(week, reasons=verdicts)
    return gather(plan, week, packed_of(plan, week), sliders=sliders, verdicts=verdicts)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every page that is looked at, once."""
    folder = tmp_path_factory.mktemp("page")
    family = gathered(ready_text("family"))
    pages = {
        "demo": html(gathered(ready_text("demo"), sliders=True, verdicts=True)),
        "family": html(family),
        "family-sheet": sheet_html(family),
        "hostile": html(gathered(HOSTILE, sliders=True)),
        "hard": html(gathered(HARD, sliders=True)),
    }
    for name, text in pages.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return folder


def opened(context: BrowserContext, file: Path, day: str = "2026-12-03") -> tuple[Page, list[str]]:
    """Open a page with the network cut, on a morning; give it with all that went wrong."""
    context.set_offline(True)
    page = context.new_page()
    wrong: list[str] = []
    page.on("console", lambda message: wrong.append(message.text))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request",
        lambda asked: (
            None
            if asked.url.startswith(("file:", "data:"))
            else wrong.append(f"asked for {asked.url}")
        ),
    )
    page.on("dialog", lambda dialog: (wrong.append(dialog.message), dialog.dismiss()))
    page.clock.set_fixed_time(datetime.fromisoformat(f"{day}T07:10"))
    page.goto(file.as_uri())
    return page, wrong


def wide(page: Page) -> int:
    """Show every part of a page at once and give how wide it is."""
    page.evaluate("""() => {
        for (const part of document.querySelectorAll('[hidden]')) { part.hidden = false; }
        for (const part of document.querySelectorAll('details')) { part.open = true; }
    }""")
    return int(page.evaluate("document.documentElement.scrollWidth"))


def test_it_is_one_file_of_modest_size_that_asks_for_nothing(folder: Path) -> None:
    text = (folder / "demo.html").read_text(encoding="utf-8")
    assert len(text.encode()) < LARGEST
    assert "default-src 'none'" in text
    links = re.findall(r'(?:src|href|action)="([^"#][^"]*)"', text)
    assert all(link.startswith("data:image/svg+xml;base64,") for link in links)
    assert is_ours(text)
    assert not is_ours(text.replace("Pot and rye", "Pot and rice"))


@pytest.mark.parametrize(
    ("width", "height", "scheme", "name"),
    [(320, 700, "dark", "hard"), (768, 1024, "dark", "family"), (1600, 1000, "light", "demo")],
)
def test_no_part_of_it_is_cut_or_closed_to_anyone(
    folder: Path, chromium: Browser, width: int, height: int, scheme: str, name: str
) -> None:
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page, wrong = opened(context, folder / f"{name}.html")
    assert wide(page) <= width
    assert page.evaluate(BROKEN) == []
    assert wrong == []
    tried = Axe().run(page).response["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in tried] == []
    # Letters twice as large, colours of the reader's own, nothing that moves.
    page.emulate_media(forced_colors="active", reduced_motion="reduce")
    sizes = {"standard": 32, "fixed": 26}
    context.new_cdp_session(page).send("Page.setFontSizes", {"fontSizes": sizes})
    page.reload()
    assert wide(page) <= width
    assert page.evaluate(BROKEN) == []
    marks = page.evaluate(
        "[...document.querySelectorAll('.tick input')].map(box => "
        "getComputedStyle(box).borderTopWidth)"
    )
    assert set(marks) == {"2px"}
    context.close()


def test_a_screen_reader_is_told_what_the_eye_sees(folder: Path, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page, _ = opened(context, folder / "demo.html", day="2026-12-05")
    expect(page.locator("body")).to_match_aria_snapshot("""
      - banner:
        - link "Contents"
        - heading "Late-shift week" [level=1]
      - navigation "Days":
        - list:
          - listitem:
            - link /Mon 30/
      - main:
        - region "Sat 5 Dec":
          - heading "Sat 5 Dec" [level=2]
          - article:
            - heading "Cold bake plate" [level=3]
            - list:
              - listitem:
                - checkbox /compartment 1 1 piece baked apples/
              - listitem:
                - checkbox /compartment 2 2 pieces leek bake/
          - heading "Tonight, freezer to fridge" [level=4]
          - list:
            - listitem: 1 portion pea soup
      - navigation "The rest of this page":
        - list:
          - listitem:
            - link /The week/
    """)
    # A table that is laid out as a list on a phone is a table all the same.
    page.locator(".index a[href='#week']").click()
    tubs = page.get_by_role("row", name="barley pot fridge, use by Fri 4 Dec")
    assert tubs.get_by_role("rowheader").inner_text() == "barley pot"
    assert tubs.get_by_role("cell").count() == 4
    # The contents are one step away, and what is shown stays.
    page.get_by_role("link", name="Contents").click()
    assert page.evaluate("document.activeElement.id") == "parts"
    assert page.locator("#week").is_visible()
    context.close()
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page, _ = opened(context, folder / "family.html")
    expect(page.get_by_role("group", name="Whose box")).to_match_aria_snapshot("""
      - group "Whose box":
        - radio "Noor" [checked]
        - radio "Eskil"
    """)
    context.close()


def test_names_from_right_to_left_are_isolated(folder: Path) -> None:
    text = (folder / "hard.html").read_text(encoding="utf-8")
    shown = re.sub(
        r"<(title|style|script)\b.*?</\1>|<[^>]*>",
        "",
        text.replace(f"<bdi>{LEFTWARD}</bdi>", ""),
        flags=re.DOTALL,
    )
    assert text.count(f"<bdi>{LEFTWARD}</bdi>") > 20
    assert LEFTWARD not in shown


def test_todays_box_is_above_the_fold_on_every_day(folder: Path, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    first = date(2026, 12, 1)
    page, wrong = opened(context, folder / "demo.html", day=f"{first}")
    week = read_week("demo")
    _, solved = solve_week(week)
    assert solved.packed is not None
    for lunch in solved.packed.lunches:
        page.clock.set_fixed_time(datetime.fromisoformat(f"{lunch.day}T07:10"))
        page.reload()
        day = page.locator(".day:visible")
        assert day.get_attribute("data-date") == f"{lunch.day}", lunch.day
        assert day.locator("h3").inner_text() == lunch.dish
        for part in day.locator(".tick, .tonight, article .note").all():
            box = part.bounding_box()
            assert box is not None, lunch.day
            assert 0 < box["y"] < box["y"] + box["height"] <= 844, (lunch.day, part.inner_text())
        assert page.locator(".strip [aria-current=date]").inner_text().split()[1] == str(
            lunch.day.day
        )
    assert page.locator(".tonight:visible").count() == 0
    for day_before, view in (
        (first - timedelta(days=3), "#prep-2026-11-30"),
        (first + timedelta(days=2), "#day-2026-12-03"),
        (first + timedelta(days=9), "#left"),
    ):
        page.clock.set_fixed_time(datetime.fromisoformat(f"{day_before}T07:10"))
        page.reload()
        assert page.locator(view).is_visible(), day_before
    assert wrong == []
    context.close()


def test_a_name_above_the_dish_chooses_whose_box_and_is_remembered(
    folder: Path, chromium: Browser
) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page, wrong = opened(context, folder / "family.html")
    assert page.locator(".day:visible h3:visible").count() == 1
    page.get_by_role("radio", name="Pip").check()
    dish = page.locator(".day:visible h3:visible").inner_text()
    assert dish == "Kale square and beetroot"
    page.reload()
    assert page.locator(".day:visible h3:visible").inner_text() == dish
    page.keyboard.press("Tab")
    page.locator(".who input:checked").focus()
    page.keyboard.press("ArrowLeft")
    assert page.locator(".day:visible h3:visible").inner_text() != dish
    # Past days fold in the week, and what is still to come does not.
    page.locator(".index a[href='#week']").click()
    folded = page.locator("#week .past dl:visible").count()
    assert (folded, page.locator("#week .row:not(.past) dl:visible").count() > 0) == (0, True)
    assert wrong == []
    context.close()


def test_a_step_says_what_it_changes_and_that_is_what_plan_gives(
    folder: Path, chromium: Browser
) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, folder / "demo.html")
    page.locator(".index a[href='#what-if']").click()
    week = read_week("demo")
    _, planned = solve_week(week)
    assert planned.packed is not None
    names = [heading.inner_text() for heading in page.locator(".volume h3").all()]
    assert names == list(week.batches)
    place = page.locator(".volume").first
    slider, says = place.locator("input"), place.locator("output")
    assert says.inner_text() == "6 portions, as planned: nothing left over"
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext") == "7 portions, 1 more"
    _, other = solve_week(week_cooked_in(week, {names[0]: 7}))
    assert other.packed is not None
    days = [
        f"{new.day:%A}"
        for old, new in zip(planned.packed.lunches, other.packed.lunches, strict=True)
        if (old.dish, old.portions) != (new.dish, new.portions)
    ]
    assert says.inner_text().startswith("7 portions, 1 more: 140 g more left over, EUR 0.85 more")
    for name in days:
        assert name in says.inner_text()
    place.get_by_role("button", name="1 more").click()
    assert place.get_by_role("button", name="1 more").is_disabled()
    place.get_by_role("button", name="the plan").click()
    assert says.inner_text() == "6 portions, as planned: nothing left over"
    better = "; ".join(page.locator(".better").all_inner_texts())
    for saving in ("4 portions: EUR 1.70 less", "1 portion less thawed", "2 days less past best"):
        assert saving in better
    assert wrong == []
    context.close()


def test_dishes_with_the_same_verdict_stand_together(folder: Path, chromium: Browser) -> None:
    context = chromium.new_context()
    page, _ = opened(context, folder / "demo.html")
    page.locator(".index a[href='#why']").click()
    page.locator("#why summary").first.click()
    groups = page.locator("#why details[open] dt").all_inner_texts()
    assert groups[0].startswith("1 dish: as good")
    assert len(groups) == len(set(groups))
    dishes = ", ".join(page.locator("#why details[open] dd").all_inner_texts()).split(", ")
    assert len(dishes) == len(read_week("demo").dishes) - 1
    context.close()


def test_ticks_survive_a_reload(folder: Path, chromium: Browser) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, folder / "demo.html")
    page.locator(".day:visible .tick").first.click()
    page.locator(".index a[href='#to-buy']").click()
    assert page.locator("#to-buy .tick").count() > 20
    # Opened at a part, the page begins with the name of the week.
    page.reload()
    assert page.evaluate("scrollY") == 0
    page.locator("#to-buy .tick").nth(3).click()
    page.reload()
    ticked = page.locator(".tick input:checked").evaluate_all("boxes => boxes.map(box => box.id)")
    assert [name.split("-")[0] for name in ticked] == ["box", "buy"]
    page.locator("#to-buy .tick").nth(3).click()
    page.reload()
    assert page.locator(".tick input:checked").count() == 1
    assert wrong == []
    context.close()


def test_without_a_script_all_of_it_is_there(folder: Path, chromium: Browser) -> None:
    context = chromium.new_context(java_script_enabled=False)
    context.set_offline(True)
    page = context.new_page()
    page.goto((folder / "family.html").as_uri())
    assert page.locator(".day h3:visible").count() == 15
    assert page.locator(".day .whose:visible").count() == 15
    assert page.locator(".who:visible, .control:visible").count() == 0
    page.goto((folder / "demo.html").as_uri())
    for view in ("#prep", "#to-buy", "#tubs", "#why", "#week", "#left"):
        assert page.locator(view).is_visible(), view
    rows = page.locator("#what-if tbody tr:visible")
    assert rows.count() >= 20
    assert "EUR 0.85 more" in page.locator("#what-if").inner_text()
    context.close()


def plainly(text: str) -> str:
    """Write text without what paper makes of it: ligatures, capitals, lines."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


@pytest.mark.parametrize(("name", "most"), [("demo", 1), ("family", 2), ("family-sheet", 2)])
def test_it_prints_on_one_sheet_with_every_lunch_whole(
    folder: Path, chromium: Browser, tmp_path: Path, name: str, most: int
) -> None:
    from pypdf import PdfReader  # noqa: PLC0415

    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page, _ = opened(context, folder / f"{name}.html", day="2026-12-04")
    page.emulate_media(media="print")
    sizes = page.evaluate("""() => {
        const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        const sizes = [];
        while (walker.nextNode()) {
            const at = walker.currentNode.parentElement;
            if (walker.currentNode.data.trim() && at.checkVisibility()) {
                sizes.push(parseFloat(getComputedStyle(at).fontSize) * 0.75);
            }
        }
        return sizes;
    }""")
    assert len(sizes) > 50
    assert min(sizes) >= 9
    if name == "demo":
        # What one reads from a metre: the dish, and what to move tonight.
        large = page.locator(".sheet h4, .sheet .move").evaluate_all(
            "each => each.map(text => parseFloat(getComputedStyle(text).fontSize) * 0.75)"
        )
        assert min(large) > 12.9
    file = tmp_path / "week.pdf"
    for paper in ("A4", "Letter"):
        page.pdf(path=str(file), format=paper, prefer_css_page_size=True)
        pages = [plainly(sheet.extract_text()) for sheet in PdfReader(file).pages]
        assert 1 <= len(pages) <= most, paper
        for row in page.locator(".sheet .row").all():
            lines = list(map(plainly, row.locator("h4, dd, .across").all_text_contents()))
            on = [text for text in pages if all(line in text for line in lines)]
            assert len(on) == 1, (paper, lines, pages)
        assert "use by" in " ".join(pages)
        shape = PdfReader(file).pages[0].mediabox
        assert (shape.width > shape.height) == (name != "demo")
    context.close()


def test_a_part_that_is_asked_for_prints_from_the_top_of_a_page(
    folder: Path, chromium: Browser, tmp_path: Path
) -> None:
    from pypdf import PdfReader  # noqa: PLC0415

    context = chromium.new_context()
    page, _ = opened(context, folder / "demo.html")
    for part, head in (("to-buy", "To buy"), ("tubs", "Tubs and their labels"), ("prep", "Prep")):
        page.locator(f".index a[href='#{part}']").click()
        page.locator(f"#{part}").wait_for()
        page.wait_for_function("part => location.hash === '#' + part", arg=part)
        file = tmp_path / "part.pdf"
        page.pdf(path=str(file), format="A4", prefer_css_page_size=True)
        pages = [sheet.extract_text().strip() for sheet in PdfReader(file).pages]
        assert pages[0].startswith(head)
        assert "as bars" not in "".join(pages)
        # A page each, and one for each prep day.
        assert len(pages) == (2 if part == "prep" else 1)
    context.close()


def test_text_of_a_week_file_never_becomes_markup_or_script(
    folder: Path, chromium: Browser
) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, folder / "hostile.html", day="2026-11-30")
    for link in page.locator(".index a, .strip a").all():
        link.click()
    for slider in page.locator(".volume input").all():
        slider.evaluate("place => { place.value = 0; place.dispatchEvent(new Event('input')); }")
    wide(page)
    assert wrong == []
    assert page.evaluate("window.hit") is None
    # One script: the program's own.
    assert page.locator("script").count() == 1
    assert page.locator("img:not([src^='data:image/svg'])").count() == 0
    assert page.locator("b i, h3 b, iframe, object").count() == 0
    assert NASTY in page.inner_text("body")
    context.close()


def test_the_command_writes_it_and_writes_over_its_own_only(tmp_path: Path) -> None:
    file = tmp_path / "week.html"

    def write(*more: str) -> Ran:
        words = ("page", "starter", "-o", file, "--no-sliders", "--no-verdicts", *more)
        return run(*words, folder=tmp_path)

    write().done()
    first = file.read_text(encoding="utf-8")
    assert write("--json").done().data["lunches"] == 5
    assert file.read_text(encoding="utf-8") == first
    write("--print").done()
    sheet = file.read_text(encoding="utf-8")
    assert "<script" not in sheet
    assert sheet.count('class="row"') == first.count('class="row"')
    file.write_text(first.replace("To buy", "My list"), encoding="utf-8")
    one_message(write(), "it is there already")
    assert "My list" in file.read_text(encoding="utf-8")
    write("--force").done()
    assert file.read_text(encoding="utf-8") == first


def test_what_takes_long_is_said_beforehand(tmp_path: Path) -> None:
    words = ("page", "minimal", "-o", tmp_path / "week.html", "--force")
    assert run(*words, "--print", folder=tmp_path).done().out.startswith("Wrote ")
    *first, then = run(*words, "--no-sliders", folder=tmp_path).done().out.splitlines()
    assert " ".join(first) == (
        "What takes longest is planned now: every other dish at 3 lunches (--no-verdicts)."
    )
    assert then.startswith("Wrote ")
