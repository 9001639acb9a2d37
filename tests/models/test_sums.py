"""A packed week adds up to what a cook works out with pencil and paper.

The program, the audit and the report all lean on these sums, so the figures here are
worked out by hand and stand in the comments.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.foods.parts import Contents
from models.week import sums
from models.week.packed import OpenedPacks, PackedLunch, PackedPortions, PackedWeek, helpings
from models.week.week import Helping, LarderItem, Texture, Week
from models.words.units import magnitude, parse
from optimiser.rules import faults_of
from optimiser.solve.week import solve_week

from .kitchen import week_from

MON, TUE, WED, THU = (date(2026, 11, 30) + timedelta(days=at) for at in range(4))

FILE = """\
week: {starts: 2026-11-30, days: [mon, tue, wed, thu], guidance: us}
eaters:
  Ada: {likes: {Tart: 2, Bowl: -1}}
batches:
  farls:
    made: 2026-11-29
    yield: 10 pieces
    portion: 30 g
    nutrition: {protein: 4 g, energy: 60 kcal}
    cost: 5.00
    fridge_life: 2 to 4
    freezes: yes
    freezer: 3
    room: 40 mL
  beans:
    made: 2026-11-29
    yield: 300 g
    portion: 60 g
    nutrition: {protein: 3 g}
    cost: 2.50
    fridge_life: 3 to 5
    own_risk: yes
    texture: wet
    room: 50 mL
larder:
  leaves:
    pack: 90 g
    chilled: no
    price: 1.20
    opened_life: 1
    per: 30 g
    nutrition: {protein: 0.6 g, energy: 6 kcal}
    texture: crisp
    room: 100 mL
  apple:
    pack: 4 pieces
    chilled: no
    price: 1.50
    opened_life: 2
    piece: 150 g
    nutrition: {protein: 0.4 g, energy: 80 kcal}
  sauce:
    pack: 120 g
    chilled: no
    price: 1.00
    nutrition: {protein: 8 g, energy: 240 kcal}
    texture: wet
    room: 90 mL
choices:
  side: [{apple: 1 piece}, {sauce: 40 g}]
dishes:
  Tart:
    kind: bread
    takes: {farls: 2 to 4}
    goes_in: {leaves: 30 g}
    choices: [side]
    minutes: 6
  Bowl:
    kind: grain
    takes: {beans: 1 to 3}
    goes_in: {sauce: 25 g}
    extras: {apple: {portion: 1 piece, most: 2}}
    minutes: 4
