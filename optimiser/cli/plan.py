"""The command that plans a week."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import (
    AsJson,
    OwnFoods,
    WeekName,
    app,
    code_of,
    colour,
    in_background,
    is_there,
    own_foods,
    show,
    show_json,
)

if TYPE_CHECKING:
    from models.answers.plan import PlanFile
    from models.week.packed import PackedWeek
    from models.week.week import Week
    from optimiser.explain.wishes import Wish
    from optimiser.weeks.repeats import Repeats


class NoRepeats(StrEnum):
    """What may not come twice."""

    DISH = "dish"
    KIND = "kind"
    ALL = "all"


@app.command(epilog="Example: clearfridge plan demo --save plan.json")
def plan(
    file: WeekName,
    save: Annotated[
        Path | None, typer.Option(metavar="PLAN", help="Keep the plan in this file.")
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the search.")
    ] = 60.0,
    reasons: Annotated[
        bool, typer.Option("--reasons/--no-reasons", help="Say why for each lunch.")
    ] = True,
    prefer: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="Have a dish on a day: 'Stuffed pitta on tue'."),
    ] = None,
    no_repeats: Annotated[
        NoRepeats | None,
        typer.Option(
            help="No dish twice; 'kind': no kind of dish twice; 'all': choices too, where at all "
            "possible. What it costs is said.",
        ),
    ] = None,
    after: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PLAN", help="With what was eaten in this saved plan counted as had lately."
        ),
    ] = None,
    bends: Annotated[
        bool,
        typer.Option(
            "--bends",
            help="Say what is left over if a lunch falls through; of equal plans take "
            "the one that stands most.",
        ),
    ] = False,
    keep: Annotated[
        str | None,
        typer.Option(metavar="PLAN", help="Change as few lunches of this saved plan as can be."),
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the best week, and say why for each lunch.

    Exit codes: 0 a plan, 1 none is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted (the best plan so far is shown).
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.cli.whole import write_whole  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    if save is not None:
        may_replace(save)
    wishes = _wishes(week, prefer)
    near = None if keep is None else packed_before(week, keep)
    varied = _varied(week, no_repeats, after)
    made = _planned(
        week,
        seconds,
        reasons=reasons,
        prefer=wishes,
        near=near,
        varied=varied,
        bend=bends,
    )
    if save is not None and made.lunches:
        write_whole(save, made.model_dump_json(indent=2) + "\n")
    if as_json:
        show_json(made)
    else:
        from optimiser.report.plan import text  # noqa: PLC0415

        show(text(made, colour=colour()))
    raise typer.Exit(code_of(made.status, interrupted=made.interrupted))


def may_replace(path: Path) -> None:
    """Refuse to write over anything but a plan."""
    if is_there(path, "a plan cannot be written there"):
        from models.file.planfile import read_plan  # noqa: PLC0415

        try:
            read_plan(str(path))
        except InputError:
            raise InputError(
                str(path), "it is there already and is no plan", "Name another file for the plan."
            ) from None


def _wishes(week: Week, said: list[str] | None) -> list[Wish]:
    if not said:
        return []
    from optimiser.explain.wishes import wish_of  # noqa: PLC0415

    return [wish_of(week, one, "--prefer") for one in said]


def packed_before(week: Week, file: str) -> PackedWeek:
    """Read a saved plan of this week."""
    from models.file.planfile import read_plan  # noqa: PLC0415
    from optimiser.auditing import packed_of  # noqa: PLC0415

    saved = read_plan(file)
    if not {line.date for line in saved.lunches} <= set(week.days):
        raise InputError(file, "this plan is of another week", "Name a plan of the same days.")
    return packed_of(saved, week, file)


def _varied(week: Week, way: NoRepeats | None, after: list[str] | None) -> list[Repeats]:
    """Give what may not come again; plans of other weeks alone ask for no dish twice."""
    if way is None and not after:
        return []
    from models.file.planfile import read_plan  # noqa: PLC0415
    from optimiser.weeks.repeats import asked  # noqa: PLC0415

    eaten: list[tuple[str, str]] = []
    for file in after or []:
        saved = read_plan(file)
        if not saved.lunches:
            raise InputError(file, "this plan has no lunches", "Name a plan that was eaten.")
        if max(line.date for line in saved.lunches) >= min(week.days):
            same = {line.date for line in saved.lunches} & set(week.days)
            what = "this plan is of the same days" if same else "this plan is of later days"
            raise InputError(file, what, "Name the plan of a week before.")
        eaten += [(line.eater, line.dish) for line in saved.lunches]
    return asked("dish" if way is None else way.value, eaten)


def _planned(
    week: Week,
    seconds: float,
    *,
    reasons: bool,
    prefer: list[Wish],
    near: PackedWeek | None,
    varied: list[Repeats],
    bend: bool,
) -> PlanFile:
    from optimiser.planning import plan_week  # noqa: PLC0415
    from optimiser.solve.limits import Stop  # noqa: PLC0415

    stop = Stop()
    return in_background(
        lambda say: plan_week(
            week,
            seconds=seconds,
            stop=stop,
            reasons=reasons,
            prefer=prefer,
            near=near,
            varied=varied,
            bend=bend,
            say=say,
        ),
        stop,
    )
