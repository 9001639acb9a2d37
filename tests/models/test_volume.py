"""A batch cooked in other numbers: a what-if says what an edited file says."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.file.editing import edited
from models.file.reading import read_week, ready_text, ready_weeks, week_of
from models.file.yamltext import parse
from models.week.cook import cooked_in, week_cooked_in
from models.week.week import Take, Week
from models.words.errors import InputError

WEEKS = {name: read_week(name) for name in ready_weeks()}


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_it_is_what_the_edited_file_says(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(WEEKS)))
    week = WEEKS[name]
    names = data.draw(st.sets(st.sampled_from(sorted(week.batches)), min_size=1))
    counts = {one: data.draw(st.integers(1, 40)) for one in sorted(names)}
    edits = [
        (("batches", one, "cook"), f"{number} {week.batches[one].portion_word}s")
        for one, number in counts.items()
    ]
    said = week_of(parse(name, edited(ready_text(name), edits)))
    assert same(said, week_cooked_in(week, counts))


def same(one: Week, other: Week) -> bool:
    takes = [
        [
            (take.batch, take.least, take.most)
            for dish in week.dishes.values()
            for take in dish.takes
        ]
        for week in (one, other)
    ]
    # A kept what-if says what the file cooks now; a what-if asks none itself.
    one, other = replace(one, what_ifs={}), replace(other, what_ifs={})
    return one == other and takes[0] == takes[1]


def test_twice_is_not_the_product() -> None:
    batch = WEEKS["demo"].batches["leek bake"]
    assert cooked_in(cooked_in(batch, 4), 9) == cooked_in(batch, 9)
    back = cooked_in(cooked_in(batch, 4), batch.portions)
    assert (back.portions, back.cost, back.freezer) == (batch.portions, batch.cost, batch.freezer)


def test_a_portion_is_what_it_was_and_the_rest_goes_with_the_number() -> None:
    batch = WEEKS["demo"].batches["leek bake"]
    half = cooked_in(batch, 2)
    assert (half.portion, half.nutrition) == (batch.portion, batch.nutrition)
    assert half.recipe is not None
    assert batch.recipe is not None
    assert half.recipe.mass == pytest.approx(batch.recipe.mass * 2 / 5)
    assert half.cost == pytest.approx(batch.cost * 2 / 5, abs=Decimal("0.0001"))


TEXT = """\
week: {starts: 2026-11-30, days: [mon, tue, wed], guidance: us}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 8 portions, portion: 100 g, nutrition: {protein: 4 g},
    fridge_life: 3, allergens: none, freezes: yes, freezer: 3 portions}
dishes:
  Large: {kind: a, takes: {beans: 3 to 4}}
  Small: {kind: b, takes: {beans: 1 to 2}}
"""


def test_a_dish_that_needs_more_than_is_cooked_this_once_cannot_come() -> None:
    week = week_of(parse("w", TEXT.replace("8 portions,", "8 portions, cook: 2 portions,")))
    assert week.dishes["Large"].takes[0] == Take("beans", 3, 3)
    assert week.batches["beans"].portions == 2
    with pytest.raises(InputError, match="can never be packed"):
        week_of(parse("w", TEXT.replace("8 portions", "2 portions")))


@pytest.mark.parametrize(
    ("said", "what"),
    [
        ("frozen: 4", "4 were frozen, and the freezer takes 3"),
        ("gone: 9", "9 are gone, and there were 8"),
    ],
)
def test_more_cannot_be_frozen_or_gone_than_there_was(said: str, what: str) -> None:
    text = TEXT.replace("fridge_life: 3", f"fridge_life: 3, {said}")
    with pytest.raises(InputError, match=what):
        week_of(parse("w", text))


def test_what_is_frozen_and_gone_is_read() -> None:
    text = TEXT.replace("fridge_life: 3", "fridge_life: 3, frozen: 2 portions, gone: 1")
    batch = week_of(parse("w", text)).batches["beans"]
    assert (batch.frozen, batch.gone, batch.portions) == (2, 1, 8)
    plain = week_of(parse("w", TEXT)).batches["beans"]
    assert (plain.frozen, plain.gone) == (None, 0)
