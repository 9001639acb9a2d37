"""From Python as from the shell: each function takes what is at hand and gives its answer."""

from __future__ import annotations

import contextlib
import importlib
import inspect
import io
import json
import pydoc
import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import optimiser
from models.answers.plan import AnswerPart
from models.file.reading import ready_text
from optimiser.cli import app, load
from optimiser.interface import background

from .cli.command import run

WEEK: dict[str, Any] = {
    "week": {
        "name": "Two plain days",
        "starts": date(2026, 11, 30),
        "days": ["mon", "tue"],
        "guidance": "us",
    },
    "eaters": {"Ann": {"floors": {"protein": "10 g"}}},
    "batches": {
        "barley stew": {
            "made": date(2026, 11, 29),
            "yield": "4 portions",
            "portion": "200 g",
            "nutrition": {"protein": "12 g"},
            "fridge_life": "4 days",
            "life_source": "mine",
            "allergens": ["gluten"],
            "cost": 4.0,
        }
    },
    "larder": {"pear": {"pack": "4 pieces", "price": 2, "allergens": "none", "chilled": "no"}},
    "dishes": {
        "stew": {"kind": "warm", "takes": {"barley stew": "1 to 2"}, "minutes": 3},
        "stew and pear": {
            "kind": "cold",
            "takes": {"barley stew": "1 to 2"},
            "goes_in": {"pear": "1 piece"},
        },
    },
    "what_ifs": {
        "fewer": {"yield": {"barley stew": "3..4"}},
        "more": {"yield": {"barley stew": "5..6"}},
    },
}


@pytest.fixture(scope="module")
def week() -> optimiser.Week:
    return optimiser.read_week(WEEK)


@pytest.fixture(scope="module")
def plan(week: optimiser.Week) -> optimiser.Plan:
    return optimiser.plan(week)


# -- what is given ------------------------------------------------------------------------------


def test_a_week_is_a_name_a_path_a_text_plain_data_or_a_week(tmp_path: Path) -> None:
    text = ready_text("demo")
    path = tmp_path / "week.yaml"
    path.write_text(text, encoding="utf-8")
    named = optimiser.read_week("demo")
    for given in (path, str(path), text, named):
        assert optimiser.read_week(given) == named, given
    assert optimiser.read_week(named) is named
    data = json.loads(json.dumps(WEEK, default=str))
    for same in (data, json.dumps(data), json.dumps(data, indent=1)):
        assert optimiser.read_week(same) == optimiser.read_week(WEEK)


