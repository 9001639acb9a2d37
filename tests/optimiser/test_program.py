"""The arithmetic under every proof: sums, rows, rounding, and priorities folded into one.

A strict order of priorities is kept by weights. Were one weight too small, a later priority
would overrule an earlier one and the solver would prove the wrong week best; nothing else
would look amiss.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.file.reading import read_week, week_of
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from models.words.units import GRAM, MILLILITRE, magnitude, quantity
from optimiser.board import scale
from optimiser.board.board import alike
from optimiser.board.rows import Row, Sheet, Sum
from optimiser.priorities import PRIORITIES
from optimiser.solve import cpsat
from optimiser.solve.limits import Limit
from optimiser.solve.program import LARGEST, Level, Program, Stage, fold
from optimiser.solve.week import Solved, solve
from tests.depth import sized
from tests.optimiser.asking import drawn, keeps_every_row, steps
from tests.weeks import SMALL, document_of

# -- folding ----------------------------------------------------------------------


@st.composite
def level_at(draw: st.DrawFn, at: int) -> Level:
    """Draw a level whose sum hangs on one count, so that it can be set to anything."""
    priority = list(PRIORITIES.values())[at]
    step = draw(st.integers(1, 40))
    low = draw(st.integers(-1000, 1000))
    span = draw(st.integers(0, 60))
    # What a bound allows need not lie on the grid.
    high = low + span * step + draw(st.integers(0, step - 1))
    return Level(priority, Sum([(at, step)], low), low, high, step)


def levels() -> st.SearchStrategy[list[Level]]:
    """Draw one to all levels."""
    many = st.integers(1, len(PRIORITIES))
    return many.flatmap(lambda most: st.tuples(*map(level_at, range(most))).map(list))


@st.composite
def levels_and_values(draw: st.DrawFn, times: int) -> tuple[list[Level], list[list[int]]]:
    """Draw levels, and values of the counts behind them, several times over."""
    drawn_levels = draw(levels())
    one = st.tuples(*(st.integers(0, level.span) for level in drawn_levels)).map(list)
    return drawn_levels, [draw(one) for _ in range(times)]


def sums_of(folded: list[Level], counts: list[int]) -> list[int]:
    return [level.total.value(counts) for level in folded]


def by_name(folded: list[Level], counts: list[int]) -> dict[str, int]:
    return {level.name: level.total.value(counts) for level in folded}


@given(levels_and_values(1))
def test_what_was_folded_is_read_back(drawn_levels: tuple[list[Level], list[list[int]]]) -> None:
    folded, (counts,) = drawn_levels
    stage = fold(folded)
    value = stage.total.value(counts)
    assert stage.folded(by_name(folded, counts)) == value
    assert stage.split(value) == sums_of(folded, counts)
    assert value >= 0


@given(levels_and_values(2))
def test_folding_keeps_the_strict_order(drawn_levels: tuple[list[Level], list[list[int]]]) -> None:
    folded, (one, other) = drawn_levels
    stage = fold(folded)
    first, second = stage.total.value(one), stage.total.value(other)
    assert (first < second) == (sums_of(folded, one) < sums_of(folded, other))
    assert (first == second) == (sums_of(folded, one) == sums_of(folded, other))


@given(levels())
def test_the_ends_of_a_fold_are_the_ends_of_its_levels(folded: list[Level]) -> None:
    stage = fold(folded)
    tops = [level.low + level.span * level.step for level in folded]
    assert stage.split(0) == [level.low for level in folded]
    top = stage.folded(dict(zip((level.name for level in folded), tops, strict=True)))
    assert stage.split(top) == tops
    # No folded value in between is without a meaning, nor does any stand for two.
    size = 1
    for level in folded:
        size *= level.span + 1
    assert top == size - 1


@given(levels())
def test_each_level_outweighs_all_after_it(folded: list[Level]) -> None:
    stage = fold(folded)
    for at, weight in enumerate(stage.weights):
        after = zip(stage.levels[at + 1 :], stage.weights[at + 1 :], strict=True)
        assert weight > sum(level.span * other for level, other in after)


# -- sums and rows ----------------------------------------------------------------

COUNTS = 5


def sums() -> st.SearchStrategy[Sum]:
    terms = st.lists(st.tuples(st.integers(0, COUNTS - 1), st.integers(-50, 50)), max_size=8)
    return st.builds(Sum, terms, st.integers(-100, 100))


def counts_of(values: st.SearchStrategy[int]) -> st.SearchStrategy[list[int]]:
    return st.lists(values, min_size=COUNTS, max_size=COUNTS)


@given(sums(), sums(), st.integers(-9, 9), counts_of(st.integers(-20, 20)))
def test_adding_sums_adds_their_values(one: Sum, other: Sum, times: int, values: list[int]) -> None:
    expected = one.value(values) + times * other.value(values)
    before = other.value(values)
    total = one.plus(other, times)
    assert total is one
    assert total.value(values) == expected
    assert other.value(values) == before or times == 0


@given(sums(), st.integers(0, COUNTS - 1), st.integers(-9, 9), counts_of(st.integers(-20, 20)))
def test_adding_a_count_adds_its_value(
    total: Sum, count: int, weight: int, values: list[int]
) -> None:
    expected = total.value(values) + weight * values[count]
    assert total.add(count, weight).value(values) == expected


@given(st.lists(st.tuples(st.integers(0, COUNTS - 1), st.integers(-50, 50)), max_size=8))
def test_terms_of_one_count_are_gathered(terms: list[tuple[int, int]]) -> None:
    total = Sum(terms)
    for count in range(COUNTS):
        assert total.terms.get(count, 0) == sum(weight for at, weight in terms if at == count)


@given(
    sums(),
    st.lists(st.tuples(st.integers(-9, 9), st.integers(0, 9)), min_size=COUNTS, max_size=COUNTS),
    st.data(),
)
def test_no_sum_leaves_its_reach(
    total: Sum, bounds: list[tuple[int, int]], data: st.DataObject
) -> None:
    sheet = Sheet()
    indices = [sheet.count(low + more, "a count", low) for low, more in bounds]
    assert indices == list(range(COUNTS))
    low, high = sheet.reach(total)
    values = [data.draw(st.integers(least, least + more)) for least, more in bounds]
    assert low <= total.value(values) <= high
    # Both ends are met, each count being free of the others.
    ends = [(least, least + more) for least, more in bounds]
    weights = [total.terms.get(at, 0) for at in range(COUNTS)]
    least_of = [
        pair[0] if weight > 0 else pair[1] for pair, weight in zip(ends, weights, strict=True)
    ]
    most_of = [
        pair[1] if weight > 0 else pair[0] for pair, weight in zip(ends, weights, strict=True)
    ]
    assert (total.value(least_of), total.value(most_of)) == (low, high)


@given(
    sums(),
    st.none() | st.integers(-200, 200),
    st.none() | st.integers(-200, 200),
    counts_of(st.integers(0, 5)),
)
def test_a_row_bounds_the_sum_with_its_constant(
    total: Sum, low: int | None, high: int | None, values: list[int]
) -> None:
    sheet = Sheet()
    sheet.bound(total, low=low, high=high, rule="a rule")
    (row,) = sheet.rows
    assert row.rule == "a rule"
    value = total.value(values)
    within = (low is None or low <= value) and (high is None or value <= high)
    assert keeps_every_row([row], values) == within


def test_a_row_without_a_rule_says_what_words_mean() -> None:
    sheet = Sheet()
    sheet.bound(Sum([(0, 1)], 3), high=5)
    assert sheet.rows == [Row(((0, 1),), None, 2, None)]


# -- rounding ---------------------------------------------------------------------

amounts = st.decimals("0", "5000", places=6)
shares = st.decimals("0", "20", places=4)


@given(amounts, shares, st.sampled_from([GRAM, MILLILITRE]))
def test_rounding_goes_to_the_side_it_says(amount: Decimal, times: Decimal, unit: str) -> None:
    scaled = quantity(amount, unit)
    exact = Fraction(magnitude(scaled, unit)) * Fraction(times) * scale.PER_UNIT
    down, up = scale.down(scaled, unit, times), scale.up(scaled, unit, times)
    assert down <= exact <= up
    # Less than one step away, and exact where it can be.
    assert exact - down < 1
    assert up - exact < 1
    assert up - down == (0 if exact.denominator == 1 else 1)


@given(st.decimals("0", "100000", places=7))
def test_money_is_rounded_up(amount: Decimal) -> None:
    exact = Fraction(amount) * scale.PER_MONEY
    assert 0 <= scale.money(amount) - exact < 1


@given(st.lists(st.tuples(amounts, shares), max_size=6))
def test_rounded_parts_lie_on_the_safe_side_of_their_sum(
    parts: list[tuple[Decimal, Decimal]],
) -> None:
    exact = sum((Fraction(amount) * Fraction(times) for amount, times in parts), Fraction(0))
    least = sum(scale.down(quantity(amount, GRAM), GRAM, times) for amount, times in parts)
    most = sum(scale.up(quantity(amount, GRAM), GRAM, times) for amount, times in parts)
    assert least <= exact * scale.PER_UNIT <= most
    assert most - least <= len(parts)


# -- programs of real weeks -------------------------------------------------------

READY = ("demo", "short", "starter", "family")


@cache
def weeks() -> tuple[Week, ...]:
    random = [week_of(document_of(data)) for data in drawn(SMALL, sized(4, 12), 4)]
    return (*(read_week(name) for name in READY[:3]), *random)


@cache
def solved_weeks() -> tuple[tuple[Week, Program, Solved], ...]:
    programs = [(week, Program(week)) for week in weeks()]
    solved = [(week, program, solve(program)) for week, program in programs]
    return tuple(one for one in solved if one[2].packed is not None)


def test_real_weeks_lie_within_the_reach_and_on_the_grid_of_each_level() -> None:
    assert len(solved_weeks()) >= sized(9, 30)
    for week, program, solved in solved_weeks():
        assert solved.counts is not None
        assert solved.packed is not None
        for level in program.levels:
            value = level.total.value(solved.counts)
            assert level.low <= value <= level.high, level.name
            assert (value - level.low) % level.step == 0, level.name
            # The program's sum and the lunches say the same.
            assert steps(level, week, solved.packed) == value, level.name


def test_real_weeks_keep_the_rows_and_bounds_of_their_programs() -> None:
    for _, program, solved in solved_weeks():
        assert solved.counts is not None
        assert keeps_every_row(program.rows, solved.counts)
        for value, (low, high) in zip(solved.counts, program.board.sheet.bounds, strict=True):
            assert low <= value <= high


def test_the_worst_weeks_lie_within_reach_too() -> None:
    # The best week hugs one end of every level; the worst one tries the other.
    tried = 0
    for week in weeks()[:24]:
        program = Program(week)
        model = cpsat.model_of(program.board.sheet)
        for level in program.levels:
            worst = Sum().plus(level.total, -1)
            counts = cpsat.solve(model, worst, limit=Limit(work=0.5)).values
            if counts is None:
                break
            tried += 1
            value = level.total.value(counts)
            assert level.low <= value <= level.high, level.name
            assert (value - level.low) % level.step == 0, level.name
    assert tried >= sized(15, 60)


def span_of(stage: Stage) -> int:
    size = 1
    for level in stage.levels:
        size *= level.span + 1
    return size


@pytest.mark.parametrize("name", READY)
def test_stages_hold_all_levels_in_order_and_stay_small(name: str) -> None:
    program = Program(read_week(name))
    levels_in_stages = [level for stage in program.stages for level in stage.levels]
    assert levels_in_stages == list(program.levels)
    assert [level.name for level in program.levels] == list(program.week.priorities)
    assert program.levels[-1].name == TIE_BREAK
    for stage in program.stages:
        assert len(stage.levels) == 1 or span_of(stage) <= LARGEST


def test_random_weeks_have_stages_that_stay_small() -> None:
    apart = 0
    for week in weeks():
        program = Program(week)
        assert [level for stage in program.stages for level in stage.levels] == [*program.levels]
        for stage in program.stages:
            assert len(stage.levels) == 1 or span_of(stage) <= LARGEST
        if len(alike(week)) < len(week.eaters):
            # Ties among alike eaters may stay open, so they must hold up nothing else.
            apart += 1
            assert [level.name for level in program.stages[-1].levels] == [TIE_BREAK]
    assert apart >= sized(1, 5)
