"""The week after a plan: what it leaves goes over, what it used up does not.

What is in the freezer or still good in the fridge is a batch of an earlier week, what remains of
packs stands in the cupboard with its days, what was eaten is known. All is counted from the plan;
where it ran otherwise, from the changes that were told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal

from models.answers.next import CarriedBatch, CarriedFood, LeftOut, NextFile
from models.answers.plan import PlanFile
from models.file.change import guests_of
from models.file.following import (
    A_WEEK,
    Carried,
    Remains,
    called,
    copies,
    following,
    is_dated,
    named_copies,
    without_dishes,
)
from models.file.planfile import embedded_week
from models.file.reading import week_of
from models.file.stocks import stocks
from models.file.yamltext import parse
from models.file.yamlwriting import yaml_of
from models.week.packed import PackedWeek
from models.week.week import Batch, Shelved, Week
from models.words.days import day_name
from models.words.document import document_of
from models.words.errors import InputError
from models.words.numbers import counted
from models.words.units import GRAM, magnitude
from optimiser.auditing import audit, packed_of
from optimiser.sheets.shop import supplied
from optimiser.written import SYMBOLS, number

LEAST = Decimal("0.001")
"""In g, mL or pieces: less is a rounding, for shares of a recipe have no end."""
NEXT_WEEK = "the week after"


def next_week(plan: PlanFile, source: str = "the plan") -> NextFile:
    """Write the week after a plan.

    Parameters
    ----------
    plan
        A plan of a week that is over, or will be when the next begins.
    source
        What to call it in errors.

    Returns
    -------
    NextFile
        The text of the file, what goes over and what does not, each with why.

    Raises
    ------
    InputError
        When the plan has no lunches or breaks its week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.planning import plan_week
    >>> answer = next_week(plan_week(read_week("demo"), reasons=False))
    >>> answer.starts, answer.again[0]
    (datetime.date(2026, 12, 8), 'barley pot')
    """
    week, packed = _whole(plan, source)
    first = week.days[0] + A_WEEK
    remains, spoilt = _remains(week, packed, plan, first)
    unused = without_dishes(week, remains)
    cupboard, past = _cupboard(week, packed, first)
    guests = guests_of(plan.changes)
    eaters = [name for name in week.eaters if name not in guests]
    lately: dict[str, tuple[str, ...]] = {}
    for name in eaters:
        entry = week.eaters[name].group or name
        had = (*lately.get(entry, ()), *_eaten(week, packed, name))
        lately[entry] = tuple(dict.fromkeys(had))
    carried = Carried(remains, cupboard, lately, guests)
    data = following(document_of(plan.week).as_json(), week, carried)
    if not data["dishes"]:
        mend = "Start the week after from a file of its own: clearfridge new FILE"
        raise InputError(source, "each of its dishes takes what is used up", mend)
    text = yaml_of(data)
    if week_of(parse(NEXT_WEEK, text)) != week_of(document_of(data)):
        raise RuntimeError("the week after reads otherwise than it was written")
    return NextFile(
        name=week.name,
        starts=first,
        batches=_carried(week, remains),
        again=[x.name for x in week.batches.values() if not x.earlier and x.name not in unused],
        cupboard=[
            CarriedFood(
                name=name,
                amount=None if stock.amount is None else number(stock.amount),
                unit=SYMBOLS[unit],
                use_by=stock.use_by,
            )
            for name, (unit, held) in cupboard.items()
            for stock in held
        ],
        lately=data.get("lately", {}),
        left_out=[
            *spoilt,
            *past,
            *_of_that_week(week, plan, guests),
            *_too_few(week, remains),
            *(
                LeftOut(what=name, why="each of its dishes takes what is used up")
                for name in unused
            ),
        ],
        text=text,
    )


def _whole(plan: PlanFile, source: str) -> tuple[Week, PackedWeek]:
    if not plan.lunches:
        raise InputError(
            source, "this plan has no lunches", "Name a plan that was found: plan FILE --save PLAN"
        )
    week = embedded_week(plan, source)
    faults = audit(plan, week, source)
    if faults:
        raise InputError(
            source,
            f"the plan breaks its own week: {faults[0].where}: {faults[0].what}",
            f"See: clearfridge audit {source}",
        )
    return week, packed_of(plan, week, source)


# -- batches -------------------------------------------------------------------------


def _remains(
    week: Week, packed: PackedWeek, plan: PlanFile, first: date
) -> tuple[list[Remains], list[LeftOut]]:
    """Count what is left of every batch and still good on the first day of the week after."""
    over = week.days[-1] + timedelta(days=1)
    remains: list[Remains] = []
    spoilt: list[LeftOut] = []
    for name, stock in stocks(week, packed, over, plan.changes).items():
        batch = week.batches[name]
        is_good = batch.use_by >= first
        taken = {*week.batches, *(other.name for other in remains)}
        rest = Remains(
            batch, called(batch, taken), stock.fridge if is_good else 0, stock.in_freezer
        )
        if rest.there:
            remains.append(rest)
        if stock.fridge and not is_good:
            what = f"{counted(stock.fridge, batch.portion_word)} of {name}"
            why = f"left over, and to be eaten by {day_name(batch.use_by)}"
            spoilt.append(LeftOut(what=what, why=why))
    return remains, spoilt


def _carried(week: Week, remains: Sequence[Remains]) -> list[CarriedBatch]:
    named = named_copies(week, remains)
    return [
        CarriedBatch(
            batch=rest.name,
            was=rest.batch.name,
            made=rest.batch.made,
            word=rest.batch.portion_word,
            frozen=rest.freezer,
            fridge=rest.fridge,
            grams=number(rest.there * magnitude(rest.batch.portion, GRAM)),
            use_by=rest.batch.use_by,
            best_by=rest.batch.frozen_best_by,
            dishes=list(_taking(week, rest.batch))
            if rest.batch.earlier
            else [name for other, *_, name in named if other is rest],
        )
        for rest in remains
    ]


def _taking(week: Week, batch: Batch) -> Iterator[str]:
    for dish in week.dishes.values():
        if any(take.batch == batch.name for take in dish.takes):
            yield dish.name


def _too_few(week: Week, remains: Sequence[Remains]) -> Iterator[LeftOut]:
    for rest in remains:
        if not rest.batch.earlier and not copies(week, rest):
            there = counted(rest.there, rest.batch.portion_word)
            why = f"no dish takes as few as {there}: it is there, and in no dish"
            yield LeftOut(what=f"a dish for {rest.name}", why=why)


# -- what was eaten --------------------------------------------------------------------


def _eaten(week: Week, packed: PackedWeek, eater: str) -> tuple[str, ...]:
    """List the dishes that an eater had, whichever way."""
    return tuple(dict.fromkeys(week.dishes[lunch.dish].counts_as for lunch in packed.of(eater)))


# -- the cupboard ------------------------------------------------------------------------


def _cupboard(
    week: Week, packed: PackedWeek, first: date
) -> tuple[dict[str, tuple[str, list[Shelved]]], list[LeftOut]]:
    """List what is left of what was there and of what was bought, and what is past its date."""
    left: dict[str, tuple[Shelved, ...]] = {**week.cupboard}
    there: dict[str, tuple[str, list[Shelved]]] = {}
    past: list[LeftOut] = []
    for supply in supplied(week, packed):
        if supply.line.food and supply.key in week.larder:
            # The name means the larder item; of the ingredient nothing can be said by it.
            why = "an ingredient by the name of a larder item"
            past += [LeftOut(what=_said(supply.key, GRAM, x), why=why) for x in supply.stays]
        else:
            left[supply.key] = supply.stays
    for key, held in left.items():
        unit = week.larder[key].unit if key in week.larder else GRAM
        good = []
        for stock in held:
            if stock.amount is not None and stock.amount < LEAST:
                continue
            if stock.use_by is not None and stock.use_by < first:
                past.append(LeftOut(what=_said(key, unit, stock), why=_past(stock.use_by)))
            else:
                good.append(stock)
        if good:
            there[key] = (unit, good)
    return there, past


def _said(name: str, unit: str, stock: Shelved) -> str:
    amount = number(stock.amount or Decimal(0))
    symbol = SYMBOLS[unit]
    return f"{amount:g} {symbol if symbol != 'piece' or amount == 1 else 'pieces'} of {name}"


def _past(use_by: date) -> str:
    return f"good until {day_name(use_by)}"


# -- what is of that week alone ------------------------------------------------------------


def _of_that_week(week: Week, plan: PlanFile, guests: Sequence[str]) -> Iterator[LeftOut]:
    for name in guests:
        yield LeftOut(what=name, why="a guest of that week")
    for key, title in (("no_lunch", "no lunch"), ("elsewhere", "elsewhere")):
        for entry in plan.week.get(key, []):
            if is_dated(entry["day"]) and entry.get("eater") not in guests:
                whom = f" for {entry['eater']}" if entry.get("eater") else ""
                day = day_name(date.fromisoformat(str(entry["day"])))
                yield LeftOut(what=f"{title} on {day}{whom}", why="a date of that week")
    for wish in plan.week.get("wishes", []):
        yield LeftOut(what=str(wish), why="a wish of that week")
    for item in week.larder.values():
        if item.use_by is not None:
            why = f"the date of a pack of that week, {day_name(item.use_by)}"
            yield LeftOut(what=f"use_by of {item.name}", why=why)
