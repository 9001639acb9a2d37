"""Weeks counted out by hand: every rule and every value with no solver at all.

It exists because two solvers may share a misreading, and because it can look at a packed
week as a reader would. Written from the section "What a week means" alone. Tiny weeks are
settled by trying every combination of complete lunches; a combination is left as soon as
the lunches chosen so far break a rule that more lunches cannot mend.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import partial
from itertools import combinations, product
from math import ceil, prod
from typing import TypeAlias

from models.foods.families import derived
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.week import (
    Batch,
    Bound,
    Box,
    Dish,
    Eater,
    Helping,
    LarderItem,
    Lunch,
    Texture,
    Week,
)
from models.words.families import ALLERGEN_OF, OF_ALLERGEN, WITHIN
from models.words.nutrients import NUTRIENTS
from models.words.units import GRAM, MILLILITRE, Quantity, magnitude

Food: TypeAlias = Batch | LarderItem
Used: TypeAlias = dict[date, Fraction]
Values: TypeAlias = tuple[tuple[str, Fraction], ...]

CENTS = 100
"""The share used of a pack that keeps is rounded up to one part in so many."""


class TooManyError(Exception):
    """A week has more combinations than may be tried."""


def amount(quantity: Quantity, unit: str) -> Fraction:
    """Give an exact number of a unit."""
    return Fraction(magnitude(quantity, unit))


# -- what is in a lunch -------------------------------------------------------


def helpings(week: Week, packed: PackedLunch) -> Iterator[tuple[Helping, int]]:
    """List the helpings of larder items in a lunch with how many times each comes."""
    dish = week.dishes[packed.dish]
    for helping in dish.goes_in:
        yield helping, 1
    for choice, chosen in packed.options.items():
        for option in week.choices[choice].options:
            if option.item == chosen:
                yield option, 1
    for extra in dish.extras:
        times = packed.extras.get(extra.helping.item, 0)
        if times:
            yield extra.helping, times


def used(week: Week, packed: PackedLunch) -> dict[str, Fraction]:
    """Add up what a lunch uses of each larder item, in the item's unit."""
    used: dict[str, Fraction] = {}
    for helping, times in helpings(week, packed):
        helped = amount(helping.amount, week.larder[helping.item].unit)
        used[helping.item] = used.get(helping.item, Fraction(0)) + helped * times
    return used


def contents(week: Week, packed: PackedLunch) -> Iterator[tuple[Food, Fraction]]:
    """List what is in a lunch, with how many times its stated figures count."""
    for part in packed.portions:
        if part.portions:
            yield week.batches[part.batch], Fraction(part.portions)
    for name, much in used(week, packed).items():
        item = week.larder[name]
        yield item, much / amount(item.per, item.unit)


def nutrient(week: Week, packed: PackedLunch, tagname: str) -> Fraction:
    """Add up a nutrient in a lunch; what is not stated counts as none."""
    unit = NUTRIENTS[tagname].unit
    return sum(
        (
            times * amount(food.nutrition[tagname], unit)
            for food, times in contents(week, packed)
            if tagname in food.nutrition
        ),
        Fraction(0),
    )


# -- rules of one lunch -------------------------------------------------------


def broken_alone(week: Week, lunch: Lunch, packed: PackedLunch) -> Iterator[str]:
    """Name the rules that a lunch breaks by itself."""
    eater, dish = week.eaters[lunch.eater], week.dishes[packed.dish]
    yield from _not_that_dish(week, dish, packed)
    yield from _dates(week, lunch, packed)
    for food, _ in contents(week, packed):
        if isinstance(food, LarderItem) and food.use_by is not None and lunch.day > food.use_by:
            yield "use-by"
        if _is_banned(eater, food):
            yield "must not have"
        if food.chilled and not lunch.place.fridge and lunch.place.cold_packs < 2:
            yield "cold"
    if dish.microwave and not lunch.place.microwave:
        yield "microwave"
    for family, bound in _bounds(eater, weekly=False):
        if not _is_kept(family, bound, nutrient(week, packed, bound.nutrient)):
            yield family
    for floor in _usable_floors(eater):
        for tags in PATTERN:
            held = (times * usable(food, tags) for food, times in contents(week, packed))
            if sum(held, Fraction(0)) < floor:
                yield "usable protein"
    if eater.box is not None:
        yield from _box(week, week.boxes[eater.box], packed)


