"""The command that holds a saved plan against every rule."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, Exit, OwnFoods, SavedPlan, app, tell, week_in
from optimiser.interface import asked
from optimiser.interface.given import File


@app.command(epilog="Example: clearfridge audit plan.json --week week.yaml")
def audit(
    plan_file: SavedPlan,
    week: Annotated[
        str | None, typer.Option(metavar="FILE", help="Judge it by this week instead of its own.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Hold a saved plan, edited or not, against every rule.

    Exit codes: 0 no fault, 1 faults were found, 2 bad input.
    """
    judge = None if week is None else week_in(week, foods)
    answer = asked.audit(File(plan_file), judge)
    tell(answer, as_json=as_json)
    raise typer.Exit(Exit.NO_PLAN if answer.faults else Exit.DONE)
