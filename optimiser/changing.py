"""A plan whose week goes otherwise, planned again for what is left of the week.

What is eaten stands: lunches before today are rows and no wishes. What was frozen is in the
freezer, what was thawed overnight is good today only, and what no lunch takes fresh is frozen
today where there is room: then it is stock and not left over. Of the weeks that are left the
one is taken that leaves least over, where that is a priority of the week, and among those the one
that keeps most lunches of the plan; then the other priorities count in their order. Why a lunch
could not stay is found out by asking for it: there is no such week, or it loses.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from models.answers.audit import Finding
from models.answers.change import (
    CHANGES,
    SIDES,
    ChangeFile,
    Doing,
    MoreToBuy,
    MovedLunch,
    Spare,
    Stayed,
)
from models.answers.plan import ChangeLine, GonePortions, Nearest, PlanFile, RuleLine, WishLine
from models.answers.why import Answer
from models.file.change import Told, change_of, gone_of, guests_of, written
from models.file.planfile import embedded_week
from models.file.reading import week_of
from models.file.stocks import Stock, on, portions_of, really_frozen, stocks
from models.week import sums
from models.week.cautions import bearing
from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Batch, Week, one_by_one
from models.words.document import document_of
from models.words.errors import InputError
from models.words.giving import BUY, LEVELS
from models.words.numbers import counted
from models.words.priorities import TIE_BREAK
from models.words.units import GRAM, magnitude
from optimiser.auditing import audit, packed_of
from optimiser.board import scale
from optimiser.board.board import Board, Slot
from optimiser.board.rows import Row, Sum
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.explain.reasons import conflict_lines, say_loss
from optimiser.explain.why import VERDICT_NAMES, loss_of
from optimiser.planning import Found, write
from optimiser.priorities import Priority
from optimiser.rules import Rule, rule_line, rules_of
from optimiser.rules.freezer import Freezer
from optimiser.rules.fridge import Fridge
from optimiser.rules.giving import not_packed
from optimiser.rules.on_hand import OnHand, taken
from optimiser.sheets.calendar import past
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Limit, Say, Stop, silent
from optimiser.solve.program import Level, Program, priorities_of
from optimiser.solve.week import Solved, at_most, solve, unlike
from optimiser.weeks.bends import as_packed
from optimiser.weeks.nearest import Near, gave_way
from optimiser.written import SYMBOLS, cautions_said, number

LEFT_OVER = "left_over"

IN_ALL, LEAST_EACH, MOST_EACH = 24.0, 0.5, 6.0
"""Work for why lunches moved: for all of them, and for one. What stays open is said to be."""
ASIDE = Limit(work=2.0)
"""Most work for the one week that the plan is held against; what stays open is not said."""


@dataclass(frozen=True, slots=True)
class Running:
    """A week that runs, after a change.

    Attributes
    ----------
    old
        The plan that was.
    week
        The week as it is now.
    line
        The change.
    left
        Where the portions of every batch are, less what is gone.
    earlier
        How the week was changed before.
    """

    old: PackedWeek
    week: Week
    line: ChangeLine
    left: Mapping[str, Stock]
    earlier: Sequence[ChangeLine] = ()

    @property
    def today(self) -> date:
        """The first day that is planned again."""
        return self.line.today

    def on_hand(self) -> list[OnHand]:
        """Give the rules on what is where, for what freezes and is made.

        Returns
        -------
        list of OnHand
            One for each batch that is made by today and freezes, in the order of the batches.
        """
        return [
            OnHand(
                name,
                self.today,
                stock.fridge,
                stock.thawed,
                stock.freezer,
                on(stock.lots or (), self.today),
                max(0, batch.freezer - stock.freezer) if self.today <= batch.use_by else 0,
            )
            for name, batch in self.week.batches.items()
            if batch.made <= self.today and (batch.freezer > 0 or batch.frozen is not None)
            for stock in (self.left[name],)
        ]

    def unused(self, packed: PackedWeek, batch: str) -> int:
        """Count what was thawed overnight and is in no lunch of today.

        Parameters
        ----------
        packed
            The week as it is packed now.
        batch
            Name of a batch.

        Returns
        -------
        int
            Portions, 0 or more.
        """
        return self.left[batch].thawed - taken(packed, batch, self.today).now

    def settled(self, packed: PackedWeek) -> dict[str, Stock]:
        """Say of every batch what is frozen once today is over.

        Parameters
        ----------
        packed
            The week as it is packed now.

        Returns
        -------
        dict of str to Stock
            By batch; what no rule on hand is about stays as it was this morning.
        """
        stock = dict(self.left)
        for rule in self.on_hand():
            now, name = rule.frozen(packed), rule.batch
            stock[name] = stock[name].settled(self.today, now, self.unused(packed, name))
        return stock

    def rules(self) -> list[Rule]:
        """Give the week's rules, with what is where in the place of what was frozen.

        Returns
        -------
        list of Rule
            Those of the week in their order, then what is on hand.
        """
        here = {rule.batch: rule for rule in self.on_hand()}
        others: list[Rule] = []
        for rule in rules_of(self.week):
            if isinstance(rule, Freezer) and rule.batch in here:
                # It has room anew where some is eaten; what is there and fits, is known here.
                most = (self.week.batches[rule.batch].frozen or 0) + here[rule.batch].room
                others.append(replace(rule, portions=max(rule.portions, most)))
            elif not isinstance(rule, Fridge) or rule.batch not in here:
                others.append(rule)
        return [*others, *here.values()]

    def program(self) -> Program:
        """Write the week's program, with what is eaten as it was.

        Returns
        -------
        Program
            With rows that hold each lunch before today as it was packed.
        """
        program = Program(self.week, rules=self.rules(), priorities=self._priorities())
        program.board.sheet.rows += as_packed(program, self.old, lambda day: day < self.today)
        return program

    def near(self) -> Near:
        """Write the program of the nearest week there is, with what is eaten as it was.

        Returns
        -------
        Near
            With rows that hold each lunch before today as it was packed, or bought.
        """
        near = Near.of(self.week, self.rules(), self._priorities())
        rows = near.program.board.sheet.rows
        rows += as_packed(near.program, self.old, lambda day: day < self.today)
        rows += near.fixed(self.old, self.today)
        return near

    @property
    def bought_before(self) -> bool:
        """True where a lunch before today was bought."""
        return any(day < self.today for _, day in not_packed(self.week, self.old))

    def _priorities(self) -> list[Priority]:
        """Give the week's priorities, and among them that what is planned stays as it was."""
        wanted = priorities_of(self.week)
        first = [self._left_over(x) for x in wanted if x.name == LEFT_OVER]
        last = [priority for priority in wanted if priority.name == TIE_BREAK]
        rest = [x for x in wanted if x.name not in (LEFT_OVER, TIE_BREAK)]
        ahead = [_changes(self.old), *first]
        if not self.line.fewest_changes:
            ahead.reverse()
        return [*ahead, *rest, _sides(self.old), *last]

    def _left_over(self, priority: Priority) -> Priority:
        """Count as left over what is, once what can be frozen today is frozen.

        The week as it stands knows nothing of that, nor of what was thawed overnight in vain.
        """

        def total(board: Board) -> Sum:
            left = priority.total(board)
            for rule in self.on_hand():
                batch = self.week.batches[rule.batch]
                more = Sum(constant=rule.thawed).plus(rule.freezes(board), -1)
                for slot in board.slots:
                    if slot.day == self.today and batch.frozen is not None:
                        more.plus(board.thawed(slot, rule.batch), -1)
                    elif slot.day > self.today and batch.frozen is None:
                        more.plus(board.thawed(slot, rule.batch))
                left.plus(more, scale.up(batch.portion, GRAM) * scale.PER_UNIT)
            return left

        def value(week: Week, packed: PackedWeek) -> Decimal:
            return priority.value(self.settled_week(packed), packed)

        return replace(priority, total=total, value=value)

    def settled_week(self, packed: PackedWeek) -> Week:
        """Give the week with what is frozen once today is over.

        Parameters
        ----------
        packed
            The week as it is packed now.

        Returns
        -------
        Week
            The same but for what its batches have frozen and thawed.
        """
        batches = dict(self.week.batches)
        for name, stock in self.settled(packed).items():
            if stock.lots is not None:
                lots = tuple(lot for lot in stock.lots if lot[0] > batches[name].made and lot[1])
                batches[name] = replace(
                    batches[name],
                    frozen=stock.frozen,
                    frozen_later=lots,
                    thawed=stock.in_vain,
                )
        return replace(self.week, batches=batches)


