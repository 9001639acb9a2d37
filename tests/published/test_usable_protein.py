"""Usable protein against published scores of mixtures, and in weeks from file to plan."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

import optimiser
from models.file.reading import week_of
from models.file.yamltext import parse
from models.foods.digested import digested
from models.foods.figures import AMINO_ACIDS
from models.foods.food import table
from models.foods.recipe import per_hundred
from models.week.packed import PackedLunch, PackedPortions
from models.week.sums import nutrient
from models.words.errors import InputError
from models.words.nutrients import PROTEIN, USABLE
from models.words.protein import SHARES, Share
from models.words.units import magnitude
from optimiser.auditing import audit
from optimiser.checking import check
from optimiser.explain.mend import mend
from optimiser.explain.why import Why
from optimiser.foods import known_of
from optimiser.planning import plan_week
from tests.cases import each

from .claims import Cases, claim

# -- the method ---------------------------------------------------------------------------


@claim(
    "the score of wheat, chickpea and milk powder mixed",
    "FNP 51: worked example",
    within="0.015 score",
)
def test_a_mixture_scores_as_in_the_worked_example() -> Cases:
    # FAO/WHO 1991 (FAO Food and Nutrition Paper 51), worked example of a mixture, from memory:
    # wheat 350 g, chickpea 150 g, milk powder 50 g score 0.75, lysine being short (58 mg in a
    # gram, small children). There the digestibility is that of the whole, here of each food.
    lysine = Share("lysine", ("LYS",), Decimal(58))
    mixture = (  # g, protein in 100 g, lysine in mg per g of protein, digested
        (350, 13, 25, "0.85"),
        (150, 22, 70, "0.80"),
        (50, 34, 80, "0.95"),
    )
    protein = usable = Decimal(0)
    for mass, share, milligrams, digests in mixture:
        held = Decimal(mass) * share / 100
        protein += held
        suffices = lysine.of({"LYS": held * milligrams / 1000}, Decimal(digests))
        assert suffices is not None
        usable += suffices
    yield "mixture", 0.75, round(float(usable / protein), 4)


# Milligrams in a gram, older children, adolescents and adults, table 5; as given to us by others.
PATTERN = {"HISTN": 16, "ILE": 30, "LEU": 61, "LYS": 48, "MET": 23, "PHE": 41, "THR": 25, "VAL": 40}


@claim("mg of each amino acid in a gram of usable protein", "FNP 92: adults")
def test_the_pattern_is_that_of_adults() -> Cases:
    pattern = {**PATTERN, "TRP": Decimal("6.6"), PROTEIN: 1000}
    assert {f"usable:{tag}" for tag in pattern} == set(SHARES)
    for tag, milligrams in pattern.items():
        yield tag, milligrams, SHARES[f"usable:{tag}"].pattern


def score(shares: dict[str, int]) -> tuple[float, str]:
    """Give the score of a mixture by shares of its protein, and what is short."""
    foods = [(table()[name], share) for name, share in shares.items()]
    enough = {}
    for tag, part in SHARES.items():
        held = Decimal(0)
        for food, share in foods:
            suffices = per_hundred(food, tag)
            assert suffices is not None, food.name
            held += suffices * share / food.nutrients[PROTEIN]
        enough[part.name] = held
    short = min(enough, key=lambda name: enough[name])
    return float(enough[short] / sum(shares.values())), short


RICE, BEANS = "white rice, long-grain, raw", "red kidney beans, dry"


def test_rice_and_beans_complete_each_other() -> None:
    # The classic result (Bressani and others; from memory): rice lacks lysine, and with beans the
    # best is near 60 to 40 parts of protein, where what limits is digestion.
    alone, short = score({RICE: 1})
    assert short == "lysine"
    best = max(range(0, 101, 5), key=lambda share: score({RICE: share, BEANS: 100 - share})[0])
    assert 50 <= best <= 75
    mixed, _ = score({RICE: best, BEANS: 100 - best})
    assert mixed > max(alone, score({BEANS: 1})[0])


@claim(
    "mg of lysine in a gram of protein of rice and wheat",
    "TRS 935",
    within="5 %",
    seen="from memory",
)
def test_rice_and_wheat_are_short_of_lysine() -> Cases:
    # Against the pattern that is 0.73 and 0.56 before digestion.
    for name, milligrams in ((RICE, 35), ("bulgur wheat, dry", 27)):
        food = table()[name]
        yield name, milligrams, food.nutrients["LYS"] / food.nutrients[PROTEIN] * 1000


def test_cheese_gives_bread_its_lysine() -> None:
    # The textbook pair (from memory): wheat is short of lysine, milk protein has more than enough.
    bread, short = score({"white pitta bread": 1})
    assert short == "lysine"
    assert bread < 0.55
    mixed, _ = score({"white pitta bread": 1, "cheddar cheese": 1})
    assert mixed > 1.3 * bread
    with_milk, _ = score({"white pitta bread": 1, "whole milk": 1})
    assert with_milk > 0.9


@claim(
    "egg, milk, meat and fish score 1 before digestion", "FNP 51", within="1e-9 score", of="foods"
)
def test_what_comes_of_animals_lacks_no_amino_acid() -> Cases:
    for food in (
        "egg, whole, fresh",
        "whole milk",
        "chicken breast, meat only, roast",
        "cod, baked",
    ):
        whole, short = score({food: 1})
        assert short == SHARES[f"usable:{PROTEIN}"].name
        yield food, 1, whole / float(digested(table()[food]).share)


DIGESTED = [
    ("egg, hard-boiled", 97),
    ("cheddar cheese", 95),
    ("salmon, farmed, baked", 94),
    ("peanut butter, smooth, salted", 95),
    ("plain flour", 96),
    ("wholemeal flour", 86),
    ("white rice, long-grain, boiled", 88),
    ("brown rice, long-grain, raw", 79),
    ("cornmeal, degermed", 85),
    ("rolled oats", 86),
    ("millet, dry", 79),
    ("split peas, dry", 88),
    ("tofu, firm, set with calcium sulphate", 86),
    ("chickpeas, boiled", 78),
    ("almonds, whole", 78),
]


@claim("the share of protein that is digested, in %", "TRS 724: table 40; FNP 51")
def test_digestibility_is_that_of_the_food_that_was_measured() -> Cases:
    for food, share in DIGESTED:
        known = digested(table()[food])
        assert "FAO/WHO 1991" in known.source
        assert known_of(table()[food]).protein_digested == share / 100
        yield food, share, known.share * 100


# -- in a week ----------------------------------------------------------------------------

WEEK = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters: {Ada: {floors: {usable_protein: 9 g}}}
batches:
  rice:
    made: 2026-11-29
    yield: 6 portions
    portion: 140 g
    ingredients: ["300 g white rice, long-grain, raw"]
  beans:
    made: 2026-11-29
    yield: 6 portions
    portion: 110 g
    ingredients: ["240 g red kidney beans, dry"]
dishes:
  Rice and beans: {kind: a, takes: {rice: 1 to 2, beans: 1 to 2}}
  Rice: {kind: b, takes: {rice: 1 to 3}}
"""


