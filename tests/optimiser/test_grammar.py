"""Every text of ready and random weeks, read for slips that a cook would stumble over.

Plurals, articles, noughts of days and figures finer than anybody weighs: what makes them is one
helper (`models/words/numbers.py`), and here is where a text that goes round it shows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import suppress

import pytest

import optimiser
from models.file.reading import week_of
from models.week.week import Week
from optimiser.interface.given import NoPlanError
from tests.depth import sized
from tests.optimiser.asking import drawn
from tests.weeks import SMALL, document_of

READY = ("starter", "minimal", "impossible", *sized((), ("demo", "short", "family")))

ONE = re.compile(
    r"(?<![\d.,/:-])(?<!Mon )(?<!Tue )(?<!Wed )(?<!Thu )(?<!Fri )(?<!Sat )(?<!Sun )\b1 ([a-z]+s)\b"
)
"""One of what ends as many do; "Mon 1" is one for Monday."""
NO_PLURAL = frozenset(
    {"is", "was", "has", "as", "its", "this", "less", "plus", "across", "moves", "differs"}
)
SLIPS = (
    (
        re.compile(
            r"(?<![\d.-])\b(?:[02-9]|\d\d+) (?:x )?(?:day|portion|piece|lunch|dish|pack)\b(?!-)"
        ),
        "of many",
    ),
    (re.compile(r"\b[Aa] (?:8\d*|11|18|[aeio][a-z]+)\b(?<!one)"), "a before a vowel"),
    (re.compile(r"\b[Aa]n (?:[1-79]|[bcdfgjklmnpqrstvwxyz])"), "an before a consonant"),
    (re.compile(r"\b(?:keeps|within|at most) 0 days\b"), "no days"),
    (re.compile(r"\b[Tt]hese 1 |\b[Oo]f 1 [a-z]+ to\b"), "one as if many"),
    (re.compile(r"\d\.\d{2,} (?:g|kcal|mL) (?:more|of|would)"), "finer than anybody weighs"),
    (
        re.compile(r"\(\)|,,| ,|\bNone\b(?! does| was)|\bnan\b|(?<!\.)\.\.(?!\.)"),
        "a part is missing",
    ),
)


def flat(text: str) -> str:
    """Undo the lines of a text and the folds of a calendar; columns stay apart."""
    unfolded = text.replace("\r\n ", "")
    return " ".join(re.sub(r"(?<=\S) {2,}", " | ", unfolded).split())


def slips(text: str, week: Week) -> list[str]:
    """Find what reads wrongly, but for words that the cook chose."""
    own = {word for name in (*week.batches, *week.larder, *week.dishes) for word in name.split()}
    read = flat(text)
    wrong = [
        f"one as if many: {read[max(0, m.start() - 30) : m.end() + 20]!r}"
        for m in ONE.finditer(read)
        if m[1] not in NO_PLURAL | own
    ]
    for pattern, what in SLIPS:
        for m in pattern.finditer(read):
            wrong.append(f"{what}: {read[max(0, m.start() - 30) : m.end() + 20]!r}")
    return wrong


def texts(week: Week) -> Iterator[tuple[str, str]]:
    """Give the text of each report on a week, with what was asked."""
    plan = optimiser.plan(week)
    yield "plan", optimiser.render(plan)
    yield "check", optimiser.render(optimiser.check(week))
    name, batch = next(iter(week.batches.items()), ("", None))
    asked: dict[str, Callable[[], object]] = {
        "why": lambda: optimiser.why(week, all=True),
        "mend": lambda: optimiser.mend(week, count=2),
    }
    if batch is not None:
        top = min(batch.portions + 1, 3)
        asked["what-if"] = lambda: optimiser.what_if(week, yields=f"{name}=1..{top}")
        asked["size"] = lambda: optimiser.size(week)
    for ask, answer in asked.items():
        with suppress(optimiser.InputError):
            yield ask, optimiser.render(answer())
    if not plan.lunches:
        return
    lunch = plan.lunches[0]
    others = [dish for dish in week.dishes if dish != lunch.dish][:2]
    for dish in others:
        answered = optimiser.why(week, lunch.date, eater=lunch.eater, not_=dish)
        yield f"why not {dish}", optimiser.render(answered)
    yield "why a day", optimiser.render(optimiser.why(week, lunch.date, eater=lunch.eater))
    for priority in [x for x in week.priorities if x != "file_order"][:2]:
        yield f"better {priority}", optimiser.render(optimiser.why(week, better=priority))
    yield "others", optimiser.render(optimiser.others(week, 2))
    yield "audit", optimiser.render(optimiser.audit(plan))
    with suppress(optimiser.InputError):
        off = plan.lunches[-1]
        changed = optimiser.change(plan, lunch.date, no_lunch=f"{off.eater}@{off.date}")
        yield "change", optimiser.render(changed)
    sheets = ("shop", "prep", "labels", "pack", "freezer", "share", "calendar")
    for sheet in sheets:
        with suppress(NoPlanError, optimiser.InputError):
            yield sheet, optimiser.render(getattr(optimiser, sheet)(plan))


@pytest.mark.parametrize("name", READY)
def test_ready_weeks_read_well(name: str) -> None:
    week = optimiser.read_week(name)
    for what, text in texts(week):
        assert slips(text, week) == [], (name, what)


def test_random_weeks_read_well() -> None:
    for at, data in enumerate(drawn(SMALL, sized(1, 20), 91)):
        week = week_of(document_of(data))
        for what, text in texts(week):
            assert slips(text, week) == [], (at, what)


@pytest.mark.parametrize(
    "wrong",
    [
        "1 days left",
        "2 portion of stew",
        "a 8 pieces pack",
        "a egg",
        "an 70 g pack",
        "keeps 0 days",
        "These 1 rules",
    ],
)
def test_a_slip_is_found(wrong: str) -> None:
    assert slips(f"There: {wrong}.", optimiser.read_week("minimal")) != []
