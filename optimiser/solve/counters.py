"""What columns of a week are counted by: rows over several lunches, charges, and packs that spoil.

Packs are small machines: what is left open, what the next lunch uses, what is left then and how
many packs that opened. They are opened as the audit opens them (`models.week.sums.draw`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from models.week.sums import draw

Ints: TypeAlias = NDArray[np.int64]


class NotForPassesError(ValueError):
    """A week that has a count or a size that columns cannot tell."""


@dataclass(frozen=True, slots=True)
class Counter:
    """A row over several lunches, its weights so shifted and divided that none is below 0.

    Attributes
    ----------
    weights
        For each lunch, what each of its columns adds.
    most
        No week comes to more in all.
    depth
        In which pass it begins to count: 0 what is left over costs, 1 dishes and portions, 2 sides.
    batch
        The batch that it counts the stock of, else empty.
    least, step
        Portions of that batch that every week takes, and for each 1 of the counter.
    """

    weights: list[Ints]
    most: int
    depth: int
    batch: str = ""
    least: int = 0
    step: int = 1

    def room(self, portions: int) -> int:
        """Give what the counter may come to where there are so many portions of its batch.

        Parameters
        ----------
        portions
            Of its batch.

        Returns
        -------
        int
            Below 0 where every week takes more.
        """
        return (portions - self.least) // self.step


@dataclass(frozen=True, slots=True)
class Charge:
    """A count that has to be as large as the lunches make it, and costs: times a dish comes again.

    It costs so much for each begun `step` of what the weights come to beyond `free`.
    """

    weights: list[Ints]
    free: int
    step: int
    counts: tuple[int, ...]
    cost: int = 0

    @property
    def most(self) -> int:
        """The most that it can come to."""
        reach = sum(int(of.max(initial=0)) for of in self.weights)
        return max(0, -((self.free - reach) // self.step))


@dataclass(frozen=True, slots=True)
class Machine:
    """Something beside the counters that has a state: an item of which packs are open.

    Attributes
    ----------
    use
        For each lunch, which move each of its columns makes.
    to, price
        For each lunch, by state and move, the state after it and what it costs.
    counts
        What its moves count: packs opened, each by its day.
    """

    use: list[Ints]
    to: list[Ints]
    price: list[Ints]
    counts: tuple[int, ...] = ()

    @property
    def most(self) -> int:
        """The most that its moves can cost."""
        return sum(int(of.max(initial=0)) for of in self.price)


def from_zero(weights: list[Ints]) -> tuple[list[Ints], int]:
    """Take from the weights of each lunch the least of them, so that none is below 0.

    Parameters
    ----------
    weights
        For each lunch, those of its columns.

    Returns
    -------
    tuple of list of Ints and int
        What is left of them, and the sum of what was taken.

    Examples
    --------
    >>> weights, taken = from_zero([np.array([3, 5]), np.array([-1, 0])])
    >>> [of.tolist() for of in weights], taken
    ([[0, 2], [0, 1]], 2)
    """
    least = [int(of.min()) for of in weights]
    return [of - low for of, low in zip(weights, least, strict=True)], sum(least)


def reach_of(charge: Charge, counters: Mapping[tuple[bytes, ...], Counter]) -> int:
    """Give the most that a charge can count.

    Parameters
    ----------
    charge
        A charge.
    counters
        Counters by their weights: one of the same weights bounds it too.

    Returns
    -------
    int
        0 or more.

    Examples
    --------
    >>> reach_of(Charge([np.array([0, 1]), np.array([0, 1])], 1, 1, (7,)), {})
    2
    """
    same = counters.get(tuple(of.tobytes() for of in charge.weights))
    reach = sum(int(of.max()) for of in charge.weights)
    return reach if same is None else min(reach, same.most)


Rests: TypeAlias = tuple[tuple[date, int], ...]
"""What open packs hold, by the last lunch that each can go to."""


def machine_of_packs(weights: list[Ints], days: list[date], size: int, life: int) -> Machine:
    """Make the machine of packs that spoil, each opened as late as can be.

    Parameters
    ----------
    weights
        For each lunch, what each of its columns uses, 0 or more.
    days
        The date of each lunch, in order.
    size
        What a pack holds, in the same steps.
    life
        Days that a pack keeps once it is opened.

    Returns
    -------
    Machine
        A move costs the packs that it opens.

    Examples
    --------
    >>> days = [date(2026, 11, 30), date(2026, 12, 1)]
    >>> machine = machine_of_packs([np.array([0, 1])] * 2, days, 2, 1)
    >>> [price.tolist() for price in machine.price]
    [[[0, 1]], [[0, 1], [0, 0]]]
    """
    using = [day for day, of in zip(days, weights, strict=True) if of.max(initial=0)]
    last = {
        day: max((x for x in using if day < x <= day + timedelta(days=life)), default=day)
        for day in days
    }
    states: dict[Rests, int] = {(): 0}
    machine = Machine([], [], [])
    for day, of in zip(days, weights, strict=True):
        amounts, use = np.unique(of, return_inverse=True)
        after: dict[Rests, int] = {}
        to = np.zeros((len(states), len(amounts)), np.int64)
        price = np.zeros_like(to)
        for rests, state in states.items():
            for move, amount in enumerate(amounts.tolist()):
                left, price[state, move] = _moved(rests, amount, size, day, last[day])
                to[state, move] = after.setdefault(left, len(after))
        machine.use.append(use.ravel())
        machine.to.append(to)
        machine.price.append(price)
        states = after
    return machine


def _moved(rests: Rests, amount: int, size: int, day: date, last: date) -> tuple[Rests, int]:
    """Use so much on a day; give what can still be used of what is open, and the packs opened."""
    kept, packs, more = draw(rests, amount, size, lambda until: until < day)
    left: dict[date, int] = defaultdict(int)
    for until, some in [*kept, (last, more)]:
        if some and until > day:
            left[until] += some
    return tuple(sorted(left.items())), packs
