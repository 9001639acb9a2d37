"""Guard words and allergens against foods, each cell judged by hand with the reason beside it.

words_by_foods.csv and allergens_by_foods.csv say of each food what is barred and what only its
label tells; every other word lets it through. "label" stands for every allergen that is not
barred. Judged by what a food is; sources: Regulation (EU) No 1169/2011 Annex II for allergens,
the usual recipe of a compound food (common practice, no source).
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from models.answers.shop import BuyLine, UseLine
from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.guards import guards_of, verdict
from models.week.packed import PackedPortions
from models.week.week import Week
from models.words.allergens import EU_FOURTEEN
from models.words.errors import InputError
from models.words.families import groups
from optimiser.checking import check as understood
from optimiser.report import check, shop
from optimiser.rules import faults_of
from optimiser.solve.week import solve_week
from tests.cases import each

HERE = Path(__file__).parent
WORDS = [
    *("meat", "red meat", "pork", "beef", "lamb", "poultry", "chicken", "turkey", "ham", "lard"),
    *("mince", "fish", "salmon", "tuna", "anchovies", "seafood", "shellfish", "crustaceans"),
    *("molluscs", "prawns", "dairy", "milk", "cheese", "butter", "cream", "yoghurt", "egg"),
    *("mayonnaise", "honey", "gelatine", "alcohol", "wine", "nuts", "almonds", "pine nuts"),
    *("peanuts", "coconut", "chestnuts", "seeds", "sesame", "mustard", "celery", "pulses", "soya"),
    *("lupin", "chickpeas", "gluten", "wheat", "oats", "bread", "nightshades", "tomatoes"),
    *("potatoes", "chilli", "allium", "onions", "garlic", "mushrooms", "rice", "chocolate"),
]
BARRED, NOT_SETTLED, THROUGH = "barred", "not settled", "let through"


def judged(name: str) -> dict[str, tuple[set[str], set[str]]]:
    """Read a table: food to what bars it and what only its label tells."""
    with (HERE / name).open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert all(row["reason"] for row in rows)
    return {
        row["food"]: (set(row["barred"].split(";")), set(row["not_settled"].split(";")))
        for row in rows
    }


def week_with(foods: list[str], eaters: str) -> Week:
    """Write a week in which each food is an item and a dish of its own."""
    items = "".join(
        f'  "{food}": {{food: "{food}", pack: 100 g, price: 1, opened_life: 1, '
        "ready_to_eat: yes, chilled: yes}\n"
        for food in foods
    )
    dishes = "".join(f'  "{food}": {{kind: a, goes_in: {{"{food}": 10 g}}}}\n' for food in foods)
    head = "week: {starts: 2026-11-30, days: [mon], guidance: us}\n"
    text = f"{head}eaters:\n{eaters}larder:\n{items}dishes:\n{dishes}"
    return week_of(parse("week.yaml", text))


def found(week: Week, eater: str, food: str) -> str:
    """Say what the guards of an eater say of an item: the strictest of them."""
    judged = [
        verdict(guard, food, week.larder[food].contents) for guard in guards_of(week.eaters[eater])
    ]
    barred = [claim for claim in judged if claim.barred]
    if any(judged.settled for judged in barred):
        return BARRED
    return NOT_SETTLED if barred else THROUGH


def failing(week: Week, table: dict[str, tuple[set[str], set[str]]], words: list[str]) -> list[str]:
    """Name every cell in which the program and the judge differ."""
    wrong = []
    for food, (barred, asks) in table.items():
        for word in words:
            label = "label" in asks and groups(word) is not None
            wanted = BARRED if word in barred else NOT_SETTLED if word in asks or label else THROUGH
            got = found(week, word, food)
            if got != wanted:
                wrong.append(f"{word} x {food}: {got}, judged {wanted}")
    return wrong


def test_sixty_words_by_sixty_foods() -> None:
    table = judged("words_by_foods.csv")
    assert len(WORDS) == len(set(WORDS)) == 60
    assert len(table) == 60
    eaters = "".join(f"  {word}: {{must_not: {{foods: [{word}]}}}}\n" for word in WORDS)
    named = {word for barred, asks in table.values() for word in barred | asks} - {"label", ""}
    assert named <= set(WORDS)
    assert failing(week_with(list(table), eaters), table, WORDS) == []


def test_every_allergen_by_foods() -> None:
    table = judged("allergens_by_foods.csv")
    assert len(table) >= 60
    words = [*EU_FOURTEEN, "pine nuts"]
    eaters = "".join(f"  {word}: {{must_not: {{allergens: [{word}]}}}}\n" for word in words)
    week = week_with(list(table), eaters)
    wrong = failing(week, table, words)
    assert wrong == []


# What was served before guards went by meaning: the word, and a food that it must bar.
ONCE_SERVED = [
    *(("pork", food) for food in ("ham", "pork lard", "pork mince, stewed")),
    *(("meat", food) for food in ("beef mince, stewed", "chicken breast, meat only, roast")),
    *(("egg", food) for food in ("mayonnaise", "omelette, plain", "egg noodles, boiled")),
    *(("nuts", food) for food in ("almonds, whole", "almond butter, unsalted", "walnut oil")),
    *(("fish", food) for food in ("smoked salmon", "tuna in water, tinned, drained")),
    *(("fish", food) for food in ("anchovies in oil, tinned, drained", "worcestershire sauce")),
    *(("shellfish", food) for food in ("prawns, boiled", "mussels, boiled", "crab meat, boiled")),
    *(("dairy", food) for food in ("feta cheese", "salted butter", "ghee")),
    *(("milk", food) for food in ("feta cheese", "salted butter", "mashed potato, with milk")),
    *(("gluten", food) for food in ("wholemeal bread", "couscous, soaked", "rolled oats")),
    *(("wheat", food) for food in ("wholemeal bread", "couscous, soaked", "semolina")),
    *(("soya", food) for food in ("tofu, fried", "soy sauce", "edamame beans, boiled")),
    *(("sesame", food) for food in ("hummus, shop-bought", "tahini")),
    *(("poultry", food) for food in ("turkey breast, meat only, roast", "chicken fat")),
]


def test_what_was_served_once_is_barred_for_certain() -> None:
    foods = list(dict.fromkeys(food for _, food in ONCE_SERVED))
    words = list(dict.fromkeys(word for word, _ in ONCE_SERVED))
    week = week_with(foods, "".join(f"  {w}: {{must_not: {{foods: [{w}]}}}}\n" for w in words))
    assert [cell for cell in ONCE_SERVED if found(week, *cell) != BARRED] == []


CLEARED = ("red wine", "dessert wine, dry", "dry cider", "beer", "stout", "sake")
DIETS_BY_FOODS = [
    ("vegetarian", "ham", BARRED),
    ("vegetarian", "smoked salmon", BARRED),
    ("vegetarian", "worcestershire sauce", BARRED),
    ("vegetarian", "pork lard", BARRED),
    ("vegetarian", "parmesan cheese, block", BARRED),
    ("vegetarian", "cheddar cheese", THROUGH),
    ("vegetarian", "egg, hard-boiled", THROUGH),
    ("vegetarian", "flour tortilla", NOT_SETTLED),
    # What wine and beer are cleared with: fish, gelatine, egg or milk (Annex II, 4; Regulation (EU)
    # No 579/2012).
    *((diet, drink, NOT_SETTLED) for diet in ("vegan", "vegetarian") for drink in CLEARED),
    ("pescatarian", "dry cider", NOT_SETTLED),
    ("vegan", "red wine vinegar", THROUGH),
    ("pescatarian", "smoked salmon", THROUGH),
    ("pescatarian", "chicken stock cube", BARRED),
    ("vegan", "honey, runny", BARRED),
    ("vegan", "whole milk", BARRED),
    ("vegan", "egg, hard-boiled", BARRED),
    ("vegan", "wholemeal bread", NOT_SETTLED),
    ("vegan", "coconut milk, tinned", THROUGH),
    ("vegan", "butter beans, boiled", THROUGH),
    ("vegan", "peanut butter, smooth, salted", THROUGH),
    ("halal", "ham", BARRED),
    ("halal", "vanilla, liquid extract", BARRED),
    ("halal", "chicken breast, meat only, roast", NOT_SETTLED),
    ("halal", "wholemeal bread", NOT_SETTLED),
    ("halal", "chickpeas, boiled", THROUGH),
    ("kosher", "prawns, boiled", BARRED),
    ("kosher", "beef mince, stewed", NOT_SETTLED),
    ("kosher", "cheddar cheese", NOT_SETTLED),
    ("kosher", "apple, raw, with skin", THROUGH),
]


def test_ways_of_eating() -> None:
    foods = list(dict.fromkeys(food for _, food, _ in DIETS_BY_FOODS))
    diets = list(dict.fromkeys(diet for diet, _, _ in DIETS_BY_FOODS))
    week = week_with(
        foods, "".join(f"  {diet}: {{must_not: {{diet: {diet}}}}}\n" for diet in diets)
    )
    wrong = [cell for cell in DIETS_BY_FOODS if found(week, *cell[:2]) != cell[2]]
    assert wrong == []


# -- what is not known, and the line that settles it --------------------------------------

HEAD = """\
week: {starts: 2026-11-30, days: [mon], guidance: us}
eaters: {Ada: {must_not: {GUARD}}}
larder:
  apple: {food: apple, pack: 1 piece, price: 1}
  pot: {pack: 100 g, chilled: yes, price: 1, opened_life: 1ITEM}
