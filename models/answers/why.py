"""The answer of `why` as scripts read it, and as the report is written from."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, CalendarDate, Reason, RuleLine

VerdictName = Literal["planned", "impossible", "worse", "as good", "open"]


class Loss(AnswerPart):
    """What a week with a foil loses, held against the plan."""

    priority: str = Field(description="The first priority that gets worse.")
    amount: float = Field(description="By how much, in its unit, the way that is worse.")
    unit: str
    exact: bool = Field(description="False means 'at least'.")


class Answer(AnswerPart):
    """What it would mean to have something else."""

    what: str = Field(description="The foil: a dish, an amount, an option.")
    verdict: VerdictName = Field(
        description="planned: it is what the plan has. impossible: no week has it. worse: the "
        "best week with it loses in a priority. as good: a week has it and loses nothing. open: "
        "not found out in time."
    )
    loss: Loss | None = None
    rules: list[RuleLine] = Field(
        default=[],
        description="A smallest set of rules that forbids it; where it is worse, that forbids it "
        "without the loss, priorities among them. Each is needed. Only where it was asked for.",
    )
    text: str = Field(default="", description="The answer in a sentence.")


class OtherLunch(AnswerPart):
    """A lunch that would change with a foil."""

    date: date
    eater: str
    was: str = Field(description="Dish and amounts in the plan.")
    would_be: str = Field(description="Dish and amounts in the week with the foil.")


class Paid(AnswerPart):
    """What is paid otherwise for an item of the larder in a week with a foil."""

    item: str
    more: float = Field(description="In the currency of the week; below 0 where it is less.")
    pack: str = Field(description="What a pack holds.")
    whole: bool = Field(description="True where a pack spoils, and so is paid whole.")


class LunchWhy(AnswerPart):
    """The whole picture of one lunch."""

    date: date
    eater: str
    dish: str
    reasons: list[Reason] = Field(default=[], description="Why it is as it is.")
    dishes: list[Answer] = Field(description="Every dish, with its verdict.")
    amounts: list[Answer] = Field(default=[], description="One portion fewer and one more.")
    choices: list[Answer] = Field(default=[], description="Every other option.")


class MoreOrLess(AnswerPart):
    """What one lunch more, and one fewer, with a dish would do where lunches are counted."""

    dish: str
    times: int = Field(description="So many lunches of the plan have it.")
    more: Answer = Field(description="Of a week in which one more of them has it.")
    fewer: Answer | None = Field(
        default=None, description="Of one in which one fewer has it; none where none has it."
    )


class CountedWhy(AnswerPart):
    """The lunches of one entry of the file, which may be many eaters, on a day or all week."""

    eater: str = Field(description="The entry of the file.")
    eaters: int = Field(description="How many eat by it.")
    date: CalendarDate | None = Field(default=None, description="The day; none: the whole week.")
    lunches: int
    dishes: list[MoreOrLess] = Field(description="Every dish, in the order of the file.")


class WhyFile(AnswerPart):
    """The answer of `why`."""

    format: Literal["clearfridge why 1"] = "clearfridge why 1"
    name: str
    question: str = Field(description="What was asked, in words.")
    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    interrupted: bool = False
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
    days: list[date]
    eaters: list[str] = Field(default=[], description="Who eats in that week.")
    currency: str = ""
    priorities: list[str] = Field(default=[], description="What matters, first to last.")
    lunches: list[LunchWhy] = Field(default=[], description="The lunches asked about.")
    counted: list[CountedWhy] = Field(
        default=[], description="The same where an entry of the file is many eaters."
    )
    answer: Answer | None = Field(default=None, description="To --not and --better.")
    others: list[OtherLunch] = Field(
        default=[],
        description="With --not: the lunches that would change in a week with it that loses no "
        "more in that priority and those before it.",
    )
    paid: list[Paid] = Field(
        default=[],
        description="With --not, where the week would cost more: for what. It adds up "
        "to the loss where that is exact.",
    )
    conflict: list[RuleLine] = Field(
        default=[], description="Why there is no plan: a smallest set of rules that clash."
    )
