"""The answer of `check`: a week file as it was understood, nothing solved."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, DayOff, RuleLine


class LunchPlace(AnswerPart):
    """A lunch to plan, and what the place offers where it is eaten."""

    date: date
    eater: str
    fridge: bool
    microwave: bool
    cold_packs: int


class BoundLine(AnswerPart):
    """A floor or a ceiling."""

    nutrient: str = Field(description="INFOODS tagname.")
    amount: float
    unit: str
    over: Literal["lunch", "week"]
    note: str = Field(description="How the figure came about, where it was computed.")
    as_salt: bool = Field(description="True for sodium that the file gives as salt.")


class MustNotLine(AnswerPart):
    """What an eater must not have."""

    allergens: list[str]
    foods: list[str]
    diet: str = Field(description="A way of eating; empty where there is none.")


class CheckedEater(AnswerPart):
    """Who eats."""

    floors: list[BoundLine]
    ceilings: list[BoundLine]
    must_not: MustNotLine
    box: str | None


class Figure(AnswerPart):
    """An amount of a nutrient."""

    amount: float
    unit: str
    complete: bool = Field(description="False means 'at least'.")


class IngredientLine(AnswerPart):
    """One line of a recipe with what it holds."""

    line: str = Field(description="As written.")
    food: str
    grams: float
    how: str = Field(description="How the grams came about; empty where they were written.")
    remarks: list[str] = Field(description="What was taken in reading it.")
    source: str
    nutrients: dict[str, float] = Field(description="By INFOODS tagname.")
    allergens: list[str]
    allergens_settled: bool


class Holding(AnswerPart):
    """What is in a food, for those who must not have something."""

    allergens: list[str] | None = Field(
        description="Groups of EU law; none where nobody has settled them."
    )
    allergens_held: list[str] = Field(description="Those that are in it for certain.")
    allergens_us: list[str]
    cereals: list[str] = Field(description="Which cereals its gluten is of.")
    allergens_unsettled: list[str] = Field(description="Foods in it that more may be in.")
    foods: list[str]


class CheckedBatch(Holding):
    """A batch as understood."""

    made: date
    portions: int
    portion: str = Field(description="Mass of one.")
    word: str = Field(description="What one is called: piece or portion.")
    keeps: tuple[int, int] = Field(description="Days in the fridge, from and up to.")
    fresh_until: date
    use_by: date
    life_source: str
    storage_classes: list[str]
    own_risk: str
    freezer_portions: int
    earlier: bool = Field(default=False, description="Was it cooked in an earlier week?")
    nutrients: dict[str, Figure] = Field(description="Of one portion, by INFOODS tagname.")
    nutrition_source: str
    cost: float
    unpriced: list[str]
    ingredients: list[IngredientLine]


class CheckedItem(Holding):
    """A larder item as understood."""

    pack: str
    price: float
    unpriced: list[str]
    opened_life: int | None = Field(description="Days once opened; none: it keeps.")
    opened_source: str
    own_risk: str
    per: str = Field(description="The amount its nutrients are of.")
    nutrients: dict[str, Figure]
    nutrition_source: str
    ingredients: list[IngredientLine]


class CheckedDish(AnswerPart):
    """A dish as understood."""

    kind: str
    allergens: list[str] = Field(description="In it however it is packed.")
    allergens_us: list[str]
    allergens_may: list[str] = Field(description="In it with some choice, extra or amount.")
    cereals: list[str]
    allergens_unsettled: list[str]
    ingredients: list[IngredientLine]


class Barred(AnswerPart):
    """A food that a guard bars."""

    name: str
    why: str = Field(description="The cause, as: ham is pork.")
    settled: bool = Field(description="False where reading a label could let it through.")
    write: str = Field(description="The line to write then.")


class GuardLine(AnswerPart):
    """What one thing that an eater must not have does in the week."""

    eater: str
    kind: Literal["allergen", "food", "diet"]
    what: str
    bars: list[Barred]
    lets_through: list[str]
    dishes_barred: list[str] = Field(description="Dishes that cannot be packed for the eater.")


class ReadAs(AnswerPart):
    """A name in the file that is not the words of the food it was read as."""

    written: str
    food: str


class CheckFile(AnswerPart):
    """The answer of `check`."""

    format: Literal["clearfridge check 1"] = "clearfridge check 1"
    name: str
    note: str
    days: list[date]
    no_lunch: list[DayOff]
    lunches: list[LunchPlace]
    eaters: dict[str, CheckedEater]
    batches: dict[str, CheckedBatch]
    larder: dict[str, CheckedItem]
    dishes: dict[str, CheckedDish]
    guidance: str = Field(description="us, uk or strictest; empty in a week without batches.")
    cups: str | None = Field(description="Which cup and spoons are meant; none where none are.")
    guards: list[GuardLine]
    read_as: list[ReadAs]
    rules: list[RuleLine]
    priorities: list[str]
    remarks: list[str]
