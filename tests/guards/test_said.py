"""What guards make of foods, names and labels, said whole and read by a person when it changes.

Foods and names are chosen so that each word a guard goes by decides something here: a word that is
lost, or one more, shows as a line. What is judged, and why, stands in the tables beside.
"""

from __future__ import annotations

import itertools
import os
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from models.foods.avoided import avoided
from models.foods.facts import Facts, RecipeLine, Unclear
from models.foods.families import (
    Families,
    derived,
    narrowest,
    read_cell,
    with_allergens,
    written,
)
from models.foods.food import Food, builtin, find
from models.foods.parts import (
    Contents,
    Contradicted,
    Part,
    as_called,
    freed,
    gluten_free,
    part_of,
    parts_of,
    read_label,
    stated_part,
)
from models.foods.raw import has_lectin, must_cook, named_raw, raw_kind, to_cook
from models.foods.recipe import Ingredient
from models.foods.storage import (
    Keeping,
    at_home,
    caution_keys,
    cautions,
    class_names,
    holds,
    is_rice,
    months_frozen,
    proposed,
    raw_life,
    storage,
    strictest,
    watched,
)
from models.week.guards import Guard, Kind, verdict
from models.words.families import DIETS, widened
from models.words.names import plain_name

FOODS = builtin()
FACTS = Facts(FOODS, "us", "us", {})
KEPT = Path(__file__).parent / "said"


def listed(names: object) -> str:
    assert isinstance(names, frozenset | set | tuple | list)
    return ", ".join(sorted(map(str, names))) or "-"


def families_said(families: Families) -> str:
    told = "" if families.told else " and anything"
    return f"{listed(families.holds)} | may {listed(families.may)}{told}"


# -- verdicts ------------------------------------------------------------------------------


def part(name: str, cell: str, **more: object) -> Part:
    """Write a food as a cell of the table says it."""
    known = {"names": frozenset({name}), "allergens": frozenset(), "plain": True, "label": False}
    return Part(name=name, families=read_cell(cell), **(known | more))  # type: ignore[arg-type]


def of(*parts: Part, **more: object) -> Contents:
    known: dict[str, object] = {"allergens": None, "foods": frozenset(), "told": True}
    return Contents(parts=parts, **(known | more))  # type: ignore[arg-type]


HAM, PRAWNS = (
    part("ham", "pork"),
    part("prawns", "crustaceans", allergens=frozenset({"crustaceans"})),
)
MINCE = part("mince", "red meat")
JELLY = part("jelly", "gelatine", plain=False)
STOCK = part("stock cube", "pork?;beef?;celery?;anything?", plain=False, label=True)
BREAD = part("rolls", "gluten;dairy?", allergens=frozenset({"gluten"}), plain=False, label=True)
FETA = part("feta", "cheese", allergens=frozenset({"milk"}))
LAMB = part("lamb", "lamb", suits=frozenset({"halal"}))
SWEDE = part("swede", "none", names=frozenset({"swede", "rutabaga"}))

