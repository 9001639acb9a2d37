"""Weeks that follow each other: what is bought, cooked, frozen, eaten and left is accounted for."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import optimiser
from models.answers.next import NextFile
from models.answers.plan import PlanFile
from models.file.planfile import embedded_week
from models.file.reading import read_document
from models.file.yamltext import parse
from models.file.yamlwriting import yaml_of
from models.words.errors import InputError
from optimiser.auditing import packed_of
from optimiser.interface.history import history
from optimiser.sheets.shop import supplied
from tests.cli.command import one_message, run

WED, FRI = date(2026, 12, 2), date(2026, 12, 4)
SOUP, POT, BAKE = "pea soup of 30 Nov", "barley pot of 30 Nov", "leek bake of 3 Dec"


def frozen_on(plan: PlanFile, day: date) -> dict[str, int]:
    moves = [move for move in plan.moves if (move.move, move.date) == ("freeze", day)]
    return {move.batch: move.portions for move in moves}


@cache
def weeks() -> tuple[tuple[PlanFile, NextFile], ...]:
    """Plan four weeks of the demo, one after the other; the first goes otherwise, three times.

    On Wednesday it is said that Thursday's lunch is off, and three portions are frozen; on Friday,
    that it was one. On Saturday Sunday's lunch is off, whose soup was frozen on the prep day. In
    the second and third week nobody likes to eat the old soup, in the fourth Jorun does.
    """
    made = optimiser.plan("demo", reasons=False)
    assert [(move.batch, move.for_day) for move in made.moves if move.move == "freeze"] == [
        ("pea soup", made.days[-1])
    ]
    plan = optimiser.change(made, "wed", no_lunch="thu").plan
    assert frozen_on(plan, WED) == {"barley pot": 3}
    plan = optimiser.change(plan, "fri", froze="barley pot=1").plan
    assert frozen_on(plan, WED) == {"barley pot": 1}
    assert frozen_on(plan, FRI) == {"barley pot": 2, "leek bake": 2}
    plan = optimiser.change(plan, "sat", no_lunch="sun").plan
    assert not optimiser.audit(plan).faults
    lived = []
    for likes in (-5, -5, 5):
        answer = optimiser.next_week(plan)
        lived.append((plan, answer))
        data = parse("next", answer.text).as_json()
        taking = [name for name, dish in data["dishes"].items() if SOUP in dish["takes"]]
        assert taking
        data["eaters"]["Jorun"]["likes"] |= dict.fromkeys(taking, likes)
        # Liking decides, so that it is known when the old soup is eaten.
        data["priorities"] = ["liking", "left_over", "repeats", "freshness", "thawed", "cost"]
        plan = optimiser.plan(data, reasons=False)
        assert plan.status == "optimal"
    lived.append((plan, optimiser.next_week(plan)))
    return tuple(lived)


def test_a_portion_frozen_three_weeks_ago_is_planned_labelled_thawed_and_counted() -> None:
    carried = [{x.batch: (x.frozen, x.made) for x in answer.batches} for _, answer in weeks()]
    first = {
        POT: (3, date(2026, 11, 30)),
        SOUP: (1, date(2026, 11, 30)),
        BAKE: (2, date(2026, 12, 3)),
    }
    assert carried[0] == first
    assert [SOUP in batches for batches in carried] == [True, True, True, False]
    # When it was frozen goes over, where that was later than it was made.
    (pot,) = [
        x for x in parse("next", weeks()[0][1].text).as_json()["batches"].items() if x[0] == POT
    ]
    assert (pot[1]["frozen"], pot[1]["frozen_later"]) == (
        "0 portions",
        [
            {"day": "2026-12-02", "portions": "1 portion"},
            {"day": "2026-12-04", "portions": "2 portions"},
        ],
    )
    for plan, _ in weeks()[1:3]:
        assert (SOUP, 1) in [(x.batch, x.portions) for x in plan.left_over.frozen]
    plan, after = weeks()[3]
    (lunch,) = [line for line in plan.lunches if any(x.batch == SOUP for x in line.batches)]
    assert lunch.date - date(2026, 11, 30) >= timedelta(days=21)
    (thaw,) = [move for move in plan.moves if move.batch == SOUP]
    assert (thaw.move, thaw.date, thaw.for_day) == ("thaw", lunch.date - timedelta(1), lunch.date)
    (label,) = [x for x in optimiser.labels(plan).labels if x.batch == SOUP]
    assert (label.made, label.where, label.days) == (date(2026, 11, 30), "freezer", [lunch.date])
    assert SOUP not in [x.batch for x in plan.left_over.frozen]
    assert not optimiser.audit(plan).faults
    # It is used up, and so are the dishes that took it.
    assert SOUP not in after.text


def test_every_portion_is_eaten_gone_left_over_or_carried() -> None:
    for plan, answer in weeks():
        week = embedded_week(plan)
        packed = packed_of(plan, week)
        carried = {batch.was: batch for batch in answer.batches}
        left = {rest.batch: rest.portions for rest in plan.left_over.batches}
        stock = {rest.batch: rest.portions for rest in plan.left_over.frozen}
        for name, batch in week.batches.items():
            eaten = sum(lunch.of(name) for lunch in packed.lunches)
            frozen = carried[name].frozen if name in carried else 0
            assert stock.get(name, 0) == frozen, name
            rest = left.get(name, 0) + frozen
            assert eaten + batch.gone + rest == batch.portions, (plan.days[0], name)
            if batch.earlier:
                assert batch.frozen is not None
                assert eaten + frozen == batch.frozen, name


Thing = tuple[str, bool]
"""A name, and whether it is an ingredient: a larder item may bear the same."""


def bought(plan: PlanFile) -> dict[Thing, Decimal]:
    """Sum what is bought of each thing, in its own unit, from the list as it is printed."""
    week = embedded_week(plan)
    total: dict[Thing, Decimal] = {}
    for part in optimiser.shop(plan).parts:
        for line in part.lines:
            key = (line.food or line.name, bool(line.food))
            for pack in line.packs:
                sizes = {x.label: x.bought for x in week.packs.get(line.food, ())}
                size = sizes.get(pack.pack)
                if size is None:
                    size = Decimal(str(week.larder[line.name].pack.magnitude))
                total[key] = total.get(key, Decimal(0)) + pack.count * size
    return total


def in_cupboard(plan: PlanFile, answer: NextFile) -> dict[Thing, Decimal]:
    larder = embedded_week(plan).larder
    total: dict[Thing, Decimal] = {}
    for food in answer.cupboard:
        key = (food.name, food.name not in larder)
        total[key] = total.get(key, Decimal(0)) + Decimal(str(food.amount))
    return total


def test_what_was_there_and_bought_is_used_there_still_or_past_its_date_to_the_gram() -> None:
    had: dict[Thing, Decimal] = {}
    checked = 0
    for plan, answer in weeks():
        packs, after = bought(plan), in_cupboard(plan, answer)
        need = {
            (x.key, bool(x.line.food)): Decimal(str(x.line.need)) for x in supplied(*_lived(plan))
        }
        past = {left.what.partition(" of ")[2]: left for left in answer.left_out}
        for key in {*had, *packs, *need, *after}:
            there = had.get(key, Decimal(0)) + packs.get(key, Decimal(0))
            rest = there - need.get(key, Decimal(0)) - after.get(key, Decimal(0))
            if abs(rest) > Decimal("0.01"):
                left = past[key[0]]
                assert left.why.startswith("good until"), key
                assert abs(Decimal(left.what.partition(" ")[0]) - rest) < Decimal("0.01"), key
            checked += 1
        had = after
    assert checked > 100


def _lived(plan: PlanFile) -> Any:
    week = embedded_week(plan)
    return week, packed_of(plan, week)


def test_what_is_in_the_cupboard_is_not_past_its_date_and_is_not_bought_again() -> None:
    for plan, answer in weeks():
        assert all(x.use_by is None or x.use_by >= answer.starts for x in answer.cupboard)
        # A pack of barley lasts for months: it is bought once.
        lines = {x.key: x.line for x in supplied(*_lived(plan))}
        barley = lines["pearl barley, dry"]
        assert bool(barley.packs) == (plan is weeks()[0][0])
    assert len({json.dumps(optimiser.shop(plan).cost) for plan, _ in weeks()}) > 1


def test_dishes_eaten_are_known_to_the_week_after() -> None:
    plan, answer = weeks()[0]
    eaten = list(dict.fromkeys(line.dish for line in plan.lunches))
    assert answer.lately["Jorun"][: len(eaten)] == eaten
    # With the same of what stands in the freezer.
    assert "Soup and toast" in eaten
    data = parse("next", answer.text).as_json()
    another = data["dishes"][f"Soup and toast ({SOUP})"]
    assert another["same_as"] == "Soup and toast"
    following = optimiser.plan(answer.text, reasons=False, no_repeats="dish")
    (wish,) = [x for x in following.wishes if x.wish == "nothing that was eaten lately"]
    again = _lately(answer, following)
    assert (wish.amount or 0) == again
    plain = optimiser.plan(answer.text, reasons=False)
    assert _lately(answer, plain) > again


def _lately(answer: NextFile, plan: PlanFile) -> int:
    """Count the lunches whose dish, be it with what stands in the freezer, was eaten lately."""
    return sum(
        line.dish.removesuffix(f" ({SOUP})") in answer.lately["Jorun"] for line in plan.lunches
    )


def test_of_a_week_changed_while_it_ran_the_last_plan_is_what_was_eaten(tmp_path: Path) -> None:
    first = optimiser.plan("minimal", reasons=False)
    then = optimiser.change(first, first.days[1], no_lunch=first.days[2].isoformat()).plan
    for name, plan in (("a", then), ("b", first)):
        (tmp_path / f"{name}.json").write_text(plan.model_dump_json())
    (eaten,) = history(str(tmp_path), first.days[-1] + timedelta(days=1)).plans
    assert eaten.lunches == then.lunches


def test_a_folder_of_plans_is_a_history(tmp_path: Path) -> None:
    first, answer = weeks()[0]
    (tmp_path / "a.json").write_text(first.model_dump_json())
    later, _ = weeks()[1]
    (tmp_path / "b.json").write_text(later.model_dump_json())
    (tmp_path / "notes.txt").write_text("eggs are cheap on Fridays\n")
    (tmp_path / ".hidden").write_text("x")
    week = tmp_path / "next" / "week.yaml"
    week.parent.mkdir()
    data = parse("next", answer.text).as_json()
    eaten = data.pop("lately")
    week.write_text(yaml_of(data))
    ran = run("plan", week, "--no-reasons", "--json", "--after", tmp_path, folder=tmp_path)
    assert ran.code == 0
    assert "not counted as eaten: notes.txt: " in ran.err
    assert "not counted as eaten: b.json: this plan is not of a week before" in ran.err
    assert "hidden" not in ran.err
    of_folder = ran.data["lunches"]
    one = optimiser.plan(data, reasons=False, after=[first])
    assert [x["dish"] for x in of_folder] == [line.dish for line in one.lunches]
    assert eaten
    with pytest.raises(InputError, match="no plan of the four weeks before"):
        optimiser.plan("demo", after=[str(tmp_path)])


# -- what else goes over, and what does not -------------------------------------------------

WEEK = """
week: {name: Two, starts: 2026-11-30, days: [mon, tue, wed], currency: EUR, guidance: us}
no_lunch:
  - {day: wed, eater: Bo, why: every week}
  - {day: 2026-12-01, eater: Ann, why: a day off}
