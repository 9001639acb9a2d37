"""The answers of `others` and `trade-off`, for scripts. Only names are added."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date

from pydantic import Field

from models.answers.plan import Part


class WeekLunch(Part):
    """One lunch of another week."""

    date: Day
    eater: str
    dish: str
    portions: str = Field(description="What it takes of the batches, in words.")
    same: bool = Field(description="Is the dish that of the plan?")


class OtherWeek(Part):
    """A week that is as good in the first priorities."""

    number: int = Field(description="0 is the plan itself.")
    differs: int = Field(description="Lunches whose dish is not the plan's.")
    proven: bool = Field(description="True: as different as can be, and the best of such weeks.")
    lunches: list[WeekLunch]
    values: dict[str, float] = Field(description="What it reaches in each priority.")


class OthersFile(Part):
    """The answer of `others`."""

    format: str = "clearfridge others 1"
    name: str
    currency: str = ""
    status: str = Field(description="Of the plan: optimal, feasible, infeasible or unknown.")
    equal: list[str] = Field(description="Priorities in which all are as good.")
    weeks: list[OtherWeek] = Field(default=[], description="The plan first.")
    exhausted: bool = Field(
        default=False, description="True: no other week differs in any lunch from all of these."
    )
    interrupted: bool = False


class Point(Part):
    """A best compromise: nothing is better in one without being worse in the other."""

    first: float
    second: float
    proven: bool
    plan: bool = Field(description="Does the plan reach just this?")
    dishes: list[str]
    values: dict[str, float] = Field(description="What the week reaches in each priority.")


class TradeOffFile(Part):
    """The answer of `trade-off`."""

    format: str = "clearfridge trade-off 1"
    name: str
    currency: str = ""
    first: str = Field(description="Name of the first priority.")
    second: str
    status: str = Field(description="Of the plan.")
    plan: list[float] | None = Field(default=None, description="What the plan reaches in both.")
    points: list[Point] = Field(default=[], description="From the least of the first one on.")
    cut: bool = Field(default=False, description="True: there are more than were asked for.")
    interrupted: bool = False
