"""What came of a folder of weeks: the numbers first, then each week that has no proven plan."""

from __future__ import annotations

from collections import Counter

from rich.console import RenderableType
from rich.text import Text

from models.answers.folder import FolderFile, FolderRow, RowStatus
from models.words.numbers import counted, listed
from optimiser.report.console import beside, rendered, words

MOST_NAMED = 12
"""How many plans are named in a line; a folder may hold those of a thousand other weeks."""
SAID: dict[RowStatus, str] = {
    "optimal": "planned and proven",
    "feasible": "planned, not proven",
    "infeasible": "no plan is possible",
    "unknown": "no plan in the time",
    "refused": "refused",
    "fault": "a fault of ours",
}


def text(answer: FolderFile, *, colour: bool = False, width: int = 80) -> str:
    """Write what came of a folder of weeks.

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
        Lines wrapped at `width`, the last one ended.

    Examples
    --------
    >>> rows = [FolderRow(week="a.yaml", status="optimal", left_over=0),
    ...         FolderRow(week="b.yaml", status="refused", why="line 2: 'teusday' is no day")]
    >>> print(text(FolderFile(folder="weeks", into="plans", planned=2, rows=rows)))
    weeks  2 weeks
    <BLANKLINE>
    planned and proven   1
    refused              1
    left over            nothing in 1
    <BLANKLINE>
    b.yaml  refused: line 2: 'teusday' is no day
    <BLANKLINE>
    Plans are in plans, with a row for each week in summary.csv.
    <BLANKLINE>
    """
    times = Counter(row.status for row in answer.rows)
    total = len(answer.rows) + answer.left
    parts: list[RenderableType] = [
        words((answer.folder, "bold"), f"  {counted(total, 'week')}"),
        "",
    ]
    for status, label in SAID.items():
        if times[status]:
            parts.append(beside(label, Text(str(times[status])), width=20))
    if any(row.left_over is not None for row in answer.rows):
        parts.append(beside("left over", Text(_left(answer.rows)), width=20))
    if answer.kept:
        parts.append(beside("of an earlier run", Text(str(answer.kept)), width=20))
    others = [row for row in answer.rows if row.status != "optimal"]
    if others:
        parts.append("")
    parts += [Text(_other(row)) for row in others]
    parts.append("")
    if answer.aside:
        named = _some([f"{name}.old" for name in answer.aside])
        parts.append(Text(f"Set aside, for their weeks have no plan now: {named}."))
    if answer.others:
        parts.append(Text(f"There too, and of no week of this run: {_some(answer.others)}."))
    if answer.left:
        ended = "Interrupted: " if answer.interrupted else ""
        parts.append(Text(f"{ended}{counted(answer.left, 'week')} left. Run it again to go on."))
    parts.append(Text(f"Plans are in {answer.into}, with a row for each week in summary.csv."))
    return rendered(parts, colour=colour, width=width)


def _some(names: list[str]) -> str:
    """Name the first of many; --json has them all."""
    rest = len(names) - MOST_NAMED
    return listed([*names[:MOST_NAMED], f"{rest} more"] if rest > 1 else names)


def _other(row: FolderRow) -> str:
    return f"{row.week}  {SAID[row.status]}" + (f": {row.why}" if row.why else "")


def _left(rows: list[FolderRow]) -> str:
    left = [row.left_over for row in rows if row.left_over is not None]
    some = [grams for grams in left if grams]
    nothing = f"nothing in {len(left) - len(some)}"
    return nothing if not some else f"{nothing}; {sum(some):.0f} g in {len(some)}, in all"