def _not_that_dish(week: Week, dish: Dish, packed: PackedLunch) -> Iterator[str]:
    taken = {take.batch: take for take in dish.takes}
    portions = Counter[str]()
    for part in packed.portions:
        portions[part.batch] += part.portions
        if not 0 <= part.thawed <= part.portions:
            yield "freezer"
    if not set(portions) <= set(taken):
        yield "portions of a batch the dish does not take"
    if any(not take.least <= portions[name] <= take.most for name, take in taken.items()):
        yield "portions outside the range"
    if set(packed.options) != set(dish.choices):
        yield "choices are not those of the dish"
    for choice, chosen in packed.options.items():
        if chosen not in {option.item for option in week.choices[choice].options}:
            yield "an option that is not offered"
    most = {extra.helping.item: extra.most for extra in dish.extras}
    if any(not 0 <= times <= most.get(name, 0) for name, times in packed.extras.items()):
        yield "extras outside the range"


def _dates(week: Week, lunch: Lunch, packed: PackedLunch) -> Iterator[str]:
    for part in packed.portions:
        batch = week.batches[part.batch]
        if part.portions and lunch.day < batch.made + timedelta(days=1):
            yield "made"
        fridge = part.portions - part.thawed
        if fridge > 0 and lunch.day > batch.made + timedelta(days=batch.life.high):
            yield "fridge life"
        fresh_until = batch.made + timedelta(days=batch.life.low)
        soonest = batch.made + timedelta(days=2)
        is_fresh = lunch.day <= fresh_until and not batch.earlier and batch.frozen is None
        if part.thawed and (is_fresh or lunch.day < soonest):
            yield "freezer"
        months = batch.freezer_months
        if part.thawed and months and (lunch.day - batch.made).days > 30 * months[1]:
            yield "freezer months"


def _is_banned(eater: Eater, food: Food) -> bool:
    if not all(_is_without(food, allergen) for allergen in eater.avoids_allergens):
        return True
    return any(not _is_clear(food, unwanted) for unwanted in eater.avoids_foods)


def _is_without(food: Food, allergen: str) -> bool:
    """Tell whether someone said that an allergen is not in a food, and nobody that it is."""
    inside, family = food.contents, OF_ALLERGEN.get(allergen, allergen)
    if allergen in (inside.known if inside.allergens is None else inside.allergens):
        return False
    labels = [part.free_of for part in inside.parts if part.name in inside.unsettled]
    read = bool(labels) and all(family in label for label in labels)
    return inside.allergens is not None or family in inside.free_of or read


def _is_clear(food: Food, unwanted: str) -> bool:
    """Tell whether it is known that what an eater must not have is not in a food."""
    inside, allergen = food.contents, ALLERGEN_OF.get(unwanted)
    kinds = [part.families for part in inside.parts]
    stated = bool(inside.free_of & {"others", unwanted, *WITHIN.get(unwanted, ())})
    described = stated or (inside.told and all(kind.told for kind in kinds))
    if unwanted not in WITHIN:
        names = [_words(name) for name in (food.name, *inside.foods)]
        return described and not any(_holds(name, _words(unwanted)) for name in names)
    if allergen is None and any(unwanted in kind.holds for kind in kinds):
        return False
    if allergen is not None and not _is_without(food, allergen):
        return False
    if unwanted in derived((food.name,)).holds and not inside.free_of - {"others"}:
        return False
    doubtful = any(unwanted in kind.may for kind in kinds)
    return stated or allergen is not None or (not doubtful and described)


def _words(name: str) -> list[str]:
    return "".join(mark if mark.isalnum() else " " for mark in name.casefold()).split()


