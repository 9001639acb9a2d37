"""The command that prints the morning cards."""

from __future__ import annotations

from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, OwnFoods, app, colour, show_json
from optimiser.cli.sheets import Force, Output, PlanName, planned, put


@app.command(epilog="Example: clearfridge pack plan.json tue")
def pack(
    file: PlanName,
    day: Annotated[
        str | None,
        typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01; all when left out."),
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Only the lunches of one eater.")
    ] = None,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say what goes in which compartment and pot, in the order of packing.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.explain.why import (  # noqa: PLC0415
        day_matches,
        eater_of,
    )
    from optimiser.report.pack import text  # noqa: PLC0415
    from optimiser.sheets.pack import cards  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    if eater is not None:
        eater_of(week, eater, "--eater")
    if day is not None and not any(day_matches(one, day) for one in week.days):
        known = ", ".join(f"{one:%a}".lower() for one in week.days)
        raise InputError("DAY", f"{day!r} is not a day of this week", f"Its days: {known}.")
    found = cards(week, packed)
    kept = [
        card
        for card in found.cards
        if (day is None or day_matches(card.date, day)) and eater in (None, card.eater)
    ]
    if not kept:
        raise InputError("DAY", "there is no lunch then", "Name another day or eater.")
    found = found.model_copy(update={"cards": kept})
    if as_json:
        show_json(found)
    else:
        put(text(found, colour=colour() and output is None), output, force=force)
