"""The command that plans the week for several amounts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import (
    AsJson,
    Chart,
    Cluster,
    Exit,
    OwnFoods,
    Seconds,
    Svg,
    WeekName,
    app,
    colour,
    columns,
    safe,
    show,
    show_json,
    week_in,
)
from optimiser.interface import asked
from optimiser.interface.told import render

if TYPE_CHECKING:
    from models.answers.whatif import WhatIfFile
    from optimiser.interface.whole import Target


_Yields = Annotated[
    list[str] | None,
    typer.Option(
        "--yield",
        metavar="VALUES",
        help="How much of a batch is cooked: 'leek bake=3..12', '=3..12 by 2', "
        "'=60%..140%' or a list, '=8, 10, 14'. Two batches give a grid.",
    ),
]
_Floors = Annotated[
    list[str] | None,
    typer.Option(
        "--floor", metavar="VALUES", help="A floor in each lunch: 'Jorun protein=20..28'."
    ),
]
_Lunches = Annotated[
    str | None, typer.Option(metavar="VALUES", help="How many days have a lunch: 3..5.")
]
_Named = Annotated[
    list[str] | None,
    typer.Option(metavar="NAME", help="Only this one of those kept in the week file."),
]


@app.command("what-if", epilog="Example: clearfridge what-if demo --yield 'leek bake=3..12'")
def what_if(
    file: WeekName,
    yields: _Yields = None,
    floors: _Floors = None,
    lunches: _Lunches = None,
    named: _Named = None,
    svg: Svg = None,
    chart: Chart = True,
    seconds: Seconds = 60.0,
    cluster: Cluster = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Plan the week for each of several amounts, and say where nothing is left over.

    Without options: those kept under 'what_ifs' in the week file. Exit codes: 0 some week can
    be planned, 1 none can, 2 bad input, 3 none was found within the time limit, 130 interrupted
    (the rows so far are shown).
    """
    from models.file.knobs import questions  # noqa: PLC0415

    week = week_in(file, foods)
    wanted = questions(week, yields or (), floors or (), lunches, named or ())
    place = None
    if svg is not None:
        if len(wanted) > 1:
            raise InputError("--svg", "there are several what-ifs", "Name one: --named NAME.")
        if len(next(iter(wanted.values()))) > 2:
            raise InputError("--svg", "more than two things are turned", "Turn one or two.")
        from optimiser.interface.whole import new_file  # noqa: PLC0415

        place = new_file(svg, "a drawing cannot be written there")
    answers = asked.answered(week, wanted, seconds=seconds, cluster=cluster)
    if place is not None:
        _draw(answers[0], place)
    if as_json:
        show_json(answers[0] if len(answers) == 1 else answers)
    else:
        show(
            "\n".join(
                render(answer, colour=colour(), width=columns(), chart=chart) for answer in answers
            )
        )
    if any(answer.interrupted for answer in answers):
        raise typer.Exit(Exit.INTERRUPTED)
    rows = [row for answer in answers for row in answer.rows]
    if any(row.left_over is not None for row in rows):
        raise typer.Exit(Exit.DONE)
    late = any(row.status == "unknown" for row in rows)
    raise typer.Exit(Exit.NO_TIME if late else Exit.NO_PLAN)


def _draw(answer: WhatIfFile, place: Target) -> None:
    from optimiser.interface.whole import write_whole  # noqa: PLC0415
    from optimiser.report.whatif import as_svg  # noqa: PLC0415

    drawing = as_svg(answer)
    if drawing is None:
        # The table says why; it must not be lost to this.
        typer.echo(f"clearfridge: {safe(place.name)}: not written, no week was planned", err=True)
    else:
        write_whole(place, drawing)
