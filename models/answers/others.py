"""The answer of `others`, for scripts. Only names are added."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date

from pydantic import Field

from models.answers.plan import AnswerPart, PlanFile


class WeekLunch(AnswerPart):
    """One lunch of another week."""

    date: Day
    eater: str
    dish: str
    portions: str = Field(description="What it takes of the batches, in words.")
    same: bool = Field(description="Is the dish that of the plan?")


class OtherWeek(AnswerPart):
    """A week that is as good in the first priorities."""

    number: int = Field(description="0 is the plan itself.")
    differs: int = Field(description="Lunches whose dish is not the plan's.")
    proven: bool = Field(description="True: as different as can be, and the best of such weeks.")
    lunches: list[WeekLunch]
    values: dict[str, float] = Field(description="What it reaches in each priority.")
    plan: PlanFile | None = Field(
        default=None, exclude=True, repr=False, description="All of it, without reasons."
    )


class OthersFile(AnswerPart):
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
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
