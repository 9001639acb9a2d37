"""What goes into the week after, as a cook reads it."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.next import CarriedBatch, CarriedFood, NextFile
from models.words.days import day_name
from models.words.names import as_bought
from models.words.numbers import counted
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.shop import amount


def text(answer: NextFile, *, colour: bool = False, width: int = 80) -> str:
    """Write what was carried over, and what was not.

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
        Lines wrapped at `width`, the last one ended: a part for each sort of thing carried over.

    Examples
    --------
    >>> from optimiser import next_week, plan
    >>> print(text(next_week(plan("minimal", reasons=False))).splitlines()[2])
    to choose    rice and beans
    """
    day = f"{day_name(answer.starts)} {answer.starts.year}"
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), f"  the week after, from {day}"),
        "",
    ]
    sections = (
        ("in stock", [_batch(batch) for batch in answer.batches]),
        ("to choose", [", ".join(answer.again)] if answer.again else []),
        ("cupboard", ["; ".join(map(_food, answer.cupboard))] if answer.cupboard else []),
        ("lately", [f"{name}: {'; '.join(x)}" for name, x in answer.lately.items()]),
        ("left out", [f"{left.what}: {left.why}" for left in answer.left_out]),
    )
    for label, lines in sections:
        if lines:
            parts.append(beside(label, Group(*map(Text, lines))))
    parts += ["", *_end(answer)]
    return rendered(parts, colour=colour, width=width)


def _batch(batch: CarriedBatch) -> str:
    places = []
    if batch.frozen:
        best = f", best by {day_name(batch.best_by)} {batch.best_by.year}" if batch.best_by else ""
        places.append(f"{counted(batch.frozen, batch.word)} in the freezer{best}")
    if batch.fridge:
        places.append(
            f"{counted(batch.fridge, batch.word)} in the fridge, use by {day_name(batch.use_by)}"
        )
    dishes = f": {', '.join(batch.dishes)}" if batch.dishes else ""
    return f"{batch.batch}, {'; '.join(places)}{dishes}"


def _food(food: CarriedFood) -> str:
    if food.amount is None:
        return f"plenty of {food.name}"
    until = f" until {day_name(food.use_by)}" if food.use_by else ""
    return f"{amount(food.amount, food.unit)} {as_bought(food.name)}{until}"


def _end(answer: NextFile) -> Iterator[RenderableType]:
    yield Text(
        "Best-by dates in the freezer are of quality, not of safety. Look at what is there: the "
        "file counts what the plan and its changes say."
    )
    if answer.written is None:
        yield Text("Nothing was written: name a file with -o.")
    else:
        yield Text(f"Wrote {answer.written}. Change the batches in it, then: clearfridge plan")
