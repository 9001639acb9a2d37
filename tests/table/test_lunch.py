"""One lunch: the price of every other dish before it is taken, and what is taken as a wish."""

from __future__ import annotations

import optimiser

from .window import GONE, WRONG, Window

MON = "/lunch/2026-11-30/Ilse"
APPLE, CHEESE = "Rice, beans and apple", "Rice, beans and cheese"


def test_it_says_what_why_says_and_what_each_other_dish_would_cost(window: Window) -> None:
    window.look()
    text = window.look(MON)
    why = optimiser.why("minimal", "mon").lunches[0]
    assert all(reason.text in text for reason in why.reasons)
    for answer in why.dishes:
        assert answer.what in text
        assert answer.verdict == "planned" or answer.text[1:] in text
    weighed = window.look(f"{MON}?with={APPLE}")
    told = optimiser.why("minimal", "mon", not_=APPLE)
    assert told.answer is not None
    assert told.answer.text[1:] in weighed
    for lunch in told.others:
        assert f"{lunch.would_be} instead of {lunch.was}" in weighed


def test_what_is_taken_is_a_wish_of_the_file_and_comes(window: Window) -> None:
    window.look()
    was = window.text
    window.do(f"{MON}/take", dish=APPLE)
    assert window.text == was.replace("week:", f'wishes: ["{APPLE} on mon"]\nweek:', 1)
    assert optimiser.plan(str(window.file), reasons=False).lunches[0].dish == APPLE
    text = window.look(MON)
    assert f"{APPLE} is your wish there." in text
    assert "as you wish was Rice, beans and cheese" in text
    # Another takes its place; a wish for another day stands beside it.
    window.do(f"{MON}/take", dish=CHEESE)
    window.do("/lunch/2026-12-02/Ilse/take", dish=APPLE)
    assert f'wishes: ["{CHEESE} on mon", "{APPLE} on wed"]' in window.text
    window.do(f"{MON}/let-go")
    assert f'wishes: ["{APPLE} on wed"]' in window.text
    for _ in range(4):
        window.do("/undo")
    assert window.text == was


def test_what_is_not_there_is_refused(window: Window) -> None:
    was = window.text
    assert "no dish named" in window.do(f"{MON}/take", WRONG, dish="Pie")
    assert "no such lunch" in window.do("/lunch/2026-12-24/Ilse/take", WRONG, dish=APPLE)
    for path in ("/lunch/2026-12-24/Ilse", "/lunch/2026-11-30/Bo", "/lunch/x/y"):
        assert window.client.get(path).status_code == GONE
    assert "no dish named" in window.look(f"{MON}?with=Pie") or window.text == was
    assert window.text == was
