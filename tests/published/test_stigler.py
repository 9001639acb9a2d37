"""Stigler's diet: the oldest published optimum of a diet, and 77 foods of real figures.

George J. Stigler, "The Cost of Subsistence", Journal of Farm Economics 27 (1945), 303-314,
asked for the cheapest year of food that meets nine daily allowances and could only guess:
$39.93. It became the first large linear program ever solved; by hand, nine clerks found
$39.69 (told by George B. Dantzig, "The Diet Problem", Interfaces 20(4), 1990, 43-47). The
OR-Tools documentation, "The Stigler Diet Problem", prints the same table and, without the
rounding of desk calculators, $39.6617 with the amount of each food.

`stigler.csv` holds the figures of Stigler's Table A as that documentation prints them:
what one dollar buys at the prices of August 1939. The names of the foods are our own.

A portion here is one cent's worth. All figures of the table then are whole numbers in the
program's thousandths of a unit, so nothing is rounded on the way and the linear optimum
must come out to the last digit printed.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from math import ceil
from pathlib import Path

import pytest

from models.week.week import Week
from optimiser.board.rows import Row, Sum
from optimiser.rules import faults_of
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import solve

from .claims import Cases, claim
from .rows_in_highs import least, week_from

FIGURES = Path(__file__).with_name("stigler.csv")

DAYS = 365
ANNUAL_COST = 39.6617
"""Dollars a year, printed by the OR-Tools documentation ("Optimal annual price")."""

ANNUAL_FOODS = {
    # Dollars a year, printed by the OR-Tools documentation ("Annual Foods").
    "wheat flour": 10.774457511918223,
    "beef liver": 0.6907834111074193,
    "cabbage": 4.093268864842877,
    "spinach": 1.8277960703546996,
    "dried navy beans": 22.275425687243036,
}

NUTRIENTS_PER_DAY = (3.00, 147.41, 0.80, 60.47, 5.00, 4.12, 2.70, 27.32, 75.00)
"""What that diet holds, printed there too ("Nutrients per day"), in the order of the table."""

PER_DOLLAR = 100
"""Portions: one cent's worth each."""

MOST_PORTIONS = 5_000
"""More of one food than Stigler's whole year costs, so that it never binds."""


@dataclass(frozen=True, slots=True)
class Allowance:
    """A daily allowance of Stigler's Table 1 (National Research Council, 1943).

    Attributes
    ----------
    daily
        In the unit of the table.
    unit
        The unit the week file is given.
    factor
        Units of the week file in one unit of the table.
    """

    daily: Decimal
    unit: str
    factor: int


ALLOWANCES = {
    "energy": Allowance(Decimal(3), "kcal", 1000),
    "protein": Allowance(Decimal(70), "g", 1),
    "calcium": Allowance(Decimal("0.8"), "mg", 1000),
    "iron": Allowance(Decimal(12), "mg", 1),
    # The table counts international units, in thousands; a week file counts micrograms.
    # Food and floor are scaled alike, by 1000, so that "ug" is a label for IU here and no
    # claim that the two are one. (An IU of retinol is 0.3 ug.)
    "vitamin A": Allowance(Decimal(5), "ug", 1000),
    "thiamin": Allowance(Decimal("1.8"), "mg", 1),
    "riboflavin": Allowance(Decimal("2.7"), "mg", 1),
    "niacin": Allowance(Decimal(18), "mg", 1),
    "vitamin C": Allowance(Decimal(75), "mg", 1),
}


@cache
def table() -> dict[str, dict[str, Decimal]]:
    """Read what a dollar's worth of each food holds, in the units of the table."""
    with FIGURES.open(encoding="utf-8", newline="") as stream:
        return {
            line.pop("food"): {nutrient: Decimal(figure) for nutrient, figure in line.items()}
            for line in csv.DictReader(stream)
        }


def eaten(food: str) -> str:
    """Name a food of the table as a lunch may hold it: dried beans are refused as they are."""
    return re.sub("^dried (.* beans)$", r"boiled \1", food)


def diet(days: int) -> Week:
    """Write the diet of so many days as one lunch that must carry it all."""
    floors = [
        f"      {name}: {need.daily * need.factor * days} {need.unit}"
        for name, need in ALLOWANCES.items()
    ]
    larder: list[str] = []
    extras: list[str] = []
    for food, figures in table().items():
        # A dollar's worth is called 100 g: Stigler's table knows no mass either.
        larder += [
            f"  {eaten(food)}:",
            f"    pack: {PER_DOLLAR} g",
            "    price: 1",
            "    chilled: no",
        ]
        larder.append("    nutrition:")
        larder += [
            f"      {name}: {figures[name] * need.factor} {need.unit}"
            for name, need in ALLOWANCES.items()
        ]
        extras.append(f"      {eaten(food)}: {{portion: 1 g, most: {MOST_PORTIONS}}}")
    lines = [
        # The date means nothing here; a week file must have one.
        "week: {name: Stigler, starts: 2026-11-30, days: [mon], currency: USD}",
        "eaters:",
        "  moderately active man:",
        "    floors:",
        *floors,
        "larder:",
        *larder,
        "dishes:",
        "  subsistence:",
        "    kind: diet",
        "    extras:",
        *extras,
        "priorities: [cost]",
    ]
    return week_from("\n".join(lines) + "\n")


def dollars(program: Program, counts: list[float]) -> dict[str, float]:
    """Read how many dollars go into each food."""
    by_food = program.board.extra_counts[0].items()
    bought = {food: counts[count] / PER_DOLLAR for (_, food), count in by_food}
    return {food: bought[eaten(food)] for food in table()}


