"""Every kind of nonsense in a week file is refused, on the right line, with a way out.

Nonsense that is read as something else would be planned without a word, and a message
with the wrong line sends a cook to the wrong place.
"""

from __future__ import annotations

import copy
import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.file.reading import ready_text, week_of
from models.file.yamltext import parse as parse_yaml
from models.words.document import Document
from models.words.errors import InputError
from tests.cases import each
from tests.depth import sized

from .kitchen import FULL, HERE, NAME, edited, line_of, refusal, week_from

# What stands in the file, what is written instead (with the line marked that the message
# has to name), the keys that lead there, what is wrong and how to mend it.
CASES: list[tuple[str, str, str, str, str]] = [
    # -- keys
    ("  note: for two", "  notes: x  # here", "week > notes", "unknown key 'notes'", "'note'"),
    ("variety:", "varieti:  # here", "varieti", "unknown key 'varieti'", "mean 'variety'?"),
    ("    portion: 30 g", "    portoin: 30 g  # here", "farls > portoin", "key", "'portion'?"),
    ("    yield: 8 pieces\n", "    yeild: 8 pieces  # here\n", "yeild", "key", "'yield'?"),
    ("    pots: [60 mL]", "    pot: [60 mL]  # here", "boxes > tin > pot", "'pot'", "'pots'?"),
    ("    kind: grain", "    kind: grain\n    zzz: 1  # here", "Bowl > zzz", "'zzz'", "Known here"),
    ("  batch_running: 2", "  most_time: 2  # here", "variety", "'most_time'", "'most_times'?"),
    ("    cold_packs: 2", "    cold_pack: 2  # here", "elsewhere > entry 1", "key", "cold_packs"),
    ("  Bo: {}", "  Bo: {diet: vegan}  # here", "Bo > diet", "'diet'", "must_not: {diet:"),
    ("  Bo: {}", "  Bo: {days: [wed]}  # here", "Bo > days", "'days'", "under no_lunch"),
    ("    box: tin", "    allergens: [eggs]  # here", "Ada", "key", "must_not: {allergens:"),
    ("  - day: 2026-12-02", "  - day: [mon, tue]  # here", "day", "a list is not", "for each day"),
    (
        "no_lunch:\n  - day: 2026-12-02\n",
        "no_lunch:  # here\n    day: mon\n",
        "no_lunch",
        "where a list",
        "[{day: mon, eater: Bo",
    ),
    # -- something missing
    ("  starts: 2026-11-30\n", "", "", "'starts' is missing", "'starts: 2026-11-30'"),
    ("    pack: 90 g\n", "", "", "'pack' is missing", "'pack: 250 g'"),
    # -- the wrong sort of thing
    ("  Bo: {}", "  Bo:  # here", "eaters > Bo", "nothing is said here", "remove the key"),
    ("    kind: grain", "    kind:  # here", "kind", "'kind' says nothing", "remove the line"),
    ("  Bo: {}", "  Bo: yes  # here", "eaters > Bo", "'yes' stands where", "'{floors: {"),
    ("  Bo: {}", "  Bo: [x]  # here", "eaters > Bo", "a list stands where", "'{floors: {"),
    ("[mon, Tuesday, wed]", "mon-fry  # here", "week > days", "is not a day", "'friday'"),
    ("[mon, Tuesday, wed]", "[]  # here", "week > days", "", ""),
    ("    kind: grain", "    kind: [a]  # here", "Bowl > kind", "a list is not a name", "'a'"),
    # -- whose advice, and how long food keeps
    ("  guidance: US\n", "", "week", "whose fridge lives the dates follow", "'guidance: us'"),
    ("guidance: US", "guidance: the USDA  # here", "guidance", "no guidance known", "strictest"),
    ("guidance: US", "guidance: yes  # here", "guidance", "no guidance known", "strictest"),
    ("3 to 4 days", "3 to 5  # here", "farls > fridge_life", "than is published, 4 days", "4 or"),
    ("guidance: US", "guidance: uk", "farls > fridge_life", "than is published, 2 days", "own_ri"),
    ("guidance: US", "guidance: strictest", "fridge_life", "published, 2 days", "own_risk: yes"),
    (
        "    fridge_life: 3\n",
        "    keeps_as: cooked rise  # here\n",
        "beans > keeps_as",
        "no storage class named 'cooked rise'",
        "'cooked rice'?",
    ),
    (
        "    opened_life: 3",
        "    keeps_as: cut leafy greens\n    opened_life: 3  # here",
        "leaves > opened_life",
        "3 days once opened is longer than is published, 2 days",
        "Write 2 or less, or add 'own_risk: yes'",
    ),
    (
        "    opened_life: 3",
        "    keeps_as: cut leafy greens\n    opened_life: keeps  # here",
        "leaves > opened_life",
        "keeps once opened is longer than is published, 2 days",
        "Write 2 or less, or add 'own_risk: yes'",
    ),
    # -- what nobody can know
    (
        "    nutrition: {energy: 80 kcal, salt: 0.5 g}\n",
        "",
        "batches > beans",
        "it gives no sodium, but Ada has a ceiling on sodium",
        "Add 'sodium' under its nutrition",
    ),
    ("    portion: 60 g\n", "", "beans", "'portion' is missing", "mass of one portion"),
    # -- amounts
    ("portion: 30 g", "portion: 30  # here", "farls > portion", "30 has no unit", "'30 g'"),
    ("    pack: 90 g", "    pack: 6  # here", "pack", "6 has no unit", "'6 mL' or '6 pieces'"),
    ("portion: 30 g", "portion: -30 g  # here", "portion", "'-30 g' is negative", "above nothing"),
    ("portion: 30 g", "portion: 0 g  # here", "portion", "'0 g' is nothing", "above nothing"),
    ("portion: 30 g", "portion: 30 mL  # here", "portion", "does not measure a mass", "'60 g'"),
    ("portion: 30 g", "portion: 30 grm  # here", "portion", "'grm' is not a unit", "'30 g'"),
    ("portion: 30 g", "portion: 1,5 g  # here", "portion", "has a comma", "'1.5 g'"),
    ("portion: 30 g", "portion: 200 kg  # here", "portion", "than a kitchen holds", "the unit"),
    ("portion: 30 g", "portion: [30 g]  # here", "portion", "a list is not an amount", "'60 g'"),
    ("portion: 30 g", "portion: 60 kJ  # here", "portion", "does not measure a mass", "'60 g'"),
    ("yield: 8 pieces", "yield: 8 mL  # here", "yield", "does not measure a yield", "18 pieces"),
    ("yield: 8 pieces", "yield: 7.5 pieces  # here", "yield", "is no whole number", "Round it"),
    ("yield: 8 pieces", "yield: 3000 pieces  # here", "yield", "2000 pieces at the most", "Check"),
    ("yield: 0.3 kg", "yield: 310 g  # here", "beans > yield", "whole portions", "300 g or 360 g"),
    ("    room: 40 mL", "    room: 40 g  # here", "room", "does not measure a room", "650 mL"),
    ("[500 mL, 0.2 L]", "[500 mL, 2 kg]  # here", "compartments > entry 2", "a room", "650 mL"),
    ("[500 mL, 0.2 L]", "[]  # here", "compartments", "", ""),
    ("pack: 0.25 L", "pack: 2 portions  # here", "oil > pack", "measure an amount", "30 g"),
    ("    per: 30 g", "    per: 1 piece  # here", "leaves > per", "1 piece does not", "in grams"),
    ("{leaves: 30 g,", "{leaves: 2 pieces, # here\n     ", "goes_in > leaves", "pack", "grams"),
    ("oil: 1 cL}", "oil: 20 L}  # here", "goes_in > oil", "more than 50 packs", "Check the"),
    ("- apple: 1 piece", "- apple: 30 g  # here", "side > entry 1 > apple", "cannot", "pieces"),
    ("{portion: 5 mL}", "{portion: 5 g}  # here", "extras > oil", "5 g of 'oil' can", "millil"),
    # -- numbers
    ("cost: 4.60", "cost: -1  # here", "farls > cost", "-1 is no price", "from 0 to 100000"),
    ("cost: 4.60", "cost: 4.60 EUR  # here", "cost", "'4.60 EUR' is not a price", "bare number"),
    ("cost: 4.60", "cost: 1.23456  # here", "cost", "more than four decimals", "hundredths"),
    ("cost: 4.60", "cost: 1000000  # here", "cost", "1000000 is no price", "100000"),
    ("price: 1.2\n", "price: cheap  # here\n", "leaves > price", "'cheap' is not a price", "4.20"),
    ("    opened_life: 3", "    opened_life: 2.5  # here", "opened_life", "not a whole", "0 to 60"),
    ("    opened_life: 3", "    opened_life: 61  # here", "opened_life", "out of range", "0 to 60"),
    ("    opened_life: 3", "    opened_life: -1  # here", "opened_life", "out of range", "0 to 60"),
    (
        "    minutes: 6",
        "    minutes: 6 min  # here",
        "Tart > minutes",
        "'6 min' is not a whole",
        "",
    ),
    ("    most: 2\n", "    most: 0  # here\n", "Tart > most", "0 is out of range", "1 to 100"),
    ("{Tart: 2,", "{Tart: 6, # here\n     ", "likes > Tart", "6 is out of range", "-5 to 5"),
    ("  most_times: 3", "  most_times: true  # here", "most_times", "not a whole number", "1 to"),
    ("cold_packs: 2", "cold_packs: 21  # here", "cold_packs", "out of range", "0 to 20"),
    # -- ranges
    ("3 to 4 days", "4 to 3  # here", "farls > fridge_life", "'4 to 3' runs downwards", "3 to 4"),
    ("3 to 4 days", "3 weeks  # here", "fridge_life", "'3 weeks' is not a range", "3 to 5"),
    ("3 to 4 days", "90  # here", "fridge_life", "longer than any cooked food keeps", "3 to 4"),
    ("3 to 4 days", "-3  # here", "fridge_life", "'-3' is not a range", "Write 3."),
    ("beans: 1}", "beans: some}  # here", "takes > beans", "'some' is not a range", "3 to 5"),
    ("beans: 1}", "beans: 1.5}  # here", "takes > beans", "'1.5' is not a range", "3 to 5"),
    ("1 to 3 portions", "3 to 1  # here", "farls > freezer", "runs downwards", "1 to 3"),
    # -- yes and no
    ("  fridge: yes", "  fridge: maybe  # here", "place > fridge", "neither yes nor no", "yes or"),
    (
        "    chilled: no\n    own_risk",
        "    chilled: 0  # here\n    own_risk",
        "beans > chilled",
        "neither yes nor no",
        "yes or",
    ),
    # -- dates
    ("starts: 2026-11-30", "starts: 2026-11-31  # here", "starts", "is not a date", "2026-11-30"),
    ("starts: 2026-11-30", "starts: 30.11.2026  # here", "starts", "is not a date", "2026-11-30"),
    (
        "starts: 2026-11-30",
        "starts: Monday  # here",
        "week > starts",
        "is not a date",
        "2026-11-30",
    ),
    ("starts: 2026-11-30", "starts: 0026-11-30  # here", "starts", "is no week to cook", "year"),
    ("starts: 2026-11-30", "starts: 2026-12-03  # here", "starts", "is a Thursday", "add thu"),
    (
        "made: 2026-11-29",
        "made: 2026-12-02  # here",
        "farls > made",
        "too late for the",
        "day after",
    ),
    ("made: 2026-11-29", "made: 2025-11-29  # here", "farls > made", "366 days before", "Mend"),
    ("use_by: 2026-12-05", "use_by: soon  # here", "leaves > use_by", "is not a date", "2026"),
    ("[mon, Tuesday, wed]", "[mon, mon, wed]  # here", "week > days", "named twice", "once"),
    (
        "[mon, Tuesday, wed]",
        "[mon, tomorrow]  # here",
        "days > entry 2",
        "is not a day",
        "mon, tue",
    ),
    (
        "[mon, Tuesday, wed]",
        "[mon, tue, wed, sunset]  # here",
        "days > entry 4",
        "is not a day",
        "mon, tue",
    ),
    (
        "day: 2026-12-02",
        "day: 2026-12-03  # here",
        "no_lunch > entry 1 > day",
        "not a day of",
        "2026",
    ),
    (
        "  - day: tue",
        "  - day: sat  # here",
        "elsewhere > entry 1 > day",
        "not a day of",
        "mon, tue",
    ),
    ("  - day: tue", "  - day: Sunday week  # here", "elsewhere > entry 1 > day", "", ""),
    # -- names of other entries
    (
        "    eater: Bo\n",
        "    eater: Bob  # here\n",
        "no_lunch > entry 1 > eater",
        "no eater",
        "'Bo'?",
    ),
    ("    eater: Ada\n", "    eater: Adda  # here\n", "elsewhere > entry 1", "eater", "'Ada'?"),
    ("box: tin", "box: tim  # here", "eaters > Ada > box", "no box named 'tim'", "'tin'?"),
    ("{Tart: 2,", "{Tarts: 2, # here\n     ", "likes > Tarts", "no dish named", "'Tart'?"),
    ("beans: 1}", "bean: 1}  # here", "takes > bean", "no batch named 'bean'", "'beans'?"),
    ("{leaves: 30 g,", "{leafs: 30 g, # here\n     ", "goes_in > leafs", "larder", "'leaves'?"),
    ("choices: [side]", "choices: [sides]  # here", "choices > entry 1", "choice", "'side'?"),
    ("- leaves: 15 g", "- leaf: 15 g  # here", "side > entry 2 > leaf", "item", "'leaves'?"),
    ("{apple: {portion: 0.5", "{aple: {portion: 0.5", "extras > aple", "larder", "'apple'?"),
    ("[grain, bread]]", "[grain, bred]]  # here", "kinds_apart > entry 2", "'bred'", "'bread'?"),
    ("[liking, file_order,", "[likin,  # here\n ", "priorities > entry 1", "'likin'", "liking'?"),
    # -- the same thing twice
    ("choices: [side]", "choices: [side, side]  # here", "Tart > choices", "twice", "Name each"),
    (
        "- leaves: 15 g",
        "- apple: 2 pieces",
        "choices > side",
        "the same item is offered twice",
        "once",
    ),
    ("[liking, file_order,", "[cost, cost,  # here\n ", "priorities", "named twice", "once"),
    ("{protein: 0.6 g,", "{protein: 1 g, PROCNT: 2 g, # here\n  ", "", "a second time", "Keep"),
    ("sodium: 100 mg", "salt: 1 g, sodium: 1 mg", "farls > nutrition", "a second time", "one of"),
    # -- nutrients, allergens, foods
    ("{protein: 10 g,", "{proteins: 10 g, # here\n    ", "floors > proteins", "", "'protein'?"),
    ("{protein: 10 g,", "{protein: 10, # here\n    ", "floors > protein", "10 has no unit", "10 g"),
    ("{protein: 10 g,", "{protein: 10 kcal, # here\n  ", "floors > protein", "measure pro", "5 g"),
    ("{salt: 2 g}", "{salt: 2 mL}  # here", "ceilings > salt", "does not measure salt", "5 g"),
    ("{fibre: 3 g}", "[fibre]  # here", "week_floors", "is no list of nutrients", "'protein: 3.9"),
    ("{protein: 0.6 g,", "{protein: -1 g, # here\n  ", "protein", "'-1 g' is negative", "1 g"),
    ("[tree nuts]", "[tree nutz]  # here", "must_not > allergens", "fourteen", "'tree nut"),
    (
        "[wheat, egg]",
        "[wheat, 3]  # here",
        "farls > allergens",
        "fourteen allergens",
        "Write some of",
    ),
    ("[wheat, egg]", "{wheat: yes}  # here", "allergens", "is no list of allergens", "or none"),
    ("[wheat, egg]", "[none, egg]  # here", "allergens", "'none' is not one of the", ""),
    ("[Oats, egg]", "oats  # here", "farls > foods", "", ""),
    ("[Oats, egg]", "[[oats]]  # here", "farls > foods > entry 1", "is not a name", "'oats'"),
    # -- what one entry says of another
    (
        "freezes: yes\n    freezer",
        "freezes: no\n    freezer",
        "farls > freezer",
        "not fr",
        "remove",
    ),
    ("farls: 2 to 20", "farls: 9 to 20", "takes > farls", "can never be packed", "at most 8"),
    ("farls: 2 to 20", "farls: 2000 to 2000", "takes > farls", "comes to 8 in all", "cook more"),
    ("{farls: 2 to 20, beans: 1}", "{farls: 2}", "batches > beans", "no dish takes 'beans'", "rem"),
    ("{protein: 10 g,", "{sodium: 2000 mg,", "eaters > Ada", "is above its ceiling", "Lower the"),
    ("energy: 80 kcal, salt: 0.5 g", "energy: 80 kcal", "batches > beans", "no sodium", "Add 'sod"),
    ("    piece: 150 g", "    opened_life: 2", "larder > apple", "mass of one piece", "Add 'piece"),
    ("pack: 0.25 L", "opened_life: 1\n    pack: 1 L  # here", "oil > pack", "by mass", "in g"),
]


