"""What is in a dish for those who must not have something: always, perhaps, or not settled.

Groups are those of Regulation (EU) No 1169/2011, Annex II; the US nine are those of FALCPA
2004 with the FASTER Act 2021. What nobody has settled is in nobody's lunch who avoids any
allergen, and the way to settle it is said.
"""

from __future__ import annotations

import pytest

from models.foods.food import table
from models.foods.parts import Contents
from models.week.dishes import Held, held_by, together
from models.week.week import Week
from models.words.allergens import EU_FOURTEEN, US_NINE, cereals_of, us_nine
from models.words.errors import InputError
from optimiser.checking import check as understood
from optimiser.checking import remarks
from optimiser.planning import plan_week
from optimiser.report import check, plan
from tests.cases import each

from .kitchen import edited, line_of, refusal, week_from

NONE = frozenset[str]()


def known(*groups: str, of: frozenset[str] = NONE) -> Contents:
    return Contents(frozenset(groups), NONE, frozenset(groups), (), of)


def unknown(*groups: str, of: frozenset[str] = NONE) -> Contents:
    return Contents(None, NONE, frozenset(groups), ("it",), of)


def flat(text: str) -> str:
    return " ".join(text.split())


# -- foods put together ----------------------------------------------------------------


def test_foods_together_hold_what_any_of_them_holds() -> None:
    held = together([("a", known("milk")), ("b", known("eggs", "milk")), ("c", known())])
    assert held == Held(frozenset({"milk", "eggs"}), NONE, (), NONE)
    assert together([]) == Held(NONE, NONE, (), NONE)


def test_what_one_of_them_leaves_open_is_named_once() -> None:
    held = together([("a", unknown("milk")), ("b", known("eggs")), ("a", unknown("milk"))])
    assert held.always == {"milk", "eggs"}
    assert held.unsettled == ("a",)


def cereals(foods: list[Contents]) -> frozenset[str]:
    """Ask as dishes and recipes do."""
    return cereals_of((held.known, held.cereals) for held in foods)


def test_cereals_are_named_only_where_each_gluten_says_of_which() -> None:
    oats, wheat = frozenset({"oats"}), frozenset({"wheat"})
    assert cereals([known("gluten", of=oats), known("gluten", of=wheat)]) == oats | wheat
    assert cereals([known("gluten", of=oats), known("gluten")]) == NONE
    assert cereals([known("gluten", of=oats), known("milk")]) == oats
    assert cereals([known("milk")]) == NONE


@each(
    ("groups", "of", "said"),
    [
        # FALCPA names wheat and not gluten: rye, barley and oats are none of the nine.
        ({"gluten"}, set(), ("wheat",)),
        ({"gluten"}, {"wheat"}, ("wheat",)),
        ({"gluten"}, {"spelt"}, ("wheat",)),
        ({"gluten"}, {"khorasan wheat"}, ("wheat",)),
        ({"gluten"}, {"oats"}, ()),
        ({"gluten"}, {"rye", "barley"}, ()),
        ({"gluten"}, {"oats", "wheat"}, ("wheat",)),
        ({"soya", "crustaceans"}, set(), ("crustacean shellfish", "soybeans")),
        ({"nuts"}, set(), ("tree nuts",)),
        ({"pine nuts"}, set(), ("tree nuts",)),
        ({"nuts", "pine nuts"}, set(), ("tree nuts",)),
        ({"celery", "mustard", "sulphites", "lupin", "molluscs"}, set(), ()),
        (
            {"milk", "eggs", "fish", "peanuts", "sesame"},
            set(),
            ("milk", "eggs", "fish", "peanuts", "sesame"),
        ),
    ],
)
def test_the_us_nine_are_named_as_us_law_does(
    groups: set[str], of: set[str], said: tuple[str, ...]
) -> None:
    assert us_nine(frozenset(groups), frozenset(of)) == said


def test_the_nine_lie_within_the_fourteen_and_come_once_each() -> None:
    assert set(US_NINE) < set(EU_FOURTEEN)
    every = us_nine(frozenset(EU_FOURTEEN) | {"pine nuts"}, NONE)
    assert len(every) == len(set(every)) == 9


# -- dishes ----------------------------------------------------------------------------

WEEK = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}
eaters:
  Ada: {}
batches:
  farls:
    made: 2026-11-29
    yield: 6 pieces
    ingredients: [200 g rolled oats, 2 eggs]
  beans:
    made: 2026-11-29
    yield: 4 portions
    ingredients: ["200 g chickpeas, boiled", 20 g celery]
