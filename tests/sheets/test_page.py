"""The page in a real browser: no network, no errors, what it shows is what the plan says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page

from models.file.reading import read_document, read_week, week_of
from models.file.yamltext import parse
from models.week.cook import week_cooked_in
from optimiser.auditing import packed_of
from optimiser.paging import page as gather
from optimiser.planning import plan_week
from optimiser.report.page import html, is_ours
from optimiser.solve.week import solve_week
from optimiser.written import portions_said
from tests.cli.command import Ran, one_message, run

from .browser import browser
from .hostile import HOSTILE, NASTY

LARGEST = 600_000


def made(text: str | None = None, *, sliders: bool = True) -> str:
    document = read_document("demo") if text is None else parse("week.yaml", text)
    week = week_of(document)
    plan = plan_week(week)
    packed = packed_of(plan, week)
    return html(gather(plan, week, packed, sliders=sliders, verdicts=text is None))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "week.html"
    file.write_text(made(), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "hostile.html"
    file.write_text(made(HOSTILE), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as running:
        yield running


def opened(context: BrowserContext, file: Path) -> tuple[Page, list[str]]:
    """Open a page with the network cut; give it with all that went wrong."""
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
    page.goto(file.as_uri())
    return page, wrong


def test_it_is_one_file_of_modest_size_that_asks_for_nothing(demo: Path) -> None:
    text = demo.read_text(encoding="utf-8")
    assert len(text.encode()) < LARGEST
    assert "default-src 'none'" in text
    links = re.findall(r'(?:src|href|action)="([^"#][^"]*)"', text)
    assert all(one.startswith("data:image/svg+xml;base64,") for one in links)
    assert is_ours(text)
    assert not is_ours(text.replace("Pot and rye", "Pot and rice"))


@pytest.mark.parametrize(
    ("width", "height", "scheme"),
    [(360, 740, "light"), (768, 1024, "dark"), (1600, 1000, "light")],
)
def test_it_loads_without_network_or_errors_at_any_width(
    demo: Path, chromium: Browser, width: int, height: int, scheme: str
) -> None:
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page, wrong = opened(context, demo)
    assert page.title() == "Late-shift week"
    assert page.locator(".lunch").count() == 6
    for lunch in page.locator(".lunch > details > summary").all():
        lunch.click()
    assert page.locator(".lunch > details[open]").count() == 6
    # Nothing is wider than the screen.
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []
    found = Axe().run(page)
    serious = [
        (one["id"], one["nodes"][0]["html"])
        for one in found.response["violations"]
        if one["impact"] in ("serious", "critical")
    ]
    assert serious == []
    context.close()


def test_a_slider_shows_the_plan_that_plan_gives(demo: Path, chromium: Browser) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, demo)
    week = read_week("demo")
    names = [one.inner_text() for one in page.locator(".slider h3").all()]
    assert names == list(week.batches)
    for at, name in enumerate(names):
        place = page.locator(".slider").nth(at)
        slider = place.locator("input")
        most = int(slider.get_attribute("max") or 0)
        for value in (0, most):
            slider.fill(str(value))
            portions = int(place.locator("output").inner_text().split()[0])
            other = week_cooked_in(week, {name: portions})
            _, solved = solve_week(other)
            assert solved.packed is not None
            shown = [one.inner_text() for one in place.locator("ol li span").all()]
            assert shown == [
                f"{lunch.dish}: {portions_said(other, lunch)}" for lunch in solved.packed.lunches
            ]
    assert wrong == []
    context.close()


def test_the_slider_begins_at_the_plan_and_moves_by_the_keys(demo: Path, chromium: Browser) -> None:
    context = chromium.new_context()
    page, _ = opened(context, demo)
    place = page.locator(".slider").first
    assert place.locator("output").inner_text() == "6 portions (as planned)"
    place.locator("input").focus()
    page.keyboard.press("ArrowRight")
    assert place.locator("output").inner_text() == "7 portions"
    assert place.locator("input").get_attribute("aria-valuetext") == "7 portions"
    context.close()


def test_ticks_survive_a_reload(demo: Path, chromium: Browser) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, demo)
    boxes = page.locator(".tick input")
    assert boxes.count() > 20
    boxes.nth(0).check()
    boxes.nth(3).check()
    page.reload()
    ticked = [box.is_checked() for box in page.locator(".tick input").all()]
    assert [at for at, on in enumerate(ticked) if on] == [0, 3]
    page.locator(".tick input").nth(0).uncheck()
    page.reload()
    ticked = [box.is_checked() for box in page.locator(".tick input").all()]
    assert [at for at, on in enumerate(ticked) if on] == [3]
    assert wrong == []
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_with_every_lunch_on_it(
    demo: Path, chromium: Browser, tmp_path: Path, paper: str
) -> None:
    context = chromium.new_context()
    page, _ = opened(context, demo)
    file = tmp_path / "week.pdf"
    page.pdf(path=str(file), format=paper)
    text = " ".join(_pdf_text(file).split())
    week = read_week("demo")
    _, solved = solve_week(week)
    assert solved.packed is not None
    for lunch in solved.packed.lunches:
        assert lunch.dish in text
    # What goes in which compartment, though nothing was tapped open.
    assert text.count("compartment 1") >= 5
    assert "To buy" in text
    assert "Cautions" in text
    context.close()


def _pdf_text(file: Path) -> str:
    from pypdf import PdfReader  # noqa: PLC0415

    return "\n".join(page.extract_text() for page in PdfReader(file).pages)


def test_text_of_a_week_file_never_becomes_markup_or_script(
    hostile: Path, chromium: Browser
) -> None:
    context = chromium.new_context()
    page, wrong = opened(context, hostile)
    for lunch in page.locator(".lunch > details > summary").all():
        lunch.click()
    for slider in page.locator(".slider input").all():
        slider.fill("0")
    assert wrong == []
    assert page.evaluate("window.hit") is None
    # Two scripts: the data and the program's own.
    assert page.locator("script").count() == 2
    assert page.locator("img:not([src^='data:image/svg'])").count() == 0
    assert page.locator("b i, h3 b, iframe, object").count() == 0
    text = page.inner_text("body")
    assert NASTY in text
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
    file.write_text(first.replace("Days", "My days"), encoding="utf-8")
    one_message(write(), "it is there already")
    assert "My days" in file.read_text(encoding="utf-8")
    write("--force").done()
    assert file.read_text(encoding="utf-8") == first
