"""What goes with what is left out of a week file: the file that stays is a week all the same."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from models.file.editing import edited
from models.file.leaving import (
    Leaving,
    leaving_batch,
    leaving_box,
    leaving_dish,
    leaving_eater,
)
from models.file.reading import read_week, ready_text, ready_weeks, week_of
from models.file.yamltext import parse
from models.week.week import Week


def of_text(text: str) -> Week:
    return week_of(parse("week.yaml", text))


def left(text: str, leaving: Leaving) -> Week:
    return of_text(edited(text, [(path, None) for path in leaving.paths]))


@pytest.mark.parametrize("name", ready_weeks())
def test_whatever_is_left_out_of_a_ready_week_a_week_stays(name: str) -> None:
    text = ready_text(name)
    week = read_week(name)
    ways: list[tuple[str, Callable[[Week, str], Leaving]]] = [
        ("dishes", leaving_dish),
        ("batches", leaving_batch),
        ("boxes", leaving_box),
    ]
    for section, leaving in ways:
        names = list(week.source.as_json().get(section) or ())
        for each in names:
            goes = leaving(week, each)
            if len(goes.dishes) == len(week.dishes):
                continue
            then = left(text, goes)
            assert [*getattr(then, section)] == [other for other in names if other != each]
            assert set(week.dishes) - set(then.dishes) == set(goes.dishes)
    for each in list(week.source.as_json()["eaters"]):
        if len(week.eaters) > 1:
            then = left(text, leaving_eater(week, each))
            assert {eater for eater in week.eaters if eater not in then.eaters} == {
                eater.name for eater in week.eaters.values() if each in (eater.name, eater.group)
            }


NAMED_EVERYWHERE = """\
week: {starts: 2026-11-30, days: mon-tue, guidance: us}
eaters:
  Ann: {box: tin, likes: {Soup and bread: 2, Bread: 1}}
  Bo: {}
no_lunch: [{day: mon, eater: Bo}, {day: tue, eater: Ann}]
elsewhere: [{day: tue, eater: Bo, fridge: no}]
batches:
  soup: {ingredients: [500 g carrots], yield: 6 portions}
larder: {bread: {pack: 500 g, chilled: no}}
wishes: [Soup and bread on mon for Ann, Bread on tue for Bo]
lately: {Bo: [Soup and bread], Ann: [Bread]}
what_ifs: {more: {yield: {soup: 6..8}}, protein: {floors: {Bo: {protein: 10..20}}}}
dishes:
  Soup and bread: {kind: soup, takes: {soup: 1 to 2}, goes_in: {bread: 50 g}}
  Bread: {kind: bread, takes: {soup: 0 to 1}, goes_in: {bread: 100 g}}
  Bread again: {kind: bread, goes_in: {bread: 90 g}, same_as: Soup and bread}
boxes: {tin: {compartments: [1 L]}}
variety: {kinds_apart: [soup, [soup, bread]]}
"""


def test_all_that_names_it_goes_and_nothing_else() -> None:
    week = of_text(NAMED_EVERYWHERE)
    goes = leaving_batch(week, "soup")
    assert goes.dishes == ("Soup and bread",)
    text = edited(NAMED_EVERYWHERE, [(path, None) for path in goes.paths])
    then = of_text(text)
    assert "oup" not in text
    assert [*then.dishes] == ["Bread", "Bread again"]
    assert [wish.dish for wish in then.wishes] == ["Bread"]
    assert "kinds_apart: [[bread]]" in text
    assert "what_ifs: {protein:" in text
    without_bo = edited(
        NAMED_EVERYWHERE, [(path, None) for path in leaving_eater(week, "Bo").paths]
    )
    assert "bo" not in without_bo.replace("boxes:", "").replace("box:", "").casefold()
    assert [*of_text(without_bo).eaters] == ["Ann"]
    assert "no_lunch: [{day: tue, eater: Ann}]" in without_bo
    assert "tin" not in edited(
        NAMED_EVERYWHERE, [(path, None) for path in leaving_box(week, "tin").paths]
    )
