"""Which packs to buy: whole ones, at least cost, and of equals those that leave least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from models.foods.facts import FoodPack

SHORT = Decimal("0.001")
"""In g."""
MOST_STEPS = 200_000
"""Ways to combine packs that are looked at before the cheapest size alone is taken."""


@dataclass(frozen=True, slots=True)
class Bought:
    """Packs of each size.

    Attributes
    ----------
    counts
        How many of each size, in the order of the sizes.
    rest
        What they leave, in g.
    """

    counts: tuple[int, ...]
    cost: Decimal
    rest: Decimal


def cheapest(need: Decimal, packs: Sequence[FoodPack]) -> Bought:
    """Choose packs that hold at least what is needed.

    Parameters
    ----------
    need
        In g as bought, 0 or more.
    packs
        The sizes it is sold in, one or more.

    Returns
    -------
    At least cost; of equal costs what leaves least. After `MOST_STEPS` the best come upon so far.

    Examples
    --------
    >>> packs = [FoodPack("500 g", Decimal(500), Decimal(500), Decimal(2)),
    ...          FoodPack("1 kg", Decimal(1000), Decimal(1000), Decimal(3))]
    >>> cheapest(Decimal(1200), packs).counts
    (1, 1)
    """
    search = _Search(need, packs)
    search.look(0, Decimal(0), Decimal(0), [])
    best = search.best
    held = sum(
        (number * pack.bought for number, pack in zip(best.counts, packs, strict=True)), Decimal(0)
    )
    return Bought(best.counts, best.cost, max(Decimal(0), held - need))


class _Search:
    def __init__(self, need: Decimal, packs: Sequence[FoodPack]) -> None:
        # A pack that lacks no more than a milligram is enough: shares of a recipe have no end.
        self.need = max(Decimal(0), need - SHORT)
        self.packs = packs
        self.least = min(pack.price / pack.bought for pack in packs)
        self.steps = 0
        alone = [self._alone(at) for at in range(len(packs))]
        self.best = min(alone, key=self._key)

    def _alone(self, at: int) -> Bought:
        pack = self.packs[at]
        count = int((self.need / pack.bought).to_integral_value(ROUND_CEILING))
        counts = tuple(count if index == at else 0 for index in range(len(self.packs)))
        return Bought(counts, count * pack.price, count * pack.bought - self.need)

    @staticmethod
    def _key(bought: Bought) -> tuple[Decimal, Decimal, int, tuple[int, ...]]:
        return (
            bought.cost,
            bought.rest,
            sum(bought.counts),
            tuple(-count for count in bought.counts),
        )

    def look(self, at: int, held: Decimal, cost: Decimal, counts: list[int]) -> None:
        """Try every number of the size `at`, most first, while it can still be cheaper."""
        self.steps += 1
        missing = self.need - held
        if missing <= 0 or at == len(self.packs):
            if missing <= 0:
                rest = (0,) * (len(self.packs) - at)
                last = Bought((*counts, *rest), cost, -missing)
                self.best = min(self.best, last, key=self._key)
            return
        if cost + missing * self.least > self.best.cost or self.steps > MOST_STEPS:
            return
        pack = self.packs[at]
        most = int((missing / pack.bought).to_integral_value(ROUND_CEILING))
        for count in range(most, -1, -1):
            self.look(
                at + 1, held + count * pack.bought, cost + count * pack.price, [*counts, count]
            )
