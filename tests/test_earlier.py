"""What an earlier week left in the freezer: planned, thawed and labelled, and nothing else anew."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest

import optimiser
from models.file.reading import week_of
from models.week.sums import stays_frozen, wasted
from models.words.errors import InputError
from optimiser.rules.freezer import PUBLISHED, FreezerMonths
from optimiser.solve.week import solve_week

STEW: dict[str, Any] = {
    "yield": "6 portions",
    "ingredients": ["1 kg tinned tomatoes", "200 g pearl barley, dry", "60 g celery"],
    "steps": [{"do": "simmer it", "lasts": "60 min", "hands": "no", "rings": 1}],
    "portion": "200 g",
    "keeps_as": "soups and stews",
    "cost": 9,
}


def week(**old: Any) -> dict[str, Any]:
    """Give a week with a stew of its own and the same stew of three weeks before."""
    earlier = {"made": "2026-11-15", "earlier": "yes", "frozen": "2 portions"} | old
    return {
        "week": {"starts": "2026-12-07", "days": ["mon", "tue", "wed", "thu"], "guidance": "us"},
        "eaters": {"Ann": {"likes": {"Old stew": 3}}},
        "batches": {"stew": STEW | {"made": "2026-12-06"}, "old stew": STEW | earlier},
        "dishes": {
            "Stew": {"kind": "pot", "takes": {"stew": "1 to 3"}},
            "Old stew": {"kind": "pot", "takes": {"old stew": "1"}, "most": 2},
        },
        "priorities": ["left_over", "liking", "cost"],
    }


def test_it_is_planned_thawed_and_counted_and_nothing_of_it_is_done_again() -> None:
    plan = optimiser.plan(week(), reasons=False)
    assert plan.status == "optimal"
    eaten = [line for line in plan.lunches if line.dish == "Old stew"]
    assert len(eaten) == 2
    assert all(part.from_freezer == 1 for line in eaten for part in line.batches)
    # Of what is thawed none is frozen in this week; it is out on the evening before.
    mine = [move for move in plan.moves if move.batch == "old stew"]
    assert [move.move for move in mine] == ["thaw", "thaw"]
    assert [move.date + timedelta(days=1) for move in mine] == [line.date for line in eaten]
    remark = "old stew comes only from the freezer: its days in the fridge end on Thu 19 Nov."
    assert remark in optimiser.check(week()).remarks
    # It was paid, bought and cooked once.
    assert plan.totals["cost"] == 9
    assert all(line.cost == 0 for line in eaten)
    uses = [use for part in optimiser.shop(plan).parts for line in part.lines for use in line.uses]
    assert uses and {use.what for use in uses} == {"stew"}
    assert [day.date for day in optimiser.prep(plan).days] == [date(2026, 12, 6)]
    cooks = [x for x in optimiser.calendar(plan).entries if x.kind == "cook"]
    assert [(f"{x.begins:%Y-%m-%d}", x.title) for x in cooks] == [("2026-12-06", "Cook: stew")]
    assert [recipe["name"] for recipe in optimiser.share(plan).recipes] == ["stew"]
    # What is in it, and when it was made, is as ever.
    stated = {info.batch: info for info in plan.batches}
    assert stated["old stew"].allergens == stated["stew"].allergens
    assert {"celery"} <= set(stated["old stew"].allergens)
    tubs = [label for label in optimiser.labels(plan).labels if label.batch == "old stew"]
    assert {(tub.made, tub.where, tub.portions) for tub in tubs} == {
        (date(2026, 11, 15), "freezer", 1)
    }
    assert len(tubs) == 2
    assert not optimiser.audit(plan).faults


def test_what_stays_in_the_freezer_is_stock_and_not_left_over() -> None:
    given = week(frozen="4 portions")
    plan = optimiser.plan(given, reasons=False)
    assert [(left.batch, left.portions) for left in plan.left_over.frozen] == [("old stew", 2)]
    assert (plan.left_over.grams, plan.left_over.batches) == (0, [])
    for full in (False, True):
        text = " ".join(optimiser.render(plan, full=full).split())
        assert "in stock 2 portions old stew: in the freezer, for a later week" in text, full
    assert "old stew: in the freezer since Sun 15 Nov, best by" in text
    frozen: Any = optimiser.freezer(plan)
    assert sum(tub.portions for tub in frozen.tubs if tub.for_day is None) == 2


def test_all_of_it_is_eaten_or_stays_or_is_wasted_or_gone() -> None:
    for old in (
        {"frozen": "4 portions"},
        {"frozen": "0"},
        {"made": "2026-12-04", "frozen": "2 portions", "gone": "1 portion"},
        {"made": "2026-12-04", "frozen": "3 portions", "gone": "3 portions"},
    ):
        read = week_of(week(**old))
        _, solved = solve_week(read)
        assert solved.packed is not None, old
        batch = read.batches["old stew"]
        eaten = sum(lunch.of("old stew") for lunch in solved.packed.lunches)
        stays, waste = (count(read, solved.packed, "old stew") for count in (stays_frozen, wasted))
        assert min(stays, waste) >= 0, old
        assert eaten + stays + waste + batch.gone == batch.portions, old
        # What was kept in the fridge past its date is gone; what is still good is not.
        in_fridge = batch.portions - batch.gone - (batch.frozen or 0)
        assert in_fridge == (3 if "gone" in old and old["gone"] == "1 portion" else 0), old


def test_it_may_be_thawed_while_the_rest_of_it_would_be_fresh() -> None:
    # Frozen on Saturday and thawed on Monday evening: there is no fresh one any more.
    read = week_of(week(made="2026-12-05", frozen="2 portions", gone="4 portions"))
    assert read.batches["old stew"].fresh_until >= read.days[0]
    _, solved = solve_week(read)
    assert solved.packed is not None
    assert sum(lunch.of("old stew") for lunch in solved.packed.lunches) == 2


def test_it_is_eaten_within_the_months_of_its_class_which_is_quality_and_no_safety() -> None:
    # Soups and stews: 2 to 3 months (USDA FSIS storage times).
    made = date(2026, 9, 9)
    plan = optimiser.plan(week(made=made.isoformat()), reasons=False)
    last = made + timedelta(days=90)
    assert last == date(2026, 12, 8)
    assert {x.date for x in plan.lunches if x.dish == "Old stew"} == {last, last - timedelta(1)}
    old = week(made=(made - timedelta(days=1)).isoformat(), frozen="4 portions")
    days = {x.date for x in optimiser.plan(old, reasons=False).lunches if x.dish == "Old stew"}
    assert days == {last - timedelta(days=1)}
    longer = week(made=(made - timedelta(days=1)).isoformat(), freezer_months=4)
    assert len([x for x in optimiser.plan(longer).lunches if x.dish == "Old stew"]) == 2
    rule = next(x for x in optimiser.check(old).rules if x.key == "freezer months:old stew")
    assert "(quality, not safety)" in rule.sentence
    assert not FreezerMonths.safety


def test_who_says_how_many_months_is_told_and_what_bars_nothing_is_no_rule() -> None:
    def months(**old: Any) -> list[str]:
        checked = optimiser.check(week(frozen="4 portions", **old))
        return [x.source for x in checked.rules if x.key == "freezer months:old stew"]

    assert months(made="2026-09-08") == [PUBLISHED]
    assert months(made="2026-11-07", freezer_months=1) == [""]
    # Where the last lunch is on the last day of its months, nothing is barred.
    assert months(made="2026-09-11") == []


def test_an_edit_of_a_plan_with_it_is_noticed() -> None:
    plan = optimiser.plan(week(frozen="4 portions"), reasons=False)
    left = plan.left_over
    for said, changed in (
        ("stock", left.model_copy(update={"frozen": []})),
        ("left over", left.model_copy(update={"frozen": [], "batches": left.frozen})),
    ):
        edited = plan.model_copy(update={"left_over": changed}).sealed()
        assert optimiser.audit(edited).faults, said
    batches = [x.model_copy(update={"earlier": False}) for x in plan.batches]
    assert optimiser.audit(plan.model_copy(update={"batches": batches}).sealed()).faults


def test_it_is_asked_in_no_other_volume() -> None:
    with pytest.raises(InputError, match="old stew was cooked in an earlier week"):
        optimiser.what_if(week(), yields="old stew=2..4")
    assert [line.batch for line in optimiser.size(week()).batches] == ["stew"]


def test_what_cannot_be_is_refused_with_the_place_and_what_to_write() -> None:
    for old, place, what in (
        ({"made": "2026-12-07"}, "earlier", "this one begins on 2026-12-07"),
        ({"made": None}, "earlier", "when it was made is not said"),
        ({"frozen": "7 portions"}, "frozen", "7 are frozen and 0 gone, and there were 6"),
        ({"frozen": "4 portions", "gone": "3 portions"}, "frozen", "4 are frozen and 3 gone"),
        ({"freezes": "no"}, "frozen", "the freezer takes 0"),
        ({"made": "2024-11-15"}, "made", "days before the week"),
        ({"freezer_months": 0}, "freezer_months", "0"),
    ):
        data = week(**old)
        if old.get("made", "") is None:
            del data["batches"]["old stew"]["made"]
        with pytest.raises(InputError) as refused:
            optimiser.check(data)
        assert what in refused.value.what, old
        assert str(refused.value.where).endswith(f"{place})"), (old, str(refused.value.where))


def test_too_little_for_any_dish_is_no_fault() -> None:
    data = week()
    del data["dishes"]["Old stew"], data["eaters"]["Ann"]["likes"]
    plan = optimiser.plan(data, reasons=False)
    assert [left.portions for left in plan.left_over.frozen] == [2]


def test_a_dish_with_what_an_earlier_week_left_is_the_same_dish() -> None:
    data = week()
    data["dishes"]["Old stew"] = {"takes": {"old stew": 1}, "kind": "pot", "same_as": "Stew"}
    data["dishes"]["Stew"]["most"] = 3
    data["dishes"]["Toast"] = {"kind": "bread"}
    data["priorities"] = ["liking"]
    plan = optimiser.plan(data, reasons=False)
    # It is liked best, and the stew in both ways comes no more often than its 'most'.
    dishes = [line.dish for line in plan.lunches]
    assert (dishes.count("Old stew"), len(dishes)) == (2, 4)
    assert dishes.count("Stew") <= 1
    assert not optimiser.audit(plan).faults
    twice = plan.model_copy(
        update={
            "week": {**plan.week, "dishes": {**plan.week["dishes"]}, "variety": {"most_times": 1}}
        }
    )
    assert any(x.rule == "most times:Stew" for x in optimiser.audit(twice).faults)
    data["variety"] = {"days_between": 1}
    days = [line.date for line in optimiser.plan(data).lunches if "tew" in line.dish]
    assert all((later - day).days > 1 for day, later in pairwise(days))
    data["dishes"] |= {name: {"kind": name} for name in ("Salad", "Pie")}
    apart = optimiser.plan(data, reasons=False, no_repeats="dish")
    assert sum("tew" in line.dish for line in apart.lunches) <= 1
    for name, said, what in (
        ("Old stew", {"same_as": "Stw"}, "there is no dish named 'Stw'"),
        ("Old stew", {"same_as": "Old stew"}, "is another way of a dish itself"),
        ("Old stew", {"same_as": "Stew", "most": 1}, "is a matter of 'Stew'"),
    ):
        changed = {**data, "dishes": {**data["dishes"], name: data["dishes"][name] | said}}
        with pytest.raises(InputError, match=what):
            optimiser.check(changed)


def test_a_week_that_would_need_it_longer_is_mended_by_saying_so() -> None:
    data = week(made="2026-09-09", frozen="4 portions")
    del data["batches"]["stew"], data["dishes"]["Stew"], data["dishes"]["Old stew"]["most"]
    plan = optimiser.plan(data)
    assert plan.status == "infeasible"
    assert "freezer months:old stew" in {rule.key for rule in plan.conflict}
    (way,) = optimiser.mend(data, count=1).ways
    assert [change.text for change in way.changes] == [
        "eat old stew from the freezer within 4 months, not 3 months (quality, not safety)"
    ]
    assert optimiser.plan(way.text, reasons=False).status == "optimal"
