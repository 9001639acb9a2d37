"""Reminders, labels and what is paid tell of what is there, and of nothing else."""

from __future__ import annotations

import re

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from optimiser.planning import plan_week
from optimiser.report.labels import lines
from optimiser.report.plan import text as plan_text
from optimiser.report.shop import cost
from optimiser.sheets.calendar import diary
from optimiser.sheets.labels import labels
from optimiser.sheets.shop import shopping
from optimiser.solve.week import solve_week

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us}
eaters: {Ada: {}}
batches:
  stew:
    made: 2026-11-29
    yield: YIELD portions
    portion: 100 g
    fridge_life: LIFE
    life_source: the cook
dishes:
  Stew: {kind: hot, takes: {stew: 1}, microwave: yes}
place: {microwave: yes}
"""


BREAD = """larder: {bread: {pack: 10 pieces, chilled: no, price: 2.50}}
dishes:
  Bread: {kind: cold, goes_in: {bread: 1 piece}}
"""


@pytest.mark.parametrize(
    ("portions", "life", "days"),
    [
        (3, 4, []),  # Eaten by Wednesday, a day before.
        (4, 4, ["2026-12-03"]),  # A portion is left.
        (3, 3, ["2026-12-02"]),  # The last is eaten on that day.
    ],
)
def test_what_is_eaten_has_no_last_day(portions: int, life: int, days: list[str]) -> None:
    text = WEEK.replace("YIELD", str(portions)).replace("LIFE", str(life))
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    entries = [entry for entry in diary(week, packed).entries if entry.kind == "use by"]
    assert [str(entry.begins)[:10] for entry in entries] == days
    assert all(entry.title == "Use by today: stew" for entry in entries)


def test_a_label_says_how_many_are_for_which_day() -> None:
    text = WEEK.replace("YIELD", "5").replace("LIFE", "4").replace("stew: 1", "stew: 1 to 2")
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    (label,) = labels(week, packed).labels
    eaten = {lunch.day: lunch.of("stew") for lunch in packed.lunches}
    assert sorted(eaten.values()) == [1, 2, 2]
    assert dict(zip(label.days, label.counts, strict=True)) == eaten
    days = ", ".join(f"{day:%a} {portions}" for day, portions in eaten.items())
    assert f"for {days}" in [*lines(label)]


def test_portions_of_no_lunch_are_spare_and_what_is_gone_has_no_label() -> None:
    text = WEEK.replace("YIELD", "5").replace("LIFE", "4\n    gone: 1")
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    (label,) = labels(week, packed).labels
    assert (label.portions, label.counts) == (4, [1, 1, 1])
    assert "for Mon 1, Tue 1, Wed 1; 1 spare" in [*lines(label)]
    nothing = WEEK.replace("YIELD", "2").replace("LIFE", "4\n    gone: 2")
    nothing = nothing.replace("dishes:\n", BREAD)
    week = week_of(parse("week.yaml", nothing))
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert labels(week, packed).labels == []


def test_what_is_paid_and_what_the_lunches_cost_are_two_sums() -> None:
    text = WEEK.replace("YIELD", "3").replace("LIFE", "4\n    cost: 6.00")
    text = text.replace("dishes:\n", "cupboard: {bread: 4 pieces}\n" + BREAD)
    text = text.replace("{stew: 1}, ", "{stew: 1}, goes_in: {bread: 2 pieces}, ")
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    answer = shopping(week, packed)
    # Six slices are eaten, of which four were there: a pack is bought for two.
    assert (answer.cost, answer.used, answer.used_complete) == (2.5, 7.5, True)
    said = cost(answer)
    assert said.startswith("2.50. The lunches cost 7.50: ")
    unpriced = week_of(parse("week.yaml", text.replace(", price: 2.50", "")))
    answer = shopping(unpriced, packed)
    assert "The lunches cost at least 6.00: " in cost(answer)
    plan = plan_week(unpriced, reasons=False)
    assert re.search(r"^cost +at least 6.00  proven$", plan_text(plan, full=True), re.MULTILINE)
    assert "at least 6.00, no packing times given" in plan_text(plan, full=True)
    assert "cost at least 6.00" in plan_text(plan)
