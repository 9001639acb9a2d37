"""Allergens of the food table against the law that names them.

Source: Regulation (EU) No 1169/2011, Annex II. It names cereals containing gluten (wheat,
rye, barley, oats, spelt, khorasan wheat), crustaceans, eggs, fish, peanuts, soybeans, milk,
nuts (almonds, hazelnuts, walnuts, cashews, pecans, Brazil nuts, pistachios, macadamia nuts),
celery, mustard, sesame seeds, sulphur dioxide and sulphites, lupin and molluscs, and what is
made of them. Not among them: coconuts, chestnuts, pine nuts, buckwheat, maize, rice, other
pulses than soya, peanuts and lupin. Pine nuts are a tree nut by US law (FDA's list, from
memory), so the table names them apart. What a compound food holds is the usual recipe's, from
common knowledge; where recipes differ the table says so.
"""

from __future__ import annotations

from models.foods.food import table
from models.foods.tabled import rows
from models.words.allergens import EU_FOURTEEN, PINE_NUTS, us_nine
from tests.cases import each

from .claims import Cases, claim

# Food to the groups Annex II puts it in, in words; "" for none.
ANNEX_II = {
    # Cereals containing gluten: wheat under its many names, rye, barley, oats, spelt.
    "bulgur wheat, dry": "gluten",
    "couscous, soaked": "gluten",
    "semolina": "gluten",
    "spelt grain, boiled": "gluten",
    "pearl barley, boiled": "gluten",
    "pot barley, dry": "gluten",
    "dark rye flour": "gluten",
    "oats, whole grain": "gluten",
    "rolled oats": "gluten",
    "oat bran, dry": "gluten",
    "wheat gluten": "gluten",
    "pasta, white, boiled": "gluten",
    "egg noodles, boiled": "gluten eggs",
    "fresh pasta, uncooked": "gluten eggs",
    "filo pastry": "gluten",
    "rye crispbread": "gluten",
    "naan bread, plain": "gluten milk",
    # No cereals of Annex II, whatever the name says.
    "buckwheat groats, boiled": "",
    "buckwheat flour, wholegrain": "",
    "sticky rice, boiled": "",
    "white rice, long-grain, boiled": "",
    "rice noodles, boiled": "",
    "quinoa, boiled": "",
    "millet, boiled": "",
    "cornflour": "",
    "polenta, wholegrain, dry": "",
    "gram flour": "",
    # Buckwheat noodles are made with wheat as a rule.
    "soba noodles, boiled": "gluten",
    # Crustaceans and molluscs are two groups.
    "prawns, boiled": "crustaceans",
    "king prawns, raw": "crustaceans",
    "crab meat, boiled": "crustaceans",
    "lobster, boiled": "crustaceans",
    "mussels, boiled": "molluscs",
    "clams, tinned, drained": "molluscs",
    "scallops, steamed": "molluscs",
    "octopus, boiled": "molluscs",
    "oyster sauce": "molluscs gluten soya",
    # Eggs of any bird.
    "egg, whole, fresh": "eggs",
    "quail egg, fresh": "eggs",
    "duck egg, fresh": "eggs",
    "mayonnaise": "eggs mustard",
    # Fish, in sauces too.
    "cod, baked": "fish",
    "smoked salmon": "fish",
    "anchovies in oil, tinned, drained": "fish",
    "fish sauce": "fish",
    "worcestershire sauce": "fish gluten",
    "caesar dressing": "fish eggs milk mustard",
    # Peanuts are no nuts, and the other way round.
    "peanuts, raw": "peanuts",
    "peanut butter, smooth, salted": "peanuts",
    "groundnut oil": "peanuts",
    "almonds, whole": "nuts",
    "hazelnuts": "nuts",
    "walnuts": "nuts",
    "cashews, raw": "nuts",
    "pecans": "nuts",
    "brazil nuts": "nuts",
    "pistachios, raw": "nuts",
    "macadamia nuts, shelled": "nuts",
    "walnut oil": "nuts",
    "chocolate hazelnut spread": "nuts milk soya",
    # Called nuts by cooks, not by Annex II.
    "desiccated coconut, unsweetened": "",
    "coconut milk, tinned": "",
    "coconut oil": "",
    "chestnuts, roasted": "",
    "water chestnuts, tinned": "",
    "pine nuts": "",
    "nutmeg": "",
    # Soya, with the wheat that soy sauce is brewed with.
    "soya beans, boiled": "soya",
    "edamame beans, boiled": "soya",
    "tofu, firm, set with calcium sulphate": "soya",
    "tempeh, plain": "soya",
    "soya milk, unsweetened": "soya",
    "miso paste": "soya",
    "tamari": "soya",
    "soy sauce": "soya gluten",
    "teriyaki sauce": "soya gluten",
    # Milk of any animal, lactose included.
    "whole milk": "milk",
    "goats' milk": "milk",
    "ghee": "milk",
    "unsalted butter": "milk",
    "feta cheese": "milk",
    "parmesan cheese, block": "milk",
    "mashed potato, with milk": "milk",
    # Celery: stalk, root and seed.
    "celery sticks, raw": "celery",
    "celeriac root, raw": "celery",
    "celeriac root, boiled": "celery",
    "celery seeds": "celery",
    # Mustard: seed and paste.
    "mustard seeds, ground": "mustard",
    "mustard, prepared": "mustard",
    # Sesame.
    "sesame seeds, whole": "sesame",
    "sesame oil": "sesame",
    "tahini": "sesame",
    "hummus, home-made": "sesame",
    # Sulphites, from 10 mg/kg.
    "dried apricots, sulphured": "sulphites",
    "red wine vinegar": "sulphites",
    # Lupin, and pulses that are not.
    "lupin seeds, boiled": "lupin",
    "lentils, green or brown, boiled": "",
    "chickpeas, boiled": "",
    "split peas, dry": "",
    # Plain meat, fruit and vegetables.
    "chicken breast, skinless, raw": "",
    "beef mince, raw": "",
    "carrot, raw": "",
    "parsley leaf, fresh": "",
    "apple, raw, with skin": "",
    "sunflower seeds, shelled": "",
    "olive oil": "",
}


