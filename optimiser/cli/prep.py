"""The command for the prep day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, Exit, OwnFoods, Svg, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put, to_write
from optimiser.interface import sheets

if TYPE_CHECKING:
    from models.answers.prep import PrepFile


@app.command(epilog="Example: clearfridge prep demo --svg prep.svg")
def prep(
    file: PlanName,
    svg: Svg = None,
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
    time limit, 130 interrupted.
    """
    drawn = to_write(svg, file, foods, force=force)
    place = to_write(output, file, foods, as_json=as_json, force=force)
    answer = sheets.prep(planned(file, foods))
    if drawn is not None:
        put(_drawing(answer), drawn)
    tell_or_put(answer, place, as_json=as_json, chart=chart)
    if not all(day.possible for day in answer.days):
        raise typer.Exit(Exit.NO_PLAN)


def _drawing(answer: PrepFile) -> str:
    from optimiser.report.prep import as_svg  # noqa: PLC0415

    days = [day for day in answer.days if day.steps]
    if not days:
        raise InputError("--svg", "there is nothing to draw", "Write 'steps' for the batches.")
    return as_svg(days[0])
