"""`check --trace` shows the sum behind a figure: its lines add up, and each names its source."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.file.reading import read_week, ready_weeks
from models.foods.food import table
from models.week.week import Batch, LarderItem
from models.words.nutrients import NUTRIENTS
from optimiser.report import trace
from optimiser.tracing import traced as add_up

from .command import call, columns, no_control, one_message, run

Capture: TypeAlias = pytest.CaptureFixture[str]

WEEK = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: label}
eaters: {Ada: {}}
batches:
  pot:
    made: 2026-11-29
    yield: 5 portions
    ingredients: ["200 g red lentils, split, dry", 1 medium onion, 2 tbsp olive oil]
  stated:
    made: 2026-11-29
    yield: 2 pieces
    portion: 80 g
    nutrition: {protein: 7.5 g, energy: 90 kcal}
    nutrition_source: the lab
    fridge_life: 2
  both:
    made: 2026-11-29
    yield: 4 portions
    ingredients: [400 g carrots]
    nutrition: {protein: 9 g}
    nutrition_source: the lab
larder:
  egg: {food: hard-boiled egg, pack: 6 pieces, piece: 60 g, price: 2, opened_life: 2}
  sauce: {ingredients: [60 g peanut butter, 140 g water], pack: 200 g, price: 1, keeps_as: dal}
  relish: {pack: 100 g, chilled: no, nutrition: {protein: 1.4 g}, nutrition_source: label}
dishes:
  Bowl:
    kind: bowl
    takes: {pot: 1, stated: 0 to 1, both: 1}
    goes_in: {egg: 1 piece, sauce: 20 g, relish: 10 g}
    ingredients: [15 g parsley]
"""


def written(folder: Path, text: str = WEEK) -> Path:
    path = folder / "week.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def traced(week: str | Path, name: str, *more: str, capsys: Capture) -> Any:
    ran = call("check", week, "--trace", name, "--json", *more, capsys=capsys).done()
    return ran.data


def shown(week: str | Path, name: str, *more: str, capsys: Capture) -> str:
    out = call("check", week, "--trace", name, *more, capsys=capsys).done().out
    assert columns(out) <= 80
    no_control(out)
    return out


def flat(text: str) -> str:
    return " ".join(text.split())


# -- the demo week -----------------------------------------------------------------------


def test_the_lines_of_the_demo_add_up_to_what_check_says(capsys: Capture) -> None:
    data = traced("demo", "leek bake", capsys=capsys)
    assert (data["name"], data["nutrient"], data["unit"]) == ("leek bake", "PROCNT", "g")
    assert data["complete"] is True
    assert data["per"] == "portion"
    amounts = [line["amount"] for line in data["lines"]]
    assert sum(amounts) == pytest.approx(data["total"], abs=1e-4)
    checked = call("check", "demo", "--json", capsys=capsys).done().data["batches"]["leek bake"]
    assert data["total"] / checked["portions"] == pytest.approx(data["amount"], abs=1e-5)
    assert data["amount"] == checked["nutrients"]["PROCNT"]["amount"]
    assert data["source"] == checked["nutrition_source"]


def test_each_line_is_grams_times_a_figure_of_the_table(capsys: Capture) -> None:
    data = traced("demo", "leek bake", capsys=capsys)
    for line in data["lines"]:
        food = table()[line["food"]]
        assert line["source"] == f"{food.source} {food.source_id}"
        assert line["per_100_g"] == float(food.nutrients["PROCNT"])
        held = line["grams"] * line["per_100_g"] / 100
        assert line["amount"] == pytest.approx(held, abs=1e-4)
    assert {"400 g potatoes, peeled", "3 eggs"} <= {one["line"] for one in data["lines"]}


def test_how_a_mass_came_about_is_said_unless_it_was_written(
    tmp_path: Path, capsys: Capture
) -> None:
    lines = traced(written(tmp_path), "pot", capsys=capsys)["lines"]
    assert [line["how"] for line in lines[:2]] == ["", "1 medium = 110 g"]
    # 2 tablespoons of the label, 30 mL, where the table has 13.5 g to one of 14.8 mL.
    assert lines[2]["how"] == "tbsp of 14.8 mL = 13.5 g"
    assert lines[2]["grams"] == pytest.approx(30 / 14.78676 * 13.5, abs=1e-3)


