"""Why a lunch is as it is: claims that were solved for.

A lunch's first reason says why its dish is there, the first of these that holds:

- *rule*: no other dish there is as good, but without one rule another is.
- *priority*: with the next best dish there a priority gets worse; or, where its day is free,
  without the dish in the week at all. The forced week is solved.
- *conflict*: such a week is not possible at all; a smallest set of rules says so.
- *order*: another dish would do as well, and the order of the file decided.

Its second says why its amounts are what they are: *amount*, one portion fewer or more, all
else the same, breaks a rule. Plain sums. What one lunch has said another does not repeat.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from models.answers.plan import Reason, RuleLine
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.words.days import weekday
from models.words.giving import A_BOUGHT_LUNCH
from models.words.numbers import counted
from optimiser.board.board import Slot
from optimiser.board.rows import Row, Sum
from optimiser.explain.conflicts import smallest_conflict
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.rules import Fault, Rule, rule_line
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Stop
from optimiser.solve.program import Level, Program
from optimiser.solve.week import Solved
from optimiser.written import number

SOON = Limit(work=1.0)
"""Most work for a yes or no about one lunch; what stays open gives no reason, or a weaker one."""
HOW_MUCH = Limit(work=0.5)
"""Most work for how much is lost; without it the reason names the priority alone."""

MOST_TRIED = 4
"""Rules dropped one by one for a lunch. More would find more, and take longer."""

_NOT_AMOUNTS = frozenset({"stock", "fridge", "freezer", "opened life"})


@dataclass(frozen=True, slots=True)
class BoundAmount:
    """An amount that a rule keeps from being one fewer or one more."""

    rule: Rule
    fault: Fault
    part: PackedPortions
    other: int


class Explainer:
    """Gives the reasons of one solved week."""

    def __init__(self, program: Program, solved: Solved, stop: Stop | None = None) -> None:
        self.foils = Foils(program, solved, stop, SOON)
        self.program = program
        self.week = program.week
        self.packed: PackedWeek = self.foils.packed

    def reasons(self) -> list[list[Reason]]:
        """Give one or two reasons for each lunch, in the order of the packed week.

        Returns
        -------
        list of list of Reason
            A list for each lunch, without what another lunch has for a reason already where there
            is another to give; empty where time ran out.
        """
        dishes = self.foils.each(self.of_dish, self.packed.lunches)
        gists: set[tuple[object, ...]] = set()
        reasons: list[list[Reason]] = []
        for lunch, dish in zip(self.packed.lunches, dishes, strict=True):
            kept: list[Reason] = []
            for reason in (dish, self.of_amounts(lunch)):
                if reason is not None and _gist(reason) not in gists:
                    gists.add(_gist(reason))
                    kept.append(reason)
            # Better said twice than not at all.
            again = (dish, self.of_amounts(lunch)) if not kept else ()
            reasons.append(kept or [reason for reason in again if reason is not None][:1])
        return reasons

    @property
    def tied(self) -> str:
        """Say what settles between weeks that are as good."""
        if self.foils.proven:
            return "ties are settled by the order of your file"
        return "the search was ended before it was known which is better"

    def of_dish(self, lunch: PackedLunch) -> Reason | None:
        """Say why a lunch has its dish; None when time ran out before it was known.

        Parameters
        ----------
        lunch
            A lunch of the packed week.

        Returns
        -------
        Reason or None
            The rule, the loss or the tie that settles it, as it was solved for.
        """
        slot = self.foils.slot(lunch.eater, lunch.day)
        foil = self.foils.without([slot], lunch.dish)
        answer = self.foils.ask([*self.foils.as_good, foil])
        if answer.values is not None:
            return self._at_all(slot, lunch, self.dish_at(slot, answer.values))
        if answer.status is not Status.INFEASIBLE:
            return None
        rule = self._near_rule(slot, lunch, foil)
        if rule is not None:
            return rule
        verdict = self.foils.verdict([foil], HOW_MUCH, self._in_order(slot))
        where = f"with any other dish on {weekday(lunch.day)}"
        if verdict.kind is VerdictKind.IMPOSSIBLE:
            return self._conflict(foil, where)
        if verdict.kind is VerdictKind.WORSE:
            return self._next_best(slot, verdict, f"on {weekday(lunch.day)}")
        return self._worse_by_halving(foil, where)

    def _in_order(self, slot: Slot) -> Sum:
        """Give the place in the file of the dish of a lunch; a bought one comes last."""
        board, places = self.program.board, {name: at for at, name in enumerate(self.week.dishes)}
        servings = board.serving_counts[slot.at].items()
        total = Sum((count, places[serving.dish]) for serving, count in servings)
        return total.plus(board.bought(slot), len(places))

    def _next_best(self, slot: Slot, verdict: Verdict, when: str) -> Reason:
        level = verdict.level
        if level is None or verdict.counts is None:  # pragma: no cover - worse has both
            raise ValueError("nothing is lost")
        loss = say_loss(verdict, self.week.currency)
        if verdict.exact:
            other = self.dish_at(slot, verdict.counts)
            text = f"with {other}, the next best {when}, {loss}"
            return _priority_reason(level, text, other, verdict)
        return _priority_reason(level, f"with any other dish {when} {loss}", None, verdict)

    def _at_all(self, slot: Slot, lunch: PackedLunch, other: str) -> Reason | None:
        """Another dish would do here: say why this one is in the week at all."""
        foil = self.foils.without(self.program.board.slots_of(slot.eaters), lunch.dish)
        whom = f" for {lunch.eater}" if len(self.week.eaters) > 1 else ""
        where = f"wanted{whom} this week, whatever the day: without it"
        verdict = self.foils.verdict([foil], HOW_MUCH)
        if verdict.kind is VerdictKind.WORSE and verdict.level is not None:
            loss = say_loss(verdict, self.week.currency)
            return _priority_reason(verdict.level, f"{where} {loss}", None, verdict)
        if verdict.kind is VerdictKind.IMPOSSIBLE:
            return self._conflict(foil, where)
        worse = self._worse_by_halving(foil, where) if verdict.kind is VerdictKind.OPEN else None
        return worse or Reason(
            kind="order",
            text=f"{other} would do as well on {weekday(lunch.day)}; {self.tied}",
            rules=[],
            alternative=other,
            verdict="as good",
        )

    def why_not_less_left_over(self) -> list[RuleLine]:
        """Give a smallest set that forbids leaving less; none when nothing is left.

        Rules of the week, and what matters more where that is a cause.

        Returns
        -------
        list of RuleLine
            As a cook reads them; empty too where that stayed open.
        """
        names = [level.name for level in self.foils.levels]
        if "left_over" not in names:
            return []
        level = self.foils.level("left_over")
        if self.foils.values["left_over"] <= level.low:
            return []
        if self.foils.ask(self.foils.better("left_over")).status is not Status.INFEASIBLE:
            return []
        try:
            return self.not_better("left_over", self.foils)
        except TimeoutError:
            return []

    def not_better(self, priority: str, foils: Foils) -> list[RuleLine]:
        """Give a smallest set of rules and of what matters more that forbids a better week.

        There must be none. Empty where none could be better whatever the rules.

        Parameters
        ----------
        priority
            A priority, but not the order of the file.
        foils
            Foils of the same plan.

        Returns
        -------
        list of RuleLine
            The rules in the order of the week's, then what matters more.

        Raises
        ------
        TimeoutError
            When a solve was stopped, so that nothing can be claimed.
        """
        better = foils.better(priority)[-1:]
        rules, before = foils.conflict_below(better, foils.level(priority), above=True)
        return [*map(rule_line, rules), *map(priority_line, before)]

    # -- amounts -----------------------------------------------------------------

    def amounts(self, lunch: PackedLunch) -> Iterator[BoundAmount]:
        """Find each amount of a lunch that is the least or the most a rule allows.

        Parameters
        ----------
        lunch
            A lunch of the packed week.

        Yields
        ------
        BoundAmount
            A portion fewer or more of one batch, and a rule that forbids it with all else as it
            is.
        """
        takes = {take.batch: take for take in self.week.dishes[lunch.dish].takes}
        for part in lunch.portions:
            take = takes[part.batch]
            for other in (part.portions - 1, part.portions + 1):
                if take.least <= other <= take.most:
                    yield from self._broken_by(lunch, part, other)

    def _broken_by(
        self, lunch: PackedLunch, part: PackedPortions, other: int
    ) -> Iterator[BoundAmount]:
        # All else the same: what comes from the freezer does so with one more as well.
        whole = part.thawed == part.portions
        thawed = other if whole else min(part.thawed, other)
        changed = replace(
            lunch,
            portions=tuple(
                replace(packed, portions=other, thawed=thawed) if packed is part else packed
                for packed in lunch.portions
            ),
        )
        lunches = tuple(changed if each is lunch else each for each in self.packed.lunches)
        packed = replace(self.packed, lunches=lunches)
        for rule in self.program.rules.values():
            if rule.family not in _NOT_AMOUNTS:
                for fault in rule.faults(self.week, packed):
                    yield BoundAmount(rule, fault, part, other)
                    break

    def of_amounts(self, lunch: PackedLunch) -> Reason | None:
        """Say why a lunch has no portion fewer or more; None where it might.

        Parameters
        ----------
        lunch
            A lunch of the packed week.

        Returns
        -------
        Reason or None
            One batch and one way, with the first two rules that forbid it.
        """
        amounts = list(self.amounts(lunch))
        return self._amount_reason(amounts) if amounts else None

    def _amount_reason(self, amounts: Sequence[BoundAmount]) -> Reason:
        first = amounts[0]
        batch = self.week.batches[first.part.batch]
        amount = f"{counted(first.other, batch.portion_word)} of {batch.name}"
        broken = [each for each in amounts if (each.part, each.other) == (first.part, first.other)]
        way = "few" if first.other < first.part.portions else "many"
        count = f"{amount} would be too {way}"
        return Reason(
            kind="amount",
            text=f"{count}: {' and '.join(amount.fault.what for amount in broken[:2])}",
            rules=[rule_line(amount.rule) for amount in broken[:2]],
            alternative=amount,
        )

    # -- another dish ------------------------------------------------------------

    def dish_at(self, slot: Slot, counts: list[int]) -> str:
        """Read the dish of a lunch out of the values of all counts.

        Parameters
        ----------
        slot
            The slot of the lunch.
        counts
            The values of all counts, by index.

        Returns
        -------
        str
            Its name, or `A_BOUGHT_LUNCH` where nothing is packed.
        """
        board = self.program.board
        dishes = (s.dish for s, at in board.serving_counts[slot.at].items() if counts[at])
        return next(dishes, A_BOUGHT_LUNCH)

    def _near_rule(self, slot: Slot, lunch: PackedLunch, foil: Row) -> Reason | None:
        """Find a rule that bears on this lunch, and without which another dish is as good."""
        near = (
            rule
            for rule in self.program.rules.values()
            if rule.bears_on(self.week, self.packed, lunch)
        )
        for rule in islice(near, MOST_TRIED):
            answer = self.foils.ask([*self.foils.as_good, foil], [rule.key])
            if answer.values is not None:
                other = self.dish_at(slot, answer.values)
                return Reason(
                    kind="rule",
                    text=f"{other} would do as well on {weekday(lunch.day)}, but for this: "
                    f"{rule.sentence()}",
                    rules=[rule_line(rule)],
                    alternative=other,
                )
        return None

    def _worse_by_halving(self, foil: Row, where: str) -> Reason | None:
        """Name the first priority that is lost with a foil, but not how much.

        With the first k priorities as good as the plan's there is such a week, with k + 1
        there is none.
        """
        levels, as_good = self.foils.levels, self.foils.as_good
        low, high, proven, possible = 0, len(levels) + 1, False, False
        while high - low > 1:
            middle = (low + high) // 2
            answer = self.foils.ask([*as_good[:middle], foil])
            if answer.values is not None:
                low, possible = middle, True
            else:
                # What stays open may still be decided with fewer priorities held.
                high, proven = middle, answer.status is Status.INFEASIBLE
        if not proven:
            return None
        if not possible:
            answer = self.foils.ask([foil])
            if answer.values is None:
                closed = answer.status is Status.INFEASIBLE
                return self._conflict(foil, where) if closed else None
        level = levels[high - 1]
        return _priority_reason(level, f"{where} {level.priority.lost}", None)

    def _conflict(self, foil: Row, where: str) -> Reason | None:
        try:
            rules = self.foils.conflict([foil])
        except TimeoutError:
            return None
        if not rules:
            # No rule is needed: what was asked for, or a file with one dish, leaves nothing else.
            alone = len(self.week.dishes) == 1
            text = "it is the only dish of your file" if alone else "you asked for it"
            return Reason(kind="conflict", text=text, rules=[], verdict="impossible")
        sentences = ": " + "; ".join(rule.sentence() for rule in rules)
        return Reason(
            kind="conflict",
            text=f"{where} there is no plan{sentences}",
            rules=[rule_line(rule) for rule in rules],
            verdict="impossible",
        )


def _priority_reason(
    level: Level, text: str, other: str | None, verdict: Verdict | None = None
) -> Reason:
    return Reason(
        kind="priority",
        text=text,
        rules=[RuleLine(key=f"priority:{level.name}", sentence=level.priority.title)],
        priority=level.name,
        alternative=other,
        verdict="worse",
        amount=None if verdict is None else number(verdict.lost),
        exact=None if verdict is None else verdict.exact,
    )


def priority_line(level: Level) -> RuleLine:
    """Write a priority's bound as a rule: no worse than the plan.

    Parameters
    ----------
    level
        A priority of a program.

    Returns
    -------
    RuleLine
        A key and a sentence, as a rule of the week has.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> line = priority_line(Program(read_week("minimal")).levels[0])
    >>> line.key, line.sentence
    ('priority:left_over', 'no worse than the plan in left over')
    """
    return RuleLine(key=f"priority:{level.name}", sentence=level.priority.kept)


def _gist(reason: Reason) -> tuple[object, ...]:
    """Give what a reason says but for the names in it, so that it is said once."""
    keys = tuple(rule.key for rule in reason.rules)
    return (reason.kind, keys, None if reason.kind == "amount" else reason.alternative)


def say_loss(verdict: Verdict, currency: str) -> str:
    """Say in kitchen words what a verdict says is lost.

    Parameters
    ----------
    verdict
        A verdict that is worse.
    currency
        Of the week.

    Returns
    -------
    str
        As "30 g more would be left over"; "at least" where the amount is not proven.

    Raises
    ------
    ValueError
        When nothing is lost.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from models.file.reading import read_week
    >>> from optimiser.explain.foils import VerdictKind
    >>> first = Program(read_week("minimal")).levels[0]
    >>> say_loss(Verdict(VerdictKind.WORSE, first, Decimal(30)), "€")
    '30 g more would be left over'
    >>> say_loss(Verdict(VerdictKind.WORSE, first, Decimal(30), exact=False), "€")
    'at least 30 g more would be left over'
    """
    if verdict.level is None:
        raise ValueError("nothing is lost")
    return verdict.level.priority.say_loss(verdict.lost, currency, exact=verdict.exact)


def conflict_lines(
    program: Program, extra: Sequence[Row] = (), stop: Stop | None = None
) -> list[RuleLine]:
    """Write down a smallest conflict; nothing where time ran out before it was known.

    Parameters
    ----------
    program
        A week and its rules, that cannot all hold together.
    extra
        Rows that have to hold besides.
    stop
        Ends the search early from another thread.

    Returns
    -------
    list of RuleLine
        Rules that cannot all hold, each needed for that, in the order of the week's rules.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> lines = conflict_lines(Program(read_week("impossible")))
    >>> len(lines) > 1 and all(line.sentence for line in lines)
    True
    """
    try:
        return [rule_line(rule, program.week) for rule in smallest_conflict(program, extra, stop)]
    except TimeoutError:
        return []
