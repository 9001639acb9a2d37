"""A label for every tub: what is in it, when it was made, until when, and the days it is for.

What is frozen goes into a tub for each day it is for, as it is thawed a day at a time, and one
for what stays; the rest of a batch stands in the fridge. No tub is deeper than cools in time.
Dates are those of the plan.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from models.answers.labels import Label, LabelFile
from models.week import sums
from models.week.cautions import Caution, bearing, on_sheet
from models.week.kitchen import TUB_HOLDS
from models.week.moves import evening_before, frozen
from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from models.words.units import GRAM, MILLILITRE, magnitude
from optimiser.written import batch_info, number

Cold = Literal["fridge", "freezer"]


def labels(week: Week, packed: PackedWeek) -> LabelFile:
    """Give the labels of a week, batch by batch, the fridge before the freezer.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    LabelFile
        A label for every tub, numbered within its batch: portions, dates, allergens, the days it is
        for.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> {label.batch for label in labels(week, solved.packed).labels} <= set(week.batches)
    True
    """
    cautions = bearing(week, packed)
    tubs = [tub for batch in week.batches.values() for tub in _of(week, packed, batch, cautions)]
    return LabelFile(name=week.name, guidance=week.guidance, labels=tubs)


def portions_in_tub(batch: Batch) -> int:
    """Give how many portions a shallow tub holds; one at the least.

    Of food whose room is not known a gram is reckoned as a millilitre.

    Parameters
    ----------
    batch
        The batch.

    Returns
    -------
    int
        Portions that fit in `models.week.kitchen.TUB_HOLDS` mL.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> portions_in_tub(read_week("minimal").batches["rice and beans"])
    7
    """
    grams = magnitude(batch.portion, GRAM)
    room = grams if batch.room is None else max(grams, magnitude(batch.room, MILLILITRE))
    return max(1, int(TUB_HOLDS / room))


def _of(week: Week, packed: PackedWeek, batch: Batch, cautions: Sequence[Caution]) -> list[Label]:
    fresh: list[_Serving] = []
    thawed: dict[date | None, list[_Serving]] = defaultdict(list)
    for lunch in sorted(packed.lunches, key=lambda packed_lunch: packed_lunch.day):
        for part in lunch.portions:
            if part.batch == batch.name and part.portions:
                eater = lunch.eater if len(week.eaters) > 1 else ""
                eater = week.eaters[lunch.eater].group or eater
                fresh.append(_Serving(lunch.day, eater, part.portions - part.thawed))
                each = [_Serving(lunch.day, eater, 1)] * part.thawed
                thawed[lunch.day] += each
    # What was thawed and is in no lunch is in no tub that a label is for.
    in_fridge = max(0, sums.wasted(week, packed, batch.name) - batch.thawed)
    tubs = list(_tubs(batch, "fridge", [*fresh, _Serving(None, "", in_fridge)]))
    for tub in frozen(week, packed, batch.name):
        mine = thawed[tub.for_day][: tub.portions] or [_Serving(None, "", tub.portions)]
        thawed[tub.for_day] = thawed[tub.for_day][tub.portions :]
        in_tubs = _tubs(batch, "freezer", mine)
        tubs += (label.model_copy(update={"frozen": tub.frozen}) for label in in_tubs)
    hot = _heated(week, packed, batch.name)
    return [
        tub.model_copy(
            update={
                "tub": at,
                "tubs": len(tubs),
                "cautions": cautions_of(cautions, batch.name, hot=_may_be_hot(tub, hot)),
            }
        )
        for at, tub in enumerate(tubs, start=1)
    ]


def _heated(week: Week, packed: PackedWeek, name: str) -> set[date]:
    """Give the days on which a lunch with it may be heated: there is a microwave."""
    there = {(known.eater, known.day) for known in week.lunches if known.place.microwave}
    return {
        lunch.day
        for lunch in packed.lunches
        if (lunch.eater, lunch.day) in there
        and any(part.batch == name and part.portions for part in lunch.portions)
    }


def _may_be_hot(tub: Label, hot: Collection[date]) -> bool:
    """Tell whether a tub is for a lunch that may be heated, or nobody knows what for."""
    return tub.portions > sum(tub.counts) or not set(tub.days).isdisjoint(hot)


@dataclass(frozen=True, slots=True)
class _Serving:
    """Portions of a batch for one lunch; spare where there is no day."""

    day: date | None
    eater: str
    portions: int


def _tubs(batch: Batch, where: Cold, servings: list[_Serving]) -> Iterator[Label]:
    """Part portions into shallow tubs, as even as can be, what is eaten first into the first."""
    each = [serving for serving in servings for _ in range(serving.portions)]
    tubs = -(-len(each) // portions_in_tub(batch))
    for at in range(tubs):
        mine = each[len(each) * at // tubs : len(each) * (at + 1) // tubs]
        days = Counter(serving.day for serving in mine if serving.day is not None)
        eaters = [serving.eater for serving in mine if serving.eater]
        yield _label(batch, where, len(mine), days, eaters)


def cautions_of(bear: Iterable[Caution], name: str, *, hot: bool) -> list[str]:
    """Give, in a few words each, what to mind of a batch once it is in its tub.

    Parameters
    ----------
    bear
        The cautions that bear on the week.
    name
        Of a batch.
    hot
        Whether it may be eaten hot: where it cannot, nothing is said of reheating.

    Returns
    -------
    list of str
        In the order of the week's cautions; those about the whole week among them.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> cautions_of(bearing(read_week("minimal")), "rice and beans", hot=True)
    ['if reheated: 74 °C (165 °F), only once', 'rice: keep it cold, reheat only once']
    """
    cautions = on_sheet(bear, "label", [name])
    return [caution.short for caution in cautions if hot or caution.key != "reheating"]


def _label(
    batch: Batch, where: Cold, portions: int, counts: Mapping[date, int], eaters: list[str]
) -> Label:
    info, days = batch_info(batch), list(counts)
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
        where=where,
        move=evening_before(days[0]) if thawed else None,
        days=days,
        counts=list(counts.values()),
        eaters=list(dict.fromkeys(eaters)),
        allergens=info.allergens,
        allergens_us=info.allergens_us,
        cereals=info.cereals,
        allergens_unknown=info.allergens_unknown,
        own_risk=info.own_risk,
    )
