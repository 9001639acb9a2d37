"""Recipes that people saved, of every form, and pages built to do harm. All are invented."""

from __future__ import annotations

import json
import time
from datetime import date
from pathlib import Path
from quopri import encodestring

import pytest

from models.file import yamltext
from models.file.draft import Frame, draft
from models.file.reading import week_of
from models.file.recipes import named_apart, read_recipes
from models.file.recipes.reading import LARGEST_BYTES, MOST_RECIPES, MOST_STEPS, recipes_in
from models.file.recipes.steps import steps_of
from models.words.errors import InputError
from optimiser import plan
from tests.depth import sized

NODE = {
    "@type": "Recipe",
    "name": "Lentil &amp; carrot stew",
    "recipeYield": ["6", "6 servings"],
    "author": {"@type": "Person", "name": "Nobody"},
    "url": "https://example.org/stew",
    "recipeIngredient": ["2 medium onions, chopped", "300 g dried green lentils", "400 g carrots"],
    "recipeInstructions": [
        {"@type": "HowToStep", "text": "Heat the oven to 200C/180C fan/gas 6."},
        {"@type": "HowToSection", "itemListElement": [{"text": "Simmer for 1 hr 10 mins."}]},
        "Bake for 20-25 minutes.",
    ],
}
SCRIPT = f'<html><script type="application/ld+json">{json.dumps(NODE)}</script><p>hello</p>'
GRAPH = json.dumps({"@graph": [{"@type": "WebPage"}, {**NODE, "@type": ["Thing", "Recipe"]}]})
MICRODATA = """
<body><div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Lentil &amp; carrot
 stew</h1><meta itemprop="recipeYield" content="6 servings">
<span itemprop="author" itemscope itemtype="https://schema.org/Person"><b itemprop="name">Nobody</b>
</span><a itemprop="url" href="https://example.org/stew">here</a>
<ul><li itemprop="recipeIngredient">2 medium <b>onions</b>, chopped<li itemprop="recipeIngredient">
300 g dried green lentils<li itemprop="recipeIngredient">400 g carrots</ul>
<div itemprop="recipeInstructions"><p>Heat the oven to 200C/180C fan/gas 6.<p>Simmer for 1 hr 10
 mins.<p>Bake for 20-25 minutes.</div></div>
"""
PLAIN = """\
Lentil & carrot stew
Serves 6

Ingredients:
- 2 medium onions, chopped
- 300 g dried green lentils
* 400 g carrots

Method
1. Heat the oven to 200C/180C fan/gas 6.
2. Simmer for 1 hr 10 mins.
3. Bake for 20-25 minutes.
"""
MARKDOWN = (
    PLAIN.replace("Lentil", "# Lentil")
    .replace("Ingredients:", "## Ingredients")
    .replace("Method", "### Method")
    .replace("Serves 6", "**Makes** 2 litres, serves 6")
    .replace("1. Heat", "Step 1: Heat")
    + "\nNotes\nKeeps well for 3 minutes.\n"
)
AMOUNT = {"@type": "QuantitativeValue", "value": 6, "unitText": "servings"}
HIDDEN = json.dumps({**NODE, "recipeYield": AMOUNT})
CDATA = f'<script type="application/ld+json">//<![CDATA[\n{HIDDEN}\n//]]></script><p>x</p>'
NUMBERED = json.dumps(
    {
        **NODE,
        "recipeYield": "Yield: 6 servings (about 8 cups)",
        "recipeInstructions": "1. Heat the oven to 200C/180C fan.\n2. Simmer for 70 minutes.\n"
        "3. Bake for 25 minutes.",
    }
)
PASTED = PLAIN.replace("Serves 6\n", "").replace("Ingredients:", "Ingredients (for 6 people):")
ARCHIVE = (
    "From: <Saved by a browser>\nMIME-Version: 1.0\nContent-Type: multipart/related;\n"
    '\ttype="text/html"; boundary="x"\n\n--x\nContent-Type: text/html; charset=utf-8\n'
    "Content-Transfer-Encoding: quoted-printable\n\n"
    f"{encodestring(SCRIPT.encode()).decode()}\n--x--\n"
)
FORMS = {
    "pasted.txt": PASTED,
    "archive.mhtml": ARCHIVE,
    "ld.html": SCRIPT,
    "graph.json": GRAPH,
    "micro.html": MICRODATA,
    "plain.txt": PLAIN,
    "marked.md": MARKDOWN,
    "hidden.html": CDATA,
    "numbered.json": NUMBERED,
}


