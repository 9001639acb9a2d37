"""The answer of `change` as scripts read it, and as the report is written from.

A running week planned again: the new plan, what moved and why, and what a cook can do with what
must be left over. Amounts of loss are in the unit of the priority they are of.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, PlanFile, RuleLine, WholeNumber
from models.answers.why import Answer

CHANGES = "changes"
"""Name of the priority that comes with a change: as few other lunches as can be."""
SIDES = "sides"
"""Name of the last one before the order of the file: sides stay as they were."""

Doing = Literal["freeze", "eat", "eat today", "stays frozen", "cook fewer", "discard"]


class MovedLunch(AnswerPart):
    """A lunch that is not as it was."""

    date: date
    eater: str
    kind: Literal["lunch", "sides", "new", "bought"] = Field(
        description="lunch: another dish or other portions. sides: only other choices or extras. "
        "new: there was none. bought: nothing can be packed."
    )
    was: str = Field(description="Dish and amounts in the old plan; empty where it is new.")
    becomes: str = Field(description="Dish and amounts in the new plan.")
    why: Answer | None = Field(
        default=None,
        description="What the week comes to if it stays as it was; only of a plan that is proven.",
    )


class Spare(AnswerPart):
    """What a cook can do with portions that no lunch takes."""

    batch: str
    portions: WholeNumber
    word: str = Field(description="What one portion is called.")
    do: Doing
    by: date | None = Field(default=None, description="Up to which day.")


class Stayed(AnswerPart):
    """The same week with the other lunches as they were, held against the new plan."""

    possible: bool = Field(description="False where the other lunches cannot all stay.")
    grams: float | None = Field(default=None, description="What it would leave over, in g.")


class MoreToBuy(AnswerPart):
    """What the new plan takes of the larder beyond what the old one did."""

    item: str
    packs: WholeNumber = Field(description="Packs more; 0 of what is weighed out.")
    amount: float = Field(description="The same in the unit of the item.")
    unit: Literal["g", "mL", "piece"]


class ChangeFile(AnswerPart):
    """The answer of `change`."""

    format: Literal["clearfridge change 1"] = "clearfridge change 1"
    name: str
    today: date
    moves: list[MovedLunch] = Field(default=[], description="Lunches that are not as they were.")
    changed: WholeNumber = Field(
        default=0, description="Lunches with another dish or other portions."
    )
    to_come: WholeNumber = Field(default=0, description="Lunches of the old plan that are to come.")
    as_they_were: Stayed | None = Field(
        default=None, description="Where lunches changed: the week with none of them changed."
    )
    least_left: float | None = Field(
        default=None,
        description="With the fewest changes: what would be left over, in g, with more of them.",
    )
    spare: list[Spare] = Field(default=[], description="What no lunch takes, and what to do.")
    to_buy: list[MoreToBuy] = Field(
        default=[], description="What must be bought that the plan before did not ask for."
    )
    guests: list[str] = Field(default=[], description="Of whom it must be asked what they can eat.")
    conflict: list[RuleLine] = Field(
        default=[],
        description="Why there is no plan that keeps every rule: a smallest set that clashes.",
    )
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
    written: str | None = Field(default=None, description="The file the new plan was written to.")
    plan: PlanFile