def optimum_by_highs(program: Program, *, whole: bool) -> tuple[float, dict[str, float]]:
    """Hand the program's own rows to HiGHS; give the dollars in all and in each food."""
    cost = next(level for level in program.levels if level.name == "cost")
    values = least(program.board.sheet.bounds, program.rows, cost.total, whole=whole)
    assert values is not None
    return values.value / cost.priority.per_unit, dollars(program, values.counts)


def test_the_table_is_whole() -> None:
    foods = table()
    assert len(foods) == 77
    assert all(list(figures) == list(ALLOWANCES) for figures in foods.values())
    assert len(ALLOWANCES) == 9


def test_the_table_itself_gives_the_published_optimum() -> None:
    # Without the program: a figure mistyped in the five foods would show here and not there.
    foods = list(table())
    rows = [
        Row(
            tuple(
                (at, int(table()[food][name] * 10))
                for at, food in enumerate(foods)
                if table()[food][name]
            ),
            int(need.daily * 10),
            None,
            name,
        )
        for name, need in ALLOWANCES.items()
    ]
    values = least([(0, 100)] * len(foods), rows, Sum((at, 1) for at in range(77)), whole=False)
    assert values is not None
    assert values.value * DAYS == pytest.approx(ANNUAL_COST, abs=0.00005)


@claim("what that diet holds of nine nutrients a day", "OR-Tools", within="0.005 of a unit")
def test_the_published_diet_holds_what_is_published_of_it() -> Cases:
    for name, published in zip(ALLOWANCES, NUTRIENTS_PER_DAY, strict=True):
        bought = ((float(table()[food][name]), spent) for food, spent in ANNUAL_FOODS.items())
        yield name, published, sum(held * spent for held, spent in bought) / DAYS


@pytest.mark.parametrize("days", [1, DAYS])
def test_nothing_is_rounded_on_the_way_into_the_program(days: int) -> None:
    board = Program(diet(days)).board
    for food, count in zip(table(), board.extra_counts[0].values(), strict=True):
        for tag, (name, need) in zip(
            ("ENERC", "PROCNT", "CA", "FE", "VITA", "THIA", "RIBF", "NIA", "VITC"),
            ALLOWANCES.items(),
            strict=True,
        ):
            exact = table()[food][name] * need.factor * 1000 / PER_DOLLAR
            for up in (True, False):
                held = board.nutrient(board.slots[0], tag, up=up)
                assert held.terms.get(count, 0) == exact


@claim(
    "the cheapest diet of a year, in dollars",
    "OR-Tools; Stigler: 39.93 by trial; Dantzig",
    within="0.00005 dollars",
)
def test_the_rows_give_the_published_linear_optimum() -> Cases:
    # Half of the last digit printed; the rows themselves are exact.
    value, _ = optimum_by_highs(Program(diet(DAYS)), whole=False)
    yield "a year", ANNUAL_COST, round(value, 6)


@claim("its five foods, planned by the day and by the year", "OR-Tools", within="1e-6 dollars")
def test_the_rows_give_the_published_foods() -> Cases:
    for days in (1, DAYS):
        _, foods = optimum_by_highs(Program(diet(days)), whole=False)
        annual = {food: spent * DAYS / days for food, spent in foods.items() if spent > 1e-9}
        assert set(annual) == set(ANNUAL_FOODS)
        for food, spent in ANNUAL_FOODS.items():
            yield f"{food}, {days} days", spent, annual[food]


@pytest.mark.parametrize("days", [1, DAYS])
def test_whole_portions_cost_no_more_than_rounding_the_linear_optimum_up(days: int) -> None:
    week = diet(days)
    program = Program(week)
    linear, foods = optimum_by_highs(program, whole=False)
    solved = solve(program, seconds=8)
    assert solved.packed is not None
    assert not list(faults_of(week, solved.packed))

    # There are floors only: rounding every food of the linear optimum up keeps all of them.
    rounded_up = sum(ceil(spent * PER_DOLLAR - 1e-6) for spent in foods.values()) / PER_DOLLAR
    assert rounded_up <= linear + len(ANNUAL_FOODS) / PER_DOLLAR
    cost = next(value for value in solved.values if value.name == "cost")
    assert cost.bound is not None
    assert linear - 1e-9 <= float(cost.bound) <= float(cost.value) <= rounded_up
    assert cost.proven == (cost.bound == cost.value)


@pytest.mark.parametrize("days", [1, DAYS])
def test_two_solvers_find_the_same_cost_in_whole_cents(days: int) -> None:
    program = Program(diet(days))
    by_highs, _ = optimum_by_highs(program, whole=True)
    solved = solve(program, seconds=8)
    assert solved.status is Status.OPTIMAL
    cost = next(value for value in solved.values if value.name == "cost")
    assert float(cost.value) == pytest.approx(by_highs, abs=1e-6)
    # The linear optima are 10.87 and 3966.17 cents; a day's diet of 11 whole cents is too little.
    assert cost.value == {1: Decimal("0.12"), DAYS: Decimal("39.67")}[days]


def test_a_year_in_whole_cents_is_made_of_the_five_known_foods() -> None:
    program = Program(diet(DAYS))
    solved = solve(program, seconds=8)
    assert solved.counts is not None
    spent = dollars(program, [float(count) for count in solved.counts])
    known = {food: spent[food] for food in ANNUAL_FOODS}
    # Many diets cost the same to the cent; a few cents of some other food may round one off.
    assert all(known.values())
    assert sum(known.values()) >= 0.99 * sum(spent.values())
