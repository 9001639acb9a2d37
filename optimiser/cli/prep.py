"""The command for the prep day."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, Exit, OwnFoods, app, colour, is_there, show_json
from optimiser.cli.sheets import Force, Output, PlanName, planned, put

if TYPE_CHECKING:
    from models.answers.prep import PrepFile


@app.command(epilog="Example: clearfridge prep demo --svg prep.svg")
def prep(
    file: PlanName,
    svg: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw it into this SVG file too.")
    ] = None,
    chart: Annotated[
        bool, typer.Option("--chart/--no-chart", help="Draw bars below the table.")
    ] = True,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Put the steps of the batches in order, on one oven and one pair of hands.

    From 'steps' of the batches and 'kitchen' in the week file: done earliest, begun as late as
    that allows, soaking on the evening before, everything in the fridge within the cooling limit.
    Exit codes: 0 done, 1 it does not fit or no plan is possible, 2 bad input, 3 no plan within the
    time limit.
    """
    from optimiser.report.prep import text  # noqa: PLC0415
    from optimiser.sheets.prep import prep as order  # noqa: PLC0415

    if svg is not None and is_there(svg, "a drawing cannot be written there") and not force:
        raise InputError(str(svg), "it is there already", "Name another file, or --force.")
    _, week, packed = planned(file, foods)
    found = order(week, packed)
    if svg is not None:
        put(_drawing(found), svg, force=True)
    if as_json:
        show_json(found)
    else:
        put(text(found, colour=colour() and output is None, chart=chart), output, force=force)
    if not all(day.possible for day in found.days):
        raise typer.Exit(Exit.NO_PLAN)


def _drawing(found: PrepFile) -> str:
    from optimiser.report.prep import as_svg  # noqa: PLC0415

    days = [day for day in found.days if day.steps]
    if not days:
        raise InputError("--svg", "there is nothing to draw", "Write 'steps' for the batches.")
    return as_svg(days[0])
