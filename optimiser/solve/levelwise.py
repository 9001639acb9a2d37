"""A week of several eaters, priority by priority: bounds by the relaxation, proofs by CP-SAT.

One sum that folds all priorities by large weights tells CP-SAT's relaxation next to nothing
once lunches are many. Here each priority is a level of its own. All weeks that there may be
are held as *parts*: boxes that say how far each count may go. A part's *vector* is what the
relaxation says of the levels to come, one after another, each at its bound: no week of the
part has a smaller vector. The part with the smallest one is asked for a week at just that
vector. Then nearly everything is fixed, for each bound says how far counts may move; so CP-SAT
answers at once, and a week that it finds is proven in all those levels together. Where it has
none, the vector grows; where it does not know within a little work, the part is split: by how
many of a pack are opened, which no relaxation can tell, then by how often options and dishes
come. Of some levels no vector tells much: there parts are asked in turn with all of them as one,
and so they are at any level that takes long.

All is counted in the solver's own work, never in time, and every bound is summed up in whole
numbers: the same week gives the same plan and the same proof on every machine.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum, auto
from math import floor

from models.words.priorities import TIE_BREAK
from optimiser.board.rows import Row
from optimiser.solve import cpsat
from optimiser.solve.certificate import Box, LowerBound, on_grid
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Stop
from optimiser.solve.program import Level, Program, Stage, fold
from optimiser.solve.relaxation import Relaxation
from optimiser.solve.ties import TIES_WORK, ties
from optimiser.solve.totals import with_totals

WHOLE_WORK = 0.6
"""Work, in CP-SAT's own unit, for a question about all parts together."""
PART_WORK = 0.3
"""Work for a question about one part, doubled each time it was too little."""
TURN_WORK = 1.0
"""Work for all parts as one, at levels of which the relaxation tells little; three times as much
the next time, and as much for parts one by one where the bound did not rise."""
LATE = 10.0
"""So many times that work, and all parts are asked as one at any other level too: parts that the
relaxation does not tell apart are split without end."""
FOLDED = 2**10
"""Largest weight by which levels are folded there."""
TIE_WORK = 0.5
"""Work for the order of the file, which may stay open: nobody eats better for it."""
COUNTED_TIE_WORK = 0.1
"""Of it for the first question where alike eaters are counted: parted, that is soon answered."""
FOR_ANY = 0.3
"""Share of the user's seconds that is kept for having any plan, while there is none."""
MANY = 2500
"""Beyond so many counts, work is given in proportion to them."""
COARSE = 100
"""A level whose weights are at most so many steps is often as good as the relaxation says."""
APART = 1e-5
"""A count that is further than this from a whole number is broken."""


@dataclass(slots=True)
class _Part:
    """Some of the weeks that there may be.

    Attributes
    ----------
    box
        How far each count may go.
    floors
        The least of the next level, by the values of the levels before it.
    vector
        The least of the next level, and of those after it while each is at its least.
    boxes
        How far counts may go while so many levels are at their least.
    bound
        What the relaxation says of the next level.
    broken
        Totals of packs, options and dishes in the relaxation.
    tries
        How often work was too little.
    window
        How many steps above its least the next level is asked for.
    whole
        Whether it is all weeks there may be, and asked before it is split.
    parts
        What it falls into, where that is known.
    """

    box: Box
    floors: dict[tuple[int, ...], int] = field(default_factory=dict)
    vector: tuple[int, ...] = ()
    boxes: list[Box] = field(default_factory=list)
    bound: LowerBound | None = None
    broken: dict[int, float] = field(default_factory=dict)
    tries: int = 0
    window: int = 0
    whole: bool = False
    parts: list[_Part] = field(default_factory=list)


class _Came(Enum):
    """What a question about a part came to."""

    NOTHING = auto()  # no week is in it
    HIGHER = auto()  # its vector has grown
    OPEN = auto()  # the work was too little


