"""What is in a batch: each line as it is read, changed as an edit, and a recipe more."""

from __future__ import annotations

import optimiser
from models.file.reading import ready_text

from .test_start import SALAD
from .window import WRONG, Window, beside, shown

RICE = "rice and beans"


def lines(window: Window) -> list[str]:
    checked = optimiser.check(str(window.file)).batches[RICE]
    return [line.line for line in checked.ingredients]


def test_each_line_stands_there_as_it_was_read(window: Window) -> None:
    window.look("/food")
    page = window.client.get("/food").text
    for at, line in enumerate(optimiser.check("minimal").batches[RICE].ingredients):
        assert f'id="b0l{at}" name="l{at}" value="{line.line}"' in page
        below = page.partition(f'id="b0l{at}-below"')[2].partition("</b>")[0]
        assert shown(f"<i{below}") == f"{line.food} {line.grams:.0f} g"
    # What is typed below is read there.
    typed = window.do("/food/read", batch=RICE, form="b0", new="30 g butter")
    assert "30 g butter salted butter 30 g" in typed


def test_a_line_is_judged_as_it_is_typed_and_written_when_asked(window: Window) -> None:
    window.look()
    was = window.text
    typed = window.do("/food/read", batch=RICE, l0="250 g white rice", new="30 g butter")
    assert "white rice, long-grain, raw 250 g" in typed
    assert "butter, salted" in typed or "butter" in typed
    assert "milk" in typed
    assert window.text == was
    window.do("/food/write", batch=RICE, l0="250 g white rice", l2="", new="30 g butter")
    assert lines(window) == [
        "250 g white rice",
        "200 g dried haricot beans",
        "500 g water",
        "30 g butter",
    ]
    window.do("/undo")
    assert window.text == was


def test_what_cannot_be_read_stands_by_its_batch_and_is_not_written(window: Window) -> None:
    was = window.text
    read = window.do("/food/read", batch=RICE, l0="1 glug of mystery")
    assert "'mystery' is not in the table" in read
    assert "mystery" in window.do("/food/write", WRONG, batch=RICE, l0="1 glug of mystery")
    assert "Keep a line." in window.do("/food/write", WRONG, batch=RICE, l0="", l1="", l2="", l3="")
    assert "there is no batch" in window.do("/food/write", WRONG, batch="pie", l0="x")
    assert window.text == was


def test_a_fault_stands_by_the_line_it_is_of(window: Window) -> None:
    typed = {"form": "b0", "batch": RICE, "l0": "", "l2": "1 glug of mystery"}
    for path, code in (("/food/read", 200), ("/food/write", WRONG)):
        page = window.sent(path, code, **typed)
        assert "mystery" in beside(page, "b0l2")
        assert not beside(page, "b0l1")
        assert shown(page).count("is not in the table") == 1
    new = window.sent("/food/write", WRONG, form="b0", batch=RICE, new="1 glug of mystery")
    assert "mystery" in beside(new, "b0new")
    bring = window.sent("/food/bring", WRONG, form="bring", recipe="Soup")
    assert beside(bring, "recipe")


def test_what_is_settled_of_a_batch_is_an_edit_of_its_keys(window: Window) -> None:
    was = window.text
    stands = {"settled": RICE, "yield": "1200 g", "portion": "200 g", "made": "2026-11-29"}
    window.do("/food/settle", form="s0", freezer="", cost="", **stands)
    assert window.text == was
    window.do("/food/settle", form="s0", freezer="2 portions", cost="3.5", **stands)
    batch = window.sitting.readable.batches[RICE]
    assert (batch.freezer, float(batch.cost or 0)) == (2, 3.5)
    window.do("/food/settle", form="s0", freezer="", cost="", **stands | {"portion": "150 g"})
    assert window.text == was.replace("portion: 200 g", "portion: 150 g")
    for field, typed in (
        ("yield", ""),
        ("yield", "plenty"),
        ("portion", "big"),
        ("made", "2026-12-24"),
        ("freezer", "all"),
        ("cost", "-1"),
    ):
        page = window.sent("/food/settle", WRONG, form="s0", **stands | {field: typed})
        assert beside(page, f"s0-{field}"), field
        assert '<details id="batch0" open>' in page
    window.do("/undo")
    window.do("/undo")
    assert window.text == was


def test_a_batch_is_cooked_no_more_and_its_dishes_go(window: Window) -> None:
    assert "every dish takes it" in window.do("/food/out", WRONG, out=RICE)
    assert "no batch 'pie'" in window.do("/food/out", WRONG, out="pie")
    window.file.write_text(ready_text("starter"), encoding="utf-8")
    window.do("/take")
    was = window.text
    assert "these dishes go too: Curry with flatbread, Curry on grain." in window.look("/food")
    window.do("/food/out", out="lentil curry")
    week = window.sitting.readable
    assert [*week.batches] == ["bulgur"]
    assert "Curry on grain" not in week.dishes
    window.do("/undo")
    assert window.text == was


def test_a_recipe_more_comes_with_dishes_that_take_it(window: Window) -> None:
    window.look()
    was = window.text
    assert "feta cheese 200 g" in window.do("/food/look", recipe=SALAD)
    assert window.text == was
    window.do("/food/bring", recipe=SALAD)
    week = optimiser.read_week(str(window.file))
    assert week.batches["Bean salad"].portions == 8
    assert "Bean salad" in week.dishes
    assert window.text.startswith("# mine\n")
    assert "a batch of that name is there" in window.do("/food/bring", WRONG, recipe=SALAD)
    window.do("/undo")
    assert window.text == was
