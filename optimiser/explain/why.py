"""Why, why not, what stands in the way: the answers of `why`, each solved for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from models.answers.plan import RuleLine
from models.answers.why import Answer, Loss, LunchWhy, OtherLunch, Paid, VerdictName, WhyFile
from models.week.packed import PackedLunch, PackedWeek
from models.week.sums import larder_costs
from models.week.week import Week, eater_of, groups_of
from models.words.days import day_matches, day_name, weekday
from models.words.errors import InputError, spelt, suggestion
from models.words.numbers import counted
from models.words.priorities import ranked
from models.words.units import sayable
from optimiser.board.board import Slot
from optimiser.board.rows import Row
from optimiser.explain.foils import Foils, Verdict, VerdictKind
from optimiser.explain.reasons import Explainer, conflict_lines, priority_line, say_loss
from optimiser.priorities import PRIORITIES
from optimiser.rules import rule_line
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Limit, Say, Stop, silent
from optimiser.solve.program import Program
from optimiser.solve.week import Solved, solve_week
from optimiser.written import number

LONGER = Limit(work=2.0)
"""Most work for one verdict: several times what a plan's reasons take, for it was asked for."""
VERDICT_NAMES: dict[VerdictKind, VerdictName] = {
    VerdictKind.IMPOSSIBLE: "impossible",
    VerdictKind.WORSE: "worse",
    VerdictKind.AS_GOOD: "as good",
    VerdictKind.OPEN: "open",
}
MANY = 40
"""Dishes and days from which the passes are worth their loading."""
NOT_IN_TIME = " (which rules forbid it was not found in time)"


