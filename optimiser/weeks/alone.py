"""A lunch by itself: what is allowed there, and how far the best of it falls short.

Where a week is not possible, some lunches would not be even with all batches to themselves. Each is
planned as a week of one lunch, in which floors may give way: so it is told what stands in the way
of that lunch whatever the others are.
"""

from __future__ import annotations

from dataclasses import replace

from models.answers.plan import LunchAlone
from models.week.packed import PackedWeek
from models.week.week import Eater, Lunch, Week
from models.words.giving import BOUGHT, FLOORS
from optimiser.board.rows import Row
from optimiser.explain.conflicts import smallest_conflict
from optimiser.rules import rule_line, rules_of
from optimiser.rules.giving import Given, given_way
from optimiser.solve import cpsat
from optimiser.solve.limits import ONE_QUESTION, Stop
from optimiser.solve.week import packed_of, solve
from optimiser.weeks.nearest import Near


def lunches_alone(week: Week, stop: Stop | None = None) -> list[LunchAlone]:
    """Say of every lunch that cannot be, even alone, what is allowed and what it lacks.

    Parameters
    ----------
    week
        The week.
    stop
        Ends the search early; the lunches that are known by then are given.

    Returns
    -------
    list of LunchAlone
        In the order of the week; none for lunches that only the others stand in the way of.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> lunches_alone(read_week("starter"))
    []
    """
    stop = Stop() if stop is None else stop
    told = (None if stop.over else _alone(week, lunch, stop) for lunch in week.lunches)
    return [line for line in told if line is not None]


def _alone(week: Week, lunch: Lunch, stop: Stop) -> LunchAlone | None:
    single = replace(
        week,
        lunches=(lunch,),
        eaters={lunch.eater: _of_one_lunch(week.eaters[lunch.eater])},
        priorities=(),
    )
    near = Near.of(single, rules_of(single), [])
    solved = solve(near.program, stop=stop)
    if solved.packed is None:
        return None
    reached = {value.name: value.value for value in solved.values}
    if not reached[BOUGHT] and not reached[FLOORS]:
        return None
    if reached[BOUGHT]:
        packed = Row.of(near.program.board.bought(near.program.board.slots[0]), high=0)
        try:
            rules = [rule_line(rule) for rule in smallest_conflict(near.program, [packed], stop)]
        except TimeoutError:
            rules = []
        return LunchAlone(date=lunch.day, eater=lunch.eater, rules=rules)
    return LunchAlone(
        date=lunch.day,
        eater=lunch.eater,
        allowed=_allowed(near, stop),
        short=_short(near, solved.packed, stop),
    )


def _of_one_lunch(eater: Eater) -> Eater:
    """Take an eater's bounds over the week away: they bind no single lunch."""
    floors = tuple(bound for bound in eater.floors if not bound.weekly)
    ceilings = tuple(bound for bound in eater.ceilings if not bound.weekly)
    return replace(eater, floors=floors, ceilings=ceilings)


def _allowed(near: Near, stop: Stop) -> list[str]:
    """List the dishes that everything but floors allows."""
    board = near.program.board
    model = cpsat.model_of(board.sheet)
    dishes = []
    for dish in near.program.week.dishes:
        row = Row.of(board.times(board.slots[0], dish), low=1)
        if cpsat.solve(model, None, extra=[row], limit=ONE_QUESTION, stop=stop).values is not None:
            dishes.append(dish)
    return dishes


def _short(near: Near, nearest: PackedWeek, stop: Stop) -> list[str]:
    """Say of each floor that no allowed dish reaches how far the best for it falls short.

    Where each is reached by some dish, but not all by one, it is the nearest that is told of.
    """
    board = near.program.board
    model = cpsat.model_of(board.sheet)
    packed = Row.of(board.bought(board.slots[0]), high=0)
    lines = []
    for given in given_way(near.program.week, nearest, near.rules):
        total = near.given[given.rule.key]
        answer = cpsat.solve(model, total, extra=[packed], limit=ONE_QUESTION, stop=stop)
        if answer.values is not None and total.value(answer.values):
            best = packed_of(near.program, answer.values)
            (line,) = (place for x in _of_rule(near, best, given) for place in _said(best, x))
            lines.append(f"the best of them, {line}")
    if lines:
        return lines
    every = given_way(near.program.week, nearest, near.rules)
    some = [place for given in every for place in _said(nearest, given)]
    return [f"each floor is reached by one of them, but not all by one: {place}" for place in some]


def _of_rule(near: Near, packed: PackedWeek, given: Given) -> list[Given]:
    return given_way(near.program.week, packed, [given.rule])


def _said(packed: PackedWeek, given: Given) -> list[str]:
    return [f"{packed.lunches[0].dish}: {place.what}" for place in given.places()]
