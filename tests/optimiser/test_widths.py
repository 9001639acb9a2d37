"""From 40 to 120 columns no text has a line that is wider, nor a word that is cut."""

from __future__ import annotations

import re

from rich.cells import cell_len
from rich.table import Table

import optimiser
from optimiser.report.columns import Columns
from optimiser.report.console import rendered


def words(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]{2,}", text))


def test_no_line_is_wider_and_no_word_is_cut() -> None:
    demo = optimiser.plan("demo", reasons=False)
    asked = [
        optimiser.check("family"),
        optimiser.trace("demo", "leek bake"),
        optimiser.why("minimal", all=True),
        optimiser.why("minimal", "mon"),
        optimiser.mend("impossible", count=1),
        optimiser.what_if("minimal", yields="rice and beans=5..7"),
        optimiser.size("minimal"),
        optimiser.others("minimal", 3),
        optimiser.trade_off("minimal", "repeats", "cost"),
        optimiser.change(demo, "fri", no_lunch="sat"),
        optimiser.next_week(demo),
        optimiser.audit(demo),
        *(getattr(optimiser, sheet)(demo) for sheet in ("shop", "prep", "labels", "freezer")),
        optimiser.pack(demo, "tue"),
    ]
    for answer in asked:
        known = words(optimiser.render(answer, width=200))
        for width in (40, 47, 60, 80, 120):
            text = optimiser.render(answer, width=width)
            where = f"{type(answer).__name__} at {width}"
            assert max(map(cell_len, text.splitlines())) <= width, where
            assert not words(text) - known, where


def test_columns_that_have_no_room_are_set_otherwise() -> None:
    table = Table("dish", "Monday", "Tuesday", box=None, padding=(0, 1, 0, 0))
    table.add_row("soup", "never", "planned")
    assert rendered([Columns(table)], width=22).splitlines()[0] == "dish Monday Tuesday"
    split = rendered([Columns(table, split=True)], width=16)
    assert split.split() == [
        "dish",
        "Monday",
        "soup",
        "never",
        "dish",
        "Tuesday",
        "soup",
        "planned",
    ]
    stacked = rendered([Columns(table)], width=19)
    assert stacked.splitlines() == ["soup", "  Monday: never", "  Tuesday: planned"]
