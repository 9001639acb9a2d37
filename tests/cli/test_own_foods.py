"""Foods of one's own, from a table or in the week file, from the command line to the plan.

A table travels badly: whoever gets the plan has not got it. So the foods that were used go
with the plan, and a table with a slip in it writes nothing.
"""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from decimal import Decimal
from io import StringIO
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.foods.food import table
from models.foods.own_table import columns as all_columns
from models.foods.own_table import read_own, write_rows

from .command import Ran, call, columns, no_control, one_message, run

Capture: TypeAlias = pytest.CaptureFixture[str]

OWN = """\
key,aliases,ENERC,PROCNT,FAT,CHOCDF,FIBTG,measures,allergens_eu,storage_class,refuse,density
"carrot, raw",carrot;carrots,50,2.00,1,10,3,cup=100,none,raw root vegetables,20,
oat bar,oatcake,200,12.5,8,20,4,piece=90,gluten;soya,,,
oat drink,,45,1,1.5,6,0.8,,gluten,,,1.03
"""

WEEK = """\
week: {name: Own week, starts: 2026-11-30, days: [mon, tue], currency: EUR, guidance: us, cups: us}
eaters: {Ada: {}}
batches:
  pot:
    made: 2026-11-29
    yield: 4 portions
    ingredients: [200 g carrots, 2 oat bar, 100 mL oat drink]
larder:
  bar: {food: oatcake, pack: 2 pieces, price: 3, opened_life: 3, chilled: yes}
prices:
  carrots: {pack: 1 kg, price: 1.60}
  oat bar: {pack: 2 pieces, price: 3.60}
  oat drink: {pack: 1 L, price: 2.06}
dishes:
  Bowl: {kind: bowl, takes: {pot: 2}, extras: {bar: {portion: 1 piece}}}
"""

