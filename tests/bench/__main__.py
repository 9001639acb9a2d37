"""Measure the speed of the program as ratios taken side by side in one run.

    python -m tests.bench
    python -m tests.bench households     # weeks of households: see households.py
    python -m tests.bench against 8de1b4c   # beside an earlier commit: see against.py

Seconds depend on the machine; the ratios are what to compare. Each figure is the
median of its runs, the two sides taken in turn.
"""

from __future__ import annotations

import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from importlib import metadata
from pathlib import Path

from models.file.reading import read_week, ready_text
from models.week.week import Nutrition, Week
from models.words.nutrients import NUTRIENTS
from models.words.units import magnitude, quantity
from optimiser.explain.conflicts import smallest_conflict
from optimiser.explain.mend import mend
from optimiser.explain.why import Why
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.week import solve_week
from tests.bench import against, households
from tests.published.rows_in_highs import least

RUNS = 7
PATIENCE = 60


def main() -> None:
    """Print every measurement, or those of households or beside a commit where asked."""
    if sys.argv[1:2] == ["households"]:
        households.main(sys.argv[2:])
        return
    if sys.argv[1:2] == ["against"]:
        against.main(sys.argv[2])
        _solves()
        return
    cpu = platform.processor() or platform.machine()
    print(f"{platform.system()} {cpu}, {os.cpu_count()} cores, Python {platform.python_version()}")
    print(", ".join(f"{name} {metadata.version(name)}" for name in ("ortools", "highspy")))
    print()
    _commands()
    _solves()
    _questions()
    _other_weeks()
    _sheets()


def _other_weeks() -> None:
    print()
    print("other weeks, whole command, against one plain solve of the same week")
    demo = read_week("demo")
    for words in (
        ["what-if", "demo", "--yield", "barley pot=2..22", "--no-chart"],
        ["what-if", "demo", "--yield", "barley pot=4..15", "--yield", "caraway cabbage=3..14"],
        ["others", "demo", "-n", "5"],
        ["size", "demo"],
        ["plan", "demo", "--no-reasons", "--bends"],
    ):
        once, mine = _in_turn(lambda: _solved(demo), lambda words=words: _command(words), runs=3)
        _line(" ".join(words)[:44], mine, once)


def _sheets() -> None:
    print()
    print("sheets of a saved plan, whole command, against importing pydantic, typer and rich alone")
    bare = [sys.executable, "-c", "import pydantic, typer, rich"]
    with tempfile.TemporaryDirectory() as folder:
        plan = str(Path(folder) / "plan.json")
        _command(["plan", "demo", "--no-reasons", "--save", plan])
        for name in ("shop", "prep", "labels", "pack", "calendar", "share"):
            base, mine = _in_turn(
                lambda: _process(bare), lambda name=name: _command([name, plan]), runs=5
            )
            _line(name, mine, base)
        change = ["change", plan, "--today", "wed", "--no-lunch", "thu", "--ate", "barley pot=1"]
        base, mine = _in_turn(lambda: _process(bare), lambda: _command(change), runs=5)
        _line("change", mine, base)
        page = ["page", "demo", "-o", str(Path(folder) / "week.html")]
        base, mine = _in_turn(lambda: _process(bare), lambda: _command([*page, "--force"]), runs=3)
        _line("page demo, 3 sliders", mine, base)


def _command(words: list[str]) -> None:
    _process([sys.executable, "-c", "from optimiser.cli import main; main()", *words])


def _commands() -> None:
    bare = [sys.executable, "-c", "from ortools.sat.python import cp_model"]
    run = [sys.executable, "-c", "from optimiser.cli import main; main()"]
    print("whole command, against importing ortools' cp_model alone")
    for words in (
        ["--help"],
        ["check", "demo"],
        ["plan", "demo", "--no-reasons"],
        ["plan", "demo"],
        ["why", "demo", "--all"],
    ):
        base, mine = _in_turn(lambda: _process(bare), lambda words=words: _process([*run, *words]))
        _line(" ".join(words), mine, base)
    print()
    bare = [sys.executable, "-c", "import pydantic, typer, rich"]
    print("a food looked up, against importing pydantic, typer and rich alone")
    base, mine = _in_turn(lambda: _process(bare), lambda: _process([*run, "food", "dried lentils"]))
    _line("food 'dried lentils'", mine, base)
    print()