"""


@pytest.fixture(scope="module")
def week() -> Week:
    return week_from(FILE)


def tart(day: date, farls: int, side: str, *, thawed: int = 0) -> PackedLunch:
    portions = (PackedPortions("farls", farls, thawed),)
    return PackedLunch("Ada", day, "Tart", portions, {"side": side}, {})


def bowl(day: date, beans: int, apples: int) -> PackedLunch:
    portions = (PackedPortions("beans", beans, 0),)
    return PackedLunch("Ada", day, "Bowl", portions, {}, {"apple": apples} if apples else {})


LUNCHES = (
    tart(MON, 3, "apple"),
    bowl(TUE, 2, 1),
    tart(WED, 4, "sauce", thawed=1),
    bowl(THU, 2, 2),
)

# Leaves keep 1 day: Monday's pack is gone by Wednesday, so a second is opened.
# Apples keep 2 days: the 4 of Monday serve Monday and Tuesday, the last 2 are too old on
# Thursday, when 2 are needed. Sauce keeps: 25 + 40 + 25 = 90 of the 120 g of one pack.
PACKS = (
    OpenedPacks("leaves", MON, 1),
    OpenedPacks("leaves", WED, 1),
    OpenedPacks("apple", MON, 1),
    OpenedPacks("apple", THU, 1),
    OpenedPacks("sauce", TUE, 1),
)
PACKED = PackedWeek(LUNCHES, PACKS)


# -- what is used and opened -----------------------------------------------------------


def test_helpings_are_what_is_always_in_then_options_then_extras(week: Week) -> None:
    assert list(helpings(week, LUNCHES[0])) == [
        Helping("leaves", parse("30 g")),
        Helping("apple", parse("1 piece")),
    ]
    assert list(helpings(week, LUNCHES[3])) == [
        Helping("sauce", parse("25 g")),
        Helping("apple", parse("2 pieces")),
    ]


def test_uses(week: Week) -> None:
    assert sums.uses(week, PACKED) == {
        "leaves": {MON: 30, WED: 30},
        "apple": {MON: 1, TUE: 1, THU: 2},
        "sauce": {TUE: 25, WED: 40, THU: 25},
    }


def test_packs_are_opened_when_the_last_is_empty_or_too_old(week: Week) -> None:
    assert tuple(sums.packs_needed(week, sums.uses(week, PACKED))) == PACKS


@pytest.mark.parametrize(
    ("life", "opened"),
    [
        # 0 days: each day its own pack; 1: Thursday's two need a second.
        (0, [(MON, 1), (TUE, 1), (THU, 1)]),
        (1, [(MON, 1), (THU, 1)]),
        (2, [(MON, 1), (THU, 1)]),
        # 3: 1 + 1 + 2 are just the 4 of one pack.
        (3, [(MON, 1)]),
    ],
)
def test_opened_life_is_counted_from_the_day_a_pack_is_opened(
    week: Week, life: int, opened: list[tuple[date, int]]
) -> None:
    apple = replace(week.larder["apple"], opened_life=life)
    used = sums.uses(week, PACKED)["apple"]
    found = sums.packs_needed(replace(week, larder={"apple": apple}), {"apple": used})
    assert [(pack.opened, pack.packs) for pack in found] == opened


def test_a_need_may_be_drawn_from_several_packs() -> None:
    # Packs of 100 g, 2 days: Monday takes 70 and leaves 30; Tuesday takes these and 40 of a
    # second; Wednesday takes 60 of it. Two packs, nothing left.
    item = larder_item(100, 2)
    used = {MON: Decimal(70), TUE: Decimal(70), WED: Decimal(60)}
    packs = needed(item, used)
    assert packs == [OpenedPacks("x", MON, 1), OpenedPacks("x", TUE, 1)]
    assert sums.pack_left(item, used, tuple(packs)) == 0


def test_several_packs_may_be_opened_at_once() -> None:
    item = larder_item(100, 1)
    assert needed(item, {MON: Decimal(201)}) == [OpenedPacks("x", MON, 3)]


# -- what is left over -------------------------------------------------------------------


def test_batch_portions_left(week: Week) -> None:
    # 10 - 3 - 4 and 5 - 2 - 2.
    assert sums.batch_left(week, PACKED, "farls") == 3
    assert sums.batch_left(week, PACKED, "beans") == 1


def test_what_opened_packs_leave(week: Week) -> None:
    used = sums.uses(week, PACKED)
    # 2 x 90 - 60 g of leaves; 2 x 4 - 4 apples; 120 - 90 g of sauce, which keeps.
    assert sums.pack_left(week.larder["leaves"], used["leaves"], PACKS) == 120
    assert sums.pack_left(week.larder["apple"], used["apple"], PACKS) == 4
    assert sums.pack_left(week.larder["sauce"], used["sauce"], PACKS) == 30


def test_left_over(week: Week) -> None:
    # Farls 3 x 30 + beans 1 x 60 + leaves 120 + apples 4 x 150 = 870 g; sauce keeps.
    assert sums.left_over(week, PACKED) == 870


def test_more_packed_than_there_is_shows_as_less_than_nothing(week: Week) -> None:
    packed = PackedWeek((tart(MON, 11, "sauce"),), ())
    assert sums.batch_left(week, packed, "farls") == -1


# -- money -----------------------------------------------------------------------------


def test_cost_of_the_week(week: Week) -> None:
    # Batches whole: 5.00 + 2.50. Packs that spoil whole: leaves 2 x 1.20, apples 2 x 1.50.
    # Sauce by share, each helping rounded up to a cent:
    # 25 / 120 = 0.208.. -> 0.21, twice; 40 / 120 = 0.333.. -> 0.34.
    # 7.50 + 2.40 + 3.00 + 0.76 = 13.66.
    assert sums.cost(week, PACKED) == Decimal("13.66")


@pytest.mark.parametrize(
    ("at", "cost"),
    [
        # Farls 3/10 of 5.00, leaves 30/90 of 1.20, an apple 1/4 of 1.50: 0.375 -> 0.38.
        (0, "2.28"),
        # Beans 2/5 of 2.50, sauce 0.21, an apple 0.38.
        (1, "1.59"),
        # Farls 4/10 of 5.00, leaves 0.40, sauce 0.34.
        (2, "2.74"),
        # Beans 1.00, sauce 0.21, two apples at once 2/4 of 1.50.
        (3, "1.96"),
    ],
)
def test_cost_of_a_lunch(week: Week, at: int, cost: str) -> None:
    assert sums.lunch_cost(week, LUNCHES[at]) == Decimal(cost)


def test_each_time_of_an_extra_that_keeps_is_rounded_up_by_itself(week: Week) -> None:
    # 1 of 3 pieces for 1.00: 0.333.. -> 0.34 each time, so 0.68 and not 0.67.
    apple = replace(
        week.larder["apple"], opened_life=None, pack=parse("3 pieces"), price=Decimal("1.00")
    )
    bare = replace(week, larder={**week.larder, "apple": apple})
    # Sauce comes to 0.21.
    assert sums.extra_cost(bare, bowl(THU, 2, 2)) == Decimal("0.89")


def test_a_share_that_comes_out_even_is_not_rounded_up(week: Week) -> None:
    # 5 of 9 pieces for 3.60: 2.00, though 5/9 has no end.
    apple = replace(week.larder["apple"], pack=parse("9 pieces"), price=Decimal("3.60"))
    assert sums.helping_cost(apple, Helping("apple", parse("5 pieces"))) == 2


# -- other sums ----------------------------------------------------------------------------


def test_thawed_and_minutes(week: Week) -> None:
    assert sums.thawed(PACKED) == 1
    # 6 + 4 + 6 + 4.
    assert sums.minutes(week, PACKED) == 20


# -- what is in a lunch --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("at", "protein"),
    [
        # 3 x 4 + 0.6 (30 g of leaves, stated for 30 g) + 0.4.
        (0, "13.0"),
        # 2 x 3 + 25 g of 8 g in 100 g + 0.4.
        (1, "8.4"),
        # 4 x 4 + 0.6 + 40 g of 8 g in 100 g.
        (2, "19.8"),
        # 2 x 3 + 2 + 2 x 0.4.
        (3, "8.8"),
    ],
)
def test_protein(week: Week, at: int, protein: str) -> None:
    content = sums.nutrient(week, LUNCHES[at], "PROCNT")
    assert magnitude(content.amount, "gram") == Decimal(protein)
    assert content.complete


def test_a_missing_figure_makes_at_least(week: Week) -> None:
    # Beans give no energy: 25 g of 240 kcal in 100 g + 2 x 80.
    content = sums.nutrient(week, LUNCHES[3], "ENERC")
    assert magnitude(content.amount, "kilocalorie") == 220
    assert not content.complete


def test_five_thirds_of_a_round_amount_are_round() -> None:
    # 50 g at 0.9 g in 30 g have just the 1.5 g allowed.
    for grams, salt in (("50", "1.5"), ("70", "2.1"), ("80", "2.4"), ("110", "3.3")):
        week = week_from(
            f"""\
