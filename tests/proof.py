"""The proof: every check against a source outside the project, worked out and printed as tables.

`python -m tests.proof` prints what is claimed, by which source, what is published, what the program
has and how far they may be apart; then every source, once, with what it backs. `--write` puts both
into README. What is off is named, and then the exit code is 1.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

from tests.marked import README, put, table
from tests.published.claims import CLAIMS, HEAD, sources

HERE = Path(__file__).parent


def gathered() -> None:
    """Import every module of tests that makes a claim."""
    for file in sorted(HERE.rglob("test_*.py")):
        if "claims import Cases" in file.read_text(encoding="utf-8"):
            parts = file.relative_to(HERE.parent).with_suffix("").parts
            importlib.import_module(".".join(parts))


def tables() -> tuple[list[str], list[str]]:
    """Give the lines of both tables, and what is off."""
    gathered()
    rows, wrong = list[tuple[str, ...]](), list[str]()
    for claim in CLAIMS:
        try:
            rows.append(claim.row())
        except AssertionError as fault:
            wrong.append(f"{claim.says}: {fault}")
    head = ("name", "author", "year", "work", "backs", "seen")
    listed = table(head, (source.row() for source in sources().values()))
    return [*table(HEAD, rows), "", *listed], wrong


def main() -> None:
    """Print the tables, or write them into README."""
    lines, wrong = tables()
    if "--write" in sys.argv[1:] and not wrong:
        put(README, "proof", lines)
    else:
        print("\n".join(lines))
    for fault in wrong:
        print(fault, file=sys.stderr)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
