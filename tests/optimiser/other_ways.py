"""Other weeks, volumes and cancellations asked of HiGHS, on the formulation of the oracle."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

from models.file.reading import week_of
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.priorities import PRIORITIES
from optimiser.solve.cpsat import Status
from optimiser.solve.week import Solved, solve_week

from ..oracle import highs
from ..oracle.highs import Line
from ..weeks import SMALL, Size, document_of
from .asking import drawn


def weeks(number: int, size: Size = SMALL, shift: int = 0) -> Iterator[tuple[Week, Solved]]:
    """Give random weeks that can be planned, with their plans."""
    for data in drawn(size, number, shift):
        week = week_of(document_of(data))
        _, solved = solve_week(week)
        if solved.packed is not None and solved.status is Status.OPTIMAL:
            yield week, solved


class Asked:
    """A model in which one value after another is made best and held."""

    def __init__(self, week: Week) -> None:
        self.week = week
        self.model = highs.Model(week)
        self.solver: highs.Solver | None = None

    def least(self, line: Line, *, more: bool = False) -> Fraction | None:
        """Give the best a line can reach, and hold it; None where no week is possible."""
        if self.model.sheet.impossible:
            return None
        if self.solver is None:
            self.solver = highs.Solver(self.model.sheet)
        values = self.solver.least(line, more=more)
        if values is None:
            return None
        reached = line.at(values)
        self.solver.keep(line, reached)
        return reached

    def priority(self, name: str) -> Fraction | None:
        """Give the best a priority can reach, and hold it."""
        line, more = self.model.value(name)
        return self.least(line, more=more)

    def priorities(self, names: Sequence[str]) -> dict[str, Fraction] | None:
        """Give the best of several in order; None where no week is possible."""
        values: dict[str, Fraction] = {}
        for name in names:
            reached = self.priority(name)
            if reached is None:
                return None
            values[name] = reached
        return values

    def at_most(self, line: Line, high: Fraction) -> None:
        """Bound a line before anything is solved."""
        self.model.sheet.row(line, high=high)

    def never(self) -> None:
        """Ask for what cannot be."""
        self.model.sheet.impossible = True

    def beyond_once(self, groups: Iterable[list[int]]) -> Line:
        """Count how often things come beyond once; each group is the columns of one thing."""
        beyond = Line()
        for columns in groups:
            over = self.model.sheet.column(len(columns))
            row = Line().add(over)
            for column in columns:
                row.add(column, -1)
            self.model.sheet.row(row, low=-1)
            beyond.add(over)
        return beyond

    def repeats_of(self, aspect: str, eaten: frozenset[tuple[str, str]] = frozenset()) -> Line:
        """Count repeats of dishes, kinds or choices, or dishes that were eaten lately."""
        week, meals = self.week, self.model.meals
        if aspect == "eaten":
            line = Line()
            for meal in meals:
                for dish, column in meal.dish.items():
                    if (meal.lunch.eater, dish) in eaten:
                        line.add(column)
            return line
        groups: dict[tuple[str, str], list[int]] = {}
        for meal in meals:
            if aspect == "choice":
                for (_, item), column in meal.option.items():
                    groups.setdefault((meal.lunch.eater, item), []).append(column)
                continue
            for dish, column in meal.dish.items():
                name = dish if aspect == "dish" else week.dishes[dish].kind
                groups.setdefault((meal.lunch.eater, name), []).append(column)
        return self.beyond_once(groups.values())

    def fix(self, packed: PackedWeek, before: date) -> None:
        """Hold the lunches before a day as they are packed."""
        lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
        for meal in self.model.meals:
            if meal.lunch.day >= before:
                continue
            lunch = lunches[meal.lunch.eater, meal.lunch.day]
            thawed = {part.batch: part.thawed for part in lunch.portions}
            self.hold(meal.dish[lunch.dish], 1)
            for name, column in meal.portions.items():
                self.hold(column, lunch.of(name))
                self.hold(meal.thawed[name], thawed.get(name, 0))
            for (choice, item), column in meal.option.items():
                self.hold(column, int(lunch.options.get(choice) == item))
            for (dish, item), column in meal.extra.items():
                self.hold(column, lunch.extras.get(item, 0) if dish == lunch.dish else 0)

    def frozen(self, portions: dict[str, int], gone: dict[str, int] | None = None) -> None:
        """Say how many portions went into the freezer; the rest is eaten fresh."""
        for name, number in portions.items():
            thawed, all_ = Line(), Line()
            for meal in self.model.meals:
                thawed.add(meal.thawed[name])
                all_.add(meal.portions[name])
            self.model.sheet.row(thawed, high=number)
            left = self.week.batches[name].portions - number - (gone or {}).get(name, 0)
            self.model.sheet.row(all_.plus(thawed, -1), high=max(0, left))

    def hold(self, column: int, value: int) -> None:
        """Give a column a value."""
        self.model.sheet.row(Line().add(column), low=value, high=value)


def reached(solved: Solved, names: Sequence[str]) -> dict[str, Fraction]:
    """Give what a plan reaches, exactly."""
    values = {value.name: Fraction(value.value) for value in solved.values}
    return {name: values[name] for name in names}


def first(week: Week, name: str) -> Week:
    """Put a priority before all others."""
    rest = tuple(other for other in week.priorities if other != name)
    return replace(week, priorities=(name, *rest))


def most(name: str) -> bool:
    """Tell whether more of a priority is better."""
    return PRIORITIES[name].most
