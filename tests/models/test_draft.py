"""Drafts of weeks: what is written reads back, and plans at once."""

from __future__ import annotations

from datetime import date

import pytest

from models.file import yamltext
from models.file.draft import Frame, batch_of, days_of, draft, next_start, scalar
from models.file.reading import week_of
from models.week.cautions import bearing
from models.week.guarded import guarded
from models.words.document import Document
from models.words.errors import InputError
from optimiser import plan
from optimiser.report import phrases

LISTS = (
    ("strictest", "mon-fri", ("chilli, 12 portions", "rice salad, 8 portions")),
    ("us", "mon-fri", ("chilli, 12 portions", "rice salad, 8 portions")),
    ("uk", "mon-fri", ("rice salad, 1 portion",)),
    ("uk", "mon-sun", ("bean stew, 4 portions", "quinoa, 6 portions", "mash, 5 portions")),
    ("us", "mon,wed,fri", ("oat farls, 18 pieces of 45 g",)),
    ("strictest", "mon", ("soup, 2 portions", "focaccia, 8 pieces")),
    ("us", "mon-sun", ("leaf salad, 7 portions",)),
    ("uk", "mon-fri", ("yes, 6 portions", "no: never, 4 pieces", "#1 {pie}, 9 pieces")),
    ("strictest", "mon-fri", ("chicken rice, 10 portions", "prawn salad, 5 portions")),
    ("us", "tue-thu", ("12 bean soup, 6 portions", "braised leeks, 6 portions of 140 g")),
    (
        "uk",
        "mon-fri",
        tuple(f"dish {letter}, {at} portions" for at, letter in enumerate("abcdef", 1)),
    ),
    ("us", "mon-tue", tuple(f"pot {at}, 3 portions" for at in range(1, 13))),
    ("strictest", "mon-fri", ("x" * 60 + ", 2000 portions",)),
)


def drafted(batches: tuple[str, ...], days: str = "mon-fri", guidance: str = "us") -> str:
    chosen = days_of(days)
    starts = next_start(date(2026, 11, 29), chosen)
    return draft([batch_of(text) for text in batches], Frame(starts, chosen, guidance, "label"))


@pytest.mark.parametrize(("guidance", "days", "batches"), LISTS)
def test_every_draft_plans(guidance: str, days: str, batches: tuple[str, ...]) -> None:
    text = drafted(batches, days, guidance)
    week = week_of(yamltext.parse("the draft", text))
    assert list(week.batches) == [text.rsplit(",", 1)[0] for text in batches]
    answer = plan(text)
    assert answer.status in {"optimal", "feasible"}
    assert len(answer.lunches) == len(days_of(days))


def test_dishes_are_each_batch_alone_with_bread_grain_and_leaf_and_each_pair() -> None:
    week = week_of(yamltext.parse("d", drafted(("chilli, 12 portions", "rice salad, 8 portions"))))
    assert list(week.dishes) == [
        *("Chilli", "Chilli with bread", "Chilli with grain", "Chilli with leaves"),
        *("Rice salad", "Rice salad with bread", "Rice salad with grain", "Rice salad with leaves"),
        *("Chilli and rice salad", "Bread and cheese"),
    ]


def test_a_dish_is_named_by_what_its_batches_are_and_apart_from_others() -> None:
    named = ("Slow-Cooker White Chicken Chili", "Sausage, fennel & butter bean casserole")
    dishes = list(
        week_of(yamltext.parse("d", drafted(tuple(f"{n}, 6 portions" for n in named)))).dishes
    )
    assert set(named) <= set(dishes)
    assert "White Chicken Chili and butter bean casserole" in dishes
    alike = ("Meatballs in a sauce of tomatoes and cream", "Meatballs in a sauce of beer", "stew")
    dishes = list(
        week_of(yamltext.parse("d", drafted(tuple(f"{n}, 6 portions" for n in alike)))).dishes
    )
    assert {"Meatballs and stew", "Meatballs and stew (2)"} <= set(dishes)


@pytest.mark.parametrize("guidance", ["us", "uk", "strictest"])
@pytest.mark.parametrize("name", ["chilli", "rice salad", "quinoa", "pasta salad", "ham", "xyz"])
def test_a_name_never_makes_food_keep_longer_than_leftovers(guidance: str, name: str) -> None:
    text = drafted((f"{name}, 4 portions",), guidance=guidance)
    life = week_of(yamltext.parse("d", text)).batches[name].life
    assert life.high <= {"us": 4, "uk": 2, "strictest": 2}[guidance]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("chilli", "does not say what a batch comes to"),
        ("chilli, twelve portions", "does not say what a batch comes to"),
        ("chilli, 0 portions", "does not say what a batch comes to"),
        (", 4 portions", "does not say what a batch comes to"),
        ("chilli, 2001 portions", "2001 are too many"),
        ("x" * 61 + ", 4 portions", "longer than 60"),
        ("so\u202eup, 4 portions", "unseen character"),
    ],
)
def test_a_batch_that_says_too_little_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        batch_of(text)
    assert said in caught.value.what


@pytest.mark.parametrize("text", ["mon-teusday", "fri-mon", "", "mon-tue-wed", "someday"])
def test_days_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        days_of(text)


def test_too_many_batches_and_two_of_a_name_are_refused() -> None:
    for batches in (tuple(f"a{at}, 2 portions" for at in range(13)), ("a, 2 portions",) * 2):
        with pytest.raises(InputError):
            drafted(batches)


def test_any_text_reads_back_letter_for_letter() -> None:
    for text in (
        "yes",
        "1.10",
        "a: b",
        "a #b",
        "- x",
        "{a}",
        'say "hi"',
        "back\\slash",
        "it's",
        "~",
    ):
        document: Document = yamltext.parse("t", f"list: [{scalar(text)}]\nkey: {scalar(text)}\n")
        assert document.data == {"list": [text], "key": text}, text


def test_a_name_alone_brings_no_food_that_nobody_wrote() -> None:
    text = drafted(("tub, 12 portions", "rice salad, 6 portions"), guidance="strictest")
    assert "mince" not in text
    assert text.count("Until then its allergens are") == 2
    assert "whoever must not have something gets none of it" in text
    careful = text.replace("Me: {}", "Me: {must_not: {foods: [celery]}}")
    week = week_of(yamltext.parse("the draft", careful))
    bear = {caution.key: caution.of for caution in bearing(week)}
    assert "shellfish" not in bear
    assert bear["rice"] == ("rice salad",)
    (work,) = guarded(week)
    assert {"tub", "rice salad"} <= {name for name, _ in work.barred}
    told = [phrases.held(batch) for batch in plan(text).batches]
    assert told[0] == "allergens not settled: nobody said what is in tub"