def _holds(name: Sequence[str], unwanted: Sequence[str]) -> bool:
    """Tell whether a name has all words of what is unwanted, be it one or several of them."""
    return unwanted != [] and all(
        any(_several(word, other) or _several(other, word) for other in name) for word in unwanted
    )


def _several(word: str, other: str) -> bool:
    """Tell whether a word is another one, or means several of it."""
    ies = f"{other[:-1]}ies" if other.endswith("y") else other
    return word in {other, f"{other}s", f"{other}es", ies}


def _bounds(eater: Eater, *, weekly: bool) -> Iterator[tuple[str, Bound]]:
    for family, bounds in (("floor", eater.floors), ("ceiling", eater.ceilings)):
        for bound in bounds:
            if bound.weekly == weekly and bound.nutrient != "usable_protein":
                yield family, bound


def _usable_floors(eater: Eater) -> Iterator[Fraction]:
    for bound in eater.floors:
        if bound.nutrient == "usable_protein":
            yield amount(bound.amount, "gram")


PATTERN: Mapping[tuple[str, ...], Fraction] = {
    tags: Fraction(milligrams) / 1000
    for tags, milligrams in {
        ("HISTN",): "16",
        ("ILE",): "30",
        ("LEU",): "61",
        ("LYS",): "48",
        ("MET", "CYS"): "23",
        ("PHE", "TYR"): "41",
        ("THR",): "25",
        ("TRP",): "6.6",
        ("VAL",): "40",
        ("PROCNT",): "1000",
    }.items()
}
DIGESTED: Mapping[str, int] = {
    "egg, whole, fresh": 97,
    "quark": 95,
    "cheddar cheese": 95,
    "chicken breast, skinless, raw": 94,
    "peanut butter, smooth, salted": 95,
    "lentils, green or brown, dry": 78,
    "chickpeas, dry": 78,
    "peas, frozen, british": 88,
    "white rice, long-grain, raw": 88,
    "rolled oats": 86,
    "wholemeal flour, british": 86,
    "plain flour, british": 96,
    "tofu, regular, set with calcium sulphate": 86,
    "carrot, raw": 78,
    "sunflower seeds, shelled": 78,
}
"""Percent of the protein of a food that is digested: FAO/WHO 1991, from memory; of a food that it
has not, the lowest of its kind."""
STATED_DIGESTED = Fraction(78, 100)


def usable(food: Food, tags: tuple[str, ...]) -> Fraction:
    """Give what amino acids suffice for, by the section; none where one is missing."""
    if food.recipe is None:
        stated = {tag: amount(much, "gram") for tag, much in food.nutrition.items() if tag in tags}
        return _held(stated, tags) * STATED_DIGESTED / PATTERN[tags]
    total = Fraction(0)
    for line in food.recipe.ingredients:
        held = {tag: Fraction(much) / 100 for tag, much in line.food.nutrients.items()}
        total += _held(held, tags) * Fraction(line.grams) * DIGESTED[line.food.name] / 100
    helpings = food.portions if isinstance(food, Batch) else 1
    return total / helpings / PATTERN[tags]


def _held(amounts: Mapping[str, Fraction], tags: tuple[str, ...]) -> Fraction:
    """Add up what counts together, of which none may be missing."""
    there = all(tag in amounts for tag in tags)
    return sum((amounts[tag] for tag in tags), Fraction(0)) if there else Fraction(0)


def _is_kept(family: str, bound: Bound, total: Fraction) -> bool:
    limit = amount(bound.amount, NUTRIENTS[bound.nutrient].unit)
    return total >= limit if family == "floor" else total <= limit


