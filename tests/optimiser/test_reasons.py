"""Every reason a plan gives, asked again from scratch.

A wrong reason is worse than none: a cook acts on it. So each claim of each lunch is put to
programs that are built for this one question, and to plain sums. Nothing here calls
`optimiser.reasons`; the plan file is all it knows of an answer.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from models.packed import PackedLunch, PackedPortions, PackedWeek
from models.planfile import PlanFile, Reason
from models.reading import read_document, week_of
from models.week import Week
from models.yamltext import Document
from optimiser.audit import packed_of
from optimiser.planning import plan_document
from optimiser.rules import rules_of
from tests.optimiser.asking import Question, drawn, named, steps
from tests.weeks import SMALL, TINY, document_of

READY = ("demo", "short", "starter")
PLANNED = 40
"""At least so many random weeks must have a plan, or little is judged."""

OF_THE_WHOLE_WEEK = frozenset({"stock", "freezer", "opened life"})
"""Families that a single amount cannot be held against: other lunches pay for it."""


@dataclass(frozen=True)
class Planned:
    """A week with its plan."""

    name: str
    week: Week
    plan: PlanFile
    packed: PackedWeek


@dataclass(frozen=True)
class Claim:
    """What a plan says of one lunch."""

    of: Planned
    lunch: PackedLunch
    reason: Reason

    @property
    def week(self) -> Week:
        return self.of.week

    @property
    def packed(self) -> PackedWeek:
        return self.of.packed

    @property
    def without_it_all_week(self) -> bool:
        """Tell whether the claim is about the dish in the week, not on this day."""
        return self.reason.text.startswith("another day would do too")

    @property
    def rules(self) -> list[str]:
        return [rule.key for rule in self.reason.rules]

    def __str__(self) -> str:
        lunch = self.lunch
        return f"{self.of.name}, {lunch.eater} on {lunch.day}, {lunch.dish}: {self.reason.text}"

    def with_another_dish(self, question: Question) -> Question:
        """Ask for the week that the claim speaks of."""
        day = None if self.without_it_all_week else self.lunch.day
        return question.forbid(self.lunch.eater, day, self.lunch.dish)

    def on_its_day(self, question: Question) -> Question:
        """Ask for another dish on the day alone."""
        return question.forbid(self.lunch.eater, self.lunch.day, self.lunch.dish)


def planned(name: str, document: Document) -> Planned | None:
    """Plan a document's week; nothing where there is no plan."""
    plan = plan_document(document)
    if plan.status == "infeasible":
        return None
    assert plan.status == "optimal"
    week = week_of(document)
    return Planned(name, week, plan, packed_of(plan, week))


@cache
def all_planned() -> tuple[Planned, ...]:
    """Plan the ready weeks and the random ones."""
    files = [(name, read_document(name)) for name in READY]
    random = [*drawn(SMALL, 8, shift=1), *drawn(TINY, 6, shift=1)]
    files += [(f"random week {at}", document_of(data)) for at, data in enumerate(random)]
    found = (planned(name, document) for name, document in files)
    return tuple(one for one in found if one is not None)


def claims(kind: str, least: int) -> Sequence[Claim]:
    """Give all claims of a kind; fail when there are too few to mean anything."""
    found = [claim for claim in all_claims() if claim.reason.kind == kind]
    assert len(found) >= least
    return found


def all_claims() -> list[Claim]:
    return [
        Claim(one, lunch, reason)
        for one in all_planned()
        for line, lunch in zip(one.plan.lunches, one.packed.lunches, strict=True)
        for reason in line.reasons
    ]


def test_enough_weeks_are_judged() -> None:
    assert len(all_planned()) >= len(READY) + PLANNED


def test_small_weeks_are_explained_in_full() -> None:
    unexplained = [
        (one.name, line.date, line.eater)
        for one in all_planned()
        for line in one.plan.lunches
        if len(line.reasons) != 1
    ]
    assert unexplained == []


def test_each_rule_named_is_a_rule_of_the_week_in_its_own_words() -> None:
    for claim in all_claims():
        sentences = {rule.key: (rule.sentence(), rule.source) for rule in rules_of(claim.week)}
        for rule in claim.reason.rules:
            if claim.reason.kind == "priority":
                assert rule.key == f"priority:{claim.reason.priority}", claim
            else:
                assert (rule.sentence, rule.source) == sentences[rule.key], claim


# -- amount -----------------------------------------------------------------------


def changed_by(claim: Claim) -> PackedWeek:
    """Change the one amount that a claim speaks of."""
    found = re.fullmatch(r"(\d+) (?:portion|piece)s? of (.+)", claim.reason.alternative or "")
    assert found is not None, claim
    count, batch = int(found[1]), found[2]
    (part,) = (part for part in claim.lunch.portions if part.batch == batch)
    (take,) = (x for x in claim.week.dishes[claim.lunch.dish].takes if x.batch == batch)
    assert abs(count - part.portions) == 1, claim
    assert take.least <= count <= take.most, claim
    other = PackedPortions(batch, count, min(part.thawed, count))
    parts = tuple(other if one is part else one for one in claim.lunch.portions)
    lunches = (
        replace(one, portions=parts) if one is claim.lunch else one for one in claim.packed.lunches
    )
    return replace(claim.packed, lunches=tuple(lunches))


