"""Foils: every dish at every lunch of random weeks, judged by another solver.

"Impossible", "worse by 30 g" and "as good" are what every why rests on. So each verdict is
held against HiGHS on a model of its own (`tests/oracle/highs.py`), which solves the forced
week anew, priority after priority. What is said to forbid a foil is put to fresh programs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from unittest.mock import patch

import pytest

from models.file.reading import read_document, read_week, week_of
from models.file.yamltext import parse
from models.week.week import Week
from optimiser import planning
from optimiser.board.rows import Row
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.priorities import PRIORITIES, values
from optimiser.rules import faults_of
from optimiser.solve import cpsat, parallel
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Stop
from optimiser.solve.parallel import in_threads
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve_week
from tests.depth import sized
from tests.optimiser.asking import (
    AS_GOOD,
    IMPOSSIBLE,
    Outcome,
    Question,
    drawn,
    named,
    of_theme,
    steps,
)
from tests.oracle import highs, plain
from tests.oracle.highs import Line
from tests.weeks import SMALL, THEMES, TINY, WeekData, document_of

THROWN = sized(13, 54)
"""Random weeks of each theme; a little more than half of them can be planned."""

PLANNED = sized(6, 30)
"""So many of each theme must have a plan: in a deep run 150 in all."""

MOST_WEEKS = sized(300, 3_000)
"""Of a week that can be packed in more ways than this, not every way is tried."""

IN_A_HURRY = tuple(Limit(work=work) for work in (0.0005, 0.002, 0.004, 0.008))
"""So little work that much stays open, or is only known at the least."""

themes = pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")


@dataclass(frozen=True)
class Planned:
    """A week that has a plan, to be asked about."""

    week: Week
    program: Program
    solved: Solved
    foils: Foils


@dataclass(frozen=True)
class Foil:
    """A dish at a lunch, or a dish that is kept from some lunches of an eater.

    Attributes
    ----------
    days
        The lunch, or those it is kept from.
    """

    eater: str
    days: tuple[date, ...]
    dish: str
    kept_away: bool = False

    def rows(self, foils: Foils) -> list[Row]:
        """Write it for the foils."""
        slots = [foils.slot(self.eater, day) for day in self.days]
        if self.kept_away:
            return [foils.without(slots, self.dish)]
        return [foils.dish(slot, self.dish) for slot in slots]

    def asked(self, question: Question) -> Question:
        """Write it for a fresh program."""
        for day in self.days:
            ask = question.forbid if self.kept_away else question.force
            ask(self.eater, day, self.dish)
        return question

    def asked_of_highs(self, model: highs.Model) -> highs.Model:
        """Write it for the second solver."""
        for meal in model.meals:
            if meal.lunch.eater == self.eater and meal.lunch.day in self.days:
                column = meal.dish[self.dish]
                if self.kept_away:
                    model.sheet.forbid(column)
                else:
                    model.sheet.row(Line().add(column), low=1)
        return model


@cache
def planned(theme: str) -> tuple[Planned, ...]:
    """Plan random weeks of a theme."""
    documents = (document_of(data) for data in of_theme(TINY, theme, THROWN, shift=5))
    return tuple(plans(week_of(document) for document in documents))


@cache
def ready(name: str) -> Planned:
    (found,) = plans([read_week(name)])
    return found


def plans(weeks: Iterator[Week] | list[Week]) -> Iterator[Planned]:
    """Plan weeks; those without a plan are left out."""
    for week in weeks:
        program, solved = solve_week(week)
        assert solved.status in {Status.OPTIMAL, Status.INFEASIBLE}
        if solved.packed is not None:
            yield Planned(week, program, solved, Foils(program, solved))


def dishes_of(one: Planned) -> Iterator[Foil]:
    """Ask for every dish at every lunch, those that the plan has as well."""
    for lunch in one.week.lunches:
        for dish in one.week.dishes:
            yield Foil(lunch.eater, (lunch.day,), dish)


def others_of(one: Planned) -> Iterator[Foil]:
    """Keep each dish of the plan from its lunch, and from all lunches of its eater."""
    for lunch in one.foils.packed.lunches:
        yield Foil(lunch.eater, (lunch.day,), lunch.dish, kept_away=True)
        days = tuple(other.day for other in one.week.lunches if other.eater == lunch.eater)
        yield Foil(lunch.eater, days, lunch.dish, kept_away=True)


def outcome_of(verdict: Verdict) -> Outcome:
    """Read a verdict that is not open and not "at least"."""
    assert verdict.kind is not VerdictKind.OPEN
    assert verdict.exact
    name = None if verdict.level is None else verdict.level.name
    return Outcome(verdict.kind.value, name, verdict.lost)


def judged_by_highs(one: Planned, best: highs.Best, foil: Foil) -> Outcome:
    """Solve the week with a foil by the second solver, in the order of the priorities."""
    model = foil.asked_of_highs(highs.Model(one.week))
    if model.sheet.impossible:
        return IMPOSSIBLE
    assert best.values is not None
    solver = highs.Solver(model.sheet)
    for name, reached in best.values:
        line, more = model.value(name)
        found = solver.least(line, more=more)
        if found is None:
            assert name == one.week.priorities[0], "what was possible is not possible any more"
            return IMPOSSIBLE
        with_it = line.at(found)
        lost = reached - with_it if more else with_it - reached
        assert lost >= 0, f"with {foil} the week is better in {name}"
        if lost and name in named(one.week):
            return Outcome("worse", name, in_digits(lost))
        solver.keep(line, with_it)
    return AS_GOOD


def in_digits(lost: Fraction) -> Decimal:
    """Write an exact loss as a decimal."""
    found = Decimal(lost.numerator) / Decimal(lost.denominator)
    assert Fraction(found) == lost
    return found


def assert_highs_agrees(weeks: Sequence[Planned]) -> Counter[str]:
    """Hold the verdicts on all foils against the second solver; count what they are."""
    counted: Counter[str] = Counter()
    for one in weeks:
        best = highs.best(one.week)
        for foil in (*dishes_of(one), *dict.fromkeys(others_of(one)))[:: sized(2, 1)]:
            expected = judged_by_highs(one, best, foil)
            assert outcome_of(one.foils.verdict(foil.rows(one.foils))) == expected, foil
            counted[expected.kind] += 1
            counted[expected.name or ""] += 1
    return counted


# -- verdicts ---------------------------------------------------------------------


@themes
def test_highs_agrees_on_every_dish_at_every_lunch(theme: str) -> None:
    assert len(planned(theme)) >= PLANNED
    counted = assert_highs_agrees(
        [one for one in planned(theme) if named(one.week)][: sized(5, 54)]
    )
    assert min(counted[kind] for kind in ("impossible", "worse", "as good")) >= sized(1, 30), (
        counted
    )


def judged_by_trying_every_week(planned: Planned, foil: Foil) -> Outcome:
    """Hold the best of all weeks that have a dish at a lunch against the best of all."""
    without = plain.best(planned.week, MOST_WEEKS)
    with_it = plain.best(planned.week, MOST_WEEKS, {(foil.eater, foil.days[0]): foil.dish})
    assert without is not None
    if with_it is None:
        return IMPOSSIBLE
    for (name, reached), (_, value) in zip(without, with_it, strict=True):
        if value != reached and name in named(planned.week):
            lost = reached - value if PRIORITIES[name].most else value - reached
            assert lost > 0, f"with {foil} the week is better in {name}"
            return Outcome("worse", name, in_digits(lost))
    return AS_GOOD


def test_verdicts_are_those_of_trying_every_week() -> None:
    counted: Counter[str] = Counter()
    for week in (week for theme in THEMES for week in planned(theme)[: sized(3, 54)]):
        for foil in dishes_of(week):
            try:
                expected = judged_by_trying_every_week(week, foil)
            except plain.TooManyError:
                continue
            assert outcome_of(week.foils.verdict(foil.rows(week.foils))) == expected, foil
            counted[expected.kind] += 1
    assert min(counted[kind] for kind in ("impossible", "worse", "as good")) >= sized(1, 30), (
        counted
    )


def test_every_priority_is_lost_somewhere() -> None:
    lost: Counter[str] = Counter()
    for one in (one for theme in THEMES for one in planned(theme)):
        for foil in (*dishes_of(one), *others_of(one)):
            level = one.foils.verdict(foil.rows(one.foils)).level
            if level is not None:
                lost[level.name] += 1
    assert {name for name, times in lost.items() if times >= sized(1, 5)} == {*PRIORITIES} - {
        "file_order"
    }


def test_highs_agrees_where_a_week_names_no_priority() -> None:
    weeks = [one for theme in THEMES for one in planned(theme) if not named(one.week)]
    assert len(weeks) >= sized(2, 5)
    counted = assert_highs_agrees(weeks)
    assert counted["impossible"] >= sized(2, 10)
    assert counted["as good"] >= sized(2, 10)
    assert not counted["worse"]


def test_the_plans_own_dishes_are_as_good() -> None:
    for one in (*(one for theme in THEMES for one in planned(theme)), ready("demo")):
        for lunch in one.foils.packed.lunches:
            rows = Foil(lunch.eater, (lunch.day,), lunch.dish).rows(one.foils)
            assert one.foils.verdict(rows).kind is VerdictKind.AS_GOOD


@pytest.mark.parametrize("name", ["short", "starter"])
def test_ready_weeks_are_judged_as_fresh_programs_judge_them(name: str) -> None:
    one = ready(name)
    for foil in dishes_of(one):
        fresh = foil.asked(Question(one.week)).outcome(one.foils.packed)
        assert outcome_of(one.foils.verdict(foil.rows(one.foils))) == fresh, foil


def test_the_week_found_with_a_foil_is_as_the_verdict_says() -> None:
    found = 0
    for one in (*(one for theme in THEMES for one in planned(theme)), ready("starter")):
        names = named(one.week)
        for foil in dishes_of(one):
            verdict = one.foils.verdict(foil.rows(one.foils))
            packed = one.foils.packed_with(verdict)
            assert (packed is None) == (verdict.kind is VerdictKind.IMPOSSIBLE)
            if packed is None:
                continue
            found += 1
            assert list(faults_of(one.week, packed)) == []
            (lunch,) = (
                lunch
                for lunch in packed.lunches
                if (lunch.eater, (lunch.day,)) == (foil.eater, foil.days)
            )
            assert lunch.dish == foil.dish
            there, here = values(one.week, packed), values(one.week, one.foils.packed)
            first = len(names) if verdict.level is None else names.index(verdict.level.name)
            assert all(there[name] == here[name] for name in names[:first])
            if verdict.level is not None:
                name = verdict.level.name
                gained = there[name] - here[name]
                assert verdict.lost == (-gained if PRIORITIES[name].most else gained)
    assert found >= sized(50, 500)


# -- out of time ------------------------------------------------------------------


def assert_true_though_hurried(one: Planned, foil: Foil, verdict: Verdict) -> None:
    """Hold what was claimed in too little time against fresh programs."""
    names, packed = named(one.week), one.foils.packed

    def asked(held: list[str]) -> Question:
        return foil.asked(Question(one.week)).as_good_as(packed, held)

    if verdict.kind is VerdictKind.IMPOSSIBLE:
        assert not asked([]).possible(), foil
    if verdict.kind is VerdictKind.AS_GOOD:
        assert asked(names).possible(), foil
    if verdict.kind is VerdictKind.WORSE:
        assert verdict.level is not None
        assert verdict.lost > 0
        name = verdict.level.name
        before = names[: names.index(name)]
        # None loses less, and what comes before can be kept: so this is what is lost first.
        assert not asked(before).better_than(packed, name, verdict.lost).possible(), foil
        question = asked(before)
        if verdict.exact:
            one_more = verdict.lost + Decimal(1) / verdict.level.priority.per_unit
            question.better_than(packed, name, one_more)
        assert question.possible(), foil


def test_what_is_claimed_in_a_hurry_is_true() -> None:
    counted: Counter[tuple[VerdictKind, bool]] = Counter()
    weeks = [week_of(document_of(data)) for data in drawn(SMALL, sized(1, 6), shift=6)]
    for one in (*plans(weeks), ready("starter"), ready("short")):
        for foil in dishes_of(one):
            found: dict[tuple[object, ...], Verdict] = {}
            for limit in IN_A_HURRY:
                verdict = one.foils.verdict(foil.rows(one.foils), limit)
                counted[verdict.kind, verdict.exact] += 1
                found[verdict.kind, verdict.level, verdict.lost, verdict.exact] = verdict
            for verdict in found.values():
                assert_true_though_hurried(one, foil, verdict)
    assert counted[VerdictKind.WORSE, False] >= sized(3, 10), counted
    assert counted[VerdictKind.OPEN, True] >= sized(5, 20), counted


def stopped_at(bound: int, counts: list[int] | None) -> Callable[..., cpsat.Solution]:
    """Make a search that was ended with so much proven and these counts found."""

    def solve(*_: object, **__: object) -> cpsat.Solution:
        status = Status.UNKNOWN if counts is None else Status.FEASIBLE
        return cpsat.Solution(status, counts, bound)

    return solve


def test_a_bound_is_read_no_further_than_what_was_found_is_tight() -> None:
    data = GOOD_OR_BAD | {"priorities": ["liking", "minutes"]}
    data["dishes"] = {
        name: {"kind": "grain", "goes_in": {"oats": "30 g"}, "minutes": Decimal(minutes)}
        for name, minutes in (("Good", 2), ("Slow", 7), ("Bad", 2), ("Fair", 2))
    }
    data["eaters"] = {
        "Ada": {"likes": {"Good": Decimal(3), "Slow": Decimal(3), "Fair": Decimal(1)}}
    }
    (one,) = plans([week_of(document_of(data))])
    (lunch,) = one.foils.packed.lunches
    assert lunch.dish == "Good"
    bad, slow = (Foil("Ada", (lunch.day,), dish).rows(one.foils) for dish in ("Bad", "Slow"))
    of_bad, of_slow = one.foils.verdict(bad).counts, one.foils.verdict(slow).counts
    (stage,) = one.foils.stages
    here, (liking, minute) = stage.folded(one.foils.values), stage.weights

    def said(rows: list[Row], bound: int, counts: list[int] | None) -> tuple[object, ...]:
        with patch.object(cpsat, "solve", stopped_at(bound, counts)):
            verdict = one.foils.verdict(rows)
        name = None if verdict.level is None else verdict.level.name
        return verdict.kind, name, verdict.lost, verdict.exact

    # A little more than the plan: with what is liked less that says nothing of the minutes.
    assert said(bad, here + minute, of_bad)[0] is VerdictKind.OPEN
    assert said(bad, here + 2 * liking, of_bad) == (VerdictKind.WORSE, "liking", Decimal(2), False)
    # What is liked as much shows that nothing is lost there: so it is minutes.
    assert said(slow, here + 4 * minute, of_slow) == (
        VerdictKind.WORSE,
        "minutes",
        Decimal(4),
        False,
    )
    assert said(slow, here, of_slow)[0] is VerdictKind.OPEN
    # With nothing found a foil may be impossible.
    assert said(bad, here + 2 * liking, None)[0] is VerdictKind.OPEN


def test_what_was_stopped_is_open_and_clashes_with_nothing() -> None:
    program, solved = solve_week(read_week("demo"))
    stop = Stop()
    foils = Foils(program, solved, stop)
    stop.now()
    foil = Foil("Jorun", (foils.packed.lunches[0].day,), "Pot with cream").rows(foils)
    assert foils.verdict(foil).kind is VerdictKind.OPEN
    with pytest.raises(TimeoutError):
        foils.conflict(foil)
    with pytest.raises(TimeoutError):
        foils.conflict_below(foil, foils.levels[-1])


# -- what forbids a foil ----------------------------------------------------------


def assert_forbids(
    one: Planned, ask: Callable[[Question], Question], keys: list[str], bounds: list[str]
) -> None:
    """See that rules and bounds of priorities forbid something, and that each is needed."""

    def possible(rules: list[str], held: list[str]) -> bool:
        question = ask(Question(one.week, only=rules))
        return question.as_good_as(one.foils.packed, held).possible()

    assert not possible(keys, bounds), (keys, bounds)
    for left_out in keys:
        others = [key for key in keys if key != left_out]
        assert possible(others, bounds), f"{left_out} is not needed in {keys}, {bounds}"
    for left_out in bounds:
        others = [name for name in bounds if name != left_out]
        assert possible(keys, others), f"{left_out} is not needed in {keys}, {bounds}"


def assert_conflict_holds(one: Planned, foil: Foil) -> str:
    """Hold the conflict behind a verdict against fresh programs; give the verdict's kind."""
    rows = foil.rows(one.foils)
    verdict = one.foils.verdict(rows)
    if verdict.kind is VerdictKind.IMPOSSIBLE:
        keys = [rule.key for rule in one.foils.conflict(rows)]
        assert keys == [key for key in one.program.rules if key in keys]
        assert_forbids(one, foil.asked, keys, [])
    if verdict.kind is VerdictKind.WORSE:
        assert verdict.level is not None
        rules, levels = one.foils.conflict_below(rows, verdict.level)
        keys, bounds = [rule.key for rule in rules], [level.name for level in levels]
        assert keys == [key for key in one.program.rules if key in keys]
        upto = named(one.week).index(verdict.level.name) + 1
        # In the order of the week; without the bound on what is lost there is such a week.
        assert bounds == [name for name in named(one.week)[:upto] if name in bounds]
        assert bounds[-1] == verdict.level.name
        assert_forbids(one, foil.asked, keys, bounds)
    return verdict.kind.value


