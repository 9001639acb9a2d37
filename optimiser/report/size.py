"""How much to cook, as a cook reads it: the number first, then how firm it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.size import BatchSize, SizeFile
from models.words.names import as_bought
from models.words.numbers import counted
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.phrases import COST, NO_PRICES, cut_short, sourced

TABLE = 64
"""Columns from which the batches stand in a table."""


def text(answer: SizeFile, *, colour: bool = False, width: int = 80) -> str:
    """Write how much of each batch to cook.

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
        Lines wrapped at `width`, the last one ended; a table from `TABLE` columns on, else one
        batch below the other.

    Examples
    --------
    >>> from optimiser import size
    >>> print(text(size("minimal")).splitlines()[3])
    rice and beans    6  6 portions          3 to 9  10: 200 g left; 3 to 12
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), "  how much to cook"),
        "",
    ]
    if not answer.batches:
        parts += list(_none(answer))
        return rendered(parts, colour=colour, width=width)
    batches = answer.batches
    parts += [_table(batches)] if width >= TABLE else _below_each_other(batches)
    parts.append("")
    parts.append(beside("left over", Text(left_of(answer))))
    parts.append(beside("then", Text("; ".join(answer.dishes))))
    parts.append(beside("reaches", Text(_reaches(answer))))
    if answer.status != "optimal":
        parts += ["", Text("Not proven: the time limit struck first. Allow more (--seconds).")]
    if ended := cut_short(answer):
        parts += ["", Text(f"{ended}: how firm the numbers are was not all found out.")]
    return rendered(parts, colour=colour, width=width)


def _none(answer: SizeFile) -> Iterator[RenderableType]:
    if answer.status == "unknown":
        yield Text("Nothing was found in time. Allow more time (--seconds).")
    elif answer.conflict:
        cannot = "this cannot be kept" if len(answer.conflict) == 1 else "these cannot all be kept"
        yield Text(f"However much is cooked there is no plan; {cannot}:")
        yield Group(*(beside("-", Text(sourced(rule)), width=1) for rule in answer.conflict))
    else:
        yield Text("However much is cooked there is no plan.")


def _table(batches: Sequence[BatchSize]) -> RenderableType:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    table.add_column("batch")
    table.add_column("now", justify="right")
    table.add_column("cook", justify="right")
    table.add_column("as little left", justify="right")
    table.add_column("what limits it")
    for batch in batches:
        better = batch.cook != batch.was
        table.add_row(
            Text(batch.batch),
            str(batch.was),
            Text(counted(batch.cook, batch.word), style="bold" if better else ""),
            Text(_as_little(batch)),
            Text(_limits(batch)),
        )
    return Columns(table)


def _below_each_other(batches: Sequence[BatchSize]) -> Iterator[RenderableType]:
    """Write the same where columns have no room."""
    for batch in batches:
        cook = f"cook {counted(batch.cook, batch.word)}, now {batch.was}"
        yield Text(f"{batch.batch}: {cook}", style="bold")
        yield beside("", Text(f"as little left: {_as_little(batch)}; {_limits(batch)}"), width=2)


def _as_little(batch: BatchSize) -> str:
    """Give the numbers that leave as little, the other batches as here, if that was found out."""
    if len(batch.works) > 1:
        return _runs(batch.works)
    known = batch.below is not None or batch.above is not None
    return "no other" if known or len(batch.allowed) == 1 else "not looked"


def _limits(batch: BatchSize) -> str:
    return "; ".join((*_ends(batch), *batch.because))


def _ends(batch: BatchSize) -> Iterator[str]:
    """Say what the next numbers would leave that do less well."""
    for value, leaves in ((batch.below, batch.below_leaves), (batch.above, batch.above_leaves)):
        if value is not None:
            leave = "no plan" if leaves is None else f"{leaves:.0f} g left"
            yield f"{value}: {leave}"


def _runs(numbers: Sequence[int]) -> str:
    """Write numbers as runs: 6 to 9, 12, 15."""
    runs: list[list[int]] = []
    for value in numbers:
        if runs and value == runs[-1][1] + 1:
            runs[-1][1] = value
        else:
            runs.append([value, value])
    return ", ".join(f"{low}" if low == high else f"{low} to {high}" for low, high in runs)


def left_of(answer: SizeFile) -> str:
    """Say what is left over with the chosen volumes.

    Parameters
    ----------
    answer
        How much to cook.

    Returns
    -------
    str
        The sum in g and what it is of.

    Examples
    --------
    >>> from optimiser import size
    >>> left_of(size("minimal"))
    'nothing, of the batches, opened packs and perishable packs bought for them'
    """
    if not answer.left_over:
        return "nothing, of the batches, opened packs and perishable packs bought for them"
    words = {batch.batch: batch.word for batch in answer.batches}
    parts = [
        f"{counted(left.portions, words[left.batch])} {left.batch} ({left.grams:.0f} g)"
        for left in answer.batches_left
    ]
    parts += [f"{left.grams:.0f} g {left.item}, opened" for left in answer.opened_left]
    parts += [f"{pack.grams:.0f} g of {as_bought(pack.food)} in its pack" for pack in answer.packs]
    return f"{answer.left_over:.0f} g: {', '.join(parts)}"


def _reaches(answer: SizeFile) -> str:
    values = []
    for name, value in answer.priorities.items():
        if name == COST and answer.no_prices:
            values.append(f"{PRIORITIES[name].title}: {NO_PRICES}")
        elif name not in (TIE_BREAK, "left_over"):
            priority = PRIORITIES[name]
            values.append(f"{priority.title} {priority.number(value, answer.currency)}")
    return ", ".join(values)
