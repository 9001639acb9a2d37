"""What-ifs: every row is the plan of the edited file; ranges are exact; workers do not matter."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from decimal import Decimal

import joblib
import pytest
from joblib.externals.loky import get_reusable_executor

import optimiser
from models.answers.whatif import Shape, WhatIfFile, WhatIfRow
from models.file.editing import edited
from models.file.knobs import floor_knob, lunches_knob, yield_knob
from models.file.reading import week_of
from models.file.yamltext import parse
from models.week import sums
from models.week.knobs import Knob
from models.week.week import Week
from models.words.errors import InputError
from optimiser.explain.conflicts import smallest_conflict
from optimiser.report.whatif import as_svg, runs, text
from optimiser.rules import rules_of
from optimiser.solve import parallel
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve_week
from optimiser.weeks import volumes, whatif
from optimiser.weeks.whatif import letter, what_if
from optimiser.written import number
from tests.depth import sized

from ..oracle import plain
from ..weeks import SMALL, TINY, document_of
from .asking import drawn
from .other_ways import Asked, first
from .test_golden import GOLDEN

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue, wed, thu], guidance: us, name: Small}
eaters:
  Ada: {floors: {protein: 9 g}}
batches:
  beans:
    made: 2026-11-29
    yield: 8 portions
    portion: 100 g
    nutrition: {protein: 4 g}
    cost: 4.00
    fridge_life: 3 to 4
    allergens: none
    freezes: yes
    freezer: 3 portions
  roots:
    made: 2026-11-29
    yield: 4 portions
    portion: 80 g
    nutrition: {protein: 1.5 g}
    cost: 2.00
    fridge_life: 4
    allergens: none
larder:
  rolls:
    {pack: 4 pieces, chilled: no, price: 1.20, allergens: none,
     nutrition: {protein: 3 g}, per: 1 piece}
  dip:
    {pack: 100 g, chilled: no, price: 1.50, allergens: none, opened_life: 2,
     nutrition: {protein: 5 g}}
dishes:
  Bowl: {kind: bowl, takes: {beans: 2 to 3, roots: 0 to 1}, minutes: 4}
  Roll: {kind: bread, takes: {beans: 1 to 2}, goes_in: {rolls: 1 piece, dip: 50 g}, minutes: 6}
  Plate: {kind: plate, takes: {beans: 2, roots: 1 to 2}, goes_in: {rolls: 1 piece}, minutes: 5}
  Soup: {kind: soup, takes: {beans: 3 to 4}, minutes: 7}
variety: {most_times: 2, kinds_apart: [bowl]}
"""


def asked(*knobs: Knob, content: str = WEEK) -> WhatIfFile:
    document = parse("week.yaml", content)
    return what_if(week_of(document), list(knobs))


def small(content: str = WEEK) -> Week:
    return week_of(parse("week.yaml", content))


def as_edited(knob: Knob, value: float, content: str) -> str:
    """Write what a knob says into the file."""
    if knob.kind == "yield":
        return edited(content, [(("batches", knob.name, "cook"), f"{value:g} portions")])
    if knob.kind == "floor":
        return edited(content, [(("eaters", "Ada", "floors", "PROCNT"), f"{value:g} g")])
    days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"][: int(value)]
    return edited(content, [(("week", "days"), days)])


BEANS = yield_knob(small(), "beans=1..14", "--yield")
KNOBS = [
    BEANS,
    yield_knob(small(), "roots=1..6", "--yield"),
    floor_knob(small(), "protein=4..16 by 3", "--floor"),
    lunches_knob(small(), "1..6", "--lunches"),
]


@pytest.mark.parametrize("knob", KNOBS, ids=lambda knob: f"{knob.kind} {knob.name}")
def test_each_row_is_the_plan_of_the_edited_file(knob: Knob) -> None:
    answer = asked(knob)
    assert [row.values for row in answer.rows] == [[float(value)] for value in knob.values]
    for row in answer.rows:
        same_as_planned(row, as_edited(knob, row.values[0], WEEK), answer)


MORE_FLOORS = WEEK.replace("{protein: 9 g}", "{protein: 9 g, energy: 90 kcal}").replace(
    "protein: 4 g}", "protein: 4 g, energy: 50 kcal}"
)


