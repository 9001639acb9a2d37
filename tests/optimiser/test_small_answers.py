"""What solving gives back, each claim by the smallest week that shows it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.file.reading import read_week
from optimiser.solve.certificate import digest
from optimiser.solve.cpsat import Status
from optimiser.solve.levelwise import Levelwise
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.schedule import Aim, Link, Task, schedule
from optimiser.solve.week import Changed, by_levels, solve, solve_week, solve_with


def test_programs_that_differ_in_one_bound_are_told_apart() -> None:
    program = Program(read_week("minimal"))
    before = digest(program)
    program.board.sheet.bounds[0] = (0, 99)
    assert digest(program) != before


def test_a_week_without_time_is_not_proven() -> None:
    assert solve(Program(read_week("demo")), seconds=0.0).status is not Status.OPTIMAL


def test_a_week_that_is_stopped_before_it_is_begun_has_no_plan() -> None:
    stop, week = Stop(), read_week("minimal")
    stop.now()
    assert by_levels(Program(week), stop=stop)[2] is None
    assert solve_with(week, [], stop=stop)[1].packed is None


def test_what_was_not_looked_at_has_no_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    real = Levelwise.settle

    def first_alone(self: Levelwise) -> object:
        settled = real(self)
        return replace(settled, status=Status.FEASIBLE, sums=settled.sums[:1], bound=None)

    monkeypatch.setattr(Levelwise, "settle", first_alone)
    status, values, _ = by_levels(Program(read_week("minimal")))
    assert status is Status.FEASIBLE
    assert [value.proven for value in values] == [True, *[False] * (len(values) - 1)]
    assert [value.bound is None for value in values] == [False, *[True] * (len(values) - 1)]


def test_what_is_to_be_least_comes_before_any_priority() -> None:
    week = read_week("minimal")
    _, solved = solve_week(week)
    assert solved.packed is not None
    wanted = replace(week, priorities=["liking"])
    _, other = solve_week(wanted)
    _, again = solve_with(wanted, [], first=[Changed(solved.packed)])
    assert other.packed != solved.packed
    assert again.packed is not None
    assert again.packed.lunches == solved.packed.lunches


# -- timetables ------------------------------------------------------------------------------

DAY = ((0, 100),)


def test_what_is_over_in_time_begins_in_time_however_long_it_lasts() -> None:
    tasks = [Task("boil", 10, 10, DAY, {}), Task("fill", 5, 5, DAY, {})]
    late = [Aim(first=("fill",))]
    for over, begins in ((None, 95), (20, 25), (5, 10)):
        made = schedule(tasks, [Link("boil", "fill", over=over)], {}, [Aim(last=("boil",)), *late])
        assert made.times is not None
        assert (made.times["boil"], made.times["fill"][0]) == ((0, 10), begins)
