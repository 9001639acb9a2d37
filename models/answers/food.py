"""The answer of `food`: what the food table knows, and where each figure comes from."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart


class FoodAmount(AnswerPart):
    """How much of a nutrient there is."""

    amount: float
    unit: str


class Life(AnswerPart):
    """How long something keeps in the fridge."""

    days: tuple[int, int] = Field(description="From and up to.")
    source: str = Field(description="The same as published, with who says so.")


class FoodCaution(AnswerPart):
    """What to mind, and who says so."""

    text: str
    source: str


class Kept(AnswerPart):
    """How a food is stored."""

    name: str = Field(alias="class", description="Storage class.")
    us: Life | None
    uk: Life | None
    opened: Life | None
    thawed_days: int | None
    freezer_months: tuple[int, int] | None
    freezer_source: str = ""
    freezes_well: bool | None
    caution: FoodCaution | None = None


class FoodFile(AnswerPart):
    """The answer of `food`."""

    format: Literal["clearfridge food 1"] = "clearfridge food 1"
    name: str
    aliases: list[str]
    group: str
    shop: str = Field(description="Part of the shop.")
    state: str
    source: str
    source_id: str = Field(description="Its number there.")
    per: str = "100 g edible portion"
    nutrients: dict[str, FoodAmount] = Field(
        description="By INFOODS tagname; what is missing was not measured."
    )
    measures_g: dict[str, float] = Field(description="Household measures in g.")
    density_g_per_ml: float | None
    refuse_percent: float | None = Field(description="Thrown away of what is bought.")
    allergens: list[str] = Field(description="Groups of EU law, and pine nuts.")
    allergens_us: list[str] = Field(description="The same as US law names them.")
    cereals: list[str] = Field(description="Which cereals its gluten is of.")
    allergens_known: bool
    check_label: bool = Field(description="Recipes differ: the label decides.")
    families: list[str] = Field(description="What it belongs to, that someone may avoid.")
    families_may: list[str] = Field(description="What only its label can rule out.")
    families_narrowest: list[str] = Field(description="The narrowest of the families.")
    families_may_narrowest: list[str] = Field(description="The narrowest of those that may be.")
    families_told: bool = Field(description="False where nobody said what else is in it.")
    protein_digested: float = Field(description="Share of its protein that is digested.")
    protein_digested_source: str = Field(description="Of which food that was measured, by whom.")
    storage: Kept | None
    note: str
    licence: str = Field(description="The words that the licence of some figures asks for.")
