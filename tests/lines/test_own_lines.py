"""Lines of our own of every kind that cooks write, each judged by hand."""

from __future__ import annotations

from tests.lines.__main__ import READ, WRONG_FOOD, WRONG_GRAMS, own

MOST_WRONG = 41
"""Lines that may disagree with the judgement: those known when the table was made."""


def test_lines_are_read_as_judged() -> None:
    counts = own()
    assert counts.read >= READ * counts.lines, counts.wrong
    assert counts.wrong_food <= WRONG_FOOD * counts.judged, counts.wrong
    assert counts.wrong_grams <= WRONG_GRAMS * counts.judged, counts.wrong
    assert len(counts.wrong) <= MOST_WRONG, counts.wrong
