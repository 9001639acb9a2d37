"""How much to cook: the volumes that leave nothing over, chosen before anything is bought.

Each batch is posted in every number of portions that its recipe allows, bound to a switch, and
what perishable packs bought for it would leave counts as left over too. What is chosen is one
solve; how firm it is, one more for each number beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from itertools import zip_longest

from models.answers.plan import RuleLine
from models.answers.size import BatchSize, PackRest, SizeFile
from models.file.editing import edited
from models.foods.facts import FoodPack
from models.week import sums
from models.week.cook import cooked_in, week_cooked_in
from models.week.packed import PackedWeek
from models.week.sizes import allowed, bought, packs_rest, perishable
from models.week.week import Week
from models.words.errors import InputError
from models.words.numbers import counted
from models.words.units import GRAM, magnitude
from optimiser.board import scale
from optimiser.board.board import Board, each_alone
from optimiser.board.rows import Row, Sum
from optimiser.explain.reasons import conflict_lines
from optimiser.priorities import Priority, values
from optimiser.rules import rules_of
from optimiser.rules.stock import Supply
from optimiser.rules.versions import post_versions
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Say, Stop, silent
from optimiser.solve.parallel import each
from optimiser.solve.program import Program, priorities_of
from optimiser.solve.week import Solved, solve
from optimiser.written import left_over, lunch_said, number

LEFT = "left_over"


@dataclass(frozen=True, slots=True)
class _Size:
    """A number of portions, and the switch that cooks a batch in it."""

    portions: int
    switch: int


class Sizer:
    """Chooses how much of each batch to cook.

    Parameters
    ----------
    week
        The week.
    stop
        Ends the search early from another thread.

    Raises
    ------
    InputError
        When a batch may be cooked in no number of portions at all.
    """

    def __init__(self, week: Week, stop: Stop | None = None) -> None:
        # What is left over comes first here, whatever the week says: that is the question.
        self.week = replace(
            week, priorities=(LEFT, *(name for name in week.priorities if name != LEFT))
        )
        self.stop = Stop() if stop is None else stop
        self.allowed = {name: allowed(batch) for name, batch in week.batches.items()}
        for name, sizes in self.allowed.items():
            if not sizes.portions:
                raise InputError(
                    f"batches > {name}",
                    f"it may be cooked in no number of portions: {'; '.join(sizes.because)}",
                    "Widen 'sizes' of the batch, or let its tins and eggs be split: split: all.",
                )
        rules = rules_of(self.week)
        most = {name: max(sizes.portions) for name, sizes in self.allowed.items()}
        whole = week_cooked_in(self.week, most)
        board = Board(whole, each_alone(whole))
        self.sizes = {
            rule.batch: self._post(board, rule) for rule in rules if isinstance(rule, Supply)
        }
        *wanted, tie_break = [self._measured(priority) for priority in priorities_of(whole)]
        self.program = Program(
            whole,
            rules=[rule for rule in rules if not isinstance(rule, Supply)],
            priorities=[*wanted, replace(tie_break, name="moved", total=self._moved), tie_break],
            board=board,
        )
        self.model = cpsat.model_of(board.sheet)

    def _post(self, board: Board, stock: Supply) -> list[_Size]:
        """Post a batch in every number of portions; one of them is cooked."""
        numbers = self.allowed[stock.batch].portions
        switches = post_versions(board, (replace(stock, portions=many) for many in numbers))
        return [_Size(many, switch) for many, switch in zip(numbers, switches, strict=True)]

    def _measured(self, priority: Priority) -> Priority:
        """Count what packs leave as left over, and price each batch by how much is cooked."""
        more = {LEFT: self._rests, "cost": self._prices}.get(priority.name)
        if more is None:
            return priority
        return replace(priority, total=lambda board: priority.total(board).plus(more(board)))

    def _moved(self, board: Board) -> Sum:
        """Count the batches cooked otherwise than the file says, and then by how many portions.

        Nobody eats better for another number; the order of the file would ask for one all the same,
        for the sake of a dish that stands earlier.
        """
        moves = [
            {size.switch: abs(size.portions - self.week.batches[name].portions) for size in sizes}
            for name, sizes in self.sizes.items()
        ]
        batch = 1 + sum(max(each.values()) for each in moves)
        return Sum((at, batch + by) for each in moves for at, by in each.items() if by)

    def _rests(self, board: Board) -> Sum:
        """Give what whole packs of perishable food leave, in the steps of what is left over."""
        total = Sum()
        for food, packs in perishable(self.week).items():
            total.plus(self._rest(board, food, packs), scale.PER_UNIT)
        return total

    def _prices(self, board: Board) -> Sum:
        """Give what the batches cost besides what the board's week says, in steps of cost."""
        total = Sum()
        for name, sizes in self.sizes.items():
            batch = board.week.batches[name]
            for size in sizes:
                cost = cooked_in(batch, size.portions).cost
                total.add(size.switch, scale.money(cost) - scale.money(batch.cost))
        return total

    def _rest(self, board: Board, food: str, packs: tuple[FoodPack, ...]) -> Sum:
        """Give what whole packs of a food leave, in thousandths of a gram."""
        sheet = board.sheet
        # What is lost where weights are rounded: two cucumbers are never more than two.
        over, most, lost = Sum(), 0, Decimal(0)
        for name, sizes in self.sizes.items():
            needs = [self._bought(name, size.portions).get(food, Decimal(0)) for size in sizes]
            for cooked, grams in zip(sizes, needs, strict=True):
                over.add(cooked.switch, -_milligrams(grams))
            most += max(map(_milligrams, needs))
            lost += max(map(_rounded_off, needs))
        for pack in packs:
            size = _milligrams(pack.bought)
            many = most // size + 1
            over.add(sheet.count(many, f"packs of {food}, {pack.label}"), size)
            lost += many * _rounded_off(pack.bought)
        slack = int(lost.to_integral_value(ROUND_CEILING))
        rest = sheet.count(min(_milligrams(pack.bought) for pack in packs), f"rest of {food}")
        # What is over is at least nothing, and the rest is that: both but for the slack.
        sheet.bound(over, low=-slack)
        sheet.bound(over.add(rest, -1), high=slack)
        return Sum([(rest, 1)])

    def _bought(self, batch: str, portions: int) -> dict[str, Decimal]:
        alone = replace(self.week, batches={batch: self.week.batches[batch]})
        return bought(alone, {batch: portions})

    # -- answers ------------------------------------------------------------------

    def best(self, seconds: float | None = None) -> Solved:
        """Choose: least left over, then the other priorities in their order.

        Parameters
        ----------
        seconds
            Time limit; none when left out.

        Returns
        -------
        Solved
            Its counts say how much is cooked: see `chosen`.
        """
        return solve(self.program, seconds=seconds, stop=self.stop, holds=False)

    def chosen(self, counts: Sequence[int]) -> dict[str, int]:
        """Read how much of each batch is cooked.

        Parameters
        ----------
        counts
            The values of all counts, by index.

        Returns
        -------
        dict of str to int
            Portions by batch.
        """
        return {
            name: next(size.portions for size in sizes if counts[size.switch])
            for name, sizes in self.sizes.items()
        }

    def least_left(self, portions: dict[str, int]) -> int | None:
        """Give the least that is left over with these volumes, in steps; None when impossible.

        Parameters
        ----------
        portions
            Portions by batch.

        Returns
        -------
        int or None
            Steps of the first level, in which `grams` counts.

        Raises
        ------
        TimeoutError
            When that stayed open within the work limit.
        """
        total = self.program.levels[0].total
        cooked = {name: [number] for name, number in portions.items()}
        values = self._solved(cooked, total, ())
        return None if values is None else total.value(values)

    def another(
        self, portions: dict[str, int], batch: str, among: list[int], best: int
    ) -> int | None:
        """Find a number among some of one batch that leaves no more than the best, if there is one.

        Parameters
        ----------
        portions
            Portions by batch.
        batch
            The batch that may be cooked otherwise; the others as in `portions`.
        among
            Numbers of portions of it, each allowed.
        best
            The most that may be left over, in steps.

        Returns
        -------
        int or None
            One of `among`; None is proven.

        Raises
        ------
        TimeoutError
            When that stayed open within the work limit.
        """
        cooked = {name: [number] for name, number in portions.items()} | {batch: among}
        held = Row.of(self.program.levels[0].total, high=best)
        values = self._solved(cooked, None, (held,))
        return None if values is None else self.chosen(values)[batch]

    def _solved(
        self, cooked: dict[str, list[int]], total: Sum | None, more: tuple[Row, ...]
    ) -> list[int] | None:
        extra = [
            Row.of(Sum((size.switch, 1) for size in sizes if size.portions in cooked[name]), low=1)
            for name, sizes in self.sizes.items()
        ]
        answer = cpsat.solve(
            self.model, total, extra=(*extra, *more), limit=ONE_QUESTION, stop=self.stop
        )
        if answer.status is Status.INFEASIBLE:
            return None
        if answer.values is None or (total is not None and answer.status is not Status.OPTIMAL):
            raise TimeoutError("a question stayed open")
        return answer.values

    def grams(self, steps: int) -> float:
        """Turn steps of what is left over into g.

        Parameters
        ----------
        steps
            A difference of two sums of the first level, or one sum.

        Returns
        -------
        float
            Rounded as answers are.
        """
        return number(self.program.levels[0].worse_by(steps))


