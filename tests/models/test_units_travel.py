"""Amounts travel to other processes, and those of other programs are left alone."""

from __future__ import annotations

import pickle
import subprocess
import sys
from copy import deepcopy
from decimal import Decimal

import pint
import pytest

from models.file.reading import read_week
from models.words.units import GRAM, MILLILITRE, Quantity, magnitude, parse, quantity

AMOUNTS = [
    quantity(Decimal("0.1"), GRAM),
    parse("2.5 kg"),
    parse("3 pieces"),
    quantity(Decimal(1) / 3, MILLILITRE),
    quantity(60, GRAM) / 7,
]


def fresh(code: str, given: bytes) -> bytes:
    """Run code in a process of its own, which reads and writes bytes."""
    words = [sys.executable, "-c", "import pickle, sys\n" + code]
    return subprocess.run(words, input=given, capture_output=True, check=True).stdout


@pytest.mark.parametrize("amount", AMOUNTS, ids=str)
def test_an_amount_that_travels_is_the_same_and_can_be_reckoned_with(amount: object) -> None:
    for again in (pickle.loads(pickle.dumps(amount)), deepcopy(amount)):
        assert again == amount
        assert type(again) is Quantity
        assert isinstance(again.magnitude, Decimal)
        assert again + amount == 2 * amount


def test_a_week_survives_the_way_to_a_fresh_process_and_back() -> None:
    week = read_week("demo")
    code = "sys.stdout.buffer.write(pickle.dumps(pickle.loads(sys.stdin.buffer.read())))"
    back = pickle.loads(fresh(code, pickle.dumps(week)))
    assert back == week
    assert (back.source, back.tables) == (week.source, week.tables)
    (name, batch), *_ = back.batches.items()
    assert magnitude(batch.portion + week.batches[name].portion, GRAM) > 0


def test_amounts_of_another_registry_are_left_alone_by_importing_ours() -> None:
    code = """
import pint
theirs = pint.get_application_registry()
theirs.define("furrow = 3 * metre")
before = pickle.dumps(theirs.Quantity(2.5, "furrow"))
import optimiser, models.words.units
import optimiser.planning
models.words.units.quantity(2, "lb").in_pint()
optimiser.check("starter")
assert pint.get_application_registry() is theirs
again = pickle.loads(before)
assert again.to("metre").magnitude == 7.5, again
assert type(again.magnitude) is float
assert pickle.dumps(theirs.Quantity(2.5, "furrow")) == before
sys.stdout.write("same")
"""
    assert fresh(code, b"") == b"same"


def test_the_registry_of_the_application_is_not_ours() -> None:
    ours = quantity(2, GRAM).in_pint()._REGISTRY
    assert pint.application_registry.get() is not ours
    assert quantity(3, "lb").in_pint()._REGISTRY is ours
