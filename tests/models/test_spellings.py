"""However a scalar is spelt, a week that is read is the same week after it has travelled."""

from __future__ import annotations

import dataclasses
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.file import yamltext
from models.file.reading import read_document, week_of
from models.file.yamlwriting import yaml_of
from models.week.week import Week
from models.words.document import Document, Steps, document_of
from models.words.errors import InputError
from tests.depth import sized

WEEK = read_document("minimal").data
assert isinstance(WEEK, dict)
WEEK["batches"]["rice and beans"] |= {"freezer": Decimal(2), "fridge_life": "3", "cost": Decimal(2)}
WEEK["dishes"]["Rice, beans and cheese"] |= {"minutes": Decimal(5), "most": Decimal(2)}
WEEK["variety"] = {"most_times": Decimal(3), "days_between": Decimal(0)}
WEEK["boxes"] = {"1.10": {"compartments": ["1200 mL"]}}


def places(data: Any, path: Steps = ()) -> list[Steps]:
    """List the way to every scalar."""
    inside = data.items() if isinstance(data, dict) else enumerate(data)
    below: list[Steps] = []
    for step, value in inside:
        way = (*path, step)
        below += places(value, way) if isinstance(value, (dict, list)) else [way]
    return below


PLACES = places(WEEK)


def spelt(data: Any, other: Steps, raw: str) -> str:
    """Write a week in brackets, with one scalar just as it is given."""
    if other == ():
        return raw
    if isinstance(data, dict):
        each = (
            f"{json.dumps(key)}: {spelt(value, *below(other, key, raw))}"
            for key, value in data.items()
        )
        return "{" + ", ".join(each) + "}"
    if isinstance(data, list):
        return "[" + ", ".join(spelt(v, *below(other, at, raw)) for at, v in enumerate(data)) + "]"
    return str(data) if isinstance(data, Decimal) else json.dumps(data)


def below(other: Steps, step: str | int, raw: str) -> tuple[Steps, str]:
    return (other[1:] if other[0] == step else ("",), raw)


def travelled(week: Week) -> list[Document]:
    """Give what a plan, a saved plan and a week file that is written anew would hold."""
    assert week.source is not None
    data = week.source.as_json()
    again = json.loads(json.dumps(data))
    return [document_of(data), document_of(again), yamltext.parse("again", yaml_of(data))]


def bare(week: Week) -> Week:
    return dataclasses.replace(week, source=Document("", None))


def same_after(text: str) -> bool:
    """See that a week that is read is the same however it travels; tell whether it is read."""
    try:
        week = week_of(yamltext.parse("w", text))
    except InputError:
        return False
    for document in travelled(week):
        assert bare(week_of(document)) == bare(week), text
    return True


def at(*steps: str | int) -> Any:
    return lambda raw: spelt(WEEK, steps, raw)


@pytest.mark.parametrize(
    ("place", "raws"),
    [
        (
            ("larder", "hard cheese", "price"),
            (".5", "5.", "+5", "1e0", "1_000", "5e-1", "1.10", "'.5'"),
        ),
        (
            ("dishes", "Rice, beans and cheese", "minutes"),
            ("5.", "+5", "1e1", "1_0", "0.5e1", "-0"),
        ),
        (
            ("dishes", "Rice, beans and cheese", "takes", "rice and beans"),
            ("+1", "1.", "1e0", "0_1"),
        ),
        (("batches", "rice and beans", "freezer"), ("2.", "+2", "2e0")),
        (("week", "name"), (".5", "1_0", "1e-05", "0x1F", "1.10", "+5", "00012", "-0", "1.0")),
    ],
)
def test_numbers_are_read_alike_before_and_after_they_travel(
    place: Steps, raws: tuple[str, ...]
) -> None:
    for raw in raws:
        assert same_after(spelt(WEEK, place, raw)), f"{raw} is refused at {place}"


DIGITS = st.from_regex(r"[-+]?[0-9_]{0,3}\.?[0-9_]{0,3}([eE][-+]?[0-9]{1,2})?", fullmatch=True)
SPELLINGS = st.one_of(
    DIGITS,
    DIGITS.map(lambda text: f"'{text}'"),
    DIGITS.map(lambda text: f"{text} g"),
    st.sampled_from(
        ["yes", "No", "TRUE", "~", "''", "0o7", "0b1", "1 to 2", "07:15", "7.50", ".nan"]
    ),
    st.sampled_from(
        ["2026-11-30", "35 %", "'a \u00a0 b'", "mon", "200 °C", "200.", "3..4", "!!str 5"]
    ),
)


@settings(max_examples=sized(30, 4_000))
@given(st.sampled_from(PLACES), SPELLINGS)
def test_a_week_is_the_same_however_a_scalar_is_spelt(place: Steps, raw: str) -> None:
    same_after(spelt(WEEK, place, raw))


def test_a_key_is_the_same_however_many_blanks_are_in_it() -> None:
    text = spelt(WEEK, ("",), "").replace('"apple"', '"\u00a0apple "')
    assert same_after(text)
    with pytest.raises(InputError, match="twice"):
        document_of({"eaters": {"Ann": {}, " Ann": {}}})