class Why:
    """A week that was solved, to be asked about.

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
    """

    def __init__(
        self,
        week: Week,
        *,
        seconds: float | None = None,
        stop: Stop | None = None,
        say: Say = silent,
    ) -> None:
        self.week = week
        self.stop = Stop() if stop is None else stop
        self.say = say
        say("looking for the best week")
        self.program: Program
        self.solved: Solved
        self.program, self.solved = solve_week(week, seconds=seconds, stop=self.stop)
        self.foils: Foils | None = None
        if self.solved.packed is not None:
            self.program, self.solved = self._of_plan(self.program, self.solved)
            self.explainer = Explainer(self.program, self.solved, self.stop)
            self.foils = Foils(self.program, self.solved, self.stop, LONGER)

    def _of_plan(self, program: Program, solved: Solved) -> tuple[Program, Solved]:
        """Give what foils of a plan are asked of."""
        return program, solved

    # -- questions ----------------------------------------------------------------

    def none(self) -> WhyFile:
        """Say why no plan is possible.

        Returns
        -------
        WhyFile
            With the smallest conflict; with none where that stayed open.
        """
        self.say("looking for what stands in the way")
        conflict = conflict_lines(self.program, stop=self.stop)
        return self._file("why there is no plan", conflict=conflict)

    def all(self, eater: str | None = None) -> WhyFile:
        """Give the verdict on every dish at every lunch.

        Parameters
        ----------
        eater
            Whose lunches; everybody's when left out.

        Returns
        -------
        WhyFile
            A lunch each, in the order of the plan, with an answer for each dish, in that of the
            file.

        Raises
        ------
        InputError
            When there is no plan.
        """
        foils = self._planned()
        self.say("holding every dish against the plan")
        lunches = [lunch for lunch in foils.packed.lunches if eater in (None, lunch.eater)]
        pairs = [(lunch, dish) for lunch in lunches for dish in self.week.dishes]
        known = foils.of_every_dish() if len(pairs) >= MANY else {}
        slots = {
            (lunch.eater, lunch.day): foils.slot(lunch.eater, lunch.day).at for lunch in lunches
        }
        verdicts = [known.get((slots[lunch.eater, lunch.day], dish)) for lunch, dish in pairs]
        rest = [pair for pair, verdict in zip(pairs, verdicts, strict=True) if verdict is None]
        asked = iter(foils.each(lambda pair: self.dish(*pair), rest, self._tick("every dish")))
        answers = [
            next(asked) if verdict is None else self._written(lunch, dish, verdict)
            for (lunch, dish), verdict in zip(pairs, verdicts, strict=True)
        ]
        width = len(self.week.dishes)
        return self._file(
            "every dish at every lunch",
            lunches=[
                LunchWhy(
                    date=lunch.day,
                    eater=lunch.eater,
                    dish=lunch.dish,
                    dishes=answers[at * width : (at + 1) * width],
                )
                for at, lunch in enumerate(lunches)
            ],
        )

    def lunch(self, eater: str, day: date) -> WhyFile:
        """Give the whole picture of one lunch.

        Parameters
        ----------
        eater
            Name of an eater.
        day
            A day of the week.

        Returns
        -------
        WhyFile
            One lunch: its reasons, and answers for dishes, amounts and choices.

        Raises
        ------
        InputError
            When there is no plan, or the eater has no lunch that day.
        """
        foils = self._planned()
        lunch = self._lunch(eater, day)
        self.say(f"asking why {lunch.dish} on {weekday(day)}")
        dish = self.explainer.of_dish(lunch)
        amount = self.explainer.of_amounts(lunch)
        names = list(self.week.dishes)
        dishes = foils.each(
            lambda name: self._with_rules(lunch, name), names, self._tick("other dishes")
        )
        picture = LunchWhy(
            date=day,
            eater=eater,
            dish=lunch.dish,
            reasons=[reason for reason in (dish, amount) if reason is not None],
            dishes=dishes,
            amounts=foils.each(lambda foil: self._answer(*foil), list(self._amounts(lunch))),
            choices=foils.each(lambda foil: self._answer(*foil), list(self._options(lunch))),
        )
        return self._file(f"why {lunch.dish} on {day_name(day)}", lunches=[picture])

    def why_not(self, eater: str, day: date, dish: str) -> WhyFile:
        """Say why a lunch is not a dish, and what the week would be with it.

        Parameters
        ----------
        eater
            Name of an eater.
        day
            A day of the week.
        dish
            Name of a dish.

        Returns
        -------
        WhyFile
            The verdict, and each lunch that would differ in the best week with it.

        Raises
        ------
        InputError
            When there is no plan, or the eater has no lunch that day.
        """
        foils = self._planned()
        lunch = self._lunch(eater, day)
        question = f"why not {dish} on {day_name(day)}"
        self.say(question)
        if lunch.dish == dish:
            text = f"{dish} is what the plan has on {weekday(day)}."
            return self._file(question, answer=Answer(what=dish, verdict="planned", text=text))
        row = foils.dish(foils.slot(eater, day), dish)
        verdict = foils.verdict([row])
        answer = self._explained(dish, f"with {dish} on {weekday(day)}", [row], verdict)
        with_it = foils.packed_with(verdict)
        others = [] if with_it is None else list(changed(self.week, foils.packed, with_it))
        dearer = answer.loss is not None and answer.loss.priority == "cost"
        paid = list(self._paid(with_it)) if dearer and with_it is not None else []
        return self._file(question, answer=answer, others=others, paid=paid)

    def _paid(self, with_it: PackedWeek) -> Iterator[Paid]:
        """Name the prices that make a week dearer than the plan, and those that it saves."""
        now = larder_costs(self.week, self._planned().packed)
        then = larder_costs(self.week, with_it)
        changes = {name: then.get(name, 0) - now.get(name, 0) for name in self.week.larder}
        for name, more in sorted(changes.items(), key=lambda pair: -pair[1]):
            item = self.week.larder[name]
            if more:
                yield Paid(
                    item=name,
                    more=number(Decimal(more)),
                    pack=sayable(item.pack),
                    whole=item.opened_life is not None,
                )

    def of_lunches(self, question: Question) -> WhyFile:
        """Answer a question about lunches, when there is a plan.

        Parameters
        ----------
        question
            What is asked.

        Returns
        -------
        WhyFile
            Of every lunch where it names no day.

        Raises
        ------
        InputError
            When it names what the week has not.

        Examples
        --------
        >>> from models.file.reading import read_week
        >>> len(Why(read_week("minimal")).of_lunches(Question(day="mon")).lunches)
        1
        """
        if question.day is None:
            return self.all(question.eater)
        eater, day = which_lunch(self.week, question.day, question.eater)
        if question.dish is not None:
            return self.why_not(eater, day, dish_of(self.week, question.dish, "--not"))
        return self.lunch(eater, day)

    def not_better(self, priority: str) -> WhyFile:
        """Say why no week does better in a priority.

        Parameters
        ----------
        priority
            A priority of the week, but not the order of the file.

        Returns
        -------
        WhyFile
            Impossible with what forbids it, or open where a limit struck.

        Raises
        ------
        InputError
            When there is no plan.
        """
        foils = self._planned()
        title = PRIORITIES[priority].title
        question = f"why no week does better in {title}"
        self.say(question)
        if foils.ask(foils.better(priority)).status is not Status.INFEASIBLE:
            text = "It is not proven that none does: the search was ended by a limit."
            return self._file(question, answer=Answer(what=title, verdict="open", text=text))
        lines: list[RuleLine] = []
        try:
            lines = self.explainer.not_better(priority, foils)
            text = (
                "None does."
                if lines
                else "Nothing could be better: it is at its best whatever the rules."
            )
        except TimeoutError:
            text = f"None does{NOT_IN_TIME}."
        answer = Answer(what=title, verdict="impossible", rules=lines, text=text)
        return self._file(question, answer=answer)

    def _tick(self, what: str) -> Callable[[int, int], None]:
        return lambda done, of: self.say(f"holding {what} against the plan, {done} of {of}")

    # -- answers ------------------------------------------------------------------

    def dish(self, lunch: PackedLunch, dish: str) -> Answer:
        """Give the verdict on a dish at a lunch.

        Parameters
        ----------
        lunch
            A lunch of the plan.
        dish
            Name of a dish.

        Returns
        -------
        Answer
            "planned" where the plan has it; else the verdict, with the loss where there is one.

        Raises
        ------
        InputError
            When there is no plan.
        """
        foils = self._planned()
        if lunch.dish == dish:
            return Answer(what=dish, verdict="planned", text="what the plan has")
        return self._answer(dish, [foils.dish(foils.slot(lunch.eater, lunch.day), dish)])

    def _written(self, lunch: PackedLunch, dish: str, verdict: Verdict) -> Answer:
        """Write down a verdict on a dish that is known already."""
        return self.dish(lunch, dish) if lunch.dish == dish else self._to_answer(dish, verdict)

    def _with_rules(self, lunch: PackedLunch, dish: str) -> Answer:
        """Give the verdict on a dish, and what forbids it where it is impossible."""
        foils = self._planned()
        answer = self.dish(lunch, dish)
        if answer.verdict != "impossible":
            return answer
        row = foils.dish(foils.slot(lunch.eater, lunch.day), dish)
        return self._explained(dish, f"with {dish}", [row], Verdict(VerdictKind.IMPOSSIBLE))

    def _answer(self, what: str, rows: Sequence[Row]) -> Answer:
        return self._to_answer(what, self._planned().verdict(rows))

    def _to_answer(self, what: str, verdict: Verdict) -> Answer:
        return Answer(
            what=what,
            verdict=VERDICT_NAMES[verdict.kind],
            loss=loss_of(verdict),
            text=self._said(verdict),
        )

    def _said(self, verdict: Verdict) -> str:
        if verdict.kind is VerdictKind.WORSE and verdict.level is not None:
            return say_loss(verdict, self.week.currency)
        return {
            VerdictKind.IMPOSSIBLE: "no week has it",
            VerdictKind.AS_GOOD: f"as good: {self.explainer.tied}",
            VerdictKind.OPEN: "not found out in time",
        }[verdict.kind]

    def _explained(self, what: str, where: str, rows: Sequence[Row], verdict: Verdict) -> Answer:
        """Give a verdict with the smallest set of rules that stands behind it."""
        foils = self._planned()
        lines: list[RuleLine] = []
        outcome = self._said(verdict)
        try:
            if verdict.kind is VerdictKind.IMPOSSIBLE:
                lines = [rule_line(rule) for rule in foils.conflict(rows)]
            elif verdict.level is not None:
                rules, bounds = foils.conflict_below(rows, verdict.level)
                lines = [*map(rule_line, rules), *(priority_line(level) for level in bounds)]
        except TimeoutError:
            outcome += NOT_IN_TIME
        return Answer(
            what=what,
            verdict=VERDICT_NAMES[verdict.kind],
            loss=loss_of(verdict),
            rules=lines,
            text=f"{where} it is {outcome}"
            if outcome.startswith("as good")
            else f"{where}: {outcome}",
        )

    # -- foils of one lunch -------------------------------------------------------

    def _amounts(self, lunch: PackedLunch) -> Iterator[tuple[str, list[Row]]]:
        """Ask for one portion fewer and one more of each batch, the dish the same."""
        foils = self._planned()
        slot = foils.slot(lunch.eater, lunch.day)
        for take in self.week.dishes[lunch.dish].takes:
            batch = self.week.batches[take.batch]
            has = lunch.of(take.batch)
            for other in (has - 1, has + 1):
                if take.least <= other <= take.most:
                    total = self.program.board.portions(slot, take.batch)
                    yield (
                        f"{counted(other, batch.portion_word)} of {batch.name}",
                        [foils.dish(slot, lunch.dish), Row.of(total, low=other, high=other)],
                    )

    def _options(self, lunch: PackedLunch) -> Iterator[tuple[str, list[Row]]]:
        """Ask for each other option of each choice, the dish the same."""
        foils = self._planned()
        slot: Slot = foils.slot(lunch.eater, lunch.day)
        for choice, chosen in lunch.options.items():
            for option in self.week.choices[choice].options:
                if option.item != chosen:
                    total = self.program.board.chosen(slot, choice, option.item)
                    yield (
                        f"{option.item} as {choice}",
                        [foils.dish(slot, lunch.dish), Row.of(total, low=1)],
                    )

    # -- the file -----------------------------------------------------------------

    def _planned(self) -> Foils:
        if self.foils is None:
            raise InputError(
                "why",
                "there is no plan to ask about",
                "Ask why there is none: clearfridge why FILE, without a day.",
            )
        return self.foils

    def _lunch(self, eater: str, day: date) -> PackedLunch:
        for lunch in self._planned().packed.lunches:
            if (lunch.eater, lunch.day) == (eater, day):
                return lunch
        raise InputError(
            "DAY", f"{eater} has no lunch on {day_name(day)}", "Ask about a day with a lunch."
        )

    def _file(self, question: str, **parts: object) -> WhyFile:
        return WhyFile.model_validate(
            {
                "name": self.week.name,
                "question": question,
                "status": self.solved.status.value,
                "interrupted": self.stop.asked,
                "days": list(self.week.days),
                "eaters": list(dict.fromkeys(x.group or x.name for x in self.week.eaters.values())),
                "currency": self.week.currency,
                "priorities": list(self.week.priorities),
                **parts,
            }
        )


