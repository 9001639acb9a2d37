"""From a read week file to a plan file: solve it, explain it, write it down."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal

from models.answers.plan import (
    BendLine,
    Bends,
    LeftOver,
    Nearest,
    PlanFile,
    PriorityLine,
    Proofs,
    Reason,
    RuleLine,
    WishLine,
)
from models.file.carried import carried
from models.week import sums
from models.week.cautions import bearing
from models.week.packed import PackedWeek
from models.week.week import Week, groups_of
from models.words.giving import NOT_ASKED
from models.words.nutrients import NUTRIENTS, PROTEIN
from models.words.priorities import TIE_BREAK
from models.words.units import magnitude
from optimiser.board.board import alike
from optimiser.board.rows import Row
from optimiser.explain.conflicts import impossible, smallest_conflict
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.explain.proofs import proofs_of
from optimiser.explain.reasons import Explainer, conflict_lines, say_loss
from optimiser.explain.wishes import Wish
from optimiser.priorities import PRIORITIES, values
from optimiser.rules import rule_line, rules_of
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Say, Stop, silent
from optimiser.solve.program import Program, priorities_of
from optimiser.solve.week import (
    Asked,
    Changed,
    Fewest,
    Solved,
    Value,
    solve,
    solve_week,
    solve_with,
    unlike,
)
from optimiser.weeks.alone import lunches_alone
from optimiser.weeks.bends import Bending, bending
from optimiser.weeks.nearest import Near, gave_way
from optimiser.weeks.repeats import Repeats
from optimiser.written import (
    batch_info,
    cautions_said,
    days_off,
    freezer_moves,
    in_groups,
    left_over,
    lunch_lines,
    minded,
    number,
    pack_lines,
    totals,
    unpriced,
)


@dataclass(frozen=True, slots=True)
class Found:
    """All that a plan file is written from.

    Attributes
    ----------
    why
        Reasons for each lunch; empty when none were asked for.
    conflict
        Why there is no plan.
    not_less
        Why not less is left over.
    wishes
        What was asked besides, and what it costs.
    nearest
        What gives way where no week keeps every rule.
    proofs
        What of the proof travels with the plan, where it is to.
    """

    solved: Solved
    why: list[list[Reason]]
    conflict: list[RuleLine]
    not_less: list[RuleLine]
    wishes: list[WishLine]
    interrupted: bool
    bends: Bends | None = None
    nearest: Nearest | None = None
    proofs: Proofs | None = None


_KEPT = "the saved plan kept"


@dataclass(frozen=True, slots=True)
class _Wished:
    """What is asked besides the week's own rules and priorities."""

    prefer: Sequence[Asked]
    near: PackedWeek | None
    varied: Sequence[Repeats]

    def __bool__(self) -> bool:
        return bool(self.prefer or self.varied) or self.near is not None


def plan_week(
    week: Week,
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    reasons: bool = True,
    prefer: Sequence[Asked] = (),
    near: PackedWeek | None = None,
    varied: Sequence[Repeats] = (),
    bend: bool = False,
    nearest: bool = False,
    proofs: bool = False,
    say: Say = silent,
) -> PlanFile:
    """Plan a week.

    Parameters
    ----------
    week
        The week.
    seconds
        Time limit, reasons included: where they are asked for, a quarter of it is theirs.
    stop
        Ends the search early from another thread; the best plan so far is given.
    reasons
        Whether to ask why.
    prefer
        Wishes to grant where they are possible.
    near
        A packed week from which as few lunches as can be are to differ.
    varied
        What is to come again as seldom as can be, before any priority.
    bend
        Whether to look, among equal plans, for the one in which most lunches may fall through.
    nearest
        Whether rules may give way where no week keeps them all; else it is said how far they would.
    proofs
        Whether to write down what of the proof can be added up again; not of a wished plan.
    say
        Is told what is being done, for a progress line.

    Returns
    -------
    PlanFile
        Lunches, reasons, values with their proof; or why there is no plan.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> plan = plan_week(week, reasons=False)
    >>> plan.status, len(plan.lunches) == len(week.lunches)
    ('optimal', True)
    """
    stop = Stop() if stop is None else stop
    wished = _Wished(prefer, near, varied)
    with stop.within(seconds):
        share = stop.share if reasons else seconds
        search = _Looking(share, stop, say, reasons=reasons, proofs=proofs)
        return write(week, _found(week, wished, search, bend=bend, nearest=nearest))


