"""A week that runs and goes otherwise: the answer of `change`, kept as plans beside the file."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

import optimiser
from models.answers.plan import PlanFile
from optimiser.table.opened import opened
from optimiser.table.sitting import Sitting

from .window import WRONG, Window, beside, shown

OFF = {"from": "2026-12-01", "off": "Ilse@2026-12-02", "many": "", "batch": "rice and beans"}
OFF |= {"kind": "ate"}


def test_a_guest_is_fed_and_as_few_lunches_as_can_be_change(window: Window) -> None:
    window.look()
    was = window.text
    plan = optimiser.plan(str(window.file), reasons=False)
    told = OFF | {"off": "", "guest": "Quentin", "on_day": "2026-12-02"}
    for few in (False, True):
        answer = optimiser.change(
            plan, "2026-12-01", joined="Quentin@2026-12-02", fewest_changes=few
        )
        page = window.look(f"/change?{urlencode(told | ({'few': 'yes'} if few else {}))}")
        assert any(move.eater == "Quentin" for move in answer.moves)
        for move in answer.moves:
            assert f"{move.eater} {move.becomes}" in page
    window.do("/change/take", **told, few="yes")
    whose = '<span class="whose">Quentin</span>'
    assert whose in window.client.get("/").text
    assert window.text == was
    window.do("/undo")
    assert whose not in window.client.get("/").text


def kept(window: Window) -> list[str]:
    return sorted(path.name for path in window.file.parent.glob("*.plan.json"))


def test_a_lunch_that_is_off_is_shown_counts_and_is_undone(window: Window) -> None:
    window.look()
    was = window.text
    plan = optimiser.plan(str(window.file), reasons=False)
    answer = optimiser.change(plan, "2026-12-01", no_lunch="Ilse@2026-12-02")
    path = f"/change?{'&'.join(f'{name}={value}' for name, value in OFF.items())}"
    shown = window.look(path)
    (move,) = answer.moves
    assert move.why is not None
    for said in (move.becomes, move.was, move.why.text, "Eat 1 portion of rice and beans"):
        assert said in shown
    assert kept(window) == []
    stale = window.sitting.digest
    text = window.do("/change/take", **OFF)
    assert "The week runs: Tue 1 Dec: no lunch on Wed" in text
    assert f"was {move.was.partition(':')[0]}" in text
    assert window.text == was
    names = ["week-2026-11-30.1.plan.json", "week-2026-11-30.plan.json"]
    assert kept(window) == names
    first, then = (optimiser.read_plan(window.file.with_name(name)) for name in names[::-1])
    assert first.lunches == plan.lunches
    assert then.lunches == answer.plan.lunches
    # Who opens it again goes on with it; another window that saw the week before does not.
    again = Sitting(opened(str(window.file)))
    assert isinstance(again.plan, PlanFile)
    assert again.plan.lunches == then.lunches
    assert "changed meanwhile" in window.do("/change/take", WRONG, **OFF | {"on": stale})
    for part in ("/volumes", "/mend", "/lunch/2026-12-01/Ilse"):
        assert "The week runs" in window.look(part)
    window.do("/undo")
    assert kept(window) == names[1:]
    window.do("/redo")
    assert kept(window) == names
    # Another week in the file is planned for itself, and is not the one that runs.
    window.do("/who/eaters", floor0="17")
    assert "The week runs" not in window.look()
    window.do("/undo")
    assert "The week runs" in window.look()


def test_what_cannot_have_been_is_refused_in_the_words_of_change(window: Window) -> None:
    window.look()
    many = {**OFF, "off": "", "many": "99"}
    path = f"/change?{'&'.join(f'{name}={value}' for name, value in many.items())}"
    assert "99 portions of rice and beans cannot be gone" in window.look(path)
    assert "99 portions" in window.do("/change/take", WRONG, **many)
    for name, fields in (
        ("many", many),
        ("off", {"off": ""}),
        ("guest", OFF | {"off": "", "guest": "Bo", "on_day": "someday"}),
    ):
        window.look(f"/change?{urlencode(fields)}")
        page = window.client.get(f"/change?{urlencode(fields)}").text
        assert beside(page, f"change-{name}")
    assert "nothing is told" in window.look("/change?off=&many=")
    assert "cannot be chosen" in window.do("/change/take", WRONG, **many | {"kind": "sold"})
    window.look(path.replace("99", "1"))
    (window.file.parent / "week-2026-11-30.plan.json").write_text("{}", encoding="utf-8")
    assert "there already" in window.do("/change/take", WRONG, **many | {"many": "1"})
    assert Path(window.file.parent, "week-2026-11-30.plan.json").read_text("utf-8") == "{}"


def test_the_grid_beside_shows_the_week_as_it_would_be(window: Window) -> None:
    window.look()
    path = f"/change?{urlencode(OFF)}"
    window.look(path)
    page = window.client.get(path).text
    assert "lunch is off" in shown(page)
    assert "<s>" in page
    assert "If it goes so" in shown(page)
    assert "If it goes so" not in window.look("/who")


def test_a_negative_number_is_refused_beside_its_field(window: Window) -> None:
    window.look()
    told = {"many": "-3", "batch": "rice and beans", "kind": "ate"}
    path = f"/change?{urlencode(told)}"
    window.look(path)
    assert beside(window.client.get(path).text, "change-many")


def test_what_an_undo_brings_back_is_marked_only_where_it_differs(window: Window) -> None:
    window.look("/change")
    window.look(f"/change?{urlencode(OFF)}")
    window.do("/change/take", **OFF)
    page = window.do("/undo", back="/change")
    assert page.count(" new ") == 1
    window.look("/who")
    assert 'class="was"' not in window.client.get("/change").text