@themes
def test_what_forbids_a_dish_clashes_with_it_and_each_part_is_needed(theme: str) -> None:
    counted: Counter[str] = Counter()
    several = 0
    for one in planned(theme)[: sized(5, 16)]:
        for foil in (*dishes_of(one), *others_of(one)):
            counted[assert_conflict_holds(one, foil)] += 1
        several += len(named(one.week)) > 1
    assert counted["impossible"] >= sized(1, 10), counted
    assert counted["worse"] >= sized(1, 10), counted
    assert several >= sized(1, 5)


def test_what_forbids_a_dish_of_a_ready_week_clashes_with_it() -> None:
    one = ready("starter")
    lunch = one.week.lunches[-1]
    kinds = {
        assert_conflict_holds(one, Foil(lunch.eater, (lunch.day,), dish))
        for dish in one.week.dishes
    }
    assert kinds == {"impossible", "worse", "as good"}


def test_no_week_is_better_and_what_forbids_that_is_needed() -> None:
    judged, bare = 0, 0
    for one in (one for theme in THEMES for one in planned(theme)[: sized(4, 16)]):
        for at, name in enumerate(named(one.week)):
            rows = one.foils.better(name)
            assert one.foils.ask(rows).status is Status.INFEASIBLE, name
            level = one.foils.level(name)
            rules, levels = one.foils.conflict_below(rows[-1:], level, above=True)
            keys, bounds = [rule.key for rule in rules], [level.name for level in levels]
            assert bounds == [other for other in named(one.week)[:at] if other in bounds]

            def better(question: Question, one: Planned = one, name: str = name) -> Question:
                return question.better_than(one.foils.packed, name)

            assert_forbids(one, better, keys, bounds)
            judged += 1
            bare += not keys and not bounds
    assert judged - bare >= sized(20, 100)
    assert bare > 0


