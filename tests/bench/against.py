"""CPU seconds of whole commands and of solving, beside an earlier commit of this project.

    python -m tests.bench against 8de1b4c            # any revision that git knows

The commit's files are laid into a folder of their own and run with the same packages, the two in
turn. Each figure is the median of `RUNS` processes, in seconds of the processor, start and imports
included; beside it what importing OR-Tools' `cp_model` alone takes. An earlier commit may lack a
command or an option: then it says so.
"""

from __future__ import annotations

import resource
import shlex
import statistics
import subprocess
import sys
import tarfile
import tempfile
from io import BytesIO
from pathlib import Path

from tests.bench import households

RUNS = 5
COMMANDS = (
    "--help",
    "check demo",
    "plan demo --no-reasons",
    "plan demo",
    "plan family --no-reasons",
    "plan family",
    "why demo --all",
    "why family thu",
    "what-if demo --yield 'barley pot=2..22' --no-chart",
    "others demo -n 5",
    "size demo",
    "shop PLAN",
    "prep PLAN",
    "labels PLAN",
    "calendar PLAN",
)
BARE = "from ortools.sat.python import cp_model"


def main(revision: str) -> None:
    """Print a table of commands and one of households, each beside the revision.

    Parameters
    ----------
    revision
        A commit, a tag or a branch.
    """
    with tempfile.TemporaryDirectory() as folder:
        earlier = laid(revision, Path(folder) / revision.replace("/", "-"))
        bare = statistics.median(_spent(Path.cwd(), ["-c", BARE]) or 0 for _ in range(RUNS))
        print(f"importing cp_model alone: {bare:.2f} s")
        print(f"\n| command | now | {revision} | ratio | of importing cp_model |")
        print("| --- " * 5 + "|")
        for command in COMMANDS:
            pairs = [(_ran(Path.cwd(), command), _ran(earlier, command)) for _ in range(RUNS)]
            now, then = (_median(list(side)) for side in zip(*pairs, strict=True))
            cells = [
                _cell(now),
                _cell(then),
                _cell(now / then if now and then else None),
                _cell(now / bare if now else None),
            ]
            print(f"| {command} | " + " | ".join(cells) + " |", flush=True)
        print()
        households.main([str(earlier)])
        print()


def laid(revision: str, folder: Path) -> Path:
    """Lay the files of a revision into a folder.

    Parameters
    ----------
    revision, folder
        A commit, a tag or a branch; a folder that is not there yet.

    Returns
    -------
    Path
        The folder.
    """
    packed = subprocess.run(["git", "archive", revision], check=True, capture_output=True)
    with tarfile.open(fileobj=BytesIO(packed.stdout)) as files:
        files.extractall(folder, filter="data")
    return folder


def _ran(copy: Path, command: str) -> float | None:
    run = "from optimiser.cli import main; main()"
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.json"
        if "PLAN" in command:
            words = ["plan", "demo", "--no-reasons", "--save", str(plan)]
            _spent(copy, ["-c", run, *words])
        words = [word.replace("PLAN", str(plan)) for word in shlex.split(command)]
        return _spent(copy, ["-c", run, *words])


def _spent(copy: Path, words: list[str]) -> float | None:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, *words],
        env={"PYTHONPATH": str(copy)},
        check=False,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent if done.returncode == 0 else None


def _median(runs: list[float | None]) -> float | None:
    ended = [run for run in runs if run is not None]
    return statistics.median(ended) if len(ended) == len(runs) else None


def _cell(figure: float | None) -> str:
    return "lacks it" if figure is None else f"{figure:.2f}"