MADE: dict[str, Contents] = {
    "ham": of(HAM, allergens=frozenset()),
    "prawns": of(PRAWNS, allergens=frozenset({"crustaceans"})),
    "a pot of mince": of(MINCE, told=False),
    "sweets": of(JELLY),
    "sweets of cattle": of(JELLY, free_of=frozenset({"pork"})),
    "soup": of(SWEDE, STOCK, unsettled=("stock cube",)),
    "read soup": of(SWEDE, STOCK, free_of=frozenset({"others"}), unsettled=("stock cube",)),
    "free soup": of(
        SWEDE,
        replace(STOCK, free_of=frozenset({"celery"})),
        unsettled=("stock cube",),
        free_of=frozenset({"meat", "swede"}),
    ),
    "rolls": of(BREAD, held=frozenset({"gluten"}), unsettled=("rolls", "seeds")),
    "rolls without milk": of(BREAD, allergens=frozenset({"gluten"})),
    "pasty": of(SWEDE, allergens=frozenset({"gluten"}), foods=frozenset({"leek"})),
    "feta": of(FETA, allergens=frozenset({"milk"})),
    "vegan feta": of(replace(FETA, families=Families()), suits=frozenset({"vegan"})),
    "lamb": of(LAMB, allergens=frozenset()),
    "stew": of(LAMB, STOCK, suits=frozenset({"vegetarian"})),
    "stew for all": of(LAMB, suits=frozenset({"halal", "kosher"})),
    "mystery": of(told=False),
    "white cubes": of(FETA, allergens=frozenset()),
    "mash": of(part("swedes", "none")),
    "milk": of(part("oat milk", "dairy?")),
    "gluten-free bread": of(part("gluten-free bread", "none"), allergens=None),
    "bread": of(part("gluten-free bread", "none"), free_of=frozenset({"others"})),
    "pork pie": of(SWEDE, allergens=frozenset()),
    "salad": of(
        part("leaves", "none"), part("dressing", "egg?;anything?", plain=False, label=True)
    ),
}
GUARDS = (
    *(Guard(Kind.ALLERGEN, what) for what in ("gluten", "milk", "celery", "sulphites")),
    *(
        Guard(Kind.FOOD, what)
        for what in (
            "meat",
            "red meat",
            "pork",
            "beef",
            "poultry",
            "crustaceans",
            "dairy",
            "cheese",
        )
    ),
    *(Guard(Kind.FOOD, what) for what in ("gluten", "rutabaga", "swede", "leek", "mysteries")),
    *(Guard(Kind.DIET, diet) for diet in DIETS),
)


def verdicts() -> Iterator[str]:
    for (name, contents), guard in itertools.product(MADE.items(), GUARDS):
        judged = verdict(guard, name, contents)
        mend = f" ({judged.mend})" if judged.mend else ""
        sure = "" if judged.settled else ", till read"
        if judged.barred:
            yield f"{name} | {guard.kind} {guard.what} | {judged.why}{sure}{mend}"
        else:
            yield f"{name} | {guard.kind} {guard.what} | let through{sure}{mend}"


# -- labels --------------------------------------------------------------------------------

LINES = (
    *("200 g porridge oats", "100 g couscous", "2 tbsp honey mustard", "1 tin baked beans"),
    *("100 g noodles, sesame", "100 g tofu in batter", "100 g carrots with butter", "30 g butter"),
    *("1 stock cube", "100 g prawns", "200 g pork sausages", "100 g feta", "50 g honey"),
    *(
        "200 g potatoes, crushed",
        "100 g oat milk",
        "1 leek, in cream",
        "100 g noodles, sesame and honey",
        "100 g carrots, honey",
        "100 g carrots, honey, grated",
    ),
)
LABELS: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    ((), ()),
    (("gluten",), ()),
    (("milk", "swede"), ()),
    (("others",), ()),
    (("pork",), ("halal",)),
    ((), ("vegan",)),
)


def line_of(text: str) -> Ingredient | None:
    try:
        return FACTS.recipe([RecipeLine(text)]).ingredients[0]
    except Unclear:
        return None


def part_said(line: Ingredient) -> str:
    made = part_of(line)
    label = ", label" if made.label else ""
    thing = "one thing" if made.plain else "of several"
    return (
        f"{made.name} ({thing}{label}): {families_said(made.families)} | allergens "
        f"{listed(made.allergens)} | called {listed(made.names)[:60]} | suits {listed(made.suits)} "
        f"| free of {listed(made.free_of)} | cereals {listed(line.food.cereals)}"
    )


def labels() -> Iterator[str]:
    for text in LINES:
        line = line_of(text)
        if line is None:
            yield f"{text}: not read"
            continue
        yield f"{text}: {part_said(line)}"
        yield f"    called: {part_said(as_called(line))}"
        yield f"    without gluten: {part_said(gluten_free(line))}"
        for free_of, suits in LABELS:
            try:
                read = part_said(read_label(line, free_of, suits))
            except Contradicted as wrong:
                read = f"{wrong} | {wrong.what} | {wrong.mend} | {wrong.key}"
            yield f"    {listed(free_of)}; {listed(suits)}: {read}"
    oats = line_of("200 g porridge oats")
    assert oats is not None
    doubtful = Families(frozenset(), frozenset({"gluten", "pulses"}), told=False)
    vague = replace(oats.food, stated=doubtful, allergens_known=False)
    called = as_called(replace(oats, food=vague, name="honey oats"))
    yield f"vague oats with honey: {part_said(called)}"
    yield f"vague oats: {part_said(gluten_free(replace(oats, food=vague)))}"
    for word in ("honey", "wheat", "bacon", "swede", "sausage", "milk chocolate"):
        made = stated_part(word)
        yield f"{word}: {made.name} {families_said(made.families)} | {listed(made.allergens)}"
        yield f"    {listed(made.names)} {made.plain} {made.label}"
    yield listed(freed(["milk", "pigs", "Swede", "sulphites", "shellfish"]))
    recipe = FACTS.recipe(
        [RecipeLine("20 g butter"), RecipeLine("1 leek"), RecipeLine("30 g butter")]
    )
    for allergens in (None, frozenset[str](), frozenset({"milk"})):
        for made in parts_of(recipe, allergens):
            yield f"{made.name}: {families_said(made.families)} | {listed(made.allergens)}"


