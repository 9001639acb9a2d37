"""The last day on which food is still good, and the least cold that keeps it so."""

from __future__ import annotations

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.week import Week
from optimiser.board import scale
from optimiser.explain.conflicts import impossible
from optimiser.rules import faults_of, rules_of
from optimiser.solve import cpsat
from optimiser.solve.program import Program
from optimiser.solve.week import solve

WEEK = """
week: {{starts: 2026-11-30, days: [{days}], guidance: us}}
eaters: {{Ada: {{}}}}
elsewhere: [{elsewhere}]
larder: {{curd: {{pack: 200 g, price: 1, opened_life: {keeps}, chilled: yes, allergens: none,
  nutrition: {{}}}}}}
dishes: {{Bowl: {{kind: a, goes_in: {{curd: 100 g}}}}}}
priorities: [cost]
"""


def week(days: str = "mon", keeps: int = 1, elsewhere: str = "") -> Week:
    text = WEEK.format(days=days, keeps=keeps, elsewhere=elsewhere)
    return week_of(parse("week.yaml", text))


# Half a pack a day: what is left of the first is good for the second lunch, or another is opened.
@pytest.mark.parametrize(
    ("days", "keeps", "packs"),
    [
        ("mon, tue", 0, 2),
        ("mon, tue", 1, 1),
        ("mon, wed", 1, 2),
        ("mon, wed", 2, 1),
        ("mon, thu", 2, 2),
    ],
)
def test_an_opened_pack_is_eaten_up_to_its_last_day(days: str, keeps: int, packs: int) -> None:
    asked = week(days, keeps)
    packed = solve(Program(asked)).packed
    assert packed is not None
    assert sum(pack.packs for pack in packed.packs) == packs
    assert list(faults_of(asked, packed)) == []


def test_without_that_rule_one_pack_is_enough() -> None:
    program = Program(week("mon, wed", 1))
    (rule,) = (rule for rule in rules_of(program.week) if rule.family == "opened life")
    cost = program.level("cost")
    packs = []
    for dropped in ((), (rule.key,)):
        answer = cpsat.solve(cpsat.model_of(program.board.sheet, dropped), cost.total)
        assert answer.values is not None
        packs.append(cost.total.value(answer.values) / scale.PER_MONEY)
    assert packs == [2, 1]


@pytest.mark.parametrize(("cold_packs", "goes"), [(0, False), (1, False), (2, True), (3, True)])
def test_two_cold_packs_are_enough_and_fewer_are_not(cold_packs: int, goes: bool) -> None:
    asked = week(elsewhere=f"{{day: mon, fridge: no, microwave: no, cold_packs: {cold_packs}}}")
    assert (solve(Program(asked)).packed is not None) is goes
    # Nothing is heated: that there is no microwave either asks for nothing.
    told = {rule.family for rule in rules_of(asked)} & {"cold", "microwave"}
    assert told == (set() if goes else {"cold"})


BOX = """
week: {{starts: 2026-11-30, days: [mon], guidance: us}}
eaters: {{Ada: {{box: tin}}}}
boxes: {{tin: {{compartments: [{compartments}], pots: [{pots}]}}}}
larder:
  soup: {{pack: 100 g, price: 1, chilled: yes, allergens: none, nutrition: {{}}, texture: wet,
    room: 100 mL}}
  crisps: {{pack: 30 g, price: 1, chilled: no, allergens: none, nutrition: {{}}, texture: crisp,
    room: 100 mL}}
dishes: {{Bowl: {{kind: a, goes_in: {{soup: 100 g, crisps: 30 g}}}}}}
"""


# 100 mL of soup, wet, and 30 mL of crisps, crisp.
@pytest.mark.parametrize(
    ("compartments", "pots", "broken"),
    [
        ("100 mL, 30 mL", "", set()),
        ("99 mL, 31 mL", "", {"wet beside crisp"}),
        ("100 mL, 29 mL", "", {"box room", "wet beside crisp"}),
        ("100 mL, 29.999 mL", "", {"box room", "wet beside crisp"}),
        ("99.999 mL, 30 mL", "", {"box room", "wet beside crisp"}),
        ("90 mL", "", {"box room", "wet beside crisp"}),
        ("60 mL, 30 mL", "40 mL", set()),
        ("60 mL, 30 mL", "39 mL", {"box room", "wet beside crisp"}),
        ("130 mL", "", {"wet beside crisp"}),
        ("30 mL", "100 mL", set()),
        ("30 mL", "120 mL", set()),
        ("29 mL", "120 mL", {"box room", "wet beside crisp"}),
    ],
)
def test_a_box_may_be_full_to_the_last_millilitre(
    compartments: str, pots: str, broken: set[str]
) -> None:
    asked = week_of(parse("week.yaml", BOX.format(compartments=compartments, pots=pots)))
    program = Program(asked)
    packed = solve(program).packed
    assert (packed is None) == bool(broken)
    boxes = [rule for rule in rules_of(asked) if rule.family in ("box room", "wet beside crisp")]
    # Each rule alone says so, and no other row stands in the way when it is dropped.
    for rule in boxes:
        assert impossible(program, only=[rule.key]) == (rule.family in broken), rule.key
    others = program.rules.keys() - {rule.key for rule in boxes}
    assert not impossible(program, only=others)


def test_a_wet_side_that_need_not_be_bars_no_dish() -> None:
    text = BOX.format(compartments="40 mL", pots="").replace(
        "goes_in: {soup: 100 g, crisps: 30 g}", "choices: [side]"
    )
    sides = "choices: {side: [{soup: 100 g}, {crisps: 30 g}]}\n"
    packed = solve(Program(week_of(parse("week.yaml", text + sides)))).packed
    assert packed is not None
    assert [dict(lunch.options) for lunch in packed.lunches] == [{"side": "crisps"}]