def _box(week: Week, box: Box, packed: PackedLunch) -> Iterator[str]:
    room = dict.fromkeys(Texture, Fraction(0))
    for food, times in contents(week, packed):
        if food.room is not None:
            room[food.texture] += times * amount(food.room, MILLILITRE)
    compartments = [amount(each, MILLILITRE) for each in box.compartments]
    pots = sum((amount(each, MILLILITRE) for each in box.pots), Fraction(0))
    outside = max(Fraction(0), room[Texture.WET] - pots)
    if outside + room[Texture.CRISP] + room[Texture.PLAIN] > sum(compartments):
        yield "box room"
    whole = sum(compartments)
    sets = (
        sum(some, Fraction(0))
        for number in range(len(compartments) + 1)
        for some in combinations(compartments, number)
    )
    if not any(held >= room[Texture.CRISP] and whole - held >= outside for held in sets):
        yield "wet beside crisp"


# -- rules of lunches together ------------------------------------------------


def broken_so_far(week: Week, lunches: Sequence[PackedLunch]) -> Iterator[str]:
    """Name the rules that lunches break together and that more lunches cannot mend."""
    packed, thawed = Counter[str](), Counter[str]()
    for lunch in lunches:
        for part in lunch.portions:
            packed[part.batch] += part.portions
            thawed[part.batch] += part.thawed
    for name, batch in week.batches.items():
        if packed[name] > batch.portions - batch.gone:
            yield "stock"
        if batch.frozen is not None:
            fresh = max(0, batch.portions - batch.gone - batch.thawed - batch.frozen)
            if packed[name] - thawed[name] > fresh or thawed[name] > batch.frozen:
                yield "fridge"
        if thawed[name] > max(batch.freezer, batch.frozen or 0):
            yield "freezer"
        for lunch in lunches if batch.frozen_later else ():
            # Each lot is thawed on an evening after the one it was frozen on.
            not_yet = sum(lot for day, lot in batch.frozen_later if (lunch.day - day).days < 2)
            until = sum(
                x.thawed
                for other in lunches
                if other.day <= lunch.day
                for x in other.portions
                if x.batch == name
            )
            if until > (batch.frozen or 0) - not_yet:
                yield "freezer"
                break
        days = [lunch.day for lunch in lunches if lunch.of(name)]
        if days and (max(days) - min(days)).days > batch.limits.get("eaten_within", 365):
            yield "eaten within"
    for name, eater in week.eaters.items():
        mine = [lunch for lunch in lunches if lunch.eater == name]
        yield from _variety(week, mine)
        yield from _weekly(week, eater, mine, "ceiling")


def broken_at_last(week: Week, lunches: Sequence[PackedLunch]) -> Iterator[str]:
    """Name the rules that only all lunches together can be held against."""
    for name, eater in week.eaters.items():
        mine = [lunch for lunch in lunches if lunch.eater == name]
        if mine:
            yield from _weekly(week, eater, mine, "floor")
    for wish in week.wishes:
        meant = {
            (x.eater, x.day)
            for x in week.lunches
            if x.day == wish.day and wish.eater in (None, x.eater)
        }
        having = {(x.eater, x.day) for x in lunches if x.dish == wish.dish}
        if meant and not meant & having:
            yield "wished"


def _weekly(week: Week, eater: Eater, mine: list[PackedLunch], wanted: str) -> Iterator[str]:
    for family, bound in _bounds(eater, weekly=True):
        if family == wanted:
            total = sum((nutrient(week, lunch, bound.nutrient) for lunch in mine), Fraction(0))
            if not _is_kept(family, bound, total):
                yield family


def _as(week: Week, lunch: PackedLunch) -> str:
    """Give the dish that a lunch counts as."""
    return week.dishes[lunch.dish].same_as or lunch.dish


def _variety(week: Week, mine: list[PackedLunch]) -> Iterator[str]:
    variety = week.variety
    for name, times in Counter(_as(week, lunch) for lunch in mine).items():
        limits = [limit for limit in (week.dishes[name].most, variety.most_times) if limit]
        if limits and times > min(limits):
            yield "most times"
    for earlier, other in combinations(mine, 2):
        apart = abs((earlier.day - other.day).days)
        if _as(week, earlier) == _as(week, other) and apart - 1 < variety.days_between:
            yield "days between"
        kinds = {week.dishes[earlier.dish].kind, week.dishes[other.dish].kind}
        if apart == 1 and any(kinds <= group for group in variety.kinds_apart):
            yield "kinds apart"
    if variety.same_choice is not None:
        chosen = Counter(pair for lunch in mine for pair in lunch.options.items())
        if chosen and max(chosen.values()) > variety.same_choice:
            yield "same choice"
    if variety.batch_running is not None:
        for name in week.batches:
            eaten = {lunch.day for lunch in mine if lunch.of(name)}
            if _longest_run(eaten) > variety.batch_running:
                yield "days running"