# -- words ---------------------------------------------------------------------------------

WORDS = (
    *("eggs", "oats", "Oats", "pigs", "sulphites", "shellfish", "leek", "LEEKS", "salted pot"),
    *("gluten-free", "gluten free", "no pork", "free from milk", "free of nuts", "not vegan"),
    *("vegan", "plant-based", "without swede", "nothing", "porrk", "swedee", "xyzzy", "non dairy"),
    *(
        "milk without",
        "free of from milk",
        "no leek",
        "no sulphites",
        "no nightshades",
        "no xyzzy",
        "no pine nuts",
        "of pork",
        "pork and",
        "salt and pepper",
        "salt or pepper",
        "smoked salmn",
        "chiken brest",
    ),
)


def words_read() -> Iterator[str]:
    for word in WORDS:
        try:
            meant = avoided(["peas", word], FOODS, frozenset({"salted pot"}))
            yield f"{word}: {listed(meant.allergens)} | {listed(meant.foods)}"
        except Unclear as wrong:
            yield f"{word}: {wrong.what} | {wrong.mend} | {wrong.steps}"
    yield listed(avoided([], FOODS, frozenset()).foods)


# -- raw -----------------------------------------------------------------------------------

STATES = ("", "raw", "dry", "cooked", "tinned")
BEANS = (
    *("kidney", "cannellini", "white", "haricot", "navy", "northern", "pinto", "borlotti"),
    *("cranberry", "pink", "flageolet", "lima", "butter", "runner", "anasazi", "tepary", "red"),
    *("yellow", "french", "green", "string", "fine", "flat", "bobby", "dwarf", "wax", "snap"),
    *("verts", "romano", "broad", "fava", "soya", "mung", "coffee", "winged", "jelly", "gram"),
    *("asparagus", "black", "black eyed", "black gram", "black sauce", "yellow dried"),
)
NAMES = (
    *(f"{kind} beans" for kind in BEANS),
    *(
        "haricots verts",
        "haricots",
        "lima, dried",
        "kidney beans, boiled",
        "kidney beans, grilled",
        "mung beans, dried",
        "green beans, dried",
        "green pepper",
        "green beans, steamed",
        "cassava, grilled",
    ),
    *("cassava", "cassava flour", "manioc", "yuca", "cassava starch", "bamboo shoots"),
    *("elderberry", "fiddlehead ferns", "morel", "taro", "eddoe", "dasheen", "cocoyam", "yautia"),
    *("malanga", "yam", "mountain yam", "sweet yam", "yam bean", "chanterelle", "girolle"),
    *("porcini", "cep", "shiitake", "pokeweed", "pokeberry", "ginkgo nuts", "morel, dried"),
    *("peas", "lentils", "chickpeas", "dal", "dhal", "lupins", "soybeans", "mothbeans", "cowpeas"),
    *("lentils, roasted", "pea flour", "pea protein", "textured soybean", "peas, sprouted"),
    *("peanut bean", "soybean isolate", "lentils, mature, raw", "lentils, dried, raw"),
    *("lentils, mature", "lentils, dry"),
)
FLESH = (
    *("chicken", "chicken, raw", "pork, uncooked", "bacon, unprepared", "beef, cooked, raw"),
    *(
        "salmon, raw",
        "salmon, smoked, raw",
        "haddock, smoked",
        "haddock, smoked, grilled",
        "kipper",
        "bloater",
        "finnan haddock",
    ),
    *(
        "cod, smoked, boiled",
        "cod",
        "prawns, raw",
        "prawns, marinated, raw",
        "mussels, raw",
        "fish, pickled, raw",
    ),
    *(
        "herring, marinated, raw",
        "ham, cured, raw",
        "egg, raw",
        "pasta, egg, raw",
        "eggs, whole, raw",
    ),
    *("egg, pasteurized, raw", "egg, pasteurised", "salmon tartare", "beef carpaccio", "ceviche"),
    *("salmon tartare sauce", "tuna sashimi", "prosciutto, raw", "gravad salmon, raw", "lox, raw"),
    *("gravlax of salmon, raw", "steak tartare, ready", "raw cassava", "raw swede", "duck, raw"),
)
DOUGH = (
    *(
        "flour",
        "flour, tortilla",
        "flour tortillas",
        "wheat flour",
        "dough",
        "cookie dough, baked",
        "dough, toasted",
    ),
    *(
        "dough, ready",
        "dough, prepared",
        "pastry, raw",
        "pizza, uncooked",
        "pastry",
        "pizza, frozen",
    ),
    *("peas, sprouted, raw", "wheat, sprouted", "seeds, sprouted"),
)


