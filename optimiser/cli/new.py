"""The command that writes a week file to start from."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from models.words.errors import InputError
from models.words.guidance import GUIDANCES
from optimiser.cli.app import app, show, show_json

STARTER = "starter"
HEADER = "# yaml-language-server: $schema=week.schema.json\n"
"""By it an editor finds the schema beside the file, once 'clearfridge schema' wrote it there."""


@app.command(epilog="Example: clearfridge new week.yaml --batch 'chilli, 12 portions'")
def new(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="Where to write it, or '-' to print it.")
    ],
    sources: Annotated[
        list[str] | None,
        typer.Option(
            "--from",
            metavar="RECIPE",
            help="A recipe: a saved web page, JSON of schema.org, or plain text. May be given "
            "several times. Or the name of a ready week.",
        ),
    ] = None,
    batches: Annotated[
        list[str] | None,
        typer.Option(
            "--batch",
            metavar="BATCH",
            help="A batch and what it comes to, as 'chilli, 12 portions'. May be given several "
            "times.",
        ),
    ] = None,
    days: Annotated[str, typer.Option(metavar="DAYS", help="Days with lunches.")] = "mon-fri",
    starts: Annotated[
        str | None, typer.Option(metavar="DATE", help="The first day; the next one if left out.")
    ] = None,
    guidance: Annotated[
        str, typer.Option(metavar="NAME", help="Whose fridge lives: us, uk or strictest.")
    ] = "strictest",
    as_json: Annotated[bool, typer.Option("--json", help="Say as JSON what was written.")] = False,
) -> None:
    """Write a week file to start from: of recipes, of batches, or a commented one.

    Exit codes: 0 done, 2 bad input.
    """
    from models.file.draft import ADDED  # noqa: PLC0415
    from optimiser.interface.whole import new_file, write_whole  # noqa: PLC0415

    given = list(sources or ())
    drafted = bool(batches) or not _is_ready(given)
    if drafted:
        text = _drafted(given, list(batches or ()), days, starts, guidance)
    else:
        text = HEADER + _ready(given)
    if file == "-":
        show_json({"written": None, "text": text}) if as_json else show(text)
        return
    write_whole(new_file(Path(file), "a week cannot be written there"), text)
    if as_json:
        show_json({"written": file})
    else:
        show(f"Wrote {file}. {f'{ADDED} ' * drafted}Next: clearfridge check {file}")


def _is_ready(given: list[str]) -> bool:
    """Tell whether a ready week is asked for: by its name, or by a word that is no file."""
    return not given or (len(given) == 1 and not Path(given[0]).exists() and given[0] != "-")


def _ready(given: list[str]) -> str:
    from models.file.reading import ready_text, ready_weeks  # noqa: PLC0415
    from models.words.errors import suggestion  # noqa: PLC0415

    name = given[0] if given else STARTER
    if name not in ready_weeks():
        raise InputError(
            "--from",
            f"there is no file and no ready week named {name!r}",
            suggestion(name, ready_weeks()),
        )
    return ready_text(name)


def _drafted(
    recipes: list[str], batches: list[str], days: str, starts: str | None, guidance: str
) -> str:
    from models.file import draft  # noqa: PLC0415
    from models.file.recipes import named_apart, read_recipes  # noqa: PLC0415
    from models.words.errors import suggestion  # noqa: PLC0415
    from optimiser.weeks.varied import varied  # noqa: PLC0415

    if guidance not in GUIDANCES:
        what = f"there is no guidance named {guidance!r}"
        raise InputError("--guidance", what, suggestion(guidance, GUIDANCES))
    chosen = draft.days_of(days)
    first = draft.next_start(date.today(), chosen) if starts is None else _date(starts)
    frame = draft.Frame(first, chosen, guidance, "label")
    known = [batch for file in recipes for batch in read_recipes(file, guidance, frame.cups)]
    known += [draft.batch_of(text) for text in batches]
    return varied(draft.draft(named_apart(known) if recipes else known, frame))


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        mend = "Write it as year-month-day: 2026-11-30."
        raise InputError("--starts", f"{text[:40]!r} is not a date", mend) from None
