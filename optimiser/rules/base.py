"""What a rule is: a sentence, rows for the program, a check without a solver.

A rule is frozen data of one week's numbers. The program, the audit, the reasons
and the suggestions work on lists of rules and know none of them by name.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import ClassVar

from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Week
from models.words.units import Quantity, sayable
from optimiser.board.board import Board
from optimiser.board.rows import Sum


@dataclass(frozen=True, slots=True)
class Fault:
    """A place where a packed week breaks a rule.

    Attributes
    ----------
    rule
        Key of the rule.
    where
        The lunch or food it is about, as a reader would say it.
    what
        What is wrong there, with numbers.
    by
        How far the rule gives way there, in the steps that `Rule.give` counts.
    short
        The same in a plan that may do so: "6 g short of protein: ..."; `what` where empty.
    """

    rule: str
    where: str
    what: str
    by: int = 1
    short: str = ""


@dataclass(frozen=True, slots=True)
class Edit:
    """What a week file has to say for another version of a rule.

    Attributes
    ----------
    path
        The keys that lead to it; a nutrient stands by its tagname.
    value
        What stands there then; None removes it.
    was
        What stands there now, as a reader would say it.
    text
        The change as a cook says it, with both numbers.
    """

    path: tuple[str | int, ...]
    value: str | int | list[str] | dict[str, str | int] | None
    was: str
    text: str


@dataclass(frozen=True)
class Rule(ABC):
    """Anything a week must obey."""

    family: ClassVar[str]
    safety: ClassVar[bool] = False
    """A safety rule is never loosened by the program."""
    prep: ClassVar[bool] = False
    """True where the cook can change it on the prep day."""
    gives: ClassVar[str] = ""
    """`VARIETY`, `WISHES` or `FLOORS` where it gives way when no week keeps all; else never."""

    @property
    @abstractmethod
    def subject(self) -> str:
        """What or whom it is about; with the family it makes the key."""

    @property
    def key(self) -> str:
        """A name that is unique in its week, as "floor:protein of Jorun"."""
        return f"{self.family}:{self.subject}"

    @abstractmethod
    def sentence(self) -> str:
        """Say the rule with its numbers, as a cook would. No full stop.

        Returns
        -------
        str
            One clause, in lower case but for names, its numbers with their units.
        """

    def told_of(self, week: Week) -> str:
        """Say the rule where it stands in the way of every week, and what of this week it means.

        Parameters
        ----------
        week
            The week.

        Returns
        -------
        str
            The sentence, here with nothing more.
        """
        return self.sentence()

    @property
    def source(self) -> str:
        """Who says so; empty when the week file does."""
        return ""

    def numbers(self) -> dict[str, str | float]:
        """Give its numbers and names by field, for scripts: dates ISO, quantities with unit.

        Returns
        -------
        dict of str to str | float
            Field to number or text; a field that is empty or None is left out, of several names
            one text is made, by their letters.
        """
        numbers: dict[str, str | float] = {}
        for field in fields(self):
            value = getattr(self, field.name)
            if value is None or (isinstance(value, (str, frozenset, tuple)) and not value):
                continue
            if isinstance(value, (frozenset, tuple)):
                value = ", ".join(sorted(_worded(item) for item in value))
            numbers[field.name] = value if isinstance(value, (int, float)) else _worded(value)
        return numbers

    @abstractmethod
    def post(self, board: Board) -> None:
        """Write its rows.

        Parameters
        ----------
        board
            The board of the week; each row bears the rule's key, or none where it says what words
            mean.
        """

    @abstractmethod
    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Find where a packed week breaks it, using no solver and no rows.

        Parameters
        ----------
        week, packed
            The week, and it as it is packed.

        Returns
        -------
        iterator of Fault
            A fault for each lunch, food or eater where it is broken; none where it is kept.
        """

    def give(self, board: Board) -> Sum:
        """Write its rows so that they may be broken; sum by how much, as `faults` counts `by`.

        As it is: each row may be passed, step by step. A rule of single eaters, whose faults are
        its rows, needs nothing else.

        Parameters
        ----------
        board
            The board of the week; rows and counts are written on it.

        Returns
        -------
        Sum
            Steps, 0 or more; at its least what `faults` comes to.
        """
        sheet, start, broken = board.sheet, len(board.sheet.rows), Sum()
        self.post(board)
        for at, row in enumerate(sheet.rows[start:], start):
            if row.rule == self.key and row.high is not None:
                beyond = sheet.reach(Sum(row.terms))[1] - row.high
                over = sheet.count(max(0, beyond), f"{self.key} gives way")
                sheet.rows[at] = replace(row, terms=(*row.terms, (over, -1)))
                broken.add(over)
        return broken

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """Tell whether it could be what keeps another dish from this one lunch.

        Rules that bear on every lunch alike are not meant; the reasons try those that do
        one by one.

        Parameters
        ----------
        week, packed
            The week, and it as it is packed.
        lunch
            One of its lunches.

        Returns
        -------
        bool
            False of a rule that bears on every lunch alike.
        """
        return False

    def weaker(self) -> tuple[Rule, ...]:
        """Give the next weaker versions of it; none for a safety rule.

        Returns
        -------
        tuple of Rule
            A step looser each; whatever keeps the rule keeps them too.
        """
        return ()

    def edit(self, week: Week) -> Edit | None:
        """Say how the week's file would ask for this version of the rule.

        None where a file cannot: the rule follows from elsewhere.

        Parameters
        ----------
        week
            The week as it is, whose file is to be changed.

        Returns
        -------
        Edit or None
            One place and what stands there then.
        """
        return None

    def edits(self, week: Week) -> tuple[Edit, ...]:
        """Say every place of the file that this version changes; most rules change one.

        Parameters
        ----------
        week
            The week as it is, whose file is to be changed.

        Returns
        -------
        tuple of Edit
            Each place once; empty where a file cannot ask for it.
        """
        edit = self.edit(week)
        return () if edit is None else (edit,)

    def fault(self, where: str, what: str, by: int = 1, short: str = "") -> Fault:
        """Make a fault of this rule.

        Parameters
        ----------
        where, what, by, short
            As of `Fault`.

        Returns
        -------
        Fault
            It names this rule by its key.
        """
        return Fault(self.key, where, what, by, short)


@dataclass(frozen=True)
class OfBatch(Rule):
    """A rule about a batch."""

    batch: str

    @property
    def subject(self) -> str:
        """The batch."""
        return self.batch


@dataclass(frozen=True)
class OfEater(Rule):
    """A rule about the lunches of an eater; of alike eaters it is written once."""

    eater: str

    @property
    def subject(self) -> str:
        """The eater."""
        return self.eater


@dataclass(frozen=True)
class KeepsBatchAway(OfBatch):
    """A rule that may keep a batch out of a lunch, and with it a dish."""

    def bears_on(self, week: Week, packed: PackedWeek, lunch: PackedLunch) -> bool:
        """On lunches that do without the batch."""
        return lunch.of(self.batch) == 0


def _worded(value: object) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return ": ".join(map(_worded, value))
    return sayable(value) if isinstance(value, Quantity) else str(value)
