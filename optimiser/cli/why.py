"""The command that says why a lunch is as it is."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import (
    AsJson,
    OwnFoods,
    SecondsWithReasons,
    WeekName,
    app,
    code_of,
    tell,
    week_in,
)
from optimiser.interface import asked


@app.command(epilog="Example: clearfridge why demo tue --not 'Soup and toast'")
def why(
    file: WeekName,
    day: Annotated[
        str | None, typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01.")
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Whose lunch, where there are several.")
    ] = None,
    not_: Annotated[
        str | None, typer.Option("--not", metavar="DISH", help="Why not this dish on that day.")
    ] = None,
    better: Annotated[
        str | None,
        typer.Option(metavar="PRIORITY", help="Why no week does better in this, as left_over."),
    ] = None,
    all_: Annotated[
        bool, typer.Option("--all", help="The verdict on every dish on every day.")
    ] = False,
    seconds: SecondsWithReasons = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say why a lunch is as it is, why not otherwise, or why there is no plan.

    Without a day: why no plan is possible, or what every lunch could have been. Where an entry is
    many eaters: what one lunch more or fewer with each dish would do. Exit codes:
    0 answered, 1 no plan is possible (and why), 2 bad input, 3 no plan within the time limit,
    130 interrupted (what is known so far is shown).
    """
    answer = asked.why(
        week_in(file, foods), day, eater=eater, not_=not_, better=better, all=all_, seconds=seconds
    )
    tell(answer, as_json=as_json)
    raise typer.Exit(code_of(answer.status, interrupted=answer.interrupted))
