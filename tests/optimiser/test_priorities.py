"""Every priority: its value counted by hand, its words, and that no part of the house lacks it.

What a priority is stands in one room. A table somewhere else that lacks one would end in a
KeyError, or would say money where packs are meant.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from models.file.reading import week_of
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.numbers import plural
from models.words.priorities import DEFAULT_ORDER, PRIORITY_NAMES, TIE_BREAK
from optimiser.explain.foils import Foils
from optimiser.explain.reasons import say_loss
from optimiser.priorities import PRIORITIES, Priority, values
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve, solve_week
from tests.models.kitchen import week_from
from tests.models.test_sums import FILE, LUNCHES, PACKED, THU, TUE, bowl, tart
from tests.models.test_sums import MON as MONDAY
from tests.oracle import highs, plain
from tests.weeks import WeekData, document_of

every = pytest.mark.parametrize("priority", PRIORITIES.values(), ids=lambda priority: priority.name)


@pytest.fixture
def week() -> Week:
    return week_from(FILE)


# -- values counted by hand --------------------------------------------------------------


def value(name: str, week: Week, packed: PackedWeek) -> Decimal:
    return PRIORITIES[name].value(week, packed)


def test_freshness(week: Week) -> None:
    # Farls are fresh until Tuesday: on Wednesday 4 - 1 thawed are a day late: 3.
    # Beans are fresh until Wednesday: on Thursday 2 are a day late: 2.
    assert value("freshness", week, PACKED) == 5


def test_being_early_makes_up_for_nothing(week: Week) -> None:
    packed = PackedWeek((tart(MONDAY, 3, "apple"), bowl(THU, 1, 0)), ())
    assert value("freshness", week, packed) == 1


def test_repeats_and_liking(week: Week) -> None:
    # Two dishes, each once more than once.
    assert value("repeats", week, PACKED) == 2
    # 2 - 1 + 2 - 1.
    assert value("liking", week, PACKED) == 2


def test_the_same_dish_for_two_eaters_is_no_repeat(week: Week) -> None:
    lunches = (LUNCHES[0], replace(LUNCHES[0], eater="Bo"), replace(LUNCHES[0], day=TUE))
    assert value("repeats", week, PackedWeek(lunches, ())) == 1


def test_file_order(week: Week) -> None:
    # Tart stands first (0), Bowl second (1); Monday weighs 4, Thursday 1: Bowl on Tuesday 3,
    # on Thursday 1. Apple is the first option (0), sauce the second (1), on Wednesday.
    assert value("file_order", week, PACKED) == 5


def test_values_name_every_priority(week: Week) -> None:
    assert values(week, PACKED) == {
        "left_over": 870,
        "repeats": 2,
        "freshness": 5,
        "thawed": 1,
        "liking": 2,
        "cost": Decimal("13.66"),
        "minutes": 20,
        # 2 of leaves, 2 of apples, 1 of sauce.
        "packs_opened": 5,
        "file_order": 5,
    }


# -- packs opened, in the smallest weeks ------------------------------------------------


OATS, RYE = {"goes_in": {"oats": "60 g"}}, {"goes_in": {"rye": "60 g"}}


def planned(larder: WeekData, *priorities: str, days: str = "mon tue") -> Solved:
    """Plan a week of two dishes, each from a pack of its own, and hold it against two others."""
    data: WeekData = {
        "week": {"starts": "2026-11-30", "days": days.split(), "guidance": "us"},
        "eaters": {"Ada": {"likes": {"Rye": Decimal(1)}}},
        "larder": {
            "oats": {"pack": "120 g", "chilled": "no"},
            "rye": {"pack": "60 g", "chilled": "no"},
        }
        | larder,
        "dishes": {"Oats": {"kind": "a"} | OATS, "Rye": {"kind": "b"} | RYE},
        "priorities": [*priorities],
    }
    week = week_of(document_of(data))
    solved = solve(Program(week))
    reached = tuple((value.name, Fraction(value.value)) for value in solved.values)
    assert reached == highs.best(week).values == plain.best(week, 10_000)
    return solved


def dishes(solved: Solved) -> list[str]:
    assert solved.packed is not None
    return [lunch.dish for lunch in solved.packed.lunches]


def opened(solved: Solved) -> Decimal:
    return next(value.value for value in solved.values if value.name == "packs_opened")


def test_one_pack_that_keeps_serves_two_days() -> None:
    solved = planned({}, "packs_opened")
    assert (dishes(solved), opened(solved)) == (["Oats", "Oats"], 1)


def test_what_is_liked_more_opens_a_pack_a_day() -> None:
    solved = planned({}, "liking", "packs_opened")
    assert (dishes(solved), opened(solved)) == (["Rye", "Rye"], 2)


def test_a_pack_that_spoils_is_opened_anew() -> None:
    # Good on its first day only, the pack for two days serves one: as many as of rye.
    spoils = {"oats": {"pack": "120 g", "chilled": "no", "opened_life": Decimal(0)}}
    solved = planned(spoils, "packs_opened", "liking")
    assert (dishes(solved), opened(solved)) == (["Rye", "Rye"], 2)
    keeps_a_day = {"oats": {"pack": "120 g", "chilled": "no", "opened_life": Decimal(1)}}
    solved = planned(keeps_a_day, "packs_opened", "liking")
    assert (dishes(solved), opened(solved)) == (["Oats", "Oats"], 1)


def test_a_pack_begun_is_a_pack_opened() -> None:
    solved = planned({}, "packs_opened", days="mon tue wed")
    # Three of oats take one and a half packs of two.
    assert opened(solved) == 2


def test_it_counts_only_where_a_week_names_it() -> None:
    assert "packs_opened" not in DEFAULT_ORDER


def test_a_dish_that_opens_more_says_so() -> None:
    week = week_of(
        document_of(
            {
                "week": {"starts": "2026-11-30", "days": ["mon", "tue"], "guidance": "us"},
                "eaters": {"Ada": {}},
                "larder": {
                    "oats": {"pack": "120 g", "chilled": "no"},
                    "rye": {"pack": "60 g", "chilled": "no"},
                },
                "dishes": {"Oats": {"kind": "a"} | OATS, "Rye": {"kind": "b"} | RYE},
                "priorities": ["packs_opened"],
            }
        )
    )
    program, solved = solve_week(week)
    foils = Foils(program, solved)
    verdict = foils.verdict([foils.dish(foils.slot("Ada", week.days[0]), "Rye")])
    assert say_loss(verdict, "EUR") == "1 more pack would be opened"


# -- names and words ---------------------------------------------------------------------


def test_the_week_file_knows_the_same_priorities_as_there_are_rooms() -> None:
    assert tuple(PRIORITIES) == PRIORITY_NAMES
    assert set(DEFAULT_ORDER) < set(PRIORITY_NAMES)
    assert PRIORITY_NAMES[-1] == TIE_BREAK
    titles = [priority.title for priority in PRIORITIES.values()]
    assert len(set(titles)) == len(titles)


@every
def test_a_loss_is_said_with_its_number(priority: Priority) -> None:
    exact = priority.say_loss(Decimal(3), "EUR", exact=True)
    least = priority.say_loss(Decimal(3), "EUR")
    money = priority.unit == "money"
    assert ("EUR 3.00" if money else f"3 {priority.unit}") in exact.replace(" more ", " ")
    assert "at least" not in exact
    assert "at least 3" in least.replace("EUR ", "")
    assert "{" not in exact


@every
def test_nothing_known_of_a_loss_is_said_without_a_number(priority: Priority) -> None:
    unsaid = priority.say_loss(None, "EUR")
    assert unsaid == priority.say_loss(Decimal(0), "EUR")
    assert not any(mark.isdigit() for mark in unsaid)


@every
def test_one_of_a_unit_is_said_in_the_singular(priority: Priority) -> None:
    if priority.unit in ("g", "min", "money"):
        assert priority.units(1) == priority.units(2) == priority.unit
    else:
        assert priority.unit == plural(priority.units(1)) != priority.units(1)
        assert priority.units(2) == priority.units(0) == priority.unit
    assert priority.units(1) in priority.amount(1) or priority.unit == "money"


@every
def test_a_change_is_said_with_its_sign(priority: Priority) -> None:
    assert priority.say_change(Decimal(0), "EUR") == ""
    more, less = priority.say_change(Decimal(2), "EUR"), priority.say_change(Decimal(-1), "EUR")
    assert more.startswith("+2")
    assert less.startswith("-1")
    assert more.endswith(priority.change)
    assert ("EUR" in more) == (priority.unit == "money")


@every
def test_a_narrow_column_says_which_way_is_worse(priority: Priority) -> None:
    short = priority.short(2, "EUR")
    assert short.startswith("-2" if priority.most else "+2")
    assert short.endswith(priority.column or "EUR")
    assert len(short) <= 12


def test_a_loss_of_less_than_is_said_is_rounded_down() -> None:
    # "At least" is true of less, not of more.
    left = PRIORITIES["left_over"]
    assert left.say_loss(Decimal("30.19")) == "at least 30.1 g more would be left over"
    assert left.say_loss(Decimal("0.09")) == "food would be left over"
    cost = PRIORITIES["cost"]
    assert cost.say_loss(Decimal("1.999"), exact=True) == "the week would cost 1.99 more"


# What each way of saying a value gives, for each sort of unit: one with decimals that its title
# does not name, money, one counted in the singular, and one of which more is better.
WORDED = {
    "left_over": {
        "number": ("2.5", "2.5"),
        "amount": ("2.5 g", "2.5 g"),
        "titled": ("left over 2.5 g", "left over 2.5 g"),
        "heading": ("left over, g", "left over, g"),
        "say_loss": ("at least 2.5 g more would be left over",) * 2,
        "say_change": ("+2.5 g left over", "+2.5 g left over"),
        "short": ("+2.5 g left", "+2.5 g left"),
    },
    "cost": {
        "number": ("2.50", "EUR 2.50"),
        "amount": ("2.50", "EUR 2.50"),
        "titled": ("cost 2.50", "cost EUR 2.50"),
        "heading": ("cost", "cost, EUR"),
        "say_loss": (
            "the week would cost at least 2.50 more",
            "the week would cost at least EUR 2.50 more",
        ),
        "say_change": ("+2.50 of cost", "+2.50 EUR of cost"),
        "short": ("+2.50", "+2.50 EUR"),
    },
    "thawed": {
        "number": ("1", "1"),
        "amount": ("1 portion", "1 portion"),
        "titled": ("thawed 1 portion", "thawed 1 portion"),
        "heading": ("thawed, portions", "thawed, portions"),
        "say_loss": ("at least 1 more portion would be thawed",) * 2,
        "say_change": ("+1 portion thawed", "+1 portion thawed"),
        "short": ("+1 thawed", "+1 thawed"),
    },
    "freshness": {
        "titled": ("days past best-by 1", "days past best-by 1"),
        "heading": ("days past best-by", "days past best-by"),
    },
    "liking": {"short": ("-1 liked", "-1 liked")},
}


@pytest.mark.parametrize("name", WORDED)
def test_a_value_is_said_with_its_unit_once(name: str) -> None:
    priority = PRIORITIES[name]
    value = Decimal("2.5") if name in {"left_over", "cost"} else Decimal(1)
    for way, expected in WORDED[name].items():
        say = getattr(priority, way)
        given = () if way == "heading" else (value,)
        assert (say(*given), say(*given, "EUR")) == expected, way


def test_a_change_is_rounded_and_said_with_the_decimals_of_its_unit() -> None:
    left, cost = PRIORITIES["left_over"], PRIORITIES["cost"]
    assert left.say_change(Decimal("0.04")) == cost.say_change(Decimal("0.004")) == ""
    assert left.say_change(Decimal("-3.00")) == "-3 g left over"
    assert left.say_change(Decimal("1.06")) == "+1.1 g left over"
    assert cost.say_change(Decimal("-1.0")) == "-1.00 of cost"
    assert PRIORITIES["minutes"].say_change(Decimal(10)) == "+10 min of packing"
    assert (cost.column_unit(), cost.column_unit("EUR")) == ("", "EUR")
