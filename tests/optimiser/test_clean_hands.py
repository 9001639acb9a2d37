"""Raw meat and ready food share hands, board and knife: a washing stands between, proven shortest.

What the scheduler finds is held against every order there is.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.answers.prep import PrepDay
from models.file.reading import week_of
from models.file.yamltext import parse
from models.foods.food import find
from models.foods.raw import raw_kind
from models.week.kitchen import RAW, READY, Cooling, Placed, Step, handled
from models.week.week import Week
from models.words.errors import InputError
from optimiser.report.prep import text
from optimiser.sheets.prep import COOL, FILL, WASH, closed, faults, limit_of, prep, timetable
from optimiser.solve.cpsat import Status
from optimiser.solve.schedule import Aim, Clearing, Link, Task, schedule

WASHING = 2
SOON = 60


def shortest(jobs: list[list[tuple[str, int]]]) -> tuple[int, int]:
    """Give the least end and the least washings for it, over every order of one pair of hands.

    A job is a chain of works; each is "raw", "ready" or "other" and takes so many minutes.
    Hands are never idle in a best order, as every work is theirs.
    """
    works = [(job, step) for job, chain in enumerate(jobs) for step in range(len(chain))]
    raws = [work for work in works if jobs[work[0]][work[1]][0] == "raw"]
    best = (999, 999)
    for size in range(len(raws) + 1):
        for washings in combinations(range(size), size):
            things: list[object] = [*works, *(f"wash {at}" for at in washings)]
            for order in permutations(things):
                if in_order(order) and is_clean(order, jobs):
                    lasts = sum(jobs[job][step][1] for job, step in works) + size * WASHING
                    best = min(best, (lasts, size))
    return best


def in_order(order: tuple[object, ...]) -> bool:
    seen: set[object] = set()
    for name in order:
        if isinstance(name, tuple) and name[1] and (name[0], name[1] - 1) not in seen:
            return False
        seen.add(name)
    return True


def is_clean(order: tuple[object, ...], jobs: list[list[tuple[str, int]]]) -> bool:
    dirty = False
    for name in order:
        if isinstance(name, str):
            dirty = False
        elif isinstance(name, tuple):
            kind = jobs[name[0]][name[1]][0]
            if kind == "ready" and dirty:
                return False
            dirty = dirty or kind == "raw"
    return not dirty


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.lists(
            st.tuples(st.sampled_from(["raw", "ready", "other"]), st.integers(1, 5)),
            min_size=1,
            max_size=2,
        ),
        min_size=1,
        max_size=2,
    )
)
def test_the_washings_are_those_of_the_best_of_every_order(
    jobs: list[list[tuple[str, int]]],
) -> None:
    tasks, links, leaving, minding = [], [], {}, []
    for job, chain in enumerate(jobs):
        for step, (kind, lasts) in enumerate(chain):
            name = f"{job}.{step}"
            tasks.append(Task(name, lasts, lasts, ((0, 99),), {"hands": 1}))
            if step:
                links.append(Link(f"{job}.{step - 1}", name))
            if kind == "raw":
                leaving[name] = f"wash {name}"
            if kind == "ready":
                minding.append(name)
    washes = tuple(leaving.values())
    tasks += [
        Task(washing, WASHING, WASHING, ((0, 99),), {"hands": 1}, optional=True)
        for washing in washes
    ]
    every = tuple(task.name for task in tasks)
    timetable = schedule(
        tasks,
        links,
        {"hands": 1},
        [Aim(last=every), Aim(done=washes)],
        clearing=Clearing(leaving, tuple(minding), SOON),
    )
    assert timetable.status is Status.OPTIMAL
    assert timetable.values == shortest(jobs)
    assert timetable.times is not None
    done = [washing for washing in washes if washing in timetable.times]
    assert len(done) == timetable.values[1]


def test_ready_work_waits_in_front_where_a_washing_would_cost() -> None:
    # One washing is enough either way; the second aim says which order is wanted.
    tasks = [
        Task("raw", 5, 5, ((0, 99),), {"hands": 1}),
        Task("ready", 5, 5, ((0, 99),), {"hands": 1}),
        Task("wash", 2, 2, ((0, 99),), {"hands": 1}, optional=True),
    ]
    aims = [Aim(last=("raw", "ready", "wash")), Aim(starts=(("ready", 1),))]
    timetable = schedule(
        tasks, [], {"hands": 1}, aims, clearing=Clearing({"raw": "wash"}, ("ready",), 9)
    )
    assert timetable.times == {"ready": (0, 5), "raw": (5, 10), "wash": (10, 12)}


def test_a_washing_comes_soon_or_there_is_no_timetable() -> None:
    tasks = [
        Task("raw", 5, 5, ((0, 5),), {"hands": 1}),
        Task("wash", 2, 2, ((20, 30),), {"hands": 1}, optional=True),
    ]
    clearing = Clearing({"raw": "wash"}, (), 14)
    assert schedule(tasks, [], {"hands": 1}, [Aim(last=("wash",))], clearing=clearing).times is None
    later = Clearing({"raw": "wash"}, (), 15)
    timetable = schedule(tasks, [], {"hands": 1}, [Aim(last=("wash",))], clearing=later)
    assert timetable.times == {"raw": (0, 5), "wash": (20, 22)}


# -- what a step touches ---------------------------------------------------------------

CHICKEN, EGG, ONION = "chicken thigh, skinless, raw", "egg, whole, fresh", "onion"
LENTILS, LETTUCE = "lentils, green or brown, dry", "cos lettuce, raw"


def touched(foods: list[str], *steps: Step) -> tuple[list[tuple[str, ...] | None], str]:
    made, raw = handled(steps, [find(food) for food in foods])
    return [step.touches for step in made], raw


def step(text: str, *after: str, heat: bool = False, touches: object = None) -> Step:
    made = Step(text, text, 5, 5, hands=not heat, oven=200 if heat else None, after=after)
    return made if touches is None else Step(text, text, 5, 5, after=after, touches=(str(touches),))


@pytest.mark.parametrize(
    ("foods", "text", "touches"),
    [
        ([CHICKEN, ONION], "cut it all up", ("raw poultry",)),
        ([CHICKEN, ONION], "cut the chicken", ("raw poultry",)),
        ([CHICKEN, ONION], "chop the onion finely", ()),
        ([CHICKEN, ONION], "slice onions into rings", ()),
        # Whatever is not known for certain may be raw.
        ([CHICKEN, ONION], "chop the onion and the fillets", ("raw poultry",)),
        ([CHICKEN, ONION], "mix the onion in", ("raw poultry",)),
        ([CHICKEN, EGG], "beat the eggs", ("raw egg",)),
        ([CHICKEN, EGG], "shape the loaf", ("raw poultry", "raw egg")),
        (["beef mince, raw", ONION], "brown the mince", ("raw meat",)),
        (["salmon, farmed, raw"], "skin the fish", ("raw fish",)),
        (["king prawns, raw"], "peel the prawns", ("raw shellfish",)),
        # Cooked, tinned and smoked food is not raw; smoked fish is for those it harms a caution.
        (["chicken breast, meat only, roast"], "cut the chicken", ()),
        (["tuna in water, tinned, drained"], "flake the fish", ()),
        (["egg, hard-boiled"], "chop the eggs", ()),
    ],
)
def test_a_step_before_cooking_touches_what_it_may(
    foods: list[str], text: str, touches: tuple[str, ...]
) -> None:
    found, _ = touched(foods, step(text), step("bake until done", text, heat=True))
    assert found[0] == touches


def test_what_was_cooked_is_raw_no_more_and_ready_when_it_is_cooked_no_more() -> None:
    found, raw = touched(
        [CHICKEN, ONION],
        step("cut the chicken"),
        step("roast it", "cut the chicken", heat=True),
        step("shred the chicken", "roast it"),
    )
    # It goes raw into the oven.
    assert found == [("raw poultry",), ("raw poultry",), (READY,)]
    assert raw == ""


def test_what_is_made_hot_before_the_food_goes_in_neither_touches_nor_cooks_it() -> None:
    for work in ("heat the oil in a large pan", "preheat the oven to 180 °C", "Melt the butter"):
        hot = step(work, heat=True)
        found, raw = touched([CHICKEN, ONION], hot, step("cut it all up", work))
        assert (found, raw) == ([(), ("raw poultry",)], "raw poultry"), work
    for work in ("heat in the oven", "heat the pan", "fry in hot oil", "heat the oil and brown it"):
        found, raw = touched([CHICKEN, ONION], step(work, heat=True))
        assert (found, raw) == ([("raw poultry",)], ""), work


def test_boiling_the_lentils_does_not_cook_the_egg_that_comes_later() -> None:
    steps = [
        step("boil the lentils", heat=True),
        step("mix and shape", "boil the lentils"),
        step("bake", "mix and shape", heat=True),
        step("cut into squares", "bake"),
    ]
    found, raw = touched([LENTILS, EGG], *steps)
    assert (found[1], found[3], raw) == (("raw egg",), (READY,), "")
    # With nothing that bakes it the egg stays raw, and so does what is put into tubs.
    found, raw = touched([LENTILS, EGG], *steps[:2])
    assert (found[1], raw) == (("raw egg",), "raw egg")


def test_food_that_is_never_cooked_is_ready_and_what_is_cooked_later_is_not() -> None:
    assert touched([LETTUCE], step("tear the leaves"))[0] == [(READY,)]
    assert touched([LENTILS], step("rinse"), step("boil", "rinse", heat=True))[0] == [(), ()]


def test_what_is_named_later_is_not_cooked_by_what_heats_before() -> None:
    steps = [
        step("fry the onions for 10 minutes", heat=True),
        step("add garlic for 1 minute", "fry the onions for 10 minutes"),
        step("tip in the chicken and brown", "add garlic for 1 minute", heat=True),
        step("season", "tip in the chicken and brown"),
    ]
    found, raw = touched([LENTILS, CHICKEN], *steps)
    assert (found[2], found[3], raw) == (("raw poultry",), (READY,), "")
    # Named after its cooking alone, or put in with all the rest, it was cooked by the pot.
    pot = step("simmer 2 hours", heat=True)
    found, raw = touched([CHICKEN], pot, step("shred the chicken", "simmer 2 hours"))
    assert (found[1], raw) == ((READY,), "")
    full = step("simmer everything 2 hours", heat=True)
    again = [
        step("shred the chicken", "simmer everything 2 hours"),
        step("warm the chicken", "shred the chicken", heat=True),
    ]
    found, raw = touched([CHICKEN], full, *again)
    assert (found[1], raw) == ((), "")


def test_what_the_file_says_a_step_touches_goes_before() -> None:
    found, raw = touched(
        [LETTUCE],
        step("take out of the bag", touches="raw fish"),
        step("grill", "take out of the bag", heat=True),
        step("plate", "grill"),
    )
    assert found == [("raw fish",), ("raw fish",), (READY,)]
    assert raw == ""


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("chicken thigh, skinless, raw", "raw poultry"),
        ("pork mince, raw", "raw meat"),
        ("cod, raw", "raw fish"),
        ("king prawns, raw", "raw shellfish"),
        ("duck egg", "raw egg"),
        ("egg white, fresh", "raw egg"),
        ("smoked salmon", None),
        ("carrot, raw", None),
        ("cheddar cheese", None),
        ("chicken breast, skinless, grilled", None),
    ],
)
def test_which_foods_are_raw_and_must_be_cooked(name: str, kind: str | None) -> None:
    assert raw_kind(find(name)) == kind
    # Of another table, where nothing but names and families tell.
    bare = replace(find(name), storage="", state="")
    assert raw_kind(bare) == (kind if "raw" in name else None)


# -- a prep day ------------------------------------------------------------------------

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: label}
eaters: {Ada: {}}
kitchen: {starts: "10:00", ends: "14:00", rings: 1, oven_trays: 2}
batches:
  roast chicken:
    made: 2026-11-29
    yield: 500 g
    portion: 100 g
    ingredients: ["700 g chicken thigh, skinless, raw", "1 tbsp olive oil"]
    steps:
      - {do: cut and oil the chicken, lasts: 15 min}
      - {do: roast, lasts: 30 min, hands: no, oven: 200 °C}
      - {do: shred the chicken, lasts: 10 min}
  green salad:
    made: 2026-11-29
    yield: 300 g
    portion: 100 g
    fridge_life: 1
    ingredients: ["300 g cos lettuce, raw"]
    steps:
      - {do: tear the leaves, lasts: 10 min}
dishes:
  Plate: {kind: a, takes: {roast chicken: 1 to 4, green salad: 1 to 4}}
"""