def test_the_sum_of_the_demo_is_on_the_paper(capsys: Capture) -> None:
    text = flat(shown("demo", "leek bake", capsys=capsys))
    assert text.startswith("leek bake protein")
    data = traced("demo", "leek bake", capsys=capsys)
    for line in data["lines"]:
        number = line["source"].split()[-1]
        assert number in text, line
        assert _short(line["grams"], 1) in text, line
        assert _short(line["amount"], 2) in text, line
    assert f"sum {_short(data['total'], 2)} g in " in text
    count = read_week("demo").batches["leek bake"].portions
    assert f"so {_short(data['amount'], 3)} g in one piece, the batch divided by {count}" in text
    assert f"{count} pieces: " in text


def _short(number: float, places: int) -> str:
    text = f"{number:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@pytest.mark.parametrize("name", ready_weeks())
def test_every_figure_of_every_ready_week_can_be_traced(name: str) -> None:
    week = read_week(name)
    things: list[Batch | LarderItem] = [*week.larder.values(), *week.batches.values()]
    for thing in things:
        for tag in ("PROCNT", "FIBTG", "CHOAVL", "NA"):
            answer = add_up(thing, NUTRIENTS[tag])
            data = answer.model_dump(mode="json")
            assert (data["amount"] is None) == (tag not in thing.nutrition)
            if data["total"] is not None:
                amounts = [one["amount"] for one in data["lines"] if one["amount"] is not None]
                assert sum(amounts) == pytest.approx(data["total"], abs=1e-3)
            paper = trace.text(answer)
            assert columns(paper) <= 80
            assert paper.startswith(f"{thing.name}  {NUTRIENTS[tag].name}")


def test_a_name_is_found_in_any_case_and_spacing(capsys: Capture) -> None:
    plain = shown("demo", "leek bake", capsys=capsys)
    assert shown("demo", "  LEEK   Bake ", capsys=capsys) == plain


# -- another nutrient --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "tag"),
    [("fibre", "FIBTG"), ("FIBTG", "FIBTG"), ("Sodium", "NA"), ("carbohydrate", "CHOAVL")],
)
def test_any_nutrient_can_be_traced(said: str, tag: str, tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "pot", "--nutrient", said, capsys=capsys)
    assert (data["nutrient"], data["unit"]) == (tag, NUTRIENTS[tag].symbol)
    checked = call("check", week, "--json", capsys=capsys).done().data["batches"]["pot"]
    assert data["amount"] == checked["nutrients"][tag]["amount"]
    assert f"pot {NUTRIENTS[tag].name}" in flat(
        shown(week, "pot", "--nutrient", said, capsys=capsys)
    )


def test_what_one_line_lacks_makes_the_sum_at_least(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "pot", "--nutrient", "sugar", capsys=capsys)
    assert data["complete"] is False
    assert data["lines"][0]["per_100_g"] is None
    assert data["lines"][0]["amount"] is None
    known = [line["amount"] for line in data["lines"][1:]]
    assert sum(known) == pytest.approx(data["total"], abs=1e-4)
    text = flat(shown(week, "pot", "--nutrient", "sugar", capsys=capsys))
    assert "not known" in text
    assert "sum at least " in text
    assert "so at least " in text


def test_what_all_lines_lack_is_not_known(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "pot", "--nutrient", "iodine", capsys=capsys)
    assert (data["total"], data["amount"], data["complete"]) == (None, None, False)
    text = flat(shown(week, "pot", "--nutrient", "iodine", capsys=capsys))
    assert "No ingredient gives its iodine." in text


# -- what is not a batch with ingredients --------------------------------------------------


def test_a_figure_that_was_stated_says_so(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "stated", capsys=capsys)
    assert (data["lines"], data["total"], data["amount"]) == ([], None, 7.5)
    assert data["source"] == "the lab"
    text = flat(shown(week, "stated", capsys=capsys))
    assert "7.5 g in one piece" in text
    assert "stated in the week file, source: the lab" in text


def test_a_stated_figure_goes_before_the_sum_and_is_told_from_it(
    tmp_path: Path, capsys: Capture
) -> None:
    week = written(tmp_path)
    text = flat(shown(week, "both", capsys=capsys))
    assert "9 g in one portion" in text
    assert "stated in the week file" in text
    assert "the lab" in text
    fibre = flat(shown(week, "both", "--nutrient", "fibre", capsys=capsys))
    assert "stated in the week file" not in fibre
    assert "2.8 g in one portion, the batch divided by 4" in fibre