elsewhere: [{day: 2026-11-30, fridge: no, cold_packs: 2}]
eaters: {Ann: {likes: {Stew: 2}}, Bo: {likes: {Stew: 2}}}
batches:
  stew:
    yield: 9 portions
    portion: 200 g
    cost: 6
    fridge_life: 4
    own_risk: yes
    freezes: yes
    frozen: 3 portions
    gone: 1 portion
    cook: 8 portions
  old stew:
    made: 2026-11-01
    yield: 6 portions
    portion: 200 g
    earlier: yes
    frozen: 1 portion
larder:
  yoghurt: {food: plain yoghurt, pack: 150 g, price: 1.10, opened_life: 9, use_by: 2026-12-04}
  milk: {food: whole milk, pack: 200 g, price: 0.60, opened_life: 3}
  oats: {food: rolled oats, pack: 500 g, price: 1.00}
cupboard:
  oats: [120 g, {amount: 80 g, use_by: 2026-12-01}]
  salt: plenty
  cumin: 30 g
dishes:
  Stew: {kind: hot, takes: {stew: 1}, goes_in: {yoghurt: 50 g, oats: 60 g}, microwave: no}
  Stew with milk: {takes: {stew: 1}, goes_in: {milk: 150 g}}
  Old stew: {takes: {old stew: 1}}
