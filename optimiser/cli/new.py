"""The command that writes a week file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import app, is_there, show, show_json


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
    from models.file.reading import (  # noqa: PLC0415
        ready_text,
        ready_weeks,
    )
    from models.words.errors import nearest  # noqa: PLC0415
    from optimiser.cli.whole import write_whole  # noqa: PLC0415

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
