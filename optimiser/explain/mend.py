"""What would mend a week: the smallest changes that achieve a goal, each with its plan.

Every rule that may give way is posted in several versions, each bound to a switch. A version
needs what stands at a place of the file, which several rules may share, and what is changed
there costs what the change is worth: few changes before many, what the cook does on the prep
day before a wish that is bent, a small step before a large one. The cheapest set of switches
is a smallest correction set; forbidding it and what contains it gives the next. Safety rules
have no other version here. Each set is written into the week file, which is read and planned
anew: only what really gives the plan is shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from models.answers.mend import Change, MendFile, Way
from models.answers.plan import RuleLine
from models.file import yamltext
from models.file.editing import edited
from models.file.reading import read_again
from models.week.cook import cooked_in
from models.week.week import Week
from models.words.errors import InputError
from models.words.priorities import ranked
from optimiser.board import scale
from optimiser.board.board import Board, each_alone
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.explain.reasons import conflict_lines
from optimiser.explain.turns import Chain, Sort, turns_of
from optimiser.explain.wishes import Goal, Wish, asked_rows
from optimiser.priorities import PRIORITIES, Priority
from optimiser.rules import Rule, rules_of
from optimiser.rules.base import Edit
from optimiser.rules.stock import Supply
from optimiser.rules.versions import post_versions
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_WEEK, Say, Stop, silent
from optimiser.solve.program import Program, priorities_of
from optimiser.solve.week import Solved, solve_with
from optimiser.written import number

MOST_VAIN = 12
"""Sets that may fail when they are planned anew before the search is given up."""
_STEP, _TIE = 10, 1_000


@dataclass(frozen=True, slots=True)
class Version:
    """A rule as it could be, and the switch that makes it so.

    Attributes
    ----------
    edits
        What the file has to say for it; nothing for the rule as it is.
    switch
        Index of a count of 0 or 1.
    """

    rule: Rule
    edits: tuple[Edit, ...]
    switch: int


@dataclass(frozen=True, slots=True)
class Setting:
    """A place of the week file and what could stand there; several rules may share it.

    Attributes
    ----------
    edits
        What could stand there, the smallest step first; None for what does.
    switches
        A count of 0 or 1 for each.
    sort
        What sort of change it is.
    """

    edits: list[Edit | None]
    switches: list[int]
    sort: Sort

    def rank(self, edit: Edit) -> int:
        """Find which of its steps an edit is; 0 where it is none.

        Parameters
        ----------
        edit
            A change of a file.

        Returns
        -------
        int
            From 1 for the smallest step.
        """
        values = [None if edit is None else edit.value for edit in self.edits]
        return next((at for at in range(1, len(values)) if values[at] == edit.value), 0)

    def cost(self, rank: int) -> int:
        """Say what a step is worth; 0 for what stands there now.

        Parameters
        ----------
        rank
            Which step, as of `rank`.

        Returns
        -------
        int
            The more the larger the step, then the more the later its sort.
        """
        return (self.sort + _STEP * rank) * _TIE if rank else 0


@dataclass(frozen=True, slots=True)
class Mended:
    """A set of changes that was planned anew, each with its sort."""

    edits: tuple[Edit, ...]
    sorts: tuple[Sort, ...]
    text: str
    solved: Solved


class Search:
    """Looks for what mends a week.

    Parameters
    ----------
    week
        The week, read from a file.
    wanted
        What the week is to achieve; nothing more than any plan when empty.
    stop
        Ends the search early from another thread.
    now
        The week as it is solved today; what matters more than a goal is held as good.
    """

    def __init__(
        self,
        week: Week,
        wanted: Sequence[Wish | Goal],
        stop: Stop | None = None,
        now: Solved | None = None,
    ) -> None:
        self.week = week
        self.wanted = wanted
        self.wishes = [asked for asked in wanted if isinstance(asked, Wish)]
        self.goals = [asked for asked in wanted if isinstance(asked, Goal)]
        self.stop = Stop() if stop is None else stop
        self.now = now
        self.exhausted = False
        # Where there is a plan more beside a dish only costs, and best-by days count.
        has_plan = now is not None and now.packed is not None
        dated = any(goal.priority == "freshness" for goal in self.goals)
        self.turns = turns_of(week, planless=not has_plan and not dated)
        self.firm = self.turns.firm
        wide = self.turns.wide
        board = Board(wide, each_alone(wide))
        self.places: dict[tuple[str | int, ...], Setting] = {}
        self.chains = [(chain, self._post(board, chain)) for chain in self.turns.chains]
        self.versions = [versions for _, versions in self.chains]
        self._tie(board.sheet)
        self.program = Program(
            wide,
            rules=self.firm,
            priorities=[self._priced(priority) for priority in priorities_of(wide)],
            board=board,
        )

    def _post(self, board: Board, chain: Chain) -> list[Version]:
        """Post every version of a rule, and let what each asks for stand in the file."""
        switches = post_versions(board, chain.versions)
        asked = [
            version.edits(self.week) if step else () for step, version in enumerate(chain.versions)
        ]
        for edit in (edit for edits in asked for edit in edits):
            self._stand(board.sheet, edit, chain.sort)
        return [Version(*parts) for parts in zip(chain.versions, asked, switches, strict=True)]

    def _stand(self, sheet: Sheet, edit: Edit, sort: Sort) -> None:
        """Let an edit stand at its place."""
        path = " > ".join(map(str, edit.path))
        if edit.path not in self.places:
            self.places[edit.path] = Setting([None], [sheet.count(1, path)], sort)
        place = self.places[edit.path]
        if not place.rank(edit):
            place.edits.append(edit)
            place.switches.append(sheet.count(1, f"{path}: {edit.value}"))

    def _tie(self, sheet: Sheet) -> None:
        """Let each place say one thing, and each rule give way no further than its places do."""
        for place in self.places.values():
            sheet.bound(Sum((switch, 1) for switch in place.switches), low=1, high=1)
        for chain, versions in self.chains:
            for version in versions:
                for edit in version.edits:
                    place = self.places[edit.path]
                    rank = place.rank(edit)
                    # A wider limit allows what a narrower one does; a yield is what it is.
                    enough = [place.switches[rank]] if chain.exact else place.switches[rank:]
                    allowed = Sum((switch, 1) for switch in enough).add(version.switch, -1)
                    sheet.bound(allowed, low=0)
            if chain.exact:
                place = self.places[versions[1].edits[0].path]
                sheet.bound(Sum([(place.switches[0], 1), (versions[0].switch, -1)]), low=0, high=0)

    def _priced(self, priority: Priority) -> Priority:
        """Price each batch by how much of it is cooked."""
        if priority.name != "cost":
            return priority
        return replace(priority, total=lambda board: priority.total(board).plus(self._prices()))

    def _prices(self) -> Sum:
        """Give what batches cost besides what the week says, in steps of cost."""
        total = Sum()
        for version in (version for chain in self.versions for version in chain):
            if isinstance(version.rule, Supply):
                batch = self.week.batches[version.rule.batch]
                more = cooked_in(batch, version.rule.portions).cost - batch.cost
                total.add(version.switch, scale.money(more))
        return total

    # -- the search ---------------------------------------------------------------

    def ways(self) -> Iterator[Mended]:
        """Give sets of changes that hold when planned anew, the smallest first.

        A smallest correction set is what an order of all that may give way prefers: here the
        cheapest set of switches. Once it is given, it and all sets that contain it are blocked,
        and the next is the cheapest of the others. A set that does not hold when its week is
        planned anew is blocked alone. `exhausted` is True afterwards where it is proven that
        there are no others.

        Yields
        ------
        Mended
            Planned anew and good; none changes all that one before it does.

        Notes
        -----
        Preferred correction sets: Marques-Silva and Previti, On computing preferred MUSes and
        MCSes, SAT 2014. Blocking what contains a set: Liffiton, Previti, Malik and
        Marques-Silva, Fast, flexible MUS enumeration, Constraints 21, 2016.
        """
        cost = self._cost()
        extra = [*asked_rows(self.program, self.wanted), *self._as_good()]
        model = cpsat.model_of(self.program.board.sheet)
        vain = 0
        while vain < MOST_VAIN:
            answer = cpsat.solve(model, cost, extra=extra, limit=ONE_WEEK, stop=self.stop)
            self.exhausted = answer.status is Status.INFEASIBLE
            if answer.values is None or answer.status is not Status.OPTIMAL:
                return
            on = self._changed(answer.values)
            mended = self._mended(on, answer.values) if on else None
            if mended is not None:
                yield mended
                # Nothing that changes all of these again, however much.
                kept = Sum((place.switches[0], 1) for place, _ in on)
                extra.append(Row.of(kept, low=1))
                continue
            vain += 1
            extra.append(self._not_again(on))

    def _cost(self) -> Sum:
        """Sum what the changes are worth; between equals, the fewest rules give way."""
        total = Sum()
        for place in self.places.values():
            for rank, switch in enumerate(place.switches):
                total.add(switch, place.cost(rank))
        for chain in self.versions:
            for version in chain[1:]:
                total.add(version.switch, 1)
        return total

    def _changed(self, values: Sequence[int]) -> list[tuple[Setting, int]]:
        """List the places that say something else, with the step that they take."""
        return [
            (place, rank)
            for place in self.places.values()
            for rank, switch in enumerate(place.switches)
            if rank and values[switch]
        ]

    def _not_again(self, on: Sequence[tuple[Setting, int]]) -> Row:
        """Forbid a set that did not hold when planned anew."""
        if on:
            return Row.of(Sum((place.switches[rank], 1) for place, rank in on), high=len(on) - 1)
        # Possible without a change, but not what the order of the priorities gives.
        unchanged = Sum((place.switches[0], 1) for place in self.places.values())
        return Row.of(unchanged, high=len(self.places) - 1)

    def held(self) -> list[str]:
        """List the priorities that come before the goals.

        Returns
        -------
        list of str
            Names, in the order of the week; empty where nothing is held, or the week has no plan.
        """
        if self.now is None or self.now.packed is None:
            return []
        order = ranked(self.week.priorities)
        ranks = [order.index(goal.priority) for goal in self.goals]
        return order[: min(ranks, default=0)]

    def _as_good(self) -> list[Row]:
        """Hold what matters more than the goals as good as it is now.

        A plan obeys the order of the priorities: a goal further down counts only among weeks
        that lose nothing above it.
        """
        held = self.held()
        if self.now is None or not held:
            return []
        values = {value.name: value.value for value in self.now.values}
        rows = []
        for level in self.program.levels:
            if level.name in held:
                rows.append(Row.of(level.total, high=level.steps(values[level.name])))
        return rows

    def blocked(self) -> list[RuleLine]:
        """Give a smallest set of rules that no change may touch and that forbid what is wanted.

        Where what stays of them does not forbid it, the rules that keep someone safe as they are.

        Returns
        -------
        list of RuleLine
            In the order of the week's rules; empty where neither forbids it, or that stayed open.
        """
        lines: list[RuleLine] = []
        by_key = {rule.key: rule for rule in self.firm}
        safe = by_key | {rule.key: rule for rule in rules_of(self.week) if rule.safety}
        for rules in (self.firm, safe.values()):
            program = Program(self.week, rules=rules)
            lines = lines or conflict_lines(program, asked_rows(program, self.wanted), self.stop)
        return lines

    def _mended(self, on: Sequence[tuple[Setting, int]], values: Sequence[int]) -> Mended | None:
        weaker = (version for chain in self.versions for version in chain[1:])
        bent = [version for version in weaker if values[version.switch]]
        asked = [edit for version in bent for edit in version.edits]
        edits = []
        for place, rank in on:
            edit = place.edits[rank]
            # In the words of a rule that has to give way there.
            edits.append(next((x for x in asked if edit and _same(x, edit)), edit))
        known = tuple(edit for edit in edits if edit is not None)
        return self.planned(known, tuple(place.sort for place, _ in on))

    def planned(self, edits: tuple[Edit, ...], sorts: tuple[Sort, ...]) -> Mended | None:
        """Plan the edited file anew; None where it does not achieve what is wanted.

        Parameters
        ----------
        edits
            What the file is to say.
        sorts
            The sort of each.

        Returns
        -------
        Mended or None
            With the text of the file; None too where that cannot be read.
        """
        try:
            text = edited(self.week.source.as_yaml(), [(edit.path, edit.value) for edit in edits])
            week = read_again(self.week, yamltext.parse("the changed week", text))
        except (KeyError, InputError):
            return None
        _, solved = solve_with(week, self.wishes, stop=self.stop)
        if solved.packed is None:
            return None
        reached = {value.name: number(value.value) for value in solved.values}
        if not all(goal.holds(reached[goal.priority]) for goal in self.goals):
            return None
        return Mended(edits, sorts, text, solved)

    def sooner(self) -> Mended | None:
        """Look whether another order of the priorities alone achieves the goal.

        Returns
        -------
        Mended or None
            One change, of the order; None where the goals come first already, or it does not help.
        """
        order = ranked(self.week.priorities)
        first = [goal.priority for goal in self.goals]
        if not first or order[: len(first)] == first:
            return None
        wanted = [*first, *(name for name in order if name not in first)]
        goal_titles = ", then ".join(PRIORITIES[name].title for name in first)
        edit = Edit(("priorities",), wanted, ", ".join(order), f"put {goal_titles} before all else")
        return self.planned((edit,), (Sort.WISH,))


def _same(edit: Edit, other: Edit) -> bool:
    return (edit.path, edit.value) == (other.path, other.value)


# -- the answer ------------------------------------------------------------------------


def mend(
    week: Week,
    wanted: Sequence[Wish | Goal],
    *,
    count: int = 3,
    stop: Stop | None = None,
    say: Say = silent,
) -> MendFile:
    """Find changes that mend a week, each with the text of the file so changed.

    Parameters
    ----------
    week
        The week, read from a file.
    wanted
        Goals and wishes; any plan at all when empty, or nothing left over where there is one.
    count
        How many different sets of changes to look for.
    stop
        Ends the search early; what is found by then is given.
    say
        Is told what is being done.

    Returns
    -------
    MendFile
        The ways, those that bend no wish first.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> answer = mend(read_week("impossible"), [], count=1)
    >>> len(answer.ways)
    1
    """
    stop = Stop() if stop is None else stop
    say("looking at the week as it is")
    _, solved = solve_with(week, [x for x in wanted if isinstance(x, Wish)], stop=stop)
    goals = [asked for asked in wanted if isinstance(asked, Goal)]
    if solved.packed is not None and not wanted and "left_over" in week.priorities:
        goals = [Goal("left_over", most=False, number=Decimal(0), text="nothing left over")]
        wanted = goals
    goal_text = " and ".join(asked.text for asked in wanted) or "any plan at all"
    reached = {value.name: number(value.value) for value in solved.values}
    done = MendFile(name=week.name, goal=goal_text, ways=[], currency=week.currency, now=reached)
    if solved.packed is not None and all(goal.holds(reached[goal.priority]) for goal in goals):
        return done.model_copy(update={"already": True})
    if stop.over:
        return done.model_copy(update={"interrupted": stop.asked, "complete": False})
    mending = Search(week, wanted, stop, solved)
    mended: list[Mended] = []
    if solved.packed is not None:
        say("trying another order of the priorities")
        sooner = mending.sooner()
        mended += [sooner] if sooner is not None else []
    ways = mending.ways()
    while len(mended) < count and not stop.over:
        say(f"looking for changes, {len(mended)} found")
        way = next(ways, None)
        if way is None:
            break
        mended.append(way)
    # What a cook does comes before a wish that is bent, the order of priorities too.
    mended.sort(key=lambda way: (way.sorts.count(Sort.WISH), len(way.sorts)))
    return done.model_copy(
        update={
            "ways": [_written(week, way) for way in mended],
            "interrupted": stop.asked,
            "complete": mending.exhausted and not stop.over,
            "looked_for": mending.turns.looked_for,
            "held": mending.held(),
            "blocked": [] if mended or stop.over else mending.blocked(),
        }
    )


def _written(week: Week, mended: Mended) -> Way:
    if mended.solved.packed is None:  # pragma: no cover - it was planned
        raise ValueError("there is no plan")
    dishes = [
        f"{lunch.day:%a}: {lunch.dish}"
        if len(week.eaters) == 1
        else f"{lunch.day:%a}, {lunch.eater}: {lunch.dish}"
        for lunch in mended.solved.packed.lunches
    ]
    return Way(
        changes=[
            Change(
                path=list(edit.path),
                was=edit.was,
                becomes="removed" if edit.value is None else _worded(edit.value),
                text=edit.text,
                prep=sort is Sort.PREP,
                wish=sort is Sort.WISH,
                label=sort is Sort.LABEL,
            )
            for edit, sort in zip(mended.edits, mended.sorts, strict=True)
        ],
        dishes=dishes,
        values={value.name: number(value.value) for value in mended.solved.values},
        text=mended.text,
    )


def _worded(value: object) -> str:
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {held}' for key, held in value.items())}}}"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
