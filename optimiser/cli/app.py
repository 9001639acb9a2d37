"""What every command needs: its name, its exit codes, how it prints, waits and fails."""

from __future__ import annotations

import atexit
import gc
import inspect
import json
import os
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from enum import IntEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer
from typer.main import get_group

from models.words.errors import InputError
from models.words.text import ISOLATES, isolated, quoted
from optimiser import abrupt
from optimiser.cli import streams
from optimiser.interface.given import File, read_week
from optimiser.interface.told import render

if TYPE_CHECKING:
    from pydantic import BaseModel

    from models.answers.plan import AnswerPart
    from models.week.week import Week


class Exit(IntEnum):
    """What the exit code says."""

    DONE = 0
    NO_PLAN = 1
    BAD_INPUT = 2
    NO_TIME = 3
    FAULT = 70
    INTERRUPTED = abrupt.INTERRUPTED


app = typer.Typer(
    name="clearfridge",
    help="Plans packed lunches from a few big batches so that nothing is left over.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    epilog="Exit codes: 0 done; 1 no plan is possible, or the audit found faults; 2 bad input; "
    "3 the time limit struck before any plan; 70 a fault of the program; 130 interrupted.",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)


def code_of(status: str, *, interrupted: bool = False) -> Exit:
    """Give the exit code of an answer by the status of its plan.

    Parameters
    ----------
    status
        "optimal", "feasible", "infeasible" or "unknown".
    interrupted
        Whether somebody stopped it.

    Returns
    -------
    Exit
        0 done, 1 no plan is possible, 3 no time for any plan, 130 interrupted.

    Examples
    --------
    >>> int(code_of("infeasible"))
    1
    """
    if interrupted:
        return Exit.INTERRUPTED
    return {"infeasible": Exit.NO_PLAN, "unknown": Exit.NO_TIME}.get(status, Exit.DONE)


WeekName = Annotated[
    str,
    typer.Argument(
        metavar="FILE", help="A week file, '-' for standard input, or a ready week such as demo."
    ),
]
SavedPlan = Annotated[
    str, typer.Argument(metavar="PLAN", help="A saved plan, or '-' for standard input.")
]
OwnFoods = Annotated[
    list[str] | None,
    typer.Option(
        "--foods",
        metavar="TABLE",
        help="Foods of your own: a CSV with the columns of 'food NAME --csv', or a USDA "
        "FoodData Central download (folder or zip). May be given several times.",
    ),
]
Full = Annotated[
    bool, typer.Option("--full", help="With dates, allergens, every proof and every caution.")
]
Seconds = Annotated[float, typer.Option(min=0.01, max=86_400, help="Time limit for all of it.")]
SecondsIfAny = Annotated[
    float | None,
    typer.Option(min=0.01, max=86_400, help="Time limit for all of it; none if left out."),
]
SecondsWithReasons = Annotated[
    float, typer.Option(min=0.01, max=86_400, help="Time limit, reasons included.")
]
Chart = Annotated[bool, typer.Option("--chart/--no-chart", help="Draw a chart below the table.")]
Svg = Annotated[Path | None, typer.Option(metavar="FILE", help="Draw it into this SVG file too.")]
Cluster = Annotated[
    str | None,
    typer.Option(
        metavar="ADDRESS",
        help="Plan its many weeks on a Dask cluster of your own, as tcp://host:port.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON.")]