@dataclass(frozen=True, slots=True)
class _Looking:
    """How long to look, whether to ask why, and whether to keep what proves it."""

    seconds: float | None
    stop: Stop
    say: Say
    reasons: bool
    proofs: bool


def _found(week: Week, wished: _Wished, search: _Looking, *, bend: bool, nearest: bool) -> Found:
    stop = search.stop
    search.say("looking for the best week")
    program, solved = solve_week(week, seconds=search.seconds, stop=stop)
    wishes: list[WishLine] = []
    if solved.packed is not None and wished:
        search.say("granting wishes")
        program, solved, wishes = _with_wishes(program, solved, wished, search.seconds, stop)
    kept = None
    if search.proofs and solved.packed is not None and not (wished or bend):
        kept = proofs_of(program, {value.name: value.value for value in solved.values})
    bent: Bends | None = None
    if bend and solved.packed is not None and not stop.over:
        chosen = bending(week, program, solved, stop=stop, say=search.say)
        solved, bent = chosen.solved, _bends(chosen)
    why: list[list[Reason]] = []
    not_less: list[RuleLine] = []
    # Of lunches that are counted nobody asks why each is as it is.
    if search.reasons and not stop.over and solved.packed is not None and not groups_of(week):
        search.say("asking why")
        explainer = Explainer(program, solved, stop)
        why = explainer.reasons()
        not_less = explainer.why_not_less_left_over()
    if solved.status is Status.INFEASIBLE:
        search.say("looking for what stands in the way")
        if groups_of(week):
            conflict = conflict_lines(Program(week, alike(week)), stop=stop)
            return Found(solved, [], conflict, [], [], stop.asked)
        conflict = conflict_lines(program, stop=stop)
        return _nearest(week, conflict, wished, search, planned=nearest)
    stopped = stop.asked
    return Found(solved, why, [], not_less, wishes, interrupted=stopped, bends=bent, proofs=kept)


def _nearest(
    week: Week, conflict: list[RuleLine], wished: _Wished, search: _Looking, *, planned: bool
) -> Found:
    """Find the nearest week; plan it, or only say what gives way in it."""
    search.say("looking for the nearest week")
    prefer = [wish for wish in wished.prefer if isinstance(wish, Wish)]
    near = Near.of(week, rules_of(week), priorities_of(week), prefer)
    solved = solve(near.program, seconds=search.seconds, stop=search.stop)
    none = Found(Solved(Status.INFEASIBLE, None, (), None), [], conflict, [], [], search.stop.asked)
    if solved.packed is None:
        return none
    search.say("asking what each lunch could be alone")
    alone = lunches_alone(week, search.stop)
    if not planned:
        told = gave_way(near, solved, None)
        return replace(none, nearest=told.model_copy(update={"alone": alone}))
    asked = not search.stop.over
    search.say("asking what it would take to keep what gives way")
    foils = Foils(near.program, solved, search.stop, ONE_QUESTION)
    told = gave_way(near, solved, foils if asked else None)
    lines = [
        WishLine(
            wish=wish.text,
            granted=(granted := wish.is_granted(solved.packed)),
            text="it holds" if granted else "not in the nearest week",
        )
        for wish in prefer
    ]
    others = _too_late(_Wished([], wished.near, wished.varied))
    lines += [line.model_copy(update={"text": NOT_ASKED}) for line in others]
    values_ = tuple(value for value in solved.values if value.name in week.priorities)
    why = Explainer(near.program, solved, search.stop).reasons() if search.reasons and asked else []
    return Found(
        replace(solved, values=values_),
        why,
        conflict,
        [],
        lines,
        search.stop.asked,
        nearest=told.model_copy(update={"alone": alone}),
    )


def _bends(chosen: Bending) -> Bends:
    return Bends(
        lunches=[
            BendLine(
                date=bend.day,
                eater=bend.eater,
                more=None if bend.more is None else number(Decimal(str(bend.more))),
            )
            for bend in chosen.bends
        ],
        looked_at=chosen.looked_at,
        all_of_them=chosen.all_of_them,
    )


