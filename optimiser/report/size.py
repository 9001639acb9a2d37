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
from optimiser.report.plan import sourced


def text(found: SizeFile, *, colour: bool = False, width: int = 80) -> str:
    """Write how much of each batch to cook."""
    parts: list[RenderableType] = [
        words((found.name or UNNAMED, "bold"), "  how much to cook"),
        "",
    ]
    if not found.batches:
        parts += list(_none(found))
        return rendered(parts, colour=colour, width=width)
    for one in found.batches:
        parts += [*_batch(one), ""]
    parts.append(beside("left over", Text(_left(found))))
    parts.append(beside("then", Text(", ".join(found.dishes))))
    parts.append(beside("reaches", Text(_reaches(found))))
    if found.status != "optimal":
        parts += ["", Text("Not proven: the time limit struck first. Allow more (--seconds).")]
    if found.interrupted:
        parts += ["", Text("You stopped it: how firm the numbers are was not all found out.")]
    return rendered(parts, colour=colour, width=width)


def _none(found: SizeFile) -> Iterator[RenderableType]:
    if found.status == "unknown":
        yield Text("Nothing was found in time. Allow more time (--seconds).")
    elif found.conflict:
        yield Text("However much is cooked there is no plan; these cannot all be kept:")
        yield Group(*(beside("-", Text(sourced(rule)), width=1) for rule in found.conflict))
    else:
        yield Text("However much is cooked there is no plan.")


def _batch(one: BatchSize) -> Iterator[RenderableType]:
    cook = counted(one.cook, one.word)
    was = " as the file says" if one.cook == one.was else f", not {one.was}"
    yield words((f"{cook} of {one.batch}", "bold"), f"{was}, {one.grams:.0f} g")
    firm = _firm(one)
    if firm:
        yield beside("", Text(firm), width=2)
    allowed = f"may be cooked in {_runs(one.allowed)}: {'; '.join(one.because)}"
    yield beside("", Text(allowed, style="dim"), width=2)


def _firm(one: BatchSize) -> str:
    """Say how far the number may move: "12 to 14 all work; 15 leaves 45 g"."""
    said = []
    if len(one.works) > 1:
        said.append(f"{_runs(one.works)} leave no more over, the other batches as here")
    elif one.below is not None or one.above is not None:
        said.append("no other number leaves as little, the other batches as here")
    for value, leaves in ((one.below, one.below_leaves), (one.above, one.above_leaves)):
        if value is not None:
            said.append(
                f"with {value} there is no plan"
                if leaves is None
                else f"{value} leaves {leaves:.0f} g"
            )
    return "; ".join(said)


def _runs(numbers: Sequence[int]) -> str:
    """Write numbers as runs: 6 to 9, 12, 15."""
    found: list[list[int]] = []
    for value in numbers:
        if found and value == found[-1][1] + 1:
            found[-1][1] = value
        else:
            found.append([value, value])
    return ", ".join(f"{low}" if low == high else f"{low} to {high}" for low, high in found)


def _left(found: SizeFile) -> str:
    if not found.left_over:
        return "nothing, of the batches, opened packs and perishable packs bought for them"
    packs = sum(one.grams for one in found.packs)
    rest = found.left_over - packs
    said = [f"{rest:.0f} g of the batches and opened packs"] if rest >= 0.5 else []
    said += [f"{one.grams:.0f} g of {one.food} in its pack" for one in found.packs]
    return f"{found.left_over:.0f} g: {', '.join(said)}"


def _reaches(found: SizeFile) -> str:
    said = []
    for name, value in found.priorities.items():
        if name not in (TIE_BREAK, "left_over"):
            priority = PRIORITIES[name]
            said.append(f"{priority.title} {priority.number(value, found.currency)}")
    return ", ".join(said)
