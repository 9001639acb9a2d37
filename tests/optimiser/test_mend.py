"""What `mend` offers, tried out: each change written into the file, the week planned anew.

A cook who changes a file wants three things to be true: the plan is the one promised, no
change is needless or larger than it must be, and nothing cheaper was overlooked. Each is
tried on random small weeks by putting changes into the data by hand and asking HiGHS, on a
model of its own (`tests/oracle/highs.py`), what the changed week comes to.
"""

from __future__ import annotations

import copy
import json
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations, islice, product
from typing import Any, TypeAlias

import pytest
from rich.cells import cell_len

from models.answers.mend import Change, MendFile, Way
from models.answers.plan import PlanFile
from models.file import yamltext
from models.file.reading import ready_text, week_of
from models.week.week import Week
from models.words.errors import InputError
from models.words.nutrients import tagname
from optimiser.explain.mend import mend
from optimiser.explain.turns import Sort, turns_of
from optimiser.explain.wishes import Goal, Wish
from optimiser.planning import plan_week
from optimiser.priorities import PRIORITIES
from optimiser.report import mend as report
from optimiser.rules import rules_of
from optimiser.solve.limits import Stop
from tests.depth import sized
from tests.optimiser.asking import Question, named, of_theme
from tests.oracle import highs
from tests.oracle.highs import Line
from tests.weeks import THEMES, TINY, WeekData, document_of

Place: TypeAlias = tuple[str | int, ...]
Said: TypeAlias = str | list[str] | dict[str, str | int] | None
Put: TypeAlias = tuple[Place, Said]
Turn: TypeAlias = tuple[int, Said]
Reach: TypeAlias = Callable[[Week, Sequence[Wish], Sequence[str]], dict[str, Fraction] | None]

THROWN = sized(3, 52)
"""Random weeks of each theme; about two thirds of them have no plan or leave food over."""

WAYS = 12
"""As many as are ever asked for: where there are fewer, these are all."""

MOST_TRIED = 15
"""Sets of changes that are tried for one case, the cheapest first."""

MOST_KNOBS = 7
"""Of so many places every choice is tried: 128."""

themes = pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")


@dataclass(frozen=True)
class Case:
    """A week, what is wanted of it, and what it comes to today.

    Attributes
    ----------
    now
        What the plan reaches in each priority; None where there is none.
    """

    data: WeekData
    text: str
    week: Week
    wanted: tuple[Wish | Goal, ...]
    now: Mapping[str, Fraction] | None

    @property
    def goals(self) -> list[Goal]:
        return [wish for wish in self.wanted if isinstance(wish, Goal)]

    @property
    def wishes(self) -> list[Wish]:
        return [wish for wish in self.wanted if isinstance(wish, Wish)]

    @property
    def above(self) -> list[str]:
        """What matters more than the goals."""
        order = named(self.week)
        return order[: min((order.index(goal.priority) for goal in self.goals), default=0)]


@dataclass(frozen=True)
class Knob:
    """A place of the file that may be changed, and what it may say, the smallest step first.

    Attributes
    ----------
    either_way
        True where it may be turned to more and to less.
    """

    place: Place
    values: tuple[Said, ...]
    sort: Sort
    either_way: bool

    def cost(self, step: int) -> int:
        """A wish that is bent is worth more than all else, then a change, then a step."""
        return int(self.sort) + 10 * step


COOKED = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters:
  Ada: {}
batches:
  beans:
    made: 2026-11-29
    yield: 9 portions   # the whole tray
    cook: 5 portions    # but there are two lunches
    portion: 100 g
    nutrition: {protein: 5 g}
    fridge_life: 2 to 3
dishes:
  Bowl: {kind: bowl, takes: {beans: 2}}
