"""The command `clearfridge`: thin, and importing no more than a command needs."""

from __future__ import annotations

import json
import os
import sys
import threading
from collections.abc import Callable
from dataclasses import asdict
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from models.errors import InputError

if TYPE_CHECKING:
    from models.planfile import PlanFile
    from models.week import Week
    from models.yamltext import Document
    from optimiser.cpsat import Stop


# Room is left for the name of the file that is written first and then takes its place.
LONGEST_FILE_NAME = 200


class Exit(IntEnum):
    """What the exit code says."""

    DONE = 0
    NO_PLAN = 1
    BAD_INPUT = 2
    NO_TIME = 3
    FAULT = 70
    INTERRUPTED = 130


app = typer.Typer(
    name="clearfridge",
    help="Plans packed lunches from a few big batches so that nothing is left over.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)

WeekName = Annotated[
    str,
    typer.Argument(
        metavar="FILE", help="A week file, '-' for standard input, or a ready week such as demo."
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON.")]


def main() -> None:
    """Run the command; every fault of the input ends as one message and code 2."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        app()
    except InputError as fault:
        _fail(fault)
    except Exception as fault:
        if os.environ.get("CLEARFRIDGE_TRACE"):
            raise
        sys.stderr.write(
            f"clearfridge: a fault of the program, not of your file ({type(fault).__name__}: "
            f"{_safe(str(fault))[:200]})\nSet CLEARFRIDGE_TRACE=1 to see where, and report it.\n"
        )
        sys.exit(Exit.FAULT)


def _fail(fault: InputError) -> NoReturn:
    lines = (f"{fault.where}: {fault.what}", fault.mend)
    sys.stderr.write(f"clearfridge: {_safe(lines[0])}\n{_safe(lines[1])}\n")
    sys.exit(Exit.BAD_INPUT)


def _safe(text: str) -> str:
    """Keep a stranger's text from steering the terminal."""
    return "".join(one if one.isprintable() else "\ufffd" for one in text)


def _colour() -> bool:
    return (
        sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    )


# Marks that turn the direction of writing could make a line read as another.
_TURNING = "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_SHOWN = {ord(mark): "\ufffd" for mark in _TURNING}
_ESCAPED = {ord(mark): f"\\u{ord(mark):04x}" for mark in _TURNING}


def _print(text: str) -> None:
    text = text.translate(_SHOWN)
    try:
        sys.stdout.write(text if text.endswith("\n") else text + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read the output has gone; leave quietly, as other tools do.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(Exit.DONE)


def _print_json(data: Any) -> None:
    _print(json.dumps(data, indent=2, ensure_ascii=False).translate(_ESCAPED))


def _version(wanted: bool) -> None:
    if wanted:
        from importlib import metadata  # noqa: PLC0415

        _print(f"clearfridge {metadata.version('clearfridge')}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")
    ] = False,
) -> None:
    """Plan packed lunches from a few big batches so that nothing is left over."""


@app.command(epilog="Example: clearfridge plan demo --save plan.json")
def plan(
    file: WeekName,
    save: Annotated[
        Path | None, typer.Option(metavar="PLAN", help="Keep the plan in this file.")
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the search.")
    ] = 60.0,
    reasons: Annotated[
        bool, typer.Option("--reasons/--no-reasons", help="Say why for each lunch.")
    ] = True,
    as_json: AsJson = False,
) -> None:
    """Find the best week and report it, with the rule that bound each lunch.

    Exit codes: 0 a plan, 1 none is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted (the best plan so far is shown).
    """
    from models.reading import read_document, week_of  # noqa: PLC0415
    from optimiser.files import write_whole  # noqa: PLC0415

    document = read_document(file)
    week = week_of(document)
    if save is not None:
        _may_replace(save)
    made = _planned(document, week, seconds, reasons=reasons)
    if save is not None and made.lunches:
        write_whole(save, made.model_dump_json(indent=2) + "\n")
    if as_json:
        _print_json(made.model_dump(mode="json"))
    else:
        from optimiser.report.plan import text  # noqa: PLC0415

        _print(text(made, colour=_colour()))
    raise typer.Exit(_exit_code(made))


def _exit_code(made: PlanFile) -> Exit:
    if made.interrupted:
        return Exit.INTERRUPTED
    return {"infeasible": Exit.NO_PLAN, "unknown": Exit.NO_TIME}.get(made.status, Exit.DONE)


def _may_replace(path: Path) -> None:
    """Refuse to write over anything but a plan."""
    if _is_there(path, "a plan cannot be written there"):
        from optimiser.audit import read_plan  # noqa: PLC0415

        try:
            read_plan(str(path))
        except InputError:
            raise InputError(
                str(path), "it is there already and is no plan", "Name another file for the plan."
            ) from None


def _is_there(path: Path, cannot: str) -> bool:
    """Tell whether there is an ordinary file; refuse what no file can be written to."""
    try:
        # A name may be too long to ask about.
        there = path.exists() or path.is_symlink()
        good = path.parent.is_dir() and (path.is_file() or not there)
    except OSError:
        there, good = False, False
    if not good or len(path.name.encode()) > LONGEST_FILE_NAME:
        raise InputError(str(path), cannot, "Name an ordinary file in a folder that is there.")
    return there


def _planned(document: Document, week: Week, seconds: float, *, reasons: bool) -> PlanFile:
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.planning import plan_document  # noqa: PLC0415

    stop = Stop()
    return _in_background(
        lambda say: plan_document(
            document, week, seconds=seconds, stop=stop, reasons=reasons, say=say
        ),
        stop,
    )


def _in_background(work: Callable[[Callable[[str], None]], PlanFile], stop: Stop) -> PlanFile:
    """Work in a thread, so that an interrupt reaches the search; show what it is doing."""
    done: list[PlanFile] = []
    failed: list[BaseException] = []
    doing = ["starting"]
    # An event and not Thread.join: an interrupted join takes the thread for ended.
    ended = threading.Event()

    def run() -> None:
        try:
            done.append(work(lambda text: doing.__setitem__(0, text)))
        except BaseException as fault:  # noqa: BLE001 - handed on to the main thread
            failed.append(fault)
        finally:
            ended.set()

    threading.Thread(target=run, daemon=True).start()
    try:
        if not ended.wait(1.0):
            _show_until(ended, doing)
    except KeyboardInterrupt:
        stop.now()
        ended.wait()
    if failed:
        raise failed[0]
    return done[0]


def _show_until(ended: threading.Event, doing: list[str]) -> None:
    if not sys.stderr.isatty():
        ended.wait()
        return
    from rich.console import Console  # noqa: PLC0415

    with Console(stderr=True).status("") as status:
        while not ended.wait(0.2):
            status.update(f"{doing[0]} (Ctrl-C stops and shows the best so far)")


@app.command(epilog="Example: clearfridge check demo")
def check(file: WeekName, as_json: AsJson = False) -> None:
    """Show how a week file was understood, without solving it."""
    from models.reading import read_week  # noqa: PLC0415

    week = read_week(file)
    if as_json:
        from optimiser.understanding import as_data  # noqa: PLC0415

        _print_json(as_data(week))
    else:
        from optimiser.report.check import text  # noqa: PLC0415

        _print(text(week, colour=_colour()))


@app.command(epilog="Example: clearfridge audit plan.json --week week.yaml")
def audit(
    plan_file: Annotated[
        str, typer.Argument(metavar="PLAN", help="A saved plan, or '-' for standard input.")
    ],
    week: Annotated[
        str | None, typer.Option(metavar="FILE", help="Judge it by this week instead of its own.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Hold a saved plan, edited or not, against every rule, without a solver.

    Exit codes: 0 no fault, 1 faults were found, 2 bad input.
    """
    from models.reading import read_week  # noqa: PLC0415
    from optimiser.audit import audit as find  # noqa: PLC0415
    from optimiser.audit import read_plan  # noqa: PLC0415

    made = read_plan(plan_file)
    source = "standard input" if plan_file == "-" else plan_file
    findings = find(made, read_week(week) if week is not None else None, source)
    if as_json:
        _print_json({"faults": [asdict(finding) for finding in findings]})
    else:
        from optimiser.report.audit import text as write  # noqa: PLC0415

        _print(write(findings, colour=_colour()))
    raise typer.Exit(Exit.NO_PLAN if findings else Exit.DONE)


@app.command(epilog="Example: clearfridge new week.yaml")
def new(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="Where to write it, or '-' to print it.")
    ],
    ready: Annotated[
        str, typer.Option("--from", metavar="NAME", help="Start from this ready week.")
    ] = "starter",
    as_json: Annotated[bool, typer.Option("--json", help="Say as JSON what was written.")] = False,
) -> None:
    """Write a commented week file to start from."""
    from models.reading import ready_text, ready_weeks  # noqa: PLC0415
    from models.weekfile import nearest  # noqa: PLC0415
    from optimiser.files import write_whole  # noqa: PLC0415

    if ready not in ready_weeks():
        raise InputError(
            "--from", f"there is no ready week named {ready!r}", nearest(ready, ready_weeks())
        )
    text = ready_text(ready)
    if file == "-":
        _print_json({"written": None, "text": text}) if as_json else _print(text)
        return
    path = Path(file)
    if _is_there(path, "a week cannot be written there"):
        raise InputError(file, "it is there already", "Name another file; nothing was written.")
    write_whole(path, text)
    if as_json:
        _print_json({"written": file})
    else:
        _print(f"Wrote {file}. Next: clearfridge check {file}")


@app.command(epilog="Example: clearfridge food 'green lentils, dry'")
def food(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food, as you would say it.")],
    as_json: AsJson = False,
) -> None:
    """Show what the food table knows of a food, and where each figure comes from."""
    from models.foods import find  # noqa: PLC0415
    from optimiser.report import food as report  # noqa: PLC0415

    found = find(name)
    if as_json:
        _print_json(report.as_data(found))
    else:
        _print(report.text(found, colour=_colour()))


@app.command(epilog="Example: clearfridge schema > week.schema.json")
def schema(
    of_plan: Annotated[
        bool, typer.Option("--plan", help="The schema of the plan file instead.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="The schema is JSON already; for habit.")
    ] = False,
) -> None:
    """Print the JSON Schema of the week file, so that an editor can help to write it."""
    if of_plan:
        from models.planfile import PlanFile  # noqa: PLC0415

        found = PlanFile.model_json_schema(mode="serialization")
    else:
        from models.weekfile import WeekFile  # noqa: PLC0415

        found = WeekFile.model_json_schema()
    _print_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **found})
