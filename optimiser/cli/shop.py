"""The command that lists what to buy."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, colour, show_json
from optimiser.cli.sheets import Force, Output, PlanName, planned, put


class ShopForm(StrEnum):
    """What a shopping list is written as."""

    TEXT = "text"
    MARKDOWN = "markdown"
    CSV = "csv"


@app.command(epilog="Example: clearfridge shop plan.json --as markdown -o shopping.md")
def shop(
    file: PlanName,
    form: Annotated[ShopForm, typer.Option("--as", help="What to write it as.")] = ShopForm.TEXT,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """List what to buy for the plan and its batches, in whole packs at least cost.

    Less what stands under 'cupboard' in the week file. Exit codes: 0 done, 1 no plan is
    possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.sheets.shop import shopping  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    found = shopping(week, packed)
    if as_json:
        show_json(found)
        return
    from optimiser.report import shop as report  # noqa: PLC0415

    if form is ShopForm.TEXT:
        text = report.text(found, colour=colour() and output is None)
    else:
        text = (report.as_markdown if form is ShopForm.MARKDOWN else report.as_csv)(found)
    put(text, output, force=force)
