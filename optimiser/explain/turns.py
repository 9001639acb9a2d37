"""What a cook would turn to mend a week: facts of the week that no rule gives way for.

Freezing what freezes well, two cold packs, a later day at the stove, a larger or another side, a
label that was read: each is a chain of versions, first the week as it is, then what the file could
say instead. No rule that keeps someone safe is loosened: the rules of the changed week stand in
each version. What a label says is not known here, so such a version is a question to the cook.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import ROUND_CEILING, Decimal
from enum import IntEnum
from fractions import Fraction
from typing import ClassVar

from models.foods.parts import Contents
from models.week.guards import Kind, verdict
from models.week.packed import PackedWeek
from models.week.sums import share
from models.week.week import Batch, Dish, Extra, Helping, Week
from models.words.days import day_name
from models.words.document import Plain
from models.words.families import OF_ALLERGEN
from models.words.numbers import counted, listed
from models.words.nutrients import NUTRIENTS, PROTEIN, USABLE
from models.words.units import PIECE, magnitude, quantity, sayable
from optimiser.board.board import Board
from optimiser.rules import fridge_life, rules_of
from optimiser.rules.base import Edit, Fault, Rule
from optimiser.rules.freezer import Freezer
from optimiser.rules.must_not import MustNot
from optimiser.rules.place import COLD_SOURCES, ColdBag
from optimiser.rules.served import Served
from optimiser.rules.stock import Supply
from optimiser.rules.thawed_from import ThawedFrom

MOST_STEPS = 6
"""How many steps a wish is bent at the most."""
MOST_FROZEN = 12
"""How many portions more of a batch are frozen at the most."""
WIDEST = 8
"""How many portions more or fewer a batch is cooked at the most."""
LATEST = 1
"""How many days later a batch is made at the most."""


class Sort(IntEnum):
    """What sort of change it is, and what it is worth against others."""

    PREP = 1_000
    """Done on the prep day."""
    PACKED = 1_500
    """Taken along."""
    LABEL = 2_000
    """A label that has to be read first."""
    LATER = 3_000
    """Another day at the stove."""
    SIDE = 6_000
    """More beside a dish."""
    WISH = 20_000
    """A wish that is bent."""


_LOOKED_FOR = {
    Sort.PREP: (
        "each batch in up to half as many portions more or fewer (2 where that is less, "
        f"{WIDEST} at the most), up to {MOST_FROZEN} portions of it frozen where it freezes well"
    ),
    Sort.PACKED: "two cold packs",
    Sort.LABEL: "a label read",
    Sort.LATER: f"a batch made {counted(LATEST, 'day')} later",
    Sort.SIDE: (
        "of the foods in a dish the one with the most of what a floor asks for, half as large "
        "again or a piece more, and of those in the larder beside it; an extra once more"
    ),
    Sort.WISH: f"each rule that may give way by up to {MOST_STEPS} steps",
}


@dataclass(frozen=True, slots=True)
class Chain:
    """A rule as it is, then as it could be, the smallest step first.

    Attributes
    ----------
    exact
        True where the file says just one of them: no step allows what another one does.
    """

    versions: tuple[Rule, ...]
    sort: Sort
    exact: bool = False


@dataclass(frozen=True, slots=True)
class Turns:
    """All that could be otherwise in a week.

    Attributes
    ----------
    firm
        The rules, or what of them, no change touches.
    wide
        The week with room for all that a change may ask for.
    """

    chains: tuple[Chain, ...]
    firm: tuple[Rule, ...]
    wide: Week

    @property
    def looked_for(self) -> str:
        """Say which changes these are, as a list."""
        sorts = {chain.sort for chain in self.chains}
        return "; ".join(what for sort, what in _LOOKED_FOR.items() if sort in sorts)


def turns_of(week: Week, *, planless: bool = True) -> Turns:
    """List what could be otherwise in a week.

    Parameters
    ----------
    week
        The week, read from a file.
    planless
        Whether it has no plan: then sides and the days of batches are turned as well.

    Returns
    -------
    Turns
        Chains of versions, the other rules, and a week that is wide enough for all of them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> turns = turns_of(read_week("impossible"))
    >>> sorted(sort.name for sort in {chain.sort for chain in turns.chains})
    ['LATER', 'PREP', 'SIDE', 'WISH']
    """
    sides = list(_sides(week)) if planless else []
    chains = [Chain(side.versions, Sort.SIDE, side.always) for side in sides]
    moved: set[str] = set()
    for batch in week.batches.values() if planless else ():
        later = _later(week, batch)
        if later is not None:
            chains.append(later)
            moved |= {rule.key for rule in fridge_life.rules(_alone(week, batch))}
    firm: list[Rule] = []
    for rule in rules_of(week):
        for part in _parts(week, rule) if rule.key not in moved else ():
            if isinstance(part, Chain):
                chains.append(part)
            else:
                firm.append(part)
    return Turns(tuple(chains), tuple(firm), _wide(week, sides))


def _parts(week: Week, rule: Rule) -> Iterator[Rule | Chain]:
    """Give what of a rule stays, and its chains of versions."""
    if isinstance(rule, ColdBag):
        yield from _cold(week, rule)
    elif isinstance(rule, MustNot):
        yield from _labels(week, rule)
    elif versions := tuple(_versions(week, rule)):
        sort = Sort.PREP if rule.prep else Sort.WISH
        yield Chain((rule, *versions), sort, exact=isinstance(rule, Supply))
    else:
        yield rule


def _versions(week: Week, rule: Rule) -> Iterator[Rule]:
    """Give the other versions of a rule that a change may choose; none of a safety rule."""
    if rule.safety:
        return
    if isinstance(rule, Supply):
        portions = week.batches[rule.batch].portions
        yield from rule.others(min(WIDEST, max(2, portions // 2)))
        return
    if isinstance(rule, Freezer):
        yield from _freezers(week.batches[rule.batch], rule)
        return
    for way in range(len(rule.weaker())):
        version: Rule = rule
        for _ in range(MOST_STEPS):
            weaker = version.weaker()
            if len(weaker) <= way:
                break
            version = weaker[way]
            if not version.edits(week):
                break
            yield version


def _freezers(batch: Batch, rule: Freezer) -> Iterator[Rule]:
    """Freeze more of a batch, or some where none is frozen, until its prep day is past."""
    if rule.takes_all or batch.frozen is not None or not (rule.portions or batch.freezes):
        return
    most = min(rule.portions + MOST_FROZEN, batch.portions + WIDEST)
    for portions in range(rule.portions + 1, most + 1):
        yield replace(rule, portions=portions)


# -- rules in parts -------------------------------------------------------------------------


@dataclass(frozen=True)
class Bundle(Rule):
    """Some rules of a week in which one thing is otherwise, and what the file says then."""

    family: ClassVar[str] = "otherwise"
    name: str
    rules: tuple[Rule, ...]
    asked: tuple[Edit, ...] = ()

    @property
    def subject(self) -> str:
        """What is turned."""
        return self.name

    def sentence(self) -> str:
        """Say what is turned."""
        return "; ".join(edit.text for edit in self.asked) or self.name

    def post(self, board: Board) -> None:
        """Write the rows of all of them."""
        for rule in self.rules:
            rule.post(board)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Find the faults of all of them."""
        for rule in self.rules:
            yield from rule.faults(week, packed)

    def edits(self, week: Week) -> tuple[Edit, ...]:
        """Say what the file would have to say."""
        return self.asked