dishes:
  Apple: {kind: a, goes_in: {apple: 1 piece}}
  Pot: {kind: b, goes_in: {pot: 50 g}}
"""


def verdict_of(guard: str, item: str) -> str:
    """Say what the guard of one eater says of an item described so."""
    text = HEAD.replace("GUARD", guard).replace("ITEM", f", {item}" if item else "")
    return found(week_of(parse("week.yaml", text)), "Ada", "pot")


@each(
    "guard, item, wanted",
    [
        ("foods: [pork]", "", NOT_SETTLED),
        ("foods: [pork]", "free_of: [pork]", THROUGH),
        ("foods: [pork]", "free_of: [meat]", THROUGH),
        ("foods: [pork]", "free_of: pig", THROUGH),
        ("foods: [pork]", "free_of: [beef]", NOT_SETTLED),
        ("foods: [pork]", "free_of: others", THROUGH),
        ("foods: [pork]", "foods: [bacon], free_of: others", BARRED),
        ("foods: [rice]", "", NOT_SETTLED),
        ("foods: [rice]", "free_of: [rice]", THROUGH),
        ("foods: [fish]", "allergens: none", THROUGH),
        ("foods: [fish]", "allergens: [fish]", BARRED),
        ("foods: [celery]", "foods: [celery], allergens: none", BARRED),
        ("diet: vegetarian", "", NOT_SETTLED),
        ("diet: vegetarian", "suits: vegetarian", THROUGH),
        ("diet: vegetarian", "suits: [vegan]", THROUGH),
        ("diet: halal", 'food: "chicken breast, meat only, roast", suits: halal', THROUGH),
        ("diet: halal", 'food: "chicken breast, meat only, roast"', NOT_SETTLED),
        ("diet: vegan", "food: wholemeal bread, suits: vegan", THROUGH),
        ("foods: [milk]", "food: wholemeal bread, allergens: [wheat]", THROUGH),
        ("foods: [wheat]", "food: wholemeal bread, allergens: none", THROUGH),
        ("foods: [cheese]", "food: caesar dressing, allergens: none", THROUGH),
        # Each line that a reason asks for settles it, whichever way the guard was written.
        ("foods: [gluten]", "food: gluten-free bread", NOT_SETTLED),
        ("foods: [gluten]", "food: gluten-free bread, free_of: [gluten]", THROUGH),
        ("allergens: [gluten]", "food: gluten-free bread, free_of: [gluten]", THROUGH),
        ("allergens: [gluten]", "food: gluten-free bread, allergens: none", THROUGH),
        ("allergens: [milk]", "food: gluten-free bread, free_of: [gluten]", NOT_SETTLED),
        ("allergens: [sulphites]", "free_of: [sulphites]", THROUGH),
        ("allergens: [gluten]", 'ingredients: ["10 g stock cube"]', NOT_SETTLED),
        (
            "allergens: [gluten]",
            'ingredients: [{what: "10 g stock cube", free_of: [gluten]}]',
            THROUGH,
        ),
        (
            "allergens: [gluten]",
            'ingredients: [{what: "10 g stock cube", free_of: [gluten]}, 10 g mayonnaise]',
            NOT_SETTLED,
        ),
        # Oats are sold as gluten-free; whoever avoids oats avoids these too.
        ("foods: [gluten]", "food: rolled oats, free_of: [gluten]", THROUGH),
        ("allergens: [gluten]", "food: rolled oats, free_of: [gluten]", THROUGH),
        (
            "foods: [gluten]",
            'ingredients: [{what: "50 g rolled oats", free_of: [gluten]}]',
            THROUGH,
        ),
        ("foods: [oats]", "food: rolled oats, free_of: [gluten]", BARRED),
    ],
)
def test_what_is_not_known_is_barred_until_a_line_settles_it(
    guard: str, item: str, wanted: str
) -> None:
    assert verdict_of(guard, item) == wanted


@each(
    "guard, item, text",
    [
        ("foods: [porkk]", "", "Did you mean 'pork'?"),
        ("foods: [vegan]", "", "Write 'diet: vegan'"),
        ("foods: [chikken]", "", "Did you mean 'chicken'?"),
        ("diet: vegitarian", "", "Did you mean 'vegetarian'?"),
        ("foods: [pork]", "food: ham, free_of: [pork]", "'ham' is pork"),
        ("foods: [pork]", "food: ham, suits: vegetarian", "'ham' is meat"),
        ("foods: [pork]", "suits: [carnivore]", "Write one of vegetarian"),
        ("foods: [pork]", "food: rolled oats, allergens: none", "'free_of: [gluten]' where its"),
        ("foods: [pork]", "food: couscous, free_of: [gluten]", "is gluten"),
    ],
)
def test_what_means_nothing_or_contradicts_itself_is_refused(
    guard: str, item: str, text: str
) -> None:
    with pytest.raises(InputError) as caught:
        verdict_of(guard, item)
    assert text in f"{caught.value.what} {caught.value.mend}"


def test_what_it_is_called_tells_no_more_than_the_food_it_is() -> None:
    for name, food, wanted in (
        ("bread", "gluten-free bread", THROUGH),
        ("pasta", '"maize pasta, boiled"', THROUGH),
        ("tea bread", "gluten-free bread", NOT_SETTLED),
    ):
        item = f"food: {food}, allergens: none"
        text = HEAD.replace("GUARD", "foods: [gluten]").replace("ITEM", f", {item}")
        week = week_of(
            parse(
                "week.yaml",
                text.replace("pot:", f"{name}:").replace("{pot: 50 g}", f"{{{name}: 50 g}}"),
            )
        )
        assert found(week, "Ada", name) == wanted, name


def test_chicken_bars_no_eggs() -> None:
    week = week_with(["egg, hard-boiled", "ham"], "  Ada: {must_not: {foods: [chicken]}}\n")
    assert found(week, "Ada", "egg, hard-boiled") == THROUGH


# -- what the check shows ----------------------------------------------------------------

SHOWN = """\
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: us}
eaters:
  Ada: {must_not: {foods: [pig, peanuts]}}
  Bo: {must_not: {diet: vegetarian}}
  Cy: {must_not: {foods: [oats]}}
