"""The command that writes the page."""

from __future__ import annotations

import textwrap
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.numbers import counted, listed
from optimiser.cli.app import (
    AsJson,
    Cluster,
    Exit,
    OwnFoods,
    SecondsIfAny,
    app,
    columns,
    show,
    show_json,
)
from optimiser.cli.sheets import Force, PlanName, planned, put, to_write
from optimiser.interface import sheets
from optimiser.interface.told import render

if TYPE_CHECKING:
    from models.answers.plan import PlanFile


@app.command(epilog="Example: clearfridge page demo -o week.html")
def page(
    file: PlanName,
    output: Annotated[Path, typer.Option("-o", "--output", metavar="NEW", help="The HTML file.")],
    sliders: Annotated[
        bool, typer.Option("--sliders/--no-sliders", help="Plan other volumes of each batch.")
    ] = True,
    verdicts: Annotated[
        bool, typer.Option("--verdicts/--no-verdicts", help="Say what each lunch was not.")
    ] = True,
    on_paper: Annotated[
        bool, typer.Option("--print", help="The one sheet for the fridge door, and no more.")
    ] = False,
    seconds: SecondsIfAny = None,
    cluster: Cluster = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write one HTML file for the phone and the fridge door; it needs no network.

    Today's box first; the week, the list to tick, the prep day, tubs, other volumes and why. It
    prints as one sheet, A4 or Letter.
    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted (the page shows what was known).
    """
    from optimiser.interface.cluster import on_cluster  # noqa: PLC0415
    from optimiser.report.page import is_ours  # noqa: PLC0415

    on_cluster(cluster)
    place = to_write(output, file, foods, force=force, ours=is_ours)
    began = monotonic()
    held = planned(file, foods, reasons=not on_paper, seconds=seconds)
    left = None if seconds is None else max(0.01, seconds - (monotonic() - began))
    sliders, verdicts = sliders and not on_paper, verdicts and not on_paper
    if not as_json and (what := _takes_long(held.plan, sliders=sliders, verdicts=verdicts)):
        show(what)
    answer = sheets.page(held, sliders=sliders, verdicts=verdicts, seconds=left, cluster=cluster)
    put(render(answer, on_paper=on_paper), place)
    if as_json:
        show_json({"written": str(output), "lunches": len(held.plan.lunches)})
    else:
        show(f"Wrote {output}.")
        if answer.late:
            show("The time limit struck: other dishes and volumes lack where they were not known.")
    if answer.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)


def _takes_long(plan: PlanFile, *, sliders: bool, verdicts: bool) -> str:
    """Say beforehand what takes long, and how to do without; nothing where nothing does."""
    if plan.groups:
        # Where eaters are counted neither is asked.
        return ""
    lunches = counted(len(plan.lunches), "lunch")
    batches = counted(sum(not batch.earlier for batch in plan.batches), "batch")
    parts = [f"every other dish at {lunches} (--no-verdicts)"] if verdicts else []
    parts += [f"other volumes of {batches} (--no-sliders)"] if sliders and plan.batches else []
    text = f"What takes longest is planned now: {listed(parts)}."
    return textwrap.fill(text, columns(), break_on_hyphens=False) if parts else ""
