"""A folder of weeks: what came of each, what an earlier run keeps, and what a killed one loses."""

from __future__ import annotations

import csv
import fcntl
import io
import os
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from pyarrow import parquet

from models.file.reading import ready_text
from models.words.errors import InputError
from optimiser.interface.folder import Folder, OfWeek, outcome_of
from optimiser.solve import parallel
from tests.depth import sized

from . import dying
from .command import (
    BAD_INPUT,
    INTERRUPTED,
    NO_PLAN,
    Ran,
    arguments,
    environment,
    one_message,
    run,
    spawn,
)

PLAN = ("plan", "weeks", "-o", "plans", "--no-reasons")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder with a week and the same in a folder below, planned in this very process."""
    monkeypatch.setattr(parallel, "workers", lambda: 1)
    (tmp_path / "weeks" / "june").mkdir(parents=True)
    week(tmp_path, "first.yaml")
    week(tmp_path, "june/=second.yml")
    yield tmp_path


def week(folder: Path, name: str, text: str | None = None) -> None:
    text = ready_text("minimal") if text is None else text
    (folder / "weeks" / name).write_text(text, encoding="utf-8")


def plans(folder: Path) -> dict[str, bytes]:
    there = (folder / "plans").rglob("*")
    return {
        path.relative_to(folder / "plans").as_posix(): path.read_bytes()
        for path in sorted(there)
        if path.is_file()
    }


def test_each_week_is_planned_as_if_it_stood_alone(folder: Path) -> None:
    ran = run(*PLAN, folder=folder).done()
    assert "planned and proven   2" in ran.out
    run("plan", "weeks/first.yaml", "--no-reasons", "--save", "alone.json", folder=folder).done()
    written = plans(folder)
    assert written["first.json"] == written["june/=second.json"]
    assert written["first.json"] == (folder / "alone.json").read_bytes()
    table = list(csv.DictReader(io.StringIO(written["summary.csv"].decode())))
    assert [row["week"] for row in table] == ["first.yaml", "june/=second.yml"]
    assert [(row["status"], row["left_over"], row["cost"]) for row in table] == [
        ("optimal", "0.0", "1.38")
    ] * 2


def test_the_parquet_table_says_what_the_csv_says(folder: Path) -> None:
    week(folder, "broken.yaml", "week: {}\n")
    run(*PLAN, folder=folder)
    table = parquet.read_table(folder / "plans" / "summary.parquet").to_pylist()
    lines = csv.DictReader(io.StringIO((folder / "plans" / "summary.csv").read_text()))
    said = [
        {name: "" if value is None else str(value) for name, value in row.items()} for row in table
    ]
    assert said == list(lines)
    assert [row["left_over"] for row in table] == [None, 0.0, 0.0]


def test_a_week_that_fails_is_told_and_fatal_to_none(folder: Path) -> None:
    week(folder, "broken.yaml", ready_text("minimal").replace("mon, tue", "mno, tue"))
    (folder / "weeks" / "unreadable.yaml").write_bytes(b"\xff\xfe\xff")
    (folder / "plans").mkdir()
    (folder / "plans" / "first.json").write_text("mine", encoding="utf-8")
    ran = run(*PLAN, "--json", folder=folder)
    assert (ran.code, ran.err) == (BAD_INPUT, "")
    rows = {row["week"]: row for row in ran.data["rows"]}
    assert {name: row["status"] for name, row in rows.items()} == {
        "broken.yaml": "refused",
        "first.yaml": "refused",
        "june/=second.yml": "optimal",
        "unreadable.yaml": "refused",
    }
    assert rows["broken.yaml"]["why"].startswith("broken.yaml, line 2, column")
    assert rows["first.yaml"]["why"].startswith("its plan is not written: ")
    assert rows["first.yaml"]["why"].endswith("it is there already and is no plan; move that away")
    assert ran.data["others"] == ["first.json"]
    assert (folder / "plans" / "first.json").read_text(encoding="utf-8") == "mine"


def test_a_week_without_a_plan_is_told_with_its_rules(folder: Path) -> None:
    week(folder, "first.yaml", ready_text("minimal").replace("18 g", "90 g"))
    ran = run(*PLAN, folder=folder)
    assert ran.code == NO_PLAN
    assert "first.yaml  no plan is possible: Ilse needs 90 g protein" in ran.out


def test_what_is_planned_already_is_kept_and_what_has_changed_is_planned_again(
    folder: Path,
) -> None:
    begun: list[str] = []
    planned = Folder.planned

    def seen(self: Folder, names: list[str], **how: object) -> Iterator[OfWeek]:
        begun[:] = names
        return planned(self, names, **how)  # type: ignore[arg-type]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Folder, "planned", seen)
        before = run(*PLAN, folder=folder).done() and plans(folder)
        assert begun == ["first.yaml", "june/=second.yml"]
        ran = run(*PLAN, folder=folder).done()
        assert begun == [] and plans(folder) == before
        assert "of an earlier run    2" in ran.out
        week(folder, "first.yaml", ready_text("minimal") + "# a remark\n")
        run(*PLAN, folder=folder).done()
        assert begun == ["first.yaml"]
        (folder / "plans" / "june" / "=second.json").unlink()
        week(folder, "first.yaml", ready_text("minimal") + "# another\n")
        # The last line of a run that was killed while it wrote it.
        with (folder / "plans" / "planned.jsonl").open("a") as stream:
            stream.write('{"asked": "')
        run(*PLAN, folder=folder).done()
        assert begun == ["first.yaml", "june/=second.yml"]
        run(*PLAN, folder=folder).done()
        assert begun == []
        run(*PLAN[:-1], folder=folder).done()
        assert begun == ["first.yaml", "june/=second.yml"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("plan", "weeks"), "weeks: it is a folder of weeks"),
        (("plan", "plans", "-o", "more"), "plans: no week file is in this folder"),
        ((*PLAN, "--save", "x.json"), "--save: it is of one week, and this is a folder of weeks"),
        (("plan", "demo", "-o", "plans"), "--into: it is for a folder of weeks"),
        ((*PLAN, "--cluster", "here"), "--cluster: 'here' is no address of a scheduler"),
        (("plan", "weeks", "-o", "weeks/first.yaml"), "weeks/first.yaml: plans cannot be written"),
        ((*PLAN, "--foods", "none.csv"), "none.csv: there is no such file"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    words: tuple[str, ...], told: str, folder: Path
) -> None:
    (folder / "plans").mkdir()
    ran = run(*words, folder=folder)
    one_message(ran, told)
    assert plans(folder) == {}


def test_two_weeks_whose_plans_would_have_one_name_are_refused_and_no_other(folder: Path) -> None:
    week(folder, "first.yml")
    ran = run(*PLAN, "--json", folder=folder)
    assert (ran.code, ran.err) == (BAD_INPUT, "")
    rows = {row["week"]: (row["status"], row["why"]) for row in ran.data["rows"]}
    what = "would have the same plan, 'first.json': rename one of the two"
    assert rows == {
        "first.yaml": ("refused", f"first.yaml: 'first.yml' {what}"),
        "first.yml": ("refused", f"first.yml: 'first.yaml' {what}"),
        "june/=second.yml": ("optimal", ""),
    }
    (folder / "weeks" / "first.yml").unlink()
    assert "planned and proven   2" in run(*PLAN, folder=folder).done().out


def test_what_is_named_as_a_week_and_is_no_file_is_told(folder: Path) -> None:
    week(folder, "LOUD.YAML")
    os.mkfifo(folder / "weeks" / "pipe.yaml")
    (folder / "weeks" / "gone.yaml").symlink_to("nowhere")
    ran = run(*PLAN, "--json", folder=folder)
    rows = {row["week"]: (row["status"], row["why"]) for row in ran.data["rows"]}
    assert rows["LOUD.YAML"][0] == "optimal"
    for name in ("pipe.yaml", "gone.yaml"):
        assert rows[name] == ("refused", f"{name}: it is no file, or a link to none")


@pytest.mark.skipif(sys.platform == "darwin", reason="there every name is UTF-8")
def test_a_name_that_is_no_plain_text_is_refused_and_no_other(folder: Path) -> None:
    for name in (b"b\xff.yaml", b"c\x1b[31mred.yaml", "d\u202ebad.yaml".encode()):
        week(folder, os.fsdecode(name))
    (folder / "weeks" / os.fsdecode(b"sub\xff")).mkdir()
    week(folder, os.fsdecode(b"sub\xff/e.yaml"))
    ran = run(*PLAN, "--json", folder=folder)
    assert (ran.code, ran.err) == (BAD_INPUT, "")
    told = {row["week"]: (row["status"], row["why"]) for row in ran.data["rows"]}
    why = "its name is no plain text: rename it"
    names = ("b\\udcff.yaml", "c\\x1b[31mred.yaml", "d\\u202ebad.yaml", "sub\\udcff/e.yaml")
    for name in names:
        assert told.pop(name) == ("refused", f"{name}: {why}")
    assert [status for status, _ in told.values()] == ["optimal", "optimal"]
    assert plans(folder)["summary.csv"].isascii()


@pytest.mark.parametrize(
    "becomes", [ready_text("minimal").replace("18 g", "90 g"), "week: {}\n"], ids=["none", "bad"]
)
def test_the_plan_of_a_week_that_has_none_any_more_is_set_aside(becomes: str, folder: Path) -> None:
    run(*PLAN, folder=folder).done()
    before = plans(folder)
    week(folder, "first.yaml", becomes)
    ran = run(*PLAN, folder=folder)
    told = " ".join(ran.out.split())
    assert "Set aside, for their weeks have no plan now: first.json.old." in told
    after = plans(folder)
    assert "first.json" not in after
    assert after["first.json.old"] == before["first.json"]
    # Once it is planned again all is as it was, and a second look sets nothing aside.
    assert "Set aside" not in run(*PLAN, folder=folder).out
    week(folder, "first.yaml")
    run(*PLAN, folder=folder).done()
    assert plans(folder)["first.json"] == before["first.json"]


def test_of_very_many_other_plans_the_first_are_named(folder: Path) -> None:
    run(*PLAN, folder=folder).done()
    for at in range(30):
        (folder / "plans" / f"x{at:02}.json").touch()
    told = " ".join(run(*PLAN, folder=folder).done().out.split())
    assert "of no week of this run: x00.json, x01.json" in told
    assert told.count(".json") == 12
    assert "x11.json and 18 more." in told


def test_a_plan_that_somebody_changed_and_one_of_no_week_are_named_and_left(folder: Path) -> None:
    run(*PLAN, folder=folder).done()
    with (folder / "plans" / "first.json").open("a") as stream:
        stream.write(" ")
    week(folder, "first.yaml", "week: {}\n")
    (folder / "weeks" / "june" / "=second.yml").unlink()
    ran = run(*PLAN, "--json", folder=folder)
    assert ran.data["aside"] == []
    assert ran.data["others"] == ["first.json", "june/=second.json"]
    told = " ".join(run(*PLAN, folder=folder).out.split())
    assert "There too, and of no week of this run: first.json and june/=second.json." in told


def test_what_a_lost_cluster_had_planned_is_told_before_it_is_refused(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost(self: Folder, names: list[str], **how: object) -> Iterator[OfWeek]:
        yield outcome_of(self.ways, self.foods, self.task(names[0]))
        raise InputError("--cluster", "it does not answer any more", "Give it again.")

    monkeypatch.setattr(Folder, "planned", lost)
    ran = run(*PLAN, folder=folder)
    assert ran.code == BAD_INPUT
    assert ran.err == "clearfridge: --cluster: it does not answer any more\nGive it again.\n"
    assert "\n1 week left. Run it again to go on.\n" in ran.out
    assert len(list(csv.DictReader(io.StringIO(plans(folder)["summary.csv"].decode())))) == 1


def test_a_second_run_into_the_same_folder_is_kept_out(folder: Path) -> None:
    (folder / "plans").mkdir()
    with (folder / "plans" / "planned.jsonl").open("ab") as stream:
        fcntl.flock(stream, fcntl.LOCK_EX)
        one_message(run(*PLAN, folder=folder), "plans: another run is planning into this folder")


def test_a_process_that_dies_loses_nothing_but_what_kills_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TOLD", str(tmp_path / "told"))
    came = parallel.spread(dying.work, range(6), backend={"n_jobs": 2})
    assert dict(came) == {0: 0, 1: 10, 2: 20, 3: None, 4: 40, 5: 50}


def test_no_interrupt_ends_a_process_while_it_loads() -> None:
    # It would with a traceback of its own, for each of them.
    assert dict(parallel.spread(dying.is_deaf, range(2), backend={"n_jobs": 2})) == {0: 1, 1: 1}
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


def test_a_process_that_plans_seldom_looks_through_all_that_it_has_loaded() -> None:
    came = parallel.spread(dying.filled, [200_000], backend={"n_jobs": 2})
    assert dict(came) == {0: 0}


# Beside the gate, for they take processes that each load the solver: `--hypothesis-profile deep`.
slow = pytest.mark.skipif(sized(0, 1) == 0, reason="a deep run does it")


def many(folder: Path, number: int) -> None:
    for at in range(number):
        week(folder, f"{at:02}.yaml", ready_text("starter"))


def ended(process: subprocess.Popen[str]) -> Ran:
    out, err = process.communicate(timeout=300)
    return Ran(process.returncode, out, err)


def started(*words: str, folder: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        arguments(*words),
        cwd=folder,
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def until_there_are(number: int, folder: Path) -> None:
    ends = time.monotonic() + 120
    while len(list((folder / "plans").glob("*.json"))) < number:
        assert time.monotonic() < ends
        time.sleep(0.05)


def test_what_plans_for_a_run_ends_with_it(tmp_path: Path) -> None:
    """Killed, or ended by a second interrupt, it can tell its processes nothing any more."""
    (tmp_path / "weeks").mkdir()
    many(tmp_path, 30)
    process = started(*PLAN, folder=tmp_path)
    until_there_are(1, tmp_path)
    process.kill()
    # They hold open what it wrote to.
    process.communicate(timeout=60)


@slow
@pytest.mark.parametrize("wanted", [signal.SIGINT, signal.SIGKILL])
def test_a_run_that_is_stopped_is_gone_on_with(wanted: signal.Signals, tmp_path: Path) -> None:
    (tmp_path / "weeks").mkdir()
    many(tmp_path, 30)
    process = started(*PLAN, folder=tmp_path)
    until_there_are(4, tmp_path)
    os.killpg(process.pid, wanted)
    ran = ended(process)
    assert ran.code == (INTERRUPTED if wanted == signal.SIGINT else -signal.SIGKILL), ran
    assert "Traceback" not in ran.err
    kept = len(list((tmp_path / "plans").glob("*.json")))
    again = spawn(*PLAN, "--json", folder=tmp_path, seconds=300).done().data
    # A plan that was written when its line was not yet is planned again.
    assert 3 <= kept - 1 <= again["kept"] <= kept < 30
    assert again["kept"] + again["planned"] == 30
    assert Counter(row["status"] for row in again["rows"]) == {"optimal": 30}


@slow
def test_a_cluster_plans_the_same_byte_for_byte_though_a_worker_is_killed(tmp_path: Path) -> None:
    # Two seconds to import, and no part of what the gate installs.
    local_cluster = pytest.importorskip("distributed").LocalCluster

    (tmp_path / "weeks").mkdir()
    many(tmp_path, 20)
    with local_cluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, memory_limit=0
    ) as cluster:
        where = ("--cluster", cluster.scheduler_address)
        process = started(*PLAN, *where, folder=tmp_path)
        until_there_are(3, tmp_path)
        os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
        assert ended(process).code == 0
    on_cluster = plans(tmp_path)
    here = ("plan", "weeks", "-o", "here", "--no-reasons")
    spawn(*here, folder=tmp_path, seconds=300).done()
    journal = {"planned.jsonl"}
    assert {name: text for name, text in on_cluster.items() if name not in journal} == {
        path.name: path.read_bytes()
        for path in (tmp_path / "here").iterdir()
        if path.name not in journal
    }
