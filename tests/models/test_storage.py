"""Which storage class food falls under, and whose figure decides.

The figures themselves are held against what is published in tests/published. Here is what is
made of them: the shortest life holds, and no name talks away what spoils first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.foods.food import Food, find, table
from models.foods.storage import (
    CUT,
    LEAVES,
    LEFTOVERS,
    LONGEST_AT_HOME,
    PLANT,
    Keeping,
    at_home,
    caution_keys,
    cautions,
    class_names,
    is_rice,
    proposed,
    storage,
    strictest,
    watched,
)
from models.week.week import Batch
from models.words.errors import InputError
from models.words.guidance import GUIDANCES
from models.words.names import plain_name
from tests.cases import each

from .kitchen import week_from

ONE_BATCH = """\
week: {{starts: 2026-11-30, days: [mon, tue], guidance: {guidance}, cups: us}}
eaters: {{Ada: {{}}}}
batches:
  pot:
    made: 2026-11-29
    yield: 4 portions
{entry}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1}}}}
"""


def batch_of(guidance: str, foods: Sequence[str], *entry: str) -> Batch:
    """Make a batch of 200 g of each food."""
    lines = [f'      - "200 g {food}"' for food in foods]
    listed = ["    ingredients:", *lines] if foods else []
    text = "\n".join([*(f"    {line}" for line in entry), *listed])
    return week_from(ONE_BATCH.format(guidance=guidance, entry=text)).batches["pot"]


def days(batch: Batch) -> tuple[int, int]:
    return batch.life.low, batch.life.high


def foods(*names: str) -> list[Food]:
    return [table()[name] for name in names]


def own(name: str) -> Food:
    """Make a food of a table of one's own, of which neither sort nor storage class is known."""
    return replace(table()["water"], name=name, group="own", storage="")


RICE, RAW_RICE = "white rice, long-grain, boiled", "white rice, long-grain, raw"
CHICKPEAS, QUINOA = "chickpeas, boiled", "quinoa, dry"
PASTA, POTATO = "pasta, white, dry", "potato, raw"
CARROT, SPINACH = "carrot, raw", "spinach leaf, raw"
COD, CHICKEN = "cod, raw", "chicken breast, skinless, raw"
EGG, MINCE = "egg, whole, fresh", "beef mince, raw"
MUSSELS, PRAWNS = "mussels, boiled", "king prawns, raw"
SPROUTS, MELON = "alfalfa sprouts, raw", "honeydew melon, raw"
OIL, SALT = "olive oil", "table salt"


# -- what food falls under -------------------------------------------------------------

PROPOSED = [
    ([CHICKPEAS], {"cooked pulses"}),
    ([CHICKPEAS, "lentils, green or brown, dry"], {"cooked pulses"}),
    (["pearl barley, dry"], {"cooked grains"}),
    ([QUINOA], {"cooked quinoa"}),
    ([PASTA], {"cooked pasta"}),
    (["rice noodles, uncooked"], {"cooked pasta"}),
    ([POTATO], {"cooked potatoes"}),
    (["sweet potato, raw"], {"cooked potatoes"}),
    ([CARROT, SPINACH], {PLANT}),
    ([CARROT, "onion, raw"], {"cooked vegetables"}),
    ([RICE], {"cooked rice"}),
    ([RAW_RICE, "wild rice, dry"], {"cooked rice"}),
    ([COD], {"cooked fish", LEFTOVERS}),
    ([CHICKEN], {"cooked poultry", LEFTOVERS}),
    ([MINCE], {LEFTOVERS}),
    ([EGG], {LEFTOVERS}),
    ([MUSSELS], {"cooked shellfish", LEFTOVERS}),
    ([PRAWNS], {"cooked shellfish", LEFTOVERS}),
    ([SPROUTS], {"sprouts", "cooked vegetables"}),
    ([MELON], {"cut melon", PLANT}),
    # Mixtures.
    ([CHICKPEAS, CARROT], {PLANT}),
    ([POTATO, CARROT], {PLANT}),
    ([QUINOA, "bulgur wheat, dry"], {PLANT}),
    ([RICE, CHICKPEAS], {"cooked rice", PLANT}),
    ([RICE, CHICKEN], {"cooked rice", "cooked poultry", LEFTOVERS}),
    ([CHICKPEAS, EGG], {LEFTOVERS}),
    ([COD, POTATO], {"cooked fish", LEFTOVERS}),
    ([COD, MUSSELS, RICE], {"cooked fish", "cooked shellfish", "cooked rice", LEFTOVERS}),
    ([CHICKPEAS, SPROUTS], {"sprouts", PLANT}),
    ([MELON, COD], {"cut melon", "cooked fish", LEFTOVERS}),
]


