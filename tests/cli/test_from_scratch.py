"""A week that someone writes from the README alone: short, and read as a cook means it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import optimiser
from models.file.every_fault import every_fault
from models.file.reading import read_week

FILE = Path(__file__).parent / "from_scratch.yaml"
MOST_LINES = 60


def test_week_for_two_of_five_dishes_is_short_and_plans() -> None:
    assert len(FILE.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
    week = read_week(str(FILE))
    assert (len(week.eaters), len(week.dishes), len(week.days)) == (2, 5, 5)
    plan = optimiser.plan(FILE, reasons=False)
    assert plan.status == "optimal"
    assert len({lunch.dish for lunch in plan.lunches}) >= 3


def test_day_of_making_may_be_said_as_a_day_of_the_week() -> None:
    made = {name: batch.made for name, batch in read_week(str(FILE)).batches.items()}
    assert made["chilli"] == date(2026, 11, 29), "the Sunday before a week from Monday"
    assert made["pumpkin stew"] == date(2026, 12, 2), "the Wednesday in it"


def test_what_a_cook_writes_first_is_refused_with_what_to_write() -> None:
    text = FILE.read_text(encoding="utf-8")
    for old, new, what, mend in (
        ("made: sunday", "made: sundy", "neither a date nor a day", "'sunday'"),
        ("mon-fri", "mon-fry", "is not a day", "'friday'"),
        ("mon-fri", "fri-mon", "are no days", "mon-fri"),
        ("cheddar: {food: cheddar, ", "cheddar: {", "keeps as", "Write 'food: cheddar' in it"),
        ("cheddar: {food: cheddar", "cheddar: {chilled: yes", "no energy", "'food: cheddar'"),
        ("bread: 2 pieces, cheddar", "bread: 2 slices, cheddar", "count pieces", "2 pieces"),
        ("yield: 6 portions", "yield: 6 potions", "did you mean 'portions'", "6 portions"),
        ("1 tbsp curry powder", "1 tbsp oregano, fresh", "gives no energy", "none for oregano"),
    ):
        assert old in text
        _, faults = every_fault("w", text.replace(old, new, 1))
        assert any(what in fault.what and mend in fault.mend for fault in faults), (
            new,
            [fault.text for fault in faults],
        )
