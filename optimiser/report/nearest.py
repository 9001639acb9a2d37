"""What gives way in a week that keeps not every rule, as a cook reads it before the days."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.plan import BoughtLunch, GaveWay, LunchAlone, PlanFile
from models.words.days import day_name
from models.words.giving import BUY, FLOORS
from models.words.numbers import listed
from optimiser.report.console import beside, glued
from optimiser.report.phrases import several_eat, sourced

MOST_RULES = 2
"""Rules that are named here for a lunch that cannot be packed; the full report names all."""

MOST_PLACES = 4
"""Places that the nearest week is told by in a line."""


def gives_way(plan: PlanFile, *, full: bool = False) -> Iterator[RenderableType]:
    """Write what gives way and which lunches are to buy, each with what it would take not to.

    Parameters
    ----------
    plan
        A plan.
    full
        Whether to name every rule.

    Yields
    ------
    RenderableType
        What to print, one below the other; nothing of a plan that keeps every rule.

    Examples
    --------
    >>> from optimiser import plan
    >>> from optimiser.report.console import rendered
    >>> made = plan("impossible", nearest=True, reasons=False)
    >>> print(rendered([*gives_way(made)]).splitlines()[2])
    gives way    Tue 1 Dec, Oda: 0.6 g short of protein: 27.4 g, the floor is 28 g
    """
    if plan.nearest is None:
        return
    yield ""
    yield Text("No week keeps every rule. This is the nearest: as little gives way as can.")
    bodies = [("gives way", _gave_way(line)) for line in plan.nearest.gave_way]
    bodies += [("to buy", _to_buy(plan, line, full=full)) for line in plan.nearest.bought]
    before = ""
    for label, body in bodies:
        yield beside("" if label == before else label, body)
        before = label


def how_near(plan: PlanFile) -> Iterator[RenderableType]:
    """Write how near a week comes to keeping every rule, where none is planned that does not.

    Parameters
    ----------
    plan
        A plan without lunches.

    Yields
    ------
    RenderableType
        The nearest week in a line, and each lunch that cannot be whatever the others are.

    Examples
    --------
    >>> from optimiser import plan
    >>> from optimiser.report.console import rendered
    >>> print(rendered([*how_near(plan("impossible", reasons=False))]).splitlines()[1])
    Whatever the other lunches are, these cannot keep every rule:
    """
    if plan.nearest is None:
        return
    lines = [_alone_said(plan, line) for line in plan.nearest.alone]
    if lines:
        yield ""
        yield Text("Whatever the other lunches are, these cannot keep every rule:")
        yield from (beside("-", Text(line), width=1) for line in lines)
    yield ""
    yield beside("nearest", Text(f"{_in_a_line(plan)}. To plan that week: --nearest"))
    yield beside("mend", Text("The smallest changes that make a week possible: clearfridge mend"))


def _alone_said(plan: PlanFile, line: LunchAlone) -> str:
    whose = f", {line.eater}" if _several_wanted(plan) else ""
    where = f"{glued(day_name(line.date))}{whose}"
    if not line.allowed:
        return f"{where}: no dish is allowed, since {'; '.join(x.sentence for x in line.rules)}"
    return f"{where}: allowed are {listed(line.allowed)}; {'; '.join(line.short)}"


def _in_a_line(plan: PlanFile) -> str:
    nearest = plan.nearest
    if nearest is None:
        return ""
    several = _several_wanted(plan)
    buys = [f"{line.date:%a}{f', {line.eater}' if several else ''}" for line in nearest.bought]
    parts = [f"a lunch to buy: {'; '.join(buys)}"] if buys else []
    places = [place for line in nearest.gave_way for place in line.places]
    parts += [f"{place.where}: {place.what}" for place in places[:MOST_PLACES]]
    more = len(places) - MOST_PLACES
    parts += [f"and {more} more"] if more > 0 else []
    return "; ".join(parts)


def _several_wanted(plan: PlanFile) -> bool:
    return len(plan.week.get("eaters", {})) > 1


def _gave_way(line: GaveWay) -> RenderableType:
    rows: list[RenderableType] = [Text(f"{place.where}: {place.what}") for place in line.places]
    if line.about != FLOORS:
        rows.append(Text(f"the rule: {line.rule.sentence}", style="dim"))
    if line.kept:
        rows.append(Text(line.kept, style="italic"))
    return Group(*rows)


def _to_buy(plan: PlanFile, line: BoughtLunch, *, full: bool) -> RenderableType:
    whose = f", {line.eater}" if several_eat(plan) else ""
    head = f"{glued(day_name(line.date))}{whose}: {BUY}"
    if line.rules and full:
        rules = [beside("-", Text(sourced(rule)), width=1) for rule in line.rules]
        since = Text("nothing can be packed, since:", style="italic")
        return Group(Text(head), since, *rules)
    if line.rules:
        more = len(line.rules) - MOST_RULES
        named = "; ".join(rule.sentence for rule in line.rules[:MOST_RULES])
        others = f"; and {more} more" if more > 0 else ""
        return Group(
            Text(head), Text(f"nothing can be packed, since {named}{others}", style="italic")
        )
    packed = [Text(line.packed, style="italic")] if line.packed else []
    return Group(Text(head), *packed)
