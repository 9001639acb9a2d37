"""Each command does what its help says: exit codes, files, JSON, text, interrupts.

Scripts stand on the exit codes and on the JSON; cooks on 80 columns of plain text.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.foods.licence import OGL

from .command import (
    BAD_INPUT,
    CODE,
    DONE,
    INTERRUPTED,
    NO_PLAN,
    NO_TIME,
    Ran,
    arguments,
    call,
    columns,
    environment,
    no_control,
    one_message,
    run,
    spawn,
)
from .conftest import Made
from .schema import faults
from .week import WEEK, edited, hard

Capture: TypeAlias = pytest.CaptureFixture[str]

COMMANDS = ("plan", "check", "audit", "new", "food", "schema")

IMPOSSIBLE = edited("{protein: 8 g}", "{protein: 30 g}")
"""No dish has 30 g of protein."""


@pytest.fixture(scope="session")
def impossible(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Ran]:
    folder = tmp_path_factory.mktemp("impossible")
    (folder / "week.yaml").write_text(IMPOSSIBLE, encoding="utf-8")
    found = {
        "text": run("plan", "week.yaml", "--save", "plan.json", folder=folder),
        "json": run("plan", "week.yaml", "--json", folder=folder),
    }
    assert [path.name for path in folder.iterdir()] == ["week.yaml"], "no plan, so no file"
    return found


@pytest.fixture(scope="session")
def too_short(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Ran]:
    folder = tmp_path_factory.mktemp("short")
    (folder / "week.yaml").write_text(hard(6), encoding="utf-8")
    words = ("plan", "week.yaml", "--seconds", "0.01")
    found = {
        "text": run(*words, "--save", "plan.json", folder=folder),
        "json": run(*words, "--json", folder=folder),
    }
    assert [path.name for path in folder.iterdir()] == ["week.yaml"], "no plan, so no file"
    return found


# -- plan ------------------------------------------------------------------------------


def test_a_plan_is_reported(made: Made) -> None:
    out = made.ran.out
    assert out.startswith("Audited week  Mon 30 Nov to Thu 3 Dec 2026\n")
    said = " ".join(out.split())
    assert "Mon 30 Nov Tart 6 min EUR 3.10 4 pieces farls" in said
    assert "Thu 3 Dec Dry lunch 2 min EUR 0.30" in said
    assert "Sun 29 Nov freeze farls: 2 pieces for Wed" in said
    assert "Tue 1 Dec evening, freezer to fridge: 2 pieces farls" in said
    assert "left over nothing. All eaten: farls (6 pieces), beans (4 portions)" in said
    assert re.search(r"^left over +0 g  proven$", out, re.MULTILINE)
    assert out.count("because") >= 4
    assert "no food-safety authority" in out or "come before this plan" in said


def test_a_plan_holds_what_scripts_need(made: Made) -> None:
    plan = made.data()
    assert plan["format"] == "clearfridge plan 1"
    assert (plan["status"], plan["interrupted"]) == ("optimal", False)
    assert (plan["name"], plan["currency"]) == ("Audited week", "EUR")
    assert plan["days"] == ["2026-11-30", "2026-12-01", "2026-12-02", "2026-12-03"]
    assert [line["name"] for line in plan["priorities"]] == [
        *("left_over", "repeats", "freshness", "thawed", "liking", "cost", "minutes"),
        "file_order",
    ]
    for line in plan["priorities"]:
        assert list(line) == ["name", "value", "unit", "better", "bound", "proven"]
        assert line["proven"] is True
        assert line["bound"] == line["value"]
        assert line["better"] == ("more" if line["name"] == "liking" else "less")
    wanted = {"left_over": 0, "repeats": 0, "freshness": 0, "thawed": 2, "liking": 4}
    values = {line["name"]: line["value"] for line in plan["priorities"]}
    assert {name: values[name] for name in wanted} == wanted
    # Batches 5.00; leaves 1.20; a pear 0.60; two apples, a quarter of 2.00 each; three of
    # ten crackers for 1.00.
    assert values["cost"] == plan["totals"]["cost"] == 8.1
    assert values["minutes"] == plan["totals"]["minutes"] == 6 + 4 + 5 + 2
    assert plan["left_over"]["grams"] == 0
    assert plan["left_over"]["batches"] == plan["left_over"]["packs"] == []
    assert plan["conflict"] == []
    assert any("74 °C" in one for one in plan["cautions"])
    assert any("read every label" in one for one in plan["cautions"])
    # What keeps has no life once opened.
    lives = {pack["item"]: pack["opened_life"] for pack in plan["packs"]}
    assert lives == {"leaves": 1, "apple": None, "pear": None, "cracker": None}
    assert (plan["guidance"], plan["unpriced"]) == ("us", [])
    assert "foods" not in plan["week"], "none of one's own, so none travel"


def test_a_plan_says_how_long_each_batch_keeps(made: Made) -> None:
    farls, beans = made.data()["batches"]
    assert farls == {
        "batch": "farls",
        "made": "2026-11-29",
        "portions": 6,
        "word": "piece",
        "grams": 30.0,
        "best_by": "2026-11-30",
        "use_by": "2026-12-01",
        "source": "the cook",
        "own_risk": "",
        "earlier": False,
        "frozen_best_by": None,
        "allergens": ["gluten"],
        "allergens_us": ["wheat"],
        "cereals": [],
        "allergens_unknown": [],
    }
    assert (beans["best_by"], beans["use_by"]) == ("2026-12-02", "2026-12-03")
    said = " ".join(made.ran.out.split())
    fridge = "in the fridge best by"
    gluten = "contains wheat"
    assert f"farls: {fridge} Mon 30 Nov, use by Tue 1 Dec; {gluten}" in said
    assert (
        f"beans: {fridge} Wed 2 Dec, use by Thu 3 Dec; contains none of the 9 US allergens" in said
    )
    assert "Use-by dates follow United States (USDA FSIS); your local codes come first." in said
    assert "not looked up: farls (2 days: the cook), beans (4 days: the cook)." in said
    assert "own risk" not in said


def test_what_is_longer_than_published_says_so_everywhere(tmp_path: Path) -> None:
    text = edited("fridge_life: 3 to 4", "fridge_life: 3 to 5\n    own_risk: yes")
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    published = "4 days as leftovers with meat, fish or egg: 3 - 4 Days (USDA FSIS"
    ran = run("plan", "week.yaml", "--full", "--save", "plan.json", folder=tmp_path).done()
    said = " ".join(ran.out.split())
    assert f"At your own risk: beans is planned for up to 5 days. Published: {published}" in said
    dates = "in the fridge best by Wed 2 Dec, use by Fri 4 Dec at your own risk"
    assert f"beans: {dates}; contains" in said
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    risks = {one["batch"]: one["own_risk"] for one in plan["batches"]}
    assert risks["farls"] == ""
    assert risks["beans"].startswith(published)
    said = " ".join(run("check", "week.yaml", folder=tmp_path).done().out.split())
    assert f"eat it by Fri 4 Dec, at your own risk (published: {published}" in said
    assert f"At your own risk: beans keeps longer here than {published}" in said
    data = run("check", "week.yaml", "--json", folder=tmp_path).done().data
    assert data["batches"]["beans"]["own_risk"].startswith(published)
    assert data["batches"]["farls"]["own_risk"] == ""
    (rule,) = [rule for rule in data["rules"] if rule["key"] == "fridge life:beans"]
    assert f", at your own risk (published: {published}" in rule["sentence"]
    assert run("audit", "plan.json", folder=tmp_path).code == DONE


def test_a_longer_life_without_the_risk_taken_is_refused(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").write_text(
        edited("fridge_life: 3 to 4", "fridge_life: 3 to 5"), encoding="utf-8"
    )
    ran = run("plan", "week.yaml", folder=tmp_path)
    one_message(ran, "batches > beans > fridge_life", "5 days is longer", "own_risk: yes")


def test_what_has_no_price_makes_costs_at_least(made: Made, tmp_path: Path) -> None:
    text = edited("    price: 1.20\n", "")
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = run("plan", "week.yaml", "--full", "--save", "plan.json", folder=tmp_path).done()
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    assert plan["unpriced"] == ["leaves"]
    # Leaves go in on two days; the others cost what they cost.
    for line in plan["lunches"]:
        leafy = "leaves" in {one["item"] for one in line["goes_in"]}
        assert line["cost_complete"] is not leafy
    said = " ".join(ran.out.split())
    assert "Mon 30 Nov Tart 6 min at least EUR 2.50" in said
    assert "Thu 3 Dec Dry lunch 2 min EUR 0.30" in said
    assert "at least EUR 6.90, 17 min of packing" in said
    assert "at least EUR" not in made.ran.out
    assert run("audit", "plan.json", "--json", folder=tmp_path).done().data["faults"] == []
    data = run("check", "week.yaml", "--json", folder=tmp_path).done().data
    assert data["larder"]["leaves"]["unpriced"] == ["leaves"]
    assert data["larder"]["apple"]["unpriced"] == []
    said = " ".join(run("check", "week.yaml", folder=tmp_path).done().out.split())
    assert "Costs are 'at least': there is no price for leaves." in said


@pytest.mark.parametrize(
    "prices",
    [
        "",
        "prices: {our lentils: {pack: 500 g, price: 2.10}}\n",
        # A price list may be longer than a week's recipes.
        "prices: {olive oil: {pack: 500 mL, price: 6}, our oil: {pack: 1 kg, price: 3}}\n",
    ],
    ids=["no prices", "own food", "own food that is not used"],
)
def test_what_is_worked_out_for_a_plan_can_be_audited(prices: str, tmp_path: Path) -> None:
    # Life, mass, nutrition and price of the batch are all left to ingredients and tables.
    (tmp_path / "foods.csv").write_text(
        "key,PROCNT,ENERC,allergens_eu\nour lentils,25.5,340,none\nour oil,0,900,none\n",
        encoding="utf-8",
    )
    text = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters: {Ada: {floors: {protein: 10 g}}}
batches:
  stew: {made: 2026-11-29, yield: 2 portions, ingredients: [200 g our lentils, 300 g water]}
dishes:
  Bowl: {kind: a, takes: {stew: 1}, ingredients: [10 g olive oil]}
PRICES"""
    text = text.replace("PRICES", prices)
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = run("plan", "week.yaml", "--foods", "foods.csv", "--json", folder=tmp_path).done()
    assert "our lentils" in ran.data["week"]["foods"]
    unpriced = ["our lentils", "olive oil"]
    assert ran.data["unpriced"] == [name for name in unpriced if name not in prices]
    (batch,) = ran.data["batches"]
    assert batch["use_by"] == "2026-12-03"
    (tmp_path / "plan.json").write_text(ran.out, encoding="utf-8")
    # The week travels in the plan with the foods that are not in the program's own table.
    assert run("audit", "plan.json", "--json", folder=tmp_path).done().data["faults"] == []


