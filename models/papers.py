"""The kitchen papers for scripts and for the page: what to buy, labels, morning cards.

Masses are in g, money in the currency of the week, dates in ISO 8601. Only names are added.
"""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date
from typing import Literal

from pydantic import Field

from models.planfile import Part

Unit = Literal["g", "mL", "piece"]


class UseLine(Part):
    """What something is bought for."""

    what: str = Field(description="The batch, or the item that goes into lunches.")
    amount: float
    unit: Unit
    text: str = Field(default="", description="The line of the recipe, as written.")


class PacksLine(Part):
    """Packs of one size."""

    count: int
    pack: str = Field(description="What one holds, as the week file says it.")
    price: float | None = Field(default=None, description="Of one; none where nobody said it.")


class BuyLine(Part):
    """One thing to buy."""

    name: str = Field(description="As the recipe or the larder calls it.")
    food: str = Field(default="", description="The food of the table that an ingredient is.")
    need: float = Field(description="What the week needs of it, as it is bought.")
    unit: Unit
    have: float | None = Field(
        default=0.0, description="What is in the cupboard of that; none: plenty."
    )
    packs: list[PacksLine] = Field(description="Whole packs; none where no pack is known.")
    rest: float = Field(default=0.0, description="What the packs leave.")
    keeps: int | None = Field(
        default=None, description="Days the rest keeps once opened; none: past the week."
    )
    cost: float | None = Field(default=None, description="Of the packs; none where not known.")
    uses: list[UseLine]


class BuyPart(Part):
    """What stands in one part of the shop."""

    part: str
    lines: list[BuyLine]


class ShopFile(Part):
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


class Label(Part):
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
    days: list[Day] = Field(description="The days it is for; none: spare.")
    eaters: list[str] = Field(default=[], description="For whom, where there are several.")
    allergens: list[str]
    allergens_us: list[str] = Field(default=[], description="The same as US law names them.")
    cereals: list[str] = Field(default=[], description="Which cereals its gluten is of.")
    allergens_unknown: list[str] = Field(default=[], description="Foods in it that more may be in.")
    own_risk: str = ""


class LabelFile(Part):
    """Labels for every tub of a week."""

    format: Literal["clearfridge labels 1"] = "clearfridge labels 1"
    name: str
    guidance: str = ""
    labels: list[Label]


class CardPart(Part):
    """Something that goes into a lunch."""

    what: str
    amount: float
    unit: Unit
    text: str = Field(description="Amount and name, as a cook says it.")
    texture: Literal["wet", "crisp", "plain"]
    thawed: int = Field(default=0, description="Portions of it that come from the freezer.")


class CardPlace(Part):
    """A compartment, a pot, or beside the box, and what goes in."""

    place: str = Field(description="pot 1, compartment 2, or beside the box.")
    room: float | None = Field(default=None, description="In mL.")
    used: float = Field(default=0.0, description="Of that, in mL.")
    parts: list[CardPart]
    note: str = Field(default="", description="What to mind, as: keep closed until eaten.")


class Card(Part):
    """What one morning asks for one lunch."""

    date: Day
    eater: str
    dish: str
    minutes: int
    before: list[str] = Field(default=[], description="What was to be done the evening before.")
    places: list[CardPlace] = Field(description="In the order of packing.")
    carry: list[str] = Field(default=[], description="Cold packs and the like.")
    eat: list[str] = Field(default=[], description="What to do when it is eaten: heat, mix.")
    allergens: list[str] = Field(default=[], description="Groups of EU law in it.")
    allergens_us: list[str] = Field(default=[], description="The same as US law names them.")
    cereals: list[str] = Field(default=[], description="Which cereals its gluten is of.")
    allergens_unknown: list[str] = Field(default=[], description="Foods in it that more may be in.")


class CardFile(Part):
    """Morning cards."""

    format: Literal["clearfridge cards 1"] = "clearfridge cards 1"
    name: str
    cards: list[Card]
