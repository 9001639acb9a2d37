"""Variety: how often a dish, a choice or a batch may come, and how close together."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.giving import VARIETY
from models.words.numbers import counted
from optimiser.board.board import Board, Slot
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, OfBatch, Rule


def times(count: int) -> str:
    """Say how often.

    Parameters
    ----------
    count
        How often.

    Returns
    -------
    str
        In words up to twice.

    Examples
    --------
    >>> times(2), times(3)
    ('twice', '3 times')
    """
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def windows(days: tuple[date, ...], length: int) -> Iterator[tuple[date, ...]]:
    """Give every run of `length` calendar days that holds two of `days` or more.

    A run is given once, from each of `days` on; days without a lunch count too.

    Parameters
    ----------
    days
        Days with a lunch, in order.
    length
        Calendar days.

    Yields
    ------
    tuple of date
        Those of `days` that lie in the run, in order, two or more.

    Examples
    --------
    >>> monday, wednesday = date(2026, 11, 30), date(2026, 12, 2)
    >>> list(windows((monday, wednesday), 2)), len(list(windows((monday, wednesday), 3)))
    ([], 1)
    """
    for start in days:
        run = tuple(day for day in days if start <= day < start + timedelta(days=length))
        if len(run) > 1:
            yield run


def _slots(board: Board, group: tuple[str, ...], days: tuple[date, ...]) -> Iterator[Slot]:
    return (slot for slot in board.slots_of(group) if slot.day in days)


def _place(lunch: PackedLunch) -> str:
    return f"{day_name(lunch.day)}, {lunch.eater}"


@dataclass(frozen=True)
class MostTimes(Rule):
    """A dish comes at most so often a week for one eater."""

    family: ClassVar[str] = "most times"
    gives: ClassVar[str] = VARIETY
    dish: str
    most: int

    @property
    def subject(self) -> str:
        """The dish."""
        return self.dish

    def sentence(self) -> str:
        """Say how often."""
        return f"{self.dish} may come at most {times(self.most)} a week"

    def post(self, board: Board) -> None:
        """Bound its times for each group."""
        for group in board.groups:
            total = Sum()
            for slot in board.slots_of(group):
                total.plus(board.times_as(slot, self.dish))
            board.sheet.bound(total, high=self.most * len(group), rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count."""
        for eater in week.eaters:
            count = sum(week.dishes[x.dish].counts_as == self.dish for x in packed.of(eater))
            if count > self.most:
                yield self.fault(eater, f"{self.dish} comes {times(count)}", count - self.most)

    def weaker(self) -> tuple[Rule, ...]:
        """Allow it once more."""
        return (replace(self, most=self.most + 1),)

    def edits(self, week: Week) -> tuple[Edit, ...]:
        """State the higher number, with the dish and for all where both are lower."""
        own, everywhere = week.dishes[self.dish].most, week.variety.most_times
        text = f"let {self.dish} come {times(self.most)}"
        edits = []
        if own is not None and own < self.most:
            edits.append(Edit(("dishes", self.dish, "most"), self.most, str(own), text))
        if everywhere is not None and everywhere < self.most:
            path = ("variety", "most_times")
            wording = f"let each dish come {times(self.most)}"
            edits.append(Edit(path, self.most, str(everywhere), wording))
        return tuple(edits)


