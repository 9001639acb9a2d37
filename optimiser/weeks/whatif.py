"""What if: the week planned for each of several values of something.

Every row is the plan of a week of its own, the one that an edited file would say, and is proven
like any other. Rows do not know of each other, so they can be planned anywhere at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import product, takewhile
from typing import Any

from models.answers.plan import RuleLine
from models.answers.whatif import KnobLine, Margin, Shape, WhatIfFile, WhatIfRow
from models.file.reading import read_again
from models.week import sums
from models.week.cook import week_cooked_in
from models.week.knobs import Knob
from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Bound, Week
from models.words.days import DAY_NAMES, day_name
from models.words.document import Document
from models.words.errors import InputError
from models.words.numbers import counted, in_numbers
from models.words.nutrients import NUTRIENTS, PROTEIN
from models.words.units import magnitude, quantity
from optimiser.explain.reasons import conflict_lines
from optimiser.priorities import PRIORITIES
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Say, Stop, silent
from optimiser.solve.parallel import each, workers
from optimiser.solve.week import Solved, solve_week
from optimiser.weeks.volumes import solved_together
from optimiser.written import lunch_said, number, unpriced

MOST_ROWS = 1_000
"""Weeks that are planned for one question at the most."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one week came to, in plain numbers.

    Attributes
    ----------
    none_left
        Whether the best week leaves nothing over; None where that stayed open.
    cut
        It was stopped before all of this was settled.
    """

    solved: Solved
    none_left: bool | None
    conflict: tuple[RuleLine, ...]
    cut: bool = False


def turned(week: Week, knobs: Sequence[Knob], values: Sequence[Decimal]) -> Week:
    """Give the week in which every knob has one of its values.

    Parameters
    ----------
    week
        The week.
    knobs
        What is turned.
    values
        A value for each knob.

    Returns
    -------
    Week
        All else as it was; of several knobs of days the last holds.

    Raises
    ------
    InputError
        When the week cannot be so: more days than there are.

    Examples
    --------
    >>> from models.file.knobs import yield_knob
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> name = next(iter(week.batches))
    >>> knob = yield_knob(week, f"{name}=7", "--yield")
    >>> turned(week, [knob], knob.values).batches[name].portions
    7
    """
    counts: dict[str, int] = {}
    lunches = [
        int(value) for knob, value in zip(knobs, values, strict=True) if knob.kind == "lunches"
    ]
    if lunches:
        week = _with_lunches(week, lunches[-1])
    for knob, value in zip(knobs, values, strict=True):
        if knob.kind == "yield":
            counts[knob.name] = int(value)
        elif knob.kind == "floor":
            week = _with_floor(week, knob, value)
    return week_cooked_in(week, counts) if counts else week


def _with_floor(week: Week, knob: Knob, value: Decimal) -> Week:
    eater = week.eaters[knob.eater]
    amount = quantity(value, NUTRIENTS[knob.nutrient].unit)
    wanted = Bound(knob.nutrient, amount, weekly=False)
    replaced = (knob.nutrient, False)
    floors = tuple(
        wanted if (floor.nutrient, floor.weekly) == replaced else floor for floor in eater.floors
    )
    if wanted not in floors:
        # Those of a lunch come before those of the week, as they are read.
        first = sum(not floor.weekly for floor in floors)
        floors = (*floors[:first], wanted, *floors[first:])
    return replace(week, eaters={**week.eaters, knob.eater: replace(eater, floors=floors)})


def _with_lunches(week: Week, number: int) -> Week:
    try:
        return read_again(week, _of_days(week, number))
    except InputError as fault:
        what = f"with {counted(number, 'lunch')}: {fault.what}"
        raise InputError(fault.where, what, "Ask for other numbers of lunches.") from None


def _of_days(week: Week, number: int) -> Document:
    """Write a week of its first so many days; those that are too few are added at the end."""
    first = week.days[0].weekday()
    known = {(day - week.days[0]).days for day in week.days}
    after = [ahead for ahead in range(7) if ahead not in known and ahead > max(known)]
    names = [DAY_NAMES[(first + ahead) % 7] for ahead in [*sorted(known), *after][:number]]
    dates = {f"{day.isoformat()}" for day in week.days[:number]}

    def stays(entry: Any) -> bool:
        day = str(entry.get("day", "")).strip() if isinstance(entry, dict) else ""
        return day in dates or day.casefold()[:3] in names

    data: Any = copy(week.source.data)
    data["week"] = {**data["week"], "days": names}
    for key in ("no_lunch", "elsewhere"):
        if key in data:
            data[key] = [entry for entry in data[key] if stays(entry)]
    return replace(week.source, data=data)


def outcome(week: Week, seconds: float | None = None, stop: Stop | None = None) -> Outcome:
    """Plan one week and say what it comes to.

    Parameters
    ----------
    week
        The week.
    seconds
        Time limit for the plan.
    stop
        Ends the search early from another thread.

    Returns
    -------
    Outcome
        The solved week, whether it leaves nothing over, and where there is none the rules that
        clash.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> outcome(read_week("minimal")).solved.status.name
    'OPTIMAL'
    """
    stop = Stop() if stop is None else stop
    program, solved = solve_week(week, seconds=seconds, stop=stop)
    conflict: tuple[RuleLine, ...] = ()
    if solved.status is Status.INFEASIBLE:
        conflict = tuple(conflict_lines(program, stop=stop))
    settled = solved.status is Status.OPTIMAL or bool(conflict)
    cut = stop.over and not settled
    return Outcome(solved, _none_left(week, solved), conflict, cut)


@dataclass(frozen=True)
class _Planner:
    """Plans a week; another process gets it without the stop, which cannot reach there."""

    seconds: float | None
    stop: Stop | None = None

    def __call__(self, week: Week) -> Outcome:
        return outcome(week, self.seconds, self.stop)

    def __reduce__(self) -> tuple[type[_Planner], tuple[float | None]]:
        left = None if self.stop is None else self.stop.left
        return _Planner, (Limit(self.seconds).within(left).seconds,)


def _none_left(week: Week, solved: Solved) -> bool | None:
    """Tell whether the best week leaves nothing over; None where it is not known to be the best.

    It is the plan's own figure: with other priorities first there may be a week that leaves less.
    """
    if solved.status is Status.INFEASIBLE:
        return False
    if solved.packed is None:
        return None
    grams = sums.left_over(week, solved.packed)
    if solved.status is Status.OPTIMAL:
        return not grams
    left = next((value for value in solved.values if value.name == "left_over"), None)
    certain = left is not None and left.proven
    return not grams if certain else None


def what_if(
    week: Week,
    knobs: Sequence[Knob],
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Say = silent,
    name: str = "",
    backend: Mapping[str, Any] | None = None,
) -> WhatIfFile:
    """Plan a week for every combination of the values of some knobs.

    Parameters
    ----------
    week
        The week, read from a file.
    knobs
        What is turned; with several, every value of one meets every value of the others.
    seconds
        Time limit for all of it; none where it is None.
    stop
        Ends the work early; the rows so far are given.
    say
        Is told how far it is.
    name
        What the question is called in the week file.
    backend
        Where weeks are planned, as `spread` takes it; in this process when left out.

    Returns
    -------
    WhatIfFile
        A row for each combination, in the order of the values.

    Raises
    ------
    InputError
        When there are too many combinations.

    Examples
    --------
    >>> from models.file.knobs import yield_knob
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> knob = yield_knob(week, f"{next(iter(week.batches))}=7..8", "--yield")
    >>> [row.values for row in what_if(week, [knob]).rows]
    [[7.0], [8.0]]
    """
    asked = list(product(*(knob.values for knob in knobs)))
    if len(asked) > MOST_ROWS:
        raise InputError(
            "what-if", f"that is {len(asked)} weeks", f"Ask for {MOST_ROWS} at the most at a time."
        )
    weeks = [turned(week, knobs, values) for values in asked]
    volumes: list[dict[str, int]] = []
    if all(knob.kind == "yield" for knob in knobs):
        names = [knob.name for knob in knobs]
        volumes = [dict(zip(names, map(int, values), strict=True)) for values in asked]
    outcomes = outcomes_of(
        week,
        weeks,
        volumes,
        seconds=seconds,
        stop=stop,
        say=lambda done, of: say(f"{done} of {of} weeks planned"),
        backend=backend,
    )
    shapes: dict[tuple[str, ...], Shape] = {}
    rows = [
        _row(values, turned_week, outcome, shapes)
        for values, turned_week, outcome in zip(asked, weeks, outcomes, strict=False)
    ]
    return WhatIfFile(
        name=week.name,
        question=name,
        currency=week.currency,
        knobs=[_knob_line(knob) for knob in knobs],
        rows=rows,
        shapes=list(shapes.values()),
        interrupted=len(rows) < len(asked) and not (stop is not None and stop.late),
        late=stop is not None and stop.late,
    )


def outcomes_of(
    week: Week,
    weeks: Sequence[Week],
    volumes: Sequence[Mapping[str, int]],
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Callable[[int, int], None] = lambda done, of: None,
    backend: Mapping[str, Any] | None = None,
) -> list[Outcome]:
    """Plan several weeks, and those that differ in how much is cooked together.

    Parameters
    ----------
    week
        The week that they were made of.
    weeks
        Each to be planned.
    volumes
        For each, how many portions are cooked of which batches; empty where more is turned.
    seconds
        Time limit for all of it.
    stop
        Ends the work early; the outcomes of the first weeks are given.
    say
        Is told how many are planned, and of how many.
    backend
        Where those are planned that are planned one by one, as `spread` takes it.

    Returns
    -------
    list of Outcome
        In the order of the weeks, or of the first of them where it was stopped.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> [came.none_left for came in outcomes_of(week, [week], [])]
    [True]
    """
    planned: list[Outcome | None] = [None] * len(weeks)
    if volumes and not (stop is not None and stop.over):
        planned = [
            None if solved is None else Outcome(solved, _none_left(turned, solved), ())
            for turned, solved in zip(
                weeks, solved_together(week, weeks, volumes, stop), strict=True
            )
        ]
    rest = [turned for turned, came in zip(weeks, planned, strict=True) if came is None]
    before = len(weeks) - len(rest)
    say(before, len(weeks))
    more: Iterator[Outcome] = iter(())
    if rest:
        planner = _Planner(_each(seconds, len(rest)), stop)

        def tick(done: int, of: int) -> None:
            say(before + done, before + of)

        more = iter(each(planner, rest, stop=stop, tick=tick, backend=backend))
    outcomes = [next(more, None) if came is None else came for came in planned]
    return _whole([came for came in takewhile(lambda came: came is not None, outcomes) if came])


def _each(seconds: float | None, weeks: int) -> float | None:
    """Give a week twice its share of the time: some take less."""
    return None if seconds is None else 2 * seconds / max(1, -(-weeks // workers()))


def _whole(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Give those before the first that was cut short: a half-planned row would look like a plan."""
    return list(takewhile(lambda outcome: not outcome.cut, outcomes))


