"""The answers of `why`, each asked again from scratch.

An answer names what stands in the way, what would be lost and what the week would be then. So
each verdict is put to HiGHS on a model of its own (`tests/oracle/highs.py`) or to a fresh program,
each set of rules to programs that have no others, and the week that is told in words is read back
from them, lunch by lunch.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TypeAlias

import pytest
from rich.cells import cell_len

from models.answers.plan import PlanFile, RuleLine
from models.answers.why import Answer, LunchWhy, OtherLunch, WhyFile
from models.file.reading import read_document, read_week, ready_text, week_of
from models.file.yamltext import parse
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.sums import packs_needed, uses
from models.week.week import Dish, Week
from models.words.days import day_name
from models.words.document import Document
from models.words.errors import InputError
from models.words.numbers import plain
from optimiser.auditing import packed_of
from optimiser.board.rows import Row
from optimiser.explain.why import Question as Asked
from optimiser.explain.why import Why, which_lunch
from optimiser.explain.why import answer as answered
from optimiser.planning import plan_week
from optimiser.priorities import PRIORITIES, values
from optimiser.report import why as report
from optimiser.rules import faults_of, rules_of
from optimiser.solve import cpsat
from optimiser.solve.limits import Stop
from tests.depth import sized
from tests.optimiser.asking import Question, drawn, named
from tests.oracle import highs
from tests.oracle.highs import Line
from tests.weeks import SMALL, TINY, document_of

READY = ("demo", "short", "starter")
THROWN = sized(5, 13)
"""Random weeks of each theme; a little more than half of them can be planned."""

PLANNED = sized(10, 40)
GOLDEN = Path(__file__).parent / "golden"
WIDEST = 80

LEAST = sized(8, 40)
"""Verdicts of each kind that there must be at the least."""


Judged: TypeAlias = tuple[str, str | None, Decimal]
"""A verdict, the priority that is lost first and how much of it."""


@dataclass(frozen=True)
class Planned:
    """A week, the plan that was made for it, and an open door to ask about it."""

    week: Week
    plan: PlanFile
    packed: PackedWeek
    why: Why

    def lunch(self, eater: str, day: object) -> PackedLunch:
        (found,) = (one for one in self.packed.lunches if (one.eater, one.day) == (eater, day))
        return found

    def asked(self) -> Question:
        return Question(self.week)


def planned(document: Document) -> Planned | None:
    """Plan a week; nothing where there is no plan."""
    week = week_of(document)
    plan = plan_week(week_of(document), reasons=False)
    if plan.status == "infeasible":
        return None
    assert plan.status == "optimal"
    return Planned(week, plan, packed_of(plan, week), Why(week))


@cache
def ready(name: str) -> Planned:
    found = planned(read_document(name))
    assert found is not None
    return found


@cache
def everything(name: str) -> WhyFile:
    """Ask of a ready week all that can be asked of it at once."""
    return ready(name).why.all()


@cache
def random_weeks() -> tuple[Planned, ...]:
    """Plan random weeks that name a priority."""
    found = (planned(document_of(data)) for data in drawn(TINY, THROWN, shift=14))
    weeks = tuple(one for one in found if one is not None and named(one.week))
    assert len(weeks) >= PLANNED
    return weeks


# -- verdicts --------------------------------------------------------------------------


def judged(one: Planned, lunch: PackedLunch, dish: str) -> Judged:
    """Solve a week that has a dish at a lunch, priority after priority, with HiGHS."""
    model = highs.Model(one.week)
    for meal in model.meals:
        if (meal.lunch.eater, meal.lunch.day) == (lunch.eater, lunch.day):
            model.sheet.row(Line().add(meal.dish[dish]), low=1)
    if model.sheet.impossible:
        return "impossible", None, Decimal(0)
    solver = highs.Solver(model.sheet)
    now = values(one.week, one.packed)
    for name in named(one.week):
        line, more = model.value(name)
        found = solver.least(line, more=more)
        if found is None:
            assert name == named(one.week)[0], "what was possible is not possible any more"
            return "impossible", None, Decimal(0)
        reached = line.at(found)
        lost = Fraction(now[name]) - reached if more else reached - Fraction(now[name])
        assert lost >= 0, f"a week is better than the plan in {name}"
        if lost:
            return "worse", name, Decimal(lost.numerator) / lost.denominator
        solver.keep(line, reached)
    return "as good", None, Decimal(0)


def claimed(answer: Answer) -> Judged:
    """Read what an answer claims; what it says in words has to be the same."""
    assert answer.verdict != "open"
    assert (answer.loss is not None) == (answer.verdict == "worse")
    if answer.loss is None:
        return answer.verdict, None, Decimal(0)
    loss = answer.loss
    assert loss.exact
    assert loss.unit == PRIORITIES[loss.priority].unit
    amount = Decimal(str(loss.amount))
    # Cut off and not rounded, so that it is never more than is lost.
    places = Decimal("0.1") if loss.priority == "left_over" else Decimal("0.01")
    cut = amount.quantize(places, ROUND_FLOOR)
    said = f"{cut:.2f}" if loss.priority == "cost" else plain(cut)
    assert not cut or f"{said} " in answer.text, answer
    return "worse", loss.priority, amount


def judged_anew(one: Planned, lunch: PackedLunch, dish: str) -> Judged:
    """Solve a week that has a dish at a lunch by a fresh program."""
    fresh = one.asked().force(lunch.eater, lunch.day, dish).outcome(one.packed)
    return fresh.kind, fresh.name, fresh.lost


def assert_all_verdicts_hold(
    one: Planned, found: WhyFile, judge: Callable[[Planned, PackedLunch, str], Judged]
) -> Counter[str]:
    assert found.days == list(one.week.days)
    assert [(x.eater, x.date, x.dish) for x in found.lunches] == [
        (x.eater, x.day, x.dish) for x in one.packed.lunches
    ]
    counted: Counter[str] = Counter()
    for lunch, line in zip(one.packed.lunches, found.lunches, strict=True):
        assert [answer.what for answer in line.dishes] == list(one.week.dishes)
        for answer in line.dishes:
            counted[answer.verdict] += 1
            if answer.what == lunch.dish:
                assert answer.verdict == "planned"
                continue
            assert claimed(answer) == judge(one, lunch, answer.what), (lunch, answer)
            if answer.verdict == "as good":
                assert answer.text.startswith("as good")
    return counted


def test_another_solver_gives_the_verdicts_of_random_weeks() -> None:
    counted: Counter[str] = Counter()
    for one in random_weeks():
        counted += assert_all_verdicts_hold(one, one.why.all(), judged)
    assert min(counted[name] for name in ("planned", "impossible", "worse", "as good")) >= LEAST


@pytest.mark.parametrize("name", ["short", "starter"])
def test_fresh_programs_give_the_verdicts_of_a_ready_week(name: str) -> None:
    counted = assert_all_verdicts_hold(ready(name), everything(name), judged_anew)
    assert counted["planned"] == len(ready(name).packed.lunches)
    assert counted["impossible"]
    assert counted["worse"]


def test_fresh_programs_give_the_verdicts_of_the_demo_week() -> None:
    one, line = ready("demo"), everything("demo").lunches[4]
    for answer in line.dishes:
        if answer.verdict != "planned":
            lunch = one.lunch(line.eater, line.date)
            assert claimed(answer) == judged_anew(one, lunch, answer.what), answer


def test_all_for_one_eater_is_their_part_of_all() -> None:
    several = [one for one in random_weeks() if len(one.week.eaters) > 1]
    assert len(several) >= sized(2, 8)
    for one in several[: sized(2, 8)]:
        every = one.why.all().lunches
        for eater in one.week.eaters:
            assert one.why.all(eater).lunches == [x for x in every if x.eater == eater]


# -- one lunch ------------------------------------------------------------------------------


def assert_forbids(
    one: Planned, ask: Callable[[Question], Question], rules: list[RuleLine]
) -> None:
    """See that rules and bounds of priorities forbid something, and that each is needed."""
    keys = [line.key for line in rules]
    assert len(set(keys)) == len(keys)

    def possible(kept: list[str]) -> bool:
        bounds = [key.partition(":")[2] for key in kept if key.startswith("priority:")]
        question = ask(Question(one.week, only=kept))
        return question.as_good_as(one.packed, bounds).possible()

    assert not possible(keys), keys
    for left_out in keys:
        assert possible([key for key in keys if key != left_out]), (left_out, keys)


def force(lunch: PackedLunch, dish: str) -> Callable[[Question], Question]:
    return lambda question: question.force(lunch.eater, lunch.day, dish)


def changed_amounts(one: Planned, lunch: PackedLunch) -> Iterator[tuple[str, str, int]]:
    """List the amounts next to those of a lunch, with how they are said."""
    for take in one.week.dishes[lunch.dish].takes:
        batch = one.week.batches[take.batch]
        has = lunch.of(take.batch)
        for other in (has - 1, has + 1):
            if take.least <= other <= take.most:
                word = "piece" if batch.pieces else "portion"
                yield (
                    f"{other} {word}{'' if other == 1 else 's'} of {batch.name}",
                    batch.name,
                    other,
                )


def assert_lunch_holds(one: Planned, lunch: PackedLunch, counted: Counter[str]) -> None:
    found = one.why.lunch(lunch.eater, lunch.day)
    (line,) = found.lunches
    assert found.question == f"why {lunch.dish} on {day_name(lunch.day)}"
    assert (line.eater, line.date, line.dish) == (lunch.eater, lunch.day, lunch.dish)
    assert 1 <= len(line.reasons) <= 2
    assert [answer.what for answer in line.dishes] == list(one.week.dishes)
    for answer in line.dishes:
        if answer.verdict == "impossible":
            counted["impossible"] += 1
            assert_forbids(one, force(lunch, answer.what), answer.rules)
        else:
            assert answer.rules == []
    asked = list(changed_amounts(one, lunch))
    assert [answer.what for answer in line.amounts] == [said for said, _, _ in asked]
    for answer, (_, batch, other) in zip(line.amounts, asked, strict=True):
        question = one.asked().force(lunch.eater, lunch.day, lunch.dish)
        total = question.program.board.portions(question.slot(lunch.eater, lunch.day), batch)
        question.program.board.sheet.bound(total, low=other, high=other)
        counted[f"amount {assert_outcome(one, question, answer)}"] += 1
    options = [
        (choice, option.item)
        for choice, taken in lunch.options.items()
        for option in one.week.choices[choice].options
        if option.item != taken
    ]
    assert [answer.what for answer in line.choices] == [
        f"{item} as {name}" for name, item in options
    ]
    for answer, (choice, item) in zip(line.choices, options, strict=True):
        question = one.asked().force(lunch.eater, lunch.day, lunch.dish)
        total = question.program.board.chosen(question.slot(lunch.eater, lunch.day), choice, item)
        question.program.board.sheet.bound(total, low=1)
        counted[f"choice {assert_outcome(one, question, answer)}"] += 1


def assert_outcome(one: Planned, question: Question, answer: Answer) -> str:
    fresh = question.outcome(one.packed)
    assert claimed(answer) == (fresh.kind, fresh.name, fresh.lost), answer
    return fresh.kind


def test_the_picture_of_a_lunch_holds() -> None:
    counted: Counter[str] = Counter()
    for one in (ready("short"), ready("starter"), *random_weeks()[::2]):
        for lunch in one.packed.lunches:
            assert_lunch_holds(one, lunch, counted)
    kinds = ("impossible", "worse", "as good")
    assert counted["impossible"] >= sized(6, 30)
    assert min(counted[f"amount {kind}"] for kind in kinds) >= sized(1, 5), counted
    assert min(counted[f"choice {kind}"] for kind in kinds) >= sized(0, 5), counted


# -- why not --------------------------------------------------------------------------------


def lunch_from(week: Week, was: PackedLunch, said: str) -> PackedLunch:
    """Read a lunch back from the line that tells it."""
    dishes = [name for name in week.dishes if said == name or said.startswith(f"{name} (")]
    dish: Dish = week.dishes[max(dishes, key=len)]
    inside = said[len(dish.name) :].removeprefix(" (").removesuffix(")")
    portions: list[PackedPortions] = []
    options: list[str] = []
    extras: dict[str, int] = {}
    for part in inside.split(", ") if inside else []:
        if part == "thawed":
            portions[-1] = replace(portions[-1], thawed=portions[-1].portions)
            continue
        match = re.fullmatch(r"(\d+) (\S+)(?: (.+))?", part)
        if match is None:
            options.append(part)
            continue
        number, word, rest = match.groups()
        if word == "thawed":
            portions[-1] = replace(portions[-1], thawed=int(number))
        elif word == "x":
            extras[rest] = int(number)
        else:
            batch = week.batches[rest]
            assert word == batch.portion_word + ("" if number == "1" else "s")
            portions.append(PackedPortions(batch.name, int(number), 0))
    choices = [name for name in week.choices if name in dish.choices]
    return PackedLunch(
        eater=was.eater,
        day=was.day,
        dish=dish.name,
        portions=tuple(portions),
        options=dict(zip(choices, options, strict=True)),
        extras=extras,
    )


def week_with(one: Planned, others: list[OtherLunch]) -> PackedWeek:
    """Read back the week in which some lunches are others."""
    told = {(line.eater, line.date): line for line in others}
    lunches = []
    for lunch in one.packed.lunches:
        line = told.pop((lunch.eater, lunch.day), None)
        if line is None:
            lunches.append(lunch)
            continue
        was = lunch_from(one.week, lunch, line.was)
        assert replace(was, options=dict(was.options)) == replace(
            lunch, options={name: lunch.options[name] for name in was.options}
        ), "the plan is told as it is not"
        lunches.append(lunch_from(one.week, lunch, line.would_be))
        assert lunches[-1] != lunch
    assert not told
    bare = PackedWeek(tuple(lunches), ())
    return replace(bare, packs=tuple(packs_needed(one.week, uses(one.week, bare))))


def assert_why_not_holds(one: Planned, lunch: PackedLunch, dish: str) -> str:
    """Hold one answer, the rules it names and the week it tells against fresh solves."""
    found = one.why.why_not(lunch.eater, lunch.day, dish)
    assert found.question == f"why not {dish} on {day_name(lunch.day)}"
    assert found.answer is not None
    assert found.answer.what == dish
    if lunch.dish == dish:
        assert (found.answer.verdict, found.answer.rules, found.others) == ("planned", [], [])
        return "planned"
    kind, name, lost = claimed(found.answer)
    fresh = one.asked().force(lunch.eater, lunch.day, dish).outcome(one.packed)
    assert (kind, name, lost) == (fresh.kind, fresh.name, fresh.lost)
    if kind == "as good":
        assert found.answer.rules == []
    else:
        assert_forbids(one, force(lunch, dish), found.answer.rules)
    if kind == "impossible":
        assert found.others == []
        return kind
    packed = week_with(one, found.others)
    assert list(faults_of(one.week, packed)) == []
    (there,) = (x for x in packed.lunches if (x.eater, x.day) == (lunch.eater, lunch.day))
    assert there.dish == dish
    now, then = values(one.week, one.packed), values(one.week, packed)
    for other in named(one.week):
        if other == name:
            gained = then[other] - now[other]
            assert lost == (-gained if PRIORITIES[other].most else gained)
            break
        assert then[other] == now[other], f"{other} is lost first"
    return kind


def test_why_not_names_what_forbids_it_and_tells_the_week_with_it() -> None:
    counted: Counter[str] = Counter()
    for one in (ready("short"), ready("starter"), *random_weeks()[:: sized(2, 1)]):
        for lunch in one.packed.lunches:
            for dish in list(one.week.dishes)[:: sized(2, 1)]:
                counted[assert_why_not_holds(one, lunch, dish)] += 1
    assert min(counted[kind] for kind in ("planned", "impossible", "worse", "as good")) >= LEAST


@pytest.mark.parametrize(
    ("day", "dish", "kind"),
    [
        (1, "Ham rolls", "worse"),
        (2, "Pot and rye", "as good"),
        (4, "Soup and apple", "impossible"),
    ],
)
def test_why_not_in_the_demo_week(day: int, dish: str, kind: str) -> None:
    one = ready("demo")
    assert assert_why_not_holds(one, one.packed.lunches[day], dish) == kind


# -- nothing better -------------------------------------------------------------------------


def assert_nothing_better(one: Planned, priority: str) -> int:
    """Hold the rules that forbid a better week against fresh solves; count them."""
    found = one.why.not_better(priority)
    assert found.answer is not None
    assert found.answer.verdict == "impossible"
    keys = [line.key for line in found.answer.rules]
    before = named(one.week)[: named(one.week).index(priority)]
    bounds = [key.partition(":")[2] for key in keys if key.startswith("priority:")]
    assert [name for name in before if name in bounds] == bounds, "not of those before it"

    def better(question: Question) -> Question:
        return question.better_than(one.packed, priority)

    assert_forbids(one, better, found.answer.rules)
    assert ("whatever the rules" in found.answer.text) == (not keys)
    return len(keys)


@pytest.mark.parametrize("name", ["short", "starter"])
def test_no_ready_week_does_better_for_the_rules_named(name: str) -> None:
    counts = [assert_nothing_better(ready(name), one) for one in named(ready(name).week)]
    assert max(counts) >= 2


@pytest.mark.parametrize(
    ("priority", "named"), [("left_over", 0), ("freshness", 11), ("liking", 9)]
)
def test_the_demo_week_does_no_better_for_the_rules_named(priority: str, named: int) -> None:
    assert assert_nothing_better(ready("demo"), priority) == named


def test_no_random_week_does_better_for_the_rules_named() -> None:
    counts = [
        assert_nothing_better(one, name) for one in random_weeks() for name in named(one.week)
    ]
    assert sum(count > 1 for count in counts) >= LEAST
    assert 0 in counts


# -- no plan --------------------------------------------------------------------------------


def test_why_there_is_no_plan() -> None:
    seen = 0
    documents = (read_document("impossible"), *map(document_of, drawn(TINY, THROWN, shift=14)))
    for document in documents:
        asked = Why(week_of(document))
        if asked.foils is not None:
            continue
        seen += 1
        found = asked.none()
        assert (found.status, found.question) == ("infeasible", "why there is no plan")
        keys = [line.key for line in found.conflict]
        assert not Question(asked.week, only=keys).possible()
        for left_out in keys:
            others = [key for key in keys if key != left_out]
            assert Question(asked.week, only=others).possible(), (left_out, keys)
        # Whatever is asked of a week without a plan, that is the answer.
        eater, day = asked.week.lunches[0].eater, asked.week.lunches[0].day.isoformat()
        for question in (Asked(), Asked(all=True), Asked(day=day, eater=eater)):
            assert answered(asked.week, question) == found
    assert seen >= sized(4, 15)


# -- what scripts read ------------------------------------------------------------------------


def every_rule(found: WhyFile) -> Iterator[RuleLine]:
    yield from found.conflict
    if found.answer is not None:
        yield from found.answer.rules
    for lunch in found.lunches:
        for reason in lunch.reasons:
            yield from reason.rules
        for one in (*lunch.dishes, *lunch.amounts, *lunch.choices):
            yield from one.rules


def assert_scripts_can_read(week: Week, found: WhyFile) -> int:
    """See that an answer is whole as JSON, and that its rules are those of the week."""
    assert WhyFile.model_validate_json(found.model_dump_json()) == found
    rules = {rule.key: rule for rule in rules_of(week)}
    seen = 0
    for line in every_rule(found):
        family, _, name = line.key.partition(":")
        if family == "priority":
            assert name in named(week)
            assert PRIORITIES[name].title in line.sentence
            continue
        seen += 1
        rule = rules[line.key]
        assert line.sentence == rule.sentence()
        assert line.numbers == rule.numbers()
        assert line.numbers
        assert line.source == rule.source
    return seen


def test_every_answer_is_whole_as_json_and_each_rule_has_its_numbers() -> None:
    seen = 0
    for one in (ready("short"), *random_weeks()[: sized(1, 16)]):
        found = [one.why.all()]
        for lunch in one.packed.lunches:
            found.append(one.why.lunch(lunch.eater, lunch.day))
            found += [one.why.why_not(lunch.eater, lunch.day, dish) for dish in one.week.dishes]
        found += [one.why.not_better(name) for name in named(one.week)]
        seen += sum(assert_scripts_can_read(one.week, each) for each in found)
    impossible = read_week("impossible")
    seen += assert_scripts_can_read(impossible, answered(impossible, Asked()))
    assert seen >= sized(25, 200)


def test_what_is_stopped_is_open_and_said_to_be() -> None:
    week = read_week("demo")
    stop = Stop()
    asked = Why(week, stop=stop)
    stop.now()
    found = asked.all()
    assert found.interrupted
    verdicts = Counter[str]()
    for line, whole in zip(found.lunches, everything("demo").lunches, strict=True):
        for answer, in_full in zip(line.dishes, whole.dishes, strict=True):
            verdicts[answer.verdict] += 1
            # What the rows rule out before any search is known, and true.
            if answer.verdict != "open":
                assert answer.verdict == in_full.verdict, answer
    assert verdicts.keys() - {"impossible"} == {"planned", "open"}
    assert verdicts["open"] > verdicts["impossible"]
    text = report.text(found)
    assert "open" in text
    assert "You stopped it" in text
    assert "as good  " not in text.split("PLAN       what")[0]


def test_a_stop_while_rules_are_looked_for_keeps_what_is_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    stop = Stop()
    asked = Why(read_week("starter"), stop=stop)
    assert asked.foils is not None
    ask = asked.foils.ask

    def ask_and_stop(rows: Sequence[Row]) -> cpsat.Solution:
        answer = ask(rows)
        stop.now()
        return answer

    monkeypatch.setattr(asked.foils, "ask", ask_and_stop)
    why = asked.not_better("freshness")
    assert why.answer is not None
    assert (why.answer.verdict, why.answer.rules, why.interrupted) == ("impossible", [], True)
    text = report.text(why)
    assert "None does (which rules forbid it was not found in time)." in text
    assert "whatever the rules" not in text
    assert "You stopped it" in text


# -- what a cook reads ------------------------------------------------------------------------


def lines_within(text: str) -> list[str]:
    lines = text.split("\n")
    assert [line for line in lines if cell_len(line) > WIDEST] == []
    assert [line for line in lines if line != line.rstrip()] == []
    assert all(line.isprintable() for line in lines)
    assert lines[-1] == ""
    return lines


CELLS = {"planned": "PLAN", "impossible": "never", "as good": "asgood", "open": "open"}


def assert_cell_says(answer: Answer, cell: str, words: dict[str, str]) -> None:
    """Hold what stands in the table, without spaces, against the data.

    Parameters
    ----------
    words
        What stands behind the amounts of each priority; what is new is noted.
    """
    if answer.loss is None:
        assert cell == CELLS[answer.verdict]
        return
    sign = "-" if answer.loss.priority == "liking" else "+"
    cost = answer.loss.priority == "cost"
    amount = f"{answer.loss.amount:.2f}" if cost else f"{answer.loss.amount:.1f}"
    amount = amount if cost else amount.rstrip("0").rstrip(".")
    start = ("" if answer.loss.exact else ">=") + sign + amount
    assert cell.startswith(start), (cell, answer)
    word = cell.removeprefix(start)
    assert word
    assert not word[0].isdigit()
    assert words.setdefault(answer.loss.priority, word) == word


def rows_of(lines: list[str], cuts: list[int]) -> list[list[str]]:
    """Read lines of a table that is cut at columns; a row goes on where its first cell is empty."""
    rows: list[list[str]] = []
    for line in lines:
        texts = [line[start:stop] for start, stop in pairwise(cuts)]
        if texts[0].strip():
            rows.append([""] * len(texts))
        if not rows:
            return []
        rows[-1] = [a + b.strip() for a, b in zip(rows[-1], texts, strict=True)]
    return rows


def assert_table_says(week: Week, found: WhyFile, eater: str, text: str) -> None:
    """Read the table of one eater back, column by column, and hold it against the data."""
    lines = text.split("\n")
    mine = [line for line in found.lunches if line.eater == eater]
    head = next(
        at
        for at, line in enumerate(lines)
        if line.startswith(eater) and re.search(r"\d [A-Z][a-z][a-z]$", line)
    )
    end = next(at for at in range(head, len(lines)) if not lines[at])
    rows = lines[head:end]
    # Each column ends where its date ends.
    ends = [match.end() for match in re.finditer(r"\d+ [A-Z][a-z]{2}(?= |$)", rows[0])]
    assert len(ends) == len(mine)
    blank = [at for at in range(1, ends[0]) if {row[at:][:1] for row in rows} <= {" ", ""}]
    # The first column is the one that holds the names of the dishes.
    names = [dish.replace(" ", "") for dish in week.dishes]
    found_rows = next(
        read
        for read in (rows_of(rows[1:], [0, at, *ends]) for at in blank)
        if [row[0].replace(" ", "") for row in read] == names
    )
    words: dict[str, str] = {}
    for at, row in enumerate(found_rows):
        cells = [cell.replace(" ", "") for cell in row[1:]]
        for lunch, said in zip(mine, cells, strict=True):
            assert_cell_says(lunch.dishes[at], said, words)
    # Two priorities are never told by one word, and what each word means is said below.
    assert len(set(words.values())) == len(words)
    below = " ".join(" ".join(lines[end:]).split())
    assert all(PRIORITIES[name].title in below for name in words)


@pytest.mark.parametrize("name", READY)
def test_the_table_fits_and_says_what_the_data_say(name: str) -> None:
    one, found = ready(name), everything(name)
    text = report.text(found)
    lines_within(text)
    for eater in one.week.eaters:
        assert_table_says(one.week, found, eater, text)


def test_tables_of_several_eaters_and_many_days_fit() -> None:
    weeks = [planned(document_of(data)) for data in drawn(SMALL, sized(1, 3), shift=12)]
    seen = 0
    for one in weeks:
        if one is None:
            continue
        found = one.why.all()
        text = report.text(found)
        lines_within(text)
        for eater in one.week.eaters:
            if sum(line.eater == eater for line in found.lunches) > 1:
                seen += 1
                assert_table_says(one.week, found, eater, text)
    assert seen >= sized(2, 8)


def best_of_the_others(week: Week, lunch: LunchWhy) -> Answer | None:
    """Find which other dish loses last in the order of priorities, and least; first of equals."""
    for name in reversed(week.priorities):
        losing = [x for x in lunch.dishes if x.loss is not None and x.loss.priority == name]
        if losing:
            least = min(x.loss.amount for x in losing if x.loss is not None)
            return next(x for x in losing if x.loss is not None and x.loss.amount == least)
    return None


@pytest.mark.parametrize("name", READY)
def test_the_answer_comes_first_in_a_sentence_that_the_table_bears_out(name: str) -> None:
    one, found = ready(name), everything(name)
    for lunch in found.lunches:
        sentence = report.in_a_sentence(found, lunch)
        assert f"{lunch.date:%A}" in sentence
        as_good = [x.what for x in lunch.dishes if x.verdict == "as good"]
        best = best_of_the_others(one.week, lunch)
        if as_good:
            assert as_good[0] in sentence
            assert sentence.endswith("nothing would be lost.")
        elif best is not None:
            assert sentence.endswith(f"with {best.what}, {best.text}.")
        else:
            assert sentence.startswith("No other dish can come")
        named = [x.alternative for x in lunch.reasons if x.verdict == "worse" and x.exact]
        if named and best is not None and not as_good:
            assert named[0] in {None, best.what}
        only = found.model_copy(update={"lunches": [lunch]})
        assert " ".join(report.text(only).split()).count(sentence) <= 1


def test_the_answer_does_not_claim_what_was_not_found_out() -> None:
    found = everything("demo")
    dishes = [
        x.model_copy(update={"verdict": "open", "loss": None}) for x in found.lunches[0].dishes
    ]
    lunch = found.lunches[0].model_copy(update={"dishes": dishes})
    assert report.in_a_sentence(found, lunch).endswith("as far as was found out.")


def test_every_answer_fits_a_narrow_terminal() -> None:
    for one in (ready("short"), *random_weeks()[: sized(1, 10)]):
        for lunch in one.packed.lunches:
            lines_within(report.text(one.why.lunch(lunch.eater, lunch.day)))
            for dish in list(one.week.dishes)[:: sized(2, 1)]:
                lines_within(report.text(one.why.why_not(lunch.eater, lunch.day, dish)))
        for name in named(one.week):
            lines_within(report.text(one.why.not_better(name)))


def asked_of(name: str, question: Asked) -> str:
    return report.text(answered(read_week(name), question))


TEXTS: dict[str, Callable[[], str]] = {
    "why-demo-all": lambda: report.text(everything("demo")),
    "why-demo-wed": lambda: asked_of("demo", Asked(day="wed")),
    "why-impossible": lambda: asked_of("impossible", Asked()),
}


@pytest.mark.parametrize("name", TEXTS)
def test_the_text_is_as_it_was(name: str) -> None:
    text = TEXTS[name]()
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode("utf-8"))
    assert text.encode("utf-8") == path.read_bytes()
    assert lines_within(text)[-2] != ""


def test_whose_lunch_is_meant_is_asked_only_where_several_eat_on_that_day() -> None:
    off = ready_text("family").replace(
        "no_lunch:\n",
        "no_lunch:\n" + "".join(f"  - {{day: sat, eater: {x}}}\n" for x in ("Noor", "Tove", "Pip")),
    )
    week = week_of(parse("week", off))
    assert which_lunch(week, "sat", None) == ("Eskil", week.days[-1])
    with pytest.raises(InputError, match="several eat on that day") as fault:
        which_lunch(week, "fri", None)
    assert "Say whose: Eskil, Tove, Pip." in str(fault.value)


def test_what_is_dearer_names_the_prices_that_make_it_so() -> None:
    """A pack that spoils is paid whole: its price is a cause, as the days that it keeps are."""
    text = """\
