"""The answer of `audit`: what is wrong with a saved plan."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.answers.plan import AnswerPart


class Finding(AnswerPart):
    """One thing that is wrong with a plan."""

    rule: str = Field(
        description="Key of the rule broken; lunches, dish, sums or claims where the plan does not "
        "hold together; proofs where a proof in it does not prove what it says; seal where it was "
        "edited since it was written."
    )
    sentence: str = Field(description="The rule in words.")
    where: str = Field(description="The lunch or food it is about.")
    what: str = Field(description="What is wrong there.")


class AuditFile(AnswerPart):
    """The answer of `audit`."""

    format: Literal["clearfridge audit 1"] = "clearfridge audit 1"
    name: str = Field(description="Name of the week.")
    faults: list[Finding] = Field(description="None where the plan keeps every rule.")
    gives_way: list[str] = Field(
        default=[], description="Where a rule gives way, or a lunch is to buy, as the plan says."
    )
    checked: list[str] = Field(
        default=[],
        description="Priorities in which no plan is better: proven here, by adding up the proofs "
        "that travel with the plan, with no solver.",
    )
    taken_as_written: list[str] = Field(
        description="What the plan says that only planning again would find out."
    )