priorities: [liking, left_over]
"""


def following(text: str = WEEK) -> tuple[PlanFile, NextFile, dict[str, Any]]:
    plan = optimiser.plan(text, reasons=False)
    assert plan.lunches
    answer = optimiser.next_week(plan)
    return plan, answer, parse("next", answer.text).as_json()


def test_each_part_of_a_week_goes_over_as_it_should() -> None:
    plan, answer, data = following()
    assert data["week"]["starts"] == "2026-12-07"
    # What has a date was of that week; what has a weekday is of each.
    assert data["no_lunch"] == [{"day": "wed", "eater": "Bo", "why": "every week"}]
    assert "elsewhere" not in data
    said = {left.what: left.why for left in answer.left_out}
    assert said["no lunch on Tue 1 Dec for Ann"] == "a date of that week"
    assert said["elsewhere on Mon 30 Nov"] == "a date of that week"
    assert "use_by of yoghurt" in said
    assert "use_by" not in data["larder"]["yoghurt"]
    # The batch is chosen anew; what is frozen of it is one of its own, with its old date.
    assert data["batches"]["stew"].keys().isdisjoint({"gone", "frozen", "cook", "made"})
    old = data["batches"]["stew of 29 Nov"]
    thawed = sum(x.from_freezer for line in plan.lunches for x in line.batches if x.batch == "stew")
    assert (old["made"], old["earlier"], old["cook"]) == ("2026-11-29", "yes", "8 portions")
    assert old["frozen"] == f"{3 - thawed} portions"
    assert data["dishes"]["Stew (stew of 29 Nov)"]["takes"] == {"stew of 29 Nov": 1}
    assert data["eaters"]["Ann"]["likes"]["Stew (stew of 29 Nov)"] == 2
    assert (thawed, [*data["batches"]]) == (0, ["stew", "stew of 29 Nov", "old stew"])
    assert data["cupboard"]["table salt"] == "plenty"
    again = optimiser.plan(answer.text, reasons=False)
    assert again.status == "optimal"


def test_a_batch_whose_dishes_all_took_what_is_used_up_is_left_out() -> None:
    text = WEEK.replace("  Old stew: {takes: {old stew: 1}}", "").replace(
        "  Stew with milk: {takes: {stew: 1}",
        "  Rice and old stew: {takes: {old stew: 1, rice: 1}}\n  Stew with milk: {takes: {stew: 1}",
    )
    rice = "  rice: {yield: 4 portions, portion: 90 g, fridge_life: 1}\n  old stew:"
    text = text.replace("  old stew:", rice, 1).replace("{likes: {Stew: 2}}", RICE_LIKED)
    plan, answer, data = following(text)
    assert "Rice and old stew" in [lunch.dish for lunch in plan.lunches]
    assert data["batches"].keys().isdisjoint({"rice", "old stew"})
    assert "rice" not in answer.again
    said = {left.what: left.why for left in answer.left_out}
    assert said["rice"] == "each of its dishes takes what is used up"


def test_a_dish_that_was_the_same_as_one_that_is_left_out_stands_for_it() -> None:
    more = """
  Stew and bread: {takes: {stew: 1}, same_as: Old stew}
  Stew and rice: {takes: {stew: 1}, same_as: Old stew}