def test_a_lunch_holds_what_a_cook_needs(made: Made) -> None:
    monday, _, wednesday, _ = made.data()["lunches"]
    reasons = monday.pop("reasons")
    assert monday == {
        "date": "2026-11-30",
        "eater": "Ada",
        "also": [],
        "dish": "Tart",
        "kind": "bread",
        "batches": [
            {
                "batch": "farls",
                "portions": 4,
                "grams": 120.0,
                "from_freezer": 0,
                "move_to_fridge": None,
            }
        ],
        "goes_in": [{"item": "leaves", "amount": 30.0, "unit": "g"}],
        "choices": [{"item": "apple", "amount": 1.0, "unit": "piece", "choice": "side"}],
        "extras": [],
        # 4 x 4 + 0.5 + 0.4 g; 4 x 60 + 6 + 77 kcal.
        "nutrients": {
            "ENERC": {
                "amount": 323.0,
                "unit": "kcal",
                "complete": True,
                "floor": None,
                "ceiling": 600.0,
            },
            "PROCNT": {
                "amount": 16.9,
                "unit": "g",
                "complete": True,
                "floor": 8.0,
                "ceiling": None,
            },
        },
        "minutes": 6,
        # Farls 4 of 6 for 3.00; leaves 30 of 60 g for 1.20; an apple of 4 for 2.00.
        "cost": 3.1,
        "microwave": False,
        "fridge": True,
        "cold_packs": 0,
        "cost_complete": True,
        "allergens": ["gluten"],
        # Nobody said of which cereal.
        "allergens_us": ["wheat"],
        "cereals": [],
        "allergens_unknown": [],
    }
    for reason in reasons:
        assert reason["kind"] in {"amount", "rule", "priority", "order", "conflict"}
        assert reason["text"]
    thawed = wednesday["batches"][0]
    assert (thawed["from_freezer"], thawed["move_to_fridge"]) == (2, "2026-12-01")