PROTEIN = (2 * 200 + Decimal("12.5") * 180 + 1 * 103) / 100
"""Grams in the whole batch."""


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "own.csv").write_text(OWN, encoding="utf-8")
    (tmp_path / "week.yaml").write_text(WEEK, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def flat(text: str) -> str:
    return " ".join(text.split())


def plan_of(folder: Path, *words: str, capsys: Capture) -> Any:
    call("plan", "week.yaml", "--save", "plan.json", *words, capsys=capsys).done()
    return json.loads((folder / "plan.json").read_text(encoding="utf-8"))


# -- a table of one's own ------------------------------------------------------------------


def test_without_the_table_its_foods_are_not_known(folder: Path, capsys: Capture) -> None:
    ran = call("check", "week.yaml", capsys=capsys)
    assert (ran.code, ran.out) == (2, "")
    head, *faults = ran.err.splitlines()
    assert head == "clearfridge: week.yaml: 2 faults"
    # The drink is a food of the program's own.
    for place in faults[::2]:
        assert place.startswith("line "), place
        assert "'oat bar'" in place, place
    assert files(folder) == ["own.csv", "week.yaml"]


def test_check_takes_a_table_before_the_programs_own(capsys: Capture) -> None:
    data = call("check", "week.yaml", "--foods", "own.csv", "--json", capsys=capsys).done().data
    pot = data["batches"]["pot"]
    assert pot["nutrients"]["PROCNT"]["amount"] == pytest.approx(float(PROTEIN / 4), abs=1e-5)
    carrot, bar, drink = pot["ingredients"]
    # The program's carrot has 0.93 g; this one is overridden, with its measures and all.
    assert (carrot["food"], carrot["source"]) == ("carrot, raw", "own table own.csv line 2")
    assert carrot["nutrients"]["PROCNT"] == 4
    assert (bar["grams"], bar["how"]) == (180, "1 piece = 90 g")
    assert (drink["grams"], drink["how"]) == (103, "1 mL = 1.03 g")
    assert pot["allergens"] == ["gluten", "soya"]
    # Nobody said of which cereal, so it may be wheat.
    assert pot["allergens_us"] == ["wheat", "soybeans"]
    text = call("check", "week.yaml", "--foods", "own.csv", capsys=capsys).done().out
    assert "gluten, soya" in flat(text)
    assert columns(text) <= 80


def test_a_table_may_say_of_which_cereal_the_gluten_is(folder: Path, capsys: Capture) -> None:
    (folder / "own.csv").write_text(OWN.replace("gluten", "gluten:oats"), encoding="utf-8")
    words = ("check", "week.yaml", "--foods", "own.csv")
    pot = call(*words, "--json", capsys=capsys).done().data["batches"]["pot"]
    assert pot["allergens"] == ["gluten", "soya"]
    assert pot["allergens_us"] == ["soybeans"]
    assert "gluten (oats), soya" in flat(call(*words, capsys=capsys).done().out)


def test_prices_of_own_foods_count_with_what_is_thrown_away(capsys: Capture) -> None:
    data = call("check", "week.yaml", "--foods", "own.csv", "--json", capsys=capsys).done().data
    # 1.60 for 800 g that go in; 1.80 a bar; 0.206 for 100 mL.
    assert data["batches"]["pot"]["cost"] == pytest.approx(0.4 + 3.6 + 0.206)
    assert data["batches"]["pot"]["unpriced"] == []


def test_trace_names_the_table_and_the_line(capsys: Capture) -> None:
    words = ("check", "week.yaml", "--foods", "own.csv", "--trace", "pot")
    data = call(*words, "--json", capsys=capsys).done().data
    assert [line["source"] for line in data["lines"]] == [
        f"own table own.csv line {line}" for line in (2, 3, 4)
    ]
    assert data["total"] == float(PROTEIN)
    assert "own table own.csv" in flat(call(*words, capsys=capsys).done().out)


def test_food_shows_it_and_the_program_still_knows_its_own(capsys: Capture) -> None:
    own = call("food", "carrots", "--foods", "own.csv", "--json", capsys=capsys).done().data
    assert own["nutrients"]["PROCNT"] == {"amount": 2.0, "unit": "g"}
    assert own["source"] == "own table own.csv"
    builtin = call("food", "carrots", "--json", capsys=capsys).done().data
    assert builtin["nutrients"]["PROCNT"] == {"amount": 0.93, "unit": "g"}
    assert builtin["name"] == own["name"] == "carrot, raw"
    text = call("food", "oatcake", "--foods", "own.csv", capsys=capsys).done().out
    assert text.startswith("oat bar")
    assert "soya" in text
    assert columns(text) <= 80


def test_of_two_tables_the_last_one_holds(folder: Path, capsys: Capture) -> None:
    (folder / "more.csv").write_text("key,aliases,PROCNT\noat bar,oatcake,15\n", encoding="utf-8")
    for tables, protein in ((("own.csv", "more.csv"), 15.0), (("more.csv", "own.csv"), 12.5)):
        words = [word for name in tables for word in ("--foods", name)]
        data = call("food", "oat bar", *words, "--json", capsys=capsys).done().data
        assert data["nutrients"]["PROCNT"]["amount"] == protein


def test_a_table_may_come_from_standard_input(folder: Path) -> None:
    ran = run("check", "week.yaml", "--foods", "-", "--json", folder=folder, stdin=OWN).done()
    (source,) = {line["source"].rpartition(" line ")[0] for line in lines_of(ran)}
    assert "standard input" in source


def lines_of(ran: Ran) -> Any:
    return ran.data["batches"]["pot"]["ingredients"]


# -- the foods travel in the plan ------------------------------------------------------------


def test_a_plan_takes_the_foods_it_needs_along(folder: Path, capsys: Capture) -> None:
    made = plan_of(folder, "--foods", "own.csv", capsys=capsys)
    foods = made["week"]["foods"]
    assert sorted(foods) == ["carrot, raw", "oat bar", "oat drink"]
    assert foods["oat bar"]["nutrition"]["protein"] == "12.5 g"
    assert foods["oat bar"]["source"] == "own table own.csv"
    assert foods["oat bar"]["source_id"] == "line 3"
    assert foods["carrot, raw"]["allergens"] == "none"
    lunch = made["lunches"][0]
    assert lunch["nutrients"]["PROCNT"]["amount"] == pytest.approx(float(PROTEIN / 2), abs=1e-5)
    assert lunch["allergens"] == ["gluten", "soya"]


def test_foods_that_are_not_used_stay_at_home(folder: Path, capsys: Capture) -> None:
    with (folder / "own.csv").open("a", encoding="utf-8") as stream:
        stream.write("secret sauce,,1,1,1,1,1,,none,,,\n")
    made = plan_of(folder, "--foods", "own.csv", capsys=capsys)
    assert "secret sauce" not in json.dumps(made)


def test_a_plan_is_audited_without_the_table(folder: Path, capsys: Capture) -> None:
    plan_of(folder, "--foods", "own.csv", capsys=capsys)
    (folder / "own.csv").unlink()
    (folder / "week.yaml").unlink()
    ran = call("audit", "plan.json", "--json", capsys=capsys).done()
    assert ran.data["faults"] == []


def test_an_edited_plan_is_found_out_without_the_table(folder: Path, capsys: Capture) -> None:
    made = plan_of(folder, "--foods", "own.csv", capsys=capsys)
    made["lunches"][0]["nutrients"]["PROCNT"]["amount"] += 1
    (folder / "plan.json").write_text(json.dumps(made), encoding="utf-8")
    (folder / "own.csv").unlink()
    ran = call("audit", "plan.json", "--json", capsys=capsys)
    assert ran.code == 1
    assert any("nutrients" in one["what"] for one in ran.data["faults"])


def test_the_week_itself_needs_the_table_again(folder: Path, capsys: Capture) -> None:
    plan_of(folder, "--foods", "own.csv", capsys=capsys)
    words = ("audit", "plan.json", "--week", "week.yaml")
    assert call(*words, "--foods", "own.csv", "--json", capsys=capsys).done().data["faults"] == []
    one_message(call(*words, capsys=capsys), "week.yaml, line ", "'oat bar'")


def test_the_week_in_a_plan_can_be_planned_again(folder: Path, capsys: Capture) -> None:
    made = plan_of(folder, "--foods", "own.csv", capsys=capsys)
    (folder / "again.json").write_text(json.dumps(made["week"]), encoding="utf-8")
    again = call("plan", "again.json", "--json", capsys=capsys).done().data
    assert again["lunches"] == made["lunches"]
    assert again["totals"] == made["totals"]
    assert again["week"]["foods"] == made["week"]["foods"]


def test_a_plan_without_own_foods_takes_none_along(folder: Path, capsys: Capture) -> None:
    (folder / "week.yaml").write_text(
        WEEK.replace(", 2 oat bar, 100 mL oat drink", "")
        .replace("oatcake", "hard-boiled egg")
        .replace("  oat bar: {pack: 2 pieces, price: 3.60}\n", "")
        .replace("  oat drink: {pack: 1 L, price: 2.06}\n", ""),
        encoding="utf-8",
    )
    assert "foods" not in plan_of(folder, capsys=capsys)["week"]


# -- a bad table ---------------------------------------------------------------------------

BAD = {
    # Name: what stands there, what is written instead, line, what is said.
    "a decimal point that slipped": (",2.00,", ",200,", 2, "200 g is more than 100 g of food"),
    "a decimal comma": (",12.5,", ',"12,5",', 3, "has a comma"),
    "a negative figure": (",12.5,", ",-12.5,", 3, "is negative"),
    "a word for a figure": (",12.5,", ",some,", 3, "is not a number"),
    "an allergen that is none": ("gluten;soya", "glutton", 3, "'glutton' is not one of"),
    "a class that is none": ("raw root vegetables", "roots", 2, "'roots' is not a storage class"),
    "a measure without grams": ("piece=90", "piece", 3, "is not a measure with its grams"),
    "all thrown away": (",20,\n", ",100,\n", 2, "leaves nothing to eat"),
    "a density that is none": (",1.03", ",103", 4, "is not the density of a food"),
    "a cell too few": ("soya,,,\n", "soya,,\n", 3, "this row has 11 cells, the header has 12"),
    "the same food twice": ("oat drink,", "oat bar,", 4, "is the name of a food on line 3"),
    "a column that is none": ("density\n", "thickness\n", 1, "unknown column 'thickness'"),
    "an escape sequence": ("oat drink,", "oat \x1b[31mdrink,", 4, "control character"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_table_is_told_with_its_line_and_writes_nothing(
    name: str, folder: Path, capsys: Capture
) -> None:
    old, new, line, said = BAD[name]
    assert OWN.count(old) >= 1
    (folder / "own.csv").write_text(OWN.replace(old, new, 1), encoding="utf-8")
    for words in (
        ("plan", "week.yaml", "--save", "plan.json"),
        ("check", "week.yaml"),
        ("food", "carrots"),
    ):
        one_message(
            call(*words, "--foods", "own.csv", capsys=capsys), f"own.csv, line {line}", said
        )
    assert files(folder) == ["own.csv", "week.yaml"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("nowhere.csv", "there is no such file"),
        ("week.yaml", "line 1: unknown column"),
        (".", "food.csv: there is no such file"),
        ("nothing.zip", "nothing.zip"),
    ],
)
def test_what_is_no_table_is_refused(name: str, said: str, folder: Path, capsys: Capture) -> None:
    ran = call("plan", "week.yaml", "--save", "plan.json", "--foods", name, capsys=capsys)
    one_message(ran, said)
    assert files(folder) == ["own.csv", "week.yaml"]


# -- a download of FoodData Central ------------------------------------------------------------

FDC = {
    "food.csv": '"fdc_id","data_type","description","food_category_id","publication_date"\n'
    '"172420","sr_legacy_food","Lentils, raw","16","2019-04-01"\n',
    "nutrient.csv": '"id","name","unit_name","nutrient_nbr","rank"\n'
    '"1003","Protein","G","203","600.0"\n"1008","Energy","KCAL","208","300.0"\n',
    "food_nutrient.csv": '"id","fdc_id","nutrient_id","amount"\n'
    '"1","172420","1003","24.63"\n"2","172420","1008","352"\n',
    "food_portion.csv": '"id","fdc_id","seq_num","amount","measure_unit_id",'
    '"portion_description","modifier","gram_weight"\n'
    '"1","172420","1","1.0","9999","","cup","192.0"\n',
    "food_category.csv": '"id","code","description"\n"16","1600","Legumes and Legume Products"\n',
}


def test_a_download_is_a_table_too(folder: Path, capsys: Capture) -> None:
    download = folder / "fdc"
    download.mkdir()
    for name, text in FDC.items():
        (download / name).write_text(text, encoding="utf-8")
    data = call("food", "lentils, raw", "--foods", "fdc", "--json", capsys=capsys).done().data
    assert (data["source"], data["source_id"]) == ("USDA FoodData Central", "172420")
    assert data["nutrients"]["PROCNT"]["amount"] == 24.63
    (folder / "week.yaml").write_text(
        WEEK.replace("[200 g carrots, 2 oat bar, 100 mL oat drink]", '["1 cup lentils, raw"]')
        .replace("oatcake", "hard-boiled egg")
        .split("prices:")[0]
        + "dishes:\n  Bowl: {kind: bowl, takes: {pot: 2}, extras: {bar: {portion: 1 piece}}}\n",
        encoding="utf-8",
    )
    made = plan_of(folder, "--foods", "fdc", capsys=capsys)
    assert sorted(made["week"]["foods"]) == ["lentils, raw"]
    grams = made["lunches"][0]["nutrients"]["PROCNT"]["amount"]
    assert grams == pytest.approx(24.63 * 1.92 / 2, abs=1e-4)
    # Nobody said what allergens are in it.
    assert made["lunches"][0]["allergens_unknown"] == ["pot"]
    for path in download.iterdir():
        path.unlink()
    download.rmdir()
    assert call("audit", "plan.json", "--json", capsys=capsys).done().data["faults"] == []


# -- rows to start a table from ------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["dried lentils", "onions", "rolled oats", "wholemeal bread", "eggs", "water"]
)
def test_a_row_that_is_printed_can_be_read_again(name: str, folder: Path, capsys: Capture) -> None:
    text = call("food", name, "--csv", capsys=capsys).done().out
    assert next(csv.reader(StringIO(text))) == list(all_columns())
    (folder / "row.csv").write_text(text, encoding="utf-8")
    before = call("food", name, "--json", capsys=capsys).done().data
    after = call("food", name, "--foods", "row.csv", "--json", capsys=capsys).done().data
    assert after == before
    again = call("food", name, "--foods", "row.csv", "--csv", capsys=capsys).done().out
    assert again == text


def test_every_row_of_the_table_can_be_read_again(folder: Path) -> None:
    classes = frozenset(food.storage for food in table().values())
    (folder / "all.csv").write_text(write_rows(table().values()), encoding="utf-8")
    found = {food.name: food for food in read_own("all.csv", classes)}
    for food in table().values():
        # Columns stand in another order than the table's own may.
        assert found[food.name] == food, food.name


FORMULAS = ["=HYPERLINK(1)", "+1+1", "-danger", "@SUM(A1)", "'=1"]


@pytest.mark.parametrize("name", FORMULAS)
def test_a_name_like_a_formula_is_made_harmless_and_comes_back(
    name: str, folder: Path, capsys: Capture
) -> None:
    food = replace(table()["carrot, raw"], name=name, aliases=(), source=name, note=name)
    text = write_rows([food])
    for cell in next(csv.reader(StringIO(text.splitlines()[1]))):
        assert cell[:1] not in {"=", "+", "-", "@"}
    (folder / "formula.csv").write_text(text, encoding="utf-8")
    (found,) = read_own("formula.csv", frozenset({"raw root vegetables"}))
    assert (found.name, found.source, found.note) == (name, name, name)
    ran = call("food", "--foods", "formula.csv", "--csv", "--", name, capsys=capsys).done()
    assert ran.out == text
    no_control(call("food", "--foods", "formula.csv", "--", name, capsys=capsys).done().out)


# -- foods and prices in the week file -------------------------------------------------------

INSIDE = """\
foods:
  oat bar:
    nutrition: {protein: 12.5 g, energy: 200 kcal}
    also: [oatcake]
    measures: {piece: 90 g}
    allergens: [gluten, soya]
  oat drink: {nutrition: {protein: 1 g}, density: 1.03, allergens: [gluten]}
  carrot, raw: {nutrition: {protein: 2 g}, also: [carrots], refuse: 20 %, allergens: none}
"""


def inside(folder: Path, more: str = "") -> None:
    (folder / "week.yaml").write_text(WEEK + INSIDE + more, encoding="utf-8")


def test_foods_of_the_week_file_need_no_table(folder: Path, capsys: Capture) -> None:
    inside(folder)
    made = plan_of(folder, capsys=capsys)
    grams = made["lunches"][0]["nutrients"]["PROCNT"]["amount"]
    assert grams == pytest.approx(float(PROTEIN / 2), abs=1e-5)
    assert made["totals"]["cost"] == pytest.approx(4.206)
    assert call("audit", "plan.json", "--json", capsys=capsys).done().data["faults"] == []


def test_foods_of_the_week_file_go_before_a_table(folder: Path, capsys: Capture) -> None:
    text = OWN.replace(",12.5,", ",20,")
    (folder / "own.csv").write_text(text, encoding="utf-8")
    inside(folder)
    data = call("check", "week.yaml", "--foods", "own.csv", "--json", capsys=capsys).done().data
    bar = data["batches"]["pot"]["ingredients"][1]
    assert bar["nutrients"]["PROCNT"] == 22.5
    assert bar["source"] == "label"


def test_the_name_of_a_food_of_ones_own_hides_the_programs(folder: Path, capsys: Capture) -> None:
    inside(folder)
    data = call("check", "week.yaml", "--json", capsys=capsys).done().data
    assert data["batches"]["pot"]["ingredients"][0]["nutrients"] == {"PROCNT": 4.0}
    assert data["batches"]["pot"]["nutrients"]["ENERC"]["complete"] is False


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("  gruel: {allergens: none}\n", "'nutrition' is missing"),
        ("  gruel: {nutrition: {protien: 1 g}}\n", "'protien' is not a nutrient"),
        ("  gruel: {nutrition: {protein: 1}}\n", "1 has no unit"),
        ("  gruel: {nutrition: {protein: -1 g}}\n", "is negative"),
        ("  gruel: {nutrition: {protein: 1 g}, density: thick}\n", "'thick' is no density"),
        ("  gruel: {nutrition: {protein: 1 g}, refuse: 100 %}\n", "not a share below 100 %"),
        ("  gruel: {nutrition: {protein: 1 g}, measures: {cup: 1 mL}}\n", "a mass"),
        ("  gruel: {nutrition: {protein: 1 g}, keeps_as: gruels}\n", "no storage class named"),
        ("  gruel: {nutrition: {protein: 1 g}, allergens: [x]}\n", "one of the fourteen"),
    ],
)
def test_a_bad_food_in_the_week_file_is_told_with_its_line(
    more: str, said: str, folder: Path, capsys: Capture
) -> None:
    inside(folder, more)
    line = len((WEEK + INSIDE).splitlines()) + 1
    ran = call("plan", "week.yaml", "--save", "plan.json", capsys=capsys)
    one_message(ran, f"week.yaml, line {line} (foods > gruel", said)
    assert files(folder) == ["own.csv", "week.yaml"]


