"""The command that opens a week at the kitchen table: in a browser on this machine."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from models.words.errors import InputError
from optimiser.cli.app import OwnFoods, app, show
from optimiser.interface.given import own_foods


@app.command("open", epilog="Example: clearfridge open week.yaml")
def open_(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="A week file; week.yaml where left out.")
    ] = "week.yaml",
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in your browser.")
    ] = True,
    foods: OwnFoods = None,
) -> None:
    """Open a week in a browser on this machine, and plan it again as you change it.

    Where there is no file yet, it begins with the recipes that you paste.

    It prints the address, answers no other machine and no other page, and runs until Ctrl-C. What
    you change there is changed in the file, where comments stay; the plan is never out of date.
    Exit codes: 0 done, 2 bad input.
    """
    from models.file.reading import ready_weeks  # noqa: PLC0415

    own = own_foods(foods or ())
    try:
        from optimiser.table.opened import opened  # noqa: PLC0415
        from optimiser.table.serving import TableServer  # noqa: PLC0415
        from optimiser.table.sitting import Sitting  # noqa: PLC0415
    except ModuleNotFoundError as missing:
        what = f"what it needs besides is not installed ({missing.name})"
        raise InputError("open", what, "Write: pip install 'clearfridge[table]'") from None
    if not Path(file).exists() and file in ready_weeks():
        mend = f"Begin a file with it: clearfridge new week.yaml --from {file}"
        raise InputError(file, "this is a ready week and no file of yours", mend)
    serving = TableServer(Sitting(opened(file), own))
    with suppress(KeyboardInterrupt), serving.stoppable():
        show(f"Open at {serving.address}\nCtrl-C ends it.")
        serving.run(browser=browser)
