"""The command that writes the calendar."""

from __future__ import annotations

from optimiser.cli.app import AsJson, OwnFoods, app, is_there, show_json
from optimiser.cli.sheets import Force, Output, PlanName, _before, planned, put


@app.command(epilog="Example: clearfridge calendar plan.json -o week.ics")
def calendar(
    file: PlanName,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write the plan as iCalendar: cook, move to the fridge, pack, use by.

    Written again over a calendar of its own, what changed has a higher sequence number and what is
    gone is cancelled. Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the
    time limit.
    """
    from datetime import UTC, datetime  # noqa: PLC0415

    from optimiser.report.calendar import (  # noqa: PLC0415
        as_ical,
        is_ours,
    )
    from optimiser.sheets.calendar import diary  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    found = diary(week, packed)
    if as_json:
        show_json(found)
        return
    before = None
    if output is not None and is_there(output, "it cannot be written there"):
        before = _before(output)
        ours = before is not None and is_ours(before)
        force, before = force or ours, before if ours else None
    put(as_ical(found, now=datetime.now(UTC), before=before), output, force=force)
