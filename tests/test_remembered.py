"""A week that runs remembers: what was frozen when, what was bought, what the calendar had."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
import vobject

import optimiser
from models.answers.change import ChangeFile
from models.answers.plan import PlanFile
from models.file.planfile import embedded_week
from models.file.yamltext import parse
from models.words.errors import InputError
from optimiser.auditing import packed_of
from optimiser.sheets.calendar import diary

SUN, MON, TUE, WED, THU, FRI = (date(2026, 11, 29) + timedelta(days=ahead) for ahead in range(6))

STEW = """\
week: {starts: 2026-11-30, days: [mon, tue, wed, thu, fri], guidance: us}
eaters: {Ada: {}}
batches:
  stew:
    made: 2026-11-29
    yield: 5 portions
    portion: 200 g
    nutrition: {protein: 10 g}
    fridge_life: 3 to 4
    freezes: yes
    freezer: 2 portions
    freezer_months: 3
dishes:
  Stew: {kind: stew, takes: {stew: 1}}
variety: {most_times: 5}
priorities: [left_over, thawed]
"""
"""One portion a day: four from the fridge, Friday's from the freezer."""


@cache
def stew() -> PlanFile:
    made = optimiser.plan(STEW, reasons=False)
    assert to_freeze(made) == [(SUN, 1, FRI)]
    return made


def changed(plan: PlanFile, today: str, **told: Any) -> ChangeFile:
    answer = optimiser.change(plan, today, **told)
    assert answer.plan.status == "optimal"
    assert not optimiser.audit(answer.plan).faults
    return answer


def to_freeze(plan: PlanFile) -> list[tuple[date, int, date | None]]:
    return [(x.date, x.portions, x.for_day) for x in plan.moves if x.move == "freeze"]


def thawed(plan: PlanFile) -> dict[date, int]:
    return {x.date: x.portions for x in plan.moves if x.move == "thaw"}


def document(plan: PlanFile) -> dict[str, Any]:
    batch = plan.week["batches"]["stew"]
    assert isinstance(batch, dict)
    return batch


@cache
def fell_over() -> PlanFile:
    """Wednesday is off: its portion is frozen that day, where there is room for one more."""
    return changed(stew(), "wed", no_lunch="wed").plan


def test_what_is_advised_to_freeze_is_frozen_and_is_stock() -> None:
    plan = fell_over()
    assert to_freeze(plan) == [(SUN, 1, FRI), (WED, 1, None)]
    assert (plan.left_over.grams, plan.left_over.batches) == (0, [])
    assert [(x.batch, x.portions) for x in plan.left_over.frozen] == [("stew", 1)]
    told = document(plan)
    assert (told["frozen"], told["frozen_later"]) == (1, [{"day": "2026-12-02", "portions": 1}])
    labels = [x for x in optimiser.labels(plan).labels if x.where == "freezer"]
    assert [(x.frozen, x.portions, x.days) for x in labels] == [(SUN, 1, [FRI]), (WED, 1, [])]
    tubs = optimiser.freezer(plan).tubs
    assert [(x.frozen, x.portions, x.for_day) for x in tubs] == [(SUN, 1, FRI), (WED, 1, None)]
    entries = [x for x in optimiser.calendar(plan).entries if x.kind == "freeze"]
    assert [(x.day, x.title, x.text) for x in entries] == [
        (WED, "Freeze: stew", "freeze 1 portion of stew for a later week")
    ]
    assert "frozen Wed 2 Dec" in optimiser.render(optimiser.labels(plan))
    assert "1 portion of stew" in optimiser.render(optimiser.page(plan))


def test_it_stays_frozen_until_something_else_is_told() -> None:
    # Nothing is told: on Friday a guest eats what was frozen on Wednesday, thawed since Thursday.
    guest = changed(fell_over(), "thu", joined="Bo@fri").plan
    assert thawed(guest) == {THU: 2}
    assert to_freeze(guest) == [(SUN, 1, FRI), (WED, 1, FRI)]
    # On Wednesday's evening it was too late to thaw it for Thursday.
    late = optimiser.change(fell_over(), "thu", joined="Bo@thu", strict=True)
    assert late.plan.status == "infeasible"
    assert "stew" in late.conflict[0].sentence
    # It was forgotten: it is in the fridge still, and goes into the freezer today.
    forgot = changed(fell_over(), "thu", froze="stew=0")
    assert forgot.plan.changes[-1].froze[0].date == WED
    assert to_freeze(forgot.plan) == [(SUN, 1, FRI), (THU, 1, None)]
    assert "nothing of stew frozen on Wed" in optimiser.render(forgot)
    # A guest may have it fresh, for it keeps until today.
    fresh = changed(fell_over(), "thu", froze="stew=0", joined="Bo@thu").plan
    assert (thawed(fresh), to_freeze(fresh)) == ({THU: 1}, [(SUN, 1, FRI)])


def test_the_freezer_that_was_forgotten_on_the_prep_day() -> None:
    plan = changed(stew(), "tue", froze="stew=0").plan
    # It keeps in the fridge until Thursday: one is frozen today instead, for Friday.
    assert to_freeze(plan) == [(TUE, 1, FRI)]
    assert document(plan)["frozen"] == 0
    more = changed(stew(), "tue", froze="stew=2@sun").plan
    assert to_freeze(more)[:2] == [(SUN, 1, THU), (SUN, 1, FRI)]
    for froze, part in (
        ("stew", "is no number of portions"),
        ("stew=x", "is no number of portions"),
        ("soup=1", "no batch named 'soup'"),
        ("stew=5", "cannot have been frozen on Sun 29 Nov: 4 at the most"),
        ("stew=1@fri", "Fri 4 Dec is still to come"),
        ("stew=1@noon", "is not a day of this week"),
    ):
        with pytest.raises(InputError) as fault:
            optimiser.change(stew(), "tue", froze=froze)
        assert part in fault.value.text, froze
    with pytest.raises(InputError, match="was thawed for Fri"):
        # Friday's was eaten from the freezer.
        optimiser.change(with_saturday(), "sat", froze="stew=0")


