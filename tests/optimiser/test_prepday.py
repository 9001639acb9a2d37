"""The prep day: shortest by enumeration, nothing shared twice, food cold within its limit."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.answers.prep import PrepDay
from models.file.reading import read_week, ready_text, week_of
from models.file.yamltext import parse
from models.week.kitchen import Kitchen, Placed, Step, cooling
from models.words.errors import InputError
from models.words.numbers import spell
from optimiser.report.prep import as_svg, gantt, text, work
from optimiser.sheets.labels import labels
from optimiser.sheets.prep import COOL, FILL, faults, limit_of, minutes, prep, timetable
from optimiser.solve.schedule import Aim, Link, Task, schedule
from optimiser.solve.week import solve_week

DEMO = read_week("demo")
MONDAY = 24 * 60

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters: {Ada: {}}
kitchen: {starts: "10:00", ends: "14:00", rings: 1, oven_trays: 2}
batches:
  beans:
    made: 2026-11-29
    yield: 4 portions
    portion: 100 g
    nutrition: {protein: 4 g}
    fridge_life: 3
    allergens: none
    steps:
      - {do: put to soak, lasts: 5 min}
      - {do: soak, lasts: 8 to 24 hours, hands: no}
      - {do: boil, lasts: 1 h, hands: no, rings: 1}
      - {do: chop, lasts: 10 min, after: []}
      - {do: mix, lasts: 5 min, after: [boil, chop]}
  roots:
    made: 2026-11-29
    yield: 4 portions
    portion: 100 g
    nutrition: {protein: 4 g}
    fridge_life: 3
    allergens: none
    steps:
      - {do: peel, lasts: 15 min}
      - {do: roast, lasts: 40 min, hands: no, oven: 200 °C}
dishes:
  A: {kind: a, takes: {beans: 1 to 4, roots: 1 to 4}}
  B: {kind: b, takes: {beans: 1 to 4, roots: 1 to 4}}
"""


def small(content: str = WEEK) -> PrepDay:
    return prep(week_of(parse("week.yaml", content))).days[0]


def at(day: PrepDay, name: str) -> tuple[str, str]:
    step = next(one for one in day.steps if one.name == name)
    return f"{step.begins:%a %H:%M}", f"{step.ends:%a %H:%M}"


def test_soaking_is_put_on_the_evening_before_as_late_as_can_be() -> None:
    day = small()
    assert at(day, "put to soak") == ("Sat 21:55", "Sat 22:00")
    assert at(day, "soak") == ("Sat 22:00", "Sun 10:00")
    assert at(day, "boil") == ("Sun 10:00", "Sun 11:00")
    # Nothing else that needs hands is done the evening before.
    assert all(one.begins.day == 29 for one in day.steps if one.hands and one.name != "put to soak")
    assert day.proven


def test_what_cooks_for_a_set_time_is_not_done_the_evening_before() -> None:
    # Food that is done at six in the morning would stand till the kitchen opens at ten.
    slow = WEEK.replace("do: soak, lasts: 8 to 24 hours", "do: cook in the slow cooker, lasts: 4 h")
    assert "do not fit" in small(slow).why_not
    day = small(slow.replace('ends: "14:00"', 'ends: "18:00"'))
    assert all(step.begins.day == 29 for step in day.steps)
    # What may cook on does so until it is boiled in the morning.
    night = small(slow.replace("lasts: 4 h, hands", "lasts: 4 to 14 h, hands"))
    assert at(night, "cook in the slow cooker") == ("Sat 22:00", "Sun 10:00")


def test_it_ends_earliest_and_then_begins_as_late_as_that_allows() -> None:
    day = small()
    # Boil 60, mix 5, cool 20, fill 1: the beans are the longest; hands are wanted at 11:00.
    assert at(day, "mix") == ("Sun 11:00", "Sun 11:05")
    assert day.begins is not None
    assert f"{day.begins:%H:%M}" == "10:00"
    # Peel 15, roast 40, cool 20, fill 1, all before hands fill the other tub at 11:25.
    assert at(day, "peel")[0] == "Sun 10:09"
    # And what is left is washed up.
    assert at(day, "wash up") == ("Sun 11:26", "Sun 11:41")
    assert f"{day.ends:%H:%M}" == "11:41"


