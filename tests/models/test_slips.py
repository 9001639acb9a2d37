"""A slip of the fingers is mended; a name is never swapped for another food.

The names are ours. That a slip may not replace a word which the table knows is what keeps
"whole salmon" from being read as almonds.
"""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from models.foods.food import Food, UnknownFood, builtin, find, table
from models.foods.lines import Unread
from models.foods.lines.reading import _unknown
from models.foods.lines.written import read_written
from models.foods.naming import Unnamed
from models.foods.recipe import ingredients
from models.foods.vocabulary import KINDS, NOTHING, PORTIONS, STATES
from models.words.names import is_slip, plain_name, split, words
from tests.depth import sized

# What was typed, and the other food it must not be taken for.
NO_SWAPS = [
    ("whole salmon", "almonds"),
    ("chicken legs", "egg"),
    ("sticky rice", "rice noodles"),
    ("rice wine vinegar", "red wine vinegar"),
    ("floury potatoes", "potato flour"),
    ("raw peas", "pear"),
    ("custard powder", "mustard seeds"),
    ("boiled sweets", "swede"),
    ("dried onions", "fried onion"),
    ("diced mushrooms", "dried shiitake"),
    ("sauce soy and fish", "soy sauce"),
    ("butter peanut", "peanut butter"),
    ("fish oyster sauce", "oyster sauce"),
]


@pytest.mark.parametrize(("typed", "other"), NO_SWAPS)
def test_a_name_is_never_swapped_for_another_food(typed: str, other: str) -> None:
    try:
        found = builtin().find(typed)
    except UnknownFood:
        return
    assert not any(words(other) <= words(one) for one in (found.name, *found.aliases))
    assert words(typed) <= {*words(found.name), *_all_words(found), *NOTHING, *STATES}


def _all_words(food: Food) -> set[str]:
    return {word for name in (food.name, *food.aliases) for word in words(name)}


def test_sourdough_is_sourdough_bread() -> None:
    assert find("sourdough").name == "sourdough bread"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("avacado", "avocado, raw"),
        ("tumeric", "turmeric"),
        ("zuchini", "courgette, raw"),
        ("mozarella", "mozzarella cheese"),
        ("letuce", "green leaf lettuce, raw"),
        ("butterbeans, dry", "butter beans, dry"),
        ("greek yogurt", "greek yoghurt, whole milk"),
    ],
)
def test_a_letter_is_mended(typed: str, meant: str) -> None:
    assert find(typed).name == meant


@pytest.mark.parametrize(
    ("typed", "word"),
    [("floury", "flour"), ("custard", "mustard"), ("sweet", "swede"), ("hat", "heat ray")],
)
def test_another_word_is_no_slip(typed: str, word: str) -> None:
    assert not is_slip(typed, word)


def _slips(name: str) -> list[str]:
    """Give a name with one letter left out, typed twice, or changed with the next, everywhere."""
    ways = []
    for at, letter in enumerate(name):
        if letter.isalpha():
            ways += [name[:at] + name[at + 1 :], name[:at] + letter + name[at:]]
            after = name[at + 1 : at + 2]
            if after.isalpha() and after != letter:
                ways.append(name[:at] + after + letter + name[at + 2 :])
    return [way for way in ways if plain_name(way) != plain_name(name)]


def _is_named(typed: str) -> bool:
    try:
        builtin().named(typed)
    except Unnamed:
        return False
    return True


def test_of_true_slips_nearly_all_are_mended_and_none_is_wrong() -> None:
    dice = Random(505)
    names = [(name, food.name) for food in table().values() for name in (food.name, *food.aliases)]
    right, wrong = 0, []
    for name, meant in dice.sample(names, sized(101, 505)):
        typed = dice.choice(_slips(name))
        if _is_named(typed):
            continue  # another word of the table: crema, cream
        try:
            found = builtin().find(typed).name
        except UnknownFood:
            continue
        right += found == meant
        if found != meant:
            wrong.append((typed, name, found))
    assert wrong == []
    assert right >= sized(85, 440)


SAYS_LITTLE = NOTHING | PORTIONS | KINDS | set(STATES)


def test_two_words_that_the_table_knows_are_never_read_as_others() -> None:
    # Every first word of a name beside every last one, thinned: what is found holds both.
    foods = list(table().values())
    firsts = sorted({food.name.replace(",", "").split()[0] for food in foods})
    lasts = sorted({alias.split()[-1] for food in foods for alias in food.aliases})
    swapped = []
    for first, last in list(product(firsts, lasts))[:: sized(4_220, 211)]:
        try:
            food = builtin().find(f"{first} {last}")
        except UnknownFood:
            continue
        typed, names = f"{first} {last}", (food.name, *food.aliases)
        # What is cut off says nothing of the food: its size, its state, its part.
        same = any(words(typed) - SAYS_LITTLE <= words(one) for one in names)
        if not same and "".join(split(typed)) not in {"".join(split(one)) for one in names}:
            swapped.append((first, last, food.name))
    assert swapped == []


def test_only_what_is_like_it_is_suggested() -> None:
    with pytest.raises(UnknownFood) as mug:
        builtin().find("mug of rice")
    assert mug.value.near
    assert all("rice" in words(food) for food in mug.value.near)
    with pytest.raises(UnknownFood) as nothing:
        builtin().find("left-handed screwdriver")
    assert nothing.value.near == ()
    assert "Nothing like it is there" in nothing.value.mend


def test_the_kind_that_was_named_is_suggested_first() -> None:
    with pytest.raises(UnknownFood) as salmon:
        builtin().find("dragon salmon")
    assert all("salmon" in _all_words(table()[food]) for food in salmon.value.near)


def test_words_that_tell_more_are_suggested_first() -> None:
    for name, first in (
        ("chana masala powder", "garam masala"),
        ("miso soup paste", "miso paste"),
    ):
        assert builtin("uk").near(name)[0] == first


@pytest.mark.parametrize("typed", ["ettuce", "elttuce", "lettucee", "lettcue"])
def test_a_slip_is_found_wherever_in_the_word_it_is(typed: str) -> None:
    # Words are looked up by length and first letters, not one by one: the first may be the slip.
    assert builtin().mended(typed) == ("green leaf lettuce, raw",)


@pytest.mark.parametrize("typed", ["kidny beans", "kidney beens", "kidny beens"])
def test_near_names_weigh_every_word_of_a_name(typed: str) -> None:
    near = builtin("uk").near(typed)
    assert near[0] == "red kidney beans, dry"
    assert all("bean" in split(food) for food in near)


def test_a_tin_of_misspelt_beans_is_no_offal() -> None:
    with pytest.raises(Unread) as fault:
        ingredients("2 x 400 g tins kidny beens, drained", builtin("uk"), None)
    assert fault.value.mend.startswith("Write one of: red kidney beans, tinned, drained;")


def test_one_food_of_another_sort_is_never_what_to_write() -> None:
    fault = Unnamed("kidny beens", "is not in the table", ("ox kidney, raw",))
    told = _unknown(fault, read_written("100 g kidny beens"))
    assert told.mend.startswith("The nearest is ox kidney, raw: write it only where")
