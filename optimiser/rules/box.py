"""Boxes: what goes in has to fit, and wet may not lie beside crisp except in a pot.

Food is taken to be divisible: a salad may fill one compartment and spill into the
next. A pot takes only what is wet. What fits is then a matter of sums: the wet that
the pots do not take, the crisp and the plain must fit the compartments, and the
compartments split into those with crisp and those with wet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from itertools import combinations
from typing import ClassVar

from models.week import sums
from models.week.packed import PackedLunch, PackedWeek
from models.week.week import Box, Texture, Week
from models.words.days import day_name
from models.words.numbers import plain
from models.words.units import MILLILITRE, Quantity, magnitude, quantity, sayable
from optimiser.board import scale
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Edit, Fault, OfEater, Rule


@dataclass(frozen=True)
class _BoxRule(OfEater):
    """What both rules of a box share."""

    box: str
    compartments: tuple[Quantity, ...]
    pots: tuple[Quantity, ...]

    @property
    def subject(self) -> str:
        """Box and eater."""
        return f"{self.box} of {self.eater}"

    @property
    def pot_room(self) -> Decimal:
        """Room of all pots in mL."""
        return sum((magnitude(pot, MILLILITRE) for pot in self.pots), Decimal(0))

    @property
    def room(self) -> Decimal:
        """Room of all compartments in mL."""
        return sum((magnitude(room, MILLILITRE) for room in self.compartments), Decimal(0))

    def lunches(
        self, week: Week, packed: PackedWeek
    ) -> Iterator[tuple[PackedLunch, Decimal, Decimal, Decimal]]:
        """Give each lunch with its wet out of pots, crisp and plain, in mL."""
        for lunch in packed.of(self.eater):
            wet, crisp, other = (
                sums.volume(week, lunch, texture)
                for texture in (Texture.WET, Texture.CRISP, Texture.PLAIN)
            )
            yield lunch, max(Decimal(0), wet - self.pot_room), crisp, other

    def scaled(self, room: Decimal) -> int:
        """Scale a room in mL as the program does."""
        return scale.down(quantity(1, MILLILITRE) * room, MILLILITRE)

    def weaker(self) -> tuple[Rule, ...]:
        """Make the compartments a tenth larger, or the pots."""
        wider = replace(self, compartments=tuple(map(_larger, self.compartments)))
        return (
            (wider, replace(self, pots=tuple(map(_larger, self.pots)))) if self.pots else (wider,)
        )

    def edits(self, week: Week) -> tuple[Edit, ...]:
        """Take a box with larger compartments or pots."""
        box = week.boxes[self.box]
        edits = []
        for key, what, was, now in (
            ("compartments", "a box", box.compartments, self.compartments),
            ("pots", "pots", box.pots, self.pots),
        ):
            if was != now:
                sizes = " and ".join(sayable(room) for room in now)
                edits.append(
                    Edit(
                        ("boxes", self.box, key),
                        [f"{plain(magnitude(room, MILLILITRE), 0)} mL" for room in now],
                        " and ".join(sayable(room) for room in was),
                        f"{what} of {sizes} for {self.owners(week)}",
                    )
                )
        return tuple(edits)

    def owners(self, week: Week) -> str:
        """Name everyone who packs such a box."""
        return " and ".join(name for name, eater in week.eaters.items() if eater.box == self.box)


@dataclass(frozen=True)
class BoxRoom(_BoxRule):
    """A lunch fits its box."""

    family: ClassVar[str] = "box room"
    prep: ClassVar[bool] = True

    def sentence(self) -> str:
        """Say what the box holds."""
        text = f"the {self.box} of {self.eater} holds {plain(self.room)} mL"
        return text + (f" and {plain(self.pot_room)} mL in pots" if self.pots else "")

    def post(self, board: Board) -> None:
        """Bound what lies in the compartments."""
        pots, room = self.scaled(self.pot_room), self.scaled(self.room)
        for slot in board.slots_for(self.eater):
            total = Sum().plus(board.out_of_pots(slot, pots))
            for texture in (Texture.CRISP, Texture.PLAIN):
                total.plus(board.volume(slot, texture))
            board.sheet.bound(total, high=room * slot.size, rule=self.key)
            dry = Sum()
            for texture in (Texture.CRISP, Texture.PLAIN):
                dry.plus(board.volume(slot, texture))
            least_wet = board.best_with(slot, board.volume(slot, Texture.WET), most=False)
            least_dry = board.best_with(slot, dry, most=False)
            too_big = (
                serving
                for serving, wet in least_wet.items()
                if max(0, wet - pots) + least_dry[serving] > room
            )
            board.bar(slot, too_big, self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Sum what lies in the compartments."""
        for lunch, wet, crisp, other in self.lunches(week, packed):
            if wet + crisp + other > self.room:
                yield self.fault(
                    f"{day_name(lunch.day)}, {self.eater}",
                    f"{plain(wet + crisp + other)} mL in a box of {plain(self.room)} mL",
                )


