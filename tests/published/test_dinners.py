"""The dinners of the AMPL book: a diet whose linear and whole optima are both printed.

Robert Fourer, David M. Gay and Brian W. Kernighan, "AMPL: A Modeling Language for
Mathematical Programming", 2nd edition (2003), chapter 2: files diet.mod, diet.dat,
diet2.dat and diet2a.dat. Eight packaged dinners have prices and percentages of the daily
need of four vitamins; a week needs 700 %. The book prints what its solvers found:

- diet.dat: 88.2, all of it macaroni and cheese (46.6667 packages);
- diet2.dat, with 2 to 10 of each, sodium up to 40000 and energy between 16000 and 24000:
  no feasible solution;
- diet2a.dat, with sodium up to 50000: 118.0594032, and 119.30 in whole packages.

Stigler's table has floors only; here are ceilings too, and least amounts. All figures are
whole or have two decimals, so nothing is rounded and equality is meant exactly.

A percentage of a vitamin is written as so many units of that vitamin: the program only
adds, and 700 % of a need are 700 hundredths of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import highspy
import pytest

from models.week.week import Week
from optimiser.rules import faults_of
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import solve

from .rows_in_highs import least, week_from

COSTS = {
    # Dollars a package: diet.dat, "param: cost".
    "BEEF": "3.19",
    "CHK": "2.59",
    "FISH": "2.29",
    "HAM": "2.89",
    "MCH": "1.89",
    "MTL": "1.99",
    "SPG": "1.99",
    "TUR": "2.49",
}

UNITS = {
    # The book's nutrient, its name in a week file, the unit it is written in.
    "A": ("vitamin A", "ug"),
    "C": ("vitamin C", "mg"),
    "B1": ("thiamin", "mg"),
    "B2": ("riboflavin", "mg"),
    "NA": ("sodium", "mg"),
    "CAL": ("energy", "kcal"),
}

AMOUNTS = {
    # diet2a.dat, "param amt (tr)": A, C, B1, B2 in per cent; NA in mg; CAL in kcal.
    "BEEF": (60, 20, 10, 15, 938, 295),
    "CHK": (8, 0, 20, 20, 2180, 770),
    "FISH": (8, 10, 15, 10, 945, 440),
    "HAM": (40, 40, 35, 10, 278, 430),
    "MCH": (15, 35, 15, 15, 1182, 315),
    "MTL": (70, 30, 15, 15, 896, 400),
    "SPG": (25, 50, 25, 15, 1329, 370),
    "TUR": (60, 20, 15, 10, 1397, 450),
}


@dataclass(frozen=True, slots=True)
class Diet:
    """One data file of the chapter.

    Attributes
    ----------
    fewest, most
        Packages of each dinner: f_min and f_max.
    least, most_of
        Of each nutrient over the week: n_min and n_max.
    linear, whole
        Optima in dollars.
    """

    fewest: int
    most: int
    least: dict[str, int]
    most_of: dict[str, int]
    linear: float
    whole: str


_VITAMINS = ("A", "C", "B1", "B2")

FIRST = Diet(
    fewest=0,
    most=100,
    least=dict.fromkeys(_VITAMINS, 700),
    most_of=dict.fromkeys(_VITAMINS, 10_000),
    linear=88.2,  # printed
    whole="88.44",  # the book prints none; recomputed below by another solver
)

SECOND = Diet(
    fewest=2,
    most=10,
    least=dict.fromkeys(_VITAMINS, 700) | {"CAL": 16_000},
    most_of=dict.fromkeys(_VITAMINS, 20_000) | {"NA": 50_000, "CAL": 24_000},
    linear=118.0594032,  # printed
    whole="119.30",  # printed
)

SECOND_WITH_LITTLE_SALT = Diet(
    fewest=2,
    most=10,
    least=SECOND.least,
    most_of=SECOND.most_of | {"NA": 40_000},
    linear=float("nan"),
    whole="",
)

PRINTED = [pytest.param(FIRST, id="diet.dat"), pytest.param(SECOND, id="diet2a.dat")]

ONE_LUNCH = ("", "mon")
WEEK_OF_ONE = ("week_", "mon")
WEEK_OF_SEVEN = ("week_", "mon, tue, wed, thu, fri, sat, sun")
"""Whether bounds hold over the week, and its days: the book's week can be told any way."""

TELLINGS = [
    pytest.param(FIRST, ONE_LUNCH, id="diet.dat in one lunch"),
    pytest.param(FIRST, WEEK_OF_ONE, id="diet.dat in a week of one lunch"),
    # What is always in a lunch comes seven times here, so this holds without least amounts only.
    pytest.param(FIRST, WEEK_OF_SEVEN, id="diet.dat in a week of seven lunches"),
    pytest.param(SECOND, ONE_LUNCH, id="diet2a.dat in one lunch"),
    pytest.param(SECOND, WEEK_OF_ONE, id="diet2a.dat in a week of one lunch"),
]