def loss_of(verdict: Verdict) -> Loss | None:
    """Write down what is lost; None where nothing is.

    Parameters
    ----------
    verdict
        What a week with a foil comes to.

    Returns
    -------
    Loss or None
        The first priority that gets worse, and by how much in its unit.

    Examples
    --------
    >>> loss_of(Verdict(VerdictKind.AS_GOOD)) is None
    True
    """
    if verdict.level is None:
        return None
    return Loss(
        priority=verdict.level.name,
        amount=number(verdict.lost),
        unit=verdict.level.priority.unit,
        exact=verdict.exact,
    )


def changed(week: Week, old: PackedWeek, new: PackedWeek) -> Iterator[OtherLunch]:
    """List the lunches that differ between two weeks, in words.

    Parameters
    ----------
    week
        The week.
    old, new
        It as it is packed, in two ways.

    Yields
    ------
    OtherLunch
        Each as two lines, was and would be, in the order of the lunches.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> list(changed(week, solved.packed, solved.packed))
    []
    """
    for was, would_be in zip(old.lunches, new.lunches, strict=True):
        before, after = with_portions(week, was), with_portions(week, would_be)
        if before != after:
            yield OtherLunch(date=was.day, eater=was.eater, was=before, would_be=after)


def with_portions(week: Week, lunch: PackedLunch) -> str:
    """Say a lunch in a line: its dish, its portions, its options.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.

    Returns
    -------
    str
        As "Soup and toast (2 portions pea soup, rye)"; the dish alone where there is nothing to
        add.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("minimal")
    >>> _, solved = solve_week(week)
    >>> with_portions(week, solved.packed.lunches[0])
    'Rice, beans and cheese (2 portions rice and beans)'
    """
    parts = []
    for part in lunch.portions:
        count = counted(part.portions, week.batches[part.batch].portion_word)
        some = f"{part.thawed} " if part.thawed < part.portions else ""
        thawed = f", {some}thawed" if part.thawed else ""
        parts.append(f"{count} {part.batch}{thawed}")
    parts += lunch.options.values()
    parts += [f"{times} x {item}" for item, times in lunch.extras.items()]
    return f"{lunch.dish} ({', '.join(parts)})" if parts else lunch.dish


