"""All that the page shows, computed when it is made: the plan, the sheets, other volumes."""

from __future__ import annotations

from datetime import date as Day  # noqa: N812 - a field is named date

from pydantic import Field, SerializeAsAny

from models.answers.labels import LabelFile
from models.answers.pack import CardFile
from models.answers.plan import AnswerPart, PlanFile
from models.answers.prep import PrepFile
from models.answers.shop import ShopFile
from models.answers.why import LunchWhy


class VolumeLunch(AnswerPart):
    """One lunch of the plan for another volume."""

    date: Day
    eater: str
    dish: str
    portions: str = Field(description="What it takes of the batches, in words.")


class Volume(AnswerPart):
    """The plan when a batch is cooked in another number of portions."""

    portions: int
    status: str
    left_over: float | None = Field(default=None, description="In g; none: no plan.")
    cost: float | None = None
    lunches: list[VolumeLunch] = Field(default=[], description="In the order of the days.")
    why_not: list[str] = Field(default=[], description="Rules that forbid a plan.")
    beats: str = Field(
        default="",
        description="How it is better than the plan where the first that differs is; else empty.",
    )


class Slider(AnswerPart):
    """A batch and the plans for its volumes, the other batches as they are."""

    batch: str
    word: str = Field(description="piece or portion.")
    now: int
    volumes: list[Volume]


class PageFile(AnswerPart):
    """The page's content."""

    plan: PlanFile
    why: list[LunchWhy] = Field(
        default=[], description="What every lunch could have been; empty where not asked."
    )
    shop: ShopFile
    labels: LabelFile
    cards: CardFile
    prep: PrepFile
    sliders: list[Slider] = Field(default=[], description="One for each batch.")
    lists: list[SerializeAsAny[AnswerPart]] = Field(
        default=[], description="The answers of the sheets that are plain lists."
    )
    interrupted: bool = Field(default=False, description="True: what was not known yet lacks.")
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
