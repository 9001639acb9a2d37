"""The command that shows what the tables know of a food."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, show, tell
from optimiser.interface import asked
from optimiser.interface.given import own_foods


@app.command(epilog="Example: clearfridge food 'dried green lentils'")
def food(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food, as you would say it.")],
    foods: OwnFoods = None,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print its row, to start a table of your own from.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show what the food table knows of a food, and where each figure comes from.

    Exit codes: 0 done, 2 bad input.
    """
    if as_csv:
        from models.foods.food import Foods, find  # noqa: PLC0415
        from models.foods.own_table import write_rows  # noqa: PLC0415

        own = own_foods(foods or ())
        show(write_rows([find(name, Foods(own) if own else None)]))
    else:
        tell(asked.food(name, foods or ()), as_json=as_json)
