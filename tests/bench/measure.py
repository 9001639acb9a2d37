"""Seconds of the processor that work takes in a process of its own, kept as they come in.

What was measured is kept in a CSV, a line for each side of each figure, written whole after each
figure. So a run that was stopped goes on where it was, and parts can be measured apart: a line that
was made with this code on this machine is not measured again.
"""

from __future__ import annotations

import csv
import hashlib
import os
import platform
import resource
import signal
import statistics
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from importlib import metadata
from pathlib import Path
from threading import Lock
from typing import TypeAlias

from tests.marked import ROOT

ONCE = 30.0
"""What takes longer than so many seconds is measured once, and so is what was not proven."""
HEAD = ("part", "figure", "side", "seconds", "proven", "levels", "code", "machine")

STOPPED = {130, -signal.SIGINT}


@dataclass(frozen=True, slots=True)
class Spent:
    """What one side of a figure took.

    Attributes
    ----------
    seconds
        Of each run; none where it ended in a fault, as an option that an earlier commit lacks.
    proven, levels
        Priorities proven, in the run with the fewest, and all of them; 0 of 0 for whole commands,
        and for a week that cannot be.
    code, machine
        What was measured, and on what; empty where nothing was.
    """

    seconds: tuple[float, ...] = ()
    proven: int = 0
    levels: int = 0
    code: str = ""
    machine: str = ""

    @property
    def middle(self) -> float:
        """The median of the runs."""
        return statistics.median(self.seconds)

    @property
    def open(self) -> bool:
        """Whether it ended before every priority was proven."""
        return self.proven < self.levels

    def enough(self, repeats: int) -> bool:
        """Tell whether no more runs are needed."""
        return len(self.seconds) >= repeats or self.open or max(self.seconds, default=0) > ONCE

    def __str__(self) -> str:
        if not self.seconds:
            return "lacks it" if self.code else ""
        return figures(self.middle) + f" ({self.proven} of {self.levels})" * self.open


def figures(number: float) -> str:
    """Write a number with two figures, and seconds from ten on as whole ones."""
    return f"{number:.2g}" if number < 10 else f"{number:.0f}"


def ratio(mine: Spent, base: Spent) -> str:
    """Say how many times as long one takes; of what was not proven, on which side that lies."""
    if not (mine.seconds and base.seconds):
        return ""
    if mine.open and base.open:
        return "both open"
    sign = "< " if base.open else "> " if mine.open else ""
    return sign + figures(mine.middle / base.middle)


@dataclass(frozen=True, slots=True)
class Work:
    """Something to be done by Python in a process of its own.

    Attributes
    ----------
    side
        The column that it stands in.
    words
        What comes behind `python`.
    code
        Whose it is: a commit, or a digest.
    copy
        The folder of the project that has that code.
    tells
        Whether it prints seconds, priorities proven and priorities itself; else the whole process
        is measured.
    """

    side: str
    words: tuple[str, ...]
    code: str
    copy: Path = ROOT
    tells: bool = False

    def run(self, before: Spent) -> Spent | None:
        """Do it once more; None where it ends in a fault."""
        was = resource.getrusage(resource.RUSAGE_CHILDREN)
        # Python looks for modules where it was started before it looks in its path.
        done = subprocess.run(
            [sys.executable, *self.words],
            cwd=self.copy,
            env={"PYTHONPATH": str(self.copy), "PATH": os.defpath},
            check=False,
            capture_output=True,
            text=True,
        )
        now = resource.getrusage(resource.RUSAGE_CHILDREN)
        if done.returncode in STOPPED:
            raise KeyboardInterrupt
        if done.returncode:
            return None
        spent, proven, levels = now.ru_utime + now.ru_stime - was.ru_utime - was.ru_stime, 0, 0
        if self.tells:
            # HiGHS prints lines of its own.
            first, *rest = done.stdout.split()[-3:]
            spent, proven, levels = float(first), *map(int, rest)
        least = min(proven, before.proven) if before.seconds else proven
        runs = (*before.seconds, round(spent, 3))
        return replace(before, seconds=runs, proven=least, levels=levels)


def solving(week: str, side: str, seconds: int, code: str, copy: Path = ROOT) -> Work:
    """Solve a week, for at most so many seconds."""
    solver = side if side == "HiGHS" else "us"
    words = (str(ROOT / "tests" / "bench" / "weeks.py"), week, solver, str(seconds))
    return Work(side, words, code, copy, tells=True)