larder:
  plait: {food: wholemeal pitta bread, pack: 6 pieces, piece: 60 g, price: 1, allergens: [gluten]}
  cheese: {food: feta cheese, pack: 200 g, price: 2, opened_life: 5}
  walnuts: {food: walnuts, pack: 100 g, price: 2}
  apple: {food: apple, pack: 1 piece, price: 0.4}
choices:
  side:
    - apple: 1 piece
    - walnuts: 10 g
dishes:
  Plait:
    kind: bread
    takes: {farls: 1 to 2, beans: 0 to 1}
    goes_in: {plait: 1 piece}
    choices: [side]
    extras: {cheese: {portion: 20 g}}
  Plate:
    kind: plate
    takes: {beans: 1 to 2}
    goes_in: {apple: 1 piece}
    ingredients: [10 g tahini]
"""


def held(week: Week, dish: str) -> Held:
    return held_by(week, week.dishes[dish])


def test_a_dish_holds_always_what_no_choice_leaves_out() -> None:
    held_by_dish = held(week_from(WEEK), "Plait")
    assert held_by_dish.always == {"gluten", "eggs"}
    assert held_by_dish.may == {"celery", "nuts", "milk"}
    assert held_by_dish.unsettled == ()
    assert held_by_dish.cereals == {"oats", "wheat"}


def test_what_is_added_in_the_morning_counts() -> None:
    held_by_dish = held(week_from(WEEK), "Plate")
    assert (held_by_dish.always, held_by_dish.may) == (frozenset({"celery", "sesame"}), NONE)


def test_what_is_always_in_it_is_not_said_to_be_perhaps_in_it() -> None:
    text = edited(WEEK, "extras: {cheese: {portion: 20 g}}", "extras: {plait: {portion: 1 piece}}")
    held_by_dish = held(week_from(text), "Plait")
    assert "gluten" in held_by_dish.always
    assert held_by_dish.may == {"celery", "nuts"}


def test_what_is_perhaps_in_it_may_be_unsettled() -> None:
    text = edited(WEEK, "piece: 60 g, price: 1, allergens: [gluten]", "piece: 60 g, price: 1")
    assert held(week_from(text), "Plait").unsettled == ("plait",)
    text = edited(WEEK, "walnuts: {food: walnuts, pack", "walnuts: {chilled: no, pack")
    assert held(week_from(text), "Plait").unsettled == ("walnuts",)


def test_check_lists_the_allergens_of_each_dish_in_the_words_of_both_laws() -> None:
    shown = flat(check.text(understood(week_from(WEEK))))
    assert "Allergens by dish (EU 14; the US names where they differ)" in shown
    assert "eggs, gluten (oats, wheat); by choice also celery, milk, nuts; US:" in shown
    assert "celery, sesame; US: sesame" in shown
    data = understood(week_from(WEEK)).model_dump(mode="json")["dishes"]
    assert data["Plait"]["allergens"] == ["eggs", "gluten"]
    assert data["Plait"]["allergens_us"] == ["eggs", "wheat"]
    assert data["Plait"]["allergens_may"] == ["celery", "milk", "nuts"]
    assert data["Plate"]["allergens"] == ["celery", "sesame"]
    assert data["Plate"]["allergens_us"] == ["sesame"]
    assert data["Plate"]["allergens_unsettled"] == []


def test_oats_are_gluten_in_the_eu_and_no_wheat_in_the_us() -> None:
    data = understood(week_from(WEEK)).model_dump(mode="json")["batches"]["farls"]
    assert data["allergens"] == ["eggs", "gluten"]
    assert data["allergens_us"] == ["eggs"]
    assert "eggs, gluten (oats)" in flat(check.text(understood(week_from(WEEK))))


def test_a_plan_names_what_is_in_each_lunch_and_each_tub() -> None:
    made = plan_week(week_from(WEEK), reasons=False)
    for lunch in made.lunches:
        held_by_dish = held(week_from(WEEK), lunch.dish)
        assert held_by_dish.always <= set(lunch.allergens) <= held_by_dish.always | held_by_dish.may
        assert lunch.allergens_unknown == []
    tubs = {batch.batch: batch for batch in made.batches}
    assert (tubs["farls"].allergens, tubs["farls"].allergens_us) == (["eggs", "gluten"], ["eggs"])
    assert (tubs["beans"].allergens, tubs["beans"].allergens_us) == (["celery"], [])
    # The law that counts is that of the guidance; strictest has both.
    for guidance, named in (
        ("us", "contains eggs "),
        ("uk", "contains eggs, gluten (oats) "),
        ("strictest", "contains eggs, gluten (oats); US: eggs "),
    ):
        under = made.model_copy(update={"guidance": guidance})
        told = flat(plan.text(under, full=True))
        assert named in told
        assert ("US: " in told) is (guidance == "strictest")


# -- what nobody has settled -------------------------------------------------------------

OPEN = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: us, cups: us}
eaters:
  Ada: {must_not: {allergens: [sesame]}}
batches:
  pot:
    made: 2026-11-29
    yield: 2 portions
    ingredients: ["200 g chickpeas, boiled", 10 g chicken stock cube]
larder:
  bread: {food: wholemeal bread, pack: 10 pieces, piece: 30 g, price: 1}
  apple: {food: apple, pack: 1 piece, price: 0.4}
dishes:
  Soup: {kind: soup, takes: {pot: 1}}
  Toast: {kind: bread, goes_in: {bread: 2 pieces}}
  Apple: {kind: fruit, goes_in: {apple: 1 piece}}
"""
POT = 'ingredients: ["200 g chickpeas, boiled", 10 g chicken stock cube]'
BREAD = "piece: 30 g, price: 1"


