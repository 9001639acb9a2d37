"""What reports say of random weeks in every order of priorities, asked again of the second solver.

Every sentence is made from an answer; here each sort of claim that an answer makes is put to HiGHS
on the model of `highs.py`, which knows nothing of rows, levels or foils. The priorities stand in an
order that is drawn, all of them and left over never first, and most weeks have several eaters:
what holds in the usual order alone shows here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from random import Random

import pytest

from models.answers.plan import LunchLine, PlanFile, Reason
from models.answers.why import Answer
from models.file.reading import week_of
from models.week.knobs import Knob
from models.week.week import Week
from models.words.days import weekday
from models.words.priorities import TIE_BREAK
from optimiser.explain.why import Why
from optimiser.planning import plan_week
from optimiser.priorities import PRIORITIES
from optimiser.report import plan as plan_report
from optimiser.report import whatif as whatif_report
from optimiser.weeks import whatif
from tests.depth import sized
from tests.optimiser.asking import drawn
from tests.optimiser.other_ways import Asked
from tests.weeks import SMALL, document_of

WEEKS = sized(8, 300)
SEVERAL = 0.6
"""At least this share of them has several eaters."""
NAMES = [name for name in PRIORITIES if name != TIE_BREAK]
CLOSE = Decimal("0.1")
"""Amounts are said rounded down, left over to a tenth of a gram."""

Values = Mapping[str, Fraction]


@dataclass(frozen=True)
class Judged:
    """A week in an order of its own, its plan, and what the second solver makes of it."""

    at: int
    week: Week
    order: list[str]
    plan: PlanFile
    best: Values | None

    def best_with(self, ask: Callable[[Asked], None]) -> Values | None:
        """Give the best values of the week when more is asked."""
        oracle = Asked(self.week)
        ask(oracle)
        return oracle.priorities(self.order)

    def first_lost(self, other: Values | None) -> tuple[str, Fraction] | None:
        """Give the first priority in which another week is worse, and by how much."""
        assert self.best is not None
        assert other is not None
        for name in self.order:
            lost = other[name] - self.best[name]
            if lost:
                return name, -lost if PRIORITIES[name].most else lost
        return None


def in_an_order_of_its_own(data: dict[str, object], at: int) -> dict[str, object]:
    """Name every priority, in an order in which left over is not first."""
    order = list(NAMES)
    Random(at).shuffle(order)
    if order[0] == "left_over":
        order.append(order.pop(0))
    return {**data, "priorities": order}


@cache
def judged() -> tuple[Judged, ...]:
    """Plan random weeks, most of them of several eaters, and ask the second solver for its best."""
    many, few = [], []
    for data in drawn(SMALL, sized(8, 120), 31):
        (many if len(data["eaters"]) > 1 else few).append(data)
    alone = int(WEEKS * (1 - SEVERAL))
    weeks = []
    for at, data in enumerate([*many[: WEEKS - alone], *few[:alone]]):
        week = week_of(document_of(in_an_order_of_its_own(data, at)))
        order = [name for name in week.priorities if name != TIE_BREAK]
        assert order[0] != "left_over"
        weeks.append(Judged(at, week, order, plan_week(week), Asked(week).priorities(order)))
    return tuple(weeks)


def planned() -> list[Judged]:
    """Give those that have a plan."""
    return [one for one in judged() if one.best is not None]


def test_the_weeks_are_many_and_of_several_eaters_in_many_orders() -> None:
    assert len(judged()) == WEEKS
    assert sum(len(one.week.eaters) > 1 for one in judged()) >= SEVERAL * WEEKS
    assert len({tuple(one.order) for one in judged()}) >= 0.9 * WEEKS
    assert len({one.order[0] for one in judged()}) >= sized(4, len(NAMES) - 1)
    assert len(planned()) >= WEEKS / 3


def test_a_plan_says_what_the_second_solver_reaches() -> None:
    for one in judged():
        printed = plan_report.text(one.plan, full=True)
        assert (one.plan.status == "optimal") == (one.best is not None), one.at
        if one.best is None:
            assert "No plan is possible." in printed, one.at
            continue
        lines = {line.name: line for line in one.plan.priorities}
        for name in one.order:
            assert lines[name].proven, (one.at, name)
            exact = float(one.best[name])
            assert lines[name].value == pytest.approx(exact, abs=1e-4), (one.at, name)
            said = PRIORITIES[name].amount(lines[name].value, one.plan.currency)
            assert said in printed, (one.at, name)
        assert "Not proven" not in printed
        left = one.best["left_over"]
        assert ("left over    nothing" in printed) == (not left), one.at


def test_what_is_not_blamed_is_no_cause_of_what_is_left_over() -> None:
    told = Counter[bool]()
    for one in planned():
        assert one.best is not None
        if not one.best["left_over"]:
            assert one.plan.left_over.why == []
            continue
        blamed = {
            line.key.partition(":")[2]
            for line in one.plan.left_over.why
            if line.key.startswith("priority:")
        }
        told[bool(blamed)] += 1
        above = one.order[: one.order.index("left_over")]
        assert blamed <= set(above), one.at
        # Held to what is blamed alone, in its order, no week leaves less.
        oracle = Asked(one.week)
        for name in above:
            if name in blamed:
                line, more = oracle.model.value(name)
                value = one.best[name]
                oracle.model.sheet.row(line, **({"low": value} if more else {"high": value}))
        assert oracle.priority("left_over") == one.best["left_over"], one.at
        if blamed:
            less = Asked(one.week).priority("left_over")
            assert less is not None
            assert less <= one.best["left_over"]
    assert told[True] >= sized(1, 20), told


# -- because -------------------------------------------------------------------------------


def reasons() -> Iterator[tuple[Judged, LunchLine, Reason]]:
    for one in planned():
        for line in one.plan.lunches:
            for reason in line.reasons:
                yield one, line, reason


def without(one: Judged, line: LunchLine, *, all_week: bool) -> Values | None:
    """Give the best week without a dish on its day, or for its eater on any."""

    def ask(oracle: Asked) -> None:
        for meal in oracle.model.meals:
            meant = meal.lunch.eater == line.eater and (all_week or meal.lunch.day == line.date)
            if meant and line.dish in meal.dish:
                oracle.hold(meal.dish[line.dish], 0)

    return one.best_with(ask)


def test_every_reason_is_what_the_second_solver_finds() -> None:
    told = Counter[str]()
    for one, line, reason in reasons():
        if reason.kind == "amount":
            continue
        where = (one.at, line.date, line.eater, reason.text)
        all_week = reason.text.startswith("wanted")
        if all_week and len(one.week.eaters) > 1:
            assert reason.text.startswith(f"wanted for {line.eater} this week"), where
        other = without(one, line, all_week=all_week)
        told[reason.kind] += 1
        if reason.kind == "conflict":
            assert other is None, where
            continue
        lost = None if other is None else one.first_lost(other)
        if reason.kind == "order":
            assert (other is not None, lost) == (True, None), where
        elif reason.kind == "rule":
            assert other is None or lost is not None, where
        else:
            assert lost is not None, where
            assert lost[0] == reason.priority, where
            assert_amount(reason.amount, lost, exact=reason.exact, where=where)
            if reason.alternative is not None:
                assert reason.text.startswith(
                    f"with {reason.alternative}, the next best on {weekday(line.date)}, "
                ), where
                with_it = with_dish(one, line.eater, line.date, reason.alternative)
                assert one.first_lost(with_it) == lost, where
    assert told["priority"] >= sized(4, 300), told


def assert_amount(
    amount: float | None, lost: tuple[str, Fraction], *, exact: bool | None, where: object
) -> None:
    """Hold an amount that is said to be lost against the true one."""
    if amount is None:
        return
    true = float(lost[1])
    if exact:
        assert amount == pytest.approx(true, abs=1e-4), where
    else:
        assert 0 < amount <= true + 1e-6, where


def with_dish(one: Judged, eater: str, day: object, dish: str) -> Values | None:
    """Give the best week with a dish at a lunch."""

    def ask(oracle: Asked) -> None:
        (meal,) = (
            meal
            for meal in oracle.model.meals
            if (meal.lunch.eater, meal.lunch.day) == (eater, day)
        )
        if dish in meal.dish:
            oracle.hold(meal.dish[dish], 1)
        else:
            oracle.never()

    return one.best_with(ask)


# -- why not ---------------------------------------------------------------------------------


def test_every_verdict_is_what_the_second_solver_finds() -> None:
    told = Counter[str]()
    for one in planned()[: sized(5, 100)]:
        lunch = one.plan.lunches[one.at % len(one.plan.lunches)]
        every = Why(one.week).all(lunch.eater)
        (line,) = (x for x in every.lunches if x.date == lunch.date)
        for answer in line.dishes:
            told[answer.verdict] += 1
            if answer.verdict != "planned":
                assert_verdict(one, lunch, answer)
    assert min(told[kind] for kind in ("worse", "impossible")) >= sized(1, 20), told


def assert_verdict(one: Judged, lunch: LunchLine, answer: Answer) -> None:
    where = (one.at, lunch.date, lunch.eater, answer.what, answer.text)
    other = with_dish(one, lunch.eater, lunch.date, answer.what)
    if answer.verdict == "impossible":
        assert other is None, where
        return
    assert other is not None, where
    lost = one.first_lost(other)
    if answer.verdict == "as good":
        assert lost is None, where
        return
    assert answer.verdict == "worse", where
    assert lost is not None, where
    assert answer.loss is not None, where
    assert answer.loss.priority == lost[0], where
    assert_amount(answer.loss.amount, lost, exact=answer.loss.exact, where=where)


# -- what if ---------------------------------------------------------------------------------


def test_every_row_of_a_what_if_is_what_the_second_solver_finds() -> None:
    told = Counter[bool]()
    for one in judged()[: sized(6, 100)]:
        name, batch = next(iter(one.week.batches.items()))
        values = sorted({1, max(1, batch.portions - 1), batch.portions})
        knob = Knob("yield", name, "portions", tuple(map(Decimal, values)), Decimal(batch.portions))
        answer = whatif.what_if(one.week, [knob])
        nothing = []
        for row in answer.rows:
            turned = whatif.turned(one.week, [knob], [Decimal(row.values[0])])
            best = Asked(turned).priorities(one.order)
            assert (best is None) == (row.left_over is None), (one.at, row.values)
            leaves_nothing = best is not None and best["left_over"] == 0
            assert row.none_left == leaves_nothing, (one.at, row.values)
            if best is not None:
                assert row.left_over == pytest.approx(float(best["left_over"]), abs=1e-4)
                assert row.cost == pytest.approx(float(best["cost"]), abs=1e-4)
            if leaves_nothing:
                nothing.append(row.values[0])
            told[leaves_nothing] += 1
        printed = whatif_report.text(answer, chart=False)
        assert ("with none of these" in printed) == (not nothing), one.at
    assert told[False] > 0, told