def _longest_run(days: set[date]) -> int:
    longest = 0
    for day in days:
        length = 1
        while day + timedelta(days=length) in days:
            length += 1
        longest = max(longest, length)
    return longest


# -- packs --------------------------------------------------------------------


def packs_needed(item: LarderItem, used_on: Mapping[date, Fraction]) -> int:
    """Count the packs opened when one is opened only as nothing usable is left."""
    size, number = amount(item.pack, item.unit), 0
    rests: list[tuple[date, Fraction]] = []
    for day in sorted(used_on):
        need, rests = _draw(item, rests, day, used_on[day])
        packs = ceil(need / size)
        number += packs
        rests.append((day, packs * size - need))
    return number


def packs_hold(
    item: LarderItem, used_on: Mapping[date, Fraction], opened: Sequence[tuple[date, int]]
) -> bool:
    """Tell whether packs opened on given days give what is used."""
    size = amount(item.pack, item.unit)
    rests = sorted((day, packs * size) for day, packs in opened)
    for day in sorted(used_on):
        need, rests = _draw(item, rests, day, used_on[day])
        if need:
            return False
    return True


def _draw(
    item: LarderItem, rests: list[tuple[date, Fraction]], day: date, need: Fraction
) -> tuple[Fraction, list[tuple[date, Fraction]]]:
    # The oldest pack that is still good first: it is the first to be of no more use.
    kept: list[tuple[date, Fraction]] = []
    for opened, rest in rests:
        good = item.opened_life is None or (day - opened).days <= item.opened_life
        taken = min(need, rest) if good and opened <= day else Fraction(0)
        need -= taken
        kept.append((opened, rest - taken))
    return need, kept


def used_on(week: Week, lunches: Iterable[PackedLunch]) -> dict[str, Used]:
    """Add up what is used of each item on each day."""
    by_item: dict[str, Used] = {}
    for lunch in lunches:
        for name, much in used(week, lunch).items():
            days = by_item.setdefault(name, {})
            days[lunch.day] = days.get(lunch.day, Fraction(0)) + much
    return by_item


def broken_packs(week: Week, packed: PackedWeek) -> Iterator[str]:
    """Name what is wrong with the packs that a week opens."""
    needed = used_on(week, packed.lunches)
    for name, item in week.larder.items():
        opened = [(pack.opened, pack.packs) for pack in packed.packs if pack.item == name]
        if item.loose:
            # What a dish weighs out of a cupboard has no pack of its own.
            if opened:
                yield "packs that keep"
        elif not packs_hold(item, needed.get(name, {}), opened):
            yield "opened life" if item.opened_life is not None else "packs that keep"
        elif sum(packs for _, packs in opened) > packs_needed(item, needed.get(name, {})):
            yield "more packs than needed"


def broken(week: Week, packed: PackedWeek) -> list[str]:
    """Name every rule that a packed week breaks."""
    planned = [(lunch.eater, lunch.day) for lunch in week.lunches]
    if [(lunch.eater, lunch.day) for lunch in packed.lunches] != planned:
        return ["the lunches are not those of the week"]
    breaches = [
        rule
        for lunch, packed_lunch in zip(week.lunches, packed.lunches, strict=True)
        for rule in broken_alone(week, lunch, packed_lunch)
    ]
    breaches += broken_so_far(week, packed.lunches)
    breaches += broken_at_last(week, packed.lunches)
    breaches += broken_packs(week, packed)
    return breaches


# -- values -------------------------------------------------------------------