def main() -> None:
    """Run the command; every fault of the input ends as one message and code 2.

    Examples
    --------
    >>> from io import StringIO
    >>> from unittest.mock import patch
    >>> out, told = patch("sys.stdout", StringIO()), patch("sys.stderr", StringIO())
    >>> with patch("sys.argv", ["clearfridge", "food", "gravel"]), out, told as complaint:
    ...     try:
    ...         main()
    ...     except SystemExit as end:
    ...         code = int(end.code)
    >>> code, complaint.getvalue().splitlines()[0]
    (2, "clearfridge: food 'gravel': the food table has no single food named 'gravel'")
    """
    _drop_at_once()
    # Who has plugins for pydantic has them for programs of their own; looking for them takes 20 ms.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    streams.prepare()
    with abrupt.listening():
        try:
            try:
                words = _filled_in(_short(sys.argv[1:]))
                _command(words[0] if words else "")(args=words)
            finally:
                sys.stdout.flush()
        except KeyboardInterrupt:
            abrupt.leave(Exit.INTERRUPTED)
        except SystemExit as end:
            abrupt.leave(end.code)
        except InputError as fault:
            fail(fault)
        except OSError as fault:
            # What reads and writes says more; this is what nobody could foresee of a disk.
            told = safe(fault.strerror or str(fault))[:200]
            what = f"it cannot be read or written ({told})"
            fail(InputError(str(fault.filename or "a file"), what, "Check that it is still there."))
        except Exception as fault:
            if abrupt.cut_off(fault):
                abrupt.leave(Exit.INTERRUPTED)
            if os.environ.get("CLEARFRIDGE_TRACE"):
                raise
            sys.stderr.write(
                f"clearfridge: a fault of the program, not of your file ({type(fault).__name__}: "
                f"{safe(str(fault))[:200]})\nSet CLEARFRIDGE_TRACE=1 to see where, and report it.\n"
            )
            sys.exit(Exit.FAULT)


@cache
def _drop_at_once() -> None:
    """Seek no cycles of what was dropped at the end, when all goes at once."""
    atexit.register(gc.freeze)


@cache
def _command(word: str) -> Callable[..., object]:
    """Build what a word names, or all: reading every signature takes longer than to check."""
    from optimiser.cli import load  # noqa: PLC0415 - it needs this module first

    load(word)
    command = get_group(app)
    for each in (command, *getattr(command, "commands", {}).values()):
        setattr(each, "get_params", _typeless(each.get_params))  # noqa: B010 - one command's own
        paragraphs = inspect.cleandoc(each.help or "").split("\n\n")
        each.help = "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs)
    return command


def _typeless(params: Callable[..., list[Any]]) -> Callable[..., list[Any]]:
    """Leave out of --help how Python calls what an option takes."""

    def told(context: object) -> list[Any]:
        known = params(context)
        for param in known:
            if param.param_type_name == "argument":
                param.display_type_rich = lambda ctx: None
            elif getattr(param, "is_flag", False):
                param.metavar = ""
            elif param.metavar is None and param.name == "seconds":
                param.metavar = "SECONDS"
            elif param.metavar is None and "range" in param.display_type(context):
                param.metavar = "N"
        return known

    return told


LONGEST_WORD = 4_096
"""Letters of one word of a command: as many as a path may have."""


def _short(words: list[str]) -> list[str]:
    """Refuse a word that nobody typed, before it is looked up or said again."""
    for word in words:
        if len(word) > LONGEST_WORD:
            what = f"this word has {len(word):,} letters"
            raise InputError(quoted(word), what, f"Write at most {LONGEST_WORD:,}.")
    return words


def _filled_in(words: list[str]) -> list[str]:
    """Give an option that may stand alone what it then means."""
    typed: list[str] = []
    for at, word in enumerate(words):
        typed.append(word)
        if word == "--no-repeats" and (at + 1 == len(words) or words[at + 1] not in _WAYS):
            typed.append(_WAYS[0])
    return typed


_WAYS = ("dish", "kind", "all")


def fail(fault: InputError) -> NoReturn:
    """End with one message and code 2.

    Parameters
    ----------
    fault
        What is wrong, where, and how to mend it.

    Raises
    ------
    SystemExit
        Always.

    Examples
    --------
    >>> from contextlib import redirect_stderr
    >>> with redirect_stderr(sys.stdout):
    ...     try:
    ...         fail(InputError("mine.yaml", "it is empty", "Write a week into it."))
    ...     except SystemExit as end:
    ...         print(int(end.code))
    clearfridge: mine.yaml: it is empty
    Write a week into it.
    2
    """
    lines = (f"clearfridge: {fault.where}: {fault.what}", fault.mend)
    sys.stderr.write("".join(f"{safe(line)}\n" for line in lines))
    sys.exit(Exit.BAD_INPUT)


