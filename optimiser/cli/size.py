"""The command that chooses how much of each batch to cook."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import (
    AsJson,
    OwnFoods,
    WeekName,
    app,
    code_of,
    colour,
    in_background,
    is_there,
    own_foods,
    show,
    show_json,
)


@app.command(epilog="Example: clearfridge size demo -o sized.yaml")
def size(
    file: WeekName,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="NEW", help="Write the week so changed here."),
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the choice.")
    ] = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Choose how much of each batch to cook, so that nothing is left over.

    Of what the recipe allows: whole portions, 'sizes' in the week file, tins and eggs whole. Exit
    codes: 0 chosen, 1 no plan however much is cooked, 2 bad input, 3 nothing within the time
    limit, 130 interrupted.
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.cli.whole import write_whole  # noqa: PLC0415
    from optimiser.solve.limits import Stop  # noqa: PLC0415
    from optimiser.weeks.size import size as choose  # noqa: PLC0415
    from optimiser.weeks.size import sized  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    if output is not None and is_there(output, "a week cannot be written there"):
        raise InputError(str(output), "it is there already", "Name another file for the new week.")
    stop = Stop()
    found = in_background(lambda say: choose(week, seconds=seconds, stop=stop, say=say), stop)
    if output is not None and found.batches:
        write_whole(output, sized(week, found))
    if as_json:
        show_json(found)
    else:
        from optimiser.report.size import text  # noqa: PLC0415

        show(text(found, colour=colour()))
    raise typer.Exit(code_of(found.status, interrupted=found.interrupted))
