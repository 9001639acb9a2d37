"""The answer of `what-if`, for scripts and for the page. Only names are added."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, RuleLine


class KnobLine(AnswerPart):
    """One thing that is turned."""

    kind: Literal["yield", "floor", "lunches"]
    name: str = Field(description="The batch, or the nutrient and the eater.")
    unit: str
    values: list[float]
    now: float | None = Field(default=None, description="What the week file says.")


class Margin(AnswerPart):
    """The lunch that has the least protein above its floor."""

    grams: float
    lunch: str


class Shape(AnswerPart):
    """The dishes of a week, day by day, and the letter that rows name it by."""

    letter: str
    dishes: list[str]


class WhatIfRow(AnswerPart):
    """The plan for one value of each thing that is turned."""

    values: list[float] = Field(description="In the order of the knobs.")
    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    none_left: bool | None = Field(
        default=None,
        description="Does its plan leave nothing over? None: not known to be the best.",
    )
    shape: str | None = Field(default=None, description="Letter of its dishes, see shapes.")
    left_over: float | None = Field(default=None, description="In g.")
    margin: Margin | None = Field(default=None, description="None where no eater has a floor.")
    repeats: float | None = None
    thawed: int | None = Field(default=None, description="Portions from the freezer.")
    cost: float | None = None
    cost_complete: bool = Field(default=True, description="False: the cost is an 'at least'.")
    priorities: dict[str, float] = Field(default={}, description="What it reaches in each.")
    conflict: list[RuleLine] = Field(
        default=[], description="Where no week is possible: a smallest set of rules."
    )


class WhatIfFile(AnswerPart):
    """The answer of `what-if` to one question."""

    format: Literal["clearfridge what-if 1"] = "clearfridge what-if 1"
    name: str = Field(description="Name of the week.")
    question: str = Field(default="", description="What it is called in the week file.")
    currency: str = ""
    knobs: list[KnobLine]
    rows: list[WhatIfRow]
    shapes: list[Shape] = Field(description="Every set of dishes, in the order it first comes.")
    interrupted: bool = False
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
