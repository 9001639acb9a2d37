"""The command that shows how a week file was understood."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, WeekName, app, tell, week_in
from optimiser.interface import asked


@app.command(epilog="Example: clearfridge check demo --trace 'leek bake'")
def check(
    file: WeekName,
    trace: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Print the sum behind this batch or larder item."),
    ] = None,
    nutrient: Annotated[
        str, typer.Option(metavar="NUTRIENT", help="With --trace: which nutrient.")
    ] = "protein",
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Show how a week file was understood: dates, sources, allergens, rules."""
    week = week_in(file, foods)
    if trace is None:
        tell(asked.check(week), as_json=as_json)
    else:
        tell(asked.trace(week, trace, nutrient), as_json=as_json)