def test_json_is_what_is_saved_and_nothing_else(made_again: Made) -> None:
    assert made_again.ran.data == json.loads(made_again.text)


def test_the_same_file_gives_the_same_bytes(made: Made, made_again: Made) -> None:
    # Two processes, and sets that are walked in another order in each.
    assert made.plan.read_bytes() == made_again.plan.read_bytes()


def test_a_plan_keeps_to_its_schema(made: Made, impossible: dict[str, Ran]) -> None:
    schema = run("schema", "--plan", folder=made.folder).done().data
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert list(faults(made.data(), schema)) == []
    assert list(faults(impossible["json"].data, schema)) == []
    broken = made.data()
    broken["lunches"][0]["batches"][0]["portions"] = "four"
    broken["lunches"][1]["dishes"] = []
    del broken["packs"]
    assert len(list(faults(broken, schema))) == 3
    if importlib.util.find_spec("jsonschema") is None:
        return
    jsonschema = importlib.import_module("jsonschema")
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(made.data(), schema)


def test_without_reasons_none_are_given(made: Made) -> None:
    plan = run("plan", "week.yaml", "--no-reasons", "--json", folder=made.folder).done().data
    assert all(line.pop("reasons") == [] for line in plan["lunches"])
    with_reasons = made.data()
    assert all(line.pop("reasons") for line in with_reasons["lunches"])
    assert plan["lunches"] == with_reasons["lunches"]


