"""Rows that say which options go with which servings, held against the rows they follow from."""

from __future__ import annotations

import pytest
from hypothesis import given, seed

from models.file.reading import week_of
from optimiser.board.board import Board, each_alone
from optimiser.board.plates import rows_of_plates
from optimiser.board.rows import Row, Sum
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.relaxation import Relaxation
from optimiser.solve.totals import with_totals
from tests import weeks
from tests.depth import repeatable, sized
from tests.households import Household
from tests.weeks import SMALL, THEMES, WeekData, document_of


@pytest.mark.parametrize("by_dish", [False, True])
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme or "all")
def test_no_week_that_keeps_all_rows_breaks_one_of_plates(theme: str, by_dish: bool) -> None:
    told = 0

    @seed(THEMES.index(theme))
    @repeatable(sized(6, 60))
    @given(data=weeks.files(SMALL, theme))
    def check(data: WeekData) -> None:
        nonlocal told
        week = week_of(document_of(data))
        board = Board(week, each_alone(week), by_dish=by_dish)
        assert Program(week, board=board).plates == rows_of_plates(board)
        model = cpsat.model_of(board.sheet)
        for row in rows_of_plates(board):
            broken = [Row.of(Sum(row.terms), low=1)]
            assert cpsat.solve(model, None, extra=broken).status is Status.INFEASIBLE
            told += 1

    check()
    assert told or theme


@pytest.mark.parametrize(("name", "level"), [("3,7,20,5,1", "thawed"), ("3,5,12,3,1", "cost")])
def test_with_them_a_relaxation_tells_more(name: str, level: str) -> None:
    program = Program(Household.named(name).week())
    exact = []
    for rows in ([], program.plates):
        sheet = with_totals(program.board, rows).sheet
        relaxation = Relaxation(sheet, [level.total for level in program.levels])
        for at, before in enumerate(program.levels):
            bound = relaxation.least(before.total)
            assert bound is not None
            if before.name == level:
                exact.append(bound.exact)
                break
            relaxation.ceiling(at, bound.least)
    assert exact[0] < exact[1]