def _cold(week: Week, rule: ColdBag) -> Iterator[Chain]:
    """Take two cold packs along: at each place by itself, for the file says it by place."""
    warm = {
        lunch.day: lunch.place
        for lunch in week.lunches
        if lunch.eater == rule.eater and lunch.day in rule.days
    }
    for told_at in dict.fromkeys(place.told_at for place in warm.values()):
        days = tuple(day for day, place in warm.items() if place.told_at == told_at)
        was = warm[days[0]].cold_packs
        when = "every lunch" if told_at == ("place",) else f"the lunch on {day_name(days[0])}"
        edit = Edit(
            (*told_at, "cold_packs"),
            COLD_SOURCES,
            str(was),
            f"take {COLD_SOURCES} cold packs along for {when}, not {was or 'none'}",
        )
        name = f"cold of {rule.eater}, {told_at}"
        part = Bundle(name, (replace(rule, days=days),))
        yield Chain((part, Bundle(name, (), (edit,))), Sort.PACKED)


@dataclass(frozen=True)
class _OfFoods(MustNot):
    """What a rule on what someone must not have says of some foods alone."""

    foods: frozenset[str] = frozenset()
    part: str = ""

    @property
    def subject(self) -> str:
        """Eater and food, and of what."""
        return super().subject + self.part

    def numbers(self) -> dict[str, str | float]:
        """Give those of the rule as it is."""
        return MustNot(self.eater, self.what, self.kind).numbers()

    def is_in(self, name: str, contents: Contents) -> bool:
        """Tell it of these foods."""
        return name in self.foods and super().is_in(name, contents)


