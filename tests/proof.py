"""The proof: every check against a source outside the project, worked out and printed as tables.

`python -m tests.proof` prints what is claimed, by which source, what is published, what the program
has and how far they may be apart; then every source, once, with what it backs. `--write` puts both
into README. What is off is named, and then the exit code is 1.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

from tests.published.claims import CLAIMS, HEAD, README, line, sources

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
    lines, wrong = [line(HEAD), line(("---",) * 5)], list[str]()
    for claim in CLAIMS:
        try:
            lines.append(line(claim.row()))
        except AssertionError as fault:
            wrong.append(f"{claim.says}: {fault}")
    head = ("name", "author", "year", "work", "backs", "seen")
    rows = [line(source.row()) for source in sources().values()]
    return [*lines, "", line(head), line(("---",) * 6), *rows], wrong


def main() -> None:
    """Print the tables, or write them into README."""
    lines, wrong = tables()
    text = "\n".join(lines)
    if "--write" in sys.argv[1:] and not wrong:
        before, start, rest = README.read_text(encoding="utf-8").partition("<!-- proof -->\n")
        after = rest.partition("<!-- end -->")[2]
        README.write_text(f"{before}{start}\n{text}\n\n<!-- end -->{after}", encoding="utf-8")
    else:
        print(text)
    for fault in wrong:
        print(fault, file=sys.stderr)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
