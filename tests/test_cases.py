"""Cases that are run in one test: none is left out, and all that fail are named."""

from __future__ import annotations

import pytest

from .cases import each


def test_every_case_is_run_and_those_that_fail_are_named() -> None:
    seen: list[tuple[int, str]] = []

    @each("number, word", [(1, "one"), (2, "two"), (3, "three")])
    @each("suffix", "ab")
    def check(number: int, word: str, suffix: str) -> None:
        seen.append((number, suffix))
        assert len(word) == 3, word
        if number == 2:
            pytest.fail("two")

    with pytest.raises(BaseExceptionGroup, match="2 of 3 cases") as caught:
        check()
    assert seen == [(number, suffix) for number in (1, 2, 3) for suffix in "ab"]
    of_two, of_three = caught.value.exceptions
    assert (of_two.__notes__, of_three.__notes__) == (
        ["case: number = 2, word = 'two'"],
        ["case: number = 3, word = 'three'"],
    )


def test_nothing_to_try_is_a_fault() -> None:
    with pytest.raises(AssertionError, match="no case"):
        each("number", [])(lambda number: None)


@pytest.fixture
def limit() -> int:
    return 3


@pytest.mark.parametrize("least", [0, 1])
@each("number", range(1, 3))
@each("word", "ab")
def test_fixtures_and_parameters_come_beside_the_cases(
    number: int, word: str, least: int, limit: int
) -> None:
    assert least <= number < limit, word
