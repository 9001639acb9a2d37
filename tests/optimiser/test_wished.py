"""Lunches that are wanted: the same in every command, held against two other judges."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

import optimiser
from models.file.reading import ready_text, week_of
from models.file.yamltext import parse
from models.words.errors import InputError
from models.words.giving import WISHES
from optimiser.planning import plan_week
from optimiser.rules import faults_of, rules_of
from optimiser.solve.program import Program, priorities_of
from optimiser.solve.week import solve, solve_week
from optimiser.weeks.nearest import Near
from tests.depth import sized
from tests.oracle import highs, plain
from tests.weeks import SMALL, THEMES, WeekData, document_of

from .asking import of_theme

APPLE, CHEESE = "Rice, beans and apple", "Rice, beans and cheese"


def wishing(*wishes: str) -> str:
    return f"{ready_text('minimal')}wishes: {[*wishes]}\n"


def with_wishes(data: WeekData, at: int) -> Any:
    """Wish for a dish on the first and one on the last day, the latter for one eater."""
    week = week_of(document_of(data))
    dishes, lunches = [*week.dishes], week.lunches
    first, last = lunches[0], lunches[-1]
    return data | {
        "wishes": [
            f"{dishes[at % len(dishes)]} on {first.day}",
            f"{dishes[(at + 1) % len(dishes)]} on {last.day} for {last.eater}",
        ]
    }


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_no_week_with_them_is_better_and_none_is_nearer(theme: str) -> None:
    for at, data in enumerate(of_theme(SMALL, theme, sized(1, 40), shift=23)):
        week = week_of(document_of(with_wishes(data, at)))
        _, solved = solve_week(week)
        values = tuple((value.name, Fraction(value.value)) for value in solved.values)
        if solved.packed is None:
            assert highs.best(week).values is None
            near = Near.of(week, rules_of(week), priorities_of(week))
            reached = {value.name: value.value for value in solve(near.program).values}
            best = dict(highs.nearest(week).values or ())
            assert (reached["bought"], reached[WISHES]) == (best["bought"], best[WISHES])
            continue
        assert values == highs.best(week).values
        assert list(faults_of(week, solved.packed)) == []
        assert plain.broken(week, solved.packed) == []


def test_counted_out_it_is_the_same() -> None:
    week = week_of(parse("w", wishing(f"{APPLE} on mon", f"{CHEESE} on wed for Ilse")))
    solved = solve(Program(week))
    values = tuple((value.name, Fraction(value.value)) for value in solved.values)
    assert values == plain.best(week, 20_000)


def test_who_is_wished_for_is_the_one_who_has_it() -> None:
    text = wishing(f"{APPLE} on mon for Bo", f"{CHEESE} on mon for Ilse").replace(
        "{Ilse: {floors: {protein: 18 g}}}", "{Ilse: {}, Bo: {}}"
    )
    plan = optimiser.plan(text, reasons=False)
    dishes = {line.eater: line.dish for line in plan.lunches if f"{line.date:%a}" == "Mon"}
    assert dishes == {"Ilse": CHEESE, "Bo": APPLE}


def test_what_cannot_be_gives_way_and_mend_does_without_it() -> None:
    text = wishing(f"{APPLE} on tue", f"{CHEESE} on tue", f"{APPLE} on wed")
    plan = optimiser.plan(text, reasons=False)
    assert plan.status == "infeasible"
    assert {rule.key.partition(":")[0] for rule in plan.conflict} == {"wished"}
    nearest = optimiser.plan(text, reasons=False, nearest=True)
    assert nearest.nearest is not None
    assert [line.about for line in nearest.nearest.gave_way] == [WISHES]
    assert optimiser.audit(nearest).faults == []
    ways = optimiser.mend(text, count=1).ways
    assert [change.path[0] for change in ways[0].changes] == ["wishes"]
    assert optimiser.plan(ways[0].text, reasons=False).status == "optimal"
    assert APPLE in optimiser.render(nearest)


def test_a_lunch_that_is_called_off_is_wished_no_more_and_the_week_after_neither() -> None:
    week = week_of(parse("w", wishing(f"{APPLE} on tue")))
    plan = plan_week(week, reasons=False)
    changed = optimiser.change(plan, "tue", no_lunch="tue").plan
    assert changed.status == "optimal"
    assert "wishes" not in optimiser.next_week(plan).text
    assert "a wish of that week" in optimiser.render(optimiser.next_week(plan))


@pytest.mark.parametrize(
    ("wish", "what"),
    [
        ("Rice", "no dish on a day"),
        ("Rice on mon", "no dish named 'Rice'"),
        (f"{APPLE} on fri", "not a day of this week"),
        (f"{APPLE} on mon for Bo", "no eater named 'Bo'"),
    ],
)
def test_what_is_no_wish_is_refused(wish: str, what: str) -> None:
    with pytest.raises(InputError, match=what):
        optimiser.read_week(wishing(wish))
    with pytest.raises(InputError, match="wished twice"):
        optimiser.read_week(wishing(f"{APPLE} on mon", f"{APPLE} on 2026-11-30"))
