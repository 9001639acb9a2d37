"""A plan at a glance: what a cook reads standing, in the order in which it is used.

At most forty lines for one eater. What each lunch holds and why stands here; how each figure came
about, the dates and every caution stand in the full report and on the sheets.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.plan import LunchLine, NutrientLine, PlanFile, PriorityLine, Reason
from models.words.days import day_name
from models.words.giving import LEVELS
from models.words.nutrients import PROTEIN, printed
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.report.console import beside, glued
from optimiser.report.numbers import in_all, lunches_on
from optimiser.report.phrases import (
    COST,
    NO_PRICES,
    bends_said,
    bought_said,
    count_of,
    eaters_of,
    ended_by,
    left_over_said,
    no_lunch_said,
    priceless,
    salted,
    sides_said,
    stock_said,
    tenths,
    thawed_said,
    to_do,
)

NARROWEST = 16
"""Columns that a dish needs in the grid of days by eaters."""
SIDE_BY_SIDE = 60
"""Columns from which a dish and its protein stand on one line."""
BEFORE = 15
"""Columns that the day and the gaps take beside them."""
AT_RISK = "At your own risk"
"""How a caution begins that is of this week alone."""
MOST_LINES = 40
"""Lines that a plan of one eater is to fit in."""
_FOR_SHORT = (
    re.compile(r"wanted this week, whatever the day(: |, since )"),
    re.compile(r", the next best on \w+,"),
)
MOST_RULES = 2
"""Rules that one reason names here; the full report names all."""


def glance(plan: PlanFile, width: int, *, tight: bool = False) -> Iterator[RenderableType]:
    """Write what a plan comes to, shortly.

    Parameters
    ----------
    plan
        A plan with lunches.
    width
        Columns, 40 or more.
    tight
        Whether reasons are cut to what is lost, or to the first rule: where a week is long.

    Returns
    -------
    iterator
        What to print, one below the other.

    Examples
    --------
    >>> from optimiser import plan
    >>> from optimiser.report.console import rendered
    >>> print(rendered([*glance(plan("minimal", reasons=False), 80)]).splitlines()[2])
                 2 portions rice and beans, with 40 g hard cheese
    """
    eaters = eaters_of(plan)
    if len(eaters) > 1 and not plan.groups:
        yield ""
        yield _grid(plan, eaters, width)
    yield ""
    yield from _Days(plan, width, several=len(eaters) > 1, tight=tight).shown()
    yield ""
    yield beside("left over", Text(left_over_said(plan) if plan.left_over.grams else "nothing"))
    if plan.left_over.frozen:
        yield beside("in stock", Text(stock_said(plan)))
    if plan.bends is not None:
        yield beside("if one fails", Group(*map(Text, bends_said(plan, plan.bends))))
    yield beside("proof", _proof(plan))
    yield beside("caution", Group(*map(Text, _cautions(plan))))


def _grid(plan: PlanFile, eaters: list[str], width: int) -> RenderableType:
    """Set days against eaters; where they do not fit side by side, eaters go below each other."""
    dishes = {(line.date, line.eater): line.dish for line in plan.lunches}
    for bought in () if plan.nearest is None else plan.nearest.bought:
        dishes[bought.date, bought.eater] = "to buy"
    days = sorted({day for day, _ in dishes})
    if width < 8 + (NARROWEST + 2) * len(eaters):
        rows = (
            beside(eater, Text(", ".join(_named(dishes.get((day, eater)), day) for day in days)))
            for eater in eaters
        )
        return Group(*rows)
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold", expand=True)
    table.add_column("", style="dim", width=6)
    for eater in eaters:
        table.add_column(Text(eater), ratio=1, overflow="fold")
    for day in days:
        cells = (dishes.get((day, eater)) for eater in eaters)
        table.add_row(f"{day:%a}", *(Text("-" if dish is None else dish) for dish in cells))
    return table


def _named(dish: str | None, day: date) -> str:
    return f"{day:%a} {'-' if dish is None else glued(dish)}"


# -- day by day --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Days:
    """The days of a plan, each with what is packed, frozen and thawed on it."""

    plan: PlanFile
    width: int
    several: bool
    tight: bool

    def shown(self) -> Iterator[RenderableType]:
        """Give each day, one below the other."""
        plan = self.plan
        today = max((line.today for line in plan.changes), default=date.min)
        by_day: dict[date, list[RenderableType]] = {day: [] for day in plan.days}
        for day in plan.days:
            for line in lunches_on(plan, day):
                by_day[day] += self._lunch(line)
            by_day[day] += [Text(text, style="bold") for text in in_all(plan, day)]
            by_day[day] += [Text(buy, style="bold") for buy in bought_said(plan, day)]
            by_day[day] += [Text(off, style="dim") for off in no_lunch_said(plan, day)]
            by_day[day] = by_day[day] or [Text("no lunch", style="dim")]
        for day, task in to_do(plan):
            if day >= today:
                by_day.setdefault(day, []).append(Text(task, style="cyan"))
        for day in sorted(by_day):
            yield beside(day_name(day), Group(*by_day[day]), style="bold")

    def _lunch(self, line: LunchLine) -> Iterator[RenderableType]:
        name = Text(f"{line.eater}: {line.dish}" if self.several else line.dish, style="bold")
        protein = _protein(line, self.plan.guidance)
        if self.width < max(SIDE_BY_SIDE, name.cell_len + protein.cell_len + BEFORE):
            yield from (name, protein)
        else:
            head = Table.grid(padding=(0, 2, 0, 0), expand=True)
            head.add_column(ratio=1, overflow="fold")
            head.add_column(justify="right")
            head.add_row(name, protein)
            yield head
        parts = [
            f"{count_of(self.plan, part.portions, part.batch)} {part.batch}{thawed_said(part)}"
            for part in line.batches
        ]
        sides = sides_said(line)
        if sides:
            parts += [("with " if parts else "") + sides[0], *sides[1:]]
        yield listed(parts)
        because = (_because(reason, tight=self.tight) for reason in line.reasons[:1])
        yield from (Text(f"because {text}", style="italic") for text in because)


def listed(parts: Sequence[str]) -> Text:
    """Join by commas; a short part is not broken over two lines.

    Parameters
    ----------
    parts
        Names or amounts, in their order.

    Returns
    -------
    Text
        One run of text, for `rendered`.

    Examples
    --------
    >>> from optimiser.report.console import rendered
    >>> print(rendered([listed(["2 apples", "40 g hard cheese"])], width=20), end="")
    2 apples,
    40 g hard cheese
    """
    return Text(", ".join(map(glued, parts)))


def _protein(line: LunchLine, guidance: str) -> Text:
    """Say how much protein a lunch has, and any other amount that misses what is asked."""
    texts = []
    for tag, nutrient in line.nutrients.items():
        missed = _missed(nutrient)
        if tag == PROTEIN or missed:
            shown = salted(tag, nutrient, guidance)
            bounds = [("at least", shown.floor), ("at most", shown.ceiling)]
            asked = ", ".join(f"{way} {tenths(x)}" for way, x in bounds if x is not None)
            least = "" if shown.complete else "at least "
            amount = f"{printed(tag, guidance)[0]} {least}{tenths(shown.amount)} {shown.unit}"
            texts.append(
                Text(amount + (f" ({asked})" if asked else ""), style="red" if missed else "")
            )
    return Text("; ").join(texts)


def _missed(line: NutrientLine) -> bool:
    low = line.floor is not None and line.amount < line.floor
    return low or (line.ceiling is not None and line.amount > line.ceiling)


def _because(reason: Reason, *, tight: bool) -> str:
    text = reason.text
    if reason.kind == "conflict" and reason.rules:
        most = 1 if tight else MOST_RULES
        more = len(reason.rules) - most
        named = "; ".join(rule.sentence for rule in reason.rules[:most])
        others = ("; …" if tight else f"; and {more} more") if more > 0 else ""
        text = f"{text.partition(':')[0]}, since {named}{others}"
    for words in _FOR_SHORT if tight else ():
        text = words.sub("", text)
    return text


# -- the week as a whole -----------------------------------------------------------


def _proof(plan: PlanFile) -> Text:
    """Say what is proven and what is open, with the value of each priority."""
    lines = [] if plan.nearest is None else [*plan.nearest.levels]
    # Of what has no price nothing is proven.
    unknown = COST if priceless(plan) else None
    lines += [line for line in plan.priorities if line.name not in (TIE_BREAK, unknown)]
    proof = Text()
    for proven, some in groupby(lines, key=lambda line: line.proven):
        proof.append("; " * bool(proof))
        best = "proven best, in this order: " if plan.status == "optimal" else "proven: "
        proof.append(best if proven else "open: ")
        proof.append(listed([_valued(plan, line) for line in some]))
    if any(line.name == unknown for line in plan.priorities):
        proof.append(f"; {NO_PRICES}")
    if plan.status == "feasible":
        proof.append(f". Not proven to be the best: {ended_by(plan)}.")
    return proof


def _valued(plan: PlanFile, line: PriorityLine) -> str:
    if line.name in LEVELS:
        return f"{LEVELS[line.name].title} {LEVELS[line.name].amount(line.value)}"
    priority = PRIORITIES[line.name]
    number, _, unit = priority.amount(line.value, plan.currency).partition(" ")
    least = "at least " if line.name == COST and plan.unpriced else ""
    return f"{priority.title} {least}{number}{'' if unit in priority.title else ' ' + unit}"


def _cautions(plan: PlanFile) -> Iterator[str]:
    """Give what can poison, what goes beyond the guidance, the first caution and where all are."""
    general, *others = plan.cautions
    risks = [caution for caution in others if caution.startswith(AT_RISK)]
    for mind in plan.mind:
        foods, colon, told = mind.partition(": ")
        about, of, advice = told.partition(": ")
        if of:
            # "Cooked rice: keep it cold", and "bowl (rice): keep it cold" where no name says so.
            foods, told = foods if about in foods else f"{foods} ({about})", advice
        yield f"{foods[:1].upper()}{foods[1:]}{colon}{told}."
    yield from risks
    more = len(others) - len(risks)
    read = f" {more} more: --full." if more else ""
    yield general.partition(" (")[0] + read
