"""What is said in answer to a question, each claim by the smallest week that shows it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.week.packed import PackedPortions
from models.week.week import Week
from models.words.errors import InputError
from optimiser import read_week
from optimiser.explain.mend import Search, mend
from optimiser.explain.reasons import Explainer
from optimiser.explain.turns import Bundle, Sort, turns_of
from optimiser.explain.why import Question, Why, answer, which_lunch, with_portions
from optimiser.explain.wishes import goal_of, wish_of
from optimiser.rules.base import Edit
from optimiser.solve.limits import Stop
from optimiser.solve.week import solve_week

BEANS = """
week: {starts: 2026-11-30, days: mon-tue, guidance: uk}
place: {fridge: yes}
eaters: {Ada: {}}
batches:
  beans: {made: 2026-11-29, yield: 4 portions, portion: 100 g, nutrition: {protein: 5 g}}
larder:
  seeds: {pack: 100 g, chilled: no, nutrition: {protein: 20 g}}
dishes:
  Beans: {takes: {beans: 1 to 3}, extras: {seeds: {portion: 10 g, most: 2}}}
"""


def beans(was: str = "", becomes: str = "", more: str = "") -> Week:
    assert was in BEANS
    return read_week(BEANS.replace(was, becomes, 1) + more)


def plain() -> Week:
    """Give a week with a plan."""
    return beans("days: mon-tue", "days: mon")


def over() -> Stop:
    stop = Stop()
    stop.now()
    return stop


# -- what is asked ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "question", [Question(day="mon"), Question(better="left_over"), Question(all=True), Question()]
)
def test_one_question_is_taken(question: Question) -> None:
    question.check(beans())


@pytest.mark.parametrize(
    ("question", "said"),
    [
        (Question(day="mon", all=True), "why: that is more than one question"),
        (Question(better="left_over", all=True), "why: that is more than one question"),
        (Question(all=True, eater="Bob"), "--eater: there is no eater named 'Bob'"),
        (Question(day="mon", dish="Peas"), "--not: there is no dish named 'Peas'"),
        (Question(dish="Beans"), "--not: the day is missing"),
    ],
)
def test_a_question_without_sense_is_refused(question: Question, said: str) -> None:
    with pytest.raises(InputError, match=said):
        question.check(beans())


def test_a_goal_says_which_way_it_is_to_be_reached() -> None:
    week = read_week("demo")
    assert goal_of(week, "cost <= 18").text == "cost at most 18"
    assert goal_of(week, "liking >= 3").text == "liking at least 3"
    with pytest.raises(InputError) as refused:
        goal_of(week, "no shape")
    assert refused.value.mend == 'Write none-left, or as in "cost <= 18".'


def test_what_is_thawed_is_said_with_a_number_where_it_is_not_all() -> None:
    week = read_week("minimal")
    _, solved = solve_week(week)
    assert solved.packed is not None
    lunch = solved.packed.lunches[0]
    (part,) = lunch.portions

    def said(thawed: int) -> str:
        some = PackedPortions(part.batch, 2, thawed)
        return with_portions(week, replace(lunch, portions=(some,)))

    assert said(0) == f"{lunch.dish} (2 portions {part.batch})"
    assert said(1) == f"{lunch.dish} (2 portions {part.batch}, 1 thawed)"
    assert said(2) == f"{lunch.dish} (2 portions {part.batch}, thawed)"


# -- what a plan gives as a reason ------------------------------------------------------------

OTHERS = """
week: {starts: 2026-11-30, days: mon, guidance: uk}
place: {fridge: yes}
eaters: {Ada: {}}
batches:
  beans:
    {made: 2026-11-29, yield: 2 portions, portion: 100 g,
     nutrition: {protein: 5 g, fibre: 4 g, salt: 1 g}}
larder:
  oats: {pack: 90 g, chilled: no, nutrition: {protein: 3 g, fibre: 3 g, salt: 0 g}}
  rye: {pack: 90 g, chilled: no, nutrition: {protein: 3 g, fibre: 3 g, salt: 0 g}}
