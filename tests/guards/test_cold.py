"""Nothing warm and nothing raw is packed: cold follows the storage class, raw food is cooked.

Judged food by food, with who says so: USDA FSIS, Keeping "Bag" Lunches Safe, for what stays cold;
FDA Food Code 2022, 3-401.11, FDA Bad Bug Book, NHS and UK FSA for what is cooked first.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from models.foods.food import builtin, find, table
from models.foods.lines.reading import Unread
from models.foods.raw import has_lectin, must_cook, to_cook
from models.foods.recipe import ingredients
from models.week.cautions import bearing
from models.week.week import Week
from models.words.errors import InputError
from optimiser.checking import remarks
from optimiser.rules import faults_of
from optimiser.sheets.pack import cards
from optimiser.solve.week import solve_week
from tests.cases import each

PERISHABLE = [
    *("chicken breast, meat only, roast", "ham", "dry-cured ham", "prawns, boiled"),
    *("salmon, farmed, baked", "smoked salmon", "tuna in water, tinned, drained"),
    *("egg, hard-boiled", "white rice, long-grain, boiled", "pasta, white, boiled"),
    *("chickpeas, boiled", "chickpeas, tinned, drained", "potato, peeled, boiled"),
    *("honeydew melon, raw", "whole milk", "greek yoghurt, whole milk", "double cream"),
    *("feta cheese", "brie cheese", "ricotta cheese", "tofu, firm, set with calcium sulphate"),
    *("hummus, shop-bought", "spinach leaf, raw", "rocket, raw", "basil pesto"),
    *("smooth pate", "frankfurter", "peas, frozen, boiled", "orange juice, carton"),
]
SAFE_WARM = [
    *("cheddar cheese", "wholemeal bread", "flour tortilla", "peanut butter, smooth, salted"),
    *("apple, raw, with skin", "banana, raw", "carrot, raw", "tomato, raw", "almonds, whole"),
    *("mustard, prepared", "dill pickles", "jam", "olive oil", "rolled oats", "salted butter"),
    *("rye crispbread", "grapes, raw", "tahini", "dark chocolate, 70 per cent and over"),
]

APPLE = "  Apple: {kind: a, goes_in: {apple: 1 piece}}\n"
HEAD = """\
week: {starts: 2026-11-30, days: [mon], guidance: us, cups: us}
place: {fridge: no, microwave: no}
eaters: {Ada: {}}
larder:
  apple: {food: apple, pack: 1 piece, price: 1}
