"""What-ifs: every row is the plan of the edited file; ranges are exact; workers do not matter."""

from __future__ import annotations

from decimal import Decimal

import joblib
import pytest

from models import sums
from models.editing import edited
from models.errors import InputError
from models.reading import week_of
from models.week import Week
from models.whatifs import Knob, floor_knob, lunches_knob, yield_knob
from models.yamltext import parse
from optimiser import parallel, whatif
from optimiser.cpsat import Stop
from optimiser.foils import smallest_conflict
from optimiser.program import Program
from optimiser.report.whatif import as_svg, runs, text
from optimiser.rules import rules_of
from optimiser.solve import solve_week
from optimiser.whatif import letter, what_if
from optimiser.writing import number

from ..weeks import SMALL, document_of
from .asking import drawn
from .other_ways import Asked

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
  rolls: {pack: 4 pieces, price: 1.20, allergens: none, nutrition: {protein: 3 g}, per: 1 piece}
  dip: {pack: 100 g, price: 1.50, allergens: none, opened_life: 2, nutrition: {protein: 5 g}}
dishes:
  Bowl: {kind: bowl, takes: {beans: 2 to 3, roots: 0 to 1}, minutes: 4}
  Roll: {kind: bread, takes: {beans: 1 to 2}, goes_in: {rolls: 1 piece, dip: 50 g}, minutes: 6}
  Plate: {kind: plate, takes: {beans: 2, roots: 1 to 2}, goes_in: {rolls: 1 piece}, minutes: 5}
  Soup: {kind: soup, takes: {beans: 3 to 4}, minutes: 7}
variety: {most_times: 2, kinds_apart: [bowl]}
"""


def asked(*knobs: Knob, content: str = WEEK) -> whatif.WhatIfFile:
    document = parse("week.yaml", content)
    return what_if(document, week_of(document), list(knobs))


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
    found = asked(knob)
    assert [row.values for row in found.rows] == [[float(value)] for value in knob.values]
    for row in found.rows:
        same_as_planned(row, as_edited(knob, row.values[0], WEEK), found)


def test_a_grid_is_every_combination() -> None:
    one, other = yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2, 4", "")
    found = asked(one, other)
    assert [row.values for row in found.rows] == [
        [float(a), float(b)] for a in range(6, 10) for b in (2, 4)
    ]
    for row in found.rows:
        content = as_edited(other, row.values[1], as_edited(one, row.values[0], WEEK))
        same_as_planned(row, content, found)


def same_as_planned(row: whatif.WhatIfRow, content: str, found: whatif.WhatIfFile) -> None:
    week = week_of(parse("edited", content))
    _, solved = solve_week(week)
    assert row.status == solved.status.value
    if solved.packed is None:
        assert (row.left_over, row.shape, row.no_waste) == (None, None, False)
        conflict = [rule.key for rule in row.conflict]
        assert conflict == [rule.key for rule in smallest_conflict(Program(week))]
        return
    assert row.priorities == {value.name: number(value.value) for value in solved.values}
    assert row.left_over == number(sums.left_over(week, solved.packed))
    assert row.cost == number(sums.cost(week, solved.packed))
    assert row.thawed == sums.thawed(solved.packed)
    shape = next(one for one in found.shapes if one.letter == row.shape)
    assert shape.dishes == [f"{lunch.day:%a} {lunch.dish}" for lunch in solved.packed.lunches]
    floor = week.eaters["Ada"].floors[0].amount.magnitude
    contents = [
        sums.nutrient(week, lunch, "PROCNT").amount.magnitude for lunch in solved.packed.lunches
    ]
    assert row.margin is not None
    assert row.margin.grams == pytest.approx(float(min(contents) - floor))


def test_a_row_that_cannot_be_names_rules_of_which_each_is_needed() -> None:
    found = asked(floor_knob(small(), "protein=40", "--floor"))
    (row,) = found.rows
    assert (row.status, row.no_waste) == ("infeasible", False)
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
    found = asked(BEANS, content=content)
    for row in found.rows:
        week = week_of(parse("edited", as_edited(BEANS, row.values[0], content)))
        left = Asked(week).priority("left_over")
        assert row.no_waste == (left == 0), row.values


def test_on_random_weeks_too() -> None:
    told = {True: 0, False: 0}
    for data in drawn(SMALL, 3, 61):
        document = document_of(data)
        week = week_of(document)
        for name, batch in list(week.batches.items())[:1]:
            knob = Knob(
                "yield", name, "portions", tuple(map(Decimal, (1, 3, 6))), Decimal(batch.portions)
            )
            for row in what_if(document, week, [knob]).rows:
                other = whatif.turned(document, week, [knob], [Decimal(row.values[0])])
                left = Asked(other).priority("left_over")
                assert row.no_waste == (left == 0)
                told[bool(row.no_waste)] += 1
    assert min(told.values()) > 5


def test_it_does_not_matter_who_works(monkeypatch: pytest.MonkeyPatch) -> None:
    knob = yield_knob(small(), "beans=4..9", "--yield")
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    alone = asked(knob)
    monkeypatch.setattr(parallel, "workers", lambda: 4)
    assert asked(knob) == alone
    with joblib.parallel_config(backend="loky", n_jobs=2):
        monkeypatch.setattr(parallel, "workers", lambda: 2)
        assert asked(knob) == alone


def test_a_stop_gives_the_rows_so_far() -> None:
    document = parse("week.yaml", WEEK)
    stop = Stop()
    told: list[str] = []

    def say(line: str) -> None:
        told.append(line)
        if line.startswith("2 of"):
            stop.now()

    found = what_if(document, week_of(document), [BEANS], stop=stop, say=say)
    assert found.interrupted
    assert 2 <= len(found.rows) < len(BEANS.values)
    assert [row.values[0] for row in found.rows] == list(range(1, len(found.rows) + 1))
    assert "You stopped it" in text(found)


def test_too_many_weeks_are_refused() -> None:
    many = yield_knob(small(), "beans=1..100", "--yield")
    with pytest.raises(InputError, match="that is 10000 weeks"):
        asked(many, many)


def test_runs_and_letters() -> None:
    holds = [(8, True), (9, True), (10, False), (11, True), (12, False)]
    assert runs([(float(value), on) for value, on in holds]) == [(8, 9), (11, 11)]
    assert [letter(at) for at in (0, 25, 26, 27, 701, 702)] == ["A", "Z", "AA", "AB", "ZZ", "AAA"]


def test_the_text_says_the_range_and_fits_the_terminal() -> None:
    found = asked(BEANS)
    said = text(found)
    assert max(map(len, said.splitlines())) <= 80
    good = runs([(row.values[0], bool(row.no_waste)) for row in found.rows])
    for low, high in good:
        assert (f"{low:g} to {high:g}" if low != high else f"{low:g}") in said
    assert "Nothing left over: with " in said
    assert "8 (now)" in said
    grid = asked(yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2..4", ""))
    assert "grams left over; down: beans, portions; across: roots, portions" in text(grid)
    assert max(map(len, text(grid).splitlines())) <= 80


def test_a_drawing_has_no_script_and_is_the_same_twice() -> None:
    found = asked(BEANS)
    first, again = as_svg(found), as_svg(found)
    assert first is not None
    assert first == again
    assert "<script" not in first
    grid = as_svg(
        asked(yield_knob(small(), "beans=6..9", ""), yield_knob(small(), "roots=2..4", ""))
    )
    assert grid is not None
    assert "<svg" in grid
