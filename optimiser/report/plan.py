"""A plan as a cook reads it, on paper 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rich.console import Group, RenderableType
from rich.rule import Rule as Line
from rich.table import Table
from rich.text import Text

from models.answers.plan import (
    BatchInfo,
    ChangeLine,
    LunchLine,
    PlanFile,
    PriorityLine,
    Reason,
    RuleLine,
)
from models.words.days import day_name
from models.words.giving import LEVELS
from models.words.nutrients import PROTEIN, printed
from models.words.priorities import TIE_BREAK
from optimiser.priorities import MONEY, PRIORITIES
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, glued, rendered, words
from optimiser.report.glance import MOST_LINES, glance
from optimiser.report.nearest import gives_way, how_near
from optimiser.report.numbers import in_all, lunches_on
from optimiser.report.phrases import (
    COST,
    NO_PRICES,
    amounts_said,
    bends_said,
    bought_said,
    count_of,
    ended_by,
    held,
    left_over_said,
    money,
    no_lunch_said,
    priceless,
    salted,
    several_eat,
    sides_said,
    sourced,
    stock_said,
    tenths,
    to_carry,
    to_do,
    totals_said,
)


def text(plan: PlanFile, *, colour: bool = False, width: int = 80, full: bool = False) -> str:
    """Write a plan as text.

    Parameters
    ----------
    plan
        The plan.
    colour
        Whether to mark parts for a terminal.
    width
        Columns.
    full
        With the dates, the allergens, the proof line by line and every caution.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: dishes and reasons by day, then what the week
        comes to; with less in it unless `full`.

    Examples
    --------
    >>> from optimiser import plan
    >>> print(text(plan("minimal", reasons=False)).splitlines()[0])
    Minimal week  Mon 30 Nov to Wed 2 Dec 2026
    """
    parts: list[RenderableType] = [_title(plan)]
    parts += list(_changes(plan))
    parts += list(_wishes(plan))
    parts += list(gives_way(plan, full=full) if plan.is_planned else ())
    if plan.is_planned and not full:
        short = rendered([*parts, *glance(plan, width)], colour=colour, width=width)
        if short.count("\n") <= MOST_LINES or several_eat(plan):
            return short
        tight = glance(plan, width, tight=True)
        return rendered([*parts, *tight], colour=colour, width=width)
    if plan.is_planned:
        parts += list(_to_do(plan))
        parts += [*_days(plan), Line(style="dim"), *_ends(plan)]
    else:
        parts += list(_no_plan(plan))
    parts += ["", Text("Cautions", style="bold")]
    parts += [beside("-", Text(caution), width=1) for caution in plan.cautions]
    return rendered(parts, colour=colour, width=width)


def _title(plan: PlanFile) -> RenderableType:
    first, last = plan.days[0], plan.days[-1]
    name = plan.name or UNNAMED
    title = words((name, "bold"), f"  {day_name(first)} to {day_name(last)} {last.year}")
    return Group(title, Text(plan.note, style="dim")) if plan.note else title


def _changes(plan: PlanFile) -> Iterator[RenderableType]:
    if plan.changes:
        yield ""
    for at, line in enumerate(changes_said(plan)):
        yield beside("changed" if at == 0 else "", Text(line))


def changes_said(plan: PlanFile) -> Iterator[str]:
    """Say what went otherwise in a week that runs.

    Parameters
    ----------
    plan
        The plan.

    Yields
    ------
    str
        A line for each time that it was planned again, in order.

    Examples
    --------
    >>> from optimiser import change, plan
    >>> from optimiser.report.console import unglued
    >>> made = change(plan("minimal", reasons=False), "tue", no_lunch="wed").plan
    >>> [" ".join(unglued(line).split()) for line in changes_said(made)]
    ['Tue 1 Dec: no lunch on Wed']
    """
    for line in plan.changes:
        changes = ", ".join(_changed(plan, line)) or "planned again"
        yield f"{glued(day_name(line.today))}: {changes}"


def _changed(plan: PlanFile, line: ChangeLine) -> Iterator[str]:
    for off in line.no_lunch:
        whom = f" for {off.eater}" if off.eater is not None else ""
        yield f"no lunch on {off.date:%a}{whom}"
    for what, lines in (("eaten", line.ate), ("dropped", line.dropped)):
        for gone in lines:
            yield f"{count_of(plan, gone.portions, gone.batch)} {gone.batch} {what}"
    for tub in line.froze:
        many = count_of(plan, tub.portions, tub.batch) if tub.portions else "nothing of"
        yield f"{many} {tub.batch} frozen on {tub.date:%a}"
    for joining in line.joined:
        yield f"{joining.eater} joins on {joining.date:%a}"


def _wishes(plan: PlanFile) -> Iterator[RenderableType]:
    if plan.wishes:
        yield ""
    for wish in plan.wishes:
        outcome = Text(f"{wish.wish}: {wish.text}")
        body = Group(outcome, Text("Since:"), _rules(wish.rules)) if wish.rules else outcome
        yield beside("as wished" if wish.granted else "not granted", body)


def _to_do(plan: PlanFile) -> Iterator[RenderableType]:
    by_day: dict[date, list[str]] = {}
    # Of a week that runs, what had to be done before today is done.
    today = max((line.today for line in plan.changes), default=date.min)
    for day, task in to_do(plan):
        if day >= today:
            by_day.setdefault(day, []).append(task)
    if by_day:
        yield ""
    for day, lines in by_day.items():
        yield beside(day_name(day), Group(*(Text(task) for task in lines)))


# -- lunches -----------------------------------------------------------------------


def _days(plan: PlanFile) -> Iterator[RenderableType]:
    several = several_eat(plan)
    for day in plan.days:
        lunches = lunches_on(plan, day)
        bodies = [_lunch(plan, line, several=several) for line in lunches]
        bodies += [Text(text, style="bold") for text in in_all(plan, day)]
        bodies += [Text(buy, style="bold") for buy in bought_said(plan, day)]
        bodies += [Text(off, style="dim") for off in no_lunch_said(plan, day)]
        if not lunches and not bodies:
            bodies = [Text("no lunch", style="dim")]
        for at, body in enumerate(bodies):
            yield ""
            yield beside(day_name(day) if at == 0 else "", body, style="bold")


def _lunch(plan: PlanFile, line: LunchLine, *, several: bool) -> RenderableType:
    head = Table.grid(expand=True)
    head.add_column(ratio=1, overflow="fold")
    head.add_column(justify="right")
    name = f"{line.eater}: {line.dish}" if several else line.dish
    head.add_row(
        Text(name, style="bold"),
        f"  {line.minutes} min{_cost(plan, line)}",
    )
    rows: list[RenderableType] = [Columns(head)]
    if line.batches:
        rows.append(_listed([amounts_said(plan, part) for part in line.batches]))
    sides = sides_said(line)
    if sides:
        rows.append(_listed([("with " if line.batches else "") + sides[0], *sides[1:]]))
    if line.microwave:
        rows.append(Text("heat until steaming hot right through"))
    if not line.fridge:
        cold = f"carry with {line.cold_packs} cold packs" if line.cold_packs else "nothing chilled"
        rows.append(Text(f"no fridge there: {cold}"))
    rows.append(Text(_nutrients(line, plan.guidance), style="dim"))
    rows.append(Text(held(line, plan.guidance), style="dim"))
    rows += [_because(reason) for reason in line.reasons]
    return Group(*rows)


def _cost(plan: PlanFile, line: LunchLine) -> str:
    least = "" if line.cost_complete else "at least "
    return "" if priceless(plan) else f"  {least}{money(plan.currency, line.cost)}"


def _listed(parts: list[str]) -> Text:
    """Join by commas; a part is not broken over two lines."""
    return Text(", ".join(glued(part) for part in parts))


def _because(reason: Reason) -> RenderableType:
    if reason.kind != "conflict" or not reason.rules:
        return beside("because", Text(reason.text, style="italic"), width=8)
    since = Text(reason.text.partition(":")[0] + ", since:", style="italic")
    return beside("because", Group(since, _rules(reason.rules)), width=8)


def _nutrients(line: LunchLine, guidance: str) -> str:
    shown = [tag for tag, nutrient in line.nutrients.items() if nutrient.floor or nutrient.ceiling]
    if PROTEIN not in shown and PROTEIN in line.nutrients:
        shown.insert(0, PROTEIN)
    shown.sort(key=lambda tag: tag != PROTEIN)
    amounts = []
    for tag in shown:
        nutrient = salted(tag, line.nutrients[tag], guidance)
        name = printed(tag, guidance)[0]
        short = "{:g}".format if name == "salt" else tenths
        least = "" if nutrient.complete else "at least "
        bounds = []
        if nutrient.floor is not None:
            bounds.append(f"at least {short(nutrient.floor)}")
        if nutrient.ceiling is not None:
            bounds.append(f"at most {short(nutrient.ceiling)}")
        inside = f" ({', '.join(bounds)})" if bounds else ""
        whole = nutrient.unit in ("kcal", "mg")
        amount = f"{nutrient.amount:.0f}" if whole else short(nutrient.amount)
        amounts.append(f"{name} {least}{amount} {nutrient.unit}{inside}")
    return ", ".join(amounts)


# -- the week as a whole -----------------------------------------------------------


def _ends(plan: PlanFile) -> Iterator[RenderableType]:
    yield beside("left over", _left_over(plan))
    if plan.left_over.frozen:
        yield beside("in stock", Text(stock_said(plan)))
    if plan.bends is not None:
        yield beside("if one fails", Group(*map(Text, bends_said(plan, plan.bends))))
    opened = _opened(plan)
    if opened:
        yield beside("open", Text(opened))
    if plan.batches:
        yield beside("keep", Group(*(Text(_kept(batch, plan.guidance)) for batch in plan.batches)))
    yield beside("week", Text(totals_said(plan)))
    yield ""
    yield _priorities(plan)


def _kept(batch: BatchInfo, guidance: str) -> str:
    if batch.earlier:
        until = batch.frozen_best_by
        best = "" if until is None else f", best by {glued(f'{day_name(until)} {until.year}')}"
        since = glued(day_name(batch.made))
        return f"{batch.batch}: in the freezer since {since}{best}; {held(batch, guidance)}"
    best = "" if batch.best_by == batch.use_by else f"best by {glued(day_name(batch.best_by))}, "
    risk = " at your own risk" if batch.own_risk else ""
    dates = f"in the fridge {best}use by {glued(day_name(batch.use_by))}{risk}"
    return f"{batch.batch}: {dates}; {held(batch, guidance)}"


def _left_over(plan: PlanFile) -> RenderableType:
    left = plan.left_over
    if left.grams == 0:
        eaten = [info.batch for info in plan.batches if not info.earlier]
        used = ", ".join(f"{name} ({_whole(plan, name)})" for name in eaten)
        return Text(f"nothing. All eaten: {used}" if used else "nothing")
    lines: list[RenderableType] = [Text(left_over_said(plan))]
    if left.why:
        alone = len(left.why) == 1
        cannot = "this cannot hold with less" if alone else "these cannot hold together with less"
        lines.append(Text(f"not less, because {cannot}:"))
        lines.append(_rules(left.why))
    return Group(*lines)


def _whole(plan: PlanFile, name: str) -> str:
    eaten = sum(p.portions for line in plan.lunches for p in line.batches if p.batch == name)
    return count_of(plan, eaten, name)


def _rules(rules: list[RuleLine]) -> RenderableType:
    return Group(*(beside("-", Text(sourced(rule)), width=1) for rule in rules))


def _opened(plan: PlanFile) -> str:
    days: dict[str, list[str]] = {}
    for pack in plan.packs:
        if pack.opened_life is not None:
            packs = f" ({pack.packs} packs)" if pack.packs > 1 else ""
            days.setdefault(pack.item, []).append(f"{pack.opened:%a}{packs}")
    return ", ".join(f"{item} on {' and '.join(when)}" for item, when in days.items())


def _priorities(plan: PlanFile) -> RenderableType:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    table.add_column("what matters, first to last")
    table.add_column("this plan", justify="right")
    table.add_column("proof")
    for line in () if plan.nearest is None else plan.nearest.levels:
        table.add_row(
            LEVELS[line.name].title, value_of(plan, line, line.value), proof_of(plan, line)
        )
    for line in plan.priorities:
        if line.name != TIE_BREAK:
            table.add_row(_title_of(line), value_of(plan, line, line.value), proof_of(plan, line))
    return Group(table, *(Text(note, style="dim") for note in _proofs(plan)))


def _proofs(plan: PlanFile) -> Iterator[str]:
    """Say what the table proves, and what is open."""
    which = "no plan that grants your wishes" if any(x.granted for x in plan.wishes) else "no plan"
    better = f"{which} does better in a line without doing worse in one above it."
    if plan.status == "optimal":
        ties = any(line.name == TIE_BREAK and line.proven for line in plan.priorities)
        yield f"Proven: {better}" + (" Ties are settled by the order of your file." if ties else "")
        return
    yield f"Not proven to be the best: {ended_by(plan)}."
    shown = [line for line in plan.priorities if line.name != TIE_BREAK]
    if any(line.proven for line in shown):
        yield f"Where a line says proven, {better}"
    if any(line.bound is not None and not line.proven for line in shown):
        yield "Where it is open, the bound says how much better it may get."


def _title_of(line: PriorityLine) -> str:
    better = " (more is better)" if line.better == "more" else ""
    return PRIORITIES[line.name].title + better


def value_of(plan: PlanFile, line: PriorityLine, value: float) -> str:
    """Say what a plan reaches, or might, in a line of the table.

    Parameters
    ----------
    plan
        The plan.
    line
        A priority of it, or a level of the nearest week.
    value
        In the unit of the line.

    Returns
    -------
    str
        As "no prices given" where it is money and nothing has a price.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> value_of(made, made.priorities[0], 120.0)
    '120 g'
    """
    if line.name in LEVELS:
        return LEVELS[line.name].amount(value)
    priority = PRIORITIES[line.name]
    if priority.unit == MONEY and priceless(plan):
        return NO_PRICES
    least = "at least " if priority.unit == MONEY and plan.unpriced else ""
    return f"{least}{priority.amount(value, plan.currency)}"


def proof_of(plan: PlanFile, line: PriorityLine) -> str:
    """Say whether a line of the table is proven, and how much better it may get where not.

    Parameters
    ----------
    plan
        The plan.
    line
        A priority of it, or a level of the nearest week.

    Returns
    -------
    str
        "proven", or "open" with the bound; empty where nothing has a price to be summed.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> proof_of(made, made.priorities[0])
    'proven'
    """
    if line.name == COST and priceless(plan):
        return ""
    if line.proven:
        return "proven"
    if line.bound is None:
        return "open"
    way = "no more than" if line.better == "more" else "no less than"
    return f"open: {way} {value_of(plan, line, line.bound)}"


# -- no plan -----------------------------------------------------------------------


def _no_plan(plan: PlanFile) -> Iterator[RenderableType]:
    yield ""
    if plan.status == "unknown":
        yield Text(
            f"No plan yet: {ended_by(plan)} before one was found. Allow more time (--seconds)."
        )
        return
    yield Text("No plan is possible.", style="bold")
    if not plan.conflict:
        yield Text("What stands in the way was not found in time.")
        return
    count = len(plan.conflict)
    alone = count == 1
    clash = f"These {count} rules clash; without any one of them the others can hold:"
    yield Text("This rule cannot be kept:" if alone else clash)
    yield from (beside("-", Text(sourced(rule)), width=1) for rule in plan.conflict)
    change = "Change it, if it is" if alone else "Change one that is"
    yield Text(f"{change} yours to change, and plan again: another clash may show.")
    yield from map(Text, to_carry(plan.conflict))
    yield from how_near(plan)
