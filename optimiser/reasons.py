"""Why a lunch is as it is, and why a week cannot be: claims that were solved for.

A lunch's reason is the first of these that holds:

- *amount*: one portion fewer or more, all else the same, breaks a rule. Plain sums.
- *rule*: no other dish there is as good, but without one rule another is. Two solves.
- *priority*: with any other dish there a priority gets worse; or, where its day is free,
  without the dish in the week at all. The forced week is solved.
- *conflict*: such a week is not possible at all; a smallest set of rules says so.
- *order*: another dish would do as well, and the order of the file decided.

Sets are shrunk by deletion (Liffiton and Sakallah, 2008): every member is proven to
be needed by a solve without it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from itertools import islice

from models.packed import PackedLunch, PackedPortions, PackedWeek
from models.planfile import Reason, RuleLine
from models.priorities import PRIORITIES, TIE_BREAK
from models.units import plain
from models.week import Week, weekday
from optimiser import cpsat
from optimiser.cpsat import Limit, Status, Stop
from optimiser.program import Level, Program
from optimiser.rules import Fault, Rule
from optimiser.servings.board import Slot
from optimiser.servings.rows import Row, Sum
from optimiser.solve import Solved, at_most

EACH = Limit(work=3.0)
"""Most work for one question. An open question gives no reason rather than a guess."""
HOW_MUCH = Limit(work=0.1)
"""Most work for how much is lost; without it the reason names the priority alone."""

MOST_TRIED = 4
"""Rules dropped one by one for a lunch. More would find more, and take longer."""

_NOT_AMOUNTS = frozenset({"stock", "freezer", "opened life"})


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount that a rule keeps from being one fewer or one more."""

    rule: Rule
    fault: Fault
    part: PackedPortions
    other: int


