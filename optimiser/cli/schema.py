"""The command that prints the JSON Schema of a file."""

from __future__ import annotations

from typing import Annotated

import typer

from optimiser.cli.app import app, show_json


@app.command(epilog="Example: clearfridge schema > week.schema.json")
def schema(
    of_plan: Annotated[
        bool, typer.Option("--plan", help="The schema of the plan file instead.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="The schema is JSON already; for habit.")
    ] = False,
) -> None:
    """Print the JSON Schema of the week file, so that an editor can help to write it.

    Exit codes: 0 done.
    """
    if of_plan:
        from models.answers.plan import PlanFile  # noqa: PLC0415

        schema = PlanFile.model_json_schema(mode="serialization")
    else:
        from models.file.entries import WeekFile  # noqa: PLC0415

        schema = WeekFile.model_json_schema()
    show_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})