@pytest.mark.parametrize("knob", KNOBS, ids=lambda knob: f"{knob.kind} {knob.name}")
@pytest.mark.parametrize("content", [WEEK, MORE_FLOORS], ids=["one floor", "more floors"])
def test_a_turned_week_is_the_edited_one_to_the_last_part(knob: Knob, content: str) -> None:
    document = parse("week.yaml", content)
    for value in knob.values:
        turned = whatif.turned(week_of(document), [knob], [value])
        assert turned == week_of(parse("edited", as_edited(knob, float(value), content)))


def test_all_sorts_turned_at_once_are_the_edited_file() -> None:
    content = WEEK + "no_lunch:\n  - {day: thu}\nelsewhere:\n  - {day: 2026-12-01, microwave: no}\n"
    knobs = [
        yield_knob(small(content), "beans=7, 9", ""),
        floor_knob(small(content), "protein=5, 7.5", ""),
        lunches_knob(small(content), "2, 3", ""),
    ]
    answer = asked(*knobs, content=content)
    assert [row.values for row in answer.rows] == [
        [a, b, c] for a in (7, 9) for b in (5, 7.5) for c in (2, 3)
    ]
    # The lunch that is skipped is on a day which these weeks have not.
    content = content.replace("no_lunch:\n  - {day: thu}\n", "")
    for row in answer.rows:
        said = content
        for knob, value in zip(knobs, row.values, strict=True):
            said = as_edited(knob, value, said)
        same_as_planned(row, said, answer)
        assert len(shape_of(row, answer).dishes) == row.values[2]


def test_a_new_floor_is_the_floor_of_the_edited_file() -> None:
    week = small()
    knob = floor_knob(week, "iron=3", "")
    assert knob.now is None
    turned = whatif.turned(week, [knob], [Decimal(3)])
    content = WEEK.replace("{protein: 9 g}", "{protein: 9 g, iron: 3 mg}")
    assert turned.eaters == small(content).eaters


@pytest.mark.parametrize(
    ("content", "knob", "what"),
    [
        (
            WEEK.replace("roots:\n    made: 2026-11-29", "roots:\n    made: 2026-12-01"),
            "1..4",
            "with 1 lunch: 'roots' is made on 2026-12-01",
        ),
        (WEEK + "no_lunch:\n  - {day: mon}\n", "2, 1", "with 1 lunch: no lunch is left"),
    ],
)
def test_a_number_of_lunches_that_the_week_cannot_have_is_refused(
    content: str, knob: str, what: str
) -> None:
    with pytest.raises(InputError, match=what) as caught:
        asked(lunches_knob(small(content), knob, ""), content=content)
    assert "numbers of lunches" in caught.value.mend


def test_a_grid_is_every_combination() -> None:
    one, other = yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2, 4", "")
    answer = asked(one, other)
    assert [row.values for row in answer.rows] == [
        [float(a), float(b)] for a in range(6, 10) for b in (2, 4)
    ]
    for row in answer.rows:
        content = as_edited(other, row.values[1], as_edited(one, row.values[0], WEEK))
        same_as_planned(row, content, answer)


def same_as_planned(row: WhatIfRow, content: str, answer: WhatIfFile) -> None:
    week = week_of(parse("edited", content))
    _, solved = solve_week(week)
    assert row.status == solved.status.value
    if solved.packed is None:
        assert (row.left_over, row.shape, row.none_left) == (None, None, False)
        conflict = [rule.key for rule in row.conflict]
        assert conflict == [rule.key for rule in smallest_conflict(Program(week))]
        return
    assert row.priorities == {value.name: number(value.value) for value in solved.values}
    assert row.left_over == number(sums.left_over(week, solved.packed))
    assert row.cost == number(sums.cost(week, solved.packed))
    assert row.thawed == sums.thawed(solved.packed)
    dishes = [f"{lunch.day:%a} {lunch.dish}" for lunch in solved.packed.lunches]
    assert shape_of(row, answer).dishes == dishes
    floor = week.eaters["Ada"].floors[0].amount.magnitude
    contents = [
        sums.nutrient(week, lunch, "PROCNT").amount.magnitude for lunch in solved.packed.lunches
    ]
    assert row.margin is not None
    assert row.margin.grams == pytest.approx(float(min(contents) - floor))