def test_a_plan_is_a_path_a_text_or_a_plan_and_of_a_week_it_is_made(
    plan: optimiser.Plan, week: optimiser.Week, tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(plan.model_dump_json(), encoding="utf-8")
    wanted = optimiser.shop(plan)
    for given in (path, str(path), plan.model_dump_json(), plan.model_dump_json(indent=2)):
        assert optimiser.read_plan(given) == plan
        assert optimiser.shop(given) == wanted
        assert optimiser.audit(given).faults == []
        assert optimiser.change(given, "tue").plan.status == "optimal"
    text = tmp_path / "week.json"
    text.write_text(json.dumps(WEEK, default=str), encoding="utf-8")
    for given in (week, WEEK, text, text.read_text(encoding="utf-8")):
        assert optimiser.shop(given) == wanted
        assert optimiser.audit(given).faults == []
        assert optimiser.change(given, "tue").plan.lunches[0].dish == plan.lunches[0].dish
        assert optimiser.next_week(given).text == optimiser.next_week(plan).text
    # Of a plan the week is asked that it was made for.
    assert optimiser.read_week(plan) == week
    assert optimiser.why(plan, "tue") == optimiser.why(week, "tue")


@pytest.mark.parametrize(
    ("asked", "parts"),
    [
        (lambda: optimiser.read_week("week: 3\n"), ("the text, line 1",)),
        (lambda: optimiser.check({}), ("the week", "'week' is missing")),
        (lambda: optimiser.check(3), ("a value of type int is no week",)),  # type: ignore[arg-type]
        (lambda: optimiser.plan("no.yaml"), ("no.yaml: there is no such file",)),
        (lambda: optimiser.read_plan("no.json"), ("no.json: there is no such file",)),
        (lambda: optimiser.read_plan('{"a": 1}'), ("the text: this is not a plan",)),
        (lambda: optimiser.read_plan(WEEK), ("this is a week and no plan",)),
        (lambda: optimiser.shop("no.yaml"), ("no.yaml: there is no such file",)),
        (lambda: optimiser.shop("week: 3\n"), ("the text, line 1",)),
        (lambda: optimiser.why(WEEK, "fri"), ("'fri' is not a day of this week",)),
        (lambda: optimiser.pack(WEEK, "fri"), ("'fri' is not a day of this week",)),
        (lambda: optimiser.pack(WEEK, eater="Bob"), ("'Bob'",)),
        (lambda: optimiser.what_if(WEEK), ("several what-ifs", "fewer, more")),
        (lambda: optimiser.what_if(WEEK, named="fewr"), ("no what-if 'fewr'", "'fewer'")),
        (lambda: optimiser.trade_off(WEEK, "cost", "cost"), ("one priority twice",)),
        (lambda: optimiser.plan(WEEK, prefer="soup"), ("'soup' is no dish on a day",)),
        (lambda: optimiser.plan(WEEK, after=["no.json"]), ("no.json: there is no such file",)),
        (lambda: optimiser.mend(WEEK, "cost < 3"), ("'cost <= 3'".replace("'", '"'),)),
        (lambda: optimiser.trace(WEEK, "stow"), ("'stow'",)),
        (lambda: optimiser.food("qqqqq"), ("qqqqq",)),
    ],
)
def test_what_cannot_be_says_where_what_and_how_to_mend_it(
    asked: Callable[[], object], parts: tuple[str, ...]
) -> None:
    with pytest.raises(optimiser.InputError) as raised:
        asked()
    assert raised.value.mend
    for part in parts:
        assert part in raised.value.text, raised.value.text


def test_a_sheet_of_a_week_without_a_plan_says_why_there_is_none() -> None:
    with pytest.raises(optimiser.InputError) as raised:
        optimiser.labels("impossible")
    assert isinstance(raised.value, optimiser.NoPlanError)
    assert raised.value.plan.status == "infeasible"
    for rule in raised.value.plan.conflict:
        assert rule.sentence in raised.value.what


def test_a_plan_that_breaks_its_week_is_not_printed(plan: optimiser.Plan) -> None:
    broken = plan.model_copy(update={"lunches": plan.lunches[:1]})
    with pytest.raises(optimiser.InputError, match="breaks its own week"):
        optimiser.labels(broken)
    assert optimiser.audit(broken).faults


def test_own_foods_are_one_table_or_several_by_text_or_path(tmp_path: Path) -> None:
    for name in ("first", "second"):
        row = run("food", "dried lentils", "--csv", folder=tmp_path).done().out
        real = optimiser.food("dried lentils").name
        text = row.replace(f'"{real}"', f"qux {name}").replace(real, f"qux {name}")
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    first, second = tmp_path / "first.csv", tmp_path / "second.csv"
    for foods in (first, str(first), [first], [str(second), first]):
        assert optimiser.food("qux first", foods).name == "qux first"
        assert optimiser.read_week(WEEK, foods).tables


# -- the answers --------------------------------------------------------------------------------


def test_wishes_and_earlier_plans_are_taken_as_the_command_takes_them(
    plan: optimiser.Plan, week: optimiser.Week
) -> None:
    other = {"stew": "stew and pear", "stew and pear": "stew"}[plan.lunches[0].dish]
    wished = optimiser.plan(week, prefer=f"{other} on mon")
    assert wished.lunches[0].dish == other
    assert wished.wishes[0].granted
    kept = optimiser.plan(week, keep=plan)
    assert [line.dish for line in kept.lunches] == [line.dish for line in plan.lunches]
    later = {**WEEK, "week": {**WEEK["week"], "starts": date(2026, 12, 7)}}
    later["batches"] = {
        "barley stew": {**WEEK["batches"]["barley stew"], "made": date(2026, 12, 6)}
    }
    assert optimiser.plan(later, after=[plan], no_repeats="dish").wishes


def test_a_week_that_is_mended_or_sized_is_given_as_text(week: optimiser.Week) -> None:
    ways = optimiser.mend("impossible").ways
    for way in ways:
        made = optimiser.plan(way.text, reasons=False)
        assert {line.name: line.value for line in made.priorities} == way.values
    sizes = optimiser.size(WEEK)
    cooked = {
        name: batch.portions for name, batch in optimiser.read_week(sizes.text).batches.items()
    }
    assert cooked == {line.batch: line.cook for line in sizes.batches}


def test_other_weeks_come_with_their_plans(week: optimiser.Week) -> None:
    weeks = optimiser.others(week, 2, equal=0).weeks
    assert len(weeks) > 1
    for line in weeks:
        assert line.plan is not None
        assert [x.dish for x in line.plan.lunches] == [x.dish for x in line.lunches]
        assert optimiser.audit(line.plan).faults == []


def test_a_day_may_be_a_date(week: optimiser.Week, plan: optimiser.Plan) -> None:
    tuesday = date(2026, 12, 1)
    assert optimiser.why(week, tuesday) == optimiser.why(week, "tue")
    assert optimiser.pack(plan, tuesday) == optimiser.pack(plan, "tue")
    assert optimiser.change(plan, tuesday).today == tuesday


def test_what_ifs_are_asked_or_kept(week: optimiser.Week) -> None:
    kept = optimiser.what_if(week, named="fewer")
    asked = optimiser.what_if(week, yields="barley stew=3..4")
    assert (kept.question, kept.rows) == ("fewer", asked.rows)


SAID: dict[str, tuple[str, Callable[[Path, Path], AnswerPart]]] = {
    "plan": ("plan W", lambda week, plan: optimiser.plan(week)),
    "check": ("check W", lambda week, plan: optimiser.check(week)),
    "trace": (
        "check W --trace pear --nutrient fibre",
        lambda week, plan: optimiser.trace(week, "pear", "fibre"),
    ),
    "why": ("why W tue", lambda week, plan: optimiser.why(week, "tue")),
    "mend": ("mend W --until cost<=5", lambda week, plan: optimiser.mend(week, "cost<=5")),
    "what-if": (
        "what-if W --lunches 1..2",
        lambda week, plan: optimiser.what_if(week, lunches="1..2"),
    ),
    "size": ("size W", lambda week, plan: optimiser.size(week)),
    "others": ("others W -n 1", lambda week, plan: optimiser.others(week, 1)),
    "trade-off": (
        "trade-off W cost minutes",
        lambda week, plan: optimiser.trade_off(week, "cost", "minutes"),
    ),
    "change": ("change P --today tue", lambda week, plan: optimiser.change(plan, "tue")),
    "audit": ("audit P", lambda week, plan: optimiser.audit(plan)),
    "shop": ("shop P", lambda week, plan: optimiser.shop(plan)),
    "prep": ("prep W", lambda week, plan: optimiser.prep(week)),
    "labels": ("labels P", lambda week, plan: optimiser.labels(plan)),
    "pack": ("pack P tue", lambda week, plan: optimiser.pack(plan, "tue")),
    "share": ("share P", lambda week, plan: optimiser.share(plan)),
    "food": ("food lentils,dried", lambda week, plan: optimiser.food("lentils,dried")),
}
"""The words of a command, W for a week and P for a plan, and what is asked from Python."""


@pytest.fixture(scope="module")
def files(plan: optimiser.Plan, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp("week")
    (folder / "week.yaml").write_text(json.dumps(WEEK, default=str), encoding="utf-8")
    (folder / "plan.json").write_text(plan.model_dump_json(), encoding="utf-8")
    return folder / "week.yaml", folder / "plan.json"


@pytest.mark.parametrize("name", SAID)
def test_the_command_prints_the_answer_that_python_gets(
    name: str, files: tuple[Path, Path]
) -> None:
    said, asked = SAID[name]
    answer = asked(*files)
    words = [{"W": "week.yaml", "P": "plan.json"}.get(word, word) for word in said.split()]
    printed = run(*words, folder=files[0].parent)
    assert printed.err == ""
    assert optimiser.render(answer).rstrip("\n") == printed.out.rstrip("\n")
    as_json = run(*words, "--json", folder=files[0].parent)
    assert json.loads(answer.model_dump_json(by_alias=True)) == as_json.data


def test_the_page_and_the_calendar_are_rendered_as_they_are_written(
    plan: optimiser.Plan, files: tuple[Path, Path]
) -> None:
    folder = files[0].parent
    page = optimiser.page(plan, sliders=False)
    run("page", "plan.json", "-o", "w.html", "--no-sliders", folder=folder).done()
    assert optimiser.render(page) == (folder / "w.html").read_text(encoding="utf-8")
    printed = run("calendar", "plan.json", folder=folder).done().out
    lines = optimiser.render(optimiser.calendar(plan)).splitlines()
    moving = ("DTSTAMP", "X-CLEARFRIDGE-DIGEST")
    assert [line for line in lines if not line.startswith(moving)] == [
        line for line in printed.splitlines() if not line.startswith(moving)
    ]


def test_an_interrupt_gives_the_best_so_far(monkeypatch: pytest.MonkeyPatch) -> None:
    class Interrupted(threading.Event):
        """Is interrupted the first time that it is waited for."""

        asked = 0

        def wait(self, timeout: float | None = None) -> bool:
            self.asked += 1
            if self.asked == 1:
                raise KeyboardInterrupt
            return super().wait(timeout)

    threads = SimpleNamespace(Event=Interrupted, Thread=threading.Thread)
    monkeypatch.setattr(background, "threading", threads)
    made: Any = background.in_background(lambda stop, say: stop)
    assert made.asked


# -- what there is ------------------------------------------------------------------------------


def test_there_is_a_function_for_every_command_but_those_that_write_files() -> None:
    load()
    commands = {command.name or command.callback.__name__ for command in app.registered_commands}
    # A function named "next" would hide Python's own.
    commands = commands - {"new", "schema", "open", "next"} | {"next_week"}
    functions = {name.replace("-", "_") for name in commands}
    assert functions <= set(optimiser.__all__)
    assert functions <= set(dir(optimiser))
    for name in functions:
        manual = getattr(optimiser, name).__doc__ or ""
        for section in ("Parameters", "Returns", "Raises", "Examples"):
            assert f"\n{section}\n---" in inspect.cleandoc(manual), (name, section)


def test_help_reads_as_a_page() -> None:
    page = io.StringIO()
    with contextlib.redirect_stdout(page):
        pydoc.Helper(output=page).help(optimiser)
    text = page.getvalue()
    for name in set(optimiser.__all__) - {"InputError", "NoPlanError", "Plan", "Week"}:
        assert f"\n    {name}(" in text, name
    assert "A week is given as" in text
    # Nothing that pydantic, typing or the machine brings along.
    for noise in (
        "__getattr__",
        "__dir__",
        "model_dump_json(self",
        "Methods inherited",
        "TYPE_CHECKING",
        "import_module(",
    ):
        assert noise not in text, noise


def test_all_names_are_there_and_no_others() -> None:
    for name in optimiser.__all__:
        assert getattr(optimiser, name) is not None
    star: dict[str, Any] = {}
    exec("from optimiser import *", star)
    assert set(optimiser.__all__) <= set(star)
    with pytest.raises(AttributeError, match="no attribute 'dinner'"):
        _ = optimiser.dinner
    assert optimiser.Plan is importlib.import_module("models.answers.plan").PlanFile


HEAVY = {"ortools", "jinja2", "pygal", "joblib", "icalendar", "plotext"}


@pytest.mark.parametrize(
    ("code", "none_of"),
    [
        ("", {*HEAVY, "pydantic", "pint", "ruamel", "rich", "typer"}),
        ("optimiser.read_week('demo')", {*HEAVY, "typer"}),
        ("optimiser.check('demo')", {*HEAVY, "typer"}),
        ("optimiser.render(optimiser.check('demo'))", {*HEAVY, "typer"}),
    ],
)
def test_what_is_light_stays_light(code: str, none_of: set[str]) -> None:
    words = f"import sys, optimiser\n{code}\nprint(*{{name.split('.')[0] for name in sys.modules}})"
    ran = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert none_of & set(ran.stdout.split()) == set()