def _knob_line(knob: Knob) -> KnobLine:
    return KnobLine(
        kind=knob.kind,
        name=knob.name,
        unit=knob.unit,
        values=[number(value) for value in knob.values],
        now=None if knob.now is None else number(knob.now),
    )


def _row(
    values: Sequence[Decimal], week: Week, outcome: Outcome, shapes: dict[tuple[str, ...], Shape]
) -> WhatIfRow:
    row = WhatIfRow(
        values=[number(value) for value in values],
        status=outcome.solved.status.value,
        none_left=outcome.none_left,
        conflict=list(outcome.conflict),
    )
    packed = outcome.solved.packed
    if packed is None:
        return row
    dishes = tuple(_dishes(week, packed))
    if dishes not in shapes:
        shapes[dishes] = Shape(letter=letter(len(shapes)), dishes=list(dishes))
    return row.model_copy(
        update={
            "shape": shapes[dishes].letter,
            "left_over": number(sums.left_over(week, packed)),
            "margin": _margin(week, packed),
            "repeats": number(PRIORITIES["repeats"].value(week, packed)),
            "thawed": sums.thawed(packed),
            "cost": number(sums.cost(week, packed)),
            "cost_complete": not unpriced(week, packed),
            "priorities": {value.name: number(value.value) for value in outcome.solved.values},
        }
    )


