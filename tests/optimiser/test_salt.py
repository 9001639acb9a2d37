"""Where the United Kingdom prints salt, salt is printed; elsewhere sodium."""

from __future__ import annotations

import pytest

import optimiser
from models.file.reading import week_of
from models.file.yamltext import parse
from models.words.nutrients import printed
from optimiser.checking import check as understood
from optimiser.paging import page
from optimiser.planning import plan_week
from optimiser.report import check
from optimiser.report.page import html
from optimiser.solve.week import solve_week

WEEK = """
week: {{starts: 2026-11-30, days: [mon], guidance: {guidance}}}
eaters: {{Ada: {{ceilings: {{sodium: 800 mg}}}}}}
batches:
  barley stew:
    made: 2026-11-29
    yield: 2 portions
    portion: 100 g
    nutrition: {{protein: 4 g, sodium: 600 mg}}
    fridge_life: 1
    allergens: none
dishes:
  Bowl: {{kind: a, takes: {{barley stew: 1}}}}
"""


@pytest.mark.parametrize(
    ("guidance", "shown", "not_shown"),
    [
        # Regulation (EU) No 1169/2011, Annex I (11): salt = sodium x 2.5; 0.6 g x 2.5 = 1.5 g.
        ("uk", ("salt 1.5 g (at most 2)", "2 g salt"), "sodium"),
        ("us", ("sodium 600 mg (at most 800)", "800 mg sodium"), "salt"),
        ("strictest", ("sodium 600 mg (at most 800)", "800 mg sodium"), "salt"),
    ],
)
def test_salt_and_sodium(guidance: str, shown: tuple[str, str], not_shown: str) -> None:
    week = week_of(parse("week.yaml", WEEK.format(guidance=guidance)))
    plan = optimiser.render(plan_week(week), full=True)
    checked = check.text(understood(week))
    assert shown[0] in plan
    assert shown[1] in checked
    assert not_shown not in checked
    assert not_shown not in plan[: plan.index("Cautions")]


def test_the_page_prints_salt_too() -> None:
    week = week_of(parse("week.yaml", WEEK.format(guidance="uk")))
    _, solved = solve_week(week)
    assert solved.packed is not None
    plan = plan_week(week)
    text = html(page(plan, week, solved.packed, verdicts=False, sliders=False))
    assert "<span>salt</span> <b>1.5 g</b> <span>✓ at most 2</span>" in text
    assert "sodium" not in text
    assert printed("NA", "us") == ("sodium", "mg", 1)


def test_a_ceiling_written_as_salt_is_read_back_as_salt() -> None:
    content = WEEK.format(guidance="us").replace("sodium: 800 mg", "salt: 2 g", 1)
    assert "2 g salt" in check.text(understood(week_of(parse("week.yaml", content))))
