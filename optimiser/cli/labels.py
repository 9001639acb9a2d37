"""The command that prints labels."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put
from optimiser.interface import sheets


class Paper(StrEnum):
    """What labels are printed on."""

    A4 = "a4"
    LETTER = "letter"


@app.command(epilog="Example: clearfridge labels plan.json --sheet a4 -o labels.html")
def labels(
    file: PlanName,
    sheet: Annotated[
        Paper | None,
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
    answer = sheets.labels(planned(file, foods))
    if sheet is None or as_json:
        tell_or_put(answer, output, force=force, as_json=as_json)
    else:
        from optimiser.report.label_sheet import sheet as print_on  # noqa: PLC0415

        put(print_on(answer, sheet.value), output, force=force)
