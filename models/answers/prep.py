"""The answer of `prep`, for scripts and for the page. Times are local, ISO 8601."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date
from datetime import datetime

from pydantic import Field

from models.answers.plan import AnswerPart


class PrepStep(AnswerPart):
    """A step with its time."""

    batch: str = Field(description="Empty for what is of no batch, as washing up.")
    name: str
    work: str = Field(description="What is done.")
    begins: datetime
    ends: datetime
    hands: bool = Field(description="Does it need a pair of hands all the time?")
    pairs: int = Field(
        default=1,
        exclude_if=lambda pairs: pairs == 1,
        description="Pairs of hands that share the work, where several do.",
    )
    oven: int | None = Field(default=None, description="Heat of the oven in °C.")
    trays: int = 0
    rings: int = 0
    blenders: int = 0
    touches: list[str] = Field(
        default=[], description="Raw or ready food under the hands, as 'raw poultry'."
    )
    note: str = Field(default="", description="Where it comes from, when the file has it not.")


class PrepDay(AnswerPart):
    """One prep day."""

    date: Day
    possible: bool = Field(description="False where the steps do not fit into the day.")
    proven: bool = Field(
        default=False, description="No timetable ends earlier, or as early and starts later."
    )
    begins: datetime | None = Field(default=None, description="First work or fire that day.")
    ends: datetime | None = Field(
        default=None, description="Everything is put away, and washed up."
    )
    hands_minutes: int = Field(default=0, description="Minutes of work, over that day.")
    steps: list[PrepStep] = Field(default=[], description="In the order of their times.")
    without_steps: list[str] = Field(
        default=[], description="Batches of that day whose file says no steps."
    )
    cautions: list[str] = Field(default=[], description="What to mind on that day.")
    why_not: str = Field(default="", description="What does not fit.")


class PrepFile(AnswerPart):
    """The timetable of every prep day."""

    format: str = "clearfridge prep 1"
    name: str = Field(description="Name of the week.")
    days: list[PrepDay]