@dataclass(frozen=True)
class WetBesideCrisp(_BoxRule):
    """What is wet does not lie in one compartment with what is crisp."""

    family: ClassVar[str] = "wet beside crisp"
    prep: ClassVar[bool] = True

    def sentence(self) -> str:
        """Say the rule with what the pots hold."""
        if not self.pots:
            return f"in the {self.box} of {self.eater} wet may not lie beside crisp"
        return (
            f"in the {self.box} of {self.eater} wet may not lie beside crisp, "
            f"and the pots hold {plain(self.pot_room)} mL"
        )

    def splits(self) -> list[tuple[Decimal, Decimal]]:
        """List every useful split of the compartments: room for crisp, room for wet.

        Returns
        -------
        list of tuple of Decimal and Decimal
            Pairs in mL that come to the whole room each, the least for crisp first; two splits of
            the same rooms are one.
        """
        rooms = [magnitude(room, MILLILITRE) for room in self.compartments]
        crisp_rooms = {
            sum(chosen, Decimal(0))
            for size in range(len(rooms) + 1)
            for chosen in combinations(rooms, size)
        }
        return [(crisp, self.room - crisp) for crisp in sorted(crisp_rooms)]

    def post(self, board: Board) -> None:
        """Choose a split for each lunch; crisp and wet each fit their side."""
        pots = self.scaled(self.pot_room)
        splits = self.splits()
        for slot in board.slots_for(self.eater):
            way, crisp, wet = Sum(), board.volume(slot, Texture.CRISP), Sum()
            wet.plus(board.out_of_pots(slot, pots))
            for for_crisp, for_wet in splits:
                split = board.sheet.count(slot.size, f"{slot.day} crisp in {for_crisp}")
                way.add(split)
                crisp.add(split, -self.scaled(for_crisp))
                wet.add(split, -self.scaled(for_wet))
            board.sheet.bound(way, low=slot.size, high=slot.size, rule=self.key)
            board.sheet.bound(crisp, high=0, rule=self.key)
            board.sheet.bound(wet, high=0, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Try every split."""
        for lunch, wet, crisp, _ in self.lunches(week, packed):
            if not any(crisp <= room and wet <= rest for room, rest in self.splits()):
                yield self.fault(f"{day_name(lunch.day)}, {self.eater}", self._said(wet, crisp))

    def _said(self, wet: Decimal, crisp: Decimal) -> str:
        """Say what does not go apart, or is too much by itself."""
        wet_food = f"{plain(wet)} mL of wet food outside pots"
        if wet and crisp:
            return f"{wet_food} has to lie beside {plain(crisp)} mL of crisp"
        what = wet_food if wet else f"{plain(crisp)} mL of crisp food"
        return f"{what} has {plain(self.room)} mL"


def _larger(room: Quantity) -> Quantity:
    """Give a tenth more room, in whole centilitres."""
    tenth = magnitude(room, MILLILITRE) * Decimal("1.1") / 10
    return quantity(tenth.to_integral_value(ROUND_CEILING) * 10, MILLILITRE)


def rules(week: Week) -> Iterator[Rule]:
    """Two rules for each eater with a box.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        Of each eater with a box the room, then wet beside crisp.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(next(rule.sentence() for rule in rules(read_week("starter"))))
    the lunch box of Me holds 1000 mL and 60 mL in pots
    """
    for eater in week.eaters.values():
        if eater.box is not None:
            box: Box = week.boxes[eater.box]
            yield BoxRoom(eater.name, box.name, box.compartments, box.pots)
            yield WetBesideCrisp(eater.name, box.name, box.compartments, box.pots)
