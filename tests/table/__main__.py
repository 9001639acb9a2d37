"""The room at length, not in the gate: `python -m tests.table pictures|sheet|screens|lived|...`.

`pictures` makes those of the README, from an empty folder to the sheet. `sheet` goes that way and
looks that the sheet is there. `screens` looks at every part of four files at four widths, light and
dark, in large text and with axe. `lived` lives a whole week with two changes, and goes on to the
next. `clicks` presses and types at random for so many minutes. `seconds` tells how long a first
look, a typed line and a week planned again take.
"""

from __future__ import annotations

import argparse
import itertools
import random
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Error, Page

import optimiser
from models.file.reading import ready_text
from models.words.errors import InputError
from optimiser.table.opened import opened
from optimiser.table.serving import TableServer
from optimiser.table.sitting import Sitting
from tests.sheets.browser import browser

PICTURES = Path(__file__).parent.parent.parent / ".docs"
WIDE, NARROW, HIGH, PAPER = 1240, 800, 780, 1120
SOUP = """Split pea soup
Serves 8

Ingredients
500 g dried split peas
2 onions
3 carrots
1 tbsp rapeseed oil
2 litres water

Method
Fry the onions and carrots for 10 minutes.
Add the peas and the water and simmer for 60 minutes.
"""
BAKE = """Potato and egg bake
Makes 6 pieces

Ingredients
1 kg potatoes
6 eggs
200 g cheddar
1 onion

Method
Boil the potatoes for 20 minutes.
Mix with the eggs, the onion and the cheese.
Bake at 190 C for 40 minutes.
"""


@contextmanager
def served(file: Path) -> Iterator[TableServer]:
    server = TableServer(Sitting(opened(str(file))))
    thread = threading.Thread(target=server.run, kwargs={"browser": False})
    thread.start()
    try:
        yield server
    finally:
        server.end()
        thread.join()


def watched(page: Page) -> list[str]:
    """Note all that goes wrong on a page."""
    wrong: list[str] = []
    # What is refused, and a page that is gone, are answered with a code of their own.
    page.on(
        "console",
        lambda message: (
            None if "422" in message.text or "404" in message.text else wrong.append(message.text)
        ),
    )
    page.on("pageerror", lambda error: wrong.append(str(error)))
    return wrong


def from_nothing(page: Page, server: TableServer, folder: Path | None) -> None:
    """Go from an empty folder to the sheet, with a picture of each step where there is a folder."""

    def picture(name: str, shown: Page = page, *, at: str = "", wide: int = WIDE) -> None:
        if folder is not None:
            server.sitting.worker.wait()
            shown.set_viewport_size({"width": wide, "height": PAPER if shown is not page else HIGH})
            shown.evaluate(
                "it => (document.getElementById(it) ?? document.body).scrollIntoView()", at
            )
            # A field shows what was pasted from its first line.
            shown.evaluate(
                "document.querySelectorAll('textarea').forEach(it => { it.scrollTop = 0 })"
            )
            shown.mouse.move(0, 0)
            page.wait_for_timeout(500)
            shown.screenshot(path=str(folder / f"{name}.png"))

    page.goto(server.address)
    picture("start", wide=NARROW)
    page.locator("#r0").fill(SOUP)
    page.get_by_role("button", name="Another recipe").click()
    page.locator("#r1").fill(BAKE)
    page.get_by_role("heading", name="Potato and egg bake, 6 pieces").wait_for()
    page.get_by_label("First day").fill("2026-11-30")
    page.get_by_label("Protein in each lunch").fill("16")
    picture("recipes", at="more", wide=NARROW)
    page.get_by_role("button", name="Make the week").click()
    page.locator("#box-2026-12-01-1").click()
    page.get_by_text("Another dish there").wait_for()
    picture("week")
    page.get_by_role("link", name="How much to cook").click()
    page.get_by_role("slider").first.press("ArrowLeft")
    page.get_by_role("button", name="Cook these").wait_for()
    picture("volumes")
    page.get_by_role("button", name="Cook these").press("Enter")
    page.get_by_text("Nothing is left over").first.wait_for()
    page.get_by_role("link", name="Take it along").click()
    page.get_by_role("heading", name="Take it along").wait_for()
    picture("take")
    with page.context.expect_page() as sheet:
        page.get_by_role("link", name="The sheet for the fridge door").click()
    sheet.value.wait_for_load_state()
    assert "Split pea soup" in sheet.value.content()
    picture("sheet", sheet.value, wide=NARROW)


