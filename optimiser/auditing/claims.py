"""What a plan claims beyond its sums: that it is proven, why it is as it is, what changed.

Only a solver could find these anew. What can be told without one is told: a proof that the figures
contradict, a rule that the week has not, and whether anything was edited since it was written.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import takewhile

from models.answers.audit import Finding
from models.answers.plan import PlanFile, PriorityLine, RuleLine
from models.week.week import Week
from models.words.giving import LEVELS, WISHES
from models.words.numbers import listed
from models.words.priorities import TIE_BREAK
from optimiser.priorities import PRIORITIES
from optimiser.rules import Rule, rule_line

CLAIMS = "what a plan claims agrees with its figures and its week"
SEAL = "a plan stands as it was written"


def taken_as_written(
    plan: PlanFile, checked: Sequence[str] = (), by_word: Sequence[str] = ()
) -> list[str]:
    """Name what a plan says that no audit finds out, in the order of the plan.

    Parameters
    ----------
    plan
        The plan.
    checked, by_word
        Titles of the priorities in which no plan is better: as the audit has added up, and as
        the solver alone says.

    Returns
    -------
    list[str]
        Each as the end of "it says ..."; only what this plan does say.

    Examples
    --------
    >>> import optimiser
    >>> plan = optimiser.plan("minimal", reasons=False)
    >>> taken_as_written(plan, ["left over"], ["cost", "minutes"])
    ['that no plan is better in cost and minutes']
    """
    where = f" in {listed(by_word)}" if checked else ""
    claims = (
        (f"that no plan is better{where}", bool(by_word)),
        ("what wishes cost", bool(plan.wishes)),
        ("why each lunch is as it is", any(line.reasons for line in plan.lunches)),
        ("why not less is left over", bool(plan.left_over.why)),
        ("what a lunch leaves that falls through", plan.bends is not None),
        ("what keeping a rule that gives way would take", plan.nearest is not None),
        ("what went otherwise", bool(plan.changes)),
    )
    return [claim for claim, is_made in claims if is_made]


def claims(plan: PlanFile, week: Week, rules: Sequence[Rule]) -> Iterator[Finding]:
    """Find claims of a plan that cannot be true, with no solver.

    Parameters
    ----------
    plan
        The plan.
    week
        Its own week.
    rules
        The rules of that week.

    Yields
    ------
    Finding
        Where it is claimed, and what contradicts it.

    Examples
    --------
    >>> from optimiser.interface.given import printed
    >>> from optimiser.rules import rules_of
    >>> made = printed("minimal")
    >>> list(claims(made.plan, made.week, rules_of(made.week)))
    []
    >>> untrue = made.plan.model_copy(update={"status": "feasible"})
    >>> [finding.what for finding in claims(untrue, made.week, rules_of(made.week))]
    ['feasible is not what the plan and its bounds come to']
    """
    untrue = [
        *_priorities(plan, week),
        *_status(plan),
        *_rules(plan, week, rules),
        *_bends(plan),
        *_nearest(plan, rules),
        *_changes(plan, week),
    ]
    for where, what in untrue:
        yield Finding(rule="claims", sentence=CLAIMS, where=where, what=what)


def seal(plan: PlanFile) -> Iterator[Finding]:
    """Find out whether anything was edited since the plan was written.

    Parameters
    ----------
    plan
        The plan.

    Yields
    ------
    Finding
        One where the SHA-256 of all else is not the seal that stands in it, else none.

    Examples
    --------
    >>> import optimiser
    >>> made = optimiser.plan("minimal", reasons=False)
    >>> edited = made.model_copy(update={"name": "Mine"})
    >>> [finding.where for plan in (made, edited) for finding in seal(plan)]
    ['the file']
    """
    if plan.seal != plan.sealed().seal:
        what = (
            "it was edited since: proofs and reasons are of what stood there before. "
            "Plan again, with --keep for what should stay"
        )
        yield Finding(rule="seal", sentence=SEAL, where="the file", what=what)


# -- each sort of claim: where, and what is wrong ----------------------------------------


def _priorities(plan: PlanFile, week: Week) -> Iterator[tuple[str, str]]:
    names = [line.name for line in plan.priorities]
    wanted = list(week.priorities)
    if plan.changes and "left_over" in wanted:
        # A week that runs leaves least over, whatever else matters.
        wanted = ["left_over", *(name for name in wanted if name != "left_over")]
    if names != wanted:
        yield "what matters", f"the week has them in this order: {', '.join(wanted)}"
        return
    is_open = False
    for line in plan.priorities:
        priority = PRIORITIES[line.name]
        if (line.unit, line.better) != (priority.unit, "more" if priority.most else "less"):
            yield priority.title, f"it is counted in {priority.unit}, or the other way round"
        elif wrong := _unproven(line, is_open=is_open):
            yield priority.title, wrong
        is_open = is_open or not line.proven


def _unproven(line: PriorityLine, *, is_open: bool) -> str:
    """Say why a proof cannot be one; nothing where it may be."""
    if line.proven != (line.bound == line.value):
        return "it is proven where its bound is reached, and only there"
    if line.proven and is_open:
        return "it cannot be proven, as what matters more is not"
    beyond = -1 if line.better == "more" else 1
    if line.bound is not None and (line.bound - line.value) * beyond > 0:
        return "its bound says that no plan can be as good as this one"
    return ""


def _status(plan: PlanFile) -> Iterator[tuple[str, str]]:
    levels = [] if plan.nearest is None else plan.nearest.levels
    is_open = [line.name for line in (*levels, *plan.priorities) if not line.proven]
    has_lunches = bool(plan.lunches) or bool(plan.nearest and plan.nearest.bought)
    # Which of equal plans comes first in the file is not what makes a plan the best.
    possible = {
        "optimal": has_lunches and set(is_open) <= {TIE_BREAK},
        "feasible": has_lunches and bool(is_open),
        "infeasible": not plan.lunches,
        "unknown": not plan.lunches and plan.nearest is None,
    }
    if not possible[plan.status]:
        yield "the proof", f"{plan.status} is not what the plan and its bounds come to"
    if plan.conflict and plan.lunches and plan.nearest is None:
        yield "the proof", "rules that cannot hold together, and a plan that keeps them"
    if plan.left_over.why and not plan.left_over.grams:
        yield "left over", "why not less, where nothing is"


def _rules(plan: PlanFile, week: Week, rules: Sequence[Rule]) -> Iterator[tuple[str, str]]:
    """Hold each rule that is named against the week's own."""
    lines = {line.key: line for line in map(rule_line, rules)}
    lines |= {
        f"priority:{name}": RuleLine(key=f"priority:{name}", sentence=priority.title)
        for name, priority in PRIORITIES.items()
    }
    lines |= {
        f"priority:{name}": RuleLine(key=f"priority:{name}", sentence=level.title)
        for name, level in LEVELS.items()
    }
    above = takewhile(lambda name: name != "left_over", week.priorities)
    kept = [RuleLine(key=f"priority:{name}", sentence=PRIORITIES[name].kept) for name in above]
    named = [("left over", line) for line in plan.left_over.why if line not in kept]
    # In the way a rule may say besides what of this week it means.
    told = [rule_line(rule, week) for rule in rules] if plan.conflict else []
    named += [("what stands in the way", line) for line in plan.conflict if line not in told]
    named += [(wish.wish, line) for wish in plan.wishes for line in wish.rules]
    for lunch in plan.lunches:
        where = f"{lunch.date:%a}, {lunch.eater}"
        named += [(where, line) for reason in lunch.reasons for line in reason.rules]
        for reason in lunch.reasons:
            if reason.priority not in (None, *PRIORITIES, *LEVELS):
                yield where, f"there is no priority named {reason.priority!r}"
    for where, line in named:
        if lines.get(line.key) != line:
            yield where, f"{line.key!r} is no rule of the week, or it says something else"


