"""All rules, one room each. A new rule is a new file and a line in FAMILIES."""

from __future__ import annotations

from collections.abc import Iterator

from models.answers.plan import RuleLine
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.rules import (
    box,
    eaten_within,
    freezer,
    fridge,
    fridge_life,
    must_not,
    nutrition,
    packs,
    place,
    stock,
    usable_protein,
    variety,
    wished,
)
from optimiser.rules.base import Fault, Rule

FAMILIES = (
    stock,
    fridge_life,
    freezer,
    fridge,
    packs,
    nutrition,
    usable_protein,
    must_not,
    place,
    box,
    variety,
    eaten_within,
    wished,
)

__all__ = ["FAMILIES", "Fault", "Rule", "faults_of", "rule_line", "rules_of"]


def rules_of(week: Week) -> tuple[Rule, ...]:
    """List every rule of a week, in the order of the families and of the file.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    tuple of Rule
        Keys differ; a rule bears on a batch, an item, a dish, an eater or a lunch.

    Raises
    ------
    ValueError
        When two rules have the same key.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> keys = [rule.key for rule in rules_of(read_week("starter"))]
    >>> keys[0].startswith("stock:"), len(set(keys)) == len(keys)
    (True, True)
    """
    rules = tuple(rule for family in FAMILIES for rule in family.rules(week))
    if len({rule.key for rule in rules}) < len(rules):
        # A rule lost to another of the same key could be one that keeps someone safe.
        raise ValueError("two rules of this week have the same key")
    return rules


def faults_of(week: Week, packed: PackedWeek) -> Iterator[Fault]:
    """Find every fault of a packed week, with no solver.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.

    Yields
    ------
    Fault
        In the order of `rules_of`; none where every rule is kept.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> list(faults_of(week, solved.packed))
    []
    """
    for rule in rules_of(week):
        yield from rule.faults(week, packed)


def rule_line(rule: Rule, week: Week | None = None) -> RuleLine:
    """Write a rule for the plan file.

    Parameters
    ----------
    rule
        The rule.
    week
        The week of which the rule is to name what it means; none when left out.

    Returns
    -------
    RuleLine
        Key, the sentence that a cook reads, its numbers by name, and the source where it has one.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> rule = rules_of(read_week("starter"))[0]
    >>> rule_line(rule).key == rule.key
    True
    """
    sentence = rule.sentence() if week is None else rule.told_of(week)
    return RuleLine(key=rule.key, sentence=sentence, numbers=rule.numbers(), source=rule.source)
