"""Places of the week file that several rules share, and what grows with a batch or a box."""

from __future__ import annotations

import pytest

from models.answers.mend import MendFile
from models.file.reading import read_week, ready_text, week_of
from models.file.yamltext import parse
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.words.errors import InputError
from optimiser.explain.mend import mend
from optimiser.explain.wishes import Wish
from optimiser.planning import plan_week
from optimiser.report.mend import text as told
from optimiser.rules.served import Served
from optimiser.rules.thawed_from import ThawedFrom

BEANS = (
    "made: 2026-11-29, portion: 100 g, nutrition: {protein: 4.2 g, salt: 1.05 g}, "
    "fridge_life: 2 to 3, allergens: none"
)


def week(
    days: str = "mon, tue",
    eaters: str = "  Ada: {}\n",
    batches: str = "",
    dishes: str = "  A: {kind: a, goes_in: {oats: 100 g}}\n  B: {kind: b, goes_in: {rye: 100 g}}\n",
    rest: str = "",
) -> str:
    holds = "{protein: 10 g, fibre: 1 g, salt: 0 g}"
    item = f"{{pack: 500 g, chilled: no, allergens: none, nutrition: {holds}}}"
    larder = f"larder:\n  oats: {item}\n  rye: {item}\n"
    batches = f"batches:\n{batches}" if batches else ""
    return (
        f"week: {{starts: 2026-11-30, days: [{days}], guidance: us}}\neaters:\n{eaters}{batches}"
        f"{larder}dishes:\n{dishes}{rest}"
    )


def fixed(text: str, *wanted: Wish) -> MendFile:
    return mend(week_of(parse("w", text)), list(wanted), count=12)


def places(answer: MendFile) -> list[list[str]]:
    return [
        [" > ".join(map(str, x.path)) + f": {x.becomes}" for x in way.changes]
        for way in answer.ways
    ]


# A place that several rules share is one change, and its step no larger than it must be.
def test_most_times_of_all_dishes_is_one_change_of_one_step() -> None:
    answer = fixed(week(days="mon, tue, wed, thu, fri, sat", rest="variety: {most_times: 2}\n"))
    assert places(answer) == [["variety > most_times: 3"]]


# Likewise a box of two eaters.
def test_a_box_of_two_eaters_is_one_change() -> None:
    text = week(
        days="mon",
        eaters="  Ada: {box: tin}\n  Bo: {box: tin}\n",
        dishes="  A: {kind: a, goes_in: {oats: 100 g}}\n",
        rest="boxes:\n  tin: {compartments: [100 mL]}\n",
    )
    text = text.replace("  oats: {pack: 500 g,", "  oats: {pack: 500 g, room: 110 mL,")
    answer = fixed(text)
    assert places(answer) == [["boxes > tin > compartments: 110 mL"]]


# A larger box is larger for wet and crisp too.
def test_a_larger_box_helps_wet_beside_crisp() -> None:
    text = week(
        days="mon",
        eaters="  Ada: {box: tin}\n",
        dishes="  A: {kind: a, goes_in: {oats: 100 g, rye: 100 g}}\n",
        rest="boxes:\n  tin: {compartments: [100 mL, 100 mL]}\n",
    )
    text = text.replace("  oats: {", "  oats: {room: 110 mL, texture: wet, ")
    text = text.replace("  rye: {", "  rye: {room: 80 mL, texture: crisp, ")
    assert places(fixed(text)) == [["boxes > tin > compartments: 110 mL, 110 mL"]]


# A dish's own `most` beside most_times: both have to change.
def test_a_dish_with_its_own_most_beside_most_times() -> None:
    text = week(
        days="mon, tue, wed",
        rest="variety: {most_times: 1}\n",
        dishes="  A: {kind: a, most: 1, goes_in: {oats: 100 g}}\n"
        "  B: {kind: b, most: 1, goes_in: {rye: 100 g}}\n",
    )
    assert fixed(text).ways


