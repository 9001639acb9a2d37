"""The plan file: the contract that scripts, the audit and later sheets rely on.

Numbers are in the unit named beside them; dates are ISO 8601; nutrients go by
INFOODS tagname. The week a plan was made for travels in it, so that a plan can be
judged without the file it came from.
"""

from __future__ import annotations

import hashlib
import json
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, field_serializer, model_validator

# Bounds keep a plan edited into nonsense from overflowing what is counted with it.
WholeNumber = Annotated[int, Field(ge=-1_000_000, le=1_000_000)]
CalendarDate = Annotated[date, Field(ge=date(1970, 1, 1), le=date(9000, 12, 31))]


class AnswerPart(BaseModel):
    """A mapping of the plan file; unknown keys are errors, so typing slips show."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class PriorityLine(AnswerPart):
    """What the plan reaches in one priority, and what is proven of it."""

    name: str = Field(description="Name of the priority.")
    value: float = Field(description="What the plan reaches.")
    unit: str = Field(description="What the value counts.")
    better: Literal["less", "more"] = Field(description="Which way is better.")
    bound: float | None = Field(
        description="No plan as good in the priorities before does better than this."
    )
    proven: bool = Field(description="True when value and bound are one.")


class BatchLine(AnswerPart):
    """Portions of one batch in one lunch."""

    batch: str = Field(description="Name of the batch.")
    portions: WholeNumber = Field(description="Whole portions or pieces.")
    grams: float = Field(description="Their mass in g.")
    from_freezer: WholeNumber = Field(description="How many of them come from the freezer.")
    move_to_fridge: date | None = Field(
        default=None, description="The evening they are moved to the fridge."
    )


class ItemLine(AnswerPart):
    """An amount of a larder item in one lunch."""

    item: str = Field(description="Name of the item.")
    amount: float = Field(description="How much of it.")
    unit: Literal["g", "mL", "piece"] = Field(description="Unit of the amount.")


class ChoiceLine(ItemLine):
    """The option taken of one choice."""

    choice: str = Field(description="Name of the choice.")


class ExtraLine(ItemLine):
    """An extra that is added."""

    times: WholeNumber = Field(description="How many times it is added.")


class NutrientLine(AnswerPart):
    """Content of one nutrient in one lunch."""

    amount: float = Field(description="How much.")
    unit: str = Field(description="g, mg, µg or kcal.")
    complete: bool = Field(description="False means 'at least': a figure is missing.")
    floor: float | None = Field(default=None, description="The least, where there is one.")
    ceiling: float | None = Field(default=None, description="The most, where there is one.")


class RuleLine(AnswerPart):
    """A rule that a reason or a conflict names."""

    key: str = Field(description="Its key, unique in the week.")
    sentence: str = Field(description="What it asks, with its numbers.")
    numbers: dict[str, str | float] = Field(
        default={}, description="Its numbers and names, by what they are."
    )
    source: str = Field(default="", description="Who says so, when not the week file.")


class Reason(AnswerPart):
    """Why a lunch is as it is."""

    kind: Literal["amount", "rule", "priority", "order", "conflict"] = Field(
        description="What bound it: an amount at its least or most, a rule that was dropped "
        "to see, a priority, the order of the file, or rules that leave nothing else."
    )
    text: str = Field(description="The reason in one sentence.")
    rules: list[RuleLine] = Field(description="The rules it names.")
    priority: str | None = Field(default=None, description="The priority that would be worse.")
    alternative: str | None = Field(default=None, description="What it is held against.")
    verdict: Literal["impossible", "worse", "as good"] | None = Field(
        default=None, description="What the week without this comes to."
    )
    amount: float | None = Field(
        default=None, description="How much of the priority is lost, where that is known."
    )
    exact: bool | None = Field(default=None, description="False means 'at least'.")


class LunchLine(AnswerPart):
    """One lunch."""

    date: CalendarDate
    eater: str
    also: list[str] = Field(
        default=[],
        description="Where an entry is many eaters: who comes next and has the same lunch. Only in "
        "a plan that is written; in one that is read each has a line.",
    )
    dish: str
    kind: str = Field(description="Kind of the dish.")
    batches: list[BatchLine]
    goes_in: list[ItemLine] = Field(description="What is always in the dish.")
    choices: list[ChoiceLine]
    extras: list[ExtraLine]
    nutrients: dict[str, NutrientLine] = Field(description="By INFOODS tagname.")
    minutes: WholeNumber
    cost: float = Field(description="Its share of batches and packs.")
    cost_complete: bool = Field(
        default=True, description="False means 'at least': something in it has no price."
    )
    microwave: bool = Field(description="Does it have to be heated?")
    fridge: bool = Field(description="Is there a fridge where it is eaten?")
    cold_packs: int = Field(description="Cold packs that travel with it.")
    allergens: list[str] = Field(
        description="Groups of EU law in it, as the week file and the food table state them."
    )
    allergens_us: list[str] = Field(default=[], description="The same as US law names them.")
    cereals: list[str] = Field(
        default=[], description="Which cereals its gluten is of; none where that is not stated."
    )
    allergens_unknown: list[str] = Field(
        description="Foods in it whose allergens nobody has settled: more may be in them."
    )
    reasons: list[Reason] = []


def _of(line: LunchLine, eater: str) -> LunchLine:
    return line.model_copy(update={"eater": eater, "also": []})


class BatchLeft(AnswerPart):
    """Portions of a batch that no lunch takes."""

    batch: str
    portions: WholeNumber
    grams: float


class PackLeft(AnswerPart):
    """What opened packs of an item leave that will spoil."""

    item: str
    amount: float
    unit: Literal["g", "mL", "piece"]
    grams: float


class LeftOver(AnswerPart):
    """What is left over."""

    grams: float
    batches: list[BatchLeft]
    packs: list[PackLeft]
    frozen: list[BatchLeft] = Field(
        default=[],
        description="Portions that stay in the freezer for a later week: stock, not left over.",
    )
    why: list[RuleLine] = Field(
        default=[], description="A smallest set of rules that forbids leaving less."
    )


class PackLine(AnswerPart):
    """Packs of an item that are opened on one day."""

    item: str
    opened: CalendarDate
    packs: WholeNumber
    opened_life: int | None = Field(
        default=None, description="Days it keeps once opened; none: it outlasts the week."
    )


class FreezerMove(AnswerPart):
    """Portions of one batch for one day, put into the freezer or taken out of it."""

    date: CalendarDate = Field(
        description="When: the day of cooking or a later one, or the evening before the lunch."
    )
    move: Literal["freeze", "thaw"]
    batch: str
    portions: WholeNumber
    for_day: CalendarDate | None = Field(
        description="The day they are eaten; none: they stay in the freezer for a later week."
    )


class DayOff(AnswerPart):
    """A day without lunch."""

    date: CalendarDate
    eater: str | None = Field(default=None, description="Only this eater; all when left out.")
    why: str = ""


class BatchInfo(AnswerPart):
    """A batch, how long it keeps and what is in it."""

    batch: str
    made: CalendarDate
    portions: WholeNumber
    word: Literal["piece", "portion"] = Field(description="What one portion of it is called.")
    grams: float = Field(description="Mass of one portion in g.")
    best_by: CalendarDate = Field(description="Later than this is a wish broken.")
    use_by: CalendarDate = Field(description="Never eaten later than this, unless it was frozen.")
    source: str = Field(description="Who says so.")
    own_risk: str = Field(
        default="", description="What is published, where the use-by is later at the user's risk."
    )
    earlier: bool = Field(default=False, description="True where it was cooked in an earlier week.")
    frozen_best_by: CalendarDate | None = Field(
        default=None,
        description="Of an earlier week: how long it keeps its quality in the freezer.",
    )
    allergens: list[str]
    allergens_us: list[str]
    cereals: list[str] = []
    allergens_unknown: list[str] = Field(description="Foods in it that more may be in.")


class WishLine(AnswerPart):
    """A wish that was asked of the plan."""

    wish: str = Field(description="What was wished: a dish on a day.")
    granted: bool
    text: str = Field(description="What it costs, or why it cannot be, in a sentence.")
    priority: str | None = Field(default=None, description="The first priority that is lost.")
    amount: float | None = Field(default=None, description="How much of it.")
    exact: bool | None = Field(default=None, description="False means 'at least'.")
    rules: list[RuleLine] = Field(
        default=[], description="Where it cannot be: a smallest set of rules that forbids it."
    )


class BendLine(AnswerPart):
    """What comes of one lunch that falls through, the rest of the week planned again."""

    date: CalendarDate
    eater: str
    more: float | None = Field(
        description="Grams left over beyond what the plan leaves; none: not found, or no plan."
    )


class Bends(AnswerPart):
    """How a plan bends."""

    lunches: list[BendLine]
    looked_at: WholeNumber = Field(description="Equal plans that were held against each other.")
    all_of_them: bool = Field(description="True where there are no other equal plans.")


class GonePortions(AnswerPart):
    """Portions of a batch that are not there any more."""

    batch: str
    portions: WholeNumber


class FrozenPortions(AnswerPart):
    """Portions of a batch that went into the freezer on a day."""

    batch: str
    portions: WholeNumber
    date: CalendarDate


class NotNeeded(AnswerPart):
    """A lunch that was called off."""

    date: CalendarDate
    eater: str | None = Field(default=None, description="Only this eater; all when left out.")


class Joining(AnswerPart):
    """A lunch more."""

    date: CalendarDate
    eater: str
    new: bool = Field(description="True for a guest, of whom the week knew nothing.")


class ChangeLine(AnswerPart):
    """What went otherwise in a week that runs, and from which day on it was planned again."""

    today: CalendarDate = Field(description="Lunches before this day were eaten as planned.")
    no_lunch: list[NotNeeded] = []
    ate: list[GonePortions] = Field(default=[], description="Eaten besides lunches.")
    dropped: list[GonePortions] = Field(default=[], description="Spilt, spoilt, given away.")
    froze: list[FrozenPortions] = Field(
        default=[], description="What was really frozen, where it is not what was planned."
    )
    joined: list[Joining] = []
    fewest_changes: bool = Field(
        default=False, description="True where few changed lunches came before little left over."
    )
    thawed_unused: list[GonePortions] = Field(
        default=[],
        description="Thawed overnight for that day and in no lunch: good on that day only.",
    )


class GaveWayAt(AnswerPart):
    """One place where a rule gives way."""

    where: str = Field(description="The lunch, the day or the eater.")
    what: str = Field(description="How far, as a cook says it.")
    by: WholeNumber = Field(
        description="Times, days, or thousandths of a floor, each that is begun."
    )


class GaveWay(AnswerPart):
    """A rule that gives way in a plan, for no week keeps all of them."""

    about: Literal["variety", "wishes", "floors"] = Field(description="What the rule is about.")
    rule: RuleLine
    places: list[GaveWayAt]
    kept: str = Field(default="", description="What would come of keeping it.")


class BoughtLunch(AnswerPart):
    """A lunch for which nothing is packed: it is bought, or there is none."""

    date: CalendarDate
    eater: str
    packed: str = Field(default="", description="What would come of packing one.")
    rules: list[RuleLine] = Field(
        default=[], description="Where none can be packed: a smallest set of rules that forbids it."
    )


class LunchAlone(AnswerPart):
    """A lunch that cannot keep every rule, even if no other were packed."""

    date: CalendarDate
    eater: str
    allowed: list[str] = Field(
        default=[], description="Dishes that everything but its floors allows."
    )
    short: list[str] = Field(default=[], description="How far the best of them falls short.")
    rules: list[RuleLine] = Field(
        default=[], description="Where none is allowed: a smallest set of rules that forbids all."
    )


class Nearest(AnswerPart):
    """What gives way in the week that is nearest to one that keeps every rule."""

    levels: list[PriorityLine] = Field(
        description="How much gives way, what gives way last first: bought lunches, floors in "
        "hundredths, wishes, variety. They count before the priorities."
    )
    bought: list[BoughtLunch] = []
    gave_way: list[GaveWay] = []
    alone: list[LunchAlone] = Field(
        default=[], description="Lunches that the others are not in the way of; not of a change."
    )


class PastEntry(AnswerPart):
    """An entry of the calendar of a day that is past, as the plan of then had it."""

    kind: Literal["buy", "soak", "cook", "freeze", "move", "pack", "use by"]
    key: str = ""
    begins: datetime | CalendarDate
    ends: datetime | CalendarDate
    title: str
    lines: list[str]

    @property
    def day(self) -> date:
        """The day on which it begins."""
        return self.begins.date() if isinstance(self.begins, datetime) else self.begins


class ForkLine(AnswerPart):
    """Weeks fall in two: those in which some counts come to at most so much, then the rest."""

    counts: str = Field(description="Places of the counts whose sum it is.")
    most: int = Field(description="The largest sum of the first half.")


class LeafLine(AnswerPart):
    """An end of a proof's tree: what its numbers ask for cannot be, so no week there is better."""

    adds_up_to: str = Field(description="Above 0, in parts of 2^40: that much is lacking.")
    rows: str = Field(
        description="By what each row is multiplied: 'place:number', in parts of 2^40."
    )
    before: str = Field(
        description="The same of the priorities, this one held below its sum in the plan."
    )
    forks: str = Field(description="The same of what the forks on the way say, from the first on.")


