"""The answer of `check --trace`: one figure of a batch or larder item, line by line."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart


class TraceLine(AnswerPart):
    """One ingredient and what it holds."""

    line: str = Field(description="As written in the week file.")
    food: str = Field(description="The food of the table that it is.")
    source: str
    grams: float
    how: str = Field(description="How the grams came about; empty where they were written.")
    per_100_g: float | None
    amount: float | None = Field(description="None where it was not measured.")


class TraceFile(AnswerPart):
    """The answer of `check --trace`."""

    format: Literal["clearfridge trace 1"] = "clearfridge trace 1"
    name: str = Field(description="The batch or larder item.")
    kind: Literal["batch", "food", "made"] = Field(
        description="A batch, a larder item as bought, or one made of ingredients."
    )
    nutrient: str = Field(description="INFOODS tagname.")
    unit: str
    lines: list[TraceLine] = Field(description="None where the file states the figure.")
    total: float | None = Field(description="Sum of the lines.")
    total_complete: bool = Field(description="False means 'at least': a line lacks its figure.")
    mass: float | None = Field(description="Of all that goes in, in g.")
    portions: int | None = Field(description="Portions of the batch.")
    portion: str | None = Field(description="How the mass of a portion came about.")
    pack: str | None = Field(description="What a pack of the larder item holds.")
    per: str = Field(description="What `amount` is of: portion, or an amount of the item.")
    word: str = Field(description="The same as a sentence says it: piece, or 100 g.")
    amount: float | None
    complete: bool
    stated: bool = Field(description="True where the file states the figure itself.")
    source: str