# Freezes, and nothing said of how much: the freezer grows with the batch, in the file and
# in the search: a bigger freezer beside a bigger batch is a needless change.
def test_a_freezer_without_a_limit_is_no_change() -> None:
    text = week(
        days="thu, fri",
        batches="  beans: {made: 2026-11-29, yield: 4 portions, portion: 100 g, nutrition: "
        "{protein: 4 g}, fridge_life: 1 to 2, freezes: yes, allergens: none}\n",
        dishes="  A: {kind: a, takes: {beans: 3}}\n",
    ).replace("2026-11-30", "2026-12-03")
    assert [x for one in places(fixed(text)) for x in one] == ["batches > beans > cook: 6 portions"]


# A range that reaches above what the batch comes to grows with it.
def test_a_dish_may_take_more_of_a_bigger_batch() -> None:
    text = week(
        days="mon",
        eaters="  Ada: {floors: {protein: 25 g}}\n",
        batches=f"  beans: {{{BEANS}, yield: 4 portions}}\n",
        dishes="  A: {kind: a, takes: {beans: 1 to 6}}\n",
    )
    answer = fixed(text)
    assert ["batches > beans > cook: 6 portions"] in places(answer)


# A ceiling written as salt stays salt.
def test_a_ceiling_of_salt_is_raised() -> None:
    text = week(
        eaters="  Ada: {ceilings: {salt: 1 g}}\n",
        batches=f"  beans: {{{BEANS}, yield: 4 portions}}\n",
        dishes="  A: {kind: a, takes: {beans: 1}}\n",
    )
    assert fixed(text).ways


def test_an_entry_of_kinds_apart_that_stands_twice_is_refused() -> None:
    with pytest.raises(InputError, match="b is named twice"):
        week_of(parse("w", week(rest="variety: {kinds_apart: [b, b, a]}\n")))


# Twenty portions for two lunches of four: cooking eight, twelve fewer, would leave nothing.
def test_what_was_not_looked_for_is_not_said_not_to_be() -> None:
    text = week(
        batches="  stew: {made: 2026-11-29, yield: 20 portions, portion: 100 g, fridge_life: 3,\n"
        "    nutrition: {protein: 10 g}, allergens: none}\n",
        dishes="  A: {kind: a, takes: {stew: 4}}\n",
    )
    answer = fixed(text)
    assert (answer.goal, answer.complete) == ("nothing left over", True)
    mended = week_of(parse("w", text.replace("yield: 20", "cook: 8 portions, yield: 20")))
    assert mend(mended, []).already
    printed = " ".join(told(answer).split())
    assert "There are no others" not in printed
    assert "portions more or fewer (2 where that is less, 8 at the most)" in printed
    # Where there are ways, nor is it said that no others are.
    answer = fixed(week(days="mon, tue, wed, thu, fri, sat", rest="variety: {most_times: 2}\n"))
    printed = " ".join(told(answer).split())
    assert "cost 0.00" not in printed  # Nothing has a price.
    assert "No others that change other things are among those looked for: each rule" in printed


UK = ready_text("minimal").replace("us}", "uk}").replace("mon, tue, wed", "mon, tue, wed, thu")
"""Rice keeps a day by the NHS, so that four lunches of it need the freezer."""

OUT = """\
# Out and about.
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
place: {fridge: yes} # at work
elsewhere:
  - {day: tue, fridge: no} # on the road
eaters: {Ada: {must_not: {allergens: [fish], foods: [pork]}}}
batches:
  beans:
    {yield: 4 portions, portion: 100 g, fridge_life: 3, allergens: none, free_of: others}
larder:
  rye slice: {food: rye bread, pack: 10 pieces, piece: 45 g} # sliced
  paste: {pack: 100 g, chilled: no, allergens: none} # from the deli
dishes:
  Bowl: {kind: bowl, takes: {beans: 2}} # as ever
  Bread: {kind: bread, goes_in: {rye slice: 3 pieces}}
  Toast: {kind: toast, goes_in: {paste: 30 g}}
"""


