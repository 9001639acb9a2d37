"""Why of counted lunches: every verdict is held against the solver, each eater alone."""

from __future__ import annotations

import random
from functools import cache
from unittest.mock import patch

import pytest

import optimiser
from models.answers.why import Answer, CountedWhy, WhyFile
from models.words.errors import InputError
from models.words.priorities import TIE_BREAK
from optimiser.board.rows import Row, Sum
from optimiser.explain.counted import WhyCounted, entries
from optimiser.explain.foils import Verdict, VerdictKind
from optimiser.solve.program import Program
from optimiser.solve.week import solve, solve_week
from tests.depth import sized

TEXT = """
week: {starts: 2026-11-30, days: mon-tue, guidance: uk}
place: {fridge: yes}
eaters:
  Office: {count: 4, floors: {protein: 9 g}, likes: {Bread: 1}}
  Ann: {}
batches:
  beans: {made: 2026-11-29, ingredients: ["800 g kidney beans, tinned"], yield: 7 portions}
larder:
  bread: {food: wholemeal bread, pack: 8 pieces, piece: 40 g, price: 2.00}
  cheese: {food: cheddar, pack: 100 g, price: 1.80, opened_life: 2, chilled: yes}
dishes:
  Beans: {takes: {beans: 1 to 2}, minutes: 2}
  Beans and bread: {takes: {beans: 1}, goes_in: {bread: 2 pieces}, minutes: 3}
  Bread: {goes_in: {bread: 3 pieces, cheese: 30 g}, minutes: 5}
  Nothing but bread: {goes_in: {bread: 1 piece}}
"""


def drawn(number: int) -> str:
    """Vary the week: how many eat, what they need and like, what there is, what matters first."""
    dice = random.Random(number)
    order = ["left_over", "repeats", "liking", "cost", "minutes"]
    dice.shuffle(order)
    text = TEXT.replace("count: 4", f"count: {dice.choice([2, 3, 5])}")
    text = text.replace("9 g", f"{dice.choice([4, 8, 12])} g")
    text = text.replace("7 portions", f"{dice.choice([4, 6, 9])} portions")
    text = text.replace("likes: {Bread: 1}", f"likes: {{Bread: {dice.choice([-1, 2])}}}")
    return f"{text}priorities: [{', '.join(order[: dice.choice([3, 5])])}]\n"


@cache
def told(text: str) -> WhyFile:
    return optimiser.why(text, all=True)


def held_to_the_solver(text: str, told_of: CountedWhy) -> set[str]:
    """Solve the week of single eaters with one lunch more, and one fewer; give the verdicts."""
    week = optimiser.read_week(text)
    program, planned = solve_week(week)
    values = {value.name: value.value for value in planned.values}
    group = entries(week)[told_of.eater]
    slots = [
        slot
        for slot in program.board.slots
        if slot.eaters[0] in group and told_of.date in (None, slot.day)
    ]
    seen = set()
    for line in told_of.dishes:
        total = Sum()
        for slot in slots:
            total.plus(program.board.times(slot, line.dish))
        assert planned.packed is not None
        assert line.times == sum(
            lunch.dish == line.dish and lunch.eater in group and told_of.date in (None, lunch.day)
            for lunch in planned.packed.lunches
        )
        for answer, row in (
            (line.more, Row.of(total, low=line.times + 1)),
            (line.fewer, Row.of(total, high=line.times - 1)),
        ):
            if answer is not None:
                seen.add(answer.verdict)
                held(answer, Program(week), row, values)
    return seen


def held(answer: Answer, program: Program, row: Row, values: dict[str, object]) -> None:
    best = solve(program, extra=[row])
    if best.packed is None:
        assert answer.verdict in ("impossible", "open")
        return
    worse = [
        (value.name, abs(value.value - values[value.name]))  # type: ignore[operator]
        for value in best.values
        if value.name != TIE_BREAK and value.value != values[value.name]
    ]
    if not worse:
        assert answer.verdict in ("as good", "open")
        return
    name, amount = worse[0]
    assert answer.verdict in ("worse", "open")
    if answer.loss is not None and answer.loss.exact:
        assert (answer.loss.priority, answer.loss.amount) == (name, pytest.approx(float(amount)))
    elif answer.loss is not None:
        order = [value.name for value in best.values]
        later = order.index(answer.loss.priority) - order.index(name)
        assert later > 0 or (later == 0 and answer.loss.amount <= float(amount))


