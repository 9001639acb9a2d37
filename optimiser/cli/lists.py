"""The commands of the sheets that are plain lists: one for each list there is."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from optimiser.cli.app import AsJson, OwnFoods, app
from optimiser.cli.sheets import Force, Output, PlanName, planned, put, tell_or_put, to_write
from optimiser.interface.lists import listed
from optimiser.sheets.lists import about, names


class ListForm(StrEnum):
    """What a list is written as."""

    TEXT = "text"
    HTML = "html"


CODES = (
    "Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit, "
    "130 interrupted."
)


def _offer(name: str) -> None:
    def ask(
        file: PlanName,
        form: Annotated[
            ListForm, typer.Option("--as", help="Text, or an HTML sheet to print.")
        ] = ListForm.TEXT,
        output: Output = None,
        force: Force = False,
        foods: OwnFoods = None,
        as_json: AsJson = False,
    ) -> None:
        place = to_write(output, file, foods, as_json=as_json, force=force)
        answer = listed(name)(planned(file, foods))
        if form is ListForm.TEXT or as_json:
            tell_or_put(answer, place, as_json=as_json)
        else:
            from optimiser.report.listing import html  # noqa: PLC0415

            put(html(answer), place)

    app.command(
        name,
        help=f"{about(name)}\n\n{CODES}",
        epilog=f"Example: clearfridge {name} plan.json --as html -o {name}.html",
    )(ask)


for _name in names():
    _offer(_name)
