"""An audit as a reader sees it."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from optimiser.auditing import Finding
from optimiser.report.console import beside, rendered


def text(findings: list[Finding], *, colour: bool = False, width: int = 80) -> str:
    """Write down what is wrong with a plan, or that nothing is."""
    if not findings:
        return "The plan keeps every rule of its week, and its figures add up.\n"
    count = len(findings)
    parts: list[RenderableType] = [
        Text(f"{count} {'fault' if count == 1 else 'faults'} in this plan", style="bold")
    ]
    for finding in findings:
        body = Group(
            Text(finding.what), Text(f"rule {finding.rule}: {finding.sentence}", style="dim")
        )
        parts += ["", Text(finding.where, style="bold"), beside("", body, width=1)]
    return rendered(parts, colour=colour, width=width)
