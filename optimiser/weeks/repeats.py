"""No repeats: no dish, kind or choice twice for one eater, nor what was eaten lately.

Each is a number of repeats to make as small as can be before anything else counts. Where it
cannot be none, the week with the fewest is the nearest thing that can be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.board.rows import Sum
from optimiser.solve.program import Program

Aspect = Literal["dish", "kind", "choice", "eaten"]
WAYS: dict[str, tuple[Aspect, ...]] = {
    "dish": ("dish", "eaten"),
    "kind": ("kind", "eaten"),
    "all": ("dish", "eaten", "kind", "choice"),
}
"""What each way of asking keeps apart, what matters most first.

Of choices it is items: one counts each time that it is chosen, by two choices of one lunch as by
one choice of two lunches.
"""

_TITLES: dict[Aspect, str] = {
    "dish": "no dish twice",
    "kind": "no kind of dish twice",
    "choice": "no choice twice",
    "eaten": "nothing that was eaten lately",
}


@dataclass(frozen=True, slots=True)
class Repeats:
    """Repeats of one sort, for each eater and all together.

    Attributes
    ----------
    eaten
        Eaters with a dish they had lately; only for the aspect "eaten".
    """

    aspect: Aspect
    eaten: frozenset[tuple[str, str]] = frozenset()

    @property
    def title(self) -> str:
        """What is asked, in words."""
        return _TITLES[self.aspect]

    def total(self, program: Program) -> Sum:
        """Count the repeats in a program.

        Parameters
        ----------
        program
            The program of a week; counts and rows are added to it.

        Returns
        -------
        Sum
            Times beyond the first, over all eaters; at its least what `count` counts.
        """
        if self.aspect == "eaten":
            return self._lately(program)
        total = Sum()
        board = program.board
        for group in board.groups:
            for name, sums in _things(program, self.aspect, group).items():
                # Two choices may put the same item in one lunch twice.
                top = len(sums) * len(group)
                over = board.sheet.count(top, f"{group[0]} {name} again")
                once_less = Sum([(over, 1)])
                for times in sums:
                    once_less.plus(times, -1)
                board.sheet.bound(once_less, low=-len(group), rule=None)
                total.add(over, 1)
        return total

    def _lately(self, program: Program) -> Sum:
        total = Sum()
        for slot in program.board.slots:
            for dish in program.week.dishes:
                times = sum(self._had(program.week, eater, dish) for eater in slot.eaters)
                if times:
                    total.plus(program.board.times(slot, dish), times)
        return total

    def _had(self, week: Week, eater: str, dish: str) -> bool:
        """Tell whether an eater had a dish lately, in this way or as the dish that it is."""
        return not self.eaten.isdisjoint({(eater, dish), (eater, week.dishes[dish].counts_as)})

    def count(self, week: Week, packed: PackedWeek) -> int:
        """Count the repeats in a packed week.

        Parameters
        ----------
        week, packed
            The week, and it as it is packed.

        Returns
        -------
        int
            Times beyond the first, over all eaters; of what was eaten lately each time.
        """
        return sum(times for _, times in self.again(week, packed))

    def again(self, week: Week, packed: PackedWeek) -> list[tuple[str, int]]:
        """List what comes again, with how often beyond once, in the order of the week.

        Parameters
        ----------
        week, packed
            The week, and it as it is packed.

        Returns
        -------
        list of tuple of str and int
            Name and times, of all eaters together; empty where nothing does.
        """
        if self.aspect == "eaten":
            had = [x.dish for x in packed.lunches if self._had(week, x.eater, x.dish)]
            return list(Counter(had).items())
        seen: Counter[tuple[str, str]] = Counter()
        for lunch in packed.lunches:
            for name in self._names(week, lunch.dish, lunch.options.values()):
                seen[lunch.eater, name] += 1
        again: Counter[str] = Counter()
        for (_, name), times in seen.items():
            if times > 1:
                again[name] += times - 1
        return list(again.items())

    def _names(self, week: Week, dish: str, options: Iterable[str]) -> Iterator[str]:
        if self.aspect == "dish":
            yield week.dishes[dish].counts_as
        elif self.aspect == "kind":
            yield week.dishes[dish].kind
        else:
            yield from options


def _things(program: Program, aspect: Aspect, group: tuple[str, ...]) -> dict[str, list[Sum]]:
    """List what may come again to a group, with its times in every slot."""
    board, week = program.board, program.week
    slots = list(board.slots_of(group))
    if aspect == "dish":
        names = dict.fromkeys(dish.counts_as for dish in week.dishes.values())
        return {dish: [board.times_as(slot, dish) for slot in slots] for dish in names}
    if aspect == "kind":
        kinds = dict.fromkeys(dish.kind for dish in week.dishes.values())
        return {kind: [board.of_kinds(slot, frozenset({kind})) for slot in slots] for kind in kinds}
    items: dict[str, list[Sum]] = {}
    for choice in week.choices.values():
        for option in choice.options:
            # The same item offered by two choices is the same thing twice.
            items.setdefault(option.item, []).extend(
                board.chosen(slot, choice.name, option.item) for slot in slots
            )
    return items


def asked(way: str, eaten: Iterable[tuple[str, str]]) -> list[Repeats]:
    """Give what is to be kept apart, what matters most first.

    Parameters
    ----------
    way
        A key of `WAYS`.
    eaten
        Eaters with the dishes they had lately.

    Returns
    -------
    list of Repeats
        Each is a sum to make as small as can be, before any priority.

    Examples
    --------
    >>> [repeats.title for repeats in asked("dish", [("Ada", "Pea soup")])]
    ['no dish twice', 'nothing that was eaten lately']
    """
    had = frozenset(eaten)
    return [
        Repeats(aspect, had if aspect == "eaten" else frozenset())
        for aspect in WAYS[way]
        if aspect != "eaten" or had
    ]