def day_of(content: str = WEEK) -> PrepDay:
    return prep(week_of(parse("week.yaml", content))).days[0]


def span(day: PrepDay, name: str) -> tuple[str, str]:
    found = next(step for step in day.steps if step.name.startswith(name))
    return f"{found.begins:%H:%M}", f"{found.ends:%H:%M}"


def test_hands_board_and_knife_are_washed_between_raw_meat_and_the_salad() -> None:
    day = day_of()
    assert day.proven
    assert span(day, "cut and oil") == ("10:00", "10:15")
    assert span(day, WASH) == ("10:15", "10:17")
    (wash,) = [step for step in day.steps if step.name.startswith(WASH)]
    assert "they touched raw poultry" in wash.work
    # The salad is torn while the chicken roasts, with clean hands, and costs no minute.
    assert span(day, "tear") >= span(day, WASH)
    assert span(day, "shred") == ("10:45", "10:55")


def test_hands_that_fry_raw_food_are_washed_before_it_is_divided() -> None:
    pancakes = """
  pancakes:
    made: 2026-11-29
    yield: 36 pieces
    portion: 60 g
    ingredients: ["600 g flour", 6 eggs, 1200 g milk]
    steps:
      - {do: stir the batter, lasts: 10 min}
      - {do: fry the pancakes, lasts: 45 min, rings: 1}
"""
    day = day_of(
        WEEK.replace("dishes:\n", pancakes.lstrip("\n") + "dishes:\n").replace(
            "green salad: 1 to 4}", "green salad: 1 to 4, pancakes: 1 to 36}"
        )
    )
    assert day.proven
    fried = next(step for step in day.steps if "fry the pancakes" in step.work)
    divided = next(step for step in day.steps if "pancakes: divide it" in step.work)
    assert (divided.begins - fried.ends).seconds == 60 * WASHING


