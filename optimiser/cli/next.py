"""The command that writes the week after a plan."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, SavedPlan, app, show, tell
from optimiser.interface import asked
from optimiser.interface.given import File


@app.command(name="next", epilog="Example: clearfridge next plan.json -o next-week.yaml")
def next_(
    plan_file: SavedPlan,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="WEEK", help="Write the week file here, or '-' to print it."
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Write the file of the week after: what a plan leaves goes over.

    What is in the freezer becomes a batch of an earlier week, what remains of packs stands in the
    cupboard with its days, dishes eaten are known to 'plan --no-repeats'. Batches are to be chosen
    anew. Exit codes: 0 done, 2 bad input.
    """
    from optimiser.interface.whole import new_file, write_whole  # noqa: PLC0415

    to_print = output is not None and str(output) == "-"
    place = None
    if output is not None and not to_print:
        place = new_file(output, "a week cannot be written there")
    answer = asked.next_week(File(plan_file))
    if to_print and not as_json:
        show(answer.text)
        return
    if place is not None:
        write_whole(place, answer.text)
        answer = answer.model_copy(update={"written": str(output)})
    tell(answer, as_json=as_json)
