"""The guides tell what was measured, and what is measured can still be measured."""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from models.file.reading import read_week
from models.foods.food import table
from models.week.week import Week
from models.words.errors import InputError
from tests.bench import growth, plot, tables
from tests.bench.__main__ import KEPT, NAMES, PLOT, guides
from tests.bench.measure import Bench, Spent, Work, ratio, read
from tests.bench.weeks import by_highs, by_us, week_named
from tests.marked import DEVELOPERS, README, ROOT, shown


def test_the_guides_and_the_plot_tell_what_was_measured() -> None:
    rows = read(KEPT)
    for guide, mark, lines in guides(rows):
        assert shown(guide, mark) == lines, f"{mark}: python -m tests.bench --as-kept --write"
    assert PLOT.read_text(encoding="utf-8") == plot.drawn(rows)


def test_every_command_and_week_was_measured_and_as_many_weeks_of_every_size() -> None:
    rows = read(KEPT)
    assert all(rows[part, name, "now"].seconds for part in NAMES for name in NAMES[part])
    sizes = [size for sizes in growth.SIZES.values() for size in sizes.values()]
    assert (
        len({len(both.seconds) for size in sizes for both in growth.middles(rows, size).values()})
        == 1
    )


def test_a_ratio_tells_which_side_was_ended() -> None:
    two, four, ended = Spent((1, 2, 9)), Spent((4, 4, 4), 8, 8), Spent((60,), 3, 8)
    assert [str(two), str(ended), str(Spent()), str(Spent(code="abc"))] == [
        "2",
        "60 (3 of 8)",
        "",
        "lacks it",
    ]
    assert ratio(two, four) == "0.5"
    assert ratio(four, ended) == "< 0.067"
    assert ratio(ended, four) == "> 15"
    assert ratio(ended, ended) == "both open"
    assert ratio(Spent(), four) == ""


def test_what_was_measured_is_not_measured_again(tmp_path: Path) -> None:
    kept = tmp_path / "runs.csv"
    once = Work("now", ("-c", f"open({str(tmp_path / 'ran')!r}, 'a').write('x')"), "a")
    for code in ("a", "a", "b"):
        bench = Bench(kept, repeats=3)
        bench.figure("part", "figure", [Work("now", once.words, code)])
        assert len(read(kept)["part", "figure", "now"].seconds) == 3
    assert (tmp_path / "ran").read_text() == "x" * 6


def test_what_cannot_be_measured_is_told_of_this_copy_alone(tmp_path: Path) -> None:
    bench = Bench(None, repeats=2)
    works = [
        Work(side, ("-c", "exit(2)"), "a", copy)
        for side, copy in (("now", ROOT), ("before", tmp_path))
    ]
    bench.figure("part", "figure", works)
    assert bench.faults == ["part: figure (now)"]
    assert str(bench.rows["part", "figure", "before"]) == "lacks it"


def test_a_week_that_no_reader_takes_is_drawn_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    size = "1,5,12,3,{}"

    def refused(name: str) -> None:
        if name in {size.format(1), size.format(3)}:
            raise InputError(name, "no week", "Draw another.")

    def solving(_: str, side: str, __: int, code: str) -> Work:
        return Work(side, ("-c", "print(7, 8, 8)"), code, tells=True)

    monkeypatch.setattr(growth, "week_named", refused)
    monkeypatch.setattr(growth, "solving", solving)
    bench = Bench(None)
    growth._solve(bench, "a", size)
    assert bench.faults == []
    assert {name for _, name, _ in bench.rows} == {size.format(seed) for seed in (2, 4, 5, 6, 7)}
    assert [len(both.seconds) for both in growth.middles(bench.rows, size).values()] == [5, 5]


@pytest.mark.parametrize("solve", [by_us, by_highs])
def test_a_week_is_proven_or_ended(solve: Callable[[Week, float], tuple[int, int]]) -> None:
    assert solve(read_week("minimal"), math.inf) == (8, 8)
    proven, levels = solve(week_named("4,5,12,3,1"), time.process_time() + 0.1)
    assert proven < levels == 8


def test_weeks_are_as_large_as_they_are_called() -> None:
    # No file has twenty days; of two who are alike each has a lunch of their own.
    long, alike = week_named("1,20,12,3,1"), week_named("2,5,12,3,1,1")
    assert (len(long.days), len(long.lunches)) == (20, 20)
    assert long.days[-1] - long.days[0] == timedelta(days=19)
    assert list(alike.eaters) == ["Office 1", "Office 2"]
    assert len(alike.lunches) == 10


def test_an_earlier_program_is_run_and_not_this_one(tmp_path: Path) -> None:
    (tmp_path / "optimiser").mkdir()
    (tmp_path / "optimiser" / "__init__.py").write_text("print(7, 3, 8)")
    work = Work("before", ("-c", "import optimiser"), "a", tmp_path, tells=True)
    assert work.run(Spent()) == Spent((7,), 3, 8)


def test_the_guides_know_how_many_foods_there_are_and_what_is_known_of_them() -> None:
    developers, readme = (guide.read_text(encoding="utf-8") for guide in (DEVELOPERS, README))
    assert "\n".join(tables.lines()) in developers
    sources = Counter(food.source.partition(" ")[0] for food in table().values())
    for count in (len(table()), sources["USDA"], sources["CoFID"]):
        assert f"{count:,}" in readme, count


DEAF = """
import sys
from tests.bench import weeks
def by_highs(week, end):
    weeks._proven.append("cost")
    while True:
        pass
weeks.GRACE, weeks.by_highs = 0.1, by_highs
sys.argv = ["weeks", "minimal", "HiGHS", "0.1"]
weeks.main()
"""


def test_a_solver_that_does_not_look_up_is_ended() -> None:
    spent = Work("HiGHS", ("-c", DEAF), "a", tells=True).run(Spent())
    assert spent is not None
    assert (spent.proven, spent.levels) == (1, 8)
