"""Counts what is read of a file of real lines, and how often that agrees with the judgement.

    python -m tests.lines PATH

PATH is a CSV with the columns `line` and `cups` (us or metric; us lines are American). The lines
themselves are not kept here: judged.csv has the first letters of the SHA-256 of a line, the
number of the food that was judged right (several, where a cook would take either) and the grams.
A food counts as wrong where its number is none of them, grams where they are off by more than
15 percent.
"""

from __future__ import annotations

import csv
import hashlib
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from models.foods.lines import Line, Unread, read_line

JUDGED = Path(__file__).parent / "judged.csv"
OFF = 0.15
LETTERS = 16


@dataclass(frozen=True)
class Counts:
    """What became of the lines."""

    lines: int
    read: int
    judged: int
    wrong_food: int
    wrong_grams: int
    refused: int
    seconds: float

    def __str__(self) -> str:
        of_judged = max(1, self.judged)
        return (
            f"{self.lines} lines, {self.read} read ({self.read / max(1, self.lines):.1%}), "
            f"{self.seconds:.2f} s of processor time\n"
            f"{self.judged} judged by hand: wrong food {self.wrong_food} "
            f"({self.wrong_food / of_judged:.1%}), wrong grams {self.wrong_grams} "
            f"({self.wrong_grams / of_judged:.1%}), refused {self.refused} "
            f"({self.refused / of_judged:.1%})"
        )


def digest(line: str) -> str:
    """Give the first letters of a line's SHA-256."""
    return hashlib.sha256(line.encode()).hexdigest()[:LETTERS]


def numbers(line: Line) -> str:
    """Name the foods of a line by their numbers in their releases."""
    return "+".join(item.food.source_id or "water" for item in line.items)


def grams(line: Line) -> float:
    """Give the grams of all foods of a line together."""
    return float(sum(item.grams for item in line.items))


def count(rows: list[dict[str, str]], judged: dict[str, dict[str, str]]) -> Counts:
    """Read every line and hold it against the judgement."""
    read = known = wrong_food = wrong_grams = refused = 0
    started = time.process_time()
    for row in rows:
        region = "us" if row["cups"] == "us" else "uk"
        verdict = judged.get(digest(row["line"]))
        known += verdict is not None
        try:
            line = read_line(row["line"], cups=row["cups"], region=region)
        except Unread:
            refused += verdict is not None
            continue
        read += 1
        if verdict is None:
            continue
        right = float(verdict["grams"])
        wrong_food += numbers(line) not in verdict["food"].split(" or ")
        wrong_grams += abs(grams(line) - right) > max(OFF * right, 0.05)
    seconds = time.process_time() - started
    return Counts(len(rows), read, known, wrong_food, wrong_grams, refused, seconds)


def main() -> None:
    """Print the counts."""
    with Path(sys.argv[1]).open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    with JUDGED.open(encoding="utf-8", newline="") as stream:
        judged = {row["digest"]: row for row in csv.DictReader(stream)}
    read_line("1 onion")  # the grammar and the tables are opened before the clock starts
    print(count(rows, judged))


if __name__ == "__main__":
    main()
