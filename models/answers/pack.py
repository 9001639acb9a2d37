"""Morning cards, for scripts and for the page."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart
from models.answers.shop import Unit


class CardPart(AnswerPart):
    """Something that goes into a lunch."""

    what: str
    amount: float
    unit: Unit
    text: str = Field(description="Amount and name, as a cook says it.")
    texture: Literal["wet", "crisp", "plain"]
    thawed: int = Field(default=0, description="Portions of it that come from the freezer.")


class CardPlace(AnswerPart):
    """A compartment, a pot, or beside the box, and what goes in."""

    place: str = Field(description="pot 1, compartment 2, or beside the box.")
    room: float | None = Field(default=None, description="In mL.")
    used: float = Field(default=0.0, description="Of that, in mL.")
    parts: list[CardPart]
    note: str = Field(default="", description="What to mind, as: keep closed until eaten.")


class Card(AnswerPart):
    """What one morning asks for one lunch."""

    date: Day
    eater: str
    dish: str
    minutes: int
    before: list[str] = Field(default=[], description="What was to be done the evening before.")
    places: list[CardPlace] = Field(description="In the order of packing.")
    carry: list[str] = Field(default=[], description="Cold packs and the like.")
    eat: list[str] = Field(default=[], description="What to do when it is eaten: heat, mix.")
    cautions: list[str] = Field(default=[], description="What to mind, in a few words each.")
    allergens: list[str] = Field(default=[], description="Groups of EU law in it.")
    allergens_us: list[str] = Field(default=[], description="The same as US law names them.")
    cereals: list[str] = Field(default=[], description="Which cereals its gluten is of.")
    allergens_unknown: list[str] = Field(default=[], description="Foods in it that more may be in.")


class NothingToPack(AnswerPart):
    """A lunch for which nothing is packed, as nothing that keeps the rules can be."""

    date: Day
    eater: str


class CardFile(AnswerPart):
    """Morning cards."""

    format: Literal["clearfridge cards 1"] = "clearfridge cards 1"
    name: str
    cards: list[Card]
    to_buy: list[NothingToPack] = Field(default=[], description="Lunches to buy, or to go without.")
