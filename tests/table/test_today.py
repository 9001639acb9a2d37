"""The box of a morning, and the week after: the answers of `pack` and `next`."""

from __future__ import annotations

import optimiser

from .window import WRONG, Window


def test_each_box_is_the_card_of_pack(window: Window) -> None:
    window.look()
    plan = optimiser.plan(str(window.file), reasons=False)
    for day in plan.days:
        text = window.look(f"/today?day={day.isoformat()}")
        for card in optimiser.pack(plan, day).cards:
            assert card.dish in text
            for place in card.places:
                assert ", ".join(part.text for part in place.parts) in text


def test_on_to_the_week_after_the_plan_is_kept_beside_the_file(window: Window) -> None:
    window.look()
    was = window.text
    plan = optimiser.plan(str(window.file), reasons=False)
    window.do("/today/next")
    assert window.text == optimiser.next_week(plan).text
    (kept,) = window.file.parent.glob("*.plan.json")
    assert kept.name == "week-2026-11-30.plan.json"
    assert optimiser.read_plan(kept.read_text(encoding="utf-8")).lunches == plan.lunches
    assert "7 Dec" in window.look()
    window.do("/undo")
    assert window.text == was
    # The same once more finds its plan there already; another plan is never written over.
    window.look()
    window.do("/today/next")
    window.do("/undo")
    kept.write_text("{}", encoding="utf-8")
    window.look()
    assert "there already" in window.do("/today/next", WRONG)
    assert (window.text, kept.read_text(encoding="utf-8")) == (was, "{}")