def which_lunch(week: Week, day: str, eater: str | None) -> tuple[str, date]:
    """Find the lunch that a day, and an eater where there are several, means.

    Parameters
    ----------
    week
        The week.
    day
        As it is written: "tue", "Tuesday", "2026-12-01".
    eater
        A name; may be left out where the week has one eater.

    Returns
    -------
    tuple of str and date
        The eater and the day.

    Raises
    ------
    InputError
        When it means none, or several.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> eater, day = which_lunch(week, week.days[0].isoformat(), next(iter(week.eaters)))
    >>> day == week.days[0]
    True
    """
    meant = day_of(week, day)
    eaters = (week.eaters[lunch.eater] for lunch in week.lunches if lunch.day == meant)
    eat = list(dict.fromkeys(eater.group or eater.name for eater in eaters))
    if eater is None and len(eat) > 1:
        raise InputError("--eater", "several eat on that day", f"Say whose: {', '.join(eat)}.")
    name = eater if eater is not None else next(iter(eat or week.eaters))
    return eater_of(week, name, "--eater"), meant


def day_of(week: Week, text: str) -> date:
    """Find the day that a text means.

    Parameters
    ----------
    week
        The week.
    text
        As it is written: "tue", "Tuesday", "2026-12-01".

    Returns
    -------
    date
        A day of the week.

    Raises
    ------
    InputError
        When it has none such.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> f"{day_of(read_week('minimal'), 'tue'):%A}"
    'Tuesday'
    """
    for day in week.days:
        if day_matches(day, text):
            return day
    days = ", ".join(f"{day:%a}".lower() for day in week.days)
    raise InputError("DAY", f"{text!r} is not a day of this week", f"Its days are {days}.")


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a week, as the command takes it."""

    day: str | None = None
    eater: str | None = None
    dish: str | None = None
    better: str | None = None
    all: bool = False

    def check(self, week: Week) -> None:
        """Refuse a question that makes no sense, before anything is solved.

        Parameters
        ----------
        week
            The week that it is asked of.

        Raises
        ------
        InputError
            When two things are asked at once, or names are not of the week.
        """
        asked = [self.day is not None, self.better is not None, self.all]
        if sum(asked) > 1:
            raise InputError(
                "why", "that is more than one question", "Give a day, --better or --all."
            )
        if self.dish is not None and self.day is None:
            raise InputError("--not", "the day is missing", "Write: why FILE DAY --not DISH")
        if self.day is not None:
            day_of(week, self.day)
        if self.day is not None and (self.dish is not None or not groups_of(week)):
            which_lunch(week, self.day, self.eater)
        elif self.eater is not None:
            eater_of(week, self.eater, "--eater")
        if self.dish is not None:
            dish_of(week, self.dish, "--not")
        if self.better is not None:
            priority_of(week, self.better)


def dish_of(week: Week, text: str, where: str) -> str:
    """Find a dish of a week by its name, small or large letters alike.

    Parameters
    ----------
    week
        The week.
    text
        As it is typed.
    where
        Where it is typed, for the error.

    Returns
    -------
    str
        The name as the week file has it.

    Raises
    ------
    InputError
        When the week has none of that name.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> name = next(iter(week.dishes))
    >>> dish_of(week, name.upper(), "--not") == name
    True
    """
    dish = spelt(text, week.dishes)
    if dish is None:
        raise InputError(
            where, f"there is no dish named {text!r}", suggestion(text, [*week.dishes])
        )
    return dish


def priority_of(week: Week, text: str, where: str = "--better") -> str:
    """Find a priority of a week by its name or its title.

    Parameters
    ----------
    week
        The week.
    text
        As it is typed: "left_over", "left over".
    where
        Where it is typed, for the error.

    Returns
    -------
    str
        Its name, as the week file has it.

    Raises
    ------
    InputError
        When the week has none of that name.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> priority_of(read_week("starter"), "Left over")
    'left_over'
    """
    names = ranked(week.priorities)
    plain = text.strip().casefold().replace("-", "_").replace(" ", "_")
    titles = {PRIORITIES[name].title.replace("-", "_").replace(" ", "_"): name for name in names}
    name = plain if plain in names else titles.get(plain)
    if name is None:
        raise InputError(where, f"{text!r} is no priority of this week", suggestion(plain, names))
    return name


def answer(
    week: Week,
    question: Question,
    *,
    asks: type[Why] = Why,
    seconds: float | None = None,
    stop: Stop | None = None,
    say: Say = silent,
) -> WhyFile:
    """Answer a question about a week.

    Parameters
    ----------
    week
        The week.
    question
        What is asked.
    asks
        What answers: for a week with counted eaters `optimiser.explain.counted.WhyCounted`.
    seconds
        Time limit for the plan itself.
    stop
        Ends the search early from another thread; what is known by then is given.
    say
        Is told what is being done, for a progress line.

    Returns
    -------
    WhyFile
        With no plan, why there is none, whatever is asked.

    Raises
    ------
    InputError
        When the question names what the week has not.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> why = answer(week, Question(day=week.days[0].isoformat(), eater=next(iter(week.eaters))))
    >>> len(why.lunches), len(why.lunches[0].dishes) == len(week.dishes)
    (1, True)
    """
    asked = asks(week, seconds=seconds, stop=stop, say=say)
    if asked.foils is None:
        return asked.none()
    if question.better is not None:
        return asked.not_better(priority_of(week, question.better))
    return asked.of_lunches(question)