def shape_of(row: WhatIfRow, answer: WhatIfFile) -> Shape:
    return next(shape for shape in answer.shapes if shape.letter == row.shape)


def test_a_row_that_cannot_be_names_rules_of_which_each_is_needed() -> None:
    answer = asked(floor_knob(small(), "protein=40", "--floor"))
    (row,) = answer.rows
    assert (row.status, row.none_left) == ("infeasible", False)
    week = week_of(parse("edited", as_edited(KNOBS[2], 40, WEEK)))
    keys = {rule.key for rule in row.conflict}
    assert keys
    for left_out in keys:
        kept = [rule for rule in rules_of(week) if rule.key in keys - {left_out}]
        assert smallest_conflict(Program(week, rules=kept)) == []


@pytest.mark.parametrize(
    "order",
    ["", "priorities: [cost, left_over]\n", "priorities: [liking, minutes]\n", "priorities: []\n"],
)
def test_volumes_without_waste_are_those_of_a_second_solver(order: str) -> None:
    content = WEEK + order
    answer = asked(BEANS, content=content)
    for row in answer.rows:
        follows_a_second_solver(
            row, week_of(parse("edited", as_edited(BEANS, row.values[0], content)))
        )
    good = [row.values[0] for row in answer.rows if row.left_over == 0]
    assert said_to_leave_nothing(text(answer, chart=False)) == good


def follows_a_second_solver(row: WhatIfRow, week: Week) -> None:
    """Hold what a row says is left over against the best week of the second solver."""
    assert row.none_left == (row.left_over == 0), row.values
    reached = Asked(week).priorities(week.priorities)
    assert (reached is None) == (row.left_over is None), row.values
    if reached is not None and "left_over" in reached:
        assert row.left_over == pytest.approx(float(reached["left_over"]), abs=0.001), row.values


def said_to_leave_nothing(printed: str) -> list[float]:
    """Read the values for which a text says that nothing is left over."""
    (line,) = (line for line in printed.splitlines() if line.startswith("Nothing left over"))
    ranges = re.findall(r"(\d+)(?: to (\d+))?", line)
    return [float(at) for low, high in ranges for at in range(int(low), int(high or low) + 1)]


def test_a_row_with_something_left_over_is_not_said_to_leave_nothing() -> None:
    # Cost comes first, and the cheapest week takes the fewest rolls: beans stay in the fridge.
    content = WEEK + "priorities: [cost, left_over]\n"
    answer = asked(yield_knob(small(), "beans=8..11", ""), content=content)
    held = {row.values[0]: (row.left_over, row.none_left) for row in answer.rows}
    assert any(left and not none for left, none in held.values()), held
    assert Asked(first(small(content), "left_over")).priority("left_over") == 0
    assert said_to_leave_nothing(text(answer)) == [x for x, (left, _) in held.items() if not left]


def test_on_random_weeks_too() -> None:
    told = {True: 0, False: 0}
    for data in drawn(SMALL, sized(1, 3), 61):
        document = document_of(data)
        week = week_of(document)
        for name, batch in list(week.batches.items())[:1]:
            knob = Knob(
                "yield", name, "portions", tuple(map(Decimal, (1, 3, 6))), Decimal(batch.portions)
            )
            for row in what_if(week, [knob]).rows:
                other = whatif.turned(week, [knob], [Decimal(row.values[0])])
                follows_a_second_solver(row, other)
                told[bool(row.none_left)] += 1
    assert min(told.values()) > sized(1, 5)


def test_tiny_weeks_are_settled_by_trying_every_one() -> None:
    told = {True: 0, False: 0}
    for data in drawn(TINY, sized(2, 3), 62):
        document = document_of(data)
        week = week_of(document)
        name, batch = next(iter(week.batches.items()))
        values = tuple(Decimal(number) for number in range(1, 6))
        knob = Knob("yield", name, "portions", values, Decimal(batch.portions))
        for row in what_if(week, [knob]).rows:
            other = whatif.turned(week, [knob], [Decimal(row.values[0])])
            try:
                least = plain.best(replace(other, priorities=("left_over",)), 4_000)
            except plain.TooManyError:
                continue
            assert (least is None) == (row.status == "infeasible")
            if week.priorities[0] == "left_over":
                assert row.none_left == (least is not None and least[0][1] == 0)
            told[bool(row.none_left)] += 1
    assert min(told.values()) > sized(1, 5)


