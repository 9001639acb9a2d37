"""A week made of plain Python data is the week that its file would say."""

from __future__ import annotations

import json
from copy import deepcopy
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest

from models.file.carried import carried
from models.file.reading import read_document, read_week, ready_weeks, week_of
from models.week.week import Week
from models.words.document import document_of
from models.words.errors import InputError
from tests.models.kitchen import week_from

TEXT = """\
week: {name: A week, starts: 2026-11-30, days: [mon, tue], guidance: us}
place: {fridge: no, cold_packs: 1}
eaters:
  Ann: {floors: {protein: 5 g}, likes: {Bowl: 2}}
batches:
  barley:
    made: 2026-11-29
    yield: 4 portions
    portion: 150 g
    nutrition: {protein: 4.5 g}
    cost: 2.40
    fridge_life: 3
    allergens: [gluten]
larder:
  pear:
    {pack: 4 pieces, price: 1.9, allergens: none, nutrition: {protein: 0.4 g}, per: 1 piece,
     chilled: no}
dishes:
  Bowl: {kind: grain, takes: {barley: 1 to 2}, goes_in: {pear: 1 piece}, minutes: 3}
"""
DATA: dict[str, Any] = {
    "week": {
        "name": "A week",
        "starts": date(2026, 11, 30),
        "days": ("mon", "tue"),
        "guidance": "us",
    },
    "place": {"fridge": False, "cold_packs": 1},
    "eaters": {"Ann": {"floors": {"protein": "5 g"}, "likes": {"Bowl": 2}}},
    "batches": {
        "barley": {
            "made": date(2026, 11, 29),
            "yield": "4 portions",
            "portion": "150 g",
            "nutrition": {"protein": "4.5 g"},
            "cost": Decimal("2.40"),
            "fridge_life": 3,
            "allergens": ["gluten"],
        }
    },
    "larder": {
        "pear": {
            "pack": "4 pieces",
            "price": 1.9,
            "allergens": "none",
            "nutrition": {"protein": "0.4 g"},
            "per": "1 piece",
            "chilled": False,
        }
    },
    "dishes": {
        "Bowl": {
            "kind": "grain",
            "takes": {"barley": "1 to 2"},
            "goes_in": {"pear": "1 piece"},
            "minutes": 3,
        }
    },
}


def but(*path: str, value: object) -> dict[str, Any]:
    """Give the data with another value at a path."""
    data = deepcopy(DATA)
    inside = data
    for step in path[:-1]:
        inside = inside[step]
    inside[path[-1]] = value
    return data


def test_plain_data_is_the_week_of_the_file() -> None:
    assert week_of(DATA) == week_from(TEXT)
    assert week_of(DATA).source.name == "the week"


@pytest.mark.parametrize("name", ready_weeks())
def test_what_travels_in_a_plan_is_plain_data_of_the_same_week(name: str) -> None:
    week = read_week(name)
    data = json.loads(json.dumps(carried(week)))
    again = week_of(data)
    assert again == week
    assert carried(again) == data


def test_a_week_of_plain_data_can_be_written_as_a_file() -> None:
    text = week_of(DATA).source.as_yaml()
    assert week_from(text) == week_of(DATA)
    assert read_document("demo").as_yaml() == read_document("demo").text


FAULTS = [
    (("week", "starts"), datetime(2026, 11, 30, 12), ("week", "starts"), "is not a date"),
    (("eaters", "Ann", "floors", "protein"), 5, ("eaters", "Ann", "floors", "protein"), "no unit"),
    (("larder", "pear", "price"), float("nan"), ("larder", "pear", "price"), "usable number"),
    (("larder", "pear", "price"), {1, 2}, ("larder", "pear", "price"), "of type set"),
    (("dishes", "Bowl", "goes_in"), {"peer": "1 piece"}, ("dishes", "Bowl", "goes_in"), "no lard"),
    (("dishes", "Bowl", "kinds"), "grain", ("dishes", "Bowl", "kinds"), "unknown key"),
]


@pytest.mark.parametrize(("put", "value", "place", "what"), FAULTS, ids=lambda x: str(x)[:30])
def test_a_fault_is_placed_by_its_keys(
    put: tuple[str, ...], value: object, place: tuple[str, ...], what: str
) -> None:
    with pytest.raises(InputError) as caught:
        week_of(but(*put, value=value))
    assert what in caught.value.what
    assert caught.value.where.line is None
    assert caught.value.where.path[: len(place)] == place
    assert str(caught.value.where).startswith(f"the week ({' > '.join(place)}")


def test_what_contains_itself_is_refused() -> None:
    data: dict[str, Any] = deepcopy(DATA)
    data["eaters"]["Ann"]["likes"] = data
    with pytest.raises(InputError, match="nested too deeply"):
        week_of(data)


def test_keys_that_are_no_text_and_blanks_are_brought_to_one_form() -> None:
    document = document_of({1: " x ", "a  b": (1, 2.5), "day": date(2026, 1, 2), "no": None})
    assert document.data == {
        "1": "x",
        "a b": [Decimal(1), Decimal("2.5")],
        "day": "2026-01-02",
        "no": None,
    }


def test_an_old_key_gets_the_new_one_named() -> None:
    old = {**DATA, "skip": [{"day": "mon"}]}
    with pytest.raises(InputError) as caught:
        week_of(old)
    assert caught.value.what == "unknown key 'skip'"
    assert caught.value.mend == "It is called 'no_lunch' now."


def test_a_week_without_what_it_was_read_from_is_still_a_week() -> None:
    week = week_of(DATA)
    assert isinstance(week, Week)
    assert week == week_of(document_of(DATA, "elsewhere"))