def test_better_is_one_step_better_and_no_worse_before() -> None:
    one = ready("demo")
    for at, name in enumerate(named(one.week)):
        *before, row = one.foils.better(name)
        level = one.foils.level(name)
        assert before == one.foils.as_good[:at]
        here = steps(level, one.week, one.foils.packed)
        assert one.foils.values[name] == here
        assert row == Row.of(level.total, high=here - level.step)


# -- the plan that foils are held against -------------------------------------------


def test_without_a_plan_there_is_nothing_to_ask() -> None:
    program, solved = solve_week(read_week("impossible"))
    with pytest.raises(ValueError, match="no plan"):
        Foils(program, solved)


def test_answers_do_not_hang_on_how_many_are_sought_at_a_time() -> None:
    documents = [read_document("starter"), *map(document_of, drawn(TINY, sized(1, 3), shift=5))]
    found = []
    for workers in (1, 2, 5):
        with patch.object(parallel, "workers", return_value=workers):
            found.append([planning.plan_week(week_of(document)) for document in documents])
    assert found[0] == found[1] == found[2]


def test_work_in_turn_keeps_its_order_and_its_errors() -> None:
    ticks: list[tuple[int, int]] = []

    def tick(done: int, of: int) -> None:
        ticks.append((done, of))

    found = in_threads(lambda number: number * number, range(50), tick)
    assert found == [number * number for number in range(50)]
    assert ticks == [(done, 50) for done in range(1, 51)]
    with pytest.raises(ZeroDivisionError):
        in_threads(lambda number: 1 // number, [1, 0, 2])


GOOD_OR_BAD: WeekData = {
    "week": {"starts": "2026-11-30", "days": ["mon"], "guidance": "us"},
    "eaters": {"Ada": {"likes": {"Good": Decimal(1)}}},
    "larder": {"oats": {"pack": "90 g", "chilled": "no"}},
    "dishes": {
        name: {"kind": "grain", "goes_in": {"oats": "30 g"}} for name in ("Bad", "Good", "Fair")
    },
    "priorities": ["liking"],
}
"""One lunch and no rule that forbids anything."""


def not_proven(one: Planned, verdict: Verdict) -> Foils:
    """Give the foils of a plan that is not the best, as a time limit may leave it."""
    packed = one.foils.packed_with(verdict)
    return Foils(one.program, Solved(Status.FEASIBLE, packed, (), verdict.counts))


def test_a_plan_that_is_not_the_best_makes_nothing_better_impossible() -> None:
    (one,) = plans([week_of(document_of(GOOD_OR_BAD))])
    monday = one.foils.slot("Ada", one.week.days[0])
    worse = one.foils.verdict([one.foils.dish(monday, "Bad")])
    assert outcome_of(worse) == Outcome("worse", "liking", Decimal(1))
    foils = not_proven(one, worse)
    assert foils.verdict([foils.dish(monday, "Good")]).kind is VerdictKind.AS_GOOD
    assert foils.verdict([foils.dish(monday, "Fair")]).kind is VerdictKind.AS_GOOD


def test_foils_are_held_against_a_plan_that_is_not_proven_to_be_the_best() -> None:
    counted: Counter[str] = Counter()
    for one in (one for theme in THEMES for one in planned(theme)[: sized(3, 16)]):
        found = (one.foils.verdict(foil.rows(one.foils)) for foil in dishes_of(one))
        worse = next((verdict for verdict in found if verdict.kind is VerdictKind.WORSE), None)
        if worse is None:
            continue
        foils = not_proven(one, worse)
        for foil in dishes_of(one):
            verdict = foils.verdict(foil.rows(foils))
            fresh = foil.asked(Question(one.week)).outcome(foils.packed)
            counted[fresh.kind] += 1
            # Of one that is better no more is claimed than that it is no worse.
            expected = AS_GOOD if fresh.kind == "better" else fresh
            assert outcome_of(verdict) == expected, foil
    assert min(counted[kind] for kind in ("impossible", "worse", "as good", "better")) >= sized(
        1, 20
    )


def test_a_bound_that_leaves_room_for_better_says_nothing_of_what_comes_after() -> None:
    data = GOOD_OR_BAD | {"priorities": ["liking", "minutes"]}
    data["dishes"] = {
        name: {"kind": "grain", "goes_in": {"oats": "30 g"}, "minutes": Decimal(minutes)}
        for name, minutes in (("Good", 7), ("Bad", 2))
    }
    (one,) = plans([week_of(document_of(data))])
    monday = one.foils.slot("Ada", one.week.days[0])
    bad = one.foils.verdict([one.foils.dish(monday, "Bad")])
    assert bad.counts is not None
    foils = not_proven(one, bad)
    (stage,) = foils.stages
    # So much is proven: nothing is better than the best plan, which takes five minutes more.
    bound = stage.folded(one.foils.values)
    with patch.object(cpsat, "solve", stopped_at(bound, bad.counts)):
        verdict = foils.verdict([])
    # Without any foil at all: the plan itself loses nothing.
    assert verdict.kind is not VerdictKind.WORSE


PACKS = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 2 portions, portion: 100 g, nutrition: {}, fridge_life: 3}
larder:
  curds: {pack: 200 g, opened_life: 3, chilled: yes}