def test_it_does_not_matter_who_works(monkeypatch: pytest.MonkeyPatch) -> None:
    knob = yield_knob(small(), "beans=4..9", "--yield")
    together = asked(knob)
    monkeypatch.setattr(volumes, "FEWEST", 100)
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    alone = asked(knob)
    assert together == alone
    monkeypatch.setattr(parallel, "workers", lambda: 4)
    assert asked(knob) == alone
    sent: list[float | None] = []
    reduced = whatif._Planner.__reduce__

    def noted(work: whatif._Planner) -> tuple[type, tuple[float | None]]:
        sent.append(work.seconds)
        return reduced(work)

    monkeypatch.setattr(whatif._Planner, "__reduce__", noted)
    with joblib.parallel_config(backend="loky", n_jobs=2):
        monkeypatch.setattr(parallel, "workers", lambda: 2)
        document = parse("week.yaml", WEEK)
        assert what_if(week_of(document), [knob], stop=Stop()) == alone
    # Processes did it: each piece of work was sent to one.
    assert len(sent) == len(knob.values)
    get_reusable_executor().shutdown(wait=True)


@pytest.fixture
def one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave every week to the solver: who plans a few at once cannot be stopped between them."""
    monkeypatch.setattr(volumes, "FEWEST", 100)


@pytest.mark.usefixtures("one_by_one")
def test_a_stop_gives_the_rows_so_far() -> None:
    document = parse("week.yaml", WEEK)
    stop = Stop()
    told: list[str] = []

    def say(line: str) -> None:
        told.append(line)
        if line.startswith("2 of"):
            stop.now()

    answer = what_if(week_of(document), [BEANS], stop=stop, say=say)
    assert answer.interrupted
    assert 2 <= len(answer.rows) < len(BEANS.values)
    assert [row.values[0] for row in answer.rows] == list(range(1, len(answer.rows) + 1))
    assert "You stopped it" in text(answer)


@pytest.mark.usefixtures("one_by_one")
def test_a_stop_ends_what_runs_and_no_half_planned_row_is_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    document = parse("week.yaml", WEEK)
    stop = Stop()
    whole = [row for row in asked(BEANS).rows if row.values[0] < 7]

    def interrupted(week: Week, **how: object) -> tuple[Program, Solved]:
        assert how["stop"] is stop
        if week.batches["beans"].portions == 7:
            stop.now()
        return solve_week(week, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(whatif, "solve_week", interrupted)
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    answer = what_if(week_of(document), [BEANS], stop=stop)
    assert (answer.interrupted, answer.rows) == (True, whole)


def test_nothing_is_claimed_of_rows_that_are_not_there() -> None:
    document = parse("week.yaml", WEEK)
    stop = Stop()
    stop.now()
    for knobs in ([BEANS], [BEANS, KNOBS[1]]):
        answer = what_if(week_of(document), knobs, stop=stop)
        assert (answer.rows, answer.interrupted) == ([], True)
        printed = text(answer)
        assert "Nothing left over" not in printed
        assert "You stopped it" in printed
        assert as_svg(answer) is None


def test_what_stayed_open_is_said_to_be(monkeypatch: pytest.MonkeyPatch) -> None:
    def cut_short(week: Week, **how: object) -> tuple[Program, Solved]:
        program, solved = solve_week(week, **how)  # type: ignore[arg-type]
        unproven = tuple(replace(value, bound=None, proven=False) for value in solved.values)
        return program, replace(solved, status=Status.FEASIBLE, values=unproven)

    monkeypatch.setattr(whatif, "solve_week", cut_short)
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    answer = asked(yield_knob(small(), "beans=8..9", ""))
    assert [row.none_left for row in answer.rows] == [None, None]
    assert "For 2 of them it stayed open" in text(answer)


def test_too_many_weeks_are_refused() -> None:
    many = yield_knob(small(), "beans=1..100", "--yield")
    with pytest.raises(InputError, match="that is 10000 weeks"):
        asked(many, many)


def test_runs_and_letters() -> None:
    holds = [(8, True), (9, True), (10, False), (11, True), (12, False)]
    assert runs([(float(value), on) for value, on in holds]) == [(8, 9), (11, 11)]
    assert [letter(at) for at in (0, 25, 26, 27, 701, 702)] == ["A", "Z", "AA", "AB", "ZZ", "AAA"]


def test_what_is_said_of_values_in_any_order() -> None:
    # Of 14, 8 and 12 portions the first leaves something: 8 and 12 are one run of those tried.
    printed = text(asked(yield_knob(small(), "beans=14, 8, 12", "")), chart=False)
    assert "with 8 to 12 portions of beans (of the values tried)." in printed
    # Three values in a span of three are not every value in it.
    printed = text(asked(yield_knob(small(), "beans=12, 7, 14", "")), chart=False)
    assert "with 7 to 12 portions of beans (of the values tried)." in printed
    printed = text(asked(yield_knob(small(), "beans=9, 7, 8", "")), chart=False)
    assert "with 7 to 9 portions of beans." in printed
    grid = text(
        asked(yield_knob(small(), "beans=12, 8, 14", ""), yield_knob(small(), "roots=4, 2", ""))
    )
    assert "Nothing left over (of the values tried):" in grid
    assert "8 to 12 portions of beans with 2 to 4 portions of roots" in grid


def test_rules_that_are_turned_are_said_for_each_value() -> None:
    printed = text(asked(yield_knob(small(), "beans=1..6", "")), chart=False)
    assert "No plan with 1, 2, 3, since this cannot be kept:\n" in printed
    assert "- there are 1 to 3 portions of beans\n" in printed
    assert "- there are 4 or 5 portions of beans\n" in printed
    printed = text(asked(floor_knob(small(), "protein=60..62", "")), chart=False)
    assert "- Ada needs 60 to 62 g protein in each lunch\n" in printed


def test_a_cost_that_lacks_a_price_is_an_at_least() -> None:
    knob = yield_knob(small(), "beans=8", "")
    (row,) = asked(knob).rows
    assert row.cost_complete
    assert ">=" not in text(asked(knob))
    (row,) = (lacking := asked(knob, content=WEEK.replace("    cost: 4.00\n", ""))).rows
    assert not row.cost_complete
    assert f">= {row.cost:.2f}" in text(lacking)


def test_the_text_says_the_range_and_fits_the_terminal() -> None:
    answer = asked(BEANS)
    printed = text(answer)
    assert max(map(len, printed.splitlines())) <= 80
    good = runs([(row.values[0], bool(row.none_left)) for row in answer.rows])
    for low, high in good:
        assert (f"{low:g} to {high:g}" if low != high else f"{low:g}") in printed
    assert "Nothing left over: with " in printed
    assert "8 (now)" in printed
    grid = asked(yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2..4", ""))
    assert "grams left over; down: beans, portions; across: roots, portions" in text(grid)
    assert max(map(len, text(grid).splitlines())) <= 80


def test_the_text_is_as_it_was() -> None:
    printed = text(asked(BEANS))
    path = GOLDEN / "what-if-small.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        path.write_text(printed, encoding="utf-8")
    assert printed == path.read_text(encoding="utf-8")


def test_a_drawing_has_no_script_and_is_the_same_twice() -> None:
    answer = asked(BEANS)
    first, again = as_svg(answer), as_svg(answer)
    assert first is not None
    assert first == again
    assert "<script" not in first
    grid = as_svg(
        asked(yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2..4", ""))
    )
    assert grid is not None
    assert "<svg" in grid


IMPOSSIBLE_FIRST = """
week: {starts: 2027-09-04, days: [sat, mon, tue], guidance: us}
eaters: {Zed: {week_floors: {protein: 60 g}}}
batches: {b0: {yield: 6 portions, nutrition: {protein: 15 g}}, b1: {yield: 7 portions}}
larder: {i0: {pack: 5 pieces, nutrition: {protein: 8 g}, chilled: yes}}
dishes:
  d1: {takes: {b1: 1 to 2}}
  d3: {takes: {b0: 2}}
  d4: {extras: {i0: {portion: 1 piece}}}
"""


def test_volumes_of_which_the_first_are_impossible() -> None:
    """What no week has was taken for a number where a floor of the week counts below nothing."""
    rows = optimiser.what_if(IMPOSSIBLE_FIRST, yields="b0=1..5").rows
    told = [(row.status, row.left_over) for row in rows]
    assert told == [("infeasible", None)] * 3 + [("optimal", 1250.0), ("optimal", 1500.0)]
