"""The answer of `freezer`: what is in the freezer, for its door, for scripts and for the page."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - as the other answers call it
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, BatchInfo


class Frozen(AnswerPart):
    """Tubs of one batch that are taken out together."""

    batch: str
    portions: int
    word: str = Field(description="What one portion is called: piece or portion.")
    grams: float
    tubs: int
    frozen: Day = Field(description="The day it was frozen.")
    move: Day | None = Field(
        description="The evening it is moved to the fridge; none: spare, for no day of the plan."
    )
    for_day: Day | None
    eaters: list[str] = Field(description="For whom, where there are several.")
    eat_by: Day | None = Field(
        description="The day it is for, which is within a day of thawing; none: spare."
    )
    best_by: Day | None = Field(
        description="How long it keeps its quality in the freezer by the food table; none: not "
        "published for food of its kind."
    )


class FreezerFile(AnswerPart):
    """What is in the freezer."""

    format: Literal["clearfridge freezer 1"] = "clearfridge freezer 1"
    name: str = Field(description="Name of the week.")
    tubs: list[Frozen] = Field(description="By the day they are for, what is spare last.")
    batches: list[BatchInfo] = Field(description="What is in each batch that is there.")
    cautions: list[str] = Field(description="What to mind.")
