"""The command that plans a week."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import (
    AsJson,
    Cluster,
    Full,
    OwnFoods,
    SecondsWithReasons,
    WeekName,
    app,
    code_of,
    safe,
    tell,
    week_in,
)
from optimiser.interface import asked
from optimiser.interface.given import File
from optimiser.interface.history import history, is_folder

if TYPE_CHECKING:
    from models.week.week import Week


class NoRepeats(StrEnum):
    """What may not come twice."""

    DISH = "dish"
    KIND = "kind"
    ALL = "all"


EXAMPLES = """\
Example: clearfridge plan demo --save plan.json

Example: clearfridge plan weeks -o plans --no-reasons

Example: clearfridge plan starter --no-reasons --prefer 'Grain bowl on tue'

Example: clearfridge plan family --no-reasons --prefer 'Pancakes and pork on 2026-12-02 for Tove'
"""


_Save = Annotated[Path | None, typer.Option(metavar="PLAN", help="Keep the plan in this file.")]
_Reasons = Annotated[bool, typer.Option("--reasons/--no-reasons", help="Say why for each lunch.")]
_Prefer = Annotated[
    list[str] | None,
    typer.Option(
        metavar="WISH",
        help="Have a dish on a day: 'Soup and toast on tue', "
        "of several eaters 'Soup and toast on tue for Ada'.",
    ),
]
_NoRepeats = Annotated[
    NoRepeats | None,
    typer.Option(
        help="No dish twice; 'kind': no kind of dish twice; 'all': nothing chosen twice, "
        "not in one lunch, where at all possible. What it costs is said.",
    ),
]
_After = Annotated[
    list[str] | None,
    typer.Option(
        metavar="PLAN",
        help="With what was eaten in this saved plan counted as had lately; or a folder of "
        "plans: those of the four weeks before.",
    ),
]
_Bends = Annotated[
    bool,
    typer.Option(
        "--bends",
        help="Say what is left over if a lunch falls through; of equal plans take "
        "the one that stands most.",
    ),
]
_Nearest = Annotated[
    bool,
    typer.Option(
        "--nearest",
        help="Where no week keeps every rule, plan the one in which least gives way: variety, "
        "then floors, and at last a lunch is to buy; never what keeps food safe.",
    ),
]
_Keep = Annotated[
    str | None,
    typer.Option(metavar="PLAN", help="Change as few lunches of this saved plan as can be."),
]


_Into = Annotated[
    Path | None,
    typer.Option(
        "--into",
        "-o",
        metavar="FOLDER",
        help="Where FILE is a folder: plan every week file in it, and keep the plans here. What "
        "an earlier run planned there is kept where nothing has changed.",
    ),
]


@app.command(epilog=EXAMPLES)
def plan(
    file: WeekName,
    save: _Save = None,
    seconds: SecondsWithReasons = 60.0,
    reasons: _Reasons = True,
    prefer: _Prefer = None,
    no_repeats: _NoRepeats = None,
    after: _After = None,
    bends: _Bends = False,
    nearest: _Nearest = False,
    keep: _Keep = None,
    into: _Into = None,
    cluster: Cluster = None,
    full: Full = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the best week, and say why for each lunch.

    Exit codes: 0 a plan, 1 none is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted (the best plan so far is shown). Of a folder: 2 where a file
    was refused, else 1 where a week has no plan; the others are planned all the same.
    """
    from optimiser.interface.whole import plan_target, write_whole  # noqa: PLC0415

    of_one = {"--save": save, "--prefer": prefer, "--after": after, "--keep": keep, "--full": full}
    if _is_of_weeks(file, of_one, {"--into": into, "--cluster": cluster}):
        from optimiser.cli.folder import plan_folder  # noqa: PLC0415

        ways = asked.Ways(seconds, reasons, _way(no_repeats), bends, nearest, proofs=True)
        plan_folder(file, ways, foods or [], into=into, cluster=cluster, as_json=as_json)
    week = week_in(file, foods)
    read = [file, *(foods or ()), *(after or ())]
    place = None if save is None else plan_target(save, *read)
    _say_what_is_skipped(week, after or [])
    made = asked.plan(
        week,
        seconds=seconds,
        reasons=reasons,
        prefer=prefer or (),
        no_repeats=_way(no_repeats),
        after=[File(name) for name in after or []],
        keep=None if keep is None else File(keep),
        bends=bends,
        nearest=nearest,
        proofs=save is not None,
    )
    if place is not None and made.is_planned:
        write_whole(place, made.model_dump_json(indent=2) + "\n")
    tell(made, as_json=as_json, full=full)
    raise typer.Exit(code_of(made.status, interrupted=made.interrupted))


def _way(no_repeats: NoRepeats | None) -> asked.NotTwice | None:
    return None if no_repeats is None else no_repeats.value


def _is_of_weeks(file: str, of_one: Mapping[str, object], of_weeks: Mapping[str, object]) -> bool:
    """Tell whether a folder is given, and refuse options that say nothing of what is given."""
    many = is_folder(file)
    what, mend = (
        ("it is of one week, and this is a folder of weeks", "Leave it out.")
        if many
        else ("it is for a folder of weeks", "Use --save.")
    )
    for name, value in (of_one if many else of_weeks).items():
        if value:
            raise InputError(name, what, mend)
    return many


def _say_what_is_skipped(week: Week, after: list[str]) -> None:
    """Name, beside the answer, the files of a folder that do not count as eaten."""
    for folder in filter(is_folder, after):
        for name, why in history(folder, min(week.days)).skipped:
            sys.stderr.write(f"clearfridge: not counted as eaten: {safe(f'{name}: {why}')}\n")
