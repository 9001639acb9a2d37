"""Which rules give way in a packed week that keeps not all of them, and by how much.

Where no week keeps every rule, those that may give way do, as little as can be: variety first,
then wishes, then floors; a lunch that cannot be even so is bought. A rule says itself by which
steps (`Rule.give`) and where (`Rule.faults`). How safe food is, and what is there, never give way.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from models.answers.plan import GaveWayAt
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.rules.base import Fault, Rule


@dataclass(frozen=True, slots=True)
class Given:
    """A rule that gives way, and where."""

    rule: Rule
    faults: tuple[Fault, ...]

    @property
    def steps(self) -> int:
        """By how many steps in all.

        Returns
        -------
        int
        Times, days, or thousandths of a floor.
        """
        return sum(fault.by for fault in self.faults)

    def places(self) -> list[GaveWayAt]:
        """Write down where it does and how far.

        Returns
        -------
        list of GaveWayAt
            One for each fault, in their order; the wording is that of a plan that may do so.
        """
        return [
            GaveWayAt(where=fault.where, what=fault.short or fault.what, by=fault.by)
            for fault in self.faults
        ]


def given_way(week: Week, packed: PackedWeek, rules: Iterable[Rule]) -> list[Given]:
    """Find the rules that give way in a packed week, with no solver.

    Parameters
    ----------
    week
        The week.
    packed
        It as it is packed.
    rules
        Its rules; those that may not give way are passed over.

    Returns
    -------
    list of Given
        In the order of the rules; none where all are kept.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from models.file.reading import read_week
    >>> from optimiser.rules.nutrition import rules
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> floor = next(rules(week))
    >>> given_way(week, solved.packed, [floor])
    []
    >>> given = given_way(week, solved.packed, [replace(floor, amount=floor.amount * 2)])
    >>> [place.what for place in given[0].places()][:1]
    ['6.8 g short of protein: 29.2 g, the floor is 36 g']
    """
    some = (Given(rule, tuple(rule.faults(week, packed))) for rule in rules if rule.gives)
    return [given for given in some if given.faults]


def steps(given: Iterable[Given], about: str) -> int:
    """Sum by how many steps the rules that are about something give way.

    Parameters
    ----------
    given
        Rules that give way.
    about
        `VARIETY`, `WISHES` or `FLOORS`.

    Returns
    -------
    int
        Times and days of variety, wishes, or thousandths of floors; 0 where none gives way.

    Examples
    --------
    >>> from optimiser.rules.variety import MostTimes
    >>> twice = MostTimes("soup", 2)
    >>> given = [Given(twice, (Fault(twice.key, "the week", "soup 5 times", by=3),))]
    >>> steps(given, twice.gives), steps(given, "floors")
    (3, 0)
    """
    return sum(each.steps for each in given if each.rule.gives == about)


def not_packed(week: Week, packed: PackedWeek) -> list[tuple[str, date]]:
    """List the lunches of a week for which nothing is packed: eater and day.

    Parameters
    ----------
    week, packed
        The week, and it as it is packed.

    Returns
    -------
    list of tuple of str and date
        In the order of the week's lunches; empty where each is packed.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> not_packed(week, solved.packed)
    []
    >>> some = PackedWeek(solved.packed.lunches[1:], ())
    >>> [(eater, day.isoformat()) for eater, day in not_packed(week, some)]
    [('Ilse', '2026-11-30')]
    """
    there = {(lunch.eater, lunch.day) for lunch in packed.lunches}
    return [(x.eater, x.day) for x in week.lunches if (x.eater, x.day) not in there]
