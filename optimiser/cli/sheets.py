"""What the commands for kitchen sheets share: a plan to print from, and where to write it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from models.words.errors import InputError
from optimiser.cli.app import code_of, colour, columns, is_there, show, show_json
from optimiser.interface.given import PLANNED_IN, File, NoPlanError, Printed, printed
from optimiser.interface.told import render

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart

PlanName = Annotated[
    str,
    typer.Argument(
        metavar="FILE",
        help="A saved plan, or a week file (it is planned first), '-' or a ready week.",
    ),
]
Output = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="NEW", help="Write it into this file."),
]
Force = Annotated[bool, typer.Option("--force", help="Write over a file that is there already.")]


def planned(
    file: str,
    foods: list[str] | None,
    *,
    reasons: bool = False,
    seconds: float | None = None,
) -> Printed:
    """Read a saved plan, or plan the week of a file.

    Parameters
    ----------
    file
        A path, "-" for standard input, or the name of a ready week.
    foods
        Paths of tables of own foods, for a week.
    reasons
        Whether to ask why for each lunch, of a week.
    seconds
        Time limit for the plan of a week; that of `printed` when left out.

    Returns
    -------
    Printed
        The plan, its week, and the same as a packed week.

    Raises
    ------
    InputError
        When it is neither, or the plan does not fit its week.
    typer.Exit
        With code 1 or 3 when there is no plan.
    """
    try:
        return printed(File(file), foods or (), reasons=reasons, seconds=seconds or PLANNED_IN)
    except NoPlanError as fault:
        show(render(fault.plan, colour=colour(), width=columns()))
        status, stopped = fault.plan.status, fault.plan.interrupted
        raise typer.Exit(code_of(status, interrupted=stopped)) from None


def put(text: str, output: Path | None, *, force: bool) -> None:
    """Print a sheet, or write it whole.

    Parameters
    ----------
    text
        What stands on it.
    output
        The file; None prints it.
    force
        Whether to write over a file that is there.

    Raises
    ------
    InputError
        When it is there already, or cannot be written.
    """
    from optimiser.cli.whole import write_whole  # noqa: PLC0415

    if output is None:
        show(text)
        return
    if is_there(output, "it cannot be written there") and not force:
        raise InputError(str(output), "it is there already", "Name another file, or --force.")
    write_whole(output, text)


def tell_or_put(
    answer: AnswerPart, output: Path | None, *, force: bool, as_json: bool, **ways: Any
) -> None:
    """Print an answer as JSON for scripts; else as text, or write it whole.

    Parameters
    ----------
    answer
        Any answer.
    output
        The file; None prints it.
    force
        Whether to write over a file that is there.
    as_json
        Whether to print JSON, for scripts, and write nothing.
    ways
        What else its report knows, as `chart=False`.

    Raises
    ------
    InputError
        When the file is there already, or cannot be written.
    """
    if as_json:
        show_json(answer)
    else:
        put(
            # What is written to a file is the same at every terminal.
            render(answer, **ways)
            if output is not None
            else render(answer, colour=colour(), width=columns(), **ways),
            output,
            force=force,
        )


def before(path: Path) -> str | None:
    """Give what a file says already; none where it is no text.

    Parameters
    ----------
    path
        A file, which need not be there.

    Returns
    -------
    str | None
        Its first 4 MB as text; None where there is none, or it is no text.
    """
    try:
        return path.read_bytes()[:4_000_000].decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