def _changes(old: PackedWeek) -> Priority:
    """Make a priority of few lunches that have other dishes or portions than they had."""
    return Priority(
        name=CHANGES,
        title="changed lunches",
        unit="lunches",
        total=lambda board: unlike(board, old),
        value=lambda week, packed: Decimal(_lunches_moved(week, old, packed)),
        lost="more lunches would move",
        lost_by="{number} more {unit} would move",
        change="moved",
        column="moved",
    )


def _sides(old: PackedWeek) -> Priority:
    """Make a priority of few choices and extras that are not as they were."""
    return Priority(
        name=SIDES,
        title="changed sides",
        unit="sides",
        total=lambda board: _other_sides(board, old),
        value=lambda week, packed: Decimal(_sides_moved(week, old, packed)),
        lost="other sides would change instead",
        lost_by="other sides would change instead",
        change="changed",
        column="sides",
    )


def _other_sides(board: Board, packed: PackedWeek) -> Sum:
    """Count the choices and extras that are not as they are in a packed week."""
    lunches = {(lunch.eater, lunch.day): lunch for lunch in packed.lunches}
    total = Sum()
    for slot in board.slots:
        was = lunches.get((slot.eaters[0], slot.day))
        if was is None:
            continue
        for choice, item in was.options.items():
            total.constant += 1
            total.plus(board.chosen(slot, choice, item), -1)
        for item, times in was.extras.items():
            count = board.extra_counts[slot.at].get((was.dish, item))
            if count is not None and times:
                # One that is added more often than it was costs as the other priorities say.
                fewer = board.sheet.count(times, f"{slot.day} fewer {item}")
                total.add(fewer)
                board.sheet.bound(Sum([(fewer, 1), (count, 1)]), low=times)
    return total


