"""Who eats and when: short forms, each an edit of the file that leaves the rest as it was."""

from __future__ import annotations

import re

import pytest

import optimiser
from models.file.reading import ready_text

from .window import WRONG, Window, beside, shown

CHOSEN = ("fridge", "guidance", "day", "eater")
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
    # Who has no floor gets one, and may have what nobody else must not.
    window.do("/who/eaters", floor0="7", not1="penuts and pork; vegetarian")
    assert "{Cy: {floors: {protein: 7 g}}, Bo: {must_not: {allergens: [peanuts]," in window.text
    assert "foods: [pork], diet: vegetarian}, floors: {protein: 9.5 g}}" in window.text
    assert "peanuts, pork, vegetarian" in window.client.get("/who").text
    window.do("/who/eaters", not1="")
    assert "Bo: {floors: {protein: 9.5 g}}" in window.text
    window.do("/who/out", out="Cy")
    assert window.text == was.replace(
        "{Ilse: {floors: {protein: 18 g}}}",
        "{Bo: {floors: {protein: 9.5 g}}, Ilse: {floors: {protein: 20 g}}}",
    )
    for _ in range(5):
        window.do("/undo")
    assert window.text == was


def test_who_has_a_floor_by_weight_is_told_what_it_comes_to(window: Window) -> None:
    window.file.write_text(ready_text("family"), encoding="utf-8")
    window.do("/take")
    # 0.83 g a kg a day (WHO Technical Report Series 935, 2007), 68 kg, 40 % of it at lunch.
    assert "about 22.6 g, from daily_protein in the file" in window.client.get("/who").text
    page = window.sent("/who/eaters", WRONG, form="eaters", floor0="20")
    assert "there is a floor of protein as well as a daily need" in shown(page)


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


def test_many_who_are_one_entry_are_set_as_one(window: Window) -> None:
    window.file.write_text(ready_text("canteen"), encoding="utf-8")
    window.do("/take")
    page = window.client.get("/who").text
    assert "Office, 90 alike" in page
    assert "<legend>Office 1" not in page
    week = window.sitting.readable
    floors = [str(each) for each in week.source.as_json()["eaters"]]
    window.do("/who/out", out=floors[0])
    assert len(window.sitting.readable.eaters) < len(week.eaters)


def test_names_from_right_to_left_come_back_as_they_are(window: Window) -> None:
    name = "\u05d3\u05e0\u05d4"
    window.do("/who/eaters", name=name)
    page = window.client.get("/who").text
    (held,) = re.findall(rf'name="out" value="([^"]*{name}[^"]*)"', page)
    window.do("/who/out", out=held)
    assert name not in window.text


@pytest.mark.parametrize(
    ("path", "fields", "field"),
    [
        ("/who/when", WHEN | {"when": "someday"}, "when-when"),
        ("/who/when", WHEN | {"starts": "soon"}, "when-starts"),
        ("/who/when", WHEN | {"starts": "2026-12-05"}, "when-starts"),
        ("/who/when", WHEN | {"fridge": "perhaps"}, "when-fridge"),
        ("/who/when", WHEN | {"guidance": "mars"}, "when-guidance"),
        ("/who/eaters", {"floor0": "much"}, "eaters-floor0"),
        ("/who/eaters", {"not0": "zzzx"}, "eaters-not0"),
        ("/who/eaters", {"not0": "no milk"}, "eaters-not0"),
        ("/who/eaters", {"not0": "halal, vegan"}, "eaters-not0"),
        ("/who/eaters", {"name": "Ilse"}, "eaters-name"),
        ("/who/eaters", {"name": "x" * 90}, "eaters-name"),
        ("/who/eaters", {"name": "Bo", "floor": "much"}, "eaters-floor"),
        ("/who/eaters", {"name": "Bo", "not": "zzzx"}, "eaters-not"),
        ("/who/off", {"day": "2026-12-24"}, "off-day"),
        ("/who/off", {"day": "2026-12-01", "eater": "Bo"}, "off-day"),
        ("/who/needed", {"at": "0"}, ""),
        ("/who/out", {"out": "Bo"}, ""),
        ("/who/out", {"out": "Ilse"}, ""),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    window: Window, path: str, fields: dict[str, str], field: str
) -> None:
    was = window.text
    page = window.sent(path, WRONG, form=path.rpartition("/")[2], **fields)
    assert window.text == was
    assert ready_text("minimal") in was
    if field:
        assert beside(page, field)
        # It stands there alone, and what was typed stays there with it.
        assert 'id="refusal"' not in page
        assert all(value in page for name, value in fields.items() if name not in CHOSEN)
    else:
        assert 'id="refusal"' in page
