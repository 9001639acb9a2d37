"""The command that prints labels."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, colour, show_json
from optimiser.cli.sheets import Force, Output, PlanName, planned, put


class Sheet(StrEnum):
    """What labels are printed on."""

    A4 = "a4"
    LETTER = "letter"


@app.command(epilog="Example: clearfridge labels plan.json --sheet a4 -o labels.html")
def labels(
    file: PlanName,
    sheet: Annotated[
        Sheet | None,
        typer.Option(help="An HTML sheet to print: A4 or US Letter, labels in two columns."),
    ] = None,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Print a label for every tub: what, made, use-by, the days it is for, allergens.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.sheets.labels import labels as make  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    found = make(week, packed)
    if as_json:
        show_json(found)
    elif sheet is None:
        from optimiser.report.labels import text  # noqa: PLC0415

        put(text(found, colour=colour() and output is None), output, force=force)
    else:
        from optimiser.report.label_sheet import sheet as print_on  # noqa: PLC0415

        put(print_on(found, sheet.value), output, force=force)