def _then_and_now(
    week: Week, old: PackedWeek, new: PackedWeek
) -> Iterator[tuple[PackedLunch, PackedLunch | None]]:
    """Give the lunches that were packed and are of the week, as they were and as they are.

    For one that is bought now nothing is packed.
    """
    then = {(lunch.eater, lunch.day): lunch for lunch in old.lunches}
    now = {(lunch.eater, lunch.day): lunch for lunch in new.lunches}
    for lunch in week.lunches:
        was = then.get((lunch.eater, lunch.day))
        if was is not None:
            yield was, now.get((lunch.eater, lunch.day))


def _lunches_moved(week: Week, old: PackedWeek, new: PackedWeek) -> int:
    """Count the lunches that have other dishes or portions than they had, or none."""
    pairs = _then_and_now(week, old, new)
    return sum(now is None or _portions(was) != _portions(now) for was, now in pairs)


def _sides_moved(week: Week, old: PackedWeek, new: PackedWeek) -> int:
    """Count the options that are others than they were, and the extras that are fewer."""
    total = 0
    for was, lunch in _then_and_now(week, old, new):
        options = {} if lunch is None else lunch.options
        total += sum(options.get(choice) != item for choice, item in was.options.items())
        extras = lunch.extras if lunch is not None and lunch.dish == was.dish else {}
        total += sum(max(0, times - extras.get(item, 0)) for item, times in was.extras.items())
    return total


