"""The command that prints labels."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put, to_write
from optimiser.interface import sheets


class LabelSheet(StrEnum):
    """Sheets of labels, by their paper and how many a sheet has."""

    A4_14 = "a4-14"
    A4_21 = "a4-21"
    A4_24 = "a4-24"
    LETTER_10 = "letter-10"
    LETTER_30 = "letter-30"


@app.command(epilog="Example: clearfridge labels plan.json --sheet a4-21 -o labels.html")
def labels(
    file: PlanName,
    sheet: Annotated[
        LabelSheet | None, typer.Option(help="An HTML sheet to print, by how many labels it has.")
    ] = None,
    skip: Annotated[
        int, typer.Option(min=0, metavar="N", help="Labels of the first sheet that are used up.")
    ] = 0,
    lines: Annotated[bool, typer.Option("--lines", help="Draw where to cut.")] = False,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Print a label for every tub: what, made, use-by, the days it is for, allergens.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted.
    """
    place = to_write(output, file, foods, as_json=as_json, force=force)
    answer = sheets.labels(planned(file, foods))
    if sheet is None or as_json:
        tell_or_put(answer, place, as_json=as_json)
    else:
        from optimiser.report.label_sheet import SHEETS  # noqa: PLC0415
        from optimiser.report.label_sheet import sheet as print_on  # noqa: PLC0415

        cells = SHEETS[sheet.value].cells
        if skip >= cells:
            raise InputError(
                "--skip", f"{skip} is too many", f"A sheet has {cells}: skip fewer, or none."
            )
        put(print_on(answer, sheet.value, skip=skip, lines=lines), place)
