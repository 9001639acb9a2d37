"""What to buy, for scripts and for the page."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - as the other answers call it
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart

Unit = Literal["g", "mL", "piece"]


class UseLine(AnswerPart):
    """What something is bought for."""

    what: str = Field(description="The batch, or the item that goes into lunches.")
    amount: float
    unit: Unit
    text: str = Field(default="", description="The line of the recipe, without how it is prepared.")


class PacksLine(AnswerPart):
    """Packs of one size."""

    count: int
    pack: str = Field(description="What one holds, as the week file says it.")
    price: float | None = Field(default=None, description="Of one; none where nobody said it.")


class BuyLine(AnswerPart):
    """One thing to buy."""

    name: str = Field(description="As the recipe or the larder calls it.")
    food: str = Field(default="", description="The food of the table that an ingredient is.")
    need: float = Field(description="What the week needs of it, as it is bought.")
    unit: Unit
    have: float | None = Field(
        default=0.0, description="What is in the cupboard of that; none: plenty."
    )
    packs: list[PacksLine] = Field(description="Whole packs; none where no pack is known.")
    pieces: int | None = Field(
        default=None,
        description="How many that is, where recipes count it and no pack is known; else none.",
    )
    called: str = Field(default="", description="What so many of it are called, as recipes do.")
    as_written: str = Field(
        default="",
        description="The line of the one recipe it is for, where that says what to buy.",
    )
    at_hand: bool = Field(
        default=False,
        description="True where it keeps and the week takes spoonfuls of it, or less than 30 g, of "
        "what has a price 5 g: it may be there.",
    )
    spoons: str = Field(
        default="", description="What is taken by the spoon, as '3 tbsp and 1 tsp'."
    )
    rest: float = Field(default=0.0, description="What the packs leave.")
    keeps: int | None = Field(
        default=None, description="Days the rest keeps once opened; none: past the week."
    )
    cost: float | None = Field(default=None, description="Of the packs; none where not known.")
    uses: list[UseLine]
    buy_on: Day | None = Field(
        default=None,
        description="A later trip, the day before it is cooked: raw, it does not keep from the "
        "day before the first of the week is needed.",
    )
    raw_keeps: tuple[int, int] | None = Field(
        default=None, description="Where there is a later trip: days it keeps raw, from the shop."
    )


class BuyPart(AnswerPart):
    """What stands in one part of the shop."""

    part: str
    lines: list[BuyLine]


class ShopFile(AnswerPart):
    """A shopping list."""

    format: Literal["clearfridge shopping 1"] = "clearfridge shopping 1"
    name: str = Field(description="Name of the week.")
    currency: str = ""
    parts: list[BuyPart]
    there: list[BuyLine] = Field(
        default=[], description="What is needed and is in the cupboard already."
    )
    unlisted: list[str] = Field(
        default=[], description="Batches and items that do not say what they are made of."
    )
    cost: float = Field(description="Of all packs with a price.")
    unpriced: list[str] = Field(default=[], description="What has no price.")
    used: float = Field(
        default=0.0,
        description="What the plan costs: batches by what goes in, of packs that keep a share.",
    )
    used_complete: bool = Field(
        default=True, description="False: what the plan costs is an 'at least'."
    )

    @property
    def later(self) -> dict[Day, list[str]]:
        """What is bought on each later trip, the earliest first; empty where one is enough."""
        trips: dict[Day, list[str]] = {}
        for line in (line for part in self.parts for line in part.lines):
            if line.buy_on is not None:
                trips.setdefault(line.buy_on, []).append(line.name)
        return dict(sorted(trips.items()))
