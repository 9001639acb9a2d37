"""Eaters whom no rule tells apart, counted together and held against each alone.

Counting alike eaters together is what makes a family's week quick to prove. A bound that is
too good would make a poor plan look proven, and one lunch must not pay for another's floor;
so the week is solved both ways and has to come out the same.
"""

from __future__ import annotations

from copy import deepcopy
from decimal import Decimal
from typing import Any

import pytest

from models.file.reading import read_week, week_of
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import alike, each_alone
from optimiser.rules import faults_of
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, counts_of, solve, solve_week
from tests.depth import sized
from tests.optimiser.asking import drawn, keeps_every_row
from tests.weeks import SMALL, THEMES, TINY, WeekData, document_of


def reached(solved: Solved) -> dict[str, Decimal] | None:
    """Give the value of each priority that a cook may name; nothing without a plan."""
    if solved.packed is None:
        assert solved.status == "infeasible"
        return None
    assert solved.status == "optimal"
    said = {value.name: value for value in solved.values if value.name != TIE_BREAK}
    assert all(value.proven and value.bound == value.value for value in said.values())
    return {name: value.value for name, value in said.items()}


def assert_comes_out_the_same(week: Week) -> bool:
    """Solve a week both ways; tell whether there was a plan."""
    program, together = solve_week(week)
    alone = solve(Program(week))
    assert reached(together) == reached(alone)
    # The order of the file may stay open among alike eaters, but not be claimed falsely.
    best = {value.name: value.value for value in alone.values}
    proven = {value.name: value.value for value in together.values if value.proven}
    assert proven == {name: best[name] for name in proven}
    assert program.board.groups == each_alone(week)
    if together.packed is None:
        return False
    assert list(faults_of(week, together.packed)) == []
    counts = counts_of(program, together)
    assert counts is not None
    assert keeps_every_row(program.rows, counts)
    return True


# -- random weeks -----------------------------------------------------------------


def same_entries(data: WeekData, week: Week) -> set[frozenset[str]]:
    """Pair the eaters whose entries in the file and whose lunches are the same."""
    lunches = {
        name: [(lunch.day, lunch.place) for lunch in week.lunches if lunch.eater == name]
        for name in week.eaters
    }
    entries = data["eaters"]
    return {
        frozenset({entry, other})
        for entry in entries
        for other in entries
        if entry < other and entries[entry] == entries[other] and lunches[entry] == lunches[other]
    }


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_random_weeks_come_out_the_same(theme: str) -> None:
    judged = planned = 0
    at = THEMES.index(theme)
    many = [
        drawn(size, number, 3) for size, number in ((SMALL, sized(15, 60)), (TINY, sized(8, 30)))
    ]
    for weeks in many:
        each = len(weeks) // len(THEMES)
        for data in weeks[at * each : (at + 1) * each]:
            week = week_of(document_of(data))
            if len(alike(week)) < len(week.eaters):
                judged += 1
                planned += assert_comes_out_the_same(week)
    assert judged >= sized(1, 12)
    assert planned >= sized(1, 5)


def test_groups_hold_those_whose_entries_are_the_same() -> None:
    paired = 0
    for data in drawn(SMALL, sized(9, 60), 3):
        week = week_of(document_of(data))
        groups = alike(week)
        assert sorted(name for group in groups for name in group) == sorted(week.eaters)
        order = list(week.eaters)
        assert all(list(group) == sorted(group, key=order.index) for group in groups)
        together = [set(group) for group in groups]
        pairs = same_entries(data, week)
        assert all(any(pair <= group for group in together) for pair in pairs)
        paired += len(pairs)
        assert each_alone(week) == tuple((name,) for name in week.eaters)
    assert paired >= sized(5, 50)


# -- handmade weeks ---------------------------------------------------------------


