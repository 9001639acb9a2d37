"""The answer of `mend` as scripts read it, and as the report is written from."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart, RuleLine


class Change(AnswerPart):
    """One edit of a week file."""

    path: list[str | int] = Field(description="The keys that lead to it.")
    was: str
    becomes: str
    text: str = Field(description="The change as a cook says it.")
    prep: bool = Field(description="True where it is made on the prep day, not by bending a wish.")
    wish: bool = Field(default=False, description="True where a wish is bent.")
    label: bool = Field(
        default=False,
        description="True where it holds only if a label says so, which is to be read first.",
    )


class Way(AnswerPart):
    """A set of changes that achieves what was asked, none of them needless."""

    changes: list[Change]
    dishes: list[str] = Field(description="The plan it leads to, lunch by lunch.")
    values: dict[str, float] = Field(description="What that plan reaches in each priority.")
    text: str = Field(repr=False, description="The week file so mended.")


class MendFile(AnswerPart):
    """The answer of `mend`."""

    format: Literal["clearfridge mend 1"] = "clearfridge mend 1"
    name: str
    goal: str = Field(description="What was to be achieved, in words.")
    already: bool = Field(default=False, description="True when the week achieves it as it is.")
    interrupted: bool = False
    late: bool = Field(
        default=False, description="True where time was up: what is not told was not found out."
    )
    complete: bool = Field(
        default=True,
        description="True where all that was looked for was found; False when the search ended "
        "early: there may be more.",
    )
    looked_for: str = Field(default="", description="Which changes the search knows, in words.")
    now: dict[str, float] = Field(
        default={}, description="What the plan of the week as it is reaches, where there is one."
    )
    held: list[str] = Field(
        default=[],
        description="Priorities that come before the goals: a change may not lose in them.",
    )
    ways: list[Way] = Field(description="Smallest first.")
    blocked: list[RuleLine] = Field(
        default=[],
        description="Where there is none: a smallest set of rules that forbids it and that no "
        "change may touch, for they keep someone safe or are no matter of taste.",
    )
    currency: str = ""