def test_a_second_washing_is_made_only_where_it_is_needed() -> None:
    # Two raw batches one after the other share one washing.
    fish = """
  baked fish:
    made: 2026-11-29
    yield: 400 g
    portion: 100 g
    ingredients: ["500 g cod, raw"]
    steps:
      - {do: skin the cod, lasts: 10 min}
      - {do: bake, lasts: 30 min, hands: no, oven: 200 °C}
"""
    day = day_of(
        WEEK.replace("dishes:\n", fish.lstrip("\n") + "dishes:\n").replace(
            "green salad: 1 to 4}", "green salad: 1 to 4, baked fish: 1 to 4}"
        )
    )
    assert day.proven
    (wash,) = [step for step in day.steps if step.name.startswith(WASH)]
    # It names all that was touched since the last one.
    assert "they touched raw poultry and raw fish" in wash.work


def test_the_week_file_may_say_what_a_step_touches() -> None:
    text = "do: cut and oil the chicken, lasts: 15 min"
    day = day_of(WEEK.replace(text, f"{text}, touches: nothing"))
    assert not [step for step in day.steps if step.name.startswith(WASH)]
    day = day_of(WEEK.replace("do: tear the leaves", "touches: [raw fish, raw egg], do: tear them"))
    washed = {step.work for step in day.steps if step.name.startswith(WASH)}
    assert any("raw fish and raw egg" in one for one in washed), washed


