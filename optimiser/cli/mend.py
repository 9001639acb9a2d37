"""The command that finds the smallest changes that mend a week."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, Exit, OwnFoods, SecondsIfAny, WeekName, app, tell, week_in
from optimiser.interface import asked

if TYPE_CHECKING:
    from models.answers.mend import MendFile
    from optimiser.interface.whole import Target


EXAMPLES = """\
Example: clearfridge mend impossible --take 1 -o mended.yaml

Example: clearfridge mend starter --until none-left

Example: clearfridge mend starter --until 'cost <= 12' -n 1

Example: clearfridge mend minimal --until 'liking >= 0'

Example: clearfridge mend starter --allow 'Grain bowl on fri' -n 1
"""


_Until = Annotated[
    list[str] | None,
    typer.Option(
        metavar="GOAL",
        help="What to achieve: none-left, 'cost <= 18', or where more is better 'liking >= 5'.",
    ),
]
_Allow = Annotated[
    list[str] | None,
    typer.Option(
        metavar="WISH",
        help="A dish to make possible: 'Soup and toast on tue', "
        "of several eaters 'Soup and toast on tue for Ada'.",
    ),
]
_Count = Annotated[
    int, typer.Option("-n", min=1, max=12, help="How many different ones to look for.")
]
_Take = Annotated[
    int | None,
    typer.Option(metavar="N", min=1, max=12, help="Write the week so mended."),
]
_NewWeek = Annotated[
    Path | None, typer.Option("-o", "--output", metavar="NEW", help="The new week file.")
]
_LabelRead = Annotated[
    bool, typer.Option("--label-read", help="You read the label that the way hangs on.")
]


@app.command(epilog=EXAMPLES)
def mend(
    file: WeekName,
    until: _Until = None,
    allow: _Allow = None,
    count: _Count = 3,
    take: _Take = None,
    output: _NewWeek = None,
    seconds: SecondsIfAny = None,
    label_read: _LabelRead = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the smallest changes that mend a week, each with the plan it leads to.

    For a week without a plan, or one that misses a goal. Exit codes: 0 ways were found or none
    is needed, 1 none was found, 2 bad input, 130 interrupted (those found so far are shown).
    """
    if (take is None) != (output is None):
        raise InputError(
            "mend", "--take and -o go together", "Write: mend FILE --take 1 -o NEW.yaml"
        )
    week = week_in(file, foods)
    from optimiser.interface.whole import new_file  # noqa: PLC0415

    place = None if output is None else new_file(output, "a week cannot be written there")
    answer = asked.mend(
        week, until or (), allow=allow or (), count=max(count, take or 0), seconds=seconds
    )
    if take is not None and place is not None:
        _write(answer, take, place, label_read=label_read)
    tell(answer, as_json=as_json)
    if answer.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    raise typer.Exit(Exit.DONE if answer.ways or answer.already else Exit.NO_PLAN)


def _write(answer: MendFile, which: int, place: Target, *, label_read: bool) -> None:
    from optimiser.interface.whole import write_whole  # noqa: PLC0415

    if answer.already:
        raise InputError(
            "--take", "the week achieves it as it is", "Nothing needs to be written; leave it out."
        )
    if not 1 <= which <= len(answer.ways):
        raise InputError(
            "--take",
            f"there is no way {which}",
            f"{len(answer.ways)} were found; nothing was written."
            if answer.ways
            else "None was found.",
        )
    asked = [change.text for change in answer.ways[which - 1].changes if change.label]
    if asked and not label_read:
        raise InputError(
            "--take",
            f"way {which} hangs on a label that nobody has read",
            f"First {'; '.join(asked)}. If it is so, add --label-read; nothing was written.",
        )
    write_whole(place, answer.ways[which - 1].text)