"""
"""One portion too many is cooked, of a recipe that comes to more."""


# -- weeks -------------------------------------------------------------------------------


def knobs_of(case: Case) -> list[Knob]:
    """List every place that a way may change, by what the program knows to turn."""
    by_place: dict[Place, Knob] = {}
    for chain in turns_of(case.week, planless=is_planless(case)).chains:
        edits = [edit for version in chain.versions[1:] for edit in version.edits(case.week)]
        for path in dict.fromkeys(edit.path for edit in edits):
            values = tuple(
                str(edit.value) if isinstance(edit.value, int) else edit.value
                for edit in edits
                if edit.path == path
            )
            known = by_place[path].values if path in by_place else ()
            longer, shorter = sorted((known, values), key=len, reverse=True)
            values = (*longer, *(value for value in shorter if value not in longer))
            by_place[path] = Knob(path, values, chain.sort, chain.exact)
    return list(by_place.values())


def is_planless(case: Case) -> bool:
    """Tell whether sides and the days of batches are turned as well."""
    return case.now is None and all(goal.priority != "freshness" for goal in case.goals)


def block(data: Any, deep: int = 0) -> Iterator[str]:
    """Write data as a cook does, with a remark in every line."""
    pad = "  " * deep
    for key, held in data.items():
        name = key if key.isalnum() else json.dumps(key)
        if isinstance(held, dict) and held:
            yield f"{pad}{name}: # {key} of this week"
            yield from block(held, deep + 1)
        else:
            yield f"{pad}{name}: {json.dumps(held)} # as it was"


@cache
def cases(theme: str) -> tuple[Case, ...]:
    """List what may be wanted of random weeks that they do not have."""
    all_cases: list[Case] = []
    for at, thrown in enumerate(of_theme(TINY, theme, THROWN, shift=13)):
        plain = document_of(thrown).as_json()
        text = "\n".join(block(plain)) + "\n" if at % 2 else json.dumps(plain, indent=1)
        document = yamltext.parse("week.yaml", text)
        assert isinstance(document.data, dict)
        week = week_of(document)
        all_cases += islice(wanted_of(document.data, text, week), 1 if at % 4 else 4)
    return tuple(all_cases)


def wanted_of(data: WeekData, text: str, week: Week) -> Iterator[Case]:
    """Want a plan; nothing left over; dishes where no week has them; more of what matters."""
    now = reached(week, [], named(week))
    if now is None or now.get("left_over"):
        yield Case(data, text, week, (), now)
    if now is None:
        return
    wishes = (
        Wish(dish, lunch.day.isoformat(), lunch.eater, f"{dish} on {lunch.day}")
        for lunch in week.lunches
        for dish in week.dishes
    )
    impossible = (wish for wish in wishes if quickly_reached(week, [wish], []) is None)
    yield from (Case(data, text, week, (wish,), None) for wish in islice(impossible, 1))
    for name in named(week)[:3]:
        more = PRIORITIES[name].most
        wanted = now[name] + 1 if more else now[name] * 3 / 4
        if name != "left_over" and (now[name] or more) and wanted >= 0:
            number = Decimal(wanted.numerator) / wanted.denominator
            yield Case(data, text, week, (Goal(name, more, number, f"{name} {number}"),), now)


def reached(week: Week, wishes: Sequence[Wish], names: Sequence[str]) -> dict[str, Fraction] | None:
    """Give what the best week with some wishes reaches, by HiGHS; None where there is none."""
    model = highs.Model(week)
    for wish in wishes:
        total = Line()
        for meal in model.meals:
            if meal.lunch.day.isoformat() == wish.day_said and meal.lunch.eater == wish.eater:
                total.add(meal.dish[wish.dish])
        model.sheet.row(total, low=1)
    if model.sheet.impossible:
        return None
    solver = highs.Solver(model.sheet)
    best_values: dict[str, Fraction] = {}
    if not names and solver.least(Line(), more=False) is None:
        return None
    for name in names:
        line, more = model.value(name)
        best = solver.least(line, more=more)
        if best is None:
            return None
        best_values[name] = line.at(best)
        solver.keep(line, best_values[name])
    return best_values


def quickly_reached(
    week: Week, wishes: Sequence[Wish], names: Sequence[str]
) -> dict[str, Fraction] | None:
    """Give the same by a fresh program, which is quicker where very much is tried."""
    question = with_wishes(Question(week), wishes)
    if not names and not question.possible():
        return None
    best_values: dict[str, Fraction] = {}
    for name in names:
        level = question.level(name)
        least = question.least(name)
        if least is None:
            return None
        best_values[name] = Fraction(
            -least if level.priority.most else least, level.priority.per_unit
        )
        question.program.board.sheet.bound(level.total, high=least)
    return best_values


def with_wishes(question: Question, wishes: Sequence[Wish]) -> Question:
    for wish in wishes:
        assert wish.eater is not None
        (day,) = (day for day in question.week.days if day.isoformat() == wish.day_said)
        question.force(wish.eater, day, wish.dish)
    return question


# -- changes put in by hand ------------------------------------------------------------------


def put_in(data: WeekData, puts: Sequence[Put]) -> WeekData:
    """Change a week's data in some places, as one would by hand."""
    data = copy.deepcopy(data)
    out: list[tuple[Any, str | int]] = []
    for place, value in puts:
        held: Any = data
        for step in place[:-1]:
            held = held.setdefault(step, {}) if isinstance(held, dict) else held[step]
        last = place[-1]
        if value is None:
            out.append((held, last))
            continue
        if last not in held:
            last = next((name for name in held if tagname(name) == last), last)
        number = isinstance(value, str) and value.isdigit()
        held[last] = Decimal(str(value)) if number else value
    for held, last in sorted(out, key=lambda one: one[1], reverse=True):
        del held[last]
    return data