def kitchen(eaters: int, **changes: Any) -> WeekData:
    """Make a week of alike eaters: two batches, three dishes, a choice and an extra."""
    data: WeekData = {
        "week": {"starts": "2026-11-30", "days": ["mon", "tue", "wed"], "guidance": "us"},
        "eaters": {name: {"floors": {"protein": "9 g"}} for name in ("Ada", "Bo", "Cy")[:eaters]},
        "batches": {
            "beans": {
                "made": "2026-11-29",
                "yield": f"{3 * eaters + 1} portions",
                "portion": "60 g",
                "nutrition": {"protein": "4.4 g", "energy": "78 kcal"},
                "cost": Decimal("3.90"),
                "fridge_life": "1 to 2",
                "freezes": "yes",
                "freezer": "2 portions",
                "allergens": ["celery"],
                "room": "65 mL",
                "texture": "wet",
            },
            "roots": {
                "made": "2026-11-29",
                "yield": f"{2 * eaters + 1} portions",
                "portion": "70 g",
                "nutrition": {"protein": "1.1 g", "energy": "64 kcal"},
                "fridge_life": "3 to 4",
                "allergens": "none",
                "room": "90 mL",
            },
        },
        "larder": {
            "plait": {
                "pack": "6 pieces",
                "chilled": "no",
                "price": Decimal("1.35"),
                "nutrition": {"protein": "5.9 g", "energy": "171 kcal"},
                "allergens": ["gluten"],
                "texture": "crisp",
            },
            "leaves": {
                "pack": "90 g",
                "chilled": "no",
                "price": Decimal("1.20"),
                "opened_life": Decimal(1),
                "nutrition": {"protein": "2.3 g", "energy": "23 kcal"},
                "allergens": "none",
                "room": "300 mL",
                "texture": "crisp",
            },
            "seeds": {
                "pack": "150 g",
                "chilled": "no",
                "price": Decimal("2.40"),
                "nutrition": {"protein": "30 g", "energy": "559 kcal"},
                "allergens": "none",
            },
            "apple": {
                "pack": "1 piece",
                "chilled": "no",
                "price": Decimal("0.45"),
                "nutrition": {"protein": "0.4 g", "energy": "77 kcal"},
                "allergens": "none",
            },
        },
        "choices": {"side": [{"apple": "1 piece"}, {"seeds": "20 g"}, {"leaves": "30 g"}]},
        "dishes": {
            "Tart": {
                "kind": "bread",
                "takes": {"beans": "1 to 2"},
                "goes_in": {"plait": "1 piece"},
                "choices": ["side"],
                "minutes": Decimal(5),
            },
            "Bowl": {
                "kind": "grain",
                "takes": {"beans": "0 to 3", "roots": "1 to 2"},
                "choices": ["side"],
                "extras": {"seeds": {"portion": "10 g", "most": Decimal(2)}},
                "minutes": Decimal(3),
            },
            "Salad": {
                "kind": "salad",
                "takes": {"roots": "1 to 3"},
                "goes_in": {"leaves": "30 g", "seeds": "20 g"},
                "minutes": Decimal(4),
            },
        },
        "boxes": {"tin": {"compartments": ["260 mL", "140 mL"], "pots": ["60 mL"]}},
    }
    return data | changes


def for_everyone(**wishes: Any) -> dict[str, Any]:
    """Give every eater the same wishes."""
    return {"wishes": wishes}


ALIKE: dict[str, dict[str, Any]] = {
    "a floor": {},
    "a floor only choices reach": for_everyone(floors={"protein": "11.5 g"}),
    "a floor that extras reach": for_everyone(floors={"protein": "14 g"}),
    "a floor too high": for_everyone(floors={"protein": "40 g"}),
    "a ceiling": for_everyone(ceilings={"energy": "330 kcal"}),
    "a floor and a ceiling": for_everyone(
        floors={"protein": "9 g"}, ceilings={"energy": "320 kcal"}
    ),
    "a floor over the week": for_everyone(week_floors={"protein": "36 g"}),
    "a ceiling over the week": for_everyone(week_ceilings={"energy": "900 kcal"}),
    "likes": for_everyone(likes={"Tart": Decimal(2), "Salad": Decimal(-1)}),
    "a box": for_everyone(box="tin"),
    "an allergen": for_everyone(must_not={"allergens": ["gluten"]}),
    "a food": for_everyone(must_not={"foods": ["seeds"]}),
    "each dish once": {"variety": {"most_times": Decimal(1)}},
    "no dish two days running": {"variety": {"days_between": Decimal(1)}},
    "kinds apart": {"variety": {"kinds_apart": ["bread", "grain"]}},
    "a choice once": {"variety": {"same_choice": Decimal(1)}},
    "a batch on one day running": {"variety": {"batch_running": Decimal(1)}},
    "cost first": {"priorities": ["cost", "left_over"]},
    "repeats first": {"priorities": ["repeats", "liking", "minutes"]},
    "thawing first": {"priorities": ["thawed", "freshness", "left_over"]},
    "no named priority": {"priorities": []},
}


def week_with(eaters: int, changes: dict[str, Any]) -> Week:
    data = kitchen(eaters, **{key: value for key, value in changes.items() if key != "wishes"})
    if "wishes" in changes:
        data["eaters"] = {name: deepcopy(changes["wishes"]) for name in data["eaters"]}
    return week_of(document_of(data))


@pytest.mark.parametrize("name", ALIKE)
@pytest.mark.parametrize("eaters", [2, 3][: sized(1, 2)])
def test_handmade_weeks_come_out_the_same(eaters: int, name: str) -> None:
    week = week_with(eaters, ALIKE[name])
    assert alike(week) == (tuple(week.eaters),)
    planned = assert_comes_out_the_same(week)
    if name == "a floor too high":
        assert not planned


def test_most_handmade_weeks_can_be_planned() -> None:
    planned = [
        solve_week(week_with(2, changes))[1].packed is not None for changes in ALIKE.values()
    ]
    assert sum(planned) >= len(planned) - 4