def saved(folder: Path, text: str, name: str = "page.html") -> str:
    (folder / name).write_text(text, encoding="utf-8")
    return str(folder / name)


def text_of(*files: str) -> str:
    frame = Frame(date(2026, 11, 30), ("mon", "tue", "wed", "thu", "fri"), "us", "label")
    known = [batch for file in files for batch in read_recipes(file, "us", "label")]
    return draft(named_apart(known), frame)


@pytest.mark.parametrize("name", FORMS)
def test_each_form_of_a_recipe_gives_the_same_batch(name: str, tmp_path: Path) -> None:
    text = text_of(saved(tmp_path, FORMS[name], name))
    batch = week_of(yamltext.parse("draft", text)).batches["Lentil & carrot stew"]
    assert batch.portions == 6
    assert batch.recipe is not None
    assert [line.food.name for line in batch.recipe.ingredients] == [
        *("onion, raw", "lentils, green or brown, dry", "carrot, raw")
    ]
    heats = [(step.least, step.hands, step.oven) for step in batch.steps]
    assert heats == [(70, False, None), (25, False, 200)]
    assert not any(step.name[0].isdecimal() for step in batch.steps)
    assert name in text
    assert plan(text).status == "optimal"


def test_several_recipes_make_one_week_and_names_stay_apart(tmp_path: Path) -> None:
    first, second = saved(tmp_path, SCRIPT, "a.html"), saved(tmp_path, GRAPH, "b.json")
    week = week_of(yamltext.parse("draft", text_of(first, second)))
    assert list(week.batches) == ["Lentil & carrot stew", "Lentil & carrot stew (2)"]


def test_what_is_not_read_stands_there_to_settle_and_nothing_is_claimed(tmp_path: Path) -> None:
    node = {**NODE, "recipeIngredient": ["400 g carrots", "3 glops of zzyx"], "recipeYield": ""}
    text = text_of(saved(tmp_path, json.dumps(node), "a.json"))
    assert '- "3 glops of zzyx"    # ' in text
    assert "# To settle: what it makes is not told: 4 portions are taken." in text
    batch = week_of(yamltext.parse("draft", text)).batches["Lentil & carrot stew"]
    assert batch.contents.allergens is None
    assert "3 glops of zzyx" in batch.contents.unsettled
    assert "PROCNT" in batch.partial
    assert batch.life.high <= 4


def test_steps_that_never_cook_raw_meat_are_left_out_with_a_remark(tmp_path: Path) -> None:
    method = "Ingredients\n500 g chicken thighs\n400 g carrots\nMethod\nMix it all for 5 minutes.\n"
    text = text_of(saved(tmp_path, f"Thighs\nServes 4\n{method}", "a.txt"))
    assert "# To settle: no step cooks" in text
    assert week_of(yamltext.parse("draft", text)).batches["Thighs"].steps == ()