def put_of(change: Change) -> Put:
    """Read a change as a script would."""
    if change.becomes == "removed":
        return tuple(change.path), None
    listed = {"priorities", "compartments", "pots", "free_of", "suits", "allergens"}
    if change.path[-1] in listed and change.becomes != "none":
        return tuple(change.path), change.becomes.split(", ")
    if change.becomes.startswith("{portion: "):
        portion, most = change.becomes[10:-1].split(", most: ")
        return tuple(change.path), {"portion": portion, "most": int(most)}
    return tuple(change.path), change.becomes


def achieves(case: Case, puts: Sequence[Put], reach: Reach = reached) -> bool:
    """Tell whether the week has what is wanted once some places are changed.

    What matters more than a goal has to be no worse than it is today.
    """
    try:
        week = week_of(document_of(put_in(case.data, puts)))
    except InputError:
        return False
    last = max((named(week).index(goal.priority) for goal in goals_of(case)), default=-1)
    best_values = reach(week, case.wishes, named(week)[: last + 1])
    if best_values is None:
        return False
    for name in case.above:
        if case.now is not None:
            worse = best_values[name] - case.now[name]
            if worse and (worse < 0) == PRIORITIES[name].most:
                return False
    return all(holds(goal, best_values[goal.priority]) for goal in goals_of(case))


def goals_of(case: Case) -> list[Goal]:
    """Give the goals; where nothing is said, a week that can be planned is to leave nothing."""
    if not case.wanted and case.now is not None:
        return [Goal("left_over", most=False, number=Decimal(0), text="")]
    return case.goals


def holds(goal: Goal, value: Fraction) -> bool:
    number = Fraction(goal.number)
    return value >= number if goal.most else value <= number


# -- what is claimed of each way ---------------------------------------------------------------


def assert_plan_is_as_promised(case: Case, offered: Way, text: str) -> PlanFile:
    """Read the changed text anew, plan it, and hold the plan against what was promised."""
    document = yamltext.parse("changed.yaml", text)
    week = week_of(document)
    plan = plan_week(week_of(document), reasons=False, prefer=case.wishes)
    assert plan.status == "optimal"
    several = len(week.eaters) > 1
    assert offered.dishes == [
        f"{line.date:%a}, {line.eater}: {line.dish}" if several else f"{line.date:%a}: {line.dish}"
        for line in plan.lunches
    ]
    assert offered.values == {line.name: line.value for line in plan.priorities}
    assert all(line.granted for line in plan.wishes)
    for goal in goals_of(case):
        assert holds(goal, Fraction(str(offered.values[goal.priority])))
    again = reached(week, case.wishes, named(week))
    assert again is not None
    assert all(round(again[name], 5) == Fraction(str(offered.values[name])) for name in again)
    return plan


def assert_text_differs_only_where_said(case: Case, offered: Way, text: str) -> None:
    """See that the changed file says what the changes say, and all else as before."""
    puts = [put_of(change) for change in offered.changes]
    there = yamltext.parse("changed.yaml", text)
    assert there.as_json() == document_of(put_in(case.data, puts)).as_json()
    before, after = case.text.split("\n"), text.split("\n")
    added = sum(line not in before for line in after)
    assert added <= len(puts) + sum("cook" in put[0] for put in puts)
    assert text.count("# ") == case.text.count("# ")


