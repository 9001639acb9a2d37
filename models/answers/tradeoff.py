"""The answer of `trade-off`, for scripts. Only names are added."""

from __future__ import annotations

from pydantic import Field

from models.answers.plan import AnswerPart


class Point(AnswerPart):
    """A best compromise: nothing is better in one without being worse in the other."""

    first: float
    second: float
    proven: bool
    plan: bool = Field(description="Does the plan reach just this?")
    dishes: list[str]
    values: dict[str, float] = Field(description="What the week reaches in each priority.")


class TradeOffFile(AnswerPart):
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
    no_prices: bool = Field(default=False, description="True: nothing has a price.")
    interrupted: bool = False
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
