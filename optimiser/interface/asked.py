"""Questions to a week: each reads what it is given, works in the background, and answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal, cast

from models.words.errors import InputError
from optimiser.interface.background import in_background, in_time, is_late
from optimiser.interface.given import own_foods, plan_and_source, read_plan, read_week, source_of
from optimiser.interface.history import history, is_folder

if TYPE_CHECKING:
    from models.answers.audit import AuditFile
    from models.answers.change import ChangeFile
    from models.answers.check import CheckFile
    from models.answers.food import FoodFile
    from models.answers.mend import MendFile
    from models.answers.next import NextFile
    from models.answers.others import OthersFile
    from models.answers.plan import PlanFile as Plan
    from models.answers.size import SizeFile
    from models.answers.trace import TraceFile
    from models.answers.tradeoff import TradeOffFile
    from models.answers.whatif import WhatIfFile
    from models.answers.why import WhyFile
    from models.week.knobs import Knob
    from models.week.packed import PackedWeek
    from models.week.week import Week
    from optimiser.explain.wishes import Goal, Wish
    from optimiser.interface.background import Work
    from optimiser.interface.given import Files, PlanGiven, WeekGiven
    from optimiser.solve.limits import Say, Stop
    from optimiser.solve.week import Solved
    from optimiser.weeks.repeats import Repeats

NotTwice = Literal["dish", "kind", "all"]
"""What may not come twice."""


def plan(
    week: WeekGiven,
    *,
    seconds: float | None = None,
    reasons: bool = True,
    prefer: str | Iterable[str] = (),
    no_repeats: NotTwice | None = None,
    after: Iterable[PlanGiven] = (),
    keep: PlanGiven | None = None,
    bends: bool = False,
    nearest: bool = False,
    proofs: bool = False,
) -> Plan:
    """Find the best week, and say why for each lunch.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    seconds
        Time limit, reasons included; none when left out.
    reasons
        Whether to say why for each lunch.
    prefer
        Wishes, each a dish on a day: "Leek bake on tue", "Leek bake on tue for Ann".
    no_repeats
        "dish": no dish twice, where at all possible; "kind": no kind of dish either; "all": no
        choice either. What it costs is said. Dishes under `lately` in the week file count as had.
    after
        Plans that were eaten before: their dishes count as had lately. Or folders of plans, of
        which those of the four weeks before count.
    keep
        A plan of this week of which as few lunches as can be are to change.
    bends
        Whether to say what is left over if a lunch falls through.
    nearest
        Whether variety, floors and at last lunches give way where no week keeps every rule.
    proofs
        Whether what of the proof needs no solver is to travel with the plan, for `audit`.

    Returns
    -------
    Plan
        Its `status` is "optimal" where everything is proven, "feasible" where the time limit or
        an interrupt came first, "infeasible" or "unknown" where there is none.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> plan("minimal", reasons=False).status
    'optimal'
    """
    one_by_one = prefer or no_repeats or keep or bends or nearest
    week = _each_alone(week, "plan") if one_by_one else read_week(week)
    wishes = [] if not prefer else _wishes(week, prefer, "--prefer")
    near = None if keep is None else _packed_before(week, keep)
    ways = Ways(seconds, reasons, no_repeats, bends, nearest, proofs)
    varied = _varied(week, no_repeats, list(after))
    return in_background(ways.work(week, prefer=wishes, near=near, varied=varied))


@dataclass(frozen=True, slots=True)
class Ways:
    """How a week is to be planned, whichever it is: as `plan` takes these.

    Attributes
    ----------
    seconds, reasons, no_repeats, bends, nearest, proofs
        As `plan` takes them.
    """

    seconds: float | None = None
    reasons: bool = True
    no_repeats: NotTwice | None = None
    bends: bool = False
    nearest: bool = False
    proofs: bool = False

    def work(
        self,
        week: Week,
        *,
        prefer: Sequence[Wish] = (),
        near: PackedWeek | None = None,
        varied: Sequence[Repeats] | None = None,
    ) -> Work[Plan]:
        """Give the work of planning a week these ways, which is still to be begun.

        Parameters
        ----------
        week
            The week.
        prefer, near, varied
            What is wished besides, as `plan_week` takes it; `varied` of the week alone when left
            out.

        Returns
        -------
        Callable
            To be given a `Stop` and whom to tell how far it is.

        Examples
        --------
        >>> from optimiser.solve.limits import Stop, silent
        >>> Ways(reasons=False).work(read_week("minimal"))(Stop(), silent).status
        'optimal'
        """
        from optimiser.planning import plan_week  # noqa: PLC0415

        return lambda stop, say: plan_week(
            week,
            seconds=self.seconds,
            stop=stop,
            reasons=self.reasons,
            prefer=prefer,
            near=near,
            varied=_varied(week, self.no_repeats, []) if varied is None else varied,
            bend=self.bends,
            nearest=self.nearest,
            proofs=self.proofs,
            say=say,
        )


def _each_alone(week: WeekGiven, asked: str) -> Week:
    from models.week.week import one_by_one  # noqa: PLC0415

    week = read_week(week)
    one_by_one(week, asked)
    return week


def _each(texts: str | Iterable[str]) -> list[str]:
    return [texts] if isinstance(texts, str) else list(texts)


def _wishes(week: Week, texts: str | Iterable[str], option: str) -> list[Wish]:
    from optimiser.explain.wishes import wish_of  # noqa: PLC0415

    return [wish_of(week, text, option) for text in _each(texts)]


def _packed_before(week: Week, given: PlanGiven) -> PackedWeek:
    """Read what a plan of this week packed."""
    from optimiser.auditing import packed_of  # noqa: PLC0415

    saved, source = read_plan(given), source_of(given)
    if not {line.date for line in saved.lunches} <= set(week.days):
        raise InputError(source, "this plan is of another week", "Name a plan of the same days.")
    return packed_of(saved, week, source)


def _varied(week: Week, way: NotTwice | None, after: list[PlanGiven]) -> list[Repeats]:
    """Give what may not come again; plans of other weeks alone ask for no dish twice."""
    if way is None and not after:
        return []
    from optimiser.weeks.repeats import asked  # noqa: PLC0415

    eaten = [(eater, dish) for eater, dishes in week.lately.items() for dish in dishes]
    for given in after:
        if is_folder(given):
            plans = history(cast("str", given), min(week.days)).plans
            eaten += [pair for saved in plans for pair in _eaten(saved)]
            continue
        saved, source = read_plan(given), source_of(given)
        if not saved.lunches:
            raise InputError(source, "this plan has no lunches", "Name a plan that was eaten.")
        if max(line.date for line in saved.lunches) >= min(week.days):
            same = {line.date for line in saved.lunches} & set(week.days)
            what = "this plan is of the same days" if same else "this plan is of later days"
            raise InputError(source, what, "Name the plan of a week before.")
        eaten += _eaten(saved)
    return asked("dish" if way is None else way, eaten)


def _eaten(saved: Plan) -> list[tuple[str, str]]:
    """List who had which dish in a plan; of one that is another way of a dish, that dish."""
    dishes = saved.week.get("dishes", {})
    same = {name: entry.get("same_as") for name, entry in dishes.items() if entry}
    return [(line.eater, same.get(line.dish) or line.dish) for line in saved.lunches]


def why(
    week: WeekGiven,
    day: str | date | None = None,
    *,
    eater: str | None = None,
    not_: str | None = None,
    better: str | None = None,
    all: bool = False,  # noqa: A002 - what the command calls it
    seconds: float | None = None,
) -> WhyFile:
    """Say why a lunch is as it is, why not otherwise, or why there is no plan.

    Without a day: why no plan is possible, or what every lunch could have been. Where an entry of
    the file is many eaters: what one lunch more or fewer with each dish would do.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    day
        A day of it, as "tue", "2026-12-01" or a date.
    eater
        Whose lunch, where there are several.
    not_
        A dish: why not this one on that day.
    better
        A priority, as "left_over": why no week does better in it.
    all
        The verdict on every dish on every day.
    seconds
        Time limit, reasons included.

    Returns
    -------
    WhyFile
        The lunches asked about in `lunches`, each with a verdict on every dish, in `counted` where
        they are counted; with `not_` or `better` the verdict in `answer`. Without a plan: the rules
        that clash in `conflict`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> why("minimal", better="left_over").answer.verdict
    'impossible'
    """
    from models.week.week import groups_of  # noqa: PLC0415
    from optimiser.explain.why import Question, Why, answer  # noqa: PLC0415

    week = read_week(week)
    question = Question(day=_day(day), eater=eater, dish=not_, better=better, all=all)
    question.check(week)
    asks = Why
    if groups_of(week):
        from optimiser.explain.counted import WhyCounted as asks  # noqa: N813, PLC0415
    return in_time(
        lambda stop, say: answer(week, question, asks=asks, seconds=stop.share, stop=stop, say=say),
        seconds,
    )


def _day(day: str | date | None) -> str | None:
    return day.isoformat() if isinstance(day, date) else day


def mend(
    week: WeekGiven,
    until: str | Iterable[str] = (),
    *,
    allow: str | Iterable[str] = (),
    count: int = 3,
    seconds: float | None = None,
) -> MendFile:
    """Find the smallest changes that mend a week, each with the plan it leads to.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    until
        Goals: "none-left", or a priority at most (or at least) so much, as "cost <= 18".
    allow
        Dishes to make possible, each on a day: "Leek bake on tue".
    count
        How many different sets of changes to look for.
    seconds
        Time limit; none when left out.

    Returns
    -------
    MendFile
        Each of its `ways` has the text of the week file so mended in `text`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> way = mend("impossible", count=1).ways[0]
    >>> plan(way.text, reasons=False).status
    'optimal'
    """
    from optimiser.explain.mend import mend as look  # noqa: PLC0415
    from optimiser.explain.wishes import goal_of  # noqa: PLC0415

    week = _each_alone(week, "mend")
    wanted: list[Goal | Wish] = [goal_of(week, text) for text in _each(until)]
    wanted += _wishes(week, allow, "--allow")
    return in_time(lambda stop, say: look(week, wanted, count=count, stop=stop, say=say), seconds)


def what_if(
    week: WeekGiven,
    *,
    yields: str | Iterable[str] = (),
    floors: str | Iterable[str] = (),
    lunches: str | None = None,
    named: str | None = None,
    seconds: float | None = None,
    cluster: str | None = None,
) -> WhatIfFile:
    """Plan the week for each of several amounts, and say where nothing is left over.

    With nothing asked: what the week file keeps under `what_ifs`.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    yields
        How much of a batch is cooked: "pea soup=4..10", "=4..10 by 2", "=60%..140%", "=4, 6, 9".
    floors
        A floor in each lunch: "Ann protein=20..28".
    lunches
        How many days have a lunch: "3..5".
    named
        Which of those kept in the week file, where it keeps several.
    seconds
        Time limit for all of it.
    cluster
        Address of a Dask cluster of your own on which the weeks are planned, "tcp://host:port".

    Returns
    -------
    WhatIfFile
        A row for each value, or pair of values, in `rows`: what its week leaves over in g, whether
        that is proven to be the least, and the letter of its dishes, which `shapes` spells out.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> [row.values for row in what_if("starter", lunches="2..3").rows]
    [[2.0], [3.0]]
    """
    from models.file.knobs import questions  # noqa: PLC0415

    week = read_week(week)
    names = [] if named is None else [named]
    wanted = questions(week, _each(yields), _each(floors), lunches, names)
    if len(wanted) > 1:
        mend = f"Name one of: {', '.join(wanted)}."
        raise InputError("named", "the week file keeps several what-ifs", mend)
    return answered(week, wanted, seconds=seconds, cluster=cluster)[0]


def answered(
    week: Week,
    wanted: Mapping[str, tuple[Knob, ...]],
    *,
    seconds: float | None = None,
    cluster: str | None = None,
) -> list[WhatIfFile]:
    """Answer several what-ifs.

    Parameters
    ----------
    week
        The week.
    wanted
        What is turned, by the name of the question.
    seconds
        Time limit for all of it.
    cluster
        Address of a Dask cluster on which the weeks are planned.

    Returns
    -------
    list[WhatIfFile]
        An answer for each, in their order.

    Examples
    --------
    >>> from models.file.knobs import questions
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> [answer] = answered(week, questions(week, lunches="2..3"))
    >>> [(row.values, row.status, row.left_over) for row in answer.rows]
    [([2.0], 'optimal', 0.0), ([3.0], 'optimal', 0.0)]
    """
    from optimiser.interface.cluster import on_cluster  # noqa: PLC0415
    from optimiser.weeks.whatif import what_if as ask  # noqa: PLC0415

    backend = on_cluster(cluster)

    def every(stop: Stop, say: Say) -> list[WhatIfFile]:
        with stop.within(seconds):
            return [
                ask(
                    week,
                    knobs,
                    seconds=stop.left,
                    stop=stop,
                    say=say,
                    name=name,
                    backend=backend,
                )
                for name, knobs in wanted.items()
            ]

    return in_background(every)


def size(week: WeekGiven, *, seconds: float | None = None) -> SizeFile:
    """Choose how much of each batch to cook, so that nothing is left over.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    seconds
        Time limit, how firm it is included.

    Returns
    -------
    SizeFile
        With the text of the week file so changed in `text`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> sizes = size("minimal")
    >>> all(line.cook in line.allowed for line in sizes.batches)
    True
    """
    from optimiser.weeks.size import size as choose  # noqa: PLC0415
    from optimiser.weeks.size import sized  # noqa: PLC0415

    week = _each_alone(week, "size")
    chosen = in_time(
        lambda stop, say: choose(week, seconds=stop.share, stop=stop, say=say), seconds
    )
    return chosen.model_copy(update={"text": sized(week, chosen)})


def others(
    week: WeekGiven, count: int = 5, *, equal: int | None = None, seconds: float | None = None
) -> OthersFile:
    """Find weeks as good in the first priorities and as different as can be.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    count
        How many other weeks.
    equal
        In how many priorities, from the first, they are as good; 2 when left out.
    seconds
        Time limit for all of it.

    Returns
    -------
    OthersFile
        Each of its `weeks`, the best plan first, has its plan in `plan`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> answer = others("minimal", 1)
    >>> [week.plan.status for week in answer.weeks]
    ['optimal', 'optimal']
    """
    from optimiser.planning import Found, write  # noqa: PLC0415
    from optimiser.weeks.others import others as look  # noqa: PLC0415

    week = _each_alone(week, "others")

    def every(stop: Stop, say: Say) -> tuple[OthersFile, list[Solved]]:
        with stop.within(seconds):
            answer, plans = look(week, count, equal=equal, seconds=stop.share, stop=stop, say=say)
        return answer.model_copy(update={"late": is_late(stop, answer)}), plans

    answer, plans = in_background(every)
    written = (write(week, Found(solved, [], [], [], [], interrupted=False)) for solved in plans)
    weeks = [
        line.model_copy(update={"plan": made})
        for line, made in zip(answer.weeks, written, strict=False)
    ]
    return answer.model_copy(update={"weeks": weeks})


def trade_off(
    week: WeekGiven, first: str, second: str, *, most: int = 50, seconds: float | None = None
) -> TradeOffFile:
    """Find every best compromise between two priorities, each proven.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    first, second
        Two priorities of the week, as "cost" and "minutes".
    most
        How many compromises at the most.
    seconds
        Time limit; none when left out.

    Returns
    -------
    TradeOffFile
        The compromises in `points`, from the best in `first` to the best in `second`: of two,
        neither is as good in both. None where no plan is possible.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> all(point.proven for point in trade_off("minimal", "cost", "minutes", most=2).points)
    True
    """
    from optimiser.explain.why import priority_of  # noqa: PLC0415
    from optimiser.weeks.others import trade_off as look  # noqa: PLC0415

    week = _each_alone(week, "trade-off")
    names = [priority_of(week, name, "PRIORITY") for name in (first, second)]
    return in_time(lambda stop, say: look(week, *names, most=most, stop=stop, say=say), seconds)


def change(
    plan: PlanGiven,
    today: str | date | None,
    *,
    no_lunch: str | Iterable[str] = (),
    ate: str | Iterable[str] = (),
    dropped: str | Iterable[str] = (),
    froze: str | Iterable[str] = (),
    joined: str | Iterable[str] = (),
    fewest_changes: bool = False,
    strict: bool = False,
    seconds: float | None = None,
) -> ChangeFile:
    """Plan the rest of a running week again: a lunch falls through, portions are gone.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first: a path, text, or either itself.
    today
        The first day still to be packed, as "wed" or a date; earlier lunches are eaten.
    no_lunch
        Days without lunch: "thu", or "Ann@thu" for one eater.
    ate, dropped
        Portions eaten besides lunches, spilt or spoilt: "pea soup=2".
    froze
        How many were really frozen when some were to be: "pea soup=0", "pea soup=2@wed".
    joined
        A lunch more: "Sam@fri". Who is not of the week comes as a guest.
    fewest_changes
        Whether few changed lunches come before little left over.
    strict
        Whether no rule may give way where no plan keeps them all: then there is none.
    seconds
        Time limit, reasons included.

    Returns
    -------
    ChangeFile
        With the new plan in `plan`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> made = plan("minimal", reasons=False)
    >>> change(made, made.days[1], no_lunch=made.days[2].isoformat()).plan.status
    'optimal'
    """
    from models.file.change import Told  # noqa: PLC0415
    from optimiser.changing import change as plan_again  # noqa: PLC0415

    old, source = plan_and_source(plan)
    asked = Told(
        _day(today),
        _each(no_lunch),
        _each(ate),
        _each(dropped),
        _each(joined),
        fewest_changes,
        _each(froze),
    )
    return in_time(
        lambda stop, say: plan_again(
            old, asked, source, strict=strict, seconds=stop.share, stop=stop, say=say
        ),
        seconds,
    )


def next_week(plan: PlanGiven) -> NextFile:
    """Write the week after a plan: what it leaves goes over.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first: a path, text, or either itself.

    Returns
    -------
    NextFile
        With the text of the week file in `text`.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> answer = next_week(plan("minimal", reasons=False))
    >>> plan(answer.text, reasons=False, no_repeats="dish").days[0] == answer.starts
    True
    """
    from optimiser.following import next_week as write  # noqa: PLC0415

    return write(*plan_and_source(plan))


def audit(plan: PlanGiven, week: WeekGiven | None = None) -> AuditFile:
    """Hold a saved plan, edited or not, against every rule; for that no solver is asked.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first: a path, text, or either itself.
    week
        The week to judge it by; its own when left out.

    Returns
    -------
    AuditFile
        What is wrong in `faults`, none where nothing is.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> audit(plan("minimal", reasons=False)).faults
    []
    """
    from optimiser.auditing import answer  # noqa: PLC0415

    made, source = plan_and_source(plan)
    return answer(made, None if week is None else read_week(week), source)


def check(week: WeekGiven) -> CheckFile:
    """Show how a week was understood: dates, sources, allergens, rules; no solver takes part.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.

    Returns
    -------
    CheckFile
        Everything that was read, worked out or taken for granted, by eater, batch, item and dish.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> len(check("demo").dishes) == len(read_week("demo").dishes)
    True
    """
    from optimiser.checking import check as understood  # noqa: PLC0415

    return understood(read_week(week))


def trace(week: WeekGiven, name: str, nutrient: str = "protein") -> TraceFile:
    """Add up one figure of a batch or larder item, line by line, with its sources.

    Parameters
    ----------
    week
        A week, as `read_week` takes it.
    name
        Of the batch or larder item.
    nutrient
        As "protein" or "PROCNT".

    Returns
    -------
    TraceFile
        A line for each ingredient: grams, the figure in 100 g, its source; the sum, and what a
        portion has of it.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> trace("demo", "leek bake").lines[0].source
    'USDA SR28 11352'
    """
    from optimiser.tracing import trace as add_up  # noqa: PLC0415

    return add_up(read_week(week), name, nutrient)


def food(name: str, foods: Files = ()) -> FoodFile:
    """Show what the food table knows of a food, and where each figure comes from.

    Parameters
    ----------
    name
        A food, as you would say it.
    foods
        Paths of tables of your own, as `read_week` takes them.

    Returns
    -------
    FoodFile
        Figures in 100 g with their units, measures in grams, allergens, how long it keeps, sources.

    Raises
    ------
    InputError
        When no food, or more than one, could be meant.

    Examples
    --------
    >>> food("dried lentils").nutrients["PROCNT"].unit
    'g'
    """
    from models.foods.food import Foods, find  # noqa: PLC0415
    from optimiser.foods import known_of  # noqa: PLC0415

    own = own_foods(foods)
    return known_of(find(name, Foods(own) if own else None))
