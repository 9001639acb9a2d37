"""Whatever is eaten on whichever evening, there is a plan for the rest, and it is sound."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from models.answers.plan import PlanFile
from models.file.change import Told, stocks
from models.file.planfile import embedded_week
from models.file.reading import read_document, week_of
from models.file.yamltext import parse
from models.words.document import document_of
from models.words.priorities import PRIORITY_NAMES, ranked
from optimiser.auditing import audit, packed_of
from optimiser.changing import change
from optimiser.planning import plan_week
from tests.depth import sized
from tests.plans.saved import plan

EVENINGS = sized(1, 50)
"""Of each ready week; a hundred in a deep run."""


def in_some_order(name: str, dice: random.Random) -> PlanFile:
    """Plan a ready week with all its priorities in another order."""
    order = dice.sample(ranked(PRIORITY_NAMES), len(PRIORITY_NAMES) - 1)
    data = {**read_document(name).as_json(), "priorities": order}
    return plan_week(week_of(document_of(data)), reasons=False)


@pytest.mark.parametrize("name", ["demo", "family"])
def test_a_bad_evening_always_has_a_plan(name: str) -> None:
    for seed in range(EVENINGS):
        dice = random.Random(f"{name} {seed}")
        made = in_some_order(name, dice) if seed % 2 else plan(name)
        week = embedded_week(made)
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


def test_what_is_frozen_is_eaten_before_one_is_bought() -> None:
    """The fridge is emptied while the rest would be fresh: Wednesday thaws on Tuesday evening."""
    text = """\
week: {starts: 2026-11-30, days: [mon, tue, wed, thu], guidance: us}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 10 portions, fridge_life: 3 to 4, freezer: 6 portions,
          nutrition: {protein: 11 g}, portion: 100 g, keeps_as: bean stew}
dishes: {Beans: {takes: {beans: 1 to 2}}}
"""
    made = plan_week(week_of(parse("week", text)), reasons=False)
    told = Told("2026-12-01", froze=["beans=6"], ate=["beans=2"])
    after = change(made, told)
    # Of Tuesday nothing was thawed overnight.
    assert [f"{line.date:%a}" for line in after.plan.lunches] == ["Mon", "Wed", "Thu"]
    assert audit(after.plan) == []
    thaw = [move.date.day for move in after.plan.moves if move.move == "thaw"]
    assert thaw == [1, 2]
