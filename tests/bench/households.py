"""CPU seconds of planning weeks of households, beside another copy of the program.

    python -m tests.bench households                      # this copy
    python -m tests.bench households ../older-copy        # and another, and the ratio
    python -m tests.bench households "" demo 4,5,12,3,7   # weeks of one's own choice

Seconds are of the processor, of solving alone: building the rows is in, starting and reading
the file are not. A week is ended after `PATIENCE` seconds; what it has not proven by then is
said. Each figure is the median of `RUNS` processes, the two copies in turn.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tests.households import Household

PATIENCE = 60
RUNS = 5
WEEKS = (
    "demo",
    "family",
    *(f"4,5,12,3,{seed}" for seed in range(1, 7)),
    "4,5,24,4,1",
    "4,5,40,6,1",
    "5,5,16,4,1",
    "2,7,40,6,1",
)
"""Ready weeks by name, households by eaters, days, dishes, batches and seed."""
MORE = (
    "2,5,20,4,1",
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
"""Harder ones, asked for by the word "more"."""

_WORK = f"""
import sys, time
from models.file.reading import read_week
from optimiser.solve.week import solve_week
week = read_week(sys.argv[1])
began = time.process_time()
_, solved = solve_week(week, seconds={PATIENCE})
spent = time.process_time() - began
proven = sum(value.proven for value in solved.values)
print(spent, solved.status.value, proven, len(week.priorities))
"""


@dataclass(frozen=True, slots=True)
class Run:
    """What planning a week took, and how many of its levels were proven."""

    seconds: float
    proven: int
    levels: int

    def __str__(self) -> str:
        open_ = "" if self.proven == self.levels else f", {self.proven} of {self.levels}"
        return f"{self.seconds:.2f}{open_}"


def main(words: list[str]) -> None:
    """Print a table: a week a line.

    Parameters
    ----------
    words
        The other copy's folder, empty for none; then weeks, `WEEKS` where none is named.
    """
    other, *weeks = words or [""]
    weeks = list(MORE) if weeks == ["more"] else weeks or list(WEEKS)
    copies = [Path.cwd(), *([Path(other).resolve()] if other else [])]
    print("| week | " + " | ".join(copy.name for copy in copies) + " | ratio |")
    print("| --- " * (len(copies) + 2) + "|")
    for name in weeks:
        pairs = [[_run(copy, name) for copy in copies] for _ in range(RUNS)]
        runs = [_median(list(side)) for side in zip(*pairs, strict=True)]
        ratio = f"{runs[0].seconds / runs[-1].seconds:.2f}" if other else ""
        print(f"| {name} | " + " | ".join(map(str, runs)) + f" | {ratio} |", flush=True)


def _median(runs: list[Run]) -> Run:
    middle = statistics.median(run.seconds for run in runs)
    return Run(middle, min(run.proven for run in runs), runs[0].levels)


def _run(copy: Path, name: str) -> Run:
    with tempfile.TemporaryDirectory() as folder:
        place = name
        if "," in name:
            place = str(Path(folder) / "week.yaml")
            Path(place).write_text(Household.named(name).text(), encoding="utf-8")
        done = subprocess.run(
            [sys.executable, "-c", _WORK, place],
            cwd=copy,
            env={"PYTHONPATH": str(copy)},
            check=True,
            capture_output=True,
            text=True,
        )
    seconds, _, proven, levels = done.stdout.split()
    return Run(float(seconds), int(proven), int(levels))