@each(("old", "new", "path", "what", "mend"), CASES)
def test_nonsense_is_refused(old: str, new: str, path: str, what: str, mend: str) -> None:
    text = edited(FULL, old, new)
    fault = refusal(text)
    assert fault.where.source == NAME
    assert what in fault.what
    assert mend in fault.mend
    assert fault.what
    assert fault.mend
    if HERE in text:
        assert fault.where.line == line_of(text)
    else:
        assert fault.where.line is not None
    assert path in str(fault.where)
    assert fault.text == f"{fault.where}: {fault.what}\n{fault.mend}"
    assert "pydantic" not in fault.text
    assert "function-" not in fault.text


def test_what_is_missing_is_missed_on_the_line_of_its_entry() -> None:
    for gone, there in (
        ("    pack: 90 g\n", "  leaves:"),
        ("  starts: 2026-11-30\n", "week:"),
    ):
        text = edited(FULL, gone, "")
        assert refusal(text).where.line == line_of(text.replace(there, there + HERE, 1))


def test_what_concerns_an_entry_is_placed_there() -> None:
    for old, new, there in (
        ("{farls: 2 to 20, beans: 1}", "{farls: 2}", "  beans:\n"),
        ("energy: 80 kcal, salt: 0.5 g", "energy: 80 kcal", "  beans:\n"),
        ("{protein: 10 g,", "{sodium: 2000 mg,", "  Ada:\n"),
        ("    piece: 150 g", "    opened_life: 2", "  apple:\n"),
    ):
        text = edited(FULL, old, new)
        assert refusal(text).where.line == text[: text.index(there)].count("\n") + 1


