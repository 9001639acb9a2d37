"""The command that finds the smallest changes that mend a week."""

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
    show,
    show_json,
)

if TYPE_CHECKING:
    from optimiser.explain.wishes import Goal, Wish


@app.command(epilog="Example: clearfridge mend impossible --take 1 -o mended.yaml")
def mend(
    file: WeekName,
    until: Annotated[
        list[str] | None,
        typer.Option(metavar="GOAL", help="What to achieve: none-left, or as in 'cost <= 18'."),
    ] = None,
    allow: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="A dish to make possible: 'Stuffed pitta on tue'."),
    ] = None,
    count: Annotated[
        int, typer.Option("-n", min=1, max=12, help="How many different ones to look for.")
    ] = 3,
    take: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, max=12, help="Write the week so mended."),
    ] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="NEW", help="The new week file.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the smallest changes that mend a week, each with the plan it leads to.

    For a week without a plan, or one that misses a goal. Exit codes: 0 ways were found or none
    is needed, 1 none was found, 2 bad input, 130 interrupted (those found so far are shown).
    """
    from models.file.reading import read_week  # noqa: PLC0415
    from optimiser.explain.mend import mend as look  # noqa: PLC0415
    from optimiser.explain.wishes import (  # noqa: PLC0415
        goal_of,
        wish_of,
    )
    from optimiser.solve.limits import Stop  # noqa: PLC0415

    if (take is None) != (output is None):
        raise InputError(
            "mend", "--take and -o go together", "Write: mend FILE --take 1 -o NEW.yaml"
        )
    week = read_week(file, own_foods(foods))
    wanted: list[Goal | Wish] = [goal_of(week, one) for one in until or []]
    wanted += [wish_of(week, one, "--allow") for one in allow or []]
    if output is not None and is_there(output, "a week cannot be written there"):
        raise InputError(str(output), "it is there already", "Name another file for the new week.")
    stop = Stop()
    found, texts = in_background(
        lambda say: look(week, wanted, count=max(count, take or 0), stop=stop, say=say), stop
    )
    if take is not None and output is not None:
        _write(texts, take, output, needed=not found.already)
    if as_json:
        show_json(found)
    else:
        from optimiser.report.mend import text as write  # noqa: PLC0415

        show(write(found, colour=colour()))
    if found.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    raise typer.Exit(Exit.DONE if found.ways or found.already else Exit.NO_PLAN)


def _write(texts: list[str], which: int, output: Path, *, needed: bool) -> None:
    from optimiser.cli.whole import write_whole  # noqa: PLC0415

    if not needed:
        raise InputError(
            "--take", "the week achieves it as it is", "Nothing needs to be written; leave it out."
        )
    if not 1 <= which <= len(texts):
        raise InputError(
            "--take",
            f"there is no way {which}",
            f"{len(texts)} were found; nothing was written." if texts else "None was found.",
        )
    write_whole(output, texts[which - 1])
