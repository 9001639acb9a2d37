"""A plan says all that is shown of it: no report needs the week file again."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import pytest

from models.answers.plan import PlanFile
from models.file import yamltext
from models.file.planfile import embedded_week
from models.file.reading import week_of
from optimiser.auditing import audit, packed_of
from optimiser.planning import plan_week
from optimiser.report.phrases import weighed
from optimiser.report.plan import text
from optimiser.sheets.calendar import diary
from optimiser.sheets.labels import labels
from optimiser.sheets.pack import cards
from tests.cli.week import WEEK, edited


def planned(week: str) -> PlanFile:
    return plan_week(week_of(yamltext.parse("week.yaml", week)), reasons=False)


@pytest.fixture(scope="module")
def plan() -> PlanFile:
    return planned(edited("  name: Audited week\n", "  name: Audited week\n  note: As it is.\n"))


def test_the_text_needs_no_week_file(plan: PlanFile) -> None:
    assert text(plan.model_copy(update={"week": {}})) == text(plan)
    assert "As it is." in text(plan)


@pytest.mark.parametrize("made", ['" 2026-11-29"', "'2026-11-29 '"])
def test_a_date_with_a_space_is_the_date(made: str, plan: PlanFile) -> None:
    spaced = WEEK.replace("made: 2026-11-29", f"made: {made}")
    assert text(planned(spaced)).splitlines()[2:] == text(plan).splitlines()[3:]


@pytest.mark.parametrize("amount", ["6 pc", "6 pieces", "6 piece"])
def test_a_portion_has_one_word_everywhere(amount: str) -> None:
    week = edited("yield: 6 pieces", f"yield: {amount}")
    plan = planned(week)
    read = week_of(yamltext.parse("week.yaml", week))
    assert {info.batch: info.word for info in plan.batches} == {
        "farls": "piece",
        "beans": "portion",
    }
    words = {label.batch: label.word for label in labels(read, packed_of(plan, read)).labels}
    assert words == {"farls": "piece", "beans": "portion"}
    assert "farls (6 pieces)" in text(plan, full=True).replace("\n", " ")


@pytest.mark.parametrize("day", ["thu", "Thursday", '" THU "', "2026-12-03", '" 2026-12-03"'])
def test_a_day_off_is_shown_however_it_is_written(day: str) -> None:
    off = f"no_lunch:\n  - {{day: {day}, why: a day off}}\n"
    week = WEEK.replace(
        "elsewhere:\n  - {day: thu, fridge: no, microwave: yes, cold_packs: 1}\n", off
    )
    plan = planned(week)
    assert [(off.date, off.eater, off.why) for off in plan.no_lunch] == [
        (date(2026, 12, 3), None, "a day off")
    ]
    assert "Thu 3 Dec    no lunch (a day off)" in text(plan)


def test_what_is_frozen_is_thawed_for_the_same_day(plan: PlanFile) -> None:
    assert plan.moves, "the week is made so that something is frozen"
    portions = Counter[tuple[str, str, date]]()
    for move in plan.moves:
        portions[move.move, move.batch, move.for_day] += move.portions
    for line in plan.lunches:
        for part in line.batches:
            for kind in ("freeze", "thaw"):
                portions[kind, part.batch, line.date] -= part.from_freezer
    assert set(portions.values()) <= {0}
    made = {info.batch: info.made for info in plan.batches}
    for move in plan.moves:
        day = made[move.batch] if move.move == "freeze" else move.for_day - timedelta(days=1)
        assert move.date == day


def test_every_sheet_has_the_moves_of_the_plan(plan: PlanFile) -> None:
    week = embedded_week(plan)
    packed = packed_of(plan, week)
    thaw = {(m.date, m.batch, m.portions) for m in plan.moves if m.move == "thaw"}
    assert {
        (tub.move, tub.batch, tub.portions)
        for tub in labels(week, packed).labels
        if tub.move is not None
    } == thaw
    entries = {x.begins.date(): x.title for x in diary(week, packed).entries if x.kind == "move"}
    assert set(entries) == {day for day, _, _ in thaw}
    before = " ".join(line for card in cards(week, packed).cards for line in card.before)
    for day, batch, portions in thaw:
        assert f"{portions} pieces of {batch}" in entries[day]
        assert f"{day:%a} {day.day} {day:%b}, evening: {portions} pieces of {batch}" in before


def test_an_audit_sees_every_fact_that_is_changed(plan: PlanFile) -> None:
    assert audit(plan) == []
    farls = plan.batches[0].model_copy(update={"word": "portion"})
    later = plan.moves[0].model_copy(update={"date": date(2026, 12, 1)})
    for where, changed in {
        "batches": {"batches": [farls, *plan.batches[1:]]},
        "moves": {"moves": [later, *plan.moves[1:]]},
        "no lunch": {"no_lunch": [{"date": date(2026, 12, 3)}]},
        "note": {"note": "Otherwise."},
    }.items():
        found = audit(PlanFile.model_validate({**plan.model_dump(), **changed}))
        assert [finding.where for finding in found] == [where]
    assert [finding.where for finding in audit(plan.model_copy(update={"moves": []}))] == ["moves"]


def test_proven_is_said_of_what_is_proven_and_nothing_else(plan: PlanFile) -> None:
    def said(proven: int, **how: object) -> str:
        lines = [
            line if at < proven else line.model_copy(update={"proven": False, "bound": bound})
            for at, line in enumerate(plan.priorities)
        ]
        cut_short = {"status": "feasible", "priorities": lines, **how}
        return " ".join(text(plan.model_copy(update=cut_short), full=True).split())

    assert "Proven: no plan does better in a line" in " ".join(text(plan, full=True).split())
    for bound in (None, 0.0):
        nothing = said(0)
        assert "Not proven to be the best: the time limit struck." in nothing
        assert "no plan does better" not in nothing
        assert ("the bound says how much better it may get" in nothing) == (bound is not None)
        some = said(2, interrupted=True)
        assert "Not proven to be the best: you stopped it." in some
        assert "Proven: " not in some
        assert "Where a line says proven, no plan does better in a line" in some


@pytest.mark.parametrize(
    ("floor", "told"), [("90 g", "This rule cannot be kept:"), ("11 g", "rules clash; without any")]
)
def test_a_conflict_is_told_in_words_that_fit_how_many_rules_it_has(floor: str, told: str) -> None:
    answer = planned(edited("{protein: 8 g}", f"{{protein: {floor}}}"))
    assert answer.status == "infeasible"
    assert (len(answer.conflict) == 1) == (told == "This rule cannot be kept:")
    assert told in text(answer)


def test_grams_are_said_as_fine_as_a_kitchen_weighs_them() -> None:
    answer = planned(edited("    portion: 30 g\n", "    portion: 30.37 g\n"))
    part = next(x for line in answer.lunches for x in line.batches if x.batch == "farls")
    assert part.grams != round(part.grams)
    assert f"farls ({part.grams:.0f} g" in text(answer, full=True).replace("\n", " ")
    less = [(0.25, "0.2"), (19.96, "20"), (19.94, "19.9"), (20.4, "20"), (433.3, "433")]
    assert [(amount, weighed(amount)) for amount, _ in less] == less
