"""Published rules on how long food keeps, told in the project's own way of counting days.

An off-by-one here makes somebody ill, and authorities do not count alike: some call the
day of making the first day, some count days after it, some count hours. The project says
of fridge life *n* that a portion is eaten on or before the day it is made plus *n*.

Sources:

- United States: FDA, Food Code 2022, 3-501.17 (A): ready-to-eat food held at 5 °C (41 °F)
  or less is eaten or thrown away within 7 days at most, and "the day of preparation shall
  be counted as Day 1". So a life of 7 days is stored as 6.
- Scotland: Food Standards Scotland, "Storing food": eat leftovers within two days. England
  and Wales: Food Standards Agency, advice on leftovers: within two days (48 hours).
- Rice: Food Standards Agency: keep cooked rice in the fridge for no more than one day
  (24 hours).

Hours are finer than the dates of a week file: two days and one day are counted here as
the second and the first day after the one it is made on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest

from models.week.kitchen import cooling
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.week import Week
from models.words.errors import InputError
from optimiser.rules import faults_of, rules_of
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import solve

from .claims import Cases, claim
from .rows_in_highs import week_from


@dataclass(frozen=True, slots=True)
class Keeping:
    """One published rule with its worked dates.

    Attributes
    ----------
    life
        Days as the project stores them.
    last
        The last date the authority's own counting allows.
    guidance, keeps_as
        Where the project's own table has it.
    """

    source: str
    made: date
    life: int
    last: date
    guidance: str
    keeps_as: str


WEDNESDAY_1_APRIL = date(2026, 4, 1)
SUNDAY_29_MARCH = date(2026, 3, 29)

FOOD_CODE = Keeping(
    source="FDA Food Code 2022, 3-501.17: 7 days at 5 °C, the day of preparation is Day 1",
    made=WEDNESDAY_1_APRIL,
    life=6,
    last=date(2026, 4, 7),
    guidance="us",
    keeps_as="date-marked ready-to-eat food",
)
LEFTOVERS = Keeping(
    source="Food Standards Scotland and Food Standards Agency: leftovers within two days",
    made=SUNDAY_29_MARCH,
    life=2,
    last=date(2026, 3, 31),  # Tuesday
    guidance="uk",
    keeps_as="leftovers, plant",
)
RICE = Keeping(
    source="Food Standards Agency: cooked rice within 24 hours",
    made=SUNDAY_29_MARCH,
    life=1,
    last=date(2026, 3, 30),  # Monday
    guidance="uk",
    keeps_as="cooked rice",
)

RULES = [
    pytest.param(FOOD_CODE, id="Food Code"),
    pytest.param(LEFTOVERS, id="leftovers"),
    pytest.param(RICE, id="rice"),
]


def week_of(keeping: Keeping, lunch: date, *, stated: bool = True) -> Week:
    """Write a week of one lunch that can only be the batch.

    Parameters
    ----------
    stated
        Whether the file says how long it keeps; else the project's table does.
    """
    life = f'fridge_life: {keeping.life} days\n    life_source: "{keeping.source}"'
    return week_from(
        f"""
week: {{starts: {lunch}, days: [{lunch:%a}], guidance: {keeping.guidance}}}
eaters:
  Ada: {{}}
batches:
  stew:
    made: {keeping.made}
    yield: 1 portion
    portion: 300 g
    nutrition: {{protein: 20 g}}
    keeps_as: {keeping.keeps_as}
    {life if stated else ""}
    freezes: no
    allergens: none
dishes:
  bowl:
    kind: stew
    takes: {{stew: 1}}
