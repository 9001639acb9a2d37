"""Measure the speed of the program, beside what it was, beside HiGHS and beside bare imports.

    python -m tests.bench                     # all parts but `harder`
    python -m tests.bench commands growth     # parts: commands, weeks, harder, growth
    python -m tests.bench --keep runs.csv     # a run that is stopped goes on there
    python -m tests.bench --write             # kept in .docs/speed.csv, and written into the guides

Seconds are of the processor, medians of five. `commands` are whole commands, start and imports
included, beside importing OR-Tools' `cp_model` alone; `weeks` are solved with every priority
proven, beside HiGHS on the same rows; both also beside an earlier commit, which is laid into a
folder of its own and run with the same packages (`--against`; where git does not know it, that
column is left out). `growth` is told in growth.py. What takes longer than half a minute is measured
once, and a week is ended by then. On an idle two-core machine `commands` take 15 minutes, `weeks`
15, `harder` 20 and `growth` 8.

Exit code 0, 1 where something of this code could not be measured, 130 where it was stopped.
"""

from __future__ import annotations

import argparse
import shlex
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from models.file.reading import ready_text
from tests.bench import growth, plot
from tests.bench.measure import Bench, Rows, Spent, Work, digest, ratio, solving, told
from tests.households import Household
from tests.marked import DEVELOPERS, README, ROOT, put, table

KEPT, PLOT = ROOT / ".docs" / "speed.csv", ROOT / ".docs" / "growth.svg"
SIDES = ("now", "before", "HiGHS")
BEFORE = "HEAD^{/^Invented weeks of households of any size}^"
"""The commit before weeks of households were measured, and sped up."""
PATIENCE = 30
BARE = "import cp_model"
COMMANDS = (
    BARE,
    "--help",
    "check demo",
    "food 'dried lentils'",
    "plan demo --no-reasons",
    "plan demo",
    "plan demo --no-reasons --bends",
    "plan family --no-reasons",
    "plan family",
    "mend impossible",
    "why demo --all",
    "why family thu --eater Noor",
    "what-if demo --yield 'barley pot=2..22' --no-chart",
    "what-if demo --yield 'barley pot=4..15' --yield 'caraway cabbage=3..14'",
    "others demo -n 5",
    "size demo",
    "page demo -o OUT --force",
    "page family -o OUT --force",
    "shop PLAN",
    "prep PLAN",
    "labels PLAN",
    "pack PLAN tue",
    "calendar PLAN",
    "share PLAN",
    "change PLAN --today wed --no-lunch thu --ate 'barley pot=1'",
)
WEEKS = (
    "demo",
    "family",
    "2,5,5,3,2",
    "2,5,20,4,1",
    "3,4,8,3,3",
    *(f"4,5,12,3,{seed}" for seed in range(1, 7)),
    "4,5,24,4,1",
    "4,5,40,6,1",
    "5,5,16,4,1",
    "2,7,40,6,1",
)
HARDER = (
    "2,7,20,4,1",
    "3,5,12,3,1",
    "3,5,24,4,2",
    "3,7,20,5,1",
    "4,5,40,6,2",
    "4,7,20,6,1",
    "4,6,30,5,1",
    "5,7,24,5,1",
    "6,5,12,3,1",
    "6,5,30,6,1",
    "6,7,40,6,1",
)
NAMES = {"commands": COMMANDS, "weeks": WEEKS, "harder": HARDER}
CLEARFRIDGE = "import sys; sys.argv[0] = 'clearfridge'; from optimiser.cli import main; main()"


def main() -> None:
    """Measure what is asked for, print the tables, and write them where asked."""
    doc = (__doc__ or "").partition("\n\n")
    ask = argparse.ArgumentParser(
        "tests.bench", None, doc[0], doc[2], formatter_class=argparse.RawDescriptionHelpFormatter
    )
    ask.add_argument("parts", nargs="*", metavar="PART")
    ask.add_argument("--against", default=BEFORE, metavar="COMMIT", help="the earlier commit")
    ask.add_argument("--repeats", type=int, default=5, metavar="N", help="runs; weeks in growth")
    ask.add_argument("--keep", type=Path, metavar="CSV", help="where runs are kept")
    ask.add_argument("--write", action="store_true", help="keep them in .docs, write the guides")
    ask.add_argument("--as-kept", action="store_true", help="measure nothing, take what is kept")
    asked = ask.parse_args()
    bench = Bench(KEPT if asked.write else asked.keep, asked.repeats)
    parts = asked.parts or ["commands", "weeks", "growth"]
    if not {*NAMES, "growth"}.issuperset(parts):
        ask.error(f"parts are {', '.join([*NAMES, 'growth'])}")
    if not asked.as_kept:
        try:
            with tempfile.TemporaryDirectory() as folder:
                measure(bench, parts, laid(asked.against, Path(folder)))
        except KeyboardInterrupt:
            print("stopped", file=sys.stderr)
            sys.exit(130)
    for part in parts:
        print("\n".join(["", *written(bench.rows, part)]))
    if asked.write:
        for guide, mark, lines in guides(bench.rows):
            put(guide, mark, lines)
        PLOT.write_text(plot.drawn(bench.rows), encoding="utf-8")
    for fault in bench.faults:
        print(f"could not be measured: {fault}", file=sys.stderr)
    sys.exit(1 if bench.faults else 0)