@dataclass(frozen=True, slots=True)
class _Firm:
    """How far one number may be moved before more is left over.

    Attributes
    ----------
    works
        Every number that leaves no more over, as far as that is known.
    below, above
        The next number that leaves more, with what it leaves; None where there is none.
    """

    works: tuple[int, ...]
    below: tuple[int, float | None] | None
    above: tuple[int, float | None] | None


def _firmness(sizer: Sizer, chosen: dict[str, int], batch: str, best: int) -> _Firm:
    """Move one number away from what is chosen, the others held, until more is left over.

    Further away some may leave no more again, where packs come out even; those are asked for.
    """
    portions = sizer.allowed[batch].portions
    at = portions.index(chosen[batch])
    works = [chosen[batch]]
    beyond: list[int] = []
    ends: list[tuple[int, float | None] | None] = []
    for way in (portions[:at][::-1], portions[at + 1 :]):
        end: tuple[int, float | None] | None = None
        for step, value in enumerate(way, 1):
            try:
                left = sizer.least_left({**chosen, batch: value})
            except TimeoutError:
                break
            if left is None or left > best:
                end = (value, None if left is None else sizer.grams(left))
                beyond += way[step:]
                break
            works.append(value)
        ends.append(end)
    while beyond:
        try:
            again = sizer.another(chosen, batch, beyond, best)
        except TimeoutError:
            break
        if again is None:
            break
        works.append(again)
        beyond.remove(again)
    return _Firm(tuple(sorted(works)), ends[0], ends[1])


