"""Who eats and when: short forms, each an edit of the file that leaves the rest as it was."""

from __future__ import annotations

import pytest

import optimiser
from models.file.reading import ready_text

from .window import WRONG, Window

WHEN = {"starts": "2026-11-30", "when": "mon, tue, wed", "fridge": "yes", "microwave": "yes"}


def test_eaters_and_floors_are_set(window: Window) -> None:
    text = window.look("/who")
    assert "Ilse, g protein a lunch" in text
    was = window.text
    window.do("/who/eaters", floor0="20", name="Bo", floor="9.5")
    assert window.text == was.replace(
        "{Ilse: {floors: {protein: 18 g}}}",
        "{Bo: {floors: {protein: 9.5 g}}, Ilse: {floors: {protein: 20 g}}}",
    )
    window.do("/who/eaters", floor0="9.5", floor1="20", name="Cy")
    assert "{Cy: {}, Bo:" in window.text
    # Who has no floor gets one.
    window.do("/who/eaters", floor0="7")
    assert "{Cy: {floors: {protein: 7 g}}, Bo:" in window.text
    for _ in range(3):
        window.do("/undo")
    assert window.text == was


def test_days_place_and_lunches_that_are_off_are_set(window: Window) -> None:
    was = window.text
    window.do("/who/when", **WHEN)
    assert window.text == was
    window.do("/who/when", **WHEN | {"when": "mon-thu", "microwave": "no"})
    assert "days: [mon, tue, wed, thu]" in window.text
    assert "place: {fridge: yes, microwave: no}" in window.text
    window.do("/undo")
    window.do("/who/off", day="2026-12-01", eater="Ilse")
    window.do("/who/off", day="2026-12-02")
    assert "no_lunch: [{day: tue, eater: Ilse}, {day: wed}]" in window.text
    assert len(optimiser.plan(str(window.file), reasons=False).lunches) == 1
    assert "Tue 1 Dec, Ilse" in window.look("/who")
    window.do("/who/needed", at="0")
    assert "no_lunch: [{day: wed}]" in window.text


def test_a_place_that_is_not_there_yet_is_written_at_once(window: Window) -> None:
    text = window.text.replace("place: {fridge: yes, microwave: yes}\n", "").replace(
        ", microwave: yes}", "}"
    )
    window.file.write_text(text, encoding="utf-8")
    window.do("/take")
    window.do("/who/when", **WHEN)
    place = "place: {microwave: yes}\n"
    assert window.text == text.replace("week:", f"{place}week:", 1)


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("/who/when", WHEN | {"when": "someday"}),
        ("/who/when", WHEN | {"starts": "soon"}),
        ("/who/when", WHEN | {"starts": "2026-12-05"}),
        ("/who/when", WHEN | {"fridge": "perhaps"}),
        ("/who/eaters", {"floor0": "much"}),
        ("/who/eaters", {"name": "Ilse"}),
        ("/who/off", {"day": "2026-12-24"}),
        ("/who/off", {"day": "2026-12-01", "eater": "Bo"}),
        ("/who/needed", {"at": "0"}),
    ],
)
def test_what_cannot_be_is_refused(window: Window, path: str, fields: dict[str, str]) -> None:
    was = window.text
    window.do(path, WRONG, **fields)
    assert window.text == was
    assert ready_text("minimal") in was
