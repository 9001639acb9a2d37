"""Writes line.tables, the parser of line.lark as lark keeps it, so that no command works it out.

Run by hand when line.lark or the pinned lark changes, and the result committed with it:

    python -m models.foods.lines.build
"""

from __future__ import annotations

from pathlib import Path

from models.foods.lines import written

if __name__ == "__main__":
    with Path(written.__file__).with_name(written.TABLES).open("wb") as file:
        file.write(written.seal_of_tables())
        written.grammar().save(file)
