"""The command that shows how a week file was understood."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, WeekName, app, colour, own_foods, show, show_json


@app.command(epilog="Example: clearfridge check demo --trace 'lentil bites'")
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
    from models.file.reading import read_week  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    if trace is not None:
        from optimiser.report.trace import text as write_trace  # noqa: PLC0415
        from optimiser.tracing import trace as add_up  # noqa: PLC0415

        figure = add_up(week, trace, nutrient)
        show_json(figure) if as_json else show(write_trace(figure, colour=colour()))
        return
    from optimiser.checking import check as understood  # noqa: PLC0415
    from optimiser.report.check import text  # noqa: PLC0415

    found = understood(week)
    show_json(found) if as_json else show(text(found, colour=colour()))
