"""Fridge: what was frozen when it was made is not in the fridge any more.

Before the prep day the plan says how much to freeze. Afterwards that is done: what went into
the freezer comes to a lunch thawed or not at all, and the rest is eaten fresh.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.numbers import counted
from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Fault, KeepsBatchAway, Rule


@dataclass(frozen=True)
class Fridge(KeepsBatchAway):
    """So many portions of a batch were kept in the fridge."""

    family: ClassVar[str] = "fridge"
    portions: int
    frozen: int
    word: str
    gone: int = 0
    earlier: bool = False
    thawed: int = 0

    def sentence(self) -> str:
        """Say how many are where."""
        there = f"{counted(self.portions, self.word)} of {self.batch}"
        if self.earlier:
            fridge = f"{self.portions} in the fridge and " if self.portions else ""
            there = "there is" if (self.portions or self.frozen) == 1 else "there are"
            where = f"{there} {fridge}{self.frozen} in the freezer"
            return f"of {self.batch}, cooked in an earlier week, {where}"
        no_more = [
            f"{counted(number, self.word)} of {self.batch} {'is' if number == 1 else 'are'} {how}"
            for number, how in ((self.gone, "gone"), (self.thawed, "thawed and in no lunch"))
            if number
        ]
        if no_more:
            there = f"{' and '.join(no_more)}; of the others {self.portions}"
        return f"{there} went into the fridge and {self.frozen} into the freezer"

    def post(self, board: Board) -> None:
        """Bound what is eaten from the fridge and what comes from the freezer."""
        fresh, thawed = board.all_portions(self.batch), Sum()
        for slot in board.slots:
            thawed.plus(board.thawed(slot, self.batch))
        fresh.plus(thawed, -1)
        board.sheet.bound(fresh, high=self.portions, rule=self.key)
        board.sheet.bound(thawed, high=self.frozen, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count both."""
        parts = [
            part for lunch in packed.lunches for part in lunch.portions if part.batch == self.batch
        ]
        thawed = sum(part.thawed for part in parts)
        fresh = sum(part.portions for part in parts) - thawed
        if fresh > self.portions:
            what = f"{fresh} eaten fresh, {self.portions} went into the fridge and are not gone"
            yield self.fault(self.batch, what)
        if thawed > self.frozen:
            what = f"{thawed} from the freezer, {self.frozen} went into it"
            yield self.fault(self.batch, what)


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each batch of which it is known how much was frozen.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the batches; none of a batch that the plan is still free to freeze.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "freezer: 2, frozen: 2, yield:")
    >>> print(*(rule.sentence() for rule in rules(every_fault("mine.yaml", text)[0])))
    4 portions of rice and beans went into the fridge and 2 into the freezer
    """
    for batch in week.batches.values():
        if batch.frozen is not None:
            yield Fridge(
                batch.name,
                batch.in_fridge,
                batch.frozen,
                batch.portion_word,
                batch.gone,
                batch.earlier,
                batch.thawed,
            )
