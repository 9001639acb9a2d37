"""The commands that show what stands in a file, a plan or the food table."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.errors import InputError
from optimiser.cli.app import (
    AsJson,
    Exit,
    OwnFoods,
    WeekName,
    app,
    colour,
    is_there,
    own_foods,
    show,
    show_json,
)

if TYPE_CHECKING:
    from models.week import Week


@app.command(epilog="Example: clearfridge check demo --trace 'lentil bites'")
def check(
    file: WeekName,
    trace: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Print the sum behind this batch or larder item."),
    ] = None,
    nutrient: Annotated[
        str, typer.Option(metavar="NUTRIENT", help="With --trace: which nutrient.")
    ] = "protein",
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Show how a week file was understood: dates, sources, allergens, rules."""
    from models.reading import read_week  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    if trace is not None:
        _traced(week, trace, nutrient, as_json=as_json)
    elif as_json:
        from optimiser.understanding import as_data  # noqa: PLC0415

        show_json(as_data(week))
    else:
        from optimiser.report.check import text  # noqa: PLC0415

        show(text(week, colour=colour()))


def _traced(week: Week, name: str, nutrient: str, *, as_json: bool) -> None:
    from optimiser.report import trace as report  # noqa: PLC0415

    thing, found = report.find(week, name), report.nutrient_of(nutrient)
    if as_json:
        show_json(report.as_data(thing, found))
    else:
        show(report.text(thing, found, colour=colour()))


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
    from models.reading import read_week  # noqa: PLC0415
    from optimiser.audit import audit as find  # noqa: PLC0415
    from optimiser.audit import read_plan  # noqa: PLC0415

    made = read_plan(plan_file)
    source = "standard input" if plan_file == "-" else plan_file
    findings = find(made, read_week(week, own_foods(foods)) if week is not None else None, source)
    if as_json:
        show_json({"faults": [asdict(finding) for finding in findings]})
    else:
        from optimiser.report.audit import text as write  # noqa: PLC0415

        show(write(findings, colour=colour()))
    raise typer.Exit(Exit.NO_PLAN if findings else Exit.DONE)


@app.command(epilog="Example: clearfridge new week.yaml")
def new(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="Where to write it, or '-' to print it.")
    ],
    ready: Annotated[
        str, typer.Option("--from", metavar="NAME", help="Start from this ready week.")
    ] = "starter",
    as_json: Annotated[bool, typer.Option("--json", help="Say as JSON what was written.")] = False,
) -> None:
    """Write a commented week file to start from."""
    from models.reading import ready_text, ready_weeks  # noqa: PLC0415
    from models.weekfile import nearest  # noqa: PLC0415
    from optimiser.files import write_whole  # noqa: PLC0415

    if ready not in ready_weeks():
        raise InputError(
            "--from", f"there is no ready week named {ready!r}", nearest(ready, ready_weeks())
        )
    text = ready_text(ready)
    if file == "-":
        show_json({"written": None, "text": text}) if as_json else show(text)
        return
    path = Path(file)
    if is_there(path, "a week cannot be written there"):
        raise InputError(file, "it is there already", "Name another file; nothing was written.")
    write_whole(path, text)
    if as_json:
        show_json({"written": file})
    else:
        show(f"Wrote {file}. Next: clearfridge check {file}")


@app.command(epilog="Example: clearfridge food 'dried green lentils'")
def food(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food, as you would say it.")],
    foods: OwnFoods = None,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print its row, to start a table of your own from.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show what the food table knows of a food, and where each figure comes from."""
    from models.foods import Foods, builtin, find  # noqa: PLC0415
    from optimiser.report import food as report  # noqa: PLC0415

    own = own_foods(foods)
    found = find(name, Foods(builtin().by_name.values(), own) if own else None)
    if as_csv:
        from models.owntable import write_rows  # noqa: PLC0415

        show(write_rows([found]))
    elif as_json:
        show_json(report.as_data(found))
    else:
        show(report.text(found, colour=colour()))


@app.command(epilog="Example: clearfridge schema > week.schema.json")
def schema(
    of_plan: Annotated[
        bool, typer.Option("--plan", help="The schema of the plan file instead.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="The schema is JSON already; for habit.")
    ] = False,
) -> None:
    """Print the JSON Schema of the week file, so that an editor can help to write it."""
    if of_plan:
        from models.planfile import PlanFile  # noqa: PLC0415

        found = PlanFile.model_json_schema(mode="serialization")
    else:
        from models.weekfile import WeekFile  # noqa: PLC0415

        found = WeekFile.model_json_schema()
    show_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **found})
