"""What is held against a source outside the project: a claim is a row of the proof, and a test.

`claim` makes a test of a function that gives cases: a name, what is published, what the program
has. `python -m tests.proof` prints the rows of all of them; README shows them, and each test holds
its own row there. `sources.csv` lists every published source once: what it backs, the words by
which the project names it, and where it was only seen in quotation or written from memory.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from tests.marked import README, line, shown

HEAD = ("claim", "source", "expected", "found", "tolerance")

UNDATED = "n.d."

Cases = Iterator[tuple[str, Any, Any]]
"""A name, what is published (a pair: between these), what the program has."""


@dataclass(frozen=True, slots=True)
class Source:
    """A published source, as `sources.csv` has it.

    Attributes
    ----------
    seen
        "in quotation" or "from memory", of what; empty where no note says so.
    marks
        What the project's texts call it, as a pattern.
    """

    key: str
    author: str
    year: str
    work: str
    seen: str
    backs: str
    marks: str

    def row(self) -> tuple[str, ...]:
        return (self.key, self.author, self.year, self.work, self.backs, self.seen)


@cache
def sources() -> dict[str, Source]:
    """Read the list of sources."""
    with Path(__file__).with_name("sources.csv").open(encoding="utf-8", newline="") as stream:
        found = [Source(**row) for row in csv.DictReader(stream)]
    assert len({source.key for source in found}) == len(found)
    return {source.key: source for source in found}


@dataclass(frozen=True, slots=True)
class Claim:
    """One row: what is claimed, and the cases that it is claimed of.

    Attributes
    ----------
    source
        Keys of sources, each with a place in it: "SP 811: appendix B.8; SR28: by number".
    seen
        How the figures were seen, where that differs from what holds of their sources.
    within
        How far what is found may be from what is published: "0.5 g", "1 %"; empty for not at all.
    """

    says: str
    source: str
    cases: Callable[[], Cases]
    within: str
    of: str
    seen: str

    def row(self) -> tuple[str, ...]:
        """Work every case out, once; give the row, or fail with the cases that are off."""
        cases = list(self.cases())
        assert cases, "no case"
        gaps = [self._gap(expected, found) for _, expected, found in cases]
        allowed = float(self.within.split()[0]) if self.within else 0.0
        wrong = [case for case, gap in zip(cases, gaps, strict=True) if gap > allowed]
        assert not wrong, "\n".join(
            f"{name}: {_text(found)}, published {_text(expected)}"
            for name, expected, found in wrong
        )
        ends = (_text(cases[0][1]), _text(cases[0][2]))
        if len(cases) > 1:
            worst = max(gaps)
            ends = (f"{len(cases)} {self.of}", f"all {len(cases)}")
            if self.within:
                unit = self.within.partition(" ")[2]
                ends = (ends[0], f"{ends[1]}, {round(worst, 6):.2g} {unit} off at most")
        return (self.says, self.cited(), *ends, self.within or "none")

    def cited(self) -> str:
        """Name the sources: author, year, work and the place in it, and how each was seen."""
        told = []
        for key, _, place in (part.partition(": ") for part in self.source.split("; ")):
            source = sources()[key]
            author = "" if key.startswith(source.author) else source.author
            year = "" if source.year == UNDATED else f" {source.year}"
            # What was seen so in part is told in the list of sources.
            seen = "" if ":" in source.seen or self.seen else source.seen
            told.append(", ".join(filter(None, (f"{author}{year}", key, place, seen))))
        return "; ".join(told) + (f" ({self.seen})" if self.seen else "")

    def _gap(self, expected: Any, found: Any) -> float:
        if not self.within:
            return float(expected != found)
        low, high = expected if isinstance(expected, tuple) else (expected, expected)
        gap = max(float(low) - float(found), float(found) - float(high), 0.0)
        return gap * 100 / abs(float(low)) if self.within.endswith("%") else gap


CLAIMS: list[Claim] = []


def claim(
    says: str, source: str, *, within: str = "", of: str = "figures", seen: str = ""
) -> Callable[[Callable[[], Cases]], Callable[[], None]]:
    """Make a claim of a function that gives its cases; what is given back is its test."""

    def made(cases: Callable[[], Cases]) -> Callable[[], None]:
        held = Claim(says, source, cases, within, of, seen)
        CLAIMS.append(held)

        def test() -> None:
            assert line(held.row()) in proof(), "README: python -m tests.proof --write"

        test.__name__, test.__qualname__, test.__module__ = (
            cases.__name__,
            cases.__qualname__,
            cases.__module__,
        )
        return test

    return made


@cache
def proof() -> list[str]:
    """Give the lines of the proof in README."""
    return shown(README, "proof")


def _text(value: Any) -> str:
    if isinstance(value, tuple):
        return " to ".join(map(_text, value))
    if isinstance(value, float):
        return f"{value:.8g}"
    return str(value)
