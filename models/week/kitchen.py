"""A kitchen and the steps of a prep day, as plain data.

A step takes minutes, perhaps within a range, as a soak does; it may need a pair of hands, trays
in the oven at one temperature, rings of the hob, a blender; it comes after others, with a gap.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import time


@dataclass(frozen=True, slots=True)
class Kitchen:
    """What there is to cook with, and when.

    Attributes
    ----------
    hands
        Pairs of hands.
    oven_trays, rings, blenders
        How many at a time; 0 where there is none.
    starts, ends
        When hands may work on the prep day.
    evening
        When hands may work on the evening before: putting something to soak.
    hot_day
        True where the kitchen is above 32 °C (90 °F): food cools an hour at the most.
    """

    hands: int = 1
    oven_trays: int = 2
    rings: int = 4
    blenders: int = 1
    starts: time = time(9)
    ends: time = time(21)
    evening: tuple[time, time] = (time(18), time(22))
    hot_day: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a recipe.

    Attributes
    ----------
    name
        What other steps call it; unique within its batch.
    said
        What is done, in words.
    least, most
        Minutes it takes; the same unless it may wait.
    oven
        Temperature in °C, or None.
    trays, rings, blenders
        How many of each it takes up.
    after
        Names of the steps it comes after.
    gap
        Least and most minutes between the last of those and this; None for no most.
    """

    name: str
    said: str
    least: int
    most: int
    hands: bool = True
    oven: int | None = None
    trays: int = 0
    rings: int = 0
    blenders: int = 0
    after: tuple[str, ...] = ()
    gap: tuple[int, int | None] = (0, None)

    def uses(self) -> dict[str, int]:
        """Tell how much of each thing it takes up while it lasts."""
        found = {
            "hands": int(self.hands),
            "oven": self.trays,
            "rings": self.rings,
            "blenders": self.blenders,
        }
        return {name: number for name, number in found.items() if number}


@dataclass(frozen=True, slots=True)
class Cooling:
    """How long cooked food may take into the fridge.

    Attributes
    ----------
    minutes
        From the end of cooking.
    source
        Who says so.
    """

    minutes: int
    source: str


LIMITS = {
    "us": Cooling(120, "into the fridge within 2 hours of cooking (USDA FSIS)"),
    "uk": Cooling(90, "cool and into the fridge within 1 to 2 hours (UK FSA)"),
    "strictest": Cooling(90, "cool and into the fridge within 1 to 2 hours (UK FSA)"),
}
HOT = Cooling(60, "above 32 °C into the fridge within 1 hour (USDA FSIS)")
RICE = Cooling(60, "cooked rice cools within 1 hour (NHS, UK FSA)")


def cooling(guidance: str, *, hot: bool, rice: bool) -> Cooling:
    """Give the shortest limit that holds.

    Parameters
    ----------
    guidance
        Whose advice the week follows; the strictest where nobody said.
    hot
        Is the kitchen above 32 °C?
    rice
        Is it cooked rice?
    """
    limits = [LIMITS.get(guidance, LIMITS["strictest"])]
    limits += [HOT] if hot else []
    limits += [RICE] if rice else []
    return min(limits, key=lambda one: one.minutes)


@dataclass(frozen=True, slots=True)
class Placed:
    """A step with its time.

    Attributes
    ----------
    begins, ends
        Minutes from midnight at the start of the day before the prep day.
    """

    batch: str
    step: Step
    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class Timetable:
    """The steps of one prep day in the order of their times.

    Attributes
    ----------
    proven
        True where no timetable ends earlier, or as early and starts later.
    """

    placed: tuple[Placed, ...]
    proven: bool
    limits: dict[str, Cooling] = field(default_factory=dict)