@pytest.mark.parametrize("portion", ["60 g", "85.049 g", "3 oz", "33.333 g"])
def test_a_yield_that_is_advised_is_taken(portion: str) -> None:
    text = edited(FULL, "    portion: 60 g", f"    portion: {portion}")
    fault = refusal(edited(text, "yield: 0.3 kg", "yield: 310 g"))
    advised = re.findall(r"[0-9.]+ g", fault.mend)
    assert len(advised) == 2
    portions = [
        week_from(edited(text, "yield: 0.3 kg", f"yield: {one}")).batches["beans"].portions
        for one in advised
    ]
    assert portions[1] == portions[0] + 1


@pytest.mark.parametrize("first", ["price: cheap", "price: 1.2"])
def test_the_first_of_several_faults_is_told_with_the_number_of_the_rest(first: str) -> None:
    text = edited(FULL, "price: 1.2\n", f"{first}\n").replace("minutes: 6", "minutes: six")
    fault = refusal(edited(text, "chilled: no\n    own_risk", "chilled: perhaps\n    own_risk"))
    assert fault.where.path == ("batches", "beans", "chilled")
    more = "2 more faults" if first == "price: cheap" else "1 more fault"
    assert fault.mend.endswith(f"(At least {more} in this file after this one.)")


def test_a_place_that_is_wrong_in_two_ways_of_the_same_words_is_told_once() -> None:
    fault = refusal(edited(FULL, "  - day: 2026-12-02", "  - day: [mon, tue]"))
    assert [str(each.where) for each in fault.also] == [str(fault.where)]
    assert "more fault" not in fault.mend


