"""The commands for other weeks: what they print, what they refuse, what they write."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.answers.others import OthersFile
from models.answers.size import SizeFile
from models.answers.tradeoff import TradeOffFile
from models.answers.whatif import WhatIfFile
from models.file.planfile import read_plan
from models.file.reading import ready_text, week_of
from models.file.yamltext import parse
from optimiser.auditing import audit
from optimiser.interface import asked

from ..sheets.hostile import HOSTILE
from .command import BAD_INPUT, DONE, INTERRUPTED, NO_PLAN, call, run

Capture: TypeAlias = pytest.CaptureFixture[str]

SWEEP = ("what-if", "starter", "--yield", "lentil curry=10..13")
ANSWERS = [
    (SWEEP, WhatIfFile),
    (("size", "starter"), SizeFile),
    (("others", "starter", "-n", "2"), OthersFile),
    (("trade-off", "starter", "cost", "minutes"), TradeOffFile),
]


@pytest.mark.parametrize(("words", "answer"), ANSWERS, ids=lambda one: str(one)[:12])
def test_json_is_the_answer_and_text_fits_the_terminal(
    words: tuple[str, ...], answer: type, capsys: Capture
) -> None:
    data = call(*words, "--json", capsys=capsys).done().data
    assert answer.model_validate(data).model_dump(mode="json") == data
    out = call(*words, capsys=capsys).done().out
    assert "\x1b" not in out
    assert max(map(len, out.splitlines())) <= 80
    assert call(*words, capsys=capsys).out == out


@pytest.mark.parametrize("words", [words for words, _ in ANSWERS], ids=lambda one: one[0])
def test_a_week_may_come_by_standard_input(words: tuple[str, ...], tmp_path: Path) -> None:
    piped = ("-" if one == "starter" else one for one in words)
    ran = run(*piped, "--json", folder=tmp_path, stdin=ready_text("starter")).done()
    assert ran.data == run(*words, "--json", folder=tmp_path).done().data


@pytest.mark.parametrize(
    "words",
    [
        ("size", "impossible"),
        ("others", "impossible"),
        ("trade-off", "impossible", "cost", "minutes"),
    ],
    ids=lambda one: one[0],
)
def test_a_week_that_cannot_be_has_no_others(words: tuple[str, ...], capsys: Capture) -> None:
    ran = call(*words, capsys=capsys)
    if words[0] == "size" and ran.code == DONE:
        # Cooking other amounts may be what mends it.
        assert "how much to cook" in ran.out
    else:
        assert ran.code == NO_PLAN
        assert "plan" in ran.out


REFUSED = [
    (("what-if", "demo", "--yield", "leek bak=3"), "no batch named"),
    (("what-if", "demo", "--yield", "leek bake=9..3"), "downwards"),
    (("what-if", "demo", "--floor", "protein=x"), "no range"),
    (("what-if", "demo", "--lunches", "12"), "cannot be"),
    (("what-if", "demo", "--named", "nothing"), "no what-if"),
    (("what-if", "demo", "--named", "a hungrier week", "--lunches", "3"), "without other"),
    (("what-if", "starter"), "keeps no what-ifs"),
    (("what-if", "demo", "--yield", "leek bake=8", "--yield", "leek bake=9"), "twice"),
    (("what-if", "demo", "--svg", "x.svg"), "several what-ifs"),
    (("others", "demo", "--equal", "9"), "7 priorities"),
    (("others", "demo", "--save", "x.json"), "go together"),
    (("trade-off", "demo", "cost", "cost"), "twice"),
    (("trade-off", "demo", "cost", "beauty"), "no priority"),
]


@pytest.mark.parametrize(("words", "what"), REFUSED)
def test_what_makes_no_sense_is_refused(
    words: tuple[str, ...],
    what: str,
    tmp_path: Path,
    capsys: Capture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = call(*words, capsys=capsys)
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    assert what in ran.err
    assert len(ran.err.splitlines()) == 2
    assert list(tmp_path.iterdir()) == []


WRITES = [
    (("what-if", "starter", "--yield", "lentil curry=10..12", "--svg"), "x.svg"),
    (("trade-off", "demo", "liking", "cost", "--svg"), "x.svg"),
    (("size", "demo", "-o"), "x.yaml"),
    (("others", "starter", "-n", "1", "--week", "1", "--save"), "x.json"),
]


@pytest.mark.parametrize(("words", "name"), WRITES, ids=lambda one: str(one)[:14])
def test_a_file_is_written_once_and_never_over_another(
    words: tuple[str, ...], name: str, tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / name
    call(*words, file, capsys=capsys).done()
    first = file.read_bytes()
    assert first
    ran = call(*words, file, capsys=capsys)
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    assert "it is there already" in ran.err
    assert file.read_bytes() == first


def test_a_drawing_is_svg_without_a_script_whatever_the_names(
    tmp_path: Path, capsys: Capture
) -> None:
    week = tmp_path / "week.yaml"
    week.write_text(HOSTILE, encoding="utf-8")
    name = next(iter(week_of(parse("w", HOSTILE)).batches))
    file = tmp_path / "x.svg"
    call("what-if", week, "--yield", f"{name}=2..7", "--svg", file, capsys=capsys).done()
    text = file.read_text(encoding="utf-8")
    root = ET.fromstring(text)
    assert root.tag.endswith("svg")
    assert not any(one.tag.endswith(("script", "image", "a")) for one in root.iter())
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_questions_of_the_file_are_asked_together_or_one_by_one(
    tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "week.yaml"
    kept = "what_ifs:\n  fewer: {yield: {lentil curry: 11..12}}\n  days: {lunches: 3..4}\n"
    file.write_text(f"{ready_text('starter')}\n{kept}", encoding="utf-8")
    all_ = call("what-if", file, "--json", capsys=capsys).done().data
    assert [one["question"] for one in all_] == ["fewer", "days"]
    one = call("what-if", file, "--named", "days", "--json", capsys=capsys).done()
    assert one.data == all_[1]
    out = call("what-if", file, "--no-chart", capsys=capsys).done().out
    assert "what if: fewer" in out
    assert "what if: days" in out


def test_another_week_kept_as_a_plan_passes_the_audit(tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "other.json"
    words = ("others", "demo", "-n", "2", "--json", "--week", "2", "--save")
    data = call(*words, file, capsys=capsys).done().data
    plan = read_plan(str(file))
    assert audit(plan) == []
    assert [line.dish for line in plan.lunches] == [
        one["dish"] for one in data["weeks"][2]["lunches"]
    ]
    kept = ("--week", "3", "--save", tmp_path / "n")
    ran = call("others", "starter", "-n", "1", *kept, capsys=capsys)
    assert (ran.code, (tmp_path / "n").exists()) == (BAD_INPUT, False)
    # Where there is no week at all, that is the answer.
    ran = call("others", "impossible", "-n", "1", *kept, capsys=capsys)
    assert (ran.code, ran.err, (tmp_path / "n").exists()) == (NO_PLAN, "", False)


def test_a_search_that_is_stopped_says_what_it_found_before_the_week_to_keep(
    tmp_path: Path, capsys: Capture
) -> None:
    def stopped(*given: Any, **ways: Any) -> Any:
        answer = asked_others(*given, **ways)
        return answer.model_copy(
            update={"weeks": answer.weeks[:1], "interrupted": True, "exhausted": False}
        )

    asked_others = asked.others
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(asked, "others", stopped)
        words = ("others", "starter", "-n", "1", "--week", "1", "--save", tmp_path / "n")
        ran = call(*words, capsys=capsys)
    assert (ran.code, ran.err, (tmp_path / "n").exists()) == (INTERRUPTED, "", False)
    assert "You stopped it: there may be more." in ran.out


# -- ways to plan --------------------------------------------------------------------------


def kept(capsys: Capture, file: Path, *words: str) -> Path:
    call("plan", *words, "--no-reasons", "--save", file, capsys=capsys).done()
    return file


@pytest.mark.parametrize(
    "words",
    [
        ("plan", "demo", "--no-repeats"),
        ("plan", "--no-repeats", "demo"),
        ("plan", "demo", "--no-repeats", "dish"),
        ("plan", "demo", "--no-repeats=dish"),
    ],
)
def test_no_repeats_may_stand_alone(words: tuple[str, ...], capsys: Capture) -> None:
    data = call(*words, "--no-reasons", "--json", capsys=capsys).done().data
    assert [one["wish"] for one in data["wishes"]] == ["no dish twice"]


def test_no_repeats_of_every_sort(capsys: Capture) -> None:
    words = ("plan", "demo", "--no-reasons", "--json", "--no-repeats", "all")
    data = call(*words, capsys=capsys).done().data
    assert [one["wish"] for one in data["wishes"]] == [
        "no dish twice",
        "no kind of dish twice",
        "no choice twice",
    ]
    kinds = [one["kind"] for one in data["lunches"]]
    assert len(set(kinds)) == len(kinds)
    ran = call("plan", "demo", "--no-repeats=never", capsys=capsys)
    assert ran.code == BAD_INPUT


def test_what_was_eaten_last_week_is_kept_away_from(tmp_path: Path, capsys: Capture) -> None:
    last = ready_text("demo")
    for day, before in (("11-30", "11-23"), ("12-01", "11-24"), ("12-03", "11-26")):
        last = last.replace(f"2026-{day}", f"2026-{before}")
    week = tmp_path / "last.yaml"
    week.write_text(last, encoding="utf-8")
    plan = kept(capsys, tmp_path / "last.json", str(week))
    eaten = {one["dish"] for one in json.loads(plan.read_text(encoding="utf-8"))["lunches"]}
    words = ("plan", "demo", "--no-reasons", "--json")
    plain = call(*words, capsys=capsys).done().data
    assert {one["dish"] for one in plain["lunches"]} == eaten
    other = call(*words, "--after", plan, capsys=capsys).done().data
    again = [one["dish"] for one in other["lunches"] if one["dish"] in eaten]
    lines = {one["wish"]: one for one in other["wishes"]}
    assert lines["nothing that was eaten lately"]["amount"] == (len(again) or None)
    assert len(again) < 6


def test_a_plan_that_is_not_of_a_week_before_is_refused(tmp_path: Path, capsys: Capture) -> None:
    same = kept(capsys, tmp_path / "same.json", "demo")
    ran = call("plan", "demo", "--after", same, capsys=capsys)
    assert (ran.code, "of the same days" in ran.err) == (BAD_INPUT, True)
    ran = call("plan", "demo", "--after", tmp_path / "none.json", capsys=capsys)
    assert ran.code == BAD_INPUT
    (tmp_path / "x.json").write_text("{}", encoding="utf-8")
    ran = call("plan", "demo", "--after", tmp_path / "x.json", capsys=capsys)
    assert (ran.code, "no plan" in ran.err or "not a plan" in ran.err) == (BAD_INPUT, True)


def test_what_a_cancelled_lunch_leaves_is_said_line_by_line(capsys: Capture) -> None:
    data = call("plan", "family", "--no-reasons", "--json", capsys=capsys).done().data
    assert data["bends"] is None
    out = call("plan", "starter", "--no-reasons", "--bends", capsys=capsys).done().out
    data = call("plan", "starter", "--no-reasons", "--bends", "--json", capsys=capsys).done().data
    assert len(data["bends"]["lunches"]) == len(data["lunches"])
    for one in data["bends"]["lunches"]:
        if one["more"]:
            assert f"{one['more']:g} g left over" in out
    assert "if one fails" in out