class Explainer:
    """Answers questions about one solved week."""

    def __init__(self, program: Program, solved: Solved, stop: Stop | None = None) -> None:
        if solved.counts is None or solved.packed is None:
            raise ValueError("there is no plan to explain")
        self.program = program
        self.week: Week = program.week
        self.packed: PackedWeek = solved.packed
        self.counts: list[int] = solved.counts
        self.stop = Stop() if stop is None else stop
        self.model = cpsat.model_of(program.board.sheet)
        self.levels = [level for level in program.levels if level.name != TIE_BREAK]
        self.as_good = [at_most(level, self.counts) for level in self.levels]

    def reasons(self, workers: int = 2) -> list[Reason | None]:
        """Give a reason for each lunch, in the order of the packed week.

        The answers do not depend on the number of workers.
        """
        with ThreadPoolExecutor(workers) as pool:
            return list(pool.map(self.reason, self.packed.lunches))

    def reason(self, lunch: PackedLunch) -> Reason | None:
        """Give the first reason that holds; None when time ran out before any did."""
        amounts = list(self.amounts(lunch))
        if amounts:
            return self._amount_reason(amounts)
        slot = next(
            slot
            for slot in self.program.board.slots
            if slot.day == lunch.day and lunch.eater in slot.eaters
        )
        foil = self._without([slot], lunch.dish)
        answer = self._ask([*self.as_good, foil])
        if answer.values is None:
            where = f"with any other dish on {weekday(lunch.day)}"
            closed = answer.status is Status.INFEASIBLE
            rule = self._near_rule(slot, lunch, foil) if closed else None
            return rule or self._worse(slot, foil, where)
        return self._at_all(slot, lunch, self._dish_at(slot, answer.values))

    def _at_all(self, slot: Slot, lunch: PackedLunch, other: str) -> Reason | None:
        """Another dish would do here: say why this one is in the week at all."""
        foil = self._without(self.program.board.slots_of(slot.eaters), lunch.dish)
        where = f"another day would do too; in a week in which {lunch.eater} gets no {lunch.dish}"
        return self._worse(slot, foil, where) or Reason(
            kind="order",
            text=f"{other} would do as well on {weekday(lunch.day)}; "
            "the order of your file decided",
            rules=[],
            alternative=other,
        )

    def why_not_less_left_over(self) -> list[RuleLine]:
        """Give a smallest set of rules that forbids leaving less; none when nothing is left."""
        level = next((one for one in self.levels if one.name == "left_over"), None)
        if level is None or level.total.value(self.counts) <= level.low:
            return []
        row = at_most(level, self.counts)
        less = replace(row, high=(row.high or 0) - level.step)
        before = self.as_good[: self.levels.index(level)]
        try:
            rules = smallest_conflict(self.program, [*before, less], self.stop)
        except TimeoutError:
            return []
        return [rule_line(rule) for rule in rules]

    # -- amounts -----------------------------------------------------------------

    def amounts(self, lunch: PackedLunch) -> Iterator[Amount]:
        """Find each amount of a lunch that is the least or the most a rule allows."""
        takes = {take.batch: take for take in self.week.dishes[lunch.dish].takes}
        for part in lunch.portions:
            take = takes[part.batch]
            for other in (part.portions - 1, part.portions + 1):
                if take.least <= other <= take.most:
                    yield from self._broken_by(lunch, part, other)

    def _broken_by(self, lunch: PackedLunch, part: PackedPortions, other: int) -> Iterator[Amount]:
        # All else the same: what comes from the freezer does so with one more as well.
        whole = part.thawed == part.portions
        thawed = other if whole else min(part.thawed, other)
        changed = replace(
            lunch,
            portions=tuple(
                replace(one, portions=other, thawed=thawed) if one is part else one
                for one in lunch.portions
            ),
        )
        lunches = tuple(changed if one is lunch else one for one in self.packed.lunches)
        packed = replace(self.packed, lunches=lunches)
        for rule in self.program.rules.values():
            if rule.family not in _NOT_AMOUNTS:
                for fault in rule.faults(self.week, packed):
                    yield Amount(rule, fault, part, other)
                    break

    def _amount_reason(self, amounts: Sequence[Amount]) -> Reason:
        first = amounts[0]
        batch = self.week.batches[first.part.batch]
        word = batch.portion_word if first.other == 1 else batch.portion_word + "s"
        said = [one for one in amounts if (one.part, one.other) == (first.part, first.other)]
        way = "few" if first.other < first.part.portions else "many"
        count = f"{first.other} {word} of {batch.name} would be too {way}"
        return Reason(
            kind="amount",
            text=f"{count}: {' and '.join(one.fault.what for one in said[:2])}",
            rules=[rule_line(one.rule) for one in said[:2]],
            alternative=f"{first.other} {word} of {batch.name}",
        )

    # -- another dish ------------------------------------------------------------

    def _without(self, slots: Iterable[Slot], dish: str) -> Row:
        total = Sum()
        for slot in slots:
            total.plus(self.program.board.times(slot, dish))
        return Row.of(total, high=0)

    def _dish_at(self, slot: Slot, counts: list[int]) -> str:
        board = self.program.board
        found = (s.dish for s, at in board.serving_counts[slot.at].items() if counts[at])
        return next(found)

    def _ask(
        self, extra: Iterable[Row], dropped: Collection[str] = (), objective: Sum | None = None
    ) -> cpsat.Answer:
        model = cpsat.model_of(self.program.board.sheet, dropped) if dropped else self.model
        # The plan itself is near what a foil asks for, but far from the best week with it.
        limit, hint = (EACH, self.counts) if objective is None else (HOW_MUCH, None)
        return cpsat.solve(model, objective, extra=extra, hint=hint, limit=limit, stop=self.stop)

    def _near_rule(self, slot: Slot, lunch: PackedLunch, foil: Row) -> Reason | None:
        """Find a rule that bears on this lunch, and without which another dish is as good."""
        near = (
            rule
            for rule in self.program.rules.values()
            if rule.bears_on(self.week, self.packed, lunch)
        )
        for rule in islice(near, MOST_TRIED):
            answer = self._ask([*self.as_good, foil], [rule.key])
            if answer.values is not None:
                other = self._dish_at(slot, answer.values)
                return Reason(
                    kind="rule",
                    text=f"{rule.sentence()}; but for that, a week with {other} on "
                    f"{weekday(lunch.day)} would be as good",
                    rules=[rule_line(rule)],
                    alternative=other,
                )
        return None

    def _worse(self, slot: Slot, foil: Row, where: str) -> Reason | None:
        """Name the first priority that is lost with a foil; None when none is, or unknown.

        A short solve of the week with the foil often tells. Else it is found by halving:
        with the first k priorities as good as the plan's there is such a week, with k + 1
        there is none.
        """
        best = self._ask([foil], objective=self.program.stages[0].total)
        if best.status is Status.INFEASIBLE:
            return self._conflict(foil, where)
        if best.status is Status.OPTIMAL and best.values is not None:
            for level in self.program.stages[0].levels:
                lost = level.total.value(best.values) - level.total.value(self.counts)
                if lost > 0 and level in self.levels:
                    return self._lost(level, lost, where, self._dish_at(slot, best.values))
        return self._worse_by_halving(foil, where, found=best.values is not None)

    def _worse_by_halving(self, foil: Row, where: str, *, found: bool) -> Reason | None:
        """Name the first priority that is lost, but not how much; `found` tells of any week."""
        low, high, proven = 0, len(self.levels) + 1, False
        while high - low > 1:
            middle = (low + high) // 2
            answer = self._ask([*self.as_good[:middle], foil])
            if answer.values is not None:
                low = middle
            else:
                # What stays open may still be decided with fewer priorities held.
                high, proven = middle, answer.status is Status.INFEASIBLE
        if not proven:
            return None
        if low == 0 and not found:
            answer = self._ask([foil])
            if answer.values is None:
                closed = answer.status is Status.INFEASIBLE
                return self._conflict(foil, where) if closed else None
        return self._lost(self.levels[high - 1], None, where, None)

    def _lost(self, level: Level, lost: int | None, where: str, other: str | None) -> Reason:
        amount = None if lost is None else Decimal(lost) / level.per_unit
        loss = say_loss(level.name, amount, self.week.currency)
        return Reason(
            kind="priority",
            text=f"{where} {loss}",
            rules=[RuleLine(key=f"priority:{level.name}", sentence=PRIORITIES[level.name].title)],
            priority=level.name,
            alternative=other,
        )

    def _conflict(self, foil: Row, where: str) -> Reason | None:
        try:
            rules = smallest_conflict(self.program, [foil], self.stop)
        except TimeoutError:
            return None
        said = ": " + "; ".join(rule.sentence() for rule in rules) if rules else ""
        return Reason(
            kind="conflict",
            text=f"{where} there is no plan{said}",
            rules=[rule_line(rule) for rule in rules],
        )