def test_two_heats_do_not_share_the_oven_and_one_does() -> None:
    hot = WEEK.replace("chop, lasts: 10 min", "toast, lasts: 10 min, oven: 180 °C").replace(
        "after: [boil, chop]", "after: [boil, toast]"
    )
    day = small(hot)
    roast, toast = at(day, "roast"), at(day, "toast")
    # The day begins with a cold oven, and it takes a while from one heat to the other.
    assert (
        at(day, "heat the oven to 180 °C") == ("Sun 10:00", toast[0]) == ("Sun 10:00", "Sun 10:15")
    )
    assert at(day, "turn the oven to 200 °C") == (toast[1], roast[0])
    same = hot.replace("180 °C", "200 °C")
    assert f"{small(same).ends:%H:%M}" <= f"{day.ends:%H:%M}"


def test_a_tray_that_stays_in_is_turned_with_the_oven() -> None:
    hot = "{do: roast, lasts: 40 min, hands: no, oven: 200 °C}"
    day = small(WEEK.replace(hot, f"{hot}\n      - {{do: dry, lasts: 9 min, oven: 90 °C}}"))
    assert at(day, "roast")[1] == at(day, "dry")[0]
    assert [step.name for step in day.steps if "oven" in step.name] == ["heat the oven to 200 °C"]


@pytest.mark.parametrize(
    ("guidance", "hot", "rice", "wanted"),
    [
        ("us", False, False, 120),
        ("us", True, False, 60),
        ("uk", False, False, 90),
        ("strictest", False, False, 90),
        ("", False, False, 90),
        ("us", False, True, 60),
        ("uk", True, True, 60),
    ],
)
def test_the_cooling_limit_is_the_shortest_that_holds(
    guidance: str, hot: bool, rice: bool, wanted: int
) -> None:
    # USDA FSIS: 2 hours, 1 hour above 32 °C; UK FSA: 1 to 2 hours; rice within 1 hour (NHS, FSA).
    found = cooling(guidance, hot=hot, rice=rice)
    assert found.minutes == wanted
    assert any(name in found.source for name in ("USDA", "FSA"))


def test_food_is_away_within_the_limit_whatever_the_hands_do() -> None:
    # Hands are wanted for an hour and a half just when the roots come out of the oven.
    busy = WEEK.replace("{do: mix, lasts: 5 min", "{do: mix, lasts: 90 min")
    day = small(busy.replace('"14:00"', '"18:00"'))
    for batch, last in (("roots", "roast"), ("beans", "boil")):
        cooked = next(one for one in day.steps if one.name == last and one.batch == batch)
        away = next(one for one in day.steps if one.name == FILL and one.batch == batch)
        assert (away.ends - cooked.ends).total_seconds() <= 120 * 60


def test_rice_has_an_hour() -> None:
    content = WEEK.replace(
        "    nutrition: {protein: 4 g}\n    fridge_life: 3\n    allergens: none\n    steps:\n"
        "      - {do: peel",
        "    ingredients: [300 g cooked white rice]\n    allergens: none\n    steps:\n"
        "      - {do: peel",
    ).replace("guidance: us}", "guidance: us, cups: label}")
    content = content.replace("portion: 100 g\n    ingredients", "portion: 75 g\n    ingredients")
    week = week_of(parse("week.yaml", content))
    assert limit_of(week, week.batches["roots"]).minutes == 60
    assert limit_of(week, week.batches["beans"]).minutes == 120


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('ends: "14:00"', 'ends: "10:30"', "the steps of beans alone do not fit"),
        ("lasts: 15 min", "lasts: 200 min", "the steps of roots alone do not fit"),
        ("do: chop, lasts: 10 min", "do: chop, lasts: 205 min", "together they do not fit"),
    ],
)
def test_what_does_not_fit_is_said(old: str, new: str, what: str) -> None:
    day = small(WEEK.replace(old, new))
    assert (day.possible, day.steps) == (False, [])
    assert what in day.why_not