def way(folder: Path | None) -> int:
    with tempfile.TemporaryDirectory() as empty, browser() as running:
        file = Path(empty) / "week.yaml"
        with served(file) as server:
            context = running.new_context(viewport={"width": WIDE, "height": HIGH})
            page = context.new_page()
            wrong = watched(page)
            from_nothing(page, server, folder)
            context.close()
        optimiser.check(str(file))
    print(*wrong, "From nothing to the sheet: done.", sep="\n")
    return 1 if wrong else 0


def lived() -> int:
    """Live a week: pack, tell of two changes, undo and redo, open again, on to the week after."""
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        file = Path(folder) / "week.yaml"
        file.write_text(ready_text("demo"), encoding="utf-8")
        was = file.read_text(encoding="utf-8")
        context = running.new_context(viewport={"width": WIDE, "height": HIGH})
        page = context.new_page()
        wrong = watched(page)
        with served(file) as server:
            page.goto(server.address)
            page.get_by_text("Proven the best week").first.wait_for()
            packed(page)
            told(page, {"from": "Wed 2 Dec", "off": "Fri 4 Dec"})
            page.get_by_text("The week runs: Wed").wait_for()
            page.locator("#undo").press("Enter")
            page.get_by_text("The week runs").wait_for(state="detached")
            page.locator("#redo").press("Enter")
            page.get_by_text("The week runs: Wed").wait_for()
            tried = Axe().run(page).response["violations"]
            wrong += [f"{rule['id']}: {rule['nodes'][0]['html']}" for rule in tried]
        with served(file) as server:
            page.goto(server.address)
            page.get_by_text("The week runs: Wed").wait_for()
            told(page, {"from": "Thu 3 Dec", "batch": "pea soup", "kind": "were eaten"}, "9")
            page.get_by_text("cannot be gone").wait_for()
            told(page, {"from": "Thu 3 Dec", "batch": "barley pot", "kind": "were eaten"}, "1")
            page.get_by_text("barley pot eaten").first.wait_for()
            packed(page)
            plan = optimiser.read_plan(str(file.with_name("week-2026-12-01.2.plan.json")))
            assert [line.today.day for line in plan.changes] == [2, 3]
            assert file.read_text(encoding="utf-8") == was
            page.locator("#next-week").click()
            page.locator("#undo").get_by_text("on to the week after").wait_for()
            assert file.read_text(encoding="utf-8") == optimiser.next_week(plan).text
        context.close()
        optimiser.check(str(file))
    print(*wrong, "A week lived with two changes, and on to the next: done.", sep="\n")
    return 1 if wrong else 0


def packed(page: Page) -> None:
    """Tick all that is packed on each morning of the week."""
    page.get_by_role("link", name="Pack a box").click()
    page.get_by_role("heading", name="Pack for").wait_for()
    for at in range(page.locator("ul.near a").count()):
        page.locator("ul.near a").nth(at).click()
        page.locator(f"ul.near li:nth-child({at + 1}).now").wait_for()
        for box in page.get_by_role("checkbox").all():
            box.check()


def told(page: Page, chosen: dict[str, str], many: str = "") -> None:
    """Tell what went otherwise, and go on with what comes of it where that can be."""
    page.get_by_role("link", name="When it goes otherwise").last.click()
    page.get_by_label("Planned again from").wait_for()
    for name, label in ({"off": "none"} | chosen).items():
        page.locator(f"#change-{name}").select_option(label=label)
    page.locator("#change-many").fill(many)
    page.get_by_role("button", name="Look what comes of it").press("Enter")
    page.locator("#comes .main, .refused").first.wait_for()
    if page.locator("#comes .main").count():
        page.locator("#comes .main").press("Enter")