def _dishes(week: Week, packed: PackedWeek) -> Iterator[str]:
    """Say the dish of each lunch; of those who are an entry by number, how many have each."""

    def group(lunch: PackedLunch) -> str:
        return week.eaters[lunch.eater].group

    def same(lunch: PackedLunch) -> tuple[date, str, str]:
        return lunch.day, group(lunch), lunch.dish

    for lunch, those, _ in in_numbers(packed.lunches, group, same):
        yield f"{lunch.day:%a}, {those}: {lunch.dish}" if those else lunch_said(week, lunch)


def letter(at: int) -> str:
    """Name things A to Z, then AA, AB and so on.

    Parameters
    ----------
    at
        From 0.

    Returns
    -------
    str
        Capitals.

    Examples
    --------
    >>> letter(0), letter(25), letter(26)
    ('A', 'Z', 'AA')
    """
    rest, last = divmod(at, 26)
    return (letter(rest - 1) if rest else "") + chr(ord("A") + last)


def _margin(week: Week, packed: PackedWeek) -> Margin | None:
    """Find the lunch that has the least protein above its floor."""
    unit = NUTRIENTS[PROTEIN].unit
    margins: list[tuple[Decimal, str]] = []
    for lunch in packed.lunches:
        for bound in week.eaters[lunch.eater].floors:
            if bound.nutrient == PROTEIN and not bound.weekly:
                held = magnitude(sums.nutrient(week, lunch, PROTEIN).amount, unit)
                where = day_name(lunch.day)
                if len(week.eaters) > 1:
                    where += f", {lunch.eater}"
                margins.append((held - magnitude(bound.amount, unit), where))
    if not margins:
        return None
    least, where = min(margins, key=lambda pair: pair[0])
    return Margin(grams=number(least), lunch=where)