def change(
    plan: PlanFile,
    told: Told,
    source: str = "the plan",
    *,
    strict: bool = False,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Say = silent,
) -> ChangeFile:
    """Plan the rest of a running week again.

    Parameters
    ----------
    plan
        The plan that the week ran by until today.
    told
        What went otherwise.
    source
        Name of the plan's file, for messages.
    strict
        Whether every rule has to hold: else rules give way where no plan keeps them all.
    seconds
        Time limit for the plan; why lunches moved comes on top.
    stop
        Ends the search early from another thread; the best plan so far is given.
    say
        Is told what is being done.

    Returns
    -------
    ChangeFile
        The new plan, what moved and why, what to freeze, what must be bought.

    Raises
    ------
    InputError
        When the plan has a fault, or what is said makes no sense in it.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = change(plan("minimal", reasons=False), Told("tue", no_lunch=["wed"]))
    >>> made.plan.status, [f"{line.date:%a}" for line in made.plan.lunches]
    ('optimal', ['Mon', 'Tue'])
    """
    stop = Stop() if stop is None else stop
    running = running_of(plan, told, source)
    one_by_one(running.week, "change")
    say("planning what is left of the week")
    if running.bought_before:
        # What was bought stands too, which only a program in which lunches may be bought can say.
        return _nearest(running, plan, [], seconds, stop, say)
    program = running.program()
    solved = solve(program, seconds=seconds, stop=stop)
    conflict: list[RuleLine] = []
    if solved.status is Status.INFEASIBLE:
        say("looking for what stands in the way")
        conflict = conflict_lines(program, stop=stop)
        if not strict:
            return _nearest(running, plan, conflict, seconds, stop, say)
    if solved.packed is None:
        made = _written(running, plan, solved, stop, conflict=conflict)
        return _file(running, made, conflict=conflict)
    return _answered(running, plan, program, solved, stop, say)


def _nearest(
    running: Running,
    plan: PlanFile,
    conflict: list[RuleLine],
    seconds: float | None,
    stop: Stop,
    say: Say,
) -> ChangeFile:
    """Plan the nearest week there is."""
    say("looking for the nearest week")
    near = running.near()
    solved = solve(near.program, seconds=seconds, stop=stop)
    if solved.packed is None:
        made = _written(running, plan, solved, stop)
        return _file(running, made)
    return _answered(running, plan, near.program, solved, stop, say, near=near, conflict=conflict)


def running_of(plan: PlanFile, told: Told, source: str = "the plan") -> Running:
    """Read what is left of a week, and see that its plan holds until today.

    Parameters
    ----------
    plan
        The plan that was saved.
    told
        What went otherwise, as it was typed.
    source
        What to call the plan in an error.

    Returns
    -------
    Running
        The week as it is now, and where its portions are.

    Raises
    ------
    InputError
        When it does not, or what is said makes no sense in it.

    Examples
    --------
    >>> from optimiser import plan
    >>> told = Told("tue", dropped=["rice and beans=1"])
    >>> running = running_of(plan("minimal", reasons=False), told)
    >>> f"{running.today:%a}", running.left["rice and beans"].fridge
    ('Tue', 3)
    """
    if not plan.is_planned:
        raise InputError(
            source, "this plan has no lunches", "Name a plan that was found: plan FILE --save PLAN"
        )
    week = embedded_week(plan, source)
    _whole(audit(plan, week, source), source)
    old = packed_of(plan, week, source)
    line = change_of(week, old, told, plan.changes)
    week = really_frozen(week, old, line.froze)
    gone = gone_of(line)
    left = {
        name: stock.without(gone.get(name, 0))
        for name, stock in stocks(week, old, line.today, plan.changes).items()
    }
    changed = document_of(written(plan.week, week, line, left), f"{source}, its week")
    return Running(old, week_of(changed), line, left, plan.changes)