def test_why_names_the_amino_acid_that_is_short() -> None:
    week = week_of(parse("week.yaml", WEEK))
    answer = Why(week).why_not("Ada", week.days[0], "Rice").answer
    assert answer is not None
    assert answer.verdict == "impossible"
    assert [rule.key for rule in answer.rules] == ["usable protein:lysine of Ada"]
    assert answer.rules[0].sentence.startswith("Ada needs enough lysine for 9 g usable protein")


def test_the_plan_says_what_is_usable() -> None:
    week = week_of(parse("week.yaml", WEEK))
    plan = plan_week(week)
    assert {lunch.dish for lunch in plan.lunches} == {"Rice and beans"}
    line = plan.lunches[0].nutrients[USABLE]
    assert line.complete
    assert line.floor == 9
    # By hand, of 100 g raw rice and 80 g beans (2 portions each): protein that is digested,
    # 7.13 g x 0.88 + 18.02 g x 0.78 (SR28 20044, 16032: 22.53 g in 100 g).
    assert line.amount == pytest.approx(7.13 * 0.88 + 0.8 * 22.53 * 0.78, abs=0.02)
    assert "usable protein 20.3 g (at least 9)" in optimiser.render(plan, full=True)
    assert audit(plan) == []
    assert any(line.startswith("Usable protein") for line in plan.cautions)