def values_of(week: Week, lunches: Sequence[PackedLunch]) -> Values:
    """Work out the value of each priority of a week's lunches."""
    return tuple((name, _VALUE_OF[name](week, lunches)) for name in week.priorities)


def _left_over(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    total = Fraction(0)
    for name, batch in week.batches.items():
        parts = [x for lunch in lunches for x in lunch.portions if x.batch == name]
        # What stays in the freezer is there for a later week.
        stays = 0 if batch.frozen is None else batch.frozen - sum(x.thawed for x in parts)
        rest = batch.portions - batch.gone - sum(x.portions for x in parts) - stays
        total += rest * amount(batch.portion, GRAM)
    for name, days in used_on(week, lunches).items():
        item = week.larder[name]
        if item.opened_life is not None and item.mass is not None:
            opened = packs_needed(item, days) * amount(item.pack, item.unit)
            total += (opened - sum(days.values())) * amount(item.mass, GRAM)
    return total


def _repeats(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    times = Counter((lunch.eater, _as(week, lunch)) for lunch in lunches)
    return Fraction(sum(number - 1 for number in times.values()))


def _freshness(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    total = 0
    for lunch in lunches:
        for part in lunch.portions:
            batch = week.batches[part.batch]
            fresh_until = batch.made + timedelta(days=batch.life.low)
            total += (part.portions - part.thawed) * max(0, (lunch.day - fresh_until).days)
    return Fraction(total)


def _thawed(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    return Fraction(sum(part.thawed for lunch in lunches for part in lunch.portions))


def _liking(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    return Fraction(sum(week.eaters[lunch.eater].likes.get(lunch.dish, 0) for lunch in lunches))


def _cost(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    total = sum((Fraction(batch.cost) for batch in week.batches.values()), Fraction(0))
    for name, days in used_on(week, lunches).items():
        item = week.larder[name]
        if item.opened_life is not None:
            total += packs_needed(item, days) * Fraction(item.price)
    for lunch in lunches:
        for helping, times in helpings(week, lunch):
            item = week.larder[helping.item]
            if item.opened_life is None:
                share = amount(helping.amount, item.unit) / amount(item.pack, item.unit)
                exact = Fraction(item.price) * share * CENTS
                total += times * Fraction(ceil(exact), CENTS)
    return total


def _minutes(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    return Fraction(sum(week.dishes[lunch.dish].minutes for lunch in lunches))


def _packs_opened(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    needed = used_on(week, lunches)
    items = ((week.larder[name], days) for name, days in needed.items())
    return Fraction(sum(packs_needed(item, days) for item, days in items if not item.loose))


def _file_order(week: Week, lunches: Sequence[PackedLunch]) -> Fraction:
    total, dishes = 0, list(week.dishes)
    for lunch in lunches:
        total += dishes.index(lunch.dish) * (len(week.days) - week.days.index(lunch.day))
        for choice, chosen in lunch.options.items():
            options = [option.item for option in week.choices[choice].options]
            total += options.index(chosen)
    return Fraction(total)


_VALUE_OF: dict[str, Callable[[Week, Sequence[PackedLunch]], Fraction]] = {
    "left_over": _left_over,
    "repeats": _repeats,
    "freshness": _freshness,
    "thawed": _thawed,
    "liking": _liking,
    "cost": _cost,
    "minutes": _minutes,
    "packs_opened": _packs_opened,
    "file_order": _file_order,
}


# -- every combination --------------------------------------------------------


def complete_lunches(week: Week, lunch: Lunch) -> Iterator[PackedLunch]:
    """List every complete lunch that breaks no rule by itself."""
    for dish in week.dishes.values():
        portions = product(
            *(
                [
                    PackedPortions(take.batch, number, thawed)
                    for number in range(take.least, take.most + 1)
                    for thawed in range(number + 1)
                ]
                for take in dish.takes
            )
        )
        options = product(
            *([option.item for option in week.choices[name].options] for name in dish.choices)
        )
        extras = product(*(range(extra.most + 1) for extra in dish.extras))
        for parts, chosen, times in product(list(portions), list(options), list(extras)):
            packed = PackedLunch(
                lunch.eater,
                lunch.day,
                dish.name,
                parts,
                dict(zip(dish.choices, chosen, strict=True)),
                {
                    extra.helping.item: number
                    for extra, number in zip(dish.extras, times, strict=True)
                },
            )
            if next(broken_alone(week, lunch, packed), None) is None:
                yield packed


def best(
    week: Week, most: int, forced: Mapping[tuple[str, date], str] | None = None
) -> Values | None:
    """Find the best value of each priority after those before it, or nothing.

    Parameters
    ----------
    week
        The week.
    most
        How many combinations may be tried.
    forced
        The dish of some lunches, by eater and day.

    Raises
    ------
    TooManyError
        When more than `most` combinations would have to be tried.
    """
    dishes = {} if forced is None else forced
    ways = [
        [
            packed
            for packed in complete_lunches(week, lunch)
            if dishes.get((lunch.eater, lunch.day), packed.dish) == packed.dish
        ]
        for lunch in week.lunches
    ]
    if prod(len(some) for some in ways) > most:
        raise TooManyError
    best_values: list[Fraction] | None = None
    for lunches in _combinations(week, ways):
        if next(broken_at_last(week, lunches), None) is None:
            best_values = _better(week, lunches, best_values)
    if best_values is None:
        return None
    return tuple(
        (name, _signed(name, value))
        for name, value in zip(week.priorities, best_values, strict=True)
    )


def reached(week: Week, names: Sequence[str], most: int) -> set[tuple[Fraction, ...]]:
    """Find what weeks come to in these priorities, the smaller the better, by trying every one.

    Raises
    ------
    TooManyError
        When more than `most` combinations would have to be tried.
    """
    ways = [list(complete_lunches(week, lunch)) for lunch in week.lunches]
    if prod(len(some) for some in ways) > most:
        raise TooManyError
    return {
        tuple(_value(week, lunches, name) for name in names)
        for lunches in _combinations(week, ways)
        if next(broken_at_last(week, lunches), None) is None
    }


def front(week: Week, first: str, second: str, most: int) -> list[tuple[Fraction, Fraction]]:
    """Find every pair of values of which none is better in both, by trying every week.

    Raises
    ------
    TooManyError
        When more than `most` combinations would have to be tried.
    """
    pairs = reached(week, (first, second), most)
    best_pairs: list[tuple[Fraction, Fraction]] = []
    for mine, other in sorted(pairs):
        if not best_pairs or other < best_pairs[-1][1]:
            best_pairs.append((mine, other))
    return [(_signed(first, mine), _signed(second, other)) for mine, other in best_pairs]


def _combinations(
    week: Week, ways: list[list[PackedLunch]], chosen: tuple[PackedLunch, ...] = ()
) -> Iterator[tuple[PackedLunch, ...]]:
    if len(chosen) == len(ways):
        yield chosen
        return
    for lunch in ways[len(chosen)]:
        lunches = (*chosen, lunch)
        if next(broken_so_far(week, lunches), None) is None:
            yield from _combinations(week, ways, lunches)


def _signed(name: str, value: Fraction) -> Fraction:
    # Of liking more is better; all others are made small.
    return -value if name == "liking" else value


def _better(
    week: Week, lunches: Sequence[PackedLunch], known: list[Fraction] | None
) -> list[Fraction]:
    # Values are worked out one by one: most combinations lose on the first.
    value = partial(_value, week, lunches)
    if known is None:
        return [value(name) for name in week.priorities]
    for at, name in enumerate(week.priorities):
        mine = value(name)
        if mine > known[at]:
            return known
        if mine < known[at]:
            return [*known[:at], mine, *(value(later) for later in week.priorities[at + 1 :])]
    return known


def _value(week: Week, lunches: Sequence[PackedLunch], name: str) -> Fraction:
    return _signed(name, _VALUE_OF[name](week, lunches))
