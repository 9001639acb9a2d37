"""What the commands for kitchen sheets share: a plan to print from, and where to write it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import Exit, colour, in_background, is_there, own_foods, show

if TYPE_CHECKING:
    from models.answers.plan import PlanFile
    from models.week.packed import PackedWeek
    from models.week.week import Week

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
    file: str, foods: list[str] | None, *, reasons: bool = False
) -> tuple[PlanFile, Week, PackedWeek]:
    """Read a saved plan, or plan the week of a file.

    Raises
    ------
    InputError
        When it is neither, or the plan does not fit its week.
    typer.Exit
        With code 1 or 3 when there is no plan.
    """
    from models.file import yamltext  # noqa: PLC0415
    from models.file.planfile import LARGEST_BYTES, plan_of  # noqa: PLC0415
    from models.file.reading import read_week, ready_weeks, week_of  # noqa: PLC0415
    from models.words.text import read_text  # noqa: PLC0415
    from optimiser.auditing import packed_of  # noqa: PLC0415
    from optimiser.written import cautions_said  # noqa: PLC0415

    own = own_foods(foods)
    if file not in ready_weeks():
        source, text = read_text(file, LARGEST_BYTES, "Name a plan or a week file.")
        if text.lstrip().startswith("{") and '"clearfridge plan 1"' in text[:2_000]:
            made = plan_of(source, text)
            if not made.lunches:
                raise InputError(source, "this plan has no lunches", "Plan the week again.")
            week, packed = _checked(made, source)
            # What a stranger wrote into the file is not printed as our advice.
            said = cautions_said(week, packed, made.changes)
            return made.model_copy(update={"cautions": said}), week, packed
        week = week_of(yamltext.parse(source, text), own)
    else:
        week = read_week(file, own)
    made = _made(week, reasons=reasons)
    return made, week, packed_of(made, week, file)


def _checked(made: PlanFile, source: str) -> tuple[Week, PackedWeek]:
    """Give the week of a saved plan; papers are not printed of one that breaks it."""
    from models.file.planfile import embedded_week  # noqa: PLC0415
    from optimiser.auditing import audit, packed_of  # noqa: PLC0415

    week = embedded_week(made, source)
    faults = audit(made, None, source)
    if faults:
        raise InputError(
            source,
            f"this plan breaks its own week: {faults[0].where}: {faults[0].what}",
            f"See: clearfridge audit {source}. Then mend it, or plan again.",
        )
    return week, packed_of(made, week, source)


def _made(week: Week, *, reasons: bool) -> PlanFile:
    from optimiser.planning import plan_week  # noqa: PLC0415
    from optimiser.solve.limits import Stop  # noqa: PLC0415

    stop = Stop()
    made = in_background(
        lambda say: plan_week(week, seconds=60.0, stop=stop, reasons=reasons, say=say), stop
    )
    if not made.lunches:
        from optimiser.report.plan import text  # noqa: PLC0415

        show(text(made, colour=colour()))
        code = {"infeasible": Exit.NO_PLAN}.get(made.status, Exit.NO_TIME)
        raise typer.Exit(Exit.INTERRUPTED if made.interrupted else code)
    return made


def put(text: str, output: Path | None, *, force: bool) -> None:
    """Print a paper, or write it whole; a file that is there only where that is asked."""
    from optimiser.cli.whole import write_whole  # noqa: PLC0415

    if output is None:
        show(text)
        return
    if is_there(output, "it cannot be written there") and not force:
        raise InputError(str(output), "it is there already", "Name another file, or --force.")
    write_whole(output, text)


def _before(path: Path) -> str | None:
    try:
        return path.read_bytes()[:4_000_000].decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
