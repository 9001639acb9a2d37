"""What is in the cupboard is used before it is past its date, and as much of it as can be."""

from __future__ import annotations

import random
from datetime import date, timedelta
from decimal import Decimal
from itertools import product

from models.week.cupboard import counts, draw
from models.week.week import Shelved

MONDAY = date(2026, 11, 30)


def test_as_little_is_missing_as_can_be_and_nothing_is_lost() -> None:
    dice = random.Random(7)
    for _ in range(200):
        days = [MONDAY + timedelta(days=ahead) for ahead in range(3)]
        need = {day: Decimal(dice.randint(0, 3)) for day in days}
        held = [
            Shelved(Decimal(dice.randint(1, 3)), dice.choice([None, *days]))
            for _ in range(dice.randint(0, 3))
        ]
        drawn = draw(held, need)
        there = sum((stock.amount or 0 for stock in held), Decimal(0))
        stays = sum((stock.amount or 0 for stock in drawn.stays), Decimal(0))
        assert there - stays == sum(need.values()) - drawn.lacking, (held, need)
        assert drawn.lacking == _least_missing(held, need), (held, need)
        assert drawn.lacking >= 0 and all(lacks > 0 for lacks in drawn.missing.values())
        counted = counts(held, drawn)
        assert counted is not None
        assert max(Decimal(0), sum(need.values()) - counted) <= drawn.lacking


def _least_missing(held: list[Shelved], need: dict[date, Decimal]) -> Decimal:
    """Try every way to give each stock, gram by gram, to a day it is good for."""
    grams = [stock for stock in held for _ in range(int(stock.amount or 0))]
    best = sum(need.values(), Decimal(0))
    ways = [
        [None, *(day for day in need if stock.use_by is None or day <= stock.use_by)]
        for stock in grams
    ]
    if len(grams) > 6:
        # Hall's condition, where there are too many ways: what is due by a day has no other day.
        worst = Decimal(0)
        for size in product((False, True), repeat=len(need)):
            some = [day for day, takes in zip(need, size, strict=True) if takes]
            serve = sum(s.use_by is None or any(d <= s.use_by for d in some) for s in grams)
            worst = max(worst, sum((need[day] for day in some), Decimal(0)) - serve)
        return worst
    for way in product(*ways):
        given = {day: sum(taken == day for taken in way) for day in need}
        missing = sum((max(Decimal(0), need[day] - given[day]) for day in need), Decimal(0))
        best = min(best, missing)
    return best


def test_plenty_lacks_nothing_and_stays() -> None:
    plenty = [Shelved(None)]
    drawn = draw(plenty, {MONDAY: Decimal(5)})
    assert (drawn.lacking, drawn.stays, counts(plenty, drawn)) == (0, (Shelved(None),), None)