def _whole(findings: Sequence[Finding], source: str) -> None:
    if findings:
        first = findings[0]
        raise InputError(
            source,
            f"the plan breaks its own week: {first.where}: {first.what} ({first.sentence})",
            f"mend: clearfridge audit {source}",
        )


# -- the new plan ------------------------------------------------------------------


def _answered(
    running: Running,
    plan: PlanFile,
    program: Program,
    solved: Solved,
    stop: Stop,
    say: Say,
    *,
    near: Near | None = None,
    conflict: Sequence[RuleLine] = (),
) -> ChangeFile:
    if solved.packed is None or solved.counts is None:
        raise ValueError("there is no plan to tell of")
    foils = Foils(program, solved, stop, ONE_QUESTION)
    changed = foils.values[CHANGES]
    stayed = least = None
    moves: list[MovedLunch] = []
    if not stop.over:
        say("asking what would be, had the lunches stayed as they were")
        few = running.line.fewest_changes or not changed
        stayed = None if few else _stayed(running, foils)
        least = _least(running, foils) if running.line.fewest_changes else None
        say("asking why lunches moved")
        moves = _moves(running, foils)
    nearest = None
    if near is not None:
        say("asking what it would take to keep what gives way")
        eaten = PackedWeek(tuple(x for x in running.old.lunches if x.day < running.today), ())
        nearest = gave_way(near, solved, None if stop.over else foils, eaten)
    made = _written(running, plan, solved, stop, moved=changed, nearest=nearest)
    return _file(
        running,
        made,
        moves=moves,
        changed=changed,
        as_they_were=stayed,
        least_left=least,
        spare=list(spare(running, solved.packed)),
        to_buy=list(more_to_buy(running, solved.packed)),
        conflict=list(conflict),
    )


def _file(running: Running, made: PlanFile, **parts: object) -> ChangeFile:
    to_come = sum(1 for _ in _pairs(running, running.old))
    return ChangeFile.model_validate(
        {
            "name": running.week.name,
            "today": running.today,
            "to_come": to_come,
            "guests": guests_of([running.line]),
            "plan": made,
            **parts,
        }
    )


def _pairs(running: Running, new: PackedWeek) -> Iterator[tuple[PackedLunch, PackedLunch | None]]:
    """Give the lunches to come that were planned, as they were and as they are."""
    for was, lunch in _then_and_now(running.week, running.old, new):
        if was.day >= running.today:
            yield was, lunch


def _written(
    running: Running,
    plan: PlanFile,
    solved: Solved,
    stop: Stop,
    *,
    conflict: Sequence[RuleLine] = (),
    moved: int = 0,
    nearest: Nearest | None = None,
) -> PlanFile:
    """Write the plan, and see that it is one that stands by itself."""
    week, packed = running.week, solved.packed
    if packed is not None:
        # What is frozen today is in the freezer from now on, unless the next change says otherwise.
        week = _frozen(running, packed)
    values = [value for value in solved.values if value.name in week.priorities]
    wishes = [] if packed is None else [_wish(running, moved)]
    parts = Found(
        replace(solved, values=tuple(values)),
        [],
        list(conflict),
        [],
        wishes,
        interrupted=stop.asked,
        nearest=nearest,
    )
    made = write(week, parts)
    line = running.line
    if packed is not None:
        line = line.model_copy(update={"thawed_unused": list(_unused(running, packed))})
    lines = [*plan.changes, line]
    cautions = cautions_said(bearing(week, packed), lines)
    before = embedded_week(plan)
    days = past(plan, before, packed_of(plan, before), running.today)
    also = {"changes": lines, "cautions": cautions, "past": days}
    made = made.model_copy(update=also).sealed()
    if packed is not None:
        faults = [fault for rule in running.on_hand() for fault in rule.faults(week, packed)]
        if faults or audit(made, week):
            raise RuntimeError("the new plan does not stand by itself")
    return made


