"""Sides and boxes: short forms, each an edit of the file, with a fault beside its field."""

from __future__ import annotations

from models.file.reading import ready_text

from .window import WRONG, Window, beside, shown

SIDES = {"form": "sides", "portion0": "60 g", "most0": "1"}
BOXES = {"form": "boxes", "compartments0": "600 mL, 400 mL", "pots0": "60 mL", "box0": "lunch box"}


def test_sides_and_boxes_are_set_and_a_fault_stands_beside_its_field(window: Window) -> None:
    window.file.write_text(ready_text("starter"), encoding="utf-8")
    window.do("/take")
    assert "yoghurt relish with Bread and cheese" in window.look("/sides")
    was = window.text
    window.do("/sides/sides", **SIDES)
    window.do("/sides/boxes", **BOXES)
    assert window.text == was
    more = {"item": "hard cheese", "dish": "Curry on grain", "portion": "20 g", "most": ""}
    window.do("/sides/sides", **SIDES | more | {"most0": "2"})
    assert "{yoghurt relish: {portion: 60 g, most: 2}}" in window.text
    assert "    extras: {hard cheese: {portion: 20 g, most: 1}}\n" in window.text
    tin = {"name": "tin", "compartments": "1 L", "pots": ""}
    window.do("/sides/boxes", **BOXES | tin | {"pots0": "60 mL, 80 mL"})
    assert "lunch box: {compartments: [600 mL, 400 mL], pots: [60 mL, 80 mL]}" in window.text
    assert "  tin: {compartments: [1 L]}\n" in window.text
    there = window.text
    for path, fields, field, told in (
        ("/sides/boxes", BOXES | {"compartments0": "much"}, "boxes-compartments0", "'much' is not"),
        (
            "/sides/sides",
            SIDES | more | {"portion": "some", "dish": "Grain bowl"},
            "sides-portion",
            "'some' is not",
        ),
        ("/sides/sides", SIDES | more | {"dish": "pie"}, "", "no such dish"),
        ("/sides/sides", SIDES | more | {"item": "kiwi"}, "sides-pack", "not in the larder yet"),
        (
            "/sides/sides",
            SIDES | more | {"item": "mystery", "pack": "1 kg"},
            "sides-item",
            "no single food named",
        ),
        ("/sides/boxes", BOXES | tin, "boxes-name", "already"),
    ):
        page = window.sent(path, WRONG, **fields)
        assert shown(page).count(told) == 1
        assert not field or told in beside(page, field)
    assert window.text == there


def test_what_is_left_out_goes_with_what_names_it_and_comes_back(window: Window) -> None:
    window.file.write_text(ready_text("starter"), encoding="utf-8")
    window.do("/take")
    was = window.text
    window.do("/sides/out", out="lunch box")
    assert "compartments" not in window.text
    assert "box: lunch box" not in window.text
    window.do("/sides/less", out="0")
    assert "extras: {}" in window.text
    for path in ("/sides/out", "/sides/less"):
        assert "Look again." in window.do(path, WRONG, out="lunch box")
    window.do("/undo")
    window.do("/undo")
    assert window.text == was
    # What is not in the larder yet is bought.
    pear = {"item": "pear", "dish": "Grain bowl", "portion": "1 piece", "pack": "1 piece"}
    window.do("/sides/sides", **SIDES | pear)
    assert "pear: {food: pear, pack: 1 piece}" in window.text
    window.do("/sides/boxes", **BOXES | {"box0": ""})
    assert "box: lunch box" not in window.text