priorities:"""
    text = WEEK.replace("\npriorities:", more).replace("Stew: 2", "Old stew: 5")
    plan, _, data = following(text)
    assert "Old stew" in [lunch.dish for lunch in plan.lunches]
    assert "Old stew" not in data["dishes"]
    assert "same_as" not in data["dishes"]["Stew and bread"]
    assert data["dishes"]["Stew and rice"]["same_as"] == "Stew and bread"


RICE_LIKED = "{likes: {Rice and old stew: 5}}"


def test_long_names_of_dishes_and_batches_leave_a_week_after_that_can_be_read() -> None:
    stew = "smoky stew of beans, beef and a great many roots of winter"
    dishes = [f"Stew with a long name, with bread and butter, and {x}" for x in ("milk", "oats")]
    text = WEEK.replace("  stew:\n", f'  "{stew}":\n').replace("{stew: 1}", f'{{"{stew}": 1}}')
    text = text.replace("Stew with milk:", f'"{dishes[0]}":').replace(
        "  Stew:", f'  "{dishes[1]}":'
    )
    _, answer, data = following(text.replace("{Stew: 2}", f'{{"{dishes[1]}": 2}}'))
    (carried,) = [batch for batch in answer.batches if batch.was == stew]
    assert carried.batch == "smoky stew of beans, beef and a great many roots of 29 Nov"
    assert len({*carried.dishes} - {*dishes}) == 2
    for name in (*carried.dishes, *data["dishes"], *data["batches"]):
        assert len(name) <= 60
    assert {*carried.dishes} < {*data["dishes"]}


def test_a_guest_stays_with_the_week_of_the_visit() -> None:
    plan = optimiser.plan(WEEK, reasons=False)
    changed = optimiser.change(plan, "tue", joined="Cy@wed").plan
    answer = optimiser.next_week(changed)
    data = parse("next", answer.text).as_json()
    assert [*data["eaters"]] == ["Ann", "Bo"]
    assert data["no_lunch"] == [{"day": "wed", "eater": "Bo", "why": "every week"}]
    assert ("Cy", "a guest of that week") in [(x.what, x.why) for x in answer.left_out]


def test_a_stock_with_a_date_counts_for_the_days_up_to_it_alone() -> None:
    plan, _, _ = following()
    line = next(x.line for x in supplied(*_lived(plan)) if x.key == "oats")
    by_day = {
        day: 60 * sum(x.date == day and x.dish == "Stew" for x in plan.lunches) for day in plan.days
    }
    early = sum(grams for day, grams in by_day.items() if day <= date(2026, 12, 1))
    assert line.have == 120 + min(80, early)
    missing = max(0, sum(by_day.values()) - line.have)
    assert sum(pack.count for pack in line.packs) == -(-missing // 500)


def test_an_opened_pack_with_days_left_stands_in_the_cupboard_until_then() -> None:
    plan, answer, _ = following()
    rests = {x.name: x for x in answer.cupboard if x.name in ("yoghurt", "milk")}
    opened = [pack for pack in plan.packs if pack.item == "yoghurt"]
    assert opened
    # Nine days from Monday or Tuesday are good on the Monday after; three are not.
    assert "milk" not in rests
    used = sum(50 for line in plan.lunches if line.dish == "Stew")
    left = sum(pack.packs for pack in opened) * 150 - used
    stays = sum(x.amount or 0 for x in answer.cupboard if x.name == "yoghurt")
    assert stays == left
    if left:
        assert rests["yoghurt"].use_by == opened[-1].opened + timedelta(days=9)


def test_what_is_left_in_the_fridge_and_still_good_goes_over_too() -> None:
    text = WEEK.replace("    yield: 9 portions\n", "    made: 2026-12-01\n    yield: 9 portions\n")
    text = text.replace("fridge_life: 4", "fridge_life: 6").replace("    gone: 1 portion\n", "")
    text = text.replace("days: [mon, tue, wed]", "days: [wed]").replace("2026-11-30", "2026-12-02")
    text = text.replace("  - {day: 2026-12-01, eater: Ann, why: a day off}\n", "")
    text = text.replace("  - {day: wed, eater: Bo, why: every week}\n", "  []\n")
    plan, answer, data = following(text.replace("no_lunch:\n  []\n", ""))
    eaten = sum(x.portions for line in plan.lunches for x in line.batches if x.batch == "stew")
    (carried,) = [batch for batch in answer.batches if batch.was == "stew"]
    # Of eight, three were frozen; the others keep until Monday, and the week begins on Wednesday.
    assert (carried.frozen, carried.fridge, eaten) == (3, 0, 2)
    assert ("3 portions of stew", "left over, and to be eaten by Mon 7 Dec") in [
        (left.what, left.why) for left in answer.left_out
    ]
    assert data["batches"]["stew of 1 Dec"]["gone"] == "5 portions"
    longer = text.replace("no_lunch:\n  []\n", "").replace("fridge_life: 6", "fridge_life: 9")
    _, answer, data = following(longer)
    (carried,) = [batch for batch in answer.batches if batch.was == "stew"]
    assert (carried.frozen, carried.fridge, carried.use_by) == (3, 3, date(2026, 12, 10))
    again = optimiser.plan(answer.text, reasons=False)
    old = [x for line in again.lunches for x in line.batches if x.batch == "stew of 1 Dec"]
    assert sum(x.portions - x.from_freezer for x in old) <= 3
    assert not optimiser.audit(again).faults
    text = " ".join(optimiser.render(answer).split())
    assert "3 portions in the fridge, use by Thu 10 Dec: Stew (stew of 1 Dec)" in text


def test_what_is_refused_says_what_to_do() -> None:
    plan = optimiser.plan("demo", reasons=False)
    for given, what in (
        (plan.model_copy(update={"lunches": []}), "this plan has no lunches"),
        (plan.model_copy(update={"note": "edited"}), "the plan breaks its own week"),
    ):
        with pytest.raises(InputError, match=what):
            optimiser.next_week(given)
    for cupboard, what in (
        ({"oats": []}, "at least 1 item"),
        ({"oats": {"amount": "3 L"}}, "'3 L' is no amount of it"),
        ({"oats": {"use_by": "2026-12-01"}}, "'amount' is missing"),
        ({"oats": {"amount": "3 g", "until": "2026-12-01"}}, "until"),
    ):
        data = read_document_of(WEEK) | {"cupboard": cupboard}
        with pytest.raises(InputError) as refused:
            optimiser.check(data)
        assert what in str(refused.value), cupboard
    with pytest.raises(InputError, match="there is no eater named 'Zoe'"):
        optimiser.check(read_document_of(WEEK) | {"lately": {"Zoe": ["Stew"]}})


def read_document_of(text: str) -> dict[str, Any]:
    return parse("week", text).as_json()


# -- the command --------------------------------------------------------------------------------


def test_the_command_writes_a_week_that_plans_and_no_other_file(tmp_path: Path) -> None:
    plan, week = tmp_path / "plan.json", tmp_path / "week.yaml"
    text = weeks()[0][0].model_dump_json(indent=2)
    plan.write_text(text)
    ran = run("next", plan, "-o", week, folder=tmp_path).done()
    out = " ".join(ran.out.split())
    assert "Change the batches in it, then: clearfridge plan" in out
    assert "pea soup of 30 Nov, 1 portion in the freezer, best by" in out
    assert week.read_text() == weeks()[0][1].text
    one_message(run("next", plan, "-o", week, folder=tmp_path), "it is there already")
    assert week.read_text() == weeks()[0][1].text
    # To standard output, from standard input.
    ran = run("next", "-", "-o", "-", folder=tmp_path, stdin=text).done()
    assert ran.out == week.read_text()
    answer = run("next", plan, "--json", folder=tmp_path).done().data
    assert (answer["format"], answer["written"]) == ("clearfridge next 1", None)
    assert answer["text"] == week.read_text()
    out = " ".join(run("check", week, folder=tmp_path).done().out.split())
    assert "of an earlier week, made Mon 30 Nov" in out
    assert sorted(path.name for path in tmp_path.iterdir()) == ["plan.json", "week.yaml"]


def test_the_ready_weeks_have_weeks_after_them() -> None:
    for name in ("short", "starter", "minimal"):
        answer = optimiser.next_week(optimiser.plan(name, reasons=False))
        document = read_document(name)
        assert (
            parse("next", answer.text).as_json()["dishes"].keys()
            >= document.as_json()["dishes"].keys()
        ), name
        assert optimiser.check(answer.text).name == answer.name
        assert not any("  \n" in line for line in _lines(answer))


def _lines(answer: NextFile) -> Iterator[str]:
    yield from optimiser.render(answer).splitlines()


def test_a_kind_that_no_dish_has_any_more_is_not_kept_apart() -> None:
    text = """
week: {starts: 2026-11-30, days: [mon], guidance: us}
place: {fridge: yes}
eaters: {Ann: {}}
batches:
  stew: {made: 2026-11-16, earlier: yes, yield: 1 portion, frozen: 1 portion}
  rice: {yield: 2 portions}
dishes: {A: {kind: pot, takes: {stew: 1}}, B: {kind: bowl, takes: {rice: 1}}}
variety: {kinds_apart: [pot, [pot, bowl], bowl]}
wishes: [A on mon]
"""
    answer = optimiser.next_week(optimiser.plan(text, reasons=False))
    assert parse("after", answer.text).data["variety"] == {"kinds_apart": [["bowl"]]}
    alone = text.replace("[pot, [pot, bowl], bowl]", "[pot]")
    later = optimiser.next_week(optimiser.plan(alone, reasons=False))
    assert "variety" not in parse("after", later.text).data