"""
    )


def packed(lunch: date) -> PackedWeek:
    """Pack that lunch by hand, whatever the date."""
    portions = (PackedPortions("stew", 1, 0),)
    return PackedWeek((PackedLunch("Ada", lunch, "bowl", portions, {}, {}),), ())


def test_the_weekdays_are_what_the_examples_say() -> None:
    assert f"{LEFTOVERS.made:%A}" == f"{RICE.made:%A}" == "Sunday"
    assert f"{LEFTOVERS.last:%A}" == "Tuesday"
    assert f"{RICE.last:%A}" == "Monday"


def test_seven_days_with_the_first_day_counted_end_on_the_seventh_of_april() -> None:
    days = [WEDNESDAY_1_APRIL + timedelta(days=ahead) for ahead in range(7)]
    assert len(days) == 7
    assert days[-1] == FOOD_CODE.last
    assert FOOD_CODE.life == len(days) - 1


@pytest.mark.parametrize("keeping", RULES)
def test_the_use_by_date_is_the_last_date_the_authority_allows(keeping: Keeping) -> None:
    batch = week_of(keeping, keeping.last).batches["stew"]
    assert batch.use_by == keeping.last
    assert batch.life.source == keeping.source
    assert batch.life.risk == ""


@claim(
    "the last date of date-marked food, leftovers and rice, as each authority counts",
    "Food Code: 3-501.17; FSS storing; FSA chilling: leftovers; NHS rice",
    of="dates",
)
def test_the_table_gives_that_date_where_the_file_states_none() -> Cases:
    for keeping in (FOOD_CODE, LEFTOVERS, RICE):
        batch = week_of(keeping, keeping.last, stated=False).batches["stew"]
        assert batch.life.source.endswith(f", as {keeping.keeps_as}")
        assert not batch.life.stated
        yield keeping.source, keeping.last, batch.use_by


@claim(
    "minutes until cooked food is in the fridge: US, hot days, UK, rice",
    "Leftovers: 2 hours, above 90 °F 1 hour; FSA chilling: 1 to 2 hours; NHS rice: 1 hour",
    within="0 min",
)
def test_food_cools_as_fast_as_is_asked() -> Cases:
    for guidance, hot, rice, asked in (
        ("us", False, False, 120),
        ("us", True, False, 60),
        ("uk", False, False, (60, 120)),
        ("uk", False, True, 60),
    ):
        yield guidance, asked, cooling(guidance, hot=hot, rice=rice).minutes


@pytest.mark.parametrize("keeping", RULES)
def test_a_day_more_is_only_planned_at_the_cooks_own_risk(keeping: Keeping) -> None:
    longer = replace(keeping, life=keeping.life + 1)
    with pytest.raises(InputError, match="is longer than is published"):
        week_of(longer, keeping.last)
    taken = replace(longer, keeps_as=f"{keeping.keeps_as}\n    own_risk: yes")
    batch = week_of(taken, keeping.last).batches["stew"]
    assert batch.use_by == keeping.last + timedelta(days=1)
    assert batch.life.risk.startswith("1 day as" if keeping.life == 1 else f"{keeping.life} days")


@pytest.mark.parametrize("keeping", RULES)
def test_it_is_packed_from_the_fridge_on_every_date_up_to_the_last(keeping: Keeping) -> None:
    for ahead in range(1, (keeping.last - keeping.made).days + 1):
        lunch = keeping.made + timedelta(days=ahead)
        week = week_of(keeping, lunch)
        solved = solve(Program(week), seconds=5)
        assert solved.status is Status.OPTIMAL, lunch
        assert solved.packed is not None
        assert solved.packed.lunches[0].portions == (PackedPortions("stew", 1, 0),)
        assert not list(faults_of(week, solved.packed))
        assert not list(faults_of(week, packed(lunch)))


@pytest.mark.parametrize("keeping", RULES)
def test_it_is_not_packed_on_the_date_after(keeping: Keeping) -> None:
    lunch = keeping.last + timedelta(days=1)
    assert solve(Program(week_of(keeping, lunch)), seconds=5).status is Status.INFEASIBLE


@pytest.mark.parametrize("keeping", RULES)
def test_the_solver_is_held_back_by_fridge_life_and_nothing_else(keeping: Keeping) -> None:
    week = week_of(keeping, keeping.last + timedelta(days=1))
    others = [rule for rule in rules_of(week) if rule.key != "fridge life:stew"]
    solved = solve(Program(week, rules=others), seconds=5)
    assert solved.status is Status.OPTIMAL


@pytest.mark.parametrize("keeping", RULES)
def test_the_audit_finds_the_date_after_without_a_solver(keeping: Keeping) -> None:
    lunch = keeping.last + timedelta(days=1)
    faults = list(faults_of(week_of(keeping, lunch), packed(lunch)))
    assert [fault.rule for fault in faults] == ["fridge life:stew"]
    last = keeping.last
    assert f"use by {last:%a} {last.day} {last:%b}" in faults[0].what