@each(("names", "classes"), PROPOSED)
def test_food_falls_under_all_the_classes_that_are_in_it(
    names: list[str], classes: set[str]
) -> None:
    assert set(proposed(foods(*names))) == classes
    assert set(proposed(reversed(foods(*names)))) == classes


@each("names", [names for names, _ in PROPOSED])
def test_seasoning_decides_nothing(names: list[str]) -> None:
    alone = proposed(foods(*names))
    seasoned = foods(OIL, *names, SALT, "cumin seeds", "parsley leaf, fresh", "honey, runny")
    assert set(proposed(seasoned)) == set(alone)


def test_every_class_proposed_has_a_figure_of_each_guidance() -> None:
    every = set().union(*(proposed([food]) for food in table().values())) | {PLANT, LEFTOVERS}
    unnamed = {name for name in every if storage()[name].uk is None}
    assert all(storage()[name].us is not None for name in every)
    # The United Kingdom names no days for these: there they have to be said, or what they are
    # mixed with decides.
    assert unnamed == {"cut melon", LEAVES, "salad dressing, home-made"}
    assert PLANT in proposed(foods(MELON))


RICES = ["brown rice, long-grain, raw", "sticky rice, boiled", "wild rice, dry", RICE, RAW_RICE]
NO_RICES = ["rice noodles, uncooked", "rice flour", CARROT, "pearl barley, dry"]


def test_rice_is_told_from_what_only_bears_its_name() -> None:
    assert all(is_rice(food) for food in foods(*RICES))
    assert not any(is_rice(food) for food in foods(*NO_RICES))
    for name in ("rice", "basmati rice, cooked", "rice salad", "Rice, white, cooked", "fried rice"):
        assert is_rice(own(name)), name
    for name in ("rice flour", "rice vinegar", "rice noodles", "rice cakes", "rice milk", "price"):
        assert not is_rice(own(name)), name


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("shellfish sticks", "cooked shellfish"),
        ("mixed mussels", "cooked shellfish"),
        ("tiger prawns", "cooked shellfish"),
        ("watermelon cubes", "cut melon"),
        ("cantaloupe", "cut melon"),
        ("sprouted lentils", "sprouts"),
        ("beansprouts", "sprouts"),
        ("rice pilaf", "cooked rice"),
    ],
)
def test_a_food_of_another_table_is_told_by_its_name(name: str, kind: str) -> None:
    assert kind in proposed([own(name)])
    assert storage()[kind].caution in caution_keys((), [own(name)])


def test_brussels_sprouts_are_no_sprouts() -> None:
    assert set(proposed(foods("brussels sprout, raw"))) == {"cooked vegetables"}
    assert caution_keys((), foods("brussels sprout, raw")) == ()


def test_a_melon_that_is_a_gourd_is_told_by_its_class_and_not_by_its_name() -> None:
    assert watched(find("winter melon, raw")) is None
    assert watched(own("winter melon")) == "cut melon"


# -- whose figure ----------------------------------------------------------------------


def test_the_strictest_is_the_life_that_ends_first() -> None:
    long, short = Keeping(3, 7, "long"), Keeping(4, 5, "short")
    assert strictest([long, short]) == Keeping(3, 5, "short")
    assert strictest([short, long]) == Keeping(3, 5, "short")
    assert strictest([Keeping(3, 4, "a"), Keeping(1, 1, "b")]) == Keeping(1, 1, "b")
    assert strictest([]) is None


LIVES = st.lists(
    st.tuples(st.integers(0, 60), st.integers(0, 60)).map(
        lambda pair: Keeping(min(pair), max(pair), f"{pair}")
    ),
    min_size=1,
    max_size=6,
)


@given(LIVES)
def test_the_strictest_is_no_later_than_any(lives: list[Keeping]) -> None:
    found = strictest(lives)
    assert found is not None
    assert found.low <= found.high
    assert all(found.high <= one.high and found.low <= one.low for one in lives)
    # The limit is somebody's, and so are the words.
    assert (found.high, found.source) in {(one.high, one.source) for one in lives}


