"""The answers of `why` and `fix` as scripts read them, and as the reports are written from.

Every claim names the rules it rests on and what it was held against. Amounts are in the unit
of the priority they are of; "exact" false means "at least".
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from models.planfile import Part, Reason, RuleLine

VerdictName = Literal["planned", "impossible", "worse", "as good", "open"]


class Loss(Part):
    """What a week with a foil loses, held against the plan."""

    priority: str = Field(description="The first priority that gets worse.")
    amount: float = Field(description="By how much, in its unit, the way that is worse.")
    unit: str
    exact: bool = Field(description="False means 'at least'.")


class Answer(Part):
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


class OtherLunch(Part):
    """A lunch that would change with a foil."""

    date: date
    eater: str
    was: str = Field(description="Dish and amounts in the plan.")
    would_be: str = Field(description="Dish and amounts in the week with the foil.")


class LunchWhy(Part):
    """The whole picture of one lunch."""

    date: date
    eater: str
    dish: str
    reasons: list[Reason] = Field(default=[], description="Why it is as it is.")
    dishes: list[Answer] = Field(description="Every dish, with its verdict.")
    amounts: list[Answer] = Field(default=[], description="One portion fewer and one more.")
    choices: list[Answer] = Field(default=[], description="Every other option.")


class WhyFile(Part):
    """The answer of `why`."""

    format: Literal["clearfridge why 1"] = "clearfridge why 1"
    name: str
    question: str = Field(description="What was asked, in words.")
    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    interrupted: bool = False
    days: list[date]
    currency: str = ""
    lunches: list[LunchWhy] = Field(default=[], description="The lunches asked about.")
    answer: Answer | None = Field(default=None, description="To --not and --better.")
    others: list[OtherLunch] = Field(
        default=[],
        description="With --not: the lunches that would change in a week with it that loses no "
        "more in that priority and those before it.",
    )
    conflict: list[RuleLine] = Field(
        default=[], description="Why there is no plan: a smallest set of rules that clash."
    )


class Change(Part):
    """One edit of a week file."""

    path: list[str | int] = Field(description="The keys that lead to it.")
    was: str
    becomes: str
    text: str = Field(description="The change as a cook says it.")
    prep: bool = Field(description="True where it is made on the prep day, not by bending a wish.")


class Fix(Part):
    """A set of changes that achieves what was asked, none of them needless."""

    changes: list[Change]
    dishes: list[str] = Field(description="The plan it leads to, lunch by lunch.")
    values: dict[str, float] = Field(description="What that plan reaches in each priority.")


class FixFile(Part):
    """The answer of `fix`."""

    format: Literal["clearfridge fix 1"] = "clearfridge fix 1"
    name: str
    goal: str = Field(description="What was to be achieved, in words.")
    already: bool = Field(default=False, description="True when the week achieves it as it is.")
    interrupted: bool = False
    complete: bool = Field(
        default=True, description="False when the search ended early: there may be more."
    )
    now: dict[str, float] = Field(
        default={}, description="What the plan of the week as it is reaches, where there is one."
    )
    held: list[str] = Field(
        default=[],
        description="Priorities that come before the goals: a change may not lose in them.",
    )
    fixes: list[Fix] = Field(description="Smallest first.")
    blocked: list[RuleLine] = Field(
        default=[],
        description="Where there is none: a smallest set of rules that forbids it and that no "
        "fix may touch, for they keep someone safe or are no matter of taste.",
    )
    currency: str = ""
