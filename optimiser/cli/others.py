"""The command that finds other good weeks."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, OwnFoods, Seconds, WeekName, app, code_of, tell, week_in
from optimiser.interface import asked


@app.command(epilog="Example: clearfridge others demo -n 3 --equal 1")
def others(
    file: WeekName,
    count: Annotated[int, typer.Option("-n", min=1, max=50, help="How many other weeks.")] = 5,
    equal: Annotated[
        int | None,
        typer.Option(
            min=0, max=20, metavar="K", help="As good in the first K priorities; 2 if left out."
        ),
    ] = None,
    save: Annotated[
        Path | None, typer.Option(metavar="PLAN", help="Keep one of them as a plan; see --week.")
    ] = None,
    week_number: Annotated[
        int | None, typer.Option("--week", min=1, metavar="N", help="Which one to keep.")
    ] = None,
    seconds: Seconds = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find weeks as good in the first priorities and as different as can be.

    Exit codes: 0 found or none is there, 1 no plan is possible, 2 bad input, 3 no plan within
    the time limit, 130 interrupted (those found so far are shown).
    """
    from optimiser.interface.whole import new_file, write_whole  # noqa: PLC0415

    if (save is None) != (week_number is None):
        raise InputError("others", "--save and --week go together", "Write: --save NEW --week 1")
    place = None if save is None else new_file(save, "a plan cannot be written there")
    answer = asked.others(week_in(file, foods), count, equal=equal, seconds=seconds)
    if place is not None and week_number is not None:
        picked = answer.weeks[week_number].plan if week_number < len(answer.weeks) else None
        if picked is not None:
            write_whole(place, picked.model_dump_json(indent=2) + "\n")
        elif answer.weeks and not answer.interrupted:
            what = f"there is no other week {week_number}"
            raise InputError("--week", what, f"{len(answer.weeks) - 1} were found.")
    tell(answer, as_json=as_json)
    raise typer.Exit(code_of(answer.status, interrupted=answer.interrupted))