@each("name", list(storage()))
def test_strictest_takes_the_one_that_is_published_or_the_shorter(name: str) -> None:
    kept = storage()[name]
    us, uk, both = (kept.fridge(whose) for whose in ("us", "uk", "strictest"))
    assert (us, uk) == (kept.us, kept.uk)
    if uk is None and kept.home:
        # What is made at home is leftovers where the United Kingdom names no other days.
        assert both is not None
        assert both.high == min(2, 99 if us is None else us.high)
        return
    assert kept.any_fridge() == both
    if us is None or uk is None:
        assert both == (us or uk)
    else:
        assert both is not None
        assert both.high == min(us.high, uk.high)


def test_a_class_is_found_by_its_names_in_any_order_and_number() -> None:
    names = class_names()
    assert names["boiled rice"] == "cooked rice"
    assert names["rice salad"] == "cooked rice"
    assert names["chicken salad"] == "egg, chicken or fish salad"
    for said in ("boiled rice", "Rice, boiled", "BOILED  RICES"):
        assert batch_of("uk", [CHICKPEAS], f'keeps_as: "{said}"').life.classes[0] == "cooked rice"


def test_the_name_of_a_class_is_that_class_and_of_no_other() -> None:
    for name, kept in storage().items():
        text = f'keeps_as: "{name}"\n    fridge_life: 0'
        if not kept.home:
            # What is bought says nothing of what is made at home.
            with pytest.raises(InputError, match="is of what is bought, not of what is made"):
                batch_of("us", [CHICKPEAS], text)
            continue
        assert name in batch_of("us", [CHICKPEAS], text).life.classes


# -- what decides in a batch -----------------------------------------------------------

DECIDED = [
    # Foods; days in the US (low, high), in the UK; the class that decides there.
    ([CHICKPEAS], (3, 4), (2, 2), "cooked pulses", "cooked pulses"),
    ([CHICKPEAS, CARROT], (3, 4), (2, 2), PLANT, PLANT),
    ([RICE], (4, 6), (1, 1), "cooked rice", "cooked rice"),
    ([RAW_RICE, CHICKPEAS], (3, 4), (1, 1), PLANT, "cooked rice"),
    ([RICE, CHICKEN], (3, 4), (1, 1), "cooked poultry", "cooked rice"),
    # Seven days with the day of making are the end of anything made at home.
    ([QUINOA], (6, 6), (2, 2), "cooked quinoa", "cooked quinoa"),
    ([PASTA], (3, 5), (2, 2), "cooked pasta", "cooked pasta"),
    ([PASTA, CARROT], (3, 4), (2, 2), PLANT, PLANT),
    ([POTATO], (3, 4), (2, 2), "cooked potatoes", "cooked potatoes"),
    ([COD], (3, 4), (2, 2), "cooked fish", "cooked fish"),
    ([CHICKEN], (3, 4), (2, 2), "cooked poultry", "cooked poultry"),
    ([EGG, CARROT], (3, 4), (2, 2), LEFTOVERS, LEFTOVERS),
    ([MUSSELS], (3, 4), (2, 2), "cooked shellfish", "cooked shellfish"),
    ([SPROUTS], (3, 4), (2, 2), "cooked vegetables", "sprouts"),
    ([MELON], (2, 4), (2, 2), "cut melon", PLANT),
]


@each(("names", "us", "uk", "decides_us", "decides_uk"), DECIDED)
def test_the_class_that_ends_first_decides(
    names: list[str], us: tuple[int, int], uk: tuple[int, int], decides_us: str, decides_uk: str
) -> None:
    in_us, in_uk, strict = (batch_of(whose, names) for whose in GUIDANCES)
    assert (days(in_us), in_us.life.classes[0]) == (us, decides_us)
    assert (days(in_uk), in_uk.life.classes[0]) == (uk, decides_uk)
    assert days(strict) == uk
    for batch in (in_us, in_uk, strict):
        assert not batch.life.stated
        assert not batch.life.risk
        assert batch.life.source.endswith(f", as {batch.life.classes[0]}")


@each("whose", list(GUIDANCES))
@each("names", [names for names, *_ in DECIDED])
def test_the_source_is_of_the_class_and_the_guidance(whose: str, names: list[str]) -> None:
    life = batch_of(whose, names).life
    decides = life.classes[0]
    kept = storage()[decides].fridge(whose)
    assert kept is not None
    assert life.source == f"{at_home(kept).source}, as {decides}"
    assert life.high == min(kept.high, LONGEST_AT_HOME)


