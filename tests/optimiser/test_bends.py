"""A plan that bends: what each cancelled lunch leaves over, against HiGHS and enumeration."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace
from typing import TypeAlias

import pytest

from models.answers.plan import PlanFile
from models.file.reading import read_document, week_of
from models.file.yamltext import parse
from models.week import sums
from models.week.packed import PackedLunch
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.auditing import audit
from optimiser.board.rows import Row
from optimiser.planning import plan_week
from optimiser.priorities import PRIORITIES
from optimiser.priorities import values as values_of
from optimiser.report.plan import text as plan_text
from optimiser.rules import faults_of
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Solution, Status
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, Value, packed_of, solve
from optimiser.weeks import bends as module
from optimiser.weeks.bends import Bend, bending, bends, stands
from tests.depth import sized

from ..oracle import plain
from ..weeks import SMALL, TINY, document_of
from .asking import drawn
from .every_week import alike, every, from_freezer, from_fridge
from .other_ways import Asked, weeks

Lunches: TypeAlias = tuple[PackedLunch, ...]

MOST_TRIED = 1500
"""A random week with more combinations of lunches than this is not counted out."""


# -- what is left over if a lunch falls through ------------------------------------------


def test_what_a_cancelled_lunch_leaves_is_the_least_there_can_be() -> None:
    looked_at = 0
    for week, solved in weeks(sized(1, 4), shift=41):
        packed = solved.packed
        assert packed is not None
        frozen = dict(from_freezer(packed.lunches))
        for bend in bends(week, packed):
            rest = without(week, bend)
            if not rest.lunches:
                continue
            oracle = Asked(rest)
            oracle.fix(packed, bend.day)
            oracle.frozen({name: frozen.get(name, 0) for name in week.batches})
            left = oracle.priority("left_over")
            if bend.more is None:
                assert left is None
                continue
            assert left is not None
            more = max(Fraction(0), left - Fraction(sums.left_over(week, packed)))
            assert bend.more == pytest.approx(float(more), abs=0.01)
            looked_at += 1
    assert looked_at > sized(7, 30)


def without(week: Week, bend: Bend) -> Week:
    """Give the week without one lunch."""
    lunches = (
        lunch for lunch in week.lunches if (lunch.eater, lunch.day) != (bend.eater, bend.day)
    )
    return replace(week, lunches=tuple(lunches), priorities=("left_over",))


# -- which plan is taken -----------------------------------------------------------------


class CountedOut:
    """Every plan of a tiny week that is as good as the best, with what each comes to."""

    def __init__(self, week: Week, all_: list[Lunches]) -> None:
        self.week = week
        names = tuple(name for name in week.priorities if name != TIE_BREAK)
        ranked = replace(week, priorities=names)
        values = [
            [
                -value if PRIORITIES[name].most else value
                for name, value in plain.values_of(ranked, one)
            ]
            for one in all_
        ]
        self.equal = [one for one, value in zip(all_, values, strict=True) if value == min(values)]
        self.rests: dict[tuple[str, object], dict[Hashable, list[Lunches]]] = {}

    def bends(self, lunches: Lunches) -> tuple[Bend, ...]:
        """Find the least that is left over without each lunch, by trying every other week."""
        return tuple(self._bend(lunches, lunch) for lunch in lunches)

    def _bend(self, lunches: Lunches, gone: PackedLunch) -> Bend:
        frozen = from_freezer(lunches)
        left = [
            plain.values_of(replace(self.week, priorities=("left_over",)), rest)[0][1]
            for rest in self._after(lunches, gone)
            if all(
                from_freezer(rest)[name] <= frozen[name]
                and from_fridge(rest)[name] <= batch.portions - frozen[name]
                for name, batch in self.week.batches.items()
            )
        ]
        own = plain.values_of(replace(self.week, priorities=("left_over",)), lunches)[0][1]
        more = max(Fraction(0), min(left) - own) if left else None
        return Bend(gone.day, gone.eater, None if more is None else float(more))

    def _after(self, lunches: Lunches, gone: PackedLunch) -> list[Lunches]:
        """List the weeks without a lunch in which all days before it stand."""
        key = (gone.eater, gone.day)
        if key not in self.rests:
            rests = self.rests[key] = {}
            for rest in every(without(self.week, Bend(gone.day, gone.eater, 0)), MOST_TRIED) or []:
                before = alike([lunch for lunch in rest if lunch.day < gone.day])
                rests.setdefault(before, []).append(rest)
        return self.rests[key].get(alike([lunch for lunch in lunches if lunch.day < gone.day]), [])


def worth(all_bends: Sequence[Bend]) -> tuple[int, int, float]:
    """Rank plans: what stands, what is known, least waste."""
    known = [bend.more for bend in all_bends if bend.more is not None]
    return known.count(0), len(known), round(-sum(known), 6)


def rounded(all_bends: Sequence[Bend]) -> list[tuple[object, str, float | None]]:
    return [
        (bend.day, bend.eater, None if bend.more is None else round(bend.more, 6))
        for bend in all_bends
    ]


def test_no_equal_plan_stands_more_by_counting_out_all_of_them() -> None:
    several = turned = 0
    for data in drawn(TINY, sized(4, 14), shift=60):
        week = week_of(document_of(data))
        all_ = every(week, MOST_TRIED)
        if not all_:
            continue
        program = Program(week)
        solved = solve(program)
        found = bending(week, program, solved)
        assert found.solved.packed is not None
        counted = CountedOut(week, all_)
        chosen = alike(found.solved.packed.lunches)
        mine = [name for name in counted.equal if alike(name) == chosen]
        assert len(mine) == 1, "it is no plan as good as the best"
        assert rounded(found.bends) == rounded(counted.bends(mine[0]))
        assert stands(found.bends) == worth(found.bends)[0]
        if found.all_of_them:
            assert found.looked_at == len(counted.equal)
            best = max(worth(counted.bends(name)) for name in counted.equal)
            assert worth(found.bends) == best
            several += found.looked_at > 1
            turned += found.solved.packed != solved.packed
    assert several > sized(1, 5)
    assert turned > sized(-1, 0)


def test_the_plan_obeys_and_adds_up_as_the_plain_one_does() -> None:
    planned = 0
    for data in drawn(SMALL, sized(1, 2), shift=43):
        document = document_of(data)
        week = week_of(document)
        usual = plan_week(week_of(document), reasons=False)
        plan = plan_week(week_of(document), reasons=False, bend=True)
        if usual.status != "optimal":
            assert plan.bends is None
            continue
        assert audit(plan) == []
        named = [priority for priority in usual.priorities if priority.name != TIE_BREAK]
        assert named == [priority for priority in plan.priorities if priority.name != TIE_BREAK]
        assert plan.bends is not None
        asked_of = [(lunch.date, lunch.eater) for lunch in plan.bends.lunches]
        assert asked_of == [(lunch.day, lunch.eater) for lunch in week.lunches]
        planned += 1
    assert planned > sized(1, 4)


# -- small weeks -------------------------------------------------------------------------

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


def bent(text: str) -> PlanFile:
    return plan_week(week_of(parse("w", text)), reasons=False, bend=True)


def more(plan: PlanFile) -> list[float | None]:
    assert plan.bends is not None
    return [lunch.more for lunch in plan.bends.lunches]


def test_the_smallest_week_that_bends() -> None:
    # What Monday's lunch does not eat Tuesday's can, as "Much"; after Tuesday's nobody comes.
    bending = bent(SMALLEST)
    assert [line.dish for line in bending.lunches] == ["Some", "Much"]
    assert more(bending) == [0, 200]
    assert bending.bends is not None
    assert (bending.bends.looked_at, bending.bends.all_of_them) == (2, True)
    text = " ".join(plan_text(bending).split())
    assert "if Mon falls through: still nothing wasted" in text
    assert "if Tue falls through: 200 g left over" in text
    assert "the best of 2 equal plans" in text
    assert audit(bending) == []


# Once eaten "Much" does not come again: after others it can take what they leave.
ONCE = f"""
week: {{starts: 2026-11-30, days: [mon, tue, wed], guidance: us, name: Three days}}
eaters: {{Ada: {{}}}}
batches: {{beans: {BATCH.replace("4 portions", "6 portions")}}}
dishes:
  Much: {{kind: b, takes: {{beans: 2 to 4}}, most: 1}}
  Some: {{kind: a, takes: {{beans: 2}}}}