def test_without_steps_a_batch_is_only_named() -> None:
    content = WEEK[: WEEK.index("    steps:\n      - {do: peel")] + WEEK[WEEK.index("dishes:") :]
    day = small(content)
    assert day.without_steps == ["roots"]
    said = text(prep(week_of(parse("w", content))))
    assert "The file has no steps for roots: cook it beside these." in said


REFUSED = [
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: some}", "is no time"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 2 to 1 hours}", "runs downwards"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 15 to 20 min}", "not fixed"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 15 min, after: [x]}", "no step above"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 15 min, gap: 5 min}", "comes after no"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 15 min, oven: hot}", "no heat"),
    ("{do: peel, lasts: 15 min}", "{do: peel, lasts: 15 min, rings: 3}", "takes 3 rings"),
    ("oven: 200 °C", "oven: 200 °C, trays: 3", "takes 3 trays"),
    ("{do: peel,", "{do: roast,", "second step of that name"),
    ("oven_trays: 2", "oven_trays: 0", "the kitchen has 0"),
    ('"10:00"', '"25:00"', "no time of the day"),
]


@pytest.mark.parametrize(("old", "new", "what"), REFUSED)
def test_steps_that_cannot_be_are_refused_with_their_line(old: str, new: str, what: str) -> None:
    content = WEEK.replace(old, new)
    with pytest.raises(InputError, match=what) as caught:
        week_of(parse("week.yaml", content))
    assert caught.value.where.line is not None
    assert caught.value.mend


# -- any kitchen -----------------------------------------------------------------------------

steps_drawn = st.lists(
    st.tuples(
        st.integers(1, 40),
        st.booleans(),
        st.sampled_from([None, None, 180, 200]),
        st.integers(0, 1),
        st.booleans(),
        st.sampled_from([None, ("raw egg",), ("ready food",)]),
    ),
    min_size=1,
    max_size=4,
)


