"""Saved plans of every sort, each made once: wished, kept, changed, of two, of ready weeks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

from models.answers.plan import PlanFile
from models.file.change import Told
from models.file.reading import read_week, week_of
from models.file.yamltext import parse
from models.week.week import Week
from optimiser.auditing import packed_of
from optimiser.changing import change
from optimiser.explain.wishes import wish_of
from optimiser.planning import plan_week
from optimiser.weeks.repeats import asked
from tests.cli.week import WEEK

TWO = """
week:
  name: Two at home
  note: invented
  starts: 2026-11-30
  days: [mon, tue, wed, thu]
  currency: EUR
  guidance: us
place: {fridge: yes, microwave: yes}
no_lunch: [{day: tue, eater: Bo, why: away}]
eaters:
  Ada: {floors: {protein: 8 g}, likes: {Stew: 2}}
  Bo: {must_not: {allergens: [nuts]}}
batches:
  stew:
    made: 2026-11-29
    yield: 9 portions
    portion: 200 g
    nutrition: {protein: 9 g}
    cost: 6
    fridge_life: 1 to 2
    life_source: the cook
    freezes: yes
    freezer: 5 portions
    allergens: [celery]
    free_of: others
  beans:
    made: 2026-11-29
    yield: 5 portions
    portion: 120 g
    nutrition: {protein: 8 g}
    fridge_life: 3 to 4
    life_source: the cook
    allergens: none
    free_of: others
larder:
  yoghurt:
    pack: 150 g
    chilled: yes
    price: 1.10
    opened_life: 1
    per: 100 g
    nutrition: {protein: 4 g}
    allergens: [milk]
    free_of: others
  roll:
    {pack: 6 pieces, nutrition: {protein: 3 g}, allergens: [gluten], free_of: others, chilled: no}
dishes:
  Stew: {kind: hot, takes: {stew: 1 to 2}, microwave: yes, minutes: 4}
  Salad:
    kind: cold
    takes: {beans: 1 to 2}
    goes_in: {yoghurt: 50 g}
    extras: {roll: {portion: 1 piece, most: 1}}
    minutes: 6
variety: {most_times: 4}
"""
"""Two eaters, a day off, a freezer, packs that spoil, what has no price and who is a guest."""


def _week(text: str) -> Week:
    return week_of(parse("week.yaml", text))


def _wished() -> PlanFile:
    week = _week(WEEK)
    wishes = [wish_of(week, said, "--prefer") for said in ("Pot on tue", "Bowl on mon")]
    return plan_week(week, prefer=wishes, varied=asked("all", []), bend=True)


def _two() -> PlanFile:
    return plan_week(_week(TWO))


def _kept() -> PlanFile:
    week = _week(TWO)
    before = packed_of(plan("two"), week)
    return plan_week(week, near=before, reasons=False)


def _changed() -> PlanFile:
    told = Told("wed", no_lunch=("Ada@thu",), ate=("stew=1",), joined=("Cy@thu",))
    return change(plan("two"), told).plan


def _bent() -> PlanFile:
    """A floor of Ada and how often salad comes give way."""
    text = TWO.replace("protein: 8 g}, likes", "protein: 17 g}, likes")
    before = plan_week(_week(text.replace("most_times: 4", "most_times: 2")), reasons=False)
    return change(before, Told("tue", ate=("stew=4",))).plan


def _bought() -> PlanFile:
    """There is nothing for some lunches."""
    return change(plan("bent"), Told("wed", dropped=("beans=4",))).plan


def _counted() -> PlanFile:
    """Ada is three by one entry."""
    text = TWO.replace("Ada: {floors", "Ada: {count: 3, floors")
    return plan_week(_week(text.replace("yield: 9", "yield: 18").replace("yield: 5", "yield: 10")))


def _ready(name: str) -> Callable[[], PlanFile]:
    return lambda: plan_week(read_week(name), reasons=False)


SAVED: Mapping[str, Callable[[], PlanFile]] = {
    "wished": _wished,
    "two": _two,
    "kept": _kept,
    "changed": _changed,
    "bent": _bent,
    "bought": _bought,
    "counted": _counted,
    "demo": _ready("demo"),
    "short": lambda: plan_week(read_week("short")),
    "starter": _ready("starter"),
    "minimal": _ready("minimal"),
    "family": _ready("family"),
}


@cache
def plan(name: str) -> PlanFile:
    """Make a plan, or give the one that was made; it is frozen."""
    made = SAVED[name]()
    assert made.lunches, name
    return made
