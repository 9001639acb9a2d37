"""What the place offers: a microwave for what is heated, cold for what is chilled.

Source for the bag: perishable food without a fridge needs an insulated bag with at
least two cold sources (USDA FSIS, keeping bag lunches safe).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek, helpings
from models.week.week import Place, Week
from models.words.days import day_name
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Fault, OfEater, Rule

COLD_SOURCES = 2


@dataclass(frozen=True)
class Microwave(OfEater):
    """Nothing that must be heated goes where there is no microwave."""

    family: ClassVar[str] = "microwave"
    days: tuple[date, ...]

    def sentence(self) -> str:
        """Say when there is none."""
        return f"{self.eater} has no microwave on {_list(self.days)}"

    def post(self, board: Board) -> None:
        """Keep heated dishes out."""
        for slot in board.slots_for(self.eater):
            if slot.day in self.days:
                heated = Sum()
                for dish in board.week.dishes.values():
                    if dish.microwave:
                        heated.plus(board.times(slot, dish.name))
                board.sheet.bound(heated, high=0, rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On its eater's lunches on those days."""
        return lunch.eater == self.eater and lunch.day in self.days

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look for heated dishes on those days."""
        for lunch in packed.of(self.eater):
            if lunch.day in self.days and week.dishes[lunch.dish].microwave:
                yield self.fault(
                    f"{day_name(lunch.day)}, {self.eater}", f"{lunch.dish} has to be heated"
                )


@dataclass(frozen=True)
class ColdBag(OfEater):
    """Nothing chilled goes where there is neither a fridge nor two cold packs."""

    family: ClassVar[str] = "cold"
    safety: ClassVar[bool] = True
    days: tuple[date, ...]

    @property
    def source(self) -> str:
        """Who asks for two cold sources."""
        return "USDA FSIS, bag lunches"

    def sentence(self) -> str:
        """Say when nothing chilled can travel."""
        return (
            f"{self.eater} has no fridge and fewer than {COLD_SOURCES} cold packs "
            f"on {_list(self.days)}: nothing chilled goes in"
        )

    def post(self, board: Board) -> None:
        """Keep chilled food out."""
        for slot in board.slots_for(self.eater):
            if slot.day in self.days:
                board.sheet.bound(board.chilled(slot), high=0, rule=self.key)

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On its eater's lunches on those days."""
        return lunch.eater == self.eater and lunch.day in self.days

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Look for chilled food on those days."""
        for lunch in packed.of(self.eater):
            if lunch.day not in self.days:
                continue
            foods = [part.batch for part in lunch.portions if part.portions]
            chilled = [name for name in foods if week.batches[name].chilled]
            items = [helping.item for helping in helpings(week, lunch)]
            chilled += [name for name in items if week.larder[name].chilled]
            for name in chilled:
                yield self.fault(f"{day_name(lunch.day)}, {self.eater}", f"{name} has to stay cold")


def is_warm(place: Place) -> bool:
    """Tell whether chilled food would get warm at a place.

    Parameters
    ----------
    place
        Where lunches are eaten.

    Returns
    -------
    bool
        True without a fridge and with fewer than two cold packs.

    Examples
    --------
    >>> is_warm(Place(fridge=False, microwave=True, cold_packs=1))
    True
    """
    return not place.fridge and place.cold_packs < COLD_SOURCES


def _list(days: tuple[date, ...]) -> str:
    names = [f"{day:%a}" for day in days]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each eater who is somewhere without, where it matters.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        Of each eater the microwave before the cold.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("microwave: yes}", "microwave: no}", 1)
    >>> print(*(rule.sentence() for rule in rules(every_fault("mine.yaml", text)[0])))
    Ilse has no microwave on Mon, Tue and Wed
    """
    heated = any(dish.microwave for dish in week.dishes.values())
    for eater in week.eaters:
        lunches = [lunch for lunch in week.lunches if lunch.eater == eater]
        without = tuple(lunch.day for lunch in lunches if not lunch.place.microwave)
        if heated and without:
            yield Microwave(eater, without)
        warm = tuple(lunch.day for lunch in lunches if is_warm(lunch.place))
        if warm:
            yield ColdBag(eater, warm)
