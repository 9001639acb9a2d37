"""A small diet of our own, with ceilings too, held against trying every number of packs.

Stigler's table has floors only. Here four invented packs, none to five of each, have a floor and
a ceiling of several nutrients: 1296 baskets, each of which is tried. All figures are whole, so
equality is meant exactly.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest

from models.week.week import Week
from optimiser.rules import faults_of
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import solve

from .rows_in_highs import least, week_from

MOST = 5
PACKS = {
    # Cents; then protein in g, fibre in g and sodium in mg of one pack. Invented.
    "barley": (90, (7, 9, 5)),
    "herring": (210, (22, 0, 640)),
    "curds": (130, (18, 0, 120)),
    "beetroot": (70, (2, 6, 90)),
}
FLOORS = {"protein": 70, "fibre": 24}
UNITS = ("protein", "fibre", "sodium")


def held(basket: tuple[int, ...], nutrient: str) -> int:
    """Add up a nutrient over the packs of a basket."""
    at = UNITS.index(nutrient)
    figures = (figures[at] for _, figures in PACKS.values())
    return sum(count * figure for count, figure in zip(basket, figures, strict=True))


def cheapest(most_sodium: int) -> int | None:
    """Try every basket; give the least cents, or None where no basket will do."""
    costs = [
        sum(count * cents for count, (cents, _) in zip(basket, PACKS.values(), strict=True))
        for basket in product(range(MOST + 1), repeat=len(PACKS))
        if all(held(basket, nutrient) >= floor for nutrient, floor in FLOORS.items())
        and held(basket, "sodium") <= most_sodium
    ]
    return min(costs, default=None)


def week_of_packs(most_sodium: int) -> Week:
    """Write the diet as a week file of one lunch."""
    floors = ", ".join(f"{nutrient}: {floor} g" for nutrient, floor in FLOORS.items())
    lines = [
        "week: {starts: 2026-11-30, days: [mon], currency: EUR}",
        f"eaters: {{Ada: {{floors: {{{floors}}}, ceilings: {{sodium: {most_sodium} mg}}}}}}",
        "larder:",
    ]
    for name, (cents, (protein, fibre, sodium)) in PACKS.items():
        holds = f"{{protein: {protein} g, fibre: {fibre} g, sodium: {sodium} mg}}"
        lines.append(
            f"  {name}: {{pack: 1 piece, chilled: no, price: {Decimal(cents) / 100}, "
            f"nutrition: {holds}}}"
        )
    lines += ["dishes:", "  basket:", "    kind: basket", "    extras:"]
    lines += [f"      {name}: {{portion: 1 piece, most: {MOST}}}" for name in PACKS]
    return week_from("\n".join([*lines, "priorities: [cost]"]) + "\n")


@pytest.mark.parametrize("most_sodium", [20, 250, 300, 350, 400, 450, 500, 4000])
def test_the_cheapest_basket_is_that_of_trying_every_one(most_sodium: int) -> None:
    wanted = cheapest(most_sodium)
    week = week_of_packs(most_sodium)
    program = Program(week)
    solved = solve(program, seconds=10)
    if wanted is None:
        assert solved.status is Status.INFEASIBLE
        return
    assert solved.status is Status.OPTIMAL
    assert solved.packed is not None
    assert not list(faults_of(week, solved.packed))
    (cost,) = (value for value in solved.values if value.name == "cost")
    assert cost.proven
    assert cost.value == cost.bound == Decimal(wanted) / 100
    # Parts of packs can only be cheaper.
    parts = least(program.board.sheet.bounds, program.rows, program.levels[0].total, whole=False)
    assert parts is not None
    assert parts.value <= wanted * program.levels[0].priority.per_unit / 100 + 1e-6


def test_the_ceilings_bind_and_one_is_too_low() -> None:
    costs = [cheapest(most_sodium) for most_sodium in (250, 300, 400, 500)]
    assert costs[0] is None
    assert costs[1:] == [710, 660, 640]
