"""Why of a week whose lunches are counted: what a dish more or less would do.

Eaters of one entry of the file are planned by number, so nobody asks whose lunch it is: asked is
for a week in which one lunch more, or one fewer, of an entry has a dish. The counted program is
the sum of the single ones over alike eaters. What it forbids no dealing allows, and what it loses
every dealing loses at least. That a week is as good, or loses no more, is said only where its
lunches could be dealt to each eater.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from models.answers.why import Answer, CountedWhy, MoreOrLess, WhyFile
from models.week.week import Week, eater_of, groups_of
from models.words.days import day_name
from models.words.numbers import counted
from models.words.priorities import TIE_BREAK
from optimiser.board.board import Slot
from optimiser.board.rows import Row, Sum
from optimiser.explain.foils import A_QUICK_NO, Foils, Verdict, VerdictKind
from optimiser.explain.why import Question, Why, day_of, dish_of, which_lunch
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.dealing import Dealer, of_one
from optimiser.solve.limits import Limit, Say, Stop, silent
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, counts_of

ROUNDS = 3
"""How often a week that cannot be dealt is asked for again, with what speaks against it."""


class WhyCounted(Why):
    """A week of counted eaters that was solved, to be asked about by number.

    Parameters
    ----------
    week
        The week.
    seconds
        Time limit for the plan itself.
    stop
        Ends the search early from another thread; what is known by then is given.
    say
        Is told what is being done.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> asked = WhyCounted(read_week("minimal"))
    >>> asked.every_dish("Ilse").counted[0].lunches
    3
    """

    def __init__(
        self,
        week: Week,
        *,
        seconds: float | None = None,
        stop: Stop | None = None,
        say: Say = silent,
    ) -> None:
        super().__init__(week, seconds=seconds, stop=stop, say=say)
        self._against: list[Row] = []

    def _of_plan(self, program: Program, solved: Solved) -> tuple[Program, Solved]:
        """Count together the eaters of each entry, and the plan's lunches with them."""
        together = Program(self.week, tuple(entries(self.week).values()))
        counts = counts_of(together, replace(solved, counts=None))
        if counts is None:
            raise RuntimeError("the plan is none of the week's counted lunches")
        self._dealers = [
            Dealer(together, group, self.stop) for group in together.board.groups if len(group) > 1
        ]
        values = {value.name: value.value for value in solved.values}
        # Eaters who were planned one by one may repeat a dish where their number would not.
        self._tells = all(
            level.priority.rounded or level.reached(level.total.value(counts)) == values[level.name]
            for level in together.levels
            if level.name != TIE_BREAK
        )
        return together, replace(solved, counts=counts)

    # -- questions ----------------------------------------------------------------

    def of_lunches(self, question: Question) -> WhyFile:
        """Answer a question about lunches of entries, when there is a plan.

        Parameters
        ----------
        question
            What is asked.

        Returns
        -------
        WhyFile
            Of one dish more where it names a dish and a day; else of every dish.

        Raises
        ------
        InputError
            When it names what the week has not.

        Examples
        --------
        >>> from models.file.reading import read_week
        >>> why = WhyCounted(read_week("minimal")).of_lunches(Question(day="mon"))
        >>> [(dish.dish, dish.times) for dish in why.counted[0].dishes][:2]
        [('Rice, beans and cheese', 1), ('Rice, beans and apple', 0)]
        """
        week = self.week
        if question.dish is not None and question.day is not None:
            eater, day = which_lunch(week, question.day, question.eater)
            return self.one_more(eater, day, dish_of(week, question.dish, "--not"))
        whose = None if question.eater is None else eater_of(week, question.eater, "--eater")
        when = None if question.day is None else day_of(week, question.day)
        return self.every_dish(whose, when, by_day=question.all)

    def every_dish(
        self, eater: str | None = None, day: date | None = None, *, by_day: bool = False
    ) -> WhyFile:
        """Say of every dish what one lunch more and one fewer with it would do.

        Parameters
        ----------
        eater
            Whose lunches, by an eater of the entry; those of every entry when left out.
        day
            On which day; in the whole week when left out.
        by_day
            Each day of the week by itself.

        Returns
        -------
        WhyFile
            `counted` has a part for each entry, and day.

        Raises
        ------
        InputError
            When there is no plan.
        """
        foils = self._planned()
        parts = list(self._parts(eater, day, by_day=by_day))
        foil_count = sum(len(self.week.dishes) for _ in parts)
        tick = self._tick("every dish")
        told: list[CountedWhy] = []
        # Whatever time is left for the others: what nobody may eat is never told as open.
        barred = [self._barred(slots) for _, _, slots in parts]
        for (name, when, slots), never in zip(parts, barred, strict=True):
            dishes: list[MoreOrLess] = []
            for dish in self.week.dishes:
                tick(len(told) * len(self.week.dishes) + len(dishes), foil_count)
                told_of = self._more_or_less(foils, slots, dish, is_barred=dish in never)
                dishes.append(told_of)
            told.append(
                CountedWhy(
                    eater=name,
                    eaters=slots[0].size,
                    date=when,
                    lunches=sum(slot.size for slot in slots),
                    dishes=dishes,
                )
            )
        on = "" if day is None else f" on {day_name(day)}"
        return self._file(f"what a dish more or less would do{on}", counted=told)

    def one_more(self, eater: str, day: date, dish: str) -> WhyFile:
        """Say why no more lunches of an entry have a dish on a day.

        Parameters
        ----------
        eater
            An eater of the entry.
        day
            A day of the week.
        dish
            Name of a dish.

        Returns
        -------
        WhyFile
            The verdict on one more, with the rules behind it.

        Raises
        ------
        InputError
            When there is no plan.
        """
        foils = self._planned()
        slot = foils.slot(eater, day)
        total = self.program.board.times(slot, dish)
        times = total.value(foils.counts)
        whose = next(name for name, group in entries(self.week).items() if eater in group)
        question = f"why no more {dish} for {whose} on {day_name(day)}"
        self.say(question)
        row = Row.of(total, low=times + 1)
        where = f"with {counted(times + 1, 'lunch')} of {dish} instead of {times}"
        return self._file(question, answer=self._explained(dish, where, [row], self.real(row)))

    def _parts(
        self, eater: str | None, day: date | None, *, by_day: bool
    ) -> Iterator[tuple[str, date | None, list[Slot]]]:
        board = self.program.board
        for name, group in entries(self.week).items():
            slots = [slot for slot in board.slots_of(group) if day in (None, slot.day)]
            if not slots or eater not in (None, *group):
                continue
            if by_day:
                yield from ((name, slot.day, [slot]) for slot in slots)
            else:
                yield name, day, slots

    def _barred(self, slots: Sequence[Slot]) -> set[str]:
        """Find the dishes that one of those who eat there could not have though alone in the week.

        No rule asks for what others eat, so what one alone cannot have no week has.
        """
        program = Program(of_one(self.week, slots[0].eaters[0]))
        model, days = cpsat.model_of(program.board.sheet), {slot.day for slot in slots}
        own = [slot for slot in program.board.slots if slot.day in days]
        never = set[str]()
        for dish in self.week.dishes:
            total = Sum()
            for slot in own:
                total.plus(program.board.times(slot, dish))
            row, limit = Row.of(total, low=1), Limit(work=A_QUICK_NO)
            answer = cpsat.solve(model, None, extra=[row], limit=limit, stop=self.stop)
            if answer.status is Status.INFEASIBLE:
                never.add(dish)
        return never

    def _more_or_less(
        self, foils: Foils, slots: Sequence[Slot], dish: str, *, is_barred: bool
    ) -> MoreOrLess:
        total = Sum()
        for slot in slots:
            total.plus(self.program.board.times(slot, dish))
        times = total.value(foils.counts)
        never = self._to_answer(dish, Verdict(VerdictKind.IMPOSSIBLE)) if is_barred else None
        return MoreOrLess(
            dish=dish,
            times=times,
            more=never or self._of(dish, Row.of(total, low=times + 1)),
            fewer=self._of(dish, Row.of(total, high=times - 1)) if times else None,
        )

    def _of(self, dish: str, row: Row) -> Answer:
        return self._to_answer(dish, self.real(row))

    # -- verdicts -----------------------------------------------------------------

    def real(self, row: Row) -> Verdict:
        """Give the verdict on a foil of counted lunches, as it holds for each eater.

        Parameters
        ----------
        row
            What is asked of the counted program.

        Returns
        -------
        Verdict
            Worse by just so much, or as good, only where such lunches were dealt to everybody;
            else worse by at least so much, or open.
        """
        foils = self._planned()
        verdict = Verdict(VerdictKind.OPEN)
        for _ in range(ROUNDS if self._tells else 0):
            verdict = foils.verdict([*self._against, row])
            if verdict.counts is None or self._dealt(verdict.counts):
                return verdict
            if not self._learnt:
                break
        if verdict.kind is VerdictKind.AS_GOOD:
            return Verdict(VerdictKind.OPEN)
        return replace(verdict, exact=False)

    def _dealt(self, counts: Sequence[int]) -> bool:
        """Deal counted lunches to each eater; keep what speaks against it."""
        hands = [dealer.deal(counts) for dealer in self._dealers]
        against = [hand.against for hand in hands if hand.against is not None]
        self._learnt = bool(against)
        self._against += against
        return not any(hand.left for hand in hands)


def entries(week: Week) -> dict[str, tuple[str, ...]]:
    """Give the eaters of each entry of the file, in its order.

    Parameters
    ----------
    week
        The week.

    Returns
    -------
    dict of str to tuple of str
        By the name of the entry; those who have an entry of their own stand alone.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> entries(read_week("minimal"))
    {'Ilse': ('Ilse',)}
    """
    groups = groups_of(week)
    return {
        eater.group or name: groups.get(eater.group, (name,)) for name, eater in week.eaters.items()
    }
