"""Families by the words of names, for foods that no column says it of.

Judged by what a food is; common practice, no source.
"""

from __future__ import annotations

from models.foods import store
from models.foods.families import Families, derived, narrowest, read_cell, written
from models.foods.food import groups_of, table
from models.words.families import WITHIN, around
from tests.cases import each

# Name and group to the narrowest families it holds, those it may hold, and whether all is said.
DERIVED = {
    ("smoked streaky bacon", "meat"): ("pork", "", True),
    ("Fish, cod, Atlantic, raw", "Finfish and Shellfish Products"): ("fish", "", True),
    ("Beans, kidney, red, raw", "Legumes and Legume Products"): ("pulses", "", True),
    ("Coconut milk, canned", "Nut and Seed Products"): ("coconut", "", True),
    ("butter beans", "pulses"): ("pulses", "", True),
    ("cocoa butter", "oils"): ("cocoa", "", True),
    ("eggplant, boiled", "vegetables"): ("aubergines", "", True),
    ("oyster mushrooms", "vegetables"): ("mushrooms", "", True),
    ("lamb's lettuce", "leaves"): ("", "", True),
    ("honeydew melon", "fruit"): ("", "", True),
    ("ginger beer", "fruit"): ("", "", True),
    ("egg-free fusilli", "pasta"): ("gluten", "", True),
    ("vegan mince", "own"): ("", "", False),
    ("red wine vinegar", "fruit"): ("", "", True),
    ("turkey bacon", "poultry"): ("turkey", "", True),
    ("Alcoholic beverage, wine, table", "x"): ("wine", "dairy;egg;fish;gelatine", False),
    ("duck eggs", "eggs"): ("egg", "", True),
    ("shoulder cut, cured", "Pork Products"): ("meat", "", True),
    ("rohu, raw", "fish and shellfish"): ("fish", "", True),
    ("Whipped topping, frozen", "Dairy and Egg Products"): ("", "dairy", True),
    ("my own thing", "own"): ("", "", False),
    # What takes a word back stands beside it; elsewhere in a long name it leaves a doubt.
    ("Porridge oats, made up with semi-skimmed milk", "cereals"): ("gluten", "dairy", False),
    ("Liver, calf, fried in corn oil", "meat"): ("beef;offal", "", True),
    ("Beef stewed with tomato", "meat"): ("beef;tomatoes", "", True),
    ("Kidney, lamb, fried in corn oil", "meat"): ("lamb;offal", "", True),
    ("Yogurt, fruit variety, nonfat", "Dairy and Egg Products"): ("yoghurt", "gelatine", True),
    ("Chili with beans, canned", "Legumes"): ("peppers and chillies;pulses", "meat", False),
    ("Sprats, fried", "fish and shellfish"): ("fish", "", False),
    ("Ham, minced", "Sausages and Luncheon Meats"): ("pork", "", False),
    ("Butter beans with butter", "vegetables"): ("pulses", "", True),
    ("Butter with white beans", "vegetables"): ("pulses", "butter", True),
    ("beans fried in butter", "vegetables"): ("pulses", "butter", True),
    ("butter and beans", "vegetables"): ("pulses", "butter", True),
    ("beans with butter", "vegetables"): ("pulses", "butter", True),
    # At most one word between them, on either side; a doubt is taken back from anywhere.
    ("butter, smooth peanut", "own"): ("peanuts", "nuts", False),
    ("butter, salted, crunchy peanut", "own"): ("peanuts", "butter;nuts", False),
    ("jerky, rice, peas, turkey", "own"): ("pulses;turkey", "", False),
    ("turkey bresaola", "meat"): ("turkey", "", True),
    ("whipped topping", "milk"): ("", "dairy", True),
    ("vegetarian jelly with honey", "own"): ("honey", "soya", False),
    ("hot pot", "beef"): ("meat", "", False),
    ("lasagne sheet", "pasta"): ("gluten", "dairy;garlic;meat;onions", False),
    ("crab", "fish and shellfish"): ("crustaceans", "", True),
    ("mussels", "fish and shellfish"): ("molluscs", "", True),
    ("soya non dairy", "milk"): ("soya", "", True),
}


@each("name, group", DERIVED)
def test_names_tell(name: str, group: str) -> None:
    holds, may, told = DERIVED[name, group]
    families = derived((name,), group)
    assert ";".join(narrowest(families.holds)) == holds
    assert ";".join(narrowest(families.may)) == may
    assert families.told is told


def test_a_compound_food_is_not_told_by_its_name() -> None:
    soup = derived(("Soup, minestrone, canned",), "Soups, Sauces, and Gravies")
    assert "tomatoes" in soup.holds
    assert {"meat", "celery", "dairy"} <= soup.may
    assert not soup.told
    sausage = derived(("pork sausage",))
    assert "pork" in sausage.holds
    assert not sausage.told


PUT_RIGHT = {
    *("falafel, home-made", "kimchi"),
    *("skirt steak, raw", "porterhouse steak, raw", "t-bone steak, raw", "tri-tip, raw"),
    *("liver sausage", "liver sausage, smoked", "cornish game hen, raw", "sofrito"),
    *("enchilada sauce", "beef heart, raw", "brawn"),
}


def test_the_column_and_the_names_agree_but_for_what_was_put_right_by_hand() -> None:
    apart = [
        food.name
        for food in table().values()
        if food.stated is not None
        and food.stated.holds - derived((food.name, *food.aliases), food.group).holds
        and not food.allergens
    ]
    assert set(apart) <= PUT_RIGHT


def test_every_food_of_the_table_says_what_it_belongs_to() -> None:
    for food in table().values():
        assert food.stated is not None, food.name
        assert food.stated.holds | food.stated.may <= WITHIN.keys(), food.name
        assert food.stated.told, food.name
        assert read_cell(written(food.stated)) == food.stated, food.name


def test_a_label_settles_a_family_and_what_lies_in_it() -> None:
    families = read_cell("gluten;pork?;dairy?")
    assert families.settled({"meat"}).may == {"dairy"}
    assert families.settled((), others=True) == Families(families.holds)
    assert around("pork") == {"pork", "red meat", "meat"}


def test_the_two_tables_say_the_same_of_a_food() -> None:
    ours = table()
    apart = [
        row["name"]
        for row in store.everyday()
        if (food := ours.get(row["name"])) is not None
        and (read_cell(row["families"]), groups_of(row["allergens"]))
        != (food.stated, (food.allergens, food.check_label))
    ]
    assert apart == []


def test_every_everyday_food_says_what_it_belongs_to() -> None:
    meant = {"meat": "meat", "poultry": "meat", "eggs": "egg", "bacon": "pork", "ham": "meat"}
    for row in store.everyday():
        families = read_cell(row["families"])
        assert row["families"], row["name"]
        assert families.holds | families.may <= WITHIN.keys(), row["name"]
        if row["kind"] in meant and "fish" not in families.holds:
            assert meant[row["kind"]] in families.holds, row["name"]
