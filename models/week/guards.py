"""What someone must not have, held against what is in a food, with the reason in words.

A guard bars what holds it for certain, and as well what may hold it: a food that only its label
tells of, or of which nobody said what is in it. The reason then names the line to write once the
label is read. Nothing is let through because it is not known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from models.foods.families import Families, derived, narrowest
from models.foods.parts import Contents, Part
from models.week.week import Eater
from models.words.families import (
    ALLERGEN_OF,
    DIETS,
    OF_ALLERGEN,
    ONLY_IF_STATED,
    WITHIN,
    around,
)
from models.words.names import is_many, is_one_of, words


class Kind(StrEnum):
    """By what a guard goes: an allergen, a food or family of foods, a way of eating."""

    ALLERGEN = "allergen"
    FOOD = "food"
    DIET = "diet"


@dataclass(frozen=True, slots=True)
class Guard:
    """One thing that an eater must not have.

    Attributes
    ----------
    kind
        By what it goes.
    what
        A group of allergens, a family or word for a food, or a key of `DIETS`.
    """

    kind: Kind
    what: str


@dataclass(frozen=True, slots=True)
class Judged:
    """What a guard says of a food.

    Attributes
    ----------
    why
        Why it is barred, as "ham is pork"; empty for what is let through.
    settled
        False where reading a label could let it through.
    mend
        The line to write then.
    """

    why: str = ""
    settled: bool = True
    mend: str = ""

    @property
    def barred(self) -> bool:
        """True when the eater gets none of it."""
        return bool(self.why)


LET_THROUGH = Judged()
_WHAT_IT_IS = frozenset({"meat", "fish", "crustaceans", "molluscs"})


def guards_of(eater: Eater) -> Iterator[Guard]:
    """List what an eater must not have: allergens, then foods, then the way of eating.

    Parameters
    ----------
    eater
        The eater.

    Returns
    -------
    Each kind in the order of the alphabet; nothing for an eater who may have all.

    Examples
    --------
    >>> eater = Eater("Ann", (), (), frozenset({"sulphites"}), frozenset({"pork"}), {}, None)
    >>> [guard.what for guard in guards_of(eater)]
    ['sulphites', 'pork']
    """
    for allergen in sorted(eater.avoids_allergens):
        yield Guard(Kind.ALLERGEN, allergen)
    for food in sorted(eater.avoids_foods):
        yield Guard(Kind.FOOD, food)
    if eater.diet:
        yield Guard(Kind.DIET, eater.diet)


def verdict(guard: Guard, name: str, contents: Contents) -> Judged:
    """Judge a batch or an item by what is in it.

    Parameters
    ----------
    guard
        What the eater must not have.
    name
        What the batch or item is called.
    contents
        What is in it.

    Returns
    -------
    Judged
        What may hold it is barred as what holds it for certain is; it says whether a label could
        let it through.

    Examples
    --------
    >>> ham = Contents(None, frozenset())
    >>> verdict(Guard(Kind.FOOD, "pork"), "ham", ham).barred
    True
    """
    if guard.kind is Kind.ALLERGEN:
        return _of_allergen(guard.what, name, contents)
    if guard.kind is Kind.DIET:
        return _of_diet(guard.what, name, contents)
    if guard.what in WITHIN:
        by_family = _of_family(guard.what, name, contents, f"free_of: [{guard.what}]")
        group = ALLERGEN_OF.get(guard.what)
        # A family that is an allergen of law is barred wherever the allergen is.
        return (
            by_family if by_family.barred or group is None else _of_allergen(group, name, contents)
        )
    return _of_word(guard.what, name, contents)


def _of_allergen(group: str, name: str, contents: Contents) -> Judged:
    if group in contents.known:
        cause = next((part for part in contents.parts if group in part.allergens), None)
        return Judged(_holds(name, group) if cause is None else _part_holds(cause, group))
    family = OF_ALLERGEN.get(group, group)
    read = {part.name for part in contents.parts if family in part.free_of}
    asked = [food for food in contents.unsettled if food not in read]
    if contents.allergens is not None or family in contents.free_of:
        return LET_THROUGH
    if contents.unsettled and not asked:
        return LET_THROUGH
    why = f"nobody said which allergens are in {name}"
    if asked:
        why = f"only the label of {'; '.join(asked)} tells about {group}"
    return Judged(why, settled=False, mend=f"free_of: [{family}]")


def _of_family(family: str, name: str, contents: Contents, mend: str) -> Judged:
    """Judge by a family: certain, then what may be, then what nobody said."""
    denied = contents.allergens is not None and _is_denied(family, contents.allergens)
    for part in () if denied else contents.parts:
        if family in part.families.holds:
            return Judged(_part_holds(part, family))
    group = ALLERGEN_OF.get(family)
    if group is not None and group in contents.known:
        return _of_allergen(group, name, contents)
    if contents.free_of & around(family):
        return LET_THROUGH
    if family in derived((name,)).holds and not _tells_less(name, family, contents):
        return Judged(f"its name says {family}", settled=False, mend=mend)
    if denied:
        return LET_THROUGH
    return _doubt(family, contents, mend) or _untold(name, contents, mend)


def _tells_less(name: str, family: str, contents: Contents) -> bool:
    """Tell whether it is called less than the food it is: the bread is gluten-free bread."""
    return any(
        words(name) <= words(part.name) and family not in part.families.holds | part.families.may
        for part in contents.parts
    )


def _is_denied(family: str, allergens: frozenset[str]) -> bool:
    """Tell whether known allergens leave a family no room: without milk there is no cheese."""
    return any(
        wider in ALLERGEN_OF and ALLERGEN_OF[wider] not in allergens for wider in around(family)
    )


def _doubt(family: str, contents: Contents, mend: str) -> Judged | None:
    """Bar what it is made of where only the label tells."""
    if "others" in contents.free_of:
        return None
    for part in contents.parts:
        if family in part.families.may or _of_some_kind(family, part.families):
            why = f"only the label of {part.name} tells about {family}"
            return Judged(why, settled=False, mend=mend)
    return None


def _of_some_kind(family: str, families: Families) -> bool:
    """Tell whether some meat or gelatine is in it or may be, and nobody knows of which animal."""
    known = families.holds | families.may
    if family in _GELATINE_OF and "gelatine" in known:
        return True
    wider = around(family) & _ANY_MEAT - {family}
    return bool(wider & {*narrowest(families.holds), *narrowest(families.may)})


_ANY_MEAT = frozenset({"meat", "red meat"})
_GELATINE_OF = frozenset({"meat", "red meat", "pork", "beef"})


def _untold(name: str, contents: Contents, mend: str) -> Judged:
    """Bar what nobody described: the food itself, or one that it is made of."""
    if "others" in contents.free_of:
        return LET_THROUGH
    if not contents.told:
        return Judged(f"nobody said what is in {name}", settled=False, mend=mend)
    for part in contents.parts:
        if not part.families.told:
            return Judged(f"nobody said what is in {part.name}", settled=False, mend=mend)
    return LET_THROUGH


def _of_word(word: str, name: str, contents: Contents) -> Judged:
    """Judge by a word that means no family: whatever is called so is barred."""
    for part in contents.parts:
        if is_one_of(word, frozenset({part.name})):
            return Judged(f"{part.name} {'are' if is_many(part.name) else 'is'} {word}")
        called = [name for name in sorted(part.names) if is_one_of(word, frozenset({name}))]
        if called:
            return Judged(f"{part.name} may be called {called[0]}")
    if is_one_of(word, contents.foods | {name.casefold()}):
        return Judged(f"{name} is or holds {word}")
    if any(is_one_of(word, frozenset({free})) for free in contents.free_of):
        return LET_THROUGH
    return _untold(name, contents, f"free_of: [{word}]")


def _of_diet(diet: str, name: str, contents: Contents) -> Judged:
    """Judge by a way of eating: what it bars, then what only a statement lets through."""
    mend = f"suits: [{diet}]"
    verdicts = [_of_family(family, name, contents, mend) for family in DIETS[diet]]
    certain = next((judged for judged in verdicts if judged.barred and judged.settled), None)
    if certain is not None:
        return certain
    if _suits(diet, contents.suits):
        return LET_THROUGH
    for family in ONLY_IF_STATED.get(diet, ()):
        for part in contents.parts:
            known = part.families.holds | part.families.may
            if family in known and diet not in part.suits:
                return Judged(_unsaid(part.name, diet), settled=False, mend=mend)
    if diet in ONLY_IF_STATED:
        asks = (part for part in contents.parts if part.label and diet not in part.suits)
        label = next((part.name for part in asks), None)
        if label is not None:
            return Judged(_unsaid(label, diet), settled=False, mend=mend)
    return next((judged for judged in verdicts if judged.barred), LET_THROUGH)


def _unsaid(name: str, diet: str) -> str:
    return f"nobody said that {name} {'are' if is_many(name) else 'is'} {diet}"


def _suits(diet: str, stated: frozenset[str]) -> bool:
    """Tell whether a statement lets it through: what suits vegans suits vegetarians."""
    barred = set(DIETS[diet])
    wider = any(barred <= set(DIETS[way]) for way in stated)
    return diet in stated or (wider and diet not in ONLY_IF_STATED)


def _part_holds(part: Part, what: str) -> str:
    many = is_many(part.name)
    if part.plain and around(what) & _WHAT_IT_IS:
        return f"{part.name} {'are' if many else 'is'} {what}"
    return _holds(part.name, what)


def _holds(name: str, what: str) -> str:
    return f"{name} {'hold' if is_many(name) else 'holds'} {what}"
