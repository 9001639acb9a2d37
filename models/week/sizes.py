"""How much of a batch may be cooked, and what the packs bought for it leave.

A recipe is cooked in whole portions, in multiples that its cook names, no larger than the tray
or the pot; tins, packs and eggs stay whole unless the week file lets them be split.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from models.foods.facts import FoodPack
from models.foods.recipe import Ingredient
from models.week.cook import cooked_in
from models.week.week import Batch, Sizes, Week
from models.words.names import words

SHORT = Decimal("0.001")
"""In g: a pack that lacks no more is enough, for the weight of two cucumbers has no end."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """The numbers of portions in which a batch may be cooked.

    Attributes
    ----------
    portions
        The smallest first; at least the yield of the recipe where that is within the sizes.
    because
        What keeps it to these, each as a reader would say it.
    """

    portions: tuple[int, ...]
    because: tuple[str, ...]


def allowed(batch: Batch) -> Allowed:
    """List in how many portions a batch may be cooked; one that is made stays as it is.

    Parameters
    ----------
    batch
        The batch.

    Returns
    -------
    The least number first, and why; without sizes in the file, from half of the yield to twice.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> batch = next(iter(read_week("starter").batches.values()))
    >>> batch.portions in allowed(batch).portions
    True
    """
    if batch.frozen is not None or batch.gone:
        what = "some of it is gone" if batch.frozen is None else "it is known how much was frozen"
        what = "in an earlier week" if batch.earlier else what
        return Allowed((batch.portions,), (f"it is made: {what}",))
    base = batch if batch.whole is None else batch.whole
    sizes = base.sizes
    if sizes is None:
        sizes = Sizes(max(1, -(-base.portions // 2)), 2 * base.portions)
    whole = [line for line in _lines(base) if _stays_whole(line, sizes)]
    portions = tuple(
        number
        for number in range(sizes.least, sizes.most + 1)
        if number % sizes.by == 0
        and all(_is_whole(line, Decimal(number) / base.portions) for line in whole)
    )
    return Allowed(portions, tuple(_because(batch, sizes, whole)))


def _lines(batch: Batch) -> tuple[Ingredient, ...]:
    # Nothing is bought for what an earlier week cooked.
    return () if batch.recipe is None or batch.earlier else batch.recipe.ingredients


def _stays_whole(line: Ingredient, sizes: Sizes) -> bool:
    if line.count is None or sizes.split is None:
        return False
    return not any(words(name) <= words(line.text) for name in sizes.split)


def _is_whole(line: Ingredient, share: Decimal) -> bool:
    # A share such as 1/3 has no end; a millionth of an egg is none.
    count = (line.count or Decimal(0)) * share
    return abs(count - count.to_integral_value()) < Decimal("0.000001")


def _because(batch: Batch, sizes: Sizes, whole: list[Ingredient]) -> Iterator[str]:
    word = batch.portion_word
    stated = "" if sizes.stated else " (half the recipe to twice; 'sizes' says otherwise)"
    yield f"{sizes.least} to {sizes.most} {word}s{stated}"
    if sizes.by > 1:
        yield f"multiples of {sizes.by}"
    for line in whole:
        yield f"{line.text!r} stays whole"


def bought(week: Week, portions: Mapping[str, int]) -> dict[str, Decimal]:
    """Sum what has to be bought for the batches, in g by the name of the food.

    Parameters
    ----------
    week
        The week.
    portions
        How many portions of some batches are cooked; the others as the week has them.

    Returns
    -------
    What is bought, not what is eaten of it; in the order of the batches and their lines.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> bought(week, {"rice and beans": 12})["haricot beans, dry"]
    Decimal('400')
    """
    grams: dict[str, Decimal] = {}
    for name, batch in week.batches.items():
        cooked = cooked_in(batch, portions[name]) if name in portions else batch
        for line in _lines(cooked):
            grams[line.food.name] = grams.get(line.food.name, Decimal(0)) + line.bought
    return grams


def perishable(week: Week) -> dict[str, tuple[FoodPack, ...]]:
    """List the foods of batches whose opened packs do not outlast the week, with their packs.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    dict of str to tuple of FoodPack
        By the name of the food, in the order of the prices in the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> "leek, raw" in perishable(read_week("demo"))
    True
    """
    foods = bought(week, {})
    return {
        name: packs
        for name, packs in week.packs.items()
        if name in foods and any(pack.keeps is not None for pack in packs)
    }


def rest_of(need: Decimal, packs: tuple[FoodPack, ...]) -> Decimal:
    """Find the least that whole packs of a food leave, in g.

    Parameters
    ----------
    need
        What has to be bought, in g, above 0.
    packs
        The sizes it is sold in.

    Returns
    -------
    0 or more; what is short by 0.001 g at the most counts as enough.

    Examples
    --------
    >>> small, large = (FoodPack(f"{size} g", Decimal(size), Decimal(size), Decimal(1))
    ...                 for size in (200, 500))
    >>> rest_of(Decimal(650), (small, large))
    Decimal('50')
    """
    wanted = max(Decimal(0), need - SHORT)
    *smaller, largest = sorted(pack.bought for pack in packs)
    held = {Decimal(0)}
    for size in smaller:
        held |= {
            grams + size * more for grams in held for more in range(_many(wanted - grams, size) + 1)
        }
    totals = (grams + largest * _many(wanted - grams, largest) for grams in held)
    return max(Decimal(0), min(totals) - need)


def _many(grams: Decimal, size: Decimal) -> int:
    """Count the packs of one size that hold so much."""
    return max(0, int((grams / size).to_integral_value(ROUND_CEILING)))


def packs_rest(week: Week, portions: Mapping[str, int]) -> dict[str, Decimal]:
    """Sum what perishable packs bought for the batches leave at the least, in g by food.

    Parameters
    ----------
    week
        The week.
    portions
        How many portions of some batches are cooked; the others as the week has them.

    Returns
    -------
    dict of str to Decimal
        Foods of which nothing is left are not in it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> packs_rest(read_week("minimal"), {})
    {}
    """
    needs = bought(week, portions)
    rests = {name: rest_of(needs[name], packs) for name, packs in perishable(week).items()}
    return {name: rest for name, rest in rests.items() if rest > SHORT}