def raw() -> Iterator[str]:
    bare = replace(find("water"), aliases=(), group="other", storage="", stated=None)
    bare = replace(bare, allergens_known=False)
    for name in (*NAMES, *FLESH, *DOUGH):
        kinds = []
        for state in STATES:
            food = replace(bare, name=name, state=state)
            us, uk = must_cook(food, "us"), must_cook(food, "")
            kind = "-" if us is None else us.kind
            kinds.append(kind if us == uk else f"{kind} (uk {'-' if uk is None else uk.kind})")
            kinds[-1] += " lectin" if has_lectin(name, state) else ""
            kinds[-1] += " animal" if raw_kind(food) else ""
        only = named_raw(name)
        yield f"{name}: {'; '.join(kinds)} | by name {'-' if only is None else only.kind}"
    for kept, state, group in itertools.product(
        (*RAW_STORAGE, ""), ("raw", "cooked"), ("vegetables", "flour", "other")
    ):
        food = replace(bare, name="thing", storage=kept, state=state, group=group)
        whys = [must_cook(food, guidance) for guidance in ("us", "uk")]
        said = "; ".join("-" if why is None else why.kind for why in whys)
        yield f"{kept or 'no class'}, {state}, {group}: {said}"


RAW_STORAGE = (
    *("raw poultry", "raw meat", "raw mince", "raw fish", "raw shellfish", "eggs in shell"),
    *(
        "egg whites and yolks",
        "fresh pasta",
        "puff pastry",
        "frozen vegetables and fruit",
        "sprouts",
    ),
)
BOUGHT = (
    *("100 g ravioli", "100 g tortellini, boiled", "50 g wild mushrooms", "100 g mushrooms"),
    *("200 g chicken thighs, raw", "100 g smoked haddock", "2 eggs", "100 g plain flour"),
    *(
        "50 g cooked wild mushrooms",
        "100 g dried kidney beans",
        "100 g dried lentils",
        "50 g roasted wild mushrooms",
        "50 g wild mushrooms, fried",
    ),
)


def bought() -> Iterator[str]:
    for text in BOUGHT:
        line = line_of(text)
        if line is None:
            yield f"{text}: not read"
            continue
        for ready in (False, True):
            why = to_cook(replace(line, ready=ready), "us")
            yield f"{text}, ready {ready}: {why}"
        # As of an item that names its food.
        yield f"    {line.food.name}: {to_cook(replace(line, text=line.food.name), 'us')}"


# -- families ------------------------------------------------------------------------------