def laid(revision: str, folder: Path) -> tuple[Path, str] | None:
    """Lay the files of a revision into a folder; give it with its short name, or None."""
    name = _git("rev-parse", "--short", revision).decode().strip()
    packed = _git("archive", revision)
    if not packed:
        print(f"git knows no {revision}: it is left out", file=sys.stderr)
        return None
    with tarfile.open(fileobj=BytesIO(packed)) as files:
        files.extractall(folder / name, filter="data")
    return folder / name, name


def _git(*words: str) -> bytes:
    return subprocess.run(["git", *words], check=False, cwd=ROOT, capture_output=True).stdout


def measure(bench: Bench, parts: list[str], before: tuple[Path, str] | None) -> None:
    """Measure parts of this copy, and beside it of one before."""
    copies = [("now", ROOT, digest(ROOT)), *([("before", *before)] if before else [])]
    for _, copy, _ in copies:
        subprocess.run([sys.executable, "-m", "compileall", "-q", "."], check=False, cwd=copy)
    with tempfile.TemporaryDirectory() as folder:
        for part in parts:
            if part == "growth":
                growth.measure(bench, copies[0][2])
            for at, name in enumerate(NAMES.get(part, ()), start=1):
                print(f"{part}, {at} of {len(NAMES[part])}: {name}", file=sys.stderr, flush=True)
                works = [_work(part, name, Path(folder), *copy) for copy in copies]
                if part != "commands":
                    works.append(solving(name, "HiGHS", PATIENCE, copies[0][2]))
                bench.figure(part, name, works)


def _work(part: str, name: str, folder: Path, side: str, copy: Path, code: str) -> Work:
    if part != "commands":
        week = folder / f"{name.replace(',', '-')}.yaml"
        week.write_text(text_of(name), encoding="utf-8")
        return solving(str(week), side, PATIENCE, code, copy)
    if name == BARE:
        return Work(side, ("-c", "from ortools.sat.python import cp_model"), code, copy)
    plan, out = folder / f"{side}.json", folder / f"{side}.html"
    if "PLAN" in name and not plan.exists():
        saving = ("plan", "demo", "--no-reasons", "--save", str(plan))
        Work(side, ("-c", CLEARFRIDGE, *saving), code, copy).run(Spent())
    put_in = {"PLAN": str(plan), "OUT": str(out)}
    words = (put_in.get(word, word) for word in shlex.split(name))
    return Work(side, ("-c", CLEARFRIDGE, *words), code, copy)


def text_of(name: str) -> str:
    """Write a week as a file that an earlier program reads too."""
    return Household.named(name).text() if "," in name else ready_text(name)


# -- tables ------------------------------------------------------------------------------


def written(rows: Rows, part: str) -> list[str]:
    """Give the lines of a part, as it was measured."""
    if part == "growth":
        return growth.written(rows)
    whole = part == "commands"
    head = ["command" if whole else "week", "s", "before, s", "ratio"]
    head += [f"times `{BARE}`"] if whole else ["HiGHS, s", "ratio"]
    return [told(rows, part), "", *table(head, _cells(rows, part))]


def _cells(rows: Rows, part: str) -> Iterator[list[str]]:
    for name in NAMES[part]:
        now, before, highs = (rows.get((part, name, side), Spent()) for side in SIDES)
        if not now.code:
            continue
        cells = [f"`{name}`", str(now), str(before), ratio(now, before)]
        if part == "commands":
            yield [*cells, ratio(now, rows.get((part, BARE, "now"), Spent()))]
        else:
            yield [*cells, str(highs), ratio(now, highs)]


def guides(rows: Rows) -> Iterator[tuple[Path, str, list[str]]]:
    """Give what stands in the guides: which, behind what mark, the lines."""
    for part in NAMES:
        yield DEVELOPERS, part, written(rows, part)
    cells = [(row[0], row[1], row[4]) for row in _cells(rows, "commands")]
    lines = table(("command", "s", f"times `{BARE}`"), cells)
    yield README, "speed", [told(rows, "commands"), "", *lines]
    yield README, "growth", growth.written(rows)


if __name__ == "__main__":
    main()
