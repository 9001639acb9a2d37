"""Questions put to fresh programs, so that claims are judged without those who made them.

The program's own reasons drop rows from one sheet and add rows beside it. Here every
question builds its week anew from a list of rules, and writes what it asks onto the sheet.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache

from hypothesis import HealthCheck, Phase, given, seed, settings

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Slot
from optimiser.board.rows import Row, Sum
from optimiser.priorities import PRIORITIES, values
from optimiser.rules import rules_of
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit
from optimiser.solve.program import Level, Program
from tests import weeks
from tests.weeks import THEMES, Size, WeekData

LONG_ENOUGH = Limit(work=30.0)
"""A question that takes more work than this fails its test; none should come near."""


@dataclass(frozen=True)
class Outcome:
    """What a week that was asked for comes to, held against a plan.

    Attributes
    ----------
    kind
        "impossible", "worse", "as good"; "better" than a plan that is not the best.
    name
        The first priority that is lost, or gained, where one is.
    lost
        How much of it, in its unit, the way that is worse, or better.
    """

    kind: str
    name: str | None = None
    lost: Decimal = Decimal(0)


IMPOSSIBLE = Outcome("impossible")
AS_GOOD = Outcome("as good")


class Question:
    """A fresh program of a week, without some rules or with only some."""

    def __init__(
        self, week: Week, *, without: Collection[str] = (), only: Collection[str] | None = None
    ) -> None:
        rules = [
            rule
            for rule in rules_of(week)
            if rule.key not in without and (only is None or rule.key in only)
        ]
        self.week = week
        self.program = Program(week, rules=rules)

    def slot(self, eater: str, day: date) -> Slot:
        """Find one lunch."""
        slots = self.program.board.slots
        return next(slot for slot in slots if slot.eaters == (eater,) and slot.day == day)

    def forbid(self, eater: str, day: date | None, dish: str) -> Question:
        """Keep a dish from a lunch, or from all lunches of an eater."""
        board = self.program.board
        for slot in board.slots:
            if slot.eaters == (eater,) and day in {None, slot.day}:
                board.sheet.bound(board.times(slot, dish), high=0)
        return self

    def force(self, eater: str, day: date, dish: str) -> Question:
        """Have a dish at a lunch."""
        board = self.program.board
        board.sheet.bound(board.times(self.slot(eater, day), dish), low=1)
        return self

    def level(self, name: str) -> Level:
        """Find a priority's sum."""
        return next(level for level in self.program.levels if level.name == name)

    def as_good_as(self, packed: PackedWeek, names: Collection[str]) -> Question:
        """Keep priorities at least as good as a packed week has them."""
        for name in names:
            level = self.level(name)
            high = steps(level, self.week, packed)
            self.program.board.sheet.bound(level.total, high=high)
        return self

    def better_than(self, packed: PackedWeek, name: str, lost: Decimal = Decimal(0)) -> Question:
        """Keep one priority strictly better than a packed week has it, or than it less a loss."""
        level = self.level(name)
        high = steps(level, self.week, packed) + int(lost * level.priority.per_unit) - 1
        self.program.board.sheet.bound(level.total, high=high)
        return self

    def outcome(self, packed: PackedWeek) -> Outcome:
        """Solve for all priorities in order, until one is not as a packed week has it.

        Nothing is taken from the packed week but what it adds up to: each priority is made
        as good as it can be, and kept so, before the next.
        """
        if not self.possible():
            return IMPOSSIBLE
        for name in named(self.week):
            level = self.level(name)
            least = self.least(name)
            assert least is not None, f"what was possible is not possible any more at {name}"
            lost = least - steps(level, self.week, packed)
            if lost:
                kind = "worse" if lost > 0 else "better"
                return Outcome(kind, name, Decimal(abs(lost)) / level.priority.per_unit)
            self.program.board.sheet.bound(level.total, high=least)
        return AS_GOOD

    def possible(self) -> bool:
        """Tell whether there is such a week."""
        return self._solved(None) is not None

    def least(self, name: str) -> int | None:
        """Give the least of a priority's sum; none where there is no such week."""
        level = self.level(name)
        counts = self._solved(level.total)
        return None if counts is None else level.total.value(counts)

    def _solved(self, objective: Sum | None) -> list[int] | None:
        model = cpsat.model_of(self.program.board.sheet)
        answer = cpsat.solve(model, objective, limit=LONG_ENOUGH)
        assert answer.status in {Status.OPTIMAL, Status.INFEASIBLE}, "a question stayed open"
        return answer.values


def steps(level: Level, week: Week, packed: PackedWeek) -> int:
    """Count what a packed week reaches in a level, in the level's own steps."""
    exact = values(week, packed)[level.name] * level.priority.per_unit
    assert exact == int(exact), f"{level.name} is not whole"
    return -int(exact) if PRIORITIES[level.name].most else int(exact)


def named(week: Week) -> list[str]:
    """List the priorities a cook may name, in the order of the week."""
    return [name for name in week.priorities if name != TIE_BREAK]


def keeps_every_row(rows: Collection[Row], counts: list[int]) -> bool:
    """Tell whether values of counts keep rows, by plain sums."""
    sums = ((row, sum(weight * counts[at] for at, weight in row.terms)) for row in rows)
    return all(
        (row.low is None or row.low <= total) and (row.high is None or total <= row.high)
        for row, total in sums
    )


def drawn(size: Size, number: int, shift: int = 0, *, earlier: bool = False) -> list[WeekData]:
    """Draw so many random weeks of each theme, the same each time.

    Parameters
    ----------
    size
        How much a week may hold.
    number
        How many of each theme.
    shift
        Another one draws other weeks.
    earlier
        As `tests.weeks.files` takes it.
    """
    return [x for theme in THEMES for x in of_theme(size, theme, number, shift, earlier=earlier)]


@cache
def of_theme(
    size: Size, theme: str, number: int, shift: int = 0, *, earlier: bool = False
) -> list[WeekData]:
    """Draw so many random weeks of one theme, the same each time."""
    data_drawn: list[WeekData] = []

    def note(data: WeekData) -> None:
        data_drawn.append(data)

    repeatable = settings(
        max_examples=number,
        deadline=None,
        derandomize=True,
        database=None,
        phases=(Phase.generate,),
        suppress_health_check=(HealthCheck.too_slow, HealthCheck.filter_too_much),
    )
    collect = seed(1000 * shift + THEMES.index(theme))(
        repeatable(given(data=weeks.files(size, theme, earlier=earlier))(note))
    )
    collect()
    return data_drawn