def screens() -> int:
    """Look at every part at each width, light and dark, as it is and in large text."""
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        for name in ("", "starter", "family", "impossible"):
            file = Path(folder) / f"{name or 'new'}.yaml"
            if name:
                file.write_text(ready_text(name), encoding="utf-8")
            with served(file) as server:
                for width, scheme in itertools.product((360, 390, 768, 1280), ("light", "dark")):
                    context = running.new_context(
                        viewport={"width": width, "height": 800},
                        color_scheme=scheme,
                        reduced_motion="reduce",
                    )
                    told = look_at(context.new_page(), server, width)
                    wrong += [f"{name or 'nothing'}, {width}, {scheme}: {line}" for line in told]
                    context.close()
    print(*wrong, "Every screen looked at.", sep="\n")
    return 1 if wrong else 0


def look_at(page: Page, server: TableServer, width: int) -> list[str]:
    """Say what is cut, closed to anyone or out of reach of a keyboard on the parts of a week."""
    wrong = watched(page)
    page.goto(server.address)
    paths = [link.get_attribute("href") or "" for link in page.locator("nav a").all()]
    paths += [link.get_attribute("href") or "" for link in page.locator("a.inside").all()[:1]]
    for path in paths or ["/"]:
        page.goto(f"{server.address.partition('/?')[0]}{path}")
        server.sitting.worker.wait()
        page.wait_for_timeout(200)
        for part in page.locator("summary:visible").all():
            part.press("Enter")
        tried = Axe().run(page).response["violations"]
        wrong += [f"{path}: {rule['id']}: {rule['nodes'][0]['html']}" for rule in tried]
        wrong += [f"{path}: no keyboard gets to {left}" for left in page.evaluate(UNREACHED)]
        for size in ("100%", "200%"):
            page.evaluate(f"document.documentElement.style.fontSize = '{size}'")
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wrong.append(f"{path}: wider than the screen at {size}")
            wrong += [f"{path}: cut at {size}: {text}" for text in page.evaluate(CUT)]
    return wrong


UNREACHED = """() => [...document.querySelectorAll("a, button, input, select, summary, textarea")]
  .filter((it) => it.checkVisibility() && it.type !== "hidden" && it.tabIndex < 0)
  .map((it) => it.outerHTML.slice(0, 80))"""
CUT = """() => [...document.querySelectorAll("main button, main b, main label, main li, main h3")]
  .filter((it) => it.checkVisibility() && !it.closest(".seen-not"))
  .filter((it) => getComputedStyle(it).display !== "inline" && it.scrollWidth > it.clientWidth + 2)
  .map((it) => it.textContent.trim().slice(0, 60))"""


def clicks(minutes: float, number: int) -> int:
    """Press, choose, type and edit the file at random; give 1 where anything goes wrong."""
    dice, ends = random.Random(number), time.monotonic() + 60 * minutes
    done = 0
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        file = Path(folder) / "week.yaml"
        name = dice.choice(["starter", "demo", "minimal", "impossible", "family", ""])
        if name:
            file.write_text(ready_text(name), encoding="utf-8")
        with served(file) as server:
            context = running.new_context(viewport={"width": 1000, "height": 900})
            page = context.new_page()
            wrong = watched(page)
            page.goto(server.address)
            while time.monotonic() < ends and not wrong:
                try:
                    act(page, dice)
                except Error:
                    # What was to be pressed went away meanwhile.
                    page.wait_for_timeout(50)
                done += 1
                if dice.random() < 0.01 and file.is_file():
                    # An editor is open beside it.
                    with file.open("a", encoding="utf-8") as stream:
                        stream.write(f"# {done}\n")
                if not page.url.startswith(server.address.partition("?")[0]):
                    wrong.append(f"left for {page.url}")
                try:
                    if file.is_file() and file.read_text(encoding="utf-8").strip():
                        optimiser.check(str(file))
                except InputError as fault:
                    wrong.append(f"check refuses the file: {fault}")
            context.close()
    print(*wrong, f"{done} times at random on {name or 'nothing'}, number {number}.", sep="\n")
    return 1 if wrong else 0


