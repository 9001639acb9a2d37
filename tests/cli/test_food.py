"""`clearfridge food` shows what the table knows, with the source of each figure."""

from __future__ import annotations

from pathlib import Path

from tests.cli.command import run


def test_a_food_is_shown_with_its_source(tmp_path: Path) -> None:
    out = run("food", "dried lentils", folder=tmp_path).done().out
    assert "protein 25.8 g" in out
    assert "USDA SR26 16069" in out
    assert "cup = 192 g" in out


def test_a_food_is_given_as_data(tmp_path: Path) -> None:
    data = run("food", "cooked white rice", "--json", folder=tmp_path).done().data
    assert data["source_id"] == "20445"
    assert data["nutrients"]["PROCNT"] == {"amount": 2.69, "unit": "g"}
    assert data["storage"]["uk_days"] == [None, 1]


def test_an_ambiguous_name_is_refused_with_the_nearest(tmp_path: Path) -> None:
    ran = run("food", "lentils", folder=tmp_path)
    assert ran.code == 2
    assert ran.out == ""
    assert "lentils, green or brown, dry" in ran.err
