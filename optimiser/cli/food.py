"""The command that shows what the tables know of a food."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, colour, own_foods, show, show_json


@app.command(epilog="Example: clearfridge food 'dried green lentils'")
def food(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food, as you would say it.")],
    foods: OwnFoods = None,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print its row, to start a table of your own from.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show what the food table knows of a food, and where each figure comes from."""
    from models.foods.food import (  # noqa: PLC0415
        Foods,
        find,
    )

    own = own_foods(foods)
    found = find(name, Foods(own) if own else None)
    if as_csv:
        from models.foods.own_table import write_rows  # noqa: PLC0415

        show(write_rows([found]))
        return
    from optimiser.foods import known_of  # noqa: PLC0415

    known = known_of(found)
    if as_json:
        show_json(known)
    else:
        from optimiser.report.food import text  # noqa: PLC0415

        show(text(known, colour=colour()))
