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
from optimiser.report.plan import sourced


def text(found: MendFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the ways to mend a week, the smallest first."""
    parts: list[RenderableType] = [
        words((found.name or UNNAMED, "bold"), f"  wanted: {found.goal}"),
        "",
    ]
    if found.already:
        parts.append(Text("The week achieves it as it is. Nothing needs to be changed."))
    elif not found.ways:
        parts += list(_none(found))
        if found.held:
            said = " or ".join(PRIORITIES[name].title for name in found.held)
            parts.append(Text(f"Looked for among weeks that lose nothing in {said}."))
    for at, way in enumerate(found.ways, start=1):
        parts += [*_way(found, at, way), ""]
    if found.ways:
        parts.append(Text(_ending(found), style="dim"))
    paths = [step for way in found.ways for change in way.changes for step in change.path]
    if "ceilings" in paths or "week_ceilings" in paths:
        said = "A ceiling that a doctor or dietitian set is theirs to change, not a plan's."
        parts.append(Text(said))
    return rendered(parts, colour=colour, width=width)


def _none(found: MendFile) -> Iterator[RenderableType]:
    if found.blocked:
        yield Text("No change achieves it. These rules stand in the way, and they stay:")
        yield Group(*(beside("-", Text(sourced(rule)), width=1) for rule in found.blocked))
        yield Text(
            "If one of them is not so with you (something that does freeze, a microwave), say so "
            "in the file."
        )
    elif found.complete:
        yield Text("No change of up to a few steps of each rule achieves it.")
    else:
        yield Text("None was found in time.")


def _way(found: MendFile, at: int, way: Way) -> Iterator[RenderableType]:
    lines: list[RenderableType] = []
    for change in way.changes:
        when = "on the prep day: " if change.prep else ""
        lines.append(Text(f"{when}{change.text}", style="bold"))
        place = " > ".join(_step(step) for step in change.path)
        lines.append(Text(f"in the file: {place}: {change.becomes}", style="dim"))
    lines.append(Text(f"then  {', '.join(way.dishes)}"))
    lines.append(Text(_values(found, way)))
    yield beside(str(at), Group(*lines), width=2)


def _step(step: str | int) -> str:
    if isinstance(step, int):
        return f"entry {step + 1}"
    return NUTRIENTS[step].name if step in NUTRIENTS else step


def _values(found: MendFile, way: Way) -> str:
    said = []
    for name, value in way.values.items():
        if name != TIE_BREAK and found.now.get(name) != value:
            said.append(PRIORITIES[name].titled(value, found.currency))
    if not found.now:
        return ", ".join(said)
    return f"changes: {', '.join(said)}" if said else "nothing else changes"


def _ending(found: MendFile) -> str:
    more = (
        "There are no others that change other things."
        if found.complete
        else ("There may be more: -n asks for them.")
    )
    if found.interrupted:
        more = "You stopped the search: there may be more."
    return (
        f"{more} Each was planned anew from the changed file. Safety rules are never among the "
        "changes. To write one: --take 1 -o NEW.yaml"
    )