def eaten(text: str) -> set[str]:
    """Name the dishes of the best plan, where soup would leave nothing over."""
    made = plan_week(week_from(text), reasons=False)
    assert made.status == "optimal"
    return {lunch.dish for lunch in made.lunches}


def test_recipes_that_differ_are_not_settled_by_the_table() -> None:
    assert table()["chicken stock cube"].check_label
    assert table()["wholemeal bread"].check_label
    week = week_from(OPEN)
    assert week.batches["pot"].contents.allergens is None
    assert week.batches["pot"].contents.unsettled == ("chicken stock cube",)
    assert week.larder["bread"].contents.allergens is None
    assert week.larder["bread"].contents.known == {"gluten"}
    assert held(week, "Soup").unsettled == ("pot",)
    assert held(week, "Toast").unsettled == ("bread",)


def test_who_avoids_any_allergen_gets_none_of_it() -> None:
    assert eaten(OPEN) == {"Apple"}


def test_who_avoids_nothing_gets_it_and_is_sent_to_the_label() -> None:
    text = edited(OPEN, "{must_not: {allergens: [sesame]}}", "{}")
    assert "Soup" in eaten(text)
    made = plan_week(week_from(text), reasons=False)
    soup = next(lunch for lunch in made.lunches if lunch.dish == "Soup")
    assert soup.allergens_unknown == ["pot"]
    assert made.batches[0].allergens_unknown == ["chicken stock cube"]
    assert "read the label of pot" in flat(plan.text(made, full=True))
    assert "read the label of chicken stock cube" in flat(plan.text(made, full=True))


def test_who_avoids_a_food_alone_is_not_kept_from_it() -> None:
    assert "Soup" in eaten(edited(OPEN, "allergens: [sesame]", "foods: [pork]"))


def test_a_food_is_avoided_by_any_of_its_names() -> None:
    for name in ("chickpea", "Chickpeas", "garbanzo beans", "stock cube"):
        assert "Soup" not in eaten(edited(OPEN, "allergens: [sesame]", f"foods: [{name}]")), name


def test_check_says_how_to_settle_it() -> None:
    week = week_from(OPEN)
    unsettled = [remark for remark in remarks(week) if "not settled by the table" in remark]
    assert len(unsettled) == 2
    for name, food, remark in zip(
        ("pot", "bread"), ("chicken stock cube", "wholemeal bread"), unsettled, strict=True
    ):
        assert remark.startswith(f"{name}: not settled by the table is what may be in {food},")
        assert "those who avoid any allergen get none of it" in remark
        assert "Read the label and state 'allergens' there" in remark
        assert remark in flat(check.text(understood(week)))
    assert "may hold more" in flat(check.text(understood(week)))
    data = understood(week).model_dump(mode="json")
    assert data["batches"]["pot"]["allergens"] is None
    assert data["batches"]["pot"]["allergens_unsettled"] == ["chicken stock cube"]
    assert data["larder"]["bread"]["allergens_held"] == ["gluten"]
    assert data["dishes"]["Toast"]["allergens_unsettled"] == ["bread"]


