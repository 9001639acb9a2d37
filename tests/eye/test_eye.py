"""A change of look is seen, and letters that are a little lighter are not."""

from __future__ import annotations

import json

from tests.eye import COLUMNS, ROWS, changed
from tests.eye.__main__ import KEPT


def test_a_change_of_look_is_seen() -> None:
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    assert len(kept) > 30
    assert {len(grid) for grid in kept.values()} == {COLUMNS * ROWS}
    assert changed(kept, kept) == []
    name, grid = next(iter(kept.items()))
    lighter = "".join(f"{max(0, int(cell, 16) - 1):x}" for cell in grid)
    assert changed({**kept, name: lighter}, kept) == []
    # A block of another colour over an eighth of the picture.
    block = "0" * (len(grid) // 8)
    assert changed({**kept, name: block + grid[len(block) :]}, kept) == [name]
    assert changed({}, {name: grid}) == [name]