def size(
    week: Week,
    *,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Say = silent,
) -> SizeFile:
    """Choose how much of each batch to cook.

    Parameters
    ----------
    week
        The week.
    seconds
        Time limit for the choice; how firm it is comes on top.
    stop
        Ends the search early from another thread.
    say
        Is told what is being done.

    Returns
    -------
    SizeFile
        How much of each batch, how firm each number is, and what is left over then.

    Raises
    ------
    InputError
        When a batch may be cooked in no number of portions at all.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> answer = size(read_week("starter"))
    >>> all(batch.cook in batch.allowed for batch in answer.batches)
    True
    """
    if not week.batches:
        raise InputError("batches", "this week has no batch", "There is nothing to cook in bulk.")
    stop = Stop() if stop is None else stop
    say("choosing how much to cook")
    sizer = Sizer(week, stop)
    solved = sizer.best(seconds)
    answer = SizeFile(
        name=week.name, currency=week.currency, status=solved.status.value, interrupted=stop.asked
    )
    if solved.counts is None:
        return answer.model_copy(update={"conflict": _conflict(sizer, stop, solved.status)})
    chosen = sizer.chosen(solved.counts)
    best = sizer.program.levels[0].total.value(solved.counts)
    say("looking how firm each number is")
    names = list(chosen)
    firms = each(lambda name: _firmness(sizer, chosen, name, best), names, stop=stop, shared=True)
    return answer.model_copy(
        update={
            "batches": [
                _line(sizer, name, chosen[name], firm)
                for name, firm in zip_longest(names, firms)
                if not week.batches[name].earlier
            ],
            **_left(sizer, chosen, solved.packed),
            "interrupted": stop.asked,
        }
    )


