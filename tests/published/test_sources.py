"""Every source backs something, and every figure names a source or says that it has none."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from models.foods import raw
from models.foods.tabled import rows
from models.week import kitchen
from models.words.needs import STANDARDS
from tests.marked import line

from .claims import proof, sources

ROOT = Path(__file__).parents[2]
FLOORS = ("models", "optimiser", "scenarios", "tests")
TABLES = ("cautions", "digestibility", "pieces", "poured", "storage", "strangers", "tins", "vague")
UNSOURCED = re.compile(r"practice|no source|how this program counts|computed: |^definition$")


def named(text: str) -> set[str]:
    """Give the keys of the sources that a text names."""
    return {key for key, source in sources().items() if re.search(source.marks, text)}


@cache
def texts() -> dict[str, str]:
    """Give the text of every module."""
    files = [file for floor in FLOORS for file in sorted((ROOT / floor).rglob("*.py"))]
    return {str(file.relative_to(ROOT)): file.read_text(encoding="utf-8") for file in files}


def prose() -> list[tuple[str, str]]:
    """Give every docstring and block of comments, with its file."""
    found = []
    for file, text in texts().items():
        blocks = re.findall(r'"""(?:[^"]|"(?!""))*"""|(?:^[^\n"]*# [^\n]*\n)+', text, re.MULTILINE)
        found += [(file, re.sub(r"\n\s*#? ?", "\n", block)) for block in blocks]
    return found


def test_every_source_backs_something() -> None:
    everything = "\n\n".join([*texts().values(), *(text for _, text in told_sources())])
    silent = [key for key, source in sources().items() if not re.search(source.marks, everything)]
    assert silent == []


def told_sources() -> Iterator[tuple[str, str]]:
    """Give every source that the program tells a cook, with what it is of."""
    for table in TABLES:
        for row in rows(f"{table}.csv"):
            for column, text in row.items():
                if column.endswith("source") and text:
                    yield f"{table}: {next(iter(row.values()))}", text
    for name, need in STANDARDS.items():
        yield name, need.source
    for limit in (*kitchen.LIMITS.values(), kitchen.HOT, kitchen.RICE):
        yield "cooling", limit.source
    for must in raw._WHY.values():
        yield must.kind, must.source


def test_every_figure_told_names_a_source_of_the_list_or_says_that_it_has_none() -> None:
    told = list(told_sources())
    assert len(told) > 1_000
    assert [each for each in told if not named(each[1]) and not UNSOURCED.search(each[1])] == []


def test_every_year_cited_is_that_of_a_source_of_the_list() -> None:
    # What is cited in a comment or docstring has a year; dates of weeks lie later.
    years = {source.year for source in sources().values()}
    assert "2024" in years
    odd = []
    for file, text in prose():
        cited = set(re.findall(r"(?<![\d/#.\"-])(?:1[89]\d\d|20[0-2]\d)\b(?!\"|-|, \d{4}\))", text))
        here = " ".join(
            f"{source.year} {source.work} {source.seen}"
            for key, source in sources().items()
            if re.search(source.marks, text)
        )
        odd += [(file, year, text[:70]) for year in cited if year < "2025" and year not in here]
    assert odd == []


def test_the_proof_that_is_shown_has_every_source_and_claim() -> None:
    # That the row of a claim is true and stands there, the test of the claim says.
    made = sum(text.count("\n@claim(") for text in texts().values())
    lines = [row for row in proof() if row]
    assert all(line(source.row()) in lines for source in sources().values())
    heads = 4
    assert len(set(lines)) == len(lines) == heads + made + len(sources())
