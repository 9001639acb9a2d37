"""Variety of drafted weeks: the strictest rule that leaves no more over, or a word that none can.

What a rule allows is judged on the lunches of plans, by the dishes that a cook would see.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest

from models.file import yamltext
from models.file.draft import Frame, batch_of, days_of, draft
from models.file.reading import week_of
from optimiser import plan
from optimiser.weeks.varied import NO_RULE, RULES, varied

ONCE, TWICE = (rule for _, rule in RULES)
DRAFTS = (
    ("mon-fri", ("chilli, 12 portions", "rice salad, 8 portions"), ONCE),
    ("mon-sun", ("chilli, 3 portions", "leek soup, 4 portions", "bake, 6 portions"), ONCE),
    ("mon-sun", tuple(f"pot {at}, 3 portions" for at in range(1, 13)), ONCE),
    ("mon", ("soup, 2 portions",), ONCE),
    # A pack of leaves, opened for one lunch, would be left over.
    ("mon-fri", ("oat bars, 18 pieces of 45 g",), TWICE),
    ("mon-fri", ("chilli, 12 portions",), TWICE),
    ("mon-sun", ("chilli, 12 portions",), TWICE),
    # Bread and cheese is all there is from Tuesday on.
    ("mon-fri", ("rice salad, 1 portion",), None),
)


def drafted(days: str, batches: tuple[str, ...]) -> str:
    chosen = Frame(date(2026, 11, 30), days_of(days), "us", "label")
    return draft([batch_of(text) for text in batches], chosen)


def planned(text: str) -> tuple[list[str], float] | None:
    """Give the dish of each day, and what is left over at the least."""
    answer = plan(text + "priorities: [left_over]\n", reasons=False)
    if answer.status == "infeasible":
        return None
    assert answer.status == "optimal"
    left = next(line.value for line in answer.priorities if line.name == "left_over")
    return [lunch.dish for lunch in answer.lunches], left


@pytest.mark.parametrize(("days", "batches", "rule"), DRAFTS)
def test_the_strictest_rule_that_leaves_no_more_over(
    days: str, batches: tuple[str, ...], rule: str | None
) -> None:
    text = drafted(days, batches)
    written = varied(text)
    assert written.startswith(text)
    assert written.endswith(NO_RULE if rule is None else f"{rule}\n")
    week_of(yamltext.parse("the draft", written))
    free, kept = planned(text), planned(written)
    assert free is not None
    assert kept is not None
    assert kept[1] == free[1]
    dishes = kept[0]
    if rule is not None:
        assert all(first != second for first, second in pairwise(dishes))
    if rule == ONCE:
        assert len(set(dishes)) == len(dishes)
    # Each stricter one is in the way of a plan, or leaves more over.
    stricter = [ONCE, TWICE]
    for other in stricter[: stricter.index(rule)] if rule is not None else stricter:
        found = planned(f"{text}{other}\n")
        assert found is None or found[1] > free[1]


def test_a_week_without_a_plan_has_no_rule() -> None:
    careful = drafted("mon-tue", ("soup, 2 portions",)).replace(
        "Me: {}", "Me: {floors: {protein: 900 g}}"
    )
    assert planned(careful) is None
    assert varied(careful) == careful + NO_RULE
