"""The command that finds compromises between two priorities."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from optimiser.cli.app import (
    AsJson,
    Chart,
    OwnFoods,
    SecondsIfAny,
    WeekName,
    app,
    code_of,
    tell,
    week_in,
)
from optimiser.interface import asked


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
    chart: Chart = True,
    seconds: SecondsIfAny = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find every best compromise between two priorities, each proven.

    Over all weeks that keep the rules; which week stands for a compromise, the other priorities
    settle. Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted.
    """
    week = week_in(file, foods)
    from optimiser.interface.whole import new_file, write_whole  # noqa: PLC0415

    place = None if svg is None else new_file(svg, "a drawing cannot be written there")
    answer = asked.trade_off(week, first, second, most=most, seconds=seconds)
    if place is not None and answer.points:
        from optimiser.report.tradeoff import as_svg  # noqa: PLC0415

        write_whole(place, as_svg(answer))
    tell(answer, as_json=as_json, chart=chart)
    raise typer.Exit(code_of(answer.status, interrupted=answer.interrupted))