# -- what a dish lists -----------------------------------------------------------------------

LOOSE = """\
week: {starts: 2026-11-30, days: [mon, tue], currency: EUR, cups: us}
eaters: {Ada: {}, Bo: {must_not: {allergens: [peanuts]}}}
larder:
  plait:
    {food: rye bread, pack: 6 pieces, piece: 60 g, price: 1.2, allergens: [gluten]}
prices:
  peanut butter: {pack: 300 g, price: 6}
  carrots: {pack: 1 kg, price: 0.89}
dishes:
  Oat plait:
    kind: bread
    goes_in: {plait: 1 piece}
    ingredients: [20 g peanut butter, 40 g carrot, 10 g carrot, 50 g water]
  Plain plait:
    kind: bread
    goes_in: {plait: 1 piece}
    ingredients: [50 g carrots, 1 tbsp parsley]
priorities: [liking, file_order]
"""


@pytest.fixture
def loose(folder: Path, capsys: Capture) -> Any:
    (folder / "week.yaml").write_text(LOOSE, encoding="utf-8")
    return plan_of(folder, capsys=capsys)


def of(made: Any, eater: str) -> Any:
    return next(lunch for lunch in made["lunches"] if lunch["eater"] == eater)


def test_what_a_dish_lists_is_in_its_lunch_once_for_each_food(loose: Any) -> None:
    lunch = of(loose, "Ada")
    assert lunch["dish"] == "Oat plait"
    added = {one["item"]: (one["amount"], one["unit"]) for one in lunch["goes_in"]}
    assert added == {
        "plait": (1, "piece"),
        "peanut butter": (20, "g"),
        "carrot": (50, "g"),
        "water": (50, "g"),
    }


