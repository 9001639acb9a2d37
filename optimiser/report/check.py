"""A week as it was understood: every figure with where it comes from, nothing solved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.check import (
    Barred,
    BoundLine,
    CheckedBatch,
    CheckedEater,
    CheckedItem,
    CheckFile,
    Figure,
    Holding,
    IngredientLine,
    LunchPlace,
)
from models.words.allergens import US_WORDS, say, us_nine
from models.words.days import day_name
from models.words.guidance import GUIDANCES, at_own_risk
from models.words.numbers import counted, plain
from models.words.nutrients import PROTEIN, printed
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, rendered, words


def text(week: CheckFile, *, colour: bool = False, width: int = 80) -> str:
    """Write what a week file was understood to say.

    Parameters
    ----------
    week
        The week as it was understood.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: lunches and eaters, then batches, larder and
        dishes, then rules and remarks.

    Examples
    --------
    >>> from optimiser import check
    >>> print(text(check("minimal")).splitlines()[2])
    lunches      3 lunches to plan, 2 dishes to choose from
    """
    parts: list[RenderableType] = [
        words((week.name or UNNAMED, "bold"), f"  {_span(week)}"),
        *([Text(week.note, style="dim")] if week.note else []),
        "",
        beside("lunches", Text(_lunches(week))),
        beside("place", Text(_place(week))),
        *(beside("no lunch", Text(_no_lunch(week))) for _ in week.no_lunch[:1]),
        *(beside(label, Text(setting)) for label, setting in _settings(week)),
        *(beside(name, _eater(eater, week.guidance)) for name, eater in week.eaters.items()),
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
        *(beside("remark", Text(remark), width=8) for remark in week.remarks),
    ]
    return rendered(parts, colour=colour, width=width)


def _span(week: CheckFile) -> str:
    return f"{day_name(week.days[0])} to {day_name(week.days[-1])} {week.days[-1].year}"


def _lunches(week: CheckFile) -> str:
    count = len(week.lunches)
    number = len(week.dishes)
    dishes = f"{number} {'dish' if number == 1 else 'dishes'} to choose from"
    return f"{count} {'lunch' if count == 1 else 'lunches'} to plan, {dishes}"


def _place(week: CheckFile) -> str:
    """Say the usual place, then the days that are otherwise."""
    places = [_offers(lunch) for lunch in week.lunches]
    usual = max(dict.fromkeys(places), key=places.count)
    several = len(week.eaters) > 1
    others: dict[str, list[str]] = {}
    for lunch, place in zip(week.lunches, places, strict=True):
        if place != usual:
            who = f" ({lunch.eater})" if several else ""
            others.setdefault(place, []).append(f"{lunch.date:%a}{who}")
    return "; ".join([usual, *(f"{', '.join(days)}: {place}" for place, days in others.items())])


def _offers(place: LunchPlace) -> str:
    has = [
        word
        for word, is_there in (("fridge", place.fridge), ("microwave", place.microwave))
        if is_there
    ]
    text = " and ".join(has) or "neither fridge nor microwave"
    return text + (f", {place.cold_packs} cold packs" if place.cold_packs else "")


def _no_lunch(week: CheckFile) -> str:
    days = []
    for off in week.no_lunch:
        who = f" ({off.eater})" if off.eater else ""
        why = f": {off.why}" if off.why else ""
        days.append(f"{day_name(off.date)}{who}{why}")
    return "; ".join(days)


def _settings(week: CheckFile) -> Iterator[tuple[str, str]]:
    if week.guidance:
        yield "dates by", GUIDANCES[week.guidance]
    if week.cups is not None:
        yield "measures", week.cups


def _eater(eater: CheckedEater, guidance: str) -> RenderableType:
    lines = [f"at least {_bound(bound, guidance)}" for bound in eater.floors]
    lines += [f"at most {_bound(bound, guidance)}" for bound in eater.ceilings]
    avoided = [*eater.must_not.allergens, *eater.must_not.foods]
    if avoided:
        lines.append(f"must not have {', '.join(avoided)}")
    if eater.must_not.diet:
        lines.append(f"eats {eater.must_not.diet} food")
    if eater.box:
        lines.append(f"carries the {eater.box}")
    return Group(*(Text(line) for line in lines or ["no floors"]))


def _guards(week: CheckFile) -> Iterator[RenderableType]:
    """Show each guard at work: what it bars, with the cause, and what it lets through."""
    for guard in week.guards:
        kind = " food" if guard.kind == "diet" else ""
        verb = "eats" if guard.kind == "diet" else "must not have"
        yield ""
        whose = guard.eater if guard.eater in week.eaters else f"Each of {guard.eater}"
        yield Text(f"{whose} {verb} {guard.what}{kind}", style="bold")
        for barred in guard.bars:
            yield beside("bars", Text(f"{barred.name}: {_why(barred)}"), width=12)
        yield beside("lets through", Text(", ".join(guard.lets_through) or "nothing"), width=12)
        if guard.dishes_barred:
            yield beside("so never", Text(", ".join(guard.dishes_barred)), width=12)


def _why(barred: Barred) -> str:
    if barred.settled:
        return barred.why
    return f"{barred.why}; once you know, write '{barred.write}' there"


def _read_as(week: CheckFile) -> Iterator[RenderableType]:
    if week.read_as:
        yield ""
        pairs = (f"{read.written}: {read.food}" for read in week.read_as)
        yield beside("read as", Text("; ".join(pairs)))


def _bound(bound: BoundLine, guidance: str) -> str:
    name, symbol, factor = printed(bound.nutrient, "uk" if bound.as_salt else guidance)
    span = "over the week" if bound.over == "week" else "a lunch"
    note = f" ({bound.note})" if bound.note else ""
    amount = plain(Decimal(str(bound.amount)) * factor, 3)
    return f"{amount} {symbol} {name} {span}{note}"


def _table(*columns: tuple[str, bool]) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
    for title, right in columns:
        table.add_column(title, justify="right" if right else "left")
    return table


def _batches(week: CheckFile) -> Iterator[RenderableType]:
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
    for name, batch in week.batches.items():
        table.add_row(
            Text(name),
            f"{batch.freezer_portions if batch.earlier else batch.portions} x {batch.portion}",
            "frozen" if batch.earlier else day_name(batch.fresh_until),
            "frozen" if batch.earlier else day_name(batch.use_by),
            str(batch.freezer_portions) if batch.freezer_portions else "no",
            _protein(batch.nutrients),
            Text(allergens_of(batch)),
        )
    yield Columns(table)
    for name, batch in week.batches.items():
        yield beside("", Text(f"{name}: {_sources(batch)}", style="dim"), width=1)
        yield from _taken(batch.ingredients)


def _taken(lines: Sequence[IngredientLine]) -> Iterator[RenderableType]:
    """Show what was taken in reading lines; the sheet says above what was read as what."""
    taken: dict[str, None] = {}
    for line in lines:
        remarks = [remark for remark in line.remarks if not remark.startswith("read as ")]
        if remarks:
            taken[f"'{line.line}': {'; '.join(remarks)}"] = None
    yield from (beside("", Text(told, style="dim"), width=3) for told in taken)


def _sources(batch: CheckedBatch) -> str:
    low, high = batch.keeps
    days = counted(high, "day") if low == high else f"{low} to {counted(high, 'day')}"
    if batch.earlier:
        since = day_name(batch.made)
        there = counted(batch.freezer_portions, batch.word)
        return (
            f"of an earlier week, made {since}: {there} in the freezer; protein of one "
            f"{batch.word}: {batch.nutrition_source}"
        )
    return (
        f"made {day_name(batch.made)}, keeps {days} ({batch.life_source})"
        f"{at_own_risk(batch.own_risk)}; protein of one {batch.word}: {batch.nutrition_source}"
    )


def _protein(nutrients: Mapping[str, Figure]) -> str:
    known = nutrients.get(PROTEIN)
    if known is None:
        return "not known"
    return f"{'' if known.complete else '>= '}{plain(known.amount, 2)} {known.unit}"


def allergens_of(food: Holding) -> str:
    """Say which of the fourteen allergens are in a food, and that more may be.

    Parameters
    ----------
    food
        What is known of the food.

    Returns
    -------
    str
        Joined by commas; "none" where none is in it, "not known" where nobody said.

    Examples
    --------
    >>> from optimiser import check
    >>> {name: allergens_of(item) for name, item in check("minimal").larder.items()}
    {'hard cheese': 'milk', 'apple': 'none'}
    """
    held = say(frozenset(food.allergens_held), frozenset(food.cereals))
    if food.allergens is None:
        return f"{held}, may hold more" if held else "not known"
    return held or "none"


def _short_source(item: CheckedItem) -> str:
    if not item.ingredients:
        return item.nutrition_source
    return item.ingredients[0].source if len(item.ingredients) == 1 else "ingredients"


def _dishes(week: CheckFile) -> Iterator[RenderableType]:
    yield Text("Allergens by dish (EU 14; the US names where they differ)", style="bold")
    for name, dish in week.dishes.items():
        always, may = frozenset(dish.allergens), frozenset(dish.allergens_may)
        cereals = frozenset(dish.cereals)
        none = "none known" if dish.allergens_unsettled else "none"
        held = say(always, cereals) or none
        if may:
            held += f"; by choice also {say(may, cereals)}"
        us = us_nine(always | may, cereals)
        named = sorted(US_WORDS.get(word, word) for word in us)
        if named != sorted(always | may) and (us or not dish.allergens_unsettled):
            held += f"; US: {', '.join(us) or 'none'}"
        if dish.allergens_unsettled:
            held += f"; not settled: {', '.join(dish.allergens_unsettled)}"
        yield beside(name, Text(held), width=20)
        yield from _taken(dish.ingredients)


def _larder(week: CheckFile) -> Iterator[RenderableType]:
    if not week.larder:
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
    for name, item in week.larder.items():
        table.add_row(
            Text(name),
            item.pack,
            "?" if item.unpriced else f"{Decimal(str(item.price)):.2f}",
            _opened(item.opened_life),
            _protein(item.nutrients),
            item.per,
            Text(_short_source(item)),
            Text(allergens_of(item)),
        )
    yield Columns(table)
    for item in week.larder.values():
        yield from _taken(item.ingredients)


def _opened(days: int | None) -> str:
    if days is None:
        return "keeps"
    return counted(days, "day") if days else "same day"


def _rules(week: CheckFile) -> Iterator[RenderableType]:
    yield Text("Rules that every plan obeys", style="bold")
    cited = {batch.life_source for batch in week.batches.values()}
    for rule in week.rules:
        # What stands above beside the batch is not cited again.
        source = f" [{rule.source}]" if rule.source and rule.source not in cited else ""
        yield beside("-", Text(rule.sentence + source), width=1)
    order = ", ".join(name.replace("_", " ") for name in week.priorities)
    yield beside("order", Text(f"what matters first: {order}"), width=5)
