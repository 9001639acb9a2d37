"""The sets of rules that stand in the way, each held against fresh solves.

A cook who is told that four rules clash will change one of the four. So the set has to
clash by itself, and each of its rules has to be needed for that; and tomorrow it has to be
the same set.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from collections.abc import Sequence
from copy import deepcopy
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.answers.plan import RuleLine
from models.file.every_fault import every_fault
from models.file.reading import read_document, read_week, ready_text, week_of
from models.week.week import Week
from models.words.document import Document
from optimiser.auditing import audit
from optimiser.checking import check
from optimiser.explain.conflicts import Clash, quickxplain, smallest_conflict
from optimiser.explain.foils import Foils
from optimiser.explain.reasons import Explainer
from optimiser.explain.why import Question as WhyQuestion
from optimiser.explain.why import answer as why_answer
from optimiser.planning import plan_week
from optimiser.priorities import PRIORITIES
from optimiser.report import plan as report
from optimiser.report import why as why_report
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve_week
from tests.depth import sized
from tests.optimiser.asking import Question, drawn, named
from tests.weeks import SMALL, TINY, WeekData, document_of

LEAST = sized(7, 30)
"""Random weeks without a plan that there must be at the least."""

MOST_RULES = sized(9, 12)
"""Of a week with more rules than this, not every set of them is tried."""


@cache
def random_weeks() -> tuple[tuple[Document, Week, Program, Solved], ...]:
    """Solve random weeks."""
    documents = [
        document_of(data)
        for data in (*drawn(SMALL, sized(4, 14), 2), *drawn(TINY, sized(3, 10), 2))
    ]
    weeks = [(document, week_of(document)) for document in documents]
    return tuple((document, week, *solve_week(week)) for document, week in weeks)


def infeasible() -> list[tuple[Document, Week, Program]]:
    """Give the ready week and the random ones that have no plan."""
    ready = read_document("impossible")
    week = week_of(ready)
    clashing = [(ready, week, Program(week))]
    clashing += [
        (doc, week, program) for doc, week, program, solved in random_weeks() if none(solved)
    ]
    assert len(clashing) > LEAST
    return clashing


def none(solved: Solved) -> bool:
    return solved.status == "infeasible"


def keys_of(document: Document) -> list[str]:
    """Name the conflict of a week that is read and built anew."""
    return [rule.key for rule in smallest_conflict(Program(week_of(document)))]


# -- no plan at all ---------------------------------------------------------------


def test_a_conflict_clashes_by_itself_and_needs_each_of_its_rules() -> None:
    for _, week, program in infeasible():
        keys = [rule.key for rule in smallest_conflict(program)]
        assert len(set(keys)) == len(keys)
        assert set(keys) <= set(program.rules)
        assert not Question(week, only=keys).possible(), keys
        for left_out in keys:
            others = [key for key in keys if key != left_out]
            assert Question(week, only=others).possible(), f"{left_out} is not needed in {keys}"


def test_a_conflict_is_told_in_the_order_of_the_rules() -> None:
    for _, _, program in infeasible():
        keys = [rule.key for rule in smallest_conflict(program)]
        assert keys == [key for key in program.rules if key in keys]


def test_a_conflict_is_the_same_each_time() -> None:
    for document, _, program in infeasible():
        assert [rule.key for rule in smallest_conflict(program)] == keys_of(document)


def test_where_there_is_a_plan_no_conflict_is_claimed() -> None:
    week = read_week("starter")
    assert smallest_conflict(Program(week)) == []
    plain = [week for _, week, _, solved in random_weeks() if not none(solved)]
    assert len(plain) >= LEAST
    for week in plain:
        assert smallest_conflict(Program(week)) == []


# -- by trying every set ----------------------------------------------------------


def preferred_by_trying_all(clash: Clash, keys: Sequence[str]) -> list[str]:
    """Try every set of keys; give the one that clashes and does without the last keys first.

    A set does without the last key before all else, then without the one before it: so the
    sets come in the order of the numbers that their members spell, the last key weighing most.
    """
    for chosen in range(2 ** len(keys)):
        kept = [key for at, key in enumerate(keys) if chosen >> at & 1]
        if clash(kept):
            return kept
    raise AssertionError("all of them hold together")


@given(conflicts=st.sets(st.frozensets(st.sampled_from("abcdefgh")), min_size=1, max_size=6))
def test_quickxplain_finds_the_set_that_trying_all_finds(conflicts: set[frozenset[str]]) -> None:
    asked = []

    def clash(kept: Sequence[str]) -> bool:
        asked.append(kept)
        return any(conflict <= set(kept) for conflict in conflicts)

    conflict = quickxplain(clash, "abcdefgh")
    questions = len(asked)
    assert conflict == preferred_by_trying_all(clash, "abcdefgh")
    # Junker's bound for m of n keys, and the one question whether nothing clashes already.
    assert questions <= 1 + 2 * len(conflict) * (math.log2(8 / max(1, len(conflict))) + 1)


def test_a_conflict_is_the_one_that_trying_all_sets_of_rules_finds() -> None:
    tried = 0
    for _, week, program in infeasible():
        if len(program.rules) > MOST_RULES:
            continue
        tried += 1
        blamed_last = sorted(program.rules, key=lambda key: not program.rules[key].safety)

        def clash(kept: Sequence[str], week: Week = week) -> bool:
            return not Question(week, only=kept).possible()

        expected = preferred_by_trying_all(clash, blamed_last[::-1])
        assert {rule.key for rule in smallest_conflict(program)} == set(expected)
    assert tried >= sized(3, 10)


# -- whatever the seed of hashes --------------------------------------------------


def documents_on_stdin() -> list[Document]:
    """Read week files as JSON, as the child process gets them."""
    data: Any = json.load(sys.stdin, parse_float=Decimal, parse_int=Decimal)
    return [Document("standard input", data_of_week, {}) for data_of_week in data]


def print_conflicts() -> None:
    """Write the conflicts of the weeks on standard input; this runs in a child process."""
    json.dump([keys_of(document) for document in documents_on_stdin()], sys.stdout)


@pytest.mark.parametrize("hash_seed", ["4242", "0", "1"][: sized(1, 3)])
def test_a_conflict_does_not_hang_on_the_seed_of_hashes(hash_seed: str) -> None:
    documents = [document for document, _, _ in infeasible()][: sized(6, 12)]
    here = [keys_of(document) for document in documents]
    child = subprocess.run(
        [
            sys.executable,
            "-c",
            "from tests.optimiser.test_conflicts import print_conflicts; print_conflicts()",
        ],
        input=json.dumps([document.as_json() for document in documents]),
        env={**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert child.returncode == 0, child.stderr
    assert json.loads(child.stdout) == here


# -- more than was cooked -----------------------------------------------------------

TOO_FEW: WeekData = {
    "week": {"starts": "2026-11-30", "days": ["mon", "tue"], "guidance": "us"},
    "eaters": {"Ada": {}},
    "batches": {
        "beans": {
            "made": "2026-11-29",
            "yield": "8 portions",
            "cook": "3 portions",
            "portion": "100 g",
            "nutrition": {"protein": "5 g"},
            "fridge_life": "3",
        }
    },
    "larder": {"oats": {"pack": "90 g", "chilled": "no"}},
    "dishes": {
        "Bowl": {"kind": "grain", "takes": {"beans": "4 to 6"}},
        "Oats": {"kind": "grain", "goes_in": {"oats": "30 g"}},
    },
}
"""Of eight portions three are cooked this once, and one dish takes four at the least."""


def test_a_dish_that_needs_more_than_was_cooked_names_the_stock() -> None:
    week = week_of(document_of(TOO_FEW))
    _, solved = solve_week(week)
    assert solved.packed is not None
    assert {lunch.dish for lunch in solved.packed.lunches} == {"Oats"}
    never = "Bowl cannot come this week: it takes 4 portions of beans, of 3 there."
    assert never in check(week).remarks
    never = why_answer(week, WhyQuestion(day="mon", dish="Bowl")).answer
    assert never is not None
    assert [line.key for line in never.rules] == ["stock:beans"]
    alone = deepcopy(TOO_FEW)
    del alone["dishes"]["Oats"]
    week = week_of(document_of(alone))
    plan = plan_week(week)
    assert [line.key for line in plan.conflict] == ["stock:beans"]
    printed = report.text(plan)
    assert "This rule cannot be kept:\n- there are 3 portions of beans\nChange it, if" in printed
    assert "rules clash" not in printed
    why = why_report.text(why_answer(week, WhyQuestion()))
    assert "This cannot be kept:\n- there are 3 portions of beans\n" in why


# -- why not less is left over ----------------------------------------------------

TWO_A_DAY: WeekData = {
    "week": {"starts": "2026-11-30", "days": ["mon", "tue", "wed"], "guidance": "us"},
    "eaters": {"Ada": {}},
    "batches": {
        "beans": {
            "made": "2026-11-29",
            "yield": "6 portions",
            "portion": "100 g",
            "nutrition": {"protein": "5 g"},
            "fridge_life": "1 to 2",
        }
    },
    "larder": {"oats": {"pack": "90 g", "price": Decimal("1.35"), "chilled": "no"}},
    "dishes": {
        "Bowl": {"kind": "grain", "takes": {"beans": Decimal(2)}},
        "Oats": {"kind": "grain", "goes_in": {"oats": "30 g"}},
    },
}
"""Six portions, two a day, good for two days: two portions are left, and why is plain."""


def explained(document: Document) -> tuple[Week, Explainer]:
    week = week_of(document)
    program, solved = solve_week(week)
    return week, Explainer(program, solved)


def assert_says_why(week: Week, explainer: Explainer) -> list[str]:
    """Hold what is said of the left-over against fresh solves; give the priorities named."""
    lines = explainer.why_not_less_left_over()
    names = named(week)
    bounds = [f"priority:{name}" for name in names[: names.index("left_over")]]

    def can_leave_less(kept: list[str]) -> bool:
        held = [key.partition(":")[2] for key in kept if key in bounds]
        question = Question(week, only=kept).as_good_as(explainer.packed, held)
        return question.better_than(explainer.packed, "left_over").possible()

    keys = [line.key for line in lines]
    assert not can_leave_less(keys), keys
    for left_out in keys:
        others = [key for key in keys if key != left_out]
        assert can_leave_less(others), f"{left_out} is not needed in {keys}"
    sentences = {f"priority:{name}": f"no worse than the plan in {TITLES[name]}" for name in names}
    for line in lines:
        assert line.sentence == sentences.get(line.key, line.sentence)
    return [key for key in keys if key in bounds]


TITLES = {name: priority.title for name, priority in PRIORITIES.items()}


def test_what_matters_more_is_named_where_it_is_the_cause() -> None:
    # All the beans can be eaten, but oats are liked more.
    data = deepcopy(TWO_A_DAY)
    data["eaters"]["Ada"] = {"likes": {"Oats": Decimal(1)}}
    data["priorities"] = ["liking", "left_over"]
    week, explainer = explained(document_of(data))
    keys = [line.key for line in explainer.why_not_less_left_over()]
    assert "priority:liking" in keys
    assert assert_says_why(week, explainer) == ["priority:liking"]
    plan = plan_week(week)
    assert "- no worse than the plan in liking" in report.text(plan, full=True)
    assert audit(plan) == []
    for wrong in ("priority:minutes", "priority:left_over"):
        line = RuleLine(key=wrong, sentence=PRIORITIES[wrong.partition(":")[2]].kept)
        told = plan.left_over.model_copy(update={"why": [line]})
        assert audit(plan.model_copy(update={"left_over": told}).sealed())


def test_why_a_plain_week_leaves_food_over() -> None:
    week, explainer = explained(document_of(TWO_A_DAY))
    foils = explainer.foils
    assert foils.values["left_over"] == 200 * foils.level("left_over").priority.per_unit
    rules = explainer.why_not_less_left_over()
    # The freezer would help, were the batch frozen; without the rule it is.
    assert [rule.key for rule in rules] == ["stock:beans", "fridge life:beans", "freezer:beans"]
    assert_says_why(week, explainer)
    again = explained(document_of(TWO_A_DAY))[1].why_not_less_left_over()
    assert again == rules


def test_why_random_weeks_leave_food_over() -> None:
    judged, by_what_matters_more = 0, 0
    for _, week, program, solved in random_weeks():
        left = next((value for value in solved.values if value.name == "left_over"), None)
        if solved.packed is not None and left is not None and left.value > 0:
            judged += 1
            explainer = Explainer(program, solved)
            by_what_matters_more += bool(assert_says_why(week, explainer))
    assert judged >= sized(5, 20)
    assert by_what_matters_more >= sized(1, 4)


def test_nothing_is_said_where_nothing_is_left_over() -> None:
    _, explainer = explained(read_document("starter"))
    assert explainer.why_not_less_left_over() == []


def test_nothing_is_said_where_less_could_be_left_over() -> None:
    # A plan that a time limit ended before the best was found: nothing forbids less.
    week = week_of(document_of(TWO_A_DAY))
    program, best = solve_week(week)
    foils = Foils(program, best)
    monday = foils.slot("Ada", week.days[0])
    worse = foils.verdict([foils.dish(monday, "Oats")])
    assert worse.level is not None
    assert worse.level.name == "left_over"
    assert worse.counts is not None
    unproven = Solved(Status.FEASIBLE, foils.packed_with(worse), (), worse.counts)
    explainer = Explainer(program, unproven)
    question = Question(week).better_than(explainer.packed, "left_over")
    assert question.possible()
    assert explainer.why_not_less_left_over() == []


@pytest.mark.parametrize(
    ("must_not", "told"),
    [
        ("{allergens: [milk], foods: [apple]}", ["Ilse must not have milk; that bars hard cheese"]),
        ("{diet: vegan, foods: [apple]}", ["; that bars hard cheese"]),
        ("{foods: [pulses]}", ["Ilse must not have pulses; that bars rice and beans"]),
    ],
)
def test_what_nobody_may_have_is_named_where_it_stands_in_the_way(
    must_not: str, told: list[str]
) -> None:
    text = ready_text("minimal").replace("Ilse: {", f"Ilse: {{must_not: {must_not}, ")
    week = every_fault("mine.yaml", text)[0]
    assert week is not None
    conflict = plan_week(week, reasons=False).conflict
    sentences = [rule.sentence for rule in conflict]
    assert all(any(sentence.endswith(end) for sentence in sentences) for end in told)
    # What is barred by its own name is not named twice.
    assert not any("bars apple" in sentence for sentence in sentences)
    # So it does beside the nearest week, which the audit takes for what it is.
    near = plan_week(week, reasons=False, nearest=True)
    assert (near.conflict, audit(near)) == (conflict, [])
    other = [line.model_copy(update={"sentence": f"{line.sentence}!"}) for line in conflict]
    assert len(audit(near.model_copy(update={"conflict": other}).sealed())) == len(conflict)
