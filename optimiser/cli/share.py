"""The command that writes the batches as recipes."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put, to_write
from optimiser.interface import sheets


class ShareForm(StrEnum):
    """What recipes are written as."""

    MARKDOWN = "markdown"
    JSON_LD = "json-ld"


@app.command(epilog="Example: clearfridge share demo --as json-ld -o recipes.jsonld")
def share(
    file: PlanName,
    form: Annotated[
        ShareForm, typer.Option("--as", help="Markdown, or JSON-LD of schema.org Recipe.")
    ] = ShareForm.MARKDOWN,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write the batches as recipes: amounts, steps, yield, what a portion holds; and the list.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted.
    """
    place = to_write(output, file, foods, as_json=as_json, force=force)
    answer = sheets.share(planned(file, foods))
    if form is ShareForm.MARKDOWN or as_json:
        tell_or_put(answer, place, as_json=as_json)
    else:
        from optimiser.report.share import as_json_ld  # noqa: PLC0415

        put(as_json_ld(answer), place)
