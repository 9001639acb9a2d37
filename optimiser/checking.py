"""What a week file was understood to say, as data, and what is worth a remark.

A remark is no fault: the week can be planned, but not as its writer may think.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

from models.answers.check import (
    Barred,
    BoundLine,
    CheckedBatch,
    CheckedDish,
    CheckedEater,
    CheckedItem,
    CheckFile,
    Figure,
    GuardLine,
    IngredientLine,
    LunchPlace,
    MustNotLine,
    ReadAs,
)
from models.answers.plan import RuleLine
from models.foods.families import derived
from models.foods.food import builtin
from models.foods.measures import describe_cups
from models.foods.parts import Contents
from models.foods.recipe import Recipe
from models.foods.storage import storage
from models.week import sums
from models.week.cautions import bearing
from models.week.dishes import held_by
from models.week.guarded import Guarded, guarded
from models.week.guarded import remarks as guard_remarks
from models.week.week import Batch, Bound, Dish, Eater, LarderItem, Nutrition, Week, groups_of
from models.words.allergens import us_nine
from models.words.days import day_name
from models.words.names import as_bought, plain_name, words
from models.words.numbers import counted, keeping
from models.words.nutrients import NUTRIENTS, USABLE
from models.words.protein import SHARES
from models.words.units import magnitude, sayable
from optimiser.rules import rule_line, rules_of
from optimiser.rules.place import is_warm
from optimiser.written import days_off, in_groups, number


def remarks(week: Week) -> Iterator[str]:
    """Give what a reader should know before planning.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    str
        A sentence each, not wrapped: figures of one's own, what may hurt, then what cannot come.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("made: 2026-11-29, ", "")
    >>> print(next(remarks(every_fault("mine.yaml", text)[0])))
    Made the day before the week, Sun 29 Nov, for 'made' is left out: rice and beans.
    """
    named = [b.name for b in week.batches.values() if b.life.stated and b.life.source == "mine"]
    if named:
        yield f"The fridge life is your own figure for: {', '.join(named)}."
    yield from week.taken
    yield from _at_risk(week)
    yield from _warm_or_raw(week)
    yield from _unsettled(week)
    yield from guard_remarks(week)
    yield from _roughly(week)
    for batch in week.batches.values():
        late = [day for day in week.days if day > batch.use_by]
        if late:
            ways = "only from the freezer" if batch.freezer else "not at all"
            use_by, days = day_name(batch.use_by), ", ".join(f"{day:%a}" for day in late)
            if len(late) == len(week.days):
                # As what an earlier week left: its days in the fridge are past.
                yield f"{batch.name} comes {ways}: its days in the fridge end on {use_by}."
            else:
                yield f"{batch.name} is to be eaten by {use_by}: on {days} it comes {ways}."
    for dish in week.dishes.values():
        why = _never(week, dish)
        if why:
            yield f"{dish.name} cannot come this week: {why}."


def _at_risk(week: Week) -> Iterator[str]:
    for batch in week.batches.values():
        if batch.life.risk:
            yield f"At your own risk: {batch.name} keeps longer here than {batch.life.risk}."
    for item in week.larder.values():
        if item.risk:
            yield f"At your own risk: {item.name}, once opened, longer than {item.risk}."


def _warm_or_raw(week: Week) -> Iterator[str]:
    """Name what travels warm, and what nobody says is cooked."""
    yield from (caution.sourced for caution in bearing(week) if caution.key in {"warm", "cook"})
    for item in week.larder.values():
        namesake = builtin().exact(item.name) if item.recipe is None and not item.chilled else None
        kept = None if namesake is None else storage().get(namesake.storage)
        if kept is not None and kept.cold:
            yield (
                f"{item.name} is stated to travel warm, and {kept.name} stays cold "
                f"({kept.cold_source}): keep that only if its label says so."
            )
        elif item.recipe is None and not item.chilled and _sounds_perishable(item.name):
            yield (
                f"{item.name} is stated to travel warm, and by its name it may have to stay cold "
                "(USDA FSIS, Keeping Bag Lunches Safe): keep that only if its label says so."
            )


def _sounds_perishable(name: str) -> bool:
    named = words(name)
    spoils = bool(named & _SPOILS) or bool(derived((name,)).holds & _OF_ANIMALS)
    return spoils and not named & _LASTS


_OF_ANIMALS = frozenset({"meat", "fish", "crustaceans", "molluscs", "egg", "dairy"})
_SPOILS = words(
    "sandwich wrap salad sushi poke soup smoothie hummus tofu coleslaw quiche custard formula slaw "
    "guacamole rice pasta lentil ceviche carpaccio tartare tiramisu trifle fresh cooked boiled"
)
_LASTS = words(
    "jerky biltong powder dried dry tinned canned crisp cracker bar chocolate ghee bread"
)
"""What by its name may stand outside the fridge all the same (common practice, no source)."""


def _unsettled(week: Week) -> Iterator[str]:
    foods = [(batch.name, batch.contents) for batch in week.batches.values()]
    foods += [(item.name, item.contents) for item in week.larder.values()]
    unknown = [name for name, held in foods if held.allergens is None and not held.unsettled]
    if unknown:
        yield (
            f"Allergens are not known, so those who avoid any get none of: {', '.join(unknown)}. "
            "State them with 'allergens'."
        )
    for name, held in foods:
        if held.allergens is None and held.unsettled:
            yield (
                f"{name}: not settled by the table is what may be in "
                f"{'; '.join(held.unsettled)}, so those who avoid any allergen get none of it. "
                "Read the label and state 'allergens' there."
            )


def _roughly(week: Week) -> Iterator[str]:
    """Name the figures that were worked out where weighing or pricing would tell."""
    for batch in week.batches.values():
        if batch.portion_source:
            yield f"The mass of {batch.name} is {batch.portion_source}."
        bounds = [bound for who in week.eaters.values() for bound in (*who.floors, *who.ceilings)]
        asked = {"PROCNT", "ENERC", *(bound.nutrient for bound in bounds)} & batch.partial
        if asked:
            lacking = ", ".join(NUTRIENTS[tag].name for tag in NUTRIENTS if tag in asked)
            yield f"Of {batch.name} these are 'at least', for an ingredient lacks them: {lacking}."
        if any(bound.nutrient == USABLE for bound in bounds) and batch.partial & SHARES.keys():
            yield f"Usable protein of {batch.name} is 'at least': {_no_amino_acids(batch)}."
    unpriced = sums.unpriced(week)
    if unpriced:
        yield f"Costs are 'at least': there is no price for {', '.join(unpriced)}."
    for item in week.larder.values():
        kept = item.recipe.foods[0] if item.recipe is not None and not item.loose else None
        bought = None if kept is None else storage().get(kept.storage)
        raw = bought is not None and (bought.bought or (kept is not None and kept.state == "raw"))
        life = bought.us if bought is not None and raw else None
        if life is not None and item.use_by is None and life.high < len(week.days) + 2:
            yield (
                f"{item.name} {keeping(life.high)} from the day it is bought ({life.source}): "
                "buy it late enough, or write 'use_by'."
            )


def _no_amino_acids(batch: Batch) -> str:
    lines = () if batch.recipe is None else batch.recipe.ingredients
    lacking = [
        line.food.name for line in lines if any(line.nutrient(share) is None for share in SHARES)
    ]
    return f"no figures of amino acids of {', '.join(dict.fromkeys(lacking)) or 'it'}"


def _never(week: Week, dish: Dish) -> str:
    if dish.microwave and not any(lunch.place.microwave for lunch in week.lunches):
        return "there is no microwave on any day"
    items = [helping.item for helping in dish.goes_in]
    chilled = any(week.larder[item].chilled for item in items) or any(
        week.batches[take.batch].chilled for take in dish.takes if take.least
    )
    if chilled and all(is_warm(lunch.place) for lunch in week.lunches):
        return "it has to stay cold, and no day has a fridge or 'cold_packs: 2'"
    for take in dish.takes:
        batch = week.batches[take.batch]
        if take.least and all(lunch.day < batch.first_day for lunch in week.lunches):
            return f"{batch.name} is made after every lunch"
        if take.least > batch.portions - batch.gone:
            needs = counted(take.least, batch.portion_word)
            return f"it takes {needs} of {batch.name}, of {batch.portions - batch.gone} there"
    return ""


def check(week: Week) -> CheckFile:
    """Give a week as it was understood.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    CheckFile
        Everything that was read, worked out or taken for granted; what it adds up to; every rule.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> check(week).days == list(week.days)
    True
    """
    groups = in_groups(week)
    return CheckFile(
        name=week.name,
        note=week.note,
        days=list(week.days),
        no_lunch=days_off(week),
        lunches=[
            LunchPlace(
                date=lunch.day,
                eater=lunch.eater,
                fridge=lunch.place.fridge,
                microwave=lunch.place.microwave,
                cold_packs=lunch.place.cold_packs,
            )
            for lunch in week.lunches
        ],
        eaters={
            f"{groups[eater.group]} x {eater.group}" if eater.group else name: _eater(eater)
            for name, eater in week.eaters.items()
        },
        batches={name: _batch(batch) for name, batch in week.batches.items()},
        larder={name: _item(item) for name, item in week.larder.items() if not item.loose},
        dishes={name: _dish(week, dish) for name, dish in week.dishes.items()},
        guidance=week.guidance,
        cups=None if week.cups is None else describe_cups(week.cups),
        guards=list(_guards(week)),
        read_as=[ReadAs(written=name, food=food) for name, food in read_as(week)],
        rules=list(_rules(week)),
        priorities=list(week.priorities),
        remarks=list(remarks(week)),
    )


GROWN = frozenset(("vegetables", "fruit"))


def read_as(week: Week) -> Iterator[tuple[str, str]]:
    """Give each name of an ingredient that is not the words of the food it was read as.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    Iterator of tuple of str and str
        The name as written, and the name of the food.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> list(read_as(read_week("minimal")))[0]
    ('white rice', 'white rice, long-grain, raw')
    """
    recipes = [batch.recipe for batch in week.batches.values()]
    recipes += [item.recipe for item in week.larder.values()]
    recipes += [dish.recipe for dish in week.dishes.values()]
    lines = (line for recipe in recipes if recipe is not None for line in recipe.ingredients)
    pairs = {(line.name, line.food.name): line.food for line in lines}
    for pair, food in pairs.items():
        # That a vegetable is raw before it is cooked goes without saying.
        told = as_bought(food.name) if food.group in GROWN else food.name
        if plain_name(pair[0]) != plain_name(told):
            yield pair


def _guards(week: Week) -> Iterator[GuardLine]:
    """Write down each guard, once for an entry that stands for several."""
    first, others = _by_entry(week)
    for work in guarded(week):
        if work.eater not in others:
            yield _guard(work, first.get(work.eater, work.eater))


def _rules(week: Week) -> Iterator[RuleLine]:
    """Write down each rule, once for an entry that stands for several."""
    first, others = _by_entry(week)
    for rule in rules_of(week):
        eater = getattr(rule, "eater", "")
        line = rule_line(rule)
        if eater in first:
            sentence = line.sentence.replace(eater, f"each of {first[eater]}", 1)
            line = line.model_copy(update={"sentence": sentence})
        if eater not in others:
            yield line


def _by_entry(week: Week) -> tuple[dict[str, str], set[str]]:
    """Give the entry of the first eater of each that stands for several, and all its others."""
    groups = groups_of(week)
    others = {eater for _, *rest in groups.values() for eater in rest}
    return {eaters[0]: name for name, eaters in groups.items()}, others


def _guard(work: Guarded, eater: str) -> GuardLine:
    return GuardLine(
        eater=eater,
        kind=work.guard.kind.value,
        what=work.guard.what,
        bars=[
            Barred(name=name, why=cause.why, settled=cause.settled, write=cause.mend)
            for name, cause in work.barred
        ],
        lets_through=list(work.through),
        dishes_barred=list(work.dishes),
    )


def _eater(eater: Eater) -> CheckedEater:
    return CheckedEater(
        floors=[_bound(bound) for bound in eater.floors],
        ceilings=[_bound(bound) for bound in eater.ceilings],
        must_not=MustNotLine(
            allergens=sorted(eater.avoids_allergens),
            foods=sorted(eater.avoids_foods),
            diet=eater.diet,
        ),
        box=eater.box,
    )


def _bound(bound: Bound) -> BoundLine:
    nutrient = NUTRIENTS[bound.nutrient]
    return BoundLine(
        nutrient=bound.nutrient,
        amount=number(magnitude(bound.amount, nutrient.unit)),
        unit=nutrient.symbol,
        over="week" if bound.weekly else "lunch",
        note=bound.note,
        as_salt=bound.as_salt,
    )


def _batch(batch: Batch) -> CheckedBatch:
    return CheckedBatch(
        made=batch.made,
        portions=batch.portions,
        portion=sayable(batch.portion),
        word=batch.portion_word,
        keeps=(batch.life.low, batch.life.high),
        fresh_until=batch.fresh_until,
        use_by=batch.use_by,
        life_source=batch.life.source,
        storage_classes=list(batch.life.classes),
        own_risk=batch.life.risk,
        freezer_portions=batch.freezer,
        earlier=batch.earlier,
        nutrients=_nutrients(batch.nutrition, batch.partial),
        nutrition_source=batch.nutrition_source,
        cost=number(batch.cost),
        unpriced=list(batch.unpriced),
        ingredients=_recipe(batch.recipe),
        **_contents(batch.contents),
    )


def _item(item: LarderItem) -> CheckedItem:
    return CheckedItem(
        pack=sayable(item.pack),
        price=number(item.price),
        unpriced=list(item.unpriced),
        opened_life=item.opened_life,
        opened_source=item.opened_source,
        own_risk=item.risk,
        per=sayable(item.per),
        nutrients=_nutrients(item.nutrition, item.partial),
        nutrition_source=item.nutrition_source,
        ingredients=_recipe(item.recipe),
        **_contents(item.contents),
    )


def _nutrients(nutrition: Nutrition, partial: frozenset[str]) -> dict[str, Figure]:
    return {
        tag: Figure(
            amount=number(magnitude(amount, NUTRIENTS[tag].unit)),
            unit=NUTRIENTS[tag].symbol,
            complete=tag not in partial,
        )
        for tag, amount in nutrition.items()
        if tag in NUTRIENTS
    }


class _Holding(TypedDict):
    allergens: list[str] | None
    allergens_held: list[str]
    allergens_us: list[str]
    cereals: list[str]
    allergens_unsettled: list[str]
    foods: list[str]


def _contents(contents: Contents) -> _Holding:
    known = contents.allergens
    return {
        "allergens": None if known is None else sorted(known),
        "allergens_held": sorted(contents.known),
        "allergens_us": list(us_nine(contents.known, contents.cereals)),
        "cereals": sorted(contents.cereals),
        "allergens_unsettled": list(contents.unsettled),
        "foods": sorted(contents.foods),
    }


def _dish(week: Week, dish: Dish) -> CheckedDish:
    held = held_by(week, dish)
    return CheckedDish(
        kind=dish.kind,
        allergens=sorted(held.always),
        allergens_us=list(us_nine(held.always, held.cereals)),
        allergens_may=sorted(held.may),
        cereals=sorted(held.cereals),
        allergens_unsettled=list(held.unsettled),
        ingredients=_recipe(dish.recipe),
    )


def _recipe(recipe: Recipe | None) -> list[IngredientLine]:
    """Give the lines of a recipe with what each holds."""
    return [
        IngredientLine(
            line=line.text,
            food=line.food.name,
            grams=number(line.grams),
            how=line.how,
            remarks=list(line.remarks),
            source=line.food.citation,
            nutrients={
                tag: number(amount)
                for tag in NUTRIENTS
                if (amount := line.nutrient(tag)) is not None
            },
            allergens=sorted(line.food.allergens),
            allergens_settled=line.food.allergens_settled,
        )
        for line in (recipe.ingredients if recipe is not None else ())
    ]
