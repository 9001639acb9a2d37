"""What would mend a week, as a cook reads it."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.mend import MendFile, Way
from models.words.nutrients import NUTRIENTS
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.phrases import cut_short, sourced


def text(answer: MendFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the ways to mend a week, the smallest first.

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
        Lines wrapped at `width`, the last one ended: each way with its number and its plan, or
        that there is none.

    Examples
    --------
    >>> from optimiser import mend
    >>> print(text(mend("minimal")).splitlines()[2])
    The week achieves it as it is. Nothing needs to be changed.
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), f"  wanted: {answer.goal}"),
        "",
    ]
    if answer.already:
        parts.append(Text("The week achieves it as it is. Nothing needs to be changed."))
    elif not answer.ways:
        parts += list(_none(answer))
        if answer.held:
            note = " or ".join(PRIORITIES[name].title for name in answer.held)
            parts.append(Text(f"Looked for among weeks that lose nothing in {note}."))
    for at, way in enumerate(answer.ways, start=1):
        parts += [*_way(answer, at, way), ""]
    if answer.ways:
        parts.append(Text(_ending(answer), style="dim"))
    paths = [step for way in answer.ways for change in way.changes for step in change.path]
    if "ceilings" in paths or "week_ceilings" in paths:
        note = "A ceiling that a doctor or dietitian set is theirs to change, not a plan's."
        parts.append(Text(note))
    return rendered(parts, colour=colour, width=width)


def _none(answer: MendFile) -> Iterator[RenderableType]:
    if answer.blocked:
        yield Text("No change achieves it. These rules stand in the way, and they stay:")
        yield Group(*(beside("-", Text(sourced(rule)), width=1) for rule in answer.blocked))
        yield Text(
            "If one of them is not so with you (something that does freeze, a microwave), say so "
            "in the file."
        )
    elif answer.complete:
        yield Text(f"No change that was looked for achieves it: {answer.looked_for}.")
    else:
        yield Text("None was found in time.")


def _way(answer: MendFile, at: int, way: Way) -> Iterator[RenderableType]:
    lines: list[RenderableType] = []
    for change in way.changes:
        when = "on the prep day: " if change.prep else ""
        lines.append(Text(f"{when}{change.text}", style="bold"))
        place = " > ".join(_step(step) for step in change.path)
        lines.append(Text(f"in the file: {place}: {change.becomes}", style="dim"))
    lines.append(Text(f"then  {'; '.join(way.dishes)}"))
    lines.append(Text(values_said(answer, way)))
    yield beside(str(at), Group(*lines), width=2)


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return f"entry {step + 1}"
    return NUTRIENTS[step].name if step in NUTRIENTS else step


def values_said(answer: MendFile, way: Way) -> str:
    """Say what else changes in the priorities with a way, or what they come to.

    Parameters
    ----------
    answer
        The answer it is of.
    way
        One of its ways.

    Returns
    -------
    str
        Values in the order of the priorities.

    Examples
    --------
    >>> from optimiser import mend
    >>> answer = mend("impossible", count=1)
    >>> values_said(answer, answer.ways[0]).partition(",")[0]
    'left over 580 g'
    """
    reached = []
    for name, value in way.values.items():
        # Of a week without prices 0.00 is no cost.
        free = name == "cost" and not value
        if name != TIE_BREAK and answer.now.get(name) != value and not free:
            reached.append(PRIORITIES[name].titled(value, answer.currency))
    if not answer.now:
        return ", ".join(reached)
    return f"changes: {', '.join(reached)}" if reached else "nothing else changes"


def _ending(answer: MendFile) -> str:
    label = any(change.label for way in answer.ways for change in way.changes)
    read = " (--label-read as well, once its label is read)" if label else ""
    more = (
        f"No others that change other things are among those looked for: {answer.looked_for}."
        if answer.complete
        else ("There may be more: -n asks for them.")
    )
    if ended := cut_short(answer):
        more = f"{ended}: there may be more."
    return (
        f"{more} Each was planned anew from the changed file. Safety rules are never among the "
        f"changes, and no label is taken as read. To write one: --take 1 -o NEW.yaml{read}"
    )
