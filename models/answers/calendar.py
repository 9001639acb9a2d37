"""The answer of `calendar`: the days of a plan as entries, from which iCalendar is written."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart


class DiaryEntry(AnswerPart):
    """One entry; what makes it the same in the next plan of the week are kind, key and day."""

    kind: Literal["buy", "soak", "cook", "freeze", "move", "pack", "use by"]
    key: str = ""
    begins: datetime | date = Field(
        description="Local time; a date alone for a whole day, the end not included."
    )
    ends: datetime | date
    title: str
    text: str

    @property
    def day(self) -> date:
        """The day on which it begins."""
        return self.begins.date() if isinstance(self.begins, datetime) else self.begins


class CalendarFile(AnswerPart):
    """The answer of `calendar`."""

    format: Literal["clearfridge diary 1"] = "clearfridge diary 1"
    name: str = Field(description="Name of the week.")
    days: list[date] = Field(description="The days of the week.")
    zone: str | None = Field(
        description="IANA name of the time zone; none: times are wherever one is."
    )
    entries: list[DiaryEntry] = Field(description="In the order of their days.")