@claim(
    "a food is in the groups of allergens of the law", "Regulation 1169/2011: Annex II", of="foods"
)
def test_a_food_is_in_the_groups_of_annex_ii() -> Cases:
    for name, groups in ANNEX_II.items():
        assert table()[name].allergens_known, name
        yield name, frozenset(groups.split()), table()[name].allergens - {PINE_NUTS}


@each("group", EU_FOURTEEN)
def test_each_of_the_fourteen_is_in_some_food_checked_here(group: str) -> None:
    assert len(EU_FOURTEEN) == 14
    assert any(group in ANNEX_II[name].split() for name in ANNEX_II)
    assert any(group in food.allergens for food in table().values())


def test_pine_nuts_are_no_group_of_annex_ii_and_a_tree_nut_in_the_us() -> None:
    assert PINE_NUTS not in EU_FOURTEEN
    food = table()["pine nuts"]
    assert food.allergens == {PINE_NUTS}
    assert us_nine(food.allergens, food.cereals) == ("tree nuts",)
    for other in table().values():
        assert other.allergens <= {*EU_FOURTEEN, PINE_NUTS}, other.name


CEREALS = {"wheat", "rye", "barley", "oats", "spelt", "khorasan wheat"}
TREE_NUTS = {
    "almond",
    "hazelnut",
    "walnut",
    "cashew",
    "pecan",
    "brazil",
    "pistachio",
    "macadamia",
}