def with_saturday() -> PlanFile:
    text = STEW.replace("fri]", "fri, sat]").replace("5 portions", "6 portions")
    return optimiser.plan(text.replace("most_times: 5", "most_times: 6"), reasons=False)


def test_what_was_thawed_in_vain_is_neither_stock_nor_in_the_fridge() -> None:
    plan = changed(stew(), "fri", no_lunch="fri").plan
    assert (plan.left_over.grams, plan.left_over.frozen) == (200, [])
    assert (document(plan)["frozen"], document(plan)["thawed"]) == (0, 1)
    assert all(x.where == "fridge" and x.days for x in optimiser.labels(plan).labels)
    assert not optimiser.freezer(plan).tubs
    after = optimiser.next_week(plan)
    assert not after.batches


def test_what_was_thawed_in_vain_is_thrown_out_by_its_own_day() -> None:
    plan = changed(with_saturday(), "fri", no_lunch="fri").plan
    (spare,) = changed(plan, "sat", no_lunch="sat").spare[-1:]
    assert (spare.do, spare.portions, spare.by) == ("discard", 1, FRI)


def test_the_week_after_has_it_with_its_date_and_its_months() -> None:
    after = optimiser.next_week(fell_over())
    (carried,) = after.batches
    assert (carried.frozen, carried.made) == (1, SUN)
    assert carried.best_by == SUN + timedelta(days=90)
    entry = parse("next", after.text).as_json()["batches"][carried.batch]
    assert entry["frozen"] == "0 portions"
    assert entry["frozen_later"] == [{"day": WED.isoformat(), "portions": "1 portion"}]
    plan = optimiser.plan(after.text, reasons=False)
    (old,) = [x for x in optimiser.freezer(plan).tubs if x.batch == carried.batch]
    assert (old.frozen, old.best_by) == (WED, carried.best_by)


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("{day: sun, portions: 1}", "was not frozen on Sun 29 Nov: it is made on Sun 29 Nov"),
        ("{day: fri, portions: 1}", "from the fridge it is used by Thu 3 Dec"),
        ("{day: 2027-01-02, portions: 1}", "from the fridge it is used by"),
        ("{day: wed, portions: 3}", "the freezer takes 2"),
    ],
)
def test_what_a_file_says_of_late_freezing_is_judged(line: str, part: str) -> None:
    text = STEW.replace("    freezes: yes\n", f"    freezes: yes\n    frozen_later: [{line}]\n")
    with pytest.raises(InputError) as fault:
        optimiser.read_week(text)
    assert part in fault.value.text
    assert "frozen_later" in str(fault.value.where)


# -- the calendar ----------------------------------------------------------------------


def events(plan: PlanFile) -> dict[str, tuple[date, str, str]]:
    """Read a calendar with a parser of others: by UID the day, the title and the text."""
    week = embedded_week(plan)
    text = optimiser.render(diary(week, packed_of(plan, week), plan))
    read = {}
    for event in vobject.readOne(text).vevent_list:
        begins = event.dtstart.value
        day = begins.date() if hasattr(begins, "date") else begins
        text_of = getattr(event, "description", event.summary).value
        read[event.uid.value] = (day, event.summary.value, text_of)
    return read


def test_days_that_are_past_are_never_rewritten_in_the_calendar() -> None:
    plans = [optimiser.plan("demo", reasons=False)]
    for today, told in (
        ("wed", {"no_lunch": "thu", "ate": "pea soup=1"}),
        ("fri", {"froze": "barley pot=1", "dropped": "leek bake=1"}),
    ):
        plans.append(optimiser.change(plans[-1], today, **told).plan)
    assert "freeze 1 portion of pea soup for Sun" in str(events(plans[0]))
    for before, after in pairwise(plans):
        today = after.changes[-1].today
        was, now = events(before), events(after)
        past = {uid: event for uid, event in was.items() if event[0] < today}
        assert past == {uid: event for uid, event in now.items() if event[0] < today}
        assert past
        assert was != now
        # The same thing on a day to come keeps its identity.
        assert {uid for uid in was if was[uid][0] >= today} & now.keys()
        assert not optimiser.audit(after).faults
    assert [uid for uid, event in events(plans[1]).items() if event[1] == "Freeze: barley pot"] == [
        uid for uid, event in events(plans[2]).items() if event[:2] == (WED, "Freeze: barley pot")
    ]


def test_what_must_be_bought_is_told_for_what_is_eaten_instead() -> None:
    answer = optimiser.change(optimiser.plan("demo", reasons=False), "wed", dropped="pea soup=2")
    more = {line.item: line.packs for line in answer.to_buy}
    was = {x.item: x.packs for x in optimiser.plan("demo", reasons=False).packs}
    now: dict[str, int] = {}
    for pack in answer.plan.packs:
        now[pack.item] = now.get(pack.item, 0) + pack.packs
    assert more == {item: n - was.get(item, 0) for item, n in now.items() if n > was.get(item, 0)}
    assert more