def safe(text: str) -> str:
    r"""Keep a stranger's text from steering the terminal.

    Parameters
    ----------
    text
        Any text.

    Returns
    -------
    str
        What is not printable is U+FFFD; what turns the direction of writing is held in itself.

    Examples
    --------
    >>> safe("a\x1b[2Jb")
    'a\ufffd[2Jb'
    """
    return isolated("".join(letter if letter.isprintable() else "\ufffd" for letter in text))


def colour() -> bool:
    """Tell whether the output may be coloured.

    Returns
    -------
    bool
        False where it goes to a file, or the environment says so (`NO_COLOR`, a dumb terminal).

    Examples
    --------
    >>> from contextlib import redirect_stdout
    >>> from io import StringIO
    >>> with redirect_stdout(StringIO()):
    ...     to_a_file = colour()
    >>> to_a_file
    False
    """
    return (
        sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    )


def columns() -> int:
    """Give the width of the terminal, or 80 where there is none: from 40 to 120 columns.

    Returns
    -------
    int
        `COLUMNS` in the environment goes before what the terminal says.

    Examples
    --------
    >>> from unittest.mock import patch
    >>> with patch.dict(os.environ, COLUMNS="200"):
    ...     columns()
    120
    >>> with patch.dict(os.environ, COLUMNS="20"):
    ...     columns()
    40
    """
    wide = 80
    if sys.stdout.isatty() or os.environ.get("COLUMNS"):
        wide = shutil.get_terminal_size((wide, 24)).columns
    return min(max(wide, 40), 120)


# Marks that turn the direction of writing could make a line read as another.
_TURNING = "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_SHOWN = {ord(mark): "\ufffd" for mark in _TURNING if mark not in ISOLATES}
_ESCAPED = {ord(mark): f"\\u{ord(mark):04x}" for mark in _TURNING}


def show(text: str) -> None:
    """Print a result; no stranger's text may turn the direction of writing.

    Parameters
    ----------
    text
        What to print; a line break is added where it ends without one.

    Examples
    --------
    >>> show("three lunches")
    three lunches
    """
    text = text.translate(_SHOWN)
    sys.stdout.write(text if text.endswith("\n") else text + "\n")
    sys.stdout.flush()


def show_json(answer: BaseModel | Mapping[str, Any] | Sequence[BaseModel]) -> None:
    """Print an answer, or several, for scripts.

    Parameters
    ----------
    answer
        An answer, several, or plain data.

    Examples
    --------
    >>> show_json({"lunches": 3})
    {
      "lunches": 3
    }
    """
    data: Any = answer
    if isinstance(answer, Sequence):
        data = [each.model_dump(mode="json", by_alias=True) for each in answer]
    elif not isinstance(answer, Mapping):
        data = answer.model_dump(mode="json", by_alias=True)
    show(json.dumps(data, indent=2, ensure_ascii=False).translate(_ESCAPED))


def _version(wanted: bool) -> None:
    if wanted:
        from importlib import metadata  # noqa: PLC0415

        from models.foods.licence import OGL  # noqa: PLC0415

        show(f"clearfridge {metadata.version('clearfridge')}\n{OGL}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")
    ] = False,
) -> None:
    """Plan packed lunches from a few big batches so that nothing is left over."""


def week_in(file: str, foods: list[str] | None) -> Week:
    """Read a week file, with the tables of own foods that go before the program's.

    Parameters
    ----------
    file
        A path, "-" for standard input, or the name of a ready week.
    foods
        Paths of tables of own foods.

    Returns
    -------
    Week
        Frozen.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> week_in("minimal", None).name
    'Minimal week'
    """
    return read_week(File(file), foods or ())


def tell(answer: AnswerPart, *, as_json: bool, **ways: Any) -> None:
    """Print an answer: as text, or as JSON for scripts.

    Parameters
    ----------
    answer
        Any answer.
    as_json
        Whether as JSON, for scripts.
    ways
        What else its report knows, as `chart=False`.

    Examples
    --------
    >>> from contextlib import redirect_stdout
    >>> from io import StringIO
    >>> from optimiser import check
    >>> with redirect_stdout(StringIO()) as shown:
    ...     tell(check("minimal"), as_json=True)
    >>> json.loads(shown.getvalue())["name"]
    'Minimal week'
    """
    show_json(answer) if as_json else show(render(answer, colour=colour(), width=columns(), **ways))
