"""The counts a week is decided by, and the sums that rules speak in.

A serving is a dish with exact portions; there is a count for each serving at each
slot. Choices and extras have counts of their own, tied to the servings by rows, so
that they multiply nothing. A slot holds lunches that no rule tells apart: one, or
several where eaters are alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import product
from math import ceil, gcd, prod
from typing import TypeAlias

from models.foods.parts import Contents
from models.week.sums import helping_cost, share
from models.week.week import Dish, Eater, Helping, Place, Texture, Week
from models.words.protein import COUNTED
from models.words.units import MILLILITRE
from optimiser.board import scale
from optimiser.board.rows import Sheet, Sum


@dataclass(frozen=True, slots=True)
class Serving:
    """A dish with its exact portions of each batch it takes."""

    dish: str
    portions: tuple[tuple[str, int], ...]

    def of(self, batch: str) -> int:
        """Count the portions of a batch in it.

        Parameters
        ----------
        batch
            Name of a batch.

        Returns
        -------
        int
            0 where it takes none of it.
        """
        return next((count for name, count in self.portions if name == batch), 0)


OptionKey: TypeAlias = tuple[str, str, str]
"""Dish, choice, item."""
ExtraKey: TypeAlias = tuple[str, str]
"""Dish, item."""
Counted: TypeAlias = "tuple[date | None, Serving | OptionKey | ExtraKey | str]"
"""What is counted of a group: on a date, or of the week a dish that comes again."""
MOST_PLATES = 1000
"""A dish that can be more plates than this has its lunches bounded together instead."""
_Plate: TypeAlias = tuple[tuple[int, int], ...]
"""Counts that one lunch adds to, and how often each."""
_Weights: TypeAlias = tuple[
    list[tuple[Serving, int]], list[tuple[OptionKey, int]], list[tuple[ExtraKey, int]]
]


@dataclass(frozen=True, slots=True)
class Slot:
    """Lunches of alike eaters on one date."""

    at: int
    eaters: tuple[str, ...]
    day: date
    place: Place

    @property
    def size(self) -> int:
        """How many lunches it holds."""
        return len(self.eaters)


def servings_of(dish: Dish) -> tuple[Serving, ...]:
    """List every serving of a dish, least portions first.

    Parameters
    ----------
    dish
        The dish.

    Returns
    -------
    tuple of Serving
        One for each way to take from the least to the most of every batch; one, of no portions,
        where the dish takes none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> dish = next(dish for dish in week.dishes.values() if len(dish.takes) == 1)
    >>> (take,) = dish.takes
    >>> len(servings_of(dish)) == take.most - take.least + 1
    True
    """
    ranges = (range(take.least, take.most + 1) for take in dish.takes)
    names = [take.batch for take in dish.takes]
    return tuple(
        Serving(dish.name, tuple(zip(names, counts, strict=True))) for counts in product(*ranges)
    )


def alike(week: Week) -> tuple[tuple[str, ...], ...]:
    """Group the eaters whom no rule tells apart, in the order of the file.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    tuple of tuple of str
        Names of eaters, each in one group.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> sorted(name for group in alike(week) for name in group) == sorted(week.eaters)
    True
    """
    groups: list[tuple[object, list[str]]] = []
    for name, eater in week.eaters.items():
        signature = (
            _nameless(eater),
            [(lunch.day, lunch.place) for lunch in week.lunches if lunch.eater == name],
            [(wish.day, wish.dish) for wish in week.wishes if wish.eater == name],
        )
        for other, names in groups:
            if other == signature:
                names.append(name)
                break
        else:
            groups.append((signature, [name]))
    return tuple(tuple(names) for _, names in groups)


def each_alone(week: Week) -> tuple[tuple[str, ...], ...]:
    """Put every eater in a group of one.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    tuple of tuple of str
        Names of eaters, a group each, in the order of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> each_alone(week) == tuple((name,) for name in week.eaters)
    True
    """
    return tuple((name,) for name in week.eaters)


def _nameless(eater: Eater) -> Eater:
    return replace(eater, name="", group="")


class Board:
    """All counts of a week, and the sums over them.

    Parameters
    ----------
    week
        The week to decide.
    groups
        Groups of alike eaters; a partition of the week's eaters.
    may_buy
        Whether a lunch may be bought, so that nothing is packed for it.
    by_dish
        Whether options are counted dish by dish for one eater too, as they are for several.
    """

    def __init__(
        self,
        week: Week,
        groups: tuple[tuple[str, ...], ...],
        *,
        may_buy: bool = False,
        by_dish: bool = False,
    ) -> None:
        self.week = week
        self.groups = groups
        self._group_of = {eater: group for group in groups for eater in group}
        self.may_buy = may_buy
        self._by_dish = by_dish
        self.bought_counts: list[int] = []
        self.sheet = Sheet()
        self.slots = tuple(self._slots())
        self.servings = {name: servings_of(dish) for name, dish in week.dishes.items()}
        self._weights: dict[object, _Weights] = {}
        self._grains: dict[str, int] = {}
        self.serving_counts: list[dict[Serving, int]] = []
        self.option_counts: list[dict[OptionKey, int]] = []
        self.extra_counts: list[dict[ExtraKey, int]] = []
        self.thaw_counts: list[dict[str, int]] = []
        for slot in self.slots:
            self._lay(slot)
        self.left_counts = {
            name: self.sheet.count(batch.portions, f"left of {name}")
            for name, batch in week.batches.items()
        }
        self.unspoilt: dict[str, int] = {}
        """What of opened packs would not be wasted if they kept: nothing, by the rule on them."""
        self.opened_counts = self._lay_packs()
        self._plates: dict[tuple[int, str], dict[_Plate, int]] = {}
        self._out_of_pots: dict[tuple[int, int], tuple[int, int]] = {}
        self._again: dict[tuple[int, str], int] = {}
        self._frozen_now: dict[str, int] = {}

    def _slots(self) -> Iterator[Slot]:
        lunches = {(lunch.eater, lunch.day): lunch for lunch in self.week.lunches}
        at = 0
        for group in self.groups:
            for day in self.week.days:
                lunch = lunches.get((group[0], day))
                if lunch is not None:
                    yield Slot(at, group, day, lunch.place)
                    at += 1

    def _lay(self, slot: Slot) -> None:
        sheet, size = self.sheet, slot.size
        counts = {
            serving: sheet.count(size, f"{slot.day} {slot.eaters[0]} {serving.dish}")
            for servings in self.servings.values()
            for serving in servings
        }
        self.serving_counts.append(counts)
        one_each = Sum((count, 1) for count in counts.values())
        if self.may_buy:
            self.bought_counts.append(sheet.count(size, f"{slot.day} {slot.eaters[0]} bought"))
            one_each.add(self.bought_counts[-1])
        sheet.bound(one_each, low=size, high=size, rule=None)
        self.option_counts.append(self._lay_options(slot))
        self.extra_counts.append(self._lay_extras(slot))
        self.thaw_counts.append(self._lay_thaws(slot))

    def _lay_options(self, slot: Slot) -> dict[OptionKey, int]:
        # One lunch is one dish, so one count serves all dishes that offer a choice. Where
        # several lunches are counted together, which dish an option went to matters.
        dishes = [dish for dish in self.week.dishes.values() if dish.choices]
        shared = slot.size == 1 and not self._by_dish
        sharing = [dishes] if shared else [[dish] for dish in dishes]
        counts: dict[OptionKey, int] = {}
        for together in sharing:
            for choice in self.week.choices.values():
                offering = [dish.name for dish in together if choice.name in dish.choices]
                if not offering:
                    continue
                total = Sum()
                for option in choice.options:
                    name = f"{slot.day} {offering[0]} {choice.name} {option.item}"
                    count = self.sheet.count(slot.size, name)
                    total.add(count)
                    counts |= {(dish, choice.name, option.item): count for dish in offering}
                for dish in offering:
                    total.plus(self.times(slot, dish), -1)
                self.sheet.bound(total, low=0, high=0)
        return counts

    def _lay_extras(self, slot: Slot) -> dict[ExtraKey, int]:
        counts: dict[ExtraKey, int] = {}
        for dish in self.week.dishes.values():
            for extra in dish.extras:
                key = (dish.name, extra.helping.item)
                top = extra.most * slot.size
                counts[key] = self.sheet.count(top, f"{slot.day} {' '.join(key)}")
                added = Sum([(counts[key], 1)])
                self.sheet.bound(added.plus(self.times(slot, dish.name), -extra.most), high=0)
        return counts

    def _lay_thaws(self, slot: Slot) -> dict[str, int]:
        # Where it is known how much was frozen, the rule on the freezer keeps thawed portions from
        # days too early; else nobody would want them there.
        counts: dict[str, int] = {}
        for name, batch in self.week.batches.items():
            if batch.frozen is not None or slot.day >= batch.thaws_from:
                portions = self.portions(slot, name)
                if portions.terms:
                    count = self.sheet.count(
                        min(batch.portions, max(portions.terms.values()) * slot.size),
                        f"{slot.day} thawed {name}",
                    )
                    counts[name] = count
                    self.sheet.bound(Sum([(count, 1)]).plus(portions, -1), high=0, rule=None)
        return counts

    def _lay_packs(self) -> dict[str, dict[date, int]]:
        counts: dict[str, dict[date, int]] = {}
        for name, item in self.week.larder.items():
            if item.opened_life is None:
                continue
            size = self.pack(name)
            total, by_day = Sum(), {}
            for day in self.week.days:
                used = self.used_on(day, name)
                if not used.terms:
                    continue
                top = ceil(self.sheet.reach(used)[1] / size)
                by_day[day] = self.sheet.count(top, f"{day} opened {name}")
                total.add(by_day[day], size).plus(used, -1)
            if by_day:
                counts[name] = by_day
                kept = self.sheet.count(self.sheet.reach(total)[1], f"unspoilt {name}")
                self.unspoilt[name] = kept
                self.sheet.bound(total.add(kept, -1), low=0, rule=None)
        return counts

    # -- sums over one slot -----------------------------------------------------

    def _over_servings(self, slot: Slot, weight: Callable[[Serving], int]) -> Sum:
        return Sum(
            (count, weight(serving)) for serving, count in self.serving_counts[slot.at].items()
        )

    def times(self, slot: Slot, dish: str) -> Sum:
        """How often a dish comes.

        Parameters
        ----------
        slot
            The slot.
        dish
            Name of a dish.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot.
        """
        counts = self.serving_counts[slot.at]
        return Sum((counts[serving], 1) for serving in self.servings[dish])

    def bought(self, slot: Slot) -> Sum:
        """How many of its lunches are bought.

        Parameters
        ----------
        slot
            The slot.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot; nothing where none may be bought.
        """
        return Sum([(self.bought_counts[slot.at], 1)] if self.may_buy else ())

    def times_as(self, slot: Slot, dish: str) -> Sum:
        """How often a dish comes, in whichever way.

        Parameters
        ----------
        slot
            The slot.
        dish
            Name of a dish that is `same_as` no other.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot.
        """
        total = Sum()
        for other in self.week.dishes.values():
            if other.counts_as == dish:
                total.plus(self.times(slot, other.name))
        return total

    def of_kinds(self, slot: Slot, kinds: frozenset[str]) -> Sum:
        """How often a dish of one of these kinds comes.

        Parameters
        ----------
        slot
            The slot.
        kinds
            Kinds of dishes.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot.
        """
        total = Sum()
        for dish in self.week.dishes.values():
            if dish.kind in kinds:
                total.plus(self.times(slot, dish.name))
        return total

    def portions(self, slot: Slot, batch: str) -> Sum:
        """Portions of a batch.

        Parameters
        ----------
        slot
            The slot.
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Whole portions, fresh and thawed, over its lunches.
        """
        return self._over_servings(slot, lambda serving: serving.of(batch))

    def with_batch(self, slot: Slot, batch: str) -> Sum:
        """How many of its lunches take any of a batch.

        Parameters
        ----------
        slot
            The slot.
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot.
        """
        return self._over_servings(slot, lambda serving: 1 if serving.of(batch) else 0)

    def thawed(self, slot: Slot, batch: str) -> Sum:
        """Portions of a batch that come from the freezer.

        Parameters
        ----------
        slot
            The slot.
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Whole portions; nothing on days for which none can have thawed.
        """
        count = self.thaw_counts[slot.at].get(batch)
        return Sum() if count is None else Sum([(count, 1)])

    def chosen(self, slot: Slot, choice: str, item: str) -> Sum:
        """How often an option of a choice is taken.

        Parameters
        ----------
        slot
            The slot.
        choice
            Name of a choice.
        item
            One of its options.

        Returns
        -------
        Sum
            Lunches, from 0 to the size of the slot, whichever dish offers the choice.
        """
        counts = {
            count
            for (_, name, option), count in self.option_counts[slot.at].items()
            if (name, option) == (choice, item)
        }
        return Sum((count, 1) for count in sorted(counts))

    def over_food(
        self,
        slot: Slot,
        what: object,
        portion: Callable[[str], int],
        helping: Callable[[Helping], int],
    ) -> Sum:
        """Sum whole numbers over all food in a slot.

        Parameters
        ----------
        slot
            The slot.
        what
            A key for the two functions: they are asked once for all slots.
        portion
            Weight of one portion of a batch, by its name.
        helping
            Weight of a helping of a larder item.

        Returns
        -------
        Sum
            In the unit of the weights, over all lunches of the slot; without a constant.
        """
        if what not in self._weights:
            self._weights[what] = self._weigh(portion, helping)
        servings, options, extras = self._weights[what]
        total = Sum((self.serving_counts[slot.at][key], weight) for key, weight in servings)
        for key, weight in options:
            # Set, not added: dishes may share the count of an option.
            total.terms[self.option_counts[slot.at][key]] = weight
        for extra_name, weight in extras:
            total.add(self.extra_counts[slot.at][extra_name], weight)
        return total

    def _weigh(self, portion: Callable[[str], int], helping: Callable[[Helping], int]) -> _Weights:
        by_batch = {name: portion(name) for name in self.week.batches}
        servings: list[tuple[Serving, int]] = []
        options: list[tuple[OptionKey, int]] = []
        extras: list[tuple[ExtraKey, int]] = []
        for dish in self.week.dishes.values():
            always = sum(helping(part) for part in dish.goes_in)
            for serving in self.servings[dish.name]:
                taken = sum(by_batch[name] * count for name, count in serving.portions)
                servings.append((serving, always + taken))
            for name in dish.choices:
                for option in self.week.choices[name].options:
                    options.append(((dish.name, name, option.item), helping(option)))
            for extra in dish.extras:
                extras.append(((dish.name, extra.helping.item), helping(extra.helping)))
        return (
            [pair for pair in servings if pair[1]],
            [pair for pair in options if pair[1]],
            [pair for pair in extras if pair[1]],
        )

    def nutrient(self, slot: Slot, tag: str, *, up: bool) -> Sum:
        """Content of a nutrient in thousandths of its unit, rounded up or down.

        Parameters
        ----------
        slot
            The slot.
        tag
            A key of `COUNTED`.
        up
            Whether each portion and helping is rounded up, as for a ceiling.

        Returns
        -------
        Sum
            Thousandths of the unit, over all lunches of the slot; food without a figure counts 0.
        """
        unit = COUNTED[tag].unit
        rounded = scale.up if up else scale.down
        batches, larder = self.week.batches, self.week.larder

        def portion(name: str) -> int:
            known = batches[name].nutrition.get(tag)
            return 0 if known is None else rounded(known, unit)

        def helping(part: Helping) -> int:
            item = larder[part.item]
            known = item.nutrition.get(tag)
            return 0 if known is None else rounded(known, unit, share(item, part))

        return self.over_food(slot, ("nutrient", tag, up), portion, helping)

    def volume(self, slot: Slot, texture: Texture) -> Sum:
        """Room that food of one texture takes in the box, in µL, rounded up.

        Parameters
        ----------
        slot
            The slot.
        texture
            Which food to count.

        Returns
        -------
        Sum
            µL, over all lunches of the slot; food without `room` counts 0.
        """

        def portion(name: str) -> int:
            batch = self.week.batches[name]
            fits = batch.texture is texture and batch.room is not None
            return scale.up(batch.room, MILLILITRE) if fits and batch.room is not None else 0

        def helping(part: Helping) -> int:
            item = self.week.larder[part.item]
            if item.texture is not texture or item.room is None:
                return 0
            return scale.up(item.room, MILLILITRE, share(item, part))

        return self.over_food(slot, ("volume", texture), portion, helping)

    def forbidden(self, slot: Slot, what: str, is_in: Callable[[str, Contents], bool]) -> Sum:
        """How much food there is whose name and contents are such; `what` is the question.

        Parameters
        ----------
        slot
            The slot.
        what
            The question, which names the answers: one question, one function.
        is_in
            Tells by name and contents.

        Returns
        -------
        Sum
            0 exactly where nothing of it is in a lunch; else portions and helpings.
        """
        batches, larder = self.week.batches, self.week.larder
        return self.over_food(
            slot,
            ("forbidden", what),
            lambda name: int(is_in(name, batches[name].contents)),
            lambda part: int(is_in(part.item, larder[part.item].contents)),
        )

    def chilled(self, slot: Slot) -> Sum:
        """How much food there is that must stay cold until it is eaten.

        Parameters
        ----------
        slot
            The slot.

        Returns
        -------
        Sum
            0 exactly where nothing of it is in a lunch; else portions and helpings.
        """
        batches, larder = self.week.batches, self.week.larder
        return self.over_food(
            slot,
            "chilled",
            lambda name: int(batches[name].chilled),
            lambda part: int(larder[part.item].chilled),
        )

    def out_of_pots(self, slot: Slot, pots: int) -> Sum:
        """Room in µL of what is wet and does not fit the pots, at the least.

        Parameters
        ----------
        slot
            The slot.
        pots
            Room of the pots of each of its lunches, in µL.

        Returns
        -------
        Sum
            µL, 0 or more; it may be made larger than it has to be.
        """
        if (slot.at, pots) not in self._out_of_pots:
            wet = self.volume(slot, Texture.WET)
            step = gcd(pots, *wet.terms.values()) or 1
            top = max(0, self.sheet.reach(wet)[1]) // step
            count = self.sheet.count(top, f"{slot.day} wet out of pots")
            self._out_of_pots[slot.at, pots] = (count, step)
            over = Sum([(count, step)]).plus(wet, -1)
            self.sheet.bound(over, low=-pots * slot.size, rule=None)
        return Sum([self._out_of_pots[slot.at, pots]])

    def grain(self, item: str) -> int:
        """Give the largest step, in thousandths of its unit, that all amounts of an item share.

        Counting packs in such steps keeps the solver's numbers small.

        Parameters
        ----------
        item
            Name of a larder item.

        Returns
        -------
        int
            1 or more; the pack and every helping are whole multiples of it.
        """
        if item not in self._grains:
            unit = self.week.larder[item].unit
            amounts = [scale.up(self.week.larder[item].pack, unit)]
            for dish in self.week.dishes.values():
                parts = [*dish.goes_in, *(extra.helping for extra in dish.extras)]
                amounts += [scale.up(part.amount, unit) for part in parts if part.item == item]
            for choice in self.week.choices.values():
                parts = list(choice.options)
                amounts += [scale.up(part.amount, unit) for part in parts if part.item == item]
            self._grains[item] = gcd(*amounts)
        return self._grains[item]

    def used(self, slot: Slot, item: str) -> Sum:
        """Amount of a larder item used, in grains.

        Parameters
        ----------
        slot
            The slot.
        item
            Name of a larder item.

        Returns
        -------
        Sum
            Grains, over all lunches of the slot.
        """
        unit, grain = self.week.larder[item].unit, self.grain(item)
        return self.over_food(
            slot,
            ("used", item),
            lambda name: 0,
            lambda part: scale.up(part.amount, unit) // grain if part.item == item else 0,
        )

    def pack(self, item: str) -> int:
        """Amount of a larder item in a pack, in grains.

        Parameters
        ----------
        item
            Name of a larder item.

        Returns
        -------
        int
            Grains, 1 or more.
        """
        thing = self.week.larder[item]
        return scale.up(thing.pack, thing.unit) // self.grain(item)

    def best_with(self, slot: Slot, total: Sum, *, most: bool) -> dict[Serving, int]:
        """Give the most (or least) a sum over food can be with each serving.

        Parameters
        ----------
        slot
            The slot.
        total
            A sum over food of this slot.
        most
            Whether to make it as large, or as small, as its choices and extras can.

        Returns
        -------
        dict of Serving to int
            One for each serving of every dish, in the unit of the sum.
        """
        sign = 1 if most else -1
        signed = Sum().plus(total, sign)
        best = {
            name: self._best_sides(slot, signed, dish) for name, dish in self.week.dishes.items()
        }
        return {
            serving: sign * (signed.terms.get(count, 0) + sum(best[serving.dish].values()))
            for serving, count in self.serving_counts[slot.at].items()
        }

    def _best_sides(self, slot: Slot, total: Sum, dish: Dish) -> dict[str, int]:
        """Give the most that each choice, and all extras, can add to a sum."""
        options, extras = self.option_counts[slot.at], self.extra_counts[slot.at]
        best = {
            name: max(
                total.terms.get(options[dish.name, name, option.item], 0)
                for option in self.week.choices[name].options
            )
            for name in dish.choices
        }
        best[""] = sum(
            max(0, total.terms.get(extras[dish.name, extra.helping.item], 0) * extra.most)
            for extra in dish.extras
        )
        return best

    def at_least(self, slot: Slot, total: Sum, low: int, rule: str) -> None:
        """Bound a sum over the food of each lunch of a slot from below.

        A serving that cannot reach the bound is barred. For one lunch one row does the
        rest. For several counted together that row would let a rich lunch pay for a poor
        one: there every plate that a dish can be is counted, and poor ones are barred.

        Parameters
        ----------
        slot
            The slot.
        total
            A sum over its food.
        low
            The least of each of its lunches, in the unit of the sum.
        rule
            Key of the rule that asks for it.
        """
        best = self.best_with(slot, total, most=True)
        self.bar(slot, (serving for serving, most in best.items() if most < low), rule)
        if slot.size == 1:
            self.sheet.bound(total, low=low, rule=rule)
            return
        worst = self.best_with(slot, total, most=False)
        for dish in self.week.dishes.values():
            if all(best[x] < low or worst[x] >= low for x in self.servings[dish.name]):
                continue
            if self._plates_number(dish) > MOST_PLATES:
                self._reach(slot, dish, total, low, rule)
            else:
                poor = Sum(
                    (count, 1)
                    for plate, count in self._plates_of(slot, dish).items()
                    if sum(total.terms.get(at, 0) * times for at, times in plate) < low
                )
                self.sheet.bound(poor, high=0, rule=rule)

    def _plates_number(self, dish: Dish) -> int:
        options = prod(len(self.week.choices[name].options) for name in dish.choices)
        extras = prod(extra.most + 1 for extra in dish.extras)
        return len(self.servings[dish.name]) * options * extras

    def _reach(self, slot: Slot, dish: Dish, total: Sum, low: int, rule: str) -> None:
        """Bound the lunches of a dish together: weaker, for a rich one may pay for a poor one."""
        own = Sum().plus(self.times(slot, dish.name), -low)
        mine = [self.serving_counts[slot.at][serving] for serving in self.servings[dish.name]]
        for counts in (self.option_counts[slot.at], self.extra_counts[slot.at]):
            mine += [count for what, count in counts.items() if what[0] == dish.name]
        for count in mine:
            own.add(count, total.terms.get(count, 0))
        self.sheet.bound(own, low=0, rule=rule)

    def _plates_of(self, slot: Slot, dish: Dish) -> dict[_Plate, int]:
        """Count every plate that a dish can be: a serving with an option of each choice, extras."""
        key = (slot.at, dish.name)
        if key not in self._plates:
            options, extras = self.option_counts[slot.at], self.extra_counts[slot.at]
            parts = [[(self.serving_counts[slot.at][x], 1) for x in self.servings[dish.name]]]
            for name in dish.choices:
                items = [option.item for option in self.week.choices[name].options]
                parts.append([(options[dish.name, name, item], 1) for item in items])
            for extra in dish.extras:
                count = extras[dish.name, extra.helping.item]
                parts.append([(count, times) for times in range(extra.most + 1)])
            self._plates[key] = {}
            together: dict[int, Sum] = {}
            for plate in product(*parts):
                count = self.sheet.count(slot.size, f"{slot.day} plate of {dish.name}")
                self._plates[key][plate] = count
                for at, times in plate:
                    together.setdefault(at, Sum([(at, -1)])).add(count, times)
            for total in together.values():
                self.sheet.bound(total, low=0, high=0)
        return self._plates[key]

    def short_of(self, total: Sum, low: int, rule: str, slot: Slot | None = None) -> Sum:
        """Bound a sum from below, but let it be short; give by how many thousandths it is.

        A lunch that is bought is short of nothing.

        Parameters
        ----------
        total
            A sum over food.
        low
            The least it should be, in its unit.
        rule
            Key of the rule that asks for it.
        slot
            The slot it is about, where it is of one.

        Returns
        -------
        Sum
            Thousandths of `low`, from 0 to 1000; nothing where `low` is 0 or less.
        """
        if low <= 0:
            return Sum()
        lack = Sum([(self.sheet.count(scale.PER_UNIT, f"{rule} gives way"), 1)])
        reached = Sum().plus(total, scale.PER_UNIT).plus(lack, low)
        if slot is not None:
            reached.plus(self.bought(slot), scale.PER_UNIT * low)
        self.sheet.bound(reached, low=scale.PER_UNIT * low, rule=rule)
        return lack

    def bar(self, slot: Slot, servings: Iterable[Serving], rule: str) -> None:
        """Keep servings out of a slot.

        Parameters
        ----------
        slot
            The slot.
        servings
            Those that may not come.
        rule
            Key of the rule that asks for it.
        """
        counts = self.serving_counts[slot.at]
        barred = Sum((counts[serving], 1) for serving in servings)
        if barred.terms:
            self.sheet.bound(barred, high=0, rule=rule)

    # -- sums over the week -----------------------------------------------------

    def slots_of(self, group: tuple[str, ...]) -> tuple[Slot, ...]:
        """Give a group's slots in the order of their days.

        Parameters
        ----------
        group
            One of the board's groups.

        Returns
        -------
        tuple of Slot
            A slot for each day on which they have a lunch.
        """
        return tuple(slot for slot in self.slots if slot.eaters == group)

    @property
    def counts_alike(self) -> bool:
        """Whether lunches of eaters who are alike are counted together."""
        return any(slot.size > 1 for slot in self.slots)

    def group_of(self, eater: str) -> tuple[str, ...]:
        """Give those with whom an eater is counted.

        Parameters
        ----------
        eater
            Name of an eater.

        Returns
        -------
        tuple of str
            One of the board's groups, the eater among it.
        """
        return self._group_of[eater]

    def slots_for(self, eater: str) -> tuple[Slot, ...]:
        """Give the slots of an eater's group in the order of their days.

        Parameters
        ----------
        eater
            Name of an eater.

        Returns
        -------
        tuple of Slot
            A slot for each day on which they have a lunch.
        """
        return self.slots_of(self.group_of(eater))

    def used_on(self, day: date, item: str) -> Sum:
        """Amount of a larder item used on a date, in grains.

        Parameters
        ----------
        day
            A date.
        item
            Name of a larder item.

        Returns
        -------
        Sum
            Grains, over the slots of that date.
        """
        total = Sum()
        for slot in self.slots:
            if slot.day == day:
                total.plus(self.used(slot, item))
        return total

    def all_portions(self, batch: str) -> Sum:
        """Portions of a batch over the week.

        Parameters
        ----------
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Whole portions, fresh and thawed.
        """
        total = Sum()
        for slot in self.slots:
            total.plus(self.portions(slot, batch))
        return total

    def left(self, batch: str) -> Sum:
        """Portions of a batch left over.

        Parameters
        ----------
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Whole portions, from 0 to all that is cooked.
        """
        return Sum([(self.left_counts[batch], 1)])

    def wasted(self, batch: str) -> Sum:
        """Portions of a batch left over that no freezer keeps for a later week.

        Parameters
        ----------
        batch
            Name of a batch.

        Returns
        -------
        Sum
            Whole portions; what stays frozen is taken off where it is known how much was frozen.
        """
        total = self.left(batch)
        frozen = self.week.batches[batch].frozen
        if frozen is not None:
            total.constant -= frozen
            for slot in self.slots:
                total.plus(self.thawed(slot, batch))
        return total

    def frozen_now(self, batch: str, room: int) -> Sum:
        """Portions of a batch that go into the freezer while the week runs, at most so many.

        Parameters
        ----------
        batch
            Name of a batch.
        room
            How many portions the freezer takes; that of the first asking holds.

        Returns
        -------
        Sum
            Whole portions; nothing where there is no room.
        """
        if room <= 0:
            return Sum()
        if batch not in self._frozen_now:
            self._frozen_now[batch] = self.sheet.count(room, f"{batch} frozen now")
        return Sum([(self._frozen_now[batch], 1)])

    def again(self, group: tuple[str, ...], dish: str) -> Sum:
        """How often a dish comes to a group beyond once for each of its eaters.

        Parameters
        ----------
        group
            One of the board's groups.
        dish
            Name of a dish that is `same_as` no other.

        Returns
        -------
        Sum
            Times, at its least as few as the lunches say.
        """
        key = (self.groups.index(group), dish)
        if key not in self._again:
            slots = self.slots_of(group)
            top = max(0, len(slots) - 1) * len(group)
            self._again[key] = self.sheet.count(top, f"{group[0]} {dish} again")
            over = Sum([(self._again[key], 1)])
            for slot in slots:
                over.plus(self.times_as(slot, dish), -1)
            self.sheet.bound(over, low=-len(group), rule=None)
        return Sum([(self._again[key], 1)])

    def counted(self, group: tuple[str, ...]) -> dict[Counted, int]:
        """Give the counts that are a group's own, by what they count.

        Parameters
        ----------
        group
            One of the board's groups.

        Returns
        -------
        dict of Counted to int
            Their indices. All that a group has of the week follows from them, and the same ones
            are there for another group that is alike, whatever its size.
        """
        own: dict[Counted, int] = {}
        for slot in self.slots_of(group):
            for counts in (
                self.serving_counts[slot.at],
                self.option_counts[slot.at],
                self.extra_counts[slot.at],
                self.thaw_counts[slot.at],
            ):
                own |= {(slot.day, what): count for what, count in counts.items()}
        mine = self.groups.index(group)
        return own | {(None, dish): at for (of, dish), at in self._again.items() if of == mine}

    def kept_cost(self, slot: Slot) -> Sum:
        """Price of helpings from packs that keep, in hundredths of a cent.

        Parameters
        ----------
        slot
            The slot.

        Returns
        -------
        Sum
            Over all lunches of the slot, each helping rounded up.
        """

        def helping(part: Helping) -> int:
            item = self.week.larder[part.item]
            return 0 if item.opened_life is not None else scale.money(helping_cost(item, part))

        return self.over_food(slot, "kept cost", lambda name: 0, helping)