# -- the whole file --------------------------------------------------------------------


@pytest.mark.parametrize("text", ["- week\n- eaters\n", "words\n", "---\n", "12\n"])
def test_a_file_that_is_no_mapping_is_refused(text: str) -> None:
    fault = refusal(text)
    assert fault.where.line == 1
    assert "this is not a week file" in fault.what
    assert "clearfridge new" in fault.mend


def test_a_week_without_a_lunch_is_refused() -> None:
    text = """\
week: {starts: 2026-11-30, days: [mon]}
eaters: {Ada: {}}
dishes: {Snack: {kind: snack}}
no_lunch:  # here
  - day: mon
"""
    fault = refusal(text)
    assert fault.what == "no lunch is left"
    assert fault.where.line == line_of(text)


@pytest.mark.parametrize("key", ["eaters", "dishes"])
def test_a_week_needs_somebody_and_something(key: str) -> None:
    text = "week: {starts: 2026-11-30}\neaters: {A: {}}\ndishes: {S: {kind: s}}\n"
    old = {"eaters": "{A: {}}", "dishes": "{S: {kind: s}}"}[key]
    assert refusal(edited(text, old, "{}")).where.path == (key,)
    assert refusal(edited(text, f"{key}: {old}\n", "")).what == f"'{key}' is missing"