def test_no_plan_is_possible(impossible: dict[str, Ran]) -> None:
    text = impossible["text"]
    assert (text.code, text.err) == (NO_PLAN, "")
    assert "No plan is possible." in text.out
    assert "- Ada needs 30 g protein in each lunch" in text.out
    plan = impossible["json"].data
    assert impossible["json"].code == NO_PLAN
    assert (plan["status"], plan["lunches"]) == ("infeasible", [])
    assert "floor:protein of Ada" in {rule["key"] for rule in plan["conflict"]}
    assert all(rule["sentence"] for rule in plan["conflict"])


def test_no_plan_within_the_time(too_short: dict[str, Ran]) -> None:
    text = too_short["text"]
    assert (text.code, text.err) == (NO_TIME, "")
    assert "No plan yet: the time limit struck before one was found." in " ".join(text.out.split())
    plan = too_short["json"].data
    assert too_short["json"].code == NO_TIME
    assert (plan["status"], plan["interrupted"], plan["lunches"]) == ("unknown", False, [])
    assert plan["conflict"] == []


def test_what_one_must_not_have_holds_for_allergen_and_food_of_one_name(tmp_path: Path) -> None:
    # Whoever is careful writes it twice; neither may make the other void.
    (tmp_path / "week.yaml").write_text(
        """\
week: {starts: 2026-11-30, days: [mon]}
eaters: {Ada: {must_not: {allergens: [eggs], foods: [eggs]}}}
larder:
  cake: {pack: 1 piece, chilled: no, allergens: [eggs]}
  eggs: {pack: 1 piece, chilled: no, allergens: none}
  pear: {pack: 1 piece, chilled: no, allergens: none}
dishes:
  Cake: {kind: a, goes_in: {cake: 1 piece}}
  Eggs: {kind: a, goes_in: {eggs: 1 piece}}
  Pear: {kind: a, goes_in: {pear: 1 piece}}
""",
        encoding="utf-8",
    )
    plan = run("plan", "week.yaml", "--json", folder=tmp_path).done().data
    assert [line["dish"] for line in plan["lunches"]] == ["Pear"]
    rules = run("check", "week.yaml", "--json", folder=tmp_path).done().data["rules"]
    keys = [rule["key"] for rule in rules]
    assert len(set(keys)) == len(keys)
    assert sum(key.startswith("must not have:egg") for key in keys) == 2


def test_pounds_and_ounces_can_be_planned_and_left_over(tmp_path: Path) -> None:
    text = edited("yield: 240 g\n    portion: 60 g", "yield: 9 portions\n    portion: 3 oz")
    text = edited("pack: 60 g", "pack: 8 oz", text)
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = run("plan", "week.yaml", "--save", "plan.json", "--json", folder=tmp_path).done()
    assert ran.data["left_over"]["grams"] > 85
    assert run("audit", "plan.json", "--json", folder=tmp_path).done().data["faults"] == []


def test_a_reason_is_a_whole_sentence(tmp_path: Path) -> None:
    # With one dish there is no other, and no rule to name for it.
    (tmp_path / "week.yaml").write_text(
        "week: {starts: 2026-11-30, days: [mon, tue]}\n"
        "eaters: {Ada: {}}\n"
        "dishes: {Snack: {kind: snack}}\n",
        encoding="utf-8",
    )
    plan = run("plan", "week.yaml", "--json", folder=tmp_path).done().data
    for line in plan["lunches"]:
        for reason in line["reasons"]:
            assert not reason["text"].rstrip().endswith(":"), reason["text"]


def test_a_week_in_which_only_the_order_of_the_file_decides(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").write_text(
        """\
week: {starts: 2026-11-30, days: [mon]}
eaters: {Ada: {must_not: {allergens: [eggs]}}}
larder:
  cake: {pack: 1 piece, chilled: no, allergens: [eggs]}
  plum: {pack: 1 piece, chilled: no, allergens: none}
  pear: {pack: 1 piece, chilled: no, allergens: none}
dishes:
  Cake: {kind: a, goes_in: {cake: 1 piece}}
  Plum: {kind: a, goes_in: {plum: 1 piece}}
  Pear: {kind: a, goes_in: {pear: 1 piece}}
""",
        encoding="utf-8",
    )
    plan = run("plan", "week.yaml", "--json", folder=tmp_path).done().data
    (line,) = plan["lunches"]
    assert line["dish"] == "Plum"
    assert [reason["kind"] for reason in line["reasons"]] == ["order"]