@pytest.mark.parametrize(
    ("sentence", "minutes", "oven"),
    [
        ("Bake for 20 to 25 mins", 25, None),
        ("Bake at 400°F for half an hour", 30, 205),
        ("Roast at gas mark 4 for 1½ hours", 90, 180),
        ("Bake at fan 160C, 180C without, for 1 hr 5 min", 65, 180),
        ("Fry for 3 minutes on each side", 6, None),
        ("Soak the beans overnight", 480, None),
        ("Simmer for 2-3 hours, stirring every 10 minutes", 180, None),
        ("Chop the onions", None, None),
        ("Bake at 9000C for 0 minutes", None, None),
        ("Cook for 9999 hours", None, None),
        ("Cook on low 6-8 hours or on high 3-4 hours", 480, None),
    ],
)
def test_minutes_and_heats(sentence: str, minutes: int | None, oven: int | None) -> None:
    (step,) = steps_of([sentence])
    assert (step.lasts, step.oven) == (minutes, oven if minutes is not None else None)


THERMOMETER = (
    ("Heat the oven to 400°F.", "Add beans and bake 15 minutes, until a thermometer reads 165°F."),
    ("Roast at 205C until the chicken registers 165F on a thermometer, about 15 min.",),
    ("Preheat until the oven reaches 205C.", "Roast it, to an internal heat of 75C, 15 minutes."),
    ("Bake for 15 minutes until golden at 400°F.",),
    ("Bake at 205C for 1 hour.", "Stir and bake for 15 min more: it is done at 75C inside."),
)


@pytest.mark.parametrize("method", THERMOMETER)
def test_the_heat_of_the_food_is_not_that_of_the_oven(method: tuple[str, ...]) -> None:
    step = steps_of(method)[-1]
    assert (step.lasts, step.hands, step.oven) == (15, False, 205)


def test_a_heat_of_the_food_alone_says_nothing_of_the_oven() -> None:
    (step,) = steps_of(["Roast until the core reaches 75C, 1 hour."])
    assert (step.hands, step.oven) == (False, None)


def test_a_slow_cooker_takes_no_hands_and_no_ring() -> None:
    method = (
        *("Brown the mince in a pan for 5 min.", "Put it in the crockpot. Cook on LOW for 1 h."),
        "Chill overnight.",
    )
    brown, _, slow, chill = steps_of(method)
    assert chill.do == "Chill overnight"
    assert (brown.hands, brown.rings) == (True, 1)
    # A step that does not say what cooks it would hide that beans are never boiled.
    assert slow.do == "Cook on LOW for 1 h (slow cooker)"
    for sentence in ("Cover and cook on LOW for 4 hours", "Cook in the slow cooker for 30 min"):
        (step,) = steps_of([sentence])
        assert (step.hands, step.rings, step.oven) == (False, 0, None)
    for sentence in (
        *("Cook on low heat for 20 minutes", "Brown it in a Dutch oven for 8 minutes"),
        "Bring to the boil and cook on low for 2 hours",
    ):
        (hob,) = steps_of([sentence])
        assert (hob.rings, hob.oven) == (1, None)


def test_minutes_beside_those_of_a_packet_are_not_told() -> None:
    (step,) = steps_of(["Cook the penne for 2 minutes less than the packet says"])
    assert step.lasts is None


def test_what_nobody_does_is_no_step() -> None:
    method = (
        *("Preheat the oven to 400°F (200°C).", "Set the beans aside.", "Set aside."),
        *("Heat the oven to 200C/180C fan/gas 6 and oil a tin.", "Fry 5 min and set aside."),
    )
    oil, fry = steps_of(method)
    assert oil.do.endswith("oil a tin")
    assert fry.hands


# -- pages that mean harm --------------------------------------------------------------