APART: dict[str, dict[str, Any]] = {
    "floor": {"floors": {"protein": "9.001 g"}},
    "weekly floor": {"week_floors": {"protein": "9 g"}},
    "ceiling": {"ceilings": {"energy": "900 kcal"}},
    "likes": {"likes": {"Tart": Decimal(1)}},
    "box": {"box": "tin"},
    "allergens": {"must_not": {"allergens": ["nuts"]}},
    "foods": {"must_not": {"foods": ["pork"]}},
}


@pytest.mark.parametrize("what", APART)
def test_whatever_a_rule_asks_of_one_alone_tells_eaters_apart(what: str) -> None:
    data = kitchen(3)
    data["eaters"]["Bo"] = {"floors": {"protein": "9 g"}} | APART[what]
    week = week_of(document_of(data))
    assert alike(week) == (("Ada", "Cy"), ("Bo",))
    assert_comes_out_the_same(week)


@pytest.mark.parametrize(
    "changes",
    [
        {"no_lunch": [{"day": "tue", "eater": "Bo"}]},
        {"elsewhere": [{"day": "tue", "eater": "Bo", "fridge": "no", "cold_packs": Decimal(2)}]},
        {"elsewhere": [{"day": "tue", "eater": "Bo", "microwave": "no"}]},
    ],
    ids=["no lunch", "no fridge", "no microwave"],
)
def test_lunches_elsewhere_tell_eaters_apart(changes: dict[str, Any]) -> None:
    place = {"place": {"microwave": "yes"}}
    week = week_of(document_of(kitchen(3, **place, **changes)))
    assert alike(week) == (("Ada", "Cy"), ("Bo",))
    assert_comes_out_the_same(week)


def test_a_day_off_for_all_tells_nobody_apart() -> None:
    week = week_of(document_of(kitchen(3, no_lunch=[{"day": "tue"}])))
    assert alike(week) == (("Ada", "Bo", "Cy"),)
    assert_comes_out_the_same(week)


def test_figures_written_in_other_units_tell_nobody_apart() -> None:
    data = kitchen(2)
    data["eaters"]["Bo"] = {"floors": {"protein": "9000 mg"}}
    week = week_of(document_of(data))
    assert alike(week) == (("Ada", "Bo"),)
    assert_comes_out_the_same(week)


def test_the_family_has_nobody_alike() -> None:
    week = read_week("family")
    assert alike(week) == each_alone(week)


# -- where counting together sees too much -------------------------------------------

ONE_PAYS_FOR_THE_OTHER: WeekData = {
    "week": {"starts": "2026-11-30", "days": ["mon"], "guidance": "us"},
    "eaters": {name: {"week_floors": {"protein": "10 g"}} for name in ("Ada", "Bo")},
    "larder": {
        "rich": {
            "pack": "1 piece",
            "chilled": "no",
            "price": Decimal(2),
            "nutrition": {"protein": "15 g"},
        },
        "poor": {
            "pack": "1 piece",
            "chilled": "no",
            "price": Decimal(1),
            "nutrition": {"protein": "5 g"},
        },
    },
    "dishes": {
        "Rich": {"kind": "bread", "goes_in": {"rich": "1 piece"}},
        "Poor": {"kind": "bread", "goes_in": {"poor": "1 piece"}},
        "Also rich": {"kind": "bread", "goes_in": {"rich": "1 piece"}},
    },
    "priorities": ["cost"],
}
"""Together a rich lunch pays for a poor one, which no eater alone could have."""


def test_a_bound_is_not_carried_past_a_priority_that_missed_its_own() -> None:
    week = week_of(document_of(ONE_PAYS_FOR_THE_OTHER))
    together = solve(Program(week, alike(week)))
    assert [value.value for value in together.values] == [3, 1]
    assert_comes_out_the_same(week)
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert [lunch.dish for lunch in packed.lunches] == ["Rich", "Rich"]


def test_nor_is_food_left_over_for_it() -> None:
    # Sums so large that what is left over comes in a stage of its own.
    data = deepcopy(ONE_PAYS_FOR_THE_OTHER)
    data["larder"]["rich"]["price"] = Decimal("20000.01")
    batch = {"made": "2026-11-29", "yield": "2 portions", "nutrition": {}, "fridge_life": "3"}
    data["batches"] = {
        "beans": batch | {"portion": "500.001 g"},
        "roots": batch | {"portion": "333.337 g"},
    }
    data["dishes"]["Rich"]["takes"] = {"beans": Decimal(1)}
    data["dishes"]["Roots"] = {"kind": "bread", "takes": {"roots": Decimal(1)}}
    data["priorities"] = ["cost", "left_over"]
    week = week_of(document_of(data))
    assert [len(stage.levels) for stage in Program(week).stages] == [1, 1, 1]
    assert_comes_out_the_same(week)
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert [lunch.dish for lunch in packed.lunches] == ["Rich", "Rich"]
