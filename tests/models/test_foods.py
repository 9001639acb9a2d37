"""The food table is only worth what its rows are: each is whole, sourced and findable."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal

import pytest

from models.foods import store
from models.foods.figures import AMINO_ACIDS, COLUMNS, NUTRIENT_TAGS
from models.foods.food import find, table
from models.foods.storage import PLANT, cautions, storage
from models.foods.tabled import rows
from models.words.allergens import EU_FOURTEEN, PINE_NUTS
from models.words.errors import InputError
from models.words.nutrients import NUTRIENTS


def test_pulses_take_up_water_and_keep_their_protein() -> None:
    # 100 g of dry lentils come to about 273 g boiled, reckoned by protein; by solids the
    # two must agree within an eighth (SR28 analysed the dry ones anew, not the boiled), or one
    # of the rows is not the food it says.
    dry = table()["lentils, green or brown, dry"]
    boiled = table()["lentils, green or brown, boiled"]
    by_protein = dry.nutrients["PROCNT"] / boiled.nutrients["PROCNT"]
    by_solids = (100 - Decimal("8.26")) / (100 - Decimal("69.64"))
    assert abs(by_protein - Decimal("2.73")) < Decimal("0.01")
    assert abs(by_protein - by_solids) / by_protein < Decimal("0.125")


def test_figures_are_in_the_unit_of_their_nutrient() -> None:
    # They are plain numbers: whoever uses one takes the unit from its nutrient.
    tags = set(NUTRIENT_TAGS)
    assert {tag: NUTRIENTS[tag].unit for tag in tags} | _UNITS == {
        tag: NUTRIENTS[tag].unit for tag in tags
    }
    assert {tag for food in table().values() for tag in food.nutrients} == tags
    # Figures that would be out of all bounds in another unit, of foods rich in each.
    assert Decimal(880) < table()["olive oil"].nutrients["ENERC"] < Decimal(905)
    assert table()["table salt"].nutrients["NA"] == Decimal(38758)


_UNITS = {
    "ENERC": "kilocalorie",
    "PROCNT": "gram",
    "FAT": "gram",
    "CHOCDF": "gram",
    "FIBTG": "gram",
    "SUGAR": "gram",
    "NA": "milligram",
}


def test_every_row_is_whole() -> None:
    for food in table().values():
        assert food.source, food.name
        assert food.allergens <= {*EU_FOURTEEN, PINE_NUTS}, food.name
        assert food.allergens_known, food.name
        assert not food.cereals or "gluten" in food.allergens, food.name
        assert food.storage in {"", *storage()}, food.name
        assert all(grams > 0 for grams in food.measures.values()), food.name
        parts = [tag for tag in ("PROCNT", "FAT", "CHOCDF") if tag in food.nutrients]
        assert sum(food.nutrients[tag] for tag in parts) <= 101, food.name
        assert all(amount >= 0 for amount in food.nutrients.values()), food.name


def test_no_name_means_two_foods() -> None:
    names = [name for food in table().values() for name in (food.name, *food.aliases)]
    assert len(set(names)) == len(names)


def test_every_food_is_found_by_each_of_its_names() -> None:
    for food in table().values():
        for name in (food.name, *food.aliases):
            assert find(name).name == food.name, name
            assert find(name.upper()).name == food.name, name


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("zucchini", "courgette, raw"),
        ("Courgettes", "courgette, raw"),
        ("lentils dried", "lentils, green or brown, dry"),
        ("dry chickpea", "chickpeas, dry"),
        ("chickpees, dry", "chickpeas, dry"),
        ("tinned chick pea", "chickpeas, tinned, drained"),
    ],
)
def test_a_food_is_found_as_people_type_it(typed: str, meant: str) -> None:
    assert find(typed).name == meant


@pytest.mark.parametrize("name", ["chickpeas", "nonsense of no kind", "", "dragon rice"])
def test_what_could_be_several_foods_or_none_is_refused_with_the_nearest(name: str) -> None:
    with pytest.raises(InputError) as caught:
        find(name)
    assert repr(name) in caught.value.text
    if name == "chickpeas":
        for way in ("dry", "boiled", "tinned, drained"):
            assert f"chickpeas, {way}" in caught.value.mend


def test_storage_days_have_a_source_and_run_upwards() -> None:
    for kept in storage().values():
        for life in (kept.us, kept.uk, kept.opened):
            if life is not None:
                assert life.source.endswith(")"), kept.name
                assert 0 <= life.low <= life.high, kept.name
        if kept.freezer_months is not None:
            assert kept.freezer_source, kept.name
            low, high = kept.freezer_months
            assert 0 < low <= high, kept.name
        assert kept.thawed is None or kept.thawed >= 0, kept.name
    rice = storage()["cooked rice"]
    assert rice.caution == "rice"
    assert rice.uk is not None
    # One day; the table has no lower end, so the wish is the limit.
    assert (rice.uk.low, rice.uk.high) == (1, 1)


def test_the_stricter_of_two_lives_holds() -> None:
    for kept in storage().values():
        lives = [life for life in (kept.us, kept.uk) if life is not None]
        leftovers = storage()[PLANT].uk
        if kept.home and kept.uk is None and leftovers is not None:
            lives.append(leftovers)
        shortest = kept.fridge("strictest")
        assert (shortest is None) == (lives == []), kept.name
        if shortest is not None:
            assert shortest.high == min(life.high for life in lives), kept.name
            assert shortest.low == min(*(life.low for life in lives), shortest.high), kept.name
            assert shortest.source in {life.source for life in lives if life.high == shortest.high}
        assert (kept.fridge("us"), kept.fridge("uk")) == (kept.us, kept.uk)


def test_cautions_name_their_source() -> None:
    assert all(text and source for text, source in cautions().values())


def test_lent_amino_acids_are_those_of_a_like_food_per_gram_of_protein() -> None:
    lent = list(rows("amino_acids.csv"))
    assert len(lent) > 150
    for row in lent:
        food = table()[row["food"]]
        like = store.numbered("SR28", row["like"])
        assert like is not None, row
        assert f"as in USDA SR28 {row['like']}" in food.note, row
        figures = dict(zip(COLUMNS, like["figures"].split(","), strict=False))
        ratio = food.nutrients["PROCNT"] / Decimal(figures["PROCNT"])
        for tag in AMINO_ACIDS:
            due = Decimal(figures[tag]) * ratio
            assert abs(food.nutrients[tag] - due) <= Decimal("0.0006"), (row, tag)


def test_the_table_is_opened_and_asked_within_fifty_milliseconds() -> None:
    code = (
        "import time; from models.foods import store; t = time.process_time();"
        "store.row(store.namings('leek')[0].food); print(time.process_time() - t)"
    )
    taken = [
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout)
        for _ in range(3)
    ]
    assert min(taken) < 0.05
