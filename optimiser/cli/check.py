"""The command that shows how a week file was understood."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, Exit, OwnFoods, WeekName, app, fail, safe, show_json, tell
from optimiser.interface import asked
from optimiser.interface.given import own_foods

if TYPE_CHECKING:
    from models.week.week import Week


@app.command(epilog="Example: clearfridge check demo --trace 'leek bake'")
def check(
    file: WeekName,
    trace: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Print the sum behind this batch or larder item."),
    ] = None,
    nutrient: Annotated[
        str, typer.Option(metavar="NUTRIENT", help="With --trace: which nutrient.")
    ] = "protein",
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Show how a week file was understood: dates, sources, allergens, rules.

    Exit codes: 0 done, 2 bad input.
    """
    week = _read(file, foods, as_json=as_json)
    if trace is None:
        tell(asked.check(week), as_json=as_json)
    else:
        tell(asked.trace(week, trace, nutrient), as_json=as_json)


def _read(file: str, foods: list[str] | None, *, as_json: bool) -> Week:
    """Read a week file; end with all its faults where it has any."""
    from models.file.every_fault import every_fault  # noqa: PLC0415
    from models.file.reading import text_of  # noqa: PLC0415

    own = own_foods(foods or ())
    week, faults = every_fault(*text_of(file), own)
    if week is not None:
        return week
    if as_json:
        show_json({"faults": [_as_data(fault) for fault in faults]})
        sys.exit(Exit.BAD_INPUT)
    if len(faults) == 1:
        fail(faults[0])
    lines = [f"clearfridge: {faults[0].where.source}: {len(faults)} faults"]
    for fault in faults:
        place = str(fault.where).removeprefix(f"{fault.where.source}, ")
        lines += [f"{place}: {fault.what}", f"  {fault.mend}"]
    sys.stderr.write("".join(f"{safe(line)}\n" for line in lines))
    sys.exit(Exit.BAD_INPUT)


def _as_data(fault: InputError) -> dict[str, object]:
    where = fault.where
    return {
        "line": where.line,
        "column": where.column,
        "path": list(where.path),
        "what": fault.what,
        "mend": fault.mend,
    }
