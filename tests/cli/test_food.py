"""`clearfridge food` shows what the table knows, with the source of each figure."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.words.text import LONGEST_TEXT
from optimiser.cli.app import LONGEST_WORD
from tests.cli.command import one_message, run


def test_a_food_is_shown_with_its_source(tmp_path: Path) -> None:
    out = run("food", "dried lentils", folder=tmp_path).done().out
    assert "protein 24.63 g" in out
    assert "USDA SR28 16069" in out
    assert "cup = 192 g" in out
    assert "EU: none; US: none" in out


@pytest.mark.parametrize(
    ("name", "said"),
    [
        # Gluten is named with its cereal; barley is none of the nine of US law.
        ("pearl barley, boiled", "EU: gluten (barley); US: none"),
        ("soy sauce", "EU: gluten (wheat), soya; US: wheat, soybeans"),
        # No group of EU law, but a tree nut by US law.
        ("pine nuts", "EU: none; US: tree nuts"),
    ],
)
def test_allergens_are_named_by_both_laws(name: str, said: str, tmp_path: Path) -> None:
    out = run("food", name, folder=tmp_path).done().out
    assert said in " ".join(out.split())


def test_how_long_it_keeps_is_said_with_who_says_so(tmp_path: Path) -> None:
    said = " ".join(run("food", "cooked white rice", folder=tmp_path).done().out.split())
    assert "keeps as cooked rice US: 4 - 6 Days (USDA FSIS storage times)" in said
    assert "UK: Keep rice in the fridge for no more than 1 day" in said
    assert "once thawed: 1 day in the freezer: USDA FSIS storage times 178" in said
    said = " ".join(run("food", "soy sauce", folder=tmp_path).done().out.split())
    assert "once opened: 1 Month (USDA FSIS storage times 360)" in said


def test_a_food_is_given_as_data(tmp_path: Path) -> None:
    data = run("food", "cooked white rice", "--json", folder=tmp_path).done().data
    assert data["source_id"] == "20445"
    assert data["nutrients"]["PROCNT"] == {"amount": 2.69, "unit": "g"}
    kept = data["storage"]
    assert kept["class"] == "cooked rice"
    # One day; the table has no lower end, so the wish is the limit.
    assert kept["uk"]["days"] == [1, 1]
    assert kept["us"] == {"days": [4, 6], "source": "4 - 6 Days (USDA FSIS storage times)"}
    assert kept["uk"]["source"].startswith("Keep rice in the fridge for no more than 1 day")
    assert (kept["opened"], kept["thawed_days"], kept["freezer_months"]) == (None, 1, [6, 6])
    assert (data["allergens"], data["allergens_us"]) == ([], [])
    assert (data["allergens_known"], data["check_label"]) == (True, False)


def test_allergens_are_given_as_data_by_both_laws(tmp_path: Path) -> None:
    data = run("food", "pine nuts", "--json", folder=tmp_path).done().data
    assert (data["allergens"], data["allergens_us"]) == (["pine nuts"], ["tree nuts"])
    data = run("food", "pearl barley, boiled", "--json", folder=tmp_path).done().data
    assert (data["allergens"], data["allergens_us"]) == (["gluten"], [])


def test_an_ambiguous_name_is_refused_with_the_nearest(tmp_path: Path) -> None:
    ran = run("food", "chickpeas", folder=tmp_path)
    assert ran.code == 2
    assert ran.out == ""
    assert "chickpeas, dry" in ran.err


@pytest.mark.parametrize("letters", [LONGEST_TEXT + 1, LONGEST_WORD + 1, 100_000])
def test_a_name_that_nobody_typed_is_neither_looked_up_nor_said_again(
    letters: int, tmp_path: Path
) -> None:
    ran = run("food", "9½" * (letters // 2) + "x" * (letters % 2), folder=tmp_path)
    one_message(ran, "'9½9½", "Shorten it" if letters <= LONGEST_WORD else "Write at most 4,096")
    assert len(ran.err) < 200
