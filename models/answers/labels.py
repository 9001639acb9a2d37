"""Labels for every tub, for scripts and for the page."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart


class Label(AnswerPart):
    """A label for one tub."""

    batch: str
    tub: int = Field(description="Number of the tub, from 1.")
    tubs: int = Field(description="How many tubs the batch has.")
    made: Day
    use_by: Day = Field(description="Never eaten later; of a frozen tub: the day it is for.")
    best_by: Day
    portions: int
    word: str = Field(description="What one portion is called: piece or portion.")
    grams: float
    where: Literal["fridge", "freezer"]
    move: Day | None = Field(
        default=None, description="The evening a frozen tub is moved to the fridge."
    )
    frozen: Day | None = Field(default=None, description="The day a frozen tub was frozen.")
    days: list[Day] = Field(description="The days it is for; none: spare.")
    counts: list[int] = Field(description="How many portions are for each of them.")
    eaters: list[str] = Field(default=[], description="For whom, where there are several.")
    allergens: list[str]
    allergens_us: list[str] = Field(default=[], description="The same as US law names them.")
    cereals: list[str] = Field(default=[], description="Which cereals its gluten is of.")
    allergens_unknown: list[str] = Field(default=[], description="Foods in it that more may be in.")
    own_risk: str = ""
    cautions: list[str] = Field(default=[], description="What to mind, in a few words each.")


class LabelFile(AnswerPart):
    """Labels for every tub of a week."""

    format: Literal["clearfridge labels 1"] = "clearfridge labels 1"
    name: str
    guidance: str = ""
    labels: list[Label]
