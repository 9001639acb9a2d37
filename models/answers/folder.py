"""The answer of `plan` on a folder of weeks, for scripts. Only names are added."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart

RowStatus = Literal["optimal", "feasible", "infeasible", "unknown", "refused", "fault"]
"""As of a plan, and "refused" and "fault" where it never came to one."""


class FolderRow(AnswerPart):
    """What came of one week file."""

    week: str = Field(description="The week file, as a path in the folder.")
    status: RowStatus = Field(
        description="As of a plan; or refused: the file has a fault, see why. fault: one of the "
        "program, not of the file."
    )
    plan: str = Field(default="", description="Its plan, as a path in the folder of plans.")
    days: int = Field(default=0, description="Days of the week.")
    eaters: int = Field(default=0, description="How many eat.")
    lunches: int = Field(default=0, description="Lunches that are planned.")
    left_over: float | None = Field(default=None, description="In g.")
    cost: float | None = Field(default=None, description="In the currency of the week.")
    currency: str = ""
    minutes: float | None = Field(default=None, description="Of packing in the mornings, in all.")
    why: str = Field(default="", description="Why there is no plan; what is wrong with the file.")


class FolderFile(AnswerPart):
    """The answer of `plan` on a folder of weeks."""

    format: Literal["clearfridge folder 1"] = "clearfridge folder 1"
    folder: str = Field(description="Where the weeks are.")
    into: str = Field(description="Where the plans are.")
    interrupted: bool = Field(default=False, description="True when the user stopped it.")
    planned: int = Field(default=0, description="Weeks that this run planned or found none for.")
    kept: int = Field(default=0, description="Weeks of which an earlier run's answer still holds.")
    left: int = Field(default=0, description="Weeks that are left for the next run.")
    rows: list[FolderRow] = Field(default=[], description="A row for each week, by its path.")
    aside: list[str] = Field(
        default=[],
        description="Plans of an earlier run whose weeks have none now, with .old behind their "
        "names: what they say is no longer asked for.",
    )
    others: list[str] = Field(
        default=[], description="What else is there and ends as a plan: of no week of this run."
    )