def week_of_dinners(diet: Diet, telling: tuple[str, str]) -> Week:
    """Write a diet as a week file."""
    span, days = telling
    lines = [f"week: {{name: Dinners, starts: 2026-11-30, days: [{days}], currency: USD}}"]
    lines += ["eaters:", "  reader:"]
    for what, bounds in (("floors", diet.least), ("ceilings", diet.most_of)):
        lines.append(f"    {span}{what}:")
        lines += [
            f"      {UNITS[name][0]}: {amount} {UNITS[name][1]}" for name, amount in bounds.items()
        ]
    lines.append("larder:")
    for dinner, cost in COSTS.items():
        lines += [f"  {dinner}:", "    pack: 1 piece", f"    price: {cost}", "    nutrition:"]
        lines += [
            f"      {name}: {amount} {unit}"
            for (name, unit), amount in zip(UNITS.values(), AMOUNTS[dinner], strict=True)
        ]
    lines += ["dishes:", "  a week of dinners:", "    kind: dinners"]
    if diet.fewest:
        lines.append("    goes_in:")
        lines += [f"      {dinner}: {diet.fewest} pieces" for dinner in COSTS]
    lines.append("    extras:")
    lines += [
        f"      {dinner}: {{portion: 1 piece, most: {diet.most - diet.fewest}}}" for dinner in COSTS
    ]
    lines.append("priorities: [cost]")
    return week_from("\n".join(lines) + "\n")


def by_the_book(diet: Diet, *, whole: bool) -> tuple[float, dict[str, float]] | None:
    """Solve the book's model as the book writes it, with nothing of the program in it."""
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("mip_rel_gap", 0.0)
    # One process may not mix numbers of threads.
    solver.setOptionValue("threads", 1)
    kind = highspy.HighsVarType.kInteger if whole else highspy.HighsVarType.kContinuous
    buy = {
        dinner: solver.addVariable(lb=diet.fewest, ub=diet.most, obj=float(cost), type=kind)
        for dinner, cost in COSTS.items()
    }
    for at, nutrient in enumerate(UNITS):
        total = solver.qsum(AMOUNTS[dinner][at] * bought for dinner, bought in buy.items())
        low = diet.least.get(nutrient, 0)
        high = diet.most_of.get(nutrient, highspy.kHighsInf)
        solver.addConstr(low <= total <= high)
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    assert status == highspy.HighsModelStatus.kOptimal
    packages = {dinner: float(solver.val(bought)) for dinner, bought in buy.items()}
    return float(solver.getObjectiveValue()), packages


def packages_of(diet: Diet, program: Program, counts: list[float]) -> dict[str, float]:
    """Count the packages of each dinner: those always in it and those added."""
    by_dinner = program.board.extra_counts[0].items()
    return {dinner: diet.fewest + counts[count] for (_, dinner), count in by_dinner}


@pytest.mark.parametrize("diet", PRINTED)
def test_the_figures_typed_in_give_the_printed_optima(diet: Diet) -> None:
    linear = by_the_book(diet, whole=False)
    whole = by_the_book(diet, whole=True)
    assert linear is not None
    assert whole is not None
    assert linear[0] == pytest.approx(diet.linear, abs=5e-8)
    assert whole[0] == pytest.approx(float(diet.whole), abs=1e-9)


@pytest.mark.parametrize(("diet", "telling"), TELLINGS)
def test_the_rows_give_the_printed_linear_optimum(diet: Diet, telling: tuple[str, str]) -> None:
    program = Program(week_of_dinners(diet, telling))
    cost = program.levels[0]
    values = least(program.board.sheet.bounds, program.rows, cost.total, whole=False)
    assert values is not None
    assert values.value / cost.priority.per_unit == pytest.approx(diet.linear, abs=5e-8)


def test_the_linear_diets_are_the_printed_ones() -> None:
    # The book: "display Buy", dinners in the order of COSTS.
    printed = (
        (FIRST, (0, 0, 0, 0, 46.6667, 0, 0, 0)),
        (SECOND, (5.36061, 2, 2, 10, 10, 10, 9.30605, 2)),
    )
    for diet, buy in printed:
        program = Program(week_of_dinners(diet, WEEK_OF_ONE))
        values = least(
            program.board.sheet.bounds, program.rows, program.levels[0].total, whole=False
        )
        assert values is not None
        assert packages_of(diet, program, values.counts) == pytest.approx(
            dict(zip(COSTS, buy, strict=True)), abs=5e-5
        )


@pytest.mark.parametrize(("diet", "telling"), TELLINGS)
def test_the_plan_in_whole_packages_costs_what_is_printed(
    diet: Diet, telling: tuple[str, str]
) -> None:
    week = week_of_dinners(diet, telling)
    solved = solve(Program(week), seconds=10)
    assert solved.status is Status.OPTIMAL
    assert solved.packed is not None
    assert not list(faults_of(week, solved.packed))
    cost = next(value for value in solved.values if value.name == "cost")
    assert cost.proven
    assert cost.value == cost.bound == Decimal(diet.whole)


def test_with_little_salt_nobody_finds_a_diet() -> None:
    assert by_the_book(SECOND_WITH_LITTLE_SALT, whole=False) is None
    program = Program(week_of_dinners(SECOND_WITH_LITTLE_SALT, WEEK_OF_ONE))
    cost = program.levels[0]
    assert least(program.board.sheet.bounds, program.rows, cost.total, whole=False) is None
    assert solve(program, seconds=10).status is Status.INFEASIBLE
