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
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, TypeVar

import typer

from models.errors import InputError

if TYPE_CHECKING:
    from models.foods import Food
    from models.packed import PackedWeek
    from models.planfile import PlanFile
    from models.week import Week
    from models.yamltext import Document
    from optimiser.cpsat import Stop
    from optimiser.wishes import Wish


Made = TypeVar("Made")

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
OwnFoods = Annotated[
    list[str] | None,
    typer.Option(
        "--foods",
        metavar="TABLE",
        help="Foods of your own: a CSV with the columns of 'food NAME --csv', or a USDA "
        "FoodData Central download (folder or zip). May be given several times.",
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
    lines = (f"clearfridge: {fault.where}: {fault.what}", fault.mend)
    sys.stderr.write("".join(f"{_safe(line)}\n" for line in lines))
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
    prefer: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="Have a dish on a day: 'Stuffed pitta on tue'."),
    ] = None,
    keep: Annotated[
        str | None,
        typer.Option(metavar="PLAN", help="Change as few lunches of this saved plan as can be."),
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the best week, and say why for each lunch.

    Exit codes: 0 a plan, 1 none is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted (the best plan so far is shown).
    """
    from models.reading import read_document, week_of  # noqa: PLC0415
    from optimiser.files import write_whole  # noqa: PLC0415

    document = read_document(file)
    week = week_of(document, _own_foods(foods))
    if save is not None:
        _may_replace(save)
    wishes = _wishes(week, prefer)
    near = None if keep is None else _packed_before(week, keep)
    made = _planned(document, week, seconds, reasons=reasons, prefer=wishes, near=near)
    if save is not None and made.lunches:
        write_whole(save, made.model_dump_json(indent=2) + "\n")
    if as_json:
        _print_json(made.model_dump(mode="json"))
    else:
        from optimiser.report.plan import text  # noqa: PLC0415

        _print(text(made, colour=_colour()))
    raise typer.Exit(_exit_code(made))


def _own_foods(files: list[str] | None) -> tuple[Food, ...]:
    """Read the user's own food tables; of two that name the same food the last one holds."""
    found: list[Food] = []
    for file in files or []:
        # A download is a folder or a zip; everything else is taken for a table.
        if file != "-" and (Path(file).is_dir() or file.casefold().endswith(".zip")):
            from models.fdc import read_fdc  # noqa: PLC0415

            found += read_fdc(file)
        else:
            from models.owntable import read_own  # noqa: PLC0415
            from models.storage import class_names, storage  # noqa: PLC0415

            names = {*storage(), *(name for one in storage().values() for name in one.names)}
            found += read_own(file, frozenset(names | set(class_names())))
    return tuple(found)


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


def _wishes(week: Week, said: list[str] | None) -> list[Wish]:
    if not said:
        return []
    from optimiser.wishes import wish_of  # noqa: PLC0415

    return [wish_of(week, one, "--prefer") for one in said]


def _packed_before(week: Week, file: str) -> PackedWeek:
    """Read a saved plan of this week."""
    from optimiser.audit import packed_of, read_plan  # noqa: PLC0415

    saved = read_plan(file)
    if not {line.date for line in saved.lunches} <= set(week.days):
        raise InputError(file, "this plan is of another week", "Name a plan of the same days.")
    return packed_of(saved, week, file)


def _planned(
    document: Document,
    week: Week,
    seconds: float,
    *,
    reasons: bool,
    prefer: list[Wish],
    near: PackedWeek | None,
) -> PlanFile:
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.planning import plan_document  # noqa: PLC0415

    stop = Stop()
    return _in_background(
        lambda say: plan_document(
            document,
            week,
            seconds=seconds,
            stop=stop,
            reasons=reasons,
            prefer=prefer,
            near=near,
            say=say,
        ),
        stop,
    )


def _in_background(work: Callable[[Callable[[str], None]], Made], stop: Stop) -> Made:
    """Work in a thread, so that an interrupt reaches the search; show what it is doing."""
    done: list[Made] = []
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


@app.command(epilog="Example: clearfridge why demo tue --not 'Barley bowl'")
def why(
    file: WeekName,
    day: Annotated[
        str | None, typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01.")
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Whose lunch, where there are several.")
    ] = None,
    not_: Annotated[
        str | None, typer.Option("--not", metavar="DISH", help="Why not this dish on that day.")
    ] = None,
    better: Annotated[
        str | None,
        typer.Option(metavar="PRIORITY", help="Why no week does better in this, as left_over."),
    ] = None,
    all_: Annotated[
        bool, typer.Option("--all", help="The verdict on every dish on every day.")
    ] = False,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the plan itself.")
    ] = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say why a lunch is as it is, why not otherwise, or why there is no plan.

    Without a day: why no plan is possible, or what every lunch could have been. Exit codes:
    0 answered, 1 no plan is possible (and why), 2 bad input, 3 no plan within the time limit,
    130 interrupted (what is known so far is shown).
    """
    from models.reading import read_week  # noqa: PLC0415
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.why import Question, answer  # noqa: PLC0415

    week = read_week(file, _own_foods(foods))
    question = Question(day=day, eater=eater, dish=not_, better=better, all=all_)
    question.check(week)
    stop = Stop()
    found = _in_background(
        lambda say: answer(week, question, seconds=seconds, stop=stop, say=say), stop
    )
    if as_json:
        _print_json(found.model_dump(mode="json"))
    else:
        from optimiser.report.why import text  # noqa: PLC0415

        _print(text(found, colour=_colour()))
    if found.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    code = {"infeasible": Exit.NO_PLAN, "unknown": Exit.NO_TIME}.get(found.status, Exit.DONE)
    raise typer.Exit(code)


@app.command(epilog="Example: clearfridge fix impossible --apply 1 -o mended.yaml")
def fix(
    file: WeekName,
    until: Annotated[
        list[str] | None,
        typer.Option(metavar="GOAL", help="What to achieve: no-waste, or as in 'cost <= 18'."),
    ] = None,
    allow: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="A dish to make possible: 'Stuffed pitta on tue'."),
    ] = None,
    count: Annotated[
        int, typer.Option("-n", min=1, max=12, help="How many different ones to look for.")
    ] = 3,
    apply: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, max=12, help="Write the week with this fix in it."),
    ] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="NEW", help="The new week file.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the smallest changes that mend a week, each with the plan it leads to.

    For a week without a plan, or one that misses a goal. Exit codes: 0 fixes were found or none
    is needed, 1 none was found, 2 bad input, 130 interrupted (those found so far are shown).
    """
    from models.reading import read_document, week_of  # noqa: PLC0415
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.fix import fix as look  # noqa: PLC0415
    from optimiser.wishes import Goal, goal_of, wish_of  # noqa: PLC0415

    if (apply is None) != (output is None):
        raise InputError(
            "fix", "--apply and -o go together", "Write: fix FILE --apply 1 -o NEW.yaml"
        )
    document = read_document(file)
    own = _own_foods(foods)
    week = week_of(document, own)
    wanted: list[Goal | Wish] = [goal_of(week, one) for one in until or []]
    wanted += [wish_of(week, one, "--allow") for one in allow or []]
    if output is not None and _is_there(output, "a week cannot be written there"):
        raise InputError(str(output), "it is there already", "Name another file for the new week.")
    stop = Stop()
    found, texts = _in_background(
        lambda say: look(
            document.text, week, wanted, count=max(count, apply or 0), own=own, stop=stop, say=say
        ),
        stop,
    )
    if apply is not None and output is not None:
        _write_fix(texts, apply, output, needed=not found.already)
    if as_json:
        _print_json(found.model_dump(mode="json"))
    else:
        from optimiser.report.fix import text as write  # noqa: PLC0415

        _print(write(found, colour=_colour()))
    if found.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    raise typer.Exit(Exit.DONE if found.fixes or found.already else Exit.NO_PLAN)


def _write_fix(texts: list[str], which: int, output: Path, *, needed: bool) -> None:
    from optimiser.files import write_whole  # noqa: PLC0415

    if not needed:
        raise InputError(
            "--apply", "the week achieves it as it is", "Nothing needs to be written; leave it out."
        )
    if not 1 <= which <= len(texts):
        raise InputError(
            "--apply",
            f"there is no fix {which}",
            f"{len(texts)} were found; nothing was written." if texts else "None was found.",
        )
    write_whole(output, texts[which - 1])


@app.command(epilog="Example: clearfridge check demo --trace 'lentil bites'")
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
    """Show how a week file was understood: dates, sources, allergens, rules."""
    from models.reading import read_week  # noqa: PLC0415

    week = read_week(file, _own_foods(foods))
    if trace is not None:
        _traced(week, trace, nutrient, as_json=as_json)
    elif as_json:
        from optimiser.understanding import as_data  # noqa: PLC0415

        _print_json(as_data(week))
    else:
        from optimiser.report.check import text  # noqa: PLC0415

        _print(text(week, colour=_colour()))


def _traced(week: Week, name: str, nutrient: str, *, as_json: bool) -> None:
    from optimiser.report import trace as report  # noqa: PLC0415

    thing, found = report.find(week, name), report.nutrient_of(nutrient)
    if as_json:
        _print_json(report.as_data(thing, found))
    else:
        _print(report.text(thing, found, colour=_colour()))


@app.command(epilog="Example: clearfridge audit plan.json --week week.yaml")
def audit(
    plan_file: Annotated[
        str, typer.Argument(metavar="PLAN", help="A saved plan, or '-' for standard input.")
    ],
    week: Annotated[
        str | None, typer.Option(metavar="FILE", help="Judge it by this week instead of its own.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Hold a saved plan, edited or not, against every rule.

    Exit codes: 0 no fault, 1 faults were found, 2 bad input.
    """
    from models.reading import read_week  # noqa: PLC0415
    from optimiser.audit import audit as find  # noqa: PLC0415
    from optimiser.audit import read_plan  # noqa: PLC0415

    made = read_plan(plan_file)
    source = "standard input" if plan_file == "-" else plan_file
    findings = find(made, read_week(week, _own_foods(foods)) if week is not None else None, source)
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


@app.command(epilog="Example: clearfridge food 'dried green lentils'")
def food(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food, as you would say it.")],
    foods: OwnFoods = None,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print its row, to start a table of your own from.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show what the food table knows of a food, and where each figure comes from."""
    from models.foods import Foods, builtin, find  # noqa: PLC0415
    from optimiser.report import food as report  # noqa: PLC0415

    own = _own_foods(foods)
    found = find(name, Foods(builtin().by_name.values(), own) if own else None)
    if as_csv:
        from models.owntable import write_rows  # noqa: PLC0415

        _print(write_rows([found]))
    elif as_json:
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