# -- check -----------------------------------------------------------------------------


def test_check_says_how_a_week_was_understood(made: Made) -> None:
    out = run("check", "week.yaml", folder=made.folder).done().out
    said = " ".join(out.split())
    assert said.startswith("Audited week Mon 30 Nov to Thu 3 Dec 2026")
    assert "4 lunches to plan, 5 dishes to choose from" in said
    assert "at least 8 g protein a lunch" in said
    assert "must not have nuts, pork" in said
    assert "farls 6 x 30 g Mon 30 Nov Tue 1 Dec 2 4 g gluten" in said
    assert "beans 4 x 60 g Wed 2 Dec Thu 3 Dec no 5 g none" in said
    assert "Rules that every plan obeys" in said


def test_check_gives_data(made: Made) -> None:
    data = run("check", "week.yaml", "--json", folder=made.folder).done().data
    assert data["name"] == "Audited week"
    assert [lunch["date"] for lunch in data["lunches"]] == data["days"]
    assert data["lunches"][3] == {
        "date": "2026-12-03",
        "eater": "Ada",
        "fridge": False,
        "microwave": True,
        "cold_packs": 1,
    }
    farls = data["batches"]["farls"]
    assert (farls["portions"], farls["portion"], farls["use_by"]) == (6, "30 g", "2026-12-01")
    assert data["larder"]["pie"]["foods"] == ["pork"]
    keys = [rule["key"] for rule in data["rules"]]
    assert {"stock:farls", "fridge life:beans", "must not have:nuts for Ada"} <= set(keys)
    assert data["priorities"][-1] == "file_order"


def test_a_long_name_of_an_eater_can_be_read_in_full(tmp_path: Path) -> None:
    text = WEEK.replace("Ada", "Adelheid-Wilhelmine")
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    out = run("check", "week.yaml", folder=tmp_path).done().out
    (line,) = [one for one in out.splitlines() if "at least 8 g protein" in one]
    assert "\u2026" not in line
    assert "Adelheid-Wilhelmine" in out.split("Rules that every plan obeys")[0]


# -- standard input ----------------------------------------------------------------------


def test_a_week_from_standard_input(made: Made, tmp_path: Path) -> None:
    ran = run("plan", "-", "--json", "--no-reasons", folder=tmp_path, stdin=WEEK).done()
    assert [line["dish"] for line in ran.data["lunches"]] == ["Tart", "Bowl", "Plate", "Dry lunch"]
    checked = run("check", "-", "--json", folder=tmp_path, stdin=WEEK).done()
    assert checked == run("check", "week.yaml", "--json", folder=made.folder)


# -- saving ------------------------------------------------------------------------------


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "week.yaml").write_text(WEEK, encoding="utf-8")
    return tmp_path


def test_saving_leaves_the_plan_and_nothing_beside_it(made: Made) -> None:
    assert names(made.folder) == ["plan.json", "week.yaml"]
    assert made.text.endswith("}\n")
    if os.name == "posix":
        mask = os.umask(0)
        os.umask(mask)
        assert stat.S_IMODE(made.plan.stat().st_mode) == 0o666 & ~mask


def test_a_saved_plan_is_one_the_audit_accepts(made: Made) -> None:
    assert run("audit", "plan.json", "--json", folder=made.folder).done().data["faults"] == []


def test_an_older_plan_is_replaced(made: Made, folder: Path) -> None:
    older = made.data()
    older["name"], older["lunches"] = "Older", []
    (folder / "plan.json").write_text(json.dumps(older), encoding="utf-8")
    run("plan", "week.yaml", "--save", "plan.json", folder=folder).done()
    assert (folder / "plan.json").read_bytes() == made.plan.read_bytes()
    assert names(folder) == ["plan.json", "week.yaml"]


@pytest.mark.parametrize("text", ["week: {}\n", "", '{"format": "clearfridge plan 1"}', "{"])
def test_what_is_no_plan_is_not_written_over(text: str, folder: Path, capsys: Capture) -> None:
    (folder / "kept.txt").write_text(text, encoding="utf-8")
    ran = call("plan", folder / "week.yaml", "--save", folder / "kept.txt", capsys=capsys)
    one_message(ran, "kept.txt")
    assert (folder / "kept.txt").read_text(encoding="utf-8") == text
    assert names(folder) == ["kept.txt", "week.yaml"]