def test_a_larder_item_is_traced_to_its_food(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "egg", capsys=capsys)
    # 12.58 g in 100 g of egg, SR26 01129; one piece is 60 g here.
    assert (data["per"], data["amount"]) == ("1 piece", pytest.approx(12.58 * 0.6, abs=1e-5))
    text = flat(shown(week, "egg", capsys=capsys))
    assert "so 7.548 g in 1 piece" in text
    assert "[USDA SR28" in text
    assert "01129]" in text


def test_a_mixture_in_the_larder_is_traced_to_its_lines(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path)
    data = traced(week, "sauce", capsys=capsys)
    # 22.21 g in 100 g of peanut butter, SR26 16098: 60 g of it in a pack of 200 g.
    assert [line["food"] for line in data["lines"]] == ["peanut butter, smooth, salted", "water"]
    assert data["total"] == pytest.approx(13.326)
    assert (data["per"], data["amount"]) == ("100 g", pytest.approx(6.663))
    assert "stated in the week file, source: label" in flat(shown(week, "relish", capsys=capsys))


def test_what_a_dish_lists_is_traced_too(tmp_path: Path, capsys: Capture) -> None:
    data = traced(written(tmp_path), "parsley", capsys=capsys)
    assert data["amount"] == float(table()["parsley leaf, fresh"].nutrients["PROCNT"])
    assert data["per"] == "100 g"


# -- refusals ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        (
            ("--trace", "leek bak"),
            ("--trace: ", "no batch or larder item named 'leek bak'", "'leek bake'?"),
        ),
        (("--trace", "zzz"), ("--trace: ", "'zzz'", "Known here: ")),
        (("--trace", "Bake and cabbage"), ("no batch or larder item named 'Bake and cabbage'",)),
        (("--trace", ""), ("no batch or larder item named ''",)),
        (
            ("--trace", "leek bake", "--nutrient", "protien"),
            ("--nutrient: ", "'protien' is not a nutrient known here", "'protein'?"),
        ),
        (("--trace", "leek bake", "--nutrient", ""), ("--nutrient: ", "''")),
        (("--trace", "\x1b[31mbake"), ("no batch or larder item named",)),
    ],
)
@pytest.mark.parametrize("kind", ["text", "json"])
def test_what_cannot_be_traced_is_refused_with_the_nearest(
    words: tuple[str, ...], parts: tuple[str, ...], kind: str, capsys: Capture
) -> None:
    more = ("--json",) if kind == "json" else ()
    one_message(call("check", "demo", *words, *more, capsys=capsys), *parts)


def test_a_week_that_is_refused_is_not_traced(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path, WEEK.replace("1 medium onion", "1 medium onoin stew"))
    one_message(
        call("check", week, "--trace", "pot", capsys=capsys), "week.yaml, line 7", "onoin stew"
    )


def test_names_of_strangers_cannot_steer_the_terminal(tmp_path: Path, capsys: Capture) -> None:
    text = WEEK.replace("  pot:\n", '  "[bold]pot[/] {0}":\n').replace(
        "{pot: 1,", '{"[bold]pot[/] {0}": 1,'
    )
    out = shown(written(tmp_path, text), "[BOLD]pot[/] {0}", capsys=capsys)
    assert out.startswith("[bold]pot[/] {0}  protein")


def test_it_runs_as_a_command_of_its_own(tmp_path: Path) -> None:
    ran = run("check", "demo", "--trace", "leek bake", "--json", folder=tmp_path).done()
    assert json.loads(ran.out)["name"] == "leek bake"
    assert list(tmp_path.iterdir()) == []


def test_the_mass_is_of_what_is_cooked(tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "week.yaml"
    said = []
    for cook in ("5 portions", "2 portions"):
        text = WEEK.replace("yield: 5 portions", f"yield: 5 portions\n    cook: {cook}")
        file.write_text(text, encoding="utf-8")
        out = call("check", file, "--trace", "pot", capsys=capsys).done().out
        (mass,) = re.findall(r"about (\d+) g in all", " ".join(out.split()))
        said.append(int(mass))
    assert said[1] == pytest.approx(said[0] * 2 / 5, abs=1)
