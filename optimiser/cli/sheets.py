"""What the commands for kitchen sheets share: a plan to print from, and where to write it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from models.words.errors import InputError
from optimiser.cli.app import code_of, colour, columns, show, show_json
from optimiser.interface.given import PLANNED_IN, File, NoPlanError, Printed, printed
from optimiser.interface.told import render

if TYPE_CHECKING:
    from models.answers.plan import AnswerPart
    from optimiser.interface.whole import Target

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

    Examples
    --------
    >>> made = planned("minimal", None)
    >>> made.plan.status, made.week.name, len(made.packed.lunches)
    ('optimal', 'Minimal week', 3)
    """
    try:
        return printed(File(file), foods or (), reasons=reasons, seconds=seconds or PLANNED_IN)
    except NoPlanError as fault:
        show(render(fault.plan, colour=colour(), width=columns()))
        status, stopped = fault.plan.status, fault.plan.interrupted
        raise typer.Exit(code_of(status, interrupted=stopped)) from None


def to_write(
    output: Path | None,
    file: str,
    foods: list[str] | None,
    *,
    force: bool,
    ours: Callable[[str], bool] | None = None,
    as_json: bool = False,
) -> Target | None:
    """See where a sheet is to be written, before anything is planned.

    Parameters
    ----------
    output
        The file; None prints the sheet.
    file
        What it is made of, which is never written over.
    foods
        Tables of own foods, neither.
    force
        Whether to write over a file that is there.
    ours
        Tells a file that the command wrote itself, by its text: that is written over too.
    as_json
        Whether the figures are printed, which are not the sheet.

    Returns
    -------
    Target or None
        Where it goes, with what stood there; None prints it.

    Raises
    ------
    InputError
        When it is there already, cannot be written, or figures are to be printed beside it.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> to_write(None, "minimal", None, force=False)
    >>> with TemporaryDirectory() as folder:
    ...     place = to_write(Path(folder) / "shop.txt", "minimal", None, force=False)
    >>> place.path.name, place.there
    ('shop.txt', False)
    """
    if output is None:
        return None
    if as_json:
        what = "it prints the figures, and -o writes the sheet"
        raise InputError("--json", what, "Leave one of the two out; or write: --json > FILE")
    from optimiser.interface.whole import target  # noqa: PLC0415

    held = target(output, "it cannot be written there", file, *(foods or ()))
    if held.there and not force:
        text = None if ours is None else before(held.path)
        if ours is None or text is None or not ours(text):
            raise InputError(held.name, "it is there already", "Name another file, or --force.")
    return held


def put(text: str, place: Target | None) -> None:
    """Print a sheet, or write it whole.

    Parameters
    ----------
    text
        What stands on it.
    place
        The file; None prints it.

    Raises
    ------
    InputError
        When it cannot be written.

    Examples
    --------
    >>> put("2 leeks", None)
    2 leeks
    """
    from optimiser.interface.whole import write_whole  # noqa: PLC0415

    show(text) if place is None else write_whole(place, text)


def tell_or_put(answer: AnswerPart, place: Target | None, *, as_json: bool, **ways: Any) -> None:
    """Print an answer as JSON for scripts; else as text, or write it whole.

    Parameters
    ----------
    answer
        Any answer.
    place
        The file; None prints it.
    as_json
        Whether to print JSON, for scripts, and write nothing.
    ways
        What else its report knows, as `chart=False`.

    Raises
    ------
    InputError
        When the file cannot be written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from optimiser import check
    >>> with TemporaryDirectory() as folder:
    ...     place = to_write(Path(folder) / "check.txt", "minimal", None, force=False)
    ...     tell_or_put(check("minimal"), place, as_json=False)
    ...     place.path.read_text().splitlines()[0]
    'Minimal week  Mon 30 Nov to Wed 2 Dec 2026'
    """
    if as_json:
        show_json(answer)
    else:
        put(
            # What is written to a file is the same at every terminal.
            render(answer, **ways)
            if place is not None
            else render(answer, colour=colour(), width=columns(), **ways),
            place,
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

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     before(Path(folder) / "shop.txt")
    ...     _ = (Path(folder) / "shop.txt").write_text("2 leeks")
    ...     before(Path(folder) / "shop.txt")
    '2 leeks'
    """
    try:
        return path.read_bytes()[:4_000_000].decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