def act(page: Page, dice: random.Random) -> None:
    things = page.locator(
        "main a[data-here]:visible, main button:visible, main input:visible, main summary:visible,"
        " main textarea:visible, main select:visible"
    )
    thing = things.nth(dice.randrange(max(1, things.count())))
    kind = thing.evaluate("it => it.type ?? ''", timeout=500)
    if kind == "range":
        thing.press(dice.choice(["ArrowLeft", "ArrowRight", "End", "Home"]), timeout=500)
    elif kind == "select-one":
        options = thing.locator("option").count()
        thing.select_option(index=dice.randrange(max(1, options)), timeout=500)
    elif kind in ("number", "text", "textarea"):
        typed = dice.choice(["7", "0", "", "-3", "abc", "99999", "200 g rice", "Ann, Bob", SOUP])
        typed = typed if kind == "textarea" else typed.partition("\n")[0]
        if kind == "number":
            typed = typed if typed.lstrip("-").isdigit() else ""
        thing.fill(typed, timeout=500)
    elif kind not in ("file", "date"):
        thing.click(timeout=500)
    if dice.random() < 0.05:
        page.go_back(timeout=2_000)
        if page.url == "about:blank":
            # Before the first page there is none.
            page.go_forward(timeout=2_000)
    page.wait_for_timeout(dice.choice([0, 30, 300]))


def seconds() -> int:
    """Tell how long one waits, in milliseconds: medians of five by the clock, the least of CPU."""
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        page = running.new_page()
        empty = Path(folder) / "new.yaml"
        with served(empty) as server:
            page.goto(server.address)
            page.locator("#r0").fill(SOUP)
            page.get_by_role("heading", name="Split pea soup").wait_for()
            lines = [timed_line(page, at) for at in range(5)]
        print(f"a typed line, as shown, without the 120 ms of waiting: {sorted(lines)[2]:.0f}")
        for name in ("starter", "demo", "family"):
            file = Path(folder) / f"{name}.yaml"
            file.write_text(ready_text(name), encoding="utf-8")
            with served(file) as server:
                page.goto(server.address)
                page.get_by_text("Proven the best week").first.wait_for()
                paints = []
                for _ in range(5):
                    page.goto(server.address.partition("?")[0])
                    page.wait_for_timeout(300)
                    paints.append(
                        page.evaluate("performance.getEntriesByType('paint')[0].startTime")
                    )
                waits, works = zip(*(planned_again(server) for _ in range(5)), strict=True)
            print(
                f"{name}: first paint {sorted(paints)[2]:.0f}, planned again "
                f"{sorted(waits)[2]:.0f} ({min(works):.0f} of CPU)"
            )
    return 0


# In the page: a driver looks ever more seldom, which would count as waiting.
SHOWN = """async ([text, wanted]) => {
  const field = document.getElementById("r0"), began = performance.now();
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  await new Promise((done) => {
    const look = () => document.body.innerText.includes(wanted) && done();
    new MutationObserver(look).observe(document.body, { subtree: true, childList: true });
  });
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  return performance.now() - began;
}"""


def timed_line(page: Page, at: int) -> float:
    text = f"{SOUP}\n".replace("2 onions", f"{at + 3} onions")
    took: float = page.evaluate(SHOWN, [text, f"{(at + 3) * 110} g"])
    page.wait_for_timeout(300)
    return took - 120


def planned_again(server: TableServer) -> tuple[float, float]:
    name, batch = next(iter(server.sitting.week.batches.items()))  # type: ignore[union-attr]
    edit = (("batches", name, "cook"), f"{batch.portions + 1} portions")
    began, worked = time.monotonic(), time.process_time()
    server.sitting.change([edit], "one more")
    plan = None
    while plan is None:
        time.sleep(0.005)
        plan = server.sitting.plan
    return 1000 * (time.monotonic() - began), 1000 * (time.process_time() - worked)


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.table", description=__doc__)
    alone = {"screens": screens, "lived": lived, "seconds": seconds}
    asked.add_argument("what", choices=["pictures", "sheet", "clicks", *alone])
    asked.add_argument("minutes", type=float, nargs="?", default=10.0)
    asked.add_argument("--number", type=int, default=0, help="another number, other clicks")
    given = asked.parse_args()
    if given.what in alone:
        return alone[given.what]()
    if given.what == "clicks":
        return clicks(given.minutes, given.number)
    if given.what == "pictures":
        PICTURES.mkdir(exist_ok=True)
    return way(PICTURES if given.what == "pictures" else None)


if __name__ == "__main__":
    sys.exit(main())
