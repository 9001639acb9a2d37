"""Eaters by number: one entry of the file for many who are alike.

They are read as so many eaters, planned as a group, and printed in numbers; nothing is taken for
granted of what one of them must not have.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

import optimiser
from models.answers.plan import PlanFile
from models.file.planfile import plan_of
from models.words.errors import InputError
from optimiser.cli.page import _takes_long
from tests.depth import sized

TEXT = """
week: {starts: 2026-11-30, days: mon-tue, guidance: uk}
place: {fridge: yes}
eaters:
  Office: {count: 12, floors: {protein: 5 g}}
  Ann: {}
no_lunch: [{day: tue, eater: Office, why: closed}]
batches:
  beans: {made: 2026-11-29, ingredients: ["1 kg kidney beans, tinned"], yield: 16 portions}
larder:
  bread: {food: wholemeal bread, pack: 20 pieces, piece: 40 g}
dishes:
  Beans: {takes: {beans: 1 to 2}}
  Beans and bread: {takes: {beans: 1}, goes_in: {bread: 2 pieces}}
"""


@cache
def planned() -> PlanFile:
    return optimiser.plan(TEXT)


def test_an_entry_with_a_number_is_so_many_eaters() -> None:
    week = optimiser.read_week(TEXT)
    assert len(week.eaters) == 13
    assert week.eaters["Office 12"].group == "Office"
    assert week.eaters["Ann"].group == ""
    assert [lunch.eater for lunch in week.lunches if lunch.day == week.days[1]] == ["Ann"]
    alone = optimiser.read_week(TEXT.replace("count: 12", "count: 1"))
    assert list(alone.eaters) == ["Office", "Ann"]


@pytest.mark.parametrize(
    ("was", "now", "what"),
    [
        ("Ann: {}", "Office 3: {}", "'Office 3' is one of the 12 of 'Office' already"),
        ("count: 12", "count: 0", "0 is out of range"),
        ("count: 12", "count: 1001", "1001 is out of range"),
        ("count: 12", "count: many", "is not a whole number"),
        ("count: 12", "count: 1000, week_floors: {}", None),
    ],
)
def test_a_number_that_cannot_be_is_refused(was: str, now: str, what: str | None) -> None:
    text = TEXT.replace(was, now)
    if what is None:
        assert len(optimiser.read_week(text).eaters) == 1001
        return
    with pytest.raises(InputError, match="eaters") as refused:
        optimiser.read_week(text)
    assert what in str(refused.value)


def test_a_plan_says_how_many_of_which_lunch_there_are() -> None:
    plan = planned()
    assert plan.status == "optimal"
    assert plan.groups == {"Office": 12}
    assert len(plan.lunches) == 14
    told = " ".join(optimiser.render(plan).split())
    assert "x Office: Beans" in told
    assert "in all 13 lunches: " in told
    assert "Office: no lunch (closed)" in told
    assert "Office 7" not in told
    assert "Office: ask each what they must not have" in told
    portions = sum(part.portions for lunch in plan.lunches for part in lunch.batches)
    assert portions == 16


def test_sheets_of_a_group_are_in_numbers() -> None:
    plan = planned()
    cards = optimiser.pack(plan).cards
    assert sum(int(card.eater.split()[0]) for card in cards if card.eater != "Ann") == 12
    labels = optimiser.labels(plan).labels
    assert {eater for label in labels for eater in label.eaters} == {"Office", "Ann"}
    page = optimiser.page(plan)
    assert page.why == []
    assert page.sliders == []
    written = optimiser.render(page)
    assert "x Office" in written
    assert "Office 7" not in written
    assert "Large amounts cool slowly" in optimiser.render(optimiser.prep(plan))
    assert any("12 people by one entry" in caution for caution in plan.cautions)


def test_the_page_says_as_many_minutes_as_the_cards_of_the_morning() -> None:
    text = TEXT.replace("takes:", "minutes: 2, takes:")
    plan = optimiser.plan(text, reasons=False)
    written, cards = optimiser.render(optimiser.page(plan)), optimiser.pack(plan).cards
    many = [card.minutes for card in cards if card.minutes]
    assert max(many) > 2
    assert all(f"{minutes} minutes to pack" in written for minutes in many)


def test_a_page_of_counted_eaters_promises_nothing_that_takes_long() -> None:
    assert _takes_long(planned(), sliders=True, verdicts=True) == ""
    alone = planned().model_copy(update={"groups": {}})
    assert _takes_long(alone, sliders=True, verdicts=True).startswith("What takes longest")


def test_an_audit_counts_a_group_anew() -> None:
    plan = planned()
    assert optimiser.audit(plan).faults == []
    other = plan.model_copy(update={"groups": {"Office": 11}}).sealed()
    assert [fault.where for fault in optimiser.audit(other).faults] == ["groups"]


def test_what_is_asked_of_one_lunch_is_refused_where_lunches_are_counted() -> None:
    asked: list[Any] = [
        lambda: optimiser.mend(TEXT),
        lambda: optimiser.size(TEXT),
        lambda: optimiser.others(TEXT),
        lambda: optimiser.trade_off(TEXT, "left_over", "cost"),
        lambda: optimiser.plan(TEXT, bends=True),
        lambda: optimiser.change(planned(), "tue", ate="beans=1"),
    ]
    for ask in asked:
        with pytest.raises(InputError, match="'Office' is 12 eaters by one entry"):
            ask()


def test_the_week_after_keeps_the_number() -> None:
    answer = optimiser.next_week(planned())
    week = optimiser.read_week(answer.text)
    assert len(week.eaters) == 13
    assert set(week.lately) == {"Office", "Ann"}


def test_a_week_that_cannot_be_says_so_of_a_group() -> None:
    plan = optimiser.plan(TEXT.replace("protein: 5 g", "protein: 500 g"))
    assert plan.status == "infeasible"
    assert any("Office 1 needs 500 g" in rule.sentence for rule in plan.conflict)


@pytest.mark.skipif(sized(1, 0), reason="200 eaters: at full depth only")
def test_the_canteen_is_planned_and_its_plan_is_clean() -> None:
    plan = optimiser.plan("canteen", proofs=False)
    assert plan.status == "optimal"
    assert len(plan.lunches) == 1000
    assert optimiser.audit(plan).faults == []
    assert len(optimiser.pack(plan).cards) < 100


def test_a_written_plan_has_one_line_for_lunches_that_are_the_same() -> None:
    plan = planned()
    text = plan.model_dump_json()
    lines = json.loads(text)["lunches"]
    assert len(lines) < len(plan.lunches) == 14
    assert sum(1 + len(line["also"]) for line in lines) == 14
    assert all(not line.also for line in plan.lunches)
    again = plan_of("plan.json", text)
    assert again == plan
    assert again.model_dump_json() == text
    assert plan.sealed().seal == again.sealed().seal
    # Who is named twice, or left out, is found.
    for names in (lines[0]["also"][:-1], [*lines[0]["also"], "Office 1"]):
        other = json.loads(text) | {"lunches": [lines[0] | {"also": names}, *lines[1:]]}
        assert optimiser.audit(plan_of("plan.json", json.dumps(other))).faults


def test_where_no_entry_is_many_eaters_each_lunch_is_written() -> None:
    plan = planned()
    first = plan.lunches[0]
    twice = [first, first.model_copy(update={"eater": "Ann"})]
    for groups, lines in ((plan.groups, 1), ({}, 2)):
        two = plan.model_copy(update={"groups": groups, "lunches": twice})
        assert len(json.loads(two.model_dump_json())["lunches"]) == lines


def test_what_holds_for_each_of_an_entry_is_said_once() -> None:
    text = TEXT.replace("Office: {", "Office: {must_not: {allergens: [milk]}, ")
    checked = optimiser.check(text)
    assert [guard.eater for guard in checked.guards] == ["Office"]
    said = [rule.sentence for rule in checked.rules if "Office" in rule.sentence]
    assert said == ["each of Office needs 5 g protein in each lunch", *said[1:]]
    assert "each of Office must not have milk" in said
    assert not [sentence for sentence in said if "Office 1" in sentence]
    report = " ".join(optimiser.render(checked).split())
    assert report.count("Each of Office must not have milk") == 1


def test_a_what_if_says_how_many_of_an_entry_have_a_dish() -> None:
    answer = optimiser.what_if(TEXT, yields="beans=15..16")
    for shape in answer.shapes:
        own = [said for said in shape.dishes if said.startswith("Mon, ") and "x Office: " in said]
        assert sum(int(said.split()[1]) for said in own) == 12
        assert [said for said in shape.dishes if "Office 1" in said] == []
        assert [said for said in shape.dishes if said.startswith("Mon, Ann: ")]
