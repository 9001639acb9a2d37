"""The command that writes a week to start from."""

from __future__ import annotations

from pathlib import Path

from models.file import yamltext

from .command import BAD_INPUT, run
from .schema import faults

RECIPE = """\
Pot
Serves 6
Ingredients
400 g carrots
200 g dried green lentils
Method
Boil for 1 hour
"""
STARTS = ("--starts", "2026-11-30")


def test_recipes_and_batches_make_a_week_that_checks_and_plans(tmp_path: Path) -> None:
    (tmp_path / "pot.txt").write_text(RECIPE, encoding="utf-8")
    words = ("--from", "pot.txt", "--batch", "rice salad, 6 portions", "--days", "mon-thu")
    run("new", "week.yaml", *words, *STARTS, folder=tmp_path).done()
    assert "Thu 3 Dec" in run("plan", "week.yaml", folder=tmp_path).done().out
    text = (tmp_path / "week.yaml").read_text(encoding="utf-8")
    assert "pot.txt" in text
    data = yamltext.parse("week.yaml", text).as_json()
    assert list(faults(data, run("schema", folder=tmp_path).data)) == []


def test_every_file_that_is_written_names_the_schema_beside_it(tmp_path: Path) -> None:
    for words in ((), ("--from", "demo"), ("--batch", "chilli, 4 portions")):
        text = run("new", "-", *words, *STARTS, folder=tmp_path).done().out
        assert text.startswith("# yaml-language-server: $schema=week.schema.json\n"), words


def test_what_cannot_be_read_writes_nothing(tmp_path: Path) -> None:
    (tmp_path / "words.txt").write_text("nothing here\n", encoding="utf-8")
    for words, said in (
        (("--from", "words.txt"), "there is no recipe in it"),
        (("--from", "missing.html"), "there is no file and no ready week named"),
        (("--from", "missing.html", "--batch", "a, 2 portions"), "there is no such file"),
        (("--from", "."), "this is a directory"),
        (("--batch", "chilli"), "does not say what a batch comes to"),
        (("--batch", "a, 2 portions", "--days", "teusday"), "Did you mean 'tue"),
        (("--batch", "a, 2 portions", "--guidance", "eu"), "there is no guidance named"),
        (("--batch", "a, 2 portions", "--starts", "tomorrow"), "is not a date"),
        (("--batch", "a, 2 portions", "--starts", "2026-12-05"), "a Saturday"),
    ):
        ran = run("new", "week.yaml", *words, folder=tmp_path)
        assert ran.code == BAD_INPUT, words
        assert said in ran.err, (words, ran.err)
        assert not (tmp_path / "week.yaml").exists(), words


def test_no_two_days_of_a_drafted_week_are_alike(tmp_path: Path) -> None:
    words = ("--batch", "chilli, 8 portions", "--batch", "rice salad, 6 portions")
    run("new", "week.yaml", *words, *STARTS, folder=tmp_path).done()
    dishes = [
        lunch["dish"]
        for lunch in run("plan", "week.yaml", "--json", folder=tmp_path).data["lunches"]
    ]
    assert len(dishes) == 5
    assert len({*dishes}) == 5


def test_no_drafted_lunch_is_more_than_a_box_holds(tmp_path: Path) -> None:
    heavy = RECIPE.replace("Serves 6", "Serves 2").replace("Boil", "Simmer")
    heavy += "Let it cool\n"
    (tmp_path / "pot.txt").write_text(heavy.replace("400 g", "800 g"), encoding="utf-8")
    (tmp_path / "pan.txt").write_text(heavy.replace("Pot", "Pan"), encoding="utf-8")
    words = ("--from", "pot.txt", "--from", "pan.txt", *STARTS)
    ran = run("new", "week.yaml", *words, folder=tmp_path).done()
    assert "Bread, cheese, leaves and grain" in " ".join(ran.out.split())
    dishes = yamltext.parse(
        "week.yaml", (tmp_path / "week.yaml").read_text(encoding="utf-8")
    ).as_json()["dishes"]
    # A portion of either weighs more than half of the most that a drafted lunch has.
    assert {tuple(dish.get("takes", {}).values()) for dish in dishes.values()} == {(1,), ()}
    (tmp_path / "ready").mkdir()
    ready = run("new", "ready/week.yaml", "--from", "demo", folder=tmp_path).done()
    assert "added" not in ready.out
