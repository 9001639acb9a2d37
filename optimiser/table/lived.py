"""The week that runs: its plans beside the file, the first as it was and one for each change.

A plan tells of every change before it; so which one is the week's now needs no list of its own.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from models.file.planfile import read_plan
from models.words.errors import InputError
from optimiser.table.opened import keep_beside

if TYPE_CHECKING:
    from datetime import date

    from models.answers.plan import PlanFile
    from models.week.week import Week


def beside(file: Path, plan: PlanFile, at: int) -> Path:
    """Say where a plan of a week that runs is kept.

    Parameters
    ----------
    file
        The week file.
    plan
        The plan.
    at
        How often the week was changed by then, 0 for the plan as it was first.

    Returns
    -------
    Path
        Beside the file.

    Examples
    --------
    >>> from optimiser import plan
    >>> beside(Path("week.yaml"), plan("minimal", reasons=False), 2).name
    'week-2026-11-30.2.plan.json'
    """
    return _beside(file, plan.days[0], at)


def _beside(file: Path, first: date, at: int) -> Path:
    number = f".{at}" if at else ""
    return file.with_name(f"{file.stem}-{first.isoformat()}{number}.plan.json")


def saved(plan: PlanFile) -> str:
    """Write a plan as it is kept.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        JSON, sealed.

    Examples
    --------
    >>> from optimiser import plan
    >>> saved(plan("minimal", reasons=False))[:1]
    '{'
    """
    return plan.sealed().model_dump_json(indent=2) + "\n"


def keep_first(file: Path, plan: PlanFile) -> None:
    r"""Keep the plan of a week as it was first, where it is not kept yet.

    Parameters
    ----------
    file
        The week file.
    plan
        The plan.

    Raises
    ------
    InputError
        When another stands there, or it cannot be written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser import plan
    >>> with TemporaryDirectory() as folder:
    ...     keep_first(Path(folder, "week.yaml"), plan("minimal", reasons=False))
    ...     [path.name for path in Path(folder).iterdir()]
    ['week-2026-11-30.plan.json']
    """
    path, text = beside(file, plan, 0), saved(plan)
    if path.is_symlink() or not (path.is_file() and path.read_bytes() == text.encode()):
        keep_beside(path, text)


def kept(file: Path, week: Week) -> tuple[PlanFile, ...]:
    """Read the plans of a week that runs.

    Parameters
    ----------
    file
        The week file.
    week
        What it says: plans of another week are none of its.

    Returns
    -------
    tuple of PlanFile
        The first as it was, then one for each change; empty where there was no change.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from models.file.reading import read_week
    >>> from optimiser import change, plan
    >>> first = plan("minimal", reasons=False)
    >>> then = change(first, "tue", no_lunch="wed").plan
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "week.yaml")
    ...     keep_first(file, first)
    ...     _ = beside(file, then, 1).write_text(saved(then))
    ...     [len(plan.changes) for plan in kept(file, read_week("minimal"))]
    [0, 1]
    """
    plans: list[PlanFile] = []
    while (path := _beside(file, week.days[0], len(plans))).is_file() and not path.is_symlink():
        try:
            plan = read_plan(str(path))
        except InputError:
            break
        follows = plan.changes[:-1] == plans[-1].changes if plans else not plan.changes
        if not follows or (not plans and plan.week != week.source.as_json()):
            break
        plans.append(plan)
    return tuple(plans) if len(plans) > 1 else ()
