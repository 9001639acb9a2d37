"""What-if and size as typed: text that says what --json holds, refusals, drawings, exit codes."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.answers.size import SizeFile
from models.answers.whatif import WhatIfFile
from models.file.reading import ready_text, week_of
from models.file.yamltext import parse
from optimiser.report import size as size_report
from optimiser.report import whatif as whatif_report
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.week import Solved, solve_week
from optimiser.weeks import size as sizing
from optimiser.weeks import whatif

from ..sheets.hostile import HOSTILE
from .command import (
    BAD_INPUT,
    DONE,
    INTERRUPTED,
    NO_PLAN,
    NO_TIME,
    call,
    columns,
    no_control,
    one_message,
    run,
    spawn,
)

Capture: TypeAlias = pytest.CaptureFixture[str]

SWEEP = ("what-if", "demo", "--yield", "leek bake=3..8", "--no-chart")
QUICK = ("what-if", "starter", "--yield", "lentil curry=11..13")
GRID = (*QUICK[:3], "lentil curry=11,12", "--lunches", "4, 5")
NEVER = ("what-if", "starter", "--floor", "protein=900")


@pytest.fixture(scope="module")
def swept() -> Iterator[dict[str, Any]]:
    """Keep the sweep of the demo, which takes a while; filled by the first test that needs it."""
    yield {}


def sweep(swept: dict[str, Any], capsys: Capture) -> Any:
    if not swept:
        swept.update(call(*SWEEP, "--json", capsys=capsys).done().data)
    return swept


def cells(line: str) -> list[str]:
    return re.split(r" {2,}", line.strip())


def short(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")


# -- what-if -----------------------------------------------------------------------------


def test_the_table_says_what_the_data_hold(
    swept: dict[str, Any], capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = WhatIfFile.model_validate(sweep(swept, capsys))
    assert found.model_dump(mode="json") == swept
    # What the command prints of these rows, without planning them anew.
    monkeypatch.setattr(whatif, "what_if", lambda *args, **how: found)
    out = call(*SWEEP, capsys=capsys).done().out
    lines = out.splitlines()
    assert lines[0] == "Late-shift week  what if"
    assert columns(out) <= 80
    no_control(out)

    top = next(at for at, line in enumerate(lines) if "left over" in line)
    table = lines[top + 1 : top + 1 + len(found.rows)]
    assert [row.values for row in found.rows] == [[float(value)] for value in range(3, 9)]
    for row, line in zip(found.rows, table, strict=True):
        now = " (now)" if row.values == [5.0] else ""
        wanted = [f"{row.values[0]:g}{now}", f"{short(row.left_over or 0)} g"]
        wanted.append(f"{short(row.margin.grams)} g" if row.margin else "")
        assert cells(line)[:3] == wanted
        assert line.split()[-1] == row.shape
        assert f"{row.cost:.2f}" in line

    good = [row.values[0] for row in found.rows if row.none_left]
    sentence = out[out.index("Nothing left over: with") :].split(".")[0]
    ranges = re.findall(r"(\d+)(?: to (\d+))?", sentence)
    said = [at for low, high in ranges for at in range(int(low), int(high or low) + 1)]
    assert said == good
    for shape in found.shapes:
        assert all(dish.split(" ", 1)[1].split()[0] in out for dish in shape.dishes)
        assert re.search(rf"^{shape.letter} +Tue ", out, re.MULTILINE)


def test_rows_without_waste_leave_nothing_and_others_something(
    swept: dict[str, Any], capsys: Capture
) -> None:
    rows = sweep(swept, capsys)["rows"]
    assert {row["status"] for row in rows} == {"optimal"}
    for row in rows:
        # Left over is the demo's first priority.
        assert row["none_left"] == (row["left_over"] == 0)
    plan = call("plan", "demo", "--no-reasons", "--json", capsys=capsys).done().data
    now = next(row for row in rows if row["values"] == [5.0])
    reached = {one["name"]: one["value"] for one in plan["priorities"]}
    assert {name: now["priorities"][name] for name in reached} == reached


def test_a_chart_is_drawn_below_unless_told_not_to(capsys: Capture) -> None:
    words = ("what-if", "starter", "--yield", "lentil curry=12..30 by 9")
    plain = call(*words, "--no-chart", capsys=capsys).done().out
    drawn = call(*words, capsys=capsys).done().out
    assert drawn.startswith(plain.rstrip("\n"))
    assert "┤" in drawn
    assert "┤" not in plain
    assert columns(drawn) <= 80
    no_control(drawn)


def test_a_terminal_that_wants_no_colour_and_one_of_another_width(tmp_path: Path) -> None:
    plain = run(*QUICK, folder=tmp_path).done().out
    for more in ({"NO_COLOR": "1"}, {"FORCE_COLOR": "1"}, {"TERM": "dumb"}):
        assert run(*QUICK, folder=tmp_path, more=more).done().out == plain
    narrow = run(*QUICK, folder=tmp_path, more={"FORCE_COLOR": "1", "COLUMNS": "60"}).done().out
    assert columns(narrow) <= 60 < columns(plain)
    no_control(plain + narrow)


def test_with_several_things_turned_the_data_hold_every_combination(capsys: Capture) -> None:
    data = call(*GRID, "--json", capsys=capsys).done().data
    found = WhatIfFile.model_validate(data)
    assert [knob.kind for knob in found.knobs] == ["yield", "lunches"]
    assert [row.values for row in found.rows] == [[11, 4], [11, 5], [12, 4], [12, 5]]
    out = call(*GRID, capsys=capsys).done().out
    assert out.rstrip("\n") == whatif_report.text(found).rstrip("\n")
    for row in found.rows:
        assert f"{row.left_over:.0f}" in out


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (("--yield", "lentil curry=600 g"), "is in g"),
        (("--yield", "lentil cury=6"), "Did you mean"),
        (("--yield", "lentil curry=8..9 by 0"), "no steps"),
        (("--floor", "protein=3000 mg"), "is in mg"),
        (("--floor", "Me protien=3"), "no nutrient"),
        (("--lunches", "1..8"), "cannot be"),
        (("--lunches", ""), "is no range"),
        (("--yield", "lentil curry=1..200", "--lunches", "1..7"), "that is 1400 weeks"),
        ((), "nothing is asked"),
    ],
)
def test_values_that_cannot_be_are_one_message(
    words: tuple[str, ...], what: str, tmp_path: Path, capsys: Capture
) -> None:
    ran = call("what-if", "starter", *words, "--svg", tmp_path / "x.svg", capsys=capsys)
    one_message(ran, what)
    assert list(tmp_path.iterdir()) == []


def test_a_kept_question_that_cannot_be_is_refused_with_its_line(tmp_path: Path) -> None:
    text = ready_text("starter") + "\nwhat_ifs:\n  more: {yield: {lentil curry: 20..10}}\n"
    ran = run("plan", "-", folder=tmp_path, stdin=text)
    one_message(ran, f"line {len(text.splitlines())} ", "what_ifs > more", "runs downwards")


def test_the_same_by_standard_input(tmp_path: Path) -> None:
    text = ready_text("starter") + "\nwhat_ifs:\n  more: {yield: {lentil curry: 11..13}}\n"
    data = run("what-if", "-", "--json", folder=tmp_path, stdin=text).done().data
    wanted = run(*QUICK, "--json", folder=tmp_path).done().data
    assert data == wanted | {"question": "more"}


def test_no_plan_with_any_value_is_told_with_the_rules(tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "x.svg"
    ran = call(*NEVER, "--svg", file, capsys=capsys)
    assert ran.code == NO_PLAN
    assert "No plan with 900, since this cannot be kept:" in ran.out
    assert "900 g protein" in ran.out
    # There is nothing to draw, and the answer is not lost to that.
    assert "not written" in ran.err
    assert not file.exists()
    ran = call(*NEVER, "--json", capsys=capsys)
    (row,) = ran.data["rows"]
    assert (ran.code, row["status"], row["left_over"]) == (NO_PLAN, "infeasible", None)
    assert row["conflict"]


def test_out_of_time_is_its_own_exit_code(capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    def late(week: Any, **how: Any) -> tuple[Any, Solved]:
        program, _ = solve_week(week, **how)
        return program, Solved(Status.UNKNOWN, None, (), None)

    monkeypatch.setattr(whatif, "solve_week", late)
    ran = call(*QUICK, capsys=capsys)
    assert ran.code == NO_TIME
    assert "not found" in ran.out
    assert "no plan" not in ran.out


def test_an_interrupt_shows_the_rows_so_far(
    capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[int] = []

    def stopped(week: Any, *, seconds: float | None, stop: Stop) -> tuple[Any, Solved]:
        seen.append(week.batches["lentil curry"].portions)
        if seen[-1] == 12:
            stop.now()
        return solve_week(week, seconds=seconds, stop=stop)

    monkeypatch.setattr(whatif, "solve_week", stopped)
    monkeypatch.setattr("optimiser.solve.parallel.workers", lambda: 1)
    ran = call(*QUICK, "--json", capsys=capsys)
    assert (ran.code, ran.err) == (INTERRUPTED, "")
    assert ran.data["interrupted"]
    assert [row["values"] for row in ran.data["rows"]] == [[11.0]]
    assert seen == [11, 12]


# -- drawings ----------------------------------------------------------------------------


def drawing_of(file: Path) -> tuple[ET.Element, str]:
    """Parse a drawing and see that nothing in it acts or leads anywhere."""
    text = file.read_text(encoding="utf-8")
    root = ET.fromstring(text)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    for one in root.iter():
        assert one.tag.rpartition("}")[2] not in {"script", "image", "a", "foreignObject"}
        assert not [name for name in one.attrib if "href" in name or name.startswith("on")]
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    return root, "".join(root.itertext())


NAMES = ["<script>alert(1)</script>", 'a & b\'s "best"', "</svg><!-- x -->", "=cmd()"]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("grid", [False, True])
def test_a_name_is_text_in_a_drawing_whatever_it_is(
    name: str, grid: bool, tmp_path: Path, capsys: Capture
) -> None:
    quoted = name.replace("\\", "\\\\").replace('"', '\\"')
    old = next(iter(week_of(parse("w", HOSTILE)).batches))
    week = tmp_path / "week.yaml"
    week.write_text(HOSTILE.replace(f'"{old}"', f'"{quoted}"'), encoding="utf-8")
    file = tmp_path / "x.svg"
    words: Sequence[str] = ("--yield", f"{name}=3, 4, 7", *(("--lunches", "1, 2") if grid else ()))
    ran = call("what-if", week, *words, "--svg", file, capsys=capsys).done()
    _, said = drawing_of(file)
    assert name in said
    no_control(ran.out)
    assert columns(ran.out) <= 80
    assert name.split(maxsplit=1)[0][:8] in ran.out


def test_a_drawing_is_the_same_in_any_process(tmp_path: Path) -> None:
    run(*QUICK, "--svg", "here.svg", folder=tmp_path).done()
    spawn(*QUICK, "--svg", "there.svg", folder=tmp_path, more={"PYTHONHASHSEED": "4711"}).done()
    assert (tmp_path / "here.svg").read_bytes() == (tmp_path / "there.svg").read_bytes()
    drawing_of(tmp_path / "here.svg")


@pytest.mark.parametrize("name", ["there.svg", "folder", "none/x.svg", "x" * 300])
def test_a_drawing_is_written_nowhere_it_should_not_be(
    name: str, tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "there.svg").write_text("mine")
    (tmp_path / "folder").mkdir()
    # Refused before anything is planned.
    monkeypatch.setattr(whatif, "solve_week", None)
    one_message(
        call(*QUICK, "--svg", tmp_path / name, capsys=capsys),
        "x" * 300 if name == "x" * 300 else name,
    )
    assert (tmp_path / "there.svg").read_text() == "mine"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["folder", "there.svg"]


def test_more_than_two_things_cannot_be_drawn(
    tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(whatif, "solve_week", None)
    words = (*GRID, "--floor", "protein=10, 11", "--svg", tmp_path / "x.svg")
    one_message(call(*words, capsys=capsys), "more than two")


# -- size --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def sized() -> Iterator[dict[str, Any]]:
    yield {}


def test_size_says_what_the_data_hold(
    sized: dict[str, Any], capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "sized.yaml"
    data = call("size", "demo", "--json", "-o", file, capsys=capsys).done().data
    found = SizeFile.model_validate(data)
    assert found.model_dump(mode="json") == data
    monkeypatch.setattr(sizing, "size", lambda *args, **how: found)
    out = call("size", "demo", capsys=capsys).done().out
    assert out.splitlines()[0] == "Late-shift week  how much to cook"
    assert columns(out) <= 80
    no_control(out)
    together = " ".join(out.split())
    week = week_of(parse("demo", ready_text("demo")))
    for one in found.batches:
        assert re.search(rf"^{one.batch} +{one.was} +{one.cook} {one.word}", out, re.MULTILINE)
        assert one.was == week.batches[one.batch].portions
        assert one.cook in one.allowed
        assert one.cook in one.works
        assert set(one.works) <= set(one.allowed)
        for number, leaves in ((one.below, one.below_leaves), (one.above, one.above_leaves)):
            if number is not None:
                assert number in one.allowed
                assert number not in one.works
                leave = "no plan" if leaves is None else f"{leaves:.0f} g left"
                assert f"{number}: {leave}" in together
    for rest in found.packs:
        assert f"{rest.grams:.0f} g of {rest.food.removesuffix(', raw')} in its pack" in together
    for dish in found.dishes:
        assert dish in together

    written = week_of(parse("sized", file.read_text(encoding="utf-8")))
    assert {name: batch.portions for name, batch in written.batches.items()} == {
        one.batch: one.cook for one in found.batches
    }
    plan = call("plan", file, "--no-reasons", "--json", capsys=capsys).done().data
    reached = {one["name"]: one["value"] for one in plan["priorities"]}
    assert {name: found.priorities[name] for name in reached} == reached


def test_size_is_the_same_in_any_process(tmp_path: Path) -> None:
    first = spawn("size", "starter", folder=tmp_path, more={"PYTHONHASHSEED": "4711"}).done().out
    again = run("size", "-", folder=tmp_path, stdin=ready_text("starter")).done().out
    assert again == first
    no_control(first)


@pytest.mark.parametrize(
    ("change", "what"),
    [
        (("yield: 12 portions", "yield: 12 portions\n    sizes: {by: 100}"), "no multiple of 100"),
        (
            ("yield: 12 portions", "yield: 12 portions\n    sizes: {least: 10, most: 10, by: 10}"),
            "no number",
        ),
        (("protein: 22 g", "protein: 22 grams of it"), "eaters"),
    ],
)
def test_a_week_that_cannot_be_sized_is_one_message(
    change: tuple[str, str], what: str, tmp_path: Path
) -> None:
    text = ready_text("starter").replace(*change)
    assert text != ready_text("starter")
    ran = run("size", "-", "-o", "new.yaml", folder=tmp_path, stdin=text)
    one_message(ran, what)
    assert list(tmp_path.iterdir()) == []


def test_size_where_no_plan_is_possible_writes_nothing(tmp_path: Path, capsys: Capture) -> None:
    week = tmp_path / "week.yaml"
    text = ready_text("starter").replace("protein: 22 g", "protein: 900 g")
    week.write_text(text, encoding="utf-8")
    ran = call("size", week, "-o", tmp_path / "new.yaml", capsys=capsys)
    assert ran.code == NO_PLAN
    assert "However much is cooked there is no plan; this cannot be kept:" in ran.out
    assert "900 g protein" in ran.out
    assert list(tmp_path.iterdir()) == [week]


def test_size_out_of_time_and_interrupted(
    capsys: Capture, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def late(*args: Any, **how: Any) -> Solved:
        return Solved(Status.UNKNOWN, None, (), None)

    with monkeypatch.context() as patched:
        patched.setattr(sizing, "solve", late)
        ran = call("size", "starter", "-o", tmp_path / "new.yaml", capsys=capsys)
        assert (ran.code, "in time" in ran.out) == (NO_TIME, True)
        assert list(tmp_path.iterdir()) == []

    def stopped(*args: Any, **how: Any) -> Solved:
        solved = solve(*args, **how)
        how["stop"].now()
        return solved

    solve = sizing.solve
    monkeypatch.setattr(sizing, "solve", stopped)
    ran = call("size", "starter", "--json", capsys=capsys)
    assert ran.code == INTERRUPTED
    found = SizeFile.model_validate(ran.data)
    assert found.interrupted
    assert found.batches
    assert "You stopped it" in size_report.text(found)


@pytest.mark.parametrize("command", ["what-if", "size"])
def test_help_has_an_example_that_works_and_fits(command: str, capsys: Capture) -> None:
    ran = call(command, "--help", capsys=capsys)
    assert ran.code == DONE
    assert f"Example: clearfridge {command} demo" in " ".join(ran.out.split())
    assert columns(ran.out) <= 80


def test_a_week_file_is_never_written_over(tmp_path: Path, capsys: Capture) -> None:
    week = tmp_path / "week.yaml"
    week.write_text(ready_text("starter"), encoding="utf-8")
    ran = call("size", week, "-o", week, capsys=capsys)
    assert (ran.code, "it is there already" in ran.err) == (BAD_INPUT, True)
    assert week.read_text(encoding="utf-8") == ready_text("starter")
