"""What `plan` prints: forty lines in the order of use, with all that is of this week alone."""

from __future__ import annotations

import re

import pytest

import optimiser
from models.answers.plan import PlanFile, Reason, RuleLine
from optimiser.priorities import PRIORITIES
from optimiser.report.plan import text
from tests.cli.week import edited


@pytest.fixture(scope="module")
def demo() -> PlanFile:
    return optimiser.plan("demo")


@pytest.fixture(scope="module")
def family() -> PlanFile:
    return optimiser.plan("family", reasons=False)


def test_one_eater_is_told_in_forty_lines(demo: PlanFile) -> None:
    printed = text(demo)
    assert printed.count("\n") <= 40
    for line in demo.lunches:
        assert line.dish in printed
        assert line.reasons[0].text.split()[0] in printed
        protein = line.nutrients["PROCNT"]
        assert f"protein {protein.amount:.1f}".rstrip("0").rstrip(".") in printed
    assert printed.count("because ") == len(demo.lunches)
    assert "freeze pea soup: 1 portion for Sun" in printed
    assert "evening, freezer to fridge: 1 portion pea soup" in printed
    assert printed.count("What you doubt, do not eat.") == 1


def test_the_short_and_the_full_text_say_the_same(demo: PlanFile) -> None:
    short, full = (" ".join(text(demo, full=full).split()) for full in (False, True))
    for line in demo.priorities[:-1]:
        assert PRIORITIES[line.name].amount(line.value, "EUR").split()[0] in short
    for reason in (line.reasons[0].text for line in demo.lunches):
        assert reason in short
        assert reason in full
    assert len(full) > 2 * len(short)


@pytest.mark.parametrize("width", [40, 47, 60, 80, 100, 120])
def test_no_line_is_wider_and_no_word_is_cut(width: int, demo: PlanFile, family: PlanFile) -> None:
    for plan in (demo, family):
        for full in (False, True):
            printed = text(plan, width=width, full=full)
            assert max(map(len, printed.splitlines())) <= width
            words = set(re.findall(r"[a-z-]{3,}", text(plan, width=120, full=full)))
            cut = set(re.findall(r"[a-z-]{3,}", printed)) - words
            # A word with a hyphen may go over two lines at it.
            assert all(any(piece in word for word in words if "-" in word) for piece in cut), cut


def test_a_long_week_of_one_eater_fits_into_forty_lines_too(demo: PlanFile) -> None:
    """Then reasons are cut to what is lost, or to the first of the rules, which is told as such."""
    rule = RuleLine(key="a", sentence="the pie is made on Wed 2 Dec: packed from Thu 3 Dec on")
    said = "wanted this week, whatever the day: without it there is no plan: x"
    reason = Reason(kind="conflict", text=said, rules=[rule, rule])
    lunches = [line.model_copy(update={"reasons": [reason]}) for line in demo.lunches]
    moves = [demo.moves[-1].model_copy(update={"date": day}) for day in demo.days]
    long = demo.model_copy(update={"lunches": lunches, "moves": moves})
    printed = text(long)
    assert len(printed.splitlines()) <= 40
    assert printed.count("because the pie is made on Wed 2 Dec: packed from Thu 3 Dec on; …") == 6


def test_several_eaters_see_the_grid_first(family: PlanFile) -> None:
    lines = text(family).splitlines()
    assert lines[3].split() == ["Noor", "Eskil", "Tove", "Pip"]
    assert text(family).index("Fri     -") < text(family).index("Tue 1 Dec    freeze")
    # Too narrow for four columns: the days of each eater.
    assert re.search(r"^Noor +Wed Sauerkraut pork", text(family, width=60), re.MULTILINE)


def test_what_goes_beyond_the_guidance_is_never_left_to_the_full_text() -> None:
    week = edited("fridge_life: 3 to 4", "fridge_life: 3 to 5\n    own_risk: yes")
    printed = " ".join(text(optimiser.plan(optimiser.read_week(week))).split())
    assert "At your own risk: beans is planned for up to 5 days." in printed


def test_what_falls_short_is_red(demo: PlanFile) -> None:
    first = demo.lunches[0]
    short = first.nutrients["PROCNT"].model_copy(update={"floor": 60.0})
    line = first.model_copy(update={"nutrients": {**first.nutrients, "PROCNT": short}})
    plan = demo.model_copy(update={"lunches": [line, *demo.lunches[1:]]})
    assert "\x1b[31mprotein 38 g (at least 60)" in text(plan, colour=True)
    assert "\x1b[31m" not in text(demo, colour=True)
    assert "\x1b" not in text(plan)


def test_what_can_poison_stands_in_the_short_plan_too() -> None:
    week = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}
eaters: {Ada: {}}
batches:
  chilli:
    made: 2026-11-29
    yield: 4 portions
    ingredients: [400 g red kidney beans dry, 1 L water]
    steps:
      - {do: boil hard, lasts: 30 min}
      - {do: leave in the slow cooker, lasts: 5 h, hands: no}
  pilaf: {made: 2026-11-29, yield: 4 portions, ingredients: [300 g basmati rice, 600 g water]}
dishes: {Bowl: {kind: a, takes: {chilli: 1 to 2, pilaf: 1 to 2}}}
"""
    answer = optimiser.plan(week, reasons=False)
    printed = " ".join(text(answer).split())
    assert "Chilli (dried kidney beans): boil hard." in printed
    assert "Chilli (beans in a slow cooker): boil hard first." in printed
    assert "Pilaf (rice): keep it cold, reheat only once." in printed
    turned = answer.model_copy(update={"lunches": answer.lunches[::-1]}).sealed()
    assert any("order of their days" in str(fault) for fault in optimiser.audit(turned).faults)
    # It is worked out, never taken from a file.
    changed = answer.model_copy(update={"mind": []}).sealed()
    assert any("must not be missed" in str(fault) for fault in optimiser.audit(changed).faults)
