"""The command that writes the batches as recipes."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app

if TYPE_CHECKING:
    pass
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
    from optimiser.sheets.shop import shopping  # noqa: PLC0415

    plan, week, packed = planned(file, foods)
    if as_json or form is ShareForm.JSON_LD:
        put(report.as_json_ld(week), output, force=force)
    else:
        text = report.as_text(week, shopping(week, packed), plan.cautions)
        put(text, output, force=force)
