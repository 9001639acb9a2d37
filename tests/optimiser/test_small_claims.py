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
from optimiser.explain.why import Question, Why, with_portions
from optimiser.explain.wishes import goal_of
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
