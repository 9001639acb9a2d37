"""How cost grows with eaters, days, dishes and batches, beside HiGHS on the same rows.

One thing grows at a time, from a week of one eater, five days, twelve dishes and three batches. Of
each size five weeks are solved once each, the first five of `tests.households` that can be read and
have a plan, with every priority, by the program and by HiGHS, a size on each core at a time; either
is ended after `PATIENCE` CPU seconds. Eaters that are alike are an entry with a `count`; what HiGHS
gets there are the rows of the counted program. What is told of a size are the medians.
"""

from __future__ import annotations

import os
import statistics
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from models.words.errors import InputError
from tests.bench.measure import Bench, Rows, Spent, figures, solving, told
from tests.bench.weeks import week_named
from tests.marked import table

PATIENCE = {"now": 10, "HiGHS": 5}
MOST_SEEDS = 40
SIZES: dict[str, dict[int, str]] = {
    "eaters, each different": {n: f"{n},5,12,3,{{}}" for n in (1, 2, 4, 6)},
    "eaters, all alike": {n: f"{n},5,12,3,{{}},1" for n in (10, 50, 200)},
    "days": {n: f"1,{n},12,3,{{}}" for n in (5, 10, 15, 20)},
    "dishes": {n: f"1,5,{n},3,{{}}" for n in (12, 24, 36, 60)},
    "batches": {n: f"1,5,12,{n},{{}}" for n in (2, 3, 5, 8)},
}
"""What grows, and a week of each size, but for the seed."""


@dataclass(frozen=True, slots=True)
class Middle:
    """What weeks of a size take, by one solver.

    Attributes
    ----------
    seconds
        Of each week, in order.
    proven
        Weeks with every priority proven.
    """

    seconds: tuple[float, ...]
    proven: int

    @property
    def median(self) -> float:
        """In seconds; where half of the weeks or more were ended, it is longer than that."""
        return statistics.median(self.seconds)

    @property
    def open(self) -> bool:
        """Whether the week in the middle was ended."""
        return 2 * self.proven <= len(self.seconds)

    def __str__(self) -> str:
        return "> " * self.open + figures(self.median)


def measure(bench: Bench, code: str) -> None:
    """Solve weeks of every size, a size on each core at a time."""
    # Of other code another week may be the fifth that has a plan.
    for key in [key for key in bench.rows if key[0] == "growth"]:
        if bench.rows[key].code != code:
            del bench.rows[key]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        try:
            for done in [pool.submit(_solve, bench, code, size) for size in _every()]:
                done.result()
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _every() -> tuple[str, ...]:
    """Name every size once."""
    return (*dict.fromkeys(size for sizes in SIZES.values() for size in sizes.values()),)


def _solve(bench: Bench, code: str, size: str) -> None:
    """Solve weeks of a size until there are enough with a plan."""
    left = bench.repeats
    for name in filter(_is_read, map(size.format, range(1, MOST_SEEDS + 1))):
        print(f"growth: {name}", file=sys.stderr, flush=True)
        for side, seconds in PATIENCE.items():
            bench.figure("growth", name, [solving(name, side, seconds, code)], repeats=1)
            if not bench.rows["growth", name, side].levels:
                break
        else:
            left -= 1
        if not left:
            break


def _is_read(name: str) -> bool:
    """Tell whether a drawn week is one at all: some a reader refuses, and the next is drawn."""
    try:
        week_named(name)
    except InputError:
        return False
    return True


def middles(rows: Rows, size: str) -> dict[str, Middle]:
    """Give what weeks of a size that have a plan take, by side; nothing where none was measured."""
    names = [("growth", size.format(seed)) for seed in range(1, MOST_SEEDS + 1)]
    weeks = {
        side: [rows[*name, side] for name in names if rows.get((*name, "HiGHS"), Spent()).levels]
        for side in PATIENCE
    }
    return {
        side: Middle(tuple(week.middle for week in these), sum(not week.open for week in these))
        for side, these in weeks.items()
        if these
    }


def written(rows: Rows) -> list[str]:
    """Give the lines of the table."""
    head = ("what grows", "to", "s", "least to most", "proven", "HiGHS, s", "proven", "ratio")
    many = (len(each.seconds) for size in _every() for each in middles(rows, size).values())
    often = f"medians of {max(many, default=0)} weeks of a size, a run each"
    return [told(rows, "growth", often), "", *table(head, _cells(rows))]


def _cells(rows: Rows) -> Iterator[list[str]]:
    for what, sizes in SIZES.items():
        for number, size in sizes.items():
            both = middles(rows, size)
            if not both:
                continue
            now, highs = both.values()
            weeks = len(now.seconds)
            sign = "< " if highs.open else "> " if now.open else ""
            ratio = sign + figures(now.median / highs.median)
            yield [
                what,
                str(number),
                str(now),
                f"{figures(min(now.seconds))} to {figures(max(now.seconds))}",
                f"{now.proven} of {weeks}",
                str(highs),
                f"{highs.proven} of {weeks}",
                "both open" if now.open and highs.open else ratio,
            ]
