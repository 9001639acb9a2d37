"""The answer of `next`: the file of the week after, what was carried into it, and what was not."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, WholeNumber


class CarriedBatch(AnswerPart):
    """What is left of a batch and still good, as a batch of its own."""

    batch: str = Field(description="What it is called in the week after.")
    was: str = Field(description="What it was called.")
    made: date
    word: str = Field(description="What one portion is called: piece or portion.")
    frozen: WholeNumber = Field(description="Portions in the freezer.")
    fridge: WholeNumber = Field(description="Portions in the fridge that are still good.")
    grams: float = Field(description="The mass of both.")
    use_by: date = Field(description="Of what is in the fridge.")
    best_by: date | None = Field(
        description="How long it keeps its quality in the freezer; none: not published."
    )
    dishes: list[str] = Field(description="The dishes that take it.")


class CarriedFood(AnswerPart):
    """What is in the cupboard when the week is over."""

    name: str
    amount: float | None = Field(description="None for plenty.")
    unit: Literal["g", "mL", "piece"]
    use_by: date | None = Field(default=None, description="None where it keeps, or nobody said.")


class LeftOut(AnswerPart):
    """What was not carried over, and why."""

    what: str
    why: str


class NextFile(AnswerPart):
    """The week after a plan."""

    format: Literal["clearfridge next 1"] = "clearfridge next 1"
    name: str
    starts: date = Field(description="The first day of the week after.")
    batches: list[CarriedBatch] = Field(default=[], description="What earlier weeks left.")
    again: list[str] = Field(default=[], description="Batches to choose anew, with other dates.")
    cupboard: list[CarriedFood] = Field(default=[], description="What is there already.")
    lately: dict[str, list[str]] = Field(
        default={}, description="Dishes that were eaten in the week, by eater."
    )
    left_out: list[LeftOut] = Field(default=[], description="What was not carried over.")
    written: str | None = Field(default=None, description="The file it was written to.")
    text: str = Field(description="The week file, as YAML.")
