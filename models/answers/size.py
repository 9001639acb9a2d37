"""The answer of `size`, for scripts and for the page. Only names are added."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, BatchLeft, PackLeft, RuleLine


class BatchSize(AnswerPart):
    """How much of a batch to cook, and how firm that is."""

    batch: str
    word: str = Field(description="What one portion is called: piece or portion.")
    was: int = Field(description="Portions in the week file.")
    cook: int = Field(description="Portions to cook.")
    grams: float = Field(description="Mass of those in g.")
    allowed: list[int] = Field(description="In how many portions it may be cooked.")
    because: list[str] = Field(description="What keeps it to these.")
    works: list[int] = Field(
        description="Numbers that leave no more over, the other batches as chosen."
    )
    below: int | None = Field(default=None, description="The next smaller one that does not work.")
    below_leaves: float | None = Field(
        default=None, description="What it leaves over in g; none: no plan is possible."
    )
    above: int | None = Field(default=None, description="The next larger one that does not work.")
    above_leaves: float | None = None


class PackRest(AnswerPart):
    """What packs of a perishable ingredient leave."""

    food: str
    grams: float


class SizeFile(AnswerPart):
    """The answer of `size`."""

    format: Literal["clearfridge size 1"] = "clearfridge size 1"
    name: str = Field(description="Name of the week.")
    currency: str = ""
    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    no_prices: bool = Field(default=False, description="True: nothing has a price.")
    interrupted: bool = False
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
    batches: list[BatchSize] = Field(default=[], description="How much of each to cook.")
    left_over: float | None = Field(
        default=None,
        description="In g: portions, opened packs of the larder, and packs of ingredients.",
    )
    batches_left: list[BatchLeft] = Field(default=[], description="Portions in no lunch.")
    opened_left: list[PackLeft] = Field(
        default=[], description="What packs of the larder that were opened leave."
    )
    packs: list[PackRest] = Field(
        default=[], description="What perishable packs bought for the batches leave of that."
    )
    dishes: list[str] = Field(default=[], description="What the week then has, day by day.")
    priorities: dict[str, float] = Field(default={}, description="What the plan then reaches.")
    conflict: list[RuleLine] = Field(
        default=[], description="Where no week is possible: a smallest set of rules."
    )
    text: str = Field(default="", repr=False, description="The week file with what is chosen.")
