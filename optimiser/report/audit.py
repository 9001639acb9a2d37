"""An audit as a reader sees it."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.audit import AuditFile
from models.words.numbers import counted, listed
from optimiser.report.console import beside, rendered


def text(audit: AuditFile, *, colour: bool = False, width: int = 80) -> str:
    """Write down what is wrong with a plan, or that nothing is.

    Parameters
    ----------
    audit
        What the audit found.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: each fault with its place and its rule, or
        what was looked at and is sound.

    Examples
    --------
    >>> from optimiser import audit, plan
    >>> print(text(audit(plan("minimal", reasons=False))).partition(";")[0])
    The plan keeps every rule of its week
    """
    if not audit.faults:
        return rendered(list(_sound(audit)), colour=colour, width=width)
    count = counted(len(audit.faults), "fault")
    parts: list[RenderableType] = [Text(f"{count} in this plan", style="bold")]
    for finding in audit.faults:
        body = Group(
            Text(finding.what), Text(f"rule {finding.rule}: {finding.sentence}", style="dim")
        )
        parts += ["", Text(finding.where, style="bold"), beside("", body, width=1)]
    return rendered(parts, colour=colour, width=width)


def _sound(audit: AuditFile) -> Iterator[RenderableType]:
    but = ", but for what it says gives way" if audit.gives_way else ""
    yield Text(
        f"The plan keeps every rule of its week{but}; its figures, dates, allergens and cautions "
        "are what its lunches come to."
    )
    yield from (beside("-", Text(place), width=1) for place in audit.gives_way)
    if audit.checked:
        yield Text(f"Proven here, by adding up: no plan is better in {listed(audit.checked)}.")
    if audit.taken_as_written:
        claims = "; ".join(audit.taken_as_written)
        yield Text(f"Taken as written, for only planning again can tell: {claims}.", style="dim")
