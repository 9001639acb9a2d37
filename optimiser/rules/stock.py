"""Stock: every portion of a batch is eaten or counted as left over.

It has no weaker version: to cook more or fewer is another week, not a looser rule.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.numbers import counted
from optimiser.board.board import Board
from optimiser.rules.base import Edit, Fault, OfBatch, Rule


@dataclass(frozen=True)
class Supply(OfBatch):
    """A batch comes to so many portions and no more."""

    family: ClassVar[str] = "stock"
    prep: ClassVar[bool] = True
    portions: int
    word: str
    gone: int = 0
    earlier: bool = False

    def sentence(self) -> str:
        """Say how much there is."""
        number = self.portions - self.gone if self.earlier else self.portions
        there = "there is" if number == 1 else "there are"
        sentence = f"{there} {counted(number, self.word)} of {self.batch}"
        if self.earlier:
            return f"{sentence}, cooked in an earlier week"
        return f"{sentence}, {self.gone} of them gone" if self.gone else sentence

    def post(self, board: Board) -> None:
        """Bind what is eaten and what is left to what there is."""
        total = board.all_portions(self.batch).plus(board.left(self.batch))
        there = self.portions - self.gone
        board.sheet.bound(total, low=there, high=there, rule=self.key)

    def faults(self, week: Week, packed: PackedWeek) -> Iterator[Fault]:
        """Count the portions packed."""
        left = self.portions - self.gone - sum(lunch.of(self.batch) for lunch in packed.lunches)
        if left < 0:
            packed_in_all = counted(self.portions - self.gone - left, self.word)
            gone = f", {self.gone} gone" if self.gone else ""
            yield self.fault(self.batch, f"{packed_in_all} packed, {self.portions} cooked{gone}")
        for lunch in packed.lunches:
            for part in lunch.portions:
                if part.batch == self.batch and part.portions < 0:
                    yield self.fault(self.batch, f"{part.portions} packed on {lunch.day}")

    def others(self, span: int) -> Iterator[Rule]:
        """Give the same batch cooked in other numbers, the nearest first.

        Parameters
        ----------
        span
            How far, in portions, to go up and down.

        Yields
        ------
        Rule
            One fewer, one more, two fewer and so on, never less than one portion that is there;
            none of a batch of an earlier week.
        """
        # What an earlier week cooked cannot be cooked otherwise.
        for step in range(1, 1 if self.earlier else span + 1):
            if self.portions - self.gone > step:
                yield replace(self, portions=self.portions - step)
            yield replace(self, portions=self.portions + step)

    def edit(self, week: Week) -> Edit:
        """Cook so many this time."""
        was = week.batches[self.batch].portions
        cooked = counted(self.portions, self.word)
        return Edit(
            ("batches", self.batch, "cook"),
            cooked,
            counted(was, self.word),
            f"cook {cooked} of {self.batch}, not {was}",
        )


def rules(week: Week) -> Iterator[Rule]:
    """One rule for each batch.

    Parameters
    ----------
    week
        The week.

    Yields
    ------
    Rule
        In the order of the batches.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> print(*(rule.sentence() for rule in rules(read_week("minimal"))))
    there are 6 portions of rice and beans
    """
    for batch in week.batches.values():
        yield Supply(batch.name, batch.portions, batch.portion_word, batch.gone, batch.earlier)