def _process(command: list[str]) -> None:
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def _solves() -> None:
    print("solve with every priority proven, against HiGHS on the same rows")
    demo = read_week("demo")
    base, mine = _in_turn(lambda: _same_rows(demo), lambda: _solved(demo), runs=5)
    _line("demo", mine, base)
    print()
    print("four days, four eaters, 12 dishes, 3 batches, against the direct formulation")
    print(f"(amounts as whole numbers bounded 'if this dish', HiGHS, ended after {PATIENCE} s)")
    family = read_week("family")
    mine = statistics.median(_time(lambda: _solved(family)) for _ in range(3))
    try:
        _line("family", mine, _time(_direct))
    except subprocess.TimeoutExpired:
        print(f"  {'family':24} {mine:7.3f} s   against more than {PATIENCE} s, not proven by then")


def _questions() -> None:
    print()
    print("questions, against solving the same week once")
    demo = read_week("demo")
    once, mine = _in_turn(lambda: _solved(demo), lambda: _all(demo), runs=3)
    _line("why demo --all", mine, once)
    lost = read_week("impossible")
    once, mine = _in_turn(lambda: _tried(lost), lambda: _conflict(lost), runs=5)
    _line("conflict of impossible", mine, once)
    text = ready_text("impossible")
    once, mine = _in_turn(lambda: _tried(lost), lambda: _fixed(text, lost), runs=3)
    _line("mend impossible, 3 ways", mine, once)
    family = read_week("family")
    why = Why(family)
    lunch = why.solved.packed.lunches[1] if why.solved.packed is not None else None
    assert lunch is not None
    once = statistics.median(_time(lambda: _solved(family)) for _ in range(3))
    mine = statistics.median(_time(lambda: why.explainer.of_dish(lunch)) for _ in range(3))
    _line("reasons, a family lunch", mine, once)


def _all(week: Week) -> None:
    assert Why(week).all().lunches


def _tried(week: Week) -> None:
    _, solved = solve_week(week)
    assert solved.status is Status.INFEASIBLE


def _conflict(week: Week) -> None:
    assert smallest_conflict(Program(week))


def _fixed(text: str, week: Week) -> None:
    assert mend(week, []).ways


def _solved(week: Week) -> None:
    _, solved = solve_week(week)
    assert solved.status is Status.OPTIMAL


def _same_rows(week: Week) -> None:
    program = Program(week)
    sheet = program.board.sheet
    first = len(sheet.rows)
    for level in program.levels:
        answer = least(sheet.bounds, sheet.rows, level.total, whole=True)
        assert answer is not None
        sheet.bound(level.total, high=round(answer.value))
    del sheet.rows[first:]


def _direct() -> None:
    # In a process of its own, which can be ended when it takes too long.
    work = (
        "from models.file.reading import read_week; from tests.oracle import highs; "
        "from tests.bench.__main__ import coarse; highs.best(coarse(read_week('family')))"
    )
    subprocess.run([sys.executable, "-c", work], check=True, timeout=PATIENCE)


def coarse(week: Week) -> Week:
    """Round what food holds to a thousandth of its unit: sums over ingredients have no end.

    What serves usable protein is left out: no eater of the family asks for it.
    """

    def rounded(nutrition: Nutrition) -> Nutrition:
        return {
            tag: quantity(round(magnitude(held, NUTRIENTS[tag].unit), 3), NUTRIENTS[tag].unit)
            for tag, held in nutrition.items()
            if tag in NUTRIENTS
        }

    batches = {
        name: replace(batch, nutrition=rounded(batch.nutrition))
        for name, batch in week.batches.items()
    }
    larder = {
        name: replace(item, nutrition=rounded(item.nutrition)) for name, item in week.larder.items()
    }
    return replace(week, batches=batches, larder=larder)


def _in_turn(
    first: Callable[[], None], other: Callable[[], None], runs: int = RUNS
) -> tuple[float, float]:
    pairs = [(_time(first), _time(other)) for _ in range(runs)]
    return statistics.median(pair[0] for pair in pairs), statistics.median(
        pair[1] for pair in pairs
    )


def _time(work: Callable[[], None]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _line(name: str, mine: float, base: float) -> None:
    print(f"  {name:24} {mine:7.3f} s   against {base:7.3f} s   ratio {mine / base:6.2f}")


if __name__ == "__main__":
    main()