@pytest.mark.parametrize(
    ("named", "inside", "whose", "high", "decides"),
    [
        # Not even at one's own risk does a longer name for the whole talk away rice, shellfish,
        # sprouts or melon.
        ("hummus, home-made", RICE, "us", 6, "cooked rice"),
        ("hummus, home-made", RICE, "uk", 1, "cooked rice"),
        ("bean salad", RICE, "uk", 1, "cooked rice"),
        ("coleslaw", RAW_RICE, "uk", 1, "cooked rice"),
        ("coleslaw", RAW_RICE, "strictest", 1, "cooked rice"),
        ("cooked quinoa", MUSSELS, "us", 4, "cooked shellfish"),
        ("cooked quinoa", SPROUTS, "uk", 2, "cooked quinoa"),
        ("cooked quinoa", MELON, "us", 4, "cut melon"),
        # A shorter name holds.
        ("cut leafy greens", RICE, "us", 2, "cut leafy greens"),
    ],
)
def test_a_name_for_the_whole_does_not_talk_away_what_is_inside(
    named: str, inside: str, whose: str, high: int, decides: str
) -> None:
    batch = batch_of(whose, [inside, CHICKPEAS], f"keeps_as: {named}", "own_risk: yes")
    assert (batch.life.high, batch.life.classes[0]) == (high, decides)
    assert class_names()[plain_name(named)] in batch.life.classes


def test_a_name_for_the_whole_goes_before_what_would_be_proposed() -> None:
    assert days(batch_of("us", [QUINOA], "keeps_as: soup")) == (3, 4)
    salad = batch_of("us", [PASTA, CARROT], "keeps_as: pasta salad", "own_risk: yes")
    assert (days(salad), salad.life.classes) == ((3, 5), ("pasta or potato salad",))
    assert salad.life.risk.startswith("4 days as leftovers, plant: 3 - 4 Days")


# -- a name may shorten a life, and lengthens it at one's own risk -------------------------

HERE = "  # here"
LONGER = [
    # A stew of chickpeas, lettuce and quinoa: none of them is what it is called.
    ([CHICKPEAS, CARROT], "pasta salad", "5 days, longer than what is in it, 4 days as leftovers"),
    ([CHICKPEAS, CARROT], "cooked quinoa", "6 days, longer than what is in it, 4 days"),
    (
        [CHICKPEAS],
        "hummus, home-made",
        "6 days, longer than what is in it, 4 days as cooked pulses",
    ),
    ([CARROT], "salad dressing, home-made", "6 days, longer than what is in it, 4 days"),
    (["cos lettuce, raw"], "coleslaw", "5 days, longer than what is in it, 2 days as leaf salad"),
]


@each(("names", "named", "said"), LONGER)
def test_a_longer_name_needs_ones_own_risk(names: list[str], named: str, said: str) -> None:
    with pytest.raises(InputError) as wrong:
        batch_of("us", names, f'keeps_as: "{named}"{HERE}')
    assert wrong.value.where.path == ("batches", "pot", "keeps_as")
    assert said in wrong.value.what
    most = said.partition("in it, ")[2][0]
    assert f"state 'fridge_life: {most}' or less, or add 'own_risk: yes'" in wrong.value.mend
    assert days(batch_of("us", names, f'keeps_as: "{named}"', "fridge_life: 1")) == (1, 1)
    risky = batch_of("us", names, f'keeps_as: "{named}"', "own_risk: yes")
    assert f"{most} days as" in risky.life.risk


BOUGHT_CLASSES = [
    "lard",
    "cupboard",
    "miso",
    "hard cheese",
    "nut butter",
    "opened sauces",
    "butter",
]


@each("named", BOUGHT_CLASSES)
@each("more", [(), ("fridge_life: 2",), ("own_risk: yes",)])
def test_no_batch_is_what_only_shops_have(named: str, more: tuple[str, ...]) -> None:
    with pytest.raises(InputError, match="is of what is bought, not of what is made at home"):
        batch_of("us", [CHICKPEAS], f"keeps_as: {named}", *more)


