"""Why each lunch, and what every other dish there would cost: those that cost the same together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from models.answers.page import PageFile
from models.answers.why import Answer, LunchWhy
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.report.numbers import lunches_on, named, names_of
from optimiser.report.phrases import several_eat

_RANK = {"as good": 0, "worse": 1, "open": 2, "impossible": 3}


def whys(page: PageFile) -> Iterator[dict[str, Any]]:
    """Give for each lunch its reasons and what the other dishes come to there.

    Parameters
    ----------
    page
        What the page shows.

    Yields
    ------
    dict of str to Any
        What the template needs of a lunch, as text ready to print; by date, and of a day in the
        plan's order.

    Examples
    --------
    >>> from optimiser import page
    >>> first = next(whys(page("minimal", sliders=False)))
    >>> first["day"], first["dish"], [group["dishes"] for group in first["others"]]
    ('Mon 30 Nov', 'Rice, beans and cheese', [['Rice, beans and apple']])
    """
    plan = page.plan
    why = {(lunch.date, lunch.eater): lunch for lunch in page.why}
    days = sorted({line.date for line in plan.lunches})
    for line in (line for day in days for line in lunches_on(plan, day)):
        if plan.groups and not line.reasons:
            continue
        yield {
            "date": line.date.isoformat(),
            "day": day_name(line.date),
            "at": names_of(plan).index(named(plan, line.eater)),
            "eater": line.eater if several_eat(plan) else "",
            "dish": line.dish,
            "reasons": [reason.text for reason in line.reasons],
            "others": list(grouped(why.get((line.date, line.eater)))),
        }


def grouped(why: LunchWhy | None) -> Iterator[dict[str, Any]]:
    """Put dishes with the same answer together: as good, then the least loss, then impossible.

    Parameters
    ----------
    why
        What a lunch could have been; None where nobody asked.

    Yields
    ------
    dict of str to Any
        The answer as a sentence, how many dishes have it, and their names.

    Examples
    --------
    >>> list(grouped(None))
    []
    """
    together: dict[str, list[Answer]] = {}
    for answer in () if why is None else why.dishes:
        if answer.verdict != "planned":
            together.setdefault(_said(answer), []).append(answer)
    for text, answers in sorted(together.items(), key=lambda group: _rank(group[1][0])):
        yield {
            "text": text,
            "count": counted(len(answers), "dish"),
            "dishes": [answer.what for answer in answers],
        }


def _rank(answer: Answer) -> tuple[int, float]:
    return _RANK.get(answer.verdict, 9), 0.0 if answer.loss is None else answer.loss.amount


def _said(answer: Answer) -> str:
    if answer.verdict == "impossible":
        return "no week has it there"
    return answer.text or {"as good": "is as good", "open": "not found out in time"}.get(
        answer.verdict, answer.verdict
    )