def _with_wishes(
    program: Program, solved: Solved, wished: _Wished, seconds: float | None, stop: Stop
) -> tuple[Program, Solved, list[WishLine]]:
    """Plan again with what is wished, and say of each wish what came of it."""
    week = program.week
    wishes, granted = _granted(Foils(program, solved, stop), wished.prefer)
    kept = [] if wished.near is None else [Changed(wished.near)]
    first: list[Fewest] = [*wished.varied, *kept]
    other, again = solve_with(week, granted, first=first, seconds=seconds, stop=stop)
    if again.status is Status.UNKNOWN:
        # The plan without them is better than none.
        return program, solved, _too_late(wished)
    if wished.varied and again.packed is not None:
        before = solved
        if granted or kept:
            _, before = solve_with(week, granted, first=kept, seconds=seconds, stop=stop)
        wishes += _apart(week, granted, wished.varied, (before, again), stop)
    if wished.near is not None and again.packed is not None and again.counts is not None:
        differ = unlike(other.board, wished.near).value(again.counts)
        text = f"{differ} {'lunch differs' if differ == 1 else 'lunches differ'} from that plan"
        wishes.append(WishLine(wish=_KEPT, granted=True, text=text))
    return other, again, wishes


def _too_late(wished: _Wished) -> list[WishLine]:
    names = [*(wish.text for wish in wished.prefer), *(wish.title for wish in wished.varied)]
    names += [] if wished.near is None else [_KEPT]
    return [WishLine(wish=name, granted=False, text="not found in time") for name in names]


def _granted(foils: Foils, prefer: Sequence[Asked]) -> tuple[list[WishLine], list[Asked]]:
    """Say of each wish what it costs, those before it granted; give those that can be."""
    lines: list[WishLine] = []
    granted: list[Asked] = []
    for wish in prefer:
        rows = [row for asked in (*granted, wish) for row in asked.rows(foils.program)]
        verdict = foils.verdict(rows)
        if verdict.kind in (VerdictKind.WORSE, VerdictKind.AS_GOOD) or verdict.counts is not None:
            granted.append(wish)
            lines.append(_wish_line(foils, wish, verdict))
            continue
        rules: list[RuleLine] = []
        if verdict.kind is VerdictKind.IMPOSSIBLE:
            with suppress(TimeoutError):
                rules = [rule_line(rule) for rule in foils.conflict(rows)]
        text = "no week has it" if verdict.kind is VerdictKind.IMPOSSIBLE else "not found in time"
        lines.append(WishLine(wish=wish.text, granted=False, text=text, rules=rules))
    return lines, granted


def _apart(
    week: Week,
    granted: Sequence[Asked],
    varied: Sequence[Repeats],
    plans: tuple[Solved, Solved],
    stop: Stop,
) -> list[WishLine]:
    """Say of each sort of repeats whether there is none, why not, and what that costs."""
    before, after = plans
    if after.packed is None:
        return []
    lines: list[WishLine] = []
    for at, repeats in enumerate(varied):
        again = repeats.again(week, after.packed)
        if not again:
            lines.append(WishLine(wish=repeats.title, granted=True, text="it holds"))
            continue
        names = ", ".join(
            f"{name}{'' if times == 1 else f' ({times} times)'}" for name, times in again
        )
        nearest, rules = _why_again(week, granted, varied[:at], repeats, after.packed, stop)
        lines.append(
            WishLine(
                wish=repeats.title,
                granted=False,
                text=f"{nearest} has again: {names}",
                amount=repeats.count(week, after.packed),
                rules=rules,
            )
        )
    if before.packed is None:
        return lines
    without = "it" if len(lines) == 1 else "these"
    cost = f"against the plan without {without}: {difference(week, before.packed, after.packed)}"
    last = lines[-1]
    return [*lines[:-1], last.model_copy(update={"text": f"{last.text}; {cost}"})]


def _why_again(
    week: Week,
    granted: Sequence[Asked],
    before: Sequence[Repeats],
    repeats: Repeats,
    packed: PackedWeek,
    stop: Stop,
) -> tuple[str, list[RuleLine]]:
    """Say how near the plan comes to none, with a smallest set of rules that forbids none.

    What was wished and what matters more are laid on top only where the rules alone leave such
    a week.
    """
    program = Program(week)
    wished = [row for wish in granted for row in wish.rows(program)]
    above = [Row.of(x.total(program), high=x.count(week, packed)) for x in before]
    none = Row.of(repeats.total(program), high=0)
    on_top: tuple[tuple[str, list[Row]], ...] = (
        ("", []),
        ("with what is wished, ", wished),
        ("after what is asked above, ", [*wished, *above]),
    )
    with suppress(TimeoutError):
        for under, rows in on_top:
            if impossible(program, [*rows, none], stop):
                rules = smallest_conflict(program, [*rows, none], stop)
                whatever = "" if rules else "whatever the rules, "
                return f"{under}{whatever}the nearest that can be", [*map(rule_line, rules)]
    return "the nearest that was found", []


