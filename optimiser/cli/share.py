"""The command that writes the batches as recipes."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, show_json
from optimiser.cli.sheets import Force, Output, PlanName, planned, put


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

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.report import share as report  # noqa: PLC0415
    from optimiser.sheets.share import share as write  # noqa: PLC0415
    from optimiser.written import cautions_said  # noqa: PLC0415

    plan, week, packed = planned(file, foods)
    found = write(week, packed, cautions_said(week, packed, plan.changes, "share"))
    if as_json:
        show_json(found)
    else:
        as_form = report.as_json_ld if form is ShareForm.JSON_LD else report.as_text
        put(as_form(found), output, force=force)
