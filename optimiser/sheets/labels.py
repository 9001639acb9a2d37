"""A label for every tub: what is in it, when it was made, until when, and the days it is for.

What is frozen goes into a tub for each day it is for, as it is thawed a day at a time; the rest
of a batch is one tub in the fridge. Dates are those of the plan.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

from models.answers.labels import Label, LabelFile
from models.week import sums
from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from models.words.units import GRAM, magnitude
from optimiser.written import batch_info, number


def labels(week: Week, packed: PackedWeek) -> LabelFile:
    """Give the labels of a week, batch by batch, the fridge before the freezer.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.
    """
    found: list[Label] = []
    for batch in week.batches.values():
        found += _of(week, packed, batch)
    return LabelFile(name=week.name, guidance=week.guidance, labels=found)


def _of(week: Week, packed: PackedWeek, batch: Batch) -> list[Label]:
    fresh: dict[date, int] = defaultdict(int)
    frozen: dict[date, int] = defaultdict(int)
    eaters: dict[date, list[str]] = defaultdict(list)
    for lunch in packed.lunches:
        for part in lunch.portions:
            if part.batch == batch.name and part.portions:
                fresh[lunch.day] += part.portions - part.thawed
                frozen[lunch.day] += part.thawed
                eaters[lunch.day].append(lunch.eater)
    several = len(week.eaters) > 1
    # What was frozen and is not in the plan any more stays in the freezer.
    spare = max(0, (batch.frozen or 0) - sum(frozen.values()))
    in_fridge = sum(fresh.values()) + sums.batch_left(week, packed, batch.name) - spare + batch.gone
    tubs: list[Label] = []
    if in_fridge > 0:
        days = [day for day in sorted(fresh) if fresh[day]]
        names = [name for day in days for name in eaters[day]] if several else []
        tubs.append(_label(batch, "fridge", in_fridge, days, names))
    for day in sorted(frozen):
        if frozen[day]:
            tubs.append(
                _label(batch, "freezer", frozen[day], [day], eaters[day] if several else [])
            )
    if spare:
        tubs.append(_label(batch, "freezer", spare, [], []))
    return [
        tub.model_copy(update={"tub": at, "tubs": len(tubs)})
        for at, tub in enumerate(tubs, start=1)
    ]


def _label(batch: Batch, where: str, portions: int, days: list[date], eaters: list[str]) -> Label:
    info = batch_info(batch)
    thawed = where == "freezer" and bool(days)
    return Label(
        batch=batch.name,
        tub=1,
        tubs=1,
        made=batch.made,
        use_by=days[0] if thawed else batch.use_by,
        best_by=days[0] if thawed else batch.fresh_until,
        portions=portions,
        word=batch.portion_word,
        grams=number(portions * magnitude(batch.portion, GRAM)),
        where="freezer" if where == "freezer" else "fridge",
        move=days[0] - timedelta(days=1) if thawed else None,
        days=days,
        eaters=list(dict.fromkeys(eaters)),
        allergens=info.allergens,
        allergens_us=info.allergens_us,
        cereals=info.cereals,
        allergens_unknown=info.allergens_unknown,
        own_risk=info.own_risk,
    )