Rows: TypeAlias = dict[tuple[str, str, str], Spent]
"""What was measured, by part, figure and side."""


@dataclass(slots=True)
class Bench:
    """What is measured, and what was.

    Attributes
    ----------
    path
        The CSV; None keeps nothing.
    repeats
        Runs of each figure.
    faults
        What could not be measured of this copy.
    """

    path: Path | None
    repeats: int = 5
    faults: list[str] = field(default_factory=list)
    rows: Rows = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        if self.path is not None and self.path.exists():
            self.rows = read(self.path)

    def figure(self, part: str, name: str, works: Sequence[Work], repeats: int = 0) -> None:
        """Measure the sides of a figure in turn, but those that are kept."""
        repeats = repeats or self.repeats
        left = [work for work in works if not self._kept(part, name, work, repeats)]
        if not left:
            return
        spent = {work: Spent(code=work.code, machine=machine()) for work in left}
        for _ in range(repeats):
            for work in tuple(left):
                run = work.run(spent[work])
                spent[work] = run or replace(spent[work], seconds=())
                if run is None or run.enough(repeats):
                    left.remove(work)
                if run is None and work.copy == ROOT:
                    self.faults.append(f"{part}: {name} ({work.side})")
        with self._lock:
            self.rows |= {(part, name, work.side): what for work, what in spent.items()}
            if self.path is not None:
                write(self.path, self.rows)

    def _kept(self, part: str, name: str, work: Work, repeats: int) -> bool:
        kept = self.rows.get((part, name, work.side), Spent())
        lacks = not kept.seconds and work.copy != ROOT
        same = (kept.code, kept.machine) == (work.code, machine())
        return same and (lacks or kept.enough(repeats))


def read(path: Path) -> Rows:
    """Read what was measured."""
    with path.open(encoding="utf-8", newline="") as stream:
        return {
            (row["part"], row["figure"], row["side"]): Spent(
                tuple(map(float, row["seconds"].split())),
                int(row["proven"]),
                int(row["levels"]),
                row["code"],
                row["machine"],
            )
            for row in csv.DictReader(stream)
        }


def write(path: Path, rows: Rows) -> None:
    """Write what was measured, whole or not at all."""
    part = path.with_name(path.name + ".part")
    with part.open("w", encoding="utf-8", newline="") as stream:
        lines = csv.writer(stream, lineterminator="\n")
        lines.writerow(HEAD)
        for key, spent in sorted(rows.items()):
            seconds = " ".join(map(str, spent.seconds))
            lines.writerow((*key, seconds, spent.proven, spent.levels, spent.code, spent.machine))
    part.replace(path)


def told(rows: Rows, part: str, often: str = "") -> str:
    """Say on which machine a part was measured, with what code, and how often."""
    mine = [(side, spent) for (own, _, side), spent in rows.items() if own == part]
    machines = {spent.machine: None for _, spent in mine}
    codes = {f"{side} is {spent.code}": None for side, spent in mine if side != "HiGHS"}
    runs = max((len(spent.seconds) for _, spent in mine), default=0)
    often = often or (f"medians of {runs} runs" if runs > 1 else "one run each")
    return f"{'; '.join(machines)}; {', '.join(codes)}; {often}."


def digest(copy: Path) -> str:
    """Tell code by eight digits of SHA-256 over all that a plan depends on."""
    whole = hashlib.sha256()
    for room in ("models", "optimiser", "scenarios"):
        for file in sorted((copy / room).rglob("*")):
            if file.suffix in {".py", ".yaml", ".csv"}:
                whole.update(file.read_bytes())
    return whole.hexdigest()[:8]


def machine() -> str:
    """Name the machine and what it runs."""
    about = Path("/proc/cpuinfo")
    lines = about.read_text(encoding="utf-8").splitlines() if about.exists() else []
    models = {line.partition(":")[2].strip() for line in lines if line.startswith("model name")}
    parts = [
        " ".join([*sorted(models), platform.machine()]),
        f"{os.cpu_count()} cores",
        f"{platform.system()}, Python {platform.python_version()}",
        f"OR-Tools {metadata.version('ortools')}, HiGHS {metadata.version('highspy')}",
    ]
    return ", ".join(parts)
