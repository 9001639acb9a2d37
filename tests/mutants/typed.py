"""Type-check what mutmut wrote, and tell of each fault to the mutant that made it.

    python -m tests.mutants.typed mypy --output=json FILE ...

A mutant of `__init__` may change what mypy takes an attribute to be, and so make a fault in every
function that reads it: mutmut ends where such a fault lies outside its mutants, and within them
would call all of them refused. So a fault passes only where it lies in a mutant, and only where
the function as it was has no such fault.
"""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from functools import cache
from pathlib import Path

ORIGINAL = "orig"


@cache
def changed(file: str) -> list[tuple[range, str, str]]:
    """List the lines of each function that mutmut wrote, which it was, and which mutant it is."""
    nodes = ast.walk(ast.parse(Path(file).read_text()))
    return [
        (range(node.lineno, (node.end_lineno or node.lineno) + 1), was, made)
        for node in nodes
        if isinstance(node, ast.FunctionDef)
        for was, mark, made in [node.name.rpartition("__mutmut_")]
        if mark
    ]


def own(faults: list[dict[str, object]]) -> list[dict[str, object]]:
    """Keep the faults that a mutant made.

    >>> own([])
    []
    """
    placed = list[tuple[dict[str, object], str, str]]()
    for fault in faults:
        for lines, was, made in changed(str(fault["file"])):
            if fault["line"] in lines:
                placed.append((fault, was, made))
    before = {(f["file"], was, f["message"]) for f, was, made in placed if made == ORIGINAL}
    return [f for f, was, _ in placed if (f["file"], was, f["message"]) not in before]


def main() -> int:
    done = subprocess.run(
        [sys.executable, "-m", *sys.argv[1:]], capture_output=True, text=True, check=False
    )
    if done.stderr:
        sys.exit(done.stderr)
    faults = [json.loads(line) for line in done.stdout.splitlines() if line.strip()]
    for fault in own([fault for fault in faults if fault["severity"] == "error"]):
        print(json.dumps(fault))
    return 0


if __name__ == "__main__":
    sys.exit(main())