def test_the_sort_of_cereal_or_nut_is_one_that_annex_ii_names() -> None:
    for row in rows("everyday.csv"):
        for word in row["allergens_eu"].split(";"):
            group, _, sort = word.strip().partition(":")
            if group == "gluten":
                assert sort in CEREALS, row["key"]
            elif group == "tree nuts":
                assert sort in TREE_NUTS, row["key"]
            else:
                assert not sort, row["key"]


def test_none_means_none_and_stands_alone() -> None:
    for row in rows("everyday.csv"):
        words = row["allergens_eu"].split(";")
        assert words != [""], row["key"]
        assert "none" not in words or words == ["none"], row["key"]


# -- what a name gives away -------------------------------------------------------------

# Words of our own names for foods, and the group every such food is in.
TELLING = {
    "wheat": "gluten",
    "barley": "gluten",
    "rye": "gluten",
    "spelt": "gluten",
    "oats": "gluten",
    "oat": "gluten",
    "bread": "gluten",
    "egg": "eggs",
    "prawns": "crustaceans",
    "crab": "crustaceans",
    "salmon": "fish",
    "tuna": "fish",
    "cod": "fish",
    "peanut": "peanuts",
    "peanuts": "peanuts",
    "soya": "soya",
    "tofu": "soya",
    "tempeh": "soya",
    "cheese": "milk",
    "yoghurt": "milk",
    "cream": "milk",
    "almond": "nuts",
    "almonds": "nuts",
    "walnut": "nuts",
    "hazelnut": "nuts",
    "celery": "celery",
    "celeriac": "celery",
    "mustard": "mustard",
    "sesame": "sesame",
    "tahini": "sesame",
    "lupin": "lupin",
    "mussels": "molluscs",
    "clams": "molluscs",
}
# Names that say so and are not.
NOT_WHAT_THE_WORD_SAYS = {
    ("coconut cream, unsweetened", "cream"),
    ("cream crackers", "cream"),
    ("cream of coconut, sweetened", "cream"),
    ("cream of tartar", "cream"),
    ("gluten-free white bread", "bread"),
    ("ice cream wafer cones", "cream"),
    ("salad cream", "cream"),
    ("egg-free mayonnaise, tofu-based", "egg"),
    ("soya yoghurt", "yoghurt"),
}


def test_a_food_whose_name_gives_the_group_away_is_in_it() -> None:
    odd = set()
    for food in table().values():
        words = "".join(letter if letter.isalpha() else " " for letter in food.name).split()
        for word in words:
            if word in TELLING and TELLING[word] not in food.allergens:
                odd.add((food.name, word))
    assert odd == NOT_WHAT_THE_WORD_SAYS


WITHOUT_GLUTEN = {"corn tortilla", "taco shells", "tostada shells", "gluten-free white bread"}


def test_groups_of_foods_that_the_law_puts_as_a_whole_in_one_group() -> None:
    for food in table().values():
        if food.group == "dairy":
            assert "milk" in food.allergens, food.name
        if food.group == "eggs":
            assert "eggs" in food.allergens, food.name
        if food.group == "fish":
            assert "fish" in food.allergens, food.name
        if food.group == "shellfish":
            assert food.allergens & {"crustaceans", "molluscs"}, food.name
        if food.group == "bread" and food.name not in WITHOUT_GLUTEN:
            assert "gluten" in food.allergens, food.name


def test_bought_compound_foods_send_the_reader_to_the_label() -> None:
    for name in (
        "white bread, sliced",
        "vegetable burger, soya",
        "chicken stock cube",
        "curry powder",
        "hoisin sauce",
        "margarine, tub",
        "mixed nuts, roasted, unsalted",
        "ham",
        "teriyaki sauce",
        "potato flour, dried potato",
        "prawns, tinned",
    ):
        assert table()[name].check_label, name
        assert not table()[name].allergens_settled, name
    for name in ("carrot, raw", "whole milk", "lentils, green or brown, dry", "water"):
        assert table()[name].allergens_settled, name
