"""A big pot is divided into shallow tubs: as many as the labels have, with their minutes."""

from __future__ import annotations

from decimal import Decimal

import pytest

from models.answers.prep import PrepDay, PrepFile, PrepStep
from models.file.reading import read_week, week_of
from models.file.yamltext import parse
from models.week.kitchen import DEPTH, TUB_HOLDS
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.report.prep import summary, text
from optimiser.sheets.labels import labels, portions_in_tub
from optimiser.sheets.prep import CLOSING, COOL, DIVIDE, FILL, limit_of, prep
from optimiser.solve.week import solve_week

POT = """
week: {{starts: 2026-11-30, days: [mon, tue], guidance: {guidance}}}
eaters: {{Ada: {{}}, Bo: {{}}}}
kitchen: {{starts: "10:00", ends: "14:00"}}
batches:
  barley stew:
    made: 2026-11-29
    yield: {portions} portions
    portion: {grams} g
    room: {room} mL
    nutrition: {{protein: 4 g}}
    fridge_life: 2
    allergens: none
    steps:
      - {{do: simmer, lasts: 1 h, hands: no, rings: 1}}
dishes:
  Bowl: {{kind: a, takes: {{barley stew: 1 to 9}}}}
  Bread: {{kind: b}}
"""


def week_with(*, portions: int, grams: int = 300, room: int = 300, guidance: str = "us") -> Week:
    said = POT.format(portions=portions, grams=grams, room=room, guidance=guidance)
    return week_of(parse("week.yaml", said))


def planned(week: Week) -> PackedWeek:
    _, solved = solve_week(week)
    assert solved.packed is not None
    return solved.packed


def closing(day: PrepDay) -> dict[str, PrepStep]:
    return {step.name: step for step in day.steps if step.name in CLOSING}


def minutes(step: PrepStep) -> float:
    return (step.ends - step.begins).total_seconds() / 60


def test_a_tub_is_shallow() -> None:
    # FDA Food Code 2022, 3-501.15(A)(1): shallow pans; two inches (5 cm) as extension services
    # commonly put it, seen in quotation. A base of 20 x 15 cm is common practice, no source.
    assert Decimal(5) == DEPTH
    assert Decimal(1500) == TUB_HOLDS


@pytest.mark.parametrize(
    ("portions", "grams", "room", "tubs"),
    [
        (20, 300, 300, 4),  # 6 kg of stew
        (5, 300, 300, 1),
        (6, 300, 300, 2),
        # What takes more room than it weighs is reckoned by its room; what is said to take
        # less, by its mass.
        (10, 100, 300, 2),
        (10, 300, 180, 2),
        # A portion greater than a tub has one of its own.
        (3, 1600, 1600, 3),
    ],
)
def test_so_many_tubs_as_a_batch_needs_and_as_it_has_labels(
    portions: int, grams: int, room: int, tubs: int
) -> None:
    week = week_with(portions=portions, grams=grams, room=room)
    packed = planned(week)
    mine = labels(week, packed).labels
    assert [label.tubs for label in mine] == [tubs] * tubs
    assert sum(label.portions for label in mine) == portions
    assert max(label.portions for label in mine) <= portions_in_tub(week.batches["barley stew"])
    for (day,) in (prep(week, packed).days, prep(week).days):
        steps = closing(day)
        assert minutes(steps[FILL]) == tubs
        assert f"{tubs} tub" in steps[FILL].work
        assert (DIVIDE in steps) == (tubs > 1)
        if tubs > 1:
            assert minutes(steps[DIVIDE]) == tubs
            assert f"{tubs} shallow tubs, 5 cm deep at most" in steps[DIVIDE].work
            assert steps[DIVIDE].ends == steps[COOL].begins


def test_what_is_eaten_first_is_in_the_first_tub() -> None:
    week = week_with(portions=12)
    packed = planned(week)
    tubs = [label for label in labels(week, packed).labels if label.days]
    first, last = tubs[0].days, tubs[-1].days
    assert first == sorted(first)
    assert first[-1] <= last[0]
    # Each tub names those who eat of it on its days, and no others.
    ate = {(lunch.day, lunch.eater) for lunch in packed.lunches}
    for tub in tubs:
        assert set(tub.eaters) <= {who for day, who in ate if day in tub.days}


@pytest.mark.parametrize(("guidance", "limit"), [("us", 120), ("uk", 90)])
def test_all_tubs_are_away_within_the_limit(guidance: str, limit: int) -> None:
    week = week_with(portions=80, guidance=guidance)
    (day,) = prep(week).days
    (cooked,) = [step for step in day.steps if step.name == "simmer"]
    assert (closing(day)[FILL].ends - cooked.ends).total_seconds() / 60 <= limit
    assert day.proven


def test_the_limit_counts_from_the_heat_not_from_what_is_mixed_after_it() -> None:
    said = POT.format(guidance="us", portions=20, grams=300, room=300)
    mixed = said.replace("rings: 1}\n", "rings: 1}\n      - {do: mix, lasts: MIXED min}\n")
    # Four tubs: 4 minutes, 20 to cool and 4 more, where the limit is 120.
    (day,) = prep(week_of(parse("week.yaml", mixed.replace("MIXED", "92")))).days
    (cooked,) = [step for step in day.steps if step.name == "simmer"]
    assert (closing(day)[FILL].ends - cooked.ends).total_seconds() / 60 == 120
    (day,) = prep(week_of(parse("week.yaml", mixed.replace("MIXED", "93")))).days
    assert not day.possible


