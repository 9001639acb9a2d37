"""The calendar reminds of the last day of what is still there on that day, and of nothing else."""

from __future__ import annotations

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from optimiser.sheets.calendar import diary
from optimiser.solve.week import solve_week

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us}
eaters: {Ada: {}}
batches:
  stew:
    made: 2026-11-29
    yield: YIELD portions
    portion: 100 g
    fridge_life: LIFE
    life_source: the cook
dishes:
  Stew: {kind: hot, takes: {stew: 1}, microwave: yes}
place: {microwave: yes}
"""


@pytest.mark.parametrize(
    ("portions", "life", "days"),
    [
        (3, 4, []),  # Eaten by Wednesday, a day before.
        (4, 4, ["2026-12-03"]),  # A portion is left.
        (3, 3, ["2026-12-02"]),  # The last is eaten on that day.
    ],
)
def test_what_is_eaten_has_no_last_day(portions: int, life: int, days: list[str]) -> None:
    text = WEEK.replace("YIELD", str(portions)).replace("LIFE", str(life))
    week = week_of(parse("week.yaml", text))
    packed = solve_week(week)[1].packed
    assert packed is not None
    entries = [entry for entry in diary(week, packed).entries if entry.kind == "use by"]
    assert [str(entry.begins)[:10] for entry in entries] == days
    assert all(entry.title == "Use by today: stew" for entry in entries)