@pytest.mark.parametrize("wrong", ["raw chickn", "the bin", "[nothing, raw egg]"])
def test_what_no_step_touches_is_refused(wrong: str) -> None:
    content = WEEK.replace("do: tear the leaves", f"touches: {wrong}, do: tear them")
    with pytest.raises(InputError) as caught:
        week_of(parse("week.yaml", content))
    assert "is not what a step touches" in str(caught.value)


def test_the_audit_sees_a_washing_that_is_gone_or_late() -> None:
    week = week_of(parse("week.yaml", WEEK))
    table, limits, recipes = _table(week)
    assert list(faults(week.kitchen, recipes, limits, table)) == []
    without = [one for one in table if not one.step.name.startswith(WASH)]
    listed = list(faults(week.kitchen, recipes, limits, without))
    assert any("nothing is washed after cut and oil" in one for one in listed)
    assert any("tear the leaves meets" in one for one in listed)
    late = [
        Placed(one.batch, one.step, one.begins + 20, one.ends + 20)
        if one.step.name.startswith(WASH)
        else one
        for one in table
    ]
    assert any("meets" in one for one in faults(week.kitchen, recipes, limits, late))


def _table(week: Week) -> tuple[list[Placed], dict[str, Cooling], dict[str, list[Step]]]:
    recipes = {name: list(closed(week, batch)) for name, batch in week.batches.items()}
    limits = {name: limit_of(week, batch) for name, batch in week.batches.items()}
    table = timetable(week.kitchen, recipes, limits)
    assert table is not None
    return list(table.placed), limits, recipes


