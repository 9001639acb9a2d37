"""The kitchen and the steps of a week file, made plain; what cannot be done in it is refused."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import time

from models.file.entries import KitchenEntry
from models.file.food_entries import StepEntry
from models.week.kitchen import Kitchen, Step
from models.words.days import DAY_NAMES
from models.words.errors import suggestion


class StepFault(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """A step that cannot be.

    Attributes
    ----------
    steps
        The keys that lead there, from the batch's steps on.
    """

    def __init__(self, steps: tuple[int | str, ...], what: str, mend: str) -> None:
        self.steps = steps
        self.what = what
        self.mend = mend
        super().__init__(what)


def kitchen_of(entry: KitchenEntry) -> Kitchen:
    """Make a kitchen of its entry.

    Parameters
    ----------
    entry
        As the file has it, times as text.

    Returns
    -------
    Hours as times of day; hands, trays, rings and blenders as whole numbers.

    Examples
    --------
    >>> kitchen_of(KitchenEntry.model_validate({"starts": "10:30"})).starts
    datetime.time(10, 30)
    """
    return Kitchen(
        hands=entry.hands,
        oven_trays=entry.oven_trays,
        rings=entry.rings,
        blenders=entry.blenders,
        starts=time.fromisoformat(entry.starts),
        ends=time.fromisoformat(entry.ends),
        evening=(time.fromisoformat(entry.evening_from), time.fromisoformat(entry.evening_to)),
        hot_day=entry.hot_day,
        own=tuple(_own_hours(entry)),
    )


def _own_hours(entry: KitchenEntry) -> Iterator[tuple[int, time, time]]:
    for at, day in enumerate(DAY_NAMES):
        hours = getattr(entry, day)
        if hours is not None:
            starts, ends = hours.starts or entry.starts, hours.ends or entry.ends
            yield at, time.fromisoformat(starts), time.fromisoformat(ends)


def steps_of(entries: Sequence[StepEntry], kitchen: KitchenEntry) -> tuple[Step, ...]:
    """Make steps of their entries; a step comes after the one above unless it says otherwise.

    Parameters
    ----------
    entries
        In the order of the file.
    kitchen
        What there is to cook with.

    Returns
    -------
    In the order of the file; lengths in whole minutes.

    Raises
    ------
    StepFault
        When a step cannot be done in the kitchen, or names one that does not stand above it.

    Examples
    --------
    >>> wash = StepEntry.model_validate({"do": "wash the peas", "lasts": "5 min"})
    >>> boil = StepEntry.model_validate({"do": "boil them", "lasts": "40 min"})
    >>> [step.after for step in steps_of([wash, boil], KitchenEntry())]
    [(), ('wash the peas',)]
    """
    steps: list[Step] = []
    for at, entry in enumerate(entries):
        step = _step(at, entry, steps)
        _fits(at, step, kitchen)
        steps.append(step)
    return tuple(steps)


def _step(at: int, entry: StepEntry, above: Sequence[Step]) -> Step:
    names = [step.name for step in above]
    name = entry.do if entry.name is None else entry.name
    if name in names:
        raise StepFault((at,), f"{name!r} is a second step of that name", "Give it a 'name'.")
    after = names[-1:] if entry.after is None else entry.after
    for earlier in after:
        if earlier not in names:
            mend = suggestion(earlier, names) if names else "Only steps above it can be named."
            raise StepFault((at, "after"), f"no step above is named {earlier!r}", mend)
    if entry.gap is not None and not after:
        raise StepFault((at, "gap"), "it comes after no step", "Remove 'gap', or name a step.")
    return Step(
        name=name,
        work=entry.do,
        least=entry.lasts[0],
        most=entry.lasts[1],
        hands=entry.hands,
        oven=entry.oven,
        trays=entry.trays if entry.oven is not None else 0,
        rings=entry.rings,
        blenders=int(entry.blender),
        after=tuple(after),
        touches=entry.touches,
        gap=_gap(entry, [step for step in above if step.name in after]),
    )


def _gap(entry: StepEntry, after: Sequence[Step]) -> tuple[int, int | None]:
    """Give the gap before a step.

    Unless it says otherwise, what may vary in length begins at once and lasts until the next
    step: beans lie in their water till they are boiled. What is put into a slow cooker, raw as
    it may be, never stands in it cold till that begins.
    """
    if entry.gap is not None:
        return entry.gap
    waits = entry.lasts[0] != entry.lasts[1] or any(gap.least != gap.most for gap in after)
    slow = not entry.hands and entry.oven is None and Step("", entry.do, 0, 0).slow_cooks
    return (0, 0) if (waits or slow) and len(after) == 1 else (0, None)


def _fits(at: int, step: Step, kitchen: KitchenEntry) -> None:
    there = {
        "oven": (kitchen.oven_trays, "trays"),
        "rings": (kitchen.rings, "rings"),
        "blenders": (kitchen.blenders, "blenders"),
    }
    for thing, number in step.uses().items():
        if thing in there and number > there[thing][0]:
            has, word = there[thing]
            raise StepFault(
                (at,),
                f"{step.work!r} takes {number} {word}, and the kitchen has {has}",
                "Mend the step, or 'kitchen'.",
            )
    if step.hands and step.least != step.most:
        raise StepFault(
            (at, "lasts"),
            f"{step.work!r} needs hands for a time that is not fixed",
            "Write one time, or 'hands: no' where it may wait.",
        )
