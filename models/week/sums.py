"""What a packed week adds up to, counted from the week itself and by no solver.

Quantities are summed exactly, with their units. The program counts the same
things in whole numbers, and tests hold the two against each other.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from typing import TypeVar

from models.week.packed import OpenedPacks, PackedLunch, PackedWeek, helpings
from models.week.week import Batch, Helping, LarderItem, Texture, Week
from models.words.nutrients import USABLE
from models.words.protein import COUNTED, SHARES
from models.words.units import GRAM, MILLILITRE, Quantity, magnitude, quantity

CENT = Decimal("0.01")
Used = TypeVar("Used", int, Decimal)


@dataclass(frozen=True, slots=True)
class Content:
    """An amount of a nutrient; not `complete` means "at least"."""

    amount: Quantity
    complete: bool


def share(item: LarderItem, helping: Helping) -> Fraction:
    """Tell how many times the amount of `item.per` a helping is.

    A fraction: as a decimal a third has no end, and a round amount would pass its bound.

    Parameters
    ----------
    item
        The larder item.
    helping
        An amount of it.

    Returns
    -------
    Fraction
        Without a unit; exact.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> item = next(item for item in week.larder.values())
    >>> share(item, Helping(item.name, item.per * 2))
    Fraction(2, 1)
    """
    return Fraction(magnitude(helping.amount, item.unit)) / Fraction(magnitude(item.per, item.unit))


def decimal(number: Fraction) -> Decimal:
    """Write a fraction as a decimal: of two fractions the lesser is never written as more.

    Parameters
    ----------
    number
        Any; a third is cut off after 28 digits.

    Returns
    -------
    In the unit of the fraction, 28 digits at the most.

    Examples
    --------
    >>> decimal(Fraction(12, 5))
    Decimal('2.4')
    """
    return Decimal(number.numerator) / Decimal(number.denominator)


def nutrient(week: Week, lunch: PackedLunch, tag: str) -> Content:
    """Sum one nutrient over a lunch; usable protein is what its shortest amino acid allows.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.
    tag
        INFOODS tagname.

    Returns
    -------
    Content
        The amount in the nutrient's unit, and whether all of it is known.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from models.week.packed import PackedPortions
    >>> week = read_week("minimal")
    >>> beans = (PackedPortions("rice and beans", 2, 0),)
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and cheese", beans, {}, {})
    >>> 20 < magnitude(nutrient(week, lunch, "PROCNT").amount, GRAM) < 40
    True
    """
    return next(iter(contents(week, lunch, [tag]).values()))


def contents(week: Week, lunch: PackedLunch, tags: Iterable[str]) -> dict[str, Content]:
    """Sum several nutrients over a lunch, as `nutrient` sums one.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.
    tags
        INFOODS tagnames.

    Returns
    -------
    dict of str to Content
        By tagname, in their order.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and cheese", (), {}, {})
    >>> list(contents(week, lunch, ["PROCNT", "ENERC"]))
    ['PROCNT', 'ENERC']
    """
    parts: list[tuple[Batch | LarderItem, Fraction]] = [
        (week.batches[part.batch], Fraction(part.portions)) for part in lunch.portions
    ]
    for helping in helpings(week, lunch):
        item = week.larder[helping.item]
        parts.append((item, share(item, helping)))
    return {tag: _usable(parts) if tag == USABLE else _content(parts, tag) for tag in tags}


def _usable(parts: Sequence[tuple[Batch | LarderItem, Fraction]]) -> Content:
    shares = [_content(parts, share) for share in SHARES]
    least = min(magnitude(share.amount, GRAM) for share in shares)
    complete = any(magnitude(share.amount, GRAM) == least and share.complete for share in shares)
    return Content(quantity(least, GRAM), complete)


def _content(parts: Sequence[tuple[Batch | LarderItem, Fraction]], tag: str) -> Content:
    unit = COUNTED[tag].unit
    # A plan has hundreds of such sums: as a fraction that is not reduced on the way.
    above, below, complete = 0, 1, True
    for food, times in parts:
        known = food.nutrition.get(tag)
        if known is not None:
            number, parted = magnitude(known, unit).as_integer_ratio()
            parted *= times.denominator
            above, below = above * parted + number * times.numerator * below, below * parted
        if known is None or tag in food.partial:
            # Of a batch that a lunch has no portion of nothing is lacking.
            complete = complete and isinstance(food, Batch) and not times
    return Content(quantity(Decimal(above) / Decimal(below), unit), complete)


def volume(week: Week, lunch: PackedLunch, texture: Texture) -> Decimal:
    """Sum the room that food of one texture takes in a lunch's box.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.
    texture
        Wet, crisp or plain.

    Returns
    -------
    Decimal
        In mL; food without `room` takes none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and cheese", (), {}, {})
    >>> volume(week, lunch, Texture.WET)
    Decimal('0')
    """
    total = Fraction(0)
    for part in lunch.portions:
        batch = week.batches[part.batch]
        if batch.texture is texture and batch.room is not None:
            total += Fraction(magnitude(batch.room, MILLILITRE)) * part.portions
    for helping in helpings(week, lunch):
        item = week.larder[helping.item]
        if item.texture is texture and item.room is not None:
            total += Fraction(magnitude(item.room, MILLILITRE)) * share(item, helping)
    return decimal(total)


def uses(week: Week, packed: PackedWeek) -> Mapping[str, Mapping[date, Decimal]]:
    """Sum what is used of each larder item on each date, in the item's own unit.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    By item, then by date; items that no lunch takes are not in it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> dict(uses(read_week("starter"), PackedWeek((), ())))
    {}
    """
    used: dict[str, dict[date, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    for lunch in packed.lunches:
        for helping in helpings(week, lunch):
            unit = week.larder[helping.item].unit
            used[helping.item][lunch.day] += magnitude(helping.amount, unit)
    return used


def packs_needed(week: Week, used: Mapping[str, Mapping[date, Decimal]]) -> Iterator[OpenedPacks]:
    """Open packs as late as possible, which is as few as possible.

    Parameters
    ----------
    week
        The week.
    used
        What is used of each item on each date, in the item's own unit, as `uses` gives it.

    Returns
    -------
    iterator of OpenedPacks
        By item in the order of the file, then by the day they are opened. A pack can always be
        opened, so nothing is refused.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> used = {"hard cheese": {week.days[0]: Decimal(150), week.days[1]: Decimal(100)}}
    >>> [(f"{pack.opened:%a}", pack.packs) for pack in packs_needed(week, used)]
    [('Mon', 1), ('Tue', 1)]
    """
    for name, item in week.larder.items():
        if name in used and not item.loose:
            yield from _packs_of(week.larder[name], used[name])


def _packs_of(item: LarderItem, used: Mapping[date, Decimal]) -> list[OpenedPacks]:
    return _drawn_from(item, used)[0]


def still_open(item: LarderItem, used: Mapping[date, Decimal]) -> list[tuple[date, Decimal]]:
    """List what packs leave that are opened as late as possible, but for what has spoilt.

    Parameters
    ----------
    item
        The larder item.
    used
        What is used of it on each date, in its own unit.

    Returns
    -------
    list of tuple of date and Decimal
        When a pack was opened, and what is left of it in the item's own unit.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> rests = still_open(week.larder["hard cheese"], {week.days[0]: Decimal(150)})
    >>> [(f"{opened:%a}", rest) for opened, rest in rests]
    [('Mon', Decimal('50'))]
    """
    return _drawn_from(item, used)[1]


def _drawn_from(
    item: LarderItem, used: Mapping[date, Decimal]
) -> tuple[list[OpenedPacks], list[tuple[date, Decimal]]]:
    size = magnitude(item.pack, item.unit)
    opened_packs: list[OpenedPacks] = []
    open_packs: list[tuple[date, Decimal]] = []
    for day in sorted(used):

        def spoilt(opened: date, day: date = day) -> bool:
            return item.opened_life is not None and day > opened + timedelta(item.opened_life)

        open_packs, packs, rest = draw(open_packs, used[day], size, spoilt)
        if packs:
            opened_packs.append(OpenedPacks(item.name, day, packs))
        if rest:
            open_packs.append((day, rest))
    return opened_packs, open_packs


def draw(
    open_packs: Iterable[tuple[date, Used]],
    need: Used,
    size: Used,
    spoilt: Callable[[date], bool],
) -> tuple[list[tuple[date, Used]], int, Used]:
    """Take what a day needs from open packs, and open as few more as hold the rest.

    Parameters
    ----------
    open_packs
        What open packs hold, the oldest first, each by a date that `spoilt` knows it by.
    need
        How much is used, in the unit of the amounts; 0 or more.
    size
        What a pack holds.
    spoilt
        Tells by that date whether it may not be used any more.

    Returns
    -------
    tuple of list, int and amount
        What the open packs hold afterwards, how many more are opened, and what those leave.

    Examples
    --------
    >>> monday = date(2026, 11, 30)
    >>> draw([(monday, 30)], 50, 80, lambda opened: False)
    ([], 1, 60)
    >>> draw([(monday, 30)], 50, 80, lambda opened: True)
    ([], 1, 30)
    """
    rests = []
    for known_by, rest in open_packs:
        if not spoilt(known_by):
            taken = min(need, rest)
            need -= taken
            if rest > taken:
                rests.append((known_by, rest - taken))
    packs = int(need // size) + (need % size > 0)
    return rests, packs, packs * size - need


def covered(item: LarderItem, used: Mapping[date, Decimal], packs: list[OpenedPacks]) -> list[date]:
    """List the dates on which the packs named do not hold enough that is still good.

    Parameters
    ----------
    item
        The larder item.
    used
        What is used of it on each date, in its own unit.
    packs
        Packs of it that are opened.

    Returns
    -------
    In the order of the calendar; empty where the packs hold enough.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> covered(week.larder["hard cheese"], {week.days[0]: Decimal(150)}, []) == [week.days[0]]
    True
    """
    size = magnitude(item.pack, item.unit)
    stock = sorted((pack.opened, pack.packs * size) for pack in packs)
    short: list[date] = []
    for day in sorted(used):
        need = used[day]
        for at, (opened, rest) in enumerate(stock):
            last = date.max if item.opened_life is None else opened + timedelta(item.opened_life)
            if opened <= day <= last:
                taken = min(need, rest)
                need -= taken
                stock[at] = (opened, rest - taken)
        if need > 0:
            short.append(day)
    return short


def batch_left(week: Week, packed: PackedWeek, batch: str) -> int:
    """Count the portions of a batch that no lunch takes (below 0: more than there are).

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.
    batch
        Name of a batch.

    Returns
    -------
    Whole portions, those in the freezer with them; what is gone already is not counted.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> batch = next(iter(week.batches.values()))
    >>> batch_left(week, PackedWeek((), ()), batch.name) == batch.portions
    True
    """
    there = week.batches[batch].portions - week.batches[batch].gone
    return there - sum(lunch.of(batch) for lunch in packed.lunches)


def stays_frozen(week: Week, packed: PackedWeek, batch: str) -> int:
    """Count the portions of a batch that stay in the freezer: stock for a later week.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.
    batch
        Name of a batch.

    Returns
    -------
    Whole portions, 0 or more; 0 of a batch of which none is frozen.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> [stays_frozen(week, PackedWeek((), ()), name) for name in week.batches]
    [0, 0]
    """
    return max(0, (week.batches[batch].frozen or 0) - thawed(packed, batch))


def wasted(week: Week, packed: PackedWeek, batch: str) -> int:
    """Count the portions of a batch that no lunch takes and no freezer keeps.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.
    batch
        Name of a batch.

    Returns
    -------
    Whole portions; below 0 where lunches take more than there is.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> batch = next(iter(week.batches.values()))
    >>> wasted(week, PackedWeek((), ()), batch.name) == batch.portions
    True
    """
    return batch_left(week, packed, batch) - stays_frozen(week, packed, batch)


def pack_left(
    item: LarderItem, used: Mapping[date, Decimal], packs: tuple[OpenedPacks, ...]
) -> Decimal:
    """Work out what opened packs of an item leave at the end, in its own unit.

    Parameters
    ----------
    item
        The larder item.
    used
        What is used of it on each date, in its own unit.
    packs
        All packs that the week opens.

    Returns
    -------
    All of it, spoilt or still good; below 0 where the packs do not hold what is used.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> packs = (OpenedPacks("hard cheese", week.days[0], 1),)
    >>> pack_left(week.larder["hard cheese"], {week.days[0]: Decimal(150)}, packs)
    Decimal('50')
    """
    opened = sum(pack.packs for pack in packs if pack.item == item.name)
    return opened * magnitude(item.pack, item.unit) - sum(used.values(), Decimal(0))


def left_over(week: Week, packed: PackedWeek) -> Decimal:
    """Sum what is left over, in g: batch portions and what spoils in opened packs.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    Not rounded; an item that keeps once opened, or has no mass, adds nothing.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> cooked = sum(
    ...     batch.portions * magnitude(batch.portion, GRAM) for batch in week.batches.values()
    ... )
    >>> left_over(week, PackedWeek((), ())) == cooked
    True
    """
    total = Decimal(0)
    for name, batch in week.batches.items():
        total += wasted(week, packed, name) * magnitude(batch.portion, GRAM)
    used = uses(week, packed)
    for name, item in week.larder.items():
        if name in used and item.opened_life is not None and item.mass is not None:
            total += pack_left(item, used[name], packed.packs) * magnitude(item.mass, GRAM)
    return total


def helping_cost(item: LarderItem, helping: Helping) -> Decimal:
    """Price the share of a pack that keeps, rounded up to a cent.

    Parameters
    ----------
    item
        A larder item that keeps.
    helping
        An amount of it.

    Returns
    -------
    Decimal
        In the currency of the week, to 0.01.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> item = read_week("minimal").larder["apple"]
    >>> helping_cost(item, Helping("apple", item.pack)) == item.price
    True
    """
    # Divided last: a share such as 5/9 has no end, and would round up a round price.
    whole = item.price * magnitude(helping.amount, item.unit)
    return (whole / magnitude(item.pack, item.unit)).quantize(CENT, ROUND_CEILING)


def extra_cost(week: Week, lunch: PackedLunch) -> Decimal:
    """Price the helpings from packs that keep in one lunch.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.

    Returns
    -------
    Decimal
        In the currency of the week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and apple", (), {}, {})
    >>> extra_cost(week, lunch) == week.larder["apple"].price
    True
    """
    return sum((cost for _, cost in _kept_costs(week, lunch)), Decimal(0))


def _kept_costs(week: Week, lunch: PackedLunch) -> Iterator[tuple[str, Decimal]]:
    """Price each helping of one lunch that is from a pack that keeps."""
    dish = week.dishes[lunch.dish]
    extras = {extra.helping.item: extra.helping for extra in dish.extras}
    bare = PackedLunch(lunch.eater, lunch.day, dish.name, (), {}, {})
    parts = [(helping, 1) for helping in helpings(week, bare)]
    for choice, name in lunch.options.items():
        options = week.choices[choice].options
        parts.append((next(option for option in options if option.item == name), 1))
    parts += [(extras[name], times) for name, times in lunch.extras.items()]
    for helping, times in parts:
        item = week.larder[helping.item]
        if item.opened_life is None:
            yield item.name, helping_cost(item, helping) * times


def cost(week: Week, packed: PackedWeek) -> Decimal:
    """Price the week: batches whole, packs that spoil whole, packs that keep by share.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    Decimal
        In the currency of the week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> batches = sum(batch.cost for batch in week.batches.values())
    >>> cost(week, PackedWeek((), ())) == batches
    True
    """
    batches = sum((batch.cost for batch in week.batches.values()), Decimal(0))
    return batches + sum(larder_costs(week, packed).values(), Decimal(0))


def larder_costs(week: Week, packed: PackedWeek) -> dict[str, Decimal]:
    """Price the larder of the week: packs that spoil whole, packs that keep by share.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    dict of str to Decimal
        By item, in the currency of the week; what is not used is left out.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and apple", (), {}, {})
    >>> larder_costs(week, PackedWeek((lunch,), ()))
    {'apple': Decimal('0.40')}
    """
    costs: dict[str, Decimal] = defaultdict(Decimal)
    for lunch in packed.lunches:
        for name, price in _kept_costs(week, lunch):
            costs[name] += price
    for pack in packed.packs:
        item = week.larder[pack.item]
        if item.opened_life is not None:
            costs[item.name] += item.price * pack.packs
    return dict(costs)


def lunch_cost(week: Week, lunch: PackedLunch) -> Decimal:
    """Price one lunch: its share of batches and of every pack that goes into it.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.

    Returns
    -------
    Decimal
        In the currency of the week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and apple", (), {}, {})
    >>> lunch_cost(week, lunch) == week.larder["apple"].price
    True
    """
    total = extra_cost(week, lunch)
    for part in lunch.portions:
        batch: Batch = week.batches[part.batch]
        total += batch.cost * part.portions / batch.portions
    for helping in helpings(week, lunch):
        item = week.larder[helping.item]
        if item.opened_life is not None:
            total += helping_cost(item, helping)
    return total


def priceless(week: Week) -> bool:
    """Tell whether nothing of a week has a price, so that its cost says nothing.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    False as well where nothing in the week lacks a price.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> free = {name: replace(item, price=None) for name, item in week.larder.items()}
    >>> priceless(replace(week, larder=free)), priceless(week)
    (True, False)
    """
    paid = [batch.cost for batch in week.batches.values()]
    return bool(unpriced(week)) and not any((*paid, *(x.price for x in week.larder.values())))


def unpriced(week: Week, lunches: Iterable[PackedLunch] | None = None) -> tuple[str, ...]:
    """Name what has no price, in some lunches or in all that a week may take.

    Parameters
    ----------
    week
        The week.
    lunches
        Lunches of it; all that may be packed when left out.

    Returns
    -------
    tuple of str
        Foods and batches, each once.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> "onion" in unpriced(read_week("minimal")), unpriced(read_week("minimal"), [])
    (True, ())
    """
    batches, items = list(week.batches), list(week.larder)
    if lunches is not None:
        packed = list(lunches)
        batches = [name for name in week.batches if any(lunch.of(name) for lunch in packed)]
        items = [helping.item for lunch in packed for helping in helpings(week, lunch)]
    names = [thing for name in batches for thing in week.batches[name].unpriced]
    names += [thing for name in items for thing in week.larder[name].unpriced]
    return tuple(dict.fromkeys(names))


def thawed(packed: PackedWeek, batch: str | None = None) -> int:
    """Count the portions that come from the freezer.

    Parameters
    ----------
    packed
        The packed week.
    batch
        Of this batch alone; of all when left out.

    Returns
    -------
    Whole portions, over all eaters and days.

    Examples
    --------
    >>> thawed(PackedWeek((), ()))
    0
    """
    return sum(
        part.thawed
        for lunch in packed.lunches
        for part in lunch.portions
        if batch in (None, part.batch)
    )


def minutes(week: Week, packed: PackedWeek) -> int:
    """Sum the minutes of putting lunches together.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Returns
    -------
    Whole minutes, of all eaters and days; cooking is not in them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> minutes(read_week("starter"), PackedWeek((), ()))
    0
    """
    return sum(week.dishes[lunch.dish].minutes for lunch in packed.lunches)