CALLED: tuple[tuple[tuple[str, ...], str], ...] = (
    *(
        ((name,), "")
        for name in ("ham", "coconut milk", "butter beans", "mashed potato, butter, beans")
    ),
    *(((name,), "") for name in ("egg-free mayonnaise", "fat free milk", "no egg pasta", "milk")),
    *(((name,), "") for name in ("pasta without egg", "free range eggs", "sugar free milk")),
    *(((name,), "") for name in ("vegan sausage", "vegetarian burger with egg", "plant drink")),
    *(((name,), "") for name in ("pork soup", "chilli beans", "hot pot", "rice, stir fried")),
    *(((name,), "") for name in ("meatless ham", "veggie bacon and cheese", "custard made up")),
    *(
        (("rohu",), group)
        for group in ("fish", "finfish", "shellfish", "meat", "beef", "fish meat")
    ),
    *((("paneer",), group) for group in ("dairy", "milk", "alcoholic", "cereal", "sausage pork")),
    *((("cod", "cod, fried"), group) for group in ("fish", "vegetable", "fish sausage")),
    *((("beef, retail cuts", "beef"), group) for group in ("beef", "")),
    *((("beef, retail",), group) for group in ("beef", "meat breakfast")),
    *((("carp", "crab"), group) for group in ("fish", "meat")),
    *((("crab", "mussels"), "finfish"), (("fish, smoked",), "meat"), (("milk",), "dairy")),
    *(
        ((name,), "")
        for name in ("beef", "beefburger", "stock", "rusk", "fried rice", "flour, fried")
    ),
    *(((name,), "vegetable") for name in ("leek", "leek soup", "leek, fried", "leek, retail")),
)


def families() -> Iterator[str]:
    for names, group in CALLED:
        for told in (False, True):
            yield f"{names} {group!r} {told}: {families_said(derived(names, group, told=told))}"
    for cell in ("none", "pork;alcohol?", "anything?", " beef ; pork?;anything?", "pork;pork?", ""):
        read = read_cell(cell)
        yield f"{cell!r}: {families_said(read)} | {written(read)} | {narrowest(read.holds)}"
        for known, others in (((), False), (("meat",), False), (("pork",), True), ((), True)):
            yield f"    {known}, {others}: {families_said(read.settled(known, others=others))}"
        for allergens, known in itertools.product(
            (frozenset[str](), frozenset({"gluten", "sulphites"})), (False, True)
        ):
            mixed = Families(read.holds | {"dairy", "cheese"}, read.may | {"egg"}, read.told)
            given = with_allergens(mixed, allergens, known=known)
            yield f"    {listed(allergens)} {known}: {families_said(given)}"
    yield listed(widened(["duck", "beer"]))


# -- storage -------------------------------------------------------------------------------


def life(keeping: Keeping | None) -> str:
    return "-" if keeping is None else f"{keeping.low} to {keeping.high} ({keeping.source[:24]})"


def classes() -> Iterator[str]:
    for name, kept in storage().items():
        yield f"{name} ({', '.join(kept.names)}): {kept.freezer_months} {kept.freezes_well}"
        yield f"    opened {life(kept.opened)}, thawed {kept.thawed}, any {life(kept.any_fridge())}"
        for guidance, cooked in itertools.product(("us", "uk", "strictest"), (False, True)):
            yield f"    {guidance} {cooked}: {life(kept.fridge(guidance, cooked=cooked))}"
        marks = ("bought", "cold", "home")
        on = [mark for mark in marks if getattr(kept, mark)]
        yield f"    {listed(on)} | {kept.caution} | {kept.cold_source[:30]} | holds {holds(name)}"
        yield f"    {kept.freezer_source[:40]} | {kept.note[:40]}"
    shared = Counter(
        plain_name(also) for kept in storage().values() for also in {kept.name, *kept.names}
    )
    for plain, name in class_names().items():
        if shared[plain] > 1:
            yield f"{plain} = {name}"
    assert set(shared) == set(class_names())
    for key, (text, source) in cautions().items():
        yield f"{key}: {text[:30]} / {source[:30]}"
    for low, high in ((2, 5), (2, 6), (2, 7), (7, 9)):
        yield f"{low} to {high}: {at_home(Keeping(low, high, 'x'))}"
    lives = [Keeping(3, 4, "a"), Keeping(1, 6, "b"), Keeping(5, 5, "c"), Keeping(4, 4, "d")]
    for some in (lives, lives[1:], lives[2:], [Keeping(6, 9, "e"), Keeping(2, 1, "f")], []):
        yield f"strictest: {strictest(some)}"
    for some in (["cooked rice"], ["cooked rice", "raw fish", "cut melon"], ["cut melon"], []):
        yield f"{some}: {months_frozen(some)}"