def test_the_week_is_not_written_over(folder: Path) -> None:
    one_message(run("plan", "week.yaml", "--save", "week.yaml", folder=folder), "would be lost")
    assert (folder / "week.yaml").read_text(encoding="utf-8") == WEEK


@pytest.mark.parametrize("name", ["none/plan.json", "week.yaml/plan.json", ".", "", "x" * 300])
def test_a_plan_that_cannot_be_written_is_refused(
    name: str, folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    one_message(call("plan", "week.yaml", "--save", name, capsys=capsys))
    assert names(folder) == ["week.yaml"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root writes all")
def test_a_folder_that_may_not_be_written_is_refused(made: Made, tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir()
    closed.chmod(0o500)
    one_message(
        run("plan", made.week, "--save", closed / "plan.json", folder=tmp_path), "cannot be written"
    )
    assert names(closed) == []


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_saving_over_a_pipe_does_not_hang(folder: Path) -> None:
    os.mkfifo(folder / "pipe")
    one_message(spawn("plan", "week.yaml", "--save", "pipe", folder=folder, seconds=60), "pipe")


# -- new ---------------------------------------------------------------------------------


def test_a_new_week_can_be_checked_and_planned(tmp_path: Path) -> None:
    out = run("new", "mine.yaml", folder=tmp_path).done().out
    assert out == "Wrote mine.yaml. Next: clearfridge check mine.yaml\n"
    text = (tmp_path / "mine.yaml").read_text(encoding="utf-8")
    assert text.count("#") >= 10, "it is commented"
    checked = run("check", "mine.yaml", "--json", folder=tmp_path).done().data
    planned = run("plan", "mine.yaml", "--json", "--no-reasons", folder=tmp_path).done().data
    assert planned["status"] == "optimal"
    assert len(planned["lunches"]) == len(checked["lunches"]) > 0
    assert list(faults(planned["week"], run("schema", folder=tmp_path).data)) == []


def test_a_new_week_is_not_written_over_another_file(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text("mine", encoding="utf-8")
    one_message(run("new", "mine.yaml", folder=tmp_path), "mine.yaml: it is there already")
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["none/mine.yaml", ".", "", "x" * 300])
def test_a_new_week_that_cannot_be_written_is_refused(
    name: str, tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    one_message(call("new", name, capsys=capsys))
    assert names(tmp_path) == []


def test_a_new_week_from_a_ready_one(tmp_path: Path, capsys: Capture) -> None:
    mine = tmp_path / "mine.yaml"
    ran = call("new", mine, "--from", "demo", "--json", capsys=capsys).done()
    assert ran.data == {"written": str(mine)}
    printed = call("new", "-", "--from", "demo", capsys=capsys).done().out
    assert printed == mine.read_text(encoding="utf-8")
    ran = call("new", "-", "--from", "demo", "--json", capsys=capsys).done()
    assert ran.data == {"written": None, "text": printed}


def test_a_ready_week_that_is_not_there_is_refused(tmp_path: Path) -> None:
    one_message(run("new", "mine.yaml", "--from", "dmeo", folder=tmp_path), "'demo'?")
    assert names(tmp_path) == []


# -- schema ------------------------------------------------------------------------------


def test_the_schema_knows_the_week_file(made: Made) -> None:
    schema = run("schema", folder=made.folder).done().data
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema == run("schema", "--json", folder=made.folder).done().data
    week = made.data()["week"]
    assert list(faults(week, schema)) == []
    for path, value in (
        (("batches", "farls", "portion"), "30"),
        (("batches", "farls", "fridge_life"), "some days"),
        (("week", "starts"), 20261130),
        (("place", "fridge"), "maybe"),
        (("eaters", "Ada", "likes"), {"Tart": 6}),
        (("eaters", "Ada", "floors"), {"proteen": "8 g"}),
        (("dishes", "Tart", "minute"), 6),
        (("priorities",), ["left_overs"]),
    ):
        broken = made.data()["week"]
        inner = broken
        for step in path[:-1]:
            inner = inner[step]
        inner[path[-1]] = value
        assert list(faults(broken, schema)), path
    # What an editor offers is what the file may say: no null, none of 200 words for an allergen.
    offered = json.dumps(schema)
    assert "null" not in re.findall(r'"type": "(\w+)"', offered)
    assert '"crustaceans", "eggs"' in offered
    assert '"garnelen"' not in offered
    assert list(faults({"allergens": ["garnelen"]}, _part(schema, "BatchEntry", "allergens"))) == []
    assert list(faults({"allergens": ["dragons"]}, _part(schema, "BatchEntry", "allergens")))


def _part(schema: Any, entry: str, key: str) -> Any:
    """Give the schema of one key of an entry."""
    return {"properties": {key: schema["$defs"][entry]["properties"][key]}}


def test_every_ready_week_keeps_to_the_schema(capsys: Capture) -> None:
    from models.file.reading import (  # noqa: PLC0415
        read_document,
        ready_weeks,
    )

    schema = call("schema", capsys=capsys).done().data
    for name in ready_weeks():
        assert list(faults(read_document(name).as_json(), schema)) == []


# -- help --------------------------------------------------------------------------------


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example(command: str, tmp_path: Path) -> None:
    out = run(command, "--help", folder=tmp_path).done().out
    assert re.search(rf"Example: clearfridge {command}\b", out)
    assert columns(out) <= 80
    no_control(out)


def test_help_names_every_command(tmp_path: Path) -> None:
    out = run("--help", folder=tmp_path).done().out
    assert all(re.search(rf"^. {command} ", out, re.MULTILINE) for command in COMMANDS)
    assert columns(out) <= 80


def test_help_of_plan_and_audit_says_the_exit_codes(tmp_path: Path) -> None:
    said = " ".join(run("plan", "--help", folder=tmp_path).done().out.split())
    for words in ("0 a plan", "1 none is possible", "2 bad input", "3 no plan within", "130 inter"):
        assert words in said
    said = " ".join(run("audit", "--help", folder=tmp_path).done().out.split())
    assert "0 no fault, 1 faults were found, 2 bad input" in said


def test_the_version(tmp_path: Path) -> None:
    out = run("--version", folder=tmp_path).done().out
    assert re.fullmatch(rf"clearfridge \d+\.\d+\.\d+\n{re.escape(OGL)}\n", out)


# -- what reaches the terminal -------------------------------------------------------------


def test_reports_are_plain_text_of_eighty_columns(
    made: Made, impossible: dict[str, Ran], too_short: dict[str, Ran]
) -> None:
    texts = {
        "plan": made.ran.out,
        "no plan": impossible["text"].out,
        "no time": too_short["text"].out,
        "check": run("check", "week.yaml", folder=made.folder).done().out,
        "audit": run("audit", "plan.json", folder=made.folder).done().out,
    }
    for name, text in texts.items():
        assert columns(text) <= 80, name
        no_control(text)
        assert not any(line != line.rstrip() for line in text.splitlines()), name


def on_a_terminal(*words: str, folder: Path, **more: str) -> str:
    """Run the command with a terminal to write to; give what it wrote there."""
    pty = pytest.importorskip("pty")
    reads, writes = pty.openpty()
    try:
        with subprocess.Popen(
            arguments(*words),
            stdin=subprocess.DEVNULL,
            stdout=writes,
            stderr=subprocess.PIPE,
            cwd=folder,
            env=environment(**({"TERM": "xterm"} | more)),
        ) as running:
            os.close(writes)
            return b"".join(_read(reads)).decode()
    finally:
        os.close(reads)
        assert running.returncode == DONE


def _read(reads: int) -> Iterator[bytes]:
    while True:
        try:
            part = os.read(reads, 65_536)
        except OSError:
            # The other side is closed; Linux says so with an error.
            return
        if not part:
            return
        yield part


def test_a_terminal_gets_colour_unless_it_says_no(made: Made) -> None:
    words = ("check", "week.yaml")
    assert "\x1b[" in on_a_terminal(*words, folder=made.folder)
    for more in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert "\x1b" not in on_a_terminal(*words, folder=made.folder, **more)


def test_json_on_a_terminal_has_no_colour(made: Made) -> None:
    text = on_a_terminal("check", "week.yaml", "--json", folder=made.folder)
    assert "\x1b" not in text
    assert json.loads(text)["name"] == "Audited week"


def test_a_reader_that_goes_away_is_no_fault(made: Made) -> None:
    with subprocess.Popen(
        arguments("schema"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=made.folder,
        env=environment(),
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        err = running.stderr.read().decode()
    assert (running.returncode, err) == (DONE, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
def test_a_full_disk_is_told(made: Made) -> None:
    with Path("/dev/full").open("wb") as full:
        ran = subprocess.run(
            arguments("check", "week.yaml"),
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=made.folder,
            env=environment(),
            check=False,
        )
    err = ran.stderr.decode()
    assert ran.returncode not in (DONE, NO_PLAN), "neither success nor a finding"
    assert "Traceback" not in err
    assert err.startswith("clearfridge: ")


# -- interrupts ----------------------------------------------------------------------------

# Tells when the search has begun: an interrupt before that would test Python's start.
ANNOUNCED = f"""\
import sys
from optimiser.solve import cpsat
real = cpsat.Stop.watch
def watch(self, wrapper):
    real(self, wrapper)
    print("searching", file=sys.stderr, flush=True)
cpsat.Stop.watch = watch
{CODE}
"""


def interrupted(
    folder: Path, *words: str, wait: float, by: Sequence[signal.Signals] = (signal.SIGINT,)
) -> Ran:
    """Plan a hard week, and interrupt it so long after the search has begun."""
    (folder / "week.yaml").write_text(hard(6), encoding="utf-8")
    with subprocess.Popen(
        arguments("plan", "week.yaml", *words, code=ANNOUNCED),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=folder,
        env=environment(),
    ) as running:
        assert running.stderr is not None
        assert running.stderr.readline() == b"searching\n"
        time.sleep(wait)
        for number in by:
            running.send_signal(number)
            time.sleep(0.02)
        try:
            out, err = running.communicate(timeout=60)
        except subprocess.TimeoutExpired:
            running.kill()
            pytest.fail("an interrupt does not end it")
    return Ran(running.returncode, out.decode(), err.decode().replace("searching\n", ""))


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
@pytest.mark.parametrize("wanted", ["SIGTERM", "SIGHUP"])
def test_who_asks_it_to_terminate_is_shown_the_best_so_far(wanted: str, tmp_path: Path) -> None:
    ran = interrupted(tmp_path, "--save", "plan.json", wait=1.2, by=[signal.Signals[wanted]])
    assert (ran.code, ran.err) == (INTERRUPTED, "")
    said = " ".join(ran.out.split())
    found = "No plan yet" not in said
    if found:
        assert "Not proven to be the best: you stopped it." in said
        assert columns(ran.out) <= 80
        audited = run("audit", "plan.json", "--json", folder=tmp_path)
        assert audited.done().data["faults"] == []
        assert json.loads((tmp_path / "plan.json").read_text("utf-8"))["status"] == "feasible"
    else:
        assert "No plan yet: you stopped it before one was found." in said
        assert names(tmp_path) == ["week.yaml"]


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
def test_an_interrupt_gives_json_all_the_same(tmp_path: Path) -> None:
    ran = interrupted(tmp_path, "--json", wait=0.0)
    assert (ran.code, ran.err) == (INTERRUPTED, "")
    plan: dict[str, Any] = ran.data
    assert plan["interrupted"] is True
    assert plan["status"] == ("feasible" if plan["lunches"] else "unknown")
    assert all(line["reasons"] == [] for line in plan["lunches"])


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
def test_a_second_interrupt_ends_it_at_once(tmp_path: Path) -> None:
    ran = interrupted(tmp_path, "--save", "plan.json", wait=0.0, by=[signal.SIGINT] * 3)
    assert (ran.code, ran.out, ran.err) == (INTERRUPTED, "", "")
    assert names(tmp_path) == ["week.yaml"]


CUT_OFF = f"""
import signal
from optimiser.interface import asked
class Interrupted:
    def __set_name__(self, owner, name):
        signal.raise_signal(signal.SIGINT)
def plan(*given, **ways):
    ENDS
asked.plan = plan
{CODE}
"""


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
@pytest.mark.parametrize(
    "ends",
    [
        # As what is written in C does while it is loaded.
        """
    try:
        signal.raise_signal(signal.SIGINT)
    except KeyboardInterrupt:
        raise ImportError("initialization failed") from None
""",
        # As pydantic's core does while a model is made ready.
        """
    from pydantic_core import SchemaError
    try:
        signal.raise_signal(signal.SIGINT)
    except KeyboardInterrupt:
        raise SchemaError("Error building validator") from None
""",
        # As Python does while it makes a class.
        "type('Half', (), {'made': Interrupted()})",
        # Of what is raised while something is put away Python says so, and goes on.
        """
    import weakref
    kept = weakref.ref(Interrupted(), lambda gone: signal.raise_signal(signal.SIGINT))
    return asked.check("minimal")
""",
    ],
)
def test_an_interrupt_that_cuts_off_an_import_is_no_fault_of_the_program(
    ends: str, tmp_path: Path
) -> None:
    ran = spawn("plan", "minimal", folder=tmp_path, code=CUT_OFF.replace("ENDS", ends))
    assert (ran.code, ran.out, ran.err) == (INTERRUPTED, "", "")


def test_codes_are_those_that_the_help_says() -> None:
    assert (DONE, NO_PLAN, BAD_INPUT, NO_TIME, INTERRUPTED) == (0, 1, 2, 3, 130)
