"""Lunches of a group in numbers: the same ones as one, and what a day needs of everything.

Who cooks for two hundred reads no two hundred lunches, but how many of which there are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date

from models.answers.plan import LunchLine, PlanFile
from models.words.numbers import in_numbers
from optimiser.report.phrases import count_of, eaters_of, tenths


def lunches_on(plan: PlanFile, day: date) -> list[LunchLine]:
    """Give the lunches of a day, those of a group that are the same as one.

    Parameters
    ----------
    plan
        The plan.
    day
        One of its days.

    Returns
    -------
    list of LunchLine
        In the order of the plan; the eater of some that are one is "9 x Office".

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> [line.eater for line in lunches_on(made, made.days[0])]
    ['Ilse']
    """

    def group(line: LunchLine) -> str:
        return _group(plan, line)

    def same(line: LunchLine) -> str:
        return group(line) + line.model_dump_json(exclude={"eater", "reasons"})

    lines = (line for line in plan.lunches if line.date == day)
    return [
        line.model_copy(update={"eater": whom}) if whom else line
        for line, whom, _ in in_numbers(lines, group, same)
    ]


def names_of(plan: PlanFile) -> list[str]:
    """List whose lunches a plan is about, a group under its one name.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    list of str
        Each once, in the order of the plan.

    Examples
    --------
    >>> from optimiser import plan
    >>> names_of(plan("minimal", reasons=False))
    ['Ilse']
    """
    return list(dict.fromkeys(named(plan, eater) for eater in eaters_of(plan)))


def named(plan: PlanFile, eater: str) -> str:
    """Name whose lunch it is: a group for one of many, and for some that are told as one.

    Parameters
    ----------
    plan
        The plan.
    eater
        As a lunch has it.

    Returns
    -------
    str
        The name of the group, or of the eater.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False).model_copy(update={"groups": {"Office": 60}})
    >>> [named(made, eater) for eater in ("Office 12", "9 x Office", "Ilse")]
    ['Office', 'Office', 'Ilse']
    """
    several = eater.partition(" x ")[2]
    name, _, number = eater.rpartition(" ")
    if several in plan.groups:
        return several
    return name if name in plan.groups and number.isdecimal() else eater


def _group(plan: PlanFile, line: LunchLine) -> str:
    name = named(plan, line.eater)
    return name if name != line.eater else ""


def in_all(plan: PlanFile, day: date) -> Iterator[str]:
    """Say what a day needs of everything, where a plan has groups.

    Parameters
    ----------
    plan
        The plan.
    day
        One of its days.

    Yields
    ------
    str
        How many lunches of each dish, then portions of batches, then what goes in beside them.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False).model_copy(update={"groups": {"Office": 1}})
    >>> for text in in_all(made, made.days[0]):
    ...     print(text)
    in all 1 lunch: 1 Rice, beans and cheese
    2 portions rice and beans
    40 g hard cheese
    """
    lines = [line for line in plan.lunches if line.date == day]
    if not plan.groups or not lines:
        return
    dishes = Counter(line.dish for line in lines)
    many = "lunch" if len(lines) == 1 else "lunches"
    told = "; ".join(f"{times} {dish}" for dish, times in dishes.most_common())
    yield f"in all {len(lines)} {many}: {told}"
    portions = Counter[str]()
    amounts: dict[tuple[str, str], float] = {}
    for line in lines:
        for part in line.batches:
            portions[part.batch] += part.portions
        for item in (*line.goes_in, *line.choices, *line.extras):
            key = item.item, item.unit
            amounts[key] = amounts.get(key, 0) + item.amount
    if portions:
        yield ", ".join(f"{count_of(plan, n, batch)} {batch}" for batch, n in portions.items())
    if amounts:
        yield ", ".join(
            f"{tenths(amount)} {'x' if unit == 'piece' else unit} {item}"
            for (item, unit), amount in amounts.items()
        )