GROUPED = (
    *(("rice", group) for group in ("grains", "flour", "other", "meat")),
    *(("rice vinegar", group) for group in ("other", "sauces")),
    *(
        ("rice noodles", "other"),
        ("rice, wild", ""),
        ("quinoa", "grains"),
        ("potato", "vegetables"),
    ),
    *(("tomato", "vegetables"), ("tomato", "fruit"), ("apple", "fruit"), ("lettuce", "leaves")),
    *(("spinach", "leaves"), ("carrot", "vegetables"), ("lentils", "pulses"), ("walnuts", "nuts")),
    *(("chicken", "poultry"), ("cod", "fish"), ("prawns", "shellfish"), ("egg", "eggs")),
    *(("beef", "meat"), ("salt", "spices"), ("pasta", "pasta"), ("lobster", "other")),
    *(
        ("watermelon", "fruit"),
        ("alfalfa", "other"),
        ("kidney beans", "pulses"),
        ("bread", "bread"),
    ),
    *(
        ("squid rings", "fish"),
        ("honeydew", "vegetables"),
        ("crab paste", "meat"),
        ("tofu", "other"),
    ),
)


def foods_of(state: str) -> Iterator[Food]:
    for name, group in GROUPED:
        bare = replace(find("water"), name=name, aliases=(), group=group, storage="", state=state)
        yield replace(bare, stated=Families(), note="", density=Decimal(1))


def kept_as() -> Iterator[str]:
    for state in ("raw", "cooked", "tinned", ""):
        foods = list(foods_of(state))
        for food in foods:
            own = f"{food.name} ({food.group}, {state}): rice {is_rice(food)}, {watched(food)}"
            yield f"{own}, {caution_keys(['no class'], [food])}, {proposed([food])}"
        for one, other in itertools.pairwise(foods):
            pair = [one, other]
            both = proposed(pair), proposed(pair, uncooked=True)
            yield f"{one.name} ({one.group}) with {other.name} ({other.group}), {state}: {both}"
    for kept in (
        "melon, whole",
        "cut melon",
        "sprouts",
        "raw fish",
        "fresh lemon juice",
        "raw meat",
    ):
        food = replace(find("water"), name="thing", group="fruit", state="raw", storage=kept)
        nut = replace(food, name="tahini", group="nuts", storage="")
        seeds = replace(nut, group="seeds")
        yield f"{kept} with seeds: {proposed([food, seeds])}"
        yield f"{kept}: {watched(food)}, {life(raw_life(food))}, {proposed([food, nut])}"
        yield f"    {caution_keys(['cooked rice', kept], [food])}, {proposed([food])}"
    lettuce, nuts, apple, egg = (
        replace(find("water"), name=name, group=group, state="raw", storage="")
        for name, group in (
            ("lettuce", "leaves"),
            ("walnuts", "nuts"),
            ("apple", "fruit"),
            ("egg", "eggs"),
        )
    )
    for some in ([lettuce, nuts], [lettuce, apple, nuts], [apple, nuts], [lettuce, egg], []):
        yield f"{[food.name for food in some]}: {proposed(some)}, {proposed(some, uncooked=True)}"


TOLD: dict[str, Callable[[], Iterator[str]]] = {
    "verdicts": verdicts,
    "labels": labels,
    "words": words_read,
    "raw": raw,
    "bought": bought,
    "families": families,
    "classes": classes,
    "kept_as": kept_as,
}


@pytest.mark.parametrize("name", TOLD)
def test_it_is_said_as_it_was(name: str) -> None:
    text = "\n".join(TOLD[name]()) + "\n"
    path = KEPT / f"{name}.txt"
    if os.environ.get("REWRITE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
    assert text == path.read_text()


@pytest.mark.parametrize(
    ("text", "families"),
    [
        ("200 g carrots, toasted almonds", {"nuts"}),
        ("200 g carrots, sticks for the yoghurt", set()),
        ("200 g carrots, baby carrots", set()),
    ],
)
def test_only_a_word_behind_a_comma_is_what_a_line_comes_with(
    text: str, families: set[str]
) -> None:
    line = line_of(text)
    assert line is not None
    assert line.food.families.may == families