week: {starts: 2026-11-30, days: [mon], currency: EUR, guidance: us}
eaters: {Ada: {}}
larder:
  quark: {pack: 500 g, price: 2.40, opened_life: 2, chilled: yes}
  bread: {pack: 10 pieces, price: 1.50, chilled: no}
dishes: {Bread: {goes_in: {bread: 2 pieces}}, Quark: {goes_in: {quark: 100 g}}}
priorities: [PRIORITIES]
"""
    week = week_of(parse("week", text.replace("PRIORITIES", "cost, left_over")))
    answer = answered(week, Asked(day="mon", dish="Quark"))
    assert answer.answer is not None
    assert answer.answer.loss is not None
    # 2.40 for the whole pack, less 2 of 10 slices: 1.50 / 5.
    assert [(paid.item, paid.more) for paid in answer.paid] == [("quark", 2.4), ("bread", -0.3)]
    assert answer.answer.loss.amount == pytest.approx(sum(paid.more for paid in answer.paid))
    printed = report.text(answer)
    assert re.search(
        r"quark +EUR 2.40 more: a pack of 500 g is paid whole\nbread +EUR 0.30", printed
    )
    assert "Mon 30 Nov  " in printed
    # Where what is left counts first, it is the days that the pack keeps.
    week = week_of(parse("week", text.replace("PRIORITIES", "left_over, cost")))
    answer = answered(week, Asked(day="mon", dish="Quark"))
    assert answer.answer is not None
    assert [rule.key for rule in answer.answer.rules] == [
        "opened life:quark",
        "priority:left_over",
    ]
    assert answer.paid == []