_LOST = {
    "left_over": "food would be left over",
    "repeats": "dishes would come again more often",
    "freshness": "more would be eaten after its best-by day",
    "thawed": "more would be thawed",
    "liking": "the week would be liked less",
    "cost": "the week would cost more",
    "minutes": "the week would take more minutes",
}


def say_loss(name: str, lost: Decimal | None, currency: str) -> str:
    """Say in kitchen words what is lost in a priority; None where it is not known how much."""
    # "At least" is true of less, not of more: rounded down.
    places = Decimal("0.1") if name == "left_over" else Decimal("0.01")
    lost = None if lost is None else lost.quantize(places, ROUND_FLOOR)
    if not lost:
        return _LOST[name]
    many = plain(lost, 0)
    one = "portion" if lost == 1 else "portions"
    points = "point" if lost == 1 else "points"
    repeats = "repeat" if lost == 1 else "repeats"
    return {
        "left_over": f"at least {plain(lost)} g more would be left over",
        "repeats": f"there would be at least {many} more {repeats} of a dish",
        "freshness": f"at least {many} more portion-days would fall after best-by",
        "thawed": f"at least {many} more {one} would be thawed",
        "liking": f"the week would be liked less, by at least {many} {points}",
        "cost": f"the week would cost at least {f'{currency} {lost:.2f}'.strip()} more",
        "minutes": f"the week would take at least {many} min more",
    }[name]


def rule_line(rule: Rule) -> RuleLine:
    """Write a rule for the plan file."""
    return RuleLine(key=rule.key, sentence=rule.sentence(), source=rule.source)


# -- conflicts ---------------------------------------------------------------------


def smallest_conflict(
    program: Program, extra: Sequence[Row] = (), stop: Stop | None = None
) -> list[Rule]:
    """Find a set of rules that cannot hold together, and of which each is needed.

    Where there are several, the one kept is of rules that the cook can change: safety
    rules and stock are tried for leaving out first. Always the same for the same week.

    Raises
    ------
    TimeoutError
        When a solve was stopped, so that nothing can be claimed.
    """

    def conflicts(kept: Iterable[str]) -> bool:
        left_out = program.rules.keys() - set(kept)
        model = cpsat.model_of(program.board.sheet, left_out)
        answer = cpsat.solve(model, None, extra=extra, limit=EACH, stop=stop)
        if answer.status is Status.UNKNOWN:
            raise TimeoutError("a question stayed open")
        return answer.status is Status.INFEASIBLE

    order = sorted(program.rules.values(), key=lambda rule: not rule.safety)
    keys = [rule.key for rule in order]
    kept = _shrink(keys, conflicts)
    return [rule for key, rule in program.rules.items() if key in kept]


def _shrink(keys: list[str], conflicts: Callable[[Iterable[str]], bool]) -> set[str]:
    """Leave out chunks, then halves of chunks, while what is kept still conflicts."""
    kept = list(keys)
    todo = [keys[at : at + 8] for at in range(0, len(keys), 8)]
    while todo:
        chunk = todo.pop(0)
        without = [key for key in kept if key not in chunk]
        if conflicts(without):
            kept = without
        elif len(chunk) > 1:
            half = len(chunk) // 2
            todo[:0] = [chunk[:half], chunk[half:]]
    return set(kept)
