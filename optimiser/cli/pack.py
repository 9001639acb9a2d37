"""The command that prints the morning cards."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, tell_or_put, to_write
from optimiser.interface import sheets


@app.command(epilog="Example: clearfridge pack plan.json tue")
def pack(
    file: PlanName,
    day: Annotated[
        str | None,
        typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01; all when left out."),
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Only the lunches of one eater.")
    ] = None,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say what goes in which compartment and pot, in the order of packing.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted.
    """
    place = to_write(output, file, foods, as_json=as_json, force=force)
    answer = sheets.pack(planned(file, foods), day, eater=eater)
    tell_or_put(answer, place, as_json=as_json)