def _labels(week: Week, rule: MustNot) -> Iterator[Rule | Chain]:
    """Set apart what is barred for want of a label: reading it may let it through."""
    asked = {name: key for name in _labelled(week) if (key := _asks(week, rule, name))}
    if not asked:
        yield rule
        return
    others = frozenset((*week.batches, *week.larder)) - asked.keys()
    yield _OfFoods(rule.eater, rule.what, rule.kind, foods=others)
    for name, key in asked.items():
        foods = frozenset({name})
        part = _OfFoods(rule.eater, rule.what, rule.kind, foods=foods, part=f": {name}")
        as_read = Bundle(part.key, (), (_label(week, name, key),))
        yield Chain((Bundle(part.key, (part,)), as_read), Sort.LABEL)


def _labelled(week: Week) -> list[str]:
    """List what a label, or a list of what went in, can be read of."""
    return [*week.batches, *(name for name, item in week.larder.items() if not item.loose)]


def _contents(week: Week, name: str) -> Contents:
    return (week.batches[name] if name in week.batches else week.larder[name]).contents


def _asks(week: Week, rule: MustNot, name: str) -> str:
    """Tell under which key of a food that is barred a label could let it through; else empty."""
    contents = _contents(week, name)
    if not verdict(rule.guard, name, contents).barred:
        return ""
    word = frozenset({_word(rule)})
    if rule.kind is Kind.DIET:
        key, read = "suits", replace(contents, suits=contents.suits | word)
    else:
        key, read = "free_of", replace(contents, free_of=contents.free_of | word)
    return "" if verdict(rule.guard, name, read).barred else key


def _word(rule: MustNot) -> str:
    """Give the word that a label is read for."""
    return OF_ALLERGEN.get(rule.what, rule.what) if rule.kind is Kind.ALLERGEN else rule.what


def _label(week: Week, name: str, key: str) -> Edit:
    """Write what its label would have to say for all whom it keeps it from."""
    room = "batches" if name in week.batches else "larder"
    rules = (rule for rule in rules_of(week) if isinstance(rule, MustNot))
    words = sorted({_word(rule) for rule in rules if _asks(week, rule, name) == key})
    labels = [part.name for part in _contents(week, name).parts if part.label]
    what = f"{listed(labels)} in {name}" if room == "batches" and labels else name
    there = [str(word) for word in _there(week, (room, name, key))]
    value = [*there, *words]
    is_so = "suits" if key == "suits" else "is free of"
    return Edit(
        (room, name, key),
        value,
        ", ".join(there),
        f"read the label of {what}: only if it {is_so} {listed(words)}, write {key}: "
        f"[{', '.join(value)}]",
    )


def _there(week: Week, path: Iterable[str]) -> list[Plain]:
    """Read a list that stands in the file."""
    held = week.source.data
    for step in path:
        held = held.get(step) if isinstance(held, dict) else None
    return held if isinstance(held, list) else []


# -- a later day ------------------------------------------------------------------------------


def _alone(week: Week, batch: Batch) -> Week:
    return replace(week, batches={batch.name: batch})


def _later(week: Week, batch: Batch) -> Chain | None:
    """Make a batch on a later day, with the dates that this sets."""
    if batch.earlier or batch.frozen is not None or batch.gone:
        return None
    name = f"day of {batch.name}"
    versions: list[Rule] = [Bundle(name, tuple(fridge_life.rules(_alone(week, batch))))]
    for days in range(1, LATEST + 1):
        later = replace(batch, made=batch.made + timedelta(days=days))
        if later.made >= week.days[-1]:
            break
        edit = Edit(
            ("batches", batch.name, "made"),
            later.made.isoformat(),
            batch.made.isoformat(),
            f"cook {batch.name} on {day_name(later.made)}, not {day_name(batch.made)}",
        )
        rules = (*fridge_life.rules(_alone(week, later)), ThawedFrom(later.name, later.thaws_from))
        versions.append(Bundle(name, rules, (edit,)))
    return Chain(tuple(versions), Sort.LATER, exact=True) if versions[1:] else None


# -- sides ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Side:
    """Something more beside a dish: often enough, or always where it is a larger helping."""

    dish: str
    extra: Extra
    edit: Edit
    now: int = 0
    always: bool = False

    @property
    def versions(self) -> tuple[Rule, ...]:
        """It as it is, and one more."""
        item = self.extra.helping.item
        few, more = (
            Served(self.dish, item, most, self.always) for most in (self.now, self.now + 1)
        )
        return Bundle(few.key, (few,)), Bundle(few.key, (more,), (self.edit,))


