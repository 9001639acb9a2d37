"""Parts of the guides that a command writes, between marks, and that a test holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[1]
README, DEVELOPERS = ROOT / "README.md", ROOT / "DEVELOPERS.md"
END = "<!-- end -->"


def shown(guide: Path, mark: str) -> list[str]:
    """Give the lines between a mark and the end of its part."""
    text = guide.read_text(encoding="utf-8")
    return text.partition(f"<!-- {mark} -->\n")[2].partition(END)[0].strip("\n").splitlines()


def put(guide: Path, mark: str, lines: Iterable[str]) -> None:
    """Write lines there."""
    before, start, rest = guide.read_text(encoding="utf-8").partition(f"<!-- {mark} -->\n")
    after = rest.partition(END)[2]
    text = "\n".join(lines)
    guide.write_text(f"{before}{start}\n{text}\n\n{END}{after}", encoding="utf-8")


def line(cells: Sequence[str]) -> str:
    """Write a row of a table."""
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Write a table."""
    return [line(head), line(["---"] * len(head)), *map(line, rows)]