def test_a_choice_without_options_is_refused() -> None:
    text = edited(FULL, "    - apple: 1 piece\n    - leaves: 15 g\n", "    []\n")
    fault = refusal(text)
    assert fault.what == "this choice has no options"
    assert fault.where.path == ("choices", "side")


def test_an_option_is_one_item() -> None:
    fault = refusal(edited(FULL, "- apple: 1 piece", "- {apple: 1 piece, oil: 1 mL}"))
    assert "is not one item with its amount" in fault.what
    assert fault.where.path == ("choices", "side", 0)


def test_ranges_that_make_too_many_servings_are_refused() -> None:
    takes = ", ".join(f"b{at}: 0 to 9" for at in range(4))
    batches = "".join(
        f"  b{at}: {{made: 2026-11-29, yield: 9 pieces, portion: 9 g, nutrition: {{}}, "
        "fridge_life: 3}\n"
        for at in range(4)
    )
    text = (
        f"week: {{starts: 2026-11-30, guidance: us}}\neaters: {{A: {{}}}}\nbatches:\n{batches}"
        f"dishes:\n  S:\n    kind: s\n    takes: {{{takes}}}  # here\n"
    )
    fault = refusal(text)
    assert fault.what == "these ranges make 10000 different servings"
    assert fault.where.line == line_of(text)


