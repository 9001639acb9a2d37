"""No repeats: as few as can be of each sort, in order, then the best week of those."""

from __future__ import annotations

import pytest

from models.planfile import PlanFile
from models.reading import week_of
from models.yamltext import parse
from optimiser.cpsat import Status
from optimiser.planning import plan_document
from optimiser.program import Program
from optimiser.repeats import WAYS, Repeats, asked
from optimiser.rules import faults_of, rules_of
from optimiser.servings.rows import Row
from optimiser.solve import solve, solve_with

from .other_ways import Asked, reached, weeks

BATCH = (
    "{made: 2026-11-29, yield: 6 portions, portion: 100 g, nutrition: {protein: 4 g}, "
    "fridge_life: 4, allergens: none}"
)
WEEK = f"""
week: {{starts: 2026-11-30, days: [mon, tue, wed], guidance: us}}
place: {{microwave: yes}}
eaters:
  Ada: {{likes: {{A: 2}}}}
batches:
  beans: {BATCH}
dishes:
  A: {{kind: bowl, takes: {{beans: 1 to 2}}}}
  B: {{kind: bowl, takes: {{beans: 1 to 2}}}}
  C: {{kind: cup, takes: {{beans: 1 to 2}}, microwave: yes}}
"""


@pytest.mark.parametrize("way", WAYS)
def test_repeats_are_the_fewest_and_then_the_week_is_the_best(way: str) -> None:
    looked_at = 0
    for at, (week, plain) in enumerate(weeks(4, shift=31)):
        assert plain.packed is not None
        # Every other dish was eaten lately, by everyone.
        eaten = {(eater, dish) for eater in week.eaters for dish in list(week.dishes)[at % 2 :: 2]}
        wanted = asked(way, eaten)
        _, solved = solve_with(week, [], first=wanted)
        assert solved.packed is not None
        assert list(faults_of(week, solved.packed)) == []
        oracle = Asked(week)
        lines = [oracle.repeats_of(one.aspect, one.eaten) for one in wanted]
        for one, line in zip(wanted, lines, strict=True):
            assert oracle.least(line) == one.count(week, solved.packed), (one.aspect, week)
        if solved.status is Status.OPTIMAL:
            names = [name for name in week.priorities if name != "file_order"]
            assert oracle.priorities(names) == reached(solved, names)
            looked_at += 1
    assert looked_at >= 10


def test_the_program_counts_what_the_packed_week_shows() -> None:
    for week, _ in weeks(2, shift=32):
        for one in asked("all", {(eater, next(iter(week.dishes))) for eater in week.eaters}):
            program, solved = solve_with(week, [], first=[one])
            assert solved.packed is not None
            total = one.total(Program(week))
            assert total.terms or not week.choices
            assert one.count(week, solved.packed) == sum(
                times for _, times in one.found(week, solved.packed)
            )
            assert program.week is week


def plan(text: str, way: str = "dish", eaten: set[tuple[str, str]] | None = None) -> PlanFile:
    return plan_document(parse("w", text), reasons=False, varied=asked(way, eaten or set()))


def test_where_it_can_be_it_holds_and_says_what_it_costs() -> None:
    found = plan(WEEK)
    assert sorted(line.dish for line in found.lunches) == ["A", "B", "C"]
    (line,) = found.wishes
    assert (line.wish, line.granted) == ("no dish twice", True)
    assert line.text.startswith("it holds; against the plan without it: ")


def test_where_it_cannot_be_the_nearest_week_and_the_rules_that_forbid_it() -> None:
    text = WEEK.replace("microwave: yes}\n", "microwave: no}\n", 1)
    found = plan(text)
    assert len({line.dish for line in found.lunches}) == 2
    (line,) = found.wishes
    assert (line.granted, line.amount) == (False, 1)
    assert "has again" in line.text
    week = week_of(parse("w", text))
    keys = [rule.key for rule in line.rules]
    assert any("Ada" in key or "C" in key for key in keys)

    def possible(kept: list[str]) -> bool:
        program = Program(week, rules=[rule for rule in rules_of(week) if rule.key in kept])
        program.board.sheet.rows.append(Row.of(Repeats("dish").total(program), high=0))
        return solve(program, holds=False).status is not Status.INFEASIBLE

    assert not possible(keys)
    for key in keys:
        assert possible([one for one in keys if one != key])


def test_no_kind_twice_is_more_than_no_dish_twice() -> None:
    found = plan(WEEK, "kind")
    (line,) = found.wishes
    assert (line.wish, line.granted, line.amount) == ("no kind of dish twice", False, 1)


def test_what_one_eater_had_does_not_keep_it_from_another() -> None:
    text = WEEK.replace("  Ada: {likes: {A: 2}}", "  Ada: {likes: {A: 2}}\n  Bo: {likes: {A: 2}}")
    text = text.replace("days: [mon, tue, wed]", "days: [mon]")
    found = plan(text, eaten={("Ada", "A")})
    dishes = {line.eater: line.dish for line in found.lunches}
    assert dishes["Bo"] == "A"
    assert dishes["Ada"] != "A"