"""


def test_an_equal_plan_is_taken_against_the_order_of_the_file() -> None:
    usual = plan_week(week_of(parse("w", ONCE)), reasons=False)
    assert [line.dish for line in usual.lunches] == ["Much", "Some", "Some"]
    bending = bent(ONCE)
    assert bending.lunches[0].dish == "Some"
    assert more(bending) == [0, 0, 200]
    order = {priority.name: priority for priority in bending.priorities}[TIE_BREAK]
    assert (order.proven, order.bound) == (False, None)
    assert order.value > {priority.name: priority for priority in usual.priorities}[TIE_BREAK].value


# Wednesday's portions are thawed, Tuesday's may be: frozen, they are still there on Wednesday.
FROZEN = """
week: {starts: 2026-12-01, days: [tue, wed], guidance: us}
eaters: {Ada: {}}
batches:
  beans:
    made: 2026-11-29
    yield: 4 portions
    portion: 100 g
    nutrition: {protein: 4 g}
    fridge_life: 1 to 2
    freezes: yes
    allergens: none
dishes: {Bowl: {kind: a, takes: {beans: 2 to 4}}}
priorities: [left_over]
"""


def test_equal_plans_may_differ_in_nothing_but_what_is_frozen() -> None:
    bending = bent(FROZEN)
    assert [part.from_freezer for line in bending.lunches for part in line.batches] == [2, 2]
    assert more(bending) == [0, 200]
    assert bending.bends is not None
    # None, one or both of Tuesday's portions come from the freezer.
    assert (bending.bends.looked_at, bending.bends.all_of_them) == (3, True)


@pytest.mark.parametrize(("frozen", "left"), [(2, [200, 200]), (3, [100, 200]), (4, [0, 200])])
def test_what_the_file_says_was_frozen_stands(frozen: int, left: list[float]) -> None:
    text = FROZEN.replace("    freezes: yes\n", f"    freezes: yes\n    frozen: {frozen}\n")
    assert more(bent(text)) == left


def test_the_days_before_stand_as_they_were_packed() -> None:
    # On Wednesday only "Much" takes more, and nobody knew of it on Monday.
    text = SMALLEST.replace("days: [mon, tue]", "days: [mon, tue, wed]")
    text = text.replace("yield: 4 portions", "yield: 6 portions")
    text = text.replace("most_times: 1", "most_times: 2")
    bending = bent(text)
    assert [line.dish for line in bending.lunches] == ["Some", "Some", "Much"]
    assert more(bending) == [0, 0, 200]


def test_without_its_only_lunch_all_of_a_week_is_left_over() -> None:
    text = SMALLEST.replace("days: [mon, tue]", "days: [mon]")
    assert more(bent(text)) == [400]
    # Nothing more is left where the lunch takes nothing of a batch and leaves half a pack.
    alone = f"""
