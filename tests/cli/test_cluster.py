"""Weeks planned elsewhere than in threads of this process: the same, byte for byte."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from models.file.knobs import questions
from models.file.reading import ready_text
from models.words.errors import InputError
from optimiser.interface.cluster import _same
from optimiser.interface.given import read_week
from optimiser.solve import parallel
from optimiser.solve.parallel import each, spread
from optimiser.weeks.whatif import what_if
from tests.depth import sized

from . import dying
from .command import arguments, environment, one_message, run, spawn

TWO = ready_text("minimal").replace("eaters: {", "eaters: {Runa: {floors: {protein: 12 g}}, ")
"""Of one eater the passes would tell all, and nothing would be sent anywhere."""
YIELDS = "rice and beans=8..19"
WHAT_IF = ("what-if", "week.yaml", "--yield", YIELDS, "--json")
PAGE = ("page", "week.yaml", "--no-verdicts", "-o")


def test_a_grid_is_the_same_in_processes_and_in_threads() -> None:
    week = read_week(TWO)
    assert len(week.eaters) == 2
    (knobs,) = questions(week, [YIELDS]).values()
    here = what_if(week, knobs)
    assert len(here.rows) == 12
    assert len({row.left_over for row in here.rows}) > 1
    assert what_if(week, knobs, backend={"n_jobs": 2}) == here


def test_a_cluster_that_is_none_is_refused_before_anything_is_planned(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").write_text(TWO, encoding="utf-8")
    for words in (WHAT_IF, (*PAGE, "new.html")):
        ran = run(*words, "--cluster", "nowhere", folder=tmp_path)
        one_message(ran, "--cluster: 'nowhere' is no address of a scheduler")
    assert [path.name for path in tmp_path.iterdir()] == ["week.yaml"]


@pytest.mark.skipif(sized(1, 0), reason="a deep run does it")
def test_a_cluster_gives_the_same_though_a_worker_is_killed(tmp_path: Path) -> None:
    # Two seconds to import, and no part of what the gate installs.
    local_cluster = pytest.importorskip("distributed").LocalCluster

    (tmp_path / "week.yaml").write_text(TWO, encoding="utf-8")
    grid = spawn(*WHAT_IF, folder=tmp_path, seconds=300).done().out
    spawn(*PAGE, "here.html", folder=tmp_path, seconds=300).done()
    for words in (WHAT_IF, (*PAGE, "there.html")):
        with local_cluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, memory_limit=0
        ) as cluster:
            running = subprocess.Popen(
                arguments(*words, "--cluster", cluster.scheduler_address),
                cwd=tmp_path,
                env=environment(),
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            while not cluster.scheduler.tasks:
                assert running.poll() is None, "nothing was sent to the cluster"
                time.sleep(0.01)
            os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
            out, err = running.communicate(timeout=300)
        assert (running.returncode, err) == (0, "")
        assert words != WHAT_IF or out == grid
    assert (tmp_path / "there.html").read_bytes() == (tmp_path / "here.html").read_bytes()


@pytest.mark.skipif(sized(1, 0), reason="a deep run does it")
def test_what_kills_its_worker_again_and_again_loses_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    distributed = pytest.importorskip("distributed")
    monkeypatch.setenv("TOLD", str(tmp_path / "told"))
    # A worker that dies again while it starts is begun no more, and then none is left.
    once = pytest.importorskip("dask").config.set({"distributed.scheduler.allowed-failures": 0})
    with (
        once,
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, memory_limit=0
        ) as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):
        backend = {"backend": "dask", "client": client, "n_jobs": -1}
        assert dict(spread(dying.work, range(6), backend=backend)) == {
            **{at: at * 10 for at in range(6)},
            3: None,
        }
        begun: list[int] = []
        many = (begun.append(at) or at for at in range(40))
        told = next(at for at, came in spread(dying.work, many, backend=backend) if came is None)
        assert (told, len(begun) < 40) == (3, True), begun
        with pytest.raises(InputError, match="the workers that planned for it died"):
            each(dying.work, range(6), backend=backend)


@pytest.mark.skipif(sized(1, 0), reason="a deep run does it")
def test_a_week_that_kills_its_workers_is_told_of_and_fatal_to_no_other(tmp_path: Path) -> None:
    local_cluster = pytest.importorskip("distributed").LocalCluster

    (tmp_path / "weeks").mkdir()
    for name in ("week.yaml", "weeks/one.yaml", f"weeks/{dying.KILLS}", "weeks/two.yaml"):
        (tmp_path / name).write_text(TWO, encoding="utf-8")
    folder = ("plan", "weeks", "-o", "plans", "--json")
    # The first death tells as much as the fourth, and sooner.
    once = pytest.importorskip("dask").config.set({"distributed.scheduler.allowed-failures": 0})
    for words in (WHAT_IF, (*PAGE, "new.html"), folder):
        with (
            once,
            local_cluster(
                n_workers=2,
                threads_per_worker=1,
                dashboard_address=None,
                memory_limit=0,
                preload=["tests.cli.dying"],
            ) as cluster,
        ):
            where = ("--cluster", cluster.scheduler_address)
            ran = spawn(*words, *where, folder=tmp_path, seconds=300)
        if words != folder:
            told = "clearfridge: --cluster: the workers that planned for it died\n"
            assert (ran.code, told in ran.err, "Traceback" in ran.err) == (2, True, False), ran
    assert (ran.code, ran.err) == (70, "")
    rows = json.loads(ran.out)["rows"]
    assert {row["week"]: row["status"] for row in rows} == {
        dying.KILLS: "fault",
        "one.yaml": "optimal",
        "two.yaml": "optimal",
    }
    assert "the process that planned it ended" in rows[0]["why"]
    kept = sorted(path.name for path in (tmp_path / "plans").glob("*.json"))
    assert kept == ["one.json", "two.json"]
    assert not (tmp_path / "new.html").exists()


@pytest.mark.skipif(sized(1, 0), reason="a deep run does it")
@pytest.mark.parametrize(
    ("gone", "told"),
    [("workers", "it has had no worker for 1 s"), ("all", "it does not answer any more")],
)
def test_a_cluster_that_is_lost_is_told_of_and_not_waited_for(
    gone: str, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    distributed = pytest.importorskip("distributed")
    monkeypatch.setattr(parallel, "ALONE_SECONDS", 1)
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, dashboard_address=None, memory_limit=0
        ) as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):
        coming = spread(time.sleep, [0.1] * 100, backend={"backend": "dask", "client": client})
        next(coming)
        cluster.scale(0) if gone == "workers" else cluster.close()
        with pytest.raises(InputError, match=f"--cluster: {told}"):
            list(coming)


def test_a_cluster_with_other_versions_is_refused_and_told_which() -> None:
    here = {"packages": {"clearfridge": "0.1.0", "ortools": "9.15", "highspy": "1.16"}}
    older = {"packages": here["packages"] | {"ortools": "9.14"}}
    without = {"packages": here["packages"] | {"clearfridge": None}}
    same = {"client": here, "scheduler": here, "workers": {"tcp://a:1": here}}
    _same(same)
    with pytest.raises(InputError, match=r"its worker tcp://b:2 has ortools 9\.14\n.* 9\.15 there"):
        _same(same | {"workers": {"tcp://a:1": here, "tcp://b:2": older}})
    with pytest.raises(InputError, match="its scheduler has no clearfridge"):
        _same(same | {"scheduler": without})
