"""Which options go with which servings, said in rows that a relaxation sees too.

What a lunch has at least is one row, and a relaxation keeps it by half a rich serving beside half a
poor one, each with the cheapest sides. A whole lunch is one plate: a poor serving has to have one
of the rich options. So servings that go with these options of a choice alone come no more often
than these options do. Where a dish offers one choice, such rows say all that there is to say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import prod
from typing import TypeAlias

from optimiser.board.board import MOST_PLATES, Board, Slot
from optimiser.board.rows import Row

_Fits: TypeAlias = "dict[int, frozenset[int]]"
"""For each serving's count, the counts of the options of a choice that go with it."""

_FAR = 2**62
MOST_SETS = 16
"""Of more different sets of options, what two of them have together is left out."""


@dataclass(frozen=True, slots=True)
class _Limit:
    """A row over one lunch, for its servings and options; all else is as good as it can be."""

    weights: dict[int, int]
    low: int
    high: int


def rows_of_plates(board: Board) -> list[Row]:
    """Say which options go with which servings, by the rows over one lunch.

    Parameters
    ----------
    board
        A board with all its rules posted.

    Returns
    -------
    list of Row
        Whatever keeps the board's own rows keeps these too.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.program import Program
    >>> rows = rows_of_plates(Program(read_week("family")).board)
    >>> {(row.low, row.high) for row in rows}
    {(None, 0)}
    """
    limits = _limits(board)
    return [
        row for slot in board.slots if slot.size == 1 for row in _rows(board, slot, limits[slot.at])
    ]


def _limits(board: Board) -> list[list[_Limit]]:
    """Find for each lunch the rows that hold its servings together with its options."""
    home: dict[int, tuple[int, int]] = {}
    for at, (servings, options) in enumerate(
        zip(board.serving_counts, board.option_counts, strict=True)
    ):
        home |= dict.fromkeys(servings.values(), (at, 0)) | dict.fromkeys(options.values(), (at, 1))
    limits: list[list[_Limit]] = [[] for _ in board.slots]
    for row in board.sheet.rows:
        if row.rule is None or row.when is not None:
            continue
        homes = {home[count] for count, _ in row.terms if count in home}
        if len(homes) == 2 and len({at for at, _ in homes}) == 1:
            limits[next(iter(homes))[0]].append(_limit(board, row, home))
    return limits


def _limit(board: Board, row: Row, home: dict[int, tuple[int, int]]) -> _Limit:
    weights, least, most = {}, 0, 0
    for count, weight in row.terms:
        if count in home:
            weights[count] = weight
        else:
            ends = [weight * end for end in board.sheet.bounds[count]]
            least, most = least + min(ends), most + max(ends)
    low = -_FAR if row.low is None else row.low - most
    return _Limit(weights, low, _FAR if row.high is None else row.high - least)


def _rows(board: Board, slot: Slot, limits: Sequence[_Limit]) -> Iterator[Row]:
    if not limits:
        return
    for options, fits in _fits(board, slot, limits).items():
        sets = set(fits.values())
        if len(sets) <= MOST_SETS:
            sets |= {some | more for some, more in combinations(sets, 2)}
        for few in sorted(sets - {frozenset(options)}, key=sorted):
            bound = [(count, 1) for count, fitting in fits.items() if fitting <= few]
            yield Row((*bound, *((count, -1) for count in sorted(few))), None, 0, None)


def _fits(board: Board, slot: Slot, limits: Sequence[_Limit]) -> dict[tuple[int, ...], _Fits]:
    """Give for the options of each choice which of them go with each serving."""
    choices: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for (dish, choice, _), count in board.option_counts[slot.at].items():
        choices[dish][choice].append(count)
    sides = {dish: [tuple(of) for of in by.values()] for dish, by in choices.items()}
    plates = {
        dish: [(plate, _added(limits, plate)) for plate in product(*by)]
        for dish, by in sides.items()
        if prod(map(len, by)) <= MOST_PLATES
    }
    known: dict[tuple[str, tuple[int, ...]], list[frozenset[int]]] = {}
    fits: dict[tuple[int, ...], _Fits] = defaultdict(dict)
    for serving, count in board.serving_counts[slot.at].items():
        dish, own = serving.dish, _added(limits, (count,))
        if dish in plates and (dish, own) not in known:
            fitting = [plate for plate, added in plates[dish] if _fit(limits, own, added)]
            known[dish, own] = [frozenset(of) for of in zip(*fitting, strict=True)]
        for at, options in enumerate(sides.get(dish, [])):
            going = known[dish, own] if dish in plates else [frozenset(options)] * (at + 1)
            fits[options][count] = going[at] if going else frozenset()
    return fits


def _fit(limits: Sequence[_Limit], own: Sequence[int], added: Sequence[int]) -> bool:
    for limit, mine, more in zip(limits, own, added, strict=True):
        if not limit.low <= mine + more <= limit.high:
            return False
    return True


def _added(limits: Sequence[_Limit], counts: Sequence[int]) -> tuple[int, ...]:
    return tuple(sum(limit.weights.get(count, 0) for count in counts) for limit in limits)
