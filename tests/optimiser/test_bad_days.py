"""Whatever is eaten on whichever evening, there is a plan for the rest, and it is sound."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from models.file.change import Told, stocks
from models.file.planfile import embedded_week
from optimiser.auditing import audit, packed_of
from optimiser.changing import change
from tests.depth import sized
from tests.plans.saved import plan

EVENINGS = sized(1, 50)
"""Of each ready week; a hundred in a deep run."""


@pytest.mark.parametrize("name", ["demo", "family"])
def test_a_bad_evening_always_has_a_plan(name: str) -> None:
    made = plan(name)
    week = embedded_week(made)
    for seed in range(EVENINGS):
        dice = random.Random(f"{name} {seed}")
        today = dice.choice(week.days)
        there = {
            batch: stock.there
            for batch, stock in stocks(week, packed_of(made, week), today).items()
            if stock.there
        }
        gone = Counter[str]()
        for _ in range(dice.choice((3, 3, 6, 12))):
            left = [batch for batch, portions in there.items() if gone[batch] < portions]
            if left:
                gone[dice.choice(left)] += 1
        told = Told(today.isoformat(), ate=[f"{batch}={many}" for batch, many in gone.items()])
        after = change(made, told).plan
        assert after.status == "optimal", (name, seed)
        assert audit(after) == [], (name, seed)
        before = [line for line in made.lunches if line.date < today]
        assert [line for line in after.lunches if line.date < today] == before, (name, seed)