@st.composite
def kitchens(draw: st.DrawFn) -> tuple[Kitchen, dict[str, list[Step]]]:
    kitchen = Kitchen(
        hands=draw(st.integers(1, 2)),
        oven_trays=draw(st.integers(1, 2)),
        rings=1,
        starts=time(9),
        ends=time(17),
    )
    recipes = {}
    for name in "abc"[: draw(st.integers(1, 3))]:
        steps: list[Step] = []
        for number, (lasts, hands, oven, rings, follows, touches) in enumerate(draw(steps_drawn)):
            steps.append(
                Step(
                    f"s{number}",
                    f"s{number}",
                    lasts,
                    lasts,
                    hands=hands,
                    oven=oven,
                    trays=int(oven is not None),
                    rings=rings,
                    after=(steps[-1].name,) if steps and follows else (),
                    touches=touches,
                )
            )
        named = {one for step in steps for one in step.after}
        last = tuple(step.name for step in steps if step.name not in named)
        gap = (0, 0) if len(last) == 1 else (0, 120)
        steps.append(Step(COOL, "cool", 20, 119, hands=False, after=last, gap=gap))
        tubs = draw(st.sampled_from([1, 4, 7]))
        sharing = min(tubs, kitchen.hands)
        steps.append(
            Step(
                FILL,
                "fill",
                -(-tubs // sharing),
                tubs,
                after=(COOL,),
                gap=(0, 0),
                touches=("ready food",),
                sharing=sharing,
            )
        )
        recipes[name] = steps
    return kitchen, recipes


@settings(max_examples=60)
@given(kitchens())
def test_no_timetable_breaks_what_it_has_to_keep(
    drawn: tuple[Kitchen, dict[str, list[Step]]],
) -> None:
    kitchen, recipes = drawn
    limits = {name: cooling("us", hot=False, rice=False) for name in recipes}
    found = timetable(kitchen, recipes, limits)
    if found is None:
        return
    assert found.proven
    assert list(faults(kitchen, recipes, limits, found.placed)) == []
    # The audit sees what is wrong.
    moved = [
        Placed(x.batch, x.step, x.begins - 700, x.ends - 700) if not number else x
        for number, x in enumerate(found.placed)
    ]
    assert list(faults(kitchen, recipes, limits, moved))


@settings(max_examples=40)
@given(
    jobs=st.lists(
        st.lists(st.tuples(st.integers(0, 1), st.integers(1, 9)), min_size=1, max_size=2),
        min_size=1,
        max_size=3,
    )
)
def test_the_shortest_is_that_of_every_order(jobs: list[list[tuple[int, int]]]) -> None:
    tasks, links = [], []
    for job, steps in enumerate(jobs):
        for number, (machine, lasts) in enumerate(steps):
            tasks.append(Task(f"{job}.{number}", lasts, lasts, ((0, 99),), {f"m{machine}": 1}))
            if number:
                links.append(Link(f"{job}.{number - 1}", f"{job}.{number}"))
    names = [task.name for task in tasks]
    found = schedule(tasks, links, {"m0": 1, "m1": 1}, [Aim(last=tuple(names))])
    best = 99
    before = {link.after: link.before for link in links}
    by_name = {task.name: task for task in tasks}
    for order in permutations(names):
        ends: dict[str, int] = {}
        free = {"m0": 0, "m1": 0}
        for name in order:
            if name in before and before[name] not in ends:
                break
            (machine,) = by_name[name].uses
            begins = max(free[machine], ends.get(before.get(name, ""), 0))
            ends[name] = free[machine] = begins + by_name[name].least
        else:
            best = min(best, max(ends.values()))
    assert found.values == (best,)


@settings(max_examples=40)
@given(
    jobs=st.lists(st.tuples(st.integers(1, 9), st.booleans(), st.booleans()), max_size=3),
    hands=st.integers(1, 3),
)
def test_shared_work_is_shortest_by_every_order_and_number_of_hands(
    jobs: list[tuple[int, bool, bool]], hands: int
) -> None:
    tasks: list[Task] = []
    links: list[Link] = []
    for number, (lasts, shared, follows) in enumerate([(5, True, False), *jobs]):
        step = Step("", "", -(-lasts // hands), lasts, sharing=hands if shared else 1)
        ways = tuple((length, step.uses(length)) for length in step.ways)
        least = step.least if ways else lasts
        tasks.append(Task(f"{number}", least, lasts, ((0, 99),), {"hands": 1}, ways=ways))
        if follows:
            links.append(Link(f"{number - 1}", f"{number}"))
    found = schedule(tasks, links, {"hands": hands}, [Aim(last=tuple(t.name for t in tasks))])
    assert found.times is not None
    before = {link.after: link.before for link in links}
    best = 99
    every = [task.ways or ((task.most, task.uses),) for task in tasks]
    for order in permutations(range(len(tasks))):
        for ways in product(*every):
            ends: dict[str, int] = {}
            busy = [0] * 99
            for at in order:
                name, (lasts, uses) = tasks[at].name, ways[at]
                if name in before and before[name] not in ends:
                    break
                begins = ends.get(before.get(name, ""), 0)
                while max(busy[begins : begins + lasts]) + uses["hands"] > hands:
                    begins += 1
                for minute in range(begins, begins + lasts):
                    busy[minute] += uses["hands"]
                ends[name] = begins + lasts
            else:
                best = min(best, max(ends.values()))
    assert found.values == (best,)


def test_what_has_to_be_over_in_time_is_done_by_more_hands() -> None:
    day = ((0, 99),)
    fill = Task("fill", 5, 10, day, {"hands": 1}, ways=((10, {"hands": 1}), (5, {"hands": 2})))
    tasks = [Task("boil", 20, 20, day, {}), fill, Task("chop", 30, 30, day, {"hands": 1})]
    for over, wanted in ((10, 10), (9, 5), (4, None)):
        link = Link("boil", "fill", 0, None, over)
        times = schedule(tasks, [link], {"hands": 2}, [Aim(starts=(("chop", 1),))]).times
        if wanted is None:
            assert times is None
        else:
            assert times is not None
            assert times["fill"][1] - times["boil"][1] <= over
            assert times["fill"][1] - times["fill"][0] <= wanted


# -- the demo ----------------------------------------------------------------------------------


def test_the_demo_is_proven_and_sets_apart_what_the_plan_freezes() -> None:
    _, solved = solve_week(DEMO)
    assert solved.packed is not None
    days = prep(DEMO, solved.packed).days
    assert [day.date for day in days] == [date(2026, 11, 30), date(2026, 12, 3)]
    recipes_said = " ".join(step.work for day in days for step in day.steps)
    frozen = [tub for tub in labels(DEMO, solved.packed).labels if tub.where == "freezer"]
    assert frozen
    assert all(f"{tub.portions} {tub.word}" in recipes_said for tub in frozen)
    for day in days:
        assert (day.possible, day.proven, day.without_steps) == (True, True, [])
        opens = datetime.combine(day.date, DEMO.kitchen.starts)
        on_the_day = [step for step in day.steps if step.begins.date() == day.date]
        assert all(step.begins >= opens for step in on_the_day if step.hands)


def test_the_demo_soaks_overnight_and_bakes_at_one_heat_after_the_other() -> None:
    _, solved = solve_week(DEMO)
    monday, thursday = prep(DEMO, solved.packed).days
    (soak,) = (step for step in monday.steps if step.work == "soak the peas")
    assert soak.begins.date() == date(2026, 11, 29)
    assert soak.ends - soak.begins >= timedelta(hours=8)
    (apples,) = (step for step in thursday.steps if step.work == "bake the apples")
    (bake,) = (step for step in thursday.steps if step.work == "bake it")
    assert (apples.oven, bake.oven) == (160, 200)
    assert apples.ends <= bake.begins or bake.ends <= apples.begins


def test_the_text_fits_the_terminal_and_the_bars_the_hours() -> None:
    _, solved = solve_week(DEMO)
    found = prep(DEMO, solved.packed)
    said = text(found)
    assert max(map(len, said.splitlines())) <= 80
    assert "\x1b" not in said
    drawn = gantt(found.days[0])
    that_day = [one for one in found.days[0].steps if one.ends > found.days[0].begins]
    assert sum("█" in row or "░" in row for row in drawn.splitlines()[:-1]) == len(that_day)
    assert "█ hands" in drawn
    family = read_week("family")
    _, solved = solve_week(family)
    for day in (*found.days, *prep(family, solved.packed).days):
        for width in range(40, 121):
            widest = max(map(len, gantt(day, width=width).splitlines()))
            assert widest <= width, (day.date, width)
    # Each row names its batch, and the oven is on before it is needed.
    for row in found.days[0].steps:
        assert row.note or row.batch in work(row)
    assert "the oven" not in said.partition("Thu 3 Dec")[0]
    assert "11:00 to 11:15  heat the oven to 160 °C" in said.partition("Thu 3 Dec")[2]
    assert said.count("wash up ") == 4
    assert not any(line.endswith(" ") for line in said.splitlines())
    assert "<script" not in as_svg(found.days[0])
    assert as_svg(found.days[0]) == as_svg(found.days[0])


def test_a_weekday_has_hours_of_its_own() -> None:
    own = 'kitchen: {thu: {starts: "16:00"}, oven_trays: 2'
    document = parse("demo", ready_text("demo").replace("kitchen: {oven_trays: 2", own))
    monday, thursday = prep(week_of(document)).days
    first, second = prep(DEMO).days
    assert monday == first
    assert second.begins is not None
    assert thursday.begins == second.begins.replace(hour=16)
    slip = (
        ready_text("demo")
        .replace("kitchen: {oven_trays: 2", own)
        .replace('{starts: "16:00"}', '{start: "16:00"}')
    )
    with pytest.raises(InputError, match="starts"):
        week_of(parse("demo", slip))


@pytest.mark.parametrize(
    ("number", "said"), [(0, "0 min"), (5, "5 min"), (60, "1 h"), (85, "1 h 25 min")]
)
def test_minutes_are_said_as_a_cook_does(number: int, said: str) -> None:
    assert spell(number) == said


def test_a_clock_is_counted_in_minutes() -> None:
    assert minutes(time(10, 15)) == 615
    assert MONDAY == 1440


def test_a_week_without_a_kitchen_has_one_all_the_same() -> None:
    week = week_of(parse("w", ready_text("starter")))
    assert (week.kitchen.hands, week.kitchen.oven_trays) == (1, 2)