@each("guidance", list(GUIDANCES))
def test_nothing_made_at_home_is_kept_for_more_than_seven_days(guidance: str) -> None:
    for name, kept in storage().items():
        if kept.home and kept.fridge(guidance, cooked=True) is not None:
            found = batch_of(guidance, [], f'keeps_as: "{name}"', *NOTHING_SAID)
            assert found.life.high <= LONGEST_AT_HOME, name
    for name in ("cooked quinoa", "hummus, home-made"):
        found = batch_of("us", [], f'keeps_as: "{name}"', *NOTHING_SAID)
        assert (found.life.high, found.life.risk) == (6, "")
        assert "at most 7 days, day of making included (FDA Food Code 2022" in found.life.source
    with pytest.raises(InputError, match="7 days is longer than is published, 6 days as"):
        batch_of("us", [QUINOA], "fridge_life: 7")
    assert days(batch_of("us", [QUINOA], "fridge_life: 7", "own_risk: yes")) == (7, 7)
    # What nobody publishes days for ends then too.
    with pytest.raises(InputError, match="7 days is longer than is published, 6 days: at most 7"):
        batch_of("us", [], "keeps_as: packed sandwich", "fridge_life: 7", *NOTHING_SAID)


NOTHING_SAID = ("portion: 50 g", "nutrition: {}")

RAW_MIXES = [
    (["cos lettuce, raw", "cucumber, unpeeled, raw", OIL], (2, 2), LEAVES),
    (["rocket, raw", "chickpeas, boiled"], (2, 2), LEAVES),
    ([CARROT, "celery sticks, raw"], (4, 5), CUT),
    ([CARROT, "tomato, raw"], (4, 5), CUT),
    (["apple, raw, with skin"], (4, 4), "cut fruit"),
    ([SPINACH], (2, 2), LEAVES),
    # What is cooked already is mixed with it.
    ([CARROT, CHICKPEAS], (3, 4), "cooked pulses"),
]


@each(("names", "us", "decides"), RAW_MIXES)
def test_dressed_leaves_and_cut_vegetables_are_no_leftovers(
    names: list[str], us: tuple[int, int], decides: str
) -> None:
    steps = "steps: [{do: cut and mix, lasts: 10 min}]"
    batch = batch_of("us", names, steps)
    assert (days(batch), batch.life.classes[0]) == (us, decides)
    assert batch_of("strictest", names, steps).life.high == 2
    # No authority of the United Kingdom names days for them.
    if decides in {CUT, LEAVES} and CHICKPEAS not in names:
        with pytest.raises(InputError, match="uk publishes no fridge life"):
            batch_of("uk", names, steps)


def test_salad_leaves_are_raw_whether_steps_are_told_or_not() -> None:
    assert batch_of("us", ["cos lettuce, raw", CARROT]).life.classes[0] == LEAVES
    assert batch_of("us", [SPINACH]).life.classes[0] == PLANT
    cooked = batch_of("us", [SPINACH], "steps: [{do: wilt, lasts: 5 min, rings: 1}]")
    assert cooked.life.classes[0] == PLANT


# -- cautions --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "key"),
    [
        (RICE, "rice"),
        (RAW_RICE, "rice"),
        (SPROUTS, "sprouts"),
        (MELON, "cut melon"),
        (MUSSELS, "shellfish"),
        (PRAWNS, "shellfish"),
        ("red kidney beans, dry", "kidney beans"),
    ],
)
def test_a_food_brings_its_caution_whatever_it_is_called(name: str, key: str) -> None:
    assert key in batch_of("us", [name, CARROT]).cautions
    assert key in batch_of("us", [CARROT, name], "keeps_as: soup").cautions
    assert key in caution_keys((), foods(name))
    text, source = cautions()[key]
    assert text
    assert source


def test_beans_that_were_boiled_hard_already_need_no_caution() -> None:
    for name in ("red kidney beans, boiled", "red kidney beans, tinned, drained"):
        assert caution_keys((), foods(name)) == (), name


def test_home_canned_food_brings_its_caution_by_its_class() -> None:
    entry = ('keeps_as: "home-canned food, opened"', "fridge_life: 2")
    assert batch_of("us", [CHICKPEAS], *entry).cautions == ("home-canned",)


def test_other_food_brings_no_caution() -> None:
    assert batch_of("us", [CHICKPEAS, CARROT, OIL]).cautions == ()
    assert caution_keys(("cooked pulses", "no class"), foods(CARROT)) == ()


def test_cautions_come_once_and_in_the_order_of_their_table() -> None:
    every = foods(RICE, MUSSELS, RICE, SPROUTS, "red kidney beans, dry", MELON)
    found = caution_keys(("cooked rice", "home-canned food, opened"), every)
    assert found == ("rice", "sprouts", "cut melon", "shellfish", "home-canned", "kidney beans")
    assert list(found) == [key for key in cautions() if key in found]
