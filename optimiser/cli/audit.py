"""The command that holds a saved plan against every rule."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import AsJson, Exit, OwnFoods, app, colour, own_foods, show, show_json


@app.command(epilog="Example: clearfridge audit plan.json --week week.yaml")
def audit(
    plan_file: Annotated[
        str, typer.Argument(metavar="PLAN", help="A saved plan, or '-' for standard input.")
    ],
    week: Annotated[
        str | None, typer.Option(metavar="FILE", help="Judge it by this week instead of its own.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Hold a saved plan, edited or not, against every rule.

    Exit codes: 0 no fault, 1 faults were found, 2 bad input.
    """
    from models.file.planfile import read_plan  # noqa: PLC0415
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.auditing import answer  # noqa: PLC0415

    made = read_plan(plan_file)
    source = "standard input" if plan_file == "-" else plan_file
    judge = read_week(week, own_foods(foods)) if week is not None else None
    found = answer(made, judge, source)
    if as_json:
        show_json(found)
    else:
        from optimiser.report.audit import text as write  # noqa: PLC0415

        show(write(found, colour=colour()))
    raise typer.Exit(Exit.NO_PLAN if found.faults else Exit.DONE)
