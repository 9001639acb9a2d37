"""The same weeks as an integer program for another solver, HiGHS.

It exists so that a mistake in the program's own rows cannot hide: this model is written
from the section "What a week means" alone, with other variables and other rows. Each
lunch has a yes or no per dish and whole amounts bounded by the dish it is; servings are
never listed. Packs that spoil have no drawing variables: enough packs are open when, for
every stretch of days, those that may serve it hold what it uses (Hall's condition).

HiGHS reckons in floating point. All data are scaled to whole numbers, each answer is
rounded and held against every row in exact arithmetic, and each priority's value is
counted from the rounded answer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from itertools import combinations
from math import ceil, floor, gcd, lcm
from typing import TypeAlias

import highspy
import numpy as np

from models.foods.families import derived
from models.foods.parts import Contents
from models.week.week import Batch, Bound, Eater, Helping, LarderItem, Lunch, Texture, Week
from models.words.families import ALLERGEN_OF, OF_ALLERGEN, WITHIN
from models.words.nutrients import NUTRIENTS
from models.words.units import GRAM, MILLILITRE, Quantity, magnitude
from tests.oracle.plain import PATTERN, usable

Food: TypeAlias = Batch | LarderItem
WorthOf: TypeAlias = "Callable[[Meal, str], int]"

_ENDINGS = (("s", ""), ("es", ""), ("ies", "y"))
"""How words end when they mean several, and when they mean one."""

LARGEST = 10**7
"""Whole numbers above this would leave the tolerances of HiGHS too little room."""


TOLERANCE = 1e-7
"""HiGHS's own for a linear program, and ten times finer than its own for whole numbers ("List of
options", ergo-code.github.io/HiGHS). With 1e-9 the simplex of HiGHS 1.16 cut off the best week of
one random week in 400 and called the next best proven; with 1e-8, 1e-7, other seeds or presolve it
found it. Whether an answer keeps every row is reckoned in whole numbers all the same."""


class TooFineError(ValueError):
    """These data are too fine for the second solver."""


class Line:
    """A sum of variables with exact coefficients."""

    def __init__(self, constant: Fraction | int = 0) -> None:
        self.terms: dict[int, Fraction] = {}
        self.constant = Fraction(constant)

    def add(self, column: int, coefficient: Fraction | int = 1) -> Line:
        self.terms[column] = self.terms.get(column, Fraction(0)) + coefficient
        return self

    def plus(self, other: Line, times: Fraction | int = 1) -> Line:
        for column, coefficient in other.terms.items():
            self.add(column, coefficient * times)
        self.constant += other.constant * times
        return self

    def at(self, values: list[int]) -> Fraction:
        return self.constant + sum(
            (coefficient * values[column] for column, coefficient in self.terms.items()),
            Fraction(0),
        )

    def whole(self) -> tuple[dict[int, int], Fraction]:
        """Give whole coefficients without a common factor, and what they were scaled by."""
        terms = {column: number for column, number in self.terms.items() if number}
        if not terms:
            return {}, Fraction(1)
        up = lcm(*(number.denominator for number in terms.values()))
        down = gcd(*(int(number * up) for number in terms.values()))
        scale = Fraction(up, down)
        whole = {column: int(number * scale) for column, number in terms.items()}
        if max(abs(number) for number in whole.values()) > LARGEST:
            raise TooFineError
        return whole, scale


def total(lines: Iterable[Line]) -> Line:
    """Add lines up."""
    copy = Line()
    for line in lines:
        copy.plus(line)
    return copy


@dataclass(slots=True)
class Row:
    """Whole coefficients, and whole bounds where there are any."""

    terms: dict[int, int]
    low: int | None
    high: int | None

    def holds(self, values: list[int]) -> bool:
        total = sum(number * values[column] for column, number in self.terms.items())
        return (self.low is None or self.low <= total) and (self.high is None or total <= self.high)


class Sheet:
    """Whole variables and rows of them."""

    def __init__(self) -> None:
        self.lows: list[int] = []
        self.highs: list[int] = []
        self.rows: list[Row] = []
        self.impossible = False

    def column(self, high: int, low: int = 0) -> int:
        self.lows.append(low)
        self.highs.append(high)
        return len(self.lows) - 1

    def forbid(self, column: int) -> None:
        self.highs[column] = 0

    def row(
        self,
        line: Line,
        *,
        low: Fraction | int | None = None,
        high: Fraction | int | None = None,
    ) -> Row:
        terms, scale = line.whole()
        # The left side is whole, so the bounds may be drawn in to whole numbers.
        row = Row(
            terms,
            None if low is None else ceil((low - line.constant) * scale),
            None if high is None else -ceil((line.constant - high) * scale),
        )
        if terms:
            self.rows.append(row)
        elif not row.holds([]):
            self.impossible = True
        return row

    def holds(self, values: list[int]) -> bool:
        inside = all(
            low <= value <= high
            for low, value, high in zip(self.lows, values, self.highs, strict=True)
        )
        return inside and all(row.holds(values) for row in self.rows)


@dataclass(slots=True)
class Meal:
    """The variables of one lunch."""

    lunch: Lunch
    bought: int = -1
    dish: dict[str, int] = field(default_factory=dict)
    portions: dict[str, int] = field(default_factory=dict)
    thawed: dict[str, int] = field(default_factory=dict)
    option: dict[tuple[str, str], int] = field(default_factory=dict)
    extra: dict[tuple[str, str], int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Best:
    """What can be reached in each priority, in order; nothing when no week is possible."""

    values: tuple[tuple[str, Fraction], ...] | None


def best(week: Week) -> Best:
    """Find the best value of each priority after those before it."""
    return _best(Model(week), week.priorities)


NEAREST = ("bought", "floors", "variety")
"""What gives way in the nearest week, each as little as can be, before the priorities count."""


def nearest(week: Week) -> Best:
    """Find the same of the week that is nearest to one that keeps every rule."""
    levels = [*NEAREST[:2], *(["wishes"] if week.wishes else []), *NEAREST[2:]]
    return _best(Model(week, gives=True), (*levels, *week.priorities))


def _best(model: Model, order: Iterable[str]) -> Best:
    if model.sheet.impossible:
        return Best(None)
    solver = Solver(model.sheet)
    best_values: list[tuple[str, Fraction]] = []
    for name in order:
        line, more = model.value(name)
        values = solver.least(line, more=more)
        if values is None:
            if best_values:
                raise AssertionError(f"what was possible is not possible any more at {name}")
            return Best(None)
        reached = line.at(values)
        best_values.append((name, reached))
        solver.keep(line, reached)
    return Best(tuple(best_values))


class Solver:
    """HiGHS on one sheet, asked for one line after another."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.highs = highspy.Highs()  # type: ignore[no-untyped-call]
        for option, setting in (
            ("output_flag", False),
            ("threads", 1),
            # Presolve with an earlier answer to start from made HiGHS 1.16 call weeks best
            # that are not, so neither is used.
            ("presolve", "off"),
            ("mip_rel_gap", 0.0),
            # Every objective is whole, so less than one apart is the same value.
            ("mip_abs_gap", 0.5),
            *((f"{kind}_feasibility_tolerance", TOLERANCE) for kind in ("mip", "primal", "dual")),
        ):
            if self.highs.setOptionValue(option, setting) != highspy.HighsStatus.kOk:
                raise AssertionError(f"HiGHS knows no option {option}")
        self.highs.passModel(self._model())

    def _model(self) -> highspy.HighsLp:
        sheet, lp = self.sheet, highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(sheet.lows), len(sheet.rows)
        lp.col_cost_ = np.zeros(len(sheet.lows))
        lp.col_lower_ = np.array(sheet.lows, dtype=np.float64)
        lp.col_upper_ = np.array(sheet.highs, dtype=np.float64)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(sheet.lows)
        lp.row_lower_ = np.array([_bound(row.low, -1) for row in sheet.rows])
        lp.row_upper_ = np.array([_bound(row.high, 1) for row in sheet.rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        starts = np.cumsum([0, *(len(row.terms) for row in sheet.rows)])
        lp.a_matrix_.start_ = starts.astype(np.int32)
        lp.a_matrix_.index_ = np.array([at for row in sheet.rows for at in row.terms], np.int32)
        lp.a_matrix_.value_ = np.array(
            [number for row in sheet.rows for number in row.terms.values()], np.float64
        )
        return lp

    def least(self, line: Line, *, more: bool) -> list[int] | None:
        """Find values that make a line smallest (largest), or nothing when there are none."""
        terms, _ = line.whole()
        costs = np.zeros(len(self.sheet.lows))
        for column, number in terms.items():
            costs[column] = -number if more else number
        self.highs.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)
        # Each search starts afresh: nothing may rest on the one before it.
        self.highs.clearSolver()
        self.highs.run()
        status = self.highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            raise AssertionError(f"HiGHS stopped with {status}")
        values = [round(value) for value in self.highs.getSolution().col_value]
        if not self.sheet.holds(values):
            raise AssertionError("HiGHS rounded gives a week that breaks a row")
        return values

    def keep(self, line: Line, reached: Fraction) -> None:
        """Hold a line at the value it has reached."""
        row = self.sheet.row(line, low=reached, high=reached)
        if row.terms:
            self.highs.addRow(
                _bound(row.low, -1),
                _bound(row.high, 1),
                len(row.terms),
                np.array(list(row.terms), np.int32),
                np.array(list(row.terms.values()), np.float64),
            )


def _bound(bound: int | None, sign: int) -> float:
    return sign * highspy.kHighsInf if bound is None else float(bound)


class Model:
    """A week as variables and rows."""

    def __init__(self, week: Week, *, gives: bool = False) -> None:
        self.week = week
        self.gives = gives
        self.sheet = Sheet()
        self.bought = Line()
        self.short = Line()
        self.unvaried = Line()
        self.unwished = Line()
        self.meals = [self._meal(lunch) for lunch in week.lunches]
        self.uses = {
            (at, name): self._uses(meal, name)
            for at, meal in enumerate(self.meals)
            for name in week.larder
        }
        self.packs = {
            (name, day): self.sheet.column(self._many_packs(item))
            for name, item in week.larder.items()
            if item.opened_life is not None
            for day in week.days
        }
        self.kept = {
            name: self._packs_that_keep(item)
            for name, item in week.larder.items()
            if item.opened_life is None and not item.loose
        }
        self.again = {
            (eater, dish): self.sheet.column(len(week.days))
            for eater in week.eaters
            for dish in week.dishes
            if not week.dishes[dish].same_as
        }
        self._stock_and_freezer()
        self._packs_suffice()
        self._eaten_within()
        self._wished()
        for at, meal in enumerate(self.meals):
            self._nothing_banned(meal)
            self._box(at, meal)
        for eater in week.eaters.values():
            mine = [at for at, meal in enumerate(self.meals) if meal.lunch.eater == eater.name]
            self._nutrition(eater, mine)
            self._variety(eater, [self.meals[at] for at in mine])

    # -- one lunch ------------------------------------------------------------

    def _meal(self, lunch: Lunch) -> Meal:
        sheet, meal = self.sheet, Meal(lunch)
        meal.dish = {name: sheet.column(1) for name in self.week.dishes}
        meal.bought = sheet.column(1 if self.gives else 0)
        self.bought.add(meal.bought)
        packed = total(Line().add(column) for column in meal.dish.values())
        sheet.row(packed.add(meal.bought), low=1, high=1)
        for name, batch in self.week.batches.items():
            self._portions(meal, name, batch)
        for name, choice in self.week.choices.items():
            picked = Line()
            for option in choice.options:
                column = meal.option[name, option.item] = sheet.column(1)
                picked.add(column)
            for dish in self.week.dishes.values():
                if name in dish.choices:
                    picked.add(meal.dish[dish.name], -1)
            sheet.row(picked, low=0, high=0)
        for dish in self.week.dishes.values():
            for extra in dish.extras:
                column = meal.extra[dish.name, extra.helping.item] = sheet.column(extra.most)
                sheet.row(Line().add(column).add(meal.dish[dish.name], -extra.most), high=0)
        return meal

    def _portions(self, meal: Meal, name: str, batch: Batch) -> None:
        sheet, day = self.sheet, meal.lunch.day
        portions = meal.portions[name] = sheet.column(batch.portions)
        thawed = meal.thawed[name] = sheet.column(batch.portions)
        above, below = Line().add(portions), Line().add(portions)
        for dish in self.week.dishes.values():
            for take in dish.takes:
                if take.batch == name:
                    above.add(meal.dish[dish.name], -take.least)
                    below.add(meal.dish[dish.name], -take.most)
        sheet.row(above, low=0)
        sheet.row(below, high=0)
        sheet.row(Line().add(portions).add(thawed, -1), low=0)
        since = (day - batch.made).days
        if since < 1:
            sheet.forbid(portions)
        planned = not batch.earlier and batch.frozen is None
        if (since <= batch.life.low and planned) or since < 2:
            sheet.forbid(thawed)
        if batch.freezer_months is not None and since > 30 * batch.freezer_months[1]:
            sheet.forbid(thawed)
        if since > batch.life.high:
            sheet.row(Line().add(portions).add(thawed, -1), high=0)

    def _uses(self, meal: Meal, item: str) -> Line:
        """Add up what a lunch uses of an item, in the item's unit."""
        line = Line()
        for column, helping in self._helpings(meal):
            if helping.item == item:
                line.add(column, self._in_unit(helping))
        return line

    def _helpings(self, meal: Meal) -> Iterable[tuple[int, Helping]]:
        for dish in self.week.dishes.values():
            for helping in dish.goes_in:
                yield meal.dish[dish.name], helping
            for extra in dish.extras:
                yield meal.extra[dish.name, extra.helping.item], extra.helping
        for name, choice in self.week.choices.items():
            for option in choice.options:
                yield meal.option[name, option.item], option

    def _in_unit(self, helping: Helping) -> Fraction:
        return Fraction(magnitude(helping.amount, self.week.larder[helping.item].unit))

    def _nothing_banned(self, meal: Meal) -> None:
        eater, place = self.week.eaters[meal.lunch.eater], meal.lunch.place
        warm = not place.fridge and place.cold_packs < 2
        for name, batch in self.week.batches.items():
            if (warm and batch.chilled) or _unwanted(eater, name, batch.contents):
                self.sheet.forbid(meal.portions[name])
        for column, helping in self._helpings(meal):
            item = self.week.larder[helping.item]
            late = item.use_by is not None and meal.lunch.day > item.use_by
            cold = warm and item.chilled
            if late or cold or _unwanted(eater, item.name, item.contents):
                self.sheet.forbid(column)
        if not place.microwave:
            for dish in self.week.dishes.values():
                if dish.microwave:
                    self.sheet.forbid(meal.dish[dish.name])

    # -- sums of food ---------------------------------------------------------

    def _foods(self, at: int) -> Iterable[tuple[Food, Line]]:
        """List every food with how many times its stated figures count in a lunch."""
        for name, batch in self.week.batches.items():
            yield batch, Line().add(self.meals[at].portions[name])
        for name, item in self.week.larder.items():
            per = Fraction(magnitude(item.per, item.unit))
            yield item, Line().plus(self.uses[at, name], 1 / per)

    def _nutrient(self, at: int, tagname: str) -> Line:
        line = Line()
        for food, times in self._foods(at):
            if tagname in food.nutrition:
                line.plus(times, _amount(food.nutrition[tagname], NUTRIENTS[tagname].unit))
        return line

    def _nutrition(self, eater: Eater, mine: list[int]) -> None:
        for bound in eater.floors:
            if bound.nutrient == "usable_protein":
                self._usable(_amount(bound.amount, GRAM), mine)
                continue
            low = _amount(bound.amount, NUTRIENTS[bound.nutrient].unit)
            for number, line in enumerate(self._bounded(bound, mine)):
                self._reach(line, low, None if bound.weekly else self.meals[mine[number]])
        for ceiling in eater.ceilings:
            for line in self._bounded(ceiling, mine):
                high = _amount(ceiling.amount, NUTRIENTS[ceiling.nutrient].unit)
                self.sheet.row(line, high=high)

    def _usable(self, least: Fraction, mine: list[int]) -> None:
        # Of each helping whole thousandths of a gram count, as the section has it: sums over the
        # table's own figures are too fine for this solver.
        for meal in (self.meals[at] for at in mine):
            for tags in PATTERN:
                line = Line()
                for name, batch in self.week.batches.items():
                    line.add(meal.portions[name], _rounded(usable(batch, tags)))
                for column, helping in self._helpings(meal):
                    item = self.week.larder[helping.item]
                    times = self._in_unit(helping) / Fraction(magnitude(item.per, item.unit))
                    line.add(column, _rounded(usable(item, tags) * times))
                self._reach(line, least, meal)

    def _reach(self, line: Line, low: Fraction, meal: Meal | None) -> None:
        """Reach a floor, or be short of it by thousandths."""
        if not self.gives:
            self.sheet.row(line, low=low)
            return
        lack = self.sheet.column(1000)
        self.short.add(lack)
        reached = Line().plus(line, 1000 / low).add(lack)
        if meal is not None:
            reached.add(meal.bought, 1000)
        self.sheet.row(reached, low=1000)

    def _at_most(self, line: Line, most: int, by: int = 1) -> None:
        """Keep a line from passing a number, or count by how much it does."""
        if not self.gives:
            self.sheet.row(line, high=most)
            return
        over = self.sheet.column(len(line.terms))
        self.unvaried.add(over, by)
        self.sheet.row(Line().plus(line).add(over, -1), high=most)

    def _bounded(self, bound: Bound, mine: list[int]) -> list[Line]:
        lines = [self._nutrient(at, bound.nutrient) for at in mine]
        return [total(lines)] if bound.weekly and mine else lines

    def _box(self, at: int, meal: Meal) -> None:
        name = self.week.eaters[meal.lunch.eater].box
        if name is None:
            return
        box = self.week.boxes[name]
        rooms = [_amount(room, MILLILITRE) for room in box.compartments]
        pots = sum((_amount(room, MILLILITRE) for room in box.pots), Fraction(0))
        taken = {texture: Line() for texture in Texture}
        for food, times in self._foods(at):
            if food.room is not None:
                taken[food.texture].plus(times, _amount(food.room, MILLILITRE))
        wet, crisp = taken[Texture.WET], taken[Texture.CRISP]
        dry = total((crisp, taken[Texture.PLAIN]))
        self.sheet.row(dry, high=sum(rooms))
        self.sheet.row(total((dry, wet)), high=sum(rooms) + pots)
        for_crisp = Line()
        for room in rooms:
            for_crisp.add(self.sheet.column(1), room)
        self.sheet.row(Line().plus(for_crisp).plus(crisp, -1), low=0)
        self.sheet.row(Line().plus(for_crisp).plus(wet), high=sum(rooms) + pots)

    # -- the whole week -------------------------------------------------------

    def _stock_and_freezer(self) -> None:
        for name, batch in self.week.batches.items():
            self.sheet.row(self._packed(name), high=batch.portions - batch.gone)
            self.sheet.row(self._thawed(name), high=max(batch.freezer, batch.frozen or 0))
            if batch.frozen is not None:
                fridge = max(0, batch.portions - batch.gone - batch.thawed - batch.frozen)
                self.sheet.row(self._fresh(name), high=fridge)
                self.sheet.row(self._thawed(name), high=batch.frozen)
            for day, _ in batch.frozen_later:
                # Frozen on a day or later: to a lunch two days on at the earliest.
                not_yet = sum(number for later, number in batch.frozen_later if later >= day)
                early = Line()
                for meal in self.meals:
                    if (meal.lunch.day - day).days < 2:
                        early.add(meal.thawed[name])
                self.sheet.row(early, high=(batch.frozen or 0) - not_yet)

    def _fresh(self, batch: str) -> Line:
        return self._packed(batch).plus(self._thawed(batch), -1)

    def _packed(self, batch: str) -> Line:
        return total(Line().add(meal.portions[batch]) for meal in self.meals)

    def _thawed(self, batch: str) -> Line:
        return total(Line().add(meal.thawed[batch]) for meal in self.meals)

    def _used_on(self, item: str, day: date) -> Line:
        return total(
            self.uses[at, item] for at, meal in enumerate(self.meals) if meal.lunch.day == day
        )

    def _many_packs(self, item: LarderItem) -> int:
        # More of an item than all helpings of it on all lunches is never needed.
        most = Fraction(0)
        for meal in self.meals:
            for column, helping in self._helpings(meal):
                if helping.item == item.name:
                    most += self._in_unit(helping) * self.sheet.highs[column]
        return ceil(most / Fraction(magnitude(item.pack, item.unit)))

    def _packs_suffice(self) -> None:
        for name, item in self.week.larder.items():
            if item.opened_life is None:
                continue
            pack = Fraction(magnitude(item.pack, item.unit))
            life = timedelta(days=item.opened_life)
            days = self.week.days
            for start, first in enumerate(days):
                for end, last in enumerate(days[start:], start):
                    line = Line()
                    for day in days:
                        if first - life <= day <= last:
                            line.add(self.packs[name, day], pack)
                    for day in days[start : end + 1]:
                        line.plus(self._used_on(name, day), -1)
                    self.sheet.row(line, low=0)

    def _packs_that_keep(self, item: LarderItem) -> int:
        """Count packs that hold all that is used of an item over the week."""
        column = self.sheet.column(self._many_packs(item))
        packs = Line().add(column, Fraction(magnitude(item.pack, item.unit)))
        for at in range(len(self.meals)):
            packs.plus(self.uses[at, item.name], -1)
        self.sheet.row(packs, low=0)
        return column

    def _eaten_within(self) -> None:
        # No two lunches too far apart both have some, whoever eats them.
        for name, batch in self.week.batches.items():
            limit = batch.limits.get("eaten_within")
            if limit is None:
                continue
            some = [self.sheet.column(1) for _ in self.meals]
            for meal, column in zip(self.meals, some, strict=True):
                have = Line().add(meal.portions[name]).add(column, -batch.portions)
                self.sheet.row(have, high=0)
            late = self.sheet.column(len(self.week.days) * 7 if self.gives else 0)
            self.unvaried.add(late)
            for earlier, other in combinations(range(len(self.meals)), 2):
                days = self.meals[other].lunch.day - self.meals[earlier].lunch.day
                if (beyond := abs(days.days) - limit) > 0:
                    both = Line().add(some[earlier], beyond).add(some[other], beyond)
                    self.sheet.row(both.add(late, -1), high=beyond)

    def _wished(self) -> None:
        # Some lunch that is meant has the dish, or the wish is not granted.
        for wish in self.week.wishes:
            meant = [
                meal
                for meal in self.meals
                if meal.lunch.day == wish.day and wish.eater in (None, meal.lunch.eater)
            ]
            if meant:
                lack = self.sheet.column(1 if self.gives else 0)
                self.unwished.add(lack)
                some = total(Line().add(meal.dish[wish.dish]) for meal in meant)
                self.sheet.row(Line().plus(some).add(lack), low=1)

    def _variety(self, eater: Eater, meals: list[Meal]) -> None:
        variety, sheet = self.week.variety, self.sheet
        ways: dict[str, list[str]] = {}
        for dish in self.week.dishes.values():
            ways.setdefault(dish.same_as or dish.name, []).append(dish.name)
        for dish in (self.week.dishes[name] for name in ways):
            times = total(Line().add(meal.dish[x]) for meal in meals for x in ways[dish.name])
            limits = [most for most in (dish.most, variety.most_times) if most is not None]
            if limits:
                self._at_most(times, min(limits))
            again = Line().add(self.again[eater.name, dish.name]).plus(times, -1)
            sheet.row(again, low=-1)
        for earlier, other in combinations(meals, 2):
            apart = abs((other.lunch.day - earlier.lunch.day).days)
            if apart - 1 < variety.days_between:
                lack = variety.days_between - (apart - 1)
                between = [
                    meal for meal in meals if earlier.lunch.day < meal.lunch.day < other.lunch.day
                ]
                for names in ways.values():
                    both = Line()
                    for name in names:
                        both.add(earlier.dish[name]).add(other.dish[name])
                        for meal in between if self.gives else ():
                            # With another between them it is those two that are too close.
                            both.add(meal.dish[name], -1)
                    self._at_most(both, 1, lack)
            if apart == 1:
                self._kinds_apart(earlier, other)
        if variety.same_choice is not None:
            for name, choice in self.week.choices.items():
                for option in choice.options:
                    chosen = (Line().add(meal.option[name, option.item]) for meal in meals)
                    self._at_most(total(chosen), variety.same_choice)
        if variety.batch_running is not None:
            for name in self.week.batches:
                self._running(name, meals, variety.batch_running)

    def _kinds_apart(self, earlier: Meal, other: Meal) -> None:
        for group in self.week.variety.kinds_apart:
            line = Line()
            for dish in self.week.dishes.values():
                if dish.kind in group:
                    line.add(earlier.dish[dish.name]).add(other.dish[dish.name])
            self._at_most(line, 1)

    def _running(self, batch: str, meals: list[Meal], most: int) -> None:
        eaten: dict[date, int] = {}
        for meal in meals:
            column = eaten[meal.lunch.day] = self.sheet.column(1)
            many = self.week.batches[batch].portions
            self.sheet.row(Line().add(meal.portions[batch]).add(column, -many), high=0)
        for first in eaten:
            run = [first + timedelta(days=ahead) for ahead in range(most + 1)]
            if all(day in eaten for day in run):
                self._at_most(total(Line().add(eaten[day]) for day in run), most)

    # -- priorities -----------------------------------------------------------

    def value(self, name: str) -> tuple[Line, bool]:
        """Give a priority as a line, and whether more of it is better."""
        ways = {
            "bought": lambda: self.bought,
            "floors": lambda: Line().plus(self.short, Fraction(1, 10)),
            "wishes": lambda: self.unwished,
            "variety": lambda: self.unvaried,
            "left_over": self._left_over,
            "repeats": self._repeats,
            "freshness": self._freshness,
            "thawed": lambda: total(self._thawed(name) for name in self.week.batches),
            "liking": lambda: self._by_dish(
                lambda meal, dish: self.week.eaters[meal.lunch.eater].likes.get(dish, 0)
            ),
            "cost": self._cost,
            "minutes": lambda: self._by_dish(lambda _, dish: self.week.dishes[dish].minutes),
            "packs_opened": self._packs_opened,
            "file_order": self._file_order,
        }
        return ways[name](), name == "liking"

    def _by_dish(self, worth: WorthOf) -> Line:
        line = Line()
        for meal in self.meals:
            for dish, column in meal.dish.items():
                line.add(column, worth(meal, dish))
        return line

    def _left_over(self) -> Line:
        line = Line()
        for name, batch in self.week.batches.items():
            grams = _amount(batch.portion, GRAM)
            line.plus(self._portions_left(name), grams)
        for (name, day), packs in self.packs.items():
            item = self.week.larder[name]
            if item.mass is None:
                raise AssertionError(f"{name} spoils and has no mass")
            rest = Line().add(packs, Fraction(magnitude(item.pack, item.unit)))
            rest.plus(self._used_on(name, day), -1)
            line.plus(rest, _amount(item.mass, GRAM))
        return line

    def _portions_left(self, name: str) -> Line:
        batch = self.week.batches[name]
        there, eaten = batch.portions - batch.gone, self._packed(name)
        if batch.frozen is not None:
            # What stays in the freezer is there for a later week.
            there, eaten = there - batch.frozen, self._fresh(name)
        return Line(there).plus(eaten, -1)

    def _repeats(self) -> Line:
        return total(Line().add(column) for column in self.again.values())

    def _freshness(self) -> Line:
        line = Line()
        for meal in self.meals:
            for name, batch in self.week.batches.items():
                late = max(0, (meal.lunch.day - batch.made).days - batch.life.low)
                line.add(meal.portions[name], late).add(meal.thawed[name], -late)
        return line

    def _cost(self) -> Line:
        line = Line(sum((Fraction(batch.cost) for batch in self.week.batches.values()), Fraction()))
        for (name, _), packs in self.packs.items():
            line.add(packs, Fraction(self.week.larder[name].price))
        for meal in self.meals:
            for column, helping in self._helpings(meal):
                item = self.week.larder[helping.item]
                if item.opened_life is None:
                    pack = Fraction(magnitude(item.pack, item.unit))
                    share = Fraction(item.price) * self._in_unit(helping) / pack
                    line.add(column, Fraction(ceil(share * 100), 100))
        return line

    def _packs_opened(self) -> Line:
        return total(Line().add(packs) for packs in (*self.packs.values(), *self.kept.values()))

    def _file_order(self) -> Line:
        days, line = self.week.days, Line()
        ranks = {name: rank for rank, name in enumerate(self.week.dishes)}
        for meal in self.meals:
            ahead = len(days) - days.index(meal.lunch.day)
            for dish, column in meal.dish.items():
                line.add(column, ranks[dish] * ahead)
            for name, choice in self.week.choices.items():
                for rank, option in enumerate(choice.options):
                    line.add(meal.option[name, option.item], rank)
        return line


def _amount(amount: Quantity, unit: str) -> Fraction:
    return Fraction(magnitude(amount, unit))


def _rounded(amount: Fraction) -> Fraction:
    return Fraction(floor(amount * 1000), 1000)


def _unwanted(eater: Eater, name: str, contents: Contents) -> bool:
    if any(_may_cause(allergen, contents) for allergen in eater.avoids_allergens):
        return True
    return any(_may_hold(food, name, contents) for food in eater.avoids_foods)


def _may_cause(allergen: str, contents: Contents) -> bool:
    """Tell whether an allergen is in it, or nobody who knows said that it is not."""
    if contents.allergens is not None:
        return allergen in contents.allergens
    family = OF_ALLERGEN.get(allergen, allergen)
    open_parts = [part for part in contents.parts if part.name in contents.unsettled]
    said = family in contents.free_of or (
        len(open_parts) > 0 and all(family in part.free_of for part in open_parts)
    )
    return allergen in contents.known or not said


def _may_hold(food: str, name: str, contents: Contents) -> bool:
    """Tell whether a food or family is in it or may be, from what it is made of."""
    if food not in WITHIN:
        named = any(_is_in(food, thing) for thing in (name, *contents.foods))
        return named or not _is_described(food, contents)
    certain = {family for part in contents.parts for family in part.families.holds}
    perhaps = {family for part in contents.parts for family in part.families.may}
    group = ALLERGEN_OF.get(food)
    if group is not None and _may_cause(group, contents):
        return True
    if food in certain and group is None:
        return True
    if contents.free_of & {food, *WITHIN[food]}:
        return False
    if food in derived((name,)).holds:
        return True
    if group is not None or _is_free(food, contents):
        return False
    return food in perhaps or not _is_described(food, contents)


def _is_described(food: str, contents: Contents) -> bool:
    """Tell whether someone said enough to know that a food is not in it."""
    whole = contents.told and all(part.families.told for part in contents.parts)
    return whole or _is_free(food, contents)


def _is_free(food: str, contents: Contents) -> bool:
    wider = {food, *WITHIN.get(food, ())}
    return "others" in contents.free_of or bool(contents.free_of & wider)


def _is_in(food: str, name: str) -> bool:
    """Tell whether each word of a food is in one name, in whatever order and number."""
    asked, there = _words(food), _words(name)
    return bool(asked) and all(any(word & other for other in there) for word in asked)


def _words(name: str) -> list[set[str]]:
    """Give each word of a name with what it may be the plural of."""
    return [
        {word}
        | {word.removesuffix(end) + instead for end, instead in _ENDINGS if word.endswith(end)}
        for word in re.findall(r"[^\W_]+", name.casefold())
    ]
