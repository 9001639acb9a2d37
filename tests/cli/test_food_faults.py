"""Commands that once misjudged foods of one's own, prices or a nutrient's name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.file.yamltext import parse

from .command import call, one_message
from .schema import faults

Capture: TypeAlias = pytest.CaptureFixture[str]

OWN = """\
key,aliases,shop,PROCNT,ENERC,measures,density,allergens_eu,storage_class
oat flakes mine,my flakes,dry goods,12.34567,372.123,cup=90;piece=30,,gluten:oats,cupboard
tap drink,,none,0.00001,1,,1.0015,none,cupboard
"""

WEEK = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}
eaters: {Ada: {floors: {protein: 3 g}}}
batches:
  pot:
    made: 2026-11-29
    yield: 4 portions
    ingredients: [1 cup my flakes, 300 mL tap drink]
larder:
  bar: {food: my flakes, pack: 4 pieces, price: 2, chilled: no}
prices:
  my flakes: {pack: 500 g, price: 1.50}
dishes:
  Bowl:
    kind: bowl
    takes: {pot: 2}
    goes_in: {bar: 1 piece}
    ingredients: [7 g my flakes, 11 mL tap drink]
"""


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "own.csv").write_text(OWN, encoding="utf-8")
    (tmp_path / "week.yaml").write_text(WEEK, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


# -- own foods travel whole ------------------------------------------------------------------


def saved(folder: Path, capsys: Capture) -> Any:
    words = ("plan", "week.yaml", "--foods", "own.csv", "--save", "plan.json")
    call(*words, capsys=capsys).done()
    return json.loads((folder / "plan.json").read_text(encoding="utf-8"))


def test_a_plan_with_own_foods_has_no_faults_where_the_table_is_not(
    folder: Path, capsys: Capture
) -> None:
    saved(folder, capsys)
    (folder / "own.csv").unlink()
    (folder / "week.yaml").unlink()
    assert call("audit", "plan.json", "--json", capsys=capsys).done().data["faults"] == []
    call("audit", "plan.json", capsys=capsys).done()


def test_every_digit_cereal_and_shop_of_an_own_food_travels(folder: Path, capsys: Capture) -> None:
    made = saved(folder, capsys)
    flakes, drink = (made["week"]["foods"][name] for name in ("oat flakes mine", "tap drink"))
    assert flakes["nutrition"]["protein"] == "12.34567 g"
    assert (flakes["allergens"], flakes["cereals"]) == (["gluten"], ["oats"])
    assert (drink["shop"], drink["nutrition"]["protein"]) == ("none", "0.00001 g")
    for lunch in made["lunches"]:
        # Half of the batch, a piece and 7 g: 45 + 30 + 7 g of flakes, the rest is the drink.
        drunk = (150 + 11) * 1.0015
        held = (82 * 12.34567 + drunk * 0.00001) / 100
        assert lunch["nutrients"]["PROCNT"]["amount"] == pytest.approx(held, abs=1e-5)
        assert (lunch["allergens"], lunch["allergens_us"]) == (["gluten"], [])
    # What is free has a price.
    assert made["unpriced"] == []
    out = call("plan", "--full", "week.yaml", "--foods", "own.csv", capsys=capsys).done().out
    assert "at least 0" not in out
    assert f"week {made['totals']['cost']:.2f}" in flat(out)


def test_an_own_food_that_was_edited_in_the_plan_is_found_out(
    folder: Path, capsys: Capture
) -> None:
    made = saved(folder, capsys)
    made["week"]["foods"]["oat flakes mine"]["cereals"] = ["wheat"]
    (folder / "plan.json").write_text(json.dumps(made), encoding="utf-8")
    ran = call("audit", "plan.json", "--json", capsys=capsys)
    assert ran.code == 1
    assert ran.data["faults"]


# -- the schema ------------------------------------------------------------------------------

PACK = {"pack": "500 g", "price": 3}


def schema_faults(prices: Any, schema: Any) -> list[str]:
    week = parse("week.yaml", WEEK).as_json()
    week["prices"] = {"my flakes": prices}
    return list(faults(week, schema))


def test_the_schema_takes_one_price_or_several(capsys: Capture) -> None:
    schema = call("schema", capsys=capsys).done().data
    for prices in (PACK, [PACK], [PACK, {"pack": "2 cups", "price": "4.20"}]):
        assert schema_faults(prices, schema) == []
    for wrong in ([], "3", 3, [3], {"pack": "500 g"}, {**PACK, "prise": 3}, [{"price": 3}]):
        assert schema_faults(wrong, schema), wrong


def test_what_the_schema_takes_is_read(folder: Path, capsys: Capture) -> None:
    costs = set()
    for prices in (PACK, [PACK], [PACK, {"pack": "100 g", "price": 5}]):
        week = parse("week.yaml", WEEK).as_json()
        week["prices"] = {"my flakes": prices}
        (folder / "week.json").write_text(json.dumps(week), encoding="utf-8")
        words = ("check", "week.json", "--foods", "own.csv", "--json")
        costs.add(call(*words, capsys=capsys).done().data["batches"]["pot"]["cost"])
    assert costs == {0.54}


# -- the trace -------------------------------------------------------------------------------


@pytest.mark.parametrize("said", ["salt", "Salt", " SALT "])
@pytest.mark.parametrize("kind", ["text", "json"])
def test_whoever_traces_salt_is_told_to_ask_for_sodium(
    said: str, kind: str, capsys: Capture
) -> None:
    words = ["check", "demo", "--trace", "leek bake", "--nutrient", said]
    more = ["--json"] if kind == "json" else []
    ran = call(*words, *more, capsys=capsys)
    one_message(ran, "--nutrient: ", "salt is counted as sodium", "Ask for sodium")
    words[-1] = "sodium"
    call(*words, *more, capsys=capsys).done()


def test_an_own_food_is_shown_without_a_stray_comma(capsys: Capture) -> None:
    words = ("--foods", "own.csv")
    out = call("food", "my flakes", *words, capsys=capsys).done().out
    assert out.splitlines()[0].rstrip() == "oat flakes mine"
    traced = flat(call("check", "week.yaml", *words, "--trace", "pot", capsys=capsys).done().out)
    assert "oat flakes mine [own table" in traced
    assert ", ," not in traced
    assert "[, " not in traced
    assert ", ]" not in traced