@dataclass(frozen=True, slots=True)
class Settled:
    """What is known of the levels of a program.

    Attributes
    ----------
    sums
        The proven sums of the first levels.
    counts
        The best week so far; None without one.
    bound
        The first level that is not proven is at least this.
    """

    status: Status
    sums: tuple[int, ...]
    counts: list[int] | None
    bound: int | None = None


class Levelwise:
    """The search for the best week of a program, level by level.

    Parameters
    ----------
    program
        The program.
    extra
        Rows to hold besides its own.
    known
        Sums of the levels that no week can fall below, while every level before is at its own.
    deadline
        When to give up, by the clock of `time.monotonic`.
    stop
        Ends the search from another thread.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("family"))
    >>> settled = Levelwise(program).settle()
    >>> settled.status.value, len(settled.sums) == len(program.levels)
    ('optimal', True)
    """

    def __init__(
        self,
        program: Program,
        *,
        extra: Iterable[Row] = (),
        known: Mapping[str, int] | None = None,
        deadline: float | None = None,
        stop: Stop | None = None,
    ) -> None:
        self._board, self._levels = program.board, program.levels
        self._known = [] if known is None else [known[level.name] for level in program.levels]
        self._deadline, self._stop = deadline, Stop() if stop is None else stop
        self._seconds = 0.0 if deadline is None else max(0.0, deadline - time.monotonic())
        self._counts_of_week = len(program.board.sheet.bounds)
        self._size = max(1.0, self._counts_of_week / MANY)
        self._totals = with_totals(program.board, [*program.plates, *extra])
        self._sheet = self._totals.sheet
        self._model = cpsat.model_of(self._sheet)
        self._relaxation = Relaxation(self._sheet, [level.total for level in self._levels])
        self._sums: list[int] = []
        self._held: list[Row] = []
        self._best: list[int] | None = None
        self._doubted = False
        self._turn = self._turn_ends = 0.0
        self._last_box: Box = self._sheet.bounds
        self._work = 0.0

    def settle(self) -> Settled:
        """Find the best week and prove it, as far as time allows.

        Returns
        -------
        Settled
            Infeasible is proven too. Optimal also where the order of the file alone stayed open.
        """
        pool = self._anew([_Part(list(self._sheet.bounds))])
        while pool and len(self._sums) < len(self._levels):
            part = min(pool, key=lambda part: (part.vector, part.bound.exact if part.bound else 0))
            if self._reached(part):
                pool = self._hold(pool, (self._value(),))
            elif self._over():
                return self._open(part)
            elif len(pool) > 1 and self._is_turn(part):
                pool = self._as_one(pool)
            elif part.whole or not self._cut(part, only_packs=True):
                pool = self._asked(pool, part)
            else:
                pool = self._split(pool, part, only_packs=True)
        if self._best is None:
            return Settled(Status.INFEASIBLE, (), None)
        self._take_first()
        return Settled(Status.OPTIMAL, tuple(self._sums), self._best[: self._counts_of_week])

    def _take_first(self) -> None:
        """Take one and the same of the weeks that are equal in every level."""
        work = TIES_WORK
        for total in ties(self._board, self._last_box):
            answer = cpsat.solve(
                self._model,
                total,
                extra=self._held,
                hint=self._best,
                box=self._last_box,
                cuts=True,
                limit=Limit(self._left(), work),
                stop=self._stop,
            )
            self._best = self._best if answer.values is None else answer.values
            work -= answer.work
            if answer.status is not Status.OPTIMAL or work <= 0 or self._best is None:
                break
            self._held.append(Row.of(total, high=total.value(self._best)))

    def _open(self, part: _Part) -> Settled:
        if self._best is None:
            self._any_week(part)
        if self._best is None:
            return Settled(Status.UNKNOWN, tuple(self._sums), None, part.vector[0])
        status = Status.OPTIMAL if self._next.name == TIE_BREAK else Status.FEASIBLE
        counts = self._best[: self._counts_of_week]
        return Settled(status, tuple(self._sums), counts, part.vector[0])

    @property
    def _next(self) -> Level:
        return self._levels[len(self._sums)]

    def _value(self) -> int:
        if self._best is None:
            raise RuntimeError("there is no week yet")
        return self._next.total.value(self._best)

    def _reached(self, part: _Part) -> bool:
        return self._best is not None and self._value() <= part.vector[0]

    @property
    def _is_tie(self) -> bool:
        return self._next.name == TIE_BREAK and self._best is not None

    def _is_alone(self, part: _Part) -> bool:
        """Tell whether a plan is known, and the relaxation says nothing beyond the next level."""
        return self._best is not None and len(part.vector) == 1 and not self._is_tie

    def _is_turn(self, part: _Part) -> bool:
        """Tell whether all parts have to be asked as one before they are looked at one by one."""
        late = self._work > LATE * TURN_WORK * self._size and not self._is_tie
        return self._work > self._turn_ends and (late or self._is_alone(part))

    def _over(self) -> bool:
        if self._is_tie and self._work > TIE_WORK:
            return True
        left = self._left()
        return (left is not None and left <= 0) or self._stop.over

    def _left(self) -> float | None:
        """Give the seconds that are left; without a plan some are kept for having any."""
        if self._deadline is None:
            return None
        kept = FOR_ANY * self._seconds if self._best is None else 0.0
        return self._deadline - kept - time.monotonic()

    # -- the relaxation -------------------------------------------------------------

    def _bounded(self, part: _Part, least: int | None = None) -> bool:
        """Work out a part's vector; False where no week is in it."""
        at = len(self._sums)
        vector: list[int] = []
        box, part.boxes, part.bound = part.box, [part.box], None
        for place in self._ahead():
            level = self._levels[place]
            self._relaxation.within(box)
            bound = self._relaxation.least(level.total)
            self._work += 0.01 * self._size
            if bound is None:
                break
            if part.bound is None:
                part.bound = bound
            part.broken = self._relaxation.broken(self._totals.all)
            lowest = self._lowest(part, level, vector, bound.least)
            box = bound.narrowed(box, lowest)
            part.boxes.append(box)
            vector.append(lowest)
            self._relaxation.ceiling(place, lowest)
        for place in range(at, len(self._levels)):
            self._relaxation.ceiling(place, None)
        if part.bound is None and self._is_empty(part):
            return False
        part.vector = tuple(vector) or (self._next.low if least is None else least,)
        return True

    def _as_its_whole(self, piece: _Part, whole: _Part) -> bool:
        """Take the vector of what a piece was cut from, but for its last level, where it has it."""
        before, here = whole.vector[:-1], tuple(self._sums)
        if not before or any(
            piece.floors.get((*here, *before[:at]), value) > value
            for at, value in enumerate(before)
        ):
            return False
        boxes = [_both(box, piece.box) for box in whole.boxes[:-1]]
        if any(low > high for low, high in boxes[-1]):
            return False
        for place, value in enumerate(before, len(here)):
            self._relaxation.ceiling(place, value)
        self._relaxation.within(boxes[-1])
        level = self._levels[len(here) + len(before)]
        bound = self._relaxation.least(level.total)
        self._work += 0.01 * self._size
        if bound is not None:
            piece.broken = self._relaxation.broken(self._totals.all)
        for place in range(len(here), len(self._levels)):
            self._relaxation.ceiling(place, None)
        if bound is None:
            return False
        lowest = self._lowest(piece, level, before, bound.least)
        piece.vector, piece.bound = (*before, lowest), whole.bound
        piece.boxes = [*boxes, bound.narrowed(boxes[-1], lowest)]
        return True

    def _ahead(self) -> Iterator[int]:
        """Give the next level, and those after it that may well be as the relaxation says."""
        at = len(self._sums)
        yield at
        for place in range(at + 1, len(self._levels)):
            before = place - 1
            if _fine(self._levels[place]) or (before > 0 and _fine(self._levels[before])):
                return
            yield place

    def _lowest(self, part: _Part, level: Level, vector: Sequence[int], least: int) -> int:
        prefix = (*self._sums, *vector)
        lowest = on_grid(level, max(least, part.floors.get(prefix, least)))
        if list(prefix) == self._known[: len(prefix)] and len(prefix) < len(self._known):
            lowest = max(lowest, self._known[len(prefix)])
        return lowest

    def _is_empty(self, part: _Part) -> bool:
        """Tell whether no week is in a part of which the relaxation has no bound."""
        at = len(self._sums)
        empty = False
        for place in reversed(range(at)):
            self._relaxation.ceiling(place, None)
            level = self._levels[place]
            bound = self._relaxation.least(level.total)
            if bound is not None:
                empty = on_grid(level, bound.least) > self._sums[place]
                break
        for place in range(at):
            self._relaxation.ceiling(place, self._sums[place])
        if empty:
            return True
        answer = self._solve(None, part.box, [], PART_WORK)
        return answer.status is Status.INFEASIBLE

    # -- parts ----------------------------------------------------------------------

    def _anew(self, parts: list[_Part]) -> list[_Part]:
        """Look at all parts as one, before they are looked at one by one."""
        self._work, self._turn = 0.0, TURN_WORK * self._size
        self._turn_ends = self._turn
        if not parts:
            return []
        for part in parts:
            part.tries = part.window = 0
        whole = parts[0] if len(parts) == 1 else _around(parts)
        if len(self._sums) == len(self._levels):
            self._last_box = whole.box
            return []
        if not self._bounded(whole):
            return []
        # Where all as one was too much just now, it would be too much again.
        whole.whole = not self._doubted
        return [whole]

    def _as_one(self, pool: list[_Part]) -> list[_Part]:
        """Look at all parts as one again, with more work than before."""
        whole = _around(pool)
        whole.whole, whole.tries = True, 1
        least = min(part.vector[0] for part in pool)
        whole.floors[tuple(self._sums)] = least
        return [whole] if self._bounded(whole, least) else []

    def _hold(self, pool: list[_Part], prefix: tuple[int, ...]) -> list[_Part]:
        """Take the next levels as proven, and keep the parts in which they can be had."""
        kept = [part for part in pool if part.vector[: len(prefix)] <= prefix]
        for part in kept:
            if part.vector[: len(prefix)] == prefix and len(part.boxes) > len(prefix):
                part.box = part.boxes[len(prefix)]
            elif part.bound is not None:
                part.box = part.bound.narrowed(part.box, prefix[0])
        for value in prefix:
            self._held.append(Row.of(self._next.total, high=value))
            self._relaxation.ceiling(len(self._sums), value)
            self._sums.append(value)
        return self._anew(kept)

    def _split(self, pool: list[_Part], part: _Part, *, only_packs: bool) -> list[_Part]:
        best = None if self._best is None else self._value()
        at, least = tuple(self._sums), part.vector[0]
        least = max(least, part.floors.get(at, least))
        pieces = part.parts
        for piece in pieces:
            piece.floors[at] = max(least, piece.floors.get(at, least))
        if not pieces:
            pieces = [
                _Part(box, dict(part.floors), tries=part.tries)
                for box in self._cut(part, only_packs=only_packs)
            ]
        cut = not part.parts
        kept = [
            piece
            for piece in pieces
            if (cut and self._as_its_whole(piece, part)) or self._bounded(piece, least)
        ]
        kept = [piece for piece in kept if best is None or piece.vector[0] <= best]
        return [*(other for other in pool if other is not part), *kept]

    def _cut(self, part: _Part, *, only_packs: bool) -> list[Box]:
        """Cut a part in two or three by one total; nothing where there is none left to cut by."""
        for totals, whole_too in (
            (self._totals.packs, True),
            (self._totals.openings, not only_packs),
            (self._totals.servings if not only_packs else [], True),
        ):
            free = [at for at in totals if part.box[at][0] < part.box[at][1] and at in part.broken]
            off = {at: abs(part.broken[at] - round(part.broken[at])) for at in free}
            most = max(free, key=lambda at: (off[at], -at), default=None)
            if most is not None and off[most] > APART:
                down = floor(part.broken[most])
                return _boxes(part.box, most, [(None, down), (down + 1, None)])
            if free and whole_too:
                at = free[0]
                here = round(part.broken[at])
                return _boxes(part.box, at, [(here, here), (None, here - 1), (here + 1, None)])
        return []

    # -- questions ------------------------------------------------------------------

    def _asked(self, pool: list[_Part], part: _Part) -> list[_Part]:
        came = self._ask(part)
        others = [other for other in pool if other is not part]
        if isinstance(came, int):
            return self._hold(pool, part.vector[:came])
        if came is _Came.NOTHING:
            return others
        if came is _Came.OPEN:
            part.tries += 1
            if self._best is None and part.whole:
                self._any_week(part)
            if part.whole and part.tries == 1 and self._is_alone(part):
                return pool
            if part.parts or self._cut(part, only_packs=False):
                part.whole = False
                return self._split(pool, part, only_packs=False)
        return pool if self._bounded(part, part.vector[0]) else others

    def _any_week(self, part: _Part) -> None:
        """Have a plan, in case time runs out."""
        self._seconds = 0.0
        self._best = self._solve(None, part.box, [], WHOLE_WORK).values

    def _ask(self, part: _Part) -> int | _Came:
        """Ask for a week at a part's vector, then at ever less of it.

        Returns
        -------
        int or _Came
            So many levels of the vector a week was found at, the best of the part in them.
        """
        alone = part.whole and self._is_alone(part)
        if part.whole and part.tries and (alone or part.parts):
            return self._ask_as_one(part)
        for number in reversed(range(len(part.boxes))):
            at = len(self._sums) + number
            if at == len(self._levels):
                continue
            if number == 0:
                return self._ask_as_one(part) if alone else self._ask_next(part)
            level, vector = self._levels[at], part.vector[:number]
            answer = self._solve(
                level,
                part.boxes[number],
                [
                    Row.of(self._levels[len(self._sums) + ahead].total, high=value)
                    for ahead, value in enumerate(vector)
                ],
                self._work_for(part),
                self._lowest(part, level, vector, level.low),
            )
            if answer.values is not None:
                self._best = answer.values
                part.floors[*self._sums, *vector] = answer.bound
                return number
            if answer.status is not Status.INFEASIBLE:
                return _Came.OPEN
            part.floors[*self._sums, *vector[:-1]] = vector[-1] + self._levels[at - 1].step
        raise RuntimeError("a part without a box")  # pragma: no cover - it has its own

    def _ask_as_one(self, part: _Part) -> int | _Came:
        """Go on from the best plan for the best of all, in the next levels folded."""
        part.tries, work, here = 1, self._turn, tuple(self._sums)
        self._turn_ends, self._turn = self._work + 2 * work, 3 * work
        stage = fold(self._foldable())
        least = {level.name: level.low for level in stage.levels}
        lowest = self._lowest(part, self._next, (), part.vector[0])
        least[self._next.name] = lowest
        box = part.box
        if part.bound is not None and self._best is not None:
            box = part.bound.narrowed(box, self._value())
        low = stage.folded(least)
        answer = self._solve(stage, box, [], work / self._size, low, hint=self._best)
        if answer.values is not None:
            self._best = answer.values
            part.floors[here] = stage.split(max(low, answer.bound))[0]
        if self._best is None and answer.status is Status.INFEASIBLE:
            return _Came.NOTHING
        if answer.status is not Status.OPTIMAL or self._best is None:
            return _Came.HIGHER if part.floors.get(here, lowest) > lowest else _Came.OPEN
        part.vector = tuple(level.total.value(self._best) for level in stage.levels)
        part.boxes = [part.box]
        return len(part.vector)

    def _foldable(self) -> list[Level]:
        """Give the next level, and those after it while weights stay small."""
        levels, size = [self._next], 1
        for level in self._levels[len(self._sums) + 1 :]:
            size *= level.span + 1
            if level.name == TIE_BREAK or size > FOLDED:
                break
            levels.append(level)
        return levels

    def _ask_next(self, part: _Part) -> _Came:
        """Ask for less of the next level, at most a little above the part's least."""
        level, here = self._next, tuple(self._sums)
        lowest = self._lowest(part, level, (), part.vector[0])
        top: int | None = None
        if self._best is not None:
            top = self._value() - level.step
        if not part.whole:
            wide = part.window
            if top is not None:
                wide = max(wide, (top - lowest) // 4 // level.step)
            near = min(lowest + wide * level.step, level.high)
            top = near if top is None else min(top, near)
        rows = [] if top is None else [Row.of(level.total, high=top)]
        box = part.box
        if top is not None and part.bound is not None:
            box = part.bound.narrowed(box, top)
        answer = self._solve(level, box, rows, self._work_for(part), lowest)
        if answer.status is Status.INFEASIBLE:
            if top is None or top >= level.high:
                return _Came.NOTHING
            part.floors[here] = top + level.step
            part.window = max(1, 2 * part.window)
            return _Came.HIGHER
        if answer.values is not None:
            self._best = answer.values
        part.floors[here] = max(lowest, answer.bound)
        return _Came.HIGHER if answer.status is Status.OPTIMAL else _Came.OPEN

    def _work_for(self, part: _Part) -> float:
        if self._is_tie and self._board.counts_alike:
            return COUNTED_TIE_WORK * 2.0**part.tries
        return (WHOLE_WORK if part.whole else PART_WORK) * 2.0**part.tries

    def _given(self, work: float) -> float:
        if self._is_tie:
            return min(work * self._size, max(0.01, TIE_WORK - self._work))
        return work * self._size

    def _solve(
        self,
        level: Level | Stage | None,
        box: Box,
        rows: Sequence[Row],
        work: float,
        known: int | None = None,
        hint: list[int] | None = None,
    ) -> cpsat.Solution:
        answer = cpsat.solve(
            self._model,
            None if level is None else level.total,
            extra=[*self._held, *rows],
            known=known,
            hint=hint,
            box=box,
            cuts=True,
            limit=Limit(self._left(), self._given(work)),
            stop=self._stop,
        )
        self._work += answer.work
        self._doubted = level is not None and answer.status is Status.FEASIBLE
        if answer.status is Status.UNKNOWN:
            # Nothing is learned of the bound where CP-SAT did not come to one.
            low = answer.bound if isinstance(level, Level) and answer.bound > level.low else None
            return replace(answer, bound=low if low is not None else _NO_BOUND)
        return answer


_NO_BOUND = -(2**62)


def _around(parts: list[_Part]) -> _Part:
    """Give the smallest part that holds some."""
    spans = zip(*(part.box for part in parts), strict=True)
    box = [(min(low for low, _ in span), max(high for _, high in span)) for span in spans]
    return _Part(box, parts=parts)


def _both(box: Box, other: Box) -> Box:
    pairs = zip(box, other, strict=True)
    return [(max(low, least), min(high, most)) for (low, high), (least, most) in pairs]


def _fine(level: Level) -> bool:
    return max(map(abs, level.total.terms.values()), default=0) > COARSE * level.step


def _boxes(box: Box, at: int, ranges: Iterable[tuple[int | None, int | None]]) -> list[Box]:
    boxes: list[Box] = []
    for least, most in ranges:
        low, high = box[at]
        low = low if least is None else max(low, least)
        high = high if most is None else min(high, most)
        if low <= high:
            boxes.append([*box[:at], (low, high), *box[at + 1 :]])
    return boxes
