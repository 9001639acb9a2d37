"""The command that writes the calendar."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, before, planned, tell_or_put, to_write
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
    from optimiser.report.calendar import is_ours  # noqa: PLC0415

    place = to_write(output, file, foods, as_json=as_json, force=force, ours=is_ours)
    written = None if place is None else before(place.path)
    if written is not None and not is_ours(written):
        written = None
    answer = sheets.calendar(planned(file, foods))
    tell_or_put(answer, place, as_json=as_json, before=written, alarms=alarms)