week: {{starts: 2026-11-30, days: [mon], guidance: us}}
eaters: {{Ada: {{ceilings: {{salt: {salt} g}}}}}}
larder:
  leaves: {{pack: 150 g, chilled: no, per: 30 g, nutrition: {{salt: 0.9 g}}}}
dishes:
  Bowl: {{kind: grain, goes_in: {{leaves: {grams} g}}}}
"""
        )
        _, solved = solve_week(week)
        assert solved.packed is not None, grams
        assert [*faults_of(week, solved.packed)] == [], grams


def test_a_batch_of_which_nothing_is_taken_hides_nothing(week: Week) -> None:
    assert sums.nutrient(week, bowl(TUE, 0, 0), "ENERC").complete
    assert not sums.nutrient(week, bowl(TUE, 1, 0), "ENERC").complete


@pytest.mark.parametrize(
    ("at", "wet", "crisp", "plain"),
    [
        # 3 x 40; 100 for 30 g of leaves; the apple travels beside the box.
        (0, 0, 100, 120),
        # 2 x 50 and 25 g of 90 mL in 100 g.
        (1, "122.5", 0, 0),
        # 40 g of sauce; leaves; 4 x 40.
        (2, 36, 100, 160),
    ],
)
def test_room(week: Week, at: int, wet: str, crisp: int, plain: int) -> None:
    volumes = [
        sums.volume(week, LUNCHES[at], texture)
        for texture in (Texture.WET, Texture.CRISP, Texture.PLAIN)
    ]
    assert volumes == [Decimal(wet), crisp, plain]


# -- packs, any -----------------------------------------------------------------------


def larder_item(size: int, life: int | None) -> LarderItem:
    return LarderItem(
        name="x",
        unit="gram",
        pack=parse(f"{size} g"),
        price=Decimal(1),
        opened_life=life,
        use_by=None,
        mass=parse("1 g"),
        per=parse("100 g"),
        nutrition={},
        nutrition_source="mine",
        texture=Texture.PLAIN,
        room=None,
        contents=Contents(None, frozenset()),
        chilled=False,
    )


def needed(item: LarderItem, used: Mapping[date, Decimal]) -> list[OpenedPacks]:
    bare = replace(week_from(FILE), larder={item.name: item})
    return list(sums.packs_needed(bare, {item.name: used}))


DAYS = (MON, TUE, THU)
uses = st.dictionaries(
    st.sampled_from(DAYS), st.integers(1, 25).map(Decimal), min_size=1, max_size=3
)


@given(uses, st.integers(5, 20), st.none() | st.integers(0, 4))
def test_packs_are_enough_and_as_few_as_can_be(
    used: dict[date, Decimal], size: int, life: int | None
) -> None:
    item = larder_item(size, life)
    packs = needed(item, used)
    assert sums.covered(item, used, packs) == []
    count = sum(pack.packs for pack in packs)
    most = [ceil(sum(used.values()) / size)] * len(DAYS)
    for numbers in itertools.product(*(range(one + 1) for one in most)):
        if sum(numbers) < count:
            fewer = [OpenedPacks("x", day, one) for day, one in zip(DAYS, numbers, strict=True)]
            assert not holds(item, used, fewer)
            assert sums.covered(item, used, fewer)


def holds(item: LarderItem, used: Mapping[date, Decimal], packs: list[OpenedPacks]) -> bool:
    """Tell by Hall's condition whether packs hold enough: no serving out, no greed."""
    size = magnitude(item.pack, item.unit)
    life = 99 if item.opened_life is None else item.opened_life
    for length in range(1, len(used) + 1):
        for some in itertools.combinations(used, length):
            reach = sum(
                pack.packs * size
                for pack in packs
                if any(0 <= (day - pack.opened).days <= life for day in some)
            )
            if reach < sum(used[day] for day in some):
                return False
    return True


@given(
    uses,
    st.integers(5, 20),
    st.none() | st.integers(0, 4),
    st.lists(st.integers(0, 3), min_size=3, max_size=3),
)
def test_packs_that_are_named_are_judged_right(
    used: dict[date, Decimal], size: int, life: int | None, numbers: list[int]
) -> None:
    item = larder_item(size, life)
    packs = [OpenedPacks("x", day, one) for day, one in zip(DAYS, numbers, strict=True)]
    assert (sums.covered(item, used, packs) == []) == holds(item, used, packs)
