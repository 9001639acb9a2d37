"""The commands for other good weeks: others and trade-off."""

from __future__ import annotations

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
    from optimiser.solve.week import Solved


@app.command(epilog="Example: clearfridge others demo -n 3 --equal 1")
def others(
    file: WeekName,
    count: Annotated[int, typer.Option("-n", min=1, max=50, help="How many other weeks.")] = 5,
    equal: Annotated[
        int | None,
        typer.Option(
            min=0, max=20, metavar="K", help="As good in the first K priorities; 2 if left out."
        ),
    ] = None,
    save: Annotated[
        Path | None, typer.Option(metavar="PLAN", help="Keep one of them as a plan; see --week.")
    ] = None,
    week_number: Annotated[
        int | None, typer.Option("--week", min=1, metavar="N", help="Which one to keep.")
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for each plan.")
    ] = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find weeks as good in the first priorities and as different as can be.

    Exit codes: 0 found or none is there, 1 no plan is possible, 2 bad input, 3 no plan within
    the time limit, 130 interrupted (those found so far are shown).
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.planning import (  # noqa: PLC0415
        Found,
        write,
    )
    from optimiser.solve.limits import Stop  # noqa: PLC0415
    from optimiser.weeks.others import others as look  # noqa: PLC0415

    if (save is None) != (week_number is None):
        raise InputError("others", "--save and --week go together", "Write: --save NEW --week 1")
    if save is not None and is_there(save, "a plan cannot be written there"):
        raise InputError(str(save), "it is there already", "Name another file for the plan.")
    week = read_week(file, own_foods(foods))
    stop = Stop()
    found, plans = in_background(
        lambda say: look(week, count, equal=equal, seconds=seconds, stop=stop, say=say), stop
    )
    if save is not None and week_number is not None:
        from optimiser.cli.whole import write_whole  # noqa: PLC0415

        solved = _picked(plans, week_number)
        made = write(week, Found(solved, [], [], [], [], interrupted=False))
        write_whole(save, made.model_dump_json(indent=2) + "\n")
    if as_json:
        show_json(found)
    else:
        from optimiser.report.others import text  # noqa: PLC0415

        show(text(found, colour=colour()))
    raise typer.Exit(code_of(found.status, interrupted=found.interrupted))


def _picked(plans: list[Solved], number: int) -> Solved:
    if number >= len(plans):
        raise InputError(
            "--week", f"there is no other week {number}", f"{len(plans) - 1} were found."
        )
    return plans[number]


@app.command("trade-off", epilog="Example: clearfridge trade-off demo cost minutes")
def trade_off(
    file: WeekName,
    first: Annotated[str, typer.Argument(metavar="PRIORITY", help="One, as cost.")],
    second: Annotated[str, typer.Argument(metavar="PRIORITY", help="The other, as minutes.")],
    most: Annotated[
        int, typer.Option(min=1, max=500, help="How many compromises at the most.")
    ] = 50,
    svg: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw them into this SVG file too.")
    ] = None,
    chart: Annotated[
        bool, typer.Option("--chart/--no-chart", help="Draw a chart below the table.")
    ] = True,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find every best compromise between two priorities, each proven.

    Over all weeks that keep the rules; which week stands for a compromise, the other priorities
    settle. Exit codes: 0 done, 1 no plan is possible, 2 bad input, 130 interrupted.
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.explain.why import priority_of  # noqa: PLC0415
    from optimiser.solve.limits import Stop  # noqa: PLC0415
    from optimiser.weeks.others import trade_off as look  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    names = [priority_of(week, said, "PRIORITY") for said in (first, second)]
    if svg is not None and is_there(svg, "a drawing cannot be written there"):
        raise InputError(str(svg), "it is there already", "Name another file.")
    stop = Stop()
    found = in_background(lambda say: look(week, *names, most=most, stop=stop, say=say), stop)
    if svg is not None and found.points:
        from optimiser.cli.whole import write_whole  # noqa: PLC0415
        from optimiser.report.others import trade_off_svg  # noqa: PLC0415

        write_whole(svg, trade_off_svg(found))
    if as_json:
        show_json(found)
    else:
        from optimiser.report.others import trade_off_text  # noqa: PLC0415

        show(trade_off_text(found, colour=colour(), chart=chart))
    raise typer.Exit(code_of(found.status, interrupted=found.interrupted))
