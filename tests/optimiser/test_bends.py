"""A plan that bends: what each cancelled lunch leaves over, against HiGHS and enumeration."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from models import sums
from models.priorities import TIE_BREAK
from models.reading import read_document, week_of
from models.yamltext import parse
from optimiser.audit import audit
from optimiser.bends import bending, bends, stands
from optimiser.planning import plan_document
from optimiser.program import Program
from optimiser.report.plan import text as plan_text
from optimiser.rules import faults_of
from optimiser.solve import solve

from ..weeks import TINY
from .other_ways import Asked, weeks


def test_what_a_cancelled_lunch_leaves_is_the_least_there_can_be() -> None:
    looked_at = 0
    for week, solved in weeks(4, shift=41):
        packed = solved.packed
        assert packed is not None
        frozen = {
            name: sum(p.thawed for x in packed.lunches for p in x.portions if p.batch == name)
            for name in week.batches
        }
        for bend in bends(week, packed):
            rest = replace(
                week,
                lunches=tuple(
                    x for x in week.lunches if (x.eater, x.day) != (bend.eater, bend.day)
                ),
            )
            if not rest.lunches:
                continue
            oracle = Asked(rest)
            oracle.fix(packed, bend.day)
            oracle.frozen(frozen)
            left = oracle.priority("left_over")
            if bend.more is None:
                assert left is None
                continue
            assert left is not None
            more = max(Fraction(0), left - Fraction(sums.left_over(week, packed)))
            assert bend.more == pytest.approx(float(more), abs=0.01)
            looked_at += 1
    assert looked_at > 30


def test_the_plan_is_as_good_as_any_and_none_of_its_equals_stands_more() -> None:
    several = 0
    for week, _ in weeks(6, TINY, shift=42):
        program = Program(week)
        solved = solve(program)
        assert solved.packed is not None
        found = bending(week, program, solved)
        names = [value.name for value in solved.values if value.name != TIE_BREAK]
        before = {value.name: value.value for value in solved.values}
        after = sums.values(week, found.solved.packed)
        assert {name: after[name] for name in names} == {name: before[name] for name in names}
        assert list(faults_of(week, found.solved.packed)) == []
        assert bends(week, found.solved.packed) == found.bends
        assert stands(found.bends) >= stands(bends(week, solved.packed))
        several += found.looked_at > 1
    assert several > 3


BATCH = (
    "{made: 2026-11-29, yield: 4 portions, portion: 100 g, nutrition: {protein: 4 g}, "
    "fridge_life: 4, allergens: none}"
)
SMALLEST = f"""
week: {{starts: 2026-11-30, days: [mon, tue], guidance: us, name: Two days}}
eaters: {{Ada: {{}}}}
batches: {{beans: {BATCH}}}
dishes:
  Some: {{kind: a, takes: {{beans: 2}}}}
  Much: {{kind: b, takes: {{beans: 2 to 4}}}}
variety: {{most_times: 1}}
"""


def test_the_smallest_week_that_bends() -> None:
    # "Much" can take what a cancelled lunch leaves, if it is still to come: first "Some" then
    # "Much" stands when Monday fails; "Much" first stands neither way.
    found = plan_document(parse("w", SMALLEST), reasons=False, bend=True)
    assert [line.dish for line in found.lunches] == ["Some", "Much"]
    assert found.bends is not None
    assert [one.more for one in found.bends.lunches] == [0, 200]
    assert (found.bends.looked_at, found.bends.all_of_them) == (2, True)
    said = " ".join(plan_text(found).split())
    assert "if Mon falls through: still nothing wasted" in said
    assert "if Tue falls through: 200 g left over" in said
    assert "the best of 2 equal plans" in said
    assert audit(found) == []


def test_without_asking_the_plan_says_nothing_of_it() -> None:
    found = plan_document(parse("w", SMALLEST), reasons=False)
    assert found.bends is None
    assert "falls through" not in plan_text(found)


def test_the_demo_bends_as_it_says() -> None:
    document = read_document("demo")
    found = plan_document(document, reasons=False, bend=True)
    plain = plan_document(document, reasons=False)
    values = [(one.name, one.value) for one in plain.priorities if one.name != TIE_BREAK]
    assert values == [(one.name, one.value) for one in found.priorities if one.name != TIE_BREAK]
    assert found.bends is not None
    assert len(found.bends.lunches) == len(week_of(document).lunches)
    assert audit(found) == []