# What a cook does about it: each an edit of one place, all else of the file as it was.
@pytest.mark.parametrize(
    ("text", "said", "old", "new", "label"),
    [
        (
            UK.replace("1200 g, portion: 200 g", "12 portions"),
            "freeze up to 6 portions of rice and beans, of which none is frozen now",
            "yield: 12",
            "freezer: 6 portions, yield: 12",
            False,
        ),
        (
            OUT[: OUT.index("  Bread")].replace("must_not", "likes: {}, must_not"),
            "take 2 cold packs along for the lunch on Tue 1 Dec, not none",
            "{day: tue",
            "{cold_packs: 2, day: tue",
            False,
        ),
        (
            OUT[: OUT.index("  Toast")],
            "read the label of rye slice: only if it is free of fish, write free_of: [fish]",
            "{food: rye",
            "{free_of: [fish], food: rye",
            True,
        ),
        (
            OUT.replace("  Bread: {kind: bread, goes_in: {rye slice: 3 pieces}}\n", ""),
            "read the label of paste: only if it is free of pork, write free_of: [pork]",
            "{pack: 100",
            "{free_of: [pork], pack: 100",
            True,
        ),
        (
            week(days="wed, thu", batches="  beans: {yield: 2 portions, " + BEANS + "}\n")
            .replace("2026-11-30", "2026-12-02")
            .replace("freezes: no, ", "")
            .replace("goes_in: {oats: 100 g}", "takes: {beans: 1}")
            .replace("  B: {kind: b, goes_in: {rye: 100 g}}\n", ""),
            "cook beans on Mon 30 Nov, not Sun 29 Nov",
            "made: 2026-11-29",
            "made: 2026-11-30",
            False,
        ),
        (
            week(days="mon", eaters="  Ada: {floors: {protein: 14 g}}\n"),
            "150 g of oats in A, not 100 g",
            "oats: 100 g}",
            "oats: 150 g}",
            False,
        ),
        (
            week(
                days="mon",
                eaters="  Ada: {floors: {protein: 19 g}}\n",
                dishes="  A: {kind: a, goes_in: {oats: 100 g}}\n",
            ).replace("  rye: {pack: 500 g", "  rye: {pack: 1 piece, piece: 100 g"),
            "1 piece of rye from the larder with A, where it is needed",
            "{kind: a",
            "{extras: {rye: {portion: 1 piece, most: 1}}, kind: a",
            False,
        ),
    ],
)
def test_what_a_cook_does_is_offered(text: str, said: str, old: str, new: str, label: bool) -> None:
    answer = fixed(text)
    (way,) = [way for way in answer.ways if [change.text for change in way.changes] == [said]]
    assert text.count(old) == 1
    assert way.text == text.replace(old, new)
    assert way.changes[0].label is label
    assert not way.changes[0].wish
    assert answer.blocked == []
    solved = plan_week(week_of(parse("mended", way.text)), reasons=False)
    assert (solved.status, len(solved.lunches)) == ("optimal", len(way.dishes))


# Neither is what does not freeze well frozen, nor what was frozen already frozen anew.
def test_only_what_freezes_well_is_frozen() -> None:
    for no in ("freezes: no", "keeps_as: leaf salad dressed, own_risk: yes"):
        text = UK.replace("1200 g, portion: 200 g", f"12 portions, {no}")
        text = text.replace("keeps_as: leftovers without meat, ", "") if "keeps" in no else text
        assert not [place for way in places(fixed(text)) for place in way if "freezer" in place]


def test_what_only_a_mended_week_asks_for_is_checked_without_a_solver() -> None:
    read = read_week("minimal")
    day, dish = read.days[0], "Rice, beans and apple"
    parts = (PackedPortions("rice and beans", 2, 1),)
    lunch = PackedLunch("Ilse", day, dish, parts, {}, {"hard cheese": 2})
    packed = PackedWeek((lunch,), ())
    for most, always, wrong in ((2, True, 0), (3, True, 1), (3, False, 0), (1, False, 1)):
        served = Served(dish, "hard cheese", most, always)
        assert len(list(served.faults(read, packed))) == wrong, (most, always)
    assert not list(ThawedFrom("rice and beans", day).faults(read, packed))
    assert len(list(ThawedFrom("rice and beans", read.days[1]).faults(read, packed))) == 1