def test_what_says_nothing_of_allergens_is_told_from_what_differs() -> None:
    week = week_from(edited(OPEN, "  apple: {food: apple, pack", "  apple: {chilled: no, pack"))
    (remark,) = [line for line in remarks(week) if line.startswith("Allergens are not known")]
    assert "get none of: apple" in remark
    assert "State them with 'allergens'" in remark


SETTLED = {
    "at the ingredient": (
        POT,
        'ingredients: ["200 g chickpeas, boiled", {what: 10 g chicken stock cube, '
        "allergens: [celery]}]",
        "Soup",
    ),
    "at the batch": (POT, POT + "\n    allergens: [celery]", "Soup"),
    "at the larder item": (BREAD, BREAD + ", allergens: [gluten]", "Toast"),
}


@pytest.mark.parametrize("where", SETTLED)
def test_it_is_settled_where_it_is_stated(where: str) -> None:
    old, new, dish = SETTLED[where]
    text = edited(OPEN, old, new)
    assert held(week_from(text), dish).unsettled == ()
    assert dish in eaten(text)
    # What the label holds still keeps away those who must not have it.
    group = "celery" if dish == "Soup" else "gluten"
    assert dish not in eaten(edited(text, "[sesame]", f"[{group}]"))


@pytest.mark.parametrize("where", SETTLED)
def test_a_label_that_names_the_allergen_keeps_it_away(where: str) -> None:
    old, new, dish = SETTLED[where]
    named = new.replace("[celery]", "[celery, sesame]").replace("[gluten]", "[gluten, sesame]")
    assert named != new
    assert dish not in eaten(edited(OPEN, old, named))


def test_settling_one_of_two_settles_not_the_other() -> None:
    text = edited(
        OPEN,
        POT,
        POT.replace("10 g chicken", "{what: 9 g mustard, allergens: [mustard]}, 10 g chicken"),
    )
    assert week_from(text).batches["pot"].contents.unsettled == ("chicken stock cube",)
    assert eaten(text) == {"Apple"}


# -- what is certain ---------------------------------------------------------------------


def denied(old: str, new: str) -> InputError:
    text = edited(OPEN, old, new)
    wrong = refusal(text)
    assert wrong.where.line == line_of(text)
    assert "which 'allergens' leaves out" in wrong.what
    return wrong


def test_what_a_food_holds_for_certain_cannot_be_left_out() -> None:
    tahini = POT.replace("10 g chicken stock cube", "10 g tahini")
    wrong = denied(POT, tahini + "\n    allergens: [celery]  # here")
    assert "'10 g tahini' holds sesame" in wrong.what
    assert "Add sesame" in wrong.mend
    assert "Add sesame" in denied(POT, tahini + "\n    allergens: none  # here").mend

    line = "      - {what: 10 g tahini, allergens: [celery]}  # here"
    wrong = denied(POT, f"ingredients:\n{line}")
    assert "'tahini' holds sesame" in wrong.what

    wrong = denied(
        "apple: {food: apple, pack: 1 piece, price: 0.4}",
        "apple: {food: walnuts, pack: 1 piece, piece: 5 g, allergens: none}  # here",
    )
    assert "holds nuts" in wrong.what


def test_more_may_be_added_to_what_is_certain() -> None:
    text = edited(
        OPEN,
        POT,
        'ingredients: ["200 g chickpeas, boiled", 10 g tahini]\n    allergens: [sesame, milk]',
    )
    contents = week_from(text).batches["pot"].contents
    assert contents.allergens == frozenset({"sesame", "milk"})
    assert eaten(text) == {"Apple"}


def test_what_a_recipe_usually_holds_may_be_left_out_by_its_label() -> None:
    # The table says that recipes of bread differ: a loaf without gluten is a loaf.
    assert "gluten" in table()["wholemeal bread"].allergens
    item = week_from(edited(OPEN, BREAD, BREAD + ", allergens: none")).larder["bread"]
    assert item.contents.allergens == NONE


@each("name", [f.name for f in table().values() if f.check_label][:12])
def test_each_food_whose_label_tells_is_unsettled_alone_and_in_company(name: str) -> None:
    text = edited(OPEN, POT, f'ingredients: ["200 g chickpeas, boiled", "10 g {name}"]')
    contents = week_from(text).batches["pot"].contents
    assert contents.allergens is None
    assert contents.unsettled == (name,)
    assert contents.known == table()[name].allergens