batches:
  pea soup:
    made: 2026-11-29
    yield: 4 portions
    ingredients: [400 g peas, 50 g ham, 10 g mayo]
larder:
  bread: {food: wholemeal bread, pack: 10 pieces, piece: 30 g, price: 1, allergens: none,
    free_of: gluten}
  oats: {food: rolled oats, pack: 500 g, price: 1}
  lupin: {food: lupin seeds boiled, pack: 500 g, price: 1, opened_life: 2}
  mystery: {pack: 2 pieces, chilled: no, price: 3}
dishes:
  Soup: {kind: a, takes: {pea soup: 1}}
  Toast: {kind: b, goes_in: {bread: 2 pieces}}
  Wonder: {kind: b, goes_in: {mystery: 1 piece}}
  Bowl: {kind: b, goes_in: {oats: 40 g}, extras: {lupin: {portion: 10 g}}}
"""


def shown() -> tuple[str, dict[str, Any]]:
    """Check that week: the text without line breaks, and the data."""
    week = week_of(parse("week.yaml", SHOWN))
    answer = understood(week)
    return " ".join(check.text(answer).split()), answer.model_dump(mode="json")


def test_check_shows_each_guard_at_work() -> None:
    text, data = shown()
    for remark in (
        "Ada must not have pork bars pea soup: ham is pork",
        "bars mystery: nobody said what is in mystery; once you know, write 'free_of: [pork]'",
        "lets through bread, oats, lupin so never Soup, Wonder",
        "Bo eats vegetarian food bars pea soup: ham is meat",
        "write 'suits: [vegetarian]' there",
        "read as peas: peas, frozen; mayo: mayonnaise",
    ):
        assert remark in text
    pork = next(guard for guard in data["guards"] if guard["what"] == "pork")
    assert pork["bars"][0] == {
        "name": "pea soup",
        "why": "ham is pork",
        "settled": True,
        "write": "",
    }
    assert pork["lets_through"] == ["bread", "oats", "lupin"]
    assert pork["dishes_barred"] == ["Soup", "Wonder"]
    assert data["read_as"] == [
        {"written": "peas", "food": "peas, frozen"},
        {"written": "mayo", "food": "mayonnaise"},
    ]


def test_remarks_tell_those_who_avoid_something_what_is_near_it() -> None:
    remarks = " ".join(shown()[1]["remarks"])
    assert "Ada must not have peanuts and may get lupin, which holds lupin" in remarks
    assert "Oats count as gluten here, so Cy gets none of oats." in remarks
    assert "wholemeal bread in bread is stated without gluten" in remarks


def test_a_label_without_the_allergen_of_its_name_earns_a_remark() -> None:
    for name, group in (("peanut bar", "peanuts"), ("prawn curry", "crustaceans")):
        text = HEAD.replace("GUARD", f"allergens: [{group}]").replace("ITEM", ", allergens: none")
        text = text.replace("pot:", f"{name}:").replace("{pot: 50 g}", f"{{{name}: 50 g}}")
        told = " ".join(understood(week_of(parse("week.yaml", text))).remarks)
        assert f"{name} is stated without {group}, which its name says" in told


def test_a_plan_keeps_every_guard() -> None:
    week = week_of(parse("week.yaml", SHOWN))
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert {lunch.dish for lunch in packed.lunches if lunch.eater == "Ada"} <= {"Toast", "Bowl"}
    assert {lunch.dish for lunch in packed.lunches if lunch.eater == "Bo"} <= {"Toast", "Bowl"}
    assert list(faults_of(week, packed)) == []
    wrong = replace(packed, lunches=tuple(replace(lunch, dish="Soup") for lunch in packed.lunches))
    soup = tuple(
        replace(lunch, portions=(PackedPortions("pea soup", 1, 0),), options={}, extras={})
        for lunch in wrong.lunches
    )
    said = [fault.what for fault in faults_of(week, replace(wrong, lunches=soup))]
    assert "pea soup has or may have pork: ham is pork" in said


def test_the_shopping_list_shows_what_was_read_as_what() -> None:
    def why(name: str, food: str) -> str:
        use = UseLine(what="soup", amount=400, unit="g", text=f"400 g {name}")
        return shop.why(BuyLine(name=name, food=food, need=400, unit="g", packs=[], uses=[use]))

    assert why("mayo", "mayonnaise").startswith("read as mayonnaise; need 400 g")
    assert why("frozen peas", "peas, frozen").startswith("need 400 g")
