"""The shopping list: what the plan and its batches need, in whole packs, less the cupboard."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal

from models.answers.shop import BuyLine, BuyPart, PacksLine, ShopFile, Unit, UseLine
from models.foods.facts import FREE, FoodPack
from models.foods.recipe import Ingredient
from models.week import sums
from models.week.buying import cheapest
from models.week.packed import PackedWeek
from models.week.week import LarderItem, Week
from models.words.units import magnitude, sayable
from optimiser.written import SYMBOLS, number, unpriced

PARTS = (
    "vegetables and fruit",
    "bread",
    "chilled",
    "meat and fish",
    "frozen",
    "dry goods",
    "tins and jars",
    "nuts and seeds",
    "oils and sauces",
    "herbs and spices",
)
"""Parts of the shop, in the order in which one walks through it."""
OTHER = "other"


@dataclass
class _Wanted:
    """What is needed of one thing, over everything it goes into."""

    name: str
    food: str
    part: str
    unit: Unit
    uses: list[UseLine] = field(default_factory=list)
    exact: Decimal = Decimal(0)

    def add(self, what: str, amount: Decimal, text: str = "") -> None:
        self.exact += amount
        for use in self.uses:
            if use.what == what and not text and not use.text:
                use.amount = number(Decimal(str(use.amount)) + amount)
                return
        self.uses.append(UseLine(what=what, amount=number(amount), unit=self.unit, text=text))


def shopping(week: Week, packed: PackedWeek) -> ShopFile:
    """List what has to be bought for a week and its batches.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    ShopFile
        Whole packs at the least cost, by the part of the shop.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> answer = shopping(week, solved.packed)
    >>> len(answer.parts) > 0
    True
    """
    foods = _foods(week, packed)
    lines = [_food_line(week, wanted) for wanted in foods.values()]
    lines += [_item_line(week, *item) for item in _items(week, packed)]
    buy = [line for line, _ in lines if line.packs or (line.have is not None and _missing(line))]
    there = [line for line, _ in lines if line not in buy]
    parts: dict[str, list[BuyLine]] = defaultdict(list)
    for line, part in lines:
        if line in buy:
            parts[part].append(line)
    order = [*PARTS, *sorted({*parts} - {*PARTS, OTHER}), OTHER]
    return ShopFile(
        name=week.name,
        currency=week.currency,
        parts=[BuyPart(part=part, lines=parts[part]) for part in order if part in parts],
        there=there,
        unlisted=[*_unlisted(week)],
        cost=number(
            sum((Decimal(str(line.cost)) for line in buy if line.cost is not None), Decimal(0))
        ),
        unpriced=[line.name for line in buy if line.cost is None],
        used=number(sums.cost(week, packed)),
        used_complete=not unpriced(week, packed),
    )


def _missing(line: BuyLine) -> bool:
    return line.have is not None and line.need > line.have


def _unlisted(week: Week) -> Iterator[str]:
    for name, batch in week.batches.items():
        if batch.recipe is None and not batch.earlier:
            yield name


# -- ingredients ---------------------------------------------------------------------


def _foods(week: Week, packed: PackedWeek) -> dict[str, _Wanted]:
    """Sum what is needed of each food that recipes name, as bought."""
    by_food: dict[str, _Wanted] = {}
    for use, line, grams, text in _recipe_lines(week, packed):
        food = line.food
        if food.shop != FREE:
            wanted = _Wanted(line.name, food.name, food.shop or OTHER, "g")
            by_food.setdefault(food.name, wanted).add(use, grams, text)
    return by_food


def _recipe_lines(week: Week, packed: PackedWeek) -> Iterator[tuple[str, Ingredient, Decimal, str]]:
    """List each line of a recipe: for what it is used, the line, grams to buy, and its words.

    Recipes are those of batches, of larder items made at home, and of what a dish lists. Where a
    recipe is made in another amount than it is written for, its words are left out.
    """
    for name, batch in week.batches.items():
        for line in () if batch.recipe is None or batch.earlier else batch.recipe.ingredients:
            yield name, line, line.bought, line.text if batch.whole is None else ""
    for name, by_day in sums.uses(week, packed).items():
        item = week.larder[name]
        if item.recipe is not None and not item.of_food:
            used = sum(by_day.values(), Decimal(0))
            # What a dish lists is weighed out in g, and its recipe is for 100; else for a pack.
            times = used / 100 if item.loose else _packs(week, packed, item, used)
            for line in item.recipe.ingredients:
                yield name, line, line.bought * times, ""


def _packs(week: Week, packed: PackedWeek, item: LarderItem, used: Decimal) -> Decimal:
    """Count the packs of an item that are opened, or made, for what is used of it."""
    if item.opened_life is not None:
        return Decimal(sum(pack.packs for pack in packed.packs if pack.item == item.name))
    return (used / magnitude(item.pack, item.unit)).to_integral_value(ROUND_CEILING)


def _food_line(week: Week, wanted: _Wanted) -> tuple[BuyLine, str]:
    have = week.cupboard.get(wanted.food, Decimal(0))
    missing = Decimal(0) if have is None else max(Decimal(0), wanted.exact - have)
    packs = week.packs.get(wanted.food, ())
    line = BuyLine(
        name=wanted.name,
        food=wanted.food,
        need=number(wanted.exact),
        unit="g",
        have=None if have is None else number(have),
        packs=[],
        uses=wanted.uses,
    )
    if not packs or not missing:
        return line, wanted.part
    bought = cheapest(missing, packs)
    return (
        line.model_copy(
            update={
                "packs": [
                    PacksLine(count=count, pack=pack.label, price=number(pack.price))
                    for count, pack in zip(bought.counts, packs, strict=True)
                    if count
                ],
                "rest": number(bought.rest),
                "keeps": _keeps(packs),
                "cost": number(bought.cost),
            }
        ),
        wanted.part,
    )


def _keeps(packs: tuple[FoodPack, ...]) -> int | None:
    return packs[0].keeps


# -- larder items --------------------------------------------------------------------


def _items(week: Week, packed: PackedWeek) -> Iterator[tuple[LarderItem, Decimal, Decimal]]:
    """List bought items with what is used of them and the packs that takes."""
    for name, by_day in sums.uses(week, packed).items():
        item = week.larder[name]
        if item.loose or (item.recipe is not None and not item.of_food):
            continue
        used = sum(by_day.values(), Decimal(0))
        yield item, used, _packs(week, packed, item, used)


def _item_line(week: Week, item: LarderItem, used: Decimal, packs: Decimal) -> tuple[BuyLine, str]:
    have = week.cupboard.get(item.name, Decimal(0))
    size = magnitude(item.pack, item.unit)
    if have is None:
        count = 0
    elif item.opened_life is not None:
        # A pack that spoils is opened whole: what is there counts in whole packs.
        count = max(0, int(packs) - int(have // size))
    else:
        missing = max(Decimal(0), used - have)
        count = int((missing / size).to_integral_value(ROUND_CEILING))
    priced = item.name not in item.unpriced
    unit: Unit = SYMBOLS[item.unit]
    rest = max(Decimal(0), count * size + (have or 0) - used) if count else Decimal(0)
    line = BuyLine(
        name=item.name,
        need=number(used),
        unit=unit,
        have=None if have is None else number(have),
        packs=[
            PacksLine(
                count=count, pack=sayable(item.pack), price=number(item.price) if priced else None
            )
        ]
        if count
        else [],
        rest=number(rest),
        keeps=item.opened_life,
        cost=number(count * item.price) if priced else None,
        uses=[UseLine(what="lunches", amount=number(used), unit=unit)],
    )
    return line, item.shop or ("chilled" if item.chilled else OTHER)
