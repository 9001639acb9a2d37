"""The prep day: in what order, on one oven and the hands there are.

Every batch's steps, then what no recipe says: heat the oven, let food cool, fill and label its
tubs, put them away within the limit that the guidance sets, wash up. Hands that are free share the
tubs of a batch. It ends as early as can be, then begins as late as can be; only what leads up to a
long wait, as putting beans to soak, is done on the evening before. Work on ready food comes before
raw meat, or hands, board and knife are washed in between.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from functools import partial
from itertools import chain, combinations, permutations

from models.answers.labels import Label
from models.answers.prep import PrepDay, PrepFile, PrepStep
from models.foods.food import Food
from models.foods.storage import is_rice
from models.week.cautions import bearing, known, on_sheet
from models.week.kitchen import (
    DEPTH,
    READY,
    Cooling,
    Kitchen,
    Placed,
    Step,
    Timetable,
    cooling,
    handled,
)
from models.week.packed import PackedWeek
from models.week.week import Batch, Week
from models.words.numbers import counted, listed
from models.words.raw import RAW
from optimiser.sheets.labels import labels, portions_in_tub
from optimiser.solve.cpsat import Status
from optimiser.solve.schedule import Aim, Clearing, Link, Scheduled, Task, schedule

DAY = 24 * 60
LONG_WAIT = 4 * 60
"""Minutes of waiting from which what leads up to it may be done the evening before."""
COOLS = 20
"""Least minutes that food in a shallow tub stands before it is closed (common practice, no source);
a deep pot would take many times as long, and is divided first."""
TUB = 1
"""Minutes in which a pair of hands fills a tub, or closes and labels it (common practice, no
source)."""
DIVIDE, COOL, FILL = "divide it", "let it cool", "put it away"
CLOSING = (DIVIDE, COOL, FILL)
WASH = "wash hands, board and knife"
WASHING = 2
"""Minutes of it (common practice; UK FSA and USDA FSIS ask for the washing, not for the time)."""
HEAT, WASH_UP = "heat the oven", "wash up"
HEATING, TURNING = 15, 10
"""Minutes until the oven is hot, and from one heat to another (common practice, no source)."""
WASHING_UP = 15
"""Minutes of what is left of it when all is put away (common practice, no source)."""
SOON = 60
"""Most minutes for which what raw food left behind may stand (common practice, no source)."""


def prep(week: Week, packed: PackedWeek | None = None) -> PrepFile:
    """Make the timetable of every prep day.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan, which says what is set apart for the freezer; None before there is one.

    Returns
    -------
    PrepFile
        For each date of making its steps with begin and end; where the hours do not suffice, what
        would.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> made = {batch.made for batch in week.batches.values()}
    >>> {day.date for day in prep(week, solved.packed).days} <= made
    True
    """
    made = sorted({batch.made for batch in week.batches.values() if not batch.earlier})
    tubs = None if packed is None else labels(week, packed).labels
    return PrepFile(name=week.name, days=[_day(week, packed, tubs, day) for day in made])


def _day(week: Week, packed: PackedWeek | None, tubs: Sequence[Label] | None, day: date) -> PrepDay:
    week = replace(week, kitchen=week.kitchen.on(day))
    cooked = (batch for batch in week.batches.values() if not batch.earlier)
    batches = [batch for batch in cooked if batch.made == day]
    without = [batch.name for batch in batches if not batch.steps]
    recipes = {b.name: list(closed(week, b, tubs)) for b in batches if b.steps}
    limits = {name: limit_of(week, week.batches[name]) for name in recipes}
    names = [batch.name for batch in batches]
    if not recipes:
        return PrepDay(
            date=day,
            possible=True,
            proven=True,
            without_steps=without,
            cautions=_cautions(week, packed, names, ()),
        )
    table = timetable(week.kitchen, recipes, limits)
    if table is None:
        return PrepDay(
            date=day,
            possible=False,
            without_steps=without,
            why_not=_why_not(week.kitchen, recipes, limits),
        )
    wrong = next(faults(week.kitchen, recipes, limits, table.placed), None)
    if wrong is not None:
        # Food that is warm too long is no matter to print and hope.
        raise RuntimeError(f"the timetable breaks what it has to keep: {wrong}")
    steps = _with_the_kitchen_s([_written(day, placed) for placed in table.placed])
    that_day = [timed for timed in steps if timed.hands and timed.begins.date() == day]
    return PrepDay(
        date=day,
        possible=True,
        proven=table.proven,
        begins=min((timed.begins for timed in steps if _is_that_day_s(timed, day)), default=None),
        ends=max(timed.ends for timed in steps),
        hands_minutes=sum(
            int((step.ends - step.begins).total_seconds()) // 60 * step.pairs for step in that_day
        ),
        steps=steps,
        without_steps=without,
        cautions=_cautions(week, packed, names, table.placed),
    )


def _cautions(
    week: Week, packed: PackedWeek | None, names: list[str], placed: Sequence[Placed]
) -> list[str]:
    """Say what to mind of some batches, and of what cooks through the night."""
    cautions = on_sheet(bearing(week, packed), "prep", names)
    at_night = tuple(
        dict.fromkeys(step.batch for step in placed if cooks_at_night(week.kitchen, step))
    )
    if at_night:
        cautions += [
            replace(caution, of=at_night)
            for caution in known(week.guidance)
            if caution.key == "night"
        ]
    mine = ([name for name in caution.of if name in names] for caution in cautions)
    return [
        f"{', '.join(of)}: {caution.sourced}" if of else caution.sourced
        for caution, of in zip(cautions, mine, strict=True)
    ]


def cooks_at_night(kitchen: Kitchen, placed: Placed) -> bool:
    """Tell whether a step cooks between the end of the evening and the start of the prep day.

    Parameters
    ----------
    kitchen
        The kitchen, with its hours.
    placed
        A step of a timetable.

    Returns
    -------
    bool
        False of what only stands or soaks through the night.

    Examples
    --------
    >>> bake = Step("bake", "bake it", 60, 60, oven=90)
    >>> cooks_at_night(Kitchen(), Placed("stew", bake, DAY, DAY + 60))
    True
    >>> cooks_at_night(Kitchen(), Placed("stew", bake, DAY + 720, DAY + 780))
    False
    """
    night = (minutes(kitchen.evening[1]), DAY + minutes(kitchen.starts))
    return placed.step.heats and placed.begins < night[1] and placed.ends > night[0]


def _written(day: date, placed: Placed) -> PrepStep:
    midnight = datetime.combine(day - timedelta(days=1), time())
    step = placed.step
    return PrepStep(
        batch=placed.batch,
        name=step.name,
        work=step.work,
        begins=midnight + timedelta(minutes=placed.begins),
        ends=midnight + timedelta(minutes=placed.ends),
        hands=step.hands,
        oven=step.oven,
        pairs=max(1, step.pairs(placed.ends - placed.begins)),
        trays=step.trays,
        rings=step.rings,
        blenders=step.blenders,
        touches=list(step.touches or ()) if step.hands else [],
        note="added" if step.name in CLOSING or is_washing(step) else "",
    )


def _is_that_day_s(step: PrepStep, day: date) -> bool:
    """Tell whether somebody is in the kitchen as it begins; nobody is as food begins to stand."""
    return step.begins.date() == day and (step.hands or step.oven is not None or step.rings > 0)


def _with_the_kitchen_s(steps: list[PrepStep]) -> list[PrepStep]:
    """Add what is of no batch: the oven is hot when it is needed, what is left is washed up."""
    baked = sorted((step for step in steps if step.oven is not None), key=lambda step: step.begins)
    added = []
    heat, free = None, datetime.min
    for step in baked:
        lead = timedelta(minutes=HEATING if heat is None else TURNING)
        # Where a tray stays in, the heat is turned as its next step begins.
        if step.oven != heat and step.begins - lead >= free:
            do = HEAT if heat is None else "turn the oven"
            added.append(
                _of_the_kitchen(f"{do} to {step.oven} °C", step.begins - lead, step.begins)
            )
            added[-1] = added[-1].model_copy(update={"hands": False, "oven": step.oven})
        heat, free = step.oven, max(free, step.ends)
    over = max(step.ends for step in steps)
    washing = _of_the_kitchen(WASH_UP, over, over + timedelta(minutes=WASHING_UP))
    return [*sorted([*added, *steps], key=lambda step: step.begins), washing]


def _of_the_kitchen(work: str, begins: datetime, ends: datetime) -> PrepStep:
    return PrepStep(
        batch="", name=work, work=work, begins=begins, ends=ends, hands=True, note="added"
    )


# -- steps -----------------------------------------------------------------------------


def limit_of(week: Week, batch: Batch) -> Cooling:
    """Give how long a batch may take into the fridge once it is cooked.

    Parameters
    ----------
    week
        The week, whose guidance and kitchen it follows.
    batch
        One of its batches.

    Returns
    -------
    Cooling
        Minutes from the end of cooking, with who says so; rice has a limit of its own.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> limit_of(week, week.batches["rice and beans"]).minutes
    60
    """
    rice = any(is_rice(food) for food in _foods(batch))
    return cooling(week.guidance, hot=week.kitchen.hot_day, rice=rice)


def _foods(batch: Batch) -> tuple[Food, ...]:
    return () if batch.recipe is None else batch.recipe.foods


def closed(week: Week, batch: Batch, tubs: Sequence[Label] | None = None) -> Iterator[Step]:
    """Give a batch's steps and those that close it: cool, fill, put away.

    Parameters
    ----------
    week
        The week.
    batch
        One of its batches.
    tubs
        The labels of the packed week, one for each tub; None before there is one.

    Yields
    ------
    Step
        Each after those that it names; the last fills the tubs, and ends within the limit of the
        batch.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> steps = "[{do: simmer all, lasts: 50 min, hands: no, rings: 1}]"
    >>> text = ready_text("minimal").replace("yield:", f"steps: {steps}, yield:")
    >>> week, _ = every_fault("mine.yaml", text)
    >>> [step.name for step in closed(week, week.batches["rice and beans"])]
    ['simmer all', 'let it cool', 'put it away']
    """
    steps, raw = handled(batch.steps, _foods(batch))
    yield from steps
    named = {earlier for step in steps for earlier in step.after}
    last: tuple[str, ...] = tuple(step.name for step in steps if step.name not in named)
    touches = tuple(kind for kind in RAW if kind in raw) or (READY,)
    limit = limit_of(week, batch)
    mine = None if tubs is None else [label for label in tubs if label.batch == batch.name]
    number = _tubs(batch, mine)
    alone = number * TUB
    sharing = min(number, week.kitchen.hands)
    # As many as are free share the tubs. The least is of all hands: the limit holds the sum.
    filling = -(-number // sharing) * TUB
    tubbed = partial(Step, least=filling, most=alone, touches=touches, sharing=sharing)
    if not any(step.warms for step in steps):
        # What was never hot need not cool, and is not warm for long either.
        text = f"{_filling(batch, mine, 'fill')}, within {limit.minutes} minutes of making"
        wait = (0, limit.minutes - filling)
        yield tubbed(FILL, text, after=last, gap=wait)
        return
    gap = (0, 0) if len(last) == 1 else (0, limit.minutes)
    washing = 0
    if batch.portions > portions_in_tub(batch):
        # Hands that fried it raw are washed before they divide it.
        fried = any(step.raw for step in steps if step.name in last)
        washing = WASHING if fried and len(last) == 1 else 0
        gap = (0, washing) if washing else gap
        text = (
            f"{batch.name}: divide it into {number} shallow tubs, {DEPTH} cm deep at most, lids off"
        )
        yield tubbed(DIVIDE, text, after=last, gap=gap)
        last, gap, divided = (DIVIDE,), (0, 0), filling
    else:
        divided = 0
    most = max(COOLS, limit.minutes - filling - divided - washing)
    # How long it stands is free within the limit; the sum with the filling is bounded below.
    yield Step(
        COOL,
        f"let {batch.name} cool; into the fridge within {limit.minutes} minutes of cooking",
        COOLS,
        most,
        hands=False,
        after=last,
        gap=gap,
    )
    text = _filling(batch, mine, "close" if divided else "fill")
    yield tubbed(FILL, text, after=(COOL,), gap=(0, 0))


def _tubs(batch: Batch, labelled: Sequence[Label] | None) -> int:
    """Count the tubs of a batch; its labels are as many."""
    if labelled is None:
        return -(-batch.portions // portions_in_tub(batch))
    return max(1, len(labelled))


def _filling(batch: Batch, labelled: Sequence[Label] | None, do: str) -> str:
    """Say what goes where."""
    tubs = _tubs(batch, labelled)
    frozen = [label for label in labelled or () if label.frozen == batch.made]
    text = f"{batch.name}: {do} and label {counted(tubs, 'tub')}"
    if not frozen:
        return f"{text}, into the fridge"
    held = [
        counted(label.portions, label.word)
        + (f" for {label.days[0]:%a}" if label.days else " to spare")
        for label in frozen
    ]
    fridge = f"{tubs - len(frozen)} into the fridge, " if tubs > len(frozen) else ""
    return f"{text}, {fridge}{len(frozen)} into the freezer ({', '.join(held)})"


# -- the timetable ---------------------------------------------------------------------


def timetable(
    kitchen: Kitchen, recipes: Mapping[str, Sequence[Step]], limits: Mapping[str, Cooling]
) -> Timetable | None:
    """Find the best timetable; None where the steps do not fit.

    Parameters
    ----------
    kitchen
        What there is to cook with.
    recipes
        The steps of each batch, those of `COOL` and `FILL` among them.
    limits
        How long each batch may take into the fridge from the end of its cooking.

    Returns
    -------
    Timetable or None
        Its steps by when they begin, washing among them, and whether it is proven.

    Examples
    --------
    >>> boil = Step("boil", "boil it", 30, 30, rings=1)
    >>> fill = Step(FILL, "fill", 5, 5, after=("boil",), gap=(0, 90))
    >>> table = timetable(Kitchen(), {"soup": [boil, fill]}, {"soup": Cooling(90, "")})
    >>> [(placed.step.name, placed.ends - placed.begins) for placed in table.placed], table.proven
    ([('boil', 30), ('put it away', 5)], True)
    """
    scheduled = _solved(kitchen, recipes, limits)
    if scheduled.times is None:
        return None
    every = [*_all(recipes), *((batch, wash) for batch, _, wash in _washings(recipes))]
    placed = [
        Placed(batch, step, *scheduled.times[_name(batch, step.name)])
        for batch, step in every
        if _name(batch, step.name) in scheduled.times
    ]
    order = {_name(batch, step.name): at for at, (batch, step) in enumerate(every)}
    placed.sort(
        key=lambda timed: (timed.begins, timed.ends, order[_name(timed.batch, timed.step.name)])
    )
    placed = list(_what_is_washed_off(placed))
    return Timetable(tuple(placed), scheduled.status is Status.OPTIMAL, dict(limits))


def _name(batch: str, step: str) -> str:
    return f"{batch}\n{step}"


def _all(recipes: Mapping[str, Sequence[Step]]) -> Iterator[tuple[str, Step]]:
    for batch, steps in recipes.items():
        for step in steps:
            yield batch, step


def _what_is_washed_off(placed: Sequence[Placed]) -> Iterator[Placed]:
    """Let each washing name all raw food that was touched since the last one."""
    last = 0
    for timed in placed:
        if not is_washing(timed.step):
            yield timed
            continue
        touched = {
            kind
            for earlier in placed
            if earlier.step.raw and last < earlier.ends <= timed.begins
            for kind in earlier.step.touches or ()
        }
        text = f"{WASH}: they touched {listed([kind for kind in RAW if kind in touched])}"
        yield replace(timed, step=replace(timed.step, work=text))
        last = timed.begins


def is_washing(step: Step) -> bool:
    """Tell whether a step is the washing after raw food.

    Parameters
    ----------
    step
        A step of a timetable.

    Returns
    -------
    bool
        True of those that the timetable put in itself.

    Examples
    --------
    >>> is_washing(Step(f"{WASH} after fry", WASH, 2, 2)), is_washing(Step("fry", "fry it", 9, 9))
    (True, False)
    """
    return step.name.startswith(WASH)


def _washings(recipes: Mapping[str, Sequence[Step]]) -> Iterator[tuple[str, Step, Step]]:
    """Give each step with raw food, its batch, and the washing that may follow it."""
    for batch, step in _all(recipes):
        if step.raw:
            yield batch, step, Step(f"{WASH} after {step.name}", WASH, WASHING, WASHING)


def _solved(
    kitchen: Kitchen, recipes: Mapping[str, Sequence[Step]], limits: Mapping[str, Cooling]
) -> Scheduled:
    early = {_name(batch, name) for batch, steps in recipes.items() for name in _early(steps)}
    steps = [(batch, step, step) for batch, step in _all(recipes)]
    washes = list(_washings(recipes))
    # A washing is on the day of the step that it follows, and done only where one is needed.
    tasks = [
        Task(
            _name(batch, task.name),
            task.least,
            task.most,
            windows(kitchen, task, early=_name(batch, step.name) in early),
            task.uses(),
            optional=task is not step,
            ways=tuple((lasts, task.uses(lasts)) for lasts in task.ways),
        )
        for batch, step, task in (*steps, *washes)
    ]
    if any(not task.windows for task in tasks):
        return Scheduled(Status.INFEASIBLE, None)
    capacities = {
        "hands": kitchen.hands,
        "oven": kitchen.oven_trays,
        "rings": kitchen.rings,
        "blenders": kitchen.blenders,
    }
    return schedule(
        tasks,
        list(_links(recipes, limits)),
        capacities,
        _aims(tasks, early),
        list(_heats(recipes)),
        _clearing(recipes) if washes else None,
    )


def _aims(tasks: Sequence[Task], early: Collection[str]) -> list[Aim]:
    """Say what makes a timetable good: done earliest, then begun latest, then washing least."""
    every = tuple(task.name for task in tasks)
    washes = tuple(task.name for task in tasks if task.optional)
    by_hand = (task.name for task in tasks if "hands" in task.uses and not task.optional)
    aims = [
        Aim(last=every),
        Aim(first=tuple(name for name in by_hand if name not in early)),
        Aim(done=washes),
        # Soaking late, and all else as soon as it can be.
        Aim(starts=tuple((name, -1) for name in every if name in early), tidy=True),
        Aim(starts=tuple((name, 1) for name in every if name not in early), tidy=True),
    ]
    return [aim for aim in aims if replace(aim, tidy=False) != Aim()]


def _clearing(recipes: Mapping[str, Sequence[Step]]) -> Clearing:
    return Clearing(
        {_name(b, step.name): _name(b, wash.name) for b, step, wash in _washings(recipes)},
        tuple(_name(batch, step.name) for batch, step in _all(recipes) if step.ready),
        SOON,
    )


def _early(steps: Sequence[Step]) -> set[str]:
    """Name the steps that may be done the evening before: those up to a long wait, and it.

    What cooks for a set time is no wait: done by six, it stands till the kitchen opens. What may
    cook on does so until the next step.
    """
    idle = [step for step in steps if not step.hands and step.least >= LONG_WAIT]
    waits = [step for step in idle if not step.heats or step.least < step.most]
    by_name = {step.name: step for step in steps}
    early: set[str] = set()
    todo = [step.name for step in waits]
    while todo:
        name = todo.pop()
        if name not in early:
            early.add(name)
            todo.extend(by_name[name].after)
    return early


def windows(kitchen: Kitchen, step: Step, *, early: bool) -> tuple[tuple[int, int], ...]:
    """Give the spans in which a step may be done, in minutes; none where it fits into none.

    Hands work in the evening only for what may be early, else on the prep day; the oven is hot a
    while after the day has begun.

    Parameters
    ----------
    kitchen
        The kitchen.
    step
        A step.
    early
        Whether it may be done the evening before.

    Returns
    -------
    tuple of tuple of int and int
        First and last minute of each, from midnight before the evening before, in order.

    Examples
    --------
    >>> day = Kitchen(starts=time(9), ends=time(17))
    >>> windows(day, Step("fry", "fry it", 15, 15), early=False)
    ((1980, 2460),)
    >>> windows(day, Step("roast", "roast it", 600, 600, hands=False), early=False)
    ()
    """
    opens, closes = (DAY + minutes(time) for time in (kitchen.starts, kitchen.ends))
    if step.oven is not None:
        opens += HEATING
    evening = (minutes(kitchen.evening[0]), minutes(kitchen.evening[1]))
    if not step.hands:
        spans = [(evening[0] if early else opens, closes)]
    else:
        spans = [evening, (opens, closes)] if early else [(opens, closes)]
    return tuple((low, high) for low, high in spans if high - low >= step.least)


def minutes(clock: time) -> int:
    """Count the minutes since midnight.

    Parameters
    ----------
    clock
        A time of the day.

    Returns
    -------
    int
        From 0 to 1439; seconds are left out.

    Examples
    --------
    >>> minutes(time(9, 5))
    545
    """
    return clock.hour * 60 + clock.minute


def _links(recipes: Mapping[str, Sequence[Step]], limits: Mapping[str, Cooling]) -> Iterator[Link]:
    for batch, steps in recipes.items():
        for step in steps:
            # Between the last of those before and this: from each at least so long; at most so
            # long from the last alone, which from each would ask too much.
            for earlier in step.after:
                most = step.gap[1] if len(step.after) == 1 else None
                yield Link(_name(batch, earlier), _name(batch, step.name), step.gap[0], most)
            if step.name == FILL:
                limit = limits[batch].minutes
                for cooked in _cooked(steps):
                    # From the end of cooking into the fridge, whatever comes between.
                    yield Link(
                        _name(batch, cooked),
                        _name(batch, FILL),
                        0,
                        limit - step.least,
                        limit if step.ways else None,
                    )


def _cooked(steps: Sequence[Step]) -> tuple[str, ...]:
    """Name the last steps that heat, from which the time into the fridge counts.

    What is mixed, or left to cool, after them has that time too. Of what was never heated it is
    the last step.
    """
    named = {step.name: step for step in steps}

    def heated(name: str) -> list[str]:
        step = named[name]
        return [name] if step.cooks else list(chain.from_iterable(map(heated, step.after)))

    ends = next((step.after for step in steps if step.name in CLOSING), ())
    return tuple(dict.fromkeys(chain.from_iterable(heated(end) or [end] for end in ends)))


def _heats(recipes: Mapping[str, Sequence[Step]]) -> Iterator[tuple[str, str, int]]:
    """Give the pairs of steps that want the oven at two heats, and the minutes between them."""
    baked = [(batch, step) for batch, step in _all(recipes) if step.oven is not None]
    for (batch, first), (other_batch, other) in combinations(baked, 2):
        if first.oven != other.oven:
            # What follows in the same batch stays in while the heat is turned.
            stays = batch == other_batch and first.name in other.after
            yield _name(batch, first.name), _name(other_batch, other.name), 0 if stays else TURNING


def _why_not(
    kitchen: Kitchen, recipes: Mapping[str, Sequence[Step]], limits: Mapping[str, Cooling]
) -> str:
    """Say what does not fit: one batch alone, or all of them together."""
    for name, steps in recipes.items():
        if timetable(kitchen, {name: steps}, limits) is None:
            return f"the steps of {name} alone do not fit between {_clock(kitchen)}"
    longer = replace(kitchen, ends=time(23, 59))
    if timetable(longer, recipes, limits) is not None:
        return f"together they do not fit between {_clock(kitchen)}: a longer day would do"
    return f"together they do not fit between {_clock(kitchen)}"


def _clock(kitchen: Kitchen) -> str:
    return f"{kitchen.starts:%H:%M} and {kitchen.ends:%H:%M}, gaps and cooling limits kept"


# -- the audit -------------------------------------------------------------------------


def faults(
    kitchen: Kitchen,
    recipes: Mapping[str, Sequence[Step]],
    limits: Mapping[str, Cooling],
    placed: Sequence[Placed],
) -> Iterator[str]:
    """Find where a timetable breaks what it has to keep, with no solver.

    Parameters
    ----------
    kitchen, recipes, limits
        As for `timetable`.
    placed
        The timetable.

    Yields
    ------
    str
        A clause each, not wrapped; none where all is kept.

    Examples
    --------
    >>> boil = Step("boil", "boil it", 30, 30, rings=1)
    >>> short = Placed("soup", boil, DAY + 720, DAY + 740)
    >>> list(faults(Kitchen(), {"soup": [boil]}, {"soup": Cooling(90, "")}, [short]))
    ['soup: boil it takes 20 minutes']
    """
    at = {(timed.batch, timed.step.name): timed for timed in placed}
    for batch, steps in recipes.items():
        early = _early(steps)
        for step in steps:
            timed = at.get((batch, step.name))
            if timed is None:
                yield f"{batch}: {step.work} is missing"
                continue
            lasts = timed.ends - timed.begins
            if not step.least <= lasts <= step.most:
                yield f"{batch}: {step.work} takes {lasts} minutes"
            spans = windows(kitchen, step, early=step.name in early)
            if not any(low <= timed.begins and timed.ends <= high for low, high in spans):
                yield f"{batch}: {step.work} is outside the hours"
            yield from _order_faults(batch, step, timed, at)
        yield from _cooling_faults(batch, steps, limits[batch], at)
    yield from _sharing_faults(kitchen, placed)
    yield from _clean_faults(placed)


def _order_faults(
    batch: str, step: Step, timed: Placed, at: Mapping[tuple[str, str], Placed]
) -> Iterator[str]:
    ends = [at[batch, name].ends for name in step.after if (batch, name) in at]
    if not ends:
        return
    gap = timed.begins - max(ends)
    least, most = step.gap
    if gap < least or (most is not None and len(step.after) == 1 and gap > most):
        yield f"{batch}: {gap} minutes before {step.work}"


def _cooling_faults(
    batch: str, steps: Sequence[Step], limit: Cooling, at: Mapping[tuple[str, str], Placed]
) -> Iterator[str]:
    away = at.get((batch, FILL))
    if away is None:
        return
    for name in _cooked(steps):
        took = away.ends - at[batch, name].ends
        if took > limit.minutes:
            yield f"{batch}: {took} minutes into the fridge, {limit.source}"


def _sharing_faults(kitchen: Kitchen, placed: Sequence[Placed]) -> Iterator[str]:
    there = {
        "hands": kitchen.hands,
        "oven": kitchen.oven_trays,
        "rings": kitchen.rings,
        "blenders": kitchen.blenders,
    }
    for moment in sorted({timed.begins for timed in placed}):
        now = [timed for timed in placed if timed.begins <= moment < timed.ends]
        for thing, number in there.items():
            used = sum(timed.step.uses(timed.ends - timed.begins).get(thing, 0) for timed in now)
            if used > number:
                yield f"{used} {thing} at minute {moment}, there are {number}"
        heats = {timed.step.oven for timed in now if timed.step.oven is not None}
        if len(heats) > 1:
            yield f"the oven at {len(heats)} heats at minute {moment}"
    baked = [timed for timed in placed if timed.step.oven is not None]
    for first, other in permutations(baked, 2):
        stays = first.batch == other.batch and first.step.name in other.step.after
        turned = 0 <= other.begins - first.ends < TURNING and first.step.oven != other.step.oven
        if turned and not stays:
            yield f"{other.batch}: no time to turn the oven to {other.step.oven} °C"


def _clean_faults(placed: Sequence[Placed]) -> Iterator[str]:
    """Find ready food that meets what raw food left behind."""
    washings = [timed for timed in placed if is_washing(timed.step)]
    for raw in (timed for timed in placed if timed.step.raw):
        clean = min(
            (washing.ends for washing in washings if washing.begins >= raw.ends), default=None
        )
        if clean is None or clean > raw.ends + SOON + WASHING:
            yield f"{raw.batch}: nothing is washed after {raw.step.work}"
        for timed in placed:
            after = timed.ends > raw.begins and (clean is None or timed.begins < clean)
            if timed.step.ready and after:
                yield f"{timed.batch}: {timed.step.work} meets what {raw.step.work} left behind"