def test_more_lunches_than_can_be_planned_are_refused() -> None:
    eaters = "".join(f"  E{at}: {{}}\n" for at in range(401))
    text = f"week: {{starts: 2026-11-30}}\neaters:\n{eaters}dishes: {{S: {{kind: s}}}}\n"
    assert refusal(text).what == "2005 lunches are too many"
    assert len(week_from(text.replace("  E400: {}\n", "")).lunches) == 2000


# -- protein needs -------------------------------------------------------------------

NEED = """\
week: {starts: 2026-11-30}
eaters:
  Ada:
    daily_protein: {lunch_share: 35 %}  # here
dishes: {Snack: {kind: snack}}
"""


@each(
    ("need", "what", "mend"),
    [
        ("{lunch_share: 35 %}", "say the daily need one way", "just one of them"),
        ("{need: 60 g, need_per_kg: 1 g, lunch_share: 35 %}", "one way", "just one of them"),
        ("{need: 60 g}", "'lunch_share' is missing", "'lunch_share: 35 %'"),
        ("{need: 60 g, lunch_share: 35}", "'35' is not a share", "35 %"),
        ("{need: 60 g, lunch_share: 0 %}", "'0 %' is not a share", "35 %"),
        ("{need: 60 g, lunch_share: 101 %}", "'101 %' is not a share", "35 %"),
        ("{need: 60 g, lunch_share: -5 %}", "'-5 %' is not a share", "35 %"),
        ("{standard: who-2007, lunch_share: 35 %}", "'body_mass' is missing", "64 kg"),
        ("{need_per_kg: 1 g, lunch_share: 35 %}", "'body_mass' is missing", "64 kg"),
        ("{standard: who-2077, body_mass: 64 kg, lunch_share: 35 %}", "no standard", "'who-2007'"),
        ("{standard: who-2007, body_mass: 64, lunch_share: 35 %}", "64 has no unit", "64 g"),
        ("{need: 60 kcal, lunch_share: 35 %}", "does not measure a mass", "60 g"),
        ("{nead: 60 g, lunch_share: 35 %}", "unknown key 'nead'", "'need'"),
    ],
)
def test_a_daily_need_that_is_none_is_refused(need: str, what: str, mend: str) -> None:
    text = edited(NEED, "{lunch_share: 35 %}", need)
    fault = refusal(text)
    assert what in fault.what
    assert mend in fault.mend
    assert fault.where.line == line_of(text)


def test_a_floor_and_a_daily_need_of_protein_do_not_go_together() -> None:
    text = edited(NEED, "{lunch_share: 35 %}", "{need: 60 g, lunch_share: 35 %}")
    text = edited(text, "  Ada:\n", "  Ada:\n    floors: {PROCNT: 20 g}\n")
    fault = refusal(text)
    assert "a floor of protein as well as a daily need" in fault.what
    assert fault.where.line == line_of(text)


# -- names ---------------------------------------------------------------------------