def test_its_nutrients_count(loose: Any) -> None:
    # SR28 18060, 16098 and 11124: 8.50, 22.21 and 0.93 g of protein in 100 g.
    protein = 8.5 * 0.6 + 22.21 * 0.2 + 0.93 * 0.5
    assert of(loose, "Ada")["nutrients"]["PROCNT"]["amount"] == pytest.approx(protein, abs=1e-4)


def test_its_allergens_count_and_keep_it_away(loose: Any) -> None:
    assert of(loose, "Ada")["allergens"] == ["gluten", "peanuts"]
    assert {lunch["dish"] for lunch in loose["lunches"] if lunch["eater"] == "Bo"} == {
        "Plain plait"
    }


def test_its_cost_counts_by_the_gram(loose: Any) -> None:
    lunch = of(loose, "Ada")
    # 0.20 of plait, 0.40 of peanut butter, 50 g of carrot at 0.89 for 890 g; water is free.
    assert lunch["cost"] == pytest.approx(0.65)
    assert lunch["cost_complete"] is True
    bo = of(loose, "Bo")
    assert bo["cost"] == pytest.approx(0.25)
    assert bo["cost_complete"] is False
    assert len(loose["unpriced"]) == 1
    assert "parsley" in loose["unpriced"][0]


def test_no_packs_of_it_are_opened_and_nothing_of_it_is_left_over(loose: Any) -> None:
    assert {one["item"] for one in loose["packs"]} == {"plait"}
    assert loose["left_over"]["grams"] == 0


def test_it_is_shown_with_the_dish_and_not_in_the_larder(loose: Any, capsys: Capture) -> None:
    data = call("check", "week.yaml", "--json", capsys=capsys).done().data
    assert list(data["larder"]) == ["plait"]
    assert [one["line"] for one in data["dishes"]["Oat plait"]["ingredients"]] == [
        "20 g peanut butter",
        "40 g carrot",
        "10 g carrot",
        "50 g water",
    ]
    text = call("check", "week.yaml", capsys=capsys).done().out
    larder = text.partition("larder ")[2].partition("Allergens by dish")[0]
    assert "plait" in larder
    assert "peanut" not in larder
    assert call("audit", "plan.json", "--json", capsys=capsys).done().data["faults"] == []
    assert loose["week"]["dishes"]["Plain plait"]["ingredients"] == [
        "50 g carrots",
        "1 tbsp parsley",
    ]