def test_more_tubs_than_hands_can_fill_in_time_are_not_promised() -> None:
    (day,) = prep(week_with(portions=300)).days
    assert not day.possible
    assert "the steps of barley stew alone do not fit" in day.why_not


def several(hands: int, portions: int) -> PrepDay:
    said = POT.format(guidance="us", portions=portions, grams=300, room=300)
    said = said.replace('ends: "14:00"', f'ends: "14:00", hands: {hands}')
    (day,) = prep(week_of(parse("week.yaml", said))).days
    return day


def test_two_pairs_of_hands_share_the_tubs_of_a_pot() -> None:
    steps = closing(several(2, 20))
    assert [(minutes(steps[name]), steps[name].pairs) for name in (DIVIDE, FILL)] == [(2, 2)] * 2
    # Of five tubs somebody has three.
    steps = closing(several(2, 25))
    assert [(minutes(steps[name]), steps[name].pairs) for name in (DIVIDE, FILL)] == [(3, 2)] * 2
    # There is no work for more hands than tubs.
    assert closing(several(9, 20))[FILL].pairs == 4
    alone = several(1, 20)
    assert {step.pairs for step in alone.steps} == {1}
    assert "pairs" not in alone.model_dump_json()


def test_what_is_too_much_for_one_pair_of_hands_is_away_in_time_with_two() -> None:
    # 60 tubs: 60 minutes, 20 to cool and 60 more, where the limit is 120.
    assert not several(1, 300).possible
    day = several(2, 300)
    (cooked,) = [step for step in day.steps if step.name == "simmer"]
    steps = closing(day)
    assert (steps[FILL].ends - cooked.ends).total_seconds() / 60 == 30 + 20 + 30
    assert day.hands_minutes == 60 + 60 + 15
    assert summary(day) == "10:00 to 12:35; hands busy 2 h 15 min of 2 h 35 min"
    # Whatever is shared, the limit stands: 70 and 20 and 70 are more than two hours.
    assert not several(2, 700).possible


def test_hands_that_are_busy_share_nothing() -> None:
    busy = POT.replace("dishes:", BESIDE).format(guidance="us", portions=20, grams=300, room=300)
    week = week_of(parse("week.yaml", busy.replace('"14:00"', '"14:00", hands: 2')))
    (day,) = prep(week).days
    stew = {step.name: step for step in day.steps if step.batch == "barley stew"}
    assert [stew[name].pairs for name in (DIVIDE, FILL)] == [1, 1]
    assert minutes(stew[DIVIDE]) == 4


BESIDE = """  salad:
    made: 2026-11-29
    yield: 2 portions
    portion: 100 g
    nutrition: {{protein: 4 g}}
    fridge_life: 2
    allergens: none
    steps:
      - {{do: cut the leaves, lasts: 235 min}}
dishes:
  Leaves: {{kind: c, takes: {{salad: 1}}}}
"""


def test_a_canteen_of_four_pairs_of_hands_cooks_on_each_of_its_days() -> None:
    week = read_week("canteen")
    days = prep(week).days
    assert [day.date.day for day in days] == [29, 1, 2]
    for day in days:
        assert (day.possible, day.why_not, day.proven) == (True, "", True)
        for step in day.steps:
            # Nobody is in two places: the pairs of hands at work as it begins are four or fewer.
            now = [other for other in day.steps if other.begins <= step.begins < other.ends]
            assert sum(other.pairs for other in now if other.hands) <= week.kitchen.hands
            if step.name == FILL:
                limit = limit_of(week, week.batches[step.batch]).minutes
                mine = [other for other in day.steps if other.batch == step.batch]
                cooked = max(other.ends for other in mine if other.name not in CLOSING)
                assert (step.ends - cooked).total_seconds() / 60 <= limit
        assert "4 pairs of hands" in text(PrepFile(name="", days=[day]))


def test_ready_weeks_have_as_many_tubs_to_fill_as_labels() -> None:
    week = read_week("demo")
    packed = planned(week)
    for day in prep(week, packed).days:
        for step in day.steps:
            if step.name == FILL:
                mine = [x for x in labels(week, packed).labels if x.batch == step.batch]
                assert f"{len(mine)} tub" in step.work


FREEZE = POT.replace("    fridge_life: 2\n", "    fridge_life: 1\n    freezes: yes\n").replace(
    "[mon, tue]", "[mon, tue, wed]"
)


def test_the_sheet_tells_tubs_for_the_fridge_from_those_for_the_freezer() -> None:
    said = FREEZE.format(guidance="us", portions=20, grams=300, room=300)
    week = week_of(parse("week.yaml", said))
    packed = planned(week)
    mine = labels(week, packed).labels
    frozen = [label for label in mine if label.where == "freezer"]
    assert frozen
    (day,) = prep(week, packed).days
    filled = closing(day)[FILL].work
    assert f"{len(mine) - len(frozen)} into the fridge, {len(frozen)} into the freezer" in filled
    for label in frozen:
        assert f"{label.portions} portions for {label.days[0]:%a}" in filled
