"""The command that plans the week for several amounts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import (
    AsJson,
    Exit,
    OwnFoods,
    WeekName,
    app,
    colour,
    in_background,
    is_there,
    own_foods,
    safe,
    show,
    show_json,
)

if TYPE_CHECKING:
    from models.answers.whatif import WhatIfFile
    from models.week.knobs import Knob
    from models.week.week import Week


@app.command("what-if", epilog="Example: clearfridge what-if demo --yield 'lentil bites=8..20'")
def what_if(
    file: WeekName,
    yields: Annotated[
        list[str] | None,
        typer.Option(
            "--yield",
            metavar="VALUES",
            help="How much of a batch is cooked: 'lentil bites=8..20', '=8..20 by 2', "
            "'=60%..140%' or a list, '=8, 10, 14'. Two batches give a grid.",
        ),
    ] = None,
    floors: Annotated[
        list[str] | None,
        typer.Option(
            "--floor", metavar="VALUES", help="A floor in each lunch: 'Mira protein=20..28'."
        ),
    ] = None,
    lunches: Annotated[
        str | None, typer.Option(metavar="VALUES", help="How many days have a lunch: 3..5.")
    ] = None,
    named: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Only this one of those kept in the week file."),
    ] = None,
    svg: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw it into this SVG file too.")
    ] = None,
    chart: Annotated[
        bool, typer.Option("--chart/--no-chart", help="Draw a chart below the table.")
    ] = True,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for each plan.")
    ] = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Plan the week for each of several amounts, and say where nothing is left over.

    Without options: those kept under 'what_ifs' in the week file. Exit codes: 0 some week can
    be planned, 1 none can, 2 bad input, 3 none was found within the time limit, 130 interrupted
    (the rows so far are shown).
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.solve.limits import Stop  # noqa: PLC0415
    from optimiser.weeks.whatif import what_if as ask  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    questions = _questions(week, yields, floors, lunches, named)
    if svg is not None:
        if len(questions) > 1:
            raise InputError("--svg", "there are several what-ifs", "Name one: --named NAME.")
        if len(questions[0][1]) > 2:
            raise InputError("--svg", "more than two things are turned", "Turn one or two.")
        if is_there(svg, "a drawing cannot be written there"):
            raise InputError(str(svg), "it is there already", "Name another file.")
    stop = Stop()
    answers = in_background(
        lambda say: [
            ask(week, knobs, seconds=seconds, stop=stop, say=say, name=name)
            for name, knobs in questions
        ],
        stop,
    )
    if svg is not None:
        _draw(answers[0], svg)
    if as_json:
        show_json(answers[0] if len(answers) == 1 else answers)
    else:
        from optimiser.report.whatif import text  # noqa: PLC0415

        show("\n".join(text(one, colour=colour(), chart=chart) for one in answers))
    if any(one.interrupted for one in answers):
        raise typer.Exit(Exit.INTERRUPTED)
    rows = [row for one in answers for row in one.rows]
    if any(row.left_over is not None for row in rows):
        raise typer.Exit(Exit.DONE)
    late = any(row.status == "unknown" for row in rows)
    raise typer.Exit(Exit.NO_TIME if late else Exit.NO_PLAN)


def _draw(found: WhatIfFile, file: Path) -> None:
    from optimiser.cli.whole import write_whole  # noqa: PLC0415
    from optimiser.report.whatif import as_svg  # noqa: PLC0415

    drawing = as_svg(found)
    if drawing is None:
        # The table says why; it must not be lost to this.
        typer.echo(f"clearfridge: {safe(str(file))}: not written, no week was planned", err=True)
    else:
        write_whole(file, drawing)


def _questions(
    week: Week,
    yields: list[str] | None,
    floors: list[str] | None,
    lunches: str | None,
    named: list[str] | None,
) -> list[tuple[str, tuple[Knob, ...]]]:
    """Give what is asked: one question of the options, or those of the week file."""
    from models.file.knobs import (  # noqa: PLC0415
        floor_knob,
        lunches_knob,
        yield_knob,
    )
    from models.words.errors import nearest  # noqa: PLC0415

    knobs = [yield_knob(week, said, "--yield") for said in yields or []]
    knobs += [floor_knob(week, said, "--floor") for said in floors or []]
    knobs += [lunches_knob(week, lunches, "--lunches")] if lunches is not None else []
    if len({(knob.kind, knob.name) for knob in knobs}) < len(knobs):
        raise InputError("what-if", "the same thing is turned twice", "Turn each once.")
    if knobs:
        if named:
            raise InputError("--named", "it goes without other options", "Leave one out.")
        return [("", tuple(knobs))]
    kept = dict(week.what_ifs)
    for name in named or []:
        if name not in kept:
            raise InputError("--named", f"there is no what-if {name!r}", nearest(name, list(kept)))
    if not kept:
        raise InputError(
            "what-if",
            "nothing is asked, and the week file keeps no what-ifs",
            "Write as in --yield 'NAME=8..20', or keep some under 'what_ifs'.",
        )
    return [(name, knobs) for name, knobs in kept.items() if not named or name in named]
