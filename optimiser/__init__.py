"""From a week to a plan. The public interface is what this module lists.

>>> import optimiser
>>> week = optimiser.read_week("demo")
>>> plan = optimiser.plan_week("demo")
>>> plan.status, plan.left_over.grams
('optimal', 0.0)
>>> optimiser.audit_plan(plan)
[]
>>> print(optimiser.render(plan).splitlines()[0])
Demo week  Mon 30 Nov to Fri 4 Dec 2026
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.answers.audit import Finding
    from models.answers.plan import PlanFile
    from models.week.week import Week

__all__ = ["audit_plan", "plan_week", "read_plan", "read_week", "render"]

# Each function imports what it needs: reading a week must not wait for a solver.


def read_week(file: str) -> Week:
    """Read a week file, a ready week by its name, or standard input for "-".

    Raises
    ------
    models.errors.InputError
        Saying where, what, and how to mend it.
    """
    from models.file import reading  # noqa: PLC0415

    return reading.read_week(file)


def plan_week(file: str, *, seconds: float | None = None, reasons: bool = True) -> PlanFile:
    """Plan the week in a file.

    Parameters
    ----------
    file
        As for `read_week`.
    seconds
        Time limit for the search; none when left out.
    reasons
        Whether to say why for each lunch.

    Raises
    ------
    models.errors.InputError
        Saying where, what, and how to mend it.
    """
    from models.file.reading import read_week as read  # noqa: PLC0415
    from optimiser.planning import plan_week as plan  # noqa: PLC0415

    return plan(read(file), seconds=seconds, reasons=reasons)


def read_plan(file: str) -> PlanFile:
    """Read a plan that was saved with `plan --save`.

    Raises
    ------
    models.errors.InputError
        Saying where, what, and how to mend it.
    """
    from models.file.planfile import read_plan as read  # noqa: PLC0415

    return read(file)


def audit_plan(plan: PlanFile, week: Week | None = None) -> list[Finding]:
    """Hold a plan against every rule of its week, or of another, with no solver.

    Raises
    ------
    models.errors.InputError
        When the plan names what the week has not.
    """
    from optimiser import auditing as audit  # noqa: PLC0415

    return audit.audit(plan, week)


def render(plan: PlanFile, *, colour: bool = False, width: int = 80) -> str:
    """Write a plan as a cook reads it."""
    from optimiser.report.plan import text  # noqa: PLC0415

    return text(plan, colour=colour, width=width)
