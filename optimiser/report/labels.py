"""Labels as text, and as a sheet to print."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from rich.console import RenderableType
from rich.text import Text

from models.answers.labels import Label, LabelFile
from models.words.days import day_name
from models.words.guidance import GUIDANCES
from models.words.numbers import counted
from optimiser.report.console import beside, rendered, words
from optimiser.report.phrases import held


def text(answer: LabelFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the labels, one below the other.

    Parameters
    ----------
    answer
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended, a blank line between labels.

    Examples
    --------
    >>> from optimiser import labels
    >>> print(text(labels("minimal")).splitlines()[1].strip())
    FRIDGE  6 portions, 1200 g
    """
    parts: list[RenderableType] = []
    for label in answer.labels:
        parts += [words((title(label), "bold")), beside("", _lines(label), width=2), ""]
    if not answer.labels:
        parts = [Text("There is nothing to label.")]
    return rendered(parts, colour=colour, width=width).rstrip("\n") + "\n"


def _lines(label: Label) -> RenderableType:
    return Text("\n".join(lines(label)))


def title(label: Label) -> str:
    """Name a tub, with its number where there are several.

    Parameters
    ----------
    label
        The label of a tub.

    Returns
    -------
    str
        As "pea soup" or "pea soup, tub 1 of 2".

    Examples
    --------
    >>> from optimiser import labels
    >>> [title(label) for label in labels("starter").labels]
    ['lentil curry, tub 1 of 2', 'lentil curry, tub 2 of 2', 'bulgur']
    """
    which = f", tub {label.tub} of {label.tubs}" if label.tubs > 1 else ""
    return f"{label.batch}{which}"


def lines(label: Label) -> Iterator[str]:
    """Give what stands on a label below its title.

    Parameters
    ----------
    label
        The label of a tub.

    Yields
    ------
    str
        From three to seven lines that are neither ended nor wrapped: where and how much, dates,
        days, move, allergens, cautions.

    Examples
    --------
    >>> from optimiser import labels
    >>> [*lines(labels("minimal").labels[0])][:2]
    ['FRIDGE  6 portions, 1200 g', 'made Sun 29 Nov, best by Wed 2 Dec, use by Thu 3 Dec']
    """
    count = counted(label.portions, label.word)
    yield f"{label.where.upper()}  {count}, {label.grams:.0f} g"
    later = label.frozen is not None and label.frozen != label.made
    frozen = f"frozen {day_name(label.frozen)}, " if later and label.frozen else ""
    yield f"made {day_name(label.made)}, {frozen}{until(label)}"
    if label.days:
        whom = f" ({', '.join(label.eaters)})" if label.eaters else ""
        yield f"for {for_days([label])}{whom}"
    elif label.where == "fridge":
        yield "spare"
    if label.move is not None:
        yield f"to the fridge {day_name(label.move)}, evening"
    yield held(label)
    if label.cautions:
        yield "; ".join(label.cautions)
    if label.own_risk:
        yield f"use-by at your own risk (published: {label.own_risk})"


def for_days(tubs: Sequence[Label]) -> str:
    """Say how many are for which day: "Mon 2, Thu 1"; a day alone where all are for it.

    Parameters
    ----------
    tubs
        Labels of one batch.

    Returns
    -------
    str
        Days in their order, then "1 spare"; empty where no tub is for a day.

    Examples
    --------
    >>> from optimiser import labels
    >>> for_days(labels("minimal").labels)
    'Mon 2, Tue 2, Wed 2'
    """
    counts: Counter[date] = Counter()
    for tub in tubs:
        counts.update(dict(zip(tub.days, tub.counts, strict=True)))
    spare = sum(tub.portions for tub in tubs) - sum(counts.values())
    if len(counts) == 1 and not spare:
        return "".join(f"{day:%a}" for day in counts)
    shares = ", ".join(f"{day:%a} {count}" for day, count in sorted(counts.items()))
    return "; ".join(
        part for part in (shares, f"{spare} spare" if spare and shares else "") if part
    )


def until(label: Label) -> str:
    """Say until when a tub is good.

    Parameters
    ----------
    label
        The label of a tub.

    Returns
    -------
    str
        As "best by Wed 2 Dec, use by Fri 4 Dec"; one date where both are the same.

    Examples
    --------
    >>> from optimiser import labels
    >>> until(labels("minimal").labels[0])
    'best by Wed 2 Dec, use by Thu 3 Dec'
    """
    if label.where == "freezer" and not label.days:
        return "eat within a day of thawing"
    best = ""
    if label.best_by != label.use_by:
        best = f"best by {day_name(label.best_by)}, "
    return f"{best}use by {day_name(label.use_by)}"


def guidance(answer: LabelFile) -> str:
    """Say whose advice the dates follow.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        A sentence; empty where the answer names no guidance.

    Examples
    --------
    >>> from optimiser import labels
    >>> guidance(labels("minimal"))
    'Dates by United States (USDA FSIS); your local codes come first.'
    """
    name = GUIDANCES.get(answer.guidance, answer.guidance)
    return f"Dates by {name}; your local codes come first." if answer.guidance else ""