@dataclass(frozen=True)
class DaysBetween(Rule):
    """So many days lie between two of the same dish."""

    family: ClassVar[str] = "days between"
    gives: ClassVar[str] = VARIETY
    dish: str
    days: int

    @property
    def subject(self) -> str:
        """The dish."""
        return self.dish

    def sentence(self) -> str:
        """Say how many days."""
        if self.days == 1:
            return f"{self.dish} may not come two days running"
        return f"{self.days} days lie between two of {self.dish}"

    def post(self, board: Board) -> None:
        """At most one in every run of days that is too short for two."""
        for group in board.groups:
            days = tuple(slot.day for slot in board.slots_of(group))
            for run in windows(days, self.days + 1):
                total = Sum()
                for slot in _slots(board, group, run):
                    total.plus(board.times_as(slot, self.dish))
                board.sheet.bound(total, high=len(group), rule=self.key)

    def give(self, board: Board) -> Sum:
        """Count the days that lack between each two.

        Two with so many days too few between them lie in as many runs together, where a run
        begins on every day of the calendar.
        """
        broken = Sum()
        for group in board.groups:
            slots = board.slots_of(group)
            first, last = (slots[0].day, slots[-1].day) if slots else (date.min, date.min)
            for ahead in range(-self.days, (last - first).days):
                start = first + timedelta(days=ahead) if slots else first
                run = [x for x in slots if start <= x.day <= start + timedelta(days=self.days)]
                if len(run) > 1:
                    over = board.sheet.count(len(run) - 1, f"{self.key} from {start}")
                    total = Sum([(over, -1)])
                    for slot in run:
                        total.plus(board.times_as(slot, self.dish))
                    board.sheet.bound(total, high=1, rule=self.key)
                    broken.add(over)
        return broken

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Measure the gaps."""
        for eater in week.eaters:
            mine = [x for x in packed.of(eater) if week.dishes[x.dish].counts_as == self.dish]
            for first, second in itertools.pairwise(mine):
                between = (second.day - first.day).days - 1
                if between < self.days:
                    after = counted(between + 1, "day")
                    what = f"{self.dish} again, {after} after the last"
                    yield self.fault(_place(second), what, self.days - between)

    def weaker(self) -> tuple[Rule, ...]:
        """Ask for a day less."""
        return (replace(self, days=self.days - 1),) if self.days > 1 else ()

    def edit(self, week: Week) -> Edit:
        """State fewer days between."""
        return Edit(
            ("variety", "days_between"),
            self.days,
            str(week.variety.days_between),
            f"{counted(self.days, 'day')} between two of a dish, not {week.variety.days_between}",
        )


@dataclass(frozen=True)
class KindsApart(Rule):
    """Dishes of some kinds do not come on two days running."""

    family: ClassVar[str] = "kinds apart"
    gives: ClassVar[str] = VARIETY
    kinds: frozenset[str]
    apart: bool = True

    @property
    def subject(self) -> str:
        """The kinds."""
        return " or ".join(sorted(self.kinds))

    def sentence(self) -> str:
        """Say which kinds."""
        if not self.apart:
            return f"dishes of the kind {self.subject} may come two days running"
        return f"no dishes of the kind {self.subject} two days running"

    def post(self, board: Board) -> None:
        """At most one on every two days running."""
        for group in board.groups if self.apart else ():
            days = tuple(slot.day for slot in board.slots_of(group))
            for run in windows(days, 2):
                total = Sum()
                for slot in _slots(board, group, run):
                    total.plus(board.of_kinds(slot, self.kinds))
                board.sheet.bound(total, high=len(group), rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On lunches the day before or after one of these kinds."""
        return any(
            abs((other.day - lunch.day).days) == 1 and week.dishes[other.dish].kind in self.kinds
            for other in packed.of(lunch.eater)
        )

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look at each pair of days."""
        for eater in week.eaters if self.apart else ():
            mine = packed.of(eater)
            for first, second in itertools.pairwise(mine):
                kinds = {week.dishes[first.dish].kind, week.dishes[second.dish].kind}
                if (second.day - first.day).days == 1 and kinds <= self.kinds:
                    yield self.fault(_place(second), f"{second.dish} the day after {first.dish}")

    def weaker(self) -> tuple[Rule, ...]:
        """Let them follow each other."""
        return (replace(self, apart=False),) if self.apart else ()

    def edit(self, week: Week) -> Edit:
        """Take the kinds off the list."""
        at = week.variety.kinds_apart.index(self.kinds)
        return Edit(
            ("variety", "kinds_apart", at),
            None,
            self.subject,
            f"dishes of the kind {self.subject} two days running",
        )


@dataclass(frozen=True)
class SameChoice(Rule):
    """The same option of a choice comes at most so often a week for one eater."""

    family: ClassVar[str] = "same choice"
    gives: ClassVar[str] = VARIETY
    choice: str
    most: int

    @property
    def subject(self) -> str:
        """The choice."""
        return self.choice

    def sentence(self) -> str:
        """Say how often."""
        return f"the same {self.choice} may come at most {times(self.most)} a week"

    def post(self, board: Board) -> None:
        """Bound the times of each option."""
        for group in board.groups:
            for option in board.week.choices[self.choice].options:
                total = Sum()
                for slot in board.slots_of(group):
                    total.plus(board.chosen(slot, self.choice, option.item))
                board.sheet.bound(total, high=self.most * len(group), rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count."""
        for eater in week.eaters:
            taken = [lunch.options.get(self.choice) for lunch in packed.of(eater)]
            for option in week.choices[self.choice].options:
                count = taken.count(option.item)
                if count > self.most:
                    what = f"{option.item} comes {times(count)}"
                    yield self.fault(eater, what, count - self.most)

    def weaker(self) -> tuple[Rule, ...]:
        """Allow it once more."""
        return (replace(self, most=self.most + 1),)

    def edit(self, week: Week) -> Edit:
        """State the higher number."""
        return Edit(
            ("variety", "same_choice"),
            self.most,
            str(week.variety.same_choice),
            f"the same {self.choice} {times(self.most)} (the number is for every choice)",
        )


