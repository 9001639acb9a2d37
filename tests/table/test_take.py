"""What is taken along is what the commands write, and opens under a policy of its own."""

from __future__ import annotations

import optimiser
from optimiser.report.shop import as_markdown

from .window import GONE, Window


def test_each_sheet_is_the_one_that_its_command_writes(window: Window) -> None:
    window.look()
    window.look("/take")
    plan = optimiser.plan(str(window.file), reasons=False)
    page = optimiser.page(plan, sliders=False, verdicts=False)
    assert window.client.get("/take/sheet").text == optimiser.render(page, on_paper=True)
    assert window.client.get("/take/list").text == as_markdown(optimiser.shop(plan))
    assert window.client.get("/take/recipes").text == optimiser.render(optimiser.share(plan))
    assert "BEGIN:VCALENDAR" in window.client.get("/take/calendar").text
    saved = window.client.get("/take/plan")
    assert optimiser.read_plan(saved.text).sealed() == optimiser.read_plan(saved.text)
    assert optimiser.audit(saved.text).faults == []
    assert saved.headers["content-disposition"].startswith("attachment;")
    assert "week-plan.json" in saved.headers["content-disposition"]


def test_what_opens_to_be_printed_is_of_no_origin(window: Window) -> None:
    window.look()
    for path in ("/take/sheet", "/take/labels", "/take/labels?kind=letter-30"):
        got = window.client.get(path)
        assert got.headers["content-disposition"].startswith("inline;")
        policy = got.headers["content-security-policy"]
        assert policy.startswith("default-src 'none'; style-src")
        assert policy.endswith("sandbox allow-modals")
    assert window.client.get("/take/labels?kind=round").status_code == GONE


def test_the_page_is_made_when_it_is_asked_for(window: Window) -> None:
    window.look()
    assert window.client.get("/take/page").status_code == GONE
    window.look("/take?page=1")
    assert "save it: it needs no network" in window.look("/take?page=1")
    assert "<!-- clearfridge " in window.client.get("/take/page").text
