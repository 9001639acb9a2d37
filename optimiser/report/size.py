"""How much to cook, as a cook reads it: the number first, then how firm it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.size import BatchSize, SizeFile
from models.words.numbers import counted
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.phrases import sourced


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
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), "  how much to cook"),
        "",
    ]
    if not answer.batches:
        parts += list(_none(answer))
        return rendered(parts, colour=colour, width=width)
    for batch in answer.batches:
        parts += [*_batch(batch), ""]
    parts.append(beside("left over", Text(_left(answer))))
    parts.append(beside("then", Text(", ".join(answer.dishes))))
    parts.append(beside("reaches", Text(_reaches(answer))))
    if answer.status != "optimal":
        parts += ["", Text("Not proven: the time limit struck first. Allow more (--seconds).")]
    if answer.interrupted:
        parts += ["", Text("You stopped it: how firm the numbers are was not all found out.")]
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


def _batch(batch: BatchSize) -> Iterator[RenderableType]:
    cook = counted(batch.cook, batch.word)
    was = " as the file says" if batch.cook == batch.was else f", not {batch.was}"
    yield words((f"{cook} of {batch.batch}", "bold"), f"{was}, {batch.grams:.0f} g")
    firm = _firm(batch)
    if firm:
        yield beside("", Text(firm), width=2)
    allowed = f"may be cooked in {_runs(batch.allowed)}: {'; '.join(batch.because)}"
    yield beside("", Text(allowed, style="dim"), width=2)


def _firm(batch: BatchSize) -> str:
    """Say how far the number may move: "12 to 14 all work; 15 leaves 45 g"."""
    sentences = []
    if len(batch.works) > 1:
        sentences.append(f"{_runs(batch.works)} leave no more over, the other batches as here")
    elif batch.below is not None or batch.above is not None:
        sentences.append("no other number leaves as little, the other batches as here")
    for value, leaves in ((batch.below, batch.below_leaves), (batch.above, batch.above_leaves)):
        if value is not None:
            sentences.append(
                f"with {value} there is no plan"
                if leaves is None
                else f"{value} leaves {leaves:.0f} g"
            )
    return "; ".join(sentences)


def _runs(numbers: Sequence[int]) -> str:
    """Write numbers as runs: 6 to 9, 12, 15."""
    runs: list[list[int]] = []
    for value in numbers:
        if runs and value == runs[-1][1] + 1:
            runs[-1][1] = value
        else:
            runs.append([value, value])
    return ", ".join(f"{low}" if low == high else f"{low} to {high}" for low, high in runs)


def _left(answer: SizeFile) -> str:
    if not answer.left_over:
        return "nothing, of the batches, opened packs and perishable packs bought for them"
    packs = sum(pack.grams for pack in answer.packs)
    rest = answer.left_over - packs
    parts = [f"{rest:.0f} g of the batches and opened packs"] if rest >= 0.5 else []
    parts += [f"{pack.grams:.0f} g of {pack.food} in its pack" for pack in answer.packs]
    return f"{answer.left_over:.0f} g: {', '.join(parts)}"


def _reaches(answer: SizeFile) -> str:
    values = []
    for name, value in answer.priorities.items():
        if name not in (TIE_BREAK, "left_over"):
            priority = PRIORITIES[name]
            values.append(f"{priority.title} {priority.number(value, answer.currency)}")
    return ", ".join(values)