def assert_needed_and_small(case: Case, offered: Way, knobs: Mapping[Place, Knob]) -> None:
    """See that no change is needless, and that a lone one is no larger than it must be."""
    puts = [put_of(change) for change in offered.changes]
    for at in range(len(puts)):
        assert not achieves(case, puts[:at] + puts[at + 1 :]), f"{puts[at]} is needless in {puts}"
    if len(puts) == 1 and puts[0][0] in knobs:
        place, value = puts[0]
        nearer = knobs[place].values[: knobs[place].values.index(value)]
        assert not any(achieves(case, [(place, one)]) for one in nearer), puts


def assert_safe(case: Case, offered: Way, text: str, knobs: Mapping[Place, Knob]) -> None:
    """See that every rule that keeps someone safe is what it was, but for what a cook did."""
    week = week_of(yamltext.parse("changed.yaml", text))
    before, after = rules_of(case.week), rules_of(week)
    done = {str(change.path[-1]) for change in offered.changes}
    families = {"cold"} if "cold_packs" in done else set()
    families |= {"fridge life", "made"} if "made" in done else set()
    kept = [
        [rule for rule in rules if rule.safety and rule.family not in families]
        for rules in (before, after)
    ]
    assert kept[0] == kept[1]
    assert all(rule.weaker() == () and rule.edit(week) is None for rule in after if rule.safety)
    for change in offered.changes:
        place = tuple(change.path)
        assert place == ("priorities",) or place in knobs
        sort = knobs[place].sort if place in knobs else Sort.WISH
        assert change.prep == (sort is Sort.PREP)
        assert change.wish == (sort is Sort.WISH)
        assert change.label == (sort is Sort.LABEL)


def cost_of(offered: Way, knobs: Mapping[Place, Knob]) -> int:
    """Say what a way is worth, by the places it changes and the steps it takes."""
    total = 0
    for change in offered.changes:
        place, value = put_of(change)
        total += knobs[place].cost(knobs[place].values.index(value) + 1)
    return total


def is_monotone(case: Case) -> bool:
    """Tell whether what a small step achieves a larger one does too.

    So it is where only a plan is wanted, or most of what matters most.
    """
    return not case.above


def turns(case: Case, knob: Knob, *, loosest: bool) -> list[Turn]:
    """List what a place may say with the steps it takes; only what allows most, if wanted."""
    every = list(enumerate(knob.values, start=1))
    if not loosest:
        return every
    if not knob.either_way:
        return every[-1:]
    # Of a batch that is larger more can be left; only where that is counted is it no help.
    return every if goals_of(case) else every[-1:]


def put_all(knobs: Sequence[Knob], turned: Sequence[Turn]) -> list[Put]:
    return [(knob.place, value) for knob, (_, value) in zip(knobs, turned, strict=True)]


def assert_none_is_cheaper(case: Case, cost: int | None, knobs: Sequence[Knob]) -> int:
    """Try every change and every two that are worth less than a way; count them."""
    tried = 0
    sets = [*((knob,) for knob in knobs), *combinations(knobs, 2)]
    for chosen in sorted(sets, key=lambda some: sum(knob.cost(1) for knob in some)):
        if cost is not None and sum(knob.cost(1) for knob in chosen) >= cost:
            break
        if is_monotone(case):
            loosest = [turns(case, knob, loosest=True) for knob in chosen]
            if not any(
                achieves(case, put_all(chosen, some), quickly_reached) for some in product(*loosest)
            ):
                tried += 1
                continue
        for some in product(*(turns(case, knob, loosest=False) for knob in chosen)):
            worth = sum(knob.cost(x[0]) for knob, x in zip(chosen, some, strict=True))
            if (cost is None or worth < cost) and tried < MOST_TRIED:
                tried += 1
                puts = put_all(chosen, some)
                assert not achieves(case, puts, quickly_reached), f"{puts} is cheaper"
    return tried


