"""The command that prints the JSON Schema of a file."""

from __future__ import annotations

from typing import Annotated, Any

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
        schema = _for_editors(schema)
    show_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})


def _for_editors(schema: Any) -> Any:
    """Leave out what would be offered and is refused: null, and the names of our classes."""
    if isinstance(schema, list):
        return [_for_editors(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    kept = {
        key: _for_editors(part)
        for key, part in schema.items()
        if not (key == "title" and isinstance(part, str))
        and not (key == "default" and part is None)
    }
    ways = [way for way in kept.get("anyOf", ()) if way != {"type": "null"}]
    if len(ways) == 1:
        del kept["anyOf"]
        return {**ways[0], **kept}
    return {**kept, "anyOf": ways} if ways else kept
