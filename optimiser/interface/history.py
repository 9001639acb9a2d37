"""A folder of saved plans as what was eaten: those of the weeks before, the newest last."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from models.words.errors import InputError

if TYPE_CHECKING:
    from models.answers.plan import PlanFile as Plan

LATELY = timedelta(days=28)
"""How long ago the last lunch of a plan may be for it to count: common practice, no source."""


@dataclass(frozen=True, slots=True)
class History:
    """What a folder holds.

    Attributes
    ----------
    plans
        Plans of the weeks before that count, by the day of their first lunch; of a week that was
        changed while it ran the last alone.
    skipped
        Names of files that are no such plan, each with why.
    """

    plans: tuple[Plan, ...]
    skipped: tuple[tuple[str, str], ...]


def is_folder(given: object) -> bool:
    """Tell whether what is given is the path of a folder.

    Parameters
    ----------
    given
        Anything that a caller gives for a plan.

    Returns
    -------
    bool
        False too where it is no path, or none that can be.

    Examples
    --------
    >>> is_folder("."), is_folder("no such thing")
    (True, False)
    """
    if not isinstance(given, (str, os.PathLike)):
        return False
    try:
        return Path(given).is_dir()
    except (OSError, ValueError):
        return False


def history(folder: str | os.PathLike[str], before: date) -> History:
    """Read the plans in a folder.

    Parameters
    ----------
    folder
        Its path. Hidden files and folders inside it are passed over.
    before
        The first day of the week to plan: plans with a lunch on that day or later do not count, nor
        those whose last lunch is more than four weeks before.

    Returns
    -------
    History
        Those that count, one or more, and the other files, each with why.

    Raises
    ------
    InputError
        When no plan in it counts.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> with TemporaryDirectory() as folder:
    ...     _ = (Path(folder) / "plan.json").write_text(made.model_dump_json())
    ...     _ = (Path(folder) / "notes.json").write_text("{}")
    ...     kept = history(folder, made.days[-1] + timedelta(days=1))
    >>> len(kept.plans), [name for name, _ in kept.skipped]
    (1, ['notes.json'])
    """
    from models.file.planfile import read_plan  # noqa: PLC0415

    plans: list[Plan] = []
    skipped: list[tuple[str, str]] = []
    there = (path for path in sorted(Path(folder).iterdir()) if not path.name.startswith("."))
    for path in (path for path in there if path.is_file()):
        try:
            plan = read_plan(str(path))
        except InputError as fault:
            skipped.append((path.name, fault.what))
            continue
        last = max((line.date for line in plan.lunches), default=None)
        if last is None:
            skipped.append((path.name, "this plan has no lunches"))
        elif last >= before:
            skipped.append((path.name, "this plan is not of a week before"))
        elif before - last <= LATELY:
            plans.append(plan)
    if not plans:
        raise InputError(
            os.fspath(folder),
            "no plan of the four weeks before is in this folder",
            "Keep plans there: clearfridge plan WEEK --save FOLDER/PLAN.json",
        )
    lived = [plan for plan in plans if not any(_goes_on(later, plan) for later in plans)]
    lived.sort(key=lambda plan: plan.lunches[0].date)
    return History(tuple(lived), tuple(skipped))


def _goes_on(later: Plan, plan: Plan) -> bool:
    """Tell whether one plan is another after a change: the other was not eaten then."""
    told = len(plan.changes)
    same = (later.name, later.days) == (plan.name, plan.days)
    return same and len(later.changes) > told and later.changes[:told] == plan.changes
