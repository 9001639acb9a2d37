"""A week as it was understood: every figure with where it comes from, nothing solved."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.foods.measures import cups_said
from models.week.cautions import at_own_risk
from models.week.dishes import held_by
from models.week.guarded import guarded
from models.week.guards import Kind, Verdict
from models.week.week import Batch, Bound, Contents, Eater, LarderItem, Nutrition, Place, Week
from models.words.allergens import US_WORDS, say, us_nine
from models.words.days import day_name
from models.words.guidance import GUIDANCES
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS, PROTEIN, printed
from models.words.units import magnitude, sayable
from optimiser.checking import read_as, remarks
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.rules import rules_of


def text(week: Week, *, colour: bool = False, width: int = 80) -> str:
    """Write what a week file was understood to say."""
    parts: list[RenderableType] = [
        words((week.name or UNNAMED, "bold"), f"  {_span(week)}"),
        *([Text(week.note, style="dim")] if week.note else []),
        "",
        beside("lunches", Text(_lunches(week))),
        beside("place", Text(_place(week))),
        *(beside("no lunch", Text(_no_lunch(week))) for _ in week.no_lunch[:1]),
        *(beside(label, Text(said)) for label, said in _settings(week)),
        *(beside(eater.name, _eater(eater, week.guidance)) for eater in week.eaters.values()),
        *_guards(week),
        *_read_as(week),
        "",
        *_batches(week),
        "",
        *_larder(week),
        "",
        *_dishes(week),
        "",
        *_rules(week),
        "",
        *(beside("remark", Text(remark), width=8) for remark in remarks(week)),
    ]
    return rendered(parts, colour=colour, width=width)


def _span(week: Week) -> str:
    return f"{day_name(week.days[0])} to {day_name(week.days[-1])} {week.days[-1].year}"


def _lunches(week: Week) -> str:
    count = len(week.lunches)
    number = len(week.dishes)
    dishes = f"{number} {'dish' if number == 1 else 'dishes'} to choose from"
    return f"{count} {'lunch' if count == 1 else 'lunches'} to plan, {dishes}"


def _place(week: Week) -> str:
    """Say the usual place, then the days that are otherwise."""
    places = [lunch.place for lunch in week.lunches]
    usual = max(dict.fromkeys(places), key=places.count)
    said = [_offers(usual)]
    several = len(week.eaters) > 1
    others: dict[Place, list[str]] = {}
    for lunch in week.lunches:
        if lunch.place != usual:
            who = f" ({lunch.eater})" if several else ""
            others.setdefault(lunch.place, []).append(f"{lunch.day:%a}{who}")
    said += [f"{', '.join(days)}: {_offers(place)}" for place, days in others.items()]
    return "; ".join(said)


def _offers(place: Place) -> str:
    has = [
        word
        for word, is_there in (("fridge", place.fridge), ("microwave", place.microwave))
        if is_there
    ]
    text = " and ".join(has) or "neither fridge nor microwave"
    return text + (f", {place.cold_packs} cold packs" if place.cold_packs else "")


def _no_lunch(week: Week) -> str:
    said = []
    for off in week.no_lunch:
        who = f" ({off.eater})" if off.eater else ""
        why = f": {off.why}" if off.why else ""
        said.append(f"{day_name(off.day)}{who}{why}")
    return "; ".join(said)


def _settings(week: Week) -> Iterator[tuple[str, str]]:
    if week.guidance:
        yield "dates by", GUIDANCES[week.guidance]
    if week.cups is not None:
        yield "measures", cups_said(week.cups)
    if week.protein_said:
        yield "protein", week.protein_said


def _eater(eater: Eater, guidance: str) -> RenderableType:
    lines = [f"at least {_bound(bound, guidance)}" for bound in eater.floors]
    lines += [f"at most {_bound(bound, guidance)}" for bound in eater.ceilings]
    avoided = [*sorted(eater.avoids_allergens), *sorted(eater.avoids_foods)]
    if avoided:
        lines.append(f"must not have {', '.join(avoided)}")
    if eater.diet:
        lines.append(f"eats {eater.diet} food")
    if eater.box:
        lines.append(f"carries the {eater.box}")
    return Group(*(Text(line) for line in lines or ["no floors"]))


def _guards(week: Week) -> Iterator[RenderableType]:
    """Show each guard at work: what it bars, with the cause, and what it lets through."""
    for one in guarded(week):
        kind = " food" if one.guard.kind is Kind.DIET else ""
        verb = "eats" if one.guard.kind is Kind.DIET else "must not have"
        yield ""
        yield Text(f"{one.eater} {verb} {one.guard.what}{kind}", style="bold")
        for name, said in one.barred:
            yield beside("bars", Text(f"{name}: {_why(said)}"), width=12)
        yield beside("lets through", Text(", ".join(one.through) or "nothing"), width=12)
        if one.dishes:
            yield beside("so never", Text(", ".join(one.dishes)), width=12)


def _why(said: Verdict) -> str:
    if said.settled:
        return said.why
    return f"{said.why}; once you know, write '{said.mend}' there"


def _read_as(week: Week) -> Iterator[RenderableType]:
    pairs = [f"{name}: {food}" for name, food in read_as(week)]
    if pairs:
        yield ""
        yield beside("read as", Text("; ".join(pairs)))


def _bound(bound: Bound, guidance: str) -> str:
    name, symbol, factor = printed(bound.nutrient, "uk" if bound.as_salt else guidance)
    span = "over the week" if bound.weekly else "a lunch"
    note = f" ({bound.note})" if bound.note else ""
    number = plain(magnitude(bound.amount, NUTRIENTS[bound.nutrient].unit) * factor, 3)
    return f"{number} {symbol} {name} {span}{note}"


def _table(*columns: tuple[str, bool]) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", expand=True)
    for title, right in columns:
        table.add_column(title, justify="right" if right else "left", overflow="fold")
    return table


def _batches(week: Week) -> Iterator[RenderableType]:
    if not week.batches:
        return
    table = _table(
        ("batch", False),
        ("comes to", False),
        ("best by", False),
        ("use by", False),
        ("freezer", True),
        ("protein", True),
        ("allergens", False),
    )
    for batch in week.batches.values():
        table.add_row(
            Text(batch.name),
            f"{batch.portions} x {sayable(batch.portion)}",
            day_name(batch.fresh_until),
            day_name(batch.use_by),
            str(batch.freezer) if batch.freezer else "no",
            _protein(batch.nutrition, batch.partial),
            Text(allergens_of(batch.contents)),
        )
    yield table
    for batch in week.batches.values():
        yield beside("", Text(_sources(batch), style="dim"), width=1)


def _sources(batch: Batch) -> str:
    low, high = batch.life.low, batch.life.high
    days = f"{high}" if low == high else f"{low} to {high}"
    word = "day" if high == 1 else "days"
    return (
        f"{batch.name}: made {day_name(batch.made)}, keeps {days} {word} "
        f"({batch.life.source}){at_own_risk(batch.life.risk)}; protein of one "
        f"{batch.portion_word}: {batch.nutrition_source}"
    )


def _protein(nutrition: Nutrition, partial: frozenset[str]) -> str:
    known = nutrition.get(PROTEIN)
    least = ">= " if PROTEIN in partial else ""
    return "not known" if known is None else f"{least}{plain(magnitude(known, 'gram'), 2)} g"


def allergens_of(contents: Contents) -> str:
    """Say which of the fourteen allergens are in a food, and that more may be."""
    said = say(contents.known, contents.cereals)
    if contents.allergens is None:
        return f"{said}, may hold more" if said else "not known"
    return said or "none"


def _short_source(item: LarderItem) -> str:
    if item.recipe is None:
        return item.nutrition_source
    foods = item.recipe.foods
    return foods[0].said if len(foods) == 1 else "ingredients"


def _dishes(week: Week) -> Iterator[RenderableType]:
    yield Text("Allergens by dish (EU 14; the US names where they differ)", style="bold")
    for dish in week.dishes.values():
        held = held_by(week, dish)
        none = "none known" if held.unsettled else "none"
        said = say(held.always, held.cereals) or none
        if held.may:
            said += f"; by choice also {say(held.may, held.cereals)}"
        us = us_nine(held.always | held.may, held.cereals)
        named = sorted(US_WORDS.get(one, one) for one in us)
        if named != sorted(held.always | held.may) and (us or not held.unsettled):
            said += f"; US: {', '.join(us) or 'none'}"
        if held.unsettled:
            said += f"; not settled: {', '.join(held.unsettled)}"
        yield beside(dish.name, Text(said), width=20)


def _larder(week: Week) -> Iterator[RenderableType]:
    if all(item.loose for item in week.larder.values()):
        return
    table = _table(
        ("larder", False),
        ("pack", False),
        ("price", True),
        ("opened", True),
        ("protein", True),
        ("per", False),
        ("source", False),
        ("allergens", False),
    )
    for item in week.larder.values():
        if item.loose:
            continue
        table.add_row(
            Text(item.name),
            sayable(item.pack),
            "?" if item.unpriced else f"{item.price:.2f}",
            _opened(item),
            _protein(item.nutrition, item.partial),
            sayable(item.per),
            Text(_short_source(item)),
            Text(allergens_of(item.contents)),
        )
    yield table


def _opened(item: LarderItem) -> str:
    if item.opened_life is None:
        return "keeps"
    return f"{item.opened_life} {'day' if item.opened_life == 1 else 'days'}"


def _rules(week: Week) -> Iterator[RenderableType]:
    yield Text("Rules that every plan obeys", style="bold")
    for rule in rules_of(week):
        source = f" [{rule.source}]" if rule.source else ""
        yield beside("-", Text(rule.sentence() + source), width=1)
    order = ", ".join(name.replace("_", " ") for name in week.priorities)
    yield beside("order", Text(f"What matters first: {order}"), width=5)