def difference(week: Week, before: PackedWeek, after: PackedWeek) -> str:
    """Say what one packed week costs against another.

    Left over, protein, money and minutes are said whatever matters in the week, all else where
    it is a priority of it.

    Parameters
    ----------
    week
        The week.
    before, after
        It as it is packed, in two ways.

    Returns
    -------
    str
        As "60 g more left over, EUR 1.20 more"; "nothing is lost" where nothing is.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> difference(week, solved.packed, solved.packed)
    'nothing is lost'
    """
    was, now = values(week, before), values(week, after)
    changes = {
        name: priority.say_change(now[name] - was[name], week.currency)
        for name, priority in PRIORITIES.items()
        if name in _ALWAYS or (name in week.priorities and name != TIE_BREAK)
    }
    if now["repeats"] < was["repeats"]:
        # That fewer dishes come again is what was asked for.
        changes.pop("repeats", None)
    left = changes.pop("left_over")
    protein = round(_protein(week, after) - _protein(week, before), 1)
    more_protein = f"{protein:+.1f}".removesuffix(".0") + " g protein in all" if protein else ""
    parts = [left, more_protein, *changes.values()]
    return ", ".join(part for part in parts if part) or "nothing is lost"


_ALWAYS = frozenset({"left_over", "cost", "minutes"})


def _protein(week: Week, packed: PackedWeek) -> Decimal:
    return sum(
        (
            magnitude(sums.nutrient(week, lunch, PROTEIN).amount, NUTRIENTS[PROTEIN].unit)
            for lunch in packed.lunches
        ),
        Decimal(0),
    )


def _wish_line(foils: Foils, wish: Asked, verdict: Verdict) -> WishLine:
    if verdict.level is None:
        text = (
            "it costs nothing"
            if verdict.kind is VerdictKind.AS_GOOD
            else "what it costs is not known"
        )
        return WishLine(wish=wish.text, granted=True, text=text)
    return WishLine(
        wish=wish.text,
        granted=True,
        text=say_loss(verdict, foils.week.currency),
        priority=verdict.level.name,
        amount=number(verdict.lost),
        exact=verdict.exact,
    )


def write(week: Week, all_found: Found) -> PlanFile:
    """Write down what was found.

    Parameters
    ----------
    week
        The week.
    all_found
        What was found for it.

    Returns
    -------
    PlanFile
        Sealed, with the week in it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> plan = write(week, Found(solved, [], [], [], [], interrupted=False))
    >>> plan.status, len(plan.lunches), plan.left_over.grams
    ('optimal', 3, 0.0)
    """
    solved, why = all_found.solved, all_found.why
    packed = solved.packed if solved.packed is not None else PackedWeek((), ())
    lunches = list(lunch_lines(week, packed.lunches, why or [[]] * len(packed.lunches)))
    planned = solved.packed is not None
    cautions = bearing(week, solved.packed)
    lines = [_priority_line(value) for value in solved.values]
    levels = [] if all_found.nearest is None else all_found.nearest.levels
    proven = planned and all(line.proven for line in (*levels, *lines))
    made = PlanFile(
        status="optimal" if proven else solved.status.value,
        interrupted=all_found.interrupted,
        name=week.name,
        note=week.note,
        currency=week.currency,
        days=list(week.days),
        no_lunch=days_off(week),
        groups=in_groups(week),
        guidance=week.guidance,
        priorities=lines,
        wishes=all_found.wishes,
        lunches=lunches,
        bends=all_found.bends,
        moves=freezer_moves(week, packed),
        batches=[batch_info(batch) for batch in week.batches.values()],
        left_over=left_over(week, packed, all_found.not_less)
        if planned
        else LeftOver(grams=0, batches=[], packs=[]),
        packs=pack_lines(week, packed.packs),
        totals=totals(week, packed) if planned else {},
        conflict=all_found.conflict,
        nearest=all_found.nearest,
        cautions=cautions_said(cautions),
        mind=minded(cautions),
        unpriced=unpriced(week, packed) if planned else [],
        proofs=all_found.proofs,
        week=carried(week),
    )
    return made.sealed()


def _priority_line(value: Value) -> PriorityLine:
    priority = PRIORITIES[value.name]
    return PriorityLine(
        name=value.name,
        value=number(value.value),
        unit=priority.unit,
        better="more" if priority.most else "less",
        bound=None if value.bound is None else number(value.bound),
        proven=value.bound == value.value,
    )
