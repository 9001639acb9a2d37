"""The answer of `share`: the batches as recipes for others, and what to buy for them."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from models.answers.plan import AnswerPart, BatchInfo
from models.answers.shop import ShopFile


class Keeps(AnswerPart):
    """How long a batch keeps in the fridge, and whether it freezes."""

    days: tuple[int, int] = Field(description="From and up to; alike where one number is given.")
    source: str = Field(description="Who says so.")
    freezes: bool


class ShareFile(AnswerPart):
    """The answer of `share`."""

    format: Literal["clearfridge share 1"] = "clearfridge share 1"
    name: str = Field(description="Name of the week.")
    recipes: list[dict[str, Any]] = Field(
        description="One for each batch, as JSON-LD of schema.org Recipe."
    )
    keeps: list[Keeps] = Field(description="In the order of the recipes.")
    batches: list[BatchInfo] = Field(description="In the order of the recipes.")
    shop: ShopFile
    cautions: list[str]
