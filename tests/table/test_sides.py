"""Sides and boxes: short forms, each an edit of the file, with a fault beside its field."""

from __future__ import annotations

from models.file.reading import ready_text

from .window import WRONG, Window

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
    for path, fields, beside in (
        ("/sides/boxes", BOXES | {"compartments0": "much"}, "'much' is not an amount"),
        (
            "/sides/sides",
            SIDES | more | {"portion": "some", "dish": "Grain bowl"},
            "'some' is not an amount",
        ),
    ):
        # Once where everything that is refused stands, once beside the field, as `check` says it.
        assert window.do(path, WRONG, **fields).count(beside) == 2
    assert "no such dish" in window.do("/sides/sides", WRONG, **SIDES | more | {"dish": "pie"})
    assert "already" in window.do("/sides/boxes", WRONG, **BOXES | tin)
    assert window.text == there