def _frozen(running: Running, packed: PackedWeek) -> Week:
    """Give the week as its file says it, with what is frozen once today is over."""
    nothing = ChangeLine(today=running.today + timedelta(days=1))
    data = running.week.source.as_json()
    data = written(data, running.week, nothing, running.settled(packed))
    return week_of(document_of(data))


def _wish(running: Running, moved: int) -> WishLine:
    to_come = sum(1 for _ in _pairs(running, running.old))
    lunches = "the one lunch" if to_come == 1 else f"{moved} of {counted(to_come, 'lunch')}"
    return WishLine(
        wish="the plan as it was",
        granted=True,
        text=f"kept but for {lunches} to come" if moved else "kept",
        amount=float(moved),
    )


def _unused(running: Running, packed: PackedWeek) -> Iterator[GonePortions]:
    """Find what was thawed overnight and is in no lunch of today."""
    for name in running.left:
        left = running.unused(packed, name)
        if left:
            yield GonePortions(batch=name, portions=left)


# -- what it is held against -----------------------------------------------------------


def _stayed(running: Running, foils: Foils) -> Stayed | None:
    """Say what is left over where every other lunch stays as it was."""
    if LEFT_OVER not in running.week.priorities:
        return None
    level, changes = foils.level(LEFT_OVER), foils.level(CHANGES)
    answer = cpsat.solve(
        foils.model,
        level.total,
        extra=[*_held(foils), Row.of(changes.total, high=0)],
        limit=ASIDE,
        stop=foils.stop,
    )
    if answer.status is Status.INFEASIBLE:
        return Stayed(possible=False)
    if answer.status is not Status.OPTIMAL or answer.values is None:
        return None
    return Stayed(possible=True, grams=_grams(level, answer.values))


def _least(running: Running, foils: Foils) -> float | None:
    """Say what would be left over at the least, however many lunches change."""
    if LEFT_OVER not in running.week.priorities:
        return None
    level = foils.level(LEFT_OVER)
    answer = cpsat.solve(
        foils.model,
        level.total,
        extra=_held(foils),
        hint=foils.counts,
        limit=ASIDE,
        stop=foils.stop,
    )
    if answer.status is not Status.OPTIMAL or answer.values is None:
        return None
    return _grams(level, answer.values)


def _held(foils: Foils) -> list[Row]:
    """Let nothing more give way than does."""
    return [at_most(level, foils.counts) for level in foils.levels if level.name in LEVELS]


def _grams(level: Level, counts: list[int]) -> float:
    return number(level.reached(level.total.value(counts)))


# -- what moved and why ------------------------------------------------------------------


def _moves(running: Running, foils: Foils) -> list[MovedLunch]:
    """List the lunches that are not as they were, each with what came of leaving it."""
    asked: list[tuple[PackedLunch, PackedLunch | None]] = []
    for was, becomes in _pairs(running, foils.packed):
        if becomes is None or _gist(was) != _gist(becomes):
            asked.append((was, becomes))
    # Reasons are for a plan that is proven; of many lunches each is given a share of the work.
    share = Limit(work=max(LEAST_EACH, min(MOST_EACH, IN_ALL / max(1, len(asked)))))
    limit = share if foils.proven else None
    moves = foils.each(lambda pair: _move(running, foils, pair, limit), asked)
    old = {(lunch.eater, lunch.day) for lunch in running.old.lunches}
    moves += [
        MovedLunch(
            date=lunch.day,
            eater=lunch.eater,
            kind="new",
            was="",
            becomes=_lunch_said(running.week, lunch),
        )
        for lunch in foils.packed.lunches
        if (lunch.eater, lunch.day) not in old
    ]
    order = [(lunch.day, lunch.eater) for lunch in running.week.lunches]
    return sorted(moves, key=lambda move: order.index((move.date, move.eater)))


def _gist(lunch: PackedLunch) -> tuple[object, ...]:
    return (*_portions(lunch), dict(lunch.options), {k: n for k, n in lunch.extras.items() if n})


def _portions(lunch: PackedLunch) -> tuple[object, ...]:
    return lunch.dish, {part.batch: part.portions for part in lunch.portions if part.portions}