def test_the_paper_says_what_is_raw_and_that_it_is_kept_apart() -> None:
    printed = text(prep(week_of(parse("week.yaml", WEEK))), chart=False)
    assert "raw poultry" in printed
    assert "Kept apart" in printed
    clean = WEEK.replace("do: cut and oil the chicken,", "do: cut and oil it, touches: nothing,")
    assert "Kept apart" not in text(prep(week_of(parse("week.yaml", clean))), chart=False)


def test_what_was_never_hot_neither_cools_nor_speaks_of_cooking() -> None:
    day = day_of()
    salad = [step for step in day.steps if step.batch == "green salad"]
    assert [step.name for step in salad] == ["tear the leaves", FILL]
    assert "into the fridge, within 120 minutes of making" in salad[-1].work
    assert not any("cook" in step.work for step in salad)
    # Hot stock over couscous cooks nothing and has to cool.
    warm = day_of(WEEK.replace("do: tear the leaves", "do: pour hot stock over the leaves"))
    assert COOL in [step.name for step in warm.steps if step.batch == "green salad"]


def test_filling_tubs_is_work_on_ready_food_and_of_raw_food_it_is_not() -> None:
    day = day_of()
    assert all(step.touches == [READY] for step in day.steps if step.name == FILL)
    raw = WEEK.replace(", oven: 200 °C", "")
    (tub,) = [x for x in day_of(raw).steps if x.name == FILL and x.batch == "roast chicken"]
    assert tub.touches == ["raw poultry"]
    assert set(tub.touches) <= set(RAW)


def test_that_neatness_is_not_proven_does_not_make_a_timetable_unproven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("optimiser.solve.schedule.TIDYING", 0.3)
    # Ten works on one ring: the end is proven at once, the least sum of beginnings hardly ever.
    lasts = (14, 15, 6, 14, 14, 15, 6, 14, 14, 15)
    tasks = [Task(f"{at}", x, x, ((0, 400),), {"rings": 1}) for at, x in enumerate(lasts)]
    every = tuple(task.name for task in tasks)
    tidy = Aim(starts=tuple((name, 1) for name in every), tidy=True)
    timetable = schedule(tasks, [], {"rings": 1}, [Aim(last=every), tidy])
    assert timetable.status is Status.OPTIMAL
    assert timetable.values[0] == sum(lasts)