def _nearest(plan: PlanFile, rules: Sequence[Rule]) -> Iterator[tuple[str, str]]:
    """Hold what is said to give way against the rules, and its proofs against each other."""
    if plan.nearest is None:
        return
    names = [line.name for line in plan.nearest.levels]
    if names != [name for name in LEVELS if name != WISHES or name in names]:
        yield "what gives way", "it is not what can give way, in its order"
        return
    is_open = False
    for level in plan.nearest.levels:
        unit = LEVELS[level.name].unit
        if level.better != "less" or level.unit != unit:
            yield "what gives way", f"{level.name} is counted in {unit}, the less the better"
        elif wrong := _unproven(level, is_open=is_open):
            yield "what gives way", wrong
        is_open = is_open or not level.proven
    lines = {rule.key: (rule.gives, rule_line(rule)) for rule in rules if rule.gives}
    keys = [line.rule.key for line in plan.nearest.gave_way]
    for line in plan.nearest.gave_way:
        if lines.get(line.rule.key) != (line.about, line.rule) or not line.places:
            yield "what gives way", f"{line.rule.key!r} is no rule that does, or it says otherwise"
    if len(set(keys)) < len(keys):
        yield "what gives way", "it names a rule twice"


def _bends(plan: PlanFile) -> Iterator[tuple[str, str]]:
    if plan.bends is not None:
        told = [(line.date, line.eater) for line in plan.bends.lunches]
        if told != [(line.date, line.eater) for line in plan.lunches]:
            yield "if one fails", "it tells of other lunches than there are"


def _changes(plan: PlanFile, week: Week) -> Iterator[tuple[str, str]]:
    """Hold what went otherwise against the days, the eaters and the batches that there are."""
    last = max((line.today for line in plan.changes), default=date.min)
    if any(entry.day >= last for entry in plan.past):
        yield "what went otherwise", "its calendar of the past tells of days to come"
    days = [line.today for line in plan.changes]
    if days != sorted(days) or any(not week.days[0] <= day <= week.days[-1] for day in days):
        yield "what went otherwise", "its days are not those of this week, in order"
    gone = Counter[str]()
    for line in plan.changes:
        for lost in (*line.ate, *line.dropped):
            gone[lost.batch] += lost.portions
        named = {off.eater for off in line.no_lunch} | {joining.eater for joining in line.joined}
        if not named <= {None, *week.eaters}:
            yield "what went otherwise", "it names who does not eat this week"
        dates = {off.date for off in line.no_lunch} | {joining.date for joining in line.joined}
        if not dates <= set(week.days):
            yield "what went otherwise", "it names days that this week has not"
        frozen = {tub.batch for tub in line.thawed_unused} | {tub.batch for tub in line.froze}
        if not frozen <= set(week.batches):
            yield "what went otherwise", "it names a batch that this week has not"
    for batch, portions in gone.items():
        if batch not in week.batches or portions > week.batches[batch].gone:
            yield "what went otherwise", f"more of {batch} is gone than the week says"