class ProofLine(AnswerPart):
    """A proof for one priority that needs no solver: rows of the week's program, added up."""

    name: str = Field(description="Name of the priority.")
    value: int = Field(description="Its sum in the plan, in the steps that the program counts.")
    adds_up_to: str = Field(
        description="What it proves, in parts of 2^40: no plan as good in the priorities before "
        "has a smaller sum."
    )
    rows: str = Field(
        description="By what each row is multiplied: 'place:number', in parts of 2^40."
    )
    before: str = Field(description="The same of the priorities before, held at their sums.")
    tree: list[ForkLine | LeafLine] = Field(
        default=[],
        description="Where one addition does not reach the plan's value: forks, each before what "
        "is shown of its two halves, down to the ends.",
    )


class Proofs(AnswerPart):
    """What anyone can add up again."""

    program: str = Field(
        description="SHA-256 of the rows that the week's rules write: proofs are of these alone."
    )
    levels: list[ProofLine] = Field(description="In the order of the priorities.")


class PlanFile(AnswerPart):
    """A plan for a week of packed lunches."""

    format: Literal["clearfridge plan 1"] = "clearfridge plan 1"
    status: Literal["optimal", "feasible", "infeasible", "unknown"] = Field(
        description="optimal: every priority is proven. feasible: a limit struck first. "
        "infeasible: no plan is possible. unknown: a limit struck before any plan."
    )
    interrupted: bool = Field(default=False, description="True when the user stopped it.")
    name: str = Field(description="Name of the week.")
    note: str = Field(default="", description="What the week file says of itself.")
    currency: str = ""
    days: list[CalendarDate]
    no_lunch: list[DayOff] = Field(default=[], description="Lunches that are not needed.")
    groups: dict[str, WholeNumber] = Field(
        default={}, description="Entries that stand for several eaters, and for how many."
    )
    guidance: str = Field(default="", description="Whose fridge lives the dates follow.")
    priorities: list[PriorityLine]
    wishes: list[WishLine] = []
    lunches: list[LunchLine]
    bends: Bends | None = Field(
        default=None, description="What each lunch leaves if it falls through, where asked."
    )
    moves: list[FreezerMove] = Field(
        default=[], description="What is frozen and what is thawed, in the order of the days."
    )
    batches: list[BatchInfo] = []
    left_over: LeftOver
    packs: list[PackLine]
    totals: dict[str, float] = Field(description="cost and minutes of the week.")
    unpriced: list[str] = Field(
        default=[], description="What has no price, so that costs are 'at least'."
    )
    conflict: list[RuleLine] = Field(
        default=[], description="A smallest set of rules that cannot hold together."
    )
    nearest: Nearest | None = Field(
        default=None, description="What gives way, where no week keeps every rule."
    )
    cautions: list[str]
    mind: list[str] = Field(
        default=[], description="What must not be missed of them, in a few words."
    )
    changes: list[ChangeLine] = Field(
        default=[], description="What went otherwise while the week ran, in order."
    )
    past: list[PastEntry] = Field(
        default=[],
        description="The calendar of the days before the last change, as it was then.",
    )
    proofs: Proofs | None = Field(
        default=None, description="What of its proof travels with it; only in a saved plan."
    )
    week: dict[str, Any] = Field(description="The week file the plan was made for.")
    seal: str = Field(
        default="",
        description="SHA-256 of all else, as it was written: tells whether it was edited since, "
        "not by whom.",
    )

    @field_serializer("lunches")
    def _together(self, lunches: list[LunchLine]) -> list[LunchLine]:
        """Write as one the lunches in a row that are the same, where an entry is many eaters."""
        written: list[tuple[LunchLine, list[str]]] = []
        for line in lunches:
            if self.groups and written and _of(line, written[-1][0].eater) == written[-1][0]:
                written[-1][1].append(line.eater)
            else:
                written.append((line, []))
        return [line.model_copy(update={"also": also}) if also else line for line, also in written]

    @model_validator(mode="after")
    def _each(self) -> PlanFile:
        """Read what is written as one lunch of several eaters as a lunch of each."""
        if not any(line.also for line in self.lunches):
            return self
        lines = [_of(line, name) for line in self.lunches for name in (line.eater, *line.also)]
        return self.model_copy(update={"lunches": lines})

    @property
    def is_planned(self) -> bool:
        """True where it is a plan, be it that every lunch is bought."""
        all_bought = self.nearest is not None and bool(self.nearest.bought)
        return bool(self.lunches) or (all_bought and self.status in ("optimal", "feasible"))

    def sealed(self) -> PlanFile:
        """Give the same plan with the seal that is its own.

        Returns
        -------
        A copy; its `seal` is the SHA-256, in hexadecimal, of all else that is not as by default.
        """
        # What says no more than its default does is left out: a later field changes no seal.
        data = self.model_dump(mode="json", exclude={"seal"}, exclude_defaults=True)
        digest = hashlib.sha256(json.dumps(data, separators=(",", ":")).encode())
        return self.model_copy(update={"seal": digest.hexdigest()})