def broken(week: Week, packed: PackedWeek) -> dict[str, list[str]]:
    """Find which rules a packed week breaks, and what is wrong."""
    found: dict[str, list[str]] = {}
    for rule in rules_of(week):
        faults = [fault.what for fault in rule.faults(week, packed)]
        if faults:
            found[rule.key] = faults
    return found


def test_one_portion_more_or_less_breaks_the_rule_named() -> None:
    for claim in claims("amount", least=8):
        assert broken(claim.week, claim.packed) == {}, claim
        faults = broken(claim.week, changed_by(claim))
        keys = [key for key in faults if key.split(":")[0] not in OF_THE_WHOLE_WEEK]
        # A reason names two rules at the most.
        assert claim.rules == keys[:2], claim
        for key in claim.rules:
            assert any(what in claim.reason.text for what in faults[key]), claim


# -- rule -------------------------------------------------------------------------


def test_but_for_the_rule_named_another_dish_would_be_as_good() -> None:
    for claim in claims("rule", least=5):
        names = named(claim.week)
        (rule,) = claim.rules
        with_it = claim.with_another_dish(Question(claim.week)).as_good_as(claim.packed, names)
        assert not with_it.possible(), claim
        without = claim.with_another_dish(Question(claim.week, without=[rule]))
        assert without.as_good_as(claim.packed, names).possible(), claim
        other = claim.reason.alternative
        assert other is not None
        assert other != claim.lunch.dish
        forced = Question(claim.week, without=[rule]).as_good_as(claim.packed, names)
        assert forced.force(claim.lunch.eater, claim.lunch.day, other).possible(), claim


# -- priority ---------------------------------------------------------------------


def loss_said(claim: Claim) -> Decimal | None:
    """Read how much a claim says is lost at the least; none where it does not say."""
    said = claim.reason.text.replace("\N{NO-BREAK SPACE}", " ")
    found = re.search(r"at least (?:[^\d\s]+ )?(\d+(?:\.\d+)?)", said)
    return None if found is None else Decimal(found[1])


def test_another_dish_loses_in_the_priority_named_and_in_none_before() -> None:
    for claim in claims("priority", least=40):
        name = claim.reason.priority
        assert name is not None
        before = named(claim.week)[: named(claim.week).index(name)]
        question = claim.with_another_dish(Question(claim.week))
        least = question.as_good_as(claim.packed, before).least(name)
        assert least is not None, f"a priority before is lost: {claim}"
        level = question.level(name)
        lost = Decimal(least - steps(level, claim.week, claim.packed)) / level.per_unit
        assert lost > 0, claim
        said = loss_said(claim)
        if said is not None:
            assert 0 < said <= lost, f"{lost} is lost: {claim}"


def test_a_day_that_is_called_free_is_free() -> None:
    free = [claim for claim in all_claims() if claim.without_it_all_week]
    assert len(free) >= 10
    for claim in free:
        question = claim.on_its_day(Question(claim.week))
        assert question.as_good_as(claim.packed, named(claim.week)).possible(), claim


def test_the_dish_a_loss_is_held_against_can_be_had() -> None:
    for claim in claims("priority", least=40):
        other = claim.reason.alternative
        if other is not None:
            question = claim.with_another_dish(Question(claim.week))
            assert question.force(claim.lunch.eater, claim.lunch.day, other).possible(), claim


# -- conflict ---------------------------------------------------------------------


def test_the_rules_of_a_conflict_leave_nothing_else_and_each_is_needed() -> None:
    for claim in claims("conflict", least=40):
        alone = claim.with_another_dish(Question(claim.week, only=claim.rules))
        assert not alone.possible(), claim
        for rule in claim.rules:
            others = [key for key in claim.rules if key != rule]
            question = claim.with_another_dish(Question(claim.week, only=others))
            assert question.possible(), f"{rule} is not needed: {claim}"


# -- order ------------------------------------------------------------------------


def test_where_the_order_decided_another_dish_would_do_as_well() -> None:
    for claim in claims("order", least=5):
        names = named(claim.week)
        other = claim.reason.alternative
        assert other is not None
        assert other != claim.lunch.dish
        question = Question(claim.week).force(claim.lunch.eater, claim.lunch.day, other)
        assert question.as_good_as(claim.packed, names).possible(), claim


def test_all_kinds_of_reason_are_met() -> None:
    counted = Counter(claim.reason.kind for claim in all_claims())
    assert set(counted) == {"amount", "rule", "priority", "conflict", "order"}
