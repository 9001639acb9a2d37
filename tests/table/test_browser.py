"""The room in a real browser, and as the command runs it."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import APIResponse, Browser, Page, Route

from models.file.reading import ready_text
from optimiser.table.opened import opened
from optimiser.table.serving import TableServer
from optimiser.table.sitting import Sitting
from tests.cli.command import arguments, environment

ADDRESS = "Open at "


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TableServer]:
    file = tmp_path_factory.mktemp("table") / "week.yaml"
    file.write_text(ready_text("starter"), encoding="utf-8")
    serving = TableServer(Sitting(opened(str(file))))
    thread = threading.Thread(target=serving.run, kwargs={"browser": False})
    thread.start()
    yield serving
    serving.end()
    thread.join()


def looked_at(
    serving: TableServer, browser: Browser, width: int, **ways: str
) -> tuple[Page, list[str]]:
    """Open the page; give it with all that goes wrong there, and whatever it asks of elsewhere."""
    context = browser.new_context(viewport={"width": width, "height": 800}, **ways)  # type: ignore[arg-type]
    page, wrong = context.new_page(), list[str]()
    here = serving.address.partition("?")[0]
    page.on("console", lambda message: wrong.append(message.text))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request", lambda asked: asked.url.startswith((here, "data:")) or wrong.append(asked.url)
    )
    page.goto(serving.address)
    page.get_by_text("Proven the best week").first.wait_for()
    return page, wrong


@pytest.mark.parametrize(("width", "scheme"), [(360, "dark"), (1280, "light")])
def test_nothing_of_it_is_cut_or_closed_to_anyone(
    served: TableServer, chromium: Browser, width: int, scheme: str
) -> None:
    page, wrong = looked_at(served, chromium, width, color_scheme=scheme)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    tried = Axe().run(page).response["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in tried] == []
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []
    page.context.close()


def test_what_changes_elsewhere_comes_by_itself(served: TableServer, chromium: Browser) -> None:
    page, wrong = looked_at(served, chromium, 768)
    file = served.sitting.file.held.path
    file.write_text(file.read_text(encoding="utf-8") + "# by an editor\n", encoding="utf-8")
    page.get_by_role("button", name="Go on with the file").click()
    page.get_by_role("button", name="Undo").press("Enter")
    page.get_by_role("button", name="Redo").wait_for()
    assert not file.read_text(encoding="utf-8").endswith("# by an editor\n")
    assert wrong == []
    page.context.close()


def test_a_slider_shows_the_week_as_it_is_turned_and_a_lunch_its_price(
    served: TableServer, chromium: Browser
) -> None:
    page, wrong = looked_at(served, chromium, 1280)
    page.get_by_role("link", name="How much to cook").click()
    slider = page.get_by_role("slider").first
    slider.focus()
    for _ in range(3):
        slider.press("ArrowRight")
    field = page.get_by_role("spinbutton").first
    assert field.input_value() == slider.input_value()
    page.get_by_role("button", name="Cook these").press("Enter")
    page.get_by_role("button", name="Undo").press("Enter")
    page.get_by_role("button", name="Redo").wait_for()
    page.locator("#box-2026-12-03-1").press("Enter")
    page.get_by_text("Another dish there").wait_for()
    assert page.evaluate("document.activeElement.id") == "panel"
    tried = Axe().run(page).response["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in tried] == []
    page.go_back()
    page.get_by_role("heading", name="How much to cook").wait_for()
    # A dish that is dragged onto another lunch is priced there, not taken.
    dish = page.locator("#box-2026-12-02-1 b").inner_text()
    page.locator("#box-2026-12-02-1").drag_to(page.locator("#box-2026-12-03-1"))
    page.get_by_role("button", name=f"Take {dish}").wait_for()
    assert "/lunch/2026-12-03/" in page.url
    assert wrong == []
    page.context.close()


def test_what_is_typed_in_one_form_outlasts_another_that_is_sent(
    served: TableServer, chromium: Browser
) -> None:
    page, wrong = looked_at(served, chromium, 1280)
    page.get_by_role("link", name="Who eats and when").click()
    starts = page.locator("#when-starts")
    starts.wait_for()
    was = starts.input_value()
    more = page.locator("#eaters-name")
    more.fill("Quentin")
    # Refused or saved: what stands in the other form is still there, and what was sent is not.
    page.locator("#when-when").fill("someday")
    page.get_by_role("button", name="Set days and place").click()
    page.locator("#when-when[aria-invalid]").wait_for()
    assert more.input_value() == "Quentin"
    page.locator("#when-when").fill("mon-thu")
    page.get_by_role("button", name="Set days and place").click()
    page.get_by_role("button", name="Undo: days and place").wait_for()
    assert more.input_value() == "Quentin"
    assert starts.input_value() == was
    page.get_by_role("button", name="Undo: days and place").click()
    page.get_by_role("button", name="Redo: days and place").wait_for()
    assert more.input_value() == "Quentin"
    # The browser notes the one that is refused.
    assert [line for line in wrong if "422" not in line] == []
    page.context.close()


def test_on_a_phone_a_form_is_read_from_its_top_and_the_week_from_its_own(
    served: TableServer, chromium: Browser
) -> None:
    page, wrong = looked_at(served, chromium, 390)
    for name, seen in (("Who eats and when", "#panel"), ("The week", "#week")):
        page.get_by_role("link", name=name).and_(page.locator("#index a")).click()
        page.get_by_role("link", name=name).and_(page.locator("[aria-current]")).wait_for()
        page.wait_for_function("document.activeElement.id === 'panel'")
        box = page.locator(seen).bounding_box()
        assert box is not None
        assert -1 <= box["y"] <= 400
        assert page.locator(".days").is_visible() == (seen == "#week")
    assert wrong == []
    page.context.close()


def test_from_nothing_to_a_changed_week_by_keyboard_alone(
    tmp_path: Path, chromium: Browser
) -> None:
    serving = TableServer(Sitting(opened(str(tmp_path / "week.yaml"))))
    thread = threading.Thread(target=serving.run, kwargs={"browser": False})
    thread.start()
    try:
        page = chromium.new_context(viewport={"width": 390, "height": 800}).new_page()
        page.goto(serving.address)
        tab_to(page, "Recipe")
        page.keyboard.insert_text("Carrot pot\nServes 6\n500 g carrots\n250 g red lentils")
        page.get_by_role("heading", name="Carrot pot, 6 portions").wait_for()
        tab_to(page, "Make the week")
        page.keyboard.press("Enter")
        page.get_by_text("Proven the best week").first.wait_for()
        tab_to(page, "How much to cook")
        page.keyboard.press("Enter")
        page.get_by_role("slider").wait_for()
        tab_to(page, "Carrot pot, more or less")
        page.keyboard.press("ArrowRight")
        page.get_by_role("button", name="Cook these").wait_for()
        tab_to(page, "Cook these")
        page.keyboard.press("Enter")
        tab_to(page, "Undo: cook 7 portions of Carrot pot")
        page.keyboard.press("Enter")
        tab_to(page, "Redo: cook 7 portions of Carrot pot")
        page.context.close()
    finally:
        serving.end()
        thread.join()


def tab_to(page: Page, name: str) -> None:
    """Press the tab key until what has that name has the focus, and can be seen to have it."""
    names = []
    for _ in range(200):
        page.keyboard.press("Tab")
        # In one look: an answer that comes between two would put another in its place.
        name_of, outline = page.evaluate(SEEN)
        names.append(name_of)
        if name_of.startswith(name):
            assert outline == "solid"
            return
    raise AssertionError(names)


SEEN = """() => {
  const it = document.querySelector("main :focus");
  if (!it) { return ["", ""]; }
  const name = it.getAttribute("aria-label") ?? (it.labels?.[0] ?? it).innerText;
  return [name.replace(/\\s+/g, " ").trim(), getComputedStyle(it).outlineStyle];
}"""
EVIL = """<!DOCTYPE html><body><iframe src="{0}/"></iframe><img src="{0}/take/sheet">
<form method="post" action="{0}/undo" target="_self"><button>Win</button></form>"""
STOLEN = """async (there) => {
  const got = [];
  for (const [path, method] of [["/", "GET"], ["/undo", "POST"], ["/who/eaters", "POST"]]) {
    for (const mode of ["no-cors", "cors"]) {
      try {
        const body = method === "GET" ? undefined : "on=";
        const how = { method, mode, credentials: "include", body };
        got.push(await (await fetch(there + path, how)).text());
      } catch (fault) { got.push(""); }
    }
  }
  return got.join("") + (document.querySelector("iframe").contentDocument?.body?.innerText ?? "");
}"""


def test_another_page_in_the_same_browser_gets_nothing_and_changes_nothing(
    served: TableServer, chromium: Browser
) -> None:
    page, _ = looked_at(served, chromium, 768)
    there, file = served.address.partition("/?")[0], served.sitting.file.held.path
    was = file.read_text(encoding="utf-8")
    answers: list[int] = []
    # What the page itself asked is answered before.
    page.goto("about:blank")
    page.on("response", lambda got: got.url.startswith(there) and answers.append(got.status))
    for elsewhere in ("http://rebound.example/", f"http://127.0.0.1:{served.port + 1}/"):
        page.route(
            elsewhere,
            lambda route: route.fulfill(body=EVIL.format(there), content_type="text/html"),
        )
        page.goto(elsewhere)
        assert page.evaluate(STOLEN, there) == ""
        page.get_by_role("button", name="Win").click()
        page.wait_for_load_state()
    assert answers
    assert set(answers) == {403}
    assert file.read_text(encoding="utf-8") == was
    page.context.close()


class Listening(BaseHTTPRequestHandler):
    """Another program on this machine, which keeps what a browser sends it."""

    sent: ClassVar[list[str]] = []

    def do_GET(self) -> None:
        self.sent.append(f"{self.path} {self.headers}")
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.end_headers()
        self.wfile.write(b"<p>here</p><img src=/picture>")

    def log_message(self, *_: object) -> None:
        """Say nothing."""


def test_another_program_on_this_machine_is_sent_no_key(
    served: TableServer, chromium: Browser
) -> None:
    page, _ = looked_at(served, chromium, 768)
    with ThreadingHTTPServer(("127.0.0.1", 0), Listening) as other:
        threading.Thread(target=other.serve_forever).start()
        there = f"http://127.0.0.1:{other.server_port}/"
        page.evaluate("(to) => location.assign(to)", there)
        page.wait_for_url(there)
        page.get_by_text("here").wait_for()
        page.reload()
        other.shutdown()
    page.context.close()
    assert len(Listening.sent) >= 3
    for sent in Listening.sent:
        assert "cookie" not in sent.casefold()
        assert served.app.root not in sent
        assert served.token not in sent


INSIDE = """() => {
  const script = document.createElement("script");
  script.textContent = "document.title = 'taken over'";
  document.body.append(script);
  const image = document.createElement("img");
  image.setAttribute("onerror", "document.title = 'taken over'");
  image.src = "data:,";
  document.body.append(image);
  document.body.insertAdjacentHTML("beforeend", "<p style='color: red' id=red>red</p>");
}"""


def test_no_script_that_gets_into_the_page_runs(served: TableServer, chromium: Browser) -> None:
    page, wrong = looked_at(served, chromium, 768)
    page.evaluate(INSIDE)
    page.wait_for_timeout(200)
    assert "taken over" not in page.title()
    assert (
        page.evaluate("getComputedStyle(document.getElementById('red')).color") != "rgb(255, 0, 0)"
    )
    assert any("Content Security Policy" in line for line in wrong)
    page.context.close()


def test_what_is_refused_is_gone_to_and_a_dropped_page_is_read(
    served: TableServer, chromium: Browser
) -> None:
    page, wrong = looked_at(served, chromium, 390)
    page.get_by_role("link", name="Who eats and when").press("Enter")
    page.get_by_label("Me must not have").fill("zzzx")
    page.get_by_label("Me must not have").press("Enter")
    page.get_by_text("'zzzx' means no allergen").wait_for()
    assert page.evaluate("document.activeElement.id") == "eaters-not0"
    assert page.get_by_label("Me must not have").input_value() == "zzzx"
    tried = Axe().run(page).response["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in tried] == []
    page.get_by_role("link", name="What is in it").press("Enter")
    field = page.get_by_label("A recipe, or a name")
    field.wait_for()
    page.evaluate(DROPPED)
    page.get_by_role("heading", name="Carrot pot").wait_for()
    assert "500 g carrots" in field.input_value()
    # What is refused is answered with a code of its own.
    assert [line for line in wrong if "422" not in line] == []
    page.context.close()


DROPPED = """() => {
  const files = new DataTransfer();
  files.items.add(new File(["Carrot pot\\nServes 6\\n500 g carrots"], "pot.txt"));
  const form = document.getElementById("recipe").form;
  for (const kind of ["dragover", "drop"]) {
    const how = { dataTransfer: files, bubbles: true, cancelable: true };
    form.dispatchEvent(new DragEvent(kind, how));
  }
}"""


def test_an_answer_that_was_overtaken_is_not_shown(served: TableServer, chromium: Browser) -> None:
    page, wrong = looked_at(served, chromium, 768)
    page.get_by_role("link", name="How much to cook").press("Enter")
    page.get_by_role("slider").first.wait_for()
    served.sitting.worker.wait()
    held: list[tuple[Route, APIResponse]] = []

    def late(route: Route) -> None:
        if held:
            route.continue_()
        else:
            held.append((route, route.fetch()))

    page.route("**/volumes?v0=*", late)
    # Far enough off that it has to be planned.
    page.get_by_role("slider").first.press("Home")
    while not held:
        page.wait_for_timeout(20)
    served.sitting.worker.told()
    page.locator("#tried").get_by_text("Left over").wait_for()
    route, stale = held[0]
    begins = '<div id="tried" data-inner aria-live="polite">'
    route.fulfill(response=stale, body=stale.text().replace(begins, f"{begins}Out of date"))
    page.wait_for_timeout(200)
    assert "Out of date" not in page.locator("#tried").inner_text()
    assert wrong == []
    page.context.close()


STOPPED_EARLY = """
import signal
from optimiser.table.opened import opened
from optimiser.table.serving import TableServer
from optimiser.table.sitting import Sitting

serving = TableServer(Sitting(opened("week.yaml")))
with serving.stoppable():
    signal.raise_signal(signal.{0})
    serving.run(browser=False)
    print("in order")
"""


@pytest.mark.parametrize("wanted", ["SIGINT", "SIGTERM"])
def test_what_is_stopped_before_it_runs_ends_in_order(tmp_path: Path, wanted: str) -> None:
    (tmp_path / "week.yaml").write_text(ready_text("minimal"), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-c", STOPPED_EARLY.format(wanted)],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (ran.stdout, ran.stderr, ran.returncode) == ("in order\n", "", 0)


def test_it_prints_where_it_is_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").write_text(ready_text("minimal"), encoding="utf-8")
    ran = subprocess.Popen(
        arguments("open", "--no-browser"),
        cwd=tmp_path,
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert ran.stdout is not None
    assert ran.stdout.readline().startswith(f"{ADDRESS}http://127.0.0.1:")
    assert ran.stdout.readline() == "Ctrl-C ends it.\n"
    ran.send_signal(signal.SIGINT)
    assert (ran.communicate(timeout=60), ran.returncode) == (("", ""), 0)
    assert [path.name for path in tmp_path.iterdir()] == ["week.yaml"]