dishes:
  Bowl: {kind: grain, takes: {beans: 1}}
  Curds: {kind: curds, takes: {beans: 1}, goes_in: {curds: 50 g}}
"""


def test_a_pack_that_spoils_is_a_cause_where_it_would_be_wasted() -> None:
    # Curds never come: of a pack 100 g would be wasted, with any dish else nothing is.
    week = week_of(parse("w", PACKS))
    foils = Foils(*solve_week(week))
    curds = foils.dish(foils.slot("Ada", week.days[0]), "Curds")
    verdict = foils.verdict([curds])
    assert verdict.level is not None
    assert (verdict.level.name, verdict.lost) == ("left_over", 100)
    rules, bounds = foils.conflict_below([curds], verdict.level)
    assert [rule.key for rule in rules] == ["opened life:curds"]
    assert [level.name for level in bounds] == ["left_over"]
    # Where what is opened kept, nothing would be wasted of it; what is cooked still would be.
    assert foils.ask([*foils.as_good, curds], ["opened life:curds"]).values is not None
    fewer = week_of(parse("w", PACKS.replace("{beans: 1}, goes_in", "{}, goes_in")))
    foils = Foils(*solve_week(fewer))
    curds = foils.dish(foils.slot("Ada", week.days[0]), "Curds")
    # A portion would be left over besides: that alone forbids it, and no safety rule is blamed.
    rules, _ = foils.conflict_below([curds], foils.level("left_over"))
    assert [rule.key for rule in rules] == ["stock:beans"]
