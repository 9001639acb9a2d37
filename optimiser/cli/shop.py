"""The command that lists what to buy."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put, to_write
from optimiser.interface import sheets


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
    possible, 2 bad input, 3 no plan within the time limit, 130 interrupted.
    """
    place = to_write(output, file, foods, as_json=as_json, force=force)
    answer = sheets.shop(planned(file, foods))
    if form is ShopForm.TEXT or as_json:
        tell_or_put(answer, place, as_json=as_json)
        return
    from optimiser.report.shop import as_csv, as_markdown  # noqa: PLC0415

    write = as_markdown if form is ShopForm.MARKDOWN else as_csv
    put(write(answer), place)
