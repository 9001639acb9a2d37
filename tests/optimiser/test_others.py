"""Other weeks and compromises: as good, as far apart as can be, and every best compromise."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from models.file.reading import read_week
from models.week.week import Week
from models.words.errors import InputError
from models.words.priorities import TIE_BREAK
from optimiser.report.others import text
from optimiser.report.tradeoff import as_svg
from optimiser.report.tradeoff import text as trade_off_text
from optimiser.rules import faults_of
from optimiser.weeks.others import others, trade_off
from tests.depth import sized

from ..oracle import plain
from ..oracle.highs import Line
from ..weeks import TINY
from .other_ways import Asked, most, weeks


def test_other_weeks_are_as_good_and_keep_every_rule() -> None:
    seen = 0
    for week, planned in weeks(sized(1, 4), shift=51):
        answer, plans = others(week, 3)
        values = {value.name: value.value for value in planned.values}
        for line, solved in zip(answer.weeks, plans, strict=True):
            assert solved.packed is not None
            assert list(faults_of(week, solved.packed)) == []
            reached = {value.name: value.value for value in solved.values}
            assert all(reached[name] == values[name] for name in answer.equal)
            assert line.differs == sum(not lunch.same for lunch in line.lunches)
            seen += line.number > 0
    assert seen > sized(5, 20)


def test_each_is_as_far_from_those_before_as_can_be() -> None:
    looked_at = 0
    for week, _ in weeks(sized(1, 3), shift=52):
        answer, plans = others(week, 2)
        for at in range(1, len(answer.weeks)):
            before = [solved.packed for solved in plans[:at] if solved.packed is not None]
            mine = plans[at].packed
            assert mine is not None
            dishes = [{(x.eater, x.day): x.dish for x in packed.lunches} for packed in before]
            now = {(x.eater, x.day): x.dish for x in mine.lunches}
            nearest = min(sum(now[key] != dish[key] for key in now) for dish in dishes)
            oracle = Asked(week)
            apart = oracle.model.sheet.column(len(week.lunches))
            for by_lunch in dishes:
                row = Line().add(apart)
                for meal in oracle.model.meals:
                    dish = by_lunch[meal.lunch.eater, meal.lunch.day]
                    row.add(meal.dish[dish], 1)
                # apart + lunches that are the same <= all lunches
                oracle.model.sheet.row(row, high=len(week.lunches))
            oracle.priorities(answer.equal)
            assert oracle.least(Line().add(apart), more=True) == nearest
            looked_at += 1
        if answer.exhausted:
            assert len(answer.weeks) <= 2
    assert looked_at > sized(4, 15)


def front(week: Week, first: str, second: str) -> list[tuple[Fraction, Fraction]]:
    """Find every best compromise by HiGHS: the least of one, then of the other, then on."""
    pairs: list[tuple[Fraction, Fraction]] = []
    better = None
    while len(pairs) < 40:
        oracle = Asked(week)
        line, more = oracle.model.value(second)
        if better is not None:
            # A step is at least a hundred-thousandth of anything that is counted.
            step = Fraction(1, 100_000)
            if more:
                oracle.model.sheet.row(line, low=better + step)
            else:
                oracle.model.sheet.row(line, high=better - step)
        least = oracle.priority(first)
        if least is None:
            return pairs
        other = oracle.priority(second)
        assert other is not None
        pairs.append((least, other))
        better = other
    return pairs


@pytest.mark.parametrize(
    ("first", "second"), [("left_over", "minutes"), ("liking", "cost"), ("cost", "left_over")]
)
def test_a_front_is_that_of_epsilon_constraint_in_highs(first: str, second: str) -> None:
    points = 0
    for week, _ in weeks(sized(3, 7), TINY, shift=53):
        if not {first, second} <= set(week.priorities):
            continue
        answer = trade_off(week, first, second)
        mine = [(point.first, point.second) for point in answer.points]
        theirs = [
            (float(mine_first), float(other)) for mine_first, other in front(week, first, second)
        ]
        assert mine == [pytest.approx(pair, abs=1e-4) for pair in theirs]
        assert all(point.proven for point in answer.points)
        points += len(mine)
    assert points >= sized(6, 15)


@pytest.mark.parametrize(("first", "second"), [("left_over", "liking"), ("cost", "freshness")])
def test_a_front_is_that_of_trying_every_week(first: str, second: str) -> None:
    points = 0
    for week, _ in weeks(sized(4, 12), TINY, shift=55):
        if not {first, second} <= set(week.priorities):
            continue
        try:
            theirs = plain.front(week, first, second, 3_000)
        except plain.TooManyError:
            continue
        answer = trade_off(week, first, second)
        mine = [(point.first, point.second) for point in answer.points]
        assert mine == [
            pytest.approx((float(one), float(other)), abs=1e-4) for one, other in theirs
        ]
        points += len(mine)
    assert points > sized(2, 8)


def test_no_point_of_a_front_is_better_in_both() -> None:
    for week, _ in weeks(sized(1, 3), shift=54):
        names = [name for name in week.priorities if name != TIE_BREAK][:2]
        if len(names) < 2:
            continue
        answer = trade_off(week, *names, most=30)
        sign = [-1 if most(name) else 1 for name in names]
        pairs = [(sign[0] * point.first, sign[1] * point.second) for point in answer.points]
        assert pairs == sorted(pairs)
        assert all(a[1] > b[1] for a, b in pairwise(pairs))


def test_a_list_of_compromises_may_be_cut() -> None:
    week = read_week("demo")
    all_ = trade_off(week, "liking", "cost")
    some = trade_off(week, "liking", "cost", most=2)
    assert (len(some.points), some.cut, all_.cut) == (2, True, False)
    assert some.points == all_.points[:2]
    assert "There are more: --most asks for them." in trade_off_text(some)
    assert "There are more" not in trade_off_text(all_)


def test_the_plan_is_marked_where_it_is_a_compromise() -> None:
    week = read_week("demo")
    answer = trade_off(week, "left_over", "repeats")
    assert [point.plan for point in answer.points] == [True]
    assert "(the plan)" in trade_off_text(answer)
    assert "One week is the best in both." in trade_off_text(answer)
    drawing = as_svg(trade_off(week, "liking", "cost"))
    assert drawing.startswith("<svg")
    assert "<script" not in drawing


def test_the_same_is_found_every_time() -> None:
    week = read_week("starter")
    assert others(week, 4)[0] == others(week, 4)[0]
    assert trade_off(week, "cost", "left_over") == trade_off(week, "cost", "left_over")


def test_a_table_of_weeks_fits_the_terminal() -> None:
    for name in ("demo", "starter"):
        printed = text(others(read_week(name), 5)[0])
        assert max(map(len, printed.splitlines())) <= 80
        assert "week 1: " in printed


def test_when_there_is_no_other_week_it_says_so() -> None:
    answer, _ = others(read_week("demo"), 3, equal=7)
    printed = " ".join(text(answer).split())
    assert answer.exhausted == ("There are no more" in printed or "No other week" in printed)


@pytest.mark.parametrize("equal", [-1, 8, 99])
def test_more_priorities_than_there_are_is_refused(equal: int) -> None:
    with pytest.raises(InputError, match="7 priorities"):
        others(read_week("demo"), 1, equal=equal)


def test_one_priority_twice_is_refused() -> None:
    with pytest.raises(InputError, match="twice"):
        trade_off(read_week("demo"), "cost", "cost")