week: {{starts: 2026-11-30, days: [mon], guidance: us}}
eaters: {{Ada: {{}}}}
batches: {{beans: {BATCH}}}
larder: {{leaves: {{pack: 90 g, chilled: no, price: 1, opened_life: 1, allergens: none}}}}
dishes: {{Salad: {{kind: a, takes: {{beans: 0 to 0}}, goes_in: {{leaves: 30 g}}}}}}
"""
    bending = bent(alone.replace("0 to 0", "0"))
    assert bending.left_over.grams == 460
    assert more(bending) == [0]
    assert "nothing more left over" in " ".join(plan_text(bending).split())


def test_a_rest_that_breaks_a_rule_is_no_plan() -> None:
    text = SMALLEST.replace("{Ada: {}}", "{Ada: {week_floors: {protein: 10 g}}}")
    text = text.replace("beans: 2}", "beans: 1}").replace("beans: 2 to 4", "beans: 1 to 2")
    bending = bent(text)
    assert more(bending) == [None, None]
    printed = " ".join(plan_text(bending).split())
    assert "if Mon or Tue falls through: no plan for the rest of the week was found" in printed


# -- where the search ends early ---------------------------------------------------------


def small() -> tuple[Week, Program, Solved]:
    week = week_of(parse("w", SMALLEST))
    program = Program(week)
    return week, program, solve(program)


def test_where_a_question_stays_open_it_is_not_said_that_there_are_no_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def open_(model: object, objective: object, **more: object) -> Solution:
        if objective is None:
            return Solution(Status.UNKNOWN, None, 0)
        return cpsat.solve(model, objective, **more)  # type: ignore[arg-type]

    fake = SimpleNamespace(solve=open_, model_of=cpsat.model_of)
    monkeypatch.setattr(module, "cpsat", fake)
    chosen = bending(*small())
    assert (chosen.looked_at, chosen.all_of_them) == (1, False)
    assert len(chosen.bends) == 2


def test_of_many_plans_so_many_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_PLANS", 1)
    chosen = bending(*small())
    assert (chosen.looked_at, chosen.all_of_them) == (1, False)
    monkeypatch.setattr(module, "MOST_PLANS", 2)
    chosen = bending(*small())
    assert (chosen.looked_at, chosen.all_of_them) == (2, True)


def test_stopped_in_the_midst_the_best_so_far_is_given() -> None:
    stop = Stop()
    told: list[str] = []

    def say(text: str) -> None:
        told.append(text)
        if text.endswith("plan 2"):
            stop.now()

    week, program, solved = small()
    chosen = bending(week, program, solved, stop=stop, say=say)
    assert len(told) == 2
    assert (chosen.looked_at, chosen.all_of_them) == (2, False)
    assert chosen.solved == solved
    assert chosen.bends == bends(week, solved.packed) if solved.packed else False
    asked = bends(week, solved.packed, stop) if solved.packed else ()
    assert [bend.more for bend in asked] == [None, None]


def test_beside_a_plan_that_is_not_proven_what_is_said_adds_up() -> None:
    # Tuesday's portions from the fridge: past their best, and it stands nowhere.
    text = FROZEN.replace("[left_over]", "[left_over, freshness]")
    week = week_of(parse("w", text))
    program = Program(week)
    board = program.board
    total = program.levels[0].total
    rows = [Row.of(board.thawed(board.slots[0], "beans"), high=0)]
    poor = cpsat.solve(cpsat.model_of(board.sheet), total, extra=rows).values
    assert poor is not None
    packed = packed_of(program, poor)
    real = values_of(week, packed)
    assert (real["left_over"], real["freshness"]) == (0, 2)
    values = tuple(
        Value(level.name, real[level.name], None, proven=False) for level in program.levels
    )
    chosen = bending(week, program, Solved(Status.FEASIBLE, packed, values, poor))
    assert chosen.solved.packed is not None
    assert list(faults_of(week, chosen.solved.packed)) == []
    assert stands(chosen.bends) > stands(bends(week, packed)) == 0
    now = values_of(week, chosen.solved.packed)
    assert now["freshness"] == 0
    assert {value.name: value.value for value in chosen.solved.values} == {
        level.name: now[level.name] for level in program.levels
    }


def test_there_must_be_a_plan_to_look_beside() -> None:
    week, program, _ = small()
    with pytest.raises(ValueError, match="no plan"):
        bending(week, program, Solved(Status.INFEASIBLE, None, (), None))


# -- what is said ------------------------------------------------------------------------


def test_without_asking_the_plan_says_nothing_of_it() -> None:
    plan = plan_week(week_of(parse("w", SMALLEST)), reasons=False)
    assert plan.bends is None
    assert "falls through" not in plan_text(plan)


def test_the_demo_bends_as_it_says() -> None:
    document = read_document("demo")
    plan = plan_week(week_of(document), reasons=False, bend=True)
    plain_ = plan_week(week_of(document), reasons=False)
    values = [
        (priority.name, priority.value)
        for priority in plain_.priorities
        if priority.name != TIE_BREAK
    ]
    assert values == [
        (priority.name, priority.value)
        for priority in plan.priorities
        if priority.name != TIE_BREAK
    ]
    assert plan.bends is not None
    assert len(plan.bends.lunches) == len(week_of(document).lunches)
    assert audit(plan) == []
