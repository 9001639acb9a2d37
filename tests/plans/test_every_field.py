"""Whatever field of a saved plan is changed, the audit notices; what it takes as written is listed.

In the gate each field is changed in one of the plans, each in another way; in a deep run every
field of every plan in every way.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from models.answers.plan import PlanFile
from models.file.planfile import embedded_week, plan_of
from models.file.reading import ready_weeks
from models.week.week import Week
from models.words.errors import InputError
from optimiser.auditing import audit
from tests.depth import sized

from .flips import Flip, field_of, flips, paths
from .saved import SAVED, plan

IMPOSSIBLE = {"impossible"}
"""Ready weeks of which there is no plan."""

TAKEN_AS_WRITTEN = {
    "interrupted": "whether somebody stopped the search leaves no trace in what it found",
    "lunches > reasons": "why a dish is there is found by solving the week without it",
    "left_over > why": "that these rules are a smallest set takes a solve for each of them",
    "wishes": "what a wish costs is found by planning with it",
    "bends": "what a lunch leaves that falls through is found by planning the rest again",
    "nearest > gave_way > kept": "what keeping it would take is found by planning with it",
    "nearest > bought > packed": "what packing one would take is found by planning with it",
    "nearest > bought > rules": "that these rules forbid it takes a solve for each of them",
    "changes": "what went otherwise happened in a kitchen",
    "past": "what the calendar had on days that are past, the plan of then said",
    "week": "the week is what the plan is judged by: of it only the seal can tell",
    "seal": "it is what tells",
}
"""Fields, with all below them, of which only the seal tells that they were edited, and why."""


@cache
def text(name: str) -> str:
    return plan(name).model_dump_json()


@cache
def week(name: str) -> Week:
    return embedded_week(plan(name))


def found(name: str, flip: Flip) -> set[str] | None:
    """Give the rules that are named, "refused" where it was; None where it is the same plan."""
    try:
        changed = plan_of("plan.json", json.dumps(flip.plan))
        if changed == plan(name):
            return None
        judge = week(name) if changed.week == plan(name).week else embedded_week(changed)
        return {finding.rule for finding in audit(changed, judge)}
    except InputError:
        return {"refused"}


def sample(rest: int) -> Iterator[tuple[str, tuple[str | int, ...]]]:
    """Give for each field one plan and one place; every `rest`-th field of the week itself."""
    places: dict[str, list[tuple[str, tuple[str | int, ...]]]] = {}
    for name in ("wished", "two", "changed", "short", "bent", "bought"):
        for path in paths(json.loads(text(name))):
            places.setdefault(field_of(path), []).append((name, path))
    for field, some in places.items():
        number = zlib.crc32(field.encode())
        if not field.startswith("week") or number % rest == 0:
            yield some[number % len(some)]


def every() -> Iterator[tuple[str, tuple[str | int, ...]]]:
    for name in SAVED:
        yield from ((name, path) for path in paths(json.loads(text(name))))


def below(field: str) -> bool:
    """Tell whether a field is, or is inside, one that is taken as written."""
    return any(field == one or field.startswith(f"{one} > ") for one in TAKEN_AS_WRITTEN)


def test_there_is_a_plan_of_every_ready_week() -> None:
    # Of the canteen's thousand lunches three by one entry stand in.
    assert set(ready_weeks()) - IMPOSSIBLE - {"canteen"} <= set(SAVED)


@pytest.mark.parametrize("name", SAVED)
def test_a_plan_as_it_was_saved_is_sound_and_the_same(name: str) -> None:
    again = plan_of("plan.json", text(name))
    assert again == plan(name)
    assert audit(again, week(name)) == []
    assert again.sealed() == again


def test_every_change_of_every_field_is_noticed() -> None:
    only_sealed: dict[str, Flip] = {}
    tried = set()
    for name, path in sample(rest=8) if sized(0, 1) == 0 else every():
        data: dict[str, Any] = json.loads(text(name))
        for flip in flips(data, path):
            rules = found(name, flip)
            if rules is None:
                continue
            tried.add(flip.field)
            assert rules, f"{name}: {flip.path} {flip.what} is not noticed"
            if rules == {"seal"}:
                only_sealed.setdefault(flip.field, flip)
    believed = {field: flip for field, flip in only_sealed.items() if not below(field)}
    assert not believed, {field: (flip.path, flip.what) for field, flip in believed.items()}
    assert len(tried) > 150


def test_every_field_that_a_plan_may_have_is_among_those_that_are_changed() -> None:
    seen = {field_of(path) for name in SAVED for path in paths(json.loads(text(name)))}
    missing = set(PlanFile.model_fields) - seen
    assert not missing


@pytest.mark.parametrize("field", TAKEN_AS_WRITTEN)
def test_what_is_taken_as_written_is_in_some_plan(field: str) -> None:
    seen = {field_of(path) for name in SAVED for path in paths(json.loads(text(name)))}
    assert field in seen