"""


def with_item(*entry: str, dish: str = "goes_in: {it: 50 g}", guidance: str = "us") -> str:
    """Write a week in a place without a fridge, with one larder item beside an apple."""
    item = "".join(f"    {line}\n" for line in ("pack: 100 g", "price: 1", *entry))
    return (
        f"{HEAD.replace('guidance: us', f'guidance: {guidance}')}  it:\n{item}"
        f"dishes:\n  Apple: {{kind: a, goes_in: {{apple: 1 piece}}}}\n  It: {{kind: b, {dish}}}\n"
    )


def read(text: str) -> Week:
    return week_of(parse("week.yaml", text))


def refusal(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read(text)
    assert caught.value.mend
    return caught.value


# -- cold ----------------------------------------------------------------------------------


@each("food", PERISHABLE)
def test_what_spoils_stays_cold_without_a_word_of_the_file(food: str) -> None:
    week = read(with_item(f'food: "{food}"', "opened_life: 1"))
    assert week.larder["it"].chilled
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert {lunch.dish for lunch in packed.lunches} == {"Apple"}
    wrong = replace(packed, lunches=tuple(replace(one, dish="It") for one in packed.lunches))
    assert "it has to stay cold" in [fault.what for fault in faults_of(week, wrong)]


@each("food", SAFE_WARM)
def test_what_is_safe_without_cold_may_travel_so(food: str) -> None:
    assert not read(with_item(f'food: "{food}"', "opened_life: 1")).larder["it"].chilled


@each("food", PERISHABLE)
def test_warm_is_at_ones_own_risk_and_every_paper_says_so(food: str) -> None:
    entry = (f'food: "{food}"', "opened_life: 1", "chilled: no")
    wrong = refusal(with_item(*entry))
    assert wrong.where.path == ("larder", "it", "chilled")
    assert "has to stay cold until it is eaten (" in wrong.what
    assert wrong.mend == "Write 'chilled: yes', or add 'own_risk: yes'; every sheet will say so."
    week = read(with_item(*entry, "own_risk: yes"))
    assert not week.larder["it"].chilled
    said = [one.text for one in bearing(week)]
    assert any(text.startswith("At your own risk: it travels warm.") for text in said)
    packed = solve_week(read(with_item(*entry, "own_risk: yes").replace(APPLE, "")))[1].packed
    assert packed is not None
    assert "own risk: travels warm" in cards(week, packed).model_dump_json()


UNSAID = ("nutrition: {protein: 4 g}", "opened_life: 2")


def test_a_label_without_a_class_has_to_say_whether_it_stays_cold_wherever_lunch_is() -> None:
    warm = with_item(*UNSAID)
    for place in ("fridge: no", "fridge: yes", "fridge: no, cold_packs: 2"):
        wrong = refusal(warm.replace("fridge: no", place, 1))
        assert wrong.where.path == ("larder", "it"), place
        assert "says neither what it keeps as nor whether it has to stay cold" in wrong.what
        assert "Write 'chilled: yes', or 'chilled: no' where its label" in wrong.mend
        assert "'keeps_as: bread'" in wrong.mend
    for line, chilled in (
        ("chilled: no", False),
        ("chilled: yes", True),
        ("keeps_as: bread", False),
    ):
        assert read(with_item(*UNSAID, line)).larder["it"].chilled is chilled


def test_a_label_that_travels_warm_under_the_name_of_what_stays_cold_earns_a_remark() -> None:
    text = with_item(*UNSAID, "chilled: no").replace("  it:", "  prawns boiled:")
    said = list(remarks(read(text.replace("{it: 50 g}", "{prawns boiled: 50 g}"))))
    assert any("prawns boiled is stated to travel warm" in remark for remark in said)
    assert not any("travel warm" in one for one in remarks(read(with_item(*UNSAID, "chilled: no"))))


BATCH = """\
week: {{starts: 2026-11-30, days: [mon, tue], guidance: {guidance}, cups: us}}
eaters: {{Ada: {{}}}}
batches:
  pot:
    made: 2026-11-29
    yield: 4 portions
{entry}
dishes:
  Bowl: {{kind: bowl, takes: {{pot: 1}}}}