def test_nothing_is_said_of_it_unless_asked_for() -> None:
    week = week_of(parse("week.yaml", WEEK.replace("{floors: {usable_protein: 9 g}}", "{}")))
    plan = plan_week(week)
    assert all(USABLE not in lunch.nutrients for lunch in plan.lunches)
    assert "usable" not in optimiser.render(plan, full=True)
    assert not any("usable" in rule.key for rule in check(week).rules)


def test_one_change_mends_a_floor_of_nine_amino_acids() -> None:
    week = week_of(parse("week.yaml", WEEK.replace("9 g", "21 g")))
    answer = mend(week, [], count=1)
    ((change,),) = [way.changes for way in answer.ways]
    assert (change.path[-1], change.becomes) == (USABLE, "20 g")
    assert "usable_protein: 20 g" in answer.ways[0].text


def test_what_was_not_measured_makes_it_at_least() -> None:
    cumin = table()["cumin seeds"]
    assert not set(AMINO_ACIDS) & cumin.nutrients.keys()
    text = WEEK.replace('raw"]', 'raw", 10 g cumin seeds, 5 g olive oil]')
    week = week_of(parse("week.yaml", text))
    alike = week_of(parse("week.yaml", WEEK))
    for portions, complete in ((0, True), (1, False)):
        packed = PackedLunch(
            "Ada",
            week.days[0],
            "Rice and beans",
            (PackedPortions("rice", portions, 0), PackedPortions("beans", 1, 0)),
            {},
            {},
        )
        usable, plain = (nutrient(one, packed, "usable:LYS") for one in (week, alike))
        assert usable.amount == plain.amount
        assert (usable.complete, plain.complete) == (complete, True)
    (remark,) = [one for one in check(week).remarks if one.startswith("Usable protein")]
    assert remark.endswith("no figures of amino acids of cumin seeds.")


def test_a_label_that_lists_amino_acids_counts_as_little_as_can_be() -> None:
    acids = ", ".join(f"{tag}: 1 g" for tag in AMINO_ACIDS)
    stated = f"nutrition: {{protein: 8 g, {acids}}}"
    text = WEEK.replace('ingredients: ["240 g red kidney beans, dry"]', stated)
    week = week_of(parse("week.yaml", text))
    held = magnitude(week.batches["beans"].nutrition["usable:LYS"], "gram")
    assert held == Decimal("0.78") * 1000 / 48
    assert magnitude(week.batches["beans"].nutrition["usable:PROCNT"], "gram") == Decimal("6.24")


@each(
    ("old", "new"),
    [
        ("floors: {usable", "ceilings: {usable"),
        ("floors: {usable", "week_floors: {usable"),
        ("floors: {usable", "week_ceilings: {usable"),
        ("    portion: 110 g\n", "    portion: 110 g\n    nutrition: {usable protein: 3 g}\n"),
    ],
)
def test_it_is_a_floor_of_a_lunch_and_nothing_else(old: str, new: str) -> None:
    with pytest.raises(InputError) as wrong:
        week_of(parse("week.yaml", WEEK.replace(old, new)))
    assert "can only be a floor of one" in str(wrong.value)
    assert "'usable_protein: 20 g'" in str(wrong.value)


def test_it_may_be_written_with_a_blank() -> None:
    text = WEEK.replace("usable_protein", "usable protein")
    bounds: Any = week_of(parse("week.yaml", text)).eaters["Ada"].floors
    assert [bound.nutrient for bound in bounds] == [USABLE]