@dataclass(frozen=True)
class BatchRunning(OfBatch):
    """A batch is eaten on at most so many days running."""

    family: ClassVar[str] = "days running"
    gives: ClassVar[str] = VARIETY
    most: int

    def sentence(self) -> str:
        """Say how many days."""
        days = counted(self.most, "day")
        return f"{self.batch} may be eaten at most {days} running"

    def post(self, board: Board) -> None:
        """In every run of one day more, at least one is without it."""
        for group in board.groups:
            days = tuple(slot.day for slot in board.slots_of(group))
            for run in windows(days, self.most + 1):
                if len(run) > self.most:
                    total = Sum()
                    for slot in _slots(board, group, run):
                        total.plus(board.with_batch(slot, self.batch))
                    board.sheet.bound(total, high=self.most * len(group), rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count days running."""
        for eater in week.eaters:
            running, last = 0, date.min
            for lunch in (x for x in packed.of(eater) if x.of(self.batch)):
                running = running + 1 if (lunch.day - last).days == 1 else 1
                last = lunch.day
                if running > self.most:
                    yield self.fault(_place(lunch), f"{self.batch} on {running} days running")

    def weaker(self) -> tuple[Rule, ...]:
        """Allow a day more."""
        return (replace(self, most=self.most + 1),)

    def edit(self, week: Week) -> Edit:
        """State more days."""
        return Edit(
            ("variety", "batch_running"),
            self.most,
            str(week.variety.batch_running),
            f"{self.batch} on {counted(self.most, 'day')} running (the number is for every batch)",
        )


def rules(week: Week) -> Iterator[Rule]:
    """Give the rules that the variety of the week asks for, where they can bind.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        By dish, then kinds, choices and batches, each in the order of the file.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal") + "variety: {most_times: 2}")
    >>> print(next(rule.sentence() for rule in rules(week)))
    Rice, beans and cheese may come at most twice a week
    """
    variety = week.variety
    for dish in week.dishes.values():
        if dish.same_as:
            continue
        limits = [limit for limit in (dish.most, variety.most_times) if limit is not None]
        if limits and min(limits) < len(week.days):
            yield MostTimes(dish.name, min(limits))
        if variety.days_between:
            yield DaysBetween(dish.name, variety.days_between)
    for kinds in variety.kinds_apart:
        yield KindsApart(kinds)
    if variety.same_choice is not None:
        for name in week.choices:
            yield SameChoice(name, variety.same_choice)
    if variety.batch_running is not None:
        for name in week.batches:
            yield BatchRunning(name, variety.batch_running)
