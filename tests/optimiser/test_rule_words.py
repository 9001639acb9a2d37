"""What every rule says of itself: its words, numbers and weaker versions, and each of its faults.

The file kept beside is read by a person whenever it changes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from copy import deepcopy
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from itertools import islice
from pathlib import Path

from models.file.every_fault import every_fault
from models.file.reading import ready_text, week_of
from models.week.guards import Kind
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.week import Week
from models.words.units import GRAM, quantity
from optimiser.rules import Rule, rule_line, rules_of
from optimiser.rules.freezer import Freezer
from optimiser.rules.fridge import Fridge
from optimiser.rules.must_not import MustNot
from optimiser.rules.nutrition import Floor, step_of
from optimiser.rules.stock import Supply
from optimiser.rules.variety import BatchRunning, DaysBetween, windows
from tests.optimiser.test_rows import BY_HAND, MON, by_hand, random_plans
from tests.oracle.test_faults import CASES, EVERY_RULE, FINE
from tests.weeks import WeekData, document_of

KEPT = Path(__file__).parent / "golden" / "rules.txt"


MORE = (
    Fridge("custard", 2, 1, "portion", earlier=True),
    Floor("Ada", "PROCNT", quantity(0, GRAM), weekly=False, note=""),
    Floor("Ada", "PROCNT", quantity(1, GRAM), weekly=False, note=""),
    Floor("Ada", "PROCNT", quantity(120, GRAM), weekly=False, note=""),
)


def of_itself(rule: Rule, week: Week) -> Iterator[str]:
    line = rule_line(rule)
    assert (line.key, line.sentence) == (rule.key, rule.sentence())
    assert (line.numbers, line.source) == (rule.numbers(), rule.source)
    yield f"{rule.key}"
    yield f"    {rule.sentence()}"
    yield f"    numbers: {rule.numbers()}"
    if rule.source:
        yield f"    source: {rule.source}"
    marks = {"safety": rule.safety, "prep": rule.prep, f"gives {rule.gives}": rule.gives}
    yield f"    {', '.join(mark for mark, on in marks.items() if on) or 'never gives way'}"
    for weaker in rule.weaker():
        source = f" ({weaker.source})" if weaker.source else ""
        yield f"    weaker: {weaker.sentence()}{source}"
        # A file says no more of a rule by hand than that it is not its own.
        if rule in rules_of(week):
            yield from edits(weaker, week)


def edits(rule: Rule, week: Week) -> Iterator[str]:
    for edit in rule.edits(week):
        at = " > ".join(map(str, edit.path))
        yield f"        {at}: {edit.value!r} ({edit.was}): {edit.text}"


def otherwise() -> Iterator[str]:
    """Say the edits of a week in which each has other numbers, and what else may be cooked."""
    data: WeekData = deepcopy(EVERY_RULE)
    data["eaters"]["Bo"] |= {
        "floors": {"usable_protein": "4.5624 g", "iron": "2.5 mg"},
        "box": "tin",
    }
    data["eaters"]["Ada"]["week_floors"] = {"salt": "2.0044 g", "fibre": "7 g"}
    data["variety"] |= {"days_between": Decimal(3), "batch_running": Decimal(1)}
    data["dishes"]["Roll"]["most"] = Decimal(3)
    data["dishes"]["Bowl"]["most"] = Decimal(2)
    data["batches"]["farls"]["freezer"] = "0 portions"
    data["boxes"]["tin"] = {"compartments": ["205.4 mL", "100 mL"], "pots": ["30 mL", "7.5 mL"]}
    data["wishes"] = ["Bowl on tue", "Roll on mon for Ada"]
    week = week_of(document_of(data))
    for rule in rules_of(week):
        for weaker in rule.weaker():
            yield f"{rule.key} < {weaker.sentence()}"
            yield from edits(weaker, week)
        if isinstance(rule, Supply):
            for other in rule.others(2):
                yield f"{rule.key} ~ {other.sentence()}"
                yield from edits(other, week)
    few = (Supply("beans", 3, "portion", gone=1), Supply("custard", 3, "portion", earlier=True))
    for supply in few:
        yield f"{supply.batch}: {[other.sentence() for other in supply.others(3)]}"
    more = replace(Freezer("farls", 0, MON, MON, "piece"), portions=2)
    yield from edits(more, week)


def bearing(rule: Rule, week: Week, packed: PackedWeek) -> Iterator[str]:
    bears = [lunch for lunch in packed.lunches if rule.bears_on(week, packed, lunch)]
    if bears:
        lunches = ", ".join(f"{lunch.eater} {lunch.day:%a}" for lunch in bears)
        yield f"    bears on: {lunches}"


def faults(rules: Iterable[Rule], week: Week, packed: PackedWeek) -> Iterator[str]:
    for rule in rules:
        for fault in rule.faults(week, packed):
            short = f" / {fault.short}" if fault.short else ""
            yield f"    {fault.rule} | {fault.where} | {fault.what} | {fault.by}{short}"


def everything() -> Iterator[str]:
    week = week_of(document_of(EVERY_RULE))
    rules = rules_of(week)
    for rule in rules:
        yield from of_itself(rule, week)
        yield from bearing(rule, week, FINE)
    yield "\n-- otherwise --\n"
    yield from otherwise()
    yield "\n-- by hand --\n"
    for rule in (*BY_HAND, *MORE):
        yield from of_itself(rule, week)
        yield from bearing(rule, week, FINE)
    for packed in (FINE, *islice(random_plans(by_hand()), 8)):
        yield "\na plan:"
        yield from faults(BY_HAND, week, packed)
    for name, (_, edit) in CASES.items():
        yield f"\n{name}:"
        yield from faults(rules, week, edit(FINE))


def test_every_rule_says_what_is_kept() -> None:
    text = "\n".join(everything()) + "\n"
    if os.environ.get("REWRITE_GOLDEN"):
        KEPT.write_text(text)
    assert text == KEPT.read_text()


def test_gaps_and_runs_are_counted_in_days() -> None:
    week = week_of(document_of(EVERY_RULE))

    def found(rule: Rule, *days: int) -> list[tuple[str, int]]:
        one = (PackedPortions("farls", 1, 0),)
        dates = (MON + timedelta(days=day) for day in days)
        lunches = tuple(PackedLunch("Ada", day, "Roll", one, {}, {}) for day in dates)
        faults = rule.faults(week, replace(FINE, lunches=lunches))
        return [(fault.what, fault.by) for fault in faults]

    assert found(DaysBetween("Roll", 2), 0, 2) == [("Roll again, 2 days after the last", 1)]
    assert found(DaysBetween("Roll", 2), 0, 1, 4) == [("Roll again, 1 day after the last", 2)]
    running = BatchRunning("farls", 1)
    assert found(running, 0, 2, 4) == []
    assert [what for what, _ in found(running, 0, 2, 3, 4)] == [
        "farls on 2 days running",
        "farls on 3 days running",
    ]
    # A run is of two days with a lunch or more.
    assert [*windows((MON, MON + timedelta(days=2)), 2)] == []


def test_a_step_is_round_and_about_a_twentieth() -> None:
    steps = {0: 1, 1: "0.05", 19: "0.5", 20: 1, 99: 2, 100: 5, 120: 5, 750: 20}
    for number, step in steps.items():
        assert step_of(Decimal(number)) == Decimal(step), number


def test_a_rule_in_the_way_names_what_it_bars() -> None:
    curds = [f"curd {at}" for at in range(1, 7)]
    for names, told in (
        ([], "hard cheese"),
        (curds[:5], "hard cheese, curd 1, curd 2, curd 3, curd 4 and curd 5"),
        (curds, "hard cheese, curd 1, curd 2, curd 3, curd 4, curd 5 and 1 more"),
    ):
        curd = "".join(f", {name}: {{food: cheddar, pack: 200 g}}" for name in names)
        text = ready_text("minimal").replace("price: 0.40}", f"price: 0.40}}{curd}")
        week, _ = every_fault("mine.yaml", text)
        assert week is not None
        milk = MustNot("Ilse", "milk", Kind.ALLERGEN)
        line = rule_line(milk, week)
        assert (line.key, line.sentence) == (milk.key, f"{milk.sentence()}; that bars {told}")
        # What is barred by its own name is not named twice, nor is anything where nothing is.
        for rule in (
            MustNot("Ilse", "apple", Kind.FOOD),
            MustNot("Ilse", "fenugreek", Kind.FOOD),
            Supply("rice and beans", 4, "portion"),
        ):
            assert rule_line(rule, week).sentence == rule.sentence()


def keys(data: WeekData, family: str) -> list[str]:
    """Give whom or what the rules of a family are about."""
    rules = rules_of(week_of(document_of(data)))
    return [rule.key.partition(":")[2] for rule in rules if rule.family == family]


def test_a_week_has_the_rules_that_can_bind_and_no_others() -> None:
    data: WeekData = deepcopy(EVERY_RULE)
    dishes = data["dishes"]
    first, second, third, *_ = dishes
    for dish in dishes.values():
        dish.pop("most", None)
    most = {**data["variety"], "most_times": Decimal(3)}
    few = keys(data | {"variety": most}, "most times")
    assert few[:3] == [first, second, third]
    # What counts as another dish has no number of its own, and those after it have theirs.
    alike = dishes | {second: dishes[second] | {"same_as": first}}
    assert keys(data | {"variety": most, "dishes": alike}, "most times") == [
        name for name in few if name != second
    ]
    # As often as there are days is no limit.
    assert keys(data | {"variety": most | {"most_times": Decimal(4)}}, "most times") == []
    # Who is away all week has no floor over it, and one a lunch that no lunch breaks.
    away = [{"day": day, "eater": "Ada"} for day in ("mon", "tue", "wed", "thu")]
    gone = data | {"no_lunch": away, "wishes": [], "elsewhere": []}
    assert [key for key in keys(gone, "floor") if "Ada" in key] == ["protein of Ada"]


def test_faults_are_those_of_the_batch_and_of_what_is_eaten() -> None:
    week = week_of(document_of(EVERY_RULE))
    one = PackedLunch("Ada", MON, "Roll", (PackedPortions("farls", -1, 0),), {}, {})
    packed = replace(FINE, lunches=(one,))
    assert [fault.what for fault in Supply("farls", 3, "piece").faults(week, packed)] == [
        f"-1 packed on {MON}"
    ]
    assert list(Supply("beans", 3, "portion").faults(week, packed)) == []
