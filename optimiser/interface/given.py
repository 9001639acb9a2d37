"""A week or a plan made of whatever is at hand: a name, a path, text, plain data, an object."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from models.words.errors import InputError

if TYPE_CHECKING:
    from models.answers.plan import PlanFile as Plan
    from models.foods.food import Food
    from models.week.packed import PackedWeek
    from models.week.week import Week

    WeekGiven: TypeAlias = Week | Plan | str | os.PathLike[str] | Mapping[str, Any]
    PlanGiven: TypeAlias = WeekGiven
    Files: TypeAlias = str | os.PathLike[str] | Iterable[str | os.PathLike[str]]

THE_TEXT = "the text"
"""What messages call a text that was given itself."""

PLANNED_IN = 60.0
"""Seconds for the plan of a week that is planned to be printed."""


@dataclass(frozen=True, slots=True)
class File:
    """The name of a file, letter for letter, even where it looks like text."""

    name: str

    def __fspath__(self) -> str:
        """Give the name."""
        return self.name


class NoPlanError(InputError):
    """A sheet was asked for of a week that has no plan.

    Attributes
    ----------
    plan
        What was answered instead: its `status`, and in `conflict` the rules that clash.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        outcome = (
            "no plan is possible" if plan.status == "infeasible" else "no plan was found in time"
        )
        rules = "; ".join(rule.sentence for rule in plan.conflict)
        what = f"{outcome}: {rules}" if rules else outcome
        super().__init__(plan.name or "the week", what, "See what would mend it: mend.")


@dataclass(frozen=True, slots=True)
class Printed:
    """All that a kitchen sheet is printed from.

    Attributes
    ----------
    plan
        The plan.
    week
        Its week.
    packed
        What it packs.
    """

    plan: Plan
    week: Week
    packed: PackedWeek


def read_week(week: WeekGiven, foods: Files = ()) -> Week:
    r"""Read a week.

    Parameters
    ----------
    week
        The path of a week file, the name of a ready week, the text of a week file, the same as
        plain data (dictionaries, lists, text, numbers, dates), a week that was read before, or a
        plan, whose week it is then.
    foods
        Paths of tables of your own foods, which go before those of the program: a CSV as
        `clearfridge food NAME --csv` begins one, or a download of USDA FoodData Central.

    Returns
    -------
    Week
        Frozen; its amounts carry units.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> week = read_week("demo")
    >>> len(week.days) == len({lunch.day for lunch in week.lunches})
    True
    >>> read_week("week: {starts: 2026-11-30}\n")
    Traceback (most recent call last):
    ...
    models.words.errors.InputError: the text, line 1, column 1: 'eaters' is missing
    Add it here, as in 'eaters: {Ann: {}}'. (At least 1 more fault in this file after this one.)
    """
    from models.answers.plan import PlanFile  # noqa: PLC0415
    from models.file import planfile, reading, yamltext  # noqa: PLC0415
    from models.week.week import Week as Read  # noqa: PLC0415

    if isinstance(week, Read):
        return week
    if isinstance(week, PlanFile):
        return planfile.embedded_week(week)
    own = own_foods(foods)
    if isinstance(week, Mapping):
        return reading.week_of(week, own)
    if _is_text(week):
        return reading.week_of(yamltext.parse(THE_TEXT, str(week)), own)
    try:
        file = os.fspath(week)
    except TypeError:
        what = f"a value of type {type(week).__name__} is no week"
        mend = "Give a path, text, plain data, or what was read."
        raise InputError("the week", what, mend) from None
    return reading.read_week(file, own)


def read_plan(plan: PlanGiven) -> Plan:
    """Read a plan that was saved: by `clearfridge plan --save`, or as `plan.model_dump_json()`.

    Parameters
    ----------
    plan
        Its path, its text, or a plan.

    Returns
    -------
    Plan
        Frozen, as `plan` gives it. What it says of its week is not judged: `audit` does that.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> read_plan(made.model_dump_json()) == made
    True
    """
    from models.answers.plan import PlanFile  # noqa: PLC0415
    from models.file import planfile  # noqa: PLC0415

    if isinstance(plan, PlanFile):
        return plan
    if not isinstance(plan, (str, os.PathLike)):
        raise InputError("the plan", "this is a week and no plan", "Plan it first: plan(week).")
    if _is_text(plan):
        return planfile.plan_of(THE_TEXT, str(plan))
    return planfile.read_plan(os.fspath(plan))


def source_of(given: PlanGiven) -> str:
    """Say what messages call a plan that is given so.

    Parameters
    ----------
    given
        A path, a text, or a plan.

    Returns
    -------
    str
        Its path, "standard input", or that it is the text or the plan.

    Examples
    --------
    >>> source_of("plan.json"), source_of("-")
    ('plan.json', 'standard input')
    """
    if isinstance(given, (str, os.PathLike)):
        file = os.fspath(given)
        return THE_TEXT if _is_text(given) else "standard input" if file == "-" else file
    return "the plan"