def _sides(week: Week) -> Iterator[_Side]:
    """List what more could be beside the dishes."""
    wanted = {
        PROTEIN if bound.nutrient == USABLE else bound.nutrient
        for eater in week.eaters.values()
        for bound in eater.floors
    }
    usual = _usual(week)
    for dish in week.dishes.values():
        extras = {extra.helping.item for extra in dish.extras}
        for extra in dish.extras:
            yield _once_more(dish, extra)
        inside = [part for part in dish.goes_in if not week.larder[part.item].loose]
        rich = _richest(week, wanted, inside)
        yield from (_larger(week, dish, part) for part in rich if part.item not in extras)
        known = extras | {part.item for part in inside}
        others = [part for part in usual.values() if part.item not in known]
        yield from (_beside(dish, part) for part in _richest(week, wanted, others))


def _usual(week: Week) -> dict[str, Helping]:
    """Give the amount of each larder item that the week has first."""
    parts = [part for dish in week.dishes.values() for part in dish.goes_in]
    parts += [part for choice in week.choices.values() for part in choice.options]
    parts += [extra.helping for dish in week.dishes.values() for extra in dish.extras]
    usual = {part.item: part for part in reversed(parts)}
    for name, item in week.larder.items():
        if item.unit == PIECE and name not in usual:
            usual[name] = Helping(name, quantity(1, PIECE))
    return {
        name: usual[name] for name in week.larder if name in usual and not week.larder[name].loose
    }


def _richest(week: Week, wanted: Iterable[str], parts: Iterable[Helping]) -> list[Helping]:
    """Choose for each nutrient the helping with the most of it."""
    parts = list(parts)
    chosen: dict[str, Helping] = {}
    for tag in sorted(wanted):
        best = max(parts, key=lambda part: _holds(week, part, tag), default=None)
        if best is not None and _holds(week, best, tag):
            chosen[best.item] = best
    return list(chosen.values())


def _holds(week: Week, part: Helping, tag: str) -> Fraction:
    item = week.larder[part.item]
    known = item.nutrition.get(tag)
    if known is None:
        return Fraction(0)
    return Fraction(magnitude(known, NUTRIENTS[tag].unit)) * share(item, part)


def _once_more(dish: Dish, extra: Extra) -> _Side:
    item = extra.helping.item
    more = extra.most + 1
    text = f"up to {more} times {sayable(extra.helping.amount)} of {item} with {dish.name}"
    edit = Edit(
        ("dishes", dish.name, "extras", item, "most"),
        more,
        str(extra.most),
        f"{text}, not {extra.most}",
    )
    return _Side(dish.name, extra, edit, now=extra.most)


def _larger(week: Week, dish: Dish, part: Helping) -> _Side:
    unit = week.larder[part.item].unit
    step = _step(magnitude(part.amount, unit), unit)
    amount = quantity(magnitude(part.amount, unit) + step, unit)
    edit = Edit(
        ("dishes", dish.name, "goes_in", part.item),
        sayable(amount),
        sayable(part.amount),
        f"{sayable(amount)} of {part.item} in {dish.name}, not {sayable(part.amount)}",
    )
    more = Extra(Helping(part.item, quantity(step, unit)), 1)
    return _Side(dish.name, more, edit, always=True)


def _step(amount: Decimal, unit: str) -> Decimal:
    """Give half of an amount, in steps of five from ten on; of pieces one."""
    if unit == PIECE:
        return Decimal(1)
    grain = 5 if amount >= 10 else 1
    return (amount / 2 / grain).to_integral_value(ROUND_CEILING) * grain


def _beside(dish: Dish, part: Helping) -> _Side:
    amount = sayable(part.amount)
    edit = Edit(
        ("dishes", dish.name, "extras", part.item),
        {"portion": amount, "most": 1},
        "",
        f"{amount} of {part.item} from the larder with {dish.name}, where it is needed",
    )
    return _Side(dish.name, Extra(part, 1), edit)


def _wide(week: Week, sides: Iterable[_Side]) -> Week:
    """Let every batch and every side be as much as a change may ask for."""
    batches = {
        name: replace(batch, portions=batch.portions + WIDEST)
        for name, batch in week.batches.items()
    }
    dishes = {
        name: replace(
            dish, takes=tuple(take.of(batches[take.batch].portions) for take in dish.takes)
        )
        for name, dish in week.dishes.items()
    }
    for side in sides:
        dish = dishes[side.dish]
        kept = [extra for extra in dish.extras if extra.helping.item != side.extra.helping.item]
        extra = replace(side.extra, most=side.now + 1)
        dishes[side.dish] = replace(dish, extras=(*kept, extra))
    return replace(week, batches=batches, dishes=dishes)
