"""The command that shows how a week file was understood."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, WeekName, app, colour, own_foods, show, show_json

if TYPE_CHECKING:
    from models.week.week import Week


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
        _traced(week, trace, nutrient, as_json=as_json)
    elif as_json:
        from optimiser.checking import as_data  # noqa: PLC0415

        show_json(as_data(week))
    else:
        from optimiser.report.check import text  # noqa: PLC0415

        show(text(week, colour=colour()))


def _traced(week: Week, name: str, nutrient: str, *, as_json: bool) -> None:
    from optimiser.report import trace as report  # noqa: PLC0415

    thing, found = report.find(week, name), report.nutrient_of(nutrient)
    if as_json:
        show_json(report.as_data(thing, found))
    else:
        show(report.text(thing, found, colour=colour()))