MANY = 400_000
HOSTILE = {
    "deep tags": "<html>" + "<div>" * MANY,
    "deep properties": "<html><p itemscope itemtype='x/Recipe'>" + "<b itemprop=a>" * 5_000,
    "open quotes": "<html>" + '<a b="' * MANY,
    "open remarks": "<html>" + "<!--" * MANY,
    "attributes": "<html><a " + " ".join(f"a{at}=1" for at in range(MANY)) + ">",
    "deep JSON": "[" * MANY,
    "deep JSON that closes": '{"a":' * 900 + "1" + "}" * 900,
    "deep JSON in a page": f'<html><script type="application/ld+json">{"[" * MANY}</script>',
    "wide JSON": json.dumps([[]] * MANY),
    "blanks before JSON": " " * MANY + "{]",
    "blanks behind JSON": "{]" + " " * MANY + "-",
    "remarks that end nowhere": "{" + "-->" * MANY,
    "entities": '<!DOCTYPE html [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><html>&b;',
    "a file": '<!DOCTYPE html [<!ENTITY a SYSTEM "file:///etc/passwd">]><html>&a;<p>root',
    "XML that includes": '<html><xi:include href="/etc/passwd" parse="text"/>',
    "nothing": "",
    "noughts": "\x00" * 1000,
    "words": "hello\n",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_page_that_means_harm_is_refused_fast(name: str, tmp_path: Path) -> None:
    file = saved(tmp_path, HOSTILE[name])
    begun = time.process_time()
    with pytest.raises(InputError) as caught:
        read_recipes(file, "us", "label")
    assert time.process_time() - begun < 5
    assert caught.value.mend
    assert "root:" not in caught.value.text


def test_a_page_too_large_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="larger than 5000 kB"):
        read_recipes(saved(tmp_path, "x" * (LARGEST_BYTES + 1)), "us", "label")


def test_more_recipes_or_steps_than_are_kept_are_never_left_out_unsaid(tmp_path: Path) -> None:
    many = json.dumps([{**NODE, "name": f"Stew {number}"} for number in range(MOST_RECIPES + 1)])
    with pytest.raises(InputError, match="it holds 13 recipes"):
        read_recipes(saved(tmp_path, many, "many.json"), "us", "label")
    steps = [f"Stir it {number} for 2 minutes." for number in range(MOST_STEPS + 3)]
    long = json.dumps({**NODE, "recipeInstructions": steps})
    (batch,) = read_recipes(saved(tmp_path, long, "long.json"), "us", "label")
    assert len(batch.steps) == MOST_STEPS
    assert "3 more steps are left out: a batch has 60." in batch.settle


def test_what_it_makes_is_read_as_far_as_a_line_goes(tmp_path: Path) -> None:
    file = saved(tmp_path, json.dumps({**NODE, "recipeYield": "9" * 200_000}), "a.json")
    (batch,) = read_recipes(file, "us", "label")
    assert batch.settle[0].startswith("what it makes is told as '999")


NASTY = (
    "\x1b[31mred",
    "a\u202eb",
    "'; rm -rf ~ #",
    "x: {y: [z",
    "- - -",
    "&a *a !!python/object:os.system",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    "line\nbreak: yes",
    "# not a remark",
    '"quoted"',
    "\ud83c",
    "---\n...\n",
    "%YAML 9.9",
    "x" * 5_000,
    "\u2028\u0085",
)


def test_no_text_of_a_page_says_anything_but_itself(tmp_path: Path) -> None:
    for place in ("name", "recipeYield", "author", "url", "recipeIngredient", "recipeInstructions"):
        for nasty in NASTY if sized(0, 1) else NASTY[::2]:
            there = [nasty, "400 g carrots"] if place == "recipeIngredient" else nasty
            file = saved(tmp_path, json.dumps({**NODE, place: there}), "a.json")
            text = text_of(file)
            assert text.replace("\n", "").isprintable(), (place, nasty)
            assert "<script" not in text, (place, nasty)
            data = yamltext.parse("draft", text).data
            assert isinstance(data, dict)
            assert list(data) == ["week", "place", "eaters", "batches", "larder", "dishes"]
            assert len(data["batches"]) == 1, (place, nasty)
            week_of(yamltext.parse("draft", text))


def test_a_node_of_odd_shapes_is_read_or_refused() -> None:
    for odd in (None, True, 3, 1.5, [], {}, [[]], [None, 3], {"text": {"text": []}}, [{"name": 3}]):
        for key in NODE:
            if key != "@type":
                recipes_in("a.json", json.dumps({**NODE, key: odd}))


