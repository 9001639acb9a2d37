"""Other volumes and mends: weighed by the commands, taken as an edit, undone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import optimiser
from models.file.reading import ready_text

from .window import WRONG, Window, shown


@pytest.fixture
def opens(tmp_path: Path) -> Iterator[Callable[[str], Window]]:
    made: list[Window] = []

    def open_(text: str) -> Window:
        (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
        made.append(Window(tmp_path / "week.yaml"))
        made[-1].look()
        return made[-1]

    yield open_
    for window in made:
        window.sitting.close()


def test_a_volume_is_weighed_before_it_is_cooked(window: Window) -> None:
    window.look()
    was = window.text
    text = window.look("/volumes?v0=11")
    (row,) = optimiser.what_if("minimal", yields="rice and beans=11").rows
    assert row.left_over
    assert f"Left over: {row.left_over:.0f} g" in text
    near = optimiser.what_if("minimal", yields="rice and beans=4..8").rows
    for each in near:
        over = f"{each.left_over:.0f} g over" if each.left_over else "nothing over"
        assert f"{each.values[0]:.0f} {over}" in text
    assert window.text == was
    window.do("/volumes/cook", v0="11")
    assert window.text == was.replace("yield:", "cook: 11 portions, yield:")
    assert "Left over" in window.look()
    window.do("/undo")
    assert window.text == was


def test_a_volume_that_cannot_be_is_refused(window: Window) -> None:
    was = window.text
    for typed in ("x", "-1", "0", "99999", "1.5", "9\u00b2"):
        window.do("/volumes/cook", WRONG, v0=typed)
        assert "rice and beans" in window.look(f"/volumes?v0={typed}")
    assert window.text == was


def test_the_best_volumes_are_those_of_size(window: Window) -> None:
    window.look()
    assert "is best" not in window.look()
    chosen = optimiser.size(str(window.file))
    text = window.look("/volumes?best=1")
    for line in chosen.batches:
        assert f"{line.batch}: {line.cook}" in text
    window.do("/volumes/best")
    assert window.text == chosen.text


def test_without_a_week_the_ways_of_mend_are_taken_and_undone(
    opens: Callable[[str], Window],
) -> None:
    window = opens(ready_text("impossible"))
    was, ways = window.text, optimiser.mend("impossible").ways
    text = window.look("/mend")
    for way in ways:
        assert all(change.text[1:] in text for change in way.changes)
        assert all(dish in text for dish in way.dishes)
    assert "no such way" in window.do("/mend/take", WRONG, way="9")
    window.do("/mend/take", way="2")
    assert window.text == ways[1].text
    assert "Proven the best week." in window.look()
    window.do("/undo")
    assert window.text == was


def test_where_nothing_is_wrong_nothing_is_mended(window: Window) -> None:
    window.look()
    assert "there is nothing to mend" in window.look("/mend")
    assert "no such way" in window.do("/mend/take", WRONG, way="1")


LABELLED = """\
week: {starts: 2026-11-30, days: [mon], guidance: us}
eaters: {Ada: {must_not: {foods: [pork]}}}
larder: {paste: {pack: 100 g, chilled: no, allergens: none}}
dishes: {Toast: {kind: toast, goes_in: {paste: 30 g}}}
"""


def test_a_way_that_hangs_on_a_label_waits_until_it_is_read(opens: Callable[[str], Window]) -> None:
    window = opens(LABELLED)
    assert "I read that label" in window.look("/mend")
    refused = window.do("/mend/take", WRONG, way="1")
    assert "nobody has read" in refused
    assert "only if it is free of pork" in refused
    assert window.text == LABELLED
    window.do("/mend/take", way="1", read="yes")
    assert "free_of: [pork]" in window.text


def test_a_volume_near_by_is_there_before_it_is_asked_for(window: Window) -> None:
    window.look()
    window.look("/volumes")
    for many in ("4", "5", "7", "8"):
        # No question more is asked: what is shown at once is what the command gives.
        page = shown(window.client.get(f"/volumes?v0={many}").text)
        assert not window.sitting.worker.busy
        (row,) = optimiser.what_if("minimal", yields=f"rice and beans={many}").rows
        over = f"Left over: {row.left_over:.0f} g" if row.left_over else "Nothing is left over"
        assert f"rice and beans: {many} {over}" in page
