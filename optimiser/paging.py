"""What the page needs, gathered: all of it is computed now, for the page has no solver."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from models.answers.page import PageFile, Slider, Volume, VolumeLunch
from models.answers.plan import PlanFile
from models.answers.why import LunchWhy
from models.week import sums
from models.week.cook import week_cooked_in
from models.week.packed import PackedWeek
from models.week.week import Week, groups_of
from optimiser.explain.why import Question, answer
from optimiser.priorities import MONEY, PRIORITIES, values
from optimiser.sheets import lists
from optimiser.sheets.labels import labels
from optimiser.sheets.pack import cards
from optimiser.sheets.prep import prep
from optimiser.sheets.shop import shopping
from optimiser.solve.limits import Say, Stop, silent
from optimiser.weeks.whatif import Outcome, outcomes_of
from optimiser.written import number, portions_said

MOST_VOLUMES = 13
"""Volumes of each batch: about six on either side of the one there is."""


def page(
    plan: PlanFile,
    week: Week,
    packed: PackedWeek,
    *,
    verdicts: bool = True,
    sliders: bool = True,
    stop: Stop | None = None,
    say: Say = silent,
    backend: Mapping[str, Any] | None = None,
) -> PageFile:
    """Gather what the page shows.

    Parameters
    ----------
    plan
        The plan, with its reasons.
    week
        Its week.
    packed
        What it packs.
    verdicts
        Whether to say of every other dish what the week with it comes to.
    sliders
        Whether to plan other volumes of each batch.
    stop
        Ends the work early; what is known by then is shown.
    say
        Is told what is being done.
    backend
        Where other volumes are planned, as `spread` takes it; in this process when left out.

    Returns
    -------
    PageFile
        The plan, its sheets, and what other volumes of each batch come to.

    Examples
    --------
    >>> from optimiser.interface.given import printed
    >>> made = printed("minimal")
    >>> shown = page(made.plan, made.week, made.packed, verdicts=False, sliders=False)
    >>> len(shown.cards.cards), len(shown.labels.labels), shown.sliders
    (3, 1, [])
    """
    stop = Stop() if stop is None else stop
    # Where eaters are counted nobody asks of one lunch, and a volume takes as long as the plan.
    counted = bool(groups_of(week))
    why = _verdicts(week, packed, stop, say) if verdicts and not counted else []
    asked = sliders and not counted
    other_volumes = _sliders(week, packed, stop, say, backend) if asked else []
    return PageFile(
        plan=plan,
        why=why,
        shop=shopping(week, packed),
        labels=labels(week, packed),
        cards=cards(week, packed),
        prep=prep(week, packed),
        sliders=other_volumes,
        lists=[lists.maker(name)(week, packed) for name in lists.names()],
        interrupted=stop.asked,
    )


def _verdicts(week: Week, packed: PackedWeek, stop: Stop, say: Say) -> list[LunchWhy]:
    """Ask of every dish at every lunch; nothing where the plan is not the week's best."""
    verdicts = answer(week, Question(all=True), stop=stop, say=say)
    dishes = {(lunch.eater, lunch.day): lunch.dish for lunch in packed.lunches}
    if any(dishes.get((lunch.eater, lunch.date)) != lunch.dish for lunch in verdicts.lunches):
        return []
    return list(verdicts.lunches)


def _sliders(
    week: Week,
    packed: PackedWeek,
    stop: Stop,
    say: Say,
    backend: Mapping[str, Any] | None,
) -> list[Slider]:
    asked = [
        (name, portions)
        for name, batch in week.batches.items()
        if not batch.earlier
        for portions in _volumes(batch.portions)
    ]
    weeks = [week_cooked_in(week, {name: portions}) for name, portions in asked]
    say(f"{len(weeks)} other volumes to plan, which takes longest; --no-sliders leaves them out")
    by_batch: dict[str, list[Volume]] = {name: [] for name in week.batches}
    planned = values(week, packed)
    outcomes = outcomes_of(
        week,
        weeks,
        [{name: portions} for name, portions in asked],
        stop=stop,
        say=lambda done, of: say(f"{done} of {of} other volumes planned"),
        backend=backend,
    )
    for (name, portions), cooked, came in zip(asked, weeks, outcomes, strict=False):
        by_batch[name].append(_volume(cooked, portions, came, planned))
    return [
        Slider(
            batch=name,
            word=week.batches[name].portion_word,
            now=week.batches[name].portions,
            volumes=volumes,
        )
        for name, volumes in by_batch.items()
        if len(volumes) > 1
    ]


def _volumes(now: int) -> list[int]:
    """Give volumes from three fifths to seven fifths, evenly, with the one there is."""
    low = max(1, int((Decimal(now) * 3 / 5).to_integral_value(ROUND_CEILING)))
    high = max(now + 1, int((Decimal(now) * 7 / 5).to_integral_value(ROUND_FLOOR)))
    step = max(1, -(-(high - low) // (MOST_VOLUMES - 1)))
    below = list(range(now, low - 1, -step))[::-1]
    return [*below, *range(now + step, high + 1, step)]


def _volume(week: Week, portions: int, came: Outcome, planned: Mapping[str, Decimal]) -> Volume:
    packed = came.solved.packed
    if packed is None:
        return Volume(
            portions=portions,
            status=came.solved.status.value,
            why_not=[rule.sentence for rule in came.conflict],
        )
    return Volume(
        portions=portions,
        status=came.solved.status.value,
        left_over=number(sums.left_over(week, packed)),
        cost=number(sums.cost(week, packed)),
        beats=_beats(week, planned, values(week, packed)),
        lunches=[
            VolumeLunch(
                date=lunch.day,
                eater=lunch.eater,
                dish=lunch.dish,
                portions=portions_said(week, lunch),
            )
            for lunch in sorted(packed.lunches, key=lambda lunch: lunch.day)
        ],
    )


def _beats(week: Week, planned: Mapping[str, Decimal], other: Mapping[str, Decimal]) -> str:
    """Say how another volume is better than the plan by the order of priorities, if it is."""
    for name in week.priorities:
        priority = PRIORITIES[name]
        change = other[name] - planned[name]
        if priority.say_change(change, week.currency):
            if (change > 0) != priority.most:
                return ""
            many = priority.number(float(abs(change)), week.currency)
            than = "more" if priority.most else "less"
            if priority.unit == MONEY:
                return f"{many} {than}"
            return f"{many} {priority.units(abs(change))} {than} {priority.change}"
    return ""
