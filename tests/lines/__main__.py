"""Counts what is read of ingredient lines, and how often that agrees with a judgement by hand.

    python -m tests.lines          lines of our own (own.csv)
    python -m tests.lines PATH     a CSV with the columns `line` and `cups`

`cups` is us or metric; us lines are American. Real lines are not kept here: of those judged.csv
has the first letters of the SHA-256. A judgement is the number of the right food in its release
(several, where a cook would take either; none where no food of the table is right) and the
grams, none of them where the line has to be refused. A food counts as wrong where its number is
none of them, grams where they are off by more than 15 percent.
"""

from __future__ import annotations

import csv
import hashlib
import sys
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from models.foods.lines import Line, Unread, read_line

HERE = Path(__file__).parent
OFF = 0.15
LETTERS = 16
READ, WRONG_FOOD, WRONG_GRAMS, SECONDS = 0.95, 0.01, 0.03, 2.0
"""Goals: shares of the lines, and seconds for a thousand of them."""

SHORTEST, FROM_SCRATCH = 10, 60
"""Goals: lines of a week file."""

Row = Mapping[str, str]


@dataclass
class Counts:
    """What became of the lines; `wrong` says which disagree with the judgement, and how."""

    lines: int = 0
    read: int = 0
    judged: int = 0
    wrong_food: int = 0
    wrong_grams: int = 0
    refused: int = 0
    seconds: float = 0
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        of_judged, thousands = max(1, self.judged), max(1, self.lines) / 1000
        return "\n".join(
            (
                f"{self.lines} lines, {self.judged} judged by hand",
                _goal("read", self.read, self.read / max(1, self.lines), READ, at_least=True),
                _goal("wrong food", self.wrong_food, self.wrong_food / of_judged, WRONG_FOOD),
                _goal("wrong grams", self.wrong_grams, self.wrong_grams / of_judged, WRONG_GRAMS),
                f"refused of those judged: {self.refused}",
                f"{self.seconds / thousands:.2f} s of processor time a thousand lines "
                f"(goal {SECONDS:g}: {_met(self.seconds / thousands <= SECONDS)})",
            )
        )


def _goal(what: str, count: int, share: float, goal: float, *, at_least: bool = False) -> str:
    said = "at least" if at_least else "at most"
    met = share >= goal if at_least else share <= goal
    return f"{what}: {count} ({share:.1%}; goal {said} {goal:.0%}: {_met(met)})"


def _met(met: bool) -> str:
    return "met" if met else "NOT MET"


def digest(line: str) -> str:
    """Give the first letters of a line's SHA-256."""
    return hashlib.sha256(line.encode()).hexdigest()[:LETTERS]


def numbers(line: Line) -> str:
    """Name the foods of a line by their numbers in their releases."""
    return "+".join(item.food.source_id or "water" for item in line.items)


def grams(line: Line) -> float:
    """Give the grams of all foods of a line together."""
    return float(sum(item.grams for item in line.items))


def read(row: Row) -> Line:
    """Read a line by the cups and the region of its row."""
    return read_line(row["line"], cups=row["cups"], region="us" if row["cups"] == "us" else "uk")


def count(rows: Iterable[Row], judged: Mapping[str, Row]) -> Counts:
    """Read every line and hold it against the judgement."""
    counts = Counts()
    started = time.process_time()
    for row in rows:
        counts.lines += 1
        verdict = judged.get(digest(row["line"]))
        counts.judged += verdict is not None
        try:
            line = read(row)
        except Unread as fault:
            counts.refused += verdict is not None
            if verdict is not None and verdict["food"] != "none":
                counts.wrong.append(f"{row['line']}: {fault}")
            continue
        counts.read += 1
        if verdict is not None:
            _hold(line, verdict, counts)
    counts.seconds = time.process_time() - started
    return counts


def _hold(line: Line, verdict: Row, counts: Counts) -> None:
    """Hold what was read of a line against the judgement."""
    right = float(verdict["grams"] or 0)
    food = numbers(line) not in verdict["food"].split(" or ")
    mass = abs(grams(line) - right) > max(OFF * right, 0.05)
    counts.wrong_food += food
    counts.wrong_grams += mass
    if food or mass:
        names = " + ".join(item.food.name for item in line.items)
        counts.wrong.append(
            f"{line.text}: {names} ({numbers(line)}) {grams(line):.4g} g, "
            f"not {verdict['food']} {verdict['grams']} g"
        )


def rows_of(path: Path) -> list[dict[str, str]]:
    """Read a table."""
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def own() -> Counts:
    """Count our own lines."""
    rows = rows_of(HERE / "own.csv")
    return count(rows, {digest(row["line"]): row for row in rows})


def weeks() -> str:
    """Say how long the shortest week is, and one that was written from the README alone."""
    root = HERE.parent.parent
    shortest = _lines(root / "scenarios" / "minimal.yaml")
    scratch = _lines(root / "tests" / "cli" / "from_scratch.yaml")
    return (
        f"shortest week that plans: {shortest} lines (goal {SHORTEST}: "
        f"{_met(shortest <= SHORTEST)})\n"
        f"two adults, five dishes, from scratch: {scratch} lines (goal at most {FROM_SCRATCH}: "
        f"{_met(scratch <= FROM_SCRATCH)})"
    )


def _lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def main() -> None:
    """Print the counts."""
    read_line("1 onion")  # the grammar and the tables are opened before the clock starts
    if len(sys.argv) < 2:
        counts = own()
        print("\n".join(counts.wrong))
        print(weeks())
    else:
        judged = {row["digest"]: row for row in rows_of(HERE / "judged.csv")}
        counts = count(rows_of(Path(sys.argv[1])), judged)
    print(counts)


if __name__ == "__main__":
    main()
