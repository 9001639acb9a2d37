"""Where nothing has a price it is said once, and no cost of 0.00 is shown."""

from __future__ import annotations

import pytest

import optimiser
from tests.test_remembered import STEW

TEXT = STEW.replace("priorities: [left_over, thawed]", "priorities: [left_over, cost, minutes]")


@pytest.mark.parametrize("priced", [False, True])
def test_a_cost_of_nothing_is_not_told(priced: bool) -> None:
    text = TEXT.replace("    yield:", "    cost: 4\n    yield:") if priced else TEXT
    plan = optimiser.plan(text, reasons=False)
    told = {
        "plan": optimiser.render(plan),
        "full": optimiser.render(plan, full=True),
        "size": optimiser.render(optimiser.size(text)),
        "trade-off": optimiser.render(optimiser.trade_off(text, "cost", "minutes"), chart=False),
        "what-if": optimiser.render(optimiser.what_if(text, yields="stew=5"), chart=False),
    }
    for name, report in told.items():
        shown = " ".join(report.split())
        assert ("0.00" in shown and "4.00" not in shown and name != "trade-off") is False, name
        if name != "what-if":
            assert ("o prices given" in shown) is not priced, name
    proof = " ".join(told["plan"].split())
    assert ("0 min; no prices given" in proof) is not priced
    assert "cost: no prices" not in proof


def test_the_table_proves_nothing_of_a_cost_that_sums_nothing() -> None:
    plan = optimiser.plan(TEXT, reasons=False)
    lines = optimiser.render(plan, full=True).splitlines()
    (cost,) = (line.split() for line in lines if line.startswith("cost  "))
    assert cost == ["cost", "no", "prices", "given"]
    # For scripts it stays a sum of nothing.
    assert [line.proven for line in plan.priorities if line.name == "cost"] == [True]
