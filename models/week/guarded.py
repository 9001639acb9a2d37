"""The guards of a week at work: what each word bars, with its cause, and what it lets through.

Sources of the remarks: lupin and peanuts, EFSA 2014, Scientific Opinion on the evaluation of
allergenic foods (from memory); oats, Commission Implementing Regulation (EU) No 828/2014, which
lets oats be called gluten-free below 20 mg/kg of gluten; the rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from models.foods.families import derived
from models.foods.food import builtin, table
from models.foods.parts import Contents
from models.week.guards import Guard, Judged, Kind, guards_of, verdict
from models.week.week import Batch, Dish, LarderItem, Week
from models.words.families import ALLERGEN_OF, OF_ALLERGEN
from models.words.names import is_many, plain_name
from models.words.numbers import listed


@dataclass(frozen=True, slots=True)
class Guarded:
    """What one guard of one eater does in a week.

    Attributes
    ----------
    barred
        Batches and items that the eater gets none of, each with its verdict.
    through
        Batches and items that the eater may have.
    dishes
        Dishes that cannot be packed for the eater.
    """

    eater: str
    guard: Guard
    barred: tuple[tuple[str, Judged], ...]
    through: tuple[str, ...]
    dishes: tuple[str, ...]


def guarded(week: Week) -> Iterator[Guarded]:
    """Let every guard of every eater judge every batch, item and dish.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    iterator of Guarded
        By eater in the order of the file, then as `guards_of` orders guards.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> [work.guard.what for work in guarded(read_week("family"))]
    ['fish']
    """
    foods = dict(_foods(week))
    for eater in week.eaters.values():
        for guard in guards_of(eater):
            verdicts = {name: verdict(guard, name, held) for name, held in foods.items()}
            barred = {name: judged for name, judged in verdicts.items() if judged.barred}
            yield Guarded(
                eater.name,
                guard,
                tuple(barred.items()),
                tuple(name for name in verdicts if name not in barred),
                tuple(dish.name for dish in week.dishes.values() if _is_barred(week, dish, barred)),
            )


def _foods(week: Week) -> Iterator[tuple[str, Contents]]:
    yield from ((batch.name, batch.contents) for batch in week.batches.values())
    yield from ((item.name, item.contents) for item in week.larder.values())


def _is_barred(week: Week, dish: Dish, barred: Mapping[str, Judged]) -> bool:
    """Tell whether a dish has no way without what is barred."""
    must = [take.batch for take in dish.takes if take.least]
    must += [helping.item for helping in dish.goes_in]
    options = ([option.item for option in week.choices[name].options] for name in dish.choices)
    return any(item in barred for item in must) or any(
        all(item in barred for item in offered) for offered in options
    )


# -- remarks ---------------------------------------------------------------------------------

_NEAR: Mapping[str, tuple[tuple[str, ...], str]] = {
    "peanuts": (
        ("lupin", "nuts", "pine nuts", "coconut", "chestnuts"),
        "some who react to peanuts react to these too, to lupin most of all",
    ),
    "nuts": (
        ("pine nuts", "coconut", "chestnuts", "peanuts"),
        "EU law counts none of these among tree nuts, and some who avoid nuts avoid them",
    ),
}


def remarks(week: Week) -> Iterator[str]:
    """List what those who avoid something should know of what they get.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    iterator of str
        Whole sentences, with the name of the eater or of the food.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> list(remarks(read_week("minimal")))
    []
    """
    for work in guarded(week):
        yield from _near(week, work)
        yield from _oats(week, work)
        if work.guard.what in {"halal", "kosher"}:
            yield (
                f"{work.eater} eats {work.guard.what} food, which no table can judge: meat and "
                "what comes of animals, and what only a label tells, is barred until the file says "
                f"'suits: {work.guard.what}'; how foods are combined, and what they touched, is "
                "not guarded."
            )
    for batch in week.batches.values():
        yield from _denied(batch)
    for item in week.larder.values():
        yield from _denied(item)


def _near(week: Week, work: Guarded) -> Iterator[str]:
    what = OF_ALLERGEN.get(work.guard.what, work.guard.what)
    if work.guard.kind is Kind.DIET or what not in _NEAR:
        return
    families, why = _NEAR[what]
    foods = dict(_foods(week))
    for name in work.through:
        holds = frozenset().union(*(part.families.holds for part in foods[name].parts))
        near = [family for family in families if family in holds]
        if near:
            verb = "hold" if is_many(name) else "holds"
            yield (
                f"{work.eater} must not have {what} and may get {name}, which {verb} "
                f"{listed(near)}: {why}. Ask whoever treats {work.eater}."
            )


def _oats(week: Week, work: Guarded) -> Iterator[str]:
    if OF_ALLERGEN.get(work.guard.what, work.guard.what) != "gluten":
        return
    foods = dict(_foods(week))
    oats = [name for name, _ in work.barred if foods[name].cereals == {"oats"}]
    if oats:
        yield (
            f"Oats count as gluten here, so {work.eater} gets none of {', '.join(oats)}. Oats "
            "labelled gluten-free suit most, not all: ask whoever treats "
            f"{work.eater}, then write 'free_of: [gluten]' there."
        )


def _denied(food: Batch | LarderItem) -> Iterator[str]:
    """Ask about allergens that the usual recipe has and the file leaves out."""
    stated = food.contents.allergens
    if stated is None:
        return
    lines = () if food.recipe is None else food.recipe.foods
    usual = [(line.name, table().get(line.name, line).allergens, line.allergens) for line in lines]
    named = builtin().exact(food.name) if not lines else None
    if named is not None:
        usual.append((food.name, named.allergens, stated))
    elif not lines:
        called = {ALLERGEN_OF.get(kin, "") for kin in derived((food.name,)).holds} - {"", *stated}
        if called:
            yield (
                f"{food.name} is stated without {listed(sorted(called))}, which its name says: is "
                "that what its label says?"
            )
    for name, known, given in usual:
        missing = sorted(known - (given & stated))
        if missing:
            where = "" if plain_name(name) == plain_name(food.name) else f" in {food.name}"
            yield (
                f"{name}{where} is stated without {listed(missing)}, which the usual recipe "
                "holds: is that what its label says?"
            )
