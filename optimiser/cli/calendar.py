"""The command that writes the calendar."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app, is_there
from optimiser.cli.sheets import Force, Output, PlanName, before, planned, tell_or_put
from optimiser.interface import sheets


@app.command(epilog="Example: clearfridge calendar plan.json -o week.ics")
def calendar(
    file: PlanName,
    output: Output = None,
    alarms: Annotated[
        bool, typer.Option("--alarms/--no-alarms", help="Ring for soaking and thawing.")
    ] = True,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write the plan as iCalendar: soak, cook by the clock, move to the fridge, pack, use by.

    Written again over a calendar of its own, what changed has a higher sequence number and what is
    gone is cancelled. Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted.
    """
    answer = sheets.calendar(planned(file, foods))
    written = None
    if not as_json and output is not None and is_there(output, "it cannot be written there"):
        from optimiser.report.calendar import is_ours  # noqa: PLC0415

        written = before(output)
        ours = written is not None and is_ours(written)
        force, written = force or ours, written if ours else None
    tell_or_put(answer, output, force=force, as_json=as_json, before=written, alarms=alarms)
