"""The command for a week that runs and goes otherwise than planned."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import AsJson, Full, SavedPlan, SecondsWithReasons, app, code_of, tell
from optimiser.interface import asked
from optimiser.interface.given import File

if TYPE_CHECKING:
    from optimiser.interface.whole import Target


_Today = Annotated[
    str | None,
    typer.Option(
        metavar="DAY",
        help="The first day still to be packed, as wed or 2026-12-02. Earlier lunches are "
        "eaten as planned.",
    ),
]
_NoLunch = Annotated[
    list[str] | None,
    typer.Option(metavar="DAY", help="No lunch on that day: thu, or Ada@thu for one eater."),
]
_Ate = Annotated[
    list[str] | None,
    typer.Option(
        metavar="BATCH=N",
        help="Portions eaten besides lunches: 'leek bake=2'. From the fridge first.",
    ),
]
_Dropped = Annotated[
    list[str] | None,
    typer.Option(metavar="BATCH=N", help="Portions spilt or spoilt: 'pea soup=1'."),
]
_Froze = Annotated[
    list[str] | None,
    typer.Option(
        metavar="BATCH=N",
        help="How many were really frozen when some were to be: 'stew=2', 'stew=0' for none, "
        "'stew=2@wed' for what was frozen that day.",
    ),
]
_Joined = Annotated[
    list[str] | None,
    typer.Option(
        metavar="EATER@DAY",
        help="A lunch more: Sam@fri. Who is not of the week comes as a guest.",
    ),
]
_FewestChanges = Annotated[
    bool,
    typer.Option("--fewest-changes", help="Few changed lunches come before little left over."),
]
_Strict = Annotated[
    bool,
    typer.Option("--strict", help="No rule gives way: no plan where none keeps them all."),
]
_NewPlan = Annotated[
    Path | None, typer.Option("-o", "--output", metavar="NEW", help="Keep the new plan here.")
]
_InPlace = Annotated[
    bool, typer.Option("--in-place", help="Put the new plan in the place of the old one.")
]


@app.command(epilog="Example: clearfridge change plan.json --today wed --no-lunch thu -o new.json")
def change(
    plan_file: SavedPlan,
    today: _Today = None,
    no_lunch: _NoLunch = None,
    ate: _Ate = None,
    dropped: _Dropped = None,
    froze: _Froze = None,
    joined: _Joined = None,
    fewest_changes: _FewestChanges = False,
    strict: _Strict = False,
    output: _NewPlan = None,
    in_place: _InPlace = False,
    seconds: SecondsWithReasons = 60.0,
    full: Full = False,
    as_json: AsJson = False,
) -> None:
    """Plan the rest of a running week again: a lunch falls through, portions are gone.

    What is eaten stands. What no lunch takes is frozen today where there is room, and counts as
    frozen until --froze says otherwise. As little as can be is left over, where that is a priority
    of the week, and as few lunches as can be move; each that moves says why. Where no plan keeps
    every rule, as little gives way as can: variety, then floors, and at last a lunch is to buy;
    never what keeps food safe. Exit codes: 0 a plan, 1 none is possible (only with --strict),
    2 bad input, 3 no plan within the time limit, 130 interrupted (the best plan so far is shown).
    """
    from optimiser.interface.whole import write_whole  # noqa: PLC0415

    place = _target(plan_file, output, in_place=in_place)
    answer = asked.change(
        File(plan_file),
        today,
        no_lunch=no_lunch or (),
        ate=ate or (),
        dropped=dropped or (),
        froze=froze or (),
        joined=joined or (),
        fewest_changes=fewest_changes,
        strict=strict,
        seconds=seconds,
    )
    if place is not None and answer.plan.is_planned:
        write_whole(place, answer.plan.model_dump_json(indent=2) + "\n")
        written = plan_file if in_place else str(output)
        answer = answer.model_copy(update={"written": written})
    tell(answer, as_json=as_json, full=full)
    raise typer.Exit(code_of(answer.plan.status, interrupted=answer.plan.interrupted))


def _target(plan_file: str, output: Path | None, *, in_place: bool) -> Target | None:
    """Say where the new plan goes; refuse what it cannot be written to."""
    from optimiser.interface.whole import new_file, target  # noqa: PLC0415

    cannot = "a plan cannot be written there"
    if in_place and output is not None:
        raise InputError("--in-place", "it does not go with -o", "Leave one of the two out.")
    if in_place and plan_file == "-":
        raise InputError(
            "--in-place", "standard input cannot be written to", "Name the file: -o NEW.json"
        )
    if in_place:
        return target(Path(plan_file), cannot)
    if output is None:
        return None
    return new_file(output, cannot)
