"""What is in the freezer, for its door: the frozen tubs of the labels, those of a day together.

Frozen food stays safe and loses quality (USDA FSIS, Freezing and Food Safety), so a date by which
it is best is that of the food table, of the storage class with the shortest time, at its lower
end. What the plan takes out is eaten on the day it is for: thawed overnight, within 24 hours (UK
FSA).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from models.answers.freezer import FreezerFile, Frozen
from models.answers.labels import Label
from models.week.cautions import bearing, on_sheet
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.sheets.labels import labels
from optimiser.written import batch_info


def freezer(week: Week, packed: PackedWeek) -> FreezerFile:
    """List what is in the freezer: how many, frozen when, eat by, for which day.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    FreezerFile
        Portions are counted; masses are in g.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> from optimiser.solve.week import solve_week
    >>> text = ready_text("minimal").replace("made: 2026-11-29", "made: 2026-11-27, freezes: yes")
    >>> week, _ = every_fault("mine.yaml", text)
    >>> _, solved = solve_week(week)
    >>> [(tub.batch, tub.portions) for tub in freezer(week, solved.packed).tubs]
    [('rice and beans', 1), ('rice and beans', 2)]
    """
    tubs = sorted(_tubs(week, packed), key=lambda tub: tub.for_day or date.max)
    there = {tub.batch for tub in tubs}
    cautions = on_sheet(bearing(week, packed), "label", there) if there else []
    return FreezerFile(
        name=week.name,
        tubs=tubs,
        batches=[batch_info(batch) for name, batch in week.batches.items() if name in there],
        cautions=[caution.short for caution in cautions],
    )


def _tubs(week: Week, packed: PackedWeek) -> Iterator[Frozen]:
    frozen = [label for label in labels(week, packed).labels if label.where == "freezer"]
    for _, group in groupby(frozen, key=lambda label: (label.batch, label.frozen, label.days)):
        yield _together(week, list(group))


def _together(week: Week, tubs: list[Label]) -> Frozen:
    first = tubs[0]
    day = first.days[0] if first.days else None
    return Frozen(
        batch=first.batch,
        portions=sum(tub.portions for tub in tubs),
        word=first.word,
        grams=round(sum(tub.grams for tub in tubs), 5),
        tubs=len(tubs),
        frozen=first.frozen or first.made,
        move=first.move,
        for_day=day,
        eaters=list(dict.fromkeys(eater for tub in tubs for eater in tub.eaters)),
        eat_by=day,
        best_by=week.batches[first.batch].frozen_best_by,
    )