def test_lines_that_head_others_are_no_ingredients(tmp_path: Path) -> None:
    heads = ("For the sauce", "For the pastry:", "Sauce:", "To serve", "to make the filling")
    for head in heads:
        there = ["400 g carrots", head, "1 onion"]
        (batch,) = read_recipes(
            saved(tmp_path, json.dumps({**NODE, "recipeIngredient": there}), "a.json"), "uk", "us"
        )
        assert (batch.ingredients, batch.not_read) == (("400 g carrots", "1 onion"), ()), head
    # What says more than that is an ingredient, or has to be settled.
    for line in ("For the salad: cucumber", "For the top 20 g peanuts", "For the nuts, almonds"):
        (batch,) = read_recipes(
            saved(tmp_path, json.dumps({**NODE, "recipeIngredient": [line]}), "a.json"), "uk", "us"
        )
        assert line in (*batch.ingredients, *(told for told, _ in batch.not_read)), line


def test_pages_of_other_encodings_are_read_or_refused(tmp_path: Path) -> None:
    node = json.dumps({**NODE, "name": "Soufflé à l’oignon"}, ensure_ascii=False)
    page = f'<script type="application/ld+json">{node}</script>'
    file = tmp_path / "a.html"
    for encoding in ("utf-8", "utf-8-sig", "windows-1252", "utf-16"):
        file.write_bytes(page.encode(encoding))
        (batch,) = read_recipes(str(file), "uk", "us")
        assert batch.name == "Soufflé à l’oignon", encoding
    file.write_bytes(bytes(range(256)) * 100)
    with pytest.raises(InputError, match="not UTF-8"):
        read_recipes(str(file), "uk", "us")


def test_a_comma_too_many_in_a_page_does_no_harm(tmp_path: Path) -> None:
    page = '<script type="application/ld+json">{"@type": "Recipe", "name": "Stew",\n'
    page += '"recipeIngredient": ["200 g rice",\n], "recipeInstructions": "Boil\n it",}</script>'
    (batch,) = read_recipes(saved(tmp_path, page, "a.html"), "uk", "us")
    assert (batch.name, batch.ingredients) == ("Stew", ("200 g rice",))


def test_no_line_is_lost_where_a_page_has_the_old_word_too(tmp_path: Path) -> None:
    page = MICRODATA.replace('"recipeIngredient">400', '"recipeIngredient ingredients">400')
    page = page.replace('<li itemprop="recipeIngredient">\n300', '<li itemprop="ingredients">\n300')
    (batch,) = read_recipes(saved(tmp_path, page), "uk", "us")
    assert sorted(batch.ingredients) == sorted(NODE["recipeIngredient"])


def test_a_tip_is_no_step(tmp_path: Path) -> None:
    told = [{"text": "Bake."}, {"@type": "HowToTip", "text": "Keeps well."}]
    steps = {"@type": "HowToStep", "itemListElement": told}
    text = json.dumps({**NODE, "recipeInstructions": steps})
    (batch,) = read_recipes(saved(tmp_path, text, "a.json"), "uk", "us")
    assert [step.do for step in batch.steps] == ["Bake"]


TWICE = '{"@type": "Recipe", "recipeIngredient": ["1 onion"], "recipeIngredient": ["9 g peanuts"]}'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (TWICE, "'recipeIngredient' stands twice"),
        (f'<script type="application/ld+json">{TWICE}</script><p>x', "stands twice"),
        ('<script type="application/ld+json">{ // a Recipe\n}</script><p>x', "it is not JSON"),
        ("%PDF-1.7\n1 onion", "it is a PDF"),
        ("PK\x03\x04", "a zip archive"),
    ],
)
def test_what_is_broken_or_no_text_is_refused_with_why(
    text: str, said: str, tmp_path: Path
) -> None:
    with pytest.raises(InputError, match=said) as caught:
        read_recipes(saved(tmp_path, text), "us", "label")
    assert "text file" in caught.value.mend