@pytest.mark.parametrize("number", range(sized(3, 60)))
def test_a_lunch_more_or_less_does_what_the_solver_says(number: int) -> None:
    text = drawn(number)
    seen: set[str] = set()
    parts = [*told(text).counted, *optimiser.why(text).counted]
    if not parts:
        assert told(text).conflict
        return
    assert [(part.eater, part.date) for part in parts][-2:] == [("Office", None), ("Ann", None)]
    for part in parts:
        seen |= held_to_the_solver(text, part)
    # Most is found out, and not all is alike.
    assert len(seen - {"open"}) > 1


def test_one_entry_on_one_day_is_told_in_numbers() -> None:
    why = optimiser.why(TEXT, "mon", eater="Office")
    (part,) = why.counted
    assert (part.eater, part.eaters, part.lunches, str(part.date)) == ("Office", 4, 4, "2026-11-30")
    assert sum(line.times for line in part.dishes) == 4
    assert why.eaters == ["Office", "Ann"]
    report = optimiser.render(why)
    assert "Office, Mon 30 Nov: 4 lunches" in report
    assert "planned one more one fewer" in " ".join(report.split())
    assert "Office 1" not in report


def test_why_no_more_of_a_dish_names_the_rules() -> None:
    why = optimiser.why(TEXT, "mon", eater="Office", not_="Nothing but bread")
    assert why.answer is not None
    assert why.answer.verdict == "impossible"
    assert why.answer.text == "with 1 lunch of Nothing but bread instead of 0: no week has it"
    assert any("9 g" in rule.sentence for rule in why.answer.rules)
    assert optimiser.why(TEXT, better="left_over").answer is not None
    for eater in ("Office", "Ann"):
        asked = optimiser.why(TEXT, "mon", eater=eater, not_="Nothing but bread").question
        assert asked == f"why no more Nothing but bread for {eater} on Mon 30 Nov"


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        ({"day": "mon", "not_": "Beans"}, "several eat on that day"),
        ({"day": "sun"}, "'sun' is not a day of this week"),
        ({"day": "mon", "eater": "Nobody"}, "there is no eater named 'Nobody'"),
    ],
)
def test_a_question_that_names_nothing_is_refused(asked: dict[str, str], what: str) -> None:
    with pytest.raises(InputError, match=what):
        optimiser.why(TEXT, **asked)  # type: ignore[arg-type]


def test_no_plan_is_said_of_a_group_too() -> None:
    why = optimiser.why(TEXT.replace("9 g", "900 g"))
    assert why.status == "infeasible"
    assert any("900 g" in rule.sentence for rule in why.conflict)


def test_what_nobody_may_eat_is_never_told_as_open() -> None:
    """Time is up before any dish is looked at, but what one alone cannot have is told."""
    why = WhyCounted(optimiser.read_week(TEXT))
    with patch.object(WhyCounted, "real", lambda *_: Verdict(VerdictKind.OPEN)):
        found = why.every_dish("Office 1")
    (part,) = found.counted
    more = {line.dish: line.more.verdict for line in part.dishes if line.more is not None}
    assert more == {
        "Beans": "open",
        "Beans and bread": "open",
        "Bread": "open",
        "Nothing but bread": "impossible",
    }


def test_what_one_alone_cannot_have_no_week_of_all_has() -> None:
    barred = 0
    for number in range(sized(6, 60)):
        week = optimiser.read_week(drawn(number))
        why, program = WhyCounted(week), Program(week)
        parts = [] if why.foils is None else why._parts(None, None, by_day=True)
        for _, day, slots in parts:
            for dish in why._barred(slots):
                own = (slot for slot in program.board.slots if slot.eaters[0] in slots[0].eaters)
                total = Sum()
                for slot in own:
                    if slot.day == day:
                        total.plus(program.board.times(slot, dish))
                assert solve(program, extra=[Row.of(total, low=1)]).packed is None
                barred += 1
    assert barred >= sized(6, 60)
