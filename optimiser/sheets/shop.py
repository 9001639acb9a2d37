"""The shopping list: what the plan and its batches need, in whole packs, less the cupboard."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from typing import Any

from models.answers.shop import BuyLine, BuyPart, PacksLine, ShopFile, Unit, UseLine
from models.foods.facts import FREE, FoodPack
from models.foods.lines.unprepared import unprepared
from models.foods.lines.weighing import GRAMS
from models.foods.lines.written import ONE, Amount, Unwritten, read_written
from models.foods.recipe import Ingredient
from models.foods.storage import raw_life
from models.week import sums
from models.week.buying import cheapest
from models.week.cupboard import Drawn, counts, draw
from models.week.packed import OpenedPacks, PackedWeek
from models.week.week import LarderItem, Shelved, Week
from models.words.names import words
from models.words.numbers import plain
from models.words.units import magnitude, sayable
from optimiser.written import SYMBOLS, number, unpriced

A_DAY = timedelta(days=1)
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
KEPT = frozenset(("dry goods", "tins and jars", "oils and sauces", "herbs and spices"))
"""Parts of the shop with what a household keeps, and takes by the spoon."""
A_LITTLE, A_PINCH = 30, 5
"""Grams below which what keeps may be there, as it is where spoons take it; the same of what has a
price in the file (no source)."""
SPOONS = ("tbsp", "dsp", "tsp")
ODD = (5, 6, 7)
"""Parts of a spoon that no spoon measures."""


_SQUEEZED = ("juice", "zest")
_SIZES = frozenset(("small", "medium", "large"))


@dataclass
class _Wanted:
    """What is needed of one thing, over everything it goes into."""

    name: str
    food: str
    part: str
    unit: Unit
    uses: list[UseLine] = field(default_factory=list)
    by_day: dict[date, Decimal] = field(default_factory=dict)
    counted: list[_Pieces] = field(default_factory=list)
    spooned: bool = True
    spoons: dict[str, Decimal] = field(default_factory=dict)
    peeled: bool = False
    """True where a line weighs what is eaten, and more than that is bought."""

    squeezed: bool = False
    """True where a line names what is taken of a piece, and the piece is bought."""

    def add(self, what: str, day: date, amount: Decimal, text: str = "") -> None:
        self.by_day[day] = self.by_day.get(day, Decimal(0)) + amount
        for place, use in enumerate(self.uses):
            if use.what == what and not text and not use.text:
                both = number(Decimal(str(use.amount)) + amount)
                self.uses[place] = use.model_copy(update={"amount": both})
                return
        self.uses.append(UseLine(what=what, amount=number(amount), unit=self.unit, text=text))

    def count(self, use: _Use) -> None:
        """Note how a line of a recipe counts it."""
        amounts = _amounts(use.line)
        self.spooned &= bool(amounts) and all(map(_is_spooned, amounts))
        for measure in amounts[0].measures if self.spooned else ():
            many = (amounts[0].count or ONE).middle * measure.count.middle
            spoons = self.spoons.get(measure.unit, Decimal(0))
            self.spoons[measure.unit] = spoons + many * use.times * use.share
        weighs = any(_is_weighed(amount) for amount in amounts)
        self.peeled |= weighs and use.line.grams != use.line.bought
        squeezed = len(amounts) == 1 and amounts[0].part in _SQUEEZED
        if squeezed and (taken := amounts[0].count):
            self.squeezed = True
            name = f"{read_written(use.line.text).name}, for its {amounts[0].part}"
            share = use.times * use.share
            self.counted.append(_Pieces(taken.middle * share, use.line.bought * use.times, name))
        elif len(amounts) == 1 and (count := _count(amounts[0])):
            share = use.times * use.share
            self.counted.append(_Pieces(count * share, use.line.bought * use.times, use.line.name))

    def pieces(self, missing: Decimal) -> tuple[int, str] | None:
        """Say how many pieces what is missing comes to, and what so many are called."""
        if not self.counted or not missing:
            return None
        count = sum((line.count for line in self.counted), Decimal(0))
        grams = sum((line.grams for line in self.counted), Decimal(0)) / count
        # A milligram is no piece more.
        number = int(((missing - Decimal("0.001")) / grams).to_integral_value(ROUND_CEILING))
        named = [line.name for line in self.counted if (line.count > 1) == (number > 1)]
        return number, (named[0] if named else f"x {self.counted[0].name}") + self._kinds()

    def _kinds(self) -> str:
        """Name what recipes call otherwise, though one food of the table stands for both."""
        kinds: dict[frozenset[str], tuple[Decimal, str]] = {}
        for line in self.counted:
            kind = words(line.name) - _SIZES
            count, name = kinds.get(kind, (Decimal(0), line.name))
            kinds[kind] = count + line.count, name
        parts = [f"{plain(count, 2)} {name}" for count, name in kinds.values()]
        return f": {' and '.join(parts)}" if len(parts) > 1 else ""

    @property
    def exact(self) -> Decimal:
        return sum(self.by_day.values(), Decimal(0))


@dataclass(frozen=True, slots=True)
class _Pieces:
    """What a line of a recipe counts: how many, what they weigh in the shop, and their name."""

    count: Decimal
    grams: Decimal
    name: str


def _amounts(line: Ingredient) -> tuple[Amount, ...]:
    """Give the amounts that a line is written with; none where it is no such line."""
    try:
        return read_written(line.text).amounts
    except Unwritten:
        return ()


def _count(amount: Amount) -> Decimal | None:
    """Give the number of whole pieces of an amount; none of what is measured or comes in tins."""
    if amount.count is None or amount.measures or amount.holder or amount.part or amount.vague:
        return None
    return amount.count.middle


def _is_weighed(amount: Amount) -> bool:
    return not amount.holder and any(measure.unit in GRAMS for measure in amount.measures)


def _is_spooned(amount: Amount) -> bool:
    return bool(amount.measures) and all(measure.unit in SPOONS for measure in amount.measures)


def spooned(spoons: Mapping[str, Decimal]) -> str:
    """Say how many spoons, in the fractions that a set of them has.

    Parameters
    ----------
    spoons
        How many of each: tbsp, dsp or tsp.

    Returns
    -------
    str
        As "3 tbsp and 1 tsp", the largest first; nothing where no such spoons come to it.

    Examples
    --------
    >>> spooned({"tsp": Decimal("1.5"), "tbsp": Decimal(3)}), spooned({"tsp": Decimal("0.7")})
    ('3 tbsp and 1 1/2 tsp', '')
    """
    parts = []
    for unit in (unit for unit in SPOONS if spoons.get(unit)):
        nearest = Fraction(spoons[unit]).limit_denominator(8)
        if abs(nearest - Fraction(spoons[unit])) > Fraction(1, 100) or nearest.denominator in ODD:
            return ""
        whole, rest = divmod(nearest, 1)
        parts.append(
            " ".join([*([f"{whole}"] if whole else []), *([f"{rest}"] if rest else []), unit])
        )
    return " and ".join(parts)


@dataclass(frozen=True, slots=True)
class Supplied:
    """One thing that is needed: what is bought of it, and what stays when the week is over.

    Attributes
    ----------
    key
        The larder item, or the food.
    line
        What to buy.
    part
        Part of the shop.
    stays
        What is left of what was there and of what was bought, by when it has to be eaten.
    """

    key: str
    line: BuyLine
    part: str
    stays: tuple[Shelved, ...]


def supplied(week: Week, packed: PackedWeek) -> list[Supplied]:
    """List all that is needed for a week and its batches, foods before larder items.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    list of Supplied
        Each food and each item once, those that are all in the cupboard too.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> supplied(read_week("starter"), PackedWeek((), ()))[0].key
    'red lentils, split, dry'
    """
    foods = [_food_line(week, wanted) for wanted in _foods(week, packed).values()]
    return [*foods, *(_item_line(week, *item) for item in _items(week, packed))]


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
    later = dict(_later_trips(week, packed))
    lines = [
        (supply.line.model_copy(update=later.get(supply.line.food, {})), supply.part)
        for supply in supplied(week, packed)
    ]
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


def _later_trips(week: Week, packed: PackedWeek) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name raw meat and fish that does not keep until it is cooked, with the day to buy it on.

    All else is bought on the day before the first of it is needed. What keeps a range of days is
    bought so that its lower end suffices; frozen it would keep as well.
    """
    uses = list(_recipe_lines(week, packed))
    first = min((use.day for use in uses), default=None)
    for use in sorted(uses, key=lambda use: use.day, reverse=True):
        life = raw_life(use.line.food)
        if first is None or life is None:
            continue
        if use.day > first - A_DAY + timedelta(days=life.low):
            yield (
                use.line.food.name,
                {"buy_on": use.day - A_DAY, "raw_keeps": (life.low, life.high)},
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
    for use in _recipe_lines(week, packed):
        food = use.line.food
        if food.shop != FREE:
            wanted = _Wanted(use.line.name, food.name, food.shop or OTHER, "g")
            wanted = by_food.setdefault(food.name, wanted)
            wanted.add(use.what, use.day, use.line.bought * use.times, use.text)
            wanted.count(use)
    return by_food


@dataclass(frozen=True, slots=True)
class _Use:
    """A line of a recipe that is made so many times on a day."""

    what: str
    day: date
    line: Ingredient
    times: Decimal = Decimal(1)
    text: str = ""
    share: Decimal = Decimal(1)
    """Of the recipe as its words have it: what the batch is cooked in."""


def _recipe_lines(week: Week, packed: PackedWeek) -> Iterator[_Use]:
    """List each line of a recipe: for what it is used and when, and its words.

    Recipes are those of batches, of larder items made at home, and of what a dish lists. Where a
    recipe is made in another amount than it is written for, its words are left out.
    """
    for name, batch in week.batches.items():
        for line in () if batch.recipe is None or batch.earlier else batch.recipe.ingredients:
            whole = batch.whole
            share = Decimal(batch.portions) / (batch if whole is None else whole).portions
            text = _as_bought(line) if whole is None else ""
            yield _Use(name, batch.made, line, text=text, share=share)
    for name, by_day in sums.uses(week, packed).items():
        item = week.larder[name]
        if item.recipe is not None and not item.of_food:
            # What a dish lists is weighed out in g, and its recipe is for 100; else for a pack.
            times = {day: used / 100 for day, used in by_day.items()}
            if not item.loose:
                times = {pack.opened: Decimal(pack.packs) for pack in _packs(week, item, by_day)}
            what = "lunches" if item.loose else name
            for line in item.recipe.ingredients:
                yield from (_Use(what, day, line, times[day]) for day in sorted(times))


def _as_bought(line: Ingredient) -> str:
    """Give the words of a line, with how it is prepared only where that says why more is bought."""
    weighs = any(map(_is_weighed, _amounts(line)))
    return line.text if weighs and line.grams != line.bought else unprepared(line.text)


def _packs(week: Week, item: LarderItem, by_day: Mapping[date, Decimal]) -> list[OpenedPacks]:
    """List the packs of an item that are opened, or made, for what is used of it."""
    return list(sums.packs_needed(week, {item.name: by_day}))


def _food_line(week: Week, wanted: _Wanted) -> Supplied:
    # What bears the name of a larder item is that item.
    held = () if wanted.food in week.larder else week.cupboard.get(wanted.food, ())
    drawn = draw(held, wanted.by_day)
    have, missing = counts(held, drawn), drawn.lacking
    packs = week.packs.get(wanted.food, ())
    little = wanted.exact < (A_PINCH if packs else A_LITTLE)
    line = BuyLine(
        name=wanted.name,
        food=wanted.food,
        need=number(wanted.exact),
        unit="g",
        have=None if have is None else number(have),
        packs=[],
        at_hand=wanted.part in KEPT and (wanted.spooned or little),
        spoons=spooned(wanted.spoons) if wanted.spooned else "",
        uses=wanted.uses,
    )
    if not packs:
        pieces = wanted.pieces(missing)
        whole = missing == wanted.exact and len(wanted.uses) == 1 and not wanted.peeled
        line = line.model_copy(
            update={
                "pieces": None if pieces is None else pieces[0],
                "called": "" if pieces is None else pieces[1],
                "as_written": "" if wanted.squeezed or not whole else wanted.uses[0].text,
            }
        )
    if not packs or not missing:
        return Supplied(wanted.food, line, wanted.part, drawn.stays)
    bought = cheapest(missing, packs)
    line = line.model_copy(
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
    )
    stays = [*drawn.stays]
    if bought.rest:
        stays.append(Shelved(bought.rest, _good_until(drawn, packs[0].keeps_days)))
    return Supplied(wanted.food, line, wanted.part, tuple(stays))


def _good_until(drawn: Drawn, days: int | None) -> date | None:
    """Reckon the days of a rest from the first day on which its pack may have been open."""
    return None if days is None else min(drawn.missing) + timedelta(days=days)


def _keeps(packs: tuple[FoodPack, ...]) -> int | None:
    return packs[0].keeps


# -- larder items --------------------------------------------------------------------


def _items(week: Week, packed: PackedWeek) -> Iterator[tuple[LarderItem, Mapping[date, Decimal]]]:
    """List bought items with what is used of them on each day."""
    for name, by_day in sums.uses(week, packed).items():
        item = week.larder[name]
        if not item.loose and (item.recipe is None or item.of_food):
            yield item, by_day


def _item_line(week: Week, item: LarderItem, by_day: Mapping[date, Decimal]) -> Supplied:
    held = week.cupboard.get(item.name, ())
    size = magnitude(item.pack, item.unit)
    if item.opened_life is None:
        drawn = draw(held, by_day)
        count = int((drawn.lacking / size).to_integral_value(ROUND_CEILING))
        rest = count * size - drawn.lacking
        opened = [Shelved(rest, _good_until(drawn, item.keeps_days))] if rest else []
        stays = [*drawn.stays, *opened]
    else:
        # What has a date is open. A pack that spoils is opened whole, so what has none counts in
        # whole packs.
        drawn = draw([stock for stock in held if stock.use_by is not None], by_day)
        whole = [stock for stock in held if stock.use_by is None]
        packs = sum(pack.packs for pack in _packs(week, item, drawn.missing))
        count, unopened = _whole_packs(whole, packs, size)
        life = timedelta(days=item.opened_life)
        rests = sums.still_open(item, drawn.missing)
        stays = [*drawn.stays, *unopened, *(Shelved(rest, day + life) for day, rest in rests)]
    have = counts(held, drawn)
    used = sum(by_day.values(), Decimal(0))
    bought = count * size
    priced = item.name not in item.unpriced
    unit: Unit = SYMBOLS[item.unit]
    over = max(Decimal(0), bought + (have or 0) - used) if count else Decimal(0)
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
        rest=number(over),
        keeps=item.opened_life,
        cost=number(count * item.price) if priced else None,
        uses=[UseLine(what="lunches", amount=number(used), unit=unit)],
    )
    part = item.shop or ("chilled" if item.chilled else OTHER)
    return Supplied(item.name, line, part, tuple(stays))


def _whole_packs(held: Sequence[Shelved], packs: int, size: Decimal) -> tuple[int, list[Shelved]]:
    """Count the packs to buy where so many are opened, and give what stays unopened."""
    if any(stock.amount is None for stock in held):
        return 0, [*held]
    there = sum((stock.amount or Decimal(0) for stock in held), Decimal(0))
    taken = min(packs, int(there // size))
    left = there - taken * size
    return packs - taken, [Shelved(left)] if left else []
