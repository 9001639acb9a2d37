"""What is in the freezer, laid out for its door."""

from __future__ import annotations

from models.answers.freezer import FreezerFile, Frozen
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.report.listing import Listing
from optimiser.report.phrases import held


def listing(freezer: FreezerFile) -> Listing:
    """Lay the tubs out by the day they are for, what is spare last.

    Parameters
    ----------
    freezer
        What is in the freezer.

    Returns
    -------
    Listing
        A row for each line of the answer, in its order; the notes name allergens and cautions.

    Examples
    --------
    >>> from optimiser import freezer
    >>> listing(freezer("starter")).rows[0]
    ('lentil curry', '4 portions, 400 g', 'Sun 29 Nov', 'Thu 3 Dec', 'Fri 4 Dec', 'Fri')
    """
    notes = [f"{batch.batch}: {held(batch)}." for batch in freezer.batches]
    if freezer.cautions:
        notes.append(f"Mind: {'; '.join(freezer.cautions)}.")
    if any(tub.for_day for tub in freezer.tubs):
        notes.append("Out of the freezer into the fridge in the evening; not frozen again.")
    return Listing(
        title="in the freezer",
        name=freezer.name,
        heads=("what", "how many", "frozen", "out, evening", "eat by", "for"),
        rows=[_row(tub) for tub in freezer.tubs],
        notes=notes,
        none="Nothing is in the freezer.",
    )


def _row(tub: Frozen) -> tuple[str, ...]:
    many = f"{counted(tub.portions, tub.word)}, {tub.grams:.0f} g"
    if tub.tubs > 1:
        many += f" in {tub.tubs} tubs"
    what = (tub.batch, many, day_name(tub.frozen))
    if tub.for_day is None or tub.eat_by is None or tub.move is None:
        best = tub.best_by
        until = "" if best is None else f"; best by {best.day} {best:%b} {best.year}"
        return (*what, "", f"within a day of thawing{until}", "spare")
    whom = f" ({', '.join(tub.eaters)})" if tub.eaters else ""
    return (*what, day_name(tub.move), day_name(tub.eat_by), f"{tub.for_day:%a}{whom}")