def printed(
    given: PlanGiven | Printed,
    foods: Files = (),
    *,
    reasons: bool = False,
    seconds: float = PLANNED_IN,
) -> Printed:
    """Make a plan to print from: one that was saved, or that of a week, planned first.

    Parameters
    ----------
    given
        The path or text of a plan or of a week, the name of a ready week, or either itself.
    foods
        Paths of tables of own foods, for a week.
    reasons
        Whether to ask why for each lunch, of a week.
    seconds
        Time limit for the plan of a week, reasons included.

    Returns
    -------
    Printed
        The plan, its week, and the same as a packed week.

    Raises
    ------
    NoPlanError
        When the week has no plan.
    InputError
        When it is neither, or the plan breaks its week.

    Examples
    --------
    >>> held = printed("minimal")
    >>> len(held.plan.lunches) == len(held.packed.lunches)
    True
    """
    from models.week.week import Week as Read  # noqa: PLC0415

    if isinstance(given, Printed):
        return given
    held, source = _plan_or_week(given, foods)
    if isinstance(held, Read):
        return _planned(held, reasons, seconds)
    return _checked(held, source)


def plan_and_source(given: PlanGiven) -> tuple[Plan, str]:
    """Make a plan of what is given, that of a week first, and say what messages call it.

    Parameters
    ----------
    given
        The path or text of a plan or of a week, the name of a ready week, or either itself; a
        `File` is a saved plan and nothing else.

    Returns
    -------
    tuple of Plan and str
        The plan as it is, not judged, and what messages call it.

    Raises
    ------
    NoPlanError
        When the week has no plan.
    InputError
        When it is neither.

    Examples
    --------
    >>> made, source = plan_and_source("minimal")
    >>> made.status, source
    ('optimal', 'the plan')
    """
    from models.week.week import Week as Read  # noqa: PLC0415

    if isinstance(given, File):
        return read_plan(given), source_of(given)
    held, source = _plan_or_week(given)
    if isinstance(held, Read):
        return _planned(held, reasons=False, seconds=PLANNED_IN).plan, "the plan"
    return held, source


def _plan_or_week(given: PlanGiven, foods: Files = ()) -> tuple[Plan | Week, str]:
    """Read either, and say what messages call it."""
    from models.answers.plan import PlanFile  # noqa: PLC0415
    from models.file import reading  # noqa: PLC0415
    from models.file.planfile import LARGEST_BYTES, plan_of  # noqa: PLC0415
    from models.words.text import read_text  # noqa: PLC0415

    if isinstance(given, PlanFile):
        return given, "the plan"
    if not isinstance(given, (str, os.PathLike)) or os.fspath(given) in reading.ready_weeks():
        return read_week(given, foods), "the week"
    source, text = THE_TEXT, os.fspath(given)
    if not _is_text(given):
        source, text = read_text(text, LARGEST_BYTES, "Name a plan or a week file.")
    if text.lstrip().startswith("{") and '"clearfridge plan 1"' in text:
        return plan_of(source, text), source
    from models.file import yamltext  # noqa: PLC0415

    return reading.week_of(yamltext.parse(source, text), own_foods(foods)), source


def _planned(week: Week, reasons: bool, seconds: float) -> Printed:
    from optimiser.auditing import packed_of  # noqa: PLC0415
    from optimiser.interface.asked import plan  # noqa: PLC0415

    made = plan(week, seconds=seconds, reasons=reasons)
    if not made.is_planned:
        raise NoPlanError(made)
    return Printed(made, week, packed_of(made, week))


def _checked(made: Plan, source: str) -> Printed:
    """Hold a plan against its own week; sheets are not printed of one that breaks it."""
    from models.file.planfile import embedded_week  # noqa: PLC0415
    from optimiser.auditing import audit, packed_of  # noqa: PLC0415

    if not made.is_planned:
        raise InputError(source, "this plan has no lunches", "Plan the week again.")
    week = embedded_week(made, source)
    faults = audit(made, week, source)
    if faults:
        raise InputError(
            source,
            f"this plan breaks its own week: {faults[0].where}: {faults[0].what}",
            f"See: clearfridge audit {source}. Then mend it, or plan again.",
        )
    return Printed(made, week, packed_of(made, week, source))


def own_foods(files: Files) -> tuple[Food, ...]:
    """Read the user's own food tables; of two that name the same food the last one holds.

    Parameters
    ----------
    files
        A path, or several: tables, or downloads of USDA FoodData Central (a folder or a zip).

    Returns
    -------
    tuple[Food, ...]
        Their foods in the order of the files.

    Raises
    ------
    InputError
        When a file cannot be read, or a row of it.

    Examples
    --------
    >>> own_foods(())
    ()
    """
    foods: list[Food] = []
    each = [files] if isinstance(files, (str, os.PathLike)) else files
    for file in [os.fspath(name) for name in each]:
        # A download is a folder or a zip; everything else is taken for a table.
        if file != "-" and (Path(file).is_dir() or file.casefold().endswith(".zip")):
            from models.foods.fdc import read_fdc  # noqa: PLC0415

            foods += read_fdc(file)
        else:
            from models.foods.own_table import read_own  # noqa: PLC0415
            from models.foods.storage import class_names, storage  # noqa: PLC0415

            kept = storage()
            names = {*kept, *(name for entry in kept.values() for name in entry.names)}
            foods += read_own(file, frozenset(names | set(class_names())))
    return tuple(foods)


def _is_text(given: str | os.PathLike[str]) -> bool:
    """Tell a text from a path: it has several lines, or is JSON."""
    return isinstance(given, str) and ("\n" in given or given.lstrip().startswith("{"))