def firm_rules(case: Case) -> list[str]:
    """List what no change touches, and what keeps someone safe as the week is."""
    firm = {rule.key for rule in turns_of(case.week, planless=is_planless(case)).firm}
    return [rule.key for rule in rules_of(case.week) if rule.safety or rule.key in firm]


def asked_of(case: Case, keys: Sequence[str]) -> Question:
    """Ask for what is wanted where only some rules hold."""
    question = with_wishes(Question(case.week, only=keys), case.wishes)
    for goal in goals_of(case):
        level = question.level(goal.priority)
        number = -goal.number if goal.most else goal.number
        question.program.board.sheet.bound(
            level.total, high=int(number * level.priority.per_unit // 1)
        )
    return question


def assert_blocked_by(case: Case, answer: MendFile) -> bool:
    """See that what stands in the way does, by itself, and that each part is needed."""
    firm = firm_rules(case)
    keys = [line.key for line in answer.blocked]
    assert set(keys) <= set(firm)
    if asked_of(case, firm).possible():
        assert not keys
        return False
    assert not asked_of(case, keys).possible(), keys
    for left_out in keys:
        others = [key for key in keys if key != left_out]
        assert asked_of(case, others).possible(), f"{left_out} is not needed in {keys}"
    return True


def correction_sets(case: Case, knobs: Sequence[Knob]) -> set[frozenset[Place]]:
    """Find by trying all: every least set of places that makes a plan possible.

    Each place allows as much as it may. Where that gives no plan no smaller step does.
    """

    def possible(chosen: Sequence[Knob]) -> bool:
        some = [turns(case, knob, loosest=True)[0] for knob in chosen]
        return achieves(case, put_all(chosen, some), quickly_reached)

    seen: set[frozenset[Place]] = set()
    for size in range(len(knobs) + 1) if possible(knobs) else ():
        for chosen in combinations(knobs, size):
            places = frozenset(knob.place for knob in chosen)
            if not any(less <= places for less in seen) and possible(chosen):
                seen.add(places)
    return seen


def assert_there_are_no_others(case: Case, answer: MendFile, knobs: Sequence[Knob]) -> bool:
    """Hold the sets of places against all that there are; tell whether that could be done."""
    whole = answer.complete and len(answer.ways) < WAYS
    if goals_of(case) or len(knobs) > MOST_KNOBS or not whole:
        return False
    offered = [frozenset(tuple(x.path) for x in way.changes) for way in answer.ways]
    assert len(set(offered)) == len(offered)
    assert set(offered) == correction_sets(case, knobs)
    return True


@themes
def test_each_fix_keeps_its_promise_and_none_is_cheaper(theme: str) -> None:
    counted: Counter[str] = Counter()
    assert len({id(case.week) for case in cases(theme)}) >= sized(1, 25)
    for case in cases(theme):
        answer = mend(case.week, case.wanted, count=WAYS)
        assert not answer.already
        assert answer == MendFile.model_validate_json(answer.model_dump_json())
        knobs = {knob.place: knob for knob in knobs_of(case)}
        for offered in answer.ways:
            text = offered.text
            assert_plan_is_as_promised(case, offered, text)
            assert_text_differs_only_where_said(case, offered, text)
            assert_needed_and_small(case, offered, knobs)
            assert_safe(case, offered, text, knobs)
            counted["ways"] += 1
            counted["several changes"] += len(offered.changes) > 1
        costs = [cost_of(way, knobs) for way in by_rules(answer)]
        assert costs == sorted(costs)
        assert_none_is_cheaper(case, costs[0] if costs else None, list(knobs.values()))
        if len(costs) > 1:
            # Asked for fewer, it gives the cheapest of them.
            ahead = len(answer.ways) - len(costs)
            few = mend(case.week, case.wanted, count=1 + ahead)
            assert by_rules(few)[0] == by_rules(answer)[0]
        if assert_there_are_no_others(case, answer, list(knobs.values())):
            counted["complete"] += 1
            counted["of complete"] += len(answer.ways)
        if not answer.ways:
            counted["blocked"] += assert_blocked_by(case, answer)
        assert_it_is_told(answer)
    least = {"ways": 8, "several changes": 1, "blocked": 10, "complete": 10, "of complete": 3}
    for name, number in least.items():
        assert counted[name] >= sized(0, number), counted


def by_rules(answer: MendFile) -> list[Way]:
    """Leave out the way that changes nothing but the order of the priorities."""
    return [way for way in answer.ways if way.changes[0].path != ["priorities"]]


def assert_it_is_told(answer: MendFile) -> None:
    """See that every change and every plan stands in the text, in 80 columns."""
    text = report.text(answer)
    assert max(cell_len(line) for line in text.split("\n")) <= 80
    printed = "".join(text.split())
    for offered in answer.ways:
        for part in (*offered.dishes, *(change.text for change in offered.changes)):
            assert "".join(part.split()) in printed
    for line in answer.blocked:
        assert "".join(line.sentence.split()) in printed
    paths = {step for way in answer.ways for change in way.changes for step in change.path}
    assert bool(paths & {"ceilings", "week_ceilings"}) == ("doctor or dietitian" in text)


# -- ready weeks ------------------------------------------------------------------------------


def ready_case(name: str, *wanted: Wish | Goal) -> tuple[MendFile, str]:
    text = ready_text(name)
    return mend(week_of(yamltext.parse(name, text)), wanted, count=3), text


def test_the_week_that_cannot_be_is_mended_by_one_change() -> None:
    answer, text = ready_case("impossible")
    assert answer.goal == "any plan at all"
    extra, side, floor = (way.changes[0] for way in answer.ways)
    assert {len(way.changes) for way in answer.ways} == {1}
    # What a cook does comes before a floor that is lowered.
    assert [change.wish for change in (extra, side, floor)] == [False, False, True]
    assert side.path == ["dishes", "Bread and spread", "goes_in", "seeded bread"]
    assert (side.was, side.becomes) == ("3 pieces", "4 pieces")
    assert extra.path == ["dishes", "Bread and spread", "extras", "hard cheese"]
    assert floor.path == ["eaters", "Oda", "floors", "PROCNT"]
    assert (floor.was, floor.becomes, floor.prep) == ("28 g", "25 g", False)
    assert answer.ways[2].text == text.replace("{protein: 28 g}", "{protein: 25 g}")
    # A step less does not do.
    nearer = text.replace("{protein: 28 g}", "{protein: 26 g}")
    assert (
        plan_week(week_of(yamltext.parse("nearer", nearer)), reasons=False).status == "infeasible"
    )
    for offered in answer.ways:
        changed = offered.text
        plan = plan_week(week_of(yamltext.parse("changed", changed)), reasons=False)
        assert [f"{line.date:%a}: {line.dish}" for line in plan.lunches] == offered.dishes
        assert {line.name: line.value for line in plan.priorities} == offered.values
        assert changed.count("#") == text.count("#")
    different = {tuple(tuple(edit.path) for edit in way.changes) for way in answer.ways}
    assert len(different) == len(answer.ways) >= 2


def test_what_a_week_has_already_is_not_mended() -> None:
    answer, _ = ready_case("starter")
    assert (answer.already, answer.ways, answer.blocked) == (True, [], [])
    assert answer.goal == "nothing left over"
    assert "Nothing needs to be changed" in report.text(answer)


def test_a_search_that_is_stopped_says_so() -> None:
    text = ready_text("impossible")
    stop = Stop()
    stop.now()
    answer = mend(week_of(yamltext.parse("impossible", text)), [], stop=stop)
    assert answer.ways == []
    assert answer.interrupted
    assert not answer.complete


def test_as_many_are_looked_for_as_are_asked_for() -> None:
    text = ready_text("impossible")
    week = week_of(yamltext.parse("impossible", text))
    many = mend(week, [], count=5)
    for count in (1, 2):
        few = mend(week, [], count=count)
        assert few.ways == many.ways[:count]
        assert not few.complete


def test_what_is_cooked_already_is_said_anew_in_its_place() -> None:
    text = COOKED
    answer = mend(week_of(yamltext.parse("cooked", text)), [])
    (change,) = answer.ways[0].changes
    assert (change.path, change.was, change.becomes) == (
        ["batches", "beans", "cook"],
        "5 portions",
        "4 portions",
    )
    assert change.prep
    assert answer.ways[0].text == text.replace("cook: 5 portions", "cook: 4 portions")