def _move(
    running: Running,
    foils: Foils,
    pair: tuple[PackedLunch, PackedLunch | None],
    limit: Limit | None,
) -> MovedLunch:
    was, becomes = pair
    same = becomes is not None and _portions(was) == _portions(becomes)
    slot = foils.slot(was.eater, was.day)
    rows = list(_as_it_was(foils.program, slot, was, sides=same))
    return MovedLunch(
        date=was.day,
        eater=was.eater,
        kind="sides" if same else "bought" if becomes is None else "lunch",
        was=_lunch_said(running.week, was),
        becomes=BUY if becomes is None else _lunch_said(running.week, becomes),
        why=None if limit is None else _why(foils, rows, limit, sides=same),
    )


def _lunch_said(week: Week, lunch: PackedLunch) -> str:
    """Say a lunch in a line: its dish, its portions, what comes with them."""
    taken = []
    for part in lunch.portions:
        some = "" if part.thawed == part.portions else f"{part.thawed} of them "
        thawed = f" ({some}thawed)" if part.thawed else ""
        if part.portions:
            count = counted(part.portions, week.batches[part.batch].portion_word)
            taken.append(f"{count} {part.batch}{thawed}")
    sides = [*lunch.options.values()]
    sides += [f"{times} x {item}" for item, times in lunch.extras.items() if times]
    text = f"{lunch.dish}: {', '.join(taken)}" if taken else lunch.dish
    return f"{text} with {', '.join(sides)}" if sides else text


def _as_it_was(program: Program, slot: Slot, lunch: PackedLunch, *, sides: bool) -> Iterator[Row]:
    """Ask for the dish and the portions of a lunch, and for its sides where they matter."""
    board = program.board
    taken = Sum()
    for serving, count in board.serving_counts[slot.at].items():
        same = all(portions == lunch.of(batch) for batch, portions in serving.portions)
        if serving.dish == lunch.dish and same:
            taken.add(count)
    yield Row.of(taken, low=1)
    if not sides:
        return
    for (dish, choice, item), count in board.option_counts[slot.at].items():
        if dish == lunch.dish and lunch.options.get(choice) == item:
            yield Row.of(Sum([(count, 1)]), low=1)
    for (dish, item), count in board.extra_counts[slot.at].items():
        if dish == lunch.dish:
            times = lunch.extras.get(item, 0)
            yield Row.of(Sum([(count, 1)]), low=times, high=times)


def _why(foils: Foils, rows: list[Row], limit: Limit, *, sides: bool) -> Answer:
    verdict = foils.verdict(rows, limit)
    rules: list[RuleLine] = []
    text = _said(foils, verdict, sides=sides)
    if verdict.kind is VerdictKind.IMPOSSIBLE:
        try:
            rules = [rule_line(rule) for rule in foils.conflict(rows)]
        except TimeoutError:
            text += " (which rules forbid it was not found in time)"
    return Answer(
        what="as it was",
        verdict=VERDICT_NAMES[verdict.kind],
        loss=loss_of(verdict),
        rules=rules,
        text=text,
    )


def _said(foils: Foils, verdict: Verdict, *, sides: bool) -> str:
    """Say what comes of leaving a lunch as it was."""
    if verdict.kind is VerdictKind.WORSE:
        return f"as it was, {say_loss(verdict, foils.week.currency)}"
    if verdict.kind is VerdictKind.AS_GOOD:
        tied = (
            "ties are settled by the order of your file"
            if foils.proven
            else "the search was ended before it was known which is better"
        )
        instead = "" if sides else ", another lunch moving in its place"
        return f"as it was would do as well{instead}; {tied}"
    if verdict.kind is VerdictKind.IMPOSSIBLE:
        return "as it was, no plan is possible"
    return "what comes of leaving it as it was, was not found out in time"


# -- what is left over all the same ------------------------------------------------------