TWICE = """\
week: {starts: 2026-11-30}
eaters:
  Ada: {must_not: {foods: [pear]}}
  Bo: {}
larder:
  pear: {pack: 1 piece, chilled: no}
  plum: {pack: 1 piece, chilled: no}
dishes:
  Pear: {kind: fruit, goes_in: {pear: 1 piece}}
  Plum: {kind: fruit, goes_in: {plum: 1 piece}}
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  Bo:", '  "Ada ":'),
        ("  Bo:", '  " Ada":'),
        ("  Plum:", '  "Pear ":'),
        ("  plum: {pack", '  "pear ": {pack'),
        ("{plum: 1 piece}}", '{plum: 1 piece, "plum ": 2 pieces}}'),
    ],
)
def test_two_names_that_differ_in_spaces_only_are_refused(old: str, new: str) -> None:
    # Spaces do not matter in a name, so the later entry would silently replace the first:
    # an eater would be gone, with what they must not have.
    text = edited(TWICE, old, new)
    if "plum: {pack" in old:
        text = text.replace("{plum: 1 piece}", "{pear: 1 piece}")
    fault = refusal(text)
    assert fault.where.line == line_of(text, new)


@pytest.mark.parametrize("name", ["Ada\\n", "A\\tda", "A\\x1b[31mda", "A\\x7fda", "A\\x9bda"])
def test_a_control_character_in_a_name_is_refused(name: str) -> None:
    # An escape sequence, or a line of its own, would steer the reader's terminal.
    fault = refusal(edited(FULL, "  Bo: {}", f'  "{name}": {{}}'))
    assert "a control character is in this name" in fault.what


def test_half_a_character_in_a_name_is_refused() -> None:
    # A lone surrogate can be neither printed nor saved.
    fault = refusal(edited(TWICE, "  Bo: {}", '  "B\\ud800o": {}'))
    assert fault.where.line == line_of(TWICE, "  Bo: {}")


@pytest.mark.parametrize("name", ['""', '"  "'])
def test_a_name_of_nothing_is_refused(name: str) -> None:
    assert refusal(edited(FULL, "  Bo: {}", f"  {name}: {{}}")).where.line == line_of(
        FULL, "  Bo: {}"
    )


def test_a_name_has_at_most_sixty_characters() -> None:
    longest = "x" * 60
    assert (
        longest
        in week_from(edited(FULL, "  Bowl:\n", f"  {longest}:\n").replace("Bowl", longest)).dishes
    )
    fault = refusal(edited(FULL, "  Bowl:\n", f"  x{longest}:\n").replace("Bowl", "x" + longest))
    assert "60" in fault.what
    assert "items" not in fault.what, "a name has characters"


# -- anything ------------------------------------------------------------------------

JUNK: list[Any] = [
    *(None, True, False, Decimal(0), Decimal(-1), Decimal("1.5"), Decimal(10**12)),
    *(Decimal("1e-9"), "", " ", "x", "no", "3 to 5", "5 to 3", "9999", "-3 g", "1e9 g", "60 g"),
    *("999999999 kg", "60 g g", "0 pieces", "1.5 pieces", "1 piece", "\x1b[31m", [], {}, [[]]),
    *([None], {"a": None}, {"": "60 g"}, ["milk", None], "none", "2026-11-30", "9999-12-31"),
    *("0001-01-01", "mon", "1 minute", "35 %", "a" * 500, "NaN", "1 kJ", "1 mL", "[bold]"),
    *({"apple": "1 piece", "oil": "1 mL"}, "\u0661\u0662 g", "\u00b2", "3\n", "wet", "oil"),
]
READ = parse_yaml(NAME, FULL)


COOKED = parse_yaml(
    NAME,
    """\
week: {starts: 2026-11-30, guidance: strictest, cups: metric}
eaters: {Ada: {floors: {protein: 2 g}, must_not: {allergens: [pine nuts], foods: [ham]}}}
foods:
  our mix:
    nutrition: {protein: 3 g, energy: 90 kcal}
    also: [house mix]
    allergens: [wheat]
    check_label: no
    measures: {cup: 120 g, piece: 30 g}
    density: 0.9
    refuse: 5 %
    water: 40 %
    keeps_as: cupboard
    source: label
    source_id: 7
    group: pulses
    state: dry
prices:
  our mix: [{pack: 500 g, price: 2.50}, {pack: 1 kg, price: 4}]
  olive oil: {pack: 500 mL, price: 6}
batches:
  stew:
    made: 2026-11-29
    yield: 4 portions
    ingredients:
      - 1 cup our mix
      - 2 tbsp olive oil
      - {what: 200 g zucchini, refuse: 10 %, drained: 90 %, allergens: none}
      - 300 g water
    keeps_as: soup
    own_risk: no
