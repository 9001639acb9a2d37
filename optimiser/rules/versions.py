"""A rule in several versions of which one holds: how a program may choose how far a rule goes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from optimiser.board.board import Board
from optimiser.board.rows import Sum
from optimiser.rules.base import Rule


def post_versions(board: Board, versions: Iterable[Rule]) -> list[int]:
    """Post every version of a rule, each in force only where its switch is on; one of them is.

    Parameters
    ----------
    board
        The board of the week.
    versions
        A rule as it is, then as it could be.

    Returns
    -------
    list of int
        Indices of the switches, counts of 0 or 1, in the order of the versions.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.rules.stock import Supply
    >>> from optimiser.solve.program import Program
    >>> board = Program(read_week("minimal")).board
    >>> rules = [Supply("rice and beans", many, "portion") for many in (6, 7)]
    >>> [board.sheet.names[switch] for switch in post_versions(board, rules)]
    ['stock:rice and beans, version 0', 'stock:rice and beans, version 1']
    """
    sheet = board.sheet
    switches: list[int] = []
    for step, version in enumerate(versions):
        switches.append(sheet.count(1, f"{version.key}, version {step}"))
        start = len(sheet.rows)
        version.post(board)
        # Rows of no rule say what words mean: they hold whichever version does.
        sheet.rows[start:] = [
            row if row.rule is None else replace(row, when=switches[-1])
            for row in sheet.rows[start:]
        ]
    sheet.bound(Sum((switch, 1) for switch in switches), low=1, high=1)
    return switches