def spare(running: Running, packed: PackedWeek) -> Iterator[Spare]:
    """Say what can be done with portions that no lunch takes.

    Together with what the lunches take and what is gone they come to all that was cooked.

    Parameters
    ----------
    running
        The week.
    packed
        Its new plan.

    Returns
    -------
    iterator of Spare
        Batch by batch, in the order of the file.

    Examples
    --------
    >>> from optimiser import plan
    >>> running = running_of(plan("minimal", reasons=False), Told("tue", no_lunch=["tue", "wed"]))
    >>> [(line.batch, line.portions, line.do) for line in spare(running, PackedWeek((), ()))]
    [('rice and beans', 4, 'eat'), ('rice and beans', 2, 'discard')]
    """
    for name, batch in running.week.batches.items():
        left = sums.batch_left(running.week, packed, name)
        if left:
            for do, portions, by in _doings(running, batch, packed, left):
                if portions > 0:
                    yield Spare(
                        batch=name, portions=portions, word=batch.portion_word, do=do, by=by
                    )


def more_to_buy(running: Running, packed: PackedWeek) -> Iterator[MoreToBuy]:
    """Say what must be bought that the old plan did not ask for.

    Parameters
    ----------
    running
        The week.
    packed
        Its new plan.

    Yields
    ------
    MoreToBuy
        Packs beyond those of the old plan; of what is weighed out, how much.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from optimiser import plan
    >>> running = running_of(plan("minimal", reasons=False), Told("tue"))
    >>> list(more_to_buy(running, running.old))
    []
    >>> from_nothing = more_to_buy(replace(running, old=PackedWeek((), ())), running.old)
    >>> [(line.item, line.packs) for line in from_nothing]
    [('hard cheese', 1), ('apple', 2)]
    """
    week = running.week
    then, now = sums.uses(week, running.old), sums.uses(week, packed)
    for name, item in week.larder.items():
        if item.loose:
            packs = 0
            amount = sum(now.get(name, {}).values()) - sum(then.get(name, {}).values())
        else:
            packs = sum(pack.packs for pack in packed.packs if pack.item == name)
            packs -= sum(pack.packs for pack in running.old.packs if pack.item == name)
            amount = packs * magnitude(item.pack, item.unit)
        if amount > 0:
            yield MoreToBuy(
                item=name, packs=packs, amount=number(Decimal(amount)), unit=SYMBOLS[item.unit]
            )


def _doings(
    running: Running, batch: Batch, packed: PackedWeek, left: int
) -> Iterator[tuple[Doing, int, date | None]]:
    today, stock = running.today, running.left[batch.name]
    if batch.made > today:
        yield "cook fewer", left, batch.made
        return
    lunches = taken(packed, batch.name, today)
    now = next((x.frozen(packed) for x in running.on_hand() if x.batch == batch.name), 0)
    # What is in the freezer is eaten before what comes into it today.
    thawed_again = max(0, lunches.later - stock.freezer)
    frozen, fridge = now - thawed_again, stock.fridge - lunches.fresh - now
    stays, unused = stock.freezer + thawed_again - lunches.later, running.unused(packed, batch.name)
    yield "eat today", unused, today
    yield "freeze", frozen, today
    if today <= batch.use_by:
        yield "eat", fridge, max(batch.use_by, today)
    else:
        yield "discard", fridge, batch.use_by
    yield "stays frozen", stays, None
    yield from _in_vain(running, batch, left - frozen - fridge - stays - unused)


def _in_vain(running: Running, batch: Batch, left: int) -> Iterator[tuple[Doing, int, date | None]]:
    """Say what was thawed for an earlier day and was in no lunch then: good on that day only."""
    # Of two changes on one day the later knows what became of it.
    by_day = {line.today: line.thawed_unused for line in running.earlier}
    for day, unused in by_day.items():
        portions = min(left, portions_of(unused, batch.name)) if day < running.today else 0
        left -= portions
        yield "discard", portions, day
    yield "discard", left, running.today - timedelta(days=1)
