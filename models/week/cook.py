"""How much of a batch is cooked: the same recipe in more or fewer portions.

A portion stays what it is; ingredients and cost go with the number. This is what `cook` in a
week file means, so that a what-if and an edited file say the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

from models.week.week import Batch, Dish, Week


def cooked_in(batch: Batch, portions: int) -> Batch:
    """Scale a batch to so many portions: its recipe, cost and freezer with it.

    Parameters
    ----------
    batch
        The batch, in any number of portions.
    portions
        How many, 1 or more.

    Returns
    -------
    Scaled from the yield as the file has it, so that scaling twice loses nothing.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> batch = next(iter(read_week("starter").batches.values()))
    >>> cooked_in(batch, 7).portions
    7
    """
    base = batch if batch.whole is None else batch.whole
    if portions == base.portions:
        return replace(base, **_of_this_time(batch))
    share = Decimal(portions) / base.portions
    return replace(
        base,
        portions=portions,
        recipe=None if base.recipe is None else base.recipe.times(share),
        cost=payable(base.exact_cost * portions / base.portions),
        freezer=portions if base.freezer_takes_all else base.freezer,
        portion_source=base.portion_source if base.weighs is None else base.weighs.describe(share),
        whole=base,
        **_of_this_time(batch),
    )


def _of_this_time(batch: Batch) -> dict[str, Any]:
    """Give what became of a batch once it was cooked."""
    names = ("frozen", "frozen_later", "thawed", "gone")
    return {name: getattr(batch, name) for name in names}


def week_cooked_in(week: Week, portions: Mapping[str, int]) -> Week:
    """Scale some batches of a week to other numbers of portions.

    A dish that takes at least more of a batch than there is stays and can never be packed.

    Parameters
    ----------
    week
        The week.
    portions
        How many, by batch.

    Returns
    -------
    A new week; what a dish takes of a scaled batch is cut to what there is.

    Raises
    ------
    KeyError
        When the week has no such batch.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> name = next(iter(week.batches))
    >>> week_cooked_in(week, {name: 7}).batches[name].portions
    7
    """
    batches = dict(week.batches)
    for name, number in portions.items():
        batches[name] = cooked_in(batches[name], number)
    dishes = {name: _taking(dish, batches) for name, dish in week.dishes.items()}
    return replace(week, batches=batches, dishes=dishes)


def _taking(dish: Dish, batches: Mapping[str, Batch]) -> Dish:
    return replace(dish, takes=tuple(take.of(batches[take.batch].portions) for take in dish.takes))


def payable(price: Decimal) -> Decimal:
    """Keep a price to a hundredth of a cent, the finest the program counts in, rounded up.

    Parameters
    ----------
    price
        In the currency of the week.

    Returns
    -------
    Four decimals, in the same currency; never less than the price.

    Examples
    --------
    >>> payable(Decimal("2.000001"))
    Decimal('2.0001')
    """
    return price.quantize(Decimal("0.0001"), ROUND_CEILING)
