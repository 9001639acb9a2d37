"""Wishes and goals in words: "pea soup on tuesday", "cost <= 18", made into rows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from models.file.reading import WISH
from models.week.packed import PackedWeek
from models.week.week import Week, eater_of
from models.words.days import day_matches, day_name
from models.words.errors import InputError
from optimiser.board.rows import Row, Sum
from optimiser.explain.why import dish_of, priority_of
from optimiser.priorities import PRIORITIES
from optimiser.solve.program import Program

_GOAL = re.compile(r"\s*([A-Za-z_ -]+?)\s*(<=|>=|=|<|>)\s*(-?[0-9]+(?:\.[0-9]+)?)\s*[A-Za-z-]*\s*")


@dataclass(frozen=True, slots=True)
class Wish:
    """A dish on a day, for one eater or for anyone."""

    dish: str
    day_said: str
    eater: str | None
    text: str

    def rows(self, program: Program) -> list[Row]:
        """Ask for it.

        Parameters
        ----------
        program
            The program of a week.

        Returns
        -------
        list of Row
            One row: the dish comes once or more, over the days and eaters that are meant.
        """
        total = Sum()
        for slot in program.board.slots:
            ours = self.eater is None or self.eater in slot.eaters
            if ours and day_matches(slot.day, self.day_said):
                total.plus(program.board.times(slot, self.dish))
        return [Row.of(total, low=1)]

    def is_granted(self, packed: PackedWeek) -> bool:
        """Tell whether a packed week has it.

        Parameters
        ----------
        packed
            A packed week.

        Returns
        -------
        bool
            True where any lunch that is meant has the dish.
        """
        return any(
            lunch.dish == self.dish
            and self.eater in (None, lunch.eater)
            and day_matches(lunch.day, self.day_said)
            for lunch in packed.lunches
        )


@dataclass(frozen=True, slots=True)
class Goal:
    """A priority at most, or at least, so much."""

    priority: str
    most: bool
    number: Decimal
    text: str

    def rows(self, program: Program) -> list[Row]:
        """Ask for it.

        Parameters
        ----------
        program
            The program of a week that has the priority.

        Returns
        -------
        list of Row
            One row: the priority is as good as the number, or better.
        """
        level = program.level(self.priority)
        return [Row.of(level.total, high=level.steps(self.number))]

    def holds(self, value: float) -> bool:
        """Tell whether a plan that reaches this value achieves it.

        Parameters
        ----------
        value
            In the priority's unit, as an answer gives it.

        Returns
        -------
        bool
            A hundred-thousandth more than the number still holds, for figures that were rounded.
        """
        reached = Decimal(str(value))
        if self.most:
            return reached >= self.number
        return reached <= self.number + Decimal("0.00001")


def wish_of(week: Week, text: str, option: str) -> Wish:
    """Read "DISH on DAY" or "DISH on DAY for EATER".

    Parameters
    ----------
    week
        The week.
    text
        What is wished.
    option
        Where it is typed, for the error.

    Returns
    -------
    Wish
        The dish as the file names it, the day as it was typed, the eater where there is one.

    Raises
    ------
    InputError
        When it is not of that shape, or names what the week has not.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("starter")
    >>> dish = next(iter(week.dishes))
    >>> wish_of(week, f"{dish} on {week.lunches[0].day}", "--prefer").dish == dish
    True
    """
    match = WISH.fullmatch(text)
    if match is None:
        raise InputError(
            option, f"{text!r} is no dish on a day", 'Write it as in "Soup and toast on tuesday".'
        )
    dish = dish_of(week, match[1], option)
    days = [day for day in week.days if day_matches(day, match[2])]
    if not days:
        known = ", ".join(f"{day:%a}".lower() for day in week.days)
        raise InputError(option, f"{match[2]!r} is not a day of this week", f"Its days: {known}.")
    eater = match[3]
    if eater is not None:
        eater_of(week, eater, option)
    lunches = [
        lunch for lunch in week.lunches if lunch.day in days and eater in (None, lunch.eater)
    ]
    if not lunches:
        raise InputError(option, f"there is no lunch on {day_name(days[0])}", "Name another day.")
    whom = f" for {eater}" if eater is not None else ""
    return Wish(dish, match[2], eater, f"{dish} on {day_name(days[0])}{whom}")


def goal_of(week: Week, text: str) -> Goal:
    """Read "none-left" or "PRIORITY <= NUMBER" (">=" where more is better).

    Parameters
    ----------
    week
        The week.
    text
        What is to be achieved.

    Returns
    -------
    Goal
        The priority and the number it has to reach, in its unit.

    Raises
    ------
    InputError
        When it is not of that shape, or names no priority of the week.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> goal = goal_of(read_week("starter"), "cost <= 18")
    >>> goal.priority, goal.number, goal.holds(17.5)
    ('cost', Decimal('18'), True)
    """
    option = "--until"
    if text.strip().casefold().replace("_", "-").replace(" ", "-") == "none-left":
        if "left_over" not in week.priorities:
            raise InputError(
                option, "'left_over' is no priority of this week", "Add it to 'priorities'."
            )
        return Goal("left_over", most=False, number=Decimal(0), text="nothing left over")
    match = _GOAL.fullmatch(text)
    if match is None:
        raise InputError(option, f"{text!r} is no goal", 'Write none-left, or as in "cost <= 18".')
    name = priority_of(week, match[1], option)
    most = PRIORITIES[name].most
    if match[2] not in ((">=", "=") if most else ("<=", "=")):
        way = ">=" if most else "<="
        raise InputError(
            option,
            f"{PRIORITIES[name].title} is better {'higher' if most else 'lower'}",
            f'Write "{name} {way} {match[3]}".',
        )
    sign = "at least" if most else "at most"
    return Goal(name, most, Decimal(match[3]), f"{PRIORITIES[name].title} {sign} {match[3]}")


def asked_rows(program: Program, wanted: Sequence[Wish | Goal]) -> list[Row]:
    """Give the rows of several wishes and goals.

    Parameters
    ----------
    program
        The week.
    wanted
        Wishes and goals.

    Returns
    -------
    list of Row
        Linear rows over the counts of the program: a week that keeps them has what is asked.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("starter"))
    >>> len(asked_rows(program, [goal_of(program.week, "cost <= 18")]))
    1
    """
    return [row for asked in wanted for row in asked.rows(program)]
