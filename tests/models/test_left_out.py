"""The shortest week file that is one: what may be left out, and what is said to be taken."""

from __future__ import annotations

import pytest

from models.file import yamltext
from models.file.reading import read_week, week_of
from optimiser import plan
from optimiser.checking import check

SHORTEST = """\
week: {starts: 2026-11-30, guidance: us}
eaters:
  Me: {}
batches:
  stew: {yield: 12 portions, keeps_as: stew, freezer: 6 portions}
  salad: {yield: 8 pieces, freezes: yes}
dishes:
  Stew bowl: {takes: {stew: 2 to 3}}
  Salad box: {takes: {salad: 2 to 4}}
  Both: {takes: {stew: 2, salad: 1}}
"""


def test_ten_lines_are_a_week_that_plans() -> None:
    assert len(SHORTEST.splitlines()) == 10
    assert plan(SHORTEST).status == "optimal"


@pytest.mark.parametrize(
    "remark",
    [
        "Made the day before the week, Sun 29 Nov, for 'made' is left out: stew, salad.",
        "Nothing says what salad keeps as, so the shortest life of what is cooked is taken: 4 days",
        "What a portion holds is not known, so it counts for no floor: stew, salad.",
        "Each a kind of its own, for 'kind' is left out: Stew bowl, Salad box, Both.",
        "Counted with no minutes of packing, for 'minutes' is left out: Stew bowl,",
        "The mass of stew is not known: 250 g a portion is taken",
        "The mass of salad is not known: 50 g a piece is taken",
    ],
)
def test_check_says_what_it_took(remark: str) -> None:
    remarks = check(week_of(yamltext.parse("week.yaml", SHORTEST))).remarks
    assert any(said.startswith(remark) for said in remarks), remarks


def test_a_file_that_says_all_is_told_nothing() -> None:
    assert read_week("demo").taken == ()
