"""A running week changed from the command line: what is written, what is refused, what is kept."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from .command import (
    CODE,
    DONE,
    NO_PLAN,
    NO_TIME,
    arguments,
    call,
    columns,
    environment,
    no_control,
    one_message,
    run,
    spawn,
)
from .conftest import Made, make
from .week import WEEK, hard

Capture: TypeAlias = pytest.CaptureFixture[str]

AT_LEAST = ("change", "plan.json", "--today", "wed")


@pytest.fixture
def folder(made: Made, tmp_path: Path) -> Path:
    """A folder with a saved plan: Tart, Bowl, Plate with thawed farls, Dry lunch."""
    (tmp_path / "plan.json").write_text(made.text, encoding="utf-8")
    return tmp_path


@pytest.fixture
def here(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(folder)
    return folder


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def eaten(data: Any) -> list[tuple[str, str]]:
    return [(line["date"], line["dish"]) for line in data["lunches"]]


# -- what it gives -----------------------------------------------------------------------


def test_without_a_file_to_write_it_only_shows(here: Path, capsys: Capture) -> None:
    was = held(here)
    ran = call(*AT_LEAST, "--no-lunch", "thu", capsys=capsys).done()
    assert held(here) == was
    assert "Nothing was written. To keep it: -o NEW.json, or --in-place." in ran.out
    assert "changed      Wed 2 Dec: no lunch on Thu" in ran.out
    assert columns(ran.out) <= 80
    no_control(ran.out)


def test_a_new_file_is_a_plan_that_stands(folder: Path) -> None:
    old = (folder / "plan.json").read_bytes()
    ran = run(*AT_LEAST, "--no-lunch", "Ada@thursday", "-o", "new.json", folder=folder).done()
    assert "Written to new.json." in ran.out
    assert sorted(held(folder)) == ["new.json", "plan.json"]
    assert (folder / "plan.json").read_bytes() == old
    was, new = json.loads(old), json.loads((folder / "new.json").read_text(encoding="utf-8"))
    assert eaten(new) == eaten(was)[:3]
    assert new["lunches"][:2] == [line | {"reasons": []} for line in was["lunches"][:2]]
    assert [line["today"] for line in new["changes"]] == ["2026-12-02"]
    assert run("audit", "new.json", folder=folder).done().out.startswith("The plan keeps every")


def test_in_place_the_plan_is_replaced_and_a_link_stays_one(folder: Path) -> None:
    (folder / "link.json").symlink_to("plan.json")
    words = ("--today", "tue", "--ate", "beans=1", "--in-place")
    run("change", "link.json", *words, folder=folder).done()
    assert (folder / "link.json").is_symlink()
    assert sorted(held(folder)) == ["link.json", "plan.json"]
    new = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert new["changes"][0]["ate"] == [{"batch": "beans", "portions": 1}]
    assert new["week"]["batches"]["beans"]["gone"] == 1
    run("audit", "plan.json", folder=folder).done()


def test_several_changes_follow_each_other(folder: Path) -> None:
    words: tuple[tuple[str, ...], ...] = (
        ("--today", "mon", "--joined", "Sam@wed"),
        ("--today", "2026-12-01", "--dropped", "BEANS=1"),
        ("--today", "Wednesday", "--no-lunch", "sam@wed"),
    )
    for one in words:
        run("change", "plan.json", *one, "--in-place", folder=folder).done()
        run("audit", "plan.json", folder=folder).done()
    new = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert [line["today"] for line in new["changes"]] == ["2026-11-30", "2026-12-01", "2026-12-02"]
    assert new["changes"][0]["joined"] == [{"date": "2026-12-02", "eater": "Sam", "new": True}]
    assert new["changes"][2]["no_lunch"] == [{"date": "2026-12-02", "eater": "Sam"}]
    assert all(line["eater"] == "Ada" for line in new["lunches"])
    ran = run("change", "plan.json", "--today", "tue", folder=folder)
    one_message(ran, "Tue 1 Dec lies before Wed 2 Dec")


def test_json_holds_the_plan_that_was_written(folder: Path) -> None:
    words = ("--no-lunch", "thu", "-o", "new.json", "--json")
    data = run(*AT_LEAST, *words, folder=folder).done().data
    assert data["format"] == "clearfridge change 1"
    assert data["plan"] == json.loads((folder / "new.json").read_text(encoding="utf-8"))
    assert (data["today"], data["written"]) == ("2026-12-02", "new.json")
    assert data["to_come"] == 1


def test_standard_input_is_read(made: Made, folder: Path) -> None:
    words = ("--today", "wed", "--no-lunch", "thu")
    said = run("change", "-", *words, folder=folder, stdin=made.text).done()
    assert said.out == run("change", "plan.json", *words, folder=folder).done().out


def test_the_same_bytes_each_time(folder: Path) -> None:
    words = (*AT_LEAST, "--dropped", "beans=1", "--json")
    first = run(*words, folder=folder)
    assert first.out == spawn(*words, folder=folder, more={"PYTHONHASHSEED": "2"}).out


def test_no_plan_is_code_one_and_writes_nothing(tmp_path: Path) -> None:
    """With all beans and farls gone there is a dry lunch, but no two of it."""
    make(tmp_path, WEEK).ran.done()
    was = held(tmp_path)
    gone = ("--dropped", "beans=4", "--dropped", "farls=2")
    for more in (("-o", "new.json"), ("--in-place",), ()):
        ran = run(
            "change", "plan.json", "--today", "tue", *gone, *more, "--strict", folder=tmp_path
        )
        assert (ran.code, ran.err) == (NO_PLAN, "")
        assert held(tmp_path) == was
        assert "No plan is possible for what is left of the week." in ran.out
        assert "clearfridge mend" in ran.out
    words = ("change", "plan.json", "--today", "tue", *gone, "--json")
    data = run(*words, "--strict", folder=tmp_path).data
    assert data["plan"]["lunches"] == []
    assert data["conflict"]
    assert data["written"] is None
    # Without it the nearest week is planned, and the same rules are named.
    near = run(*words, folder=tmp_path)
    assert near.code == DONE
    assert near.data["conflict"] == data["conflict"]
    assert near.data["plan"]["nearest"]["levels"]


def test_within_the_time_there_is_a_plan_that_stands_or_none(tmp_path: Path) -> None:
    # How long a busy machine takes to any plan at all is not asked here.
    waits = ("5", "20", "80")
    codes = (make(tmp_path, hard(2), "--seconds", n, "--no-reasons").ran.code for n in waits)
    assert DONE in codes
    was = held(tmp_path)
    words = ("change", "plan.json", "--today", "mon", "--no-lunch", "E0@tue")
    ran = run(*words, "--in-place", "--seconds", "0.01", folder=tmp_path)
    assert ran.code == NO_TIME
    assert "Nothing was written" in ran.out
    assert held(tmp_path) == was
    # With a little more there may be one; it need not be the best, but its figures are true.
    ran = run(*words, "-o", "new.json", "--seconds", "1.5", folder=tmp_path)
    assert ran.code in {DONE, NO_TIME}
    assert (tmp_path / "new.json").exists() == (ran.code == DONE)
    if ran.code == DONE:
        run("audit", "new.json", folder=tmp_path).done()


def test_help_shows_an_example_and_the_codes(tmp_path: Path) -> None:
    out = run("change", "--help", folder=tmp_path).done().out
    assert re.search(r"Example: clearfridge change plan\.json --today", out)
    said = " ".join(out.split())
    for words in ("0 a plan", "1 none is possible", "2 bad input", "3 no plan within", "130 inter"):
        assert words in said
    assert columns(out) <= 80
    assert re.search(r"^. change ", run("--help", folder=tmp_path).done().out, re.MULTILINE)


# -- what it refuses ---------------------------------------------------------------------

REFUSED: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "no day": ((), ("--today", "from which day on is not said")),
    "no weekday": (("--today", "sat"), ("'sat' is not a day of this week", "mon, tue, wed, thu")),
    "another week": (("--today", "2026-12-07"), ("is not a day of this week",)),
    "before it": (("--today", "2026-11-29"), ("is not a day of this week",)),
    "no word": (("--today", ""), ("'' is not a day of this week",)),
    "no lunch the past": (
        ("--today", "wed", "--no-lunch", "tue"),
        ("Tue 1 Dec is past: today is Wed 2 Dec",),
    ),
    "no lunch twice": (
        ("--today", "wed", "--no-lunch", "thu", "--no-lunch", "Ada@thu"),
        ("Ada has no lunch on Thu 3 Dec", "off already"),
    ),
    "no lunch nobody": (
        ("--today", "wed", "--no-lunch", "Adah@thu"),
        ("there is no eater named 'Adah'", "Did you mean 'Ada'?"),
    ),
    "no lunch no day": (("--today", "wed", "--no-lunch", "Ada"), ("'Ada' is not a day",)),
    "no lunch another week": (("--today", "wed", "--no-lunch", "2026-12-10"), ("is not a day",)),
    "ate what": (
        ("--today", "wed", "--ate", "farl=1"),
        ("there is no batch named 'farl'", "Did you mean 'farls'?"),
    ),
    "ate how many": (("--today", "wed", "--ate", "farls"), ("no number of portions",)),
    "ate none": (("--today", "wed", "--ate", "farls=0"), ("no number of portions",)),
    "ate less than none": (("--today", "wed", "--ate", "farls=-1"), ("no number of portions",)),
    "ate a half": (("--today", "wed", "--ate", "farls=0.5"), ("no number of portions",)),
    "ate odd digits": (("--today", "wed", "--ate", "farls=²"), ("no number of portions",)),
    "ate a lot": (("--today", "wed", "--ate", "farls=99999999"), ("no number of portions",)),
    "ate too many": (
        ("--today", "wed", "--ate", "farls=9"),
        ("9 pieces of farls cannot be gone:", "are there on the morning of Wed 2 Dec"),
    ),
    "too many in all": (
        ("--today", "mon", "--ate", "beans=3", "--dropped", "beans=2"),
        ("5 portions of beans cannot be gone: 4 are there", "Say 4 at the most."),
    ),
    "joined as it is": (
        ("--today", "wed", "--joined", "ADA@thu"),
        ("Ada has a lunch on Thu 3 Dec as it is",),
    ),
    "joined twice": (
        ("--today", "wed", "--joined", "Sam@thu", "--joined", "sam@thu"),
        ("Sam has a lunch on Thu 3 Dec as it is",),
    ),
    "joined the past": (("--today", "wed", "--joined", "Sam@mon"), ("Mon 30 Nov is past",)),
    "joined no day": (("--today", "wed", "--joined", "Sam"), ("no eater on a day",)),
    "joined nobody": (("--today", "wed", "--joined", "@thu"), ("no eater on a day",)),
    "joined too long": (("--today", "wed", "--joined", "S" * 61 + "@thu"), ("longer than 60",)),
    "joined a bell": (("--today", "wed", "--joined", "S\ab@thu"), ("control character",)),
    "off and joined": (
        ("--today", "wed", "--no-lunch", "Ada@thu", "--joined", "Ada@thu"),
        ("both off and joined",),
    ),
    "two places": (("--today", "wed", "-o", "new.json", "--in-place"), ("does not go with -o",)),
    "over a plan": (("--today", "wed", "-o", "plan.json"), ("it is there already",)),
    "into nowhere": (("--today", "wed", "-o", "no/new.json"), ("cannot be written there",)),
    "all of it": (
        (
            "--today",
            "mon",
            *(word for day in ("mon", "tue", "wed", "thu") for word in ("--no-lunch", day)),
        ),
        ("no lunch is left",),
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_makes_no_sense_is_refused(name: str, here: Path, capsys: Capture) -> None:
    words, parts = REFUSED[name]
    was = held(here)
    for more in ((), ("--in-place",)) if name != "two places" and "-o" not in words else ((),):
        one_message(call("change", "plan.json", *words, *more, capsys=capsys), *parts)
        assert held(here) == was


def damaged(made: Made) -> Iterator[tuple[str, str, str]]:
    data = made.data()
    data["lunches"][0]["batches"][0]["portions"] -= 1
    yield "edited", json.dumps(data), "the plan breaks its own week: "
    data = made.data()
    data["lunches"] = []
    yield "empty", json.dumps(data), "this plan has no lunches"
    yield "half", made.text[: len(made.text) // 2], "this is not JSON"
    yield "other", "{}", "this is not a plan of this program"


def test_a_file_that_is_no_whole_plan_is_refused(here: Path, made: Made, capsys: Capture) -> None:
    for name, text, part in damaged(made):
        (here / f"{name}.json").write_text(text, encoding="utf-8")
        was = held(here)
        words = ("--today", "wed", "--no-lunch", "thu", "--in-place")
        one_message(call("change", f"{name}.json", *words, capsys=capsys), part)
        assert held(here) == was
    one_message(call("change", "none.json", "--today", "wed", capsys=capsys), "no such file")
    ran = run("change", "-", "--today", "wed", "--in-place", folder=here, stdin=made.text)
    one_message(ran, "standard input cannot be written to")


def test_the_first_fault_and_the_way_to_see_all(here: Path, made: Made, capsys: Capture) -> None:
    data = made.data()
    data["totals"]["minutes"] += 1
    (here / "plan.json").write_text(json.dumps(data), encoding="utf-8")
    ran = call("change", "plan.json", "--today", "wed", capsys=capsys)
    one_message(ran, "the plan breaks its own week", "mend: clearfridge audit plan.json")


# -- killed in the middle -------------------------------------------------------------------

HANGS = {
    "before all is written": "import os; os.fsync = hang",
    "before it takes its place": "import pathlib; pathlib.Path.replace = hang",
}


@pytest.mark.parametrize("when", HANGS)
def test_a_kill_leaves_the_old_plan_whole(when: str, folder: Path) -> None:
    old = (folder / "plan.json").read_bytes()
    code = (
        "import sys, time\n"
        "def hang(*_):\n"
        "    print('hangs', flush=True)\n"
        "    time.sleep(60)\n"
        f"{HANGS[when]}\n{CODE}"
    )
    words = ("change", "plan.json", "--today", "wed", "--no-lunch", "thu", "--in-place")
    running = subprocess.Popen(
        arguments(*words, code=code),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=folder,
        env=environment(),
        text=True,
    )
    assert running.stdout is not None
    try:
        assert running.stdout.readline() == "hangs\n"
        assert len(list(folder.iterdir())) == 2, "the new one is not beside the old one yet"
    finally:
        running.kill()
        running.wait()
    assert running.returncode == -signal.SIGKILL
    assert (folder / "plan.json").read_bytes() == old
    run(*words, folder=folder).done()
    assert list(held(folder)) == ["plan.json"], "what was left is swept"
    assert (folder / "plan.json").read_bytes() != old


def test_a_folder_that_may_not_be_written_keeps_its_plan(folder: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root may write everywhere")
    folder.chmod(0o555)
    try:
        ran = run(*AT_LEAST, "--no-lunch", "thu", "--in-place", folder=folder)
    finally:
        folder.chmod(0o755)
    one_message(ran, "it cannot be written")
