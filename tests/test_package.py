"""What a user installs: the wheel has the notice that its food tables ask for."""

from __future__ import annotations

from pathlib import Path
from zipfile import ZipFile

import pytest
from hatchling.build import build_wheel

from models.foods.food import table
from models.foods.licence import OGL

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Give the texts of the licence, the notice and the tables in a wheel that was built."""
    folder = tmp_path_factory.mktemp("wheel")
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(ROOT)
        name = build_wheel(str(folder))
    with ZipFile(folder / name) as packed:
        return {
            path.rpartition("/")[2]: packed.read(path).decode()
            for path in packed.namelist()
            if ("/licenses/" in path or "/tables/" in path) and not path.endswith(".db")
        }


def test_the_wheel_holds_what_the_licences_ask_for(wheel: dict[str, str]) -> None:
    assert {"LICENSE", "NOTICE", "everyday.csv", "storage.csv"} <= set(wheel)
    notice = wheel["NOTICE"]
    assert OGL in notice
    # The address that the licence asks to be linked to (section "You must").
    assert "https://www.nationalarchives.gov.uk/doc/open-government-licence/version/3/" in notice
    for name in ("CoFID", "Standard Reference", "FSIS", "Cornell University", "FMI", "NHS"):
        assert name in notice


def test_every_source_of_a_food_is_in_the_notice(wheel: dict[str, str]) -> None:
    named = {"USDA": "USDA National Nutrient Database", "CoFID": "(CoFID)"}
    for food in table().values():
        if food.source != "definition":
            assert named[food.source.split()[0]] in wheel["NOTICE"].replace("\n  ", " "), food.name
