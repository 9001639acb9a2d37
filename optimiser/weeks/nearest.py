"""The week nearest to one that keeps every rule, where there is none that does.

One strict order more than a plan has: lunches that are bought, then what lacks of floors, then
wishes that are not granted, then variety, each as little as can be, and only then the priorities
of the week. So variety gives way first and no further than it must. What is liked is no rule but
a priority, and counts in its place. Safety, what is there and what fits never give way: their rows
are posted as they always are. That each level is least is proven as every priority is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial

from models.answers.plan import BoughtLunch, GaveWay, Nearest, PriorityLine, RuleLine
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.giving import BOUGHT, FLOORS, LEVELS, VARIETY, WISHES
from optimiser.board.board import Board, Slot, each_alone
from optimiser.board.rows import Row, Sum
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.explain.reasons import say_loss
from optimiser.explain.wishes import Wish
from optimiser.priorities import Priority
from optimiser.rules import Rule, rule_line
from optimiser.rules.giving import Given, given_way, not_packed, steps
from optimiser.solve.program import Program
from optimiser.solve.week import Solved
from optimiser.written import number

MOST_SAID = 3
"""Things that would give way instead: no more of them are named."""


@dataclass(frozen=True, slots=True)
class Near:
    """The program of the nearest week.

    Attributes
    ----------
    program
        Every rule that never gives way, and the levels.
    rules
        All rules of the week.
    given
        By the key of a rule that may give way, the sum of how far it does.
    granted
        For each wish a count that is 1 where it is granted.
    """

    program: Program
    rules: tuple[Rule, ...]
    given: dict[str, Sum]
    granted: tuple[int, ...]

    @classmethod
    def of(
        cls,
        week: Week,
        rules: Iterable[Rule],
        priorities: Sequence[Priority],
        wishes: Sequence[Wish] = (),
    ) -> Near:
        """Write it.

        Parameters
        ----------
        week
            The week.
        rules
            All rules that are to hold where they can.
        priorities
            What counts after what gives way, what matters most first.
        wishes
            What is asked besides.

        Returns
        -------
        Near
            Rules that may give way are sums there, the others rows.
        """
        every = tuple(rules)
        board = Board(week, each_alone(week), may_buy=True)
        given = {rule.key: rule.give(board) for rule in every if rule.gives}
        granted = tuple(board.sheet.count(1, wish.text) for wish in wishes)
        program = Program(
            week,
            rules=[rule for rule in every if not rule.gives],
            priorities=[*_levels(every, given, wishes, granted), *priorities],
            board=board,
        )
        for wish, switch in zip(wishes, granted, strict=True):
            board.sheet.rows += [replace(row, when=switch) for row in wish.rows(program)]
        return cls(program, every, given, granted)

    def fixed(self, packed: PackedWeek, today: date) -> list[Row]:
        """Hold the lunches before a day that were bought.

        Parameters
        ----------
        packed
            The week as it was packed.
        today
            The first day that is still free.

        Returns
        -------
        list of Row
            A row for each that has no packed lunch.
        """
        there = {(lunch.eater, lunch.day) for lunch in packed.lunches}
        board = self.program.board
        return [
            Row.of(board.bought(slot), low=1)
            for slot in board.slots
            if slot.day < today and (slot.eaters[0], slot.day) not in there
        ]


def _levels(
    rules: Sequence[Rule],
    given: dict[str, Sum],
    wishes: Sequence[Wish],
    granted: Sequence[int],
) -> list[Priority]:
    """Make a priority of each thing that gives way, what does so last first."""
    levels = [
        _level(
            BOUGHT,
            _bought,
            lambda week, packed: Decimal(len(not_packed(week, packed))),
            lost="more lunches would be to buy",
            lost_by="{number} more {unit} would be to buy",
            words=("to buy", "to buy"),
        ),
        replace(
            _level(
                FLOORS,
                partial(_far, FLOORS, rules, given),
                partial(_how_far, FLOORS, rules, 10),
                lost="floors would fall short by more",
                lost_by="floors would fall short by {number} {unit} more",
                words=("of floors", "% short"),
            ),
            per_unit=10,
            digits=1,
            rounded=True,
        ),
        _level(
            WISHES,
            partial(_ungranted, rules, given, granted),
            lambda week, packed: (
                sum(not wish.is_granted(packed) for wish in wishes)
                + _how_far(WISHES, rules, 1, week, packed)
            ),
            lost="fewer wishes would be granted",
            lost_by="{number} {unit} fewer would be granted",
            words=("not granted", "wishes"),
        ),
        _level(
            VARIETY,
            partial(_far, VARIETY, rules, given),
            partial(_how_far, VARIETY, rules, 1),
            lost="variety would give way more often",
            lost_by="variety would give way {number} {unit} more",
            words=("given up", "varied"),
        ),
    ]
    wished = granted or any(rule.gives == WISHES for rule in rules)
    return [level for level in levels if wished or level.name != WISHES]


def _level(
    name: str,
    total: Callable[[Board], Sum],
    value: Callable[[Week, PackedWeek], Decimal],
    *,
    lost: str,
    lost_by: str,
    words: tuple[str, str],
) -> Priority:
    """Make one; its words are those for a change and the head of a column."""
    title, unit = LEVELS[name].title, LEVELS[name].unit
    change, column = words
    return Priority(
        name=name,
        title=title,
        unit=unit,
        total=total,
        value=value,
        lost=lost,
        lost_by=lost_by,
        change=change,
        column=column,
    )


def _far(about: str, rules: Sequence[Rule], given: dict[str, Sum], board: Board) -> Sum:
    total = Sum()
    for rule in rules:
        if rule.gives == about:
            total.plus(given[rule.key])
    return total


def _ungranted(
    rules: Sequence[Rule], given: dict[str, Sum], granted: Sequence[int], board: Board
) -> Sum:
    asked = Sum(((switch, -1) for switch in granted), len(granted))
    return asked.plus(_far(WISHES, rules, given, board))


def _how_far(
    about: str, rules: Sequence[Rule], per_unit: int, week: Week, packed: PackedWeek
) -> Decimal:
    return Decimal(steps(given_way(week, packed, rules), about)) / per_unit


def _bought(board: Board) -> Sum:
    total = Sum()
    for slot in board.slots:
        total.plus(board.bought(slot))
    return total


# -- what gave way, and what it would take not to ----------------------------------------


def gave_way(
    near: Near, solved: Solved, foils: Foils | None, eaten: PackedWeek | None = None
) -> Nearest:
    """Write down what gives way in the nearest week, each with what keeping it would take.

    Parameters
    ----------
    near
        Its program.
    solved
        The week.
    foils
        What asks for weeks in which one thing does not give way; None where nobody asks.
    eaten
        Lunches that stand: a rule that gave way in them is asked to do so no further.

    Returns
    -------
    Nearest
        Lunches to buy in the order of the week, rules that give way in that of the file.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> from optimiser.rules import rules_of
    >>> from optimiser.solve.program import priorities_of
    >>> from optimiser.solve.week import solve
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal").replace("18 g", "36 g"))
    >>> near = Near.of(week, rules_of(week), priorities_of(week))
    >>> solved = solve(near.program)
    >>> [(line.rule.sentence, len(line.places)) for line in gave_way(near, solved, None).gave_way]
    [('Ilse needs 36 g protein in each lunch', 3)]
    """
    if solved.packed is None:
        raise ValueError("there is no week")
    week, packed = near.program.week, solved.packed
    given = given_way(week, packed, near.rules)
    gone = not_packed(week, packed)
    board = near.program.board
    slots = [slot for slot in board.slots if (slot.eaters[0], slot.day) in gone]
    rows = _not_to_give(near, given, eaten)
    rows += [Row.of(board.bought(slot), high=0) for slot in slots]
    verdicts: list[Verdict | None] = [None] * len(rows)
    if foils is not None:
        verdicts = list(foils.each(lambda row: foils.verdict([row]), rows))
    told = [_told(near, packed, foils, verdict) for verdict in verdicts]
    at = len(given)
    bought = [
        _bought_line(slot, row, verdict, outcome, foils)
        for slot, row, verdict, outcome in zip(
            slots, rows[at:], verdicts[at:], told[at:], strict=True
        )
    ]
    order = [(lunch.eater, lunch.day) for lunch in week.lunches]
    return Nearest(
        levels=level_lines(near, solved),
        bought=sorted(bought, key=lambda line: order.index((line.eater, line.date))),
        gave_way=[
            _given_line(each, verdict, outcome)
            for each, verdict, outcome in zip(given, verdicts, told, strict=False)
        ],
    )


def _not_to_give(near: Near, given: Sequence[Given], eaten: PackedWeek | None) -> list[Row]:
    """Ask each rule that gives way not to do so, or no further than in lunches that stand."""
    stood = [] if eaten is None else given_way(near.program.week, eaten, near.rules)
    before = {each.rule.key: each.steps for each in stood}
    rows = []
    for each in given:
        least = before.get(each.rule.key, 0)
        rows.append(Row.of(near.given[each.rule.key], high=least if least < each.steps else 0))
    return rows


def _bought_line(
    slot: Slot, row: Row, verdict: Verdict | None, outcome: str, foils: Foils | None
) -> BoughtLunch:
    impossible = verdict is not None and verdict.kind is VerdictKind.IMPOSSIBLE
    return BoughtLunch(
        date=slot.day,
        eater=slot.eaters[0],
        packed=f"packed, {outcome}" if outcome else "",
        rules=_forbidding(foils, row) if impossible and foils else [],
    )


def _given_line(given: Given, verdict: Verdict | None, outcome: str) -> GaveWay:
    return GaveWay.model_validate(
        {
            "about": given.rule.gives,
            "rule": rule_line(given.rule),
            "places": given.places(),
            "kept": f"kept, {outcome}" if outcome else _no_week(verdict),
        }
    )


def level_lines(near: Near, solved: Solved) -> list[PriorityLine]:
    """Write down how much gives way, and what is proven of it.

    Parameters
    ----------
    near
        The program of the nearest week.
    solved
        Its outcome.

    Returns
    -------
    list of PriorityLine
        In the order in which they count, what should give way last first; none of the week's own
        priorities.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> from optimiser.rules import rules_of
    >>> from optimiser.solve.program import priorities_of
    >>> from optimiser.solve.week import solve
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal").replace("18 g", "36 g"))
    >>> near = Near.of(week, rules_of(week), priorities_of(week))
    >>> solved = solve(near.program)
    >>> [(line.name, line.value, line.unit) for line in level_lines(near, solved)]
    [('bought', 0.0, 'lunches'), ('floors', 57.0, '%'), ('variety', 0.0, 'times')]
    """
    priorities = {level.name: level.priority for level in near.program.levels}
    return [
        PriorityLine(
            name=value.name,
            value=number(value.value),
            unit=priorities[value.name].unit,
            better="less",
            bound=None if value.bound is None else number(value.bound),
            proven=value.bound == value.value,
        )
        for value in solved.values
        if value.name in LEVELS
    ]


def _no_week(verdict: Verdict | None) -> str:
    return "" if verdict is None else "no week keeps it"


def _forbidding(foils: Foils, row: Row) -> list[RuleLine]:
    try:
        return [rule_line(rule) for rule in foils.conflict([row])]
    except TimeoutError:
        return []


def _told(near: Near, packed: PackedWeek, foils: Foils | None, verdict: Verdict | None) -> str:
    """Say what comes of keeping what gives way; nothing where no week can, or none was asked."""
    if verdict is None or foils is None or verdict.kind is VerdictKind.IMPOSSIBLE:
        return ""
    if verdict.kind is VerdictKind.OPEN:
        return "what that would take was not found in time"
    other = foils.packed_with(verdict)
    if verdict.kind is VerdictKind.AS_GOOD:
        instead = "" if other is None else _instead(near, packed, other, LEVELS)
        tied = "ties are settled by the order of your file"
        return f"as much would give way elsewhere{instead}; {tied}"
    known = verdict.level is not None and verdict.level.name in LEVELS
    about = [verdict.level.name] if known and verdict.level is not None else LEVELS
    instead = "" if other is None else _instead(near, packed, other, about)
    return f"{say_loss(verdict, near.program.week.currency)}{instead}"


def _instead(near: Near, packed: PackedWeek, other: PackedWeek, about: Collection[str]) -> str:
    """Name what gives way in another week and not, or not so far, in this one."""
    week = near.program.week
    several = len(week.eaters) > 1
    before = not_packed(week, packed)
    buys = [x for x in not_packed(week, other) if x not in before] if BOUGHT in about else []
    things = [f"{day_name(day)}{f', {eater}' if several else ''}" for eater, day in buys]
    if len(about) > 1:
        things = [f"{thing}: to buy" for thing in things]
    here = {place for each in given_way(week, packed, near.rules) for place in _places(each)}
    for each in given_way(week, other, near.rules):
        if each.rule.gives in about:
            new = [place for place in _places(each) if place not in here]
            things += [f"{where}: {what}" for _, where, what in new]
    more = len(things) - MOST_SAID
    shown = [*things[:MOST_SAID], *([f"{more} more"] if more > 0 else [])]
    return f" ({'; '.join(shown)})" if shown else ""


def _places(given: Given) -> list[tuple[str, str, str]]:
    return [(given.rule.key, place.where, place.what) for place in given.places()]