def _left(sizer: Sizer, chosen: dict[str, int], best: PackedWeek | None) -> dict[str, object]:
    """Say what the week with these volumes leaves over, and what is eaten in it."""
    week = week_cooked_in(sizer.week, chosen)
    packed = PackedWeek((), ()) if best is None else best
    reached = values(week, packed)
    rests = packs_rest(sizer.week, chosen)
    left = left_over(week, packed, [])
    return {
        "left_over": number(sums.left_over(week, packed) + sum(rests.values(), Decimal(0))),
        "batches_left": left.batches,
        "opened_left": left.packs,
        "packs": [PackRest(food=food, grams=number(grams)) for food, grams in rests.items()],
        "priorities": {name: number(reached[name]) for name in sizer.week.priorities},
        "dishes": [lunch_said(sizer.week, lunch) for lunch in packed.lunches],
        "no_prices": sums.priceless(sizer.week),
    }


def _conflict(sizer: Sizer, stop: Stop, status: Status) -> list[RuleLine]:
    return conflict_lines(sizer.program, stop=stop) if status is Status.INFEASIBLE else []


def _line(sizer: Sizer, name: str, chosen: int, firm: _Firm | None) -> BatchSize:
    batch = sizer.week.batches[name]
    below = firm.below if firm is not None else None
    above = firm.above if firm is not None else None
    return BatchSize(
        batch=name,
        word=batch.portion_word,
        was=batch.portions,
        cook=chosen,
        grams=number(chosen * magnitude(batch.portion, GRAM)),
        allowed=list(sizer.allowed[name].portions),
        because=list(sizer.allowed[name].because),
        works=list(firm.works) if firm is not None else [chosen],
        below=None if below is None else below[0],
        below_leaves=None if below is None else below[1],
        above=None if above is None else above[0],
        above_leaves=None if above is None else above[1],
    )


def sized(week: Week, answer: SizeFile) -> str:
    """Write the chosen volumes into the week file; every other letter stays.

    Parameters
    ----------
    week
        The week, read from a file.
    answer
        How much to cook.

    Returns
    -------
    str
        The text of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> four = BatchSize.model_construct(batch="rice and beans", was=6, cook=4)
    >>> answer = SizeFile(name=week.name, status="optimal", batches=[four])
    >>> "cook: 4 portions" in sized(week, answer)
    True
    """
    edits = []
    for line in answer.batches:
        if line.cook != line.was:
            path = ("batches", line.batch, "cook")
            edits.append((path, counted(line.cook, week.batches[line.batch].portion_word)))
    return edited(week.source.as_yaml(), edits)


def _milligrams(grams: Decimal) -> int:
    return int((grams * scale.PER_UNIT).to_integral_value())


def _rounded_off(grams: Decimal) -> Decimal:
    """Tell by how much a weight was rounded, in mg."""
    return abs(grams * scale.PER_UNIT - _milligrams(grams))
