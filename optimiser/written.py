"""A packed week written down as plan-file lines. Counts from the week; knows no solver."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Literal, TypedDict

from models.answers.plan import (
    BatchInfo,
    BatchLeft,
    BatchLine,
    ChangeLine,
    ChoiceLine,
    DayOff,
    ExtraLine,
    FreezerMove,
    ItemLine,
    LeftOver,
    LunchLine,
    NutrientLine,
    PackLeft,
    PackLine,
    Reason,
    RuleLine,
)
from models.file.change import guests_of
from models.week import sums
from models.week.cautions import Caution, SheetName, on_sheet
from models.week.dishes import together
from models.week.moves import evening_before, moves
from models.week.packed import OpenedPacks, PackedLunch, PackedPortions, PackedWeek, helpings
from models.week.week import Batch, Helping, LarderItem, Place, Week, groups_of
from models.words.allergens import us_nine
from models.words.numbers import counted, listed
from models.words.nutrients import NUTRIENTS, USABLE
from models.words.units import GRAM, Quantity, magnitude

Symbol = Literal["g", "mL", "piece"]
SYMBOLS: Mapping[str, Symbol] = {"gram": "g", "millilitre": "mL", "piece": "piece"}


class _Amount(TypedDict):
    item: str
    amount: float
    unit: Symbol


def cautions_said(
    cautions: Iterable[Caution],
    changes: Sequence[ChangeLine] = (),
    sheet: SheetName = "plan",
) -> list[str]:
    """Write the cautions of a sheet: first what to ask about guests, then those that bear.

    Parameters
    ----------
    cautions
        Those that bear on the week.
    changes
        What went otherwise in a running week; guests among it are asked about.
    sheet
        The sheet that they stand on.

    Returns
    -------
    list[str]
        Sentences, each with its source in brackets.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from models.week.cautions import bearing
    >>> print(cautions_said(bearing(read_week("minimal")))[0].split(".")[0])
    What you doubt, do not eat
    """
    asked = [
        f"{name} is a guest of whom the plan knows nothing: ask what {name} must not have."
        for name in guests_of(changes)
    ]
    return [*asked, *(caution.named for caution in on_sheet(cautions, sheet))]


def minded(cautions: Iterable[Caution]) -> list[str]:
    """Write what must not be missed, in a few words: what in this week can poison.

    Parameters
    ----------
    cautions
        Those that bear on the week.

    Returns
    -------
    list[str]
        Foods and what to mind of them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from models.week.cautions import bearing
    >>> minded(bearing(read_week("minimal")))[0]
    'rice and beans: rice: keep it cold, reheat only once'
    """
    grave = on_sheet(cautions, "glance")
    return [f"{listed(caution.of)}: {caution.short}" for caution in grave]


def unpriced(week: Week, packed: PackedWeek) -> list[str]:
    """Name what the cost of a week leaves out.

    Batches are paid for, eaten or not; of bought food only what is packed.

    Parameters
    ----------
    week
        The week.
    packed
        What is packed of it.

    Returns
    -------
    list[str]
        Ingredients and larder items without a price, each once.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> unpriced(week, solved.packed)[:2]
    ['white rice', 'dried haricot beans']
    """
    batches = [name for batch in week.batches.values() for name in batch.unpriced]
    return list(dict.fromkeys([*batches, *sums.unpriced(week, packed.lunches)]))


def totals(week: Week, packed: PackedWeek) -> dict[str, float]:
    """Sum cost and minutes over the week.

    Parameters
    ----------
    week
        The week.
    packed
        What is packed of it.

    Returns
    -------
    dict[str, float]
        "cost" in the currency of the week, "minutes" of packing.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> totals(week, solved.packed)
    {'cost': 1.38, 'minutes': 0.0}
    """
    return {
        "cost": number(sums.cost(week, packed)),
        "minutes": number(Decimal(sums.minutes(week, packed))),
    }


def left_over(week: Week, packed: PackedWeek, why: list[RuleLine]) -> LeftOver:
    """Write down what is left over, and why it is not less.

    Parameters
    ----------
    week
        The week.
    packed
        What is packed of it.
    why
        The rules that stand in the way of less.

    Returns
    -------
    LeftOver
        In all in g; portions and grams of each batch; amount and grams of each opened pack.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> rest = left_over(week, PackedWeek((), ()), [])
    >>> rest.grams, [(left.batch, left.portions) for left in rest.batches]
    (1200.0, [('rice and beans', 6)])
    """
    batches = [_left(week, name, sums.wasted(week, packed, name)) for name in week.batches]
    frozen = [_left(week, name, sums.stays_frozen(week, packed, name)) for name in week.batches]
    used = sums.uses(week, packed)
    packs = []
    for name, item in week.larder.items():
        if name in used and item.opened_life is not None and item.mass is not None:
            rest = sums.pack_left(item, used[name], packed.packs)
            if rest:
                packs.append(
                    PackLeft(
                        item=name,
                        amount=number(rest),
                        unit=SYMBOLS[item.unit],
                        grams=number(rest * magnitude(item.mass, GRAM)),
                    )
                )
    return LeftOver(
        grams=number(sums.left_over(week, packed)),
        batches=[left for left in batches if left.portions],
        packs=packs,
        frozen=[left for left in frozen if left.portions],
        why=why,
    )


def _left(week: Week, batch: str, portions: int) -> BatchLeft:
    grams = number(portions * magnitude(week.batches[batch].portion, GRAM))
    return BatchLeft(batch=batch, portions=portions, grams=grams)


def lunch_lines(
    week: Week, lunches: Sequence[PackedLunch], reasons: Sequence[list[Reason]]
) -> Iterator[LunchLine]:
    """Write down lunches; what eaters of one entry have alike is summed up once.

    Parameters
    ----------
    week
        The week.
    lunches
        Lunches of it.
    reasons
        Why each is as it is.

    Yields
    ------
    LunchLine
        One for each, as `lunch_line` gives it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> [line.minutes for line in lunch_lines(week, solved.packed.lunches, [[], [], []])]
    [0, 0, 0]
    """
    known: dict[tuple[object, ...], LunchLine] = {}
    for lunch, why in zip(lunches, reasons, strict=True):
        options, extras = tuple(lunch.options.items()), tuple(lunch.extras.items())
        whose = week.eaters[lunch.eater].group or lunch.eater
        key = (whose, lunch.day, lunch.dish, lunch.portions, options, extras)
        if key not in known:
            known[key] = lunch_line(week, lunch, [])
        yield known[key].model_copy(update={"eater": lunch.eater, "reasons": why})


def lunch_line(week: Week, lunch: PackedLunch, reasons: list[Reason]) -> LunchLine:
    """Write down one lunch.

    Parameters
    ----------
    week
        The week.
    lunch
        A lunch of it.
    reasons
        Why it is as it is.

    Returns
    -------
    LunchLine
        Batches in portions and grams, the rest in g, mL or pieces; nutrients with the bounds that
        are set; allergens; cost of what goes in.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> line = lunch_line(week, solved.packed.lunches[0], [])
    >>> line.dish, line.batches[0].portions, line.goes_in[0].amount, line.allergens
    ('Rice, beans and cheese', 2, 40.0, ['milk'])
    """
    dish = week.dishes[lunch.dish]
    place = _place(week, lunch)
    contents = {
        part.batch: week.batches[part.batch].contents for part in lunch.portions if part.portions
    } | {helping.item: week.larder[helping.item].contents for helping in helpings(week, lunch)}
    held = together(contents.items())
    return LunchLine(
        date=lunch.day,
        eater=lunch.eater,
        dish=dish.name,
        kind=dish.kind,
        batches=[_batch_line(week, lunch, part) for part in lunch.portions],
        goes_in=[
            ItemLine(**_helping(week.larder[helping.item], helping)) for helping in dish.goes_in
        ],
        choices=[
            ChoiceLine(choice=choice, **_helping(week.larder[item], _option(week, choice, item)))
            for choice, item in lunch.options.items()
        ],
        extras=[
            _extra_line(week, extra.helping, times)
            for extra in dish.extras
            if (times := lunch.extras.get(extra.helping.item))
        ],
        nutrients=nutrients(week, lunch),
        minutes=dish.minutes,
        cost=number(sums.lunch_cost(week, lunch)),
        cost_complete=not sums.unpriced(week, [lunch]),
        microwave=dish.microwave,
        fridge=place.fridge,
        cold_packs=place.cold_packs,
        allergens=sorted(held.always),
        allergens_us=list(us_nine(held.always, held.cereals)),
        cereals=sorted(held.cereals),
        allergens_unknown=list(held.unsettled),
        reasons=reasons,
    )


def _batch_line(week: Week, lunch: PackedLunch, part: PackedPortions) -> BatchLine:
    return BatchLine(
        batch=part.batch,
        portions=part.portions,
        grams=number(part.portions * magnitude(week.batches[part.batch].portion, GRAM)),
        from_freezer=part.thawed,
        move_to_fridge=evening_before(lunch.day) if part.thawed else None,
    )


def _extra_line(week: Week, helping: Helping, times: int) -> ExtraLine:
    all_of_it = Helping(helping.item, helping.amount * times)
    return ExtraLine(times=times, **_helping(week.larder[helping.item], all_of_it))


def pack_lines(week: Week, packs: Iterable[OpenedPacks]) -> list[PackLine]:
    """Write down which packs are opened when, and how long they keep then.

    Parameters
    ----------
    week
        The week.
    packs
        Which packs are opened, and when.

    Returns
    -------
    list[PackLine]
        In the same order; `opened_life` in days, None where an opened pack keeps.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> [(line.item, line.packs) for line in pack_lines(week, solved.packed.packs)]
    [('hard cheese', 1), ('apple', 1), ('apple', 1)]
    """
    return [
        PackLine(
            item=pack.item,
            opened=pack.opened,
            packs=pack.packs,
            opened_life=week.larder[pack.item].opened_life,
        )
        for pack in packs
    ]


def portions_said(week: Week, lunch: PackedLunch) -> str:
    """Say what a lunch takes of the batches.

    Parameters
    ----------
    week
        The week.
    lunch
        A lunch of it.

    Returns
    -------
    str
        As "3 portions barley pot, 1 piece leek bake"; empty where it takes none.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> portions_said(week, solved.packed.lunches[0])
    '2 portions rice and beans'
    """
    return ", ".join(
        f"{counted(part.portions, week.batches[part.batch].portion_word)} {part.batch}"
        for part in lunch.portions
        if part.portions
    )


def lunch_said(week: Week, lunch: PackedLunch) -> str:
    """Name a lunch in a line of several, with the eater where there are more.

    Parameters
    ----------
    week
        The week.
    lunch
        A lunch of it.

    Returns
    -------
    str
        As "Mon Pot and rye" or "Mon, Ann: Pot and rye".

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> lunch_said(week, solved.packed.lunches[0])
    'Mon Rice, beans and cheese'
    """
    if len(week.eaters) == 1:
        return f"{lunch.day:%a} {lunch.dish}"
    return f"{lunch.day:%a}, {lunch.eater}: {lunch.dish}"


def batch_info(batch: Batch) -> BatchInfo:
    """Write down a batch: how long it keeps and what is in it.

    Parameters
    ----------
    batch
        A batch of a week.

    Returns
    -------
    BatchInfo
        Its portions and their grams, its dates, and its allergens with what nobody settled.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> pot = batch_info(read_week("minimal").batches["rice and beans"])
    >>> pot.portions, pot.grams, pot.use_by.isoformat(), pot.allergens
    (6, 200.0, '2026-12-03', [])
    """
    held = batch.contents
    return BatchInfo(
        batch=batch.name,
        made=batch.made,
        portions=batch.portions,
        word="piece" if batch.pieces else "portion",
        grams=number(magnitude(batch.portion, GRAM)),
        best_by=batch.fresh_until,
        use_by=batch.use_by,
        source=batch.life.source,
        own_risk=batch.life.risk,
        earlier=batch.earlier,
        frozen_best_by=batch.frozen_best_by if batch.earlier else None,
        allergens=sorted(held.known),
        allergens_us=list(us_nine(held.known, held.cereals)),
        cereals=sorted(held.cereals),
        allergens_unknown=list(held.unsettled or ((batch.name,) if held.allergens is None else ())),
    )


def freezer_moves(week: Week, packed: PackedWeek) -> list[FreezerMove]:
    """Write down what is frozen and thawed, and when.

    Parameters
    ----------
    week
        The week.
    packed
        What is packed of it.

    Returns
    -------
    list[FreezerMove]
        By date: what is frozen on the day of making, and what goes to the fridge the evening
        before.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> from optimiser.solve.week import solve_week
    >>> text = ready_text("minimal").replace("made: 2026-11-29", "made: 2026-11-27, freezes: yes")
    >>> week, _ = every_fault("mine.yaml", text)
    >>> _, solved = solve_week(week)
    >>> [(move.move, move.portions) for move in freezer_moves(week, solved.packed)]
    [('freeze', 1), ('freeze', 2), ('thaw', 1), ('thaw', 2)]
    """
    return [
        FreezerMove(
            date=move.day,
            move=move.move,
            batch=move.batch,
            portions=move.portions,
            for_day=move.for_day,
        )
        for move in moves(week, packed)
    ]


def in_groups(week: Week) -> dict[str, int]:
    """Give how many eat by each entry that stands for several.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    dict of str to int
        By the name of the entry, in the order of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> in_groups(read_week("minimal"))
    {}
    """
    return {name: len(eaters) for name, eaters in groups_of(week).items()}


def days_off(week: Week) -> list[DayOff]:
    """Write down which lunches are not needed.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    list[DayOff]
        The day, the eater (None: everybody) and why, in the order of the file.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal") + "no_lunch: [{day: tue}]")
    >>> [(off.date.isoformat(), off.eater) for off in days_off(week)]
    [('2026-12-01', None)]
    """
    return [DayOff(date=off.day, eater=off.eater, why=off.why) for off in week.no_lunch]


def _place(week: Week, lunch: PackedLunch) -> Place:
    wanted = lunch.eater, lunch.day
    places = (known.place for known in week.lunches if (known.eater, known.day) == wanted)
    # A plan edited by hand may hold a lunch the week has not; the audit says so.
    return next(places, Place(fridge=True, microwave=True, cold_packs=0))


def _option(week: Week, choice: str, item: str) -> Helping:
    return next(option for option in week.choices[choice].options if option.item == item)


def _helping(item: LarderItem, helping: Helping) -> _Amount:
    amount = number(magnitude(helping.amount, item.unit))
    return {"item": item.name, "amount": amount, "unit": SYMBOLS[item.unit]}


def nutrients(week: Week, lunch: PackedLunch) -> dict[str, NutrientLine]:
    """Write down every nutrient of which anything is known, or a bound is set.

    Parameters
    ----------
    week
        The week.
    lunch
        A lunch of it.

    Returns
    -------
    dict[str, NutrientLine]
        By INFOODS tagname: the sum in the nutrient's own unit, whether every part was known, floor
        and ceiling of a lunch where the eater has one.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> protein = nutrients(week, solved.packed.lunches[0])["PROCNT"]
    >>> protein.floor, protein.unit, protein.amount >= protein.floor
    (18.0, 'g', True)
    """
    eater = week.eaters[lunch.eater]
    floors = {bound.nutrient: bound.amount for bound in eater.floors if not bound.weekly}
    ceilings = {bound.nutrient: bound.amount for bound in eater.ceilings if not bound.weekly}
    lines: dict[str, NutrientLine] = {}
    tags = [tag for tag in NUTRIENTS if tag != USABLE or tag in floors]
    for tag, content in sums.contents(week, lunch, tags).items():
        nutrient = NUTRIENTS[tag]
        amount = magnitude(content.amount, nutrient.unit)
        if amount or content.complete or tag in floors or tag in ceilings:
            lines[tag] = NutrientLine(
                amount=number(amount),
                unit=nutrient.symbol,
                complete=content.complete,
                floor=_bound(floors.get(tag), nutrient.unit),
                ceiling=_bound(ceilings.get(tag), nutrient.unit),
            )
    return lines


def _bound(amount: Quantity | None, unit: str) -> float | None:
    return None if amount is None else number(magnitude(amount, unit))


def number(exact: Decimal) -> float:
    """Give a number as JSON has it, to a hundred-thousandth.

    Parameters
    ----------
    exact
        A number.

    Returns
    -------
    float
        Rounded half to even; never minus nought.

    Examples
    --------
    >>> number(Decimal("20.288745")), number(Decimal("-0.000001"))
    (20.28874, 0.0)
    """
    return float(round(exact, 5)) + 0.0
