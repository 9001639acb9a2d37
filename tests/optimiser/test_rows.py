"""What the rows of a rule allow is what its check finds, plan by plan and rule by rule.

A rule is told twice, as rows for a solver and as a check without one. Random plans of one week that
has every rule are put to both: rows of rules that are kept go together, those of a rule that is
broken do not hold, and what giving way comes to at its least is what the check counts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from itertools import islice
from random import Random

import pytest

from models.file.reading import week_of
from models.week import sums
from models.week.guards import Kind
from models.week.packed import OpenedPacks, PackedLunch, PackedPortions, PackedWeek
from models.week.week import Dish, Lunch, Week
from models.words.giving import FLOORS, VARIETY
from models.words.units import GRAM, MILLILITRE, magnitude, quantity
from optimiser.board import scale
from optimiser.board.board import Board, Serving, each_alone
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.priorities import PRIORITIES
from optimiser.rules import Rule, rules_of
from optimiser.rules.box import BoxRoom, WetBesideCrisp
from optimiser.rules.eaten_within import EatenWithin
from optimiser.rules.freezer import Freezer, FreezerMonths
from optimiser.rules.fridge import Fridge
from optimiser.rules.must_not import MustNot
from optimiser.rules.nutrition import Ceiling, Floor
from optimiser.rules.on_hand import OnHand
from optimiser.rules.packs import UseBy
from optimiser.rules.place import ColdBag, Microwave
from optimiser.rules.served import Served
from optimiser.rules.stock import Supply
from optimiser.rules.thawed_from import ThawedFrom
from optimiser.rules.usable_protein import UsableProtein
from optimiser.rules.variety import (
    BatchRunning,
    DaysBetween,
    KindsApart,
    MostTimes,
    SameChoice,
)
from optimiser.rules.versions import post_versions
from optimiser.rules.wished import Wished
from optimiser.solve import cpsat
from tests.depth import sized
from tests.oracle.test_faults import EVERY_RULE
from tests.weeks import WeekData, document_of

PLANS = sized(56, 2_000)
MON, TUE, WED, THU = (date(2026, 11, 30) + timedelta(days=at) for at in range(4))
LOTS = ((date(2026, 11, 28), 1), (date(2026, 11, 29), 1))
LATER = ((date(2026, 11, 29), 1), (MON, 1), (TUE, 1))

BY_HAND: tuple[Rule, ...] = (
    Supply("farls", 1, "piece"),
    Supply("beans", 4, "portion", gone=1),
    Supply("custard", 3, "portion", gone=1, earlier=True),
    Fridge("farls", 2, 1, "piece", gone=1),
    Fridge("beans", 2, 1, "portion", gone=2, thawed=1),
    Fridge("custard", 1, 1, "portion", earlier=True),
    Fridge("compote", 1, 0, "portion", thawed=3),
    Freezer("farls", 1, date(2026, 11, 29), TUE, "piece"),
    Freezer("beans", 0, MON, THU, "portion"),
    Freezer("custard", 2, date(2026, 11, 28), MON, "portion", earlier=True, lots=LOTS),
    Freezer("compote", 3, date(2026, 11, 29), TUE, "portion", lots=LATER),
    FreezerMonths("custard", date(2026, 11, 1), 1, TUE, "the food table"),
    OnHand("farls", TUE, 2, 1, 1, frozen_today=1),
    OnHand("beans", WED, 1, 0, 0, room=1),
    OnHand("compote", TUE, 0, 0, 0),
    OnHand("custard", MON, 1, 1, 1, room=2),
    ThawedFrom("farls", WED),
    Served("Tart", "seeds", 2, always=True),
    Served("Tart", "cracker", 1, always=False),
    EatenWithin("farls", 0),
    EatenWithin("beans", 1),
    DaysBetween("Roll", 2),
    DaysBetween("Tart", 1),
    MostTimes("Roll", 1),
    MostTimes("Soup", 0),
    KindsApart(frozenset({"bread", "grain"})),
    KindsApart(frozenset({"plate"}), apart=False),
    SameChoice("side", 1),
    BatchRunning("farls", 1),
    BatchRunning("beans", 3),
    Wished("Soup", TUE, None),
    Wished("Bowl", WED, "Ada", times=0),
    MustNot("Ada", "vegetarian", Kind.DIET),
    MustNot("Bo", "halal", Kind.DIET),
    Microwave("Ada", (TUE, THU)),
    ColdBag("Ada", (MON,)),
    BoxRoom("Ada", "tin", (quantity(155, MILLILITRE),), ()),
    WetBesideCrisp("Ada", "tin", (quantity(155, MILLILITRE),), ()),
    UseBy("leaves", MON),
    UsableProtein("Bo", "usable:LYS", quantity(Decimal("1.25"), GRAM)),
    UsableProtein("Bo", "usable:PROCNT", quantity(1, GRAM)),
    UsableProtein("Ada", "usable:PROCNT", quantity(Decimal("2.0004"), GRAM)),
    Floor(
        "Ada", "PROCNT", quantity(Decimal("8.0404"), GRAM), weekly=False, note="as the cook says"
    ),
    Floor("Bo", "NA", quantity(Decimal("0.4"), GRAM), weekly=True, note="", guidance="uk"),
    Ceiling("Ada", "PROCNT", quantity(20, GRAM), weekly=True, note=""),
    Ceiling("Bo", "ENERC", quantity(300, "kilocalorie"), weekly=False, note=""),
)
"""Rules that no file of that week asks for, each of its sort with other numbers."""


def small_week() -> WeekData:
    """Give the handmade week with fewer portions a lunch and less room in the box."""
    data: WeekData = deepcopy(EVERY_RULE)
    takes = {"farls": "0 to 3", "beans": "0 to 2", "compote": "0 to 1", "custard": "0 to 1"}
    for name, dish in data["dishes"].items():
        dish["takes"] = {"farls": "0 to 3"} if name == "Toast" else takes
    data["boxes"]["tin"]["compartments"] = ["110 mL", "50 mL"]
    data["batches"]["farls"]["yield"] = "6 pieces"
    data["batches"]["beans"]["yield"] = "5 portions"
    # Thirds of a thousandth, which rows round to the side that is safe.
    figures = {"protein": "1 g", "energy": "10 kcal", "salt": "0 g"}
    data["larder"]["yoghurt"] |= {"per": "30 g", "nutrition": figures}
    data["batches"]["beans"]["cost"] = Decimal("4.05")
    for at, item in enumerate(data["larder"].values(), 1):
        item["price"] = Decimal(f"1.{at:02}")
    for at, dish in enumerate(data["dishes"].values()):
        dish["minutes"] = Decimal(at)
    data["eaters"]["Ada"]["likes"] = {"Roll": Decimal(2), "Soup": Decimal(-1)}
    return data


def any_lunch(dice: Random, week: Week, lunch: Lunch, dishes: list[Dish]) -> PackedLunch:
    """Pack any lunch that the counts of a board can tell, whatever the rules say of it."""
    dish = dice.choice(dishes)
    parts = []
    for take in dish.takes:
        many = (dice.randint(take.least, take.most) for _ in range(2))
        number, batch = min(many), week.batches[take.batch]
        may_thaw = batch.frozen is not None or lunch.day >= batch.thaws_from
        parts.append(PackedPortions(take.batch, number, dice.randint(0, number) * may_thaw))
    sides = {name: dice.choice(week.choices[name].options).item for name in dish.choices}
    extras = {extra.helping.item: dice.randint(0, extra.most) for extra in dish.extras}
    return PackedLunch(lunch.eater, lunch.day, dish.name, tuple(parts), sides, extras)


def needed(week: Week, packed: PackedWeek) -> Iterator[OpenedPacks]:
    yield from sums.packs_needed(week, sums.uses(week, packed))


def packs_of(dice: Random, board: Board, packed: PackedWeek) -> Iterator[OpenedPacks]:
    """Open what spoils when it is needed, but for two plans in five, which open it anyhow."""
    if dice.random() < 0.6:
        yield from needed(board.week, packed)
        return
    yield from (pack for pack in needed(board.week, packed) if pack.item not in board.opened_counts)
    for item, by_day in board.opened_counts.items():
        for day, count in by_day.items():
            if dice.random() < 0.5:
                yield OpenedPacks(item, day, dice.randint(1, board.sheet.bounds[count][1]))


def counts_of(board: Board, packed: PackedWeek) -> dict[int, int]:
    """Give each count that a packed week settles, as the board numbers it."""
    counts = Counter[int]()
    for kinds in (board.serving_counts, board.option_counts, board.extra_counts, board.thaw_counts):
        for named in kinds:
            counts.update(dict.fromkeys(named.values(), 0))
    slots = {(eater, slot.day): slot.at for slot in board.slots for eater in slot.eaters}
    for lunch in packed.lunches:
        at = slots[lunch.eater, lunch.day]
        portions = tuple((part.batch, part.portions) for part in lunch.portions)
        counts[board.serving_counts[at][Serving(lunch.dish, portions)]] += 1
        for choice, item in lunch.options.items():
            counts[board.option_counts[at][lunch.dish, choice, item]] += 1
        for item, number in lunch.extras.items():
            counts[board.extra_counts[at][lunch.dish, item]] += number
        for part in lunch.portions:
            if part.thawed:
                counts[board.thaw_counts[at][part.batch]] += part.thawed
    for by_day in board.opened_counts.values():
        counts.update(dict.fromkeys(by_day.values(), 0))
    for pack in packed.packs:
        if pack.item in board.opened_counts:
            counts[board.opened_counts[pack.item][pack.opened]] += pack.packs
    return dict(counts)


def least(sheet: Sheet, rows: Iterable[Row], counts: dict[int, int], total: Sum) -> int | None:
    """Give the least of a sum where some counts are settled; None where rows cannot hold."""
    free: dict[int, int] = {}
    rest = Sheet()

    def left(terms: Iterable[tuple[int, int]]) -> tuple[Sum, int]:
        open_, known = Sum(), 0
        for count, weight in terms:
            if count in counts:
                known += weight * counts[count]
                continue
            if count not in free:
                low, high = sheet.bounds[count]
                free[count] = rest.count(high, sheet.names[count], low)
            open_.add(free[count], weight)
        return open_, known

    for row in rows:
        open_, known = left(row.terms)
        open_.constant = known
        if open_.terms:
            rest.bound(open_, low=row.low, high=row.high)
        elif not (row.low is None or row.low <= known) or not (
            row.high is None or known <= row.high
        ):
            return None
    wanted, known = left(total.terms.items())
    known += total.constant
    if not rest.rows and not wanted.terms:
        return known
    solution = cpsat.solve(cpsat.model_of(rest), wanted)
    assert solution.status in {"optimal", "infeasible"}
    return None if solution.values is None else known + wanted.value(solution.values)


@dataclass(frozen=True)
class Written:
    """A board with every rule on it, and beside it one where those that may do give way."""

    week: Week
    rules: Sequence[Rule]
    board: Board
    posted: dict[str | None, list[Row]]
    giving: Board
    given: dict[str, tuple[list[Row], Sum]]

    def least_of(self, kept: Iterable[str], packed: PackedWeek) -> int | None:
        """Give 0 where the rows of some rules hold together, else None."""
        rows = [row for key in (None, *kept) for row in self.posted.get(key, [])]
        return least(self.board.sheet, rows, counts_of(self.board, packed), Sum())

    def least_given(self, rule: str, packed: PackedWeek) -> int | None:
        rows, broken = self.given[rule]
        return least(self.giving.sheet, rows, counts_of(self.giving, packed), broken)


def written(data: WeekData, rules: Sequence[Rule] = ()) -> Written:
    """Write the rules of a week, or others, on its board."""
    week = week_of(document_of(data))
    rules = rules or rules_of(week)
    board, giving = Board(week, each_alone(week)), Board(week, each_alone(week))
    for rule in rules:
        rule.post(board)
    posted: dict[str | None, list[Row]] = {}
    for row in board.sheet.rows:
        posted.setdefault(row.rule, []).append(row)
    given = {}
    for rule in rules:
        if rule.gives:
            start = len(giving.sheet.rows)
            broken = rule.give(giving)
            rows = giving.sheet.rows[start:]
            assert any(row.rule == rule.key for row in rows) or not broken.terms, rule.key
            given[rule.key] = (rows, broken)
    return Written(week, rules, board, posted, giving, given)


@cache
def every_rule() -> Written:
    return written(small_week())


@cache
def by_hand() -> Written:
    return written(small_week(), BY_HAND)


def random_plans(every: Written) -> Iterator[PackedWeek]:
    dice = Random(1)
    dishes = list(every.week.dishes.values())
    for at in range(PLANS):
        # One plan in eight has one dish every day.
        some = [dishes[at // 8 % len(dishes)]] if at % 8 == 0 else dishes
        lunches = tuple(any_lunch(dice, every.week, lunch, some) for lunch in every.week.lunches)
        packed = PackedWeek(lunches, ())
        yield PackedWeek(lunches, tuple(packs_of(dice, every.board, packed)))


@pytest.mark.parametrize("of", [every_rule, by_hand])
def test_rows_allow_what_the_check_finds_no_fault_in(of: Callable[[], Written]) -> None:
    every = of()
    broken, kept = set[str](), set[str]()
    for packed in random_plans(every):
        # Packs that are too few for what is eaten cannot be counted at all; all else can.
        counted = every.least_of([], packed) == 0
        assert counted or set(packed.packs) != set(needed(every.week, packed))
        faults = {rule.key: list(rule.faults(every.week, packed)) for rule in every.rules}
        fine = [key for key, found in faults.items() if not found]
        assert not counted or every.least_of(fine, packed) == 0, packed
        kept.update(fine)
        for key in faults.keys() - set(fine):
            # What an earlier week froze is bounded by the rule on what is in fridge and freezer.
            beside = ["fridge:custard"] if key == "freezer:custard" else []
            assert every.least_of([key, *beside], packed) is None, (key, packed)
            broken.add(key)
    # Each sort of rule is seen kept and broken, or the plans say little.
    families = {rule.family for rule in every.rules}
    assert families == {key.partition(":")[0] for key in broken}
    assert families == {key.partition(":")[0] for key in kept}


def test_the_sum_of_a_priority_is_its_value() -> None:
    every = every_rule()
    board = Board(every.week, each_alone(every.week))
    for rule in every.rules:
        if rule.family in {"stock", "opened life", "fridge"}:
            rule.post(board)
    start = len(board.sheet.rows)
    totals = {name: priority.total(board) for name, priority in PRIORITIES.items()}
    told = set[str]()
    for packed in random_plans(every):
        counts = counts_of(board, packed)
        fits = least(board.sheet, board.sheet.rows[:start], counts, Sum()) == 0
        # Nobody asks what a pack leaves that is opened and not used.
        if not fits or set(packed.packs) != set(needed(every.week, packed)):
            continue
        for name, priority in PRIORITIES.items():
            exact = priority.value(every.week, packed) * priority.per_unit
            steps = least(board.sheet, board.sheet.rows, counts, totals[name])
            assert steps is not None
            # Prices are rounded up to the hundredth of a cent.
            assert exact <= steps <= exact + (20 if priority.rounded else 0), (name, packed)
            told |= {name} if exact else set()
    assert told == set(PRIORITIES)


def test_what_keeps_without_end_once_opened_is_not_left_over() -> None:
    # As of a week whose packs keep for ever: what they hold yet may be kept, all of it.
    week = every_rule().week
    board = Board(week, each_alone(week))
    for rule in every_rule().rules:
        if rule.family in {"stock", "fridge"}:
            rule.post(board)
    total = PRIORITIES["left_over"].total(board)
    opened = 0
    for packed in random_plans(every_rule()):
        steps = least(board.sheet, board.sheet.rows, counts_of(board, packed), total)
        if steps is not None:
            cooked = (
                sums.wasted(week, packed, name) * magnitude(batch.portion, GRAM)
                for name, batch in week.batches.items()
            )
            assert steps == sum(cooked) * PRIORITIES["left_over"].per_unit
            opened += any(pack.item == "yoghurt" for pack in packed.packs)
    assert opened


def test_what_goes_into_the_freezer_today_may_be_thawed_later() -> None:
    rule = OnHand("farls", TUE, 4, 0, 0, room=2)
    every = written(small_week(), (rule,))
    dice, bowl = Random(1), every.week.dishes["Bowl"]
    for thawed in range(4):
        lunches = []
        for lunch in every.week.lunches:
            many = thawed if (lunch.eater, lunch.day) == ("Ada", THU) else 0
            parts = (
                PackedPortions(take.batch, many, many)
                if take.batch == "farls"
                else PackedPortions(take.batch, 0, 0)
                for take in bowl.takes
            )
            any_bowl = any_lunch(dice, every.week, lunch, [bowl])
            lunches.append(replace(any_bowl, portions=tuple(parts)))
        packed = PackedWeek(tuple(lunches), ())
        packed = replace(packed, packs=tuple(needed(every.week, packed)))
        fits = thawed <= 2
        assert (every.least_of([rule.key], packed) == 0) is fits, thawed
        assert (not list(rule.faults(every.week, packed))) is fits, thawed


@pytest.mark.parametrize(
    "rule",
    [
        Floor("Ada", "PROCNT", quantity(8, GRAM), weekly=False, note=""),
        UsableProtein("Ada", "usable:PROCNT", quantity(2, GRAM)),
    ],
    ids=["floor", "usable protein"],
)
def test_a_lunch_that_is_bought_is_short_of_nothing(rule: Rule) -> None:
    week = every_rule().week
    board = Board(week, each_alone(week), may_buy=True)
    start = len(board.sheet.rows)
    broken = rule.give(board)
    nothing = dict.fromkeys(range(len(board.sheet.bounds)), 0)
    for lack in broken.terms:
        del nothing[lack]
    slots = [slot.at for slot in board.slots if "Ada" in slot.eaters]
    for some in (slots, slots[1:], []):
        counts = nothing | {board.bought_counts[at]: 1 for at in some}
        short = least(board.sheet, board.sheet.rows[start:], counts, broken)
        assert short == scale.PER_UNIT * (len(slots) - len(some))


def test_who_is_away_all_week_asks_for_nothing() -> None:
    data = small_week()
    data["no_lunch"].append({"day": "mon", "eater": "Bo"})
    data["eaters"]["Bo"]["floors"] = {}
    away = written(data)
    for packed in islice(random_plans(away), 4):
        for rule in away.rules:
            by = sum(fault.by for fault in rule.faults(away.week, packed))
            if rule.gives:
                given = away.least_given(rule.key, packed)
                assert given is not None
                assert by <= given <= by + 2, rule.key


def test_when_all_is_eaten_nothing_is_alike() -> None:
    week = replace(every_rule().week, lunches=())
    board = Board(week, each_alone(week))
    for rule in (*rules_of(week), *BY_HAND):
        if rule.gives == VARIETY:
            broken = rule.give(board)
            assert least(board.sheet, board.sheet.rows, {}, broken) == 0, rule.key


def test_of_the_versions_of_a_rule_exactly_one_holds() -> None:
    board = Board(every_rule().week, each_alone(every_rule().week))
    start = len(board.sheet.rows)
    rooms = (quantity(number, MILLILITRE) for number in (155, 165))
    pot = quantity(30, MILLILITRE)
    versions = [BoxRoom("Ada", "tin", (room,), (pot,)) for room in rooms]
    switches = post_versions(board, versions)
    *rows, choice = board.sheet.rows[start:]
    for row in rows:
        assert (row.rule is None) == (row.when is None), "what words mean holds in any"
    assert {row.when for row in rows} == {None, *switches}
    assert choice == Row(tuple((switch, 1) for switch in switches), 1, 1, None)
    assert [board.sheet.bounds[switch] for switch in switches] == [(0, 1), (0, 1)]


@pytest.mark.parametrize("of", [every_rule, by_hand])
def test_what_giving_way_comes_to_is_what_the_check_counts(of: Callable[[], Written]) -> None:
    every = of()
    seen = Counter[str]()
    for packed in random_plans(every):
        for rule in every.rules:
            if rule.gives:
                by = sum(fault.by for fault in rule.faults(every.week, packed))
                given = every.least_given(rule.key, packed)
                # What a helping holds is rounded down, to the thousandth of a gram.
                most = by + 2 if rule.gives == FLOORS else by
                assert given is not None
                assert by <= given <= most, (rule.key, packed)
                seen[rule.family] += by > 0
    assert min(seen.values()) > 0