dishes:
  Beans: {takes: {beans: 1}}
  Oats: {goes_in: {oats: 30 g}}
  Rye: {goes_in: {rye: 30 g}}
"""
"""Of two dishes neither takes what was cooked, and nothing tells them apart but the file."""


def explainer(text: str, stop: Stop | None = None) -> Explainer:
    return Explainer(*solve_week(read_week(text)), stop)


@pytest.mark.parametrize("first", ["Oats", "Rye"])
def test_of_dishes_that_lose_as_much_the_next_best_is_the_first(first: str) -> None:
    text = OTHERS
    if first == "Rye":
        *head, oats, rye = OTHERS.splitlines()
        text = "\n".join([*head, rye, oats])
    ours = explainer(text)
    (lunch,) = ours.packed.lunches
    reason = ours.of_dish(lunch)
    assert reason is not None
    assert (lunch.dish, reason.alternative) == ("Beans", first)


def test_what_would_do_as_well_is_called_so() -> None:
    text = OTHERS.replace("days: mon", "days: mon-tue").replace("2 portions", "1 portion")
    ours = explainer(text)
    beans, oats = ours.packed.lunches
    assert (beans.dish, oats.dish) == ("Beans", "Oats")
    reason = ours.of_dish(oats)
    assert reason is not None
    assert (reason.kind, reason.verdict, reason.alternative) == ("order", "as good", "Rye")


def test_a_plan_whose_time_is_up_gives_no_reason_for_a_dish() -> None:
    ours = explainer(OTHERS, over())
    assert [ours.of_dish(lunch) for lunch in ours.packed.lunches] == [None]


def test_what_is_lost_first_is_found_by_halving() -> None:
    ours = explainer(OTHERS)
    (lunch,) = ours.packed.lunches
    foil = ours.foils.without([ours.foils.slot(lunch.eater, lunch.day)], lunch.dish)
    reason = ours._worse_by_halving(foil, "with any other dish")
    assert reason is not None
    assert reason.priority == "left_over"


def test_one_portion_more_of_what_was_thawed_is_thawed_too() -> None:
    text = OTHERS.replace("2026-11-30, days: mon", "2026-12-03, days: thu").replace(
        "beans: 1}", "beans: 1 to 2}"
    )
    text = text.replace("yield: 2 portions", "freezes: yes, frozen: 2 portions, yield: 3 portions")
    ours = explainer(
        text.replace("Ada: {}", "Ada: {likes: {Beans: 1}, ceilings: {protein: 6 g}}")
        + "priorities: [liking]\n"
    )
    (lunch,) = ours.packed.lunches
    assert [(part.portions, part.thawed) for part in lunch.portions] == [(1, 1)]
    assert [bound.rule.key for bound in ours.amounts(lunch)] == ["ceiling:protein of Ada"]


def test_no_more_than_two_rules_are_named_for_an_amount() -> None:
    text = OTHERS.replace("beans: 1}", "beans: 1 to 2}")
    ours = explainer(
        text.replace("Ada: {}", "Ada: {ceilings: {protein: 6 g, fibre: 5 g, salt: 1 g}}")
    )
    (lunch,) = ours.packed.lunches
    more = [bound for bound in ours.amounts(lunch) if bound.other == 2]
    reason = ours.of_amounts(lunch)
    assert reason is not None
    assert len(more) > 2
    assert [rule.key for rule in reason.rules] == [bound.rule.key for bound in more[:2]]
    assert all((bound.fault.what in reason.text) == (bound in more[:2]) for bound in more)


# -- what is turned to mend a week ------------------------------------------------------------


def test_a_bundle_says_what_the_file_would_have_to() -> None:
    edits = (Edit(("a",), 1, "0", "do one"), Edit(("b",), 2, "0", "do two"))
    assert Bundle("day of beans", (), edits).sentence() == "do one; do two"
    assert Bundle("day of beans", ()).sentence() == "day of beans"


def test_an_extra_comes_once_more_and_a_batch_on_one_day_only() -> None:
    turns = turns_of(beans(more="variety: {most_times: 1}\n"))
    (more,) = (chain for chain in turns.chains if chain.sort is Sort.SIDE)
    (edit,) = more.versions[1].edits(beans())
    assert (edit.value, edit.was, edit.text) == (
        3,
        "2",
        "up to 3 times 10 g of seeds with Beans, not 2",
    )
    assert [chain.exact for chain in turns.chains if chain.sort is Sort.LATER] == [True]


def test_what_a_label_says_is_put_beside_what_it_says_already() -> None:
    week = read_week(
        OTHERS.replace("{Ada: {}}", "{Ada: {must_not: {allergens: [gluten, milk]}}}").replace(
            "oats: {pack: 90 g, chilled: no,", "oats: {pack: 90 g, chilled: no, free_of: [milk],"
        )
    )
    labels = [
        edit
        for chain in turns_of(week).chains
        if chain.sort is Sort.LABEL
        for version in chain.versions
        for edit in version.edits(week)
        if edit.path[1] == "oats"
    ]
    assert {(edit.was, ", ".join(edit.value)) for edit in labels} == {("milk", "milk, gluten")}


def test_nothing_is_said_to_stand_in_the_way_of_what_was_found() -> None:
    week = read_week("impossible")
    answer = mend(week, [], count=1)
    assert (len(answer.ways), answer.blocked) == (1, [])


def test_a_smaller_batch_costs_less() -> None:
    week = read_week(OTHERS.replace("yield: 2 portions", "cost: 4.00, yield: 2 portions"))
    answer = mend(week, [goal_of(week, "cost <= 2")], count=2)
    changes = [
        [(list(change.path), change.becomes) for change in way.changes] for way in answer.ways
    ]
    assert [(["batches", "beans", "cook"], "1 portion")] in changes


def test_a_plan_anew_is_ended_with_the_search() -> None:
    assert Search(plain(), []).planned((), ()) is not None
    assert Search(plain(), [], over()).planned((), ()) is None


def test_a_week_whose_time_is_up_is_not_looked_for() -> None:
    assert Why(plain()).solved.packed is not None
    assert Why(plain(), stop=over()).solved.packed is None


# -- more of what is said ---------------------------------------------------------------------


def test_a_question_that_cannot_be_asked_says_where_and_what_to_write() -> None:
    two = read_week(BEANS.replace("{Ada: {}}", "{Ada: {}, Bob: {}}").replace("mon-tue", "mon"))
    asked = [
        (lambda: which_lunch(two, "mon", None), "--eater", "Say whose: Ada, Bob."),
        (lambda: Question(dish="Beans").check(two), "--not", "Write: why FILE DAY --not DISH"),
        (lambda: wish_of(beans(), "Beans on fri", "--until"), "--until", "Its days: mon, tue."),
        (
            lambda: Why(beans()).not_better("cost"),
            "why",
            "Ask why there is none: clearfridge why FILE, without a day.",
        ),
    ]
    for ask, where, mend_ in asked:
        with pytest.raises(InputError) as refused:
            ask()
        assert (str(refused.value.where), refused.value.mend) == (where, mend_)


def test_a_goal_is_reached_though_its_last_digit_was_rounded() -> None:
    goal = goal_of(read_week("demo"), "cost <= 18")
    assert [goal.holds(value) for value in (18, 18.00001, 18.00002)] == [True, True, False]
    likes = goal_of(read_week("demo"), "liking >= 3")
    assert [likes.holds(value) for value in (2.99999, 3, 4)] == [False, True, True]


def test_an_answer_takes_the_stop_of_whoever_asks() -> None:
    assert answer(plain(), Question(all=True), stop=over()).status == "unknown"


def test_an_end_by_a_limit_is_no_proof_that_none_is_better() -> None:
    why = Why(read_week(OTHERS))
    why.stop.now()
    found = why.not_better("left_over").answer
    assert found is not None
    assert found.verdict == "open"
    assert found.text == "It is not proven that none does: the search was ended by a limit."


def test_fewer_is_called_too_few_and_more_too_many() -> None:
    text = OTHERS.replace("beans: 1}", "beans: 1 to 3}").replace("2 portions", "6 portions")
    few = explainer(text.replace("Ada: {}", "Ada: {floors: {protein: 15 g}}"))
    many = explainer(text.replace("Ada: {}", "Ada: {ceilings: {protein: 11 g}}"))
    said = [ours.of_amounts(ours.packed.lunches[0]) for ours in (few, many)]
    texts = [reason.text for reason in said if reason is not None]
    assert texts[0].startswith("2 portions of beans would be too few: ")
    assert texts[1].startswith("3 portions of beans would be too many: ")


def test_what_is_wanted_whatever_the_day_says_what_is_lost_without_it() -> None:
    text = OTHERS.replace("days: mon", "days: mon-tue").replace("2 portions", "1 portion")
    ours = explainer(text)
    first = ours.packed.lunches[0]
    slot = ours.foils.slot(first.eater, first.day)
    reason = ours._at_all(slot, first, "Oats")
    assert reason is not None
    assert reason.text == (
        "wanted this week, whatever the day: without it 100 g more would be left over"
    )


def test_goals_that_come_first_already_need_no_other_order() -> None:
    week = plain()
    for wanted, sooner in (("left_over", False), ("minutes", True)):
        goal = goal_of(week, f"{wanted} <= 1000")
        found = Search(week, [goal], None, solve_week(week)[1]).sooner()
        assert (found is not None) is sooner
    answer_ = mend(week, [goal_of(week, "cost <= 18"), goal_of(week, "minutes <= 9")])
    assert answer_.goal == "cost at most 18 and packing time at most 9"


def test_nothing_is_cooked_as_late_as_the_last_lunch() -> None:
    for days, later in (("mon", 0), ("mon-tue", 1)):
        turns = turns_of(beans("days: mon-tue", f"days: {days}"))
        assert len([chain for chain in turns.chains if chain.sort is Sort.LATER]) == later


def test_a_label_that_a_diet_asks_for_is_written_under_suits() -> None:
    text = OTHERS.replace("Ada: {}", "Ada: {must_not: {diet: vegan}}")
    week = read_week(text.replace("oats: {pack: 90 g,", "oats: {food: crackers, pack: 90 g,"))
    keys = {
        edit.path
        for chain in turns_of(week).chains
        if chain.sort is Sort.LABEL
        for version in chain.versions
        for edit in version.edits(week)
    }
    assert ("larder", "oats", "suits") in keys


def test_what_the_fridge_held_binds_no_lunch_alone() -> None:
    """Other lunches pay for it, or the freezer does: each amount would be as good."""
    text = OTHERS.replace("days: mon", "days: mon-tue").replace("beans: 1}", "beans: 1 to 2}")
    text = text.replace("yield: 2 portions", "freezer: 2, frozen: 2 portions, yield: 5 portions")
    ours = explainer(text + "priorities: [thawed, left_over]\n")
    assert ours.packed.lunches[0].dish == "Beans"
    assert [bound.rule.key for bound in ours.amounts(ours.packed.lunches[0])] == []


def test_a_box_says_of_one_food_alone_that_it_has_no_room() -> None:
    text = OTHERS.replace("beans: 1}", "beans: 1 to 2}").replace("Ada: {}", "Ada: {box: tin}")
    text = text.replace("portion: 100 g,", "portion: 100 g, room: 400 mL, texture: crisp,")
    text = text.replace("pack: 90 g,", "pack: 90 g, texture: crisp, room: 150 mL,")
    ours = explainer(text + "boxes: {tin: {compartments: [500 mL]}}\n")
    said = [bound.fault.what for bound in ours.amounts(ours.packed.lunches[0])]
    assert said == ["800 mL in a box of 500 mL", "800 mL of crisp food has 500 mL"]
