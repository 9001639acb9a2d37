"""The command that chooses how much of each batch to cook."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, Seconds, WeekName, app, code_of, tell, week_in
from optimiser.interface import asked


@app.command(epilog="Example: clearfridge size demo -o sized.yaml")
def size(
    file: WeekName,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="NEW", help="Write the week so changed here."),
    ] = None,
    seconds: Seconds = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Choose how much of each batch to cook, so that nothing is left over.

    Of what the recipe allows: whole portions, 'sizes' in the week file, tins and eggs whole. Exit
    codes: 0 chosen, 1 no plan however much is cooked, 2 bad input, 3 nothing within the time
    limit, 130 interrupted.
    """
    from optimiser.interface.whole import new_file, write_whole  # noqa: PLC0415

    week = week_in(file, foods)
    place = None if output is None else new_file(output, "a week cannot be written there")
    answer = asked.size(week, seconds=seconds)
    if place is not None and answer.batches:
        write_whole(place, answer.text)
    tell(answer, as_json=as_json)
    raise typer.Exit(code_of(answer.status, interrupted=answer.interrupted))