larder:
  oil: {pack: 500 mL, food: olive oil, opened_life: keeps}
  dip: {pack: 200 g, keeps_as: houmous, opened_life: 2, ingredients: [150 g our mix, 50 g water]}
dishes:
  Bowl: {kind: grain, takes: {stew: 1}, ingredients: [1 tsp olive oil, 10 g our mix]}
  Dip: {kind: dip, goes_in: {dip: 50 g, oil: 5 mL}}
""",
)
MORE_JUNK: list[Any] = [
    *("keeps", "us", "label", "PDCAAS", "2 x 400 g tins our mix", "1 cup", "cup", "1/2 our mix"),
    *("0 g our mix", "1/0 cup our mix", "\u00bd cup our mix", "1 piece our mix", "10 g eggs"),
    *("1e9 kg our mix", "a pinch of olive oil", "our mix", "100 %", "0 %", "95 %", "DIAAS"),
    *({"what": "10 g our mix"}, {"what": 3}, [{"what": "10 g our mix"}], ["10 g our mix"]),
    *({"pack": "0 g", "price": Decimal(1)}, {"pack": "1 tin", "price": Decimal(1)}),
]


@pytest.mark.parametrize("read", [READ, COOKED], ids=["stated", "cooked"])
@settings(max_examples=sized(60, 1000))
@given(data=st.data())
def test_anything_anywhere_is_a_week_or_a_message(read: Document, data: st.DataObject) -> None:
    places = st.sampled_from(sorted(read.lines, key=str))
    put = st.tuples(places, st.sampled_from(JUNK if read is READ else [*JUNK, *MORE_JUNK]))
    _is_a_week_or_a_message(read, data.draw(st.lists(put, max_size=3)))


# What stands in the file, what stands there instead, and what is refused; None where it is taken.
ROOMS = (
    ("    room: 40 mL", "    room: 18 mL", None),  # a piece of 30 g
    ("    room: 40 mL", "    room: 17.9 mL", "30 g never go into 17.9 mL"),
    ("    room: 40 mL", "    room: 0 mL", "30 g never go into 0 mL"),
    ("    room: 100 mL", "    room: 18 mL", None),  # of 30 g of leaves
    ("    room: 100 mL", "    room: 17 mL", "30 g never go into 17 mL"),
    ("    piece: 150 g", "    piece: 150 g\n    room: 90 mL", None),
    ("    piece: 150 g", "    piece: 150 g\n    room: 89 mL", "150 g never go into 89 mL"),
)


def test_room_is_held_against_mass() -> None:
    for there, instead, what in ROOMS:
        text = edited(FULL, there, f"{instead}  {HERE}")
        if what is None:
            assert week_from(text), instead
            continue
        fault = refusal(text)
        assert what in fault.what, instead
        assert fault.where.line == line_of(text), instead
        assert fault.where.path[-1] == "room", instead
        (written,) = re.findall(r"'(room: \d+ mL)'", fault.mend)
        assert week_from(edited(FULL, there, re.sub(r"room: .*", written, instead))), instead


def test_both_files_are_weeks_as_they_are() -> None:
    for read in (READ, COOKED):
        assert week_of(read).lunches


def _is_a_week_or_a_message(read: Document, changes: list[tuple[Any, Any]]) -> None:
    data: Any = copy.deepcopy(read.data)
    for path, junk in changes:
        _put(data, path, copy.deepcopy(junk))
    try:
        week = week_of(Document(NAME, data, read.lines))
    except InputError as fault:
        assert fault.what
        assert fault.mend
        assert fault.where.line is not None
    else:
        assert week.lunches


def _put(data: Any, path: tuple[str | int, ...], junk: Any) -> None:
    if not path:
        return
    for step in path[:-1]:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return
    if isinstance(data, (dict, list)):
        try:
            data[path[-1]] = junk  # type: ignore[index]
        except (TypeError, IndexError):
            return


def test_an_entry_with_a_day_is_one_entry_of_its_list() -> None:
    text = ready_text("minimal").replace("yield:", "frozen_later: {day: mon, portions: 2}, yield:")
    with pytest.raises(InputError) as refused:
        week_of(parse_yaml("w", text))
    assert refused.value.mend == "Write 'frozen_later: [{day: mon, portions: 2}]'."