"""


def with_batch(*entry: str, guidance: str = "us") -> str:
    lines = "\n".join(f"    {line}" for line in entry)
    return BATCH.format(guidance=guidance, entry=lines)


def test_what_by_its_name_may_spoil_earns_a_remark_where_it_is_stated_to_travel_warm() -> None:
    text = with_item(*UNSAID, "chilled: no")
    for names, told in (
        ("prawn sandwich; chicken wrap; rice salad; yoghurt pot; tofu cubes; quiche slice", True),
        ("oat bar; venison jerky; rye crispbread; pear; milk powder; dried shrimps", False),
    ):
        for name in names.split("; "):
            week = read(text.replace("  it:", f"  {name}:").replace("{it: 50", f"{{{name}: 50"))
            said = [one for one in remarks(week) if "stated to travel warm" in one]
            assert bool(said) is told, name


def test_frozen_vegetables_are_cooked_by_uk_advice_unless_their_label_says_ready() -> None:
    for guidance in ("uk", "strictest"):
        for entry in ('food: "peas, frozen"', "food: frozen sweetcorn"):
            wrong = refusal(with_item(entry, "opened_life: 1", guidance=guidance))
            assert "is frozen vegetables, which has to be cooked" in wrong.what
            ready = with_item(entry, "opened_life: 1", "ready_to_eat: yes", guidance=guidance)
            assert read(ready).guidance == guidance
    assert read(with_item('food: "peas, frozen"', "opened_life: 1")).guidance == "us"


@each(
    "entry",
    [
        ('ingredients: ["200 g chickpeas, boiled"]',),
        ("portion: 50 g", "nutrition: {}", "fridge_life: 2"),
        ("portion: 50 g", "nutrition: {}", "keeps_as: soup"),
    ],
)
def test_a_batch_travels_warm_at_ones_own_risk(entry: tuple[str, ...]) -> None:
    assert read(with_batch(*entry)).batches["pot"].chilled
    wrong = refusal(with_batch(*entry, "chilled: no"))
    assert wrong.where.path == ("batches", "pot", "chilled")
    week = read(with_batch(*entry, "chilled: no", "own_risk: yes"))
    assert not week.batches["pot"].chilled
    assert any(one.text.startswith("At your own risk: pot travels warm") for one in bearing(week))


def test_the_card_of_the_morning_asks_for_cold_packs() -> None:
    text = with_item('food: "chicken breast, meat only, roast"', "opened_life: 1")
    text = text.replace("microwave: no", "microwave: no, cold_packs: 2")
    week = read(text.replace("  Apple: {kind: a, goes_in: {apple: 1 piece}}\n", ""))
    packed = solve_week(week)[1].packed
    assert packed is not None
    assert "2 cold packs" in cards(week, packed).model_dump_json()


# -- raw -----------------------------------------------------------------------------------

RAW = [
    ("chicken breast, skinless, raw", "raw poultry", False),
    ("turkey mince, raw", "raw poultry", False),
    ("duck, meat only, raw", "raw poultry", False),
    ("turkey rashers, raw", "raw poultry", False),
    ("chicken sausages, raw", "raw poultry", False),
    ("green beans, raw", "raw green beans", False),
    ("beef mince, raw", "raw meat", True),
    ("back bacon, raw", "raw meat", True),
    ("pork sausages, raw", "raw meat", True),
    ("gammon joint, raw", "raw meat", True),
    ("cod, raw", "raw fish", True),
    ("salmon, farmed, raw", "raw fish", True),
    ("king prawns, raw", "raw shellfish", True),
    ("mussels, raw", "raw shellfish", True),
    ("egg, whole, fresh", "raw egg", True),
    ("egg white, fresh", "raw egg", True),
    ("red kidney beans, dry", "dried beans", False),
    ("haricot beans, dry", "dried beans", False),
    ("black turtle beans, dry", "dried beans", False),
    ("butter beans, dry", "dried beans", False),
    ("plain flour", "raw flour", True),
    ("wholemeal flour", "raw flour", True),
    ("puff pastry, uncooked", "raw dough", True),
    ("fresh egg pasta, raw", "raw dough", True),
]
MAY_BE_EATEN = [
    *("smoked salmon", "pickled herring", "dry-cured ham", "chorizo, cured", "italian salami"),
    *("prawns, boiled", "tuna in oil, tinned, drained", "egg, hard-boiled", "omelette, plain"),
    *("red kidney beans, boiled", "red kidney beans, tinned, drained", "butter beans, boiled"),
    *("rolled oats", "breadcrumbs, dry", "soya beans, roasted", "sweet potato, raw", "gari"),
    *("bamboo shoots, tinned, drained", "glass noodles, dry", "tapioca pearls"),
    *("carrot, raw", "apple, raw, with skin", "spinach leaf, raw", "white crab meat"),
    *("chicken breast, skinless, grilled", "mayonnaise", "egg noodles, dry", "mangetout, raw"),
    *("green beans, boiled", "green beans, tinned, drained", "turkey rashers, cooked"),
]


@each(("food", "kind", "label_settles"), RAW)
def test_what_must_be_cooked_is_no_larder_item(food: str, kind: str, label_settles: bool) -> None:
    more = ("opened_life: 1", "chilled: yes")
    for entry, at in ((f'food: "{food}"', "food"), (f'ingredients: ["100 g {food}"]', None)):
        wrong = refusal(with_item(entry, *more))
        assert wrong.where.path[:3] == ("larder", "it", at or "ingredients")
        assert f"{food!r} is {kind}, which has to be cooked before it is eaten" in wrong.what
        assert "list it under 'ingredients' of a batch" in wrong.mend
        assert ("'ready_to_eat: yes'" in wrong.mend) is label_settles
    # A label may settle it, but of poultry and beans.
    text = with_item(f'food: "{food}"', *more, "ready_to_eat: yes")
    if label_settles:
        assert read(text).larder["it"].chilled
    else:
        assert kind in refusal(text).what


@each(
    "name",
    [
        "raw chicken strips",
        "Minced beef, raw",
        "raw prawns",
        "steak tartare",
        "sashimi",
        "tuna carpaccio",
        "raw cassava chunks",
        "dried kidney beans",
    ],
)
def test_a_label_item_that_calls_itself_raw_is_none_either(name: str) -> None:
    text = with_item("nutrition: {protein: 20 g}", "chilled: yes", "opened_life: 1")
    wrong = refusal(
        text.replace("  it:", f'  "{name}":').replace("{it: 50 g}", f'{{"{name}": 50 g}}')
    )
    assert f"{name!r} is {'dried' if 'dried' in name else 'raw'} " in wrong.what
    assert read(text).larder["it"].chilled


def test_a_sauce_and_a_root_that_are_called_so_are_not_raw() -> None:
    text = with_item("nutrition: {protein: 1 g}", "chilled: yes", "opened_life: 1")
    for name in ("tartare sauce", "beetroot carpaccio"):
        named = text.replace("  it:", f'  "{name}":').replace("{it: 50 g}", f'{{"{name}": 50 g}}')
        assert read(named).larder[name].chilled, name


def test_raw_fish_that_a_label_calls_ready_keeps_no_longer_than_the_day_after() -> None:
    steps = "steps: [{do: slice the fish, lasts: 5 min}]"
    line = 'ingredients: [{what: "400 g salmon, raw", ready_to_eat: yes}]'
    for life in ((), ("fridge_life: 2",)):
        wrong = refusal(with_batch(line, steps, *life))
        assert wrong.where.path[:2] == ("batches", "pot")
        assert "Write 'fridge_life: 1'" in wrong.mend
    assert read(with_batch(line, steps, "fridge_life: 1")).batches["pot"].life.high == 1


def test_milk_and_cheese_that_are_called_raw_are_cautioned_against() -> None:
    text = with_item("nutrition: {protein: 1 g}", "chilled: yes", "opened_life: 1")
    bought = read(with_item("food: raw milk", "opened_life: 1"))
    assert any(c.key == "listeria" and "it" in c.of for c in bearing(bought))
    for name in ("raw milk cheese", "unpasteurised milk", "gravlax", "sushi"):
        named = text.replace("  it:", f'  "{name}":').replace("{it: 50 g}", f'{{"{name}": 50 g}}')
        assert any(c.key == "listeria" and name in c.of for c in bearing(read(named))), name


@each("food", [food for food, _, _ in RAW])
def test_what_must_be_cooked_is_not_added_in_the_morning(food: str) -> None:
    text = with_item("food: olive oil", dish=f'ingredients: ["50 g {food}"]')
    wrong = refusal(text)
    assert wrong.where.path[:3] == ("dishes", "It", "ingredients")
    assert "has to be cooked before it is eaten" in wrong.what


@each("food", MAY_BE_EATEN)
def test_what_is_not_raw_in_that_sense_may_be_eaten(food: str) -> None:
    assert must_cook(table()[food], "strictest") is None
    assert read(with_item(f'food: "{food}"', "opened_life: 1")).larder["it"].of_food


MIX = "steps: [{do: mix it, lasts: 10 min}]"
BAKE = "steps: [{do: mix it, lasts: 10 min}, {do: bake it, lasts: 30 min, hands: no, oven: 180 °C}]"


@each(("food", "kind", "label_settles"), RAW)
def test_a_batch_of_it_asks_for_a_step_that_cooks(
    food: str, kind: str, label_settles: bool
) -> None:
    listed = f'ingredients: ["200 g {food}", 100 g onion]'
    wrong = refusal(with_batch(listed, MIX))
    assert wrong.where.path[:3] == ("batches", "pot", "steps")
    assert f"no step cooks, and '200 g {food}' is {kind}" in wrong.what
    assert "'- {do: bake until done, lasts: 25 min, hands: no, oven: 200 °C}'" in wrong.mend
    for steps in (
        BAKE,
        "steps: [{do: fry it, lasts: 20 min, rings: 1}]",
        "steps: [{do: microwave it, lasts: 9 min}]",
    ):
        assert read(with_batch(listed, steps)).batches["pot"].steps
    ready = f'ingredients: [{{what: "200 g {food}", ready_to_eat: yes}}]'
    if label_settles:
        assert read(with_batch(ready, MIX, "fridge_life: 1")).batches["pot"].steps
    else:
        assert kind in refusal(with_batch(ready, MIX)).what


@each("food", [food for food, _, _ in RAW])
def test_where_no_step_is_told_every_paper_asks_for_cooking(food: str) -> None:
    def asked(*more: str) -> list[str]:
        week = read(with_batch(f'ingredients: ["200 g {food}"]', *more))
        return [one.text for one in bearing(week) if one.key == "cook"]

    (said,) = asked()
    assert said in list(remarks(read(with_batch(f'ingredients: ["200 g {food}"]'))))
    assert f"does not say how pot is cooked: {food} must be cooked right through" in said
    assert asked(BAKE) == []


@each(("guidance", "refused"), [("us", False), ("uk", True), ("strictest", True)])
@each("food", ["alfalfa sprouts, raw", "beansprouts, raw"])
def test_raw_sprouts_are_cooked_where_guidance_asks_it_of_everyone(
    food: str, guidance: str, refused: bool
) -> None:
    item = with_item(f'food: "{food}"', "opened_life: 1", guidance=guidance)
    batch = with_batch(f'ingredients: ["200 g {food}"]', "fridge_life: 1", MIX, guidance=guidance)
    for text in (item, batch):
        if refused:
            assert "raw sprouts" in refusal(text).what
        else:
            assert read(text).guidance == guidance
    assert read(item.replace("price: 1\n    food", "price: 1\n    ready_to_eat: yes\n    food"))


@each(
    ("name", "kind"),
    [
        ("Eggs, chicken, whole, raw", "raw egg"),
        ("Egg, whole, raw, frozen, pasteurized", None),
        ("Custard-apple, (bullock's-heart), raw", None),
        ("Pasta, egg, white, dried, raw", None),
        ("Beans, kidney, red, mature seeds, raw", "dried beans"),
        ("Wheat flour, white, all-purpose, enriched, bleached", "raw flour"),
        ("Tortillas, ready-to-bake or -fry, flour, shelf stable", None),
        ("Turkey bacon, unprepared", "raw poultry"),
        ("Prawns, king, grilled from raw", None),
        ("Fish, tuna, fresh, skipjack, raw", "raw fish"),
        ("Haddock, smoked, raw", "raw fish"),
        ("Kippers, grilled", None),
        ("Salmon, smoked", None),
        ("Cookies, sugar, refrigerated dough", "raw dough"),
        ("Cookies, sugar, refrigerated dough, baked", None),
        ("Pastry, flaky, uncooked, homemade", "raw dough"),
    ],
)
def test_foods_of_other_tables_are_told_by_their_names(name: str, kind: str | None) -> None:
    bare = replace(find("water"), name=name, aliases=(), group="other", storage="", state="")
    found = must_cook(replace(bare, stated=None, allergens_known=False), "us")
    assert (None if found is None else found.kind) == kind


# Every bean of the genus Phaseolus, dried (FDA, Bad Bug Book) and shelled fresh; what gives off
# cyanide (Codex CAC/RCP 73-2013; Food Standards Australia New Zealand, 2017); elderberries (CDC,
# MMWR 33(13), 1984); ferns (CDC, MMWR 43(37), 1994, from memory); morels (FDA, 2024, from memory);
# green beans (the head of the BfR, as a press report of 2021 has it); poultry that is cured or in a
# sausage is sold raw unless it says cooked, and the rest is common practice, no source.
POISONOUS_RAW = {
    "dried beans": "kidney beans, dried; black beans, dried; pinto beans, dried; navy beans, "
    "dried; haricot beans, dried; cannellini beans, dried; borlotti beans, dried; flageolet "
    "beans, dried; lima beans, dried; butter beans, dried; great northern beans, dried; pink "
    "beans; white beans, dried; red beans, dried; Beans, yellow, mature seeds, raw",
    "raw beans": "lima beans; baby lima beans; lima beans, frozen; runner beans; runner beans, "
    "dried; Succotash, (corn and limas), raw",
    "dried pulses": "soya beans, dried; mung beans, dried; chickpeas, dried; lentils, dried; "
    "broad beans, dried; lupin seeds, dry; split peas; mung dal; Winged beans, mature seeds, raw",
    "raw green beans": "green beans; French beans; frozen green beans; fine beans; haricots verts; "
    "green beans, raw",
    "raw poultry": "turkey rashers; turkey bacon; chicken bacon; turkey sausages; chicken sausage",
    "raw cassava": "cassava; manioc; yuca; Cassava, frozen, raw",
    "raw taro or yam": "taro; eddoe; yam; yautia; Taro leaves, raw",
    "raw bamboo shoots": "bamboo shoots, raw",
    "raw elderberries": "elderberries",
    "raw morels": "morels",
    "raw fern": "Fiddlehead ferns, raw",
    "raw ginkgo nuts": "ginkgo nuts, raw",
    "raw pokeweed": "Pokeberry shoots, (poke), raw",
    "raw wild mushrooms": "chanterelles; girolle mushrooms; shiitake mushrooms",
}


def test_plants_that_are_poisonous_raw_are_cooked_first_by_all_guidance() -> None:
    for kind, names in POISONOUS_RAW.items():
        for name in names.split("; "):
            food = ingredients(f"100 g {name}", builtin("us"), None)[0].food
            for guidance in ("us", "uk", "strictest"):
                why = must_cook(food, guidance)
                assert why is not None and why.kind == kind, (name, food.name, why)
    for name in ("cassava", "dried lima beans", "dried soya beans"):
        wrong = refusal(with_item(f'food: "{name}"', "opened_life: 1", "chilled: yes"))
        assert "has to be cooked before it is eaten" in wrong.what
        wrong = refusal(with_batch(f'ingredients: ["200 g {name}"]', "fridge_life: 1", MIX))
        assert "no step cooks" in wrong.what
        # What harms nobody is not cautioned against where the file tells of no step.
        told = name.removeprefix("dried ") in bearing_cook(f"200 g {name}")
        assert told is (name != "dried soya beans"), name


def test_beans_that_a_line_calls_dry_raw_or_soaked_are_never_taken_for_boiled_ones() -> None:
    kinds = "red kidney beans; navy beans; black beans; pinto beans; butter beans; chickpeas"
    forms = "dried {}; {}, dried; {}, dry; {} (dried); raw {}; uncooked {}; {}, soaked overnight"
    foods = builtin("uk")
    for kind in kinds.split("; "):
        for form in forms.split("; "):
            line = f"200 g {form.format(kind)}"
            assert ingredients(line, foods, None)[0].food.state == "dry", line
        for form in ("tinned {}", "{}, tinned", "boiled {}", "{}, drained"):
            line = f"200 g {form.format(kind)}"
            assert ingredients(line, foods, None)[0].food.state in {"cooked", "tinned"}, line


def test_what_a_line_calls_raw_is_never_taken_for_a_cooked_food_of_the_releases() -> None:
    for name in ("Beans, snap, yellow, raw", "Beans, snap, green, frozen, unprepared"):
        (line,) = ingredients(f"200 g {name}", builtin("us"), None)
        assert line.food.state == "raw", name
    with pytest.raises(Unread):
        ingredients("200 g haggis, raw", builtin("us"), None)


def test_what_is_bought_raw_is_raw_though_the_table_has_it_boiled() -> None:
    for name, kind in (("fresh ravioli", "raw dough"), ("wild mushrooms", "raw wild mushrooms")):
        wrong = refusal(with_item(f"food: {name}", "opened_life: 1"))
        assert f"is {kind}, which has to be cooked" in wrong.what
    for name in ("cheese ravioli, boiled", "tortellini (cooked)"):
        (line,) = ingredients(f"100 g {name}", builtin("us"), None)
        assert to_cook(line, "us") is None, name


HEATS_NOTHING = {
    "500 g chicken breast": "warm the plates, oven: 60 °C; keep it warm, oven: 60 °C; fry it, "
    "still pink, rings: 1; sear it for a minute, rings: 1",
    "400 g beef mince": "heat the oven to 200 °C, oven: 200 °C; preheat the grill, oven: 220 °C",
    "400 g rump steak": "cook it rare, rings: 1; sear medium-rare, rings: 1",
    "4 eggs": "soft-boil the eggs, rings: 1; fry until just runny, rings: 1",
    "400 g dried kidney beans": "bake in a slow oven, oven: 90 °C",
}


def test_heat_that_cooks_nothing_through_is_no_step_that_cooks() -> None:
    """An oven below what poultry needs (FDA Food Code 3-401.11), hot plates, meat left rare."""
    for food, steps in HEATS_NOTHING.items():
        for step in steps.replace("fry it, still", "fry it still").split("; "):
            work = step.replace(", ", ", lasts: 30 min, ", 1)
            told = refusal(with_batch(f'ingredients: ["{food}"]', f"steps: [{{do: {work}}}]"))
            assert "no step cooks" in told.what or "nor an oven below" in told.what, step
    works = ("fry until no longer pink", "heat the oven and roast it", "sear until done")
    for work in (*works, "boil the eggs"):
        steps = f"steps: [{{do: {work}, lasts: 20 min, rings: 1}}]"
        assert read(with_batch('ingredients: ["4 eggs"]', steps)).batches["pot"].steps, work


def test_beans_are_not_cooked_by_frying_the_onions_before_the_slow_cooker() -> None:
    text = with_batch(
        'ingredients: ["400 g dried kidney beans", "100 g onion"]',
        "steps: [{do: fry the onion, lasts: 9 min, rings: 1}, "
        "{do: all in the slow cooker, lasts: 8 h, hands: no}]",
    )
    assert "a slow cooker does not get hot enough" in refusal(text).what
    assert read(text.replace("fry the onion", "boil the beans hard")).batches["pot"].steps


def test_raw_peas_are_fresh_ones() -> None:
    assert ingredients("200 g raw peas", builtin("uk"), None)[0].food.group == "vegetables"


def bearing_cook(line: str) -> str:
    cautions = bearing(read(with_batch(f'ingredients: ["{line}"]')))
    return " ".join(one.text for one in cautions if one.key == "cook")


def test_which_beans_are_of_the_kidney_beans_kin() -> None:
    for name in ("black beans, dry", "cannellini beans", "lima beans", "flageolet beans, dry"):
        assert has_lectin(name), name
    for name in ("black-eyed beans", "black gram beans", "aduki beans", "butter beans, tinned"):
        assert not has_lectin(name), name
